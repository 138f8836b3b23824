// The parts of a whole hand where they are at one moment of its closing, or of a grip pattern's:
// placed in the hand's frame for pictures and scenes, and how near the digits come to each other.
#ifndef HW_MAKE_POSED_H
#define HW_MAKE_POSED_H

#include "make/make.h"
#include "palm/grip.h"

enum {
    HW_POSED_STEPS = 33,            // poses of the closing that are looked at
    HW_POSED_SPOOL = HW_STACK_PARTS // a tension spool's number among the bodies
};

typedef struct hw_posed_part {
    const char *name; // of the part
    int digit;        // 0 thumb to 4 little; -1: the palm
    int body;       // of a digit, as digit/outline.h numbers them, or HW_POSED_SPOOL; -1: the palm
    hw_frame place; // of the mesh's frame in the hand's [m], [1]
    const hw_mesh *mesh;       // [m]
    const hw_float_mesh *file; // the same [mm]
} hw_posed_part;

typedef struct hw_posed {
    double s;             // of every finger's stroke; NaN: a grip pattern's [1]
    double thumb;         // of the thumb's, and of its opposition: at most s [1]
    hw_grip_pattern grip; // HW_GRIPS: none, all close together
    hw_posed_part *part;
    size_t parts;
    hw_vec3 low, high; // of all of them [m]
} hw_posed;

// Places every digit's parts at stroke parameter `s`, unsplayed, on the palm's knuckle frames. The
// thumb comes after the fingers: opposed and flexed by the same share of their ranges, `s` or as
// far as it comes before its phalanges meet a finger (hulls), or the outer two the palm (boxes of
// its outline), to 1e-5.
// While there are no solids of the palm, its outline closed at both ends stands for it. A left hand
// is the exact mirror. Spools are in their recess; they turn with it, whatever the tension. Digits
// that were not made, or that do not close at s, are left out. HW_BAD_INPUT: s is not in 0 to 1, or
// the palm's numbers are faulty. HW_NO_MEMORY. Meshes are those of `made`. Test:
// test/make/test_posed.c
HW_MUST_USE hw_code hw_make_posed(hw_arena *a, const hw_made *made, double s, hw_posed *out); // [1]

// A posed part's mesh in the hand's frame, in `keep`. HW_NO_MEMORY. Test: as above.
HW_MUST_USE hw_code hw_posed_mesh(hw_arena *keep, const hw_posed_part *part, hw_mesh *out);

// How near parts of different digits come.
typedef struct hw_made_meeting {
    double gap;  // least distance of the parts' convex hulls; negative: they overlap [m]
    int part[2]; // numbers in hw_made.part; -1: there are not two digits
    double s;    // where [1]
} hw_made_meeting;

// Among the fingers, and of the thumb with any finger, while all close together. A part is never
// nearer than its hull. HW_NO_MEMORY; HW_BAD_INPUT as above; gaps are then NaN. Test: as above.
HW_MUST_USE hw_code hw_made_meet(hw_arena *work, const hw_made *made, hw_made_meeting *fingers,
                                 hw_made_meeting *thumb);

// One grip pattern's closing, splay and opposition included.
typedef struct hw_made_grip {
    hw_grip_closing closing;
    hw_made_meeting others; // of two digits where the grip does not mean them to touch, up to `end`
    double end;             // share of the closing at which those that are to touch do; 1: none [1]
    double short_of;        // [m] left between those at the end; 0: they touch; infinite: none
                            // are to
} hw_made_grip;

// Looks at HW_POSED_STEPS stances of the pattern's closing (palm/grip.h). HW_BAD_INPUT: as
// hw_grip_closing_of, a digit is missing that the pattern needs, or one does not close; gaps are
// then NaN. HW_NO_MEMORY. Accuracy: of `end` 1e-5; hulls' depth as palm/body.h. Test: as above.
HW_MUST_USE hw_code hw_made_grip_of(hw_arena *work, const hw_made *made, hw_grip_pattern grip,
                                    hw_made_grip *out);

// The whole hand where a pattern's closing ends, as hw_make_posed. Test: as above.
HW_MUST_USE hw_code hw_make_posed_grip(hw_arena *a, const hw_made *made, hw_grip_pattern grip,
                                       hw_posed *out);

enum { HW_NEAR_STEPS = 17, HW_NEAR_ASIDES = 3 }; // of a digit's closing, of its splay

// How near a digit's part comes to the palm's tray, lid and yokes.
typedef struct hw_made_palm_meeting {
    double gap;   // negative: they overlap [m]
    int part;     // number in hw_made.part; -1: none was looked at
    int body;     // number in hw_made.palm->part
    double s;     // share of the digit's closing, or of the pattern's [1]
    double aside; // its splay or opposition [rad]
} hw_made_palm_meeting;

// One digit over its closing and its whole splay, or opposition, all other digits left out. Yokes
// go along; a carrier may touch its own. The sign is exact, a gap never more than the true one (a
// field may fall short of the distance outside, solid/field.h), and the least over every triangle
// to a thousandth of the width, or 2 % of an overlap. HW_BAD_INPUT: no solids of the palm were
// made, or its numbers are faulty; gap is NaN. HW_NO_MEMORY. Test: test/make/test_near.c, against
// every triangle; test_near_judge.c, against FCL.
HW_MUST_USE hw_code hw_made_near_palm(hw_arena *work, const hw_made *made, int digit,
                                      hw_made_palm_meeting *out);

// All digits over HW_NEAR_STEPS stances of a pattern's closing up to its end (from
// hw_made_grip_of), as far as they are nearer than `below`: else that is the gap, and `part` -1.
// Else as above.
HW_MUST_USE hw_code hw_made_grip_near_palm(hw_arena *work, const hw_made *made,
                                           const hw_made_grip *grip, double below, // [m]
                                           hw_made_palm_meeting *out);

#endif
