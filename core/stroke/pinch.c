// Creases of a digit: gaps, closing rates, forces. docs/derivations/pinch.md
#include "stroke/pinch.h"

#include "digit/outline.h"

#include <math.h>

enum { PALM = -1 }; // stands for a phalanx where the other part is the palm

static const struct {
    int inner, outer; // phalanges, PALM: the palm
    bool corner;      // they share a joint
    const char *finger, *thumb;
} creases[HW_CREASES] = {
    [HW_CREASE_KNUCKLE] = {PALM, 0, true, "between palm and proximal phalanx",
                           "between palm and metacarpal"},
    [HW_CREASE_PIP] = {0, 1, true, "between proximal and middle phalanx",
                       "between metacarpal and proximal phalanx"},
    [HW_CREASE_DIP] = {1, 2, true, "between middle and distal phalanx",
                       "between proximal and distal phalanx"},
    [HW_CREASE_FOLD] = {0, 2, false, "between distal and proximal phalanx",
                        "between distal phalanx and metacarpal"},
    [HW_CREASE_PALM_MIDDLE] = {PALM, 1, false, "between middle phalanx and palm",
                               "between proximal phalanx and palm"},
    [HW_CREASE_PALM_DISTAL] = {PALM, 2, false, "between distal phalanx and palm",
                               "between distal phalanx and palm"},
};

const char *hw_crease_name(const hw_digit *d, hw_crease c)
{
    if ((unsigned)c >= HW_CREASES) return "in no known crease";
    return d->thumb ? creases[c].thumb : creases[c].finger;
}

// A phalanx's hull in the digit frame, and the length and outward normal of its palmar face.
typedef struct limb {
    hw_disc disc[2];
    hw_vec2 normal;
    double face; // length of the straight part; infinite: the palm's [m]
} limb;

static limb limb_of(const hw_digit *d, const hw_digit_pose *p, int phalanx)
{
    limb l = {.normal = {0, -1}, .face = INFINITY};
    if (phalanx == PALM) {
        l.disc[0] = l.disc[1] = (hw_disc){{0, 0}, d->thickness[0] / 2};
        return l;
    }
    hw_phalanx_discs(d, phalanx, l.disc);
    double turned = hw_digit_turned(p, phalanx), c = cos(turned), s = sin(turned);
    double length = l.disc[1].at.x, narrowing = l.disc[0].radius - l.disc[1].radius;
    double sine = length > fabs(narrowing) ? narrowing / length : 0;
    double cosine = sqrt(1 - sine * sine);
    l.normal = hw_flex((hw_vec2){sine, -cosine}, c, s);
    l.face = length > fabs(narrowing) ? length * cosine : 0;
    for (int i = 0; i < 2; i++) l.disc[i].at = hw_add(p->at[phalanx], hw_flex(l.disc[i].at, c, s));
    return l;
}

// Two faces tangent to the disc about their joint. The finger touches both at this distance from
// where they touch that disc: its arm about the joint.
static void corner(const limb *inner, const limb *outer, int joint, hw_crease_pose *out)
{
    hw_vec2 a = inner->normal, b = outer->normal;
    double sine = a.z * b.x - a.x * b.z, cosine = hw_dot(a, b);
    if (!(sine > 0)) return; // straight or extended
    double half = sine / (1 + cosine), finger = HW_FINGER_LEAST / 2;
    double reach = outer->disc[0].radius + finger, arm = reach * half;
    if (!(arm <= fmin(inner->face, outer->face))) return;
    out->gap = 2 * HW_FINGER_DEPTH / half;
    out->closing[joint] = arm;
    out->at = hw_add(outer->disc[0].at, hw_scale(hw_add(a, b), reach / (1 + cosine)));
}

// Distance of a disc from the palmar face of a limb and the round end about its own joint. The
// normal points from the face to the disc. Infinite where the disc is not in front of it.
static double to_face(const limb *l, hw_disc disc, hw_vec2 *normal)
{
    hw_vec2 along = {-l->normal.z, l->normal.x}; // toward the tip where the normal is palmar
    hw_vec2 from = hw_sub(disc.at, l->disc[0].at);
    double x = hw_dot(from, along), off = hw_dot(from, l->normal);
    if (!(off > 0) || x > l->face) return INFINITY;
    *normal = l->normal;
    if (x >= 0) return off - l->disc[0].radius - disc.radius;
    double away = hw_norm(from);
    *normal = hw_scale(from, 1 / away);
    return away - l->disc[0].radius - disc.radius;
}

// The palm's face ends at the knuckle, and lies on the other side of it.
static double to_palm(double knuckle, hw_disc disc, hw_vec2 *normal)
{
    *normal = (hw_vec2){0, -1};
    return disc.at.x <= 0 && disc.at.z < 0 ? -disc.at.z - knuckle - disc.radius : (double)INFINITY;
}

// Two hulls are nearest at an end of one. The outer one's near end and the inner one's far end
// belong to the phalanx between the two, so the outer one's far end decides.
static void facing(const hw_digit_pose *p, const limb *inner, const limb *outer, int first,
                   int last, hw_crease_pose *out)
{
    hw_disc end = outer->disc[1];
    hw_vec2 n = {0, 0};
    double gap =
        isinf(inner->face) ? to_palm(inner->disc[0].radius, end, &n) : to_face(inner, end, &n);
    if (isinf(gap)) return;
    hw_vec2 touched = hw_sub(end.at, hw_scale(n, end.radius));
    out->gap = gap;
    out->at = hw_sub(touched, hw_scale(n, gap / 2));
    for (int j = first; j <= last; j++) {
        hw_vec2 arm = hw_sub(touched, p->at[j]);
        out->closing[j] = n.z * arm.x - n.x * arm.z;
    }
}

static void limbs_of(const hw_digit *d, const hw_digit_pose *p, limb limbs[HW_JOINTS + 1])
{
    for (int i = PALM; i < HW_JOINTS; i++) limbs[i + 1] = limb_of(d, p, i);
}

static void crease_at(const hw_digit_pose *p, const limb limbs[HW_JOINTS + 1], hw_crease c,
                      hw_crease_pose *out)
{
    *out = (hw_crease_pose){.gap = INFINITY, .closing = {0, 0, 0}, .at = {NAN, NAN}};
    if ((unsigned)c >= HW_CREASES) return;
    int in = creases[c].inner, to = creases[c].outer;
    if (creases[c].corner)
        corner(&limbs[in + 1], &limbs[to + 1], to, out);
    else
        facing(p, &limbs[in + 1], &limbs[to + 1], in + 1, to, out);
}

void hw_crease_of(const hw_digit *d, const hw_digit_pose *p, hw_crease c, hw_crease_pose *out)
{
    limb limbs[HW_JOINTS + 1] = {0};
    limbs_of(d, p, limbs);
    crease_at(p, limbs, c, out);
}

static bool rests(const hw_digit *d, const hw_digit_pose *p, int joint)
{
    double open = d->joint_travel[joint][0], closed = d->joint_travel[joint][1];
    return p->joint[joint] - open <= 1e-9 * fabs(closed - open);
}

double hw_crease_force(const hw_digit *d, const hw_digit_pose *p, const hw_crease_pose *c,
                       const double torque[HW_JOINTS])
{
    if (d->family == HW_FAMILY_COUPLED_BARS) {
        double closing = 0; // per radian of the knuckle
        for (int j = 0; j < HW_JOINTS; j++) closing += c->closing[j] * p->rate[j];
        return closing > 0 ? fmax(torque[0], 0) / closing : 0;
    }
    double least = INFINITY;
    for (int j = 0; j < HW_JOINTS; j++)
        if (c->closing[j] > 0 && !rests(d, p, j))
            least = fmin(least, fmax(torque[j], 0) / c->closing[j]);
    return isinf(least) ? 0 : least;
}

// ---- over the stroke

static void raise(hw_pinch_peak *peak, double force, double gap, double s)
{
    if (force > peak->force) *peak = (hw_pinch_peak){force, gap, s};
}

// The force of one pose, and that of the place before it where the crease begins or ceases to
// count.
static void take(hw_pinch_peak *peak, const hw_pinch_moment *now, const hw_pinch_moment *before)
{
    if (now->room >= 0) raise(peak, now->force, now->gap, now->s);
    if (!before || (now->room >= 0) == (before->room >= 0)) return;
    if (!isfinite(now->gap) || !isfinite(before->gap)) return;
    if (!(now->force > 0) || !(before->force > 0)) return;
    double share = now->room / (now->room - before->room);
    raise(peak, now->force + share * (before->force - now->force),
          now->gap + share * (before->gap - now->gap), now->s + share * (before->s - now->s));
}

// A finger that is squeezed here has been touched where the gap was wider by what flesh yields, and
// is squeezed by as much again.
static void find_rooms(hw_pinch_moment m[], size_t n)
{
    double least = INFINITY, most = -INFINITY;
    for (size_t i = n; i-- > 0;) {
        least = fmin(least, m[i].gap);
        double band = fmin(m[i].gap - HW_FINGER_LEAST, HW_FINGER_MOST - m[i].gap);
        m[i].room = fmin(band, m[i].gap - least - HW_FINGER_YIELD);
        if (isinf(m[i].gap)) m[i].room = -INFINITY;
    }
    for (size_t i = 0; i < n; i++) {
        // what comes in from the side has not been touched before
        most = isinf(m[i].gap) ? (double)-INFINITY : fmax(most, m[i].gap);
        m[i].room = fmin(m[i].room, most - m[i].gap - HW_FINGER_YIELD);
    }
}

void hw_pinch_raise(hw_pinch_moment m[], size_t n, hw_pinch_peak *peak)
{
    find_rooms(m, n);
    for (size_t i = 0; i < n; i++) take(peak, &m[i], i ? &m[i - 1] : NULL);
}

hw_code hw_pinch_of(const hw_digit *d, const hw_stroke *s, const double *const torque[HW_JOINTS],
                    hw_pinch *out)
{
    *out = (hw_pinch){.worst = HW_CREASE_KNUCKLE};
    for (int c = 0; c < HW_CREASES; c++) out->peak[c] = (hw_pinch_peak){NAN, NAN, NAN};
    bool coupled = d->family == HW_FAMILY_COUPLED_BARS;
    if (!hw_digit_family_of(d->family) || !torque[0] || (!coupled && (!torque[1] || !torque[2])))
        return HW_BAD_INPUT;
    if (s->n > HW_PINCH_POSES) return HW_BAD_INPUT;
    hw_pinch_moment seen[HW_CREASES][HW_PINCH_POSES];
    size_t n = 0;
    for (size_t i = 0; i < s->n; i++) {
        hw_digit_pose p;
        if (hw_stroke_pose(d, s, i, &p)) continue;
        double here[HW_JOINTS] = {torque[0][i], 0, 0};
        for (int j = 1; j < HW_JOINTS && !coupled; j++) here[j] = torque[j][i];
        limb limbs[HW_JOINTS + 1] = {0};
        limbs_of(d, &p, limbs);
        for (int c = 0; c < HW_CREASES; c++) {
            hw_crease_pose at;
            crease_at(&p, limbs, (hw_crease)c, &at);
            seen[c][n] = (hw_pinch_moment){hw_crease_force(d, &p, &at, here), at.gap, s->s[i], 0};
        }
        n++;
    }
    if (!n) return HW_NO_ASSEMBLY;
    for (int c = 0; c < HW_CREASES; c++) {
        out->peak[c] = (hw_pinch_peak){0, NAN, NAN};
        hw_pinch_raise(seen[c], n, &out->peak[c]);
        if (out->peak[c].force > out->peak[out->worst].force) out->worst = (hw_crease)c;
    }
    return HW_OK;
}
