// Design -> hand -> solids -> meshes -> slices and plates -> findings.
#include "make/make_internal.h"

#include "base/text.h"

#include <math.h>
#include <string.h>

// Shares of the whole job. [1]
#define SOLIDS 0.1
#define MESHES 0.5

// As the sheet has them: fingers first, the thumb last.
static const int order[HW_DIGITS] = {HW_INDEX, HW_MIDDLE, HW_RING, HW_LITTLE, HW_THUMB};

const char *hw_make_quality_name(hw_make_quality q)
{
    static const char *const name[HW_MAKE_QUALITIES] = {"coarse", "fine"};
    return (unsigned)q < HW_MAKE_QUALITIES ? name[q] : "none";
}

static double deviation_of(hw_make_quality q) // [m]
{
    return q == HW_MAKE_FINE ? 5e-6 : 5e-5;
}

// ---- solids -----------------------------------------------------------------------------------

typedef struct maker {
    hw_arena *keep, *work;
    hw_made *m;
    const hw_job *job;
    hw_part_set set[HW_DIGITS + HW_PALM_PARTS + HW_COUPONS]; // of each group
} maker;

static const char *fault_of(hw_code code, const hw_digit *d)
{
    hw_digit_fault fault = hw_digit_check(d);
    if (fault != HW_DIGIT_SOUND) return hw_digit_fault_text(fault);
    switch (code) {
    case HW_NO_ASSEMBLY:
        return "the printed pose does not close";
    case HW_LIMIT:
        return "its layers have more plates than there is room for";
    case HW_OK:
    case HW_BAD_INPUT:
    case HW_NOT_FOUND:
    case HW_NOT_CONVERGED:
    case HW_NO_MEMORY:
    case HW_IO:
    case HW_CANCELLED:
    case HW_CODES:
        break;
    }
    return "its layers cannot be built: handwright assess says which";
}

// Parts of one digit. What cannot be built is a fault of its group.
static hw_code solids_of(maker *k, int digit)
{
    hw_made *m = k->m;
    hw_part_set *set = &k->set[m->groups];
    hw_made_group *g = &m->group[m->groups++];
    *g = (hw_made_group){.name = hw_digit_name[digit], .digit = digit, .plate = -1};
    const hw_digit *d = &m->hand->digit[digit];
    const hw_layers *l = &m->hand->layers[digit];
    hw_stack *stack = HW_NEW(k->keep, hw_stack, 1);
    if (!stack) return HW_NO_MEMORY;
    hw_code code = l->n ? hw_stack_of(d, l, stack) : HW_BAD_INPUT;
    hw_parts_def def;
    hw_hand_parts(m->design, digit, &def);
    def.deviation = deviation_of(m->def.quality);
    if (code == HW_OK) code = hw_parts_digit(k->keep, k->work, &def, d, l, stack, k->job, set);
    if (code == HW_NO_MEMORY || code == HW_CANCELLED) return code;
    if (code != HW_OK) g->fault = fault_of(code, d);
    return HW_OK;
}

// ---- bodies -----------------------------------------------------------------------------------

static void add_body(maker *k, const hw_palm_part *body)
{
    hw_made *m = k->m;
    hw_part *part = HW_NEW(k->keep, hw_part, 1);
    if (!part) return;
    *part = (hw_part){.digit = -1,
                      .body = -1,
                      .role = HW_PART_BODY,
                      .field = body->field,
                      .allow = body->allow,
                      .allows = body->allows};
    memcpy(part->name, body->name, sizeof part->name);
    m->group[m->groups] =
        (hw_made_group){.name = body->name, .digit = -1, .body = body, .plate = -1};
    k->set[m->groups++] = (hw_part_set){.part = part, .parts = 1};
}

// Palm, forearm and stand, a group each: they come off the bed one by one.
static hw_code make_bodies(maker *k)
{
    hw_made *m = k->m;
    if (!m->def.palm) return HW_OK;
    hw_palm_parts *palm = HW_NEW(k->keep, hw_palm_parts, 1);
    hw_palm_parts_def *def = HW_NEW(k->keep, hw_palm_parts_def, 1);
    if (!palm || !def) return HW_NO_MEMORY;
    const char *fault = NULL;
    hw_hand_palm_parts(m->design, m->hand, def);
    hw_code code = hw_palm_parts_of(k->keep, def, palm, &fault);
    if (code == HW_OK) code = hw_palm_parts_settle(k->keep, k->work, def, k->job, palm, NULL);
    if (code == HW_NO_MEMORY || code == HW_CANCELLED) return code;
    if (code != HW_OK) { // a group that says why
        static const hw_palm_part none = {.name = "palm"};
        m->group[m->groups++] =
            (hw_made_group){.name = none.name,
                            .digit = -1,
                            .body = &none,
                            .plate = -1,
                            .fault = fault ? fault : "its parts are more than there is room for"};
        return HW_OK;
    }
    m->palm = palm;
    for (size_t i = 0; i < palm->parts; i++) add_body(k, &palm->part[i]);
    return hw_arena_failed(k->keep) ? HW_NO_MEMORY : HW_OK;
}

// ---- coupons ----------------------------------------------------------------------------------

// The digit whose middle joint the coupons try; -1: none can be built.
static int tried_digit(const hw_made *m)
{
    for (int i = 0; i < HW_DIGITS; i++)
        if (m->hand->present[order[i]] && m->hand->layers[order[i]].n) return order[i];
    return -1;
}

static hw_coupon_def coupon_def_of(maker *k, int digit)
{
    const hw_hand *hand = k->m->hand;
    const hw_layers *l = &hand->layers[digit];
    hw_parts_def parts;
    hw_hand_parts(k->m->design, digit, &parts);
    hw_buffer mark = {.arena = k->keep};
    hw_buffer_put(&mark, hw_design_text(k->m->design, hw_entry_of(HW_E_NAME, -1)));
    hw_text revision = hw_design_text(k->m->design, hw_entry_of(HW_E_REVISION, -1));
    if (revision.len) hw_buffer_puts(&mark, " ");
    hw_buffer_put(&mark, revision);
    hw_coupon_def def = hw_coupon_def_default();
    def.mark = mark.at ? mark.at : "";
    def.fork = l->fork[1];
    def.cone = l->cone;
    def.cone.base = l->fork[1].base;
    def.land = l->fork[1].land;
    def.gap = hand->gap;
    def.line = hand->line;
    def.layer = hand->layer;
    def.deviation = deviation_of(k->m->def.quality);
    if (parts.fittings.pad.texture != HW_PAD_PLAIN) def.pad = parts.fittings.pad;
    return def;
}

static const char *coupon_fault(hw_code code)
{
    return code == HW_LIMIT ? "it has more strokes than there is room for"
                            : "the middle joint's sizes are out of a coupon's range";
}

static hw_code make_coupons(maker *k)
{
    hw_made *m = k->m;
    int digit = tried_digit(m);
    if (!m->def.coupons || digit < 0) return HW_OK;
    hw_coupon_def def = coupon_def_of(k, digit);
    for (int c = 0; c < HW_COUPONS; c++) {
        hw_coupon *coupon = HW_NEW(k->keep, hw_coupon, 1);
        if (!coupon) return HW_NO_MEMORY;
        hw_code code = hw_parts_coupon(k->keep, (hw_coupon_kind)c, &def, coupon);
        if (code == HW_NO_MEMORY || hw_arena_failed(k->keep)) return HW_NO_MEMORY;
        static const char *const name[HW_COUPONS] = {[HW_COUPON_GAP] = "gap coupon",
                                                     [HW_COUPON_RETENTION] = "retention coupon",
                                                     [HW_COUPON_SLOP] = "slop coupon",
                                                     [HW_COUPON_TILT] = "tilt coupon",
                                                     [HW_COUPON_OVERHANG] = "overhang coupon"};
        hw_made_group *g = &m->group[m->groups];
        *g = (hw_made_group){.name = name[c], .digit = -1, .coupon = coupon, .plate = -1};
        if (code == HW_OK)
            k->set[m->groups] = coupon->set;
        else
            g->fault = coupon_fault(code);
        m->groups++;
    }
    return HW_OK;
}

static hw_code make_solids(maker *k)
{
    hw_made *m = k->m;
    m->group = HW_NEW(k->keep, hw_made_group, HW_DIGITS + HW_PALM_PARTS + HW_COUPONS);
    if (!m->group) return HW_NO_MEMORY;
    for (int i = 0; i < HW_DIGITS; i++) {
        if (!m->hand->present[order[i]] || (m->def.digit >= 0 && m->def.digit != order[i]))
            continue;
        if (!hw_job_go_on(k->job, SOLIDS * i / HW_DIGITS, "parts")) return HW_CANCELLED;
        hw_code code = solids_of(k, order[i]);
        if (code != HW_OK) return code;
    }
    hw_code code = make_bodies(k);
    if (code == HW_OK) code = make_coupons(k);
    if (code != HW_OK) return code;
    size_t parts = 0;
    for (size_t g = 0; g < m->groups; g++) parts += k->set[g].parts;
    m->part = HW_NEW(k->keep, hw_made_part, parts);
    if (!m->part) return HW_NO_MEMORY;
    for (size_t g = 0; g < m->groups; g++) {
        m->group[g].bed = k->set[g].bed;
        m->group[g].first = m->parts;
        m->group[g].parts = k->set[g].parts;
        for (size_t i = 0; i < k->set[g].parts; i++)
            m->part[m->parts++] = (hw_made_part){.part = &k->set[g].part[i], .group = (int)g};
    }
    return HW_OK;
}

// Groups with a fault keep no parts.
static void leave_out(hw_made *m)
{
    size_t n = 0;
    for (size_t g = 0; g < m->groups; g++) {
        hw_made_group *group = &m->group[g];
        size_t first = group->first;
        if (group->fault) group->parts = 0;
        group->first = n;
        for (size_t i = 0; i < group->parts; i++) m->part[n++] = m->part[first + i];
    }
    m->parts = n;
}

// ---- prints and plates ------------------------------------------------------------------------

static hw_code print_group(maker *k, hw_made_group *g, const hw_job *job)
{
    hw_made *m = k->m;
    hw_print_part *part = HW_NEW(k->keep, hw_print_part, g->parts);
    hw_print_report *report = HW_NEW(k->keep, hw_print_report, 1);
    if (!part || !report) return HW_NO_MEMORY;
    for (size_t i = 0; i < g->parts; i++) {
        const hw_made_part *p = &m->part[g->first + i];
        part[i] = (hw_print_part){p->part->name, &p->mesh, p->allow, p->part->allows};
    }
    size_t bad;
    hw_code code = hw_print_judge(k->keep, k->work, part, g->parts, m->printer, job, report, &bad);
    if (code == HW_BAD_INPUT || code == HW_LIMIT) {
        g->fault = code == HW_LIMIT ? "it has more layers than can be counted"
                   : bad < g->parts ? "one of its parts cannot be sliced"
                                    : "the printer's numbers are out of their range";
        return HW_OK;
    }
    g->print = report;
    return code;
}

// A part of the job that is one group's.
typedef struct share {
    const hw_job *whole;
    double from, width; // [1]
} share;

static bool share_step(void *self, double fraction, const char *stage)
{
    const share *s = self;
    return hw_job_go_on(s->whole, s->from + s->width * fraction, stage);
}

static hw_code print_all(maker *k)
{
    hw_made *m = k->m;
    double from = SOLIDS + MESHES, width = (1 - from) / (double)(m->groups ? m->groups : 1);
    for (size_t g = 0; g < m->groups; g++) {
        share s = {k->job, from + width * (double)g, width};
        hw_job job = {share_step, &s};
        if (m->group[g].parts == 0) continue;
        hw_code code = print_group(k, &m->group[g], &job);
        if (code != HW_OK) return code;
    }
    leave_out(m);
    return HW_OK;
}

// Step that all coordinates of a mesh are multiples of: the grids of parts are binary fractions of
// a millimetre, so the coarsest is a multiple of all. [m]
static double grid_of(const hw_made *m)
{
    double most = 0;
    for (size_t i = 0; i < m->parts; i++)
        most = fmax(most, fmax(m->part[i].high.x - m->part[i].low.x,
                               fmax(m->part[i].high.y - m->part[i].low.y,
                                    m->part[i].high.z - m->part[i].low.z)));
    int exponent;
    (void)frexp(most * 1e3, &exponent);
    return 1e-3 * ldexp(1, exponent - (hw_mesh_def_default().bits - 1));
}

static hw_plate_item item_of(const hw_made *m, const hw_made_group *g)
{
    hw_plate_item item = {{INFINITY, INFINITY}, {-INFINITY, -INFINITY}, 0};
    for (size_t i = g->first; i < g->first + g->parts; i++) {
        const hw_made_part *p = &m->part[i];
        item.low[0] = fmin(item.low[0], p->low.x), item.high[0] = fmax(item.high[0], p->high.x);
        item.low[1] = fmin(item.low[1], p->low.y), item.high[1] = fmax(item.high[1], p->high.y);
        item.height = fmax(item.height, p->high.z);
    }
    const double brim = g->body ? g->body->brim : 0;
    for (int i = 0; i < 2; i++) item.low[i] -= brim, item.high[i] += brim;
    return item;
}

// What a plate's time is made of, while groups are laid on it.
typedef struct tally {
    double length; // of all lines [m]
    size_t layers, outlines;
} tally;

static void add_to_plate(hw_made *m, hw_made_group *g, const hw_plate_place *place, tally *sum)
{
    if (place->plate < 0) return;
    g->plate = (int)m->plates + place->plate;
    g->turned = place->turned;
    memcpy(g->move, place->move, sizeof g->move);
    hw_made_plate *p = &m->plate[g->plate];
    p->groups++;
    p->coupons = g->coupon != NULL;
    p->filament += g->print->mass;
    tally *t = &sum[place->plate];
    t->length += g->print->length;
    t->outlines += g->print->outlines;
    if (g->print->layers > t->layers) t->layers = g->print->layers;
}

// Lays digits, or coupons, on plates behind those that there are.
static hw_code place_groups(maker *k, bool coupons)
{
    hw_made *m = k->m;
    size_t n = 0;
    hw_plate_item *item = HW_NEW(k->work, hw_plate_item, m->groups);
    hw_plate_place *place = HW_NEW(k->work, hw_plate_place, m->groups);
    size_t *whose = HW_NEW(k->work, size_t, m->groups);
    tally *sum = HW_NEW(k->work, tally, m->groups);
    if (hw_arena_failed(k->work)) return HW_NO_MEMORY;
    for (size_t g = 0; g < m->groups; g++)
        if (m->group[g].print && (m->group[g].coupon != NULL) == coupons)
            whose[n] = g, item[n++] = item_of(m, &m->group[g]);
    int plates = 0;
    if (n == 0) return HW_OK;
    hw_code code = hw_plates_pack(k->work, item, n, m->printer, grid_of(m), place, &plates);
    if (code != HW_OK) return code;
    for (size_t i = 0; i < n; i++) add_to_plate(m, &m->group[whose[i]], &place[i], sum);
    for (int p = 0; p < plates; p++)
        m->plate[m->plates++].time =
            hw_print_time(m->printer, sum[p].length, sum[p].layers, sum[p].outlines);
    return HW_OK;
}

static hw_code run(maker *k)
{
    hw_code code = make_solids(k);
    if (code == HW_OK) code = hw_make_meshes(k->keep, k->m, k->job, SOLIDS, MESHES);
    if (code != HW_OK) return code;
    leave_out(k->m);
    code = print_all(k);
    k->m->plate = HW_NEW(k->keep, hw_made_plate, k->m->groups);
    if (!k->m->plate) return HW_NO_MEMORY;
    if (code == HW_OK) code = place_groups(k, false);
    if (code == HW_OK) code = place_groups(k, true);
    return code == HW_OK ? hw_make_findings(k->keep, k->m) : code;
}

hw_code hw_make(hw_arena *a, const hw_design *design, const hw_make_def *def, const hw_job *job,
                hw_made *out)
{
    *out = (hw_made){.design = design, .def = *def};
    hw_hand *hand = HW_NEW(a, hw_hand, 1);
    hw_print_def *printer = HW_NEW(a, hw_print_def, 1);
    if (!hand || !printer) return HW_NO_MEMORY;
    hw_hand_build(design, hand);
    hw_hand_print(design, printer);
    out->hand = hand;
    out->printer = printer;
    if (def->digit >= HW_DIGITS || (def->digit >= 0 && !hand->present[def->digit]))
        return HW_BAD_INPUT;
    maker k = {.keep = a, .work = hw_arena_new(1 << 20), .m = out, .job = job};
    if (!k.work) return HW_NO_MEMORY;
    hw_code code = run(&k);
    hw_arena_free(k.work);
    return code == HW_OK && hw_arena_failed(a) ? HW_NO_MEMORY : code;
}

bool hw_make_all_hold(const hw_made *m)
{
    if (m->required || m->unasked) return m->required_held == m->required;
    return m->held == m->findings;
}
