// 3MF: the reference library reads back what was meant, coordinates to the bit.
#include "reference.h"
#include "support.h"

#include "base/rng.h"
#include "files/files_internal.h"

static hw_arena *arena;

static const hw_3mf_material colours[] = {{"grey & \"soft\"", 0x8090a0}, {"ink", 0x1a1a1a}};

static hw_buffer written(const hw_3mf_plate *p)
{
    hw_buffer b = {.arena = arena};
    CHECK(hw_3mf_write(p, &b) == HW_OK);
    return b;
}

static void *read_back(const hw_buffer *b)
{
    void *package = NULL, *reader = NULL;
    uint32_t warnings = 1;
    CHECK(lib3mf_createmodel(&package) == 0);
    CHECK(lib3mf_model_queryreader(package, "3mf", &reader) == 0);
    CHECK(lib3mf_reader_setstrictmodeactive(reader, 1) == 0);
    CHECK(lib3mf_reader_readfrombuffer(reader, b->at, b->len) == 0);
    CHECK(lib3mf_reader_getwarningcount(reader, &warnings) == 0 && warnings == 0);
    lib3mf_release(reader);
    return package;
}

static void metadata_is(void *package, const char *key, const char *want)
{
    uint32_t n = 0, needed;
    char got[200];
    CHECK(lib3mf_model_getmetadatacount(package, &n) == 0);
    for (uint32_t i = 0; i < n; i++) {
        CHECK(lib3mf_model_getmetadatakeyutf8(package, i, got, sizeof got, &needed) == 0);
        if (strcmp(got, key) != 0) continue;
        CHECK(lib3mf_model_getmetadatavalueutf8(package, i, got, sizeof got, &needed) == 0);
        SAME_TEXT(got, want);
        return;
    }
    CHECK(want == NULL);
}

static void mesh_is(void *object, const hw_3mf_part *want)
{
    uint32_t verts = 0, tris = 0, needed, group = 0, material = 99;
    int32_t manifold = 0;
    char name[200];
    void *handler = NULL;
    const hw_float_mesh *m = want->mesh;
    CHECK(lib3mf_object_getnameutf8(object, name, sizeof name, &needed) == 0);
    SAME_TEXT(name, want->name);
    CHECK(lib3mf_meshobject_getvertexcount(object, &verts) == 0 && verts == m->verts);
    CHECK(lib3mf_meshobject_gettrianglecount(object, &tris) == 0 && tris == m->tris);
    CHECK(lib3mf_meshobject_ismanifoldandoriented(object, &manifold) == 0 && manifold == 1);
    for (uint32_t i = 0; i < verts && i < m->verts; i++) {
        lib3mf_corner c;
        CHECK(lib3mf_meshobject_getvertex(object, i, &c) == 0);
        for (int k = 0; k < 3; k++) CHECK(c.at[k] == m->at[i][k]);
    }
    for (uint32_t i = 0; i < tris && i < m->tris; i++) {
        lib3mf_face f;
        CHECK(lib3mf_meshobject_gettriangle(object, i, &f) == 0);
        CHECK(memcmp(f.corner, &m->tri[3 * i], sizeof f) == 0);
    }
    CHECK(lib3mf_object_createdefaultpropertyhandler(object, &handler) == 0);
    CHECK(lib3mf_defaultpropertyhandler_getbasematerial(handler, &group, &material) == 0);
    CHECK(material == want->material);
    lib3mf_release(handler);
}

static void items_are(void *package, const hw_3mf_plate *p)
{
    void *list = NULL;
    int32_t more = 0;
    size_t n = 0;
    CHECK(lib3mf_model_getbuilditems(package, &list) == 0);
    while (lib3mf_builditemiterator_movenext(list, &more) == 0 && more && n < p->parts) {
        static const int turn[4][2] = {{1, 0}, {0, 1}, {-1, 0}, {0, -1}};
        void *item = NULL, *object = NULL;
        lib3mf_turn t;
        const hw_3mf_part *part = &p->part[n++];
        CHECK(lib3mf_builditemiterator_getcurrent(list, &item) == 0);
        CHECK(lib3mf_builditem_getobjectresource(item, &object) == 0);
        CHECK(lib3mf_builditem_getobjecttransform(item, &t) == 0);
        mesh_is(object, part);
        // a quarter counter-clockwise takes +x to +y
        const int *cs = turn[part->place.quarters];
        NEAR((double)t.field[0][0], cs[0], 0);
        NEAR((double)t.field[1][0], cs[1], 0);
        NEAR((double)t.field[0][1], -cs[1], 0);
        NEAR((double)t.field[1][1], cs[0], 0);
        NEAR((double)t.field[2][2], 1, 0);
        NEAR((double)t.field[0][3], part->place.at.x * 1000, 1e-5); // a float of up to 200
        NEAR((double)t.field[1][3], part->place.at.y * 1000, 1e-5);
        NEAR((double)t.field[2][3], part->place.at.z * 1000, 1e-5);
        lib3mf_release(object);
        lib3mf_release(item);
    }
    CHECK(!more && n == p->parts);
    lib3mf_release(list);
}

static void colours_are(void *package, const hw_3mf_plate *p)
{
    void *list = NULL, *group = NULL;
    int32_t more = 0;
    uint32_t n = 0, needed;
    CHECK(lib3mf_model_getbasematerials(package, &list) == 0);
    CHECK(lib3mf_resourceiterator_movenext(list, &more) == 0 && more);
    if (!more) return;
    CHECK(lib3mf_resourceiterator_getcurrent(list, &group) == 0);
    CHECK(lib3mf_basematerial_getcount(group, &n) == 0 && n == p->materials);
    for (uint32_t i = 0; i < n; i++) {
        uint8_t c[4];
        char name[200];
        CHECK(lib3mf_basematerial_getnameutf8(group, i, name, sizeof name, &needed) == 0);
        SAME_TEXT(name, p->material[i].name);
        CHECK(lib3mf_basematerial_getdisplaycolor(group, i, &c[0], &c[1], &c[2], &c[3]) == 0);
        CHECK(((uint32_t)c[0] << 16 | (uint32_t)c[1] << 8 | c[2]) == p->material[i].colour);
        CHECK(c[3] == 255);
    }
    lib3mf_release(group);
    lib3mf_release(list);
}

static void all_reads_back(const hw_3mf_plate *p, const hw_buffer *b)
{
    void *package = read_back(b);
    uint32_t unit = 0;
    CHECK(lib3mf_model_getunit(package, &unit) == 0 && unit == LIB3MF_MILLIMETRE);
    items_are(package, p);
    colours_are(package, p);
    lib3mf_release(package);
}

static void a_plate(void)
{
    model m = model_new(), pin = model_new();
    bracket(&m);
    plate(&pin, HW_BLOCK_ADD, -3, 3.75, circle(&pin, 0, 2, 2, 64));
    hw_float_mesh a = float_mesh(&m), c = float_mesh(&pin);
    hw_3mf_part part[] = {
        {"index bracket", &a, {0, {0, 0, 0}}, 0},
        {"pin <1> & \"more\" \xc3\xa9\xe2\x80\xa6", &c, {1, {0.1, 0.07, 0}}, 1},
        {"pin 2", &c, {2, {0.18, 0.05, 1e-9}}, 1},
        {"bracket turned", &a, {3, {12.3456e-3, -0.15, 0}}, 0},
    };
    hw_3mf_plate p = {.design = "Heron & <others>",
                      .plate = "plate 1",
                      .revision = "3f2a91",
                      .description = "made to be read",
                      .material = colours,
                      .materials = 2,
                      .part = part,
                      .parts = 4};
    hw_buffer b = written(&p), again = written(&p);
    keep_file("plate.3mf", &b);
    CHECK(b.len == again.len && memcmp(b.at, again.at, b.len) == 0);
    CHECK(memcmp(b.at, "PK\3\4", 4) == 0 && memcmp(b.at + 10, "\0\0\x21\0", 4) == 0); // 1980-01-01
    all_reads_back(&p, &b);
    void *package = read_back(&b);
    // release 1.8.1 hands out the text of elements as it stands in the file
    metadata_is(package, "Title", "Heron &amp; &lt;others&gt;, plate 1");
    metadata_is(package, "Description", "revision 3f2a91; made to be read");
    metadata_is(package, "Application", "Handwright");
    metadata_is(package, "Designer", NULL);
    lib3mf_release(package);
    // appended to what is in the buffer already
    hw_buffer_puts(&again, "x");
    size_t from = again.len;
    CHECK(hw_3mf_write(&p, &again) == HW_OK);
    CHECK(again.len - from == b.len && memcmp(again.at + from, b.at, b.len) == 0);
    // nothing but parts
    p = (hw_3mf_plate){.part = part, .parts = 1};
    b = written(&p);
    package = read_back(&b);
    metadata_is(package, "Title", NULL);
    lib3mf_release(package);
    model_free(&m);
    model_free(&pin);
}

static void refused(void)
{
    float at[4][3] = {{0, 0, 0}, {1, 0, 0}, {0, 1, 0}, {0, 0, 1}};
    uint32_t tri[12] = {0, 2, 1, 0, 1, 3, 1, 2, 3, 2, 0, 3};
    hw_float_mesh f = {at, tri, 4, 4};
    hw_3mf_part part = {"p", &f, {0, {0, 0, 0}}, 0};
    hw_3mf_plate p = {.part = &part, .parts = 1, .material = colours, .materials = 2};
    hw_buffer b = {.arena = arena};
    CHECK(hw_3mf_write(&p, &b) == HW_OK);
    part.material = 2;
    CHECK(hw_3mf_write(&p, &b) == HW_BAD_INPUT);
    part.material = 0;
    part.place.quarters = 4;
    CHECK(hw_3mf_write(&p, &b) == HW_BAD_INPUT);
    part.place.quarters = -1;
    CHECK(hw_3mf_write(&p, &b) == HW_BAD_INPUT);
    part.place.quarters = 0;
    part.place.at.y = NAN;
    CHECK(hw_3mf_write(&p, &b) == HW_BAD_INPUT);
    part.place.at.y = 0;
    part.name = "";
    CHECK(hw_3mf_write(&p, &b) == HW_BAD_INPUT);
    part.name = "\xff";
    CHECK(hw_3mf_write(&p, &b) == HW_BAD_INPUT);
    part.name = "p";
    tri[3] = 4;
    CHECK(hw_3mf_write(&p, &b) == HW_BAD_INPUT);
    tri[3] = 0;
    at[2][0] = INFINITY;
    CHECK(hw_3mf_write(&p, &b) == HW_BAD_INPUT);
    at[2][0] = 0;
    p.parts = 0;
    CHECK(hw_3mf_write(&p, &b) == HW_BAD_INPUT);
    p.parts = 1;
    for (size_t n = 0, done = 0; !done && n < 60; n++) {
        hw_arena *a = hw_arena_new(0);
        hw_buffer c = {.arena = a};
        hw_arena_fail_after(a, n);
        hw_code code = hw_3mf_write(&p, &c);
        done = code == HW_OK;
        CHECK(code == HW_OK || code == HW_NO_MEMORY);
        CHECK(n < 59);
        hw_arena_free(a);
    }
}

// Floats of every size come back from their text, read as doubles or as floats, and text on the
// solids' grid is short.
static void floats_come_back(void)
{
    hw_rng r = hw_rng_new(99, 0);
    for (int i = 0; i < 200000; i++) {
        uint64_t bits = hw_rng_next(&r);
        uint32_t low = (uint32_t)bits;
        float v;
        if (i % 2) {
            memcpy(&v, &low, sizeof v);
            if (!isfinite(v)) continue;
        } else {
            v = (float)((double)(int32_t)low / 2048 / 16384 * 1e-3 + (double)(low % 7));
        }
        char text[64];
        hw_buffer b = {.arena = arena};
        size_t mark = hw_arena_mark(arena);
        hw_put_float(&b, v);
        snprintf(text, sizeof text, "%s", b.at);
        hw_arena_rewind(arena, mark);
        if (!CHECK(strtof(text, NULL) == v && (float)strtod(text, NULL) == v))
            printf("    %s for %a\n", text, (double)v);
    }
    hw_buffer b = {.arena = arena};
    hw_put_float(&b, 45.600006f);
    hw_buffer_puts(&b, " ");
    hw_put_float(&b, -0.0f);
    hw_buffer_puts(&b, " ");
    hw_put_float(&b, -12.5f);
    hw_buffer_puts(&b, " ");
    hw_put_float(&b, 3000);
    SAME_TEXT(b.at, "45.600006 0 -12.5 3000");
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    arena = hw_arena_new(0);
    RUN(a_plate);
    RUN(refused);
    RUN(floats_come_back);
    hw_arena_free(arena);
    return TEST_END();
}
