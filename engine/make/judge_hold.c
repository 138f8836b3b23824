// What holds the servos in the tray.
#include "base/text.h"
#include "make/make_internal.h"
#include "parts/palm_hold.h"

#include <math.h>

// Shear that a material stands, by the largest energy of distortion, over the bearing pressure
// above (Shigley, Mechanical Engineering Design, the ratio 1 : sqrt(3) from memory).
static const double shear_to_bearing = 0.57735 / 1.5; // [1]

// "index: 24.1 mm2 toward the wrist, its rod asks for 3.2, 2 screws in its ears"
static const char *hold_note(hw_arena *keep, int digit, const hw_palm_servo *s,
                             const hw_tray_hold *hold, double asked) // [m2]
{
    const hw_frame *f = &s->frame;
    const hw_vec3 axis[3] = {f->x, f->y, f->z};
    hw_vec3 way = hw_vec3_times(axis[hold->least / 2], hold->least % 2 ? 1 : -1);
    const char *name = way.x > 0 ? "fingers" : "wrist";
    if (fabs(way.y) > fabs(way.x)) name = way.y > 0 ? "thumb's side" : "little finger's side";
    if (fabs(way.z) > fmax(fabs(way.x), fabs(way.y))) name = way.z > 0 ? "back" : "palm's inside";
    char area[HW_NUMBER_TEXT], need[HW_NUMBER_TEXT];
    hw_number_write_fixed(1e6 * hold->area[hold->least], 1, area);
    hw_number_write_fixed(1e6 * asked, 1, need);
    hw_buffer b = {.arena = keep};
    hw_buffer_format(&b, "%s: %s mm2 toward the %s, its rod asks for %s", hw_digit_name[digit],
                     area, name, need);
    if (hold->screws) {
        hw_buffer_puts(&b, ", ");
        hw_buffer_count(&b, hold->screws, "screw");
        hw_buffer_puts(&b, " in its ears");
    }
    return b.at;
}

double hw_made_hold(hw_arena *keep, const hw_made *m, const char **note)
{
    double least = NAN;
    hw_palm_parts_def *def = HW_NEW(keep, hw_palm_parts_def, 1);
    if (!def) return (double)NAN;
    hw_hand_palm_parts(m->design, m->hand, def);
    for (size_t i = 0; i < def->palm_servos; i++) {
        const int digit = m->hand->places.whose[i];
        const double asked = hw_hand_servo_asks(m->hand, digit);
        const double off = m->hand->gap + m->hand->line / 2;
        const hw_tray_hold hold = hw_tray_hold_of(m->palm, &def->palm[i], off, shear_to_bearing);
        const double share = hold.area[hold.least] / asked;
        if (share >= least) continue;
        least = share;
        *note = hold_note(keep, digit, &def->palm[i], &hold, asked);
    }
    return least;
}
