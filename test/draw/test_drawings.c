// Drawings of good and poor digits: lettering is checked, structure is as expected, and what a
// view lacks is left out.
#include "draw/drawings.h"

#include "base/rng.h"
#include "check.h"
#include "digits.h"
#include "memory.h"

static hw_arena *arena;
static const char *folder; // where to keep the pictures; NULL: nowhere

typedef struct subject {
    hw_digit digit;
    hw_stroke stroke;
    hw_closing closing;
    hw_wrap_chart wrap;
    hw_slop slop;
    hw_layers layers;
    hw_stack stack;
} subject;

static hw_digit_view view_of(subject *u, const char *design, const char *name, hw_digit d)
{
    static const double law[HW_JOINTS] = {0.90, 1.00, 0.67};
    u->digit = d;
    CHECK(hw_stroke_new(arena, 65, &u->stroke) == HW_OK);
    hw_code code = hw_stroke_run(&u->digit, &u->stroke);
    CHECK(code == HW_OK || code == HW_NO_ASSEMBLY);
    hw_digit_view v = {.design = design, .name = name, .digit = &u->digit, .stroke = &u->stroke};
    memcpy(v.law, law, sizeof law);
    if (hw_closing_of(&u->digit, &u->stroke, law, &u->closing) == HW_OK) v.closing = &u->closing;
    if (hw_wrap_chart_of(&u->digit, &u->stroke, &u->wrap) == HW_OK) v.wrap = &u->wrap;
    if (hw_slop_of(&u->digit, &u->stroke, &u->slop) == HW_OK) v.slop = &u->slop;
    hw_layers_def f = hw_layers_def_default();
    if (hw_layers_of(&f, &d, &u->layers) == HW_OK &&
        hw_stack_of(&d, &u->layers, &u->stack) == HW_OK) {
        v.layers = &u->layers;
        v.stack = &u->stack;
    }
    return v;
}

static void keep(const hw_sheet *s, const char *design)
{
    if (!folder) return;
    char path[400];
    memory m = {0};
    snprintf(path, sizeof path, "%s/%s-%s.png", folder, design, hw_sheet_name(s));
    FILE *file = fopen(path, "wb");
    if (CHECK(file && hw_sheet_png(s, 150, memory_sink(&m)) == HW_OK)) fwrite(m.at, 1, m.n, file);
    if (file) fclose(file);
    free(m.at);
    m = (memory){0};
    snprintf(path, sizeof path, "%s/%s-%s.svg", folder, design, hw_sheet_name(s));
    file = fopen(path, "wb");
    if (CHECK(file && hw_sheet_svg(s, false, memory_sink(&m)) == HW_OK)) fwrite(m.at, 1, m.n, file);
    if (file) fclose(file);
    free(m.at);
}

static void lettering_is_clean(const hw_sheet *s, const char *design)
{
    hw_sheet_fault f[8];
    size_t n = hw_sheet_check(s, f, 8);
    if (!CHECK(n == 0)) printf("    %s, %s: %zu faults\n", design, hw_sheet_name(s), n);
    for (size_t i = 0; i < n && i < 8; i++)
        printf("    %s at %.1f, %.1f mm: \"%s\"%s%s\n", hw_sheet_fault_text(f[i].kind), f[i].at.x,
               f[i].at.y, f[i].text, f[i].other ? " and " : "", f[i].other ? f[i].other : "");
    keep(s, design);
}

static void all_drawings(const hw_digit_view *v)
{
    for (int i = 0; i < HW_DRAWINGS; i++) {
        hw_sheet *s = hw_drawing_of_digit[i].draw(arena, v);
        bool lacks = hw_drawing_of_digit[i].draw == hw_draw_wrap && !v->wrap;
        if (lacks) continue;
        if (!CHECK(s != NULL)) continue;
        NEAR(hw_sheet_box(s).w, hw_drawing_of_digit[i].narrow ? 88 : 180, 0); // as promised
        CHECK(hw_sheet_box(s).h < 250); // fits on A4 with margins and a heading
        lettering_is_clean(s, v->design);
    }
}

static void drawings_of_a_good_digit(void)
{
    subject u;
    hw_digit_view v = view_of(&u, "Heron", "index", heron_index());
    all_drawings(&v);
    v = view_of(&u, "Heron", "little", heron_little());
    all_drawings(&v);
}

static void drawings_of_a_poor_digit(void)
{
    subject u;
    hw_digit_view v = view_of(&u, "Dodo", "index", dodo_index());
    all_drawings(&v);
}

static void drawings_of_a_cord_digit(void)
{
    subject u;
    hw_digit_view v = view_of(&u, "Wren", "index", wren_index());
    all_drawings(&v);
}

static void drawings_of_a_direct_thumb(void)
{
    subject u;
    hw_digit d = heron_index();
    d.family = HW_FAMILY_DIRECT;
    d.thumb = true;
    for (int i = 0; i < HW_JOINTS; i++) {
        d.joint_travel[i][0] = 0;
        d.joint_travel[i][1] = 1;
    }
    hw_digit_view v = view_of(&u, "Heron", "thumb", d);
    all_drawings(&v);
}

static void a_digit_that_does_not_assemble(void)
{
    subject u;
    hw_digit d = heron_index();
    d.travel[1] = 175 * HW_PI / 180; // far beyond what the loops can follow
    hw_digit_view v = view_of(&u, "Torn", "index", d);
    all_drawings(&v);
}

static size_t said(const hw_sheet *s, const char *words)
{
    memory m = {0};
    if (!CHECK(s && hw_sheet_svg(s, true, memory_sink(&m)) == HW_OK)) return 0;
    size_t n = count_of(m.at, words);
    free(m.at);
    return n;
}

// Every drawing of a digit that meets a dead point names it, and draws no pose beyond it.
static void a_dead_point_is_marked(void)
{
    subject u;
    hw_digit d = heron_index();
    d.travel[1] = 170 * HW_PI / 180;
    hw_digit_view v = view_of(&u, "Dead", "index", d);
    for (int i = 0; i < HW_DRAWINGS; i++) {
        if (hw_drawing_of_digit[i].draw == hw_draw_wrap ||
            hw_drawing_of_digit[i].draw == hw_draw_layers)
            continue; // neither shows the stroke's end
        hw_sheet *s = hw_drawing_of_digit[i].draw(arena, &v);
        if (!CHECK(said(s, ">dead point of bar A at MCP ") >= 1))
            printf("    not marked: %s\n", hw_drawing_of_digit[i].name);
        CHECK(said(s, "does not assemble") == 0);
    }
    hw_sheet *s = hw_draw_hand(arena, &v, 1);
    CHECK(said(s, ">dead point of bar A at MCP ") == 1);
    CHECK(said(s, "does not assemble") == 0);
}

// Widths add up on the sheet of layers, layers are all there, and what does not fit is said.
static void layers_add_up(void)
{
    subject u;
    hw_digit d = heron_index();
    hw_digit_view v = view_of(&u, "Heron", "index", d);
    hw_sheet *s = hw_draw_layers(arena, &v);
    // 2.0 + 3.2 + 2.4 + 2.4 + 2.0 + 2.0 and five gaps of 0.25
    CHECK(said(s, ">5 gaps of 0.25</text>") == 1 && said(s, ">1.25</text>") == 1);
    CHECK(said(s, ">15.25</text>") == 1 && said(s, ">0.75</text>") == 1);
    CHECK(said(s, "cheek</text>") == 2 && said(s, ">3   bar A</text>") == 1);
    CHECK(said(s, ">carrier</text>") == 6 && said(s, ">proximal</text>") == 5);
    CHECK(said(s, ">left over</text>") == 1 && said(s, ">through the axis of PIP</text>") == 1);
    d.width = 15e-3;
    v = view_of(&u, "Heron", "index", d);
    s = hw_draw_layers(arena, &v);
    CHECK(said(s, ">too wide by</text>") == 1 && said(s, ">0.25</text>") >= 1);
    d.thumb = true;
    v = view_of(&u, "Heron", "thumb", d);
    CHECK(said(hw_draw_layers(arena, &v), ">half way along the metacarpal</text>") == 1);
    v.layers = NULL;
    CHECK(hw_draw_layers(arena, &v) == NULL);
}

static char *picture(const hw_sheet *s)
{
    memory m = {0};
    CHECK(s && hw_sheet_svg(s, false, memory_sink(&m)) == HW_OK);
    return m.at; // terminated by whoever made it
}

// The section through a joint shows the pins as they are printed: a land is not a bare cone, and
// its lower side is the one on the bed.
static void pins_are_drawn_as_printed(void)
{
    subject u;
    hw_digit_view v = view_of(&u, "Heron", "index", heron_index());
    char *bare = picture(hw_draw_layers(arena, &v)), *land[2];
    for (int back = 0; back < 2; back++) {
        u.layers.fork[1].land = 0.8 * u.layers.cone.engagement;
        v.back_on_bed = back;
        land[back] = picture(hw_draw_layers(arena, &v));
        CHECK(strcmp(bare, land[back]) != 0);
    }
    CHECK(strcmp(land[0], land[1]) != 0);
    free(bare);
    free(land[0]);
    free(land[1]);
}

// Lengths are read off the straight digit, also where the open one is bent.
static void a_digit_that_opens_bent(void)
{
    subject u;
    hw_digit d = heron_index();
    d.travel[0] = -20 * HW_PI / 180;
    hw_digit_view v = view_of(&u, "Bent", "index", d);
    all_drawings(&v);
    hw_sheet *s = hw_draw_section(arena, &v);
    CHECK(said(s, ">MCP \xe2\x88\x92"
                  "20\xc2\xb0   PIP ") == 1); // the open pose stands below
    CHECK(said(s, "45.6</text>") == 1);
    d = wren_index();
    for (int i = 0; i < HW_JOINTS; i++) d.joint_travel[i][0] = 0.3;
    v = view_of(&u, "Bent", "ring", d);
    all_drawings(&v);
}

// A thumb has no natural law, and its phalanges their own names.
static void a_thumb_is_no_finger(void)
{
    subject u;
    hw_digit d = heron_index();
    d.thumb = true;
    hw_digit_view v = view_of(&u, "Heron", "thumb", d);
    CHECK(said(hw_draw_coupling(arena, &v), ">law for MCP") == 1);
    for (int i = 0; i < HW_JOINTS; i++) v.law[i] = (double)NAN;
    CHECK(said(hw_draw_coupling(arena, &v), ">law for ") == 0);
    CHECK(said(hw_draw_tip_path(arena, &v), ">natural law ") == 0);
    CHECK(said(hw_draw_hand(arena, &v, 1), "natural") == 0);
    CHECK(said(hw_draw_wrap(arena, &v), ">metacarpal<") == 1);
    CHECK(said(hw_draw_wrap(arena, &v), ">middle<") == 0);
    all_drawings(&v);
}

static double around(hw_rng *r, double value, double part)
{
    return value * (1 + hw_rng_uniform(r, -part, part));
}

// Other lengths, roots and horns: labels find their place wherever the parts lie.
static void lettering_of_varied_digits(void)
{
    hw_rng r = hw_rng_new(31, 0);
    for (int n = 0; n < 24; n++) {
        subject u;
        hw_digit d = heron_index();
        for (int i = 0; i < HW_JOINTS; i++) {
            d.phalanx[i] = around(&r, d.phalanx[i], 0.4);
            d.thickness[i] = around(&r, d.thickness[i], 0.15);
        }
        for (int i = 0; i < 2; i++) {
            d.bar[i].root.x = around(&r, d.bar[i].root.x, 0.8);
            d.bar[i].root.z = around(&r, d.bar[i].root.z, 0.8);
            d.bar[i].horn = around(&r, d.bar[i].horn, 0.3);
            d.bar[i].horn_angle = around(&r, d.bar[i].horn_angle, 0.2);
        }
        d.travel[1] = around(&r, d.travel[1], 0.5);
        size_t mark = hw_arena_mark(arena);
        hw_digit_view v = view_of(&u, "Varied", "index", d);
        all_drawings(&v);
        hw_arena_rewind(arena, mark);
    }
}

static void all_digits_on_a_page(void)
{
    static subject u[5];
    hw_digit torn = heron_index();
    torn.travel[1] = 175 * HW_PI / 180;
    hw_digit_view v[5] = {view_of(&u[0], "Heron", "thumb", wren_index()),
                          view_of(&u[1], "Heron", "index", heron_index()),
                          view_of(&u[2], "Heron", "middle", torn),
                          view_of(&u[3], "Heron", "ring", dodo_index()),
                          view_of(&u[4], "Heron", "little", heron_little())};
    hw_sheet *s = hw_draw_hand(arena, v, 5);
    if (!CHECK(s != NULL)) return;
    CHECK(hw_sheet_box(s).h < 260);
    lettering_is_clean(s, "Heron");
    CHECK(hw_draw_hand(arena, v, 0) == NULL);
}

static void same_drawing_same_bytes(void)
{
    subject u;
    hw_digit_view v = view_of(&u, "Heron", "index", heron_index());
    memory a = {0}, b = {0};
    hw_sheet *one = hw_draw_section(arena, &v), *two = hw_draw_section(arena, &v);
    CHECK(one && two);
    if (!one || !two) return;
    CHECK(hw_sheet_svg(one, true, memory_sink(&a)) == HW_OK);
    CHECK(hw_sheet_svg(two, true, memory_sink(&b)) == HW_OK);
    CHECK(a.n == b.n && memcmp(a.at, b.at, a.n) == 0);
    CHECK(count_of(a.at, "45.6</text>") == 1 && count_of(a.at, "26.6</text>") == 1);
    CHECK(count_of(a.at, "horn A 6.0 at \xe2\x88\x92"
                         "50\xc2\xb0</text>") == 1);
    CHECK(count_of(a.at, "root B [\xe2\x88\x92"
                         "4.0, \xe2\x88\x92"
                         "2.0]</text>") == 1);
    CHECK(count_of(a.at, "nan") == 0 && count_of(a.at, "inf") == 0);
    free(a.at);
    free(b.at);
}

// Wherever the arena runs out, the drawing says so by being NULL.
static void memory_runs_out(void)
{
    subject u;
    hw_digit_view v = view_of(&u, "Heron", "index", heron_index());
    for (size_t n = 0; n < 2000; n += 211)
        for (int i = 0; i < HW_DRAWINGS; i++) {
            hw_arena *small = hw_arena_new(0);
            hw_arena_fail_after(small, n);
            hw_sheet *s = hw_drawing_of_digit[i].draw(small, &v);
            CHECK(hw_arena_failed(small) ? s == NULL : true);
            hw_arena_free(small);
        }
}

static const char *const five[] = {"thumb", "index", "middle", "ring", "little"};

static void a_palm_over_a_person(void)
{
    hw_palm_def f;
    hw_palm palm;
    hw_hand_shape person;
    CHECK(hw_hand_shape_of(0.186, 0.084, &person) == HW_OK);
    for (int kind = 0; kind < 3; kind++) { // right; left and far from a person; without a thumb
        CHECK(hw_palm_def_of(0.186, 0.084, &f) == HW_OK);
        if (kind == 1) f.digit[1].knuckle.x += 0.012, f.digit[3].segment[0] *= 1.3;
        f.digit[0].present = kind != 2;
        CHECK(hw_palm_of(&f, &palm) == HW_OK);
        hw_palm_view v = {"Trial", &palm, &person, five, kind == 1};
        hw_sheet *s = hw_draw_palm(arena, &v);
        CHECK(s);
        if (!s) continue;
        keep(s, kind == 0 ? "right" : kind == 1 ? "left" : "no-thumb");
        hw_sheet_fault fault[8];
        size_t faults = hw_sheet_check(s, fault, 8);
        for (size_t i = 0; i < faults && i < 8; i++)
            printf("    %s: %s\n", hw_sheet_fault_text(fault[i].kind), fault[i].text);
        CHECK(faults == 0);
    }
    palm.length = (double)NAN;
    hw_palm_view v = {"Trial", &palm, &person, five, false};
    CHECK(!hw_draw_palm(arena, &v));
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    folder = getenv("HW_KEEP_PICTURES");
    arena = hw_arena_new(0);
    RUN(drawings_of_a_good_digit);
    RUN(drawings_of_a_poor_digit);
    RUN(drawings_of_a_cord_digit);
    RUN(drawings_of_a_direct_thumb);
    RUN(a_digit_that_does_not_assemble);
    RUN(a_dead_point_is_marked);
    RUN(layers_add_up);
    RUN(pins_are_drawn_as_printed);
    RUN(a_digit_that_opens_bent);
    RUN(a_thumb_is_no_finger);
    RUN(lettering_of_varied_digits);
    RUN(all_digits_on_a_page);
    RUN(same_drawing_same_bytes);
    RUN(memory_runs_out);
    RUN(a_palm_over_a_person);
    hw_arena_free(arena);
    return TEST_END();
}
