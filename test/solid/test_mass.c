#include "check.h"
#include "make.h"

// Relative; sums of a few dozen terms in double, some of which cancel.
static const double ROUNDING = 1e-12;

static hw_mass tetra(const hw_vec3 v[4], double density)
{
    hw_vec3 at[4] = {v[0], v[1], v[2], v[3]};
    uint32_t tri[12] = {0, 2, 1, 0, 1, 3, 1, 2, 3, 2, 0, 3};
    hw_mesh m = {at, tri, 4, 4};
    return hw_mesh_mass(&m, density);
}

static void nothing(void)
{
    hw_mesh none = {0};
    hw_mass m = hw_mesh_mass(&none, 1000);
    CHECK(m.volume == 0 && m.area == 0 && m.mass == 0 && m.inertia[0][0] == 0);
    hw_vec3 at[3] = {{0, 0, 0}, {1, 0, 0}, {0, 1, 0}};
    uint32_t tri[6] = {0, 1, 2, 0, 2, 1};
    hw_mesh flat = {at, tri, 3, 2};
    m = hw_mesh_mass(&flat, 1000);
    CHECK(m.volume == 0 && m.inertia[2][2] == 0);
    NEAR(m.area, 1, ROUNDING);
}

// Exact values: unit corner tetrahedron (own integration, checked by the sums over monomials).
static void corner_tetra(void)
{
    const hw_vec3 v[4] = {{0, 0, 0}, {1, 0, 0}, {0, 1, 0}, {0, 0, 1}};
    hw_mass m = tetra(v, 6);
    CLOSE(m.volume, 1.0 / 6, ROUNDING);
    CLOSE(m.area, 1.5 + sqrt(3) / 2, ROUNDING);
    CLOSE(m.mass, 1.0, ROUNDING);
    CLOSE(m.centroid.x, 0.25, ROUNDING);
    CLOSE(m.centroid.z, 0.25, ROUNDING);
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++)
            CLOSE(m.inertia[i][j] / 6, i == j ? 1.0 / 80 : 1.0 / 480, ROUNDING);
}

// Tonon 2004, J. Math. Stat. 1(1), the worked tetrahedron; the products as recomputed (the paper
// exchanges two of them). Published to 5 decimals, vertices to 5: relative 1e-6.
static void tonon_tetra(void)
{
    const hw_vec3 v[4] = {{8.33220, -11.86875, 0.93355},
                          {0.75523, 5.00000, 16.37072},
                          {52.61236, 5.00000, -5.38580},
                          {2.00000, 5.00000, 3.00000}};
    hw_mass m = tetra(v, 1);
    if (m.volume < 0) { // the listed order is left-handed
        const hw_vec3 w[4] = {v[1], v[0], v[2], v[3]};
        m = tetra(w, 1);
    }
    CLOSE(m.volume, 1873.233364, 1e-8);
    CLOSE(m.centroid.x, 15.92492, 2e-6); // the mean of the four is 15.9249475
    CLOSE(m.centroid.y, 0.78281, 1e-5);
    CLOSE(m.centroid.z, 3.72962, 1e-5);
    CLOSE(m.inertia[0][0], 43520.33257, 1e-7);
    CLOSE(m.inertia[1][1], 194711.28938, 1e-7);
    CLOSE(m.inertia[2][2], 191168.76173, 1e-7);
    CLOSE(m.inertia[0][1], -11996.20119, 1e-7);
    CLOSE(m.inertia[0][2], 46343.16662, 1e-7);
    CLOSE(m.inertia[1][2], -4417.66150, 1e-7);
}

static void regular_tetra(void)
{
    const hw_vec3 v[4] = {{1, 1, 1}, {1, -1, -1}, {-1, -1, 1}, {-1, 1, -1}};
    hw_mass m = tetra(v, 1);
    CLOSE(fabs(m.volume), 8.0 / 3, ROUNDING);
}

// The made solid, density 1 g/cm^3, far from the origin so that sums about it would lose digits.
static void box_2_3_5(void)
{
    model m = model_new();
    hw_mesh mesh;
    hw_mesh_made made;
    hw_mesh_report report;
    box(&m, HW_BLOCK_ADD, (double[]){100, -200, 300}, (double[]){102, -197, 305});
    CHECK(build(&m, &mesh, &made, &report) == HW_OK);
    CHECK(hw_mesh_sound(&report));
    hw_mass q = hw_mesh_mass(&mesh, 1000);
    // corners are within 0.71 grid steps: 1e-6 of 2 mm
    CLOSE(q.volume, 30e-9, 1e-6);
    CLOSE(q.area, 62e-6, 1e-6);
    CLOSE(q.mass, 30e-6, 1e-6);
    NEAR(q.centroid.x, 101e-3, made.grid);
    NEAR(q.centroid.y, -198.5e-3, made.grid);
    NEAR(q.centroid.z, 302.5e-3, made.grid);
    CLOSE(q.inertia[0][0], 85e-12, 2e-6);
    CLOSE(q.inertia[1][1], 72.5e-12, 2e-6);
    CLOSE(q.inertia[2][2], 32.5e-12, 2e-6);
    NEAR(q.inertia[0][1], 0, 1e-6 * 85e-12);
    model_free(&m);
}

// Points of a circle with sagitta at most 0.02 % of the radius: area within 0.03 %.
static const size_t ROUND = 160;

static hw_mass made_of(model *m)
{
    hw_mesh mesh = {0};
    hw_mesh_made made;
    hw_mesh_report report;
    CHECK(build(m, &mesh, &made, &report) == HW_OK);
    CHECK(hw_mesh_sound(&report));
    return hw_mesh_mass(&mesh, 1000);
}

// Cylinder r 5, h 4 along y: m r^2/2 and m (3 r^2 + h^2)/12, to 0.1 %.
static void cylinder(void)
{
    model m = model_new();
    plate(&m, HW_BLOCK_ADD, 0, 4, circle(&m, 1, 2, 5, ROUND));
    hw_mass q = made_of(&m);
    CLOSE(q.volume, HW_PI * 100e-9, 1e-3);
    CLOSE(q.inertia[1][1], q.mass * 25e-6 / 2, 1e-3);
    CLOSE(q.inertia[0][0], q.mass * (75e-6 + 16e-6) / 12, 1e-3);
    CLOSE(q.inertia[2][2], q.mass * (75e-6 + 16e-6) / 12, 1e-3);
    NEAR(q.centroid.x, 1e-3, 1e-8);
    NEAR(q.centroid.y, 2e-3, 1e-8);
    model_free(&m);
}

// Frustum R 5, r 3, h 4: V = pi h (R^2 + R r + r^2)/3 = 205.2507200, centroid 1.67346939.
static void frustum(void)
{
    model m = model_new();
    taper(&m, HW_BLOCK_ADD, 0, 4, circle(&m, 0, 0, 5, ROUND), circle(&m, 0, 0, 3, ROUND));
    hw_mass q = made_of(&m);
    CLOSE(q.volume, 205.2507200e-9, 1e-3);
    CLOSE(q.centroid.y, 1.67346939e-3, 1e-5); // the facets scale all sections alike
    model_free(&m);
}

// Cone r 4, h 6: V = pi r^2 h/3, centroid h/4, 3 m r^2/10, 3 m (4 r^2 + h^2)/80 about it. Its tip
// is a circle of one grid step.
static void cone(void)
{
    model m = model_new();
    taper(&m, HW_BLOCK_ADD, 0, 6, circle(&m, 0, 0, 4, ROUND), circle(&m, 0, 0, 1e-9, ROUND));
    hw_mass q = made_of(&m);
    CLOSE(q.volume, HW_PI * 32e-9, 1e-3);
    CLOSE(q.centroid.y, 1.5e-3, 1e-5);
    CLOSE(q.inertia[1][1], 0.3 * q.mass * 16e-6, 1e-3);
    CLOSE(q.inertia[0][0], 3 * q.mass * (64e-6 + 36e-6) / 80, 1e-3);
    model_free(&m);
}

// Hollow cylinder 5/3: m (r1^2 + r2^2)/2.
static void hollow_cylinder(void)
{
    model m = model_new();
    plate(&m, HW_BLOCK_ADD, -2, 2, circle(&m, 0, 0, 5, ROUND));
    plate(&m, HW_BLOCK_CUT, -2, 2, circle(&m, 0, 0, 3, ROUND));
    hw_mass q = made_of(&m);
    CLOSE(q.volume, HW_PI * 64e-9, 1e-3);
    CLOSE(q.inertia[1][1], q.mass * 34e-6 / 2, 1e-3);
    model_free(&m);
}

// Sphere r 5 as a pile of cone frusta: 2 m r^2/5.
static void sphere(void)
{
    model m = model_new();
    enum { STEPS = 120 };
    for (int i = 0; i < STEPS; i++) {
        double a = HW_PI * i / STEPS, b = HW_PI * (i + 1) / STEPS;
        double low = fmax(5 * sin(a), 1e-9), high = fmax(5 * sin(b), 1e-9);
        taper(&m, HW_BLOCK_ADD, -5 * cos(a), -5 * cos(b), circle(&m, 0, 0, low, ROUND),
              circle(&m, 0, 0, high, ROUND));
    }
    hw_mass q = made_of(&m);
    // chords lie inside by 0.02 % of the radius at most, frusta by 0.009 %: inertia, its fifth
    // power, within 0.1 %
    CLOSE(q.volume, 4 * HW_PI * 125e-9 / 3, 1e-3);
    CLOSE(q.inertia[0][0], 0.4 * q.mass * 25e-6, 1e-3);
    CLOSE(q.inertia[1][1], 0.4 * q.mass * 25e-6, 1e-3);
    model_free(&m);
}

// Volumes of n-gon prisms over the cylinder's: n/(2 pi) sin(2 pi/n), to the grid.
static void polygons(void)
{
    const struct {
        size_t n;
        double ratio;
    } row[] = {{16, .97449536}, {32, .99358685}, {64, .99839439}};
    for (int i = 0; i < 3; i++) {
        model m = model_new();
        plate(&m, HW_BLOCK_ADD, 0, 1, circle(&m, 0, 0, 1, row[i].n));
        CLOSE(made_of(&m).volume, HW_PI * 1e-9 * row[i].ratio, 2e-6);
        model_free(&m);
    }
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(nothing);
    RUN(corner_tetra);
    RUN(tonon_tetra);
    RUN(regular_tetra);
    RUN(box_2_3_5);
    RUN(cylinder);
    RUN(frustum);
    RUN(cone);
    RUN(hollow_cylinder);
    RUN(sphere);
    RUN(polygons);
    return TEST_END();
}
