// Pairs of values that only make sense in one order, beyond each one's own range.
#include "design/design_internal.h"

#include "base/text.h"

#include <string.h>

typedef struct relation {
    hw_entry_id small, large, own_small, own_large;
    bool equal;      // the two may be the same
    bool bars;       // only of digits with coupled bars: there is nothing of the hand's own
    const char *why; // the small one is too large
} relation;

#define PAIR(a, b)                                                                                 \
    .small = HW_E_DRIVE_##a, .large = HW_E_DRIVE_##b, .own_small = HW_E_OWN_##a,                   \
    .own_large = HW_E_OWN_##b
#define BARS(a, b) .own_small = HW_E_##a, .own_large = HW_E_##b, .bars = true

static const relation relations[] = {
    {PAIR(DRUM_RADIUS, SERVO_DRUM_ROOM), .equal = true,
     .why = "is a larger drum than the servo's place allows"},
    {PAIR(CORD_DIAMETER, SHEATH_BORE), .equal = false,
     .why = "leaves no gap between cord and sheath"},
    {PAIR(SHEATH_BORE, SHEATH_OUTER), .equal = false, .why = "leaves no wall to the sheath"},
    {PAIR(SERVO_NO_LOAD_CURRENT, SERVO_STALL_CURRENT), .equal = true,
     .why = "is more than at a stand"},
    {PAIR(SHEATH_MU_LOW, SHEATH_MU), .equal = true, .why = "is more than the ordinary friction"},
    {PAIR(SERVO_COST_LOW, SERVO_COST_HIGH), .equal = true,
     .why = "is more than the most that one costs"},
    {PAIR(CORD_COST_LOW, CORD_COST_HIGH), .equal = true,
     .why = "is more than the most that it costs"},
    {PAIR(SHEATH_COST_LOW, SHEATH_COST_HIGH), .equal = true,
     .why = "is more than the most that it costs"},
    {PAIR(SHEATH_MU, SHEATH_MU_HIGH), .equal = true,
     .why = "is more than the most friction to expect"},
    {BARS(BAR_A_HORN, THICKNESS_MIDDLE), .equal = true, .why = "is longer than the digit is thick"},
    {BARS(BAR_B_HORN, THICKNESS_DISTAL), .equal = true, .why = "is longer than the digit is thick"},
};

enum { RELATIONS = sizeof relations / sizeof relations[0] };

// The pair for a digit, or the hand's own (digit -1).
static void pair_of(const relation *r, int digit, hw_entry *small, hw_entry *large)
{
    *small = hw_entry_of(digit < 0 ? r->small : r->own_small, digit);
    *large = hw_entry_of(digit < 0 ? r->large : r->own_large, digit);
}

static bool in_order(const relation *r, double small, double large)
{
    return small < large || (r->equal && small <= large);
}

// A joint with its servo on it has neither drum nor cord; only coupled bars have horns.
static bool applies(const relation *r, const double *value, int digit)
{
    double kind = digit < 0 ? -1 : value[hw_entry_of(HW_E_MECHANISM_KIND, digit)];
    return r->bars ? kind == 0 : kind != 1;
}

bool hw_relations_hold(const double *value)
{
    for (int digit = -1; digit < HW_DIGITS; digit++) {
        for (size_t i = 0; i < RELATIONS; i++) {
            hw_entry small, large;
            if (!applies(&relations[i], value, digit)) continue;
            pair_of(&relations[i], digit, &small, &large);
            if (!in_order(&relations[i], value[small], value[large])) return false;
        }
    }
    return true;
}

static void report(hw_reader *r, const relation *rule, hw_entry small, hw_entry large,
                   const double *value)
{
    char found[64], limit[64], expected[64], path[HW_PATH_TEXT];
    hw_dim dim = hw_entry_row_of(small, NULL)->dim;
    const char *lead = rule->equal ? "at most " : "less than ";
    hw_quantity_text(value[small], dim, found);
    size_t n = hw_quantity_text(value[large], dim, limit), l = strlen(lead);
    if (n > sizeof expected - 1 - l) n = sizeof expected - 1 - l;
    memcpy(expected, lead, l);
    memcpy(expected + l, limit, n);
    expected[l + n] = '\0';
    const hw_slot *slot = hw_blame(r, small, 16);
    if (!slot) slot = hw_blame(r, large, 16);
    hw_entry_path(small, path);
    HW_FAULT(&r->faults, slot ? slot->source : NULL, slot ? hw_node_place(slot->node) : SIZE_MAX,
             hw_text_of(found), hw_text_of(expected), "'%s' %s", path, rule->why);
}

void hw_check_relations(hw_reader *r, const double *value, const bool *poisoned)
{
    for (int digit = -1; digit < HW_DIGITS; digit++) {
        for (size_t i = 0; i < RELATIONS; i++) {
            hw_entry small, large;
            if (!applies(&relations[i], value, digit)) continue;
            pair_of(&relations[i], digit, &small, &large);
            bool repeats = digit >= 0 && r->final[small].origin == HW_FROM_DEFAULT &&
                           r->final[large].origin == HW_FROM_DEFAULT;
            if (repeats || poisoned[small] || poisoned[large]) continue;
            if (!in_order(&relations[i], value[small], value[large]))
                report(r, &relations[i], small, large, value);
        }
    }
}
