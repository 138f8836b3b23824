// What a digit's parts hold beside their joints, from its entries.
#include "hand/hand_internal.h"

static double get(const hw_design *d, hw_entry_id row, int digit) // [SI]
{
    return hw_design_value(d, hw_entry_of(row, digit));
}

static hw_switch_body home_of(const hw_design *d)
{
    return (hw_switch_body){.length = get(d, HW_E_SWITCH_LENGTH, -1),
                            .height = get(d, HW_E_SWITCH_HEIGHT, -1),
                            .thickness = get(d, HW_E_SWITCH_THICKNESS, -1),
                            .lever = get(d, HW_E_SWITCH_LEVER, -1),
                            .pressed = get(d, HW_E_SWITCH_PRESSED, -1),
                            .pitch = get(d, HW_E_SWITCH_PITCH, -1),
                            .hole = get(d, HW_E_SWITCH_HOLE, -1),
                            .hole_depth = get(d, HW_E_SWITCH_HOLE_DEPTH, -1),
                            .terminals = get(d, HW_E_SWITCH_TERMINALS, -1)};
}

static hw_horn horn_of(const hw_design *d, int digit)
{
    if ((int)get(d, HW_E_CARRIER_HORN, digit) == 0) return (hw_horn){0};
    return (hw_horn){.hub = get(d, HW_E_OWN_SERVO_HORN_HUB, digit),
                     .arm = get(d, HW_E_OWN_SERVO_HORN_ARM, digit),
                     .width = get(d, HW_E_OWN_SERVO_HORN_WIDTH, digit),
                     .thickness = get(d, HW_E_OWN_SERVO_HORN_THICKNESS, digit),
                     .screw = {get(d, HW_E_OWN_SERVO_HORN_SCREW_NEAR, digit),
                               get(d, HW_E_OWN_SERVO_HORN_SCREW_FAR, digit)},
                     .pilot = get(d, HW_E_OWN_SERVO_HORN_PILOT, digit),
                     .head = get(d, HW_E_OWN_SERVO_HORN_HEAD, digit)};
}

// "Heron 1": name and revision, cut to fit.
static void mark_of(const hw_design *d, char *out, size_t size)
{
    const hw_text part[2] = {hw_design_text(d, HW_E_NAME), hw_design_text(d, HW_E_REVISION)};
    size_t n = 0;
    for (int i = 0; i < 2; i++) {
        if (i == 1 && part[i].len && n + 1 < size) out[n++] = ' ';
        for (size_t k = 0; k < part[i].len && n + 1 < size; k++) out[n++] = part[i].at[k];
    }
    out[n] = '\0';
}

// Of the carrier's seats: what the document says for all digits, else the digit's own sheath.
static double seat_of(const hw_design *d, int digit) // [m]
{
    const hw_entry_id seat = HW_E_CARRIER_SHEATH;
    bool typed = hw_design_origin(d, hw_entry_of(seat, -1)) != HW_FROM_DEFAULT;
    return typed ? get(d, seat, -1) : get(d, HW_E_OWN_SHEATH_OUTER, digit);
}

static double seat_depth_of(const hw_design *d, int digit) // [m]
{
    const hw_entry_id depth = HW_E_CARRIER_SHEATH_DEPTH;
    bool typed = hw_design_origin(d, hw_entry_of(depth, -1)) != HW_FROM_DEFAULT;
    double all = get(d, HW_E_CARRIER_SHEATH, -1), own = seat_of(d, digit);
    return get(d, depth, -1) * (typed || !(all > 0) ? 1 : own / all);
}

void hw_hand_fittings(const hw_design *d, int digit, hw_fittings_def *out)
{
    *out = hw_fittings_def_default();
    double gap = get(d, HW_E_PRINTER_GAP, -1), line = get(d, HW_E_PRINTER_LINE, -1);
    double layer = get(d, HW_E_PRINTER_LAYER, -1), cord = get(d, HW_E_OWN_CORD_DIAMETER, digit);
    // in the order of the families of core/digit: coupled bars alone have a pulley of their own
    out->driven = (int)get(d, HW_E_MECHANISM_KIND, digit) == HW_FAMILY_COUPLED_BARS;
    hw_pulley_def *p = &out->pulley;
    p->radius = get(d, HW_E_OWN_PULLEY_RADIUS, digit);
    p->cord = cord;
    p->gap = gap;
    p->line = line;
    p->spool = get(d, HW_E_OWN_SPOOL_RADIUS, digit);
    if (p->spool <= cord) p->spool = 0; // nothing would be left of its drum
    p->holes = get(d, HW_E_OWN_SPOOL_HOLES, digit);
    p->pin = get(d, HW_E_FILAMENT_DIAMETER, -1);
    out->carrier =
        (hw_carrier_def){.gap = gap,
                         .line = line,
                         .layer = layer,
                         .deviation = out->carrier.deviation,
                         .sheath = seat_of(d, digit),
                         .sheath_depth = seat_depth_of(d, digit),
                         .cord = cord,
                         .stop = (int)get(d, HW_E_CARRIER_STOP, -1) == 1,
                         .home = home_of(d),
                         .horn = horn_of(d, digit),
                         .screw = get(d, HW_E_CARRIER_SCREW, -1),
                         .screw_depth = get(d, HW_E_CARRIER_SCREW_DEPTH, -1),
                         .corners = digit == HW_THUMB && get(d, HW_E_OPPOSITION_BEHIND, -1) > 0};
    out->pad = (hw_pad_def){.recess = get(d, HW_E_PAD_RECESS, digit),
                            .margin = get(d, HW_E_PAD_MARGIN, digit),
                            .texture = (hw_pad_texture)(int)get(d, HW_E_PAD_TEXTURE, digit),
                            .pitch = get(d, HW_E_PAD_PITCH, digit),
                            .depth = get(d, HW_E_PAD_DEPTH, digit)};
    // a pitch that leaves no ridge of a line is widened to where it does
    double least = 2 * out->pad.depth + line;
    if (out->pad.pitch < least) out->pad.pitch = least;
    if (out->pad.texture != HW_PAD_PLAIN && out->pad.depth <= 0) out->pad.texture = HW_PAD_PLAIN;
    out->engraved = (int)get(d, HW_E_PARTS_ENGRAVING, -1) == 1;
    mark_of(d, out->mark, sizeof out->mark);
    out->mirrored = (int)get(d, HW_E_HAND_SIDE, -1) == HW_SIDE_LEFT;
    out->line = line;
    out->layer = layer;
}

void hw_hand_fit(const hw_design *d, int digit, hw_hand *hand)
{
    hw_fittings_def def;
    hw_fittings *held = &hand->fittings[digit];
    hw_hand_fittings(d, digit, &def);
    hand->fitted[digit] =
        hand->layers[digit].n &&
        hw_fittings_of(&def, &hand->digit[digit], &hand->layers[digit], held) == HW_OK;
    if (!hand->fitted[digit]) return;
    hw_parts_def parts;
    hw_hand_parts(d, digit, &parts);
    hand->carrier_bed[digit] = hw_parts_bed(&parts, &hand->digit[digit], held->carrier.back);
    if (!held->pulley) return;
    hand->across[digit].pulley = held->wheel.y;
    if (!held->wheel.spool.fits) return; // the tension is set at the drum
    hand->drive[digit].drum_teeth = held->wheel.spool.positions;
    hand->drive[digit].setting_radius = def.pulley.spool;
}
