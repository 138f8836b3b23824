// Layers across a digit: do they add up, is there room for pivots, how near do parts come.
#include "assess/assess_internal.h"

#include "base/text.h"

#include <math.h>
#include <string.h>

// Walls that carry a pivot: two lines on either side.
static const double wall_lines = 4; // [1]

hw_code hw_assess_layers(hw_arena *a, const hw_hand *hand, int digit, hw_digit_assessment *g)
{
    const hw_digit *d = &hand->digit[digit];
    hw_stack *k = HW_NEW(a, hw_stack, 1);
    if (!k) return HW_NO_MEMORY;
    hw_code code = hw_stack_of(d, &hand->layers[digit], k);
    if (code != HW_OK) return code;
    g->stack = k;
    if (!g->assembles) return HW_OK;
    return hw_stack_clearances(d, k, &g->printed, &g->nearest);
}

// ---- values
// ------------------------------------------------------------------------------------------------------------------

static const hw_layers *layers_of(const hw_assess_subject *s)
{
    return &s->hand->layers[s->digit - s->hand->digit];
}

// Width left beside layers and gaps. A digit without bars has one tang that takes what cheeks
// leave: there it is what that tang has beyond a wall that carries.
static double layer_sum(const hw_assess_subject *s)
{
    const hw_layers *l = layers_of(s);
    if (l->n == 0) return NAN;
    if (l->bar[0].twins > 0) return l->width - l->sum;
    return l->layer[1].thickness - wall_lines * l->line;
}

static double stack_gap(const hw_assess_subject *s)
{
    if (!s->got->stack || s->got->nearest.plate[0] < 0) return NAN;
    return s->got->nearest.gap - s->hand->gap;
}

static double socket_spacing(const hw_assess_subject *s)
{
    if (!s->got->stack) return NAN;
    return s->got->stack->sockets;
}

typedef enum room { ROOM_ARM, ROOM_WALL, ROOM_DISC } room;

// What the tightest place has beyond what a pivot needs there, and which place it is.
static double tightest(const hw_layers *l, const hw_stack *k, room *which, int *where) // [m]
{
    double wall = wall_lines * l->line, least = k->arm_height - wall;
    *which = ROOM_ARM;
    *where = k->arm_joint;
    if (k->wall - wall < least) {
        least = k->wall - wall;
        *which = ROOM_WALL;
        *where = k->wall_part - 1;
    }
    for (int j = 0; j < HW_JOINTS; j++) {
        double rim =
            fmin(l->fork[j].tang_radius, l->fork[j].height / 2) - l->fork[j].base - l->line;
        if (rim >= least) continue;
        least = rim;
        *which = ROOM_DISC;
        *where = j;
    }
    return least;
}

static double pivot_room(const hw_assess_subject *s)
{
    room which;
    int where;
    if (!s->got->stack) return NAN;
    return tightest(layers_of(s), s->got->stack, &which, &where);
}

const hw_assess_row hw_assess_layers_row[] = {
    {"layer_sum", HW_FOR_ANY, false, layer_sum},
    {"pivot_room", HW_FOR_ANY, false, pivot_room},
    {"socket_spacing", HW_FOR_BARS, false, socket_spacing},
    {"stack_gap", HW_FOR_ANY, true, stack_gap},
};
const size_t hw_assess_layers_rows = sizeof hw_assess_layers_row / sizeof hw_assess_layers_row[0];

// ---- notes
// -------------------------------------------------------------------------------------------------------------------

static void put_mm(hw_buffer *b, double length) // [m]
{
    char number[HW_NUMBER_TEXT];
    hw_number_write_fixed(length * 1e3, 2, number);
    hw_buffer_format(b, "%s mm", number);
}

// What an entry's layers have beyond whole lines of the printer.
typedef struct trim {
    const char *entry;
    double to;    // whole lines [m]
    double lines; // [1]
    double saves; // of the width, in all its layers; 0: nothing [m]
} trim;

enum { TRIMS = 6 };

// Two lines are left: fewer are no wall.
static void trims_of(const hw_layers *l, trim out[TRIMS])
{
    static const char *const entry[TRIMS] = {"layers.cheek.a",        "layers.cheek.b",
                                             "layers.tang.a",         "layers.tang.b",
                                             "mechanism.bar_a.depth", "mechanism.bar_b.depth"};
    for (int i = 0; i < TRIMS; i++) out[i] = (trim){.entry = entry[i]};
    for (size_t i = 0; i < l->n; i++) {
        const hw_layer *layer = &l->layer[i];
        double lines = floor(layer->thickness / l->line * (1 + 1e-12));
        int at = layer->use == HW_LAYER_CHEEK   ? layer->side
                 : layer->use == HW_LAYER_TANG  ? 2 + layer->side
                 : layer->use == HW_LAYER_BAR_A ? 4
                                                : 5;
        double over = layer->thickness - lines * l->line;
        if (lines < 2 || over < 1e-9 * l->line) continue;
        out[at] = (trim){entry[at], lines * l->line, lines, out[at].saves + over};
    }
}

// Which layers bring the width that lacks when they are cut to whole lines, those that bring most
// first; a line that is only begun carries little.
static void put_trims(hw_buffer *b, const hw_layers *l)
{
    trim t[TRIMS];
    double lacks = l->sum - l->width, saved = 0;
    trims_of(l, t);
    hw_buffer_puts(b, "; in whole lines of ");
    put_mm(b, l->line);
    hw_buffer_puts(b, ":");
    while (saved < lacks) {
        trim *most = &t[0];
        for (int i = 1; i < TRIMS; i++)
            if (t[i].saves > most->saves) most = &t[i];
        if (!(most->saves > 0)) break;
        hw_buffer_format(b, "%s%s ", saved > 0 ? ", " : " ", most->entry);
        put_mm(b, most->to);
        hw_buffer_format(b, " (%.0f)", most->lines);
        saved += most->saves;
        most->saves = 0;
    }
    hw_buffer_puts(b, saved > 0 ? " save " : " nothing is saved");
    if (saved > 0) put_mm(b, saved);
    if (saved < lacks) hw_buffer_puts(b, ": not enough, the digit is too narrow for these bars");
}

static const char *sum_note(hw_arena *a, const hw_layers *l)
{
    if (l->bar[0].twins == 0) return NULL;
    hw_buffer b = {.arena = a};
    hw_buffer_count(&b, l->n, "layer");
    hw_buffer_puts(&b, " and ");
    hw_buffer_count(&b, l->n - 1, "gap");
    hw_buffer_puts(&b, " make ");
    put_mm(&b, l->sum);
    hw_buffer_puts(&b, " of ");
    put_mm(&b, l->width);
    if (l->sum > l->width) put_trims(&b, l);
    return b.at;
}

static const char *gap_note(hw_arena *a, bool thumb, const hw_stack *k, const hw_clearance *c)
{
    char one[48], other[48], number[HW_NUMBER_TEXT];
    const hw_slab *p[2] = {&k->plate[c->plate[0]], &k->plate[c->plate[1]]};
    hw_buffer b = {.arena = a};
    put_mm(&b, c->gap);
    hw_number_write_fixed(100 * c->s, 0, number);
    hw_buffer_format(&b, " between %s and %s, layer %d, at %s %% of the travel",
                     hw_slab_name(p[0], thumb, one), hw_slab_name(p[1], thumb, other),
                     p[0]->layer + 1, number);
    return b.at;
}

static const char *room_note(hw_arena *a, const hw_digit *d, const hw_layers *l, const hw_stack *k)
{
    static const char *const what[] = {[ROOM_ARM] = "arm that holds the tang",
                                       [ROOM_WALL] = "wall between two forks",
                                       [ROOM_DISC] = "rim of the tang round its cone"};
    room which;
    int where;
    (void)tightest(l, k, &which, &where);
    hw_buffer b = {.arena = a};
    hw_buffer_format(&b, "%s at the %s", what[which], hw_digit_joint_name(d, where));
    return b.at;
}

const char *hw_assess_layers_note(hw_arena *a, const hw_hand *hand, const hw_digit_assessment *g,
                                  const hw_finding *f)
{
    if (f->digit < 0 || isnan(f->value)) return NULL;
    const hw_digit *d = &hand->digit[f->digit];
    const hw_layers *l = &hand->layers[f->digit];
    if (strcmp(f->kind->id, "layer_sum") == 0) return sum_note(a, l);
    if (strcmp(f->kind->id, "stack_gap") == 0) return gap_note(a, d->thumb, g->stack, &g->nearest);
    if (strcmp(f->kind->id, "pivot_room") == 0) return room_note(a, d, l, g->stack);
    return NULL;
}
