// Regions, loads on the surface in them, supports, and what is left loose.
#include "print/voxel_internal.h"

#include <math.h>
#include <string.h>

static const double touch = 1e-3; // of an edge: a corner this near a region is in it

static double dot(hw_vec3 a, hw_vec3 b)
{
    return a.x * b.x + a.y * b.y + a.z * b.z;
}

static hw_vec3 minus(hw_vec3 a, hw_vec3 b)
{
    return (hw_vec3){a.x - b.x, a.y - b.y, a.z - b.z};
}

static hw_vec3 cross(hw_vec3 a, hw_vec3 b)
{
    return (hw_vec3){a.y * b.z - a.z * b.y, a.z * b.x - a.x * b.z, a.x * b.y - a.y * b.x};
}

static bool finite_vec(hw_vec3 a)
{
    return isfinite(a.x) && isfinite(a.y) && isfinite(a.z);
}

bool hw_voxel_region_good(const hw_voxel_region *r)
{
    if (r->shape == HW_VOXEL_BOX)
        return finite_vec(r->low) && finite_vec(r->high) && r->low.x <= r->high.x &&
               r->low.y <= r->high.y && r->low.z <= r->high.z;
    return r->shape == HW_VOXEL_CYLINDER && finite_vec(r->at) && finite_vec(r->axis) &&
           dot(r->axis, r->axis) > 0 && r->from <= r->to && r->inner >= 0 && r->inner < r->outer &&
           isfinite(r->from) && isfinite(r->to) && isfinite(r->outer);
}

bool hw_voxel_inside(const hw_voxel_region *r, hw_vec3 at, double edge)
{
    double e = touch * edge;
    if (r->shape == HW_VOXEL_BOX)
        return at.x >= r->low.x - e && at.x <= r->high.x + e && at.y >= r->low.y - e &&
               at.y <= r->high.y + e && at.z >= r->low.z - e && at.z <= r->high.z + e;
    hw_vec3 from = minus(at, r->at);
    double length = sqrt(dot(r->axis, r->axis)), along = dot(from, r->axis) / length;
    double across = sqrt(fmax(0, dot(from, from) - along * along));
    return along >= r->from - e && along <= r->to + e && across >= r->inner - e &&
           across <= r->outer + e;
}

static hw_vec3 node_place(const hw_voxels *v, size_t i, size_t j, size_t k)
{
    return (hw_vec3){v->low.x + (double)i * v->edge, v->low.y + (double)j * v->edge,
                     v->low.z + (double)k * v->edge};
}

static double fill_at(const hw_voxels *v, const size_t n[3])
{
    for (int a = 0; a < 3; a++)
        if (n[a] >= v->n[a]) return 0; // one less than 0 is the largest number
    return v->fill[(n[2] * v->n[1] + n[1]) * v->n[0] + n[0]];
}

// ---- surface ------------------------------------------------------------------------------------

// A face between a cell that is more than half full and one that is not.
typedef struct face {
    hw_vec3 middle;
    size_t node[4];
    int axis;
    double out; // +1 or -1: its outward direction along the axis
} face;

static void make_face(const hw_voxel_frame *f, const size_t cell[3], int axis, int high, face *out)
{
    const hw_voxels *v = f->p->voxels;
    size_t at[3] = {cell[0], cell[1], cell[2]};
    at[axis] += (size_t)high;
    int p = (axis + 1) % 3, q = (axis + 2) % 3;
    double middle[3] = {(double)at[0], (double)at[1], (double)at[2]};
    middle[p] += 0.5;
    middle[q] += 0.5;
    out->middle = (hw_vec3){v->low.x + middle[0] * v->edge, v->low.y + middle[1] * v->edge,
                            v->low.z + middle[2] * v->edge};
    const size_t step[3] = {1, f->top->row, f->top->layer};
    size_t first = at[0] + at[1] * step[1] + at[2] * step[2];
    for (int c = 0; c < 4; c++)
        out->node[c] = first + (c & 1 ? step[p] : 0) + (c & 2 ? step[q] : 0);
    out->axis = axis;
    out->out = high ? 1 : -1;
}

// Calls visit for every face of the surface inside a region; returns how many.
// NOLINTNEXTLINE(readability-function-cognitive-complexity): loops over a grid, read in one piece
static size_t each_face(const hw_voxel_frame *f, const hw_voxel_region *region,
                        void (*visit)(void *self, const face *one), void *self)
{
    const hw_voxels *v = f->p->voxels;
    size_t count = 0, n[3];
    for (n[2] = 0; n[2] < v->n[2]; n[2]++)
        for (n[1] = 0; n[1] < v->n[1]; n[1]++)
            for (n[0] = 0; n[0] < v->n[0]; n[0]++) {
                if (fill_at(v, n) < 0.5) continue;
                for (int side = 0; side < 6; side++) {
                    size_t o[3] = {n[0], n[1], n[2]};
                    o[side / 2] += side % 2 ? (size_t)1 : SIZE_MAX;
                    if (fill_at(v, o) >= 0.5) continue;
                    face one;
                    make_face(f, n, side / 2, side % 2, &one);
                    if (!hw_voxel_inside(region, one.middle, v->edge)) continue;
                    visit(self, &one);
                    count++;
                }
            }
    return count;
}

// ---- loads --------------------------------------------------------------------------------------

// A load spread over faces by weights w: their sum, middle, and moments of second order.
typedef struct spreading {
    const hw_voxel_frame *f;
    const hw_voxel_load *load;
    hw_vec3 push;      // direction of the force, 0: even
    double sum;        // of weights
    hw_vec3 middle;    // sum of w x, then the middle
    double turn[3][3]; // sum of w (x.x 1 - x x^T) about the middle
    hw_vec3 even;      // force on a weight of 1
    hw_vec3 twist;     // and twist x (place from the middle) more
} spreading;

static double along_axis(hw_vec3 a, int axis)
{
    return axis == 0 ? a.x : axis == 1 ? a.y : a.z;
}

static double weight(const spreading *s, const face *one)
{
    if (dot(s->push, s->push) == 0) return 1;
    return fmax(0, -one->out * along_axis(s->push, one->axis));
}

static void sum_face(void *self, const face *one)
{
    spreading *s = self;
    double w = weight(s, one);
    s->sum += w;
    s->middle.x += w * one->middle.x;
    s->middle.y += w * one->middle.y;
    s->middle.z += w * one->middle.z;
}

static void sum_turn(void *self, const face *one)
{
    spreading *s = self;
    double w = weight(s, one);
    hw_vec3 x = minus(one->middle, s->middle);
    const double at[3] = {x.x, x.y, x.z};
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++) s->turn[i][j] += w * ((i == j ? dot(x, x) : 0) - at[i] * at[j]);
}

static void add_to(const hw_voxel_frame *f, size_t node, hw_vec3 force)
{
    f->load[node] += force.x;
    f->load[f->top->nodes + node] += force.y;
    f->load[2 * f->top->nodes + node] += force.z;
}

static void put_face(void *self, const face *one)
{
    const spreading *s = self;
    double w = 0.25 * weight(s, one), edge = s->f->p->voxels->edge;
    hw_vec3 more = cross(s->twist, minus(one->middle, s->middle));
    double square = -0.25 * one->out * s->load->pressure * edge * edge;
    hw_vec3 force = {w * (s->even.x + more.x), w * (s->even.y + more.y), w * (s->even.z + more.z)};
    if (one->axis == 0) force.x += square;
    if (one->axis == 1) force.y += square;
    if (one->axis == 2) force.z += square;
    for (int c = 0; c < 4; c++) add_to(s->f, one->node[c], force);
}

// a x = b, symmetric, at least half definite; false where a pivot is below `least` of the trace.
static bool solve_three(double a[3][3], const double b[3], double least, double x[3])
{
    double trace = a[0][0] + a[1][1] + a[2][2];
    double y[3];
    for (int i = 0; i < 3; i++) {
        for (int j = 0; j <= i; j++) {
            double sum = a[i][j];
            for (int k = 0; k < j; k++) sum -= a[i][k] * a[j][k];
            if (i == j && !(sum > least * trace)) return false;
            a[i][j] = i == j ? sqrt(sum) : sum / a[j][j];
        }
        y[i] = b[i];
        for (int k = 0; k < i; k++) y[i] -= a[i][k] * y[k];
        y[i] /= a[i][i];
    }
    for (int i = 3; i-- > 0;) {
        x[i] = y[i];
        for (int k = i + 1; k < 3; k++) x[i] -= a[k][i] * x[k];
        x[i] /= a[i][i];
    }
    return true;
}

static bool load_good(const hw_voxel_load *l)
{
    return hw_voxel_region_good(&l->region) && finite_vec(l->force) && finite_vec(l->moment) &&
           finite_vec(l->at) && isfinite(l->pressure) &&
           (l->spread == HW_VOXEL_EVEN || l->spread == HW_VOXEL_FACING);
}

static hw_code put_load(const hw_voxel_frame *f, const hw_voxel_load *l)
{
    if (!load_good(l)) return HW_BAD_INPUT;
    spreading s = {.f = f, .load = l};
    double size = sqrt(dot(l->force, l->force));
    if (l->spread == HW_VOXEL_FACING && size > 0)
        s.push = (hw_vec3){l->force.x / size, l->force.y / size, l->force.z / size};
    if (!each_face(f, &l->region, sum_face, &s) || !(s.sum > 0)) return HW_BAD_INPUT;
    s.middle = (hw_vec3){s.middle.x / s.sum, s.middle.y / s.sum, s.middle.z / s.sum};
    each_face(f, &l->region, sum_turn, &s);
    s.even = (hw_vec3){l->force.x / s.sum, l->force.y / s.sum, l->force.z / s.sum};
    // Moment about the middle of the surface.
    hw_vec3 more = cross(minus(l->at, s.middle), l->force);
    const double moment[3] = {l->moment.x + more.x, l->moment.y + more.y, l->moment.z + more.z};
    double twist[3] = {0};
    double extent = sqrt((s.turn[0][0] + s.turn[1][1] + s.turn[2][2]) / s.sum);
    double asked = sqrt(moment[0] * moment[0] + moment[1] * moment[1] + moment[2] * moment[2]);
    if (asked > 1e-9 * size * fmax(extent, f->p->voxels->edge) &&
        !solve_three(s.turn, moment, 1e-6, twist))
        return HW_BAD_INPUT;
    s.twist = (hw_vec3){twist[0], twist[1], twist[2]};
    each_face(f, &l->region, put_face, &s);
    return HW_OK;
}

hw_code hw_voxel_load_all(const hw_voxel_frame *f, hw_voxel_answer *out)
{
    for (size_t i = 0; i < f->p->loads; i++)
        if (put_load(f, &f->p->load[i]) != HW_OK) {
            out->bad_load = i;
            return HW_BAD_INPUT;
        }
    for (size_t c = 0; c < 3; c++)
        for (size_t i = 0; i < f->top->nodes; i++)
            if (f->held[i] >> c & 1) f->load[c * f->top->nodes + i] = 0;
    return HW_OK;
}

// ---- supports -----------------------------------------------------------------------------------

static bool has_cell(const hw_voxels *v, size_t i, size_t j, size_t k)
{
    for (int q = 0; q < 8; q++) {
        const size_t at[3] = {i - (q & 1), j - (size_t)(q >> 1 & 1), k - (size_t)(q >> 2)};
        if (fill_at(v, at) > 0) return true;
    }
    return false;
}

static size_t hold_region(const hw_voxel_frame *f, const hw_voxel_support *s)
{
    const hw_voxels *v = f->p->voxels;
    uint8_t bits = (uint8_t)((s->held[0] ? 1 : 0) | (s->held[1] ? 2 : 0) | (s->held[2] ? 4 : 0));
    size_t count = 0;
    for (size_t k = 0; k <= v->n[2]; k++)
        for (size_t j = 0; j <= v->n[1]; j++)
            for (size_t i = 0; i <= v->n[0]; i++) {
                if (!hw_voxel_inside(&s->region, node_place(v, i, j, k), v->edge)) continue;
                if (!has_cell(v, i, j, k)) continue;
                f->held[k * f->top->layer + j * f->top->row + i] |= bits;
                count++;
            }
    return count;
}

hw_code hw_voxel_hold(const hw_voxel_frame *f, hw_voxel_answer *out)
{
    for (size_t i = 0; i < f->p->supports; i++) {
        const hw_voxel_support *s = &f->p->support[i];
        if (!hw_voxel_region_good(&s->region) || !hold_region(f, s)) {
            out->bad_support = i;
            return HW_BAD_INPUT;
        }
    }
    return HW_OK;
}

hw_vec3 hw_voxel_moved(const hw_voxel_problem *p, const hw_voxel_answer *a,
                       const hw_voxel_region *region)
{
    const hw_voxels *v = p->voxels;
    hw_vec3 sum = {0, 0, 0};
    double count = 0;
    for (size_t k = 0; k <= v->n[2]; k++)
        for (size_t j = 0; j <= v->n[1]; j++)
            for (size_t i = 0; i <= v->n[0]; i++) {
                if (!hw_voxel_inside(region, node_place(v, i, j, k), v->edge)) continue;
                if (!has_cell(v, i, j, k)) continue;
                const double *u = &a->moved[3 * ((k * (v->n[1] + 1) + j) * (v->n[0] + 1) + i)];
                sum = (hw_vec3){sum.x + u[0], sum.y + u[1], sum.z + u[2]};
                count++;
            }
    if (count == 0) return (hw_vec3){NAN, NAN, NAN};
    return (hw_vec3){sum.x / count, sum.y / count, sum.z / count};
}
