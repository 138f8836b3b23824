// The stiffness of one cube. Wilson, Taylor, Doherty & Ghaboussi 1973: trilinear displacements and,
// for each component, 1 - x^2, 1 - y^2, 1 - z^2, which no neighbour shares and which are solved for
// within the cell. On cubes the element passes the patch test as it stands.
#include "print/voxel_internal.h"

#include <math.h>
#include <string.h>

hw_voxel_stuff hw_voxel_isotropic(double modulus, double poisson)
{
    return (hw_voxel_stuff){modulus, modulus, poisson, poisson, modulus / (2 * (1 + poisson))};
}

// Inverse of a symmetric 3 x 3 matrix; false unless it is positive definite.
static bool invert(const double a[3][3], double out[3][3])
{
    double minor = a[0][0] * a[1][1] - a[0][1] * a[1][0];
    double c[3];
    for (int j = 0; j < 3; j++) {
        int p = (j + 1) % 3, q = (j + 2) % 3;
        c[j] = a[1][p] * a[2][q] - a[1][q] * a[2][p];
    }
    double det = a[0][0] * c[0] + a[0][1] * c[1] + a[0][2] * c[2];
    // A thousandth of a rounding's size away from singular is as bad as singular.
    double scale = a[0][0] * a[1][1] * a[2][2];
    if (!(a[0][0] > 0) || !(minor > 0) || !(det > 1e-12 * scale)) return false;
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++) {
            int r = (j + 1) % 3, s = (j + 2) % 3, p = (i + 1) % 3, q = (i + 2) % 3;
            out[i][j] = (a[r][p] * a[s][q] - a[r][q] * a[s][p]) / det;
        }
    return true;
}

static hw_code stress_over_strain(const hw_voxel_stuff *m, double d[6][6])
{
    const double all[] = {m->modulus, m->across, m->shear_across};
    for (int i = 0; i < 3; i++)
        if (!(all[i] > 0) || !isfinite(all[i])) return HW_BAD_INPUT;
    if (!isfinite(m->poisson) || !(m->poisson > -1) || !isfinite(m->poisson_across))
        return HW_BAD_INPUT;
    double flat = 1 / m->modulus, up = 1 / m->across;
    double side = -m->poisson * flat, cross = -m->poisson_across * up;
    const double give[3][3] = {{flat, side, cross}, {side, flat, cross}, {cross, cross, up}};
    double stiff[3][3];
    if (!invert(give, stiff)) return HW_BAD_INPUT;
    memset(d, 0, 36 * sizeof(double));
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++) d[i][j] = stiff[i][j];
    d[3][3] = d[4][4] = m->shear_across;
    d[5][5] = m->modulus / (2 * (1 + m->poisson));
    return HW_OK;
}

// Strain of component c times slope[j] along each axis.
static void strain_of(int c, const double slope[3], double out[6])
{
    static const int shear[3][3] = {{0, 5, 4}, {5, 0, 3}, {4, 3, 0}};
    memset(out, 0, 6 * sizeof(double));
    for (int j = 0; j < 3; j++) out[j == c ? c : shear[c][j]] += slope[j];
}

// Modes of a group at a point of the cell (-1 to 1): the three that neighbours share, then those
// that they do not, in groups of one coordinate.
static int strains_at(int group, const double at[3], double out[6][6])
{
    for (int c = 0; c < 3; c++) {
        int product = group ^ (1 << c);
        double slope[3];
        for (int j = 0; j < 3; j++) {
            slope[j] = product >> j & 1;
            for (int m = 0; m < 3; m++)
                if (m != j && (product >> m & 1)) slope[j] *= at[m];
        }
        strain_of(c, slope, out[c]);
    }
    if (group != 1 && group != 2 && group != 4) return 3;
    for (int m = 0; m < 3; m++) {
        double slope[3] = {0};
        slope[m] = -2 * at[m];
        strain_of(group >> 1, slope, out[3 + m]);
    }
    return 6;
}

static double energy(const double d[6][6], const double a[6], const double b[6])
{
    double sum = 0;
    for (int i = 0; i < 6; i++)
        for (int j = 0; j < 6; j++) sum += a[i] * d[i][j] * b[j];
    return sum;
}

// Two points an axis are exact here: no coordinate is beyond its square.
static void group_stiffness(const double d[6][6], int group, double k[3][3])
{
    double whole[6][6] = {{0}};
    int modes = 3;
    for (int g = 0; g < 8; g++) {
        const double at[3] = {(g & 1 ? 1 : -1) / sqrt(3.0), (g & 2 ? 1 : -1) / sqrt(3.0),
                              (g & 4 ? 1 : -1) / sqrt(3.0)};
        double strain[6][6];
        modes = strains_at(group, at, strain);
        for (int i = 0; i < modes; i++)
            for (int j = 0; j < modes; j++) whole[i][j] += energy(d, strain[i], strain[j]);
    }
    // The cell's own modes do not know each other: each depends on a coordinate of its own.
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++) {
            k[i][j] = whole[i][j];
            for (int m = 3; m < modes; m++) k[i][j] -= whole[i][m] * whole[m][j] / whole[m][m];
        }
}

hw_code hw_cell_of(const hw_voxel_stuff *stuff, hw_cell *out)
{
    memset(out, 0, sizeof *out);
    hw_code code = stress_over_strain(stuff, out->d);
    if (code != HW_OK) return code;
    for (int g = 0; g < HW_CELL_CORNERS; g++) {
        double k[3][3];
        group_stiffness((const double(*)[6])out->d, g, k);
        // Edge 1: slopes are twice those of the -1 to 1 cube, its volume an eighth; the modes'
        // amplitudes are an eighth of the sums over corners, and so are the corners' forces.
        const double each = 0.5 / 64;
        const double part[6] = {k[0][0], k[1][1], k[2][2], k[1][2], k[0][2], k[0][1]};
        for (int i = 0; i < 6; i++) out->k[g][i] = each * part[i];
    }
    for (int c = 0; c < 3; c++)
        for (int g = 0; g < HW_CELL_CORNERS; g++) out->diagonal[c] += out->k[g][c];
    // Sums over corners, and back, make 8. Row sums bound the eigenvalues of each group; those of a
    // sum of matrices over the sum of their diagonals are not above the largest of the parts.
    for (int g = 0; g < HW_CELL_CORNERS; g++) {
        static const int at[3][3] = {{0, 5, 4}, {5, 1, 3}, {4, 3, 2}};
        for (int i = 0; i < 3; i++) {
            double sum = 0;
            for (int j = 0; j < 3; j++)
                sum += fabs(8 * out->k[g][at[i][j]]) / sqrt(out->diagonal[i] * out->diagonal[j]);
            out->top = fmax(out->top, sum);
        }
    }
    return HW_OK;
}

void hw_voxel_stress(const hw_voxel_problem *p, const hw_voxel_answer *a, size_t i, size_t j,
                     size_t k, double out[6])
{
    const hw_voxels *v = p->voxels;
    hw_cell cell;
    for (int m = 0; m < 6; m++) out[m] = NAN;
    if (i >= v->n[0] || j >= v->n[1] || k >= v->n[2]) return;
    if (!(v->fill[(k * v->n[1] + j) * v->n[0] + i] > 0)) return;
    if (stress_over_strain(&p->stuff, cell.d) != HW_OK) return;
    hw_cell_stress(v, (const double(*)[6])cell.d, a->moved, i, j, k, out);
}

void hw_cell_stress(const hw_voxels *v, const double d[6][6], const double *moved, size_t i,
                    size_t j, size_t k, double out[6])
{
    double slope[3][3] = {{0}}; // of component, along axis
    for (int q = 0; q < 8; q++) {
        size_t x = i + (q & 1), y = j + (q >> 1 & 1), z = k + (size_t)(q >> 2);
        const double *u = &moved[3 * ((z * (v->n[1] + 1) + y) * (v->n[0] + 1) + x)];
        for (int c = 0; c < 3; c++)
            for (int m = 0; m < 3; m++) slope[c][m] += (q >> m & 1 ? 0.25 : -0.25) * u[c];
    }
    double strain[6] = {slope[0][0],
                        slope[1][1],
                        slope[2][2],
                        slope[1][2] + slope[2][1],
                        slope[0][2] + slope[2][0],
                        slope[0][1] + slope[1][0]};
    for (int m = 0; m < 6; m++) {
        out[m] = 0;
        for (int n = 0; n < 6; n++) out[m] += d[m][n] * strain[n] / v->edge;
    }
}

double hw_voxel_mises(const double s[6])
{
    double a = s[0] - s[1], b = s[1] - s[2], c = s[2] - s[0];
    return sqrt(0.5 * (a * a + b * b + c * c) + 3 * (s[3] * s[3] + s[4] * s[4] + s[5] * s[5]));
}
