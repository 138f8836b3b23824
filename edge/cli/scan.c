// A scan and its picked points: read and measured.
#include "cli/cli_internal.h"

#include "anatomy/scan.h"
#include "files/files.h"

hw_exit hw_call_scan(hw_call *call, const char *mesh, const char *picks, hw_mesh_file *file,
                     hw_scan *out)
{
    hw_text bytes = {0};
    hw_picks points;
    hw_share reading = {.whole = &call->job, .width = 0.5};
    hw_share measuring = {.whole = &call->job, .from = 0.5, .width = 0.5};
    hw_job job = {hw_share_step, &reading};
    // the small file first: its faults are said before a large one is read
    hw_code code = hw_file_read(call, picks, &bytes);
    if (code == HW_OK) code = hw_picks_read(bytes, picks, &call->diags, &points);
    if (code == HW_OK) code = hw_file_read_mesh(call, mesh, &bytes);
    if (code == HW_OK) code = hw_mesh_read(call->arena, bytes, mesh, &call->diags, &job, file);
    if (code != HW_OK) return hw_call_code(call, code);
    hw_arena *work = hw_arena_new(0);
    if (!work) return hw_call_code(call, HW_NO_MEMORY);
    hw_scan_def def = hw_scan_def_default();
    job.self = &measuring;
    code = hw_scan_measure(work, &file->mesh, &points, &def, mesh, picks, &job, &call->diags, out);
    hw_arena_free(work);
    if (code != HW_OK) return hw_call_code(call, code);
    hw_call_say(call, true);
    return HW_EXIT_HOLDS;
}
