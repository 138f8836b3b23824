#include "base/units.h"
#include "base/text.h"
#include "base/vec.h"

#include <string.h>

typedef struct symbol {
    const char *text;
    hw_unit unit;
} symbol;

#define DEGREE (HW_PI / 180.0)
// Exact by definition: inch 25.4 mm, pound 0.45359237 kg, standard gravity 9.80665 m/s^2. Source:
// NIST Special Publication 811 (2008), appendix B (from memory).
static const symbol table[] = {
    {"mm", {HW_INIT_LENGTH, 1e-3, 0, false}},
    {"cm", {HW_INIT_LENGTH, 1e-2, 0, false}},
    {"m", {HW_INIT_LENGTH, 1, 0, false}},
    {"km", {HW_INIT_LENGTH, 1e3, 0, false}},
    {"um", {HW_INIT_LENGTH, 1e-6, 0, false}},
    {"µm", {HW_INIT_LENGTH, 1e-6, 0, false}},
    {"in", {HW_INIT_LENGTH, 25.4e-3, 0, false}},
    {"mil", {HW_INIT_LENGTH, 25.4e-6, 0, false}},
    {"deg", {HW_INIT_ANGLE, DEGREE, 0, false}},
    {"°", {HW_INIT_ANGLE, DEGREE, 0, false}},
    {"rad", {HW_INIT_ANGLE, 1, 0, false}},
    {"N", {HW_INIT_FORCE, 1, 0, false}},
    {"kN", {HW_INIT_FORCE, 1e3, 0, false}},
    {"kgf", {HW_INIT_FORCE, 9.80665, 0, false}},
    {"gf", {HW_INIT_FORCE, 9.80665e-3, 0, false}},
    {"lbf", {HW_INIT_FORCE, 4.4482216152605, 0, false}},
    {"g", {HW_INIT_MASS, 1e-3, 0, false}},
    {"kg", {HW_INIT_MASS, 1, 0, false}},
    {"s", {HW_INIT_TIME, 1, 0, false}},
    {"ms", {HW_INIT_TIME, 1e-3, 0, false}},
    {"us", {HW_INIT_TIME, 1e-6, 0, false}},
    {"µs", {HW_INIT_TIME, 1e-6, 0, false}},
    {"min", {HW_INIT_TIME, 60, 0, false}},
    {"h", {HW_INIT_TIME, 3600, 0, false}},
    {"V", {HW_INIT_VOLTAGE, 1, 0, false}},
    {"mV", {HW_INIT_VOLTAGE, 1e-3, 0, false}},
    {"A", {HW_INIT_CURRENT, 1, 0, false}},
    {"mA", {HW_INIT_CURRENT, 1e-3, 0, false}},
    {"uA", {HW_INIT_CURRENT, 1e-6, 0, false}},
    {"µA", {HW_INIT_CURRENT, 1e-6, 0, false}},
    {"ohm", {HW_INIT_RESISTANCE, 1, 0, false}},
    {"Ω", {HW_INIT_RESISTANCE, 1, 0, false}},
    {"mohm", {HW_INIT_RESISTANCE, 1e-3, 0, false}},
    {"mΩ", {HW_INIT_RESISTANCE, 1e-3, 0, false}},
    {"kohm", {HW_INIT_RESISTANCE, 1e3, 0, false}},
    {"kΩ", {HW_INIT_RESISTANCE, 1e3, 0, false}},
    {"W", {HW_INIT_POWER, 1, 0, false}},
    {"mW", {HW_INIT_POWER, 1e-3, 0, false}},
    {"J", {HW_INIT_ENERGY, 1, 0, false}},
    {"Wh", {HW_INIT_ENERGY, 3600, 0, false}},
    {"Ah", {HW_INIT_CHARGE, 3600, 0, false}},
    {"mAh", {HW_INIT_CHARGE, 3.6, 0, false}},
    {"Hz", {HW_INIT_FREQUENCY, 1, 0, false}},
    {"kHz", {HW_INIT_FREQUENCY, 1e3, 0, false}},
    {"K", {HW_INIT_TEMPERATURE, 1, 0, false}},
    {"°C", {HW_INIT_TEMPERATURE, 1, 273.15, false}},
    {"degC", {HW_INIT_TEMPERATURE, 1, 273.15, false}},
    {"%", {HW_INIT_NONE, 1e-2, 0, false}},
    {"rpm", {HW_INIT_TURN_SPEED, 2.0 * HW_PI / 60.0, 0, false}},
    {"MPa", {HW_INIT_PRESSURE, 1e6, 0, false}},
    {"GPa", {HW_INIT_PRESSURE, 1e9, 0, false}},
    {"kPa", {HW_INIT_PRESSURE, 1e3, 0, false}},
    {"Pa", {HW_INIT_PRESSURE, 1, 0, false}},
};
enum { SYMBOLS = sizeof table / sizeof table[0] };

// Hobby servos give the time for a turn of 60 deg: a turning speed upside down.
static const symbol upside_down[] = {
    {"s/60deg", {HW_INIT_TURN_SPEED, 60.0 * DEGREE, 0, true}},
    {"s/60°", {HW_INIT_TURN_SPEED, 60.0 * DEGREE, 0, true}},
    {"ms/60deg", {HW_INIT_TURN_SPEED, 60e3 * DEGREE, 0, true}},
    {"ms/60°", {HW_INIT_TURN_SPEED, 60e3 * DEGREE, 0, true}},
};
enum { UPSIDE_DOWNS = sizeof upside_down / sizeof upside_down[0] };

// Other code points for the same sign, as keyboards and catalogues have them.
static const struct {
    const char *seen, *meant;
} twin[] = {{"\xCE\xBC", "µ"}, {"\xE2\x84\xA6", "Ω"}};

static bool starts(hw_text t, const char *with)
{
    size_t n = strlen(with);
    return t.len >= n && memcmp(t.at, with, n) == 0;
}

static bool is_letter(char c)
{
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
}

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

// Bytes of the sign that is part of a unit's name at t (letter, °, µ, Ω, %), 0 when there is none.
// *meant is its usual form.
static size_t name_step(hw_text t, const char **meant)
{
    static const char *const sign[] = {"°", "µ", "Ω", "%"};
    *meant = NULL;
    if (t.len && is_letter(t.at[0])) return 1;
    for (size_t i = 0; i < sizeof sign / sizeof sign[0]; i++)
        if (starts(t, sign[i])) return strlen(*meant = sign[i]);
    for (size_t i = 0; i < sizeof twin / sizeof twin[0]; i++)
        if (starts(t, twin[i].seen)) {
            *meant = twin[i].meant;
            return strlen(twin[i].seen);
        }
    return 0;
}

// The whole run of letters and signs must be one symbol: "mmx" is none.
static const hw_unit *read_symbol(hw_text t, size_t *used)
{
    char name[12];
    size_t n = 0, i = 0;
    for (;;) {
        const char *meant;
        size_t step = name_step((hw_text){t.at + i, t.len - i}, &meant);
        if (step == 0) break;
        const char *from = meant ? meant : t.at + i;
        size_t bytes = meant ? strlen(meant) : step;
        if (n + bytes >= sizeof name) return NULL;
        memcpy(name + n, from, bytes);
        n += bytes;
        i += step;
    }
    if (n == 0) return NULL;
    bool goes_on = i < t.len && (t.at[i] == '_' || t.at[i] == '.' || t.at[i] == '[');
    if (goes_on) return NULL; // an entry's path, not a unit
    *used = i;
    for (size_t k = 0; k < SYMBOLS; k++)
        if (strlen(table[k].text) == n && memcmp(table[k].text, name, n) == 0)
            return &table[k].unit;
    return NULL;
}

// A power behind a symbol: ^2, ^-1, 2, ², ³. 1 where there is none, 0 where it is no whole power.
static int read_power(hw_text t, size_t *used)
{
    *used = 0;
    if (starts(t, "²")) return *used = strlen("²"), 2;
    if (starts(t, "³")) return *used = strlen("³"), 3;
    size_t i = 0;
    bool hat = t.len && t.at[0] == '^';
    if (hat) i++;
    bool negative = hat && i < t.len && t.at[i] == '-';
    if (negative) i++;
    if (i >= t.len || !is_digit(t.at[i])) return hat ? 0 : 1;
    int p = t.at[i++] - '0';
    if (i < t.len && (is_digit(t.at[i]) || t.at[i] == '.' || is_letter(t.at[i]))) return 0;
    *used = i;
    return negative ? -p : p;
}

static void multiply(hw_unit *to, const hw_unit *by, int power)
{
    for (int i = 0; i < power; i++) {
        to->dim = hw_dim_times(to->dim, by->dim);
        to->scale *= by->scale;
    }
    for (int i = 0; i > power; i--) {
        to->dim = hw_dim_over(to->dim, by->dim);
        to->scale /= by->scale;
    }
}

static size_t operator_step(hw_text t, bool *over)
{
    *over = starts(t, "/");
    if (*over || starts(t, "*")) return 1;
    return starts(t, "·") ? strlen("·") : 0;
}

static bool read_upside_down(hw_text t, hw_unit *out, size_t *used)
{
    for (size_t i = 0; i < UPSIDE_DOWNS; i++) {
        size_t n = strlen(upside_down[i].text);
        if (!starts(t, upside_down[i].text)) continue;
        if (t.len > n && (is_letter(t.at[n]) || is_digit(t.at[n]) || t.at[n] == '_')) continue;
        *out = upside_down[i].unit;
        *used = n;
        return true;
    }
    return false;
}

// What a product is made of, to tell a torque from an energy.
typedef struct tally {
    int forces, lengths; // with power 1, above the line
    int factors;
    double offset;
} tally;

static void count(tally *n, const hw_unit *u, int power)
{
    n->factors++;
    n->offset = u->offset;
    if (power != 1) return;
    n->forces += hw_dim_same(u->dim, HW_DIM_FORCE);
    n->lengths += hw_dim_same(u->dim, HW_DIM_LENGTH);
}

hw_code hw_unit_read(hw_text t, hw_unit *out, size_t *used)
{
    *out = (hw_unit){HW_DIM_NONE, 1, 0, false};
    *used = 0;
    if (read_upside_down(t, out, used)) return HW_OK;
    tally n = {0};
    bool over = false;
    size_t i = 0;
    for (;;) { // each turn takes at least one byte
        size_t symbol_bytes = 0, power_bytes = 0;
        hw_text rest = {t.at + i, t.len - i};
        const hw_unit *u = read_symbol(rest, &symbol_bytes);
        if (!u) break; // the operator before it belongs to an expression
        int power =
            read_power((hw_text){rest.at + symbol_bytes, rest.len - symbol_bytes}, &power_bytes);
        if (power == 0) break;
        if (over) power = -power;
        multiply(out, u, power);
        count(&n, u, power);
        i += symbol_bytes + power_bytes;
        *used = i;
        size_t step = operator_step((hw_text){t.at + i, t.len - i}, &over);
        if (step == 0) break;
        i += step;
    }
    if (n.factors == 0) return HW_NOT_FOUND;
    if (n.factors == 1 && hw_dim_same(out->dim, HW_DIM_TEMPERATURE)) out->offset = n.offset;
    if (n.forces == 1 && n.lengths == 1) out->dim.rad = (int8_t)(out->dim.rad - 1);
    return HW_OK;
}

static int8_t bounded(int x)
{
    return (int8_t)(x > INT8_MAX ? INT8_MAX : x < -INT8_MAX ? -INT8_MAX : x);
}

static hw_dim combine(hw_dim a, hw_dim b, int sign)
{
    return (hw_dim){bounded(a.m + sign * b.m), bounded(a.kg + sign * b.kg),
                    bounded(a.s + sign * b.s), bounded(a.A + sign * b.A),
                    bounded(a.K + sign * b.K), bounded(a.rad + sign * b.rad)};
}

hw_dim hw_dim_times(hw_dim a, hw_dim b)
{
    return combine(a, b, 1);
}

hw_dim hw_dim_over(hw_dim a, hw_dim b)
{
    return combine(a, b, -1);
}

bool hw_dim_same(hw_dim a, hw_dim b)
{
    return a.m == b.m && a.kg == b.kg && a.s == b.s && a.A == b.A && a.K == b.K && a.rad == b.rad;
}

// Name and usual unit of each dimension that entries, findings and formulas have.
static const struct {
    hw_dim dim;
    const char *name, *unit;
} usual[] = {
    {HW_INIT_NONE, "a plain number", ""},
    {HW_INIT_LENGTH, "length", "mm"},
    {HW_INIT_AREA, "area", "mm²"},
    {HW_INIT_VOLUME, "volume", "mm³"},
    {HW_INIT_ANGLE, "angle", "deg"},
    {HW_INIT_MASS, "mass", "g"},
    {HW_INIT_TIME, "time", "s"},
    {HW_INIT_FORCE, "force", "N"},
    {HW_INIT_TORQUE, "torque", "N·mm"},
    {HW_INIT_PRESSURE, "pressure", "MPa"},
    {HW_INIT_STIFFNESS, "stiffness", "N/mm"},
    {HW_INIT_JOINT_RATE, "stiffness of a joint", "N·mm/rad"},
    {HW_INIT_SPEED, "speed", "mm/s"},
    {HW_INIT_TURN_SPEED, "turning speed", "deg/s"},
    {HW_INIT_FREQUENCY, "frequency", "Hz"},
    {HW_INIT_DENSITY, "density", "g/cm³"},
    {HW_INIT_VOLTAGE, "voltage", "V"},
    {HW_INIT_CURRENT, "current", "A"},
    {HW_INIT_RESISTANCE, "resistance", "ohm"},
    {HW_INIT_POWER, "power", "W"},
    {HW_INIT_ENERGY, "energy", "J"},
    {HW_INIT_CHARGE, "charge", "mAh"},
    {HW_INIT_TEMPERATURE, "temperature", "K"},
    {HW_INIT_WARMING, "thermal resistance", "K/W"},
};
enum { USUALS = sizeof usual / sizeof usual[0] };

const char *hw_dim_name(hw_dim d)
{
    for (size_t i = 0; i < USUALS; i++)
        if (hw_dim_same(usual[i].dim, d)) return usual[i].name;
    return "another quantity";
}

const char *hw_unit_of(hw_dim d, double *scale)
{
    *scale = 1;
    for (size_t i = 0; i < USUALS; i++) {
        if (!hw_dim_same(usual[i].dim, d)) continue;
        hw_unit u;
        size_t used;
        if (hw_unit_read(hw_text_of(usual[i].unit), &u, &used) == HW_OK) *scale = u.scale;
        return usual[i].unit;
    }
    return "SI";
}

const char *hw_unit_absolute(hw_dim d, hw_unit *out)
{
    *out = (hw_unit){.dim = d, .scale = 1};
    if (!hw_dim_same(d, HW_DIM_TEMPERATURE)) return hw_unit_of(d, &out->scale);
    out->offset = 273.15;
    return "°C";
}

size_t hw_dim_write(hw_dim d, char out[HW_DIM_TEXT])
{
    static const char *const symbol_of[] = {"m", "kg", "s", "A", "K", "rad"};
    const int power[] = {d.m, d.kg, d.s, d.A, d.K, d.rad};
    size_t n = 0;
    for (size_t i = 0; i < 6; i++) {
        if (power[i] == 0) continue;
        if (n) out[n++] = '*';
        for (const char *c = symbol_of[i]; *c; c++) out[n++] = *c;
        if (power[i] == 1) continue;
        out[n++] = '^';
        n += hw_number_write(power[i], out + n);
    }
    out[n] = '\0';
    return n;
}

double hw_to_si(double number, const hw_unit *u)
{
    return u->inverse ? u->scale / number : number * u->scale + u->offset;
}

double hw_from_si(double si, const hw_unit *u)
{
    return u->inverse ? u->scale / si : (si - u->offset) / u->scale;
}
