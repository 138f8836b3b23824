// What of a field stands when it is printed: layers on a grid, from the bed up.
#include "base/par.h"
#include "base/vec3.h"
#include "solid/bridge.h"
#include "solid/field_internal.h"
#include "solid/slender.h"

#include <string.h>

enum { TILE = 8, TILES = 8, LAYERS_A_LOOK = 8 };
#define PLACES_MOST ((size_t)1 << 28)
#define SLACK       0.06      // of a cell: distances in a layer are sure to that [1]
#define EASE        (1 / 3.5) // two cells' change along each axis are a distance then [1]
#define LEANS       0.02      // of a cell: the same along straight outlines [1]
#define HIDDEN      0.75      // of a cell: what lies between places is as near as that to one [1]

// One layer's places and how far its distances reach.
typedef struct plane {
    int32_t n[2], first[2]; // along x and y, whole cells of the first from the origin
    int32_t band;           // [cells]
    double cell;            // [m]
} plane;

typedef struct stand {
    const hw_field *f;
    const hw_standing_def *def;
    plane p;
    int32_t layers;
    float *own, *open; // distances of the layers as they are, and without what is thin [m]
    float *made;       // of what stays [m]
    bool *edge;        // the field itself is outside by less than a part of a cell
    bool *gone;        // too slender; NULL: nothing is
    hw_standing_made made_of;
} stand;

static size_t places(const plane *p)
{
    return (size_t)p->n[0] * (size_t)p->n[1];
}
static double band_of(const plane *p)
{
    return p->band * p->cell;
}
static float *layer_of(const stand *s, float *of, int32_t k)
{
    return of + (size_t)k * places(&s->p);
}
static hw_vec3 place_of(const stand *s, int32_t i, int32_t j, int32_t k)
{
    const double c = s->p.cell;
    return (hw_vec3){(s->p.first[0] + i) * c, (s->p.first[1] + j) * c, (k + 0.5) * c};
}

// ---- sampling ---------------------------------------------------------------------------------

// What is left of a field round `places` of a cube of the grid, and a cell more.
static hw_field_near around(const stand *s, hw_arena *work, const hw_field *f,
                            const int32_t from[3], int32_t places)
{
    const double c = s->p.cell, half = 0.5 * (places - 1) * c;
    const hw_vec3 middle =
        hw_vec3_add(place_of(s, from[0], from[1], from[2]), (hw_vec3){half, half, half});
    return hw_field_prune(work, f, middle, sqrt(3) * half + 1.01 * c, 0);
}

static void sample_tile(const stand *s, hw_arena *work, const hw_field *f, const int32_t from[3])
{
    const double c = s->p.cell, far = band_of(&s->p);
    const int32_t most[3] = {s->p.n[0], s->p.n[1], s->layers};
    int32_t to[3];
    for (int i = 0; i < 3; i++) to[i] = from[i] + TILE < most[i] ? from[i] + TILE : most[i];
    const size_t mark = hw_arena_mark(work);
    const hw_field_near near = around(s, work, f, from, TILE);
    for (int32_t k = from[2]; k < to[2]; k++)
        for (int32_t j = from[1]; j < to[1]; j++)
            for (int32_t i = from[0]; i < to[0]; i++) {
                double v = near.side == HW_SIDE_IN ? -far : far;
                if (near.side == HW_SIDE_CUT && near.f)
                    v = hw_field_at(near.f, place_of(s, i, j, k));
                const size_t at = ((size_t)k * (size_t)s->p.n[1] + (size_t)j) * (size_t)s->p.n[0];
                s->own[at + (size_t)i] = (float)v;
                s->edge[at + (size_t)i] = v >= 0 && v < HIDDEN * c;
            }
    if (!hw_arena_failed(work)) hw_arena_rewind(work, mark);
}

// Tiles of one row of layers, in groups that share what is left of the field round them.
static void sample_tiles(const stand *s, hw_arena *work, const int32_t from[3])
{
    const size_t mark = hw_arena_mark(work);
    hw_field_near near = around(s, work, s->f, from, TILE * TILES);
    const hw_field *f = near.side == HW_SIDE_CUT && near.f ? near.f : s->f;
    for (int32_t j = from[1]; j < from[1] + TILE * TILES && j < s->p.n[1]; j += TILE)
        for (int32_t i = from[0]; i < from[0] + TILE * TILES && i < s->p.n[0]; i += TILE)
            sample_tile(s, work, f, (const int32_t[3]){i, j, from[2]});
    if (!hw_arena_failed(work)) hw_arena_rewind(work, mark);
}

typedef struct crew {
    stand *s;
    hw_arena **arena; // one a chunk
} crew;

static void sample_some(void *self, size_t begin, size_t end)
{
    const crew *c = self;
    for (size_t k = begin; k < end; k++) {
        hw_arena *work = c->arena[k] = hw_arena_new(0);
        if (!work) continue;
        for (int32_t j = 0; j < c->s->p.n[1]; j += TILE * TILES)
            for (int32_t i = 0; i < c->s->p.n[0]; i += TILE * TILES)
                sample_tiles(c->s, work, (const int32_t[3]){i, j, (int32_t)k * TILE});
    }
}

// ---- distances in a layer ---------------------------------------------------------------------

// Places are told from the origin and pieces of outline from the end that both hands name first, so
// that the other hand's numbers are the same.
static double to_segment(double x, double y, const double a[2], const double b[2]) // [cells]
{
    const double dx = b[0] - a[0], dy = b[1] - a[1], l2 = dx * dx + dy * dy;
    double t = l2 > 0 ? ((x - a[0]) * dx + (y - a[1]) * dy) / l2 : 0;
    t = t < 0 ? 0 : t > 1 ? 1 : t;
    const double u = x - a[0] - t * dx, v = y - a[1] - t * dy;
    return sqrt(u * u + v * v);
}

// Lowers the distances round one piece of outline in the square at (i, j).
static void lower(const plane *p, const double q[2], const double r[2], int32_t i, int32_t j,
                  float *out)
{
    const bool swap = r[0] != q[0] ? r[0] < q[0] : fabs(r[1]) < fabs(q[1]);
    const double *a = swap ? r : q, *b = swap ? q : r;
    const int32_t x0 = i > p->band ? i - p->band : 0, y0 = j > p->band ? j - p->band : 0;
    const int32_t x1 = i + 1 + p->band < p->n[0] ? i + 1 + p->band : p->n[0] - 1;
    const int32_t y1 = j + 1 + p->band < p->n[1] ? j + 1 + p->band : p->n[1] - 1;
    for (int32_t y = y0; y <= y1; y++)
        for (int32_t x = x0; x <= x1; x++) {
            float *at = &out[(size_t)y * (size_t)p->n[0] + (size_t)x];
            const double d = to_segment(p->first[0] + x, p->first[1] + y, a, b) * p->cell;
            if (d < fabs((double)*at)) *at = *at < 0 ? (float)-d : (float)d;
        }
}

// The outline through one square of four places: its corners counter-clockwise.
static void square(const plane *p, const float *v, double shift, int32_t i, int32_t j, // [m] [m]
                   float *out)
{
    static const int32_t corner[4][2] = {{0, 0}, {1, 0}, {1, 1}, {0, 1}};
    double w[4], cross[4][2];
    int n = 0, sides[4] = {0};
    for (int c = 0; c < 4; c++)
        w[c] =
            (double)v[(size_t)(j + corner[c][1]) * (size_t)p->n[0] + (size_t)(i + corner[c][0])] +
            shift;
    for (int c = 0; c < 4; c++) {
        const int d = (c + 1) % 4;
        if ((w[c] < 0) == (w[d] < 0)) continue;
        const int from = w[c] < 0 ? c : d, to = w[c] < 0 ? d : c; // from inside
        const double t = w[from] / (w[from] - w[to]);
        for (int k = 0; k < 2; k++)
            cross[n][k] =
                p->first[k] + (k ? j : i) + corner[from][k] + t * (corner[to][k] - corner[from][k]);
        sides[n++] = c;
    }
    if (n == 2) lower(p, cross[0], cross[1], i, j, out);
    if (n != 4) return;
    // two pieces: which corners they cut off is told by the middle
    const bool same = ((w[0] + w[2]) + (w[1] + w[3]) < 0) == (w[sides[0]] < 0);
    lower(p, cross[0], cross[same ? 1 : 3], i, j, out);
    lower(p, cross[2], cross[same ? 3 : 1], i, j, out);
}

// Distances from where v + shift is 0, of its sign, to the band.
static void distances(const plane *p, const float *v, double shift, float *out) // [m]
{
    const float far = (float)band_of(p);
    for (size_t i = 0; i < places(p); i++) out[i] = (double)v[i] + shift < 0 ? -far : far;
    for (int32_t j = 0; j + 1 < p->n[1]; j++)
        for (int32_t i = 0; i + 1 < p->n[0]; i++) {
            const float *a = &v[(size_t)j * (size_t)p->n[0] + (size_t)i], *b = a + p->n[0];
            const bool in = (double)a[0] + shift < 0;
            if (((double)a[1] + shift < 0) == in && ((double)b[0] + shift < 0) == in &&
                ((double)b[1] + shift < 0) == in)
                continue;
            square(p, v, shift, i, j, out);
        }
}

// Of a layer's distances those without what is thin; `spare` as large.
static void opened(const stand *s, const float *d, float *spare, float *out)
{
    // a place is seldom in the middle of a wall: half of what it misses at most is allowed for
    const double radius = s->def->least / 2, slack = SLACK * s->p.cell;
    const double shrink = fmax(radius - 0.25 * s->p.cell, 0);
    if (!(radius > 0)) {
        memcpy(out, d, places(&s->p) * sizeof *out);
        return;
    }
    distances(&s->p, d, shrink, spare);
    for (size_t i = 0; i < places(&s->p); i++) {
        const double v = (double)spare[i] - radius;
        out[i] = v > (double)d[i] + slack && (double)d[i] < slack ? (float)v : d[i];
    }
}

static void measure_some(void *self, size_t begin, size_t end)
{
    const crew *c = self;
    stand *s = c->s;
    for (size_t k = begin; k < end; k++) {
        hw_arena *work = c->arena[k] = hw_arena_new(0);
        float *v = work ? HW_NEW(work, float, places(&s->p)) : NULL;
        if (!v) continue;
        float *own = layer_of(s, s->own, (int32_t)k);
        distances(&s->p, own, 0, v);
        memcpy(own, v, places(&s->p) * sizeof *v);
        opened(s, own, v, layer_of(s, s->open, (int32_t)k));
    }
}

// Over n chunks of one, each with an arena of its own.
static hw_code in_chunks(hw_arena *work, stand *s, size_t n,
                         void (*body)(void *self, size_t begin, size_t end))
{
    crew c = {s, HW_NEW(work, hw_arena *, n)};
    if (!c.arena) return HW_NO_MEMORY;
    memset(c.arena, 0, n * sizeof *c.arena);
    hw_par_for(n, 1, body, &c);
    hw_code code = HW_OK;
    for (size_t i = 0; i < n; i++) {
        if (!c.arena[i] || hw_arena_failed(c.arena[i])) code = HW_NO_MEMORY;
        hw_arena_free(c.arena[i]);
    }
    return code;
}

// ---- standing ---------------------------------------------------------------------------------

static bool in_spared(const stand *s, hw_vec3 p)
{
    for (size_t i = 0; i < s->def->spares; i++) {
        const hw_vec3 *b = s->def->spared[i];
        if (b[0].x < p.x && p.x < b[1].x && b[0].y < p.y && p.y < b[1].y && b[0].z < p.z &&
            p.z < b[1].z)
            return true;
    }
    return false;
}

// What hangs there stays, whatever it lies on.
static bool spared(const stand *s, hw_vec3 p)
{
    if (!(s->def->bridge > 0) && in_spared(s, p)) return true;
    return s->def->roof && hw_field_at(s->def->roof, p) < 0;
}

// What is too slender is far outside.
static void leave_out(const stand *s, int32_t k, float *v)
{
    for (size_t i = 0; s->gone && i < places(&s->p); i++)
        if (s->gone[(size_t)k * places(&s->p) + i]) v[i] = (float)band_of(&s->p);
}

// What fell where bridges are meant, and would be one, stays; `own` is the layer without what is
// too slender.
static void put_bridges(const stand *s, int32_t k, const float *own, hw_bridge_work *work,
                        float *held)
{
    for (size_t i = 0; i < places(&s->p); i++) {
        const int32_t x = (int32_t)(i % (size_t)s->p.n[0]), y = (int32_t)(i / (size_t)s->p.n[0]);
        const bool fell = (double)held[i] >= 0 && (double)own[i] < 0;
        work->place[i] = (double)held[i] < 0                          ? HW_BRIDGE_STANDS
                         : fell && in_spared(s, place_of(s, x, y, k)) ? HW_BRIDGE_FELL
                                                                      : HW_BRIDGE_OPEN;
    }
    hw_bridge_lay(work, s->p.n, s->def->bridge / s->p.cell);
    for (size_t i = 0; i < places(&s->p); i++)
        if (work->place[i] == HW_BRIDGE_LIES) held[i] = own[i];
}

// A layer held to what the one below it carries; false: all of it stands. `spare` and `work` are as
// large.
static bool held_to(const stand *s, int32_t k, const float *below, float *spare,
                    hw_bridge_work *work, float *out)
{
    const double c = s->p.cell, most = s->def->lean[1] * c, least = s->def->lean[0] * c;
    bool any = false;
    memcpy(spare, layer_of(s, s->own, k), places(&s->p) * sizeof *spare);
    leave_out(s, k, spare);
    memcpy(out, spare, places(&s->p) * sizeof *out);
    for (size_t i = 0; i < places(&s->p); i++) {
        if ((double)below[i] - most <= fmax((double)out[i], 0) + LEANS * c) continue;
        if ((double)out[i] >= 0) continue;
        const int32_t x = (int32_t)(i % (size_t)s->p.n[0]), y = (int32_t)(i / (size_t)s->p.n[0]);
        if (spared(s, place_of(s, x, y, k))) continue;
        any = true;
        break;
    }
    if (!any) return false;
    for (size_t i = 0; i < places(&s->p); i++) {
        if ((double)below[i] - most <= (double)out[i] + LEANS * c) continue;
        const int32_t x = (int32_t)(i % (size_t)s->p.n[0]), y = (int32_t)(i / (size_t)s->p.n[0]);
        if (!spared(s, place_of(s, x, y, k))) out[i] = (float)((double)below[i] - least);
    }
    if (s->def->bridge > 0) put_bridges(s, k, spare, work, out);
    return true;
}

static hw_code stand_up(hw_arena *work, stand *s, const hw_job *job)
{
    const size_t n = places(&s->p);
    float *below = HW_NEW(work, float, n), *held = HW_NEW(work, float, n);
    float *spare = HW_NEW(work, float, n), *own = HW_NEW(work, float, n);
    hw_bridge_work over = {HW_NEW(work, uint8_t, n), HW_NEW(work, uint32_t, n)};
    if (!below || !held || !spare || !own || !over.place || !over.queue) return HW_NO_MEMORY;
    for (int32_t k = 0; k < s->layers; k++) {
        if (k % LAYERS_A_LOOK == 0 && !hw_job_go_on(job, (double)k / s->layers, "layers"))
            return HW_CANCELLED;
        const float *stays = layer_of(s, s->open, k);
        if (k > 0 && held_to(s, k, below, spare, &over, held)) {
            distances(&s->p, held, 0, own);
            opened(s, own, spare, held);
            stays = held;
        } else if (s->gone && memchr(&s->gone[(size_t)k * n], 1, n)) {
            memcpy(held, stays, n * sizeof *held);
            leave_out(s, k, held);
            distances(&s->p, held, 0, own);
            stays = own;
        }
        memcpy(layer_of(s, s->made, k), stays, n * sizeof *stays);
        distances(&s->p, stays, 0, below);
    }
    return HW_OK;
}

typedef int32_t places_box[3][2];

static bool kept_places(hw_arena *work, const stand *s, const places_box **out)
{
    const hw_standing_def *d = s->def;
    const double c = s->p.cell;
    places_box *box = HW_NEW(work, places_box, d->keeps + 1);
    if (!box) return false;
    for (size_t i = 0; i < d->keeps; i++) {
        const hw_vec3 *b = d->kept[i];
        const double reach[3][2] = {{b[0].x / c - s->p.first[0], b[1].x / c - s->p.first[0]},
                                    {b[0].y / c - s->p.first[1], b[1].y / c - s->p.first[1]},
                                    {b[0].z / c - 0.5, b[1].z / c - 0.5}};
        for (int k = 0; k < 3; k++) {
            box[i][k][0] = (int32_t)fmax(-1, fmin(ceil(reach[k][0]), (double)PLACES_MOST));
            box[i][k][1] = (int32_t)fmax(-1, fmin(floor(reach[k][1]), (double)PLACES_MOST));
        }
    }
    *out = (const places_box *)box;
    return true;
}

// Stands up once more without what would snap.
static hw_code leave_slender(hw_arena *work, stand *s, const hw_job *job)
{
    hw_slender_def def = {.value = s->made,
                          .n = {s->p.n[0], s->p.n[1]},
                          .layers = s->layers,
                          .cell = s->p.cell,
                          .push = s->def->push,
                          .keeps = s->def->keeps};
    hw_slender_post post;
    bool any, *gone = HW_NEW(work, bool, places(&s->p) * (size_t)s->layers);
    if (!gone || !kept_places(work, s, &def.kept)) return HW_NO_MEMORY;
    hw_code code = hw_slender_mark(work, &def, gone, &any, &post);
    s->made_of.post = post.push;
    s->made_of.post_at = place_of(s, post.place[0], post.place[1], post.place[2]);
    if (code != HW_OK || !any) return code;
    s->gone = gone;
    return stand_up(work, s, job);
}

// ---- what was taken, as a field ---------------------------------------------------------------

static float kept_at(const stand *s, size_t at, int32_t k)
{
    return layer_of(s, s->made, k < 0 ? 0 : k < s->layers ? k : s->layers - 1)[at];
}

// Taken away, or a sliver between places that nothing of what stays is near to.
static bool taken_at(const stand *s, int32_t i, int32_t j, int32_t k)
{
    const size_t at = (size_t)j * (size_t)s->p.n[0] + (size_t)i;
    const double c = s->p.cell, made = (double)kept_at(s, at, k);
    if (made > (double)layer_of(s, s->own, k)[at] + SLACK * c) return true;
    if (!s->edge[(size_t)k * places(&s->p) + at]) return false;
    const double over = (double)kept_at(s, at, k + 1), under = (double)kept_at(s, at, k - 1);
    return fmin(made, fmin(over, under)) > (HIDDEN + 0.4) * c;
}

// From here on the marks of what the field is outside of by little are those of what is taken.
static void mark_taken(void *self, size_t begin, size_t end)
{
    const crew *c = self;
    const plane *p = &c->s->p;
    for (size_t k = begin; k < end; k++) {
        c->arena[k] = hw_arena_new(0);
        for (int32_t j = 0; j < p->n[1]; j++)
            for (int32_t i = 0; i < p->n[0]; i++) {
                const size_t at = (size_t)j * (size_t)p->n[0] + (size_t)i;
                c->s->edge[k * places(p) + at] = taken_at(c->s, i, j, (int32_t)k);
            }
    }
}

// Whether anything is taken in a box of places, `to` not among them.
static bool any_taken(const stand *s, const int32_t from[2], const int32_t to[2], int32_t k)
{
    k = k < 0 ? 0 : k < s->layers ? k : s->layers - 1;
    const int32_t x0 = from[0] > 0 ? from[0] : 0, x1 = to[0] < s->p.n[0] ? to[0] : s->p.n[0];
    const int32_t y0 = from[1] > 0 ? from[1] : 0, y1 = to[1] < s->p.n[1] ? to[1] : s->p.n[1];
    for (int32_t y = y0; y < y1 && x0 < x1; y++) {
        const size_t at = (size_t)k * places(&s->p) + (size_t)y * (size_t)s->p.n[0];
        if (memchr(&s->edge[at + (size_t)x0], 1, (size_t)(x1 - x0))) return true;
    }
    return false;
}

// Where nothing was taken it is below 0 and says nothing; places beside what was taken count as
// they are, so that the new surface ends where it should.
static double shown_at(const stand *s, int32_t i, int32_t j, int32_t k) // [m]
{
    const int32_t from[2] = {i - 1, j - 1}, to[2] = {i + 2, j + 2};
    const double c = s->p.cell;
    if (i >= s->p.n[0] || j >= s->p.n[1] || !any_taken(s, from, to, k)) return -EASE * c;
    k = k < 0 ? 0 : k < s->layers ? k : s->layers - 1;
    const size_t at = (size_t)j * (size_t)s->p.n[0] + (size_t)i;
    const double v = (double)layer_of(s, s->made, k)[at];
    const bool taken = s->edge[(size_t)k * places(&s->p) + at];
    return EASE * fmin(fmax(taken ? v : v - SLACK * c, -c), c);
}

// NULL where nothing of it and beside it was taken.
static const hw_grid_block *block_of(hw_arena *keep, const stand *s, const int32_t b[3])
{
    const int32_t at[3] = {b[0] * HW_GRID_SIDE, b[1] * HW_GRID_SIDE, b[2] * HW_GRID_SIDE};
    const int32_t from[2] = {at[0] - 1, at[1] - 1};
    const int32_t to[2] = {at[0] + HW_GRID_NODES + 1, at[1] + HW_GRID_NODES + 1};
    bool any = false;
    for (int32_t z = 0; z < HW_GRID_NODES && !any; z++) any = any_taken(s, from, to, at[2] + z);
    hw_grid_block *q = any ? HW_NEW(keep, hw_grid_block, 1) : NULL;
    if (!q) return NULL;
    q->low = INFINITY;
    q->high = -INFINITY;
    for (int32_t z = 0; z < HW_GRID_NODES; z++)
        for (int32_t y = 0; y < HW_GRID_NODES; y++)
            for (int32_t x = 0; x < HW_GRID_NODES; x++) {
                const float v = (float)shown_at(s, at[0] + x, at[1] + y, at[2] + z);
                q->v[z][y][x] = v;
                q->low = fminf(q->low, v);
                q->high = fmaxf(q->high, v);
            }
    return q;
}

static const hw_field_grid *grid_of(hw_arena *keep, const stand *s, bool *any)
{
    hw_field_grid *g = HW_NEW(keep, hw_field_grid, 1);
    if (!g) return NULL;
    for (int i = 0; i < 2; i++) g->first[i] = s->p.first[i];
    g->lift = 0.5;
    g->cell = s->p.cell;
    g->idle = (double)(float)(-EASE * s->p.cell);
    for (int i = 0; i < 3; i++)
        g->blocks[i] = ((i < 2 ? s->p.n[i] : s->layers) + HW_GRID_SIDE - 1) / HW_GRID_SIDE;
    const size_t n = (size_t)g->blocks[0] * (size_t)g->blocks[1] * (size_t)g->blocks[2];
    const hw_grid_block **block = HW_NEW(keep, const hw_grid_block *, n);
    if (!block) return NULL;
    *any = false;
    for (size_t i = 0; i < n; i++) {
        const int32_t b[3] = {(int32_t)(i % (size_t)g->blocks[0]),
                              (int32_t)(i / (size_t)g->blocks[0] % (size_t)g->blocks[1]),
                              (int32_t)(i / (size_t)g->blocks[0] / (size_t)g->blocks[1])};
        block[i] = block_of(keep, s, b);
        *any = *any || (block[i] && block[i]->high >= 0);
    }
    g->block = block;
    return g;
}

static double volume_taken(const stand *s) // [m3]
{
    size_t n = 0;
    for (int32_t k = 0; k < s->layers; k++)
        for (size_t i = 0; i < places(&s->p); i++)
            n += layer_of(s, s->own, k)[i] < 0 && layer_of(s, s->made, k)[i] >= 0;
    return (double)n * s->p.cell * s->p.cell * s->p.cell;
}

// ---- the whole --------------------------------------------------------------------------------

static hw_code lay_out(const hw_field *f, const hw_standing_def *def, stand *s)
{
    hw_vec3 low, high;
    const double c = def->cell;
    const bool good = c > 0 && def->least >= 0 && def->least <= 8 * c && def->lean[0] >= 0 &&
                      def->lean[1] >= def->lean[0] && def->lean[1] <= 2 && def->push >= 0 &&
                      isfinite(def->push) && def->bridge >= 0 && isfinite(def->bridge);
    *s = (stand){.f = f, .def = def};
    if (!good || !f) return HW_BAD_INPUT;
    if (!hw_field_reach(f, &low, &high)) return HW_OK; // nothing: no layers
    const double reach[3][2] = {{low.x, high.x}, {low.y, high.y}, {0, high.z}};
    s->p.band = (int32_t)ceil(def->least / 2 / c) + 2;
    if (s->p.band < 4) s->p.band = 4;
    s->p.cell = c;
    double all = 1;
    for (int i = 0; i < 3; i++) {
        const double cells = (reach[i][1] - reach[i][0]) / c + 6;
        if (!isfinite(cells)) return HW_BAD_INPUT;
        all *= fmax(cells, 1);
        if (!(all < (double)PLACES_MOST)) return HW_LIMIT;
    }
    for (int i = 0; i < 2; i++) {
        s->p.first[i] = (int32_t)floor(reach[i][0] / c) - 2;
        s->p.n[i] = (int32_t)ceil(reach[i][1] / c) + 3 - s->p.first[i];
    }
    s->layers = high.z > 0 ? (int32_t)ceil(high.z / c) + 1 : 0;
    return HW_OK;
}

static hw_code make(hw_arena *keep, hw_arena *work, stand *s, const hw_job *job,
                    const hw_field **out)
{
    const size_t n = places(&s->p) * (size_t)s->layers;
    s->own = HW_NEW(work, float, n);
    s->open = HW_NEW(work, float, n);
    s->made = HW_NEW(work, float, n);
    s->edge = HW_NEW(work, bool, n);
    if (!s->own || !s->open || !s->made || !s->edge) return HW_NO_MEMORY;
    hw_code code = in_chunks(work, s, ((size_t)s->layers + TILE - 1) / TILE, sample_some);
    if (code == HW_OK) code = in_chunks(work, s, (size_t)s->layers, measure_some);
    if (code == HW_OK) code = stand_up(work, s, job);
    if (code == HW_OK && s->def->push > 0) code = leave_slender(work, s, job);
    if (code == HW_OK) code = in_chunks(work, s, (size_t)s->layers, mark_taken);
    if (code != HW_OK) return code;
    bool any;
    const hw_field_grid *g = grid_of(keep, s, &any);
    if (g && any)
        *out = hw_field_meet(keep, (const hw_field *const[]){s->f, hw_field_of_grid(keep, g)}, 2);
    return hw_arena_failed(keep) ? HW_NO_MEMORY : HW_OK;
}

hw_code hw_field_standing(hw_arena *keep, hw_arena *work, const hw_field *f,
                          const hw_standing_def *def, const hw_job *job, const hw_field **out,
                          hw_standing_made *made)
{
    stand s;
    *out = NULL;
    if (made) *made = (hw_standing_made){.post = (double)INFINITY};
    hw_code code = lay_out(f, def, &s);
    if (code != HW_OK) return code;
    *out = f;
    if (!s.layers) return HW_OK;
    const size_t mark = hw_arena_mark(work);
    s.made_of.post = (double)INFINITY;
    code = make(keep, work, &s, job, out);
    if (code == HW_OK) s.made_of.taken = volume_taken(&s);
    if (code == HW_OK && made) *made = s.made_of;
    if (code != HW_OK) *out = NULL;
    hw_arena_rewind(work, mark);
    return code;
}
