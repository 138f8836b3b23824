// Every part's profile in every layer, from the layers' list: docs/decisions/0010.
#include "stack/stack_internal.h"

#include <math.h>

enum { RIM_STEPS = 5, SLOT_POSES = 9 };
static const double slot_spare = 1.2; // slots are found from a few poses: clear by so many gaps [1]
static const double rim_step = 40 * HW_PI / 180; // chords of a horn's shelf along the rim [rad]

typedef struct maker {
    const hw_digit *d;
    const hw_layers *l;
    hw_stack *out;
    bool full;
    double corner;                     // radius of convex corners: one printed line [m]
    hw_vec2 horn[2];                   // ends of the horns in their phalanx's frame [m]
    hw_vec2 bar_origin[2];             // straight digit: a bar's root, from the joint it spans [m]
    double bar_c[2], bar_s[2], bar[2]; // and its direction [1] and length [m]
    double slot[2][2];                 // where a bar's foot sweeps, in the phalanx that it is in,
                                       // along it: from, to; none where from > to [m]
} maker;

static void put(maker *m, int layer, int part, hw_slab_kind kind, size_t n, const hw_disc disc[])
{
    if (m->out->n == HW_STACK_SLABS) {
        m->full = true;
        return;
    }
    m->out->plate[m->out->n++] = hw_slab_of(layer, part, kind, n, disc);
}

static void put_two(maker *m, int layer, int part, hw_slab_kind kind, hw_disc a, hw_disc b)
{
    put(m, layer, part, kind, 2, (const hw_disc[]){a, b});
}

// A plate with straight ends at two places along a part: its lower and upper edge at either.
// Nothing where it is no longer than its own corners.
static void put_strip(maker *m, int layer, int part, hw_slab_kind kind, const double x[2],
                      const double low[2], const double high[2]) // [m]
{
    double r = m->corner;
    for (int e = 0; e < 2; e++) r = fmin(r, (high[e] - low[e]) / 2);
    if (r <= 0 || x[1] - x[0] <= 2 * r) return;
    hw_disc disc[4];
    for (int e = 0; e < 2; e++) {
        double at = x[e] + (e == 0 ? r : -r);
        disc[2 * e] = (hw_disc){{at, low[e] + r}, r};
        disc[2 * e + 1] = (hw_disc){{at, high[e] - r}, r};
    }
    put(m, layer, part, kind, 4, disc);
}

// Half the thickness of a phalanx (part 1 to 3) or the carrier along it. [m]
static double half_at(const maker *m, int part, double x) // [m]
{
    if (part == 0) return m->d->thickness[0] / 2;
    hw_disc end[2];
    hw_phalanx_discs(m->d, part - 1, end);
    double share = end[1].at.x > 0 ? fmin(1, fmax(0, x / end[1].at.x)) : 0;
    return end[0].radius + share * (end[1].radius - end[0].radius);
}

// Where a part's full height ends before the next joint; the last ends in a round tip.
static double end_of(const maker *m, int part)
{
    if (part == HW_JOINTS) return m->d->phalanx[HW_JOINTS - 1];
    double joint = part == 0 ? 0 : m->d->phalanx[part - 1];
    return joint - m->l->fork[part].setback;
}

static double start_of(const maker *m, int part) // of the carrier: its back end [m]
{
    return -m->l->fork[0].setback - m->l->block * (part == 0);
}

// A part at its full height between two places.
static void put_body(maker *m, int layer, int part, double from, double to) // [m]
{
    if (part < HW_JOINTS) {
        double h0 = half_at(m, part, from), h1 = half_at(m, part, to);
        put_strip(m, layer, part, HW_SLAB_BODY, (const double[]){from, to},
                  (const double[]){-h0, -h1}, (const double[]){h0, h1});
        return;
    }
    hw_disc end[2];
    hw_phalanx_discs(m->d, HW_JOINTS - 1, end);
    double r = fmin(m->corner, half_at(m, part, from)), h = half_at(m, part, from) - r;
    put(m, layer, part, HW_SLAB_BODY, 3,
        (const hw_disc[]){{{from + r, -h}, r}, {{from + r, h}, r}, end[1]});
}

static void cheek_layer(maker *m, int layer)
{
    put_body(m, layer, 0, start_of(m, 0), end_of(m, 0));
    for (int part = 1; part <= HW_JOINTS; part++) {
        hw_disc end[2];
        hw_phalanx_discs(m->d, part - 1, end);
        if (part == HW_JOINTS) {
            put(m, layer, part, HW_SLAB_CHEEK, 2, end);
            continue;
        }
        double to = end_of(m, part), h = half_at(m, part, to), r = fmin(m->corner, h);
        put(m, layer, part, HW_SLAB_CHEEK, 3,
            (const hw_disc[]){end[0], {{to - r, h - r}, r}, {{to - r, r - h}, r}});
    }
}

// ---- tangs ------------------------------------------------------------------------------------

// Palmar and dorsal limit of an arm behind a joint: what the horn that turns beside it leaves, and
// the next wall where it turns past a right angle. The arm keeps clear of the horn behind the joint
// alone; before it, the disc does.
static void arm_limits(const maker *m, int joint, int side, int horn, double z[2]) // [m]
{
    const hw_fork_place *k = &m->l->fork[joint];
    double gap = m->l->gap;
    for (int e = 0; e < 2; e++) {
        double turn = e == 0 ? k->travel[1] : -k->travel[0]; // that brings the wall to this side
        z[e] = k->tang_radius;
        if (turn > HW_PI / 2 && turn < HW_PI)
            z[e] = fmin(z[e], (k->depth[side] - gap + k->setback * cos(turn)) / sin(turn));
    }
    z[0] = -z[0];
    if (horn < 0) return;
    double length = m->d->bar[horn].horn, clear = m->l->bar[horn].base + gap;
    for (int e = 0; e < 2; e++) {
        double angle = m->d->bar[horn].horn_angle - k->travel[e];
        hw_vec2 at = {length * cos(angle), length * sin(angle)};
        if (at.x >= clear) continue;
        if (at.z < 0)
            z[0] = fmax(z[0], at.z + clear);
        else
            z[1] = fmin(z[1], at.z - clear);
    }
}

// Whether the earlier body may widen to its full height right behind the joint on one side: the
// next wall's edge on that side never comes behind the joint.
static bool may_flare(const maker *m, int joint, int side, int e)
{
    const hw_fork_place *k = &m->l->fork[joint];
    double turn = fmax(0, e == 0 ? k->travel[1] : -k->travel[0]);
    return k->depth[side] * cos(turn) - k->height / 2 * sin(turn) > m->l->gap;
}

static void put_tang(maker *m, int layer, int joint, int side, int horn)
{
    const hw_fork_place *k = &m->l->fork[joint];
    double at = joint == 0 ? 0 : m->d->phalanx[joint - 1], r = m->corner;
    double z[2], wide[2], back = at - k->setback;
    put(m, layer, joint, HW_SLAB_TANG, 1, &(hw_disc){{at, 0}, k->tang_radius});
    arm_limits(m, joint, side, horn, z);
    if (z[1] - z[0] < m->out->arm_height) {
        m->out->arm_height = z[1] - z[0];
        m->out->arm_joint = joint;
    }
    if (z[1] - z[0] <= 0) return;
    for (int e = 0; e < 2; e++) {
        double sign = e == 0 ? -1 : 1, half = half_at(m, joint, back);
        bool flare = fabs(z[e]) >= k->tang_radius && may_flare(m, joint, side, e);
        wide[e] = sign * (flare ? half : fmin(fabs(z[e]), half));
        if (!flare) wide[e] = sign * fmin(sign * z[e], half);
    }
    r = fmin(r, (wide[1] - wide[0]) / 2);
    if (r <= 0) return;
    put(m, layer, joint, HW_SLAB_ARM, 3,
        (const hw_disc[]){{{at, (z[0] + z[1]) / 2}, (z[1] - z[0]) / 2},
                          {{back - 2 * r, wide[0] + r}, r},
                          {{back - 2 * r, wide[1] - r}, r}});
}

// A horn's shelf runs straight into the wall before it; from behind the joint it goes round the
// tang's disc along the rim.
static void put_shelf(maker *m, int layer, int bar, int side)
{
    int part = bar + 2;
    const hw_fork_place *k = &m->l->fork[bar + 1];
    double r = m->l->bar[bar].base, half = k->height / 2, length = m->d->bar[bar].horn;
    hw_vec2 at = m->horn[bar];
    bool straight = at.x >= 0 || fabs(at.z) >= k->tang_radius + r + m->l->gap;
    if (!straight) {
        double rim = fmax(half - r, length), angle = atan2(at.z, at.x);
        double step = angle > 0 ? -rim_step : rim_step;
        for (int i = 0; i < RIM_STEPS && !(i > 0 && at.x >= 0); i++) {
            hw_vec2 next = {rim * cos(angle + i * step), rim * sin(angle + i * step)};
            put_two(m, layer, part, HW_SLAB_SHELF, (hw_disc){at, r}, (hw_disc){next, r});
            at = next;
        }
    }
    double into = fmax(k->depth[side], at.x) + r + m->corner;
    double high = fmax(0, half_at(m, part, into) - r);
    hw_vec2 wall = {into, fmin(high, fmax(-high, at.z))};
    put_two(m, layer, part, HW_SLAB_SHELF, (hw_disc){at, r}, (hw_disc){wall, r});
}

static void put_lug(maker *m, int layer, int bar)
{
    hw_vec2 joint = {bar == 0 ? 0 : m->d->phalanx[bar - 1], 0};
    double r = m->l->bar[bar].base;
    put_two(m, layer, bar, HW_SLAB_LUG, (hw_disc){joint, fmin(r, m->l->fork[bar].tang_radius)},
            (hw_disc){hw_add(joint, m->d->bar[bar].root), r});
}

static bool carried_on(const maker *m, int bar, int side)
{
    const hw_bar_place *b = &m->l->bar[bar];
    for (size_t i = 0; i < b->twins; i++)
        if (b->side[i] == side) return true;
    return false;
}

static void note_wall(maker *m, int part, double length) // [m]
{
    if (length >= m->out->wall) return;
    m->out->wall = length;
    m->out->wall_part = part;
}

// Whether its horn's shelf comes through that side's tangs.
static bool horn_on(const maker *m, int bar, int side)
{
    const hw_bar_place *b = &m->l->bar[bar];
    for (size_t i = 0; i < b->twins; i++)
        if (b->side[i] == side && b->on[i][0] == b->on[i][1]) return true;
    return false;
}

static void tang_layer(maker *m, int layer, int side)
{
    for (int part = 0; part <= HW_JOINTS; part++) {
        double from = part == 0 ? start_of(m, 0) : m->l->fork[part - 1].depth[side];
        put_body(m, layer, part, from, end_of(m, part));
        if (part > 0) note_wall(m, part, end_of(m, part) - from);
        if (part == HW_JOINTS) break;
        int horn = part > 0 && horn_on(m, part - 1, side) ? part - 1 : -1;
        put_tang(m, layer, part, side, horn);
    }
    for (int b = 0; b < 2; b++) {
        if (carried_on(m, b, side)) put_lug(m, layer, b);
        if (horn_on(m, b, side)) put_shelf(m, layer, b, side);
    }
}

// ---- bars -------------------------------------------------------------------------------------

// A point of the straight digit, seen from the joint that a bar begins at, in the bar's frame.
static hw_vec2 in_bar(const maker *m, int b, hw_vec2 at)
{
    return hw_flex(hw_sub(at, m->bar_origin[b]), m->bar_c[b], -m->bar_s[b]);
}

static void foot_corners(const maker *m, int b, hw_disc disc[4])
{
    const double *x = m->l->bar[b].foot;
    double r = fmin(m->corner, (x[1] - x[0]) / 2);
    for (int e = 0; e < 2; e++) {
        double at = x[e] + (e == 0 ? r : -r);
        double along = m->bar[b] > 0 ? (at - m->bar_origin[b].x) / m->bar[b] : 0;
        double axis = m->bar_origin[b].z - m->bar_s[b] * m->bar[b] * along;
        double bed = -half_at(m, b + 1, at) + r;
        disc[2 * e] = (hw_disc){in_bar(m, b, (hw_vec2){at, bed}), r};
        disc[2 * e + 1] = (hw_disc){in_bar(m, b, (hw_vec2){at, fmax(axis, bed)}), r};
    }
}

static void put_bar(maker *m, int layer, int b)
{
    const hw_bar_place *p = &m->l->bar[b];
    int part = 4 + b;
    hw_disc root = {{0, 0}, m->d->pivot_radius}, end = {{m->bar[b], 0}, m->d->pivot_radius};
    double half = m->d->bar[b].width / 2;
    put(m, layer, part, HW_SLAB_BAR, 1, &root);
    put(m, layer, part, HW_SLAB_BAR, 1, &end);
    put_two(m, layer, part, HW_SLAB_BAR, (hw_disc){root.at, half}, (hw_disc){end.at, half});
    if (p->foot[1] <= p->foot[0]) return;
    hw_disc disc[4];
    foot_corners(m, b, disc);
    put(m, layer, part, HW_SLAB_FOOT, 4, disc);
}

// How far a bar's foot travels along the phalanx that it stands in, over the stroke. Poses that do
// not close are left out.
static void find_slot(maker *m, int b)
{
    const hw_bar_place *p = &m->l->bar[b];
    m->slot[b][0] = INFINITY;
    m->slot[b][1] = -INFINITY;
    if (p->twins == 0 || p->foot[1] <= p->foot[0]) return;
    double clear = slot_spare * m->l->gap;
    hw_disc disc[4];
    foot_corners(m, b, disc);
    const hw_digit_family *family = hw_digit_family_of(m->d->family);
    for (int i = 0; i < SLOT_POSES; i++) {
        hw_digit_pose pose;
        if (family->pose(m->d, i / (double)(SLOT_POSES - 1), &pose) != HW_OK) continue;
        hw_place place[HW_STACK_PARTS];
        hw_stack_place(&pose, place);
        hw_vec2 at[4];
        hw_place seen = hw_place_seen(place[b + 1], place[4 + b]);
        for (int k = 0; k < 4; k++) {
            at[k] = hw_add(seen.at, hw_flex(disc[k].at, seen.c, seen.s));
            m->slot[b][0] = fmin(m->slot[b][0], at[k].x - disc[k].radius - clear);
            m->slot[b][1] = fmax(m->slot[b][1], at[k].x + disc[k].radius + clear);
        }
    }
}

// How far toward the tip a bar reaches in the phalanx that it moves, over the stroke: past its own
// end where it leans forward on its way out.
static double front_of(const maker *m, int b)
{
    double half = m->d->bar[b].width / 2, high = m->d->thickness[b + 1] / 2;
    double bore = m->l->bar[b].base + m->l->gap; // its end is as much higher as its bore is
    double rise = (sqrt(2) - 1) * bore - hw_bore_ceiling(bore, m->l->line);
    double front = m->horn[b].x + m->d->pivot_radius + rise;
    const hw_digit_family *family = hw_digit_family_of(m->d->family);
    for (int i = 0; i < SLOT_POSES; i++) {
        hw_digit_pose pose;
        if (family->pose(m->d, i / (double)(SLOT_POSES - 1), &pose) != HW_OK) continue;
        hw_place place[HW_STACK_PARTS];
        hw_stack_place(&pose, place);
        hw_place seen = hw_place_seen(place[b + 2], place[4 + b]);
        hw_vec2 way = hw_scale(hw_sub(seen.at, m->horn[b]), 1 / m->bar[b]); // to its root
        if (way.x <= 0) continue;
        double out = way.z > 0 ? high - m->horn[b].z : high + m->horn[b].z;
        double along = fmin(m->bar[b], fabs(way.z) > 0 ? fmax(0, out) / fabs(way.z) : m->bar[b]);
        front = fmax(front, m->horn[b].x + along * way.x + half);
    }
    return front;
}

static void put_web(maker *m, int layer, int part, bool back, const double x[2]) // [m]
{
    double low[2], high[2];
    for (int e = 0; e < 2; e++) {
        double half = half_at(m, part, x[e]), in = half - fmin(m->l->web, half);
        low[e] = back ? in : -half;
        high[e] = back ? half : -in;
    }
    put_strip(m, layer, part, HW_SLAB_WEB, x, low, high);
}

// Both strips of the phalanx that a bar runs in; the palmar one has the slot of its foot.
static void put_webs(maker *m, int layer, int b, double from, double to) // [m]
{
    const double *slot = m->slot[b];
    put_web(m, layer, b + 1, true, (const double[]){from, to});
    if (slot[0] > slot[1]) {
        put_web(m, layer, b + 1, false, (const double[]){from, to});
        return;
    }
    put_web(m, layer, b + 1, false, (const double[]){from, fmin(to, slot[0])});
    put_web(m, layer, b + 1, false, (const double[]){fmax(from, slot[1]), to});
}

static void bar_layer(maker *m, int layer, int b)
{
    double clear = m->d->pivot_radius + m->l->gap;
    put_bar(m, layer, b);
    for (int part = 0; part <= HW_JOINTS; part++) {
        double from = start_of(m, part), to = end_of(m, part);
        if (part > 0) from = fmax(m->l->fork[part - 1].depth[0], m->l->fork[part - 1].depth[1]);
        if (part == b + 2) from = fmax(from, front_of(m, b) + m->l->gap);
        if (part == b) { // its root's pivot turns here
            double joint = b == 0 ? 0 : m->d->phalanx[b - 1];
            to = fmin(to, joint + m->d->bar[b].root.x - clear);
        }
        if (part == b + 1)
            put_webs(m, layer, b, from, to);
        else
            put_body(m, layer, part, from, to);
    }
}

// A bar that another one's twins enclose is reached through their layers.
static void put_posts(maker *m, int b)
{
    const hw_bar_place *p = &m->l->bar[b];
    double r = p->base;
    hw_vec2 root = {b == 0 ? 0 : m->d->phalanx[b - 1], 0};
    root = hw_add(root, m->d->bar[b].root);
    for (size_t i = 0; i < p->twins; i++) {
        int wall = p->side[i] == 0 ? 1 : (int)m->l->n - 2, step = p->side[i] == 0 ? 1 : -1;
        for (int layer = wall + step; layer != p->layer[i]; layer += step) {
            if (m->l->layer[layer].use == m->l->layer[p->layer[i]].use) continue;
            put(m, layer, p->root_part, HW_SLAB_POST, 1, &(hw_disc){root, r});
            put(m, layer, p->horn_part, HW_SLAB_POST, 1, &(hw_disc){m->horn[b], r});
        }
    }
}

// Bar B's horn in bar A's layer, where nothing else is: straight into the wall, as high there as
// the phalanx is on that side.
static void put_inner_horn(maker *m, int layer, int b)
{
    int part = b + 2;
    const double *depth = m->l->fork[b + 1].depth;
    double r = m->l->bar[b].base, c = m->corner, into = fmax(depth[0], depth[1]) + c;
    double edge = half_at(m, part, into) - c;
    hw_vec2 at = m->horn[b];
    put(m, layer, part, HW_SLAB_SHELF, 3,
        (const hw_disc[]){{at, r}, {{into, copysign(edge, at.z)}, c}, {{into, 0}, c}});
}

// A horn that is carried from inside is kept from outside: by a fan of the tang's own over the arc
// that its end runs through.
static void put_fan(maker *m, int layer, int b)
{
    int part = b + 1;
    const hw_fork_place *k = &m->l->fork[part];
    hw_vec2 joint = {m->d->phalanx[part - 1], 0};
    double horn = m->d->bar[b].horn, from = m->d->bar[b].horn_angle - k->travel[0];
    double turn = k->travel[0] - k->travel[1];
    for (int i = 0; i < RIM_STEPS; i++) {
        hw_disc disc[3] = {{joint, k->tang_radius}};
        for (int e = 0; e < 2; e++) {
            double angle = from + turn * (i + e) / RIM_STEPS;
            disc[1 + e].at = hw_add(joint, (hw_vec2){horn * cos(angle), horn * sin(angle)});
            disc[1 + e].radius = m->corner;
        }
        put(m, layer, part, HW_SLAB_TANG, 3, disc);
    }
}

// Beside bar B's horn, where bar A does not come, stands a keeper: the shelf once more, on the far
// side of the bar's end. Beside bar A's root the lug, unless the knuckle's pulley is there.
static void put_keeper(maker *m, int b)
{
    const hw_bar_place *p = &m->l->bar[b];
    const hw_layer *layer = m->l->layer;
    const double *depth = m->l->fork[b + 1].depth;
    for (size_t i = 0; i < p->twins; i++) {
        int step = p->side[i] == 0 ? 1 : -1, far = p->layer[i] + step;
        while (layer[far].use == layer[p->layer[i]].use) far += step;
        if (layer[far].use == HW_LAYER_TANG) continue; // a wall
        if (p->on[i][0] != p->on[i][1]) {
            put_inner_horn(m, p->on[i][1], b);
            put_fan(m, p->on[i][0], b);
            continue;
        }
        if (b == 0 && far == hw_layers_pulley(m->l)) continue; // the pulley's place
        if (b == 0)
            put_lug(m, far, b);
        else
            put_shelf(m, far, b, depth[1] > depth[0] ? 1 : 0);
    }
}

static void set_bars(maker *m)
{
    m->out->sockets = INFINITY;
    if (m->d->family != HW_FAMILY_COUPLED_BARS) return;
    for (int b = 0; b < 2; b++) {
        const hw_bar *bar = &m->d->bar[b];
        m->horn[b] = (hw_vec2){bar->horn * cos(bar->horn_angle), bar->horn * sin(bar->horn_angle)};
        m->bar_origin[b] = bar->root;
        hw_vec2 line = hw_sub(hw_add((hw_vec2){m->d->phalanx[b], 0}, m->horn[b]), bar->root);
        m->bar[b] = hw_norm(line);
        m->bar_c[b] = line.x / m->bar[b];
        m->bar_s[b] = -line.z / m->bar[b];
        m->out->sockets = fmin(m->out->sockets, m->bar[b]);
        find_slot(m, b);
    }
}

hw_code hw_stack_of(const hw_digit *d, const hw_layers *l, hw_stack *out)
{
    out->n = 0;
    out->arm_height = out->wall = INFINITY;
    out->arm_joint = out->wall_part = 0;
    out->sockets = INFINITY;
    if (l->n == 0 || hw_digit_check(d) != HW_DIGIT_SOUND) return HW_BAD_INPUT;
    maker m = {.d = d, .l = l, .out = out, .corner = l->line};
    set_bars(&m);
    for (int i = 0; i < (int)l->n; i++) {
        switch (l->layer[i].use) {
        case HW_LAYER_CHEEK:
            cheek_layer(&m, i);
            break;
        case HW_LAYER_TANG:
            tang_layer(&m, i, l->layer[i].side);
            break;
        case HW_LAYER_BAR_A:
        case HW_LAYER_BAR_B:
            bar_layer(&m, i, l->layer[i].use == HW_LAYER_BAR_A ? 0 : 1);
            break;
        }
    }
    for (int b = 0; b < 2; b++) {
        put_posts(&m, b);
        put_keeper(&m, b);
    }
    if (!m.full) return HW_OK;
    out->n = 0;
    return HW_LIMIT;
}
