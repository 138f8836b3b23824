// Shared by the files of this room alone.
#ifndef HW_ASSESS_INTERNAL_H
#define HW_ASSESS_INTERNAL_H

#include "assess/assess.h"

#include "base/text.h"

// Families a finding is computed for, as bits. FINGER: the natural law says nothing of thumbs.
// STOPPED: only of servos whose travel ends. SWITCHED: only where a home switch is asked for and
// there is a pulley for it to ride on. HORNED: only where the carrier is to hold a horn. THUMBED:
// only of hands with a thumb.
enum {
    HW_FOR_BARS = 1u << HW_FAMILY_COUPLED_BARS,
    HW_FOR_DIRECT = 1u << HW_FAMILY_DIRECT,
    HW_FOR_CORD = 1u << HW_FAMILY_CORD,
    HW_FOR_FINGER = 1u << HW_FAMILIES,
    HW_FOR_STOPPED = 2u << HW_FAMILIES,
    HW_FOR_SWITCHED = 4u << HW_FAMILIES,
    HW_FOR_HORNED = 8u << HW_FAMILIES,
    HW_FOR_THUMBED = 16u << HW_FAMILIES
};
enum {
    HW_FOR_COUPLED = HW_FOR_BARS | HW_FOR_CORD,
    HW_FOR_ANY = HW_FOR_BARS | HW_FOR_DIRECT | HW_FOR_CORD
};

typedef struct hw_assess_subject {
    const hw_hand *hand;
    int number; // of the digit, thumb to little
    const hw_digit *digit;
    const hw_digit_assessment *got;
} hw_assess_subject;

// One small function a finding, by the id of its row in the findings table.
typedef struct hw_assess_row {
    const char *id;
    unsigned families;
    bool needs_whole_stroke; // unknown when the digit meets a dead point
    double (*value)(const hw_assess_subject *s);
} hw_assess_row;

extern const hw_assess_row hw_assess_drive_row[];
extern const size_t hw_assess_drive_rows;
extern const hw_assess_row hw_assess_layers_row[];
extern const size_t hw_assess_layers_rows;
extern const hw_assess_row hw_assess_pivot_row[];
extern const size_t hw_assess_pivot_rows;
extern const hw_assess_row hw_assess_gentle_row[];
extern const size_t hw_assess_gentle_rows;
extern const hw_assess_row hw_assess_palm_row[];
extern const size_t hw_assess_palm_rows;
extern const hw_assess_row hw_assess_touch_row[];
extern const size_t hw_assess_touch_rows;
extern const hw_assess_row hw_assess_shape_row[];
extern const size_t hw_assess_shape_rows;

// Whether a finding is shown for this digit at all (a direct digit has no bars to
// buckle).
bool hw_assess_applies(const hw_hand *hand, int digit, const hw_finding_kind *kind);

// Turns of the last joint for each of the one before it, where the two go together. 1 where the
// latter stands still. [1]
double hw_assess_follows(const hw_stroke *s);

// The drive over the stroke. HW_NO_MEMORY.
hw_code hw_assess_drive(hw_arena *a, const hw_hand *hand, int digit, hw_digit_assessment *g);

// What to say beside a finding of the drive, or NULL.
const char *hw_assess_drive_note(hw_arena *a, const hw_hand *hand, const hw_digit_assessment *g,
                                 const hw_finding *f);

// A number with fixed decimals ("any" where it is infinite) and what follows it, for notes.
// [unit's]
void hw_note_number(hw_buffer *b, double value, int decimals, const char *after);

// Layers across a digit and what comes near what. HW_NO_MEMORY, and what hw_stack_of and
// hw_stack_clearances return: then unknown.
hw_code hw_assess_layers(hw_arena *a, const hw_hand *hand, int digit, hw_digit_assessment *g);

// What to say beside a finding of the layers, or NULL.
const char *hw_assess_layers_note(hw_arena *a, const hw_hand *hand, const hw_digit_assessment *g,
                                  const hw_finding *f);

// The pivots over the stroke, after the drive. HW_NO_MEMORY.
hw_code hw_assess_pivots(hw_arena *a, const hw_hand *hand, int digit, hw_digit_assessment *g);

// What to say beside a finding of the pivots, or NULL.
const char *hw_assess_pivot_note(hw_arena *a, const hw_hand *hand, const hw_digit_assessment *g,
                                 const hw_finding *f);
// Creases, opening without power, lag; after the drive. HW_NO_MEMORY; other codes: unknown.
hw_code hw_assess_gentle(hw_arena *a, const hw_hand *hand, int digit, hw_digit_assessment *g);
const char *hw_assess_gentle_note(hw_arena *a, const hw_hand *hand, const hw_digit_assessment *g,
                                  const hw_finding *f);

// Torque left at each joint at one pose by a closing drive with least friction: the knuckle's alone
// where bars couple the joints.
void hw_assess_torque(const hw_hand *hand, int digit, const hw_stroke *s, size_t i, double share,
                      double out[HW_JOINTS]); // [1] [N*m]

// Creases at the palm, and beside other digits: fill `palm.caught` and `touch` of all digits.
void hw_assess_crease(const hw_hand *hand, hw_digit_assessment digit[HW_DIGITS]);
void hw_assess_touch(const hw_hand *hand, hw_digit_assessment digit[HW_DIGITS]);
const char *hw_assess_touch_note(hw_arena *a, const hw_hand *hand, const hw_digit_assessment *g,
                                 const hw_finding *f);

// Whether a finding of the whole hand is shown: those of servos in the palm and of sheaths' ways
// only where there are any.
bool hw_assess_hand_applies(const hw_hand *hand, const hw_finding_kind *kind);

// False: not one of those. [SI]
bool hw_assess_places_value(const hw_hand *hand, const char *id, double *value);

// What to say beside one of them, or NULL.
const char *hw_assess_places_note(hw_arena *a, const hw_hand *h, const hw_finding *f);

// What to say beside a digit's proportions, or NULL.
const char *hw_assess_shape_note(hw_arena *a, const hw_hand *hand, const hw_finding *f);

// What to say beside a finding of a digit on the palm, or NULL.
const char *hw_assess_palm_note(hw_arena *a, const hw_hand *hand, const hw_digit_assessment *g,
                                const hw_finding *f);

// Smallest and largest cylinder that all fingers enclose; NaN: unknown. `which`: the finger that
// decides.
double hw_assess_cylinder(const hw_hand *hand, const hw_digit_assessment digit[HW_DIGITS],
                          bool least, int *which); // [m]

// What to say beside a finding of the whole hand, or NULL.
const char *hw_assess_hand_note(hw_arena *a, const hw_hand *hand,
                                const hw_digit_assessment digit[HW_DIGITS], const hw_finding *f);

#endif
