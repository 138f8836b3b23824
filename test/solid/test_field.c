#include "check.h"

#include "base/rng.h"
#include "solid/field.h"
#include "solid/field_internal.h"

#ifdef _OPENMP
#include <omp.h>
#endif

static const hw_frame plain = {{0, 0, 0}, {1, 0, 0}, {0, 1, 0}, {0, 0, 1}};

static hw_frame random_frame(hw_rng *r, double reach)
{
    hw_vec3 x = hw_vec3_unit((hw_vec3){hw_rng_normal(r), hw_rng_normal(r), hw_rng_normal(r)});
    hw_vec3 z = hw_vec3_unit(hw_vec3_cross(x, (hw_vec3){hw_rng_normal(r), 1, hw_rng_normal(r)}));
    return (hw_frame){{hw_rng_uniform(r, -reach, reach), hw_rng_uniform(r, -reach, reach),
                       hw_rng_uniform(r, -reach, reach)},
                      x,
                      hw_vec3_cross(z, x),
                      z};
}

static hw_vec3 random_spot(hw_rng *r, double reach)
{
    double x = hw_rng_uniform(r, -reach, reach), y = hw_rng_uniform(r, -reach, reach);
    return (hw_vec3){x, y, hw_rng_uniform(r, -reach, reach)};
}

// A star of 7 corners: every loop of it is simple.
static void star(hw_rng *r, double size, hw_vec2 out[7])
{
    for (int i = 0; i < 7; i++) {
        double angle = 2 * HW_PI * i / 7, radius = size * hw_rng_uniform(r, 0.6, 1);
        out[i] = (hw_vec2){radius * cos(angle), radius * sin(angle)};
    }
}

static const hw_field *random_loft(hw_arena *a, hw_rng *r, const hw_frame *in, double size)
{
    hw_vec2 loop[4][7];
    hw_loft_section section[4];
    for (int s = 0; s < 4; s++) {
        star(r, size, loop[s]);
        section[s] = (hw_loft_section){size * (s - 1.5), loop[s]};
    }
    return hw_field_loft(a, in, section, 4, 7);
}

enum { SHAPES = 9 };

static const hw_field *random_shape(hw_arena *a, hw_rng *r, int kind, double size)
{
    hw_frame in = random_frame(r, size);
    hw_vec3 low = hw_vec3_times((hw_vec3){1, 1.3, 0.8}, -size * hw_rng_uniform(r, 0.3, 1));
    hw_vec3 path[4];
    for (int i = 0; i < 4; i++) path[i] = random_spot(r, 1.5 * size);
    hw_vec2 loop[7];
    star(r, size, loop);
    const hw_polygon outline = {loop, 7};
    switch (kind) {
    case 0:
        return hw_field_box(a, &in, low, hw_vec3_times(low, -1));
    case 1:
        return hw_field_round_box(a, &in, low, hw_vec3_times(low, -1), 0.2 * size);
    case 2:
        return hw_field_cylinder(a, path[0], path[1], 0.3 * size);
    case 3:
        return hw_field_cone(a, path[0], path[1], 0.1 * size, 0.7 * size);
    case 4:
        return hw_field_tube(a, path, 4, 0.3 * size);
    case 5:
        return hw_field_drop(a, path, 3, 0.3 * size, in.z);
    case 6:
        return hw_field_prism(a, &in, &outline, -0.4 * size, 0.5 * size);
    case 7:
        return random_loft(a, r, &in, size);
    default:
        return hw_field_half(a, in.at, in.x);
    }
}

// A few bodies blended or joined, less a few tools.
static const hw_field *random_tree(hw_arena *a, hw_rng *r, double size)
{
    const hw_field *body[3], *tool[4];
    for (int i = 0; i < 3; i++) body[i] = random_shape(a, r, (int)(hw_rng_next(r) % 8), size);
    for (int i = 0; i < 4; i++)
        tool[i] = random_shape(a, r, (int)(hw_rng_next(r) % SHAPES), 0.5 * size);
    const hw_field *all[] = {hw_field_blend(a, body[0], body[1], 0.3 * size),
                             hw_field_offset(a, body[2], 0.05 * size)};
    body[2] = hw_field_column(a, body[2], (hw_vec3){0, 0, 0}, (hw_vec3){0, 1, 0});
    const hw_field *slab[] = {body[2], hw_field_box(a, &plain, (hw_vec3){-size, -size / 3, -size},
                                                    (hw_vec3){size, size / 3, size})};
    all[1] = hw_field_meet(a, slab, 2);
    hw_frame to = random_frame(r, 0.3 * size);
    return hw_field_moved(a, hw_field_cut(a, hw_field_union(a, all, 2), hw_field_union(a, tool, 4)),
                          &to);
}

// ---- values -----------------------------------------------------------------------------------

static void values_in_closed_form(void)
{
    hw_arena *a = hw_arena_new(0);
    const hw_vec3 o = {0, 0, 0}, x1 = {10, 0, 0};
    const double eps = 1e-13;
    NEAR(hw_field_at(hw_field_tube(a, &o, 1, 2), (hw_vec3){3, 4, 0}), 3, eps);
    NEAR(hw_field_at(hw_field_half(a, x1, (hw_vec3){0, 0, 2}), (hw_vec3){7, 7, 7}), 7, eps);
    const hw_field *box = hw_field_box(a, &plain, o, (hw_vec3){2, 4, 6});
    NEAR(hw_field_at(box, (hw_vec3){1, 1, 3}), -1, eps);
    NEAR(hw_field_at(box, (hw_vec3){5, 1, 3}), 3, eps);
    const hw_field *round = hw_field_round_box(a, &plain, o, (hw_vec3){2, 4, 6}, 0.5);
    NEAR(hw_field_at(round, (hw_vec3){0.5 - 3, 0.5 - 4, 3}), 4.5, eps);
    const hw_field *cone = hw_field_cone(a, o, x1, 0, 10); // 45 degrees
    NEAR(hw_field_at(cone, (hw_vec3){5, 7, 0}), sqrt(2), eps);
    NEAR(hw_field_at(cone, (hw_vec3){12, 0, 0}), 2, eps);
    const hw_field *drop = hw_field_drop(a, (hw_vec3[]){o, x1}, 2, 1, (hw_vec3){0, 0, 3});
    NEAR(hw_field_at(drop, (hw_vec3){5, 0, sqrt(2)}), 0, eps); // the ridge
    NEAR(hw_field_at(drop, (hw_vec3){5, 0, -1}), 0, eps);
    NEAR(hw_field_at(drop, (hw_vec3){5, 2, -0.1}), hypot(2, 0.1) - 1, eps);
    const hw_polygon angle = {(hw_vec2[]){{0, 0}, {4, 0}, {4, 4}, {2, 4}, {2, 2}, {0, 2}}, 6};
    const hw_field *prism = hw_field_prism(a, &plain, &angle, -1, 3);
    NEAR(hw_field_at(prism, (hw_vec3){1, 1, 3}), 1, eps);
    NEAR(hw_field_at(prism, (hw_vec3){3, 1, 3}), -1, eps);
    NEAR(hw_field_at(prism, (hw_vec3){3, 5, 3}), 2, eps);
    const hw_field *two[] = {box, hw_field_half(a, (hw_vec3){1, 0, 0}, (hw_vec3){1, 0, 0})};
    NEAR(hw_field_at(hw_field_meet(a, two, 2), (hw_vec3){1.5, 1, 3}), 0.5, eps);
    NEAR(hw_field_at(hw_field_cut(a, box, two[1]), (hw_vec3){1.5, 2, 3}), -0.5, eps);
    NEAR(hw_field_at(hw_field_offset(a, box, 0.25), (hw_vec3){5, 1, 3}), 2.75, eps);
    const hw_field *column = hw_field_column(a, box, (hw_vec3){0, 0, 5}, (hw_vec3){0, 0, -3});
    NEAR(hw_field_at(column, (hw_vec3){1, 1, 30}), -1, eps);
    // two half-spaces square to each other, 1 in front of both: 1 - 3^2 / 12
    const hw_field *floor = hw_field_half(a, o, (hw_vec3){0, 0, 1});
    const hw_field *wall = hw_field_half(a, o, (hw_vec3){1, 0, 0});
    NEAR(hw_field_at(hw_field_blend(a, floor, wall, 3), (hw_vec3){1, 0, 1}), 0.25, eps);
    hw_arena_free(a);
}

// Where one moves by d, no field changes by more than d; and all that is inside is in the box.
static void bound_holds(void)
{
    hw_rng r = hw_rng_new(11, 0);
    double steepest[SHAPES + 1] = {0};
    for (int i = 0; i < 300; i++) {
        hw_arena *a = hw_arena_new(0);
        int kind = i % (SHAPES + 1);
        const hw_field *f = kind < SHAPES ? random_shape(a, &r, kind, 1) : random_tree(a, &r, 1);
        hw_vec3 low, high;
        CHECK(hw_field_reach(f, &low, &high));
        for (int k = 0; k < 400; k++) {
            hw_vec3 p = random_spot(&r, 3);
            hw_vec3 q = hw_vec3_add(p, random_spot(&r, pow(10, hw_rng_uniform(&r, -5, 0))));
            double v = hw_field_at(f, p), step = hw_vec3_norm(hw_vec3_sub(q, p));
            double slope = fabs(hw_field_at(f, q) - v) / step;
            steepest[kind] = fmax(steepest[kind], slope);
            bool in = p.x >= low.x && p.x <= high.x && p.y >= low.y && p.y <= high.y &&
                      p.z >= low.z && p.z <= high.z;
            CHECK(v >= 0 || in);
        }
        hw_arena_free(a);
    }
    for (int k = 0; k <= SHAPES; k++) {
        CHECK(steepest[k] <= 1 + 1e-9); // rounding over steps of 1e-5
        CHECK(steepest[k] > 0.9);       // and the bound is not idle
    }
}

// A ball somewhere in a random tree of shapes.
typedef struct ball {
    hw_arena *a;
    hw_rng *r;
    const hw_field *f;
    hw_vec3 centre;
    double radius;
} ball;

static void in_balls(uint64_t seed, void (*look)(const ball *, size_t count[3]), size_t count[3])
{
    hw_rng r = hw_rng_new(seed, 0);
    for (int i = 0; i < 60; i++) {
        hw_arena *a = hw_arena_new(0);
        const hw_field *f = random_tree(a, &r, 1);
        for (int k = 0; k < 40; k++) {
            hw_vec3 c = random_spot(&r, 1.5);
            const ball b = {a, &r, f, c, pow(10, hw_rng_uniform(&r, -2, 0))};
            look(&b, count);
        }
        hw_arena_free(a);
    }
}

static hw_vec3 spot_in(const ball *b, double off)
{
    return hw_vec3_along(b->centre, off, hw_vec3_unit(random_spot(b->r, 1)));
}

static void pruned_in(const ball *b, size_t count[3])
{
    hw_field_near near = hw_field_prune(b->a, b->f, b->centre, b->radius, 0);
    count[0] += near.side == HW_SIDE_CUT;
    count[1] += near.side == HW_SIDE_CUT && near.f != b->f;
    for (int n = 0; n < 20; n++) {
        hw_vec3 p = spot_in(b, b->radius);
        bool in = hw_field_at(b->f, p) < 0;
        if (near.side == HW_SIDE_CUT)
            CHECK((hw_field_at(near.f, p) < 0) == in);
        else
            CHECK((near.side == HW_SIDE_IN) == in);
    }
}

// What is left in a ball has the same sides as the whole.
static void pruned_is_the_same(void)
{
    size_t count[3] = {0};
    in_balls(12, pruned_in, count);
    CHECK(count[0] > 100 && count[1] > 50); // cut, fewer
}

static void around_in(const ball *b, size_t count[3])
{
    const hw_field *g = hw_field_around(b->a, b->f, b->centre, b->radius);
    count[0] += !g;
    count[1] += g && g != b->f;
    for (int n = 0; n < 20; n++) {
        double off = b->radius * hw_rng_uniform(b->r, 0, 1), way = b->radius - off;
        hw_vec3 p = spot_in(b, off);
        double v = hw_field_at(b->f, p), w = g ? hw_field_at(g, p) : v;
        if (!g) CHECK(v >= way * (1 - 1e-9));
        if (fabs(v) < way * (1 - 1e-9))
            CHECK(v == w);
        else
            CHECK(fabs(w) >= way * (1 - 1e-9) && (w < 0) == (v < 0));
        count[2] += g && g != b->f && fabs(v) < way;
    }
}

// Values near the surface are those of the whole.
static void around_is_the_same(void)
{
    size_t count[3] = {0};
    in_balls(13, around_in, count);
    CHECK(count[0] > 100 && count[1] > 50 && count[2] > 1000); // none, cheaper, near
}

// A prism of many sides, run either way round, told by those near a ball, and near a smaller one in
// that: the same values, sign and creases.
static void around_a_prism(void)
{
    enum { SIDES = 60 };
    hw_arena *a = hw_arena_new(0);
    hw_rng r = hw_rng_new(31, 0);
    size_t fewer = 0, near = 0;
    for (int round = 0; round < 40; round++) {
        hw_vec2 at[SIDES];
        for (int i = 0; i < SIDES; i++) {
            const double turn = (round % 2 ? 2 : -2) * HW_PI * i / SIDES;
            const double far = hw_rng_uniform(&r, 6, 10);
            at[i] = (hw_vec2){far * cos(turn), far * sin(turn)};
        }
        const hw_polygon outline = {at, SIDES};
        const hw_field *f = hw_field_prism(a, &plain, &outline, -3, 3);
        for (int k = 0; k < 200; k++) {
            const hw_vec3 c = {hw_rng_uniform(&r, -11, 11), hw_rng_uniform(&r, -4, 4),
                               hw_rng_uniform(&r, -11, 11)};
            const double wide = hw_rng_uniform(&r, 0.2, 3), small = 0.4 * wide;
            const hw_vec3 in = {c.x + 0.3 * wide, c.y, c.z + 0.3 * wide};
            const hw_field_near g = hw_field_prune(a, f, c, wide, 0);
            if (g.side != HW_SIDE_CUT) continue;
            const hw_field_near h = hw_field_prune(a, g.f, in, small, 0);
            fewer += g.f->some > 0 && g.f->some < SIDES / 2;
            CHECK(hw_field_creased(g.f, c, 2 * wide, 0) == hw_field_creased(f, c, 2 * wide, 0));
            for (int n = 0; n < 20; n++) {
                const double by = small / sqrt(3);
                const hw_vec3 p = {in.x + hw_rng_uniform(&r, -by, by),
                                   in.y + hw_rng_uniform(&r, -by, by),
                                   in.z + hw_rng_uniform(&r, -by, by)};
                const double v = hw_field_at(f, p);
                CHECK(hw_field_at(g.f, p) == v);
                if (h.side != HW_SIDE_CUT)
                    CHECK((h.side == HW_SIDE_IN) == (v < 0));
                else
                    CHECK(hw_field_at(h.f, p) == v);
                near++;
            }
        }
    }
    CHECK(fewer > 500 && near > 20000);
    hw_arena_free(a);
}

// ---- meshes -----------------------------------------------------------------------------------

typedef struct meshed {
    hw_code code;
    hw_mesh mesh;
    hw_field_made made;
    hw_mesh_report report;
    hw_mass mass;
} meshed;

static meshed mesh_of(hw_arena *a, const hw_field *f, double cell, double deviation)
{
    hw_field_mesh_def def = hw_field_mesh_def_default();
    def.cell = cell;
    def.deviation = deviation;
    hw_arena *work = hw_arena_new(1 << 20);
    meshed m = {0};
    m.code = hw_field_mesh(a, work, f, &def, NULL, &m.mesh, &m.made);
    CHECK(hw_arena_mark(work) == 0);
    hw_float_mesh file;
    if (m.code == HW_OK && m.mesh.tris) {
        CHECK(hw_mesh_to_float(a, &m.mesh, def.unit, &file) == HW_OK);
        for (size_t i = 0; i < m.mesh.verts; i++) // nothing is lost in the file
            CHECK((double)file.at[i][0] == m.mesh.vert[i].x / def.unit ||
                  fabs((double)file.at[i][0] * def.unit - m.mesh.vert[i].x) < 1e-6 * m.made.grid);
        CHECK(hw_mesh_check(work, &file, NULL, &m.report) == HW_OK);
        m.mass = hw_mesh_mass(&m.mesh, 1);
    }
    hw_arena_free(work);
    return m;
}

static void near3(hw_vec3 got, hw_vec3 want, double tolerance)
{
    NEAR(got.x, want.x, tolerance);
    NEAR(got.y, want.y, tolerance);
    NEAR(got.z, want.z, tolerance);
}

// Volume to 0.1 % and centroid to 0.01 mm at 0.25 mm cells and 5 um, which is what round walls of
// 5 mm need: chords lie inside by 2/3 of 5 um on average, edges are bevelled by under 0.06 mm^2.
static hw_vec3 standard_volume(const hw_field *f, hw_arena *a, double volume)
{
    meshed m = mesh_of(a, f, 2.5e-4, 5e-6);
    CHECK(m.code == HW_OK && hw_mesh_sound(&m.report));
    CLOSE(m.mass.volume, volume, 1e-3);
    return m.mass.centroid;
}

static void standard(const hw_field *f, hw_arena *a, double volume, hw_vec3 centroid)
{
    near3(standard_volume(f, a, volume), centroid, 1e-5);
}

static void standard_solids(void)
{
    hw_arena *a = hw_arena_new(0);
    const hw_vec3 o = {0, 0, 0}, t = {4e-3, -8e-3, 8e-3}; // 12 mm long
    const double mm3 = 1e-9;
    standard(hw_field_box(a, &plain, o, (hw_vec3){2e-2, 1.5e-2, 1e-2}), a, 3000 * mm3,
             (hw_vec3){1e-2, 7.5e-3, 5e-3});
    const hw_field *less = hw_field_box(a, &plain, o, (hw_vec3){1.8e-2, 1.3e-2, 8e-3});
    standard(hw_field_offset(a, less, 1e-3), a, 3000 * mm3, (hw_vec3){9e-3, 6.5e-3, 4e-3});
    standard(hw_field_tube(a, &t, 1, 8e-3), a, 4.0 / 3 * HW_PI * 512 * mm3, t);
    standard(hw_field_cylinder(a, o, t, 6e-3), a, HW_PI * 36 * 12 * mm3, hw_vec3_times(t, 0.5));
    double cone = HW_PI * 12 / 3 * (64 + 8 * 4 + 16) * mm3; // centroid of a frustum: textbook
    double share = (64 + 2 * 8 * 4 + 3 * 16) / 4.0 / (64 + 8 * 4 + 16);
    standard(hw_field_cone(a, o, t, 8e-3, 4e-3), a, cone, hw_vec3_times(t, share));
    const hw_polygon tri = {(hw_vec2[]){{0, 0}, {1.5e-2, 0}, {0, 1.2e-2}}, 3};
    standard(hw_field_prism(a, &plain, &tri, 1e-3, 9e-3), a, 90 * 8 * mm3,
             (hw_vec3){5e-3, 5e-3, 4e-3});
    // a frustum of a pyramid as a loft: h / 3 (A + sqrt(A B) + B)
    const hw_vec2 wide[4] = {{-8e-3, -8e-3}, {8e-3, -8e-3}, {8e-3, 8e-3}, {-8e-3, 8e-3}};
    hw_vec2 small[4];
    for (int i = 0; i < 4; i++) small[i] = hw_scale(wide[i], 0.5);
    const hw_loft_section section[2] = {{0, wide}, {1e-2, small}};
    double from_wide = 10 / 4.0 * (256 + 2 * 128 + 3 * 64) / (256 + 128 + 64) * 1e-3;
    standard(hw_field_loft(a, &plain, section, 2, 4), a, 10 / 3.0 * (256 + 128 + 64) * mm3,
             (hw_vec3){from_wide, 0, 0});
    // a capsule with a roof: cylinder and ball, and over each 45 degrees on both sides
    const hw_field *drop =
        hw_field_drop(a, (hw_vec3[]){{-1e-2, 0, 0}, {1e-2, 0, 0}}, 2, 5e-3, (hw_vec3){0, 0, 1});
    double across = 0.75 * HW_PI * 25 + 25; // disc less a quarter, and the square of the roof
    // both ends are one ball less its sector of 45 degrees, and a pair of cones in its place
    double ends = 4.0 / 3 - 2.0 / 3 * (1 - sqrt(0.5)) + sqrt(2) / 6;
    (void)standard_volume(drop, a, (across * 20 + HW_PI * 125 * ends) * mm3);
    hw_arena_free(a);
}

// Bores of a plate at the default: walls of the mesh are where the field says.
static void bores_are_true(void)
{
    hw_arena *a = hw_arena_new(0);
    const hw_field *plate =
        hw_field_box(a, &plain, (hw_vec3){0, 0, 0}, (hw_vec3){2e-2, 2e-2, 6e-3});
    const hw_field *bore[3];
    for (int i = 0; i < 3; i++) {
        double x = 4e-3 + 6e-3 * i;
        bore[i] = hw_field_cylinder(a, (hw_vec3){x, 1e-2, -1e-3},
                                    (hw_vec3){x, 1e-2 + i * 1e-3, 1e-2}, (0.8 + 0.5 * i) * 1e-3);
    }
    const hw_field *f = hw_field_cut(a, plate, hw_field_union(a, bore, 3));
    meshed m = mesh_of(a, f, 5e-4, 2e-5);
    CHECK(hw_mesh_sound(&m.report));
    double corner = 0, middle = 0;
    for (size_t i = 0; i < m.mesh.verts; i++)
        corner = fmax(corner, fabs(hw_field_at(f, m.mesh.vert[i])));
    for (size_t t = 0; t < m.mesh.tris; t++) {
        hw_vec3 c = {0, 0, 0};
        for (int k = 0; k < 3; k++)
            c = hw_vec3_along(c, 1.0 / 3, m.mesh.vert[m.mesh.tri[3 * t + (size_t)k]]);
        double side = fmin(fmin(c.x, 2e-2 - c.x), fmin(c.y, 2e-2 - c.y));
        if (c.z < 1e-3 || c.z > 5e-3 || side < 1e-3) continue; // edges are bevelled
        middle = fmax(middle, fabs(hw_field_at(f, c)));
    }
    NEAR(corner, 0, 2e-7); // on rims a fiftieth of what they jut out of their bevels
    NEAR(middle, 2.5e-5, 2.5e-5);
    hw_arena_free(a);
}

// Trees of everything, coarse, so that lattice and shapes fit badly: always a sound mesh.
static void random_fields_are_sound(void)
{
    hw_rng r = hw_rng_new(13, 0);
    size_t tris = 0;
    for (int i = 0; i < 12; i++) {
        hw_arena *a = hw_arena_new(0);
        double size = 5e-3 * (1 + i % 3);
        meshed m = mesh_of(a, random_tree(a, &r, size), size / 8, size / 60);
        CHECK(m.code == HW_OK);
        CHECK(m.mesh.tris == 0 || hw_mesh_sound(&m.report));
        tris += m.mesh.tris;
        hw_arena_free(a);
    }
    CHECK(tris > 3000);
}

// Faces on the lattice, through its corners, and within a rounding error of them.
static void surfaces_through_corners(void)
{
    hw_arena *a = hw_arena_new(0);
    const double cell = 1e-3, lead[3] = {1.3717, 1.4142, 1.4321};
    const hw_vec3 low = {lead[0] * cell, lead[1] * cell, lead[2] * cell}; // lattice at whole mm
    hw_rng r = hw_rng_new(14, 0);
    for (int i = 0; i < 30; i++) {
        const hw_field *part[3];
        part[0] = hw_field_box(a, &plain, low, hw_vec3_along(low, 1.2e-2, (hw_vec3){1, 1, 1}));
        double off = i % 3 == 0 ? 0 : i % 3 == 1 ? 1e-12 : -1e-9;
        hw_vec3 at = {5e-3 + off, 6e-3 - off, 7e-3};
        hw_vec3 n = {(double)(hw_rng_next(&r) % 3) - 1, (double)(hw_rng_next(&r) % 3) - 1, 1};
        part[1] = hw_field_half(a, at, n);
        part[2] = hw_field_half(a, (hw_vec3){9e-3, 9e-3, 9e-3}, (hw_vec3){1, i % 2, 0});
        meshed m = mesh_of(a, hw_field_meet(a, part, 3), cell, 2e-5);
        CHECK(m.code == HW_OK && hw_mesh_sound(&m.report));
    }
    hw_arena_free(a);
}

static bool same_mesh(const hw_mesh *a, const hw_mesh *b)
{
    return a->verts == b->verts && a->tris == b->tris &&
           memcmp(a->vert, b->vert, a->verts * sizeof *a->vert) == 0 &&
           memcmp(a->tri, b->tri, 3 * a->tris * sizeof *a->tri) == 0;
}

static void same_for_any_threads(void)
{
    hw_arena *a = hw_arena_new(0);
    hw_rng r = hw_rng_new(15, 0);
    const hw_field *f = random_tree(a, &r, 1.5e-2);
    meshed m[3];
    for (int threads = 1; threads <= 3; threads++) {
#ifdef _OPENMP
        omp_set_num_threads(threads);
#endif
        m[threads - 1] = mesh_of(a, f, 2e-3, 2e-4);
    }
    CHECK(m[0].mesh.tris > 1000);
    CHECK(same_mesh(&m[0].mesh, &m[1].mesh) && same_mesh(&m[0].mesh, &m[2].mesh));
    hw_arena_free(a);
}

// Twice as large in all: the same triangles. Ten times: the same solid.
static void scales(void)
{
    hw_arena *a = hw_arena_new(0);
    double volume = 0;
    size_t tris = 0;
    for (int i = 0; i < 3; i++) {
        double k = i == 0 ? 1 : i == 1 ? 2 : 10;
        hw_rng r = hw_rng_new(16, 0);
        meshed m = mesh_of(a, random_tree(a, &r, k * 1e-2), k * 5e-4, k * 2e-5);
        CHECK(hw_mesh_sound(&m.report));
        if (i == 0) volume = m.mass.volume, tris = m.mesh.tris;
        CLOSE(m.mass.volume, volume * k * k * k, i == 1 ? 1e-12 : 1e-4);
        CHECK(i != 1 || m.mesh.tris == tris);
    }
    hw_arena_free(a);
}

// ---- what is refused --------------------------------------------------------------------------

static bool stop_late(void *self, double fraction, const char *stage)
{
    int *left = self;
    (void)stage;
    CHECK(fraction >= 0 && fraction <= 1);
    return (*left)-- > 0;
}

static void refused(void)
{
    hw_arena *a = hw_arena_new(0);
    const hw_vec3 o = {0, 0, 0}, one = {1e-2, 1e-2, 1e-2};
    CHECK(!hw_field_half(a, o, o) && !hw_field_tube(a, &o, 1, 0) && !hw_field_tube(a, &o, 0, 1));
    CHECK(!hw_field_box(a, &plain, one, o) && !hw_field_cylinder(a, o, o, 1));
    CHECK(!hw_field_round_box(a, &plain, o, one, 6e-3) && !hw_field_cone(a, o, one, 0, 0));
    CHECK(!hw_field_offset(a, NULL, 1) && isnan(hw_field_at(NULL, o)));
    const hw_field *box = hw_field_box(a, &plain, o, one);
    const hw_field *pair[] = {box, NULL};
    CHECK(!hw_field_union(a, pair, 2) && !hw_field_cut(a, box, NULL) &&
          !hw_field_union(a, pair, 0));
    CHECK(!hw_field_blend(a, box, box, 0));
    meshed none = mesh_of(a, NULL, 5e-4, 1e-5);
    CHECK(none.code == HW_BAD_INPUT && none.made.empty_field);
    meshed endless = mesh_of(a, hw_field_half(a, o, one), 5e-4, 1e-5);
    CHECK(endless.code == HW_BAD_INPUT && endless.made.empty_field);
    CHECK(mesh_of(a, box, 0, 1e-5).code == HW_BAD_INPUT);
    CHECK(mesh_of(a, box, 1e-9, 1e-5).code == HW_BAD_INPUT); // below what floats can tell apart
    const hw_field *apart[] = {box, hw_field_tube(a, (hw_vec3[]){{1, 1, 1}}, 1, 1e-2)};
    meshed nothing = mesh_of(a, hw_field_meet(a, apart, 2), 5e-4, 1e-5);
    CHECK(nothing.code == HW_OK && nothing.mesh.tris == 0);
    hw_arena_free(a);
}

static void stops_and_fails(void)
{
    hw_arena *a = hw_arena_new(0), *work = hw_arena_new(0);
    hw_rng r = hw_rng_new(17, 0);
    const hw_field *f = random_tree(a, &r, 1e-2);
    hw_field_mesh_def def = hw_field_mesh_def_default();
    hw_mesh mesh;
    hw_field_made made;
    int cancelled = 0;
    for (int n = 0; n < 8; n++) {
        int left = n;
        hw_job job = {stop_late, &left};
        hw_code code = hw_field_mesh(a, work, f, &def, &job, &mesh, &made);
        cancelled += code == HW_CANCELLED;
        CHECK(code == HW_OK || (code == HW_CANCELLED && mesh.tris == 0));
    }
    CHECK(cancelled >= 2);
    def.cell = 2e-3;
    def.tris_most = 100;
    CHECK(hw_field_mesh(a, work, f, &def, NULL, &mesh, &made) == HW_LIMIT && mesh.tris == 0);
    def.tris_most = 1000000;
    hw_code code = HW_NO_MEMORY;
    size_t n = 0;
    for (; code != HW_OK && n < 400; n++) {
        size_t mark = hw_arena_mark(work);
        hw_arena_fail_after(work, n);
        code = hw_field_mesh(a, work, f, &def, NULL, &mesh, &made);
        CHECK(code == HW_OK || (code == HW_NO_MEMORY && mesh.tris == 0));
        hw_arena_fail_after(work, SIZE_MAX);
        hw_arena_rewind(work, mark);
    }
    CHECK(code == HW_OK && n > 10);
    hw_arena_free(work);
    hw_arena_free(a);
}

int main(int argc, char **argv)
{
    const bool threads = argc > 1 && strcmp(argv[1], "threads") == 0;
    TEST_BEGIN(argc, argv);
    RUN(bores_are_true);
    RUN(random_fields_are_sound);
    RUN(surfaces_through_corners);
    RUN(same_for_any_threads);
    RUN(refused);
    RUN(stops_and_fails);
    if (threads) return TEST_END();
    RUN(values_in_closed_form);
    RUN(bound_holds);
    RUN(pruned_is_the_same);
    RUN(around_is_the_same);
    RUN(around_a_prism);
    RUN(standard_solids);
    RUN(scales);
    return TEST_END();
}
