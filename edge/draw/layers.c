// A digit's layers: cut across at two places, widths that add up, and every layer as seen from the
// side, in the pose that is printed.
#include <math.h>
#include <stdio.h>

#include "draw/figure.h"
#include "draw/sheet.h"
#include "stack/stack.h"

#define MM 1000.0 // [mm/m]

enum { CUTS = 2, INTERVALS = 8, COLUMNS = 2 };
static const double row_height = 3.9;  // of the table [mm]
static const double tall_section = 52; // of the sections, at most [mm]
static const double wide_section = 46; // of one of them, at most [mm]

// Every part's outline in every layer, where the printed pose puts it.
typedef struct hw_plates {
    const hw_digit_view *v;
    hw_digit_pose pose;
    hw_region region[HW_LAYERS_MOST][HW_STACK_PARTS];
    hw_vec2 low, high; // of all of them [m]
} hw_plates;

static bool make(hw_arena *a, hw_arena *work, const hw_digit_view *v, hw_plates *out)
{
    out->v = v;
    out->low = (hw_vec2){INFINITY, INFINITY};
    out->high = (hw_vec2){-INFINITY, -INFINITY};
    hw_place place[HW_STACK_PARTS];
    if (!hw_figure_pose(v->digit, hw_stack_printed(v->digit), &out->pose)) return false;
    hw_stack_place(&out->pose, place);
    for (size_t i = 0; i < v->stack->n; i++) {
        const hw_slab *p = &v->stack->plate[i];
        hw_vec2 at =
            hw_add(place[p->part].at, hw_flex(p->round.at, place[p->part].c, place[p->part].s));
        out->low.x = fmin(out->low.x, at.x - p->round.radius);
        out->high.x = fmax(out->high.x, at.x + p->round.radius);
    }
    for (int layer = 0; layer < (int)v->layers->n; layer++)
        for (int part = 0; part < HW_STACK_PARTS; part++) {
            hw_region *r = &out->region[layer][part];
            if (hw_stack_profile(a, work, v->stack, layer, part, place[part], r) != HW_OK)
                return false;
            for (size_t k = 0; k < r->rings; k++)
                for (size_t i = 0; i < r->ring[k].n; i++) {
                    out->low.z = fmin(out->low.z, r->ring[k].corner[i].at.z);
                    out->high.z = fmax(out->high.z, r->ring[k].corner[i].at.z);
                }
        }
    return out->high.x > out->low.x && out->high.z > out->low.z;
}

// ---- cut across -------------------------------------------------------------------------------

typedef struct span {
    double from, to; // along z [m]
} span;

// The place between two where inside turns to outside.
static double edge(const hw_region *r, double x, double in, double out) // [m]
{
    for (int i = 0; i < 40; i++) {
        double mid = (in + out) / 2;
        *(hw_region_holds(r, (hw_vec2){x, mid}) ? &in : &out) = mid;
    }
    return (in + out) / 2;
}

// Where a region is cut by a line square to the digit.
static size_t spans_of(const hw_region *r, double x, double low, double high,
                       span out[INTERVALS]) // [m]
{
    enum { STEPS = 160 };
    size_t n = 0;
    bool was = false;
    double step = (high - low) / STEPS;
    for (int i = -1; i <= STEPS + 1 && r->rings; i++) {
        double z = low + i * step;
        bool is = i <= STEPS && hw_region_holds(r, (hw_vec2){x, z});
        if (is && !was && n < INTERVALS) out[n++].from = edge(r, x, z, z - step);
        if (!is && was && n > 0) out[n - 1].to = edge(r, x, z - step, z);
        was = is;
    }
    return n;
}

static double hatch_angle(int part)
{
    return part % 2 ? -HW_PI / 4 : HW_PI / 4;
}

static void face(hw_sheet *s, const hw_path *p, int part, double spacing, double line) // [mm]
{
    hw_sheet_path(s, p, HW_INK_PAPER, hw_pen_of(0, HW_INK_NONE));
    hw_sheet_hatch(s, p, part < 4 ? hatch_angle(part) : 0.35 * (part % 2 ? 1 : -1), spacing,
                   hw_pen_of(0.09, HW_INK_SOFT));
    hw_sheet_path(s, p, HW_INK_NONE, hw_pen_of(line, HW_INK_BLACK));
}

// A section: the digit's middle and its lower edge on the sheet, and the scale.
typedef struct across {
    hw_sheet *s;
    const hw_plates *p;
    double middle, bottom; // [mm]
    double k;              // [mm/m]
} across;

static hw_spot spot_at(const across *c, double y, double z) // [m]
{
    return (hw_spot){c->middle + c->k * y, c->bottom - c->k * (z - c->p->low.z)};
}

static void heavy(const across *c, double y0, double z0, double y1, double z1) // [m]
{
    hw_sheet_line(c->s, spot_at(c, y0, z0), spot_at(c, y1, z1), hw_pen_of(0.3, HW_INK_BLACK));
}

// A cut face, its ends along z heavy; the sides hair until they are known to end the part.
static void block(const across *c, int part, double y0, double y1, span z) // [m]
{
    hw_path p = hw_path_new(c->s->arena);
    hw_spot a = spot_at(c, y0, z.to), b = spot_at(c, y1, z.from);
    hw_path_box(&p, (hw_box){a.x, a.y, b.x - a.x, b.y - a.y});
    face(c->s, &p, part, 1.3, HW_WEIGHT_HAIR);
    heavy(c, y0, z.from, y1, z.from);
    heavy(c, y0, z.to, y1, z.to);
}

// Points of a section, in the order that they are set.
static void to(const across *c, hw_path *p, double y, double z) // [m]
{
    hw_spot at = spot_at(c, y, z);
    if (p->n)
        hw_path_line(p, at.x, at.y);
    else
        hw_path_move(p, at.x, at.y);
}

// The bore in a cheek: the pin's flank moved out by the gap. It goes through where less than half a
// line would be left.
static void bore(const across *c, int joint, int side, double foot) // [m]
{
    const hw_layers *l = c->p->v->layers;
    const hw_fork_place *f = &l->fork[joint];
    double out = side ? 1 : -1, slope = tan(l->cone.half_angle), z = c->p->pose.at[joint].z;
    double mouth = out * (f->cheek_y[side] - foot) - f->cheek_thickness[side] / 2;
    double end = l->cone.engagement + l->gap, thick = f->cheek_thickness[side];
    double wider = l->gap / cos(l->cone.half_angle);
    if (end - mouth > thick - l->line / 2) end = mouth + thick;
    double at[3] = {
        mouth, fmin(fmax(f->land + (f->land > 0 ? (wider - l->gap) / slope : 0), mouth), end), end};
    double radius[3];
    for (int i = 0; i < 3; i++)
        radius[i] =
            f->base + fmin(wider - fmax(0, at[i] - f->land) * slope, f->land > 0 ? l->gap : wider);
    hw_path p = hw_path_new(c->s->arena);
    for (int i = 0; i < 3; i++) to(c, &p, foot + out * at[i], z + fmax(radius[i], 0));
    for (int i = 2; i >= 0; i--) to(c, &p, foot + out * at[i], z - fmax(radius[i], 0));
    hw_sheet_path(c->s, &p, HW_INK_PAPER, hw_pen_of(HW_WEIGHT_PLAIN, HW_INK_BLACK));
    hw_sheet_line(c->s, spot_at(c, foot + out * at[0], z - radius[0]),
                  spot_at(c, foot + out * at[0], z + radius[0]), hw_pen_of(0.5, HW_INK_PAPER));
}

// The pin of a joint on one side, from its tang into the cheek beside it, as core/parts prints it:
// a cone, or a land and a cone, whose lower side on the bed is a cone of 45 degrees from its foot.
static void pin(const across *c, int joint, int side)
{
    const hw_layers *l = c->p->v->layers;
    const hw_fork_place *f = &l->fork[joint];
    double out = side ? 1 : -1, z = c->p->pose.at[joint].z, slope = tan(l->cone.half_angle);
    double foot = f->tang_y[side] + out * f->tang_thickness[side] / 2;
    double high = fmin(l->cone.engagement, f->land + (f->base - l->line / 2) / slope);
    double tip = f->base - (high - f->land) * slope, down = c->p->v->back_on_bed ? 1 : -1;
    double least = fmin(tip, fmax(tip / 4, f->base - high)),
           at_land = fmax(tip / 4, f->base - f->land);
    hw_path p = hw_path_new(c->s->arena);
    bore(c, joint, side, foot);
    to(c, &p, foot, z - down * f->base);
    to(c, &p, foot + out * f->land, z - down * f->base);
    to(c, &p, foot + out * high, z - down * tip);
    to(c, &p, foot + out * high, z + down * (f->land > 0 ? least : tip));
    if (f->land > 0) {
        to(c, &p, foot + out * f->land, z + down * at_land);
        to(c, &p, foot + out * (f->base - at_land), z + down * at_land);
    }
    to(c, &p, foot, z + down * f->base);
    face(c->s, &p, f->tang_part, 1.3, HW_WEIGHT_PLAIN);
}

// A part in a layer and in the gap after it, where it goes on if the next layer has it, too.
typedef struct cut {
    size_t n, through;
    span in[INTERVALS], gap[INTERVALS];
} cut;

static void cut_part(const across *c, int part, double x, cut out[HW_LAYERS_MOST]) // [m]
{
    int layers = (int)c->p->v->layers->n;
    for (int i = 0; i < layers; i++)
        out[i].n = spans_of(&c->p->region[i][part], x, c->p->low.z, c->p->high.z, out[i].in);
    for (int i = 0; i < layers; i++) {
        out[i].through = 0;
        for (size_t a = 0; i + 1 < layers && a < out[i].n; a++)
            for (size_t b = 0; b < out[i + 1].n && out[i].through < INTERVALS; b++) {
                span both = {fmax(out[i].in[a].from, out[i + 1].in[b].from),
                             fmin(out[i].in[a].to, out[i + 1].in[b].to)};
                if (both.to > both.from) out[i].gap[out[i].through++] = both;
            }
    }
}

// A side of a layer's face, heavy where the part does not go on through the gap beside it.
static void end_side(const across *c, double y, span z, const cut *beside) // [m]
{
    double from = z.from;
    for (size_t i = 0; beside && i < beside->through; i++) { // in order along z
        if (beside->gap[i].to <= z.from || beside->gap[i].from >= z.to) continue;
        if (beside->gap[i].from > from) heavy(c, y, from, y, beside->gap[i].from);
        from = fmax(from, beside->gap[i].to);
    }
    if (z.to > from) heavy(c, y, from, y, z.to);
}

static void part_across(const across *c, int part, double x) // [m]
{
    cut at[HW_LAYERS_MOST];
    const hw_layer *l = c->p->v->layers->layer;
    int layers = (int)c->p->v->layers->n;
    cut_part(c, part, x, at);
    for (int i = 0; i < layers; i++) {
        double low = l[i].y - l[i].thickness / 2, high = l[i].y + l[i].thickness / 2;
        for (size_t k = 0; k < at[i].n; k++) block(c, part, low, high, at[i].in[k]);
        for (size_t k = 0; k < at[i].through; k++)
            block(c, part, high, l[i + 1].y - l[i + 1].thickness / 2, at[i].gap[k]);
    }
    for (int i = 0; i < layers; i++)
        for (size_t k = 0; k < at[i].n; k++) {
            end_side(c, l[i].y - l[i].thickness / 2, at[i].in[k], i ? &at[i - 1] : NULL);
            end_side(c, l[i].y + l[i].thickness / 2, at[i].in[k], &at[i]);
        }
}

static void section(const across *c, double x) // [m]
{
    const hw_layers *l = c->p->v->layers;
    for (int part = 0; part < HW_STACK_PARTS; part++) part_across(c, part, x);
    for (int layer = 0; layer < (int)l->n; layer++) {
        char number[16];
        hw_spot at = spot_at(c, l->layer[layer].y, c->p->high.z);
        snprintf(number, sizeof number, "%d", layer + 1);
        hw_sheet_text(c->s, at.x, at.y - 1.5, hw_type_of(7, HW_ANCHOR_MIDDLE), number);
    }
}

static void width_line(const across *c)
{
    char text[40];
    double half = c->k * c->p->v->layers->width / 2;
    hw_sheet_dimension(c->s, (hw_spot){c->middle - half, c->bottom},
                       (hw_spot){c->middle + half, c->bottom}, -4.5,
                       hw_plot_fixed(c->p->v->layers->width * MM, 1, text));
}

// Two sections side by side; returns the y below them.
static double sections(hw_sheet *s, const hw_plates *p, double k, double top)
{
    double height = k * (p->high.z - p->low.z), x[CUTS];
    x[0] = p->pose.at[1].x;
    x[1] = (p->pose.at[0].x + p->pose.at[1].x) / 2;
    for (int i = 0; i < CUTS; i++) {
        char words[160];
        hw_type type = hw_type_of(7.5, HW_ANCHOR_MIDDLE);
        across c = {s, p, (i + 0.5) * (wide_section + 8), top + 4 + height, k};
        hw_sheet_group(s, i ? "section through the proximal phalanx" : "section through a joint");
        section(&c, x[i]);
        for (int side = 0; i == 0 && side < 2; side++) pin(&c, 1, side);
        width_line(&c);
        hw_figure_words(words, i ? "half way along the " : "through the axis of ",
                        i ? hw_figure_phalanx(p->v->digit, 0) : hw_figure_joint(p->v->digit, 1),
                        i ? " phalanx" : "", NULL);
        if (i && p->v->digit->thumb) hw_figure_words(words, "half way along the metacarpal", NULL);
        hw_sheet_text(s, c.middle, c.bottom + 11, type, words);
        hw_sheet_group_end(s);
    }
    return top + 4 + height + 13;
}

// ---- widths that add up -----------------------------------------------------------------------

static const char *layer_words(const hw_layer *l)
{
    switch (l->use) {
    case HW_LAYER_CHEEK:
        return "cheek";
    case HW_LAYER_TANG:
        return "tang";
    case HW_LAYER_BAR_A:
        return "bar A";
    case HW_LAYER_BAR_B:
        return "bar B";
    }
    return "";
}

typedef struct column {
    double left, right, y; // [mm]
} column;

static void line(hw_sheet *s, column *c, const char *what, double value, int decimals, bool bold)
{
    char number[40];
    hw_type left = hw_type_of(7.5, HW_ANCHOR_START), right = hw_type_of(7.5, HW_ANCHOR_END);
    left.bold = right.bold = bold;
    hw_sheet_text(s, c->left, c->y, left, what);
    if (!isnan(value))
        hw_sheet_text(s, c->right, c->y, right, hw_plot_fixed(value * MM, decimals, number));
    c->y += row_height;
}

static void rule(hw_sheet *s, column *c)
{
    double y = c->y - row_height + 1.3;
    hw_sheet_line(s, (hw_spot){c->left, y}, (hw_spot){c->right, y},
                  hw_pen_of(HW_WEIGHT_HAIR, HW_INK_BLACK));
    c->y += 0.6;
}

// Layers, gaps, their sum and the width; how near parts come. Returns the y below.
static double table(hw_sheet *s, const hw_digit_view *v, double left, double top)
{
    const hw_layers *l = v->layers;
    column c = {left, hw_sheet_box(s).w - 0.5, top + 3};
    hw_clearance printed, stroke;
    char words[160], number[40];
    hw_sheet_group(s, "widths, millimetres");
    line(s, &c, "layers, from one side to the other [mm]", (double)NAN, 0, true);
    rule(s, &c);
    for (size_t i = 0; i < l->n; i++) {
        snprintf(number, sizeof number, "%zu   ", i + 1);
        line(s, &c, hw_figure_words(words, number, layer_words(&l->layer[i]), NULL),
             l->layer[i].thickness, 2, false);
    }
    if (l->n > 1) {
        char each[40];
        snprintf(number, sizeof number, "%zu", l->n - 1);
        hw_figure_words(words, number, " gaps of ", hw_plot_fixed(l->gap * MM, 2, each), NULL);
        line(s, &c, words, l->gap * (double)(l->n - 1), 2, false);
    }
    rule(s, &c);
    line(s, &c, "they add up to", l->sum, 2, true);
    line(s, &c, "the digit's width", l->width, 2, false);
    double left_over = l->width - l->sum;
    bool over = left_over < -1e-9 * l->width; // more than rounding
    line(s, &c, over ? "too wide by" : "left over", fabs(left_over), 2, over);
    if (hw_stack_clearances(v->digit, v->stack, &printed, &stroke) == HW_OK) {
        rule(s, &c);
        if (printed.plate[0] >= 0)
            line(s, &c, "least gap inside a layer, as printed", printed.gap, 2, printed.gap < 0);
        if (stroke.plate[0] >= 0)
            line(s, &c, "and over the whole stroke", stroke.gap, 2, stroke.gap < 0);
    }
    hw_sheet_group_end(s);
    return c.y;
}

// ---- side views -------------------------------------------------------------------------------

static hw_path path_of(const hw_figure *f, const hw_region *r)
{
    hw_path p = hw_path_new(f->s->arena);
    for (size_t k = 0; k < r->rings; k++) {
        const hw_profile *ring = &r->ring[k];
        hw_spot at = hw_figure_spot(f, ring->corner[0].at);
        hw_path_move(&p, at.x, at.y);
        for (size_t i = 0; i < ring->n; i++) {
            double bulge = ring->corner[i].bulge;
            hw_vec2 a = ring->corner[i].at, b = ring->corner[i + 1 < ring->n ? i + 1 : 0].at;
            if (bulge == 0) {
                at = hw_figure_spot(f, b);
                hw_path_line(&p, at.x, at.y);
                continue;
            }
            hw_vec2 half = hw_scale(hw_sub(b, a), 0.5);
            double up = (1 - bulge * bulge) / (2 * bulge);
            hw_vec2 centre = hw_add(hw_add(a, half), (hw_vec2){-half.z * up, half.x * up});
            hw_vec2 arm = hw_sub(a, centre);
            double from = -atan2(arm.z, arm.x); // the sheet's y runs down
            hw_path_arc(&p, hw_figure_spot(f, centre), f->k * hw_norm(arm), from,
                        from - 4 * atan(bulge));
        }
        hw_path_close(&p);
    }
    return p;
}

static const char *part_words(const hw_digit *d, int part)
{
    static const char *const bar[2] = {"bar A", "bar B"};
    if (part == 0) return "carrier";
    return part < 4 ? hw_figure_phalanx(d, part - 1) : bar[part - 4];
}

// Is the paper under a name inside the region, with a little room around?
static bool name_fits(const hw_figure *f, const hw_region *r, hw_vec2 at, double wide, double high)
{
    double w = wide / f->k, h = high / f->k; // [m]
    for (int i = -4; i <= 4; i++)
        for (int j = -1; j <= 1; j++)
            if (!hw_region_holds(r, (hw_vec2){at.x + i * w / 8, at.z + j * h / 2})) return false;
    return true;
}

// A part's name inside its outline, where there is room.
static void name_part(const hw_figure *f, const hw_digit_view *v, const hw_region *r, int part,
                      const hw_plates *p)
{
    enum { ALONG = 60, ACROSS = 7 };
    const char *words = part_words(v->digit, part);
    hw_type type = hw_type_of(7, HW_ANCHOR_MIDDLE);
    type.mask = true;
    double cap = hw_type_cap(type), wide = hw_type_width(type, words) + 1.6;
    for (int j = 0; j < ACROSS; j++)
        for (int i = 0; i < ALONG; i++) {
            int row = ACROSS / 2 + (j % 2 ? -(j + 1) / 2 : j / 2); // from the middle outward
            hw_vec2 at = {p->low.x + (p->high.x - p->low.x) * (i + 0.5) / ALONG,
                          p->low.z + (p->high.z - p->low.z) * (row + 0.5) / ACROSS};
            if (!name_fits(f, r, at, wide, cap + 2.2)) continue;
            hw_spot spot = hw_figure_spot(f, at);
            hw_sheet_text(f->s, spot.x, spot.y + cap / 2, type, words);
            return;
        }
}

static void side_view(const hw_figure *f, const hw_plates *p, int layer)
{
    for (int part = 0; part < HW_STACK_PARTS; part++) {
        const hw_region *r = &p->region[layer][part];
        if (r->rings == 0) continue;
        hw_path path = path_of(f, r);
        face(f->s, &path, part, 1.5, HW_WEIGHT_PLAIN);
    }
    for (int part = 0; part < HW_STACK_PARTS; part++)
        if (p->region[layer][part].rings) name_part(f, p->v, &p->region[layer][part], part, p);
}

static double cell_height(const hw_plates *p, double k)
{
    return k * (p->high.z - p->low.z) + 9;
}

static void side_views(hw_sheet *s, const hw_plates *p, double k, double top)
{
    const hw_layers *l = p->v->layers;
    double cell = hw_sheet_box(s).w / COLUMNS, height = cell_height(p, k);
    for (int i = 0; i < (int)l->n; i++) {
        char number[24], words[160], thick[40];
        double left = cell * (i % COLUMNS) + (i % COLUMNS ? 2 : 0.5);
        int row = i / COLUMNS;
        double y = top + height * row;
        hw_figure f = {.s = s, .k = k};
        f.knuckle = (hw_spot){left + 0.5 - k * p->low.x, y + 6 + k * p->high.z};
        hw_type type = hw_type_of(8, HW_ANCHOR_START);
        type.bold = true;
        snprintf(number, sizeof number, "%d   ", i + 1);
        hw_figure_words(words, number, layer_words(&l->layer[i]), ", ",
                        hw_plot_fixed(l->layer[i].thickness * MM, 2, thick), " mm", NULL);
        hw_sheet_group(s, words);
        hw_sheet_text(s, left, y + 3.6, type, words);
        side_view(&f, p, i);
        hw_sheet_group_end(s);
    }
}

// ---- the sheet --------------------------------------------------------------------------------

static hw_sheet *draw(hw_arena *a, const hw_plates *p)
{
    const double width = 180;
    const hw_digit_view *v = p->v;
    char name[40], title[160], id[160], large[24], small[24], remark[160];
    hw_vec2 size = hw_sub(p->high, p->low);
    double k =
        MM * hw_figure_scale(
                 fmin(wide_section / (MM * v->layers->width), tall_section / (MM * size.z)), large);
    double side = MM * hw_figure_scale((width / COLUMNS - 3) / (MM * size.x), small);
    double rows = ceil((double)v->layers->n / COLUMNS);
    // sections, or the table with its seven other lines
    double upper = fmax(4 + k * size.z + 13, 5 + row_height * (double)(v->layers->n + 7));
    hw_figure_words(title, hw_figure_capital(v->name, name), ", layer by layer", NULL);
    hw_figure_words(id, v->name, "-layers", NULL);
    hw_sheet *s =
        hw_sheet_new(a, width, ceil(9 + upper + 2 + rows * cell_height(p, side)), id, title);
    if (!s) return NULL;
    hw_figure_words(remark, "sections seen from the tip at ", large, ", layers as printed at ",
                    small, ", mm", NULL);
    double y = hw_figure_head(s, title, v->design, remark);
    double below = sections(s, p, k, y);
    below = fmax(below, table(s, v, 2 * (wide_section + 8) + 2, y));
    hw_sheet_line(s, (hw_spot){0, below}, (hw_spot){width, below},
                  hw_pen_of(HW_WEIGHT_HAIR, HW_INK_BLACK));
    side_views(s, p, side, below + 1);
    return hw_arena_failed(a) ? NULL : s;
}

hw_sheet *hw_draw_layers(hw_arena *a, const hw_digit_view *v)
{
    if (!v->layers || !v->stack || v->layers->n == 0 || v->stack->n == 0) return NULL;
    hw_plates *p = HW_NEW(a, hw_plates, 1);
    hw_arena *work = hw_arena_new(0);
    bool made = p && work && make(a, work, v, p);
    hw_arena_free(work);
    return made ? draw(a, p) : NULL;
}
