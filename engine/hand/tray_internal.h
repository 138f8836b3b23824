// What holds servos in the palm's tray and what stands in it, told quickly. Shared by this room
// alone.
#ifndef HW_HAND_TRAY_INTERNAL_H
#define HW_HAND_TRAY_INTERNAL_H

#include "hand/hand_internal.h"

// The tray without its servos (hw_palm_block) as cells.
typedef struct hw_tray hw_tray;

// *out: NULL where the palm cannot be made. HW_NO_MEMORY, HW_CANCELLED. Cost: half a second.
HW_MUST_USE hw_code hw_tray_of(hw_arena *a, const hw_design *d, const hw_hand *hand,
                               const hw_job *job, hw_tray **out);

// What servos lack of being held where they stand: for each and each of five ways that it may slip
// (the lid closes the one that leads most nearly out of the back) up to `price` where nothing is
// before it, and in proportion where less is than eight times what its rod asks. The tray is
// taken as its cells less rooms of servos, horns, leads, rods and lugs, open to the back, and as
// holding where it is half a wall thick. A servo that stands out above the lid's face lacks what
// its ceiling, 45 degrees until a bridge closes it, rises beyond the palm's back less half a wall.
// Made as hw_tray_hold tells it, screws left out. Test: test/hand/test_tray.c
double hw_tray_lacks(const hw_tray *t, const hw_pack_item *const item[],
                     const hw_pack_place *const place[], size_t n); // [m]

// The area before a servo's way (0 to 5: -x, x, -y, y, -z, z of its own frame) as this has it; NaN:
// the lid closes it. Test: as above.
double hw_tray_area(const hw_tray *t, const hw_pack_item *const item[],
                    const hw_pack_place *const place[], size_t n, size_t which,
                    int way); // [m2]

#endif
