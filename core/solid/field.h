// Solids that are no layer stacks, as signed distances: shapes joined by union, intersection and
// difference, meshed by marching tetrahedra that are small only where the surface needs it.
//
// A field is negative inside, positive outside, its zero set the surface. Every field of this file
// changes by at most the distance that one moves (Lipschitz bound 1); where a comment says exact,
// it is the true distance. Fields are made in an arena and never changed. A maker that is given a
// NULL field, a number that is not finite or a size below 0 gives NULL, so that a shape is built
// without asking at every step and hw_field_mesh says what went wrong.
#ifndef HW_SOLID_FIELD_H
#define HW_SOLID_FIELD_H

#include "solid/solid.h"

typedef struct hw_field hw_field;

// The field's value at a point [m]; NaN for NULL. Test: test/solid/test_field.c
double hw_field_at(const hw_field *f, hw_vec3 p); // [m]

// A box that holds all that is inside; infinite where a half-space is. False: nothing is inside.
bool hw_field_reach(const hw_field *f, hw_vec3 *low, hw_vec3 *high);

// ---- shapes -----------------------------------------------------------------------------------

// All points p with (p - at) . outward < 0; `outward` of any length but 0 [1]. Exact.
HW_MUST_USE const hw_field *hw_field_half(hw_arena *a, hw_vec3 at, hw_vec3 outward);

// A box between two corners of a frame, edges sharp. Exact inside and beside its faces.
HW_MUST_USE const hw_field *hw_field_box(hw_arena *a, const hw_frame *in, hw_vec3 low,
                                         hw_vec3 high);

// The same with all edges rounded to `radius` [m]. Exact.
HW_MUST_USE const hw_field *hw_field_round_box(hw_arena *a, const hw_frame *in, hw_vec3 low,
                                               hw_vec3 high, double radius); // [m]

// A cylinder with flat ends. Exact inside and beside its faces.
HW_MUST_USE const hw_field *hw_field_cylinder(hw_arena *a, hw_vec3 from, hw_vec3 to,
                                              double radius); // [m]

// A frustum with flat ends, radii `begin` at `from` and `end` at `to` (either may be 0) [m].
HW_MUST_USE const hw_field *hw_field_cone(hw_arena *a, hw_vec3 from, hw_vec3 to,
                                          double begin, // [m]
                                          double end);  // [m]

// A round tube along n >= 1 points; ends and corners are balls: one point is a ball, two are a
// capsule. Exact.
HW_MUST_USE const hw_field *hw_field_tube(hw_arena *a, const hw_vec3 path[], size_t n, // [m]
                                          double radius);                              // [m]

// The same with a roof: every ball of the tube is drawn out to a 45 degree point toward `up` (of
// any length but 0), so that a lying bore prints without a crown that hangs. [1]
HW_MUST_USE const hw_field *hw_field_drop(hw_arena *a, const hw_vec3 path[], size_t n, // [m]
                                          double radius,                               // [m]
                                          hw_vec3 up);

// A polygon in the (x, z) plane of a frame, either sense, between y = low and y = high of it. The
// polygon must not cross itself. Exact inside and beside its faces.
HW_MUST_USE const hw_field *hw_field_prism(hw_arena *a, const hw_frame *in,
                                           const hw_polygon *outline, double low, // [m]
                                           double high);                          // [m]

// One section of a loft: a closed loop across the frame's x.
typedef struct hw_loft_section {
    double at;            // along the frame's x [m]
    const hw_vec2 *point; // along the frame's y (.x) and z (.z); as many in every section [m]
} hw_loft_section;

// The skin through two or more sections in rising order of `at`, `points` >= 3 each, straight
// between neighbours both ways; flat ends. No section may cross itself, nor any between two of
// them. The value is the distance within the section at the same x, less by the slope of the
// steepest side, so the bound holds.
HW_MUST_USE const hw_field *hw_field_loft(hw_arena *a, const hw_frame *in,
                                          const hw_loft_section section[], size_t sections,
                                          size_t points);

// ---- joining ----------------------------------------------------------------------------------

// Inside any of n >= 1 fields; inside all of them.
HW_MUST_USE const hw_field *hw_field_union(hw_arena *a, const hw_field *const f[], size_t n);
HW_MUST_USE const hw_field *hw_field_meet(hw_arena *a, const hw_field *const f[], size_t n);

// Inside `body` and not inside `tool`.
HW_MUST_USE const hw_field *hw_field_cut(hw_arena *a, const hw_field *body, const hw_field *tool);

// Grown by `distance` on every side (shrunk when negative) [m]. True to the distance where the
// field is exact; sharp edges stay sharp.
HW_MUST_USE const hw_field *hw_field_offset(hw_arena *a, const hw_field *f,
                                            double distance); // [m]

// Both, with the corner between them filled by a fillet that begins where the fields differ by
// `width` (> 0) [m]. Source: quadratic smooth minimum, min(a, b) - max(w - |a - b|, 0)^2 / 4 w; its
// gradient is a mean of the two. Test: test/solid/test_field.c
HW_MUST_USE const hw_field *hw_field_blend(hw_arena *a, const hw_field *f, const hw_field *g,
                                           double width); // [m]

// How a solid is printed along z, from a bed at z = 0.
typedef struct hw_standing_def {
    double cell;    // layers, and places in them, that are looked at: > 0 [m]
    double least;   // what is thinner in a layer is left out, to half a cell: 0 to 8 cells [m]
    double lean[2]; // how far a layer may reach beyond the one below, of its height: what asks more
                    // than the larger is cut back to the smaller; 0 to 2 [1]
    double push;    // posts and fins too slender for it go: a force sideways at their tops over the
                    // stress that their roots may take; 0: none does [m^2]
    const hw_vec3 (*kept)[2]; // boxes, low and high, in which none does [m]
    size_t keeps;
    const hw_vec3 (*spared)[2]; // boxes, low and high, in which what hangs is meant to [m]
    size_t spares;
    double bridge; // and lies between two sides that stand, no farther apart along x or y; 0: lies
                   // anyhow [m]
    const hw_field *roof; // in it too: what goes over the rest; NULL: none
} hw_standing_def;

// What was met on the way.
typedef struct hw_standing_made {
    double taken; // volume that was taken away, to a cell's layer [m^3]
    double post;  // push that the weakest post or fin bears of those that stay for a box; infinite:
                  // there is none [m^2]
    hw_vec3 post_at; // its root
} hw_standing_made;

// Without what would not print: layer by layer from the bed up a place stays where it stands on
// what stays below it, leaning out no farther than allowed, and where a disk of the least measure
// has room beside it. So what begins in the air goes, a ceiling becomes a vault, thin walls go and
// wedges end blunt, and what would snap under a push (solid/slender.h). Where nothing is taken away
// the field is as it was; the new surfaces are within about half a cell of their places. In `keep`;
// `work` is rewound. *made may be NULL. HW_BAD_INPUT: a NULL field, one that reaches to infinity, a
// number out of its range. HW_LIMIT: over 2^28 places. HW_NO_MEMORY. HW_CANCELLED. The same bits
// for any number of threads. Source: opening by disks, Matheron 1975 (from memory). Test:
// test/solid/test_standing.c
HW_MUST_USE hw_code hw_field_standing(hw_arena *keep, hw_arena *work, const hw_field *f,
                                      const hw_standing_def *def, const hw_job *job,
                                      const hw_field **out, hw_standing_made *made);

// The section of a field in the plane through `at` square to `along` (of any length but 0), drawn
// out along it without end.
HW_MUST_USE const hw_field *hw_field_column(hw_arena *a, const hw_field *f, hw_vec3 at,
                                            hw_vec3 along);

// A field that was made in a frame of its own, put where that frame is.
HW_MUST_USE const hw_field *hw_field_moved(hw_arena *a, const hw_field *f, const hw_frame *to);

// What is left of a field in a ball: shapes whose surface does not come into it are gone, and
// asking is so much cheaper. Values at places in the ball are those of `f` where they are less, in
// size, than the way to the ball's edge, and not less than that where they are not. NULL: nothing
// of the ball is inside. `f` itself: all of it is, or there is no memory. Test:
// test/solid/test_field.c
HW_MUST_USE const hw_field *hw_field_around(hw_arena *work, const hw_field *f, hw_vec3 centre,
                                            double radius); // [m]

// ---- mesh -------------------------------------------------------------------------------------

typedef struct hw_field_mesh_def {
    double unit;      // that the file will be written in, > 0 [m]
    double cell;      // edge of the smallest cubes at sharp edges: they are bevelled by less, walls
                      // below two of it may be lost, > 0 [m]
    double deviation; // of flat pieces from smooth surfaces, > 0: kept for radii above a cell,
                      // whose cubes may be halved once more [m]
    int levels;       // the largest cubes are 2^levels cells, 0 to 8 [1]
    size_t tris_most; // more is HW_LIMIT
} hw_field_mesh_def;

// Millimetres, 0.5 mm, 0.02 mm, 3 levels, 4 million.
hw_field_mesh_def hw_field_mesh_def_default(void);

// What the making of a mesh met.
typedef struct hw_field_made {
    double grid;        // step that coordinates are multiples of [m]
    size_t cubes, tets; // largest cubes with a surface, tetrahedra that it runs through
    size_t tris_before; // before flats were joined
    bool empty_field;   // HW_BAD_INPUT: the field is NULL, or reaches to infinity
} hw_field_made;

// The closed, oriented, manifold mesh of a field in `keep`; `work` is rewound. Each piece of it
// stays inside its own tetrahedron, so pieces cannot cross; corners lie on edges of tetrahedra at
// least 64 grid steps from their ends, and the grid is that of floats in the file's unit at the
// solid's place, so rounding (half a step) does not undo it: hw_mesh_check agrees on all that the
// tests try, and whoever writes files asks it. Flats along the frame's planes are exactly flat. No
// inside gives an empty mesh. HW_BAD_INPUT: *made says; or a number of the definition is out of its
// range. HW_LIMIT: too many triangles, or over 2^20 cells along an axis. HW_NO_MEMORY.
// HW_CANCELLED. *out is empty unless HW_OK. The same bits for any number of threads. Source:
// bisection of tetrahedra in cubes, Maubach 1995, SIAM J. Sci. Comput. 16(1):210-227; marching
// tetrahedra, Doi & Koide 1991, IEICE Trans. E74(1):214-224 (both from memory, re-derived). Test:
// test/solid/test_field.c
HW_MUST_USE hw_code hw_field_mesh(hw_arena *keep, hw_arena *work, const hw_field *f,
                                  const hw_field_mesh_def *def, const hw_job *job, hw_mesh *out,
                                  hw_field_made *made);

#endif
