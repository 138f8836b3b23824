// handwright place --thumb: the thumb's base and its axis of opposition.
#include "cli/place_internal.h"

#include "hand/thumb_base.h"

#include <math.h>

enum { OWN = 8, ROWS = OWN + HW_GRIPS, GRIP_ID = 24 };

static void put_angle(hw_buffer *b, const char *name, double angle) // [rad]
{
    char text[HW_NUMBER_TEXT];
    hw_number_write(round(angle * 1800 / HW_PI) / 10, text);
    hw_buffer_format(b, "%s: %s deg", name, text);
}

static void put_entries(const hw_palm_def *f, hw_buffer *b)
{
    const hw_palm_pointing *o = &f->digit[HW_THUMB].points;
    const char *const name[] = {"turn", "rise", "roll"};
    const double angle[] = {o->turn, o->rise, o->roll};
    hw_buffer_puts(b, "palm:\n  opposition: {");
    hw_place_length(b, "behind", f->opposition_behind);
    hw_buffer_puts(b, ", ");
    put_angle(b, "turn", f->opposition_turn);
    hw_buffer_puts(b, ", ");
    put_angle(b, "rise", f->opposition_rise);
    hw_buffer_puts(b, "}\ndigits:\n  thumb:\n    knuckle: {at: ");
    hw_place_at(b, f->digit[HW_THUMB].knuckle);
    for (int i = 0; i < 3; i++) {
        hw_buffer_puts(b, ", ");
        put_angle(b, name[i], angle[i]);
    }
    hw_buffer_puts(b, "}\n");
}

static void rows_of(const hw_thumb_stand s[2], char id[HW_GRIPS][GRIP_ID], hw_place_row row[ROWS])
{
    static const hw_place_row own[OWN] = {
        {"palm swept", "%", {0, 0}},    {"thumb_miss", "mm", {0, 0}},
        {"thumb_angle", "deg", {0, 0}}, {"behind_room", "mm", {0, 0}},
        {"journal_room", "mm", {0, 0}}, {"bearing_room", "mm", {0, 0}},
        {"carrier_room", "mm", {0, 0}}, {"sheath_room", "mm", {0, 0}}};
    for (int i = 0; i < ROWS; i++) {
        int grip = i - OWN;
        if (grip >= 0)
            (void)snprintf(id[grip], GRIP_ID, "grip_%s", hw_grip_name((hw_grip_pattern)grip));
        row[i] = grip < 0 ? own[i] : (hw_place_row){id[grip], "mm", {0, 0}};
        for (int k = 0; k < 2; k++) {
            const hw_thumb_room *r = &s[k].room;
            const double value[OWN] = {100 * r->palm,     1e3 * s[k].miss, s[k].angle * 180 / HW_PI,
                                       1e3 * r->behind,   1e3 * r->mouth,  1e3 * r->body,
                                       1e3 * r->carriers, 1e3 * r->sheaths};
            row[i].value[k] = grip < 0 ? value[i] : 1e3 * r->grip[grip];
        }
    }
}

hw_exit hw_place_thumb(hw_call *call, const hw_design *d)
{
    hw_place_row row[ROWS];
    char id[HW_GRIPS][GRIP_ID];
    hw_hand *hand = HW_NEW(call->arena, hw_hand, 1);
    hw_thumb_stand *stand = HW_NEW(call->arena, hw_thumb_stand, 2);
    if (!hand || !stand) return hw_call_code(call, HW_NO_MEMORY);
    hw_hand_build(d, hand);
    if (!hand->present[HW_THUMB] || !hand->present[HW_INDEX] || !hand->present[HW_MIDDLE])
        return hw_call_fault(call, "the thumb is placed for its grips: it, index or middle finger "
                                   "is absent");
    hw_code code = hw_hand_seek_thumb(call->arena, d, hand, &call->job, stand);
    if (code != HW_OK) return hw_call_code(call, code);
    hw_buffer entries = {.arena = call->arena};
    put_entries(&stand[1].def, &entries);
    rows_of(stand, id, row);
    hw_place_put(call, row, ROWS, entries.at);
    return stand[1].holds ? HW_EXIT_HOLDS : HW_EXIT_SHORT;
}
