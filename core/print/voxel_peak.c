// Where the stress is largest: a linear fit over the cells near each place, and the same at several
// edges.
#include "print/voxel_internal.h"

#include "base/par.h"

#include <math.h>
#include <string.h>

typedef struct search {
    const hw_voxel_problem *p;
    const double *stress; // six a cell
    double radius;        // in edges
    hw_voxel_peaks *best; // of each layer of cells
} search;

// The fit's weights of the cells near a place (in edges, from the grid's corner).
typedef struct near {
    const search *s;
    double at[3];
    size_t from[3], to[3];
    double lambda[4]; // weight of a cell at x from the place: w (lambda0 + lambda . x)
} near;

// Weight of a cell by its share and how near it is, and its middle from the place; 0: too far.
static double nearness(const near *n, size_t i, size_t j, size_t k, double x[3])
{
    const hw_voxels *v = n->s->p->voxels;
    x[0] = (double)i + 0.5 - n->at[0];
    x[1] = (double)j + 0.5 - n->at[1];
    x[2] = (double)k + 0.5 - n->at[2];
    double far = (x[0] * x[0] + x[1] * x[1] + x[2] * x[2]) / (n->s->radius * n->s->radius);
    return far < 1 ? (1 - far) * v->fill[(k * v->n[1] + j) * v->n[0] + i] : 0;
}

// m lambda = (1, 0, 0, 0), m symmetric; with a direction in which the cells do not differ, the
// mean: lambda = (1 / m00, 0, 0, 0).
static void fit(double m[4][4], double lambda[4])
{
    double factor[4][4] = {{0}}, y[4];
    lambda[0] = 1 / m[0][0];
    lambda[1] = lambda[2] = lambda[3] = 0;
    for (int i = 0; i < 4; i++) {
        for (int j = 0; j <= i; j++) {
            double sum = m[i][j];
            for (int k = 0; k < j; k++) sum -= factor[i][k] * factor[j][k];
            // The cells must spread by a fifth of an edge, at least, beside their other spread.
            if (i == j && !(sum > 0.04 * m[0][0])) return;
            factor[i][j] = i == j ? sqrt(sum) : sum / factor[j][j];
        }
    }
    for (int i = 0; i < 4; i++) {
        y[i] = i == 0;
        for (int k = 0; k < i; k++) y[i] -= factor[i][k] * y[k];
        y[i] /= factor[i][i];
    }
    for (int i = 4; i-- > 0;) {
        lambda[i] = y[i];
        for (int k = i + 1; k < 4; k++) lambda[i] -= factor[k][i] * lambda[k];
        lambda[i] /= factor[i][i];
    }
}

// NOLINTNEXTLINE(readability-function-cognitive-complexity): loops over a grid, read in one piece
static void fitted(const search *s, const double at[3], double out[6])
{
    const hw_voxels *v = s->p->voxels;
    near n = {.s = s, .at = {at[0], at[1], at[2]}};
    for (int a = 0; a < 3; a++) {
        double low = floor(at[a] - 0.5 - s->radius), high = at[a] - 0.5 + s->radius;
        n.from[a] = low > 0 ? (size_t)low : 0;
        n.to[a] = high < 0 ? 0 : (size_t)high + 1;
        if (n.to[a] > v->n[a]) n.to[a] = v->n[a];
    }
    double m[4][4] = {{0}};
    memset(out, 0, 6 * sizeof(double));
    for (int pass = 0; pass < 2; pass++) {
        for (size_t k = n.from[2]; k < n.to[2]; k++)
            for (size_t j = n.from[1]; j < n.to[1]; j++)
                for (size_t i = n.from[0]; i < n.to[0]; i++) {
                    double x[4] = {1};
                    double w = nearness(&n, i, j, k, &x[1]);
                    if (!(w > 0)) continue;
                    if (pass == 0) {
                        for (int a = 0; a < 4; a++)
                            for (int b = 0; b < 4; b++) m[a][b] += w * x[a] * x[b];
                        continue;
                    }
                    const double *l = n.lambda;
                    double share = w * (l[0] + l[1] * x[1] + l[2] * x[2] + l[3] * x[3]);
                    const double *one = &s->stress[6 * ((k * v->n[1] + j) * v->n[0] + i)];
                    for (int c = 0; c < 6; c++) out[c] += share * one[c];
                }
        if (pass == 0) fit(m, n.lambda);
    }
}

static void raise_to(hw_voxel_peak *p, double value, const search *s, const double at[3])
{
    const hw_voxels *v = s->p->voxels;
    if (!(value > p->value)) return;
    *p = (hw_voxel_peak){
        value,
        {v->low.x + at[0] * v->edge, v->low.y + at[1] * v->edge, v->low.z + at[2] * v->edge}};
}

static void look_at(const search *s, const double at[3], hw_voxel_peaks *best)
{
    double stress[6];
    fitted(s, at, stress);
    raise_to(&best->mises, hw_voxel_mises(stress), s, at);
    raise_to(&best->across, stress[2], s, at);
}

// A cell's middle, and beyond each of its faces to the open where the surface should be: the cell's
// share and its neighbour's tell.
static void look_at_cell(const search *s, const size_t n[3], hw_voxel_peaks *best)
{
    const hw_voxels *v = s->p->voxels;
    size_t cell = (n[2] * v->n[1] + n[1]) * v->n[0] + n[0];
    const size_t step[3] = {1, v->n[0], v->n[0] * v->n[1]};
    const double middle[3] = {(double)n[0] + 0.5, (double)n[1] + 0.5, (double)n[2] + 0.5};
    const double *stress = &s->stress[6 * cell];
    raise_to(&best->raw_mises, hw_voxel_mises(stress), s, middle);
    raise_to(&best->raw_across, stress[2], s, middle);
    look_at(s, middle, best);
    for (int f = 0; f < 6; f++) {
        int axis = f / 2;
        bool last = f % 2 ? n[axis] + 1 == v->n[axis] : n[axis] == 0;
        double beyond = last ? 0 : v->fill[f % 2 ? cell + step[axis] : cell - step[axis]];
        if (beyond >= 0.5) continue;
        double at[3] = {middle[0], middle[1], middle[2]};
        at[axis] += (f % 2 ? 1 : -1) * (v->fill[cell] - 0.5 + beyond);
        look_at(s, at, best);
    }
}

// Some layers at a time, so that the job is asked in between.
typedef struct slab {
    const search *s;
    size_t first;
} slab;

static void search_slab(void *self, size_t begin, size_t end)
{
    const slab *one = self;
    const search *s = one->s;
    const hw_voxels *v = s->p->voxels;
    for (size_t k = one->first + begin; k < one->first + end; k++)
        for (size_t j = 0; j < v->n[1]; j++)
            for (size_t i = 0; i < v->n[0]; i++)
                if (v->fill[(k * v->n[1] + j) * v->n[0] + i] >= 0.5)
                    look_at_cell(s, (const size_t[3]){i, j, k}, &s->best[k]);
}

static void take_larger(hw_voxel_peak *p, const hw_voxel_peak *other)
{
    if (other->value > p->value) *p = *other;
}

hw_code hw_voxel_peaks_of(hw_arena *work, const hw_voxel_problem *p, const hw_voxel_answer *a,
                          double radius, const hw_job *job, hw_voxel_peaks *out)
{
    const hw_voxel_peak none = {NAN, {NAN, NAN, NAN}}, zero = {0, {NAN, NAN, NAN}};
    *out = (hw_voxel_peaks){none, none, none, none};
    const hw_voxels *v = p->voxels;
    if (!(radius >= 2 * v->edge) || !isfinite(radius)) return HW_BAD_INPUT;
    hw_cell cell;
    hw_code code = hw_cell_of(&p->stuff, &cell);
    if (code != HW_OK) return code;
    size_t mark = hw_arena_mark(work), layer = v->n[0] * v->n[1];
    double *stress = HW_NEW(work, double, 6 * layer * v->n[2]);
    hw_voxel_peaks *best = HW_NEW(work, hw_voxel_peaks, v->n[2]);
    search s = {p, stress, radius / v->edge, best};
    if (hw_arena_failed(work)) code = HW_NO_MEMORY;
    for (size_t i = 0; code == HW_OK && i < layer * v->n[2]; i++)
        if (v->fill[i] > 0)
            hw_cell_stress(v, (const double(*)[6])cell.d, a->moved, i % v->n[0],
                           i / v->n[0] % v->n[1], i / layer, &stress[6 * i]);
    enum { AT_ONCE = 4 };
    for (size_t k = 0; code == HW_OK && k < v->n[2]; k += AT_ONCE) {
        if (!hw_job_go_on(job, (double)k / (double)v->n[2], "peaks")) code = HW_CANCELLED;
        size_t end = k + AT_ONCE < v->n[2] ? k + AT_ONCE : v->n[2];
        for (size_t m = k; m < end; m++) best[m] = (hw_voxel_peaks){zero, zero, zero, zero};
        slab one = {&s, k};
        hw_par_for(end - k, 1, search_slab, &one);
    }
    if (code == HW_OK) {
        *out = (hw_voxel_peaks){zero, zero, zero, zero};
        for (size_t k = 0; k < v->n[2]; k++) {
            take_larger(&out->mises, &best[k].mises);
            take_larger(&out->across, &best[k].across);
            take_larger(&out->raw_mises, &best[k].raw_mises);
            take_larger(&out->raw_across, &best[k].raw_across);
        }
    }
    hw_arena_rewind(work, mark);
    return code;
}

// Largest less smallest over the last.
static double spread(const double value[], size_t n)
{
    double low = value[0], high = value[0];
    for (size_t i = 1; i < n; i++) {
        low = fmin(low, value[i]);
        high = fmax(high, value[i]);
    }
    return high > low ? (high - low) / value[n - 1] : 0;
}

hw_code hw_voxel_study_of(hw_arena *keep, hw_arena *work, const hw_mesh *mesh,
                          const hw_voxel_problem *p, const hw_voxel_study_def *def,
                          const hw_job *job, hw_voxel_study *out)
{
    memset(out, 0, sizeof *out);
    if (def->edges < 1 || def->edges > HW_VOXEL_EDGES) return HW_BAD_INPUT;
    double mises[HW_VOXEL_EDGES], across[HW_VOXEL_EDGES];
    out->problem = *p;
    size_t mark = hw_arena_mark(keep);
    for (size_t i = 0; i < def->edges; i++) {
        hw_arena_rewind(keep, mark);
        hw_code code = hw_voxels_of(keep, work, mesh, def->edge[i], def->most, job, &out->voxels);
        out->problem.voxels = &out->voxels;
        if (code == HW_OK)
            code = hw_voxel_solve(keep, work, &out->problem, &def->solve, job, &out->answer);
        if (code == HW_OK)
            code = hw_voxel_peaks_of(work, &out->problem, &out->answer, def->radius, job,
                                     &out->peak[i]);
        out->iterations[i] = out->answer.iterations;
        out->cells[i] = out->voxels.cells;
        if (code != HW_OK) return code;
        mises[i] = out->peak[i].mises.value;
        across[i] = out->peak[i].across.value;
    }
    out->spread = spread(mises, def->edges);
    out->spread_across = spread(across, def->edges);
    return HW_OK;
}
