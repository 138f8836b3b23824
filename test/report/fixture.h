// An assessment filled by hand, so that what a report must say is known beforehand.
#ifndef HW_TEST_REPORT_FIXTURE_H
#define HW_TEST_REPORT_FIXTURE_H

#include <math.h>
#include <string.h>

#include "check.h"
#include "report/report.h"

typedef struct fixture {
    hw_hand hand;
    hw_assessment assessment;
    hw_finding finding[16];
    hw_report_levers levers[16];
    hw_report report;
} fixture;

// Kinds that nothing computes, whatever the program has learned since.
static const hw_finding_kind fixture_unknown[] = {
    {"rig_force", "force of the test rig", true, HW_INIT_FORCE, "N", NAN, 8, 1, "a test", "a test",
     "the rig is not computed yet"},
    {"rig_mass", "mass on the test rig", false, HW_INIT_MASS, "g", NAN, 1, 1, "a test", "a test",
     "weights are not computed yet"},
};

static inline const hw_finding_kind *kind_of(const char *id)
{
    size_t n;
    const hw_finding_kind *k = hw_finding_kinds(&n);
    for (size_t i = 0; i < sizeof fixture_unknown / sizeof fixture_unknown[0]; i++)
        if (strcmp(fixture_unknown[i].id, id) == 0) return &fixture_unknown[i];
    for (size_t i = 0; i < n; i++)
        if (strcmp(k[i].id, id) == 0) return &k[i];
    hw_check_that(false, "a finding kind of the tests is gone", __FILE__, __LINE__);
    return k;
}

// With an upper limit, which must not lean on the tables' defaults.
static inline hw_finding *add_finding(fixture *f, const char *id, int digit, double value,
                                      double high)
{
    hw_finding *one = &f->finding[f->assessment.findings++];
    *one = (hw_finding){.kind = kind_of(id), .digit = digit, .value = value};
    one->low = (double)NAN;
    one->high = high;
    one->origin = one->kind->origin;
    hw_finding_id(one->kind, digit, hw_digit_name, one->id);
    hw_finding_judge(one);
    *(one->verdict == HW_HOLDS         ? &f->assessment.held
      : one->verdict == HW_FALLS_SHORT ? &f->assessment.fallen_short
                                       : &f->assessment.unknown) += 1;
    return one;
}

static inline void require(fixture *f, hw_finding *one, const char *origin)
{
    one->required = true;
    one->origin = origin;
    f->assessment.required++;
    if (one->verdict == HW_HOLDS) f->assessment.required_held++;
}

// Index and middle fall short alike, ring and little hold; two levers; unknown of both sorts.
static inline void fixture_fill(fixture *f, hw_arena *a, hw_text document)
{
    hw_design *design = NULL;
    hw_diag diag[4];
    hw_diags diags = {.item = diag, .capacity = 4};
    hw_read_def def = {.file = "hands/test.yaml"};
    memset(f, 0, sizeof *f);
    CHECK(hw_design_read(a, document, &def, &design, &diags) == HW_OK);
    hw_hand_build(design, &f->hand);
    f->assessment = (hw_assessment){.design = design, .hand = &f->hand, .finding = f->finding};
    for (int i = 0; i < HW_DIGITS; i++) {
        f->assessment.digit[i].present = i != HW_THUMB;
        f->assessment.digit[i].fault = HW_DIGIT_SOUND;
    }
    require(f, add_finding(f, "pip_pin_worst", HW_INDEX, 17.25, 15), "hands/test.yaml:41");
    require(f, add_finding(f, "pip_pin_worst", HW_MIDDLE, 17.25, 15), "hands/test.yaml:41");
    require(f, add_finding(f, "pip_pin_worst", HW_RING, 9.04, 15), "hands/test.yaml:41");
    require(f, add_finding(f, "pip_pin_worst", HW_LITTLE, 8.96, 15), "hands/test.yaml:41");
    add_finding(f, "slop_tip", HW_INDEX, 0.0161, 0.015)->note = "worst at 40 % of the travel";
    add_finding(f, "slop_tip", HW_RING, 0.0102, 0.015);
    add_finding(f, "rig_force", HW_INDEX, (double)NAN, 8);
    add_finding(f, "rig_force", HW_MIDDLE, (double)NAN, 8);
    add_finding(f, "rig_mass", -1, (double)NAN, 1);
    hw_entry horn[2] = {hw_entry_of(HW_E_BAR_A_HORN, HW_INDEX),
                        hw_entry_of(HW_E_BAR_A_HORN, HW_MIDDLE)};
    for (size_t i = 0; i < 2; i++)
        f->levers[i] = (hw_report_levers){.n = 1,
                                          .lever = {{.entry = horn[i],
                                                     .step = 5e-4,
                                                     .gain = 1.3,
                                                     .gain_ratio = 0.26,
                                                     .steps_to_hold = 2,
                                                     .suggested = 7e-3,
                                                     .verified = true,
                                                     .spoiled = 1}}};
    f->levers[4] = (hw_report_levers){.n = 1,
                                      .lever = {{.entry = horn[0],
                                                 .step = 5e-4,
                                                 .gain = 2e-4,
                                                 .suggested = (double)NAN,
                                                 .steps_to_hold = (double)INFINITY}}};
    f->report = (hw_report){.assessment = &f->assessment, .levers = f->levers};
}

#define FIXTURE_DOCUMENT                                                                           \
    HW_TEXT("handwright: 1\nname: \"Test \\\"hand\\\" caf\xc3\xa9 <1>\"\n"                         \
            "digits:\n  index:\n    mechanism:\n      bar_a: {horn: 6 mm}\n"                       \
            "  middle:\n    mechanism:\n      bar_a: {horn: 6 mm}\n")

#endif
