// How everything gets a foot on the bed: what hangs over nothing by more than 45 degrees is carried
// by more of the same plate, wherever that stays clear of all other parts over the whole stroke.
//
// An underside through a disc hangs by 45 degrees at most when the plate goes down to the bed
// between the two tangents of 45 degrees, or on one side into the body that it grows out of.
#include "parts/parts_internal.h"

#include <math.h>
#include <string.h>

static const double ARCH_LINES = 14; // of a bar's underside between its feet [1]
static const double ROOT2 = 1.41421356237309504880;

static hw_code find_places(hw_draft *f)
{
    const hw_digit_family *family = hw_digit_family_of(f->d->family);
    for (int b = 0; b < HW_STACK_PARTS; b++) f->place[0][b] = (hw_place){{0, 0}, 1, 0};
    f->poses = 1;
    for (int i = 0; i < HW_DRAFT_POSES; i++) {
        hw_digit_pose pose;
        hw_code code = family->pose(f->d, i / (double)(HW_DRAFT_POSES - 1), &pose);
        if (code == HW_NO_ASSEMBLY) continue;
        if (code != HW_OK) return code;
        hw_parts_place(&f->bed, &pose, f->place[f->poses++]);
    }
    return HW_OK;
}

// Whether a plate stays a gap clear of all other parts in its layer, but `except`.
static bool clear(const hw_draft *f, const hw_slab *p, int except)
{
    double gap = f->def->gap * (1 - 1e-6);
    for (size_t i = 0; i < f->slabs; i++) {
        const hw_slab *q = &f->slab[i];
        if (q->layer != p->layer || q->part == p->part || q->part == except) continue;
        if (q->kind == HW_SLAB_FOOT && q->part == p->part + 3) continue; // gets a slot here
        for (size_t k = 0; k < f->poses; k++)
            if (hw_slabs_gap(p, f->place[k][p->part], q, f->place[k][q->part]) < gap) return false;
    }
    return true;
}

// Adds a plate where it is clear.
static bool put(hw_draft *f, int layer, int part, hw_slab_kind kind, size_t n, const hw_disc disc[],
                int except)
{
    hw_slab p = hw_slab_of(layer, part, kind, n, disc);
    if (!clear(f, &p, except)) return false;
    if (f->slabs == f->room)
        f->full = true;
    else
        f->slab[f->slabs++] = p;
    return !f->full;
}

// Where the tangents of 45 degrees to a plate's underside meet the bed: falling from the left, and
// rising to the right. [m]
static double left_of(const hw_slab *p)
{
    double at = INFINITY;
    for (size_t i = 0; i < p->discs; i++)
        at = fmin(at, p->disc[i].at.x + p->disc[i].at.z - ROOT2 * p->disc[i].radius);
    return at;
}

static double right_of(const hw_slab *p)
{
    double at = -INFINITY;
    for (size_t i = 0; i < p->discs; i++)
        at = fmax(at, p->disc[i].at.x - p->disc[i].at.z + ROOT2 * p->disc[i].radius);
    return at;
}

// The two discs of a plate that reach lowest.
static void lowest(const hw_slab *p, hw_disc out[2])
{
    size_t taken = p->discs;
    for (int k = 0; k < 2; k++) {
        size_t low = p->discs;
        for (size_t i = 0; i < p->discs; i++) {
            if (i == taken) continue;
            if (low == p->discs ||
                p->disc[i].at.z - p->disc[i].radius < p->disc[low].at.z - p->disc[low].radius)
                low = i;
        }
        taken = low < p->discs ? low : 0;
        out[k] = p->disc[taken];
    }
}

static hw_disc on_bed(double x) // [m]
{
    return (hw_disc){{x, 0}, 0};
}

// A plate that goes down to the bed below itself; a narrow one as a pillar.
static bool put_skirt(hw_draft *f, size_t i)
{
    const hw_slab *p = &f->slab[i];
    hw_disc disc[4];
    lowest(p, disc);
    double left = left_of(p), right = right_of(p);
    double least = 2 * f->l->line;
    if (right - left < least) {
        double middle = disc[0].at.x, half = fmax(least / 2, disc[0].radius / ROOT2);
        left = middle - half;
        right = middle + half;
        disc[1] = disc[0];
    }
    disc[2] = on_bed(left);
    disc[3] = on_bed(right);
    return put(f, p->layer, p->part, p->kind, 4, disc, -1);
}

// A tang's disc, or the lug beside it, with all that is below it back to its own body.
static bool put_tang(hw_draft *f, size_t i)
{
    const hw_slab *p = &f->slab[i];
    const hw_fork_place *k = &f->l->fork[p->part];
    hw_vec2 joint = {p->part == 0 ? 0 : f->d->phalanx[p->part - 1], 0};
    double back = hw_bed_point(&f->bed, p->part, joint).x - k->setback - k->height / 4;
    hw_disc disc[4] = {p->disc[0], p->disc[p->discs - 1], on_bed(back), on_bed(right_of(p))};
    if (put(f, p->layer, p->part, p->kind, 4, disc, -1)) return true;
    // a horn that turns behind the joint leaves room below the disc alone
    double in = p->disc[0].radius / ROOT2;
    hw_vec2 at = p->disc[0].at;
    disc[0] = (hw_disc){{at.x - in, at.z - in}, 0};
    disc[1] = (hw_disc){{at.x + in, at.z - in}, 0};
    return put(f, p->layer, p->part, p->kind, 4, disc, -1);
}

// Nothing can carry this tang: it is left out below the height at which its arm leaves the body, so
// that it grows out of the body as a cantilever and is no island.
static void shave(hw_draft *f, size_t i)
{
    const hw_slab *p = &f->slab[i];
    const hw_fork_place *k = &f->l->fork[p->part];
    double joint = p->part == 0 ? 0 : f->d->phalanx[p->part - 1], floor = INFINITY;
    double wall = hw_bed_point(&f->bed, p->part, (hw_vec2){joint - k->setback, 0}).x;
    for (size_t j = 0; j < f->slabs; j++) {
        const hw_slab *arm = &f->slab[j];
        if (arm->part != p->part || arm->layer != p->layer || arm->kind != HW_SLAB_ARM) continue;
        hw_disc low[2];
        lowest(arm, low); // of the arm's ends, one at the joint, one behind the wall
        const hw_disc *a = &low[low[0].at.x > low[1].at.x], *b = &low[low[0].at.x <= low[1].at.x];
        double share = (wall - a->at.x) / (b->at.x - a->at.x);
        floor = a->at.z - a->radius + share * (b->at.z - b->radius - a->at.z + a->radius);
    }
    double top = p->disc[0].at.z + p->disc[0].radius;
    if (floor < top - f->l->line) f->floor[p->part][p->layer > (int)f->l->n / 2] = floor;
}

// A horn's shelf with a gusset into the wall that it comes out of, as deep as the tang below leaves
// room: its pin bends the wall's edge there.
static bool put_shelf(hw_draft *f, size_t i)
{
    const hw_slab *p = &f->slab[i];
    const hw_disc *end = &p->disc[0], *wall = &p->disc[1];
    if (p->discs < 2 || wall->at.x <= end->at.x) return false;
    double high = wall->at.z - wall->radius, step = f->l->line / 4;
    for (int k = 0; k * step < high; k++) {
        double z = k * step;
        hw_disc disc[3] = {*end, *wall, {{wall->at.x, z}, 0}};
        if (put(f, p->layer, p->part, p->kind, 3, disc, -1)) return true;
    }
    return false;
}

static bool on_bed_side(const hw_draft *f, const hw_slab *p)
{
    return p->round.at.z < f->bed.knuckle.z;
}

// A strip past a bar on the far side is a bridge between the walls on both sides: piece by piece it
// goes as far down as the bar leaves room, which joins the halves of its phalanx the better.
static void deepen_strip(hw_draft *f, size_t i)
{
    enum { PIECES = 6 };
    const hw_slab s = f->slab[i];
    if (s.discs != 4) return;
    double step = f->l->line / 2, deepest = f->d->thickness[0] / 2;
    // down along the walls' ends
    hw_vec2 lower_by = hw_sub(hw_bed_point(&f->bed, s.part, (hw_vec2){0, -step}),
                              hw_bed_point(&f->bed, s.part, (hw_vec2){0, 0}));
    if (lower_by.z > 0) lower_by = hw_scale(lower_by, -1);
    for (int k = 0; k < PIECES; k++) {
        hw_disc disc[4], low[4];
        for (int e = 0; e < 2; e++)
            for (int up = 0; up < 2; up++) { // discs lie end by end, at its two edges
                hw_vec2 along = hw_sub(s.disc[2 + up].at, s.disc[up].at);
                double at = (double)(k + e) / PIECES;
                disc[2 * e + up] =
                    (hw_disc){hw_add(s.disc[up].at, hw_scale(along, at)), s.disc[up].radius};
            }
        int lower = disc[0].at.z > disc[1].at.z;
        size_t clear_of = 0; // steps down
        for (size_t n = 1; (double)n * step < deepest; n++) {
            memcpy(low, disc, sizeof low);
            for (int e = 0; e < 2; e++) {
                hw_disc *d = &low[2 * e + lower];
                d->at = hw_add(d->at, hw_scale(lower_by, (double)n));
            }
            hw_slab p = hw_slab_of(s.layer, s.part, s.kind, 4, low);
            if (low[lower].at.z < f->bed.knuckle.z / 2 || !clear(f, &p, -1)) break;
            clear_of = n;
        }
        for (int e = 0; e < 2; e++) { // its top inside the strip's, which is the skin
            hw_disc *low_end = &disc[2 * e + lower], *high_end = &disc[2 * e + !lower];
            low_end->at = hw_add(low_end->at, hw_scale(lower_by, (double)clear_of));
            high_end->at = hw_add(high_end->at, lower_by);
        }
        if (clear_of > 0) put(f, s.layer, s.part, s.kind, 4, disc, -1);
    }
}

static void put_bodies(hw_draft *f, size_t given)
{
    for (size_t i = 0; i < given; i++) {
        const hw_slab *p = &f->slab[i];
        switch (p->kind) {
        case HW_SLAB_BODY:
        case HW_SLAB_CHEEK:
            put_skirt(f, i);
            break;
        case HW_SLAB_WEB:
            if (on_bed_side(f, p))
                put_skirt(f, i);
            else
                deepen_strip(f, i);
            break;
        case HW_SLAB_TANG:
            if (!put_tang(f, i)) shave(f, i);
            break;
        case HW_SLAB_LUG:
            put_tang(f, i);
            break;
        case HW_SLAB_SHELF:
            // the one that comes from a wall before it comes to the bed
            if (left_of(p) > p->disc[p->discs - 1].at.x || !put_skirt(f, i)) put_shelf(f, i);
            break;
        case HW_SLAB_ARM:
        case HW_SLAB_POST:
        case HW_SLAB_BAR:
        case HW_SLAB_FOOT:
        case HW_SLAB_KINDS:
            break;
        }
    }
}

// ---- bars -------------------------------------------------------------------------------------

// A point on a bar's axis where a line of 45 degrees from the bed at x meets it: rising to the
// right, or to the left.
static hw_vec2 meet(hw_vec2 a, hw_vec2 e, double x, double way) // [m] [1]
{
    hw_vec2 along = hw_sub(e, a);
    // a + t along = (x + way z, z)
    double t = (x + way * a.z - a.x) / (along.x - way * along.z);
    t = fmin(1, fmax(0, t));
    return hw_add(a, hw_scale(along, t));
}

static void note_sweep(hw_draft *f, const hw_slab *moving, int phalanx)
{
    if (f->sweeps + 1 > HW_DRAFT_SWEEPS) {
        f->full = true;
        return;
    }
    f->sweep[f->sweeps++] = (hw_sweep){*moving, phalanx};
}

static bool put_foot(hw_draft *f, int layer, int b, const hw_disc disc[4])
{
    if (!put(f, layer, 4 + b, HW_SLAB_FOOT, 4, disc, b + 1)) return false;
    note_sweep(f, &f->slab[f->slabs - 1], b + 1);
    return true;
}

// As much above a bore's ceiling as is left beside the bore: the ceiling is higher than round.
static void put_eye(hw_draft *f, int layer, int b, const hw_disc *end)
{
    double bore = f->l->bar[b].base + f->def->gap;
    double higher = (ROOT2 - 1) * bore - hw_bore_ceiling(bore, f->l->line);
    hw_disc disc[2] = {*end, {{end->at.x, end->at.z + higher}, end->radius}};
    put(f, layer, 4 + b, HW_SLAB_BAR, 2, disc, b + 1);
}

static void put_feet(hw_draft *f, int layer, int b)
{
    hw_disc end[2] = {{{0, 0}, 0}, {{0, 0}, 0}};
    int found = 0;
    for (size_t i = 0; i < f->slabs && found < 2; i++) {
        const hw_slab *p = &f->slab[i];
        if (p->layer == layer && p->part == 4 + b && p->kind == HW_SLAB_BAR && p->discs == 1)
            end[found++] = p->disc[0];
    }
    if (found < 2) return;
    for (int e = 0; e < 2; e++) put_eye(f, layer, b, &end[e]);
    hw_slab both = hw_slab_of(layer, 4 + b, HW_SLAB_BAR, 2, end);
    double left = left_of(&both), right = right_of(&both), length = 10 * f->l->line;
    if (right - left < 3 * length) {
        hw_disc one[4] = {end[0], end[1], on_bed(left), on_bed(right)};
        if (put_foot(f, layer, b, one)) return;
    }
    // so long that what hangs between them is no longer than an arch prints cleanly
    double under = f->d->bar[b].width; // flanks of 45 degrees are nearer above the underside
    hw_vec2 a, e;
    do {
        a = meet(end[0].at, end[1].at, left + length, 1);
        e = meet(end[0].at, end[1].at, right - length, -1);
        length += f->l->line / 2;
    } while (e.x - a.x + under > ARCH_LINES * f->l->line && 2 * length < right - left);
    length -= f->l->line / 2;
    hw_disc first[4] = {end[0], on_bed(left), on_bed(left + length), {a, 0}};
    hw_disc last[4] = {end[1], on_bed(right - length), on_bed(right), {e, 0}};
    put_foot(f, layer, b, first);
    put_foot(f, layer, b, last);
}

// ---- undersides that hang from both ends
// ---------------------------------------------------------

static bool any_tie(const hw_draft *f)
{
    for (int j = 0; j < HW_JOINTS; j++)
        if (f->def->kind[j] == HW_PIVOT_TIE) return true;
    return false;
}

typedef struct undersides {     // of plates that are declared together
    double low, high, from, to; // [m]
} undersides;

static void widen(undersides *u, const hw_slab *s)
{
    for (size_t j = 0; j < s->discs; j++) {
        const hw_disc *d = &s->disc[j];
        u->low = fmin(u->low, d->at.z - d->radius);
        u->high = fmax(u->high, d->at.z - d->radius);
        u->from = fmin(u->from, d->at.x - d->radius);
        u->to = fmax(u->to, d->at.x + d->radius);
    }
}

static bool is_strip(const hw_draft *f, const hw_slab *s)
{
    return s->kind == HW_SLAB_WEB && !on_bed_side(f, s);
}

// All strips of a part in a layer, or one tie, from layer to layer and into both.
static void declare(const hw_draft *f, size_t i, hw_pile *p)
{
    const hw_slab *s = &f->slab[i];
    const hw_layer *y = &f->l->layer[s->layer];
    double hair = f->l->line / 20, half = y->thickness / 2 + hair + f->l->gap;
    undersides u = {INFINITY, -INFINITY, INFINITY, -INFINITY};
    widen(&u, s);
    for (size_t j = 0; j < f->slabs && is_strip(f, s); j++) {
        const hw_slab *t = &f->slab[j];
        if (t->part != s->part || t->layer != s->layer || !is_strip(f, t)) continue;
        if (j < i) return; // declared with that one
        widen(&u, t);
    }
    if (s->kind == HW_SLAB_POST) u.high = s->disc[0].at.z;
    hw_pile_allow(p, HW_ALLOW_BRIDGE, (hw_vec2){u.from - hair, u.low - hair},
                  (hw_vec2){u.to + hair, u.high + hair}, y->y - half, y->y + half);
}

// A body or a bar from end to end of an arch, strips between the walls on both sides of a bar, a
// tie between its cheeks. A hair more than the flats themselves.
void hw_stand_bridges(const hw_draft *f, const hw_part *part, hw_pile *p)
{
    double hair = f->l->line / 20;
    hw_slab *first = NULL;
    for (size_t i = 0; i < f->slabs; i++) {
        hw_slab *s = &f->slab[i];
        if (s->part != part->body) continue;
        const hw_layer *y = &f->l->layer[s->layer];
        double half = y->thickness / 2 + hair;
        if (is_strip(f, s) || (s->kind == HW_SLAB_POST && any_tie(f))) declare(f, i, p);
        if (s->kind != HW_SLAB_FOOT || f->l->bar[s->part - 4].layer[part->twin] != s->layer)
            continue;
        if (first) // the arch between the feet of a bar
            hw_pile_allow(
                p, HW_ALLOW_BRIDGE, (hw_vec2){first->disc[2].at.x - hair, first->disc[2].at.z},
                (hw_vec2){s->disc[1].at.x + hair, fmax(first->disc[3].at.z, s->disc[3].at.z)},
                y->y - half, y->y + half);
        first = s;
    }
}

// ---- ties -------------------------------------------------------------------------------------

// A tie joins both cheeks of a joint beside its axis and moves in an arc window of the tang. It is
// made where the window leaves the pins their foot and nothing else is in its way.
static bool put_tie(hw_draft *f, int joint)
{
    const hw_fork_place *k = &f->l->fork[joint];
    double r = f->def->keeper_thickness / 2, reach = f->def->keeper_reach;
    double inner = reach - r - f->def->gap;
    if (inner < f->l->cone.base + f->l->line || reach > fmax(k->depth[0], k->depth[1]))
        return false;
    hw_disc disc = {hw_bed_point(&f->bed, joint + 1, (hw_vec2){reach, 0}), r};
    size_t before = f->slabs, swept = f->sweeps;
    for (int i = 1; i + 1 < (int)f->l->n; i++) {
        if (!put(f, i, joint + 1, HW_SLAB_POST, 1, &disc, joint)) {
            f->slabs = before;
            f->sweeps = swept;
            return false;
        }
        note_sweep(f, &f->slab[f->slabs - 1], joint);
    }
    return true;
}

hw_code hw_stand_all(hw_draft *f)
{
    hw_code code = find_places(f);
    if (code != HW_OK) return code;
    size_t given = f->slabs;
    for (int b = 0; b < 2; b++)
        for (size_t t = 0; t < f->l->bar[b].twins; t++) put_feet(f, f->l->bar[b].layer[t], b);
    put_bodies(f, given);
    for (int j = 0; j < HW_JOINTS; j++)
        f->kept[j] =
            f->def->kind[j] == HW_PIVOT_TIE ? put_tie(f, j) : f->def->kind[j] < HW_PIVOT_LIP;
    return f->full ? HW_LIMIT : HW_OK;
}
