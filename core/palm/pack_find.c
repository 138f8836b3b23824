// The search for slots: each servo's places alone on a grid, then a choice of one for each that go
// together.
#include "palm/pack_internal.h"

enum { POOL = 800, HALVINGS = 4, ROUNDS = 12, TRIES = 400000, CELL = 3, STARTS = 24, PACKED = 16 };

// Places that one servo may take, apart from the others; best first once sorted. One is kept for
// each way of standing in each block of CELL steps.
typedef struct pool {
    hw_pack_place *at;
    size_t n, most;
    double block; // [m]
    bool rods;    // rods that end elsewhere are others
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

// What must be true of a rod before anything else is looked at.
static bool is_rod(const hw_packer *k, const hw_pack_place *p)
{
    return fmax(p->skew[0], p->skew[1]) <= k->def->skew && p->rod >= 4 * k->def->rod;
}

// One place by itself, looked at as far as it may still be better than `worst`; `parts` of its
// bodies, the rest having `room`. False: it is not.
static bool look(const hw_packer *k, const hw_pack_item *item, hw_servo_slot slot, int option,
                 unsigned parts, double room, const hw_pack_place *worst,
                 hw_pack_place *p) // [m]
{
    const hw_pack_item with = hw_pack_with(item, option);
    if (!hw_pack_reach(&with, slot, p) || !is_rod(k, p)) return false;
    p->option = option;
    p->room = room;
    hw_pack_stand(&with, k->def->rod, p);
    hw_pack_in_plan(k, parts, p);
    if (lacking(k, p) > lacking(k, worst)) return false;
    hw_pack_in_depth(k, HW_PACK_ALL, p);
    if (!better(k, p, worst)) return false;
    hw_pack_by_lug(k, &with, p);
    if (!better(k, p, worst)) return false;
    hw_pack_by_obstacles(k, &with, parts, -lacking(k, worst), p);
    return better(k, p, worst);
}

// The case alone, whatever its horn does. False: it lacks more than the limit.
static bool stands(const hw_packer *k, const hw_pack_item *item, hw_servo_slot slot,
                   const hw_pack_place *limit, double *room) // [m]
{
    hw_pack_place p;
    if (!hw_pack_reach(item, slot, &p)) return false;
    hw_pack_stand(item, k->def->rod, &p);
    hw_pack_in_plan(k, HW_PACK_STILL, &p);
    if (lacking(k, &p) > lacking(k, limit)) return false;
    hw_pack_in_depth(k, HW_PACK_STILL, &p);
    if (lacking(k, &p) > lacking(k, limit)) return false;
    hw_pack_by_obstacles(k, item, HW_PACK_STILL, -lacking(k, limit), &p);
    *room = p.room;
    return lacking(k, &p) <= lacking(k, limit);
}

static bool same_block(const pool *l, const hw_pack_place *a, const hw_pack_place *b)
{
    const double block = l->block;
    if (a->slot.shaft != b->slot.shaft || a->slot.body != b->slot.body ||
        a->slot.horn != b->slot.horn)
        return false;
    hw_vec3 d = hw_vec3_sub(a->slot.at, b->slot.at);
    if (!(fabs(d.x) < block && fabs(d.y) < block && fabs(d.z) < block)) return false;
    d = hw_vec3_sub(a->body[HW_SERVO_ROD].frame.at, b->body[HW_SERVO_ROD].frame.at);
    return !l->rods || (fabs(d.x) < block && fabs(d.y) < block && fabs(d.z) < block);
}

// Into the place of a worse neighbour, into a free place, or into that of the worst of all.
static void put(const hw_packer *k, pool *l, const hw_pack_place *p)
{
    size_t worst = 0;
    for (size_t i = 0; i < l->n; i++) {
        if (same_block(l, p, &l->at[i])) {
            if (better(k, p, &l->at[i])) l->at[i] = *p;
            return;
        }
        if (better(k, &l->at[worst], &l->at[i])) worst = i;
    }
    if (l->n < l->most)
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

// All ways and options at one place of the shaft.
static void try_ways(const hw_packer *k, const hw_pack_item *item, hw_vec3 at, pool *l)
{
    const hw_pack_place limit = limit_of(k);
    for (int w = 0; w < HW_WAYS * HW_WAYS; w++) {
        hw_servo_slot s = {at, (hw_way)(w / HW_WAYS), (hw_way)(w % HW_WAYS), (hw_way)(w % HW_WAYS)};
        if (s.body / 2 == s.shaft / 2) continue;
        double room;
        if (!stands(k, item, s, &limit, &room)) continue;
        for (int horn = 0; horn < HW_WAYS; horn++) {
            s.horn = (hw_way)horn;
            if (s.horn / 2 == s.shaft / 2) continue;
            for (int o = -1; o < (int)item->options; o++) {
                hw_pack_place p;
                if (look(k, item, s, o, HW_PACK_ALL & ~HW_PACK_STILL, room, &limit, &p))
                    put(k, l, &p);
            }
        }
    }
}

// What a place is moved on beside: those of `at` but its own; none where n is 0.
typedef struct company {
    const hw_pack_place *at;
    size_t n, own;
} company;

// Takes a slot and an option for it where they are better.
static bool moved_to(const hw_packer *k, const hw_pack_item *item, const company *c,
                     hw_servo_slot slot, int option, hw_pack_place *best)
{
    hw_pack_place p;
    if (!look(k, item, slot, option, HW_PACK_ALL, INFINITY, best, &p)) return false;
    for (size_t j = 0; j < c->n; j++)
        if (j != c->own) hw_pack_by_servo(k, &c->at[j], (int)j, &p);
    if (!better(k, &p, best)) return false;
    *best = p;
    return true;
}

// Moves a place by `step` while that makes it better.
static void move_on(const hw_packer *k, const hw_pack_item *item, const company *c, double step,
                    hw_pack_place *best) // [m]
{
    bool moved = true;
    for (int round = 0; round < ROUNDS && moved; round++) {
        moved = false;
        for (int way = 0; way < HW_WAYS; way++) {
            hw_servo_slot s = best->slot;
            s.at = hw_vec3_along(s.at, step, hw_way_vector((hw_way)way));
            moved = moved_to(k, item, c, s, best->option, best) || moved;
        }
    }
}

// Moves a place by halves of the step while that makes it better, with each other option too.
static void refine(const hw_packer *k, const hw_pack_item *item, const company *c,
                   hw_pack_place *best)
{
    double step = k->def->step / 2;
    for (int halving = 0; halving < HALVINGS; halving++, step /= 2) {
        for (int o = -1; o < (int)item->options; o++)
            (void)moved_to(k, item, c, best->slot, o, best);
        move_on(k, item, c, step, best);
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
    const company alone = {0};
    for (size_t c = 0; c < l->n; c++)
        if (!l->rods)
            refine(k, item, &alone, &l->at[c]);
        else if (lacking(k, &l->at[c]) > 0)
            move_on(k, item, &alone, d->step / 2, &l->at[c]);
    hw_pack_place own; // where the caller would put it, however little room there is
    if (hw_pack_reach(item, item->slot, &own)) {
        hw_pack_stand(item, d->rod, &own);
        hw_pack_in_plan(k, HW_PACK_ALL, &own);
        hw_pack_in_depth(k, HW_PACK_ALL, &own);
        hw_pack_by_lug(k, item, &own);
        hw_pack_by_obstacles(k, item, HW_PACK_ALL, -INFINITY, &own);
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

// A place's room beside the others that are placed, itself left out.
static hw_pack_place beside(const hw_packer *k, const hw_pack_place *p, const hw_pack_place all[],
                            size_t n, size_t own)
{
    hw_pack_place out = *p;
    for (size_t j = 0; j < n; j++)
        if (j != own) hw_pack_by_servo(k, &all[j], (int)j, &out);
    return out;
}

// Where no choice goes together: from a start each in turn takes what lacks least beside the
// others, and again until none moves.
static double choose_from(const hw_packer *k, const pool *from, size_t n, size_t start,
                          hw_pack_place at[]) // [m]
{
    for (size_t i = 0; i < n; i++) at[i] = from[i].at[(start * (i + 1)) % from[i].n];
    double lacks = INFINITY;
    for (int round = 0; round < ROUNDS; round++) {
        for (size_t i = 0; i < n; i++) {
            hw_pack_place best = beside(k, &at[i], at, n, i);
            for (size_t p = 0; p < from[i].n; p++) {
                if (lacking(k, &from[i].at[p]) > lacking(k, &best)) break; // they are sorted
                hw_pack_place one = beside(k, &from[i].at[p], at, n, i);
                if (better(k, &one, &best)) best = one;
            }
            at[i] = best;
        }
        double sum = 0;
        for (size_t i = 0; i < n; i++) {
            hw_pack_place one = beside(k, &at[i], at, n, i);
            sum += lacking(k, &one);
        }
        if (!(sum < lacks)) break;
        lacks = sum;
    }
    return lacks;
}

static void choose_least(const hw_packer *k, const pool *from, size_t n, hw_pack_place best[])
{
    hw_pack_place at[PACKED];
    double least = INFINITY;
    for (size_t start = 0; start < STARTS; start++) {
        double lacks = choose_from(k, from, n, start, at);
        if (!(lacks < least)) continue;
        least = lacks;
        for (size_t i = 0; i < n; i++) best[i] = at[i];
    }
    for (int round = 0; round < ROUNDS; round++)
        for (size_t i = 0; i < n; i++) {
            best[i] = beside(k, &best[i], best, n, i);
            refine(k, &k->def->item[i], &(company){best, n, i}, &best[i]);
        }
}

hw_code hw_pack_alone(const hw_pack_def *def, size_t item, double block, const hw_job *job,
                      hw_pack_place place[], size_t most, size_t *n)
{
    *n = 0;
    if (!hw_pack_sound(def) || item >= def->items || most == 0 || !(block > 0)) return HW_BAD_INPUT;
    hw_packer k = hw_packer_of(def);
    pool l = {place, 0, most, block, true};
    hw_code code = fill(&k, item, job, &l);
    while (*n < l.n && lacking(&k, &place[*n]) <= def->step / 4) ++*n;
    return code;
}

static hw_code place_all(hw_arena *a, const hw_packer *k, const hw_job *job, hw_pack *out)
{
    size_t n = k->def->items;
    pool *from = HW_NEW(a, pool, n);
    if (!from) return HW_NO_MEMORY;
    for (size_t i = 0; i < n; i++) {
        from[i] = (pool){HW_NEW(a, hw_pack_place, POOL), 0, POOL, CELL * k->def->step, false};
        if (!from[i].at) return HW_NO_MEMORY;
        hw_code code = fill(k, i, job, &from[i]);
        if (code != HW_OK) return code;
        if (from[i].n == 0) return HW_CANCELLED; // not even its own slot is one
    }
    choice c = {k, from, out->place, n, 0};
    if (!choose(&c, 0)) choose_least(k, from, n, out->place);
    out->places = n;
    return HW_OK;
}

hw_code hw_pack_find(hw_arena *a, const hw_pack_def *def, const hw_job *job, hw_pack_place place[],
                     hw_pack *out)
{
    *out = (hw_pack){.room = NAN, .thickness = NAN};
    if (!hw_pack_sound(def) || def->items > PACKED) return HW_BAD_INPUT;
    int option[PACKED];
    hw_pack_item *item = HW_NEW(a, hw_pack_item, def->items);
    if (!item) return HW_NO_MEMORY;
    out->place = place;
    hw_packer k = hw_packer_of(def);
    hw_code code = place_all(a, &k, job, out);
    if (code == HW_OK) {
        for (size_t i = 0; i < def->items; i++) {
            option[i] = out->place[i].option;
            item[i] = hw_pack_with(&def->item[i], option[i]);
            item[i].slot = out->place[i].slot;
        }
        hw_pack_def found = *def;
        found.item = item;
        code = hw_pack_given(&found, place, out);
        for (size_t i = 0; i < def->items && code == HW_OK; i++) place[i].option = option[i];
    }
    return code;
}
