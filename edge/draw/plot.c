// Charts: scales, ticks, lines and the names at their ends.
#include "draw/plot.h"

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "base/vec.h"
#include "draw/sheet.h"

#define TICK_TYPE 7.0
#define NAME_TYPE 7.5

static const char *with_minus(const char *plain, char out[40])
{
    const char *minus = plain[0] == '-' ? "\xe2\x88\x92" : "";
    size_t m = strlen(minus), n = strlen(plain) - (m ? 1 : 0);
    memcpy(out, minus, m);
    memcpy(out + m, plain + (m ? 1 : 0), n + 1);
    return out;
}

const char *hw_plot_number(double value, int digits, char out[40])
{
    char plain[HW_NUMBER_TEXT];
    if (isnan(value)) return strcpy(out, "\xe2\x80\x94");
    hw_number_write_rounded(value, digits, plain);
    return with_minus(plain, out);
}

const char *hw_plot_fixed(double value, int decimals, char out[40])
{
    char plain[HW_NUMBER_TEXT];
    if (isnan(value)) return strcpy(out, "\xe2\x80\x94");
    hw_number_write_fixed(value, decimals, plain);
    return with_minus(plain, out);
}

double hw_plot_step(double span, int most)
{
    if (!(span > 0) || !isfinite(span) || most < 1) return 1;
    double least = span / most, power = pow(10, floor(log10(least)));
    static const double factor[] = {1, 2, 5, 10};
    for (int i = 0; i < 4; i++)
        if (factor[i] * power >= least * (1 - 1e-9)) return factor[i] * power;
    return 10 * power;
}

void hw_plot_range(hw_plot_axis *axis, const double *value, size_t n, bool zero)
{
    double low = zero ? 0 : (double)INFINITY, high = zero ? 0 : -(double)INFINITY;
    for (size_t i = 0; i < n; i++) {
        if (!isfinite(value[i])) continue;
        low = fmin(low, value[i]);
        high = fmax(high, value[i]);
    }
    if (!(high >= low)) low = 0, high = 1;
    if (high == low) high = low + (low == 0 ? 1 : fabs(low));
    double step = axis->step > 0 ? axis->step : hw_plot_step(high - low, 6);
    axis->low = fmin(axis->low, step * floor(low / step + 1e-9));
    axis->high = fmax(axis->high, step * ceil(high / step - 1e-9));
}

hw_spot hw_plot_spot(const hw_plot *p, double x, double y)
{
    return (hw_spot){p->origin.x + x * p->x_per, p->origin.y - y * p->y_per};
}

static void scale(hw_plot *p)
{
    // room for tick numbers and for the axes' names
    double left = 9, top = 6.5, low = 9.5, right = fmax(p->label_room, 3);
    hw_box f = {p->box.x + left, p->box.y + top, p->box.w - left - right, p->box.h - top - low};
    double wide = p->x.high - p->x.low, high = p->y.high - p->y.low;
    p->x_per = f.w / wide;
    p->y_per = f.h / high;
    if (p->equal) {
        double per = fmin(p->x_per, p->y_per);
        f.x += 0;
        f.w = per * wide;
        f.h = per * high;
        p->x_per = p->y_per = per;
    }
    p->frame = f;
    p->origin = (hw_spot){f.x - p->x.low * p->x_per, f.y + f.h + p->y.low * p->y_per};
}

static int decimals_of(double step)
{
    int d = 0;
    while (d < 6 && fabs(step * pow(10, d) - round(step * pow(10, d))) > 1e-6) d++;
    return d;
}

static void ticks(hw_sheet *s, const hw_plot *p, bool upright)
{
    const hw_plot_axis *a = upright ? &p->y : &p->x;
    double length = upright ? p->frame.h : p->frame.w;
    double step = a->step > 0
                      ? a->step
                      : hw_plot_step(a->high - a->low, (int)fmax(length / (upright ? 9 : 12), 2));
    hw_pen grid = hw_pen_of(0.09, HW_INK_SOFT), axis = hw_pen_of(HW_WEIGHT_PLAIN, HW_INK_BLACK);
    double first = ceil(a->low / step - 1e-9);
    for (int i = 0; i < 60 && (first + i) * step <= a->high + 1e-9 * step; i++) {
        hw_spot from, to;
        double v = (first + i) * step;
        char text[40];
        hw_plot_fixed(v, decimals_of(step), text);
        if (upright) {
            from = hw_plot_spot(p, p->x.low, v);
            to = hw_plot_spot(p, p->x.high, v);
            hw_sheet_text(s, from.x - 1.2, from.y + 0.9, hw_type_of(TICK_TYPE, HW_ANCHOR_END),
                          text);
        } else {
            from = hw_plot_spot(p, v, p->y.low);
            to = hw_plot_spot(p, v, p->y.high);
            hw_sheet_text(s, from.x, from.y + 3.4, hw_type_of(TICK_TYPE, HW_ANCHOR_MIDDLE), text);
        }
        hw_sheet_line(s, from, to, fabs(v) < 1e-9 * step ? axis : grid);
    }
}

void hw_plot_begin(hw_sheet *s, hw_plot *p)
{
    scale(p);
    ticks(s, p, false);
    ticks(s, p, true);
    hw_pen axis = hw_pen_of(HW_WEIGHT_PLAIN, HW_INK_BLACK);
    hw_box f = p->frame;
    hw_sheet_line(s, (hw_spot){f.x, f.y}, (hw_spot){f.x, f.y + f.h}, axis);
    hw_sheet_line(s, (hw_spot){f.x, f.y + f.h}, (hw_spot){f.x + f.w, f.y + f.h}, axis);
    // the upright axis is named above it, where its name can be read without turning the head
    hw_sheet_text(s, p->box.x, f.y - 2.8, hw_type_of(NAME_TYPE, HW_ANCHOR_START), p->y.name);
    hw_sheet_text(s, f.x + f.w, f.y + f.h + 7.4, hw_type_of(NAME_TYPE, HW_ANCHOR_END), p->x.name);
}

static hw_type name_type(const hw_plot_line *l)
{
    hw_type type = hw_type_of(NAME_TYPE, HW_ANCHOR_START);
    type.ink = l->pen.ink == HW_INK_ACCENT ? HW_INK_ACCENT : HW_INK_BLACK;
    type.bold = l->pen.width >= HW_WEIGHT_HEAVY - 1e-9;
    return type;
}

double hw_plot_label_room(const hw_plot_line *line, size_t n)
{
    double wide = 0;
    for (size_t i = 0; i < n; i++)
        if (line[i].label) wide = fmax(wide, hw_type_width(name_type(&line[i]), line[i].label));
    return wide > 0 ? wide + 5 : 0;
}

typedef struct end_label {
    const hw_plot_line *line;
    hw_spot end;
    double y; // where the name goes [mm]
} end_label;

// The last value of a line that can be drawn.
static bool line_end(const hw_plot *p, const hw_plot_line *l, hw_spot *end)
{
    for (size_t i = l->n; i-- > 0;) {
        if (isnan(l->x[i]) || isnan(l->y[i])) continue;
        *end = hw_plot_spot(p, l->x[i], l->y[i]);
        end->y = fmin(fmax(end->y, p->frame.y), p->frame.y + p->frame.h);
        end->x = fmin(end->x, p->frame.x + p->frame.w);
        return true;
    }
    return false;
}

// Moves names apart that stand closer than `apart`, in order of height, then back up into the box.
static void spread(end_label *l, size_t n, double apart, double low)
{
    for (size_t i = 1; i < n; i++)
        for (size_t k = i; k > 0 && l[k].y < l[k - 1].y; k--) {
            end_label swap = l[k];
            l[k] = l[k - 1];
            l[k - 1] = swap;
        }
    for (size_t i = 1; i < n; i++) l[i].y = fmax(l[i].y, l[i - 1].y + apart);
    if (n == 0 || l[n - 1].y <= low) return;
    l[n - 1].y = low;
    for (size_t i = n - 1; i > 0; i--) l[i - 1].y = fmin(l[i - 1].y, l[i].y - apart);
}

void hw_plot_lines(hw_sheet *s, const hw_plot *p, const hw_plot_line *line, size_t n)
{
    end_label label[HW_PLOT_LINES];
    size_t labels = 0;
    hw_box f = p->frame;
    hw_sheet_clip(s, (hw_box){f.x - 0.5, f.y - 0.5, f.w + 1, f.h + 1});
    for (size_t i = 0; i < n; i++) {
        hw_spot *at = HW_NEW(s->arena, hw_spot, line[i].n + 1);
        if (!at) break;
        for (size_t k = 0; k < line[i].n; k++) at[k] = hw_plot_spot(p, line[i].x[k], line[i].y[k]);
        hw_sheet_polyline(s, at, line[i].n, line[i].pen);
    }
    hw_sheet_clip_end(s);
    for (size_t i = 0; i < n && labels < HW_PLOT_LINES; i++) {
        end_label one = {.line = &line[i]};
        if (!line[i].label || !line_end(p, &line[i], &one.end)) continue;
        one.y = one.end.y;
        label[labels++] = one;
    }
    spread(label, labels, 3.6, f.y + f.h + 0.5);
    double x = f.x + f.w + 4;
    for (size_t i = 0; i < labels; i++) {
        hw_pen hair = hw_pen_of(HW_WEIGHT_HAIR, label[i].line->pen.ink);
        hw_sheet_line(s, label[i].end, (hw_spot){x - 0.6, label[i].y}, hair);
        hw_sheet_text(s, x, label[i].y + 0.95, name_type(label[i].line), label[i].line->label);
    }
}
