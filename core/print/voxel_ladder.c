// The ladder of grids: each half as fine as the one before, cells filled by the mean of the eight
// that they replace; corners that are held become springs of the stiffness that holding them costs.
// One cycle goes down with a few steps of a Chebyshev polynomial of the scaled residual on each
// grid, solves the last exactly, and comes up the same way, so that it is symmetric.
#include "print/voxel_internal.h"

#include "base/par.h"

#include <math.h>
#include <string.h>

enum { STEPS = 2, SMALL = 1000, CHUNK = 32768 };
static const double smooth_from = 0.12; // eigenvalues smoothed, down to this share of the largest

static size_t blocks_of(size_t cells)
{
    return (cells + HW_CELL_WIDE - 1) / HW_CELL_WIDE;
}

static bool make_level(hw_arena *work, const size_t n[3], double edge, const hw_cell *cell,
                       hw_level *out)
{
    *out = (hw_level){.edge = edge, .cell = cell};
    out->n[0] = blocks_of(n[0]) * HW_CELL_WIDE;
    out->n[1] = n[1];
    out->n[2] = n[2];
    out->row = out->n[0] + 1;
    out->layer = out->row * (n[1] + 1);
    out->nodes = out->layer * (n[2] + 1);
    out->chunk = 1 + CHUNK / (3 * out->layer);
    out->fill = HW_NEW(work, double, out->n[0] * n[1] * n[2]);
    out->span = HW_NEW(work, uint32_t, 2 * n[1] * n[2]);
    out->inverse = HW_NEW(work, double, 3 * out->nodes);
    return !hw_arena_failed(work);
}

static bool make_vectors(hw_arena *work, hw_level *l)
{
    double **all[] = {&l->x, &l->b, &l->r, &l->d, &l->q};
    for (size_t i = 0; i < sizeof all / sizeof all[0]; i++)
        *all[i] = HW_NEW(work, double, 3 * l->nodes);
    return !hw_arena_failed(work);
}

static void find_spans(hw_level *l)
{
    for (size_t row = 0; row < l->n[1] * l->n[2]; row++) {
        const double *fill = &l->fill[row * l->n[0]];
        uint32_t first = UINT32_MAX, end = 0;
        for (size_t i = 0; i < l->n[0]; i++)
            if (fill[i] > 0) {
                uint32_t block = (uint32_t)(i / HW_CELL_WIDE);
                if (first == UINT32_MAX) first = block;
                end = block + 1;
            }
        l->span[2 * row] = end ? first : 0;
        l->span[2 * row + 1] = end;
    }
}

// A coarse cell is the mean of the eight that it replaces.
static void fill_coarse(const hw_level *fine, hw_level *coarse)
{
    for (size_t k = 0; k < fine->n[2]; k++)
        for (size_t j = 0; j < fine->n[1]; j++)
            for (size_t i = 0; i < fine->n[0]; i++)
                coarse->fill[((k / 2) * coarse->n[1] + j / 2) * coarse->n[0] + i / 2] +=
                    0.125 * fine->fill[(k * fine->n[1] + j) * fine->n[0] + i];
}

static size_t corners(const size_t n[3])
{
    return (n[0] + 1) * (n[1] + 1) * (n[2] + 1);
}

hw_code hw_ladder_of(hw_arena *work, const hw_voxels *v, const hw_cell *cell, hw_ladder *out)
{
    size_t n[3] = {v->n[0], v->n[1], v->n[2]};
    hw_level *top = &out->level[0];
    if (!make_level(work, n, v->edge, cell, top) || !make_vectors(work, top)) return HW_NO_MEMORY;
    for (size_t row = 0; row < n[1] * n[2]; row++)
        memcpy(&top->fill[row * top->n[0]], &v->fill[row * n[0]], n[0] * sizeof(double));
    find_spans(top);
    out->levels = 1;
    while (corners(n) > SMALL && out->levels < (int)(sizeof out->level / sizeof out->level[0])) {
        const hw_level *fine = &out->level[out->levels - 1];
        hw_level *l = &out->level[out->levels];
        for (int a = 0; a < 3; a++) n[a] = (n[a] + 1) / 2;
        if (!make_level(work, n, 2 * fine->edge, cell, l) || !make_vectors(work, l))
            return HW_NO_MEMORY;
        l->spring = HW_NEW(work, double, 3 * l->nodes);
        if (!l->spring) return HW_NO_MEMORY;
        fill_coarse(fine, l);
        find_spans(l);
        out->levels++;
    }
    return HW_OK;
}

// ---- from grid to grid --------------------------------------------------------------------------

// The coarse nodes that a fine index lies at or between, and how many.
static int between(size_t i, size_t at[2])
{
    at[0] = i / 2;
    at[1] = (i + 1) / 2;
    return i % 2 ? 2 : 1;
}

// The fine indices that a coarse node reaches.
static void reached(size_t coarse, size_t n, size_t *from, size_t *to)
{
    *from = coarse ? 2 * coarse - 1 : 0;
    *to = 2 * coarse + 1 < n ? 2 * coarse + 1 : n;
}

typedef struct passage {
    const hw_level *fine, *coarse;
    const double *from, *mask;
    double *to;
} passage;

static double part(size_t fine, size_t coarse)
{
    return fine == 2 * coarse ? 1 : 0.5;
}

// to (coarse) = transposed interpolation of from (fine), where mask is not 0.
// NOLINTNEXTLINE(readability-function-cognitive-complexity): loops over a grid, read in one piece
static void restrict_layers(void *self, size_t begin, size_t end)
{
    const passage *p = self;
    const hw_level *f = p->fine, *l = p->coarse;
    for (size_t k = begin; k < end; k++)
        for (size_t j = 0; j <= l->n[1]; j++)
            for (size_t i = 0; i <= l->n[0]; i++) {
                size_t x0, x1, y0, y1, z0, z1;
                reached(i, f->n[0], &x0, &x1);
                reached(j, f->n[1], &y0, &y1);
                reached(k, f->n[2], &z0, &z1);
                double sum[3] = {0};
                for (size_t z = z0; z <= z1; z++)
                    for (size_t y = y0; y <= y1; y++)
                        for (size_t x = x0; x <= x1; x++) {
                            size_t at = z * f->layer + y * f->row + x;
                            double w = part(x, i) * part(y, j) * part(z, k);
                            for (size_t c = 0; c < 3; c++)
                                if (p->mask[c * f->nodes + at] > 0)
                                    sum[c] += w * p->from[c * f->nodes + at];
                        }
                for (size_t c = 0; c < 3; c++)
                    p->to[c * l->nodes + k * l->layer + j * l->row + i] = sum[c];
            }
}

// to (fine) += interpolation of from (coarse), where mask is not 0.
// NOLINTNEXTLINE(readability-function-cognitive-complexity): loops over a grid, read in one piece
static void prolong_layers(void *self, size_t begin, size_t end)
{
    const passage *p = self;
    const hw_level *f = p->fine, *l = p->coarse;
    for (size_t k = begin; k < end; k++)
        for (size_t j = 0; j <= f->n[1]; j++) {
            size_t za[2], ya[2];
            int zs = between(k, za), ys = between(j, ya);
            for (size_t c = 0; c < 3; c++) {
                size_t to = c * f->nodes + k * f->layer + j * f->row;
                for (size_t i = 0; i <= f->n[0]; i++) {
                    if (!(p->mask[to + i] > 0)) continue;
                    double sum = 0;
                    for (int z = 0; z < zs; z++)
                        for (int y = 0; y < ys; y++) {
                            const double *row =
                                &p->from[c * l->nodes + za[z] * l->layer + ya[y] * l->row];
                            sum += row[i / 2] + row[(i + 1) / 2];
                        }
                    p->to[to + i] += 0.5 * sum / (zs * ys);
                }
            }
        }
}

// ---- diagonals ----------------------------------------------------------------------------------

// Sum of the fills of the cells round a node.
static double fill_round(const hw_level *l, size_t i, size_t j, size_t k)
{
    double sum = 0;
    for (size_t z = k ? k - 1 : 0; z <= k && z < l->n[2]; z++)
        for (size_t y = j ? j - 1 : 0; y <= j && y < l->n[1]; y++)
            for (size_t x = i ? i - 1 : 0; x <= i && x < l->n[0]; x++)
                sum += l->fill[(z * l->n[1] + y) * l->n[0] + x];
    return sum;
}

static void set_inverse(hw_level *l, const uint8_t *held)
{
    for (size_t k = 0; k <= l->n[2]; k++)
        for (size_t j = 0; j <= l->n[1]; j++)
            for (size_t i = 0; i <= l->n[0]; i++) {
                size_t at = k * l->layer + j * l->row + i;
                double sum = fill_round(l, i, j, k);
                for (size_t c = 0; c < 3; c++) {
                    double own = sum * l->edge * l->cell->diagonal[c];
                    if (l->spring) own += l->spring[c * l->nodes + at];
                    bool free = sum > 0 && !(held && (held[at] >> c & 1));
                    l->inverse[c * l->nodes + at] = free ? 1 / own : 0;
                }
            }
}

// Springs of a coarse grid: what holding the corners of the first, or the springs of the one
// before, cost.
// NOLINTNEXTLINE(readability-function-cognitive-complexity): loops over a grid, read in one piece
static void set_springs(const hw_level *fine, const uint8_t *held, double *scratch, double *all,
                        hw_level *coarse)
{
    for (size_t k = 0; k <= fine->n[2]; k++)
        for (size_t j = 0; j <= fine->n[1]; j++)
            for (size_t i = 0; i <= fine->n[0]; i++) {
                size_t at = k * fine->layer + j * fine->row + i;
                double sum = held ? fill_round(fine, i, j, k) * fine->edge : 0;
                for (size_t c = 0; c < 3; c++) {
                    size_t m = c * fine->nodes + at;
                    all[m] = 1;
                    if (fine->spring)
                        scratch[m] = fine->spring[m];
                    else
                        scratch[m] = held && held[at] >> c & 1 ? sum * fine->cell->diagonal[c] : 0;
                }
            }
    passage p = {fine, coarse, scratch, all, coarse->spring};
    hw_par_for(coarse->n[2] + 1, coarse->chunk, restrict_layers, &p);
}

// ---- the last grid ------------------------------------------------------------------------------

// Unknowns of the last grid, numbered with its longest axis slowest, so that its matrix is a band.
// NOLINTNEXTLINE(readability-function-cognitive-complexity): loops over a grid, read in one piece
static hw_code number_last(hw_arena *work, const hw_level *l, hw_band *out)
{
    out->unknown = HW_NEW(work, uint32_t, 3 * l->nodes);
    uint32_t *number = HW_NEW(work, uint32_t, 3 * l->nodes);
    if (hw_arena_failed(work)) return HW_NO_MEMORY;
    const size_t n[3] = {l->n[0] + 1, l->n[1] + 1, l->n[2] + 1}, step[3] = {1, l->row, l->layer};
    int slow = 0;
    for (int a = 1; a < 3; a++)
        if (n[a] > n[slow]) slow = a;
    int p = (slow + 1) % 3, q = (slow + 2) % 3;
    for (size_t i = 0; i < n[slow]; i++)
        for (size_t j = 0; j < n[p]; j++)
            for (size_t k = 0; k < n[q]; k++)
                for (size_t c = 0; c < 3; c++) {
                    size_t at = c * l->nodes + i * step[slow] + j * step[p] + k * step[q];
                    if (!(l->inverse[at] > 0)) continue;
                    number[at] = (uint32_t)out->n;
                    out->unknown[out->n++] = (uint32_t)at;
                }
    // How far a corner's unknowns are from those of the cell's farthest corner, at most.
    for (size_t m = 0; m < out->n; m++) {
        size_t at = out->unknown[m] % l->nodes;
        for (size_t c = 0; c < 3; c++)
            for (int e = 0; e < 18; e++) { // this layer along the slow axis, and the next
                size_t to = at + (size_t)(e / 9) * step[slow] + (size_t)(e % 3) * step[p] +
                            (size_t)(e / 3 % 3) * step[q];
                if (to < step[p] + step[q]) continue;
                to -= step[p] + step[q];
                if (to >= l->nodes || !(l->inverse[c * l->nodes + to] > 0)) continue;
                size_t far = number[c * l->nodes + to];
                if (far > m && far - m > out->width) out->width = far - m;
            }
    }
    return HW_OK;
}

static double *band_at(const hw_band *b, size_t i, size_t j) // j <= i <= j + width
{
    return &b->factor[i * (b->width + 1) + (j + b->width - i)];
}

static size_t band_from(const hw_band *b, size_t i)
{
    return i > b->width ? i - b->width : 0;
}

// Cholesky factor of the last grid's matrix; its diagonal counts a little more than it is, for
// bodies held nowhere.
static hw_code factor_last(hw_arena *work, hw_ladder *m)
{
    hw_level *l = &m->level[m->levels - 1];
    hw_band *b = &m->band;
    hw_code code = number_last(work, l, b);
    if (code != HW_OK) return code;
    b->factor = HW_NEW(work, double, b->n *(b->width + 1));
    if (!b->factor) return HW_NO_MEMORY;
    memset(l->x, 0, 3 * l->nodes * sizeof(double));
    for (size_t j = 0; j < b->n; j++) {
        l->x[b->unknown[j]] = 1;
        hw_level_apply(l, l->x, l->q);
        l->x[b->unknown[j]] = 0;
        for (size_t i = j; i < b->n && i <= j + b->width; i++)
            *band_at(b, i, j) = l->q[b->unknown[i]];
        *band_at(b, j, j) *= 1 + 1e-9;
    }
    for (size_t i = 0; i < b->n; i++) {
        double *row = band_at(b, i, band_from(b, i));
        for (size_t j = band_from(b, i); j <= i; j++) {
            size_t from = band_from(b, j) > band_from(b, i) ? band_from(b, j) : band_from(b, i);
            const double *x = row + (from - band_from(b, i)), *y = band_at(b, j, from);
            double sum = *band_at(b, i, j);
            for (size_t k = 0; k < j - from; k++) sum -= x[k] * y[k];
            *band_at(b, i, j) = i == j ? sqrt(fmax(sum, 1e-12 / l->inverse[b->unknown[i]]))
                                       : sum / *band_at(b, j, j);
        }
        if (i % 64 == 0 && !hw_ladder_go_on(m)) return HW_CANCELLED;
    }
    return HW_OK;
}

static void solve_last(const hw_band *b, hw_level *l)
{
    double *y = l->q;
    memset(l->x, 0, 3 * l->nodes * sizeof(double));
    for (size_t i = 0; i < b->n; i++) {
        double sum = l->b[b->unknown[i]];
        for (size_t k = band_from(b, i); k < i; k++) sum -= *band_at(b, i, k) * y[k];
        y[i] = sum / *band_at(b, i, i);
    }
    for (size_t i = b->n; i-- > 0;) {
        y[i] /= *band_at(b, i, i);
        for (size_t k = band_from(b, i); k < i; k++) y[k] -= *band_at(b, i, k) * y[i];
        l->x[b->unknown[i]] = y[i];
    }
}

hw_code hw_ladder_hold(hw_arena *work, const uint8_t *held, bool plain, hw_ladder *m)
{
    set_inverse(&m->level[0], held);
    if (plain) m->levels = 1;
    for (int i = 1; i < m->levels; i++) {
        hw_level *fine = &m->level[i - 1];
        set_springs(fine, i == 1 ? held : NULL, fine->r, fine->d, &m->level[i]);
        set_inverse(&m->level[i], NULL);
    }
    return plain ? HW_OK : factor_last(work, m);
}

// ---- the cycle ----------------------------------------------------------------------------------

typedef struct smoothing {
    hw_level *l;
    double old, new; // d = old * d + new * r / diagonal; x += d
    bool subtract;   // r -= q first
    bool fresh;      // x = d instead
} smoothing;

static void smooth_chunk(void *self, size_t begin, size_t end)
{
    const smoothing *s = self;
    hw_level *l = s->l;
    for (size_t i = begin; i < end; i++) {
        if (s->subtract) l->r[i] -= l->q[i];
        double step = s->new * l->inverse[i] * l->r[i];
        l->d[i] = s->old != 0 ? s->old * l->d[i] + step : step;
        l->x[i] = s->fresh ? l->d[i] : l->x[i] + l->d[i];
    }
}

bool hw_ladder_go_on(hw_ladder *m)
{
    if (!m->stopped && !hw_job_go_on(m->job, m->fraction, "stresses")) m->stopped = true;
    return !m->stopped;
}

// Steps of the polynomial from residual r; x is 0 before when `fresh`. The residual is one step
// behind afterwards, q the product to take off it.
static void smooth(hw_ladder *m, hw_level *l, bool fresh)
{
    double top = l->cell->top, low = smooth_from * top;
    double theta = 0.5 * (top + low), delta = 0.5 * (top - low), sigma = theta / delta;
    double rho = 1 / sigma;
    smoothing s = {l, 0, 1 / theta, false, fresh};
    for (int i = 0; i < STEPS; i++) {
        hw_par_for(3 * l->nodes, CHUNK, smooth_chunk, &s);
        if (!fresh && i + 1 == STEPS) break;
        hw_level_apply(l, l->d, l->q);
        double next = 1 / (2 * sigma - rho);
        s = (smoothing){l, next * rho, 2 * next / delta, true, false};
        rho = next;
        if (!hw_ladder_go_on(m)) return;
    }
}

static void subtract_chunk(void *self, size_t begin, size_t end)
{
    hw_level *l = self;
    for (size_t i = begin; i < end; i++) l->r[i] -= l->q[i];
}

static void renew_chunk(void *self, size_t begin, size_t end)
{
    hw_level *l = self;
    for (size_t i = begin; i < end; i++) l->r[i] = l->b[i] - l->q[i];
}

void hw_ladder_cycle(hw_ladder *m)
{
    int last = m->levels - 1;
    for (int i = 0; i < last; i++) {
        hw_level *l = &m->level[i], *next = &m->level[i + 1];
        memcpy(l->r, l->b, 3 * l->nodes * sizeof(double));
        smooth(m, l, true);
        hw_par_for(3 * l->nodes, CHUNK, subtract_chunk, l);
        passage p = {l, next, l->r, l->inverse, next->b};
        hw_par_for(next->n[2] + 1, next->chunk, restrict_layers, &p);
        if (m->stopped) return;
    }
    solve_last(&m->band, &m->level[last]);
    for (int i = last - 1; i >= 0; i--) {
        hw_level *l = &m->level[i], *next = &m->level[i + 1];
        passage p = {l, next, next->x, l->inverse, l->x};
        hw_par_for(l->n[2] + 1, l->chunk, prolong_layers, &p);
        hw_level_apply(l, l->x, l->q);
        hw_par_for(3 * l->nodes, CHUNK, renew_chunk, l);
        smooth(m, l, false);
        if (m->stopped) return;
    }
}
