// Crumbs of meshes: what is dropped, what stays, and that the rest is what it was.
#include "check.h"
#include "solid/solid.h"

enum { CUBES = 4 };

static hw_arena *arena;

// Cubes side by side, of these edges; a negative one is a cavity: turned inside out.
static hw_mesh cubes(const double edge[], const hw_vec3 at[], size_t n) // [m] [m]
{
    static const uint32_t face[12][3] = {{0, 2, 1}, {1, 2, 3}, {4, 5, 6}, {5, 7, 6},
                                         {0, 1, 4}, {1, 5, 4}, {2, 6, 3}, {3, 6, 7},
                                         {0, 4, 2}, {2, 4, 6}, {1, 3, 5}, {3, 7, 5}};
    hw_mesh m = {HW_NEW(arena, hw_vec3, 8 * n), HW_NEW(arena, uint32_t, 36 * n), 0, 0};
    for (size_t c = 0; c < n; c++) {
        for (uint32_t f = 0; f < 12; f++, m.tris++)
            for (uint32_t k = 0; k < 3; k++)
                m.tri[3 * m.tris + k] = (uint32_t)m.verts + face[f][edge[c] < 0 && k ? 3 - k : k];
        for (uint32_t v = 0; v < 8; v++) {
            double e = fabs(edge[c]);
            m.vert[m.verts++] = (hw_vec3){at[c].x + (v & 1 ? e : 0), at[c].y + (v & 2 ? e : 0),
                                          at[c].z + (v & 4 ? e : 0)};
        }
    }
    return m;
}

static double volume_of(const hw_mesh *m)
{
    return hw_mesh_mass(m, 1).mass;
}

static void small_ones_go(void)
{
    const double edge[CUBES] = {1, 10, -2, 3};
    const hw_vec3 at[CUBES] = {{-5, 0, 0}, {0, 0, 0}, {4, 4, 4}, {20, 0, 0}};
    hw_mesh m = cubes(edge, at, CUBES);
    size_t n = 9;
    CHECK(fabs(volume_of(&m) - (1 + 1000 - 8 + 27)) < 1e-9);
    CHECK(hw_mesh_drop_crumbs(arena, &m, 0.02, &n) == HW_OK && n == 1);
    CHECK(m.tris == 36 && m.verts == 24); // 27 of 1000 stay, so does the cavity
    CHECK(fabs(volume_of(&m) - (1000 - 8 + 27)) < 1e-9);
    CHECK(m.vert[0].x == 0);
    CHECK(hw_mesh_drop_crumbs(arena, &m, 0.03, &n) == HW_OK && n == 1 && m.tris == 24);
    CHECK(fabs(volume_of(&m) - (1000 - 8)) < 1e-9);
    CHECK(hw_mesh_drop_crumbs(arena, &m, 0.03, &n) == HW_OK && n == 0 && m.tris == 24);
}

static void a_crumb_takes_its_cavity_along(void)
{
    const double edge[CUBES] = {10, 2, -1, -3};
    const hw_vec3 at[CUBES] = {{0, 0, 0}, {20, 0, 0}, {20.5, 0.5, 0.5}, {5, 5, 5}};
    hw_mesh m = cubes(edge, at, CUBES);
    size_t n;
    CHECK(hw_mesh_drop_crumbs(arena, &m, 0.02, &n) == HW_OK && n == 1 && m.tris == 24);
    CHECK(fabs(volume_of(&m) - (1000 - 27)) < 1e-9);
}

static void bad_input(void)
{
    const double edge[1] = {1};
    const hw_vec3 at[1] = {{0, 0, 0}};
    hw_mesh m = cubes(edge, at, 1), none = {0};
    size_t n;
    CHECK(hw_mesh_drop_crumbs(arena, &m, -1, &n) == HW_BAD_INPUT);
    CHECK(hw_mesh_drop_crumbs(arena, &m, (double)NAN, &n) == HW_BAD_INPUT);
    CHECK(hw_mesh_drop_crumbs(arena, &none, 0.02, &n) == HW_OK && n == 0);
    m.tri[5] = 8;
    CHECK(hw_mesh_drop_crumbs(arena, &m, 0.02, &n) == HW_BAD_INPUT && m.tris == 12);
}

int main(void)
{
    arena = hw_arena_new(0);
    RUN(small_ones_go);
    RUN(a_crumb_takes_its_cavity_along);
    RUN(bad_input);
    hw_arena_free(arena);
    return TEST_END();
}
