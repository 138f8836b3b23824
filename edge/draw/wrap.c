// The wrap chart: cylinders in the digit's curl, drawn in section, and the gaps of all sizes.
#include <math.h>

#include "draw/figure.h"
#include "draw/sheet.h"

#define MM 1000.0 // [mm/m]

enum { PICTURES = 4 };

// Which sizes are drawn: spread over those at which a phalanx touches.
static size_t choose(const hw_wrap_chart *w, int out[PICTURES])
{
    int touching[HW_WRAP_SIZES];
    size_t n = 0;
    for (int i = 0; i < HW_WRAP_SIZES; i++)
        if (w->first[i] >= 0 && isfinite(w->at_s[i]) && isfinite(w->centre[i].x)) touching[n++] = i;
    size_t m = n < PICTURES ? n : PICTURES;
    for (size_t k = 0; k < m; k++) out[k] = touching[m > 1 ? k * (n - 1) / (m - 1) : 0];
    return m;
}

static hw_box with_cylinder(hw_box b, hw_spot centre, double r)
{
    double x = fmin(b.x, centre.x - r), y = fmin(b.y, centre.y - r);
    double right = fmax(b.x + b.w, centre.x + r), low = fmax(b.y + b.h, centre.y + r);
    return (hw_box){x, y, right - x, low - y};
}

static bool picture_box(const hw_digit_view *v, int size, double k, hw_digit_pose *pose,
                        hw_box *out)
{
    const hw_wrap_chart *w = v->wrap;
    (void)hw_figure_pose(v->digit, w->at_s[size], pose);
    if (!hw_figure_sound(pose)) return false;
    hw_spot centre = {k * w->centre[size].x, -k * w->centre[size].z};
    *out = with_cylinder(hw_figure_box(v->digit, pose, k), centre, k * w->diameter[size] / 2);
    return true;
}

static void picture(hw_sheet *s, const hw_digit_view *v, int size, double k, hw_spot corner,
                    double height)
{
    hw_digit_pose pose;
    hw_box box;
    char number[40], words[160];
    if (!picture_box(v, size, k, &pose, &box)) return;
    hw_figure f = {.s = s, .k = k, .knuckle = {corner.x - box.x, corner.y - box.y}};
    hw_path ring = hw_path_new(s->arena);
    double r = v->wrap->diameter[size] / 2;
    hw_path_circle(&ring, hw_figure_spot(&f, v->wrap->centre[size]), k * r);
    hw_sheet_group(s, "cylinder in the curl");
    // the palm goes on from the carrier's palmar face, behind the cylinder
    double palm = -v->digit->thickness[0] / 2, back = v->wrap->centre[size].x - r;
    hw_sheet_line(s, hw_figure_spot(&f, (hw_vec2){0, palm}),
                  hw_figure_spot(&f, (hw_vec2){fmin(back, palm), palm}),
                  hw_pen_of(0.3, HW_INK_BLACK));
    hw_sheet_hatch(s, &ring, HW_PI / 3, 2.2, hw_pen_of(0.13, HW_INK_ACCENT));
    hw_sheet_path(s, &ring, HW_INK_NONE, hw_pen_of(0.4, HW_INK_ACCENT));
    hw_figure_digit(&f, v->digit, &pose);
    hw_sheet_group_end(s);
    hw_type type = hw_type_of(8, HW_ANCHOR_START);
    type.bold = true;
    hw_figure_words(words, "\xe2\x8c\x80 ", hw_plot_number(MM * v->wrap->diameter[size], 3, number),
                    " mm", NULL);
    hw_sheet_text(s, corner.x, corner.y + height + 4.5, type, words);
    type.bold = false;
    type.size = 7.5;
    hw_figure_words(words, hw_figure_phalanx(v->digit, v->wrap->first[size]),
                    " phalanx closes on it", NULL);
    hw_sheet_text(s, corner.x, corner.y + height + 8.3, type, words);
}

static void cell(hw_sheet *s, hw_box b, double gap, bool first, double longest)
{
    char number[40];
    hw_type type = hw_type_of(8, HW_ANCHOR_START);
    type.bold = first;
    if (first) {
        hw_path p = hw_path_new(s->arena);
        hw_path_box(&p, (hw_box){b.x + 0.4, b.y + 0.6, b.w - 0.8, b.h - 1.2});
        hw_sheet_path(s, &p, HW_INK_NONE, hw_pen_of(HW_WEIGHT_HEAVY, HW_INK_BLACK));
        hw_sheet_text(s, b.x + 1.6, b.y + b.h / 2 + 1, type, "closes");
        return;
    }
    bool touches = fabs(MM * gap) < 0.05;
    hw_sheet_text(s, b.x + 1.6, touches ? b.y + b.h / 2 + 1 : b.y + 4, type,
                  touches ? "rests" : hw_plot_fixed(MM * gap, 1, number));
    if (touches || !(gap > 0) || !(longest > 0)) return;
    hw_spot from = {b.x + 1.6, b.y + b.h - 1.9};
    hw_sheet_line(s, from, (hw_spot){from.x + (b.w - 3.2) * fmin(gap / longest, 1), from.y},
                  hw_pen_of(1.1, HW_INK_ACCENT));
}

static void table(hw_sheet *s, const hw_digit_view *v, double top)
{
    const hw_wrap_chart *w = v->wrap;
    const double head = 22, high = 8.4, width = hw_sheet_box(s).w;
    double wide = (width - head) / HW_WRAP_SIZES, longest = 0;
    hw_pen rule = hw_pen_of(HW_WEIGHT_HAIR, HW_INK_BLACK);
    hw_type name = hw_type_of(7.5, HW_ANCHOR_START), bold = name;
    bold.bold = true;
    for (int i = 0; i < HW_WRAP_SIZES; i++)
        for (int k = 0; k < HW_JOINTS; k++)
            if (isfinite(w->gap[i][k])) longest = fmax(longest, w->gap[i][k]);
    hw_sheet_text(s, 0.5, top + 4, name, "cylinder, mm");
    for (int i = 0; i < HW_WRAP_SIZES; i++) {
        char number[40];
        hw_sheet_text(s, head + wide * i + 1.6, top + 4, bold,
                      hw_plot_number(MM * w->diameter[i], 3, number));
    }
    for (int k = 0; k < HW_JOINTS; k++) {
        double y = top + 6 + high * k;
        hw_sheet_line(s, (hw_spot){0, y}, (hw_spot){width, y}, rule);
        hw_sheet_text(s, 0.5, y + high / 2 + 1, name, hw_figure_phalanx(v->digit, k));
        for (int i = 0; i < HW_WRAP_SIZES; i++)
            cell(s, (hw_box){head + wide * i, y, wide, high}, w->gap[i][k], w->first[i] == k,
                 longest);
    }
    double y = top + 6 + high * HW_JOINTS;
    hw_sheet_line(s, (hw_spot){0, y}, (hw_spot){width, y}, rule);
    char words[160];
    hw_figure_words(
        words, "The cylinder rests against the palm and the ", hw_figure_phalanx(v->digit, 0),
        v->digit->thumb ? "; a framed phalanx closes on it. Numbers: gaps then left, mm. "
                        : " phalanx; a framed one closes on it. Numbers: gaps then left, "
                          "mm. ",
        NULL);
    hw_sheet_text(s, 0.5, y + 4.4, name, words);
    hw_sheet_text(s, 0.5, y + 8.2, name,
                  "Without a frame nothing more closes on it: too small. With a minus sign: too "
                  "large for this digit.");
}

hw_sheet *hw_draw_wrap(hw_arena *a, const hw_digit_view *v)
{
    const double width = 180;
    char name[40], title[160], id[160], words[24], remark[160];
    if (!v->wrap) return NULL;
    int size[PICTURES];
    size_t n = choose(v->wrap, size);
    double wide = 0, high = 0;
    for (size_t i = 0; i < n; i++) {
        hw_digit_pose pose;
        hw_box box;
        if (!picture_box(v, size[i], 1, &pose, &box)) continue;
        wide = fmax(wide, box.w);
        high = fmax(high, box.h);
    }
    double fit = wide > 0 ? fmin((width / PICTURES - 4) / (MM * wide), 52 / (MM * high)) : 1;
    double scale = hw_figure_scale(fit, words), tall = n ? scale * MM * high + 11 : 0;
    hw_figure_words(title, hw_figure_capital(v->name, name), ": cylinders in the curl", NULL);
    hw_figure_words(id, v->name, "-wrap", NULL);
    hw_sheet *s = hw_sheet_new(a, width, ceil(10 + tall + 46), id, title);
    if (!s) return NULL;
    hw_figure_words(remark, "scale ", words, NULL);
    double y = hw_figure_head(s, title, v->design, n ? remark : NULL) + 1;
    for (size_t i = 0; i < n; i++)
        picture(s, v, size[i], scale * MM, (hw_spot){0.5 + width / PICTURES * (double)i, y},
                tall - 11);
    table(s, v, y + tall);
    return hw_arena_failed(a) ? NULL : s;
}
