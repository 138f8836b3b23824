// A digit's proportions beside a person's, and what to say beside them.
#include "assess/assess_internal.h"

#include <math.h>
#include <string.h>

static hw_shape_off off_of(const hw_hand *hand, int digit)
{
    hw_shape_off off;
    // faulty lengths leave NaN
    if (hw_shape_off_of(&hand->person.digit[digit], hand->digit[digit].phalanx, &off) != HW_OK)
        off.rms = off.reach = NAN;
    return off;
}

static double proportion(const hw_assess_subject *s)
{
    return off_of(s->hand, s->number).rms;
}

static double reach_off(const hw_assess_subject *s)
{
    return off_of(s->hand, s->number).reach;
}

const hw_assess_row hw_assess_shape_row[] = {
    {"proportion", HW_FOR_ANY, false, proportion},
    {"reach_off", HW_FOR_ANY, false, reach_off},
};
const size_t hw_assess_shape_rows = sizeof hw_assess_shape_row / sizeof hw_assess_shape_row[0];

// "proximal +4.0 mm (0.7 sd), middle -2.0 mm (-0.6 sd), distal +0.0 mm (0.0 sd)"
const char *hw_assess_shape_note(hw_arena *a, const hw_hand *hand, const hw_finding *f)
{
    static const char *const finger[HW_SEGMENTS] = {"proximal ", "middle ", "distal "};
    static const char *const thumb[HW_SEGMENTS] = {"metacarpal ", "proximal ", "distal "};
    if (strcmp(f->kind->id, "proportion") != 0 || isnan(f->value)) return NULL;
    hw_shape_off off = off_of(hand, f->digit);
    hw_buffer b = {.arena = a};
    for (int i = 0; i < HW_SEGMENTS; i++) {
        double mm = 1e3 * off.segment[i];
        hw_buffer_puts(&b, f->digit == HW_THUMB ? thumb[i] : finger[i]);
        hw_buffer_puts(&b, mm > 0 ? "+" : "");
        hw_note_number(&b, mm, 1, " mm (");
        hw_note_number(&b, off.share[i], 1, i + 1 < HW_SEGMENTS ? " sd), " : " sd)");
    }
    return b.at;
}
