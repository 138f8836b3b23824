// How far within the palm's skin a place is: distances from the outline's sections at the nodes of
// a grid, read between them.
#include "hand/lay_internal.h"

#include "base/vec3.h"

#include <math.h>

enum { ALONG = HW_LAY_SKIN_ALONG, ACROSS = HW_LAY_SKIN_ACROSS, DEEP = HW_LAY_SKIN_DEEP };

// The outline cut at x; beyond its ends its last sections count.
static void section_at(const hw_palm *palm, double x, hw_vec2 out[HW_PALM_AROUND])
{
    for (int k = 0; k < HW_PALM_AROUND; k++) {
        int s = 0;
        while (s + 2 < HW_PALM_SECTIONS && palm->outline[s + 1][k].x < x) s++;
        const hw_vec3 *p = &palm->outline[s][k], *q = &palm->outline[s + 1][k];
        double t = q->x > p->x ? fmin(fmax((x - p->x) / (q->x - p->x), 0), 1) : 0;
        out[k] = (hw_vec2){p->y + t * (q->y - p->y), p->z + t * (q->z - p->z)};
    }
}

static double in_section(const hw_vec2 loop[HW_PALM_AROUND], hw_vec2 p) // [m]
{
    double least2 = INFINITY;
    bool inside = false;
    for (int i = 0, k = HW_PALM_AROUND - 1; i < HW_PALM_AROUND; k = i++) {
        const hw_vec2 along = hw_sub(loop[i], loop[k]), d = hw_sub(p, loop[k]);
        const double length2 = hw_dot(along, along);
        double t = length2 > 0 ? fmin(fmax(hw_dot(d, along) / length2, 0), 1) : 0;
        const hw_vec2 off = hw_sub(d, hw_scale(along, t));
        least2 = fmin(least2, hw_dot(off, off));
        if ((loop[i].z > p.z) != (loop[k].z > p.z) &&
            p.x < loop[k].x + (p.z - loop[k].z) / (loop[i].z - loop[k].z) * along.x)
            inside = !inside;
    }
    return inside ? sqrt(least2) : -sqrt(least2);
}

void hw_lay_skin_of(const hw_palm *palm, hw_lay_skin *s)
{
    hw_vec3 high = {palm->length, -INFINITY, -INFINITY};
    s->low = (hw_vec3){0, INFINITY, INFINITY};
    for (int k = 0; k < HW_PALM_SECTIONS * HW_PALM_AROUND; k++) {
        const hw_vec3 *p = &palm->outline[k / HW_PALM_AROUND][k % HW_PALM_AROUND];
        s->low.y = fmin(s->low.y, p->y);
        s->low.z = fmin(s->low.z, p->z);
        high.y = fmax(high.y, p->y);
        high.z = fmax(high.z, p->z);
    }
    s->step = hw_vec3_sub(high, s->low);
    s->step = (hw_vec3){s->step.x / (ALONG - 1), s->step.y / (ACROSS - 1), s->step.z / (DEEP - 1)};
    for (int i = 0; i < ALONG; i++) {
        hw_vec2 loop[HW_PALM_AROUND];
        section_at(palm, s->low.x + i * s->step.x, loop);
        for (int k = 0; k < ACROSS; k++)
            for (int n = 0; n < DEEP; n++) {
                const hw_vec2 at = {s->low.y + k * s->step.y, s->low.z + n * s->step.z};
                s->within[i][k][n] = (float)in_section(loop, at);
            }
    }
}

// The node before a place along one axis, and how far on it is; where it lies beyond the grid
// *beyond grows by that.
static int node(double v, double step, int n, double *share, double *beyond) // [m] [m]
{
    const double last = step * (n - 1), in = fmin(fmax(v, 0), last);
    *beyond += fabs(v - in);
    const int i = in < last ? (int)(in / step) : n - 2;
    *share = in / step - i;
    return i;
}

double hw_lay_within(const hw_lay_skin *s, hw_vec3 p)
{
    double t[3], aside = 0, out = 0, sum = 0;
    const int i = node(p.x - s->low.x, s->step.x, ALONG, &t[0], &aside);
    const int k = node(p.y - s->low.y, s->step.y, ACROSS, &t[1], &out);
    const int n = node(p.z - s->low.z, s->step.z, DEEP, &t[2], &out);
    for (int c = 0; c < 8; c++) {
        const int a = c & 1, b = c >> 1 & 1, e = c >> 2;
        const double share = (a ? t[0] : 1 - t[0]) * (b ? t[1] : 1 - t[1]) * (e ? t[2] : 1 - t[2]);
        sum += share * (double)s->within[i + a][k + b][n + e];
    }
    return sum - out;
}

double hw_lay_in_skin(const hw_lay_skin *s, const hw_route *way, double outer, double lost,
                      double most)
{
    if (way->points == 0) return most;
    const double end = hw_lay_within(s, way->point[way->points - 1]) - outer / 2;
    const double asked = outer / 2 + fmin(end, 0);
    double least = most;
    const int n = (int)(way->length / s->step.x) + 1;
    for (int i = 0; i <= n && least >= lost; i++) {
        hw_vec3 at, along;
        hw_route_at(way, way->length * i / n, &at, &along);
        least = fmin(least, hw_lay_within(s, at) - asked);
    }
    return least;
}
