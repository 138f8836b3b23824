// What servos leave of every sheath's family of ways.
#include "hand/fit_internal.h"

#include <math.h>
#include <string.h>

enum { SAMPLES = 64, RUN = 8, RUNS = SAMPLES / RUN }; // points along a way, in runs

static const double grain = 5e-5; // of a depth: 254 of them are as deep as it is told [m]

// A way as points along its middle, and the box round them.
typedef struct track {
    hw_vec3 at[SAMPLES], low, high; // [m]
    hw_vec3 run[RUNS][2];           // the box round each run [m]
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
        hw_vec3 *box = t->run[i / RUN];
        if (i % RUN == 0) box[0] = box[1] = *p;
        box[0] = (hw_vec3){fmin(box[0].x, p->x), fmin(box[0].y, p->y), fmin(box[0].z, p->z)};
        box[1] = (hw_vec3){fmax(box[1].x, p->x), fmax(box[1].y, p->y), fmax(box[1].z, p->z)};
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

hw_fitter *hw_fitter_of(hw_arena *a, const hw_hand *hand, size_t most)
{
    hw_fitter *f = HW_NEW(a, hw_fitter, 1);
    hw_strand *s = HW_NEW(a, hw_strand, HW_SHEATH_WAYS);
    hw_lay_way *way = HW_NEW(a, hw_lay_way, HW_LAY_FAMILY);
    hw_lay_bodies *palm = HW_NEW(a, hw_lay_bodies, 1);
    hw_lay_skin *skin = HW_NEW(a, hw_lay_skin, 1);
    if (!f || !s || !way || !palm || !skin) return NULL;
    *f = (hw_fitter){.hand = hand};
    f->strands = hand->places.routed ? hw_lay_strands(hand, s) : 0;
    f->track = HW_NEW(a, track, f->strands * HW_LAY_FAMILY + 1);
    if (!f->track) return NULL;
    stands(hand, palm);
    hw_lay_skin_of(&hand->palm, skin);
    palm->skin = skin;
    for (size_t i = 0; i < f->strands; i++) {
        f->far[i] = hand->drive[s[i].from->digit].sheath_outer / 2 + hand->gap;
        size_t all = hw_lay_family(hand, palm, &s[i], 0, way), n = all < most ? all : most;
        for (size_t k = 0; k < n; k++) track_of(&way[k * all / n].way, &f->track[f->first[i] + k]);
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
    for (int r = 0; r < RUNS; r++) {
        if (boxes_apart(t->run[r][0], t->run[r][1], box, far)) continue;
        for (int i = r * RUN; i < (r + 1) * RUN; i++) {
            double in = point_deep(b, t->at[i], far);
            if (in > deep) deep = in;
        }
    }
    return deep;
}

// How deep a place stands in every way of every family, in grains.
static void depths_of(const hw_fitter *f, const hw_pack_place *p, uint8_t out[])
{
    hw_vec3 box[HW_SERVO_BODIES + HW_PACK_LUGS][2];
    for (size_t b = 0; b < bodies_of(p); b++) hw_body_span(body_of(p, b), box[b]);
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

double hw_fit_lack(const hw_fitter *f, const hw_pack_place *const place[], size_t n)
{
    uint8_t sum[HW_SHEATH_WAYS * HW_LAY_FAMILY] = {0}, one[HW_SHEATH_WAYS * HW_LAY_FAMILY];
    double lack = 0;
    for (size_t i = 0; i < n && f->first[f->strands] > 0; i++) {
        depths_of(f, place[i], one);
        lack = least_of(f, sum, one, sum);
    }
    return lack;
}

void hw_fit_mark(const hw_fitter *f, const hw_pack_place *place, uint8_t mark[HW_PACK_MARKS])
{
    depths_of(f, place, mark);
}

double hw_fit_marked(const hw_fitter *f, const uint8_t *const mark[], size_t n)
{
    uint8_t sum[HW_PACK_MARKS] = {0};
    double lack = 0;
    for (size_t i = 0; i < n && f->first[f->strands] > 0; i++)
        lack = least_of(f, sum, mark[i], sum);
    return lack;
}
