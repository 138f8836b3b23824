// A scanned hand: points picked on its skin become joint centres under it, frames and lengths, each
// with the interval that holds it in 95 of 100 cases.
//
// Lengths are metres in the hand frame of anatomy.h, right hand: a left one is mirrored. Joint
// centres are not seen by a scanner. A finger's lie half way through it, those in thick flesh
// (knuckles, thumb base) 8 to 12 mm under the back of a hand of usual size; all such sizes are
// shares of the hand's length, so that the answer grows with the hand.
#ifndef HW_ANATOMY_SCAN_H
#define HW_ANATOMY_SCAN_H

#include "anatomy/anatomy.h"
#include "base/job.h"
#include "solid/near.h"

// ---- picked points ----------------------------------------------------------------------------

// The wrist, then four marks a digit from its first joint to its tip: mcp, pip, dip, tip; the
// thumb's are cmc, mcp, ip, tip.
enum { HW_MARK_WRIST = 0, HW_MARKS = 1 + 4 * HW_HAND_DIGITS };
static inline int hw_mark_of(int digit, int joint) // joint 0 to 2, or 3 for the tip
{
    return 1 + 4 * digit + joint;
}
const char *hw_mark_name(int mark); // "index.mcp", "wrist"; never NULL

enum { HW_DORSAL = 0, HW_PALMAR = 1, HW_FACES = 2 };
typedef enum hw_scan_side { HW_SCAN_ANY, HW_SCAN_RIGHT, HW_SCAN_LEFT } hw_scan_side;

typedef struct hw_pick {
    hw_vec3 at; // in the mesh's unit [m]
    int line;   // of the text; 0: not picked
} hw_pick;

typedef struct hw_picks {
    hw_pick pick[HW_MARKS][HW_FACES]; // a tip has the first only
    const char *unit;                 // as written, "mm"; NULL: not said
    double scale;                     // of the unit; NaN: not said [m]
    double accuracy;                  // of a pick, as hw_scan_def's; NaN: not said [m]
    hw_scan_side side;
    int unit_line, side_line;
} hw_picks;

// Reads picked points. One a line: a mark, `dorsal` or `palmar` (a tip has neither), three numbers
// in the mesh's own unit; also `unit mm`, `side left`, `accuracy 2 mm`; # begins a comment.
// HW_BAD_INPUT: *out holds what was understood, each fault is in `diags` with line and column.
// Test: test/anatomy/test_picks.c
HW_MUST_USE hw_code hw_picks_read(hw_text bytes, const char *file, hw_diags *diags, hw_picks *out);

// ---- units ------------------------------------------------------------------------------------

// The unit in which `size` is the length of a person's hand: mm, cm, m or in; NULL where none is.
// No two can be: a hand is taken to be 105 to 260 mm. *scale: of that unit [m]. Test:
// test/anatomy/test_scan.c
const char *hw_scan_unit(double size, double *scale); // in the file's unit [1] [m]

// ---- measuring --------------------------------------------------------------------------------

// Shares of the hand's length [1].
typedef struct hw_scan_def {
    double pick;   // a pick's distance from its place along the skin, root mean square [1]
    double noise;  // of the surface, one standard deviation [1]
    double depth;  // of joint centres under the back where flesh is thick [1]
    double least;  // between this and twice `depth` less this they lie, evenly [1]
    double flesh;  // by which any centre is off besides, to either side, evenly [1]
    double middle; // by which a segment's middle line misses a joint at its end, one deviation [1]
    double base;   // the same of a first segment's at its base, or out of the thumb's ball [1]
    double bend;   // from which a joint shows its axis [rad]
} hw_scan_def;

// 2 mm, 0.3 mm, 10 mm, 8 mm, 2 mm, 0.6 mm and 1 mm on a hand of 187 mm; 15 degrees. Source: common
// practice (the depth of joint centres under the skin), own estimate (middle lines of flesh beside
// bones); docs/sources/anatomy.md. Test: as below.
hw_scan_def hw_scan_def_default(void);

// How a mark was found.
typedef struct hw_mark {
    bool known;
    bool faces[HW_FACES];        // picked
    bool centred;                // across the digit by its section, not by the picks alone
    hw_vec3 skin[HW_FACES];      // picks on the skin, in the hand's frame [m]
    double lifted[HW_FACES];     // how far from the skin they were picked [m]
    double thickness;            // of the flesh there, back to palm; NaN: a tip [m]
    hw_vec3 at;                  // joint centre, or the tip [m]
    hw_vec3 along, across, deep; // directions of its uncertainty; deep: out of the back [1]
    double sd[3];                // along them, one standard deviation [m]
    double off[3];               // in the hand's x, y, z: 95 % interval to either side [m]
} hw_mark;

// A value with the half width of its 95 % interval, both NaN where unknown.
typedef struct hw_with {
    double value, off; // [1]
} hw_with;

typedef enum hw_axis_from {
    HW_AXIS_UNKNOWN, // marks are missing
    HW_AXIS_ASSUMED, // the digit is straight: taken to lie in the palm's plane
    HW_AXIS_BENT     // square to the plane of the bent digit
} hw_axis_from;

typedef struct hw_scan_digit {
    hw_with segment[HW_SEGMENTS]; // as hw_digit_shape's [m]
    hw_with bend[HW_SEGMENTS];    // of each joint as scanned, flexion positive [rad]
    hw_with pointing; // of the straight digit, in the palm's plane, toward the thumb [rad]
    hw_frame knuckle; // axes NaN where unknown
    double at_off[3]; // of its origin: 95 % interval to either side [m]
    hw_axis_from axis;
    double axis_off; // of knuckle.y: it lies within this in 95 of 100 cases; NaN: assumed [rad]
    double axis_rms; // of joint centres and tip from the digit's plane; NaN: fewer than four [m]
} hw_scan_digit;

typedef struct hw_scan {
    const char *unit; // of the mesh
    double scale;     // [m]
    bool guessed;     // the unit, by the size of a hand
    bool left;
    bool inside_out;                                                // triangles face inward
    size_t open_edges, crowded_edges, flipped_edges, pinched_verts; // no fault of the picks
    hw_frame hand;           // in the mesh's frame; of a left hand y x z is right-handed [m]
    hw_with length, breadth; // [m]
    bool length_whole, breadth_whole; // measured end to end; false: by published shares of a part
    hw_with curvature;                // of the knuckles' arch, positive: crown at the back [1/m]
    double
        arch_rms; // of the four knuckles from their circle; NaN: fewer than four, or straight [m]
    hw_mark mark[HW_MARKS];
    hw_scan_digit digit[HW_HAND_DIGITS];
} hw_scan;

// Measures a hand. Picks needed: the wrist and the knuckles of index, middle and little finger, on
// either face. What the others would give is NaN. `mesh_file` and `picks_file` are for messages.
// HW_BAD_INPUT: a pick is missing or off the surface by more than a twentieth of the hand's length,
// no unit makes it a hand, both faces of a joint are one place or a hand apart, the side is not the
// one that was said; one message each. HW_OK: `diags` may have notes. HW_NO_MEMORY. HW_CANCELLED.
// `work` is rewound. Accuracy: intervals hold the truth in 90 of 100 cases or more, centres are
// within 1.35 mm in the median, of made-up hands whose flesh is 8 to 12 mm +- 2 mm, picks off by 2
// mm (root mean square, any way; 1.47 where each is exactly 2 mm beside its place on the skin, and
// 1.65 if joints are straight besides, whose picks alone say where along a finger they are), noise
// 0.3 mm, a tenth of the triangles missing, joints bent by up to 63 degrees. Source: first-order
// propagation by central differences over one standard deviation of every measured coordinate (GUM,
// JCGM 100:2008, 5.1); middle lines: own derivation, docs/derivations/scan.md. Test:
// test/anatomy/test_scan.c, test_middles.c
HW_MUST_USE hw_code hw_scan_measure(hw_arena *work, const hw_float_mesh *mesh,
                                    const hw_picks *picks, const hw_scan_def *def,
                                    const char *mesh_file, const char *picks_file,
                                    const hw_job *job, hw_diags *diags, hw_scan *out);

// ---- sections ---------------------------------------------------------------------------------

// Where a plane cuts a mesh: polylines, each closed or ending at a hole.
typedef struct hw_scan_line {
    hw_vec2 *at; // in the plane: x along its x, z along its z [m]
    size_t n;
    bool closed;
} hw_scan_line;

typedef struct hw_scan_cut {
    hw_scan_line *line;
    size_t lines;
} hw_scan_cut;

// Cuts by the plane through plane->at that is square to plane->y, given in the hand's frame of a
// scan. Lines lose corners that lie within `deviation` [m] of what is left. HW_BAD_INPUT: an
// infinite value or NaN. HW_NO_MEMORY. HW_CANCELLED. Test: test/anatomy/test_cut.c
HW_MUST_USE hw_code hw_scan_cut_of(hw_arena *keep, hw_arena *work, const hw_float_mesh *mesh,
                                   const hw_scan *scan, const hw_frame *plane,
                                   double deviation, // [m]
                                   const hw_job *job, hw_scan_cut *out);

#endif
