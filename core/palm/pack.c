// Servos in their slots: rods, what is nearest, how thick the palm must be.
#include "palm/pack_internal.h"

// Distances are told apart up to this many gaps.
static const double enough_gaps = 20; // [1]

hw_pack_def hw_pack_def_default(void)
{
    return (hw_pack_def){.wall = 2e-3, .gap = 0.3e-3, .rod = 2e-3, .skew = 35 * HW_PI / 180};
}

static bool shape_sound(const hw_servo_shape *s)
{
    const double above[] = {s->length, s->width, s->height, s->shaft_at};
    const double from_0[] = {
        s->ear_span - s->length, s->ear_thickness, s->ear_at, s->spline, s->horn_arm,
        s->horn_width,           s->horn_turns,    s->cable};
    bool ok = s->shaft_at < s->length;
    for (size_t i = 0; i < sizeof above / sizeof above[0]; i++)
        ok = ok && above[i] > 0 && isfinite(above[i]);
    for (size_t i = 0; i < sizeof from_0 / sizeof from_0[0]; i++)
        ok = ok && from_0[i] >= 0 && isfinite(from_0[i]);
    return ok;
}

bool hw_pack_sound(const hw_pack_def *d)
{
    const double from_0[] = {d->wall, d->gap, d->rod, d->skew};
    bool ok = d->palm && isfinite(d->palm->length);
    for (size_t i = 0; i < sizeof from_0 / sizeof from_0[0]; i++)
        ok = ok && from_0[i] >= 0 && isfinite(from_0[i]);
    for (size_t i = 0; i < d->items && ok; i++)
        ok = shape_sound(&d->item[i].shape) && isfinite(d->item[i].slot.at.x) &&
             isfinite(d->item[i].slot.at.y) && isfinite(d->item[i].slot.at.z);
    return ok;
}

hw_packer hw_packer_of(const hw_pack_def *def)
{
    hw_packer p = {.def = def, .enough = enough_gaps * def->gap};
    hw_skin_of(def->palm, &p.skin);
    return p;
}

// Angle between two lines. A rod of no length has none.
static double off_way(hw_vec3 rod, hw_vec3 way) // [rad]
{
    double len = hw_vec3_norm(rod) * hw_vec3_norm(way);
    return len > 0 ? acos(fmin(fabs(hw_vec3_dot(rod, way)) / len, 1)) : HW_PI / 2;
}

// Where a servo in a slot would reach its lever: rod and skew alone. False: no slot.
bool hw_pack_reach(const hw_pack_item *item, hw_servo_slot slot, hw_pack_place *p)
{
    *p = (hw_pack_place){.slot = slot, .which = -1, .room = INFINITY, .thickness = NAN};
    if (!hw_servo_frame(&slot, &p->frame)) {
        p->meets = HW_PACK_SLOT;
        p->room = -INFINITY;
        return false;
    }
    const hw_servo_lever *l = &item->lever;
    hw_vec3 horn = hw_way_vector(slot.horn), from = slot.at;
    from = hw_vec3_along(from, item->shape.horn_hole, horn);
    from = hw_vec3_along(from, item->shape.spline, p->frame.z);
    hw_vec3 along = hw_vec3_sub(l->end, from);
    p->rod = hw_vec3_norm(along);
    p->skew[0] = off_way(along, hw_vec3_cross(p->frame.z, horn));
    p->skew[1] = off_way(along, hw_vec3_cross(l->axis, hw_vec3_sub(l->end, l->at)));
    return true;
}

// Its bodies there, rod included.
void hw_pack_stand(const hw_pack_item *item, double rod, hw_pack_place *p)
{
    hw_vec3 horn = hw_way_vector(p->slot.horn);
    hw_vec3 own = {hw_vec3_dot(horn, p->frame.x), hw_vec3_dot(horn, p->frame.y), 0};
    hw_servo_bodies(&item->shape, own, p->body);
    for (int k = 0; k < HW_SERVO_BODIES; k++)
        p->body[k].frame = hw_frame_in(&p->frame, &p->body[k].frame);
    p->body[HW_SERVO_ROD] =
        hw_body_capsule(p->body[HW_SERVO_ROD].frame.at, item->lever.end, rod / 2);
    p->lug = item->lug;
}

static void note(hw_pack_place *p, double room, hw_pack_meets meets, int which, int part)
{
    if (!(room < p->room)) return;
    p->room = room;
    p->meets = meets;
    p->which = which;
    p->part = part;
}

// A corner of one of a servo's boxes, 0 to 7.
static hw_vec3 corner_of(const hw_body *b, int c)
{
    hw_vec3 h = b->half;
    return hw_frame_point(&b->frame,
                          (hw_vec3){c & 1 ? h.x : -h.x, c & 2 ? h.y : -h.y, c & 4 ? h.z : -h.z});
}

static void note_skin(const hw_packer *k, hw_pack_place *p, double room, int part, hw_way inward)
{
    double was = p->room;
    note(p, room - k->def->wall, HW_PACK_SKIN, -1, part);
    if (p->room < was) p->away = hw_way_vector(inward);
}

// Corners of a servo's boxes against the outline in plan.
void hw_pack_in_plan(const hw_packer *k, unsigned parts, hw_pack_place *p)
{
    for (int part = 0; part < HW_SERVO_ROD; part++)
        for (int c = 0; c < 8 && parts >> part & 1; c++) {
            hw_vec3 v = corner_of(&p->body[part], c);
            note_skin(k, p, v.x - k->skin.x[0][0], part, HW_WAY_FINGERS);
            note_skin(k, p, hw_skin_front(k->def->palm, v.y) - v.x, part, HW_WAY_WRIST);
            note_skin(k, p, v.y - hw_skin_side(&k->skin, 0, v.x), part, HW_WAY_THUMB);
            note_skin(k, p, hw_skin_side(&k->skin, 1, v.x) - v.y, part, HW_WAY_LITTLE);
        }
}

// Out of the back they lack room; down to the palm they ask for thickness, counted from the back
// above the shaft, and by how much the face that the palm is printed on must lie lower.
void hw_pack_in_depth(const hw_packer *k, unsigned parts, hw_pack_place *p)
{
    const hw_pack_def *d = k->def;
    double out_back = 0, lowest = INFINITY, z[2];
    hw_vec3 at = p->frame.at;
    double low = hw_skin_side(&k->skin, 0, at.x), high = hw_skin_side(&k->skin, 1, at.x);
    hw_palm_depth(d->palm, at.x, fmin(fmax(at.y, low), high), z);
    double back = z[1];
    for (int part = 0; part < HW_SERVO_ROD; part++)
        for (int c = 0; c < 8 && parts >> part & 1; c++) {
            hw_vec3 v = corner_of(&p->body[part], c);
            lowest = fmin(lowest, v.z);
            low = hw_skin_side(&k->skin, 0, v.x);
            high = hw_skin_side(&k->skin, 1, v.x);
            hw_palm_depth(d->palm, v.x, fmin(fmax(v.y, low), high), z);
            if (isnan(z[1])) continue;
            note_skin(k, p, z[1] - v.z, part, HW_WAY_PALM);
            out_back = fmax(out_back, v.z + d->wall - z[1]);
        }
    const double deeper = k->skin.face - (lowest - d->wall);
    p->thickness = fmax(back - (lowest - d->wall), d->palm->height + deeper) + out_back;
}

// At least how far two bodies are apart: balls round them.
static double balls_apart(const hw_body *a, const hw_body *b) // [m]
{
    const hw_body *both[2] = {a, b};
    double round = 0;
    for (int i = 0; i < 2; i++) {
        hw_vec3 h = both[i]->half;
        round += both[i]->kind == HW_BODY_CAPSULE ? h.x + h.z : hw_vec3_norm(h);
    }
    return hw_vec3_norm(hw_vec3_sub(a->frame.at, b->frame.at)) - round;
}

// Notes how far a part of a place is from a body where that is less than its room so far.
static void note_body(const hw_packer *k, hw_pack_place *p, const hw_body *own, int part,
                      const hw_body *b, hw_pack_meets meets, int which)
{
    const double gap = k->def->gap;
    if (balls_apart(own, b) - gap >= p->room) return;
    double enough = fmin(k->enough, fmax(p->room, 0)) + gap;
    note(p, hw_body_clear(own, b, enough) - gap, meets, which, part);
}

void hw_pack_by_obstacles(const hw_packer *k, const hw_pack_item *item, unsigned parts, double lost,
                          hw_pack_place *p)
{
    const hw_pack_def *d = k->def;
    for (size_t i = 0; i < d->obstacles && p->room >= lost; i++)
        for (int part = 0; part < HW_SERVO_BODIES; part++) {
            if (!(parts >> part & 1)) continue;
            if (part == HW_SERVO_ROD && d->obstacle[i].owner == item->lever.owner) continue;
            note_body(k, p, &p->body[part], part, &d->obstacle[i].body, HW_PACK_OBSTACLE, (int)i);
        }
}

// The first of its lug's bodies that a part keeps clear of.
static size_t first_of_lug(const hw_pack_place *p, int part)
{
    return part == HW_SERVO_ROD || part == HW_SERVO_HORN ? p->lug.hooked : 0;
}

void hw_pack_by_lug(const hw_packer *k, const hw_pack_item *item, hw_pack_place *p)
{
    const double enough = k->enough + k->def->gap, gap = k->def->gap;
    for (int part = 0; part < HW_SERVO_BODIES; part++)
        for (size_t i = first_of_lug(p, part); i < p->lug.n; i++)
            note(p, hw_body_clear(&p->body[part], &p->lug.body[i], enough) - gap, HW_PACK_LUG, -1,
                 part);
    if (p->lug.lack > 0) note(p, -p->lug.lack, HW_PACK_LUG, -1, HW_SERVO_LUG);
    if (p->lug.hooked == 0) return;
    // the horn goes where the lug goes: both in the middle
    hw_body arm = p->body[HW_SERVO_HORN];
    arm.half.y = item->shape.horn_width / 2;
    note(p, hw_body_clear(&arm, &p->lug.body[p->lug.hooked / 2], enough) - gap, HW_PACK_LUG, -1,
         HW_SERVO_HORN);
}

// What its rod hooks in beside what is not of the same owner.
static void lug_by_obstacles(const hw_packer *k, const hw_pack_item *item, hw_pack_place *p)
{
    const hw_pack_def *d = k->def;
    for (size_t i = 0; i < d->obstacles; i++)
        for (size_t c = 0; c < p->lug.hooked && d->obstacle[i].owner != item->lever.owner; c++)
            note_body(k, p, &p->lug.body[c], HW_SERVO_LUG, &d->obstacle[i].body, HW_PACK_OBSTACLE,
                      (int)i);
}

// A servo's bodies and those of its lug, one after the other.
static size_t bodies_of(const hw_pack_place *p)
{
    return HW_SERVO_BODIES + p->lug.n;
}

static const hw_body *body_of(const hw_pack_place *p, size_t i)
{
    return i < HW_SERVO_BODIES ? &p->body[i] : &p->lug.body[i - HW_SERVO_BODIES];
}

void hw_pack_by_servo(const hw_packer *k, const hw_pack_place *other, int which, hw_pack_place *p)
{
    for (size_t a = 0; a < bodies_of(p); a++)
        for (size_t b = 0; b < bodies_of(other); b++)
            note_body(k, p, body_of(p, a), a < HW_SERVO_BODIES ? (int)a : HW_SERVO_LUG,
                      body_of(other, b), HW_PACK_SERVO, which);
}

// Of the place's part, and its lug's bodies where that is the part, and others: the way in which
// the part nearest to any of them comes away.
static void away_from(hw_pack_place *p, const hw_body *from, double *least) // [m]
{
    hw_nearness n;
    const bool lug = p->part == HW_SERVO_LUG;
    for (size_t i = 0; i < (lug ? p->lug.hooked : 1); i++) {
        const hw_body *own = lug ? &p->lug.body[i] : &p->body[p->part];
        if (hw_body_near(from, own, &n) != HW_OK || !(n.distance < *least)) continue;
        *least = n.distance;
        p->away = n.direction;
    }
}

// The way out of what is nearest.
void hw_pack_way_out(const hw_packer *k, const hw_pack_place *all, hw_pack_place *p)
{
    const hw_pack_def *d = k->def;
    double least = INFINITY;
    if (p->meets == HW_PACK_SKIN) return; // told when it was met
    p->away = (hw_vec3){NAN, NAN, NAN};
    if (p->meets == HW_PACK_OBSTACLE) away_from(p, &d->obstacle[p->which].body, &least);
    for (size_t b = 0; p->meets == HW_PACK_SERVO && b < bodies_of(&all[p->which]); b++)
        away_from(p, body_of(&all[p->which], b), &least);
    if (p->meets != HW_PACK_LUG || p->part == HW_SERVO_LUG) return;
    if (p->part == HW_SERVO_HORN && p->lug.hooked)
        away_from(p, &p->lug.body[p->lug.hooked / 2], &least);
    for (size_t i = first_of_lug(p, p->part); i < p->lug.n; i++)
        away_from(p, &p->lug.body[i], &least);
}

static void askew(const hw_packer *k, hw_pack_place *p)
{
    // as a length: how far the rod's end is aside of where it may be
    double over = fmax(p->skew[0], p->skew[1]) - k->def->skew;
    if (over > 0) note(p, -p->rod * sin(fmin(over, HW_PI / 2)), HW_PACK_SLOT, -1, HW_SERVO_ROD);
}

void hw_pack_sum(hw_pack *out)
{
    out->room = INFINITY;
    out->thickness = 0;
    for (size_t i = 0; i < out->places; i++) {
        if (out->place[i].room < out->room) {
            out->room = out->place[i].room;
            out->tightest = i;
        }
        if (out->place[i].thickness > out->thickness) {
            out->thickness = out->place[i].thickness;
            out->thickest = i;
        }
    }
}

hw_code hw_pack_given(const hw_pack_def *def, hw_pack_place place[], hw_pack *out)
{
    *out = (hw_pack){.room = NAN, .thickness = NAN};
    if (!hw_pack_sound(def)) return HW_BAD_INPUT;
    out->place = place;
    hw_packer k = hw_packer_of(def);
    out->places = def->items;
    for (size_t i = 0; i < def->items; i++)
        if (hw_pack_reach(&def->item[i], def->item[i].slot, &out->place[i]))
            hw_pack_stand(&def->item[i], def->rod, &out->place[i]);
    for (size_t i = 0; i < def->items; i++) {
        hw_pack_place *p = &out->place[i];
        if (p->meets == HW_PACK_SLOT) continue;
        hw_pack_in_plan(&k, HW_PACK_ALL, p);
        hw_pack_in_depth(&k, HW_PACK_ALL, p);
        hw_pack_by_obstacles(&k, &def->item[i], HW_PACK_ALL, -INFINITY, p);
        hw_pack_by_lug(&k, &def->item[i], p);
        lug_by_obstacles(&k, &def->item[i], p);
        for (size_t j = 0; j < def->items; j++)
            if (j != i && out->place[j].meets != HW_PACK_SLOT)
                hw_pack_by_servo(&k, &out->place[j], (int)j, p);
        askew(&k, p);
        hw_pack_way_out(&k, out->place, p);
    }
    hw_pack_sum(out);
    return HW_OK;
}
