// What the thumb turns about in the palm: its bearing, and the bodies behind its joint.
#include "hand/hand_internal.h"

#include "parts/palm.h"

#include <math.h>

enum { OPPOSITIONS = 4 }; // of the sweep

bool hw_hand_bearing(const hw_hand *hand, hw_bearing *out)
{
    const hw_palm *p = &hand->palm;
    const hw_drive *v = &hand->drive[HW_THUMB];
    const hw_frame *k = &p->digit[HW_THUMB].knuckle;
    double behind = hw_vec3_norm(hw_vec3_sub(k->at, p->opposition_at)), x[2];
    *out = (hw_bearing){.at = p->opposition_at, .along = p->thumb_base.x};
    if (!hand->present[HW_THUMB] || !hand->layers[HW_THUMB].n || !(behind > 0)) return false;
    hw_carrier_block(&hand->layers[HW_THUMB], x);
    const double wall = hw_hand_wall(hand);
    out->bend = acos(fmin(fmax(hw_vec3_dot(k->x, out->along), -1), 1));
    out->radius = v->sheath_radius;
    double tangent = out->radius * tan(out->bend / 2);
    // beyond what leans out of the bearing (parts/palm_thumb.c)
    out->mouth = tangent + 2.5 * wall;
    out->face = behind + x[0];
    out->journal = 1.21 * v->sheath_outer + hand->gap + 0.95 * wall;
    out->elbow = 1.21 * v->sheath_outer + hand->gap + 0.75 * wall;
    out->length = out->mouth - tangent + out->radius * out->bend + fmax(out->face - tangent, 0);
    return true;
}

// Carrier, plate and what carries that from below, between two x of the turned knuckle's frame.
static hw_body block_of(const hw_hand *hand, const hw_frame *f, double from, double to) // [m] [m]
{
    const hw_palm_digit *g = &hand->palm.digit[HW_THUMB];
    hw_frame at = *f;
    at.at = hw_vec3_along(at.at, (from + to) / 2, at.x);
    return hw_body_box(at, to - from, g->width, g->thickness[0]);
}

// The heads of its two screws behind the plate.
static hw_body heads_of(const hw_hand *hand, const hw_frame *f, double plate) // [m]
{
    const hw_vec2 *s = hand->fittings[HW_THUMB].carrier.screw;
    const double head = 1.1 * HW_PALM_SCREW, high = 0.8 * HW_PALM_SCREW;
    hw_frame at = *f;
    at.at = hw_frame_point(
        f, (hw_vec3){plate - high / 2, (s[0].x + s[1].x) / 2, (s[0].z + s[1].z) / 2});
    return hw_body_box(at, high, fabs(s[0].x - s[1].x) + 2 * head,
                       fabs(s[0].z - s[1].z) + 2 * head);
}

size_t hw_hand_thumb_bodies(const hw_hand *hand, hw_body out[HW_THUMB_BODIES])
{
    const hw_palm *p = &hand->palm;
    const hw_palm_digit *g = &p->digit[HW_THUMB];
    hw_bearing b;
    if (!hw_hand_bearing(hand, &b)) {
        out[0] = hw_body_capsule(p->thumb_base.at, p->thumb_base.at, g->thickness[0] / 2);
        return 1;
    }
    size_t n = 0;
    double x[2];
    hw_carrier_block(&hand->layers[HW_THUMB], x);
    hw_frame turned = hw_frame_identity();
    turned.x = b.along;
    turned.y = hw_vec3_square(b.along);
    turned.z = hw_vec3_cross(turned.x, turned.y);
    const hw_frame journal = {hw_vec3_along(b.at, -b.mouth / 2, b.along), turned.y, turned.z,
                              turned.x};
    out[n++] = hw_body_cylinder(journal, b.journal, b.mouth);
    for (int i = 0; i < OPPOSITIONS; i++) {
        double angle =
            p->opposition[0] + (p->opposition[1] - p->opposition[0]) * i / (OPPOSITIONS - 1);
        hw_frame f = hw_frame_turned(&g->knuckle, p->opposition_at, p->opposition_axis, angle);
        hw_vec3 face = hw_vec3_along(b.at, b.face - b.elbow, f.x);
        out[n++] = hw_body_capsule(b.at, face, b.elbow);
        out[n++] = block_of(hand, &f, x[0] - 1.4 * HW_PALM_PLATE, x[1]);
        if (hand->fitted[HW_THUMB]) out[n++] = heads_of(hand, &f, x[0] - HW_PALM_PLATE);
    }
    if (hand->places.mover[HW_THUMB].driven) return n;
    hw_pack_lug lug;
    hw_hand_lug(hand, HW_THUMB, b.at, &lug);
    for (size_t i = lug.hooked; i < lug.n; i++) out[n++] = lug.body[i];
    return n;
}
