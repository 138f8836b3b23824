// Messages about dimensions and quantities.
#include "design/design_internal.h"

#include "base/text.h"

#include <math.h>
#include <string.h>

size_t hw_quantity_text(double si, hw_dim dim, char out[64])
{
    hw_unit shown;
    const char *unit = hw_unit_absolute(dim, &shown);
    char number[HW_NUMBER_TEXT];
    size_t n = hw_number_write_rounded(hw_from_si(si, &shown), 6, number), u = strlen(unit);
    if (u > 24) u = 0;
    memcpy(out, number, n);
    if (u) out[n++] = ' ';
    memcpy(out + n, unit, u);
    out[n + u] = '\0';
    return n + u;
}

static bool same_but_angle(hw_dim a, hw_dim b)
{
    a.rad = b.rad = 0;
    return hw_dim_same(a, b);
}

// What to write instead, for the mix-ups that people make.
static const char *hint_for(hw_dim got, hw_dim want)
{
    if (hw_dim_same(got, HW_DIM_MASS) && hw_dim_same(want, HW_DIM_FORCE))
        return ": a weight's force is written kgf or N";
    if (hw_dim_same(got, (hw_dim){1, 1, 0, 0, 0, 0}) && hw_dim_same(want, HW_DIM_TORQUE))
        return ": write kgf*cm for kg*cm";
    if (hw_dim_same(got, HW_DIM_FREQUENCY) && hw_dim_same(want, HW_DIM_TURN_SPEED))
        return ": write rpm or deg/s";
    if (same_but_angle(got, want))
        return got.rad > want.rad ? ": angle is a dimension, divide by 1 rad"
                                  : ": angle is a dimension, multiply by 1 rad";
    return "";
}

// Appends a text to a field of 64 bytes as far as it fits; the new length.
static size_t append(char out[64], size_t n, const char *text)
{
    for (; *text && n < 63; text++) out[n++] = *text;
    out[n] = '\0';
    return n;
}

bool hw_dim_fits(hw_faults *f, const hw_source *s, size_t offset, const hw_expr *got, hw_dim want,
                 const char *what)
{
    if (got->zero || hw_dim_same(got->dim, want)) return true;
    hw_unit usual;
    char expected[64];
    const char *unit = hw_unit_absolute(want, &usual);
    size_t n = append(expected, 0, hw_dim_name(want));
    if (!hw_dim_same(want, HW_DIM_NONE)) {
        n = append(expected, n, " (");
        n = append(expected, n, unit);
        append(expected, n, ")");
    }
    char product[HW_DIM_TEXT];
    hw_text found = hw_text_of(hw_dim_name(got->dim));
    if (hw_text_same(found, HW_TEXT("another quantity")))
        found = (hw_text){product, hw_dim_write(got->dim, product)};
    if (got->plain && hw_dim_same(got->dim, HW_DIM_NONE)) {
        char number[HW_NUMBER_TEXT];
        size_t length = hw_number_write(got->value, number);
        HW_FAULT(f, s, offset, ((hw_text){number, length}), hw_text_of(expected),
                 "'%s' needs a unit", what);
    } else
        HW_FAULT(f, s, offset, found, hw_text_of(expected), "'%s' is another quantity%s", what,
                 hint_for(got->dim, want));
    return false;
}

static void range_text(const hw_entry_row *row, char out[64])
{
    char high[64];
    size_t n = hw_quantity_text(row->low, row->dim, out);
    hw_quantity_text(row->high, row->dim, high);
    n = append(out, n, " to ");
    append(out, n, high);
}

const char *hw_value_fault(const hw_entry_row *row, double value, char found[64], char expected[64])
{
    found[0] = expected[0] = '\0';
    if (!isfinite(value)) {
        size_t n = hw_number_write(value, found);
        found[n] = '\0';
        append(expected, 0, "a finite number");
        return "does not come out as a number";
    }
    if (value < row->low || value > row->high) {
        hw_quantity_text(value, row->dim, found);
        range_text(row, expected);
        return "is out of its physical range";
    }
    if (row->type == HW_ENTRY_COUNT && value != floor(value)) {
        hw_quantity_text(value, row->dim, found);
        append(expected, 0, "a whole number");
        return "is not whole";
    }
    return NULL;
}
