// Findings of a group as the findings table names them: value, and where it is worst in words.
#include <math.h>

#include "base/text.h"
#include "print/print_internal.h"

const char *hw_print_id(hw_print_quantity q)
{
    static const char *const id[HW_PRINT_QUANTITIES] = {
        [HW_PRINT_ISLANDS] = "print_islands",
        [HW_PRINT_OVERHANG] = "print_overhang",
        [HW_PRINT_EXCEPTIONS] = "print_exceptions",
        [HW_PRINT_BRIDGE] = "print_bridge",
        [HW_PRINT_GAP] = "print_gap",
        [HW_PRINT_STEP_GAP] = "print_step_gap",
        [HW_PRINT_FIRST] = "print_first_layer",
        [HW_PRINT_WALL] = "print_wall",
        [HW_PRINT_PIECES] = "print_pieces",
        [HW_PRINT_BED] = "bed_fit",
        [HW_PRINT_MASS] = "print_mass",
        [HW_PRINT_TIME] = "print_time",
    };
    return (unsigned)q < HW_PRINT_QUANTITIES ? id[q] : "none";
}

const char *hw_allowance_text(hw_allowance_kind kind)
{
    switch (kind) {
    case HW_ALLOW_CROWN:
        return "crown";
    case HW_ALLOW_BRIDGE:
        return "bridge";
    case HW_ALLOW_CUTOUT:
        return "cut-out";
    case HW_ALLOW_LEDGE:
        return "ledge";
    case HW_ALLOW_LETTERS:
        return "lettering";
    case HW_ALLOWANCES:
        break;
    }
    return "none";
}

// ---- the worst of each ----------------------------------------------------------------------

typedef double (*hw_of_value)(const hw_print_of *of);

static double open_share(const hw_print_of *of)
{
    return of->open_area / of->area;
}
static double permitted_share(const hw_print_of *of)
{
    return of->permitted_area / of->area;
}
static double thickness(const hw_print_of *of) // the thinnest is the worst
{
    return -of->wall;
}

static size_t worst_part(const hw_print_report *r, hw_of_value value)
{
    size_t worst = 0;
    for (size_t p = 1; p < r->parts; p++)
        if (value(&r->of[p]) > value(&r->of[worst])) worst = p;
    return worst;
}

static const hw_print_hang *longest_span(const hw_print_report *r)
{
    const hw_print_hang *longest = NULL;
    for (size_t i = 0; i < r->hangs; i++)
        if (r->hang[i].span > (longest ? longest->span : 0)) longest = &r->hang[i];
    return longest;
}

// Largest underside of a part that may not hang so.
static const hw_print_hang *worst_hang(const hw_print_report *r, size_t part)
{
    const hw_print_hang *worst = NULL;
    for (size_t i = 0; i < r->hangs; i++) {
        const hw_print_hang *h = &r->hang[i];
        if (h->part != part || h->hold == HW_HANG_PERMITTED) continue;
        if (!worst || h->area > worst->area) worst = h;
    }
    return worst;
}

static size_t extra_pieces(const hw_print_report *r)
{
    size_t n = 0;
    for (size_t p = 0; p < r->parts; p++) n += r->of[p].pieces;
    return n - r->parts;
}

double hw_print_value(const hw_print_report *r, const hw_print_def *def, hw_print_quantity q)
{
    if (r->parts == 0) return NAN;
    switch (q) {
    case HW_PRINT_ISLANDS:
        return (double)r->islands;
    case HW_PRINT_OVERHANG:
        return open_share(&r->of[worst_part(r, open_share)]);
    case HW_PRINT_EXCEPTIONS:
        return permitted_share(&r->of[worst_part(r, permitted_share)]);
    case HW_PRINT_BRIDGE: {
        const hw_print_hang *h = longest_span(r);
        return h ? h->span : 0;
    }
    case HW_PRINT_GAP:
        return r->gap.gap - def->gap;
    case HW_PRINT_STEP_GAP:
        return r->step.gap - 0.5 * def->gap;
    case HW_PRINT_FIRST:
        return r->first.gap - 2 * def->spread - def->gap;
    case HW_PRINT_WALL:
        return r->of[worst_part(r, thickness)].wall / def->line;
    case HW_PRINT_PIECES:
        return (double)extra_pieces(r);
    case HW_PRINT_BED:
        return fmin(fmax(r->fit.spare, r->fit.spare_turn), r->fit.spare_z);
    case HW_PRINT_MASS:
        return r->mass;
    case HW_PRINT_TIME:
        return r->time;
    case HW_PRINT_QUANTITIES:
        break;
    }
    return NAN;
}

// ---- in words -------------------------------------------------------------------------------

static void put_number(hw_buffer *b, double value, int decimals) // [1]
{
    char text[HW_NUMBER_TEXT];
    hw_number_write_fixed(value, decimals, text);
    hw_buffer_puts(b, text);
}

static void put_mm(hw_buffer *b, double length) // [m]
{
    put_number(b, length * 1e3, 2);
    hw_buffer_puts(b, " mm");
}

static void put_place(hw_buffer *b, double x, double y, double z)
{
    hw_buffer_puts(b, " at x ");
    put_number(b, x * 1e3, 1);
    hw_buffer_puts(b, ", y ");
    put_number(b, y * 1e3, 1);
    hw_buffer_puts(b, ", z ");
    put_number(b, z * 1e3, 1);
    hw_buffer_puts(b, " mm");
}

static double layer_height(const hw_print_def *def, size_t layer)
{
    return hw_slice_height(def->layer, layer);
}

static void note_island(hw_buffer *b, const hw_print_report *r, const hw_print_part part[],
                        const hw_print_def *def)
{
    if (r->islands == 0) {
        hw_buffer_puts(b, "every region of every slice stands on the one below");
        return;
    }
    const hw_print_island *i = &r->island[0];
    hw_buffer_format(b, "the %s begins in the air", part[i->part].name);
    put_place(b, i->at.x, i->at.y, layer_height(def, i->layer));
    hw_buffer_puts(b, ": give it a foot, or another bed face");
}

static void note_hang(hw_buffer *b, const hw_print_report *r, const hw_print_part part[],
                      const hw_print_def *def)
{
    size_t p = worst_part(r, open_share);
    const hw_print_hang *h = worst_hang(r, p);
    if (!h) {
        hw_buffer_puts(b, "no underside hangs more than printer.overhang outside declared places");
        return;
    }
    hw_buffer_format(b, "%s: ", part[p].name);
    if (isfinite(h->jut)) {
        put_mm(b, h->span > 0 ? h->span : h->jut);
        hw_buffer_puts(b, h->span > 0 ? " between carriers" : " jutting out");
    } else
        hw_buffer_puts(b, "held nowhere");
    put_place(b, 0.5 * (h->low.x + h->high.x), 0.5 * (h->low.y + h->high.y), h->low.z);
    if (h->hold == HW_HANG_REFUSED) {
        hw_buffer_format(b, ", declared a %s", hw_allowance_text(h->kind));
        if (h->kind == HW_ALLOW_CROWN) {
            hw_buffer_puts(b, ", in an opening of ");
            put_mm(b, h->opening);
        }
        hw_buffer_puts(b, h->span > def->bridge ? ", beyond printer.bridge" : ", is not held so");
    } else
        hw_buffer_puts(b, ", steeper than printer.overhang");
}

static void note_exceptions(hw_buffer *b, const hw_print_report *r, const hw_print_part part[])
{
    size_t count[HW_ALLOWANCES] = {0}, p = worst_part(r, permitted_share);
    for (size_t i = 0; i < r->hangs; i++)
        if (r->hang[i].hold == HW_HANG_PERMITTED) count[r->hang[i].kind]++;
    hw_buffer_format(b, "%zu crowns, %zu bridges, %zu cut-outs and %zu ledges; most of the %s",
                     count[HW_ALLOW_CROWN], count[HW_ALLOW_BRIDGE], count[HW_ALLOW_CUTOUT],
                     count[HW_ALLOW_LEDGE], part[p].name);
}

static void note_bridge(hw_buffer *b, const hw_print_report *r, const hw_print_part part[])
{
    const hw_print_hang *h = longest_span(r);
    if (!h) {
        hw_buffer_puts(b, "nothing is bridged");
        return;
    }
    hw_buffer_format(b, "%s,", part[h->part].name);
    put_place(b, 0.5 * (h->low.x + h->high.x), 0.5 * (h->low.y + h->high.y), h->low.z);
}

static void note_near(hw_buffer *b, const hw_print_near *n, const hw_print_part part[],
                      const hw_print_def *def, const char *entry)
{
    if (!isfinite(n->gap)) {
        hw_buffer_puts(b, "no two parts lie side by side");
        return;
    }
    hw_buffer_format(b, "%s and %s: ", part[n->a].name, part[n->b].name);
    put_mm(b, n->gap);
    put_place(b, n->at.x, n->at.y, layer_height(def, n->layer));
    hw_buffer_format(b, "; %s", entry);
}

static void note_wall(hw_buffer *b, const hw_print_report *r, const hw_print_part part[],
                      const hw_print_def *def)
{
    size_t p = worst_part(r, thickness);
    const hw_print_of *of = &r->of[p];
    if (!isfinite(of->wall)) {
        hw_buffer_puts(b, "no wall is thinner than five lines");
        return;
    }
    hw_buffer_format(b, "%s: ", part[p].name);
    put_mm(b, of->wall);
    put_place(b, of->wall_at.x, of->wall_at.y, layer_height(def, of->wall_layer));
    if (of->wall < def->line)
        hw_buffer_puts(b, ", thinner than printer.line");
    else if (of->odd_wall > 0) {
        hw_buffer_puts(b, "; a wall of ");
        put_mm(b, of->odd_wall);
        hw_buffer_puts(b, " is no multiple of printer.line");
    }
}

static void note_bed(hw_buffer *b, const hw_print_report *r)
{
    const hw_bed_fit *f = &r->fit;
    put_number(b, f->size[0] * 1e3, 1);
    hw_buffer_puts(b, " by ");
    put_number(b, f->size[1] * 1e3, 1);
    hw_buffer_puts(b, " by ");
    put_number(b, f->size[2] * 1e3, 1);
    hw_buffer_puts(b, " mm");
    if (f->spare_z < 0)
        hw_buffer_puts(b, ", taller than printer.bed.z");
    else if (f->spare_any < 0)
        hw_buffer_puts(b, ", larger than printer.bed.x and bed.y however it is turned");
    else if (f->spare >= 0)
        hw_buffer_puts(b, ", as modelled");
    else if (f->spare_turn >= 0)
        hw_buffer_puts(b, ", turned by 90 degrees");
    else {
        hw_buffer_puts(b, ", too large for printer.bed.x and bed.y unless turned by ");
        put_number(b, f->angle * 180 / HW_PI, 0);
        hw_buffer_puts(b, " degrees by hand");
    }
}

static void note_amount(hw_buffer *b, const hw_print_report *r, const hw_print_def *def)
{
    hw_buffer_format(b, "%zu layers, ", r->layers);
    put_number(b, r->length, 1);
    hw_buffer_puts(b, " m of line at ");
    put_number(b, def->speed * 1e3, 0);
    hw_buffer_puts(b, " mm/s, infill ");
    put_number(b, def->infill * 100, 0);
    hw_buffer_puts(b, " %");
}

const char *hw_print_note(hw_arena *keep, const hw_print_report *r, const hw_print_part part[],
                          const hw_print_def *def, hw_print_quantity q)
{
    hw_buffer b = {.arena = keep};
    hw_buffer_puts(&b, "");
    switch (q) {
    case HW_PRINT_ISLANDS:
        note_island(&b, r, part, def);
        break;
    case HW_PRINT_OVERHANG:
        note_hang(&b, r, part, def);
        break;
    case HW_PRINT_EXCEPTIONS:
        note_exceptions(&b, r, part);
        break;
    case HW_PRINT_BRIDGE:
        note_bridge(&b, r, part);
        break;
    case HW_PRINT_GAP:
        note_near(&b, &r->gap, part, def, "layers.gap, pivot.gap and printer.gap change it");
        break;
    case HW_PRINT_STEP_GAP:
        note_near(&b, &r->step, part, def, "printer.layer and pivot.gap change it");
        break;
    case HW_PRINT_FIRST:
        note_near(&b, &r->first, part, def,
                  "before it spreads; printer.spread and the chamfers at the bed change it");
        break;
    case HW_PRINT_WALL:
        note_wall(&b, r, part, def);
        break;
    case HW_PRINT_PIECES:
        hw_buffer_format(&b, "%zu parts in %zu pieces", r->parts, r->parts + extra_pieces(r));
        break;
    case HW_PRINT_BED:
        note_bed(&b, r);
        break;
    case HW_PRINT_MASS:
    case HW_PRINT_TIME:
        note_amount(&b, r, def);
        break;
    case HW_PRINT_QUANTITIES:
        break;
    }
    return hw_arena_failed(keep) ? NULL : b.at;
}
