// Digits beside each other: how near their parts come while the hand closes.
#include "make/posed_internal.h"

#include "base/vec3.h"
#include "hand/thumb_base.h"

#include <math.h>

enum { HALVINGS = 12 }; // of a step of the closing: 1e-5 of it

bool hw_posed_sound(const hw_palm *p)
{
    return isfinite(p->outline[0][0].x) && isfinite(p->opposition_at.x);
}

// ---- bodies round the parts ---------------------------------------------------------------------

// Boxes say quickly that parts are far apart; hulls say how far.
typedef struct solids {
    hw_body *own;        // hulls of each part of the hand, as a right hand's are printed
    hw_body *box, *hull; // placed
    bool *there;         // whether its digit closes at this stance
    const int *digit;    // of each part; -1: a coupon's
} solids;

static hw_code hull_of(hw_arena *a, const hw_made *m, const hw_made_part *p, hw_body *out)
{
    size_t n = p->mesh.verts;
    hw_vec3 *at = HW_NEW(a, hw_vec3, n);
    if (!at) return HW_NO_MEMORY;
    for (size_t v = 0; v < n; v++) {
        at[v] = p->mesh.vert[v];
        if (m->hand->left) at[v].y = -at[v].y; // it was mirrored
    }
    *out = hw_body_hull(hw_frame_identity(), at, hw_hull_corners(at, n));
    return HW_OK;
}

static hw_code solids_of(hw_arena *a, const hw_made *m, solids *out)
{
    int *digit = HW_NEW(a, int, m->parts);
    *out = (solids){HW_NEW(a, hw_body, m->parts), HW_NEW(a, hw_body, m->parts),
                    HW_NEW(a, hw_body, m->parts), HW_NEW(a, bool, m->parts), digit};
    if (!out->own || !out->box || !out->hull || !out->there || !digit) return HW_NO_MEMORY;
    for (size_t i = 0; i < m->parts; i++) {
        digit[i] = m->group[m->part[i].group].digit;
        if (digit[i] < 0 || !hw_posed_has_place(m->part[i].part)) continue;
        hw_code code = hull_of(a, m, &m->part[i], &out->own[i]);
        if (code != HW_OK) return code;
    }
    return HW_OK;
}

typedef enum who { FINGERS = 1, THUMB = 2 } who;

static void place(const hw_made *m, const hw_palm_stance *s, int of, const solids *b) // [1]
{
    for (size_t i = 0; i < m->groups; i++) {
        const hw_made_group *g = &m->group[i];
        hw_frame body[HW_STACK_PARTS];
        if (!(of & (g->digit == HW_THUMB ? THUMB : FINGERS))) continue;
        bool there = g->digit >= 0 && g->parts && hw_posed_bodies(m, g, s, body);
        for (size_t k = g->first; k < g->first + g->parts; k++) {
            const hw_part *part = m->part[k].part;
            b->there[k] = there && hw_posed_has_place(part);
            if (!b->there[k]) continue;
            b->hull[k] = b->own[k];
            b->hull[k].frame = hw_frame_in(&body[part->body], &b->own[k].frame);
            b->box[k] = b->hull[k];
            b->box[k].kind = HW_BODY_BOX;
        }
    }
}

// How far two parts are apart, where that is less than `enough`.
static double clear(const solids *b, size_t i, size_t j, double enough) // [m]
{
    double gap = hw_body_clear(&b->box[i], &b->box[j], enough);
    return gap < enough ? hw_body_clear(&b->hull[i], &b->hull[j], enough) : gap;
}

// ---- the thumb comes last -----------------------------------------------------------------------

// The palm between two loops of its outline.
static hw_body slice_of(const hw_palm *p, int section)
{
    hw_vec3 low = p->outline[section][0], high = low;
    for (int i = 0; i < 2 * HW_PALM_AROUND; i++) {
        hw_vec3 at = p->outline[section + i / HW_PALM_AROUND][i % HW_PALM_AROUND];
        low = (hw_vec3){fmin(low.x, at.x), fmin(low.y, at.y), fmin(low.z, at.z)};
        high = (hw_vec3){fmax(high.x, at.x), fmax(high.y, at.y), fmax(high.z, at.z)};
    }
    hw_frame f = hw_frame_identity();
    f.at = hw_vec3_times(hw_vec3_add(low, high), 0.5);
    return hw_body_box(f, high.x - low.x, high.y - low.y, high.z - low.z);
}

// Least gaps of the thumb's phalanges to the fingers' own, and of the two outer ones to the palm.
typedef struct gaps {
    double fingers, palm; // [m]
} gaps;

static gaps thumb_gaps(const hw_made *m, const solids *b, const hw_body palm[], double s) // [1]
{
    gaps least = {INFINITY, INFINITY};
    hw_palm_stance stance = hw_posed_together(&m->hand->palm, s, s);
    place(m, &stance, THUMB, b);
    for (size_t i = 0; i < m->parts; i++) {
        int body = m->part[i].part->body;
        if (!b->there[i] || b->digit[i] != HW_THUMB || body < 1) continue;
        for (size_t j = 0; j < m->parts; j++)
            if (b->there[j] && b->digit[j] != HW_THUMB && m->part[j].part->body > 0)
                least.fingers = fmin(least.fingers, clear(b, i, j, least.fingers));
        for (int k = 0; k + 1 < HW_PALM_SECTIONS && body > 1; k++)
            least.palm = fmin(least.palm, hw_body_clear(&b->hull[i], &palm[k], least.palm));
    }
    return least;
}

// What the thumb stands in while it is open does not count.
static bool meets(const gaps *now, const gaps *open)
{
    return now->fingers < fmin(0, open->fingers) || now->palm < fmin(0, open->palm);
}

hw_code hw_posed_thumb(hw_arena *a, const hw_made *m, double s, double *out)
{
    solids b;
    hw_palm_stance stance = hw_posed_together(&m->hand->palm, s, 0);
    hw_body palm[HW_PALM_SECTIONS - 1];
    if (solids_of(a, m, &b) != HW_OK) return HW_NO_MEMORY;
    for (int k = 0; k + 1 < HW_PALM_SECTIONS; k++) palm[k] = slice_of(&m->hand->palm, k);
    place(m, &stance, FINGERS, &b);
    gaps open = thumb_gaps(m, &b, palm, 0), now;
    double free = 0, met = s;
    for (int i = 1; i < HW_POSED_STEPS; i++) {
        met = s * i / (HW_POSED_STEPS - 1);
        now = thumb_gaps(m, &b, palm, met);
        if (meets(&now, &open)) break;
        free = met;
    }
    for (int i = 0; i < HALVINGS && free < met; i++) {
        double half = 0.5 * (free + met);
        now = thumb_gaps(m, &b, palm, half);
        *(meets(&now, &open) ? &met : &free) = half;
    }
    *out = free;
    return HW_OK;
}

// ---- digits beside each other -------------------------------------------------------------------

static void take(hw_made_meeting *least, const solids *b, size_t i, size_t j, double s) // [1]
{
    double gap = clear(b, i, j, least->gap);
    if (gap < least->gap) *least = (hw_made_meeting){gap, {(int)i, (int)j}, s};
}

static void look(const hw_made *m, const solids *b, double s, hw_made_meeting *fingers,
                 hw_made_meeting *thumb) // [1]
{
    for (size_t i = 0; i < m->parts; i++)
        for (size_t j = i + 1; j < m->parts; j++) {
            if (!b->there[i] || !b->there[j] || b->digit[i] == b->digit[j]) continue;
            bool with_thumb = b->digit[i] == HW_THUMB || b->digit[j] == HW_THUMB;
            take(with_thumb ? thumb : fingers, b, i, j, s);
        }
}

hw_code hw_made_meet(hw_arena *work, const hw_made *m, hw_made_meeting *fingers,
                     hw_made_meeting *thumb)
{
    const hw_made_meeting none = {INFINITY, {-1, -1}, NAN};
    *fingers = *thumb = (hw_made_meeting){NAN, {-1, -1}, NAN};
    if (!hw_posed_sound(&m->hand->palm)) return HW_BAD_INPUT;
    size_t mark = hw_arena_mark(work);
    solids b;
    hw_code code = solids_of(work, m, &b);
    if (code == HW_OK) *fingers = *thumb = none;
    for (int k = 0; code == HW_OK && k < HW_POSED_STEPS; k++) {
        double s = k / (HW_POSED_STEPS - 1.0);
        hw_palm_stance stance = hw_posed_together(&m->hand->palm, s, s);
        place(m, &stance, FINGERS | THUMB, &b);
        look(m, &b, s, fingers, thumb);
    }
    hw_arena_rewind(work, mark);
    return code;
}

// ---- grip patterns ------------------------------------------------------------------------------

// The phalanx (0 to 2) that a part belongs to when it is touched: a bar lies in one; -1: a carrier.
static int phalanx_of(int body)
{
    static const int of[HW_STACK_PARTS] = {-1, 0, 1, 2, 0, 1};
    return of[body];
}

static bool means(const hw_made *m, const solids *b, hw_grip_pattern grip, size_t i, size_t j)
{
    const int digit[2] = {b->digit[i], b->digit[j]};
    const int phalanx[2] = {phalanx_of(m->part[i].part->body), phalanx_of(m->part[j].part->body)};
    return phalanx[0] >= 0 && phalanx[1] >= 0 && hw_grip_means(grip, digit, phalanx);
}

// Least gaps at t of the closing: of what is to touch, and, where `others` is there, of the rest.
static double held_gap(const hw_made *m, const solids *b, hw_grip_pattern grip,
                       const hw_grip_closing *c, double t, hw_made_meeting *others) // [1] [m]
{
    hw_palm_stance s;
    double least = INFINITY;
    hw_grip_stance_at(c, t, &s);
    place(m, &s, FINGERS | THUMB, b);
    for (size_t i = 0; i < m->parts; i++)
        for (size_t j = i + 1; j < m->parts; j++) {
            if (!b->there[i] || !b->there[j] || b->digit[i] == b->digit[j]) continue;
            if (means(m, b, grip, i, j))
                least = fmin(least, clear(b, i, j, least));
            else if (others)
                take(others, b, i, j, t);
        }
    return least;
}

static void close_grip(const hw_made *m, const solids *b, hw_grip_pattern grip, hw_made_grip *out)
{
    const hw_grip_closing *c = &out->closing;
    double free = 0, met = 1, gap = INFINITY;
    for (int k = 0; k < HW_POSED_STEPS; k++) {
        met = k / (HW_POSED_STEPS - 1.0);
        gap = held_gap(m, b, grip, c, met, NULL);
        if (gap < 0) break;
        (void)held_gap(m, b, grip, c, met, &out->others);
        free = met;
    }
    for (int i = 0; i < HALVINGS && free < met; i++) {
        double half = 0.5 * (free + met);
        *(held_gap(m, b, grip, c, half, NULL) < 0 ? &met : &free) = half;
    }
    (void)held_gap(m, b, grip, c, free, &out->others);
    out->end = free;
    out->short_of = gap < 0 ? 0 : gap;
}

hw_code hw_made_grip_of(hw_arena *work, const hw_made *m, hw_grip_pattern grip, hw_made_grip *out)
{
    const hw_made_meeting none = {INFINITY, {-1, -1}, NAN};
    const hw_digit *thumb = &m->hand->digit[HW_THUMB];
    hw_palm_motion motion[HW_DIGITS];
    *out = (hw_made_grip){.others = {NAN, {-1, -1}, NAN}, .end = (double)NAN};
    size_t mark = hw_arena_mark(work);
    solids b;
    hw_code code = hw_hand_motions(work, m->hand, motion);
    if (code == HW_OK)
        code = hw_grip_closing_of(&m->hand->palm, motion, grip, thumb->family != HW_FAMILY_DIRECT,
                                  &out->closing);
    if (code == HW_OK) code = solids_of(work, m, &b);
    if (code == HW_OK) {
        out->others = none;
        close_grip(m, &b, grip, out);
    }
    hw_arena_rewind(work, mark);
    return code;
}
