// Segment lengths as shares of hand length, joint centre to joint centre, the last one to the tip.
// Macros, so that default expressions of the document are made of the same numbers. Source:
// Buchholz, Armstrong & Goldstein 1992, Ergonomics 35(3):261-273; thumb, middle and distal read
// second hand, metacarpals and proximal phalanges of the fingers from memory
// (docs/sources/anatomy.md).
#ifndef HW_ANATOMY_SHARES_H
#define HW_ANATOMY_SHARES_H

#include "base/status.h" // so that the header is a unit of its own

// clang-format off
#define HW_SHARE_THUMB_METACARPAL  0.251
#define HW_SHARE_THUMB_PROXIMAL    0.196
#define HW_SHARE_THUMB_DISTAL      0.158
#define HW_SHARE_INDEX_METACARPAL  0.463
#define HW_SHARE_INDEX_PROXIMAL    0.245
#define HW_SHARE_INDEX_MIDDLE      0.143
#define HW_SHARE_INDEX_DISTAL      0.097
#define HW_SHARE_MIDDLE_METACARPAL 0.446
#define HW_SHARE_MIDDLE_PROXIMAL   0.266
#define HW_SHARE_MIDDLE_MIDDLE     0.170
#define HW_SHARE_MIDDLE_DISTAL     0.108
#define HW_SHARE_RING_METACARPAL   0.421
#define HW_SHARE_RING_PROXIMAL     0.244
#define HW_SHARE_RING_MIDDLE       0.165
#define HW_SHARE_RING_DISTAL       0.107
#define HW_SHARE_LITTLE_METACARPAL 0.414
#define HW_SHARE_LITTLE_PROXIMAL   0.204
#define HW_SHARE_LITTLE_MIDDLE     0.117
#define HW_SHARE_LITTLE_DISTAL     0.093

// First joints from the distal wrist crease: axial as a share of hand length, sideways of breadth,
// toward the thumb positive. Source: Buchholz & Armstrong 1992, J Biomech 25(2):149-162 (second
// hand).
#define HW_AXIAL_THUMB  0.073
#define HW_AXIAL_INDEX  0.447
#define HW_AXIAL_MIDDLE 0.446
#define HW_AXIAL_RING   0.409
#define HW_AXIAL_LITTLE 0.368
#define HW_ASIDE_THUMB  0.196
#define HW_ASIDE_INDEX  0.252
#define HW_ASIDE_MIDDLE 0
#define HW_ASIDE_RING   -0.206
#define HW_ASIDE_LITTLE -0.402
// clang-format on

#endif
