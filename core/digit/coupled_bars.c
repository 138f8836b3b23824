// Coupled bars: the proximal phalanx is driven, bar A makes the middle phalanx follow it, bar B the
// distal phalanx follow the middle one. Closed form; docs/derivations/bars.md.
#include "digit/digit_internal.h"
#include "digit/loop.h"

// The angle of a vector (x, z), as roughly as counting whole turns allows: off by less than 0.005
// rad. Source: Rajan, Wang, Inkol, Joyal, Efficient approximations for the arctangent function,
// IEEE Signal Processing Magazine, 2006 (from memory).
static double roughly(double z, double x)
{
    double far = fabs(x), side = fabs(z);
    bool steep = side > far;
    double t = far > 0 || side > 0 ? (steep ? far / side : side / far) : 0;
    double turn = t / (1 + 0.28125 * t * t);
    if (steep) turn = HW_PI / 2 - turn;
    return copysign(signbit(x) ? HW_PI - turn : turn, z);
}

// A flexion from one vector to another, -pi to pi, as roughly.
static double flexion_between(hw_vec2 from, hw_vec2 to)
{
    return roughly(from.z * to.x - from.x * to.z, hw_dot(from, to));
}

// The line joint-root against a direction that it never leaves by more than a quarter turn: that of
// the link where the root lies inside the joint's circle, else that of the root.
static double line_turn(const hw_loop *l, hw_vec2 joint, bool *inside)
{
    hw_vec2 line = hw_sub(l->root, joint);
    *inside = hw_dot(l->root, l->root) < l->link * l->link;
    return *inside ? flexion_between(joint, hw_scale(line, -1)) : flexion_between(l->root, line);
}

// `lever` is line x arm, which keeps its sign along a branch, as a signed zero at dead points.
static double whole_turn(const hw_loop *l, hw_vec2 joint, hw_vec2 arm, double lever, double driven)
{
    bool inside;
    double line = line_turn(l, joint, &inside);
    double horn = roughly(-lever, hw_dot(hw_sub(l->root, joint), arm));
    return line + (inside ? driven : 0.0) + horn;
}

hw_digit_fault hw_loop_of(const hw_digit *d, int which, hw_loop *out)
{
    const hw_bar *bar = &d->bar[which];
    hw_loop l = {.link = d->phalanx[which], .root = bar->root};
    l.horn = (hw_vec2){bar->horn * cos(bar->horn_angle), bar->horn * sin(bar->horn_angle)};
    l.horn_sq = hw_dot(l.horn, l.horn);
    hw_vec2 joint = {l.link, 0};
    hw_vec2 line = hw_sub(l.root, joint);
    hw_vec2 rod = hw_sub(l.horn, line);
    l.bar_sq = hw_dot(rod, rod);
    l.bar = sqrt(l.bar_sq);
    double least = HW_DIGIT_DEAD_SINE * HW_DIGIT_DEAD_SINE * (l.horn_sq + hw_dot(line, line));
    if (!(l.bar_sq > least)) return which == 0 ? HW_DIGIT_BAR_A_NONE : HW_DIGIT_BAR_B_NONE;
    double turn = line.x * l.horn.z - line.z * l.horn.x;
    double whole = sqrt(l.horn_sq * hw_dot(line, line));
    if (!(fabs(turn) > HW_DIGIT_DEAD_SINE * whole))
        return which == 0 ? HW_DIGIT_BAR_A_DEAD : HW_DIGIT_BAR_B_DEAD;
    l.side = turn > 0 ? 1 : -1;
    *out = l;
    return HW_DIGIT_SOUND;
}

double hw_loop_angle(const hw_loop *l, double driven, const hw_loop_pose *p)
{
    double folded = atan2(p->s, p->c);
    hw_vec2 straight = {l->link, 0};
    hw_vec2 line = hw_sub(l->root, straight);
    double lever = line.x * l->horn.z - line.z * l->horn.x;
    double counted = whole_turn(l, p->joint, p->arm, p->moment, driven) -
                     whole_turn(l, straight, l->horn, lever, 0) - driven;
    return folded + 2 * HW_PI * nearbyint((counted - folded) / (2 * HW_PI));
}

// Transmission angle: at the horn's end, between bar and horn.
static double transmission(const hw_loop_pose *p)
{
    return atan2(fabs(p->moment), hw_dot(p->arm, p->bar));
}

hw_digit_fault hw_bars_check(const hw_digit *d, hw_loop l[2])
{
    if (!isfinite(d->travel[0]) || !isfinite(d->travel[1])) return HW_DIGIT_NOT_FINITE;
    for (int i = 0; i < 2; i++) {
        const hw_bar *b = &d->bar[i];
        if (!isfinite(b->root.x) || !isfinite(b->root.z) || !isfinite(b->horn) ||
            !isfinite(b->horn_angle))
            return HW_DIGIT_NOT_FINITE;
    }
    for (int i = 0; i < 2; i++) {
        if (!(d->bar[i].horn > 0)) return HW_DIGIT_HORN;
        hw_digit_fault f = hw_loop_of(d, i, &l[i]);
        if (f) return f;
    }
    return HW_DIGIT_SOUND;
}

static hw_code pose(const hw_digit *d, double s, hw_digit_pose *out)
{
    hw_loop l[2];
    hw_pose_nothing(out);
    if (hw_digit_check_loops(d, l) != HW_DIGIT_SOUND) return HW_BAD_INPUT;
    double driven = d->travel[0] + s * (d->travel[1] - d->travel[0]);
    const double c0 = cos(driven), s0 = sin(driven);
    double c = c0, sn = s0;
    bool closes = true;
    out->joint[0] = driven;
    out->rate[0] = 1;
    hw_loop_pose p[2];
    for (int i = 0; i < 2; i++) {
        p[i] = hw_loop_close(&l[i], c, sn);
        closes = closes && p[i].room >= 0;
        out->joint[i + 1] = hw_loop_angle(&l[i], out->joint[i], &p[i]);
        out->rate[i + 1] = out->rate[i] * hw_loop_rate(&p[i]);
        out->transmission[i] = transmission(&p[i]);
        c = p[i].c;
        sn = p[i].s;
    }
    hw_pose_place(d, out);
    // bar A's points are seen from the knuckle, bar B's from the PIP in the proximal's frame
    out->bar_root[0] = d->bar[0].root;
    out->bar_end[0] = hw_add(p[0].joint, p[0].arm);
    out->bar_root[1] = hw_add(out->at[1], hw_flex(d->bar[1].root, c0, s0));
    out->bar_end[1] = hw_add(out->at[1], hw_flex(hw_add(p[1].joint, p[1].arm), c0, s0));
    return closes ? HW_OK : HW_NO_ASSEMBLY;
}

// Force of a stretched bar on its horn's end, for 1 N of tension.
static hw_vec2 pull(const hw_digit_pose *p, int bar)
{
    hw_vec2 line = hw_sub(p->bar_root[bar], p->bar_end[bar]);
    return hw_scale(line, 1 / hw_norm(line));
}

static hw_code balance(const hw_digit *d, const hw_digit_pose *p, const hw_load *load, size_t loads,
                       hw_digit_statics *out)
{
    (void)d; // the pose holds all that its forces need
    hw_vec2 force[HW_JOINTS];
    double moment[HW_JOINTS];
    if (!hw_load_totals(p, load, loads, force, moment)) return HW_BAD_INPUT;
    *out = (hw_digit_statics){.torque = 0};

    // distal phalanx: moments about the DIP
    hw_vec2 unit_b = pull(p, 1);
    double arm_b = hw_moment(hw_sub(p->bar_end[1], p->at[2]), unit_b);
    out->bar[1] = -moment[2] / arm_b;
    hw_vec2 bar_b = hw_scale(unit_b, out->bar[1]);
    out->pin[2] = hw_scale(hw_add(force[2], bar_b), -1);

    // middle phalanx: moments about the PIP; the DIP's pin returns its force
    hw_vec2 unit_a = pull(p, 0);
    double arm_a = hw_moment(hw_sub(p->bar_end[0], p->at[1]), unit_a);
    double dip = hw_moment(hw_sub(p->at[2], p->at[1]), out->pin[2]);
    out->bar[0] = (dip - moment[1]) / arm_a;
    hw_vec2 bar_a = hw_scale(unit_a, out->bar[0]);
    out->pin[1] = hw_sub(out->pin[2], hw_add(force[1], bar_a));

    // proximal phalanx: bar B's root pulls it the other way
    double pip = hw_moment(hw_sub(p->at[1], p->at[0]), out->pin[1]);
    double root = hw_moment(hw_sub(p->bar_root[1], p->at[0]), bar_b);
    out->pin[0] = hw_sub(hw_add(out->pin[1], bar_b), force[0]);
    out->torque = pip + root - moment[0];
    out->joint_torque[0] = out->torque;
    return HW_OK;
}

static hw_code statics(const hw_digit *d, const hw_digit_pose *p, const hw_load *load, size_t loads,
                       hw_digit_statics *out)
{
    if (hw_digit_check(d) != HW_DIGIT_SOUND) return HW_BAD_INPUT;
    return balance(d, p, load, loads, out);
}

static hw_code mechanism(const hw_digit *d, hw_arena *a, hw_mech *out)
{
    *out = (hw_mech){.bodies = 0};
    hw_loop l[2];
    if (hw_digit_check_loops(d, l) != HW_DIGIT_SOUND) return HW_BAD_INPUT;
    hw_pin *pin = HW_NEW(a, hw_pin, 7);
    hw_driver *driver = HW_NEW(a, hw_driver, 1);
    if (!pin || !driver) return HW_NO_MEMORY;
    const double *length = d->phalanx;
    hw_vec2 root_b = hw_add((hw_vec2){length[0], 0}, d->bar[1].root);
    pin[0] = (hw_pin){.a = 0, .b = 1};
    pin[1] = (hw_pin){.a = 1, .b = 2, .at_a = {length[0], 0}};
    pin[2] = (hw_pin){.a = 2, .b = 3, .at_a = {length[1], 0}};
    pin[3] = (hw_pin){.a = 0, .b = 4, .at_a = d->bar[0].root};
    pin[4] = (hw_pin){.a = 4, .b = 2, .at_a = {l[0].bar, 0}, .at_b = l[0].horn};
    pin[5] = (hw_pin){.a = 1, .b = 5, .at_a = root_b};
    pin[6] = (hw_pin){.a = 5, .b = 3, .at_a = {l[1].bar, 0}, .at_b = l[1].horn};
    driver[0] = (hw_driver){
        .a = 0, .b = 1, .slider = -1, .start = d->travel[0], .span = d->travel[1] - d->travel[0]};
    *out = (hw_mech){.bodies = 6, .pin = pin, .pins = 7, .driver = driver, .drivers = 1};
    return HW_OK;
}

const hw_digit_family hw_family_coupled_bars = {
    HW_FAMILY_COUPLED_BARS, "coupled bars", pose, statics, mechanism, balance};
