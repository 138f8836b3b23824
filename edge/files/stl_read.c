// STL files read back: binary and text, into a mesh whose equal corners are one.
#include "files/files_internal.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { HEAD = 84, RECORD = 50 };

static hw_code put_triangle(hw_mesh_reader *r, const float p[3][3])
{
    uint32_t t[3];
    for (int c = 0; c < 3; c++) t[c] = hw_mesh_corner(r, p[c]);
    return hw_mesh_triangle(r, t[0], t[1], t[2]);
}

static hw_code refuse(hw_mesh_reader *r, hw_text found, const char *expected, const char *text)
{
    return hw_mesh_refuse(r, HW_BAD_INPUT, found, hw_text_of(expected), "%s", text);
}

static hw_code refuse_count(hw_mesh_reader *r, size_t n)
{
    r->line = 0;
    return hw_mesh_refuse(r, HW_LIMIT, (hw_text){0}, (hw_text){0},
                          "%zu triangles are more than the %d that can be taken", n,
                          HW_MESH_TRIANGLES);
}

// ---- binary -----------------------------------------------------------------------------------

static hw_code read_binary(hw_mesh_reader *r, size_t claimed)
{
    size_t held = (r->bytes.len - HEAD) / RECORD;
    if (held < claimed) {
        char found[40], expected[80];
        snprintf(found, sizeof found, "%zu bytes", r->bytes.len);
        snprintf(expected, sizeof expected, "%zu bytes by the count in bytes 80 to 83",
                 HEAD + RECORD * claimed);
        return hw_mesh_refuse(r, HW_BAD_INPUT, hw_text_of(found), hw_text_of(expected),
                              "the file ends after %zu of %zu triangles", held, claimed);
    }
    if (claimed > HW_MESH_TRIANGLES) return refuse_count(r, claimed);
    if (!hw_mesh_room(r, 3 * claimed, claimed)) return HW_NO_MEMORY;
    hw_code code = HW_OK;
    for (size_t i = 0; i < claimed && code == HW_OK; i++) {
        size_t at = HEAD + i * RECORD + 12; // after the normal
        float p[3][3];
        bool finite = true;
        for (size_t k = 0; k < 9; k++) {
            p[k / 3][k % 3] = hw_get_f32(r->bytes.at + at + 4 * k);
            finite = finite && isfinite(p[k / 3][k % 3]);
        }
        if (!finite)
            return hw_mesh_refuse(r, HW_BAD_INPUT, (hw_text){0}, (hw_text){0},
                                  "triangle %zu has a coordinate that is no number (byte %zu)",
                                  i + 1, at);
        code = put_triangle(r, (const float(*)[3])p);
        if (i % HW_MESH_POLL == 0 && !hw_job_go_on(r->job, (double)i / (double)claimed, "reading"))
            return HW_CANCELLED;
    }
    return code;
}

// ---- text -------------------------------------------------------------------------------------

static hw_code expect(hw_mesh_reader *r, const char *word)
{
    hw_text got = hw_mesh_word(r);
    if (hw_mesh_is_word(got, word)) return HW_OK;
    return refuse(r, got, word, got.len ? "is not how an STL file goes on" : "the file is cut off");
}

static hw_code read_corner(hw_mesh_reader *r, float p[3])
{
    hw_code code = expect(r, "vertex");
    for (int k = 0; code == HW_OK && k < 3; k++) {
        double v = 0;
        code = hw_mesh_number(r, hw_mesh_word(r), "a coordinate", &v);
        p[k] = (float)v;
    }
    return code;
}

static hw_code read_facet(hw_mesh_reader *r)
{
    float p[3][3];
    hw_code code = expect(r, "normal");
    for (int k = 0; k < 3; k++) (void)hw_mesh_word(r); // whatever it is, corners say it, too
    if (code == HW_OK) code = expect(r, "outer");
    if (code == HW_OK) code = expect(r, "loop");
    for (int c = 0; code == HW_OK && c < 3; c++) code = read_corner(r, p[c]);
    if (code == HW_OK) code = expect(r, "endloop");
    if (code == HW_OK) code = expect(r, "endfacet");
    if (code == HW_OK) code = put_triangle(r, (const float(*)[3])p);
    return code;
}

// How many facets the text begins, so that room for them can be made.
static size_t count_facets(hw_mesh_reader *r)
{
    size_t n = 0;
    hw_text t;
    while ((t = hw_mesh_word(r)).len) n += hw_mesh_is_word(t, "facet");
    r->at = 0;
    r->line = 1;
    return n;
}

static hw_code read_solid(hw_mesh_reader *r, size_t facets)
{
    for (size_t i = 0;; i++) {
        hw_text t = hw_mesh_word(r);
        if (hw_mesh_is_word(t, "endsolid")) break;
        if (!hw_mesh_is_word(t, "facet"))
            return refuse(r, t, "facet or endsolid",
                          t.len ? "is not how an STL file goes on" : "the file is cut off");
        hw_code code = read_facet(r);
        if (code != HW_OK) return code;
        double done = (double)r->out->mesh.tris / (double)(facets + 1);
        if (i % HW_MESH_POLL == 0 && !hw_job_go_on(r->job, done, "reading")) return HW_CANCELLED;
    }
    hw_mesh_skip_line(r);
    return HW_OK;
}

static hw_code read_text(hw_mesh_reader *r)
{
    r->out->text = true;
    r->line = 1;
    size_t facets = count_facets(r);
    if (facets > HW_MESH_TRIANGLES) return refuse_count(r, facets);
    if (!hw_mesh_room(r, 3 * facets, facets)) return HW_NO_MEMORY;
    for (hw_text t; (t = hw_mesh_word(r)).len;) {
        if (!hw_mesh_is_word(t, "solid"))
            return refuse(r, t, "solid", "is not how an STL file goes on");
        hw_mesh_skip_line(r);
        hw_code code = read_solid(r, facets);
        if (code != HW_OK) return code;
    }
    return HW_OK;
}

static bool starts_as_text(hw_text bytes)
{
    size_t at = 0;
    while (at < bytes.len && hw_mesh_is_space(bytes.at[at])) at++;
    return bytes.len - at >= 5 && hw_mesh_is_word((hw_text){bytes.at + at, 5}, "solid");
}

static hw_code read_stl(hw_mesh_reader *r)
{
    size_t claimed = r->bytes.len >= HEAD ? hw_get_u32(r->bytes.at + HEAD - 4) : 0;
    bool fits = r->bytes.len >= HEAD && r->bytes.len == HEAD + (uint64_t)RECORD * claimed;
    if (!fits && starts_as_text(r->bytes)) return read_text(r);
    if (r->bytes.len >= HEAD) return read_binary(r, claimed);
    return refuse(r, (hw_text){0}, NULL,
                  "is not an STL file: too short for a binary one, and no text");
}

hw_code hw_stl_read(hw_arena *keep, hw_text bytes, const char *file, hw_diags *diags,
                    const hw_job *job, hw_mesh_file *out)
{
    return hw_mesh_read_by(read_stl, keep, bytes, file, diags, job, out);
}
