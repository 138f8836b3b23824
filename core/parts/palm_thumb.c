// The thumb's seat. A yoke carries the block behind the joint and turns about the axis of
// opposition in a hollow journal, through which the sheaths come; half its bearing is in the tray,
// open toward the palm, the other half a cap that is screwed on from there. So thumb and yoke come
// in from the palm, and the palm above what they sweep stays whole.
//
// The yoke stands on the journal's mouth while it is printed. What leans out of it lies inside a
// cone a little steeper than 45 degrees that begins at the shoulder, where the journal ends: so
// nothing hangs, and the journal and its groove are round.
#include "parts/palm_internal.h"

enum { ARC = 12 };

#define CAP  2.4  // length of the bearing's cap at least, in screws: their heads lie on it [1]
#define HEAD 0.92 // radius of those heads: 5.5 mm of M3, ISO 7046 (from memory) [1]

// ---- measures ---------------------------------------------------------------------------------

// The yoke's plate seen from behind: the carrier's whole width on the side away from the bed, on
// the other side no more than the sheaths' way asks. In the knuckle's y and z.
size_t hw_thumb_plate(const hw_palm_seat *s, const hw_palm_thumb *t, hw_vec2 at[HW_THUMB_OUTLINE])
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
    return own.z - fmax(0, hypot(own.x, own.y) - t->journal) / HW_STEEP;
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
    hw_vec2 at[HW_THUMB_OUTLINE];
    size_t n = hw_thumb_plate(s, t, at);
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

// The journal is long enough for its groove, and for a cap under it that its screws' heads lie on.
double hw_palm_thumb_mouth(const hw_palm_parts_def *f) // [m]
{
    hw_palm_thumb t;
    bool good = hw_palm_thumb_of(f, &t);
    return good && t.held ? fmax(4 * t.deep, CAP * f->screw) - t.shoulder : (double)NAN;
}

// ---- shapes in the hand's frame -----------------------------------------------------------------

static const hw_field *groove_of(hw_arena *a, const hw_palm_thumb *t)
{
    const double k = 1.5 * t->deep;
    hw_vec3 low = hw_thumb_along(t, t->groove - k), high = hw_thumb_along(t, t->groove + k);
    hw_vec3 middle = hw_thumb_along(t, t->groove);
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
        a, hw_field_cylinder(a, hw_thumb_along(t, t->mouth), hw_thumb_along(t, end), t->journal),
        groove_of(a, t));
}

// Along the axis, round the bend and on to the carrier's back face.
static size_t way_of(const hw_palm_thumb *t, const hw_palm_seat *s, double from, double to,
                     hw_vec3 at[ARC + 3])
{
    size_t n = 0;
    at[n++] = hw_thumb_along(t, from);
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
    hw_vec2 at[HW_THUMB_OUTLINE];
    const hw_polygon outline = {at, hw_thumb_plate(s, t, at)};
    const hw_frame *k = &s->knuckle;
    hw_frame in = {k->at, k->y, hw_vec3_times(k->x, -1), k->z};
    return hw_field_prism(b->a, &in, &outline, -s->back, b->f->plate - s->back);
}

// As wide and as high as the end of a rod is that sticks out of the eye, bent or with a collar. [m]
static double end_of(const hw_palm_thumb *t)
{
    return 2 * t->rim / 3;
}

// The lug's frame: x out to the eye, z along the axis.
static hw_frame lug_frame(const hw_palm_thumb *t)
{
    hw_vec3 out = hw_vec3_unit(hw_frame_direction(&t->in, hw_at(t->eye.x, t->eye.y, 0)));
    return (hw_frame){t->in.at, out, hw_vec3_cross(t->in.z, out), t->in.z};
}

// What fills the room below plate and bend, as far as the cone reaches; over the lug's eye it is
// open outward, where the rod's end sticks out.
static const hw_field *gusset_of(hw_palm_build *b, const hw_palm_seat *s, const hw_palm_thumb *t)
{
    const double far = 8 * s->half, all = t->bend < 0.8 ? s->half : 0.5 * t->deep;
    hw_vec3 low = {-far, s->side[0], -all}, high = {s->back, s->side[1], far};
    if (t->low < 0) low.z = -far, high.z = all;
    const hw_field *part[] = {
        hw_field_box(b->a, &s->knuckle, low, high),
        hw_field_half(b->a, hw_vec3_along(t->in.at, t->bend < 0.8 ? -t->elbow : 0, t->in.x),
                      hw_vec3_times(t->in.x, -1))};
    const hw_field *full = hw_field_meet(b->a, part, 2);
    if (!s->levered) return full;
    const hw_frame out = lug_frame(t);
    // its floor lies within the lug: two planes in one leave spikes in a mesh
    low = hw_at(hypot(t->eye.x, t->eye.y) - end_of(t), -end_of(t), t->eye.z + 0.4 * b->f->plate);
    high = hw_at(far, end_of(t), far);
    return hw_field_cut(b->a, full, hw_field_box(b->a, &out, low, high));
}

static const hw_field *lug_of(hw_palm_build *b, const hw_palm_thumb *t)
{
    const double reach = hypot(t->eye.x, t->eye.y);
    const hw_frame in = lug_frame(t);
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
        hw_field_cone(b->a, hw_thumb_along(t, t->shoulder), hw_thumb_along(t, t->shoulder + far),
                      t->journal, t->journal + HW_STEEP * far),
        hw_field_half(b->a, hw_frame_point(&s->knuckle, hw_at(s->back, 0, 0)), s->knuckle.x)};
    const hw_field *both[] = {hw_field_meet(b->a, in, 3),
                              journal_of(b->a, t, t->shoulder + 0.5 * t->deep)};
    return hw_field_union(b->a, both, 2);
}

// The eye's hole, open toward the wrist. Where the cone leaves less than two lines and a half
// beside it there is a slot instead, under a gable: nothing thin is left.
static void put_eye(hw_palm_build *b, hw_tools *cut)
{
    const hw_palm_thumb *t = &b->thumb;
    const double r = t->rim / 3, reach = hypot(t->eye.x, t->eye.y), far = 4 * reach;
    const double low = t->shoulder - far, wide = reach + r + 0.4 * b->f->wall;
    const double sill = fmin(t->shoulder + wide - t->journal, t->eye.z - r / HW_STEEP);
    const hw_frame in = lug_frame(t), across = {in.at, in.y, hw_vec3_times(in.x, -1), in.z};
    hw_vec2 at[] = {{-r, low}, {r, low}, {r, sill}, {0, sill + r / HW_STEEP}, {-r, sill}};
    const hw_polygon outline = {at, 5};
    hw_put(cut, hw_field_cylinder(
                    b->a, hw_frame_point(&in, hw_at(reach, 0, low)),
                    hw_frame_point(&in, hw_at(reach, 0, t->eye.z + 0.5 * b->f->plate + r)), r));
    hw_put(cut, hw_field_prism(b->a, &across, &outline, -reach - far, -reach));
}

void hw_palm_thumb_yoke(hw_palm_build *b)
{
    const hw_palm_seat *s = &b->f->digit[0];
    const hw_palm_thumb *t = &b->thumb;
    const double screw = b->f->screw, far = 8 * s->half;
    if (!t->held) return;
    hw_tools cut = {.n = 0};
    hw_vec3 way[ARC + 3];
    // of the screws' holes, which lie askew; at their mouths nothing bounds them in front
    hw_allowance crown[4];
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
        box = hw_box_grown((hw_box3){face[e], face[e]}, screw);
        crown[2 + e] = (hw_allowance){HW_ALLOW_BRIDGE, box.low, box.high};
        hw_put(&cut,
               hw_field_cylinder(b->a, to[0], to[1], HW_THUMB_HEAD * screw)); // and a driver's way
    }
    if (s->levered) put_eye(b, &cut);
    hw_frame bed = {hw_thumb_along(t, t->mouth), t->in.x, t->in.y, t->in.z};
    b->out->screws += 2;
    hw_palm_add(b, "thumb yoke", hw_less(b->a, yoke_body(b, s, t), &cut), bed, crown, 4);
}

// How far a place is from the lug's eye, as `in` sees both.
static double off_eye(const hw_palm_parts_def *f, const hw_palm_thumb *t, hw_vec3 at) // [m]
{
    hw_vec3 p = hw_frame_seen(&t->in, at);
    double along = fmax(0, fabs(p.z - t->eye.z) - 0.5 * f->plate);
    return hypot(hypot(p.x - t->eye.x, p.y - t->eye.y), along);
}

// From the plate to the rod's end. [m]
static double end_off_plate(const hw_palm_parts_def *f, const hw_palm_thumb *t)
{
    const hw_palm_seat *s = &f->digit[0];
    const double end = end_of(t);
    const hw_vec3 top = hw_at(t->eye.x, t->eye.y, t->eye.z + 0.5 * f->plate + end);
    const hw_vec3 p = hw_frame_seen(&s->knuckle, hw_frame_point(&t->in, top));
    const double aside = fmax(s->side[0] - p.y, p.y - s->side[1]);
    return fmax(s->back - f->plate - p.x - end * sin(t->bend),
                fmax(aside, fabs(p.z) - s->half) - end);
}

double hw_thumb_lug_room(const hw_palm_parts_def *f, const hw_palm_thumb *t)
{
    enum { BETWEEN = 8 };
    const hw_palm_seat *s = &f->digit[0];
    hw_vec3 way[ARC + 3], eye = hw_frame_point(&t->in, t->eye);
    size_t n = way_of(t, s, t->mouth, t->face, way);
    double behind = t->face - hw_vec3_dot(hw_vec3_sub(eye, t->in.at), s->knuckle.x);
    double room = behind - t->rim * sin(t->bend) - 0.5 * f->plate * cos(t->bend);
    room = fmin(room, end_off_plate(f, t));
    for (size_t i = 0; i < BETWEEN * (n - 1); i++) {
        const hw_vec3 *p = &way[i / BETWEEN];
        double share = (double)(i % BETWEEN) / BETWEEN;
        hw_vec3 at = hw_vec3_along(p[0], share, hw_vec3_sub(p[1], p[0]));
        room = fmin(room, off_eye(f, t, at) - t->bore - t->rim);
    }
    for (int i = 0; i < 2 * BETWEEN; i++) { // a driver's ways to the screws
        const hw_vec2 *screw = &s->screw[i % 2];
        const int step = i / 2;
        double x = s->back - f->plate - 0.25 * s->half * step;
        hw_vec3 at = hw_frame_point(&s->knuckle, hw_at(x, screw->x, screw->z));
        room = fmin(room, off_eye(f, t, at) - HW_THUMB_HEAD * f->screw - t->rim);
    }
    return room;
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
    return b->thumb.journal + b->f->gap + 1.7 * b->f->screw;
}

// Half the width of what carries journal and screws.
static double block_wide(const hw_palm_build *b) // [m]
{
    return cap_screw(b) + 1.3 * b->f->screw;
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

// Below the journal, where it comes in and the cap's plug is, `play` less on every side: wider than
// the journal, so that the plug has cheeks, and narrower toward the axis, so that nothing hangs.
static const hw_field *slot_of(hw_palm_build *b, double end, double play) // [m]
{
    const hw_palm_thumb *t = &b->thumb;
    const double wrist = (b->from - t->in.at.x) / t->in.z.x, cheek = 0.5 * b->f->wall;
    const double top = play > 0 ? 0.4 * cheek : 0, far = b->to - b->from;
    const double near = t->journal + b->f->gap - play + top, wide = near - top + cheek;
    const hw_frame up = hw_thumb_upright(t), in = {up.at, up.y, hw_vec3_times(up.x, -1), up.z};
    hw_vec2 at[] = {{-wide, -far}, {wide, -far},  {wide, -cheek / HW_STEEP},
                    {near, -top},  {-near, -top}, {-wide, -cheek / HW_STEEP}};
    const hw_polygon outline = {at, 6};
    return hw_field_prism(b->a, &in, &outline, -end, wide - wrist);
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
    hw_vec2 at[] = {{0, 0}, {r, r}, {0, r + r / HW_STEEP}, {-r, r}};
    const hw_polygon outline = {at, 4};
    return hw_field_prism(b->a, &in, &outline, -t->shoulder, -t->mouth);
}

// From the mouth to the wrist; in the tray with a roof, and open toward the palm.
static const hw_field *sheaths_way(hw_palm_build *b, bool in_tray)
{
    const hw_palm_thumb *t = &b->thumb;
    hw_palm_route way = {.n = 2, .radius = t->bore};
    way.at[0] = hw_thumb_along(t, t->mouth - 1e-3 * t->bore);
    way.at[1] = hw_thumb_along(t, t->mouth - (b->to - b->from));
    const hw_field *both[] = {
        hw_field_drop(b->a, way.at, 2, t->bore, hw_at(0, 0, in_tray ? 1 : -1)),
        in_tray ? hw_palm_cleared(b, &way, -1) : NULL};
    return hw_field_union(b->a, both, in_tray ? 2 : 1);
}

// x of the cap's edge at the wrist: it lies on the bed with its sides along the mesh's cells, or
// their edges would hang, and stays behind the palm's own edge.
static double cap_back(const hw_palm_build *b) // [m]
{
    const hw_frame in = hw_thumb_upright(&b->thumb);
    return b->from + b->f->gap / 2 + fabs(in.y.x) * block_wide(b);
}

// Screws of the cap: from the palm's face into the tray, beside the journal.
static void cap_screws(const hw_palm_build *b, hw_vec3 at[2])
{
    const hw_palm_thumb *t = &b->thumb;
    const hw_frame in = hw_thumb_upright(t);
    const double back = (cap_back(b) - t->in.at.x) / in.x.x;
    for (int e = 0; e < 2; e++) {
        at[e] = hw_frame_point(
            &in, hw_at(0.5 * (back + t->shoulder - b->f->gap), (e ? 1 : -1) * cap_screw(b), 0));
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
    hw_allowance allow[2];
    // beside a head a line is left
    const double half = 0.5 * (b->thumb.in.at.x + end * b->thumb.in.z.x - cap_back(b));
    const double head = fmin(HEAD * screw, half - 0.3 * b->f->wall);
    for (size_t i = 0; i < 2; i++) {
        const hw_vec3 low = hw_vec3_along(at[i], -2 * plate, hw_at(0, 0, 1));
        const hw_vec3 face = hw_vec3_along(at[i], -0.9 * plate, hw_at(0, 0, 1));
        hw_put(&cut, hw_field_cylinder(b->a, low, hw_vec3_along(at[i], screw, hw_at(0, 0, 1)),
                                       0.55 * screw));
        hw_put(&cut, hw_field_cylinder(b->a, low, face, head)); // upright on the bed
        // the mesh bevels its rim there by less than a layer
        const hw_vec3 rim = hw_vec3_along(at[i], -plate, hw_at(0, 0, 1));
        const hw_box3 round = hw_box_grown((hw_box3){rim, rim}, 1.1 * head);
        allow[i] = (hw_allowance){HW_ALLOW_BRIDGE, round.low, round.high};
        allow[i].high.z = rim.z + 0.1 * plate;
        hw_put(&cut,
               hw_field_cone(b->a, face, hw_vec3_along(face, head - 0.5 * screw, hw_at(0, 0, 1)),
                             head, 0.5 * screw));
    }
    const hw_field *both[] = {
        slot_of(b, end, play),
        hw_both(b->a, behind(b, end, block_wide(b), -far, 0), hw_below(b->a, b->bottom))};
    const hw_frame in = hw_thumb_upright(&b->thumb);
    hw_frame bed = {in.at, hw_vec3_unit(hw_at(in.x.x, in.x.y, 0)), in.y, hw_at(0, 0, 1)};
    const hw_vec3 back = hw_vec3_along(in.at, (cap_back(b) - in.at.x) / bed.x.x, bed.x);
    const hw_field *part[] = {hw_field_union(b->a, both, 2), hw_above(b->a, b->bottom - plate),
                              hw_field_half(b->a, back, hw_vec3_times(bed.x, -1))};
    bed.at.z = b->bottom - plate;
    b->out->screws += 2;
    hw_palm_add(b, "thumb cap", hw_less(b->a, hw_field_meet(b->a, part, 3), &cut), bed, allow, 2);
}

// How high the tray is solid over the axis.
static double block_high(const hw_palm_build *b) // [m]
{
    return 1.44 * (b->thumb.journal + b->f->gap) + 0.5 * b->f->wall;
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
    return fmax(hw_thumb_along(t, t->mouth).z, hw_thumb_along(t, t->shoulder).z) + block_high(b);
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
    hw_put(cut, slot_of(b, t->shoulder, 0));
    hw_put(cut, sheaths_way(b, true));
    cap_screws(b, at);
    const hw_vec3 up = hw_at(0, 0, 1);
    const double screw = b->f->screw, radius = 0.42 * screw;
    for (size_t i = 0; i < 2; i++) { // pointed, or its end would hang
        const hw_vec3 end = hw_vec3_along(at[i], 4 * screw, up);
        hw_put(cut, hw_field_cylinder(b->a, hw_vec3_along(at[i], -screw, up), end, radius));
        hw_put(cut, hw_field_cone(b->a, end, hw_vec3_along(end, radius / HW_STEEP, up), radius, 0));
    }
}
