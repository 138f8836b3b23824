// Stress in a cut: a picture of grey steps, then lettering.
#include "draw/stress.h"

#include "base/text.h"
#include "draw/figure.h"

#include <math.h>
#include <string.h>

enum { DOTS = 10, STEPS_MOST = 10, KEY = 64 }; // picture elements along a cell's side
static const double darkest = 0.62, line_ink = 0.85;

double hw_stress_step(double most)
{
    double ten = pow(10, floor(log10(most / 4)));
    double over = most / 4 / ten; // 1 to 10
    return ten * (over < 2 ? 1 : over < 5 ? 2 : 5);
}

typedef struct map {
    const hw_stress_map *m;
    size_t from[2], n[2]; // cells shown
    size_t w, h;          // of the picture
    double step;
    uint8_t *ink;
    int8_t *level; // of each element; -1: outside
    hw_box box;    // on the sheet
} map;

static bool sound(const hw_stress_map *m)
{
    if (m->n[0] < 1 || m->n[1] < 1 || m->n[0] > 2000 || m->n[1] > 2000) return false;
    if (!(m->edge > 0) || !isfinite(m->edge) || !(m->most > 0) || !isfinite(m->most)) return false;
    if (!isfinite(m->worst.x) || !isfinite(m->worst.z) || !isfinite(m->low.x + m->low.z))
        return false;
    if (!(m->width >= 60 && m->width <= 600 && m->height_most >= 20 && m->height_most <= 600))
        return false;
    for (size_t i = 0; i < m->n[0] * m->n[1]; i++)
        if (m->filled[i] >= 0.5 && isfinite(m->value[i])) return true;
    return false;
}

// The part and a cell round it.
static void crop(map *p)
{
    const hw_stress_map *m = p->m;
    size_t first[2] = {SIZE_MAX, SIZE_MAX}, last[2] = {0, 0};
    for (size_t i = 0; i < m->n[0] * m->n[1]; i++) {
        if (!(m->filled[i] >= 0.5)) continue;
        const size_t at[2] = {i % m->n[0], i / m->n[0]};
        for (int c = 0; c < 2; c++) {
            if (at[c] < first[c]) first[c] = at[c];
            if (at[c] > last[c]) last[c] = at[c];
        }
    }
    for (int c = 0; c < 2; c++) {
        p->from[c] = first[c] ? first[c] - 1 : 0;
        size_t end = last[c] + 2 < m->n[c] ? last[c] + 2 : m->n[c];
        p->n[c] = end - p->from[c];
    }
}

// Value and share of filling at a place in cells, from the four middles round it.
static double between(const hw_stress_map *m, double x, double z, double *filled)
{
    double x0 = floor(x - 0.5), z0 = floor(z - 0.5), sum = 0, weight = 0;
    *filled = 0;
    for (int c = 0; c < 4; c++) {
        double i = x0 + (c & 1), k = z0 + (c >> 1);
        double w = (1 - fabs(x - 0.5 - i)) * (1 - fabs(z - 0.5 - k));
        if (i < 0 || k < 0 || i >= (double)m->n[0] || k >= (double)m->n[1]) continue;
        size_t at = (size_t)k * m->n[0] + (size_t)i;
        if (!(m->filled[at] > 0) || !isfinite(m->value[at])) continue;
        *filled += w * m->filled[at];
        sum += w * m->filled[at] * m->value[at];
        weight += w * m->filled[at];
    }
    return weight > 0 ? sum / weight : 0;
}

static void find_levels(map *p)
{
    for (size_t y = 0; y < p->h; y++)
        for (size_t x = 0; x < p->w; x++) {
            double filled, at_x = (double)p->from[0] + ((double)x + 0.5) / DOTS,
                           at_z = (double)p->from[1] + ((double)(p->h - 1 - y) + 0.5) / DOTS;
            double value = between(p->m, at_x, at_z, &filled);
            double level = fmin(fmax(floor(value / p->step), 0), STEPS_MOST - 1);
            p->level[y * p->w + x] = filled >= 0.5 ? (int8_t)level : -1;
        }
}

static double shade(const map *p, int level)
{
    double last = fmax(1, floor(p->m->most / p->step));
    return 0.05 + (darkest - 0.05) * fmin(level / last, 1);
}

// Grey steps; between two steps a thin line, round the part a heavy one.
// NOLINTNEXTLINE(readability-function-cognitive-complexity): loops over a grid, read in one piece
static void lay_ink(map *p)
{
    for (size_t y = 0; y < p->h; y++)
        for (size_t x = 0; x < p->w; x++) {
            int here = (int)p->level[y * p->w + x];
            double ink = here < 0 ? 0 : shade(p, here);
            for (int d = 1; d <= 2; d++)
                for (int way = 0; way < 4; way++) {
                    size_t to_x = x + (size_t)(way == 0 ? d : 0) - (size_t)(way == 1 ? d : 0);
                    size_t to_y = y + (size_t)(way == 2 ? d : 0) - (size_t)(way == 3 ? d : 0);
                    bool out = to_x >= p->w || to_y >= p->h;
                    int there = out ? -1 : p->level[to_y * p->w + to_x];
                    if (here >= 0 && there < 0) ink = 1;
                    if (d == 1 && here >= 0 && there > here && ink < line_ink) ink = line_ink;
                }
            p->ink[y * p->w + x] = (uint8_t)lround(255 * ink);
        }
}

static const char *number(hw_arena *a, double value, double step) // [Pa]
{
    char text[HW_NUMBER_TEXT];
    hw_buffer b = {.arena = a};
    int places = step >= 1e6 ? 0 : (int)fmin(6, ceil(-log10(step * 1e-6) - 1e-9));
    hw_number_write_fixed(value * 1e-6, places, text);
    hw_buffer_puts(&b, text);
    return b.at ? b.at : "";
}

// A row of the steps with the numbers between them. Returns the y below.
static double key(hw_arena *a, hw_sheet *s, const map *p, double y)
{
    int steps = (int)floor(p->m->most / p->step) + 1;
    if (steps > STEPS_MOST) steps = STEPS_MOST;
    double w = 11, x = 0.5;
    for (int i = 0; i < steps; i++) {
        hw_box box = {x + i * w, y, w, 4};
        uint8_t *ink = HW_NEW(a, uint8_t, KEY * KEY); // fine, for readers that blur between dots
        if (!ink) return y;
        memset(ink, (int)lround(255 * shade(p, i)), KEY * KEY);
        hw_sheet_image(s, box, KEY, KEY, ink);
        hw_path path = hw_path_new(a);
        hw_path_box(&path, box);
        hw_sheet_path(s, &path, HW_INK_NONE, hw_pen_of(HW_WEIGHT_HAIR, HW_INK_BLACK));
        hw_type type = hw_type_of(7, i ? HW_ANCHOR_MIDDLE : HW_ANCHOR_START);
        hw_sheet_text(s, x + i * w, y + 7.5, type, number(a, i * p->step, p->step));
    }
    hw_sheet_text(s, x + steps * w + 2, y + 3, hw_type_of(7.5, HW_ANCHOR_START), "MPa, von Mises");
    return y + 9;
}

static void mark_worst(hw_arena *a, hw_sheet *s, const map *p)
{
    const hw_stress_map *m = p->m;
    double k = p->box.w / (double)p->n[0]; // [mm] a cell
    double right = (m->worst.x - m->low.x) / m->edge - (double)p->from[0];
    double up = (m->worst.z - m->low.z) / m->edge - (double)p->from[1];
    hw_spot at = {p->box.x + right * k, p->box.y + p->box.h - up * k};
    hw_path ring = hw_path_new(a);
    hw_path_circle(&ring, at, 1.6);
    hw_sheet_path(s, &ring, HW_INK_NONE, hw_pen_of(1.0, HW_INK_PAPER));
    hw_sheet_path(s, &ring, HW_INK_NONE, hw_pen_of(HW_WEIGHT_PLAIN, HW_INK_ACCENT));
    hw_buffer words = {.arena = a};
    hw_buffer_format(&words, "%s MPa", number(a, m->most, 0.1 * p->step));
    hw_type type = hw_type_of(9, HW_ANCHOR_START);
    type.bold = true;
    type.mask = true;
    if (words.at) hw_sheet_label(s, at, 40, type, words.at);
}

// Along the bottom, a round number of millimetres long.
static void scale_bar(hw_arena *a, hw_sheet *s, double right, double y, double scale)
{
    double length = scale >= 2.5 ? 5 : 10;
    hw_spot to = {right, y}, from = {right - length * scale, y};
    hw_sheet_line(s, from, to, hw_pen_of(HW_WEIGHT_HEAVY, HW_INK_BLACK));
    hw_buffer words = {.arena = a};
    hw_buffer_format(&words, "%d mm", (int)length);
    if (words.at) hw_sheet_text(s, right, y + 3.6, hw_type_of(7.5, HW_ANCHOR_END), words.at);
}

hw_code hw_draw_stress(hw_arena *a, const hw_stress_map *m, hw_sheet **out)
{
    *out = NULL;
    if (!sound(m)) return HW_BAD_INPUT;
    map p = {.m = m, .step = hw_stress_step(m->most)};
    crop(&p);
    p.w = p.n[0] * DOTS;
    p.h = p.n[1] * DOTS;
    p.ink = HW_NEW(a, uint8_t, p.w * p.h);
    p.level = HW_NEW(a, int8_t, p.w * p.h);
    if (!p.ink || !p.level) return HW_NO_MEMORY;
    find_levels(&p);
    lay_ink(&p);
    double wide = (double)p.n[0] * m->edge * 1e3, high = (double)p.n[1] * m->edge * 1e3; // [mm]
    const double frame = 8, head = 9, foot = 14;
    char scale_words[24];
    double scale =
        hw_figure_scale(fmin((m->width - 2 * frame) / wide, m->height_most / high), scale_words);
    double words_height = m->below ? 12 : 0;
    double height = head + 2 * frame + high * scale + foot + words_height;
    hw_sheet *s = hw_sheet_new(a, m->width, height, m->name, m->title);
    if (!s) return HW_NO_MEMORY;
    char remark[160];
    hw_figure_words(remark, m->remark ? m->remark : "", m->remark ? ", " : "", scale_words, NULL);
    hw_figure_head(s, m->title, m->design, remark);
    p.box = (hw_box){(m->width - wide * scale) / 2, head + frame, wide * scale, high * scale};
    hw_sheet_image(s, p.box, p.w, p.h, p.ink);
    mark_worst(a, s, &p);
    double y = head + 2 * frame + high * scale;
    scale_bar(a, s, m->width - 0.5, y + 2, scale);
    y = key(a, s, &p, y);
    if (m->below)
        hw_sheet_paragraph(s, 0.5, y + 5, m->width - 1, 3.6, hw_type_of(7.5, HW_ANCHOR_START),
                           m->below);
    if (hw_arena_failed(a)) return HW_NO_MEMORY;
    *out = s;
    return HW_OK;
}
