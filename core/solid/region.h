// Regions of the plane bounded by straight lines and arcs: profiles of layers for drawings and for
// cutting, without chords.
#ifndef HW_SOLID_REGION_H
#define HW_SOLID_REGION_H

#include "solid/solid.h"

// Outer rings run counter-clockwise, holes clockwise; none crosses another, and rings that touch in
// a point stay apart.
typedef struct hw_region {
    hw_profile *ring;
    size_t rings;
} hw_region;

// The convex hull of n >= 1 discs, as hw_profile_hull takes them.
typedef struct hw_rounded {
    const hw_circle *disc;
    size_t n;
} hw_rounded;

// The union of rounded hulls, exact: its sides are parts of the hulls' own tangents and arcs, no
// side longer than a half turn. Sides that lie on each other, touch, or meet in a corner within a
// billionth of the extent are one. No hulls give no rings. `work` is rewound. HW_BAD_INPUT: a hull
// that hw_profile_hull refuses. HW_NOT_CONVERGED: no tolerance from 1e-10 to 1e-6 of the extent
// gives closed rings; *out is then empty. HW_NO_MEMORY. Source: own derivation: all boundaries are
// cut where they meet; a piece belongs to the union's boundary when one of its sides is inside and
// the other is not. Test: test/solid/test_region.c
HW_MUST_USE hw_code hw_region_of_hulls(hw_arena *keep, hw_arena *work, const hw_rounded *hull,
                                       size_t hulls, hw_region *out);

// Area, counter-clockwise positive: the polygon's and each arc's segment [m^2]. Test:
// test/solid/test_region.c
double hw_profile_area(const hw_profile *p);
double hw_region_area(const hw_region *r); // [m^2]

// Is a point inside? Either answer within rounding of the boundary. Test: test/solid/test_region.c
bool hw_region_holds(const hw_region *r, hw_vec2 at); // [m]

// The profile that a polygon's chords came from: runs of five points and more within `tolerance`
// [m] (> 0) of one circle become arcs of at most half a turn each, where every chord turns by 40
// degrees at most and lies within twice the tolerance of the arc. Other points stay. For sections
// of solids (hw_solid_section), whose arcs are chords. HW_BAD_INPUT: fewer than three points, the
// tolerance is not above 0, or a coordinate is not finite. HW_NO_MEMORY. Source: circle through
// the first point and those at one and two thirds of a run. Test: test/solid/test_region.c
HW_MUST_USE hw_code hw_profile_of_polygon(hw_arena *keep, const hw_polygon *polygon,
                                          double tolerance, // [m]
                                          hw_profile *out);

#endif
