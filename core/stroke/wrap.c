// The wrap chart: cylinders in the corner of palm and digit. docs/derivations/wrap.md
#include "digit/outline.h"
#include "stroke/chart.h"

#include <math.h>

enum { REFINE = 60 }; // halvings or golden sections: 2^-60 of a step, 0.618^60 = 3e-13

// The smallest x of the line `z` inside the hull of two discs; INFINITY where it passes by. The
// first disc touches the line from above: its point is given, since a root would lose half the
// digits there.
static double leftmost(const hw_disc disc[2], double z)
{
    double least = disc[0].at.x;
    double rise = z - disc[1].at.z, r = disc[1].radius;
    if (fabs(rise) <= r) least = fmin(least, disc[1].at.x - sqrt(r * r - rise * rise));
    hw_vec2 along = hw_sub(disc[1].at, disc[0].at);
    double length = hw_norm(along);
    double sine = (disc[0].radius - disc[1].radius) / length;
    if (!(fabs(sine) < 1)) return least; // one inside the other: no common tangent
    double cosine = sqrt(1 - sine * sine);
    for (int side = -1; side <= 1; side += 2) {
        double k = side * cosine;
        hw_vec2 normal = {(along.x * sine - along.z * k) / length,
                          (along.z * sine + along.x * k) / length};
        hw_vec2 a = hw_add(disc[0].at, hw_scale(normal, disc[0].radius));
        hw_vec2 b = hw_add(disc[1].at, hw_scale(normal, disc[1].radius));
        if ((a.z - z) * (b.z - z) < 0)
            least = fmin(least, a.x + (b.x - a.x) * (z - a.z) / (b.z - a.z));
    }
    return least;
}

typedef struct place {
    hw_vec2 centre;
    double gap[HW_JOINTS];
} place;

// Puts the cylinder into its corner at a pose; returns the gap at the middle and distal phalanges.
static double put(const hw_digit *d, const hw_digit_pose *p, double radius, place *out)
{
    hw_disc disc[2];
    for (int i = 0; i < HW_JOINTS; i++) {
        hw_phalanx_discs(d, i, disc);
        for (int k = 0; k < 2; k++) disc[k].at = hw_digit_point(p, i, disc[k].at);
        if (i == 0) {
            hw_disc grown[2] = {disc[0], disc[1]};
            grown[0].radius += radius;
            grown[1].radius += radius;
            out->centre.z = -grown[0].radius;
            out->centre.x = leftmost(grown, out->centre.z);
        }
        out->gap[i] = hw_discs_distance(disc, out->centre) - radius;
    }
    return fmin(out->gap[1], out->gap[2]);
}

typedef struct search {
    const hw_digit *d;
    const hw_digit_family *family;
    double radius;
} search;

static double gap_at(const search *q, double s, place *out)
{
    hw_digit_pose p;
    *out = (place){.centre = {NAN, NAN}, .gap = {NAN, NAN, NAN}};
    if (q->family->pose(q->d, s, &p)) return NAN;
    return put(q->d, &p, q->radius, out);
}

// Between a pose that is clear and one that is not: the place of touch.
static double touch(const search *q, double clear, double met, place *out)
{
    for (int k = 0; k < REFINE; k++) {
        double mid = clear + (met - clear) / 2;
        if (gap_at(q, mid, out) > 0)
            clear = mid;
        else
            met = mid;
    }
    gap_at(q, met, out);
    return met;
}

// The least gap of a dip between two poses, by golden sections.
static double bottom(const search *q, double low, double high, double *at)
{
    const double golden = 0.6180339887498949;
    place scratch;
    double a = high - golden * (high - low), b = low + golden * (high - low);
    double at_a = gap_at(q, a, &scratch), at_b = gap_at(q, b, &scratch);
    for (int k = 0; k < REFINE; k++) {
        if (at_a <= at_b) {
            high = b;
            b = a;
            at_b = at_a;
            a = high - golden * (high - low);
            at_a = gap_at(q, a, &scratch);
        } else {
            low = a;
            a = b;
            at_a = at_b;
            b = low + golden * (high - low);
            at_b = gap_at(q, b, &scratch);
        }
    }
    *at = at_a <= at_b ? a : b;
    return fmin(at_a, at_b);
}

static void note(hw_wrap *out, double s, const place *p, bool met)
{
    out->at_s = s;
    out->centre = p->centre;
    for (int j = 0; j < HW_JOINTS; j++) out->gap[j] = p->gap[j];
    out->first = met ? (p->gap[1] <= p->gap[2] ? 1 : 2) : -1;
}

// Looks for a touch in the dip about the pose before the last one seen.
static bool dipped(const search *q, const double s[3], const double gap[3], hw_wrap *out)
{
    double at;
    place p;
    if (!(gap[1] < gap[0] && gap[1] < gap[2])) return false;
    if (bottom(q, s[0], s[2], &at) > 0) return false;
    double met = touch(q, s[0], at, &p);
    note(out, met, &p, true);
    return true;
}

hw_code hw_wrap_of(const hw_digit *d, const hw_stroke *s, double diameter, hw_wrap *out)
{
    *out = (hw_wrap){diameter, -1, NAN, {NAN, NAN, NAN}, {NAN, NAN}};
    search q = {d, hw_digit_family_of(d->family), diameter / 2};
    if (!q.family || !(diameter > 0) || !(d->tip_thickness > 0)) return HW_BAD_INPUT;
    for (int j = 0; j < HW_JOINTS; j++)
        if (!(d->thickness[j] > 0)) return HW_BAD_INPUT;
    double at[3] = {0}, gap[3] = {0};
    size_t run = 0; // poses seen since the last that does not close
    bool any = false;
    for (size_t i = 0; i < s->n; i++) {
        place p;
        double here = gap_at(&q, s->s[i], &p);
        if (isnan(here)) {
            run = 0;
            continue;
        }
        any = true;
        at[0] = at[1];
        at[1] = at[2];
        at[2] = s->s[i];
        gap[0] = gap[1];
        gap[1] = gap[2];
        gap[2] = here;
        run++;
        if (here <= 0) {
            double met = run > 1 ? touch(&q, at[1], at[2], &p) : at[2];
            note(out, met, &p, true);
            return HW_OK;
        }
        if (run > 2 && dipped(&q, at, gap, out)) return HW_OK;
        note(out, at[2], &p, false);
    }
    return any ? HW_OK : HW_NO_ASSEMBLY;
}

hw_code hw_wrap_chart_of(const hw_digit *d, const hw_stroke *s, hw_wrap_chart *out)
{
    hw_code worst = HW_OK;
    for (int k = 0; k < HW_WRAP_SIZES; k++) {
        hw_wrap one;
        hw_code code = hw_wrap_of(d, s, 0.01 * (k + 1), &one);
        if (code) worst = code;
        out->diameter[k] = one.diameter;
        out->first[k] = one.first;
        out->at_s[k] = one.at_s;
        out->centre[k] = one.centre;
        for (int j = 0; j < HW_JOINTS; j++) out->gap[k][j] = one.gap[j];
    }
    return worst;
}
