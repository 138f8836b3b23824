// One cone in its socket as a bearing and as a stub: the pressure between them, the strength of the
// cone where it stands on its face, and of the eye of a bar that hangs on it.
#ifndef HW_PIVOT_SEAT_H
#define HW_PIVOT_SEAT_H

#include "base/status.h"

// A cone whose lower part may be a cylinder (a land). Functions return NaN for values out of range.
typedef struct hw_seat {
    double half_angle; // from the joint's axis, 0 to pi/2 [rad]
    double height;     // above the face that it stands on, > 0 [m]
    double land;       // of that a cylinder, from the face on, 0 to height; 0: none [m]
    double base;       // radius at the face, > 0; the cone does not come to a point before its
                       // height [m]
} hw_seat;

// Strengths of the print. Shear is a yield stress over the square root of three.
typedef struct hw_print_strength {
    double along;  // the printed lines, > 0 [Pa]
    double across; // the layers, > 0 [Pa]
} hw_print_strength;

// Projected area that carries a radial load when the two faces lie `apart` [m] >= 0: of the part of
// the land that is inside its bore, or, where none of it is, of the part of the cone that is inside
// its socket. 0 where neither reaches. Customary for bearings and lugs: force over diameter times
// length. Source: Shigley's Mechanical Engineering Design, sec. 8-12 (bearing in joints, from
// memory); geometry. Test: test/pivot/test_seat.c against numerical integration
double hw_seat_area(const hw_seat *s, double apart); // [m] -> [m^2]

// Height of the load's line above the face: the middle of that area. Test: test/pivot/test_seat.c
double hw_seat_lever(const hw_seat *s, double apart); // [m] -> [m]

// The same by where on the pin the load presses. A land is printed with its axis along the bed, and
// within 45 degrees of straight down it is a cone of 45 degrees from its foot (core/parts/pin.c),
// which carries nothing: of the half that faces the load the rest is counted, projected. Bare cones
// are whole.
enum { HW_SEAT_STEPS = 16 };
typedef struct hw_seat_areas {
    double at[HW_SEAT_STEPS + 1]; // the middle of the press 0 to pi from the lowest line, where
                                  // they are least [m^2]
} hw_seat_areas;

// NaN for values out of range. Accuracy: 1 % of the whole area. Source: own derivation,
// docs/derivations/seat.md. Test: test/pivot/test_seat.c against numerical integration
void hw_seat_areas_of(const hw_seat *s, double apart, hw_seat_areas *out); // [m]
double hw_seat_areas_at(const hw_seat_areas *a, double off);               // 0 to pi [rad] -> [m^2]

// A cone where it stands on its face: shares of strength used by each newton of radial load, the
// part that bends it, and those that shear it along and across the layers.
typedef struct hw_stub {
    double bend, in_layer, between; // a newton [1]
} hw_stub;

// Bending 4 F l / (pi r^3), of the lines, since a pivot's axis lies in the layers; direct shear
// F / (pi r^2). Infinite where nothing carries, NaN for values out of range. Source: round
// cantilever, Roark's Formulas for Stress and Strain, table 8.1; direct shear of pins, Shigley,
// sec. 8-12 (both from memory). Test: test/pivot/test_seat.c
hw_stub hw_stub_of(const hw_seat *s, double apart, const hw_print_strength *of); // [m]

// Share of strength used by a load with the parts `along` and `across` the layers [N]: the greater
// of bending and shear; of the shear, the part across tries to slide one layer on the next. 0
// without load. Test: test/pivot/test_seat.c
double hw_stub_share(const hw_stub *s, double along, double across); // [N]

// The eye of a bar: a socket, open on one side, in a plate with a round end.
typedef struct hw_eye {
    double radius;    // of the end round the pivot's axis, > hole [m]
    double hole;      // radius of the socket at its mouth, > 0 [m]
    double depth;     // of the socket, > 0; a socket as deep as the plate goes through [m]
    double thickness; // of the plate, > 0 [m]
    double width;     // of the shank behind the eye, > 0 [m]
    double load_at;   // the load's line, from the mouth, >= 0 [m]
} hw_eye;

// Share of strength used by a pull > 0 or push < 0 along the shank [N]. A pull draws the eye apart
// beside the socket (net section), and tears out what lies before the cone: on two planes between
// layers that start 40 degrees off the pull, as a bar is printed lying along its layers, and on the
// socket's floor. Both bend the shank, since the load's line lies beside its middle. Source: lugs,
// net section and shear-out (Niu, Airframe Stress Analysis and Sizing, ch. 9, from memory), floor
// and offset: own model. Test: test/pivot/test_seat.c
double hw_eye_share(const hw_eye *e, const hw_print_strength *of, double pull); // [N]

#endif
