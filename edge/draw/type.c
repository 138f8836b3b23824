// Type: measuring with the font's own metrics, placing labels, dimensions.
#include <math.h>
#include <pango/pangocairo.h>
#include <string.h>

#include "base/text.h"
#include "draw/sheet.h"
#include "draw/type.h"

hw_type hw_type_of(double size, hw_anchor anchor)
{
    return (hw_type){.size = size, .anchor = anchor, .ink = HW_INK_BLACK};
}

PangoLayout *hw_type_layout(hw_type type, const char *text)
{
    PangoContext *context = pango_font_map_create_context(pango_cairo_font_map_get_default());
    // without hinting a line is as wide on a coarse raster as it is in print
    cairo_font_options_t *options = cairo_font_options_create();
    cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
    cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
    cairo_font_options_set_antialias(options, CAIRO_ANTIALIAS_GRAY);
    pango_cairo_context_set_font_options(context, options);
    cairo_font_options_destroy(options);
    pango_context_set_round_glyph_positions(context, FALSE);

    PangoFontDescription *font = pango_font_description_new();
    pango_font_description_set_family(font, "DejaVu Sans");
    pango_font_description_set_stretch(font, PANGO_STRETCH_SEMI_CONDENSED);
    if (type.bold) pango_font_description_set_weight(font, PANGO_WEIGHT_BOLD);
    if (type.oblique) pango_font_description_set_style(font, PANGO_STYLE_OBLIQUE);
    pango_font_description_set_absolute_size(font, type.size * PANGO_SCALE);
    PangoLayout *layout = pango_layout_new(context);
    pango_layout_set_font_description(layout, font);
    pango_layout_set_single_paragraph_mode(layout, TRUE);
    pango_layout_set_text(layout, text, -1);
    pango_font_description_free(font);
    g_object_unref(context);
    return layout;
}

double hw_type_width(hw_type type, const char *text)
{
    PangoLayout *layout = hw_type_layout(type, text);
    PangoRectangle logical;
    pango_layout_line_get_extents(pango_layout_get_line_readonly(layout, 0), NULL, &logical);
    g_object_unref(layout);
    return (double)logical.width / PANGO_SCALE * HW_PT;
}

double hw_type_cap(hw_type type)
{
    return 0.729 * type.size * HW_PT; // DejaVu Sans: capitals are 1493 of 2048 units high
}

static char *clean_text(hw_arena *a, const char *text)
{
    char *own = hw_arena_text(a, hw_text_of(text));
    if (!own) return NULL;
    hw_text t = hw_text_of(own);
    for (size_t bad; (bad = hw_utf8_bad(t)) < t.len;) own[bad] = '?';
    for (char *c = own; *c; c++)
        if ((unsigned char)*c < ' ') *c = ' ';
    return own;
}

void hw_sheet_text(hw_sheet *s, double x, double y, hw_type type, const char *text)
{
    char *own = clean_text(s->arena, text);
    if (!own || !*own) return;
    hw_item *i = hw_sheet_item(s, HW_ITEM_TEXT);
    if (!i) return;
    i->text = own;
    i->type = type;
    i->width = hw_type_width(type, own);
    double back = type.anchor == HW_ANCHOR_START    ? 0
                  : type.anchor == HW_ANCHOR_MIDDLE ? i->width / 2
                                                    : i->width;
    i->at = (hw_spot){x - back * cos(type.angle), y - back * sin(type.angle)};
}

void hw_item_corners(const hw_item *t, double margin, hw_spot corner[4])
{
    double c = cos(t->type.angle), s = sin(t->type.angle), em = t->type.size * HW_PT;
    double x0 = -margin, x1 = t->width + margin, y0 = -0.76 * em - margin, y1 = 0.24 * em + margin;
    const double x[4] = {x0, x1, x1, x0}, y[4] = {y0, y0, y1, y1};
    for (int i = 0; i < 4; i++)
        corner[i] = (hw_spot){t->at.x + x[i] * c - y[i] * s, t->at.y + x[i] * s + y[i] * c};
}

// ---- placing ----------------------------------------------------------------------------------

#define NEVER 1e6 // cost of what must not be

// What a label box at a place would cost: crossing lines counts, crossing labels and leaving the
// clip are out of the question.
static double cost_of(const hw_sheet *s, const hw_spot corner[4])
{
    hw_box clip = s->clip[s->clips];
    double cost = 0;
    for (int i = 0; i < 4; i++) {
        bool inside = corner[i].x >= clip.x + 0.5 && corner[i].x <= clip.x + clip.w - 0.5 &&
                      corner[i].y >= clip.y + 0.5 && corner[i].y <= clip.y + clip.h - 0.5;
        if (!inside) cost += NEVER;
    }
    for (const hw_item *i = s->first; i; i = i->next) {
        hw_spot other[4];
        if (i->kind == HW_ITEM_TEXT) {
            hw_item_corners(i, 0.9, other);
            if (hw_quads_meet(corner, other)) cost += NEVER;
        }
        if (i->kind != HW_ITEM_PATH) continue;
        double each = i->hatching ? 0.7 : 4 + 100 * fmin(i->pen.width, 0.7);
        if (i->pen.width >= 0.3 && i->pen.ink != HW_INK_WASH) each += 300; // an outline
        for (size_t k = 0; k < i->segments; k++) {
            hw_segment one = i->segment[k];
            if (hw_segment_clip(&one, i->clip) && hw_segment_meets(one, corner)) cost += each;
        }
    }
    return cost;
}

// The leader from a spot to the nearest point of a label's box; false when it would be too short
// to be of use.
static bool leader_of(hw_spot from, const hw_spot corner[4], hw_segment *out)
{
    hw_spot to = {fmin(fmax(from.x, corner[0].x), corner[1].x),
                  fmin(fmax(from.y, corner[0].y), corner[2].y)};
    *out = (hw_segment){from, to};
    return hypot(to.x - from.x, to.y - from.y) >= 2.2;
}

static double leader_cost(const hw_sheet *s, hw_spot from, const hw_spot corner[4])
{
    hw_segment line;
    double cost = 0;
    if (!leader_of(from, corner, &line)) return 0;
    for (const hw_item *i = s->first; i; i = i->next) {
        hw_spot other[4];
        if (i->kind == HW_ITEM_TEXT) {
            hw_item_corners(i, 0.2, other);
            if (hw_segment_meets(line, other)) cost += 1000;
        }
        if (i->kind != HW_ITEM_PATH || i->hatching || i->pen.width < 0.3) continue;
        hw_spot way[4] = {line.a, line.b, line.b, line.a};
        for (size_t k = 0; k < i->segments; k++)
            if (hw_segment_meets(i->segment[k], way)) cost += 6;
    }
    return cost;
}

static void leader(hw_sheet *s, hw_spot from, const hw_spot corner[4])
{
    hw_segment line;
    if (!leader_of(from, corner, &line)) return;
    hw_sheet_line(s, line.a, line.b, hw_pen_of(HW_WEIGHT_HAIR, HW_INK_BLACK));
    hw_path dot = hw_path_new(s->arena);
    hw_path_circle(&dot, from, 0.35);
    hw_sheet_path(s, &dot, HW_INK_BLACK, hw_pen_of(0, HW_INK_NONE));
}

void hw_sheet_label(hw_sheet *s, hw_spot near, double reach, hw_type type, const char *text)
{
    enum { ROUND = 24, RINGS = 8 };
    char *own = clean_text(s->arena, text);
    if (!own || !*own) return;
    type.anchor = HW_ANCHOR_START;
    type.angle = 0;
    hw_item trial = {.type = type, .width = hw_type_width(type, own)}, best = trial;
    double em = type.size * HW_PT, least = INFINITY;
    for (int ring = -1; ring < RINGS; ring++) {
        // first right on the spot, for what lies in a wide part
        double away = ring < 0 ? 0 : 0.8 + (reach - 0.8) * ring / (RINGS - 1);
        for (int k = 0; k < (ring < 0 ? 1 : ROUND); k++) {
            double a = 2 * HW_PI * k / ROUND, c = ring < 0 ? 0 : cos(a), d = ring < 0 ? 0 : sin(a);
            // the box's nearest point stands `away` from the spot
            trial.at.x = near.x + away * c + (c - 1) / 2 * trial.width;
            trial.at.y = near.y + away * d + (d + 1) / 2 * em - 0.24 * em;
            hw_spot corner[4];
            hw_item_corners(&trial, 0.5, corner);
            double cost = cost_of(s, corner) + leader_cost(s, near, corner) + 0.8 * away;
            if (cost < least) {
                least = cost;
                best = trial;
            }
        }
    }
    hw_spot corner[4];
    hw_item_corners(&best, 0.5, corner);
    leader(s, near, corner);
    hw_sheet_text(s, best.at.x, best.at.y, type, own);
}

void hw_sheet_dimension(hw_sheet *s, hw_spot a, hw_spot b, double offset, const char *text)
{
    double dx = b.x - a.x, dy = b.y - a.y, length = sqrt(dx * dx + dy * dy);
    if (!(length > 0)) return;
    double c = dx / length, d = dy / length;
    hw_spot n = {d, -c}; // to the left of a -> b as seen
    double sign = offset < 0 ? -1 : 1, over = offset + 1.2 * sign;
    hw_pen thin = hw_pen_of(HW_WEIGHT_HAIR, HW_INK_BLACK);
    hw_spot from = {a.x + offset * n.x, a.y + offset * n.y};
    hw_spot to = {b.x + offset * n.x, b.y + offset * n.y};
    double gap = fmin(0.8, fabs(offset)) * sign;
    hw_sheet_line(s, (hw_spot){a.x + gap * n.x, a.y + gap * n.y},
                  (hw_spot){a.x + over * n.x, a.y + over * n.y}, thin);
    hw_sheet_line(s, (hw_spot){b.x + gap * n.x, b.y + gap * n.y},
                  (hw_spot){b.x + over * n.x, b.y + over * n.y}, thin);
    hw_type type = hw_type_of(7.5, HW_ANCHOR_MIDDLE);
    double angle = atan2(d, c);
    bool outside = length < 5; // arrows come from outside when they would meet
    double tail = outside ? 3.2 : 0;
    hw_sheet_line(s, (hw_spot){from.x - tail * c, from.y - tail * d},
                  (hw_spot){to.x + tail * c, to.y + tail * d}, thin);
    hw_sheet_arrow(s, from, outside ? angle : angle + HW_PI, 1.8, HW_INK_BLACK);
    hw_sheet_arrow(s, to, outside ? angle + HW_PI : angle, 1.8, HW_INK_BLACK);
    // readable from below or from the right
    double turn = angle;
    if (turn > HW_PI / 2 + 1e-9) turn -= HW_PI;
    if (turn <= -HW_PI / 2 - 1e-9) turn += HW_PI;
    type.angle = turn;
    hw_spot mid = {(from.x + to.x) / 2, (from.y + to.y) / 2};
    if (outside || hw_type_width(type, text) > length - 4) {
        double away = tail + 0.6;
        bool flipped = fabs(turn - angle) > 1;
        type.anchor = flipped ? HW_ANCHOR_END : HW_ANCHOR_START;
        mid = (hw_spot){to.x + away * c, to.y + away * d};
        double low = hw_type_cap(type) / 2;
        hw_sheet_text(s, mid.x - low * sin(turn), mid.y + low * cos(turn), type, text);
        return;
    }
    // above its line
    hw_sheet_text(s, mid.x + 0.9 * sin(turn), mid.y - 0.9 * cos(turn), type, text);
}

double hw_sheet_paragraph(hw_sheet *s, double x, double y, double width, double leading,
                          hw_type type, const char *text)
{
    char *own = clean_text(s->arena, text);
    if (!own) return y;
    char *line = own, *end = own; // `end`: where the line that fits so far ends
    for (char *c = own;; c++) {
        if (*c != ' ' && *c != '\0') continue;
        bool last = *c == '\0';
        *c = '\0';
        if (hw_type_width(type, line) > width && end > line) {
            *c = last ? '\0' : ' ';
            *end = '\0';
            hw_sheet_text(s, x, y, type, line);
            y += leading;
            line = end + 1;
            last = *c == '\0';
        } else
            *c = last ? '\0' : ' ';
        end = c;
        if (last) break;
    }
    if (*line) {
        hw_sheet_text(s, x, y, type, line);
        y += leading;
    }
    return y;
}
