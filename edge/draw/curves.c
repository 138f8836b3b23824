// Charts of a digit: tip path, coupling, loads over the stroke.
#include <math.h>
#include <string.h>

#include "draw/figure.h"
#include "draw/sheet.h"

#define MM  1000.0        // [mm/m]
#define DEG (180 / HW_PI) // [deg/rad]

// The natural law lies under the digit's own line as a pale band, so that it is seen where both
// run together.
#define LAW_BAND                                                                                   \
    {                                                                                              \
        2.0, HW_INK_WASH, HW_DASH_NONE                                                             \
    }

static double *scaled(hw_arena *a, const double *row, size_t n, double k)
{
    double *out = HW_NEW(a, double, n);
    for (size_t i = 0; out && i < n; i++) out[i] = k * row[i];
    return out;
}

static hw_sheet *begin(hw_arena *a, const hw_digit_view *v, double w, double h, const char *kind,
                       const char *what)
{
    char name[40], title[160], id[160];
    hw_figure_words(title, hw_figure_capital(v->name, name), ": ", what, NULL);
    hw_figure_words(id, v->name, "-", kind, NULL);
    hw_sheet *s = hw_sheet_new(a, w, h, id, title);
    if (s) (void)hw_figure_head(s, title, v->design, NULL);
    return s;
}

static void law_words(const double law[HW_JOINTS], char out[160])
{
    char a[40], b[40], c[40];
    // as people write it, with the largest at 100
    double most = fmax(law[0], fmax(law[1], law[2])), k = most > 0 ? 100 / most : 1;
    hw_figure_words(out, "natural law ", hw_plot_number(k * law[0], 3, a), ":",
                    hw_plot_number(k * law[1], 3, b), ":", hw_plot_number(k * law[2], 3, c), NULL);
}

// Joint angles of the natural law at the driven knuckle's angle.
static void law_angles(const hw_digit_view *v, double driven, double out[HW_JOINTS])
{
    for (int i = 0; i < HW_JOINTS; i++)
        out[i] = v->law[0] > 0 ? driven * v->law[i] / v->law[0] : (double)NAN;
}

static hw_vec2 tip_at(const hw_digit *d, const double joint[HW_JOINTS])
{
    hw_vec2 at = {0, 0};
    double turn = 0;
    for (int i = 0; i < HW_JOINTS; i++) {
        turn += joint[i];
        at = hw_add(at, hw_flexed((hw_vec2){d->phalanx[i], 0}, turn));
    }
    return at;
}

// Where the chart's lower axis is the driven joint: the range shows all of the travel that was
// asked for, a dead point is a chain line with its words below the frame, and what lies beyond is
// hatched.
static void travel_range(hw_plot_axis *axis, const hw_digit *d)
{
    double travel[2] = {DEG * d->travel[0], DEG * d->travel[1]};
    axis->step = fabs(travel[1] - travel[0]) > 120 ? 30 : 15; // tick numbers keep apart
    hw_plot_range(axis, travel, 2, true);
}

static void dead_point(hw_sheet *s, const hw_plot *p, const hw_digit *d)
{
    char words[160];
    hw_stroke_event dead;
    if (!hw_figure_dead(d, &dead)) return;
    hw_box f = p->frame, beyond = f;
    double x = hw_plot_spot(p, DEG * dead.joint, 0).x;
    double end = hw_plot_spot(p, DEG * d->travel[1], 0).x;
    beyond.x = fmin(x, end);
    beyond.w = fabs(end - x);
    hw_path box = hw_path_new(s->arena);
    hw_path_box(&box, beyond);
    hw_sheet_hatch(s, &box, -HW_PI / 4, 2, hw_pen_of(HW_WEIGHT_HAIR, HW_INK_SOFT));
    hw_sheet_line(s, (hw_spot){x, f.y}, (hw_spot){x, f.y + f.h},
                  (hw_pen){0.35, HW_INK_BLACK, HW_DASH_CHAIN});
    hw_sheet_text(s, p->box.x + 0.5, f.y + f.h + 7.4, hw_type_of(7, HW_ANCHOR_START),
                  hw_figure_dead_words(d, &dead, words));
}

// ---- tip path ---------------------------------------------------------------------------------

static void ghosts(const hw_plot *p, hw_sheet *s, const hw_digit_view *v)
{
    hw_figure f = {.s = s, .k = p->x_per * MM, .knuckle = hw_plot_spot(p, 0, 0)};
    hw_box b = p->frame;
    hw_sheet_clip(s, b);
    for (int i = 0; i < 3; i++) {
        hw_digit_pose pose;
        (void)hw_figure_pose(v->digit, hw_figure_end(v->digit) * i / 2.0, &pose);
        if (hw_figure_sound(&pose))
            hw_figure_ghost(&f, v->digit, &pose, hw_pen_of(HW_WEIGHT_HAIR, HW_INK_SOFT));
    }
    hw_sheet_clip_end(s);
}

// How many poses lie between two that are marked on the paths.
static size_t marked(const hw_stroke *st)
{
    return (st->n - 1) / 4 ? (st->n - 1) / 4 : 1;
}

// Where both paths are at the same knuckle angle: a rung from one to the other.
static void rungs(hw_sheet *s, const hw_plot *p, const hw_digit_view *v, const double *law_x,
                  const double *law_z)
{
    const hw_stroke *st = v->stroke;
    for (size_t i = 0; i < st->n; i += marked(st)) {
        if (isnan(st->tip_x[i])) continue;
        hw_spot a = hw_plot_spot(p, MM * st->tip_x[i], MM * st->tip_z[i]);
        hw_spot b = hw_plot_spot(p, law_x[i], law_z[i]);
        if (!isnan(b.x)) hw_sheet_line(s, a, b, hw_pen_of(HW_WEIGHT_PLAIN, HW_INK_BLACK));
        hw_path dot = hw_path_new(s->arena);
        hw_path_circle(&dot, a, 0.75);
        hw_sheet_path(s, &dot, HW_INK_BLACK, hw_pen_of(0, HW_INK_NONE));
    }
}

static void angles(hw_sheet *s, const hw_plot *p, const hw_digit_view *v)
{
    const hw_stroke *st = v->stroke;
    for (size_t i = 0; i < st->n; i += marked(st)) {
        char angle[40], words[160];
        if (isnan(st->tip_x[i])) continue;
        hw_spot a = hw_plot_spot(p, MM * st->tip_x[i], MM * st->tip_z[i]);
        hw_figure_words(words, i ? "" : hw_figure_joint(v->digit, 0), i ? "" : " ",
                        hw_plot_fixed(DEG * st->joint[0][i], 0, angle), "\xc2\xb0", NULL);
        hw_type type = hw_type_of(7, HW_ANCHOR_START);
        type.mask = true;
        hw_sheet_label(s, a, 7, type, words);
    }
}

// Where a dead point ends the path; false where none does.
static bool path_end(const hw_plot *p, const hw_digit *d, hw_spot *at)
{
    hw_stroke_event dead;
    hw_digit_pose pose;
    if (!hw_figure_dead(d, &dead)) return false;
    (void)hw_figure_pose(d, hw_figure_end(d), &pose);
    *at = hw_plot_spot(p, MM * pose.at[HW_JOINTS].x, MM * pose.at[HW_JOINTS].z);
    return hw_figure_sound(&pose);
}

static void end_cross(hw_sheet *s, hw_spot at)
{
    hw_pen pen = hw_pen_of(0.35, HW_INK_BLACK);
    hw_sheet_line(s, (hw_spot){at.x - 1.2, at.y - 1.2}, (hw_spot){at.x + 1.2, at.y + 1.2}, pen);
    hw_sheet_line(s, (hw_spot){at.x - 1.2, at.y + 1.2}, (hw_spot){at.x + 1.2, at.y - 1.2}, pen);
}

// Names of the two paths, where they run furthest apart.
static void path_names(hw_sheet *s, const hw_plot *p, const hw_digit_view *v, const double *law_x,
                       const double *law_z)
{
    const hw_stroke *st = v->stroke;
    char law[160];
    hw_type type = hw_type_of(7.5, HW_ANCHOR_START);
    type.mask = type.bold = true;
    size_t i = 3 * st->n / 8;
    hw_spot at = hw_plot_spot(p, MM * st->tip_x[i], MM * st->tip_z[i]);
    if (!isnan(at.x)) hw_sheet_label(s, at, 18, type, "this digit's tip");
    law_words(v->law, law);
    type.ink = HW_INK_ACCENT;
    type.bold = false;
    i = st->n - 1;
    while (i > 0 && isnan(law_x[i])) i--;
    at = hw_plot_spot(p, law_x[i], law_z[i]);
    if (!isnan(at.x)) hw_sheet_label(s, at, 20, type, law);
}

#define NOT_COMPARED "no comparison before it closes over all its travel"

// What stands in place of the numbers of a digit that does not close over its travel.
static void no_comparison(hw_sheet *s, const hw_digit_view *v, double y)
{
    char words[160];
    hw_stroke_event dead;
    hw_type type = hw_type_of(7.5, HW_ANCHOR_START);
    bool known = hw_figure_dead(v->digit, &dead);
    hw_sheet_text(s, 0.5, y, type,
                  known ? hw_figure_dead_words(v->digit, &dead, words)
                        : "does not close over its travel");
    hw_sheet_text(s, 0.5, y + 4, type, NOT_COMPARED);
}

static void path_words(hw_sheet *s, const hw_digit_view *v, double y)
{
    char words[160], a[40], b[40];
    hw_type type = hw_type_of(7.5, HW_ANCHOR_START);
    hw_stroke_event dead;
    if (!v->closing || hw_figure_dead(v->digit, &dead)) {
        no_comparison(s, v, y);
        return;
    }
    if (isnan(v->law[0]))
        strcpy(words, "the natural law is one of fingers, not of the thumb");
    else
        hw_figure_words(words, "off the natural path by ",
                        hw_plot_fixed(100 * v->closing->path_rms, 1, a),
                        " % of the digit's length (RMS)", NULL);
    hw_sheet_text(s, 0.5, y, type, words);
    if (isnan(v->closing->spiral_angle)) return;
    hw_figure_words(words, "best equiangular spiral: tangent at ",
                    hw_plot_fixed(DEG * v->closing->spiral_angle, 0, a),
                    "\xc2\xb0 to its radius, misfit ",
                    hw_plot_fixed(MM * v->closing->spiral_rms, 1, b), " mm", NULL);
    hw_sheet_text(s, 0.5, y + 4, type, words);
}

static void path_range(hw_plot *p, const hw_digit_view *v, const double *x, const double *z,
                       const double *law_x, const double *law_z)
{
    double reach = 0;
    for (int i = 0; i < HW_JOINTS; i++) reach += MM * v->digit->phalanx[i];
    double edge[2] = {-MM * v->digit->thickness[0] / 2, reach};
    double up[2] = {MM * v->digit->thickness[0] / 2, -0.5 * reach};
    size_t n = v->stroke->n;
    p->x.step = p->y.step = hw_plot_step(1.4 * reach, 7);
    hw_plot_range(&p->x, edge, 2, true);
    hw_plot_range(&p->x, x, n, true);
    hw_plot_range(&p->x, law_x, n, true);
    hw_plot_range(&p->y, up, 2, true);
    hw_plot_range(&p->y, z, n, true);
    hw_plot_range(&p->y, law_z, n, true);
}

hw_sheet *hw_draw_tip_path(hw_arena *a, const hw_digit_view *v)
{
    size_t n = v->stroke->n;
    if (n < 2) return NULL;
    double *x = scaled(a, v->stroke->tip_x, n, MM), *z = scaled(a, v->stroke->tip_z, n, MM);
    double *law_x = HW_NEW(a, double, n), *law_z = HW_NEW(a, double, n);
    hw_sheet *s = begin(a, v, 88, 112, "tip-path", "path of the tip");
    if (!s || !x || !z || !law_x || !law_z) return NULL;
    for (size_t i = 0; i < n; i++) {
        double joint[HW_JOINTS];
        law_angles(v, v->stroke->joint[0][i], joint);
        hw_vec2 tip = tip_at(v->digit, joint);
        law_x[i] = MM * tip.x;
        law_z[i] = MM * tip.z;
    }
    hw_plot p = {.box = {0, 8, 88, 88},
                 .equal = true,
                 .x.name = "x from the knuckle, mm",
                 .y.name = "z, mm"};
    path_range(&p, v, x, z, law_x, law_z);
    hw_plot_begin(s, &p);
    ghosts(&p, s, v);
    hw_plot_line line[3] = {{law_x, law_z, n, NULL, LAW_BAND},
                            {law_x, law_z, n, NULL, {0.35, HW_INK_ACCENT, HW_DASH_LONG}},
                            {x, z, n, NULL, hw_pen_of(0.6, HW_INK_BLACK)}};
    hw_plot_lines(s, &p, line, 3);
    hw_sheet_clip(s, p.frame); // names stay clear of the axes: an angle is no tick
    rungs(s, &p, v, law_x, law_z);
    hw_spot end;
    bool dead = path_end(&p, v->digit, &end);
    if (dead) end_cross(s, end);
    path_names(s, &p, v, law_x, law_z); // long names first: short ones find room
    hw_type type = hw_type_of(7, HW_ANCHOR_START);
    type.mask = type.bold = true;
    if (dead) hw_sheet_label(s, end, 12, type, "dead point");
    angles(s, &p, v);
    hw_sheet_clip_end(s);
    path_words(s, v, p.frame.y + p.frame.h + 12.5);
    s->height = ceil(p.frame.y + p.frame.h + 18.5);
    return hw_arena_failed(a) ? NULL : s;
}

// ---- coupling ---------------------------------------------------------------------------------

static void coupling_words(hw_sheet *s, const hw_digit_view *v, double y)
{
    char words[160], a[40], b[40];
    hw_type type = hw_type_of(7.5, HW_ANCHOR_START);
    const char *pip = hw_figure_joint(v->digit, 1), *dip = hw_figure_joint(v->digit, 2);
    const char *mcp = hw_figure_joint(v->digit, 0);
    hw_stroke_event dead;
    if (!v->closing || hw_figure_dead(v->digit, &dead)) {
        hw_sheet_text(s, 0.5, y, type, NOT_COMPARED); // the dead point is named at the axis
        return;
    }
    hw_figure_words(words, "whole stroke: ", pip, "/", mcp, " ",
                    hw_plot_fixed(v->closing->pip_ratio, 2, a), ",  ", dip, "/", pip, " ",
                    hw_plot_fixed(v->closing->dip_ratio, 2, b), NULL);
    hw_sheet_text(s, 0.5, y, type, words);
    if (isnan(v->law[0])) {
        hw_sheet_text(s, 0.5, y + 4, type, "the natural law is one of fingers, not of the thumb");
        return;
    }
    hw_figure_words(words, "off the law (RMS): ", pip, " ",
                    hw_plot_fixed(DEG * v->closing->pip_rms, 1, a), "\xc2\xb0,  ", dip, " ",
                    hw_plot_fixed(DEG * v->closing->dip_rms, 1, b), "\xc2\xb0", NULL);
    hw_sheet_text(s, 0.5, y + 4, type, words);
}

hw_sheet *hw_draw_coupling(hw_arena *a, const hw_digit_view *v)
{
    const hw_stroke *st = v->stroke;
    size_t n = st->n;
    if (n < 2) return NULL;
    double *row[HW_JOINTS], *law[HW_JOINTS];
    for (int i = 0; i < HW_JOINTS; i++) {
        row[i] = scaled(a, st->joint[i], n, DEG);
        law[i] = HW_NEW(a, double, n);
        if (!row[i] || !law[i]) return NULL;
    }
    for (size_t i = 0; i < n; i++) {
        double joint[HW_JOINTS];
        law_angles(v, st->joint[0][i], joint);
        for (int k = 0; k < HW_JOINTS; k++) law[k][i] = DEG * joint[k];
    }
    char axis[160], pip[160], dip[160], law_pip[160], law_dip[160];
    const hw_digit *d = v->digit;
    hw_figure_words(axis, hw_figure_joint(d, 0), ", \xc2\xb0", NULL);
    hw_figure_words(pip, hw_figure_joint(d, 1), NULL);
    hw_figure_words(dip, hw_figure_joint(d, 2), NULL);
    hw_figure_words(law_pip, "law for ", pip, NULL);
    hw_figure_words(law_dip, "law for ", dip, NULL);
    hw_sheet *s = begin(a, v, 88, 96, "coupling", "coupling of the joints");
    if (!s) return NULL;
    hw_plot p = {
        .box = {0, 8, 88, 76}, .x.name = axis, .y.name = "joint angle, \xc2\xb0", .label_room = 22};
    p.y.step = 15;
    travel_range(&p.x, d);
    hw_plot_range(&p.x, row[0], n, true);
    for (int i = 1; i < HW_JOINTS; i++) {
        hw_plot_range(&p.y, row[i], n, true);
        hw_plot_range(&p.y, law[i], n, true);
    }
    hw_plot_begin(s, &p);
    dead_point(s, &p, d);
    hw_plot_line line[6] = {{row[0], law[1], n, NULL, LAW_BAND},
                            {row[0], law[2], n, NULL, LAW_BAND},
                            {row[0], law[1], n, law_pip, {0.35, HW_INK_ACCENT, HW_DASH_LONG}},
                            {row[0], law[2], n, law_dip, {0.25, HW_INK_ACCENT, HW_DASH_SHORT}},
                            {row[0], row[1], n, pip, hw_pen_of(0.7, HW_INK_BLACK)},
                            {row[0], row[2], n, dip, hw_pen_of(0.4, HW_INK_BLACK)}};
    hw_plot_lines(s, &p, line, 6);
    coupling_words(s, v, 88);
    return hw_arena_failed(a) ? NULL : s;
}

// ---- loads ------------------------------------------------------------------------------------

static bool any_number(const double *row, size_t n)
{
    for (size_t i = 0; i < n; i++)
        if (!isnan(row[i])) return true;
    return false;
}

typedef struct panel {
    const char *unit;             // name of the upright axis
    const double *row[HW_JOINTS]; // NULL: no more
    double k;                     // scale to the axis unit [1]
    const char *label[HW_JOINTS];
    double step; // of the upright axis, 0: chosen [unit's]
} panel;

static bool draw_panel(hw_sheet *s, const hw_digit_view *v, const panel *it, hw_box box,
                       const char *x_name)
{
    static const hw_pen pen[HW_JOINTS] = {{0.6, HW_INK_BLACK, HW_DASH_NONE},
                                          {0.35, HW_INK_BLACK, HW_DASH_LONG},
                                          {0.25, HW_INK_BLACK, HW_DASH_NONE}};
    const hw_stroke *st = v->stroke;
    hw_plot_line line[HW_JOINTS];
    size_t n = 0;
    double *x = scaled(s->arena, st->joint[0], st->n, DEG);
    hw_plot p = {.box = box, .x.name = x_name, .y.name = it->unit, .y.step = it->step};
    if (!x) return false;
    travel_range(&p.x, v->digit);
    hw_plot_range(&p.x, x, st->n, true);
    for (int i = 0; i < HW_JOINTS && it->row[i]; i++) {
        double *y = scaled(s->arena, it->row[i], st->n, it->k);
        if (!y || !any_number(y, st->n)) continue;
        hw_plot_range(&p.y, y, st->n, true);
        line[n++] = (hw_plot_line){x, y, st->n, it->label[i], pen[i]};
    }
    if (n == 0) return false;
    // the same in all panels, so that their frames line up
    p.label_room = fmax(24, hw_plot_label_room(line, n));
    hw_plot_begin(s, &p);
    dead_point(s, &p, v->digit);
    hw_plot_lines(s, &p, line, n);
    return true;
}

// How a bar works over the stroke: the word that its line is named with.
static const char *works(const double *bar, size_t n)
{
    bool pulls = false, pushes = false;
    for (size_t i = 0; i < n; i++) {
        pulls = pulls || bar[i] > 0;
        pushes = pushes || bar[i] < 0;
    }
    return pulls && pushes ? " both ways" : pulls ? " pulls" : " pushes";
}

// A transmission angle as it is judged: 90 degrees is best, and as far below as above counts the
// same; 0 is a dead point.
static double *folded(hw_arena *a, const double *row, size_t n)
{
    double *out = HW_NEW(a, double, n);
    for (size_t i = 0; out && i < n; i++) out[i] = row[i] > HW_PI / 2 ? HW_PI - row[i] : row[i];
    return out;
}

hw_sheet *hw_draw_loads(hw_arena *a, const hw_digit_view *v)
{
    const hw_stroke *st = v->stroke;
    if (st->n < 2) return NULL;
    bool bars = any_number(st->bar[0], st->n);
    char pin[HW_JOINTS][160], axis[160], bar[2][160];
    for (int i = 0; i < HW_JOINTS; i++)
        hw_figure_words(pin[i], hw_figure_joint(v->digit, i), " pin", NULL);
    hw_figure_words(axis, hw_figure_joint(v->digit, 0), ", \xc2\xb0", NULL);
    hw_figure_words(bar[0], "bar A", works(st->bar[0], st->n), NULL);
    hw_figure_words(bar[1], "bar B", works(st->bar[1], st->n), NULL);
    hw_sheet *s =
        begin(a, v, 180, bars ? 134 : 74, "loads", "loads per newton that pushes the tip open");
    if (!s) return NULL;
    panel pins = {
        "pin load, N per N", {st->pin[1], st->pin[0], st->pin[2]}, 1, {pin[1], pin[0], pin[2]}, 0};
    panel torque = {"drive torque, N\xc2\xb7mm per N", {st->torque}, MM, {"drive torque"}, 0};
    // a cord: what it must pull, not what that makes of a torque at the knuckle
    if (v->digit->family == HW_FAMILY_CORD && v->digit->cord.arm[0] > 0)
        torque = (panel){
            "cord tension, N per N", {st->torque}, 1 / v->digit->cord.arm[0], {"cord tension"}, 0};
    panel bar_force = {
        "bar force, N per N; pull up, push down", {st->bar[0], st->bar[1]}, 1, {bar[0], bar[1]}, 0};
    double *mu[2] = {folded(a, st->transmission[0], st->n), folded(a, st->transmission[1], st->n)};
    if (!mu[0] || !mu[1]) return NULL;
    panel angle = {"transmission angle, \xc2\xb0; 90 best, 0 dead",
                   {mu[0], mu[1]},
                   DEG,
                   {"bar A's loop", "bar B's loop"},
                   30};
    hw_box box[4] = {{0, 9, 88, 62}, {92, 9, 88, 62}, {0, 72, 88, 61}, {92, 72, 88, 61}};
    (void)draw_panel(s, v, &pins, box[0], axis);
    (void)draw_panel(s, v, &torque, box[bars ? 2 : 1], axis);
    if (bars) {
        (void)draw_panel(s, v, &bar_force, box[1], axis);
        (void)draw_panel(s, v, &angle, box[3], axis);
    }
    return hw_arena_failed(a) ? NULL : s;
}
