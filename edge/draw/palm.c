// The palm over a person's: in plan from the back, and along the fingers from their tips.
#include <math.h>

#include "draw/figure.h"
#include "draw/sheet.h"
#include "palm/pose.h"

#define MM  1000.0        // [mm/m]
#define DEG (180 / HW_PI) // [deg/rad]

enum { CORNERS = 8, COLUMNS = 6 };

typedef struct picture {
    hw_sheet *s;
    const hw_palm_view *v;
    hw_spot zero;  // where the hand frame's origin lies [mm]
    double k;      // sheet millimetres per metre [mm/m]
    double mirror; // -1 for a left hand [1]
    bool along;    // seen along the fingers, else in plan
} picture;

// Plan: fingers up, a right hand's thumb at the left. Along: the back up, seen from the fingertips,
// a right hand's thumb at the right.
static hw_spot spot(const picture *p, hw_vec3 at)
{
    double y = p->mirror * at.y * p->k;
    if (p->along) return (hw_spot){p->zero.x + y, p->zero.y - at.z * p->k};
    return (hw_spot){p->zero.x - y, p->zero.y - at.x * p->k};
}

static void cross(const picture *p, hw_vec3 at, double size, hw_pen pen) // [mm]
{
    hw_spot c = spot(p, at);
    hw_sheet_line(p->s, (hw_spot){c.x - size, c.y}, (hw_spot){c.x + size, c.y}, pen);
    hw_sheet_line(p->s, (hw_spot){c.x, c.y - size}, (hw_spot){c.x, c.y + size}, pen);
}

// ---- the person behind

static void person_digit(const picture *p, int digit)
{
    const hw_digit_shape *d = &p->v->person->digit[digit];
    const hw_pen pen = {HW_WEIGHT_THIN, HW_INK_SOFT, HW_DASH_NONE};
    if (!p->along) cross(p, d->knuckle.at, 1.6, hw_pen_of(HW_WEIGHT_PLAIN, HW_INK_ACCENT));
    if (isnan(d->knuckle.x.x)) return; // where a thumb points is not known
    hw_vec3 at = d->knuckle.at;
    for (int k = 0; k < HW_SEGMENTS && !p->along; k++) {
        hw_vec3 to = hw_vec3_along(at, d->segment[k], d->knuckle.x);
        double thin = d->thickness[k + 1 < HW_SEGMENTS ? k + 1 : k];
        double r[2] = {d->thickness[k] / 2, fmin(thin, d->thickness[k]) / 2};
        hw_vec3 end = k + 1 < HW_SEGMENTS ? to : hw_vec3_along(to, -r[1], d->knuckle.x);
        const hw_round disc[2] = {{spot(p, at), p->k * r[0]}, {spot(p, end), p->k * r[1]}};
        hw_path path = hw_path_new(p->s->arena);
        hw_path_hull(&path, disc, 2);
        hw_sheet_path(p->s, &path, HW_INK_WASH, pen);
        at = to;
    }
    if (!p->along) return;
    hw_path path = hw_path_new(p->s->arena);
    hw_path_circle(&path, spot(p, at), p->k * d->thickness[0] / 2);
    hw_sheet_path(p->s, &path, HW_INK_WASH, pen);
    cross(p, at, 1.6, hw_pen_of(HW_WEIGHT_PLAIN, HW_INK_ACCENT));
}

// ---- the design over it

static void palm_outline(const picture *p)
{
    const hw_palm *m = p->v->palm;
    hw_path path = hw_path_new(p->s->arena);
    hw_spot at[HW_PALM_AROUND];
    if (p->along) {
        for (int k = 0; k < HW_PALM_AROUND; k++)
            at[k] = spot(p, m->outline[HW_PALM_SECTIONS - 1][k]);
        hw_path_points(&path, at, HW_PALM_AROUND);
        hw_path_close(&path);
        hw_sheet_path(p->s, &path, HW_INK_NONE, hw_pen_of(HW_WEIGHT_PLAIN, HW_INK_BLACK));
        return;
    }
    // the thumb's side up, along the front, the little finger's side down
    hw_spot edge[2 * HW_PALM_SECTIONS + HW_PALM_AROUND / 2];
    size_t n = 0;
    for (int s = 0; s < HW_PALM_SECTIONS; s++) edge[n++] = spot(p, m->outline[s][0]);
    for (int k = 1; k < HW_PALM_AROUND / 2; k++)
        edge[n++] = spot(p, m->outline[HW_PALM_SECTIONS - 1][k]);
    for (int s = HW_PALM_SECTIONS; s-- > 0;) edge[n++] = spot(p, m->outline[s][HW_PALM_AROUND / 2]);
    hw_path_points(&path, edge, n);
    hw_path_close(&path);
    hw_sheet_path(p->s, &path, HW_INK_NONE, hw_pen_of(HW_WEIGHT_PLAIN, HW_INK_BLACK));
}

// A phalanx as the hull of its corners.
static void phalanx(const picture *p, int digit, const hw_palm_pose *pose, int k, hw_pen pen)
{
    const hw_palm_digit *d = &p->v->palm->digit[digit];
    const hw_frame *f = &pose->phalanx[k];
    hw_round disc[CORNERS];
    const double round = 0.001 * p->k; // corners of a millimetre
    for (int c = 0; c < CORNERS; c++) {
        int end = c & 1;
        double across = (c & 2 ? 0.5 : -0.5) * d->width - (c & 2 ? 0.001 : -0.001);
        double up = (c & 4 ? 0.5 : -0.5) * d->thickness[k + end] - (c & 4 ? 0.001 : -0.001);
        double along = end ? d->segment[k] - 0.001 : 0.001;
        hw_vec3 at = hw_vec3_along(f->at, along, f->x);
        at = hw_vec3_along(hw_vec3_along(at, across, f->y), up, f->z);
        disc[c] = (hw_round){spot(p, at), round};
    }
    hw_path path = hw_path_new(p->s->arena);
    hw_path_hull(&path, disc, CORNERS);
    hw_sheet_path(p->s, &path, HW_INK_NONE, pen);
}

// What the digit ends in and splays with: from its joint to as far behind the splay axis.
static void carrier(const picture *p, int digit)
{
    const hw_palm_digit *d = &p->v->palm->digit[digit];
    const hw_frame *f = &d->knuckle;
    hw_vec3 back = hw_vec3_along(d->splay_at, -0.4 * d->thickness[0], f->x);
    double half = 0.5 * d->width;
    const hw_spot at[4] = {
        spot(p, hw_vec3_along(f->at, half, f->y)), spot(p, hw_vec3_along(back, half, f->y)),
        spot(p, hw_vec3_along(back, -half, f->y)), spot(p, hw_vec3_along(f->at, -half, f->y))};
    hw_sheet_polyline(p->s, at, 4, hw_pen_of(HW_WEIGHT_THIN, HW_INK_BLACK));
}

// Beside and before the palm, where the fingers' own sections are.
static void thumb_along(const picture *p)
{
    const double straight[HW_SEGMENTS] = {0, 0, 0};
    for (int end = 0; end < 2; end++) {
        hw_palm_pose pose;
        hw_pen pen = {HW_WEIGHT_THIN, HW_INK_BLACK, end ? HW_DASH_SHORT : HW_DASH_NONE};
        hw_palm_pose_of(p->v->palm, 0, p->v->palm->opposition[end], straight, &pose);
        for (int k = 0; k < HW_SEGMENTS; k++) phalanx(p, 0, &pose, k, pen);
    }
}

static void design_digit(const picture *p, int digit)
{
    const hw_palm *m = p->v->palm;
    const hw_palm_digit *d = &m->digit[digit];
    const double straight[HW_SEGMENTS] = {0, 0, 0};
    const hw_pen line = hw_pen_of(digit ? HW_WEIGHT_HEAVY : HW_WEIGHT_PLAIN, HW_INK_BLACK);
    const hw_pen chain = {HW_WEIGHT_THIN, HW_INK_BLACK, HW_DASH_CHAIN};
    hw_palm_pose pose;
    hw_palm_pose_of(m, digit, digit ? 0 : m->opposition[0], straight, &pose);
    int shown = p->along && digit ? 1 : HW_SEGMENTS; // along: the proximal's section
    for (int k = 0; k < shown; k++) phalanx(p, digit, &pose, k, line);
    hw_vec3 here = pose.phalanx[0].at;
    double half = 0.5 * d->width;
    hw_sheet_line(p->s, spot(p, hw_vec3_along(here, -1.25 * half, pose.base.y)),
                  spot(p, hw_vec3_along(here, 1.25 * half, pose.base.y)), chain);
    if (digit == 0) {
        hw_vec3 axis = p->v->palm->thumb_base.x, through = p->v->palm->opposition_at;
        double reach = 0.6 * d->segment[0];
        hw_sheet_line(p->s, spot(p, hw_vec3_along(through, -0.5 * reach, axis)),
                      spot(p, hw_vec3_along(through, reach, axis)), chain);
    } else if (!p->along) {
        carrier(p, digit);
    }
    if (digit > 0 && !p->along && d->splay[1] > d->splay[0]) { // its range, about its axis
        hw_path dot = hw_path_new(p->s->arena);
        hw_path_circle(&dot, spot(p, d->splay_at), 0.7);
        hw_sheet_path(p->s, &dot, HW_INK_BLACK, (hw_pen){0});
        for (int end = 0; end < 2; end++) {
            hw_palm_pose to;
            hw_palm_pose_of(m, digit, d->splay[end], straight, &to);
            if (d->splay[end] == 0) continue;
            hw_sheet_line(p->s, spot(p, d->splay_at), spot(p, to.tip),
                          (hw_pen){HW_WEIGHT_HAIR, HW_INK_BLACK, HW_DASH_SHORT});
        }
    }
}

static void arch(const picture *p)
{
    const hw_palm *m = p->v->palm;
    double crown = 0.5 * (m->digit[1].knuckle.at.y + m->digit[4].knuckle.at.y), r = m->arch_radius;
    hw_spot at[41];
    for (int i = 0; i <= 40; i++) {
        double off = (i - 20) / 20.0 * 0.5 * m->breadth;
        double z = sqrt(fmax(0, r * r - off * off)) - sqrt(fmax(0, r * r - crown * crown));
        at[i] = spot(p, (hw_vec3){0, crown + off, z});
    }
    hw_sheet_polyline(p->s, at, 41, (hw_pen){HW_WEIGHT_THIN, HW_INK_ACCENT, HW_DASH_CHAIN});
}

// ---- numbers

static void cell(hw_sheet *s, double x, double y, double value, int decimals)
{
    char number[40], words[160];
    hw_plot_fixed(value, decimals, number);
    hw_figure_words(words, value > 0 && number[0] != '0' ? "+" : "", number, NULL);
    hw_sheet_text(s, x, y, hw_type_of(7.5, HW_ANCHOR_END), isnan(value) ? "" : words);
}

// How far the design is from a person, digit by digit. [mm]
static void table(hw_sheet *s, const hw_palm_view *v, double x, double y)
{
    static const char *const title[] = {"along", "aside", "up", "turn", "longer", "sd"};
    static const double column[COLUMNS] = {24, 35, 45, 55, 66, 75};
    hw_type head = hw_type_of(7.5, HW_ANCHOR_END), name = hw_type_of(7.5, HW_ANCHOR_START);
    char words[160];
    name.bold = true;
    hw_sheet_text(s, x, y, name, "design less person, mm and deg");
    for (int c = 0; c < COLUMNS; c++) hw_sheet_text(s, x + column[c], y + 4.5, head, title[c]);
    name.bold = false;
    y += 6;
    hw_sheet_line(s, (hw_spot){x, y}, (hw_spot){x + column[COLUMNS - 1], y},
                  hw_pen_of(HW_WEIGHT_THIN, HW_INK_BLACK));
    for (int i = 0; i < HW_HAND_DIGITS; i++) {
        const hw_palm_digit *d = &v->palm->digit[(i + 1) % HW_HAND_DIGITS];
        const hw_digit_shape *p = &v->person->digit[(i + 1) % HW_HAND_DIGITS];
        hw_shape_off off;
        if (!d->present) continue;
        if (hw_shape_off_of(p, d->segment, &off) != HW_OK) continue;
        y += 4;
        hw_sheet_text(s, x, y, name, hw_figure_capital(v->name[(i + 1) % HW_HAND_DIGITS], words));
        cell(s, x + column[0], y, MM * (d->knuckle.at.x - p->knuckle.at.x), 1);
        cell(s, x + column[1], y, MM * (d->knuckle.at.y - p->knuckle.at.y), 1);
        cell(s, x + column[2], y, MM * (d->knuckle.at.z - p->knuckle.at.z), 1);
        double turn = atan2(d->knuckle.x.y, d->knuckle.x.x) - atan2(p->knuckle.x.y, p->knuckle.x.x);
        cell(s, x + column[3], y, DEG * turn, 1); // of a thumb: unknown
        cell(s, x + column[4], y, MM * off.reach, 1);
        char number[40];
        hw_sheet_text(s, x + column[5], y, head, hw_plot_fixed(off.rms, 1, number));
    }
    hw_type small = hw_type_of(7, HW_ANCHOR_START);
    (void)hw_sheet_paragraph(
        s, x, y + 6, column[COLUMNS - 1], 3.4, small,
        "Knuckle along the palm, toward the thumb, toward the back; turned toward the thumb, deg; "
        "longer from knuckle to tip; segments in standard deviations, RMS. Washed: a person of the "
        "same length and breadth, by published shares; crosses: a person's joints, on their arch. "
        "Chain lines are joints' axes, dots the splay axes, dashed the ends of splay, and at the "
        "right the thumb opposed. Of a thumb's base no height was found published (0 stands for "
        "it), nor where it points.");
}

// How the two views lie on the sheet.
typedef struct plan_ {
    double top, left, right; // of the plan, from the wrist's middle [m]
    double middle, below;    // of the other view; where the table begins [mm]
    double height, k;        // of the sheet [mm]; scale [mm/m]
    char words[24];          // of the scale
} plan_;

// From the wrist to the longest tip, and as wide as thumb and splay make it.
static void extent(const hw_palm_view *v, plan_ *l)
{
    const double straight[HW_SEGMENTS] = {0, 0, 0};
    l->top = v->person->length;
    l->right = 0.5 * v->palm->breadth;
    for (int d = 0; d < HW_HAND_DIGITS; d++) {
        const hw_palm_digit *g = &v->palm->digit[d];
        hw_palm_pose pose;
        hw_palm_pose_of(v->palm, d, d ? 0 : v->palm->opposition[0], straight, &pose);
        double half = 0.5 * g->width, reach = 0;
        for (int k = 0; k < HW_SEGMENTS; k++) reach += g->segment[k];
        double swing = d ? reach * sin(-g->splay[0]) : 0;
        l->top = fmax(l->top, pose.tip.x + half);
        l->left = fmax(l->left, pose.tip.y + half);
        l->right = fmax(l->right, -pose.tip.y + half + swing);
    }
}

static plan_ plan_of(const hw_palm_view *v)
{
    plan_ l = {0};
    extent(v, &l);
    l.k = MM * hw_figure_scale(fmin(92 / (MM * (l.left + l.right)), 150 / (MM * l.top)), l.words);
    double deep = l.k * (v->palm->thickness - v->palm->back), drop = 0;
    for (int end = 0; end < 2 && v->palm->digit[0].present; end++) { // of the thumb's corners
        const double straight[HW_SEGMENTS] = {0, 0, 0};
        const hw_palm_digit *g = &v->palm->digit[0];
        hw_palm_pose pose;
        hw_palm_pose_of(v->palm, 0, v->palm->opposition[end], straight, &pose);
        drop = fmax(drop,
                    l.k * (0.5 * hypot(g->width, g->thickness[HW_PALM_DEPTHS - 1]) - pose.tip.z));
    }
    l.middle = 19 + l.k * fmax(v->palm->back, 0);
    l.below = l.middle + fmax(deep + 12, drop + 4);
    l.height = ceil(fmax(l.k * l.top + 22, l.below + 61));
    return l;
}

static void view_of(const picture *p)
{
    const hw_palm_digit *d = p->v->palm->digit;
    hw_sheet_group(p->s, p->along ? "along the fingers" : "plan");
    for (int i = 0; i < HW_HAND_DIGITS; i++)
        if (d[i].present) person_digit(p, i);
    palm_outline(p);
    if (p->along) arch(p);
    if (p->along && d[0].present) thumb_along(p);
    for (int i = p->along ? 1 : 0; i < HW_HAND_DIGITS; i++)
        if (d[i].present) design_digit(p, i);
    hw_sheet_group_end(p->s);
}

hw_sheet *hw_draw_palm(hw_arena *a, const hw_palm_view *v)
{
    const double width = 180, column = 78;
    char remark[160];
    if (!isfinite(v->palm->length) || !isfinite(v->person->length)) return NULL;
    plan_ l = plan_of(v);
    hw_sheet *s = hw_sheet_new(a, width, l.height, "palm", "Palm over a person's hand");
    if (!s) return NULL;
    hw_figure_words(remark, v->left ? "left hand; " : "right hand; ", "scale ", l.words, NULL);
    double y = hw_figure_head(s, "Palm over a person's hand", v->design, remark);
    picture plan = {.s = s, .v = v, .k = l.k, .mirror = v->left ? -1 : 1}, end = plan;
    plan.zero = (hw_spot){(v->left ? l.right : l.left) * l.k + 3, y + 5 + l.k * l.top};
    end.along = true;
    end.zero = (hw_spot){width - (v->left ? 30 : 48), l.middle};
    hw_type label = hw_type_of(7.5, HW_ANCHOR_START);
    hw_sheet_text(s, 0, y + 2, label, "plan, from the back");
    hw_sheet_text(s, width - column, y + 2, label, "along the fingers, from their tips");
    view_of(&plan);
    view_of(&end);
    table(s, v, width - column, l.below);
    return hw_arena_failed(a) ? NULL : s;
}
