// Byte-exact edits: the new text is spliced into the user's own bytes, the result is read again and
// compared. One edit after the other, so that each finds what those before it added.
#include "design/edit_internal.h"

#include "base/text.h"

#include <string.h>

static const hw_text nothing = {NULL, 0};

typedef struct editor {
    hw_arena *arena;
    hw_faults *faults;
    hw_source source;
    const hw_node *root;
} editor;

static char at(const editor *e, size_t i)
{
    return i < e->source.bytes.len ? e->source.bytes.at[i] : '\0';
}

static size_t line_start(const editor *e, size_t i)
{
    while (i > 0 && at(e, i - 1) != '\n' && at(e, i - 1) != '\r') i--;
    return i;
}

static size_t line_end(const editor *e, size_t i)
{
    while (i < e->source.bytes.len && at(e, i) != '\n' && at(e, i) != '\r') i++;
    return i;
}

// The document's own line ending.
static const char *newline(const editor *e)
{
    size_t end = line_end(e, 0);
    return at(e, end) == '\r' ? (at(e, end + 1) == '\n' ? "\r\n" : "\r") : "\n";
}

static hw_text slice(const editor *e, size_t begin, size_t end)
{
    return (hw_text){e->source.bytes.at + begin, end - begin};
}

// The bytes with [begin, end) replaced.
static hw_text spliced(const editor *e, size_t begin, size_t end, hw_text by)
{
    hw_buffer b = {.arena = e->arena};
    hw_buffer_put(&b, slice(e, 0, begin));
    hw_buffer_put(&b, by);
    hw_buffer_put(&b, slice(e, end, e->source.bytes.len));
    return (hw_text){b.at, b.at ? b.len : 0};
}

static bool in_flow(const hw_node *n)
{
    for (; n; n = n->parent)
        if (n->flow) return true;
    return false;
}

static bool plain_allowed(hw_text t, bool flow)
{
    if (t.len == 0 || t.at[0] == ' ' || t.at[t.len - 1] == ' ' || t.at[t.len - 1] == ':')
        return false;
    if (hw_text_same(t, HW_TEXT("~")) || hw_text_same(t, HW_TEXT("null"))) return false;
    if (strchr(",[]{}#&*!|>'\"%@`", t.at[0])) return false;
    bool first_mark = strchr("-?:", t.at[0]) != NULL;
    if (first_mark && (t.len == 1 || t.at[1] == ' ' || t.at[1] == t.at[0])) return false;
    for (size_t i = 0; i < t.len; i++) {
        unsigned char c = (unsigned char)t.at[i];
        bool spaced = i + 1 < t.len && t.at[i + 1] == ' ';
        if (c < 0x20 || (c == ':' && (spaced || flow)) || (c == '#' && t.at[i - 1] == ' '))
            return false;
        if (flow && strchr(",[]{}", t.at[i])) return false;
    }
    return true;
}

// Text that a document may hold; *lines: it needs escapes.
static bool writable(hw_faults *f, hw_text text, bool *lines)
{
    *lines = false;
    for (size_t i = 0; i < text.len; i++) {
        unsigned char c = (unsigned char)text.at[i];
        bool white = c == '\n' || c == '\t';
        *lines = *lines || white;
        if (white || (c >= 0x20 && c != 0x7F)) continue;
        HW_FAULT(f, NULL, SIZE_MAX, nothing, nothing, "control character %u in the new text",
                 (unsigned)c);
        return false;
    }
    if (hw_utf8_bad(text) == text.len) return true;
    HW_FAULT(f, NULL, SIZE_MAX, nothing, HW_TEXT("UTF-8"), "the new text is not UTF-8");
    return false;
}

static const char *escape_of(char c, bool single)
{
    if (single) return c == '\'' ? "''" : NULL;
    switch (c) {
    case '"':
        return "\\\"";
    case '\\':
        return "\\\\";
    case '\n':
        return "\\n";
    case '\t':
        return "\\t";
    default:
        return NULL;
    }
}

bool hw_scalar_write(hw_faults *f, hw_buffer *b, hw_text text, hw_node_style style, bool flow)
{
    bool lines;
    if (!writable(f, text, &lines)) return false;
    bool quoted = style == HW_STYLE_SINGLE || style == HW_STYLE_DOUBLE;
    if (!quoted && plain_allowed(text, flow)) {
        hw_buffer_put(b, text);
        return true;
    }
    bool single = style == HW_STYLE_SINGLE && !lines;
    hw_buffer_puts(b, single ? "'" : "\"");
    for (size_t i = 0; i < text.len; i++) {
        const char *escape = escape_of(text.at[i], single);
        if (escape)
            hw_buffer_puts(b, escape);
        else
            hw_buffer_put(b, (hw_text){text.at + i, 1});
    }
    hw_buffer_puts(b, single ? "'" : "\"");
    return true;
}

// Behind the colon of a key.
static size_t behind_colon(const editor *e, const hw_node *n)
{
    size_t i = n->key_end;
    while (i < e->source.bytes.len && at(e, i) != ':') i++;
    return i + 1;
}

// Where the text of a block scalar's last line that is not blank ends.
static size_t block_end(const editor *e, const hw_node *n)
{
    size_t i = n->end;
    while (i > n->begin && strchr(" \t\r\n", at(e, i - 1))) i--;
    return i;
}

// The header (| or > with its marks) of a block scalar.
static void block_header(const editor *e, const hw_node *n, size_t *begin, size_t *end)
{
    size_t i = n->key.at ? behind_colon(e, n) : n->begin;
    while (i < n->begin && at(e, i) != '|' && at(e, i) != '>') i++;
    *begin = i;
    while (i < n->begin && strchr("|>+-0123456789", at(e, i))) i++;
    *end = i;
}

static hw_text replace_block(editor *e, const hw_node *n, hw_text text)
{
    size_t begin, end;
    block_header(e, n, &begin, &end);
    hw_buffer b = {.arena = e->arena};
    if (!hw_scalar_write(e->faults, &b, text, HW_STYLE_PLAIN, false)) return nothing;
    hw_buffer_put(&b, slice(e, end, line_end(e, end))); // a comment behind the header
    return spliced(e, begin, block_end(e, n), (hw_text){b.at, b.len});
}

static hw_text replace(editor *e, const hw_node *n, hw_text text)
{
    if (n->kind == HW_NODE_SCALAR && n->style == HW_STYLE_BLOCK) return replace_block(e, n, text);
    hw_buffer b = {.arena = e->arena};
    bool empty = n->kind == HW_NODE_NULL && n->begin >= n->end;
    size_t begin = empty ? behind_colon(e, n) : n->begin, end = empty ? begin : n->end;
    if (empty) hw_buffer_puts(&b, " ");
    if (!hw_scalar_write(e->faults, &b, text, n->style, in_flow(n->parent))) return nothing;
    return spliced(e, begin, end, (hw_text){b.at, b.len});
}

// "a: {b: value}" for inside of brackets.
static bool write_flow(editor *e, hw_buffer *b, const hw_spot *spot, hw_text text)
{
    for (size_t i = 0; i < spot->parts; i++) {
        if (i) hw_buffer_puts(b, "{");
        if (!hw_scalar_write(e->faults, b, spot->part[i], HW_STYLE_PLAIN, true)) return false;
        hw_buffer_puts(b, ": ");
    }
    if (!hw_scalar_write(e->faults, b, text, HW_STYLE_PLAIN, true)) return false;
    for (size_t i = 1; i < spot->parts; i++) hw_buffer_puts(b, "}");
    return true;
}

// Lines "a:", "  b: value" at an indentation.
static bool write_lines(editor *e, hw_buffer *b, const hw_spot *spot, hw_text text, size_t indent,
                        size_t step)
{
    for (size_t i = 0; i < spot->parts; i++) {
        if (i) hw_buffer_puts(b, newline(e));
        for (size_t k = 0; k < indent + i * step; k++) hw_buffer_puts(b, " ");
        if (!hw_scalar_write(e->faults, b, spot->part[i], HW_STYLE_PLAIN, false)) return false;
        hw_buffer_puts(b, ":");
    }
    hw_buffer_puts(b, " ");
    return hw_scalar_write(e->faults, b, text, HW_STYLE_PLAIN, false);
}

static size_t indent_of(const editor *e, size_t key_begin)
{
    size_t start = line_start(e, key_begin);
    if (start == 0 && e->source.bytes.len >= 3 &&
        memcmp(e->source.bytes.at, "\xEF\xBB\xBF", 3) == 0)
        start = 3;
    return key_begin > start ? key_begin - start : 0;
}

// Spaces by which this document goes in, from its first nested block.
static size_t step_of(const editor *e, const hw_node *map)
{
    for (const hw_node *n = map ? map->first : NULL; n; n = n->next) {
        if (n->kind != HW_NODE_MAP || n->flow || !n->first) continue;
        size_t outer = indent_of(e, n->key_begin), inner = indent_of(e, n->first->key_begin);
        if (inner > outer) return inner - outer;
    }
    return 2;
}

// The end of the last line that belongs to a node of a block.
static size_t last_line(const editor *e, const hw_node *n)
{
    while (!n->flow && n->last) n = n->last;
    if (n->kind != HW_NODE_SCALAR || n->style != HW_STYLE_BLOCK) return line_end(e, n->end);
    size_t begin, end;
    block_header(e, n, &begin, &end);
    bool keeps = memchr(e->source.bytes.at + begin, '+', end - begin) != NULL;
    size_t i = keeps ? n->end : block_end(e, n);
    if (keeps && i > 0 && line_start(e, i) == i) { // stand before the last line break
        i--;
        if (at(e, i) == '\n' && i > 0 && at(e, i - 1) == '\r') i--;
    }
    return i;
}

// Inside brackets, or a group that stands for an empty value there.
static hw_text add_in_flow(editor *e, const hw_spot *spot, hw_text text)
{
    const hw_node *up = spot->parent;
    hw_buffer b = {.arena = e->arena};
    bool braces = up->kind == HW_NODE_NULL, empty = braces && up->begin >= up->end;
    size_t begin = up->last ? up->last->end : up->begin + 1, end = begin;
    if (braces) {
        begin = empty ? behind_colon(e, up) : up->begin;
        end = empty ? begin : up->end;
        hw_buffer_puts(&b, empty ? " {" : "{");
    } else if (up->last)
        hw_buffer_puts(&b, ", ");
    if (!write_flow(e, &b, spot, text)) return nothing;
    if (braces) hw_buffer_puts(&b, "}");
    return spliced(e, begin, end, (hw_text){b.at, b.len});
}

static hw_text add(editor *e, const hw_spot *spot, hw_text text)
{
    const hw_node *up = spot->parent;
    bool written_null = up && up->kind == HW_NODE_NULL && up->begin < up->end;
    if (up && (in_flow(up) || written_null)) return add_in_flow(e, spot, text);
    hw_buffer b = {.arena = e->arena};
    size_t step = step_of(e, e->root), indent = 0, where = e->source.bytes.len;
    bool behind_the_end = false;
    if (up && up->kind == HW_NODE_MAP && up->first) {
        indent = indent_of(e, up->first->key_begin);
        where = last_line(e, up);
    } else if (up && up->key.at) { // a key with nothing behind it
        indent = indent_of(e, up->key_begin) + step;
        where = line_end(e, up->key_end);
    } else // the empty document
        behind_the_end = where > 0 && line_start(e, where) == where;
    if (where && !behind_the_end) hw_buffer_puts(&b, newline(e));
    if (!write_lines(e, &b, spot, text, indent, step)) return nothing;
    if (behind_the_end) hw_buffer_puts(&b, newline(e));
    return spliced(e, where, where, (hw_text){b.at, b.len});
}

static bool look(editor *e, hw_arena *a, const char *file, hw_text bytes, hw_faults *f)
{
    e->arena = a;
    hw_source_init(&e->source, a, file, bytes);
    e->root = hw_tree_read(a, &e->source, f);
    if (e->root && e->root->kind == HW_NODE_NULL && !e->root->parent) e->root = NULL;
    return e->root || f->wrong == 0;
}

// The new value must be one that its entry can have.
static bool fits_entry(editor *after, const hw_node *value, hw_entry entry)
{
    const hw_read_def def = {.file = after->source.file};
    hw_reader r = {.arena = after->arena, .def = &def, .faults = *after->faults};
    hw_slot *slots = HW_NEW(after->arena, hw_slot, hw_entry_count());
    if (!slots) return false;
    hw_slot_fill(&r, &after->source, slots, entry, value);
    *after->faults = r.faults;
    return slots[entry].state == HW_SLOT_SET;
}

static bool edit_one(editor *e, const hw_edit *edit, hw_text *bytes)
{
    hw_spot spot, check;
    if (!hw_spot_find(e->faults, e->root, edit->path, &spot)) return false;
    bool several = spot.found && (spot.found->first || spot.found->flow);
    if (several || spot.blocked) {
        HW_FAULT(e->faults, &e->source, spot.found ? hw_node_place(spot.found) : SIZE_MAX,
                 edit->path, nothing,
                 several ? "several values stand here: edit its parts"
                         : "something else stands where this path leads");
        return false;
    }
    *bytes = spot.found ? replace(e, spot.found, edit->text) : add(e, &spot, edit->text);
    if (hw_arena_failed(e->arena) || !bytes->at) return false;
    editor after = {.faults = e->faults};
    hw_faults reading = {.arena = e->arena};
    bool readable = look(&after, e->arena, e->source.file, *bytes, &reading);
    if (!readable || !hw_tree_says(e->root, after.root, &spot, edit->text)) {
        HW_FAULT(e->faults, &e->source, SIZE_MAX, edit->path, nothing,
                 "this edit would change more than its value");
        return false;
    }
    bool there = hw_spot_find(e->faults, after.root, edit->path, &check) && check.found;
    if (there && check.entry >= 0 && !fits_entry(&after, check.found, check.entry)) return false;
    *e = after;
    return there;
}

hw_code hw_design_edit(hw_arena *a, hw_text bytes, const char *file, const hw_edit *edit, size_t n,
                       hw_text *out, hw_diags *diags)
{
    *out = nothing;
    hw_faults faults = {.arena = a}, reading = {.arena = a};
    editor e = {.faults = &faults};
    hw_code code = HW_OK;
    if (!look(&e, a, file, bytes, &reading)) {
        faults = reading;
        code = HW_BAD_INPUT;
    }
    for (size_t i = 0; i < n && code == HW_OK; i++)
        if (!edit_one(&e, &edit[i], &bytes)) code = HW_BAD_INPUT;
    if (hw_arena_failed(a) || faults.no_memory || reading.no_memory) return HW_NO_MEMORY;
    hw_faults_hand_over(&faults, diags);
    if (hw_arena_failed(a)) return HW_NO_MEMORY;
    if (code == HW_OK) *out = bytes;
    return code;
}
