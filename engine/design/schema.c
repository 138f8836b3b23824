// What the keys of a document mean: entries, sections and list forms, all from the entry table.
#include "design/design_internal.h"

#include "base/text.h"

#include <string.h>

static const hw_text nothing = {NULL, 0};

// Is the entry's path below `path`? *rest is what follows the dot, in the table or a digit's name.
static bool below(hw_entry e, const char *path, const char **rest)
{
    int digit;
    const hw_entry_row *row = hw_entry_row_of(e, &digit);
    const char *name = digit == 0 && row->thumb_path ? row->thumb_path : row->path;
    static const char lead[] = "digits";
    size_t skip = sizeof lead - 1;
    *rest = name;
    if (!path[0]) return true;
    if (digit >= 0) {
        *rest = hw_digit_name[digit];
        if (strncmp(path, lead, skip) != 0 || !path[skip]) return strcmp(path, lead) == 0;
        size_t n = strlen(*rest);
        if (path[skip] != '.' || strncmp(path + skip + 1, *rest, n) != 0) return false;
        path += skip + 1 + n;
        name += sizeof "digits.*" - 1;
    }
    size_t n = strlen(path);
    *rest = name + n + 1;
    return strncmp(name, path, n) == 0 && name[n] == '.';
}

size_t hw_section_parts(const char *path, hw_text part[], size_t room)
{
    size_t n = 0;
    for (hw_entry e = 0; (size_t)e < hw_entry_count(); e++) {
        const char *rest;
        if (!below(e, path, &rest)) continue;
        hw_text one = {rest, strcspn(rest, ".")};
        bool known = false;
        for (size_t i = 0; i < n && !known; i++) known = hw_text_same(part[i], one);
        if (!known && n < room) part[n++] = one;
    }
    return n;
}

bool hw_is_section(const char *path)
{
    const char *rest;
    for (hw_entry e = 0; (size_t)e < hw_entry_count(); e++)
        if (below(e, path, &rest)) return true;
    return false;
}

bool hw_section_is_list(const char *path, size_t *n)
{
    static const char *const first_of_list[] = {"proximal", "metacarpal", "mcp", "open", "x"};
    hw_text part[4];
    *n = hw_section_parts(path, part, 4);
    if (*n < 2 || *n > 3) return false;
    for (size_t i = 0; i < sizeof first_of_list / sizeof first_of_list[0]; i++)
        if (hw_text_same(part[0], hw_text_of(first_of_list[i]))) return true;
    return false;
}

hw_text hw_nearest_of(hw_text name, const hw_text of[], size_t n)
{
    size_t best = 64, limit = 1 + name.len / 4;
    hw_text found = nothing;
    for (size_t i = 0; i < n; i++) {
        if (of[i].len > name.len + limit || name.len > of[i].len + limit) continue;
        size_t d = hw_text_distance(name, of[i]);
        if (d < best && d <= limit) {
            best = d;
            found = of[i];
        }
    }
    return found;
}

hw_expr_place hw_place_of(const hw_source *s, const hw_node *n, bool entries)
{
    bool quoted = n->style == HW_STYLE_SINGLE || n->style == HW_STYLE_DOUBLE;
    size_t inside = n->begin + (quoted ? 1 : 0);
    bool exact = n->style != HW_STYLE_BLOCK && inside + n->text.len <= s->bytes.len &&
                 n->text.len > 0 && memcmp(s->bytes.at + inside, n->text.at, n->text.len) == 0;
    return (hw_expr_place){.source = s,
                           .offset = exact ? inside : hw_node_place(n),
                           .exact = exact,
                           .digit = -1,
                           .entries = entries};
}

// "workshop or classroom" from "workshop|classroom"; how many there are.
static size_t choices(const char *list, hw_text out[8], char words[64])
{
    size_t n = 0, at = 0;
    while (n < 8) {
        size_t len = strcspn(list, "|");
        out[n++] = (hw_text){list, len};
        const char *joint = n == 1 ? "" : list[len] ? ", " : " or ";
        if (at + strlen(joint) + len < 64) {
            memcpy(words + at, joint, strlen(joint));
            memcpy(words + at + strlen(joint), list, len);
            at += strlen(joint) + len;
        }
        if (!list[len]) break;
        list += len + 1;
    }
    words[at] = '\0';
    return n;
}

// Which of a row's choices a value is; -1: none, said of `path`.
static int choice_of(hw_reader *r, const hw_source *s, const hw_node *node, const hw_entry_row *row,
                     const char *path)
{
    hw_text one[8];
    char words[64];
    size_t n = choices(row->choices, one, words);
    for (size_t i = 0; i < n; i++)
        if (hw_text_same(one[i], node->text)) return (int)i;
    hw_text near = hw_nearest_of(node->text, one, n);
    HW_FAULT(&r->faults, s, hw_node_place(node), node->text, near.len ? near : hw_text_of(words),
             "'%s' cannot be this", path);
    return -1;
}

static void fill_choice(hw_reader *r, hw_slot *slot, const hw_entry_row *row, const char *path)
{
    hw_text one[8];
    char words[64];
    int which = choice_of(r, slot->source, slot->node, row, path);
    slot->state = which < 0 ? HW_SLOT_BAD : slot->state;
    if (which < 0) return;
    (void)choices(row->choices, one, words);
    slot->choice = which;
    slot->text = one[which];
}

static void fill_number(hw_reader *r, hw_slot *slot, const hw_entry_row *row, const char *path)
{
    hw_faults *f = &r->faults;
    hw_expr_place place = hw_place_of(slot->source, slot->node, true);
    size_t at = hw_node_place(slot->node);
    slot->state = HW_SLOT_BAD;
    if (!hw_expr_compile(f, &place, slot->text, &slot->expr)) return;
    if (!hw_dim_fits(f, slot->source, at, &slot->expr, row->dim, path)) return;
    char found[64], expected[64];
    const char *why =
        slot->expr.constant ? hw_value_fault(row, slot->expr.value, found, expected) : NULL;
    if (why) {
        HW_FAULT(f, slot->source, at, hw_text_of(found), hw_text_of(expected), "'%s' %s", path,
                 why);
        return;
    }
    slot->state = HW_SLOT_SET;
}

void hw_slot_fill(hw_reader *r, const hw_source *s, hw_slot *slots, hw_entry e, const hw_node *node)
{
    hw_slot *slot = &slots[e];
    const hw_entry_row *row = hw_entry_row_of(e, NULL);
    char path[HW_PATH_TEXT];
    hw_entry_path(e, path);
    if (slot->node) {
        HW_FAULT(&r->faults, s, hw_node_place(node), nothing, nothing,
                 "'%s' is given a second time", path);
        return;
    }
    *slot = (hw_slot){.state = HW_SLOT_BAD, .node = node, .source = s, .text = node->text};
    if (node->bad) return;
    if (node->kind == HW_NODE_NULL && row->type == HW_ENTRY_TEXT) {
        slot->text = HW_TEXT("");
        slot->state = HW_SLOT_SET;
        return;
    }
    if (node->kind != HW_NODE_SCALAR) {
        const char *what = node->kind == HW_NODE_NULL   ? "has no value"
                           : node->kind == HW_NODE_LIST ? "takes one value, not a list"
                                                        : "takes one value, not a group of keys";
        HW_FAULT(&r->faults, s, hw_node_place(node), nothing,
                 row->type == HW_ENTRY_NUMBER ? hw_text_of(hw_dim_name(row->dim)) : nothing,
                 "'%s' %s", path, what);
        return;
    }
    slot->state = HW_SLOT_SET;
    if (row->type == HW_ENTRY_CHOICE)
        fill_choice(r, slot, row, path);
    else if (row->type == HW_ENTRY_NUMBER || row->type == HW_ENTRY_COUNT)
        fill_number(r, slot, row, path);
    else if (row->type == HW_ENTRY_NAME && !hw_catalogue_has(r, e, slot))
        slot->state = HW_SLOT_BAD;
}

void hw_slot_default(hw_reader *r, hw_slot *slots, hw_entry e)
{
    int digit;
    const hw_entry_row *row = hw_entry_row_of(e, &digit);
    const char *text = row->fallback;
    if (digit >= 0 && row->digit_fallback[digit]) text = row->digit_fallback[digit];
    hw_slot *slot = &slots[e];
    bool number = row->type == HW_ENTRY_NUMBER || row->type == HW_ENTRY_COUNT;
    if (row->shared && !number) { // the hand's own word, which was settled before
        const hw_slot *of = &slots[hw_entry_find(hw_text_of(row->shared))];
        *slot = (hw_slot){.state = of->state, .text = of->text, .choice = of->choice};
        return;
    }
    *slot = (hw_slot){.state = HW_SLOT_SET, .text = hw_text_of(text), .origin = HW_FROM_DEFAULT};
    if (row->type == HW_ENTRY_CHOICE) {
        hw_text one[8];
        char words[64];
        size_t n = choices(row->choices, one, words);
        for (size_t i = 0; i < n; i++)
            if (hw_text_same(one[i], slot->text)) slot->choice = (int)i;
    } else if (number) {
        hw_expr_place place = {.offset = SIZE_MAX, .digit = digit, .entries = true};
        if (!hw_expr_compile(&r->faults, &place, slot->text, &slot->expr))
            slot->state = HW_SLOT_BAD;
    }
}

// "length, breadth, side" for a message, cut where it is full.
static void list_parts(const char *path, char out[64])
{
    hw_text part[16];
    size_t n = hw_section_parts(path, part, 16), at = 0;
    for (size_t i = 0; i < n && at + part[i].len + 2 < 60; i++) {
        if (i) {
            memcpy(out + at, ", ", 2);
            at += 2;
        }
        memcpy(out + at, part[i].at, part[i].len);
        at += part[i].len;
    }
    out[at] = '\0';
}

// In { } a comma ends a value, so what followed it looks like a key without value.
static const char *comma_hint(const hw_node *node)
{
    if (node->kind != HW_NODE_NULL || node->key.len == 0) return "";
    if (node->key.at[node->key.len - 1] == ')')
        return ": inside { } an expression with a comma needs quotes";
    bool digit = node->key.at[0] >= '0' && node->key.at[0] <= '9';
    return digit ? ": numbers have a decimal point, not a comma" : "";
}

static void unknown_key(hw_reader *r, const hw_source *s, const hw_slot *slots, const char *prefix,
                        const hw_node *node)
{
    hw_text part[40];
    bool top = !prefix[0], document = slots == r->document;
    size_t n = hw_section_parts(prefix, part, 36);
    if (top && document)
        for (size_t i = 0; i < 4; i++) part[n++] = hw_text_of(hw_extra_key[i]);
    if (top && !document && hw_is_extra_key(node->key)) {
        HW_FAULT(&r->faults, s, node->key_begin, node->key, HW_TEXT("entries with their values"),
                 "this cannot stand in a variant");
        return;
    }
    char elsewhere[HW_PATH_TEXT], all[64] = "";
    hw_text near = nothing;
    if (r->faults.kept < HW_FAULTS_KEPT) { // else nobody would read the suggestion
        near = hw_nearest_of(node->key, part, n);
        list_parts(prefix, all);
        if (!near.len && top) near = hw_entry_nearest(node->key, elsewhere);
    }
    HW_FAULT(&r->faults, s, node->key_begin, node->key, near.len ? near : hw_text_of(all),
             "unknown key in %s%s%s%s", top ? "" : "'",
             !top       ? prefix
             : document ? "the document"
                        : "a variant",
             top ? "" : "'", comma_hint(node));
}

static void list_form(hw_reader *r, const hw_source *s, hw_slot *slots, const char *path,
                      const hw_node *list);

// path + "." + part into out; false where it does not fit.
static bool join(const char *path, hw_text part, char out[HW_PATH_TEXT])
{
    size_t n = strlen(path), dot = n ? 1 : 0;
    if (n + dot + part.len >= HW_PATH_TEXT) return false;
    memcpy(out, path, n);
    if (dot) out[n] = '.';
    if (part.len) memcpy(out + n + dot, part.at, part.len);
    out[n + dot + part.len] = '\0';
    return memchr(out, '\0', n + dot + part.len) == NULL;
}

// Whether all parts of a list are choices: one word then stands for each of them.
static bool choices_alike(const char *path, hw_text part[4], size_t *n)
{
    char next[HW_PATH_TEXT];
    if (!hw_section_is_list(path, n)) return false;
    (void)hw_section_parts(path, part, 4);
    for (size_t i = 0; i < *n; i++) {
        hw_entry e = join(path, part[i], next) ? hw_entry_find(hw_text_of(next)) : -1;
        if (e < 0 || hw_entry_row_of(e, NULL)->type != HW_ENTRY_CHOICE) return false;
    }
    return true;
}

static bool put(hw_reader *r, const hw_source *s, hw_slot *slots, const char *path,
                const hw_node *node);

// One word for all parts of a list of choices, which are the same for each; a wrong one is said
// once.
static void put_choice(hw_reader *r, const hw_source *s, hw_slot *slots, const char *path,
                       const hw_node *node)
{
    hw_text part[4] = {{NULL, 0}};
    char next[HW_PATH_TEXT];
    size_t n = hw_section_parts(path, part, 4);
    bool known = true;
    for (size_t i = 0; i < n; i++) {
        if (!join(path, part[i], next)) continue;
        hw_entry e = hw_entry_find(hw_text_of(next));
        if (i == 0) known = choice_of(r, s, node, hw_entry_row_of(e, NULL), path) >= 0;
        if (known)
            (void)put(r, s, slots, next, node);
        else if (!slots[e].node)
            slots[e] = (hw_slot){.state = HW_SLOT_BAD, .node = node, .source = s};
    }
}

// What stands under one path: an entry's value, a section, or neither (false).
static bool put(hw_reader *r, const hw_source *s, hw_slot *slots, const char *path,
                const hw_node *node)
{
    hw_text part[4] = {{NULL, 0}};
    size_t n = 0;
    hw_entry e = hw_entry_find(hw_text_of(path));
    if (e >= 0) {
        hw_slot_fill(r, s, slots, e, node);
        return true;
    }
    if (!hw_is_section(path)) return false;
    if (node->bad) return true;
    if (node->kind == HW_NODE_SCALAR && choices_alike(path, part, &n)) {
        put_choice(r, s, slots, path, node);
        return true;
    }
    if (node->kind == HW_NODE_MAP)
        hw_schema_map(r, s, slots, path, node);
    else if (node->kind == HW_NODE_LIST)
        list_form(r, s, slots, path, node);
    else if (node->kind == HW_NODE_SCALAR) {
        char parts[64];
        list_parts(path, parts);
        HW_FAULT(&r->faults, s, hw_node_place(node), node->text, hw_text_of(parts),
                 "'%s' holds keys, not one value", path);
    }
    return true;
}

static void list_form(hw_reader *r, const hw_source *s, hw_slot *slots, const char *path,
                      const hw_node *list)
{
    size_t n = 0;
    hw_text part[4] = {{NULL, 0}};
    char parts[64], next[HW_PATH_TEXT];
    list_parts(path, parts);
    if (!hw_section_is_list(path, &n)) {
        HW_FAULT(&r->faults, s, hw_node_place(list), HW_TEXT("a list"), hw_text_of(parts),
                 "'%s' holds keys, not a list", path);
        return;
    }
    if (list->count != n) {
        bool comma = false;
        for (const hw_node *item = list->first; item && !comma; item = item->next)
            comma = item->text.len && memchr(item->text.at, '(', item->text.len);
        HW_FAULT(&r->faults, s, hw_node_place(list), nothing, hw_text_of(parts),
                 "'%s' is a list of %zu here, not of %zu%s", path, list->count, n,
                 comma ? ": an expression with a comma needs quotes" : "");
        return;
    }
    (void)hw_section_parts(path, part, 4);
    size_t i = 0;
    for (const hw_node *item = list->first; item; item = item->next, i++)
        if (join(path, part[i], next)) (void)put(r, s, slots, next, item);
}

void hw_schema_map(hw_reader *r, const hw_source *s, hw_slot *slots, const char *prefix,
                   const hw_node *map)
{
    for (const hw_node *node = map->first; node; node = node->next) {
        char path[HW_PATH_TEXT];
        if (node->skip) continue;
        bool document = !prefix[0] && slots == r->document;
        if (document && hw_is_extra_key(node->key)) continue;
        if (!join(prefix, node->key, path) || node->key.len == 0 || !put(r, s, slots, path, node))
            unknown_key(r, s, slots, prefix, node);
    }
}
