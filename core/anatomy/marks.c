// Joint centres from points on the skin: half way through a finger by its section, under the back
// where flesh is thick; moved by what middle lines of segments say of them.
#include "anatomy/scan_internal.h"

#include <math.h>
#include <stdlib.h>

enum { BUNDLE = 19 };

static const double ROOT2 = 1.4142135623730951, ROOT3 = 1.7320508075688772;

static int digit_of(int mark)
{
    return mark == HW_MARK_WRIST ? -1 : (mark - 1) / 4;
}
static int joint_of(int mark)
{
    return mark == HW_MARK_WRIST ? -1 : (mark - 1) % 4;
}
static bool is_tip(int mark)
{
    return joint_of(mark) == 3;
}
// In thick flesh: the four knuckles and the thumb's base.
static bool is_deep(int mark)
{
    return joint_of(mark) == 0;
}

static hw_vec3 turned(hw_vec3 a, hw_vec3 x) // what of `a` is square to x, as a unit vector
{
    return hw_vec3_way(hw_vec3_along(a, -hw_vec3_dot(a, x), x));
}

// ---- rays -------------------------------------------------------------------------------------

static int by_size(const void *left, const void *right)
{
    double a = *(const double *)left, b = *(const double *)right;
    return a < b ? -1 : a > b;
}

// Any two unit vectors square to `along`.
static void beside(hw_vec3 along, hw_vec3 *u, hw_vec3 *v)
{
    hw_vec3 far = fabs(along.x) < 0.6 ? (hw_vec3){1, 0, 0} : (hw_vec3){0, 1, 0};
    *u = turned(far, along);
    *v = hw_vec3_cross(along, *u);
}

double hw_scan_bundle(const hw_scanner *s, hw_vec3 from, hw_vec3 along, double most)
{
    double hit[BUNDLE];
    hw_vec3 u, v;
    size_t n = 0;
    beside(along, &u, &v);
    for (int k = 0; k < BUNDLE; k++) { // one, a ring of 6, a ring of 12: its own mirror image
        int ring = k == 0 ? 0 : k < 7 ? 1 : 2, of = ring == 1 ? 6 : 12;
        double r = 0.005 * s->size * ring, a = 2 * HW_PI * (k - (ring == 1 ? 1 : 7)) / of;
        hw_vec3 at = hw_vec3_along(hw_vec3_along(from, r * cos(a), u), r * sin(a), v);
        double d = hw_near_ray(s->near, at, along, 0.01 * s->size, most).distance;
        if (isfinite(d)) hit[n++] = d;
    }
    if (n < BUNDLE / 3) return (double)NAN;
    qsort(hit, n, sizeof *hit, by_size);
    return n & 1 ? hit[n / 2] : 0.5 * (hit[n / 2 - 1] + hit[n / 2]);
}

// ---- the skin's direction ---------------------------------------------------------------------

typedef struct facing {
    const hw_scanner *s;
    hw_vec3 at, sum;
    double radius;
} facing;

static bool add_normal(void *self, uint32_t tri)
{
    facing *f = self;
    hw_vec3 c[3];
    hw_near_corners(f->s->mesh, tri, c);
    hw_vec3 mid = hw_vec3_times(hw_vec3_add(hw_vec3_add(c[0], c[1]), c[2]), 1.0 / 3);
    hw_vec3 d = hw_vec3_sub(mid, f->at);
    double weight = 1 - hw_vec3_dot(d, d) / (f->radius * f->radius);
    if (weight > 0) f->sum = hw_vec3_along(f->sum, weight * f->s->sign, hw_near_normal(c));
    return true;
}

// Outward over a patch, since one rough triangle says little.
static hw_vec3 outward(const hw_scanner *s, hw_vec3 at)
{
    facing f = {s, at, {0, 0, 0}, 0.025 * s->size};
    hw_near_around(s->near, at, f.radius, add_normal, &f);
    return hw_vec3_way(f.sum);
}

// ---- one mark ---------------------------------------------------------------------------------

static hw_vec3 skin_middle(const hw_mark *m)
{
    if (!m->faces[HW_DORSAL]) return m->skin[HW_PALMAR];
    if (!m->faces[HW_PALMAR]) return m->skin[HW_DORSAL];
    return hw_vec3_times(hw_vec3_add(m->skin[HW_DORSAL], m->skin[HW_PALMAR]), 0.5);
}

// From one mark to another: by their centres once there are some, else on a face that both have.
static hw_vec3 way(const hw_scanner *s, int from, int to, bool centres)
{
    const hw_mark *a = &s->mark[from], *b = &s->mark[to];
    if (centres) return hw_vec3_way(hw_vec3_sub(b->at, a->at));
    for (int face = 0; face < HW_FACES; face++)
        if (a->faces[face] && b->faces[face] && !is_tip(to))
            return hw_vec3_way(hw_vec3_sub(b->skin[face], a->skin[face]));
    return hw_vec3_way(hw_vec3_sub(skin_middle(b), skin_middle(a)));
}

// Along the digit at a mark, half way between the segments on both sides; *half: of the bend
// there. False: nothing else of the digit is known.
static bool find_along(const hw_scanner *s, int mark, bool centres, hw_vec3 *out,
                       double *half) // [rad]
{
    int first = mark == HW_MARK_WRIST ? mark : hw_mark_of(digit_of(mark), 0);
    int before = mark - 1, after = mark + 1, last = first + 3;
    if (mark == HW_MARK_WRIST) after = last = hw_mark_of(2, 0);
    while (before >= first && !s->mark[before].known) before--;
    if (before < first && digit_of(mark) > 0) before = HW_MARK_WRIST;
    while (after < last && !s->mark[after].known) after++;
    bool has_before = mark != HW_MARK_WRIST && before >= 0 && s->mark[before].known;
    has_before = has_before && (before >= first || digit_of(mark) > 0);
    bool has_after = after <= last && s->mark[after].known;
    hw_vec3 a = has_before ? way(s, before, mark, centres) : (hw_vec3){0, 0, 0};
    hw_vec3 b = has_after ? way(s, mark, after, centres) : (hw_vec3){0, 0, 0};
    *half = 0;
    if (!has_before && !has_after) return false;
    *out = hw_vec3_way(hw_vec3_add(a, b));
    if (has_before && has_after) *half = 0.5 * acos(fmax(-1, fmin(1, hw_vec3_dot(a, b))));
    return isfinite(out->x);
}

// Directions at a mark, and half way through the flesh as the picks have it.
static bool find_frame(const hw_scanner *s, hw_mark *m, hw_vec3 *at)
{
    bool both = m->faces[HW_DORSAL] && m->faces[HW_PALMAR];
    int face = m->faces[HW_DORSAL] ? HW_DORSAL : HW_PALMAR;
    double up = face == HW_DORSAL ? 1 : -1;
    m->deep = both ? turned(hw_vec3_sub(m->skin[HW_DORSAL], m->skin[HW_PALMAR]), m->along)
                   : hw_vec3_times(turned(outward(s, m->skin[face]), m->along), up);
    m->across = hw_vec3_cross(m->deep, m->along);
    if (!isfinite(m->across.x)) return false;
    if (both) {
        m->thickness = hw_vec3_dot(hw_vec3_sub(m->skin[HW_DORSAL], m->skin[HW_PALMAR]), m->deep);
        *at = skin_middle(m);
        return true;
    }
    hw_vec3 in = hw_vec3_times(m->deep, -up);
    m->thickness = hw_scan_bundle(s, m->skin[face], in, 0.35 * s->size);
    *at = hw_vec3_along(m->skin[face], 0.5 * m->thickness, in);
    return isfinite(m->thickness);
}

static void find_tip(const hw_scanner *s, int mark, hw_mark *m)
{
    const hw_mark *dip = &s->mark[mark - 1];
    double round = dip->known && dip->thickness > 0 ? 0.45 * dip->thickness : 0.04 * s->size;
    // a pick beside the end of a ball lies lower by this
    double drop = s->def.pick * s->def.pick / (3 * round);
    m->thickness = (double)NAN;
    beside(m->along, &m->across, &m->deep);
    m->at = hw_vec3_along(m->skin[HW_DORSAL], drop, m->along);
    m->sd[0] = hypot(s->def.noise, drop);
    m->sd[1] = m->sd[2] = s->def.pick / ROOT2;
}

// `first`: the middle line of the segment that begins here; NULL: not to be used.
static void find_deep(const hw_scanner *s, hw_mark *m, hw_vec3 middle, const hw_middle *first)
{
    const hw_scan_def *d = &s->def;
    bool both = m->faces[HW_DORSAL] && m->faces[HW_PALMAR];
    double depth = fmin(d->depth, 0.5 * m->thickness), share = depth / m->thickness;
    // on the way from pick to pick, or under the only one
    hw_vec3 up =
        both ? hw_vec3_times(hw_vec3_sub(m->skin[HW_DORSAL], m->skin[HW_PALMAR]), 1 / m->thickness)
             : m->deep;
    m->at = hw_vec3_along(middle, 0.5 * m->thickness - depth, up);
    double pick = d->pick / ROOT2 * (both ? hypot(share, 1 - share) : 1);
    m->sd[0] = m->sd[1] = pick;
    m->sd[2] = hypot(hypot(d->flesh, d->depth - d->least) / ROOT3, d->noise);
    if (first) m->at = hw_vec3_along(m->at, hw_scan_prolonged(s, first, m, &m->sd[1]), m->across);
}

static void find_round(const hw_scanner *s, int mark, hw_mark *m, hw_vec3 middle,
                       double half, // [rad]
                       const hw_middle *line)
{
    const hw_scan_def *d = &s->def;
    bool both = m->faces[HW_DORSAL] && m->faces[HW_PALMAR];
    double pick = d->pick / (ROOT2 * (both ? ROOT2 : 1));
    hw_scan_ring ring;
    m->at = middle;
    m->sd[0] = pick;
    if (line) { // moved first, so that its section is that of its place
        middle = hw_vec3_along(middle, hw_scan_crossing(s, line, mark, m, &m->sd[0]), m->along);
        m->at = middle;
    }
    m->centred = true;
    for (int k = 0; k < 2 && m->centred; k++) {
        hw_frame f = {m->at, m->along, m->across, m->deep};
        m->centred = hw_scan_section(s, &f, 0.2 * s->size, &ring);
        if (!m->centred) break;
        m->at = ring.centre;
        m->thickness = ring.thick;
    }
    if (!m->centred) m->at = middle;
    // two tubes that meet at a bend are thicker in the crease by 1 / cos of half of it
    double crease = fmax(cos(half), 0.5), depth = m->thickness / (1 + 1 / crease);
    double shift = 0.5 * m->thickness - depth;
    m->at = hw_vec3_along(m->at, shift, m->deep);
    m->sd[1] = m->centred ? hypot(d->noise / 3, d->flesh / ROOT3 / 3) : pick;
    m->sd[2] = hypot(hypot(d->flesh / ROOT3, d->noise / 2), shift / 2);
}

static void find_wrist(const hw_scanner *s, hw_mark *m, hw_vec3 middle)
{
    bool both = m->faces[HW_DORSAL] && m->faces[HW_PALMAR];
    m->at = middle;
    m->sd[0] = m->sd[1] = s->def.pick / (ROOT2 * (both ? ROOT2 : 1));
    m->sd[2] = hypot(s->def.noise, 0.5 * s->def.flesh / ROOT3);
}

static hw_code lost(const hw_scanner *s, int mark, const char *what)
{
    const hw_pick *p = s->picks->pick[mark];
    int line = p[HW_DORSAL].line ? p[HW_DORSAL].line : p[HW_PALMAR].line;
    return hw_scan_say(s, HW_BAD_INPUT, line, NULL, what, "no flesh is found at ",
                       hw_mark_name(mark), NULL);
}

// `line`: all middle lines; NULL: there are no centres yet.
static hw_code find(hw_scanner *s, int mark, const hw_middle *line)
{
    hw_mark *m = &s->mark[mark], now = *m;
    double half;
    hw_vec3 middle;
    if (!find_along(s, mark, line != NULL, &now.along, &half))
        return lost(s, mark, "another mark of its digit");
    if (is_tip(mark)) {
        find_tip(s, mark, &now);
        *m = now;
        return HW_OK;
    }
    if (!find_frame(s, &now, &middle)) return lost(s, mark, "the other side of the mesh");
    if (mark == HW_MARK_WRIST)
        find_wrist(s, &now, middle);
    else if (is_deep(mark))
        // the thumb's first line is that of its ball, not of the bone in it
        find_deep(s, &now, middle, line && digit_of(mark) > 0 ? &line[mark] : NULL);
    else
        find_round(s, mark, &now, middle, half, line);
    *m = now;
    return HW_OK;
}

hw_code hw_scan_marks(hw_scanner *s)
{
    // twice: centres say better than skin which way a digit runs, and lie in its segments' ends
    for (int pass = 0; pass < 2; pass++) {
        hw_scanner before = *s; // so that no mark depends on the order of marks
        hw_middle line[HW_MARKS];
        if (pass > 0) hw_scan_middles(&before, line);
        for (int mark = 0; mark < HW_MARKS; mark++) {
            if (!s->mark[mark].known) continue;
            hw_scanner one = before;
            hw_code code = find(&one, mark, pass > 0 ? line : NULL);
            if (code != HW_OK) return code;
            s->mark[mark] = one.mark[mark];
        }
    }
    return HW_OK;
}
