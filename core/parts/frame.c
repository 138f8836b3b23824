// How a digit lies on the bed, and where its parts are in other poses.
#include "parts/parts_internal.h"

#include <math.h>

// The digit frame's plane onto the bed's, knuckle on knuckle: turned, then rolled over.
static hw_vec2 onto(const hw_bed *bed, hw_vec2 at)
{
    hw_vec2 t = hw_flex(at, bed->c, bed->s);
    return (hw_vec2){bed->knuckle.x + t.x, bed->knuckle.z + bed->up * t.z};
}

hw_vec2 hw_bed_point(const hw_bed *bed, int body, hw_vec2 at)
{
    const hw_place *p = &bed->printed[body];
    return onto(bed, hw_add(p->at, hw_flex(at, p->c, p->s)));
}

void hw_parts_place(const hw_bed *bed, const hw_digit_pose *pose, hw_place out[HW_STACK_PARTS])
{
    hw_place now[HW_STACK_PARTS];
    hw_stack_place(pose, now);
    for (int b = 0; b < HW_STACK_PARTS; b++) {
        const hw_place *then = &bed->printed[b];
        // turned by the difference, the other way round where the digit is rolled over
        double c = now[b].c * then->c + now[b].s * then->s;
        double s = now[b].s * then->c - now[b].c * then->s;
        out[b] = (hw_place){{0, 0}, c, bed->up * s};
        hw_vec2 from = onto(bed, then->at), to = onto(bed, now[b].at);
        out[b].at = hw_sub(to, hw_flex(from, out[b].c, out[b].s));
    }
}

static double nearest(double wanted, const double range[2]) // [rad]
{
    return fmin(fmax(wanted, range[0]), range[1]);
}

// The printed pose. Bars close on it wherever the knuckle is; other digits take it joint by joint.
static hw_code pose_of(const hw_parts_def *def, const hw_digit *d, hw_digit_pose *out)
{
    hw_digit one = *d;
    if (d->family == HW_FAMILY_COUPLED_BARS) {
        one.travel[0] = def->flexion;
    } else {
        one.family = HW_FAMILY_DIRECT; // open there: every joint at its own place
        for (int j = 0; j < HW_JOINTS; j++)
            one.joint_travel[j][0] = nearest(j == 0 ? def->flexion : 0, d->joint_travel[j]);
    }
    hw_code code = hw_digit_family_of(one.family)->pose(&one, 0, out);
    return code;
}

// The line that a digit rests on: tangent to two of its discs on the bed's side, no disc beyond it,
// its middle above what is between them. The digit is turned by the line's slope.
static void rest(const hw_digit *d, hw_bed *bed)
{
    hw_vec2 at[2 * HW_JOINTS];
    double r[2 * HW_JOINTS], middle = 0;
    size_t n = 0;
    for (int i = 0; i < HW_JOINTS; i++) {
        hw_disc disc[2];
        hw_phalanx_discs(d, i, disc);
        for (int e = 0; e < 2; e++) {
            const hw_place *p = &bed->printed[i + 1];
            hw_vec2 q = hw_add(p->at, hw_flex(disc[e].at, p->c, p->s));
            at[n] = (hw_vec2){q.x, bed->up * q.z};
            middle += q.x / (2 * HW_JOINTS);
            r[n++] = disc[e].radius;
        }
    }
    double best = INFINITY;
    for (size_t i = 0; i < n; i++)
        for (size_t j = 0; j < n; j++) {
            double run = at[j].x - at[i].x, rise = at[j].z - at[i].z;
            double length = hypot(run, rise);
            if (run <= 0 || length <= fabs(r[j] - r[i])) continue;
            // slope at which both discs' lowest points lie on one line
            double slope = atan2(rise, run) - asin((r[j] - r[i]) / length);
            double c = cos(slope), s = sin(slope);
            double level = c * at[i].z - s * at[i].x - r[i], worst = 0;
            for (size_t k = 0; k < n; k++)
                worst = fmax(worst, level - (c * at[k].z - s * at[k].x - r[k]));
            bool holds = at[i].x <= middle && middle <= at[j].x;
            double fault = worst + (holds ? 0 : length);
            if (fault < best) {
                best = fault;
                // flexion lowers +x on the digit's own plane
                bed->c = c;
                bed->s = bed->up * s;
            }
        }
}

hw_code hw_bed_of(const hw_parts_def *def, const hw_digit *d, hw_bed *out)
{
    hw_digit_pose pose;
    *out = (hw_bed){.c = 1, .up = def->face == HW_BED_PALMAR ? 1 : -1};
    hw_code code = pose_of(def, d, &pose);
    if (code != HW_OK) return code;
    hw_stack_place(&pose, out->printed);
    rest(d, out);
    double low = INFINITY;
    for (int i = 0; i < HW_JOINTS; i++) {
        hw_disc disc[2];
        hw_phalanx_discs(d, i, disc);
        for (int e = 0; e < 2; e++)
            low = fmin(low, hw_bed_point(out, i + 1, disc[e].at).z - disc[e].radius);
    }
    out->knuckle.z = -low;
    return HW_OK;
}

void hw_bed_line(const hw_bed *bed, double length, double out[2]) // [m]
{
    double z[2];
    for (int i = 0; i < 2; i++) {
        double x = i == 0 ? 0 : -length;
        double low = hw_bed_point(bed, 0, (hw_vec2){x, 0}).z;
        double high = hw_bed_point(bed, 0, (hw_vec2){x, length}).z;
        z[i] = -low * length / (high - low);
    }
    out[0] = z[0];
    out[1] = (z[0] - z[1]) / length;
}

double hw_parts_bed(const hw_parts_def *def, const hw_digit *d, double x)
{
    hw_bed bed;
    double line[2];
    if (hw_bed_of(def, d, &bed) != HW_OK) return (double)NAN;
    hw_bed_line(&bed, d->thickness[0] / 2, line);
    return line[0] + line[1] * x;
}
