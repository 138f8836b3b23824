// Servos in the palm: bodies of a servo, the slots they stand in, what they meet there, how thick
// the palm must be for them, and a search for slots.
//
// A servo that turns a carrier (splay) or the thumb's base (opposition) stands where there is room
// and moves it by a rod from its horn to a lever on what it turns.
#ifndef HW_PALM_PACK_H
#define HW_PALM_PACK_H

#include "base/arena.h"
#include "base/job.h"
#include "palm/body.h"
#include "palm/palm.h"

// Six ways along the hand frame's axes, in pairs of opposite ones.
typedef enum hw_way {
    HW_WAY_FINGERS, // +x
    HW_WAY_WRIST,   // -x
    HW_WAY_THUMB,   // +y
    HW_WAY_LITTLE,  // -y
    HW_WAY_BACK,    // +z
    HW_WAY_PALM,    // -z
    HW_WAYS
} hw_way;

hw_vec3 hw_way_vector(hw_way way);
const char *hw_way_name(hw_way way); // "the fingers", "the wrist", "the thumb", ... never NULL

// The way nearest to a direction; the first of equals.
hw_way hw_way_of(hw_vec3 direction);

// A hobby servo as boxes. Its own frame: origin on the shaft where it leaves the case, z out along
// the shaft, x along the ears from the shaft to the body's far end.
typedef struct hw_servo_shape {
    double length, width, height; // case: along the ears, across, along the shaft; > 0 [m]
    double ear_span;              // from end to end of the ears, >= length [m]
    double ear_thickness;         // >= 0 [m]
    double ear_at;                // from the case's bottom to the ears' underside, >= 0 [m]
    double shaft_at;              // from the case's near end to the shaft, > 0 [m]
    double spline;                // how far the shaft with its horn stands out, >= 0 [m]
    double horn_arm, horn_width;  // shaft to the arm's end; its width; >= 0 [m]
    double horn_hole;             // shaft to the hole that the rod hooks in, >= 0 [m]
    double horn_turns;            // how far it turns to either side, >= 0 [rad]
    double cable;                 // straight piece that the lead needs where it comes out, >= 0 [m]
    bool cable_far;               // it comes out at the far end
} hw_servo_shape;

enum { HW_SERVO_CASE, HW_SERVO_EARS, HW_SERVO_HORN, HW_SERVO_CABLE, HW_SERVO_ROD, HW_SERVO_BODIES };
enum { HW_SERVO_LUG = HW_SERVO_BODIES };  // what its rod hooks in, where a part is told
const char *hw_servo_body_name(int part); // "case", "ears", "horn", "cable", "rod", "lug"

// Where it stands: the shaft's exit from the case, and which ways shaft, body and horn point. Three
// ways that are not square to each other (or a horn along the shaft) are no slot.
typedef struct hw_servo_slot {
    hw_vec3 at; // [m]
    hw_way shaft, body, horn;
} hw_servo_slot;

// What it turns: a lever's end, its axis, and whose obstacle it is (that its rod may enter).
typedef struct hw_servo_lever {
    hw_vec3 end;  // where the rod's end is, everything at rest [m]
    hw_vec3 at;   // a point on the axis that it turns about [m]
    hw_vec3 axis; // unit vector [1]
    int owner;    // of obstacles that the rod may touch; -1: none
} hw_servo_lever;

// What stands and turns with a lever's end, over all its turns: where the end goes it goes.
enum { HW_PACK_LUGS = 8 };
typedef struct hw_pack_lug {
    hw_body body[HW_PACK_LUGS];
    size_t n;
    size_t hooked; // the first of them, that the servo's own rod hooks in, the middle of its turns
                   // in the middle: its horn keeps clear of that one, and both of the others
    double lack;   // by how much it stands in what holds its own base, >= 0 [m]
} hw_pack_lug;

typedef struct hw_obstacle {
    hw_body body;
    int owner; // the caller's number, told in the result
} hw_obstacle;

typedef struct hw_pack_item {
    hw_servo_shape shape;
    hw_servo_slot slot; // given, or where the search begins to count
    hw_servo_lever lever;
    hw_pack_lug lug; // n may be 0
} hw_pack_item;

typedef struct hw_pack_def {
    const hw_pack_item *item;
    size_t items;
    const hw_obstacle *obstacle;
    size_t obstacles;
    const hw_palm *palm; // its outline holds the servos
    double wall;         // between a servo and the palm's skin, >= 0 [m]
    double gap;          // between bodies, >= 0 [m]
    double rod;          // diameter of the rods, >= 0 [m]
    double skew;         // how far a rod may lie off a horn's or a lever's way, at most [rad]
} hw_pack_def;

hw_pack_def hw_pack_def_default(void);

typedef enum hw_pack_meets {
    HW_PACK_FREE,     // everything is farther than `enough`
    HW_PACK_OBSTACLE, // which: number of the obstacle
    HW_PACK_SERVO,    // which: number of the item, its lug or a body of it
    HW_PACK_LUG,      // what its own rod hooks in
    HW_PACK_SKIN,     // the palm's outline in plan
    HW_PACK_SLOT      // the three ways are no slot, or the rod lies too much askew
} hw_pack_meets;

typedef struct hw_pack_place {
    hw_servo_slot slot;
    hw_frame frame;                // of the servo, in the hand's
    hw_body body[HW_SERVO_BODIES]; // in the hand's frame
    hw_pack_lug lug;               // its item's
    double rod;                    // length of its rod [m]
    double skew[2];      // of the rod from the way of the horn's and the lever's end [rad]
    double room;         // least gap to anything, less def's gap; negative: lacking [m]
    hw_pack_meets meets; // what is nearest
    int which;
    int part;         // which of its bodies (HW_SERVO_CASE ...), or HW_SERVO_LUG
    hw_vec3 away;     // unit vector along which it comes free; the way in which room is lacking is
                      // the opposite [1]
    double thickness; // of the palm where it stands, back to palm, walls included [m]
} hw_pack_place;

typedef struct hw_pack {
    hw_pack_place *place; // one an item
    size_t places;
    double room;      // least of all [m]
    size_t tightest;  // whose
    double thickness; // that the palm needs for them, the outline's own back kept [m]
    size_t thickest;  // whose
} hw_pack;

// Bodies of a servo in its own frame, without a rod: HW_SERVO_ROD is left a body of size 0 at the
// horn's end. `horn` is the way in that frame, unit and square to z.
void hw_servo_bodies(const hw_servo_shape *s, hw_vec3 horn, hw_body out[HW_SERVO_BODIES]);

// What of a servo stands against a tray, in its own frame: its case, the ear at its near end, the
// one at its far end. Test: test/parts/test_palm_hold.c, test/hand/test_tray.c
enum { HW_SERVO_BLOCKS = 3 };
typedef struct hw_servo_block {
    double low[3], high[3]; // [m]
} hw_servo_block;
void hw_servo_blocks(const hw_servo_shape *s, hw_servo_block out[HW_SERVO_BLOCKS]);

// Frame of a slot; false: its ways are not square to each other.
bool hw_servo_frame(const hw_servo_slot *slot, hw_frame *out);

// What a torque on the servo's shaft is worth about its lever's axis, the lever turned by `turn`
// from where the place's rod was measured: the rod keeps its length. NaN where it does not reach.
// Source: virtual work, d(shaft) / d(lever). Test: test/palm/test_pack.c
double hw_servo_worth(const hw_pack_item *item, const hw_pack_place *place, double turn); // [rad]

// Every item in its own slot: what it meets, and how thick the palm must be. Lugs keep clear of
// each other, of servos and of obstacles that are not their lever's owner's. Distances beyond
// `enough` of 20 gaps are not told apart. Bodies that touch the skin in plan lack room; the skin's
// depth is what `thickness` tells: the outline's back above its shaft (and what stands out of the
// back) down to its lowest point, a wall on both sides; and so much that the flat face which the
// palm is printed on, the lowest of the outline's palmar middle, has a wall before it.
// HW_BAD_INPUT: a number out of its range. HW_NO_MEMORY. Cost: about 0.1 us a pair of bodies. Test:
// test/palm/test_pack.c
HW_MUST_USE hw_code hw_pack_given(const hw_pack_def *def, hw_pack_place place[], hw_pack *out);

// What else the search may change and what else it is to count, the caller's. Any may be NULL;
// all are called from several threads at once.
enum { HW_PACK_ROOM = 240, HW_PACK_MARKS = 2048 };
typedef struct hw_pack_room {
    hw_body body[HW_PACK_ROOM]; // that stand where a lever's end is, as obstacles of its owner's
    size_t n;
} hw_pack_room;

typedef struct hw_pack_free {
    // Gives an item another lever's end and horn's hole: `lever`, `lug`, horn; *room: obstacles
    // that come with them. False: none may be there, neither is looked at again.
    bool (*lever)(const void *self, size_t which, hw_vec3 end, double hole, hw_pack_item *item,
                  hw_pack_room *room); // [m] [m]
    // What is told of one item where it stands, kept for `lacks` while it stands there. May be
    // NULL.
    void (*mark)(const void *self, const hw_pack_item *item, const hw_pack_place *place,
                 uint8_t mark[HW_PACK_MARKS]);
    // What n items where they stand lack beside room, >= 0; of the places `room` is not told.
    double (*lacks)(const void *self, const hw_pack_item *const item[],
                    const hw_pack_place *const place[], const uint8_t *const mark[],
                    size_t n); // [m]
    const void *self;
} hw_pack_free;

typedef struct hw_pack_effort {
    uint64_t seed;
    size_t starts; // >= 1, from places at random but for `near`; four at a time, until one lacks
                   // nothing
    long steps;    // >= 1 of each, five times
    bool near;     // the first four from where the items are, less hot
} hw_pack_effort;

// Searches slots, and levers and horns where `free` lets them: annealing over moves of single items
// (shifted, turned, put elsewhere, another lever or horn), the sum of what each lacks beside palm
// and obstacles, of what each two lack, and of what `free` counts as cost. What lies within a tenth
// of the gap beyond it is lacking too. *lacks: that sum [m]; 0: found. The same bits for any number
// of threads. HW_BAD_INPUT: a number out of its range. HW_NO_MEMORY. HW_CANCELLED: asked to stop;
// items and *lacks are the best so far, *lacks is NaN where there is none. Cost: about 20 us a
// step. Source: Kirkpatrick, Gelatt & Vecchi 1983, Science 220(4598):671-680 (from memory). Test:
// test/palm/test_pack_find.c
HW_MUST_USE hw_code hw_pack_find(hw_arena *a, const hw_pack_def *def, const hw_pack_free *free,
                                 const hw_pack_effort *effort, const hw_job *job,
                                 hw_pack_item item[],
                                 double *lacks); // [m]

// Least and largest y of the palm's outline at x, and its z at (x, y): [0] palm, [1] back. Beyond
// its ends the outline's last sections count. NaN beside the outline. Test: as above.
void hw_palm_across(const hw_palm *palm, double x, double y[2]);          // [m] [m]
void hw_palm_depth(const hw_palm *palm, double x, double y, double z[2]); // [m] [m] [m]

#endif
