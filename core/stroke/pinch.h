// Where a person's finger may be caught between the parts of a closing digit, and how hard.
//
// A crease is where two parts of one digit close on each other on its palmar side. In the corner
// of two neighbours lies the least finger that gets in, against both faces; where the distal
// phalanx folds back on the proximal one, or comes down on the palm, a finger lies across the
// least distance. docs/derivations/pinch.md
//
// Known of the palm is its plane in front of the knuckle alone: the carrier's palmar face,
// z = -thickness[0]/2, produced toward the wrist, as in the wrap chart. Neighbours are not here:
// their gap is the spacing of the knuckles, which the palm decides. Behind the digit nothing is
// caught: outlines are round about their joints, and no joint extends beyond 90 degrees.
#ifndef HW_STROKE_PINCH_H
#define HW_STROKE_PINCH_H

#include "stroke/stroke.h"

typedef enum hw_crease {
    HW_CREASE_KNUCKLE,     // palm and proximal phalanx
    HW_CREASE_PIP,         // proximal and middle phalanx
    HW_CREASE_DIP,         // middle and distal phalanx
    HW_CREASE_FOLD,        // distal phalanx on the proximal one
    HW_CREASE_PALM_MIDDLE, // middle phalanx on the palm
    HW_CREASE_PALM_DISTAL, // distal phalanx on the palm
    HW_CREASES
} hw_crease;

// In words for a note: "between proximal and middle phalanx" (thumb: its own bones). Never NULL.
const char *hw_crease_name(const hw_digit *d, hw_crease c);

// People's fingers do not scale with the hand.
#define HW_FINGER_LEAST 5e-3  // no finger gets into less: CEN/TR 13387 [m]
#define HW_FINGER_MOST  25e-3 // more crushes no finger: ISO 13854 [m]
#define HW_FINGER_DEPTH 10e-3 // at which a corner's opening is measured: CEN/TR 13387 [m]
#define HW_FINGER_YIELD 1e-3  // that flesh gives before it hurts: own choice, low [m]

// One crease at one pose.
typedef struct hw_crease_pose {
    double gap; // between the two faces; of a corner: 10 mm deep; infinite where there is no crease
                // [m]
    double closing[HW_JOINTS]; // -d(gap)/d(joint) where the finger lies, others at rest [m/rad]
    hw_vec2 at;                // middle of the finger that lies there, digit frame [m]
} hw_crease_pose;

// The pose must be one of this digit's. Closed form. Source: own derivation,
// docs/derivations/pinch.md. Test: test/stroke/test_pinch.c, against differences of distances
void hw_crease_of(const hw_digit *d, const hw_digit_pose *p, hw_crease c, hw_crease_pose *out);

// Force on the finger from the torques that the drive has left at each joint (coupled bars: at the
// knuckle alone), by virtual work: torque * d(knuckle) / d(gap) where the joints are coupled, and
// otherwise what the first joint to give way bears; a joint on its opening stop does not. 0 where
// the gap does not close. Test: test/stroke/test_pinch.c
double hw_crease_force(const hw_digit *d, const hw_digit_pose *p, const hw_crease_pose *c,
                       const double torque[HW_JOINTS]); // [N*m], returns [N]

typedef struct hw_pinch_peak {
    double force; // 0: no finger is caught in it [N]
    double gap;   // there [m]
    double at_s;  // there; NaN where none is caught [1]
} hw_pinch_peak;

typedef struct hw_pinch {
    hw_pinch_peak peak[HW_CREASES]; // of each crease over the stroke
    hw_crease worst;                // with the largest force
} hw_pinch;

enum { HW_PINCH_POSES = 257 };

// One place where a finger may lie, at one pose of a motion.
typedef struct hw_pinch_moment {
    double force; // 0: nothing holds a finger there, or it does not close [N]
    double gap;   // infinite: no crease [m]
    double s;     // of the motion [1]
    double room;  // by how far it counts, negative where it does not: hw_pinch_raise fills it [m]
} hw_pinch_moment;

// Raises *peak to what one place over n poses in their order bears, counted as hw_pinch_of does.
// Test: test/stroke/test_pinch.c
void hw_pinch_raise(hw_pinch_moment m[], size_t n, hw_pinch_peak *peak);

// Worst over a stroke. `torque` of each joint, s->n long, as in hw_crease_force (coupled bars:
// torque[1] and [2] may be NULL). A crease counts while its gap lies between HW_FINGER_LEAST and
// HW_FINGER_MOST, has closed by HW_FINGER_YIELD before, and still
// closes by as much; where it begins or ceases to count between
// two poses the force is interpolated. Poses that do not close are left out. HW_BAD_INPUT: more
// than HW_PINCH_POSES poses, a torque is missing, or no such family. HW_NO_ASSEMBLY: no pose
// closes; *out is NaN. Test: test/stroke/test_pinch.c
HW_MUST_USE hw_code hw_pinch_of(const hw_digit *d, const hw_stroke *s,
                                const double *const torque[HW_JOINTS], hw_pinch *out); // [N*m]

#endif
