#include "parts/carrier_internal.h"

#include <math.h>

// A sheath's seat from the back face, and the cord's way on to the front along its line to the
// pulley.
static void sheath(hw_blocks *b, const hw_carrier_place *p, const hw_carrier_def *def,
                   hw_vec2 toward, double sense) // [1]
{
    hw_bore h = {.from = {p->back, sense * p->mouth},
                 .way = {-toward.x, -toward.z},
                 .y = p->sheath_y,
                 .steps = 2,
                 .radius = {def->sheath / 2 + def->gap / 2, def->cord / 2 + def->gap / 2},
                 .depth = {def->sheath_depth, p->front - p->back},
                 .wall = {1.4 * def->line, 0},
                 .through = true};
    // the cord comes near the skin at the front: as much wall as there is, less a little
    double front = p->mouth + sense * h.way.z / h.way.x * h.depth[1];
    h.wall[1] = fmin(def->line, 0.7 * (p->half - front - sqrt(2) * h.radius[1]));
    hw_blocks_bore(b, &h);
}

// A cut-out's ceiling, whichever of its two level sides that is on the bed.
static void bridge(hw_blocks *b, hw_vec3 low, hw_vec3 high, double hair) // [m]
{
    for (int up = 0; up < 2; up++) {
        double z = up ? high.z : low.z;
        hw_blocks_allow(b, HW_ALLOW_BRIDGE, (hw_vec3){low.x - hair, low.y - hair, z - hair},
                        (hw_vec3){high.x + hair, high.y + hair, z + hair});
    }
}

// The switch's seat is open to the side; its lever looks out of the front.
static void home(hw_blocks *b, const hw_carrier_place *p, const hw_carrier_def *def,
                 const hw_pulley *pulley)
{
    const hw_switch_body *h = &def->home;
    double c = def->gap, face = p->home_face, tall = h->length / 2 + c;
    double back = face - h->height - 2 * c, out = pulley->outward > 0 ? p->high : p->low;
    double in = pulley->y - pulley->outward * (h->thickness / 2 + c);
    double y0 = fmin(in, out + pulley->outward * c), y1 = fmax(in, out + pulley->outward * c);
    hw_vec3 low = {back, y0, -tall}, high = {face, y1, tall};
    hw_blocks_box(b, HW_BLOCK_CUT, low, high);
    bridge(b, low, high, def->layer);
    double half = h->lever / 2 + 2 * c;
    // lower than the seat, so that each ceiling is carried on its own two sides
    low = (hw_vec3){face - c, pulley->y - half, c - tall};
    high = (hw_vec3){p->front + def->line, pulley->y + half, tall - c};
    hw_blocks_box(b, HW_BLOCK_CUT, low, high);
    bridge(b, low, high, def->layer);
    // behind it floor and ceiling come together, a little steeper than 45 degrees, over the
    // terminals
    double t = h->terminals, high_end = tall - c;
    hw_vec2 at[6] = {
        {back + c, -high_end},          {back + c, high_end},           {back, high_end},
        {back - t, high_end - 1.2 * t}, {back - t, 1.2 * t - high_end}, {back, -high_end}};
    if (t > 0) hw_blocks_plate(b, HW_BLOCK_CUT, y0, y1, hw_blocks_polygon(b, 6, at));
    for (int e = -1; e <= 1 && h->hole > 0; e += 2) {
        hw_vec2 m = {face - h->hole_depth, e * h->pitch / 2};
        double far = pulley->outward > 0 ? p->low - c : p->high + c, r = h->hole / 2;
        hw_blocks_plate(b, HW_BLOCK_CUT, fmin(far, in), fmax(far, in), hw_blocks_peaked(b, m, r));
    }
}

// A hole's two heights, in order.
static void heights(hw_upright *u, double a, double b) // [m]
{
    u->z[0] = fmin(a, b);
    u->z[1] = fmax(a, b);
}

// Opens away from the bed, so that it prints without a bridge; the servo stands on that side.
static void horn(hw_blocks *b, const hw_carrier_place *p, const hw_carrier_def *def, double up)
{
    const hw_horn *h = &def->horn;
    double step = def->line / 4, top = up * (p->half + def->line);
    double floor = up * (p->half - h->thickness - def->gap);
    hw_vec2 at = {p->horn_x, p->horn_y};
    hw_upright pocket = {.at = at,
                         .radius = h->hub / 2 + def->gap,
                         .along = {0, h->arm + def->gap},
                         .half = h->width / 2 + def->gap};
    heights(&pocket, floor, top);
    hw_blocks_upright(b, HW_BLOCK_CUT, &pocket, step);
    hw_upright head = {.at = at, .radius = h->head / 2 + def->gap};
    heights(&head, -3 * up * p->half, top);
    hw_blocks_upright(b, HW_BLOCK_CUT, &head, step);
    for (int i = 0; i < 2; i++) {
        if (!(h->screw[i] > 0 && h->pilot > 0)) continue;
        hw_upright pilot = {.at = {at.x + h->screw[i], at.z}, .radius = h->pilot / 2};
        heights(&pilot, floor - 4 * up * h->pilot, top);
        hw_blocks_upright(b, HW_BLOCK_CUT, &pilot, step);
    }
}

// Two blind holes in the back face, for screws that cut their own thread.
static void screws(hw_blocks *b, const hw_carrier_place *p, const hw_carrier_def *def)
{
    for (int e = 0; e < 2; e++) {
        hw_bore h = {.from = {p->back, p->screw[e].z},
                     .way = {1, 0},
                     .y = p->screw[e].x,
                     .steps = 1,
                     .radius = {def->screw / 2},
                     .depth = {p->screw_depth},
                     .wall = {def->line}};
        hw_blocks_bore(b, &h);
    }
}

// A wedge before the block's front, below, in the cheeks' layers: the proximal's palmar face comes
// to lie on it.
static void stop(hw_blocks *b, const hw_carrier_place *p, const hw_carrier_def *def,
                 const hw_digit *d, const hw_layers *l, const double bed[2])
{
    hw_disc end[2];
    hw_phalanx_discs(d, 0, end);
    double slope = (end[1].radius - end[0].radius) / d->phalanx[0];
    double c = cos(p->stop_angle), s = sin(p->stop_angle);
    hw_vec2 meet[2];
    for (int i = 0; i < 2; i++) {
        double x = p->stop_at[i], z = -(end[0].radius + slope * x);
        meet[i] = hw_flex((hw_vec2){x, z}, c, s);
    }
    double in = p->front - 2 * def->line;
    // down to the bed along the face's own line, where the palm lies on it; above, it leans out of
    // the front by less than 45 degrees
    hw_vec2 way = hw_sub(meet[1], meet[0]), foot = meet[1];
    double floor = -p->half;
    if (bed[0] < 0) {
        double fall = (bed[0] + bed[1] * foot.x - foot.z) / (way.z - bed[1] * way.x);
        foot = hw_add(foot, hw_scale(way, fall));
        floor = bed[0] + bed[1] * in;
    }
    double rise = 1.2 * fmax(0, meet[0].x - in);
    hw_vec2 at[4] = {{in, floor}, foot, meet[0], {in, meet[0].z + rise}};
    hw_polygon wedge = hw_blocks_polygon(b, 4, at);
    const int layer[2] = {0, (int)l->n - 1};
    for (int i = 0; i < 2; i++) {
        const hw_layer *y = &l->layer[layer[i]];
        hw_blocks_plate(b, HW_BLOCK_ADD, y->y - y->thickness / 2, y->y + y->thickness / 2, wedge);
    }
}

void hw_carrier_put(hw_blocks *b, const hw_carrier_place *p, const hw_carrier_def *def,
                    const hw_digit *d, const hw_layers *l, const hw_pulley *pulley,
                    const double bed[2])
{
    if (p->stop) stop(b, p, def, d, l, bed);
    for (int i = 0; i < 2 && p->sheaths; i++) sheath(b, p, def, pulley->toward[i], i == 0 ? -1 : 1);
    if (p->home) home(b, p, def, pulley);
    if (p->horn) horn(b, p, def, bed[0] < 0 ? 1 : -1);
    if (p->screws) screws(b, p, def);
}
