// Union of rounded hulls: boundaries are cut where they meet, pieces between an inside and an
// outside are kept and put together to rings.
#include "solid/region.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

// A side of a hull, run counter-clockwise round it: straight from a to b, or an arc.
typedef struct curve {
    size_t hull;
    bool arc;
    hw_vec2 a, b;       // [m]
    hw_vec2 centre;     // of an arc [m]
    double radius;      // [m]
    double from, sweep; // > 0 [rad]
    double length;      // [m]
} curve;

typedef struct cut {
    size_t curve;
    double at; // along the curve [m]
} cut;

// Part of a curve between two nodes.
typedef struct piece {
    size_t curve, node[2];
    double at[2]; // along the curve [m]
    hw_vec2 middle;
    bool done; // judged with another one that lies on it
    bool keep; // of the union's boundary: nothing is inside on its right
    bool used;
} piece;

typedef struct joiner {
    hw_arena *work;
    const hw_rounded *hull;
    size_t hulls;
    const hw_profile *outline; // of each hull
    double tolerance;          // [m]
    curve *curve;
    size_t curves;
    cut *cut;
    size_t cuts, cut_room;
    hw_vec2 *node;
    size_t nodes;
    piece *piece;
    size_t pieces;
    bool no_memory;
} joiner;

static double cross2(hw_vec2 a, hw_vec2 b)
{
    return a.x * b.z - a.z * b.x;
}

static double dist(hw_vec2 a, hw_vec2 b)
{
    return hw_norm(hw_sub(a, b));
}

// ---- curves -----------------------------------------------------------------------------------

// How far along an arc a direction from its centre lies; a little before the start gives a little
// less than 0. [m]
static double along_arc(const curve *c, double angle) // [rad]
{
    double turn = fmod(angle - c->from, 2 * HW_PI);
    if (turn < 0) turn += 2 * HW_PI;
    double beyond = (2 * HW_PI - c->sweep) / 2;
    if (turn > c->sweep + beyond) turn -= 2 * HW_PI;
    return turn * c->radius;
}

static hw_vec2 point_at(const curve *c, double at) // [m]
{
    if (!c->arc) return hw_add(c->a, hw_scale(hw_sub(c->b, c->a), at / c->length));
    double t = c->from + at / c->radius;
    return (hw_vec2){c->centre.x + c->radius * cos(t), c->centre.z + c->radius * sin(t)};
}

static hw_vec2 tangent_at(const curve *c, double at) // [m]
{
    if (!c->arc) return hw_scale(hw_sub(c->b, c->a), 1 / c->length);
    double t = c->from + at / c->radius;
    return (hw_vec2){-sin(t), cos(t)};
}

// The disc of a hull that an arc from a to b with this bulge belongs to.
static hw_circle disc_of(const hw_rounded *hull, hw_vec2 a, hw_vec2 b, double bulge) // [1]
{
    hw_vec2 half = hw_scale(hw_sub(b, a), 0.5), mid = hw_add(a, half);
    double up = (1 - bulge * bulge) / (2 * bulge);
    hw_vec2 centre = {mid.x - half.z * up, mid.z + half.x * up};
    double radius = hw_norm(half) * (1 + bulge * bulge) / (2 * bulge);
    size_t best = 0;
    double least = INFINITY;
    for (size_t i = 0; i < hull->n; i++) {
        double off = dist(hull->disc[i].at, centre) + fabs(hull->disc[i].radius - radius);
        if (off >= least) continue;
        least = off;
        best = i;
    }
    return hull->disc[best];
}

static void put_curves(joiner *j, size_t hull, double extent) // [m]
{
    const hw_profile *p = &j->outline[hull];
    if (hw_profile_area(p) <= 8 * j->tolerance * extent) return; // a line: it adds nothing
    for (size_t i = 0; i < p->n; i++) {
        const hw_corner *from = &p->corner[i], *to = &p->corner[i + 1 < p->n ? i + 1 : 0];
        curve c = {.hull = hull, .a = from->at, .b = to->at};
        if (from->bulge > 0) {
            hw_circle d = disc_of(&j->hull[hull], c.a, c.b, from->bulge);
            c.arc = true;
            c.centre = d.at;
            c.radius = d.radius;
            c.from = atan2(c.a.z - d.at.z, c.a.x - d.at.x);
            c.sweep = 4 * atan(from->bulge);
            c.length = c.radius * c.sweep;
        } else {
            c.length = dist(c.a, c.b);
        }
        if (c.length > 0) j->curve[j->curves++] = c;
    }
}

// ---- cutting ----------------------------------------------------------------------------------

static void add_cut(joiner *j, size_t number, double at) // [m]
{
    if (j->cuts == j->cut_room) {
        size_t room = j->cut_room ? 2 * j->cut_room : 256;
        cut *grown = HW_NEW(j->work, cut, room);
        if (!grown) {
            j->no_memory = true;
            return;
        }
        if (j->cuts) memcpy(grown, j->cut, j->cuts * sizeof *grown);
        j->cut = grown;
        j->cut_room = room;
    }
    j->cut[j->cuts++] = (cut){number, at};
}

// How far along a curve the point nearest to p lies, without regard to its ends. [m]
static double foot_on(const curve *c, hw_vec2 p)
{
    if (!c->arc) return hw_dot(hw_sub(p, c->a), hw_sub(c->b, c->a)) / c->length;
    return along_arc(c, atan2(p.z - c->centre.z, p.x - c->centre.x));
}

static bool reaches(const joiner *j, const curve *c, double at) // [m]
{
    return at >= -j->tolerance && at <= c->length + j->tolerance;
}

// Cuts both curves where a common point of their lines or circles lies on both.
static void cut_both(joiner *j, size_t a, size_t b, hw_vec2 p)
{
    double at = foot_on(&j->curve[a], p), bt = foot_on(&j->curve[b], p);
    if (!reaches(j, &j->curve[a], at) || !reaches(j, &j->curve[b], bt)) return;
    add_cut(j, a, at);
    add_cut(j, b, bt);
}

static void cross_lines(joiner *j, size_t a, size_t b)
{
    const double parallel = 1e-9; // sine between lines that part by less than the tolerance [1]
    const curve *p = &j->curve[a], *q = &j->curve[b];
    hw_vec2 u = tangent_at(p, 0), v = tangent_at(q, 0);
    double sine = cross2(u, v);
    if (fabs(sine) < parallel) return;
    double at = cross2(hw_sub(q->a, p->a), v) / sine;
    cut_both(j, a, b, hw_add(p->a, hw_scale(u, at)));
}

static void cross_line_arc(joiner *j, size_t line, size_t arc)
{
    const curve *p = &j->curve[line], *q = &j->curve[arc];
    hw_vec2 u = tangent_at(p, 0), off = hw_sub(q->centre, p->a);
    double away = fabs(cross2(u, off)), foot = hw_dot(off, u);
    if (away > q->radius + j->tolerance) return;
    if (away >= q->radius - j->tolerance) { // touches
        cut_both(j, line, arc, hw_add(p->a, hw_scale(u, foot)));
        return;
    }
    double half = sqrt((q->radius - away) * (q->radius + away));
    cut_both(j, line, arc, hw_add(p->a, hw_scale(u, foot - half)));
    cut_both(j, line, arc, hw_add(p->a, hw_scale(u, foot + half)));
}

static void cross_arcs(joiner *j, size_t a, size_t b)
{
    const curve *p = &j->curve[a], *q = &j->curve[b];
    if (p->radius < q->radius) {
        const curve *larger = q;
        q = p;
        p = larger;
    }
    hw_vec2 d = hw_sub(q->centre, p->centre);
    double far = hw_norm(d), sum = p->radius + q->radius, less = p->radius - q->radius;
    if (far > sum + j->tolerance || far < less - j->tolerance || far <= j->tolerance) return;
    hw_vec2 u = hw_scale(d, 1 / far);
    if (far >= sum - j->tolerance || far <= less + j->tolerance) { // touches
        cut_both(j, a, b, hw_add(p->centre, hw_scale(u, p->radius)));
        return;
    }
    double along = (less * sum + far * far) / (2 * far);
    double half = sqrt(fmax(0, (p->radius - along) * (p->radius + along)));
    hw_vec2 mid = hw_add(p->centre, hw_scale(u, along)), side = {-u.z * half, u.x * half};
    cut_both(j, a, b, hw_add(mid, side));
    cut_both(j, a, b, hw_sub(mid, side));
}

// Ends of one curve that lie on the other cut it: how curves on each other are told.
static void cut_at_ends(joiner *j, size_t a, size_t b)
{
    const curve *c = &j->curve[b];
    for (int e = 0; e < 2; e++) {
        hw_vec2 p = e ? j->curve[a].b : j->curve[a].a;
        double at = foot_on(c, p);
        if (!reaches(j, c, at)) continue;
        double off = c->arc ? fabs(dist(p, c->centre) - c->radius) : dist(p, point_at(c, at));
        if (off <= j->tolerance) add_cut(j, b, at);
    }
}

static void cut_all(joiner *j)
{
    for (size_t a = 0; a < j->curves; a++)
        for (size_t b = a + 1; b < j->curves; b++) {
            const curve *p = &j->curve[a], *q = &j->curve[b];
            if (p->hull == q->hull) continue;
            if (!p->arc && !q->arc)
                cross_lines(j, a, b);
            else if (p->arc && q->arc)
                cross_arcs(j, a, b);
            else
                cross_line_arc(j, p->arc ? b : a, p->arc ? a : b);
            cut_at_ends(j, a, b);
            cut_at_ends(j, b, a);
        }
}

// ---- pieces -----------------------------------------------------------------------------------

// The node at a place, new or known.
static size_t node_at(joiner *j, hw_vec2 p)
{
    for (size_t i = 0; i < j->nodes; i++)
        if (dist(j->node[i], p) <= 3 * j->tolerance) return i;
    j->node[j->nodes] = p;
    return j->nodes++;
}

static int by_place(const void *a, const void *b)
{
    const cut *p = a, *q = b;
    if (p->curve != q->curve) return p->curve < q->curve ? -1 : 1;
    return (p->at > q->at) - (p->at < q->at);
}

static void put_piece(joiner *j, size_t number, double from, double to) // [m]
{
    const curve *c = &j->curve[number];
    piece p = {.curve = number, .at = {from, to}};
    p.node[0] = node_at(j, from > 0 ? point_at(c, from) : c->a);
    p.node[1] = node_at(j, to < c->length ? point_at(c, to) : c->b);
    p.middle = point_at(c, (from + to) / 2);
    if (p.node[0] != p.node[1]) j->piece[j->pieces++] = p;
}

static bool put_pieces(joiner *j)
{
    j->node = HW_NEW(j->work, hw_vec2, 2 * (j->cuts + j->curves));
    j->piece = HW_NEW(j->work, piece, j->cuts + j->curves);
    if (!j->node || !j->piece) return false;
    // corners of the hulls first: their places are the ones that stay
    for (size_t i = 0; i < j->curves; i++) (void)node_at(j, j->curve[i].a);
    if (j->cuts) qsort(j->cut, j->cuts, sizeof *j->cut, by_place);
    size_t k = 0;
    for (size_t i = 0; i < j->curves; i++) {
        double from = 0, end = j->curve[i].length;
        for (; k < j->cuts && j->cut[k].curve == i; k++) {
            double at = j->cut[k].at;
            if (at <= from + j->tolerance || at >= end - j->tolerance) continue;
            put_piece(j, i, from, at);
            from = at;
        }
        put_piece(j, i, from, end);
    }
    return true;
}

// Is a point, not on the outline, in a hull: in a disc, or in the polygon of the tangents' ends?
static bool in_hull(const joiner *j, size_t hull, hw_vec2 p)
{
    const hw_rounded *h = &j->hull[hull];
    for (size_t i = 0; i < h->n; i++)
        if (dist(h->disc[i].at, p) < h->disc[i].radius) return true;
    const hw_profile *o = &j->outline[hull];
    for (size_t i = 0; i < o->n; i++) {
        hw_vec2 a = o->corner[i].at, b = o->corner[i + 1 < o->n ? i + 1 : 0].at;
        if (cross2(hw_sub(b, a), hw_sub(p, a)) < 0) return false;
    }
    return o->n > 2;
}

// +1: q runs along p, -1: against it, 0: it lies elsewhere.
static int lies_on(const joiner *j, const piece *p, const piece *q)
{
    int sense = p->node[0] == q->node[0] && p->node[1] == q->node[1]   ? 1
                : p->node[0] == q->node[1] && p->node[1] == q->node[0] ? -1
                                                                       : 0;
    return sense && dist(p->middle, q->middle) <= 8 * j->tolerance ? sense : 0;
}

// A piece has its own hull on its left; it is boundary where nothing lies on its right.
static void judge(joiner *j, piece *p, bool *known)
{
    bool right = false;
    memset(known, 0, j->hulls * sizeof *known);
    for (piece *q = p; q < j->piece + j->pieces; q++) {
        int sense = q->done ? 0 : lies_on(j, p, q);
        if (!sense) continue;
        q->done = true;
        known[j->curve[q->curve].hull] = true;
        right = right || sense < 0;
    }
    for (size_t h = 0; h < j->hulls && !right; h++) right = !known[h] && in_hull(j, h, p->middle);
    p->keep = !right;
}

static bool judge_all(joiner *j)
{
    bool *known = HW_NEW(j->work, bool, j->hulls);
    int *degree = HW_NEW(j->work, int, j->nodes);
    if (!known || !degree) {
        j->no_memory = true;
        return false;
    }
    for (size_t i = 0; i < j->pieces; i++) {
        if (!j->piece[i].done) judge(j, &j->piece[i], known);
        if (!j->piece[i].keep) continue;
        degree[j->piece[i].node[0]]++;
        degree[j->piece[i].node[1]]--;
    }
    for (size_t i = 0; i < j->nodes; i++)
        if (degree[i] != 0) return false;
    return true;
}

// ---- rings ------------------------------------------------------------------------------------

// The piece that goes on from the end of p: of several the one that turns farthest to the left, so
// that what touches in a point stays apart; straight back is the last choice.
static piece *next_of(joiner *j, const piece *p)
{
    piece *best = NULL;
    double most = 0;
    hw_vec2 in = tangent_at(&j->curve[p->curve], p->at[1]);
    for (piece *q = j->piece; q < j->piece + j->pieces; q++) {
        if (!q->keep || q->used || q->node[0] != p->node[1]) continue;
        hw_vec2 out = tangent_at(&j->curve[q->curve], q->at[0]);
        double turn = atan2(cross2(in, out), hw_dot(in, out));
        if (turn > HW_PI - 1e-4) turn = -HW_PI;
        if (best && turn <= most) continue;
        best = q;
        most = turn;
    }
    return best;
}

// A side of a ring: straight, or an arc.
typedef struct side {
    hw_vec2 a, b; // [m]
    bool arc;
    hw_vec2 centre; // [m]
    double radius;  // [m]
    double sweep;   // > 0 [rad]
} side;

static side side_of(const joiner *j, const piece *p)
{
    const curve *c = &j->curve[p->curve];
    side s = {.a = j->node[p->node[0]], .b = j->node[p->node[1]], .arc = c->arc};
    if (!c->arc) return s;
    s.centre = c->centre;
    s.radius = c->radius;
    s.sweep = (p->at[1] - p->at[0]) / c->radius;
    return s;
}

// Adds b to a where it goes on in the same line or circle.
static bool merge(const joiner *j, side *a, const side *b)
{
    const double near = 8 * j->tolerance;
    if (a->arc != b->arc) return false;
    if (a->arc) {
        if (dist(a->centre, b->centre) > near || fabs(a->radius - b->radius) > near) return false;
        a->sweep += b->sweep;
    } else {
        hw_vec2 whole = hw_sub(b->b, a->a), part = hw_sub(a->b, a->a);
        double length = hw_norm(whole);
        if (length == 0 || fabs(cross2(whole, part)) > near * length) return false;
        if (hw_dot(part, hw_sub(b->b, b->a)) <= 0) return false; // a tip
    }
    a->b = b->b;
    return true;
}

// Joins sides that go on; returns how many are left.
static size_t merge_all(const joiner *j, side *s, size_t n)
{
    size_t kept = 0;
    for (size_t i = 0; i < n; i++)
        if (kept == 0 || !merge(j, &s[kept - 1], &s[i])) s[kept++] = s[i];
    if (kept > 1 && merge(j, &s[kept - 1], &s[0])) { // over the place where the ring began
        s[0] = s[kept - 1];
        kept--;
    }
    return kept;
}

static bool put_ring(hw_arena *keep, const side *s, size_t n, hw_profile *out)
{
    out->corner = HW_NEW(keep, hw_corner, 3 * n);
    if (!out->corner) return false;
    for (size_t i = 0; i < n; i++) {
        double whole = s[i].sweep;
        int parts = !s[i].arc ? 1 : whole > 1.99 * HW_PI ? 3 : whole > 0.99 * HW_PI ? 2 : 1;
        for (int k = 0; k < parts; k++) {
            hw_vec2 arm = hw_sub(s[i].a, s[i].centre);
            double t = s[i].sweep * k / parts; // counter-clockwise: hw_flexed turns the other way
            hw_vec2 at = k ? hw_add(s[i].centre, hw_flexed(arm, -t)) : s[i].a;
            out->corner[out->n++] = (hw_corner){at, s[i].arc ? tan(s[i].sweep / parts / 4) : 0};
        }
    }
    return true;
}

static hw_code put_rings(hw_arena *keep, joiner *j, hw_region *out)
{
    side *s = HW_NEW(j->work, side, j->pieces);
    hw_profile *ring = HW_NEW(j->work, hw_profile, j->pieces);
    if (!s || !ring) return HW_NO_MEMORY;
    size_t rings = 0;
    for (size_t i = 0; i < j->pieces; i++) {
        piece *p = &j->piece[i];
        if (!p->keep || p->used) continue;
        size_t n = 0, home = p->node[0];
        for (; p; p = p->node[1] == home ? NULL : next_of(j, p)) {
            p->used = true;
            s[n++] = side_of(j, p);
        }
        n = merge_all(j, s, n);
        if (!put_ring(keep, s, n, &ring[rings++])) return HW_NO_MEMORY;
    }
    out->ring = HW_NEW(keep, hw_profile, rings);
    if (!out->ring) return HW_NO_MEMORY;
    if (rings) memcpy(out->ring, ring, rings * sizeof *ring);
    out->rings = rings;
    return HW_OK;
}

// ---- the whole --------------------------------------------------------------------------------

static double extent_of(const hw_rounded *hull, size_t hulls)
{
    hw_vec2 low = {INFINITY, INFINITY}, high = {-INFINITY, -INFINITY};
    for (size_t h = 0; h < hulls; h++)
        for (size_t i = 0; i < hull[h].n; i++) {
            const hw_circle *d = &hull[h].disc[i];
            low = (hw_vec2){fmin(low.x, d->at.x - d->radius), fmin(low.z, d->at.z - d->radius)};
            high = (hw_vec2){fmax(high.x, d->at.x + d->radius), fmax(high.z, d->at.z + d->radius)};
        }
    return fmax(high.x - low.x, high.z - low.z);
}

static hw_code join(hw_arena *keep, joiner j, double extent, hw_region *out) // [m]
{
    j.curve = HW_NEW(j.work, curve, j.curves);
    if (!j.curve) return HW_NO_MEMORY;
    j.curves = 0;
    for (size_t h = 0; h < j.hulls; h++) put_curves(&j, h, extent);
    cut_all(&j);
    if (j.no_memory || !put_pieces(&j)) return HW_NO_MEMORY;
    if (!judge_all(&j)) return j.no_memory ? HW_NO_MEMORY : HW_NOT_CONVERGED;
    return put_rings(keep, &j, out);
}

hw_code hw_region_of_hulls(hw_arena *keep, hw_arena *work, const hw_rounded *hull, size_t hulls,
                           hw_region *out)
{
    static const double share[] = {1e-9, 1e-8, 1e-10, 1e-7, 1e-6}; // of the extent [1]
    *out = (hw_region){0};
    if (hulls == 0) return HW_OK;
    size_t mark = hw_arena_mark(work), kept = hw_arena_mark(keep);
    hw_profile *outline = HW_NEW(work, hw_profile, hulls);
    joiner j = {.work = work, .hull = hull, .hulls = hulls, .outline = outline};
    hw_code code = outline ? HW_OK : HW_NO_MEMORY;
    for (size_t h = 0; code == HW_OK && h < hulls; h++) {
        code = hw_profile_hull(work, hull[h].disc, hull[h].n, &outline[h]);
        j.curves += outline[h].n;
    }
    double extent = extent_of(hull, hulls);
    for (size_t i = 0; code == HW_OK && i < sizeof share / sizeof *share; i++) {
        j.tolerance = share[i] * extent;
        code = join(keep, j, extent, out);
        if (code != HW_NOT_CONVERGED) break;
        code = i + 1 < sizeof share / sizeof *share ? HW_OK : HW_NOT_CONVERGED;
    }
    hw_arena_rewind(work, mark);
    if (code != HW_OK) {
        hw_arena_rewind(keep, kept);
        *out = (hw_region){0};
    }
    return code;
}
