// Design -> Hand: the only room that knows both the document's entries and the core's types.
#ifndef HW_HAND_H
#define HW_HAND_H

#include "anatomy/anatomy.h"
#include "design/design.h"
#include "digit/digit.h"
#include "drive/drive.h"
#include "palm/pack.h"
#include "palm/palm.h"
#include "palm/route.h"
#include "parts/parts.h"
#include "pivot/release.h"
#include "power/rail.h"
#include "stack/layers.h"

enum { HW_THUMB, HW_INDEX, HW_MIDDLE, HW_RING, HW_LITTLE };

// Forces that the hand is meant to bear, one each load case. All >= 0.
typedef struct hw_loads {
    double tip;   // palmar push at the tip [N]
    double pad;   // palmar push at the middle of any one pad [N]
    double hook;  // pull at the middle of the proximal phalanx, as when carrying [N]
    double knock; // push on the back of the tip [N]
    double side;  // sideways push at the tip [N]
} hw_loads;

// What making one digit takes, and what its parts cost: least and most, in the maker's money.
typedef struct hw_making {
    double parts, pins;    // printed parts it comes in; bought pins [1]
    double servo_screws;   // of one servo [1]
    bool crimped;          // ends of its cords
    double servo_cost[2];  // of one [1]
    double cord_cost[2];   // of a metre [1]
    double sheath_cost[2]; // of a metre [1]
} hw_making;

// What the supply sees when every drive of the hand does the same at once. Voltages are the least
// at any servo, currents those of the rail that bears most (digits of one supply voltage share
// one).
typedef struct hw_supply {
    double current;       // that one supply may give [A]
    double grip_voltage;  // all at their brief share [V]
    double grip_current;  // [A]
    double hold_voltage;  // all at their holding share [V]
    double hold_current;  // [A]
    double stall_voltage; // all stalled, or starting at once [V]
    double stall_current; // [A]
    size_t servos;        // how many there are
} hw_supply;

// A servo in the palm that moves a digit's splay or the thumb's opposition.
typedef struct hw_mover {
    bool driven;
    hw_pack_item item;  // shape, slot and lever
    hw_servo_line line; // at `voltage`
    double voltage;     // [V]
    double screws;      // [1]
    double cost[2];     // least and most [1]
} hw_mover;

// A cord's end at the forearm: a servo of flexion and its drum, about an axis along z.
typedef struct hw_drum {
    int digit, joint;
    hw_frame servo; // origin where the shaft leaves the case, z along it, x to the case's far end
    hw_vec3 at;     // of the drum's middle, where its cords come off [m]
    double radius;  // to the cord's middle [m]
    double height;  // of the drum, along its axis [m]
    double above;   // its middle above the servo's case [m]
} hw_drum;

// One sheath from its drum through the wrist to its digit. What its bore is cut along: `way`, in
// the hand frame; points of it by hw_route_at, bodies by hw_route_bodies, clips by hw_route_clips.
typedef struct hw_sheath_way {
    int digit, joint; // whose cord, and which joint it turns
    bool opening;     // the one that opens
    hw_route way;     // hand frame
    hw_vec3 wrist;    // where it passes the tunnel's middle [m]
    double room;      // least gap to servos, carriers, drums and other sheaths [m]
    struct {
        double length, bend; // on from the way's end inside the thumb's yoke [m] [rad]
    } inside;
    size_t crossings; // of sheaths that lie already, nearer than two diameters
    size_t clips;     // that hold it, drive.sheath.clips apart at most
} hw_sheath_way;

// One servo's lead to the board's socket.
typedef struct hw_lead {
    int digit;     // whose servo
    bool in_palm;  // the one of its splay or opposition; its way is `way`, others have no points
    bool shut;     // it has no way out of the palm, or would bend too often
    hw_route way;  // from the servo to the tunnel, and from there to the socket [m]
    double inside; // along it: where it has passed the tunnel [m]
    double needs;  // with a tenth more for what hangs; straight ones a quarter [m]
    double has;    // length that it comes with [m]
} hw_lead;

enum { HW_SHEATH_WAYS = 2 * HW_JOINTS * HW_DIGITS, HW_LEADS = (HW_JOINTS + 1) * HW_DIGITS };

// Servos in the palm, drums in the forearm, sheaths between them. Numbers are NaN where there is no
// such thing, or where its numbers are faulty.
typedef struct hw_places {
    hw_mover mover[HW_DIGITS];
    hw_pack_place place[HW_DIGITS]; // of the movers in turn
    int whose[HW_DIGITS];           // digit of each
    hw_pack pack;                   // its `place` is NULL: the array above holds them
    double wall;                    // skin over them [m]
    double seat;                    // palm behind the thumb's journal; below 0 it has no seat, and
                                    // pack.room says so; NaN: none is asked for [m]
    bool routed;                    // ways were asked for
    hw_tunnel tunnel;
    hw_vec3 tunnel_at;             // its middle [m]
    double tunnel_length;          // in which sheaths lie straight [m]
    double bundle;                 // least gap in the tunnel [m]
    size_t movers;                 // whose leads pass it too
    hw_vec2 mover_hole[HW_DIGITS]; // where, from its middle [m]
    hw_drum drum[HW_DIGITS * HW_JOINTS];
    size_t drums;
    hw_lead lead[HW_LEADS];
    size_t leads;
    double wrist_range;  // how far the wrist yields to either side [rad]
    double wrist[2];     // length to spare that it asks of a sheath, and that there is [m]
    double wrist_radius; // of the tightest sheath beside the bent wrist; infinite: it is fast [m]
    hw_sheath_way sheath[HW_SHEATH_WAYS];
    size_t sheaths;
    uint64_t ways_key; // of all that the ways follow from
} hw_places;

typedef struct hw_hand {
    double length, breadth; // [m]
    hw_hand_shape person;   // a person's hand of that length and breadth
    bool left;
    bool classroom;
    bool present[HW_DIGITS];
    hw_digit digit[HW_DIGITS];
    hw_drive drive[HW_DIGITS];        // cord family: the pulley is the cord's arm at joint 0
    hw_servo_heat heat[HW_DIGITS];    // of each digit's servos
    double softens;                   // temperature at which the print gives way [K]
    hw_supply supply;                 // NaN where no digit is present
    double return_preload[HW_DIGITS]; // of an elastic return at the driven knuckle, open [N*m]
    double return_rate[HW_DIGITS];    // of that return [N*m/rad]
    hw_layers layers[HW_DIGITS];      // across each digit; n == 0: the digit's numbers are faulty
    hw_pivot pivot[HW_DIGITS][HW_JOINTS]; // where layers stand
    hw_bar_pivot bar_pivot[HW_DIGITS][2]; // where layers stand
    hw_across across[HW_DIGITS]; // where layers stand; the pulley's cords in its layer, others in
                                 // the middle plane
    hw_knuckle_cord knuckle_cord[HW_DIGITS]; // of the drive; direct digits: a pure couple
    hw_fittings fittings[HW_DIGITS]; // where layers stand: pulley, spool, the carrier's seats
    bool fitted[HW_DIGITS];          // they are known
    double carrier_bed[HW_DIGITS];   // where fitted: z of the bed under the carrier's back edge as
                                     // it is printed, in the knuckle's frame [m]
    double stop_arm[HW_DIGITS];      // of the knuckle's closed stop [m]
    double back_drive[HW_DIGITS];    // share of stall that turns the unpowered servo; 1: never [1]
    hw_making making[HW_DIGITS];
    struct {
        double body_parts, body_screws, drum_screws, solder_joints; // [1]
    } build;
    int servos[HW_DIGITS];    // that flex each digit
    bool together[HW_DIGITS]; // direct: the last two joints share one
    hw_places places;
    hw_palm palm;                 // as hw_hand_palm lays it out; all NaN: its numbers are faulty
    double friction, grip_safety; // of pads on what they hold; times over [1]
    hw_loads loads;
    double law[HW_JOINTS];   // natural closing MCP:PIP:DIP [rad]
    double modulus;          // of the printed filament [Pa]
    double strength;         // of the printed filament along its lines [Pa]
    double strength_across;  // of the printed filament across its layers [Pa]
    double gap, line, layer; // printer's gap between moving parts, line width, layer height [m]
    double cone_half_angle;  // of the pivots, from the joint's axis [rad]
    double cone_engagement;  // of the pivots [m]
} hw_hand;

// Builds the hand from a design. Never fails on a design that was read: what cannot be assembled
// shows as findings later. Test: test/hand/test_hand.c
void hw_hand_build(const hw_design *d, hw_hand *out);

// The same, to the bit, and quicker where the sheaths' ways follow from the same numbers as those
// of `like`, a hand that was built before: these are taken over. For levers and surveys, where most
// changes leave the ways alone. `keep`: they are taken over whatever changed, as sheaths that lie
// already are pushed aside a little; lengths and bends are then those of `like`.
// Test: test/hand/test_places.c
void hw_hand_build_like(const hw_design *d, const hw_hand *like, bool keep, hw_hand *out);

// Slots, levers and horns of the servos in the palm: first from where they are, in small steps;
// where that leaves something lacking, by annealing near by and from anywhere (hw_pack_find) for
// what lacks least in all, of room, of what holds each servo in the palm's tray and of what its lid
// needs to close over it; where ways are asked for, servos and sheaths then give way to each other.
// *found is the hand with what was found:
// mover[].item, place, pack and ways are new, all else is the hand's; it is the hand itself where
// it lacks nothing or nothing better was found. Deterministic, the same bits for any number of
// threads. HW_CANCELLED: asked to stop, *found is the best so far. Cost: 2 s to a minute and a
// half, more where ways are asked for. Source: own. Test: test/hand/test_seek.c
HW_MUST_USE hw_code hw_hand_slots(hw_arena *a, const hw_design *d, const hw_hand *hand,
                                  const hw_job *job, hw_hand *found);

// What digits.*.splay.lever (the thumb's: opposition.lever) says of a lever: its end from the axis
// that it turns, a finger's in its knuckle's frame. Test: as above.
hw_vec3 hw_hand_lever_arm(const hw_hand *hand, int digit, const hw_servo_lever *lever); // [m]

// What is lacking of a hand's places in all, the sum of what servos, sheaths, bends and the tunnel
// lack, and a tenth of the palm's length for the share of a lever's range that its servo does not
// reach; 0: everything has room. Test: as above.
double hw_hand_lacks(const hw_design *d, const hw_hand *hand); // [m]

// What the document says of the palm, and what the digits of a built hand do: a right hand's. Test:
// test/hand/test_palm.c
void hw_hand_palm(const hw_design *d, const hw_hand *hand, hw_palm_def *out);

// What a digit's parts are made with, chords as fine as hw_parts_def_default's: overwrite
// `deviation` for others. Test: test/parts/test_digit.c
void hw_hand_parts(const hw_design *d, int digit, hw_parts_def *out);

// Palm, forearm and stand, as printed parts (parts/palm.h). Test: test/parts/test_palm.c
struct hw_palm_parts_def;
void hw_hand_palm_parts(const hw_design *d, const hw_hand *hand, struct hw_palm_parts_def *out);

// The area that the rod of a servo in the palm asks for where that can slip, stalled. Test:
// test/parts/test_palm_hold.c
double hw_hand_servo_asks(const hw_hand *hand, int digit); // [m2]

// The printer that the parts are judged for (print/print.h). Test: test/cli/test_make.c
struct hw_print_def;
void hw_hand_print(const hw_design *d, struct hw_print_def *out);

#endif
