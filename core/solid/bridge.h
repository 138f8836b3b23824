// Bridges of one layer: what lies between two sides that stand.
#ifndef HW_SOLID_BRIDGE_H
#define HW_SOLID_BRIDGE_H

#include <stdint.h>

// What is known of a place of a layer.
enum {
    HW_BRIDGE_OPEN,   // nothing is there
    HW_BRIDGE_STANDS, // it stands on the layer below
    HW_BRIDGE_FELL,   // it does not, and may lie between what stands
    HW_BRIDGE_LIES    // it does
};

typedef struct hw_bridge_work {
    uint8_t *place;  // of all: n[0] to a row, n[1] rows
    uint32_t *queue; // as many, for its own use
} hw_bridge_work;

// Which places that fell lie on a bridge. Those that hang together do so all at once or not at all,
// so that a ceiling is one flat and no stairs: along one axis, no line of them from one standing
// place to the next may be farther than `most`; lines that end in the open stay as they are. Of two
// such axes the one with more lines' places, x first. The other hand has the same. Test:
// test/solid/test_bridge.c
void hw_bridge_lay(hw_bridge_work *work, const int32_t n[2], double most); // [places]

#endif
