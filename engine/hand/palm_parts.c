// What the document says of the parts behind the digits: seats from layout and layers, servos and
// rods of the palm where places.c has packed them, sheaths as it has routed them, servos of the
// cords from their class, the printer's numbers.
#include "hand/hand_internal.h"

#include "palm/palm.h"
#include "parts/palm.h"
#include "print/print.h"

#include <math.h>

_Static_assert((int)HW_PALM_ROOM <= (int)HW_PACK_ROOM,
               "the thumb's room goes with its lever's end");

static double get(const hw_design *d, hw_entry_id row, int digit) // [SI]
{
    return hw_design_value(d, hw_entry_of(row, digit));
}

// ---- seats ------------------------------------------------------------------------------------

hw_vec2 hw_hand_screw(const hw_hand *hand, int digit, int which)
{
    const hw_carrier_place *held = &hand->fittings[digit].carrier;
    if (hand->fitted[digit] && held->screws) return held->screw[which];
    double half = hand->digit[digit].thickness[0] / 2 - HW_PALM_SCREW;
    return (hw_vec2){0, which ? half : -half};
}

static void seat_of(const hw_hand *hand, const hw_palm *palm, int digit, hw_palm_seat *out)
{
    const hw_palm_digit *p = &palm->digit[digit];
    const hw_layers *l = &hand->layers[digit];
    const hw_digit *g = &hand->digit[digit];
    *out = (hw_palm_seat){.present = hand->present[digit] && l->n > 0};
    if (!out->present) return;
    double x[2];
    hw_carrier_block(l, x);
    const hw_layer *first = &l->layer[0], *last = &l->layer[l->n - 1];
    double a = first->y, b = last->y, wide = 0.5 * fmax(first->thickness, last->thickness);
    out->knuckle = p->knuckle;
    out->back = x[0];
    out->side[0] = fmin(a, b) - wide;
    out->side[1] = fmax(a, b) + wide;
    out->half = g->thickness[0] / 2;
    const double bed = hand->carrier_bed[digit];
    out->bed = hand->fitted[digit] && isfinite(bed) ? bed : 0;
    for (int k = 0; k < 2; k++) out->flexion[k] = p->travel[k];
    out->segment = p->segment[0];
    out->width = p->width;
    out->thickness = p->thickness[0];
    out->taper = p->thickness[1];
    const hw_carrier_place *held = &hand->fittings[digit].carrier;
    for (int e = 0; e < 2; e++) {
        out->screw[e] = hw_hand_screw(hand, digit, e);
        out->sheath[e] = (hw_vec2){held->sheath_y, e ? held->mouth : -held->mouth};
    }
    if (hand->fitted[digit] && held->sheaths) out->sheath_bore = held->sheath + 2 * hand->gap;
    out->splay_at = p->splay_at;
    out->splay_axis = p->splay_axis;
    if (digit == HW_MIDDLE) // it stands fast: its screw farther from the palm's front edge
        out->splay_at = hw_vec3_along(out->splay_at, -0.2 * g->thickness[0], p->knuckle.x);
    if (digit == HW_MIDDLE || digit == HW_THUMB) return;
    out->splay[0] = p->splay[0];
    out->splay[1] = p->splay[1];
    if (!hand->places.mover[digit].driven) return;
    out->levered = true;
    out->lever = hand->places.mover[digit].item.lever.end;
}

// The thumb's seat asks for an axis behind its joint; where its journal has no room in the palm it
// is left out.
static void seat_thumb(const hw_hand *hand, hw_palm_parts_def *f, hw_vec3 lever)
{
    hw_palm_seat *s = &f->digit[HW_THUMB];
    const hw_palm *palm = &hand->palm;
    const hw_palm_digit *p = &palm->digit[HW_THUMB];
    const hw_mover *m = &hand->places.mover[HW_THUMB];
    if (!s->present || !hand->fitted[HW_THUMB] || !hand->fittings[HW_THUMB].carrier.screws) {
        s->present = false;
        return;
    }
    s->splay_at = palm->opposition_at;
    s->splay_axis = palm->opposition_axis;
    for (int k = 0; k < 2; k++) s->splay[k] = palm->opposition[k];
    s->levered = m->driven;
    s->lever = lever;
    // two cords each way, side by side in a square
    s->bore = (1 + sqrt(2)) * hand->drive[HW_THUMB].sheath_outer + hand->gap;
    s->radius = hand->drive[HW_THUMB].sheath_radius;
    s->thickness = s->taper = fmax(p->thickness[0], p->thickness[1]);
    s->mouth = hw_palm_thumb_mouth(f);
    double mouth = s->splay_at.x - s->mouth * fabs(s->splay_axis.x);
    s->present = s->bore > 0 && mouth > f->outline[0][0].x;
}

static void put_outline(const hw_hand *hand, hw_palm_parts_def *out)
{
    for (int s = 0; s < HW_PALM_LOOPS; s++)
        for (int k = 0; k < HW_PALM_LOOP; k++) out->outline[s][k] = hand->palm.outline[s][k];
}

double hw_hand_wall(const hw_hand *hand)
{
    enum { LINES = 6 };
    const double least = 2.5e-3; // a small nozzle's lines make no walls stronger
    return fmax(LINES, ceil(least / hand->line)) * hand->line;
}

// What its seat asks is asked of the def's own plate and screw, and of these.
static void put_printer(const hw_hand *hand, hw_palm_parts_def *out)
{
    out->gap = hand->gap;
    out->line = hand->line;
    out->wall = hw_hand_wall(hand);
}

// What seats ask of the definition: numbers, outline, a seat with its rod's end, its neighbours.
static hw_palm_parts_def seat_def(const hw_hand *hand, int digit, hw_vec3 end)
{
    hw_palm_parts_def f = {.plate = HW_PALM_PLATE, .screw = HW_PALM_SCREW};
    put_printer(hand, &f);
    put_outline(hand, &f);
    for (int i = 0; i < HW_DIGITS; i++) // fingers give way to each other
        if (i == digit || (digit && i)) seat_of(hand, &hand->palm, i, &f.digit[i]);
    f.digit[digit].lever = end;
    if (digit == HW_THUMB) seat_thumb(hand, &f, end);
    return f;
}

void hw_hand_lug(const hw_hand *hand, int digit, hw_vec3 end, hw_pack_lug *out)
{
    const hw_palm_parts_def f = seat_def(hand, digit, end);
    size_t bearing;
    out->n = hw_palm_lug(&f, digit, out->body, &bearing);
    out->hooked = out->n - bearing;
    out->lack = fmax(0, -hw_palm_lug_room(&f, digit));
}

double hw_hand_seat_room(const hw_hand *hand)
{
    hw_bearing b;
    if (!hw_hand_bearing(hand, &b)) return (double)NAN;
    if (!hand->fitted[HW_THUMB] || !hand->fittings[HW_THUMB].carrier.screws) return -HW_PALM_PLATE;
    const hw_mover *m = &hand->places.mover[HW_THUMB];
    const hw_palm_parts_def f = seat_def(hand, HW_THUMB, m->item.lever.end);
    const hw_palm_seat *s = &f.digit[HW_THUMB];
    const double bend = b.face - b.radius * tan(b.bend / 2); // the arc ends in the carrier
    if (isnan(s->mouth)) return fmin(bend, -HW_PALM_PLATE);
    return s->splay_at.x - s->mouth * fabs(s->splay_axis.x) - f.outline[0][0].x;
}

size_t hw_hand_thumb_room(const hw_hand *hand, hw_vec3 end, hw_body out[])
{
    hw_bearing b;
    if (!hw_hand_bearing(hand, &b)) return 0;
    hw_palm_parts_def f = seat_def(hand, HW_THUMB, end);
    f.digit[HW_THUMB].levered = hand->places.mover[HW_THUMB].driven;
    return hw_palm_thumb_room(&f, out);
}

// ---- servos of the palm -----------------------------------------------------------------------

static void servo_of(const hw_servo_shape *s, const hw_pack_place *p, hw_palm_servo *out)
{
    *out = (hw_palm_servo){.frame = p->frame,
                           .length = s->length,
                           .width = s->width,
                           .height = s->height,
                           .ear_span = s->ear_span,
                           .ear_thickness = s->ear_thickness,
                           .ear_at = s->ear_at,
                           .shaft_at = s->shaft_at,
                           .cable = s->cable,
                           .cable_far = s->cable_far};
    hw_vec3 horn = hw_way_vector(p->slot.horn);
    hw_body own[HW_SERVO_BODIES];
    hw_servo_bodies(s, (hw_vec3){hw_vec3_dot(horn, p->frame.x), hw_vec3_dot(horn, p->frame.y), 0},
                    own);
    hw_body_span(&own[HW_SERVO_HORN], out->horn);
}

// Where the horn's hole comes to be for a lever's end: the turn that keeps the rod's length best.
static hw_vec3 horn_for(const hw_pack_item *item, const hw_pack_place *p, hw_vec3 end)
{
    enum { TRIES = 64 };
    const hw_servo_shape *s = &item->shape;
    hw_vec3 rest = hw_vec3_along(p->frame.at, s->spline, p->frame.z), best = rest;
    double least = INFINITY;
    for (int i = 0; i <= TRIES; i++) {
        hw_frame turned = hw_frame_turned(&p->frame, p->frame.at, p->frame.z,
                                          s->horn_turns * (2.0 * i / TRIES - 1));
        hw_vec3 way = hw_way_vector(p->slot.horn);
        hw_vec3 own = {hw_vec3_dot(way, p->frame.x), hw_vec3_dot(way, p->frame.y), 0};
        hw_vec3 at = hw_vec3_along(rest, s->horn_hole, hw_frame_direction(&turned, own));
        double off = fabs(hw_vec3_norm(hw_vec3_sub(end, at)) - p->rod);
        if (off < least) least = off, best = at;
    }
    return best;
}

static void rod_of(const hw_hand *hand, int digit, const hw_pack_place *p, double diameter,
                   hw_palm_rod *out)
{
    const hw_pack_item *item = &hand->places.mover[digit].item;
    const double *range = digit == HW_THUMB ? hand->palm.opposition : hand->palm.digit[digit].splay;
    const hw_servo_lever *l = &item->lever;
    hw_frame arm = hw_frame_identity();
    arm.at = l->end;
    out->radius = diameter / 2;
    out->from_palm = digit == HW_THUMB; // its lug comes in from there
    // the thumb's lever stands in the middle of its range, a finger's where it does not splay
    const double turn[3] = {digit == HW_THUMB ? (range[0] - range[1]) / 2 : range[0], 0,
                            digit == HW_THUMB ? (range[1] - range[0]) / 2 : range[1]};
    for (int k = 0; k < 3; k++) {
        out->lever[k] = hw_frame_turned(&arm, l->at, l->axis, turn[k]).at;
        out->horn[k] = horn_for(item, p, out->lever[k]);
    }
}

// What a print stands of pressure that lasts: as a bearing half as much again as its strength (as
// the finding pivot_bearing), a third of that against creep.
double hw_hand_servo_asks(const hw_hand *hand, int digit)
{
    const hw_mover *v = &hand->places.mover[digit];
    const double lasting = 1.5 / 3 * fmin(hand->strength, hand->strength_across);
    return v->line.stall_torque / v->item.shape.horn_hole / lasting;
}

static const double held_by = 3; // of what a servo's rod asks (own choice) [1]

static void put_packed(const hw_design *d, const hw_hand *hand, hw_palm_parts_def *f)
{
    const hw_places *p = &hand->places;
    f->palm_servos = f->rods = 0;
    for (size_t i = 0; i < p->pack.places; i++) {
        hw_palm_servo *s = &f->palm[f->palm_servos++];
        servo_of(&p->mover[p->whose[i]].item.shape, &p->place[i], s);
        s->asked = held_by * hw_hand_servo_asks(hand, p->whose[i]);
        rod_of(hand, p->whose[i], &p->place[i], get(d, HW_E_PALM_ROD, -1), &f->rod[f->rods++]);
    }
}

// ---- sheaths ----------------------------------------------------------------------------------

// A way as a bore, as far as `end`: its legs, and its arcs as chords of a sixteenth of a half turn.
static void bore_of(const hw_route *way, double end, double radius, hw_palm_route *out) // [m] [m]
{
    *out = (hw_palm_route){.radius = radius};
    double step = isfinite(way->radius) ? way->radius * HW_PI / 16 : end;
    step = fmax(step, end / (HW_PALM_ROUTE - 1));
    hw_vec3 was = {0, 0, 0};
    for (double s = 0;; s += step) {
        hw_vec3 at, along;
        bool last = s >= end || out->n + 1 == HW_PALM_ROUTE;
        hw_route_at(way, last ? end : s, &at, &along);
        // on a straight leg the point before is left out
        bool straight = out->n > 1 && hw_vec3_norm(hw_vec3_sub(along, was)) < 1e-6;
        if (straight) out->n--;
        out->at[out->n++] = at;
        if (last) return;
        was = along;
    }
}

// Sheaths, and leads of the palm's servos until they are in the forearm.
static void put_ways(const hw_design *d, const hw_hand *hand, hw_palm_parts_def *f)
{
    const hw_places *p = &hand->places;
    f->routes = 0;
    for (size_t i = 0; i < p->sheaths && f->routes < HW_PALM_ROUTES; i++)
        bore_of(&p->sheath[i].way, p->sheath[i].way.length,
                hand->drive[p->sheath[i].digit].sheath_outer / 2 + hand->gap / 2,
                &f->route[f->routes++]);
    const double thick = get(d, HW_E_TUNNEL_LEAD, -1);
    for (size_t i = 0; i < p->leads && f->routes < HW_PALM_ROUTES; i++)
        if (p->lead[i].way.points)
            bore_of(&p->lead[i].way, fmin(p->lead[i].inside + 3 * thick, p->lead[i].way.length),
                    thick / 2 + hand->gap / 2, &f->route[f->routes++]);
}

// ---- servos of the cords ----------------------------------------------------------------------

// As arm.c has arranged them, front row first.
static void put_servos(const hw_design *d, const hw_hand *hand, hw_palm_parts_def *f)
{
    const hw_places *p = &hand->places;
    const hw_palm_servo usual = f->arm[0];
    f->arm_servos = 0;
    for (size_t i = 0; i < p->drums && f->arm_servos < HW_PALM_SERVOS; i++) {
        const hw_drum *from = &p->drum[i];
        hw_palm_servo *s = &f->arm[f->arm_servos++];
        double sweep = from->radius + hand->drive[from->digit].cord_diameter;
        *s = usual;
        s->frame = from->servo;
        s->length = get(d, HW_E_OWN_SERVO_LENGTH, from->digit);
        s->width = get(d, HW_E_OWN_SERVO_WIDTH, from->digit);
        s->height = get(d, HW_E_OWN_SERVO_HEIGHT, from->digit);
        s->ear_span = fmax(get(d, HW_E_OWN_SERVO_EAR_SPAN, from->digit), s->length);
        s->ear_at = get(d, HW_E_OWN_SERVO_EAR_AT, from->digit);
        s->ear_thickness = get(d, HW_E_OWN_SERVO_EAR_THICKNESS, from->digit);
        s->shaft_at = get(d, HW_E_OWN_SERVO_SHAFT_AT, from->digit);
        s->horn[0] = (hw_vec3){-sweep, -sweep, 0};
        s->horn[1] = (hw_vec3){sweep, sweep, from->above + from->height / 2};
    }
}

double hw_hand_back(const hw_palm *palm)
{
    double high = -INFINITY;
    for (int i = 0; i < HW_PALM_SECTIONS * HW_PALM_AROUND; i++)
        high = fmax(high, palm->outline[i / HW_PALM_AROUND][i % HW_PALM_AROUND].z);
    return high;
}

double hw_hand_lid_over(const hw_pack_place *p, double gap, double most)
{
    double high = -INFINITY;
    for (int k = HW_SERVO_CASE; k <= HW_SERVO_EARS; k++) {
        hw_vec3 at[2];
        hw_body_span(&p->body[k], at);
        high = fmax(high, at[1].z + 1.5 * gap);
    }
    return high <= most || fabs(p->frame.z.z) > 0.5 ? high : p->frame.at.z;
}

static void split_above(const hw_hand *hand, hw_palm_parts_def *f)
{
    const hw_places *p = &hand->places;
    const double most = hw_hand_back(&hand->palm) - HW_LID_WALLS * f->wall;
    f->split = f->outline[0][0].z;
    for (size_t i = 0; i < p->pack.places; i++)
        f->split = fmax(f->split, hw_hand_lid_over(&p->place[i], f->gap, most));
}

void hw_hand_palm_parts(const hw_design *d, const hw_hand *hand, hw_palm_parts_def *out)
{
    hw_print_def printer;
    const hw_palm *palm = &hand->palm;
    *out = hw_palm_parts_def_default();
    out->board.mirrored = hand->left;
    hw_hand_print(d, &printer);
    put_printer(hand, out);
    out->bridge = printer.bridge;
    out->bears = 0.5 * hand->strength_across;
    for (int i = 0; i < 3; i++) out->bed[i] = printer.bed[i] - (i < 2 ? 2 * printer.margin : 0);
    put_outline(hand, out);
    for (int i = 0; i < HW_PALM_DIGITS; i++) seat_of(hand, palm, i, &out->digit[i]);
    seat_thumb(hand, out, hand->places.mover[HW_THUMB].item.lever.end);
    put_packed(d, hand, out);
    put_ways(d, hand, out);
    split_above(hand, out);
    put_servos(d, hand, out);
}
