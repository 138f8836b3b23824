#include "base/rng.h"
#include "check.h"
#include "make.h"
#include "solid/meet_internal.h"

static hw_mesh_report check_of(size_t verts, float (*at)[3], size_t tris, uint32_t *tri)
{
    hw_arena *work = hw_arena_new(0);
    hw_float_mesh m = {at, tri, verts, tris};
    hw_mesh_report r;
    CHECK(hw_mesh_check(work, &m, NULL, &r) == HW_OK);
    // without crossings, all else is the same
    hw_mesh_report edges, want = r;
    want.crossing = 0;
    want.first[0] = want.first[1] = 0;
    CHECK(hw_mesh_edges(work, &m, &edges) == HW_OK);
    CHECK(memcmp(&edges, &want, sizeof want) == 0);
    CHECK(hw_arena_mark(work) == 0);
    hw_arena_free(work);
    return r;
}

// clang-format off
#define CORNERS {0, 0, 0}, {1, 0, 0}, {0, 1, 0}, {0, 0, 1}
#define FACES 0, 2, 1, 0, 1, 3, 1, 2, 3, 2, 0, 3
// clang-format on

static void sound(void)
{
    float at[4][3] = {CORNERS};
    uint32_t tri[12] = {FACES};
    hw_mesh_report r = check_of(4, at, 4, tri);
    CHECK(hw_mesh_sound(&r));
    NEAR(r.volume, 1.0 / 6, 1e-15);
}

static void empty(void)
{
    hw_mesh_report r = check_of(0, NULL, 0, NULL);
    CHECK(r.crossing == 0 && r.open_edges == 0 && !hw_mesh_sound(&r)); // no volume
}

static void inside_out(void)
{
    float at[4][3] = {CORNERS};
    uint32_t tri[12] = {0, 1, 2, 0, 3, 1, 1, 3, 2, 2, 3, 0};
    hw_mesh_report r = check_of(4, at, 4, tri);
    CHECK(r.flipped_edges == 0 && r.volume < 0 && !hw_mesh_sound(&r));
}

static void hole(void)
{
    float at[4][3] = {CORNERS};
    uint32_t tri[12] = {FACES};
    CHECK(check_of(4, at, 3, tri).open_edges == 3);
}

static void flipped_face(void)
{
    float at[4][3] = {CORNERS};
    uint32_t tri[12] = {0, 1, 2, 0, 1, 3, 1, 2, 3, 2, 0, 3};
    CHECK(check_of(4, at, 4, tri).flipped_edges == 3);
}

static void doubled_face(void)
{
    float at[4][3] = {CORNERS};
    uint32_t tri[15] = {FACES, 0, 2, 1};
    hw_mesh_report r = check_of(4, at, 5, tri);
    CHECK(r.crowded_edges == 3 && r.crossing == 1 && r.first[0] == 0 && r.first[1] == 4);
}

static void no_area(void)
{
    float at[5][3] = {CORNERS, {2, 0, 0}};
    uint32_t line[15] = {FACES, 0, 1, 4}, twice[15] = {FACES, 0, 1, 1};
    CHECK(check_of(5, at, 5, line).degenerate == 1);
    CHECK(check_of(5, at, 5, twice).degenerate == 1);
}

static void not_a_number(void)
{
    float at[4][3] = {CORNERS};
    uint32_t tri[12] = {FACES};
    at[3][1] = NAN;
    CHECK(check_of(4, at, 4, tri).not_finite == 3);
    at[3][1] = INFINITY;
    hw_mesh_report r = check_of(4, at, 4, tri);
    CHECK(r.not_finite == 3 && !hw_mesh_sound(&r));
}

static void index_beyond(void)
{
    float at[4][3] = {CORNERS};
    uint32_t tri[12] = {FACES};
    tri[7] = 4;
    hw_arena *work = hw_arena_new(0);
    hw_float_mesh m = {at, tri, 4, 4};
    hw_mesh_report r;
    CHECK(hw_mesh_check(work, &m, NULL, &r) == HW_BAD_INPUT);
    hw_arena_free(work);
}

// As a file holds them: each triangle with its own corners, one zero negative.
static void loose_corners(void)
{
    const float corner[4][3] = {CORNERS};
    const uint32_t face[12] = {FACES};
    float at[12][3];
    uint32_t tri[12];
    for (uint32_t i = 0; i < 12; i++) {
        memcpy(at[i], corner[face[i]], sizeof at[i]);
        tri[i] = i;
    }
    at[0][0] = -0.0F;
    hw_mesh_report r = check_of(12, at, 4, tri);
    CHECK(hw_mesh_sound(&r) && r.merged_verts == 8);
}

// Two tetrahedra, the second moved by (dx, dy, dz).
static hw_mesh_report pair(float dx, float dy, float dz)
{
    float at[8][3] = {CORNERS, CORNERS};
    uint32_t tri[24] = {FACES, FACES};
    for (int i = 4; i < 8; i++) {
        at[i][0] += dx;
        at[i][1] += dy;
        at[i][2] += dz;
    }
    for (int i = 12; i < 24; i++) tri[i] += 4;
    return check_of(8, at, 8, tri);
}

static void two_bodies(void)
{
    hw_mesh_report r = pair(2, 0, 0);
    CHECK(hw_mesh_sound(&r));
    r = pair(0.25F, 0.25F, 0.25F); // the corner is through the slanted face
    CHECK(r.crossing > 0 && r.open_edges == 0);
    r = pair(1, 0, 0); // corner on corner: one vertex, two fans
    CHECK(r.pinched_verts == 1 && r.crossing == 0);
    r = pair(0.5F, 0, 0); // corner inside an edge
    CHECK(r.crossing > 0);
    r = pair(0, 0, -1); // corner on corner, from below
    CHECK(r.pinched_verts == 1);
    r = pair(0, 0, -1.0000001F); // one unit in the last place clear
    CHECK(hw_mesh_sound(&r));
    r = pair(0, 0, 0); // one on the other
    CHECK(r.crossing >= 4 && r.crowded_edges == 6);
}

static void edge_on_edge(void)
{
    float at[6][3] = {{0, 0, 0}, {0, 0, 1}, {1, 0, 0}, {0, 1, 0}, {-1, 0, 0}, {0, -1, 0}};
    uint32_t tri[24] = {0, 1, 2, 0, 3, 1, 0, 2, 3, 1, 3, 2, 0, 1, 4, 0, 5, 1, 0, 4, 5, 1, 5, 4};
    hw_mesh_report r = check_of(6, at, 8, tri);
    CHECK(r.crowded_edges == 1);
}

// Two triangles on one edge in one plane: side by side is sound, folded over is not.
static void fold(void)
{
    float at[4][3] = {{0, 0, 0}, {1, 0, 0}, {0, 1, 0}, {1, -1, 0}};
    const hw_float_mesh m = {at, NULL, 4, 0};
    CHECK(!hw_meet_pair(&m, (uint32_t[]){0, 1, 2}, (uint32_t[]){1, 0, 3}));
    at[3][1] = 1;
    CHECK(hw_meet_pair(&m, (uint32_t[]){0, 1, 2}, (uint32_t[]){1, 0, 3}));
    at[3][2] = 1e-30F; // hardly lifted off
    CHECK(!hw_meet_pair(&m, (uint32_t[]){0, 1, 2}, (uint32_t[]){1, 0, 3}));
}

// ---- second route: separating axes in whole numbers -------------------------------------------

typedef struct points { // a convex set: 2 or 3 corners
    int64_t at[3][3];
    int n;
} points;

static void cross3(const int64_t a[3], const int64_t b[3], int64_t out[3])
{
    for (int i = 0; i < 3; i++)
        out[i] = a[(i + 1) % 3] * b[(i + 2) % 3] - a[(i + 2) % 3] * b[(i + 1) % 3];
}

static bool separates(const int64_t axis[3], const points *p, const points *q)
{
    int64_t low[2] = {INT64_MAX, INT64_MAX}, high[2] = {INT64_MIN, INT64_MIN};
    for (int side = 0; side < 2; side++) {
        const points *s = side ? q : p;
        for (int i = 0; i < s->n; i++) {
            int64_t v = 0;
            for (int k = 0; k < 3; k++) v += axis[k] * s->at[i][k];
            low[side] = v < low[side] ? v : low[side];
            high[side] = v > high[side] ? v : high[side];
        }
    }
    return high[0] < low[1] || high[1] < low[0];
}

static void edge(const points *p, int i, int64_t out[3])
{
    for (int k = 0; k < 3; k++) out[k] = p->at[(i + 1) % p->n][k] - p->at[i][k];
}

// Do two closed convex sets have no point in common? The difference of two such sets is a polytope;
// when it misses the origin one of its facets separates: normals of the faces, products of two
// edges, and for flat differences the edges' normals in the plane and the edges themselves.
static bool disjoint(const points *p, const points *q)
{
    int64_t e[6][3], axis[3];
    int n = 0;
    for (int i = 0; i < p->n; i++) edge(p, i, e[n++]);
    for (int i = 0; i < q->n; i++) edge(q, i, e[n++]);
    for (int i = 0; i < n; i++) {
        if (separates(e[i], p, q)) return true;
        for (int j = i + 1; j < n; j++) {
            cross3(e[i], e[j], axis);
            if (separates(axis, p, q)) return true;
            for (int k = 0; k < n; k++) {
                int64_t in_plane[3];
                cross3(axis, e[k], in_plane);
                if (separates(in_plane, p, q)) return true;
            }
        }
    }
    return false;
}

static points take(int64_t at[6][3], const uint32_t *id, int n)
{
    points p = {.n = n};
    for (int i = 0; i < n; i++) memcpy(p.at[i], at[id[i]], sizeof p.at[i]);
    return p;
}

// The two triangles' common points beyond shared corners, by the same reasoning but other means.
static bool meet_by_axes(int64_t at[6][3], const uint32_t s[3], const uint32_t t[3], int shared)
{
    points p = take(at, s, 3), q = take(at, t, 3);
    if (shared == 0) return !disjoint(&p, &q);
    if (shared == 1) { // corner 0 of both: the sides opposite it
        points a = take(at, s + 1, 2), b = take(at, t + 1, 2);
        return !disjoint(&a, &q) || !disjoint(&b, &p);
    }
    // corners 0 and 1: a line from the middle of the edge into s that stays in t's plane and side
    int64_t u[3], v[3], w[3], n[3], m[3], flat = 0, side = 0;
    edge(&p, 0, u);
    for (int k = 0; k < 3; k++) v[k] = p.at[2][k] - p.at[0][k], w[k] = q.at[2][k] - q.at[0][k];
    cross3(u, v, n);
    cross3(u, w, m);
    for (int k = 0; k < 3; k++) flat += n[k] * w[k], side += n[k] * m[k];
    return flat == 0 && side > 0;
}

static void against_axes(void)
{
    hw_rng r = hw_rng_new(7, 0);
    int met[3] = {0}, tried[3] = {0};
    for (int n = 0; n < 60000; n++) {
        int64_t whole[6][3];
        float at[6][3];
        int64_t span = 2 + (int64_t)(hw_rng_next(&r) % 4);
        for (int i = 0; i < 6; i++)
            for (int k = 0; k < 3; k++) {
                whole[i][k] = (int64_t)(hw_rng_next(&r) % (uint64_t)span);
                at[i][k] = (float)whole[i][k];
            }
        int shared = n % 3;
        const uint32_t s[3] = {0, 1, 2};
        const uint32_t t[3] = {shared > 0 ? 0 : 3, shared > 1 ? 1 : 4, 5};
        const hw_float_mesh m = {at, NULL, 6, 0};
        if (hw_meet_axis(&m, s) < 0 || hw_meet_axis(&m, t) < 0) continue;
        bool want = meet_by_axes(whole, s, t, shared);
        tried[shared]++;
        met[shared] += want;
        CHECK(hw_meet_pair(&m, s, t) == want);
        CHECK(hw_meet_pair(&m, t, s) == want);
    }
    for (int k = 0; k < 3; k++) // both answers came often
        CHECK(met[k] > tried[k] / 50 && met[k] < tried[k] * 49 / 50);
}

// The tree and the threads find what asking every pair finds.
static void every_pair(void)
{
    enum { TRIS = 900 };
    hw_rng r = hw_rng_new(8, 0);
    static float at[3 * TRIS][3];
    static uint32_t tri[3 * TRIS];
    for (uint32_t i = 0; i < 3 * TRIS; i++) {
        for (int k = 0; k < 3; k++)
            at[i][k] = i % 3 ? at[i - i % 3][k] + (float)hw_rng_uniform(&r, -.1, .1)
                             : (float)hw_rng_uniform(&r, 0, 1);
        tri[i] = i;
    }
    size_t want = 0;
    uint32_t first[2] = {0, 0};
    const hw_float_mesh m = {at, tri, 3 * TRIS, TRIS};
    for (uint32_t s = 0; s < TRIS; s++)
        for (uint32_t t = s + 1; t < TRIS; t++)
            if (hw_meet_pair(&m, tri + 3 * s, tri + 3 * t) && want++ == 0)
                first[0] = s, first[1] = t;
    hw_mesh_report got = check_of(3 * TRIS, at, TRIS, tri);
    CHECK(want > 100 && got.crossing == want);
    CHECK(got.first[0] == first[0] && got.first[1] == first[1]);
}

static bool stop(void *self, double fraction, const char *stage)
{
    (void)self;
    return fraction < 0 || !stage;
}

static void cancelled(void)
{
    float at[4][3] = {CORNERS};
    uint32_t tri[12] = {FACES};
    hw_arena *work = hw_arena_new(0);
    hw_float_mesh m = {at, tri, 4, 4};
    hw_mesh_report r;
    hw_job job = {stop, NULL};
    CHECK(hw_mesh_check(work, &m, &job, &r) == HW_CANCELLED);
    hw_arena_free(work);
}

static void out_of_memory(void)
{
    float at[4][3] = {CORNERS};
    uint32_t tri[12] = {FACES};
    hw_float_mesh m = {at, tri, 4, 4};
    hw_mesh_report r;
    size_t n = 0;
    hw_code code = HW_NO_MEMORY;
    for (; n < 100 && code == HW_NO_MEMORY; n++) {
        hw_arena *work = hw_arena_new(0);
        hw_arena_fail_after(work, n);
        code = hw_mesh_check(work, &m, NULL, &r);
        hw_arena_free(work);
    }
    CHECK(code == HW_OK && n > 8);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(sound);
    RUN(empty);
    RUN(inside_out);
    RUN(hole);
    RUN(flipped_face);
    RUN(doubled_face);
    RUN(no_area);
    RUN(not_a_number);
    RUN(index_beyond);
    RUN(loose_corners);
    RUN(two_bodies);
    RUN(edge_on_edge);
    RUN(fold);
    RUN(against_axes);
    RUN(every_pair);
    RUN(cancelled);
    RUN(out_of_memory);
    return TEST_END();
}
