// handwright levers: which entries move which margins, by how much.
#include "cli/cli_internal.h"

#include "tune/tune.h"

#include <math.h>
#include <string.h>

enum { LEVERS = 6, PATH_WIDTH = 27, PATH_ROOM = 96 };

typedef struct choice {
    hw_call *call;
    const hw_assessment *s;
    size_t *finding; // numbers of the findings asked for
    size_t findings;
    hw_lever (*lever)[LEVERS];
    size_t *levers;
} choice;

static hw_exit no_such_finding(hw_call *call, const hw_assessment *s, const char *id)
{
    const char *near = NULL;
    size_t best = 8; // ids are long: further than seven slips is no slip
    for (size_t i = 0; i < s->findings; i++) {
        size_t away = hw_text_distance(hw_text_of(id), hw_text_of(s->finding[i].id));
        if (away < best) best = away, near = s->finding[i].id;
    }
    return hw_call_fault(call, "no finding \"%s\"%s%s%s; handwright assess --json lists them", id,
                         near ? ", perhaps \"" : "", near ? near : "", near ? "\"" : "");
}

// Which findings to look at: the one named, else all that fall short, else the tightest.
static hw_exit choose(choice *c)
{
    const char *id = c->call->option[HW_OPT_FINDING];
    size_t tightest = SIZE_MAX;
    for (size_t i = 0; i < c->s->findings; i++) {
        const hw_finding *f = &c->s->finding[i];
        if (id ? strcmp(f->id, id) == 0 : f->verdict == HW_FALLS_SHORT)
            c->finding[c->findings++] = i;
        if (f->verdict == HW_HOLDS &&
            (tightest == SIZE_MAX || f->margin_ratio < c->s->finding[tightest].margin_ratio))
            tightest = i;
    }
    if (id && !c->findings) return no_such_finding(c->call, c->s, id);
    if (!c->findings && tightest != SIZE_MAX) c->finding[c->findings++] = tightest;
    return HW_EXIT_HOLDS;
}

static hw_code compute(choice *c)
{
    bool wanted[HW_DIGITS] = {false}, whole_hand = false;
    for (size_t i = 0; i < c->findings; i++) {
        int d = c->s->finding[c->finding[i]].digit;
        if (d >= 0)
            wanted[d] = true;
        else
            whole_hand = true;
    }
    hw_lever_table table;
    // one progress over the table and all findings
    hw_share part = {.whole = &c->call->job, .width = 0.5};
    hw_job job = {hw_share_step, &part};
    hw_code code =
        hw_lever_table_fill(c->call->arena, c->s, whole_hand ? NULL : wanted, &job, &table);
    part.width = c->findings ? 0.5 / (double)c->findings : 0;
    for (size_t i = 0; code == HW_OK && i < c->findings; i++) {
        part.from = 0.5 + part.width * (double)i;
        code = hw_levers_of(c->call->arena, &table, c->finding[i], &job, c->lever[i], LEVERS,
                            &c->levers[i]);
    }
    return code;
}

// A number with its unit in a column; `change`: a difference, with its sign. [SI]
static void put_cell(hw_buffer *b, const hw_shown_unit *u, double si, bool change, int width)
{
    char text[HW_NUMBER_TEXT + 2] = "+";
    size_t from = b->len;
    double v = change ? hw_change_shown(u, si) : hw_value_shown(u, si);
    hw_number_write_rounded(v, 3, text + (change && si > 0));
    hw_buffer_puts(b, text);
    if (*u->text) hw_buffer_format(b, " %s", u->text);
    hw_put_pad(b, from, (size_t)width);
}

// The entry's path as the finding's digit sees it: without "digits.index." in front.
static const char *seen_from(const hw_finding *f, const char *path)
{
    size_t n = strcspn(f->id, "/");
    return f->digit >= 0 && strncmp(path, f->id, n) == 0 && path[n] == '.' ? path + n + 1 : path;
}

static void put_lever(const choice *c, const hw_finding *f, const hw_lever *l, hw_buffer *b)
{
    char path[PATH_ROOM], spoiled[40];
    const hw_entry_row *row = hw_entry_row_of(l->entry, NULL);
    hw_shown_unit u = hw_unit_shown(NULL, row->dim),
                  fu = hw_unit_shown(f->kind->unit, f->kind->dim);
    hw_entry_path(l->entry, path);
    hw_buffer_puts(b, "    ");
    hw_put_cell(b, seen_from(f, path), -PATH_WIDTH);
    put_cell(b, &u, hw_design_value(c->s->design, l->entry), false, 10);
    put_cell(b, &u, l->step, true, 10);
    bool holds = l->verified && l->steps_to_hold > 0;
    put_cell(b, &fu, l->gain, true, holds ? 13 : 0);
    if (holds) {
        put_cell(b, &u, l->suggested, false, 10);
        snprintf(spoiled, sizeof spoiled, "%d", l->spoiled);
        hw_buffer_puts(b, l->spoiled ? spoiled : "none");
    }
    hw_buffer_puts(b, "\n");
}

static void put_text(const choice *c, hw_buffer *b)
{
    if (!c->findings) hw_buffer_puts(b, "No finding has a margin to move.\n");
    bool holds = false;
    for (size_t i = 0; i < c->findings; i++) {
        const hw_finding *f = &c->s->finding[c->finding[i]];
        hw_shown_unit u = hw_unit_shown(f->kind->unit, f->kind->dim);
        hw_buffer_format(b, "%s%s: %s\n    %s, margin ", i ? "\n" : "", f->id, f->kind->what,
                         hw_verdict_text(f->verdict));
        put_cell(b, &u, f->margin, true, 0);
        hw_buffer_puts(b, "\n");
        if (!c->levers[i]) {
            hw_buffer_puts(b, "    no entry moves it\n");
            continue;
        }
        hw_buffer_puts(b, "    entry                      now       step      gains        holds "
                          "at  spoils\n");
        for (size_t k = 0; k < c->levers[i]; k++) {
            put_lever(c, f, &c->lever[i][k], b);
            holds = holds || (c->lever[i][k].verified && c->lever[i][k].steps_to_hold > 0);
        }
    }
    if (holds)
        hw_buffer_puts(b,
                       "\nholds at: computed again there, and this finding holds; spoils: how many "
                       "other\nfindings that hold now fall short there\n");
}

static void put_quantity(hw_json *j, const char *key, double value, const char *unit) // [unit's]
{
    if (isnan(value)) {
        hw_json_text(j, key, NULL);
        return;
    }
    hw_json_open(j, key, '{');
    hw_json_number(j, "value", value);
    hw_json_text(j, "unit", unit);
    hw_json_close(j, '}');
}

static void lever_json(const choice *c, const hw_finding *f, const hw_lever *l, hw_json *j)
{
    char path[PATH_ROOM];
    const hw_entry_row *row = hw_entry_row_of(l->entry, NULL);
    hw_shown_unit u = hw_unit_shown(NULL, row->dim),
                  fu = hw_unit_shown(f->kind->unit, f->kind->dim);
    hw_entry_path(l->entry, path);
    hw_json_open(j, NULL, '{');
    hw_json_text(j, "entry", path);
    put_quantity(j, "now", hw_value_shown(&u, hw_design_value(c->s->design, l->entry)), u.text);
    put_quantity(j, "step", hw_change_shown(&u, l->step), u.text);
    put_quantity(j, "gain", hw_change_shown(&fu, l->gain), fu.text);
    hw_json_number(j, "gain_ratio", l->gain_ratio);
    hw_json_number(j, "steps_to_hold", l->steps_to_hold);
    put_quantity(j, "suggested", hw_value_shown(&u, l->suggested), u.text);
    hw_json_flag(j, "verified", l->verified);
    hw_json_count(j, "spoiled", (size_t)l->spoiled);
    hw_json_close(j, '}');
}

static void put_json(const choice *c, hw_buffer *b)
{
    hw_json j = {.to = b};
    hw_json_open(&j, NULL, '{');
    hw_json_count(&j, "schema", 1);
    hw_json_text(&j, "design", c->call->design_name);
    hw_json_text(&j, "fingerprint", c->call->fingerprint);
    hw_json_open(&j, "findings", '[');
    for (size_t i = 0; i < c->findings; i++) {
        const hw_finding *f = &c->s->finding[c->finding[i]];
        hw_shown_unit u = hw_unit_shown(f->kind->unit, f->kind->dim);
        hw_json_open(&j, NULL, '{');
        hw_json_text(&j, "id", f->id);
        hw_json_text(&j, "what", f->kind->what);
        hw_json_text(&j, "verdict", hw_verdict_text(f->verdict));
        hw_json_number(&j, "value", hw_value_shown(&u, f->value));
        hw_json_number(&j, "margin", hw_change_shown(&u, f->margin));
        hw_json_text(&j, "unit", u.text);
        hw_json_open(&j, "levers", '[');
        for (size_t k = 0; k < c->levers[i]; k++) lever_json(c, f, &c->lever[i][k], &j);
        hw_json_close(&j, ']');
        hw_json_close(&j, '}');
    }
    hw_json_close(&j, ']');
    hw_json_close(&j, '}');
}

hw_exit hw_verb_levers(hw_call *call)
{
    hw_assessment *s = NULL;
    hw_exit status = hw_call_assess(call, 0, &s);
    if (status != HW_EXIT_HOLDS) return status;
    choice c = {.call = call, .s = s};
    c.finding = HW_NEW(call->arena, size_t, s->findings + 1);
    c.lever = hw_arena_alloc(call->arena, s->findings + 1, sizeof *c.lever, _Alignof(hw_lever));
    c.levers = HW_NEW(call->arena, size_t, s->findings + 1);
    if (!c.finding || !c.lever || !c.levers) return hw_call_code(call, HW_NO_MEMORY);
    status = choose(&c);
    if (status != HW_EXIT_HOLDS) return status;
    hw_code code = compute(&c);
    if (code != HW_OK) return hw_call_code(call, code);
    put_text(&c, &call->text);
    put_json(&c, &call->json);
    return hw_assess_all_hold(s) ? HW_EXIT_HOLDS : HW_EXIT_SHORT;
}
