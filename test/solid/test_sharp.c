// Edges and corners of meshed fields, which lie askew to the lattice.
#include "check.h"

#include "base/rng.h"
#include "base/vec3.h"
#include "solid/field.h"

#define MM 1e-3

static const double cell = 0.5e-3;

// A frame that no plane of the lattice is square to.
static hw_frame askew(hw_rng *r)
{
    hw_vec3 x = hw_vec3_unit((hw_vec3){hw_rng_normal(r), hw_rng_normal(r), hw_rng_normal(r)});
    hw_vec3 z = hw_vec3_unit(hw_vec3_cross(x, (hw_vec3){hw_rng_normal(r), 1, hw_rng_normal(r)}));
    return (hw_frame){{hw_rng_uniform(r, -1, 1) * MM, 0, 0}, x, hw_vec3_cross(z, x), z};
}

static hw_mesh mesh_of(hw_arena *a, const hw_field *f)
{
    hw_field_mesh_def def = hw_field_mesh_def_default();
    hw_field_made made;
    hw_float_mesh file;
    hw_mesh_report report;
    hw_mesh m = {0};
    hw_arena *work = hw_arena_new(1 << 20);
    def.cell = cell;
    CHECK(hw_field_mesh(a, work, f, &def, NULL, &m, &made) == HW_OK && m.tris > 0);
    CHECK(hw_mesh_to_float(a, &m, def.unit, &file) == HW_OK);
    CHECK(hw_mesh_check(work, &file, NULL, &report) == HW_OK && hw_mesh_sound(&report));
    hw_arena_free(work);
    return m;
}

static double nearest(const hw_mesh *m, hw_vec3 to)
{
    double least = INFINITY;
    for (size_t i = 0; i < m->verts; i++)
        least = fmin(least, hw_vec3_norm(hw_vec3_sub(m->vert[i], to)));
    return least;
}

// Edges of the mesh whose middle lies a tenth of a cell inside the solid: of bevels.
static size_t bevels(const hw_mesh *m, const hw_field *f)
{
    size_t n = 0;
    for (size_t i = 0; i < 3 * m->tris; i++) {
        hw_vec3 a = m->vert[m->tri[i]], b = m->vert[m->tri[i % 3 == 2 ? i - 2 : i + 1]];
        n += hw_field_at(f, hw_vec3_times(hw_vec3_add(a, b), 0.5)) < -0.1 * cell;
    }
    return n;
}

// A box's corners are in its mesh, and so are its edges: bevels would take 1.5 % of it and be up to
// half a cell deep, some hundred of them.
static void box_to_its_corners(void)
{
    enum { BOXES = 12 };
    hw_rng r = hw_rng_new(31, 0);
    size_t corners = 0;
    for (int i = 0; i < BOXES; i++) {
        hw_arena *a = hw_arena_new(0);
        const hw_frame in = askew(&r);
        const hw_vec3 high = {6 * MM, 4 * MM, 3 * MM};
        const hw_field *f = hw_field_box(a, &in, (hw_vec3){0, 0, 0}, high);
        const hw_mesh m = mesh_of(a, f);
        for (int k = 0; k < 8; k++) {
            const hw_vec3 at = {k & 1 ? high.x : 0, k & 2 ? high.y : 0, k & 4 ? high.z : 0};
            corners += nearest(&m, hw_frame_point(&in, at)) < 1e-7;
        }
        CLOSE(hw_mesh_mass(&m, 1).volume, 72 * MM * MM * MM, 5e-4);
        CHECK(bevels(&m, f) < 30);
        hw_arena_free(a);
    }
    CHECK(corners > (size_t)8 * BOXES * 8 / 10); // a piece that sees two of the planes has none
}

// An inner edge and one that is round in plan: a bored plate.
static void bored_plate(void)
{
    hw_rng r = hw_rng_new(7, 0);
    hw_arena *a = hw_arena_new(0);
    const hw_frame in = askew(&r);
    const hw_vec3 ends[] = {{0, 0, -1 * MM}, {0, 0, 5 * MM}};
    const hw_field *plate =
        hw_field_box(a, &in, (hw_vec3){-5 * MM, -5 * MM, 0}, (hw_vec3){5 * MM, 5 * MM, 4 * MM});
    const hw_field *bore =
        hw_field_cylinder(a, hw_frame_point(&in, ends[0]), hw_frame_point(&in, ends[1]), 2 * MM);
    const hw_field *f = hw_field_cut(a, plate, bore);
    const hw_mesh m = mesh_of(a, f);
    double off = 0;
    enum { PLACES = 90 };
    for (int i = 0; i < PLACES; i++) { // the bore's rim
        const double turn = 2 * HW_PI * i / PLACES;
        const hw_vec3 at = {2 * MM * cos(turn), 2 * MM * sin(turn), 4 * MM};
        hw_vec3 to = hw_frame_point(&in, at);
        double least = INFINITY;
        for (size_t k = 0; k < 3 * m.tris; k++) {
            hw_vec3 p = m.vert[m.tri[k]], q = m.vert[m.tri[k % 3 == 2 ? k - 2 : k + 1]];
            hw_vec3 d = hw_vec3_sub(q, p), e = hw_vec3_sub(to, p);
            double t = fmin(fmax(hw_vec3_dot(e, d) / hw_vec3_dot(d, d), 0), 1);
            least = fmin(least, hw_vec3_norm(hw_vec3_along(e, -t, d)));
        }
        off = fmax(off, least);
    }
    CHECK(off < 0.1 * cell);
    CLOSE(hw_mesh_mass(&m, 1).volume, (400 - HW_PI * 16) * MM * MM * MM, 1e-3);
    hw_arena_free(a);
}

// What is round stays round: no corner stands out of a ball.
static void ball(void)
{
    hw_arena *a = hw_arena_new(0);
    const hw_vec3 middle = {0.1 * MM, 0, 0};
    const hw_field *f = hw_field_tube(a, &middle, 1, 1.2 * MM);
    const hw_mesh m = mesh_of(a, f);
    for (size_t i = 0; i < m.verts; i++) CHECK(fabs(hw_field_at(f, m.vert[i])) < 1e-7);
    hw_arena_free(a);
}

// A drop's piece that rises is the least over all the drops on it, and no steeper than 45 degrees
// anywhere.
static void rising_drop(void)
{
    enum { POINTS = 400, STEPS = 4000 };
    hw_rng r = hw_rng_new(11, 0);
    hw_arena *a = hw_arena_new(0);
    const hw_vec3 up = {0, 0, 1};
    for (int i = 0; i < POINTS; i++) {
        const hw_vec3 from = {0, 0, 0};
        const hw_vec3 to = {hw_rng_uniform(&r, 2, 6), hw_rng_uniform(&r, -2, 2),
                            hw_rng_uniform(&r, -4, 4)};
        const hw_vec3 path[] = {from, to};
        const hw_field *whole = hw_field_drop(a, path, 2, 1, up);
        const hw_vec3 at = {hw_rng_uniform(&r, -2, 8), hw_rng_uniform(&r, -4, 4),
                            hw_rng_uniform(&r, -6, 8)};
        double least = INFINITY;
        for (int k = 0; k <= STEPS; k++) {
            const hw_vec3 d = hw_vec3_along(at, -(double)k / STEPS, to);
            const double rho = hypot(d.x, d.y);
            least = fmin(least, (d.z > rho ? (rho + d.z) / sqrt(2) : hw_vec3_norm(d)) - 1);
        }
        const double got = hw_field_at(whole, at);
        CHECK(got <= least + 1e-12);
        NEAR(got, least, 1e-3);
        const double h = 1e-6, over = hw_field_at(whole, hw_vec3_along(at, h, up));
        if (got > 0) CHECK((over - got) / h < sqrt(0.5) + 1e-4);
    }
    hw_arena_free(a);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(box_to_its_corners);
    RUN(bored_plate);
    RUN(ball);
    RUN(rising_drop);
    return TEST_END();
}
