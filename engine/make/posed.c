// Digits on their palm: from the bed on which a part was modelled to the hand.
#include "make/posed_internal.h"

#include "base/vec3.h"

#include <math.h>

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

// ---- a digit ------------------------------------------------------------------------------------

// The pose of a digit in a stance; a thumb whose outer joints go by themselves is posed joint by
// joint. False: it does not close there.
static bool pose_of(const hw_digit *d, const hw_palm_stance *s, int digit, hw_digit_pose *out)
{
    const hw_digit_family *family = hw_digit_family_of(d->family);
    if (family->pose(d, s->close[digit], out) != HW_OK) return false;
    if (digit != HW_THUMB || s->curl == s->close[digit]) return true;
    hw_digit_pose outer;
    hw_digit one = *d;
    if (family->pose(d, s->curl, &outer) != HW_OK) return false;
    one.family = HW_FAMILY_DIRECT;
    for (int j = 0; j < HW_JOINTS; j++)
        one.joint_travel[j][0] = one.joint_travel[j][1] = j ? outer.joint[j] : out->joint[j];
    return hw_digit_family_of(one.family)->pose(&one, 0, out) == HW_OK;
}

bool hw_posed_bodies(const hw_made *m, const hw_made_group *g, const hw_palm_stance *s,
                     hw_frame out[HW_STACK_PARTS])
{
    hw_digit_pose pose;
    hw_palm_pose on;
    hw_place at[HW_STACK_PARTS];
    if (!pose_of(&m->hand->digit[g->digit], s, g->digit, &pose)) return false;
    hw_palm_pose_of(&m->hand->palm, g->digit, s->aside[g->digit], pose.joint, &on);
    hw_parts_place(&g->bed, &pose, at);
    hw_frame bed = bed_frame(&g->bed), base = hw_frame_in(&on.base, &bed);
    for (int b = 0; b < HW_STACK_PARTS; b++) {
        hw_frame own = plane_frame(at[b].at, at[b].c, at[b].s);
        out[b] = hw_frame_in(&base, &own);
    }
    return true;
}

hw_palm_stance hw_posed_together(const hw_palm *p, double s, double thumb)
{
    hw_palm_stance out = {.curl = thumb};
    for (int d = 0; d < HW_DIGITS; d++) out.close[d] = d == HW_THUMB ? thumb : s;
    out.aside[HW_THUMB] = p->opposition[0] + thumb * (p->opposition[1] - p->opposition[0]);
    return out;
}

bool hw_posed_has_place(const hw_part *p)
{
    return p->body >= 0 && p->body < HW_STACK_PARTS;
}

// A point of a phalanx's own frame where the phalanx's part is.
static hw_vec3 on_part(const hw_bed *bed, const hw_frame *part, int body, hw_vec3 own)
{
    hw_vec2 plan = hw_bed_point(bed, body, (hw_vec2){own.x, own.z});
    return hw_frame_point(part, (hw_vec3){plan.x, bed->up * own.y, plan.z});
}

// A tension spool in its recess of the proximal phalanx: its flange's inner face on the pulley's
// layer, its drum inward. `proximal` is that part's place, of a right hand as all here.
static bool spool_frame(const hw_made *m, const hw_made_group *g, const hw_made_part *p,
                        const hw_frame *proximal, hw_frame *out)
{
    const hw_pulley *wheel = &m->hand->fittings[g->digit].wheel;
    const hw_spool_place *s = &wheel->spool;
    if (p->part->role != HW_PART_PULLEY || p->part->body >= 0 || !s->fits) return false;
    double outer = 0.5 * m->hand->layers[g->digit].layer[wheel->layer].thickness + s->thickness;
    hw_vec3 own = {s->at.x, wheel->y + wheel->outward * outer, s->at.z};
    hw_vec3 at = on_part(&g->bed, proximal, 1, own), x = own, up = own;
    x.x += 1;
    up.z += 1;
    x = hw_vec3_sub(on_part(&g->bed, proximal, 1, x), at);
    up = hw_vec3_times(hw_vec3_sub(on_part(&g->bed, proximal, 1, up), at), wheel->outward);
    hw_frame f = {at, hw_vec3_unit(x), hw_vec3_unit(up), {0, 0, 0}};
    f.z = hw_vec3_cross(f.x, f.y);
    // it was printed on its flange, its axis where the middle of its box is
    double across = 0.5 * (p->low.y + p->high.y) * (m->hand->left ? -1 : 1);
    f.at = hw_frame_point(&f, (hw_vec3){-0.5 * (p->low.x + p->high.x), -across, 0});
    *out = f;
    return true;
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

static hw_code posed_in(hw_arena *a, const hw_made *m, const hw_palm_stance *s, hw_posed *out)
{
    for (size_t i = 0; i < m->groups; i++) {
        const hw_made_group *g = &m->group[i];
        hw_frame body[HW_STACK_PARTS];
        if (g->digit < 0 || g->parts == 0 || !hw_posed_bodies(m, g, s, body)) continue;
        for (size_t k = 0; k < g->parts; k++) {
            const hw_made_part *p = &m->part[g->first + k];
            bool has = hw_posed_has_place(p->part);
            int b = has ? p->part->body : HW_POSED_SPOOL;
            hw_frame at;
            if (has)
                at = body[b];
            else if (!spool_frame(m, g, p, &body[1], &at))
                continue;
            if (m->hand->left) at = mirrored(at);
            out->part[out->parts++] =
                (hw_posed_part){p->part->name, g->digit, b, at, &p->mesh, &p->file};
        }
    }
    bool solid = add_bodies(m, out);
    hw_code code = solid ? HW_OK : add_outline(a, m, out);
    if (code == HW_OK) reach(out);
    return code;
}

hw_code hw_make_posed(hw_arena *a, const hw_made *m, double s, hw_posed *out)
{
    *out = (hw_posed){.s = s, .grip = HW_GRIPS};
    if (!(s >= 0 && s <= 1) || !hw_posed_sound(&m->hand->palm)) return HW_BAD_INPUT;
    out->part = HW_NEW(a, hw_posed_part, m->parts + 1);
    if (!out->part) return HW_NO_MEMORY;
    hw_code code = hw_posed_thumb(a, m, s, &out->thumb);
    if (code != HW_OK) return code;
    hw_palm_stance stance = hw_posed_together(&m->hand->palm, s, out->thumb);
    return posed_in(a, m, &stance, out);
}

hw_code hw_make_posed_grip(hw_arena *a, const hw_made *m, hw_grip_pattern grip, hw_posed *out)
{
    hw_made_grip held;
    *out = (hw_posed){.s = (double)NAN, .thumb = (double)NAN, .grip = grip};
    hw_code code = hw_made_grip_of(a, m, grip, &held);
    if (code != HW_OK) return code;
    out->part = HW_NEW(a, hw_posed_part, m->parts + 1);
    if (!out->part) return HW_NO_MEMORY;
    hw_palm_stance stance;
    hw_grip_stance_at(&held.closing, held.end, &stance);
    return posed_in(a, m, &stance, out);
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
