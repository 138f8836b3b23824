// Solids of printed parts: blocks between planes across a digit, joined exactly into one closed
// mesh; mass properties; checks of a mesh as it will be written.
//
// A solid is a list of blocks in painter's order. A block is an outline in the (x, z) plane at its
// low plane y[0] and one at its high plane y[1], straight walls between them: a plate when both are
// the same, a cone or a chamfer when they differ. A point belongs to the solid when the last block
// that holds it adds. An outline that crosses itself holds the points that it runs round in the
// sense of its area; one whose loops cancel holds none. All corners are put on a grid whose step is
// a binary fraction of the file's unit, so float coordinates in the file are exactly those that
// were joined.
#ifndef HW_SOLID_H
#define HW_SOLID_H

#include "base/arena.h"
#include "base/job.h"
#include "base/vec.h"

// ---- profiles -------------------------------------------------------------------------------

typedef struct hw_circle {
    hw_vec2 at;    // [m]
    double radius; // >= 0 (0 is a sharp corner) [m]
} hw_circle;

// A corner of a profile and the side that follows it, to the next corner: straight or an arc.
typedef struct hw_corner {
    hw_vec2 at;   // [m]
    double bulge; // tangent of a quarter of the arc's angle, positive counter-clockwise (from +x
                  // toward +z), 0 is a straight side [1]
} hw_corner;

typedef struct hw_profile {
    hw_corner *corner; // closed: the last side ends at the first corner
    size_t n;
} hw_profile;

// A closed polygon; the last point is joined to the first.
typedef struct hw_polygon {
    hw_vec2 *at; // [m]
    size_t n;
} hw_polygon;

// The rounded hull of n >= 1 discs: the tightest outline round all of them, counter-clockwise,
// arcs and tangents. Grow every radius by d and the hull grows by d: that is the offset. Discs
// inside others drop out. HW_BAD_INPUT: n is 0, a radius is negative or not finite, or all discs
// are the same point. Accuracy: 1e-10 of the largest distance. Source: gift
// wrapping (Jarvis 1973) with tangents of discs for lines. Test: test/solid/test_outline.c
HW_MUST_USE hw_code hw_profile_hull(hw_arena *keep, const hw_circle *disc, size_t n,
                                    hw_profile *out);

// The polygon of a profile: arcs as chords with their ends on the arc, at most `deviation` [m]
// (> 0) away from it, at least 3 per full turn. Two concentric circles get matching points when
// both are made with the same `turns` by hw_polygon_circle. HW_BAD_INPUT: fewer than 2 corners,
// deviation not above 0, a bulge beyond 2^20. HW_LIMIT: over 2^20 points. Test:
// test/solid/test_outline.c
HW_MUST_USE hw_code hw_profile_polygon(hw_arena *keep, const hw_profile *profile,
                                       double deviation, // [m]
                                       hw_polygon *out);

// A circle as n points (n >= 3), counter-clockwise from +x, on the circle. Test:
// test/solid/test_outline.c
HW_MUST_USE hw_code hw_polygon_circle(hw_arena *keep, hw_circle disc, size_t n, hw_polygon *out);

// How many points keep a circle of this radius within `deviation` of its chords, a multiple of 4.
size_t hw_circle_points(double radius, double deviation); // [m] [m]

// The loop with every point below z = level [m] raised to it, after points have been put where
// sides cross the level, so that *low and *high have the same number of points: the two ends of a
// chamfered block whose bed face is z = its lowest. Test: test/solid/test_outline.c
HW_MUST_USE hw_code hw_polygon_raise(hw_arena *keep, const hw_polygon *loop, double level, // [m]
                                     hw_polygon *low, hw_polygon *high);

// The polygon drawn in by `distance` [m] (out, when negative), point by point: *low is the polygon
// without corners that lie within `tolerance` [m] (>= 0) of the line between their neighbours or of
// the corner before, *high the same with every side moved to its left by the distance and joined
// at the same corners. For chamfers and rounded edges along a whole outline; rings of a section
// work as they are, holes being clockwise. HW_BAD_INPUT: fewer than 3 corners are left, a value is
// not finite, or a side would turn round (an arc or a notch narrower than the distance); sides
// that meet others farther round are not looked for (hw_solid_mesh refuses them). Accuracy: 8 eps *
// extent, but at corners sharper than 4 degrees, which move by 30 distances at most. Test:
// test/solid/test_section.c
HW_MUST_USE hw_code hw_polygon_inset(hw_arena *keep, const hw_polygon *polygon,
                                     double distance,  // [m]
                                     double tolerance, // [m]
                                     hw_polygon *low, hw_polygon *high);

// Area inside, counter-clockwise positive [m^2].
double hw_polygon_area(const hw_polygon *loop); // [m^2]

// ---- solids and meshes ----------------------------------------------------------------------

typedef enum hw_block_op { HW_BLOCK_ADD, HW_BLOCK_CUT } hw_block_op;

typedef struct hw_block {
    hw_block_op op;
    double y[2];      // low and high plane, y[0] < y[1] [m]
    hw_polygon at[2]; // outline there, either sense; same n, point by point; at[1] may be at[0]
} hw_block;

typedef struct hw_solid {
    const hw_block *block;
    size_t blocks;
} hw_solid;

typedef struct hw_mesh {
    hw_vec3 *vert; // [m]
    uint32_t *tri; // 3 per triangle, counter-clockwise seen from outside
    size_t verts, tris;
} hw_mesh;

typedef struct hw_mesh_def {
    double unit;     // that the file will be written in, > 0 [m]
    int bits;        // the solid's longest extent is at least 2^(bits-1) and at most 2^bits grid
                     // steps; 10 to 22
    bool join_flats; // leave out vertices that lie in a flat face or on a straight edge
} hw_mesh_def;

// Millimetres, 20 bits (steps of 0.12 um on a 100 mm part), flats joined.
hw_mesh_def hw_mesh_def_default(void);

// What the making of a mesh met.
typedef struct hw_mesh_made {
    double grid;              // step [m]
    size_t plan_points;       // of the common plan
    size_t plan_tris, planes; // of the common plan
    size_t tris_before;       // before flats were joined
    size_t bad_block;         // HW_BAD_INPUT: the block at fault, or SIZE_MAX
    hw_vec3 bad_at;           // HW_BAD_INPUT: where, when a place is known [m]
    bool pinched;             // HW_BAD_INPUT: the solid touches itself in an edge or a corner only
} hw_mesh_made;

// The closed, oriented, manifold mesh of a solid in `keep`; `work` is rewound before return.
// Walls of plates are free of self-intersection by construction (no two corners or sides of the
// plan are closer than half a grid step); tapered walls must not cross other outlines. *made is
// always filled. An empty solid gives an empty mesh.
// HW_BAD_INPUT: see *made (a block with y[0] >= y[1], different n, coordinates that are not finite;
// a tapered wall that another outline cuts, or that leaves an edge without thickness (an outline
// drawn in to a line or a point is fine); a solid that touches itself in an edge or a corner
// only; both are tried on up to four other grids). HW_LIMIT: over 2^31 triangles, or the snapping
// did not settle. HW_NO_MEMORY. HW_CANCELLED. Outputs are empty unless HW_OK. Accuracy: corners
// within 0.71 grid steps of where they were asked for, crossings of outlines within a few. Source:
// iterated snap rounding, Halperin & Packer 2002, Comput. Geom. 23; Delaunay triangulation by
// flips, Lawson 1977; constraints, Sloan 1993. Test: test/solid/test_build.c
HW_MUST_USE hw_code hw_solid_mesh(hw_arena *keep, hw_arena *work, const hw_solid *solid,
                                  const hw_mesh_def *def, const hw_job *job, hw_mesh *out,
                                  hw_mesh_made *made);

// The outline of a solid in one plane across it.
typedef struct hw_section {
    hw_polygon *ring; // outer ones counter-clockwise, holes clockwise; none crosses another
    size_t rings;
} hw_section;

// The section at height y [m]; at a plane where blocks end, that of the layer above it. For layer
// drawings, and for tapered walls along a joined outline (hw_polygon_raise of each ring): on the
// same grid as the solid's mesh, rings have the mesh's corners, less those on straight runs. Rings
// that touch in a point stay apart. def->join_flats is not used. Codes, `work` and *made as
// hw_solid_mesh, except that nothing is refused for tapers or pinches. Test:
// test/solid/test_section.c
HW_MUST_USE hw_code hw_solid_section(hw_arena *keep, hw_arena *work, const hw_solid *solid,
                                     const hw_mesh_def *def, double y, // [m]
                                     const hw_job *job, hw_section *out, hw_mesh_made *made);

// ---- mass properties ------------------------------------------------------------------------

typedef struct hw_mass {
    double volume;        // [m^3]
    double area;          // [m^2]
    double mass;          // [kg]
    hw_vec3 centroid;     // [m]
    double inertia[3][3]; // about the centroid, axes of the mesh; off the diagonal the tensor's
                          // entries (minus the products of inertia) [kg*m^2]
} hw_mass;

// Mass properties of a closed mesh at one density [kg/m^3] by the divergence theorem, summed about
// the box's middle in triangle order. An empty or flat mesh gives zeros. Accuracy: relative 1e-12
// on well-shaped solids. Source: sums over tetrahedra (Tonon 2004, J. Math. Stat. 1(1)). Test:
// test/solid/test_mass.c
hw_mass hw_mesh_mass(const hw_mesh *mesh, double density); // [kg/m^3]

// ---- checks of a mesh as written --------------------------------------------------------------

// Triangles with float coordinates as a file holds them.
typedef struct hw_float_mesh {
    float (*at)[3]; // in the file's unit
    uint32_t *tri;
    size_t verts, tris;
} hw_float_mesh;

// The mesh in a file's unit [m], rounded to float; coordinates on hw_solid_mesh's grid are not
// changed by it. HW_BAD_INPUT: a coordinate is not finite there. HW_NO_MEMORY.
HW_MUST_USE hw_code hw_mesh_to_float(hw_arena *keep, const hw_mesh *mesh, double unit, // [m]
                                     hw_float_mesh *out);

// What is wrong with a mesh; all zero is sound.
typedef struct hw_mesh_report {
    size_t not_finite;    // triangles with a coordinate that is not finite (then nothing else runs)
    size_t degenerate;    // triangles with two equal corners or all on a line
    size_t open_edges;    // edges with one triangle only
    size_t crowded_edges; // edges with more than two triangles
    size_t flipped_edges; // edges whose two triangles run the same way
    size_t pinched_verts; // vertices whose triangles form more than one fan
    size_t crossing;      // pairs of triangles that meet outside what they share
    uint32_t first[2];    // the first such pair
    size_t merged_verts;  // vertices with another's coordinates (they are taken as one; no fault)
    double volume;        // signed, in the file's unit cubed [1]
} hw_mesh_report;

// True when every fault count is zero and the volume is positive.
bool hw_mesh_sound(const hw_mesh_report *report);

// Checks triangles as a reader of the file will see them: vertices with equal coordinates are one.
// Signs are exact, so `crossing` is the truth about these coordinates, touching included.
// HW_NO_MEMORY, HW_CANCELLED, HW_BAD_INPUT (an index beyond verts). `work` is rewound. *out is
// always filled as far as the work went. The same for any number of threads. Test:
// test/solid/test_check.c
HW_MUST_USE hw_code hw_mesh_check(hw_arena *work, const hw_float_mesh *mesh, const hw_job *job,
                                  hw_mesh_report *out);

// The same without a look for crossings (`crossing` stays 0): about 1 us a triangle. Test: as
// above.
HW_MUST_USE hw_code hw_mesh_edges(hw_arena *work, const hw_float_mesh *mesh, hw_mesh_report *out);

// Takes away what is not joined to a mesh's largest piece and holds less than `share` of that one's
// volume, with the cavities in it: crumbs that cuts leave, which nothing would hold when they are
// printed. Larger pieces stay. `mesh` is closed and oriented; its arrays are used again, vertices
// keep their order. HW_BAD_INPUT: share is negative or no number, or an index is out of range.
// HW_NO_MEMORY. Test: test/solid/test_crumbs.c
HW_MUST_USE hw_code hw_mesh_drop_crumbs(hw_arena *work, hw_mesh *mesh, double share, // [1]
                                        size_t *dropped);

#endif
