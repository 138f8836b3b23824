// Where the thumb stands: what its seat asks of the palm, and a search for its base.
//
// Its carrier is screwed to a yoke that turns in the palm: a plate behind the carrier and a hollow
// journal about the axis of opposition, from the point P on it (hw_palm.opposition_at) toward the
// wrist. The thumb's sheaths come along the axis through the journal, bend inside the yoke by the
// angle between axis and straight thumb, and end in the carrier's back face.
#ifndef HW_PALM_THUMB_H
#define HW_PALM_THUMB_H

#include "base/job.h"
#include "palm/grip.h"
#include "palm/oppose.h"

typedef struct hw_thumb_seat {
    double block[HW_HAND_DIGITS][2]; // x of every carrier's back and front, from its knuckle [m]
    double plate;                    // of yokes, >= 0 [m]
    double radius;                   // of the sheaths' bend inside the yoke, >= 0 [m]
    double journal;                  // its outer radius, > 0 [m]
    double bearing;                  // length that it turns in, >= 0 [m]
    double wall;                     // of the palm round it, >= 0 [m]
    double sheath;                   // outer diameter of the fingers' sheaths, >= 0 [m]
    double gap;                      // kept between what moves and what stands, >= 0 [m]
    double miss, angle;              // of pads, at most [m] [rad]
    bool tied;                       // the thumb's outer joints go with its base
} hw_thumb_seat;

// What a seat asks: how much room there is, negative where it is lacking.
typedef struct hw_thumb_room {
    double behind;         // the axis behind the joint, past carrier, bend and plate [m]
    double mouth;          // the journal's wrist end before the wrist [m]
    double body;           // the palm round the journal [m]
    double carriers;       // carrier and yoke beside the fingers', over all of opposition [m]
    double sheaths;        // the same and the journal beside the fingers' sheaths [m]
    double grip[HW_GRIPS]; // thumb beside fingers in each grip, but for what is to touch [m]
    double palm;           // the share of the palm that it sweeps, 0 to 1 [1]
} hw_thumb_room;

// The angle that the sheaths bend by: between the axis toward the fingers and the straight
// unopposed thumb. [rad]
double hw_thumb_bend(const hw_palm *p);

// How far behind the thumb's joint the axis has to lie so that sheaths bent by the seat's radius
// end in the carrier's back face and the plate lies before the axis: whichever asks more. The
// tangents of an arc are as long as its radius times tan(bend / 2). Test: test/palm/test_thumb.c
double hw_thumb_behind(const hw_palm *p, const hw_thumb_seat *seat); // [m]

// From P to the journal's wrist end: its bearing, behind what leans out of it inside a cone of 45
// degrees (core/parts prints it standing on that end), or the arc's tangent where that is longer.
// Test: as above.
double hw_thumb_mouth(const hw_palm *p, const hw_thumb_seat *seat); // [m]

// The share of the palm, from wrist to the fingers' carriers, that carrier, plate, metacarpal and
// journal take, 0 to 1: the block behind the joint and the hull of the metacarpal's discs, over
// opposition and the base's flexion, and the journal with its wall, each with the gap round it. In
// `cells` cells along the palm (>= 1), those on an edge in part. NaN: bad input. Accuracy: with 20
// cells 0.01; opposition goes by steps of a cell half a palm off its axis. Test: as above.
double hw_thumb_swept(const hw_palm *p, const hw_palm_motion *thumb, const hw_thumb_seat *seat,
                      int cells); // [1]

// Room of a seat, each at most a pad's length. HW_BAD_INPUT: a number is not finite, or no thumb.
// Accuracy: opposition and closings are looked at in steps. Test: as above.
HW_MUST_USE hw_code hw_thumb_room_of(const hw_palm *p, const hw_palm_motion motion[HW_HAND_DIGITS],
                                     const hw_thumb_seat *seat, hw_thumb_room *out);

// How well a thumb's base serves: sum over the fingers that are there of (miss / pad length)^2 and
// (angle / 60 degrees)^2 / 4, an outer finger's with less weight, as a pinch uses them: 33, 33, 17,
// 15 % (Radwin et al. 1992, docs/sources/anatomy.md). With a seat, every lack of its room, and what
// misses and angles are over its limits, squared, a hundredth of the pad (or a quarter of a degree)
// as one, and the share of the palm that is swept, squared, a twentieth as one. `motion` for five
// digits. NaN: bad input. Test: as above, test/palm/test_oppose.c
double hw_palm_thumb_cost(const hw_palm *p, const hw_palm_motion motion[HW_HAND_DIGITS],
                          const hw_thumb_seat *seat); // NULL: none [1]

// Moves the thumb's pointing and the axis of opposition, and P within `within` of where it is, to
// the least cost found; straying costs a hundredth for each 20 degrees or `within`, squared, with
// a seat a tenth. The
// thumb's joint goes with P; with a seat it lies as far before P as that asks, without one as far
// as it does. Writes into `def`; the cost in *cost [1]. HW_CANCELLED: the best so far is there.
// Method: descents in random steps that widen after what helped and shrink after what did not
// (Solis & Wets 1981, Math Oper Res 6(1):19-30, from memory); with a seat eight of them, one from
// where `def` stands, the others from the best of eight places up to 30 degrees and `within` about
// it; the worse half ends after a third of the way and after two. The same bits at any thread
// count. Cost: some 4000 bases of 1 ms. Test: as above.
HW_MUST_USE hw_code hw_palm_thumb_search(hw_palm_def *def,
                                         const hw_palm_motion motion[HW_HAND_DIGITS],
                                         const hw_thumb_seat *seat, double within, // [m]
                                         const hw_job *job, double *cost);

#endif
