// Leads of the servos in the palm: from the room at a servo's end to its hole of the wrist's
// tunnel, by a short way on a grid that keeps clear of skin and bodies, drawn tight.
#include "hand/lay_internal.h"

#include <math.h>
#include <stdlib.h>

enum { SIDES = 6, MOST = 96 }; // MOST: cells along one side of the grid
enum { UNKNOWN, FREE, TAKEN }; // of a cell

typedef struct grid {
    const hw_hand *hand;
    const hw_lay_bodies *w;
    double thick, cell; // [m]
    hw_vec3 low;        // middle of the first cell [m]
    int n[3];
    unsigned char *state;
    int *from; // the cell it was reached from; -1: not reached
    int *queue;
} grid;

static hw_vec3 middle_of(const grid *g, int i)
{
    const int x = i % g->n[0], y = i / g->n[0] % g->n[1], z = i / g->n[0] / g->n[1];
    return (hw_vec3){g->low.x + x * g->cell, g->low.y + y * g->cell, g->low.z + z * g->cell};
}

static int cell_at(const grid *g, hw_vec3 at)
{
    const double v[3] = {at.x - g->low.x, at.y - g->low.y, at.z - g->low.z};
    int c[3];
    for (int k = 0; k < 3; k++) c[k] = (int)fmin(fmax(round(v[k] / g->cell), 0), g->n[k] - 1);
    return c[0] + g->n[0] * (c[1] + g->n[1] * c[2]);
}

// Within the tunnel's slot, where the wrist's wall is cut for it.
static bool in_slot(const grid *g, hw_vec3 at)
{
    const hw_places *p = &g->hand->places;
    const hw_vec3 d = hw_vec3_sub(at, p->tunnel_at);
    return d.x < 0.5 * p->tunnel_length + g->thick && fabs(d.y) < 0.5 * p->tunnel.width &&
           fabs(d.z) < 0.5 * p->tunnel.height;
}

// Least gap of a lead between two places to all bodies but rooms for leads; told apart up to 0.
static double gap_between(const grid *g, hw_vec3 p, hw_vec3 q) // [m]
{
    const double r = 0.5 * g->thick, gap = g->hand->gap;
    const hw_body lead = hw_body_capsule(p, q, r);
    hw_vec3 span[2];
    double least = 0;
    hw_body_span(&lead, span);
    for (size_t k = 0; k < g->w->n; k++) {
        const hw_vec3 *s = g->w->span[k];
        const int owner = g->w->owner[k];
        if (owner >= HW_LAY_LEADS && owner < HW_LAY_LEADS + HW_DIGITS) continue;
        if (hw_lay_apart(span, s, gap)) continue;
        least = fmin(least, hw_body_clear(&lead, &g->w->body[k], gap) - gap);
    }
    return least;
}

// How far a lead is inside the skin; what lies in the tunnel is. [m]
static double in_skin(const grid *g, hw_vec3 at)
{
    return in_slot(g, at) ? 0 : hw_lay_within(g->w->skin, at) - 0.5 * g->thick;
}

static bool is_free(const grid *g, int i)
{
    if (g->state[i] == UNKNOWN) {
        const hw_vec3 at = middle_of(g, i);
        g->state[i] = in_skin(g, at) < 0 || gap_between(g, at, at) < 0 ? TAKEN : FREE;
    }
    return g->state[i] == FREE;
}

static int away(const grid *g, int i, int k) // cells along axis k [1]
{
    return k == 0 ? i % g->n[0] : k == 1 ? i / g->n[0] % g->n[1] : i / g->n[0] / g->n[1];
}

static int steps_to(const grid *g, int i, int goal)
{
    int sum = 0;
    for (int k = 0; k < 3; k++) sum += abs(away(g, i, k) - away(g, goal, k));
    return sum;
}

// Marks where a lead may begin, in the room at the servo's end: where that is free. Returns how
// many cells stand in the queue.
static int begin(grid *g, const hw_body *cable, int tail)
{
    hw_vec3 box[2];
    hw_body_span(cable, box);
    const int low = cell_at(g, box[0]), high = cell_at(g, box[1]);
    const int before = tail;
    for (int z = away(g, low, 2); z <= away(g, high, 2); z++)
        for (int y = away(g, low, 1); y <= away(g, high, 1); y++)
            for (int x = away(g, low, 0); x <= away(g, high, 0); x++) {
                const int i = x + g->n[0] * (y + g->n[1] * z);
                const hw_vec3 at = middle_of(g, i);
                const hw_body spot = hw_body_capsule(at, at, 0);
                if (hw_body_clear(&spot, cable, 0) > 0 || gap_between(g, at, at) < 0) continue;
                g->from[i] = i;
                g->queue[tail++] = i;
            }
    return tail - before;
}

// Whether a cell lies at the tunnel's palm end with room to the tunnel's wall, and the tunnel is
// free there.
static bool is_hole(const grid *g, int i)
{
    const hw_places *p = &g->hand->places;
    const hw_tunnel *t = &p->tunnel;
    const hw_vec3 at = middle_of(g, i), d = hw_vec3_sub(at, p->tunnel_at);
    const double half = 0.5 * (t->width - t->height);
    const double off = hypot(d.y - fmin(fmax(d.y, -half), half), d.z);
    const double most = 0.5 * (t->height - g->thick) - g->hand->gap;
    if (away(g, i, 0) != 0 || off > most * (1 + 1e-9)) return false;
    const hw_vec3 end = {p->tunnel_at.x - 0.5 * p->tunnel_length, at.y, at.z};
    return gap_between(g, at, end) >= 0;
}

// Cells from the servo's room to the hole, or where that is taken to any of the tunnel, each after
// the one it is first reached from: what comes nearer goes on first. One is found wherever there is
// one, seldom much longer than the shortest. Returns the last; -1: there is no way.
static int search(grid *g, const hw_body *cable, int goal)
{
    const bool wished = is_free(g, goal) && is_hole(g, goal);
    const int step[3] = {1, g->n[0], g->n[0] * g->n[1]}, cells = step[2] * g->n[2];
    int head = cells, tail = cells; // of a queue that grows both ways
    for (int i = 0; i < cells; i++) g->from[i] = -1;
    tail += begin(g, cable, tail);
    while (head < tail) {
        const int at = g->queue[head++];
        if (wished ? at == goal : is_hole(g, at)) return at;
        for (int k = 0; k < SIDES; k++) {
            const int sign = k % 2 ? 1 : -1, to = away(g, at, k / 2) + sign;
            const int next = at + sign * step[k / 2];
            if (to < 0 || to >= g->n[k / 2] || g->from[next] >= 0 || !is_free(g, next)) continue;
            g->from[next] = at;
            if (steps_to(g, next, goal) < steps_to(g, at, goal))
                g->queue[--head] = next;
            else
                g->queue[tail++] = next;
        }
    }
    return -1;
}

static bool is_clear(const grid *g, hw_vec3 p, hw_vec3 q)
{
    const hw_vec3 way = hw_vec3_sub(q, p);
    const int n = (int)(hw_vec3_norm(way) / g->cell) + 1;
    for (int i = 1; i < n; i++)
        if (in_skin(g, hw_vec3_along(p, (double)i / n, way)) < 0) return false;
    return gap_between(g, p, q) >= 0;
}

// Backward from the goal, each leg as long as it stays as free as its cells are. Returns how many
// points; 0: more than there is room for.
static size_t draw_tight(const grid *g, int goal, hw_vec3 out[], size_t most)
{
    size_t n = 0;
    int at = goal;
    out[n++] = middle_of(g, at);
    while (g->from[at] != at) {
        int far = g->from[at], last = far;
        while (g->from[far] != far) {
            far = g->from[far];
            if (is_clear(g, middle_of(g, at), middle_of(g, far))) last = far;
        }
        if (n == most) return 0;
        out[n++] = middle_of(g, last);
        at = last;
    }
    return n;
}

// The grid's first cells lie at the tunnel's palm end, one of them in the middle of the hole.
static bool grid_of(grid *g, hw_arena *a, hw_vec3 hole)
{
    const hw_lay_skin *s = g->w->skin;
    const double low[2] = {s->low.y, s->low.z};
    double side[3] = {g->hand->palm.length - hole.x, s->step.y * (HW_LAY_SKIN_ACROSS - 1),
                      s->step.z * (HW_LAY_SKIN_DEEP - 1)};
    const double longest = fmax(side[0], fmax(side[1], side[2]));
    if (!isfinite(longest) || !(g->thick > 0)) return false;
    g->cell = fmax(0.4 * g->thick, longest / (MOST - 2));
    const double back[2] = {ceil((hole.y - low[0]) / g->cell), ceil((hole.z - low[1]) / g->cell)};
    if (!(fmin(back[0], back[1]) >= 0) || !(fmax(back[0], back[1]) < MOST)) return false;
    g->low = (hw_vec3){hole.x, hole.y - back[0] * g->cell, hole.z - back[1] * g->cell};
    size_t cells = 1;
    for (int k = 0; k < 3; k++) {
        if (!(side[k] > 0)) return false;
        g->n[k] = (int)(side[k] / g->cell) + 2;
        cells *= (size_t)g->n[k];
    }
    g->state = HW_NEW(a, unsigned char, cells);
    g->from = HW_NEW(a, int, cells);
    g->queue = HW_NEW(a, int, 2 * cells);
    return g->state && g->from && g->queue;
}

static bool way_of(grid *g, size_t mover, hw_vec3 hole, hw_route *out)
{
    const hw_places *p = &g->hand->places;
    hw_vec3 back[HW_ROUTE_POINTS - 1], point[HW_ROUTE_POINTS];
    const int end = search(g, &p->place[mover].body[HW_SERVO_CABLE], cell_at(g, hole));
    size_t n = end < 0 ? 0 : draw_tight(g, end, back, HW_ROUTE_POINTS - 1);
    if (n == 0) return false;
    for (size_t i = 0; i < n; i++) point[i] = back[n - 1 - i];
    point[n] = point[n - 1];
    point[n].x = p->tunnel_at.x - 0.5 * p->tunnel_length;
    return hw_route_through(point, n + 1, 0.25 * g->thick, out) == HW_OK; // limp
}

bool hw_lay_lead(const hw_hand *hand, size_t mover, double thick, const hw_lay_bodies *palm,
                 hw_route *out)
{
    const hw_places *p = &hand->places;
    const hw_vec3 hole = {p->tunnel_at.x + 0.5 * p->tunnel_length,
                          p->tunnel_at.y + p->mover_hole[mover].x,
                          p->tunnel_at.z + p->mover_hole[mover].z};
    hw_arena *a = hw_arena_new(0);
    grid g = {.hand = hand, .w = palm, .thick = thick};
    bool ok = a && palm->skin && grid_of(&g, a, hole) && way_of(&g, mover, hole, out);
    hw_arena_free(a);
    return ok;
}
