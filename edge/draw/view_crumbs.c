// Faces that are smaller than what can be seen go to what is round them.
#include "draw/view_internal.h"

enum { CRUMB = 121, WAYS = 4 }; // [px], 1

typedef struct crumbs {
    hw_view_picture *p;
    uint8_t *seen;
    size_t *pile, n; // pixels of the face at hand
} crumbs;

static bool alike(const hw_view_picture *p, size_t a, size_t b)
{
    return p->face[a] == p->face[b] && p->part[a] == p->part[b] && p->is_cut[a] == p->is_cut[b];
}

// Pixels beside one, as far as the picture goes; how many.
static size_t beside(const hw_view_picture *p, size_t at, size_t out[WAYS])
{
    size_t n = 0;
    const size_t wide = p->w > 0 ? p->w : 1, x = at % wide, y = at / wide;
    if (x > 0) out[n++] = at - 1;
    if (x + 1 < p->w) out[n++] = at + 1;
    if (y > 0) out[n++] = at - p->w;
    if (y + 1 < p->h) out[n++] = at + p->w;
    return n;
}

static void gather(crumbs *c, size_t from)
{
    size_t next[WAYS];
    c->n = 0;
    c->pile[c->n++] = from;
    c->seen[from] = 1;
    for (size_t i = 0; i < c->n; i++) {
        const size_t n = beside(c->p, c->pile[i], next);
        for (size_t k = 0; k < n; k++) {
            if (c->seen[next[k]] || !alike(c->p, from, next[k])) continue;
            c->seen[next[k]] = 1;
            c->pile[c->n++] = next[k];
        }
    }
}

// The face of the same part that most of the pixels round the one at hand have; its own: none.
static uint32_t round_it(const crumbs *c)
{
    const hw_view_picture *p = c->p;
    const uint32_t own = p->face[c->pile[0]];
    uint32_t best = own;
    size_t most = 0, next[WAYS], all[WAYS * CRUMB], n = 0;
    for (size_t i = 0; i < c->n; i++) {
        const size_t m = beside(p, c->pile[i], next);
        for (size_t k = 0; k < m; k++)
            if (p->face[next[k]] != own && p->part[next[k]] == p->part[c->pile[0]] &&
                !p->is_cut[next[k]])
                all[n++] = next[k];
    }
    for (size_t i = 0; i < n; i++) {
        size_t same = 0;
        for (size_t k = 0; k < n; k++) same += p->face[all[k]] == p->face[all[i]];
        if (same > most) most = same, best = p->face[all[i]];
    }
    return best;
}

hw_code hw_view_crumbs(hw_arena *work, hw_view_picture *p)
{
    const size_t mark = hw_arena_mark(work), pixels = p->w * p->h;
    crumbs c = {p, HW_NEW(work, uint8_t, pixels), HW_NEW(work, size_t, pixels), 0};
    if (!c.seen || !c.pile) return HW_NO_MEMORY;
    for (size_t i = 0; i < pixels; i++) {
        if (c.seen[i] || p->part[i] == HW_VIEW_NO_PART || p->is_cut[i]) continue;
        gather(&c, i);
        if (c.n > CRUMB) continue;
        const uint32_t face = round_it(&c);
        for (size_t k = 0; k < c.n; k++) p->face[c.pile[k]] = face;
    }
    hw_arena_rewind(work, mark);
    return HW_OK;
}
