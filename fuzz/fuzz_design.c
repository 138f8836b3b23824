// The reader of documents: any bytes give a design or messages, never a crash. The first byte picks
// what is done with the rest: read it, read it with a variant, read it as a catalogue, edit it.
#include "design/design.h"

#include <stdlib.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

// The parser (libfyaml 0.7.12) loses a buffer of 1 KiB when a long quoted text is never closed. Our
// own use of it is checked for leaks by the tests under the address sanitizer, without this.
const char *__lsan_default_suppressions(void); // NOLINT(bugprone-reserved-identifier): its name
const char *__lsan_default_suppressions(void)  // NOLINT(bugprone-reserved-identifier)
{
    return "leak:libfyaml.so";
}

static volatile double kept; // so that no work is optimised away

typedef struct given {
    const uint8_t *data;
    size_t size;
} given;

static hw_code load(void *self, hw_arena *a, const char *name, hw_text *out)
{
    const given *g = self;
    (void)name;
    *out = (hw_text){hw_arena_text(a, (hw_text){(const char *)g->data, g->size}), g->size};
    return out->at ? HW_OK : HW_NO_MEMORY;
}

static void must(bool ok)
{
    if (!ok) abort();
}

static void look_at(hw_arena *a, const hw_design *d)
{
    double sum = 0;
    for (hw_entry e = 0; (size_t)e < hw_entry_count(); e++) {
        const hw_entry_row *row = hw_entry_row_of(e, NULL);
        double x = hw_design_value(d, e);
        bool number = row->type == HW_ENTRY_NUMBER || row->type == HW_ENTRY_COUNT;
        must(!number || (x >= row->low && x <= row->high)); // never NaN
        sum += x + (double)hw_design_text(d, e).len + (double)hw_design_origin_text(d, e).len;
    }
    const hw_requirement *q;
    for (size_t i = 0, n = hw_design_requirements(d, &q); i < n; i++) sum += q[i].line;
    hw_override set = {hw_entry_of(HW_E_HAND_LENGTH, -1), 0.19};
    hw_design *other;
    hw_code code = hw_design_with(a, d, &set, 1, &other);
    must((code == HW_OK) == (other != NULL));
    kept = sum + (double)hw_design_fingerprint(d);
}

static void read_it(hw_arena *a, hw_text bytes, const hw_read_def *def)
{
    hw_diag item[16];
    hw_diags diags = {item, 0, 16, 0};
    hw_design *d;
    hw_code code = hw_design_read(a, bytes, def, &d, &diags);
    must(code == HW_OK || code == HW_BAD_INPUT);
    must((code == HW_OK) == (d != NULL) && (code == HW_OK || diags.count > 0));
    if (d) look_at(a, d);
}

// The first line is "path=text", the rest the document.
static void edit_it(hw_arena *a, hw_text bytes)
{
    const char *line = memchr(bytes.at, '\n', bytes.len);
    if (!line) return;
    hw_text first = {bytes.at, (size_t)(line - bytes.at)};
    const char *equal = memchr(first.at, '=', first.len);
    if (!equal) return;
    size_t n = (size_t)(equal - first.at);
    hw_edit edit = {{first.at, n}, {equal + 1, first.len - n - 1}};
    hw_text rest = {line + 1, bytes.len - first.len - 1}, out;
    hw_code code = hw_design_edit(a, rest, "hand.yaml", &edit, 1, &out, NULL);
    must(code == HW_OK || code == HW_BAD_INPUT);
    kept = (double)out.len;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    if (size == 0) return 0;
    hw_arena *a = hw_arena_new(0);
    if (!a) return 0;
    hw_text bytes = {(const char *)data + 1, size - 1};
    given g = {data + 1, size - 1};
    hw_loader loader = {load, &g};
    hw_read_def def = {.file = "hand.yaml", .loader = &loader};
    if (data[0] == 'v') def.variant = HW_TEXT("small");
    if (data[0] == 'e')
        edit_it(a, bytes);
    else if (data[0] == 'c')
        read_it(a, HW_TEXT("catalogue: mine.yaml\nprinter: {type: attic}\n"), &def);
    else
        read_it(a, bytes, &def);
    hw_arena_free(a);
    return 0;
}
