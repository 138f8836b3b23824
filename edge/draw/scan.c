// A scan's plan and sections.
#include "draw/scan.h"

#include <math.h>

#include "base/vec3.h"
#include "draw/figure.h"

#define MM 1000.0 // [mm/m]

enum { MOST = 4 }; // marks a digit

static const char *const names[HW_HAND_DIGITS] = {"thumb", "index", "middle", "ring", "little"};

// A plane with what is drawn in it, all seen from its own frame: x to the right of the paper in
// sections, upward in the plan; z upward in sections, to the left in the plan.
typedef struct view {
    hw_frame plane;
    hw_scan_cut cut;
    hw_vec2 mark[HW_HAND_DIGITS][MOST]; // NaN: unknown [m]
    hw_vec2 low, high;                  // what is shown [m]
} view;

typedef struct page {
    hw_sheet *s;
    const hw_scan_view *v;
    view plan, along[HW_HAND_DIGITS];
    bool has[HW_HAND_DIGITS];
    double scale; // of the sections [1]
} page;

// ---- planes -----------------------------------------------------------------------------------

// The plane that a digit bends in; of one whose axis is not known, through the skin's direction.
static hw_frame digit_plane(const hw_scan *s, int d)
{
    hw_frame f = s->digit[d].knuckle;
    if (isfinite(f.y.x)) return f;
    hw_vec3 deep = s->mark[hw_mark_of(d, 0)].deep;
    f.z = hw_vec3_way(hw_vec3_along(deep, -hw_vec3_dot(deep, f.x), f.x));
    f.y = hw_vec3_cross(f.z, f.x);
    return f;
}

static hw_vec2 seen(const hw_frame *plane, hw_vec3 p)
{
    hw_vec3 q = hw_frame_seen(plane, p);
    return (hw_vec2){q.x, q.z};
}

static void grow(view *w, hw_vec2 p, double by) // [m]
{
    if (isnan(p.x)) return;
    w->low = (hw_vec2){fmin(w->low.x, p.x - by), fmin(w->low.z, p.z - by)};
    w->high = (hw_vec2){fmax(w->high.x, p.x + by), fmax(w->high.z, p.z + by)};
}

// Joints of a design's digit in the hand's frame, bent as the scanned one; unknown bends are 0.
static void design_joints(const page *p, int d, hw_vec3 out[MOST])
{
    const hw_scan_digit *g = &p->v->scan->digit[d];
    hw_frame f = digit_plane(p->v->scan, d);
    double bent = 0;
    out[0] = f.at;
    for (int i = 0; i < HW_JOINTS; i++) {
        bent += isfinite(g->bend[i].value) ? g->bend[i].value : 0;
        hw_vec3 way = hw_vec3_along(hw_vec3_times(f.x, cos(bent)), -sin(bent), f.z);
        out[i + 1] = hw_vec3_along(out[i], p->v->digit[d]->phalanx[i], way);
    }
}

static void fill_view(const page *p, view *w, int only) // -1: all digits
{
    const hw_scan *s = p->v->scan;
    const double pad = 0.055 * s->length.value;
    const hw_vec2 none = {NAN, NAN};
    w->low = (hw_vec2){INFINITY, INFINITY};
    w->high = (hw_vec2){-INFINITY, -INFINITY};
    for (int d = 0; d < HW_HAND_DIGITS; d++) {
        bool shown = only < 0 || only == d;
        hw_vec3 joint[MOST];
        for (int i = 0; i < MOST; i++) {
            const hw_mark *m = &s->mark[hw_mark_of(d, i)];
            w->mark[d][i] = m->known && shown ? seen(&w->plane, m->at) : none;
            grow(w, w->mark[d][i], i < 3 ? 1.6 * pad : pad);
        }
        if (!shown || !p->has[d] || !p->v->digit[d]) continue;
        design_joints(p, d, joint);
        for (int i = 0; i < MOST; i++) grow(w, seen(&w->plane, joint[i]), pad);
    }
    if (only < 0) grow(w, seen(&w->plane, s->mark[HW_MARK_WRIST].at), 2.5 * pad);
}

static hw_code make_views(page *p, hw_arena *a, hw_arena *work, const hw_job *job)
{
    const hw_scan *s = p->v->scan;
    const double fine = 1e-3 * s->length.value;
    double height = 0;
    int n = 0;
    for (int d = 1; d < HW_HAND_DIGITS; d++) {
        if (!s->mark[hw_mark_of(d, 0)].known) continue;
        height += s->mark[hw_mark_of(d, 0)].at.z;
        n++;
    }
    p->plan.plane =
        (hw_frame){.at = {0, 0, height / n}, .x = {1, 0, 0}, .y = {0, 0, -1}, .z = {0, 1, 0}};
    hw_code code = hw_scan_cut_of(a, work, p->v->mesh, s, &p->plan.plane, fine, job, &p->plan.cut);
    for (int d = 0; code == HW_OK && d < HW_HAND_DIGITS; d++) {
        view *w = &p->along[d];
        w->plane = digit_plane(s, d);
        p->has[d] = isfinite(w->plane.at.x + w->plane.x.x + w->plane.y.x);
        if (p->has[d]) code = hw_scan_cut_of(a, work, p->v->mesh, s, &w->plane, fine, job, &w->cut);
    }
    fill_view(p, &p->plan, -1);
    for (int d = 0; d < HW_HAND_DIGITS; d++)
        if (p->has[d]) fill_view(p, &p->along[d], d);
    return code;
}

// ---- ink --------------------------------------------------------------------------------------

// Where a view lies on the sheet.
typedef struct place {
    const view *w;
    hw_box box; // [mm]
    double k;   // [mm/m]
    bool plan;
} place;

static hw_spot spot(const place *at, hw_vec2 p)
{
    const view *w = at->w;
    if (at->plan)
        return (hw_spot){at->box.x + at->k * (w->high.z - p.z),
                         at->box.y + at->k * (w->high.x - p.x)};
    return (hw_spot){at->box.x + at->k * (p.x - w->low.x), at->box.y + at->k * (w->high.z - p.z)};
}

static void draw_cut(const page *p, const place *at, hw_arena *a)
{
    hw_path path = hw_path_new(a);
    for (size_t i = 0; i < at->w->cut.lines; i++) {
        const hw_scan_line *l = &at->w->cut.line[i];
        hw_spot from = spot(at, l->at[0]);
        hw_path_move(&path, from.x, from.y);
        for (size_t j = 1; j < l->n; j++) {
            hw_spot to = spot(at, l->at[j]);
            hw_path_line(&path, to.x, to.y);
        }
    }
    hw_sheet_path(p->s, &path, HW_INK_NONE, hw_pen_of(HW_WEIGHT_PLAIN, HW_INK_BLACK));
}

// How sure a joint's place is, along the digit and out of the back.
static void draw_doubt(const page *p, const place *at, int mark)
{
    const double normal = 1.96;
    const hw_mark *m = &p->v->scan->mark[mark];
    const hw_vec3 way[2] = {m->along, at->plan ? m->across : m->deep};
    const double off[2] = {normal * m->sd[0], normal * m->sd[at->plan ? 1 : 2]};
    for (int i = 0; i < 2; i++)
        hw_sheet_line(p->s, spot(at, seen(&at->w->plane, hw_vec3_along(m->at, -off[i], way[i]))),
                      spot(at, seen(&at->w->plane, hw_vec3_along(m->at, off[i], way[i]))),
                      hw_pen_of(HW_WEIGHT_HAIR, HW_INK_BLACK));
}

static void draw_marks(const page *p, const place *at, hw_arena *a)
{
    hw_pen chain = {HW_WEIGHT_THIN, HW_INK_BLACK, HW_DASH_CHAIN};
    for (int d = 0; d < HW_HAND_DIGITS; d++)
        for (int i = 0; i < MOST; i++) {
            hw_vec2 here = at->w->mark[d][i];
            if (isnan(here.x)) continue;
            if (i > 0 && !isnan(at->w->mark[d][i - 1].x))
                hw_sheet_line(p->s, spot(at, at->w->mark[d][i - 1]), spot(at, here), chain);
            draw_doubt(p, at, hw_mark_of(d, i));
            if (i == 3) continue;
            hw_path ring = hw_path_new(a);
            hw_path_circle(&ring, spot(at, here), 0.7);
            hw_sheet_path(p->s, &ring, HW_INK_PAPER, hw_pen_of(HW_WEIGHT_PLAIN, HW_INK_BLACK));
        }
}

// A design's digit: hulls of discs, across by its width in the plan, by its thickness in sections.
static void draw_design(const page *p, const place *at, int d, hw_arena *a)
{
    const hw_digit *g = p->v->digit[d];
    hw_vec3 joint[MOST];
    if (!g || !p->has[d]) return;
    design_joints(p, d, joint);
    for (int i = 0; i < HW_JOINTS; i++) {
        double begin = at->plan ? g->width : g->thickness[i];
        double next = i + 1 < HW_JOINTS ? g->thickness[i + 1] : g->tip_thickness;
        double end = at->plan ? g->width : next,
               reach = hw_vec3_norm(hw_vec3_sub(joint[i + 1], joint[i]));
        hw_vec3 to = joint[i + 1];
        // the last one ends at the tip
        if (i + 1 == HW_JOINTS && reach > end / 2)
            to = hw_vec3_along(joint[i], 1 - end / 2 / reach, hw_vec3_sub(to, joint[i]));
        const hw_round disc[2] = {{spot(at, seen(&at->w->plane, joint[i])), at->k * begin / 2},
                                  {spot(at, seen(&at->w->plane, to)), at->k * end / 2}};
        hw_path hull = hw_path_new(a);
        hw_path_hull(&hull, disc, 2);
        hw_sheet_path(p->s, &hull, HW_INK_NONE, hw_pen_of(HW_WEIGHT_PLAIN, HW_INK_ACCENT));
    }
}

static void draw_plan(const page *p, const place *at, hw_arena *a)
{
    const hw_scan *s = p->v->scan;
    hw_pen trace = {HW_WEIGHT_HAIR, HW_INK_BLACK, HW_DASH_LONG};
    hw_sheet_group(p->s, "plan");
    hw_sheet_clip(p->s, at->box);
    draw_cut(p, at, a);
    for (int d = 0; d < HW_HAND_DIGITS; d++) { // where the sections lie
        if (!p->has[d]) continue;
        hw_vec3 from =
            hw_vec3_along(s->digit[d].knuckle.at, -0.15 * s->length.value, s->digit[d].knuckle.x);
        hw_vec3 to =
            hw_vec3_along(s->digit[d].knuckle.at, 0.6 * s->length.value, s->digit[d].knuckle.x);
        hw_sheet_line(p->s, spot(at, seen(&at->w->plane, from)), spot(at, seen(&at->w->plane, to)),
                      trace);
        draw_design(p, at, d, a);
    }
    draw_marks(p, at, a);
    hw_sheet_clip_end(p->s);
    hw_sheet_group_end(p->s);
}

static void draw_along(const page *p, int d, double x, double y, double width, hw_arena *a) // [mm]
{
    static const char *const axis[] = {"axis unknown", "straight: axis assumed", "axis as bent"};
    const hw_scan_digit *g = &p->v->scan->digit[d];
    const view *w = &p->along[d];
    char words[160], number[3][40], name[40];
    hw_type type = hw_type_of(8.5, HW_ANCHOR_START), small = hw_type_of(7.5, HW_ANCHOR_END);
    place at = {.w = w, .k = p->scale * MM};
    at.box = (hw_box){x, y + 5.5, at.k * (w->high.x - w->low.x), at.k * (w->high.z - w->low.z)};
    type.bold = true;
    hw_sheet_group(p->s, names[d]);
    hw_sheet_text(p->s, x, y + 3.6, type, hw_figure_capital(names[d], name));
    for (int i = 0; i < 3; i++) hw_plot_fixed(g->segment[i].value * MM, 1, number[i]);
    hw_figure_words(words, number[0], ", ", number[1], ", ", number[2], " mm; ", axis[g->axis],
                    NULL);
    hw_sheet_text(p->s, x + width, y + 3.6, small, words);
    hw_sheet_clip(p->s, at.box);
    draw_cut(p, &at, a);
    draw_design(p, &at, d, a);
    draw_marks(p, &at, a);
    hw_sheet_clip_end(p->s);
    hw_sheet_group_end(p->s);
}

// ---- layout -----------------------------------------------------------------------------------

static double tall(const page *p, int d, double scale) // [1] [mm]
{
    const view *w = &p->along[d];
    return p->has[d] ? scale * MM * (w->high.z - w->low.z) + 8 : 0;
}

static double all_tall(const page *p, double scale) // [1] [mm]
{
    double sum = 0;
    for (int d = 0; d < HW_HAND_DIGITS; d++) sum += tall(p, d, scale);
    return sum;
}

static double widest(const page *p) // [m]
{
    double most = 0;
    for (int d = 0; d < HW_HAND_DIGITS; d++)
        if (p->has[d]) most = fmax(most, p->along[d].high.x - p->along[d].low.x);
    return most;
}

// Lines of words below the plan.
static void draw_numbers(const page *p, double y, double width) // [mm] [mm]
{
    const hw_scan *s = p->v->scan;
    const hw_with row[2] = {s->length, s->breadth};
    static const char *const what[2] = {"Hand length", "Hand breadth"};
    char words[160], value[40], off[40];
    hw_type type = hw_type_of(8, HW_ANCHOR_START);
    for (int i = 0; i < 2; i++, y += 4) {
        hw_figure_words(words, what[i], " ", hw_plot_fixed(row[i].value * MM, 1, value),
                        " \xc2\xb1 ", hw_plot_fixed(row[i].off * MM, 1, off), " mm", NULL);
        hw_sheet_text(p->s, 0.5, y, type, words);
    }
    hw_figure_words(words, "Radius of the knuckles' arch ",
                    hw_plot_fixed(MM / s->curvature.value, 0, value), " mm", NULL);
    if (s->curvature.value > 0) hw_sheet_text(p->s, 0.5, y, type, words);
    y = hw_sheet_paragraph(p->s, 0.5, y + 5, width, 3.4, hw_type_of(7.5, HW_ANCHOR_START),
                           "Rings: joint centres under the skin; their crosses reach as far as the "
                           "truth lies in 95 of 100 cases. Long dashes: planes of the sections.");
    if (p->v->name)
        hw_sheet_paragraph(p->s, 0.5, y, width, 3.4, hw_type_of(7.5, HW_ANCHOR_START),
                           "In colour: the design's digits at the scanned knuckles, bent as "
                           "scanned.");
}

static bool lay_out(page *p, hw_arena *a, hw_sheet **out)
{
    const double width = 180, column = 92, deep = 222, left = width - column - 6;
    const view *plan = &p->plan;
    double tall_plan = plan->high.x - plan->low.x, wide_plan = plan->high.z - plan->low.z;
    char words[24], plan_words[24], remark[160];
    double most = fmin(left / (MM * wide_plan), 0.8 * deep / (MM * tall_plan));
    double k = hw_figure_scale(most, plan_words);
    p->scale = hw_figure_scale(column / (MM * widest(p)), words);
    while (p->scale > 0.1 && all_tall(p, p->scale) > deep)
        p->scale = hw_figure_scale(0.99 * p->scale, words);
    double height = 9 + fmax(all_tall(p, p->scale), k * MM * tall_plan + 40);
    p->s = hw_sheet_new(a, width, ceil(height), "scan", "Scanned hand in sections");
    if (!p->s) return false;
    hw_figure_words(remark, "plan ", plan_words, ", sections ", words,
                    p->v->scan->left ? ", left hand mirrored" : "", NULL);
    double y = hw_figure_head(p->s, "Scanned hand in sections", p->v->name, remark);
    place at = {.w = plan, .k = k * MM, .plan = true};
    at.box = (hw_box){0, y, k * MM * wide_plan, k * MM * tall_plan};
    draw_plan(p, &at, a);
    for (int d = 0; d < HW_HAND_DIGITS; d++) {
        if (!p->has[d]) continue;
        draw_along(p, d, width - column, y - 2, column - 0.5, a);
        y += tall(p, d, p->scale);
    }
    draw_numbers(p, at.box.y + at.box.h + 8, left);
    *out = p->s;
    return !hw_arena_failed(a);
}

hw_code hw_draw_scan(hw_arena *a, hw_arena *work, const hw_scan_view *v, const hw_job *job,
                     hw_sheet **out)
{
    page p = {.v = v};
    *out = NULL;
    hw_code code = make_views(&p, a, work, job);
    if (code == HW_OK && !lay_out(&p, a, out)) code = HW_NO_MEMORY;
    if (code != HW_OK) *out = NULL;
    return code;
}
