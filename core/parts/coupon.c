#include "parts/coupon_internal.h"

#include <math.h>
#include <string.h>

static const struct {
    const char *id, *title, *measure, *caution, *entry, *unit;
    bool hangs;
} texts[HW_COUPONS] = {
    [HW_COUPON_GAP] = {"gap", "gap coupon: levers between cones and flats",
                       "Break each lever loose with a finger, the widest gap first. Note the "
                       "smallest number whose "
                       "lever turns freely, to and fro, after ten turns.",
                       "A lever that breaks leaves a sharp edge.", "printer.gap", "mm", false},
    [HW_COUPON_RETENTION] =
        {"retention", "retention coupon: one joint to pull apart",
         "Hang it by one eye. Pull at the other, straight and slowly, with a spring balance or "
         "with "
         "weights on a cord. Note the force at which a cone leaves its socket or a cheek breaks, "
         "and "
         "which of the two it was. Pull three prints.",
         "It lets go with a snap: wear eye protection, keep your face out of the line of the cord, "
         "and stand clear of weights that fall.",
         NULL, "N", false},
    [HW_COUPON_SLOP] =
        {"slop", "slop coupon: four joints in a row",
         "Lay it on its bed face against a straight edge. Push its ends together and measure over "
         "all; pull and measure again. Note the difference divided by 8, times the cosine of the "
         "cones' half-angle: the gap that is left between a cone and its socket.",
         "", "pivot.gap", "mm", false},
    [HW_COUPON_TILT] = {"tilt", "tilt coupon: the pads' face as a slope",
                        "Lay it with the textured face up and, on that face, what the hand will "
                        "hold. Raise one end "
                        "slowly until it slides. Note the height of that end over the length "
                        "written on the coupon: "
                        "that is the sine of the angle, and friction is the angle's tangent. Take "
                        "the mean of five.",
                        "", "grip.friction", "1", false},
    [HW_COUPON_OVERHANG] =
        {"overhang", "overhang coupon: walls that lean",
         "Look at the undersides. Note the largest number, in degrees from upright, whose "
         "underside "
         "is as smooth as the first. 45 must be: cones and grooves are drawn to it.",
         "Threads under the steepest walls may be sharp.", NULL, "deg", true},
};

hw_coupon_def hw_coupon_def_default(void)
{
    const double mm = 1e-3;
    return (hw_coupon_def){
        .mark = "",
        .fork = {.cheeks_part = 2,
                 .tang_part = 1,
                 .cheek_y = {-6.925 * mm, 6.925 * mm},
                 .cheek_thickness = {2 * mm, 2 * mm},
                 .tang_y = {-3.975 * mm, 4.675 * mm},
                 .tang_thickness = {3.4 * mm, 2 * mm},
                 .spacing = 13 * mm,
                 .height = 18 * mm,
                 .depth = {4.25 * mm, 6 * mm},
                 .tang_radius = 4 * mm,
                 .setback = 9.25 * mm},
        .cone = {.half_angle = HW_PI / 4,
                 .engagement = 1.2 * mm,
                 .tip = 0.4 * mm,
                 .base = 1.6 * mm},
        .land = 0.6 * mm,
        .gap = 0.25 * mm,
        .line = 0.42 * mm,
        .layer = 0.2 * mm,
        .pad = {.texture = HW_PAD_SQUARES, .pitch = 2.5 * mm, .depth = 0.5 * mm, .margin = 1 * mm},
        .deviation = 0.005 * mm,
    };
}

hw_blocks *hw_coupon_piece(hw_coupon_draft *m, const char *name)
{
    size_t i = m->parts < HW_COUPON_PARTS ? m->parts++ : HW_COUPON_PARTS - 1;
    size_t n = strlen(name), most = sizeof m->name[i] - 1;
    memcpy(m->name[i], name, n < most ? n : most);
    m->piece[i] = hw_blocks_new(m->keep, m->def->deviation);
    return &m->piece[i];
}

double hw_coupon_wall(const hw_coupon_def *def)
{
    return 4 * def->line;
}

void hw_coupon_write(hw_coupon_draft *m, hw_blocks *b, const char *text, hw_letter_face face,
                     hw_vec3 middle, double width, double height)
{
    hw_lettering l = {.text = text,
                      .face = face,
                      .at = middle,
                      .height = hw_letter_fit(text, width, height, m->def->line),
                      .line = m->def->line,
                      .depth = 2 * m->def->layer};
    hw_letters_put(b, &l);
}

static hw_parts_pin pin_of(const hw_coupon_def *d, hw_vec2 at, double face, double outward)
{
    return (hw_parts_pin){.at = at,
                          .face = face,
                          .outward = outward,
                          .base = d->cone.base,
                          .land = d->land,
                          .engagement = d->cone.engagement,
                          .half_angle = d->cone.half_angle,
                          .deviation = d->deviation};
}

void hw_coupon_pin(hw_coupon_draft *m, hw_blocks *b, hw_vec2 at, double face, double outward)
{
    hw_parts_pin pin = pin_of(m->def, at, face, outward);
    hw_parts_pin_add(&b->pile, &pin);
}

void hw_coupon_bore(hw_coupon_draft *m, hw_blocks *b, hw_vec2 at, double face, double outward,
                    double mouth, double gap, double thickness)
{
    hw_parts_pin pin = pin_of(m->def, at, face, outward);
    pin.mouth = mouth;
    pin.gap = gap;
    hw_parts_pin_cut(&b->pile, &pin, thickness, m->def->line);
}

void hw_coupon_foot(hw_blocks *b, double y0, double y1, const hw_polygon *outline, double chamfer,
                    bool high_end, bool runs_out)
{
    hw_polygon low = {0}, high = {0};
    if (b->pile.code != HW_OK) return;
    if (runs_out) { // the first corner is where the chamfer begins to rise, the second where it
                    // ends
        hw_vec2 *at = HW_NEW(b->pile.keep, hw_vec2, outline->n + 1);
        hw_vec2 *up = HW_NEW(b->pile.keep, hw_vec2, outline->n + 1);
        if (!at || !up) {
            b->pile.code = HW_NO_MEMORY;
            return;
        }
        at[0] = up[0] = outline->at[0];
        double away = outline->at[1].x > outline->at[0].x ? chamfer : -chamfer;
        at[1] = up[1] = (hw_vec2){outline->at[0].x + away, outline->at[0].z};
        for (size_t i = 1; i < outline->n; i++) at[i + 1] = up[i + 1] = outline->at[i];
        up[1].z += chamfer;
        up[2].z += chamfer;
        low = (hw_polygon){at, outline->n + 1};
        high = (hw_polygon){up, outline->n + 1};
    } else {
        double bed = INFINITY;
        for (size_t i = 0; i < outline->n; i++) bed = fmin(bed, outline->at[i].z);
        hw_code code = hw_polygon_raise(b->pile.keep, outline, bed + chamfer, &low, &high);
        if (code != HW_OK) {
            b->pile.code = code;
            return;
        }
    }
    if (high_end)
        hw_blocks_taper(b, HW_BLOCK_ADD, y0, y1, low, high);
    else
        hw_blocks_taper(b, HW_BLOCK_ADD, y0, y1, high, low);
}

static bool sound(const hw_coupon_def *d)
{
    const hw_fork_place *f = &d->fork;
    bool ok = d->mark && d->gap > 0 && d->line > 0 && d->layer > 0 && d->deviation > 0 &&
              d->cone.half_angle > 0 && d->cone.half_angle < HW_PI / 2 && d->cone.engagement > 0 &&
              d->land >= 0 && d->land < d->cone.engagement && isfinite(d->cone.base) &&
              d->cone.base - (d->cone.engagement - d->land) * tan(d->cone.half_angle) > 0 &&
              f->height > 2 * f->tang_radius && f->tang_radius > 0 && isfinite(f->height) &&
              isfinite(f->setback);
    for (int i = 0; i < 2; i++)
        ok = ok && f->cheek_thickness[i] > 0 && f->tang_thickness[i] > 0 &&
             f->depth[i] >= f->tang_radius && isfinite(f->depth[i]) && isfinite(f->cheek_y[i]) &&
             isfinite(f->tang_y[i]);
    return ok && f->cheek_y[0] < f->cheek_y[1] && f->tang_y[0] <= f->tang_y[1];
}

static hw_code take(hw_coupon_draft *m)
{
    hw_part *part = HW_NEW(m->keep, hw_part, m->parts);
    if (!part) return HW_NO_MEMORY;
    for (size_t i = 0; i < m->parts; i++) {
        if (m->piece[i].pile.code != HW_OK) return m->piece[i].pile.code;
        part[i] = (hw_part){.digit = -1,
                            .body = -1,
                            .role = HW_PART_COUPON,
                            .solid = hw_blocks_solid(&m->piece[i]),
                            .allow = m->piece[i].pile.allow,
                            .allows = m->piece[i].pile.allows};
        memcpy(part[i].name, m->name[i], sizeof part[i].name);
    }
    m->out->set = (hw_part_set){.part = part, .parts = m->parts};
    return HW_OK;
}

hw_code hw_parts_coupon(hw_arena *keep, hw_coupon_kind kind, const hw_coupon_def *def,
                        hw_coupon *out)
{
    *out = (hw_coupon){.id = "", .title = "", .measure = "", .caution = "", .unit = ""};
    if ((unsigned)kind >= HW_COUPONS || !sound(def)) return HW_BAD_INPUT;
    hw_coupon_draft *m = HW_NEW(keep, hw_coupon_draft, 1);
    if (!m) return HW_NO_MEMORY;
    hw_coupon made = {.id = texts[kind].id,
                      .title = texts[kind].title,
                      .measure = texts[kind].measure,
                      .caution = texts[kind].caution,
                      .entry = texts[kind].entry,
                      .unit = texts[kind].unit,
                      .hangs = texts[kind].hangs};
    *m = (hw_coupon_draft){.def = def, .keep = keep, .out = &made};
    switch (kind) {
    case HW_COUPON_GAP:
        hw_coupon_gap(m);
        break;
    case HW_COUPON_RETENTION:
        hw_coupon_chain(m, 1, true);
        break;
    case HW_COUPON_SLOP:
        hw_coupon_chain(m, HW_COUPON_PIVOTS, false);
        break;
    case HW_COUPON_TILT:
        hw_coupon_tilt(m);
        break;
    case HW_COUPON_OVERHANG:
    case HW_COUPONS:
        hw_coupon_overhang(m);
        break;
    }
    hw_code code = take(m);
    if (code == HW_OK) *out = made;
    return code;
}
