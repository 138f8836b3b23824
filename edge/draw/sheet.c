// The display list: adding items to a sheet.
#include "draw/sheet.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"

static const char *const colour[HW_INKS] = {
    [HW_INK_PAPER] = "#fbf8ef", [HW_INK_WASH] = "#e6dfcc",   [HW_INK_SOFT] = "#7d7a72",
    [HW_INK_BLACK] = "#1c2128", [HW_INK_ACCENT] = "#1f5c99",
};

const char *hw_ink_colour(hw_ink ink)
{
    return (unsigned)ink < HW_INKS ? colour[ink] : NULL;
}

// Dash and gap lengths in line widths, with a least width so that hair lines still show them.
int hw_dash_lengths(hw_pen pen, double out[4])
{
    static const double long_[] = {16, 6}, short_[] = {6, 5}, chain[] = {28, 5, 4, 5};
    static const struct {
        const double *at;
        int n;
    } row[HW_DASHES] = {
        [HW_DASH_LONG] = {long_, 2}, [HW_DASH_SHORT] = {short_, 2}, [HW_DASH_CHAIN] = {chain, 4}};
    if ((unsigned)pen.dash >= HW_DASHES) return 0;
    double unit = fmin(fmax(pen.width, 0.15), 0.3);
    for (int i = 0; i < row[pen.dash].n; i++) out[i] = row[pen.dash].at[i] * unit;
    return row[pen.dash].n;
}

hw_sheet *hw_sheet_new(hw_arena *a, double width, double height, const char *name,
                       const char *title)
{
    hw_sheet *s = HW_NEW(a, hw_sheet, 1);
    if (!s) return NULL;
    char *own = hw_arena_text(a, hw_text_of(name));
    char *own_title = hw_arena_text(a, hw_text_of(title));
    if (!own || !own_title) return NULL;
    for (char *c = own; *c; c++) {
        bool plain = (*c >= 'a' && *c <= 'z') || (*c >= 'A' && *c <= 'Z') || *c == '-' ||
                     (*c >= '0' && *c <= '9');
        if (!plain) *c = '-'; // the name becomes part of ids and of file names
    }
    *s = (hw_sheet){.arena = a, .name = own, .title = own_title, .width = width, .height = height};
    s->clip[0] = hw_sheet_box(s);
    return s;
}

hw_box hw_sheet_box(const hw_sheet *s)
{
    return (hw_box){0, 0, s->width, s->height};
}

const char *hw_sheet_name(const hw_sheet *s)
{
    return s->name;
}

const char *hw_sheet_title(const hw_sheet *s)
{
    return s->title;
}

hw_item *hw_sheet_item(hw_sheet *s, hw_item_kind kind)
{
    hw_item *i = HW_NEW(s->arena, hw_item, 1);
    if (!i) return NULL;
    i->kind = kind;
    i->clip = s->clip[s->clips];
    if (s->last)
        s->last->next = i;
    else
        s->first = i;
    s->last = i;
    return i;
}

static hw_item *path_item(hw_sheet *s, const hw_path *p, hw_ink fill, hw_pen pen)
{
    if (p->n == 0) return NULL;
    hw_item *i = hw_sheet_item(s, HW_ITEM_PATH);
    hw_step *copy = HW_NEW(s->arena, hw_step, p->n);
    if (!i || !copy) return NULL;
    memcpy(copy, p->step, p->n * sizeof *copy);
    i->path = (hw_path){.arena = s->arena, .step = copy, .n = p->n, .capacity = p->n};
    i->fill = fill;
    i->pen = pen;
    i->segment = hw_path_flatten(s->arena, &i->path, false, &i->segments);
    return i;
}

void hw_sheet_path(hw_sheet *s, const hw_path *p, hw_ink fill, hw_pen pen)
{
    (void)path_item(s, p, fill, pen);
}

void hw_sheet_image(hw_sheet *s, hw_box box, size_t w, size_t h, const uint8_t *ink)
{
    if (w == 0 || h == 0) return;
    hw_item *i = hw_sheet_item(s, HW_ITEM_IMAGE);
    if (!i) return;
    i->box = box;
    i->columns = w;
    i->rows = h;
    i->ink = ink;
}

static int by_value(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

// One hatching line at offset `h` along the normal: where it crosses the outline, in order, the
// inside lies between odd and even crossings.
static void hatch_line(hw_path *lines, const hw_segment *edge, size_t n, const double turn[2],
                       double h, double *cross)
{
    double c = turn[0], s = turn[1];
    size_t count = 0;
    for (size_t i = 0; i < n; i++) {
        hw_spot a = edge[i].a, b = edge[i].b;
        double ha = -a.x * s + a.y * c - h, hb = -b.x * s + b.y * c - h;
        if ((ha < 0) == (hb < 0)) continue;
        double t = ha / (ha - hb);
        cross[count++] = (a.x + t * (b.x - a.x)) * c + (a.y + t * (b.y - a.y)) * s;
    }
    qsort(cross, count, sizeof *cross, by_value);
    for (size_t i = 0; i + 1 < count; i += 2) {
        hw_path_move(lines, cross[i] * c - h * s, cross[i] * s + h * c);
        hw_path_line(lines, cross[i + 1] * c - h * s, cross[i + 1] * s + h * c);
    }
}

void hw_sheet_hatch(hw_sheet *s, const hw_path *p, double angle, double spacing, hw_pen pen)
{
    size_t n;
    hw_segment *edge = hw_path_flatten(s->arena, p, true, &n);
    double *cross = HW_NEW(s->arena, double, n + 1);
    if (!edge || !cross || n == 0 || !(spacing > 0)) return;
    double turn[2] = {cos(angle), sin(angle)}, low = INFINITY, high = -INFINITY;
    for (size_t i = 0; i < n; i++) {
        double h = -edge[i].a.x * turn[1] + edge[i].a.y * turn[0];
        low = fmin(low, h);
        high = fmax(high, h);
    }
    hw_path lines = hw_path_new(s->arena);
    // whole multiples of the spacing, so that neighbouring parts' lines are in step
    double first = ceil(low / spacing);
    size_t count = high > first * spacing ? (size_t)fmin((high / spacing - first) + 1, 2000) : 0;
    for (size_t k = 0; k < count; k++)
        hatch_line(&lines, edge, n, turn, (first + (double)k) * spacing, cross);
    hw_item *item = path_item(s, &lines, HW_INK_NONE, pen);
    if (item) item->hatching = true;
}

void hw_sheet_line(hw_sheet *s, hw_spot a, hw_spot b, hw_pen pen)
{
    hw_sheet_polyline(s, (hw_spot[]){a, b}, 2, pen);
}

void hw_sheet_polyline(hw_sheet *s, const hw_spot *at, size_t n, hw_pen pen)
{
    hw_path p = hw_path_new(s->arena);
    hw_path_points(&p, at, n);
    hw_sheet_path(s, &p, HW_INK_NONE, pen);
}

void hw_sheet_arrow(hw_sheet *s, hw_spot tip, double angle, double length, hw_ink ink)
{
    double c = cos(angle), d = sin(angle), half = 0.16 * length;
    hw_path p = hw_path_new(s->arena);
    hw_path_move(&p, tip.x, tip.y);
    hw_path_line(&p, tip.x - length * c - half * d, tip.y - length * d + half * c);
    hw_path_line(&p, tip.x - length * c + half * d, tip.y - length * d - half * c);
    hw_path_close(&p);
    hw_sheet_path(s, &p, ink, hw_pen_of(0, HW_INK_NONE));
}

void hw_sheet_group(hw_sheet *s, const char *name)
{
    hw_item *i = hw_sheet_item(s, HW_ITEM_GROUP);
    if (i) i->text = hw_arena_text(s->arena, hw_text_of(name));
}

void hw_sheet_group_end(hw_sheet *s)
{
    (void)hw_sheet_item(s, HW_ITEM_GROUP_END);
}

void hw_sheet_clip(hw_sheet *s, hw_box b)
{
    hw_box outer = s->clip[s->clips];
    double x = fmax(b.x, outer.x), y = fmax(b.y, outer.y);
    double right = fmin(b.x + b.w, outer.x + outer.w);
    double low = fmin(b.y + b.h, outer.y + outer.h);
    if (s->clips + 1 < (int)(sizeof s->clip / sizeof *s->clip)) s->clips++;
    s->clip[s->clips] = (hw_box){x, y, fmax(right - x, 0), fmax(low - y, 0)};
    (void)hw_sheet_item(s, HW_ITEM_CLIP);
}

void hw_sheet_clip_end(hw_sheet *s)
{
    if (s->clips > 0) s->clips--;
    (void)hw_sheet_item(s, HW_ITEM_CLIP_END);
}
