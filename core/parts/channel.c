// Channels of a cord digit: the closing cord runs along the palmar side, at each joint at its arm,
// to a pocket in the back of the distal phalanx where it is knotted. An elastic return begins in
// the same pocket and lies on the back, outside.
//
// A channel is an octagon across its path, made of strips across y, each as high as the octagon is
// at its inner edge: a rod of the channel's radius goes in. It lies in the middle layer.
#include "parts/parts_internal.h"

#include <math.h>

enum { STRIPS = 6, PATH_POINTS = 4 };

double hw_channel_radius(const hw_draft *f)
{
    return fmax(f->def->cord / 2 + f->def->gap / 2, 1.5 * f->l->line);
}

static double half_at(const hw_digit *d, int body, double x) // [m]
{
    if (body == 0) return d->thickness[0] / 2;
    hw_disc end[2];
    hw_phalanx_discs(d, body - 1, end);
    double share = end[1].at.x > 0 ? fmin(1, fmax(0, x / end[1].at.x)) : 0;
    return end[0].radius + share * (end[1].radius - end[0].radius);
}

// Where the distal phalanx has its pocket: along it, and how deep under the back. [m]
static void pocket_of(const hw_draft *f, double x[2], double *deep)
{
    const hw_fork_place *k = &f->l->fork[HW_JOINTS - 1];
    double from = k->depth[0] + 4 * f->l->line, r = hw_channel_radius(f);
    double room = f->d->phalanx[HW_JOINTS - 1] - f->d->tip_thickness / 2 - from;
    x[0] = from;
    x[1] = from + fmin(fmax(room, 3 * r), 6 * r);
    *deep = 3 * r + 3 * f->l->line;
}

size_t hw_channel_path(const hw_draft *f, int body, hw_vec2 out[PATH_POINTS])
{
    double beyond = 2 * f->l->line;
    size_t n = 0;
    if (body > 0) {
        double z = -f->d->cord.arm[body - 1], reach = f->l->fork[body - 1].tang_radius;
        out[n++] = (hw_vec2){-reach, z};
        out[n++] = (hw_vec2){f->l->fork[body - 1].depth[0] + beyond, z};
    } else {
        double end = -f->l->fork[0].setback - f->l->block;
        out[n++] = (hw_vec2){end - beyond, -f->d->cord.arm[0]};
    }
    if (body == HW_JOINTS) {
        double x[2], deep;
        pocket_of(f, x, &deep);
        double middle = (x[0] + x[1]) / 2;
        out[n++] = (hw_vec2){middle, half_at(f->d, body, middle) - deep / 2};
        return n;
    }
    const hw_fork_place *k = &f->l->fork[body];
    double joint = body == 0 ? 0 : f->d->phalanx[body - 1], z = -f->d->cord.arm[body];
    out[n++] = (hw_vec2){joint - k->setback, z};
    out[n++] = (hw_vec2){joint + fmax(k->depth[0], k->tang_radius) + beyond, z};
    return n;
}

// A strip of a channel between two points, `half` to either side of the line, its ends drawn out.
static void cut_strip(const hw_draft *f, hw_pile *p, int body, hw_vec2 a, hw_vec2 b, double half,
                      const double y[2]) // [m]
{
    hw_vec2 from = hw_bed_point(&f->bed, body, a), to = hw_bed_point(&f->bed, body, b);
    double length = hw_norm(hw_sub(to, from));
    if (!(length > 0)) return;
    hw_vec2 way = hw_scale(hw_sub(to, from), half / length), up = {-way.z, way.x};
    hw_vec2 *at = HW_NEW(p->keep, hw_vec2, 4);
    if (!at) {
        p->code = HW_NO_MEMORY;
        return;
    }
    from = hw_sub(from, hw_scale(way, 0.4)); // so that bends stay open
    to = hw_add(to, hw_scale(way, 0.4));
    at[0] = hw_sub(from, up);
    at[1] = hw_sub(to, up);
    at[2] = hw_add(to, up);
    at[3] = hw_add(from, up);
    hw_polygon strip = {at, 4};
    hw_pile_put(p, HW_BLOCK_CUT, y[0], y[1], strip, strip);
}

static void cut_path(const hw_draft *f, hw_pile *p, int body)
{
    hw_vec2 at[PATH_POINTS];
    size_t n = hw_channel_path(f, body, at);
    double r = hw_channel_radius(f), flat = r * tan(HW_PI / 8);
    for (int i = -STRIPS; i <= STRIPS; i++) {
        // the middle strip is as wide as the octagon's flat, the others share what is left
        int k = i < 0 ? -i : i;
        double wide = (r - flat) / STRIPS, y0 = k == 0 ? -flat : flat + (k - 1) * wide;
        double y[2] = {y0, k == 0 ? flat : y0 + wide};
        if (i < 0) {
            double swap = y[0];
            y[0] = -y[1];
            y[1] = -swap;
        }
        double half = k == 0 ? r : r - (k - 1) * wide;
        for (size_t j = 0; j + 1 < n; j++) cut_strip(f, p, body, at[j], at[j + 1], half, y);
    }
    hw_vec2 low = {INFINITY, INFINITY}, high = {-INFINITY, -INFINITY};
    for (size_t j = 0; j < n; j++) {
        hw_vec2 q = hw_bed_point(&f->bed, body, at[j]);
        low = (hw_vec2){fmin(low.x, q.x - r), fmin(low.z, q.z)};
        high = (hw_vec2){fmax(high.x, q.x + r), fmax(high.z, q.z + 1.1 * r)};
    }
    hw_pile_allow(p, HW_ALLOW_CUTOUT, low, high, -r, r);
}

// The pocket is open to the back.
static void cut_pocket(const hw_draft *f, hw_pile *p)
{
    double x[2], deep, r = hw_channel_radius(f);
    pocket_of(f, x, &deep);
    hw_vec2 *at = HW_NEW(p->keep, hw_vec2, 4);
    if (!at) {
        p->code = HW_NO_MEMORY;
        return;
    }
    hw_vec2 low = {INFINITY, INFINITY}, high = {-INFINITY, -INFINITY};
    for (int i = 0; i < 4; i++) {
        double along = x[i == 1 || i == 2], half = half_at(f->d, HW_JOINTS, along);
        at[i] = hw_bed_point(&f->bed, HW_JOINTS,
                             (hw_vec2){along, i < 2 ? half - deep : half + 4 * deep});
        low = (hw_vec2){fmin(low.x, at[i].x), fmin(low.z, at[i].z)};
        high = (hw_vec2){fmax(high.x, at[i].x), fmax(high.z, at[i].z)};
    }
    hw_polygon pocket = {at, 4};
    hw_pile_put(p, HW_BLOCK_CUT, -2 * r, 2 * r, pocket, pocket);
    hw_pile_allow(p, HW_ALLOW_BRIDGE, low, high, -2 * r, 2 * r);
}

void hw_channels_cut(const hw_draft *f, int body, hw_pile *p)
{
    if (f->d->family != HW_FAMILY_CORD || !(f->def->cord > 0)) return;
    const hw_layer *middle = &f->l->layer[f->l->n / 2];
    // chamfered slices at its faces stay whole
    if (4 * hw_channel_radius(f) + 2 * f->def->chamfer > middle->thickness) return;
    cut_path(f, p, body);
    if (body == HW_JOINTS) cut_pocket(f, p);
}
