// The one chain: a hand in, findings out.
#ifndef HW_ASSESS_H
#define HW_ASSESS_H

#include "base/job.h"
#include "hand/hand.h"
#include "palm/beside.h"
#include "palm/crease.h"
#include "palm/fist.h"
#include "palm/oppose.h"
#include "stack/stack.h"
#include "stroke/cases.h"
#include "stroke/chart.h"
#include "stroke/lag.h"
#include "stroke/pinch.h"
#include "verdict/verdict.h"

enum { HW_ASSESS_STEPS = 65, HW_ASSESS_EVENTS = 8 };

// A finger caught between a digit and those beside it, by its motions one at a time, everything
// else standing fast; force NaN: unknown.
typedef struct hw_digit_touch {
    hw_palm_caught beside;
    int other;           // which digit; 0 also where none is caught
    bool aside;          // its splay or opposition presses; else it closes
    const char *unknown; // why it is not known; NULL
    // a thumb's alone: on the palm before it and beside it
    hw_palm_caught side;
    bool side_aside;          // opposing presses, or coming home
    const char *side_unknown; // as above
} hw_digit_touch;

// A finger on the palm, beside its neighbours and against the thumb; NaN where a stroke or the palm
// is faulty, and for thumbs.
typedef struct hw_digit_on_palm {
    hw_palm_stop stop; // relief: for 5 degrees more
    hw_palm_cylinders cylinders;
    hw_palm_pair pair; // with the next finger that is there
    int next;          // which; 0: none
    hw_palm_splay_room splay;
    hw_palm_meeting meeting; // with the thumb
    hw_palm_caught caught;   // a finger between it and the palm
} hw_digit_on_palm;

// Everything computed of one digit. Arrays live in the arena that was given.
typedef struct hw_digit_assessment {
    bool present;
    hw_digit_fault fault;                    // what is wrong with its numbers, if anything
    bool assembles;                          // every pose of the stroke closes
    hw_stroke stroke;                        // HW_ASSESS_STEPS poses, unit load at the tip
    hw_case_worst worst[HW_CASES];           // each load case at its force, worst over the stroke
    hw_closing closing;                      // against the hand's natural law
    hw_wrap_chart wrap;                      // cylinders of 10 to 100 mm
    hw_slop slop;                            // joints' play
    hw_stroke_event event[HW_ASSESS_EVENTS]; // dead points and lock-ups inside the travel
    size_t events;         // how many there are; the first HW_ASSESS_EVENTS are kept
    double closes;         // share of the travel closed over before the first event [1]
    double stable_share;   // cord: share of contact places that grip stably, else NaN [1]
    hw_release release;    // NaN where it was not computed
    hw_drive_result drive; // NaN where it was not computed; direct: of the three servos together
    double *tip_force;     // closing, at each pose of the stroke; NULL where not computed [N]
    double *tip_held;      // held, at each pose [N]
    int drive_joint;       // direct: whose servo is the weakest
    hw_pinch pinch;        // forces in creases at the brief share, least friction; NaN: unknown
    hw_lag lag;            // under loads.tip; NaN for cords over the joints
    double open_force;     // at the tip, to open it unpowered, hardest pose; NaN: unknown [N]
    size_t open_at;        // that pose
    double least_contact;  // cord: smallest phalanx force with mid-pad contacts, else NaN [N]
    hw_stack *stack;       // parts in their layers; NULL where the digit's numbers are faulty
    hw_clearance printed;  // least gap of parts in one layer, as printed; plate -1: not computed
    hw_clearance nearest;  // and over the stroke
    hw_digit_on_palm palm; // by hw_assess_palm
    hw_digit_touch touch;  // by hw_assess alone: levers keep what was
} hw_digit_assessment;

typedef struct hw_assessment {
    const hw_design *design;
    const hw_hand *hand;
    hw_digit_assessment digit[HW_DIGITS];
    hw_finding *finding; // digit by digit, index to little, then thumb, then the hand
    size_t findings;
    size_t held, fallen_short, unknown; // counts over all findings
    size_t required;                    // findings that the document requires
    size_t required_held;
    size_t elsewhere; // required besides, of printed parts: not among the findings
    const char *by;   // the command that computes those; NULL: none are required
} hw_assessment;

// Computes everything. HW_NO_MEMORY, HW_CANCELLED. Results live in the arena until it is rewound;
// `d` must outlive them. Test: test/assess/test_assess.c
HW_MUST_USE hw_code hw_assess(hw_arena *a, const hw_design *d, const hw_job *job,
                              hw_assessment *out);

// The part of the chain for one digit, for levers: computes hand->digit[digit] alone.
HW_MUST_USE hw_code hw_assess_digit(hw_arena *a, const hw_hand *hand, int digit,
                                    hw_digit_assessment *out);

// Where the digits' strokes take them on the hand's palm: fills `palm` of all of them. Test:
// test/assess/test_palm.c
void hw_assess_palm(const hw_hand *hand, hw_digit_assessment digit[HW_DIGITS]);

// Value of one finding of a digit from what was computed; NaN where it is unknown or the family has
// no such thing. [SI]
double hw_assess_value(const hw_hand *hand, int digit, const hw_digit_assessment *g,
                       const hw_finding_kind *kind);

// Value of one finding of the whole hand from what was computed of its digits; NaN where it is
// unknown. [SI]
double hw_assess_hand_value(const hw_hand *hand, const hw_digit_assessment digit[HW_DIGITS],
                            const hw_finding_kind *kind);

// One value judged as the sheet's are: by the document's limits, the setting's or the row's own.
// The note is borrowed. `value` NaN: unknown. Test: test/assess/test_assess.c
void hw_assess_judge(hw_arena *a, const hw_design *d, bool classroom, const hw_finding_kind *kind,
                     int digit, double value, const char *note, // [SI]
                     hw_finding *out);

// Whether all that must hold holds: the required findings where the document names any, otherwise
// all findings.
bool hw_assess_all_hold(const hw_assessment *s);

// For the reader: which finding ids exist. Pass to hw_read_def.requirable.
extern const hw_requirable hw_assess_requirable;

#endif
