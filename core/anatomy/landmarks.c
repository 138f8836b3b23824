// Joint centres made into the hand's frame, the digits' frames and lengths, and how sure they are.
#include "anatomy/scan_internal.h"

#include <math.h>

enum { MIDDLE = 2 };
static const double PALM = 0.446;     // wrist to middle knuckle over length, as in shape.c
static const double PALM_OFF = 0.033; // its deviation among people: palm 0.603 +- 0.020, ANSUR II
static const double SPAN = 0.252 + 0.402; // index to little knuckle over breadth, as in shape.c
static const double SPAN_OFF = 0.05;      // own estimate
static const double ROLL_OFF = 0.2; // of a flexion axis that shows no bend, own estimate [rad]
static const double NORMAL_95 = 1.959963984540054;

// Everything that has an interval, as one row of numbers.
enum {
    V_SEGMENT,
    V_BEND = V_SEGMENT + HW_SEGMENTS,
    V_POINTING = V_BEND + HW_SEGMENTS,
    V_AXIS,
    V_DIGIT_VALUES = V_AXIS + 3
};
enum {
    V_LENGTH,
    V_CURVATURE,
    V_DIGITS,
    V_MARKS = V_DIGITS + HW_HAND_DIGITS * V_DIGIT_VALUES,
    V_ALL = V_MARKS + 3 * HW_MARKS
};

typedef struct values {
    hw_frame hand;
    bool left;
    double arch_rms, axis_rms[HW_HAND_DIGITS]; // [m]
    hw_frame knuckle[HW_HAND_DIGITS];
    double v[V_ALL];
} values;

typedef struct maker {
    const hw_scanner *s;
    double scale;         // [m]
    hw_vec3 at[HW_MARKS]; // centres in the mesh's frame [m]
    hw_vec3 back;         // out of the back of the hand, roughly
    hw_axis_from from[HW_HAND_DIGITS];
} maker;

static bool known(const maker *k, int mark)
{
    return k->s->mark[mark].known;
}

// ---- the hand ---------------------------------------------------------------------------------

static void find_hand(const maker *k, values *out)
{
    hw_frame *f = &out->hand;
    hw_vec3 across = hw_vec3_sub(k->at[hw_mark_of(1, 0)], k->at[hw_mark_of(4, 0)]);
    f->at = k->at[HW_MARK_WRIST];
    f->x = hw_vec3_way(hw_vec3_sub(k->at[hw_mark_of(MIDDLE, 0)], f->at));
    f->y = hw_vec3_way(hw_vec3_along(across, -hw_vec3_dot(across, f->x), f->x));
    f->z = hw_vec3_cross(f->x, f->y);
    out->left = hw_vec3_dot(f->z, k->back) < 0;
    if (out->left) f->z = hw_vec3_times(f->z, -1);
}

static double length_of(const maker *k, const hw_vec3 at[HW_MARKS])
{
    double sum = hw_vec3_norm(at[hw_mark_of(MIDDLE, 0)]);
    for (int i = 1; i < 4; i++) {
        int mark = hw_mark_of(MIDDLE, i);
        if (!known(k, mark)) return hw_vec3_norm(at[hw_mark_of(MIDDLE, 0)]) / PALM;
        sum += hw_vec3_norm(hw_vec3_sub(at[mark], at[mark - 1]));
    }
    return sum;
}

// 1 / radius of the circle through the knuckles seen along the fingers; 0 where they are straight.
static double curvature_of(const maker *k, const hw_vec3 at[HW_MARKS], double *rms) // [1/m] [m]
{
    hw_vec2 p[4];
    size_t n = 0;
    double mean = 0;
    for (int d = 1; d < HW_HAND_DIGITS; d++) {
        int mark = hw_mark_of(d, 0);
        if (!known(k, mark)) continue;
        p[n++] = (hw_vec2){at[mark].y, at[mark].z};
        mean += at[mark].z;
    }
    hw_circle_fit c;
    *rms = (double)NAN;
    if (n < 3) return (double)NAN;
    if (hw_circle_fit_of(p, n, &c) != HW_OK) return 0;
    if (n > 3) *rms = c.rms;
    return (c.centre.z < mean / (double)n ? 1 : -1) / c.radius;
}

// ---- digits -----------------------------------------------------------------------------------

// Square to the plane of a bent digit, toward `like`.
static hw_vec3 plane_axis(const maker *k, const hw_vec3 at[HW_MARKS], int digit, hw_vec3 like,
                          double *rms) // [m]
{
    hw_vec3 p[4];
    size_t n = 0;
    hw_plane_fit fit;
    for (int i = 0; i < 4; i++)
        if (known(k, hw_mark_of(digit, i))) p[n++] = at[hw_mark_of(digit, i)];
    *rms = (double)NAN;
    if (hw_plane_fit_of(p, n, &fit) != HW_OK) return fit.frame.z;
    if (n > 3) *rms = fit.rms;
    return hw_vec3_dot(fit.frame.z, like) < 0 ? hw_vec3_times(fit.frame.z, -1) : fit.frame.z;
}

static double angle_about(hw_vec3 a, hw_vec3 b, hw_vec3 y) // [rad]
{
    return atan2(hw_vec3_dot(hw_vec3_cross(a, b), y), hw_vec3_dot(a, b));
}

// The way from a joint to the next mark of its digit; no length where one is unknown.
static hw_vec3 segment(const maker *k, const hw_vec3 at[HW_MARKS], int digit, int i)
{
    int mark = hw_mark_of(digit, i);
    const hw_vec3 none = {NAN, NAN, NAN};
    return known(k, mark) && known(k, mark + 1) ? hw_vec3_sub(at[mark + 1], at[mark]) : none;
}

static hw_frame finger_frame(hw_vec3 at, hw_vec3 y)
{
    // x in the palm's plane: where the finger points once its knuckle is straight
    hw_frame f = {.at = at, .y = y, .x = hw_vec3_way((hw_vec3){y.y, -y.x, 0})};
    f.z = hw_vec3_cross(f.x, f.y);
    return f;
}

static void find_finger(const maker *k, const hw_vec3 at[HW_MARKS], int d, values *out, double *v)
{
    const hw_vec3 across = {0, 1, 0};
    hw_vec3 first = segment(k, at, d, 0), y = hw_vec3_way((hw_vec3){-first.y, first.x, 0});
    if (k->from[d] == HW_AXIS_BENT) y = plane_axis(k, at, d, across, &out->axis_rms[d]);
    hw_frame *f = &out->knuckle[d];
    *f = finger_frame(at[hw_mark_of(d, 0)], y);
    v[V_BEND] = atan2(-hw_vec3_dot(first, f->z), hw_vec3_dot(first, f->x));
    v[V_POINTING] = atan2(f->x.y, f->x.x);
}

static void find_thumb(const maker *k, const hw_vec3 at[HW_MARKS], values *out, double *v)
{
    hw_vec3 first = segment(k, at, 0, 0), next = segment(k, at, 0, 1), last = segment(k, at, 0, 2);
    hw_vec3 turn = hw_vec3_cross(first, next), turn_last = hw_vec3_cross(next, last);
    // two bends may cancel: the larger one says which way flexion is
    if (!(hw_vec3_norm(turn) >= hw_vec3_norm(turn_last))) turn = turn_last;
    const hw_vec3 none = {NAN, NAN, NAN};
    hw_frame *f = &out->knuckle[0];
    *f = (hw_frame){.at = at[hw_mark_of(0, 0)], .x = hw_vec3_way(first), .y = none, .z = none};
    v[V_POINTING] = atan2(first.y, first.x);
    v[V_BEND] = (double)NAN; // of a base whose straight pose is not known
    if (k->from[0] != HW_AXIS_BENT) return;
    hw_vec3 y = plane_axis(k, at, 0, turn, &out->axis_rms[0]);
    f->y = hw_vec3_way(hw_vec3_along(y, -hw_vec3_dot(y, f->x), f->x));
    f->z = hw_vec3_cross(f->x, f->y);
}

static void find_digit(const maker *k, const hw_vec3 at[HW_MARKS], int d, values *out)
{
    double *v = &out->v[V_DIGITS + d * V_DIGIT_VALUES];
    out->axis_rms[d] = (double)NAN;
    if (d == 0)
        find_thumb(k, at, out, v);
    else
        find_finger(k, at, d, out, v);
    hw_vec3 y = out->knuckle[d].y, last = {NAN, NAN, NAN};
    for (int i = 0; i < HW_SEGMENTS; i++) {
        hw_vec3 here = segment(k, at, d, i);
        v[V_SEGMENT + i] = hw_vec3_norm(here);
        if (i > 0 && !isnan(y.x)) v[V_BEND + i] = angle_about(last, here, y);
        if (i > 0 && isnan(y.x))
            v[V_BEND + i] =
                acos(fmax(-1, fmin(1, hw_vec3_dot(hw_vec3_way(last), hw_vec3_way(here)))));
        last = here;
    }
    v[V_AXIS] = y.x;
    v[V_AXIS + 1] = y.y;
    v[V_AXIS + 2] = y.z;
}

static void compute(const maker *k, values *out)
{
    hw_vec3 at[HW_MARKS];
    find_hand(k, out);
    for (int m = 0; m < HW_MARKS; m++) {
        at[m] = hw_frame_seen(&out->hand, k->at[m]);
        out->v[V_MARKS + 3 * m] = at[m].x;
        out->v[V_MARKS + 3 * m + 1] = at[m].y;
        out->v[V_MARKS + 3 * m + 2] = at[m].z;
    }
    out->v[V_LENGTH] = length_of(k, at);
    out->v[V_CURVATURE] = curvature_of(k, at, &out->arch_rms);
    for (int d = 0; d < HW_HAND_DIGITS; d++) find_digit(k, at, d, out);
}

// Which digits are bent enough to show their axes.
static void find_bent(maker *k)
{
    for (int d = 0; d < HW_HAND_DIGITS; d++) {
        hw_vec3 a = segment(k, k->at, d, 0), b = segment(k, k->at, d, 1);
        hw_vec3 c = segment(k, k->at, d, 2);
        double bend[2] = {hw_vec3_dot(hw_vec3_way(a), hw_vec3_way(b)),
                          hw_vec3_dot(hw_vec3_way(b), hw_vec3_way(c))};
        bool bent = bend[0] <= cos(k->s->def.bend) || bend[1] <= cos(k->s->def.bend);
        bool any = !isnan(a.x);
        k->from[d] = bent ? HW_AXIS_BENT : any && d > 0 ? HW_AXIS_ASSUMED : HW_AXIS_UNKNOWN;
    }
}

// ---- how sure ---------------------------------------------------------------------------------

// Half a difference, the short way round for angles.
static double half_way(double a, double b, bool angle)
{
    double d = 0.5 * (a - b);
    if (angle && d > HW_PI / 2) d -= HW_PI;
    if (angle && d < -HW_PI / 2) d += HW_PI;
    return d;
}

static bool is_angle(int i)
{
    if (i < V_DIGITS || i >= V_MARKS) return false;
    int k = (i - V_DIGITS) % V_DIGIT_VALUES;
    return k >= V_BEND && k <= V_POINTING;
}

// Variances of all values: what one standard deviation of each coordinate moves them by.
static void spread(maker *k, double variance[V_ALL])
{
    values up, down;
    for (int i = 0; i < V_ALL; i++) variance[i] = 0;
    for (int m = 0; m < HW_MARKS; m++) {
        const hw_mark *mark = &k->s->mark[m];
        if (!mark->known) continue;
        const hw_vec3 way[3] = {mark->along, mark->across, mark->deep};
        const hw_vec3 here = k->at[m];
        for (int c = 0; c < 3; c++) {
            double step = mark->sd[c] * k->scale;
            k->at[m] = hw_vec3_along(here, step, way[c]);
            compute(k, &up);
            k->at[m] = hw_vec3_along(here, -step, way[c]);
            compute(k, &down);
            k->at[m] = here;
            for (int i = 0; i < V_ALL; i++) {
                double d = half_way(up.v[i], down.v[i], is_angle(i));
                variance[i] += d * d;
            }
        }
    }
}

static hw_with with(double value, double variance) // [1] [1]
{
    return (hw_with){value, NORMAL_95 * sqrt(variance)};
}

// ---- breadth ----------------------------------------------------------------------------------

// From a knuckle sideways to the palm's edge. [m]
static double to_edge(const maker *k, const hw_frame *hand, int mark, double sign)
{
    hw_vec3 from = hw_vec3_times(k->at[mark], 1 / k->scale);
    double most = 0.12 * k->s->size;
    return k->scale * hw_scan_bundle(k->s, from, hw_vec3_times(hand->y, sign), most);
}

static void find_breadth(const maker *k, const values *now, double length, hw_scan *out) // [m]
{
    int index = hw_mark_of(1, 0), little = hw_mark_of(4, 0);
    double span = now->v[V_MARKS + 3 * index + 1] - now->v[V_MARKS + 3 * little + 1];
    double edges = to_edge(k, &now->hand, index, 1) + to_edge(k, &now->hand, little, -1);
    out->breadth_whole = isfinite(edges);
    if (out->breadth_whole)
        out->breadth =
            (hw_with){span + edges, NORMAL_95 * hypot(0.005 * length, k->s->def.noise * k->scale)};
    else
        out->breadth = (hw_with){span / SPAN, NORMAL_95 * SPAN_OFF * span / SPAN};
}

// ---- results ----------------------------------------------------------------------------------

static hw_vec3 seen(const hw_frame *hand, hw_vec3 direction)
{
    return (hw_vec3){hw_vec3_dot(direction, hand->x), hw_vec3_dot(direction, hand->y),
                     hw_vec3_dot(direction, hand->z)};
}

static void put_marks(const maker *k, const values *now, const double variance[V_ALL],
                      hw_scan *out) // [1]
{
    for (int m = 0; m < HW_MARKS; m++) {
        hw_mark *to = &out->mark[m];
        *to = k->s->mark[m];
        if (!to->known) continue;
        const double *at = &now->v[V_MARKS + 3 * m], *var = &variance[V_MARKS + 3 * m];
        to->at = (hw_vec3){at[0], at[1], at[2]};
        to->along = seen(&now->hand, to->along);
        to->across = seen(&now->hand, to->across);
        to->deep = seen(&now->hand, to->deep);
        to->thickness *= k->scale;
        for (int c = 0; c < 3; c++) {
            to->sd[c] *= k->scale;
            to->off[c] = NORMAL_95 * sqrt(var[c]);
        }
        for (int face = 0; face < HW_FACES; face++) {
            to->skin[face] = hw_frame_seen(&now->hand, hw_vec3_times(to->skin[face], k->scale));
            to->lifted[face] *= k->scale;
        }
    }
}

// What a finger's pointing is uncertain by besides where its axis is assumed square to the first
// segment and level: rolled by some angle, a bent segment leans aside by that angle times the
// bend's tangent. Fingers converge by 9 to 19 degrees when bent, their arch rolls the outer ones
// besides (ROLL_OFF is our own choice from that). [rad^2]
static double of_roll(double bend) // [rad]
{
    const double lean = ROLL_OFF * tan(fmin(fabs(bend), 1.4));
    return lean * lean;
}

static void put_digit(const maker *k, const values *now, const double variance[V_ALL], int d,
                      hw_scan_digit *out) // [1]
{
    const int first = V_DIGITS + d * V_DIGIT_VALUES, at = V_MARKS + 3 * hw_mark_of(d, 0);
    const double *v = &now->v[first], *var = &variance[first];
    const double none = (double)NAN;
    for (int i = 0; i < HW_SEGMENTS; i++) {
        out->segment[i] = with(v[V_SEGMENT + i], var[V_SEGMENT + i]);
        out->bend[i] = with(v[V_BEND + i], var[V_BEND + i]);
    }
    const bool level = k->from[d] == HW_AXIS_ASSUMED; // never the thumb
    out->pointing = with(v[V_POINTING], var[V_POINTING] + (level ? of_roll(v[V_BEND]) : 0));
    out->knuckle = now->knuckle[d];
    out->axis = k->from[d];
    out->axis_rms = now->axis_rms[d];
    bool bent = out->axis == HW_AXIS_BENT;
    out->axis_off = bent ? NORMAL_95 * sqrt(var[V_AXIS] + var[V_AXIS + 1] + var[V_AXIS + 2]) : none;
    bool has = known(k, hw_mark_of(d, 0));
    const hw_vec3 nowhere = {NAN, NAN, NAN};
    if (!has) out->knuckle.at = nowhere;
    for (int c = 0; c < 3; c++) out->at_off[c] = has ? NORMAL_95 * sqrt(variance[at + c]) : none;
}

static hw_code check_side(const hw_scanner *s, bool left)
{
    hw_scan_side side = left ? HW_SCAN_LEFT : HW_SCAN_RIGHT;
    if (s->picks->side == HW_SCAN_ANY || s->picks->side == side) return HW_OK;
    return hw_scan_say(s, HW_BAD_INPUT, s->picks->side_line,
                       left ? "picks of a left hand" : "picks of a right hand",
                       left ? "a right hand" : "a left hand",
                       "the side is another one, the mesh is mirrored, or dorsal and palmar are "
                       "exchanged",
                       NULL);
}

hw_code hw_scan_landmarks(hw_scanner *s, hw_scan *out)
{
    maker k = {.s = s, .scale = out->scale};
    for (int m = 0; m < HW_MARKS; m++) {
        k.at[m] = hw_vec3_times(s->mark[m].at, k.scale);
        if (s->mark[m].known && m != HW_MARK_WRIST && (m - 1) % 4 != 3 && m > 4)
            k.back = hw_vec3_add(k.back, s->mark[m].deep);
    }
    values now;
    double variance[V_ALL];
    find_bent(&k);
    compute(&k, &now);
    spread(&k, variance);
    hw_code code = check_side(s, now.left);
    if (code != HW_OK) return code;
    out->left = now.left;
    out->hand = now.hand;
    out->length = with(now.v[V_LENGTH], variance[V_LENGTH]);
    out->length_whole = true;
    for (int i = 1; i < 4; i++)
        out->length_whole = out->length_whole && known(&k, hw_mark_of(MIDDLE, i));
    if (!out->length_whole)
        out->length.off = hypot(out->length.off, NORMAL_95 * PALM_OFF * out->length.value);
    out->curvature = with(now.v[V_CURVATURE], variance[V_CURVATURE]);
    out->arch_rms = now.arch_rms;
    find_breadth(&k, &now, out->length.value, out);
    put_marks(&k, &now, variance, out);
    for (int d = 0; d < HW_HAND_DIGITS; d++) put_digit(&k, &now, variance, d, &out->digit[d]);
    return HW_OK;
}
