// 3MF: the model as XML text, in a ZIP package of three parts with fixed time stamps.
#include "files/files_internal.h"

#include "base/arena.h"

#include <math.h>
#include <string.h>
#include <zlib.h>

// ---- ZIP --------------------------------------------------------------------------------------

typedef struct entry {
    const char *name;
    hw_text text;
    uint32_t crc, packed, offset;
} entry;

// zlib's memory comes from the arena, and goes with it.
static voidpf take(voidpf arena, uInt items, uInt size)
{
    return hw_arena_alloc(arena, items, size, 16);
}

static void leave(voidpf arena, voidpf at)
{
    (void)arena;
    (void)at;
}

static hw_code pack(hw_arena *a, hw_text text, hw_text *out)
{
    z_stream z = {.zalloc = take, .zfree = leave, .opaque = a};
    if (deflateInit2(&z, 6, Z_DEFLATED, -15, 8, Z_DEFAULT_STRATEGY) != Z_OK) return HW_NO_MEMORY;
    size_t room = deflateBound(&z, (uLong)text.len);
    char *bytes = HW_NEW(a, char, room);
    if (!bytes) return HW_NO_MEMORY;
    // zlib does not write to its input, but says so only in newer headers
    Bytef *in = HW_NEW(a, Bytef, text.len);
    if (!in) return HW_NO_MEMORY;
    memcpy(in, text.at, text.len);
    z.next_in = in;
    z.avail_in = (uInt)text.len;
    z.next_out = (Bytef *)bytes;
    z.avail_out = (uInt)room;
    int status = deflate(&z, Z_FINISH);
    *out = (hw_text){bytes, room - z.avail_out};
    return status == Z_STREAM_END ? HW_OK : HW_NO_MEMORY;
}

// What local and central headers share: deflated, first day that the format knows.
static void put_about(hw_buffer *b, const entry *e)
{
    hw_put_u16(b, 20);   // version 2.0 of the format
    hw_put_u16(b, 0);    // no flags
    hw_put_u16(b, 8);    // deflated
    hw_put_u16(b, 0);    // 00:00:00
    hw_put_u16(b, 0x21); // 1980-01-01
    hw_put_u32(b, e->crc);
    hw_put_u32(b, e->packed);
    hw_put_u32(b, (uint32_t)e->text.len);
    hw_put_u16(b, (uint32_t)strlen(e->name));
    hw_put_u16(b, 0); // no extra field
}

static hw_code put_zip(hw_buffer *out, entry *e, size_t n)
{
    const uint64_t most = 0xfffffffeu;
    size_t start = out->len;
    for (size_t i = 0; i < n; i++) {
        hw_text packed;
        if (e[i].text.len > most / 2 || out->len - start > most / 2) return HW_LIMIT;
        hw_code code = pack(out->arena, e[i].text, &packed);
        if (code != HW_OK) return code;
        e[i].crc = (uint32_t)crc32(0, (const Bytef *)e[i].text.at, (uInt)e[i].text.len);
        e[i].packed = (uint32_t)packed.len;
        e[i].offset = (uint32_t)(out->len - start);
        hw_put_u32(out, 0x04034b50);
        put_about(out, &e[i]);
        hw_buffer_puts(out, e[i].name);
        hw_buffer_put(out, packed);
    }
    size_t directory = out->len - start;
    for (size_t i = 0; i < n; i++) {
        hw_put_u32(out, 0x02014b50);
        hw_put_u16(out, 20); // made by version 2.0
        put_about(out, &e[i]);
        hw_put_u16(out, 0); // no comment
        hw_put_u16(out, 0); // disk 0
        hw_put_u16(out, 0); // internal attributes
        hw_put_u32(out, 0); // external attributes
        hw_put_u32(out, e[i].offset);
        hw_buffer_puts(out, e[i].name);
    }
    size_t end = out->len - start;
    hw_put_u32(out, 0x06054b50);
    hw_put_u16(out, 0);
    hw_put_u16(out, 0);
    hw_put_u16(out, (uint32_t)n);
    hw_put_u16(out, (uint32_t)n);
    hw_put_u32(out, (uint32_t)(end - directory));
    hw_put_u32(out, (uint32_t)directory);
    hw_put_u16(out, 0);
    return hw_arena_failed(out->arena) ? HW_NO_MEMORY : HW_OK;
}

// ---- the model --------------------------------------------------------------------------------

static const char types[] =
    "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
    "<Types xmlns=\"http://schemas.openxmlformats.org/package/2006/content-types\">\n"
    "<Default Extension=\"rels\" "
    "ContentType=\"application/vnd.openxmlformats-package.relationships+xml\"/>\n"
    "<Default Extension=\"model\" "
    "ContentType=\"application/vnd.ms-package.3dmanufacturing-3dmodel+xml\"/>\n"
    "</Types>\n";
static const char relations[] =
    "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
    "<Relationships xmlns=\"http://schemas.openxmlformats.org/package/2006/relationships\">\n"
    "<Relationship Target=\"/3D/3dmodel.model\" Id=\"model\" "
    "Type=\"http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel\"/>\n"
    "</Relationships>\n";

static bool has(const char *text)
{
    return text && *text;
}

static void put_metadata(hw_buffer *b, const hw_3mf_plate *p)
{
    if (has(p->design) || has(p->plate)) {
        hw_buffer_puts(b, "<metadata name=\"Title\">");
        if (has(p->design)) hw_put_xml(b, p->design);
        if (has(p->design) && has(p->plate)) hw_buffer_puts(b, ", ");
        if (has(p->plate)) hw_put_xml(b, p->plate);
        hw_buffer_puts(b, "</metadata>\n");
    }
    if (has(p->revision) || has(p->description)) {
        hw_buffer_puts(b, "<metadata name=\"Description\">");
        if (has(p->revision)) {
            hw_buffer_puts(b, "revision ");
            hw_put_xml(b, p->revision);
        }
        if (has(p->revision) && has(p->description)) hw_buffer_puts(b, "; ");
        if (has(p->description)) hw_put_xml(b, p->description);
        hw_buffer_puts(b, "</metadata>\n");
    }
    hw_buffer_puts(b, "<metadata name=\"Application\">Handwright</metadata>\n");
}

static void put_materials(hw_buffer *b, const hw_3mf_plate *p)
{
    static const char digit[] = "0123456789ABCDEF";
    if (p->materials == 0) return;
    hw_buffer_puts(b, "<basematerials id=\"1\">\n");
    for (size_t i = 0; i < p->materials; i++) {
        char colour[8] = "#";
        for (int k = 0; k < 6; k++)
            colour[1 + k] = digit[p->material[i].colour >> (20 - 4 * k) & 15];
        hw_buffer_puts(b, "<base name=\"");
        hw_put_xml(b, p->material[i].name);
        hw_buffer_format(b, "\" displaycolor=\"%s\"/>\n", colour);
    }
    hw_buffer_puts(b, "</basematerials>\n");
}

static void put_mesh(hw_buffer *b, const hw_float_mesh *m)
{
    static const char *const axis[3] = {"<vertex x=\"", "\" y=\"", "\" z=\""};
    static const char *const corner[3] = {"<triangle v1=\"", "\" v2=\"", "\" v3=\""};
    hw_buffer_puts(b, "<mesh>\n<vertices>\n");
    for (size_t i = 0; i < m->verts; i++) {
        for (int k = 0; k < 3; k++) {
            hw_buffer_puts(b, axis[k]);
            hw_put_float(b, m->at[i][k]);
        }
        hw_buffer_puts(b, "\"/>\n");
    }
    hw_buffer_puts(b, "</vertices>\n<triangles>\n");
    for (size_t i = 0; i < m->tris; i++) {
        for (int k = 0; k < 3; k++) {
            hw_buffer_puts(b, corner[k]);
            hw_put_decimal(b, m->tri[3 * i + (size_t)k], 0);
        }
        hw_buffer_puts(b, "\"/>\n");
    }
    hw_buffer_puts(b, "</triangles>\n</mesh>\n");
}

static void put_object(hw_buffer *b, const hw_3mf_part *part, size_t id, bool materials)
{
    hw_buffer_format(b, "<object id=\"%zu\" type=\"model\" name=\"", id);
    hw_put_xml(b, part->name);
    if (materials) hw_buffer_format(b, "\" pid=\"1\" pindex=\"%zu", part->material);
    hw_buffer_puts(b, "\">\n");
    put_mesh(b, part->mesh);
    hw_buffer_puts(b, "</object>\n");
}

// Row vectors times the matrix, as the specification has it.
static void put_item(hw_buffer *b, const hw_3mf_part *part, size_t id)
{
    static const char *const turn[4] = {"1 0 0 0 1 0 0 0 1", "0 1 0 -1 0 0 0 0 1",
                                        "-1 0 0 0 -1 0 0 0 1", "0 -1 0 1 0 0 0 0 1"};
    const double at[3] = {part->place.at.x, part->place.at.y, part->place.at.z};
    hw_buffer_format(b, "<item objectid=\"%zu\" transform=\"%s", id, turn[part->place.quarters]);
    for (int k = 0; k < 3; k++) {
        char text[HW_NUMBER_TEXT];
        hw_number_write(at[k] * 1000 + 0.0, text);
        hw_buffer_format(b, " %s", text);
    }
    hw_buffer_puts(b, "\"/>\n");
}

static bool is_text(const char *text)
{
    hw_text t = hw_text_of(text);
    return hw_utf8_bad(t) == t.len;
}

static hw_code check(const hw_3mf_plate *p)
{
    if (p->parts == 0) return HW_BAD_INPUT;
    if (!is_text(p->design) || !is_text(p->plate) || !is_text(p->revision) ||
        !is_text(p->description))
        return HW_BAD_INPUT;
    for (size_t i = 0; i < p->materials; i++)
        if (!has(p->material[i].name) || !is_text(p->material[i].name)) return HW_BAD_INPUT;
    for (size_t i = 0; i < p->parts; i++) {
        const hw_3mf_part *q = &p->part[i];
        if (!has(q->name) || !is_text(q->name) || q->place.quarters < 0 || q->place.quarters > 3 ||
            (p->materials && q->material >= p->materials) || !isfinite(q->place.at.x) ||
            !isfinite(q->place.at.y) || !isfinite(q->place.at.z) || hw_mesh_fit(q->mesh) != HW_OK)
            return HW_BAD_INPUT;
    }
    return HW_OK;
}

hw_code hw_3mf_write(const hw_3mf_plate *plate, hw_buffer *out)
{
    hw_code code = check(plate);
    if (code != HW_OK) return code;
    hw_buffer b = {.arena = out->arena};
    hw_buffer_puts(&b, "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
                       "<model unit=\"millimeter\" xml:lang=\"en\" "
                       "xmlns=\"http://schemas.microsoft.com/3dmanufacturing/core/2015/02\">\n");
    put_metadata(&b, plate);
    hw_buffer_puts(&b, "<resources>\n");
    put_materials(&b, plate);
    for (size_t i = 0; i < plate->parts; i++)
        put_object(&b, &plate->part[i], i + 2, plate->materials > 0);
    hw_buffer_puts(&b, "</resources>\n<build>\n");
    for (size_t i = 0; i < plate->parts; i++) put_item(&b, &plate->part[i], i + 2);
    hw_buffer_puts(&b, "</build>\n</model>\n");
    if (hw_arena_failed(b.arena)) return HW_NO_MEMORY;
    entry e[] = {{.name = "[Content_Types].xml", .text = HW_TEXT(types)},
                 {.name = "_rels/.rels", .text = HW_TEXT(relations)},
                 {.name = "3D/3dmodel.model", .text = {b.at, b.len}}};
    return put_zip(out, e, sizeof e / sizeof *e);
}
