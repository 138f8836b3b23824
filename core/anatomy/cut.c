// Where a plane cuts a scan: a point on every side that crosses it, joined through the triangles.
#include "anatomy/scan_internal.h"

#include <math.h>
#include <string.h>

enum { POLL = 1 << 16 };
#define NONE UINT32_MAX

typedef struct crossing {
    uint32_t low, high; // the side's vertices
    uint32_t next[2];   // crossings that triangles join it with
    hw_vec2 at;         // [m]
    bool used;
} crossing;

typedef struct cutter {
    const hw_float_mesh *mesh;
    hw_arena *work;
    double *height; // of each vertex over the plane [m]
    hw_frame plane; // in the mesh's frame [m]
    double scale;   // [m]
    crossing *c;
    size_t n, room;
    uint32_t *slot; // of crossings by their side: number + 1
    size_t slots;
} cutter;

static hw_vec3 vertex(const cutter *k, uint32_t v)
{
    const float *p = k->mesh->at[v];
    return hw_vec3_times((hw_vec3){(double)p[0], (double)p[1], (double)p[2]}, k->scale);
}

// The crossing on a side, a new one if there is none. There is room for it.
static uint32_t crossing_of(cutter *k, uint32_t a, uint32_t b)
{
    uint32_t low = a < b ? a : b, high = a < b ? b : a;
    uint64_t hash = ((uint64_t)low << 32 | high) * 0x9e3779b97f4a7c15u;
    size_t i = (size_t)(hash >> 20) & (k->slots - 1);
    for (; k->slot[i]; i = (i + 1) & (k->slots - 1)) {
        const crossing *c = &k->c[k->slot[i] - 1];
        if (c->low == low && c->high == high) return k->slot[i] - 1;
    }
    double t = k->height[low] / (k->height[low] - k->height[high]);
    hw_vec3 p = vertex(k, low), q = vertex(k, high);
    hw_vec3 at = hw_frame_seen(&k->plane, hw_vec3_along(p, t, hw_vec3_sub(q, p)));
    k->c[k->n] = (crossing){low, high, {NONE, NONE}, {at.x, at.z}, false};
    k->slot[i] = (uint32_t)++k->n;
    return k->slot[i] - 1;
}

// A side with more than two triangles keeps the first two.
static void link(crossing *c, uint32_t to)
{
    if (c->next[0] == NONE)
        c->next[0] = to;
    else if (c->next[1] == NONE)
        c->next[1] = to;
}

static bool above(const cutter *k, uint32_t v)
{
    return k->height[v] >= 0;
}

static size_t count(const cutter *k)
{
    size_t n = 0;
    for (size_t t = 0; t < k->mesh->tris; t++) {
        const uint32_t *v = &k->mesh->tri[3 * t];
        n += above(k, v[0]) != above(k, v[1]) || above(k, v[1]) != above(k, v[2]);
    }
    return n;
}

static void cross(cutter *k, const uint32_t v[3])
{
    uint32_t at[2] = {NONE, NONE};
    int n = 0;
    for (int i = 0; i < 3; i++)
        if (above(k, v[i]) != above(k, v[(i + 1) % 3]))
            at[n++] = crossing_of(k, v[i], v[(i + 1) % 3]);
    if (n != 2 || at[0] == at[1]) return;
    link(&k->c[at[0]], at[1]);
    link(&k->c[at[1]], at[0]);
}

// ---- lines ------------------------------------------------------------------------------------

static double from_chord(hw_vec2 a, hw_vec2 b, hw_vec2 p) // [m]
{
    hw_vec2 d = hw_sub(b, a), e = hw_sub(p, a);
    double length = hw_norm(d);
    return length > 0 ? fabs(d.x * e.z - d.z * e.x) / length : hw_norm(e);
}

// Drops points while all since the last kept one stay within the deviation. Returns how many stay.
static size_t simplify(hw_vec2 *at, size_t n, double deviation) // [m]
{
    if (n < 3 || !(deviation > 0)) return n;
    size_t kept = 1, from = 0;
    for (size_t i = 2; i < n; i++) {
        bool good = i - from < 64;
        for (size_t j = from + 1; j < i && good; j++)
            good = from_chord(at[kept - 1], at[i], at[j]) <= deviation;
        if (good) continue;
        at[kept++] = at[i - 1];
        from = i - 1;
    }
    at[kept++] = at[n - 1];
    return kept;
}

static bool keep_line(hw_arena *keep, cutter *k, uint32_t start, double deviation, // [m]
                      hw_scan_line *out)
{
    size_t n = 0, room = 0;
    uint32_t last = NONE, here = start;
    for (; here != NONE && !k->c[here].used; room++) {
        k->c[here].used = true;
        uint32_t next =
            k->c[here].next[0] == last && last != NONE ? k->c[here].next[1] : k->c[here].next[0];
        last = here;
        here = next;
    }
    out->closed = here == start && room > 2;
    out->at = HW_NEW(keep, hw_vec2, room + 1);
    if (!out->at) return false;
    here = start;
    for (last = NONE; n < room; n++) {
        out->at[n] = k->c[here].at;
        uint32_t next =
            k->c[here].next[0] == last && last != NONE ? k->c[here].next[1] : k->c[here].next[0];
        last = here;
        here = next;
    }
    if (out->closed) out->at[n++] = out->at[0];
    out->n = simplify(out->at, n, deviation);
    return true;
}

// Open lines first, from their ends; what is left is closed.
static hw_code keep_lines(hw_arena *keep, cutter *k, double deviation, hw_scan_cut *out) // [m]
{
    out->line = HW_NEW(keep, hw_scan_line, k->n);
    if (!out->line) return HW_NO_MEMORY;
    for (int pass = 0; pass < 2; pass++)
        for (uint32_t i = 0; i < k->n; i++) {
            bool end = k->c[i].next[1] == NONE;
            if (k->c[i].used || (pass == 0 && !end)) continue;
            hw_scan_line *line = &out->line[out->lines];
            if (!keep_line(keep, k, i, deviation, line)) return HW_NO_MEMORY;
            out->lines += line->n > 1;
        }
    return HW_OK;
}

static hw_code cut(hw_arena *keep, cutter *k, double deviation, const hw_job *job, // [m]
                   hw_scan_cut *out)
{
    k->height = HW_NEW(k->work, double, k->mesh->verts);
    if (!k->height) return HW_NO_MEMORY;
    for (uint32_t v = 0; v < k->mesh->verts; v++)
        k->height[v] = hw_vec3_dot(hw_vec3_sub(vertex(k, v), k->plane.at), k->plane.y);
    if (!hw_job_go_on(job, 0.5, "cutting")) return HW_CANCELLED;
    k->room = 2 * count(k) + 1;
    k->slots = 16;
    while (k->slots < 2 * k->room) k->slots *= 2;
    k->c = HW_NEW(k->work, crossing, k->room);
    k->slot = HW_NEW(k->work, uint32_t, k->slots);
    if (!k->c || !k->slot) return HW_NO_MEMORY;
    for (size_t t = 0; t < k->mesh->tris; t++) {
        cross(k, &k->mesh->tri[3 * t]);
        if (t % POLL == 0 && !hw_job_go_on(job, 0.5, "cutting")) return HW_CANCELLED;
    }
    return keep_lines(keep, k, deviation, out);
}

hw_code hw_scan_cut_of(hw_arena *keep, hw_arena *work, const hw_float_mesh *mesh,
                       const hw_scan *scan, const hw_frame *plane, double deviation,
                       const hw_job *job, hw_scan_cut *out)
{
    *out = (hw_scan_cut){0};
    double sum = hw_vec3_norm(plane->at) + hw_vec3_norm(plane->x) + hw_vec3_norm(plane->y) +
                 hw_vec3_norm(plane->z) + deviation;
    if (!isfinite(sum)) return HW_BAD_INPUT;
    cutter k = {.mesh = mesh, .work = work, .scale = scan->scale};
    k.plane = (hw_frame){.at = hw_frame_point(&scan->hand, plane->at),
                         .x = hw_frame_direction(&scan->hand, plane->x),
                         .y = hw_frame_direction(&scan->hand, plane->y),
                         .z = hw_frame_direction(&scan->hand, plane->z)};
    size_t mark = hw_arena_mark(work);
    hw_code code = cut(keep, &k, deviation, job, out);
    hw_arena_rewind(work, mark);
    if (code != HW_OK) *out = (hw_scan_cut){0};
    return code;
}
