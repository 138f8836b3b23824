// Balances in the plane as in the families' own statics, from geometry worked out once a pose; then
// a cut at each joint for what lies beside the middle plane. docs/derivations/spatial.md.
#include "digit/spatial.h"

#include <math.h>

// Sums of the forces and side moments on everything from a joint to the tip.
typedef struct cut {
    hw_vec2 force;         // in the plane
    double side;           // along y
    double side_x, side_z; // moments about the joint's axis in the middle plane
} cut;

// A force f (in the plane) and fy along the axis at arm r from the joint, y off the middle plane.
static void put(cut *k, hw_vec2 r, double y, hw_vec2 f, double fy)
{
    k->force = hw_add(k->force, f);
    k->side += fy;
    k->side_x += y * f.z - r.z * fy;
    k->side_z += r.x * fy - y * f.x;
}

static hw_vec2 turned(const hw_across_pose *p, int phalanx, hw_vec2 v)
{
    return hw_flex(v, p->c[phalanx], p->s[phalanx]);
}

// ---- a pose
// ---------------------------------------------------------------------------------------------------

static bool finite2(hw_vec2 v)
{
    return isfinite(v.x) && isfinite(v.z);
}

static bool is_sound(const hw_digit_pose *pose, const hw_across *a, const hw_knuckle_cord *drive)
{
    for (int j = 0; j < HW_JOINTS; j++) {
        if (!isfinite(pose->joint[j]) || !finite2(pose->at[j])) return false;
        if (!(a->cone[j][0] < a->cone[j][1]) || !isfinite(a->cone[j][1] - a->cone[j][0]))
            return false;
    }
    return isfinite(a->bar[0]) && isfinite(a->bar[1]) && isfinite(a->pulley) && isfinite(a->cord) &&
           drive->radius >= 0 && drive->pretension >= 0 && finite2(drive->toward) &&
           finite2(drive->back);
}

static void place_bars(const hw_digit_pose *pose, hw_across_pose *out)
{
    for (int i = 0; i < 2; i++) {
        hw_vec2 line = hw_sub(pose->bar_root[i], pose->bar_end[i]);
        out->bar_end[i] = pose->bar_end[i];
        out->bar_root[i] = pose->bar_root[i];
        out->pull[i] = hw_scale(line, 1 / hw_norm(line));
        out->arm[i] = hw_moment(hw_sub(pose->bar_end[i], pose->at[i + 1]), out->pull[i]);
    }
}

// Common tangent of the pulleys of two joints on the palmar side, as in cord.c.
static void place_cord(const hw_digit *d, hw_across_pose *out)
{
    out->leaves[0] = (hw_vec2){-1, 0};
    for (int j = 0; j < HW_JOINTS; j++) out->cord_arm[j] = d->cord.arm[j];
    for (int j = 1; j < HW_JOINTS; j++) {
        double rise = (d->cord.arm[j - 1] - d->cord.arm[j]) / d->phalanx[j - 1];
        double s = fabs(rise) < 1 ? rise : 0;
        out->leaves[j] = turned(out, j - 1, (hw_vec2){-sqrt(1 - s * s), -s});
    }
}

hw_code hw_across_at(const hw_digit *d, const hw_digit_pose *pose, const hw_across *across,
                     const hw_knuckle_cord *drive, hw_across_pose *out)
{
    *out = (hw_across_pose){.family = d->family, .across = *across, .drive = *drive};
    if (!hw_digit_family_of(d->family) || !is_sound(pose, across, drive)) return HW_BAD_INPUT;
    double turn = 0;
    for (int j = 0; j < HW_JOINTS; j++) {
        turn += pose->joint[j];
        out->c[j] = cos(turn);
        out->s[j] = sin(turn);
        out->at[j] = pose->at[j];
    }
    if (d->family == HW_FAMILY_COUPLED_BARS) place_bars(pose, out);
    if (d->family == HW_FAMILY_CORD) place_cord(d, out);
    return HW_OK;
}

// ---- loads
// ----------------------------------------------------------------------------------------------------

// Loads on each phalanx, as cuts that hold this phalanx alone, and their moments about its joint in
// the plane.
static bool gather(const hw_across_pose *p, const hw_space_push load[], size_t loads,
                   cut own[HW_JOINTS], double moment[HW_JOINTS])
{
    for (int j = 0; j < HW_JOINTS; j++) {
        own[j] = (cut){.side = 0};
        moment[j] = 0;
    }
    for (size_t i = 0; i < loads; i++) {
        int k = load[i].phalanx;
        if (k < 0 || k >= HW_JOINTS) return false;
        hw_vec2 f = turned(p, k, (hw_vec2){load[i].force.x, load[i].force.z});
        hw_vec2 r = turned(p, k, (hw_vec2){load[i].at.x, load[i].at.z});
        put(&own[k], r, load[i].at.y, f, load[i].force.y);
        moment[k] += hw_moment(r, f);
    }
    return true;
}

// Everything beyond a joint, seen from it: what the next joint's cut holds, moved, and its own.
static void move_cut(cut *k, const cut *beyond, hw_vec2 r)
{
    k->side_x += beyond->side_x;
    k->side_z += beyond->side_z;
    put(k, r, 0, beyond->force, beyond->side);
}

// What the joint gives is the opposite of all that acts beyond it; its two cones share it so that
// force and moments agree: with P = y0 F0 + y1 F1, P = (-side_z, side_x).
static void share(const hw_across_pose *p, int joint, const cut *k, hw_joint_load *out)
{
    double y0 = p->across.cone[joint][0], y1 = p->across.cone[joint][1];
    hw_vec2 f = hw_scale(k->force, -1), moment = {k->side_z, -k->side_x};
    hw_vec2 one = hw_scale(hw_sub(moment, hw_scale(f, y0)), 1 / (y1 - y0));
    *out = (hw_joint_load){.force = {f.x, -k->side, f.z},
                           .side_x = -k->side_x,
                           .side_z = -k->side_z,
                           .cone = {hw_sub(f, one), one}};
    for (int i = 0; i < 2; i++)
        out->radial[i] = sqrt(out->cone[i].x * out->cone[i].x + out->cone[i].z * out->cone[i].z);
}

// The drive's cord pulls the proximal phalanx along its tangent; its moment is the torque.
static void put_drive(const hw_across_pose *p, double torque, cut *knuckle)
{
    if (!(p->drive.radius > 0)) return;
    double more = torque / p->drive.radius; // that the closing cord pulls than the other
    double sum = fmax(2 * p->drive.pretension, fabs(more));
    hw_vec2 pull = hw_add(hw_scale(p->drive.toward, (sum + more) / 2),
                          hw_scale(p->drive.back, (sum - more) / 2));
    put(knuckle, (hw_vec2){0, 0}, p->across.pulley, pull, 0);
}

static double bars(const hw_across_pose *p, const cut own[HW_JOINTS],
                   const double moment[HW_JOINTS], cut at[HW_JOINTS], double bar[2])
{
    const double *y = p->across.bar;
    // the DIP's cut crosses bar B
    bar[1] = -moment[2] / p->arm[1];
    hw_vec2 b = hw_scale(p->pull[1], bar[1]);
    at[2] = own[2];
    put(&at[2], hw_sub(p->bar_end[1], p->at[2]), y[1], b, 0);
    // the PIP's crosses bar A, and bar B, which the cut beyond holds already
    hw_vec2 to_dip = hw_sub(p->at[2], p->at[1]);
    double turn = moment[1] + hw_moment(to_dip, at[2].force);
    bar[0] = -turn / p->arm[0];
    hw_vec2 a = hw_scale(p->pull[0], bar[0]);
    at[1] = own[1];
    move_cut(&at[1], &at[2], to_dip);
    put(&at[1], hw_sub(p->bar_end[0], p->at[1]), y[0], a, 0);
    // the knuckle's crosses bar A alone: bar B's root returns its force
    hw_vec2 to_pip = hw_sub(p->at[1], p->at[0]), root = hw_sub(p->bar_root[1], p->at[0]);
    at[0] = own[0];
    move_cut(&at[0], &at[1], to_pip);
    hw_vec2 back = hw_scale(b, -1);
    put(&at[0], root, y[1], back, 0);
    return -moment[0] - hw_moment(to_pip, at[1].force) - hw_moment(root, back);
}

// Moments in the plane about each joint of all loads beyond it, and the cuts with loads alone.
static void chain(const hw_across_pose *p, const cut own[HW_JOINTS], const double moment[HW_JOINTS],
                  cut at[HW_JOINTS], double turning[HW_JOINTS])
{
    for (int j = HW_JOINTS - 1; j >= 0; j--) {
        at[j] = own[j];
        turning[j] = moment[j];
        if (j + 1 == HW_JOINTS) continue;
        hw_vec2 on = hw_sub(p->at[j + 1], p->at[j]);
        turning[j] += turning[j + 1] + hw_moment(on, at[j + 1].force);
        move_cut(&at[j], &at[j + 1], on);
    }
}

static double direct(const hw_across_pose *p, const cut own[HW_JOINTS],
                     const double moment[HW_JOINTS], cut at[HW_JOINTS], double bar[2])
{
    bar[0] = bar[1] = 0;
    double turning[HW_JOINTS];
    chain(p, own, moment, at, turning);
    return -turning[0];
}

static double cord(const hw_across_pose *p, const cut own[HW_JOINTS],
                   const double moment[HW_JOINTS], cut at[HW_JOINTS], double bar[2])
{
    bar[0] = bar[1] = 0;
    double turning[HW_JOINTS], tension = 0; // a cord cannot push
    chain(p, own, moment, at, turning);
    for (int j = 0; j < HW_JOINTS; j++) {
        double need = -turning[j] / p->cord_arm[j];
        if (need > tension || isnan(need)) tension = need;
    }
    // every cut crosses the cord once, where it lies round that joint
    for (int j = 0; j < HW_JOINTS; j++)
        put(&at[j], (hw_vec2){0, 0}, p->across.cord, hw_scale(p->leaves[j], tension), 0);
    return tension * p->cord_arm[0];
}

typedef double balance(const hw_across_pose *p, const cut own[HW_JOINTS],
                       const double moment[HW_JOINTS], cut at[HW_JOINTS], double bar[2]);

hw_code hw_across_forces(const hw_across_pose *p, const hw_space_push load[], size_t loads,
                         hw_joint_load out[HW_JOINTS], double *torque)
{
    double bar[2];
    return hw_across_all_forces(p, load, loads, out, bar, torque);
}

hw_code hw_across_all_forces(const hw_across_pose *p, const hw_space_push load[], size_t loads,
                             hw_joint_load out[HW_JOINTS], double bar[2], double *torque)
{
    static balance *const of_family[HW_FAMILIES] = {
        [HW_FAMILY_COUPLED_BARS] = bars, [HW_FAMILY_DIRECT] = direct, [HW_FAMILY_CORD] = cord};
    cut own[HW_JOINTS], at[HW_JOINTS];
    double moment[HW_JOINTS];
    if ((unsigned)p->family >= HW_FAMILIES || !gather(p, load, loads, own, moment))
        return HW_BAD_INPUT;
    double given = of_family[p->family](p, own, moment, at, bar);
    if (p->family != HW_FAMILY_CORD) put_drive(p, given, &at[0]);
    for (int j = 0; j < HW_JOINTS; j++) share(p, j, &at[j], &out[j]);
    if (torque) *torque = given;
    return HW_OK;
}

void hw_across_stall(const hw_across_pose *p, double torque, double arm, hw_vec2 push,
                     hw_joint_load *knuckle)
{
    cut k = {.side = 0};
    put_drive(p, torque, &k);
    put(&k, (hw_vec2){0, 0}, 0, hw_scale(push, fabs(torque) / arm), 0);
    share(p, 0, &k, knuckle);
}
