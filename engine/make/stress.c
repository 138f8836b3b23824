// Loads of a phalanx from the digit's balances, and its stress from voxels.
#include "make/stress.h"

#include "base/text.h"
#include "stack/stack.h"

#include <math.h>

enum { LOADS_MOST = 8 };

hw_made_stress_def hw_made_stress_def_default(void)
{
    return (hw_made_stress_def){{1.0 / 32, 1.0 / 46}, 1.0 / 16, 0.35, 6000000};
}

// Everything that the loads are worked out from. Points and forces of the phalanx's own frame.
typedef struct loading {
    const hw_hand *hand;
    const hw_digit_assessment *got;
    const hw_bed *bed;
    int digit;
    int own, next; // the phalanx's number from 0, as its own joint's, and the next joint's
    double margin; // round surfaces that carry, so that their voxels are met [m]
    hw_across_pose at;
    hw_joint_load joint[HW_JOINTS];
    double bar[2], torque; // pulls of bars [N], the drive's torque at the knuckle [N*m]
    hw_space_push push;
    int which;
    hw_voxel_load load[LOADS_MOST];
    size_t n;
    hw_vec3 force, moment; // of all loads so far, about the phalanx's origin
} loading;

// ---- frames -------------------------------------------------------------------------------------

static hw_vec3 to_bed(const loading *l, hw_vec3 v, bool point)
{
    const hw_place *p = &l->bed->printed[l->own + 1];
    hw_vec2 t = hw_flex((hw_vec2){v.x, v.z}, p->c, p->s);
    if (point) t = hw_add(t, p->at);
    t = hw_flex(t, l->bed->c, l->bed->s);
    hw_vec3 out = {t.x, l->bed->up * v.y, l->bed->up * t.z};
    if (point) {
        out.x += l->bed->knuckle.x;
        out.z += l->bed->knuckle.z;
    }
    return out;
}

// A vector of the digit frame in the phalanx's.
static hw_vec2 own(const loading *l, hw_vec2 v)
{
    return hw_flex(v, l->at.c[l->own], -l->at.s[l->own]);
}

// ---- loads --------------------------------------------------------------------------------------

static hw_vec3 cross(hw_vec3 r, hw_vec3 f)
{
    return (hw_vec3){r.y * f.z - r.z * f.y, r.z * f.x - r.x * f.z, r.x * f.y - r.y * f.x};
}

static void count(loading *l, hw_vec3 at, hw_vec3 force)
{
    hw_vec3 m = cross(at, force);
    l->force = (hw_vec3){l->force.x + force.x, l->force.y + force.y, l->force.z + force.z};
    l->moment = (hw_vec3){l->moment.x + m.x, l->moment.y + m.y, l->moment.z + m.z};
}

// A force on what lies round an axis across the digit, between two planes.
static void bear(loading *l, hw_vec3 at, double radius, double half, hw_vec3 force)
{
    if (force.x == 0 && force.y == 0 && force.z == 0) return;
    count(l, at, force);
    double reach = half + l->margin;
    l->load[l->n++] = (hw_voxel_load){.region = {.shape = HW_VOXEL_CYLINDER,
                                                 .at = to_bed(l, at, true),
                                                 .axis = {0, 1, 0},
                                                 .from = -reach,
                                                 .to = reach,
                                                 .outer = radius + l->margin},
                                      .spread = HW_VOXEL_FACING,
                                      .force = to_bed(l, force, false),
                                      .at = to_bed(l, at, true)};
}

// How far a joint's cones spread the cheeks.
static double spread_of(const loading *l, int j)
{
    const hw_joint_load *load = &l->joint[j];
    hw_grip grip;
    hw_grip_hold hold;
    if (hw_grip_of(&l->hand->pivot[l->digit][j], &grip) != HW_OK) return NAN;
    hw_vec2 away = {-l->at.c[j], l->at.s[j]};
    hw_grip_load one = {.radial = {load->radial[0], load->radial[1]},
                        .along = {hw_dot(load->cone[0], away), hw_dot(load->cone[1], away)},
                        .axial = load->force.y,
                        .sustained = l->which != (int)HW_CASE_KNOCK};
    hw_grip_hold_of(&grip, &one, &hold);
    return hold.spread;
}

// Both cones of a joint on this phalanx: in its cheeks at its own joint, on its tangs at the next,
// where everything is the other way round.
static void bear_joint(loading *l, int j)
{
    const hw_fork_place *f = &l->hand->layers[l->digit].fork[j];
    const hw_cone_shape *cone = &l->hand->layers[l->digit].cone;
    const hw_digit *d = &l->hand->digit[l->digit];
    const hw_joint_load *load = &l->joint[j];
    double sign = j == l->own ? 1 : -1, x = j == l->own ? 0 : d->phalanx[l->own];
    double spread = spread_of(l, j);
    for (int k = 0; k < 2; k++) {
        hw_vec2 plane = hw_scale(own(l, load->cone[k]), sign);
        // The tang pushes on the cheek toward which it is pushed.
        double axial = (load->force.y > 0) == (k == 1) ? sign * load->force.y : 0;
        double outward = (k == 1 ? 1 : -1) * sign * spread;
        double middle = j == l->own ? f->cheek_y[k] : f->tang_y[k];
        double half = 0.5 * (j == l->own ? f->cheek_thickness[k] : f->tang_thickness[k]);
        // A tang's cones stand out of it by their engagement.
        if (j == l->next) half += cone->engagement;
        hw_vec3 force = {plane.x, axial + outward, plane.z};
        // The line of load lies within the plate; all of the plate's hole may carry.
        bear(l, (hw_vec3){x, l->hand->across[l->digit].cone[j][k], 0}, f->base,
             fmax(half, fabs(l->hand->across[l->digit].cone[j][k] - middle) + half), force);
    }
}

static void bear_push(loading *l)
{
    if (l->push.phalanx != l->own) return;
    double t = l->hand->digit[l->digit].thickness[l->own];
    hw_vec3 at = l->push.at;
    count(l, at, l->push.force);
    // The palmar face under the push, as long as the phalanx is thick.
    hw_vec3 a = to_bed(l, (hw_vec3){at.x - 0.25 * t, -t, -t}, true);
    hw_vec3 b = to_bed(l, (hw_vec3){at.x + 0.25 * t, t, 0}, true);
    l->load[l->n++] =
        (hw_voxel_load){.region = {.shape = HW_VOXEL_BOX,
                                   .low = {fmin(a.x, b.x), fmin(a.y, b.y), fmin(a.z, b.z)},
                                   .high = {fmax(a.x, b.x), fmax(a.y, b.y), fmax(a.z, b.z)}},
                        .spread = HW_VOXEL_FACING,
                        .force = to_bed(l, l->push.force, false),
                        .at = to_bed(l, at, true)};
}

// Bar A's pull at the middle phalanx's horn: what the balance still asks.
static void bear_horn(loading *l)
{
    const hw_layers *y = &l->hand->layers[l->digit];
    hw_vec2 end = own(l, hw_sub(l->at.bar_end[0], l->at.at[l->own]));
    double middle = l->hand->across[l->digit].bar[0], reach = 0;
    for (size_t t = 0; t < y->bar[0].twins; t++)
        reach = fmax(reach,
                     fabs(y->bar[0].y[t] - middle) + 0.5 * y->layer[y->bar[0].layer[t]].thickness);
    hw_vec3 rest = {-l->force.x, -l->force.y, -l->force.z};
    bear(l, (hw_vec3){end.x, middle, end.z}, y->cone.base, reach, rest);
}

// Bar B's pull at its root on the proximal phalanx.
static void bear_root(loading *l)
{
    const hw_layers *y = &l->hand->layers[l->digit];
    hw_vec2 root = own(l, hw_sub(l->at.bar_root[1], l->at.at[l->own]));
    hw_vec2 pull = hw_scale(own(l, l->at.pull[1]), -l->bar[1]);
    double middle = l->hand->across[l->digit].bar[1], reach = 0;
    for (size_t t = 0; t < y->bar[1].twins; t++)
        reach = fmax(reach,
                     fabs(y->bar[1].y[t] - middle) + 0.5 * y->layer[y->bar[1].layer[t]].thickness);
    bear(l, (hw_vec3){root.x, middle, root.z}, y->bar[1].base, reach, (hw_vec3){pull.x, 0, pull.z});
}

// Round the joint's axis, what lies within the digit's width or, of a pulley, in its layer.
static hw_voxel_region round_joint(const loading *l, double y, double half, double inner,
                                   double outer) // [m]
{
    return (hw_voxel_region){.shape = HW_VOXEL_CYLINDER,
                             .at = to_bed(l, (hw_vec3){0, y, 0}, true),
                             .axis = {0, 1, 0},
                             .from = -half,
                             .to = half,
                             .inner = inner,
                             .outer = outer + l->margin};
}

// Both cords on the knuckle's pulley, and their torque: the moment that the balance still asks.
static void bear_cords(loading *l)
{
    const hw_knuckle_cord *c = &l->at.drive;
    const hw_layers *y = &l->hand->layers[l->digit];
    double half = l->hand->digit[l->digit].width / 2, middle = l->hand->across[l->digit].pulley;
    double q = l->torque / c->radius, both = fmax(2 * c->pretension, fabs(q));
    hw_vec2 pull = hw_add(hw_scale(c->toward, (both + q) / 2), hw_scale(c->back, (both - q) / 2));
    pull = own(l, pull);
    hw_vec3 at = {0, middle, 0}, force = {pull.x, 0, pull.z};
    count(l, at, force);
    double from = middle, wide = half;
    for (size_t i = 0; i < y->n; i++)
        if (fabs(middle - y->layer[i].y) <= 0.5 * y->layer[i].thickness) {
            from = y->layer[i].y;
            wide = 0.5 * y->layer[i].thickness + l->margin;
        }
    hw_vec3 turn = {0, -l->moment.y, 0};
    l->moment.y = 0;
    l->load[l->n++] =
        (hw_voxel_load){.region = round_joint(l, from, wide, 0.5 * c->radius, c->radius),
                        .force = to_bed(l, force, false),
                        .moment = to_bed(l, turn, false),
                        .at = to_bed(l, at, true)};
}

// The couple of a servo at the joint, where its cheeks are: what the balance still asks.
static void bear_couple(loading *l)
{
    const hw_layers *y = &l->hand->layers[l->digit];
    hw_vec3 turn = {0, -l->moment.y, 0};
    l->moment.y = 0;
    double half = 0.5 * l->hand->digit[l->digit].width, high = 0.5 * y->fork[l->own].height;
    l->load[l->n++] =
        (hw_voxel_load){.region = round_joint(l, 0, half, y->cone.base + l->margin, high),
                        .moment = to_bed(l, turn, false),
                        .at = to_bed(l, (hw_vec3){0, 0, 0}, true)};
    // An axial vector: a rolled-over frame is turned, not mirrored, so it turns as points do.
}

static void bear_rest(loading *l)
{
    bool bars = l->hand->digit[l->digit].family == HW_FAMILY_COUPLED_BARS;
    if (bars && l->own == 1) {
        bear_horn(l);
        return;
    }
    if (bars) bear_root(l);
    if (l->own == 0 && l->at.drive.radius > 0)
        bear_cords(l);
    else
        bear_couple(l);
}

// ---- the worst case -----------------------------------------------------------------------------

// Tries one push; keeps the balances when its own joint carries more than before.
static void keep_worse(loading *l, const hw_space_push *push)
{
    hw_joint_load joint[HW_JOINTS];
    double bar[2] = {0, 0}, torque;
    if (hw_across_all_forces(&l->at, push, 1, joint, bar, &torque) != HW_OK) return;
    double now = fmax(joint[l->own].radial[0], joint[l->own].radial[1]);
    if (!(now > fmax(l->joint[l->own].radial[0], l->joint[l->own].radial[1]))) return;
    for (int b = 0; b < 2; b++) l->bar[b] = bar[b];
    l->torque = torque;
    for (int j = 0; j < HW_JOINTS; j++) l->joint[j] = joint[j];
    l->push = *push;
}

static void push_pad(loading *l, int phalanx, double force)
{
    const hw_digit *d = &l->hand->digit[l->digit];
    double length = d->phalanx[phalanx], from = 0.5 * d->thickness[phalanx], to = length;
    if (phalanx + 1 < HW_JOINTS) to -= 0.5 * d->thickness[phalanx + 1];
    if (!(from < to)) from = to = 0.5 * length;
    for (int end = 0; end < 2; end++)
        keep_worse(l, &(hw_space_push){phalanx, {end ? to : from, 0, 0}, {0, 0, force}});
}

// The push of the case that strains the fork most, at its pose: as core/pivot/release.c has it.
static bool worst_push(loading *l, const hw_digit_pose *pose, double s)
{
    const hw_digit *d = &l->hand->digit[l->digit];
    const hw_loads *f = &l->hand->loads;
    double force[HW_CASES] = {f->tip, f->pad, f->pad, f->pad, f->hook, f->knock};
    if (l->which >= (int)HW_CASE_PAD_PROXIMAL && l->which <= (int)HW_CASE_PAD_DISTAL) {
        push_pad(l, l->which - (int)HW_CASE_PAD_PROXIMAL, force[l->which]);
    } else if (l->which < (int)HW_CASES || l->which == (int)HW_HOLD_SQUEEZE) {
        size_t at = (size_t)lround(s * (HW_ASSESS_STEPS - 1));
        bool squeeze = l->which == (int)HW_HOLD_SQUEEZE;
        if (squeeze && !l->got->tip_force) return false;
        hw_load one = hw_case_load(d, pose, squeeze ? HW_CASE_TIP : (hw_case)l->which,
                                   squeeze ? l->got->tip_force[at] : force[l->which]);
        keep_worse(l, &(hw_space_push){
                          one.phalanx, {one.at.x, 0, one.at.z}, {one.force.x, 0, one.force.z}});
    } else if (l->which == (int)HW_HOLD_SIDE) {
        for (int sign = -1; sign <= 1; sign += 2)
            keep_worse(l, &(hw_space_push){2, {d->phalanx[2], 0, 0}, {0, sign * f->side, 0}});
    }
    return l->joint[l->own].radial[0] > 0 || l->joint[l->own].radial[1] > 0;
}

static const char *load_all(loading *l, double s)
{
    const hw_digit *d = &l->hand->digit[l->digit];
    hw_knuckle_cord cord = l->hand->knuckle_cord[l->digit];
    hw_digit_pose pose;
    if (hw_digit_family_of(d->family)->pose(d, s, &pose) != HW_OK ||
        hw_across_at(d, &pose, &l->hand->across[l->digit], &cord, &l->at) != HW_OK)
        return "its worst pose does not close";
    if (l->which == (int)HW_HOLD_STALL) return "the knuckle's stop is not followed into the part";
    if (!worst_push(l, &pose, s)) return "no load case strains it";
    bear_joint(l, l->own);
    bear_joint(l, l->next);
    bear_push(l);
    bear_rest(l);
    return NULL;
}

// ---- the part -----------------------------------------------------------------------------------

static const hw_made_part *phalanx_of(const hw_made *m, size_t group, int own)
{
    const hw_made_group *g = &m->group[group];
    for (size_t i = g->first; i < g->first + g->parts; i++)
        if (m->part[i].part->role == HW_PART_PHALANX && m->part[i].part->body == own + 1)
            return &m->part[i];
    return NULL;
}

// Cells of the cut square to an axis through a cell that are filled.
static double met(const hw_voxels *v, int normal, size_t layer)
{
    double sum = 0;
    size_t i[3];
    for (i[2] = 0; i[2] < v->n[2]; i[2]++)
        for (i[1] = 0; i[1] < v->n[1]; i[1]++)
            for (i[0] = 0; i[0] < v->n[0]; i[0]++)
                if (i[normal] == layer) sum += v->fill[(i[2] * v->n[1] + i[1]) * v->n[0] + i[0]];
    return sum;
}

// The map of one layer of voxels through the worst place.
static hw_code draw_map(hw_arena *a, const hw_voxel_study *s, hw_made_stress *out)
{
    const hw_voxels *v = &s->voxels;
    const hw_vec3 worst = out->across ? out->zz.at : out->mises.at;
    const double place[3] = {worst.x, worst.y, worst.z}, low[3] = {v->low.x, v->low.y, v->low.z};
    size_t layer[3], i[3];
    double most = 0;
    for (int axis = 0; axis < 3; axis++) {
        double row = fmax(0, floor((place[axis] - low[axis]) / v->edge));
        layer[axis] = row < (double)v->n[axis] ? (size_t)row : v->n[axis] - 1;
        double here = met(v, axis, layer[axis]);
        if (!(here > most)) continue;
        most = here;
        out->normal = axis;
    }
    int right = out->normal == 0 ? 1 : 0, up = out->normal == 2 ? 1 : 2;
    out->axis[0] = right;
    out->axis[1] = up;
    out->at = low[out->normal] + ((double)layer[out->normal] + 0.5) * v->edge;
    for (int c = 0; c < 2; c++) {
        out->n[c] = v->n[out->axis[c]];
        out->low[c] = low[out->axis[c]];
    }
    out->map = HW_NEW(a, double, out->n[0] * out->n[1]);
    out->filled = HW_NEW(a, double, out->n[0] * out->n[1]);
    if (!out->map || !out->filled) return HW_NO_MEMORY;
    i[out->normal] = layer[out->normal];
    for (i[up] = 0; i[up] < out->n[1]; i[up]++)
        for (i[right] = 0; i[right] < out->n[0]; i[right]++) {
            double stress[6];
            hw_voxel_stress(&s->problem, &s->answer, i[0], i[1], i[2], stress);
            size_t at = i[up] * out->n[0] + i[right];
            out->map[at] = hw_voxel_mises(stress);
            out->filled[at] = v->fill[(i[2] * v->n[1] + i[1]) * v->n[0] + i[0]];
        }
    return HW_OK;
}

static hw_code run(hw_arena *a, hw_arena *work, const loading *l, const hw_made_part *part,
                   const hw_made_stress_def *def, const hw_job *job, hw_made_stress *out)
{
    hw_mesh mesh = {HW_NEW(a, hw_vec3, part->mesh.verts), HW_NEW(a, uint32_t, 3 * part->mesh.tris),
                    part->mesh.verts, part->mesh.tris};
    hw_voxel_study *s = HW_NEW(a, hw_voxel_study, 1);
    if (!mesh.vert || !mesh.tri || !s) return HW_NO_MEMORY;
    for (size_t i = 0; i < mesh.verts; i++) mesh.vert[i] = part->mesh.vert[i];
    for (size_t i = 0; i < 3 * mesh.tris; i++) mesh.tri[i] = part->mesh.tri[i];
    if (l->hand->left) hw_mesh_mirror(&mesh); // loads are a right hand's
    hw_voxel_problem p = {.stuff = hw_voxel_isotropic(l->hand->modulus, def->poisson),
                          .load = l->load,
                          .loads = l->n};
    hw_voxel_study_def study = {.edge = {out->edge[0], out->edge[1]},
                                .edges = 2,
                                .radius = out->radius,
                                .most = def->most,
                                .solve = hw_voxel_def_default()};
    study.solve.unbalanced = 0.01;
    study.solve.tolerance = 1e-5;
    hw_code code = hw_voxel_study_of(a, work, &mesh, &p, &study, job, s);
    out->unbalanced = s->answer.unbalanced;
    if (code == HW_BAD_INPUT && out->unbalanced > study.solve.unbalanced)
        out->fault = "its loads do not balance";
    else if (code == HW_BAD_INPUT)
        out->fault = "a load finds no surface to act on";
    else if (code == HW_NOT_CONVERGED)
        out->fault = "the voxels' equations did not converge";
    if (out->fault) return HW_OK;
    if (code != HW_OK) return code;
    for (int i = 0; i < 2; i++) {
        out->iterations[i] = s->iterations[i];
        out->cells[i] = s->cells[i];
    }
    out->mises = s->peak[1].mises;
    out->zz = s->peak[1].across;
    double along = out->mises.value / l->hand->strength;
    double up = out->zz.value / l->hand->strength_across;
    out->across = up > along;
    out->share = fmax(up, along);
    out->spread = out->across ? s->spread_across : s->spread;
    return draw_map(a, s, out);
}

hw_code hw_make_stress(hw_arena *a, const hw_made *m, size_t group, int phalanx,
                       const hw_made_stress_def *def, const hw_job *job, hw_made_stress *out)
{
    *out = (hw_made_stress){.share = NAN, .s = NAN, .which = -1};
    const hw_made_group *g = &m->group[group];
    const hw_made_part *part = phalanx_of(m, group, phalanx);
    const hw_hand *hand = m->hand;
    if (g->fault || !part) {
        out->fault = g->fault ? g->fault : "it has no such phalanx";
        return HW_OK;
    }
    out->part = part->part->name;
    if (hand->digit[g->digit].family == HW_FAMILY_CORD) {
        out->fault = "a cord runs over its joints: its pulls are not followed into the part";
        return HW_OK;
    }
    hw_digit_assessment *got = HW_NEW(a, hw_digit_assessment, 1);
    if (!got) return HW_NO_MEMORY;
    hw_code code = hw_assess_digit(a, hand, g->digit, got);
    if (code == HW_NO_MEMORY) return code;
    const hw_release_peak *peak = &got->release.strained[phalanx];
    double width = hand->digit[g->digit].width;
    for (int i = 0; i < 2; i++) out->edge[i] = def->edge[i] * width;
    out->radius = def->radius * width;
    out->which = peak->which;
    out->s = peak->s;
    if (!isfinite(peak->value) || !isfinite(peak->s)) {
        out->fault = "its pivots' loads are unknown";
        return HW_OK;
    }
    loading l = {.hand = hand,
                 .got = got,
                 .bed = &g->bed,
                 .digit = g->digit,
                 .own = phalanx,
                 .next = phalanx + 1,
                 .margin = 1.5 * out->edge[0],
                 .which = peak->which};
    out->fault = load_all(&l, peak->s);
    if (out->fault) return HW_OK;
    hw_arena *work = hw_arena_new(1 << 20);
    if (!work) return HW_NO_MEMORY;
    code = run(a, work, &l, part, def, job, out);
    hw_arena_free(work);
    return code;
}

// ---- words --------------------------------------------------------------------------------------

static void put(hw_buffer *b, double value, int places)
{
    char number[HW_NUMBER_TEXT];
    hw_number_write_fixed(value, places, number);
    hw_buffer_puts(b, number);
}

// Stress grows with the load: what to make of the number that sets it, for a twentieth to spare.
static void advise(hw_buffer *b, const hw_made_stress *s)
{
    static const char *const entry[HW_HOLD_CASES] = {
        [HW_CASE_TIP] = "loads.tip",        [HW_CASE_PAD_PROXIMAL] = "loads.pad",
        [HW_CASE_PAD_MIDDLE] = "loads.pad", [HW_CASE_PAD_DISTAL] = "loads.pad",
        [HW_CASE_HOOK] = "loads.hook",      [HW_CASE_KNOCK] = "loads.knock",
        [HW_HOLD_SIDE] = "loads.side",      [HW_HOLD_SQUEEZE] = "drive.drum_radius"};
    if (!(s->share > 1) || s->which < 0 || s->which >= HW_HOLD_CASES || !entry[s->which]) return;
    bool squeeze = s->which == (int)HW_HOLD_SQUEEZE;
    hw_buffer_format(b, "; %s times ", entry[s->which]);
    put(b, squeeze ? s->share / 0.95 : 0.95 / s->share, 2);
    hw_buffer_puts(b, " would bring it to about 95 %");
}

const char *hw_made_stress_note(hw_arena *a, const hw_made_stress *s)
{
    if (s->fault) return s->fault;
    const hw_voxel_peak *p = s->across ? &s->zz : &s->mises;
    hw_buffer b = {.arena = a};
    hw_buffer_format(&b, "%s, %s, at ", s->part, hw_hold_case_name(s->which));
    put(&b, 100 * s->s, 0);
    hw_buffer_puts(&b, " % of the travel: ");
    put(&b, p->value * 1e-6, 1);
    hw_buffer_puts(&b, s->across ? " MPa across layers" : " MPa (von Mises)");
    const double at[3] = {p->at.x, p->at.y, p->at.z};
    for (int i = 0; i < 3; i++) {
        hw_buffer_puts(&b, i == 0 ? " at x " : i == 1 ? ", y " : ", z ");
        put(&b, at[i] * 1e3, 1);
    }
    hw_buffer_puts(&b, " mm; voxels of ");
    put(&b, s->edge[0] * 1e3, 2);
    hw_buffer_puts(&b, " and ");
    put(&b, s->edge[1] * 1e3, 2);
    hw_buffer_puts(&b, " mm differ by ");
    put(&b, 100 * s->spread, 0);
    hw_buffer_puts(&b, " %, fitted over ");
    put(&b, s->radius * 1e3, 1);
    hw_buffer_puts(&b, " mm");
    advise(&b, s);
    return b.at;
}
