// Fields given by values at the places of a grid.
#include "solid/field_internal.h"

static const hw_grid_block *block_at(const hw_field_grid *g, const int32_t b[3])
{
    return g->block[((size_t)b[2] * (size_t)g->blocks[1] + (size_t)b[1]) * (size_t)g->blocks[0] +
                    (size_t)b[0]];
}

// The cell of a coordinate along one axis, kept on the grid, and the shares of its two nodes: on
// the other side of 0 they are the same numbers the other way round.
static int32_t cell_of(const hw_field_grid *g, int axis, double x, double share[2]) // [m] [1]
{
    const double u = x / g->cell - (axis == 2 ? g->lift : 0);
    const int32_t most = g->blocks[axis] * HW_GRID_SIDE - 1;
    double n = floor(u);
    if (n < g->first[axis] || n > (double)g->first[axis] + most) { // beside the grid
        const bool low = n < g->first[axis];
        share[0] = low;
        share[1] = !low;
        return low ? 0 : most;
    }
    share[0] = n + 1 - u;
    share[1] = u - n;
    return (int32_t)n - g->first[axis];
}

double hw_grid_at(const hw_field_grid *g, hw_vec3 p)
{
    const double at[3] = {p.x, p.y, p.z};
    int32_t b[3], k[3];
    double t[3][2];
    for (int i = 0; i < 3; i++) {
        const int32_t n = cell_of(g, i, at[i], t[i]);
        b[i] = n / HW_GRID_SIDE;
        k[i] = n % HW_GRID_SIDE;
    }
    const hw_grid_block *q = block_at(g, b);
    if (!q) return g->idle;
    double plane[2];
    for (int z = 0; z < 2; z++) {
        double row[2];
        for (int y = 0; y < 2; y++) {
            const float *v = &q->v[k[2] + z][k[1] + y][k[0]];
            row[y] = t[0][0] * (double)v[0] + t[0][1] * (double)v[1];
        }
        plane[z] = t[1][0] * row[0] + t[1][1] * row[1];
    }
    return t[2][0] * plane[0] + t[2][1] * plane[1];
}

// Over the nodes of one block that lie in a box of whole numbers.
static void block_range(const hw_grid_block *q, const int32_t from[3], const int32_t to[3],
                        double out[2]) // [m]
{
    const int32_t all = HW_GRID_SIDE;
    if ((double)q->low >= out[0] && (double)q->high <= out[1]) return;
    bool some = false;
    for (int i = 0; i < 3; i++) some = some || from[i] > 0 || to[i] < all;
    if (!some) {
        out[0] = fmin(out[0], (double)q->low);
        out[1] = fmax(out[1], (double)q->high);
        return;
    }
    for (int32_t z = from[2]; z <= to[2]; z++)
        for (int32_t y = from[1]; y <= to[1]; y++)
            for (int32_t x = from[0]; x <= to[0]; x++) {
                out[0] = fmin(out[0], (double)q->v[z][y][x]);
                out[1] = fmax(out[1], (double)q->v[z][y][x]);
            }
}

void hw_grid_range(const hw_field_grid *g, hw_vec3 c, double radius, double out[2])
{
    const double at[3] = {c.x, c.y, c.z};
    int32_t from[3], to[3], b[3];
    double share[2];
    for (int i = 0; i < 3; i++) {
        from[i] = cell_of(g, i, at[i] - radius, share);
        to[i] = cell_of(g, i, at[i] + radius, share) + 1;
    }
    out[0] = INFINITY;
    out[1] = -INFINITY;
    const int32_t side = HW_GRID_SIDE;
    for (b[2] = from[2] / side; b[2] <= (to[2] - 1) / side; b[2]++)
        for (b[1] = from[1] / side; b[1] <= (to[1] - 1) / side; b[1]++)
            for (b[0] = from[0] / side; b[0] <= (to[0] - 1) / side; b[0]++) {
                const hw_grid_block *q = block_at(g, b);
                if (!q) {
                    out[0] = fmin(out[0], g->idle);
                    out[1] = fmax(out[1], g->idle);
                    continue;
                }
                int32_t p[3], r[3];
                for (int i = 0; i < 3; i++) {
                    p[i] = from[i] > b[i] * side ? from[i] - b[i] * side : 0;
                    r[i] = to[i] < (b[i] + 1) * side ? to[i] - b[i] * side : side;
                }
                block_range(q, p, r, out);
            }
}
