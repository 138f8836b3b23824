// Catalogues: named items whose values are defaults of the entries beside the one that names them.
#include "design/catalogue_internal.h"
#include "design/design_internal.h"

#include "base/text.h"

#include <string.h>

static const hw_text nothing = {NULL, 0};

// The last row that names items of a catalogue ("printers"), or -1: the palm's servos come from the
// drive's catalogue, and have fewer keys.
static int naming_row(hw_text catalogue)
{
    int found = -1;
    for (int row = 0; row < HW_E_SHARED_ROWS; row++)
        if (hw_entry_table[row].type == HW_ENTRY_NAME &&
            hw_text_same(hw_text_of(hw_entry_table[row].choices), catalogue))
            found = row;
    return found;
}

// The entry "printer.KEY" for an item of printers, or -1.
static hw_entry sibling(int row, hw_text key)
{
    const char *path = hw_entry_table[row].path;
    size_t lead = (size_t)(strrchr(path, '.') - path) + 1;
    char whole[HW_PATH_TEXT];
    if (lead + key.len >= sizeof whole || key.len == 0) return -1;
    memcpy(whole, path, lead);
    memcpy(whole + lead, key.at, key.len);
    hw_entry e = hw_entry_find((hw_text){whole, lead + key.len});
    return e == row ? -1 : e;
}

static size_t catalogue_names(hw_text out[8])
{
    size_t n = 0;
    for (int row = 0; row < HW_E_SHARED_ROWS && n < 8; row++)
        if (hw_entry_table[row].type == HW_ENTRY_NAME)
            out[n++] = hw_text_of(hw_entry_table[row].choices);
    return n;
}

static const hw_item *find_item(const hw_reader *r, const char *catalogue, hw_text name)
{
    for (const hw_item *i = r->items; i; i = i->next)
        if (strcmp(i->catalogue, catalogue) == 0 && hw_text_same(i->name, name)) return i;
    return NULL;
}

// Checks an item's keys and adds it.
static void add_item(hw_reader *r, const hw_source *s, int row, const hw_node *node, bool shipped)
{
    hw_faults *f = &r->faults;
    if (node->bad || node->kind != HW_NODE_MAP) {
        if (!node->bad)
            HW_FAULT(f, s, hw_node_place(node), node->text, HW_TEXT("keys with their values"),
                     "an item of a catalogue holds keys");
        return;
    }
    hw_text origin = nothing;
    hw_item *item = HW_NEW(r->arena, hw_item, 1);
    hw_item_value *value = HW_NEW(r->arena, hw_item_value, node->count);
    if (!item || !value) return;
    size_t values = 0;
    memset(r->spare, 0, hw_entry_count() * sizeof *r->spare);
    for (const hw_node *n = node->first; n; n = n->next) {
        if (n->skip) continue;
        if (hw_text_same(n->key, HW_TEXT("source"))) {
            origin = n->text;
            continue;
        }
        hw_entry e = sibling(row, n->key);
        if (e >= 0) {
            hw_slot_fill(r, s, r->spare, e, n);
            value[values++] = (hw_item_value){e, r->spare[e]};
            continue;
        }
        hw_text part[32];
        char section[HW_PATH_TEXT];
        hw_entry_path(row, section);
        *strrchr(section, '.') = '\0';
        size_t parts = hw_section_parts(section, part, 31);
        part[parts++] = HW_TEXT("source");
        HW_FAULT(f, s, n->key_begin, n->key, hw_nearest_of(n->key, part, parts),
                 "unknown key in an item of '%s'", hw_entry_table[row].choices);
    }
    if (origin.len == 0)
        HW_FAULT(f, s, node->key_begin, node->key, HW_TEXT("source: where the values are from"),
                 "an item of a catalogue names its source, or says 'common practice'");
    const char *catalogue = hw_entry_table[row].choices;
    const hw_item *hidden = find_item(r, catalogue, node->key);
    if (hidden)
        hw_fault_add(f, HW_OK, s, node->key_begin, node->key, nothing,
                     "this item takes the place of %s in '%s'",
                     hidden->shipped ? "the shipped one" : "an earlier one", catalogue);
    *item = (hw_item){.catalogue = catalogue,
                      .name = node->key,
                      .origin = origin,
                      .value = value,
                      .values = values,
                      .shipped = shipped,
                      .next = r->items};
    r->items = item;
}

static void read_file(hw_reader *r, const char *name, hw_text bytes, bool shipped)
{
    hw_source *s = HW_NEW(r->arena, hw_source, 1);
    if (!s) return;
    hw_source_init(s, r->arena, name, bytes);
    const hw_node *root = hw_tree_read(r->arena, s, &r->faults);
    if (!root) return;
    hw_text names[9];
    size_t known = catalogue_names(names);
    if (root->kind != HW_NODE_MAP) {
        HW_FAULT(&r->faults, s, root->begin, nothing, names[0],
                 "a catalogue holds groups such as 'printers'");
        return;
    }
    for (const hw_node *group = root->first; group; group = group->next) {
        if (group->skip || group->bad || hw_text_same(group->key, HW_TEXT("handwright"))) continue;
        int row = naming_row(group->key);
        if (row < 0)
            HW_FAULT(&r->faults, s, group->key_begin, group->key,
                     hw_nearest_of(group->key, names, known), "unknown catalogue");
        else if (group->kind == HW_NODE_MAP)
            for (const hw_node *item = group->first; item; item = item->next) {
                if (!item->skip) add_item(r, s, row, item, shipped);
            }
        else if (group->kind != HW_NODE_NULL)
            HW_FAULT(&r->faults, s, hw_node_place(group), group->text, HW_TEXT("names of items"),
                     "a catalogue holds keys");
    }
}

void hw_catalogue_shipped(hw_reader *r)
{
    for (size_t i = 0; i < hw_catalogue_file_count; i++) {
        const hw_catalogue_file *file = &hw_catalogue_file_table[i];
        read_file(r, file->name, (hw_text){file->bytes, file->len}, true);
    }
}

static void load(hw_reader *r, const hw_node *node)
{
    if (node->bad) return;
    if (node->kind != HW_NODE_SCALAR) {
        HW_FAULT(&r->faults, &r->source, hw_node_place(node), nothing, HW_TEXT("a file's name"),
                 "'catalogue' is a file's name or a list of them");
        return;
    }
    const hw_loader *loader = r->def->loader;
    char *name = hw_arena_text(r->arena, node->text);
    hw_text bytes = nothing;
    if (!name) return;
    hw_code code = HW_NOT_FOUND;
    if (loader && loader->read) code = loader->read(loader->self, r->arena, name, &bytes);
    if (code == HW_OK)
        read_file(r, name, bytes, false);
    else if (code == HW_NO_MEMORY)
        hw_fault_add(&r->faults, code, &r->source, hw_node_place(node), node->text, nothing,
                     "no memory for this catalogue");
    else
        HW_FAULT(&r->faults, &r->source, hw_node_place(node), node->text, HW_TEXT("a file"),
                 code == HW_NOT_FOUND ? "this catalogue was not found"
                                      : "this catalogue cannot be read");
}

void hw_catalogue_user(hw_reader *r, const hw_node *files)
{
    if (files->kind == HW_NODE_NULL || files->bad) return;
    if (files->kind != HW_NODE_LIST)
        load(r, files);
    else
        for (const hw_node *one = files->first; one; one = one->next) load(r, one);
}

bool hw_catalogue_has(hw_reader *r, hw_entry naming, const hw_slot *named)
{
    const char *catalogue = hw_entry_row_of(naming, NULL)->choices;
    if (!r->items || find_item(r, catalogue, named->text)) return true;
    hw_text name[64];
    size_t n = 0;
    for (const hw_item *i = r->items; i && n < 64; i = i->next)
        if (strcmp(i->catalogue, catalogue) == 0) name[n++] = i->name;
    HW_FAULT(&r->faults, named->source, named->node ? hw_node_place(named->node) : SIZE_MAX,
             named->text, hw_nearest_of(named->text, name, n), "no item of this name in '%s'",
             catalogue);
    return false;
}

// The entry beside a naming one that is called as an item's entry is beside its own ("servo.mass"
// beside "servo.type"), or -1.
static hw_entry beside(hw_entry naming, hw_entry of_item)
{
    char path[HW_PATH_TEXT], item[HW_PATH_TEXT];
    hw_entry_path(naming, path);
    hw_entry_path(of_item, item);
    const char *key = strrchr(item, '.') + 1;
    size_t lead = (size_t)(strrchr(path, '.') - path) + 1, n = strlen(key);
    if (lead + n >= sizeof path) return -1;
    memcpy(path + lead, key, n + 1);
    return hw_entry_find((hw_text){path, lead + n});
}

// Values of the item that an entry names, for the entries beside it.
static void fill_from(hw_reader *r, hw_entry naming)
{
    const hw_entry_row *row = hw_entry_row_of(naming, NULL);
    hw_slot named = r->final[naming];
    const hw_item *item = find_item(r, row->choices, named.text);
    if (!item) {
        (void)hw_catalogue_has(r, naming, &named);
        return;
    }
    for (size_t i = 0; i < item->values; i++) {
        hw_entry e = beside(naming, item->value[i].entry);
        if (e < 0 || r->final[e].state != HW_SLOT_UNSET) continue;
        r->final[e] = item->value[i].slot;
        r->final[e].node = NULL;
        r->final[e].item = item;
        r->final[e].origin = named.origin == HW_FROM_DEFAULT ? HW_FROM_DEFAULT : HW_FROM_CATALOGUE;
    }
}

void hw_catalogue_fill(hw_reader *r)
{
    for (hw_entry e = 0; (size_t)e < hw_entry_count(); e++) {
        const hw_entry_row *row = hw_entry_row_of(e, NULL);
        if (row->type != HW_ENTRY_NAME) continue;
        bool unset = r->final[e].state == HW_SLOT_UNSET;
        if (unset) hw_slot_default(r, r->final, e);
        // a digit that names nothing takes the hand's values, and not the catalogue's again
        if (r->final[e].state != HW_SLOT_BAD && !(unset && row->shared)) fill_from(r, e);
    }
}
