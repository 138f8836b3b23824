#include "digit/outline.h"
#include "digit/loop.h"

#include <math.h>

void hw_phalanx_discs(const hw_digit *d, int phalanx, hw_disc disc[2])
{
    double length = d->phalanx[phalanx];
    disc[0] = (hw_disc){{0, 0}, d->thickness[phalanx] / 2};
    if (phalanx + 1 < HW_JOINTS) {
        disc[1] = (hw_disc){{length, 0}, d->thickness[phalanx + 1] / 2};
        return;
    }
    double r = d->tip_thickness / 2;
    if (r > length) r = length; // a thick stub: its end still lies at the distal end
    disc[1] = (hw_disc){{length - r, 0}, r};
}

double hw_discs_distance(const hw_disc disc[2], hw_vec2 p)
{
    hw_vec2 along = hw_sub(disc[1].at, disc[0].at), q = hw_sub(p, disc[0].at);
    double length = hw_norm(along), narrowing = disc[0].radius - disc[1].radius;
    double to0 = hw_norm(q) - disc[0].radius;
    double to1 = hw_norm(hw_sub(p, disc[1].at)) - disc[1].radius;
    // one disc inside the other: the hull is the larger
    if (length <= fabs(narrowing)) return narrowing >= 0 ? to0 : to1;
    double x = hw_dot(q, along) / length;
    double z = fabs(along.x * q.z - along.z * q.x) / length;
    // normal of the common tangent, leaning by the narrowing; x along it, from where it touches
    double sine = narrowing / length, cosine = sqrt(1 - sine * sine);
    double foot = x * cosine - z * sine;
    if (foot < 0) return to0;
    if (foot > length * cosine) return to1;
    return x * sine + z * cosine - disc[0].radius;
}

static void put(hw_outline *o, hw_hull_role role, hw_disc a, hw_disc b)
{
    o->hull[o->hulls++] = (hw_hull){.role = role, .discs = 2, .disc = {a, b}};
}

static void put_eye(hw_outline *o, hw_vec2 at, double radius)
{
    o->eye[o->eyes++] = (hw_disc){at, radius};
}

// A disc on a phalanx's axis with the thickness that it has there.
static hw_disc on_axis(const hw_disc end[2], double x)
{
    double length = end[1].at.x;
    double part = length > 0 ? x / length : 0;
    return (hw_disc){{x, 0}, end[0].radius + part * (end[1].radius - end[0].radius)};
}

static void phalanx(const hw_digit *d, int i, hw_outline *o)
{
    hw_disc end[2];
    hw_phalanx_discs(d, i, end);
    bool jointed = i + 1 < HW_JOINTS;
    // whole width between the sweep of the tang before and that of the cheeks after
    double from = end[0].radius, to = jointed ? d->phalanx[i] - end[1].radius : end[1].at.x;
    if (from > to) from = to = (from + to) / 2;
    hw_disc first = on_axis(end, from), last = on_axis(end, to);
    put(o, HW_HULL_CHEEKS, end[0], first);
    put(o, HW_HULL_BODY, first, last);
    if (jointed) put(o, HW_HULL_TANG, last, end[1]);
    put_eye(o, end[0].at, d->pivot_radius);
    if (jointed) put_eye(o, (hw_vec2){d->phalanx[i], 0}, d->pivot_radius);
}

static void lug(hw_outline *o, hw_hull_role role, hw_vec2 joint, hw_vec2 end, double radius)
{
    put(o, role, (hw_disc){joint, radius}, (hw_disc){end, radius});
    put_eye(o, end, radius);
}

static void bar(const hw_digit *d, const hw_loop *l, int which, hw_outline *o)
{
    hw_disc root = {{0, 0}, d->pivot_radius}, end = {{l->bar, 0}, d->pivot_radius};
    double half = d->bar[which].width / 2;
    o->hull[o->hulls++] = (hw_hull){.role = HW_HULL_BAR, .discs = 1, .disc = {root}};
    o->hull[o->hulls++] = (hw_hull){.role = HW_HULL_BAR, .discs = 1, .disc = {end}};
    put(o, HW_HULL_BAR, (hw_disc){root.at, half}, (hw_disc){end.at, half});
    put_eye(o, root.at, root.radius);
    put_eye(o, end.at, end.radius);
}

hw_code hw_digit_outline(const hw_digit *d, hw_outline out[HW_OUTLINE_PARTS])
{
    for (int i = 0; i < HW_OUTLINE_PARTS; i++) out[i] = (hw_outline){.hulls = 0};
    if (hw_digit_check(d) != HW_DIGIT_SOUND) return HW_BAD_INPUT;
    double knuckle = d->thickness[0] / 2;
    hw_disc joint = {{0, 0}, knuckle};
    hw_disc front = {{-2 * knuckle, 0}, knuckle}, back = {{-4 * knuckle, 0}, knuckle};
    put(&out[0], HW_HULL_BODY, back, front);
    put(&out[0], HW_HULL_TANG, front, joint);
    put_eye(&out[0], joint.at, d->pivot_radius);
    for (int i = 0; i < HW_JOINTS; i++) phalanx(d, i, &out[i + 1]);
    if (d->family != HW_FAMILY_COUPLED_BARS) return HW_OK;
    for (int b = 0; b < 2; b++) {
        hw_loop l;
        if (hw_loop_of(d, b, &l)) return HW_BAD_INPUT; // refused by hw_digit_check before
        hw_vec2 spanned = {b == 0 ? 0 : d->phalanx[0], 0};
        lug(&out[b], HW_HULL_ROOT, spanned, hw_add(spanned, d->bar[b].root), d->pivot_radius);
        lug(&out[b + 2], HW_HULL_HORN, (hw_vec2){0, 0}, l.horn, d->pivot_radius);
        bar(d, &l, b, &out[b + 4]);
    }
    return HW_OK;
}

void hw_outline_place(const hw_digit_pose *pose, int part, hw_vec2 *origin, double *turned)
{
    *origin = (hw_vec2){0, 0};
    *turned = 0;
    if (part >= 1 && part <= HW_JOINTS) {
        *origin = pose->at[part - 1];
        *turned = hw_digit_turned(pose, part - 1);
    } else if (part > HW_JOINTS) {
        int b = part - HW_JOINTS - 1;
        hw_vec2 line = hw_sub(pose->bar_end[b], pose->bar_root[b]);
        *origin = pose->bar_root[b];
        *turned = atan2(-line.z, line.x);
    }
}
