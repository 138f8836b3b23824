// Order of evaluation, cycles, and the values that come out.
#include "design/design_internal.h"

#include <string.h>

static const hw_text nothing = {NULL, 0};

typedef enum visit { FRESH, OPEN, DONE } visit;

typedef struct walk {
    hw_reader *r;
    hw_design_base *base;
    bool *poisoned;
    visit *state;
    hw_entry *stack;
    size_t depth;
} walk;

const hw_slot *hw_blame(const hw_reader *r, hw_entry e, int depth)
{
    const hw_slot *slot = &r->final[e];
    if (slot->node || depth == 0) return slot->node ? slot : NULL;
    for (size_t i = 0; i < slot->expr.program.n; i++) {
        const hw_op *op = &slot->expr.program.op[i];
        const hw_slot *found = op->code == HW_OP_ENTRY ? hw_blame(r, op->entry, depth - 1) : NULL;
        if (found) return found;
    }
    return NULL;
}

static size_t place_of(const hw_slot *slot)
{
    return slot && slot->node ? hw_node_place(slot->node) : SIZE_MAX;
}

// The entries of a ring, told from the one at `start` of the stack round to it again; a long one
// is cut.
static void ring_text(const walk *w, size_t begin, size_t start, char text[160])
{
    size_t at = 0, k = start;
    for (size_t i = begin; i <= w->depth; i++) {
        char path[HW_PATH_TEXT];
        size_t n = hw_entry_path(w->stack[k], path), arrow = i > begin ? 4 : 0;
        k = k + 1 < w->depth ? k + 1 : begin;
        if (at + arrow + n >= 160) continue;
        memcpy(text + at, " -> ", arrow);
        memcpy(text + at + arrow, path, n);
        at += arrow + n;
    }
    text[at] = '\0';
}

// The entries from `begin` of the stack use each other in a ring. The message stands at the one
// that comes first in the text and begins with it, whichever entry the walk came from.
static void report_cycle(walk *w, size_t begin)
{
    char text[160];
    size_t start = begin;
    const hw_slot *first = NULL;
    for (size_t i = begin; i < w->depth; i++) {
        const hw_slot *slot = &w->r->final[w->stack[i]];
        w->poisoned[w->stack[i]] = true;
        if (!slot->node || (first && place_of(slot) >= place_of(first))) continue;
        first = slot;
        start = i;
    }
    ring_text(w, begin, start, text);
    bool self = w->depth - begin == 1;
    HW_FAULT(&w->r->faults, first ? first->source : NULL, place_of(first), nothing, nothing,
             self ? "an entry refers to itself: %s" : "entries refer to each other in a ring: %s",
             text);
}

// Depth is bounded by the number of entries.
static void visit_entry(walk *w, hw_entry e)
{
    w->state[e] = OPEN;
    w->stack[w->depth++] = e;
    const hw_program *p = &w->base->program[e];
    for (size_t i = 0; i < p->n; i++) {
        if (p->op[i].code != HW_OP_ENTRY) continue;
        hw_entry uses = p->op[i].entry;
        if (w->state[uses] == OPEN) {
            size_t begin = 0;
            while (w->stack[begin] != uses) begin++;
            report_cycle(w, begin);
        } else if (w->state[uses] == FRESH)
            visit_entry(w, uses);
        if (w->poisoned[uses]) w->poisoned[e] = true;
    }
    w->depth--;
    w->state[e] = DONE;
    if (p->n) w->base->order[w->base->ordered++] = e;
}

bool hw_order_entries(hw_reader *r, hw_design_base *base, bool *poisoned)
{
    walk w = {.r = r, .base = base, .poisoned = poisoned};
    w.state = HW_NEW(r->arena, visit, base->entries);
    w.stack = HW_NEW(r->arena, hw_entry, base->entries + 1);
    base->order = HW_NEW(r->arena, hw_entry, base->entries);
    if (hw_arena_failed(r->arena)) return false;
    for (hw_entry e = 0; (size_t)e < base->entries; e++)
        if (w.state[e] == FRESH) visit_entry(&w, e);
    return true;
}

bool hw_uses_poison(const hw_program *p, const bool *poisoned)
{
    for (size_t i = 0; i < p->n; i++)
        if (p->op[i].code == HW_OP_ENTRY && poisoned[p->op[i].entry]) return true;
    return false;
}

void hw_evaluate(hw_reader *r, const hw_design_base *base, double *value, bool *poisoned)
{
    for (size_t i = 0; i < base->ordered; i++) {
        hw_entry e = base->order[i];
        if (poisoned[e] || hw_uses_poison(&base->program[e], poisoned)) {
            poisoned[e] = true; // its cause has been reported
            continue;
        }
        value[e] = hw_program_run(&base->program[e], value);
        char found[64], expected[64], path[HW_PATH_TEXT];
        const char *why = hw_value_fault(hw_entry_row_of(e, NULL), value[e], found, expected);
        if (!why) continue;
        poisoned[e] = true;
        const hw_slot *slot = hw_blame(r, e, 16);
        hw_entry_path(e, path);
        HW_FAULT(&r->faults, slot ? slot->source : NULL, place_of(slot), hw_text_of(found),
                 hw_text_of(expected), "'%s' %s", path, why);
    }
}

bool hw_rising_pair(int digit, size_t which, hw_entry *open, hw_entry *closed)
{
    static const hw_entry_id pair[][2] = {
        {HW_E_TRAVEL_OPEN, HW_E_TRAVEL_CLOSED},
        {HW_E_STOP_PROXIMAL_OPEN, HW_E_STOP_PROXIMAL_CLOSED},
        {HW_E_STOP_MIDDLE_OPEN, HW_E_STOP_MIDDLE_CLOSED},
        {HW_E_STOP_DISTAL_OPEN, HW_E_STOP_DISTAL_CLOSED},
    };
    if (which >= sizeof pair / sizeof pair[0]) return false;
    *open = hw_entry_of(pair[which][0], digit);
    *closed = hw_entry_of(pair[which][1], digit);
    return true;
}
