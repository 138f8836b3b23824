// The palm's skin from its outline, and small joiners of fields.
#include "parts/palm_internal.h"

#include <string.h>

const hw_frame hw_hand_axes = {{0, 0, 0}, {1, 0, 0}, {0, 1, 0}, {0, 0, 1}};

#define FLARE 0.97  // across a unit of height: a little less than 45 degrees [1]
#define FAR   100.0 // palms: beyond everything [1]

void hw_put(hw_tools *t, const hw_field *f)
{
    if (t->n < HW_TOOLS)
        t->f[t->n++] = f;
    else
        t->full = true;
}

const hw_field *hw_joined(hw_arena *a, const hw_tools *t)
{
    return t->full ? NULL : hw_field_union(a, t->f, t->n);
}

const hw_field *hw_less(hw_arena *a, const hw_field *body, const hw_tools *t)
{
    return t->n ? hw_field_cut(a, body, hw_joined(a, t)) : body;
}

const hw_field *hw_both(hw_arena *a, const hw_field *f, const hw_field *g)
{
    const hw_field *both[] = {f, g};
    return hw_field_meet(a, both, 2);
}

const hw_field *hw_block3(hw_arena *a, hw_box3 b)
{
    return hw_field_box(a, &hw_hand_axes, b.low, b.high);
}

const hw_field *hw_below(hw_arena *a, double z)
{
    return hw_field_half(a, hw_at(0, 0, z), hw_at(0, 0, 1));
}

const hw_field *hw_above(hw_arena *a, double z)
{
    return hw_field_half(a, hw_at(0, 0, z), hw_at(0, 0, -1));
}

hw_box3 hw_box_grown(hw_box3 b, double by)
{
    const hw_vec3 d = {by, by, by};
    return (hw_box3){hw_vec3_sub(b.low, d), hw_vec3_add(b.high, d)};
}

// The plan as the prism maker has it: x along x, z along y, drawn out along -z.
const hw_frame hw_plan_axes = {{0, 0, 0}, {1, 0, 0}, {0, 0, -1}, {0, 1, 0}};

const hw_field *hw_palm_slab(hw_arena *a, hw_box3 b, double radius)
{
    enum { QUARTER = 6 };
    hw_vec2 at[4 * (QUARTER + 1)];
    size_t n = 0;
    for (int q = 0; q < 4; q++) {
        double x = q == 0 || q == 3 ? b.high.x - radius : b.low.x + radius;
        double y = q < 2 ? b.high.y - radius : b.low.y + radius;
        for (int i = 0; i <= QUARTER; i++) {
            double angle = HW_PI / 2 * (q + (double)i / QUARTER);
            at[n++] = (hw_vec2){x + radius * cos(angle), y + radius * sin(angle)};
        }
    }
    const hw_polygon outline = {at, n};
    return hw_field_prism(a, &hw_plan_axes, &outline, -b.high.z, -b.low.z);
}

// ---- skin -------------------------------------------------------------------------------------

// A column of the outline at x: cubic between its points with slopes of its neighbours, held
// beyond its ends.
static hw_vec2 column_at(const hw_palm_parts_def *f, int k, double x)
{
    int s = 0;
    while (s + 2 < HW_PALM_LOOPS && f->outline[s + 1][k].x <= x) s++;
    hw_vec3 p[4];
    for (int i = 0; i < 4; i++) {
        int at = s - 1 + i;
        at = at < 0 ? 0 : at >= HW_PALM_LOOPS ? HW_PALM_LOOPS - 1 : at;
        p[i] = f->outline[at][k];
    }
    double width = p[2].x - p[1].x;
    double t = width > 0 ? fmin(fmax((x - p[1].x) / width, 0), 1) : 0;
    double before = p[2].x - p[0].x, after = p[3].x - p[1].x;
    hw_vec2 out = {0};
    double *value[2] = {&out.x, &out.z};
    const double at[2][4] = {{p[0].y, p[1].y, p[2].y, p[3].y}, {p[0].z, p[1].z, p[2].z, p[3].z}};
    for (int i = 0; i < 2; i++) {
        double m1 = before > 0 ? (at[i][2] - at[i][0]) / before * width : 0;
        double m2 = after > 0 ? (at[i][3] - at[i][1]) / after * width : 0;
        double a = at[i][1], d = at[i][2] - a;
        *value[i] = a + t * (m1 + t * (3 * d - 2 * m1 - m2 + t * (m1 + m2 - 2 * d)));
    }
    return out;
}

// Twice as many points round the loop, on cubics through them.
static void loop_at(const hw_palm_parts_def *f, double x, hw_vec2 out[HW_SKIN_ROUND])
{
    hw_vec2 p[HW_PALM_LOOP];
    for (int k = 0; k < HW_PALM_LOOP; k++) p[k] = column_at(f, k, x);
    for (int k = 0; k < HW_PALM_LOOP; k++) {
        hw_vec2 a = p[(k + HW_PALM_LOOP - 1) % HW_PALM_LOOP], b = p[k];
        hw_vec2 c = p[(k + 1) % HW_PALM_LOOP], d = p[(k + 2) % HW_PALM_LOOP];
        hw_vec2 inner = hw_scale(hw_add(b, c), 9.0 / 16), outer = hw_scale(hw_add(a, d), 1.0 / 16);
        out[2 * k] = b;
        out[2 * k + 1] = hw_sub(inner, outer);
    }
}

// Where a line that falls in as fast as prints touches the loop from below on one side (+1, -1).
static hw_vec2 touch(const hw_vec2 loop[HW_SKIN_ROUND], double side)
{
    size_t best = 0;
    for (size_t i = 1; i < HW_SKIN_ROUND; i++)
        if (side * loop[i].x - FLARE * loop[i].z > side * loop[best].x - FLARE * loop[best].z)
            best = i;
    return loop[best];
}

static const hw_field *skin_of(hw_palm_build *b)
{
    hw_vec2(*loop)[HW_SKIN_ROUND] =
        hw_arena_alloc(b->a, HW_SKIN_ALONG, sizeof *loop, _Alignof(hw_vec2));
    hw_vec2 foot[HW_SKIN_ALONG][8];
    hw_loft_section section[HW_SKIN_ALONG], below[HW_SKIN_ALONG];
    if (!loop) return NULL;
    for (int s = 0; s < HW_SKIN_ALONG; s++) {
        double x = b->from + (b->to - b->from) * s / (HW_SKIN_ALONG - 1);
        loop_at(b->f, x, loop[s]);
        section[s] = (hw_loft_section){x, loop[s]};
        // along both lines down to the bed; its top lies inside the skin
        hw_vec2 middle = hw_scale(hw_add(loop[s][0], loop[s][HW_SKIN_ROUND / 2]), 0.5);
        for (int e = 0; e < 2; e++) { // left, right
            double side = e ? 1 : -1;
            hw_vec2 t = touch(loop[s], side);
            double under = fmax(b->bottom - t.z, 0); // the bed cuts off what is lower
            t = hw_add(t, (hw_vec2){side * FLARE * under, under});
            // the last of it upright: a sharp edge on the bed would be bevelled to a ledge
            double rise = fmin(0.4 * b->f->floor, 0.5 * (t.z - b->bottom));
            double in = t.x - side * FLARE * (t.z - b->bottom - rise);
            foot[s][e] = (hw_vec2){t.x + 0.3 * (middle.x - t.x), middle.z};
            foot[s][e ? 2 : 7] = t;
            foot[s][e ? 3 : 6] = (hw_vec2){in, b->bottom + rise};
            foot[s][e ? 4 : 5] = (hw_vec2){in, b->bottom};
        }
        below[s] = (hw_loft_section){x, foot[s]};
    }
    b->foot = hw_field_loft(b->a, &hw_hand_axes, below, HW_SKIN_ALONG, 8);
    return hw_field_loft(b->a, &hw_hand_axes, section, HW_SKIN_ALONG, HW_SKIN_ROUND);
}

// All that is behind the front edge in plan: the last loop's upper half, drawn out to both sides.
static const hw_field *plan_of(hw_palm_build *b)
{
    enum { HALF = HW_PALM_LOOP / 2 };
    const hw_vec3 *last = b->f->outline[HW_PALM_LOOPS - 1];
    double far = FAR * (b->to - b->from);
    hw_vec2 at[HALF + 5];
    size_t n = 0;
    at[n++] = (hw_vec2){last[0].x, far};
    for (int k = 0; k <= HALF; k++)
        if (k == 0 || last[k].y < at[n - 1].z) at[n++] = (hw_vec2){last[k].x, last[k].y};
    at[n] = (hw_vec2){at[n - 1].x, -far};
    n++;
    at[n++] = (hw_vec2){-far, -far};
    at[n++] = (hw_vec2){-far, far};
    const hw_polygon outline = {at, n};
    return hw_field_prism(b->a, &hw_plan_axes, &outline, -far, far);
}

void hw_palm_measure(hw_palm_build *b)
{
    const hw_palm_parts_def *f = b->f;
    b->from = INFINITY;
    b->to = b->top = -INFINITY;
    b->bottom = INFINITY;
    for (int s = 0; s < HW_PALM_LOOPS; s++) {
        for (int k = 0; k < HW_PALM_LOOP; k++) {
            b->from = fmin(b->from, f->outline[s][k].x);
            b->to = fmax(b->to, f->outline[s][k].x);
            b->top = fmax(b->top, f->outline[s][k].z);
        }
        b->bottom = fmin(b->bottom, f->outline[s][3 * HW_PALM_LOOP / 4].z);
    }
    b->wrist[0] = f->outline[0][HW_PALM_LOOP / 2].y;
    b->wrist[1] = f->outline[0][0].y;
    b->plan = plan_of(b);
}

void hw_palm_skin(hw_palm_build *b)
{
    b->skin = skin_of(b);
}
