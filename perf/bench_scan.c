// A scan of two million triangles: read in each format, made ready, points snapped, beside asking
// every triangle, in the same run.
#include "base/rng.h"
#include "files/files.h"
#include "solid/near.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

enum { SNAPS = 1000, PLAIN = 5 };

static double now(void)
{
    struct timespec t;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

// A ring of rings, as rough as a scan, about as large as a hand in millimetres.
static bool make(hw_arena *a, hw_float_mesh *m)
{
    enum { ROUND = 1000, ACROSS = 1000 };
    hw_rng r = hw_rng_new(1, 1);
    *m = (hw_float_mesh){.verts = ROUND * ACROSS, .tris = 2 * ROUND * ACROSS};
    m->at = hw_arena_alloc(a, m->verts, sizeof *m->at, _Alignof(float));
    m->tri = HW_NEW(a, uint32_t, 3 * m->tris);
    if (!m->at || !m->tri) return false;
    uint32_t *t = m->tri;
    for (uint32_t i = 0; i < ROUND; i++)
        for (uint32_t j = 0; j < ACROSS; j++) {
            double u = 2 * HW_PI * i / ROUND, v = 2 * HW_PI * j / ACROSS;
            double q = 30 + 0.3 * hw_rng_normal(&r), w = 60 + q * cos(v);
            float *p = m->at[i * ACROSS + j];
            p[0] = (float)(w * cos(u));
            p[1] = (float)(w * sin(u));
            p[2] = (float)(q * sin(v));
            uint32_t k = (i + 1) % ROUND, l = (j + 1) % ACROSS;
            const uint32_t c[4] = {i * ACROSS + j, k * ACROSS + j, k * ACROSS + l, i * ACROSS + l};
            const uint32_t two[6] = {c[0], c[1], c[2], c[0], c[2], c[3]};
            for (int n = 0; n < 6; n++) *t++ = two[n];
        }
    return true;
}

static void put_text(hw_buffer *b, const hw_float_mesh *m, bool obj)
{
    char text[HW_NUMBER_TEXT];
    if (!obj)
        hw_buffer_format(b,
                         "ply\nformat ascii 1.0\nelement vertex %zu\nproperty float x\nproperty "
                         "float y\nproperty float z\nelement face %zu\nproperty list uchar int "
                         "vertex_indices\nend_header\n",
                         m->verts, m->tris);
    for (size_t v = 0; v < m->verts; v++) {
        if (obj) hw_buffer_puts(b, "v");
        for (int k = 0; k < 3; k++) {
            hw_number_write_fixed((double)m->at[v][k], 5, text);
            hw_buffer_puts(b, " ");
            hw_buffer_puts(b, text);
        }
        hw_buffer_puts(b, "\n");
    }
    for (size_t t = 0; t < m->tris; t++) {
        const uint32_t *c = &m->tri[3 * t], more = obj;
        hw_buffer_format(b, "%s %u %u %u\n", obj ? "f" : "3", c[0] + more, c[1] + more,
                         c[2] + more);
    }
}

static void put_ply(hw_buffer *b, const hw_float_mesh *m)
{
    hw_buffer_format(b,
                     "ply\nformat binary_little_endian 1.0\nelement vertex %zu\nproperty float "
                     "x\nproperty float y\nproperty float z\nelement face %zu\nproperty list uchar "
                     "int vertex_indices\nend_header\n",
                     m->verts, m->tris);
    hw_buffer_put(b, (hw_text){(const char *)m->at, m->verts * sizeof *m->at});
    for (size_t t = 0; t < m->tris; t++) {
        hw_buffer_put(b, (hw_text){"\3", 1});
        hw_buffer_put(b, (hw_text){(const char *)&m->tri[3 * t], 12});
    }
}

static void put_stl_text(hw_buffer *b, const hw_float_mesh *m)
{
    char text[HW_NUMBER_TEXT];
    hw_buffer_puts(b, "solid x\n");
    for (size_t t = 0; t < m->tris; t++) {
        hw_buffer_puts(b, "facet normal 0 0 0\nouter loop\n");
        for (int c = 0; c < 3; c++) {
            hw_buffer_puts(b, "vertex");
            for (int k = 0; k < 3; k++) {
                hw_number_write_fixed((double)m->at[m->tri[3 * t + (size_t)c]][k], 5, text);
                hw_buffer_puts(b, " ");
                hw_buffer_puts(b, text);
            }
            hw_buffer_puts(b, "\n");
        }
        hw_buffer_puts(b, "endloop\nendfacet\n");
    }
    hw_buffer_puts(b, "endsolid\n");
}

static bool read_each(const hw_float_mesh *m)
{
    static const char *const names[] = {"STL, binary", "PLY, binary", "PLY, text", "OBJ",
                                        "STL, text"};
    for (int k = 0; k < 5; k++) {
        hw_arena *a = hw_arena_new(0);
        hw_buffer b = {.arena = a};
        if (k == 0 && hw_stl_write(m, "x", &b) != HW_OK) return false;
        if (k == 1) put_ply(&b, m);
        if (k == 2 || k == 3) put_text(&b, m, k == 3);
        if (k == 4) put_stl_text(&b, m);
        hw_mesh_file f;
        double from = now();
        hw_code code =
            hw_mesh_read(a, (hw_text){b.at, b.len}, k == 3 ? "x.obj" : "x", NULL, NULL, &f);
        double took = now() - from;
        if (code != HW_OK) return false;
        printf("%-12s %6.1f MB %7.0f ms, %zu triangles, %zu vertices\n", names[k],
               (double)b.len / 1e6, took * 1e3, f.mesh.tris, f.mesh.verts);
        hw_arena_free(a);
    }
    return true;
}

static double plain(const hw_float_mesh *m, hw_vec3 p)
{
    double best = INFINITY;
    for (size_t t = 0; t < m->tris; t++) {
        hw_vec3 c[3];
        hw_near_corners(m, (uint32_t)t, c);
        hw_vec3 q = hw_near_on_triangle(c, p);
        best = fmin(best, (q.x - p.x) * (q.x - p.x) + (q.y - p.y) * (q.y - p.y) +
                              (q.z - p.z) * (q.z - p.z));
    }
    return sqrt(best);
}

int main(void)
{
    hw_arena *a = hw_arena_new(0), *work = hw_arena_new(0);
    hw_float_mesh m;
    hw_near n;
    if (!make(a, &m) || !read_each(&m)) return 1;
    double from = now();
    if (hw_near_make(a, work, &m, NULL, &n) != HW_OK) return 1;
    double made = now() - from;
    hw_mesh_report report;
    from = now();
    if (hw_mesh_edges(work, &m, &report) != HW_OK) return 1;
    printf("edges counted %6.0f ms, %zu open\n", (now() - from) * 1e3, report.open_edges);
    static hw_vec3 p[SNAPS];
    hw_rng r = hw_rng_new(2, 1);
    for (int k = 0; k < SNAPS; k++)
        p[k] = (hw_vec3){hw_rng_uniform(&r, -90, 90), hw_rng_uniform(&r, -90, 90),
                         hw_rng_uniform(&r, -30, 30)};
    static double got[SNAPS];
    from = now();
    for (int k = 0; k < SNAPS; k++) got[k] = hw_near_point(&n, p[k], INFINITY).distance;
    double snap = (now() - from) / SNAPS, off = 0;
    from = now();
    for (int k = 0; k < PLAIN; k++) off = fmax(off, fabs(plain(&m, p[k]) - got[k]));
    double slow = (now() - from) / PLAIN;
    from = now();
    size_t met = 0;
    for (int k = 0; k < SNAPS; k++)
        met += hw_near_ray(&n, p[k], (hw_vec3){0, 0.6, 0.8}, 0, 200).tri != UINT32_MAX;
    double ray = (now() - from) / SNAPS;
    printf("tree         %7.0f ms, %.1f MB\n", made * 1e3,
           ((double)n.leaves * 48 + (double)m.tris * 4) / 1e6);
    printf("point        %7.2f us; every triangle %.0f us: %.0f times; differs by %.1e mm\n",
           snap * 1e6, slow * 1e6, slow / snap, off);
    printf("ray          %7.2f us; %zu of %d meet\n", ray * 1e6, met, SNAPS);
    hw_arena_free(a);
    hw_arena_free(work);
    return 0;
}
