#include "check.h"
#include "power/power.h"

static void out_of_range_is_refused(void)
{
    hw_wire w;
    CHECK(hw_wire_of(41, 293.15, &w) == HW_BAD_INPUT && isnan(w.diameter));
    CHECK(hw_wire_of(-4, 293.15, &w) == HW_BAD_INPUT);
    CHECK(hw_wire_of(22, 20, &w) == HW_BAD_INPUT); // a Celsius number by mistake
    CHECK(hw_wire_of((double)NAN, 293.15, &w) == HW_BAD_INPUT);
    CHECK(isnan(hw_track_width(0, 10, 35e-6, HW_TRACK_EXTERNAL)));
    CHECK(isnan(hw_track_width(1, -10, 35e-6, HW_TRACK_EXTERNAL)));
    CHECK(isnan(hw_track_width(1, 10, 35e-6, (hw_track_layer)7)));
    CHECK(isnan(hw_track_current(0, 10, 35e-6, HW_TRACK_INTERNAL)));
    hw_regulator_heat h;
    CHECK(hw_regulator_linear(5, 6, 1, 0, &h) == HW_BAD_INPUT && isnan(h.loss));
    CHECK(hw_regulator_linear(5, 0, 1, 0, &h) == HW_BAD_INPUT);
    CHECK(hw_regulator_switching(12, 5, 1, 0, &h) == HW_BAD_INPUT);
    CHECK(hw_regulator_switching(12, 5, 1, 1.01, &h) == HW_BAD_INPUT);
}

static void gauges_are_a_geometric_row(void)
{
    hw_wire a, b;
    CHECK(hw_wire_of(36, 293.15, &a) == HW_OK);
    CLOSE(a.diameter, 0.127e-3, 1e-12); // by definition
    CHECK(hw_wire_of(-3, 293.15, &a) == HW_OK);
    CLOSE(a.diameter, 0.46 * 25.4e-3, 1e-12); // by definition: 0.46 in
    for (int n = -3; n < 40; n++) {
        CHECK(hw_wire_of(n, 293.15, &a) == HW_OK && hw_wire_of(n + 1, 293.15, &b) == HW_OK);
        CLOSE(a.diameter / b.diameter, 1.1229322, 1e-7); // printed to eight figures
        CLOSE(b.resistance / a.resistance, 1.1229322 * 1.1229322, 2e-7);
    }
    CHECK(hw_wire_of(22, 333.15, &a) == HW_OK && hw_wire_of(22, 293.15, &b) == HW_OK);
    CLOSE(a.resistance / b.resistance, 1 + 40 * 0.00393, 1e-12);
}

static void a_pair_of_wires(void)
{
    hw_wire w;
    CHECK(hw_wire_of(22, 293.15, &w) == HW_OK);
    NEAR(hw_wire_drop(&w, 0.5, 2), 0.1059, 5e-5); // docs/sources/mechanics.md, wires
    CHECK(isnan(hw_wire_drop(&w, -1, 2)) && hw_wire_drop(&w, 0.5, 0) == 0);
}

static void a_track_there_and_back(void)
{
    for (int i = 1; i < 20; i++) {
        hw_track_layer layer = i % 2 ? HW_TRACK_EXTERNAL : HW_TRACK_INTERNAL;
        double w = hw_track_width(0.4 * i, 5.0 * i, 35e-6, layer);
        CLOSE(hw_track_current(w, 5.0 * i, 35e-6, layer), 0.4 * i, 1e-12);
        CLOSE(hw_track_width(0.4 * i, 5.0 * i, 70e-6, layer), w / 2, 1e-12);
    }
    // half the constant inside: 2^(1/0.725) times the width
    CLOSE(hw_track_width(1, 10, 35e-6, HW_TRACK_INTERNAL) /
              hw_track_width(1, 10, 35e-6, HW_TRACK_EXTERNAL),
          pow(2, 1 / 0.725), 1e-12);
}

static void what_goes_in_comes_out_or_is_heat(void)
{
    hw_regulator_heat h;
    CHECK(hw_regulator_linear(12, 5, 0.2, 0.005, &h) == HW_OK);
    CLOSE(h.input * 12, 1 + h.loss, 1e-12);
    CLOSE(h.input, 0.205, 1e-12);
    CHECK(hw_regulator_switching(7.4, 5, 2, 0.9, &h) == HW_OK);
    CLOSE(h.input * 7.4, 10 + h.loss, 1e-12);
    CLOSE(h.efficiency, 0.9, 1e-12);
    CHECK(hw_regulator_switching(7.4, 5, 0, 0.9, &h) == HW_OK && h.efficiency == 0 && h.loss == 0);
    CHECK(hw_regulator_linear(5, 5, 1, 0, &h) == HW_OK && h.loss == 0 && h.efficiency == 1);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(out_of_range_is_refused);
    RUN(gauges_are_a_geometric_row);
    RUN(a_pair_of_wires);
    RUN(a_track_there_and_back);
    RUN(what_goes_in_comes_out_or_is_heat);
    return TEST_END();
}
