// Binary STL.
#include "files/files_internal.h"

#include <math.h>
#include <string.h>

enum { HEADER = 80 };

// "binary STL, lengths in mm: index middle phalanx", cut at a letter, filled with spaces.
static void put_header(hw_buffer *out, const char *name)
{
    static const char lead[] = "binary STL, lengths in mm: ";
    char header[HEADER];
    memset(header, ' ', sizeof header);
    memcpy(header, lead, sizeof lead - 1);
    size_t room = sizeof header - (sizeof lead - 1), n = strlen(name);
    if (n > room) n = room;
    n = hw_utf8_bad((hw_text){name, n});
    memcpy(header + sizeof lead - 1, name, n);
    hw_buffer_put(out, (hw_text){header, sizeof header});
}

// Unit normal of a triangle; zero where it has no area.
static void normal_of(const float (*at)[3], const uint32_t t[3], float out[3])
{
    double u[3], v[3], n[3], length = 0;
    for (int k = 0; k < 3; k++) {
        u[k] = (double)at[t[1]][k] - (double)at[t[0]][k];
        v[k] = (double)at[t[2]][k] - (double)at[t[0]][k];
    }
    for (int k = 0; k < 3; k++) {
        int i = (k + 1) % 3, j = (k + 2) % 3;
        n[k] = u[i] * v[j] - u[j] * v[i];
        length += n[k] * n[k];
    }
    length = sqrt(length);
    for (int k = 0; k < 3; k++) out[k] = length > 0 ? (float)(n[k] / length) : 0;
}

hw_code hw_stl_write(const hw_float_mesh *mesh, const char *name, hw_buffer *out)
{
    if (mesh->tris > UINT32_MAX) return HW_LIMIT;
    hw_code code = hw_mesh_fit(mesh);
    if (code != HW_OK) return code;
    put_header(out, name);
    hw_put_u32(out, (uint32_t)mesh->tris);
    for (size_t i = 0; i < mesh->tris; i++) {
        const uint32_t *t = &mesh->tri[3 * i];
        float n[3];
        normal_of((const float(*)[3])mesh->at, t, n);
        for (int k = 0; k < 3; k++) hw_put_f32(out, n[k]);
        for (int c = 0; c < 3; c++)
            for (int k = 0; k < 3; k++) hw_put_f32(out, mesh->at[t[c]][k]);
        hw_put_u16(out, 0);
    }
    return hw_arena_failed(out->arena) ? HW_NO_MEMORY : HW_OK;
}
