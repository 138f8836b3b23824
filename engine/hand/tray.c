// A stand-in for the palm's tray that a search may ask thousands of times a second.
#include "hand/tray_internal.h"

#include "parts/palm.h"

#include <math.h>
#include <string.h>

enum { SOLID = 1, BAY = 2 }; // of a cell
enum { COARSE = 8, WAYS = 6, ACROSS = 4, ALONG = 6, ROOMS = 24 };

static const double cells = 160;   // along the palm [1]
static const double wanted = 8;    // area, in what a rod asks [1]
static const double priced = 0.02; // nothing before one way, in lengths of the palm [1]

typedef struct room {
    double low[3], high[3]; // open to the back: its top is that of what stands in it [m]
} room;

struct hw_tray {
    const hw_hand *hand;
    double gap, off, deep;    // beside a servo; where it is looked at, and behind that [m]
    double rod, split, price; // [m]
    double back, bridge;      // highest that a lid's ceiling may rise; what it may span level [m]
    double thin;              // highest that the lid may begin [m]
    double asked;             // area for a pull [m2/N]
    hw_vec3 low;
    double step; // [m]
    size_t n[3];
    uint8_t *cell; // SOLID, BAY: what carriers and yokes leave free, or lies before them
    double above;  // how far rooms go on to the back [m]
    double top;    // of the cells, the last one's middle [m]
};

// ---- cells

static hw_vec3 middle_of(const hw_tray *t, const size_t at[3], double edge) // [m]
{
    return (hw_vec3){t->low.x + ((double)at[0] + edge / 2) * t->step,
                     t->low.y + ((double)at[1] + edge / 2) * t->step,
                     t->low.z + ((double)at[2] + edge / 2) * t->step};
}

// A cube of cells: all alike where the field at its middle is farther from 0 than its corners are.
static void fill(hw_tray *t, const hw_field *f, const size_t at[3], size_t edge, uint8_t bit)
{
    const double v = hw_field_at(f, middle_of(t, at, (double)edge));
    if (edge > 1 && !(fabs(v) > sqrt(3) / 2 * (double)edge * t->step)) {
        const size_t half = edge / 2;
        for (size_t k = 0; k < 8; k++) {
            size_t part[3] = {at[0] + (k & 1) * half, at[1] + (k >> 1 & 1) * half,
                              at[2] + (k >> 2) * half};
            fill(t, f, part, half, bit);
        }
        return;
    }
    for (size_t x = at[0]; v < 0 && x < at[0] + edge && x < t->n[0]; x++)
        for (size_t y = at[1]; y < at[1] + edge && y < t->n[1]; y++)
            for (size_t z = at[2]; z < at[2] + edge && z < t->n[2]; z++)
                t->cell[(x * t->n[1] + y) * t->n[2] + z] |= bit;
}

static hw_code fill_all(hw_tray *t, const hw_field *f, const hw_field *bay, const hw_job *job)
{
    for (size_t x = 0; x < t->n[0]; x += COARSE) {
        if (!hw_job_go_on(job, 0, "tray")) return HW_CANCELLED;
        for (size_t y = 0; y < t->n[1]; y += COARSE)
            for (size_t z = 0; z < t->n[2]; z += COARSE) {
                const size_t at[3] = {x, y, z};
                fill(t, f, at, COARSE, SOLID);
                if (bay) fill(t, bay, at, COARSE, BAY);
            }
    }
    return HW_OK;
}

hw_code hw_tray_of(hw_arena *a, const hw_design *d, const hw_hand *hand, const hw_job *job,
                   hw_tray **out)
{
    hw_tray *t = HW_NEW(a, hw_tray, 1);
    hw_palm_parts_def *def = HW_NEW(a, hw_palm_parts_def, 1);
    *out = NULL;
    if (!t || !def) return HW_NO_MEMORY;
    hw_hand_palm_parts(d, hand, def);
    const hw_field *bay, *f = hw_palm_block(a, def, &bay);
    hw_vec3 high;
    *t = (hw_tray){.hand = hand, .gap = def->gap, .off = def->gap + hand->line / 2};
    if (hw_arena_failed(a)) return HW_NO_MEMORY;
    if (!f || !hw_field_reach(f, &t->low, &high)) return HW_OK;
    t->deep = def->wall / 2;
    t->rod = hw_design_value(d, hw_entry_of(HW_E_PALM_ROD, -1));
    t->price = priced * hand->palm.length;
    t->asked = 2 / fmin(hand->strength, hand->strength_across);
    t->split = def->outline[0][0].z;
    t->bridge = 0.9 * def->bridge;
    t->back = hw_hand_back(&hand->palm);
    t->thin = t->back - HW_LID_WALLS * def->wall;
    t->back -= t->deep;
    t->step = hand->palm.length / cells;
    const double reach[3] = {high.x - t->low.x, high.y - t->low.y, high.z - t->low.z};
    for (int i = 0; i < 3; i++) t->n[i] = (size_t)(reach[i] / t->step) + 1;
    t->above = reach[2];
    t->top = t->low.z + ((double)t->n[2] - 0.5) * t->step;
    t->cell = HW_NEW(a, uint8_t, t->n[0] * t->n[1] * t->n[2]);
    if (!t->cell) return HW_NO_MEMORY;
    *out = t;
    return fill_all(t, f, bay, job);
}

static unsigned cell_at(const hw_tray *t, hw_vec3 p)
{
    const double v[3] = {(p.x - t->low.x) / t->step, (p.y - t->low.y) / t->step,
                         (p.z - t->low.z) / t->step};
    size_t at[3];
    for (int i = 0; i < 3; i++) {
        if (!(v[i] >= 0 && v[i] < (double)t->n[i])) return 0;
        at[i] = (size_t)v[i];
    }
    return t->cell[(at[0] * t->n[1] + at[1]) * t->n[2] + at[2]];
}

// ---- rooms

typedef struct tray_with {
    const hw_tray *t;
    room of[HW_DIGITS * ROOMS];
    size_t n;
    double split; // [m]
} tray_with;

static void widen(room *r, hw_vec3 p, double by) // [m]
{
    const double v[3] = {p.x, p.y, p.z};
    for (int i = 0; i < 3; i++) {
        r->low[i] = fmin(r->low[i], v[i] - by);
        r->high[i] = fmax(r->high[i], v[i] + by);
    }
}

static const room nowhere = {{INFINITY, INFINITY, INFINITY}, {-INFINITY, -INFINITY, -INFINITY}};

static void put_body(tray_with *w, const hw_body *b, double by, bool on) // [m]
{
    room *r = &w->of[on ? w->n - 1 : w->n++];
    if (!on) *r = nowhere;
    hw_vec3 at[2];
    hw_body_span(b, at);
    widen(r, at[0], by);
    widen(r, at[1], by);
}

// A servo's ears, each as far as its case (parts/palm_pocket.c).
static void put_ears(tray_with *w, const hw_pack_place *p, double by) // [m]
{
    put_body(w, &p->body[HW_SERVO_CASE], by, false);
    const room body = w->of[--w->n];
    put_body(w, &p->body[HW_SERVO_EARS], by, false);
    room *one = &w->of[w->n - 1], *other = &w->of[w->n++];
    *other = *one;
    for (int i = 0; i < 3; i++) {
        if (!(one->low[i] < body.low[i])) continue;
        one->high[i] = body.low[i];
        other->low[i] = body.high[i];
        break;
    }
}

// The rod at three moments: its lever turned to both sides, and the horn that way which keeps its
// length better.
static void put_rod(tray_with *w, const hw_pack_item *x, const hw_pack_place *p)
{
    const hw_palm *palm = &w->t->hand->palm;
    const int digit = x->lever.owner;
    const double *range = digit == HW_THUMB ? palm->opposition : palm->digit[digit].splay;
    const double middle = digit == HW_THUMB ? (range[0] + range[1]) / 2 : 0;
    hw_frame end = hw_frame_identity(), horn = end;
    const hw_vec3 shaft = hw_vec3_along(p->frame.at, x->shape.spline, p->frame.z);
    end.at = x->lever.end;
    horn.at = hw_vec3_along(shaft, x->shape.horn_hole, hw_way_vector(p->slot.horn));
    for (int k = 0; k < 3; k++) {
        hw_vec3 tip = end.at, hole = horn.at;
        if (k < 2) {
            tip = hw_frame_turned(&end, x->lever.at, x->lever.axis, range[k] - middle).at;
            hw_vec3 to[2];
            double off[2];
            for (int s = 0; s < 2; s++) {
                double by = s ? x->shape.horn_turns : -x->shape.horn_turns;
                to[s] = hw_frame_turned(&horn, shaft, p->frame.z, by).at;
                off[s] = fabs(hw_vec3_norm(hw_vec3_sub(tip, to[s])) - p->rod);
            }
            hole = to[off[1] < off[0]];
        }
        room *r = &w->of[w->n++];
        *r = nowhere;
        widen(r, tip, w->t->rod / 2 + 2 * w->t->gap);
        widen(r, hole, w->t->rod / 2 + 2 * w->t->gap);
    }
}

// Adds to a room what is left between it and the bay where that is less than half a wall
// (parts/palm_pocket.c).
static void open_to_bay(tray_with *w, size_t which)
{
    enum { WIDE = 7, HIGH = 9 };
    const hw_tray *t = w->t;
    const room r = w->of[which];
    const double up = r.high[2] + t->above - r.low[2], wide = (r.high[1] - r.low[1]) / WIDE;
    bool last = false;
    for (int across = 0; across < WIDE; across++) {
        bool near = false;
        for (int row = 0; row < HIGH && !near; row++) {
            const double z = r.low[2] + (0.02 + 0.6 * row / (HIGH - 1)) * up;
            const hw_vec3 at = {r.high[0] + t->deep + t->step, r.low[1] + (across + 0.5) * wide,
                                fmin(z, t->top)};
            near = cell_at(t, at) & BAY;
        }
        const double low = r.low[1] + across * wide;
        if (near && last)
            w->of[w->n - 1].high[1] = low + wide;
        else if (near && w->n < sizeof w->of / sizeof w->of[0])
            w->of[w->n++] =
                (room){{r.high[0], low, r.low[2]}, {r.high[0] + t->deep, low + wide, r.high[2]}};
        last = near;
    }
}

static void rooms_of(const hw_tray *t, const hw_pack_item *const item[],
                     const hw_pack_place *const place[], size_t n, tray_with *w)
{
    w->t = t;
    w->split = t->split;
    w->n = 0;
    for (size_t i = 0; i < n; i++) {
        const hw_pack_place *p = place[i];
        for (int b = 0; b < HW_SERVO_ROD; b++)
            if (b == HW_SERVO_EARS)
                put_ears(w, p, t->gap);
            else
                put_body(w, &p->body[b], t->gap, false);
        put_rod(w, item[i], p);
        for (size_t k = 0; k < p->lug.hooked; k++) put_body(w, &p->lug.body[k], t->gap, k > 0);
        w->split = fmax(w->split, hw_hand_lid_over(p, t->gap, t->thin));
    }
    const size_t rooms = w->n;
    for (size_t i = 0; i < rooms; i++) open_to_bay(w, i);
}

static bool is_solid(const tray_with *w, hw_vec3 p)
{
    if (!(p.z < w->split)) return false;
    for (size_t i = 0; i < w->n; i++) {
        const room *r = &w->of[i];
        if (p.z > r->low[2] && p.x > r->low[0] && p.x < r->high[0] && p.y > r->low[1] &&
            p.y < r->high[1])
            return false;
    }
    return cell_at(w->t, p) & SOLID;
}

// The rooms that come near a place's case and ears.
static void rooms_near(const tray_with *all, const hw_pack_place *p, tray_with *w)
{
    tray_with own;
    own.n = 0;
    put_body(&own, &p->body[HW_SERVO_CASE], all->t->off + all->t->deep, false);
    put_body(&own, &p->body[HW_SERVO_EARS], all->t->off + all->t->deep, true);
    w->t = all->t;
    w->split = all->split;
    w->n = 0;
    for (size_t i = 0; i < all->n; i++) {
        const room *r = &all->of[i], *o = &own.of[0];
        if (r->low[0] < o->high[0] && r->high[0] > o->low[0] && r->low[1] < o->high[1] &&
            r->high[1] > o->low[1])
            w->of[w->n++] = *r;
    }
}

// ---- what holds

// The area before one face, no farther than `enough`.
static double face(const tray_with *w, const hw_frame *f, const hw_servo_block *b, int way,
                   double enough) // [m2] [m2]
{
    const int axis = way / 2, u = (axis + 1) % 3, v = (axis + 2) % 3;
    const double across = b->high[u] - b->low[u], along = b->high[v] - b->low[v];
    int n[2] = {across < along ? ACROSS : ALONG, across < along ? ALONG : ACROSS}, held = 0;
    const double cell = across * along / (n[0] * n[1]);
    for (int i = 0; i < n[0]; i++)
        for (int k = 0; k < n[1] && cell * held < enough; k++) {
            double at[3], side = way % 2 ? 1 : -1;
            at[axis] = (way % 2 ? b->high[axis] : b->low[axis]) + side * w->t->off;
            at[u] = b->low[u] + across * (i + 0.5) / n[0];
            at[v] = b->low[v] + along * (k + 0.5) / n[1];
            if (!is_solid(w, hw_frame_point(f, (hw_vec3){at[0], at[1], at[2]}))) continue;
            at[axis] += side * w->t->deep;
            held += is_solid(w, hw_frame_point(f, (hw_vec3){at[0], at[1], at[2]}));
        }
    return cell * held;
}

static int lid_of(const hw_frame *f)
{
    const double out[WAYS] = {-f->x.z, f->x.z, -f->y.z, f->y.z, -f->z.z, f->z.z};
    int lid = 0;
    for (int k = 1; k < WAYS; k++)
        if (out[k] > out[lid]) lid = k;
    return lid;
}

// No farther than `enough`.
static double area(const tray_with *w, const hw_pack_item *x, const hw_pack_place *p, int way,
                   double enough) // [m2]
{
    hw_servo_block b[HW_SERVO_BLOCKS];
    double sum = 0;
    hw_servo_blocks(&x->shape, b);
    for (int i = 0; i < HW_SERVO_BLOCKS && sum < enough; i++)
        sum += face(w, &p->frame, &b[i], way, enough - sum);
    return sum;
}

// Whether the screw of an ear bites in what is below it (parts/palm_hold.h): two of its diameters
// and more of its four, all round. Only one that is driven from the back is looked at.
static bool bites(const tray_with *w, const hw_pack_item *x, const hw_pack_place *p, int ear)
{
    enum { ROUND = 8, SLICES = 8 };
    const hw_servo_shape *s = &x->shape;
    const double over = (s->ear_span - s->length) / 2;
    const double bore = fmin(0.4 * s->ear_thickness, 0.25 * over);
    int full = 0;
    for (int i = 0; i < SLICES && bore > 0 && p->frame.z.z > 0.5; i++) {
        hw_vec3 at = {ear ? s->length - s->shaft_at + over / 2 : -s->shaft_at - over / 2, 0,
                      s->ear_at - s->height - 8 * bore * (i + 0.5) / SLICES};
        int in = 0;
        for (int k = 0; k < ROUND && in == k; k++) {
            const double turn = 2 * HW_PI * k / ROUND;
            const hw_vec3 q = {at.x + 2 * bore * cos(turn), 2 * bore * sin(turn), at.z};
            in += is_solid(w, hw_frame_point(&p->frame, q));
        }
        full += in == ROUND;
    }
    return 2 * full > SLICES;
}

double hw_tray_area(const hw_tray *t, const hw_pack_item *const item[],
                    const hw_pack_place *const place[], size_t n, size_t which, int way)
{
    tray_with w;
    rooms_of(t, item, place, n, &w);
    if (way == lid_of(&place[which]->frame)) return (double)NAN;
    return area(&w, item[which], place[which], way, INFINITY);
}

// How much too high the lid's ceilings over a servo rise: at 45 degrees until the rest is bridged.
static double ceiling(const tray_with *w, const hw_pack_place *p) // [m]
{
    static const int stands[] = {HW_SERVO_CASE, HW_SERVO_EARS, HW_SERVO_HORN};
    double out = 0;
    for (int k = 0; k < 3; k++) {
        hw_vec3 at[2];
        hw_body_span(&p->body[stands[k]], at);
        const double gap = w->t->gap, high = at[1].z + gap;
        if (!(high > w->split)) continue;
        double across = fmin(at[1].x - at[0].x, at[1].y - at[0].y) + 2 * gap;
        out = fmax(out, high + fmax(across - w->t->bridge, 0) / 2 - w->t->back);
    }
    return out;
}

double hw_tray_lacks(const hw_tray *t, const hw_pack_item *const item[],
                     const hw_pack_place *const place[], size_t n)
{
    tray_with all, w;
    double sum = 0;
    rooms_of(t, item, place, n, &all);
    for (size_t i = 0; i < n; i++) {
        const hw_mover *m = &t->hand->places.mover[item[i]->lever.owner];
        const double pull = m->line.stall_torque / item[i]->shape.horn_hole;
        const double enough = wanted * t->asked * pull;
        const int lid = lid_of(&place[i]->frame);
        rooms_near(&all, place[i], &w);
        double lacks = 0;
        sum += ceiling(&all, place[i]);
        for (int k = 0; k < WAYS; k++) {
            if (k == lid) continue;
            double has = area(&w, item[i], place[i], k, enough);
            lacks += t->price * fmax(1 - has / enough, 0);
        }
        if (lacks > 0 && bites(&w, item[i], place[i], 0) && bites(&w, item[i], place[i], 1))
            continue;
        sum += lacks;
    }
    return sum;
}
