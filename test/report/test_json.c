// JSON against docs/schema and against the values it was made from.
#include "fixture.h"

#include "cli/schema.h"
#include "draw/digits.h"
#include "report/json.h"

static hw_arena *arena;

static json_t *checked(const char *schema, const hw_buffer *b)
{
    const char *text = b->at ? b->at : "";
    CHECK(!strstr(text, "nan") && !strstr(text, "inf"));
    return schema_check(text, schema);
}

static double number(const json_t *v, const char *key)
{
    const json_t *n = json_object_get(v, key);
    return json_is_number(n) ? json_number_value(n) : (double)NAN;
}

static const char *string(const json_t *v, const char *key)
{
    return json_string_value(json_object_get(v, key));
}

static void an_assessment(void)
{
    fixture f;
    fixture_fill(&f, arena, FIXTURE_DOCUMENT);
    f.report.variant = "small \\ \"x\"\n";
    hw_buffer b = {.arena = arena};
    CHECK(hw_report_json(&f.report, &b) == HW_OK);
    json_t *v = checked("assess", &b);
    SAME_TEXT(string(v, "design"), "Test \"hand\" caf\xc3\xa9 <1>");
    SAME_TEXT(string(v, "variant"), "small \\ \"x\"\n");
    SAME_TEXT(string(v, "verdict"), "falls short");
    CHECK(number(v, "held") == 3 && number(v, "required_held") == 2);
    json_t *all = json_object_get(v, "findings"), *one = json_array_get(all, 0);
    CHECK(json_array_size(all) == f.assessment.findings);
    SAME_TEXT(string(one, "id"), "digits.index/pip_pin_worst");
    SAME_TEXT(string(one, "verdict"), "falls short");
    SAME_TEXT(string(one, "origin"), "hands/test.yaml:41");
    // written by shortest round trip: the same doubles
    CHECK(number(one, "value") == 17.25 && number(one, "high") == 15);
    CHECK(number(one, "margin") == -2.25 && json_is_null(json_object_get(one, "low")));
    json_t *lever = json_array_get(json_object_get(one, "levers"), 0);
    SAME_TEXT(string(lever, "entry"), "digits.index.mechanism.bar_a.horn");
    SAME_TEXT(string(lever, "unit"), "mm");
    NEAR(number(lever, "step"), 0.5, 1e-15); // one division by 1e-3
    NEAR(number(lever, "suggested"), 7, 1e-14);
    one = json_array_get(all, 4); // metres are shown in millimetres
    NEAR(number(one, "value"), 16.1, 1e-13);
    SAME_TEXT(string(one, "unit"), "mm");
    lever = json_array_get(json_object_get(one, "levers"), 0);
    CHECK(json_is_null(json_object_get(lever, "suggested")));
    CHECK(json_is_null(json_object_get(lever, "steps_to_hold")));
    one = json_array_get(all, 6);
    CHECK(json_is_null(json_object_get(one, "value")) &&
          json_is_null(json_object_get(one, "margin")));
    SAME_TEXT(string(one, "note"), "the rig is not computed yet");
    json_decref(v);
}

static json_t *stroke_of(const hw_digit *d, size_t n, const char *name)
{
    hw_stroke s;
    CHECK(hw_stroke_new(arena, n, &s) == HW_OK);
    hw_code code = hw_stroke_run(d, &s);
    CHECK(code == HW_OK || code == HW_NO_ASSEMBLY);
    hw_buffer b = {.arena = arena};
    CHECK(hw_report_stroke_json("Heron", name, d, &s, &b) == HW_OK);
    return checked("stroke", &b);
}

static void a_stroke_of_bars(void)
{
    hw_digit d = heron_index();
    json_t *v = stroke_of(&d, 33, "index");
    static const char *const rows[] = {"s",         "mcp_deg",   "pip_deg",   "dip_deg",
                                       "tip_mm",    "bar_a_n",   "bar_b_n",   "mcp_pin_n",
                                       "pip_pin_n", "dip_pin_n", "torque_nmm"};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
        CHECK(json_array_size(json_object_get(v, rows[i])) == 33);
    json_t *tip = json_array_get(json_object_get(v, "tip_mm"), 0);
    // the straight digit's length, 45.6 + 26.6 + 18.0
    NEAR(json_number_value(json_array_get(tip, 0)), 90.2, 1e-10);
    NEAR(json_number_value(json_array_get(tip, 1)), 0, 1e-10);
    NEAR(json_number_value(json_array_get(json_object_get(v, "mcp_deg"), 32)), 85, 1e-12);
    CHECK(json_number_value(json_array_get(json_object_get(v, "bar_a_n"), 16)) > 0);
    CHECK(json_number_value(json_array_get(json_object_get(v, "bar_b_n"), 16)) < 0);
    CHECK(!json_object_get(v, "cmc_deg"));
    json_decref(v);
}

static void a_stroke_that_does_not_assemble(void)
{
    hw_digit d = heron_index();
    d.travel[1] = 175 * HW_PI / 180;
    json_t *v = stroke_of(&d, 33, "index");
    json_t *pip = json_object_get(v, "pip_deg"), *tip = json_object_get(v, "tip_mm");
    CHECK(json_is_number(json_array_get(pip, 0)) && json_is_null(json_array_get(pip, 32)));
    CHECK(json_is_array(json_array_get(tip, 0)) && json_is_null(json_array_get(tip, 32)));
    json_decref(v);
}

static void a_stroke_of_a_direct_thumb(void)
{
    hw_digit d = heron_index();
    d.family = HW_FAMILY_DIRECT;
    d.thumb = true;
    for (int i = 0; i < HW_JOINTS; i++) {
        d.joint_travel[i][0] = 0;
        d.joint_travel[i][1] = 1;
    }
    json_t *v = stroke_of(&d, 9, "thumb");
    CHECK(json_is_null(json_object_get(v, "bar_a_n")) &&
          json_is_null(json_object_get(v, "pip_deg")));
    CHECK(json_is_null(json_object_get(v, "dip_deg")));
    CHECK(json_array_size(json_object_get(v, "cmc_deg")) == 9);
    CHECK(json_array_size(json_object_get(v, "mcp_deg")) == 9);
    CHECK(json_array_size(json_object_get(v, "ip_deg")) == 9);
    SAME_TEXT(string(v, "family"), "direct");
    json_decref(v);
}

static void a_formula(void)
{
    static const hw_report_result result[] = {{"tension_out", 25.7, "N", NULL},
                                              {"class", (double)NAN, "", "crank-rocker"},
                                              {"residual", (double)NAN, "mm", NULL}};
    hw_buffer b = {.arena = arena};
    CHECK(hw_report_reckon_json("capstan", "Euler 1769", result, 3, &b) == HW_OK);
    json_t *v = checked("reckon", &b), *all = json_object_get(v, "results");
    CHECK(number(json_object_get(all, "tension_out"), "value") == 25.7);
    SAME_TEXT(string(json_object_get(all, "class"), "value"), "crank-rocker");
    CHECK(json_is_null(json_object_get(json_object_get(all, "residual"), "value")));
    json_decref(v);
}

static void strings_of_any_bytes(void)
{
    hw_buffer b = {.arena = arena};
    hw_json j = {.to = &b};
    hw_json_open(&j, NULL, '[');
    hw_json_text(&j, NULL, "a\"\\\n\t\x01\x7f \xe2\x88\x92 \xff\xc0\xaf");
    hw_json_text(&j, NULL, NULL);
    hw_json_number(&j, NULL, -INFINITY);
    hw_json_number(&j, NULL, 1e300);
    hw_json_close(&j, ']');
    json_error_t error;
    json_t *v = json_loads(b.at, 0, &error);
    CHECK(v != NULL);
    SAME_TEXT(json_string_value(json_array_get(v, 0)),
              "a\"\\\n\t\x01\x7f \xe2\x88\x92 \xef\xbf\xbd\xef\xbf\xbd\xef\xbf\xbd");
    CHECK(json_is_null(json_array_get(v, 1)) && json_is_null(json_array_get(v, 2)));
    CHECK(json_number_value(json_array_get(v, 3)) == 1e300);
    json_decref(v);
}

// The schema itself refuses what must not be.
static void the_schema_bites(void)
{
    static const struct {
        const char *text;
        bool fits;
    } row[] = {{"{\"schema\": 1}", false},
               {"{\"schema\": 1, \"name\": 1, \"source\": \"s\", \"results\": {}}", false},
               {"{\"schema\": 1, \"name\": \"n\", \"source\": \"s\", "
                "\"results\": {\"a\": {\"value\": 1}}}",
                false},
               {"{\"schema\": 1, \"name\": \"n\", \"source\": \"s\", "
                "\"results\": {\"a\": {\"value\": 1, \"unit\": \"mm\"}}}",
                true}};
    json_t *schema = json_load_file(HW_SOURCE_DIR "/docs/schema/reckon.json", 0, NULL);
    CHECK(schema != NULL);
    for (size_t i = 0; schema && i < sizeof row / sizeof *row; i++) {
        json_t *v = json_loads(row[i].text, 0, NULL);
        CHECK(v && schema_fits(schema, v, "reckon") == row[i].fits);
        json_decref(v);
    }
    json_decref(schema);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    arena = hw_arena_new(0);
    RUN(an_assessment);
    RUN(a_stroke_of_bars);
    RUN(a_stroke_that_does_not_assemble);
    RUN(a_stroke_of_a_direct_thumb);
    RUN(a_formula);
    RUN(strings_of_any_bytes);
    RUN(the_schema_bites);
    hw_arena_free(arena);
    return TEST_END();
}
