// Reading a document: text to tree to slots to values. All faults in one pass.
#include "design/design_internal.h"

#include "base/text.h"

#include <math.h>
#include <string.h>

static const hw_text nothing = {NULL, 0};

static hw_slot *new_slots(hw_arena *a)
{
    return HW_NEW(a, hw_slot, hw_entry_count());
}

// The variant goes before the document, the document before catalogues, those before the table.
static void merge(hw_reader *r)
{
    for (size_t e = 0; e < hw_entry_count(); e++) {
        bool varied = r->variant[e].state != HW_SLOT_UNSET;
        r->final[e] = varied ? r->variant[e] : r->document[e];
        if (r->final[e].state != HW_SLOT_UNSET)
            r->final[e].origin = varied ? HW_FROM_VARIANT : HW_FROM_DOCUMENT;
    }
    hw_catalogue_fill(r);
    for (hw_entry e = 0; (size_t)e < hw_entry_count(); e++)
        if (r->final[e].state == HW_SLOT_UNSET) hw_slot_default(r, r->final, e);
}

static hw_text origin_text(hw_reader *r, hw_entry e)
{
    const hw_slot *slot = &r->final[e];
    hw_buffer b = {.arena = r->arena};
    if (slot->item) {
        hw_buffer_puts(&b, slot->item->catalogue);
        hw_buffer_puts(&b, ", ");
        hw_buffer_put(&b, slot->item->name);
        hw_buffer_puts(&b, ": ");
        hw_buffer_put(&b, slot->item->origin);
    } else if (slot->node) {
        int line, column;
        hw_source_place(slot->source, hw_node_place(slot->node), &line, &column);
        hw_buffer_format(&b, "%s:%d", slot->source->file ? slot->source->file : "document", line);
        if (slot->origin == HW_FROM_VARIANT) {
            hw_buffer_puts(&b, ", variant ");
            hw_buffer_put(&b, r->def->variant);
        }
    } else
        return hw_text_of(hw_entry_row_of(e, NULL)->origin);
    return (hw_text){b.at, b.at ? b.len : 0};
}

static void take_slot(hw_reader *r, hw_design_base *base, double *value, bool *poisoned, hw_entry e)
{
    const hw_slot *slot = &r->final[e];
    poisoned[e] = slot->state == HW_SLOT_BAD;
    base->text[e] = slot->text;
    base->origin[e] = slot->origin;
    base->origin_text[e] = origin_text(r, e);
    if (slot->node && !slot->item)
        hw_source_place(slot->source, hw_node_place(slot->node), &base->line[e], &base->column[e]);
    hw_entry_type type = hw_entry_row_of(e, NULL)->type;
    if (type == HW_ENTRY_CHOICE) value[e] = slot->choice;
    if (type != HW_ENTRY_NUMBER && type != HW_ENTRY_COUNT) return;
    base->text[e] = nothing;
    if (slot->expr.constant)
        value[e] = slot->expr.value;
    else
        base->program[e] = slot->expr.program;
}

static hw_design *new_design(hw_reader *r, hw_design_base **out)
{
    size_t n = hw_entry_count();
    hw_design *d = HW_NEW(r->arena, hw_design, 1);
    hw_design_base *base = HW_NEW(r->arena, hw_design_base, 1);
    if (!d || !base) return NULL;
    *base = (hw_design_base){
        .file = r->def->file,
        .entries = n,
        .text = HW_NEW(r->arena, hw_text, n),
        .origin_text = HW_NEW(r->arena, hw_text, n),
        .origin = HW_NEW(r->arena, hw_origin, n),
        .line = HW_NEW(r->arena, int, n),
        .column = HW_NEW(r->arena, int, n),
        .program = HW_NEW(r->arena, hw_program, n),
        .variant = r->variant_name,
        .variants = r->variants,
    };
    *d = (hw_design){.base = base, .value = HW_NEW(r->arena, double, n)};
    *out = base;
    return hw_arena_failed(r->arena) ? NULL : d;
}

static void check_pairs(hw_reader *r, const double *value, const bool *poisoned)
{
    for (int digit = 0; digit < HW_DIGITS; digit++) {
        hw_entry open, closed;
        for (size_t i = 0; hw_rising_pair(digit, i, &open, &closed); i++) {
            bool defaults = !r->final[open].node && !r->final[closed].node && i > 0;
            if (poisoned[open] || poisoned[closed] || defaults) continue;
            if (value[closed] > value[open]) continue;
            char found[64], above[64], path[HW_PATH_TEXT];
            hw_quantity_text(value[closed], HW_DIM_ANGLE, found);
            memcpy(above, "more than ", 10);
            char limit[64];
            size_t len = hw_quantity_text(value[open], HW_DIM_ANGLE, limit);
            memcpy(above + 10, limit, len + 1 < 54 ? len + 1 : 54);
            above[63] = '\0';
            hw_entry_path(closed, path);
            const hw_slot *slot = hw_blame(r, closed, 16);
            if (!slot) slot = hw_blame(r, open, 16);
            HW_FAULT(&r->faults, slot ? slot->source : NULL,
                     slot ? hw_node_place(slot->node) : SIZE_MAX, hw_text_of(found),
                     hw_text_of(above), "'%s' is not beyond open", path);
        }
    }
}

// The id of a finding with the digit's name for the star; false: no star, and digit > 0.
static bool expand(hw_text id, int digit, char out[64])
{
    static const char star[] = "digits.*/";
    size_t skip = sizeof star - 1;
    bool all = id.len > skip && memcmp(id.at, star, skip) == 0;
    if (!all && digit > 0) return false;
    const char *name = all ? hw_digit_name[digit] : "";
    size_t n = strlen(name), lead = all ? 7 : 0, rest = all ? skip - 1 : 0;
    if (lead + n + id.len - rest >= 64) return false;
    memcpy(out, id.at, lead);
    memcpy(out + lead, name, n);
    memcpy(out + lead + n, id.at + rest, id.len - rest);
    out[lead + n + id.len - rest] = '\0';
    return true;
}

static bool has_star(hw_text id)
{
    return id.len > 9 && memcmp(id.at, "digits.*/", 9) == 0;
}

// A requirement that names one digit goes before one for all digits.
static bool named_alone(const hw_reader *r, const char *id)
{
    for (const hw_limit *l = r->limits; l; l = l->next)
        if (!has_star(l->id) && hw_text_same(l->id, hw_text_of(id))) return true;
    return false;
}

static void add_requirement(hw_reader *r, hw_design *d, hw_design_base *base, const hw_limit *l,
                            const char *id, const bool *poisoned)
{
    hw_requirement *q = &d->requirement[base->requirements];
    *q = (hw_requirement){.len = strlen(id), .low = NAN, .high = NAN};
    memcpy(q->id, id, q->len + 1);
    hw_source_place(&r->source, hw_node_place(l->node), &q->line, &q->column);
    for (int side = 0; side < 2; side++) {
        if (!l->given[side]) continue;
        const hw_program *p = &l->expr[side].program;
        if (hw_uses_poison(p, poisoned)) continue;
        double x = hw_program_run(p, d->value);
        *(side ? &q->high : &q->low) = x;
        if (!l->expr[side].constant)
            base->limit[base->limits++] = (hw_limit_program){base->requirements, side == 1, *p};
        if (!isfinite(x))
            HW_FAULT(&r->faults, &r->source, hw_node_place(l->node), nothing,
                     HW_TEXT("a finite number"), "a limit of '%s' does not come out as a number",
                     id);
    }
    base->requirements++;
}

static void build_requirements(hw_reader *r, hw_design *d, hw_design_base *base,
                               const bool *poisoned)
{
    size_t most = r->limit_count * HW_DIGITS;
    d->requirement = HW_NEW(r->arena, hw_requirement, most);
    base->limit = HW_NEW(r->arena, hw_limit_program, 2 * most);
    if (hw_arena_failed(r->arena)) return;
    for (const hw_limit *l = r->limits; l; l = l->next) {
        for (int digit = 0; digit < HW_DIGITS; digit++) {
            char id[64];
            if (!expand(l->id, digit, id)) break;
            bool absent = d->value[hw_entry_of(HW_E_PRESENT, digit)] == HW_PRESENT_NO;
            if (has_star(l->id) && (absent || named_alone(r, id))) continue;
            add_requirement(r, d, base, l, id, poisoned);
        }
        const hw_expr *low = &l->expr[0], *high = &l->expr[1];
        if (!l->given[0] || !l->given[1]) continue;
        if (hw_uses_poison(&low->program, poisoned) || hw_uses_poison(&high->program, poisoned))
            continue;
        double a = hw_program_run(&low->program, d->value);
        if (a > hw_program_run(&high->program, d->value))
            HW_FAULT(&r->faults, &r->source, hw_node_place(l->node), nothing, nothing,
                     "low is above high in this requirement");
    }
}

static hw_design *build(hw_reader *r, const hw_node *root)
{
    hw_read_sections(r, root);
    if (root) hw_schema_map(r, &r->source, r->document, "", root);
    merge(r);
    hw_design_base *base;
    hw_design *d = hw_arena_failed(r->arena) ? NULL : new_design(r, &base);
    bool *poisoned = HW_NEW(r->arena, bool, hw_entry_count());
    if (!d || !poisoned) return NULL;
    for (hw_entry e = 0; (size_t)e < base->entries; e++) take_slot(r, base, d->value, poisoned, e);
    if (!hw_order_entries(r, base, poisoned)) return NULL;
    hw_evaluate(r, base, d->value, poisoned);
    check_pairs(r, d->value, poisoned);
    hw_check_relations(r, d->value, poisoned);
    build_requirements(r, d, base, poisoned);
    return d;
}

hw_code hw_design_read(hw_arena *a, hw_text bytes, const hw_read_def *def, hw_design **out,
                       hw_diags *diags)
{
    *out = NULL;
    hw_reader r = {.arena = a, .def = def, .faults = {.arena = a}};
    hw_source_init(&r.source, a, def->file, bytes);
    r.document = new_slots(a);
    r.variant = new_slots(a);
    r.spare = new_slots(a);
    r.final = new_slots(a);
    if (hw_arena_failed(a)) return HW_NO_MEMORY;
    hw_design *d = NULL;
    const hw_node *root = hw_tree_read(a, &r.source, &r.faults);
    if (root && root->kind == HW_NODE_NULL) root = NULL;
    if (root && root->kind != HW_NODE_MAP)
        HW_FAULT(&r.faults, &r.source, root->begin, root->text, HW_TEXT("keys with their values"),
                 "a design document holds keys");
    else if (root || r.faults.wrong == 0)
        d = build(&r, root);
    if (hw_arena_failed(a) || r.faults.no_memory) return HW_NO_MEMORY;
    hw_faults_hand_over(&r.faults, diags);
    if (hw_arena_failed(a)) return HW_NO_MEMORY;
    if (r.faults.wrong) return HW_BAD_INPUT;
    *out = d;
    return HW_OK;
}

hw_code hw_expression_value(hw_text text, double *value, hw_dim *dim, hw_diags *diags)
{
    *value = NAN;
    *dim = HW_DIM_NONE;
    hw_arena *a = hw_arena_new(4096);
    if (!a) return HW_NO_MEMORY;
    hw_faults faults = {.arena = a};
    hw_source source;
    hw_source_init(&source, a, NULL, text);
    hw_expr_place place = {.source = &source, .exact = true, .digit = -1};
    hw_expr expr;
    hw_code code = HW_OK;
    if (!hw_arena_failed(a) && hw_expr_compile(&faults, &place, text, &expr)) {
        *value = expr.value;
        *dim = expr.dim;
        if (!isfinite(expr.value))
            HW_FAULT(&faults, &source, 0, text, HW_TEXT("a finite number"),
                     "this does not come out as a number");
    }
    if (faults.wrong) code = HW_BAD_INPUT;
    hw_faults_hand_over(&faults, diags);
    if (hw_arena_failed(a)) code = HW_NO_MEMORY;
    if (code != HW_OK) *value = NAN;
    hw_arena_free(a);
    return code;
}
