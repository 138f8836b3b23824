// The sheet of a scan: its lettering is clean, the same bytes again, left hands, bent and straight
// digits, with a design and without.
#include "draw/scan.h"

#include "../anatomy/made_hand.h"
#include "base/arena.h"
#include "base/text.h"
#include "check.h"

static hw_arena *arena;

static bool take(void *self, const void *bytes, size_t n)
{
    hw_buffer_put(self, (hw_text){bytes, n});
    return true;
}

static hw_buffer svg_of(const hw_sheet *s)
{
    hw_buffer b = {.arena = arena};
    CHECK(hw_sheet_svg(s, false, (hw_sink){take, &b}) == HW_OK);
    return b;
}

typedef struct scanned {
    made_hand hand;
    hw_float_mesh mesh;
    hw_scan scan;
} scanned;

static void scan_of(scanned *s, uint64_t seed, double bend, bool left, bool whole)
{
    made_def def = made_def_usual(187);
    def.cell = 3;
    def.bend = bend;
    def.left = left;
    hw_scan_def scan = hw_scan_def_default();
    hw_arena *work = hw_arena_new(0);
    made_hand_new(&s->hand, &def, seed);
    s->mesh = made_mesh(&s->hand);
    for (int k = 0; k < 4 && !whole; k++) // no thumb, no middle tip
        for (int f = 0; f < HW_FACES; f++) s->hand.picks.pick[hw_mark_of(0, k)][f].line = 0;
    if (!whole) s->hand.picks.pick[hw_mark_of(2, 3)][0].line = 0;
    CHECK(hw_scan_measure(work, &s->mesh, &s->hand.picks, &scan, "m", "p", NULL, NULL, &s->scan) ==
          HW_OK);
    hw_arena_free(work);
}

static bool has(const hw_buffer *b, const char *words)
{
    return b->at && strstr(b->at, words) != NULL;
}

static hw_sheet *drawn(const scanned *s, const hw_digit *digit, const char *name)
{
    hw_arena *work = hw_arena_new(0);
    hw_scan_view v = {.name = name, .scan = &s->scan, .mesh = &s->mesh};
    hw_sheet *sheet = NULL;
    for (int d = 0; d < HW_HAND_DIGITS && digit; d++) v.digit[d] = digit;
    CHECK(hw_draw_scan(arena, work, &v, NULL, &sheet) == HW_OK);
    CHECK(hw_arena_mark(work) == 0);
    hw_arena_free(work);
    return sheet;
}

static void sheets_are_clean(void)
{
    hw_digit digit = hw_digit_default();
    for (int k = 0; k < 5; k++) {
        static scanned s;
        scan_of(&s, (uint64_t)k, k == 1 ? 1.4 : 0.4, k & 1, k != 2);
        hw_sheet *sheet = drawn(&s, k == 3 ? NULL : &digit, k == 3 ? NULL : "Heron");
        if (CHECK(sheet != NULL)) {
            hw_sheet_fault f[8];
            size_t n = hw_sheet_check(sheet, f, 8);
            if (!CHECK(n == 0)) printf("    %s: %s\n", hw_sheet_fault_text(f[0].kind), f[0].text);
            hw_box box = hw_sheet_box(sheet);
            CHECK(box.w == 180 && box.h < 240);
            hw_buffer b = svg_of(sheet);
            CHECK(has(&b, "Little") && has(&b, "Thumb") == (k != 2) && has(&b, "Hand length"));
            CHECK(has(&b, "left hand mirrored") == (k & 1));
            CHECK(has(&b, "In colour") == (k != 3) && has(&b, "Heron") == (k != 3));
            CHECK(has(&b, hw_ink_colour(HW_INK_ACCENT)) == (k != 3));
            // the same again
            hw_buffer again = svg_of(drawn(&s, k == 3 ? NULL : &digit, k == 3 ? NULL : "Heron"));
            CHECK(again.len == b.len && memcmp(again.at, b.at, b.len) == 0);
        }
        made_hand_free(&s.hand);
    }
}

static bool stop(void *self, double fraction, const char *stage)
{
    (void)self, (void)fraction, (void)stage;
    return false;
}

static void it_stops_and_fails_cleanly(void)
{
    static scanned s;
    hw_arena *work = hw_arena_new(0);
    hw_job job = {stop, NULL};
    scan_of(&s, 1, 0.4, false, true);
    hw_scan_view v = {.scan = &s.scan, .mesh = &s.mesh};
    hw_sheet *sheet = NULL;
    CHECK(hw_draw_scan(arena, work, &v, &job, &sheet) == HW_CANCELLED && sheet == NULL);
    for (size_t k = 0; k < 40; k += 3) {
        hw_arena *a = hw_arena_new(0);
        hw_arena_fail_after(a, k);
        hw_code code = hw_draw_scan(a, work, &v, NULL, &sheet);
        CHECK(code == HW_NO_MEMORY && sheet == NULL);
        hw_arena_free(a);
    }
    hw_arena_free(work);
    made_hand_free(&s.hand);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    arena = hw_arena_new(0);
    RUN(sheets_are_clean);
    RUN(it_stops_and_fails_cleanly);
    hw_arena_free(arena);
    (void)hw_check_near, (void)hw_check_text;
    return TEST_END();
}
