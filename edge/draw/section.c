// The digit in section: one large dimensioned view, and poses on the way.
#include <math.h>

#include "draw/figure.h"
#include "draw/sheet.h"

#define MM 1000.0 // [mm/m]

static const char *mm(double metres, char out[40])
{
    return hw_plot_fixed(metres * MM, 1, out);
}

static const char *degrees(double rad, char out[40])
{
    return hw_plot_fixed(rad * 180 / HW_PI, 0, out);
}

static void chain_of_lengths(const hw_figure *f, const hw_digit *d, const hw_digit_pose *pose)
{
    double top = 0; // above every part, so that no dimension line runs through one
    for (int i = 0; i < HW_JOINTS; i++) top = fmax(top, d->thickness[i] / 2);
    for (int i = 0; i < HW_JOINTS; i++) {
        char text[40];
        hw_spot a = hw_figure_spot(f, pose->at[i]), b = hw_figure_spot(f, pose->at[i + 1]);
        hw_sheet_dimension(f->s, a, b, f->k * top + 5, mm(d->phalanx[i], text));
    }
}

static void bar_labels(const hw_figure *f, const hw_digit *d, const hw_digit_pose *pose)
{
    static const char *const letter[] = {"A", "B"};
    char x[40], z[40], words[160];
    hw_type type = hw_type_of(7.5, HW_ANCHOR_START);
    type.mask = type.bold = true;
    for (int i = 0; i < 2; i++) { // first, so that they lie on their bars
        hw_spot r = hw_figure_spot(f, pose->bar_root[i]), e = hw_figure_spot(f, pose->bar_end[i]);
        hw_spot mid = {(r.x + e.x) / 2, (r.y + e.y) / 2};
        double length = hypot(e.x - r.x, e.y - r.y) / f->k;
        hw_figure_words(words, "bar ", letter[i], "  ", mm(length, x), NULL);
        hw_sheet_label(f->s, mid, 20, type, words);
    }
    type.bold = false;
    for (int i = 0; i < 2; i++) {
        const hw_bar *b = &d->bar[i];
        hw_figure_words(words, "root ", letter[i], " [", mm(b->root.x, x), ", ", mm(b->root.z, z),
                        "]", NULL);
        hw_sheet_label(f->s, hw_figure_spot(f, pose->bar_root[i]), 24, type, words);
        hw_figure_words(words, "horn ", letter[i], " ", mm(b->horn, x), " at ",
                        degrees(b->horn_angle, z), "\xc2\xb0", NULL);
        hw_sheet_label(f->s, hw_figure_spot(f, pose->bar_end[i]), 24, type, words);
    }
}

// The lowest that parts reach, palmar of the straight digit's axis, between two places along it.
// [mm]
static double lowest(const hw_figure *f, const hw_digit *d, const hw_digit_pose *pose, double from,
                     double to)
{
    double low = 0, r = f->k * d->pivot_radius;
    for (int i = 0; i < HW_JOINTS; i++) {
        // outlines run straight from joint to joint, the last one to the tip
        double a = hw_figure_spot(f, pose->at[i]).x, b = hw_figure_spot(f, pose->at[i + 1]).x;
        double next = i + 1 < HW_JOINTS ? d->thickness[i + 1] : d->tip_thickness;
        for (int k = 0; k < 3; k++) {
            double at = fmin(fmax(from + (to - from) * k / 2, a), b);
            double t = b > a ? (at - a) / (b - a) : 0;
            if (at < from || at > to) continue;
            low = fmax(low, f->k * ((1 - t) * d->thickness[i] + t * next) / 2);
        }
    }
    for (int i = 0; i < 2 && d->family == HW_FAMILY_COUPLED_BARS; i++) {
        hw_spot lug[2] = {hw_figure_spot(f, pose->bar_root[i]),
                          hw_figure_spot(f, pose->bar_end[i])};
        for (int k = 0; k < 2; k++)
            if (lug[k].x + r > from && lug[k].x - r < to)
                low = fmax(low, lug[k].y + r - f->knuckle.y);
    }
    return low;
}

static void joint_labels(const hw_figure *f, const hw_digit *d, const hw_digit_pose *pose)
{
    for (int i = 0; i < HW_JOINTS; i++) {
        char number[40], words[160];
        hw_type type = hw_type_of(8, HW_ANCHOR_MIDDLE);
        type.bold = true;
        hw_spot at = hw_figure_spot(f, pose->at[i]);
        hw_figure_words(words, hw_figure_joint(d, i), "  \xe2\x8c\x80", mm(d->thickness[i], number),
                        NULL);
        // on the palmar side, below the outline
        double half = hw_type_width(type, words) / 2 + 0.5;
        double low = lowest(f, d, pose, at.x - half, at.x + half);
        hw_sheet_text(f->s, at.x, at.y + low + 4, type, words);
    }
}

static void cord_labels(const hw_figure *f, const hw_digit *d, const hw_digit_pose *pose)
{
    for (int i = 0; i < HW_JOINTS; i++) {
        char arm[40], words[160];
        hw_type type = hw_type_of(7.5, HW_ANCHOR_START);
        type.mask = true;
        hw_spot at = hw_figure_spot(f, pose->at[i]);
        hw_figure_words(words, "cord arm ", mm(d->cord.arm[i], arm), NULL);
        hw_sheet_label(f->s, (hw_spot){at.x, at.y + f->k * d->cord.arm[i]}, 22, type, words);
    }
}

// Which side is which, beside the carrier, where there is room before the knuckle's own lettering.
static void sides(const hw_figure *f, const hw_digit *d)
{
    static const char *const words[2] = {"back", "palm"};
    hw_type type = hw_type_of(7, HW_ANCHOR_START);
    type.oblique = true;
    double left = f->knuckle.x - f->k * HW_FIGURE_CARRIER * d->thickness[0];
    double half = f->k * d->thickness[0] / 2;
    if (left + hw_type_width(type, words[0]) + 1 < f->knuckle.x)
        hw_sheet_text(f->s, left, f->knuckle.y - half - 1.3, type, words[0]);
    if (left + hw_type_width(type, words[1]) + 10 < f->knuckle.x)
        hw_sheet_text(f->s, left, f->knuckle.y + half + 4, type, words[1]);
}

// From where the numbers of the large view count; returns the y below.
static double key(hw_sheet *s, const hw_digit *d, double y)
{
    static const char *const words[HW_FAMILIES] = {
        [HW_FAMILY_COUPLED_BARS] =
            ("Roots [toward the tip, toward the back] from the joint that the bar spans. Horns: "
             "length, angle from the phalanx's axis, plus toward the back."),
        [HW_FAMILY_DIRECT] = "Every joint is turned by a drive of its own.",
        [HW_FAMILY_CORD] =
            "Cord arm: distance of the closing cord from the joint's axis in the straight digit."};
    hw_sheet_text(s, 0.5, y + 1.5, hw_type_of(7, HW_ANCHOR_START), words[d->family]);
    return y + 4;
}

// The large view; returns the y below it.
static double large_view(hw_sheet *s, const hw_digit_view *v, const hw_digit_pose *pose, double k,
                         double top)
{
    const hw_digit *d = v->digit;
    hw_box box = hw_figure_box(d, pose, k);
    hw_figure f = {.s = s, .k = k, .fine = true};
    f.knuckle = (hw_spot){(hw_sheet_box(s).w - box.w) / 2 - box.x, top + 9 - box.y};
    hw_sheet_group(s, "section, dimensions in millimetres");
    hw_figure_digit(&f, d, pose);
    chain_of_lengths(&f, d, pose);
    double low = f.knuckle.y + box.y + box.h;
    hw_sheet_clip(s, (hw_box){0, top, hw_sheet_box(s).w, low + 13 - top});
    joint_labels(&f, d, pose);
    if (d->family == HW_FAMILY_COUPLED_BARS) bar_labels(&f, d, pose);
    if (d->family == HW_FAMILY_CORD) cord_labels(&f, d, pose);
    sides(&f, d);
    hw_sheet_clip_end(s);
    hw_sheet_group_end(s);
    return key(s, d, low + 13);
}

// Value of a row of the stroke at s, linear between poses; NaN where the stroke has none.
static double at_s(const hw_stroke *st, const double *row, double s)
{
    if (st->n < 2 || !row) return NAN;
    double place = s * (double)(st->n - 1);
    size_t i = (size_t)fmin(floor(place), (double)(st->n - 2));
    double t = place - (double)i;
    return t == 0 ? row[i] : (1 - t) * row[i] + t * row[i + 1];
}

// Under a digit's last pose, where that is a dead point: which, and what was asked for.
static void dead_words(hw_sheet *s, const hw_digit *d, const hw_stroke_event *dead, hw_spot at)
{
    char words[160], number[40];
    hw_type type = hw_type_of(7.5, HW_ANCHOR_START);
    hw_sheet_text(s, at.x, at.y, type, hw_figure_dead_words(d, dead, words));
    hw_figure_words(words, "it goes no further; asked for: ", hw_figure_joint(d, 0), " ",
                    degrees(d->travel[1], number), "\xc2\xb0", NULL);
    hw_sheet_text(s, at.x, at.y + 3.6, type, words);
}

static void pose_words(hw_sheet *s, const hw_digit_view *v, const hw_digit_pose *pose, bool closes,
                       double param, hw_spot at)
{
    char a[3][40], words[160], number[40];
    const hw_digit *d = v->digit;
    hw_type type = hw_type_of(7.5, HW_ANCHOR_START);
    type.bold = true;
    for (int i = 0; i < HW_JOINTS; i++) degrees(pose->joint[i], a[i]);
    if (!closes) {
        hw_figure_words(words, "does not assemble at ", hw_figure_joint(d, 0), " ", a[0],
                        "\xc2\xb0", NULL);
        hw_sheet_text(s, at.x, at.y, type, words);
        return;
    }
    hw_figure_words(words, hw_figure_joint(d, 0), " ", a[0], "\xc2\xb0   ", hw_figure_joint(d, 1),
                    " ", a[1], "\xc2\xb0   ", hw_figure_joint(d, 2), " ", a[2], "\xc2\xb0", NULL);
    hw_sheet_text(s, at.x, at.y, type, words);
    type.bold = false;
    hw_stroke_event dead;
    if (hw_figure_dead(d, &dead) && param >= hw_figure_end(d)) {
        dead_words(s, d, &dead, (hw_spot){at.x, at.y + 3.6});
        return;
    }
    double pin = at_s(v->stroke, v->stroke->pin[1], param);
    if (isnan(pin)) return;
    hw_figure_words(words, hw_figure_joint(d, 1), " pin ", hw_plot_fixed(pin, 1, number),
                    " N per N at the tip", NULL);
    hw_sheet_text(s, at.x, at.y + 3.6, type, words);
    double bar[2] = {at_s(v->stroke, v->stroke->bar[0], param),
                     at_s(v->stroke, v->stroke->bar[1], param)};
    if (isnan(bar[0]) || isnan(bar[1])) return;
    char other[40];
    hw_figure_words(words, "bar A ", bar[0] < 0 ? "pushes " : "pulls ",
                    hw_plot_fixed(fabs(bar[0]), 1, number), " N, B ",
                    bar[1] < 0 ? "pushes " : "pulls ", hw_plot_fixed(fabs(bar[1]), 1, other), " N",
                    NULL);
    hw_sheet_text(s, at.x, at.y + 7.2, type, words);
}

enum { POSES = 3 };

// The straight digit, in which lengths can be read off whatever the open pose is. Its bars close in
// it, since it is what their lengths come from. False where there is none.
static bool straight(const hw_digit *d, hw_digit_pose *out)
{
    hw_digit flat = *d;
    flat.travel[0] = 0;
    flat.travel[1] = 1;
    for (int i = 0; i < HW_JOINTS; i++) {
        flat.joint_travel[i][0] = 0;
        flat.joint_travel[i][1] = 1;
    }
    return hw_figure_pose(&flat, 0, out);
}

// Where on the travel the small views stand: a digit that opens straight has been drawn open above.
static double param_of(const hw_digit *d, int i)
{
    hw_digit_pose open;
    bool bent = false;
    if (hw_figure_pose(d, 0, &open))
        for (int k = 0; k < HW_JOINTS; k++) bent = bent || fabs(open.joint[k]) > 1e-6;
    return hw_figure_end(d) * (bent ? i / (POSES - 1.0) : (i + 1.0) / POSES);
}

// Three poses side by side; returns the y below them.
static double small_views(hw_sheet *s, const hw_digit_view *v, double top, double k, double height)
{
    double cell = hw_sheet_box(s).w / POSES;
    for (int i = 0; i < POSES; i++) {
        hw_digit_pose pose;
        double param = param_of(v->digit, i), left = cell * i;
        bool closes = hw_figure_pose(v->digit, param, &pose);
        if (hw_figure_sound(&pose)) {
            hw_box box = hw_figure_box(v->digit, &pose, k);
            hw_figure f = {.s = s, .k = k};
            f.knuckle = (hw_spot){left + 2 - box.x, top + 2 - box.y};
            hw_sheet_group(s, "pose");
            if (closes)
                hw_figure_digit(&f, v->digit, &pose);
            else
                hw_figure_ghost(&f, v->digit, &pose, HW_FIGURE_TORN);
            hw_sheet_group_end(s);
        }
        pose_words(s, v, &pose, closes, param, (hw_spot){left + 2, top + height + 6});
    }
    return top + height + 16;
}

static double height_of_poses(const hw_digit *d, double k)
{
    double height = 0;
    for (int i = 0; i < POSES; i++) {
        hw_digit_pose pose;
        (void)hw_figure_pose(d, param_of(d, i), &pose);
        if (hw_figure_sound(&pose)) height = fmax(height, hw_figure_box(d, &pose, k).h);
    }
    return height;
}

static double widest_pose(const hw_digit *d)
{
    double wide = 0;
    for (int i = 0; i < POSES; i++) {
        hw_digit_pose pose;
        (void)hw_figure_pose(d, param_of(d, i), &pose);
        if (hw_figure_sound(&pose)) wide = fmax(wide, hw_figure_box(d, &pose, 1).w);
    }
    return wide;
}

hw_sheet *hw_draw_section(hw_arena *a, const hw_digit_view *v)
{
    const double width = 180;
    char name[40], title[160], id[160], large[24], small[24], remark[160];
    hw_digit_pose pose;
    if (!straight(v->digit, &pose)) (void)hw_figure_pose(v->digit, 0, &pose);
    if (!hw_figure_sound(&pose)) return NULL;
    double long_ = hw_figure_box(v->digit, &pose, 1).w, wide = widest_pose(v->digit);
    double scale = hw_figure_scale((width - 8) / (MM * long_), large);
    double little = wide > 0 ? hw_figure_scale((width / POSES - 5) / (MM * wide), small) : 0;
    double poses = height_of_poses(v->digit, little * MM);
    double body = hw_figure_box(v->digit, &pose, scale * MM).h;
    double height = 9 + 9 + body + 13 + 4 + 4 + 2 + poses + 16;
    hw_figure_words(title, hw_figure_capital(v->name, name), " in section", NULL);
    hw_figure_words(id, v->name, "-section", NULL);
    hw_sheet *s = hw_sheet_new(a, width, ceil(height), id, title);
    if (!s) return NULL;
    hw_figure_words(remark, "straight digit at ", large, ", poses at ",
                    little > 0 ? small : "\xe2\x80\x94", ", mm", NULL);
    double y = hw_figure_head(s, title, v->design, remark);
    y = large_view(s, v, &pose, scale * MM, y);
    hw_sheet_line(s, (hw_spot){0, y}, (hw_spot){width, y}, hw_pen_of(HW_WEIGHT_HAIR, HW_INK_BLACK));
    if (little > 0) (void)small_views(s, v, y + 3, little * MM, poses);
    return hw_arena_failed(a) ? NULL : s;
}
