// Closed forms to 1e-12 (a handful of roundings); the second route adds up curvature in 4000
// pieces, right to 1e-6.
#include "base/vec.h"
#include "check.h"
#include "pivot/pivot.h"

static void out_of_range_is_refused(void)
{
    hw_bending b;
    const double bad[] = {0, -1, (double)NAN, HUGE_VAL};
    for (int i = 0; i < 4; i++) {
        CHECK(hw_beam_bend(HW_BEAM_CANTILEVER, 1, bad[i], 1, 1, 1, &b) == HW_BAD_INPUT);
        CHECK(hw_beam_bend(HW_BEAM_CANTILEVER, 1, 1, bad[i], 1, 1, &b) == HW_BAD_INPUT);
        CHECK(hw_beam_bend(HW_BEAM_CANTILEVER, 1, 1, 1, bad[i], 1, &b) == HW_BAD_INPUT);
        CHECK(hw_beam_bend(HW_BEAM_CANTILEVER, 1, 1, 1, 1, bad[i], &b) == HW_BAD_INPUT);
        CHECK(isnan(b.deflection) && isnan(b.stress) && isnan(b.stiffness));
        hw_plate p = {bad[i], 1, 1, 0.3, HW_PLATE_CLAMPED};
        double w = 0, s = 0;
        CHECK(hw_plate_pressed(&p, 1, &w, &s) == HW_BAD_INPUT && isnan(w) && isnan(s));
        CHECK(isnan(hw_plate_poked(&p, 1)));
    }
    CHECK(hw_beam_bend((hw_beam_kind)9, 1, 1, 1, 1, 1, &b) == HW_BAD_INPUT);
    hw_plate rubber = {1, 1, 1, 0.5, HW_PLATE_CLAMPED};
    CHECK(isnan(hw_plate_stiffness(&rubber)));
}

// E 3000 MPa, section 6 x 3 mm, 20 mm long, 10 N at the end: docs/sources/mechanics.md, beams.
static void a_cantilever(void)
{
    hw_bending b;
    CHECK(hw_beam_bend(HW_BEAM_CANTILEVER, 10, 20e-3, 6e-3, 3e-3, 3e9, &b) == HW_OK);
    CLOSE(b.deflection, 0.6584362139917695e-3, 1e-12); // 160/243 mm
    CLOSE(b.stress, 22.2222222222222e6, 1e-12);        // 200/9 MPa
    CLOSE(b.stiffness, 10 / b.deflection, 1e-12);
    CHECK(hw_beam_bend(HW_BEAM_CANTILEVER, -10, 20e-3, 6e-3, 3e-3, 3e9, &b) == HW_OK);
    CHECK(b.deflection < 0 && b.stress < 0);
}

// Unit-load method: deflection = sum of M(x) m(x) / EI.
static void beams_by_the_unit_load_method(void)
{
    const double load = 7, length = 31e-3, width = 5e-3, thickness = 2e-3, modulus = 2.1e9;
    const double stiff = modulus * width * thickness * thickness * thickness / 12;
    for (int kind = 0; kind < 3; kind++) {
        enum { N = 4000 };
        double sum = 0, most = 0;
        for (int i = 0; i < N; i++) {
            double x = length * (i + 0.5) / N, m;
            double half = x < length / 2 ? x : length - x;
            if (kind == HW_BEAM_CANTILEVER)
                m = length - x;
            else if (kind == HW_BEAM_SUPPORTED)
                m = half / 2;
            else
                m = half / 2 - length / 8;
            double unit =
                kind == HW_BEAM_BUILT_IN ? half / 2 : m; // the unit load's beam may be simpler
            sum += load * m * unit / stiff * length / N;
            most = fmax(most, fabs(load * m));
        }
        hw_bending b;
        CHECK(hw_beam_bend((hw_beam_kind)kind, load, length, width, thickness, modulus, &b) ==
              HW_OK);
        CLOSE(b.deflection, sum, 1e-6);
        // the largest moment is met half a piece beside its place
        CLOSE(b.stress, most * 6 / (width * thickness * thickness), 1e-3);
    }
}

// p 0.01 MPa, a 20, t 2 mm, E 3000 MPa, nu 0.35: docs/sources/mechanics.md, plates.
static void round_plates(void)
{
    hw_plate p = {20e-3, 2e-3, 3e9, 0.35, HW_PLATE_CLAMPED};
    double w = 0, s = 0;
    CLOSE(hw_plate_stiffness(&p), 2.2792022792022792, 1e-12);
    CHECK(hw_plate_pressed(&p, 0.01e6, &w, &s) == HW_OK);
    CLOSE(w, 0.01096875e-3, 1e-12);
    CLOSE(s, 0.75e6, 1e-12);
    CLOSE(hw_plate_poked(&p, 10), 0.03491462e-3, 1e-6); // seven digits are printed
    p.edge = HW_PLATE_SUPPORTED;
    CHECK(hw_plate_pressed(&p, 0.01e6, &w, NULL) == HW_OK);
    CLOSE(w, 0.04346875e-3, 1e-12);
    CHECK(hw_plate_pressed(&p, 0.01e6, &w, &s) == HW_OK);
    CLOSE(s, 0.375 * 3.35 * 1e6, 1e-12);
}

// Supported minus clamped is a plate bent evenly by its edge moment m: m a^2/(2 D (1 + nu)); the
// clamped edge's moment is p a^2/8 or F/(4 pi).
static void supported_is_clamped_plus_even_bending(void)
{
    hw_plate c = {13e-3, 1.1e-3, 2.2e9, 0.31, HW_PLATE_CLAMPED}, s = c;
    s.edge = HW_PLATE_SUPPORTED;
    double d = hw_plate_stiffness(&c), a = c.radius, wc = 0, ws = 0;
    CHECK(hw_plate_pressed(&c, 2e4, &wc, NULL) == HW_OK);
    CHECK(hw_plate_pressed(&s, 2e4, &ws, NULL) == HW_OK);
    CLOSE(ws - wc, 2e4 * a * a / 8 * a * a / (2 * d * (1 + c.poisson)), 1e-11);
    CLOSE(hw_plate_poked(&s, 3) - hw_plate_poked(&c, 3),
          3 / (4 * HW_PI) * a * a / (2 * d * (1 + c.poisson)), 1e-11);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(out_of_range_is_refused);
    RUN(a_cantilever);
    RUN(beams_by_the_unit_load_method);
    RUN(round_plates);
    RUN(supported_is_clamped_plus_even_bending);
    return TEST_END();
}
