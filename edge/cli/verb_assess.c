// handwright assess: the main job.
#include "cli/cli_internal.h"

#include "report/report.h"

#include <sys/ioctl.h>
#include <unistd.h>

enum { USUAL_COLUMNS = 100 };
#define PNG_DPI 200.0 // sharp in print at its own size, small enough for a mail [1/in]

// Columns of the terminal that the sheet goes to; what goes elsewhere is the same everywhere.
static int columns_of(const hw_call *call)
{
    struct winsize size;
    int fd = fileno(call->out);
    if (fd >= 0 && isatty(fd) && ioctl(fd, TIOCGWINSZ, &size) == 0 && size.ws_col > 0)
        return size.ws_col;
    return USUAL_COLUMNS;
}

// The first levers under each line that falls short.
static hw_code find_levers(hw_call *call, const hw_assessment *s, hw_report_levers *out)
{
    if (!s->fallen_short) return HW_OK;
    hw_lever_table table;
    hw_share part = {.whole = &call->job, .width = 0.5};
    hw_job job = {hw_share_step, &part};
    hw_code code = hw_lever_table_fill(call->arena, s, NULL, &job, &table);
    part = (hw_share){.whole = &call->job, .from = 0.5, .width = 0.5 / (double)s->fallen_short};
    for (size_t i = 0; code == HW_OK && i < s->findings; i++) {
        if (s->finding[i].verdict != HW_FALLS_SHORT) continue;
        code =
            hw_levers_of(call->arena, &table, i, &job, out[i].lever, HW_REPORT_LEVERS, &out[i].n);
        part.from += part.width;
    }
    return code;
}

static bool to_buffer(void *self, const void *bytes, size_t n)
{
    hw_buffer_put(self, (hw_text){bytes, n});
    return true;
}

typedef hw_code (*sheet_writer)(const hw_sheet *s, hw_sink out);

static hw_code as_svg(const hw_sheet *s, hw_sink out)
{
    return hw_sheet_svg(s, false, out);
}

static hw_code as_png(const hw_sheet *s, hw_sink out)
{
    return hw_sheet_png(s, PNG_DPI, out);
}

static hw_code add_sheet(hw_call *call, const hw_sheet *s, const char *ending, sheet_writer write)
{
    char name[64];
    hw_buffer b = {.arena = call->arena};
    hw_code code = write(s, (hw_sink){to_buffer, &b});
    snprintf(name, sizeof name, "%.50s.%.8s", hw_sheet_name(s), ending);
    hw_call_file(call, name, (hw_text){b.at, b.len});
    return code;
}

// Every drawing as SVG and PNG, all of them in one PDF.
static hw_code add_drawings(hw_call *call, const hw_assessment *s)
{
    hw_sheet *sheet[HW_REPORT_SHEETS];
    size_t n = hw_report_sheets(call->arena, s, sheet);
    hw_code code = HW_OK;
    for (size_t i = 0; code == HW_OK && i < n; i++) {
        if (!hw_job_go_on(&call->job, (double)i / (double)n, "drawings")) return HW_CANCELLED;
        code = add_sheet(call, sheet[i], "svg", as_svg);
        if (code == HW_OK) code = add_sheet(call, sheet[i], "png", as_png);
    }
    if (code != HW_OK || n == 0) return code;
    const hw_sheet *page[HW_REPORT_SHEETS];
    for (size_t i = 0; i < n; i++) page[i] = sheet[i];
    hw_buffer b = {.arena = call->arena};
    code = hw_sheet_pdf(page, n, (hw_sink){to_buffer, &b});
    hw_call_file(call, "drawings.pdf", (hw_text){b.at, b.len});
    return code;
}

static hw_code write_report(hw_call *call, const hw_report *r)
{
    hw_code code = hw_report_text(r, columns_of(call), &call->text);
    if (code == HW_OK) code = hw_report_json(r, &call->json);
    if (code != HW_OK || !call->option[HW_OPT_FOLDER]) return code;
    hw_buffer page = {.arena = call->arena};
    code = hw_report_html(r, &page);
    hw_call_file(call, "report.html", (hw_text){page.at, page.len});
    call->main_file = "report.html";
    return code == HW_OK ? add_drawings(call, r->assessment) : code;
}

hw_exit hw_verb_assess(hw_call *call)
{
    hw_assessment *s = NULL;
    hw_exit status = hw_call_assess(call, 0, &s);
    if (status != HW_EXIT_HOLDS) return status;
    hw_report_levers *levers = HW_NEW(call->arena, hw_report_levers, s->findings + 1);
    if (!levers) return hw_call_code(call, HW_NO_MEMORY);
    hw_code code = find_levers(call, s, levers);
    hw_report r = {s, levers, call->option[HW_OPT_VARIANT]};
    if (code == HW_OK) code = write_report(call, &r);
    if (code != HW_OK) return hw_call_code(call, code);
    return hw_assess_all_hold(s) ? HW_EXIT_HOLDS : HW_EXIT_SHORT;
}
