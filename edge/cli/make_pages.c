// Writes the pages that are installed: make_pages FOLDER. Run by the build.
#include "cli/cli.h"

int main(int argc, char **argv)
{
    if (argc != 2) return 2;
    for (int k = 0; k < HW_PAGES; k++) {
        char path[4096];
        int n =
            snprintf(path, sizeof path, "%s/handwright.%s", argv[1], hw_page_name((hw_page_kind)k));
        if (n < 0 || n >= (int)sizeof path) return 2;
        FILE *f = fopen(path, "w");
        if (!f) return 3;
        bool ok = hw_page_write((hw_page_kind)k, f);
        if (fclose(f) != 0 || !ok) return 3;
    }
    return 0;
}
