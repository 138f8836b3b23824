// OBJ files read: vertices and faces, line by line.
#include "files/files_internal.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

typedef struct obj {
    hw_mesh_reader *r;
    uint32_t *vertex; // number in the mesh of each vertex of the file
    size_t vertices;
} obj;

// The next word of the same line; empty at its end. A backslash before the end of the line
// continues it.
static hw_text line_word(hw_mesh_reader *r)
{
    const char *p = r->bytes.at;
    size_t end = r->bytes.len;
    for (;;) {
        while (r->at < end && p[r->at] != '\n' && hw_mesh_is_space(p[r->at])) r->at++;
        size_t turn = r->at + 1;
        if (turn < end && p[turn] == '\r') turn++;
        if (r->at >= end || p[r->at] != '\\' || turn >= end || p[turn] != '\n') break;
        r->at = turn + 1;
        r->line++;
    }
    r->word = r->at;
    while (r->at < end && !hw_mesh_is_space(p[r->at])) r->at++;
    return (hw_text){p + r->word, r->at - r->word};
}

static hw_code read_vertex(obj *o)
{
    hw_mesh_reader *r = o->r;
    float at[3];
    for (int k = 0; k < 3; k++) {
        hw_text t = line_word(r);
        double v = 0;
        if (!t.len)
            return hw_mesh_refuse(r, HW_BAD_INPUT, t, HW_TEXT("three coordinates"),
                                  "the vertex is cut off");
        hw_code code = hw_mesh_number(r, t, "a coordinate", &v);
        if (code != HW_OK) return code;
        at[k] = (float)v;
    }
    if (o->vertices == r->verts)
        return hw_mesh_refuse(r, HW_LIMIT, (hw_text){0}, (hw_text){0},
                              "more vertices than the %d that can be taken", HW_MESH_CORNERS);
    o->vertex[o->vertices++] = hw_mesh_corner(r, at);
    return HW_OK;
}

// The vertex that a corner names, counted from 0.
static hw_code corner_of(obj *o, hw_text t, size_t *out)
{
    size_t n = 0;
    double v = 0;
    while (n < t.len && t.at[n] != '/') n++;
    size_t used = hw_number_read((hw_text){t.at, n}, &v);
    bool whole = used > 0 && used == n && floor(v) == v;
    double i = v < 0 ? (double)o->vertices + v : v - 1;
    if (whole && v != 0 && i >= 0 && i < (double)o->vertices) {
        *out = (size_t)i;
        return HW_OK;
    }
    char expected[60];
    snprintf(expected, sizeof expected, "a vertex, 1 to %zu so far", o->vertices);
    return hw_mesh_refuse(o->r, HW_BAD_INPUT, t, hw_text_of(expected), "%s",
                          whole ? "there is no such vertex" : "is not a corner");
}

static hw_code read_face(obj *o)
{
    hw_fan fan = {0};
    hw_text t;
    while ((t = line_word(o->r)).len) {
        size_t i = 0;
        hw_code code = corner_of(o, t, &i);
        if (code == HW_OK) code = hw_mesh_fan(o->r, &fan, o->vertex[i]);
        if (code != HW_OK) return code;
    }
    if (fan.n > 2) return HW_OK;
    return hw_mesh_refuse(o->r, HW_BAD_INPUT, (hw_text){0}, HW_TEXT("three corners or more"),
                          "the face is cut off");
}

static hw_code read_obj(hw_mesh_reader *r)
{
    obj o = {.r = r};
    r->line = 1;
    r->out->text = true;
    // the shortest vertex is "v 0 0 0" and the end of its line, a triangle's last corner " 1"
    size_t verts = r->bytes.len / 7 + 1;
    if (!hw_mesh_room(r, verts, r->bytes.len / 2)) return HW_NO_MEMORY;
    o.vertex = HW_NEW(r->keep, uint32_t, r->verts);
    if (!o.vertex) return HW_NO_MEMORY;
    hw_code code = HW_OK;
    for (size_t i = 0; code == HW_OK && r->at < r->bytes.len; i++) {
        hw_text t = line_word(r);
        if (t.len == 1 && *t.at == 'v') code = read_vertex(&o);
        if (t.len == 1 && *t.at == 'f') code = read_face(&o);
        if (code != HW_OK) return code;
        hw_mesh_skip_line(r);
        r->at += r->at < r->bytes.len;
        r->line++;
        double done = (double)r->at / (double)(r->bytes.len + 1);
        if (i % HW_MESH_POLL == 0 && !hw_job_go_on(r->job, done, "reading")) return HW_CANCELLED;
    }
    return code;
}

hw_code hw_obj_read(hw_arena *keep, hw_text bytes, const char *file, hw_diags *diags,
                    const hw_job *job, hw_mesh_file *out)
{
    return hw_mesh_read_by(read_obj, keep, bytes, file, diags, job, out);
}
