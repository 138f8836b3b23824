// The room that the thumb's seat leaves free: what carrier, yoke and metacarpal pass over in the
// whole opposition, with the rod's lug, and all that is palmar of that, so that the thumb goes in
// from there. Its ceiling is what they pass over; how far it must be vaulted to print is found
// where all rooms are known (hw_palm_parts_settle), and beforehand here, for what keeps clear of
// it.
#include "parts/palm_internal.h"

#include <string.h>

enum {
    POSES = 13,   // of the opposition
    FLEXIONS = 2, // of the metacarpal
    OUTLINE = HW_THUMB_OUTLINE,
    BODIES = 3 + FLEXIONS,
    HULL = 2 * OUTLINE,
    PLACES = 41, // of the room's ceiling, along the palm and across
    CELLS = PLACES - 1
};

static hw_prism box_prism(hw_frame in, hw_vec3 low, hw_vec3 high)
{
    return (hw_prism){in,
                      {{low.x, low.z}, {high.x, low.z}, {high.x, high.z}, {low.x, high.z}},
                      4,
                      {low.y, high.y}};
}

// The yoke's head across the axis frame's y: round the plate and what is below it.
static hw_prism head_of(const hw_palm_build *b)
{
    const hw_palm_seat *s = &b->f->digit[0];
    const hw_palm_thumb *t = &b->thumb;
    hw_vec2 at[OUTLINE], seen[HULL], out[HULL + 2];
    size_t n = hw_thumb_plate(s, t, at), m = 0;
    hw_prism p = {.in = t->in, .y = {-t->journal, t->journal}};
    for (size_t i = 0; i < 2 * n; i++) {
        hw_vec3 q = {s->back - (i & 1 ? b->f->plate : 0), at[i / 2].x, at[i / 2].z};
        q = hw_frame_seen(&t->in, hw_frame_point(&s->knuckle, q));
        seen[m++] = (hw_vec2){q.x, q.z};
        p.y[0] = fmin(p.y[0], q.y);
        p.y[1] = fmax(p.y[1], q.y);
    }
    for (int i = 0; i < 4; i++) { // what fills the room below it is as wide as the carrier
        hw_vec3 q = {s->back, s->side[i & 1], i & 2 ? -s->half : s->half};
        q = hw_frame_seen(&t->in, hw_frame_point(&s->knuckle, q));
        p.y[0] = fmin(p.y[0], q.y);
        p.y[1] = fmax(p.y[1], q.y);
    }
    seen[m++] = (hw_vec2){0, t->shoulder};
    seen[m++] = (hw_vec2){t->journal, t->shoulder};
    seen[m++] = (hw_vec2){0, sqrt(2) * t->elbow};
    m = hw_palm_hull(seen, m, out);
    p.n = m < OUTLINE ? m : OUTLINE;
    memcpy(p.at, out, p.n * sizeof *out);
    return p;
}

// The block, as far as the joint's round end.
static hw_prism block_of(const hw_palm_build *b)
{
    const hw_palm_seat *s = &b->f->digit[0];
    return box_prism(s->knuckle, hw_at(s->back, s->side[0], fmin(s->bed, -s->half)),
                     hw_at(s->half, s->side[1], fmax(s->bed, s->half)));
}

// The heads of its screws behind the plate.
static hw_prism heads_of(const hw_palm_build *b)
{
    const hw_palm_seat *s = &b->f->digit[0];
    const double plate = s->back - b->f->plate, r = HW_THUMB_HEAD * b->f->screw;
    const hw_vec2 *p = &s->screw[0], *q = &s->screw[1];
    return box_prism(s->knuckle,
                     hw_at(plate - 0.8 * b->f->screw, fmin(p->x, q->x) - r, fmin(p->z, q->z) - r),
                     hw_at(plate, fmax(p->x, q->x) + r, fmax(p->z, q->z) + r));
}

// At both ends of opposition the flexed metacarpal comes into the palm's face: what it takes
// there, down to the bed.
static void put_flexed(hw_palm_build *b, hw_tools *t)
{
    enum { BENDS = 5 };
    static const double share[] = {0, 0.95, 1}; // of the opposition
    const hw_palm_seat *s = &b->f->digit[0];
    for (int k = 0; k < BENDS; k++)
        for (size_t i = 0; i < sizeof share / sizeof *share; i++) {
            hw_prism p = hw_seat_segment(s, (double)k / (BENDS - 1),
                                         s->splay[0] + share[i] * (s->splay[1] - s->splay[0]));
            hw_put(t, hw_prism_fallen(b, &p, 1.8 * b->f->gap));
        }
}

// All that turns, where the thumb is not opposed. The metacarpal is there straight and
// flexed.
static void bodies_of(const hw_palm_build *b, hw_prism out[BODIES])
{
    const hw_palm_seat *s = &b->f->digit[0];
    out[0] = head_of(b);
    out[1] = block_of(b);
    out[2] = heads_of(b);
    for (int i = 0; i < FLEXIONS; i++)
        out[3 + i] = hw_seat_segment(s, (double)i / (FLEXIONS - 1), 0);
}

static hw_prism opposed(const hw_palm_seat *s, const hw_prism *p, int pose)
{
    hw_prism out = *p;
    const double by = s->splay[0] + (s->splay[1] - s->splay[0]) * pose / (POSES - 1);
    out.in = hw_frame_turned(&p->in, s->splay_at, s->splay_axis, by);
    return out;
}

// ---- its ceiling ------------------------------------------------------------------------------

// Heights over a grid in plan.
typedef struct ceiling {
    hw_vec2 low, step;         // of the first place; between neighbours [m]
    double z[PLACES][PLACES];  // along x, along y; -INFINITY: none [m]
    bool palm[PLACES][PLACES]; // what is above the bed carries
} ceiling;

// A prism grown, as planes and its box in plan.
typedef struct slab {
    hw_vec3 out[OUTLINE + 2]; // unit vectors
    double off[OUTLINE + 2];  // of the planes along them, from the origin [m]
    size_t n;
    hw_vec2 low, high; // [m]
} slab;

static slab slab_of(const hw_prism *p, double grow) // [m]
{
    slab s = {.n = p->n + 2, .low = {INFINITY, INFINITY}, .high = {-INFINITY, -INFINITY}};
    for (size_t i = 0; i < s.n; i++) {
        const hw_vec3 on = hw_prism_corner(p, i == p->n + 1 ? 1 : i < p->n ? 2 * i : 0);
        hw_vec3 out = hw_vec3_times(p->in.y, i == p->n ? -1 : 1);
        if (i < p->n) {
            const hw_vec2 from = p->at[i], to = p->at[(i + 1) % p->n];
            out = hw_frame_direction(&p->in, hw_at(to.z - from.z, 0, from.x - to.x));
        }
        s.out[i] = hw_vec3_unit(out);
        s.off[i] = hw_vec3_dot(s.out[i], on) + grow;
    }
    for (size_t i = 0; i < 2 * p->n; i++) {
        const hw_vec3 q = hw_prism_corner(p, i);
        s.low = (hw_vec2){fmin(s.low.x, q.x - 2 * grow), fmin(s.low.z, q.y - 2 * grow)};
        s.high = (hw_vec2){fmax(s.high.x, q.x + 2 * grow), fmax(s.high.z, q.y + 2 * grow)};
    }
    return s;
}

// Its top on an upright line; -INFINITY: it is not met.
static double top_at(const slab *s, hw_vec2 at) // [m]
{
    double low = -INFINITY, high = INFINITY;
    if (at.x < s->low.x || at.x > s->high.x || at.z < s->low.z || at.z > s->high.z)
        return -(double)INFINITY;
    for (size_t i = 0; i < s->n; i++) {
        const double left = s->off[i] - s->out[i].x * at.x - s->out[i].y * at.z;
        if (s->out[i].z > 1e-9)
            high = fmin(high, left / s->out[i].z);
        else if (s->out[i].z < -1e-9)
            low = fmax(low, left / s->out[i].z);
        else if (left < 0)
            return -(double)INFINITY;
    }
    return low <= high ? high : -(double)INFINITY;
}

// What the thumb passes over, seen from above.
static void ceiling_of(const hw_palm_build *b, const hw_box3 *box, ceiling *c)
{
    const hw_palm_seat *s = &b->f->digit[0];
    const hw_palm_thumb *t = &b->thumb;
    hw_prism body[BODIES];
    slab poses[POSES * BODIES];
    bodies_of(b, body);
    c->low = (hw_vec2){box->low.x, box->low.y};
    c->step = (hw_vec2){(box->high.x - box->low.x) / (PLACES - 1),
                        (box->high.y - box->low.y) / (PLACES - 1)};
    const double grow = 1.5 * b->f->gap + 0.3 * fmax(c->step.x, c->step.z); // between places
    for (int k = 0; k < POSES * BODIES; k++) {
        const hw_prism p = opposed(s, &body[k % BODIES], k / BODIES);
        poses[k] = slab_of(&p, grow);
    }
    for (int i = 0; i < PLACES * PLACES; i++) {
        const int x = i / PLACES, y = i % PLACES;
        const hw_vec2 at = {c->low.x + c->step.x * x, c->low.z + c->step.z * y};
        double *z = &c->z[x][y];
        *z = -INFINITY;
        for (int k = 0; k < POSES * BODIES; k++) *z = fmax(*z, top_at(&poses[k], at));
        // the bend stays near the axis
        const hw_vec3 own = hw_frame_seen(&t->in, hw_at(at.x, at.z, t->in.at.z));
        const double wide = t->journal + grow, off = hypot(own.x, own.y);
        if (own.z > t->shoulder - grow && own.z < sqrt(2) * t->elbow + grow && off < wide)
            *z = fmax(*z, hw_thumb_along(t, own.z).z + fmin(sqrt(2) * wide - off, wide));
    }
}

// y of the palm's sides at x.
static void sides_at(const hw_palm_parts_def *f, double x, double y[2]) // [m]
{
    double at[HW_PALM_LOOPS] = {0}, low[HW_PALM_LOOPS], high[HW_PALM_LOOPS];
    for (int s = 0; s < HW_PALM_LOOPS; s++) {
        low[s] = INFINITY;
        high[s] = -INFINITY;
        for (int k = 0; k < HW_PALM_LOOP; k++) {
            const hw_vec3 *q = &f->outline[s][k];
            if (q->y < low[s]) low[s] = q->y;
            if (q->y > high[s]) high[s] = q->y, at[s] = q->x; // on the thumb's side or the other
        }
    }
    int s = 1;
    while (s + 1 < HW_PALM_LOOPS && at[s] < x) s++;
    const double t = fmin(fmax((x - at[s - 1]) / (at[s] - at[s - 1]), 0), 1);
    y[0] = low[s - 1] + t * (low[s] - low[s - 1]);
    y[1] = high[s - 1] + t * (high[s] - high[s - 1]);
}

// Where the palm is, in plan.
static void note_palm(const hw_palm_build *b, ceiling *c)
{
    for (int x = 0; x < PLACES; x++) {
        double side[2];
        sides_at(b->f, c->low.x + x * c->step.x, side);
        for (int y = 0; y < PLACES; y++) {
            const double at = c->low.z + y * c->step.z;
            c->palm[x][y] = side[0] <= at && at <= side[1];
        }
    }
}

// How low the ceiling may be at a place, held by its neighbours.
static double held_at(const hw_palm_build *b, const ceiling *c, int x, int y) // [m]
{
    double least = INFINITY;
    for (int k = 0; k < 9; k++) {
        const int dx = k / 3 - 1, dy = k % 3 - 1, p = x + dx, q = y + dy;
        if (k == 4 || p < 0 || q < 0 || p >= PLACES || q >= PLACES || !c->palm[p][q]) continue;
        const double away = hypot(dx * c->step.x, dy * c->step.z);
        least = fmin(least, fmax(c->z[p][q], b->bottom) + away / HW_STEEP);
    }
    return least;
}

// Vaulted: from every place a way at 45 degrees leads down to one of the palm's where the bed
// carries what is above.
static void vault(const hw_palm_build *b, ceiling *c)
{
    const double far = 1e3 * (b->to - b->from);
    double own[PLACES][PLACES];
    memcpy(own, c->z, sizeof own);
    note_palm(b, c);
    for (int i = 0; i < PLACES * PLACES; i++) {
        double *z = &c->z[i / PLACES][i % PLACES];
        if (*z > b->bottom) *z = far;
    }
    for (bool changed = true; changed;) {
        changed = false;
        for (int i = 0; i < PLACES * PLACES; i++) {
            const int x = i / PLACES, y = i % PLACES;
            if (!(c->z[x][y] > own[x][y]) || !(own[x][y] > b->bottom)) continue;
            const double z = fmax(own[x][y], held_at(b, c, x, y));
            changed = changed || z < c->z[x][y];
            c->z[x][y] = fmin(c->z[x][y], z);
        }
    }
    // between places the vault that is cut may be higher: a fifth of a step is what that took of
    // 20,000 points at random (measured, test/parts/test_palm_room.c), no bound
    const double more = 0.2 * hypot(c->step.x, c->step.z) / HW_STEEP;
    for (int i = 0; i < PLACES * PLACES; i++) {
        double *z = &c->z[i / PLACES][i % PLACES];
        if (*z > own[i / PLACES][i % PLACES]) *z += more;
    }
}

// The palm's plan behind the fingers' ground, as far as the thumb's side.
static hw_box3 plan_of(const hw_palm_parts_def *f)
{
    hw_box3 box = {{INFINITY, INFINITY, INFINITY}, {-INFINITY, -INFINITY, -INFINITY}};
    for (int i = 0; i < HW_PALM_LOOPS * HW_PALM_LOOP; i++) {
        const hw_vec3 *q = &f->outline[i / HW_PALM_LOOP][i % HW_PALM_LOOP];
        box.low = hw_at(fmin(box.low.x, q->x), fmin(box.low.y, q->y), fmin(box.low.z, q->z));
        box.high = hw_at(fmax(box.high.x, q->x), fmax(box.high.y, q->y), fmax(box.high.z, q->z));
    }
    return box;
}

// ---- blocks that stand for it -----------------------------------------------------------------

// Cells of the ceiling, from one up to but without another; what a block as high as the highest of
// them takes beyond them.
typedef struct cells {
    int low[2], high[2];
    double top, waste; // above the bed; of cells' area: [m]
} cells;

// How high the ceiling is above the bed over each cell: the highest of its corners.
static void tops_of(const ceiling *c, double bottom, double top[CELLS][CELLS]) // [m] [m]
{
    for (int x = 0; x < CELLS; x++)
        for (int y = 0; y < CELLS; y++) {
            double z = bottom;
            for (int k = 0; k < 4; k++) {
                const double corner = c->z[x + k / 2][y + k % 2];
                z = corner > z ? corner : z;
            }
            top[x][y] = z - bottom;
        }
}

// The highest of each line of cells square to an axis, and their sum.
static void lines_of(double top[CELLS][CELLS], const cells *of, int axis, double high[CELLS],
                     double sum[CELLS]) // [m]
{
    for (int i = of->low[axis]; i < of->high[axis]; i++) {
        high[i] = sum[i] = 0;
        for (int k = of->low[!axis]; k < of->high[!axis]; k++) {
            const double z = axis ? top[k][i] : top[i][k];
            high[i] = z > high[i] ? z : high[i];
            sum[i] += z;
        }
    }
}

// Cut in two where that saves most, along either side.
static void halve(double top[CELLS][CELLS], const cells *of, cells out[2]) // [m]
{
    double least = INFINITY, high[CELLS], sum[CELLS];
    for (int axis = 0; axis < 2; axis++) {
        const int from = of->low[axis], to = of->high[axis];
        const double wide = of->high[!axis] - of->low[!axis];
        double after[2][CELLS + 1]; // highest and sum from a line on
        lines_of(top, of, axis, high, sum);
        after[0][to] = after[1][to] = 0;
        for (int i = to - 1; i >= from; i--) {
            after[0][i] = fmax(high[i], after[0][i + 1]);
            after[1][i] = sum[i] + after[1][i + 1];
        }
        double most = 0, all = 0;
        for (int at = from + 1; at < to; at++) {
            most = fmax(most, high[at - 1]);
            all += sum[at - 1];
            const double waste[] = {most * wide * (at - from) - all,
                                    after[0][at] * wide * (to - at) - after[1][at]};
            if (!(waste[0] + waste[1] < least)) continue;
            least = waste[0] + waste[1];
            out[0] = out[1] = *of;
            out[0].high[axis] = out[1].low[axis] = at;
            out[0].top = most;
            out[1].top = after[0][at];
            for (int k = 0; k < 2; k++) out[k].waste = waste[k];
        }
    }
}

// The block that wastes most is cut in two until there are as many as there may be.
static size_t blocks_of(const ceiling *c, double bottom, cells out[HW_PALM_ROOM]) // [m]
{
    double top[CELLS][CELLS];
    size_t n = 1;
    tops_of(c, bottom, top);
    out[0] = (cells){.high = {CELLS, CELLS}, .waste = INFINITY};
    while (n < HW_PALM_ROOM) {
        size_t worst = 0;
        for (size_t i = 1; i < n; i++)
            if (out[i].waste > out[worst].waste) worst = i;
        // a millionth of a millimetre over one cell is rounding
        if (!(out[worst].waste > 1e-9)) break;
        cells two[2];
        halve(top, &out[worst], two);
        out[worst] = two[0];
        out[n++] = two[1];
    }
    return n;
}

size_t hw_palm_thumb_room(const hw_palm_parts_def *def, hw_body body[HW_PALM_ROOM])
{
    hw_palm_build b = {.f = def};
    if (!hw_palm_thumb_of(def, &b.thumb) || !b.thumb.held) return 0;
    const hw_box3 box = plan_of(def);
    b.from = box.low.x;
    b.to = box.high.x;
    b.bottom = box.low.z;
    ceiling c;
    ceiling_of(&b, &box, &c);
    vault(&b, &c);
    cells block[HW_PALM_ROOM];
    const size_t blocks = blocks_of(&c, b.bottom, block);
    size_t n = 0;
    for (size_t i = 0; i < blocks; i++) {
        const double high = fmin(block[i].top, box.high.z - b.bottom);
        if (!(high > 0)) continue;
        const int *low = block[i].low, *top = block[i].high;
        const hw_vec3 size = {(top[0] - low[0]) * c.step.x, (top[1] - low[1]) * c.step.z, high};
        hw_frame f = hw_frame_identity();
        f.at = hw_at(c.low.x + low[0] * c.step.x, c.low.z + low[1] * c.step.z, b.bottom);
        f.at = hw_vec3_along(f.at, 0.5, size);
        body[n++] = hw_body_box(f, size.x, size.y, size.z);
    }
    return n;
}

// ---- what is cut ------------------------------------------------------------------------------

// Round the bend, which stays near the axis, and below it.
static void put_core(hw_palm_build *b, hw_tools *t)
{
    const hw_palm_thumb *th = &b->thumb;
    const double g = b->f->gap, wide = th->journal + g, far = 2 * (b->to - b->from);
    double from = th->shoulder - g, to = sqrt(2) * th->elbow + g;
    hw_frame in = hw_thumb_upright(th);
    const hw_vec3 path[] = {hw_thumb_along(th, from), hw_thumb_along(th, to)};
    hw_put(t, hw_both(b->a, hw_field_drop(b->a, path, 2, wide, in.z),
                      hw_field_half(b->a, path[0], hw_vec3_times(th->in.z, -1))));
    // into the cap's room, so that no crack is left where both end
    hw_put(t, hw_field_box(b->a, &in, hw_at(from - g, -wide, -far), hw_at(to, wide, 0)));
}

// All that the lug for the rod passes over, its ends square to the axis.
static const hw_field *lug_room(hw_palm_build *b)
{
    const hw_palm_seat *s = &b->f->digit[0];
    const hw_palm_thumb *t = &b->thumb;
    const hw_frame in = hw_thumb_upright(t);
    const double g = 2 * b->f->gap, reach = hypot(t->eye.x, t->eye.y) + t->rim + g;
    hw_box3 box = {{t->shoulder - b->f->gap, INFINITY, INFINITY},
                   {t->eye.z + 0.5 * b->f->plate + g, -INFINITY, -INFINITY}};
    for (int i = 0; i <= POSES; i++) {
        double angle = s->splay[0] + (s->splay[1] - s->splay[0]) * i / POSES;
        hw_frame turned_by = hw_frame_turned(&t->in, s->splay_at, s->splay_axis, angle);
        hw_vec3 out = hw_frame_direction(&turned_by, hw_at(t->eye.x, t->eye.y, 0));
        hw_vec3 end = hw_vec3_along(t->in.at, reach, hw_vec3_unit(out));
        hw_vec3 p = hw_frame_seen(&in, end);
        box.low.y = fmin(box.low.y, fmin(p.y, 0) - t->rim - g);
        box.high.y = fmax(box.high.y, fmax(p.y, 0) + t->rim + g);
        box.low.z = fmin(box.low.z, fmin(p.z, 0));
        box.high.z = fmax(box.high.z, fmax(p.z, 0));
    }
    return hw_field_box(b->a, &in, box.low, box.high);
}

void hw_palm_thumb_bay(hw_palm_build *b)
{
    const hw_palm_seat *s = &b->f->digit[0];
    if (!b->thumb.held) return;
    hw_prism body[BODIES];
    bodies_of(b, body);
    hw_tools room = {.n = 0}, swept = {.n = 0};
    put_core(b, &room);
    if (s->levered) hw_put(&room, lug_room(b));
    for (int k = 0; k < POSES * BODIES; k++) {
        const hw_prism p = opposed(s, &body[k % BODIES], k / BODIES);
        const hw_field *below = hw_prism_fallen(b, &p, 1.5 * b->f->gap);
        // half opposed it comes in from the palm
        hw_put(k / BODIES == POSES / 2 && k % BODIES < 4 ? &room : &swept, below);
    }
    hw_put(&room,
           hw_field_cut(b->a, hw_joined(b->a, &swept), b->ahead)); // the fingers' ground stays
    put_flexed(b, &room);
    b->thumb.room = hw_joined(b->a, &room);
}
