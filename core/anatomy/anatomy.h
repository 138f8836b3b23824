// Published proportions of human hands: sizes by sex and percentile, segments, knuckles, joint
// ranges, and how far a design's digits are from them. Adults.
//
// Hand frame (right hand, palm down): origin at the middle of the distal wrist crease, +x along
// metacarpal III toward the fingers, +y toward the thumb, +z out of the back. The International
// Society of Biomechanics recommends for each bone of the hand Y toward the wrist, X out of the
// palm, Z to the right of a body that stands with its palms forward (toward the thumb of a right
// hand): (X, Y, Z) of theirs = (-z, -x, y) of ours, both right-handed, and flexion is positive
// about their Z as about our y. In a left hand their Z points away from the thumb. Source: Wu et
// al. 2005, J Biomech 38(5):981-992, part II (abstract read; the axes from memory).
#ifndef HW_ANATOMY_H
#define HW_ANATOMY_H

#include "anatomy/fit.h"
#include "base/status.h"
#include "base/vec.h"

enum { HW_SEGMENTS = 3, HW_HAND_DIGITS = 5 }; // thumb, index, middle, ring, little

typedef enum hw_sex { HW_SEX_EITHER, HW_SEX_MALE, HW_SEX_FEMALE } hw_sex;
typedef enum hw_hand_measure { HW_HAND_LENGTH, HW_HAND_BREADTH, HW_HAND_MEASURES } hw_hand_measure;

// Value of a measure that `percent` of adults stay below, and the other way round. Men and women
// are a normal distribution each, `either` is half of both. `percent` between 0 and 100 [%],
// `value` [m]; NaN out of range. Accuracy: within 1.5 mm of the survey's own percentiles from 1 to
// 99, whose rows are rounded. Source: Gordon et al. 2014, NATICK/TR-15/007: 4082 men, 1986 women
// (means and deviations computed from its open data). Test: test/anatomy/test_sizes.c
double hw_hand_size(hw_sex sex, hw_hand_measure which, double percent);  // [%] [m]
double hw_hand_percent(hw_sex sex, hw_hand_measure which, double value); // [m] [%]

// Breadth to expect of a hand of `length` [m] > 0 and its standard deviation [m]: the two hang
// together only loosely (r = 0.58 men, 0.57 women), so that scaling both alike overstates them.
// HW_SEX_EITHER weighs both sexes by how likely the length is for each. Source and test: as above.
double hw_hand_breadth_for(hw_sex sex, double length, double *sd); // [m] [m]

typedef struct hw_joint_range {
    double open, closed; // hyperextension is negative, flexion positive [rad]
} hw_joint_range;

// A digit of a person's hand. Segments are proximal, middle, distal, of a thumb metacarpal,
// proximal, distal; joints are the ones at their beginnings.
typedef struct hw_digit_shape {
    double segment[HW_SEGMENTS];   // joint centre to joint centre, the last to the tip [m]
    double deviation[HW_SEGMENTS]; // one standard deviation among people of all sizes [m]
    double metacarpal; // a finger's with its carpus, from the wrist; a thumb's: segment[0] [m]
    double thickness[HW_SEGMENTS]; // of the flesh; the source does not say in which direction [m]
    hw_joint_range range[HW_SEGMENTS];
    double splay;     // to either side at the knuckle, straight; thumb: abduction, one way [rad]
    hw_frame knuckle; // at the first joint, x along the straight digit; thumb: axes NaN, unknown
} hw_digit_shape;

typedef struct hw_hand_shape {
    double length, breadth; // [m]
    double arch_radius;     // of the circle through the knuckles, seen along the fingers [m]
    hw_digit_shape digit[HW_HAND_DIGITS];
} hw_hand_shape;

// A right hand of `length` and `breadth` [m], both > 0; HW_BAD_INPUT otherwise, *out is NaN.
// Lengths and axial places go with hand length, widths and sideways places with breadth. The
// knuckles' arch is an assumption (5.7 % of breadth high, so 5 mm at 88: no published height was
// reached), as is that fingers lie in the palm's plane. Deviations are those of bones on
// radiographs, scaled. Source: Buchholz, Armstrong & Goldstein 1992 (segments); Buchholz &
// Armstrong 1992, J Biomech 25(2):149-162 (knuckles); Buryanov & Kotiuk 2010, Int J Morphol
// 28(3):755-758 (deviations); An & Cooney 1991 (pointing at rest); norms of active range. All in
// docs/sources/anatomy.md with how each was seen. Test: test/anatomy/test_shape.c
HW_MUST_USE hw_code hw_hand_shape_of(double length, double breadth, hw_hand_shape *out); // [m]

// The left hand that is its exact mirror: y turned round; frames keep x and z and stay
// right-handed by turning their y with it. Test: as above.
void hw_hand_shape_mirror(hw_hand_shape *shape);

// A design's digit beside a person's.
typedef struct hw_shape_off {
    double segment[HW_SEGMENTS]; // longer (+) or shorter (-) [m]
    double share[HW_SEGMENTS];   // the same in standard deviations [1]
    double reach;                // of all segments together [m]
    double rms;                  // of `share` [1]
} hw_shape_off;

// `segment` [m] of the design, each > 0; HW_BAD_INPUT otherwise, *out is NaN. Test: as above.
HW_MUST_USE hw_code hw_shape_off_of(const hw_digit_shape *person, const double segment[HW_SEGMENTS],
                                    hw_shape_off *out); // [m]

#endif
