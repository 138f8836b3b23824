// handwright stroke: one digit over its travel.
#include "cli/cli_internal.h"

#include "base/vec.h"
#include "hand/hand.h"
#include "report/report.h"
#include "stroke/chart.h"
#include "stroke/stroke.h"

#include <math.h>

enum { STEPS = 33, MOST_STEPS = 100001, EVENTS = 16 };

typedef struct travel {
    hw_call *call;
    const hw_digit *digit;
    const hw_digit_family *family;
    const char *name;
    hw_digit_fault fault;
    bool closes; // every pose assembles
    hw_stroke stroke;
    hw_stroke_event event[EVENTS];
    size_t events;
} travel;

// The table is cut in two, so that each part fits a terminal of 80 columns: how it moves, and what
// its parts carry. Both begin with the pose.
typedef enum block { BOTH, MOTION, FORCES } block;

// One column of the results.
typedef struct column {
    const char *head, *thumb; // thumb: of its joints; NULL: the same
    const char *unit;
    double scale;   // SI per unit [SI]
    int decimals;   // in the table
    bool bars_only; // only coupled bars have it
    block block;
    const double *(*of)(const hw_stroke *s);
} column;

static const double *of_s(const hw_stroke *s)
{
    return s->s;
}
static const double *of_mcp(const hw_stroke *s)
{
    return s->joint[0];
}
static const double *of_pip(const hw_stroke *s)
{
    return s->joint[1];
}
static const double *of_dip(const hw_stroke *s)
{
    return s->joint[2];
}
static const double *of_tip_x(const hw_stroke *s)
{
    return s->tip_x;
}
static const double *of_tip_z(const hw_stroke *s)
{
    return s->tip_z;
}
static const double *of_angle_a(const hw_stroke *s)
{
    return s->transmission[0];
}
static const double *of_angle_b(const hw_stroke *s)
{
    return s->transmission[1];
}
static const double *of_bar_a(const hw_stroke *s)
{
    return s->bar[0];
}
static const double *of_bar_b(const hw_stroke *s)
{
    return s->bar[1];
}
static const double *of_mcp_pin(const hw_stroke *s)
{
    return s->pin[0];
}
static const double *of_pip_pin(const hw_stroke *s)
{
    return s->pin[1];
}
static const double *of_dip_pin(const hw_stroke *s)
{
    return s->pin[2];
}
static const double *of_torque(const hw_stroke *s)
{
    return s->torque;
}

#define DEGREE (HW_PI / 180)
static const column columns[] = {
    {"s", NULL, "", 1, 4, false, BOTH, of_s},
    {"MCP", "CMC", "deg", DEGREE, 2, false, BOTH, of_mcp},
    {"PIP", "MCP", "deg", DEGREE, 2, false, MOTION, of_pip},
    {"DIP", "IP", "deg", DEGREE, 2, false, MOTION, of_dip},
    {"tip x", NULL, "mm", 1e-3, 2, false, MOTION, of_tip_x},
    {"tip z", NULL, "mm", 1e-3, 2, false, MOTION, of_tip_z},
    {"angle A", NULL, "deg", DEGREE, 1, true, MOTION, of_angle_a},
    {"angle B", NULL, "deg", DEGREE, 1, true, MOTION, of_angle_b},
    {"bar A", NULL, "N", 1, 2, true, FORCES, of_bar_a},
    {"bar B", NULL, "N", 1, 2, true, FORCES, of_bar_b},
    {"MCP pin", "CMC pin", "N", 1, 2, false, FORCES, of_mcp_pin},
    {"PIP pin", "MCP pin", "N", 1, 2, false, FORCES, of_pip_pin},
    {"DIP pin", "IP pin", "N", 1, 2, false, FORCES, of_dip_pin},
    {"torque", NULL, "N·mm", 1e-3, 1, false, FORCES, of_torque},
};
enum { COLUMNS = sizeof columns / sizeof columns[0], WIDTH = 9 };

static const char *event_word(hw_event_kind kind)
{
    static const char *const words[] = {[HW_EVENT_DEAD_POINT] = "dead point",
                                        [HW_EVENT_BRANCH_CHANGE] = "branch change",
                                        [HW_EVENT_LOCK_UP] = "lock-up"};
    return words[kind];
}

static bool has(const travel *t, const column *c, block part)
{
    bool here = c->block == BOTH || c->block == part;
    return here && (!c->bars_only || t->digit->family == HW_FAMILY_COUPLED_BARS);
}

static const char *head_of(const travel *t, const column *c)
{
    return c->thumb && t->digit->thumb ? c->thumb : c->head;
}

static void put_table(const travel *t, block part, hw_buffer *b)
{
    char text[HW_NUMBER_TEXT];
    for (size_t c = 0; c < COLUMNS; c++)
        if (has(t, &columns[c], part)) hw_put_cell(b, head_of(t, &columns[c]), WIDTH);
    hw_buffer_puts(b, "\n");
    for (size_t c = 0; c < COLUMNS; c++)
        if (has(t, &columns[c], part)) hw_put_cell(b, columns[c].unit, WIDTH);
    hw_buffer_puts(b, "\n");
    for (size_t i = 0; i < t->stroke.n; i++) {
        for (size_t c = 0; c < COLUMNS; c++) {
            if (!has(t, &columns[c], part)) continue;
            double value = columns[c].of(&t->stroke)[i] / columns[c].scale;
            if (isnan(value))
                hw_put_cell(b, "—", WIDTH);
            else {
                hw_number_write_fixed(value, columns[c].decimals, text);
                hw_put_cell(b, text, WIDTH);
            }
        }
        hw_buffer_puts(b, "\n");
    }
}

static void put_events(const travel *t, hw_buffer *b)
{
    char s[HW_NUMBER_TEXT], angle[HW_NUMBER_TEXT];
    if (t->fault != HW_DIGIT_SOUND)
        hw_buffer_format(b, "It cannot be built: %s.\n", hw_digit_fault_text(t->fault));
    for (size_t i = 0; i < t->events && i < EVENTS; i++) {
        const hw_stroke_event *e = &t->event[i];
        hw_number_write_fixed(e->s, 4, s);
        hw_number_write_fixed(e->joint / DEGREE, 2, angle);
        hw_buffer_format(b, "%s of bar %s at s = %s, %s %s deg\n", event_word(e->kind),
                         e->loop == 0 ? "A" : "B", s, t->digit->thumb ? "CMC" : "MCP", angle);
    }
    if (t->fault == HW_DIGIT_SOUND && !t->closes)
        hw_buffer_puts(b, "Poses marked — cannot be put together.\n");
}

static void put_text(const travel *t, hw_buffer *b)
{
    hw_buffer_format(b, "%s, %s: %s, %zu poses\n", t->call->design_name, t->name, t->family->name,
                     t->stroke.n);
    put_events(t, b);
    hw_buffer_puts(b, "\nHow it moves\n");
    put_table(t, MOTION, b);
    hw_buffer_puts(
        b, "\nWhat it carries for 1 N at the distal end, square to its phalanx, pushing it\n"
           "open; bars: tension positive\n");
    put_table(t, FORCES, b);
}

// The number of poses asked for; 0: said why not.
static size_t steps_of(hw_call *call)
{
    const char *given = call->option[HW_OPT_STEPS];
    if (!given) return STEPS;
    double n = 0;
    hw_text text = hw_text_of(given);
    if (hw_number_read(text, &n) == text.len && n >= 2 && n <= MOST_STEPS && floor(n) == n)
        return (size_t)n;
    hw_call_fault(call, "\"--steps\": found \"%s\", expected a whole number from 2 to %d", given,
                  (int)MOST_STEPS);
    return 0;
}

static hw_exit run_digit(travel *t, size_t steps)
{
    hw_arena *a = t->call->arena;
    t->family = hw_digit_family_of(t->digit->family);
    t->fault = hw_digit_check(t->digit);
    hw_code code = hw_stroke_new(a, steps, &t->stroke);
    if (code != HW_OK) return hw_call_code(t->call, code);
    code = hw_stroke_run(t->digit, &t->stroke);
    t->closes = code == HW_OK;
    if (t->fault == HW_DIGIT_SOUND) t->events = hw_stroke_events(t->digit, t->event, EVENTS);
    return t->closes ? HW_EXIT_HOLDS : HW_EXIT_SHORT;
}

hw_exit hw_verb_stroke(hw_call *call)
{
    int d = hw_call_digit(call, HW_OPT_DIGIT, HW_INDEX);
    size_t steps = steps_of(call);
    if (d < 0 || steps == 0) return HW_EXIT_INPUT;
    hw_design *design = NULL;
    hw_exit status = hw_call_design(call, 0, &design);
    if (status != HW_EXIT_HOLDS) return status;
    hw_hand *hand = HW_NEW(call->arena, hw_hand, 1);
    if (!hand) return hw_call_code(call, HW_NO_MEMORY);
    hw_hand_build(design, hand);
    if (!hand->present[d])
        return hw_call_fault(call, "the design has no %s (digits.%s.present)", hw_digit_name[d],
                             hw_digit_name[d]);
    travel t = {.call = call, .digit = &hand->digit[d], .name = hw_digit_name[d]};
    status = run_digit(&t, steps);
    if (status != HW_EXIT_HOLDS && status != HW_EXIT_SHORT) return status;
    put_text(&t, &call->text);
    hw_code code =
        hw_report_stroke_json(call->design_name, t.name, t.digit, &t.stroke, &call->json);
    return code == HW_OK ? status : hw_call_code(call, code);
}
