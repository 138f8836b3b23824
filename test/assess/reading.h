// Documents for the tests of assess and tune.
#ifndef HW_TEST_READING_H
#define HW_TEST_READING_H

#include "assess/assess.h"
#include "check.h"

// Reads a document that must be right.
static inline hw_design *read_design(hw_arena *a, const char *text)
{
    hw_diag item[8];
    hw_diags diags = {item, 0, 8, 0};
    hw_design *d = NULL;
    hw_read_def def = {.file = "hand.yaml", .requirable = &hw_assess_requirable};
    CHECK(hw_design_read(a, hw_text_of(text), &def, &d, &diags) == HW_OK);
    for (size_t i = 0; i < diags.count; i++) printf("%d: %s\n", item[i].line, item[i].text);
    return d;
}

static inline const hw_finding *finding(const hw_assessment *s, const char *id)
{
    for (size_t i = 0; i < s->findings; i++)
        if (strcmp(s->finding[i].id, id) == 0) return &s->finding[i];
    return NULL;
}

// One coupled-bars finger with every length given, so that a scale factor reaches all of it.
#define ONE_FINGER                                                                                 \
    "digits:\n"                                                                                    \
    "  thumb: {present: no}\n  middle: {present: no}\n  ring: {present: no}\n  little: {present: " \
    "no}\n"                                                                                        \
    "  index:\n"                                                                                   \
    "    phalanges: [45.6 mm, 26.6 mm, 18 mm]\n    width: 16 mm\n    thickness: [22 mm, 18 mm, "   \
    "16 mm]\n"                                                                                     \
    "    tip_thickness: 14 mm\n    travel: [0 deg, 85 deg]\n"                                      \
    "    mechanism:\n      kind: coupled bars\n"                                                   \
    "      bar_a: {root: [5.5 mm, 3.5 mm], horn: 6 mm, horn_angle: -55 deg, width: 5 mm, depth: "  \
    "2.4 mm}\n"                                                                                    \
    "      bar_b: {root: [-2.1 mm, -2.7 mm], horn: 5 mm, horn_angle: 152 deg, width: 5 mm, "       \
    "depth: 2 mm, count: 1}\n"

#endif
