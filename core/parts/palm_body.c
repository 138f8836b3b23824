// The palm: tray and lid.
#include "parts/palm_internal.h"

#include <string.h>

enum { LID_SCREWS = 4 };

size_t hw_screw_places(const hw_field *within, const hw_field *tools, hw_box3 region, double room,
                       size_t n, hw_vec3 out[])
{
    enum { GRID = 48 };
    size_t found = 0;
    for (; found < n; found++) {
        double best = 0;
        hw_vec3 place = {0, 0, 0};
        for (int i = 0; i < GRID * GRID; i++) {
            const int row = i / GRID, column = i % GRID;
            hw_vec3 p = region.low;
            p.x += (region.high.x - region.low.x) * (0.5 + column) / GRID;
            p.y += (region.high.y - region.low.y) * (0.5 + row) / GRID;
            if (hw_field_at(within, p) > -room || (tools && hw_field_at(tools, p) < room)) continue;
            double nearest = 4 * room; // two screws closer than that are one
            hw_vec3 middle = hw_vec3_times(hw_vec3_add(region.low, region.high), 0.5);
            double away = hypot(p.x - middle.x, p.y - middle.y);
            for (size_t k = 0; k < found; k++) {
                double d = hypot(p.x - out[k].x, p.y - out[k].y);
                away = k == 0 ? d : fmin(away, d);
            }
            if (away > nearest && away > best) best = away, place = p;
        }
        if (!(best > 0)) break;
        out[found] = place;
    }
    return found;
}

// ---- what is cut of both ----------------------------------------------------------------------

// Whether what carriers and yokes leave free is so near before a room of the lid.
static bool open_ahead(const hw_palm_build *b, const hw_box3 *box, double near) // [m]
{
    hw_vec3 front = hw_vec3_times(hw_vec3_add(box->low, box->high), 0.5);
    front.x = box->high.x + near;
    return b->ahead && hw_field_at(b->ahead, front) < 0;
}

// The ridge of a vault runs along the longer side, or to where its room is open.
static bool ridge_along_x(const hw_palm_build *b, const hw_box3 *box)
{
    double x = box->high.x - box->low.x, y = box->high.y - box->low.y;
    return y < 0.95 * x || open_ahead(b, box, 0.2 * b->f->wall);
}

// How high a ceiling of 45 degrees rises until the rest of it can be bridged.
static double vault_rise(const hw_palm_build *b, const hw_box3 *box)
{
    double across = ridge_along_x(b, box) ? box->high.y - box->low.y : box->high.x - box->low.x;
    return fmax(0, 0.5 * (across - 0.9 * b->f->bridge));
}

// The room of a servo's part in the lid, which is pushed over it toward the fingers.
static hw_box3 lid_room(const hw_palm_build *b, const hw_palm_servo *s, int which, double gap)
{
    hw_box3 box = hw_servo_box_of(s, (hw_servo_box)which, gap);
    box.high.x += b->slide;
    return box;
}

// A pocket in the lid, with such a ceiling.
static void put_vault(hw_palm_build *b, hw_tools *t, hw_box3 box)
{
    double x = box.high.x - box.low.x, y = box.high.y - box.low.y, over = 0.1 * b->f->wall;
    double rise = vault_rise(b, &box);
    hw_put(t, hw_block3(b->a, box));
    if (!(rise > 0)) return;
    bool along_x = ridge_along_x(b, &box);
    double half = (along_x ? y : x) / 2, top = box.high.z;
    // the polygon's plane is across the ridge; a prism is drawn out along its frame's y
    hw_frame in = hw_hand_axes;
    in.at = hw_at((box.low.x + box.high.x) / 2, (box.low.y + box.high.y) / 2, top);
    if (along_x) in.x = hw_at(0, -1, 0), in.y = hw_at(1, 0, 0);
    hw_vec2 at[] = {{-half, -over},      {half, -over},       {half, 0},
                    {half - rise, rise}, {rise - half, rise}, {-half, 0}};
    const hw_polygon outline = {at, 6};
    // one that is open before runs on into the vault behind it
    double length = (along_x ? x : y) / 2 + (along_x && y >= 0.95 * x ? 0.5 * b->f->wall : 0);
    hw_put(t, hw_field_prism(b->a, &in, &outline, -length, length));
}

// What a servo needs of the lid. Where that is too thin for a ceiling over one of its parts all of
// them show in the back; near the front edge such a window is a notch.
static void put_in_lid(hw_palm_build *b, hw_tools *t, const hw_palm_servo *s)
{
    hw_box3 box[HW_BOX_LEAD];
    bool window = false;
    for (int k = 0; k < HW_BOX_LEAD; k++) {
        box[k] = lid_room(b, s, k, b->f->gap);
        double top = box[k].high.z + vault_rise(b, &box[k]);
        window = window || (box[k].high.z > b->f->split && top > b->top - 0.5 * b->f->wall);
    }
    for (int k = 0; k < HW_BOX_LEAD; k++) {
        if (!(box[k].high.z > b->f->split)) continue;
        if (!window) {
            put_vault(b, t, box[k]);
            continue;
        }
        if (open_ahead(b, &box[k], 2 * b->f->wall)) box[k].high.x = b->to;
        box[k].high.z = b->top + b->f->wall;
        hw_put(t, hw_block3(b->a, box[k]));
    }
}

// Where a lug turns above the split.
static void put_lug_in_lid(hw_palm_build *b, hw_tools *t, hw_box3 box)
{
    if (!(box.high.z > b->f->split)) return;
    if (box.high.z + vault_rise(b, &box) < b->top - 0.5 * b->f->wall) {
        put_vault(b, t, box);
        return;
    }
    box.high.z = b->top + b->f->wall;
    hw_put(t, hw_block3(b->a, box));
}

static void put_seats(hw_palm_build *b, hw_tools *t)
{
    if (b->bay) hw_put(t, b->bay);
}

// ---- tray -------------------------------------------------------------------------------------

// Sockets of the yokes' cones, their screws from below with countersunk heads.
static void put_sockets(hw_palm_build *b, hw_tools *t)
{
    const double screw = b->f->screw;
    for (int i = 1; i < HW_PALM_DIGITS; i++) {
        const hw_palm_seat *s = &b->f->digit[i];
        if (!s->present) continue;
        hw_vec3 up = s->splay_axis, at = s->splay_at;
        hw_vec3 level = hw_frame_point(&s->knuckle, hw_at(0, 0, hw_seat_floor(b, s)));
        double drop =
            hw_vec3_dot(hw_vec3_sub(level, at), s->knuckle.z) / hw_vec3_dot(up, s->knuckle.z);
        at = hw_vec3_along(at, drop, up); // where the axis meets the floor
        const double lip = 0.5 * b->f->plate;
        hw_put(t, hw_field_cone(b->a, hw_vec3_along(at, lip, up),
                                hw_vec3_along(at, -b->deep - b->f->gap, up), b->cone + lip,
                                b->cone - b->deep - b->f->gap));
        double down = (b->bottom - at.z) / up.z; // along the axis to the bed
        hw_vec3 bed = hw_vec3_along(at, down, up);
        hw_put(t, hw_field_cylinder(b->a, hw_vec3_along(bed, -screw, up), at, 0.55 * screw));
        hw_put(t, hw_field_cone(b->a, hw_vec3_along(bed, -0.1 * screw, up),
                                hw_vec3_along(bed, 0.5 * screw, up), 1.1 * screw, 0.5 * screw));
    }
}

static const hw_field *cavity_of(hw_palm_build *b)
{
    const hw_palm_parts_def *f = b->f;
    const hw_field *inner = hw_field_offset(b->a, b->skin, -f->wall);
    const hw_field *part[] = {hw_field_column(b->a, inner, hw_at(0, 0, f->split), hw_at(0, 0, 1)),
                              inner, hw_above(b->a, hw_attic_floor(b)),
                              hw_field_half(b->a, hw_at(hw_wrist_wall(b), 0, 0), hw_at(-1, 0, 0)),
                              hw_field_offset(b->a, b->plan, -f->wall)};
    return hw_field_meet(b->a, part, sizeof part / sizeof part[0]);
}

// Servos lie within the palm in plan, but not all of their corners do where its sides fall in:
// there the skin goes round them, upright from the face that its part is printed on.
static void put_round_servos(hw_palm_build *b, hw_tools *body, bool lid)
{
    const hw_palm_parts_def *f = b->f;
    for (size_t i = 0; i < f->palm_servos; i++)
        for (int k = 0; k <= HW_BOX_EARS; k++) {
            hw_box3 box = hw_servo_box_of(&f->palm[i], (hw_servo_box)k, f->gap);
            const double rise = lid ? vault_rise(b, &box) : 0;
            box = hw_box_grown(box, f->wall);
            if (lid ? box.high.z <= f->split + f->wall : box.low.z >= f->split) continue;
            box.low.z = lid ? f->split - f->wall : b->bottom - f->wall; // cut off there later
            box.high.z = fmin(box.high.z + rise, lid ? b->top : f->split + f->wall);
            hw_put(body, hw_palm_slab(b->a, box, f->wall));
        }
}

// So it does round sheaths, half a wall of it.
static void put_round_sheaths(hw_palm_build *b, hw_tools *body)
{
    const double far = b->to - b->from;
    const hw_box3 palm = {{b->from, b->wrist[0] - far, b->bottom},
                          {b->to, b->wrist[1] + far, b->f->split}};
    for (size_t i = 0; i < b->f->routes; i++) {
        const hw_palm_route *r = &b->f->route[i];
        const hw_field *round =
            hw_field_drop(b->a, r->at, r->n, r->radius + 0.5 * b->f->wall, hw_at(0, 0, -1));
        hw_put(body, hw_both(b->a, round, hw_block3(b->a, palm)));
    }
}

static const hw_field *tray_shell(hw_palm_build *b)
{
    hw_tools body = {.f = {b->skin, b->foot}, .n = 2};
    put_round_servos(b, &body, false);
    put_round_sheaths(b, &body);
    const hw_field *part[] = {hw_joined(b->a, &body), hw_above(b->a, b->bottom),
                              hw_below(b->a, b->f->split), b->plan,
                              hw_field_half(b->a, hw_at(b->from, 0, 0), hw_at(-1, 0, 0))};
    return hw_field_meet(b->a, part, 5);
}

const hw_field *hw_palm_block_of(hw_palm_build *b)
{
    hw_tools cut = {.n = 0};
    put_seats(b, &cut);
    if (b->thumb.room) hw_put(&cut, b->thumb.room);
    hw_put_thumb_trough(b, &cut);
    hw_put(&cut, hw_wrist_window(b));
    return hw_less(b->a, tray_shell(b), &cut);
}

// Where the wall is nearest in plan, seen from a place in the cavity.
static hw_vec3 nearest_wall(const hw_field *cavity, hw_vec3 at, double step)
{
    double here = hw_field_at(cavity, at);
    hw_vec3 x = at, y = at;
    x.x += step;
    y.y += step;
    hw_vec3 way = {hw_field_at(cavity, x) - here, hw_field_at(cavity, y) - here, 0};
    double length = hw_vec3_norm(way);
    return length > 0 ? hw_vec3_along(at, -here / length, way) : at;
}

// Posts for the lid's screws stand where there is room between wall and servos. One that comes near
// the wall goes on into it: no cleft is left between them, nor a neck.
static void put_posts(hw_palm_build *b, const hw_field *cavity, const hw_vec3 place[], size_t n,
                      hw_tools *post, hw_tools *bore)
{
    const double screw = b->f->screw, radius = 1.3 * screw;
    for (size_t i = 0; i < n; i++) {
        hw_vec3 low = place[i], high = place[i];
        low.z = b->bottom + 0.5 * b->f->floor;
        high.z = b->f->split;
        hw_put(post, hw_field_cylinder(b->a, low, high, radius));
        hw_vec3 wall = nearest_wall(cavity, place[i], 0.05 * screw);
        double away = hypot(wall.x - low.x, wall.y - low.y);
        for (int k = 1; k <= 2 && away < 2 * radius; k++) {
            hw_vec3 at = hw_vec3_along(low, 0.5 * k, hw_vec3_sub(wall, place[i])), top = at;
            top.z = high.z;
            hw_put(post, hw_field_cylinder(b->a, at, top, radius));
        }
        low.z = fmax(b->f->split - 4 * screw, b->bottom + b->f->floor);
        high.z = b->f->split + screw;
        hw_put(bore, hw_field_cylinder(b->a, low, high, 0.42 * screw));
    }
}

// ---- lid --------------------------------------------------------------------------------------

// Its screws' holes; heads sink in.
static void put_lid_hole(hw_palm_build *b, hw_tools *t, hw_vec3 at)
{
    const double screw = b->f->screw;
    hw_vec3 low = at, high = at;
    low.z = b->f->split - screw;
    high.z = b->top + screw;
    hw_put(t, hw_field_cylinder(b->a, low, high, 0.55 * screw));
    low.z = b->f->split + HW_LID_UNDER * screw;
    hw_put(t, hw_field_cylinder(b->a, low, high, 1.1 * screw));
}

// The flat of a vault over a room in the lid, three lines high; false: it does not lie on both
// sides of the ridge, where other rooms are.
static bool flat_of(const hw_palm_build *b, const hw_field *lid, hw_box3 room, hw_box3 *flat)
{
    enum { ALONG = 9 };
    const double rise = vault_rise(b, &room), high = 0.5 * b->f->wall;
    const bool along_x = ridge_along_x(b, &room);
    *flat = room;
    flat->low.z = room.high.z + rise;
    flat->high.z = flat->low.z + high;
    *(along_x ? &flat->low.y : &flat->low.x) += rise;
    *(along_x ? &flat->high.y : &flat->high.x) -= rise;
    for (int i = 0, step = 0; i < 2 * ALONG; step = ++i / 2) {
        const double share = (step + 0.5) / ALONG;
        hw_vec3 at = {flat->low.x + share * (flat->high.x - flat->low.x),
                      flat->low.y + share * (flat->high.y - flat->low.y), flat->low.z + 0.5 * high};
        if (along_x)
            at.y = i % 2 ? flat->high.y + high : flat->low.y - high;
        else
            at.x = i % 2 ? flat->high.x + high : flat->low.x - high;
        if (!hw_in_bay(b, at) && !(hw_field_at(lid, at) < 0)) return false;
    }
    *(along_x ? &flat->low.x : &flat->low.y) -= high; // on into its ends
    *(along_x ? &flat->high.x : &flat->high.y) += high;
    return true;
}

// What of the lid is printed as bridges: the flats of vaults, and over rooms that come together the
// back's outermost three lines.
static const hw_field *roof_of(hw_palm_build *b, const hw_field *body, const hw_field *lid)
{
    const hw_frame down = {{0, 0, -0.5 * b->f->wall}, {1, 0, 0}, {0, 1, 0}, {0, 0, 1}};
    hw_tools roof = {.n = 0};
    hw_put(&roof, hw_field_cut(b->a, body, hw_field_moved(b->a, body, &down)));
    for (size_t i = 0; i < b->f->palm_servos; i++)
        for (int k = 0; k < HW_BOX_LEAD; k++) {
            const hw_box3 room = lid_room(b, &b->f->palm[i], k, b->f->gap);
            hw_box3 flat;
            if (room.high.z > b->f->split && flat_of(b, lid, room, &flat))
                hw_put(&roof, hw_block3(b->a, flat));
        }
    return hw_joined(b->a, &roof);
}

static hw_box3 allow_box(const hw_allowance *a)
{
    return (hw_box3){a->low, a->high};
}

// Where the back runs out over the tray's edge it ends blunt, not in a feather.
static const hw_field *rim_of(hw_palm_build *b)
{
    hw_box3 box;
    if (!hw_field_reach(b->skin, &box.low, &box.high)) return NULL;
    box.low.z = b->f->split - b->f->wall;
    box.high.z = b->f->split + 0.4 * b->f->wall;
    const hw_vec3 at = {0, 0, b->f->split};
    return hw_both(b->a, hw_block3(b->a, box), hw_field_column(b->a, b->skin, at, hw_at(0, 0, 1)));
}

// What is cut of the lid.
static const hw_field *lid_tools(hw_palm_build *b, const hw_vec3 place[], size_t n)
{
    hw_tools t = {.n = 0};
    for (size_t i = 0; i < b->f->palm_servos; i++) put_in_lid(b, &t, &b->f->palm[i]);
    hw_put_rods(b, &t, true);
    hw_put_grooves(b, &t);
    put_seats(b, &t);
    if (b->thumb.room) hw_put(&t, b->thumb.room);
    for (size_t i = 0; i < b->tails; i++) {
        hw_box3 box = b->tail[i];
        box.high.x += b->slide;
        put_lug_in_lid(b, &t, box);
    }
    hw_put(&t, b->ahead);
    for (size_t i = 0; i < n; i++) put_lid_hole(b, &t, place[i]);
    for (size_t i = 0; i < b->collar_screws; i++) hw_put_collar_hole(b, &t, b->collar_screw[i]);
    return hw_joined(b->a, &t);
}

// The lid with all that it grows round, before anything is cut of it.
static const hw_field *lid_body(hw_palm_build *b)
{
    hw_tools body = {.f = {b->skin, rim_of(b)}, .n = 2};
    put_round_servos(b, &body, true);
    return hw_joined(b->a, &body);
}

static const hw_field *lid_of(hw_palm_build *b, const hw_field *whole, const hw_vec3 place[],
                              size_t n)
{
    const hw_field *part[] = {whole, hw_above(b->a, b->f->split), b->plan};
    const hw_field *lid = hw_field_meet(b->a, part, 3);
    if (b->collar) lid = hw_field_union(b->a, (const hw_field *const[]){lid, b->collar}, 2);
    const hw_field *tools = lid_tools(b, place, n);
    return tools ? hw_field_cut(b->a, lid, tools) : lid;
}

static void add_lid(hw_palm_build *b, const hw_field *whole, const hw_field *lid)
{
    const hw_palm_parts_def *f = b->f;
    hw_allowance allow[HW_PALM_SERVOS * HW_BOX_LEAD + 1 + HW_PALM_ROUTES + HW_PALM_DIGITS];
    size_t allows = hw_groove_allowances(b, allow);
    for (size_t i = 0; i < f->palm_servos; i++)
        for (int k = 0; k < HW_BOX_LEAD; k++) { // ceilings over what stands out of the tray
            hw_box3 box = lid_room(b, &f->palm[i], k, 3 * f->gap);
            box.high.z = b->top;
            allow[allows++] = (hw_allowance){HW_ALLOW_BRIDGE, box.low, box.high};
        }
    if (f->palm_servos) { // and over all of them: rooms that come together have one ceiling
        hw_box3 all = allow_box(&allow[allows - 1]);
        for (size_t i = 0; i < f->palm_servos * HW_BOX_LEAD; i++) {
            const hw_box3 one = allow_box(&allow[allows - 1 - i]);
            all.low = hw_least(all.low, one.low);
            all.high = hw_most(all.high, one.high);
        }
        allow[allows++] = (hw_allowance){HW_ALLOW_BRIDGE, all.low, all.high};
    }
    for (size_t i = 0; i < b->tails; i++) {
        hw_box3 box = hw_box_grown(b->tail[i], 2 * f->gap);
        box.high.z = b->top;
        allow[allows++] = (hw_allowance){HW_ALLOW_BRIDGE, box.low, box.high};
    }
    hw_frame bed = hw_hand_axes;
    bed.at.z = f->split;
    hw_palm_add(b, "palm lid", lid, bed, allow, allows);
    if (whole && lid) hw_palm_roof(b, "palm lid", roof_of(b, whole, lid), bed);
}

// Over the thumb's room, so that its vault does not break through into the rooms above; false: it
// has none.
static bool thumb_roof(const hw_palm_build *b, hw_allowance *out)
{
    if (!b->thumb.room) return false;
    hw_box3 box;
    *out = (hw_allowance){.kind = HW_ALLOW_BRIDGE};
    if (!hw_field_reach(hw_both(b->a, b->skin, b->thumb.room), &box.low, &box.high)) return false;
    out->low = box.low;
    out->high = box.high;
    return true;
}

void hw_palm_tray(hw_palm_build *b)
{
    const hw_palm_parts_def *f = b->f;
    hw_tools cut = {.n = 0}, inside = {.n = 0}, add = {.n = 0}, beside = {.n = 0};
    hw_put_pockets(b, &cut, b->top - b->bottom);
    hw_put_rods(b, &cut, false);
    const hw_field *cradles = hw_palm_cradles(b);
    const hw_field *open = hw_field_column(b->a, b->skin, hw_at(0, 0, f->split), hw_at(0, 0, 1));
    open = hw_both(b->a, open, hw_field_half(b->a, hw_at(hw_wrist_wall(b), 0, 0), hw_at(-1, 0, 0)));
    hw_put_trenches(b, &cut, cradles ? hw_field_cut(b->a, open, cradles) : open);
    hw_put_bores_joined(b, &cut, (const double[]){b->from, hw_wrist_wall(b)});
    put_seats(b, &cut);
    if (b->thumb.room) hw_put(&cut, b->thumb.room);
    hw_put_thumb_trough(b, &cut);
    const hw_field *tools = hw_joined(b->a, &cut);
    const hw_field *cavity = cavity_of(b);
    if (b->thumb.room) // over the thumb's room a roof is left
        cavity = hw_field_cut(b->a, cavity, hw_field_offset(b->a, b->thumb.room, f->wall));
    hw_box3 region = {{b->from, b->wrist[0] - f->wall, f->split},
                      {b->to, b->wrist[1] + f->wall, f->split}};
    hw_vec3 place[LID_SCREWS];
    size_t n = tools && cavity
                   ? hw_screw_places(cavity, tools, region, 1.2 * f->screw, LID_SCREWS, place)
                   : 0;
    if (cradles) hw_put(&add, cradles);
    put_posts(b, cavity, place, n, &add, &cut);
    hw_put_wrist_screws(b, &add, &cut);
    hw_put_thumb_bearing(b, &add, &beside);
    put_sockets(b, &cut);
    hw_put(&cut, hw_wrist_window(b));
    hw_put(&inside, cavity);
    const hw_field *shell = tray_shell(b);
    hw_put(&beside, hw_less(b->a, shell, &inside));
    hw_put(&beside, hw_both(b->a, shell, hw_joined(b->a, &add)));
    const hw_field *tray = hw_less(b->a, hw_joined(b->a, &beside), &cut);
    for (size_t i = 0; i < n; i++) b->out->lid_screw[b->out->lid_screws++] = place[i];
    for (size_t i = 0; i < b->collar_screws; i++)
        b->out->lid_screw[b->out->lid_screws++] = b->collar_screw[i];
    b->out->screws += b->out->lid_screws + 2; // and at the wrist
    b->slide = hw_hook_slide(b);
    const hw_field *whole = lid_body(b), *lid = lid_of(b, whole, place, n);
    hw_palm_hooks(b, hw_joined(b->a, &cut), whole, &tray, &lid);
    if (b->out->lid_hooks == 0) { // it comes down straight
        b->slide = 0;
        lid = lid_of(b, whole, place, n);
    }
    hw_frame bed = hw_hand_axes;
    bed.at.z = b->bottom;
    hw_allowance roof;
    const bool roofed = thumb_roof(b, &roof);
    hw_palm_add(b, "palm tray", tray, bed, &roof, roofed);
    add_lid(b, whole, lid);
}
