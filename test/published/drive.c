// Cords, belts, tubes, wires, regulators: formula beside the value printed for it. Sources:
// docs/sources/mechanics.md under each row's key.
#include "drive/drive.h"
#include "base/vec.h"
#include "power/power.h"
#include "published.h"

// ---- adapters: inputs as printed, result in the printed unit

static double friction(const double in[]) // high, low, turns
{
    return hw_capstan_mu(in[0], in[1], in[2] * 2 * HW_PI);
}

static double held(const double in[]) // holding N, high, low, turns of the first case, turns -> kN
{
    double mu = hw_capstan_mu(in[1], in[2], in[3] * 2 * HW_PI);
    return hw_capstan(in[0], mu, in[4] * 2 * HW_PI) / 1e3;
}

static double slack(const double in[]) // tight, mu, wrap deg
{
    return hw_capstan(in[0], in[1], -in[2] * HW_PI / 180);
}

static double torque(const double in[]) // tight, mu, wrap deg, radius
{
    return hw_belt_torque(in[0], in[1], in[2] * HW_PI / 180, in[3]);
}

static double power(const double in[]) // tight N, mu, wrap deg, diameter m, rpm -> kW
{
    double t = hw_belt_torque(in[0], in[1], in[2] * HW_PI / 180, in[3] / 2);
    return t * in[4] * 2 * HW_PI / 60 / 1e3;
}

static double pull(const double in[]) // N, mu, wrap deg -> N
{
    return hw_capstan(in[0], in[1], in[2] * HW_PI / 180);
}

static double wrap(const double in[]) // high, low, mu -> deg
{
    return hw_capstan_wrap(in[0], in[1], in[2]) * 180 / HW_PI;
}

static double bend(const double in[]) // outer, wall mm -> mm
{
    return hw_tube_bend_radius(in[0] * 1e-3, in[1] * 1e-3) * 1e3;
}

static double diameter(const double in[]) // gauge -> mm
{
    hw_wire w;
    return hw_wire_of(in[0], 293.15, &w) == HW_OK ? w.diameter * 1e3 : (double)NAN;
}

static double resistance(const double in[]) // gauge -> ohm/km
{
    hw_wire w;
    return hw_wire_of(in[0], 293.15, &w) == HW_OK ? w.resistance * 1e3 : (double)NAN;
}

static double six_gauges(const double in[]) // ratio of diameters over that many gauges
{
    hw_wire a, b;
    bool ok = hw_wire_of(20, 293.15, &a) == HW_OK && hw_wire_of(20 + in[0], 293.15, &b) == HW_OK;
    return ok ? a.diameter / b.diameter : (double)NAN;
}

static hw_regulator_heat linear(const double in[]) // V, V, A
{
    hw_regulator_heat h;
    return hw_regulator_linear(in[0], in[1], in[2], 0, &h) == HW_OK
               ? h
               : (hw_regulator_heat){(double)NAN, (double)NAN, (double)NAN};
}

static double loss(const double in[]) // W
{
    return linear(in).loss;
}

static double efficiency(const double in[]) // %
{
    return linear(in).efficiency * 100;
}

static double junction(const double in[]) // V, V, A, K/W, degC -> degC
{
    return hw_regulator_junction(in[4] + 273.15, linear(in).loss, in[3]) - 273.15;
}

static double buck_loss(const double in[]) // V out, A, efficiency -> W
{
    hw_regulator_heat h;
    return hw_regulator_switching(12, in[0], in[1], in[2], &h) == HW_OK ? h.loss : (double)NAN;
}

// A servo at a stand is a resistance: `ohm` of it draw 1 A at `ohm` volts.
static hw_servo_line standing(void)
{
    return (hw_servo_line){1, 1, 1, 0};
}

static double cell_volts(const double in[]) // V, ohm inside, ohm outside -> V
{
    hw_servo_line s = standing();
    hw_servo_feed f = {in[0], in[1]};
    return hw_servo_fed_at_share(&s, in[2], &f, 1);
}

static double cell_amperes(const double in[]) // V, ohm inside, ohm outside -> A
{
    hw_servo_line s = standing();
    return hw_servo_draws(&s, in[2], cell_volts(in), 1);
}

static double rail_volts(const double in[]) // the same through the rail, half of it in the lead
{
    hw_servo_feed f = {in[0], 0.5 * in[1]};
    hw_rail_load load = {standing(), in[2], 0.5 * in[1], false, 1, 0};
    double bus, volt = NAN;
    return hw_rail_solve(&f, &load, 1, &bus, &volt, NULL) == HW_OK ? volt : (double)NAN;
}

// ---- the values

#define LAST "half a unit of the last printed place"

static const row rows[] = {
    {"Beer 8.7",
     "friction of hawser and bollard",
     friction,
     {7500, 150, 2},
     0.311,
     5e-4,
     LAST,
     READ},
    {"Beer 8.7",
     "force held with three turns, kN",
     held,
     {150, 7500, 150, 2, 3},
     53.0,
     0.05,
     LAST,
     READ},
    {"Beer 8.8", "torque on the pulley, lb in", torque, {600, 0.25, 120, 8}, 1957, 0.5, LAST, READ},
    {"Khurmi 11.4",
     "power of the belt, kW",
     power,
     {2500, 0.25, 160, 0.6, 200},
     7.89,
     5e-3,
     LAST,
     READ},
    {"Khurmi 11.5",
     "tension of the slack side, N",
     slack,
     {9000, 0.25, 900},
     177.33,
     5e-3,
     LAST,
     READ},
    {"Khurmi 11.5",
     "power of the rope, kW",
     power,
     {9000, 0.25, 900, 0.3, 20},
     2.772,
     5e-4,
     LAST,
     READ},
    {"Meriam 6/9", "largest force, N", pull, {981, 0.3, 90}, 1572, 0.5, LAST, FROM_MEMORY},
    {"Meriam 6/9", "least force, N", slack, {981, 0.3, 90}, 612, 0.5, LAST, FROM_MEMORY},
    {"Meriam 6/9", "wrap for 500 N, deg", wrap, {981, 500, 0.3}, 128.7, 0.05, LAST, FROM_MEMORY},
    {"Tube bend", "radius of an 8 x 1 tube, mm", bend, {8, 1}, 64, 0.5, LAST, READ},
    {"Wire gauges", "ratio of neighbours", six_gauges, {1}, 1.1229322, 5e-8, LAST, READ},
    {"Wire gauges", "ratio over six gauges", six_gauges, {6}, 2.005, 5e-4, LAST, READ},
    {"Wire table", "diameter of 22, mm", diameter, {22}, 0.644, 5e-4, LAST, READ},
    {"Wire table", "diameter of 24, mm", diameter, {24}, 0.511, 5e-4, LAST, READ},
    {"Wire table", "diameter of 28, mm", diameter, {28}, 0.321, 5e-4, LAST, READ},
    {"Wire table",
     "diameter of 0000, mm",
     diameter,
     {-3},
     11.684,
     5e-5,
     "half of 0.0001 mm: 0.46000 in",
     READ},
    {"Wire table",
     "resistance of 0000, ohm/km",
     resistance,
     {-3},
     0.16072,
     2e-4,
     "printed from 0.0490 ohm a thousand feet: three figures",
     READ},
    {"Wire table",
     "resistance of 10, ohm/km",
     resistance,
     {10},
     3.276392,
     2e-3,
     "0.06 %: the table's copper is 1.724e-8 rounded",
     READ},
    {"Linear 0.2 A", "loss, W", loss, {12, 5, 0.2}, 1.4, 0.005, LAST, READ},
    {"Linear 0.2 A", "efficiency, %", efficiency, {12, 5, 0.2}, 41.67, 0.005, LAST, READ},
    {"Linear 0.2 A", "junction, degC", junction, {12, 5, 0.2, 80, 25}, 137, 0.5, LAST, READ},
    {"Linear 1 A", "loss, W", loss, {12, 5, 1}, 7, 0.005, LAST, READ},
    {"Linear 1 A", "junction, degC", junction, {12, 5, 1, 16, 25}, 137, 0.5, LAST, READ},
    {"Linear 0.5 A", "loss, W", loss, {12, 3.3, 0.5}, 4.35, 0.005, LAST, READ},
    {"Cell 6 V", "voltage left, V", cell_volts, {6, 2, 98}, 5.88, 0.005, LAST, READ},
    {"Cell 6 V", "current, A", cell_amperes, {6, 2, 98}, 0.06, 5e-4, "printed as 60 mA", READ},
    {"Cell 10 V", "voltage at 10 ohm, V", cell_volts, {10, 0.5, 10}, 9.52, 0.005, LAST, READ},
    {"Cell 10 V", "current at 10 ohm, A", cell_amperes, {10, 0.5, 10}, 0.952, 5e-4, LAST, READ},
    {"Cell 10 V", "voltage at 50 ohm, V", rail_volts, {10, 0.5, 50}, 9.9, 0.05, LAST, READ},
    {"Cell 10 V", "current at 50 ohm, A", cell_amperes, {10, 0.5, 50}, 0.198, 5e-4, LAST, READ},
    {"Cell 10 V", "voltage at 100 ohm, V", rail_volts, {10, 0.5, 100}, 9.95, 0.005, LAST, READ},
    {"Buck 2 A", "loss, W", buck_loss, {5, 2, 0.9}, 1.11, 0.005, LAST, READ},
};
enum { ROWS = sizeof rows / sizeof rows[0] };

static void drive_and_power(void)
{
    check_rows(rows, ROWS, HW_SOURCE_DIR "/docs/sources/mechanics.md");
    CHECK(ROWS >= 20);
    CHECK(count_read(rows, ROWS) >= 15);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(drive_and_power);
    return TEST_END();
}
