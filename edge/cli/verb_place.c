// handwright place: where things stand in the palm, searched; entries to paste.
#include "cli/place_internal.h"

#include <math.h>

enum { ROWS = 8, ID_WIDTH = 18, CELL = 12 };

static double least(double a, double b) // any unit
{
    return isnan(a) || b < a ? b : a;
}

static void values_of(const hw_design *d, const hw_hand *h, double out[ROWS]) // [1]
{
    const hw_places *p = &h->places;
    double room = NAN, radius = NAN, bend = NAN, crossings = 0;
    for (size_t i = 0; i < p->sheaths; i++) {
        const hw_sheath_way *s = &p->sheath[i];
        room = least(room, s->room);
        radius = least(radius, s->way.radius);
        bend = -least(-bend, -s->way.bend);
        crossings += (double)s->crossings;
    }
    out[0] = 1e3 * hw_hand_lacks(d, h);
    out[1] = 1e3 * p->pack.room;
    out[2] = 1e3 * h->palm.height;
    out[3] = 1e3 * room;
    out[4] = 1e3 * radius;
    out[5] = bend * 180 / HW_PI;
    out[7] = NAN;
    for (size_t i = 0; i < p->leads; i++)
        out[7] = least(out[7], 1e3 * (p->lead[i].has - p->lead[i].needs));
    out[6] = p->sheaths ? crossings : (double)NAN;
}

void hw_place_mm(hw_buffer *b, double m) // [m]
{
    char text[HW_NUMBER_TEXT];
    hw_number_write(round(1e6 * m) / 1000, text);
    hw_buffer_format(b, "%s mm", text);
}

void hw_place_length(hw_buffer *b, const char *name, double m) // [m]
{
    hw_buffer_format(b, "%s: ", name);
    hw_place_mm(b, m);
}

void hw_place_at(hw_buffer *b, hw_vec3 v)
{
    hw_buffer_puts(b, "{");
    hw_place_length(b, "x", v.x);
    hw_buffer_puts(b, ", ");
    hw_place_length(b, "y", v.y);
    hw_buffer_puts(b, ", ");
    hw_place_length(b, "z", v.z);
    hw_buffer_puts(b, "}");
}

static void put_mover(const hw_hand *h, int digit, hw_buffer *b)
{
    const hw_pack_item *item = &h->places.mover[digit].item;
    hw_buffer_format(b, "  %s:\n    %s:\n      slot: {at: ", hw_digit_name[digit],
                     digit == HW_THUMB ? "opposition" : "splay");
    hw_place_at(b, item->slot.at);
    hw_buffer_format(b, ", shaft: %s, body: %s, horn: %s}\n      servo: {",
                     hw_place_way(item->slot.shaft), hw_place_way(item->slot.body),
                     hw_place_way(item->slot.horn));
    hw_place_length(b, "horn_arm", item->shape.horn_arm);
    hw_buffer_puts(b, ", ");
    hw_place_length(b, "horn_hole", item->shape.horn_hole);
    hw_buffer_puts(b, "}\n      lever: ");
    hw_place_at(b, hw_hand_lever_arm(h, digit, &item->lever));
    hw_buffer_puts(b, "\n");
}

static void put_text(const hw_place_row row[], size_t rows, const char *entries, hw_buffer *b)
{
    hw_put_cell(b, "", -ID_WIDTH);
    hw_put_cell(b, "now", CELL);
    hw_put_cell(b, "found", CELL);
    hw_buffer_puts(b, "\n");
    for (size_t i = 0; i < rows; i++) {
        if (isnan(row[i].value[0]) && isnan(row[i].value[1])) continue;
        hw_put_cell(b, row[i].id, -ID_WIDTH);
        for (int k = 0; k < 2; k++) {
            char text[HW_NUMBER_TEXT] = "—";
            if (!isnan(row[i].value[k])) hw_number_write_rounded(row[i].value[k], 3, text);
            hw_put_cell(b, text, CELL);
        }
        hw_buffer_format(b, " %s\n", row[i].unit);
    }
    hw_buffer_format(b, "\nWhat was found, to paste:\n\n%s", entries);
}

static void put_json(hw_call *call, const hw_place_row row[], size_t rows, const char *entries)
{
    hw_json j = {.to = &call->json};
    hw_json_open(&j, NULL, '{');
    hw_json_count(&j, "schema", 1);
    hw_json_text(&j, "design", call->design_name);
    hw_json_text(&j, "fingerprint", call->fingerprint);
    hw_json_open(&j, "values", '[');
    for (size_t i = 0; i < rows; i++) {
        hw_json_open(&j, NULL, '{');
        hw_json_text(&j, "id", row[i].id);
        hw_json_text(&j, "unit", row[i].unit);
        hw_json_number(&j, "now", row[i].value[0]);
        hw_json_number(&j, "found", row[i].value[1]);
        hw_json_close(&j, '}');
    }
    hw_json_close(&j, ']');
    hw_json_text(&j, "entries", entries);
    hw_json_close(&j, '}');
}

void hw_place_put(hw_call *call, const hw_place_row row[], size_t rows, const char *entries)
{
    put_text(row, rows, entries, &call->text);
    put_json(call, row, rows, entries);
}

// Servos of splay and opposition.
static hw_exit place_servos(hw_call *call, const hw_design *d)
{
    hw_place_row row[ROWS] = {
        {"lacking in all", "mm", {NAN, NAN}}, {"servo_room", "mm", {NAN, NAN}},
        {"palm_thickness", "mm", {NAN, NAN}}, {"sheath_room", "mm", {NAN, NAN}},
        {"sheath_radius", "mm", {NAN, NAN}},  {"sheath_bend", "deg", {NAN, NAN}},
        {"sheath_crossings", "", {NAN, NAN}}, {"lead_room", "mm", {NAN, NAN}}};
    hw_hand *hand = HW_NEW(call->arena, hw_hand, 2);
    if (!hand) return hw_call_code(call, HW_NO_MEMORY);
    hw_hand_build(d, &hand[0]);
    if (hand[0].places.movers == 0)
        return hw_call_fault(call, "no servo stands in the palm: digits.*.splay.driven and "
                                   "digits.thumb.opposition.driven say which do");
    hw_code code = hw_hand_slots(call->arena, d, &hand[0], &call->job, &hand[1]);
    if (code != HW_OK) return hw_call_code(call, code);
    hw_text document = call->document;
    hw_design *again = NULL;
    hw_exit status = hw_place_again(call, &hand[1], &document, &again);
    if (status != HW_EXIT_HOLDS) return status;
    hw_call_file(call, HW_PLACE_FILE, document);
    hw_hand_build(again, &hand[1]); // as the document has it now, to a thousandth
    for (int k = 0; k < 2; k++) {
        double v[ROWS];
        values_of(k ? again : d, &hand[k], v);
        for (size_t i = 0; i < ROWS; i++) row[i].value[k] = v[i];
    }
    hw_buffer entries = {.arena = call->arena};
    hw_buffer_puts(&entries, "digits:\n");
    for (int i = 0; i < HW_DIGITS; i++)
        if (hand[1].places.mover[i].driven) put_mover(&hand[1], i, &entries);
    hw_place_put(call, row, ROWS, entries.at);
    const hw_places *p = &hand[1].places;
    return p->pack.room >= 0 && hand[1].palm.deeper == 0 ? HW_EXIT_HOLDS : HW_EXIT_SHORT;
}

hw_exit hw_verb_place(hw_call *call)
{
    hw_design *d = NULL;
    bool thumb = call->option[HW_OPT_THUMB];
    if (thumb == (call->option[HW_OPT_SERVOS] != NULL))
        return hw_call_fault(call, "say what to place: --servos or --thumb");
    hw_exit status = hw_call_design(call, 0, &d);
    if (status != HW_EXIT_HOLDS) return status;
    return thumb ? hw_place_thumb(call, d) : place_servos(call, d);
}
