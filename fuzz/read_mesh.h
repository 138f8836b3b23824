// What every reader of meshes owes for any bytes: a code with its message, or a mesh with at least
// one triangle whose indices are good, and which, written as STL, reads back as itself.
#ifndef HW_FUZZ_READ_MESH_H
#define HW_FUZZ_READ_MESH_H

#include "files/files.h"

#include "base/arena.h"

#include <math.h>
#include <stdlib.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

typedef hw_code hw_mesh_reading(hw_arena *keep, hw_text bytes, const char *file, hw_diags *diags,
                                const hw_job *job, hw_mesh_file *out);

static inline void must(bool ok)
{
    if (!ok) abort();
}

static inline void must_be_sound(const hw_float_mesh *m)
{
    must(m->tris > 0 && m->verts > 2);
    for (size_t i = 0; i < 3 * m->tris; i++) must(m->tri[i] < m->verts);
    for (size_t i = 0; i < m->verts; i++)
        for (int k = 0; k < 3; k++) must(isfinite(m->at[i][k]));
}

static inline int read_mesh(hw_mesh_reading *read, const uint8_t *data, size_t size)
{
    hw_arena *a = hw_arena_new(0);
    must(a != NULL);
    hw_diag item[2];
    hw_diags diags = {item, 0, 2, 0};
    hw_mesh_file f, back;
    hw_code code = read(a, (hw_text){(const char *)data, size}, "x", &diags, NULL, &f);
    must(code == HW_OK || code == HW_BAD_INPUT || code == HW_LIMIT);
    must((code == HW_OK) == (diags.count == 0) && diags.count < 2);
    if (code == HW_OK) {
        hw_buffer b = {.arena = a};
        must_be_sound(&f.mesh);
        must(hw_stl_write(&f.mesh, "again", &b) == HW_OK);
        must(hw_stl_read(a, (hw_text){b.at, b.len}, "y", NULL, NULL, &back) == HW_OK);
        must(!back.text && back.mesh.tris == f.mesh.tris && back.mesh.verts == f.mesh.verts);
    }
    hw_arena_free(a);
    return 0;
}

#endif
