#include "check.h"
#include "digits.h"

enum { ROOM = 64 };

// Every change between closing and not closing that a fine scan sees must have its event, in the
// right place; an event that the scan does not see must be a pair closer than its step.
static void against_a_fine_scan(void)
{
    uint64_t seed = 71;
    int found = 0, of_b = 0;
    for (int i = 0; i < 3000; i++) {
        hw_digit d = random_bars(&seed);
        d.travel[0] = random_between(&seed, -1.5, 0);
        d.travel[1] = random_between(&seed, 1, 3);
        if (hw_digit_check(&d)) continue;
        hw_stroke_event e[ROOM];
        size_t n = hw_stroke_events(&d, e, ROOM);
        CHECK(n <= ROOM);
        for (size_t k = 1; k < n; k++) CHECK(e[k].s >= e[k - 1].s);
        enum { STEPS = 500 };
        bool last = false;
        for (int k = 0; k <= STEPS; k++) {
            hw_digit_pose p;
            bool ok = hw_digit_family_of(d.family)->pose(&d, (double)k / STEPS, &p) == HW_OK;
            if (k > 0 && ok != last) {
                size_t inside = 0, lock = 0;
                for (size_t m = 0; m < n; m++) {
                    bool here = e[m].s * STEPS >= k - 1 - 1e-6 && e[m].s * STEPS <= k + 1e-6;
                    inside += here && e[m].kind == HW_EVENT_DEAD_POINT;
                    lock += here && e[m].kind == HW_EVENT_LOCK_UP;
                    of_b += here && e[m].loop == 1;
                }
                CHECK(inside > 0);
                if (last) CHECK(lock > 0);
                found++;
            }
            last = ok;
        }
    }
    printf("%d ends of closing, %d events of bar B beside them\n", found, of_b);
    CHECK(found > 500 && of_b > 100);
}

// At each event the loop's sine of transmission is zero to rounding's root, and it closes on one
// side only.
static void events_are_where_they_say(void)
{
    uint64_t seed = 72;
    int seen[2] = {0};
    for (int i = 0; i < 2000; i++) {
        hw_digit d = random_bars(&seed);
        d.travel[1] = 2.5;
        hw_stroke_event e[ROOM];
        size_t n = hw_stroke_events(&d, e, ROOM);
        for (size_t k = 0; k < n && k < ROOM; k++) {
            hw_digit_pose p;
            double span = d.travel[1] - d.travel[0];
            NEAR(e[k].joint, d.travel[0] + e[k].s * span, 1e-14 * 3);
            if (e[k].kind != HW_EVENT_DEAD_POINT) continue;
            hw_code code = hw_digit_family_of(d.family)->pose(&d, e[k].s, &p);
            CHECK(code == HW_OK || code == HW_NO_ASSEMBLY);
            double sine = fabs(sin(p.transmission[e[k].loop]));
            // a root of rounding 1e-16 of lengths, larger where PIP itself is near its dead point
            double sharp = e[k].loop ? 1 + fabs(p.rate[1]) : 1;
            CHECK(sine < 1e-6 * sqrt(sharp));
            seen[e[k].loop]++;
        }
    }
    CHECK(seen[0] > 100 && seen[1] > 100);
}

static void a_parallelogram_changes_branch(void)
{
    // root straight above the knuckle, horn straight up: a parallelogram, flat at +-90 deg
    hw_digit d = heron_index();
    d.bar[0].root = (hw_vec2){0, 0.006};
    d.bar[0].horn = 0.006;
    d.bar[0].horn_angle = HW_PI / 2;
    d.travel[0] = -2;
    d.travel[1] = 2;
    hw_stroke_event e[ROOM];
    size_t n = hw_stroke_events(&d, e, ROOM), changes = 0;
    for (size_t k = 0; k < n; k++)
        if (e[k].loop == 0) {
            CHECK(e[k].kind == HW_EVENT_BRANCH_CHANGE);
            NEAR(fabs(e[k].joint), HW_PI / 2, 1e-9); // a flat corner: root of rounding
            changes++;
        }
    CHECK(changes == 2);
}

static void digits_without_events(void)
{
    hw_stroke_event e[2];
    hw_digit d = heron_index();
    CHECK(hw_stroke_events(&d, e, 2) == 0); // a good digit
    d.travel[1] = d.travel[0];
    CHECK(hw_stroke_events(&d, e, 2) == 0);
    d.family = HW_FAMILY_DIRECT;
    CHECK(hw_stroke_events(&d, NULL, 0) == 0);
    d = heron_index();
    d.bar[1].horn = 0;
    CHECK(hw_stroke_events(&d, e, 2) == 0);
}

static void room_runs_out(void)
{
    hw_digit d = heron_index();
    d.travel[0] = -3;
    d.travel[1] = 9;
    hw_stroke_event all[ROOM], few[2];
    size_t n = hw_stroke_events(&d, all, ROOM);
    CHECK(n > 2 && n <= ROOM);
    CHECK(hw_stroke_events(&d, few, 2) == n);
    CHECK(few[0].s == all[0].s && few[1].s == all[1].s);
    CHECK(hw_stroke_events(&d, NULL, 0) == n);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(against_a_fine_scan);
    RUN(events_are_where_they_say);
    RUN(a_parallelogram_changes_branch);
    RUN(digits_without_events);
    RUN(room_runs_out);
    return TEST_END();
}
