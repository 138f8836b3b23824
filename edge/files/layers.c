// Drawings to scale of a digit's layers and of a part's slices.
#include "files/files_internal.h"

#include "base/arena.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { SLICES = 4096, NAME_ROOM = 96 };

// ---- layers of a digit ------------------------------------------------------------------------

const char *hw_layer_name(const hw_layers *l, int layer, char out[24])
{
    static const char *const word[] = {[HW_LAYER_CHEEK] = "cheek",
                                       [HW_LAYER_TANG] = "tang",
                                       [HW_LAYER_BAR_A] = "bar-a",
                                       [HW_LAYER_BAR_B] = "bar-b"};
    int same = 0, number = 0;
    out[0] = '\0';
    if (layer < 0 || layer >= (int)l->n) return out;
    for (int i = 0; i < (int)l->n; i++) {
        same += l->layer[i].use == l->layer[layer].use;
        if (i == layer) number = same;
    }
    strcpy(out, word[l->layer[layer].use]);
    if (same == 1) return out;
    size_t n = strlen(out);
    out[n++] = '-';
    if (number >= 10) out[n++] = (char)('0' + number / 10);
    out[n++] = (char)('0' + number % 10);
    out[n] = '\0';
    return out;
}

// Texts put together in the arena; NULL ends the list.
static const char *join(hw_arena *a, const char *const part[])
{
    hw_buffer b = {.arena = a};
    for (; *part; part++) hw_buffer_puts(&b, *part);
    return b.at;
}

static bool holds(const hw_sketch *s, hw_vec2 at)
{
    for (size_t i = 0; i < s->shapes; i++)
        if (hw_region_holds(&s->shape[i].region, at)) return true;
    return false;
}

static void put_axis(hw_sketch *s, hw_sketch_axis *room, const char *layer, hw_vec2 at,
                     double radius) // [m]
{
    if (holds(s, at)) room[s->axes++] = (hw_sketch_axis){layer, at, radius};
}

// Joints run through cheeks and tangs, bars' ends through the bar and the tang that carries it.
static void put_axes(hw_sketch *s, hw_sketch_axis *room, const char *name, const hw_layers *l,
                     int layer, const hw_digit *d, const hw_digit_pose *pose)
{
    const hw_layer *at = &l->layer[layer];
    bool wall = at->use == HW_LAYER_CHEEK || at->use == HW_LAYER_TANG;
    s->axis = room;
    for (int j = 0; wall && j < HW_JOINTS; j++) put_axis(s, room, name, pose->at[j], l->cone.base);
    for (int b = 0; d->family == HW_FAMILY_COUPLED_BARS && b < 2; b++) {
        bool carries = at->use == (b ? HW_LAYER_BAR_B : HW_LAYER_BAR_A);
        for (size_t i = 0; at->use == HW_LAYER_TANG && i < l->bar[b].twins; i++)
            carries = carries || l->bar[b].side[i] == at->side;
        if (!carries) continue;
        put_axis(s, room, name, pose->bar_root[b], l->cone.base);
        put_axis(s, room, name, pose->bar_end[b], l->cone.base);
    }
}

hw_code hw_sketch_layer(hw_arena *keep, hw_arena *work, const char *design, const char *digit,
                        const hw_digit *d, const hw_layers *l, const hw_stack *k, int layer,
                        hw_sketch *out)
{
    *out = (hw_sketch){.names = true};
    hw_digit_pose pose;
    const hw_digit_family *family = hw_digit_family_of(d->family);
    if (layer < 0 || layer >= (int)l->n || !family) return HW_BAD_INPUT;
    if (family->pose(d, hw_stack_printed(d), &pose) != HW_OK) return HW_NO_ASSEMBLY;
    hw_place place[HW_STACK_PARTS];
    hw_stack_place(&pose, place);
    char name[24];
    const char *words = hw_arena_text(keep, hw_text_of(hw_layer_name(l, layer, name)));
    hw_sketch_shape *shape = HW_NEW(keep, hw_sketch_shape, HW_STACK_PARTS);
    hw_sketch_axis *axis = HW_NEW(keep, hw_sketch_axis, HW_JOINTS + 4);
    out->title = join(keep, (const char *const[]){design ? design : "", design ? ", " : "", digit,
                                                  ", layer ", name, NULL});
    if (!words || !shape || !axis || !out->title) return HW_NO_MEMORY;
    out->shape = shape;
    for (int part = 0; part < HW_STACK_PARTS; part++) {
        char text[48];
        hw_sketch_shape *p = &shape[out->shapes];
        hw_slab whole = {.part = part, .kind = HW_SLAB_BODY};
        hw_code code = hw_stack_profile(keep, work, k, layer, part, place[part], &p->region);
        if (code != HW_OK) return code;
        if (p->region.rings == 0) continue;
        p->layer = words;
        p->part = join(
            keep, (const char *const[]){digit, " ", hw_slab_name(&whole, d->thumb, text), NULL});
        p->low = l->layer[layer].y - l->layer[layer].thickness / 2;
        p->high = l->layer[layer].y + l->layer[layer].thickness / 2;
        if (!p->part) return HW_NO_MEMORY;
        out->shapes++;
    }
    put_axes(out, axis, words, l, layer, d, &pose);
    return HW_OK;
}

// ---- slices of a part -------------------------------------------------------------------------

static int by_size(const void *a, const void *b)
{
    double p = *(const double *)a, q = *(const double *)b;
    return (p > q) - (p < q);
}

// Planes of all blocks, low to high, each once.
static size_t planes_of(hw_arena *a, const hw_solid *s, double **out)
{
    size_t n = 0, kept = 0;
    *out = HW_NEW(a, double, 2 * s->blocks);
    if (!*out) return 0;
    for (size_t i = 0; i < s->blocks; i++)
        for (int e = 0; e < 2; e++) (*out)[n++] = s->block[i].y[e];
    qsort(*out, n, sizeof **out, by_size);
    for (size_t i = 0; i < n; i++)
        if (kept == 0 || (*out)[i] > (*out)[kept - 1]) (*out)[kept++] = (*out)[i];
    return kept;
}

// Does a wall taper between two planes?
static bool tapers(const hw_solid *s, double low, double high) // [m]
{
    for (size_t i = 0; i < s->blocks; i++) {
        const hw_block *b = &s->block[i];
        if (b->y[0] > low || b->y[1] < high) continue;
        if (memcmp(b->at[0].at, b->at[1].at, b->at[0].n * sizeof *b->at[0].at) != 0) return true;
    }
    return false;
}

typedef struct slicer {
    hw_arena *keep, *work;
    const char *part;
    const hw_solid *solid;
    const hw_mesh_def *def;
    double deviation; // [m]
    const hw_job *job;
    hw_sketch *out;
    hw_sketch_shape *shape; // SLICES
} slicer;

static bool same_region(const hw_region *a, const hw_region *b)
{
    if (a->rings != b->rings) return false;
    for (size_t i = 0; i < a->rings; i++) {
        const hw_profile *p = &a->ring[i], *q = &b->ring[i];
        if (p->n != q->n || memcmp(p->corner, q->corner, p->n * sizeof *p->corner) != 0)
            return false;
    }
    return true;
}

static hw_code put_slice(slicer *s, double low, double high) // [m]
{
    hw_section cut;
    hw_mesh_made made;
    hw_region r = {0};
    hw_code code = hw_solid_section(s->keep, s->work, s->solid, s->def, low + (high - low) / 2,
                                    s->job, &cut, &made);
    if (code != HW_OK || cut.rings == 0) return code;
    if (s->out->shapes == SLICES) return HW_LIMIT;
    r.ring = HW_NEW(s->keep, hw_profile, cut.rings);
    if (!r.ring) return HW_NO_MEMORY;
    for (; code == HW_OK && r.rings < cut.rings; r.rings++)
        code = hw_profile_of_polygon(s->keep, &cut.ring[r.rings], s->deviation, &r.ring[r.rings]);
    if (code != HW_OK) return code;
    size_t n = s->out->shapes;
    if (n && s->shape[n - 1].high == low && same_region(&s->shape[n - 1].region, &r)) {
        s->shape[n - 1].high = high;
        return HW_OK;
    }
    char number[HW_NUMBER_TEXT];
    hw_number_write_fixed((double)(n + 1), 0, number);
    const char *layer = join(s->keep, (const char *const[]){"slice ", number, NULL});
    if (!layer) return HW_NO_MEMORY;
    s->shape[s->out->shapes++] = (hw_sketch_shape){layer, s->part, r, low, high};
    return HW_OK;
}

static hw_code slice_all(slicer *s, double step) // [m]
{
    double *plane;
    size_t planes = planes_of(s->work, s->solid, &plane);
    if (planes == 0) return HW_NO_MEMORY;
    for (size_t i = 0; i + 1 < planes; i++) {
        double low = plane[i], height = plane[i + 1] - low;
        double parts = tapers(s->solid, low, plane[i + 1]) ? ceil(height / step) : 1;
        if (!(parts <= SLICES)) return HW_LIMIT;
        int n = (int)parts;
        for (int k = 0; k < n; k++) {
            double from = low + height * k / n;
            double to = k + 1 < n ? low + height * (k + 1) / n : plane[i + 1];
            size_t mark = hw_arena_mark(s->work);
            hw_code code = put_slice(s, from, to);
            hw_arena_rewind(s->work, mark);
            if (code != HW_OK) return code;
        }
    }
    return HW_OK;
}

hw_code hw_sketch_part(hw_arena *keep, hw_arena *work, const char *title, const char *part,
                       const hw_solid *solid, const hw_mesh_def *def, double step, double deviation,
                       const hw_job *job, hw_sketch *out)
{
    *out = (hw_sketch){0};
    if (solid->blocks == 0 || !(step > 0) || !(deviation > 0)) return HW_BAD_INPUT;
    size_t mark = hw_arena_mark(work);
    slicer s = {.keep = keep,
                .work = work,
                .solid = solid,
                .def = def,
                .deviation = deviation,
                .job = job,
                .out = out};
    s.part = hw_arena_text(keep, hw_text_of(part));
    s.shape = HW_NEW(work, hw_sketch_shape, SLICES);
    out->title = hw_arena_text(keep, hw_text_of(title));
    hw_code code = s.part && s.shape && out->title ? slice_all(&s, step) : HW_NO_MEMORY;
    hw_sketch_shape *shape = code == HW_OK ? HW_NEW(keep, hw_sketch_shape, out->shapes) : NULL;
    if (code == HW_OK && !shape) code = HW_NO_MEMORY;
    if (code == HW_OK) memcpy(shape, s.shape, out->shapes * sizeof *shape);
    out->shape = shape;
    hw_arena_rewind(work, mark);
    if (code != HW_OK) *out = (hw_sketch){0};
    return code;
}
