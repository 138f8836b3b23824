// From the top down layers are cut into pieces; those that are joined above are told together.
#include "solid/slender.h"

#include "base/vec.h"

#include <math.h>
#include <string.h>

// Pieces of one layer that are joined in it or above it.
typedef struct group {
    double n, x, y, xx, yy, xy; // places of this layer and sums over them [cells]
    double second;              // moment of area about the weak axis [cells^4]
    double middle[2], side[2];  // that axis passes here, and across it [cells] [1]
    double far;                 // the farthest place from it [cells]
    int32_t top;                // the highest layer
    bool meant;                 // to stay, however slender
    bool weak;
} group;

typedef struct cutter {
    const hw_slender_def *def;
    uint32_t *piece, *parent; // of each place, from 1, 0: outside; pieces that are joined
    uint32_t *above;          // groups of the layer above, in the same way
    int32_t *top;             // of those groups: the highest layer
    bool *meant;              // and whether they are to stay
    size_t groups;            // above
} cutter;

static size_t places(const hw_slender_def *d)
{
    return (size_t)d->n[0] * (size_t)d->n[1];
}

static uint32_t root_of(uint32_t *parent, uint32_t i)
{
    while (parent[i] != i) i = parent[i] = parent[parent[i]];
    return i;
}

static void join(uint32_t *parent, uint32_t a, uint32_t b)
{
    a = root_of(parent, a);
    b = root_of(parent, b);
    if (a < b) parent[b] = a;
    if (b < a) parent[a] = b;
}

// Cuts a layer into pieces joined by their sides, 1 to the count, in the order of first places.
static size_t cut(cutter *c, int32_t k)
{
    const hw_slender_def *d = c->def;
    const float *v = d->value + (size_t)k * places(d);
    const size_t wide = (size_t)d->n[0];
    uint32_t *piece = c->piece, *parent = c->parent, next = 1, n = 0;
    for (size_t i = 0; i < places(d); i++) {
        piece[i] = 0;
        if (!(v[i] < 0)) continue;
        const uint32_t left = (i % wide) ? piece[i - 1] : 0;
        const uint32_t back = i >= wide ? piece[i - wide] : 0;
        piece[i] = left ? left : back ? back : next;
        if (piece[i] == next) parent[next] = next, next++;
        if (left && back) join(parent, left, back);
    }
    // first what each belongs to, then that as a number: roots come before what hangs on them
    for (uint32_t i = 1; i < next; i++) parent[i] = root_of(parent, i);
    for (uint32_t i = 1; i < next; i++) parent[i] = parent[i] == i ? ++n : parent[parent[i]];
    for (size_t i = 0; i < places(d); i++)
        if (piece[i]) piece[i] = parent[piece[i]];
    return n;
}

static void note_meant(const cutter *c, int32_t k, group of[])
{
    for (size_t b = 0; b < c->def->keeps; b++) {
        const int32_t(*box)[2] = c->def->kept[b], *n = c->def->n;
        if (k < box[2][0] || k > box[2][1]) continue;
        for (int32_t y = box[1][0] > 0 ? box[1][0] : 0; y <= box[1][1] && y < n[1]; y++)
            for (int32_t x = box[0][0] > 0 ? box[0][0] : 0; x <= box[0][1] && x < n[0]; x++) {
                const uint32_t g = c->above[(size_t)y * (size_t)n[0] + (size_t)x];
                if (g) of[g].meant = true;
            }
    }
}

// Pieces over each other are joined; each place's piece becomes its group, 1 to the count.
static void gather(cutter *c, int32_t k, size_t pieces, group of[]) // [1..pieces + groups]
{
    const size_t nodes = pieces + c->groups, n = places(c->def);
    uint32_t *parent = c->parent, groups = 0;
    for (uint32_t i = 1; i <= nodes; i++) parent[i] = i;
    for (size_t i = 0; i < n; i++)
        if (c->piece[i] && c->above[i]) join(parent, c->piece[i], (uint32_t)pieces + c->above[i]);
    for (uint32_t i = 1; i <= nodes; i++) { // a group is told at its root, first of its pieces
        const uint32_t root = parent[i] = root_of(parent, i);
        const int32_t top = i <= pieces ? k : c->top[i - pieces];
        of[i] = (group){.top = top, .meant = i > pieces && c->meant[i - pieces]};
        if (top > of[root].top) of[root].top = top;
        if (of[i].meant) of[root].meant = true;
    }
    for (uint32_t i = 1; i <= pieces; i++) {
        const uint32_t root = parent[i];
        if (root == i)
            of[++groups] = (group){.top = of[i].top, .meant = of[i].meant}; // never behind i
        parent[i] = root == i ? groups : parent[root];
    }
    for (size_t i = 0; i < n; i++) c->above[i] = c->piece[i] ? parent[c->piece[i]] : 0;
    c->groups = groups;
    note_meant(c, k, of);
    for (uint32_t i = 1; i <= groups; i++) {
        c->top[i] = of[i].top;
        c->meant[i] = of[i].meant;
    }
}

// ---- strength ---------------------------------------------------------------------------------

static void add(group *g, double x, double y) // [cells] [cells]
{
    g->n++;
    g->x += x;
    g->y += y;
    g->xx += x * x + 1.0 / 12;
    g->yy += y * y + 1.0 / 12;
    g->xy += x * y;
}

static void find_axis(group *g)
{
    g->middle[0] = g->x / g->n;
    g->middle[1] = g->y / g->n;
    const double xx = g->xx - g->x * g->middle[0], yy = g->yy - g->y * g->middle[1];
    const double xy = g->xy - g->x * g->middle[1];
    const double turn = 0.5 * atan2(2 * xy, xx - yy); // along the strong side
    g->side[0] = -sin(turn);
    g->side[1] = cos(turn);
    g->second = fmax(0.5 * (xx + yy) - hypot(0.5 * (xx - yy), xy), 0);
}

static void judge(const cutter *c, int32_t k, group of[], bool gone[], hw_slender_post *kept)
{
    const hw_slender_def *d = c->def;
    const size_t wide = (size_t)d->n[0], n = places(d);
    for (size_t i = 0; i < n; i++) {
        const size_t row = i / wide;
        if (c->above[i]) add(&of[c->above[i]], (double)(i % wide), (double)row);
    }
    for (size_t g = 1; g <= c->groups; g++) find_axis(&of[g]);
    for (size_t i = 0; i < n; i++) {
        if (!c->above[i]) continue;
        group *g = &of[c->above[i]];
        const size_t row = i / wide;
        const double x = (double)(i % wide) - g->middle[0], y = (double)row - g->middle[1];
        g->far = fmax(g->far, fabs(x * g->side[0] + y * g->side[1]) + 0.5);
    }
    for (size_t g = 1; g <= c->groups; g++) {
        const double modulus = of[g].second / of[g].far * d->cell * d->cell * d->cell; // [m^3]
        const double push = modulus / ((of[g].top - k + 0.5) * d->cell);
        of[g].weak = push < d->push && !of[g].meant;
        if (!of[g].meant || push >= kept->push) continue;
        *kept = (hw_slender_post){
            push, {(int32_t)lround(of[g].middle[0]), (int32_t)lround(of[g].middle[1]), k}};
    }
    for (size_t i = 0; i < n; i++) gone[i] = c->above[i] && of[c->above[i]].weak;
}

// ---- what stands on it ------------------------------------------------------------------------

// Pieces that stand on nothing but what is gone go with it.
static void go_with_it(const cutter *c, int32_t k, size_t pieces, bool gone[], uint8_t stands[])
{
    enum { ON_GONE = 1, ON_OTHER = 2 };
    const hw_slender_def *d = c->def;
    const size_t n = places(d);
    const float *below = d->value + (size_t)(k - 1) * n;
    const bool *gone_below = gone + (size_t)(k - 1) * n;
    memset(stands, 0, pieces + 1);
    for (size_t i = 0; i < n; i++)
        if (c->piece[i] && below[i] < 0)
            stands[c->piece[i]] |= (uint8_t)(gone_below[i] ? ON_GONE : ON_OTHER);
    for (size_t i = 0; i < n; i++)
        if (c->piece[i] && stands[c->piece[i]] == ON_GONE) gone[(size_t)k * n + i] = true;
}

static hw_code mark(hw_arena *work, const hw_slender_def *d, bool gone[], bool *any,
                    hw_slender_post *kept)
{
    const size_t n = places(d);
    cutter c = {.def = d,
                .piece = HW_NEW(work, uint32_t, n),
                .parent = HW_NEW(work, uint32_t, 2 * n + 2),
                .above = HW_NEW(work, uint32_t, n),
                .top = HW_NEW(work, int32_t, n + 1),
                .meant = HW_NEW(work, bool, n + 1)};
    uint8_t *stands = HW_NEW(work, uint8_t, n + 1);
    if (!c.piece || !c.parent || !c.above || !c.top || !c.meant || !stands) return HW_NO_MEMORY;
    memset(c.above, 0, n * sizeof *c.above);
    for (int32_t k = d->layers - 1; k >= 0; k--) {
        const size_t pieces = cut(&c, k), here = hw_arena_mark(work);
        group *of = HW_NEW(work, group, pieces + c.groups + 1);
        if (!of) return HW_NO_MEMORY;
        gather(&c, k, pieces, of);
        judge(&c, k, of, gone + (size_t)k * n, kept);
        hw_arena_rewind(work, here);
    }
    for (int32_t k = 1; k < d->layers; k++) {
        if (!memchr(gone + (size_t)(k - 1) * n, 1, n)) continue;
        *any = true;
        go_with_it(&c, k, cut(&c, k), gone, stands);
    }
    return HW_OK;
}

hw_code hw_slender_mark(hw_arena *work, const hw_slender_def *def, bool gone[], bool *any,
                        hw_slender_post *kept)
{
    *any = false;
    *kept = (hw_slender_post){(double)INFINITY, {0, 0, 0}};
    if (def->n[0] < 1 || def->n[1] < 1 || def->layers < 1) return HW_OK;
    const size_t here = hw_arena_mark(work);
    const hw_code code = mark(work, def, gone, any, kept);
    hw_arena_rewind(work, here);
    return code;
}
