// What the document says of the parts behind the digits: seats from layout and layers, servos of
// flexion from their class, the printer's numbers. Servos in the palm stand where the default of
// core/parts has them, at this hand's size.
#include "hand/hand_internal.h"

#include "palm/palm.h"
#include "parts/palm.h"
#include "print/print.h"

#include <math.h>

#define USUAL_LENGTH 0.186 // of the hand that the parts' defaults belong to [m]

static double get(const hw_design *d, hw_entry_id row, int digit) // [SI]
{
    return hw_design_value(d, hw_entry_of(row, digit));
}

// ---- seats ------------------------------------------------------------------------------------

static void seat_of(const hw_hand *hand, const hw_palm *palm, int digit, double screw,
                    hw_palm_seat *out)
{
    const hw_palm_digit *p = &palm->digit[digit];
    const hw_layers *l = &hand->layers[digit];
    const hw_digit *g = &hand->digit[digit];
    *out = (hw_palm_seat){.present = hand->present[digit] && l->n > 0};
    if (!out->present) return;
    double x[2];
    hw_carrier_block(g, l, x);
    const hw_layer *first = &l->layer[0], *last = &l->layer[l->n - 1];
    double a = first->y, b = last->y, wide = 0.5 * fmax(first->thickness, last->thickness);
    out->knuckle = p->knuckle;
    out->back = x[0];
    out->side[0] = fmin(a, b) - wide;
    out->side[1] = fmax(a, b) + wide;
    out->half = g->thickness[0] / 2;
    out->screw_y = 0.5 * (out->side[0] + out->side[1]);
    out->splay_at = p->splay_at;
    out->splay_axis = p->splay_axis;
    if (digit == HW_MIDDLE || digit == HW_THUMB) return; // the middle finger stands fast
    out->splay[0] = p->splay[0];
    out->splay[1] = p->splay[1];
    // a rod's hole behind the carrier, in the plane of the yoke's foot
    out->levered = true;
    hw_vec3 tail = {out->back - 3.2 * screw, 0, -out->half - 0.5 * screw};
    out->lever = hw_frame_point(&p->knuckle, tail);
}

// The thumb's carrier is seated where its block lies in the palm; else it is left out.
static void keep_thumb(const hw_palm_parts_def *f, hw_palm_seat *thumb)
{
    if (!thumb->present) return;
    for (int e = 0; e < 2; e++) {
        hw_vec3 corner = hw_frame_point(&thumb->knuckle, (hw_vec3){thumb->back, thumb->side[e], 0});
        if (corner.x < f->outline[0][0].x + 4 * f->wall) thumb->present = false;
    }
}

// ---- servos -----------------------------------------------------------------------------------

// Servos of flexion in two columns behind the wrist, the index's and middle's the nearer ones.
static void put_servos(const hw_design *d, const hw_hand *hand, hw_palm_parts_def *f)
{
    const double room = 2.6 * f->screw; // of the screws between the columns
    const hw_palm_servo usual = f->arm[0];
    size_t n = 0;
    double x = 0, reach = 0;
    for (int i = HW_INDEX; i <= HW_LITTLE; i++) {
        if (!hand->present[i]) continue;
        hw_palm_servo *s = &f->arm[n];
        *s = usual;
        s->length = get(d, HW_E_OWN_SERVO_LENGTH, i);
        s->width = get(d, HW_E_OWN_SERVO_WIDTH, i);
        s->height = get(d, HW_E_OWN_SERVO_HEIGHT, i);
        s->ear_span = fmax(get(d, HW_E_OWN_SERVO_EAR_SPAN, i), s->length);
        s->ear_at = s->height * usual.ear_at / usual.height;
        s->shaft_at = s->length * usual.shaft_at / usual.length;
        double over = (s->ear_span - s->length) / 2;
        if (n % 2 == 0) {
            x = n == 0 ? -1.5 * s->height * 0.7 : x - reach;
            reach = s->ear_span + 2 * f->wall;
        } else
            reach = fmax(reach, s->ear_span + 2 * f->wall);
        s->frame.at =
            (hw_vec3){x - over - s->shaft_at, (n % 2 ? -1 : 1) * (s->width + room) / 2, 0};
        n++;
    }
    f->arm_servos = n;
}

// The lid begins where the palm is broadest, or above the servos where these are higher.
static void split_above(hw_palm_parts_def *f)
{
    f->split = f->outline[0][0].z;
    for (size_t i = 0; i < f->palm_servos; i++) {
        const hw_palm_servo *s = &f->palm[i];
        double half = 0.5 * (fabs(s->frame.x.z) * s->length + fabs(s->frame.y.z) * s->width);
        double high = s->frame.at.z + fmax(0, -s->frame.z.z * s->height) + half;
        f->split = fmax(f->split, high + 1.5 * f->gap);
    }
}

void hw_hand_palm_parts(const hw_design *d, const hw_hand *hand, hw_palm_parts_def *out)
{
    hw_print_def printer;
    const hw_palm *palm = &hand->palm;
    *out = hw_palm_parts_def_default();
    hw_hand_print(d, &printer);
    out->gap = printer.gap;
    out->wall = 6 * printer.line;
    out->bridge = printer.bridge;
    for (int i = 0; i < 3; i++) out->bed[i] = printer.bed[i] - (i < 2 ? 2 * printer.margin : 0);
    const double size = hand->length / USUAL_LENGTH;
    for (int s = 0; s < HW_PALM_LOOPS; s++)
        for (int k = 0; k < HW_PALM_LOOP; k++) out->outline[s][k] = palm->outline[s][k];
    for (int i = 0; i < HW_PALM_DIGITS; i++) seat_of(hand, palm, i, out->screw, &out->digit[i]);
    keep_thumb(out, &out->digit[0]);
    for (size_t i = 0; i < out->palm_servos; i++) {
        hw_vec3 *at = &out->palm[i].frame.at;
        *at = (hw_vec3){at->x * size, at->y * size, at->z};
    }
    split_above(out);
    put_servos(d, hand, out);
}
