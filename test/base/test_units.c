// Scales are compared to 4 ulp: products of exact factors round once a factor.
#include "base/units.h"
#include "base/vec.h"
#include "check.h"

#include <float.h>

#define ULPS (4 * DBL_EPSILON)

typedef struct row {
    const char *text;
    hw_dim dim;
    double number, si; // [SI]
} row;

static void check_rows(const row *r, size_t n)
{
    for (size_t i = 0; i < n; i++) {
        hw_unit u;
        size_t used = 99;
        bool ok = hw_unit_read(hw_text_of(r[i].text), &u, &used) == HW_OK;
        ok = ok && used == strlen(r[i].text) && hw_dim_same(u.dim, r[i].dim);
        ok = ok && fabs(hw_to_si(r[i].number, &u) - r[i].si) <= ULPS * fabs(r[i].si);
        ok = ok && fabs(hw_from_si(r[i].si, &u) - r[i].number) <= ULPS * fabs(r[i].number);
        if (!CHECK(ok)) printf("    unit \"%s\"\n", r[i].text);
    }
}

static void every_unit_of_the_document(void)
{
    const double deg = HW_PI / 180, kgfcm = 9.80665e-2;
    const row r[] = {{"mm", HW_DIM_LENGTH, 3, 3e-3},
                     {"cm", HW_DIM_LENGTH, 3, 3e-2},
                     {"m", HW_DIM_LENGTH, 3, 3},
                     {"in", HW_DIM_LENGTH, 2, 50.8e-3},
                     {"deg", HW_DIM_ANGLE, 180, HW_PI},
                     {"°", HW_DIM_ANGLE, 90, HW_PI / 2},
                     {"rad", HW_DIM_ANGLE, 1.5, 1.5},
                     {"N", HW_DIM_FORCE, 2, 2},
                     {"kN", HW_DIM_FORCE, 2, 2000},
                     {"kgf", HW_DIM_FORCE, 2, 19.6133},
                     {"kgf·cm", HW_DIM_TORQUE, 2, 2 * kgfcm},
                     {"kgf*cm", HW_DIM_TORQUE, 2, 2 * kgfcm},
                     {"N·mm", HW_DIM_TORQUE, 250, 0.25},
                     {"N*mm", HW_DIM_TORQUE, 250, 0.25},
                     {"N·m", HW_DIM_TORQUE, 2, 2},
                     {"mm·N", HW_DIM_TORQUE, 250, 0.25},
                     {"g", HW_DIM_MASS, 5, 5e-3},
                     {"kg", HW_DIM_MASS, 5, 5},
                     {"s", HW_DIM_TIME, 5, 5},
                     {"ms", HW_DIM_TIME, 5, 5e-3},
                     {"us", HW_DIM_TIME, 5, 5e-6},
                     {"µs", HW_DIM_TIME, 5, 5e-6},
                     {"\xCE\xBCs", HW_DIM_TIME, 5, 5e-6}, // Greek small mu
                     {"min", HW_DIM_TIME, 2, 120},
                     {"h", HW_DIM_TIME, 2, 7200},
                     {"V", HW_DIM_VOLTAGE, 6, 6},
                     {"mV", HW_DIM_VOLTAGE, 6, 6e-3},
                     {"A", HW_DIM_CURRENT, 2, 2},
                     {"mA", HW_DIM_CURRENT, 2, 2e-3},
                     {"ohm", HW_DIM_RESISTANCE, 2, 2},
                     {"Ω", HW_DIM_RESISTANCE, 2, 2},
                     {"\xE2\x84\xA6", HW_DIM_RESISTANCE, 2, 2}, // ohm sign
                     {"kohm", HW_DIM_RESISTANCE, 2, 2000},
                     {"W", HW_DIM_POWER, 2, 2},
                     {"mW", HW_DIM_POWER, 2, 2e-3},
                     {"mAh", HW_DIM_CHARGE, 1000, 3600},
                     {"Ah", HW_DIM_CHARGE, 1, 3600},
                     {"Hz", HW_DIM_FREQUENCY, 50, 50},
                     {"kHz", HW_DIM_FREQUENCY, 2, 2000},
                     {"°C", HW_DIM_TEMPERATURE, 20, 293.15},
                     {"degC", HW_DIM_TEMPERATURE, -40, 233.15},
                     {"K", HW_DIM_TEMPERATURE, 20, 20},
                     {"%", HW_DIM_NONE, 45, 0.45},
                     {"rpm", HW_DIM_TURN_SPEED, 60, 2 * HW_PI},
                     {"s/60deg", HW_DIM_TURN_SPEED, 0.12, 60 * deg / 0.12},
                     {"s/60°", HW_DIM_TURN_SPEED, 0.12, 60 * deg / 0.12},
                     {"ms/60deg", HW_DIM_TURN_SPEED, 120, 60 * deg / 0.12},
                     {"deg/s", HW_DIM_TURN_SPEED, 500, 500 * deg},
                     {"mm/s", HW_DIM_SPEED, 5, 5e-3},
                     {"N/mm", HW_DIM_STIFFNESS, 5, 5e3},
                     {"MPa", HW_DIM_PRESSURE, 5, 5e6},
                     {"GPa", HW_DIM_PRESSURE, 3, 3e9},
                     {"kPa", HW_DIM_PRESSURE, 3, 3e3},
                     {"Pa", HW_DIM_PRESSURE, 3, 3},
                     {"g/cm³", HW_DIM_DENSITY, 1.24, 1240},
                     {"g/cm^3", HW_DIM_DENSITY, 1.24, 1240},
                     {"g/cm3", HW_DIM_DENSITY, 1.24, 1240}};
    check_rows(r, sizeof r / sizeof r[0]);
}

static void products_and_powers(void)
{
    const double deg = HW_PI / 180;
    const row r[] = {
        {"mm2", HW_DIM_AREA, 2, 2e-6},
        {"mm²", HW_DIM_AREA, 2, 2e-6},
        {"cm^3", HW_DIM_VOLUME, 2, 2e-6},
        {"N/mm²", HW_DIM_PRESSURE, 2, 2e6},
        {"kg*m/s^2", HW_DIM_FORCE, 2, 2},
        {"s^-1", HW_DIM_FREQUENCY, 2, 2},
        {"N·mm/rad", HW_DIM_JOINT_RATE, 2, 2e-3},
        {"N·mm/deg", HW_DIM_JOINT_RATE, 2, 2e-3 / deg},
        {"rad/s", HW_DIM_TURN_SPEED, 2, 2},
        {"V/A", HW_DIM_RESISTANCE, 2, 2},
        {"V·A", HW_DIM_POWER, 2, 2},
        {"J", HW_DIM_ENERGY, 2, 2},
        {"W·s", HW_DIM_ENERGY, 2, 2},
        {"µm", HW_DIM_LENGTH, 35, 35e-6},
        {"K/W", hw_dim_over(HW_DIM_TEMPERATURE, HW_DIM_POWER), 2, 2},
        {"°C/W", hw_dim_over(HW_DIM_TEMPERATURE, HW_DIM_POWER), 2, 2}, // a difference
        {"N·mm²", (hw_dim){3, 1, -2, 0, 0, 0}, 2, 2e-6}, // bending stiffness, no torque
        {"ohm/km", (hw_dim){1, 1, -3, -2, 0, 0}, 2, 2e-3}};
    check_rows(r, sizeof r / sizeof r[0]);
}

static void torque_is_not_energy_and_rpm_is_not_hz(void)
{
    hw_unit a, b;
    size_t used;
    CHECK(hw_unit_read(HW_TEXT("N·m"), &a, &used) == HW_OK);
    CHECK(hw_unit_read(HW_TEXT("J"), &b, &used) == HW_OK);
    CHECK(!hw_dim_same(a.dim, b.dim));
    CHECK(hw_unit_read(HW_TEXT("rpm"), &a, &used) == HW_OK);
    CHECK(hw_unit_read(HW_TEXT("Hz"), &b, &used) == HW_OK);
    CHECK(!hw_dim_same(a.dim, b.dim));
    CHECK(hw_unit_read(HW_TEXT("kg·m²/s²"), &a, &used) == HW_OK);
    CHECK(hw_dim_same(a.dim, HW_DIM_ENERGY));
}

static void where_a_unit_ends(void)
{
    static const struct {
        const char *text;
        size_t used;
    } r[] = {{"", 0},         {" mm", 0},
             {"mmx", 0},      {"hand.length", 0},
             {"m.x", 0},      {"m_x", 0},
             {"m[0]", 0},     {"mm * 2", 2},
             {"mm*2", 2},     {"mm*count", 2},
             {"mm/m.x", 2},   {"N·", 1},
             {"N/", 1},       {"mm^", 0},
             {"mm^x", 0},     {"mm12", 0},
             {"mm2.5", 0},    {"mm^-", 0},
             {"mm)", 2},      {"deg,", 3},
             {"s/60degx", 1}, {"s/60", 1},
             {"s/60deg]", 7}, {"MM", 0},
             {"nm", 0},       {"°F", 0},
             {"kgf·cmx", 3},  {"\xC2", 0},
             {"\xFF", 0},     {"abcdefghijklmnopq", 0},
             {"% ", 1},       {"N0", 0},
             {"mm0", 0},      {"N/mm·s]", 7}};
    for (size_t i = 0; i < sizeof r / sizeof r[0]; i++) {
        hw_unit u;
        size_t used = 99;
        hw_code code = hw_unit_read(hw_text_of(r[i].text), &u, &used);
        bool ok = used == r[i].used && code == (r[i].used ? HW_OK : HW_NOT_FOUND);
        if (used == 0) ok = ok && hw_dim_same(u.dim, HW_DIM_NONE) && u.scale == 1;
        if (!CHECK(ok)) printf("    text \"%s\" took %zu\n", r[i].text, used);
    }
}

static void usual_units_read_back(void)
{
    const hw_dim d[] = {HW_DIM_LENGTH,     HW_DIM_AREA,       HW_DIM_VOLUME,     HW_DIM_ANGLE,
                        HW_DIM_MASS,       HW_DIM_TIME,       HW_DIM_FORCE,      HW_DIM_TORQUE,
                        HW_DIM_PRESSURE,   HW_DIM_STIFFNESS,  HW_DIM_JOINT_RATE, HW_DIM_SPEED,
                        HW_DIM_TURN_SPEED, HW_DIM_FREQUENCY,  HW_DIM_DENSITY,    HW_DIM_VOLTAGE,
                        HW_DIM_CURRENT,    HW_DIM_RESISTANCE, HW_DIM_POWER,      HW_DIM_ENERGY,
                        HW_DIM_CHARGE,     HW_DIM_TEMPERATURE};
    for (size_t i = 0; i < sizeof d / sizeof d[0]; i++) {
        double scale = 0;
        const char *text = hw_unit_of(d[i], &scale);
        hw_unit u;
        size_t used;
        CHECK(hw_unit_read(hw_text_of(text), &u, &used) == HW_OK && used == strlen(text));
        CHECK(hw_dim_same(u.dim, d[i]) && u.scale == scale);
        CHECK(strcmp(hw_dim_name(d[i]), "another quantity") != 0);
        for (size_t k = 0; k < i; k++) CHECK(strcmp(hw_dim_name(d[i]), hw_dim_name(d[k])) != 0);
    }
    double scale = 0;
    SAME_TEXT(hw_unit_of(HW_DIM_NONE, &scale), "");
    hw_unit shown;
    SAME_TEXT(hw_unit_absolute(HW_DIM_TEMPERATURE, &shown), "°C");
    NEAR(hw_from_si(325.15, &shown), 52, 1e-9);
    SAME_TEXT(hw_unit_absolute(HW_DIM_FORCE, &shown), "N");
    CHECK(shown.offset == 0 && hw_from_si(3, &shown) == 3);
    CHECK(scale == 1);
    SAME_TEXT(hw_unit_of((hw_dim){9, 0, 0, 0, 0, 0}, &scale), "SI");
    SAME_TEXT(hw_dim_name((hw_dim){9, 0, 0, 0, 0, 0}), "another quantity");
}

static void dimensions_as_text(void)
{
    char text[HW_DIM_TEXT];
    CHECK(hw_dim_write(HW_DIM_NONE, text) == 0);
    SAME_TEXT(text, "");
    (void)hw_dim_write(HW_DIM_TORQUE, text);
    SAME_TEXT(text, "m^2*kg*s^-2*rad^-1");
    hw_dim far = {-127, -127, -127, -127, -127, -127};
    CHECK(hw_dim_write(far, text) < HW_DIM_TEXT);
    CHECK(hw_dim_same(hw_dim_times(far, far), far)); // saturates
    hw_dim up = hw_dim_over(HW_DIM_NONE, far);
    CHECK(up.m == 127 && hw_dim_times(up, up).rad == 127);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(every_unit_of_the_document);
    RUN(products_and_powers);
    RUN(torque_is_not_energy_and_rpm_is_not_hz);
    RUN(where_a_unit_ends);
    RUN(usual_units_read_back);
    RUN(dimensions_as_text);
    return TEST_END();
}
