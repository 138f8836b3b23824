#include "linkage/loops.h"

#include <float.h>
#include <math.h>
#include <string.h>

// A body as the equations see it: its scaled place, its turned frame, and its first column (or -1
// for the ground, which has none).
typedef struct seen {
    double x, z, angle, c, s;
    int column;
} seen;

static seen see(const hw_loops *l, const double x[], int body)
{
    if (body == 0) return (seen){0, 0, 0, 1, 0, -1};
    const double *at = x + 3 * (size_t)(body - 1);
    return (seen){at[0], at[1], at[2], l->cosine[body], l->sine[body], 3 * (body - 1)};
}

static hw_vec2 arm_of(const hw_loops *l, const seen *b, hw_vec2 at)
{
    return hw_flex(hw_scale(at, 1 / l->length), b->c, b->s);
}

static hw_vec2 point_of(const seen *b, hw_vec2 arm)
{
    return (hw_vec2){b->x + arm.x, b->z + arm.z};
}

// d/d(angle) of a vector that turns with a body: flexion turns +z toward +x.
static hw_vec2 turned(hw_vec2 v)
{
    return (hw_vec2){v.z, -v.x};
}

static void pin_at(const hw_loops *l, const hw_pin *p, const double x[], double f[], double j[])
{
    seen a = see(l, x, p->a), b = see(l, x, p->b);
    hw_vec2 arm_a = arm_of(l, &a, p->at_a), arm_b = arm_of(l, &b, p->at_b);
    hw_vec2 miss = hw_sub(point_of(&b, arm_b), point_of(&a, arm_a));
    f[0] = miss.x;
    f[1] = miss.z;
    if (!j) return;
    double *row_x = j, *row_z = j + l->n + 1;
    if (a.column >= 0) {
        hw_vec2 d = turned(arm_a);
        row_x[a.column] = -1;
        row_z[a.column + 1] = -1;
        row_x[a.column + 2] = -d.x;
        row_z[a.column + 2] = -d.z;
    }
    if (b.column >= 0) {
        hw_vec2 d = turned(arm_b);
        row_x[b.column] = 1;
        row_z[b.column + 1] = 1;
        row_x[b.column + 2] = d.x;
        row_z[b.column + 2] = d.z;
    }
}

// One component of b's point against a's line: axis . (B - A), with the axis turning with a.
static double along_at(const hw_loops *l, const hw_slider *q, hw_vec2 axis_in_a, const double x[],
                       double row[])
{
    seen a = see(l, x, q->a), b = see(l, x, q->b);
    hw_vec2 axis = hw_flex(axis_in_a, a.c, a.s);
    hw_vec2 arm_a = arm_of(l, &a, q->at_a), arm_b = arm_of(l, &b, q->at_b);
    hw_vec2 from_a = hw_sub(point_of(&b, arm_b), point_of(&a, arm_a));
    if (row && a.column >= 0) {
        row[a.column] = -axis.x;
        row[a.column + 1] = -axis.z;
        row[a.column + 2] = hw_dot(turned(axis), from_a) - hw_dot(axis, turned(arm_a));
    }
    if (row && b.column >= 0) {
        row[b.column] = axis.x;
        row[b.column + 1] = axis.z;
        row[b.column + 2] = hw_dot(axis, turned(arm_b));
    }
    return hw_dot(axis, from_a);
}

static double turn_at(const hw_loops *l, int body_a, int body_b, const double x[], double row[])
{
    seen a = see(l, x, body_a), b = see(l, x, body_b);
    if (row && a.column >= 0) row[a.column + 2] = -1;
    if (row && b.column >= 0) row[b.column + 2] = 1;
    return b.angle - a.angle;
}

static hw_vec2 line_axis(const hw_slider *q)
{
    return (hw_vec2){cos(q->direction), -sin(q->direction)};
}

static hw_vec2 line_normal(const hw_slider *q)
{
    return (hw_vec2){sin(q->direction), cos(q->direction)};
}

static double driver_at(const hw_loops *l, const hw_driver *d, const double x[], double row[])
{
    double unit = d->slider < 0 ? 1 : l->length;
    double now = d->start + d->span * (x[l->n] / l->stroke);
    if (row) row[l->n] = -d->span / (unit * l->stroke);
    if (d->slider < 0) return turn_at(l, d->a, d->b, x, row) - now;
    const hw_slider *q = &l->m->slider[d->slider];
    return along_at(l, q, line_axis(q), x, row) - now / unit;
}

void hw_loops_at(const hw_loops *l, const double x[], double f[], double j[])
{
    size_t width = l->n + 1, e = 0;
    for (size_t b = 1; b < l->m->bodies; b++) {
        l->cosine[b] = cos(x[3 * (b - 1) + 2]);
        l->sine[b] = sin(x[3 * (b - 1) + 2]);
    }
    if (j) memset(j, 0, l->equations * width * sizeof *j);
    for (size_t i = 0; i < l->m->pins; i++, e += 2)
        pin_at(l, &l->m->pin[i], x, f + e, j ? j + e * width : NULL);
    for (size_t i = 0; i < l->m->sliders; i++) {
        const hw_slider *q = &l->m->slider[i];
        f[e] = along_at(l, q, line_normal(q), x, j ? j + e * width : NULL);
        e++;
        if (!q->keyed) continue;
        f[e] = turn_at(l, q->a, q->b, x, j ? j + e * width : NULL) - q->turn;
        e++;
    }
    for (size_t i = 0; i < l->m->drivers; i++, e++)
        f[e] = driver_at(l, &l->m->driver[i], x, j ? j + e * width : NULL);
}

// Centripetal acceleration of an arm's end.
static hw_vec2 inward(const seen *b, hw_vec2 arm, const double v[])
{
    double w = b->column < 0 ? 0 : v[b->column + 2];
    return hw_scale(arm, -w * w);
}

static hw_vec2 speed(const seen *b, hw_vec2 arm, const double v[])
{
    if (b->column < 0) return (hw_vec2){0, 0};
    hw_vec2 d = hw_scale(turned(arm), v[b->column + 2]);
    return (hw_vec2){v[b->column] + d.x, v[b->column + 1] + d.z};
}

static double along_turning(const hw_loops *l, const hw_slider *q, hw_vec2 axis_in_a,
                            const double x[], const double v[])
{
    seen a = see(l, x, q->a), b = see(l, x, q->b);
    hw_vec2 axis = hw_flex(axis_in_a, a.c, a.s);
    hw_vec2 arm_a = arm_of(l, &a, q->at_a), arm_b = arm_of(l, &b, q->at_b);
    hw_vec2 from_a = hw_sub(point_of(&b, arm_b), point_of(&a, arm_a));
    hw_vec2 relative = hw_sub(speed(&b, arm_b, v), speed(&a, arm_a, v));
    double w = a.column < 0 ? 0 : v[a.column + 2];
    return -w * w * hw_dot(axis, from_a) + 2 * w * hw_dot(turned(axis), relative) +
           hw_dot(axis, hw_sub(inward(&b, arm_b, v), inward(&a, arm_a, v)));
}

void hw_loops_turning(const hw_loops *l, const double x[], const double v[], double g[])
{
    size_t e = 0;
    for (size_t i = 0; i < l->m->pins; i++) {
        const hw_pin *p = &l->m->pin[i];
        seen a = see(l, x, p->a), b = see(l, x, p->b);
        hw_vec2 d =
            hw_sub(inward(&b, arm_of(l, &b, p->at_b), v), inward(&a, arm_of(l, &a, p->at_a), v));
        g[e++] = d.x;
        g[e++] = d.z;
    }
    for (size_t i = 0; i < l->m->sliders; i++) {
        const hw_slider *q = &l->m->slider[i];
        g[e++] = along_turning(l, q, line_normal(q), x, v);
        if (q->keyed) g[e++] = 0;
    }
    for (size_t i = 0; i < l->m->drivers; i++) {
        int slider = l->m->driver[i].slider;
        const hw_slider *q = slider < 0 ? NULL : &l->m->slider[slider];
        g[e++] = q ? along_turning(l, q, line_axis(q), x, v) : 0;
    }
}

void hw_loops_pack(const hw_loops *l, const hw_body_pose pose[], double s, double x[])
{
    for (size_t b = 1; b < l->m->bodies; b++) {
        x[3 * (b - 1)] = pose[b].x / l->length;
        x[3 * (b - 1) + 1] = pose[b].z / l->length;
        x[3 * (b - 1) + 2] = pose[b].angle;
    }
    x[l->n] = s * l->stroke;
}

void hw_loops_joint(const hw_loops *l, size_t equation, int *pin, int *slider, int *driver)
{
    *pin = *slider = *driver = -1;
    size_t e = 2 * l->m->pins;
    if (equation < e) {
        *pin = (int)(equation / 2);
        return;
    }
    for (size_t i = 0; i < l->m->sliders; i++) {
        e += l->m->slider[i].keyed ? 2 : 1;
        if (equation < e) {
            *slider = (int)i;
            return;
        }
    }
    *driver = (int)(equation - e);
}

int hw_loops_body(const hw_loops *l, const double v[])
{
    double most_turn = 0, most_move = 0;
    int turns = -1, moves = -1;
    for (size_t b = 1; b < l->m->bodies; b++) {
        const double *at = v + 3 * (b - 1);
        double move = hypot(at[0], at[1]);
        if (fabs(at[2]) > most_turn) {
            most_turn = fabs(at[2]);
            turns = (int)b;
        }
        if (move > most_move) {
            most_move = move;
            moves = (int)b;
        }
    }
    // A turn that is rounding beside the translations names nobody.
    return most_turn > 1e-6 * most_move ? turns : moves;
}

// ---- setting up

static bool two_bodies(const hw_mech *m, int a, int b)
{
    return a >= 0 && b >= 0 && (size_t)a < m->bodies && (size_t)b < m->bodies && a != b;
}

static bool finite2(hw_vec2 v)
{
    return isfinite(v.x) && isfinite(v.z);
}

static bool sound(const hw_mech *m)
{
    if (m->bodies < 1) return false;
    for (size_t i = 0; i < m->pins; i++) {
        const hw_pin *p = &m->pin[i];
        if (!two_bodies(m, p->a, p->b) || !finite2(p->at_a) || !finite2(p->at_b)) return false;
    }
    for (size_t i = 0; i < m->sliders; i++) {
        const hw_slider *q = &m->slider[i];
        if (!two_bodies(m, q->a, q->b) || !finite2(q->at_a) || !finite2(q->at_b)) return false;
        if (!isfinite(q->direction) || !isfinite(q->turn)) return false;
    }
    for (size_t i = 0; i < m->drivers; i++) {
        const hw_driver *d = &m->driver[i];
        if (!isfinite(d->start) || !isfinite(d->span) || d->slider < -1) return false;
        if (d->slider >= 0 ? (size_t)d->slider >= m->sliders : !two_bodies(m, d->a, d->b))
            return false;
    }
    return true;
}

typedef struct extent {
    double low_x, high_x, low_z, high_z, reach;
} extent;

static void widen(extent *e, int body, int of, hw_vec2 at)
{
    if (body != of) return;
    e->low_x = fmin(e->low_x, at.x);
    e->high_x = fmax(e->high_x, at.x);
    e->low_z = fmin(e->low_z, at.z);
    e->high_z = fmax(e->high_z, at.z);
    e->reach = fmax(e->reach, hypot(at.x, at.z));
}

static extent extent_of(const hw_mech *m, int body)
{
    extent e = {INFINITY, -INFINITY, INFINITY, -INFINITY, 0};
    for (size_t i = 0; i < m->pins; i++) {
        widen(&e, m->pin[i].a, body, m->pin[i].at_a);
        widen(&e, m->pin[i].b, body, m->pin[i].at_b);
    }
    for (size_t i = 0; i < m->sliders; i++) {
        widen(&e, m->slider[i].a, body, m->slider[i].at_a);
        widen(&e, m->slider[i].b, body, m->slider[i].at_b);
    }
    return e;
}

double hw_mech_length(const hw_mech *m)
{
    double between = 0, reach = 0, slides = 0;
    for (size_t b = 0; b < m->bodies; b++) {
        extent e = extent_of(m, (int)b);
        reach = fmax(reach, e.reach);
        if (e.high_x >= e.low_x)
            between = fmax(between, hypot(e.high_x - e.low_x, e.high_z - e.low_z));
    }
    for (size_t i = 0; i < m->drivers; i++)
        if (m->driver[i].slider >= 0)
            slides = fmax(slides, fmax(fabs(m->driver[i].span), fabs(m->driver[i].start)));
    if (between > 0) return between;
    return reach > 0 ? reach : slides;
}

// The largest motion of a driver, so that steps along the stroke weigh like the motion they cause.
static double stroke_of(const hw_mech *m, double length)
{
    double most = 0;
    for (size_t i = 0; i < m->drivers; i++)
        most = fmax(most, fabs(m->driver[i].span) / (m->driver[i].slider < 0 ? 1 : length));
    return most > 0 ? most : 1;
}

hw_code hw_loops_new(const hw_mech *m, hw_arena *a, hw_loops *out)
{
    if (m->bodies > HW_MECH_BODIES) return HW_LIMIT;
    if (!sound(m)) return HW_BAD_INPUT;
    double length = hw_mech_length(m);
    if (!(length > 0)) length = 1;
    if (!isfinite(length)) return HW_BAD_INPUT;
    *out = (hw_loops){.m = m, .length = length, .stroke = stroke_of(m, length)};
    out->n = 3 * (m->bodies - 1);
    out->equations = 2 * m->pins + m->sliders + m->drivers;
    for (size_t i = 0; i < m->sliders; i++) out->equations += m->slider[i].keyed;
    out->cosine = HW_NEW(a, double, m->bodies);
    out->sine = HW_NEW(a, double, m->bodies);
    return hw_arena_failed(a) ? HW_NO_MEMORY : HW_OK;
}
