// A servo's bodies, ways and slots, and the palm's skin where it stands.
#include "palm/pack_internal.h"

hw_vec3 hw_way_vector(hw_way way)
{
    static const hw_vec3 v[HW_WAYS] = {{1, 0, 0},  {-1, 0, 0}, {0, 1, 0},
                                       {0, -1, 0}, {0, 0, 1},  {0, 0, -1}};
    return (unsigned)way < HW_WAYS ? v[way] : (hw_vec3){NAN, NAN, NAN};
}

const char *hw_way_name(hw_way way)
{
    static const char *const name[HW_WAYS] = {"the fingers",       "the wrist", "the thumb",
                                              "the little finger", "the back",  "the palm"};
    return (unsigned)way < HW_WAYS ? name[way] : "nowhere";
}

hw_way hw_way_of(hw_vec3 d)
{
    hw_way best = HW_WAY_FINGERS;
    for (int w = 1; w < HW_WAYS; w++)
        if (hw_vec3_dot(hw_way_vector((hw_way)w), d) > hw_vec3_dot(hw_way_vector(best), d))
            best = (hw_way)w;
    return best;
}

const char *hw_servo_body_name(int part)
{
    static const char *const name[HW_SERVO_LUG + 1] = {"case",  "ears", "horn",
                                                       "cable", "rod",  "lug"};
    return part >= 0 && part <= HW_SERVO_LUG ? name[part] : "";
}

static hw_frame square_at(hw_vec3 at, hw_vec3 x)
{
    const hw_vec3 z = {0, 0, 1};
    return (hw_frame){at, x, hw_vec3_cross(z, x), z};
}

void hw_servo_blocks(const hw_servo_shape *s, hw_servo_block out[HW_SERVO_BLOCKS])
{
    const double back = -s->shaft_at, front = s->length - s->shaft_at, w = s->width / 2;
    const double over = (s->ear_span - s->length) / 2, low = s->ear_at - s->height;
    const double high = low + s->ear_thickness;
    out[0] = (hw_servo_block){{back, -w, -s->height}, {front, w, 0}};
    out[1] = (hw_servo_block){{back - over, -w, low}, {back, w, high}};
    out[2] = (hw_servo_block){{front, -w, low}, {front + over, w, high}};
}

void hw_servo_bodies(const hw_servo_shape *s, hw_vec3 horn, hw_body out[HW_SERVO_BODIES])
{
    const hw_vec3 x = {1, 0, 0};
    double middle = s->length / 2 - s->shaft_at;
    out[HW_SERVO_CASE] = hw_body_box(square_at((hw_vec3){middle, 0, -s->height / 2}, x), s->length,
                                     s->width, s->height);
    double ears = -s->height + s->ear_at + s->ear_thickness / 2;
    out[HW_SERVO_EARS] = hw_body_box(square_at((hw_vec3){middle, 0, ears}, x), s->ear_span,
                                     s->width, s->ear_thickness);
    // all that the arm passes over, as a box: its end goes arm sin(turns) to either side
    double side = s->horn_arm * sin(fmin(s->horn_turns, HW_PI / 2));
    hw_vec3 at = hw_vec3_times(horn, s->horn_arm / 2);
    at.z = s->spline / 2;
    out[HW_SERVO_HORN] = hw_body_box(square_at(at, horn), s->horn_arm + s->horn_width,
                                     2 * side + s->horn_width, s->spline);
    // a flat lead near the bottom, a third of the case wide
    double end =
        s->cable_far ? s->length - s->shaft_at + s->cable / 2 : -s->shaft_at - s->cable / 2;
    out[HW_SERVO_CABLE] = hw_body_box(square_at((hw_vec3){end, 0, -s->height + s->width / 4}, x),
                                      s->cable, s->width / 2, s->width / 4);
    hw_vec3 tip = hw_vec3_times(horn, s->horn_hole);
    tip.z = s->spline;
    out[HW_SERVO_ROD] = hw_body_capsule(tip, tip, 0);
}

bool hw_servo_frame(const hw_servo_slot *slot, hw_frame *out)
{
    hw_vec3 z = hw_way_vector(slot->shaft), x = hw_way_vector(slot->body);
    *out = (hw_frame){slot->at, x, hw_vec3_cross(z, x), z};
    return hw_vec3_dot(x, z) == 0 && hw_vec3_dot(z, hw_way_vector(slot->horn)) == 0;
}

// The horn's end h(f) = c + R (cos f u + sin f v) stands the rod's length L from the lever's end l
// where (l - c) . (cos f u + sin f v) = (R^2 + |l - c|^2 - L^2) / 2 R: of two turns the nearer.
double hw_servo_worth(const hw_pack_item *item, const hw_pack_place *place, double turn)
{
    const hw_servo_shape *s = &item->shape;
    const hw_servo_lever *l = &item->lever;
    hw_frame arm = hw_frame_identity();
    arm.at = l->end;
    hw_vec3 end = hw_frame_turned(&arm, l->at, l->axis, turn).at;
    hw_vec3 axis = place->frame.z, u = hw_way_vector(place->slot.horn), v = hw_vec3_cross(axis, u);
    hw_vec3 from = hw_vec3_sub(end, hw_vec3_along(place->frame.at, s->spline, axis));
    double R = s->horn_hole, x = hw_vec3_dot(from, u), y = hw_vec3_dot(from, v);
    double way = (R * R + hw_vec3_dot(from, from) - place->rod * place->rod) / (2 * R);
    double off = acos(way / hypot(x, y)), to = atan2(y, x);
    double f = remainder(to - off, 2 * HW_PI), g = remainder(to + off, 2 * HW_PI);
    if (fabs(g) < fabs(f)) f = g;
    hw_vec3 horn = hw_vec3_add(hw_vec3_times(u, R * cos(f)), hw_vec3_times(v, R * sin(f)));
    hw_vec3 rod = hw_vec3_sub(from, horn);
    double lever = hw_vec3_dot(rod, hw_vec3_cross(l->axis, hw_vec3_sub(end, l->at)));
    return fabs(lever / hw_vec3_dot(rod, hw_vec3_cross(axis, horn)));
}

// ---- the skin

// x of a section's loop at y: that of its point which is nearest across.
static double section_x(const hw_vec3 loop[HW_PALM_AROUND], double y) // [m]
{
    double aside = INFINITY, x = NAN;
    for (int k = 0; k < HW_PALM_AROUND; k++) {
        double off = fabs(loop[k].y - y);
        if (off < aside) aside = off, x = loop[k].x;
    }
    return x;
}

// Both z where a section's loop passes y. False beside the loop.
static bool cut_section(const hw_vec3 loop[HW_PALM_AROUND], double y, double z[2])
{
    z[0] = INFINITY;
    z[1] = -INFINITY;
    for (int k = 0; k < HW_PALM_AROUND; k++) {
        const hw_vec3 *p = &loop[k], *q = &loop[(k + 1) % HW_PALM_AROUND];
        if (!((p->y <= y && q->y >= y) || (p->y >= y && q->y <= y))) continue;
        double t = q->y != p->y ? (y - p->y) / (q->y - p->y) : 0, h = p->z + t * (q->z - p->z);
        z[0] = fmin(z[0], h);
        z[1] = fmax(z[1], h);
        if (p->y == q->y) {
            z[0] = fmin(z[0], q->z);
            z[1] = fmax(z[1], q->z);
        }
    }
    return z[0] <= z[1];
}

void hw_palm_depth(const hw_palm *palm, double x, double y, double z[2])
{
    enum { LAST = HW_PALM_SECTIONS - 1 };
    double from = section_x(palm->outline[0], y), to = from, lower[2], upper[2];
    int s = 0;
    z[0] = z[1] = NAN;
    for (; x > to && s < LAST; s++) { // the two sections that it lies between
        from = to;
        to = section_x(palm->outline[s + 1], y);
    }
    const bool here = cut_section(palm->outline[s], y, upper);
    if (s == 0) {
        for (int k = 0; k < 2 && here; k++) z[k] = upper[k];
        return;
    }
    double t = to > from ? fmin((x - from) / (to - from), 1) : 1;
    const bool in = cut_section(palm->outline[s - 1], y, lower) || t == 1;
    for (int k = 0; k < 2 && in && here; k++) z[k] = lower[k] + t * (upper[k] - lower[k]);
}

void hw_skin_of(const hw_palm *palm, hw_skin *out)
{
    out->face = INFINITY;
    for (int s = 0; s < HW_PALM_SECTIONS; s++) {
        out->face = fmin(out->face, palm->outline[s][3 * HW_PALM_AROUND / 4].z);
        for (int side = 0; side < 2; side++) {
            hw_vec3 far = palm->outline[s][0];
            for (int k = 1; k < HW_PALM_AROUND; k++) {
                hw_vec3 p = palm->outline[s][k];
                if (side ? p.y > far.y : p.y < far.y) far = p;
            }
            out->y[side][s] = far.y;
            out->x[side][s] = far.x;
        }
    }
}

double hw_skin_side(const hw_skin *skin, int side, double x)
{
    const double *at = skin->x[side], *y = skin->y[side];
    if (!(x > at[0])) return y[0];
    for (int s = 1; s < HW_PALM_SECTIONS; s++)
        if (x <= at[s]) return y[s - 1] + (y[s] - y[s - 1]) * (x - at[s - 1]) / (at[s] - at[s - 1]);
    return y[HW_PALM_SECTIONS - 1];
}

double hw_skin_front(const hw_palm *palm, double y)
{
    const hw_vec3 *loop = palm->outline[HW_PALM_SECTIONS - 1];
    double front = INFINITY, aside = INFINITY, end = NAN;
    for (int k = 0; k < HW_PALM_AROUND; k++) {
        hw_vec3 p = loop[k], q = loop[(k + 1) % HW_PALM_AROUND];
        if (fabs(p.y - y) < aside) {
            aside = fabs(p.y - y);
            end = p.x;
        }
        if (p.y == q.y || !((p.y <= y && q.y >= y) || (p.y >= y && q.y <= y))) continue;
        front = fmin(front, p.x + (q.x - p.x) * (y - p.y) / (q.y - p.y));
    }
    return isinf(front) ? end : front;
}

void hw_palm_across(const hw_palm *palm, double x, double y[2])
{
    hw_skin skin;
    hw_skin_of(palm, &skin);
    for (int side = 0; side < 2; side++) y[side] = hw_skin_side(&skin, side, x);
}
