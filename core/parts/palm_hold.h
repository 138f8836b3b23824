// How far the palm's tray holds a servo: what its case and ears stand against, and its screws.
#ifndef HW_PARTS_PALM_HOLD_H
#define HW_PARTS_PALM_HOLD_H

#include "parts/palm.h"

enum { HW_TRAY_WAYS = 6, HW_TRAY_EARS = 2 }; // along its own axes: -x, x, -y, y, -z, z; -x, x

typedef struct hw_tray_hold {
    double wall[HW_TRAY_WAYS];   // that stands in the way of slipping so; NaN: the lid closes it
                                 // [m^2]
    double area[HW_TRAY_WAYS];   // the same with the screws that count [m^2]
    double thread[HW_TRAY_EARS]; // length that the screw of an ear holds by; 0: by none [m]
    size_t screws;               // that count
    int least;                   // the way with the least area
} hw_tray_hold;

// Material of the tray (all parts whose name begins with "palm tray") beside a servo: each face of
// its case, and of its ears beside the case, looked at `off` [m] > 0 outside of it in 16 x 16
// cells. The way that leads most nearly out of the back is the lid's.
//
// A screw of an ear holds where its pilot has material all round, looked at a bore's radius outside
// of it: four bore diameters of it at most (what is deeper bears little), two at least, and only
// with nothing of the tray before its head, where the driver comes. Across it counts as diameter
// times length; out of its thread (the way z) as the thread's cylinder times `shear` [1], what the
// material stands of shear over what it stands of bearing. About one screw alone the case turns: it
// counts beside the other's, or where the other half of case and ears stands against at least as
// much to both sides (-y, y) as the screw bears with. The screw counts as thick as its bore.
// Accuracy: a cell on every edge, a fortieth of four diameters. Source: engagement of two diameters
// and more, common practice for screws in plastics, from memory; else own. Test:
// test/parts/test_palm_hold.c
hw_tray_hold hw_tray_hold_of(const hw_palm_parts *parts, const hw_palm_servo *servo,
                             double off,    // [m]
                             double shear); // [1]

// How many of the palm lid's screws (`diameter` > 0 [m]) hold it: the lid is all round below the
// head, and the tray or the forearm all round a thread of two diameters. Looked at in eight places
// each: the lid 0.75 diameters from the axis, the thread 0.65. Source: as above. Test: as above.
size_t hw_palm_lid_held(const hw_palm_parts *parts, double diameter);

// The same of the two screws of the wrist, which lie along x: the forearm is below three quarters
// of the head, the tray all round two of their four diameters of thread. Test:
// test/parts/test_palm_wrist.c
size_t hw_palm_wrist_held(const hw_palm_parts *parts, double diameter); // [m]

// How many of the tray's lips hold the front of the lid: looked at in nine places across each, a
// lip's stem stands from a lean below the lid's plane to half of it above, and near its end the
// tray lies over the lid with less than the lean between them. Own.
// Test:
// test/parts/test_palm_hook.c
size_t hw_palm_lid_hooked(const hw_palm_parts *parts);

// Whether anything holds the lid before the wrist: a lip, or a screw. Test: as above.
bool hw_palm_lid_front(const hw_palm_parts *parts);

#endif
