// PLY and OBJ: what others write is read, what is broken is refused with its place.
#include "support.h"

static hw_arena *arena;

typedef hw_code (*reader)(hw_arena *, hw_text, const char *, hw_diags *, const hw_job *,
                          hw_mesh_file *);

// A square pyramid, one face of four corners.
static const float corner[5][3] = {{0, 0, 0}, {2, 0, 0}, {2, 2, 0}, {0, 2, 0}, {1, 1, 1.5f}};
static const uint32_t face[5][4] = {
    {0, 3, 2, 1}, {0, 1, 4, 4}, {1, 2, 4, 4}, {2, 3, 4, 4}, {3, 0, 4, 4}};

static void is_pyramid(const hw_mesh_file *f)
{
    CHECK(f->mesh.tris == 6 && f->mesh.verts == 5);
    if (f->mesh.tris != 6) return;
    NEAR(signed_volume(&f->mesh), 2, 1e-12); // 2 * 2 * 1.5 / 3
    // the first face is a fan from its first corner
    const int want[6] = {0, 3, 2, 0, 2, 1};
    for (int k = 0; k < 6; k++)
        for (int c = 0; c < 3; c++)
            NEAR((double)f->mesh.at[f->mesh.tri[k]][c], (double)corner[want[k]][c], 0);
}

// ---- PLY --------------------------------------------------------------------------------------

static void put_bytes(hw_buffer *b, const void *value, size_t n, bool big)
{
    const uint16_t one = 1;
    bool machine_big = *(const uint8_t *)&one == 0;
    char bytes[8];
    memcpy(bytes, value, n);
    for (size_t k = 0; k < n; k++)
        hw_buffer_put(b, (hw_text){&bytes[big == machine_big ? k : n - 1 - k], 1});
}

// Vertices with what scanners add before and after, faces of both kinds of index.
static hw_buffer binary_ply(bool big, bool crlf)
{
    hw_buffer b = {.arena = arena};
    const char *end = crlf ? "\r\n" : "\n";
    hw_buffer_format(&b, "ply%sformat binary_%s_endian 1.0%s", end, big ? "big" : "little", end);
    hw_buffer_format(&b, "comment made up, element of nothing%selement vertex 5%s", end, end);
    hw_buffer_format(&b, "property uchar red%sproperty double x%sproperty float y%s", end, end,
                     end);
    hw_buffer_format(&b, "property short z%sproperty list uchar int seen_by%s", end, end);
    hw_buffer_format(&b, "element camera 1%sproperty float32 f%selement empty 4000000000%s", end,
                     end, end);
    hw_buffer_format(&b, "element face 5%sproperty int8 flags%s", end, end);
    hw_buffer_format(&b, "property list uint8 uint32 vertex_indices%send_header%s", end, end);
    for (int v = 0; v < 5; v++) {
        double x = (double)corner[v][0];
        int16_t z = (int16_t)(2 * corner[v][2]);
        int32_t seen[2] = {7, 8};
        put_bytes(&b, "\x0a", 1, big); // a byte that looks like the end of a line
        put_bytes(&b, &x, 8, big);
        put_bytes(&b, &corner[v][1], 4, big);
        put_bytes(&b, &z, 2, big);
        put_bytes(&b, "\2", 1, big);
        put_bytes(&b, &seen[0], 4, big);
        put_bytes(&b, &seen[1], 4, big);
    }
    put_bytes(&b, &corner[1][0], 4, big);
    for (int f = 0; f < 5; f++) {
        const char n = f == 0 ? 4 : 3;
        put_bytes(&b, "\xff", 1, big);
        put_bytes(&b, &n, 1, big);
        for (int k = 0; k < n; k++) put_bytes(&b, &face[f][k], 4, big);
    }
    return b;
}

static void binary_ply_is_read(void)
{
    for (int kind = 0; kind < 4; kind++) {
        hw_buffer b = binary_ply(kind & 1, kind & 2);
        hw_mesh_file f;
        CHECK(hw_ply_read(arena, (hw_text){b.at, b.len}, "p", NULL, NULL, &f) == HW_OK);
        CHECK(!f.text && f.flat == 0);
        // z was written as twice itself
        for (size_t v = 0; v < f.mesh.verts; v++) f.mesh.at[v][2] *= 0.5f;
        is_pyramid(&f);
        // cut anywhere it is refused
        for (size_t n = 0; n < b.len; n += 1)
            CHECK(hw_ply_read(arena, (hw_text){b.at, n}, "p", NULL, NULL, &f) == HW_BAD_INPUT);
        CHECK(f.mesh.at == NULL && f.mesh.tris == 0);
    }
}

static const char ascii_ply[] = "ply\nformat ascii 1.0\nobj_info 3 words here\n"
                                "element vertex 8\nproperty float x\nproperty float y\n"
                                "property float z\nproperty float quality\nelement face 6\n"
                                "property list uchar int vertex_index\nend_header\n"
                                "0 0 0 1\n2 0 0 1\n2 2 0 1\n0 2 -0 .5\n1 1 15e-1 1\n"
                                "9 9 9 0\n" // nobody's
                                "0 0 0 1\n-0.0 2 0 1\n"
                                "4 0 3 2 1\n3 6 1 4\n3 1 2 4\n3 2 7 4\n3 3 0 4\n3 0 6 1\n";

static void ascii_ply_is_read(void)
{
    hw_mesh_file f;
    CHECK(hw_ply_read(arena, HW_TEXT(ascii_ply), "p", NULL, NULL, &f) == HW_OK);
    CHECK(f.text && f.flat == 1); // the last face has the same place twice
    is_pyramid(&f);
}

// ---- OBJ --------------------------------------------------------------------------------------

static const char obj_file[] =
    "# a pyramid\r\nmtllib none.mtl\no it\nv 0 0 0 1.0\r\nv 2 0 0\n  v\t2 2 0 0.5 0.5 0.5\nvn 0 0 "
    "1\n"
    "vt 0 0\nv 0 2 0\n"
    "f 1/1/1 4//1 3/1 2\n" // before the apex
    "v 1 1 \\\n  15e-1\ng sides\nusemtl x\nf 1 2 -1\nf 2 3 \\\r\n -1\nf -3 -2 -1\n"
    "v 9 9 9\nf 4 1 5\ns off\nvp 1\nf 1 1 2\n\n";

static void obj_is_read(void)
{
    hw_mesh_file f;
    CHECK(hw_obj_read(arena, HW_TEXT(obj_file), "o", NULL, NULL, &f) == HW_OK);
    CHECK(f.text && f.flat == 1);
    is_pyramid(&f);
}

static void the_reader_that_fits(void)
{
    hw_mesh_file f;
    hw_diag item[2];
    hw_diags d = {item, 0, 2, 0};
    CHECK(hw_mesh_read(arena, HW_TEXT(obj_file), "some/HAND.OBJ", NULL, NULL, &f) == HW_OK);
    is_pyramid(&f);
    CHECK(hw_mesh_read(arena, HW_TEXT(ascii_ply), "hand.obj", NULL, NULL, &f) == HW_OK);
    is_pyramid(&f);
    hw_float_mesh copy = f.mesh;
    hw_buffer b = {.arena = arena};
    CHECK(hw_stl_write(&copy, "x", &b) == HW_OK);
    CHECK(hw_mesh_read(arena, (hw_text){b.at, b.len}, NULL, NULL, NULL, &f) == HW_OK);
    is_pyramid(&f);
    CHECK(hw_mesh_read(arena, HW_TEXT(obj_file), "hand", &d, NULL, &f) == HW_BAD_INPUT);
    SAME_TEXT(item[0].file, "hand");
    CHECK(hw_mesh_read(arena, (hw_text){0}, "none.ply", &d, NULL, &f) == HW_BAD_INPUT);
    SAME_TEXT(item[1].text, "the file is empty");
}

// ---- what is broken ---------------------------------------------------------------------------

typedef struct fault {
    const char *text;
    int line, column;
    const char *says, *found, *expected;
} fault;

static void refused(reader read, const fault *f)
{
    hw_diag item[4];
    hw_diags d = {item, 0, 4, 0};
    hw_mesh_file m;
    if (!CHECK(read(arena, hw_text_of(f->text), "scan", &d, NULL, &m) == HW_BAD_INPUT) ||
        !CHECK(d.count == 1)) {
        printf("    of: %s\n", f->text);
        return;
    }
    CHECK(m.mesh.tris == 0 && m.mesh.at == NULL);
    if (!CHECK(item[0].line == f->line && item[0].column == f->column))
        printf("    %d:%d of %s\n", item[0].line, item[0].column, f->says);
    SAME_TEXT(item[0].text, f->says);
    SAME_TEXT(item[0].found, f->found);
    SAME_TEXT(item[0].expected, f->expected);
}

#define HEAD "ply\nformat ascii 1.0\n"
#define XYZ  "property float x\nproperty float y\nproperty float z\n"
#define LIST "property list uchar int vertex_indices\n"
#define FULL HEAD "element vertex 3\n" XYZ "element face 1\n" LIST "end_header\n"

static void broken_ply(void)
{
    static const char header[] = "is not how a PLY header goes on";
    static const fault list[] = {
        {"", 1, 1, "is not a PLY file", "", "ply"},
        {"plx\n", 1, 1, "is not a PLY file", "plx", "ply"},
        {"ply", 1, 4, "the file is cut off", "", "format"},
        {"ply\nformat text 1.0", 2, 8, header, "text",
         "ascii, binary_little_endian or binary_big_endian"},
        {"ply\nformat ascii 2.0", 2, 14, header, "2.0", "1.0"},
        {HEAD "vertex 3", 3, 1, header, "vertex", "element, property or end_header"},
        {HEAD "property float x", 3, 1, "comes before any element", "property", "element"},
        {HEAD "element vertex -3\n", 3, 16, "is no count of elements", "-3", "a count"},
        {HEAD "element vertex many\n", 3, 16, "is not a number", "many", "a count"},
        {HEAD "element vertex 3\nproperty real x\n", 4, 10, header, "real",
         "a type, such as float or int"},
        {HEAD "element vertex 3\n" XYZ "end_header\n", 0, 0, "the file has points, but no faces",
         "", "element face"},
        {HEAD "element face 1\n" LIST "element vertex 3\n" XYZ "end_header\n", 0, 0,
         "the faces come before their vertices", "element face", "element vertex"},
        {HEAD "element vertex 3\nproperty float x\nelement face 1\n" LIST "end_header\n", 0, 0,
         "the vertices have no three coordinates", "", "properties x, y and z"},
        {HEAD "element vertex 3\n" XYZ "element face 1\nproperty int a\nend_header\n", 0, 0,
         "the faces do not say their corners", "", "property list ... vertex_indices"},
        {FULL "0 0 0 1 0 0 0 1", 0, 0, "the file ends in number 3 of 3 of element \"vertex\"", "",
         ""},
        {FULL "0 0 0 1 0 0 0 1 0\n3 0 1", 0, 0,
         "the file ends in number 1 of 1 of element \"face\"", "", ""},
        {FULL "0 0 0 1 0 0 0 1,5 0\n3 0 1 2", 10, 15, "is not a number", "1,5", "a number"},
        {FULL "0 0 0 1 0 0 0 1e39 0\n3 0 1 2", 10, 15, "is not a number", "1e39", "a number"},
        {FULL "0 0 0 1 0 0 0 1 0\n3 0 1 3", 11, 7, "number 1 of element \"face\" (byte 178)", "3",
         "a vertex, 0 to 2"},
        {FULL "0 0 0 1 0 0 0 1 0\n3 0 1 -1", 11, 7, "number 1 of element \"face\" (byte 178)", "-1",
         "a vertex, 0 to 2"},
        {FULL "0 0 0 1 0 0 0 1 0\n1.5 0", 11, 1, "number 1 of element \"face\" (byte 172)", "1.5",
         "the length of a list"},
        {FULL "0 0 0 1 0 0 0 0 0\n3 0 1 2", 0, 0, "the file holds no triangle with an area", "",
         ""},
        {FULL "0 0 0 1 0 0 0 1 0\n2 0 1", 0, 0, "the file holds no triangle", "", ""},
        // counts of the header that are not the file's
        {FULL "0 0 0 1 0 0 0\n1 0 3\n3 0 1 2", 11, 5, "number 3 of 3 of element \"vertex\" goes on",
         "3", "the end of the line"},
        {FULL "0 0 0 1 0 0 0 1 0\n3 0 1 2\n3 0 2 1\n", 12, 1,
         "the file goes on after its last element (byte 180 of 188)", "3",
         "the end of the file, by the header's counts"},
    };
    for (size_t i = 0; i < sizeof list / sizeof *list; i++) refused(hw_ply_read, &list[i]);
}

static void broken_obj(void)
{
    static const fault list[] = {
        {"", 0, 0, "the file holds no triangle", "", ""},
        {"v 1 2 3\nv 1 2\n", 2, 6, "the vertex is cut off", "", "three coordinates"},
        {"v 1 2 3m\n", 1, 7, "is not a number", "3m", "a coordinate"},
        {"v 1 2 nan\n", 1, 7, "is not a number", "nan", "a coordinate"},
        {"v 0 0 0\nv 1 0 0\nv 0 1 0\nf 1 2\n", 4, 6, "the face is cut off", "",
         "three corners or more"},
        {"v 0 0 0\nv 1 0 0\nv 0 1 0\nf 1 2 4\n", 4, 7, "there is no such vertex", "4",
         "a vertex, 1 to 3 so far"},
        {"v 0 0 0\nv 1 0 0\nv 0 1 0\nf 1 2 0\n", 4, 7, "there is no such vertex", "0",
         "a vertex, 1 to 3 so far"},
        {"v 0 0 0\nv 1 0 0\nv 0 1 0\nf 1 -4 3\n", 4, 5, "there is no such vertex", "-4",
         "a vertex, 1 to 3 so far"},
        {"v 0 0 0\nf 1 2/x 1\n", 2, 5, "there is no such vertex", "2/x", "a vertex, 1 to 1 so far"},
        {"v 0 0 0\nf 1 x 1\n", 2, 5, "is not a corner", "x", "a vertex, 1 to 1 so far"},
    };
    for (size_t i = 0; i < sizeof list / sizeof *list; i++) refused(hw_obj_read, &list[i]);
}

static void broken_binary_ply(void)
{
    static const char head[] = "ply\nformat binary_little_endian 1.0\nelement vertex 3\n" XYZ
                               "element face 1\n" LIST "end_header\n";
    hw_buffer b = {.arena = arena};
    hw_diag item[4];
    hw_diags d = {item, 0, 4, 0};
    hw_mesh_file f;
    hw_buffer_puts(&b, head);
    for (int v = 0; v < 3; v++)
        for (int k = 0; k < 3; k++) put_bytes(&b, &corner[v][k], 4, false);
    size_t faces = b.len;
    put_bytes(&b, "\3", 1, false);
    for (uint32_t k = 0; k < 3; k++) put_bytes(&b, &k, 4, false);
    CHECK(hw_ply_read(arena, (hw_text){b.at, b.len}, "p", &d, NULL, &f) == HW_OK);
    memcpy(b.at + faces + 5, "\3\0\0\0", 4);
    CHECK(hw_ply_read(arena, (hw_text){b.at, b.len}, "p", &d, NULL, &f) == HW_BAD_INPUT);
    char says[80];
    snprintf(says, sizeof says, "number 1 of element \"face\" (byte %zu)", faces + 5);
    SAME_TEXT(item[0].text, says);
    SAME_TEXT(item[0].found, "3");
    memcpy(b.at + faces - 4, "\0\0\xc0\x7f", 4); // NaN
    CHECK(hw_ply_read(arena, (hw_text){b.at, b.len}, "p", &d, NULL, &f) == HW_BAD_INPUT);
    SAME_TEXT(item[1].found, "nan");
    SAME_TEXT(item[1].expected, "a coordinate");
    CHECK(item[1].line == 0);
}

static bool stop(void *self, double fraction, const char *stage)
{
    (void)stage;
    *(double *)self = fraction;
    return false;
}

static void limits(void)
{
    static const char many[] =
        HEAD "element vertex 6000001\n" XYZ "element face 1\n" LIST "end_header\n0 0 0\n";
    hw_mesh_file f;
    CHECK(hw_ply_read(arena, HW_TEXT(many), "p", NULL, NULL, &f) == HW_LIMIT);
    // one face of more corners than can be taken
    size_t n = HW_MESH_TRIANGLES + 3;
    char *text = calloc(60 + 4 * n, 1);
    if (!CHECK(text != NULL)) return;
    char *at = text + snprintf(text, 60, "v 0 0 0\nv 1 0 0\nv 0 1 0\nf 1");
    for (size_t k = 1; k < n; k++) at += snprintf(at, 4, " %c", k & 1 ? '2' : '3');
    CHECK(hw_obj_read(arena, hw_text_of(text), "o", NULL, NULL, &f) == HW_LIMIT);
    at[-2] = '\0';
    CHECK(hw_obj_read(arena, hw_text_of(text), "o", NULL, NULL, &f) == HW_OK);
    CHECK(f.mesh.tris == HW_MESH_TRIANGLES);
    free(text);
    static const struct {
        reader read;
        const char *text;
    } each[] = {{hw_ply_read, ascii_ply}, {hw_obj_read, obj_file}};
    for (int i = 0; i < 2; i++) {
        double fraction = 7;
        hw_job job = {stop, &fraction};
        hw_text t = hw_text_of(each[i].text);
        CHECK(each[i].read(arena, t, "x", NULL, &job, &f) == HW_CANCELLED);
        CHECK(fraction >= 0 && fraction < 1 && f.mesh.at == NULL);
        for (size_t k = 0; k < 5; k++) {
            hw_arena *a = hw_arena_new(0);
            hw_arena_fail_after(a, k);
            CHECK(each[i].read(a, t, "x", NULL, NULL, &f) == HW_NO_MEMORY);
            hw_arena_free(a);
        }
    }
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    arena = hw_arena_new(0);
    RUN(binary_ply_is_read);
    RUN(ascii_ply_is_read);
    RUN(obj_is_read);
    RUN(the_reader_that_fits);
    RUN(broken_ply);
    RUN(broken_obj);
    RUN(broken_binary_ply);
    RUN(limits);
    hw_arena_free(arena);
    return TEST_END();
}
