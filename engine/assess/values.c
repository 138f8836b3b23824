// The value of each finding: one small function a row of the findings table, named by the row's id.
#include "assess/assess_internal.h"

#include "linkage/column.h"

#include <math.h>
#include <string.h>

enum { WRAP_FIRST = 2, WRAP_LAST = 6 }; // 30 to 70 mm of the chart

typedef hw_assess_subject subject;

static double larger(double a, double b)
{
    return b > a ? b : a;
} // NaN in b is ignored [any]
static double smaller(double a, double b)
{
    return b < a ? b : a;
} // [any]

static double closes(const subject *s)
{
    return s->got->closes;
}

static double transmission(const subject *s)
{
    double least = NAN;
    for (size_t i = 0; i < s->got->stroke.n; i++) {
        if (!s->got->stroke.ok[i]) return 0; // a dead point inside the travel
        for (int loop = 0; loop < 2; loop++) {
            double mu = s->got->stroke.transmission[loop][i];
            least =
                isnan(least) ? smaller(mu, HW_PI - mu) : smaller(least, smaller(mu, HW_PI - mu));
        }
    }
    return least;
}

static double natural_angle(const subject *s)
{
    return sqrt(0.5 * (s->got->closing.pip_rms * s->got->closing.pip_rms +
                       s->got->closing.dip_rms * s->got->closing.dip_rms));
}

static double tip_path(const subject *s)
{
    return s->got->closing.path_rms;
}

static double spiral(const subject *s)
{
    return s->got->closing.spiral_angle;
}

// Largest gap that a cylinder of 30 to 70 mm, on a hand of ordinary size, leaves at any phalanx
// when the first one touches. The range scales with the hand: the chart's cylinders do.
static double wrap_gap(const subject *s)
{
    double most = NAN;
    for (int i = WRAP_FIRST; i <= WRAP_LAST; i++) {
        if (s->got->wrap.first[i] < 0) continue;
        for (int j = 0; j < HW_JOINTS; j++) {
            double gap = s->got->wrap.gap[i][j];
            if (!isnan(gap)) most = isnan(most) ? gap : larger(most, gap);
        }
    }
    return most;
}

static double pip_pin_mid(const subject *s)
{
    return s->got->stroke.pin[1][s->got->stroke.n / 2];
}

static double pip_pin_worst(const subject *s)
{
    double most = 0;
    for (size_t i = 0; i < s->got->stroke.n; i++) {
        if (!s->got->stroke.ok[i]) return NAN;
        most = larger(most, s->got->stroke.pin[1][i]);
    }
    return most;
}

static double pin_load(const subject *s)
{
    double most = 0;
    for (int c = 0; c < HW_CASES; c++)
        for (int j = 0; j < HW_JOINTS; j++) most = larger(most, s->got->worst[c].pin[j].value);
    return most;
}

// Pin to pin length of a bar in the straight digit.
static double bar_length(const hw_digit *d, int bar) // [m]
{
    hw_vec2 horn = {d->bar[bar].horn * cos(d->bar[bar].horn_angle),
                    d->bar[bar].horn * sin(d->bar[bar].horn_angle)};
    hw_vec2 end = hw_add((hw_vec2){d->phalanx[bar], 0}, horn);
    return hw_norm(hw_sub(end, d->bar[bar].root));
}

static double bar_buckling(const subject *s)
{
    double most = 0;
    for (int bar = 0; bar < 2; bar++) {
        const hw_bar *b = &s->digit->bar[bar];
        hw_column_load one; // the weak axis of one twin; twins share the load
        if (hw_column_buckling(bar_length(s->digit, bar), b->width, b->depth_one, s->digit->modulus,
                               &one) != HW_OK)
            return NAN;
        double together = one.load * (b->depth / b->depth_one);
        for (int c = 0; c < HW_CASES; c++)
            most = larger(most, s->got->worst[c].push[bar].value / together);
    }
    return most;
}

static double bar_stress(const subject *s)
{
    double most = 0;
    for (int bar = 0; bar < 2; bar++) {
        const hw_bar *b = &s->digit->bar[bar];
        for (int c = 0; c < HW_CASES; c++) {
            double force =
                larger(s->got->worst[c].push[bar].value, s->got->worst[c].pull[bar].value);
            most = larger(most, force / (b->width * b->depth) / s->hand->strength);
        }
    }
    return most;
}

static double slop_pip(const subject *s)
{
    return s->got->slop.joint[1];
}

static double slop_dip(const subject *s)
{
    return s->got->slop.joint[2];
}

static double slop_tip(const subject *s)
{
    return s->got->slop.tip;
}

// A horn turns with its phalanx inside the joint's round end: horn and boss must lie within half of
// its thickness.
static double horn_room(const subject *s)
{
    double room = INFINITY;
    for (int bar = 0; bar < 2; bar++)
        room = smaller(room, 0.5 * s->digit->thickness[bar + 1] - s->digit->bar[bar].horn -
                                 s->digit->pivot_radius);
    return room;
}

static double stable_share(const subject *s)
{
    return s->got->stable_share;
}

static double least_contact(const subject *s)
{
    return s->got->least_contact;
}

static const hw_assess_row own_row[] = {
    {"closes", HW_FOR_ANY, false, closes},
    {"transmission", HW_FOR_BARS, false, transmission},
    {"natural_angle", HW_FOR_FINGER | HW_FOR_COUPLED, true, natural_angle},
    {"tip_path", HW_FOR_FINGER | HW_FOR_ANY, true, tip_path},
    {"spiral", HW_FOR_FINGER | HW_FOR_ANY, true, spiral},
    {"wrap_gap", HW_FOR_ANY, true, wrap_gap},
    {"pip_pin_mid", HW_FOR_BARS, true, pip_pin_mid},
    {"pip_pin_worst", HW_FOR_BARS, true, pip_pin_worst},
    {"pin_load", HW_FOR_ANY, true, pin_load},
    {"bar_buckling", HW_FOR_BARS, true, bar_buckling},
    {"bar_stress", HW_FOR_BARS, true, bar_stress},
    {"slop_pip", HW_FOR_BARS, true, slop_pip},
    {"slop_dip", HW_FOR_BARS, true, slop_dip},
    {"slop_tip", HW_FOR_ANY, true, slop_tip},
    {"horn_room", HW_FOR_BARS, false, horn_room},
    {"stable_share", HW_FOR_CORD, true, stable_share},
    {"least_contact", HW_FOR_CORD, true, least_contact},
};

static const hw_assess_row *find(const hw_assess_row *row, size_t n, const char *id)
{
    for (size_t i = 0; i < n; i++)
        if (strcmp(row[i].id, id) == 0) return &row[i];
    return NULL;
}

static const hw_assess_row *row_of(const hw_finding_kind *kind)
{
    const hw_assess_row *found = find(own_row, sizeof own_row / sizeof own_row[0], kind->id);
    if (!found) found = find(hw_assess_layers_row, hw_assess_layers_rows, kind->id);
    if (!found) found = find(hw_assess_drive_row, hw_assess_drive_rows, kind->id);
    if (!found) found = find(hw_assess_pivot_row, hw_assess_pivot_rows, kind->id);
    if (!found) found = find(hw_assess_shape_row, hw_assess_shape_rows, kind->id);
    if (!found) found = find(hw_assess_palm_row, hw_assess_palm_rows, kind->id);
    if (!found) found = find(hw_assess_touch_row, hw_assess_touch_rows, kind->id);
    return found ? found : find(hw_assess_gentle_row, hw_assess_gentle_rows, kind->id);
}

bool hw_assess_applies(const hw_hand *hand, int digit, const hw_finding_kind *kind)
{
    const hw_assess_row *row = row_of(kind);
    const hw_digit *d = &hand->digit[digit];
    if (!row) return true;
    if (d->thumb && (row->families & HW_FOR_FINGER)) return false;
    if ((row->families & HW_FOR_THUMBED) && !hand->present[HW_THUMB]) return false;
    if ((row->families & HW_FOR_STOPPED) && isinf(hand->drive[digit].servo_travel)) return false;
    const hw_fittings *held = &hand->fittings[digit];
    bool switched = hand->fitted[digit] && held->pulley && !isnan(held->carrier.home_room);
    bool horned = hand->fitted[digit] && !isnan(held->carrier.horn_room);
    if ((row->families & HW_FOR_SWITCHED) && !switched) return false;
    if ((row->families & HW_FOR_HORNED) && !horned) return false;
    return (row->families & 1u << d->family) != 0;
}

double hw_assess_value(const hw_hand *hand, int digit, const hw_digit_assessment *g,
                       const hw_finding_kind *kind)
{
    const hw_assess_row *row = row_of(kind);
    if (kind->unknown || !row || !hw_assess_applies(hand, digit, kind)) return NAN;
    if (row->needs_whole_stroke && !g->assembles) return NAN;
    subject s = {hand, digit, &hand->digit[digit], g};
    return row->value(&s);
}
