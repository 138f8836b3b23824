// STL files read back: binary and text, into a mesh whose equal corners are one.
#include "files/files_internal.h"

#include "base/arena.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { HEAD = 84, RECORD = 50, POLL = 1 << 14 };

typedef struct reader {
    hw_arena *keep;
    hw_text bytes;
    const char *file;
    hw_diags *diags;
    const hw_job *job;
    hw_stl *out;
    size_t at;      // text: bytes read
    int line;       // text: of what was read last
    uint32_t *slot; // open addressing over vertices: number + 1
    size_t slots;
} reader;

static hw_code refuse(reader *r, hw_code code, const char *text, hw_text found, hw_text expected)
{
    hw_diag_say(r->diags, code, r->file, r->line, 0, found, expected, hw_text_of(text));
    return code;
}

// ---- corners ----------------------------------------------------------------------------------

static bool make_room(reader *r, size_t tris)
{
    r->out->mesh.at = hw_arena_alloc(r->keep, 3 * tris, sizeof *r->out->mesh.at, sizeof(float));
    r->out->mesh.tri = HW_NEW(r->keep, uint32_t, 3 * tris);
    r->slots = 16;
    while (r->slots < 6 * tris) r->slots *= 2;
    r->slot = HW_NEW(r->keep, uint32_t, r->slots);
    return r->out->mesh.at && r->out->mesh.tri && r->slot;
}

static uint32_t vertex_of(reader *r, const float p[3])
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

static void put_triangle(reader *r, const float p[3][3])
{
    hw_float_mesh *m = &r->out->mesh;
    uint32_t t[3];
    for (int c = 0; c < 3; c++) t[c] = vertex_of(r, p[c]);
    if (t[0] == t[1] || t[1] == t[2] || t[2] == t[0]) {
        r->out->flat++;
        return;
    }
    memcpy(&m->tri[3 * m->tris++], t, sizeof t);
}

// ---- binary -----------------------------------------------------------------------------------

static hw_code read_binary(reader *r, size_t claimed)
{
    size_t held = (r->bytes.len - HEAD) / RECORD;
    char text[160];
    if (held < claimed) {
        snprintf(text, sizeof text, "the file ends after %zu of %zu triangles", held, claimed);
        return refuse(r, HW_BAD_INPUT, text, (hw_text){0}, (hw_text){0});
    }
    if (claimed > HW_STL_TRIANGLES) {
        snprintf(text, sizeof text, "%zu triangles are more than the %d that can be taken", claimed,
                 HW_STL_TRIANGLES);
        return refuse(r, HW_LIMIT, text, (hw_text){0}, (hw_text){0});
    }
    if (!make_room(r, claimed)) return HW_NO_MEMORY;
    for (size_t i = 0; i < claimed; i++) {
        const char *at = r->bytes.at + HEAD + i * RECORD + 12; // after the normal
        float p[3][3];
        bool finite = true;
        for (int k = 0; k < 9; k++) {
            p[k / 3][k % 3] = hw_get_f32(at + (size_t)k * 4);
            finite = finite && isfinite(p[k / 3][k % 3]);
        }
        if (!finite) {
            snprintf(text, sizeof text, "triangle %zu has a coordinate that is no number", i + 1);
            return refuse(r, HW_BAD_INPUT, text, (hw_text){0}, (hw_text){0});
        }
        put_triangle(r, (const float(*)[3])p);
        if (i % POLL == 0 && !hw_job_go_on(r->job, (double)i / (double)claimed, "reading"))
            return HW_CANCELLED;
    }
    return HW_OK;
}

// ---- text -------------------------------------------------------------------------------------

static bool is_space(char c)
{
    return c == ' ' || (c >= '\t' && c <= '\r');
}

// The next word; empty at the end of the file.
static hw_text next_word(reader *r)
{
    const char *p = r->bytes.at;
    while (r->at < r->bytes.len && is_space(p[r->at])) r->line += p[r->at++] == '\n';
    size_t from = r->at;
    while (r->at < r->bytes.len && !is_space(p[r->at])) r->at++;
    return (hw_text){p + from, r->at - from};
}

static void skip_line(reader *r)
{
    while (r->at < r->bytes.len && r->bytes.at[r->at] != '\n') r->at++;
}

static bool is_word(hw_text t, const char *word)
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

static hw_code expect(reader *r, const char *word)
{
    hw_text got = next_word(r);
    if (is_word(got, word)) return HW_OK;
    return refuse(r, HW_BAD_INPUT,
                  got.len ? "is not how an STL file goes on" : "the file is cut off", got,
                  hw_text_of(word));
}

static hw_code read_corner(reader *r, float p[3])
{
    hw_code code = expect(r, "vertex");
    for (int k = 0; code == HW_OK && k < 3; k++) {
        hw_text t = next_word(r);
        double v = 0;
        size_t used = t.len && *t.at == '+' ? 1 : 0, n;
        n = hw_number_read((hw_text){t.at + used, t.len - used}, &v);
        p[k] = (float)v;
        if (n == 0 || used + n != t.len || !isfinite(p[k]))
            code = refuse(r, HW_BAD_INPUT, t.len ? "is not a number" : "the file is cut off", t,
                          HW_TEXT("a coordinate"));
    }
    return code;
}

static hw_code read_facet(reader *r)
{
    float p[3][3];
    hw_code code = expect(r, "normal");
    for (int k = 0; k < 3; k++) (void)next_word(r); // whatever the normal is, corners say it, too
    if (code == HW_OK) code = expect(r, "outer");
    if (code == HW_OK) code = expect(r, "loop");
    for (int c = 0; code == HW_OK && c < 3; c++) code = read_corner(r, p[c]);
    if (code == HW_OK) code = expect(r, "endloop");
    if (code == HW_OK) code = expect(r, "endfacet");
    if (code == HW_OK) put_triangle(r, (const float(*)[3])p);
    return code;
}

// How many facets the text begins, so that room for them can be made.
static size_t count_facets(reader *r)
{
    size_t n = 0;
    hw_text t;
    while ((t = next_word(r)).len) n += is_word(t, "facet");
    r->at = 0;
    r->line = 1;
    return n;
}

static hw_code read_solid(reader *r, size_t facets)
{
    for (size_t i = 0;; i++) {
        hw_text t = next_word(r);
        if (is_word(t, "endsolid")) break;
        if (!is_word(t, "facet"))
            return refuse(r, HW_BAD_INPUT,
                          t.len ? "is not how an STL file goes on" : "the file is cut off", t,
                          HW_TEXT("facet or endsolid"));
        hw_code code = read_facet(r);
        if (code != HW_OK) return code;
        if (i % POLL == 0 &&
            !hw_job_go_on(r->job, (double)r->out->mesh.tris / (double)(facets + 1), "reading"))
            return HW_CANCELLED;
    }
    skip_line(r);
    return HW_OK;
}

static hw_code read_text(reader *r)
{
    r->out->text = true;
    r->line = 1;
    size_t facets = count_facets(r);
    if (facets > HW_STL_TRIANGLES) {
        char text[160];
        snprintf(text, sizeof text, "%zu triangles are more than the %d that can be taken", facets,
                 HW_STL_TRIANGLES);
        return refuse(r, HW_LIMIT, text, (hw_text){0}, (hw_text){0});
    }
    if (!make_room(r, facets)) return HW_NO_MEMORY;
    for (hw_text t; (t = next_word(r)).len;) {
        if (!is_word(t, "solid"))
            return refuse(r, HW_BAD_INPUT, "is not how an STL file goes on", t, HW_TEXT("solid"));
        skip_line(r);
        hw_code code = read_solid(r, facets);
        if (code != HW_OK) return code;
    }
    return HW_OK;
}

static bool starts_as_text(hw_text bytes)
{
    size_t at = 0;
    while (at < bytes.len && is_space(bytes.at[at])) at++;
    return bytes.len - at >= 5 && is_word((hw_text){bytes.at + at, 5}, "solid");
}

static hw_code read_any(reader *r)
{
    size_t claimed = r->bytes.len >= HEAD ? hw_get_u32(r->bytes.at + HEAD - 4) : 0;
    bool fits = r->bytes.len >= HEAD && r->bytes.len == HEAD + (uint64_t)RECORD * claimed;
    if (!fits && starts_as_text(r->bytes)) return read_text(r);
    if (r->bytes.len >= HEAD) return read_binary(r, claimed);
    return refuse(r, HW_BAD_INPUT, "is not an STL file: too short for a binary one, and no text",
                  (hw_text){0}, (hw_text){0});
}

hw_code hw_stl_read(hw_arena *keep, hw_text bytes, const char *file, hw_diags *diags,
                    const hw_job *job, hw_stl *out)
{
    *out = (hw_stl){0};
    reader r = {.keep = keep, .bytes = bytes, .file = file, .diags = diags, .job = job, .out = out};
    size_t mark = hw_arena_mark(keep);
    hw_code code = read_any(&r);
    if (code == HW_OK && out->mesh.tris == 0)
        code = refuse(&r, HW_BAD_INPUT, "the file holds no triangle", (hw_text){0}, (hw_text){0});
    if (code == HW_OK) return HW_OK;
    hw_arena_rewind(keep, mark);
    *out = (hw_stl){0};
    return code;
}
