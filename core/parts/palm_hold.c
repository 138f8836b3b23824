// What holds a servo in the palm's tray.
#include "parts/palm_hold.h"
#include "palm/pack.h"
#include "parts/palm_internal.h"

#include <string.h>

enum { CELLS = 16, ROUND = 8, SLICES = 40 };

static const double held_most = 4, held_least = 2; // of a thread, in its diameters [1]

// The servo in its tray.
typedef struct seen {
    const hw_palm_parts *parts;
    const hw_palm_servo *servo;
} seen;

static void blocks_of(const hw_palm_servo *s, hw_servo_block out[HW_SERVO_BLOCKS])
{
    const hw_servo_shape shape = {.length = s->length,
                                  .width = s->width,
                                  .height = s->height,
                                  .ear_span = s->ear_span,
                                  .ear_thickness = s->ear_thickness,
                                  .ear_at = s->ear_at,
                                  .shaft_at = s->shaft_at};
    hw_servo_blocks(&shape, out);
}

// Whether a place of the hand is in a part, or a half of it.
static bool in_part(const hw_palm_parts *parts, const char *name, hw_vec3 at)
{
    for (size_t i = 0; i < parts->parts; i++) {
        const hw_palm_part *p = &parts->part[i];
        if (strncmp(p->name, name, strlen(name)) != 0) continue;
        if (hw_field_at(p->field, hw_frame_seen(&p->bed, at)) < 0) return true;
    }
    return false;
}

// Whether a place of the servo's own frame is in the tray.
static bool in_tray(const seen *v, hw_vec3 at)
{
    return in_part(v->parts, "palm tray", hw_frame_point(&v->servo->frame, at));
}

// Of one face of a block, the area that has material before it, by the half of the case beside it.
static void add_backed(const seen *v, const hw_servo_block *b, int way, double off,
                       double half[HW_TRAY_EARS]) // [m] [m2]
{
    int axis = way / 2, u = (axis + 1) % 3, w = (axis + 2) % 3;
    double cell = (b->high[u] - b->low[u]) * (b->high[w] - b->low[w]) / (CELLS * CELLS);
    const double middle = v->servo->length / 2 - v->servo->shaft_at;
    if (!(cell > 0)) return;
    for (int i = 0; i < CELLS; i++)
        for (int k = 0; k < CELLS; k++) {
            double at[3];
            at[axis] = way % 2 ? b->high[axis] + off : b->low[axis] - off;
            at[u] = b->low[u] + (b->high[u] - b->low[u]) * (i + 0.5) / CELLS;
            at[w] = b->low[w] + (b->high[w] - b->low[w]) * (k + 0.5) / CELLS;
            if (in_tray(v, hw_at(at[0], at[1], at[2]))) half[at[0] > middle] += cell;
        }
}

// How many of the places round a screw's axis, `radius` from it, are in the tray.
static int in_ring(const seen *v, hw_vec3 at, double radius) // [m]
{
    int n = 0;
    for (int i = 0; i < ROUND; i++) {
        double turn = 2 * HW_PI * i / ROUND;
        hw_vec3 p = hw_at(at.x + radius * cos(turn), at.y + radius * sin(turn), at.z);
        n += in_tray(v, p);
    }
    return n;
}

// Whether a screw's head and its driver pass on the way to an ear.
static bool head_passes(const seen *v, hw_vec3 at, double bore) // [m]
{
    const double head = HW_THUMB_HEAD / HW_PILOT * bore, high = at.z + v->servo->ear_thickness;
    double far = 0;
    for (size_t i = 0; i < v->parts->parts; i++) {
        hw_vec3 low, top;
        if (!hw_field_reach(v->parts->part[i].field, &low, &top)) continue;
        far = fmax(far, hw_vec3_norm(hw_vec3_sub(top, low)));
    }
    for (at.z = high + bore / 2; isfinite(far) && at.z < high + far; at.z += bore)
        if (in_tray(v, at) || in_ring(v, at, head) > 0) return false;
    return true;
}

// The length of thread that an ear's screw holds by.
static double thread_of(const seen *v, int ear, double *bore) // [m]
{
    hw_vec3 path[2];
    *bore = hw_servo_pilot(v->servo, ear, path);
    if (!(*bore > 0)) return 0;
    double most = fmin(held_most * 2 * *bore, path[0].z - path[1].z), thread = 0;
    for (int i = 0; i < SLICES; i++) {
        hw_vec3 at = path[0];
        at.z -= most * (i + 0.5) / SLICES;
        if (in_ring(v, at, 2 * *bore) == ROUND) thread += most / SLICES;
    }
    if (thread < held_least * 2 * *bore || !head_passes(v, path[0], *bore)) return 0;
    return thread;
}

// Screws that count, and what they add.
static void add_screws(const seen *v, double half[HW_TRAY_WAYS][HW_TRAY_EARS], double shear,
                       hw_tray_hold *hold) // [m2] [1]
{
    double bore[HW_TRAY_EARS];
    for (int e = 0; e < HW_TRAY_EARS; e++) hold->thread[e] = thread_of(v, e, &bore[e]);
    for (int e = 0; e < HW_TRAY_EARS; e++) {
        const double across = 2 * bore[e] * hold->thread[e];
        bool held = hold->thread[1 - e] > 0; // against turning about it
        // what the lid closes is NaN, and holds
        if (!held) held = !(half[2][1 - e] < across) && !(half[3][1 - e] < across);
        if (!(across > 0) || !held) continue;
        hold->screws++;
        for (int k = 0; k < 4; k++) hold->area[k] += across;
        hold->area[5] += HW_PI * across * shear;
    }
}

hw_tray_hold hw_tray_hold_of(const hw_palm_parts *parts, const hw_palm_servo *servo, double off,
                             double shear)
{
    const hw_frame *f = &servo->frame;
    const seen v = {parts, servo};
    const double out[HW_TRAY_WAYS] = {-f->x.z, f->x.z, -f->y.z, f->y.z, -f->z.z, f->z.z};
    hw_servo_block b[HW_SERVO_BLOCKS];
    double half[HW_TRAY_WAYS][HW_TRAY_EARS] = {{0}};
    hw_tray_hold hold = {.least = -1};
    int lid = 0;
    blocks_of(servo, b);
    for (int k = 1; k < HW_TRAY_WAYS; k++)
        if (out[k] > out[lid]) lid = k;
    half[lid][0] = half[lid][1] = (double)NAN;
    for (int k = 0; k < HW_TRAY_WAYS; k++) {
        for (int i = 0; i < HW_SERVO_BLOCKS && k != lid; i++)
            add_backed(&v, &b[i], k, off, half[k]);
        hold.wall[k] = hold.area[k] = half[k][0] + half[k][1];
    }
    add_screws(&v, half, shear, &hold);
    for (int k = 0; k < HW_TRAY_WAYS; k++)
        if (k != lid && (hold.least < 0 || hold.area[k] < hold.area[hold.least])) hold.least = k;
    return hold;
}

// ---- the lid's own screws

// How many places of ROUND about an axis, `radius` from it, are in one part.
static int count_round(const hw_palm_parts *parts, const char *name, hw_vec3 at, hw_vec3 axis,
                       double radius) // [m]
{
    const hw_vec3 y = {0, 1, 0}, side = hw_vec3_cross(y, axis);
    int n = 0;
    for (int i = 0; i < ROUND; i++) {
        const double turn = 2 * HW_PI * i / ROUND;
        const hw_vec3 p = hw_vec3_along(at, radius * cos(turn), side);
        n += in_part(parts, name, hw_vec3_along(p, radius * sin(turn), y));
    }
    return n;
}
static bool all_round(const hw_palm_parts *parts, const char *name, hw_vec3 at, hw_vec3 axis,
                      double radius) // [m]
{
    return count_round(parts, name, at, axis, radius) == ROUND;
}

// Thread from a place on along an axis.
static bool bites(const hw_palm_parts *parts, const char *name, hw_vec3 at, hw_vec3 axis,
                  double diameter) // [m]
{
    for (int i = 0; i < SLICES; i++) {
        const hw_vec3 p = hw_vec3_along(at, held_least * diameter * (i + 0.5) / SLICES, axis);
        if (!all_round(parts, name, p, axis, 0.65 * diameter)) return false;
    }
    return true;
}

size_t hw_palm_lid_held(const hw_palm_parts *parts, double diameter)
{
    const hw_vec3 down = {0, 0, -1};
    size_t held = 0;
    for (size_t i = 0; i < parts->lid_screws; i++) {
        const hw_vec3 at = parts->lid_screw[i];
        hw_vec3 low = at;
        low.z += 0.15 * diameter;
        held += all_round(parts, "palm lid", low, down, 0.75 * diameter) &&
                (bites(parts, "palm tray", at, down, diameter) ||
                 bites(parts, "forearm", at, down, diameter));
    }
    return held;
}

size_t hw_palm_wrist_held(const hw_palm_parts *parts, double diameter)
{
    const hw_vec3 on = {1, 0, 0};
    size_t held = 0;
    for (int i = 0; i < 2; i++) {
        const hw_vec3 at = parts->wrist_screw[i];
        const hw_vec3 head = hw_vec3_along(at, -0.3 * diameter, on);
        int thread = 0; // slices of four diameters that bite
        for (int k = 0; k < 2 * SLICES; k++) {
            const hw_vec3 p = hw_vec3_along(at, 2 * diameter * (k + 0.5) / SLICES, on);
            thread += all_round(parts, "palm tray", p, on, 0.65 * diameter);
        }
        held += 4 * count_round(parts, "forearm", head, on, 0.85 * diameter) >= 3 * ROUND &&
                2 * thread >= held_least * SLICES;
    }
    return held;
}

// ---- lips over its front

// Whether a lip stands in the tray and leans over the lid, across the hand at y.
static bool leans_over(const hw_palm_parts *parts, const hw_lid_hook *h, double y) // [m]
{
    enum { UP = 60 };
    const double step = h->lean / 20;
    // a quarter of the lean from its end, up: first the lid, then the tray
    const double x = h->at.x - 0.75 * h->lean;
    double lid = -INFINITY;
    for (int i = -20; i <= 10; i++) // its stem
        if (!in_part(parts, "palm tray", hw_at(h->at.x + step, y, h->at.z + step * i)))
            return false;
    for (int i = 0; i < UP; i++) {
        const hw_vec3 at = {x, y, h->at.z + step * (i + 0.5)};
        if (in_part(parts, "palm lid", at)) lid = at.z;
        if (in_part(parts, "palm tray", at)) return at.z - lid < h->lean;
    }
    return false;
}

size_t hw_palm_lid_hooked(const hw_palm_parts *parts)
{
    enum { ACROSS = 9 };
    size_t hooked = 0;
    for (size_t i = 0; i < parts->lid_hooks; i++) {
        const hw_lid_hook *h = &parts->lid_hook[i];
        bool all = true;
        for (int k = 0; k < ACROSS && all; k++)
            all = leans_over(parts, h, h->at.y + h->wide * ((k + 0.5) / ACROSS - 0.5));
        hooked += all;
    }
    return hooked;
}

bool hw_palm_lid_front(const hw_palm_parts *parts)
{
    bool held = hw_palm_lid_hooked(parts) > 0;
    for (size_t i = 0; i < parts->lid_screws; i++) held = held || parts->lid_screw[i].x > 0;
    return held;
}
