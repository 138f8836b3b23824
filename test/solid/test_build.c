#include "check.h"
#include "make.h"

typedef struct built {
    hw_code code;
    hw_mesh mesh;
    hw_mesh_made made;
    hw_mesh_report report;
} built;

static built build_of(model *m)
{
    built b = {0};
    b.code = build(m, &b.mesh, &b.made, &b.report);
    CHECK(hw_arena_mark(m->work) == 0);
    return b;
}

static const double low0[3] = {0, 0, 0}, high1[3] = {1, 1, 1};

// ---- degenerate cases by name -----------------------------------------------------------------

static void no_blocks(void)
{
    model m = model_new();
    built b = build_of(&m);
    CHECK(b.code == HW_OK && b.mesh.tris == 0 && b.made.bad_block == SIZE_MAX);
    model_free(&m);
}

static void all_cut_away(void)
{
    model m = model_new();
    box(&m, HW_BLOCK_ADD, low0, high1);
    box(&m, HW_BLOCK_CUT, (double[]){-1, -1, -1}, (double[]){2, 2, 2});
    built b = build_of(&m);
    CHECK(b.code == HW_OK && b.mesh.tris == 0 && b.mesh.verts == 0);
    model_free(&m);
}

static void cut_from_nothing(void)
{
    model m = model_new();
    box(&m, HW_BLOCK_CUT, low0, high1);
    CHECK(build_of(&m).mesh.tris == 0);
    model_free(&m);
}

static void bad_block(model *m, size_t which)
{
    built b = build_of(m);
    CHECK(b.code == HW_BAD_INPUT && b.made.bad_block == which && b.mesh.tris == 0);
    model_free(m);
}

static void refused_blocks(void)
{
    model m = model_new();
    box(&m, HW_BLOCK_ADD, low0, high1);
    plate(&m, HW_BLOCK_ADD, 2, 2, rectangle(&m, 0, 0, 1, 1)); // no thickness
    bad_block(&m, 1);
    m = model_new();
    plate(&m, HW_BLOCK_ADD, 2, 1, rectangle(&m, 0, 0, 1, 1)); // upside down
    bad_block(&m, 0);
    m = model_new();
    plate(&m, HW_BLOCK_ADD, 0, NAN, rectangle(&m, 0, 0, 1, 1));
    bad_block(&m, 0);
    m = model_new();
    plate(&m, HW_BLOCK_ADD, 0, 1, rectangle(&m, 0, INFINITY, 1, 1));
    bad_block(&m, 0);
    m = model_new();
    taper(&m, HW_BLOCK_ADD, 0, 1, circle(&m, 0, 0, 1, 12), circle(&m, 0, 0, 1, 13));
    bad_block(&m, 0);
    m = model_new();
    plate(&m, HW_BLOCK_ADD, 0, 1, polygon(&m, 2, (double[]){0, 0, 1, 1})); // no area
    bad_block(&m, 0);
    m = model_new();
    box(&m, HW_BLOCK_ADD, low0, high1);
    m.block[0].op = (hw_block_op)7;
    bad_block(&m, 0);
}

static void refused_defs(void)
{
    model m = model_new();
    box(&m, HW_BLOCK_ADD, low0, high1);
    hw_solid solid = {m.block, m.n};
    hw_mesh mesh;
    hw_mesh_made made;
    const hw_mesh_def bad[5] = {
        {0, 20, true}, {-1, 20, true}, {NAN, 20, true}, {1e-3, 9, true}, {1e-3, 23, true}};
    for (int i = 0; i < 5; i++)
        CHECK(hw_solid_mesh(m.keep, m.work, &solid, &bad[i], NULL, &mesh, &made) == HW_BAD_INPUT);
    m.block[0].y[1] = 1e-3 * 0x1p30; // fine; but a small part far away is not
    m.block[0].y[0] = m.block[0].y[1] - 1e-6;
    for (int i = 0; i < 4; i++) m.block[0].at[0].at[i] = hw_scale(m.block[0].at[0].at[i], 1e-4);
    CHECK(build_of(&m).code == HW_BAD_INPUT);
    model_free(&m);
}

static void thinner_than_the_grid(void)
{
    model m = model_new();
    box(&m, HW_BLOCK_ADD, low0, high1);
    plate(&m, HW_BLOCK_ADD, 0.5, 0.5 + 1e-9, rectangle(&m, 0, 0, 3, 1));         // vanishes in y
    plate(&m, HW_BLOCK_ADD, 0, 1, rectangle(&m, 2, 0, 2 + 1e-9, 1));             // vanishes in x
    plate(&m, HW_BLOCK_ADD, 0, 1, polygon(&m, 3, (double[]){0, 0, 1, 1, 2, 2})); // a line
    built b = build_of(&m);
    CHECK(b.code == HW_OK && b.mesh.tris == 12);
    model_free(&m);
}

static void doubled_points(void)
{
    model m = model_new();
    plate(&m, HW_BLOCK_ADD, 0, 1,
          polygon(&m, 8, (double[]){0, 0, 0, 0, 1, 0, 1, 0, 1, 1, 0.5, 1, 0.5, 1, 0, 1}));
    built b = build_of(&m);
    CHECK(b.code == HW_OK && b.mesh.tris == 12 && hw_mesh_sound(&b.report));
    model_free(&m);
}

static void spike_and_back(void) // an outline that runs out and back along the same side
{
    model m = model_new();
    plate(&m, HW_BLOCK_ADD, 0, 1, polygon(&m, 6, (double[]){0, 0, 1, 0, 1, 1, 3, 1, 1, 1, 0, 1}));
    built b = build_of(&m);
    CHECK(b.code == HW_OK && b.mesh.tris == 12 && hw_mesh_sound(&b.report));
    model_free(&m);
}

static void clockwise_is_the_same(void)
{
    model m = model_new();
    plate(&m, HW_BLOCK_ADD, 0, 1, polygon(&m, 4, (double[]){0, 0, 0, 1, 1, 1, 1, 0}));
    built b = build_of(&m);
    CHECK(hw_mesh_sound(&b.report));
    NEAR(b.report.volume, 1, 1e-6); // mm^3, grid
    model_free(&m);
}

static void bow_tie(void) // crosses itself: the half that runs the outline's way round is inside
{
    model m = model_new();
    plate(&m, HW_BLOCK_ADD, 0, 1, polygon(&m, 4, (double[]){0, 0, 4, 4, 4, 0, 0, 1}));
    built b = build_of(&m);
    CHECK(b.code == HW_OK && hw_mesh_sound(&b.report));
    NEAR(b.report.volume, 6.4, 1e-4); // sides of 4 mm moved by a step or so
    model_free(&m);
}

// ---- touching -----------------------------------------------------------------------------------

static void face_on_face(void)
{
    model m = model_new();
    box(&m, HW_BLOCK_ADD, low0, high1);
    box(&m, HW_BLOCK_ADD, (double[]){1, 0, 0}, (double[]){2, 1, 1});
    box(&m, HW_BLOCK_ADD, (double[]){0, 1, 0}, (double[]){2, 2, 1});
    built b = build_of(&m);
    CHECK(b.code == HW_OK && b.mesh.tris == 12 && b.mesh.verts == 8);
    CHECK(hw_mesh_sound(&b.report));
    NEAR(b.report.volume, 4, 4e-6);
    model_free(&m);
}

static void pinched(const double low[3], const double high[3], double x, double y, double z)
{
    model m = model_new();
    box(&m, HW_BLOCK_ADD, low0, high1);
    box(&m, HW_BLOCK_ADD, low, high);
    built b = build_of(&m);
    CHECK(b.code == HW_BAD_INPUT && b.made.pinched && b.made.bad_block == SIZE_MAX);
    CHECK(b.mesh.tris == 0);
    NEAR(b.made.bad_at.x, x * 1e-3, 0.51e-3); // some place on the edge of 1 mm
    NEAR(b.made.bad_at.y, y * 1e-3, 0.51e-3);
    NEAR(b.made.bad_at.z, z * 1e-3, 0.51e-3);
    model_free(&m);
}

static void touching(void)
{
    pinched((double[]){1, 0, 1}, (double[]){2, 1, 2}, 1, 0.5, 1); // edge across the width
    pinched((double[]){0, 1, 1}, (double[]){1, 2, 2}, 0.5, 1, 1); // edge along x
    pinched((double[]){1, 1, 0}, (double[]){2, 2, 1}, 1, 1, 0.5); // edge along z
    pinched((double[]){1, 1, 1}, (double[]){2, 2, 2}, 1, 1, 1);   // corner
}

static void apart_by_a_step(void)
{
    model m = model_new();
    double step = 0x1p-18; // 2 mm in 2^20 steps is 2^-19
    box(&m, HW_BLOCK_ADD, low0, high1);
    box(&m, HW_BLOCK_ADD, (double[]){1 + step, 0, 0}, (double[]){2, 1, 1});
    built b = build_of(&m);
    CHECK(b.code == HW_OK && b.mesh.tris == 24 && hw_mesh_sound(&b.report));
    model_free(&m);
}

// ---- tapered walls ------------------------------------------------------------------------------

static void cut_taper(void)
{
    model m = model_new();
    plate(&m, HW_BLOCK_ADD, 0, 4, rectangle(&m, 0, -1, 9, 1));
    taper(&m, HW_BLOCK_ADD, 1, 3, circle(&m, 0, 0, 3, 24), circle(&m, 0, 0, 2, 24));
    built b = build_of(&m);
    CHECK(b.code == HW_BAD_INPUT && !b.made.pinched);
    CHECK(b.made.bad_block == 1);
    NEAR(hypot(b.made.bad_at.x, b.made.bad_at.z), 2.5e-3, 0.6e-3); // on a circle
    model_free(&m);
}

static void hidden_taper(void) // wholly inside another block
{
    model m = model_new();
    taper(&m, HW_BLOCK_ADD, 0, 4, circle(&m, 0, 0, 3, 24), circle(&m, 0, 0, 2, 24));
    plate(&m, HW_BLOCK_ADD, 0, 4, rectangle(&m, -5, -5, 5, 5));
    built b = build_of(&m);
    CHECK(b.code == HW_OK && b.mesh.tris == 12);
    model_free(&m);
}

static void taper_within_its_own_base(void) // its base is the outline of the plate that holds it
{
    model m = model_new();
    hw_polygon base = rectangle(&m, 0, 0, 6, 4);
    plate(&m, HW_BLOCK_ADD, 0, 3, base);
    taper(&m, HW_BLOCK_ADD, 0, 3, base, rectangle(&m, 1, 1, 5, 3));
    built b = build_of(&m);
    CHECK(b.code == HW_OK && b.mesh.tris == 12);
    m.block[1].op = HW_BLOCK_CUT; // what is left ends in an edge without thickness
    b = build_of(&m);
    CHECK(b.code == HW_BAD_INPUT && b.made.bad_block == 1);
    model_free(&m);
}

static void roof(void) // down to a line
{
    model m = model_new();
    taper(&m, HW_BLOCK_ADD, 0, 3, rectangle(&m, 0, 0, 6, 2),
          polygon(&m, 4, (double[]){1, 1, 5, 1, 5, 1, 1, 1}));
    built b = build_of(&m);
    CHECK(b.code == HW_OK && hw_mesh_sound(&b.report) && b.mesh.verts == 6);
    // integral of (6 - 2 t)(2 - 2 t) 3 dt, t from 0 to 1
    NEAR(b.report.volume, 3 * (12 - 8 + 4.0 / 3), 1e-4);
    m.block[1] = m.block[0]; // and as a groove in a plate
    m.block[1].op = HW_BLOCK_CUT;
    m.n = 0;
    plate(&m, HW_BLOCK_ADD, 0, 4, rectangle(&m, -1, -1, 7, 3));
    m.n = 2;
    b = build_of(&m);
    CHECK(b.code == HW_OK && hw_mesh_sound(&b.report));
    NEAR(b.report.volume, 128 - 16, 1e-4);
    model_free(&m);
}

static void pyramid(void) // down to one point of the grid
{
    model m = model_new();
    taper(&m, HW_BLOCK_ADD, 0, 3, rectangle(&m, 0, 0, 2, 2),
          polygon(&m, 4, (double[]){1, 1, 1, 1, 1, 1, 1, 1}));
    built b = build_of(&m);
    CHECK(b.code == HW_OK && b.mesh.tris == 6 && b.mesh.verts == 5);
    NEAR(b.report.volume, 4, 4e-6);
    model_free(&m);
}

// ---- what parts need
// ------------------------------------------------------------------------------

// A fork's cone in a tang's socket, normal gap g: every point of the flanks is within 0.02 mm of
// its cone at fine quality, and the gap within 0.02 mm.
static const double GAP = 0.25, BASE = 3, TIP = 1.55, DEPTH = 1.45;

static hw_mesh cone_part(model *m, size_t n, bool male)
{
    double widen = male ? 0 : GAP * sqrt(2); // a normal gap on a 45 degree flank
    plate(m, HW_BLOCK_ADD, -3, male ? 0 : 3, rectangle(m, -8, -6, 8, 6));
    double deep = male ? DEPTH : DEPTH + GAP;
    taper(m, male ? HW_BLOCK_ADD : HW_BLOCK_CUT, male ? 0 : -1, deep,
          circle(m, 0, 0, BASE + widen + (male ? 0 : 1), n),
          circle(m, 0, 0, BASE + widen - deep, n));
    if (!male) plate(m, HW_BLOCK_CUT, -3, -1, circle(m, 0, 0, BASE + widen + 1, n));
    built b = build_of(m);
    CHECK(b.code == HW_OK && hw_mesh_sound(&b.report));
    return b.mesh;
}

// Largest distance of the flank's triangles from the cone radius r0 - y (45 degrees) [mm], found at
// corners, middles of sides and middles.
static double off_cone(const hw_mesh *m, double r0, double least, double most)
{
    double worst = 0;
    size_t seen = 0;
    for (size_t t = 0; t < m->tris; t++) {
        double p[3][3], off[3];
        bool flank = true;
        for (size_t i = 0; i < 3; i++) {
            hw_vec3 v = m->vert[m->tri[3 * t + i]];
            p[i][0] = v.x * 1e3, p[i][1] = v.y * 1e3, p[i][2] = v.z * 1e3;
            off[i] = fabs(hypot(p[i][0], p[i][2]) - (r0 - p[i][1])) / sqrt(2);
            flank = flank && off[i] < 1e-3 && p[i][1] > least - 1e-3 && p[i][1] < most + 1e-3;
        }
        bool end = p[0][1] == p[1][1] && p[1][1] == p[2][1]; // in the tip's or the floor's plane
        if (!flank || end) continue;
        seen++;
        for (int a = 0; a <= 4; a++)
            for (int b = 0; a + b <= 4; b++) {
                double q[3];
                for (int k = 0; k < 3; k++)
                    q[k] = (p[0][k] * a + p[1][k] * b + p[2][k] * (4 - a - b)) / 4;
                worst = fmax(worst, fabs(hypot(q[0], q[2]) - (r0 - q[1])) / sqrt(2));
            }
    }
    CHECK(seen > 100);
    return worst;
}

static void cone_and_socket(void)
{
    size_t n = hw_circle_points(BASE * 1e-3, 5e-6); // chords to 5 um: fine quality
    model male = model_new(), female = model_new();
    hw_mesh a = cone_part(&male, n, true), b = cone_part(&female, n, false);
    double da = off_cone(&a, BASE, 0, DEPTH);
    double db = off_cone(&b, BASE + GAP * sqrt(2), -1, DEPTH + GAP);
    CHECK(da <= 0.02 && db <= 0.02);
    CHECK(da <= 5.1e-3 / sqrt(2) && db <= 7e-3); // as the chords are; the socket's mouth is wider
    CHECK(TIP == BASE - DEPTH);
    model_free(&male);
    model_free(&female);
}

// A fork with cones, a tang with sockets, a slot: nine kinds of blocks at once.
static void phalanx(model *m)
{
    plate(m, HW_BLOCK_ADD, -8, 8, circle(m, 20, 0, 9, 64));
    for (int s = -1; s <= 1; s += 2) {
        double y0 = s > 0 ? 6 : -8, y1 = s > 0 ? 8 : -6;
        plate(m, HW_BLOCK_ADD, y0, y1, rectangle(m, 20, -7, 46, 7));
        plate(m, HW_BLOCK_ADD, s > 0 ? 3.35 : -5.75, s > 0 ? 5.75 : -3.35,
              rectangle(m, -6, -6, 20, 6));
    }
    plate(m, HW_BLOCK_CUT, -6, 6, circle(m, 40, 0, 9, 64));
    for (int s = -1; s <= 1; s += 2) {
        hw_polygon wide = circle(m, 0, 0, 3.1, 48), deep = circle(m, 0, 0, 1.65, 48);
        hw_polygon base = circle(m, 40, 0, 3, 48), tip = circle(m, 40, 0, 1.55, 48);
        if (s > 0) {
            taper(m, HW_BLOCK_CUT, 4.3, 5.75, deep, wide);
            taper(m, HW_BLOCK_ADD, 4.55, 6, tip, base);
        } else {
            taper(m, HW_BLOCK_CUT, -5.75, -4.3, wide, deep);
            taper(m, HW_BLOCK_ADD, -6, -4.55, base, tip);
        }
    }
    plate(m, HW_BLOCK_CUT, -1.45, 1.45, rectangle(m, -10, -3, 60, 3));
}

static void whole_part(void)
{
    model m = model_new();
    phalanx(&m);
    built b = build_of(&m);
    CHECK(b.code == HW_OK && hw_mesh_sound(&b.report));
    CHECK(b.report.merged_verts == 0);
    CHECK(b.mesh.tris < b.made.tris_before * 2 / 3);
    model_free(&m);
}

// Every coordinate is a whole number of steps, and floats hold it exactly.
static void on_the_grid(void)
{
    model m = model_new();
    phalanx(&m);
    built b = build_of(&m);
    hw_float_mesh f;
    CHECK(hw_mesh_to_float(m.keep, &b.mesh, 1e-3, &f) == HW_OK);
    double step = b.made.grid / 1e-3; // a power of two, up to the last digit of 1e-3
    int exponent;
    NEAR(frexp(step, &exponent), 0.5, 1e-15);
    step = ldexp(0.5, exponent);
    size_t off = 0;
    for (size_t v = 0; v < f.verts; v++)
        for (int k = 0; k < 3; k++) off += fmod((double)f.at[v][k], step) != 0;
    CHECK(off == 0);
    model_free(&m);
}

static void flats_joined_or_not(void)
{
    model m = model_new();
    phalanx(&m);
    hw_solid solid = {m.block, m.n};
    hw_mesh_def def = hw_mesh_def_default();
    hw_mesh a, b;
    hw_mesh_made made;
    CHECK(hw_solid_mesh(m.keep, m.work, &solid, &def, NULL, &a, &made) == HW_OK);
    def.join_flats = false;
    CHECK(hw_solid_mesh(m.keep, m.work, &solid, &def, NULL, &b, &made) == HW_OK);
    hw_mass p = hw_mesh_mass(&a, 1), q = hw_mesh_mass(&b, 1);
    CHECK(b.tris > a.tris);
    CLOSE(p.volume, q.volume, 1e-12); // the same set of points: rounding of the sums
    CLOSE(p.area, q.area, 1e-12);
    CLOSE(p.inertia[0][0], q.inertia[0][0], 1e-12);
    hw_float_mesh f;
    hw_mesh_report r;
    CHECK(hw_mesh_to_float(m.keep, &b, 1e-3, &f) == HW_OK);
    CHECK(hw_mesh_check(m.work, &f, NULL, &r) == HW_OK && hw_mesh_sound(&r));
    model_free(&m);
}

static void same_mesh(const hw_mesh *a, const hw_mesh *b, double factor)
{
    CHECK(a->tris == b->tris && a->verts == b->verts);
    if (a->tris != b->tris || a->verts != b->verts) return;
    size_t differ = 0;
    for (size_t v = 0; v < a->verts; v++) differ += a->vert[v].x != b->vert[v].x * factor;
    CHECK(differ == 0);
    CHECK(memcmp(a->tri, b->tri, 3 * a->tris * sizeof *a->tri) == 0);
}

// Ten times the size: ten times the mesh. Powers of two give the same mesh, bit by bit.
static void scales(void)
{
    const double factor[4] = {10, 0.1, 1024, 1.0 / 64};
    model one = model_new();
    phalanx(&one);
    built b = build_of(&one);
    hw_mass p = hw_mesh_mass(&b.mesh, 1);
    for (int i = 0; i < 4; i++) {
        double k = factor[i];
        model m = model_new();
        m.scale = k;
        phalanx(&m);
        hw_solid solid = {m.block, m.n};
        hw_mesh_def def = hw_mesh_def_default();
        hw_mesh mesh;
        hw_mesh_made made;
        CHECK(hw_solid_mesh(m.keep, m.work, &solid, &def, NULL, &mesh, &made) == HW_OK);
        hw_mass q = hw_mesh_mass(&mesh, 1);
        // faces move by half a step at most, up to 2^-20 of 52 mm, on layers of 2.4 mm
        CLOSE(q.volume, p.volume * k * k * k, 2e-5);
        CLOSE(q.inertia[1][1], p.inertia[1][1] * k * k * k * k * k, 2e-5);
        if (i >= 2) same_mesh(&mesh, &b.mesh, k);
        model_free(&m);
    }
    model_free(&one);
}

// ---- failure paths
// --------------------------------------------------------------------------------

static hw_code starved(size_t keep_after, size_t work_after)
{
    model m = model_new();
    phalanx(&m);
    hw_solid solid = {m.block, m.n};
    hw_mesh_def def = hw_mesh_def_default();
    hw_mesh mesh;
    hw_mesh_made made;
    hw_arena_fail_after(m.keep, keep_after);
    hw_arena_fail_after(m.work, work_after);
    hw_code code = hw_solid_mesh(m.keep, m.work, &solid, &def, NULL, &mesh, &made);
    CHECK(code == HW_OK || (mesh.tris == 0 && !mesh.vert && !mesh.tri));
    model_free(&m);
    return code;
}

static void out_of_memory(void)
{
    size_t n = 0;
    hw_code code = HW_NO_MEMORY;
    for (; n < 5000 && code == HW_NO_MEMORY; n++) code = starved(SIZE_MAX, n);
    CHECK(code == HW_OK && n > 100);
    code = HW_NO_MEMORY;
    for (n = 0; n < 10 && code == HW_NO_MEMORY; n++) code = starved(n, SIZE_MAX);
    CHECK(code == HW_OK && n == 3);
}

typedef struct patience {
    int left;
    double last;
} patience;

static bool lose_patience(void *self, double fraction, const char *stage)
{
    patience *p = self;
    CHECK(fraction >= p->last && fraction <= 1 && stage);
    p->last = fraction;
    return p->left-- > 0;
}

static void cancelled(void)
{
    model m = model_new();
    phalanx(&m);
    hw_solid solid = {m.block, m.n};
    hw_mesh_def def = hw_mesh_def_default();
    hw_mesh mesh;
    hw_mesh_made made;
    hw_code code = HW_CANCELLED;
    int n = 0;
    for (; n < 1000 && code == HW_CANCELLED; n++) {
        patience p = {n, 0};
        hw_job job = {lose_patience, &p};
        code = hw_solid_mesh(m.keep, m.work, &solid, &def, &job, &mesh, &made);
        CHECK(code == HW_OK || mesh.tris == 0);
    }
    CHECK(code == HW_OK && n > 10);
    model_free(&m);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(no_blocks);
    RUN(all_cut_away);
    RUN(cut_from_nothing);
    RUN(refused_blocks);
    RUN(refused_defs);
    RUN(thinner_than_the_grid);
    RUN(doubled_points);
    RUN(spike_and_back);
    RUN(clockwise_is_the_same);
    RUN(bow_tie);
    RUN(face_on_face);
    RUN(touching);
    RUN(apart_by_a_step);
    RUN(cut_taper);
    RUN(hidden_taper);
    RUN(taper_within_its_own_base);
    RUN(roof);
    RUN(pyramid);
    RUN(cone_and_socket);
    RUN(whole_part);
    RUN(on_the_grid);
    RUN(flats_joined_or_not);
    RUN(scales);
    RUN(out_of_memory);
    RUN(cancelled);
    return TEST_END();
}
