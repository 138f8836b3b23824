// Levers by finite differences: one practical step up and down for every entry that a maker may
// turn.
#include "tune/tune.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { FOLLOWED = 3, MOST_STEPS = 24 };

// ---- one changed design
// ---------------------------------------------------------------------------------------------------

// Margins of the findings of `digit` (-1: all) and of the whole hand.
static void judge_with(const hw_assessment *base, const hw_hand *hand,
                       const hw_digit_assessment all[HW_DIGITS], int digit, double margin[])
{
    for (size_t f = 0; f < base->findings; f++) {
        hw_finding one = base->finding[f];
        bool whole = one.digit < 0;
        if (!whole && ((digit >= 0 && digit != one.digit) || !hand->present[one.digit])) continue;
        one.value = whole ? hw_assess_hand_value(hand, all, one.kind)
                          : hw_assess_value(hand, one.digit, &all[one.digit], one.kind);
        hw_finding_judge(&one);
        margin[f] = one.margin;
    }
}

// To lay twelve sheaths anew takes longer than all else, and a step may turn one round the other
// side of a servo: where nothing lacks they keep their ways.
static bool keeps_ways(const hw_assessment *base)
{
    return hw_hand_lacks(base->design, base->hand) <= 0;
}

// Assesses `digit` (-1: all) of the base design with one entry set to `value`, with the base's
// ways of sheaths or its own, and writes margins of its findings; others NaN.
static hw_code margins_with(hw_arena *a, const hw_assessment *base, hw_entry entry, double value,
                            int digit, bool keep, double margin[])
{
    size_t mark = hw_arena_mark(a);
    hw_design *d = NULL;
    hw_override set = {entry, value};
    hw_code code = hw_design_with(a, base->design, &set, 1, &d);
    for (size_t i = 0; i < base->findings; i++) margin[i] = NAN;
    if (code == HW_OK) {
        hw_hand hand;
        hw_hand_build_like(d, base->hand, keep, &hand);
        hw_digit_assessment all[HW_DIGITS];
        memcpy(all, base->digit, sizeof all);
        for (int i = 0; i < HW_DIGITS && code == HW_OK; i++) {
            if (!hand.present[i] || (digit >= 0 && digit != i)) continue;
            code = hw_assess_digit(a, &hand, i, &all[i]);
            all[i].touch = base->digit[i].touch; // it takes all digits' strokes: no levers
        }
        if (code == HW_OK) {
            hw_assess_palm(&hand, all);
            judge_with(base, &hand, all, digit, margin);
        }
    }
    hw_arena_rewind(a, mark);
    return code;
}

static bool in_range(const hw_entry_row *row, double value)
{
    return !(value < row->low) && !(value > row->high); // open ends are NaN
}

// ---- the table
// ------------------------------------------------------------------------------------------------------------

static size_t collect(const hw_assessment *base, const bool wanted[HW_DIGITS], hw_entry entry[],
                      double step[])
{
    size_t n = 0;
    for (hw_entry e = 0; e < (hw_entry)hw_entry_count(); e++) {
        int digit;
        const hw_entry_row *row = hw_entry_row_of(e, &digit);
        if (!row || row->type != HW_ENTRY_NUMBER || !(row->step > 0)) continue;
        // what only repeats the hand's own entry is turned there
        if (row->shared && hw_design_origin(base->design, e) == HW_FROM_DEFAULT) continue;
        if (digit >= 0 && (!base->hand->present[digit] || (wanted && !wanted[digit]))) continue;
        entry[n] = e;
        step[n++] = row->step;
    }
    return n;
}

static hw_code fill_side(hw_arena *a, const hw_assessment *base, hw_entry e, double step,
                         double change[])
{
    int digit;
    const hw_entry_row *row = hw_entry_row_of(e, &digit);
    double value = hw_design_value(base->design, e) + step;
    for (size_t f = 0; f < base->findings; f++) change[f] = NAN;
    if (!in_range(row, value)) return HW_OK;
    hw_code code = margins_with(a, base, e, value, digit, keeps_ways(base), change);
    for (size_t f = 0; f < base->findings; f++) change[f] -= base->finding[f].margin;
    return code == HW_BAD_INPUT ? HW_OK : code; // a refused value: unknown
}

hw_code hw_lever_table_fill(hw_arena *a, const hw_assessment *base, const bool wanted[HW_DIGITS],
                            const hw_job *job, hw_lever_table *out)
{
    size_t most = hw_entry_count();
    hw_entry *entry = HW_NEW(a, hw_entry, most);
    double *step = HW_NEW(a, double, most);
    if (!entry || !step) return HW_NO_MEMORY;
    size_t n = collect(base, wanted, entry, step);
    double *up = HW_NEW(a, double, n * base->findings);
    double *down = HW_NEW(a, double, n * base->findings);
    if (!up || !down) return HW_NO_MEMORY;
    for (size_t i = 0; i < n; i++) {
        if (!hw_job_go_on(job, (double)i / (double)n, "levers")) return HW_CANCELLED;
        hw_code code = fill_side(a, base, entry[i], step[i], up + i * base->findings);
        if (code == HW_OK) code = fill_side(a, base, entry[i], -step[i], down + i * base->findings);
        if (code != HW_OK) return code;
    }
    *out = (hw_lever_table){base, n, entry, step, up, down};
    return HW_OK;
}

// ---- ranking
// --------------------------------------------------------------------------------------------------------------

static int better_first(const void *pa, const void *pb)
{
    const hw_lever *a = pa, *b = pb;
    if (a->gain != b->gain) return a->gain > b->gain ? -1 : 1;
    return a->entry - b->entry; // an order without ties: the same list every time
}

static size_t rank(const hw_lever_table *t, size_t finding, hw_lever all[])
{
    size_t n = 0, width = t->base->findings;
    for (size_t i = 0; i < t->entries; i++) {
        double up = t->up[i * width + finding], down = t->down[i * width + finding];
        bool rises = !isnan(up) && !(down > up);
        double gain = rises ? up : down;
        if (!(gain > 1e-9 * t->base->finding[finding].kind->scale)) continue;
        all[n++] = (hw_lever){.entry = t->entry[i],
                              .step = rises ? t->step[i] : -t->step[i],
                              .gain = gain,
                              .gain_ratio = gain / t->base->finding[finding].kind->scale,
                              .steps_to_hold = INFINITY,
                              .suggested = NAN};
    }
    qsort(all, n, sizeof *all, better_first);
    return n;
}

static int count_spoiled(const hw_assessment *base, const double margin[], int digit)
{
    int n = 0;
    for (size_t f = 0; f < base->findings; f++) {
        const hw_finding *was = &base->finding[f];
        if (was->verdict != HW_HOLDS || was->digit < 0 || (digit >= 0 && was->digit != digit))
            continue;
        n += !(margin[f] >= -1e-9 * was->kind->scale);
    }
    return n;
}

// Walks along the lever in whole steps, first by the linear estimate and then one at a time, to the
// first value that holds; where ways were kept on the way, with its own too.
static hw_code follow(hw_arena *a, const hw_assessment *base, size_t finding, hw_lever *l,
                      double margin[])
{
    int digit;
    const hw_entry_row *row = hw_entry_row_of(l->entry, &digit);
    double from = hw_design_value(base->design, l->entry);
    double guess = ceil(-base->finding[finding].margin / l->gain - 1e-9);
    if (!(guess <= MOST_STEPS)) return HW_OK;
    int first = (int)fmax(guess, 1), most = (int)fmin(2 * guess + 2, MOST_STEPS);
    for (int steps = first; steps <= most; steps++) {
        double value = from + steps * l->step;
        if (!in_range(row, value)) return HW_OK;
        bool keep = keeps_ways(base), holds = true;
        for (int own = keep ? 0 : 1; own < 2 && holds; own++) {
            hw_code code = margins_with(a, base, l->entry, value, digit, !own, margin);
            if (code == HW_BAD_INPUT) return HW_OK;
            if (code != HW_OK) return code;
            holds = margin[finding] >= -1e-9 * base->finding[finding].kind->scale;
        }
        if (holds) {
            l->steps_to_hold = steps;
            l->suggested = value;
            l->verified = true;
            l->spoiled = count_spoiled(base, margin, digit);
            return HW_OK;
        }
    }
    return HW_OK;
}

hw_code hw_levers_of(hw_arena *a, const hw_lever_table *table, size_t finding, const hw_job *job,
                     hw_lever out[], size_t room, size_t *n)
{
    *n = 0;
    const hw_finding *f = &table->base->finding[finding];
    if (f->verdict == HW_UNKNOWN || !table->entries) return HW_OK;
    size_t mark = hw_arena_mark(a);
    hw_lever *all = HW_NEW(a, hw_lever, table->entries);
    double *margin = HW_NEW(a, double, table->base->findings);
    hw_code code = all && margin ? HW_OK : HW_NO_MEMORY;
    if (code == HW_OK) {
        size_t ranked = rank(table, finding, all);
        for (size_t i = 0;
             i < ranked && i < FOLLOWED && f->verdict == HW_FALLS_SHORT && code == HW_OK; i++)
            code = hw_job_go_on(job, (double)i / FOLLOWED, "levers")
                       ? follow(a, table->base, finding, &all[i], margin)
                       : HW_CANCELLED;
        *n = ranked < room ? ranked : room;
        memcpy(out, all, *n * sizeof *all);
    }
    hw_arena_rewind(a, mark);
    return code;
}
