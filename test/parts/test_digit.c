// Digits of the examples as parts.
#include "group.h"

// Every digit of a document in a variant: closed, oriented, sound as written.
static void sound_digits(const char *name, const char *variant)
{
    for (int digit = 0; digit < 5; digit++) {
        group g = group_new();
        hw_design *d = example(g.keep, name, variant);
        hw_hand hand;
        if (d) hw_hand_build(d, &hand);
        if (d && hand.present[digit] && group_make(&g, d, digit, 5e-6))
            for (size_t i = 0; i < g.set.parts; i++) {
                hw_mesh_report report;
                CHECK(hw_mesh_check(g.work, &g.file[i], NULL, &report) == HW_OK);
                if (!CHECK(hw_mesh_sound(&report)))
                    printf("    %s %s %s: %zu crossing\n", name, variant, g.set.part[i].name,
                           report.crossing);
            }
        group_free(&g);
    }
}

static void heron_is_sound(void)
{
    sound_digits("heron", "");
}
static void wren_is_sound(void)
{
    sound_digits("wren", "");
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(heron_is_sound);
    RUN(wren_is_sound);
    return TEST_END();
}
