// Random coupled-bars digits, one in a hundred within a degree of a dead point when straight: the
// closed form's events beside what the general solver's walk meets, the batch beside single poses,
// and virtual work over whole strokes. The number of digits is the program's argument.
#include "../digit/random_digit.h"
#include "check.h"
#include "linkage/linkage.h"
#include "stroke/batch.h"
#include "stroke/chart.h"

#include <stdlib.h>

static long digits = 2000;

enum { ROOM = 32, BODIES = 6, POSES = 16 };

static const hw_digit_family *bars(void)
{
    return hw_digit_family_of(HW_FAMILY_COUPLED_BARS);
}

static void known_pose(const hw_digit_pose *p, hw_body_pose at[BODIES])
{
    at[0] = (hw_body_pose){0, 0, 0};
    for (int i = 0; i < HW_JOINTS; i++)
        at[i + 1] = (hw_body_pose){p->at[i].x, p->at[i].z, hw_digit_turned(p, i)};
    for (int i = 0; i < 2; i++) {
        hw_vec2 line = hw_sub(p->bar_end[i], p->bar_root[i]);
        at[4 + i] = (hw_body_pose){p->bar_root[i].x, p->bar_root[i].z, atan2(-line.z, line.x)};
    }
}

// The closed form's dead point next to the straight digit on one side; NaN when there is none.
static double next_dead(const hw_stroke_event *e, size_t n, double straight, int way, int *loop)
{
    double best = NAN;
    for (size_t k = 0; k < n; k++) {
        double off = (e[k].s - straight) * way;
        if (e[k].kind != HW_EVENT_DEAD_POINT || off < 0) continue;
        if (isnan(best) || off < (best - straight) * way) {
            best = e[k].s;
            *loop = e[k].loop;
        }
    }
    return best;
}

typedef struct tally {
    long walks, dead, of_loop[2];
    double worst; // distance of the two dead points in s [1]
} tally;

static void walk_one_way(const hw_digit *d, hw_arena *a, const hw_mech *m,
                         const hw_body_pose start[BODIES], double straight, int way, tally *t)
{
    hw_stroke_event e[ROOM];
    size_t n = hw_stroke_events(d, e, ROOM);
    CHECK(n <= ROOM);
    double end = way > 0 ? 1 : 0;
    uint8_t ok;
    hw_event met[4];
    hw_mech_motion at;
    CHECK(hw_mech_motion_new(a, m, &at) == HW_OK);
    hw_mech_sweep sweep = {.n = 1, .s = &end, .at = &at, .ok = &ok, .event = met, .room = 4};
    hw_code code = hw_mech_walk(m, a, start, straight, &sweep);
    CHECK(code == HW_OK || code == HW_NO_ASSEMBLY);
    int loop = 0;
    double ours = next_dead(e, n, straight, way, &loop);
    t->walks++;
    CHECK((sweep.events > 0) == !isnan(ours));
    if (sweep.events == 0 || isnan(ours)) return;
    CHECK(met[0].kind == HW_EVENT_DEAD_POINT);
    t->worst = fmax(t->worst, fabs(met[0].s - ours));
    t->dead++;
    t->of_loop[loop]++;
}

static void events_of_both_routes(void)
{
    hw_arena *a = hw_arena_new(0);
    uint64_t state = 99;
    tally t = {0};
    size_t mark = hw_arena_mark(a);
    for (long i = 0; i < digits; i++, hw_arena_rewind(a, mark)) {
        hw_digit d = random_bars(&state);
        hw_mech m;
        hw_digit_pose p;
        hw_body_pose start[BODIES];
        if (bars()->mechanism(&d, a, &m) != HW_OK) continue; // dead when straight: has a name
        double straight = -d.travel[0] / (d.travel[1] - d.travel[0]);
        if (bars()->pose(&d, straight, &p) != HW_OK) continue; // the same to rounding
        known_pose(&p, start);
        walk_one_way(&d, a, &m, start, straight, 1, &t);
        walk_one_way(&d, a, &m, start, straight, -1, &t);
    }
    printf("%ld walks, %ld to a dead point (bar A %ld, bar B %ld), worst distance %.1e of s\n",
           t.walks, t.dead, t.of_loop[0], t.of_loop[1], t.worst);
    CHECK(t.walks > digits * 19 / 10 && t.of_loop[0] > digits / 100 && t.of_loop[1] > digits / 100);
    // 1e-12 of the walk; ours has a root of rounding where a triangle is nearly flat
    CHECK(t.worst < 1e-9);
    hw_arena_free(a);
}

// -dE of the unit load along the rates: what the drive must give.
static double work_of_unit_load(const hw_digit *d, const hw_digit_pose *p)
{
    (void)d;
    double turned = hw_digit_turned(p, 2), work = 0;
    hw_vec2 force = hw_flexed((hw_vec2){0, 1}, turned);
    for (int j = 0; j < HW_JOINTS; j++)
        work += p->rate[j] * hw_moment(hw_sub(p->at[HW_JOINTS], p->at[j]), force);
    return -work;
}

static void batch_beside_poses_and_work(void)
{
    hw_arena *a = hw_arena_new(0);
    uint64_t state = 98;
    hw_stroke s;
    CHECK(hw_stroke_new(a, POSES, &s) == HW_OK);
    double angle = 0, work = 0;
    long poses = 0, parted = 0;
    for (long i = 0; i < digits; i++) {
        hw_digit d = random_bars(&state);
        hw_code code = hw_stroke_run(&d, &s);
        if (code == HW_BAD_INPUT) continue;
        double largest = 0, off = 0;
        for (size_t k = 0; k < s.n; k++) {
            hw_digit_pose p;
            bool ok = bars()->pose(&d, s.s[k], &p) == HW_OK;
            parted += ok != s.ok[k];
            if (!ok || !s.ok[k]) continue;
            poses++;
            double sine = sin(p.transmission[0]);
            double tight = sine * sine * sin(p.transmission[1]) * sin(p.transmission[1]);
            for (int j = 1; j < HW_JOINTS; j++)
                angle = fmax(angle, fabs(s.joint[j][k] - p.joint[j]) * tight);
            double want = work_of_unit_load(&d, &p);
            largest = fmax(largest, fabs(want));
            off = fmax(off, fabs(s.torque[k] - want) * tight);
        }
        if (largest > 0) work = fmax(work, off / largest);
    }
    printf("%ld poses, %ld closed by one route only; angles %.1e rad, work %.1e of the largest "
           "torque, both times the sines squared\n",
           poses, parted, angle, work);
    CHECK(angle < 1e-12); // rounding of two routes through the same formulas
    CHECK(work < 1e-9);   // asked
    CHECK(parted <= poses / 100000);
    CHECK(poses > digits * POSES / 4);
    hw_arena_free(a);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    if (argc > 1 && argv[1][0] != '-') digits = strtol(argv[1], NULL, 10);
    RUN(events_of_both_routes);
    RUN(batch_beside_poses_and_work);
    return TEST_END();
}
