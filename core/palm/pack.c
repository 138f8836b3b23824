// Servos in their slots: rods, what is nearest, how thick the palm must be; and the search.
#include "palm/pack_internal.h"

// Distances are told apart up to this many gaps.
static const double enough_gaps = 20; // [1]

enum { HW_PACK_KEPT = 16, HW_PACK_HALVINGS = 4, HW_PACK_ROUNDS = 12 };

typedef struct packer {
    const hw_pack_def *def;
    hw_skin skin;
    double enough; // [m]
} packer;

hw_pack_def hw_pack_def_default(void)
{
    return (hw_pack_def){
        .wall = 2e-3, .gap = 0.3e-3, .rod = 2e-3, .skew = 35 * HW_PI / 180, .step = 3e-3};
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

static bool def_sound(const hw_pack_def *d)
{
    const double from_0[] = {d->wall, d->gap, d->rod, d->skew};
    bool ok = d->step > 0 && isfinite(d->step) && d->palm && isfinite(d->palm->length);
    for (size_t i = 0; i < sizeof from_0 / sizeof from_0[0]; i++)
        ok = ok && from_0[i] >= 0 && isfinite(from_0[i]);
    for (size_t i = 0; i < d->items && ok; i++)
        ok = shape_sound(&d->item[i].shape) && isfinite(d->item[i].slot.at.x) &&
             isfinite(d->item[i].slot.at.y) && isfinite(d->item[i].slot.at.z);
    return ok;
}

static packer packer_of(const hw_pack_def *def)
{
    packer p = {.def = def, .enough = enough_gaps * def->gap};
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
static bool reach(const hw_pack_item *item, hw_servo_slot slot, hw_pack_place *p)
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
static void stand(const hw_pack_item *item, double rod, hw_pack_place *p)
{
    hw_vec3 horn = hw_way_vector(p->slot.horn);
    hw_vec3 own = {hw_vec3_dot(horn, p->frame.x), hw_vec3_dot(horn, p->frame.y), 0};
    hw_servo_bodies(&item->shape, own, p->body);
    for (int k = 0; k < HW_SERVO_BODIES; k++)
        p->body[k].frame = hw_frame_in(&p->frame, &p->body[k].frame);
    p->body[HW_SERVO_ROD] =
        hw_body_capsule(p->body[HW_SERVO_ROD].frame.at, item->lever.end, rod / 2);
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

static void note_skin(const packer *k, hw_pack_place *p, double room, int part, hw_way inward)
{
    double was = p->room;
    note(p, room - k->def->wall, HW_PACK_SKIN, -1, part);
    if (p->room < was) p->away = hw_way_vector(inward);
}

// Corners of a servo's boxes against the outline in plan.
static void in_plan(const packer *k, hw_pack_place *p)
{
    for (int part = 0; part < HW_SERVO_ROD; part++)
        for (int c = 0; c < 8; c++) {
            hw_vec3 v = corner_of(&p->body[part], c);
            note_skin(k, p, v.x - k->skin.x[0][0], part, HW_WAY_FINGERS);
            note_skin(k, p, v.y - hw_skin_side(&k->skin, 0, v.x), part, HW_WAY_THUMB);
            note_skin(k, p, hw_skin_side(&k->skin, 1, v.x) - v.y, part, HW_WAY_LITTLE);
        }
}

// Out of the back they lack room; down to the palm they ask for thickness.
static void in_depth(const packer *k, hw_pack_place *p)
{
    const hw_pack_def *d = k->def;
    double out_back = 0, deepest = 0;
    for (int part = 0; part < HW_SERVO_ROD; part++)
        for (int c = 0; c < 8; c++) {
            hw_vec3 v = corner_of(&p->body[part], c);
            double low = hw_skin_side(&k->skin, 0, v.x), high = hw_skin_side(&k->skin, 1, v.x);
            double z[2];
            hw_palm_depth(d->palm, v.x, fmin(fmax(v.y, low), high), z);
            if (isnan(z[1])) continue;
            note_skin(k, p, z[1] - v.z, part, HW_WAY_PALM);
            out_back = fmax(out_back, v.z + d->wall - z[1]);
            deepest = fmax(deepest, z[1] - (v.z - d->wall));
        }
    p->thickness = deepest + out_back;
}

static void beside_obstacles(const packer *k, const hw_pack_item *item, hw_pack_place *p)
{
    const hw_pack_def *d = k->def;
    for (size_t i = 0; i < d->obstacles; i++)
        for (int part = 0; part < HW_SERVO_BODIES; part++) {
            if (part == HW_SERVO_ROD && d->obstacle[i].owner == item->lever.owner) continue;
            double far = hw_body_clear(&p->body[part], &d->obstacle[i].body, k->enough + d->gap);
            note(p, far - d->gap, HW_PACK_OBSTACLE, (int)i, part);
        }
}

static void beside_servo(const packer *k, const hw_pack_place *other, int which, hw_pack_place *p)
{
    for (int a = 0; a < HW_SERVO_BODIES; a++)
        for (int b = 0; b < HW_SERVO_BODIES; b++) {
            double far = hw_body_clear(&p->body[a], &other->body[b], k->enough + k->def->gap);
            note(p, far - k->def->gap, HW_PACK_SERVO, which, a);
        }
}

// The way out of what is nearest.
static void way_out(const packer *k, const hw_pack_place *all, hw_pack_place *p)
{
    const hw_pack_def *d = k->def;
    hw_nearness n;
    if (p->meets == HW_PACK_SKIN) return; // told when it was met
    p->away = (hw_vec3){NAN, NAN, NAN};
    if (p->meets == HW_PACK_OBSTACLE) {
        if (hw_body_near(&d->obstacle[p->which].body, &p->body[p->part], &n) == HW_OK)
            p->away = n.direction;
    } else if (p->meets == HW_PACK_SERVO) {
        double least = INFINITY;
        for (int b = 0; b < HW_SERVO_BODIES; b++)
            if (hw_body_near(&all[p->which].body[b], &p->body[p->part], &n) == HW_OK &&
                n.distance < least) {
                least = n.distance;
                p->away = n.direction;
            }
    }
}

static void askew(const packer *k, hw_pack_place *p)
{
    // as a length: how far the rod's end is aside of where it may be
    double over = fmax(p->skew[0], p->skew[1]) - k->def->skew;
    if (over > 0) note(p, -p->rod * sin(fmin(over, HW_PI / 2)), HW_PACK_SLOT, -1, HW_SERVO_ROD);
}

static void sum_up(hw_pack *out)
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

hw_code hw_pack_given(hw_arena *a, const hw_pack_def *def, hw_pack *out)
{
    *out = (hw_pack){.room = NAN, .thickness = NAN};
    if (!def_sound(def)) return HW_BAD_INPUT;
    out->place = HW_NEW(a, hw_pack_place, def->items);
    if (!out->place) return HW_NO_MEMORY;
    packer k = packer_of(def);
    out->places = def->items;
    for (size_t i = 0; i < def->items; i++)
        if (reach(&def->item[i], def->item[i].slot, &out->place[i]))
            stand(&def->item[i], def->rod, &out->place[i]);
    for (size_t i = 0; i < def->items; i++) {
        hw_pack_place *p = &out->place[i];
        if (p->meets == HW_PACK_SLOT) continue;
        in_plan(&k, p);
        in_depth(&k, p);
        beside_obstacles(&k, &def->item[i], p);
        for (size_t j = 0; j < def->items; j++)
            if (j != i && out->place[j].meets != HW_PACK_SLOT)
                beside_servo(&k, &out->place[j], (int)j, p);
        askew(&k, p);
        way_out(&k, out->place, p);
    }
    sum_up(out);
    return HW_OK;
}

// ---- search

static double lacking(const hw_pack_place *p) // [m]
{
    return fmax(-p->room, 0);
}

// What counts when two places are compared: room first while it lacks, then the palm's thickness
// beyond what it has anyway, then the rod.
static bool better(const packer *k, const hw_pack_place *a, const hw_pack_place *b)
{
    double lack_a = lacking(a), lack_b = lacking(b);
    if (lack_a != lack_b) return lack_a < lack_b;
    double has = k->def->palm->thickness;
    double thick_a = fmax(a->thickness, has), thick_b = fmax(b->thickness, has);
    if (thick_a != thick_b) return thick_a < thick_b;
    return a->rod < b->rod;
}

// The best so far, best first: those that a coarse grid nearly has room for are moved a little
// later.
typedef struct short_list {
    hw_pack_place at[HW_PACK_KEPT];
    size_t n;
} short_list;

static void keep(const packer *k, short_list *l, const hw_pack_place *p)
{
    size_t i = l->n < HW_PACK_KEPT ? l->n++ : HW_PACK_KEPT - 1;
    for (; i > 0 && better(k, p, &l->at[i - 1]); i--) l->at[i] = l->at[i - 1];
    l->at[i] = *p;
}

// One place, looked at as far as it may still be better than `worst`. False: it is not.
static bool look(const packer *k, const hw_pack_item *item, hw_servo_slot slot,
                 const hw_pack_place *placed, size_t n, const hw_pack_place *worst,
                 hw_pack_place *p)
{
    if (!reach(item, slot, p) || fmax(p->skew[0], p->skew[1]) > k->def->skew) return false;
    stand(item, k->def->rod, p);
    in_plan(k, p);
    if (lacking(p) > lacking(worst)) return false;
    in_depth(k, p);
    if (!better(k, p, worst)) return false;
    for (size_t j = 0; j < n; j++) beside_servo(k, &placed[j], (int)j, p);
    if (!better(k, p, worst)) return false;
    beside_obstacles(k, item, p);
    return better(k, p, worst);
}

static const hw_pack_place nowhere = {.room = -INFINITY, .thickness = INFINITY, .rod = INFINITY};

static void box_of(const hw_palm *palm, hw_vec3 *low, hw_vec3 *high)
{
    *low = *high = palm->outline[0][0];
    for (int s = 0; s < HW_PALM_SECTIONS; s++)
        for (int i = 0; i < HW_PALM_AROUND; i++) {
            hw_vec3 p = palm->outline[s][i];
            *low = (hw_vec3){fmin(low->x, p.x), fmin(low->y, p.y), fmin(low->z, p.z)};
            *high = (hw_vec3){fmax(high->x, p.x), fmax(high->y, p.y), fmax(high->z, p.z)};
        }
}

// All ways at one place of the shaft.
static void try_ways(const packer *k, const hw_pack_item *item, hw_vec3 at,
                     const hw_pack_place *placed, size_t n, short_list *list)
{
    for (int w = 0; w < HW_WAYS * HW_WAYS * HW_WAYS; w++) {
        hw_servo_slot s = {at, (hw_way)(w / HW_WAYS / HW_WAYS), (hw_way)(w / HW_WAYS % HW_WAYS),
                           (hw_way)(w % HW_WAYS)};
        if (s.body / 2 == s.shaft / 2 || s.horn / 2 == s.shaft / 2) continue;
        const hw_pack_place *worst = list->n < HW_PACK_KEPT ? &nowhere : &list->at[list->n - 1];
        hw_pack_place p;
        if (look(k, item, s, placed, n, worst, &p)) keep(k, list, &p);
    }
}

// Moves a place by halves of the step while that makes it better.
static void refine(const packer *k, const hw_pack_item *item, const hw_pack_place *placed, size_t n,
                   hw_pack_place *best)
{
    double step = k->def->step / 2;
    for (int halving = 0; halving < HW_PACK_HALVINGS; halving++, step /= 2)
        for (int round = 0; round < HW_PACK_ROUNDS; round++) {
            bool moved = false;
            for (int way = 0; way < HW_WAYS; way++) {
                hw_servo_slot s = best->slot;
                s.at = hw_vec3_along(s.at, step, hw_way_vector((hw_way)way));
                hw_pack_place p;
                if (!look(k, item, s, placed, n, best, &p)) continue;
                *best = p;
                moved = true;
            }
            if (!moved) break;
        }
}

static hw_code find_one(const packer *k, size_t i, const hw_job *job, hw_pack *out)
{
    const hw_pack_def *d = k->def;
    const hw_pack_item *item = &d->item[i];
    hw_vec3 low, high;
    box_of(d->palm, &low, &high);
    short_list list = {.n = 0};
    size_t nx = (size_t)((high.x - low.x) / d->step), ny = (size_t)((high.y - low.y) / d->step),
           nz = (size_t)((high.z - low.z) / d->step);
    for (size_t x = 0; x <= nx; x++) {
        double done = ((double)i + (double)x / (double)(nx + 1)) / (double)d->items;
        if (!hw_job_go_on(job, done, "servos")) return HW_CANCELLED;
        for (size_t y = 0; y <= ny; y++)
            for (size_t z = 0; z <= nz; z++)
                try_ways(k, item,
                         (hw_vec3){low.x + (double)x * d->step, low.y + (double)y * d->step,
                                   low.z + (double)z * d->step},
                         out->place, i, &list);
    }
    hw_pack_place best = nowhere;
    for (size_t c = 0; c < list.n; c++) {
        refine(k, item, out->place, i, &list.at[c]);
        if (better(k, &list.at[c], &best)) best = list.at[c];
    }
    if (list.n == 0) { // no rod reaches it from anywhere
        if (reach(item, item->slot, &best)) stand(item, d->rod, &best);
        best.meets = HW_PACK_SLOT;
        best.room = -INFINITY;
    }
    out->place[i] = best;
    way_out(k, out->place, &out->place[i]);
    return HW_OK;
}

hw_code hw_pack_find(hw_arena *a, const hw_pack_def *def, const hw_job *job, hw_pack *out)
{
    *out = (hw_pack){.room = NAN, .thickness = NAN};
    if (!def_sound(def)) return HW_BAD_INPUT;
    out->place = HW_NEW(a, hw_pack_place, def->items);
    if (!out->place) return HW_NO_MEMORY;
    packer k = packer_of(def);
    hw_code code = HW_OK;
    for (size_t i = 0; i < def->items && code == HW_OK; i++) {
        code = find_one(&k, i, job, out);
        if (code == HW_OK) out->places = i + 1;
    }
    sum_up(out);
    return code;
}
