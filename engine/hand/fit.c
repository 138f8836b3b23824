// A choice of places for all servos: each alone on a grid, then depth first through those lists,
// judged by what they leave of every sheath's family of ways.
#include "hand/fit_internal.h"

#include <math.h>
#include <string.h>

enum {
    SAMPLES = 64, // points along a way
    FOUND = 3000, // places of one servo
    KEPT = 600,   // of these
    NODES = 8000, // of the search below each place of the first servo
    ENOUGH = 12,  // choices
    UNKNOWN = 255 // of a pair
};

static const double grain = 5e-5; // of a depth: 254 of them are as deep as it is told [m]
// What few ways left and a long rod count beside a lack of a metre.
static const double few_price = 2e-4, rod_price = 1e-3; // [m] [1]

// A way as points along its middle, and the box round them.
typedef struct track {
    hw_vec3 at[SAMPLES], low, high; // [m]
} track;

struct hw_fitter {
    const hw_hand *hand;
    size_t strands, first[HW_SHEATH_WAYS + 1]; // ways of strand i: first[i] up to first[i + 1]
    double far[HW_SHEATH_WAYS];                // that a sheath's middle keeps to bodies [m]
    track *track;
};

static void track_of(const hw_route *way, track *t)
{
    hw_vec3 along;
    t->low = (hw_vec3){INFINITY, INFINITY, INFINITY};
    t->high = hw_vec3_times(t->low, -1);
    for (int i = 0; i < SAMPLES; i++) {
        hw_vec3 *p = &t->at[i];
        hw_route_at(way, way->length * i / (SAMPLES - 1), p, &along);
        t->low = (hw_vec3){fmin(t->low.x, p->x), fmin(t->low.y, p->y), fmin(t->low.z, p->z)};
        t->high = (hw_vec3){fmax(t->high.x, p->x), fmax(t->high.y, p->y), fmax(t->high.z, p->z)};
    }
}

// What stands wherever the servos do: carriers, the thumb's base and its bearing.
static void stands(const hw_hand *hand, hw_lay_bodies *out)
{
    out->n = 0;
    hw_lay_palm(hand, out);
    if (!hand->present[HW_THUMB] || !hand->places.mover[HW_THUMB].driven) return;
    hw_pack_lug lug;
    hw_hand_lug(hand, HW_THUMB, hand->places.mover[HW_THUMB].item.lever.end, &lug);
    for (size_t i = lug.hooked; i < lug.n; i++) hw_lay_put(out, lug.body[i], HW_THUMB);
}

hw_fitter *hw_fitter_of(hw_arena *a, const hw_hand *hand)
{
    hw_fitter *f = HW_NEW(a, hw_fitter, 1);
    hw_strand *s = HW_NEW(a, hw_strand, HW_SHEATH_WAYS);
    hw_lay_way *way = HW_NEW(a, hw_lay_way, HW_LAY_FAMILY);
    hw_lay_bodies *palm = HW_NEW(a, hw_lay_bodies, 1);
    if (!f || !s || !way || !palm) return NULL;
    *f = (hw_fitter){.hand = hand};
    f->strands = hand->places.routed ? hw_lay_strands(hand, s) : 0;
    f->track = HW_NEW(a, track, f->strands * HW_LAY_FAMILY + 1);
    if (!f->track) return NULL;
    stands(hand, palm);
    for (size_t i = 0; i < f->strands; i++) {
        f->far[i] = hand->drive[s[i].from->digit].sheath_outer / 2 + hand->gap;
        size_t n = hw_lay_family(hand, palm, &s[i], 0, way);
        for (size_t k = 0; k < n; k++) track_of(&way[k].way, &f->track[f->first[i] + k]);
        f->first[i + 1] = f->first[i] + n;
    }
    return f;
}

// ---- depths

// A place's bodies and those of the lug that its rod hooks in.
static size_t bodies_of(const hw_pack_place *p)
{
    return HW_SERVO_BODIES + p->lug.hooked;
}

static const hw_body *body_of(const hw_pack_place *p, size_t i)
{
    return i < HW_SERVO_BODIES ? &p->body[i] : &p->lug.body[i - HW_SERVO_BODIES];
}

// How far beyond a slab a coordinate lies, negative inside. Plain comparisons: the innermost loop.
static double beyond(hw_vec3 d, hw_vec3 axis, double half) // [m] [1] [m]
{
    double v = hw_vec3_dot(d, axis);
    return (v < 0 ? -v : v) - half;
}

static double above_0(double v) // [m]
{
    return v > 0 ? v : 0;
}

// How deep a ball of radius `far` stands in a box or a capsule. [m]
static double point_deep(const hw_body *b, hw_vec3 p, double far)
{
    hw_vec3 d = hw_vec3_sub(p, b->frame.at);
    const bool capsule = b->kind == HW_BODY_CAPSULE;
    double x = beyond(d, b->frame.x, capsule ? 0 : b->half.x);
    double y = beyond(d, b->frame.y, capsule ? 0 : b->half.y), z = beyond(d, b->frame.z, b->half.z);
    double in = x > y ? x : y, round = capsule ? b->half.x : 0;
    in = in > z ? in : z;
    if (in < 0) return far + round - in;
    x = above_0(x);
    y = above_0(y);
    z = above_0(z);
    return above_0(far + round - sqrt(x * x + y * y + z * z));
}

static bool boxes_apart(hw_vec3 low, hw_vec3 high, const hw_vec3 box[2], double far) // [m]
{
    return low.x - far > box[1].x || high.x + far < box[0].x || low.y - far > box[1].y ||
           high.y + far < box[0].y || low.z - far > box[1].z || high.z + far < box[0].z;
}

static double track_deep(const track *t, const hw_body *b, const hw_vec3 box[2], double far) // [m]
{
    double deep = 0;
    if (boxes_apart(t->low, t->high, box, far)) return 0;
    for (int i = 0; i < SAMPLES; i++) {
        if (boxes_apart(t->at[i], t->at[i], box, far)) continue;
        double in = point_deep(b, t->at[i], far);
        if (in > deep) deep = in;
    }
    return deep;
}

static void box_round(const hw_body *b, hw_vec3 box[2])
{
    const hw_vec3 x = {1, 0, 0}, y = {0, 1, 0}, z = {0, 0, 1};
    box[1] = (hw_vec3){hw_body_reach(b, x), hw_body_reach(b, y), hw_body_reach(b, z)};
    box[0] = hw_vec3_along(hw_vec3_times(b->frame.at, 2), -1, box[1]);
}

// How deep a place stands in every way of every family, in grains.
static void depths_of(const hw_fitter *f, const hw_pack_place *p, uint8_t out[])
{
    hw_vec3 box[HW_SERVO_BODIES + HW_PACK_LUGS][2];
    for (size_t b = 0; b < bodies_of(p); b++) box_round(body_of(p, b), box[b]);
    for (size_t i = 0; i < f->strands; i++)
        for (size_t k = f->first[i]; k < f->first[i + 1]; k++) {
            double deep = 0;
            for (size_t b = 0; b < bodies_of(p); b++)
                deep = fmax(deep, track_deep(&f->track[k], body_of(p, b), box[b], f->far[i]));
            out[k] = (uint8_t)fmin(ceil(deep / grain), UINT8_MAX);
        }
}

// Depths of two together in `out`; the sum over sheaths of each one's least.
static double least_of(const hw_fitter *f, const uint8_t a[], const uint8_t b[],
                       uint8_t out[]) // [m]
{
    unsigned sum = 0;
    for (size_t i = 0; i < f->strands; i++) {
        unsigned least = f->first[i] < f->first[i + 1] ? UINT8_MAX : 0;
        for (size_t k = f->first[i]; k < f->first[i + 1]; k++) {
            unsigned both = (unsigned)a[k] + b[k];
            both = both < UINT8_MAX ? both : UINT8_MAX;
            out[k] = (uint8_t)both;
            least = both < least ? both : least;
        }
        sum += least;
    }
    return sum * grain;
}

double hw_fit_lack(const hw_fitter *f, const hw_pack_place place[], size_t n)
{
    uint8_t sum[HW_SHEATH_WAYS * HW_LAY_FAMILY] = {0}, one[HW_SHEATH_WAYS * HW_LAY_FAMILY];
    double lack = 0;
    for (size_t i = 0; i < n && f->first[f->strands] > 0; i++) {
        depths_of(f, &place[i], one);
        lack = least_of(f, sum, one, sum);
    }
    return lack;
}

// ---- lists of places

typedef struct candidate {
    hw_pack_place place;
    double worth; // the less the better [m]
    uint8_t *deep;
} candidate;

typedef struct searcher {
    const hw_fitter *f;
    const hw_job *job;
    size_t movers, order[HW_DIGITS]; // who has the fewest places first
    candidate *from[HW_DIGITS];
    size_t n[HW_DIGITS];
    uint8_t *pair[HW_DIGITS][HW_DIGITS]; // what two places lack beside each other, in grains
    uint8_t *deep[HW_DIGITS + 1];        // of those that are placed, after each
    int at[HW_DIGITS], (*found)[HW_DIGITS];
    hw_fit_choice *out;
    size_t choices;
    double most; // what lacks as much is not looked at [m]
    long nodes;
} searcher;

// What it lacks, its rod, and where it leaves few of a sheath's ways a little for that.
static double worth_of(const hw_fitter *f, const hw_pack_place *p, const uint8_t none[],
                       uint8_t deep[]) // [m]
{
    depths_of(f, p, deep);
    double worth = fmax(-p->room, 0) + rod_price * p->rod + least_of(f, none, deep, deep);
    for (size_t i = 0; i < f->strands; i++) {
        size_t all = f->first[i + 1] - f->first[i], left = 1;
        for (size_t k = f->first[i]; k < f->first[i + 1]; k++) left += deep[k] == 0;
        worth -= few_price * log((double)left / (double)(all + 1));
    }
    return worth;
}

// The best KEPT of one servo's places, the best first.
static hw_code keep_best(hw_arena *a, searcher *s, size_t mover, const hw_pack_place place[],
                         size_t found)
{
    const size_t ways = s->f->first[s->f->strands];
    double *worth = HW_NEW(a, double, found + 1);
    size_t *order = HW_NEW(a, size_t, found + 1);
    uint8_t *none = HW_NEW(a, uint8_t, ways + 1), *deep = HW_NEW(a, uint8_t, ways + 1);
    size_t n = found < KEPT ? found : KEPT;
    candidate *out = s->from[mover] = HW_NEW(a, candidate, n + 1);
    if (!worth || !order || !none || !deep || !out) return HW_NO_MEMORY;
    memset(none, 0, ways + 1);
    for (size_t i = 0; i < found; i++) {
        if (i % 16 == 0 && !hw_job_go_on(s->job, (double)i / (double)found, "places"))
            return HW_CANCELLED;
        worth[i] = worth_of(s->f, &place[i], none, deep);
        size_t k = i;
        for (; k > 0 && worth[i] < worth[order[k - 1]]; k--) order[k] = order[k - 1];
        order[k] = i;
    }
    for (size_t i = 0; i < n; i++) {
        out[i] = (candidate){place[order[i]], worth[order[i]], HW_NEW(a, uint8_t, ways + 1)};
        if (!out[i].deep) return HW_NO_MEMORY;
        depths_of(s->f, &out[i].place, out[i].deep);
    }
    s->n[mover] = n;
    return HW_OK;
}

static double lack_beside(const searcher *s, const hw_pack_place *p, const hw_pack_place *q) // [m]
{
    const double gap = s->f->hand->gap;
    double least = gap;
    for (size_t a = 0; a < bodies_of(p); a++)
        for (size_t b = 0; b < bodies_of(q); b++)
            least = fmin(least, hw_body_clear(body_of(p, a), body_of(q, b), fmax(least, 0)));
    return gap - least;
}

// Looked up, or measured once.
static double pair_lack(searcher *s, size_t i, int a, size_t k, int b) // [m]
{
    if (k < i) return pair_lack(s, k, b, i, a);
    uint8_t *at = &s->pair[i][k][(size_t)a * s->n[k] + (size_t)b];
    if (*at == UNKNOWN) {
        double lack = lack_beside(s, &s->from[i][a].place, &s->from[k][b].place);
        *at = (uint8_t)fmin(ceil(lack / grain), UNKNOWN - 1);
    }
    return *at * grain;
}

static bool prepare(hw_arena *a, searcher *s)
{
    const size_t ways = s->f->first[s->f->strands];
    s->found = hw_arena_alloc(a, HW_FIT_CHOICES, sizeof *s->found, _Alignof(int));
    if (!s->found) return false;
    for (size_t i = 0; i <= s->movers; i++) {
        s->deep[i] = HW_NEW(a, uint8_t, ways + 1);
        if (!s->deep[i]) return false;
    }
    memset(s->deep[0], 0, ways + 1);
    for (size_t i = 0; i < s->movers; i++) {
        size_t at = i;
        for (; at > 0 && s->n[s->order[at - 1]] > s->n[i]; at--) s->order[at] = s->order[at - 1];
        s->order[at] = i;
        for (size_t k = i + 1; k < s->movers; k++) {
            size_t n = s->n[i] * s->n[k] + 1;
            s->pair[i][k] = HW_NEW(a, uint8_t, n);
            if (!s->pair[i][k]) return false;
            memset(s->pair[i][k], UNKNOWN, n);
        }
    }
    return true;
}

// ---- choices

// Whether all servos of two choices stand alike, and near each other.
static bool alike(const searcher *s, const int p[], const int q[])
{
    for (size_t i = 0; i < s->movers; i++) {
        const hw_servo_slot *a = &s->from[i][p[i]].place.slot, *b = &s->from[i][q[i]].place.slot;
        if (a->shaft != b->shaft || a->body != b->body) return false;
        double far = hw_vec3_norm(hw_vec3_sub(a->at, b->at));
        if (far > s->f->hand->palm.length / 12) return false;
    }
    return true;
}

// In the place of one alike that lacks more, in a free one, or in that of the worst.
static void keep(searcher *s, double lack) // [m]
{
    size_t worst = 0, at = s->choices;
    for (size_t i = 0; i < s->choices; i++) {
        if (s->out[i].lack > s->out[worst].lack) worst = i;
        if (at < s->choices || !alike(s, s->found[i], s->at)) continue;
        if (s->out[i].lack <= lack) return;
        at = i;
    }
    if (at == s->choices && at == HW_FIT_CHOICES) at = worst;
    if (at == s->choices) s->choices++;
    s->out[at].lack = lack;
    memcpy(s->found[at], s->at, sizeof s->at);
    if (s->choices < HW_FIT_CHOICES) return;
    s->most = 0;
    for (size_t i = 0; i < s->choices; i++) s->most = fmax(s->most, s->out[i].lack);
}

// Depth first; false: asked to stop.
static bool search(searcher *s, size_t level, double own) // [m]
{
    const size_t i = s->order[level];
    for (size_t c = 0; c < s->n[i]; c++) {
        if (level == 0) {
            s->nodes = NODES;
            if (!hw_job_go_on(s->job, (double)c / (double)s->n[i], "choices")) return false;
        }
        const candidate *one = &s->from[i][c];
        double lack = own + fmax(-one->place.room, 0) + rod_price * one->place.rod;
        for (size_t k = 0; k < level && lack < s->most; k++)
            lack += pair_lack(s, i, (int)c, s->order[k], s->at[s->order[k]]);
        if (!(lack < s->most)) continue;
        if (s->nodes-- < 0) return true;
        double all = lack + least_of(s->f, s->deep[level], one->deep, s->deep[level + 1]);
        if (!(all < s->most)) continue;
        s->at[i] = (int)c;
        if (level + 1 == s->movers)
            keep(s, all);
        else if (!search(s, level + 1, lack))
            return false;
    }
    return true;
}

static void sort_choices(searcher *s)
{
    for (size_t i = 0; i < s->choices; i++)
        for (size_t k = 0; k < s->movers; k++)
            s->out[i].place[k] = s->from[k][s->found[i][k]].place;
    for (size_t i = 1; i < s->choices; i++)
        for (size_t k = i; k > 0 && s->out[k].lack < s->out[k - 1].lack; k--) {
            hw_fit_choice t = s->out[k];
            s->out[k] = s->out[k - 1];
            s->out[k - 1] = t;
        }
}

hw_code hw_fit_choices(hw_arena *a, const hw_fitter *f, const hw_pack_def *def, const hw_job *job,
                       hw_fit_choice out[HW_FIT_CHOICES], size_t *n)
{
    *n = 0;
    searcher *s = HW_NEW(a, searcher, 1);
    hw_pack_place *place = HW_NEW(a, hw_pack_place, FOUND);
    if (!s || !place || def->items > HW_DIGITS) return HW_NO_MEMORY;
    *s = (searcher){.f = f, .job = job, .movers = def->items, .out = out};
    for (size_t i = 0; i < s->movers; i++) {
        size_t found = 0;
        hw_code code = hw_pack_alone(def, i, def->step, job, place, FOUND, &found);
        if (code == HW_OK) code = keep_best(a, s, i, place, found);
        if (code != HW_OK) return code;
        if (found == 0) return HW_OK;
    }
    if (!prepare(a, s)) return HW_NO_MEMORY;
    // wider as long as too few are found
    const double length = f->hand->palm.length;
    for (double most = length / 160; s->choices < ENOUGH && most < length / 4; most *= 1.5) {
        s->most = most;
        if (!search(s, 0, 0)) return HW_CANCELLED;
    }
    sort_choices(s);
    *n = s->choices;
    return HW_OK;
}
