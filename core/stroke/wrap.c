// The wrap chart: cylinders in the corner of palm and digit. docs/derivations/wrap.md
#include "digit/outline.h"
#include "stroke/chart.h"

#include <math.h>

enum { REFINE = 60 }; // steps or golden sections: 0.618^60 = 3e-13

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

// The phalanges' round ends at a pose, in the digit frame.
typedef struct stance {
    hw_disc disc[HW_JOINTS][2];
} stance;

static void stand(const hw_digit *d, const hw_digit_pose *p, stance *out)
{
    *out = (stance){0};
    for (int i = 0; i < HW_JOINTS; i++) {
        double turned = hw_digit_turned(p, i), c = cos(turned), s = sin(turned);
        hw_phalanx_discs(d, i, out->disc[i]);
        for (int k = 0; k < 2; k++)
            out->disc[i][k].at = hw_add(p->at[i], hw_flex(out->disc[i][k].at, c, s));
    }
}

typedef struct place {
    hw_vec2 centre;
    double gap[HW_JOINTS];
} place;

// Puts the cylinder into its corner at a pose; returns the gap at the middle and distal phalanges.
static double put(const stance *at, double radius, place *out)
{
    hw_disc grown[2] = {at->disc[0][0], at->disc[0][1]};
    grown[0].radius += radius;
    grown[1].radius += radius;
    out->centre.z = -grown[0].radius;
    out->centre.x = leftmost(grown, out->centre.z);
    for (int i = 0; i < HW_JOINTS; i++)
        out->gap[i] = hw_discs_distance(at->disc[i], out->centre) - radius;
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
    stance at;
    *out = (place){.centre = {NAN, NAN}, .gap = {NAN, NAN, NAN}};
    if (q->family->pose(q->d, s, &p)) return NAN;
    stand(q->d, &p, &at);
    return put(&at, q->radius, out);
}

// Between a pose that is clear and one that is not: the place of touch, the clear side's end of
// what cannot be told apart any more left out. False position; an end that stays twice counts for
// less, by how much the other has come nearer (Anderson and Bjorck, A new high order method of
// regula falsi type, BIT 13, 1973, from memory), and three steps that have not halved the place do
// so.
static double touch(const search *q, double clear, double met, place *out)
{
    place here;
    double at[2] = {clear, met}, gap[2] = {gap_at(q, clear, &here), gap_at(q, met, out)};
    double wide = fabs(met - clear);
    int last = -1;
    for (int k = 0; k < REFINE; k++) {
        double span = at[1] - at[0], least = 1e-15 * (1 + fabs(at[1])) / fabs(span);
        if (!(least < 1)) break;
        double share = gap[0] / (gap[0] - gap[1]);
        if (k % 3 == 2) {
            if (!(fabs(span) < wide / 2)) share = 0.5;
            wide = fabs(span);
        }
        // NaN where a pose does not close
        if (!(gap[0] > gap[1])) share = 0.5;
        share = fmin(fmax(share, fmin(least / 2, 0.5)), 1 - fmin(least / 2, 0.5));
        double mid = at[0] + share * span;
        if (mid == at[0] || mid == at[1]) break;
        double found = gap_at(q, mid, &here);
        int end = found > 0 ? 0 : 1;
        if (end == last) {
            double nearer = 1 - found / gap[end];
            gap[1 - end] *= nearer > 0 ? nearer : 0.5;
        }
        at[end] = mid;
        gap[end] = found;
        if (end == 1) *out = here;
        last = end;
    }
    return at[1];
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

// One cylinder followed over the stroke, pose by pose.
typedef struct follower {
    search q;
    double at[3], gap[3]; // the last three poses and the gaps there
    size_t run;           // poses seen since the last that does not close
    bool any, done;
} follower;

static hw_code follow_begin(const hw_digit *d, double diameter, follower *f, hw_wrap *out)
{
    *out = (hw_wrap){diameter, -1, NAN, {NAN, NAN, NAN}, {NAN, NAN}};
    *f = (follower){.q = {d, hw_digit_family_of(d->family), diameter / 2}};
    if (!f->q.family || !(diameter > 0) || !(d->tip_thickness > 0)) return HW_BAD_INPUT;
    for (int j = 0; j < HW_JOINTS; j++)
        if (!(d->thickness[j] > 0)) return HW_BAD_INPUT;
    return HW_OK;
}

// The next pose at stroke parameter s; NULL: it does not close.
static void follow_pose(follower *f, double s, const stance *at, hw_wrap *out)
{
    if (f->done) return;
    if (!at) {
        f->run = 0;
        return;
    }
    place p;
    double here = put(at, f->q.radius, &p);
    f->any = true;
    for (int k = 0; k < 2; k++) {
        f->at[k] = f->at[k + 1];
        f->gap[k] = f->gap[k + 1];
    }
    f->at[2] = s;
    f->gap[2] = here;
    f->run++;
    if (here <= 0) {
        double met = f->run > 1 ? touch(&f->q, f->at[1], s, &p) : s;
        note(out, met, &p, true);
        f->done = true;
    } else if (f->run > 2 && dipped(&f->q, f->at, f->gap, out)) {
        f->done = true;
    } else {
        note(out, s, &p, false);
    }
}

// Follows n cylinders at once, so that each pose is worked out once.
static hw_code follow_all(const hw_digit *d, const hw_stroke *s, follower f[], hw_wrap out[],
                          size_t n)
{
    for (size_t i = 0; i < s->n; i++) {
        hw_digit_pose p;
        stance at;
        bool closes = hw_stroke_pose(d, s, i, &p) == HW_OK;
        if (closes) stand(d, &p, &at);
        for (size_t k = 0; k < n; k++) follow_pose(&f[k], s->s[i], closes ? &at : NULL, &out[k]);
    }
    return f[0].any ? HW_OK : HW_NO_ASSEMBLY;
}

hw_code hw_wrap_of(const hw_digit *d, const hw_stroke *s, double diameter, hw_wrap *out)
{
    follower f;
    hw_code code = follow_begin(d, diameter, &f, out);
    return code ? code : follow_all(d, s, &f, out, 1);
}

hw_code hw_wrap_chart_of(const hw_digit *d, const hw_stroke *s, hw_wrap_chart *out)
{
    follower f[HW_WRAP_SIZES];
    hw_wrap one[HW_WRAP_SIZES];
    hw_code code = HW_OK;
    for (int k = 0; k < HW_WRAP_SIZES; k++) {
        hw_code bad = follow_begin(d, 0.01 * (k + 1), &f[k], &one[k]);
        if (bad) code = bad;
    }
    if (code == HW_OK) code = follow_all(d, s, f, one, HW_WRAP_SIZES);
    for (int k = 0; k < HW_WRAP_SIZES; k++) {
        out->diameter[k] = one[k].diameter;
        out->first[k] = one[k].first;
        out->at_s[k] = one[k].at_s;
        out->centre[k] = one[k].centre;
        for (int j = 0; j < HW_JOINTS; j++) out->gap[k][j] = one[k].gap[j];
    }
    return code;
}
