// Gap coupon: six levers in a row, each between two rails on cones like the design's, each row's
// gap its own. A lever stands on its foot, so nothing hangs but the cones' flanks.
#include "parts/coupon_internal.h"

#include "base/text.h"

#include <math.h>

enum { STATIONS = 6 };
static const double share[STATIONS] = {0.6, 0.8, 1, 1.2, 1.4, 1.6}; // of the design's gap

// To two digits, so that the number on the coupon is the gap.
static double two_digits(double value) // [m]
{
    double unit = pow(10, floor(log10(value)) - 1);
    return round(value / unit) * unit;
}

typedef struct row {
    double half;    // of a lever along the rails [m]
    double axis;    // of its cones above the bed [m]
    double rail;    // height of the rails [m]
    double inner;   // half the levers' thickness [m]
    double outer;   // of the rails, from the middle [m]
    double pocket;  // half the length of a lever's place [m]
    double pitch;   // [m]
    double chamfer; // at a lever's foot: a rail's own spread and the lever's [m]
} row;

static row row_of(const hw_coupon_def *def)
{
    double wall = hw_coupon_wall(def), widest = share[STATIONS - 1] * def->gap;
    row r = {.half = def->cone.base + wall, .inner = def->fork.tang_thickness[0] / 2};
    r.axis = r.half;
    r.chamfer = fmin(2 * def->line, r.inner / 2);
    // numbers are cut two layers deep into the rails, behind the sockets
    r.outer = r.inner + 2 * widest + def->cone.engagement + 2 * def->layer + 2 * def->line;
    r.rail = fmax(r.axis + r.half, hw_letter_least(def->line) + 2.5 * def->line);
    r.pocket = sqrt(2) * r.half + 2 * widest;
    double number = hw_letter_width("0.25", hw_letter_least(def->line), def->line);
    r.pitch = fmax(2 * r.pocket + wall, number + 3 * def->line);
    return r;
}

static void lever(hw_coupon_draft *m, const row *r, double x, const char *name)
{
    hw_blocks *b = hw_coupon_piece(m, name);
    double top = r->axis + 4 * r->half;
    double h = r->half, cut = h * (1 - tan(HW_PI / 8)); // of an eight-sided head
    hw_vec2 at[6] = {{x - h, 0},         {x + h, 0},         {x + h, top - cut},
                     {x + h - cut, top}, {x - h + cut, top}, {x - h, top - cut}};
    hw_polygon outline = hw_blocks_polygon(b, 6, at);
    double in = r->inner - r->chamfer;
    hw_blocks_plate(b, HW_BLOCK_ADD, -in, in, outline);
    hw_coupon_foot(b, in, r->inner, &outline, r->chamfer, true, false);
    hw_coupon_foot(b, -r->inner, -in, &outline, r->chamfer, false, false);
    for (int side = -1; side <= 1; side += 2)
        hw_coupon_pin(m, b, (hw_vec2){x, r->axis}, side * r->inner, side);
}

void hw_coupon_gap(hw_coupon_draft *m)
{
    const hw_coupon_def *def = m->def;
    row r = row_of(def);
    hw_blocks *b = hw_coupon_piece(m, "gap coupon's frame");
    hw_blocks_box(b, HW_BLOCK_ADD, (hw_vec3){0, -r.outer, 0},
                  (hw_vec3){STATIONS * r.pitch, r.outer, r.rail});
    for (int i = 0; i < STATIONS; i++) {
        double gap = two_digits(share[i] * def->gap), x = (i + 0.5) * r.pitch;
        double side = r.inner + gap;
        m->out->value[m->out->values++] = gap;
        hw_blocks_box(b, HW_BLOCK_CUT, (hw_vec3){x - r.pocket, -side, -r.rail},
                      (hw_vec3){x + r.pocket, side, 2 * r.rail});
        for (int e = -1; e <= 1; e += 2)
            hw_coupon_bore(m, b, (hw_vec2){x, r.axis}, e * r.inner, e, gap, gap, r.outer - side);
        char number[HW_NUMBER_TEXT];
        hw_number_write_rounded(1e3 * gap, 2, number);
        hw_coupon_write(m, b, number, HW_FACE_SIDE_LOW, (hw_vec3){x, -r.outer, r.rail / 2},
                        r.pitch - 2.4 * def->line, r.rail - 2.4 * def->line);
    }
    hw_coupon_write(m, b, def->mark, HW_FACE_SIDE_HIGH,
                    (hw_vec3){STATIONS * r.pitch / 2, r.outer, r.rail / 2},
                    STATIONS * r.pitch - 2.4 * def->line, r.rail - 2.4 * def->line);
    static const char *const name[STATIONS] = {"gap coupon's lever 1", "gap coupon's lever 2",
                                               "gap coupon's lever 3", "gap coupon's lever 4",
                                               "gap coupon's lever 5", "gap coupon's lever 6"};
    for (int i = 0; i < STATIONS; i++) lever(m, &r, (i + 0.5) * r.pitch, name[i]);
}
