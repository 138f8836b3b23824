// Outlines of a part's layers: joined from rounded plates, cut off at the bed, chamfered along it.
#include "parts/parts_internal.h"

#include <math.h>
#include <string.h>

// Between two poses a foot leaves the hull of its two places by less than a tenth of a gap. [1]
static const double SWEEP_SPARE = 1.1;

hw_code hw_ring_hull(hw_arena *keep, const hw_slab *slab, double deviation, hw_polygon *out)
{
    hw_circle disc[HW_SLAB_DISCS];
    for (size_t i = 0; i < slab->discs; i++)
        disc[i] = (hw_circle){slab->disc[i].at, slab->disc[i].radius};
    hw_profile profile;
    hw_code code = hw_profile_hull(keep, disc, slab->discs, &profile);
    if (code == HW_OK) code = hw_profile_polygon(keep, &profile, deviation, out);
    return code;
}

// All rings of a section as one outline that runs round inside once, outside never: bridges from
// ring to ring are run both ways and cancel.
static bool joined(hw_arena *work, const hw_section *s, hw_polygon *out)
{
    size_t n = 0;
    for (size_t i = 0; i < s->rings; i++) n += s->ring[i].n + 2;
    hw_vec2 *at = HW_NEW(work, hw_vec2, n);
    if (!at) return false;
    *out = (hw_polygon){at, 0};
    for (size_t i = 0; i < s->rings; i++) {
        const hw_polygon *r = &s->ring[i];
        memcpy(at + out->n, r->at, r->n * sizeof *at);
        out->n += r->n;
        at[out->n++] = r->at[0];
        if (i > 0) at[out->n++] = s->ring[0].at[0];
    }
    return true;
}

// A section made of plates of equal height. A block beside them that is as long as the part puts it
// on the grid of the part's mesh: then outlines that were joined meet there again in the same
// points. block[] has room for one more.
static hw_code section(const hw_draft *f, hw_block *block, size_t blocks, hw_section *out)
{
    hw_vec2 at[4] = {f->low, {f->high.x, f->low.z}, f->high, {f->low.x, f->high.z}};
    hw_polygon box = {at, 4};
    block[blocks] = (hw_block){HW_BLOCK_ADD, {2 * f->l->gap, 3 * f->l->gap}, {box, box}};
    hw_solid solid = {block, blocks + 1};
    hw_mesh_def def = hw_mesh_def_default();
    hw_mesh_made made;
    return hw_solid_section(f->keep, f->work, &solid, &def, f->l->gap / 2, f->job, out, &made);
}

static hw_block plate(const hw_draft *f, hw_block_op op, hw_polygon at)
{
    return (hw_block){op, {0, f->l->gap}, {at, at}};
}

// What lies under the bed, below these plates.
static bool below(const hw_draft *f, const hw_block *block, size_t n, hw_polygon *out)
{
    double beside = f->d->width / 16, low = INFINITY, high = -INFINITY, deep = -beside;
    for (size_t i = 0; i < n; i++)
        for (size_t j = 0; j < block[i].at[0].n; j++) {
            hw_vec2 q = block[i].at[0].at[j];
            low = fmin(low, q.x - beside);
            high = fmax(high, q.x + beside);
            deep = fmin(deep, q.z - beside);
        }
    hw_vec2 *at = HW_NEW(f->work, hw_vec2, 4);
    if (!at) return false;
    at[0] = (hw_vec2){low, deep};
    at[1] = (hw_vec2){high, deep};
    at[2] = (hw_vec2){high, 0};
    at[3] = (hw_vec2){low, 0};
    *out = (hw_polygon){at, 4};
    return true;
}

// What moves sweeps between two poses of the stroke, as its phalanx sees it, and a gap round that.
static hw_code swept(const hw_draft *f, const hw_sweep *w, size_t pose, hw_polygon *out)
{
    hw_circle disc[2 * HW_SLAB_DISCS];
    size_t n = 0;
    double moved = 0;
    for (size_t k = pose; k < pose + 2; k++) {
        const hw_place *at = &f->place[k][w->moving.part], *by = &f->place[k][w->phalanx];
        for (size_t i = 0; i < w->moving.discs; i++) {
            hw_vec2 q = hw_add(at->at, hw_flex(w->moving.disc[i].at, at->c, at->s));
            q = hw_flex(hw_sub(q, by->at), by->c, -by->s);
            if (k > pose) moved = fmax(moved, hw_norm(hw_sub(q, disc[i].at)));
            disc[n++] = (hw_circle){q, w->moving.disc[i].radius + SWEEP_SPARE * f->def->gap};
        }
    }
    if (moved < 1e-6 * f->def->gap) n /= 2; // the printed pose is one of the stroke
    hw_profile profile;
    hw_code code = hw_profile_hull(f->work, disc, n, &profile);
    if (code == HW_OK) code = hw_profile_polygon(f->work, &profile, f->def->deviation, out);
    return code;
}

// What is left out below a tang that nothing carries: from its body's wall to beyond its disc.
// False: no such tang in this layer.
static bool below_tang(const hw_draft *f, int part, int layer, hw_polygon *out)
{
    int side = layer > (int)f->l->n / 2;
    double floor = part < HW_JOINTS ? f->floor[part][side] : 0;
    if (!(floor > 0) || f->l->layer[layer].use != HW_LAYER_TANG) return false;
    const hw_fork_place *k = &f->l->fork[part];
    double joint = part == 0 ? 0 : f->d->phalanx[part - 1];
    hw_vec2 wall = hw_bed_point(&f->bed, part, (hw_vec2){joint - k->setback, 0});
    hw_vec2 *at = HW_NEW(f->work, hw_vec2, 4);
    if (!at) return false; // the arena says so
    double far = wall.x + k->setback + 2 * k->tang_radius;
    at[0] = (hw_vec2){wall.x, -floor};
    at[1] = (hw_vec2){far, -floor};
    at[2] = (hw_vec2){far, floor};
    at[3] = (hw_vec2){wall.x, floor};
    *out = (hw_polygon){at, 4};
    return true;
}

static hw_code join(const hw_draft *f, int part, int layer, hw_section *out)
{
    hw_block *block = HW_NEW(f->work, hw_block, f->slabs + f->sweeps * f->poses + 3);
    if (!block) return HW_NO_MEMORY;
    size_t n = 0;
    for (size_t i = 0; i < f->slabs; i++) {
        if (f->slab[i].part != part || f->slab[i].layer != layer) continue;
        hw_polygon at;
        hw_code code = hw_ring_hull(f->work, &f->slab[i], f->def->deviation, &at);
        if (code != HW_OK) return code;
        block[n++] = plate(f, HW_BLOCK_ADD, at);
    }
    if (n == 0) return HW_OK;
    for (size_t i = 0; i < f->sweeps; i++)
        for (size_t k = 0; k + 1 < f->poses; k++) {
            if (f->sweep[i].phalanx != part || f->sweep[i].moving.layer != layer) continue;
            hw_polygon at;
            hw_code code = swept(f, &f->sweep[i], k, &at);
            if (code != HW_OK) return code;
            block[n++] = plate(f, HW_BLOCK_CUT, at);
        }
    hw_polygon under;
    if (below_tang(f, part, layer, &under)) block[n++] = plate(f, HW_BLOCK_CUT, under);
    if (!below(f, block, n, &under)) return HW_NO_MEMORY;
    block[n++] = plate(f, HW_BLOCK_CUT, under);
    return section(f, block, n, out);
}

// Crumbs that a slot leaves, less than two lines square, and holes of less than half a line.
static void drop_crumbs(const hw_draft *f, hw_section *s)
{
    double line = f->l->line * f->l->line;
    size_t kept = 0;
    for (size_t i = 0; i < s->rings; i++) {
        double area = hw_polygon_area(&s->ring[i]);
        if (area > 4 * line || area < -line / 4) s->ring[kept++] = s->ring[i];
    }
    s->rings = kept;
}

hw_code hw_outline_join(const hw_draft *f, int part, int layer, hw_section *out)
{
    size_t mark = hw_arena_mark(f->work);
    *out = (hw_section){0};
    hw_code code = join(f, part, layer, out);
    drop_crumbs(f, out);
    hw_arena_rewind(f->work, mark);
    return code;
}

static hw_code cross(const hw_draft *f, const hw_section *a, const hw_section *b, hw_section *out)
{
    hw_polygon whole, other;
    if (!joined(f->work, a, &whole) || !joined(f->work, b, &other)) return HW_NO_MEMORY;
    hw_section rest; // a without b; a without that is what both have
    hw_block block[3] = {plate(f, HW_BLOCK_ADD, whole), plate(f, HW_BLOCK_CUT, other)};
    hw_code code = section(f, block, 2, &rest);
    if (code != HW_OK) return code;
    if (rest.rings == 0) {
        *out = *a;
        return HW_OK;
    }
    if (!joined(f->work, &rest, &other)) return HW_NO_MEMORY;
    block[1] = plate(f, HW_BLOCK_CUT, other);
    return section(f, block, 2, out);
}

hw_code hw_outline_cross(const hw_draft *f, const hw_section *a, const hw_section *b,
                         hw_section *out)
{
    *out = (hw_section){0};
    if (a->rings == 0 || b->rings == 0) return HW_OK;
    size_t mark = hw_arena_mark(f->work);
    hw_code code = cross(f, a, b, out);
    drop_crumbs(f, out);
    hw_arena_rewind(f->work, mark);
    return code;
}

void hw_outline_put(hw_pile *p, const hw_section *s, double from, double to)
{
    for (int holes = 0; holes < 2; holes++)
        for (size_t i = 0; i < s->rings; i++)
            if ((hw_polygon_area(&s->ring[i]) < 0) == holes)
                hw_pile_put(p, holes ? HW_BLOCK_CUT : HW_BLOCK_ADD, from, to, s->ring[i],
                            s->ring[i]);
}

// ---- along the bed --------------------------------------------------------------------------

// A point of a side, by its height: where it crosses `level`.
static hw_vec2 at_level(hw_vec2 p, hw_vec2 q, double level) // [m]
{
    double t = (level - p.z) / (q.z - p.z);
    return (hw_vec2){p.x + t * (q.x - p.x), level};
}

// The ring with its corners at the bed cut off at 45 degrees, `chamfer` high. Between two crossings
// of that height, what stands on the bed is drawn in from both sides, and what does not ends there:
// below that height a ring runs one way along x, so that hw_outline_foot can raise it.
static bool bevel(hw_arena *keep, const hw_polygon *r, double chamfer, hw_polygon *out) // [m]
{
    size_t first = 0, n = 0;
    while (first < r->n && r->at[first].z <= chamfer) first++;
    *out = (hw_polygon){0};
    if (first == r->n) return true; // no higher than the chamfer: nothing is left
    hw_vec2 *at = HW_NEW(keep, hw_vec2, 3 * r->n + 4);
    if (!at) return false;
    for (size_t i = 0; i < r->n; i++) {
        hw_vec2 p = r->at[(first + i) % r->n], q = r->at[(first + i + 1) % r->n];
        at[n++] = p;
        if (q.z > chamfer) continue;
        hw_vec2 down = at_level(p, q, chamfer);
        bool bed = false;
        while (q.z <= chamfer) { // ends at `first` at the latest
            bed = bed || q.z <= 0;
            p = q;
            i++;
            q = r->at[(first + i + 1) % r->n];
        }
        hw_vec2 up = at_level(p, q, chamfer);
        double way = up.x - down.x, in = copysign(fmin(chamfer, fabs(way) / 3), way);
        at[n++] = down;
        if (bed) {
            at[n++] = (hw_vec2){down.x + in, 0};
            at[n++] = (hw_vec2){up.x - in, 0};
        }
        at[n++] = up;
    }
    *out = (hw_polygon){at, n};
    return true;
}

hw_code hw_outline_bevel(const hw_draft *f, hw_section *s)
{
    size_t kept = 0;
    for (size_t i = 0; i < s->rings; i++) {
        hw_polygon one;
        if (!bevel(f->keep, &s->ring[i], f->def->chamfer, &one)) return HW_NO_MEMORY;
        if (one.n > 2) s->ring[kept++] = one;
    }
    s->rings = kept;
    return HW_OK;
}

// Whether the fill of the gap beside a layer reaches down to the bed, or to the bevel, at x.
static bool filled(const hw_section *fill, double x, double level) // [m] [m]
{
    for (size_t i = 0; i < fill->rings; i++)
        for (size_t j = 0; j < fill->ring[i].n; j++) {
            hw_vec2 a = fill->ring[i].at[j], b = fill->ring[i].at[(j + 1) % fill->ring[i].n];
            if (fmin(a.x, b.x) < x && x < fmax(a.x, b.x) &&
                a.z + (x - a.x) / (b.x - a.x) * (b.z - a.z) <= level)
                return true;
        }
    return false;
}

typedef struct raised {
    hw_vec2 *low, *high;
    size_t n;
} raised;

static void note(raised *r, hw_vec2 at, double level, bool up) // [m]
{
    hw_vec2 high = {at.x, up ? fmax(at.z, level) : at.z};
    if (r->n > 0 && r->low[r->n - 1].x == at.x && r->low[r->n - 1].z == at.z &&
        r->high[r->n - 1].z == high.z)
        return;
    r->low[r->n] = at;
    r->high[r->n++] = high;
}

// Where, along a side from p to q, a fill's side begins or comes to the level; returns how many.
static size_t stops_of(hw_vec2 a, hw_vec2 b, hw_vec2 p, hw_vec2 q, double level, double t[2])
{
    size_t n = 0;
    if (p.x == q.x) return 0;
    if (a.z <= level) t[n++] = (a.x - p.x) / (q.x - p.x);
    if ((a.z > level) != (b.z > level)) t[n++] = (at_level(a, b, level).x - p.x) / (q.x - p.x);
    return n;
}

// One side of a ring, in pieces that are raised or not.
static void raise_side(raised *r, hw_vec2 p, hw_vec2 q, double level, const hw_section *fill)
{
    double t[66] = {0};
    size_t n = 1;
    if ((p.z < level) != (q.z < level)) t[n++] = (level - p.z) / (q.z - p.z);
    for (size_t i = 0; i < fill->rings && p.z <= level && q.z <= level; i++)
        for (size_t j = 0; j < fill->ring[i].n && n < 63; j++) {
            double stop[2];
            size_t stops = stops_of(fill->ring[i].at[j],
                                    fill->ring[i].at[(j + 1) % fill->ring[i].n], p, q, level, stop);
            for (size_t k = 0; k < stops; k++)
                if (stop[k] > 0 && stop[k] < 1) t[n++] = stop[k];
        }
    t[n++] = 1;
    for (size_t i = 1; i < n; i++)
        for (size_t j = i; j > 0 && t[j] < t[j - 1]; j--) {
            double swap = t[j];
            t[j] = t[j - 1];
            t[j - 1] = swap;
        }
    for (size_t i = 0; i + 1 < n; i++) {
        hw_vec2 a = t[i] > 0 ? hw_add(p, hw_scale(hw_sub(q, p), t[i])) : p;
        hw_vec2 b = t[i + 1] < 1 ? hw_add(p, hw_scale(hw_sub(q, p), t[i + 1])) : q;
        hw_vec2 middle = hw_scale(hw_add(a, b), 0.5);
        bool up = middle.z < level && !filled(fill, middle.x, level * (1 + 2e-3));
        note(r, a, level, up);
        note(r, b, level, up);
    }
}

void hw_outline_foot(hw_pile *p, const hw_section *s, const hw_section *fill, double face,
                     double inner)
{
    double level = fabs(inner - face);
    for (int holes = 0; holes < 2; holes++)
        for (size_t i = 0; i < s->rings && p->code == HW_OK; i++) {
            const hw_polygon *ring = &s->ring[i];
            if ((hw_polygon_area(ring) < 0) != holes) continue;
            size_t room = 2 * 66 * ring->n;
            raised r = {HW_NEW(p->keep, hw_vec2, room), HW_NEW(p->keep, hw_vec2, room), 0};
            if (!r.low || !r.high) {
                p->code = HW_NO_MEMORY;
                return;
            }
            for (size_t j = 0; j < ring->n; j++)
                raise_side(&r, ring->at[j], ring->at[(j + 1) % ring->n], level, fill);
            hw_polygon full = {r.low, r.n}, less = {r.high, r.n};
            hw_block_op op = holes ? HW_BLOCK_CUT : HW_BLOCK_ADD;
            if (face < inner)
                hw_pile_put(p, op, face, inner, less, full);
            else
                hw_pile_put(p, op, inner, face, full, less);
        }
}
