// Runs a fuzz target over the files of a folder, once each, without a fuzzer: kept inputs are tests
// under every compiler. Fails when the folder has none.
#include <dirent.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static int replay(const char *path)
{
    FILE *f = fopen(path, "rb");
    if (!f) {
        printf("%s: cannot be read\n", path);
        return 1;
    }
    enum { ROOM = 1 << 20 };
    uint8_t *data = malloc(ROOM);
    size_t n = data ? fread(data, 1, ROOM, f) : 0;
    fclose(f);
    // an exact copy, so that reading past the end is seen
    uint8_t *exact = malloc(n ? n : 1);
    for (size_t i = 0; exact && i < n; i++) exact[i] = data[i];
    int code = exact ? LLVMFuzzerTestOneInput(exact, n) : 1;
    free(exact);
    free(data);
    return code;
}

int main(int argc, char **argv)
{
    int passed = 0, failed = 0;
    DIR *dir = argc > 1 ? opendir(argv[1]) : NULL;
    for (struct dirent *e; dir && (e = readdir(dir));) {
        if (e->d_name[0] == '.') continue;
        char path[4096];
        snprintf(path, sizeof path, "%s/%s", argv[1], e->d_name);
        if (replay(path) == 0)
            passed++;
        else
            failed++;
    }
    if (dir) closedir(dir);
    printf("%d passed, %d failed\n", passed, failed);
    return failed || !passed;
}
