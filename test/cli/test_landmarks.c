// landmarks and new --landmarks from end to end: a made-up hand in files of each format, JSON
// against docs/schema, bad files by their words.
#include "drive.h"
#include "folder.h"
#include "schema.h"

#include "../anatomy/made_hand.h"
#include "design/design.h"
#include "files/files.h"

#include <sys/stat.h>

static char line[800];
static made_hand hand;

static void path_of(char out[300], const char *name)
{
    snprintf(out, 300, "%s/%s", folder_path, name);
}

static void put_stl(const char *name, double scale)
{
    hw_arena *a = hw_arena_new(0);
    hw_buffer b = {.arena = a};
    hw_float_mesh m = made_mesh(&hand);
    float(*at)[3] = hw_arena_alloc(a, m.verts, sizeof *at, _Alignof(float));
    for (size_t v = 0; v < m.verts; v++)
        for (int c = 0; c < 3; c++) at[v][c] = (float)(scale * (double)m.at[v][c]);
    m.at = at;
    CHECK(hw_stl_write(&m, "hand", &b) == HW_OK);
    folder_write(name, b.at, b.len);
    hw_arena_free(a);
}

static void put_obj(const char *name)
{
    char path[300];
    path_of(path, name);
    FILE *f = fopen(path, "wb");
    if (!CHECK(f != NULL)) return;
    for (size_t v = 0; v < hand.verts; v++)
        fprintf(f, "v %.4f %.4f %.4f\n", (double)hand.at[v][0], (double)hand.at[v][1],
                (double)hand.at[v][2]);
    for (size_t t = 0; t < hand.tris; t++)
        fprintf(f, "f %u %u %u\n", hand.tri[3 * t] + 1, hand.tri[3 * t + 1] + 1,
                hand.tri[3 * t + 2] + 1);
    CHECK(fclose(f) == 0);
}

typedef enum ply_kind { PLY_ASCII, PLY_LITTLE, PLY_BIG } ply_kind;

static void put_bytes(FILE *f, uint32_t v, ply_kind kind)
{
    for (int k = 0; k < 4; k++)
        (void)fputc((int)(v >> (kind == PLY_BIG ? 24 - 8 * k : 8 * k) & 255), f);
}

// With a property that nobody asked for, as scanners write them; the list's count is a byte.
static void put_ply(const char *name, ply_kind kind)
{
    static const char *const word[] = {"ascii", "binary_little_endian", "binary_big_endian"};
    char path[300];
    path_of(path, name);
    FILE *f = fopen(path, "wb");
    if (!CHECK(f != NULL)) return;
    fprintf(f,
            "ply\nformat %s 1.0\ncomment made up\nelement vertex %zu\nproperty float x\n"
            "property float y\nproperty float z\nproperty uchar quality\nelement face %zu\n"
            "property list uchar int vertex_indices\nend_header\n",
            word[kind], hand.verts, hand.tris);
    for (size_t v = 0; v < hand.verts; v++) {
        if (kind == PLY_ASCII)
            fprintf(f, "%.9g %.9g %.9g 7\n", (double)hand.at[v][0], (double)hand.at[v][1],
                    (double)hand.at[v][2]);
        for (int c = 0; c < 3 && kind != PLY_ASCII; c++) {
            uint32_t bits;
            memcpy(&bits, &hand.at[v][c], sizeof bits);
            put_bytes(f, bits, kind);
        }
        if (kind != PLY_ASCII) (void)fputc(7, f);
    }
    for (size_t i = 0; i < hand.tris; i++) {
        const uint32_t *tri = &hand.tri[3 * i];
        if (kind == PLY_ASCII)
            fprintf(f, "3 %u %u %u\n", tri[0], tri[1], tri[2]);
        else
            (void)fputc(3, f);
        for (int c = 0; c < 3 && kind != PLY_ASCII; c++) put_bytes(f, tri[c], kind);
    }
    CHECK(fclose(f) == 0);
}

// STL as text, and an OBJ that counts corners back from the last vertex and has no rounding.
static void put_text(const char *name, bool obj)
{
    char path[300];
    path_of(path, name);
    FILE *f = fopen(path, "wb");
    if (!CHECK(f != NULL)) return;
    if (!obj) fprintf(f, "solid hand\n");
    for (size_t v = 0; obj && v < hand.verts; v++)
        fprintf(f, "v %.9g %.9g %.9g\n", (double)hand.at[v][0], (double)hand.at[v][1],
                (double)hand.at[v][2]);
    if (obj) fprintf(f, "vn 0 0 1\nvt 0 0\n");
    for (size_t i = 0; i < hand.tris; i++) {
        const uint32_t *tri = &hand.tri[3 * i];
        long back[3];
        for (int c = 0; c < 3; c++) back[c] = (long)tri[c] - (long)hand.verts;
        if (obj)
            fprintf(f, "f %ld/1/1 %ld//1 %ld\n", back[0], back[1], back[2]);
        else
            fprintf(f, "facet normal 0 0 0\nouter loop\n");
        for (int c = 0; c < 3 && !obj; c++)
            fprintf(f, "vertex %.9g %.9g %.9g\n", (double)hand.at[tri[c]][0],
                    (double)hand.at[tri[c]][1], (double)hand.at[tri[c]][2]);
        if (!obj) fprintf(f, "endloop\nendfacet\n");
    }
    if (!obj) fprintf(f, "endsolid hand\n");
    CHECK(fclose(f) == 0);
}

static void put_picks(const char *name, double scale, const char *head)
{
    static const char *const face[] = {"dorsal", "palmar"};
    char path[300];
    path_of(path, name);
    FILE *f = fopen(path, "wb");
    if (!CHECK(f != NULL)) return;
    fprintf(f, "# picked\n%s", head);
    for (int m = 0; m < HW_MARKS; m++)
        for (int k = 0; k < HW_FACES; k++) {
            const hw_pick *p = &hand.picks.pick[m][k];
            bool tip = m > 0 && (m - 1) % 4 == 3;
            if (p->line)
                fprintf(f, "%s %s %.7f %.7f %.7f\n", hw_mark_name(m), tip ? "" : face[k],
                        scale * p->at.x, scale * p->at.y, scale * p->at.z);
        }
    CHECK(fclose(f) == 0);
}

static const char *command(const char *verb, const char *mesh, const char *picks, const char *more)
{
    snprintf(line, sizeof line, "%s %s/%s %s/%s%s", verb, folder_path, mesh, folder_path, picks,
             more);
    return line;
}

static double number_of(const json_t *j, const char *key, const char *part)
{
    const json_t *o = json_object_get(j, key);
    return json_number_value(part ? json_object_get(o, part) : o);
}

static void every_format_says_the_same(void)
{
    DRIVE(command("landmarks", "hand.stl", "picks.txt", ""), HW_EXIT_HOLDS, "Right hand, ",
          "does not say its unit: mm is assumed");
    DRIVE(command("landmarks", "hand.obj", "picks.txt", ""), HW_EXIT_HOLDS,
          "assumed: in the palm's plane", "note: ");
    DRIVE(command("landmarks", "metres.stl", "metres.txt", ""), HW_EXIT_HOLDS, "triangles in m\n",
          NULL);
    static const char *const files[3][2] = {
        {"hand.stl", "picks.txt"}, {"hand.obj", "picks.txt"}, {"metres.stl", "metres.txt"}};
    double length[3] = {0}, part[3] = {0};
    for (int k = 0; k < 3; k++) {
        drive d = drive_run(command("landmarks", files[k][0], files[k][1], " --json"));
        json_t *j = schema_check(d.out, "landmarks");
        if (CHECK(j != NULL && d.status == HW_EXIT_HOLDS)) {
            length[k] = number_of(j, "length", "value");
            const json_t *digit = json_array_get(json_object_get(j, "digits"), 2);
            SAME_TEXT(json_string_value(json_object_get(digit, "digit")), "middle");
            const json_t *row = json_object_get(digit, "segments_mm");
            part[k] = json_number_value(json_array_get(row, 0));
            CHECK(json_array_size(json_object_get(j, "marks")) == HW_MARKS);
            CHECK(json_is_true(json_object_get(j, "unit_assumed")) == (k < 2));
        }
        json_decref(j);
        drive_free(&d);
    }
    for (int k = 1; k < 3; k++) {
        NEAR(length[k], length[0], 0.05); // files round, and a ray may then find a hole
        NEAR(part[k], part[0], 0.05);
    }
    CHECK(length[0] > 170 && length[0] < 205);
}

// Every number in the answer, in order; the counts of corners, which formats tell apart, left out.
static size_t numbers_of(const json_t *j, double out[], size_t most)
{
    size_t n = 0, i;
    const char *key;
    json_t *part;
    if (json_is_number(j) && most > 0) {
        out[0] = json_number_value(j);
        return 1;
    }
    json_array_foreach(j, i, part) n += numbers_of(part, out + n, most - n);
    json_object_foreach((json_t *)(uintptr_t)j, key, part) if (strcmp(key, "mesh") != 0) n +=
        numbers_of(part, out + n, most - n);
    return n;
}

// The same floats in every form that a scanner writes, through landmarks and through new: every
// number of the answer as the binary STL gives it, and every byte of the document but the name.
static void forms_of_the_same_floats(void)
{
    enum { MOST = 4000 };
    static const char *const name[] = {"hand.stl",   "text.stl", "ascii.ply",
                                       "little.ply", "big.ply",  "back.obj"};
    static double want[MOST], got[MOST];
    size_t wanted = 0;
    char *document = NULL;
    put_text("text.stl", false);
    put_ply("ascii.ply", PLY_ASCII);
    put_ply("little.ply", PLY_LITTLE);
    put_ply("big.ply", PLY_BIG);
    put_text("back.obj", true);
    for (size_t k = 0; k < sizeof name / sizeof *name; k++) {
        drive d = drive_run(command("landmarks", name[k], "picks.txt", " --json"));
        json_t *j = schema_check(d.out, "landmarks");
        CHECK(d.status == HW_EXIT_HOLDS);
        const size_t n = numbers_of(j, k ? got : want, MOST);
        if (k == 0) wanted = n;
        CHECK(n == wanted && n > 300 && n < MOST);
        // corners and triangles come in other orders, and rays that meet an edge may take either
        for (size_t i = 0; i < n && k; i++)
            if (!NEAR(got[i], want[i], 1e-3 + 1e-3 * fabs(want[i])))
                printf("    %s: %zu\n", name[k], i);
        json_decref(j);
        drive_free(&d);
        snprintf(line, sizeof line, "new --scan %s/%s --landmarks %s/picks.txt", folder_path,
                 name[k], folder_path);
        d = drive_run(line);
        CHECK(d.status == HW_EXIT_HOLDS && d.out);
        if (k == 0) {
            document = d.out;
            d.out = NULL;
        } else
            SAME_TEXT(d.out, document);
        drive_free(&d);
    }
    free(document);
}

static void a_folder_of_it(void)
{
    char more[400];
    snprintf(more, sizeof more, " -o %s/out", folder_path);
    DRIVE(command("landmarks", "hand.stl", "picks.txt", more), HW_EXIT_HOLDS, "out/sections.pdf",
          "note");
    snprintf(line, sizeof line, "%s/out/landmarks.json", folder_path);
    struct stat st;
    CHECK(stat(line, &st) == 0 && st.st_size > 1000);
    char *svg = folder_read("out/sections.svg");
    CHECK(svg && strstr(svg, "Scanned hand in sections") && !strstr(svg, "heron"));
    free(svg);
    // with a design over it
    snprintf(more, sizeof more, " %s/examples/heron.yaml -o %s/out", HW_SOURCE_DIR, folder_path);
    DRIVE(command("landmarks", "hand.stl", "picks.txt", more), HW_EXIT_HOLDS, "out/sections.pdf",
          "note");
    svg = folder_read("out/sections.svg");
    CHECK(svg && strstr(svg, "heron.yaml") && strstr(svg, "In colour"));
    free(svg);
    DRIVE(command("landmarks", "hand.stl", "picks.txt", " none.yaml"), HW_EXIT_INPUT, NULL,
          "none.yaml: cannot be read");
    snprintf(line, sizeof line, "rm -r %s/out", folder_path);
    CHECK(system(line) == 0);
}

// The document says what was measured, and is read again.
static void a_document_of_it(void)
{
    char words[600], of_index[80];
    snprintf(line, sizeof line, "new --scan %s/hand.stl --landmarks %s/picks.txt", folder_path,
             folder_path);
    drive d = drive_run(line);
    CHECK(d.status == HW_EXIT_HOLDS && drive_has(d.out, "Lengths were measured on a scan"));
    hw_arena *a = hw_arena_new(0);
    hw_diag item[4];
    hw_diags diags = {item, 0, 4, 0};
    hw_read_def def = {.file = "starter"};
    hw_design *design = NULL;
    CHECK(hw_design_read(a, hw_text_of(d.out), &def, &design, &diags) == HW_OK);
    drive j = drive_run(command("landmarks", "hand.stl", "picks.txt", " --json"));
    json_t *answer = json_loads(j.out, 0, NULL);
    if (CHECK(design && answer)) {
        double want = number_of(answer, "length", "value") * 1e-3;
        NEAR(hw_design_value(design, HW_E_HAND_LENGTH), want, 0.051e-3); // in tenths of mm
        NEAR(hw_design_value(design, HW_E_HAND_BREADTH),
             number_of(answer, "breadth", "value") * 1e-3, 0.051e-3);
        for (int digit = 0; digit < HW_DIGITS; digit++)
            for (int i = 0; i < 3; i++) {
                hw_entry_id row = (hw_entry_id)(HW_E_PHALANX_PROXIMAL + i);
                const json_t *one =
                    json_array_get(json_object_get(answer, "digits"), (size_t)digit);
                const json_t *v = json_array_get(json_object_get(one, "segments_mm"), (size_t)i);
                NEAR(hw_design_value(design, hw_entry_of(row, digit)), json_number_value(v) * 1e-3,
                     0.051e-3);
            }
        for (int digit = 1; digit < HW_DIGITS; digit++) { // knuckles, and where fingers point
            const json_t *one = json_array_get(json_object_get(answer, "digits"), (size_t)digit);
            const json_t *at = json_object_get(json_object_get(one, "knuckle"), "at_mm");
            for (int i = 0; i < 3; i++) {
                hw_entry_id row = (hw_entry_id)(HW_E_KNUCKLE_X + i);
                NEAR(hw_design_value(design, hw_entry_of(row, digit)),
                     json_number_value(json_array_get(at, (size_t)i)) * 1e-3, 0.051e-3);
            }
            double turn = hw_design_value(design, hw_entry_of(HW_E_KNUCKLE_TURN, digit));
            NEAR(turn * 180 / HW_PI, number_of(json_object_get(one, "pointing"), "value", NULL),
                 0.051);
        }
        const json_t *index = json_array_get(json_object_get(answer, "digits"), 1);
        const json_t *off = json_array_get(json_object_get(index, "segments_off_95_mm"), 0);
        snprintf(of_index, sizeof of_index, "; scanned, good to %.1f mm\n", json_number_value(off));
        CHECK(drive_has(d.out, of_index));
    }
    json_decref(answer);
    drive_free(&j);
    drive_free(&d);
    hw_arena_free(a);
    // what is said by hand goes first; what cannot be together is refused
    snprintf(words, sizeof words, "new --scan %s/hand.stl --landmarks %s/picks.txt --length 200mm",
             folder_path, folder_path);
    DRIVE(words, HW_EXIT_HOLDS, "length: 200 mm", "note");
    snprintf(words, sizeof words, "new --scan %s/hand.stl --landmarks %s/picks.txt --side left",
             folder_path, folder_path);
    DRIVE(words, HW_EXIT_INPUT, NULL, "is a right hand");
    DRIVE("new --scan x.stl", HW_EXIT_INPUT, NULL, "\"--scan\" needs \"--landmarks\"");
    DRIVE("new --landmarks x", HW_EXIT_INPUT, NULL, "\"--landmarks\" needs \"--scan\"");
    DRIVE("new --landmarks /none --scan x", HW_EXIT_INPUT, NULL, "/none: cannot be read");
}

static void bad_files(void)
{
    DRIVE(command("landmarks", "none.stl", "picks.txt", ""), HW_EXIT_INPUT, NULL,
          "none.stl: cannot be read: No such file");
    folder_write("typo.txt", "wrist dorsal 1 2 3\nindex.mpc dorsal 1 2 3\n", 42);
    DRIVE(command("landmarks", "hand.stl", "typo.txt", ""), HW_EXIT_INPUT, NULL,
          "typo.txt:2:1: is not known here; found index.mpc, expected index.mcp");
    folder_write("few.txt", "wrist dorsal 1 2 3\n", 19);
    DRIVE(command("landmarks", "hand.stl", "few.txt", ""), HW_EXIT_INPUT, NULL,
          "middle.mcp is not picked");
    folder_write("cut.ply", "ply\nformat ascii 1.0\nelement vertex 3\n", 38);
    DRIVE(command("landmarks", "cut.ply", "picks.txt", ""), HW_EXIT_INPUT, NULL,
          "cut.ply:4:1: the file is cut off");
    folder_write("empty.obj", "# nothing\n", 10);
    DRIVE(command("landmarks", "empty.obj", "picks.txt", ""), HW_EXIT_INPUT, NULL,
          "empty.obj: the file holds no triangle");
    // picks in metres, a mesh in millimetres
    DRIVE(command("landmarks", "hand.stl", "metres.txt", ""), HW_EXIT_INPUT, NULL,
          "is picked off the surface");
    DRIVE(command("landmarks", "metres.stl", "picks.txt", ""), HW_EXIT_INPUT, NULL,
          "no pick lies on this mesh: are they in its own unit");
    put_picks("wrong.txt", 1, "unit m\n");
    DRIVE(command("landmarks", "hand.stl", "wrong.txt", ""), HW_EXIT_INPUT, NULL,
          "wrong.txt:2: the unit makes no hand of it; found a hand of");
    put_picks("left.txt", 1, "side left\n");
    DRIVE(command("landmarks", "hand.stl", "left.txt", ""), HW_EXIT_INPUT, NULL,
          "left.txt:2: the side is another one");
    // 2 GB: by its size, before a byte is read
    char path[300];
    path_of(path, "large.stl");
    FILE *f = fopen(path, "wb");
    CHECK(f != NULL && ftruncate(fileno(f), (off_t)2000000000) == 0);
    if (f) fclose(f);
    DRIVE(command("landmarks", "large.stl", "picks.txt", ""), HW_EXIT_INPUT, NULL,
          "large.stl: the file is too large; found more than 640 MiB, expected a mesh of at most 2 "
          "million triangles");
    path_of(path, "large.txt");
    f = fopen(path, "wb");
    CHECK(f != NULL && ftruncate(fileno(f), (off_t)2000000000) == 0);
    if (f) fclose(f);
    DRIVE(command("landmarks", "hand.stl", "large.txt", ""), HW_EXIT_INPUT, NULL,
          "large.txt: the file is too large; found more than 16 MiB, expected a design document or "
          "other text");
    DRIVE("landmarks", HW_EXIT_INPUT, NULL, "handwright landmarks");
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    if (!folder_new()) return 1;
    made_def def = made_def_usual(187);
    def.cell = 2.6;
    def.bend = 0.25; // some digits straight, some bent
    made_hand_new(&hand, &def, 3);
    put_stl("hand.stl", 1);
    put_stl("metres.stl", 1e-3);
    put_obj("hand.obj");
    put_picks("picks.txt", 1, "");
    put_picks("metres.txt", 1e-3, "unit m\naccuracy 2 mm\n");
    RUN(every_format_says_the_same);
    RUN(forms_of_the_same_floats);
    RUN(a_folder_of_it);
    RUN(a_document_of_it);
    RUN(bad_files);
    snprintf(line, sizeof line, "rm -r %s", folder_path);
    if (getenv("HW_KEEP_FILES"))
        printf("kept: %s\n", folder_path);
    else
        CHECK(system(line) == 0);
    made_hand_free(&hand);
    return TEST_END();
}
