// A number with its unit from the command line.
#include "cli/cli_internal.h"

hw_exit hw_call_quantity(hw_call *call, const char *name, hw_text text, hw_dim dim, double *out)
{
    size_t n = hw_number_read(text, out);
    hw_unit unit;
    size_t used = 0;
    hw_text rest = {text.at + n, text.len - n};
    while (rest.len && rest.at[0] == ' ') rest.at++, rest.len--;
    hw_code code = hw_unit_read(rest, &unit, &used);
    if (n && code == HW_OK && used == rest.len && hw_dim_same(unit.dim, dim)) {
        *out = hw_to_si(*out, &unit);
        return HW_EXIT_HOLDS;
    }
    return hw_call_fault(call, "\"%s\": found \"%.*s\", expected a %s, such as 186mm", name,
                         (int)text.len, text.at, hw_dim_name(dim));
}
