// What the examples require of their printed parts holds.
//   test_make_prints        the index of Heron and of Wren
//   test_make_prints all    every digit in every variant
#include "example.h"
#include "make/make.h"

static const hw_design *design_of(hw_arena *a, const char *name, const char *variant)
{
    hw_diags diags = {0};
    hw_read_def def = {
        .file = name, .variant = hw_text_of(variant), .requirable = &hw_assess_requirable};
    hw_design *design = NULL;
    CHECK(hw_design_read(a, example_bytes(a, name), &def, &design, &diags) == HW_OK);
    return design;
}

// What a document requires of its digits holds, but for one finding that is known to fall short, if
// any. Returns how many a digit.
static size_t holds(const char *name, const char *variant, int digit, const char *shortfall)
{
    hw_arena *a = hw_arena_new(1 << 20);
    const hw_design *d = design_of(a, name, variant);
    hw_make_def def = {.digit = digit, .quality = HW_MAKE_COARSE};
    hw_made m = {0};
    size_t digits = 0, required = 0, of_hand = 0;
    if (d && CHECK(hw_make(a, d, &def, NULL, &m) == HW_OK)) {
        for (size_t i = 0; i < m.groups; i++) digits += m.group[i].digit >= 0;
        for (size_t i = 0; i < m.findings; i++) {
            const hw_finding *f = &m.finding[i];
            if (!f->required) continue;
            required++;
            of_hand += f->digit < 0;
            hw_verdict want =
                shortfall && strcmp(f->id, shortfall) == 0 ? HW_FALLS_SHORT : HW_HOLDS;
            if (!CHECK(f->verdict == want))
                printf("    %s '%s': %s %g, %s\n", name, variant, f->id, f->value,
                       f->note ? f->note : "");
        }
        CHECK(m.required == required && m.required_held == required - (shortfall != NULL));
        CHECK(hw_make_all_hold(&m) == (shortfall == NULL));
    }
    hw_arena_free(a);
    return digits ? (required - of_hand) / digits : 0;
}

static void an_index(void)
{
    CHECK(holds("heron", "", 1, NULL) == 12);
    CHECK(holds("wren", "", 1, NULL) == 11); // no bars
}

static void whole_hands(void)
{
    static const char *const of[][3] = {{"heron", "", NULL},
                                        {"heron", "small", NULL},
                                        {"heron", "plain printer", NULL},
                                        {"heron", "fine printer", NULL},
                                        {"wren", "", NULL},
                                        {"wren", "tiny", NULL},
                                        {"wren", "weak cord", NULL}};
    for (size_t i = 0; i < sizeof of / sizeof *of; i++)
        CHECK(holds(of[i][0], of[i][1], -1, of[i][2]) >= 11);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    if (argc > 1 && strcmp(argv[1], "all") == 0)
        RUN(whole_hands);
    else
        RUN(an_index);
    return TEST_END();
}
