// handwright reckon: single formulas by name.
#include "cli/cli_internal.h"

#include "reckon/reckon.h"
#include "report/report.h"

enum { NAME_WIDTH = 28 };

static void list_text(hw_buffer *b)
{
    size_t n;
    const hw_reckon_row *row = hw_reckon_rows(&n);
    hw_buffer_puts(b, "Formulas: handwright reckon NAME KEY=VALUE ...\n");
    for (size_t i = 0; i < n; i++)
        hw_buffer_format(b, "\n%s: %s\n    handwright reckon %s %s\n    source: %s\n", row[i].name,
                         row[i].sentence, row[i].name, row[i].example, row[i].source);
}

static void list_json(hw_buffer *b)
{
    size_t n;
    const hw_reckon_row *row = hw_reckon_rows(&n);
    hw_json j = {.to = b};
    hw_json_open(&j, NULL, '{');
    hw_json_count(&j, "schema", 1);
    hw_json_open(&j, "formulas", '[');
    for (size_t i = 0; i < n; i++) {
        hw_json_open(&j, NULL, '{');
        hw_json_text(&j, "name", row[i].name);
        hw_json_text(&j, "what", row[i].sentence);
        hw_json_text(&j, "source", row[i].source);
        hw_json_text(&j, "example", row[i].example);
        hw_json_open(&j, "keys", '[');
        for (size_t k = 0; k < row[i].ins; k++) {
            hw_json_open(&j, NULL, '{');
            hw_json_text(&j, "key", row[i].in[k].name);
            hw_json_text(&j, "what", row[i].in[k].sentence);
            hw_json_text(&j, "default", row[i].in[k].fallback);
            hw_json_close(&j, '}');
        }
        hw_json_close(&j, ']');
        hw_json_close(&j, '}');
    }
    hw_json_close(&j, ']');
    hw_json_close(&j, '}');
}

// What a formula takes, for someone who gave only its name.
static void teach(const hw_reckon_row *row, hw_buffer *b)
{
    hw_buffer_format(b, "%s: %s\n", row->name, row->sentence);
    for (size_t k = 0; k < row->ins; k++) {
        const hw_reckon_key *key = &row->in[k];
        hw_buffer_puts(b, "  ");
        hw_put_cell(b, key->name, -NAME_WIDTH);
        hw_buffer_format(b, "%s%s%s%s\n", key->sentence, key->fallback ? " (default " : "",
                         key->fallback ? key->fallback : "", key->fallback ? ")" : "");
    }
    hw_buffer_format(b, "for example: handwright reckon %s %s\nsource: %s\n", row->name,
                     row->example, row->source);
}

static double as_shown(const hw_reckon_result *r)
{
    hw_shown_unit u = hw_unit_shown(*r->unit ? r->unit : NULL, r->dim);
    return hw_value_shown(&u, r->value);
}

static void put_text(const hw_reckon_row *row, const hw_reckon_result *out, size_t n, hw_buffer *b)
{
    hw_buffer_format(b, "%s: %s\n", row->name, row->sentence);
    for (size_t i = 0; i < n; i++) {
        hw_buffer_puts(b, "  ");
        hw_put_cell(b, out[i].name, -NAME_WIDTH);
        if (out[i].text)
            hw_buffer_puts(b, out[i].text);
        else {
            hw_put_number(b, as_shown(&out[i]));
            hw_buffer_format(b, "%s%s", *out[i].unit ? " " : "", out[i].unit);
        }
        hw_buffer_puts(b, "\n");
    }
    hw_buffer_format(b, "source: %s\n", row->source);
}

static hw_code put_json(const hw_reckon_row *row, const hw_reckon_result *out, size_t n,
                        hw_buffer *b)
{
    hw_report_result shown[HW_RECKON_RESULTS];
    for (size_t i = 0; i < n; i++)
        shown[i] = (hw_report_result){out[i].name, as_shown(&out[i]), out[i].unit, out[i].text};
    return hw_report_reckon_json(row->name, row->source, shown, n, b);
}

static hw_exit evaluate(hw_call *call, const hw_reckon_row *row)
{
    size_t n = 0, args = call->arguments - 1;
    hw_reckon_arg *arg = HW_NEW(call->arena, hw_reckon_arg, args);
    hw_reckon_result *out = HW_NEW(call->arena, hw_reckon_result, HW_RECKON_RESULTS);
    if (!arg || !out) return hw_call_code(call, HW_NO_MEMORY);
    for (size_t i = 0; i < args; i++)
        if (!hw_reckon_split(hw_text_of(call->argument[i + 1]), &arg[i]))
            return hw_call_fault(call, "found \"%s\", expected KEY=VALUE, such as: %s",
                                 call->argument[i + 1], row->example);
    hw_code code =
        hw_reckon_eval(row, arg, args, call->arena, out, HW_RECKON_RESULTS, &n, &call->diags);
    if (code != HW_OK) {
        hw_exit status = hw_call_code(call, code);
        // what has no answer for these values is the input's fault, not a design that falls short
        return status == HW_EXIT_SHORT ? HW_EXIT_INPUT : status;
    }
    put_text(row, out, n, &call->text);
    return hw_call_code(call, put_json(row, out, n, &call->json));
}

static bool needs_keys(const hw_reckon_row *row)
{
    for (size_t k = 0; k < row->ins; k++)
        if (!row->in[k].fallback) return true;
    return false;
}

hw_exit hw_verb_reckon(hw_call *call)
{
    if (call->arguments == 0) {
        list_text(&call->text);
        list_json(&call->json);
        return HW_EXIT_HOLDS;
    }
    hw_text name = hw_text_of(call->argument[0]);
    const hw_reckon_row *row = hw_reckon_find(name);
    if (!row) {
        const char *near = hw_reckon_nearest(name);
        return hw_call_fault(call, "no formula \"%s\"%s%s%s; handwright reckon lists them",
                             call->argument[0], near ? ", perhaps \"" : "", near ? near : "",
                             near ? "\"" : "");
    }
    if (call->arguments == 1 && needs_keys(row)) {
        hw_buffer b = {.arena = call->arena};
        teach(row, &b);
        return hw_call_fault(call, "%s needs its values\n%s", row->name, b.at ? b.at : "");
    }
    return evaluate(call, row);
}
