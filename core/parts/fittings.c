#include "parts/fittings_internal.h"

#include "parts/carrier_internal.h"
#include "parts/lettering_internal.h"
#include "parts/pulley_internal.h"

#include <math.h>
#include <string.h>

hw_fittings_def hw_fittings_def_default(void)
{
    const double mm = 1e-3, gap = 0.25 * mm, line = 0.42 * mm, layer = 0.2 * mm, fine = 0.005 * mm;
    return (hw_fittings_def){
        .driven = true,
        .pulley = {.radius = 10.5 * mm,
                   .cord = 1 * mm,
                   .gap = gap,
                   .line = line,
                   .deviation = fine,
                   .spool = 1.75 * mm,
                   .holes = 7,
                   .pin = 1.75 * mm},
        .carrier = {.gap = gap,
                    .line = line,
                    .layer = layer,
                    .deviation = fine,
                    .sheath = 4 * mm,
                    .sheath_depth = 6 * mm,
                    .cord = 1 * mm,
                    .stop = true,
                    .home = {.length = 12.8 * mm,
                             .height = 6.5 * mm,
                             .thickness = 5.8 * mm,
                             .lever = 4 * mm,
                             .pressed = 1.8 * mm,
                             .pitch = 6.5 * mm,
                             .hole = 2 * mm,
                             .hole_depth = 5 * mm,
                             .terminals = 3.5 * mm},
                    .screw = 2.5 * mm,
                    .screw_depth = 10 * mm},
        .engraved = true,
        .line = line,
        .layer = layer,
    };
}

hw_code hw_fittings_of(const hw_fittings_def *def, const hw_digit *d, const hw_layers *l,
                       hw_fittings *out)
{
    *out = (hw_fittings){0};
    if (l->n == 0 || hw_digit_check(d) != HW_DIGIT_SOUND) return HW_BAD_INPUT;
    hw_fittings made = {.pulley = false};
    if (def->driven) {
        hw_pulley_def wheel = def->pulley;
        double x[2];
        hw_carrier_block(l, x);
        wheel.from = x[0];
        // where the cords come from depends on their slope, and their slope on that
        double rise = 0;
        for (int i = 0; i < 6 && isfinite(rise); i++) {
            double touch;
            wheel.beside = fmax(0, hw_carrier_mouth(&def->carrier, d, rise));
            hw_vec2 way =
                hw_tangent_toward(wheel.radius, (hw_vec2){wheel.from, wheel.beside}, 1, &touch);
            rise = way.z / way.x;
        }
        hw_code code = hw_pulley_of(&wheel, d, l, &made.wheel);
        made.pulley = code == HW_OK;
        // a pulley without room is a finding, not a fault of the input
        if (code == HW_BAD_INPUT && isnan(made.wheel.room)) return code;
    }
    hw_code code =
        hw_carrier_of(&def->carrier, d, l, made.pulley ? &made.wheel : NULL, &made.carrier);
    if (code == HW_OK) *out = made;
    return code;
}

// ---- on the parts ------------------------------------------------------------------------------

static hw_pulley_def wheel_def(const hw_draft *f)
{
    hw_pulley_def def = f->def->fittings.pulley;
    def.deviation = f->def->deviation;
    return def;
}

// A name on the side of low y, along the phalanx's axis, where the body is whole.
static void name_side(const hw_draft *f, hw_blocks *b, const char *text, const double x[2],
                      double z, double most) // [m]
{
    const hw_fittings_def *def = &f->def->fittings;
    double room = x[1] - x[0] - 2 * def->line;
    hw_lettering mark = {
        .text = text,
        .face = HW_FACE_SIDE_LOW,
        .at = {(x[0] + x[1]) / 2, f->l->layer[0].y - f->l->layer[0].thickness / 2, z},
        .height = hw_letter_fit(text, room, most, def->line),
        .line = def->line,
        .depth = fmin(2 * def->layer, f->l->layer[0].thickness / 4),
        .mirrored = def->mirrored};
    if (def->engraved) hw_letters_put(b, &mark);
}

// The palmar face of the distal phalanx is the tangent of its two discs; the pad is made on that
// line and turned onto it.
static void put_pad(const hw_draft *f, hw_blocks *b)
{
    const hw_fittings_def *def = &f->def->fittings;
    hw_disc end[2];
    hw_phalanx_discs(f->d, 2, end);
    double length = end[1].at.x, half = f->d->width / 2;
    double lean = asin((end[0].radius - end[1].radius) / length);
    double run = length * cos(lean), clear = def->line;
    // from where cheeks and horn end to where the tip begins to be round
    hw_pad_place at = {.x = {fmax(f->l->fork[2].depth[0], f->l->fork[2].depth[1]) + clear, run},
                       .y = {-half, half},
                       .inward = 1,
                       .line = def->line};
    if (!(at.x[1] > at.x[0]) || b->pile.code != HW_OK) return;
    hw_pad pad;
    hw_code code = hw_pad_blocks(f->keep, &def->pad, &at, &pad);
    if (code != HW_OK) {
        b->pile.code = code;
        return;
    }
    // it narrows toward the tip, so its normal leans that way
    hw_vec2 touch = {end[0].radius * sin(lean), -end[0].radius * cos(lean)};
    for (size_t i = 0; i < pad.cut.blocks; i++) {
        const hw_polygon *p = &pad.cut.block[i].at[0]; // plates all of them
        for (size_t k = 0; k < p->n; k++)
            p->at[k] = hw_add(touch, hw_flex(p->at[k], cos(lean), -sin(lean)));
    }
    hw_blocks_take(b, &pad.cut);
    double high = end[0].radius;
    if (f->bed.up > 0 && pad.allows)
        hw_blocks_allow(b, HW_ALLOW_BRIDGE, (hw_vec3){at.x[0], -half, -high},
                        (hw_vec3){at.x[1], half, 2 * def->pad.recess - high + length * sin(lean)});
}

void hw_fittings_put(const hw_draft *f, const hw_part *part, const hw_fittings *made, hw_pile *p)
{
    static const char *const digit[] = {"thumb", "index", "middle", "ring", "little"};
    const hw_fittings_def *def = &f->def->fittings;
    if (!f->def->fitted || part->role == HW_PART_BAR) return;
    hw_blocks b = hw_blocks_new(f->keep, f->def->deviation);
    if (part->body == 0) {
        double bed[2], x[2] = {made->carrier.back, made->carrier.front};
        hw_bed_line(&f->bed, made->carrier.half, bed);
        hw_carrier_put(&b, &made->carrier, &def->carrier, f->d, f->l,
                       made->pulley ? &made->wheel : NULL, bed);
        // above the holes for the switch
        double half = made->carrier.half;
        name_side(f, &b, digit[f->def->digit], x, 0.68 * half, 0.3 * half);
    }
    if (part->body == 1) {
        hw_pulley_def wheel = wheel_def(f);
        double x[2] = {f->l->fork[0].depth[0], f->d->phalanx[0] - f->l->fork[1].setback};
        // the bed as the phalanx sees it
        hw_vec2 axis = hw_bed_point(&f->bed, 1, (hw_vec2){0, 0});
        double one = f->d->phalanx[0];
        hw_vec2 down = {(axis.z - hw_bed_point(&f->bed, 1, (hw_vec2){one, 0}).z) / one,
                        (axis.z - hw_bed_point(&f->bed, 1, (hw_vec2){0, one}).z) / one};
        if (made->pulley)
            hw_pulley_put(&b, &made->wheel, &wheel, f->l, f->bed.up < 0 ? axis.z : 0, down);
        name_side(f, &b, def->mark, x, 0, 0.35 * f->d->thickness[1]);
    }
    if (part->body == 3) put_pad(f, &b);
    hw_blocks_onto(&b, &f->bed, part->body, p);
}

size_t hw_fittings_parts(const hw_fittings *made)
{
    return made->pulley && made->wheel.spool.fits ? 1 : 0;
}

hw_code hw_fittings_spool(const hw_draft *f, const hw_fittings *made, hw_part *part)
{
    hw_pulley_def wheel = wheel_def(f);
    hw_blocks b = hw_blocks_new(f->keep, f->def->deviation);
    const hw_spool_place *s = &made->wheel.spool;
    double clear = f->d->width / 2 + s->flange + 12 * f->def->gap;
    hw_spool_put(&b, s, &wheel, (hw_vec2){f->bed.knuckle.x + f->d->phalanx[0] / 2, -clear});
    *part = (hw_part){.digit = f->def->digit,
                      .body = -1,
                      .role = HW_PART_PULLEY,
                      .solid = hw_blocks_solid(&b),
                      .allow = b.pile.allow,
                      .allows = b.pile.allows};
    static const char *const name[] = {"thumb tension spool", "index tension spool",
                                       "middle tension spool", "ring tension spool",
                                       "little tension spool"};
    memcpy(part->name, name[f->def->digit], strlen(name[f->def->digit]));
    return b.pile.code;
}
