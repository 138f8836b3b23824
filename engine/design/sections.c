// The sections of a document that are not entries: version, catalogue, variants, requirements.
#include "design/design_internal.h"

#include "base/text.h"

#include <math.h>
#include <string.h>

static const hw_text nothing = {NULL, 0};

const char *const hw_extra_key[4] = {"handwright", "variants", "requirements", "catalogue"};

bool hw_is_extra_key(hw_text key)
{
    for (size_t i = 0; i < 4; i++)
        if (hw_text_same(key, hw_text_of(hw_extra_key[i]))) return true;
    return false;
}

static void read_version(hw_reader *r, const hw_node *node)
{
    double version = 0;
    size_t at = hw_node_place(node);
    bool number = node->kind == HW_NODE_SCALAR && node->text.len &&
                  hw_number_read(node->text, &version) == node->text.len;
    if (!number || version != floor(version) || version < 0) {
        HW_FAULT(&r->faults, &r->source, at, node->text, HW_TEXT("1"),
                 "the document's version is a whole number");
        return;
    }
    if (version > HW_DOCUMENT_VERSION)
        HW_FAULT(&r->faults, &r->source, at, node->text, HW_TEXT("1"),
                 "this document is for a newer version of the program");
    else if (version < HW_DOCUMENT_VERSION)
        hw_fault_add(&r->faults, HW_OK, &r->source, at, node->text, HW_TEXT("1"),
                     "older document, read as version %d", HW_DOCUMENT_VERSION);
}

static void read_variants(hw_reader *r, const hw_node *node)
{
    if (node->bad || node->kind == HW_NODE_NULL) return;
    if (node->kind != HW_NODE_MAP) {
        HW_FAULT(&r->faults, &r->source, hw_node_place(node), nothing,
                 HW_TEXT("names, each with entries below"), "'variants' holds keys");
        return;
    }
    r->variant_name = HW_NEW(r->arena, hw_text, node->count);
    if (!r->variant_name) return;
    for (const hw_node *one = node->first; one; one = one->next) {
        if (one->skip) continue;
        r->variant_name[r->variants++] = one->key;
        if (one->bad || one->kind == HW_NODE_NULL) continue;
        if (one->kind != HW_NODE_MAP) {
            HW_FAULT(&r->faults, &r->source, hw_node_place(one), one->text,
                     HW_TEXT("entries with their values"), "a variant holds keys");
            continue;
        }
        bool wanted = r->def->variant.len && hw_text_same(one->key, r->def->variant);
        hw_slot *slots = wanted ? r->variant : r->spare;
        if (!wanted) memset(r->spare, 0, hw_entry_count() * sizeof *r->spare);
        hw_schema_map(r, &r->source, slots, "", one);
    }
}

static void check_wanted_variant(hw_reader *r, const hw_node *section)
{
    if (!r->def->variant.len) return;
    for (size_t i = 0; i < r->variants; i++)
        if (hw_text_same(r->variant_name[i], r->def->variant)) r->chosen = true;
    if (r->chosen) return;
    hw_text near = hw_nearest_of(r->def->variant, r->variant_name, r->variants);
    HW_FAULT(&r->faults, &r->source, section ? section->key_begin : SIZE_MAX, r->def->variant, near,
             "the document has no variant of this name");
}

// Dimension that a requirement's limits have; false: unknown id, reported.
static bool requirable(hw_reader *r, const hw_node *node, hw_text id, hw_dim *dim)
{
    const hw_requirable *known = r->def->requirable;
    char near[96] = "", one[96];
    if (!known) return true;
    hw_text asked = id;
    static const char star[] = "digits.*/", index[] = "digits.index/";
    size_t skip = sizeof star - 1, lead = sizeof index - 1;
    bool all = id.len > skip && memcmp(id.at, star, skip) == 0;
    if (all && id.len - skip + lead < sizeof one) {
        memcpy(one, index, lead);
        memcpy(one + lead, id.at + skip, id.len - skip);
        asked = (hw_text){one, id.len - skip + lead};
    }
    if (known->look_up(known->self, asked, dim, near)) return true;
    near[sizeof near - 1] = '\0';
    char *slash = all ? strchr(near, '/') : NULL; // suggest with the star again
    if (slash && strlen(slash) + skip < sizeof one) {
        memcpy(one, star, skip - 1);
        memcpy(one + skip - 1, slash, strlen(slash) + 1);
        memcpy(near, one, strlen(one) + 1);
    }
    HW_FAULT(&r->faults, &r->source, node->key.at ? node->key_begin : hw_node_place(node), id,
             hw_text_of(near), "no finding has this name");
    return false;
}

static void read_limit(hw_reader *r, const hw_node *node, const hw_dim *dim, hw_expr *out,
                       bool *given)
{
    if (node->bad) return;
    if (node->kind != HW_NODE_SCALAR) {
        HW_FAULT(&r->faults, &r->source, hw_node_place(node), nothing, HW_TEXT("a number"),
                 "a limit takes one value");
        return;
    }
    hw_expr_place place = hw_place_of(&r->source, node, true);
    if (!hw_expr_compile(&r->faults, &place, node->text, out)) return;
    const char *name = hw_shown(&r->faults, node->key);
    if (dim && !hw_dim_fits(&r->faults, &r->source, hw_node_place(node), out, *dim, name)) return;
    if (out->constant && !isfinite(out->value)) {
        HW_FAULT(&r->faults, &r->source, hw_node_place(node), node->text,
                 HW_TEXT("a finite number"), "this limit does not come out as a number");
        return;
    }
    *given = true;
}

// The parts of a requirement's mapping: low, high and, in a list, id. True: all keys are known.
static bool requirement_parts(hw_reader *r, const hw_node *node, bool listed,
                              const hw_node *part[3])
{
    static const hw_text name[3] = {{"low", 3}, {"high", 4}, {"id", 2}};
    size_t names = listed ? 3 : 2;
    bool clean = true;
    for (const hw_node *n = node->first; n; n = n->next) {
        size_t which = 0;
        if (n->skip) continue;
        while (which < names && !hw_text_same(n->key, name[which])) which++;
        if (which < names) {
            part[which] = n;
            continue;
        }
        clean = false;
        hw_text near = hw_nearest_of(n->key, name, names);
        HW_FAULT(&r->faults, &r->source, n->key_begin, n->key,
                 near.len ? near : HW_TEXT("low or high"), "unknown key in a requirement");
    }
    return clean;
}

// An id that can stand and was not given before.
static bool usable_id(hw_reader *r, const hw_node *node, const hw_node *named, hw_text id,
                      hw_dim *dim)
{
    if (id.len == 0 || id.len >= sizeof(((hw_requirement *)0)->id)) {
        HW_FAULT(&r->faults, &r->source, hw_node_place(node), id, HW_TEXT("a finding's name"),
                 id.len ? "this name is too long for a finding" : "a requirement names a finding");
        return false;
    }
    if (!requirable(r, named, id, dim)) return false;
    for (const hw_limit *l = r->limits; l; l = l->next)
        if (hw_text_same(l->id, id)) {
            HW_FAULT(&r->faults, &r->source, hw_node_place(named), id, nothing,
                     "this requirement is given a second time");
            return false;
        }
    return true;
}

// One requirement; its id is given by its key, or by an "id" inside.
static void read_requirement(hw_reader *r, const hw_node *node, hw_text id, bool listed)
{
    const hw_node *part[3] = {NULL, NULL, NULL};
    hw_dim dim = HW_DIM_NONE;
    if (node->bad) return;
    if (node->kind != HW_NODE_MAP) {
        HW_FAULT(&r->faults, &r->source, hw_node_place(node), node->text,
                 HW_TEXT("{low: value, high: value}"), "a requirement has low, high or both");
        return;
    }
    bool clean = requirement_parts(r, node, listed, part);
    const hw_node *named = part[2] ? part[2] : node;
    if (!usable_id(r, node, named, part[2] ? part[2]->text : id, &dim)) return;
    if (!part[0] && !part[1]) {
        if (clean)
            HW_FAULT(&r->faults, &r->source, hw_node_place(named), nothing, HW_TEXT("low or high"),
                     "a requirement has low, high or both");
        return;
    }
    hw_limit *limit = HW_NEW(r->arena, hw_limit, 1);
    if (!limit) return;
    *limit = (hw_limit){.id = part[2] ? part[2]->text : id, .node = node};
    for (int side = 0; side < 2; side++)
        if (part[side])
            read_limit(r, part[side], r->def->requirable ? &dim : NULL, &limit->expr[side],
                       &limit->given[side]);
    *(r->last_limit ? &r->last_limit->next : &r->limits) = limit;
    r->last_limit = limit;
    r->limit_count++;
}

static void read_requirements(hw_reader *r, const hw_node *node)
{
    if (node->bad || node->kind == HW_NODE_NULL) return;
    if (node->kind == HW_NODE_SCALAR) {
        HW_FAULT(&r->faults, &r->source, hw_node_place(node), node->text,
                 HW_TEXT("finding: {low: value}"), "'requirements' holds keys or a list");
        return;
    }
    bool listed = node->kind == HW_NODE_LIST;
    for (const hw_node *one = node->first; one; one = one->next)
        if (!one->skip) read_requirement(r, one, listed ? nothing : one->key, listed);
}

void hw_read_sections(hw_reader *r, const hw_node *root)
{
    const hw_node *variants = NULL, *requirements = NULL, *catalogue = NULL;
    for (const hw_node *n = root ? root->first : NULL; n; n = n->next) {
        if (n->skip) continue;
        if (hw_text_same(n->key, HW_TEXT("handwright"))) read_version(r, n);
        if (hw_text_same(n->key, HW_TEXT("variants"))) variants = n;
        if (hw_text_same(n->key, HW_TEXT("requirements"))) requirements = n;
        if (hw_text_same(n->key, HW_TEXT("catalogue"))) catalogue = n;
    }
    hw_catalogue_shipped(r);
    if (catalogue) hw_catalogue_user(r, catalogue);
    if (variants) read_variants(r, variants);
    check_wanted_variant(r, variants);
    if (requirements) read_requirements(r, requirements);
}
