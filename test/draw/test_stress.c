// The map of stress: steps, greys where they belong, lettering without faults.
#include "draw/stress.h"

#include "check.h"
#include "draw/sheet.h"
#include "memory.h"

enum { WIDE = 40, HIGH = 16 };

static double value[WIDE * HIGH], filled[WIDE * HIGH];

// A beam bent in its plane, a hole in it; the greatest stress at its upper right.
static hw_stress_map beam(void)
{
    for (size_t k = 0; k < HIGH; k++)
        for (size_t i = 0; i < WIDE; i++) {
            double x = (double)i - 12, z = (double)k - 7.5;
            bool hole = x * x + z * z < 9;
            filled[k * WIDE + i] = hole ? 0 : 1;
            value[k * WIDE + i] =
                hole ? (double)NAN : 50e6 * fabs(z) / 7.5 * ((double)i + 0.5) / WIDE;
        }
    return (hw_stress_map){.name = "stress",
                           .title = "Stress, index middle phalanx",
                           .design = "Heron",
                           .remark = "cut at y 1.5 mm",
                           .below = "tip push, at 63 % of the travel",
                           .n = {WIDE, HIGH},
                           .value = value,
                           .filled = filled,
                           .edge = 0.5e-3,
                           .worst = {19.9e-3, 7.9e-3},
                           .most = 48e6,
                           .width = 180,
                           .height_most = 100};
}

static void steps_are_round(void)
{
    static const double want[][2] = {{4, 1},  {7.9, 1}, {8, 2},  {19.9, 2},
                                     {20, 5}, {39, 5},  {40, 10}};
    for (size_t i = 0; i < sizeof want / sizeof want[0]; i++)
        for (int ten = -3; ten <= 9; ten += 3)
            CLOSE(hw_stress_step(want[i][0] * pow(10, ten) * (1 + 1e-9)), want[i][1] * pow(10, ten),
                  1e-9);
}

static const hw_item *picture(const hw_sheet *s)
{
    for (const hw_item *i = s->first; i; i = i->next)
        if (i->kind == HW_ITEM_IMAGE && i->columns > 64) return i;
    return NULL;
}

// Greys grow with the value, paper in the hole, a line round the part.
static void greys_follow_the_values(void)
{
    hw_arena *a = hw_arena_new(0);
    hw_stress_map m = beam();
    hw_sheet *s = NULL;
    CHECK(hw_draw_stress(a, &m, &s) == HW_OK && s);
    const hw_item *i = s ? picture(s) : NULL;
    if (!CHECK(i != NULL)) return;
    size_t dots = i->columns / WIDE;
    CHECK(i->columns == WIDE * dots && i->rows == HIGH * dots);
    CLOSE(i->box.w / i->box.h, (double)WIDE / HIGH, 1e-9);
#define INK(x, z)                                                                                  \
    i->ink[(size_t)((HIGH - (z)) * (double)dots) * i->columns + (size_t)((x) * (double)dots)]
    CHECK(INK(12.5, 8.0) == 0);                            // the hole
    CHECK(INK(2.5, 8.6) > 0 && INK(2.5, 8.6) < 40);        // hardly stressed
    CHECK(INK(39.0, 15.2) > 140 && INK(39.0, 15.2) < 170); // the most, in its darkest grey
    CHECK(INK(39.0, 0.7) > 140);
    CHECK(INK(20, 0.02) == 255 && INK(39.95, 8) == 255); // the outline
    int changes = 0;
    for (double x = 1; x < 39; x += 0.1) changes += INK(x, 15.0) > 200 && INK(x + 0.1, 15.0) <= 200;
    CHECK(changes == 4); // contours at 10, 20, 30 and 40 MPa
#undef INK
    CHECK(hw_sheet_check(s, NULL, 0) == 0);
    hw_sheet_fault fault[4];
    size_t faults = hw_sheet_check(s, fault, 4);
    for (size_t f = 0; f < faults && f < 4; f++)
        printf("%s: %s\n", hw_sheet_fault_text(fault[f].kind), fault[f].text);
    hw_arena_free(a);
}

static void the_numbers_are_there(void)
{
    hw_arena *a = hw_arena_new(0);
    hw_stress_map m = beam();
    hw_sheet *s = NULL;
    memory svg = {0}, png = {0}, again = {0};
    CHECK(hw_draw_stress(a, &m, &s) == HW_OK && s);
    CHECK(s && hw_sheet_svg(s, false, memory_sink(&svg)) == HW_OK);
    static const char *const words[] = {"48 MPa",         ">10<", ">40<",
                                        "MPa, von Mises", "5 mm", "tip push, at 63 % of the travel",
                                        "cut at y 1.5 mm"};
    for (size_t i = 0; i < sizeof words / sizeof words[0]; i++)
        CHECK(svg.at && strstr(svg.at, words[i]) != NULL);
    CHECK(s && hw_sheet_png(s, 60, memory_sink(&png)) == HW_OK);
    CHECK(s && hw_sheet_png(s, 60, memory_sink(&again)) == HW_OK);
    CHECK(png.n == again.n && png.n > 1000 && memcmp(png.at, again.at, png.n) == 0);
    free(svg.at), free(png.at), free(again.at);
    hw_arena_free(a);
}

static void faulty_maps_are_refused(void)
{
    hw_arena *a = hw_arena_new(0);
    hw_stress_map m = beam();
    hw_sheet *s;
    hw_stress_map bad[6] = {m, m, m, m, m, m};
    bad[0].edge = 0;
    bad[1].most = (double)NAN;
    bad[2].n[0] = 0;
    bad[3].width = 20;
    bad[4].worst.x = (double)INFINITY;
    static const double none[WIDE * HIGH];
    bad[5].filled = none;
    for (int i = 0; i < 6; i++) CHECK(hw_draw_stress(a, &bad[i], &s) == HW_BAD_INPUT && !s);
    for (size_t n = 0; n < 200; n++) {
        size_t mark = hw_arena_mark(a);
        hw_arena_fail_after(a, n);
        hw_code code = hw_draw_stress(a, &m, &s);
        hw_arena_fail_after(a, SIZE_MAX);
        hw_arena_rewind(a, mark);
        if (code == HW_OK) {
            CHECK(n > 5);
            break;
        }
        CHECK(code == HW_NO_MEMORY && !s && n < 199);
    }
    hw_arena_free(a);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(steps_are_round);
    RUN(greys_follow_the_values);
    RUN(the_numbers_are_there);
    RUN(faulty_maps_are_refused);
    return TEST_END();
}
