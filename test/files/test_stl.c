// STL: what is written is what was meant, byte by byte; what others write is read, and what is
// broken is refused by name.
#include "support.h"

static hw_arena *arena;

static uint32_t u32_at(const hw_buffer *b, size_t at)
{
    const uint8_t *p = (const uint8_t *)b->at + at;
    return p[0] | (uint32_t)p[1] << 8 | (uint32_t)p[2] << 16 | (uint32_t)p[3] << 24;
}

static double f32_at(const hw_buffer *b, size_t at)
{
    uint32_t bits = u32_at(b, at);
    int exponent = (int)(bits >> 23 & 255);
    double size = exponent ? ldexp(1 + (bits & 0x7fffff) / 8388608.0, exponent - 127)
                           : ldexp((bits & 0x7fffff) / 8388608.0, -126);
    return bits >> 31 ? -size : size;
}

static void written_bytes(void)
{
    float at[3][3] = {{0, 0, 0}, {2, 0, 0}, {0, -0.5f, 0}};
    uint32_t tri[6] = {0, 1, 2, 1, 1, 2};
    hw_float_mesh f = {at, tri, 3, 2};
    hw_buffer b = {.arena = arena}, again = {.arena = arena};
    CHECK(hw_stl_write(&f, "solid of nothing", &b) == HW_OK);
    CHECK(b.len == 84 + 2 * 50);
    CHECK(memcmp(b.at, "solid", 5) != 0 && strstr(b.at, "mm: solid of nothing") != NULL);
    CHECK(u32_at(&b, 80) == 2);
    NEAR(f32_at(&b, 84 + 8), -1, 0); // (2,0,0) x (0,-0.5,0)
    NEAR(f32_at(&b, 84 + 12 + 12), 2, 0);
    NEAR(f32_at(&b, 84 + 12 + 24 + 4), -0.5, 0);
    NEAR(f32_at(&b, 84 + 50), 0, 0); // no area, no normal
    CHECK(b.at[84 + 48] == 0 && b.at[84 + 49] == 0);
    CHECK(hw_stl_write(&f, "solid of nothing", &again) == HW_OK);
    CHECK(again.len == b.len && memcmp(again.at, b.at, b.len) == 0);
    // a long name is cut at a letter: 80 bytes less the lead
    hw_buffer c = {.arena = arena};
    char name[200];
    for (int i = 0; i < 99; i++) memcpy(name + 2 * i, "\xc3\xa9", 2);
    name[198] = '\0';
    CHECK(hw_stl_write(&f, name, &c) == HW_OK && c.len == b.len);
    CHECK(hw_utf8_bad((hw_text){c.at, 80}) == 80);
    tri[5] = 3;
    CHECK(hw_stl_write(&f, "x", &c) == HW_BAD_INPUT);
    tri[5] = 2;
    at[1][2] = NAN;
    CHECK(hw_stl_write(&f, "x", &c) == HW_BAD_INPUT);
}

static bool same_mesh(const hw_float_mesh *a, const hw_float_mesh *b)
{
    if (a->tris != b->tris || a->verts != b->verts) return false;
    for (size_t i = 0; i < 3 * a->tris; i++)
        if (memcmp(a->at[a->tri[i]], b->at[b->tri[i]], sizeof *a->at) != 0) return false;
    return true;
}

static void written_and_read(void)
{
    model m = model_new();
    bracket(&m);
    hw_float_mesh f = float_mesh(&m);
    hw_buffer b = {.arena = arena};
    CHECK(hw_stl_write(&f, "bracket", &b) == HW_OK);
    keep_file("bracket.stl", &b);
    hw_mesh_file back;
    CHECK(hw_stl_read(arena, (hw_text){b.at, b.len}, "b", NULL, NULL, &back) == HW_OK);
    CHECK(!back.text && back.flat == 0);
    CHECK(same_mesh(&f, &back.mesh));
    NEAR(signed_volume(&back.mesh), signed_volume(&f), 0);
    // a header that says "solid" is no text file
    memcpy(b.at, "solid bracket", 13);
    CHECK(hw_stl_read(arena, (hw_text){b.at, b.len}, "b", NULL, NULL, &back) == HW_OK);
    CHECK(!back.text && same_mesh(&f, &back.mesh));
    model_free(&m);
}

static const char text_file[] =
    "  SOLID a name of any kind, facet\r\n"
    "facet normal nan nan nan\r\n outer loop\r\n  vertex 0 0 0\r\n  vertex 1.5e1 0 0\r\n"
    "  vertex 0 +2 -0\r\n endloop\r\nendfacet\r\n"
    "Facet Normal 0 0 1 outer loop vertex 0 0 -0.0 vertex 0 2 0 vertex 0 0 1 endloop endfacet\n"
    "facet normal 0 0 1 outer loop vertex 0 0 0 vertex 0 0 0 vertex 0 0 1 endloop endfacet\n"
    "endsolid a name\n\n"
    "solid\nfacet normal 0 0 0 outer loop vertex 9 0 0 vertex 9 1 0 vertex 9 0 1 endloop\n"
    "endfacet endsolid";

static void text_is_read(void)
{
    hw_mesh_file s;
    CHECK(hw_stl_read(arena, HW_TEXT(text_file), "t", NULL, NULL, &s) == HW_OK);
    CHECK(s.text && s.mesh.tris == 3 && s.flat == 1);
    CHECK(s.mesh.verts == 7); // four of the first solid, -0 being 0, and three
    NEAR((double)s.mesh.at[s.mesh.tri[1]][0], 15, 0);
    NEAR((double)s.mesh.at[s.mesh.tri[2]][1], 2, 0);
}

typedef struct fault {
    const char *text;
    int line;
    const char *says, *found, *expected;
} fault;

static void broken_text(void)
{
    static const fault list[] = {
        {"solid\n", 2, "the file is cut off", "", "facet or endsolid"},
        {"solid\nendsolid", 0, "the file holds no triangle", "", ""},
        {"solid\nfacet normal 0 0 1\nouter loop\nvertex 1 2\n", 5, "the file is cut off", "",
         "a coordinate"},
        {"solid\nfacet normal 0 0 1\nouter loop\nvertex 1 2,5 3", 4, "is not a number", "2,5",
         "a coordinate"},
        {"solid\nfacet normal 0 0 1\nouter loop\nvertex 1 2 inf", 4, "is not a number", "inf",
         "a coordinate"},
        {"solid\nfacet normal 0 0 1\nouter loop\nvertex 1 2 1e39", 4, "is not a number", "1e39",
         "a coordinate"},
        {"solid\nfacet normal 0 0 1\nouter loop\nvertex 0 0 0 vertex 1 0 0 vertex 0 1 0\nvertex 1 "
         "1 0",
         5, "is not how an STL file goes on", "vertex", "endloop"},
        {"solid\nloop", 2, "is not how an STL file goes on", "loop", "facet or endsolid"},
        {"solid\nfacet normal 0 0 1 inner", 2, "is not how an STL file goes on", "inner", "outer"},
        {"", 0, "is not an STL file: too short for a binary one, and no text", "", ""},
        {"OFF 3 1 0", 0, "is not an STL file: too short for a binary one, and no text", "", ""},
    };
    for (size_t i = 0; i < sizeof list / sizeof *list; i++) {
        hw_diag item[4];
        hw_diags d = {item, 0, 4, 0};
        hw_mesh_file s;
        CHECK(hw_stl_read(arena, hw_text_of(list[i].text), "scan.stl", &d, NULL, &s) ==
              HW_BAD_INPUT);
        CHECK(s.mesh.tris == 0 && s.mesh.at == NULL);
        if (!CHECK(d.count == 1)) continue;
        if (list[i].line) CHECK(item[0].line == list[i].line);
        SAME_TEXT(item[0].text, list[i].says);
        SAME_TEXT(item[0].found, list[i].found);
        SAME_TEXT(item[0].expected, list[i].expected);
        SAME_TEXT(item[0].file, "scan.stl");
    }
}

static void broken_binary(void)
{
    float at[3][3] = {{0, 0, 0}, {2, 0, 0}, {0, 1, 0}};
    uint32_t tri[6] = {0, 1, 2, 0, 2, 1};
    hw_float_mesh f = {at, tri, 3, 2};
    hw_buffer b = {.arena = arena};
    hw_mesh_file s;
    hw_diag item[4];
    hw_diags d = {item, 0, 4, 0};
    CHECK(hw_stl_write(&f, "x", &b) == HW_OK);
    for (size_t n = 0; n < b.len; n++)
        CHECK(hw_stl_read(arena, (hw_text){b.at, n}, "x", NULL, NULL, &s) == HW_BAD_INPUT);
    CHECK(hw_stl_read(arena, (hw_text){b.at, b.len - 1}, "x", &d, NULL, &s) == HW_BAD_INPUT);
    SAME_TEXT(item[0].text, "the file ends after 1 of 2 triangles");
    SAME_TEXT(item[0].found, "183 bytes");
    SAME_TEXT(item[0].expected, "184 bytes by the count in bytes 80 to 83");
    // a count that the file does not hold takes no memory
    memcpy(b.at + 80, "\xff\xff\xff\xff", 4);
    CHECK(hw_stl_read(arena, (hw_text){b.at, b.len}, "x", &d, NULL, &s) == HW_BAD_INPUT);
    SAME_TEXT(item[1].text, "the file ends after 2 of 4294967295 triangles");
    memcpy(b.at + 80, "\x02\0\0\0", 4);
    memcpy(b.at + 84 + 50 + 12, "\0\0\xc0\x7f", 4); // NaN
    CHECK(hw_stl_read(arena, (hw_text){b.at, b.len}, "x", &d, NULL, &s) == HW_BAD_INPUT);
    SAME_TEXT(item[2].text, "triangle 2 has a coordinate that is no number (byte 146)");
    memset(b.at + 80, 0, 4);
    CHECK(hw_stl_read(arena, (hw_text){b.at, 84}, "x", &d, NULL, &s) == HW_BAD_INPUT);
    SAME_TEXT(item[3].text, "the file holds no triangle");
}

static bool refuse(void *self, double fraction, const char *stage)
{
    (void)stage;
    *(double *)self = fraction;
    return false;
}

static void limits(void)
{
    // one more than can be taken, of zeros
    size_t n = HW_MESH_TRIANGLES + 1;
    char *bytes = calloc(84 + 50 * n, 1);
    if (!CHECK(bytes != NULL)) return;
    for (int k = 0; k < 4; k++) bytes[80 + k] = (char)(n >> 8 * k & 255);
    hw_mesh_file s;
    CHECK(hw_stl_read(arena, (hw_text){bytes, 84 + 50 * n}, "x", NULL, NULL, &s) == HW_LIMIT);
    n--;
    for (int k = 0; k < 4; k++) bytes[80 + k] = (char)(n >> 8 * k & 255);
    CHECK(hw_stl_read(arena, (hw_text){bytes, 84 + 50 * n}, "x", NULL, NULL, &s) == HW_BAD_INPUT);
    free(bytes);
    double fraction = 7;
    hw_job job = {refuse, &fraction};
    CHECK(hw_stl_read(arena, HW_TEXT(text_file), "x", NULL, &job, &s) == HW_CANCELLED);
    CHECK(fraction >= 0 && fraction < 1 && s.mesh.at == NULL);
    for (size_t k = 0; k < 3; k++) {
        hw_arena *a = hw_arena_new(0);
        hw_arena_fail_after(a, k);
        CHECK(hw_stl_read(a, HW_TEXT(text_file), "x", NULL, NULL, &s) == HW_NO_MEMORY);
        hw_arena_free(a);
    }
    hw_arena *a = hw_arena_new(0);
    hw_buffer b = {.arena = a};
    float at[3][3] = {{0, 0, 0}, {2, 0, 0}, {0, 1, 0}};
    uint32_t tri[3] = {0, 1, 2};
    hw_float_mesh f = {at, tri, 3, 1};
    hw_arena_fail_after(a, 0);
    CHECK(hw_stl_write(&f, "x", &b) == HW_NO_MEMORY);
    hw_arena_free(a);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    arena = hw_arena_new(0);
    RUN(written_bytes);
    RUN(written_and_read);
    RUN(text_is_read);
    RUN(broken_text);
    RUN(broken_binary);
    RUN(limits);
    hw_arena_free(arena);
    return TEST_END();
}
