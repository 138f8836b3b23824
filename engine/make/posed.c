// Digits on their palm: from the bed on which a part was modelled to the hand.
#include "make/posed.h"

#include "base/vec3.h"
#include "palm/pose.h"

#include <math.h>

enum { HALVINGS = 12 }; // of a step of the closing: 1e-5 of it

// ---- frames -------------------------------------------------------------------------------------

// A turn in the digit's plane (x, z) and a shift there, as a frame.
static hw_frame plane_frame(hw_vec2 at, double c, double s) // [1]
{
    hw_vec2 x = hw_flex((hw_vec2){1, 0}, c, s), z = hw_flex((hw_vec2){0, 1}, c, s);
    return (hw_frame){{at.x, 0, at.z}, {x.x, 0, x.z}, {0, 1, 0}, {z.x, 0, z.z}};
}

// The bed's frame in the digit's: the inverse of how the digit was laid on it.
static hw_frame bed_frame(const hw_bed *bed)
{
    hw_vec2 x = hw_flex((hw_vec2){1, 0}, bed->c, -bed->s);
    hw_vec2 z = hw_scale(hw_flex((hw_vec2){0, 1}, bed->c, -bed->s), bed->up);
    hw_vec2 at = hw_add(hw_scale(x, -bed->knuckle.x), hw_scale(z, -bed->knuckle.z));
    return (hw_frame){{at.x, 0, at.z}, {x.x, 0, x.z}, {0, bed->up, 0}, {z.x, 0, z.z}};
}

// How a frame that places mirrored things in a mirrored hand looks: M f M, M turning y round.
static hw_frame mirrored(hw_frame f)
{
    return (hw_frame){{f.at.x, -f.at.y, f.at.z},
                      {f.x.x, -f.x.y, f.x.z},
                      {-f.y.x, f.y.y, -f.y.z},
                      {f.z.x, -f.z.y, f.z.z}};
}

static bool is_finite(const hw_palm *p)
{
    return isfinite(p->outline[0][0].x) && isfinite(p->thumb_base.at.x);
}

// ---- a digit ------------------------------------------------------------------------------------

// Where the bodies of a group are, the carrier included, for a right hand; false: not there.
static bool bodies_of(const hw_made *m, const hw_made_group *g, double s,
                      hw_frame out[HW_STACK_PARTS]) // [1]
{
    const hw_palm *palm = &m->hand->palm;
    const hw_digit *d = &m->hand->digit[g->digit];
    hw_digit_pose pose;
    hw_palm_pose on;
    hw_place at[HW_STACK_PARTS];
    if (hw_digit_family_of(d->family)->pose(d, s, &pose) != HW_OK) return false;
    double aside = g->digit == HW_THUMB
                       ? palm->opposition[0] + s * (palm->opposition[1] - palm->opposition[0])
                       : 0;
    hw_palm_pose_of(palm, g->digit, aside, pose.joint, &on);
    hw_parts_place(&g->bed, &pose, at);
    hw_frame bed = bed_frame(&g->bed), base = hw_frame_in(&on.base, &bed);
    for (int b = 0; b < HW_STACK_PARTS; b++) {
        hw_frame own = plane_frame(at[b].at, at[b].c, at[b].s);
        out[b] = hw_frame_in(&base, &own);
    }
    return true;
}

// A loose part (a spool that is put in by hand) has no place yet.
static bool has_place(const hw_part *p)
{
    return p->body >= 0 && p->body < HW_STACK_PARTS;
}

// ---- the palm's outline -------------------------------------------------------------------------

// The outline as a closed mesh: walls from loop to loop, a fan at either end.
static hw_code outline_mesh(hw_arena *a, const hw_palm *palm, hw_mesh *out)
{
    enum { ROUND = HW_PALM_AROUND, LAST = HW_PALM_SECTIONS - 1 };
    size_t n = (size_t)HW_PALM_SECTIONS * ROUND, t = 0;
    *out = (hw_mesh){HW_NEW(a, hw_vec3, n + 2),
                     HW_NEW(a, uint32_t, 3 * (2 * (size_t)LAST * ROUND + 2 * ROUND)), n + 2, 0};
    if (!out->vert || !out->tri) return HW_NO_MEMORY;
    for (size_t i = 0; i < n; i++) {
        out->vert[i] = palm->outline[i / ROUND][i % ROUND];
        if (i / ROUND == 0 || i / ROUND == LAST) {
            hw_vec3 *middle = &out->vert[n + (i / ROUND == LAST)];
            *middle = hw_vec3_along(*middle, 1.0 / ROUND, out->vert[i]);
        }
    }
    for (uint32_t k = 0; k < ROUND; k++) {
        uint32_t next = (k + 1) % ROUND, front = LAST * ROUND;
        for (uint32_t i = 0; i < LAST; i++) {
            const uint32_t c[4] = {i * ROUND + k, i * ROUND + next, (i + 1) * ROUND + next,
                                   (i + 1) * ROUND + k};
            const uint32_t tri[6] = {c[0], c[1], c[2], c[0], c[2], c[3]};
            for (int j = 0; j < 6; j++) out->tri[t++] = tri[j];
        }
        const uint32_t ends[6] = {(uint32_t)n, next, k, (uint32_t)n + 1, front + k, front + next};
        for (int j = 0; j < 6; j++) out->tri[t++] = ends[j];
    }
    out->tris = t / 3;
    return HW_OK;
}

static hw_code add_outline(hw_arena *a, const hw_made *m, hw_posed *out)
{
    hw_mesh *mesh = HW_NEW(a, hw_mesh, 1);
    hw_float_mesh *file = HW_NEW(a, hw_float_mesh, 1);
    if (!mesh || !file) return HW_NO_MEMORY;
    hw_code code = outline_mesh(a, &m->hand->palm, mesh);
    if (code == HW_OK && m->hand->left) hw_mesh_mirror(mesh);
    if (code == HW_OK) code = hw_mesh_to_float(a, mesh, 1e-3, file);
    out->part[out->parts++] = (hw_posed_part){"palm", -1, -1, hw_frame_identity(), mesh, file};
    return code;
}

// What stands behind the digits, where it was made; false: nothing was.
static bool add_bodies(const hw_made *m, hw_posed *out)
{
    bool any = false;
    for (size_t i = 0; i < m->groups; i++) {
        const hw_made_group *g = &m->group[i];
        for (size_t k = g->first; g->body && k < g->first + g->parts; k++) {
            const hw_made_part *p = &m->part[k];
            hw_frame at = m->hand->left ? mirrored(g->body->bed) : g->body->bed;
            out->part[out->parts++] =
                (hw_posed_part){g->body->name, -1, -1, at, &p->mesh, &p->file};
            any = true;
        }
    }
    return any;
}

// ---- boxes round the parts ----------------------------------------------------------------------

// The box that a part fills, placed.
static hw_body box_of(const hw_made *m, const hw_made_part *p, const hw_frame *at)
{
    bool left = m->hand->left; // its box was mirrored with its mesh
    hw_vec3 low = p->low, high = p->high;
    hw_frame f = *at;
    hw_vec3 middle = hw_vec3_times(hw_vec3_add(low, high), 0.5);
    if (left) middle.y = -middle.y;
    f.at = hw_frame_point(at, middle);
    return hw_body_box(f, high.x - low.x, high.y - low.y, high.z - low.z);
}

typedef struct boxes {
    hw_body *box;     // of each part of the hand
    bool *there;      // whether its digit closes at this pose
    const int *digit; // of each part; -1: a coupon's
} boxes;

static hw_code boxes_of(hw_arena *a, const hw_made *m, boxes *out)
{
    int *digit = HW_NEW(a, int, m->parts);
    *out = (boxes){HW_NEW(a, hw_body, m->parts), HW_NEW(a, bool, m->parts), digit};
    if (!out->box || !out->there || !digit) return HW_NO_MEMORY;
    for (size_t i = 0; i < m->parts; i++) digit[i] = m->group[m->part[i].group].digit;
    return HW_OK;
}

// Boxes of the thumb's parts at one share of its closing, or of all others'.
static void place_boxes(const hw_made *m, bool thumb, double s, const boxes *b) // [1]
{
    for (size_t i = 0; i < m->groups; i++) {
        const hw_made_group *g = &m->group[i];
        hw_frame body[HW_STACK_PARTS];
        if ((g->digit == HW_THUMB) != thumb) continue;
        bool there = g->digit >= 0 && g->parts && bodies_of(m, g, s, body);
        for (size_t k = g->first; k < g->first + g->parts; k++) {
            const hw_part *part = m->part[k].part;
            b->there[k] = there && has_place(part);
            if (b->there[k]) b->box[k] = box_of(m, &m->part[k], &body[part->body]);
        }
    }
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

static gaps thumb_gaps(const hw_made *m, const boxes *b, const hw_body palm[], double s) // [1]
{
    gaps least = {INFINITY, INFINITY};
    place_boxes(m, true, s, b);
    for (size_t i = 0; i < m->parts; i++) {
        int body = m->part[i].part->body;
        if (!b->there[i] || b->digit[i] != HW_THUMB || body < 1) continue;
        for (size_t j = 0; j < m->parts; j++)
            if (b->there[j] && b->digit[j] != HW_THUMB && m->part[j].part->body > 0)
                least.fingers =
                    fmin(least.fingers, hw_body_clear(&b->box[i], &b->box[j], least.fingers));
        for (int k = 0; k + 1 < HW_PALM_SECTIONS && body > 1; k++)
            least.palm = fmin(least.palm, hw_body_clear(&b->box[i], &palm[k], least.palm));
    }
    return least;
}

// What the thumb stands in while it is open does not count.
static bool meets(const gaps *now, const gaps *open)
{
    return now->fingers < fmin(0, open->fingers) || now->palm < fmin(0, open->palm);
}

// How far the thumb closes before it meets what the fingers have left it, at most s.
static hw_code thumb_share(hw_arena *a, const hw_made *m, double s, double *out) // [1]
{
    boxes b;
    hw_body palm[HW_PALM_SECTIONS - 1];
    if (boxes_of(a, m, &b) != HW_OK) return HW_NO_MEMORY;
    for (int k = 0; k + 1 < HW_PALM_SECTIONS; k++) palm[k] = slice_of(&m->hand->palm, k);
    place_boxes(m, false, s, &b);
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

// ---- a whole hand -------------------------------------------------------------------------------

static void reach(hw_posed *p)
{
    p->low = (hw_vec3){INFINITY, INFINITY, INFINITY};
    p->high = (hw_vec3){-INFINITY, -INFINITY, -INFINITY};
    for (size_t i = 0; i < p->parts; i++)
        for (size_t v = 0; v < p->part[i].mesh->verts; v++) {
            hw_vec3 at = hw_frame_point(&p->part[i].place, p->part[i].mesh->vert[v]);
            p->low = (hw_vec3){fmin(p->low.x, at.x), fmin(p->low.y, at.y), fmin(p->low.z, at.z)};
            p->high =
                (hw_vec3){fmax(p->high.x, at.x), fmax(p->high.y, at.y), fmax(p->high.z, at.z)};
        }
}

hw_code hw_make_posed(hw_arena *a, const hw_made *m, double s, hw_posed *out)
{
    *out = (hw_posed){.s = s};
    if (!(s >= 0 && s <= 1) || !is_finite(&m->hand->palm)) return HW_BAD_INPUT;
    out->part = HW_NEW(a, hw_posed_part, m->parts + 1);
    if (!out->part || thumb_share(a, m, s, &out->thumb) != HW_OK) return HW_NO_MEMORY;
    for (size_t i = 0; i < m->groups; i++) {
        const hw_made_group *g = &m->group[i];
        hw_frame body[HW_STACK_PARTS];
        double own = g->digit == HW_THUMB ? out->thumb : s;
        if (g->digit < 0 || g->parts == 0 || !bodies_of(m, g, own, body)) continue;
        for (size_t k = 0; k < g->parts; k++) {
            const hw_made_part *p = &m->part[g->first + k];
            int b = p->part->body;
            if (!has_place(p->part)) continue;
            out->part[out->parts++] = (hw_posed_part){
                p->part->name, g->digit, b, m->hand->left ? mirrored(body[b]) : body[b],
                &p->mesh,      &p->file};
        }
    }
    bool solid = add_bodies(m, out);
    hw_code code = solid ? HW_OK : add_outline(a, m, out);
    if (code == HW_OK) reach(out);
    return code;
}

hw_code hw_posed_mesh(hw_arena *keep, const hw_posed_part *part, hw_mesh *out)
{
    *out = *part->mesh; // triangles are shared
    out->vert = HW_NEW(keep, hw_vec3, out->verts);
    if (!out->vert) return HW_NO_MEMORY;
    for (size_t v = 0; v < out->verts; v++)
        out->vert[v] = hw_frame_point(&part->place, part->mesh->vert[v]);
    return HW_OK;
}

// ---- digits beside each other -------------------------------------------------------------------

static void take(hw_made_meeting *least, const boxes *b, size_t i, size_t j, double s) // [1]
{
    double gap = hw_body_clear(&b->box[i], &b->box[j], least->gap);
    if (gap < least->gap) *least = (hw_made_meeting){gap, {(int)i, (int)j}, s};
}

static void look(const hw_made *m, const boxes *b, double s, hw_made_meeting *fingers,
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
    if (!is_finite(&m->hand->palm)) return HW_BAD_INPUT;
    size_t mark = hw_arena_mark(work);
    boxes b;
    hw_code code = boxes_of(work, m, &b);
    if (code == HW_OK) *fingers = *thumb = none;
    for (int k = 0; code == HW_OK && k < HW_POSED_STEPS; k++) {
        double s = k / (HW_POSED_STEPS - 1.0);
        place_boxes(m, false, s, &b);
        place_boxes(m, true, s, &b);
        look(m, &b, s, fingers, thumb);
    }
    hw_arena_rewind(work, mark);
    return code;
}
