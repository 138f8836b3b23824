// The one chain for files: a design in, printed parts out as meshes, on plates, with what the
// printer makes of them as judged findings. Writes nothing.
#ifndef HW_MAKE_H
#define HW_MAKE_H

#include "assess/assess.h"
#include "parts/coupon.h"
#include "parts/palm.h"
#include "parts/parts.h"
#include "solid/solid.h"

struct hw_print_def;    // print/print.h
struct hw_print_report; // print/print.h

typedef enum hw_make_quality {
    HW_MAKE_COARSE, // chords of round walls within 0.05 mm
    HW_MAKE_FINE,   // within 0.005 mm
    HW_MAKE_QUALITIES
} hw_make_quality;

const char *hw_make_quality_name(hw_make_quality q); // "coarse", "fine"; never NULL

typedef struct hw_make_def {
    int digit; // 0 thumb to 4 little; -1: every digit that the design has
    hw_make_quality quality;
    bool palm;    // palm, forearm and stand too
    bool coupons; // test prints with the sizes of the first digit's middle joint, beside the digits
} hw_make_def;

typedef struct hw_made_part {
    const hw_part *part;       // as modelled: a right hand's
    int group;                 // number in hw_made.group
    hw_mesh mesh;              // as printed, bed frame of its group; a left hand's is mirrored [m]
    hw_float_mesh file;        // the same as it is written [mm]
    hw_mesh_report check;      // of what is written
    hw_mass mass;              // at the filament's density
    hw_vec3 low, high;         // its box [m]
    const hw_allowance *allow; // as part->allow, mirrored where the mesh is
} hw_made_part;

// What comes off the bed together.
typedef struct hw_made_group {
    const char *name;         // "index", "gap coupon"
    int digit;                // -1: a coupon or a body
    const hw_coupon *coupon;  // NULL: a digit or a body
    const hw_palm_part *body; // NULL: a digit or a coupon
    hw_bed bed;               // how a digit lies on it
    size_t first, parts;      // its parts: hw_made.part[first] on; none where `fault` says why
    const char *fault;        // NULL, or one phrase without full stop
    const struct hw_print_report *print; // NULL without parts
    int plate;                           // number in hw_made.plate; -1: it fits no plate
    bool turned;    // by 90 degrees about z, (x, y) to (-y, x), before it is moved
    double move[2]; // then, along x and y, to the plate's frame with its corner at 0 [m]
} hw_made_group;

// Coupons lie on plates of their own, the last ones: they are printed first.
typedef struct hw_made_plate {
    size_t groups;
    bool coupons;
    double filament; // [kg]
    double time;     // of the whole plate in one go [s]
} hw_made_plate;

// Arrays live in the arena that was given.
typedef struct hw_made {
    const hw_design *design;
    const hw_hand *hand;
    hw_make_def def;
    const struct hw_print_def *printer;
    const hw_palm_parts *palm; // NULL where none were asked for, or none can be
    hw_made_group *group;      // index to little, then thumb, then bodies, then coupons
    size_t groups;
    hw_made_part *part; // group by group
    size_t parts;
    hw_made_plate *plate;
    size_t plates;
    hw_finding *finding; // of print and of making, digit by digit, then the hand's
    size_t findings;
    size_t held, fallen_short, unknown; // counts over all of them
    size_t required, required_held;     // of those that the document requires
    size_t unasked; // required besides: part_stress, the palm, a whole hand, not asked for
} hw_made;

// Makes the parts of a design's digits. A digit that cannot be made (its mechanism does not close,
// its layers are none) is a group with a fault, and its findings are unknown: no code.
// HW_BAD_INPUT: def->digit is not of this design. HW_NO_MEMORY. HW_LIMIT. HW_CANCELLED. `design`
// must outlive the results. The same bits for any number of threads. Test: test/cli/test_make.c
HW_MUST_USE hw_code hw_make(hw_arena *a, const hw_design *design, const hw_make_def *def,
                            const hw_job *job, hw_made *out);

// Whether all that must hold of the parts holds: the required findings among them where the
// document names any of them, otherwise all.
bool hw_make_all_hold(const hw_made *m);

// Mirrored in y, its winding kept outward. Test: test/cli/test_make.c
void hw_mesh_mirror(hw_mesh *mesh);

#endif
