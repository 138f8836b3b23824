// Ways in which a part may move as a rigid body: which of them nothing holds, and how to take them
// out of loads and displacements.
#include "print/voxel_internal.h"

#include "base/axes.h"

#include <math.h>
#include <string.h>

// Displacement of component c at a place in each of the six ways: along the axes, then turns about
// the middle, in units of the part's size.
static void ways_at(const hw_loose *l, const double at[3], size_t c, double out[6])
{
    const double x = (at[0] - l->middle.x) / l->size, y = (at[1] - l->middle.y) / l->size,
                 z = (at[2] - l->middle.z) / l->size;
    const double turn[3][3] = {{0, z, -y}, {-z, 0, x}, {y, -x, 0}}; // component, axis
    for (size_t w = 0; w < 3; w++) {
        out[w] = w == c;
        out[3 + w] = turn[c][w];
    }
}

// Calls visit for each displacement that there is, held or free, with its six ways.
static void each_unknown(const hw_voxel_frame *f, const hw_loose *l,
                         void (*visit)(void *self, size_t at, bool held, const double way[6]),
                         void *self)
{
    const hw_level *t = f->top;
    const hw_voxels *v = f->p->voxels;
    for (size_t k = 0; k <= v->n[2]; k++)
        for (size_t j = 0; j <= v->n[1]; j++)
            for (size_t i = 0; i <= v->n[0]; i++) {
                size_t node = k * t->layer + j * t->row + i;
                const double at[3] = {v->low.x + (double)i * v->edge,
                                      v->low.y + (double)j * v->edge,
                                      v->low.z + (double)k * v->edge};
                for (size_t c = 0; c < 3; c++) {
                    bool held = f->held[node] >> c & 1;
                    if (!held && !(t->inverse[c * t->nodes + node] > 0)) continue;
                    double way[6];
                    ways_at(l, at, c, way);
                    visit(self, c * t->nodes + node, held, way);
                }
            }
}

typedef struct gram {
    double all[6][6], held[6][6];
} gram;

static void sum_gram(void *self, size_t at, bool held, const double way[6])
{
    gram *g = self;
    (void)at;
    for (int i = 0; i < 6; i++)
        for (int j = 0; j < 6; j++) {
            g->all[i][j] += way[i] * way[j];
            if (held) g->held[i][j] += way[i] * way[j];
        }
}

void hw_loose_of(const hw_voxel_frame *f, hw_loose *out)
{
    const hw_voxels *v = f->p->voxels;
    *out = (hw_loose){0};
    out->size = 0.5 * v->edge * (double)(v->n[0] + v->n[1] + v->n[2]);
    out->middle = (hw_vec3){v->low.x + 0.5 * v->edge * (double)v->n[0],
                            v->low.y + 0.5 * v->edge * (double)v->n[1],
                            v->low.z + 0.5 * v->edge * (double)v->n[2]};
    gram g = {{{0}}, {{0}}};
    each_unknown(f, out, sum_gram, &g);
    // A way counts as held when it moves the held corners by more than a millionth of what it moves
    // one corner.
    double vector[6][6];
    hw_axes_of(6, g.held[0], vector[0]);
    for (int w = 0; w < 6; w++)
        if (g.held[w][w] < 1e-12) {
            for (int i = 0; i < 6; i++) out->way[out->ways][i] = vector[i][w];
            out->ways++;
        }
}

typedef struct removal {
    const hw_loose *l;
    double *v;
    double along[6];   // v in each loose way
    double gram[6][6]; // of the loose ways, over the free corners
    double amount[6];  // of each to take out
    double size;       // sum of |v|
} removal;

static void loose_ways(const hw_loose *l, const double way[6], double out[6])
{
    for (int w = 0; w < l->ways; w++) {
        out[w] = 0;
        for (int i = 0; i < 6; i++) out[w] += l->way[w][i] * way[i];
    }
}

static void sum_along(void *self, size_t at, bool held, const double way[6])
{
    removal *r = self;
    double loose[6];
    if (held) return;
    loose_ways(r->l, way, loose);
    for (int i = 0; i < r->l->ways; i++) {
        r->along[i] += loose[i] * r->v[at];
        for (int j = 0; j < r->l->ways; j++) r->gram[i][j] += loose[i] * loose[j];
    }
    r->size += fabs(r->v[at]);
}

static void take_out(void *self, size_t at, bool held, const double way[6])
{
    removal *r = self;
    double loose[6];
    if (held) return;
    loose_ways(r->l, way, loose);
    for (int i = 0; i < r->l->ways; i++) r->v[at] -= r->amount[i] * loose[i];
}

double hw_loose_remove(const hw_voxel_frame *f, const hw_loose *l, double *v)
{
    removal r = {.l = l, .v = v};
    if (!l->ways) return 0;
    each_unknown(f, l, sum_along, &r);
    if (r.size == 0) return 0;
    double vector[6][6], worst = 0;
    for (int i = l->ways; i < 6; i++) r.gram[i][i] = 1;
    hw_axes_of(6, r.gram[0], vector[0]);
    for (int w = 0; w < 6; w++) {
        double sum = 0;
        for (int i = 0; i < l->ways; i++) sum += vector[i][w] * r.along[i];
        for (int i = 0; i < l->ways; i++) r.amount[i] += vector[i][w] * sum / r.gram[w][w];
    }
    for (int i = 0; i < l->ways; i++) worst = fmax(worst, fabs(r.along[i]) / r.size);
    each_unknown(f, l, take_out, &r);
    return worst;
}
