// Planes through made-up scans: lengths and areas of closed cases, holes, planes that miss.
#include "anatomy/scan.h"
#include "base/vec3.h"

#include "base/arena.h"
#include "check.h"

static hw_arena *arena;

// A ball of `radius` about a place, in rings of points; every `hole`-th triangle is left out.
static hw_float_mesh ball(double radius, const double at[3], int rings, int hole)
{
    const int round = 2 * rings;
    hw_float_mesh m = {.verts = (size_t)((rings - 1) * round + 2)};
    m.at = hw_arena_alloc(arena, m.verts, sizeof *m.at, _Alignof(float));
    m.tri = HW_NEW(arena, uint32_t, (size_t)(6 * rings * round));
    for (int i = 0; i < rings - 1; i++)
        for (int j = 0; j < round; j++) {
            double u = HW_PI * (i + 1) / rings, v = 2 * HW_PI * j / round;
            const double p[3] = {sin(u) * cos(v), sin(u) * sin(v), cos(u)};
            for (int c = 0; c < 3; c++) m.at[i * round + j][c] = (float)(at[c] + radius * p[c]);
        }
    const size_t top = m.verts - 2, low = m.verts - 1;
    for (int c = 0; c < 3; c++)
        m.at[top][c] = m.at[low][c] = (float)(at[c] + (c == 2 ? radius : 0));
    m.at[low][2] = (float)(at[2] - radius);
    int n = 0;
    for (int i = 0; i < rings; i++)
        for (int j = 0; j < round; j++) {
            int k = (j + 1) % round;
            uint32_t a = (uint32_t)((i - 1) * round + j), b = (uint32_t)((i - 1) * round + k);
            uint32_t c = (uint32_t)(i * round + j), d = (uint32_t)(i * round + k);
            if (i == 0) a = b = (uint32_t)top;
            if (i == rings - 1) c = d = (uint32_t)low;
            const uint32_t two[2][3] = {{a, c, d}, {a, d, b}};
            for (int t = 0; t < 2; t++) {
                if (two[t][0] == two[t][1] || two[t][1] == two[t][2] || two[t][2] == two[t][0])
                    continue;
                if (hole && ++n % hole == 0) continue;
                for (int e = 0; e < 3; e++) m.tri[3 * m.tris + (size_t)e] = two[t][e];
                m.tris++;
            }
        }
    return m;
}

// A scan whose hand lies turned and shifted in the mesh's frame; the mesh is in millimetres.
static hw_scan scan_of(bool left)
{
    hw_scan s = {.scale = 1e-3, .left = left};
    s.hand.at = (hw_vec3){0.010, 0.020, 0.030};
    s.hand.x = (hw_vec3){0, 1, 0};
    s.hand.y = (hw_vec3){0, 0, left ? -1 : 1};
    s.hand.z = (hw_vec3){1, 0, 0};
    return s;
}

static double area(const hw_scan_line *l)
{
    double a = 0;
    for (size_t i = 0; i + 1 < l->n; i++)
        a += 0.5 * (l->at[i].x * l->at[i + 1].z - l->at[i + 1].x * l->at[i].z);
    return fabs(a);
}

static hw_frame plane_at(double y, double turn)
{
    return (hw_frame){.at = {0, y, 0},
                      .x = {cos(turn), 0, -sin(turn)},
                      .y = {0, 1, 0},
                      .z = {sin(turn), 0, cos(turn)}};
}

static void a_ball_is_cut_in_circles(void)
{
    hw_arena *work = hw_arena_new(0);
    for (int left = 0; left < 2; left++) {
        hw_scan s = scan_of(left);
        const double at[3] = {10, 20, 30}; // in the hand's frame it is the origin
        hw_float_mesh m = ball(12, at, 60, 0);
        for (int k = -5; k <= 5; k++) {
            hw_frame plane = plane_at(2e-3 * k + 1e-5, 0.3 * k);
            hw_scan_cut cut;
            CHECK(hw_scan_cut_of(arena, work, &m, &s, &plane, 0, NULL, &cut) == HW_OK);
            if (!CHECK(cut.lines == 1 && cut.line[0].closed)) continue;
            double y = 2e-3 * k + 1e-5, r = sqrt(12e-3 * 12e-3 - y * y);
            CLOSE(area(&cut.line[0]), HW_PI * r * r, 4e-3); // chords of 3 degrees
            double far = 0;
            for (size_t i = 0; i < cut.line[0].n; i++)
                far = fmax(far, fabs(hw_norm(cut.line[0].at[i]) - r));
            NEAR(far, 0, 0.05e-3);
            // fewer points, no farther off than allowed
            hw_scan_cut few;
            CHECK(hw_scan_cut_of(arena, work, &m, &s, &plane, 0.2e-3, NULL, &few) == HW_OK);
            CHECK(few.line[0].n < cut.line[0].n / 2 && few.line[0].n > 8);
            CLOSE(area(&few.line[0]), HW_PI * r * r, 0.05);
        }
        hw_frame beyond = plane_at(13e-3, 0);
        hw_scan_cut none;
        CHECK(hw_scan_cut_of(arena, work, &m, &s, &beyond, 0, NULL, &none) == HW_OK);
        CHECK(none.lines == 0);
    }
    hw_arena_free(work);
}

// Which way round x and z of a cut run: a ball that is not in the middle.
static void places_are_the_planes_own(void)
{
    for (int left = 0; left < 2; left++) {
        hw_scan s = scan_of(left);
        // hand x 5 mm, y -2 mm, z 7 mm
        const double at[3] = {10 + 7, 20 + 5, 30 + (left ? 2 : -2)};
        hw_float_mesh m = ball(3, at, 30, 0);
        hw_frame plane = plane_at(-2e-3, 0);
        hw_scan_cut cut;
        hw_arena *work = hw_arena_new(0);
        CHECK(hw_scan_cut_of(arena, work, &m, &s, &plane, 0, NULL, &cut) == HW_OK);
        if (CHECK(cut.lines == 1)) {
            double x = 0, z = 0;
            for (size_t i = 0; i + 1 < cut.line[0].n; i++) {
                x += cut.line[0].at[i].x / (double)(cut.line[0].n - 1);
                z += cut.line[0].at[i].z / (double)(cut.line[0].n - 1);
            }
            NEAR(x, 5e-3, 0.3e-3);
            NEAR(z, 7e-3, 0.3e-3);
        }
        hw_arena_free(work);
    }
}

static void holes_open_the_lines(void)
{
    hw_arena *work = hw_arena_new(0);
    hw_scan s = scan_of(false);
    const double at[3] = {10, 20, 30};
    hw_float_mesh whole = ball(12, at, 40, 0), m = ball(12, at, 40, 9);
    hw_frame plane = plane_at(1.03e-3, 0);
    hw_scan_cut cut, all;
    CHECK(hw_scan_cut_of(arena, work, &m, &s, &plane, 0, NULL, &cut) == HW_OK);
    CHECK(hw_scan_cut_of(arena, work, &whole, &s, &plane, 0, NULL, &all) == HW_OK);
    CHECK(cut.lines > 3);
    size_t parts = 0;
    for (size_t i = 0; i < cut.lines; i++) {
        CHECK(!cut.line[i].closed && cut.line[i].n > 1);
        parts += cut.line[i].n - 1;
    }
    // a ninth of the steps is missing
    NEAR((double)parts / (double)(all.line[0].n - 1), 8.0 / 9, 0.04);
    hw_arena_free(work);
}

static bool stop(void *self, double fraction, const char *stage)
{
    (void)self, (void)fraction, (void)stage;
    return false;
}

static void edges_of_use(void)
{
    hw_scan s = scan_of(false);
    const double at[3] = {10, 20, 30};
    hw_float_mesh m = ball(12, at, 10, 0), none = {0};
    hw_frame plane = plane_at(0.1e-3, 0);
    hw_scan_cut cut;
    hw_arena *work = hw_arena_new(0);
    CHECK(hw_scan_cut_of(arena, work, &none, &s, &plane, 0, NULL, &cut) == HW_OK);
    CHECK(cut.lines == 0);
    hw_job job = {stop, NULL};
    CHECK(hw_scan_cut_of(arena, work, &m, &s, &plane, 0, &job, &cut) == HW_CANCELLED);
    for (size_t k = 0; k < 3; k++) {
        hw_arena *a = hw_arena_new(0);
        hw_arena_fail_after(a, k);
        CHECK(hw_scan_cut_of(arena, a, &m, &s, &plane, 0, NULL, &cut) == HW_NO_MEMORY);
        hw_arena_free(a);
        CHECK(cut.lines == 0);
    }
    plane.at.x = NAN;
    CHECK(hw_scan_cut_of(arena, work, &m, &s, &plane, 0, NULL, &cut) == HW_BAD_INPUT);
    hw_arena_free(work);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    arena = hw_arena_new(0);
    RUN(a_ball_is_cut_in_circles);
    RUN(places_are_the_planes_own);
    RUN(holes_open_the_lines);
    RUN(edges_of_use);
    hw_arena_free(arena);
    (void)hw_check_text;
    return TEST_END();
}
