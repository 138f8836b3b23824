// JSON of an assessment and of a stroke; docs/schema describes both.
#include <math.h>

#include "report/json.h"
#include "report/report_internal.h"

#define DEG (180 / HW_PI)
#define MM  1000.0

static void lever_json(hw_json *j, const hw_finding *f, const hw_lever *l)
{
    char path[HW_PATH_TEXT];
    int digit;
    const hw_entry_row *row = hw_entry_row_of(l->entry, &digit);
    if (!row) return;
    hw_shown e = hw_shown_entry(row), u = hw_shown_finding(f->kind);
    hw_entry_path(l->entry, path);
    hw_json_open(j, NULL, '{');
    hw_json_text(j, "entry", path);
    hw_json_number(j, "step", l->step / e.scale);
    hw_json_text(j, "unit", e.unit);
    hw_json_number(j, "gain", l->gain / u.scale);
    hw_json_number(j, "gain_ratio", l->gain_ratio);
    hw_json_number(j, "steps_to_hold", l->steps_to_hold);
    hw_json_number(j, "suggested", l->suggested / e.scale);
    hw_json_flag(j, "verified", l->verified);
    hw_json_count(j, "spoiled", l->spoiled > 0 ? (size_t)l->spoiled : 0);
    hw_json_close(j, '}');
}

void hw_put_finding_json(hw_json *j, const hw_finding *f)
{
    hw_shown u = hw_shown_finding(f->kind);
    hw_json_text(j, "id", f->id);
    hw_json_text(j, "what", f->kind->what);
    hw_json_number(j, "value", f->value / u.scale);
    hw_json_number(j, "low", f->low / u.scale);
    hw_json_number(j, "high", f->high / u.scale);
    hw_json_text(j, "unit", u.unit);
    hw_json_number(j, "margin", f->margin / u.scale);
    hw_json_number(j, "margin_ratio", f->margin_ratio);
    hw_json_text(j, "verdict", hw_verdict_text(f->verdict));
    hw_json_flag(j, "required", f->required);
    hw_json_text(j, "source", f->kind->source);
    hw_json_text(j, "origin", f->origin);
    hw_json_text(j, "note", f->note || f->verdict != HW_UNKNOWN ? f->note : f->kind->unknown);
}

static void finding_json(hw_json *j, const hw_report *r, size_t i)
{
    const hw_finding *f = &r->assessment->finding[i];
    hw_json_open(j, NULL, '{');
    hw_put_finding_json(j, f);
    hw_json_open(j, "levers", '[');
    for (size_t k = 0; r->levers && k < r->levers[i].n; k++)
        lever_json(j, f, &r->levers[i].lever[k]);
    hw_json_close(j, ']');
    hw_json_close(j, '}');
}

const char *hw_fingerprint_text(uint64_t print, char out[17])
{
    static const char hex[] = "0123456789abcdef";
    for (int i = 0; i < 16; i++) out[i] = hex[print >> (60 - 4 * i) & 15];
    out[16] = '\0';
    return out;
}

hw_code hw_report_json(const hw_report *r, hw_buffer *out)
{
    const hw_assessment *s = r->assessment;
    hw_json j = {.to = out};
    char print[17];
    bool all = hw_assess_all_hold(s);
    hw_json_open(&j, NULL, '{');
    hw_json_count(&j, "schema", 1);
    hw_json_text(&j, "design", hw_report_name(out->arena, s->design));
    hw_json_text(&j, "file", hw_design_file(s->design));
    hw_json_text(&j, "variant", r->variant);
    hw_json_text(&j, "fingerprint", hw_fingerprint_text(hw_design_fingerprint(s->design), print));
    hw_json_text(&j, "verdict",
                 hw_verdict_text(all               ? HW_HOLDS
                                 : s->fallen_short ? HW_FALLS_SHORT
                                                   : HW_UNKNOWN));
    hw_json_count(&j, "held", s->held);
    hw_json_count(&j, "fallen_short", s->fallen_short);
    hw_json_count(&j, "unknown", s->unknown);
    hw_json_count(&j, "required", s->required);
    hw_json_count(&j, "required_elsewhere", s->elsewhere);
    hw_json_count(&j, "required_held", s->required_held);
    hw_json_open(&j, "findings", '[');
    for (size_t i = 0; i < s->findings; i++) finding_json(&j, r, i);
    hw_json_close(&j, ']');
    hw_json_close(&j, '}');
    return hw_arena_failed(out->arena) ? HW_NO_MEMORY : HW_OK;
}

// ---- stroke -----------------------------------------------------------------------------------

// The row where it says something, else NULL: what a family does not have is null as a whole.
static const double *or_null(const double *row, size_t n)
{
    for (size_t i = 0; i < n; i++)
        if (!isnan(row[i])) return row;
    return NULL;
}

static void joints_json(hw_json *j, const hw_digit *d, const hw_stroke *s)
{
    static const char *const finger[HW_JOINTS] = {"mcp_deg", "pip_deg", "dip_deg"};
    static const char *const thumb[HW_JOINTS] = {"cmc_deg", "mcp_deg", "ip_deg"};
    for (int i = 0; i < HW_JOINTS; i++)
        hw_json_row(j, d->thumb ? thumb[i] : finger[i], s->joint[i], s->n, DEG);
    for (int i = 1; d->thumb && i < HW_JOINTS; i++) hw_json_row(j, finger[i], NULL, 0, 1);
}

static void pins_json(hw_json *j, const hw_digit *d, const hw_stroke *s)
{
    static const char *const finger[HW_JOINTS] = {"mcp_pin_n", "pip_pin_n", "dip_pin_n"};
    static const char *const thumb[HW_JOINTS] = {"cmc_pin_n", "mcp_pin_n", "ip_pin_n"};
    for (int i = 0; i < HW_JOINTS; i++)
        hw_json_row(j, d->thumb ? thumb[i] : finger[i], or_null(s->pin[i], s->n), s->n, 1);
    for (int i = 1; d->thumb && i < HW_JOINTS; i++) hw_json_row(j, finger[i], NULL, 0, 1);
}

static void tip_json(hw_json *j, const hw_stroke *s)
{
    hw_json_open(j, "tip_mm", '[');
    for (size_t i = 0; i < s->n; i++) {
        double at[2] = {s->tip_x[i], s->tip_z[i]};
        bool known = isfinite(at[0]) && isfinite(at[1]);
        hw_json_row(j, NULL, known ? at : NULL, 2, MM);
    }
    hw_json_close(j, ']');
}

hw_code hw_report_stroke_json(const char *design, const char *digit, const hw_digit *d,
                              const hw_stroke *s, hw_buffer *out)
{
    const hw_digit_family *family = hw_digit_family_of(d->family);
    hw_json j = {.to = out};
    hw_json_open(&j, NULL, '{');
    hw_json_count(&j, "schema", 1);
    hw_json_text(&j, "design", design);
    hw_json_text(&j, "digit", digit);
    hw_json_text(&j, "family", family ? family->name : NULL);
    hw_json_row(&j, "s", s->s, s->n, 1);
    joints_json(&j, d, s);
    tip_json(&j, s);
    hw_json_row(&j, "bar_a_n", or_null(s->bar[0], s->n), s->n, 1);
    hw_json_row(&j, "bar_b_n", or_null(s->bar[1], s->n), s->n, 1);
    pins_json(&j, d, s);
    hw_json_row(&j, "torque_nmm", or_null(s->torque, s->n), s->n, MM);
    hw_json_close(&j, '}');
    return hw_arena_failed(out->arena) ? HW_NO_MEMORY : HW_OK;
}

// ---- formulas -----------------------------------------------------------------------------------

hw_code hw_report_reckon_json(const char *name, const char *source, const hw_report_result result[],
                              size_t n, hw_buffer *out)
{
    hw_json j = {.to = out};
    hw_json_open(&j, NULL, '{');
    hw_json_count(&j, "schema", 1);
    hw_json_text(&j, "name", name);
    hw_json_text(&j, "source", source);
    hw_json_open(&j, "results", '{');
    for (size_t i = 0; i < n; i++) {
        hw_json_open(&j, result[i].name, '{');
        if (result[i].text)
            hw_json_text(&j, "value", result[i].text);
        else
            hw_json_number(&j, "value", result[i].value);
        hw_json_text(&j, "unit", result[i].unit);
        hw_json_close(&j, '}');
    }
    hw_json_close(&j, '}');
    hw_json_close(&j, '}');
    return hw_arena_failed(out->arena) ? HW_NO_MEMORY : HW_OK;
}
