// Inside of fields, for this room's files only.
#ifndef HW_SOLID_FIELD_INTERNAL_H
#define HW_SOLID_FIELD_INTERNAL_H

#include "base/vec3.h"
#include "solid/field.h"

typedef enum hw_field_kind {
    HW_FIELD_HALF,
    HW_FIELD_BOX,
    HW_FIELD_ROUND_BOX,
    HW_FIELD_CONE, // cylinders too
    HW_FIELD_TUBE,
    HW_FIELD_DROP,
    HW_FIELD_PRISM,
    HW_FIELD_LOFT,
    HW_FIELD_UNION,
    HW_FIELD_MEET,
    HW_FIELD_NOT,
    HW_FIELD_OFFSET,
    HW_FIELD_BLEND,
    HW_FIELD_COLUMN,
    HW_FIELD_MOVED,
    HW_FIELD_GRID
} hw_field_kind;

// A point as its frame sees it.
static inline hw_vec3 hw_field_into(const hw_frame *f, hw_vec3 p)
{
    hw_vec3 d = hw_vec3_sub(p, f->at);
    return (hw_vec3){hw_vec3_dot(d, f->x), hw_vec3_dot(d, f->y), hw_vec3_dot(d, f->z)};
}

// The same point in the plane of a column's section.
static inline hw_vec3 hw_field_flat(const hw_frame *f, hw_vec3 p)
{
    return hw_vec3_along(p, -hw_vec3_dot(hw_vec3_sub(p, f->at), f->x), f->x);
}

// Values at places of a grid, kept in blocks of SIDE cells where they matter; between them they are
// straight along each axis. What is not kept counts as `idle`.
enum { HW_GRID_SIDE = 8, HW_GRID_NODES = HW_GRID_SIDE + 1 };
typedef struct hw_grid_block {
    float low, high;                                      // of its values [m]
    float v[HW_GRID_NODES][HW_GRID_NODES][HW_GRID_NODES]; // z, y, x [m]
} hw_grid_block;
typedef struct hw_field_grid {
    double cell, idle;           // [m]
    double lift;                 // of node 0 above z = 0, in cells [1]
    int32_t first[3], blocks[3]; // whole cells of the first node from the origin; along x, y, z
    const hw_grid_block **block; // x fastest; NULL: idle
} hw_field_grid;

struct hw_field {
    hw_field_kind kind;
    hw_vec3 low, high;   // all that is inside
    hw_frame in;         // of the shape
    hw_vec3 half;        // box: half its sides
    double size, end;    // radius, or the two of a cone; width; distance; loop: that ball's
    double length;       // of a cone, half of a prism
    double slope[2];     // cone: cosine and sine of its side; loft: factor
    const hw_vec3 *path; // tube
    const hw_vec2 *point;
    const double *station; // loft: sections' places
    size_t n, sections;
    size_t first, some; // loft or prism in a ball: sides that count, some = 0: all
    double sense;       // of a loop: +1 counter-clockwise
    const struct hw_field *const *child;
    const hw_field_grid *grid;
};

// What the surface of a field does in a ball: none in it, all inside or all outside; or the field
// that stands for it there.
typedef enum hw_field_side { HW_SIDE_CUT, HW_SIDE_IN, HW_SIDE_OUT } hw_field_side;
typedef struct hw_field_near {
    hw_field_side side;
    const hw_field *f; // the same zero set in the ball; NULL unless cut
} hw_field_near;

// `work` takes what is left of joined fields. Out of memory: f is NULL with HW_SIDE_CUT. Sides are
// told of the surface where the field is `level`.
hw_field_near hw_field_prune(hw_arena *work, const hw_field *f, hw_vec3 centre, double radius,
                             double level);

// True when a sharp edge of the field may run through the ball.
bool hw_field_creased(const hw_field *f, hw_vec3 centre, double radius, double level);

double hw_prism_flat(const hw_field *f, hw_vec3 q); // distance from the outline, in its plane
// Cosine of the largest turn among the outline's sides within `radius` of a point.
double hw_prism_turn(const hw_field *f, hw_vec3 q, double radius);
// The loft or prism with only those sides that are nearest to some point of a ball; NULL: out of
// memory.
const hw_field *hw_loop_near(hw_arena *work, const hw_field *f, hw_vec3 centre, double radius);
// Least and largest value of a grid in the box round a ball.
void hw_grid_range(const hw_field_grid *g, hw_vec3 centre, double radius, // [m]
                   double out[2]);                                        // [m]
double hw_grid_at(const hw_field_grid *g, hw_vec3 p);                     // [m]
// A grid as a field, inside where its values are below 0; reaches everywhere.
const hw_field *hw_field_of_grid(hw_arena *a, const hw_field_grid *g);
// Distance from the ridge of a roof, about.
double hw_drop_ridge(const hw_field *f, hw_vec3 p);

#endif
