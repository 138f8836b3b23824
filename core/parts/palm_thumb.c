// The thumb's seat. A yoke carries the block behind the joint and turns about the axis of
// opposition in a hollow journal, through which the sheaths come; half its bearing is in the tray,
// open toward the palm, the other half a cap that is screwed on from there. So thumb and yoke come
// in from the palm, and the palm above what they sweep stays whole.
//
// The yoke stands on the journal's mouth while it is printed. What leans out of it lies inside a
// cone of 45 degrees that begins at the shoulder, where the journal ends: so nothing hangs, and
// the journal and its groove are round.
#include "parts/palm_internal.h"

#include <stdlib.h>
#include <string.h>

enum {
    ARC = 12,
    POSES = 13,
    OUTLINE = 16,
    BODIES = 4,
    HULL = 2 * OUTLINE,
    SPOTS = 4 * OUTLINE * BODIES + 1,
    ROOFS = 3
};

#define HEAD  1.1  // radius of a screw's head, in diameters [1]
#define STEEP 0.97 // across a unit of height: a little less than 45 degrees [1]

// ---- measures ---------------------------------------------------------------------------------

// A place of the seat's axis frame: along the axis, and so far from it.
static hw_vec3 along_axis(const hw_palm_thumb *t, double along) // [m]
{
    return hw_vec3_along(t->in.at, along, t->in.z);
}

// The yoke's plate seen from behind: the carrier's whole width on the side away from the bed, on
// the other side no more than the sheaths' way asks. In the knuckle's y and z.
static size_t plate_outline(const hw_palm_seat *s, const hw_palm_thumb *t, hw_vec2 at[OUTLINE])
{
    double middle = 0.5 * (s->side[0] + s->side[1]), wide = 0.5 * (s->side[1] - s->side[0]);
    double foot = fmin(0.5 * t->elbow, wide), rim = fmin(t->elbow, s->half);
    const double y[] = {-wide, -wide, -foot, foot, wide, wide};
    const double z[] = {-s->half, rim - (wide - foot), rim, rim, rim - (wide - foot), -s->half};
    for (int i = 0; i < 6; i++) at[i] = (hw_vec2){middle + y[i], t->low * z[i]};
    return 6;
}

// How far toward the wrist the cone must begin for a place to lie inside it.
static double begins(const hw_palm_thumb *t, hw_vec3 own)
{
    return own.z - fmax(0, hypot(own.x, own.y) - t->journal);
}

static hw_vec3 lug_eye(const hw_palm_seat *s, const hw_palm_thumb *t)
{
    const hw_frame own = {hw_vec3_sub(s->lever, t->in.at), t->in.x, t->in.y, t->in.z};
    const double middle = 0.5 * (s->splay[0] + s->splay[1]);
    hw_frame rest = hw_frame_turned(&own, (hw_vec3){0, 0, 0}, s->splay_axis, -middle);
    return hw_frame_seen(&t->in, hw_vec3_add(t->in.at, rest.at));
}

static double shoulder_of(const hw_palm_parts_def *f, const hw_palm_seat *s, const hw_palm_thumb *t)
{
    hw_vec2 at[OUTLINE];
    size_t n = plate_outline(s, t, at);
    double least = -0.6 * t->tangent; // the bend may begin in the journal, before its groove
    for (size_t i = 0; i < 2 * n; i++) {
        hw_vec3 p = {s->back - (i & 1 ? f->plate : 0), at[i / 2].x, at[i / 2].z};
        least = fmin(least, begins(t, hw_frame_seen(&t->in, hw_frame_point(&s->knuckle, p))));
    }
    if (!s->levered) return least;
    double out = hypot(t->eye.x, t->eye.y) + t->rim;
    return fmin(least, begins(t, hw_at(hypot(out, t->rim), 0, t->eye.z - 0.5 * f->plate)));
}

bool hw_palm_thumb_of(const hw_palm_parts_def *f, hw_palm_thumb *t)
{
    const hw_palm_seat *s = &f->digit[0];
    *t = (hw_palm_thumb){.held = false};
    if (!s->present || !(s->bore > 0)) return true;
    const hw_vec3 thumb = s->knuckle.x;
    double with = hw_vec3_dot(s->splay_axis, thumb) < 0 ? -1 : 1;
    t->in.at = s->splay_at;
    t->in.z = hw_vec3_times(s->splay_axis, with);
    double along = hw_vec3_dot(thumb, t->in.z);
    t->bend = acos(fmin(along, 1));
    t->in.x = hw_vec3_unit(hw_vec3_along(thumb, -along, t->in.z));
    t->in.y = hw_vec3_cross(t->in.z, t->in.x);
    t->tangent = s->radius * tan(t->bend / 2);
    hw_vec3 face = hw_frame_point(&s->knuckle, hw_at(s->back, 0, 0));
    t->face = hw_vec3_dot(hw_vec3_sub(face, t->in.at), thumb);
    t->low = hw_vec3_dot(s->knuckle.z, t->in.z) > 0 ? -1 : 1;
    t->bore = s->bore / 2;
    t->deep = 0.5 * f->wall;
    t->journal = t->bore + 0.45 * f->wall + t->deep;
    t->elbow = t->bore + 0.75 * f->wall;
    t->rim = 0.75 * f->screw;
    t->eye = lug_eye(s, t);
    t->shoulder = shoulder_of(f, s, t);
    t->mouth = -s->mouth;
    t->groove = 0.5 * (t->mouth + t->shoulder);
    t->held = true;
    return t->bend > 0.1 && t->bend < 1.3 && t->face >= t->tangent - 1e-6 * s->half &&
           s->radius > t->elbow;
}

double hw_palm_thumb_mouth(const hw_palm_parts_def *f) // [m]
{
    hw_palm_thumb t;
    bool good = hw_palm_thumb_of(f, &t);
    return good && t.held ? 4 * t.deep - t.shoulder : (double)NAN;
}

// ---- shapes in the hand's frame -----------------------------------------------------------------

static const hw_field *groove_of(hw_arena *a, const hw_palm_thumb *t)
{
    const double k = 1.5 * t->deep;
    hw_vec3 low = along_axis(t, t->groove - k), high = along_axis(t, t->groove + k);
    hw_vec3 middle = along_axis(t, t->groove);
    double in = t->journal - t->deep, out = t->journal + 0.5 * t->deep;
    const hw_field *kept[] = {hw_field_cone(a, low, middle, out, in),
                              hw_field_cone(a, middle, high, in, out)};
    return hw_field_cut(a, hw_field_cylinder(a, low, high, 2 * t->journal),
                        hw_field_union(a, kept, 2));
}

// The journal with its groove; with `round` about it, what turns in is left free.
static const hw_field *journal_of(hw_arena *a, const hw_palm_thumb *t, double end) // [m]
{
    return hw_field_cut(
        a, hw_field_cylinder(a, along_axis(t, t->mouth), along_axis(t, end), t->journal),
        groove_of(a, t));
}

// Along the axis, round the bend and on to the carrier's back face.
static size_t way_of(const hw_palm_thumb *t, const hw_palm_seat *s, double from, double to,
                     hw_vec3 at[ARC + 3])
{
    size_t n = 0;
    at[n++] = along_axis(t, from);
    for (int i = 0; i <= ARC; i++) {
        double angle = t->bend * i / ARC;
        hw_vec3 p = {s->radius * (1 - cos(angle)), 0, s->radius * sin(angle) - t->tangent};
        at[n++] = hw_frame_point(&t->in, p);
    }
    at[n++] = hw_vec3_along(t->in.at, to, s->knuckle.x);
    return n;
}

static const hw_field *plate_of(hw_palm_build *b, const hw_palm_seat *s, const hw_palm_thumb *t)
{
    hw_vec2 at[OUTLINE];
    const hw_polygon outline = {at, plate_outline(s, t, at)};
    const hw_frame *k = &s->knuckle;
    hw_frame in = {k->at, k->y, hw_vec3_times(k->x, -1), k->z};
    return hw_field_prism(b->a, &in, &outline, -s->back, b->f->plate - s->back);
}

// What fills the room below plate and bend, as far as the cone reaches.
static const hw_field *gusset_of(hw_palm_build *b, const hw_palm_seat *s, const hw_palm_thumb *t)
{
    const double far = 8 * s->half, all = t->bend < 0.8 ? s->half : 0.5 * t->deep;
    hw_vec3 low = {-far, s->side[0], -all}, high = {s->back, s->side[1], far};
    if (t->low < 0) low.z = -far, high.z = all;
    const hw_field *part[] = {
        hw_field_box(b->a, &s->knuckle, low, high),
        hw_field_half(b->a, hw_vec3_along(t->in.at, t->bend < 0.8 ? -t->elbow : 0, t->in.x),
                      hw_vec3_times(t->in.x, -1))};
    return hw_field_meet(b->a, part, 2);
}

static const hw_field *lug_of(hw_palm_build *b, const hw_palm_thumb *t)
{
    hw_vec3 out = hw_frame_direction(&t->in, hw_at(t->eye.x, t->eye.y, 0));
    double reach = hypot(t->eye.x, t->eye.y);
    hw_frame in = {t->in.at, hw_vec3_unit(out), hw_vec3_cross(t->in.z, hw_vec3_unit(out)), t->in.z};
    return hw_field_box(b->a, &in, hw_at(0, -t->rim, t->shoulder),
                        hw_at(reach + t->rim, t->rim, t->eye.z + 0.5 * b->f->plate));
}

static const hw_field *yoke_body(hw_palm_build *b, const hw_palm_seat *s, const hw_palm_thumb *t)
{
    const double far = 8 * s->half;
    hw_vec3 way[ARC + 3];
    size_t n = way_of(t, s, t->shoulder, t->face, way);
    const hw_field *part[] = {hw_field_drop(b->a, way, n, t->elbow, t->in.z), plate_of(b, s, t),
                              gusset_of(b, s, t), s->levered ? lug_of(b, t) : NULL};
    const hw_field *in[] = {
        hw_field_union(b->a, part, s->levered ? 4 : 3),
        hw_field_cone(b->a, along_axis(t, t->shoulder), along_axis(t, t->shoulder + far),
                      t->journal, t->journal + far),
        hw_field_half(b->a, hw_frame_point(&s->knuckle, hw_at(s->back, 0, 0)), s->knuckle.x)};
    const hw_field *both[] = {hw_field_meet(b->a, in, 3),
                              journal_of(b->a, t, t->shoulder + 0.5 * t->deep)};
    return hw_field_union(b->a, both, 2);
}

void hw_palm_thumb_yoke(hw_palm_build *b)
{
    const hw_palm_seat *s = &b->f->digit[0];
    const hw_palm_thumb *t = &b->thumb;
    const double screw = b->f->screw, far = 8 * s->half;
    if (!t->held) return;
    hw_tools cut = {.n = 0};
    hw_vec3 way[ARC + 3];
    hw_allowance crown[2]; // of the screws' holes, which lie askew
    hw_vec3 face[2];
    size_t n = way_of(t, s, t->mouth - 2 * t->bore, t->face + 2 * t->bore, way);
    hw_put(&cut, hw_field_drop(b->a, way, n, t->bore, t->in.z));
    for (int e = 0; e < 2; e++) {
        hw_vec3 at[2] = {{s->back + screw, s->screw[e].x, s->screw[e].z},
                         {s->back - 2 * screw, s->screw[e].x, s->screw[e].z}};
        hw_vec3 to[2] = {{s->back - b->f->plate, at[0].y, at[0].z},
                         {s->back - far, at[0].y, at[0].z}};
        face[e] = hw_frame_point(&s->knuckle, hw_at(s->back, at[0].y, at[0].z));
        for (int i = 0; i < 2; i++) {
            at[i] = hw_frame_point(&s->knuckle, at[i]);
            to[i] = hw_frame_point(&s->knuckle, to[i]);
        }
        hw_put(&cut, hw_field_cylinder(b->a, at[0], at[1], 0.53 * screw));
        hw_vec3 middle = hw_vec3_times(hw_vec3_add(to[0], face[e]), 0.5);
        hw_box3 box = hw_box_grown((hw_box3){middle, middle}, 0.5 * (b->f->plate + screw));
        crown[e] = (hw_allowance){HW_ALLOW_CROWN, box.low, box.high};
        hw_put(&cut, hw_field_cylinder(b->a, to[0], to[1], HEAD * screw)); // and a driver's way
    }
    if (s->levered) {
        hw_vec3 eye = t->eye, top = t->eye;
        eye.z = t->shoulder - far;
        top.z += b->f->plate;
        hw_put(&cut, hw_field_cylinder(b->a, hw_frame_point(&t->in, eye),
                                       hw_frame_point(&t->in, top), t->rim / 3));
    }
    hw_frame bed = {along_axis(t, t->mouth), t->in.x, t->in.y, t->in.z};
    b->out->screws += 2;
    hw_palm_add(b, "thumb yoke", hw_less(b->a, yoke_body(b, s, t), &cut), bed, crown, 2);
}

// ---- bearing ------------------------------------------------------------------------------------

hw_frame hw_thumb_upright(const hw_palm_thumb *t)
{
    hw_frame in = {t->in.at, t->in.z, {0, 0, 0}, {0, 0, 0}};
    in.y = hw_vec3_unit(hw_vec3_cross(hw_at(0, 0, 1), in.x));
    in.z = hw_vec3_cross(in.x, in.y);
    return in;
}

// How far to each side of the axis the cap's screws are, and where the cap ends.
static double cap_screw(const hw_palm_build *b) // [m]
{
    return b->thumb.journal + b->f->gap + 1.4 * b->f->screw;
}

// Half the width of what carries journal and screws.
static double block_wide(const hw_palm_build *b) // [m]
{
    return cap_screw(b) + 1.6 * b->f->screw;
}

// In the seat's upright frame between two heights, from the wrist on, `wide` to both sides.
static const hw_field *behind(hw_palm_build *b, double end, double wide, double low,
                              double high) // [m] [m] [m] [m]
{
    const hw_palm_thumb *t = &b->thumb;
    const double wrist = (b->from - t->in.at.x) / t->in.z.x;
    hw_frame in = hw_thumb_upright(t);
    return hw_field_box(b->a, &in, hw_at(wrist - wide, -wide, low), hw_at(end, wide, high));
}

static const hw_field *bearing_hole(hw_palm_build *b)
{
    const hw_palm_thumb *t = &b->thumb;
    return hw_field_offset(b->a, journal_of(b->a, t, t->shoulder), b->f->gap);
}

// What a lying bore of this radius needs above it so that nothing hangs: a roof of 45 degrees.
static const hw_field *bearing_roof(hw_palm_build *b)
{
    const hw_palm_thumb *t = &b->thumb;
    const double r = (t->journal + b->f->gap) / sqrt(2);
    const hw_frame up = hw_thumb_upright(t), in = {up.at, up.y, hw_vec3_times(up.x, -1), up.z};
    hw_vec2 at[] = {{0, 0}, {r, r}, {0, r + r / STEEP}, {-r, r}};
    const hw_polygon outline = {at, 4};
    return hw_field_prism(b->a, &in, &outline, -t->shoulder, -t->mouth);
}

// From the mouth to the wrist; in the tray with a roof, and open toward the palm.
static const hw_field *sheaths_way(hw_palm_build *b, bool in_tray)
{
    const hw_palm_thumb *t = &b->thumb;
    hw_palm_route way = {.n = 2, .radius = t->bore};
    way.at[0] = along_axis(t, t->mouth - 1e-3 * t->bore);
    way.at[1] = along_axis(t, t->mouth - (b->to - b->from));
    const hw_field *both[] = {hw_field_drop(b->a, way.at, 2, t->bore, hw_at(0, 0, in_tray ? 1 : -1)),
                              in_tray ? hw_palm_cleared(b, &way, -1) : NULL};
    return hw_field_union(b->a, both, in_tray ? 2 : 1);
}

// Screws of the cap: from the palm's face into the tray, beside the journal.
static void cap_screws(const hw_palm_build *b, hw_vec3 at[2])
{
    const hw_palm_thumb *t = &b->thumb;
    const hw_frame in = hw_thumb_upright(t);
    const double wrist = (b->from - t->in.at.x) / in.x.x;
    for (int e = 0; e < 2; e++) {
        at[e] = hw_frame_point(&in, hw_at(0.5 * (wrist + t->shoulder - b->f->gap),
                                          (e ? 1 : -1) * cap_screw(b), 0));
        at[e].z = b->bottom;
    }
}

// A plate on the palm's face and a plug between the walls beside the journal.
void hw_palm_thumb_cap(hw_palm_build *b)
{
    if (!b->thumb.held) return;
    const double screw = b->f->screw, play = b->f->gap / 2, plate = b->f->plate;
    const double end = b->thumb.shoulder - b->f->gap, far = b->to - b->from;
    hw_vec3 at[2];
    hw_tools cut = {.n = 0};
    hw_put(&cut, bearing_hole(b));
    hw_put(&cut, sheaths_way(b, false));
    cap_screws(b, at);
    for (size_t i = 0; i < 2; i++) {
        const hw_vec3 low = hw_vec3_along(at[i], -2 * plate, hw_at(0, 0, 1));
        const hw_vec3 face = hw_vec3_along(at[i], -1.05 * plate, hw_at(0, 0, 1));
        hw_put(&cut, hw_field_cylinder(b->a, low, hw_vec3_along(at[i], screw, hw_at(0, 0, 1)),
                                       0.55 * screw));
        hw_put(&cut, hw_field_cone(b->a, face, hw_vec3_along(face, 0.6 * screw, hw_at(0, 0, 1)),
                                   1.1 * screw, 0.5 * screw));
    }
    const double wide = b->thumb.journal + b->f->gap - play;
    const hw_field *both[] = {
        behind(b, end, wide, -far, -play),
        hw_both(b->a, behind(b, end, block_wide(b), -far, 0), hw_below(b->a, b->bottom))};
    const hw_field *part[] = {hw_field_union(b->a, both, 2), hw_above(b->a, b->bottom - plate),
                              hw_field_half(b->a, hw_at(b->from + play, 0, 0), hw_at(-1, 0, 0))};
    hw_frame bed = hw_hand_axes;
    bed.at = hw_at(b->thumb.in.at.x, b->thumb.in.at.y, b->bottom - plate);
    b->out->screws += 2;
    hw_palm_add(b, "thumb cap", hw_less(b->a, hw_field_meet(b->a, part, 3), &cut), bed, NULL, 0);
}

// How high the tray is solid over the axis.
static double block_high(const hw_palm_build *b) // [m]
{
    return 1.5 * (b->thumb.journal + b->f->gap) + b->f->wall;
}

hw_body hw_palm_thumb_block(const hw_palm_parts_def *f, const hw_palm_thumb *t)
{
    const hw_palm_build b = {.f = f, .thumb = *t};
    const double wrist = (f->outline[0][0].x - t->in.at.x) / t->in.z.x, wide = block_wide(&b);
    double low = INFINITY, end = t->shoulder - f->gap;
    for (int i = 0; i < HW_PALM_LOOPS * HW_PALM_LOOP; i++)
        low = fmin(low, f->outline[i / HW_PALM_LOOP][i % HW_PALM_LOOP].z - t->in.at.z);
    hw_frame in = hw_thumb_upright(t);
    in.at = hw_frame_point(&in, hw_at(0.5 * (wrist + end), 0, 0.5 * (low + block_high(&b))));
    return hw_body_box(in, end - wrist, 2 * wide, block_high(&b) - low);
}

double hw_palm_bearing_top(const hw_palm_build *b)
{
    const hw_palm_thumb *t = &b->thumb;
    if (!t->held) return -INFINITY;
    return fmax(along_axis(t, t->mouth).z, along_axis(t, t->shoulder).z) + block_high(b);
}

void hw_put_thumb_bearing(hw_palm_build *b, hw_tools *within, hw_tools *also)
{
    const hw_palm_thumb *t = &b->thumb;
    if (!t->held) return;
    const double end = t->shoulder - b->f->gap, far = t->in.at.z - b->bottom;
    hw_put(within, behind(b, end, block_wide(b), 0, block_high(b)));
    // beside the thumb the palm's side falls in: there it stands out, as a thumb's ball does
    const hw_field *foot[] = {behind(b, end, block_wide(b), -2 * far, 0), hw_above(b->a, b->bottom),
                              hw_field_half(b->a, hw_at(b->from, 0, 0), hw_at(-1, 0, 0))};
    hw_put(also, hw_field_meet(b->a, foot, 3));
}

void hw_put_thumb_trough(hw_palm_build *b, hw_tools *cut)
{
    const hw_palm_thumb *t = &b->thumb;
    hw_vec3 at[2];
    if (!t->held) return;
    hw_put(cut, bearing_hole(b));
    hw_put(cut, bearing_roof(b));
    hw_put(cut, behind(b, t->shoulder, t->journal + b->f->gap, -(b->to - b->from), 0));
    hw_put(cut, sheaths_way(b, true));
    cap_screws(b, at);
    for (size_t i = 0; i < 2; i++)
        hw_put(cut, hw_field_cylinder(b->a, hw_vec3_along(at[i], -b->f->screw, hw_at(0, 0, 1)),
                                      hw_vec3_along(at[i], 4 * b->f->screw, hw_at(0, 0, 1)),
                                      0.42 * b->f->screw));
}

// ---- bay ----------------------------------------------------------------------------------------

// A convex prism: a polygon in a frame's x and z, counter-clockwise, between two y.
typedef struct prism {
    hw_frame in;
    hw_vec2 at[OUTLINE];
    size_t n;
    double y[2];
} prism;

static prism box_prism(hw_frame in, hw_vec3 low, hw_vec3 high)
{
    return (prism){in,
                   {{low.x, low.z}, {high.x, low.z}, {high.x, high.z}, {low.x, high.z}},
                   4,
                   {low.y, high.y}};
}

static hw_vec3 corner(const prism *p, size_t i)
{
    return hw_frame_point(&p->in, hw_at(p->at[i / 2].x, p->y[i & 1], p->at[i / 2].z));
}

// The prism grown, and all that is below it: its plan, and its sides that look up.
static const hw_field *fallen(hw_palm_build *b, const prism *p, double grow) // [m]
{
    const double far = 4 * (b->to - b->from);
    hw_vec2 plan[2 * OUTLINE], out[2 * OUTLINE + 2];
    for (size_t i = 0; i < 2 * p->n; i++) {
        hw_vec3 q = corner(p, i);
        plan[i] = (hw_vec2){q.x, q.y};
    }
    const hw_polygon outline = {out, hw_palm_hull(plan, 2 * p->n, out)};
    const hw_field *part[OUTLINE + 3];
    size_t n = 0;
    part[n++] =
        hw_field_offset(b->a, hw_field_prism(b->a, &hw_plan_axes, &outline, -far, far), grow);
    for (size_t i = 0; i < p->n + 2; i++) {
        hw_vec3 at = corner(p, 0), away = hw_vec3_times(p->in.y, i == p->n ? -1 : 1);
        if (i == p->n + 1) at = corner(p, 1);
        if (i < p->n) {
            hw_vec2 from = p->at[i], to = p->at[(i + 1) % p->n];
            at = corner(p, 2 * i);
            away = hw_frame_direction(&p->in, hw_at(to.z - from.z, 0, from.x - to.x));
        }
        away = hw_vec3_unit(away);
        if (away.z > 1e-3) part[n++] = hw_field_half(b->a, hw_vec3_along(at, grow, away), away);
    }
    return hw_field_meet(b->a, part, n);
}

// The yoke's head across the axis frame's y: round the plate and what is below it.
static prism head_of(const hw_palm_build *b)
{
    const hw_palm_seat *s = &b->f->digit[0];
    const hw_palm_thumb *t = &b->thumb;
    hw_vec2 at[OUTLINE], seen[HULL], out[HULL + 2];
    size_t n = plate_outline(s, t, at), m = 0;
    prism p = {.in = t->in, .y = {-t->journal, t->journal}};
    for (size_t i = 0; i < 2 * n; i++) {
        hw_vec3 q = {s->back - (i & 1 ? b->f->plate : 0), at[i / 2].x, at[i / 2].z};
        q = hw_frame_seen(&t->in, hw_frame_point(&s->knuckle, q));
        seen[m++] = (hw_vec2){q.x, q.z};
        p.y[0] = fmin(p.y[0], q.y);
        p.y[1] = fmax(p.y[1], q.y);
    }
    seen[m++] = (hw_vec2){0, t->shoulder};
    seen[m++] = (hw_vec2){t->journal, t->shoulder};
    seen[m++] = (hw_vec2){0, sqrt(2) * t->elbow};
    m = hw_palm_hull(seen, m, out);
    p.n = m < OUTLINE ? m : OUTLINE;
    memcpy(p.at, out, p.n * sizeof *out);
    return p;
}

// The block, as far as the joint's round end.
static prism block_of(const hw_palm_build *b)
{
    const hw_palm_seat *s = &b->f->digit[0];
    return box_prism(s->knuckle, hw_at(s->back, s->side[0], -s->half),
                     hw_at(s->half, s->side[1], s->half));
}

// The heads of its screws behind the plate.
static prism heads_of(const hw_palm_build *b)
{
    const hw_palm_seat *s = &b->f->digit[0];
    const double plate = s->back - b->f->plate, r = HEAD * b->f->screw;
    const hw_vec2 *p = &s->screw[0], *q = &s->screw[1];
    return box_prism(s->knuckle,
                     hw_at(plate - 0.8 * b->f->screw, fmin(p->x, q->x) - r, fmin(p->z, q->z) - r),
                     hw_at(plate, fmax(p->x, q->x) + r, fmax(p->z, q->z) + r));
}

static prism bone_of(const hw_palm_build *b)
{
    const hw_palm_seat *s = &b->f->digit[0];
    return box_prism(s->knuckle, hw_at(0, -s->width / 2, -s->thickness / 2),
                     hw_at(s->segment, s->width / 2, s->thickness / 2));
}

// Distance from the axis and place along it of all that turns, as a convex outline: corners and the
// middles between them, which lie nearer.
static size_t profile_of(hw_palm_build *b, const prism body[], size_t n, hw_vec2 *out)
{
    hw_vec2 at[SPOTS];
    size_t m = 0;
    for (size_t i = 0; i < n; i++)
        for (size_t k = 0; k < 2 * body[i].n; k++) {
            hw_vec3 q = hw_frame_seen(&b->thumb.in, corner(&body[i], k));
            at[m++] = (hw_vec2){hypot(q.x, q.y), q.z};
            at[m++] = (hw_vec2){fabs(q.x), q.z};
        }
    at[m++] = (hw_vec2){0, b->thumb.shoulder};
    return hw_palm_hull(at, m, out);
}

// Radius of a convex outline at a place along the axis: the least or the most.
static double radius_at(const hw_vec2 at[], size_t n, double along, bool most) // [m]
{
    double best = most ? 0 : INFINITY;
    for (size_t i = 0; i < n; i++) {
        hw_vec2 p = at[i], q = at[(i + 1) % n];
        if ((p.z > along) == (q.z > along) && p.z != along && q.z != along) continue;
        double part = q.z != p.z ? fmin(fmax((along - p.z) / (q.z - p.z), 0), 1) : 0;
        double r[2] = {p.x + part * (q.x - p.x), q.z == p.z ? q.x : p.x + part * (q.x - p.x)};
        for (int k = 0; k < 2; k++) best = most ? fmax(best, r[k]) : fmin(best, r[k]);
    }
    return best;
}

static int by_place(const void *a, const void *b)
{
    double p = ((const hw_vec2 *)a)->z, q = ((const hw_vec2 *)b)->z;
    return (p > q) - (p < q);
}

// A cone along the axis between two places, drawn out beyond both along its own side.
static const hw_field *ring_of(hw_palm_build *b, const double place[2], const double radius[2],
                               double over) // [m] [m] [m]
{
    double slope = (radius[1] - radius[0]) / (place[1] - place[0]);
    return hw_field_cone(b->a, along_axis(&b->thumb, place[0] - over),
                         along_axis(&b->thumb, place[1] + over), fmax(0, radius[0] - over * slope),
                         fmax(0, radius[1] + over * slope));
}

// The outline turned about the axis: between two of its corners' places a cone, less a cone, as
// `play` asks. The outer ones reach a little farther, the inner ones less far than the outline.
static const hw_field *turned(hw_palm_build *b, const hw_vec2 at[], size_t n, double play) // [m]
{
    hw_vec2 *place = HW_NEW(b->a, hw_vec2, n);
    hw_tools whole = {.n = 0}, inside = {.n = 0};
    if (!place) return NULL;
    memcpy(place, at, n * sizeof *place);
    qsort(place, n, sizeof *place, by_place);
    const double least = 1e-3 * b->thumb.journal, edge = least / 16;
    for (size_t i = 1; i < n; i++) {
        const double to[2] = {place[i - 1].z, place[i].z};
        if (to[1] - to[0] < least) continue;
        double out[2], in[2]; // a level end has two radii: that beside it counts
        for (int k = 0; k < 2; k++) {
            out[k] = radius_at(at, n, to[k] + (k ? -edge : edge), true) + play;
            in[k] = radius_at(at, n, to[k] + (k ? -edge : edge), false) - play;
        }
        hw_put(&whole, ring_of(b, to, out, play));
        if (in[0] > least && in[1] > least) hw_put(&inside, ring_of(b, to, in, play));
    }
    return hw_less(b->a, hw_joined(b->a, &whole), &inside);
}

// The ways in which the roof falls: along the axis to both ends, and away from the thumb.
static void falls(const hw_palm_build *b, hw_vec3 way[ROOFS])
{
    const hw_frame in = hw_thumb_upright(&b->thumb);
    way[0] = in.x;
    way[1] = hw_vec3_times(in.x, -1);
    way[2] = hw_vec3_times(in.y, hw_vec3_dot(b->f->digit[0].knuckle.x, in.y) < 0 ? 1 : -1);
}

// A roof of 45 degrees over all poses of the bodies: it falls along the axis to both ends and to
// the side away from the thumb, where it stands on what stays, and is open toward the thumb. Along
// each way it goes no farther than `out` less what it rises by.
static void roof_of(const hw_palm_build *b, double out[ROOFS]) // [m]
{
    const hw_palm_seat *s = &b->f->digit[0];
    const prism body[BODIES] = {head_of(b), block_of(b), heads_of(b), bone_of(b)};
    const hw_frame in = hw_thumb_upright(&b->thumb);
    hw_vec3 way[ROOFS];
    falls(b, way);
    for (int r = 0; r < ROOFS; r++) {
        const hw_vec3 up = hw_vec3_along(way[r], STEEP, in.z);
        // the bend stays near the axis
        out[r] = sqrt(2) * (b->thumb.journal + b->thumb.elbow * fmax(hw_vec3_dot(in.x, up), 0));
        for (int k = 0; k < POSES * BODIES; k++) {
            const int pose = k / BODIES;
            double angle = s->splay[0] + (s->splay[1] - s->splay[0]) * pose / (POSES - 1);
            prism p = body[k % BODIES];
            p.in = hw_frame_turned(&p.in, s->splay_at, s->splay_axis, angle);
            for (size_t c = 0; c < 2 * p.n; c++)
                out[r] = fmax(out[r], hw_vec3_dot(hw_vec3_sub(corner(&p, c), in.at), up));
        }
        out[r] += sqrt(2) * b->f->gap;
    }
}

static const hw_field *below_roof(hw_palm_build *b)
{
    const hw_frame in = hw_thumb_upright(&b->thumb);
    const hw_field *half[ROOFS];
    hw_vec3 way[ROOFS];
    double out[ROOFS];
    falls(b, way);
    roof_of(b, out);
    for (int r = 0; r < ROOFS; r++) {
        const hw_vec3 up = hw_vec3_along(way[r], STEEP, in.z);
        const double rise = out[r] / hw_vec3_dot(up, up);
        half[r] = hw_field_half(b->a, hw_vec3_along(in.at, rise, up), hw_vec3_unit(up));
    }
    return hw_field_meet(b->a, half, ROOFS);
}

size_t hw_palm_thumb_room(const hw_palm_parts_def *def, hw_body body[HW_PALM_ROOM])
{
    hw_palm_build b = {.f = def};
    double out[ROOFS], low = INFINITY, wide = 0;
    if (!hw_palm_thumb_of(def, &b.thumb) || !b.thumb.held) return 0;
    roof_of(&b, out);
    for (int i = 0; i < HW_PALM_LOOPS * HW_PALM_LOOP; i++) {
        const hw_vec3 *q = &def->outline[i / HW_PALM_LOOP][i % HW_PALM_LOOP];
        low = fmin(low, q->z - b.thumb.in.at.z);
        wide = fmax(wide, fabs(q->y) + fabs(b.thumb.in.at.y));
    }
    const hw_frame in = hw_thumb_upright(&b.thumb);
    const bool left = hw_vec3_dot(def->digit[0].knuckle.x, in.y) < 0;
    const double ridge = 0.5 * (out[0] + out[1]) / STEEP, step = (ridge - low) / HW_PALM_ROOM;
    for (int i = 0; i < HW_PALM_ROOM; i++) { // terraces that hold the roof
        const double at = ridge - step * (i + 1);
        hw_vec3 from = {fmax(b.thumb.shoulder, STEEP * at - out[1]), STEEP * at - out[2], at};
        hw_vec3 to = {out[0] - STEEP * at, wide, at + step};
        if (left) to.y = -from.y, from.y = -wide;
        hw_vec3 size = hw_vec3_sub(to, from);
        hw_frame f = in;
        f.at = hw_frame_point(&in, hw_vec3_along(from, 0.5, size));
        body[i] = hw_body_box(f, fmax(size.x, 0), fmax(size.y, 0), step);
    }
    return HW_PALM_ROOM;
}

// Round the bend, which stays near the axis, and below it.
static void put_core(hw_palm_build *b, hw_tools *t, const hw_field *roof)
{
    const hw_palm_thumb *th = &b->thumb;
    const double g = b->f->gap, wide = th->journal + g, far = 2 * (b->to - b->from);
    double from = th->shoulder - g, to = sqrt(2) * th->elbow + g;
    hw_frame in = hw_thumb_upright(th);
    const hw_vec3 path[] = {along_axis(th, from), along_axis(th, to)};
    hw_put(t, hw_both(b->a, hw_field_drop(b->a, path, 2, wide, in.z),
                      hw_field_half(b->a, path[0], hw_vec3_times(th->in.z, -1))));
    // into the cap's room, so that no crack is left where both end
    hw_put(t, hw_field_box(b->a, &in, hw_at(from - g, -wide, -far), hw_at(to, wide, 0)));
    // beside the bearing, toward the thumb, the wall behind ends square, not in a wedge
    hw_vec3 low = {from, -far, -far}, high = {th->face, far, far};
    if (hw_vec3_dot(b->f->digit[0].knuckle.x, in.y) < 0)
        high.y = -th->journal;
    else
        low.y = th->journal;
    hw_put(t, hw_both(b->a, hw_field_box(b->a, &in, low, high), roof));
}

// All that the lug for the rod passes over, its ends square to the axis.
static const hw_field *lug_room(hw_palm_build *b)
{
    const hw_palm_seat *s = &b->f->digit[0];
    const hw_palm_thumb *t = &b->thumb;
    const hw_frame in = hw_thumb_upright(t);
    const double g = 2 * b->f->gap, reach = hypot(t->eye.x, t->eye.y) + t->rim + g;
    hw_box3 box = {{t->shoulder - b->f->gap, INFINITY, INFINITY},
                   {t->eye.z + 0.5 * b->f->plate + g, -INFINITY, -INFINITY}};
    for (int i = 0; i <= POSES; i++) {
        double angle = s->splay[0] + (s->splay[1] - s->splay[0]) * i / POSES;
        hw_frame turned_by = hw_frame_turned(&t->in, s->splay_at, s->splay_axis, angle);
        hw_vec3 out = hw_frame_direction(&turned_by, hw_at(t->eye.x, t->eye.y, 0));
        hw_vec3 end = hw_vec3_along(t->in.at, reach, hw_vec3_unit(out));
        hw_vec3 p = hw_frame_seen(&in, end);
        box.low.y = fmin(box.low.y, fmin(p.y, 0) - t->rim - g);
        box.high.y = fmax(box.high.y, fmax(p.y, 0) + t->rim + g);
        box.low.z = fmin(box.low.z, fmin(p.z, 0));
        box.high.z = fmax(box.high.z, fmax(p.z, 0));
    }
    return hw_field_box(b->a, &in, box.low, box.high);
}

void hw_palm_thumb_bay(hw_palm_build *b)
{
    const hw_palm_seat *s = &b->f->digit[0];
    const double g = b->f->gap;
    if (!b->thumb.held) return;
    const prism body[BODIES] = {head_of(b), block_of(b), heads_of(b), bone_of(b)};
    hw_vec2 outline[SPOTS + 2];
    size_t n = profile_of(b, body, BODIES, outline);
    const hw_field *roof = below_roof(b);
    // square to its sides less
    const hw_field *round = hw_both(b->a, turned(b, outline, n, 1.8 * g), roof);
    hw_tools room = {.n = 0};
    put_core(b, &room, roof);
    if (s->levered) hw_put(&room, lug_room(b));
    // the fingers' ground stays whole: there the palm stops the thumb
    hw_put(&room, hw_field_cut(b->a, round, b->ahead));
    for (int i = 0; i < BODIES; i++) { // it comes in from the palm, half opposed
        prism p = body[i];
        p.in = hw_frame_turned(&p.in, s->splay_at, s->splay_axis,
                               0.5 * (s->splay[0] + s->splay[1]));
        hw_put(&room, fallen(b, &p, g));
    }
    b->thumb.in_tray = b->thumb.in_lid = hw_joined(b->a, &room);
}

// The box that the rod's lug turns in.
void hw_palm_thumb_tail(hw_palm_build *b)
{
    const hw_palm_seat *s = &b->f->digit[0];
    const hw_palm_thumb *t = &b->thumb;
    if (!t->held) return;
    if (!s->levered) return;
    const double g = 2 * b->f->gap, out = 1 + (t->rim + g) / hypot(t->eye.x, t->eye.y);
    hw_box3 box = {{INFINITY, INFINITY, INFINITY}, {-INFINITY, -INFINITY, -INFINITY}};
    for (int i = 0; i < 2 * POSES; i++) {
        const int step = i / 2;
        double share = (double)step / (POSES - 1);
        double angle = s->splay[0] + share * (s->splay[1] - s->splay[0]);
        hw_frame in = hw_frame_turned(&t->in, s->splay_at, s->splay_axis, angle);
        double z = i & 1 ? t->eye.z + 0.5 * b->f->plate + g : t->shoulder - b->f->gap;
        hw_vec3 p = hw_frame_point(&in, hw_at(out * t->eye.x, out * t->eye.y, z));
        const hw_vec3 axis = along_axis(t, z);
        const hw_vec3 *const at[] = {&p, &axis};
        for (int k = 0; k < 2; k++) {
            box.low = hw_at(fmin(box.low.x, at[k]->x), fmin(box.low.y, at[k]->y - t->rim - g),
                            fmin(box.low.z, at[k]->z));
            box.high = hw_at(fmax(box.high.x, at[k]->x), fmax(box.high.y, at[k]->y + t->rim + g),
                             fmax(box.high.z, at[k]->z));
        }
    }
    // the bearing's face is square to the axis, this box is not: it begins where it leaves no wedge
    double skew = fabs(t->in.z.y) / t->in.z.x;
    box.low.x += skew * 0.5 * (box.high.y - box.low.y);
    b->tail[b->tails++] = box;
    b->thumb.lug = box;
}
