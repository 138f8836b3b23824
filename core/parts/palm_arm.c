// The forearm that clamps the servos of flexion, its lid, the stand with the controller's seat.
#include "parts/palm_arm_internal.h"

#define SQUARE 0.35 // power of a section that is nearly a rectangle [1]

enum { ARM_SCREWS = 6, LOOP = HW_SKIN_ROUND };

static hw_box3 joined(hw_box3 a, hw_box3 b)
{
    return (hw_box3){
        {fmin(a.low.x, b.low.x), fmin(a.low.y, b.low.y), fmin(a.low.z, b.low.z)},
        {fmax(a.high.x, b.high.x), fmax(a.high.y, b.high.y), fmax(a.high.z, b.high.z)}};
}

static double duct(const hw_palm_build *b)
{
    return 1.5 * b->f->floor; // height of the leads' way under the servos
}

void hw_arm_measure(const hw_palm_build *b, hw_arm *m)
{
    const hw_palm_parts_def *f = b->f;
    m->box = hw_servo_box_of(&f->arm[0], HW_BOX_CASE, f->gap);
    m->lid = -INFINITY;
    for (size_t i = 0; i < f->arm_servos; i++) {
        hw_box3 ears = hw_servo_box_of(&f->arm[i], HW_BOX_EARS, f->gap);
        m->box = joined(m->box, hw_servo_box_of(&f->arm[i], HW_BOX_CASE, f->gap));
        m->box = joined(m->box, ears);
        // the lid comes to lie on the ears before it lies on the body
        m->lid = fmax(m->lid, ears.high.z - 1.5 * f->gap);
    }
    m->box = hw_box_grown(m->box, 1.25 * f->wall);
    m->box.low.y += 0.45 * f->wall; // along its sides the cover stands before it
    m->box.high.y -= 0.45 * f->wall;
    m->box.low.z += 1.25 * f->wall - f->floor - duct(b);
    m->box.high.z = m->lid;
    m->roof = m->lid + 1.5 * f->plate;
    m->flange = b->from - fmax(3 * f->wall, 2.4 * f->screw); // a screw of the lid goes into it
    m->upright = 0.4 * f->floor; // a sharp edge on the bed would be bevelled to a ledge
    m->bevel = 1.6 * f->wall;
    m->stand = 9 * f->wall;
    for (size_t i = 0; i < f->arm_servos; i++) // drums are under the cover, which ends at the stand
        m->stand = fmin(m->stand, hw_servo_box_of(&f->arm[i], HW_BOX_HORN, f->wall).low.x -
                                      m->box.low.x - 2 * f->gap);
}

const hw_field *hw_arm_keel(hw_palm_build *b, const hw_arm *m)
{
    const double slope = 0.97; // across a unit of height: a little less than 45 degrees
    const hw_box3 *box = &m->box;
    double far = 10 * (box->high.y - box->low.y), foot = box->low.z + m->upright;
    double aside = far - m->bevel, top = foot + far / slope;
    hw_vec2 at[] = {{box->low.y - aside, top},      {box->low.y + m->bevel, foot},
                    {box->low.y + m->bevel, -far},  {box->high.y - m->bevel, -far},
                    {box->high.y - m->bevel, foot}, {box->high.y + aside, top}};
    const hw_polygon section = {at, sizeof at / sizeof at[0]};
    const hw_frame along = {{0, 0, 0}, {0, 1, 0}, {-1, 0, 0}, {0, 0, 1}};
    return hw_field_prism(b->a, &along, &section, -box->high.x - far, far - box->low.x);
}

// ---- neck -------------------------------------------------------------------------------------

const hw_field *hw_arm_neck(hw_palm_build *b, const hw_arm *m, double over) // [m]
{
    const hw_palm_parts_def *f = b->f;
    hw_vec2 loop[3][HW_PALM_LOOP];
    double y = (m->box.low.y + m->box.high.y) / 2, half_y = (m->box.high.y - m->box.low.y) / 2;
    double z = (m->box.low.z + m->lid) / 2, half_z = (m->lid - m->box.low.z) / 2;
    const double inset = 0.4 * f->wall; // it ends inside the body
    // beside the heads of the wrist's screws there is a wall
    double wide =
        fmax(half_y - inset, (b->wrist[1] - b->wrist[0]) / 2 - 1.75 * f->screw + 0.6 * f->wall);
    for (int k = 0; k < HW_PALM_LOOP; k++) {
        double a = 2 * HW_PI * k / HW_PALM_LOOP, c = cos(a), s = sin(a);
        loop[2][k] = (hw_vec2){f->outline[0][k].y, f->outline[0][k].z};
        double u = copysign(pow(fabs(c), SQUARE), c), v = copysign(pow(fabs(s), SQUARE), s);
        // and below the bed, where it is cut off: its corners come round too flat to print there
        double high = v < 0 ? half_z + fmax(f->wall, 0.15 * half_y) : half_z - inset;
        loop[0][k] = (hw_vec2){y + wide * u, z + high * v};
        if (k && k < HW_PALM_LOOP / 2) loop[0][k].z += over;
        loop[1][k] = loop[0][k];
    }
    // its underside falls in faster than 45 degrees, so that it prints
    double drop = f->outline[0][3 * HW_PALM_LOOP / 4].z - m->box.low.z;
    // a palm made deeper for its servos may lie lower than the arm, which is cut off at its bed
    double low = fmax(m->box.high.x - 2 * f->wall, b->from - fmax(0.9 * drop, f->wall));
    const hw_loft_section section[3] = {
        {m->box.high.x - 4 * f->wall, loop[0]}, {low, loop[1]}, {b->from, loop[2]}};
    return hw_field_loft(b->a, &hw_hand_axes, section, 3, HW_PALM_LOOP);
}

static const hw_field *window_of(hw_palm_build *b, const hw_arm *m)
{
    hw_box3 window = {{m->box.high.x - b->f->wall, b->window[0], b->sill},
                      {b->from + b->f->wall, b->window[1], b->top + b->f->wall}};
    return hw_block3(b->a, window);
}

// ---- body -------------------------------------------------------------------------------------

// How far toward the hand the leads' ways under the servos go: those of the palm's servos come in
// from the neck. [m]
static double ways_end(const hw_palm_build *b, const hw_arm *m, const hw_box3 *lead)
{
    return b->f->palm_servos ? m->box.high.x + 2 * b->f->wall : lead->high.x - b->f->gap;
}

static void put_pockets(hw_palm_build *b, const hw_arm *m, hw_tools *t)
{
    const hw_palm_parts_def *f = b->f;
    const double far = m->lid + f->arm[0].height;
    for (size_t i = 0; i < f->arm_servos; i++) {
        hw_box3 box = hw_servo_box_of(&f->arm[i], HW_BOX_CASE, f->gap);
        hw_box3 ears = hw_servo_box_of(&f->arm[i], HW_BOX_EARS, f->gap);
        hw_box3 lead = hw_servo_box_of(&f->arm[i], HW_BOX_LEAD, f->gap);
        double y = (box.low.y + box.high.y) / 2,
               half = fmin(0.3 * (box.high.y - box.low.y), 0.45 * f->bridge);
        hw_box3 way = {{m->box.low.x - f->wall, y - half, box.low.z - duct(b)},
                       {ways_end(b, m, &lead), y + half, box.low.z + f->wall}};
        lead.low.z = way.low.z;
        box.high.z = ears.high.z = lead.high.z = far;
        ears.low.z += f->gap; // they stand on it
        hw_put(t, hw_block3(b->a, box));
        hw_put(t, hw_block3(b->a, ears));
        hw_put(t, hw_block3(b->a, lead));
        hw_put(t, hw_block3(b->a, way));
    }
}

// How far the body's upper side is raised where the neck is open to the back: over all there is.
static double open_above(const hw_arm *m)
{
    return m->roof - m->box.low.z;
}

// The neck is a trough, open to the back.
static void put_trough(hw_palm_build *b, const hw_arm *m, hw_tools *t)
{
    const double w = b->f->wall, in = -0.67 * w; // its underside rises by 45 degrees
    const hw_field *part[] = {hw_field_offset(b->a, hw_arm_neck(b, m, open_above(m)), in),
                              hw_arm_under(b, m, 0.6 * w),
                              hw_above(b->a, m->box.low.z + b->f->floor),
                              hw_field_half(b->a, hw_at(m->box.high.x + w, 0, 0), hw_at(-1, 0, 0)),
                              hw_field_half(b->a, hw_at(m->flange, 0, 0), hw_at(1, 0, 0))};
    hw_put(t, hw_field_meet(b->a, part, sizeof part / sizeof part[0]));
}

// Whether a way along the arm cuts into a servo's room from its side: near the arm's upper side it
// is open there, or a thin roof is left that hangs.
static bool beside_pocket(const hw_palm_build *b, double y, double radius) // [m] [m]
{
    const double thin = 0.25 * b->f->wall;
    for (size_t i = 0; i < b->f->arm_servos; i++) {
        const hw_box3 box = hw_servo_box_of(&b->f->arm[i], HW_BOX_CASE, b->f->gap);
        if (y + radius > box.low.y - thin && y - radius < box.high.y + thin) return true;
    }
    return false;
}

static void put_wrist(hw_palm_build *b, const hw_arm *m, hw_tools *t)
{
    const double screw = b->f->screw;
    for (int e = 0; e < 2; e++) {
        const double y = b->wrist_screw[e].x, z = b->wrist_screw[e].z;
        hw_vec3 path[] = {hw_at(m->box.low.x, y, z), hw_at(b->from + screw, y, z)};
        hw_put(t, hw_field_drop(b->a, path, 2, 0.55 * screw, hw_at(0, 0, 1)));
        if (beside_pocket(b, y, 0.55 * screw) &&
            z + 0.55 * sqrt(2) * screw > m->lid - 0.6 * b->f->wall)
            hw_put(t, hw_block3(b->a, (hw_box3){{m->box.low.x - screw, y - 0.55 * screw, z},
                                                {m->box.high.x, y + 0.55 * screw, m->roof}}));
        // heads and driver: open to the top
        hw_box3 way = {{m->box.high.x, y - 0.95 * screw, z - 1.1 * screw},
                       {m->flange, y + 0.95 * screw, b->top + screw}};
        hw_put(t, hw_block3(b->a, way));
    }
    hw_put(t, window_of(b, m));
    hw_put_trenches(b, t, hw_field_half(b->a, hw_at(m->flange, 0, 0), hw_at(1, 0, 0)));
    hw_put_bores_joined(b, t, (const double[]){m->flange, b->from});
    hw_put_collar_bores(b, t);
}

static void add_body(hw_palm_build *b, const hw_arm *m, const hw_vec3 place[], size_t n)
{
    const double screw = b->f->screw;
    hw_tools t = {.n = 0};
    put_pockets(b, m, &t);
    put_wrist(b, m, &t);
    put_trough(b, m, &t);
    for (size_t i = 0; i < n; i++) {
        hw_vec3 low = place[i], high = place[i];
        low.z = m->lid - 5 * screw;
        high.z = m->lid + screw;
        hw_put(&t, hw_field_cylinder(b->a, low, high, 0.42 * screw));
    }
    // beside the cords its walls go up to the cover's edge
    const double far = b->to - b->from;
    hw_box3 before = m->box;
    before.low.x = m->box.high.x;
    before.high.x = m->flange + 0.4 * b->f->wall; // into it: their edges alone would touch
    before.low.y -= b->wrist[1] - b->wrist[0];
    before.high.y += b->wrist[1] - b->wrist[0];
    before.high.z = b->f->split;
    const hw_box3 level = {{before.low.x - far, before.low.y - far, m->box.low.z},
                           {before.high.x + far, before.high.y + far, b->f->split}};
    hw_box3 collar = level;
    collar.low.z = b->f->split - 2 * screw;
    const hw_field *necks[] = {
        hw_both(b->a, hw_arm_neck(b, m, 0), hw_arm_within(b, m)),
        hw_both(b->a, hw_both(b->a, hw_arm_neck(b, m, open_above(m)), hw_arm_below(b, m)),
                hw_block3(b->a, before))};
    const hw_field *body[] = {
        hw_both(b->a, hw_field_union(b->a, necks, 2), hw_block3(b->a, level)),
        hw_palm_slab(b->a, m->box, 2 * b->f->wall),
        // up to the lid's collar
        hw_both(b->a, hw_arm_over_flange(b, m, m->flange, b->from), hw_block3(b->a, collar))};
    const hw_field *whole = hw_field_union(b->a, body, b->collar_screws ? 3 : 2);
    whole = hw_both(b->a, whole, hw_arm_keel(b, m));
    hw_frame bed = hw_hand_axes;
    bed.at.z = m->box.low.z;
    hw_allowance allow[HW_PALM_SERVOS];
    for (size_t i = 0; i < b->f->arm_servos; i++) { // the leads' ways through the walls
        hw_box3 box = hw_servo_box_of(&b->f->arm[i], HW_BOX_CASE, b->f->wall);
        box.low.x = m->box.low.x - b->f->wall;
        if (b->f->palm_servos) box.high.x = ways_end(b, m, &box) + b->f->wall;
        box.high.z = box.low.z + 3 * b->f->wall;
        allow[i] = (hw_allowance){HW_ALLOW_BRIDGE, box.low, box.high};
    }
    // the lid's screws hold both halves together: two in each, where there are four
    b->joint[0] = m->box.low.x + 0.2 * (m->box.high.x - m->box.low.x);
    b->joint[1] = m->box.high.x - 0.2 * (m->box.high.x - m->box.low.x);
    double at[2][2] = {{INFINITY, INFINITY}, {-INFINITY, -INFINITY}}; // the last two at both ends
    for (size_t i = 0; i < n; i++) {
        const double x = place[i].x;
        if (x < at[0][0])
            at[0][1] = at[0][0], at[0][0] = x;
        else
            at[0][1] = fmin(at[0][1], x);
        if (x > at[1][0])
            at[1][1] = at[1][0], at[1][0] = x;
        else
            at[1][1] = fmax(at[1][1], x);
    }
    if (n >= 4 && at[0][1] + 4 * screw < at[1][1]) {
        b->joint[0] = fmax(b->joint[0], at[0][1] + 2 * screw);
        b->joint[1] = fmin(b->joint[1], at[1][1] - 2 * screw);
    }
    whole = hw_less(b->a, whole, &t);
    hw_palm_add(b, "forearm", whole, bed, allow, b->f->arm_servos);
    b->joint[0] = b->joint[1] = 0;
}

// The lid presses the ears: no servo has screws of its own.
static void add_lid(hw_palm_build *b, const hw_arm *m, const hw_vec3 place[], size_t n)
{
    const hw_palm_parts_def *f = b->f;
    hw_tools t = {.n = 0};
    for (size_t i = 0; i < f->arm_servos; i++) {
        hw_box3 box = hw_servo_box_of(&f->arm[i], HW_BOX_CASE, f->gap);
        box.low.z = m->lid - f->wall;
        box.high.z = m->lid + f->arm[i].height;
        hw_put(&t, hw_block3(b->a, box));
    }
    for (size_t i = 0; i < n; i++) {
        hw_vec3 low = place[i], high = place[i];
        low.z = m->lid - f->wall;
        high.z = m->lid + f->arm[0].height;
        hw_put(&t, hw_field_cylinder(b->a, low, high, 0.55 * f->screw));
    }
    hw_box3 plate = m->box;
    plate.low.z = m->lid;
    plate.high.z = m->roof;
    hw_frame bed = hw_hand_axes;
    bed.at.z = m->lid;
    hw_palm_add(b, "forearm lid", hw_less(b->a, hw_palm_slab(b->a, plate, 2 * f->wall), &t), bed,
                NULL, 0);
    b->out->screws += n;
}

// ---- stand ------------------------------------------------------------------------------------

// A place along the board's length, in the stand: seen from above its z goes away from the sockets'
// edge, which is at low x, so that x comes down along y; up where all is mirrored afterwards.
static double along_board(const hw_palm_build *b, const hw_box3 *pocket, double x) // [m]
{
    const double g = b->f->gap;
    return b->f->board.mirrored ? pocket->low.y + g + x : pocket->high.y - g - x;
}

static void put_board(hw_palm_build *b, hw_box3 pocket, hw_tools *cut, hw_tools *post)
{
    const hw_palm_board *p = &b->f->board;
    const double g = b->f->gap, w = b->f->wall;
    hw_put(cut, hw_block3(b->a, pocket));
    // sockets look out over the lower edge
    const double end[2] = {along_board(b, &pocket, p->socket[0]),
                           along_board(b, &pocket, p->socket[1])};
    hw_box3 socket = {{pocket.low.x - 4 * w, fmin(end[0], end[1]) - g, pocket.low.z + p->under - g},
                      {pocket.low.x + w, fmax(end[0], end[1]) + g, pocket.high.z}};
    hw_put(cut, hw_block3(b->a, socket));
    for (size_t i = 0; i < p->holes; i++) {
        hw_vec3 low = {pocket.low.x + g + p->hole[i].z, along_board(b, &pocket, p->hole[i].x),
                       0.5 * pocket.low.z};
        hw_vec3 high = low;
        high.z = pocket.low.z + p->under;
        hw_put(post, hw_field_cylinder(b->a, low, high, 1.6 * p->bore));
        low.z = 0.7 * pocket.low.z;
        high.z += w;
        hw_put(cut, hw_field_cylinder(b->a, low, high, 0.5 * p->bore));
    }
    b->out->screws += p->holes;
}

// Where servos stand out of the arm's lid inside the socket, its wall is left open over them.
static void put_tops(const hw_palm_build *b, const hw_arm *m, double deep, hw_tools *cut)
{
    for (size_t i = 0; i < b->f->arm_servos; i++) {
        hw_box3 box = hw_servo_box_of(&b->f->arm[i], HW_BOX_CASE, 3 * b->f->gap);
        if (box.low.x > m->box.low.x + deep) continue;
        hw_box3 slot = {{box.low.y, m->lid, b->f->floor},
                        {box.high.y, m->lid + b->f->arm[i].height, 2 * deep}};
        hw_put(cut, hw_block3(b->a, slot));
    }
}

// Tabs of the foot beyond its walls, before and behind, with countersunk holes for wood screws of
// four thirds of the hand's own: loose it tips over the narrow side of its foot. A clamp holds
// there too.
static void put_tabs(hw_palm_build *b, const hw_box3 *foot, const hw_box3 *walls, hw_tools *add,
                     hw_tools *cut)
{
    const double screw = b->f->screw, bore = 0.75 * screw, head = 1.45 * screw,
                 half = head + 0.8 * b->f->wall, high = foot->high.z;
    const double across = walls->high.y - walls->low.y + 2 * (head + half + 2 * b->f->gap);
    if (across > fmin(b->f->bed[0], b->f->bed[1])) return;
    for (int i = 0; i < 4; i++) {
        hw_vec3 low = {i & 1 ? foot->high.x - half : foot->low.x + half,
                       i & 2 ? walls->high.y : walls->low.y, 0};
        const double out = i & 2 ? 1 : -1, edge = i & 2 ? foot->high.y : foot->low.y;
        low.y += out * (head + 2 * b->f->gap); // a driver passes beside the wall
        hw_box3 tab = {{low.x - half, fmin(low.y - half, edge - out * 2 * half), 0},
                       {low.x + half, fmax(low.y + half, edge - out * 2 * half), high}};
        hw_put(add, hw_palm_slab(b->a, tab, 0.9 * half));
        low.z = -high;
        hw_vec3 top = low;
        top.z = 2 * high;
        hw_put(cut, hw_field_cylinder(b->a, low, top, bore));
        low.z = high - (head - bore);
        top.z = high;
        hw_put(cut, hw_field_cone(b->a, low, top, bore, head));
        low.z = high - 0.01 * screw;
        top.z = high + 10 * screw;
        hw_put(cut, hw_field_cylinder(b->a, low, top, head));
    }
}

// Modelled in a frame of its own: z up is the arm's way to the fingers, x across, y dorsal.
static void add_stand(hw_palm_build *b, const hw_arm *m)
{
    const hw_palm_parts_def *f = b->f;
    const hw_palm_board *p = &f->board;
    // the leads come out of the arm's end, above a lane that takes them to the board
    const double w = f->wall, g = f->gap, lane = duct(b), deep = m->stand + lane, margin = 4 * w,
                 round = 1.8 * w, thin = 1.5 * w;
    hw_box3 socket = {{m->box.low.y - g, m->box.low.z - g, f->floor + lane},
                      {m->box.high.y + g, m->roof + g, 2 * deep}};
    double width = p->length > 0 ? p->width + 2 * g : 0;
    hw_box3 pocket = {{socket.low.x - thin - width, 0, f->floor},
                      {socket.low.x - thin, 0, 2 * deep}};
    double mid = (socket.low.y + socket.high.y) / 2;
    pocket.low.y = mid - p->length / 2 - g;
    pocket.high.y = mid + p->length / 2 + g;
    // a foot as broad as may be, walls no thicker than they need
    double low = width > 0 ? pocket.low.x - thin : socket.low.x;
    hw_box3 foot = {
        {width > 0 ? low : low - margin, fmin(socket.low.y - margin, pocket.low.y - thin), 0},
        {socket.high.x + margin, fmax(socket.high.y + margin, pocket.high.y + thin),
         1.5 * f->floor}};
    hw_box3 walls = {
        {width > 0 ? low : low - round, fmin(socket.low.y - round, pocket.low.y - thin), 0},
        {socket.high.x + round, fmax(socket.high.y + round, pocket.high.y + thin), deep}};
    hw_tools cut = {.n = 0}, post = {.n = 0};
    hw_put(&cut, hw_block3(b->a, socket));
    if (width > 0) {
        put_board(b, pocket, &cut, &post);
        const double ends = m->box.low.z + f->floor + duct(b) + w; // of their ducts
        hw_box3 way = {{socket.low.x, socket.low.y, f->floor},
                       {socket.high.x - 2 * w, ends, socket.low.z + w}};
        hw_put(&cut, hw_block3(b->a, way));
        way.low.x = pocket.high.x - w; // open to the top: its wall needs no bridge
        way.high = hw_at(socket.low.x + w, ends, 2 * deep);
        hw_put(&cut, hw_block3(b->a, way));
    }
    put_tops(b, m, deep, &cut);
    hw_tools hollow = {.n = 0};
    for (size_t i = 0; i < cut.n; i++) hw_put(&hollow, cut.f[i]);
    hw_tools solid = {.f = {hw_palm_slab(b->a, foot, 3 * w), hw_palm_slab(b->a, walls, round)},
                      .n = 2};
    put_tabs(b, &foot, &walls, &solid, &hollow);
    const hw_field *body = hw_less(b->a, hw_joined(b->a, &solid), &hollow);
    if (post.n) {
        const hw_field *all[] = {body, hw_joined(b->a, &post)};
        hw_tools bore = {.n = 0};
        for (size_t i = 0; i < p->holes; i++) hw_put(&bore, cut.f[3 + i]);
        body = hw_less(b->a, hw_field_union(b->a, all, 2), &bore);
    }
    // its frame in the hand's: (x, y, z) of it are (y, z, x) there
    hw_frame in = {{m->box.low.x - socket.low.z, 0, 0}, {0, 1, 0}, {0, 0, 1}, {1, 0, 0}};
    hw_palm_add(b, "stand", hw_field_moved(b->a, body, &in), in, NULL, 0);
}

void hw_palm_arm(hw_palm_build *b)
{
    if (b->f->arm_servos == 0) return;
    hw_arm m;
    hw_arm_measure(b, &m);
    hw_tools pockets = {.n = 0};
    put_pockets(b, &m, &pockets);
    hw_box3 region = m.box;
    region.low.z = region.high.z = m.lid - 0.5 * b->f->wall;
    hw_box3 inside = m.box;
    inside.high.z += b->f->wall + 10 * b->f->screw;
    inside.low.z -= 10 * b->f->screw;
    hw_vec3 place[ARM_SCREWS];
    const hw_field *tools = hw_joined(b->a, &pockets),
                   *slab = hw_palm_slab(b->a, inside, b->f->wall);
    size_t n = tools && slab
                   ? hw_screw_places(slab, tools, region, 0.9 * b->f->screw, ARM_SCREWS, place)
                   : 0;
    add_body(b, &m, place, n);
    add_lid(b, &m, place, n);
    hw_arm_cover(b, &m);
    add_stand(b, &m);
}
