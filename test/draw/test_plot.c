// Charts: steps, ranges, numbers for people, scales, names at line ends.
#include "draw/plot.h"

#include "check.h"
#include "draw/sheet.h"

static hw_arena *arena;

static void steps_are_round(void)
{
    static const double span[] = {1e-9, 0.37, 1, 9.99, 85, 1000, 12345, 3e12};
    for (size_t i = 0; i < sizeof span / sizeof *span; i++)
        for (int most = 1; most < 12; most++) {
            double step = hw_plot_step(span[i], most);
            CHECK(span[i] / step <= most * (1 + 1e-9)); // rounding of one division
            double mantissa = step / pow(10, floor(log10(step) + 1e-9));
            bool round = fabs(mantissa - 1) < 1e-9 || fabs(mantissa - 2) < 1e-9 ||
                         fabs(mantissa - 5) < 1e-9; // pow is good to some eps
            CHECK(round);
            // the next smaller round step would not do: at most 2.5 times finer
            CHECK(span[i] / (step / 2.5) > most * (1 - 1e-9));
        }
    CHECK(hw_plot_step(0, 5) == 1 && hw_plot_step(-1, 5) == 1);
    CHECK(hw_plot_step((double)NAN, 5) == 1 && hw_plot_step((double)INFINITY, 5) == 1);
}

static void ranges_hold_their_values(void)
{
    double v[] = {3.2, (double)NAN, 17.9, -2.1};
    hw_plot_axis a = {.step = 5};
    hw_plot_range(&a, v, 4, true);
    CHECK(a.low == -5 && a.high == 20);
    hw_plot_axis none = {.step = 0};
    hw_plot_range(&none, v + 1, 1, false); // nothing but NaN
    CHECK(none.low <= 0 && none.high >= 1);
    double flat[] = {7, 7};
    hw_plot_axis level = {.step = 0};
    hw_plot_range(&level, flat, 2, false);
    CHECK(level.high > 7 && level.low <= 7);
}

static void numbers_for_people(void)
{
    char out[40];
    SAME_TEXT(hw_plot_fixed(-2.04, 1, out), "\xe2\x88\x92"
                                            "2.0");
    SAME_TEXT(hw_plot_fixed(-0.01, 1, out), "0.0");
    SAME_TEXT(hw_plot_fixed((double)NAN, 1, out), "\xe2\x80\x94");
    SAME_TEXT(hw_plot_number(1234.5, 3, out), "1230");
    SAME_TEXT(hw_plot_number(-0.5, 3, out), "\xe2\x88\x92"
                                            "0.5");
}

static void scales_map_ends_to_ends(void)
{
    hw_sheet *s = hw_sheet_new(arena, 100, 80, "plot", "Plot");
    hw_plot p = {.box = {0, 0, 100, 80}, .x = {"x", -10, 30, 0}, .y = {"y", 5, 25, 0}};
    hw_plot_begin(s, &p);
    hw_spot low = hw_plot_spot(&p, -10, 5), high = hw_plot_spot(&p, 30, 25);
    // a few roundings of numbers of the sheet's size
    NEAR(low.x, p.frame.x, 1e-12 * 100);
    NEAR(low.y, p.frame.y + p.frame.h, 1e-12 * 100);
    NEAR(high.x, p.frame.x + p.frame.w, 1e-12 * 100);
    NEAR(high.y, p.frame.y, 1e-12 * 100);
    hw_plot even = {.box = {0, 0, 100, 80}, .x = {"x", 0, 100, 0}, .y = {"y", 0, 10, 0}};
    even.equal = true;
    hw_plot_begin(s, &even);
    CHECK(even.x_per == even.y_per);
}

// Lines that end together: their names stand apart, and none leaves the sheet.
static void names_stand_apart(void)
{
    enum { N = 5 };
    double x[] = {0, 10}, y[N][2];
    hw_plot_line line[N];
    static const char *const name[N] = {"first", "second", "third", "fourth", "fifth"};
    for (int i = 0; i < N; i++) {
        y[i][0] = 0;
        y[i][1] = i * 0.01; // all but one point at the foot of the frame
        line[i] = (hw_plot_line){x, y[i], 2, name[i], hw_pen_of(0.25, HW_INK_BLACK)};
    }
    hw_sheet *s = hw_sheet_new(arena, 80, 60, "names", "Names");
    hw_plot p = {.box = {0, 0, 80, 60}, .x = {"x", 0, 10, 0}, .y = {"y", 0, 10, 0}};
    p.label_room = hw_plot_label_room(line, N);
    CHECK(p.label_room > 5 + hw_type_width(hw_type_of(7.5, HW_ANCHOR_START), "second") - 1e-9);
    hw_plot_begin(s, &p);
    hw_plot_lines(s, &p, line, N);
    hw_sheet_fault f[4];
    size_t n = hw_sheet_check(s, f, 4);
    CHECK(n == 0);
    for (size_t i = 0; i < n && i < 4; i++)
        printf("    %s: %s\n", hw_sheet_fault_text(f[i].kind), f[i].text);
}

static void gaps_lift_the_pen(void)
{
    double x[] = {0, 1, 2, 3, 4}, y[] = {0, 1, (double)NAN, 1, 0};
    hw_plot_line line = {x, y, 5, "gap", hw_pen_of(0.25, HW_INK_BLACK)};
    hw_sheet *s = hw_sheet_new(arena, 80, 60, "gap", "Gap");
    hw_plot p = {.box = {0, 0, 80, 60}, .x = {"x", 0, 4, 0}, .y = {"y", 0, 1, 0}, .label_room = 12};
    hw_plot_begin(s, &p);
    const hw_item *before = s->last;
    hw_plot_lines(s, &p, &line, 1);
    const hw_item *path = before->next; // the clip
    while (path && path->kind != HW_ITEM_PATH) path = path->next;
    CHECK(path && path->segments == 2 && path->path.n == 4);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    arena = hw_arena_new(0);
    RUN(steps_are_round);
    RUN(ranges_hold_their_values);
    RUN(numbers_for_people);
    RUN(scales_map_ends_to_ends);
    RUN(names_stand_apart);
    RUN(gaps_lift_the_pen);
    hw_arena_free(arena);
    return TEST_END();
}
