// handwright reckon: the list, one formula, what is refused.
#include "drive.h"

#include "reckon/reckon.h"
#include "schema.h"

static void without_arguments_it_lists_all(void)
{
    drive d = drive_run("reckon"), js = drive_run("reckon --json");
    CHECK(d.status == HW_EXIT_HOLDS && js.status == HW_EXIT_HOLDS);
    json_t *j = schema_check(js.out, "reckon-list");
    size_t n;
    const hw_reckon_row *row = hw_reckon_rows(&n);
    CHECK(json_array_size(json_object_get(j, "formulas")) == n);
    for (size_t i = 0; i < n; i++)
        CHECK(drive_has(d.out, row[i].name) && drive_has(d.out, row[i].source));
    json_decref(j);
    drive_free(&d);
    drive_free(&js);
}

// The examples of the table are promises: each must work as it stands.
static void every_example_works(void)
{
    size_t n;
    const hw_reckon_row *row = hw_reckon_rows(&n);
    for (size_t i = 0; i < n; i++) {
        char line[400];
        snprintf(line, sizeof line, "reckon %s %s --json", row[i].name, row[i].example);
        drive d = drive_run(line);
        if (!CHECK(d.status == HW_EXIT_HOLDS)) printf("    %s\n    %s\n", line, d.err);
        json_t *j = schema_check(d.out, "reckon");
        SAME_TEXT(json_string_value(json_object_get(j, "name")), row[i].name);
        SAME_TEXT(json_string_value(json_object_get(j, "source")), row[i].source);
        CHECK(json_object_size(json_object_get(j, "results")) > 0);
        json_decref(j);
        drive_free(&d);
    }
}

static void a_number_comes_in_its_unit(void)
{
    drive d = drive_run("reckon capstan mu=0.08 wrap=180deg tension=20N --json");
    json_t *j = schema_check(d.out, "reckon");
    const json_t *out = json_object_get(json_object_get(j, "results"), "tension_out");
    SAME_TEXT(json_string_value(json_object_get(out, "unit")), "N");
    // 20 N * exp(0.08 pi): Euler's capstan equation; half a unit of the last digit written here
    NEAR(json_number_value(json_object_get(out, "value")), 25.7146, 5e-5);
    json_decref(j);
    drive_free(&d);
    DRIVE("reckon capstan mu=0.08 wrap=180deg tension=20N", HW_EXIT_HOLDS, "25.71 N\n", NULL);
}

static void wrong_values_are_refused(void)
{
    DRIVE("reckon capstain mu=1", HW_EXIT_INPUT, NULL,
          "handwright reckon: no formula \"capstain\", perhaps \"capstan\"; "
          "handwright reckon lists them\n");
    DRIVE("reckon capstan", HW_EXIT_INPUT, NULL, "for example: handwright reckon capstan mu=");
    DRIVE("reckon capstan mu=0.08", HW_EXIT_INPUT, NULL, "wrap");
    DRIVE("reckon capstan mu=0.08 wrap=3mm tension=20N", HW_EXIT_INPUT, NULL, "wrap");
    DRIVE("reckon capstan mu=0.08 wrap=180 tension=20N", HW_EXIT_INPUT, NULL, "wrap");
    DRIVE("reckon capstan mu=nan wrap=180deg tension=20N", HW_EXIT_INPUT, NULL, "mu");
    DRIVE("reckon capstan mu=0.08 mu=0.1 wrap=180deg tension=20N", HW_EXIT_INPUT, NULL, "mu");
    DRIVE("reckon capstan mu=0.08 wrap=180deg tension=20N load=3N", HW_EXIT_INPUT, NULL, "load");
    DRIVE("reckon capstan 0.08", HW_EXIT_INPUT, NULL, "found \"0.08\", expected KEY=VALUE");
    DRIVE("reckon capstan =0.08", HW_EXIT_INPUT, NULL, "expected KEY=VALUE");
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(without_arguments_it_lists_all);
    RUN(every_example_works);
    RUN(a_number_comes_in_its_unit);
    RUN(wrong_values_are_refused);
    return TEST_END();
}
