// The shape of a person's hand from its length and breadth.
#include "anatomy/anatomy.h"
#include "anatomy/shares.h"

#include <math.h>

#define DEG (HW_PI / 180)

// Lengths as shares of hand length: metacarpal, then the segments. A thumb's metacarpal is its
// first segment.
static const double share[HW_HAND_DIGITS][HW_SEGMENTS + 1] = {
    {HW_SHARE_THUMB_METACARPAL, HW_SHARE_THUMB_METACARPAL, HW_SHARE_THUMB_PROXIMAL,
     HW_SHARE_THUMB_DISTAL},
    {HW_SHARE_INDEX_METACARPAL, HW_SHARE_INDEX_PROXIMAL, HW_SHARE_INDEX_MIDDLE,
     HW_SHARE_INDEX_DISTAL},
    {HW_SHARE_MIDDLE_METACARPAL, HW_SHARE_MIDDLE_PROXIMAL, HW_SHARE_MIDDLE_MIDDLE,
     HW_SHARE_MIDDLE_DISTAL},
    {HW_SHARE_RING_METACARPAL, HW_SHARE_RING_PROXIMAL, HW_SHARE_RING_MIDDLE, HW_SHARE_RING_DISTAL},
    {HW_SHARE_LITTLE_METACARPAL, HW_SHARE_LITTLE_PROXIMAL, HW_SHARE_LITTLE_MIDDLE,
     HW_SHARE_LITTLE_DISTAL},
};

typedef struct bone {
    double mean, deviation; // [mm]
} bone;

// Buryanov & Kotiuk 2010, table I: segments on radiographs, and the soft tip beyond the last bone.
static const bone bones[HW_HAND_DIGITS][HW_SEGMENTS + 1] = {
    {{46.22, 3.94}, {31.57, 3.13}, {21.67, 1.60}, {5.67, 0.61}},
    {{39.78, 4.94}, {22.38, 2.51}, {15.82, 2.26}, {3.84, 0.59}},
    {{44.63, 3.81}, {26.33, 3.00}, {17.40, 1.85}, {3.95, 0.61}},
    {{41.37, 3.87}, {25.65, 3.29}, {17.30, 2.22}, {3.95, 0.60}},
    {{32.74, 2.77}, {18.11, 2.54}, {15.96, 2.45}, {3.73, 0.62}},
};

// First joints: axial as a share of hand length, sideways of breadth, toward the thumb positive.
static const double place[HW_HAND_DIGITS][2] = {{HW_AXIAL_THUMB, HW_ASIDE_THUMB},
                                                {HW_AXIAL_INDEX, HW_ASIDE_INDEX},
                                                {HW_AXIAL_MIDDLE, HW_ASIDE_MIDDLE},
                                                {HW_AXIAL_RING, HW_ASIDE_RING},
                                                {HW_AXIAL_LITTLE, HW_ASIDE_LITTLE}};

// Metacarpal beside metacarpal III, and the finger at rest beside its metacarpal; their sum less
// the middle finger's is where a finger points. Toward the thumb positive.
static const double fan[HW_HAND_DIGITS] = {0, 8.7 * DEG, 0, -6.0 * DEG, -15.5 * DEG};
static const double rest[HW_HAND_DIGITS] = {0, -15 * DEG, -6 * DEG, 0, 7 * DEG};

// Of the flesh, as shares of breadth; the thumb's middle column is its proximal phalanx.
static const double flesh[HW_HAND_DIGITS][HW_SEGMENTS] = {{0.438, 0.229, 0.212},
                                                          {0.229, 0.198, 0.176},
                                                          {0.216, 0.197, 0.180},
                                                          {0.203, 0.182, 0.168},
                                                          {0.183, 0.165, 0.149}};

static const hw_joint_range finger[HW_SEGMENTS] = {
    {-45 * DEG, 90 * DEG}, {0, 100 * DEG}, {0, 90 * DEG}};
static const hw_joint_range thumb[HW_SEGMENTS] = {
    {-20 * DEG, 15 * DEG}, {0, 50 * DEG}, {-20 * DEG, 80 * DEG}};

static const double ARCH = 5.0 / 88; // height over breadth: assumed, none was found published

// Share of its own mean by which a segment differs among people; the last has the soft tip with it.
static double variation(int digit, int segment) // [1]
{
    const bone *b = &bones[digit][segment];
    if (segment + 1 < HW_SEGMENTS) return b->deviation / b->mean;
    return hypot(b[0].deviation, b[1].deviation) / (b[0].mean + b[1].mean);
}

// Height of the arch, a circle through index and little finger at z = 0 with its crown between
// them, as far out as `y`; the radius comes from chord and height.
static double arch_at(double y, double breadth, double *radius) // [m] [m]
{
    double from = place[4][1] * breadth, to = place[1][1] * breadth;
    double half = 0.5 * (to - from), rise = ARCH * breadth, off = y - 0.5 * (from + to);
    *radius = half * half / (2 * rise) + rise / 2;
    return sqrt(*radius * *radius - off * off) - (*radius - rise);
}

static hw_frame knuckle_of(int digit, double length, double breadth, double crown) // [m]
{
    const double none = (double)NAN;
    double y = place[digit][1] * breadth, radius;
    hw_frame f = {.at = {place[digit][0] * length, y, 0}};
    f.x = f.y = f.z = (hw_vec3){none, none, none};
    if (digit == 0) return f;
    f.at.z = arch_at(y, breadth, &radius) - crown;
    double points = fan[digit] + rest[digit] - (fan[2] + rest[2]);
    f.x = (hw_vec3){cos(points), sin(points), 0};
    f.y = (hw_vec3){-sin(points), cos(points), 0};
    f.z = (hw_vec3){0, 0, 1};
    return f;
}

static void fill(hw_hand_shape *h, int digit, double crown) // [m]
{
    hw_digit_shape *d = &h->digit[digit];
    d->metacarpal = share[digit][0] * h->length;
    for (int i = 0; i < HW_SEGMENTS; i++) {
        d->segment[i] = share[digit][i + 1] * h->length;
        d->deviation[i] = variation(digit, i) * d->segment[i];
        d->thickness[i] = flesh[digit][i] * h->breadth;
        d->range[i] = digit == 0 ? thumb[i] : finger[i];
    }
    d->splay = (digit == 0 ? 70 : 20) * DEG;
    d->knuckle = knuckle_of(digit, h->length, h->breadth, crown);
}

hw_code hw_hand_shape_of(double length, double breadth, hw_hand_shape *out)
{
    bool ok = length > 0 && isfinite(length) && breadth > 0 && isfinite(breadth);
    const double none = (double)NAN;
    *out = (hw_hand_shape){.length = ok ? length : none, .breadth = ok ? breadth : none};
    // the middle finger's knuckle is where z begins
    double crown = arch_at(0, out->breadth, &out->arch_radius);
    for (int i = 0; i < HW_HAND_DIGITS; i++) fill(out, i, crown);
    return ok ? HW_OK : HW_BAD_INPUT;
}

void hw_hand_shape_mirror(hw_hand_shape *shape)
{
    for (int i = 0; i < HW_HAND_DIGITS; i++) {
        hw_frame *f = &shape->digit[i].knuckle;
        f->at.y = -f->at.y;
        f->x.y = -f->x.y;
        f->z.y = -f->z.y;
        // z cross x of the turned axes: y's own part along y keeps its sign
        f->y.x = -f->y.x;
        f->y.z = -f->y.z;
    }
}

hw_code hw_shape_off_of(const hw_digit_shape *person, const double segment[HW_SEGMENTS],
                        hw_shape_off *out)
{
    double square = 0;
    bool ok = true;
    *out = (hw_shape_off){.reach = 0};
    for (int i = 0; i < HW_SEGMENTS; i++) {
        ok = ok && segment[i] > 0 && isfinite(segment[i]) && person->deviation[i] > 0;
        out->segment[i] = segment[i] - person->segment[i];
        out->share[i] = out->segment[i] / person->deviation[i];
        out->reach += out->segment[i];
        square += out->share[i] * out->share[i];
    }
    out->rms = sqrt(square / HW_SEGMENTS);
    if (ok) return HW_OK;
    const double none = (double)NAN;
    *out = (hw_shape_off){{none, none, none}, {none, none, none}, none, none};
    return HW_BAD_INPUT;
}
