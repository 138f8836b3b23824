// Counting freedoms, and kinematics of points.
#include "linkage/mech.h"

#include "linkage/dense.h"
#include "linkage/loops.h"

#include <math.h>
#include <string.h>

static const double RANK_TOLERANCE = 1e-9;

static bool room_for(hw_arena *a, const hw_mech *m, hw_body_pose **out)
{
    *out = HW_NEW(a, hw_body_pose, m->bodies);
    return *out != NULL;
}

hw_code hw_mech_motion_new(hw_arena *a, const hw_mech *m, hw_mech_motion *out)
{
    *out = (hw_mech_motion){0};
    bool all =
        room_for(a, m, &out->pose) && room_for(a, m, &out->rate) && room_for(a, m, &out->rate2);
    return all ? HW_OK : HW_NO_MEMORY;
}

typedef struct counting {
    hw_loops loops;
    double *x, *f, *j, *square, *null;
    int *row, *col;
} counting;

static hw_code counting_new(const hw_mech *m, hw_arena *a, counting *out)
{
    hw_code code = hw_loops_new(m, a, &out->loops);
    if (code != HW_OK) return code;
    size_t rows = out->loops.equations, n = out->loops.n;
    out->x = HW_NEW(a, double, n + 1);
    out->f = HW_NEW(a, double, rows);
    out->j = HW_NEW(a, double, rows *(n + 1));
    out->square = HW_NEW(a, double, rows *n);
    out->null = HW_NEW(a, double, n);
    out->row = HW_NEW(a, int, rows);
    out->col = HW_NEW(a, int, n);
    return hw_arena_failed(a) ? HW_NO_MEMORY : HW_OK;
}

static size_t rank_at(counting *c)
{
    size_t n = c->loops.n;
    hw_loops_at(&c->loops, c->x, c->f, c->j);
    for (size_t i = 0; i < c->loops.equations; i++)
        memcpy(c->square + i * n, c->j + i * (n + 1), n * sizeof(double));
    return hw_rank(c->square, c->loops.equations, n, RANK_TOLERANCE, c->row, c->col);
}

// The motion in which the first undetermined column moves by one, from the eliminated rows.
static void first_null_vector(counting *c, size_t rank)
{
    size_t n = c->loops.n;
    memset(c->null, 0, n * sizeof(double));
    c->null[c->col[rank]] = 1;
    for (size_t k = rank; k-- > 0;) {
        double sum = 0;
        for (size_t q = k + 1; q < n; q++) sum -= c->square[k * n + q] * c->null[c->col[q]];
        c->null[c->col[k]] = sum / c->square[k * n + k];
    }
}

// The rank that the mechanism has anywhere else: at poses disturbed by a fixed irregular pattern.
static size_t rank_elsewhere(counting *c)
{
    size_t n = c->loops.n, best = 0;
    for (int again = 1; again <= 3; again++) {
        for (size_t i = 0; i < n; i++)
            c->x[i] += 0.3 * sin(12.9898 * (double)(i + 1) * again + 78.233);
        size_t rank = rank_at(c);
        if (rank > best) best = rank;
    }
    return best;
}

hw_code hw_mech_count(const hw_mech *m, hw_arena *a, const hw_body_pose pose[],
                      hw_mech_freedom *out)
{
    *out = (hw_mech_freedom){.body = -1, .pin = -1, .slider = -1, .driver = -1};
    size_t mark = hw_arena_mark(a);
    counting c;
    hw_code code = counting_new(m, a, &c);
    if (code != HW_OK) {
        hw_arena_rewind(a, mark);
        return code;
    }
    hw_loops_pack(&c.loops, pose, 0, c.x);
    size_t rank = rank_at(&c);
    out->unknowns = c.loops.n;
    out->equations = c.loops.equations;
    out->rank = rank;
    out->freedoms = c.loops.n - rank;
    out->redundant = c.loops.equations - rank;
    if (out->redundant) {
        int first = c.row[rank];
        for (size_t i = rank; i < c.loops.equations; i++)
            if (c.row[i] < first) first = c.row[i];
        hw_loops_joint(&c.loops, (size_t)first, &out->pin, &out->slider, &out->driver);
    }
    if (out->freedoms) {
        first_null_vector(&c, rank);
        out->body = hw_loops_body(&c.loops, c.null);
        out->by_pose = rank_elsewhere(&c) == c.loops.n;
    }
    hw_arena_rewind(a, mark);
    return HW_OK;
}

hw_vec2 hw_body_point(hw_body_pose body, hw_vec2 at)
{
    return hw_add((hw_vec2){body.x, body.z}, hw_flexed(at, body.angle));
}

hw_vec2 hw_body_velocity(hw_body_pose body, hw_body_pose rate, hw_vec2 at)
{
    hw_vec2 arm = hw_flexed(at, body.angle);
    return (hw_vec2){rate.x + rate.angle * arm.z, rate.z - rate.angle * arm.x};
}

hw_vec2 hw_body_acceleration(hw_body_pose body, hw_body_pose rate, hw_body_pose rate2, hw_vec2 at)
{
    hw_vec2 arm = hw_flexed(at, body.angle);
    double w2 = rate.angle * rate.angle;
    return (hw_vec2){rate2.x + rate2.angle * arm.z - w2 * arm.x,
                     rate2.z - rate2.angle * arm.x - w2 * arm.z};
}

// Against body a, a point P of b moves with v_b(P) - v_a(P) = (u + w P.z, v - w P.x), where u, v
// and w are the differences at the origin: zero at P = (v, -u) / w.
bool hw_instant_centre(const hw_mech *m, const hw_mech_motion *at, int a, int b, hw_vec2 *out)
{
    hw_body_pose pa = at->pose[a], pb = at->pose[b], ra = at->rate[a], rb = at->rate[b];
    double w = rb.angle - ra.angle;
    double u = (rb.x - rb.angle * pb.z) - (ra.x - ra.angle * pa.z);
    double v = (rb.z + rb.angle * pb.x) - (ra.z + ra.angle * pa.x);
    *out = (hw_vec2){v / w, -u / w};
    bool turns = fabs(w) * hw_mech_length(m) > 1e-12 * (fabs(u) + fabs(v));
    if (!turns) *out = (hw_vec2){NAN, NAN};
    return turns;
}

// The place of a pin by the body that has it.
static hw_vec2 pin_on(const hw_mech *m, const hw_body_pose pose[], int pin, int body)
{
    const hw_pin *p = &m->pin[pin];
    return hw_body_point(pose[body], p->a == body ? p->at_a : p->at_b);
}

double hw_mech_transmission(const hw_mech *m, const hw_body_pose pose[], int pin, int pin_a,
                            int pin_b)
{
    const hw_pin *p = &m->pin[pin];
    hw_vec2 to_a = hw_sub(pin_on(m, pose, pin_a, p->a), pin_on(m, pose, pin, p->a));
    hw_vec2 to_b = hw_sub(pin_on(m, pose, pin_b, p->b), pin_on(m, pose, pin, p->b));
    if (!(hw_norm(to_a) > 0) || !(hw_norm(to_b) > 0)) return NAN;
    return atan2(fabs(hw_moment(to_a, to_b)), hw_dot(to_a, to_b));
}
