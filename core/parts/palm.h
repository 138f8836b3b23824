// Printed parts behind the digits: the palm as a tray and its lid, a yoke for every finger, the
// forearm that clamps the servos of flexion, its lid, a stand with the seat of the controller. All
// are fields (solid/field.h), each in a bed frame of its own.
//
// Palm and forearm are open trays: servos drop in from the back and the lids hold them by their
// ears, so that no servo needs screws of its own; the palm's is held by screws in posts where its
// servos leave room, and by two in the forearm's flange, over which it goes on. Every carrier is
// screwed to a yoke. A finger's has a cone that turns in a socket of the tray's floor, held by one
// screw from the palm's side; the thumb's a journal that turns between the tray and a cap on
// the palm's face, which two screws hold.
#ifndef HW_PARTS_PALM_H
#define HW_PARTS_PALM_H

#include "palm/body.h"
#include "solid/allow.h"
#include "solid/field.h"

enum {
    HW_PALM_DIGITS = 5, // thumb, index, middle, ring, little
    HW_PALM_LOOPS = 9,  // sections of the palm's outline
    HW_PALM_LOOP = 32,  // points of each
    HW_PALM_SERVOS = 8,
    HW_PALM_ROUTES = 20,
    HW_PALM_ROUTE = 96, // points of each
    HW_PALM_HOLES = 8,
    HW_PALM_PARTS = 24
};

#define HW_PALM_PLATE 3e-3 // of yokes and lids, unless said otherwise [m]
#define HW_PALM_SCREW 3e-3 // diameter of all screws, unless said otherwise [m]

// What a digit's carrier stands on: its yoke. Frames are in the hand's; the carrier's block is told
// in the knuckle's frame: x along the straight digit, y about which it flexes, z dorsal. A finger's
// yoke turns in the tray's floor. The thumb's turns about the axis of opposition in a journal that
// its sheaths run through, round an arc and straight on to the carrier's back face.
typedef struct hw_palm_seat {
    bool present;
    hw_frame knuckle;   // [m]
    double back;        // x of the carrier's back face, < 0 [m]
    double side[2];     // y of its sides, low and high [m]
    double half;        // half its thickness [m]
    double bed;         // z of the bed under its back edge as it is printed: it goes down to there;
                        // 0: not known [m]
    hw_vec2 screw[2];   // its two screws in the back face: .x along y, .z along z [m]
    hw_vec2 sheath[2];  // a finger's: where its sheaths come out of that face [m]
    double sheath_bore; // diameter of their ways through the yoke; 0: none [m]
    hw_vec3 splay_at;   // a point on the splay axis, the thumb's: where the straight thumb's own
                        // line meets the axis of opposition [m]
    hw_vec3 splay_axis; // unit vector, dorsal; the thumb's: positive turns before the palm [1]
    double splay[2];    // least and largest; equal: the yoke stands fast [rad]
    bool levered;       // a rod turns it
    hw_vec3 lever;      // where the rod's end is, at rest, behind the carrier; the thumb's: in the
                        // middle of its range [m]
    double bore;        // thumb: diameter of the sheaths' way; 0: the seat is left out [m]
    double radius;      // thumb: of the arc that they take, to their middle [m]
    double mouth;       // thumb: from splay_at to the journal's end at the wrist [m]
    double flexion[2];  // of its first segment, the thumb's metacarpal: least and largest [rad]
    double segment, width;   // of that, from the knuckle on; 0: a finger that takes no room [m]
    double thickness, taper; // of that at the knuckle and at its end [m]
} hw_palm_seat;

// A servo where it stands. Its frame, in the hand's: origin where the shaft leaves the case, z out
// along the shaft, x along the ears from the shaft to the case's far end.
typedef struct hw_palm_servo {
    hw_frame frame;
    double length, width, height;           // of the case, > 0 [m]
    double ear_span, ear_thickness, ear_at; // ears; ear_at: their underside above the bottom [m]
    double shaft_at;                        // from the case's near end [m]
    hw_vec3 horn[2];                        // least and largest corner of what its horn or drum
                                            // sweeps, in its own frame [m]
    double cable;                           // room for the lead before the end it comes out of [m]
    bool cable_far;                         // that is the far end
    double asked;                           // area of the tray that has to stand in its way,
                                            // whichever; 0: all that there is [m^2]
} hw_palm_servo;

// The rod from a servo's horn to what it turns, at three moments of its travel.
typedef struct hw_palm_rod {
    hw_vec3 horn[3], lever[3]; // its ends: least, middle, most [m]
    double radius;             // [m]
    bool from_palm;            // it goes in from there, as the thumb's does
} hw_palm_rod;

// A way that a sheath or a lead takes, as a bore.
typedef struct hw_palm_route {
    hw_vec3 at[HW_PALM_ROUTE]; // [m]
    size_t n;
    double radius; // of the bore [m]
} hw_palm_route;

// The controller's board, seen from above, one corner at 0; length 0: none.
typedef struct hw_palm_board {
    double length, width, thickness; // [m]
    double under, over;              // room below and above it [m]
    hw_vec2 hole[HW_PALM_HOLES];     // of its screws: .x along its length, .z across [m]
    size_t holes;
    double bore;      // of their posts' pilot holes [m]
    double socket[2]; // its sockets reach from here to there along the edge z = 0 [m]
    bool mirrored;    // the stand will be, as a left hand's parts are: its seat is made so that the
                      // same board fits
} hw_palm_board;

typedef struct hw_palm_parts_def {
    hw_vec3 outline[HW_PALM_LOOPS][HW_PALM_LOOP]; // of the palm: closed loops from wrist to
                                                  // knuckles, x rising along every column, counter-
                                                  // clockwise seen from the fingertips [m]
    hw_palm_seat digit[HW_PALM_DIGITS];
    hw_palm_servo palm[HW_PALM_SERVOS]; // in the palm
    size_t palm_servos;
    hw_palm_rod rod[HW_PALM_SERVOS];
    size_t rods;
    hw_palm_servo arm[HW_PALM_SERVOS]; // in the forearm: shafts along +z
    size_t arm_servos;
    hw_palm_route route[HW_PALM_ROUTES];
    size_t routes;
    hw_palm_board board;
    double split;  // height of the plane between tray and lid [m]
    double line;   // width of the printer's lines, > 0 [m]
    double wall;   // of shells, > 0 [m]
    double floor;  // least below cavities, > 0 [m]
    double plate;  // of yokes and lids, > 0 [m]
    double gap;    // between moving parts and round what is put in, > 0 [m]
    double screw;  // diameter of all screws [m]
    double bed[3]; // what the printer reaches, less its margin [m]
    double bridge; // longest span that prints in the air [m]
    double bears;  // what prints bear across layers for long, > 0 [Pa]
} hw_palm_parts_def;

// A hand of 186 x 84 mm with two small servos in the palm and four of the standard size in the
// forearm, sizes of common practice. Test: test/parts/test_palm.c
hw_palm_parts_def hw_palm_parts_def_default(void);

// Least distance from the thumb's axis point to the journal's mouth at which its bearing has room
// before what leans out of it; NaN: no thumb, or one that cannot be seated. Test: as above.
double hw_palm_thumb_mouth(const hw_palm_parts_def *def); // [m]

// The lug that a digit's rod hooks in, over all turns of its yoke, for what keeps clear of it; the
// thumb's bearing with its cap comes last: *bearing is then 1, else 0. Nothing but the seats, the
// outline and wall, plate, gap and screw is asked of the definition. Returns how many bodies; a
// seat without a rod has no lug. Test: test/make/test_bodies.c
enum { HW_PALM_LUGS = 8 };
size_t hw_palm_lug(const hw_palm_parts_def *def, int digit, hw_body out[HW_PALM_LUGS],
                   size_t *bearing);

// How far a lug keeps clear of the heads of its own yoke's screws and a driver's way to them, and
// of its sheaths; or what a finger's eye has round it inside the yoke's side beyond what it asks.
// Of the thumb's lug the eye alone counts. Infinite: no lug. Of the definition the same is asked as
// above. Test: test/parts/test_palm.c
double hw_palm_lug_room(const hw_palm_parts_def *def, int digit); // [m]

// The thumb's room as bodies, for what stands in the palm: upright blocks that hold all that is
// left free for carrier, yoke and metacarpal over opposition and flexion, with what falls away
// above that so that its ceiling prints. Of the definition the same is asked as above. Returns how
// many; 0: no seat. Test: test/parts/test_palm_room.c
enum { HW_PALM_ROOM = 240 };
size_t hw_palm_thumb_room(const hw_palm_parts_def *def, hw_body out[HW_PALM_ROOM]);

// The palm's tray up to the back as it would be without servos, rods, leads and screws: what the
// outline holds less what digits, yokes and thumb leave free. *bay: where carriers and yokes are,
// and all before them. In the hand's frame; NULL: the definition is faulty, or no memory. Servos
// and rods of the definition are not asked for. Test: test/hand/test_tray.c
const hw_field *hw_palm_block(hw_arena *keep, const hw_palm_parts_def *def, const hw_field **bay);

typedef struct hw_palm_part {
    char name[64];         // "palm tray", "index yoke"; unique
    const hw_field *field; // in its bed frame: z up, its lowest at 0
    hw_frame bed;          // of the bed, in the hand's frame
    const hw_allowance *allow;
    size_t allows;
    double brim;          // it is printed with one so wide round it; 0: with none [m]
    const hw_field *roof; // what of it goes over rooms without standing on them; NULL: none
    double post;          // once settled: push that the weakest post or fin beside a servo bears at
                          // its top, over the stress that its root may take; 0: not settled [m^2]
    hw_vec3 post_at;      // its root, in its bed frame
} hw_palm_part;

enum { HW_LID_SCREWS = 8, HW_LID_HOOKS = 2 };

// A lip of the tray that leans back over the lid.
typedef struct hw_lid_hook {
    hw_vec3 at;        // middle of its stem's rear face in the lid's plane, hand frame [m]
    double wide, lean; // across the hand; how far it leans over the lid, toward the wrist [m]
} hw_lid_hook;

typedef struct hw_palm_parts {
    hw_palm_part part[HW_PALM_PARTS];
    size_t parts;
    size_t screws;                    // that join them, those of the carriers too
    double bottom;                    // z of the tray's bed face, hand frame [m]
    double top;                       // largest z of the palm [m]
    hw_vec3 lid_screw[HW_LID_SCREWS]; // where they come out of the palm's lid, hand frame [m]
    size_t lid_screws;
    hw_vec3 wrist_screw[2]; // where they pass from the forearm into the tray, hand frame [m]
    hw_lid_hook lid_hook[HW_LID_HOOKS]; // what holds its front
    size_t lid_hooks;
    hw_solid board; // outline and holes of the board as one plate, for drawings
} hw_palm_parts;

// All parts, in `keep`. What is longer than the bed is split in halves that pegs align.
// HW_BAD_INPUT: a number out of its range, *fault says which. HW_LIMIT: more parts than there is
// room for. HW_NO_MEMORY. Lengths scale: all parts of a definition made larger are larger by as
// much. Test: test/parts/test_palm.c
HW_MUST_USE hw_code hw_palm_parts_of(hw_arena *keep, const hw_palm_parts_def *def,
                                     hw_palm_parts *out, const char **fault);

// Leaves out of tray and lid what would not print there: where rooms meet, pieces that begin in the
// air, ceilings over more than a line's ledge, walls thinner than a line and a third
// (hw_field_standing, in cells of a tenth of a wall). *taken: volume of that [m^3]; may be NULL.
// Fields in `keep`; `work` is rewound. HW_LIMIT, HW_NO_MEMORY, HW_CANCELLED as there. Cost: some 3
// s of one core. Test: test/make/test_bodies.c
HW_MUST_USE hw_code hw_palm_parts_settle(hw_arena *keep, hw_arena *work,
                                         const hw_palm_parts_def *def, const hw_job *job,
                                         hw_palm_parts *parts,
                                         double *taken); // [m^3]

#endif
