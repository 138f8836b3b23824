// Tilt coupon: a plate whose bed face has the pads' texture. Overhang coupon: walls that lean over
// by a row of angles.
#include "parts/coupon_internal.h"

#include "base/text.h"

#include <math.h>

static const double degree = HW_PI / 180; // [rad]

void hw_coupon_tilt(hw_coupon_draft *m)
{
    const hw_coupon_def *def = m->def;
    double length = 5 * def->fork.height, width = 2 * def->fork.height, plate = 8 * def->line;
    hw_blocks *b = hw_coupon_piece(m, "tilt coupon");
    hw_blocks_box(b, HW_BLOCK_ADD, (hw_vec3){0, -width / 2, 0},
                  (hw_vec3){length, width / 2, plate});
    hw_pad_def pad = def->pad;
    pad.recess = 0; // a strip is tried by gluing one on
    hw_pad_place face = {
        .x = {0, length}, .y = {-width / 2, width / 2}, .z = 0, .inward = 1, .line = def->line};
    hw_pad cut;
    if (b->pile.code == HW_OK) b->pile.code = hw_pad_blocks(m->keep, &pad, &face, &cut);
    if (b->pile.code != HW_OK) return;
    hw_blocks_take(b, &cut.cut);
    m->out->value[m->out->values++] = length;
    char number[HW_NUMBER_TEXT];
    hw_number_write_fixed(1e3 * length, 1, number);
    double room = length - 4 * def->line, tall = width / 5;
    hw_coupon_write(m, b, "tilt", HW_FACE_UP, (hw_vec3){length / 2, width / 4, plate}, room, tall);
    hw_coupon_write(m, b, number, HW_FACE_UP, (hw_vec3){length / 2, 0, plate}, room, tall);
    hw_coupon_write(m, b, def->mark, HW_FACE_UP, (hw_vec3){length / 2, -width / 4, plate}, room,
                    tall);
}

void hw_coupon_overhang(hw_coupon_draft *m)
{
    const hw_coupon_def *def = m->def;
    enum { FIRST = 30, LAST = 70, STEP = 5 };
    double wall = hw_coupon_wall(def), rise = 12 * def->line, width = 20 * def->line;
    double base = hw_letter_least(def->line) + 2 * def->line;
    double word = hw_letter_width("45", hw_letter_least(def->line), def->line) + 2 * def->line;
    hw_blocks *b = hw_coupon_piece(m, "overhang coupon");
    double x = 2 * def->line;
    for (int angle = FIRST; angle <= LAST; angle += STEP) {
        double lean = rise * tan(angle * degree);
        double pitch = fmax(wall + lean + wall, word);
        hw_vec2 at[4] = {
            {x, 0}, {x + wall, 0}, {x + wall + lean, base + rise}, {x + lean, base + rise}};
        // the wall rises from the base's top at its own angle
        at[0].z = at[1].z = base;
        hw_vec2 foot[4] = {{x, base / 2}, {x + wall, base / 2}, at[1], at[0]};
        hw_blocks_plate(b, HW_BLOCK_ADD, -width / 2, width / 2, hw_blocks_polygon(b, 4, at));
        hw_blocks_plate(b, HW_BLOCK_ADD, -width / 2, width / 2, hw_blocks_polygon(b, 4, foot));
        x += pitch;
        m->out->value[m->out->values++] = angle * degree;
    }
    hw_blocks_box(b, HW_BLOCK_ADD, (hw_vec3){0, -width / 2, 0}, (hw_vec3){x, width / 2, base});
    x = 2 * def->line;
    for (int angle = FIRST; angle <= LAST; angle += STEP) {
        double lean = rise * tan(angle * degree);
        char number[HW_NUMBER_TEXT];
        hw_number_write_fixed(angle, 0, number);
        hw_coupon_write(m, b, number, HW_FACE_SIDE_LOW,
                        (hw_vec3){x + word / 2 - def->line, -width / 2, base / 2}, word,
                        base - 2 * def->line);
        x += fmax(wall + lean + wall, word);
    }
    hw_coupon_write(m, b, def->mark, HW_FACE_SIDE_HIGH, (hw_vec3){x / 2, width / 2, base / 2},
                    x - 4 * def->line, base - 2 * def->line);
}
