// Retention and slop coupons: joints of the design in a row, each with its own cheeks, tangs, fork
// and cones. Nothing turns far here, so tangs and cheeks stand on the bed on their whole length.
#include "parts/coupon_internal.h"

#include <math.h>

typedef struct chain {
    const hw_coupon_def *def;
    const hw_fork_place *f;
    double axis;      // above the bed [m]
    double before;    // how far a cheek reaches past the axis [m]
    double setback;   // from an axis back to the earlier link's whole width [m]
    double depth;     // from an axis to the later link's whole width [m]
    double body;      // length of a link's whole width [m]
    double end;       // the same of the first and the last [m]
    double eye;       // radius of an eye; 0: none [m]
    double chamfer;   // at a tang's foot [m]
    double low, high; // y of both outer faces [m]
} chain;

// A tang's two faces: [0] toward its cheek.
static void faces(const chain *c, int side, double y[2]) // [m]
{
    double outward = side == 0 ? -1 : 1, half = c->f->tang_thickness[side] / 2;
    y[0] = c->f->tang_y[side] + outward * half;
    y[1] = c->f->tang_y[side] - outward * half;
}

static chain chain_of(const hw_coupon_def *def, size_t pivots, bool eyes)
{
    const hw_fork_place *f = &def->fork;
    chain c = {.def = def, .f = f, .axis = f->height / 2, .before = f->height / 2};
    double wall = hw_coupon_wall(def);
    c.setback = fmax(f->setback, c.before + 4 * def->gap);
    c.depth = fmax(f->depth[0], f->depth[1]);
    c.body = fmax(f->tang_radius, wall);
    c.eye = eyes ? fmin(f->tang_radius, 0.14 * f->height) : 0;
    const char *id = pivots == 1 ? "retention" : "slop";
    double word = hw_letter_width(id, hw_letter_least(def->line), def->line);
    c.end = fmax(2 * (c.eye + wall), 1.01 * word + 2 * def->line);
    c.chamfer = fmin(2 * def->line, fmin(f->tang_thickness[0], f->tang_thickness[1]) / 2);
    c.low = f->cheek_y[0] - f->cheek_thickness[0] / 2;
    c.high = f->cheek_y[1] + f->cheek_thickness[1] / 2;
    return c;
}

// From the later link's whole width to beyond the axis, beside the tang.
static void cheek(hw_coupon_draft *m, hw_blocks *b, const chain *c, int side, double x,
                  double to) // [m]
{
    const hw_fork_place *f = c->f;
    double y0 = f->cheek_y[side] - f->cheek_thickness[side] / 2, y1 = y0 + f->cheek_thickness[side];
    double cut = f->height / 4; // of the upper corner
    hw_vec2 at[5] = {{x - c->before, 0},
                     {to, 0},
                     {to, f->height},
                     {x - c->before + cut, f->height},
                     {x - c->before, f->height - cut}};
    hw_blocks_plate(b, HW_BLOCK_ADD, y0, y1, hw_blocks_polygon(b, 5, at));
    double face[2];
    faces(c, side, face);
    // the wall that the fork ends at, as deep on this side as the design's
    hw_blocks_box(b, HW_BLOCK_ADD, (hw_vec3){x + f->depth[side], fmin(y0, face[1]), 0},
                  (hw_vec3){to, fmax(y1, face[1]), f->height});
    double mouth = fabs(face[0] - (side == 0 ? y1 : y0));
    hw_coupon_bore(m, b, (hw_vec2){x, c->axis}, face[0], side == 0 ? -1 : 1, mouth, c->def->gap,
                   f->cheek_thickness[side]);
}

// From the earlier link's whole width to the axis and the tang's radius past it.
static void tang(hw_coupon_draft *m, hw_blocks *b, const chain *c, int side, double x) // [m]
{
    const hw_fork_place *f = c->f;
    double back = x - c->setback, r = f->tang_radius, face[2];
    double lean = 0.15 * c->axis; // of its toe, so that it can be rocked
    if (lean > r) lean = r;
    hw_vec2 at[6] = {{back, 0},        {x + r - lean, 0},
                     {x + r, c->axis}, {x + r * sqrt(0.5), c->axis + r * sqrt(0.5)},
                     {x, c->axis + r}, {back, c->axis + r}};
    hw_polygon outline = hw_blocks_polygon(b, 6, at);
    faces(c, side, face);
    double outward = side == 0 ? -1 : 1, in = face[0] - outward * c->chamfer;
    // one tang for both sides: as far as the middle, so that it leaves the other's chamfer
    double middle = (f->tang_y[0] + f->tang_y[1]) / 2;
    if (outward * face[1] < outward * middle) face[1] = middle;
    hw_blocks_plate(b, HW_BLOCK_ADD, fmin(in, face[1]), fmax(in, face[1]), outline);
    hw_coupon_foot(b, fmin(in, face[0]), fmax(in, face[0]), &outline, c->chamfer, side == 1, true);
    hw_coupon_pin(m, b, (hw_vec2){x, c->axis}, face[0], outward);
}

static void eye(hw_blocks *b, const chain *c, double x) // [m]
{
    hw_blocks_plate(b, HW_BLOCK_CUT, c->low - c->eye, c->high + c->eye,
                    hw_blocks_peaked(b, (hw_vec2){x, c->axis}, c->eye));
}

// Words on top of the link between two places along it.
static void mark(hw_coupon_draft *m, hw_blocks *b, const chain *c, const char *words, double from,
                 double to) // [m] [m]
{
    double middle = (c->low + c->high) / 2, room = to - from - 2 * m->def->line;
    double tall = (c->high - c->low) / 2 - 2 * m->def->line;
    hw_coupon_write(m, b, words, HW_FACE_UP, (hw_vec3){(from + to) / 2, middle, c->f->height}, room,
                    tall);
}

void hw_coupon_chain(hw_coupon_draft *m, size_t pivots, bool eyes)
{
    chain c = chain_of(m->def, pivots, eyes);
    static const char *const retention[] = {"retention coupon's tang", "retention coupon's fork"};
    static const char *const slop[] = {"slop coupon's link 1", "slop coupon's link 2",
                                       "slop coupon's link 3", "slop coupon's link 4",
                                       "slop coupon's link 5"};
    const char *const *name = eyes ? retention : slop;
    const char *words = eyes ? "retention" : "slop";
    double x = c.end + c.setback; // of the axis that the next link has its cheeks on
    for (size_t i = 0; i <= pivots; i++) {
        bool first = i == 0, last = i == pivots, end = first || last;
        hw_blocks *b = hw_coupon_piece(m, name[i]);
        // the link's whole width
        double from = first ? 0 : x + c.depth, to = from + (end ? c.end : c.body);
        hw_blocks_box(b, HW_BLOCK_ADD, (hw_vec3){from, c.low, 0},
                      (hw_vec3){to, c.high, c.f->height});
        if (eyes) eye(b, &c, (from + to) / 2);
        for (int side = 0; side < 2; side++) {
            if (!first) cheek(m, b, &c, side, x, to);
            if (!last) tang(m, b, &c, side, to + c.setback);
        }
        if (end) mark(m, b, &c, first ? words : m->def->mark, from, to);
        if (!first) x = to + c.setback;
    }
}
