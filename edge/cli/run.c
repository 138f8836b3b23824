// One run of the program: which verb, its messages, its results, its exit status.
#include "cli/cli_internal.h"

#include <math.h>
#include <signal.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static volatile sig_atomic_t interrupted;

static void on_interrupt(int signal)
{
    (void)signal;
    interrupted = 1;
}

static void wipe_progress(hw_call *call)
{
    if (call->drawn) fprintf(call->err, "\r%60s\r", "");
    call->drawn = false;
}

static bool job_step(void *self, double fraction, const char *stage)
{
    hw_call *call = self;
    int fd = fileno(call->err);
    if (fd >= 0 && isatty(fd)) {
        fprintf(call->err, "\r%-40.40s %3d %%", stage ? stage : "", (int)lround(100 * fraction));
        fflush(call->err);
        call->drawn = true;
    }
    return !interrupted;
}

bool hw_share_step(void *self, double fraction, const char *stage)
{
    const hw_share *p = self;
    return hw_job_go_on(p->whole, p->from + p->width * fraction, stage);
}

void hw_call_file(hw_call *call, const char *name, hw_text bytes)
{
    if (call->files == call->file_room) {
        size_t room = call->file_room ? 2 * call->file_room : 64;
        hw_answer_file *more = HW_NEW(call->arena, hw_answer_file, room);
        if (!more) return; // sticky: seen before anything is written
        if (call->files) memcpy(more, call->file, call->files * sizeof *more);
        call->file = more;
        call->file_room = room;
    }
    hw_answer_file *f = &call->file[call->files++];
    snprintf(f->name, sizeof f->name, "%s", name);
    f->bytes = bytes;
}

hw_exit hw_call_fault(hw_call *call, const char *format, ...)
{
    wipe_progress(call);
    fprintf(call->err, "handwright %s: ", call->verb->name);
    va_list list;
    va_start(list, format);
    vfprintf(call->err, format, list);
    va_end(list);
    fputc('\n', call->err);
    return HW_EXIT_INPUT;
}

static void say_one(FILE *err, const hw_diag *d, bool note)
{
    if (d->file) fprintf(err, "%s:", d->file);
    if (d->line > 0) fprintf(err, "%d:", d->line);
    if (d->line > 0 && d->column > 0) fprintf(err, "%d:", d->column);
    fprintf(err, "%s%s%s", d->file || d->line > 0 ? " " : "", note ? "note: " : "", d->text);
    if (d->found[0]) fprintf(err, "; found %s", d->found);
    if (d->expected[0]) fprintf(err, "%s expected %s", d->found[0] ? "," : ";", d->expected);
    fputc('\n', err);
}

void hw_call_say(hw_call *call, bool notes)
{
    wipe_progress(call);
    for (size_t i = 0; i < call->diags.count; i++)
        say_one(call->err, &call->diags.item[i], notes || call->diags.item[i].code == HW_OK);
    if (call->diags.dropped) fprintf(call->err, "and %zu more\n", call->diags.dropped);
    call->diags.count = call->diags.dropped = 0;
}

hw_exit hw_call_code(hw_call *call, hw_code code)
{
    static const hw_exit exits[HW_CODES] = {[HW_OK] = HW_EXIT_HOLDS,
                                            [HW_BAD_INPUT] = HW_EXIT_INPUT,
                                            [HW_NOT_FOUND] = HW_EXIT_INPUT,
                                            [HW_NO_ASSEMBLY] = HW_EXIT_SHORT,
                                            [HW_NOT_CONVERGED] = HW_EXIT_SHORT,
                                            [HW_LIMIT] = HW_EXIT_INPUT,
                                            [HW_NO_MEMORY] = HW_EXIT_MACHINE,
                                            [HW_IO] = HW_EXIT_MACHINE,
                                            [HW_CANCELLED] = HW_EXIT_CANCELLED};
    if (code == HW_OK) return HW_EXIT_HOLDS;
    bool said = call->diags.count > 0;
    hw_call_say(call, false);
    if (!said) hw_call_fault(call, "%s", hw_code_text(code));
    return (int)code > 0 && code < HW_CODES ? exits[code] : HW_EXIT_MACHINE;
}

static bool put_out(FILE *out, hw_buffer b)
{
    if (b.len) fwrite(b.at, 1, b.len, out);
    return fflush(out) == 0 && !ferror(out);
}

static void say_folder(const hw_call *call)
{
    const char *folder = call->option[HW_OPT_FOLDER];
    size_t len = strlen(folder);
    while (len > 1 && folder[len - 1] == '/') len--;
    if (call->main_file)
        fprintf(call->out, "report: %.*s/%s\n", (int)len, folder, call->main_file);
    else
        fprintf(call->out, "written: %.*s\n", (int)len, folder);
}

// What a finished verb has to show: into the folder first, for that can fail as a whole.
static hw_exit hand_over(hw_call *call, hw_exit status)
{
    if (hw_arena_failed(call->arena)) return hw_call_code(call, HW_NO_MEMORY);
    if (call->option[HW_OPT_FOLDER]) {
        char name[64];
        snprintf(name, sizeof name, "%s.txt", call->verb->name);
        hw_call_file(call, name, (hw_text){call->text.at, call->text.len});
        snprintf(name, sizeof name, "%s.json", call->verb->name);
        hw_call_file(call, name, (hw_text){call->json.at, call->json.len});
        hw_code code = hw_folder_write(call, call->option[HW_OPT_FOLDER]);
        if (code != HW_OK) return hw_call_code(call, code);
    }
    wipe_progress(call);
    if (!put_out(call->out, call->option[HW_OPT_JSON] ? call->json : call->text)) {
        hw_call_fault(call, "the output could not be written");
        return HW_EXIT_MACHINE;
    }
    if (call->option[HW_OPT_FOLDER] && !call->option[HW_OPT_JSON]) say_folder(call);
    return fflush(call->out) == 0 ? status : HW_EXIT_MACHINE;
}

static hw_exit run_verb(hw_call *call, int argc, char **argv, const char **kept)
{
    if (!hw_options_parse(call, argc, argv, kept)) return HW_EXIT_INPUT;
    if (call->option[HW_OPT_HELP]) {
        hw_help_verb(call->verb, call->out);
        return fflush(call->out) == 0 ? HW_EXIT_HOLDS : HW_EXIT_MACHINE;
    }
    if (call->option[HW_OPT_FOLDER]) {
        hw_code code = hw_folder_check(call, call->option[HW_OPT_FOLDER]);
        if (code != HW_OK) return hw_call_code(call, code);
    }
    hw_exit status = call->verb->run(call);
    if (interrupted) {
        hw_call_fault(call, "cancelled; nothing was written");
        return HW_EXIT_CANCELLED;
    }
    if (status != HW_EXIT_HOLDS && status != HW_EXIT_SHORT) return status;
    hw_call_say(call, true);
    return hand_over(call, status);
}

static hw_exit run(const hw_verb_row *verb, int argc, char **argv, FILE *out, FILE *err)
{
    hw_exit status = HW_EXIT_MACHINE;
    hw_call *call = calloc(1, sizeof *call);
    hw_diag *diag = calloc(HW_DIAG_ROOM, sizeof *diag);
    const char **kept = calloc((size_t)argc + 1, sizeof *kept);
    hw_arena *arena = hw_arena_new(1 << 20);
    if (call && diag && kept && arena) {
        *call = (hw_call){.verb = verb, .out = out, .err = err, .arena = arena};
        call->job = (hw_job){job_step, call};
        call->diags = (hw_diags){.item = diag, .capacity = HW_DIAG_ROOM};
        call->text.arena = call->json.arena = arena;
        status = run_verb(call, argc, argv, kept);
    } else
        fputs("handwright: out of memory\n", err);
    hw_arena_free(arena);
    free(kept);
    free(diag);
    free(call);
    return status;
}

static hw_exit no_verb(const char *given, FILE *err)
{
    size_t n, best = 3; // further than two slips is no slip
    const hw_verb_row *verb = hw_verb_rows(&n), *near = NULL;
    for (size_t i = 0; i < n; i++) {
        size_t away = hw_text_distance(hw_text_of(given), hw_text_of(verb[i].name));
        if (away < best) best = away, near = &verb[i];
    }
    fprintf(err, "handwright: no verb \"%s\"", given);
    if (near) fprintf(err, ", perhaps \"%s\"", near->name);
    fputs("; handwright --help lists them\n", err);
    return HW_EXIT_INPUT;
}

static hw_exit choose(int argc, char **argv, FILE *out, FILE *err)
{
    const char *first = argc > 1 ? argv[1] : NULL;
    if (!first) {
        hw_help_overview(err);
        return HW_EXIT_INPUT;
    }
    const hw_verb_row *verb = hw_verb_find(first);
    if (verb) return run(verb, argc - 2, argv + 2, out, err);
    bool help =
        strcmp(first, "--help") == 0 || strcmp(first, "-h") == 0 || strcmp(first, "help") == 0;
    if (help && argc > 2) {
        verb = hw_verb_find(argv[2]);
        if (!verb) return no_verb(argv[2], err);
        hw_help_verb(verb, out);
    } else if (help)
        hw_help_overview(out);
    else if (strcmp(first, "--version") == 0)
        fputs("handwright " HW_VERSION "\n", out);
    else
        return no_verb(first, err);
    return fflush(out) == 0 && !ferror(out) ? HW_EXIT_HOLDS : HW_EXIT_MACHINE;
}

int hw_main(int argc, char **argv, FILE *out, FILE *err)
{
    struct sigaction act = {.sa_handler = on_interrupt}, old_int, old_term, old_size;
    struct sigaction pass = {.sa_handler =
                                 SIG_IGN}; // a file too large is then an error like others
    sigemptyset(&act.sa_mask);
    interrupted = 0;
    sigaction(SIGINT, &act, &old_int);
    sigaction(SIGTERM, &act, &old_term);
    sigaction(SIGXFSZ, &pass, &old_size);
    hw_exit status = choose(argc, argv, out, err);
    sigaction(SIGINT, &old_int, NULL);
    sigaction(SIGTERM, &old_term, NULL);
    sigaction(SIGXFSZ, &old_size, NULL);
    return (int)status;
}
