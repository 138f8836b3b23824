// Ways of sheaths and leads: straight legs joined by arcs, from a drum through the wrist's tunnel
// to a knuckle; the bundle in the tunnel; what the wrist asks of it.
#ifndef HW_PALM_ROUTE_H
#define HW_PALM_ROUTE_H

#include "palm/body.h"

enum {
    HW_ROUTE_POINTS = 12,
    HW_ROUTE_ARC_CHORDS = 6,
    HW_ROUTE_BODIES = 7 * HW_ROUTE_POINTS,
    HW_ROUTE_OBSTACLES = 1024
};

// A tube that lies in clips: straight from point to point, each corner rounded by an arc that
// touches both legs. All arcs have the same radius, the largest that the legs allow, at most the
// one wanted.
typedef struct hw_route {
    hw_vec3 point[HW_ROUTE_POINTS]; // ends and corners [m]
    double turn[HW_ROUTE_POINTS];   // at each point, 0 at the ends [rad]
    size_t points;
    double radius; // of the arcs; infinite: no corner [m]
    double length; // along legs and arcs [m]
    double bend;   // sum of all turns [rad]
} hw_route;

// Through n points, 2 <= n <= HW_ROUTE_POINTS, none the same as the next. `wanted` > 0: radius that
// is enough [m]. HW_BAD_INPUT otherwise or where the way turns back on itself; *out is NaN.
// Accuracy: a few units of rounding. Radius: an arc of radius R and turn b takes R tan(b/2) of both
// its legs, so R is the least of leg / (tan(b/2) + tan(b'/2)); length: legs less R (2 tan(b/2) - b)
// at each corner. Source: own derivation. Test: test/palm/test_route.c
HW_MUST_USE hw_code hw_route_through(const hw_vec3 p[], size_t n, double wanted, // [m] [m]
                                     hw_route *out);

// Where the way is `s` along it, 0 to length, and where it points there. Test: as above.
void hw_route_at(const hw_route *r, double s, hw_vec3 *at, hw_vec3 *along); // [m] [m] [1]

// The same as capsules of `radius`: a leg each, arcs as HW_ROUTE_ARC_CHORDS chords (0.9 % of the
// arc's radius off for a quarter turn). Returns how many, at most HW_ROUTE_BODIES.
size_t hw_route_bodies(const hw_route *r, double radius, hw_body out[HW_ROUTE_BODIES]); // [m]

// Where clips hold it: at both ends of every arc, and between these no farther apart than `spacing`
// > 0; none at the way's ends. Distances along the way, rising; returns how many, at most `most`.
// Test: as above.
size_t hw_route_clips(const hw_route *r, double spacing, double s[], size_t most); // [m] [m]

// How often two ways cross, seen from the back, where their middles are no farther apart in height
// than `near`: legs alone, arcs are cut short. Test: as above.
size_t hw_route_crossings(const hw_route *a, const hw_route *b, double near); // [m]

typedef struct hw_route_end {
    hw_vec3 at;    // [m]
    hw_vec3 along; // unit vector in the way's sense [1]
} hw_route_end;

typedef struct hw_route_def {
    hw_route_end from, to;
    double radius;       // wanted, > 0 [m]
    double outer, gap;   // diameter of what runs there and its gap to bodies, >= 0 [m]
    const hw_body *body; // what it must not meet; may be NULL where bodies is 0
    size_t bodies;       // at most HW_ROUTE_OBSTACLES
    const int *owner;    // whose each body is; NULL: nobody's
    int own;             // bodies of this owner are not in the way
} hw_route_def;

// The way between two ends that leaves and arrives as they point: a corner on each end's own line,
// and up to two between them where these two alone meet something or are a fifth too tight. A way
// first lacks nothing (in gap and in radius), then turns little, then is short. *room: least gap to
// the bodies less def's gap; told apart up to twice the outer diameter [m]. HW_BAD_INPUT: out of
// range, or no two corners join the ends. Deterministic; a small change of the ends or bodies may
// choose another side of a body. Source: own; the descent steps in random directions by what helped
// (Rechenberg's rule of success, from memory). Cost: 0.2 ms, up to 5 where bodies are in the way.
// Test: as above.
HW_MUST_USE hw_code hw_route_between(const hw_route_def *def, hw_route *out, double *room); // [m]

// The tunnel at the wrist: a slot with round ends, `width` >= `height` > 0; a circle where both are
// the same. Through it run n round things.
typedef struct hw_tunnel {
    double width, height; // [m]
} hw_tunnel;

// Places them side by side in rows, or where rows find no room by pushing them apart from many
// starts; centres in the slot's plane, x across its width, z its height. *room: least gap between
// two of them, and of each to the wall, as far as it was found: negative where they do not fit [m].
// n from 1 to HW_BUNDLE. HW_BAD_INPUT out of range. Accuracy: within 1 % of the best known packings
// of 2 to 7 equal circles in a circle; up to 6 unlike ones find room in slots 5 % larger than the
// least that a long search finds, most of them in 1 %; the best of more is not known to anybody for
// most slots. Source: own; judged by Graham et al. 1998, Discrete Math 181:139-154 (values from
// memory, re-derived). Test: as above, test/palm/test_bundle.c
enum { HW_BUNDLE = 40 };
HW_MUST_USE hw_code hw_bundle_in(const hw_tunnel *t, const double radius[], size_t n, // [m]
                                 hw_vec2 at[], double *room);                         // [m] [m]

// The same with a wish for each: as near to where they want to be as `gap` >= 0 to each other and
// to the wall allows. *room as above: less than `gap` where pushing found no room, though there may
// be some. HW_BAD_INPUT out of range. Source: own. Test: as above.
HW_MUST_USE hw_code hw_bundle_near(const hw_tunnel *t, const double radius[], // [m]
                                   const hw_vec2 wish[], size_t n, double gap, hw_vec2 at[],
                                   double *room); // [m] [m] [m] [m]

// What a wrist that bends by `range` to either side asks of a sheath `offset` from its axis: that
// much length to spare, offset * range [m]. With `span` free between its clips the sheath bends to
// the radius span / range - offset; infinite for a fixed wrist. Test: as above.
double hw_wrist_needs(double offset, double range);               // [m] [rad]
double hw_wrist_radius(double offset, double range, double span); // [m] [rad] [m]

#endif
