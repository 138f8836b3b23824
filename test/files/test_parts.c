// The examples' digits as files, read by libraries that know the formats: STL without crossings
// (CGAL), outlines that rebuild the part (manifold-3d), DXF without faults (ezdxf). `many`: every
// digit at fine quality instead of one each at coarse.
#include "../parts/group.h"
#include "parts/palm.h"
#include "support.h"

#include <dirent.h>
#include <sys/wait.h>
#include <unistd.h>

static bool many;
static char folder[] = "/tmp/hw-parts-XXXXXX";
enum { COMMAND = 1 << 16 };

static void put_file(const char *name, const hw_buffer *b)
{
    char path[200];
    snprintf(path, sizeof path, "%s/%s", folder, name);
    FILE *f = fopen(path, "wb");
    if (!CHECK(f != NULL)) return;
    CHECK(fwrite(b->at, 1, b->len, f) == b->len);
    CHECK(fclose(f) == 0);
}

// Runs a command in the folder of the files; what it prints is shown where it is not as expected.
static void judged(const char *command, int want)
{
    char line[COMMAND + 100];
    snprintf(line, sizeof line, "cd %s && timeout 300 %s > judged.txt 2>&1", folder, command);
    int status = system(line);
    if (CHECK(WIFEXITED(status) && WEXITSTATUS(status) == want)) return;
    snprintf(line, sizeof line, "cut -c1-200 %s/judged.txt | tail -n 20", folder);
    CHECK(system(line) == 0);
}

// "index middle phalanx" -> "heron-index-middle-phalanx".
static void file_name(const char *example_name, const char *part, char out[100])
{
    snprintf(out, 100, "%s-%s", example_name, part);
    for (char *p = out; *p; p++)
        if (*p == ' ') *p = '-';
}

static void write_stl(group *g, size_t i, const char *name)
{
    char file[120];
    hw_buffer b = {.arena = g->keep}, again = {.arena = g->keep};
    CHECK(hw_stl_write(&g->file[i], g->set.part[i].name, &b) == HW_OK);
    CHECK(hw_stl_write(&g->file[i], g->set.part[i].name, &again) == HW_OK);
    CHECK(b.len == again.len && memcmp(b.at, again.at, b.len) == 0);
    snprintf(file, sizeof file, "%s.stl", name);
    put_file(file, &b);
}

static void each_digit(const char *name, void (*one)(group *g, const char *name))
{
    for (int digit = 0; digit < 5; digit++) {
        if (!many && digit != 1) continue; // the index
        group g = group_new();
        hw_design *d = example(g.keep, name, "");
        if (d && hand_of(d)->present[digit] && group_make(&g, d, digit, many ? 5e-6 : 5e-5))
            one(&g, name);
        group_free(&g);
    }
}

static char command[COMMAND];
static size_t files;

static void add_stl(group *g, const char *example_name)
{
    for (size_t i = 0; i < g->set.parts; i++) {
        char name[100];
        file_name(example_name, g->set.part[i].name, name);
        write_stl(g, i, name);
        size_t n = strlen(command);
        snprintf(command + n, sizeof command - n, " '%s.stl'", name);
        files++;
    }
}

static void no_triangles_cross(void)
{
    snprintf(command, sizeof command, "%s", HW_CROSSING);
    files = 0;
    each_digit("heron", add_stl);
    each_digit("wren", add_stl);
    CHECK(files >= (many ? 40 : 10));
    judged(command, 0);
}

static void add_marched(hw_arena *a, hw_arena *work, const char *prefix, const hw_palm_part *p)
{
    hw_field_mesh_def f = hw_field_mesh_def_default();
    hw_field_made made;
    hw_mesh mesh;
    hw_float_mesh file;
    hw_buffer b = {.arena = a};
    char name[120], whole[140];
    f.cell = many ? 0.35e-3 : 2e-3;
    f.deviation = f.cell / 7;
    CHECK(hw_field_mesh(a, work, p->field, &f, NULL, &mesh, &made) == HW_OK);
    CHECK(hw_mesh_to_float(a, &mesh, 1e-3, &file) == HW_OK);
    CHECK(hw_stl_write(&file, p->name, &b) == HW_OK);
    file_name(prefix, p->name, name);
    snprintf(whole, sizeof whole, "%s.stl", name);
    put_file(whole, &b);
    size_t n = strlen(command);
    snprintf(command + n, sizeof command - n, " '%s'", whole);
}

// Palm, forearm and stand are marched, not joined: the same judge; of the palm that nobody
// described the thumb's seat.
static void no_bodies_cross(void)
{
    hw_arena *a = hw_arena_new(0), *work = hw_arena_new(1 << 20);
    hw_design *d = example(a, "heron", "");
    hw_hand *hand = HW_NEW(a, hw_hand, 1);
    hw_palm_parts_def *def = HW_NEW(a, hw_palm_parts_def, 1);
    hw_palm_parts *palm = HW_NEW(a, hw_palm_parts, 1);
    const char *fault = NULL;
    if (!CHECK(d && hand && def && palm)) return;
    hw_hand_build(d, hand);
    hw_hand_palm_parts(d, hand, def);
    CHECK(hw_palm_parts_of(a, def, palm, &fault) == HW_OK && palm->parts >= 9);
    snprintf(command, sizeof command, "%s", HW_CROSSING);
    for (size_t i = 0; i < palm->parts; i++) add_marched(a, work, "heron", &palm->part[i]);
    *def = hw_palm_parts_def_default();
    CHECK(hw_palm_parts_of(a, def, palm, &fault) == HW_OK);
    size_t seats = 0;
    for (size_t i = 0; i < palm->parts; i++)
        if (strncmp(palm->part[i].name, "thumb", 5) == 0) {
            add_marched(a, work, "plain", &palm->part[i]);
            seats++;
        }
    CHECK(seats == 2);
    judged(command, 0);
    hw_arena_free(work);
    hw_arena_free(a);
}

// Two boxes through each other: closed and outward, and crossing.
static void crossing_is_noticed(void)
{
    float at[16][3];
    static const uint32_t face[12][3] = {{0, 2, 1}, {1, 2, 3}, {4, 5, 6}, {5, 7, 6},
                                         {0, 1, 4}, {1, 5, 4}, {2, 6, 3}, {3, 6, 7},
                                         {0, 4, 2}, {2, 4, 6}, {1, 3, 5}, {3, 7, 5}};
    uint32_t tri[72];
    for (uint32_t b = 0; b < 2; b++) {
        for (uint32_t v = 0; v < 8; v++)
            for (uint32_t k = 0; k < 3; k++)
                at[8 * b + v][k] = (float)(v >> k & 1) * 10 + (float)b * (3 + (float)k);
        for (uint32_t t = 0; t < 36; t++) tri[36 * b + t] = 8 * b + face[t / 3][t % 3];
    }
    hw_arena *a = hw_arena_new(0);
    hw_float_mesh f = {at, tri, 16, 24};
    hw_buffer b = {.arena = a};
    CHECK(hw_stl_write(&f, "two boxes", &b) == HW_OK);
    put_file("boxes.stl", &b);
    snprintf(command, sizeof command, "%s boxes.stl", HW_CROSSING);
    judged(command, 1);
    f.tris = 12; // one box alone
    b.len = 0;
    CHECK(hw_stl_write(&f, "a box", &b) == HW_OK);
    put_file("boxes.stl", &b);
    judged(command, 0);
    hw_arena_free(a);
}

#ifdef HW_MANIFOLD
static char areas[COMMAND];

// A part as slices beside its mesh; its rings' area for the reader of DXF.
static void write_outlines(group *g, size_t i, const char *name)
{
    char file[120];
    hw_mesh_def def = hw_mesh_def_default();
    hw_sketch s;
    hw_buffer dxf = {.arena = g->keep}, svg = {.arena = g->keep};
    const hw_part *p = &g->set.part[i];
    CHECK(hw_sketch_part(g->keep, g->work, name, p->name, &p->solid, &def, 0.1e-3, 5e-6, NULL,
                         &s) == HW_OK);
    CHECK(hw_dxf_write(&s, &dxf) == HW_OK && hw_sketch_svg(&s, &svg) == HW_OK);
    snprintf(file, sizeof file, "%s.dxf", name);
    put_file(file, &dxf);
    snprintf(file, sizeof file, "%s.svg", name);
    put_file(file, &svg);
    double area = 0;
    for (size_t k = 0; k < s.shapes; k++) area += hw_region_area(&s.shape[k].region) * 1e6;
    size_t n = strlen(areas);
    snprintf(areas + n, sizeof areas - n, " '%s.dxf' %.12g", name, area);
    n = strlen(command);
    snprintf(command + n, sizeof command - n, " '%s'", name);
}

static void rebuilt_from_outlines(void)
{
    static const struct {
        const char *example, *part;
    } part[] = {{"heron", "index middle phalanx"},
                {"heron", "index bar A"},
                {"wren", "index proximal phalanx"}};
    char name[100] = "";
    snprintf(command, sizeof command, "node %s %s", HW_SOURCE_DIR "/test/files/judge/rebuild.mjs",
             HW_MANIFOLD);
    areas[0] = '\0';
    for (size_t k = 0; k < sizeof part / sizeof *part; k++) {
        group g = group_new();
        hw_design *d = example(g.keep, part[k].example, "");
        bool found = false;
        if (d && group_make(&g, d, 1, 5e-6))
            for (size_t i = 0; i < g.set.parts; i++) {
                if (strcmp(g.set.part[i].name, part[k].part) != 0) continue;
                found = true;
                file_name(part[k].example, part[k].part, name);
                write_stl(&g, i, name);
                write_outlines(&g, i, name);
            }
        if (!CHECK(found)) printf("    no %s\n", part[k].part);
        group_free(&g);
    }
    judged(command, 0);
#ifdef HW_EZDXF
    static char line[2 * COMMAND];
    snprintf(line, sizeof line, "%s %s%s", HW_EZDXF, HW_SOURCE_DIR "/test/files/judge/dxf.py",
             areas);
    judged(line, 0);
    snprintf(line, sizeof line, "%s %s '%s.dxf' 7544", HW_EZDXF,
             HW_SOURCE_DIR "/test/files/judge/dxf.py", name); // its volume is not its area
    judged(line, 1);
#endif
    // the wrong part's outlines are noticed
    snprintf(command, sizeof command, "cp heron-index-bar-A.stl '%s.stl' && node %s %s '%s'", name,
             HW_SOURCE_DIR "/test/files/judge/rebuild.mjs", HW_MANIFOLD, name);
    judged(command, 1);
}
#endif

static void sweep(void)
{
    DIR *dir = opendir(folder);
    for (struct dirent *e; dir && (e = readdir(dir));)
        if (e->d_name[0] != '.') unlinkat(dirfd(dir), e->d_name, 0);
    if (dir) closedir(dir);
    CHECK(rmdir(folder) == 0);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    many = argc > 1 && strcmp(argv[1], "many") == 0;
    if (!mkdtemp(folder)) return 1;
    RUN(no_triangles_cross);
    RUN(no_bodies_cross);
    RUN(crossing_is_noticed);
#ifdef HW_MANIFOLD
    if (!many) RUN(rebuilt_from_outlines);
#endif
    if (!getenv("HW_KEEP_FOLDER")) RUN(sweep);
    return TEST_END();
}
