// Binary glTF 2.0: a JSON chunk that tells of the nodes, and a chunk of their positions and
// indices.
#include "files/glb.h"

#include "base/vec3.h"
#include "files/files_internal.h"

#include <math.h>
#include <string.h>

enum { HEADER = 12, CHUNK = 8, FLOATS = 5126, INDICES = 5125, VERTICES = 34962, ELEMENTS = 34963 };

// ---- what is refused ----------------------------------------------------------------------------

static bool is_text(const char *text)
{
    if (!text || !*text) return false;
    hw_text t = hw_text_of(text);
    return hw_utf8_bad(t) == t.len;
}

static bool is_unit(const hw_frame *f)
{
    const hw_vec3 axis[3] = {f->x, f->y, f->z};
    for (int i = 0; i < 3; i++) {
        hw_vec3 a = axis[i], b = axis[(i + 1) % 3], c = axis[(i + 2) % 3];
        double off = fabs(hw_vec3_dot(a, a) - 1) + fabs(hw_vec3_dot(a, b)) +
                     fabs(hw_vec3_dot(hw_vec3_cross(a, b), c) - 1);
        if (!(off < 1e-9)) return false;
    }
    return isfinite(f->at.x) && isfinite(f->at.y) && isfinite(f->at.z);
}

static hw_code fit(const hw_glb_scene *s)
{
    if (s->parts == 0 || !is_text(s->name)) return HW_BAD_INPUT;
    for (size_t i = 0; i < s->materials; i++)
        if (!is_text(s->material[i].name) || !(s->material[i].roughness >= 0) ||
            !(s->material[i].roughness <= 1))
            return HW_BAD_INPUT;
    for (size_t i = 0; i < s->parts; i++) {
        const hw_glb_part *p = &s->part[i];
        if (!is_text(p->name) || p->material >= s->materials || !is_unit(&p->place) ||
            p->mesh->tris == 0 || hw_mesh_fit(p->mesh) != HW_OK)
            return HW_BAD_INPUT;
    }
    return HW_OK;
}

// ---- JSON ---------------------------------------------------------------------------------------

static void put_text(hw_buffer *b, const char *key, const char *text)
{
    hw_buffer_format(b, "\"%s\":\"", key);
    for (const char *c = text; *c; c++) {
        if (*c == '"' || *c == '\\')
            hw_buffer_format(b, "\\%c", *c);
        else if ((unsigned char)*c < ' ')
            hw_buffer_format(b, "\\u%04x", (unsigned)(unsigned char)*c);
        else
            hw_buffer_put(b, (hw_text){c, 1});
    }
    hw_buffer_puts(b, "\"");
}

static void put_row(hw_buffer *b, const char *key, const double v[], size_t n) // [1]
{
    hw_buffer_format(b, ",\"%s\":[", key);
    for (size_t i = 0; i < n; i++) {
        char text[HW_NUMBER_TEXT];
        hw_number_write(v[i] + 0.0, text);
        hw_buffer_format(b, i ? ",%s" : "%s", text);
    }
    hw_buffer_puts(b, "]");
}

// The rotation of a frame, (x, y, z, w), w >= 0. Source: Shepperd 1978, J. Guidance and Control
// 1(3): the largest of the four is found first, so that none is the difference of like numbers
// (from memory).
static void turn_of(const hw_frame *f, double q[4]) // [1]
{
    const double m[3][3] = {
        {f->x.x, f->y.x, f->z.x}, {f->x.y, f->y.y, f->z.y}, {f->x.z, f->y.z, f->z.z}};
    double trace = m[0][0] + m[1][1] + m[2][2];
    int big = 3; // of the diagonal and the trace
    for (int i = 0; i < 3; i++)
        if (m[i][i] > (big == 3 ? trace : m[big][big])) big = i;
    if (big == 3) {
        double w = 0.5 * sqrt(1 + trace);
        for (int i = 0; i < 3; i++)
            q[i] = (m[(i + 2) % 3][(i + 1) % 3] - m[(i + 1) % 3][(i + 2) % 3]) / (4 * w);
        q[3] = w;
        return;
    }
    int j = (big + 1) % 3, k = (big + 2) % 3;
    double v = 0.5 * sqrt(fmax(1 + m[big][big] - m[j][j] - m[k][k], 0));
    q[big] = v;
    q[j] = (m[j][big] + m[big][j]) / (4 * v);
    q[k] = (m[k][big] + m[big][k]) / (4 * v);
    q[3] = (m[k][j] - m[j][k]) / (4 * v);
    for (int i = 0; i < 4 && q[3] < 0; i++) q[i] = i < 3 ? -q[i] : q[i];
    q[3] = fabs(q[3]);
}

// What a screen shows to what light does. Source: IEC 61966-2-1 (from memory).
static double light_of(uint32_t byte) // [1]
{
    double v = (double)byte / 255;
    return v <= 0.04045 ? v / 12.92 : pow((v + 0.055) / 1.055, 2.4);
}

static void put_nodes(hw_buffer *b, const hw_glb_scene *s)
{
    hw_buffer_puts(b, "\"nodes\":[{");
    put_text(b, "name", s->name);
    // x to z, y to x, z to y
    put_row(b, "rotation", (const double[]){-0.5, -0.5, -0.5, 0.5}, 4);
    hw_buffer_puts(b, ",\"children\":[");
    for (size_t i = 0; i < s->parts; i++) hw_buffer_format(b, i ? ",%zu" : "%zu", i + 1);
    hw_buffer_puts(b, "]}");
    for (size_t i = 0; i < s->parts; i++) {
        const hw_glb_part *p = &s->part[i];
        double turn[4];
        turn_of(&p->place, turn);
        hw_buffer_puts(b, ",\n{");
        put_text(b, "name", p->name);
        hw_buffer_format(b, ",\"mesh\":%zu", i);
        put_row(b, "translation", (const double[]){p->place.at.x, p->place.at.y, p->place.at.z}, 3);
        put_row(b, "rotation", turn, 4);
        hw_buffer_puts(b, "}");
    }
    hw_buffer_puts(b, "]");
}

static void put_materials(hw_buffer *b, const hw_glb_scene *s)
{
    hw_buffer_puts(b, ",\n\"materials\":[");
    for (size_t i = 0; i < s->materials; i++) {
        const hw_glb_material *m = &s->material[i];
        const double colour[4] = {light_of(m->colour >> 16 & 255), light_of(m->colour >> 8 & 255),
                                  light_of(m->colour & 255), 1};
        hw_buffer_puts(b, i ? ",\n{" : "{");
        put_text(b, "name", m->name);
        char text[HW_NUMBER_TEXT];
        hw_number_write(m->roughness, text);
        hw_buffer_format(
            b, ",\"pbrMetallicRoughness\":{\"metallicFactor\":0,\"roughnessFactor\":%s", text);
        put_row(b, "baseColorFactor", colour, 4);
        hw_buffer_puts(b, "}}");
    }
    hw_buffer_puts(b, "]");
}

// Millimetres of a mesh in the format's metres.
static float metres(float mm)
{
    return (float)((double)mm / 1000);
}

static void reach_of(const hw_float_mesh *m, double low[3], double high[3]) // [m]
{
    for (int k = 0; k < 3; k++) {
        low[k] = INFINITY;
        high[k] = -INFINITY;
        for (size_t v = 0; v < m->verts; v++) {
            low[k] = fmin(low[k], (double)metres(m->at[v][k]));
            high[k] = fmax(high[k], (double)metres(m->at[v][k]));
        }
    }
}

// Positions of all parts come first, each view at the place that this gives; returns all bytes.
static size_t put_meshes(hw_buffer *b, const hw_glb_scene *s)
{
    size_t at = 0;
    hw_buffer_puts(b, ",\n\"meshes\":[");
    for (size_t i = 0; i < s->parts; i++) {
        hw_buffer_puts(b, i ? ",\n{" : "{");
        put_text(b, "name", s->part[i].name);
        hw_buffer_format(b,
                         ",\"primitives\":[{\"attributes\":{\"POSITION\":%zu},\"indices\":%zu,"
                         "\"material\":%zu,\"mode\":4}]}",
                         2 * i, 2 * i + 1, s->part[i].material);
    }
    hw_buffer_puts(b, "],\n\"accessors\":[");
    for (size_t i = 0; i < s->parts; i++) {
        const hw_float_mesh *m = s->part[i].mesh;
        double low[3], high[3];
        reach_of(m, low, high);
        hw_buffer_format(b,
                         "%s{\"bufferView\":%zu,\"componentType\":%d,\"count\":%zu,"
                         "\"type\":\"VEC3\"",
                         i ? ",\n" : "", 2 * i, FLOATS, m->verts);
        put_row(b, "min", low, 3);
        put_row(b, "max", high, 3);
        hw_buffer_format(b,
                         "},\n{\"bufferView\":%zu,\"componentType\":%d,\"count\":%zu,"
                         "\"type\":\"SCALAR\"}",
                         2 * i + 1, INDICES, 3 * m->tris);
    }
    hw_buffer_puts(b, "],\n\"bufferViews\":[");
    for (size_t i = 0; i < s->parts; i++) {
        const hw_float_mesh *m = s->part[i].mesh;
        size_t length[2] = {12 * m->verts, 12 * m->tris};
        for (int k = 0; k < 2; k++) {
            hw_buffer_format(b,
                             "%s{\"buffer\":0,\"byteOffset\":%zu,\"byteLength\":%zu,"
                             "\"target\":%d}",
                             i || k ? ",\n" : "", at, length[k], k ? ELEMENTS : VERTICES);
            at += length[k];
        }
    }
    hw_buffer_format(b, "],\n\"buffers\":[{\"byteLength\":%zu}]", at);
    return at;
}

// ---- the file -----------------------------------------------------------------------------------

static void put_bytes(hw_buffer *b, const hw_float_mesh *m)
{
    for (size_t v = 0; v < m->verts; v++)
        for (int k = 0; k < 3; k++) hw_put_f32(b, metres(m->at[v][k]));
    for (size_t i = 0; i < 3 * m->tris; i++) hw_put_u32(b, m->tri[i]);
}

hw_code hw_glb_write(const hw_glb_scene *s, hw_buffer *out)
{
    hw_code code = fit(s);
    if (code != HW_OK) return code;
    hw_buffer json = {.arena = out->arena};
    hw_buffer_puts(&json, "{\"asset\":{\"version\":\"2.0\",\"generator\":\"Handwright\"},"
                          "\n\"scene\":0,\"scenes\":[{");
    put_text(&json, "name", s->name);
    hw_buffer_puts(&json, ",\"nodes\":[0]}],\n");
    put_nodes(&json, s);
    put_materials(&json, s);
    size_t bytes = put_meshes(&json, s);
    hw_buffer_puts(&json, "}");
    for (size_t odd = json.len % 4; odd && odd < 4; odd++) hw_buffer_puts(&json, " ");
    size_t whole = HEADER + 2 * CHUNK + json.len + bytes;
    if (whole > UINT32_MAX) return HW_LIMIT;
    hw_put_u32(out, 0x46546c67); // "glTF"
    hw_put_u32(out, 2);
    hw_put_u32(out, (uint32_t)whole);
    hw_put_u32(out, (uint32_t)json.len);
    hw_put_u32(out, 0x4e4f534a); // "JSON"
    hw_buffer_put(out, (hw_text){json.at, json.len});
    hw_put_u32(out, (uint32_t)bytes);
    hw_put_u32(out, 0x004e4942); // "BIN"
    for (size_t i = 0; i < s->parts; i++) put_bytes(out, s->part[i].mesh);
    return hw_arena_failed(out->arena) ? HW_NO_MEMORY : HW_OK;
}
