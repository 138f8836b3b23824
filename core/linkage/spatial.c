// One column of the matrix for each unknown: what one newton (or, for couples, one newton times the
// model's length) of it does to the six balances of each body.
#include "linkage/spatial.h"

#include "linkage/dense.h"

#include <math.h>

enum { SIX = 6, OF_PIN = 5 };

static const double RANK_TOLERANCE = 1e-12;

static hw_vec3 add(hw_vec3 a, hw_vec3 b)
{
    return (hw_vec3){a.x + b.x, a.y + b.y, a.z + b.z};
}

static hw_vec3 sub(hw_vec3 a, hw_vec3 b)
{
    return (hw_vec3){a.x - b.x, a.y - b.y, a.z - b.z};
}

static hw_vec3 times(hw_vec3 a, double k)
{
    return (hw_vec3){a.x * k, a.y * k, a.z * k};
}

static hw_vec3 cross(hw_vec3 a, hw_vec3 b)
{
    return (hw_vec3){a.y * b.z - a.z * b.y, a.z * b.x - a.x * b.z, a.x * b.y - a.y * b.x};
}

static double length_of(hw_vec3 a)
{
    return hypot(hypot(a.x, a.y), a.z);
}

static bool is_finite(hw_vec3 a)
{
    return isfinite(a.x) && isfinite(a.y) && isfinite(a.z);
}

// False where the vector has no length or is not finite.
static bool to_unit(hw_vec3 *v)
{
    double n = length_of(*v);
    if (!(n > 0) || !is_finite(*v)) return false;
    *v = times(*v, 1 / n);
    return true;
}

// Two directions square to a unit vector and to each other.
static void frame_of(hw_vec3 axis, hw_vec3 out[2])
{
    double x = fabs(axis.x), y = fabs(axis.y), z = fabs(axis.z);
    hw_vec3 other = {0, 0, 0};
    if (x <= y && x <= z)
        other.x = 1;
    else if (y <= z)
        other.y = 1;
    else
        other.z = 1;
    out[0] = cross(axis, other);
    out[0] = times(out[0], 1 / length_of(out[0]));
    out[1] = cross(axis, out[0]);
}

typedef struct work {
    const hw_space *m;
    size_t n;
    double *a, *square, *b, *x; // a, square: n x n, by rows
    int *row, *col, *order;
    hw_vec3 centre;
    double length;
} work;

// ---- what the model says
// -------------------------------------------------------------------------------------------------

static bool exists(const hw_space *m, int body)
{
    return body >= 0 && (size_t)body < m->bodies;
}

static bool is_sound(const hw_space *m, const hw_space_load load[], size_t loads)
{
    for (size_t i = 0; i < m->pins; i++) {
        hw_vec3 axis = m->pin[i].axis;
        if (!exists(m, m->pin[i].a) || !exists(m, m->pin[i].b)) return false;
        if (!to_unit(&axis) || !is_finite(m->pin[i].at)) return false;
    }
    for (size_t i = 0; i < m->lines; i++) {
        const hw_space_line *l = &m->line[i];
        if (l->known && !isfinite(l->tension)) return false;
        for (size_t k = 0; k < l->stretches; k++) {
            const hw_space_stretch *s = &l->stretch[k];
            hw_vec3 along = sub(s->at_b, s->at_a);
            if (!exists(m, s->a) || !exists(m, s->b) || !to_unit(&along)) return false;
        }
    }
    for (size_t i = 0; i < m->drives; i++) {
        hw_vec3 axis = m->drive[i].axis;
        if (!exists(m, m->drive[i].a) || !exists(m, m->drive[i].b) || !to_unit(&axis)) return false;
    }
    for (size_t i = 0; i < loads; i++)
        if (!exists(m, load[i].body) || !is_finite(load[i].at) || !is_finite(load[i].force) ||
            !is_finite(load[i].couple))
            return false;
    return true;
}

static size_t unknowns(const hw_space *m)
{
    size_t n = OF_PIN * m->pins + m->drives;
    for (size_t i = 0; i < m->lines; i++) n += !m->line[i].known;
    return n;
}

// Calls for every point of the model, in order.
static size_t points_of(const hw_space *m, hw_vec3 *sum, hw_vec3 centre, double *reach)
{
    size_t n = 0;
    for (size_t i = 0; i < m->pins; i++, n++) {
        *sum = add(*sum, m->pin[i].at);
        *reach = fmax(*reach, length_of(sub(m->pin[i].at, centre)));
    }
    for (size_t i = 0; i < m->lines; i++)
        for (size_t k = 0; k < m->line[i].stretches; k++, n += 2) {
            const hw_space_stretch *s = &m->line[i].stretch[k];
            *sum = add(*sum, add(s->at_a, s->at_b));
            *reach = fmax(*reach, length_of(sub(s->at_a, centre)));
            *reach = fmax(*reach, length_of(sub(s->at_b, centre)));
        }
    return n;
}

static void measure(work *w)
{
    hw_vec3 sum = {0, 0, 0}, again = sum;
    double reach = 0;
    size_t n = points_of(w->m, &sum, sum, &reach);
    w->centre = times(sum, n ? 1 / (double)n : 0);
    reach = 0;
    (void)points_of(w->m, &again, w->centre, &reach);
    w->length = reach > 0 ? reach : 1; // all points in one: the unit of moments does not matter
}

static hw_code work_new(const hw_space *m, hw_arena *a, work *w)
{
    size_t n = unknowns(m);
    *w = (work){.m = m, .n = n};
    w->a = HW_NEW(a, double, n *n);
    w->square = HW_NEW(a, double, n *n);
    w->b = HW_NEW(a, double, n);
    w->x = HW_NEW(a, double, n);
    w->row = HW_NEW(a, int, n);
    w->col = HW_NEW(a, int, n);
    w->order = HW_NEW(a, int, n);
    return hw_arena_failed(a) ? HW_NO_MEMORY : HW_OK;
}

// ---- balances
// -------------------------------------------------------------------------------------------------

// Adds a force at a point and a couple, `sign` times, to a body's six sums; `stride` between them.
static void act(const work *w, double *sums, size_t stride, int body, double sign, hw_vec3 at,
                hw_vec3 force, hw_vec3 couple)
{
    if (body == 0) return; // the ground takes it
    hw_vec3 moment = times(add(cross(sub(at, w->centre), force), couple), 1 / w->length);
    const double part[SIX] = {force.x, force.y, force.z, moment.x, moment.y, moment.z};
    for (size_t i = 0; i < SIX; i++)
        sums[(SIX * (size_t)(body - 1) + i) * stride] += sign * part[i];
}

static void put_pair(work *w, size_t column, int a, int b, hw_vec3 at, hw_vec3 force,
                     hw_vec3 couple)
{
    act(w, w->a + column, w->n, b, 1, at, force, couple);
    act(w, w->a + column, w->n, a, -1, at, force, couple);
}

// A line of one newton: each stretch draws b toward a.
static void put_line(const work *w, double *sums, size_t stride, const hw_space_line *l,
                     double tension)
{
    const hw_vec3 none = {0, 0, 0};
    for (size_t k = 0; k < l->stretches; k++) {
        const hw_space_stretch *s = &l->stretch[k];
        hw_vec3 pull = sub(s->at_a, s->at_b);
        if (!to_unit(&pull)) continue;
        act(w, sums, stride, s->b, tension, s->at_b, pull, none);
        act(w, sums, stride, s->a, -tension, s->at_a, pull, none);
    }
}

static void fill(work *w, const hw_space_load load[], size_t loads)
{
    const hw_space *m = w->m;
    const hw_vec3 none = {0, 0, 0}, axes[3] = {{1, 0, 0}, {0, 1, 0}, {0, 0, 1}};
    size_t c = 0;
    for (size_t i = 0; i < m->pins; i++) {
        const hw_space_pin *p = &m->pin[i];
        hw_vec3 axis = p->axis, across[2];
        (void)to_unit(&axis);
        frame_of(axis, across);
        for (int k = 0; k < 3; k++) put_pair(w, c++, p->a, p->b, p->at, axes[k], none);
        for (int k = 0; k < 2; k++)
            put_pair(w, c++, p->a, p->b, p->at, none, times(across[k], w->length));
    }
    for (size_t i = 0; i < m->lines; i++) {
        if (m->line[i].known)
            put_line(w, w->b, 1, &m->line[i], m->line[i].tension);
        else
            put_line(w, w->a + c++, w->n, &m->line[i], 1);
    }
    for (size_t i = 0; i < m->drives; i++) {
        hw_vec3 axis = m->drive[i].axis;
        (void)to_unit(&axis);
        put_pair(w, c++, m->drive[i].a, m->drive[i].b, w->centre, none, times(axis, w->length));
    }
    for (size_t i = 0; i < loads; i++)
        act(w, w->b, 1, load[i].body, 1, load[i].at, load[i].force, load[i].couple);
    for (size_t i = 0; i < w->n; i++) w->b[i] = -w->b[i];
}

static bool solve(work *w)
{
    for (size_t i = 0; i < w->n * w->n; i++) w->square[i] = w->a[i];
    if (hw_rank(w->square, w->n, w->n, RANK_TOLERANCE, w->row, w->col) < w->n) return false;
    if (!(fabs(hw_lu_factor(w->a, w->n, w->order)) > 0)) return false;
    hw_lu_solve(w->a, w->n, w->order, w->b, w->x);
    return true;
}

static void hand_out(const work *w, hw_space_forces *out)
{
    const hw_space *m = w->m;
    const double *x = w->x;
    for (size_t i = 0; i < m->pins; i++, x += OF_PIN) {
        hw_vec3 axis = m->pin[i].axis, across[2];
        (void)to_unit(&axis);
        frame_of(axis, across);
        out->pin[i] = (hw_vec3){x[0], x[1], x[2]};
        out->couple[i] =
            add(times(across[0], x[3] * w->length), times(across[1], x[4] * w->length));
    }
    for (size_t i = 0; i < m->lines; i++)
        out->line[i] = m->line[i].known ? m->line[i].tension : *x++;
    for (size_t i = 0; i < m->drives; i++) out->drive[i] = *x++ * w->length;
}

static void nothing(const hw_space *m, hw_space_forces *out)
{
    const hw_vec3 none = {NAN, NAN, NAN};
    for (size_t i = 0; i < m->pins; i++) out->pin[i] = out->couple[i] = none;
    for (size_t i = 0; i < m->lines; i++) out->line[i] = NAN;
    for (size_t i = 0; i < m->drives; i++) out->drive[i] = NAN;
}

hw_code hw_space_forces_new(hw_arena *a, const hw_space *m, hw_space_forces *out)
{
    *out = (hw_space_forces){0};
    out->pin = HW_NEW(a, hw_vec3, m->pins);
    out->couple = HW_NEW(a, hw_vec3, m->pins);
    out->line = HW_NEW(a, double, m->lines);
    out->drive = HW_NEW(a, double, m->drives);
    return hw_arena_failed(a) ? HW_NO_MEMORY : HW_OK;
}

hw_code hw_space_balance(const hw_space *m, hw_arena *a, const hw_space_load load[], size_t loads,
                         hw_space_forces *out)
{
    nothing(m, out);
    bool counts = m->bodies > 1 && unknowns(m) == SIX * (m->bodies - 1);
    if (!counts || !is_sound(m, load, loads)) return HW_BAD_INPUT;
    size_t mark = hw_arena_mark(a);
    work w;
    hw_code code = work_new(m, a, &w);
    if (code == HW_OK) {
        measure(&w);
        fill(&w, load, loads);
        code = solve(&w) ? HW_OK : HW_NO_ASSEMBLY;
        if (code == HW_OK) hand_out(&w, out);
    }
    hw_arena_rewind(a, mark);
    return code;
}
