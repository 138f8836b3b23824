// Shared by the files of this room alone.
#ifndef HW_HAND_INTERNAL_H
#define HW_HAND_INTERNAL_H

#include "hand/hand.h"

// What keeps a joint's pivot together. Test: test/hand/test_hand.c
hw_pivot_kind hw_hand_pivot_kind(const hw_design *d, int digit, int joint);

// Fills pivots and places across of a digit whose layers stand.
void hw_hand_pivots(const hw_design *d, int digit, hw_hand *hand);

// Supply and wires: fills every drive's rail and the hand's supply, after the drives.
void hw_hand_rails(const hw_design *d, hw_hand *hand);

// What the document says of pulley, seats, pads and names of a digit.
void hw_hand_fittings(const hw_design *d, int digit, hw_fittings_def *out);

// Where they are, and what that means for the drive and across the digit.
void hw_hand_fit(const hw_design *d, int digit, hw_hand *hand);

// Servos in the palm, drums and sheaths: after palm and drives, before the supply; gives the drives
// the sheaths that the document does not say. `like`, `keep` as hw_hand_ways.
void hw_hand_places(const hw_design *d, const hw_places *like, bool keep, hw_hand *hand);

// The block that a finger ends in, splayed by `angle`.
hw_body hw_hand_carrier(const hw_hand *hand, int digit, double angle); // [rad]

// The same on its yoke: a plate behind it, a foot and its cone below.
hw_body hw_hand_yoke(const hw_hand *hand, int digit, double angle); // [rad]

// A screw of a digit's carrier in its back face, in the knuckle's y and z; where the carrier has
// none, where its yoke has it all the same.
hw_vec2 hw_hand_screw(const hw_hand *hand, int digit, int which); // [m]

// How the thumb turns in the palm where its axis of opposition lies behind its joint: its sheaths
// come along that axis through a journal and bend inside its yoke to the carrier's back face.
typedef struct hw_bearing {
    hw_vec3 at, along;     // on the axis, behind the joint; unit vector from the wrist [m] [1]
    double mouth;          // from `at` back to the journal's end [m]
    double face;           // from `at` to the carrier's back face, along the straight thumb [m]
    double bend, radius;   // of the sheaths in the yoke [rad] [m]
    double length;         // of them from the mouth to the face [m]
    double journal, elbow; // radius of the journal, of the yoke round the bend [m]
} hw_bearing;

// False: the thumb turns about its joint, or there is none. Test: test/hand/test_places.c
bool hw_hand_bearing(const hw_hand *hand, hw_bearing *out);

// What stands and turns behind the thumb's joint, over all its opposition: journal, yoke, carrier,
// and where no servo turns it the bearing that goes with a lug else; without a bearing a ball as
// thick as the thumb.
enum { HW_THUMB_BODIES = 32 };
size_t hw_hand_thumb_bodies(const hw_hand *hand, hw_body out[HW_THUMB_BODIES]);

// What stands and moves in and before the palm, for servos that stand there.
enum { HW_OBSTACLES = 640 };
typedef struct hw_obstacles {
    hw_obstacle at[HW_OBSTACLES];
    size_t n;
} hw_obstacles;
void hw_hand_obstacles(const hw_hand *hand, hw_obstacles *o);
void hw_hand_standing(const hw_hand *hand, hw_obstacles *o); // but for the thumb's room

// The movers that are driven, in turn, and what is asked of their packing.
size_t hw_hand_items(const hw_places *p, hw_pack_item item[HW_DIGITS], int whose[HW_DIGITS]);
hw_pack_def hw_hand_pack_def(const hw_design *d, const hw_hand *hand, const hw_obstacles *around,
                             const hw_pack_item item[], size_t n);

// Of all parts behind the digits: six lines, and as many more as 2.5 mm take. [m]
double hw_hand_wall(const hw_hand *hand);

// The thumb's room under its roof (parts/palm.h) with its lever's end there: HW_PALM_ROOM bodies,
// or none.
size_t hw_hand_thumb_room(const hw_hand *hand, hw_vec3 end, hw_body out[]);

// How much of the palm lies behind the journal of the thumb's seat, with the lug of its lever, or
// by how much its sheaths' arc ends beyond the carrier's back face; below 0 it has no seat, and
// nothing that turns there is known: at least a plate's thickness where its numbers allow none.
// NaN: none is asked for. Test: test/hand/test_places.c
double hw_hand_seat_room(const hw_hand *hand); // [m]

// What a lever's end stands on, as the parts have it; the thumb's bearing and cap with its own.
// Test: test/make/test_bodies.c
void hw_hand_lug(const hw_hand *hand, int digit, hw_vec3 end, hw_pack_lug *out);

// Measures the movers where their items stand.
void hw_hand_stand(const hw_design *d, const hw_obstacles *around, hw_hand *hand);

// How much deeper the palm must be for them, back and plan as they are; 0: as it is. And the palm
// laid so much deeper, no shallower than the document has it, and all measured anew but the
// sheaths' ways; false: it is so already. Test: test/hand/test_places.c
double hw_hand_shallow(const hw_hand *hand);                       // [m]
bool hw_hand_deepen(const hw_design *d, double by, hw_hand *hand); // [m]

// How far a mover's horn turns so that its lever goes half its range to either side.
double hw_hand_horn_turns(const hw_hand *hand, int digit, const hw_pack_item *item); // [rad]

// The palm's lid begins where the palm is broadest, or above servos: over one that lies too, where
// `most` leaves the lid so many walls, else at its middle.
enum { HW_LID_WALLS = 2 };
double hw_hand_back(const hw_palm *palm);                                 // highest z [m]
double hw_hand_lid_over(const hw_pack_place *p, double gap, double most); // [m] [m] [m]

// Servos of the cords and their drums: up to three columns behind the wrist, rows one behind the
// other, front row first, each row's drums on hubs so much higher that its sheaths pass over those
// before it; all cases at one height, one lid on them. Returns how many.
// Test: test/hand/test_places.c
size_t hw_hand_arm(const hw_design *d, const hw_hand *hand, hw_drum out[HW_DIGITS * HW_JOINTS]);

// The tunnel's holes, ways of sheaths: after servos in the palm and drums. `like`: ways to take
// over where they follow from the same numbers, or to `keep` whatever changed; may be NULL.
void hw_hand_ways(const hw_design *d, const hw_places *like, bool keep, hw_hand *hand);

#endif
