// Pictures of what was made.
#include "report/made.h"

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "print/print.h"
#include "report/report_internal.h"

static bool has_bars(const hw_made *m, const hw_made_group *g)
{
    return g->digit >= 0 && m->hand->digit[g->digit].family == HW_FAMILY_COUPLED_BARS;
}

size_t hw_report_made_views(const hw_made *m, hw_made_view out[HW_MADE_VIEWS])
{
    size_t n = 0;
    for (size_t i = 0; i < m->groups; i++) {
        const hw_made_group *g = &m->group[i];
        if (g->parts == 0) continue;
        int last = g->coupon ? HW_MADE_VIEW_ABOVE
                   : g->body ? HW_MADE_VIEW_BELOW
                             : HW_MADE_VIEW_SIDE_B;
        if (g->digit >= 0 && !has_bars(m, g)) last = HW_MADE_VIEW_SIDE_A;
        for (int k = 0; k <= last; k++) out[n++] = (hw_made_view){(hw_made_view_kind)k, (int)i, -1};
    }
    for (size_t p = 0; p < m->plates; p++)
        out[n++] = (hw_made_view){HW_MADE_VIEW_PLATE, -1, (int)p};
    for (int k = HW_MADE_VIEW_BACK; m->palm && k <= HW_MADE_VIEW_SKEW; k++)
        out[n++] = (hw_made_view){(hw_made_view_kind)k, -1, -1};
    return n;
}

// "middle phalanx" of "index middle phalanx": the sheet's title says which digit.
static const char *short_name(const hw_made_group *g, const char *name)
{
    size_t n = strlen(g->name);
    return g->digit >= 0 && strncmp(name, g->name, n) == 0 && name[n] == ' ' ? name + n + 1 : name;
}

// Middle of the layer that a bar lies in, on the bed; 0 without bars. [m]
static double bar_y(const hw_made *m, const hw_made_group *g, hw_layer_use use)
{
    const hw_layers *l = &m->hand->layers[g->digit];
    for (size_t i = 0; i < l->n; i++)
        if (l->layer[i].use == use) return (m->hand->left ? -1 : 1) * g->bed.up * l->layer[i].y;
    return 0;
}

#define WIDE 270.0 // of sheets that show gaps of a quarter of a millimetre [mm]

// Cuts a little aside of planes in which faces lie: a cut along a face shows either side of it.
#define ASIDE 1e-5 // [m]

static void cut_of(const hw_made *m, const hw_made_group *g, hw_made_view_kind kind, hw_view_def *d)
{
    d->cut = true;
    if (kind == HW_MADE_VIEW_PIVOTS) {
        hw_vec2 first = hw_bed_point(&g->bed, 1, (hw_vec2){0, 0});
        hw_vec2 second = hw_bed_point(&g->bed, 2, (hw_vec2){0, 0});
        double run = second.x - first.x, rise = second.z - first.z, length = hypot(run, rise);
        if (run < 0) run = -run, rise = -rise;
        d->eye = d->cut_normal = (hw_vec3){-rise / length, 0, run / length};
        d->up = (hw_vec3){0, 1, 0};
        d->cut_at = d->eye.x * first.x + d->eye.z * first.z + ASIDE;
        return;
    }
    double toward = m->hand->left ? 1 : -1; // the side of bar A is taken away
    hw_layer_use use = kind == HW_MADE_VIEW_SIDE_B ? HW_LAYER_BAR_B : HW_LAYER_BAR_A;
    d->eye = d->cut_normal = (hw_vec3){0, toward, 0};
    d->up = (hw_vec3){0, 0, 1};
    d->cut_at = toward * bar_y(m, g, use) + ASIDE;
}

static void title_of(const hw_made *m, const hw_made_group *g, hw_made_view_kind kind,
                     hw_buffer *name, hw_buffer *title)
{
    static const char *const suffix[] = {"above", "below", "pivots", "bar-a", "bar-b", "plate"};
    static const char *const words[] = {"as it lies on the bed",      "seen from below",
                                        "cut along the joints' axes", "cut through bar A",
                                        "cut through bar B",          "plate"};
    bool middle = kind == HW_MADE_VIEW_SIDE_A && !has_bars(m, g);
    hw_buffer_format(name, "%s-%s", g->name, middle ? "middle" : suffix[kind]);
    hw_buffer_format(title, "%c%s, %s", g->name[0] - 'a' + 'A', g->name + 1,
                     middle ? "cut along its middle" : words[kind]);
}

static hw_code view_group(hw_arena *keep, hw_arena *work, const hw_made *m,
                          const hw_made_view *view, hw_view_def d, const hw_job *job,
                          hw_sheet **out)
{
    const hw_made_group *g = &m->group[view->group];
    hw_view_part *part = HW_NEW(work, hw_view_part, g->parts);
    hw_buffer name = {.arena = keep}, title = {.arena = keep};
    title_of(m, g, view->kind, &name, &title);
    if (!part || hw_arena_failed(keep)) return HW_NO_MEMORY;
    for (size_t i = 0; i < g->parts; i++) {
        const hw_made_part *p = &m->part[g->first + i];
        part[i] =
            (hw_view_part){.name = short_name(g, p->part->name), .mesh = &p->mesh, .hatch = (int)i};
    }
    d.name = name.at;
    d.title = title.at;
    double side = m->hand->left && !g->coupon ? -1 : 1;
    const hw_vec3 eye[2] = {{-0.35, -0.75 * side, 0.62}, {-0.3, -0.5 * side, -0.8}};
    for (int k = 0; k < 2 && view->kind <= HW_MADE_VIEW_BELOW && g->body; k++) {
        d.eye = eye[k]; // both at one scale
        d.scale_most = hw_draw_view_scale(&d, part, g->parts);
    }
    d.eye = eye[view->kind == HW_MADE_VIEW_BELOW];
    if (view->kind >= HW_MADE_VIEW_PIVOTS) {
        d.width = WIDE;
        cut_of(m, g, view->kind, &d);
    }
    return hw_draw_view(keep, work, &d, part, g->parts, job, out);
}

// The bed as a thin slab under what lies on it.
static bool bed_mesh(hw_arena *a, const hw_print_def *printer, hw_mesh *out)
{
    static const uint32_t tri[] = {0, 2, 1, 0, 3, 2, 4, 5, 6, 4, 6, 7, 0, 1, 5, 0, 5, 4,
                                   1, 2, 6, 1, 6, 5, 2, 3, 7, 2, 7, 6, 3, 0, 4, 3, 4, 7};
    enum { CORNERS = 8, TRIANGLES = sizeof tri / sizeof tri[0] / 3 };
    *out = (hw_mesh){HW_NEW(a, hw_vec3, CORNERS), HW_NEW(a, uint32_t, 3 * TRIANGLES), CORNERS,
                     TRIANGLES};
    if (!out->vert || !out->tri) return false;
    memcpy(out->tri, tri, sizeof tri);
    for (int i = 0; i < CORNERS; i++)
        out->vert[i] = (hw_vec3){i % 4 == 1 || i % 4 == 2 ? printer->bed[0] : 0,
                                 i % 4 >= 2 ? printer->bed[1] : 0,
                                 i < 4 ? -0.01 * printer->bed[0] : -1e-6 * printer->bed[0]};
    return true;
}

static hw_code view_plate(hw_arena *keep, hw_arena *work, const hw_made *m, int plate,
                          hw_view_def d, const hw_job *job, hw_sheet **out)
{
    hw_view_part *part = HW_NEW(work, hw_view_part, m->parts + 1);
    hw_buffer name = {.arena = keep}, title = {.arena = keep};
    hw_buffer_format(&name, "plate-%d", plate + 1);
    hw_buffer_format(&title, "Plate %d of %zu%s", plate + 1, m->plates,
                     m->plate[plate].coupons ? ", coupons" : "");
    hw_mesh bed;
    if (!part || hw_arena_failed(keep) || !bed_mesh(work, m->printer, &bed)) return HW_NO_MEMORY;
    size_t n = 0;
    part[n++] = (hw_view_part){.mesh = &bed};
    for (size_t g = 0; g < m->groups; g++) {
        const hw_made_group *group = &m->group[g];
        if (group->plate != plate) continue;
        for (size_t i = 0; i < group->parts; i++)
            part[n++] = (hw_view_part){.name = i == 0 ? group->name : NULL,
                                       .mesh = &m->part[group->first + i].mesh,
                                       .turned = group->turned,
                                       .shift = {group->move[0], group->move[1], 0},
                                       .hatch = (int)i};
    }
    d.name = name.at;
    d.title = title.at;
    d.eye = (hw_vec3){-0.25, -0.55, 0.8};
    return hw_draw_view(keep, work, &d, part, n, job, out);
}

// A body's mesh where it belongs in the hand; a left hand's is mirrored there again.
static bool put_together(hw_arena *a, const hw_made *m, const hw_made_group *g, hw_mesh *out)
{
    const hw_mesh *mesh = &m->part[g->first].mesh;
    *out = *mesh;
    out->vert = HW_NEW(a, hw_vec3, mesh->verts);
    if (!out->vert) return false;
    const double side = m->hand->left ? -1 : 1;
    for (size_t i = 0; i < mesh->verts; i++) {
        hw_vec3 p = mesh->vert[i];
        p.y *= side;
        p = hw_frame_point(&g->body->bed, p);
        p.y *= side;
        out->vert[i] = p;
    }
    return true;
}

static hw_code view_hand(hw_arena *keep, hw_arena *work, const hw_made *m, hw_made_view_kind kind,
                         hw_view_def d, const hw_job *job, hw_sheet **out)
{
    static const struct {
        const char *name, *title;
        hw_vec3 eye, up;
    } side[] = {{"hand-back", "Palm and forearm, back", {0, 0, 1}, {1, 0, 0}},
                {"hand-palm", "Palm and forearm, palm's side", {0, 0, -1}, {1, 0, 0}},
                {"hand-thumb", "Palm and forearm, thumb's side", {0, 1, 0}, {0, 0, 1}},
                {"hand-little", "Palm and forearm, little finger's side", {0, -1, 0}, {0, 0, 1}},
                {"hand-tips", "Palm and forearm, from the fingertips", {1, 0, 0}, {0, 0, 1}},
                {"hand-skew", "Palm and forearm, askew", {0.7, 0.6, 0.6}, {0, 0, 1}}};
    hw_view_part *part = HW_NEW(work, hw_view_part, m->groups);
    hw_mesh *mesh = HW_NEW(work, hw_mesh, m->groups);
    if (!part || !mesh) return HW_NO_MEMORY;
    size_t n = 0;
    for (size_t g = 0; g < m->groups; g++) {
        if (!m->group[g].body || m->group[g].parts == 0) continue;
        if (!put_together(work, m, &m->group[g], &mesh[n])) return HW_NO_MEMORY;
        part[n] = (hw_view_part){.mesh = &mesh[n], .hatch = (int)n};
        n++;
    }
    int k = (int)kind - HW_MADE_VIEW_BACK;
    d.name = side[k].name;
    d.title = side[k].title;
    enum { SIDES = sizeof side / sizeof side[0] };
    for (int i = 0; i <= SIDES; i++) { // all at one scale, then the one that is drawn
        const int of = i < SIDES ? i : k;
        d.eye = side[of].eye;
        d.up = side[of].up;
        if (m->hand->left) d.eye.y = -d.eye.y;
        if (i < SIDES) d.scale_most = hw_draw_view_scale(&d, part, n);
    }
    return hw_draw_view(keep, work, &d, part, n, job, out);
}

hw_code hw_report_made_view(hw_arena *keep, hw_arena *work, const hw_made *m,
                            const hw_made_view *view, const hw_job *job, hw_sheet **out)
{
    *out = NULL;
    size_t mark = hw_arena_mark(work);
    hw_view_def d = hw_view_def_default();
    hw_buffer remark = {.arena = keep};
    hw_text revision = hw_design_text(m->design, hw_entry_of(HW_E_REVISION, -1));
    d.design = hw_report_name(keep, m->design);
    if (revision.len) {
        hw_buffer_puts(&remark, "revision ");
        hw_buffer_put(&remark, revision);
        d.remark = remark.at;
    }
    hw_code code =
        view->kind >= HW_MADE_VIEW_BACK    ? view_hand(keep, work, m, view->kind, d, job, out)
        : view->kind == HW_MADE_VIEW_PLATE ? view_plate(keep, work, m, view->plate, d, job, out)
                                           : view_group(keep, work, m, view, d, job, out);
    hw_arena_rewind(work, mark);
    return code;
}
