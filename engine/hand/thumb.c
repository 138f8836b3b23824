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
    const double wall = 6 * hand->line;
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
        // block, plate and its screws' heads
        double from = x[0] - HW_PALM_PLATE - 0.8 * HW_PALM_SCREW;
        f.at = hw_vec3_along(f.at, (from + x[1]) / 2, f.x);
        out[n++] = hw_body_box(f, x[1] - from, g->width, g->thickness[0]);
    }
    n += hw_hand_thumb_room(hand, out + n);
    if (hand->places.mover[HW_THUMB].driven) return n;
    hw_pack_lug lug;
    hw_hand_lug(hand, HW_THUMB, b.at, &lug);
    if (lug.n > lug.hooked) out[n++] = lug.body[lug.hooked];
    return n;
}
