// Triangles sorted along a space-filling curve, and a balanced tree of boxes over them whose places
// follow from its size.
#include "solid/near.h"

#include "base/vec3.h"

#include <math.h>
#include <string.h>

enum { LEAF = 4, AXIS_BITS = 21, DIGIT_BITS = 8, POLL = 1 << 15, DEPTH = 64 };

void hw_near_corners(const hw_float_mesh *mesh, uint32_t tri, hw_vec3 out[3])
{
    for (int c = 0; c < 3; c++) {
        const float *p = mesh->at[mesh->tri[3 * (size_t)tri + (size_t)c]];
        out[c] = (hw_vec3){(double)p[0], (double)p[1], (double)p[2]};
    }
}

hw_vec3 hw_near_normal(const hw_vec3 c[3])
{
    return hw_vec3_cross(hw_vec3_sub(c[1], c[0]), hw_vec3_sub(c[2], c[0]));
}

// ---- making -----------------------------------------------------------------------------------

typedef struct maker {
    hw_near *n;
    const hw_job *job;
    uint64_t *key, *key_aside;
    uint32_t *aside;
    float low[3], high[3];
} maker;

static bool is_sound(const hw_float_mesh *m)
{
    for (size_t i = 0; i < 3 * m->tris; i++)
        if (m->tri[i] >= m->verts) return false;
    for (size_t i = 0; i < 3 * m->tris; i++)
        for (int k = 0; k < 3; k++)
            if (!isfinite(m->at[m->tri[i]][k])) return false;
    return true;
}

static void grow(float low[3], float high[3], const float p[3])
{
    for (int k = 0; k < 3; k++) {
        low[k] = p[k] < low[k] ? p[k] : low[k];
        high[k] = p[k] > high[k] ? p[k] : high[k];
    }
}

static void nothing(float low[3], float high[3])
{
    for (int k = 0; k < 3; k++) {
        low[k] = INFINITY;
        high[k] = -INFINITY;
    }
}

static void box_of(const hw_float_mesh *m, uint32_t tri, float low[3], float high[3])
{
    for (size_t c = 0; c < 3; c++) grow(low, high, m->at[m->tri[3 * (size_t)tri + c]]);
}

// Every third bit.
static uint64_t spread(uint64_t v)
{
    v = (v | v << 32) & 0x001f00000000ffffu;
    v = (v | v << 16) & 0x001f0000ff0000ffu;
    v = (v | v << 8) & 0x100f00f00f00f00fu;
    v = (v | v << 4) & 0x10c30c30c30c30c3u;
    return (v | v << 2) & 0x1249249249249249u;
}

static uint64_t key_of(const maker *k, uint32_t tri)
{
    float low[3], high[3];
    nothing(low, high);
    box_of(k->n->mesh, tri, low, high);
    double size = 0;
    for (int i = 0; i < 3; i++) size = fmax(size, (double)k->high[i] - (double)k->low[i]);
    uint64_t key = 0;
    for (int i = 0; i < 3; i++) {
        double mid = 0.5 * ((double)low[i] + (double)high[i]) - (double)k->low[i];
        double cell = size > 0 ? mid / size * ((1 << AXIS_BITS) - 1) : 0;
        key |= spread((uint64_t)cell) << i;
    }
    return key;
}

// Sorts the triangles by their keys; equal keys stay in their order, so that it is one order only.
static bool sort_keys(maker *k)
{
    uint32_t *from = k->n->order, *to = k->aside;
    uint64_t *key = k->key, *other = k->key_aside;
    size_t n = k->n->mesh->tris;
    for (int shift = 0; shift < 3 * AXIS_BITS; shift += DIGIT_BITS) {
        size_t at[1 << DIGIT_BITS] = {0}, sum = 0;
        for (size_t i = 0; i < n; i++) at[key[i] >> shift & ((1 << DIGIT_BITS) - 1)]++;
        for (size_t d = 0; d < 1 << DIGIT_BITS; d++) {
            size_t count = at[d];
            at[d] = sum;
            sum += count;
        }
        for (size_t i = 0; i < n; i++) {
            size_t j = at[key[i] >> shift & ((1 << DIGIT_BITS) - 1)]++;
            to[j] = from[i];
            other[j] = key[i];
        }
        uint32_t *t = from;
        from = to;
        to = t;
        uint64_t *u = key;
        key = other;
        other = u;
        if (!hw_job_go_on(k->job, (double)(shift + 8) / (3 * AXIS_BITS + 8), "sorting"))
            return false;
    }
    // an even number of passes ends where it began
    return true;
}
_Static_assert((3 * AXIS_BITS + DIGIT_BITS - 1) / DIGIT_BITS % 2 == 0, "passes are even");

static size_t leaf_begin(const hw_near *n, size_t leaf)
{
    return (size_t)((uint64_t)n->mesh->tris * leaf / n->leaves);
}

static void fill_boxes(hw_near *n)
{
    for (size_t leaf = 0; leaf < n->leaves; leaf++) {
        size_t node = n->leaves + leaf;
        nothing(n->low[node], n->high[node]);
        for (size_t i = leaf_begin(n, leaf); i < leaf_begin(n, leaf + 1); i++)
            box_of(n->mesh, n->order[i], n->low[node], n->high[node]);
    }
    for (size_t node = n->leaves; node-- > 1;)
        for (int k = 0; k < 3; k++) {
            n->low[node][k] = fminf(n->low[2 * node][k], n->low[2 * node + 1][k]);
            n->high[node][k] = fmaxf(n->high[2 * node][k], n->high[2 * node + 1][k]);
        }
}

static hw_code make(hw_arena *work, maker *k)
{
    hw_near *n = k->n;
    size_t tris = n->mesh->tris;
    k->key = HW_NEW(work, uint64_t, tris);
    k->key_aside = HW_NEW(work, uint64_t, tris);
    k->aside = HW_NEW(work, uint32_t, tris);
    if (!k->key || !k->key_aside || !k->aside) return HW_NO_MEMORY;
    nothing(k->low, k->high);
    for (size_t i = 0; i < tris; i++) box_of(n->mesh, (uint32_t)i, k->low, k->high);
    for (size_t i = 0; i < tris; i++) {
        n->order[i] = (uint32_t)i;
        k->key[i] = key_of(k, (uint32_t)i);
        if (i % POLL == 0 && !hw_job_go_on(k->job, 0, "sorting")) return HW_CANCELLED;
    }
    if (!sort_keys(k)) return HW_CANCELLED;
    fill_boxes(n);
    return HW_OK;
}

hw_code hw_near_make(hw_arena *keep, hw_arena *work, const hw_float_mesh *mesh, const hw_job *job,
                     hw_near *out)
{
    *out = (hw_near){.mesh = mesh, .leaves = 1};
    if (mesh->tris >= UINT32_MAX || !is_sound(mesh)) return HW_BAD_INPUT;
    while (out->leaves * LEAF < mesh->tris) out->leaves *= 2;
    out->order = HW_NEW(keep, uint32_t, mesh->tris);
    out->low = hw_arena_alloc(keep, 2 * out->leaves, sizeof *out->low, _Alignof(float));
    out->high = hw_arena_alloc(keep, 2 * out->leaves, sizeof *out->high, _Alignof(float));
    if (!out->order || !out->low || !out->high) return HW_NO_MEMORY;
    maker k = {.n = out, .job = job};
    size_t mark = hw_arena_mark(work);
    hw_code code = make(work, &k);
    if (work != keep) hw_arena_rewind(work, mark);
    return code;
}

// ---- nearest point ----------------------------------------------------------------------------

static hw_vec3 on_side(hw_vec3 a, hw_vec3 b, hw_vec3 p)
{
    hw_vec3 d = hw_vec3_sub(b, a);
    double length = hw_vec3_dot(d, d);
    double t = length > 0 ? hw_vec3_dot(hw_vec3_sub(p, a), d) / length : 0;
    return hw_vec3_along(a, t < 0 ? 0 : t > 1 ? 1 : t, d);
}

static double square(hw_vec3 a, hw_vec3 b) // [m] [m^2]
{
    hw_vec3 d = hw_vec3_sub(a, b);
    return hw_vec3_dot(d, d);
}

hw_vec3 hw_near_on_triangle(const hw_vec3 c[3], hw_vec3 from)
{
    hw_vec3 normal = hw_near_normal(c);
    double area = hw_vec3_dot(normal, normal);
    bool inside = area > 0;
    for (int k = 0; k < 3 && inside; k++) {
        hw_vec3 side = hw_vec3_sub(c[(k + 1) % 3], c[k]);
        inside = hw_vec3_dot(hw_vec3_cross(side, hw_vec3_sub(from, c[k])), normal) >= 0;
    }
    if (inside)
        return hw_vec3_along(from, hw_vec3_dot(hw_vec3_sub(c[0], from), normal) / area, normal);
    hw_vec3 best = on_side(c[0], c[1], from);
    for (int k = 1; k < 3; k++) {
        hw_vec3 p = on_side(c[k], c[(k + 1) % 3], from);
        if (square(p, from) < square(best, from)) best = p;
    }
    return best;
}

// Squared distance to a node's box; infinite for an empty one.
static double box_square(const hw_near *n, size_t node, hw_vec3 p) // [m^2]
{
    const double at[3] = {p.x, p.y, p.z};
    double sum = 0;
    for (int k = 0; k < 3; k++) {
        double d = fmax(fmax((double)n->low[node][k] - at[k], at[k] - (double)n->high[node][k]), 0);
        sum += d * d;
    }
    return sum;
}

typedef struct stack {
    size_t node[DEPTH];
    double key[DEPTH]; // what the node can give at best
    size_t n;
} stack;

// The nearer child last, so that it is asked first.
static void push_two(stack *s, size_t node, double a, double b)
{
    size_t first = a <= b ? node : node + 1, second = a <= b ? node + 1 : node;
    double least = fmin(a, b), most = fmax(a, b);
    if (most < (double)INFINITY) {
        s->node[s->n] = second;
        s->key[s->n++] = most;
    }
    if (least < (double)INFINITY) {
        s->node[s->n] = first;
        s->key[s->n++] = least;
    }
}

hw_near_hit hw_near_point(const hw_near *n, hw_vec3 from, double reach)
{
    hw_near_hit hit = {.distance = (double)INFINITY, .tri = UINT32_MAX};
    if (!n->mesh->tris || !(reach >= 0)) return hit;
    double best = reach * reach;
    stack s = {.node = {1}, .key = {box_square(n, 1, from)}, .n = 1};
    while (s.n) {
        size_t node = s.node[--s.n];
        if (s.key[s.n] > best) continue;
        if (node < n->leaves) {
            push_two(&s, 2 * node, box_square(n, 2 * node, from),
                     box_square(n, 2 * node + 1, from));
            continue;
        }
        size_t leaf = node - n->leaves;
        for (size_t i = leaf_begin(n, leaf); i < leaf_begin(n, leaf + 1); i++) {
            hw_vec3 c[3];
            hw_near_corners(n->mesh, n->order[i], c);
            hw_vec3 p = hw_near_on_triangle(c, from);
            double d = square(p, from);
            if (d < best || (d == best && n->order[i] < hit.tri)) {
                best = d;
                hit = (hw_near_hit){p, sqrt(d), n->order[i]};
            }
        }
    }
    return hit;
}

// ---- rays -------------------------------------------------------------------------------------

// Where the ray enters a node's box; infinite when it does not before `most`.
static double box_ray(const hw_near *n, size_t node, const double from[3], const double along[3],
                      double least, double most) // [m] [1] [m] [m]
{
    for (int k = 0; k < 3; k++) {
        double low = (double)n->low[node][k] - from[k], high = (double)n->high[node][k] - from[k];
        if (low > high) return (double)INFINITY; // an empty box
        if (along[k] == 0) {
            if (low > 0 || high < 0) return (double)INFINITY;
            continue;
        }
        double a = low / along[k], b = high / along[k];
        // a little wider than rounding
        double slack = 1e-12 * fmax(fabs(a), fabs(b));
        least = fmax(least, fmin(a, b) - slack);
        most = fmin(most, fmax(a, b) + slack);
        if (least > most) return (double)INFINITY;
    }
    return least;
}

static bool ray_triangle(const hw_vec3 c[3], hw_vec3 from, hw_vec3 along, double *out) // [m]
{
    hw_vec3 u = hw_vec3_sub(c[1], c[0]), v = hw_vec3_sub(c[2], c[0]), w = hw_vec3_sub(from, c[0]);
    hw_vec3 p = hw_vec3_cross(along, v), q = hw_vec3_cross(w, u);
    double det = hw_vec3_dot(u, p);
    if (!(fabs(det) > 0)) return false;
    double a = hw_vec3_dot(w, p) / det, b = hw_vec3_dot(along, q) / det;
    *out = hw_vec3_dot(v, q) / det;
    return a >= 0 && b >= 0 && a + b <= 1;
}

hw_near_hit hw_near_ray(const hw_near *n, hw_vec3 from, hw_vec3 along, double least, double most)
{
    hw_near_hit hit = {.distance = (double)INFINITY, .tri = UINT32_MAX};
    if (!n->mesh->tris || !(least <= most)) return hit;
    const double f[3] = {from.x, from.y, from.z}, d[3] = {along.x, along.y, along.z};
    double best = most;
    stack s = {.node = {1}, .key = {box_ray(n, 1, f, d, least, most)}, .n = 1};
    while (s.n) {
        size_t node = s.node[--s.n];
        if (!(s.key[s.n] <= best)) continue;
        if (node < n->leaves) {
            push_two(&s, 2 * node, box_ray(n, 2 * node, f, d, least, best),
                     box_ray(n, 2 * node + 1, f, d, least, best));
            continue;
        }
        size_t leaf = node - n->leaves;
        for (size_t i = leaf_begin(n, leaf); i < leaf_begin(n, leaf + 1); i++) {
            hw_vec3 c[3];
            double t = 0;
            hw_near_corners(n->mesh, n->order[i], c);
            if (!ray_triangle(c, from, along, &t) || t < least) continue;
            if (t < best || (t == best && n->order[i] < hit.tri)) {
                best = t;
                hit = (hw_near_hit){hw_vec3_along(from, t, along), t, n->order[i]};
            }
        }
    }
    return hit;
}

void hw_near_around(const hw_near *n, hw_vec3 at, double radius,
                    bool (*each)(void *self, uint32_t tri), void *self)
{
    if (!n->mesh->tris) return;
    double reach = radius * radius;
    size_t node[DEPTH] = {1}, open = 1;
    while (open) {
        size_t here = node[--open];
        if (!(box_square(n, here, at) <= reach)) continue;
        if (here < n->leaves) {
            node[open++] = 2 * here + 1;
            node[open++] = 2 * here;
            continue;
        }
        size_t leaf = here - n->leaves;
        for (size_t i = leaf_begin(n, leaf); i < leaf_begin(n, leaf + 1); i++)
            if (!each(self, n->order[i])) return;
    }
}
