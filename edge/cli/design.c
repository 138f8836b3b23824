// Reading a design for a verb, with the files that it names.
#include "cli/cli_internal.h"

#include "assess/assess.h"

#include <string.h>

typedef struct neighbour {
    hw_call *call;
    const char *design; // path of the document: what it names lies beside it
} neighbour;

static hw_code read_beside(void *self, hw_arena *a, const char *name, hw_text *out)
{
    const neighbour *n = self;
    (void)a; // the call's own arena is the one that the reader was given
    const char *slash = strrchr(n->design, '/');
    hw_buffer path = {.arena = n->call->arena};
    if (slash && name[0] != '/')
        hw_buffer_put(&path, (hw_text){n->design, (size_t)(slash - n->design) + 1});
    hw_buffer_puts(&path, name);
    if (hw_arena_failed(n->call->arena) || !path.at) return HW_NO_MEMORY;
    // the reader says at which line the name stands; our own message would be a second one
    hw_diags own = n->call->diags;
    n->call->diags = (hw_diags){0};
    hw_code code = hw_file_read(n->call, path.at, out);
    n->call->diags = own;
    return code == HW_BAD_INPUT ? HW_NOT_FOUND : code;
}

static void note_design(hw_call *call, const char *path, const hw_design *d)
{
    static const char hex[] = "0123456789abcdef";
    const char *slash = strrchr(path, '/');
    const char *name = strcmp(path, "-") == 0 ? "standard input" : slash ? slash + 1 : path;
    snprintf(call->design_name, sizeof call->design_name, "%.63s", name);
    uint64_t print = hw_design_fingerprint(d);
    for (int i = 0; i < 16; i++) call->fingerprint[i] = hex[(print >> (60 - 4 * i)) & 15];
    call->fingerprint[16] = '\0';
}

// An empty file is a slip, such as a download that failed, rather than a wish for all defaults.
static bool is_blank(hw_text t)
{
    for (size_t i = 0; i < t.len; i++)
        if (!strchr(" \t\r\n", t.at[i])) return false;
    return true;
}

hw_exit hw_call_design_of(hw_call *call, const char *path, hw_text bytes, hw_design **out)
{
    neighbour beside = {call, path};
    hw_loader loader = {read_beside, &beside};
    hw_read_def def = {.file = strcmp(path, "-") == 0 ? "(standard input)" : path,
                       .variant = hw_text_of(call->option[HW_OPT_VARIANT]),
                       .loader = &loader,
                       .requirable = &hw_assess_requirable};
    hw_code code = hw_design_read(call->arena, bytes, &def, out, &call->diags);
    if (code != HW_OK) return hw_call_code(call, code);
    call->document = bytes;
    note_design(call, path, *out);
    return HW_EXIT_HOLDS;
}

hw_exit hw_call_design(hw_call *call, size_t i, hw_design **out)
{
    const char *path = call->argument[i];
    hw_text bytes;
    hw_code code = hw_file_read(call, path, &bytes);
    if (code != HW_OK) return hw_call_code(call, code);
    if (is_blank(bytes))
        return hw_call_fault(call,
                             "\"%s\" is empty; a document that says only \"handwright: 1\" "
                             "is a design of defaults",
                             path);
    return hw_call_design_of(call, path, bytes, out);
}

int hw_call_digit(hw_call *call, hw_option_id option, int otherwise)
{
    const char *name = call->option[option], *near = NULL;
    if (!name) return otherwise;
    size_t best = 4; // further than three slips is no slip
    for (int d = 0; d < HW_DIGITS; d++) {
        size_t away = hw_text_distance(hw_text_of(name), hw_text_of(hw_digit_name[d]));
        if (away == 0) return d;
        if (away < best) best = away, near = hw_digit_name[d];
    }
    hw_call_fault(call,
                  "\"--digit\": found \"%s\"%s%s%s, expected thumb, index, middle, ring or little",
                  name, near ? ", perhaps \"" : "", near ? near : "", near ? "\"" : "");
    return -2;
}

hw_exit hw_call_assess(hw_call *call, size_t i, struct hw_assessment **out)
{
    hw_design *design = NULL;
    hw_exit status = hw_call_design(call, i, &design);
    if (status != HW_EXIT_HOLDS) return status;
    hw_assessment *s = HW_NEW(call->arena, hw_assessment, 1);
    if (!s) return hw_call_code(call, HW_NO_MEMORY);
    hw_code code = hw_assess(call->arena, design, &call->job, s);
    if (code != HW_OK) return hw_call_code(call, code);
    *out = s;
    return HW_EXIT_HOLDS;
}
