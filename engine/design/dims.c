// Messages about dimensions and quantities.
#include "design/design_internal.h"

#include "base/text.h"

#include <math.h>
#include <string.h>

size_t hw_quantity_text(double si, hw_dim dim, char out[64])
{
    double scale;
    const char *unit = hw_unit_of(dim, &scale);
    char number[HW_NUMBER_TEXT];
    size_t n = hw_number_write_rounded(si / scale, 6, number), u = strlen(unit);
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

bool hw_dim_fits(hw_faults *f, const hw_source *s, size_t offset, const hw_expr *got, hw_dim want,
                 const char *what)
{
    if (got->zero || hw_dim_same(got->dim, want)) return true;
    double scale;
    char expected[64];
    const char *unit = hw_unit_of(want, &scale);
    hw_diag made;
    hw_diags one = {.item = &made, .capacity = 1};
    bool plain_wanted = hw_dim_same(want, HW_DIM_NONE);
    // "length (mm)", cut to its field by hw_diag_say.
    char text[128];
    size_t n = strlen(hw_dim_name(want));
    memcpy(text, hw_dim_name(want), n);
    if (!plain_wanted) {
        memcpy(text + n, " (", 2);
        memcpy(text + n + 2, unit, strlen(unit));
        n += 2 + strlen(unit);
        text[n++] = ')';
    }
    hw_diag_say(&one, HW_OK, NULL, 0, 0, (hw_text){NULL, 0}, (hw_text){text, n},
                (hw_text){NULL, 0});
    memcpy(expected, made.expected, sizeof expected);
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

// Room of a value's range for messages.
static void range_text(const hw_entry_row *row, char out[64])
{
    char low[64], high[64];
    size_t a = hw_quantity_text(row->low, row->dim, low);
    size_t b = hw_quantity_text(row->high, row->dim, high);
    if (a + b + 5 > 64) a = 0;
    memcpy(out, low, a);
    memcpy(out + a, a ? " to " : "", a ? 4 : 0);
    a += a ? 4 : 0;
    memcpy(out + a, high, b + 1);
}

const char *hw_value_fault(const hw_entry_row *row, double value, char found[64], char expected[64])
{
    found[0] = expected[0] = '\0';
    if (!isfinite(value)) {
        size_t n = hw_number_write(value, found);
        found[n] = '\0';
        memcpy(expected, "a finite number", sizeof "a finite number");
        return "does not come out as a number";
    }
    if (value < row->low || value > row->high) {
        hw_quantity_text(value, row->dim, found);
        range_text(row, expected);
        return "is out of its physical range";
    }
    if (row->type == HW_ENTRY_COUNT && value != floor(value)) {
        hw_quantity_text(value, row->dim, found);
        memcpy(expected, "a whole number", sizeof "a whole number");
        return "is not whole";
    }
    return NULL;
}
