// What holds a servo in the palm's tray.
#include "parts/palm_hold.h"

#include <math.h>
#include <string.h>

enum { CELLS = 16, BOXES = 3 };

typedef struct block {
    double low[3], high[3]; // in the servo's own frame [m]
} block;

static void blocks_of(const hw_palm_servo *s, block out[BOXES])
{
    double back = -s->shaft_at, front = s->length - s->shaft_at, w = s->width / 2;
    double over = (s->ear_span - s->length) / 2, low = s->ear_at - s->height;
    double high = low + s->ear_thickness;
    out[0] = (block){{back, -w, -s->height}, {front, w, 0}};
    out[1] = (block){{back - over, -w, low}, {back, w, high}};
    out[2] = (block){{front, -w, low}, {front + over, w, high}};
}

static bool in_tray(const hw_palm_parts *parts, hw_vec3 at)
{
    for (size_t i = 0; i < parts->parts; i++) {
        const hw_palm_part *p = &parts->part[i];
        if (strncmp(p->name, "palm tray", strlen("palm tray")) != 0) continue;
        if (hw_field_at(p->field, hw_frame_seen(&p->bed, at)) < 0) return true;
    }
    return false;
}

// Of one face of a block, the area that has material before it.
static double backed(const hw_palm_parts *parts, const hw_frame *f, const block *b, int way,
                     double off) // [m] [m2]
{
    int axis = way / 2, u = (axis + 1) % 3, v = (axis + 2) % 3;
    double cell = (b->high[u] - b->low[u]) * (b->high[v] - b->low[v]) / (CELLS * CELLS), area = 0;
    if (!(cell > 0)) return 0;
    for (int i = 0; i < CELLS; i++)
        for (int k = 0; k < CELLS; k++) {
            double at[3];
            at[axis] = way % 2 ? b->high[axis] + off : b->low[axis] - off;
            at[u] = b->low[u] + (b->high[u] - b->low[u]) * (i + 0.5) / CELLS;
            at[v] = b->low[v] + (b->high[v] - b->low[v]) * (k + 0.5) / CELLS;
            if (in_tray(parts, hw_frame_point(f, (hw_vec3){at[0], at[1], at[2]}))) area += cell;
        }
    return area;
}

hw_tray_hold hw_tray_hold_of(const hw_palm_parts *parts, const hw_palm_servo *servo, double off)
{
    const hw_frame *f = &servo->frame;
    const double out[HW_TRAY_WAYS] = {-f->x.z, f->x.z, -f->y.z, f->y.z, -f->z.z, f->z.z};
    block b[BOXES];
    hw_tray_hold hold = {.least = -1};
    int lid = 0;
    blocks_of(servo, b);
    for (int k = 1; k < HW_TRAY_WAYS; k++)
        if (out[k] > out[lid]) lid = k;
    for (int k = 0; k < HW_TRAY_WAYS; k++) {
        hold.area[k] = k == lid ? (double)NAN : 0;
        if (k == lid) continue;
        for (int i = 0; i < BOXES; i++) hold.area[k] += backed(parts, f, &b[i], k, off);
        if (hold.least < 0 || hold.area[k] < hold.area[hold.least]) hold.least = k;
    }
    return hold;
}
