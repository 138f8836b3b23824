// Plates as make writes them: the reference library of 3MF reads every one in strict mode without a
// warning, every part in it closed and turned outward.
//   test_files_plates        one digit
//   test_files_plates all    both example hands, fine, with coupons
#include "cli/drive.h"
#include "cli/folder.h"
#include "reference.h"

typedef struct plate {
    size_t items, tris;
} plate;

static void *read_back(const char *bytes, size_t n)
{
    void *package = NULL, *reader = NULL;
    uint32_t warnings = 1;
    CHECK(lib3mf_createmodel(&package) == 0);
    CHECK(lib3mf_model_queryreader(package, "3mf", &reader) == 0);
    CHECK(lib3mf_reader_setstrictmodeactive(reader, 1) == 0);
    CHECK(lib3mf_reader_readfrombuffer(reader, bytes, n) == 0);
    CHECK(lib3mf_reader_getwarningcount(reader, &warnings) == 0 && warnings == 0);
    lib3mf_release(reader);
    return package;
}

static plate judged(void *package)
{
    plate sum = {0, 0};
    void *list = NULL;
    int32_t more = 0;
    CHECK(lib3mf_model_getbuilditems(package, &list) == 0);
    while (lib3mf_builditemiterator_movenext(list, &more) == 0 && more) {
        void *item = NULL, *object = NULL;
        uint32_t tris = 0;
        int32_t sound = 0;
        CHECK(lib3mf_builditemiterator_getcurrent(list, &item) == 0);
        CHECK(lib3mf_builditem_getobjectresource(item, &object) == 0);
        CHECK(lib3mf_meshobject_gettrianglecount(object, &tris) == 0);
        CHECK(lib3mf_meshobject_ismanifoldandoriented(object, &sound) == 0 && sound == 1);
        sum.items++;
        sum.tris += tris;
        lib3mf_release(object);
        lib3mf_release(item);
    }
    lib3mf_release(list);
    return sum;
}

// All plates of one run hold as many parts and triangles as its page says, coupons besides.
static void plates_of(const char *design, const char *options)
{
    if (!folder_new()) return;
    char line[600];
    snprintf(line, sizeof line, "make %s/examples/%s.yaml %s -o %.100s", HW_SOURCE_DIR, design,
             options, folder_of("made"));
    drive d = drive_run(line);
    CHECK(d.status == HW_EXIT_HOLDS || d.status == HW_EXIT_SHORT);
    const char *said = d.out ? strstr(d.out, " parts, ") : NULL;
    while (said && said > d.out && said[-1] >= '0' && said[-1] <= '9') said--;
    unsigned long parts = 0, tris = 0;
    CHECK(said && sscanf(said, "%lu parts, %lu triangles", &parts, &tris) == 2 && parts > 0);
    plate all = {0, 0};
    for (int i = 1; i < 20; i++) {
        char name[40];
        snprintf(name, sizeof name, "made/plate-%d.3mf", i);
        FILE *f = fopen(folder_of(name), "rb");
        if (!f) break;
        char *bytes = malloc(1 << 25);
        size_t n = bytes ? fread(bytes, 1, 1 << 25, f) : 0;
        fclose(f);
        CHECK(n > 0 && n < 1 << 25);
        void *package = read_back(bytes, n);
        plate one = judged(package);
        all = (plate){all.items + one.items, all.tris + one.tris};
        lib3mf_release(package);
        free(bytes);
    }
    if (!CHECK(all.items == parts && all.tris == tris))
        printf("    %s: %zu of %lu parts, %zu of %lu triangles\n", design, all.items, parts,
               all.tris, tris);
    drive_free(&d);
    folder_free();
}

static void one_digit(void)
{
    plates_of("wren", "--digit ring");
}

static void both_hands(void)
{
    plates_of("heron", "--quality fine --coupons");
    plates_of("wren", "--quality fine --coupons");
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    if (argc > 1 && strcmp(argv[1], "all") == 0)
        RUN(both_hands);
    else
        RUN(one_digit);
    return TEST_END();
}
