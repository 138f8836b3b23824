// The search for slots: each servo's places alone on a grid, then a choice of one for each that go
// together.
#include "palm/pack_internal.h"

enum { POOL = 800, HALVINGS = 4, ROUNDS = 12, TRIES = 400000, CELL = 3 };

// Places that one servo may take, apart from the others; best first once sorted. One is kept for
// each way of standing in each block of CELL steps.
typedef struct pool {
    hw_pack_place *at;
    size_t n;
} pool;

// Room, or depth beyond what the palm has: a servo that stands out of it has found no place.
static double lacking(const hw_packer *k, const hw_pack_place *p) // [m]
{
    double out = p->thickness - k->def->palm->thickness;
    return fmax(fmax(-p->room, out), 0);
}

// What counts when two places are compared: what they lack, then the rod.
static bool better(const hw_packer *k, const hw_pack_place *a, const hw_pack_place *b)
{
    double lack_a = lacking(k, a), lack_b = lacking(k, b);
    if (lack_a != lack_b) return lack_a < lack_b;
    return a->rod < b->rod;
}

// One place by itself, looked at as far as it may still be better than `worst`. False: it is not.
static bool look(const hw_packer *k, const hw_pack_item *item, hw_servo_slot slot,
                 const hw_pack_place *worst, hw_pack_place *p)
{
    if (!hw_pack_reach(item, slot, p) || fmax(p->skew[0], p->skew[1]) > k->def->skew) return false;
    hw_pack_stand(item, k->def->rod, p);
    hw_pack_in_plan(k, p);
    if (lacking(k, p) > lacking(k, worst)) return false;
    hw_pack_in_depth(k, p);
    if (!better(k, p, worst)) return false;
    hw_pack_by_obstacles(k, item, p);
    return better(k, p, worst);
}

static bool same_block(const hw_packer *k, const hw_pack_place *a, const hw_pack_place *b)
{
    if (a->slot.shaft != b->slot.shaft || a->slot.body != b->slot.body ||
        a->slot.horn != b->slot.horn)
        return false;
    hw_vec3 d = hw_vec3_sub(a->slot.at, b->slot.at);
    double block = CELL * k->def->step;
    return fabs(d.x) < block && fabs(d.y) < block && fabs(d.z) < block;
}

// Into the place of a worse neighbour, into a free place, or into that of the worst of all.
static void put(const hw_packer *k, pool *l, const hw_pack_place *p)
{
    size_t worst = 0;
    for (size_t i = 0; i < l->n; i++) {
        if (same_block(k, p, &l->at[i])) {
            if (better(k, p, &l->at[i])) l->at[i] = *p;
            return;
        }
        if (better(k, &l->at[worst], &l->at[i])) worst = i;
    }
    if (l->n < POOL)
        l->at[l->n++] = *p;
    else if (better(k, p, &l->at[worst]))
        l->at[worst] = *p;
}

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

// Lacks by less than half a step: it may find room between the grid's places. [m]
static hw_pack_place limit_of(const hw_packer *k)
{
    return (hw_pack_place){.room = -k->def->step / 2, .rod = INFINITY};
}

// All ways at one place of the shaft.
static void try_ways(const hw_packer *k, const hw_pack_item *item, hw_vec3 at, pool *l)
{
    const hw_pack_place limit = limit_of(k);
    for (int w = 0; w < HW_WAYS * HW_WAYS * HW_WAYS; w++) {
        hw_servo_slot s = {at, (hw_way)(w / HW_WAYS / HW_WAYS), (hw_way)(w / HW_WAYS % HW_WAYS),
                           (hw_way)(w % HW_WAYS)};
        if (s.body / 2 == s.shaft / 2 || s.horn / 2 == s.shaft / 2) continue;
        hw_pack_place p;
        if (look(k, item, s, &limit, &p)) put(k, l, &p);
    }
}

// Moves a place by halves of the step while that makes it better.
static void refine(const hw_packer *k, const hw_pack_item *item, hw_pack_place *best)
{
    double step = k->def->step / 2;
    for (int halving = 0; halving < HALVINGS; halving++, step /= 2)
        for (int round = 0; round < ROUNDS; round++) {
            bool moved = false;
            for (int way = 0; way < HW_WAYS; way++) {
                hw_servo_slot s = best->slot;
                s.at = hw_vec3_along(s.at, step, hw_way_vector((hw_way)way));
                hw_pack_place p;
                if (!look(k, item, s, best, &p)) continue;
                *best = p;
                moved = true;
            }
            if (!moved) break;
        }
}

static void sort(const hw_packer *k, pool *l)
{
    for (size_t i = 1; i < l->n; i++) {
        hw_pack_place p = l->at[i];
        size_t j = i;
        for (; j > 0 && better(k, &p, &l->at[j - 1]); j--) l->at[j] = l->at[j - 1];
        l->at[j] = p;
    }
}

static hw_code fill(const hw_packer *k, size_t i, const hw_job *job, pool *l)
{
    const hw_pack_def *d = k->def;
    const hw_pack_item *item = &d->item[i];
    hw_vec3 low, high;
    box_of(d->palm, &low, &high);
    size_t n[3] = {(size_t)((high.x - low.x) / d->step), (size_t)((high.y - low.y) / d->step),
                   (size_t)((high.z - low.z) / d->step)};
    for (size_t x = 0; x <= n[0]; x++) {
        double done = ((double)i + (double)x / (double)(n[0] + 1)) / (double)d->items;
        if (!hw_job_go_on(job, done, "servos")) return HW_CANCELLED;
        for (size_t y = 0; y <= n[1]; y++)
            for (size_t z = 0; z <= n[2]; z++)
                try_ways(k, item,
                         (hw_vec3){low.x + (double)x * d->step, low.y + (double)y * d->step,
                                   low.z + (double)z * d->step},
                         l);
    }
    for (size_t c = 0; c < l->n; c++) refine(k, item, &l->at[c]);
    hw_pack_place own; // where the caller would put it, however little room there is
    if (hw_pack_reach(item, item->slot, &own)) {
        hw_pack_stand(item, d->rod, &own);
        hw_pack_in_plan(k, &own);
        hw_pack_in_depth(k, &own);
        hw_pack_by_obstacles(k, item, &own);
        if (l->n == 0) l->at[l->n++] = own;
    }
    sort(k, l);
    return HW_OK;
}

// Depth first through the pools, best places first, until one of each go together.
typedef struct choice {
    const hw_packer *k;
    const pool *from;
    hw_pack_place *at;
    size_t n, tries;
} choice;

static bool choose(choice *c, size_t i)
{
    if (i == c->n) return true;
    for (size_t p = 0; p < c->from[i].n && lacking(c->k, &c->from[i].at[p]) <= 0; p++) {
        if (c->tries >= TRIES) return false;
        c->at[i] = c->from[i].at[p];
        for (size_t j = 0; j < i && lacking(c->k, &c->at[i]) <= 0; j++, c->tries++)
            hw_pack_by_servo(c->k, &c->at[j], (int)j, &c->at[i]);
        if (lacking(c->k, &c->at[i]) <= 0 && choose(c, i + 1)) return true;
    }
    return false;
}

// Where no choice goes together: each in turn takes what lacks least beside those before it.
static void choose_least(const hw_packer *k, const pool *from, size_t i, hw_pack_place *at)
{
    for (size_t p = 0; p < from[i].n; p++) {
        hw_pack_place one = from[i].at[p];
        for (size_t j = 0; j < i; j++) hw_pack_by_servo(k, &at[j], (int)j, &one);
        if (p == 0 || better(k, &one, &at[i])) at[i] = one;
    }
}

static hw_code place_all(hw_arena *a, const hw_packer *k, const hw_job *job, hw_pack *out)
{
    size_t n = k->def->items;
    pool *from = HW_NEW(a, pool, n);
    if (!from) return HW_NO_MEMORY;
    for (size_t i = 0; i < n; i++) {
        from[i].at = HW_NEW(a, hw_pack_place, POOL);
        if (!from[i].at) return HW_NO_MEMORY;
        hw_code code = fill(k, i, job, &from[i]);
        if (code != HW_OK) return code;
    }
    choice c = {k, from, out->place, n, 0};
    if (!choose(&c, 0))
        for (size_t i = 0; i < n; i++) choose_least(k, from, i, out->place);
    out->places = n;
    return HW_OK;
}

hw_code hw_pack_find(hw_arena *a, const hw_pack_def *def, const hw_job *job, hw_pack_place place[],
                     hw_pack *out)
{
    *out = (hw_pack){.room = NAN, .thickness = NAN};
    if (!hw_pack_sound(def)) return HW_BAD_INPUT;
    hw_pack_item *item = HW_NEW(a, hw_pack_item, def->items);
    if (!item) return HW_NO_MEMORY;
    out->place = place;
    hw_packer k = hw_packer_of(def);
    hw_code code = place_all(a, &k, job, out);
    if (code == HW_OK) {
        for (size_t i = 0; i < def->items; i++) {
            item[i] = def->item[i];
            item[i].slot = out->place[i].slot;
        }
        hw_pack_def found = *def;
        found.item = item;
        code = hw_pack_given(&found, place, out);
    }
    return code;
}
