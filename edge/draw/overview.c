// All digits of a hand on one page, and the table of a digit's drawings.
#include <math.h>

#include "draw/figure.h"
#include "draw/sheet.h"

#define MM  1000.0        // [mm/m]
#define DEG (180 / HW_PI) // [deg/rad]

const hw_drawing hw_drawing_of_digit[HW_DRAWINGS] = {
    {"section", "Section", false, hw_draw_section},
    {"tip-path", "Path of the tip", true, hw_draw_tip_path},
    {"coupling", "Coupling of the joints", true, hw_draw_coupling},
    {"loads", "Loads over the stroke", false, hw_draw_loads},
    {"wrap", "Cylinders in the curl", false, hw_draw_wrap},
    {"layers", "Layers", false, hw_draw_layers},
};

enum { POSES = 3 };
static const double pose_at[POSES] = {0, 0.5, 1};

static double worst(const double *row, size_t n)
{
    double most = NAN;
    for (size_t i = 0; i < n; i++)
        if (!isnan(row[i]) && !(fabs(row[i]) <= fabs(most))) most = row[i];
    return most;
}

// One line of a digit's numbers: what at the left, value at the right of the column.
static double fact(hw_sheet *s, hw_spot at, double width, const char *what, double value,
                   int decimals, const char *unit)
{
    char number[40], words[160];
    hw_type type = hw_type_of(7.5, HW_ANCHOR_START);
    if (isnan(value)) return at.y;
    hw_sheet_text(s, at.x, at.y, type, what);
    type.bold = true;
    type.anchor = HW_ANCHOR_END;
    hw_figure_words(words, hw_plot_fixed(value, decimals, number), unit, NULL);
    hw_sheet_text(s, at.x + width, at.y, type, words);
    return at.y + 4;
}

static void facts(hw_sheet *s, const hw_digit_view *v, double x, double y, double width)
{
    const hw_stroke *st = v->stroke;
    char words[160];
    const char *mcp = hw_figure_joint(v->digit, 0), *pip = hw_figure_joint(v->digit, 1);
    size_t n = st->n;
    hw_figure_words(words, pip, " pin at worst, per N", NULL);
    y = fact(s, (hw_spot){x, y}, width, words, worst(st->pin[1], n), 1, " N");
    static const char *const pushed[2][2] = {{"bar A pulls up to", "bar A pushes up to"},
                                             {"bar B pulls up to", "bar B pushes up to"}};
    for (int i = 0; i < 2; i++) {
        double f = worst(st->bar[i], n);
        y = fact(s, (hw_spot){x, y}, width, pushed[i][f < 0], fabs(f), 1, " N");
    }
    if (v->closing) {
        hw_figure_words(words, pip, " over ", mcp, NULL);
        y = fact(s, (hw_spot){x, y}, width, words, v->closing->pip_ratio, 2, "");
        if (!isnan(v->law[0])) // a law for this digit
            y = fact(s, (hw_spot){x, y}, width, "tip path off natural, RMS",
                     100 * v->closing->path_rms, 1, " %");
    }
    if (v->slop)
        (void)fact(s, (hw_spot){x, y}, width, "tip wobble, peak to peak", MM * v->slop->tip, 1,
                   " mm");
}

// Widths that the poses of all digits take, and how far they reach below a row's top. [mm]
typedef struct room_ {
    double wide[POSES], all; // all: their sum with gaps [mm]
    double scale;            // [1]
} room_;

// How far the poses reach above the knuckle's height and below it. [mm]
static void reach_of(const hw_digit_view *v, double k, double *above, double *below)
{
    *above = *below = k * v->digit->thickness[0] / 2;
    double end = hw_figure_end(v->digit);
    for (int i = 0; i < POSES; i++) {
        hw_digit_pose pose;
        (void)hw_figure_pose(v->digit, end * pose_at[i], &pose);
        if (!hw_figure_sound(&pose)) continue;
        hw_box b = hw_figure_box(v->digit, &pose, k);
        *above = fmax(*above, -b.y);
        *below = fmax(*below, b.y + b.h);
    }
}

static double tall(const hw_digit_view *v, double k)
{
    double above, below;
    reach_of(v, k, &above, &below);
    return fmax(above + below + 7, 33);
}

static room_ room_at(const hw_digit_view *v, size_t n, double scale)
{
    room_ r = {.scale = scale};
    for (size_t d = 0; d < n; d++) {
        double end = hw_figure_end(v[d].digit);
        for (int i = 0; i < POSES; i++) {
            hw_digit_pose pose;
            (void)hw_figure_pose(v[d].digit, end * pose_at[i], &pose);
            if (!hw_figure_sound(&pose)) continue;
            r.wide[i] = fmax(r.wide[i], hw_figure_box(v[d].digit, &pose, scale * MM).w);
        }
    }
    for (int i = 0; i < POSES; i++) r.all += r.wide[i] + 4;
    return r;
}

static void row(hw_sheet *s, const hw_digit_view *v, const room_ *r, double top, double column)
{
    const double width = hw_sheet_box(s).w, k = r->scale * MM, height = tall(v, k);
    char name[40], words[160];
    hw_type type = hw_type_of(10, HW_ANCHOR_START);
    type.bold = true;
    // room that is left over is shared between the poses
    double above, below;
    reach_of(v, k, &above, &below);
    double end = hw_figure_end(v->digit);
    double x = 0, gap = 4 + (width - column - 2 - r->all) / POSES;
    hw_sheet_group(s, v->name);
    for (int i = 0; i < POSES; x += r->wide[i] + gap, i++) {
        hw_digit_pose pose;
        bool closes = hw_figure_pose(v->digit, end * pose_at[i], &pose);
        if (!hw_figure_sound(&pose)) continue;
        hw_box box = hw_figure_box(v->digit, &pose, k);
        // all knuckles of a row at one height, so that the eye can follow the curl
        hw_figure f = {.s = s, .k = k};
        f.knuckle = (hw_spot){x + 1 - box.x, top + 4 + above};
        if (closes) {
            hw_figure_digit(&f, v->digit, &pose);
            continue;
        }
        hw_figure_ghost(&f, v->digit, &pose, HW_FIGURE_TORN);
        hw_type small = hw_type_of(7.5, HW_ANCHOR_START);
        small.mask = true;
        hw_sheet_text(s, x + 1, top + height - 2, small, "does not assemble");
    }
    hw_sheet_text(s, width - column, top + 6, type, hw_figure_capital(v->name, name));
    facts(s, v, width - column, top + 11, column - 0.5);
    hw_stroke_event dead;
    if (hw_figure_dead(v->digit, &dead)) {
        hw_type small = hw_type_of(7.5, HW_ANCHOR_START);
        hw_figure_dead_words(v->digit, &dead, words);
        hw_sheet_text(s, width - column, top + height - 6, small, words);
        hw_sheet_text(s, width - column, top + height - 2, small, "drawn open, half way and there");
    }
    hw_sheet_group_end(s);
    hw_sheet_line(s, (hw_spot){0, top + height}, (hw_spot){width, top + height},
                  hw_pen_of(HW_WEIGHT_HAIR, HW_INK_BLACK));
}

static double height_at(const hw_digit_view *v, size_t n, double scale)
{
    double total = 0;
    for (size_t i = 0; i < n; i++) total += tall(&v[i], scale * MM);
    return total;
}

hw_sheet *hw_draw_hand(hw_arena *a, const hw_digit_view *v, size_t n)
{
    const double width = 180, column = 46, page = 232; // with the head, less than A4's text height
    char words[24], remark[160];
    if (n == 0) return NULL;
    room_ r = room_at(v, n, 1);
    if (!(r.all > 4 * POSES)) return NULL;
    double scale = hw_figure_scale((width - column - 2 - 4 * POSES) / (r.all - 4 * POSES), words);
    while (scale > 0.15 && height_at(v, n, scale) > page)
        scale = hw_figure_scale(0.99 * scale, words);
    r = room_at(v, n, scale);
    hw_sheet *s = hw_sheet_new(a, width, ceil(9 + height_at(v, n, scale)), "hand", "All digits");
    if (!s) return NULL;
    hw_figure_words(remark, "open, half way, closed; scale ", words, NULL);
    double y = hw_figure_head(s, "All digits in section", v[0].design, remark) - 2;
    for (size_t i = 0; i < n; i++) {
        row(s, &v[i], &r, y, column);
        y += tall(&v[i], scale * MM);
    }
    return hw_arena_failed(a) ? NULL : s;
}
