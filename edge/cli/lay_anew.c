// The document again, with servos in the palm where a search found them.
#include "cli/place_internal.h"

enum { EDITS = 11 * HW_DIGITS };

static const char *const way[HW_WAYS] = {"fingers", "wrist", "thumb", "little", "back", "palm"};

const char *hw_place_way(hw_way w)
{
    return way[w];
}

typedef struct editor {
    hw_call *call;
    const char *digit, *joint; // "ring", "splay"
    hw_edit edit[EDITS];
    size_t n;
} editor;

static void put(editor *e, const char *entry, const char *text)
{
    const char *variant = e->call->option[HW_OPT_VARIANT];
    hw_buffer path = {.arena = e->call->arena};
    if (variant) hw_buffer_format(&path, "variants.%s.", variant);
    hw_buffer_format(&path, "digits.%s.%s.%s", e->digit, e->joint, entry);
    if (path.at && e->n < EDITS) e->edit[e->n++] = (hw_edit){hw_text_of(path.at), hw_text_of(text)};
}

static void put_length(editor *e, const char *entry, double m) // [m]
{
    hw_buffer text = {.arena = e->call->arena};
    hw_place_mm(&text, m);
    if (text.at) put(e, entry, text.at);
}

static void put_mover(editor *e, const hw_hand *h, int digit)
{
    const hw_pack_item *item = &h->places.mover[digit].item;
    const hw_vec3 arm = hw_hand_lever_arm(h, digit, &item->lever);
    e->digit = hw_digit_name[digit];
    e->joint = digit == HW_THUMB ? "opposition" : "splay";
    put_length(e, "slot.at.x", item->slot.at.x);
    put_length(e, "slot.at.y", item->slot.at.y);
    put_length(e, "slot.at.z", item->slot.at.z);
    put(e, "slot.shaft", way[item->slot.shaft]);
    put(e, "slot.body", way[item->slot.body]);
    put(e, "slot.horn", way[item->slot.horn]);
    put_length(e, "servo.horn_arm", item->shape.horn_arm);
    put_length(e, "servo.horn_hole", item->shape.horn_hole);
    put_length(e, "lever.x", arm.x);
    put_length(e, "lever.y", arm.y);
    put_length(e, "lever.z", arm.z);
}

hw_exit hw_place_again(hw_call *call, const hw_hand *found, hw_text *document, hw_design **again)
{
    editor *e = HW_NEW(call->arena, editor, 1);
    if (!e) return hw_call_code(call, HW_NO_MEMORY);
    *e = (editor){.call = call};
    for (int i = 0; i < HW_DIGITS; i++)
        if (found->places.mover[i].driven) put_mover(e, found, i);
    hw_code code = hw_design_edit(call->arena, call->document, call->argument[0], e->edit, e->n,
                                  document, &call->diags);
    if (code != HW_OK) return hw_call_code(call, code);
    return hw_call_design_of(call, call->argument[0], *document, again);
}
