// Findings of what was made.
#include "make/make_internal.h"

#include "base/text.h"
#include "make/stress.h"

#include <math.h>
#include <string.h>

static double faults_of(const hw_made *m, const hw_made_group *g)
{
    double n = 0;
    for (size_t i = g->first; i < g->first + g->parts; i++) {
        const hw_mesh_report *r = &m->part[i].check;
        n += (double)(r->not_finite + r->degenerate + r->open_edges + r->crowded_edges +
                      r->flipped_edges + r->pinched_verts + r->crossing) +
             !(r->volume > 0);
    }
    return n;
}

static const char *mesh_note(hw_arena *a, const hw_made *m, const hw_made_group *g)
{
    hw_buffer b = {.arena = a};
    for (size_t i = g->first; i < g->first + g->parts; i++)
        if (!hw_mesh_sound(&m->part[i].check))
            hw_buffer_format(&b, "%s%s", b.len ? ", " : "in the ", m->part[i].part->name);
    return b.at;
}

static const char *print_note(hw_arena *a, const hw_made *m, const hw_made_group *g,
                              hw_print_quantity q)
{
    hw_print_part *part = HW_NEW(a, hw_print_part, g->parts);
    if (!part) return NULL;
    for (size_t i = 0; i < g->parts; i++) {
        const hw_made_part *p = &m->part[g->first + i];
        part[i] = (hw_print_part){p->part->name, &p->mesh, p->allow, p->part->allows};
    }
    return hw_print_note(a, g->print, part, m->printer, q);
}

// The quantity of core/print that a row is about; HW_PRINT_QUANTITIES: none.
static hw_print_quantity quantity_of(const hw_finding_kind *kind)
{
    int q = 0;
    while (q < HW_PRINT_QUANTITIES && strcmp(hw_print_id((hw_print_quantity)q), kind->id) != 0) q++;
    return (hw_print_quantity)q;
}

static void add(hw_arena *a, hw_made *m, const hw_finding_kind *kind, int digit, double value,
                const char *note)
{
    hw_finding *f = &m->finding[m->findings++];
    hw_assess_judge(a, m->design, m->hand->classroom, kind, digit, value, note, f);
    m->held += f->verdict == HW_HOLDS;
    m->fallen_short += f->verdict == HW_FALLS_SHORT;
    m->unknown += f->verdict == HW_UNKNOWN;
    m->required += f->required;
    m->required_held += f->required && f->verdict == HW_HOLDS;
}

// Of one row, taken back.
static void drop_last(hw_made *m)
{
    const hw_finding *f = &m->finding[--m->findings];
    m->held -= f->verdict == HW_HOLDS;
    m->fallen_short -= f->verdict == HW_FALLS_SHORT;
    m->unknown -= f->verdict == HW_UNKNOWN;
    m->required -= f->required;
    m->required_held -= f->required && f->verdict == HW_HOLDS;
}

static const char stress_id[] = "part_stress";

// Takes minutes at worst, so it is asked for: until then no row, and counted where the document
// requires it.
static void count_unasked(hw_arena *a, hw_made *m, const hw_finding_kind *kind, int digit)
{
    add(a, m, kind, digit, NAN, NULL);
    m->unasked += m->finding[m->findings - 1].required;
    drop_last(m);
}

void hw_made_stress_judge(hw_arena *a, hw_made *m, const hw_made_stress *s, int digit)
{
    hw_finding *found = NULL;
    for (size_t i = 0; i < m->findings; i++)
        if (m->finding[i].digit == digit && strcmp(m->finding[i].kind->id, stress_id) == 0)
            found = &m->finding[i];
    size_t n;
    const hw_finding_kind *kind = hw_finding_kinds(&n);
    while (strcmp(kind->id, stress_id) != 0) kind++;
    add(a, m, kind, digit, s->share, hw_made_stress_note(a, s));
    if (!found) {
        m->unasked -= m->finding[m->findings - 1].required;
        return;
    }
    // The new row takes the old one's place, and the old one leaves with its counts.
    hw_finding fresh = m->finding[m->findings - 1];
    m->finding[m->findings - 1] = *found;
    *found = fresh;
    drop_last(m);
}

static void add_of_digit(hw_arena *a, hw_made *m, const hw_made_group *g,
                         const hw_finding_kind *kind)
{
    hw_print_quantity q = quantity_of(kind);
    if (strcmp(kind->id, stress_id) == 0)
        count_unasked(a, m, kind, g->digit);
    else if (!g->print)
        add(a, m, kind, g->digit, NAN, g->fault ? g->fault : "it has no parts");
    else if (q < HW_PRINT_QUANTITIES)
        add(a, m, kind, g->digit, hw_print_value(g->print, m->printer, q), print_note(a, m, g, q));
    else // the one row of the meshes themselves
        add(a, m, kind, g->digit, faults_of(m, g), mesh_note(a, m, g));
}

// Of all plates together: known only when every digit was made and lies on a plate.
static double of_hand(const hw_made *m, const char *id)
{
    if (m->def.digit >= 0) return NAN;
    for (size_t g = 0; g < m->groups; g++)
        if (m->group[g].plate < 0 && !m->group[g].coupon) return NAN;
    double time = 0, filament = 0, plates = 0;
    for (size_t p = 0; p < m->plates && !m->plate[p].coupons; p++) {
        plates += 1;
        time += m->plate[p].time;
        filament += m->plate[p].filament;
    }
    if (strcmp(id, "plates") == 0) return plates;
    return strcmp(id, "filament") == 0 ? filament : time;
}

// Of all bodies together, as the hand's: the one with the least margin; masses and times added up.
static void add_of_bodies(hw_arena *a, hw_made *m, const hw_finding_kind *kind)
{
    hw_print_quantity q = quantity_of(kind);
    bool adds = q == HW_PRINT_MASS || q == HW_PRINT_TIME, any = false;
    double sum = 0, least = INFINITY, worst = NAN;
    const char *note = NULL;
    for (size_t i = 0; i < m->groups; i++) {
        const hw_made_group *g = &m->group[i];
        if (!g->body) continue;
        any = true;
        if (!g->print) {
            add(a, m, kind, -1, NAN, g->fault ? g->fault : "it has no parts");
            return;
        }
        bool printed = q < HW_PRINT_QUANTITIES;
        double value = printed ? hw_print_value(g->print, m->printer, q) : faults_of(m, g);
        hw_finding one;
        sum += value;
        hw_assess_judge(a, m->design, m->hand->classroom, kind, -1, value, NULL, &one);
        if (!(one.margin < least) && !isnan(worst)) continue;
        least = one.margin;
        worst = value;
        hw_buffer words = {.arena = a};
        const char *more = printed ? print_note(a, m, g, q) : mesh_note(a, m, g);
        hw_buffer_format(&words, "%s%s%s", g->name, more ? ": " : "", more ? more : "");
        note = words.at;
    }
    if (any) add(a, m, kind, -1, adds ? sum : worst, adds ? NULL : note);
}

hw_code hw_make_findings(hw_arena *keep, hw_made *m)
{
    size_t n;
    const hw_finding_kind *kind = hw_finding_kinds(&n);
    m->finding = HW_NEW(keep, hw_finding, n * (m->groups + 2));
    if (!m->finding) return HW_NO_MEMORY;
    for (size_t g = 0; g < m->groups; g++)
        for (size_t k = 0; k < n; k++)
            if (m->group[g].digit >= 0 && hw_finding_is_made(&kind[k]) && kind[k].of_digit)
                add_of_digit(keep, m, &m->group[g], &kind[k]);
    for (size_t k = 0; k < n; k++)
        if (hw_finding_is_made(&kind[k]) && kind[k].of_digit && strcmp(kind[k].id, stress_id) != 0)
            add_of_bodies(keep, m, &kind[k]);
    for (size_t k = 0; k < n; k++) {
        if (!hw_finding_is_made(&kind[k]) || kind[k].of_digit) continue;
        double value = of_hand(m, kind[k].id);
        const char *why = m->def.digit >= 0 ? "one digit was made, not the hand"
                                            : "a digit was not made, or fits no plate";
        add(keep, m, &kind[k], -1, value, isnan(value) ? why : NULL);
    }
    return hw_arena_failed(keep) ? HW_NO_MEMORY : HW_OK;
}
