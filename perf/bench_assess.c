// One whole hand assessed on one core: the chain as it stands beside a naive one in the same run.
//
// The naive chain does the same jobs the way a first draft does them: every pose of every digit of
// bars is solved by itself with the general solver for planar mechanisms (core/linkage/mech.h, a
// walk from the open pose and a dense balance of every body), again for each load case, and again
// for each cylinder of the wrap chart, whose touch is found by halving; the tip's path is held
// against every chord of the law's. What has no other way in the program (layers, pivots, drive,
// creases) is added at its own time. Both answers are compared.
#include "assess/assess.h"
#include "base/text.h"
#include "digit/contact.h"
#include "digit/outline.h"
#include "linkage/mech.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

enum { BYTES = 1 << 16, ROUNDS = 7, BODIES = 6 };

static double now(void)
{
    struct timespec t;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t); // other work on the machine does not count
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static hw_design *read_design(hw_arena *a, const char *path)
{
    FILE *f = fopen(path, "rb");
    char *bytes = HW_NEW(a, char, BYTES);
    if (!f || !bytes) return NULL;
    size_t len = fread(bytes, 1, BYTES, f);
    fclose(f);
    hw_diag item[8];
    hw_diags diags = {item, 0, 8, 0};
    hw_read_def def = {.file = path, .requirable = &hw_assess_requirable};
    hw_design *d = NULL;
    return hw_design_read(a, (hw_text){bytes, len}, &def, &d, &diags) == HW_OK ? d : NULL;
}

// ---- the naive chain of one digit of bars

typedef struct naive {
    const hw_digit *d;
    hw_arena *arena;
    hw_mech m;
    hw_body_pose open[BODIES];
    double s[HW_ASSESS_STEPS];
    hw_mech_motion at[HW_ASSESS_STEPS];
    uint8_t ok[HW_ASSESS_STEPS];
} naive;

static void must(hw_code code)
{
    if (code != HW_OK) exit(1);
}

// The open pose, from which the solver walks; known once from the closed form.
static void naive_begin(naive *n, hw_arena *a, const hw_digit *d)
{
    const hw_digit_family *family = hw_digit_family_of(d->family);
    hw_digit_pose p;
    *n = (naive){.d = d, .arena = a};
    must(family->mechanism(d, a, &n->m));
    must(family->pose(d, 0, &p));
    for (int i = 0; i < HW_JOINTS; i++)
        n->open[i + 1] = (hw_body_pose){p.at[i].x, p.at[i].z, hw_digit_turned(&p, i)};
    for (int i = 0; i < 2; i++) {
        hw_vec2 line = hw_sub(p.bar_end[i], p.bar_root[i]);
        n->open[4 + i] = (hw_body_pose){p.bar_root[i].x, p.bar_root[i].z, atan2(-line.z, line.x)};
    }
    for (int i = 0; i < HW_ASSESS_STEPS; i++) {
        n->s[i] = i / (HW_ASSESS_STEPS - 1.0);
        must(hw_mech_motion_new(a, &n->m, &n->at[i]));
    }
}

static void naive_stroke(naive *n)
{
    hw_mech_sweep sweep = {.n = HW_ASSESS_STEPS, .s = n->s, .at = n->at, .ok = n->ok};
    must(hw_mech_walk(&n->m, n->arena, n->open, 0, &sweep));
}

static hw_digit_pose joints_of(const hw_mech_motion *at)
{
    hw_digit_pose p = {.joint = {0}};
    for (int i = 0; i < HW_JOINTS; i++) {
        p.joint[i] = at->pose[i + 1].angle - at->pose[i].angle;
        p.at[i] = (hw_vec2){at->pose[i + 1].x, at->pose[i + 1].z};
    }
    return p;
}

// A load case: its own walk, and a full balance of all bodies at each pose.
static double naive_case(naive *n, hw_case which, double force) // [N]
{
    hw_mech_forces f;
    double most = 0;
    must(hw_mech_forces_new(n->arena, &n->m, &f));
    naive_stroke(n);
    for (int i = 0; i < HW_ASSESS_STEPS; i++) {
        hw_digit_pose p = joints_of(&n->at[i]);
        hw_load one = hw_case_load(n->d, &p, which, force);
        hw_body_pose on = n->at[i].pose[one.phalanx + 1];
        hw_mech_load load = {one.phalanx + 1, one.at, hw_flexed(one.force, on.angle), 0};
        must(hw_mech_balance(&n->m, n->arena, n->at[i].pose, &load, 1, &f));
        for (int j = 0; j < HW_JOINTS; j++) most = fmax(most, hw_norm(f.pin[j]));
    }
    return most;
}

// Gap of a cylinder pushed along the palm by the proximal phalanx, its place found by halving.
static double naive_gap(const naive *n, const hw_mech_motion *at, double radius,
                        double gap[]) // [m]
{
    hw_disc disc[HW_JOINTS][2];
    for (int i = 0; i < HW_JOINTS; i++) {
        hw_phalanx_discs(n->d, i, disc[i]);
        for (int k = 0; k < 2; k++) disc[i][k].at = hw_body_point(at->pose[i + 1], disc[i][k].at);
    }
    double length = n->d->phalanx[0] + radius, far = -4 * length, near = length;
    hw_vec2 centre = {0, -disc[0][0].radius - radius};
    for (int k = 0; k < 60; k++) { // from the wrist's side the first place that touches
        centre.x = 0.5 * (far + near);
        if (hw_discs_distance(disc[0], centre) > radius && centre.x < disc[0][0].at.x)
            far = centre.x;
        else
            near = centre.x;
    }
    for (int i = 0; i < HW_JOINTS; i++) gap[i] = hw_discs_distance(disc[i], centre) - radius;
    return fmin(gap[1], gap[2]);
}

// One cylinder: its own walk, then the touch by halving, each time a walk from the pose before.
static void naive_wrap(naive *n, double diameter, double gap[]) // [m]
{
    hw_mech_motion mid;
    must(hw_mech_motion_new(n->arena, &n->m, &mid));
    naive_stroke(n);
    for (int i = 0; i < HW_ASSESS_STEPS; i++) {
        if (naive_gap(n, &n->at[i], diameter / 2, gap) > 0 || i == 0) continue;
        double clear = n->s[i - 1], met = n->s[i];
        for (int k = 0; k < 44; k++) {
            double half = 0.5 * (clear + met);
            must(hw_mech_solve(&n->m, n->arena, n->at[i - 1].pose, n->s[i - 1], half, &mid, NULL));
            if (naive_gap(n, &mid, diameter / 2, gap) > 0)
                clear = half;
            else
                met = half;
        }
        return;
    }
}

// Root mean square distance of the tip's path to the law's, against every chord.
static double naive_path(const naive *n, const double law[HW_JOINTS]) // [1]
{
    enum { CHORDS = 256 };
    const hw_digit *d = n->d;
    double sum = 0, low = d->travel[0], span = d->travel[1] - low;
    for (int i = 0; i < HW_ASSESS_STEPS; i++) {
        hw_vec2 tip = hw_body_point(n->at[i].pose[3], (hw_vec2){d->phalanx[2], 0}), last = {0, 0};
        double least = INFINITY;
        for (int k = 0; k <= CHORDS; k++) {
            double knuckle = low - span / 10 + 1.2 * span * k / CHORDS, turned = 0;
            hw_vec2 at = {0, 0};
            for (int j = 0; j < HW_JOINTS; j++) {
                turned += knuckle * law[j] / law[0];
                at = hw_add(at, hw_flexed((hw_vec2){d->phalanx[j], 0}, turned));
            }
            if (k > 0) {
                hw_vec2 along = hw_sub(at, last), off = hw_sub(tip, last);
                double t = hw_dot(off, along) / hw_dot(along, along);
                t = fmin(fmax(t, 0), 1);
                least = fmin(least, hw_norm(hw_sub(off, hw_scale(along, t))));
            }
            last = at;
        }
        sum += least * least;
    }
    return sqrt(sum / HW_ASSESS_STEPS) / (d->phalanx[0] + d->phalanx[1] + d->phalanx[2]);
}

static double worst; // largest relative difference from ours

static void same(double ours, double naives, double scale)
{
    worst = fmax(worst, fabs(ours - naives) / scale);
}

static void naive_digit(hw_arena *a, const hw_hand *hand, const hw_digit *d,
                        const hw_digit_assessment *got)
{
    const hw_loads *l = &hand->loads;
    const double force[HW_CASES] = {l->tip, l->pad, l->pad, l->pad, l->hook, l->knock};
    naive n;
    naive_begin(&n, a, d);
    naive_stroke(&n);
    same(got->closing.path_rms, naive_path(&n, hand->law), 1);
    for (int c = 0; c < HW_CASES; c++) {
        double pin = 0, most = naive_case(&n, (hw_case)c, force[c]);
        for (int j = 0; j < HW_JOINTS; j++) pin = fmax(pin, got->worst[c].pin[j].value);
        same(pin, most, most);
    }
    for (int k = 0; k < HW_WRAP_SIZES; k++) {
        double gap[HW_JOINTS];
        naive_wrap(&n, got->wrap.diameter[k], gap);
        for (int j = 0; j < HW_JOINTS; j++) same(got->wrap.gap[k][j], gap[j], 0.1);
    }
}

// The same parts as they stand, to be taken off.
static void ours_digit(hw_arena *a, const hw_hand *hand, const hw_digit *d)
{
    const hw_loads *l = &hand->loads;
    const double force[HW_CASES] = {l->tip, l->pad, l->pad, l->pad, l->hook, l->knock};
    hw_case_worst of[HW_CASES];
    hw_closing closing;
    hw_wrap_chart wrap;
    hw_stroke s;
    must(hw_stroke_new(a, HW_ASSESS_STEPS, &s));
    must(hw_stroke_run(d, &s));
    must(hw_stroke_keep(a, d, &s));
    must(hw_case_worst_all(d, &s, force, of));
    must(hw_closing_of(d, &s, hand->law, &closing));
    must(hw_wrap_chart_of(d, &s, &wrap));
}

typedef enum part { WHOLE, OURS, NAIVE } part;

// Milliseconds of one run.
static double once(hw_arena *a, const hw_design *d, part which, const hw_assessment *got)
{
    size_t mark = hw_arena_mark(a);
    double start = now();
    hw_assessment s;
    if (which == WHOLE) must(hw_assess(a, d, NULL, &s));
    for (int i = 0; i < HW_DIGITS && which != WHOLE; i++) {
        const hw_digit *g = &got->hand->digit[i];
        if (!got->digit[i].assembles || g->family != HW_FAMILY_COUPLED_BARS) continue;
        if (which == OURS)
            ours_digit(a, got->hand, g);
        else
            naive_digit(a, got->hand, g, &got->digit[i]);
    }
    double spent = now() - start;
    hw_arena_rewind(a, mark);
    return 1e3 * spent;
}

static int by_size(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

int main(int argc, char **argv)
{
    hw_arena *a = hw_arena_new(0);
    hw_design *d = read_design(a, argc > 1 ? argv[1] : "examples/heron.yaml");
    hw_assessment got;
    if (!d || hw_assess(a, d, NULL, &got) != HW_OK) return 1;
    double time[3][ROUNDS];
    for (int r = 0; r < ROUNDS; r++) {
        static const int runs[3] = {30, 60, 1};
        for (int p = 0; p < 3; p++) {
            double sum = 0;
            for (int k = 0; k < runs[p]; k++) sum += once(a, d, (part)p, &got);
            time[p][r] = sum / runs[p];
        }
    }
    for (int p = 0; p < 3; p++) qsort(time[p], ROUNDS, sizeof time[p][0], by_size);
    double whole = time[WHOLE][ROUNDS / 2], ours = time[OURS][ROUNDS / 2];
    double first = whole - ours + time[NAIVE][ROUNDS / 2];
    printf("a whole hand on one core, ms of processor time\n");
    printf("  as it stands             %8.2f\n", whole);
    printf("    its strokes, cases, closing, wrap %8.2f\n", ours);
    printf("    the same, naive                   %8.2f\n", time[NAIVE][ROUNDS / 2]);
    printf("  naive                    %8.2f\n", first);
    printf("  naive / as it stands     %8.1f\n", first / whole);
    printf("largest difference %.1e\n", worst);
    hw_arena_free(a);
    return worst < 1e-4 ? 0 : 1;
}
