// Mass properties by sums over the tetrahedra of each triangle and a middle point. Source: Tonon
// 2004, "Explicit exact formulas for the 3-D tetrahedron inertia tensor in terms of its vertex
// coordinates", J. Math. Stat. 1(1), 8-11, written with the covariance S:
// S = sum det/120 (sum of v v^T + s s^T), s = a + b + c, I = tr(S) 1 - S.
#include "solid/solid.h"

#include <math.h>

static hw_vec3 minus(hw_vec3 a, hw_vec3 b)
{
    return (hw_vec3){a.x - b.x, a.y - b.y, a.z - b.z};
}

static hw_vec3 cross(hw_vec3 a, hw_vec3 b)
{
    return (hw_vec3){a.y * b.z - a.z * b.y, a.z * b.x - a.x * b.z, a.x * b.y - a.y * b.x};
}

static double dot(hw_vec3 a, hw_vec3 b)
{
    return a.x * b.x + a.y * b.y + a.z * b.z;
}

// The middle of the box round the mesh: sums about it lose the least.
static hw_vec3 middle(const hw_mesh *m)
{
    if (m->verts == 0) return (hw_vec3){0, 0, 0};
    hw_vec3 low = m->vert[0], high = low;
    for (size_t i = 1; i < m->verts; i++) {
        hw_vec3 v = m->vert[i];
        low = (hw_vec3){fmin(low.x, v.x), fmin(low.y, v.y), fmin(low.z, v.z)};
        high = (hw_vec3){fmax(high.x, v.x), fmax(high.y, v.y), fmax(high.z, v.z)};
    }
    return (hw_vec3){(low.x + high.x) / 2, (low.y + high.y) / 2, (low.z + high.z) / 2};
}

typedef struct sums {
    double det, area2;   // six times the volume, twice the area
    double first[3];     // 24 times the first moment
    double second[3][3]; // 120 times the covariance
} sums;

static void add_triangle(sums *s, hw_vec3 a, hw_vec3 b, hw_vec3 c)
{
    hw_vec3 normal = cross(minus(b, a), minus(c, a));
    double det = dot(a, cross(b, c));
    s->det += det;
    s->area2 += sqrt(dot(normal, normal));
    const double v[4][3] = {{a.x, a.y, a.z},
                            {b.x, b.y, b.z},
                            {c.x, c.y, c.z},
                            {a.x + b.x + c.x, a.y + b.y + c.y, a.z + b.z + c.z}};
    for (int i = 0; i < 3; i++) {
        s->first[i] += det * v[3][i];
        for (int j = 0; j < 3; j++)
            for (int k = 0; k < 4; k++) s->second[i][j] += det * (v[k][i] * v[k][j]);
    }
}

hw_mass hw_mesh_mass(const hw_mesh *mesh, double density)
{
    hw_mass out = {0};
    hw_vec3 o = middle(mesh);
    sums s = {0};
    for (size_t t = 0; t < mesh->tris; t++) {
        const uint32_t *v = mesh->tri + 3 * t;
        add_triangle(&s, minus(mesh->vert[v[0]], o), minus(mesh->vert[v[1]], o),
                     minus(mesh->vert[v[2]], o));
    }
    out.volume = s.det / 6;
    out.area = s.area2 / 2;
    out.mass = density * out.volume;
    out.centroid = o;
    if (s.det == 0) return out;
    double c[3], cov[3][3], trace = 0;
    for (int i = 0; i < 3; i++) c[i] = s.first[i] / (4 * s.det);
    for (int i = 0; i < 3; i++) {
        for (int j = 0; j < 3; j++) cov[i][j] = s.second[i][j] / 120 - out.volume * c[i] * c[j];
        trace += cov[i][i];
    }
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++)
            out.inertia[i][j] = density * ((i == j ? trace : 0) - cov[i][j]);
    out.centroid = (hw_vec3){o.x + c[0], o.y + c[1], o.z + c[2]};
    return out;
}
