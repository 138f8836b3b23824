// Shapes and small helpers for the tests of files.
#ifndef HW_TEST_FILES_SUPPORT_H
#define HW_TEST_FILES_SUPPORT_H

#include "files/files.h"

#include "../solid/make.h"
#include "check.h"

#include <stdlib.h>

// A plate of 30 x 8 x 12 mm with a bore, a pocket and a cone: what parts are made of.
static inline void bracket(model *m)
{
    box(m, HW_BLOCK_ADD, (const double[]){0, 0, 0}, (const double[]){30, 8, 12});
    plate(m, HW_BLOCK_CUT, 2, 8, rectangle(m, 4, 3, 12, 9));
    plate(m, HW_BLOCK_CUT, 0, 8, circle(m, 22, 6, 3, 64));
    taper(m, HW_BLOCK_ADD, 8, 9.2, circle(m, 8, 10, 1.8, 48), circle(m, 8, 10, 0.6, 48));
}

static inline hw_float_mesh float_mesh(model *m)
{
    hw_mesh mesh;
    hw_mesh_made made;
    hw_mesh_report report;
    hw_float_mesh f = {0};
    CHECK(build(m, &mesh, &made, &report) == HW_OK && hw_mesh_sound(&report));
    CHECK(hw_mesh_to_float(m->keep, &mesh, 1e-3, &f) == HW_OK);
    return f;
}

static inline double signed_volume(const hw_float_mesh *f)
{
    hw_mesh_report r;
    hw_arena *a = hw_arena_new(0);
    CHECK(hw_mesh_check(a, f, NULL, &r) == HW_OK && hw_mesh_sound(&r));
    hw_arena_free(a);
    return r.volume;
}

static inline void keep_file(const char *name, const hw_buffer *b)
{
    const char *folder = getenv("HW_KEEP_FILES");
    char path[400];
    if (!folder) return;
    snprintf(path, sizeof path, "%s/%s", folder, name);
    FILE *file = fopen(path, "wb");
    if (!file) return;
    fwrite(b->at, 1, b->len, file);
    fclose(file);
}

#endif
