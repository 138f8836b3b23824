// The palm's frames, axes and outline.
#include "palm/palm.h"

#include <math.h>

#define DEG (HW_PI / 180)

// Shares of breadth: as the document's own defaults of width and thickness.
static const double width_share[HW_HAND_DIGITS] = {0.22, 0.19, 0.19, 0.18, 0.16};
static const double depth_share[HW_HAND_DIGITS][HW_PALM_DEPTHS] = {{0.27, 0.25, 0.22, 0.154},
                                                                   {0.262, 0.218, 0.194, 0.136},
                                                                   {0.262, 0.218, 0.194, 0.136},
                                                                   {0.262, 0.218, 0.194, 0.136},
                                                                   {0.238, 0.218, 0.194, 0.136}};

hw_frame hw_palm_frame(hw_vec3 at, hw_palm_pointing p)
{
    double ct = cos(p.turn), st = sin(p.turn), cr = cos(p.rise), sr = sin(p.rise);
    double co = cos(p.roll), so = sin(p.roll);
    hw_vec3 side = {-st, ct, 0}, up = {-sr * ct, -sr * st, cr};
    return (hw_frame){
        .at = at,
        .x = {cr * ct, cr * st, sr},
        .y = hw_vec3_along(hw_vec3_times(side, co), so, up),
        .z = hw_vec3_along(hw_vec3_times(up, co), -so, side),
    };
}

// The published place moved along the palm and before it, and pointing near what the trapezium's
// own axes give (38 degrees aside, 48 before the palm, 80 pronated): where pads meet.
static void thumb_default(const hw_hand_shape *person, hw_palm_def *out)
{
    out->digit[0].knuckle =
        (hw_vec3){0.15 * person->length, 0.18 * person->breadth, -0.155 * person->breadth};
    out->digit[0].points = (hw_palm_pointing){45 * DEG, -35 * DEG, -115 * DEG};
    out->opposition_turn = 5 * DEG;
    out->opposition_rise = 5 * DEG;
    out->opposition[0] = 0;
    out->opposition[1] = 90 * DEG;
}

static void digit_default(const hw_hand_shape *person, int i, hw_palm_digit_def *d)
{
    static const double least[HW_HAND_DIGITS] = {0, 0, 0, -10 * DEG, -15 * DEG};
    static const double most[HW_HAND_DIGITS] = {0, 10 * DEG, 0, 0, 0};
    const hw_digit_shape *p = &person->digit[i];
    *d = (hw_palm_digit_def){.present = true,
                             .knuckle = p->knuckle.at,
                             .width = width_share[i] * person->breadth,
                             .travel = {0, (i == 0 ? 40 : 85) * DEG}};
    if (i > 0) d->points.turn = atan2(p->knuckle.x.y, p->knuckle.x.x);
    for (int k = 0; k < HW_SEGMENTS; k++) d->segment[k] = p->segment[k];
    for (int k = 0; k < HW_PALM_DEPTHS; k++) d->thickness[k] = depth_share[i][k] * person->breadth;
    d->splay[0] = least[i];
    d->splay[1] = most[i];
    d->splay_behind = 0.75 * d->thickness[0];
    d->cord = (hw_vec3){-1.2 * d->thickness[0], 0, -0.3 * d->thickness[0]};
    d->bar = (hw_vec3){0.25 * d->thickness[0], 0, 0.159 * d->thickness[0]};
}

hw_code hw_palm_def_of(double length, double breadth, hw_palm_def *out)
{
    hw_hand_shape person;
    hw_code code = hw_hand_shape_of(length, breadth, &person);
    *out = (hw_palm_def){.length = person.digit[2].knuckle.at.x,
                         .breadth = 0.95 * breadth,
                         .wrist = 0.7 * breadth,
                         .thickness = 0.375 * breadth,
                         .wrist_thickness = 0.375 * breadth,
                         .back = 0.131 * breadth,
                         .setback = 0.131 * breadth,
                         .edge = 0.094 * breadth,
                         .arch_radius = person.arch_radius};
    for (int i = 0; i < HW_HAND_DIGITS; i++) digit_default(&person, i, &out->digit[i]);
    thumb_default(&person, out);
    return code;
}

static bool finite3(hw_vec3 v)
{
    return isfinite(v.x) && isfinite(v.y) && isfinite(v.z);
}

static bool digit_sound(const hw_palm_digit_def *d)
{
    bool ok = finite3(d->knuckle) && finite3(d->cord) && finite3(d->bar) &&
              isfinite(d->points.turn) && isfinite(d->points.rise) && isfinite(d->points.roll) &&
              d->splay_behind >= 0 && isfinite(d->splay_behind) && d->width > 0 &&
              isfinite(d->width);
    for (int k = 0; k < 2; k++) ok = ok && isfinite(d->splay[k]) && isfinite(d->travel[k]);
    for (int k = 0; k < HW_SEGMENTS; k++) ok = ok && d->segment[k] > 0 && isfinite(d->segment[k]);
    for (int k = 0; k < HW_PALM_DEPTHS; k++)
        ok = ok && d->thickness[k] > 0 && isfinite(d->thickness[k]);
    return ok;
}

static bool sound(const hw_palm_def *f)
{
    const double above[] = {f->length,          f->breadth,     f->wrist, f->thickness,
                            f->wrist_thickness, f->arch_radius, f->edge};
    bool ok = isfinite(f->opposition_turn) && isfinite(f->opposition_rise) &&
              isfinite(f->opposition[0]) && isfinite(f->opposition[1]) && isfinite(f->back) &&
              f->opposition_behind >= 0 && isfinite(f->opposition_behind) && f->setback >= 0 &&
              isfinite(f->setback) && f->deeper >= 0 && isfinite(f->deeper);
    for (size_t k = 0; k < sizeof above / sizeof *above; k++)
        ok = ok && above[k] > 0 && isfinite(above[k]);
    for (int i = 0; i < HW_HAND_DIGITS; i++) ok = ok && digit_sound(&f->digit[i]);
    return ok;
}

static hw_palm_digit digit_of(const hw_palm_digit_def *d)
{
    hw_palm_digit out = {
        .present = d->present, .knuckle = hw_palm_frame(d->knuckle, d->points), .width = d->width};
    for (int k = 0; k < 2; k++) out.splay[k] = d->splay[k];
    for (int k = 0; k < 2; k++) out.travel[k] = d->travel[k];
    for (int k = 0; k < HW_SEGMENTS; k++) out.segment[k] = d->segment[k];
    for (int k = 0; k < HW_PALM_DEPTHS; k++) out.thickness[k] = d->thickness[k];
    // square to the flexion axis and to the straight digit, so that it does not tilt the fist
    out.splay_axis = out.knuckle.z;
    out.splay_at = hw_vec3_along(d->knuckle, -d->splay_behind, out.knuckle.x);
    out.cord_at = hw_frame_point(&out.knuckle, d->cord);
    out.bar_at = hw_frame_point(&out.knuckle, d->bar);
    return out;
}

// x of the palm's front edge as far across as `y`: along the knuckles' line, straight between
// neighbours, level beyond the first and last.
static double front_at(const hw_palm_def *f, double y) // [m]
{
    const hw_vec3 *k = &f->digit[1].knuckle;
    double x = k->x;
    if (y >= k->y) return x - f->setback;
    for (int i = 2; i < HW_HAND_DIGITS; i++) {
        const hw_vec3 *next = &f->digit[i].knuckle;
        if (y >= next->y && k->y > next->y)
            return k->x + (next->x - k->x) * (k->y - y) / (k->y - next->y) - f->setback;
        k = next;
        x = k->x;
    }
    return x - f->setback;
}

// A rounded rectangle's coordinate from the cosine or sine of the way round it.
static double rounded(double c, double power) // [1]
{
    return copysign(pow(fabs(c), power), c);
}

// Height of the knuckles' circle over the middle finger's knuckle; its crown lies at `crown`.
static double on_arch(double radius, double y, double crown) // [m] [m] [m]
{
    double off = y - crown;
    double here = sqrt(fmax(0, radius * radius - off * off));
    return here - sqrt(fmax(0, radius * radius - crown * crown));
}

// Its back rises along the arch over the middle finger's knuckle, its palm is so much less deep: it
// is printed on a flat face, and as thick as it says from there.
static void outline(const hw_palm_def *f, hw_palm *out)
{
    double middle = 0.5 * (f->digit[1].knuckle.y + f->digit[4].knuckle.y);
    const double rises = on_arch(f->arch_radius, middle, middle);
    const double lower = f->deeper - fmin(rises, 0.5 * fmin(f->thickness, f->wrist_thickness));
    double across[HW_PALM_AROUND], up[HW_PALM_AROUND], crown = -INFINITY, face = INFINITY;
    for (int k = 0; k < HW_PALM_AROUND; k++) {
        across[k] = rounded(cos(2 * HW_PI * k / HW_PALM_AROUND), 0.6);
        up[k] = rounded(sin(2 * HW_PI * k / HW_PALM_AROUND), 0.6);
    }
    for (int s = 0; s < HW_PALM_SECTIONS; s++) {
        double along = (double)s / (HW_PALM_SECTIONS - 1);
        // the hand is as broad as it gets two thirds of the way from the wrist
        double wide = fmin(1, 1.5 * along), flat = wide * wide * (3 - 2 * wide);
        double half = 0.5 * (f->wrist + (f->breadth - f->wrist) * flat);
        double deep = 0.5 * (f->wrist_thickness + (f->thickness - f->wrist_thickness) * along);
        for (int k = 0; k < HW_PALM_AROUND; k++) {
            double y = flat * middle + half * across[k];
            double rise = along * on_arch(f->arch_radius, y, middle);
            double z = f->back - deep + (deep + (up[k] < 0 ? lower : 0)) * up[k] + rise;
            out->outline[s][k] = (hw_vec3){along * front_at(f, y), y, z};
            crown = fmax(crown, z);
        }
        face = fmin(face, out->outline[s][3 * HW_PALM_AROUND / 4].z);
    }
    out->height = crown - face;
}

static void blank(hw_palm *out)
{
    const double none = (double)NAN;
    const hw_vec3 none3 = {none, none, none};
    *out = (hw_palm){.thumb_base = {none3, none3, none3, none3},
                     .opposition_at = none3,
                     .opposition_axis = none3,
                     .opposition = {none, none},
                     .length = none,
                     .breadth = none,
                     .thickness = none,
                     .deeper = none,
                     .height = none,
                     .back = none,
                     .setback = none,
                     .edge = none,
                     .arch_radius = none};
    for (int i = 0; i < HW_HAND_DIGITS; i++) {
        hw_palm_digit *d = &out->digit[i];
        *d = (hw_palm_digit){.knuckle = {none3, none3, none3, none3},
                             .splay_at = none3,
                             .splay_axis = none3,
                             .splay = {none, none},
                             .cord_at = none3,
                             .bar_at = none3,
                             .segment = {none, none, none},
                             .width = none,
                             .thickness = {none, none, none, none},
                             .travel = {none, none}};
    }
    for (int s = 0; s < HW_PALM_SECTIONS; s++)
        for (int k = 0; k < HW_PALM_AROUND; k++) out->outline[s][k] = none3;
}

hw_code hw_palm_of(const hw_palm_def *def, hw_palm *out)
{
    if (!sound(def)) {
        blank(out);
        return HW_BAD_INPUT;
    }
    *out = (hw_palm){.opposition = {def->opposition[0], def->opposition[1]},
                     .length = def->length,
                     .breadth = def->breadth,
                     .thickness = def->thickness + def->deeper,
                     .deeper = def->deeper,
                     .back = def->back,
                     .setback = def->setback,
                     .edge = def->edge,
                     .arch_radius = def->arch_radius};
    for (int i = 0; i < HW_HAND_DIGITS; i++) out->digit[i] = digit_of(&def->digit[i]);
    out->thumb_base = hw_palm_frame(
        def->digit[0].knuckle, (hw_palm_pointing){def->opposition_turn, def->opposition_rise, 0});
    out->opposition_at =
        hw_vec3_along(def->digit[0].knuckle, -def->opposition_behind, out->digit[0].knuckle.x);
    // right-handed about -x: from +y, the palm's plane, to -z, before the palm
    out->opposition_axis = hw_vec3_times(out->thumb_base.x, -1);
    outline(def, out);
    return HW_OK;
}

static void mirror_point(hw_vec3 *v)
{
    v->y = -v->y;
}

// Axes are turned as well: a mirror turns every rotation round.
static void mirror_axis(hw_vec3 *v)
{
    v->x = -v->x;
    v->z = -v->z;
}

static void mirror_frame(hw_frame *f)
{
    mirror_point(&f->at);
    mirror_point(&f->x);
    mirror_point(&f->z);
    mirror_axis(&f->y);
}

void hw_palm_mirror(hw_palm *palm)
{
    for (int i = 0; i < HW_HAND_DIGITS; i++) {
        hw_palm_digit *d = &palm->digit[i];
        mirror_frame(&d->knuckle);
        mirror_point(&d->splay_at);
        mirror_axis(&d->splay_axis);
        mirror_point(&d->cord_at);
        mirror_point(&d->bar_at);
    }
    mirror_frame(&palm->thumb_base);
    mirror_point(&palm->opposition_at);
    mirror_axis(&palm->opposition_axis);
    for (int s = 0; s < HW_PALM_SECTIONS; s++)
        for (int k = 0; k < HW_PALM_AROUND; k++) mirror_point(&palm->outline[s][k]);
}
