// The digit across its width, judged by the general balances of linkage/spatial.h, by the planar
// statics and by virtual work. Tolerance 1e-11 of the largest force over the sines of both
// transmission angles: a few dozen roundings and the conditioning.
#include "base/arena.h"
#include "check.h"
#include "digit/spatial.h"
#include "linkage/spatial.h"
#include "random_digit.h"

static const hw_knuckle_cord couple = {0};

static hw_vec3 at_y(hw_vec2 v, double y)
{
    return (hw_vec3){v.x, y, v.z};
}

static hw_across random_across(uint64_t *seed)
{
    hw_across a;
    for (int j = 0; j < HW_JOINTS; j++) {
        a.cone[j][0] = random_between(seed, -0.008, -0.003);
        a.cone[j][1] = random_between(seed, 0.003, 0.008);
    }
    a.bar[0] = random_between(seed, -0.003, 0.003);
    a.bar[1] = random_between(seed, -0.003, 0.003);
    a.pulley = random_between(seed, -0.004, 0.004);
    a.cord = random_between(seed, -0.004, 0.004);
    return a;
}

static hw_knuckle_cord random_drive(uint64_t *seed)
{
    double up = random_between(seed, -0.5, 0.5), down = random_between(seed, -0.5, 0.5);
    return (hw_knuckle_cord){.radius = random_between(seed, 0.005, 0.012),
                             .toward = {-cos(up), sin(up)},
                             .back = {-cos(down), sin(down)}};
}

static void random_pushes(uint64_t *seed, const hw_digit *d, hw_space_push push[HW_JOINTS])
{
    for (int i = 0; i < HW_JOINTS; i++)
        push[i] = (hw_space_push){
            .phalanx = i,
            .at = {random_between(seed, 0, d->phalanx[i]), random_between(seed, -0.008, 0.008),
                   random_between(seed, -0.01, 0.01)},
            .force = {random_between(seed, -5, 5), random_between(seed, -5, 5),
                      random_between(seed, -5, 5)}};
}

static hw_digit digit_of_family(uint64_t *seed, int i)
{
    hw_digit d = random_bars(seed);
    d.family = (hw_family_kind)(i % HW_FAMILIES);
    for (int j = 0; j < HW_JOINTS; j++) {
        d.cord.arm[j] = random_between(seed, 0.002, 0.009);
        d.joint_travel[j][1] = random_between(seed, 0.5, 1.6);
    }
    return d;
}

// ---- the judge: the same digit as bodies in space
// -------------------------------------------------------------------------------------------

typedef struct judge {
    hw_space_pin pin[HW_JOINTS];
    hw_space_stretch stretch[2];
    hw_space_line line[3];
    hw_space_stretch cord;
    hw_space_drive drive[HW_JOINTS];
    hw_space_load load[2 * HW_JOINTS + 6];
    size_t loads;
    hw_space m;
} judge;

static void judge_loads(judge *q, const hw_digit_pose *p, const hw_space_push push[HW_JOINTS])
{
    for (int i = 0; i < HW_JOINTS; i++) {
        double turn = hw_digit_turned(p, push[i].phalanx);
        hw_vec2 r = hw_digit_point(p, push[i].phalanx, (hw_vec2){push[i].at.x, push[i].at.z});
        hw_vec2 f = hw_flexed((hw_vec2){push[i].force.x, push[i].force.z}, turn);
        q->load[q->loads++] = (hw_space_load){.body = push[i].phalanx + 1,
                                              .at = at_y(r, push[i].at.y),
                                              .force = {f.x, push[i].force.y, f.z}};
    }
}

// The drive's cord as a line of unknown tension from its tangent point on the pulley; `closes`: the
// closing cord, which turns the knuckle by +radius.
static void judge_pulley(judge *q, const hw_across *a, const hw_knuckle_cord *drive, bool closes)
{
    hw_vec2 u = closes ? drive->toward : drive->back;
    double r = closes ? drive->radius : -drive->radius;
    hw_vec2 tangent = {-u.z * r, u.x * r};
    q->cord = (hw_space_stretch){.a = 0,
                                 .b = 1,
                                 .at_a = at_y(hw_add(tangent, hw_scale(u, 0.05)), a->pulley),
                                 .at_b = at_y(tangent, a->pulley)};
    q->line[q->m.lines++] = (hw_space_line){.stretch = &q->cord, .stretches = 1};
}

static void judge_model(judge *q, const hw_digit *d, const hw_digit_pose *p, const hw_across *a,
                        const hw_knuckle_cord *drive, bool closes)
{
    *q = (judge){.loads = 0};
    q->m = (hw_space){
        .bodies = 4, .pin = q->pin, .pins = HW_JOINTS, .line = q->line, .drive = q->drive};
    for (int j = 0; j < HW_JOINTS; j++)
        q->pin[j] = (hw_space_pin){.a = j, .b = j + 1, .at = at_y(p->at[j], 0), .axis = {0, 1, 0}};
    if (d->family == HW_FAMILY_COUPLED_BARS)
        for (int i = 0; i < 2; i++) {
            q->stretch[i] = (hw_space_stretch){.a = i,
                                               .b = i + 2,
                                               .at_a = at_y(p->bar_root[i], a->bar[i]),
                                               .at_b = at_y(p->bar_end[i], a->bar[i])};
            q->line[q->m.lines++] = (hw_space_line){.stretch = &q->stretch[i], .stretches = 1};
        }
    int driven = d->family == HW_FAMILY_COUPLED_BARS ? 1 : HW_JOINTS;
    for (int j = 0; j < driven; j++)
        if (j > 0 || !(drive->radius > 0) || d->family == HW_FAMILY_CORD)
            q->drive[q->m.drives++] = (hw_space_drive){.a = j, .b = j + 1, .axis = {0, 1, 0}};
    if (drive->radius > 0 && d->family != HW_FAMILY_CORD) judge_pulley(q, a, drive, closes);
}

// A cord of tension t round each joint's pulley, which turns on the joint's pin: the later body
// takes what the free pulley passes on, in the cord's plane.
static void judge_cord(judge *q, const hw_across_pose *at, double y, double t)
{
    for (int j = 0; j < HW_JOINTS; j++) {
        hw_vec2 u = hw_scale(at->leaves[j], t);
        q->load[q->loads++] =
            (hw_space_load){.body = j + 1, .at = at_y(at->at[j], y), .force = at_y(u, 0)};
        if (j > 0) // and its other end leaves the body before in the opposite direction
            q->load[q->loads++] = (hw_space_load){
                .body = j, .at = at_y(at->at[j], y), .force = at_y(hw_scale(u, -1), 0)};
    }
}

static double tightness(const hw_digit *d, const hw_digit_pose *p)
{
    if (d->family != HW_FAMILY_COUPLED_BARS) return 1;
    return sin(p->transmission[0]) * sin(p->transmission[1]);
}

static void compare(const hw_joint_load got[HW_JOINTS], const hw_space_forces *want,
                    const hw_across *a, double tight)
{
    double most = 0;
    for (int j = 0; j < HW_JOINTS; j++)
        most = fmax(most, fabs(want->pin[j].x) + fabs(want->pin[j].y) + fabs(want->pin[j].z));
    double off = 1e-11 * most / tight;
    for (int j = 0; j < HW_JOINTS; j++) {
        const hw_joint_load *g = &got[j];
        NEAR(g->force.x, want->pin[j].x, off);
        NEAR(g->force.y, want->pin[j].y, off);
        NEAR(g->force.z, want->pin[j].z, off);
        NEAR(g->side_x, want->couple[j].x, 0.1 * off); // arms up to 0.1 m
        NEAR(g->side_z, want->couple[j].z, 0.1 * off);
        // both cones together are the same force and the same side moments
        NEAR(g->cone[0].x + g->cone[1].x, g->force.x, off);
        NEAR(g->cone[0].z + g->cone[1].z, g->force.z, off);
        NEAR(a->cone[j][0] * g->cone[0].z + a->cone[j][1] * g->cone[1].z, g->side_x, 0.1 * off);
        NEAR(-a->cone[j][0] * g->cone[0].x - a->cone[j][1] * g->cone[1].x, g->side_z, 0.1 * off);
        for (int i = 0; i < 2; i++) CLOSE(g->radial[i], hw_norm(g->cone[i]), 1e-14);
    }
}

static void against_the_general_balances(void)
{
    uint64_t seed = 61;
    hw_arena *arena = hw_arena_new(0);
    int tried[HW_FAMILIES] = {0};
    for (int i = 0; i < 1500; i++) {
        hw_digit d = digit_of_family(&seed, i);
        hw_across a = random_across(&seed);
        hw_knuckle_cord drive = i % 2 ? random_drive(&seed) : couple;
        hw_space_push push[HW_JOINTS];
        random_pushes(&seed, &d, push);
        hw_digit_pose p;
        hw_across_pose at;
        hw_joint_load got[HW_JOINTS];
        double torque;
        if (hw_digit_family_of(d.family)->pose(&d, random_between(&seed, 0, 1), &p)) continue;
        CHECK(hw_across_at(&d, &p, &a, &drive, &at) == HW_OK);
        CHECK(hw_across_forces(&at, push, HW_JOINTS, got, &torque) == HW_OK);
        double tight = tightness(&d, &p);
        if (!(tight > 0.02)) continue;
        judge q;
        judge_model(&q, &d, &p, &a, &drive, torque > 0);
        judge_loads(&q, &p, push);
        if (d.family == HW_FAMILY_CORD) judge_cord(&q, &at, a.cord, torque / d.cord.arm[0]);
        hw_space_forces want;
        size_t mark = hw_arena_mark(arena);
        CHECK(hw_space_forces_new(arena, &q.m, &want) == HW_OK);
        CHECK(hw_space_balance(&q.m, arena, q.load, q.loads, &want) == HW_OK);
        compare(got, &want, &a, tight);
        if (q.m.drives && d.family == HW_FAMILY_COUPLED_BARS)
            NEAR(torque, want.drive[0], 1e-12 * (fabs(torque) + 0.5) / tight);
        hw_arena_rewind(arena, mark);
        tried[d.family]++;
    }
    for (int f = 0; f < HW_FAMILIES; f++) CHECK(tried[f] > 200);
    hw_arena_free(arena);
}

// All layers in one plane and the cones either side of it: half of the planar pin force each.
static void planar_where_all_layers_coincide(void)
{
    uint64_t seed = 62;
    int tried = 0;
    for (int i = 0; i < 600; i++) {
        hw_digit d = digit_of_family(&seed, i);
        hw_across a = {.cone = {{-0.005, 0.005}, {-0.005, 0.005}, {-0.004, 0.004}}};
        hw_space_push push[HW_JOINTS];
        hw_load load[HW_JOINTS];
        random_pushes(&seed, &d, push);
        for (int k = 0; k < HW_JOINTS; k++) {
            push[k].at.y = push[k].force.y = 0;
            load[k] = (hw_load){.phalanx = k,
                                .at = {push[k].at.x, push[k].at.z},
                                .force = {push[k].force.x, push[k].force.z}};
        }
        const hw_digit_family *f = hw_digit_family_of(d.family);
        hw_digit_pose p;
        hw_digit_statics plane;
        hw_across_pose at;
        hw_joint_load got[HW_JOINTS];
        double torque;
        if (f->pose(&d, 0.4, &p) || f->statics(&d, &p, load, HW_JOINTS, &plane)) continue;
        CHECK(hw_across_at(&d, &p, &a, &couple, &at) == HW_OK);
        double bar[2];
        CHECK(hw_across_all_forces(&at, push, HW_JOINTS, got, bar, &torque) == HW_OK);
        double tight = tightness(&d, &p), most = 0;
        for (int j = 0; j < HW_JOINTS; j++) most = fmax(most, hw_norm(plane.pin[j]));
        double off = 1e-12 * most / tight;
        NEAR(torque, plane.torque, off);
        for (int b = 0; b < 2; b++)
            NEAR(bar[b], d.family == HW_FAMILY_COUPLED_BARS ? plane.bar[b] : 0, 10 * off);
        for (int j = 0; j < HW_JOINTS; j++) {
            NEAR(got[j].force.x, plane.pin[j].x, off);
            NEAR(got[j].force.z, plane.pin[j].z, off);
            NEAR(got[j].force.y, 0, 0);
            NEAR(got[j].side_x, 0, 0.1 * off);
            NEAR(got[j].side_z, 0, 0.1 * off);
            for (int c = 0; c < 2; c++) NEAR(got[j].radial[c], 0.5 * hw_norm(plane.pin[j]), off);
        }
        tried++;
    }
    CHECK(tried > 400);
}

// Forces along the axes do no work, and where things lie across changes no torque.
static void virtual_work_knows_nothing_of_layers(void)
{
    uint64_t seed = 63;
    int tried = 0;
    for (int i = 0; i < 600; i++) {
        hw_digit d = random_bars(&seed);
        hw_across a = random_across(&seed);
        hw_space_push push[HW_JOINTS];
        random_pushes(&seed, &d, push);
        hw_digit_pose p;
        hw_across_pose at;
        hw_joint_load got[HW_JOINTS];
        double torque, work = 0, size = 0;
        if (hw_digit_family_of(d.family)->pose(&d, 0.6, &p)) continue;
        CHECK(hw_across_at(&d, &p, &a, &couple, &at) == HW_OK);
        CHECK(hw_across_forces(&at, push, HW_JOINTS, got, &torque) == HW_OK);
        for (int k = 0; k < HW_JOINTS; k++) {
            hw_vec2 where = hw_digit_point(&p, k, (hw_vec2){push[k].at.x, push[k].at.z});
            hw_vec2 force =
                hw_flexed((hw_vec2){push[k].force.x, push[k].force.z}, hw_digit_turned(&p, k));
            for (int j = 0; j <= k; j++) {
                work += p.rate[j] * hw_moment(hw_sub(where, p.at[j]), force);
                size += fabs(p.rate[j]) * hw_norm(force) * 0.1;
            }
        }
        NEAR(torque, -work, 1e-11 * size / tightness(&d, &p));
        tried++;
    }
    CHECK(tried > 200);
}

// A push of 3 N toward +y at the tip of the straight digit: no pull in any bar, the whole push and
// its moment 3 N times the distance to the tip in every joint.
static void a_sideways_push_by_hand(void)
{
    hw_digit d = hw_digit_default();
    d.family = HW_FAMILY_COUPLED_BARS;
    hw_across a = {.cone = {{-0.006, 0.006}, {-0.006, 0.006}, {-0.006, 0.006}},
                   .bar = {-0.0016, 0.003}};
    hw_space_push side = {.phalanx = 2, .at = {d.phalanx[2], 0, 0}, .force = {0, 3, 0}};
    hw_digit_pose p;
    hw_across_pose at;
    hw_joint_load got[HW_JOINTS];
    double torque;
    CHECK(hw_digit_family_of(d.family)->pose(&d, 0, &p) == HW_OK);
    CHECK(hw_across_at(&d, &p, &a, &couple, &at) == HW_OK);
    CHECK(hw_across_forces(&at, &side, 1, got, &torque) == HW_OK);
    NEAR(torque, 0, 1e-16);
    for (int j = 0; j < HW_JOINTS; j++) {
        double arm = p.at[3].x - p.at[j].x;
        CLOSE(got[j].force.y, -3.0, 1e-15);
        CLOSE(got[j].side_z, -3 * arm, 1e-14);
        // -side_z = y0 F0 + y1 F1 along x
        CLOSE(got[j].cone[1].x, 3 * arm / 0.012, 1e-14);
        CLOSE(got[j].cone[0].x, -3 * arm / 0.012, 1e-14);
    }
}

// 0.5 N*m of stall on a pulley of 10 mm and a stop at 8 mm: 50 N of cord and 62.5 N of stop.
static void a_stall_by_hand(void)
{
    hw_digit d = hw_digit_default();
    d.family = HW_FAMILY_COUPLED_BARS;
    hw_across a = {.cone = {{-0.006, 0.006}, {-0.006, 0.006}, {-0.006, 0.006}}, .pulley = 0.003};
    hw_knuckle_cord drive = {.radius = 0.01, .toward = {-1, 0}, .back = {-1, 0}};
    hw_digit_pose p;
    hw_across_pose at;
    hw_joint_load k;
    CHECK(hw_digit_family_of(d.family)->pose(&d, 1, &p) == HW_OK);
    CHECK(hw_across_at(&d, &p, &a, &drive, &at) == HW_OK);
    hw_across_stall(&at, 0.5, 0.008, (hw_vec2){0, 1}, &k);
    CLOSE(k.force.x, 50.0, 1e-14);
    CLOSE(k.force.z, -62.5, 1e-14);
    // the cord lies 3 mm to one side: 50 N * (6 +- 3) / 12 on the cones
    CLOSE(k.cone[1].x, 37.5, 1e-14);
    CLOSE(k.cone[0].x, 12.5, 1e-13);
    CLOSE(k.cone[0].z, -31.25, 1e-14);
}

// Two cords held at 7 N: until the drive asks for 14 N more of one, both together pull with 14 N;
// then one is slack and the other pulls alone.
static void two_taut_cords_by_hand(void)
{
    hw_digit d = hw_digit_default();
    d.family = HW_FAMILY_COUPLED_BARS;
    hw_across a = {.cone = {{-0.006, 0.006}, {-0.006, 0.006}, {-0.006, 0.006}}, .pulley = 0.006};
    hw_knuckle_cord drive = {
        .radius = 0.01, .toward = {-1, 0}, .back = {-0.8, 0.6}, .pretension = 7};
    hw_digit_pose p;
    hw_across_pose at;
    hw_joint_load k;
    CHECK(hw_digit_family_of(d.family)->pose(&d, 1, &p) == HW_OK);
    CHECK(hw_across_at(&d, &p, &a, &drive, &at) == HW_OK);
    // 0.04 N*m: 4 N more: 9 and 5 N; a stop so far away that it gives nothing
    static const struct {
        double torque, closing, opening;
    } row[] = {{0.04, 9, 5}, {-0.04, 5, 9}, {0.14, 14, 0}, {0.3, 30, 0}, {-0.3, 0, 30}, {0, 7, 7}};
    for (size_t i = 0; i < sizeof row / sizeof row[0]; i++) {
        hw_across_stall(&at, row[i].torque, 1e9, (hw_vec2){0, 1}, &k);
        NEAR(k.force.x, row[i].closing + 0.8 * row[i].opening, 1e-8);
        NEAR(k.force.z, -0.6 * row[i].opening, 1e-8);
        NEAR(k.cone[1].x, k.force.x, 1e-8); // the pulley lies in the plane of that cone
        NEAR(k.cone[0].x, 0, 1e-8);
    }
    drive.pretension = -1;
    CHECK(hw_across_at(&d, &p, &a, &drive, &at) == HW_BAD_INPUT);
}

static void ten_times_the_size(void)
{
    uint64_t seed = 64;
    for (int i = 0; i < 100; i++) {
        hw_digit d = random_bars(&seed), big = d;
        hw_across a = random_across(&seed), far = a;
        for (int j = 0; j < HW_JOINTS; j++) {
            big.phalanx[j] *= 8; // a power of two: the same bits
            for (int c = 0; c < 2; c++) far.cone[j][c] *= 8;
        }
        for (int k = 0; k < 2; k++) {
            big.bar[k].root = hw_scale(big.bar[k].root, 8);
            big.bar[k].horn *= 8;
            far.bar[k] *= 8;
        }
        hw_space_push push = {.phalanx = 2, .at = {d.phalanx[2], 0, 0}, .force = {0, 1, 1}},
                      same = push;
        same.at.x *= 8;
        hw_digit_pose p, q;
        hw_across_pose at;
        hw_joint_load one[HW_JOINTS], ten[HW_JOINTS];
        if (hw_digit_family_of(d.family)->pose(&d, 0.5, &p)) continue;
        CHECK(hw_digit_family_of(d.family)->pose(&big, 0.5, &q) == HW_OK);
        CHECK(hw_across_at(&d, &p, &a, &couple, &at) == HW_OK);
        CHECK(hw_across_forces(&at, &push, 1, one, NULL) == HW_OK);
        CHECK(hw_across_at(&big, &q, &far, &couple, &at) == HW_OK);
        CHECK(hw_across_forces(&at, &same, 1, ten, NULL) == HW_OK);
        for (int j = 0; j < HW_JOINTS; j++) CLOSE(ten[j].radial[1], one[j].radial[1], 1e-13);
    }
}

static void bad_input(void)
{
    hw_digit d = hw_digit_default();
    hw_digit_pose p;
    hw_across_pose at;
    hw_joint_load got[HW_JOINTS];
    hw_across a = {.cone = {{-0.006, 0.006}, {-0.006, 0.006}, {-0.006, 0.006}}}, flat = a;
    CHECK(hw_digit_family_of(d.family)->pose(&d, 0.5, &p) == HW_OK);
    CHECK(hw_across_at(&d, &p, &a, &couple, &at) == HW_OK);
    hw_space_push push = {.phalanx = 3};
    CHECK(hw_across_forces(&at, &push, 1, got, NULL) == HW_BAD_INPUT);
    flat.cone[1][1] = flat.cone[1][0];
    CHECK(hw_across_at(&d, &p, &flat, &couple, &at) == HW_BAD_INPUT);
    a.bar[1] = NAN;
    CHECK(hw_across_at(&d, &p, &a, &couple, &at) == HW_BAD_INPUT);
    a.bar[1] = 0;
    p.joint[1] = NAN;
    CHECK(hw_across_at(&d, &p, &a, &couple, &at) == HW_BAD_INPUT);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(against_the_general_balances);
    RUN(planar_where_all_layers_coincide);
    RUN(virtual_work_knows_nothing_of_layers);
    RUN(a_sideways_push_by_hand);
    RUN(a_stall_by_hand);
    RUN(two_taut_cords_by_hand);
    RUN(ten_times_the_size);
    RUN(bad_input);
    return TEST_END();
}
