// Where a path leads in a document, and whether an edited document says what was asked.
#include "design/edit_internal.h"

#include <string.h>

static const hw_text nothing = {NULL, 0};

static hw_text behind(hw_text t, size_t n)
{
    return t.at ? (hw_text){t.at + n, t.len - n} : t;
}

static bool leads(hw_text path, hw_text key)
{
    return key.len && path.len > key.len + 1 && path.at[key.len] == '.' &&
           memcmp(path.at, key.at, key.len) == 0;
}

// The path of an entry below `variants.NAME.`, or of one at the top.
typedef struct trail {
    hw_spot *spot;
    hw_text entry_path; // whole path of the entry, for list forms
    size_t best;        // bytes of path that the deepest group has used
    hw_text whole;
} trail;

// The item of a list that stands for the next part of the entry's path.
static const hw_node *item_for(const trail *t, const hw_node *list, hw_text rest, hw_text *after)
{
    char section[HW_PATH_TEXT];
    if (t->entry_path.len < rest.len + 1 || t->entry_path.len >= HW_PATH_TEXT) return NULL;
    size_t lead = t->entry_path.len - rest.len - 1, n, i = 0;
    memcpy(section, t->entry_path.at, lead);
    section[lead] = '\0';
    hw_text part[4];
    if (!hw_section_is_list(section, &n) || n != list->count) return NULL;
    (void)hw_section_parts(section, part, 4);
    for (const hw_node *item = list->first; item; item = item->next, i++) {
        bool last = hw_text_same(rest, part[i]);
        if (!last && !leads(rest, part[i])) continue;
        *after = last ? nothing : behind(rest, part[i].len + 1);
        return item;
    }
    return NULL;
}

static void follow(trail *t, const hw_node *at, hw_text rest)
{
    size_t used = t->whole.len - rest.len;
    if ((at->kind == HW_NODE_MAP || at->kind == HW_NODE_NULL) &&
        (!t->spot->parent || used > t->best)) {
        t->spot->parent = at;
        t->best = used;
    }
    if (at->kind == HW_NODE_LIST) {
        hw_text after;
        const hw_node *item = item_for(t, at, rest, &after);
        if (item && after.len == 0)
            t->spot->found = item;
        else if (item)
            follow(t, item, after);
        else
            t->spot->blocked = true;
        return;
    }
    if (at->kind == HW_NODE_SCALAR) t->spot->blocked = true;
    if (at->kind != HW_NODE_MAP) return;
    for (const hw_node *n = at->first; n && !t->spot->found; n = n->next) {
        if (n->skip) continue;
        if (hw_text_same(n->key, rest))
            t->spot->found = n;
        else if (leads(rest, n->key))
            follow(t, n, behind(rest, n->key.len + 1));
    }
}

// Cuts the path behind its first `used` bytes into keys: at dots, but a finding's id is one key.
static bool cut(hw_spot *spot, hw_text path, bool requirement, size_t used)
{
    size_t begin = 0;
    spot->parts = 0;
    for (int level = 0; begin < path.len; level++) {
        size_t end = begin;
        if (requirement && level == 1) { // up to the last dot
            for (end = path.len; end > begin && path.at[end - 1] != '.';) end--;
            if (end > begin) end--;
        } else
            while (end < path.len && path.at[end] != '.') end++;
        if (end == begin || spot->parts == HW_EDIT_PARTS) return false;
        if (begin >= used) spot->part[spot->parts++] = (hw_text){path.at + begin, end - begin};
        begin = end + 1;
    }
    return spot->parts > 0;
}

static bool ends_in(hw_text t, const char *with)
{
    size_t n = strlen(with);
    return t.len > n && memcmp(t.at + t.len - n, with, n) == 0;
}

bool hw_spot_find(hw_faults *f, const hw_node *root, hw_text path, hw_spot *out)
{
    *out = (hw_spot){.entry = -1};
    bool variant = leads(path, HW_TEXT("variants"));
    bool requirement =
        leads(path, HW_TEXT("requirements")) && (ends_in(path, ".low") || ends_in(path, ".high"));
    hw_text entry = path;
    if (variant) { // behind the variant's name: the longest entry path that fits
        entry = behind(path, 9);
        while (entry.len && hw_entry_find(entry) < 0) {
            const char *dot = memchr(entry.at, '.', entry.len);
            entry = dot ? behind(entry, (size_t)(dot - entry.at) + 1) : nothing;
        }
    }
    out->entry = entry.len ? hw_entry_find(entry) : -1;
    if (out->entry < 0 && !requirement) {
        char near[HW_PATH_TEXT];
        HW_FAULT(f, NULL, SIZE_MAX, path, hw_entry_nearest(path, near), "no entry has this path");
        return false;
    }
    trail t = {.spot = out, .entry_path = entry, .whole = path};
    if (root) follow(&t, root, path);
    if (out->found) return true;
    if (!cut(out, path, requirement, t.best)) out->blocked = true;
    return true;
}

static bool chain_says(const hw_node *n, const hw_spot *spot, size_t part, hw_text text)
{
    if (!n || !hw_text_same(n->key, spot->part[part])) return false;
    if (part + 1 == spot->parts)
        return n->kind == HW_NODE_NULL ? text.len == 0
                                       : n->kind == HW_NODE_SCALAR && hw_text_same(n->text, text);
    return n->kind == HW_NODE_MAP && n->count == 1 && chain_says(n->first, spot, part + 1, text);
}

bool hw_tree_says(const hw_node *before, const hw_node *after, const hw_spot *spot, hw_text text)
{
    bool here = !spot->found && before == spot->parent;
    if (!before) // the document was empty
        return after && after->kind == HW_NODE_MAP && after->count == 1 &&
               chain_says(after->first, spot, 0, text);
    if (!after) return false;
    if (before == spot->found)
        return after->kind == HW_NODE_SCALAR && hw_text_same(after->text, text);
    if (here && before->kind == HW_NODE_NULL)
        return after->kind == HW_NODE_MAP && after->count == 1 &&
               chain_says(after->first, spot, 0, text);
    if (before->kind != after->kind || before->count + (here ? 1 : 0) != after->count) return false;
    if (!hw_text_same(before->text, after->text)) return false;
    const hw_node *b = before->first, *c = after->first;
    for (; b && c; b = b->next, c = c->next)
        if (!hw_text_same(b->key, c->key) || !hw_tree_says(b, c, spot, text)) return false;
    return !here || chain_says(c, spot, 0, text);
}
