// Which tetrahedra are split.
#include "solid/lattice_internal.h"

#include "base/par.h"

#include <stdlib.h>
#include <string.h>

enum { CUBES_AN_ARENA = 32, FIRST_SLOTS = 4096, HALVES = 2 };

// ---- sets of places ---------------------------------------------------------------------------

static size_t slot_of(const hw_spot_set *set, uint64_t key)
{
    uint64_t h = (key + 1) * 0x9e3779b97f4a7c15u;
    h ^= h >> 29;
    size_t k = (size_t)h & (set->slots - 1);
    while (set->slot[k] && set->slot[k] != key + 1) k = (k + 1) & (set->slots - 1);
    return k;
}

bool hw_spot_in(const hw_spot_set *set, hw_spot s)
{
    return set->slots && set->slot[slot_of(set, hw_spot_key(s))] != 0;
}

// True when it was not there; without memory the arena says so.
static bool put(hw_arena *work, hw_spot_set *set, uint64_t key)
{
    if (2 * set->n >= set->slots) {
        hw_spot_set more = {.slots = set->slots ? 4 * set->slots : FIRST_SLOTS, .n = set->n};
        more.slot = HW_NEW(work, uint64_t, more.slots);
        if (!more.slot) return false;
        for (size_t i = 0; i < set->slots; i++)
            if (set->slot[i]) more.slot[slot_of(&more, set->slot[i] - 1)] = set->slot[i];
        *set = more;
    }
    size_t k = slot_of(set, key);
    if (set->slot[k]) return false;
    set->slot[k] = key + 1;
    set->n++;
    return true;
}

// ---- tetrahedra -------------------------------------------------------------------------------

// Kind 0: a path of three cube edges, split first to last. Kind 1: a path of two and the cube's
// middle. Kind 2: an edge, the face's middle and the cube's.
void hw_tet_ends(const hw_tet *t, hw_spot *a, hw_spot *b)
{
    static const int last[3] = {3, 2, 1};
    *a = t->v[0];
    *b = t->v[last[t->kind]];
}

hw_spot hw_tet_middle(const hw_tet *t)
{
    hw_spot a, b, m;
    hw_tet_ends(t, &a, &b);
    for (int i = 0; i < 3; i++) m.at[i] = (a.at[i] + b.at[i]) / 2;
    return m;
}

void hw_tet_split(const hw_tet *t, hw_spot m, hw_tet half[2])
{
    const hw_spot *v = t->v;
    switch (t->kind) {
    case 0:
        half[0] = (hw_tet){{v[0], v[1], v[2], m}, 1};
        half[1] = (hw_tet){{v[1], v[2], v[3], m}, 1};
        return;
    case 1:
        half[0] = (hw_tet){{v[0], v[1], m, v[3]}, 2};
        half[1] = (hw_tet){{v[1], v[2], m, v[3]}, 2};
        return;
    default:
        half[0] = (hw_tet){{v[0], m, v[2], v[3]}, 0};
        half[1] = (hw_tet){{v[1], m, v[2], v[3]}, 0};
    }
}

double hw_tet_radius(const hw_lattice *l, const hw_tet *t)
{
    hw_spot m = hw_tet_middle(t);
    double most = 0;
    for (int i = 0; i < 4; i++) {
        double sum = 0;
        for (int k = 0; k < 3; k++) {
            double d = t->v[i].at[k] - m.at[k];
            sum += d * d;
        }
        most = fmax(most, sum);
    }
    return sqrt(most) * l->cell;
}

bool hw_tet_smallest(const hw_tet *t)
{
    return t->kind == 0 && abs(t->v[0].at[0] - t->v[3].at[0]) == 1;
}

void hw_lattice_cube(const hw_lattice *l, size_t cube, hw_tet six[6])
{
    static const int path[6][2] = {{0, 1}, {0, 2}, {1, 0}, {1, 2}, {2, 0}, {2, 1}};
    const size_t number[3] = {cube % l->count[0], cube / l->count[0] % l->count[1],
                              cube / l->count[0] / l->count[1]};
    hw_spot even, odd;
    for (int i = 0; i < 3; i++) {
        int32_t n = (int32_t)number[i];
        even.at[i] = (n + n % 2) * l->root;
        odd.at[i] = (n + 1 - n % 2) * l->root;
    }
    for (int p = 0; p < 6; p++) {
        hw_spot b = even;
        b.at[path[p][0]] = odd.at[path[p][0]];
        hw_spot c = b;
        c.at[path[p][1]] = odd.at[path[p][1]];
        six[p] = (hw_tet){{even, b, c, odd}, 0};
    }
}

size_t hw_lattice_owner(const hw_lattice *l, const int32_t twice[3])
{
    size_t n[3];
    for (int i = 0; i < 3; i++) {
        n[i] = (size_t)(twice[i] / (2 * l->root));
        if (n[i] >= l->count[i]) n[i] = l->count[i] - 1;
    }
    return (n[2] * l->count[1] + n[1]) * l->count[0] + n[0];
}

// ---- where the surface asks for it ------------------------------------------------------------

typedef struct spots {
    hw_arena *arena;
    hw_spot *at;
    size_t n, room;
} spots;

static void note(spots *s, hw_spot spot)
{
    if (s->n == s->room) {
        size_t room = s->room ? 2 * s->room : 256;
        hw_spot *more = HW_NEW(s->arena, hw_spot, room);
        if (!more) return; // sticky
        if (s->n) memcpy(more, s->at, s->n * sizeof *more);
        s->at = more;
        s->room = room;
    }
    s->at[s->n++] = spot;
}

// True when the field between the corners is as good as straight: at the middles of edges and in
// the middle.
static bool straight(const hw_lattice *l, const hw_field *f, const hw_tet *t)
{
    hw_vec3 p[4], middle = {0, 0, 0};
    double v[4], sum = 0;
    for (int i = 0; i < 4; i++) {
        p[i] = hw_spot_place(l, t->v[i]);
        v[i] = hw_field_at(f, p[i]);
        middle = hw_vec3_along(middle, 0.25, p[i]);
        sum += v[i] / 4;
    }
    double off = l->def->deviation;
    if (fabs(hw_field_at(f, middle) - sum) > off) return false;
    for (int i = 0; i < 4; i++)
        for (int j = i + 1; j < 4; j++) {
            hw_vec3 m = hw_vec3_times(hw_vec3_add(p[i], p[j]), 0.5);
            if (fabs(hw_field_at(f, m) - (v[i] + v[j]) / 2) > off) return false;
        }
    return true;
}

// Sharp edges are worth whole cells, bores of a cell's size half ones; an edge near by bends the
// field where the surface is still straight.
static bool asks(const hw_lattice *l, const hw_field *f, const hw_tet *t, hw_vec3 c, double radius)
{
    bool whole = t->kind == 0 && abs(t->v[0].at[0] - t->v[3].at[0]) <= HALVES;
    if (hw_field_creased(f, c, whole ? 2 * radius : radius, 0)) return !whole;
    return !straight(l, f, t);
}

typedef struct refiner {
    const hw_lattice *l;
    hw_arena *work;
    spots *out;
} refiner;

// Depth is at most three times the levels.
static void refine(const refiner *r, const hw_tet *t,
                   const hw_field *f) // NOLINT(misc-no-recursion)
{
    if (hw_tet_smallest(t)) return;
    size_t mark = hw_arena_mark(r->work);
    hw_spot m = hw_tet_middle(t);
    hw_vec3 c = hw_spot_place(r->l, m);
    double radius = hw_tet_radius(r->l, t);
    hw_field_near near = hw_field_prune(r->work, f, c, radius, 0);
    if (near.side == HW_SIDE_CUT && near.f && asks(r->l, near.f, t, c, radius)) {
        note(r->out, m);
        hw_tet half[2];
        hw_tet_split(t, m, half);
        refine(r, &half[0], near.f);
        refine(r, &half[1], near.f);
    }
    if (!hw_arena_failed(r->work)) hw_arena_rewind(r->work, mark);
}

// What must be split before a place can be: its middle of a cube, a face or an edge tells what.
static int before(const hw_lattice *l, hw_spot s, hw_spot out[4])
{
    int32_t any = s.at[0] | s.at[1] | s.at[2], bit = any & -any; // the lowest set one
    int odd = 0, n = 0;
    for (int i = 0; i < 3; i++) odd += (s.at[i] & bit) != 0;
    if (odd == 3 && 2 * bit == l->root) return 0; // the middle of a whole cube
    for (int i = 0; i < 3; i++) {
        if (odd == 3) { // corners of the cube with one odd number on the next scale
            out[n] = s;
            for (int k = 0; k < 3; k++) {
                bool low = ((s.at[k] - bit) & (2 * bit)) != 0;
                out[n].at[k] += (low == (k == i)) ? -bit : bit;
            }
            n++;
        } else if (!(s.at[i] & bit)) { // both sides along an even axis, inside the lattice
            for (int side = -1; side <= 1; side += 2) {
                out[n] = s;
                out[n].at[i] += side * bit;
                int32_t end = (int32_t)l->count[i] * l->root;
                n += out[n].at[i] >= 0 && out[n].at[i] <= end;
            }
        }
    }
    return n;
}

// Adds a place and all that it needs.
static void add_split(hw_arena *work, hw_lattice *l, spots *stack, hw_spot first)
{
    stack->n = 0;
    if (put(work, &l->split, hw_spot_key(first))) note(stack, first);
    while (stack->n && !hw_arena_failed(work)) {
        hw_spot need[4], s = stack->at[--stack->n];
        int n = before(l, s, need);
        for (int i = 0; i < n; i++)
            if (put(work, &l->split, hw_spot_key(need[i]))) note(stack, need[i]);
    }
}

// ---- cubes ------------------------------------------------------------------------------------

static void prune_some(void *self, size_t begin, size_t end)
{
    hw_lattice *l = self;
    hw_arena *a = l->arena[begin / CUBES_AN_ARENA];
    for (size_t i = begin; i < end; i++) {
        hw_tet six[6];
        hw_lattice_cube(l, i, six);
        l->cube[i] = hw_field_prune(a, l->f, hw_spot_place(l, hw_tet_middle(&six[0])),
                                    hw_tet_radius(l, &six[0]), 0);
    }
}

static hw_code prune_cubes(hw_arena *work, hw_lattice *l, size_t cubes)
{
    size_t arenas = (cubes + CUBES_AN_ARENA - 1) / CUBES_AN_ARENA;
    l->cube = HW_NEW(work, hw_field_near, cubes);
    l->arena = HW_NEW(work, hw_arena *, arenas);
    if (!l->cube || !l->arena) return HW_NO_MEMORY;
    for (l->arenas = 0; l->arenas < arenas; l->arenas++)
        if (!(l->arena[l->arenas] = hw_arena_new(0))) return HW_NO_MEMORY;
    hw_par_for(cubes, CUBES_AN_ARENA, prune_some, l);
    for (size_t i = 0; i < arenas; i++)
        if (hw_arena_failed(l->arena[i])) return HW_NO_MEMORY;
    return HW_OK;
}

typedef struct batch {
    const hw_lattice *l;
    const size_t *cube;
    hw_arena **arena;
    spots *found;
} batch;

static void refine_some(void *self, size_t begin, size_t end)
{
    const batch *b = self;
    for (size_t i = begin; i < end; i++) {
        hw_arena *scratch = hw_arena_new(0);
        b->found[i] = (spots){.arena = b->arena[i]};
        if (!scratch || !b->arena[i]) {
            hw_arena_free(scratch);
            b->found[i].room = SIZE_MAX; // told below
            continue;
        }
        refiner r = {b->l, scratch, &b->found[i]};
        hw_tet six[6];
        hw_lattice_cube(b->l, b->cube[i], six);
        for (int k = 0; k < 6; k++) refine(&r, &six[k], b->l->cube[b->cube[i]].f);
        if (hw_arena_failed(scratch) || hw_arena_failed(b->arena[i])) b->found[i].room = SIZE_MAX;
        hw_arena_free(scratch);
    }
}

static hw_code refine_batch(hw_arena *work, hw_lattice *l, const size_t *cube, size_t n)
{
    hw_arena *arena[HW_LATTICE_BATCH] = {0};
    spots found[HW_LATTICE_BATCH] = {0}, stack = {.arena = work};
    for (size_t i = 0; i < n; i++) arena[i] = hw_arena_new(0);
    batch b = {l, cube, arena, found};
    hw_par_for(n, 1, refine_some, &b);
    hw_code code = HW_OK;
    for (size_t i = 0; i < n; i++) {
        if (found[i].room == SIZE_MAX)
            code = HW_NO_MEMORY;
        else
            for (size_t k = 0; k < found[i].n; k++) add_split(work, l, &stack, found[i].at[k]);
        hw_arena_free(arena[i]);
    }
    return hw_arena_failed(work) ? HW_NO_MEMORY : code;
}

static hw_code refine_all(hw_arena *work, hw_lattice *l, size_t cubes, const hw_job *job)
{
    size_t *active = HW_NEW(work, size_t, cubes), n = 0;
    if (!active) return HW_NO_MEMORY;
    for (size_t i = 0; i < cubes; i++)
        if (l->cube[i].side == HW_SIDE_CUT) active[n++] = i;
    for (size_t i = 0; i < n; i += HW_LATTICE_BATCH) {
        if (!hw_job_go_on(job, 0.5 * (double)i / (double)n, "tetrahedra")) return HW_CANCELLED;
        size_t some = n - i < HW_LATTICE_BATCH ? n - i : HW_LATTICE_BATCH;
        hw_code code = refine_batch(work, l, active + i, some);
        if (code != HW_OK) return code;
    }
    return HW_OK;
}

hw_code hw_lattice_make(hw_arena *work, hw_lattice *l, const hw_job *job)
{
    // off the round numbers that planes are drawn at, so that corners seldom lie on the surface
    static const double lead[3] = {1.3717, 1.4142, 1.4321};
    const hw_vec3 low = l->f->low, high = l->f->high;
    const double reach[3][2] = {{low.x, high.x}, {low.y, high.y}, {low.z, high.z}};
    double *corner[3] = {&l->corner.x, &l->corner.y, &l->corner.z};
    l->cell = l->def->cell / HALVES;
    l->root = (int32_t)HALVES << l->def->levels;
    size_t cubes = 1;
    for (int i = 0; i < 3; i++) {
        double cells = (reach[i][1] - reach[i][0]) / l->cell + 2 * lead[i];
        if (!(cells < (1 << 20) - l->root)) return HW_LIMIT;
        *corner[i] = reach[i][0] - lead[i] * l->cell;
        l->count[i] = (size_t)(cells / l->root) + 1;
        if (cubes > SIZE_MAX / l->count[i] / 64) return HW_LIMIT;
        cubes *= l->count[i];
    }
    hw_code code = prune_cubes(work, l, cubes);
    return code == HW_OK ? refine_all(work, l, cubes, job) : code;
}

void hw_lattice_done(hw_lattice *l)
{
    for (size_t i = 0; i < l->arenas; i++) hw_arena_free(l->arena[i]);
    l->arenas = 0;
}
