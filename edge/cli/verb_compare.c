// handwright compare: two designs, finding by finding.
#include "cli/cli_internal.h"

#include "assess/assess.h"

#include <math.h>
#include <string.h>

enum { ID_WIDTH = 27, NUMBER_WIDTH = 9, LINE = 80 };

typedef struct pair {
    const hw_finding *a, *b; // NULL: the other design has no such finding
    const hw_finding_kind *kind;
    const char *id;
    double change; // of the margin, positive = b is better; NaN where either is unknown [SI]
    int sign;      // of the change: -1, 0, 1
} pair;

typedef struct comparison {
    const char *name[2], *fingerprint[2];
    pair *pair;
    size_t pairs, better, worse, same, other;
} comparison;

static const hw_finding *finding_of(const hw_assessment *s, const char *id)
{
    for (size_t i = 0; i < s->findings; i++)
        if (strcmp(s->finding[i].id, id) == 0) return &s->finding[i];
    return NULL;
}

static void add(comparison *c, const hw_finding *a, const hw_finding *b)
{
    pair *p = &c->pair[c->pairs++];
    const hw_finding *any = a ? a : b;
    *p = (pair){.a = a, .b = b, .kind = any->kind, .id = any->id, .change = (double)NAN};
    if (a && b) p->change = b->margin - a->margin;
    if (isnan(p->change)) { // also two infinities
        c->other++;
        return;
    }
    // rounding of two runs of the same numbers is no change
    double rounding = 1e-9 * any->kind->scale;
    p->sign = p->change > rounding ? 1 : p->change < -rounding ? -1 : 0;
    if (p->sign > 0)
        c->better++;
    else if (p->sign < 0)
        c->worse++;
    else
        c->same++;
}

static void pair_up(comparison *c, const hw_assessment *a, const hw_assessment *b)
{
    for (size_t i = 0; i < a->findings; i++)
        add(c, &a->finding[i], finding_of(b, a->finding[i].id));
    for (size_t i = 0; i < b->findings; i++)
        if (!finding_of(a, b->finding[i].id)) add(c, NULL, &b->finding[i]);
}

// `scale`: the finding's own; what is below rounding of it shows as 0. [SI]
static void put_cell(hw_buffer *b, const hw_shown_unit *u, double si, double scale, bool change)
{
    char text[HW_NUMBER_TEXT + 2] = "—";
    if (fabs(si) < 1e-9 * scale) si = 0;
    if (!isnan(si)) {
        double v = change ? hw_change_shown(u, si) : hw_value_shown(u, si);
        text[0] = '+';
        hw_number_write_rounded(v, 3, text + (change && si > 0));
    }
    hw_put_cell(b, text, NUMBER_WIDTH);
}

static void put_row(const pair *p, hw_buffer *b)
{
    hw_shown_unit u = hw_unit_shown(p->kind->unit, p->kind->dim);
    double scale = p->kind->scale;
    hw_put_cell(b, p->id, -ID_WIDTH);
    put_cell(b, &u, p->a->value, scale, false);
    put_cell(b, &u, p->b->value, scale, false);
    put_cell(b, &u, p->b->margin, scale, true);
    put_cell(b, &u, p->change, scale, true);
    hw_buffer_puts(b, " ");
    hw_put_cell(b, u.text, -4);
    hw_buffer_format(b, " %s%s\n", p->a->verdict != p->b->verdict ? "now " : "",
                     p->b->verdict == HW_FALLS_SHORT ? "short" : hw_verdict_text(p->b->verdict));
}

// The findings that one design has alone, in lines of words.
static void put_alone(const comparison *c, bool in_a, hw_buffer *b)
{
    size_t at = 0;
    for (size_t i = 0; i < c->pairs; i++) {
        const pair *p = &c->pair[i];
        if (in_a ? p->b != NULL : p->a != NULL) continue;
        size_t n = strlen(p->id);
        if (at == 0) {
            hw_buffer_format(b, "\nOnly %s has:", in_a ? "A" : "B");
            at = strlen("Only A has:");
        }
        if (at + 1 + n > LINE) {
            hw_buffer_puts(b, "\n ");
            at = 1;
        }
        hw_buffer_format(b, " %s", p->id);
        at += 1 + n;
    }
    if (at) hw_buffer_puts(b, "\n");
}

static void put_text(const comparison *c, hw_buffer *b)
{
    static const char *const head[] = {"value A", "value B", "margin B", "change"};
    bool any = false;
    hw_buffer_format(b, "A: %s\nB: %s\n", c->name[0], c->name[1]);
    for (size_t i = 0; i < c->pairs; i++) {
        const pair *p = &c->pair[i];
        if (!p->a || !p->b || (!p->sign && p->a->verdict == p->b->verdict)) continue;
        if (!any) {
            hw_put_cell(b, "\nfinding", -ID_WIDTH - 1);
            for (size_t k = 0; k < sizeof head / sizeof head[0]; k++)
                hw_put_cell(b, head[k], NUMBER_WIDTH);
            hw_buffer_puts(b, "      B\n");
        }
        any = true;
        put_row(p, b);
    }
    put_alone(c, true, b);
    put_alone(c, false, b);
    hw_buffer_format(b, "\n%zu margins better in B, %zu worse, %zu the same, %zu not comparable\n",
                     c->better, c->worse, c->same, c->other);
}

static void side_json(hw_json *j, const char *key, const hw_finding *f, const hw_shown_unit *u)
{
    if (!f) {
        hw_json_text(j, key, NULL);
        return;
    }
    hw_json_open(j, key, '{');
    hw_json_number(j, "value", hw_value_shown(u, f->value));
    hw_json_number(j, "margin", hw_change_shown(u, f->margin));
    hw_json_text(j, "verdict", hw_verdict_text(f->verdict));
    hw_json_close(j, '}');
}

static void put_json(const comparison *c, hw_buffer *b)
{
    static const char *const side[2] = {"a", "b"};
    hw_json j = {.to = b};
    hw_json_open(&j, NULL, '{');
    hw_json_count(&j, "schema", 1);
    for (int i = 0; i < 2; i++) {
        hw_json_open(&j, side[i], '{');
        hw_json_text(&j, "design", c->name[i]);
        hw_json_text(&j, "fingerprint", c->fingerprint[i]);
        hw_json_close(&j, '}');
    }
    hw_json_count(&j, "better", c->better);
    hw_json_count(&j, "worse", c->worse);
    hw_json_count(&j, "same", c->same);
    hw_json_count(&j, "not_comparable", c->other);
    hw_json_open(&j, "findings", '[');
    for (size_t i = 0; i < c->pairs; i++) {
        const pair *p = &c->pair[i];
        hw_shown_unit u = hw_unit_shown(p->kind->unit, p->kind->dim);
        hw_json_open(&j, NULL, '{');
        hw_json_text(&j, "id", p->id);
        hw_json_text(&j, "what", p->kind->what);
        hw_json_text(&j, "unit", u.text);
        side_json(&j, "a", p->a, &u);
        side_json(&j, "b", p->b, &u);
        hw_json_number(&j, "change", hw_change_shown(&u, p->change));
        hw_json_close(&j, '}');
    }
    hw_json_close(&j, ']');
    hw_json_close(&j, '}');
}

hw_exit hw_verb_compare(hw_call *call)
{
    hw_assessment *s[2] = {NULL, NULL};
    comparison c = {0};
    for (size_t i = 0; i < 2; i++) {
        hw_exit status = hw_call_assess(call, i, &s[i]);
        if (status != HW_EXIT_HOLDS) return status;
        hw_call_say(call, true);
        c.name[i] = hw_arena_text(call->arena, hw_text_of(call->design_name));
        c.fingerprint[i] = hw_arena_text(call->arena, hw_text_of(call->fingerprint));
    }
    c.pair = HW_NEW(call->arena, pair, s[0]->findings + s[1]->findings + 1);
    if (hw_arena_failed(call->arena) || !c.pair) return hw_call_code(call, HW_NO_MEMORY);
    pair_up(&c, s[0], s[1]);
    put_text(&c, &call->text);
    put_json(&c, &call->json);
    return hw_assess_all_hold(s[1]) ? HW_EXIT_HOLDS : HW_EXIT_SHORT;
}
