// Nearest points and rays against every triangle asked in turn, by formulas of the test's own.
#include "solid/near.h"

#include "base/rng.h"
#include "check.h"

#include <stdlib.h>

static hw_arena *arena;

// A soup of triangles of very different sizes; `whole` rounds coordinates, so that many coincide.
static hw_float_mesh soup(hw_rng *r, size_t tris, bool whole, double scale)
{
    hw_float_mesh m = {.verts = 3 * tris, .tris = tris};
    m.at = hw_arena_alloc(arena, m.verts, sizeof *m.at, _Alignof(float));
    m.tri = HW_NEW(arena, uint32_t, 3 * tris);
    for (size_t t = 0; t < tris; t++) {
        double size = exp(hw_rng_uniform(r, -4, 0)), mid[3];
        for (int k = 0; k < 3; k++) mid[k] = hw_rng_uniform(r, -2, 2);
        for (size_t c = 0; c < 3; c++) {
            for (int k = 0; k < 3; k++) {
                double v = mid[k] + size * hw_rng_uniform(r, -1, 1);
                m.at[3 * t + c][k] = (float)(scale * (whole ? round(v) : v));
            }
            m.tri[3 * t + c] = (uint32_t)(3 * t + c);
        }
    }
    return m;
}

static void corners(const hw_float_mesh *m, size_t t, double out[3][3])
{
    for (size_t c = 0; c < 3; c++)
        for (int k = 0; k < 3; k++) out[c][k] = (double)m->at[m->tri[3 * t + c]][k];
}

static double square_to(const double p[3], const double q[3])
{
    double s = 0;
    for (int k = 0; k < 3; k++) s += (p[k] - q[k]) * (p[k] - q[k]);
    return s;
}

// Squared distance from a side, by its projection.
static double to_side(const double a[3], const double b[3], const double p[3])
{
    double along = 0, length = square_to(a, b), q[3];
    for (int k = 0; k < 3; k++) along += (p[k] - a[k]) * (b[k] - a[k]);
    double t = length > 0 ? fmin(fmax(along / length, 0), 1) : 0;
    for (int k = 0; k < 3; k++) q[k] = a[k] + t * (b[k] - a[k]);
    return square_to(p, q);
}

// By the normal equations of the plane's own coordinates, else by the sides.
static double to_triangle(const double c[3][3], const double p[3])
{
    double uu = 0, uv = 0, vv = 0, up = 0, vp = 0, q[3];
    for (int k = 0; k < 3; k++) {
        double u = c[1][k] - c[0][k], v = c[2][k] - c[0][k], w = p[k] - c[0][k];
        uu += u * u;
        uv += u * v;
        vv += v * v;
        up += u * w;
        vp += v * w;
    }
    double det = uu * vv - uv * uv;
    double a = (vv * up - uv * vp) / det, b = (uu * vp - uv * up) / det;
    if (det > 1e-12 * uu * vv && a >= 0 && b >= 0 && a + b <= 1) {
        for (int k = 0; k < 3; k++)
            q[k] = c[0][k] + a * (c[1][k] - c[0][k]) + b * (c[2][k] - c[0][k]);
        return square_to(p, q);
    }
    return fmin(to_side(c[0], c[1], p), fmin(to_side(c[1], c[2], p), to_side(c[2], c[0], p)));
}

static double brute(const hw_float_mesh *m, const double p[3])
{
    double best = INFINITY, c[3][3];
    for (size_t t = 0; t < m->tris; t++) {
        corners(m, t, c);
        best = fmin(best, to_triangle((const double(*)[3])c, p));
    }
    return sqrt(best);
}

static hw_near made(const hw_float_mesh *m)
{
    hw_near n;
    hw_arena *work = hw_arena_new(0);
    CHECK(hw_near_make(arena, work, m, NULL, &n) == HW_OK);
    hw_arena_free(work);
    return n;
}

static void nearest_as_by_brute_force(void)
{
    hw_rng r = hw_rng_new(1, 1);
    for (int turn = 0; turn < 60; turn++) {
        double scale = turn % 3 == 0 ? 1 : turn % 3 == 1 ? 1e-3 : 1e3;
        size_t tris = turn < 12 ? (size_t)turn + 1 : 20 + 13 * (size_t)turn;
        hw_float_mesh m = soup(&r, tris, turn & 1, scale);
        hw_near n = made(&m);
        for (int k = 0; k < 60; k++) {
            double p[3];
            for (int i = 0; i < 3; i++) p[i] = scale * hw_rng_uniform(&r, -3, 3);
            if (k & 1)
                for (int i = 0; i < 3; i++) p[i] = scale * round(2 * p[i] / scale) / 2;
            double want = brute(&m, p);
            hw_near_hit hit = hw_near_point(&n, (hw_vec3){p[0], p[1], p[2]}, (double)INFINITY);
            NEAR(hit.distance, want, 1e-12 * scale);
            const double at[3] = {hit.at.x, hit.at.y, hit.at.z};
            NEAR(sqrt(square_to(at, p)), want, 1e-12 * scale);
            if (!CHECK(hit.tri < m.tris)) continue;
            double c[3][3];
            corners(&m, hit.tri, c);
            NEAR(sqrt(to_triangle((const double(*)[3])c, at)), 0, 1e-7 * scale);
            // reach is where it stops
            CHECK(hw_near_point(&n, (hw_vec3){p[0], p[1], p[2]}, 0.99 * want).tri == UINT32_MAX ||
                  want < 1e-9 * scale);
            CHECK(hw_near_point(&n, (hw_vec3){p[0], p[1], p[2]}, 1.01 * want).tri == hit.tri);
        }
    }
}

static double det3(const double a[3], const double b[3], const double c[3])
{
    return a[0] * (b[1] * c[2] - b[2] * c[1]) - a[1] * (b[0] * c[2] - b[2] * c[0]) +
           a[2] * (b[0] * c[1] - b[1] * c[0]);
}

// First crossing from signed volumes; *edge: closest the ray comes to a side, as a share.
static double brute_ray(const hw_float_mesh *m, const double from[3], const double to[3],
                        double least, double most, double *edge)
{
    double best = INFINITY, c[3][3], d[3];
    for (int k = 0; k < 3; k++) d[k] = to[k];
    *edge = 1;
    for (size_t t = 0; t < m->tris; t++) {
        corners(m, t, c);
        double u[3][3], v[3], sum = 0;
        for (int i = 0; i < 3; i++)
            for (int k = 0; k < 3; k++) u[i][k] = c[i][k] - from[k];
        for (int i = 0; i < 3; i++) sum += v[i] = det3(d, u[(i + 1) % 3], u[(i + 2) % 3]);
        if (sum == 0) continue;
        double where = det3(u[0], u[1], u[2]) / sum;
        for (int i = 0; i < 3; i++) *edge = fmin(*edge, fabs(v[i] / sum));
        bool in = v[0] / sum >= 0 && v[1] / sum >= 0 && v[2] / sum >= 0;
        if (in && where >= least && where <= most) best = fmin(best, where);
    }
    return best;
}

static void rays_as_by_brute_force(void)
{
    hw_rng r = hw_rng_new(2, 1);
    int hits = 0, misses = 0;
    for (int turn = 0; turn < 40; turn++) {
        double scale = turn & 1 ? 1e-2 : 1;
        hw_float_mesh m = soup(&r, 10 + 11 * (size_t)turn, false, scale);
        hw_near n = made(&m);
        for (int k = 0; k < 60; k++) {
            double p[3], d[3], size = 0, edge;
            for (int i = 0; i < 3; i++) {
                p[i] = scale * hw_rng_uniform(&r, -2, 2);
                d[i] = k % 5 == 0 && i < 2 ? 0 : hw_rng_uniform(&r, -1, 1);
                size += d[i] * d[i];
            }
            for (int i = 0; i < 3; i++) d[i] /= sqrt(size);
            double least = k & 2 ? 0 : scale * hw_rng_uniform(&r, -1, 1), most = least + 3 * scale;
            double want = brute_ray(&m, p, d, least, most, &edge);
            if (edge < 1e-9) continue; // either is right there
            hw_near_hit hit = hw_near_ray(&n, (hw_vec3){p[0], p[1], p[2]},
                                          (hw_vec3){d[0], d[1], d[2]}, least, most);
            if (isinf(want)) {
                misses++;
                CHECK(hit.tri == UINT32_MAX && isinf(hit.distance));
                continue;
            }
            hits++;
            NEAR(hit.distance, want, 1e-9 * scale);
            NEAR(hit.at.y, p[1] + want * d[1], 1e-9 * scale);
        }
    }
    if (!CHECK(hits > 300 && misses > 300)) printf("    %d %d\n", hits, misses);
}

typedef struct seen {
    uint8_t *by; // triangle
    size_t n, stop;
} seen;

static bool see(void *self, uint32_t tri)
{
    seen *s = self;
    s->by[tri]++;
    return ++s->n != s->stop;
}

static void around_misses_none(void)
{
    hw_rng r = hw_rng_new(3, 1);
    hw_float_mesh m = soup(&r, 700, false, 1);
    hw_near n = made(&m);
    for (int k = 0; k < 50; k++) {
        double p[3] = {hw_rng_uniform(&r, -2, 2), hw_rng_uniform(&r, -2, 2),
                       hw_rng_uniform(&r, -2, 2)};
        double radius = hw_rng_uniform(&r, 0, 1), c[3][3];
        uint8_t by[700] = {0};
        seen s = {by, 0, SIZE_MAX};
        hw_near_around(&n, (hw_vec3){p[0], p[1], p[2]}, radius, see, &s);
        CHECK(s.n < 700);
        for (size_t t = 0; t < m.tris; t++) {
            corners(&m, t, c);
            CHECK(by[t] <= 1);
            if (to_triangle((const double(*)[3])c, p) < radius * radius) CHECK(by[t] == 1);
        }
        seen first = {by, 0, 1};
        hw_near_around(&n, (hw_vec3){p[0], p[1], p[2]}, 1, see, &first);
        CHECK(first.n <= 1);
    }
}

static bool stop(void *self, double fraction, const char *stage)
{
    (void)self, (void)fraction, (void)stage;
    return false;
}

static void edges_of_use(void)
{
    hw_near n;
    hw_arena *work = hw_arena_new(0);
    hw_float_mesh none = {0};
    CHECK(hw_near_make(arena, work, &none, NULL, &n) == HW_OK);
    CHECK(hw_near_point(&n, (hw_vec3){0, 0, 0}, (double)INFINITY).tri == UINT32_MAX);
    CHECK(hw_near_ray(&n, (hw_vec3){0, 0, 0}, (hw_vec3){1, 0, 0}, 0, 1).tri == UINT32_MAX);
    float at[3][3] = {{0, 0, 0}, {1, 0, 0}, {0, 0, 0}};
    uint32_t tri[3] = {0, 1, 2};
    hw_float_mesh m = {at, tri, 3, 1};
    // a triangle without area is a side
    CHECK(hw_near_make(arena, work, &m, NULL, &n) == HW_OK);
    NEAR(hw_near_point(&n, (hw_vec3){0.25, 2, 0}, (double)INFINITY).distance, 2, 1e-15);
    CHECK(hw_near_ray(&n, (hw_vec3){0.25, 2, 0}, (hw_vec3){0, -1, 0}, 0, 9).tri == UINT32_MAX);
    hw_job job = {stop, NULL};
    CHECK(hw_near_make(arena, work, &m, &job, &n) == HW_CANCELLED);
    tri[2] = 3;
    CHECK(hw_near_make(arena, work, &m, NULL, &n) == HW_BAD_INPUT);
    tri[2] = 2;
    at[2][1] = NAN;
    CHECK(hw_near_make(arena, work, &m, NULL, &n) == HW_BAD_INPUT);
    at[2][1] = 1;
    for (size_t k = 0; k < 6; k++) {
        hw_arena *a = hw_arena_new(0);
        hw_arena_fail_after(a, k);
        CHECK(hw_near_make(a, a, &m, NULL, &n) == HW_NO_MEMORY);
        hw_arena_free(a);
    }
    hw_arena_free(work);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    arena = hw_arena_new(0);
    RUN(nearest_as_by_brute_force);
    RUN(rays_as_by_brute_force);
    RUN(around_misses_none);
    RUN(edges_of_use);
    hw_arena_free(arena);
    (void)hw_check_text;
    return TEST_END();
}
