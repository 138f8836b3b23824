#include "solid/topology_internal.h"

#include <stdlib.h>
#include <string.h>

typedef struct half {
    uint32_t low, high, id;
} half;

static int half_order(const void *left, const void *right)
{
    const half *a = left, *b = right;
    if (a->high != b->high) return a->high < b->high ? -1 : 1;
    return a->id < b->id ? -1 : a->id > b->id;
}

// Half-edges in buckets of their low vertex, each bucket sorted by the high one.
static half *sorted_halves(hw_arena *work, const uint32_t *tri, size_t n, size_t verts)
{
    half *h = HW_NEW(work, half, n);
    uint32_t *start = HW_NEW(work, uint32_t, verts + 2);
    if (!h || !start) return NULL;
    for (uint32_t i = 0; i < n; i++) {
        uint32_t a = tri[i], b = tri[hw_half_next(i)];
        start[(a < b ? a : b) + 2]++;
    }
    for (size_t v = 2; v < verts + 2; v++) start[v] += start[v - 1];
    for (uint32_t i = 0; i < n; i++) {
        uint32_t a = tri[i], b = tri[hw_half_next(i)];
        uint32_t low = a < b ? a : b;
        h[start[low + 1]++] = (half){low, a < b ? b : a, i};
    }
    for (size_t v = 0; v < verts; v++)
        if (start[v + 1] - start[v] > 1)
            qsort(h + start[v], start[v + 1] - start[v], sizeof *h, half_order);
    return h;
}

static void join(hw_topology *out, const uint32_t *tri, const half *h, size_t n)
{
    bool good = n == 2;
    if (n == 1) out->open++;
    if (n > 2) out->crowded++;
    if (n == 2 && tri[h[0].id] == tri[h[1].id]) {
        out->flipped++;
        good = false;
    }
    if (good) {
        out->twin[h[0].id] = h[1].id;
        out->twin[h[1].id] = h[0].id;
    } else if (out->bad_edge == HW_NO_TWIN)
        out->bad_edge = h[0].id;
}

// Counts the vertices whose corners are not all reached by turning round them once.
static bool count_pinched(hw_arena *work, const uint32_t *tri, size_t n, size_t verts,
                          hw_topology *out)
{
    uint32_t *corners = HW_NEW(work, uint32_t, verts);
    uint32_t *one = HW_NEW(work, uint32_t, verts);
    if (!corners || !one) return false;
    for (uint32_t i = 0; i < n; i++) {
        corners[tri[i]]++;
        one[tri[i]] = i;
    }
    for (uint32_t v = 0; v < verts; v++) {
        if (!corners[v]) continue;
        uint32_t h = one[v], round = 0;
        do {
            h = out->twin[hw_half_prev(h)];
            round++;
        } while (h != one[v] && round <= corners[v]);
        if (round == corners[v]) continue;
        if (out->pinched++ == 0) out->bad_vert = v;
    }
    return true;
}

bool hw_topology_make(hw_arena *work, const uint32_t *tri, size_t tris, size_t verts,
                      hw_topology *out)
{
    memset(out, 0, sizeof *out);
    out->bad_edge = out->bad_vert = HW_NO_TWIN;
    size_t n = 3 * tris;
    out->twin = HW_NEW(work, uint32_t, n);
    half *h = sorted_halves(work, tri, n, verts);
    if (!out->twin || !h) return false;
    for (size_t i = 0; i < n; i++) out->twin[i] = HW_NO_TWIN;
    for (size_t i = 0; i < n;) {
        size_t j = i + 1;
        while (j < n && h[j].low == h[i].low && h[j].high == h[i].high) j++;
        join(out, tri, h + i, j - i);
        i = j;
    }
    if (out->bad_edge != HW_NO_TWIN) return true;
    return count_pinched(work, tri, n, verts, out);
}
