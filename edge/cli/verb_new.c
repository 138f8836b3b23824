// handwright new: a starter document made from the entry table, so that it cannot drift from it.
#include "cli/cli_internal.h"

#include "anatomy/scan.h"
#include "base/vec.h"
#include "files/files.h"

#include <math.h>
#include <string.h>

enum { SENTENCE_COLUMN = 56, DEPTH = 8 };

typedef struct starter {
    hw_buffer *out;
    double length, breadth; // NaN: the table's default [m]
    const char *side;
    const hw_scan *scan;  // NULL: of usual proportions
    char path[DEPTH][40]; // the sections that are open
    int depth;
} starter;

// What a first design sets itself; everything else stands commented out with its default.
static bool is_live(int row, bool coupled)
{
    if (row >= HW_E_BAR_A_ROOT_X && row <= HW_E_BAR_B_HORN_ANGLE) {
        bool spare = row == HW_E_BAR_A_WIDTH || row == HW_E_BAR_A_DEPTH || row == HW_E_BAR_A_COUNT;
        return coupled && !spare;
    }
    switch (row) {
    case HW_E_NAME:
    case HW_E_HAND_LENGTH:
    case HW_E_HAND_BREADTH:
    case HW_E_HAND_SIDE:
    case HW_E_PHALANX_PROXIMAL:
    case HW_E_PHALANX_MIDDLE:
    case HW_E_PHALANX_DISTAL:
    case HW_E_WIDTH:
    case HW_E_THICKNESS_PROXIMAL:
    case HW_E_THICKNESS_MIDDLE:
    case HW_E_THICKNESS_DISTAL:
    case HW_E_TRAVEL_OPEN:
    case HW_E_TRAVEL_CLOSED:
    case HW_E_MECHANISM_KIND:
        return true;
    default:
        return false;
    }
}

// A finger's knuckle as scanned. Where the straight digit points lies in the palm's plane, so it
// has no rise; its roll shows only where it was bent. The thumb's base stays where its pad meets
// others.
static hw_with knuckle_entry(const hw_scan_digit *g, int row) // [m] [rad]
{
    const hw_vec3 at = g->knuckle.at, x = g->knuckle.x, y = g->knuckle.y;
    switch (row) {
    case HW_E_KNUCKLE_X:
        return (hw_with){at.x, g->at_off[0]};
    case HW_E_KNUCKLE_Y:
        return (hw_with){at.y, g->at_off[1]};
    case HW_E_KNUCKLE_Z:
        return (hw_with){at.z, g->at_off[2]};
    case HW_E_KNUCKLE_TURN:
        return g->pointing;
    case HW_E_KNUCKLE_ROLL:
        if (g->axis == HW_AXIS_BENT)
            return (hw_with){atan2(y.z, x.x * y.y - x.y * y.x), g->axis_off};
        return (hw_with){(double)NAN, (double)NAN};
    default:
        return (hw_with){(double)NAN, (double)NAN};
    }
}

// What a scan says of an entry, within the entry's range; false: nothing. [m] [rad]
static bool measured(const starter *s, int row, int digit, hw_with *out)
{
    size_t n;
    const hw_entry_row *r = &hw_entry_rows(&n)[row];
    if (!s->scan) return false;
    const double bend = s->scan->curvature.value, off = s->scan->curvature.off;
    const hw_scan_digit *g =
        digit >= 0 && digit < HW_HAND_DIGITS ? &s->scan->digit[digit] : NULL; // a digit's own row
    *out = (hw_with){(double)NAN, (double)NAN};
    if (row == HW_E_HAND_LENGTH && isnan(s->length)) *out = s->scan->length;
    if (row == HW_E_HAND_BREADTH && isnan(s->breadth)) *out = s->scan->breadth;
    if (row == HW_E_PALM_ARCH_RADIUS && bend > off) *out = (hw_with){1 / bend, off / (bend * bend)};
    if (g && row >= HW_E_PHALANX_PROXIMAL && row <= HW_E_PHALANX_DISTAL)
        *out = g->segment[row - HW_E_PHALANX_PROXIMAL];
    if (g && digit > 0 && row >= HW_E_KNUCKLE_X && row <= HW_E_KNUCKLE_ROLL)
        *out = knuckle_entry(g, row);
    return out->value >= r->low && out->value <= r->high;
}

// In tenths of a millimetre or of a degree.
static void put_tenths(hw_buffer *b, int row, double value) // [m] [rad]
{
    size_t n;
    bool angle = hw_dim_same(hw_entry_rows(&n)[row].dim, HW_DIM_ANGLE);
    char text[HW_NUMBER_TEXT];
    hw_number_write_fixed(angle ? value * 180 / HW_PI : value * 1000, 1, text);
    hw_buffer_format(b, "%s %s", text, angle ? "deg" : "mm");
}

static const char *default_of(const hw_entry_row *row, int digit)
{
    return digit >= 0 && row->digit_fallback[digit] ? row->digit_fallback[digit] : row->fallback;
}

// Index of the row whose path begins the text, the longest where several do; its length in *len.
static int row_at(const char *text, size_t *len)
{
    size_t n;
    const hw_entry_row *rows = hw_entry_rows(&n);
    int best = -1;
    *len = 0;
    for (size_t r = 0; r < n; r++) {
        size_t l = strlen(rows[r].path);
        if (l > *len && strncmp(text, rows[r].path, l) == 0) {
            best = (int)r;
            *len = l;
        }
    }
    return best;
}

// A default with "digits.*." made this digit's own path.
static void put_default(hw_buffer *b, const char *text, int digit)
{
    char path[96];
    while (*text) {
        size_t len;
        int row = strncmp(text, "digits.*.", 9) == 0 ? row_at(text, &len) : -1;
        if (row >= 0) {
            hw_entry_path(hw_entry_of((hw_entry_id)row, digit), path);
            hw_buffer_puts(b, path);
            text += len;
        } else {
            hw_buffer_put(b, (hw_text){text, 1});
            text++;
        }
    }
}

static void put_length(hw_buffer *b, double metres) // [m]
{
    char text[HW_NUMBER_TEXT];
    hw_number_write_rounded(metres * 1000, 12, text);
    hw_buffer_format(b, "%s mm", text);
}

static void put_value(starter *s, int row, const hw_entry_row *r, int digit)
{
    hw_with found;
    if (measured(s, row, digit, &found))
        put_tenths(s->out, row, found.value);
    else if (row == HW_E_HAND_LENGTH && !isnan(s->length))
        put_length(s->out, s->length);
    else if (row == HW_E_HAND_BREADTH && !isnan(s->breadth))
        put_length(s->out, s->breadth);
    else if (row == HW_E_HAND_SIDE && s->side)
        hw_buffer_puts(s->out, s->side);
    else if (r->type == HW_ENTRY_TEXT)
        hw_buffer_format(s->out, "\"%s\"", default_of(r, digit));
    else
        put_default(s->out, default_of(r, digit), digit);
}

static void begin_line(starter *s, bool live, int indent)
{
    hw_buffer_puts(s->out, live ? "" : "# ");
    for (int i = 0; i < indent; i++) hw_buffer_puts(s->out, "  ");
}

static int split(const char *path, char part[DEPTH][40])
{
    int n = 0;
    while (*path && n < DEPTH) {
        size_t len = strcspn(path, ".");
        snprintf(part[n++], 40, "%.*s", (int)len, path);
        path += len + (path[len] == '.');
    }
    return n;
}

static bool is_coupled(int digit)
{
    size_t n;
    const hw_entry_row *rows = hw_entry_rows(&n);
    return digit >= 0 && strcmp(default_of(&rows[HW_E_MECHANISM_KIND], digit), "coupled bars") == 0;
}

// Whether a section's own line is in force: when some entry below it is.
static bool section_is_live(const starter *s, char part[DEPTH][40], int parts, int digit)
{
    int first = digit < 0 ? 0 : HW_E_SHARED_ROWS, last = digit < 0 ? HW_E_SHARED_ROWS : HW_E_ROWS;
    for (int r = first; r < last; r++) {
        char path[96], own[DEPTH][40];
        hw_entry_path(hw_entry_of((hw_entry_id)r, digit), path);
        int same = 0, n = split(path, own);
        while (same < parts && same < n && strcmp(own[same], part[same]) == 0) same++;
        hw_with found;
        if (same == parts && (is_live(r, is_coupled(digit)) || measured(s, r, digit, &found)))
            return true;
    }
    return false;
}

// Opens the sections on the way to an entry as far as they are not open yet.
static void open_sections(starter *s, char part[DEPTH][40], int parts, int digit)
{
    int same = 0;
    while (same < s->depth && same < parts - 1 && strcmp(s->path[same], part[same]) == 0) same++;
    s->depth = same;
    for (; s->depth < parts - 1; s->depth++) {
        if (s->depth == 0) hw_buffer_puts(s->out, "\n");
        begin_line(s, section_is_live(s, part, s->depth + 1, digit), s->depth);
        hw_buffer_format(s->out, "%s:\n", part[s->depth]);
        snprintf(s->path[s->depth], sizeof s->path[0], "%s", part[s->depth]);
    }
}

static void put_entry(starter *s, int row, const hw_entry_row *r, int digit, bool live)
{
    char path[96], part[DEPTH][40];
    hw_entry_path(hw_entry_of((hw_entry_id)row, digit), path);
    int parts = split(path, part);
    open_sections(s, part, parts, digit);
    size_t from = s->out->len;
    begin_line(s, live, parts - 1);
    hw_buffer_format(s->out, "%s: ", part[parts - 1]);
    put_value(s, row, r, digit);
    hw_put_pad(s->out, from, SENTENCE_COLUMN);
    hw_buffer_format(s->out, " # %s", r->sentence);
    hw_with found;
    if (measured(s, row, digit, &found)) {
        hw_buffer_puts(s->out, "; scanned, good to ");
        put_tenths(s->out, row, found.off);
    }
    hw_buffer_puts(s->out, "\n");
}

static void put_rows(starter *s, int from, int to, int digit)
{
    size_t n;
    const hw_entry_row *rows = hw_entry_rows(&n);
    for (int r = from; r < to; r++) {
        if (rows[r].shared) continue; // stands once, in the hand's own section
        hw_with found;
        bool live = is_live(r, is_coupled(digit)) || measured(s, r, digit, &found);
        put_entry(s, r, &rows[r], digit, live);
    }
}

static void put_document(starter *s)
{
    hw_buffer_puts(
        s->out,
        "## A hand for handwright. Change a number, then: handwright assess THIS-FILE\n"
        "## Numbers carry their unit and may be expressions over other entries. A line that "
        "begins\n"
        "## with \"# \" shows an entry's default; take the two characters away (on the lines of "
        "the\n"
        "## sections round it too) to set it. Safety: a hand that moves can pinch and crush; a\n"
        "## verdict is a computation, not a test.\n");
    if (s->scan)
        hw_buffer_puts(
            s->out,
            "## Lengths were measured on a scan: each is good to what stands beside it "
            "in 95 of 100\n"
            "## cases. What the scan does not show has its usual size; the thumb's base stays "
            "where\n## its pad meets the fingers'.\n");
    hw_buffer_puts(s->out, "handwright: 1\n");
    put_rows(s, 0, HW_E_SHARED_ROWS, -1);
    for (int digit = 0; digit < HW_DIGITS; digit++) put_rows(s, HW_E_SHARED_ROWS, HW_E_ROWS, digit);
}

// A length from an option, within the entry's range. [m]
static hw_exit length_option(hw_call *call, hw_option_id id, hw_entry_id row, double *out)
{
    const char *given = call->option[id];
    *out = (double)NAN;
    if (!given) return HW_EXIT_HOLDS;
    size_t n;
    const hw_entry_row *r = &hw_entry_rows(&n)[row];
    hw_exit status =
        hw_call_quantity(call, hw_option_table[id].name, hw_text_of(given), r->dim, out);
    if (status != HW_EXIT_HOLDS) return status;
    if (*out >= r->low && *out <= r->high) return HW_EXIT_HOLDS;
    char low[HW_NUMBER_TEXT], high[HW_NUMBER_TEXT];
    hw_number_write_rounded(r->low * 1000, 6, low);
    hw_number_write_rounded(r->high * 1000, 6, high);
    return hw_call_fault(call, "\"--%s\" is out of range; found %s, expected %s mm to %s mm",
                         hw_option_table[id].name, given, low, high);
}

// The scan that the options name, if any; *out NULL otherwise.
static hw_exit scan_option(hw_call *call, const hw_scan **out)
{
    const char *picks = call->option[HW_OPT_LANDMARKS], *mesh = call->option[HW_OPT_SCAN];
    const char *side = call->option[HW_OPT_SIDE];
    hw_mesh_file file;
    *out = NULL;
    if (!picks && !mesh) return HW_EXIT_HOLDS;
    if (!picks || !mesh)
        return hw_call_fault(call, "\"--%s\" needs \"--%s\" beside it",
                             picks ? "landmarks" : "scan", picks ? "scan" : "landmarks");
    hw_scan *scan = HW_NEW(call->arena, hw_scan, 1);
    if (!scan) return hw_call_code(call, HW_NO_MEMORY);
    hw_exit status = hw_call_scan(call, mesh, picks, &file, scan);
    if (status != HW_EXIT_HOLDS) return status;
    const char *found = scan->left ? "left" : "right";
    if (side && strcmp(side, found) != 0)
        return hw_call_fault(call, "\"--side\": found \"%s\", but %s is a %s hand", side, mesh,
                             found);
    *out = scan;
    return HW_EXIT_HOLDS;
}

static hw_exit read_options(hw_call *call, starter *s)
{
    s->side = call->option[HW_OPT_SIDE];
    if (s->side && strcmp(s->side, "left") != 0 && strcmp(s->side, "right") != 0)
        return hw_call_fault(call, "\"--side\": found \"%s\", expected right or left", s->side);
    hw_exit status = length_option(call, HW_OPT_LENGTH, HW_E_HAND_LENGTH, &s->length);
    if (status != HW_EXIT_HOLDS) return status;
    status = length_option(call, HW_OPT_BREADTH, HW_E_HAND_BREADTH, &s->breadth);
    if (status == HW_EXIT_HOLDS) status = scan_option(call, &s->scan);
    if (status == HW_EXIT_HOLDS && s->scan) s->side = s->scan->left ? "left" : "right";
    return status;
}

hw_exit hw_verb_new(hw_call *call)
{
    hw_buffer text = {.arena = call->arena};
    starter s = {.out = &text};
    hw_exit status = read_options(call, &s);
    if (status != HW_EXIT_HOLDS) return status;
    put_document(&s);
    if (hw_arena_failed(call->arena)) return hw_call_code(call, HW_NO_MEMORY);

    const char *path = call->option[HW_OPT_FILE];
    if (path) {
        hw_code code = hw_file_write(call, path, (hw_text){text.at, text.len});
        if (code != HW_OK) return hw_call_code(call, code);
        hw_buffer_format(&call->text, "%s is written; next: handwright assess %s\n", path, path);
    } else
        hw_buffer_put(&call->text, (hw_text){text.at, text.len});
    hw_json j = {.to = &call->json};
    hw_json_open(&j, NULL, '{');
    hw_json_count(&j, "schema", 1);
    hw_json_text(&j, "file", path);
    hw_json_text(&j, "document", text.at);
    hw_json_close(&j, '}');
    return HW_EXIT_HOLDS;
}
