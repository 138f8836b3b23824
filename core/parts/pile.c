// Blocks of a part as they come.
#include "parts/parts_internal.h"

#include <string.h>

static void *more(hw_pile *p, void *array, size_t used, size_t *room, size_t size)
{
    if (p->code != HW_OK) return NULL;
    if (used < *room) return array;
    size_t wider = *room ? 2 * *room : 64;
    void *grown = hw_arena_alloc(p->keep, wider, size, _Alignof(hw_block));
    if (!grown) {
        p->code = HW_NO_MEMORY;
        return NULL;
    }
    if (used) memcpy(grown, array, used * size);
    *room = wider;
    return grown;
}

void hw_pile_put(hw_pile *p, hw_block_op op, double low, double high, hw_polygon at_low,
                 hw_polygon at_high)
{
    hw_block *array = more(p, p->block, p->blocks, &p->room, sizeof *array);
    if (!array) return;
    p->block = array;
    if (p->up > 0)
        array[p->blocks++] = (hw_block){op, {low, high}, {at_low, at_high}};
    else
        array[p->blocks++] = (hw_block){op, {-high, -low}, {at_high, at_low}};
}

void hw_pile_allow(hw_pile *p, hw_allowance_kind kind, hw_vec2 low, hw_vec2 high, double from,
                   double to)
{
    hw_allowance *array = more(p, p->allow, p->allows, &p->allow_room, sizeof *array);
    if (!array) return;
    p->allow = array;
    double y0 = p->up > 0 ? from : -to, y1 = p->up > 0 ? to : -from;
    array[p->allows++] = (hw_allowance){kind, {low.x, y0, low.z}, {high.x, y1, high.z}};
}
