// What the readers of meshes share: words and places in text, corners made one, polygons cut up.
#include "files/files_internal.h"

#include "base/arena.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

// ---- messages ---------------------------------------------------------------------------------

hw_code hw_mesh_refuse(hw_mesh_reader *r, hw_code code, hw_text found, hw_text expected,
                       const char *format, ...)
{
    char text[200];
    va_list list;
    va_start(list, format);
    vsnprintf(text, sizeof text, format, list);
    va_end(list);
    int column = 0;
    if (r->line && r->word <= r->bytes.len) {
        size_t from = r->word;
        while (from > 0 && r->bytes.at[from - 1] != '\n') from--;
        column = (int)hw_utf8_count((hw_text){r->bytes.at + from, r->word - from}) + 1;
    }
    hw_diag_say(r->diags, code, r->file, r->line, column, found, expected, hw_text_of(text));
    return code;
}

// ---- words ------------------------------------------------------------------------------------

bool hw_mesh_is_space(char c)
{
    return c == ' ' || (c >= '\t' && c <= '\r');
}

hw_text hw_mesh_word(hw_mesh_reader *r)
{
    const char *p = r->bytes.at;
    while (r->at < r->bytes.len && hw_mesh_is_space(p[r->at])) r->line += p[r->at++] == '\n';
    r->word = r->at;
    while (r->at < r->bytes.len && !hw_mesh_is_space(p[r->at])) r->at++;
    return (hw_text){p + r->word, r->at - r->word};
}

void hw_mesh_skip_line(hw_mesh_reader *r)
{
    const char *end = r->bytes.at ? memchr(r->bytes.at + r->at, '\n', r->bytes.len - r->at) : NULL;
    r->at = end ? (size_t)(end - r->bytes.at) : r->bytes.len;
}

bool hw_mesh_is_word(hw_text t, const char *word)
{
    size_t n = strlen(word);
    if (t.len != n) return false;
    for (size_t i = 0; i < n; i++) {
        char c = t.at[i];
        if (c >= 'A' && c <= 'Z') c = (char)(c - 'A' + 'a');
        if (c != word[i]) return false;
    }
    return true;
}

hw_code hw_mesh_number(hw_mesh_reader *r, hw_text t, const char *what, double *out)
{
    size_t used = t.len && *t.at == '+' ? 1 : 0;
    size_t n = hw_number_read((hw_text){t.at + used, t.len - used}, out);
    if (n > 0 && used + n == t.len && isfinite((float)*out)) return HW_OK;
    return hw_mesh_refuse(r, HW_BAD_INPUT, t, hw_text_of(what), "%s",
                          t.len ? "is not a number" : "the file is cut off");
}

// ---- corners ----------------------------------------------------------------------------------

static size_t least(size_t a, size_t b)
{
    return a < b ? a : b;
}

bool hw_mesh_room(hw_mesh_reader *r, size_t verts, size_t tris)
{
    // none allocated is no failure: one stands for none
    size_t v = verts ? verts : 1, t = tris ? tris : 1;
    r->verts = least(v, HW_MESH_CORNERS);
    r->tris = least(t, HW_MESH_TRIANGLES);
    r->out->mesh.at = hw_arena_alloc(r->keep, r->verts, sizeof *r->out->mesh.at, _Alignof(float));
    r->out->mesh.tri = HW_NEW(r->keep, uint32_t, 3 * r->tris);
    r->slots = 16;
    while (r->slots < 2 * r->verts) r->slots *= 2;
    r->slot = HW_NEW(r->keep, uint32_t, r->slots);
    return r->out->mesh.at && r->out->mesh.tri && r->slot;
}

uint32_t hw_mesh_corner(hw_mesh_reader *r, const float p[3])
{
    hw_float_mesh *m = &r->out->mesh;
    uint64_t hash = 0xcbf29ce484222325u;
    float q[3];
    for (int k = 0; k < 3; k++) {
        q[k] = p[k] + 0.0f; // -0 is 0
        uint32_t bits;
        memcpy(&bits, &q[k], sizeof bits);
        hash = (hash ^ bits) * 0x9e3779b97f4a7c15u;
        hash ^= hash >> 29;
    }
    size_t i = (size_t)hash & (r->slots - 1);
    for (; r->slot[i]; i = (i + 1) & (r->slots - 1))
        if (memcmp(m->at[r->slot[i] - 1], q, sizeof q) == 0) return r->slot[i] - 1;
    memcpy(m->at[m->verts], q, sizeof q);
    r->slot[i] = (uint32_t)++m->verts;
    return r->slot[i] - 1;
}

hw_code hw_mesh_triangle(hw_mesh_reader *r, uint32_t a, uint32_t b, uint32_t c)
{
    hw_float_mesh *m = &r->out->mesh;
    const uint32_t t[3] = {a, b, c};
    if (a == b || b == c || c == a) {
        r->out->flat++;
        return HW_OK;
    }
    if (m->tris == r->tris)
        return hw_mesh_refuse(r, HW_LIMIT, (hw_text){0}, (hw_text){0},
                              "more triangles than the %d that can be taken", HW_MESH_TRIANGLES);
    memcpy(&m->tri[3 * m->tris++], t, sizeof t);
    return HW_OK;
}

hw_code hw_mesh_fan(hw_mesh_reader *r, hw_fan *fan, uint32_t corner)
{
    hw_code code = HW_OK;
    if (fan->n == 0)
        fan->first = corner;
    else if (fan->n > 1)
        code = hw_mesh_triangle(r, fan->first, fan->last, corner);
    fan->last = corner;
    fan->n++;
    return code;
}

// ---- the whole --------------------------------------------------------------------------------

// Vertices that no triangle uses are left out.
static bool drop_unused(hw_mesh_reader *r)
{
    hw_float_mesh *m = &r->out->mesh;
    uint32_t *now = HW_NEW(r->keep, uint32_t, m->verts);
    if (!now) return false;
    for (size_t i = 0; i < 3 * m->tris; i++) now[m->tri[i]] = 1;
    size_t n = 0;
    for (size_t v = 0; v < m->verts; v++) {
        if (!now[v]) continue;
        memmove(m->at[n], m->at[v], sizeof *m->at);
        now[v] = (uint32_t)n++;
    }
    for (size_t i = 0; i < 3 * m->tris; i++) m->tri[i] = now[m->tri[i]];
    m->verts = n;
    return true;
}

hw_code hw_mesh_read_by(hw_code (*read)(hw_mesh_reader *r), hw_arena *keep, hw_text bytes,
                        const char *file, hw_diags *diags, const hw_job *job, hw_mesh_file *out)
{
    *out = (hw_mesh_file){0};
    hw_mesh_reader r = {.keep = keep, .bytes = bytes, .file = file, .diags = diags, .job = job};
    r.out = out;
    size_t mark = hw_arena_mark(keep);
    hw_code code = read(&r);
    r.line = 0;
    if (code == HW_OK && out->mesh.tris == 0)
        code = hw_mesh_refuse(&r, HW_BAD_INPUT, (hw_text){0}, (hw_text){0}, "%s",
                              out->flat ? "the file holds no triangle with an area"
                                        : "the file holds no triangle");
    if (code == HW_OK && !drop_unused(&r)) code = HW_NO_MEMORY;
    if (code == HW_OK) return HW_OK;
    hw_arena_rewind(keep, mark);
    *out = (hw_mesh_file){0};
    return code;
}

hw_code hw_mesh_read(hw_arena *keep, hw_text bytes, const char *file, hw_diags *diags,
                     const hw_job *job, hw_mesh_file *out)
{
    size_t n = file ? strlen(file) : 0;
    if (bytes.len == 0) {
        *out = (hw_mesh_file){0};
        hw_diag_say(diags, HW_BAD_INPUT, file, 0, 0, hw_text_of("0 bytes"),
                    hw_text_of("a mesh as STL, PLY or OBJ"), hw_text_of("the file is empty"));
        return HW_BAD_INPUT;
    }
    bool ply = bytes.len > 3 && memcmp(bytes.at, "ply", 3) == 0 && hw_mesh_is_space(bytes.at[3]);
    if (ply) return hw_ply_read(keep, bytes, file, diags, job, out);
    if (n > 4 && hw_mesh_is_word((hw_text){file + n - 4, 4}, ".obj"))
        return hw_obj_read(keep, bytes, file, diags, job, out);
    return hw_stl_read(keep, bytes, file, diags, job, out);
}
