// Values of formulas are tested in their rooms and in test/published; here: reading of arguments,
// names of results, and that each formula is wired to its keys in the right order.
#include "base/text.h"
#include "check.h"
#include "reckon/reckon.h"

enum { MOST = 16 };

typedef struct answer {
    hw_code code;
    hw_reckon_result out[HW_RECKON_RESULTS];
    size_t n;
    hw_diag diag[MOST];
    hw_diags diags;
} answer;

// Runs "name key=value|key=value"; '|' stands between the words, so that values may hold spaces.
static answer ask_with(hw_arena *arena, const char *name, const char *words, size_t room)
{
    static answer a;
    a = (answer){.n = 99};
    a.diags = (hw_diags){a.diag, 0, MOST, 0};
    hw_reckon_arg arg[MOST];
    size_t args = 0;
    for (const char *at = words; *at;) {
        size_t len = strcspn(at, "|");
        CHECK(args < MOST && hw_reckon_split((hw_text){at, len}, &arg[args++]));
        at += len + (at[len] == '|');
    }
    const hw_reckon_row *row = hw_reckon_find(hw_text_of(name));
    CHECK(row != NULL);
    if (row) a.code = hw_reckon_eval(row, arg, args, arena, a.out, room, &a.n, &a.diags);
    return a;
}

static answer ask(const char *name, const char *words)
{
    hw_arena *arena = hw_arena_new(0);
    answer a = ask_with(arena, name, words, HW_RECKON_RESULTS);
    // messages hold their own text; results' texts are constants
    hw_arena_free(arena);
    return a;
}

static double value(const answer *a, const char *name)
{
    for (size_t i = 0; i < a->n && i < HW_RECKON_RESULTS; i++)
        if (strcmp(a->out[i].name, name) == 0) return hw_reckon_shown(&a->out[i]);
    printf("    no result \"%s\"\n", name);
    return (double)NAN;
}

static const char *text(const answer *a, const char *name)
{
    for (size_t i = 0; i < a->n && i < HW_RECKON_RESULTS; i++)
        if (strcmp(a->out[i].name, name) == 0) return a->out[i].text;
    return NULL;
}

static void every_row_is_complete_and_its_example_runs(void)
{
    size_t rows;
    const hw_reckon_row *row = hw_reckon_rows(&rows);
    CHECK(rows >= 20);
    for (size_t i = 0; i < rows; i++) {
        CHECK(row[i].ins >= 1 && row[i].ins <= HW_RECKON_KEYS);
        CHECK(strlen(row[i].sentence) > 20 && strlen(row[i].source) > 5);
        CHECK(hw_reckon_find(hw_text_of(row[i].name)) == &row[i]);
        for (size_t k = 0; k < row[i].ins; k++) {
            const hw_reckon_key *key = &row[i].in[k];
            CHECK(key->sentence && strlen(key->sentence) > 0);
            CHECK((key->kind == HW_RECKON_CHOICE) == (key->choices != NULL));
            for (size_t j = 0; j < k; j++) CHECK(strcmp(row[i].in[j].name, key->name) != 0);
        }
        char words[400];
        size_t n = 0;
        for (const char *c = row[i].example; *c && n < sizeof words - 1; c++)
            words[n++] = *c == ' ' ? '|' : *c;
        words[n] = '\0';
        answer a = ask(row[i].name, words);
        if (!CHECK(a.code == HW_OK && a.n >= 1 && a.diags.count == 0))
            printf("    %s\n", row[i].name);
        for (size_t k = 0; k < a.n; k++) {
            hw_unit u;
            size_t used;
            const char *unit = a.out[k].unit;
            CHECK(a.out[k].text ? isnan(a.out[k].value) : isfinite(a.out[k].value));
            if (unit[0]) {
                CHECK(hw_unit_read(hw_text_of(unit), &u, &used) == HW_OK && unit[used] == '\0');
                CHECK(hw_dim_same(u.dim, a.out[k].dim));
            }
        }
    }
}

// Results printed to three figures and more in textbooks; 5e-4 deg is their last place.
static void four_bar(void)
{
    answer a = ask("four-bar", "ground=100mm|input=40mm|coupler=120mm|output=80mm|angle=40deg");
    NEAR(value(&a, "open.output_angle"), 57.325, 5e-4);
    NEAR(value(&a, "open.coupler_angle"), 20.298, 5e-4);
    NEAR(value(&a, "open.transmission_angle"), 37.027, 5e-4);
    NEAR(value(&a, "crossed.output_angle"), -98.005, 5e-4);
    NEAR(value(&a, "crossed.coupler_angle"), -60.978, 5e-4);
    NEAR(value(&a, "crossed.transmission_angle"), 37.027, 5e-4);
    SAME_TEXT(text(&a, "class"), "crank-rocker");
    answer bare = ask("four-bar", "ground=6|input=2|coupler=7|output=9|angle=30deg");
    NEAR(value(&bare, "open.output_angle"), 117.286, 5e-4);
    CHECK(ask("four-bar", "ground=6|input=2mm|coupler=7|output=9|angle=30deg").code ==
          HW_BAD_INPUT);
    CHECK(ask("four-bar", "ground=6|input=0|coupler=7|output=9|angle=30deg").code == HW_BAD_INPUT);
    answer open = ask("four-bar", "ground=10|input=1|coupler=2|output=3|angle=0deg");
    CHECK(open.code == HW_NO_ASSEMBLY && open.diags.count == 1);
    CHECK(text(&open, "class") != NULL);
}

static void the_formulas_of_the_command_line(void)
{
    answer a = ask("capstan", "mu=0.08|wrap=180deg|tension=20N");
    CLOSE(value(&a, "tension_out"), 20 * exp(0.08 * HW_PI), 1e-12);
    a = ask("cone-spread", "load=10 N|half_angle=45 deg|mu=0.2");
    CLOSE(value(&a, "axial"), 10 * tan(HW_PI / 4 - atan(0.2)), 1e-12);
    CLOSE(value(&a, "axial_area"), 40 / HW_PI * tan(HW_PI / 4 - atan(0.2)), 1e-12);
    a = ask("wire", "gauge=22");
    NEAR(value(&a, "diameter"), 0.6438, 5e-5);
    NEAR(value(&a, "ohm_per_km"), 52.96, 5e-3);
    a = ask("wire", "gauge=0000");
    NEAR(value(&a, "diameter"), 11.684, 5e-4);
    a = ask("wire", "gauge=0");
    NEAR(value(&a, "diameter"), 8.251, 5e-4); // 0.3249 in
    CHECK(ask("wire", "gauge=00000").code == HW_BAD_INPUT);
    a = ask("track", "current=3A|rise=10K|copper=1oz|layer=internal");
    NEAR(value(&a, "width"), 3.556, 5e-4);
    a = ask("track", "current=3A|rise=10°C|copper=35um"); // 35.0 for 35.0012 um: 0.004 %
    NEAR(value(&a, "width"), 1.367, 5e-4);
    a = ask("servo-line", "stall_torque=1.6kgf·cm|no_load_speed=0.12 s/60deg|torque=0.8kgf*cm");
    CLOSE(value(&a, "speed"), 250.0, 1e-12);
    CHECK(text(&a, "current") == NULL && a.n == 3);
    a = ask("cantilever", "length=20mm|width=6mm|thickness=3mm|modulus=3GPa|load=10N");
    CLOSE(value(&a, "deflection"), 160.0 / 243, 1e-12);
    CLOSE(value(&a, "stress"), 200.0 / 9, 1e-12);
    a = ask("column", "length=60mm|width=6mm|thickness=2mm|modulus=2500MPa");
    CLOSE(value(&a, "buckling_load"), HW_PI * HW_PI * 2500 * (6.0 * 8 / 12) / 3600, 1e-12);
    CLOSE(value(&a, "strong_axis_load"), HW_PI * HW_PI * 2500 * (2.0 * 216 / 12) / 3600, 1e-12);
}

static void spiral_from_points(void)
{
    char words[2000] = "points=";
    size_t n = strlen(words);
    for (int i = 0; i < 20; i++) {
        double t = 0.08 * i, r = 80 * exp(-t / tan(75 * HW_PI / 180));
        n += (size_t)snprintf(words + n, sizeof words - n, "%.6f,%.6f;", 10 + r * cos(t),
                              5 - r * sin(t));
    }
    answer a = ask("spiral", words);
    NEAR(value(&a, "angle"), 75.0, 1e-3); // points are rounded to 1e-6 of 80 mm
    NEAR(value(&a, "residual"), 0.0, 1e-6);
    NEAR(value(&a, "pole_x"), 10.0, 1e-3);
    NEAR(value(&a, "pole_z"), 5.0, 1e-3);
    a = ask("spiral", "points=[[0, 0], [1, 1], [2, 4], [3, 9], [4, 16]]");
    CHECK(a.code == HW_OK);
    answer units = ask("spiral", "points=0mm,0:10mm,0.01m:2cm,40mm:30mm,9cm:40mm,160mm");
    CHECK(units.code == HW_OK);
    CLOSE(value(&units, "residual"), 10 * value(&a, "residual"), 1e-6);
    CHECK(ask("spiral", "points=0,0;1N,1;2,4;3,9;4,16").code == HW_BAD_INPUT);
    CHECK(ask("spiral", "points=0,0;1,1;2,4").code == HW_BAD_INPUT);
    CHECK(ask("spiral", "points=0,0;1").code == HW_BAD_INPUT);
    CHECK(ask("spiral", "points=0,0;a,1").code == HW_BAD_INPUT);
    CHECK(ask("spiral", "points=0,0;1e999,1;1,1;1,2;2,2").code == HW_BAD_INPUT);
    CHECK(ask("spiral", "points=").code == HW_BAD_INPUT);
    static char many[5000 * 4 + 20] = "points=";
    for (size_t i = 0; i < 5000; i++) memcpy(many + 7 + 4 * i, "1,2;", 4);
    CHECK(ask("spiral", many).code == HW_LIMIT);
}

static void all_faults_in_one_pass(void)
{
    answer a = ask("capstan", "mu=-1|wrapp=180deg|tension=20|mu=0.1");
    CHECK(a.code == HW_BAD_INPUT && a.n == 0);
    CHECK(a.diags.count == 5);
    SAME_TEXT(a.diag[0].text, "mu: out of range");
    SAME_TEXT(a.diag[0].expected, "at least 0");
    SAME_TEXT(a.diag[1].text, "the formula has no such key");
    SAME_TEXT(a.diag[1].expected, "wrap");
    SAME_TEXT(a.diag[2].text, "tension: a number without its unit");
    SAME_TEXT(a.diag[2].found, "20");
    SAME_TEXT(a.diag[2].expected, "force, such as 5 N");
    SAME_TEXT(a.diag[3].text, "mu: given twice");
    SAME_TEXT(a.diag[4].text, "wrap: is missing");
}

static void one_fault_each(void)
{
    static const struct {
        const char *name, *words, *message;
    } row[] = {
        {"capstan", "mu=0.1|wrap=20N|tension=20N", "wrap: another quantity than the formula takes"},
        {"capstan", "mu=0.1|wrap=20xx|tension=20N", "wrap: not a unit that is known"},
        {"capstan", "mu=0.1|wrap=20deg x|tension=20N", "wrap: not a unit that is known"},
        {"capstan", "mu=abc|wrap=20deg|tension=20N", "mu: not a number"},
        {"capstan", "mu=|wrap=20deg|tension=20N", "mu: not a number"},
        {"capstan", "mu=nan|wrap=20deg|tension=20N", "mu: not a number"},
        {"capstan", "mu=1e400|wrap=20deg|tension=20N", "mu: too large a number"},
        {"capstan", "mu=0.1mm|wrap=20deg|tension=20N",
         "mu: another quantity than the formula takes"},
        {"servo-line", "stall_torque=1J|no_load_speed=60rpm|torque=0",
         "stall_torque: another quantity than the formula takes"},
        {"servo-line", "stall_torque=1N·m|no_load_speed=1Hz|torque=0",
         "no_load_speed: another quantity than the formula takes"},
        {"wire", "gauge=41", "gauge: out of range"},
        {"wire", "gauge=22|temperature=900°C", "temperature: out of range"},
        {"track", "current=1A|layer=outer", "layer: not one of the words that it may be"},
        {"column", "length=0|width=1mm|thickness=1mm|modulus=1GPa", "length: out of range"},
        {"cone-spread", "load=1N|half_angle=90deg", "half_angle: out of range"},
        {"linear-regulator", "in=5V|out=6V|current=1A", "no answer exists for these values"},
        {"journal", "load=1N|load_arm=1mm|effort_arm=9mm|radius=5mm|mu=0.5",
         "no answer exists for these values"},
        {"clip-span", "outer=2mm|inner=3mm|modulus=1GPa|tension=1N",
         "no answer exists for these values"},
    };
    for (size_t i = 0; i < sizeof row / sizeof row[0]; i++) {
        answer a = ask(row[i].name, row[i].words);
        CHECK(a.code == HW_BAD_INPUT && a.diags.count == 1);
        SAME_TEXT(a.diag[0].text, row[i].message);
    }
}

static void zero_needs_no_unit_and_spaces_do_not_matter(void)
{
    answer a = ask("capstan", "mu= 0.1 |wrap=0|tension= 20   N ");
    CHECK(a.code == HW_OK);
    CLOSE(value(&a, "tension_out"), 20.0, 1e-15);
    a = ask("switching-regulator", "in=12V|out=5V|current=2A|efficiency=90%");
    CLOSE(value(&a, "loss"), 10.0 / 9, 1e-12);
    CLOSE(value(&a, "efficiency"), 90.0, 1e-12);
}

static void what_has_no_bound_says_so(void)
{
    answer a = ask("incline", "load=1N|angle=80deg|mu=0.3");
    CHECK(a.code == HW_OK);
    SAME_TEXT(text(&a, "raise"), "unlimited");
    SAME_TEXT(text(&a, "stays"), "no");
}

// ---- every formula in another system of units

// A size per SI base unit: metre, kilogram, second, ampere, kelvin, radian (which stays).
static double other_unit(hw_dim d)
{
    return pow(3, d.m) * pow(7, d.kg) * pow(0.5, d.s) * pow(11, d.A) * pow(1.25, d.K);
}

// Text of a key in the row's example, or its default; NULL where it has neither.
static const char *given_text(const hw_reckon_row *row, const hw_reckon_key *key, char *room)
{
    size_t len = strlen(key->name);
    for (const char *at = row->example; *at;) {
        size_t word = strcspn(at, " ");
        if (strncmp(at, key->name, len) == 0 && at[len] == '=') {
            memcpy(room, at + len + 1, word - len - 1);
            room[word - len - 1] = '\0';
            return room;
        }
        at += word + (at[word] == ' ');
    }
    return key->fallback;
}

// The same quantity multiplied by its size in the other system, as text in SI base units.
static void in_other_units(const hw_reckon_key *key, const char *given, char *out, size_t room)
{
    double number = 0;
    size_t used = hw_number_read(hw_text_of(given), &number);
    const char *unit_text = given + used + strspn(given + used, " ");
    hw_unit u;
    size_t unit_used;
    if (hw_unit_read(hw_text_of(unit_text), &u, &unit_used) == HW_OK) number = hw_to_si(number, &u);
    char digits[HW_NUMBER_TEXT], base[HW_DIM_TEXT];
    (void)hw_number_write(number * other_unit(key->dim), digits);
    (void)hw_dim_write(key->dim, base);
    (void)snprintf(out, room, "%s%s", digits, base);
}

// Any formula of physics keeps its meaning when the units of mass, length, time, current and
// temperature change: results must change by their own dimension. A wrong dimension of a key or
// result, or a constant with a hidden unit, fails here. Wires and tracks have such constants.
static void formulas_hold_in_any_system_of_units(void)
{
    size_t rows, checked = 0;
    const hw_reckon_row *row = hw_reckon_rows(&rows);
    hw_arena *arena = hw_arena_new(0);
    for (size_t i = 0; i < rows; i++) {
        if (strcmp(row[i].name, "wire") == 0 || strcmp(row[i].name, "track") == 0) continue;
        char texts[2][HW_RECKON_KEYS][200], room[200];
        hw_reckon_arg arg[2][HW_RECKON_KEYS];
        for (size_t k = 0; k < row[i].ins; k++) {
            const hw_reckon_key *key = &row[i].in[k];
            const char *given = given_text(&row[i], key, room);
            if (!CHECK(given != NULL)) continue;
            (void)snprintf(texts[0][k], 200, "%s", given);
            (void)snprintf(texts[1][k], 200, "%s", given);
            bool number = key->kind == HW_RECKON_NUMBER || key->kind == HW_RECKON_RATIO;
            if (number) in_other_units(key, given, texts[1][k], 200);
            for (int s = 0; s < 2; s++)
                arg[s][k] = (hw_reckon_arg){hw_text_of(key->name), hw_text_of(texts[s][k])};
        }
        hw_reckon_result out[2][HW_RECKON_RESULTS];
        size_t n[2];
        for (int s = 0; s < 2; s++)
            CHECK(hw_reckon_eval(&row[i], arg[s], row[i].ins, arena, out[s], HW_RECKON_RESULTS,
                                 &n[s], NULL) == HW_OK);
        CHECK(n[0] == n[1]);
        for (size_t k = 0; k < n[0]; k++) {
            CHECK((out[0][k].text == NULL) == (out[1][k].text == NULL));
            bool points = row[i].in[0].kind == HW_RECKON_POINTS; // given in mm either way
            double factor = points ? 1 : other_unit(out[0][k].dim);
            if (out[0][k].text) continue;
            checked++;
            // 1e-11: a dozen roundings, and angles near a right angle
            if (!NEAR(out[1][k].value, out[0][k].value * factor, 1e-11 * fabs(out[1][k].value)))
                printf("    %s %s\n", row[i].name, out[0][k].name);
        }
    }
    CHECK(checked > 50);
    hw_arena_free(arena);
}

static void words_and_names(void)
{
    hw_reckon_arg arg;
    CHECK(!hw_reckon_split(HW_TEXT("nothing"), &arg));
    CHECK(!hw_reckon_split(HW_TEXT("=3"), &arg));
    CHECK(!hw_reckon_split((hw_text){NULL, 0}, &arg));
    CHECK(hw_reckon_split(HW_TEXT("a=b=c"), &arg) && arg.key.len == 1 && arg.value.len == 3);
    CHECK(hw_reckon_find(HW_TEXT("capstann")) == NULL);
    SAME_TEXT(hw_reckon_nearest(HW_TEXT("capstann")), "capstan");
    SAME_TEXT(hw_reckon_nearest(HW_TEXT("fourbar")), "four-bar");
    CHECK(hw_reckon_nearest(HW_TEXT("zzzzzzzzzz")) == NULL);
}

static void little_room_and_no_memory(void)
{
    hw_arena *arena = hw_arena_new(0);
    const char *words = "mu=0.1|wrap=1rad|tension=20N";
    answer a = ask_with(arena, "capstan", words, 1);
    CHECK(a.code == HW_LIMIT && a.n == 1);
    a = ask_with(arena, "capstan", words, 0);
    CHECK(a.code == HW_LIMIT && a.n == 0);
    const char *points = "points=0,0;1,1;2,4;3,9;4,16";
    bool ended = false;
    for (size_t n = 0; n < 20 && !ended; n++) {
        size_t mark = hw_arena_mark(arena);
        hw_arena_fail_after(arena, n);
        a = ask_with(arena, "spiral", points, HW_RECKON_RESULTS);
        ended = a.code == HW_OK;
        CHECK(ended || (a.code == HW_NO_MEMORY && a.n == 0));
        hw_arena_fail_after(arena, SIZE_MAX);
        hw_arena_rewind(arena, mark);
    }
    CHECK(ended);
    hw_arena_free(arena);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(every_row_is_complete_and_its_example_runs);
    RUN(four_bar);
    RUN(the_formulas_of_the_command_line);
    RUN(spiral_from_points);
    RUN(all_faults_in_one_pass);
    RUN(one_fault_each);
    RUN(zero_needs_no_unit_and_spaces_do_not_matter);
    RUN(what_has_no_bound_says_so);
    RUN(formulas_hold_in_any_system_of_units);
    RUN(words_and_names);
    RUN(little_room_and_no_memory);
    return TEST_END();
}
