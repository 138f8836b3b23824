// YAML 1.2 through libfyaml's event parser into a tree. The parser only reads: writing is done by
// splicing the user's own bytes (edit.c), because its emitter loses comments.
#include "design/tree_internal.h"

#include "base/text.h"

#include <libfyaml.h>
#include <string.h>

typedef struct builder {
    hw_arena *arena;
    const hw_source *source;
    hw_faults *faults;
    size_t lead; // bytes of a byte order mark before the parser's first
    hw_node *root, *open;
    int depth;
    bool keyed; // the open mapping has a key that waits for its value
    hw_text key;
    size_t key_begin, key_end;
    bool key_skip;
    size_t documents;
    size_t after; // end of the last token seen
} builder;

static hw_text none(void)
{
    return (hw_text){NULL, 0};
}

size_t hw_node_place(const hw_node *n)
{
    return n->kind == HW_NODE_NULL && n->key.at ? n->key_begin : n->begin;
}

static size_t start_of(const builder *b, struct fy_token *t)
{
    const struct fy_mark *m = t ? fy_token_start_mark(t) : NULL;
    return m ? m->input_pos + b->lead : b->after;
}

static size_t end_of(const builder *b, struct fy_token *t)
{
    const struct fy_mark *m = t ? fy_token_end_mark(t) : NULL;
    size_t end = m ? m->input_pos + b->lead : b->after;
    return end < b->source->bytes.len ? end : b->source->bytes.len;
}

// Text of a token: the document's own bytes where they say it, else a copy.
static hw_text text_of(builder *b, struct fy_token *t)
{
    size_t len = 0;
    const char *at = t ? fy_token_get_text(t, &len) : NULL;
    if (!at) return none();
    size_t begin = start_of(b, t);
    if (begin + len <= b->source->bytes.len && memcmp(b->source->bytes.at + begin, at, len) == 0)
        return (hw_text){b->source->bytes.at + begin, len};
    char *copy = hw_arena_text(b->arena, (hw_text){at, len});
    return copy ? (hw_text){copy, len} : none();
}

static bool same_key(const hw_node *map, hw_text key)
{
    for (const hw_node *n = map->first; n; n = n->next)
        if (hw_text_same(n->key, key)) return true;
    return false;
}

// Hangs a new node where the builder stands. NULL: no memory, or the collection is full.
static hw_node *add_node(builder *b, hw_node_kind kind, size_t begin)
{
    hw_node *n = HW_NEW(b->arena, hw_node, 1);
    if (!n) return NULL;
    *n = (hw_node){.kind = kind, .begin = begin, .end = begin, .parent = b->open};
    hw_node *up = b->open;
    if (!up) {
        b->root = n;
        return n;
    }
    if (up->kind == HW_NODE_MAP) {
        n->key = b->key;
        n->key_begin = b->key_begin;
        n->key_end = b->key_end;
        n->skip = b->key_skip;
        b->keyed = b->key_skip = false;
    }
    if (up->count == HW_DOCUMENT_KEYS) {
        HW_FAULT(b->faults, b->source, hw_node_place(n), none(), none(),
                 "more than %d items in one place", HW_DOCUMENT_KEYS);
        return NULL;
    }
    *(up->last ? &up->last->next : &up->first) = n;
    up->last = n;
    up->count++;
    return n;
}

static void refuse_marks(builder *b, struct fy_token *anchor, struct fy_token *tag)
{
    if (anchor)
        HW_FAULT(b->faults, b->source, start_of(b, anchor) - 1, text_of(b, anchor), none(),
                 "anchors (&name) are not used in design documents");
    if (tag)
        HW_FAULT(b->faults, b->source, start_of(b, tag), text_of(b, tag), none(),
                 "tags (!name) are not used in design documents");
}

// The scalar is the next key of the open mapping.
static void take_key(builder *b, struct fy_token *t)
{
    b->keyed = true;
    b->key = text_of(b, t);
    b->key_begin = start_of(b, t);
    b->key_end = end_of(b, t);
    b->key_skip = false;
    if (!b->key.at) b->key = HW_TEXT("");
    char quote = b->key_end < b->source->bytes.len ? b->source->bytes.at[b->key_end] : 0;
    bool quoted = b->key_begin > 0 && (quote == '"' || quote == '\'') &&
                  b->source->bytes.at[b->key_begin - 1] == quote;
    if (quoted) {
        b->key_begin--;
        b->key_end++;
    }
    if (hw_text_same(b->key, HW_TEXT("<<")) && !quoted) {
        HW_FAULT(b->faults, b->source, b->key_begin, b->key, none(),
                 "merge keys (<<) are not used in design documents");
        b->key_skip = true;
    } else if (same_key(b->open, b->key)) {
        HW_FAULT(b->faults, b->source, b->key_begin, b->key, none(), "this key stands here twice");
        b->key_skip = true;
    }
}

static hw_node_style style_of(struct fy_token *t)
{
    enum fy_scalar_style style = fy_token_scalar_style(t);
    if (style == FYSS_SINGLE_QUOTED) return HW_STYLE_SINGLE;
    if (style == FYSS_DOUBLE_QUOTED) return HW_STYLE_DOUBLE;
    return style == FYSS_LITERAL || style == FYSS_FOLDED ? HW_STYLE_BLOCK : HW_STYLE_PLAIN;
}

static bool is_null(const hw_node *n)
{
    return n->style == HW_STYLE_PLAIN && (n->text.len == 0 || hw_text_same(n->text, HW_TEXT("~")) ||
                                          hw_text_same(n->text, HW_TEXT("null")));
}

static bool take_scalar(builder *b, struct fy_event *e)
{
    refuse_marks(b, e->scalar.anchor, e->scalar.tag);
    struct fy_token *t = e->scalar.value;
    bool key = b->open && b->open->kind == HW_NODE_MAP && !b->keyed;
    if (key) {
        take_key(b, t);
        b->after = b->key_end;
        return true;
    }
    hw_node *n = add_node(b, HW_NODE_SCALAR, start_of(b, t));
    if (!n) return false;
    n->end = end_of(b, t);
    n->style = t ? style_of(t) : HW_STYLE_PLAIN;
    n->text = text_of(b, t);
    if (!n->text.at) n->text = HW_TEXT("");
    if (n->style == HW_STYLE_SINGLE || n->style == HW_STYLE_DOUBLE) { // its span is the inside
        n->begin--;
        n->end++;
    }
    if (is_null(n)) n->kind = HW_NODE_NULL;
    if (e->scalar.tag) n->bad = true;
    b->after = n->end;
    return true;
}

static bool take_alias(builder *b, struct fy_event *e)
{
    struct fy_token *t = e->alias.anchor;
    size_t at = start_of(b, t) - 1;
    HW_FAULT(b->faults, b->source, at, text_of(b, t), none(),
             "aliases (*name) are not used in design documents");
    if (b->open && b->open->kind == HW_NODE_MAP && !b->keyed) return false;
    hw_node *n = add_node(b, HW_NODE_NULL, at);
    if (!n) return false;
    n->bad = true;
    n->end = b->after = end_of(b, t);
    return true;
}

static bool open_collection(builder *b, hw_node_kind kind, struct fy_token *t)
{
    size_t at = start_of(b, t);
    if (b->open && b->open->kind == HW_NODE_MAP && !b->keyed) {
        HW_FAULT(b->faults, b->source, at, none(), HW_TEXT("a word"),
                 "a key is one word, not a list or a group");
        return false;
    }
    if (++b->depth > HW_DOCUMENT_DEPTH) {
        HW_FAULT(b->faults, b->source, at, none(), none(), "nested deeper than %d levels",
                 HW_DOCUMENT_DEPTH);
        return false;
    }
    hw_node *n = add_node(b, kind, at);
    if (!n) return false;
    n->flow = at < b->source->bytes.len &&
              b->source->bytes.at[at] == (kind == HW_NODE_MAP ? '{' : '[') &&
              end_of(b, t) > at; // a block collection's token is empty
    b->open = n;
    b->keyed = false;
    return true;
}

static void close_collection(builder *b, struct fy_token *t)
{
    hw_node *n = b->open;
    if (!n) return;
    n->end = n->flow ? end_of(b, t) : n->last ? n->last->end : n->begin;
    if (n->flow) b->after = n->end;
    b->open = n->parent;
    b->depth--;
}

static bool start_document(builder *b, struct fy_event *e)
{
    struct fy_document_state *state = e->document_start.document_state;
    size_t at = start_of(b, e->document_start.document_start);
    if (b->documents++ > 0) {
        HW_FAULT(b->faults, b->source, at, none(), none(),
                 "a second document starts here: a file holds one");
        return false;
    }
    if (fy_document_state_version_explicit(state) || fy_document_state_tags_explicit(state))
        HW_FAULT(b->faults, b->source, 0, none(), none(),
                 "directives (%s) are not used in design documents", "lines that start with %");
    return true;
}

// One event; false ends the reading.
static bool take(builder *b, struct fy_event *e)
{
    switch (e->type) {
    case FYET_DOCUMENT_START:
        return start_document(b, e);
    case FYET_SCALAR:
        return take_scalar(b, e);
    case FYET_ALIAS:
        return take_alias(b, e);
    case FYET_MAPPING_START:
        refuse_marks(b, e->mapping_start.anchor, e->mapping_start.tag);
        return open_collection(b, HW_NODE_MAP, e->mapping_start.mapping_start);
    case FYET_SEQUENCE_START:
        refuse_marks(b, e->sequence_start.anchor, e->sequence_start.tag);
        return open_collection(b, HW_NODE_LIST, e->sequence_start.sequence_start);
    case FYET_MAPPING_END:
        close_collection(b, e->mapping_end.mapping_end);
        return true;
    case FYET_SEQUENCE_END:
        close_collection(b, e->sequence_end.sequence_end);
        return true;
    case FYET_NONE:
    case FYET_STREAM_START:
    case FYET_STREAM_END:
    case FYET_DOCUMENT_END:
        break;
    }
    return true;
}

// Byte at which the parser's line and column stand.
static size_t byte_of(const builder *b, const struct fy_diag_error *e)
{
    if (!e || e->line <= 0 || (size_t)e->line > b->source->lines) return SIZE_MAX;
    hw_text bytes = b->source->bytes;
    size_t at = b->source->line[e->line - 1] + (e->line == 1 ? b->lead : 0);
    for (int c = 1; c < e->column && at < bytes.len; c++) {
        size_t step = hw_utf8_step((hw_text){bytes.at + at, bytes.len - at});
        at += step ? step : 1;
    }
    return at;
}

// What the parser itself complained about: its first message. An open bracket is noticed late, so
// say where it is.
static void report_parser(builder *b, struct fy_diag *diag)
{
    void *state = NULL;
    const struct fy_diag_error *e = fy_diag_errors_iterate(diag, &state);
    const char *says = e && e->msg ? e->msg : "the text cannot be read";
    const hw_node *open = b->open;
    while (open && !open->flow) open = open->parent;
    if (!open) {
        HW_FAULT(b->faults, b->source, byte_of(b, e), none(), none(), "not valid YAML: %s", says);
        return;
    }
    int line, column;
    hw_source_place(b->source, open->begin, &line, &column);
    bool map = open->kind == HW_NODE_MAP;
    HW_FAULT(b->faults, b->source, byte_of(b, e), none(), map ? HW_TEXT("}") : HW_TEXT("]"),
             "not valid YAML: %s; the %c of line %d, column %d is open", says, map ? '{' : '[',
             line, column);
}

static void parse(builder *b, struct fy_parser *p, struct fy_diag *diag)
{
    bool go_on = true;
    while (go_on) {
        struct fy_event *e = fy_parser_parse(p);
        if (!e) break;
        bool last = e->type == FYET_STREAM_END;
        go_on = take(b, e);
        fy_parser_event_free(p, e);
        if (last) break;
        if (hw_arena_failed(b->arena)) return;
    }
    bool refused = !go_on && b->documents < 2; // by us, inside the first document
    if (go_on && fy_parser_get_stream_error(p)) {
        report_parser(b, diag);
        refused = true;
    }
    if (refused) b->root = NULL; // half a tree would raise faults that are none
}

// What no YAML text may hold, found before the parser sees it.
static bool readable(const hw_source *s, hw_faults *f)
{
    if (s->bytes.len > HW_DOCUMENT_BYTES) {
        HW_FAULT(f, s, 0, none(), none(), "larger than %d bytes: not a design document",
                 HW_DOCUMENT_BYTES);
        return false;
    }
    size_t bad = hw_utf8_bad(s->bytes);
    if (bad < s->bytes.len) {
        HW_FAULT(f, s, bad, none(), HW_TEXT("UTF-8"), "byte %u is not UTF-8 text",
                 (unsigned)(unsigned char)s->bytes.at[bad]);
        return false;
    }
    for (size_t i = 0; i < s->bytes.len; i++) {
        unsigned char c = (unsigned char)s->bytes.at[i];
        if ((c >= 0x20 && c != 0x7F) || c == '\n' || c == '\r' || c == '\t') continue;
        HW_FAULT(f, s, i, none(), none(), "control character %u in the text", (unsigned)c);
        return false;
    }
    return true;
}

static bool blank(hw_text t)
{
    for (size_t i = 0; i < t.len; i++)
        if (t.at[i] != ' ' && t.at[i] != '\n' && t.at[i] != '\r') return false;
    return true;
}

hw_node *hw_tree_read(hw_arena *a, const hw_source *s, hw_faults *f)
{
    if (hw_arena_failed(a) || !readable(s, f)) return NULL;
    builder b = {.arena = a, .source = s, .faults = f};
    hw_text rest = s->bytes;
    if (rest.len >= 3 && memcmp(rest.at, "\xEF\xBB\xBF", 3) == 0) {
        rest.at += b.lead = b.after = 3;
        rest.len -= 3;
    }
    if (blank(rest)) return NULL;
    struct fy_diag_cfg quiet;
    fy_diag_cfg_default(&quiet);
    quiet.fp = NULL;
    struct fy_diag *diag = fy_diag_create(&quiet);
    if (diag) fy_diag_set_collect_errors(diag, true);
    const struct fy_parse_cfg how = {.flags = FYPCF_QUIET | FYPCF_DEFAULT_VERSION_1_2 |
                                              FYPCF_JSON_NONE | FYPCF_SLOPPY_FLOW_INDENTATION,
                                     .diag = diag};
    struct fy_parser *p = diag ? fy_parser_create(&how) : NULL;
    if (p && fy_parser_set_string(p, rest.at, rest.len) == 0)
        parse(&b, p, diag);
    else
        hw_fault_add(f, HW_NO_MEMORY, s, SIZE_MAX, none(), none(), "no memory for the parser");
    if (p) fy_parser_destroy(p);
    if (diag) fy_diag_destroy(diag);
    return hw_arena_failed(a) ? NULL : b.root;
}
