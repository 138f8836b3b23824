// PLY files read: a header that says what each element holds, then the elements as words or bytes.
#include "files/files_internal.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { ELEMENTS = 16, PROPERTIES = 96 };

typedef enum form { ASCII, LITTLE, BIG } form;

typedef struct type {
    const char *name, *other;
    size_t size; // bytes
} type;
enum { CHAR, UCHAR, SHORT, USHORT, INT, UINT, FLOAT, DOUBLE, TYPES };
static const type types[TYPES] = {
    [CHAR] = {"char", "int8", 1},      [UCHAR] = {"uchar", "uint8", 1},
    [SHORT] = {"short", "int16", 2},   [USHORT] = {"ushort", "uint16", 2},
    [INT] = {"int", "int32", 4},       [UINT] = {"uint", "uint32", 4},
    [FLOAT] = {"float", "float32", 4}, [DOUBLE] = {"double", "float64", 8},
};

typedef enum role { NONE, X, Y, Z, CORNERS } role;

typedef struct property {
    bool list;
    int count, item; // types; count: of a list's length
    role role;
} property;

typedef enum kind { OTHER, VERTEX, FACE } kind;

typedef struct element {
    kind kind;
    char name[24];
    size_t count, first, properties; // first: number of its first property
} element;

typedef struct ply {
    hw_mesh_reader *r;
    form form;
    element element[ELEMENTS];
    size_t elements;
    property property[PROPERTIES];
    size_t properties;
    uint32_t *vertex; // number in the mesh of each vertex of the file
    size_t vertices;
    size_t done, whole; // of all elements
} ply;

static hw_code refuse(ply *p, hw_text found, const char *expected, const char *text)
{
    return hw_mesh_refuse(p->r, HW_BAD_INPUT, found, hw_text_of(expected), "%s", text);
}

static hw_code refuse_word(ply *p, hw_text found, const char *expected)
{
    return refuse(p, found, expected,
                  found.len ? "is not how a PLY header goes on" : "the file is cut off");
}

// ---- header -----------------------------------------------------------------------------------

static hw_code read_form(ply *p)
{
    static const char *const names[] = {"ascii", "binary_little_endian", "binary_big_endian"};
    hw_text t = hw_mesh_word(p->r);
    int found = -1;
    for (int k = 0; k < 3; k++)
        if (hw_mesh_is_word(t, names[k])) found = k;
    if (found < 0) return refuse_word(p, t, "ascii, binary_little_endian or binary_big_endian");
    p->form = (form)found;
    p->r->out->text = p->form == ASCII;
    t = hw_mesh_word(p->r);
    return hw_mesh_is_word(t, "1.0") ? HW_OK : refuse_word(p, t, "1.0");
}

static hw_code read_element(ply *p)
{
    if (p->elements == ELEMENTS)
        return hw_mesh_refuse(p->r, HW_LIMIT, (hw_text){0}, (hw_text){0},
                              "more elements than the %d that can be taken", ELEMENTS);
    element *e = &p->element[p->elements++];
    hw_text name = hw_mesh_word(p->r);
    if (!name.len) return refuse_word(p, name, "an element's name");
    *e = (element){.first = p->properties};
    size_t n = name.len < sizeof e->name - 1 ? name.len : sizeof e->name - 1;
    memcpy(e->name, name.at, n);
    e->name[n] = '\0';
    e->kind = hw_mesh_is_word(name, "vertex") ? VERTEX
              : hw_mesh_is_word(name, "face") ? FACE
                                              : OTHER;
    hw_text t = hw_mesh_word(p->r);
    double count = 0;
    hw_code code = hw_mesh_number(p->r, t, "a count", &count);
    if (code != HW_OK) return code;
    if (!(count >= 0 && count <= 1e12 && floor(count) == count))
        return refuse(p, t, "a count", "is no count of elements");
    e->count = (size_t)count;
    return HW_OK;
}

static hw_code read_type(ply *p, int *out)
{
    hw_text t = hw_mesh_word(p->r);
    for (int k = 0; k < TYPES; k++)
        if (hw_mesh_is_word(t, types[k].name) || hw_mesh_is_word(t, types[k].other)) {
            *out = k;
            return HW_OK;
        }
    return refuse_word(p, t, "a type, such as float or int");
}

static role role_of(const element *e, hw_text name, bool list)
{
    if (e->kind == VERTEX && !list)
        return hw_mesh_is_word(name, "x")   ? X
               : hw_mesh_is_word(name, "y") ? Y
               : hw_mesh_is_word(name, "z") ? Z
                                            : NONE;
    bool corners = hw_mesh_is_word(name, "vertex_indices") || hw_mesh_is_word(name, "vertex_index");
    return e->kind == FACE && list && corners ? CORNERS : NONE;
}

static hw_code read_property(ply *p)
{
    hw_mesh_reader *r = p->r;
    if (!p->elements) return refuse(p, HW_TEXT("property"), "element", "comes before any element");
    if (p->properties == PROPERTIES)
        return hw_mesh_refuse(r, HW_LIMIT, (hw_text){0}, (hw_text){0},
                              "more properties than the %d that can be taken", PROPERTIES);
    element *e = &p->element[p->elements - 1];
    property *q = &p->property[p->properties++];
    *q = (property){0};
    size_t before = r->at;
    int line = r->line;
    q->list = hw_mesh_is_word(hw_mesh_word(r), "list");
    if (!q->list) r->at = before, r->line = line;
    hw_code code = q->list ? read_type(p, &q->count) : HW_OK;
    if (code == HW_OK) code = read_type(p, &q->item);
    if (code != HW_OK) return code;
    hw_text name = hw_mesh_word(r);
    if (!name.len) return refuse_word(p, name, "a property's name");
    q->role = role_of(e, name, q->list);
    e->properties++;
    return HW_OK;
}

static bool has_role(const ply *p, const element *e, role wanted)
{
    for (size_t i = 0; i < e->properties; i++)
        if (p->property[e->first + i].role == wanted) return true;
    return false;
}

// What a mesh needs: vertices with three coordinates, then faces with their corners.
static hw_code check_header(ply *p)
{
    bool vertex = false, face = false;
    p->r->line = 0;
    for (size_t i = 0; i < p->elements; i++) {
        const element *e = &p->element[i];
        p->whole += e->count;
        if (e->kind == FACE && !vertex)
            return refuse(p, HW_TEXT("element face"), "element vertex",
                          "the faces come before their vertices");
        if ((e->kind == VERTEX && vertex) || (e->kind == FACE && face))
            return refuse(p, hw_text_of(e->name), "one element of a name", "stands twice");
        if (e->kind == VERTEX)
            for (role k = X; k <= Z; k++)
                if (!has_role(p, e, k))
                    return refuse(p, (hw_text){0}, "properties x, y and z",
                                  "the vertices have no three coordinates");
        if (e->kind == FACE && !has_role(p, e, CORNERS))
            return refuse(p, (hw_text){0}, "property list ... vertex_indices",
                          "the faces do not say their corners");
        vertex = vertex || e->kind == VERTEX;
        face = face || e->kind == FACE;
    }
    if (face) return HW_OK;
    return refuse(p, (hw_text){0}, "element face", "the file has points, but no faces");
}

static hw_code read_header(ply *p)
{
    hw_mesh_reader *r = p->r;
    hw_text t = hw_mesh_word(r);
    if (!hw_mesh_is_word(t, "ply")) return refuse(p, t, "ply", "is not a PLY file");
    t = hw_mesh_word(r);
    if (!hw_mesh_is_word(t, "format")) return refuse_word(p, t, "format");
    hw_code code = read_form(p);
    while (code == HW_OK) {
        t = hw_mesh_word(r);
        if (hw_mesh_is_word(t, "end_header")) break;
        if (hw_mesh_is_word(t, "comment") || hw_mesh_is_word(t, "obj_info"))
            hw_mesh_skip_line(r);
        else if (hw_mesh_is_word(t, "element"))
            code = read_element(p);
        else if (hw_mesh_is_word(t, "property"))
            code = read_property(p);
        else
            code = refuse_word(p, t, "element, property or end_header");
    }
    if (code != HW_OK) return code;
    int line = r->line;
    code = check_header(p);
    r->line = p->form == ASCII ? line : 0;
    // the end of the header's last line, before bytes that could look like it
    if (r->at < r->bytes.len && r->bytes.at[r->at] == '\r') r->at++;
    if (p->form != ASCII && r->at < r->bytes.len) r->at++;
    return code;
}

// ---- values -----------------------------------------------------------------------------------

static uint64_t bits_of(const char *at, size_t n, bool big)
{
    uint64_t v = 0;
    for (size_t k = 0; k < n; k++) v = v << 8 | (uint8_t)at[big ? k : n - 1 - k];
    return v;
}

static double number_of(const char *at, int t, bool big)
{
    uint64_t v = bits_of(at, types[t].size, big);
    uint32_t half = (uint32_t)v;
    float f;
    double d;
    switch (t) {
    case CHAR:
        return (double)(int8_t)v;
    case SHORT:
        return (double)(int16_t)v;
    case INT:
        return (double)(int32_t)v;
    case FLOAT:
        memcpy(&f, &half, sizeof f);
        return (double)f;
    case DOUBLE:
        memcpy(&d, &v, sizeof d);
        return d;
    default:
        return (double)v;
    }
}

static hw_code cut_off(ply *p, const element *e, size_t i)
{
    p->r->line = 0;
    return hw_mesh_refuse(p->r, HW_BAD_INPUT, (hw_text){0}, (hw_text){0},
                          "the file ends in number %zu of %zu of element \"%s\"", i + 1, e->count,
                          e->name);
}

// The next value of element e, number i.
static hw_code read_value(ply *p, const element *e, size_t i, int t, double *out) // [1]
{
    hw_mesh_reader *r = p->r;
    if (p->form == ASCII) {
        hw_text w = hw_mesh_word(r);
        return w.len ? hw_mesh_number(r, w, "a number", out) : cut_off(p, e, i);
    }
    if (r->bytes.len - r->at < types[t].size) return cut_off(p, e, i);
    *out = number_of(r->bytes.at + r->at, t, p->form == BIG);
    r->word = r->at;
    r->at += types[t].size;
    return HW_OK;
}

static hw_code refuse_value(ply *p, const element *e, size_t i, double v, const char *expected)
{
    char found[HW_NUMBER_TEXT];
    hw_number_write(v, found);
    return hw_mesh_refuse(p->r, HW_BAD_INPUT, hw_text_of(found), hw_text_of(expected),
                          "number %zu of element \"%s\" (byte %zu)", i + 1, e->name, p->r->word);
}

static hw_code read_length(ply *p, const element *e, size_t i, const property *q, size_t *out)
{
    double n = 0;
    hw_code code = read_value(p, e, i, q->count, &n);
    if (code == HW_OK && !(n >= 0 && n < 4294967296.0 && floor(n) == n))
        code = refuse_value(p, e, i, n, "the length of a list");
    *out = code == HW_OK ? (size_t)n : 0;
    return code;
}

static hw_code read_corner(ply *p, const element *e, size_t i, double v, hw_fan *fan) // [1]
{
    if (!(v >= 0 && v < (double)p->vertices && floor(v) == v)) {
        char expected[60];
        snprintf(expected, sizeof expected, "a vertex, 0 to %zu", p->vertices - 1);
        return refuse_value(p, e, i, v, p->vertices ? expected : "a vertex, but there is none");
    }
    return hw_mesh_fan(p->r, fan, p->vertex[(size_t)v]);
}

// One element's values; what has a role is used, the rest passed over.
static hw_code read_one(ply *p, const element *e, size_t i, float at[3])
{
    hw_code code = HW_OK;
    for (size_t k = 0; k < e->properties && code == HW_OK; k++) {
        const property *q = &p->property[e->first + k];
        size_t n = 1;
        hw_fan fan = {0};
        if (q->list) code = read_length(p, e, i, q, &n);
        for (size_t j = 0; j < n && code == HW_OK; j++) {
            double v = 0;
            code = read_value(p, e, i, q->item, &v);
            if (code != HW_OK) break;
            if (q->role == CORNERS) code = read_corner(p, e, i, v, &fan);
            if (q->role >= X && q->role <= Z) at[q->role - X] = (float)v;
            if (q->role >= X && q->role <= Z && !isfinite(at[q->role - X]))
                code = refuse_value(p, e, i, v, "a coordinate");
        }
    }
    return code;
}

// Bytes that one element takes at least; 0: no properties, nothing to read.
static size_t least_size(const ply *p, const element *e)
{
    size_t n = 0;
    for (size_t k = 0; k < e->properties; k++) {
        const property *q = &p->property[e->first + k];
        n += p->form == ASCII ? 2 : types[q->list ? q->count : q->item].size;
    }
    return n;
}

static hw_code make_room(ply *p, const element *e, size_t least)
{
    size_t rest = p->r->bytes.len - p->r->at, n = rest / least + 1;
    if (e->count > HW_MESH_CORNERS)
        return hw_mesh_refuse(p->r, HW_LIMIT, (hw_text){0}, (hw_text){0},
                              "%zu vertices are more than the %d that can be taken", e->count,
                              HW_MESH_CORNERS);
    if (n > e->count) n = e->count;
    p->vertex = HW_NEW(p->r->keep, uint32_t, n);
    // a triangle's last corner takes a byte at least
    return p->vertex && hw_mesh_room(p->r, n, rest) ? HW_OK : HW_NO_MEMORY;
}

// In text the last of a kind ends its line: what stands behind it there is the next kind's, and a
// count is wrong.
static hw_code end_of_line(ply *p, const element *e)
{
    hw_mesh_reader *r = p->r;
    size_t at = r->at;
    while (at < r->bytes.len && r->bytes.at[at] != '\n' && hw_mesh_is_space(r->bytes.at[at])) at++;
    if (p->form != ASCII || at == r->bytes.len || r->bytes.at[at] == '\n') return HW_OK;
    return hw_mesh_refuse(r, HW_BAD_INPUT, hw_mesh_word(r), hw_text_of("the end of the line"),
                          "number %zu of %zu of element \"%s\" goes on", e->count, e->count,
                          e->name);
}

static hw_code end_of_file(ply *p)
{
    hw_mesh_reader *r = p->r;
    size_t at = r->at;
    while (at < r->bytes.len && hw_mesh_is_space(r->bytes.at[at])) at++;
    if (at == r->bytes.len) return HW_OK;
    return hw_mesh_refuse(r, HW_BAD_INPUT, p->form == ASCII ? hw_mesh_word(r) : (hw_text){0},
                          hw_text_of("the end of the file, by the header's counts"),
                          "the file goes on after its last element (byte %zu of %zu)", at,
                          r->bytes.len);
}

static hw_code read_elements(ply *p, const element *e)
{
    const size_t least = least_size(p, e);
    if (least == 0) return HW_OK;
    hw_code code = e->kind == VERTEX ? make_room(p, e, least) : HW_OK;
    for (size_t i = 0; i < e->count && code == HW_OK; i++) {
        float at[3] = {0};
        code = read_one(p, e, i, at);
        if (code == HW_OK && i + 1 == e->count) code = end_of_line(p, e);
        if (code == HW_OK && e->kind == VERTEX) p->vertex[p->vertices++] = hw_mesh_corner(p->r, at);
        double done = (double)p->done++ / (double)(p->whole + 1);
        if (i % HW_MESH_POLL == 0 && !hw_job_go_on(p->r->job, done, "reading")) return HW_CANCELLED;
    }
    return code;
}

static hw_code read_ply(hw_mesh_reader *r)
{
    ply p = {.r = r};
    r->line = 1;
    hw_code code = read_header(&p);
    for (size_t i = 0; i < p.elements && code == HW_OK; i++)
        code = read_elements(&p, &p.element[i]);
    return code == HW_OK ? end_of_file(&p) : code;
}

hw_code hw_ply_read(hw_arena *keep, hw_text bytes, const char *file, hw_diags *diags,
                    const hw_job *job, hw_mesh_file *out)
{
    return hw_mesh_read_by(read_ply, keep, bytes, file, diags, job, out);
}
