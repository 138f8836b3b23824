// The drawings of a hand that was assessed.
#include <math.h>

#include "report/report_internal.h"

bool hw_report_view(const hw_assessment *s, int digit, const char *design, hw_digit_view *out)
{
    if (digit < 0 || digit >= HW_DIGITS) return false;
    const hw_digit_assessment *g = &s->digit[digit];
    if (!g->present || g->fault != HW_DIGIT_SOUND || g->stroke.n < 2) return false;
    hw_parts_def parts;
    hw_hand_parts(s->design, digit, &parts);
    *out = (hw_digit_view){.design = design,
                           .name = hw_digit_name[digit],
                           .digit = &s->hand->digit[digit],
                           .stroke = &g->stroke,
                           .layers = &s->hand->layers[digit],
                           .stack = g->stack,
                           .back_on_bed = parts.face == HW_BED_DORSAL};
    // the natural law is one of fingers; the findings leave it out for the thumb as well
    for (int i = 0; i < HW_JOINTS; i++)
        out->law[i] = digit == HW_THUMB ? (double)NAN : s->hand->law[i];
    if (!g->assembles) return true; // the charts were not computed then
    out->closing = &g->closing;
    out->wrap = &g->wrap;
    out->slop = &g->slop;
    return true;
}

hw_sheet *hw_report_palm(hw_arena *a, const hw_assessment *s, const char *design)
{
    return hw_draw_palm(a, &(hw_palm_view){.design = design,
                                           .palm = &s->hand->palm,
                                           .person = &s->hand->person,
                                           .name = hw_digit_name,
                                           .left = s->hand->left});
}

size_t hw_report_sheets(hw_arena *a, const hw_assessment *s, hw_sheet *out[HW_REPORT_SHEETS])
{
    const char *design = hw_report_name(a, s->design);
    hw_digit_view view[HW_DIGITS];
    size_t views = 0, n = 0;
    for (int i = 1; i <= HW_DIGITS; i++) // index to little, thumb last, as in the findings
        if (hw_report_view(s, i % HW_DIGITS, design, &view[views])) views++;
    hw_sheet *all = hw_draw_hand(a, view, views);
    if (all) out[n++] = all;
    hw_sheet *palm = hw_report_palm(a, s, design);
    if (palm) out[n++] = palm;
    for (size_t i = 0; i < views; i++)
        for (int k = 0; k < HW_DRAWINGS; k++) {
            hw_sheet *one = hw_drawing_of_digit[k].draw(a, &view[i]);
            if (one) out[n++] = one;
        }
    return n;
}
