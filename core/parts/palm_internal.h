// Inside of the palm's parts, for this room's files only.
#ifndef HW_PARTS_PALM_INTERNAL_H
#define HW_PARTS_PALM_INTERNAL_H

#include "parts/palm.h"

#include "base/vec3.h"

#include <math.h>

enum { HW_SKIN_ROUND = 64, HW_SKIN_ALONG = 33, HW_TOOLS = 400 };

// Fields that are to be joined.
typedef struct hw_tools {
    const hw_field *f[HW_TOOLS];
    size_t n;
    bool full; // there were more
} hw_tools;

typedef struct hw_box3 {
    hw_vec3 low, high;
} hw_box3;

// The thumb's yoke as measured; `in` stands where the thumb is not opposed.
typedef struct hw_palm_thumb {
    bool held;            // it has a seat
    hw_frame in;          // z along the axis of opposition, away from the wrist; x toward the thumb
    double bend;          // from the axis to the straight thumb
    double tangent, face; // from where both meet: to the arc's ends, to the carrier's back
    double bore, elbow, journal, deep; // radii; depth of the groove
    double mouth, groove, shoulder;    // along the axis, rising
    double low;                        // sign of the knuckle's z toward the bed
    double rim;                        // of the lug round its eye
    hw_vec3 eye;                       // of the lug, as `in` sees it
    const hw_field *room;              // what its turning leaves free of tray and lid
} hw_palm_thumb;

typedef struct hw_palm_build {
    hw_arena *a;
    const hw_palm_parts_def *f;
    hw_palm_parts *out;
    const hw_field *skin; // of the palm, without front
    const hw_field *foot; // what fills it from below: its sides fall in no faster than prints
    const hw_field *plan; // of all that is behind the front edge
    const hw_field *bay;  // where carriers and yokes are and turn
    hw_box3 tail[HW_PALM_DIGITS]; // where the yokes' lugs turn
    size_t tails;
    const hw_field *ahead; // all that is before the bay's back, to both sides
    hw_palm_thumb thumb;
    double bottom, top;      // z
    double from, to;         // x of the wrist and of the foremost point
    double cone, deep;       // of yokes: radius and height
    double window[2], sill;  // of the wrist: y of its sides, its floor's z
    double wrist[2];         // y of the wrist's sides
    hw_vec2 wrist_screw[2];  // y and z of what joins palm and forearm, little finger's side first
    const hw_field *collar;  // of the lid, over the forearm's flange; NULL: none
    hw_vec3 collar_screw[2]; // on its underside [m]
    double collar_deep[2];   // of their pilot holes in the flange [m]
    size_t collar_screws;
    double slide;    // how far the lid is pushed toward the fingers into its place; 0: not at all
    double joint[2]; // x between which the part at work may be split; both 0: anywhere
} hw_palm_build;

static inline hw_vec3 hw_at(double x, double y, double z)
{
    return (hw_vec3){x, y, z};
}

static inline hw_vec3 hw_least(hw_vec3 a, hw_vec3 b)
{
    return (hw_vec3){fmin(a.x, b.x), fmin(a.y, b.y), fmin(a.z, b.z)};
}
static inline hw_vec3 hw_most(hw_vec3 a, hw_vec3 b)
{
    return (hw_vec3){fmax(a.x, b.x), fmax(a.y, b.y), fmax(a.z, b.z)};
}

extern const hw_frame hw_hand_axes;
extern const hw_frame hw_plan_axes; // of prisms that stand upright: outlines in x and y

void hw_put(hw_tools *t, const hw_field *f);
const hw_field *hw_joined(hw_arena *a, const hw_tools *t); // NULL with nothing in it
// `body` less the tools; body itself with nothing in them.
const hw_field *hw_less(hw_arena *a, const hw_field *body, const hw_tools *t);
const hw_field *hw_both(hw_arena *a, const hw_field *f, const hw_field *g);
const hw_field *hw_block3(hw_arena *a, hw_box3 b); // along the hand's axes
const hw_field *hw_below(hw_arena *a, double z);   // everything there
const hw_field *hw_above(hw_arena *a, double z);
hw_box3 hw_box_grown(hw_box3 b, double by);
// A rectangle with rounded corners in plan, upright from z[0] to z[1].
const hw_field *hw_palm_slab(hw_arena *a, hw_box3 b, double radius);

// Before the bay, which may go deeper, and after it.
void hw_palm_measure(hw_palm_build *b);
void hw_palm_skin(hw_palm_build *b);
// The lug that the rod hooks in, behind the yoke's plate; false: none. It leans out from the bed
// side by 45 degrees, so that it prints without the bed below it.
typedef struct hw_palm_tail {
    hw_vec3 eye;       // in the knuckle's frame [m]
    double end, plate; // x of its end and of the plate's back
    double side[2];    // y that it reaches over
    double half;       // half its thickness along the splay axis
    double rim;        // round the eye's middle
} hw_palm_tail;
bool hw_seat_tail(const hw_palm_build *b, const hw_palm_seat *s, hw_palm_tail *out);
// y of a finger's yoke's sides, low and high: the carrier's, or less where a neighbour's carrier,
// yoke or screws come as both splay.
void hw_seat_sides(const hw_palm_parts_def *f, const hw_palm_seat *s, double side[2]); // [m]
double hw_seat_floor(const hw_palm_build *b, const hw_palm_seat *s); // z in the knuckle's frame
// A point of the splay axis at a height of the knuckle's frame, as that frame has it.
hw_vec3 hw_seat_on_axis(const hw_palm_seat *s, double z); // [m]
void hw_palm_bay(hw_palm_build *b);
void hw_palm_yoke(hw_palm_build *b, int digit);
void hw_palm_tray(hw_palm_build *b);
const hw_field *hw_palm_block_of(hw_palm_build *b); // the tray without servos, attic and screws
// Corners of the convex hull of `at` (sorted in place), counter-clockwise, into `out` of n + 1.
size_t hw_palm_hull(hw_vec2 *at, size_t n, hw_vec2 *out);
// A convex prism: a polygon in a frame's x and z, counter-clockwise, between two y.
enum { HW_THUMB_OUTLINE = 16 };
typedef struct hw_prism {
    hw_frame in;
    hw_vec2 at[HW_THUMB_OUTLINE];
    size_t n;
    double y[2];
} hw_prism;
hw_vec3 hw_prism_corner(const hw_prism *p, size_t i); // of 2 n
// The prism grown, and all that is below it.
const hw_field *hw_prism_fallen(hw_palm_build *b, const hw_prism *p, double grow); // [m]
// A digit's first segment from the knuckle on, flexed by a share of its range and turned aside.
hw_prism hw_seat_segment(const hw_palm_seat *s, double share, double aside); // [1] [rad]
// Where the screws that join palm and forearm lie: as near to their usual places as leaves them
// thread beside all rooms. After the skin and the thumb's room.
void hw_palm_wrist(hw_palm_build *b);
double hw_wrist_wall(const hw_palm_build *b);      // x where the tray's wall ends [m]
const hw_field *hw_wrist_window(hw_palm_build *b); // through that wall
void hw_put_wrist_screws(hw_palm_build *b, hw_tools *block, hw_tools *bore);
void hw_put_collar_hole(hw_palm_build *b, hw_tools *t, hw_vec3 at); // through the lid [m]
void hw_put_collar_bores(hw_palm_build *b, hw_tools *t); // pilot holes, over the wrist's screws

#define HW_SEAT_CONE  1.6  // radius of a finger's cone, in diameters of its screw [1]
#define HW_THUMB_HEAD 1.1  // radius of a screw's head, in diameters [1]
#define HW_SCREW_HEAD 0.92 // the same without room for a driver [1]
#define HW_STEEP      0.97 // across a unit of height: a little less than 45 degrees [1]

// Along the thumb's axis, from where it meets the straight thumb. [m]
static inline hw_vec3 hw_thumb_along(const hw_palm_thumb *t, double along) // [m]
{
    return hw_vec3_along(t->in.at, along, t->in.z);
}

// The yoke's plate seen from behind, in the knuckle's y and z; returns how many corners.
size_t hw_thumb_plate(const hw_palm_seat *s, const hw_palm_thumb *t, hw_vec2 at[HW_THUMB_OUTLINE]);

// The thumb: false where its numbers allow no seat. Then what is cut of tray and lid, its parts.
bool hw_palm_thumb_of(const hw_palm_parts_def *f, hw_palm_thumb *out);
// How far the eye of its lug, with its rim, keeps clear of the sheaths' way, a driver's ways to the
// screws, and the carrier.
double hw_thumb_lug_room(const hw_palm_parts_def *f, const hw_palm_thumb *t); // [m]
hw_frame hw_thumb_upright(const hw_palm_thumb *t); // x along its axis, y level
// What of the tray is solid round the bearing, with the cap below it.
hw_body hw_palm_thumb_block(const hw_palm_parts_def *f, const hw_palm_thumb *t);
void hw_palm_thumb_bay(hw_palm_build *b);           // after the skin
double hw_palm_bearing_top(const hw_palm_build *b); // z of what is solid over it; -INFINITY: none
// What is solid round the bearing: inside the palm, and also where its side falls in.
void hw_put_thumb_bearing(hw_palm_build *b, hw_tools *within, hw_tools *also);
void hw_put_thumb_trough(hw_palm_build *b, hw_tools *cut);
void hw_palm_thumb_yoke(hw_palm_build *b);
void hw_palm_thumb_cap(hw_palm_build *b);

void hw_palm_arm(hw_palm_build *b);
void hw_palm_collar(hw_palm_build *b); // before tray and lid

// A servo's parts as boxes along the hand's axes, `gap` round each.
typedef enum hw_servo_box { HW_BOX_CASE, HW_BOX_EARS, HW_BOX_HORN, HW_BOX_LEAD } hw_servo_box;
hw_box3 hw_servo_box_of(const hw_palm_servo *s, hw_servo_box which, double gap);

// Rooms of servos with their pilot holes, and of lugs, with a way in from `above` them; what rods
// pass over.
void hw_put_pockets(hw_palm_build *b, hw_tools *t, double above); // [m]
void hw_put_rods(hw_palm_build *b, hw_tools *t, bool in_lid);
bool hw_in_bay(const hw_palm_build *b, hw_vec3 at); // where carriers and yokes are, or before them

#define HW_PILOT 0.42 // radius of a screw's pilot hole, in its diameters [1]

// The pilot hole of a servo's ear (0 at -x, 1 at x) in its own frame, from the ear's underside to
// its end. Returns its radius; not above 0: there is none. [m]
double hw_servo_pilot(const hw_palm_servo *s, int ear, hw_vec3 path[2]);

#define HW_LID_UNDER 0.8 // of the palm's lid under a screw's head, in its diameters [1]

// Countersunk heads, in diameters of their screws: the least of ISO 7046 with a twentieth round it.
// [1]
#define HW_SUNK_HEAD 0.97 // radius of its room
#define HW_SUNK_DEEP 0.65 // of its face over the lid's underside; its cone is 45 degrees steep

// Above servos that stand is an attic: leads run in it to the wrist. Below its floor the tray is
// solid but for rooms of servos and rods, so that no wall between two of them stands alone.
double hw_attic_floor(const hw_palm_build *b); // [m]

// Walls round each servo that stands out into the attic, from the floor to the lid; NULL: none
// does.
const hw_field *hw_palm_cradles(hw_palm_build *b);

// Ways of sheaths: open upward in what is printed with its back up, and grooves in the lid's
// underside, whose ceilings are at most HW_PALM_ROUTES bridges (how many is returned).
const hw_field *hw_palm_cleared(hw_palm_build *b, const hw_palm_route *r, double up);
// Trenches open upward in `open` alone (NULL: everywhere), elsewhere they are roofed bores.
void hw_put_trenches(hw_palm_build *b, hw_tools *t, const hw_field *open);
// What joins these bores in a wall across the hand, from x[0] to x[1], to one another and to the
// wrist's window where less than half a wall, or 0.4 screws, would be left between them. [m]
void hw_put_bores_joined(hw_palm_build *b, hw_tools *t, const double x[2]);
void hw_put_grooves(hw_palm_build *b, hw_tools *t);
size_t hw_groove_allowances(const hw_palm_build *b, hw_allowance out[HW_PALM_ROUTES]);

// Up to n places for screws in plan at height z: inside `within` and outside `tools` by at least
// `room`, as far from each other as can be. Returns how many.
size_t hw_screw_places(const hw_field *within, const hw_field *tools, hw_box3 region, double room,
                       size_t n, hw_vec3 out[]);

// Lips of the tray over the front of the lid, and the slots that they stand in, where there is
// room for them: on each side as far forward as can be. `rooms`: what is cut of the tray; `whole`:
// the lid without what is cut of it. After the lid's screws.
void hw_palm_hooks(hw_palm_build *b, const hw_field *rooms, const hw_field *whole,
                   const hw_field **tray, const hw_field **lid);
// How far toward the fingers the lid is pushed under them.
double hw_hook_slide(const hw_palm_build *b); // [m]

#define HW_THIN      0.225 // of a wall: what is thinner is left out of every part [1]
#define HW_THIN_TRAY 0.28  // the same in the palm's tray, where fins of a line and a third snap [1]
#define HW_THIN_LID  0.33  // the same in the palm's lid, where nothing thin holds anything [1]

// Adds a part; `bed` in the hand's frame, its z up. What is too large is split. `allow` may be
// NULL; boxes in the hand's frame.
void hw_palm_add(hw_palm_build *b, const char *name, const hw_field *f, hw_frame bed,
                 const hw_allowance *allow, size_t allows);
// What of a part, whole or in halves, goes over rooms without standing on them, hand frame.
void hw_palm_roof(hw_palm_build *b, const char *name, const hw_field *roof, hw_frame bed);

#endif
