// Edges and corners of the surface, which a lattice's tetrahedra bevel.
#include "solid/lattice_internal.h"

#include "base/par.h"
#include "solid/topology_internal.h"

#include <string.h>

enum { PIECES_A_CHUNK = 256, CORNERS = 4, STEPS = 40 };

#define ALIKE  0.96 // cosine of normals that are no edge: 16 degrees [1]
#define TRUE   0.9  // cosine between a triangle and the surface that it stands for [1]
#define ROUND  0.02 // of how far a corner juts: farther from the surface it is round there [1]
#define NEAR   1e-9 // of the same: near enough [1]
#define FAR    2.0  // cells that a peak may jut out of its piece [1]
#define ACROSS 0.2  // of an edge's way in its planes' normals: more is a corner's third plane [1]
#define WEAK   1e-6 // weight of the middle against planes, where those do not say [1]

typedef struct sharper {
    const hw_lattice *l;
    hw_march *m;
    const uint32_t *of; // pieces whose corners face apart
    hw_vec3 *peak;      // of each of those [m]
    uint8_t *kind;
} sharper;

typedef enum peak_kind { NO_PEAK, PEAK, NO_ROOM } peak_kind;

static hw_vec3 place_on(const hw_lattice *l, const hw_march *m, uint32_t edge)
{
    const hw_vec3 a = hw_spot_place(l, hw_spot_of(m->edge[edge][0]));
    const hw_vec3 b = hw_spot_place(l, hw_spot_of(m->edge[edge][1]));
    return hw_vec3_along(a, m->t[edge], hw_vec3_sub(b, a));
}

static size_t corners_of(const uint32_t piece[CORNERS])
{
    return piece[CORNERS - 1] == HW_NO_EDGE ? CORNERS - 1 : CORNERS;
}

hw_vec3 hw_lattice_facing(const hw_field *f, hw_vec3 at, double cell)
{
    const double h = 1e-4 * cell;
    const hw_vec3 x = {h, 0, 0}, y = {0, h, 0}, z = {0, 0, h};
    return hw_vec3_unit((hw_vec3){
        hw_field_at(f, hw_vec3_add(at, x)) - hw_field_at(f, hw_vec3_sub(at, x)),
        hw_field_at(f, hw_vec3_add(at, y)) - hw_field_at(f, hw_vec3_sub(at, y)),
        hw_field_at(f, hw_vec3_add(at, z)) - hw_field_at(f, hw_vec3_sub(at, z)),
    });
}

static bool apart(const hw_march *m, uint32_t a, uint32_t b)
{
    return hw_vec3_dot(m->out[a], m->out[b]) < ALIKE;
}

// ---- peaks ------------------------------------------------------------------------------------

// What is left of the field round a place, in the cube that holds it; NULL: no surface is there.
static const hw_field *field_round(const hw_lattice *l, hw_arena *a, hw_vec3 at,
                                   double reach) // [m]
{
    const hw_vec3 d = hw_vec3_times(hw_vec3_sub(at, l->corner), 2 / l->cell);
    const double all[3] = {d.x, d.y, d.z};
    int32_t twice[3];
    for (int i = 0; i < 3; i++) {
        if (!(all[i] >= 0 && all[i] < 2.0 * l->root * (double)l->count[i])) return NULL;
        twice[i] = (int32_t)all[i];
    }
    const hw_field *f = l->cube[hw_lattice_owner(l, twice)].f;
    if (!f) return NULL;
    const hw_field_near near = hw_field_prune(a, f, at, reach, 0);
    return near.side == HW_SIDE_CUT ? near.f : NULL;
}

// Solves a symmetric set of three equations; false where it is singular.
static bool solved(const double a[6], hw_vec3 b, hw_vec3 *x) // xx xy xz yy yz zz
{
    const hw_vec3 r[3] = {{a[0], a[1], a[2]}, {a[1], a[3], a[4]}, {a[2], a[4], a[5]}};
    const hw_vec3 c[3] = {hw_vec3_cross(r[1], r[2]), hw_vec3_cross(r[2], r[0]),
                          hw_vec3_cross(r[0], r[1])};
    const double det = hw_vec3_dot(r[0], c[0]);
    if (!(fabs(det) > 0)) return false;
    const hw_vec3 sum =
        hw_vec3_along(hw_vec3_along(hw_vec3_times(c[0], b.x), b.y, c[1]), b.z, c[2]);
    *x = hw_vec3_times(sum, 1 / det);
    return true;
}

// Normal of the triangle from a peak over the side between two corners.
static hw_vec3 flank(hw_vec3 peak, hw_vec3 a, hw_vec3 b)
{
    return hw_vec3_unit(hw_vec3_cross(hw_vec3_sub(a, peak), hw_vec3_sub(b, peak)));
}

// A piece's corners with the planes that touch the surface there.
typedef struct planes {
    hw_vec3 at[CORNERS], out[CORNERS], middle; // [m] [1] [m]
    size_t n;
} planes;

static planes planes_of(const sharper *s, const uint32_t piece[CORNERS])
{
    planes p = {.n = corners_of(piece)};
    for (size_t i = 0; i < p.n; i++) {
        p.at[i] = place_on(s->l, s->m, piece[i]);
        p.out[i] = s->m->out[piece[i]];
        p.middle = hw_vec3_along(p.middle, 1.0 / (double)p.n, p.at[i]);
    }
    return p;
}

// From the middle to the place nearest to all planes in the sense of least squares; where those
// leave it open, near the middle.
static bool nearest(const planes *p, hw_vec3 *off) // [m]
{
    double a[6] = {WEAK, 0, 0, WEAK, 0, WEAK};
    hw_vec3 right = {0, 0, 0};
    for (size_t i = 0; i < p->n; i++) {
        const hw_vec3 n = p->out[i];
        const double square[6] = {n.x * n.x, n.x * n.y, n.x * n.z, n.y * n.y, n.y * n.z, n.z * n.z};
        for (int k = 0; k < 6; k++) a[k] += square[k];
        right = hw_vec3_along(right, hw_vec3_dot(n, hw_vec3_sub(p->at[i], p->middle)), n);
    }
    return solved(a, right, off);
}

// The way that an edge runs; false: it is a corner of three.
static bool way_of(const planes *p, hw_vec3 *way) // [1]
{
    double least = INFINITY;
    for (size_t i = 0; i < p->n; i++)
        for (size_t k = i + 1; k < p->n; k++) {
            const double dot = hw_vec3_dot(p->out[i], p->out[k]);
            if (!(dot < least)) continue;
            least = dot;
            *way = hw_vec3_unit(hw_vec3_cross(p->out[i], p->out[k]));
        }
    for (size_t i = 0; i < p->n; i++)
        if (fabs(hw_vec3_dot(p->out[i], *way)) > ACROSS) return false;
    return true;
}

// How much the triangle from a peak over a piece's side faces as the surface does at its ends, in
// twice its area: linear in the peak.
static double faces(const planes *p, size_t i, hw_vec3 peak) // [m2]
{
    const size_t k = (i + 1) % p->n;
    const hw_vec3 n = hw_vec3_cross(hw_vec3_sub(p->at[i], peak), hw_vec3_sub(p->at[k], peak));
    return hw_vec3_dot(n, hw_vec3_add(p->out[i], p->out[k]));
}

// Along the edge to between the sides that it crosses: beyond them the piece would fold.
static void slide(const planes *p, hw_vec3 *at)
{
    hw_vec3 way = {0, 0, 0};
    double low = -INFINITY, high = INFINITY;
    if (!way_of(p, &way)) return;
    for (size_t i = 0; i < p->n; i++) {
        if (!(hw_vec3_dot(p->out[i], p->out[(i + 1) % p->n]) < ALIKE)) continue;
        const double here = faces(p, i, *at);
        const double more = faces(p, i, hw_vec3_add(*at, way)) - here;
        if (more > 0) low = fmax(low, -here / more);
        if (more < 0) high = fmin(high, -here / more);
    }
    if (isfinite(low) && isfinite(high)) *at = hw_vec3_along(*at, (low + high) / 2, way);
}

// A piece's peak, if it is on the surface, and so are the triangles over sides that are no edges.
static bool peak_of(const sharper *s, hw_arena *scratch, const uint32_t piece[CORNERS],
                    hw_vec3 *out) // [m]
{
    const planes p = planes_of(s, piece);
    hw_vec3 off;
    if (!nearest(&p, &off)) return false;
    *out = hw_vec3_add(p.middle, off);
    slide(&p, out);
    const double jut = hw_vec3_norm(hw_vec3_sub(*out, p.middle));
    if (!(jut < FAR * s->l->cell)) return false;
    for (size_t i = 0; i < p.n; i++) {
        const size_t k = (i + 1) % p.n;
        if (!(faces(&p, i, *out) > 0)) return false;
        if (hw_vec3_dot(p.out[i], p.out[k]) < ALIKE) continue;
        const hw_vec3 both = hw_vec3_unit(hw_vec3_add(p.out[i], p.out[k]));
        if (!(hw_vec3_dot(flank(*out, p.at[i], p.at[k]), both) > TRUE)) return false;
    }
    const hw_field *f = field_round(s->l, scratch, *out, s->l->cell);
    double v = f ? hw_field_at(f, *out) : (double)INFINITY;
    if (!(fabs(v) < ROUND * jut)) return false;
    // where a face is round, onto one after the other
    for (int k = 0; k < STEPS && fabs(v) > NEAR * jut; k++) {
        *out = hw_vec3_along(*out, -v, hw_lattice_facing(f, *out, s->l->cell));
        v = hw_field_at(f, *out);
    }
    return true;
}

static void find_some(void *self, size_t begin, size_t end)
{
    const sharper *s = self;
    hw_arena *scratch = hw_arena_new(0);
    for (size_t i = begin; i < end; i++) {
        const uint32_t *piece = s->m->piece[s->of[i]];
        s->kind[i] = NO_ROOM; // told below
        if (!scratch) continue;
        const bool found = peak_of(s, scratch, piece, &s->peak[i]);
        if (hw_arena_failed(scratch)) continue;
        s->kind[i] = found ? PEAK : NO_PEAK;
        hw_arena_rewind(scratch, 0);
    }
    hw_arena_free(scratch);
}

// ---- triangles --------------------------------------------------------------------------------

static void put_triangle(hw_march *m, uint32_t a, uint32_t b, uint32_t c)
{
    uint32_t *t = &m->tri[3 * m->tris++];
    t[0] = a;
    t[1] = b;
    t[2] = c;
}

hw_code hw_lattice_fill(hw_arena *work, const hw_lattice *l, hw_march *m)
{
    size_t all = 0;
    for (size_t i = 0; i < m->pieces; i++)
        all += corners_of(m->piece[i]) - (m->peak[i] == HW_NO_EDGE ? 2 : 0);
    if (all > l->def->tris_most) return HW_LIMIT;
    m->tri = HW_NEW(work, uint32_t, 3 * all);
    m->tris = 0;
    if (!m->tri) return HW_NO_MEMORY;
    for (size_t i = 0; i < m->pieces; i++) {
        const uint32_t *p = m->piece[i], peak = m->peak[i];
        const size_t n = corners_of(p);
        for (size_t k = 0; peak != HW_NO_EDGE && k < n; k++)
            put_triangle(m, peak, p[k], p[(k + 1) % n]);
        for (size_t k = 2; peak == HW_NO_EDGE && k < n; k++) put_triangle(m, p[0], p[k - 1], p[k]);
    }
    return HW_OK;
}

static bool turns(const hw_march *m, const uint32_t piece[CORNERS])
{
    const size_t n = corners_of(piece);
    bool any = apart(m, piece[0], piece[2]) || (n == CORNERS && apart(m, piece[1], piece[3]));
    for (size_t k = 0; k < n; k++) any = any || apart(m, piece[k], piece[(k + 1) % n]);
    return any;
}

hw_code hw_lattice_sharpen(hw_arena *work, const hw_lattice *l, const hw_job *job, hw_march *m)
{
    uint32_t *of = HW_NEW(work, uint32_t, m->pieces + 1);
    m->peak = HW_NEW(work, uint32_t, m->pieces + 1);
    size_t n = 0;
    if (!of || !m->peak) return HW_NO_MEMORY;
    for (size_t i = 0; i < m->pieces; i++) {
        m->peak[i] = HW_NO_EDGE;
        if (turns(m, m->piece[i])) of[n++] = (uint32_t)i;
    }
    m->more = HW_NEW(work, hw_vec3, n + 1);
    sharper s = {l, m, of, HW_NEW(work, hw_vec3, n + 1), HW_NEW(work, uint8_t, n + 1)};
    if (!s.peak || !s.kind || !m->more) return HW_NO_MEMORY;
    if (!hw_job_go_on(job, 0.9, "edges")) return HW_CANCELLED;
    hw_par_for(n, PIECES_A_CHUNK, find_some, &s);
    for (size_t i = 0; i < n; i++) {
        if (s.kind[i] == NO_ROOM) return HW_NO_MEMORY;
        if (s.kind[i] == NO_PEAK) continue;
        m->peak[of[i]] = (uint32_t)(m->edges + m->mores);
        m->more[m->mores++] = s.peak[i];
    }
    return HW_OK;
}

// ---- edges ------------------------------------------------------------------------------------

static hw_vec3 vertex(const hw_lattice *l, const hw_march *m, uint32_t v)
{
    return v < m->edges ? place_on(l, m, v) : m->more[v - m->edges];
}

// Whether a triangle from peak to peak over a corner lies in the surface.
static bool lies(const hw_lattice *l, const hw_march *m, uint32_t a, uint32_t b, uint32_t corner)
{
    const hw_vec3 face = flank(vertex(l, m, corner), vertex(l, m, a), vertex(l, m, b));
    return hw_vec3_dot(face, m->out[corner]) > TRUE;
}

static void join(uint32_t twin[], uint32_t a, uint32_t b)
{
    twin[a] = b;
    twin[b] = a;
}

hw_code hw_lattice_crease(hw_arena *work, const hw_lattice *l, hw_march *m, uint32_t twin[])
{
    const size_t mark = hw_arena_mark(work);
    uint32_t *round = HW_NEW(work, uint32_t, m->edges + m->mores); // edges at each corner
    if (!round) return HW_NO_MEMORY;
    for (size_t i = 0; i < 3 * m->tris; i++) round[m->tri[i]]++;
    for (uint32_t h = 0; h < 3 * m->tris; h++) {
        const uint32_t g = twin[h];
        if (g < h) continue;
        const uint32_t h1 = hw_half_next(h), h2 = hw_half_prev(h);
        const uint32_t g1 = hw_half_next(g), g2 = hw_half_prev(g);
        const uint32_t a = m->tri[h], b = m->tri[g], p = m->tri[h2], q = m->tri[g2];
        if (a >= m->edges || b >= m->edges || p < m->edges || q < m->edges || p == q) continue;
        if (!apart(m, a, b) || round[a] < 4 || round[b] < 4) continue;
        if (!lies(l, m, p, q, b) || !lies(l, m, q, p, a)) continue;
        // h: p to a to q; g: q to b to p
        const uint32_t outer[4] = {twin[h1], twin[h2], twin[g1], twin[g2]}; // b-p p-a a-q q-b
        m->tri[h] = p;
        m->tri[h1] = a;
        m->tri[h2] = q;
        m->tri[g] = q;
        m->tri[g1] = b;
        m->tri[g2] = p;
        join(twin, h, outer[1]);
        join(twin, h1, outer[2]);
        join(twin, g, outer[3]);
        join(twin, g1, outer[0]);
        join(twin, h2, g2);
        round[a]--;
        round[b]--;
        round[p]++;
        round[q]++;
    }
    hw_arena_rewind(work, mark);
    return HW_OK;
}
