// What holds the front of the palm's lid: lips of the tray that stand up through slots of the lid
// and lean back over its material by 45 degrees. The lid is put down a little behind its place and
// pushed toward the fingers, then its screws keep it there. Nothing of it hangs: lips lean by
// less than 45 degrees, and the lid's slots go through its back.
#include "parts/palm_internal.h"

// Of the tray's wall. [1]
#define LONG   0.7  // a lip's stem along the hand
#define WIDE   1.6  // across it, at most
#define SLIM   0.5  // at least
#define STEM   0.15 // height that is upright, so that the lid's edge below it is no feather
#define LEAN   0.4  // how far it leans over the lid
#define TIP    0.12 // height of its blunt end
#define ROOT   1.6  // how deep below the lid's plane it stands in what is solid
#define APART  6.0  // along the hand from the lid's foremost screw
#define STEP   0.25 // of the search
#define OUTER  0.5  // what lying apart is worth
#define FULLER 4.0  // what width is worth, over what lies farther forward

static double top_of(const hw_palm_build *b)
{
    return (STEM + LEAN / HW_STEEP + TIP) * b->f->wall;
}

double hw_hook_slide(const hw_palm_build *b)
{
    return LEAN * b->f->wall + 2 * b->f->gap;
}

// What a lip is looked for in.
typedef struct seen {
    hw_palm_build *b;
    const hw_field *tray, *rooms, *lid, *whole; // without lips and slots
    const hw_field *body;                       // what the tray may fill
} seen;

static bool inside(const hw_field *f, double x, double y, double z) // [m] [m] [m]
{
    return hw_field_at(f, hw_at(x, y, z)) < 0;
}

// Whether a lip could stand across this line along the hand: solid below it, nothing in its way,
// the lid below its lean, the back over its tip.
static bool stands(const seen *v, double x, double y) // [m] [m]
{
    enum { ALONG = 4, UP = 4 };
    const double w = v->b->f->wall, split = v->b->f->split;
    for (int i = 0; i <= ALONG; i++) {
        const double at = x + LONG * w * i / ALONG, behind = x - (LEAN + 0.8) * w * i / ALONG;
        if (!inside(v->tray, at, y, split - ROOT * w)) return false;
        for (int k = 0; k <= UP; k++) {
            const double down = 0.05 * w + ROOT * w * k / UP;
            const hw_vec3 p = {at, y, split - down};
            if (!inside(v->body, p.x, p.y, p.z) || !(hw_field_at(v->rooms, p) > 0.02 * w))
                return false;
        }
        if (!inside(v->whole, at, y, split + top_of(v->b)) ||
            !inside(v->whole, behind, y, split + top_of(v->b)) ||
            !inside(v->lid, behind, y, split + 0.1 * w) ||
            !inside(v->lid, behind, y, split + (STEM + LEAN) * w))
            return false;
    }
    return true;
}

// How wide a lip may be here; *y goes to its middle. 0: too narrow.
static double wide_at(const seen *v, double x, double *y) // [m]
{
    const double w = v->b->f->wall, step = 0.1 * w;
    double side[2] = {0, 0};
    if (!stands(v, x, *y)) return 0;
    for (int e = 0; e < 2; e++)
        while (side[e] < WIDE * w && stands(v, x, *y + (e ? 1 : -1) * (side[e] + step)))
            side[e] += step;
    *y += (side[1] - side[0]) / 2;
    const double wide = fmin(side[0] + side[1], WIDE * w);
    return wide < SLIM * w ? 0 : wide;
}

// On each side of the middle the place that is worth most: far forward, wide, far out.
static void find(seen *v)
{
    hw_palm_build *b = v->b;
    const double w = b->f->wall, step = STEP * w, middle = (b->wrist[0] + b->wrist[1]) / 2,
                 far = b->to - b->from;
    double from = b->from;
    for (size_t i = 0; i < b->out->lid_screws; i++) from = fmax(from, b->out->lid_screw[i].x);
    for (int side = 0; side < 2; side++) {
        hw_lid_hook best = {.at = {0, 0, b->f->split}, .lean = LEAN * w};
        double most = -INFINITY;
        for (int i = 0; b->to - i * step > from + APART * w; i++)
            for (int k = 0; 2 * w + k * step < far; k++) {
                const double x = b->to - i * step, out = 2 * w + k * step;
                double y = middle + (side ? out : -out);
                if (x + FULLER * WIDE * w + OUTER * (out + WIDE * w) <= most ||
                    hw_in_bay(b, hw_at(x + LONG * w, y, b->f->split)))
                    continue;
                const double wide = wide_at(v, x, &y),
                             worth = x + FULLER * wide + OUTER * fabs(y - middle);
                if (!(wide > 0) || worth <= most) continue;
                most = worth;
                best.at.x = x;
                best.at.y = y;
                best.wide = wide;
            }
        if (isfinite(most)) b->out->lid_hook[b->out->lid_hooks++] = best;
    }
}

// Across the hand, seen from the little finger's side: x along the hand, z up.
static const hw_field *drawn(hw_palm_build *b, const hw_lid_hook *h, hw_vec2 at[], size_t n,
                             const double y[2]) // [m]
{
    const hw_frame in = {{h->at.x, h->at.y, h->at.z}, {1, 0, 0}, {0, 1, 0}, {0, 0, 1}};
    const hw_polygon outline = {at, n};
    return hw_field_prism(b->a, &in, &outline, y[0], y[1]);
}

static const hw_field *lip_of(hw_palm_build *b, const hw_lid_hook *h)
{
    const double w = b->f->wall, far = b->top - b->bottom, lean = LEAN * w, stem = STEM * w;
    hw_vec2 at[] = {{0, -ROOT * w - 0.1 * w},
                    {LONG * w, -ROOT * w - 0.1 * w},
                    {LONG * w, far},
                    {-lean, far},
                    {-lean, stem + lean / HW_STEEP},
                    {0, stem}};
    return drawn(b, h, at, 6, (const double[]){-h->wide / 2, h->wide / 2});
}

// A gap round the lip, and as far before it as the lid slides. Beside it the slot is open to the
// lid's side where less than half a wall would be left there.
static const hw_field *slot_of(const seen *v, const hw_lid_hook *h)
{
    hw_palm_build *b = v->b;
    const double w = b->f->wall, g = b->f->gap, far = b->top - b->bottom, lean = LEAN * w + g,
                 stem = STEM * w - 0.4 * g, front = LONG * w + g + hw_hook_slide(b);
    hw_vec2 at[] = {{-g, -w},  {front, -w}, {front, far}, {-lean, far}, {-lean, stem + lean - g},
                    {-g, stem}};
    double y[2] = {-h->wide / 2 - g, h->wide / 2 + g};
    for (int e = 0; e < 2; e++)
        if (!inside(v->whole, h->at.x, h->at.y + y[e] + (e ? 0.5 : -0.5) * w, h->at.z + 0.3 * w))
            y[e] = (e ? 1 : -1) * (b->to - b->from);
    return drawn(b, h, at, 6, y);
}

void hw_palm_hooks(hw_palm_build *b, const hw_field *rooms, const hw_field *whole,
                   const hw_field **tray, const hw_field **lid)
{
    const hw_field *const solid[] = {b->skin, b->foot};
    seen v = {b, *tray, rooms, *lid, whole, hw_field_union(b->a, solid, 2)};
    if (!v.tray || !v.rooms || !v.lid || !v.whole || !v.body || b->out->lid_screws == 0) return;
    find(&v);
    hw_tools slots = {.n = 0}, lips = {.f = {*tray}, .n = 1};
    for (size_t i = 0; i < b->out->lid_hooks; i++) {
        const hw_lid_hook *h = &b->out->lid_hook[i];
        const hw_field *over = hw_field_union(b->a, (const hw_field *const[]){v.body, whole}, 2);
        hw_put(&lips, hw_both(b->a, lip_of(b, h), over));
        hw_put(&slots, slot_of(&v, h));
    }
    *tray = hw_joined(b->a, &lips);
    *lid = hw_less(b->a, *lid, &slots);
}
