// Every folder of test/invalid: input.yaml is refused with exactly the messages of "error", one a
// line: LINE:COLUMN: text | found | expected. A new folder is a new case.
#include "support.h"

#include <dirent.h>

#define CASES HW_SOURCE_DIR "/test/invalid"

static hw_code load(void *self, hw_arena *a, const char *name, hw_text *out)
{
    char path[1024];
    size_t len;
    snprintf(path, sizeof path, "%s/%s", (const char *)self, name);
    char *text = file_text(path, &len);
    if (!text) return HW_NOT_FOUND;
    *out = (hw_text){hw_arena_text(a, (hw_text){text, len}), len};
    free(text);
    return out->at ? HW_OK : HW_NO_MEMORY;
}

// Two findings, so that requirements can be checked.
static bool look_up(void *self, hw_text id, hw_dim *dim, char *nearest)
{
    (void)self;
    nearest[0] = '\0';
    bool slop = hw_text_same(id, HW_TEXT("digits.index/slop"));
    *dim = slop ? HW_DIM_ANGLE : HW_DIM_NONE;
    if (id.len > 13 && memcmp(id.at, "digits.index/", 13) == 0)
        strcpy(nearest, "digits.index/slop");
    return slop || hw_text_same(id, HW_TEXT("hand/weight"));
}

static void one_case(const char *name)
{
    char folder[512], path[600];
    snprintf(folder, sizeof folder, CASES "/%s", name);
    snprintf(path, sizeof path, "%s/input.yaml", folder);
    size_t len = 0, error_len = 0;
    char *input = file_text(path, &len);
    snprintf(path, sizeof path, "%s/error", folder);
    char *error = file_text(path, &error_len);
    if (CHECK(input && error)) {
        hw_loader loader = {load, folder};
        hw_requirable requirable = {look_up, NULL};
        hw_read_def def = {.file = "input.yaml", .loader = &loader, .requirable = &requirable};
        reading r;
        char got[40000];
        size_t n = 0;
        read_with(&r, (hw_text){input, len}, &def);
        CHECK(r.code == HW_BAD_INPUT && r.design == NULL);
        for (size_t i = 0; i < r.diags.count && n < sizeof got - 600; i++) {
            const hw_diag *d = &r.item[i];
            n += (size_t)snprintf(got + n, sizeof got - n, "%s%s%d:%d: %s | %s | %s\n",
                                  strcmp(d->file ? d->file : "", "input.yaml") ? d->file : "",
                                  strcmp(d->file ? d->file : "", "input.yaml") ? ":" : "", d->line,
                                  d->column, d->text, d->found, d->expected);
        }
        if (r.diags.dropped) snprintf(got + n, sizeof got - n, "and %zu more\n", r.diags.dropped);
        if (!SAME_TEXT(got, error)) printf("    in %s\n", folder);
        done(&r);
    } else
        printf("    in %s\n", folder);
    free(input);
    free(error);
}

static void every_bad_document_has_its_messages(void)
{
    DIR *cases = opendir(CASES);
    if (!CHECK(cases != NULL)) return;
    size_t n = 0;
    for (struct dirent *e; (e = readdir(cases));) {
        if (e->d_name[0] == '.') continue;
        one_case(e->d_name);
        n++;
    }
    closedir(cases);
    CHECK(n >= 60); // an emptied folder is noticed
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(every_bad_document_has_its_messages);
    return TEST_END();
}
