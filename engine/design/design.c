// A design that was read: its values, where they are from, and others made from it by overrides.
#include "design/design_internal.h"

#include <math.h>
#include <string.h>

static bool valid(const hw_design *d, hw_entry e)
{
    return e >= 0 && (size_t)e < d->base->entries;
}

double hw_design_value(const hw_design *d, hw_entry e)
{
    if (!valid(d, e)) return NAN;
    return d->value[e];
}

hw_text hw_design_text(const hw_design *d, hw_entry e)
{
    return valid(d, e) ? d->base->text[e] : (hw_text){NULL, 0};
}

static bool overridden(const hw_design *d, hw_entry e)
{
    return d->overridden && d->overridden[e];
}

hw_origin hw_design_origin(const hw_design *d, hw_entry e)
{
    if (!valid(d, e)) return HW_FROM_DEFAULT;
    return overridden(d, e) ? HW_FROM_OVERRIDE : d->base->origin[e];
}

hw_text hw_design_origin_text(const hw_design *d, hw_entry e)
{
    if (!valid(d, e)) return (hw_text){NULL, 0};
    return overridden(d, e) ? HW_TEXT("set for a trial") : d->base->origin_text[e];
}

bool hw_design_place(const hw_design *d, hw_entry e, int *line, int *column)
{
    *line = valid(d, e) ? d->base->line[e] : 0;
    *column = valid(d, e) ? d->base->column[e] : 0;
    return *line > 0;
}

const char *hw_design_file(const hw_design *d)
{
    return d->base->file;
}

size_t hw_design_requirements(const hw_design *d, const hw_requirement **out)
{
    *out = d->requirement;
    return d->base->requirements;
}

size_t hw_design_variants(const hw_design *d, const hw_text **names)
{
    *names = d->base->variant;
    return d->base->variants;
}

// FNV-1a over bytes in a fixed order. Source: Fowler, Noll & Vo, as in RFC 9923 (from memory).
static uint64_t mix(uint64_t hash, const void *bytes, size_t n)
{
    const unsigned char *at = bytes;
    for (size_t i = 0; i < n; i++) hash = (hash ^ at[i]) * UINT64_C(0x100000001b3);
    return hash;
}

static uint64_t mix_number(uint64_t hash, double x)
{
    x += 0.0; // -0 is the same value as 0
    uint64_t bits;
    memcpy(&bits, &x, sizeof bits);
    unsigned char byte[8];
    for (int i = 0; i < 8; i++) byte[i] = (unsigned char)(bits >> (8 * i));
    if (isnan(x)) memset(byte, 0xFF, sizeof byte); // "not given", whatever its bits
    return mix(hash, byte, sizeof byte);
}

uint64_t hw_design_fingerprint(const hw_design *d)
{
    uint64_t hash = UINT64_C(0xcbf29ce484222325);
    for (size_t e = 0; e < d->base->entries; e++) {
        hash = mix_number(hash, d->value[e]);
        hash = mix(hash, d->base->text[e].at, d->base->text[e].len);
        hash = mix(hash, "", 1);
    }
    for (size_t i = 0; i < d->base->requirements; i++) {
        const hw_requirement *q = &d->requirement[i];
        hash = mix(hash, q->id, strlen(q->id) + 1);
        hash = mix_number(mix_number(hash, q->low), q->high);
    }
    return hash;
}

static hw_design *copy(hw_arena *a, const hw_design *d)
{
    size_t n = d->base->entries;
    hw_design *out = HW_NEW(a, hw_design, 1);
    double *value = HW_NEW(a, double, n);
    bool *set = HW_NEW(a, bool, n);
    if (!out || !value || !set) return NULL;
    memcpy(value, d->value, n * sizeof *value);
    if (d->overridden) memcpy(set, d->overridden, n * sizeof *set);
    *out = (hw_design){d->base, value, set, d->requirement};
    if (d->base->limits == 0) return out;
    out->requirement = HW_NEW(a, hw_requirement, d->base->requirements);
    if (!out->requirement) return NULL;
    memcpy(out->requirement, d->requirement, d->base->requirements * sizeof *out->requirement);
    return out;
}

static bool stands(hw_entry e, double value)
{
    char found[64], expected[64];
    return !hw_value_fault(hw_entry_row_of(e, NULL), value, found, expected);
}

static bool pairs_rise(const hw_design *d)
{
    for (int digit = 0; digit < HW_DIGITS; digit++) {
        hw_entry open, closed;
        for (size_t i = 0; hw_rising_pair(digit, i, &open, &closed); i++) {
            bool defaults = hw_design_origin(d, open) == HW_FROM_DEFAULT &&
                            hw_design_origin(d, closed) == HW_FROM_DEFAULT && i > 0;
            if (!defaults && !(d->value[closed] > d->value[open])) return false;
        }
    }
    return hw_relations_hold(d->value);
}

// Runs the programs again, but not for what was set.
static bool follow(hw_design *d)
{
    const hw_design_base *base = d->base;
    for (size_t i = 0; i < base->ordered; i++) {
        hw_entry e = base->order[i];
        if (d->overridden[e]) continue;
        double value = hw_program_run(&base->program[e], d->value);
        if (value != d->value[e] && !stands(e, value)) return false;
        d->value[e] = value;
    }
    for (size_t i = 0; i < base->limits; i++) {
        const hw_limit_program *l = &base->limit[i];
        hw_requirement *q = &d->requirement[l->requirement];
        double value = hw_program_run(&l->program, d->value);
        if (!isfinite(value)) return false;
        *(l->high ? &q->high : &q->low) = value;
    }
    return pairs_rise(d);
}

hw_code hw_design_with(hw_arena *a, const hw_design *d, const hw_override *set, size_t n,
                       hw_design **out)
{
    *out = NULL;
    for (size_t i = 0; i < n; i++) {
        if (!valid(d, set[i].entry)) return HW_BAD_INPUT;
        hw_entry_type type = hw_entry_row_of(set[i].entry, NULL)->type;
        bool number = type == HW_ENTRY_NUMBER || type == HW_ENTRY_COUNT;
        if (!number || !stands(set[i].entry, set[i].value)) return HW_BAD_INPUT;
    }
    hw_design *made = copy(a, d);
    if (!made) return HW_NO_MEMORY;
    for (size_t i = 0; i < n; i++) {
        made->value[set[i].entry] = set[i].value;
        made->overridden[set[i].entry] = true;
    }
    if (!follow(made)) return HW_BAD_INPUT;
    *out = made;
    return HW_OK;
}
