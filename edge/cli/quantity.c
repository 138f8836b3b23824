// Quantities: from the command line to SI, and from SI to the unit that people read.
#include "cli/cli_internal.h"

#include <string.h>

hw_exit hw_call_quantity(hw_call *call, const char *name, hw_text text, hw_dim dim, double *out)
{
    hw_dim found;
    hw_code code = hw_expression_value(text, out, &found, &call->diags);
    for (size_t i = 0; i < call->diags.count; i++)
        if (!call->diags.item[i].file) call->diags.item[i].file = name;
    if (code != HW_OK) return hw_call_code(call, code);
    // 0 needs no unit: it is the same in all of them
    if (hw_dim_same(found, dim) || (*out == 0 && hw_dim_same(found, HW_DIM_NONE)))
        return HW_EXIT_HOLDS;
    double scale;
    const char *unit = hw_unit_of(dim, &scale);
    return hw_call_fault(call, "\"%s\": found \"%.*s\", %s; expected %s%s%s", name, (int)text.len,
                         text.at, hw_dim_name(found), hw_dim_name(dim), *unit ? " in " : "", unit);
}

hw_shown_unit hw_unit_shown(const char *unit, hw_dim dim)
{
    hw_shown_unit u = {.text = unit};
    size_t used;
    hw_text t = hw_text_of(unit);
    if (unit && hw_unit_read(t, &u.unit, &used) == HW_OK && used == t.len) return u;
    // no unit of its own, or a word for a plain number ("N/N")
    u.unit = (hw_unit){.dim = dim, .scale = 1};
    if (!unit) u.text = hw_unit_absolute(dim, &u.unit);
    return u;
}

double hw_value_shown(const hw_shown_unit *u, double si) // [SI]
{
    return hw_from_si(si, &u->unit);
}

double hw_change_shown(const hw_shown_unit *u, double si) // [SI]
{
    return si / u->unit.scale; // a difference has no offset
}
