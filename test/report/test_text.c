// The terminal sheet: order, alignment, what is merged, what each line carries.
#include "fixture.h"
#include "report/report_internal.h"

static hw_arena *arena;

static const char *sheet_of(const hw_report *r, int columns)
{
    hw_buffer b = {.arena = arena};
    CHECK(hw_report_text(r, columns, &b) == HW_OK);
    return b.at ? b.at : "";
}

static bool says(const char *sheet, const char *part)
{
    bool found = strstr(sheet, part) != NULL;
    if (!found) printf("    missing: %s\n", part);
    return found;
}

static void the_answer_comes_first(void)
{
    fixture f;
    fixture_fill(&f, arena, FIXTURE_DOCUMENT);
    const char *t = sheet_of(&f.report, 100);
    const char *answer = strstr(t, "Of 4 findings that the document requires 2 hold.");
    const char *fallen = strstr(t, "\nFalls short\n"), *open = strstr(t, "\nUnknown, counted");
    const char *holds = strstr(t, "\nHolds\n"), *sources = strstr(t, "\nComputed by\n");
    CHECK(answer && fallen && open && holds && sources);
    CHECK(answer < fallen && fallen < open && open < holds && holds < sources);
    CHECK(says(t, " All 9 findings: 3 hold, 3 fall short, 3 are\nunknown.\n"));
    CHECK(says(t, "Test \"hand\" caf\xc3\xa9 <1>   hands/test.yaml\n"));
}

static void lines_carry_value_limit_margin_source_lever(void)
{
    fixture f;
    fixture_fill(&f, arena, FIXTURE_DOCUMENT);
    const char *t = sheet_of(&f.report, 100);
    CHECK(says(t, "  PIP pin load per newton at the tip, worst pose, required [1]\n"));
    // index and middle read the same: one line
    CHECK(says(t, "    index, middle             17.2 N/N   at most 15      margin \xe2\x88\x92"
                  "2.2\n"));
    CHECK(says(t, "    limit: hands/test.yaml:41\n"));
    CHECK(says(t, "    lever: mechanism.bar_a.horn from 6 to 7 mm holds, but 1 other falls short "
                  "then; +0.5 mm gains\n      1.30 N/N\n"));
    CHECK(says(t, "      worst at 40 % of the travel\n"));
    CHECK(says(t, "lever: mechanism.bar_a.horn (now 6 mm) is not enough alone; +0.5 mm gains 0.2"));
    CHECK(says(t, "  [1] balances of every phalanx"));
}

static void what_holds_and_what_is_unknown(void)
{
    fixture f;
    fixture_fill(&f, arena, FIXTURE_DOCUMENT);
    const char *t = sheet_of(&f.report, 100);
    CHECK(says(t, "9.0 N/N  at most 15    +6.0\n")); // 8.96 and 9.04 read the same
    CHECK(says(t, "ring, little [1] *"));
    CHECK(says(t, "index, middle: the rig is not computed yet: force of the test rig\n"));
    CHECK(says(t, "weights are not computed yet: mass on the test rig\n"));
}

static void no_line_is_wider_than_the_terminal(void)
{
    fixture f;
    fixture_fill(&f, arena, FIXTURE_DOCUMENT);
    for (int columns = 80; columns <= 120; columns += 5) {
        const char *t = sheet_of(&f.report, columns);
        for (const char *line = t; *line;) {
            size_t n = strcspn(line, "\n");
            if (!CHECK(hw_utf8_count((hw_text){line, n}) <= (size_t)columns))
                printf("    %d columns: %.*s\n", columns, (int)n, line);
            CHECK(n == 0 || line[n - 1] != ' ');
            line += n + (line[n] == '\n');
        }
    }
}

static void numbers_are_never_machine_talk(void)
{
    fixture f;
    fixture_fill(&f, arena, FIXTURE_DOCUMENT);
    f.finding[0].value = INFINITY;
    hw_finding_judge(&f.finding[0]);
    f.finding[5].value = 1e-18; // rounding noise reads as zero
    hw_finding_judge(&f.finding[5]);
    const char *t = sheet_of(&f.report, 100);
    CHECK(says(t, "\xe2\x88\x9e N/N"));
    CHECK(!strstr(t, "nan") && !strstr(t, "inf ") && !strstr(t, "e-1"));
}

static void running_out_of_memory_is_told(void)
{
    fixture f;
    fixture_fill(&f, arena, FIXTURE_DOCUMENT);
    for (size_t n = 0; n < 200; n += 3) {
        hw_arena *small = hw_arena_new(0);
        hw_arena_fail_after(small, n);
        hw_buffer b = {.arena = small};
        hw_code code = hw_report_text(&f.report, 100, &b);
        CHECK(code == (hw_arena_failed(small) ? HW_NO_MEMORY : HW_OK));
        hw_arena_free(small);
    }
}

static void every_finding_finds_its_source_a_number(void)
{
    hw_sources sources = {0};
    size_t kinds, without = 0;
    const hw_finding_kind *kind = hw_finding_kinds(&kinds);
    for (size_t i = 0; i < kinds; i++) without += hw_source_number(&sources, kind[i].source) == 0;
    CHECK(kinds > 0 && without == 0);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    arena = hw_arena_new(0);
    RUN(the_answer_comes_first);
    RUN(lines_carry_value_limit_margin_source_lever);
    RUN(what_holds_and_what_is_unknown);
    RUN(no_line_is_wider_than_the_terminal);
    RUN(numbers_are_never_machine_talk);
    RUN(running_out_of_memory_is_told);
    RUN(every_finding_finds_its_source_a_number);
    hw_arena_free(arena);
    return TEST_END();
}
