// Voxels beside published beams, plates and a hole, and how they converge.
#include "voxel_make.h"

// MacNeal & Harder 1985, "A proposed standard set of problems to test finite element accuracy",
// Finite Elem. Anal. Des. 1: straight cantilever 6 x 0.2 x 0.1, E 1e7, Poisson 0.3, unit forces:
// 3e-5, 0.1081, 0.4321 (from memory). Here in millimetres for their unit of length.
static void the_straight_cantilever(void)
{
    static const double want[3] = {3.0e-5, 0.1081, 0.4321};
    for (int fine = 1; fine <= 2; fine++) {
        model m = model_new();
        hw_voxels v;
        box(&m, HW_BLOCK_ADD, (double[]){0, 0, 0}, (double[]){60, 2, 1});
        CHECK(voxels(&m, 1.0 / fine, &v) == HW_OK);
        hw_voxel_support root = {plane_region(0, 0), {true, true, true}};
        for (int way = 0; way < 3; way++) {
            // Ten times as long in m / 1000: their unit is 0.01 m; force over E and length fit it.
            const double unit = 0.01, modulus = 1e7;
            hw_voxel_load load = {.region = plane_region(0, 60),
                                  .force = along(way, unit * unit),
                                  .at = {60 * mm, 1 * mm, 0.5 * mm}};
            hw_voxel_problem p = {&v, hw_voxel_isotropic(modulus, 0.3), &load, 1, &root, 1};
            hw_voxel_answer a;
            CHECK(solved(&m, &p, 1e-8, &a) == HW_OK);
            double got = at_axis(hw_voxel_moved(&p, &a, &load.region), way) / unit;
            printf(
                "cantilever, %d through the thickness, way %d: %.5g, published %.5g, ratio %.4f, "
                "%zu iterations\n",
                fine, way, got, want[way], got / want[way], a.iterations);
            CLOSE(got, want[way], 0.005);
            CLOSE(2 * a.work / (unit * unit * unit), got, 1e-6); // the force is spread evenly
        }
        model_free(&m);
    }
}

// Saint-Venant: a bar 2 to 1 has J = 0.229 a b^3 (Timoshenko & Goodier, from memory).
static void a_bar_in_torsion(void)
{
    double before = 0;
    for (int fine = 2; fine <= 6; fine += 2) {
        model m = model_new();
        hw_voxels v;
        box(&m, HW_BLOCK_ADD, (double[]){0, 0, 0}, (double[]){20, 4, 2});
        CHECK(voxels(&m, 2.0 / fine, &v) == HW_OK);
        hw_voxel_load load[2] = {{.region = plane_region(0, 0), .moment = {-0.01, 0, 0}},
                                 {.region = plane_region(0, 20), .moment = {0.01, 0, 0}}};
        hw_voxel_problem p = {&v, hw_voxel_isotropic(2e9, 0.3), load, 2, NULL, 0};
        hw_voxel_answer a;
        CHECK(solved(&m, &p, 1e-9, &a) == HW_OK);
        // Turn of sections a thickness and more from the ends, where their loading is forgotten.
        double turn[2];
        for (int i = 0; i < 2; i++) {
            double x = i ? 15 : 5;
            hw_voxel_region low = box_region(x, 0, 0, x, 0, 2), high = box_region(x, 4, 0, x, 4, 2);
            turn[i] = (hw_voxel_moved(&p, &a, &high).z - hw_voxel_moved(&p, &a, &low).z) / (4 * mm);
        }
        double j = 0.01 * 10 * mm / (2e9 / 2.6 * (turn[1] - turn[0]));
        double ratio = j / (0.2287 * 4 * 8 * mm * mm * mm * mm);
        printf("torsion, %d through the thickness: J %.4f of Saint-Venant's\n", fine, ratio);
        CHECK(fabs(ratio - 1) < (fine == 2 ? 0.09 : fine == 4 ? 0.025 : 0.015));
        if (before > 0) CHECK(fabs(ratio - 1) < before);
        before = fabs(ratio - 1);
        model_free(&m);
    }
}

// Timoshenko & Woinowsky-Krieger 1959, clamped plates under even pressure: square, side a,
// 0.00126 q a^4/D and 0.0231 q a^2 at the middle; round, radius a, q a^4/64 D and (1 + nu) q
// a^2/16. From memory. The shear of a plate a fortieth as thick as wide adds under 1 %.
static void clamped_plates(void)
{
    const double q = 1e3, e = 2e9, nu = 0.3;
    for (int round = 0; round < 2; round++)
        for (int fine = 1; fine <= 2; fine++) {
            model m = model_new();
            hw_voxels v;
            const double t = 1, half = 20; // [mm]
            // Lying on z; beyond the edge a rim to hold it by.
            if (round) {
                box(&m, HW_BLOCK_ADD, (double[]){-21, -21, 0}, (double[]){21, 21, t});
            } else
                box(&m, HW_BLOCK_ADD, (double[]){-half, -half, 0}, (double[]){half, half, t});
            CHECK(voxels(&m, t / fine, &v) == HW_OK);
            hw_voxel_support rim[4];
            for (int i = 0; i < 4; i++)
                rim[i] = (hw_voxel_support){plane_region(i / 2, i % 2 ? half : -half),
                                            {true, true, true}};
            if (round) // corners up to half an edge inside: on the whole the circle
                rim[0].region = (hw_voxel_region){.shape = HW_VOXEL_CYLINDER,
                                                  .axis = {0, 0, 1},
                                                  .from = -far,
                                                  .to = far,
                                                  .inner = (half - 0.5 * t / fine) * mm,
                                                  .outer = far};
            hw_voxel_load load = {.region = plane_region(2, t), .pressure = q};
            if (round)
                load.region = (hw_voxel_region){.shape = HW_VOXEL_CYLINDER,
                                                .axis = {0, 0, 1},
                                                .from = t * mm,
                                                .to = t * mm,
                                                .outer = half * mm};
            hw_voxel_problem p = {&v, hw_voxel_isotropic(e, nu), &load, 1, rim, round ? 1 : 4};
            hw_voxel_answer a;
            CHECK(solved(&m, &p, 1e-8, &a) == HW_OK);
            double d = e * pow(t * mm, 3) / (12 * (1 - nu * nu)), side = 2 * half * mm;
            double want = round ? q * pow(half * mm, 4) / (64 * d) : 0.00126 * q * pow(side, 4) / d;
            hw_voxel_region middle = box_region(0, 0, 0, 0, 0, t);
            double got = -hw_voxel_moved(&p, &a, &middle).z;
            printf("clamped %s plate, %d through the thickness: %.4f of the published deflection, "
                   "%zu iterations\n",
                   round ? "round" : "square", fine, got / want, a.iterations);
            if (fine == 2) CLOSE(got, want, 0.03);
            // Stress at the middle: over two cells, half a thickness apart, the outer face's is
            // twice what their middles have.
            if (fine == 2) {
                double s[6];
                hw_voxel_stress(&p, &a, v.n[0] / 2, v.n[1] / 2, 0, s);
                double moment =
                    round ? (1 + nu) * q * pow(half * mm, 2) / 16 : 0.0231 * q * side * side;
                CLOSE(2 * s[0], 6 * moment / (t * t * mm * mm), 0.03);
            }
            model_free(&m);
        }
}

// Pure bending by moments at the ends: the largest stress is M over the section's modulus, at the
// face, to rounding on grid lines and nearly so off them.
static void bending_peaks_at_the_face(void)
{
    static const double height[2] = {2, 1.9};
    for (int off = 0; off < 2; off++) {
        model m = model_new();
        hw_voxels v;
        const double w = 3, h = height[off];
        box(&m, HW_BLOCK_ADD, (double[]){0, 0, 0}, (double[]){16, w, h});
        CHECK(voxels(&m, 0.5, &v) == HW_OK);
        hw_voxel_load load[2] = {{.region = plane_region(0, 0), .moment = {0, -0.02, 0}},
                                 {.region = plane_region(0, 16), .moment = {0, 0.02, 0}}};
        hw_voxel_problem p = {&v, hw_voxel_isotropic(2e9, 0.3), load, 2, NULL, 0};
        hw_voxel_answer a;
        hw_voxel_peaks peak;
        CHECK(solved(&m, &p, 1e-10, &a) == HW_OK);
        CHECK(hw_voxel_peaks_of(m.work, &p, &a, 1 * mm, NULL, &peak) == HW_OK);
        double want = 0.02 / (w * h * h / 6 * mm * mm * mm);
        printf("bending, height %.1f mm on cells of 0.5: peak %.4f of M/Z at z %.2f mm, raw %.3f\n",
               h, peak.mises.value / want, peak.mises.at.z / mm, peak.raw_mises.value / want);
        CLOSE(peak.mises.value, want, off ? 0.06 : 0.003); // the ends are not quite free of notice
        double z = peak.mises.at.z / mm;
        CHECK(fmin(fabs(z), fabs(z - h)) < 0.02);
        CLOSE(peak.raw_mises.value, want * 0.75, off ? 0.1 : 0.01); // a cell's middle
        NEAR(peak.across.value, 0, 0.03 * want);
        model_free(&m);
    }
}

// What the fit makes of the exact stress beside a hole of radius a pulled by 1 (Kirsch 1898): a
// linear fit over a half ball of radius r at the hole's edge, summed finely.
static double fitted_kirsch(double a, double r)
{
    enum { FINE = 200 };
    double m[3][4] = {{0}}; // sums of w (1, x, depth) times the same and the stress
    for (int i = 0; i < FINE; i++)
        for (int j = 0; j < FINE; j++) {
            double x = (2 * (i + 0.5) / FINE - 1) * r, z = (2 * (j + 0.5) / FINE - 1) * r;
            double away = (x * x + z * z) / (r * r), out = hypot(x, a + z), k = a * a / out / out;
            if (away >= 1 || out <= a) continue;
            double w = pow(1 - away, 1.5); // the ball's third direction summed
            double c = x / out, s = (a + z) / out, c2 = c * c - s * s, s2 = 2 * s * c;
            double around = 0.5 * (1 + k - (1 + 3 * k * k) * c2);
            double outward = 0.5 * (1 - k + (1 - 4 * k + 3 * k * k) * c2);
            double shear = -0.5 * (1 + 2 * k - 3 * k * k) * s2;
            double pull = outward * c * c + around * s * s - 2 * shear * s * c;
            const double basis[4] = {1, x, z, pull};
            for (int p = 0; p < 3; p++)
                for (int q = 0; q < 4; q++) m[p][q] += w * basis[p] * basis[q];
        }
    // By symmetry x takes no part.
    return (m[0][3] * m[2][2] - m[2][3] * m[0][2]) / (m[0][0] * m[2][2] - m[0][2] * m[0][2]);
}

// A round hole in a strip five times as wide, pulled: 3.14 times the stress far away (Howland 1930,
// from memory), 3 in a wide one. The peak is what the fit over its radius makes of it. Along the
// layers (with the argument "long"), and standing up: then that is the tension across them.
static bool along_too;

static void a_hole_raises_stress_threefold(void)
{
    const double radius = 1, hole = 4, want = 3.14e6 / 3 * fitted_kirsch(hole, radius);
    printf("a fit over %.1f mm makes %.3f of 3\n", radius, fitted_kirsch(hole, radius));
    for (int up = along_too ? 0 : 1; up < 2; up++) {
        model m = model_new();
        const double half = 20, t = 1, long_half = 27;
        const double x = up ? half : long_half, z = up ? long_half : half;
        box(&m, HW_BLOCK_ADD, (double[]){-x, 0, -z}, (double[]){x, t, z});
        plate(&m, HW_BLOCK_CUT, 0, t, circle(&m, 0, 0, hole, 160));
        hw_mesh mesh;
        CHECK(mesh_of(&m, &mesh));
        int axis = up ? 2 : 0;
        const double pull = 1e6 * 2 * half * t * mm * mm;
        hw_voxel_load load[2];
        for (int end = 0; end < 2; end++) {
            double sign = end ? 1 : -1;
            hw_vec3 at = along(axis, sign * long_half * mm);
            at.y = 0.5 * t * mm;
            load[end] = (hw_voxel_load){.region = plane_region(axis, sign * long_half),
                                        .force = along(axis, sign * pull),
                                        .at = at};
        }
        hw_voxel_problem p = {.stuff = hw_voxel_isotropic(2e9, 0.3), .load = load, .loads = 2};
        hw_voxel_study_def def = {.edge = {0.5 * mm, (along_too ? 0.36 : 0.45) * mm},
                                  .edges = up ? 2 : 1,
                                  .radius = radius * mm,
                                  .most = 1000000,
                                  .solve = hw_voxel_def_default()};
        hw_voxel_study s;
        CHECK(hw_voxel_study_of(m.keep, m.work, &mesh, &p, &def, NULL, &s) == HW_OK);
        for (size_t i = 0; i < def.edges; i++) {
            printf("hole of radius 4 mm, edge %.2f mm: %.3f times, across layers %.3f, at a cell's "
                   "middle %.3f\n",
                   def.edge[i] / mm, s.peak[i].mises.value * 1e-6, s.peak[i].across.value * 1e-6,
                   s.peak[i].raw_mises.value * 1e-6);
            CLOSE(s.peak[i].mises.value, want, i ? 0.03 : 0.10);
            hw_vec3 at = s.peak[i].mises.at;
            NEAR(hypot(at.x, at.z), hole * mm, 0.6 * def.edge[i]);
            NEAR(at_axis(at, axis), 0, 1.1 * mm);
            if (up) CLOSE(s.peak[i].across.value, s.peak[i].mises.value, 0.06);
        }
        CHECK(s.voxels.edge == def.edge[def.edges - 1] && s.answer.moved &&
              s.problem.voxels == &s.voxels);
        if (up) {
            double low = fmin(s.peak[0].mises.value, s.peak[1].mises.value);
            double high = fmax(s.peak[0].mises.value, s.peak[1].mises.value);
            CLOSE(s.spread, (high - low) / s.peak[1].mises.value, 1e-12);
            CHECK(s.spread < 0.1 && s.spread > 0);
        }
        model_free(&m);
    }
}

static void radii_too_small_are_refused(void)
{
    model m = model_new();
    hw_voxels v;
    box(&m, HW_BLOCK_ADD, (double[]){0, 0, 0}, (double[]){4, 4, 4});
    CHECK(voxels(&m, 1, &v) == HW_OK);
    hw_voxel_load load = {.region = box_region(-9, -9, -9, 9, 9, 9), .pressure = 1};
    hw_voxel_problem p = {&v, hw_voxel_isotropic(2e9, 0.3), &load, 1, NULL, 0};
    hw_voxel_answer a;
    hw_voxel_peaks peak;
    CHECK(solved(&m, &p, 1e-9, &a) == HW_OK);
    CHECK(hw_voxel_peaks_of(m.work, &p, &a, 1.9 * mm, NULL, &peak) == HW_BAD_INPUT);
    CHECK(isnan(peak.mises.value) && isnan(peak.across.value));
    CHECK(hw_voxel_peaks_of(m.work, &p, &a, 2 * mm, NULL, &peak) == HW_OK);
    NEAR(peak.mises.value, 0, 1e-6); // pressure alike all round yields nothing
    CHECK(peak.across.value == 0);   // and is no tension
    model_free(&m);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    along_too = argc > 1 && strcmp(argv[1], "long") == 0;
    RUN(the_straight_cantilever);
    RUN(a_bar_in_torsion);
    RUN(clamped_plates);
    RUN(bending_peaks_at_the_face);
    RUN(a_hole_raises_stress_threefold);
    RUN(radii_too_small_are_refused);
    return TEST_END();
}
