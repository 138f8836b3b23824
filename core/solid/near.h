// Nearest places and rays on a triangle mesh, sound or not: a tree of boxes over its triangles.
#ifndef HW_SOLID_NEAR_H
#define HW_SOLID_NEAR_H

#include "base/arena.h"
#include "base/job.h"
#include "solid/solid.h"

// Immutable once made; any number of threads may ask it.
typedef struct hw_near {
    const hw_float_mesh *mesh; // borrowed: must outlive this
    uint32_t *order;           // triangles along a space-filling curve
    float (*low)[3];           // boxes; node i has the children 2 i and 2 i + 1, node 1 is the root
    float (*high)[3];
    size_t leaves; // a power of two; leaf k is node leaves + k
} hw_near;

typedef struct hw_near_hit {
    hw_vec3 at;      // in the mesh's unit [m]
    double distance; // from what was asked, along the ray where it was one; infinite: none [m]
    uint32_t tri;    // the triangle; UINT32_MAX: none
} hw_near_hit;

// Makes the tree in `keep`: 8 to 16 bytes a triangle, and 12 more in `work` while it is made, which
// is rewound. A mesh without triangles is allowed: nothing is near it. HW_BAD_INPUT: an index
// beyond the vertices, a coordinate that is not finite. HW_NO_MEMORY. HW_CANCELLED. Source: boxes
// in the order of a space-filling curve, Morton 1966 (from memory). Test: test/solid/test_near.c
HW_MUST_USE hw_code hw_near_make(hw_arena *keep, hw_arena *work, const hw_float_mesh *mesh,
                                 const hw_job *job, hw_near *out);

// The point of the mesh that is nearest to `from` and at most `reach` away (INFINITY: any). Of
// places equally near, the triangle of the lowest number. Accuracy: 8 eps * the largest coordinate
// within a triangle that is no needle. Test: as above, by brute force.
hw_near_hit hw_near_point(const hw_near *n, hw_vec3 from, double reach); // [m]

// The first triangle that a ray meets, from either side, between `least` and `most` along it.
// `along` is a unit vector. A ray through an edge may meet either triangle, or slip through by
// rounding: ask with several. Source: Moller & Trumbore 1997, J. Graphics Tools 2(1):21-28 (from
// memory, re-derived). Test: as above, by brute force.
hw_near_hit hw_near_ray(const hw_near *n, hw_vec3 from, hw_vec3 along, double least, // [m]
                        double most);                                                // [m]

// Calls `each` for every triangle whose box comes within `radius` of `at`, in the order of the
// curve; false from it stops. Test: as above
void hw_near_around(const hw_near *n, hw_vec3 at, double radius, // [m]
                    bool (*each)(void *self, uint32_t tri), void *self);

// A triangle's corners [m], and its normal times twice its area [m^2], by the right-hand rule.
void hw_near_corners(const hw_float_mesh *mesh, uint32_t tri, hw_vec3 out[3]);
hw_vec3 hw_near_normal(const hw_vec3 corner[3]);

// The nearest point of one triangle. Source: by the regions of its corners and sides (Ericson 2005,
// "Real-Time Collision Detection", section 5.1.5; from memory, re-derived). Test: as above
hw_vec3 hw_near_on_triangle(const hw_vec3 corner[3], hw_vec3 from); // [m]

#endif
