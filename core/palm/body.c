// Bodies, frames, and the nearness of two: apart by the simplex walk, together by least support.
#include "palm/body_internal.h"

// Cores nearer than this share of their size are taken to meet.
static const double meet_share = 1e-10; // [1]
// A direction that leaves a disc's axis by less meets all of the disc at once.
static const double along_axis = 1e-13; // [rad]

hw_frame hw_frame_identity(void)
{
    return (hw_frame){{0, 0, 0}, {1, 0, 0}, {0, 1, 0}, {0, 0, 1}};
}

hw_frame hw_frame_in(const hw_frame *f, const hw_frame *inner)
{
    return (hw_frame){hw_frame_point(f, inner->at), hw_frame_direction(f, inner->x),
                      hw_frame_direction(f, inner->y), hw_frame_direction(f, inner->z)};
}

// Rodrigues' formula.
static hw_vec3 turned(hw_vec3 v, hw_vec3 axis, double c, double s) // [1]
{
    hw_vec3 out = hw_vec3_times(v, c);
    out = hw_vec3_along(out, s, hw_vec3_cross(axis, v));
    return hw_vec3_along(out, (1 - c) * hw_vec3_dot(axis, v), axis);
}

hw_frame hw_frame_turned(const hw_frame *f, hw_vec3 at, hw_vec3 axis, double angle)
{
    double c = cos(angle), s = sin(angle);
    return (hw_frame){hw_vec3_add(at, turned(hw_vec3_sub(f->at, at), axis, c, s)),
                      turned(f->x, axis, c, s), turned(f->y, axis, c, s), turned(f->z, axis, c, s)};
}

hw_body hw_body_box(hw_frame frame, double x, double y, double z)
{
    return (hw_body){.kind = HW_BODY_BOX, .frame = frame, .half = {x / 2, y / 2, z / 2}};
}

hw_body hw_body_cylinder(hw_frame frame, double radius, double length)
{
    return (hw_body){
        .kind = HW_BODY_CYLINDER, .frame = frame, .half = {radius, radius, length / 2}};
}

hw_body hw_body_capsule(hw_vec3 from, hw_vec3 to, double radius)
{
    hw_vec3 along = hw_vec3_sub(to, from);
    double length = hw_vec3_norm(along);
    hw_vec3 z = length > 0 ? hw_vec3_times(along, 1 / length) : (hw_vec3){0, 0, 1};
    hw_vec3 x = hw_vec3_square(z);
    hw_frame f = {hw_vec3_times(hw_vec3_add(from, to), 0.5), x, hw_vec3_cross(z, x), z};
    return (hw_body){.kind = HW_BODY_CAPSULE, .frame = f, .half = {radius, radius, length / 2}};
}

core_shape hw_core_of(const hw_body *b)
{
    core_shape c = {.at = b->frame.at};
    if (b->kind == HW_BODY_BOX || b->kind == HW_BODY_HULL) {
        c.edges = 3;
        if (b->kind == HW_BODY_HULL) c.point = b->point, c.points = b->points;
        c.edge[0] = b->frame.x;
        c.edge[1] = b->frame.y;
        c.edge[2] = b->frame.z;
        c.half[0] = b->half.x;
        c.half[1] = b->half.y;
        c.half[2] = b->half.z;
        return c;
    }
    c.edges = 1;
    c.edge[0] = b->frame.z;
    c.half[0] = b->half.z;
    c.axis = b->frame.z;
    if (b->kind == HW_BODY_CYLINDER)
        c.disc = b->half.x;
    else
        c.round = b->half.x;
    return c;
}

hw_vec3 hw_core_support(const core_shape *c, hw_vec3 n)
{
    if (c->points) return hw_hull_support(c, n);
    hw_vec3 p = c->at;
    for (int i = 0; i < c->edges; i++)
        p = hw_vec3_along(p, hw_vec3_dot(c->edge[i], n) < 0 ? -c->half[i] : c->half[i], c->edge[i]);
    if (c->disc > 0) {
        hw_vec3 flat = hw_vec3_along(n, -hw_vec3_dot(c->axis, n), c->axis);
        // along the axis what is left is rounding, which may point anywhere: the middle is as far
        flat = hw_vec3_along(flat, -hw_vec3_dot(c->axis, flat), c->axis);
        double wide = hw_vec3_norm(flat);
        if (wide > along_axis * hw_vec3_norm(n)) p = hw_vec3_along(p, c->disc / wide, flat);
    }
    return p;
}

double hw_core_size(const core_shape *a, const core_shape *b)
{
    double size = a->disc + a->round + b->disc + b->round;
    for (int i = 0; i < a->edges; i++) size += a->half[i];
    for (int i = 0; i < b->edges; i++) size += b->half[i];
    return size;
}

// Without branches: searches ask it of every pair.
static bool sound(const hw_body *b)
{
    const hw_vec3 v[] = {b->frame.at, b->frame.x, b->frame.y, b->frame.z, b->half};
    double nothing = 0; // NaN where a number is not finite
    for (size_t i = 0; i < sizeof v / sizeof v[0]; i++)
        nothing += 0 * v[i].x + 0 * v[i].y + 0 * v[i].z;
    if (!(nothing == 0)) return false;
    bool any = b->kind != HW_BODY_HULL || (b->point && b->points);
    return any && b->half.x >= 0 && b->half.y >= 0 && b->half.z >= 0;
}

// Two that meet are drawn apart until a gap of a thousandth of their size is between them, and come
// nearest there where they stood deepest.
static void deepest(const core_shape *a, const core_shape *b, double depth, hw_nearness *out)
{
    double size = hw_core_size(a, b), gap = 1e-3 * size;
    core_shape moved = *b;
    moved.at = hw_vec3_along(b->at, depth + gap, out->direction);
    double distance;
    if (!hw_core_apart(a, &moved, 0, -1, out->at, &distance)) {
        out->at[0] = hw_core_support(a, out->direction);
        out->at[1] = hw_vec3_along(out->at[0], -depth, out->direction);
        return;
    }
    out->at[1] = hw_vec3_along(out->at[1], -(depth + gap), out->direction);
}

hw_code hw_body_near(const hw_body *a, const hw_body *b, hw_nearness *out)
{
    const hw_vec3 none = {NAN, NAN, NAN};
    *out = (hw_nearness){NAN, {none, none}, none};
    if (!sound(a) || !sound(b)) return HW_BAD_INPUT;
    core_shape p = hw_core_of(a), q = hw_core_of(b);
    double apart = 0;
    if (hw_core_apart(&p, &q, meet_share * hw_core_size(&p, &q), -1, out->at, &apart))
        out->direction = hw_vec3_unit(hw_vec3_sub(out->at[1], out->at[0]));
    else {
        apart = -hw_core_depth(&p, &q, &out->direction);
        deepest(&p, &q, -apart, out);
    }
    out->distance = apart - p.round - q.round;
    out->at[0] = hw_vec3_along(out->at[0], p.round, out->direction);
    out->at[1] = hw_vec3_along(out->at[1], -q.round, out->direction);
    return HW_OK;
}

// Nearest distance of two capsules' middle lines: on the endless lines, or an end of one beside the
// other (Ericson 2005, Real-Time Collision Detection, 5.1.9, from memory).
static double lines_apart(const hw_body *a, const hw_body *b) // [m]
{
    hw_vec3 between = hw_vec3_sub(b->frame.at, a->frame.at);
    double cosine = hw_vec3_dot(a->frame.z, b->frame.z), sine2 = 1 - cosine * cosine;
    double u = hw_vec3_dot(between, a->frame.z), v = hw_vec3_dot(between, b->frame.z);
    double s = sine2 > along_axis ? (u - v * cosine) / sine2 : 0;
    s = fmin(fmax(s, -a->half.z), a->half.z);
    double t = s * cosine - v;
    if (fabs(t) > b->half.z) {
        t = copysign(b->half.z, t);
        s = fmin(fmax(u + t * cosine, -a->half.z), a->half.z);
    }
    hw_vec3 d = hw_vec3_along(hw_vec3_along(between, -s, a->frame.z), t, b->frame.z);
    return hw_vec3_norm(d);
}

// A ball about its middle that holds it.
static double ball_of(const hw_body *b) // [m]
{
    if (b->kind == HW_BODY_BOX || b->kind == HW_BODY_HULL) return b->half.x + b->half.y + b->half.z;
    return b->half.x + b->half.z;
}

double hw_body_clear(const hw_body *a, const hw_body *b, double enough)
{
    if (!sound(a) || !sound(b)) return NAN;
    if (a->kind == HW_BODY_CAPSULE && b->kind == HW_BODY_CAPSULE)
        return lines_apart(a, b) - a->half.x - b->half.x;
    // balls round them first
    double far = hw_vec3_norm(hw_vec3_sub(a->frame.at, b->frame.at)) - ball_of(a) - ball_of(b);
    if (far >= enough) return far;
    core_shape p = hw_core_of(a), q = hw_core_of(b);
    double round = p.round + q.round, size = hw_core_size(&p, &q);
    hw_vec3 at[2], direction;
    double apart;
    if (hw_core_apart(&p, &q, meet_share * size, enough + round, at, &apart)) return apart - round;
    return -hw_core_depth(&p, &q, &direction) - round;
}

double hw_body_reach(const hw_body *b, hw_vec3 direction)
{
    core_shape c = hw_core_of(b);
    return hw_vec3_dot(hw_core_support(&c, direction), direction) + c.round;
}

void hw_body_span(const hw_body *b, hw_vec3 at[2])
{
    if (b->kind == HW_BODY_CAPSULE) {
        const hw_vec3 z = hw_vec3_times(b->frame.z, b->half.z);
        const double r = b->half.x;
        const hw_vec3 half = {fabs(z.x) + r, fabs(z.y) + r, fabs(z.z) + r};
        at[0] = hw_vec3_sub(b->frame.at, half);
        at[1] = hw_vec3_add(b->frame.at, half);
        return;
    }
    const hw_vec3 axis[3] = {{1, 0, 0}, {0, 1, 0}, {0, 0, 1}};
    double *low[3] = {&at[0].x, &at[0].y, &at[0].z}, *high[3] = {&at[1].x, &at[1].y, &at[1].z};
    for (int i = 0; i < 3; i++) {
        *high[i] = hw_body_reach(b, axis[i]);
        *low[i] = -hw_body_reach(b, hw_vec3_times(axis[i], -1));
    }
}

// The farthest that any point of a body goes between two poses, by the corners of the box round it:
// a rigid motion moves inner points no farther than the farthest corner, on a straight line; on a
// circle of the same chord by no more than pi / 2 of it.
static double moves(const hw_body *b, const hw_frame *from, const hw_frame *to) // [m]
{
    hw_vec3 half = b->half;
    if (b->kind == HW_BODY_CAPSULE) half.z += half.x;
    double most = 0;
    for (int k = 0; k < 8; k++) {
        hw_vec3 corner = {k & 1 ? half.x : -half.x, k & 2 ? half.y : -half.y,
                          k & 4 ? half.z : -half.z};
        hw_vec3 p = hw_frame_point(&b->frame, corner);
        most =
            fmax(most, hw_vec3_norm(hw_vec3_sub(hw_frame_point(from, p), hw_frame_point(to, p))));
    }
    return most * HW_PI / 2;
}

hw_code hw_body_sweep(const hw_body *still, const hw_body *moving, const hw_frame pose[], size_t n,
                      hw_body_swept *out)
{
    *out = (hw_body_swept){.nearest = {.distance = NAN}, .bound = NAN};
    if (n == 0) return HW_BAD_INPUT;
    hw_body_swept got = {.nearest = {.distance = INFINITY}, .bound = INFINITY};
    double last = NAN;
    for (size_t i = 0; i < n; i++) {
        hw_body here = *moving;
        here.frame = hw_frame_in(&pose[i], &moving->frame);
        hw_nearness near;
        hw_code code = hw_body_near(still, &here, &near);
        if (code != HW_OK) return code;
        if (near.distance < got.nearest.distance) {
            got.nearest = near;
            got.pose = i;
        }
        double bound = near.distance;
        // both ends see every point on its way: nearest where the two bounds meet
        if (i) bound = (near.distance + last - moves(moving, &pose[i - 1], &pose[i])) / 2;
        got.bound = fmin(got.bound, fmin(bound, near.distance));
        last = near.distance;
    }
    *out = got;
    return HW_OK;
}
