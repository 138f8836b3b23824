// Digits against the palm's solids: the least of a solid's field over the surfaces that pass it.
#include "make/posed_internal.h"

#include "base/vec3.h"

#include <math.h>
#include <string.h>

static const double deep = 0.02; // of an overlap that it may be told too small by [1]

// Triangles looked at together; halvings of one, and after how many its field is pruned again.
enum { CLUSTER = 6, DEEPEST = 12, ANEW = 4 };

// A digit's part as balls round some of its triangles, in its own frame, as a right hand's.
typedef struct shell {
    hw_vec3 *vert;
    const uint32_t *tri;
    size_t tris, balls;
    hw_vec3 *middle; // of each ball; the last holds them all
    double *radius;  // [m]
    hw_frame place;
    bool there;
} shell;

// One of the palm's solids where a stance has put it.
typedef struct solid {
    const hw_field *field;
    hw_frame bed;
    int digit;     // whose yoke it is; -1: it stands still
    size_t number; // among all of the palm's parts
    hw_vec3 low, high;
} solid;

typedef struct scene {
    shell *part;
    solid body[HW_PALM_PARTS];
    size_t parts, bodies;
    double close; // distances nearer than this are one [m]
} scene;

// ---- solids -----------------------------------------------------------------------------------

static int owner_of(const char *name)
{
    const char *yoke = strstr(name, " yoke");
    for (int d = 0; yoke && d < HW_DIGITS; d++)
        if (strlen(hw_digit_name[d]) == (size_t)(yoke - name) &&
            strncmp(name, hw_digit_name[d], (size_t)(yoke - name)) == 0)
            return d;
    return -1;
}

static void solids_of(const hw_made *m, scene *s)
{
    for (size_t i = 0; i < m->palm->parts; i++) {
        const hw_palm_part *p = &m->palm->part[i];
        int owner = owner_of(p->name);
        if (owner < 0 && strncmp(p->name, "palm ", 5) != 0) continue;
        solid *b = &s->body[s->bodies];
        *b = (solid){.field = p->field, .bed = p->bed, .digit = owner, .number = i};
        s->bodies += hw_field_reach(p->field, &b->low, &b->high);
    }
}

// Where a yoke has turned to: about its splay axis, the thumb's about that of opposition.
static hw_frame bed_at(const hw_palm *p, const solid *b, const hw_palm_stance *s)
{
    if (b->digit < 0 || s->aside[b->digit] == 0) return b->bed;
    const hw_palm_digit *d = &p->digit[b->digit];
    bool thumb = b->digit == HW_THUMB;
    return hw_frame_turned(&b->bed, thumb ? p->opposition_at : d->splay_at,
                           thumb ? p->opposition_axis : d->splay_axis, s->aside[b->digit]);
}

// ---- parts ------------------------------------------------------------------------------------

static void ball_round(const shell *s, size_t first, size_t last, hw_vec3 *middle, double *radius)
{
    hw_vec3 low = {INFINITY, INFINITY, INFINITY}, high = {-INFINITY, -INFINITY, -INFINITY};
    for (size_t i = 3 * first; i < 3 * last; i++) {
        hw_vec3 at = s->vert[s->tri[i]];
        low = (hw_vec3){fmin(low.x, at.x), fmin(low.y, at.y), fmin(low.z, at.z)};
        high = (hw_vec3){fmax(high.x, at.x), fmax(high.y, at.y), fmax(high.z, at.z)};
    }
    *middle = hw_vec3_times(hw_vec3_add(low, high), 0.5);
    *radius = 0;
    for (size_t i = 3 * first; i < 3 * last; i++)
        *radius = fmax(*radius, hw_vec3_norm(hw_vec3_sub(s->vert[s->tri[i]], *middle)));
}

static hw_code shell_of(hw_arena *a, const hw_made *m, const hw_made_part *p, shell *s)
{
    s->tri = p->mesh.tri;
    s->tris = p->mesh.tris;
    s->balls = (s->tris + CLUSTER - 1) / CLUSTER;
    s->vert = HW_NEW(a, hw_vec3, p->mesh.verts);
    s->middle = HW_NEW(a, hw_vec3, s->balls + 1);
    s->radius = HW_NEW(a, double, s->balls + 1);
    if (!s->vert || !s->middle || !s->radius) return HW_NO_MEMORY;
    for (size_t v = 0; v < p->mesh.verts; v++) {
        s->vert[v] = p->mesh.vert[v];
        if (m->hand->left) s->vert[v].y = -s->vert[v].y; // it was mirrored
    }
    for (size_t k = 0; k < s->balls; k++) {
        size_t last = (k + 1) * CLUSTER;
        ball_round(s, k * CLUSTER, last < s->tris ? last : s->tris, &s->middle[k], &s->radius[k]);
    }
    ball_round(s, 0, s->tris, &s->middle[s->balls], &s->radius[s->balls]);
    return HW_OK;
}

static hw_code scene_of(hw_arena *a, const hw_made *m, scene *s)
{
    *s = (scene){.part = HW_NEW(a, shell, m->parts), .parts = m->parts, .close = INFINITY};
    if (!s->part) return HW_NO_MEMORY;
    for (size_t i = 0; i < m->parts; i++) {
        int digit = m->group[m->part[i].group].digit;
        if (digit < 0 || !hw_posed_has_place(m->part[i].part)) continue;
        hw_code code = shell_of(a, m, &m->part[i], &s->part[i]);
        if (code != HW_OK) return code;
        s->close = fmin(s->close, 1e-3 * m->hand->palm.digit[digit].width);
    }
    solids_of(m, s);
    return HW_OK;
}

// ---- the least over a surface -----------------------------------------------------------------

// How a field is pruned round what is looked at: so far beyond a ball what is left says the same
// (infinite: nothing is left out); distances nearer than `close` are one.
typedef struct round_it {
    hw_arena *work;
    double wide, close; // [m]
} round_it;

// Triangles are halved along their longest side until their ball is small, or too far off.
static void search(const round_it *r, const hw_field *f, const hw_vec3 at[3], int depth,
                   double *least)
{
    hw_vec3 middle = hw_vec3_times(hw_vec3_add(at[0], hw_vec3_add(at[1], at[2])), 1.0 / 3);
    double radius = 0, side = 0;
    int longest = 0;
    for (int i = 0; i < 3; i++) {
        radius = fmax(radius, hw_vec3_norm(hw_vec3_sub(at[i], middle)));
        double one = hw_vec3_norm(hw_vec3_sub(at[(i + 1) % 3], at[i]));
        if (one > side) side = one, longest = i;
    }
    if (depth > 0 && depth < DEEPEST && depth % ANEW == 0 && isfinite(r->wide)) {
        f = hw_field_around(r->work, f, middle, radius + r->wide);
        if (!f) return; // nothing of it is that near
    }
    double value = hw_field_at(f, middle);
    *least = fmin(*least, value);
    double enough = fmax(r->close, -deep * *least);
    if (depth == 0 || radius <= enough || value - radius >= *least - enough) return;
    hw_vec3 a = at[longest], b = at[(longest + 1) % 3], c = at[(longest + 2) % 3];
    hw_vec3 half = hw_vec3_times(hw_vec3_add(a, b), 0.5);
    const hw_vec3 two[2][3] = {{a, half, c}, {half, b, c}};
    search(r, f, two[0], depth - 1, least);
    search(r, f, two[1], depth - 1, least);
}

static double off_box(const solid *b, hw_vec3 p) // [m]
{
    hw_vec3 d = {fmax(0, fmax(b->low.x - p.x, p.x - b->high.x)),
                 fmax(0, fmax(b->low.y - p.y, p.y - b->high.y)),
                 fmax(0, fmax(b->low.z - p.z, p.z - b->high.z))};
    return hw_vec3_norm(d);
}

// Whether a field may be less than `least` in a ball. It never falls by more than one moves, and is
// not less than the distance from the box of all that is inside.
static bool may_hold(const solid *b, hw_vec3 middle, double radius, double least) // [m]
{
    return off_box(b, middle) - radius < fmax(0, least) &&
           hw_field_at(b->field, middle) - radius < least;
}

// The least over the triangles of a ball.
static double least_in(const round_it *r, const shell *p, size_t ball, const hw_field *f,
                       const hw_frame *bed, double least) // [m]
{
    for (size_t t = ball * CLUSTER; t < p->tris && t < (ball + 1) * CLUSTER; t++) {
        hw_vec3 at[3];
        for (int i = 0; i < 3; i++)
            at[i] =
                hw_frame_seen(bed, hw_frame_point(&p->place, p->vert[p->tri[3 * t + (size_t)i]]));
        search(r, f, at, DEEPEST, &least);
    }
    return least;
}

// Least value of a solid's field over a part's surface, where that is less than `least`. Round each
// ball what is left of the field says the same as all of it, but how deep it is where it is deeper
// than `least` is high.
static double nearest(hw_arena *work, const scene *s, const shell *p, const solid *b,
                      const hw_frame *bed, double least) // [m]
{
    hw_vec3 all = hw_frame_seen(bed, hw_frame_point(&p->place, p->middle[p->balls]));
    if (!may_hold(b, all, p->radius[p->balls], least)) return least;
    for (size_t k = 0; k < p->balls; k++) {
        hw_vec3 middle = hw_frame_seen(bed, hw_frame_point(&p->place, p->middle[k]));
        if (!may_hold(b, middle, p->radius[k], least)) continue;
        size_t mark = hw_arena_mark(work);
        const round_it near = {work, fabs(least), s->close}, all_of_it = {work, INFINITY, s->close};
        const hw_field *f = b->field;
        if (isfinite(near.wide)) f = hw_field_around(work, f, middle, p->radius[k] + near.wide);
        double here = f ? least_in(&near, p, k, f, bed, least) : least;
        if (here <= -near.wide && f != b->field)
            here = least_in(&all_of_it, p, k, b->field, bed, least);
        hw_arena_rewind(work, mark);
        least = fmin(least, here);
    }
    return least;
}

// ---- over a motion ----------------------------------------------------------------------------

static void place(const hw_made *m, const hw_palm_stance *stance, int digit, scene *s)
{
    for (size_t i = 0; i < m->groups; i++) {
        const hw_made_group *g = &m->group[i];
        hw_frame body[HW_STACK_PARTS];
        bool there = g->digit >= 0 && (digit < 0 || g->digit == digit) && g->parts &&
                     hw_posed_bodies(m, g, stance, body);
        for (size_t k = g->first; k < g->first + g->parts; k++) {
            s->part[k].there = there && hw_posed_has_place(m->part[k].part);
            if (s->part[k].there) s->part[k].place = body[m->part[k].part->body];
        }
    }
}

// All digits (digit -1) or one, with its carrier, which closing leaves where it is, or without.
static void look(hw_arena *work, const hw_made *m, const hw_palm_stance *stance, int digit,
                 bool carrier, scene *s, hw_made_palm_meeting *out)
{
    place(m, stance, digit, s);
    for (size_t b = 0; b < s->bodies; b++) {
        hw_frame bed = bed_at(&m->hand->palm, &s->body[b], stance);
        for (size_t i = 0; i < s->parts; i++) {
            if (!s->part[i].there) continue;
            int own = m->group[m->part[i].group].digit;
            // it is screwed to its own yoke
            if (m->part[i].part->body == 0 && (!carrier || s->body[b].digit == own)) continue;
            double gap = nearest(work, s, &s->part[i], &s->body[b], &bed, out->gap);
            if (gap < out->gap)
                *out = (hw_made_palm_meeting){gap, (int)i, (int)s->body[b].number,
                                              stance->close[own], stance->aside[own]};
        }
    }
}

static const hw_made_palm_meeting none = {NAN, -1, -1, NAN, NAN};

static hw_code begin(hw_arena *work, const hw_made *m, scene *s, double below,
                     hw_made_palm_meeting *out) // [m]
{
    *out = none;
    if (!m->palm || !hw_posed_sound(&m->hand->palm)) return HW_BAD_INPUT;
    hw_code code = scene_of(work, m, s);
    if (code == HW_OK) out->gap = below;
    return code;
}

hw_code hw_made_near_palm(hw_arena *work, const hw_made *m, int digit, hw_made_palm_meeting *out)
{
    size_t mark = hw_arena_mark(work);
    scene s;
    hw_code code = begin(work, m, &s, INFINITY, out);
    const hw_palm *p = &m->hand->palm;
    bool thumb = digit == HW_THUMB;
    const double *range = thumb ? p->opposition : p->digit[digit < 0 ? 0 : digit].splay;
    int asides = range[1] > range[0] ? HW_NEAR_ASIDES : 1;
    for (int a = 0; code == HW_OK && a < asides; a++)
        for (int k = HW_NEAR_STEPS - 1; k >= 0; k--) { // nearest at the end, mostly
            hw_palm_stance stance = {.curl = k / (HW_NEAR_STEPS - 1.0)};
            stance.close[digit] = stance.curl;
            stance.aside[digit] = range[0] + (range[1] - range[0]) * a / (HW_NEAR_ASIDES - 1.0);
            look(work, m, &stance, digit, k == 0, &s, out);
        }
    hw_arena_rewind(work, mark);
    return code;
}

hw_code hw_made_grip_near_palm(hw_arena *work, const hw_made *m, const hw_made_grip *grip,
                               double below, hw_made_palm_meeting *out)
{
    size_t mark = hw_arena_mark(work);
    scene s;
    hw_code code = begin(work, m, &s, below, out);
    for (int k = HW_NEAR_STEPS - 1; code == HW_OK && k >= 0; k--) {
        double t = grip->end * k / (HW_NEAR_STEPS - 1.0), before = out->gap;
        hw_palm_stance stance;
        hw_grip_stance_at(&grip->closing, t, &stance);
        look(work, m, &stance, -1, true, &s, out);
        if (out->gap < before) out->s = t; // of the pattern's closing
    }
    hw_arena_rewind(work, mark);
    return code;
}
