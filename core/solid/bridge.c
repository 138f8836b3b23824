// Bridges of one layer: pieces that fell are flooded one by one.
#include "solid/bridge.h"

#include <stdbool.h>
#include <stddef.h>

enum { SEEN = HW_BRIDGE_LIES + 1, ALONG = SEEN + 1 }; // of the piece at hand; spanned along an axis

// The place beside one along an axis; false: the layer ends there.
static bool beside(const int32_t n[2], uint32_t at, int axis, int way, uint32_t *out)
{
    const uint32_t wide = (uint32_t)n[0], at_axis = axis ? at / wide : at % wide;
    if (way < 0 ? at_axis == 0 : at_axis + 1 == (uint32_t)n[axis]) return false;
    const uint32_t step = axis ? wide : 1;
    *out = way < 0 ? at - step : at + step;
    return true;
}

// All that hang together with a place that fell. How many.
static size_t flood(hw_bridge_work *work, const int32_t n[2], uint32_t first)
{
    size_t found = 0;
    work->queue[found++] = first;
    work->place[first] = SEEN;
    for (size_t i = 0; i < found; i++)
        for (int k = 0; k < 4; k++) {
            uint32_t to;
            if (!beside(n, work->queue[i], k / 2, k % 2 ? 1 : -1, &to) ||
                work->place[to] != HW_BRIDGE_FELL)
                continue;
            work->place[to] = SEEN;
            work->queue[found++] = to;
        }
    return found;
}

// The line of a piece that begins at a place: its length, 0 where it does not lie on both sides.
static size_t line_from(const hw_bridge_work *work, const int32_t n[2], uint32_t first, int axis)
{
    uint32_t at = first, to;
    size_t length = 1;
    if (!beside(n, first, axis, -1, &to) || work->place[to] != HW_BRIDGE_STANDS) return 0;
    for (;; at = to, length++) {
        if (!beside(n, at, axis, 1, &to) || work->place[to] == HW_BRIDGE_OPEN) return 0;
        if (work->place[to] == HW_BRIDGE_STANDS) return length;
    }
}

// How many of a piece's places lie on lines along an axis; 0: one is too long.
static size_t spanned(const hw_bridge_work *work, const int32_t n[2], size_t found, int axis,
                      double most) // [places]
{
    size_t sum = 0;
    for (size_t i = 0; i < found; i++) {
        const size_t length = line_from(work, n, work->queue[i], axis);
        if ((double)(length + 1) > most) return 0;
        sum += length;
    }
    return sum;
}

void hw_bridge_lay(hw_bridge_work *work, const int32_t n[2], double most) // [places]
{
    const uint32_t all = (uint32_t)n[0] * (uint32_t)n[1];
    for (uint32_t first = 0; first < all; first++) {
        if (work->place[first] != HW_BRIDGE_FELL) continue;
        const size_t found = flood(work, n, first);
        const size_t sum[2] = {spanned(work, n, found, 0, most), spanned(work, n, found, 1, most)};
        const int axis = sum[1] > sum[0];
        for (size_t i = 0; i < found; i++) {
            uint32_t at = work->queue[i];
            size_t length = sum[axis] ? line_from(work, n, at, axis) : 0;
            for (; length > 0; length--) {
                work->place[at] = ALONG;
                (void)beside(n, at, axis, 1, &at);
            }
        }
        for (size_t i = 0; i < found; i++) {
            uint8_t *p = &work->place[work->queue[i]];
            *p = *p == ALONG ? HW_BRIDGE_LIES : HW_BRIDGE_OPEN;
        }
    }
}
