// Scan conversion of meshes into a depth buffer, without perspective.
#include <math.h>
#include <string.h>

#include "draw/view_internal.h"

#define SUB 256 // steps of a pixel that corners are put on

static double dot(hw_vec3 a, hw_vec3 b)
{
    return a.x * b.x + a.y * b.y + a.z * b.z;
}

static hw_vec3 less(hw_vec3 a, hw_vec3 b)
{
    return (hw_vec3){a.x - b.x, a.y - b.y, a.z - b.z};
}

static hw_vec3 cross(hw_vec3 a, hw_vec3 b)
{
    return (hw_vec3){a.y * b.z - a.z * b.y, a.z * b.x - a.x * b.z, a.x * b.y - a.y * b.x};
}

// ---- smooth faces -----------------------------------------------------------------------------

typedef struct side {
    uint32_t low, high, tri; // corners of an edge, and whose it is
} side;

static uint32_t root_of(uint32_t *up, uint32_t i)
{
    while (up[i] != i) i = up[i] = up[up[i]];
    return i;
}

// Sides in order of their lower corner (counting sort), so that the two of an edge lie near.
static side *sides_of(hw_arena *work, const hw_mesh *m, size_t **first)
{
    size_t n = 3 * m->tris, *at = HW_NEW(work, size_t, m->verts + 2);
    side *s = HW_NEW(work, side, n);
    if (!at || !s) return NULL;
    for (size_t i = 0; i < n; i++) {
        uint32_t a = m->tri[i], b = m->tri[i - i % 3 + (i + 1) % 3];
        at[(a < b ? a : b) + 2]++;
    }
    for (size_t v = 2; v < m->verts + 2; v++) at[v] += at[v - 1];
    for (size_t i = 0; i < n; i++) {
        uint32_t a = m->tri[i], b = m->tri[i - i % 3 + (i + 1) % 3];
        uint32_t low = a < b ? a : b;
        s[at[low + 1]++] = (side){low, a < b ? b : a, (uint32_t)(i / 3)};
    }
    *first = at;
    return s;
}

// Normal (twice the area long) and, in *height, the least height of a triangle.
static hw_vec3 normal_of(const hw_mesh *m, size_t t, double *height) // [m]
{
    hw_vec3 a = m->vert[m->tri[3 * t]], b = m->vert[m->tri[3 * t + 1]],
            c = m->vert[m->tri[3 * t + 2]];
    hw_vec3 ab = less(b, a), ac = less(c, a), bc = less(c, b), n = cross(ab, ac);
    double longest = sqrt(fmax(dot(ab, ab), fmax(dot(ac, ac), dot(bc, bc))));
    *height = longest > 0 ? sqrt(dot(n, n)) / longest : 0;
    return n;
}

double hw_view_extent(const hw_mesh *m)
{
    double low[3] = {INFINITY, INFINITY, INFINITY}, high[3] = {-INFINITY, -INFINITY, -INFINITY};
    for (size_t i = 0; i < m->verts; i++) {
        double v[3] = {m->vert[i].x, m->vert[i].y, m->vert[i].z};
        for (int k = 0; k < 3; k++) low[k] = fmin(low[k], v[k]), high[k] = fmax(high[k], v[k]);
    }
    return fmax(high[0] - low[0], fmax(high[1] - low[1], high[2] - low[2]));
}

#define FLAT 0.9998 // cosine of a degree [1]

// Whether an edge is the longest of a triangle of its own.
static bool is_longest(const hw_mesh *m, const side *s)
{
    double own = 0, longest = 0;
    for (size_t k = 0; k < 3; k++) {
        uint32_t a = m->tri[3 * s->tri + k], b = m->tri[3 * s->tri + (k + 1) % 3];
        hw_vec3 d = less(m->vert[b], m->vert[a]);
        double square = dot(d, d);
        longest = fmax(longest, square);
        if ((a < b ? a : b) == s->low && (a < b ? b : a) == s->high) own = square;
    }
    return own == longest;
}

// Whether the two triangles of an edge are of one face. A sliver's normal says little: it belongs
// to what lies along its longest side, and beyond that only to what is flat with it.
static bool belong(const hw_mesh *m, const side *a, const side *b, double sliver,
                   double cosine) // [m] [1]
{
    double ha, hb;
    hw_vec3 na = normal_of(m, a->tri, &ha), nb = normal_of(m, b->tri, &hb);
    double along = dot(na, nb), size = sqrt(dot(na, na) * dot(nb, nb));
    if (along > FLAT * size) return true;
    if (ha <= sliver) return is_longest(m, a);
    if (hb <= sliver) return is_longest(m, b);
    return along > cosine * size;
}

static void join(uint32_t *up, bool *whole, uint32_t a, uint32_t b)
{
    uint32_t x = root_of(up, a), y = root_of(up, b);
    if (y < x) {
        uint32_t other = x;
        x = y, y = other;
    }
    up[y] = x;
    whole[x] = whole[x] || whole[y];
}

// Sets that are slivers alone, which lie along each other, go to a face that they meet.
static void adopt(const hw_mesh *m, const side *s, const size_t *first, uint32_t *up, bool *whole)
{
    bool changed = true;
    for (int pass = 0; changed && pass < 8; pass++) {
        changed = false;
        for (size_t v = 0; v < m->verts; v++)
            for (size_t i = v ? first[v] : 0; i < first[v + 1]; i++)
                for (size_t k = i + 1; k < first[v + 1]; k++) {
                    if (s[i].high != s[k].high) continue;
                    if (whole[root_of(up, s[i].tri)] == whole[root_of(up, s[k].tri)]) continue;
                    join(up, whole, s[i].tri, s[k].tri);
                    changed = true;
                }
    }
}

hw_code hw_view_faces(hw_arena *work, const hw_mesh *m, uint32_t face[], size_t *count)
{
    *count = 0;
    if (m->tris == 0) return HW_OK;
    size_t mark = hw_arena_mark(work), *first = NULL;
    side *s = sides_of(work, m, &first);
    uint32_t *up = HW_NEW(work, uint32_t, m->tris), *number = HW_NEW(work, uint32_t, m->tris);
    bool *whole = HW_NEW(work, bool, m->tris); // of roots: its set is more than slivers
    if (!s || !up || !number || !whole) return HW_NO_MEMORY;
    double sliver = 1e-5 * hw_view_extent(m), cosine = cos(HW_VIEW_CREASE);
    for (uint32_t t = 0; t < m->tris; t++) {
        double height;
        (void)normal_of(m, t, &height);
        up[t] = t;
        whole[t] = height > sliver;
    }
    for (size_t v = 0; v < m->verts; v++)
        for (size_t i = v ? first[v] : 0; i < first[v + 1]; i++)
            for (size_t k = i + 1; k < first[v + 1]; k++) {
                if (s[i].high != s[k].high || !belong(m, &s[i], &s[k], sliver, cosine)) continue;
                join(up, whole, s[i].tri, s[k].tri);
            }
    adopt(m, s, first, up, whole);
    // roots are the lowest of their set and so come first
    for (uint32_t t = 0; t < m->tris; t++) {
        uint32_t r = root_of(up, t);
        if (r == t) number[t] = (uint32_t)(*count)++;
        face[t] = number[r];
    }
    hw_arena_rewind(work, mark);
    return HW_OK;
}

// ---- triangles --------------------------------------------------------------------------------

typedef struct spot3 {
    int64_t x, y; // in SUB steps of a pixel from the top left
    double depth; // [m]
    double shade; // 0 in full light to 255 [1]
} spot3;

// What changes evenly over the picture's plane: its value at a row's first pixel, and a pixel on.
typedef struct ramp {
    double at, slope;
} ramp;

typedef struct painter {
    hw_view_picture *p;
    uint16_t part;
    uint32_t face;
    int turn; // +1: its outside faces away from the eye, -1: toward it
} painter;

// The edge function of a -> b is >= 0 at what lies inside, for triangles that run clockwise on the
// picture (y down); pixels on a shared edge belong to one side only.
typedef struct half_plane {
    int64_t a, b, c;
} half_plane;

static half_plane half_plane_of(spot3 p, spot3 q)
{
    half_plane h = {p.y - q.y, q.x - p.x, 0};
    h.c = -(h.a * p.x + h.b * p.y);
    bool owns = h.a > 0 || (h.a == 0 && h.b > 0);
    if (!owns) h.c--;
    return h;
}

static int64_t floor_div(int64_t a, int64_t b) // b > 0
{
    int64_t q = a / b;
    return q - (a % b < 0);
}

// Narrows [*from, *to] (pixels) to where the half plane holds on the row of centres at y.
static void narrow(half_plane h, int64_t y, int64_t *from, int64_t *to)
{
    // a (SUB x + SUB / 2) + k >= 0
    int64_t k = h.b * y + h.c + h.a * (SUB / 2);
    if (h.a > 0) {
        int64_t x = -floor_div(k, h.a * SUB);
        if (x > *from) *from = x;
    } else if (h.a < 0) {
        int64_t x = floor_div(k, -h.a * SUB);
        if (x < *to) *to = x;
    } else if (k < 0)
        *to = *from - 1;
}

static void put_row(const painter *w, size_t y, size_t from, size_t to, ramp depth, ramp shade)
{
    hw_view_picture *p = w->p;
    double plane = p->plane[0] + p->plane[2] * (double)y;
    for (size_t x = from; x <= to; x++) {
        size_t i = y * p->w + x;
        double z = depth.at + depth.slope * (double)x;
        if (p->cut) {
            if (z > plane + p->plane[1] * (double)x) continue;
            p->behind[i] = (int8_t)(p->behind[i] + w->turn);
        }
        if (!((float)z > p->depth[i])) continue;
        p->depth[i] = (float)z;
        p->part[i] = w->part;
        p->face[i] = w->face;
        p->shade[i] = (uint8_t)lround(fmin(fmax(shade.at + shade.slope * (double)x, 0), 255));
        p->is_cut[i] = 0;
    }
}

// By how much a value grows a step across and a step down, from the corners as they were put.
static void slopes(const spot3 corner[3], const double value[3], double twice,
                   double out[2]) // [1]
{
    spot3 a = corner[0], b = corner[1], c = corner[2];
    double vb = value[1] - value[0], vc = value[2] - value[0];
    out[0] = (vb * (double)(c.y - a.y) - vc * (double)(b.y - a.y)) / twice;
    out[1] = (vc * (double)(b.x - a.x) - vb * (double)(c.x - a.x)) / twice;
}

static ramp ramp_of(spot3 a, double value, const double slope[2], int64_t y) // [1]
{
    double at = value + slope[1] * (double)(y - a.y) + slope[0] * ((double)SUB / 2 - (double)a.x);
    return (ramp){at, slope[0] * SUB};
}

static void put_triangle(const painter *w, const spot3 corner[3])
{
    const hw_view_picture *p = w->p;
    spot3 a = corner[0], b = corner[1], c = corner[2];
    int64_t twice = (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x);
    if (twice == 0) return;
    if (twice < 0) {
        spot3 other = b;
        b = c, c = other, twice = -twice;
    }
    const spot3 put[3] = {a, b, c};
    double depth[2], shade[2];
    slopes(put, (const double[]){a.depth, b.depth, c.depth}, (double)twice, depth);
    slopes(put, (const double[]){a.shade, b.shade, c.shade}, (double)twice, shade);
    half_plane wall[3] = {half_plane_of(a, b), half_plane_of(b, c), half_plane_of(c, a)};
    int64_t low = a.y < b.y ? a.y : b.y, high = a.y > b.y ? a.y : b.y;
    if (c.y < low) low = c.y;
    if (c.y > high) high = c.y;
    int64_t y0 = floor_div(low, SUB), y1 = floor_div(high, SUB);
    if (y0 < 0) y0 = 0;
    if (y1 > (int64_t)p->h - 1) y1 = (int64_t)p->h - 1;
    for (int64_t y = y0; y <= y1; y++) {
        int64_t from = 0, to = (int64_t)p->w - 1, centre = y * SUB + SUB / 2;
        for (int k = 0; k < 3; k++) narrow(wall[k], centre, &from, &to);
        if (from > to) continue;
        put_row(w, (size_t)y, (size_t)from, (size_t)to, ramp_of(a, a.depth, depth, centre),
                ramp_of(a, a.shade, shade, centre));
    }
}

static spot3 spot_of(const hw_view_picture *p, hw_vec3 at)
{
    return (spot3){llround((dot(at, p->right) - p->left) / p->size * SUB),
                   llround((p->top - dot(at, p->up)) / p->size * SUB), dot(at, p->eye), 0};
}

// Light from the upper left, over the drawer's shoulder.
static double shade_of(const hw_view_picture *p, hw_vec3 normal) // [1]
{
    double len = sqrt(dot(normal, normal));
    if (!(len > 0)) return 128;
    static const double light[3] = {-0.42, 0.66, 0.62}; // right, up, eye
    double k = (light[0] * dot(normal, p->right) + light[1] * dot(normal, p->up) +
                light[2] * dot(normal, p->eye)) /
               len;
    double dark = 0.5 - 0.5 * k;
    return 255 * fmin(fmax(dark, 0), 1);
}

// The cut face: where more surfaces are left than entered behind the plane, the plane lies inside.
static void put_cut(hw_view_picture *p, uint16_t part, uint32_t face, size_t first, size_t last)
{
    for (size_t y = first; y <= last; y++)
        for (size_t x = 0; x < p->w; x++) {
            size_t i = y * p->w + x;
            if (p->behind[i] > 0) {
                p->depth[i] =
                    (float)(p->plane[0] + p->plane[1] * (double)x + p->plane[2] * (double)y);
                p->part[i] = part;
                p->face[i] = face;
                p->shade[i] = 0;
                p->is_cut[i] = 1;
            }
            p->behind[i] = 0;
        }
}

static void rows_of(const hw_view_picture *p, const spot3 *spot, size_t n, size_t row[2])
{
    int64_t low = (int64_t)p->h * SUB, high = 0;
    for (size_t i = 0; i < n; i++) {
        low = spot[i].y < low ? spot[i].y : low;
        high = spot[i].y > high ? spot[i].y : high;
    }
    int64_t most = (int64_t)p->h - 1, from = floor_div(low, SUB), to = floor_div(high, SUB);
    row[0] = (size_t)(from < 0 ? 0 : from > most ? most : from);
    row[1] = (size_t)(to > most ? most : to);
}

hw_vec3 hw_view_corner(const hw_view_part *part, size_t i)
{
    hw_vec3 v = part->mesh->vert[i], s = part->shift;
    if (part->turned) v = (hw_vec3){-v.y, v.x, v.z};
    return (hw_vec3){v.x + s.x, v.y + s.y, v.z + s.z};
}

hw_code hw_view_paint(hw_arena *work, hw_view_picture *p, const hw_view_part *part, size_t number,
                      uint32_t *first_face, const hw_job *job, double from, double width)
{
    const hw_mesh *m = part->mesh;
    size_t mark = hw_arena_mark(work), faces = 0;
    uint32_t *face = HW_NEW(work, uint32_t, m->tris);
    spot3 *spot = HW_NEW(work, spot3, m->verts);
    hw_vec3 *normal = HW_NEW(work, hw_vec3, 3 * m->tris); // at each triangle's corners
    if (!face || !spot || !normal) return HW_NO_MEMORY;
    hw_code code = hw_view_faces(work, m, face, &faces);
    if (code == HW_OK) code = hw_view_normals(work, m, face, normal);
    if (code != HW_OK) return code;
    for (size_t i = 0; i < m->verts; i++) spot[i] = spot_of(p, hw_view_corner(part, i));
    painter w = {.p = p, .part = (uint16_t)(number + 1)};
    size_t row[2]; // that the part reaches over
    rows_of(p, spot, m->verts, row);
    for (size_t t = 0; t < m->tris; t++) {
        if (t % 4096 == 0 &&
            !hw_job_go_on(job, from + width * (double)t / (double)m->tris, "views"))
            return HW_CANCELLED;
        spot3 corner[3];
        for (size_t k = 0; k < 3; k++) {
            hw_vec3 n = normal[3 * t + k];
            corner[k] = spot[m->tri[3 * t + k]];
            corner[k].shade = shade_of(p, part->turned ? (hw_vec3){-n.y, n.x, n.z} : n);
        }
        // the sense on the picture, of the corners as they were put: counts of a closed mesh then
        // come out even at every pixel
        int64_t twice = (corner[1].x - corner[0].x) * (corner[2].y - corner[0].y) -
                        (corner[1].y - corner[0].y) * (corner[2].x - corner[0].x);
        w.turn = twice > 0 ? 1 : -1; // y runs down: clockwise is seen from behind
        w.face = *first_face + 1 + face[t];
        put_triangle(&w, corner);
    }
    if (p->cut) put_cut(p, w.part, *first_face, row[0], row[1]);
    *first_face += (uint32_t)faces + 1;
    hw_arena_rewind(work, mark);
    return HW_OK;
}
