// The machine check of lettering, and the plane geometry it takes.
#include <math.h>

#include "draw/sheet.h"

const char *hw_sheet_fault_text(hw_sheet_fault_kind k)
{
    static const char *const words[] = {"labels overlap", "label leaves the sheet",
                                        "type too small", "line through a label",
                                        "label covered",  "label hides an outline"};
    return (unsigned)k < sizeof words / sizeof *words ? words[k] : "unknown fault";
}

// Liang-Barsky: shortens [t0, t1] by one edge.
static bool trim(double p, double q, double *t0, double *t1)
{
    if (p == 0) return q >= 0;
    double t = q / p;
    if (p < 0) {
        if (t > *t1) return false;
        *t0 = fmax(*t0, t);
    } else {
        if (t < *t0) return false;
        *t1 = fmin(*t1, t);
    }
    return true;
}

bool hw_segment_clip(hw_segment *s, hw_box b)
{
    double dx = s->b.x - s->a.x, dy = s->b.y - s->a.y, t0 = 0, t1 = 1;
    if (!trim(-dx, s->a.x - b.x, &t0, &t1) || !trim(dx, b.x + b.w - s->a.x, &t0, &t1) ||
        !trim(-dy, s->a.y - b.y, &t0, &t1) || !trim(dy, b.y + b.h - s->a.y, &t0, &t1))
        return false;
    hw_spot a = s->a;
    s->a = (hw_spot){a.x + t0 * dx, a.y + t0 * dy};
    s->b = (hw_spot){a.x + t1 * dx, a.y + t1 * dy};
    return true;
}

// True when some side of `a` has all of `b` strictly outside it (a is convex, its corners run
// clockwise as seen).
static bool parted(const hw_spot *a, int na, const hw_spot *b, int nb)
{
    for (int i = 0; i < na; i++) {
        hw_spot p = a[i], q = a[(i + 1) % na];
        double nx = q.y - p.y, ny = p.x - q.x; // outward
        bool all = true;
        for (int k = 0; k < nb && all; k++) all = (b[k].x - p.x) * nx + (b[k].y - p.y) * ny > 0;
        if (all) return true;
    }
    return false;
}

bool hw_quads_meet(const hw_spot a[4], const hw_spot b[4])
{
    return !parted(a, 4, b, 4) && !parted(b, 4, a, 4);
}

bool hw_segment_meets(hw_segment s, const hw_spot corner[4])
{
    hw_spot ends[2] = {s.a, s.b};
    // a segment is a flat convex figure: both its sides are tried
    return !parted(corner, 4, ends, 2) && !parted(ends, 2, corner, 4);
}

static bool inside(const hw_item *path, hw_spot p)
{
    bool in = false;
    for (size_t i = 0; i < path->segments; i++) {
        hw_spot a = path->segment[i].a, b = path->segment[i].b;
        if ((a.y > p.y) == (b.y > p.y)) continue;
        if (p.x < a.x + (p.y - a.y) / (b.y - a.y) * (b.x - a.x)) in = !in;
    }
    return in;
}

typedef struct finder {
    hw_sheet_fault *out;
    size_t room, n;
} finder;

static void found(finder *f, hw_sheet_fault_kind kind, const hw_item *a, const hw_item *b)
{
    if (f->n < f->room)
        f->out[f->n] = (hw_sheet_fault){
            .kind = kind, .text = a->text, .other = b ? b->text : NULL, .at = a->at};
    f->n++;
}

static bool outside(hw_box b, hw_spot p)
{
    return p.x < b.x || p.x > b.x + b.w || p.y < b.y || p.y > b.y + b.h;
}

// True when a fill drawn after `from` and before `to` (NULL: the end) hides the point.
static bool hidden(const hw_item *from, const hw_item *to, hw_spot p)
{
    for (const hw_item *i = from->next; i && i != to; i = i->next) {
        if (i->kind != HW_ITEM_PATH || i->fill == HW_INK_NONE) continue;
        if (!outside(i->clip, p) && inside(i, p)) return true;
    }
    return false;
}

// True when a line of the path can be seen inside the label's box.
static bool strikes(const hw_item *path, const hw_item *text, bool after, const hw_spot corner[4])
{
    enum { SAMPLES = 12 };
    if (path->pen.width <= 0 || path->pen.ink == HW_INK_NONE || path->hatching) return false;
    for (size_t k = 0; k < path->segments; k++) {
        hw_segment one = path->segment[k];
        if (!hw_segment_clip(&one, path->clip) || !hw_segment_meets(one, corner)) continue;
        if (after) return true;
        for (int i = 0; i <= SAMPLES; i++) {
            double t = (double)i / SAMPLES;
            hw_spot p = {one.a.x + t * (one.b.x - one.a.x), one.a.y + t * (one.b.y - one.a.y)};
            if (hw_segment_meets((hw_segment){p, p}, corner) && !hidden(path, text, p)) return true;
        }
    }
    return false;
}

#define OUTLINE 0.3 // weight of a line that no label may hide [mm]

static bool is_outline(const hw_item *i)
{
    return i->pen.width >= OUTLINE && i->pen.ink != HW_INK_WASH;
}

static void check_against_paths(const hw_sheet *s, const hw_item *text, finder *f)
{
    hw_spot corner[4], mask[4], middle;
    // letters stand clear of their box by about this much
    hw_item_corners(text, -0.12 * text->type.size * HW_PT, corner);
    hw_item_corners(text, 0.3, mask); // within the paper that is laid under it
    middle.x = (corner[0].x + corner[2].x) / 2;
    middle.y = (corner[0].y + corner[2].y) / 2;
    bool after = false;
    for (const hw_item *i = s->first; i; i = i->next) {
        if (i == text) after = true;
        if (i->kind != HW_ITEM_PATH) continue;
        bool masked = text->type.mask && !after;
        if ((!masked || is_outline(i)) && strikes(i, text, after, masked ? mask : corner)) {
            found(f, masked ? HW_FAULT_CUT : HW_FAULT_STRUCK, text, NULL);
            return;
        }
        if (after && i->fill != HW_INK_NONE && inside(i, middle)) {
            found(f, HW_FAULT_COVERED, text, NULL);
            return;
        }
    }
}

size_t hw_sheet_check(const hw_sheet *s, hw_sheet_fault out[], size_t room)
{
    finder f = {.out = out, .room = room};
    for (const hw_item *i = s->first; i; i = i->next) {
        if (i->kind != HW_ITEM_TEXT) continue;
        if (i->type.size < HW_TYPE_LEAST) found(&f, HW_FAULT_SMALL, i, NULL);
        hw_spot corner[4], other[4];
        hw_item_corners(i, 0, corner);
        bool out_of = false;
        for (int k = 0; k < 4; k++)
            out_of |= outside(i->clip, corner[k]) || outside(hw_sheet_box(s), corner[k]);
        if (out_of) found(&f, HW_FAULT_OUTSIDE, i, NULL);
        for (const hw_item *k = i->next; k; k = k->next) {
            if (k->kind != HW_ITEM_TEXT) continue;
            hw_item_corners(k, 0, other);
            if (hw_quads_meet(corner, other)) found(&f, HW_FAULT_OVERLAP, i, k);
        }
        check_against_paths(s, i, &f);
    }
    return f.n;
}
