// A digit's parts and meshes at fine quality: time, memory, triangles, deviation; and plain
// marching cubes on one of its parts in the same run.
#include "base/text.h"
#include "cubes.h"
#include "hand/hand.h"

#include <math.h>
#include <stdio.h>
#include <sys/resource.h>
#include <time.h>

enum { PARTS = 16, BYTES = 1 << 16 };

static double now(void)
{
    struct timespec t;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static double peak(void) // [MB]
{
    struct rusage u;
    getrusage(RUSAGE_SELF, &u);
    return (double)u.ru_maxrss / 1024;
}

static hw_design *heron(hw_arena *a)
{
    char *bytes = HW_NEW(a, char, BYTES);
    FILE *f = fopen(HW_SOURCE_DIR "/examples/heron.yaml", "rb");
    if (!bytes || !f) return NULL;
    size_t n = fread(bytes, 1, BYTES, f);
    fclose(f);
    hw_design *d = NULL;
    hw_read_def def = {.file = "heron"};
    return hw_design_read(a, (hw_text){bytes, n}, &def, &d, NULL) == HW_OK ? d : NULL;
}

typedef struct made {
    hw_part_set set;
    hw_mesh mesh[PARTS];
    size_t tris;
    double parts, meshes, checks; // time [s]
} made;

static bool make(hw_arena *keep, hw_arena *work, const hw_design *d, int digit, double deviation,
                 made *out)
{
    static hw_hand hand;
    static hw_stack stack;
    hw_hand_build(d, &hand);
    hw_parts_def def;
    hw_hand_parts(d, digit, &def);
    def.deviation = deviation;
    double start = now();
    if (hw_stack_of(&hand.digit[digit], &hand.layers[digit], &stack) != HW_OK ||
        hw_parts_digit(keep, work, &def, &hand.digit[digit], &hand.layers[digit], &stack, NULL,
                       &out->set) != HW_OK)
        return false;
    out->parts = now() - start;
    hw_mesh_def how = hw_mesh_def_default();
    out->tris = 0;
    out->meshes = out->checks = 0;
    for (size_t i = 0; i < out->set.parts && i < PARTS; i++) {
        hw_mesh_made m;
        start = now();
        if (hw_solid_mesh(keep, work, &out->set.part[i].solid, &how, NULL, &out->mesh[i], &m) !=
            HW_OK)
            return false;
        out->meshes += now() - start;
        start = now();
        hw_float_mesh file;
        hw_mesh_report report;
        if (hw_mesh_to_float(keep, &out->mesh[i], 1e-3, &file) != HW_OK ||
            hw_mesh_check(work, &file, NULL, &report) != HW_OK || !hw_mesh_sound(&report))
            return false;
        out->checks += now() - start;
        out->tris += out->mesh[i].tris;
    }
    return true;
}

int main(void)
{
    hw_arena *keep = hw_arena_new(1 << 20), *work = hw_arena_new(1 << 20);
    const hw_design *d = heron(keep);
    made one = {0};
    if (!d) return 1;
    static const double deviation[] = {0.05e-3, 0.005e-3};
    puts("Heron's index, six parts; processor time of one thread");
    for (int q = 0; q < 2; q++) {
        if (!make(keep, work, d, HW_INDEX, deviation[q], &one)) return 1;
        printf("chords within %.3f mm: %zu triangles, parts %.2f s, meshes %.2f s, exact checks "
               "%.2f s, peak %.0f MB\n",
               deviation[q] * 1e3, one.tris, one.parts, one.meshes, one.checks, peak());
    }
    size_t bar = one.set.parts - 2;
    double start = 0;
    for (int q = 0; q < 2; q++) {
        if (!make(keep, work, d, HW_INDEX, deviation[q], &one)) return 1;
        hw_mesh again;
        hw_mesh_made m;
        hw_mesh_def how = hw_mesh_def_default();
        start = now();
        if (hw_solid_mesh(keep, work, &one.set.part[bar].solid, &how, NULL, &again, &m) != HW_OK)
            return 1;
        printf("%s alone, %.3f mm: %zu triangles, %.4f s\n", one.set.part[bar].name,
               deviation[q] * 1e3, again.tris, now() - start);
    }
    static const double cell[] = {0.32e-3, 0.16e-3,
                                  0.08e-3}; // the last is as far off as coarse chords
    double last = 0, per = 0;
    for (int i = 0; i < 3; i++) {
        cubes c;
        start = now();
        if (!cubes_march(work, &one.mesh[bar], cell[i], &c)) return 1;
        last = now() - start;
        per = c.deviation / cell[i];
        printf("marching cubes, cell %.2f mm: %zu triangles of %zu cells, off by %.3f mm, %.2f s\n",
               cell[i] * 1e3, c.tris, c.cells, c.deviation * 1e3, last);
        hw_arena_rewind(work, 0);
    }
    double want = 0.005e-3 / per, times = cell[2] / want;
    printf("to be off by 0.005 mm it would want cells of %.4f mm: %.0f times the cells, %.0f times "
           "the triangles (scaled, not run)\n",
           want * 1e3, pow(times, 3), pow(times, 2));
    hw_arena_free(keep);
    hw_arena_free(work);
    return 0;
}
