// What joins palm and forearm: the screws of the wrist, its window, the lid's collar over the
// forearm's flange and the screws that hold it there.
#include "parts/palm_arm_internal.h"

// Of the collar's screws, in their diameters. [1]
#define COLLAR_WALL 0.8 // from their axis to what is hollow
#define COLLAR_BITE 2   // of thread at least
#define COLLAR_POST 1.2 // from their axis to the wrist's window

double hw_wrist_wall(const hw_palm_build *b)
{
    return b->from + 2.5 * b->f->wall;
}

// Usual places of the wrist's screws, from the forearm into a block behind the tray's wall.
static hw_vec2 usual_screw(const hw_palm_build *b, int side)
{
    // beside the thumb's bearing there is less room for it
    const double aside = side && b->thumb.held ? 1.6 : 2.7;
    return (hw_vec2){b->wrist[side] + (side ? -1 : 1) * aside * b->f->screw,
                     (b->bottom + b->f->split) / 2};
}

// Whether a screw of the wrist has three diameters of thread beside all rooms, and its head a wall.
static bool wrist_holds(const hw_palm_build *b, const hw_field *rooms, const hw_field *body,
                        hw_vec2 at)
{
    enum { STEPS = 20 };
    const double screw = b->f->screw;
    if (at.z < b->bottom + 1.7 * screw) return false;
    for (int i = -STEPS / 2; i <= STEPS; i++) {
        const hw_vec3 p = {b->from + 3 * screw * i / STEPS, at.x, at.z};
        if (rooms && hw_field_at(rooms, p) < (i < 0 ? 0.95 : 0.65) * screw) return false;
        // (at the wrist the body ends)
        if (3 * i > 1.2 * STEPS && hw_field_at(body, p) > -0.7 * screw) return false;
    }
    return true;
}

void hw_palm_wrist(hw_palm_build *b)
{
    enum { STEPS = 24 };
    const double screw = b->f->screw, step = 0.2 * screw, wall = b->f->wall;
    hw_tools t = {.n = 0};
    hw_put_pockets(b, &t, b->top - b->bottom);
    hw_put_rods(b, &t, false);
    hw_put_trenches(b, &t, NULL);
    if (b->bay) hw_put(&t, b->bay);
    if (b->thumb.room) hw_put(&t, b->thumb.room);
    hw_put_thumb_trough(b, &t);
    const hw_box3 window = {{b->from - 4 * wall, b->window[0], b->sill},
                            {hw_wrist_wall(b) + wall, b->window[1], b->top + wall}};
    hw_put(&t, hw_block3(b->a, window));
    const hw_field *rooms = hw_joined(b->a, &t), *const both[] = {b->skin, b->foot},
                   *body = hw_field_union(b->a, both, 2);
    for (int side = 0; side < 2 && body; side++) {
        const hw_vec2 usual = usual_screw(b, side);
        b->wrist_screw[side] = usual;
        double nearest = wrist_holds(b, rooms, body, usual) ? 0 : INFINITY;
        for (int i = 0; i < STEPS * (2 * STEPS + 1) && nearest > 0; i++) {
            const int across = i % STEPS, rows = i / STEPS - STEPS;
            const double in = step * across, up = step * rows;
            const hw_vec2 at = {usual.x + (side ? -in : in), usual.z + up};
            if (in > 0.3 * (b->wrist[1] - b->wrist[0]) - 1.6 * screw || hypot(in, up) >= nearest ||
                !wrist_holds(b, rooms, body, at))
                continue;
            nearest = hypot(in, up);
            b->wrist_screw[side] = at;
        }
    }
}

void hw_put_wrist_screws(hw_palm_build *b, hw_tools *block, hw_tools *bore)
{
    const double screw = b->f->screw;
    for (int e = 0; e < 2; e++) {
        const double y = b->wrist_screw[e].x, z = b->wrist_screw[e].z, r = 1.5 * screw;
        hw_box3 box = {{b->from, y - r, b->bottom}, {b->from + 5 * screw, y + r, z + r}};
        hw_put(block, hw_block3(b->a, box));
        hw_vec3 path[] = {hw_at(b->from - screw, y, z), hw_at(b->from + 4.2 * screw, y, z)};
        hw_put(bore, hw_field_drop(b->a, path, 2, 0.42 * screw, hw_at(0, 0, 1)));
        b->out->wrist_screw[e] = hw_at(b->from, y, z);
    }
}

const hw_field *hw_wrist_window(hw_palm_build *b)
{
    hw_box3 box = {{b->from - b->f->wall, b->window[0], b->sill},
                   {hw_wrist_wall(b) + b->f->wall, b->window[1], b->top + b->f->wall}};
    return hw_block3(b->a, box);
}

// ---- collar -----------------------------------------------------------------------------------

const hw_field *hw_arm_over_flange(hw_palm_build *b, const hw_arm *m, double rear, // [m]
                                   double front)                                   // [m]
{
    hw_vec3 level = hw_at(0, 0, b->f->split - 2 * b->f->screw);
    const hw_field *part[] = {hw_field_column(b->a, hw_arm_neck(b, m, 0), level, hw_at(0, 0, 1)),
                              hw_arm_under(b, m, 0),
                              hw_field_half(b->a, hw_at(rear, 0, 0), hw_at(-1, 0, 0)),
                              hw_field_half(b->a, hw_at(front, 0, 0), hw_at(1, 0, 0))};
    return hw_field_meet(b->a, part, sizeof part / sizeof part[0]);
}

// How far a screw may go down beside what is hollow, from the lid on. [m]
static double free_below(const hw_field *hollow, hw_vec3 at, double screw) // [m]
{
    enum { DEEP = 40 };
    for (int i = 0; i <= DEEP; i++) {
        const double down = 4 * screw * i / DEEP;
        const hw_vec3 p = {at.x, at.y, at.z - down};
        if (hw_field_at(hollow, p) < COLLAR_WALL * screw) return down;
    }
    return 4 * screw;
}

// Whether its head lies under the cover.
static bool is_covered(const hw_field *plan, hw_vec3 at, double screw) // [m]
{
    enum { ROUND = 16 };
    for (int i = 0; i < ROUND; i++) {
        double angle = 2 * HW_PI * i / ROUND, r = HW_SUNK_HEAD * screw;
        hw_vec3 p = {at.x + r * cos(angle), at.y + r * sin(angle), at.z + HW_SUNK_DEEP * screw};
        if (!(hw_field_at(plan, p) < 0)) return false;
    }
    return true;
}

// The palm's lid goes on over the forearm's flange, under the cover, where no servo stands: a screw
// on each side holds it there from the back, whatever the palm is full of. Beside it the wrist's
// window ends.
void hw_palm_collar(hw_palm_build *b)
{
    enum { STEPS = 160 };
    const hw_palm_parts_def *f = b->f;
    if (f->arm_servos == 0) return;
    hw_arm m;
    hw_arm_measure(b, &m);
    hw_tools hollow = {.n = 0};
    const hw_field *nowhere = hw_below(b->a, b->bottom - (b->top - b->bottom));
    hw_put_trenches(b, &hollow, nowhere);
    for (int e = 0; e < 2; e++) { // the wrist's screws
        const hw_vec2 w = b->wrist_screw[e];
        hw_put(&hollow, hw_field_cylinder(b->a, hw_at(m.box.high.x, w.x, w.z),
                                          hw_at(b->from + f->screw, w.x, w.z), 0.55 * f->screw));
    }
    const hw_field *plan = hw_arm_over_flange(b, &m, m.flange, b->from),
                   *tools = hw_joined(b->a, &hollow);
    if (!plan) return;
    const double middle = (b->wrist[0] + b->wrist[1]) / 2, least = 0.35 * (b->wrist[1] - middle);
    hw_vec3 at = {(m.flange + b->from) / 2, 0, f->split};
    for (int side = 0; side < 2; side++)
        for (int i = 0; i < STEPS; i++) { // as far out as can be
            const double out = (b->wrist[side] - middle) * (STEPS - i) / STEPS;
            at.y = middle + out;
            const double deep = tools ? free_below(tools, at, f->screw) : 4 * f->screw;
            if (fabs(out) < least || deep < COLLAR_BITE * f->screw ||
                !is_covered(plan, at, f->screw))
                continue;
            b->collar_deep[b->collar_screws] = deep;
            b->collar_screw[b->collar_screws++] = at;
            const double inner = at.y - copysign(COLLAR_POST * f->screw, out);
            b->window[side] = side ? fmin(b->window[side], inner) : fmax(b->window[side], inner);
            break;
        }
    if (b->collar_screws == 0) return;
    // It reaches into the lid, so that no crack is left where they meet, and behind the flange, for
    // walls round the heads.
    b->collar =
        hw_both(b->a, hw_arm_over_flange(b, &m, m.flange - 0.4 * f->wall, b->from + f->wall),
                hw_above(b->a, f->split));
}

// Their pilot holes in the flange, over the wrist's screws.
void hw_put_collar_bores(hw_palm_build *b, hw_tools *t)
{
    const double screw = b->f->screw;
    for (size_t i = 0; i < b->collar_screws; i++) {
        hw_vec3 low = b->collar_screw[i], high = low;
        low.z -= b->collar_deep[i];
        high.z += screw;
        hw_put(t, hw_field_cylinder(b->a, low, high, 0.42 * screw));
    }
}

// Countersunk, under the cover. Near the lid's side, which falls in, the head's room is open to it,
// or a thin wall would be left.
void hw_put_collar_hole(hw_palm_build *b, hw_tools *t, hw_vec3 at)
{
    const double screw = b->f->screw, r = HW_SUNK_HEAD * screw, far = b->to - b->from,
                 face = b->f->split + HW_SUNK_DEEP * screw;
    bool low_side = at.y < (b->wrist[0] + b->wrist[1]) / 2;
    hw_box3 aside = {{at.x - r, at.y, face}, {at.x + r, at.y + far, b->top + screw}};
    if (low_side) aside.low.y = at.y - far, aside.high.y = at.y;
    hw_vec3 low = at, high = at;
    low.z = b->f->split - screw;
    high.z = face;
    hw_put(t, hw_field_cylinder(b->a, low, high, 0.55 * screw));
    low.z = face - (r - 0.55 * screw);
    hw_put(t, hw_field_cone(b->a, low, high, 0.55 * screw, r));
    low.z = face - 0.01 * screw;
    high.z = b->top + screw;
    hw_put(t, hw_field_cylinder(b->a, low, high, r));
    // only where less than half a wall would stand there
    const hw_vec3 wall = {at.x, at.y + (low_side ? -1 : 1) * (r + 0.5 * b->f->wall),
                          face + 0.1 * screw};
    if (!(hw_field_at(b->collar, wall) < 0)) hw_put(t, hw_block3(b->a, aside));
}
