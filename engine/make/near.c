// Digits against the palm's solids: the least of a solid's field over the surfaces that pass it.
#include "make/posed_internal.h"

#include "base/vec3.h"
#include "solid/near.h"

#include <math.h>
#include <string.h>

static const double deep = 0.02; // of an overlap that it may be told too small by [1]

// Halvings of a triangle, and after how many its field is pruned again.
enum { DEEPEST = 12, ANEW = 4 };

// A digit's part, in its own frame, as a right hand's, and its tree of boxes.
typedef struct shell {
    hw_vec3 *vert;
    const uint32_t *tri;
    hw_near tree;
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

static hw_code shell_of(hw_arena *a, const hw_made *m, const hw_made_part *p, shell *s)
{
    hw_float_mesh *floats = HW_NEW(a, hw_float_mesh, 1); // the tree's own
    s->tri = p->mesh.tri;
    s->vert = HW_NEW(a, hw_vec3, p->mesh.verts);
    if (!s->vert || !floats) return HW_NO_MEMORY;
    hw_code code = hw_mesh_to_float(a, &p->mesh, 1, floats);
    if (code != HW_OK) return code;
    for (size_t v = 0; v < p->mesh.verts; v++) {
        s->vert[v] = p->mesh.vert[v];
        if (!m->hand->left) continue;
        s->vert[v].y = -s->vert[v].y; // it was mirrored
        floats->at[v][1] = -floats->at[v][1];
    }
    return hw_near_make(a, a, floats, NULL, &s->tree);
}

// Of all digits (digit -1) or one.
static hw_code scene_of(hw_arena *a, const hw_made *m, int which, scene *s)
{
    *s = (scene){.part = HW_NEW(a, shell, m->parts), .parts = m->parts, .close = INFINITY};
    if (!s->part) return HW_NO_MEMORY;
    for (size_t i = 0; i < m->parts; i++) {
        int digit = m->group[m->part[i].group].digit;
        if (digit < 0 || !hw_posed_has_place(m->part[i].part)) continue;
        s->close = fmin(s->close, 1e-3 * m->hand->palm.digit[digit].width);
        if (which >= 0 && digit != which) continue;
        hw_code code = shell_of(a, m, &m->part[i], &s->part[i]);
        if (code != HW_OK) return code;
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

// A part's surface against a solid's field.
typedef struct facing {
    const shell *p;
    const solid *b;
    const hw_frame *bed;
    round_it round;
} facing;

// The ball round a node's box, as the solid's bed sees it.
typedef struct ball {
    hw_vec3 middle;
    double radius; // [m]
} ball;

static ball ball_of(const facing *w, size_t node)
{
    const float *low = w->p->tree.low[node], *high = w->p->tree.high[node];
    hw_vec3 a = {(double)low[0], (double)low[1], (double)low[2]};
    hw_vec3 b = {(double)high[0], (double)high[1], (double)high[2]};
    hw_vec3 middle = hw_vec3_times(hw_vec3_add(a, b), 0.5);
    return (ball){hw_frame_seen(w->bed, hw_frame_point(&w->p->place, middle)),
                  0.5 * hw_vec3_norm(hw_vec3_sub(b, a)) * (1 + 1e-6) + 1e-8};
}

// The least over the triangles of a leaf.
static void leaf_in(const facing *w, size_t leaf, const hw_field *f, double *least) // [m]
{
    const hw_near *t = &w->p->tree;
    const size_t tris = t->mesh->tris;
    for (size_t i = tris * leaf / t->leaves; i < tris * (leaf + 1) / t->leaves; i++) {
        hw_vec3 at[3];
        for (size_t k = 0; k < 3; k++)
            at[k] = hw_frame_seen(
                w->bed, hw_frame_point(&w->p->place, w->p->vert[w->p->tri[3 * t->order[i] + k]]));
        search(&w->round, f, at, DEEPEST, least);
    }
}

// Down the tree, with what is left of the field round each node, the half that may be nearer first.
// The field never falls by more than one moves, and is not less than the distance from the box of
// all that is inside.
static void down(const facing *w, size_t node, const hw_field *f, // NOLINT(misc-no-recursion)
                 double *least)                                   // [m]
{
    const size_t mark = hw_arena_mark(w->round.work);
    const size_t leaves = w->p->tree.leaves;
    const hw_field *part[2];
    double key[2] = {INFINITY, INFINITY}; // what it may hold at best
    for (size_t k = 0; k < 2; k++) {
        const size_t child = node + k;
        if (w->p->tree.low[child][0] > w->p->tree.high[child][0]) continue; // empty
        const ball at = ball_of(w, child);
        if (off_box(w->b, at.middle) - at.radius >= fmax(0, *least)) continue;
        part[k] = f;
        if (isfinite(w->round.wide))
            part[k] = hw_field_around(w->round.work, f, at.middle, at.radius + w->round.wide);
        if (part[k]) key[k] = hw_field_at(part[k], at.middle) - at.radius;
    }
    for (int turn = 0; turn < 2; turn++) {
        const size_t k = (key[1] < key[0]) != turn;
        if (!(key[k] < *least)) continue;
        if (node + k >= leaves)
            leaf_in(w, node + k - leaves, part[k], least);
        else
            down(w, 2 * (node + k), part[k], least);
    }
    hw_arena_rewind(w->round.work, mark);
}

// Least value of a solid's field over a part's surface, where that is less than `least`. What is
// left of a field says the same as all of it where that is less, in size, than how far beyond a
// ball it was left; so that is widened until it is.
static double nearest(hw_arena *work, const scene *s, const shell *p, const solid *b,
                      const hw_frame *bed, double least) // [m]
{
    if (!p->tree.mesh->tris) return least;
    const double all = hw_vec3_norm(hw_vec3_sub(b->high, b->low));
    double wide = 1.5 * fmax(s->close, isfinite(least) ? fabs(least) : 0);
    for (;; wide = wide < all ? 4 * wide : (double)INFINITY) {
        const facing w = {p, b, bed, {work, wide, s->close}};
        const double asked = fmin(least, wide);
        double here = asked;
        if (p->tree.leaves > 1)
            down(&w, 2, b->field, &here);
        else
            leaf_in(&w, 0, b->field, &here);
        if (here < asked ? here > -wide : asked >= least) return here;
        if (isinf(wide)) return here;
    }
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

static hw_code begin(hw_arena *work, const hw_made *m, int digit, scene *s, double below,
                     hw_made_palm_meeting *out) // [m]
{
    *out = none;
    if (!m->palm || !hw_posed_sound(&m->hand->palm)) return HW_BAD_INPUT;
    hw_code code = scene_of(work, m, digit, s);
    if (code == HW_OK) out->gap = below;
    return code;
}

hw_code hw_made_near_palm(hw_arena *work, const hw_made *m, int digit, hw_made_palm_meeting *out)
{
    size_t mark = hw_arena_mark(work);
    scene s;
    hw_code code = begin(work, m, digit, &s, INFINITY, out);
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
    hw_code code = begin(work, m, -1, &s, below, out);
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
