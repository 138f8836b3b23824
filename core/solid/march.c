// The surface through a lattice of tetrahedra.
#include "solid/lattice_internal.h"

#include "base/par.h"

#include <string.h>

enum { ROOT_STEPS = 64, EDGES_A_CHUNK = 256, CHUNKS_A_BATCH = 64 };
#define ROOT_NEAR 1e-10 // of an edge: closer is found [1]
#define SURE      1e-6  // of a cell: a value that rounding does not reach [1]

// ---- pieces of the surface in one cube --------------------------------------------------------

typedef uint64_t edge_key[2];

// Four edges a piece, round it; the last one's ends are the same place where there are three.
typedef struct piece {
    hw_arena *arena;
    edge_key *at;
    size_t n, room, tets;
} piece;

typedef struct walker {
    const hw_lattice *l;
    hw_arena *work;
    piece *out;
} walker;

static void put_edge(piece *p, hw_spot a, hw_spot b)
{
    if (p->n == p->room) {
        size_t room = p->room ? 2 * p->room : 384;
        edge_key *more = hw_arena_alloc(p->arena, room, sizeof *more, _Alignof(edge_key));
        if (!more) return; // sticky
        if (p->n) memcpy(more, p->at, p->n * sizeof *more);
        p->at = more;
        p->room = room;
    }
    uint64_t i = hw_spot_key(a), j = hw_spot_key(b);
    p->at[p->n][0] = i < j ? i : j;
    p->at[p->n][1] = i < j ? j : i;
    p->n++;
}

// Six times the volume spanned from a corner.
static int64_t spanned(hw_spot o, hw_spot a, hw_spot b, hw_spot c)
{
    int64_t u[3], v[3], w[3];
    for (int i = 0; i < 3; i++) {
        u[i] = a.at[i] - o.at[i];
        v[i] = b.at[i] - o.at[i];
        w[i] = c.at[i] - o.at[i];
    }
    return u[0] * (v[1] * w[2] - v[2] * w[1]) + u[1] * (v[2] * w[0] - v[0] * w[2]) +
           u[2] * (v[0] * w[1] - v[1] * w[0]);
}

// One corner on one side, three on the other.
static void put_corner(piece *p, hw_spot o, hw_spot a, hw_spot b, hw_spot c, bool inside)
{
    bool keep = (spanned(o, a, b, c) > 0) == inside;
    put_edge(p, o, a);
    put_edge(p, o, keep ? b : c);
    put_edge(p, o, keep ? c : b);
    put_edge(p, o, o);
}

// p and q inside, r and s outside.
static void put_band(piece *out, hw_spot p, hw_spot q, hw_spot r, hw_spot s)
{
    if (spanned(p, q, r, s) < 0) {
        hw_spot other = r;
        r = s;
        s = other;
    }
    put_edge(out, p, r);
    put_edge(out, p, s);
    put_edge(out, q, s);
    put_edge(out, q, r);
}

// The field as everybody sees it at a place: that of the place's own cube.
static bool inside_at(const hw_lattice *l, hw_spot s)
{
    const int32_t twice[3] = {2 * s.at[0], 2 * s.at[1], 2 * s.at[2]};
    const hw_field_near *near = &l->cube[hw_lattice_owner(l, twice)];
    if (near->side != HW_SIDE_CUT) return near->side == HW_SIDE_IN;
    return hw_field_at(near->f, hw_spot_place(l, s)) < 0;
}

// The same from what is left in a tetrahedron: its sign is that of the whole wherever rounding
// cannot reach.
static bool inside_near(const hw_lattice *l, const hw_field *f, hw_spot s)
{
    double v = hw_field_at(f, hw_spot_place(l, s));
    return fabs(v) > SURE * l->cell ? v < 0 : inside_at(l, s);
}

// A tetrahedron and which of its corners are inside.
typedef struct sided {
    hw_tet t;
    bool in[4];
} sided;

static void put_tet(const walker *w, const sided *s)
{
    hw_spot side[2][4]; // outside, inside
    int n[2] = {0, 0};
    for (int i = 0; i < 4; i++) side[s->in[i]][n[s->in[i]]++] = s->t.v[i];
    if (n[0] == 0 || n[1] == 0) return;
    w->out->tets++;
    if (n[1] == 2)
        put_band(w->out, side[1][0], side[1][1], side[0][0], side[0][1]);
    else {
        int one = n[1] == 1;
        const hw_spot *o = side[one], *far = side[!one];
        put_corner(w->out, o[0], far[0], far[1], far[2], one);
    }
}

static bool same_spot(hw_spot a, hw_spot b)
{
    return a.at[0] == b.at[0] && a.at[1] == b.at[1] && a.at[2] == b.at[2];
}

// A half's corners are its whole's, but for the middle.
static sided half_of(const sided *s, const hw_tet *half, hw_spot m, bool middle)
{
    sided out = {.t = *half};
    for (int i = 0; i < 4; i++) {
        out.in[i] = middle;
        if (same_spot(half->v[i], m)) continue;
        for (int k = 0; k < 4; k++)
            if (same_spot(half->v[i], s->t.v[k])) out.in[i] = s->in[k];
    }
    return out;
}

// What is left of the field is asked for once a cube's size: between, signs alone are needed.
static void walk(const walker *w, const sided *s, const hw_field *f) // NOLINT(misc-no-recursion)
{
    const hw_tet *t = &s->t;
    const hw_spot m = hw_tet_middle(t);
    if (hw_tet_smallest(t) || !hw_spot_in(&w->l->split, m)) {
        put_tet(w, s);
        return;
    }
    size_t mark = hw_arena_mark(w->work);
    hw_field_near near = {HW_SIDE_CUT, f};
    if (t->kind == 0)
        near = hw_field_prune(w->work, f, hw_spot_place(w->l, m), hw_tet_radius(w->l, t), 0);
    if (near.side == HW_SIDE_CUT && near.f) {
        const bool middle = inside_near(w->l, near.f, m);
        hw_tet half[2];
        hw_tet_split(t, m, half);
        for (int i = 0; i < 2; i++) {
            const sided own = half_of(s, &half[i], m, middle);
            walk(w, &own, near.f);
        }
    }
    if (!hw_arena_failed(w->work)) hw_arena_rewind(w->work, mark);
}

// ---- all of them ------------------------------------------------------------------------------

typedef struct batch {
    const hw_lattice *l;
    const size_t *cube;
    piece *piece;
} batch;

static void walk_some(void *self, size_t begin, size_t end)
{
    const batch *b = self;
    for (size_t i = begin; i < end; i++) {
        hw_arena *scratch = hw_arena_new(0);
        piece *p = &b->piece[i];
        if (scratch && p->arena) {
            walker w = {b->l, scratch, p};
            hw_tet six[6];
            const hw_field *f = b->l->cube[b->cube[i]].f;
            hw_lattice_cube(b->l, b->cube[i], six);
            for (int k = 0; k < 6; k++) {
                sided s = {.t = six[k]};
                for (int c = 0; c < 4; c++) s.in[c] = inside_near(b->l, f, six[k].v[c]);
                walk(&w, &s, f);
            }
        }
        if (!scratch || !p->arena || hw_arena_failed(scratch) || hw_arena_failed(p->arena))
            p->room = SIZE_MAX; // told below
        hw_arena_free(scratch);
    }
}

typedef struct gatherer {
    hw_arena *work;
    hw_march *m;
    size_t most, edge_room, room, slots;
    uint32_t *slot; // edge + 1
} gatherer;

static void *larger(hw_arena *work, void *old, size_t n, size_t room, size_t size)
{
    void *more = hw_arena_alloc(work, room, size, 16);
    if (more && n) memcpy(more, old, n * size);
    return more;
}

static size_t slot_of(const gatherer *g, const uint64_t key[2])
{
    uint64_t h =
        key[0] * 0x9e3779b97f4a7c15u ^ (key[1] + 0x632be59bd9b4e019u) * 0xd6e8feb86659fd93u;
    h ^= h >> 31;
    size_t k = (size_t)h & (g->slots - 1);
    while (g->slot[k]) {
        const uint64_t *e = g->m->edge[g->slot[k] - 1];
        if (e[0] == key[0] && e[1] == key[1]) break;
        k = (k + 1) & (g->slots - 1);
    }
    return k;
}

static bool make_room(gatherer *g)
{
    hw_march *m = g->m;
    if (!g->slot || m->edges == g->edge_room) {
        g->edge_room = g->edge_room ? 2 * g->edge_room : 4096;
        m->edge = larger(g->work, m->edge, m->edges, g->edge_room, sizeof *m->edge);
        g->slots = 4 * g->edge_room;
        g->slot = HW_NEW(g->work, uint32_t, g->slots);
        if (!m->edge || !g->slot) return false;
        for (size_t i = 0; i < m->edges; i++) g->slot[slot_of(g, m->edge[i])] = (uint32_t)i + 1;
    }
    if (m->pieces == g->room) {
        g->room = g->room ? 2 * g->room : 4096;
        m->piece = larger(g->work, m->piece, m->pieces, g->room, sizeof *m->piece);
    }
    return m->piece != NULL;
}

static hw_code gather(gatherer *g, const piece *p)
{
    hw_march *m = g->m;
    m->tets += p->tets;
    for (size_t i = 0; i < p->n; i++) {
        if (m->pieces >= g->most) return HW_LIMIT;
        if (!make_room(g)) return HW_NO_MEMORY;
        uint32_t *to = &m->piece[m->pieces][i % 4];
        m->pieces += i % 4 == 3;
        if (p->at[i][0] == p->at[i][1]) {
            *to = HW_NO_EDGE;
            continue;
        }
        size_t k = slot_of(g, p->at[i]);
        if (!g->slot[k]) {
            memcpy(m->edge[m->edges], p->at[i], sizeof *m->edge);
            g->slot[k] = (uint32_t)++m->edges;
        }
        *to = g->slot[k] - 1;
    }
    return HW_OK;
}

static hw_code walk_batch(gatherer *g, const hw_lattice *l, const size_t *cube, size_t n)
{
    piece some[HW_LATTICE_BATCH] = {0};
    for (size_t i = 0; i < n; i++) some[i].arena = hw_arena_new(0);
    batch b = {l, cube, some};
    hw_par_for(n, 1, walk_some, &b);
    hw_code code = HW_OK;
    for (size_t i = 0; i < n; i++) {
        if (code == HW_OK) code = some[i].room == SIZE_MAX ? HW_NO_MEMORY : gather(g, &some[i]);
        hw_arena_free(some[i].arena);
    }
    return code;
}

// ---- where the surface is on an edge ----------------------------------------------------------

typedef struct rooter {
    const hw_lattice *l;
    hw_march *m;
    size_t from;
} rooter;

// False position with the stale end's weight halved (Illinois), bounded, then halving.
static double root_of(const hw_field *f, hw_vec3 a, hw_vec3 d, double fa, double fb)
{
    double low = 0, high = 1;
    for (int i = 0; i < ROOT_STEPS && high - low > ROOT_NEAR; i++) {
        double t = low + (high - low) * fa / (fa - fb);
        if (i > 16 || !(t > low && t < high)) t = (low + high) / 2;
        double v = hw_field_at(f, hw_vec3_along(a, t, d));
        if (v == 0) return t;
        if ((v < 0) == (fa < 0)) {
            low = t;
            fa = v;
            fb /= 2;
        } else {
            high = t;
            fb = v;
            fa /= 2;
        }
    }
    return (low + high) / 2;
}

static double root_on(hw_arena *scratch, const hw_lattice *l, const uint64_t key[2],
                      hw_vec3 *out) // [1]
{
    hw_spot a = hw_spot_of(key[0]), b = hw_spot_of(key[1]);
    int32_t twice[3];
    for (int k = 0; k < 3; k++) twice[k] = a.at[k] + b.at[k];
    hw_vec3 p = hw_spot_place(l, a), d = hw_vec3_sub(hw_spot_place(l, b), p);
    const hw_field *f = l->cube[hw_lattice_owner(l, twice)].f;
    hw_field_near near =
        hw_field_prune(scratch, f, hw_vec3_along(p, 0.5, d), 0.5 * hw_vec3_norm(d) * (1 + SURE), 0);
    if (near.side == HW_SIDE_CUT && near.f) f = near.f;
    double fa = hw_field_at(f, p), fb = hw_field_at(f, hw_vec3_add(p, d));
    double t = 0;
    if ((fa < 0) != (fb < 0))
        t = root_of(f, p, d, fa, fb);
    else if (fabs(fa) >= fabs(fb)) // another cube's field sees that end a rounding error off
        t = 1;
    *out = hw_lattice_facing(f, hw_vec3_along(p, t, d), l->cell);
    return t;
}

static void root_some(void *self, size_t begin, size_t end)
{
    const rooter *r = self;
    hw_arena *scratch = hw_arena_new(0);
    for (size_t i = begin + r->from; i < end + r->from; i++) {
        r->m->t[i] =
            scratch ? root_on(scratch, r->l, r->m->edge[i], &r->m->out[i]) : -1; // told below
        if (!scratch) continue;
        if (hw_arena_failed(scratch)) r->m->t[i] = -1;
        hw_arena_rewind(scratch, 0);
    }
    hw_arena_free(scratch);
}

static hw_code find_roots(const hw_lattice *l, const hw_job *job, hw_march *m)
{
    const size_t step = (size_t)EDGES_A_CHUNK * CHUNKS_A_BATCH;
    for (size_t i = 0; i < m->edges; i += step) {
        if (!hw_job_go_on(job, 0.8 + 0.1 * (double)i / (double)m->edges, "surface"))
            return HW_CANCELLED;
        rooter r = {l, m, i};
        hw_par_for(m->edges - i < step ? m->edges - i : step, EDGES_A_CHUNK, root_some, &r);
    }
    for (size_t i = 0; i < m->edges; i++)
        if (m->t[i] < 0) return HW_NO_MEMORY;
    return HW_OK;
}

hw_code hw_lattice_march(hw_arena *work, const hw_lattice *l, const hw_job *job, hw_march *out)
{
    *out = (hw_march){0};
    size_t cubes = l->count[0] * l->count[1] * l->count[2], n = 0;
    size_t *active = HW_NEW(work, size_t, cubes);
    if (!active) return HW_NO_MEMORY;
    for (size_t i = 0; i < cubes; i++)
        if (l->cube[i].side == HW_SIDE_CUT) active[n++] = i;
    out->cubes = n;
    gatherer g = {.work = work, .m = out, .most = l->def->tris_most};
    for (size_t i = 0; i < n; i += HW_LATTICE_BATCH) {
        if (!hw_job_go_on(job, 0.5 + 0.3 * (double)i / (double)n, "surface")) return HW_CANCELLED;
        size_t some = n - i < HW_LATTICE_BATCH ? n - i : HW_LATTICE_BATCH;
        hw_code code = walk_batch(&g, l, active + i, some);
        if (code != HW_OK) return code;
    }
    out->t = HW_NEW(work, double, out->edges);
    out->out = HW_NEW(work, hw_vec3, out->edges);
    return out->t && out->out ? find_roots(l, job, out) : HW_NO_MEMORY;
}
