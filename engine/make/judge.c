// Findings of what was made.
#include "make/make_internal.h"

#include "base/text.h"
#include "make/posed.h"
#include "make/stress.h"
#include "parts/palm_hold.h"

#include <math.h>
#include <string.h>

static double faults_of(const hw_made *m, const hw_made_group *g)
{
    double n = 0;
    for (size_t i = g->first; i < g->first + g->parts; i++) {
        const hw_mesh_report *r = &m->part[i].check;
        n += (double)(r->not_finite + r->degenerate + r->open_edges + r->crowded_edges +
                      r->flipped_edges + r->pinched_verts + r->crossing) +
             !(r->volume > 0);
    }
    return n;
}

static const char *mesh_note(hw_arena *a, const hw_made *m, const hw_made_group *g)
{
    hw_buffer b = {.arena = a};
    for (size_t i = g->first; i < g->first + g->parts; i++)
        if (!hw_mesh_sound(&m->part[i].check))
            hw_buffer_format(&b, "%s%s", b.len ? ", " : "in the ", m->part[i].part->name);
    return b.at;
}

static const char *print_note(hw_arena *a, const hw_made *m, const hw_made_group *g,
                              hw_print_quantity q)
{
    hw_print_part *part = HW_NEW(a, hw_print_part, g->parts);
    if (!part) return NULL;
    for (size_t i = 0; i < g->parts; i++) {
        const hw_made_part *p = &m->part[g->first + i];
        part[i] = (hw_print_part){p->part->name, &p->mesh, p->allow, p->part->allows};
    }
    return hw_print_note(a, g->print, part, m->printer, q);
}

// The quantity of core/print that a row is about; HW_PRINT_QUANTITIES: none.
static hw_print_quantity quantity_of(const hw_finding_kind *kind)
{
    int q = 0;
    while (q < HW_PRINT_QUANTITIES && strcmp(hw_print_id((hw_print_quantity)q), kind->id) != 0) q++;
    return (hw_print_quantity)q;
}

static void add(hw_arena *a, hw_made *m, const hw_finding_kind *kind, int digit, double value,
                const char *note)
{
    hw_finding *f = &m->finding[m->findings++];
    hw_assess_judge(a, m->design, m->hand->classroom, kind, digit, value, note, f);
    m->held += f->verdict == HW_HOLDS;
    m->fallen_short += f->verdict == HW_FALLS_SHORT;
    m->unknown += f->verdict == HW_UNKNOWN;
    m->required += f->required;
    m->required_held += f->required && f->verdict == HW_HOLDS;
}

// Of one row, taken back.
static void drop_last(hw_made *m)
{
    const hw_finding *f = &m->finding[--m->findings];
    m->held -= f->verdict == HW_HOLDS;
    m->fallen_short -= f->verdict == HW_FALLS_SHORT;
    m->unknown -= f->verdict == HW_UNKNOWN;
    m->required -= f->required;
    m->required_held -= f->required && f->verdict == HW_HOLDS;
}

static const char stress_id[] = "part_stress";

// What takes minutes at worst is asked for: until then it has no row, and is counted where the
// document requires it.
static void count_unasked(hw_arena *a, hw_made *m, const hw_finding_kind *kind, int digit)
{
    add(a, m, kind, digit, NAN, NULL);
    m->unasked += m->finding[m->findings - 1].required;
    drop_last(m);
}

// One digit was made, not the hand: not known, and counted where the document requires it.
static void add_of_whole(hw_arena *a, hw_made *m, const hw_finding_kind *kind)
{
    add(a, m, kind, -1, NAN, "one digit was made, not the hand");
    if (!m->finding[m->findings - 1].required) return;
    drop_last(m);
    m->unasked++;
}

void hw_made_stress_judge(hw_arena *a, hw_made *m, const hw_made_stress *s, int digit)
{
    hw_finding *found = NULL;
    for (size_t i = 0; i < m->findings; i++)
        if (m->finding[i].digit == digit && strcmp(m->finding[i].kind->id, stress_id) == 0)
            found = &m->finding[i];
    size_t n;
    const hw_finding_kind *kind = hw_finding_kinds(&n);
    while (strcmp(kind->id, stress_id) != 0) kind++;
    add(a, m, kind, digit, s->share, hw_made_stress_note(a, s));
    if (!found) {
        m->unasked -= m->finding[m->findings - 1].required;
        return;
    }
    // The new row takes the old one's place, and the old one leaves with its counts.
    hw_finding fresh = m->finding[m->findings - 1];
    m->finding[m->findings - 1] = *found;
    *found = fresh;
    drop_last(m);
}

// ---- bars' feet -------------------------------------------------------------------------------

typedef struct feet {
    double out;   // of the bed face of the phalanx round the bar [m]
    size_t part;  // number of the bar
    double joint; // of the knuckle there, on the stroke [1]
} feet;

// How far bars come out of the face that their phalanx was printed on, over the stroke; NaN: no
// pose closes.
static feet feet_of(const hw_made *m, const hw_made_group *g)
{
    enum { POSES = 33 };
    const hw_digit *d = &m->hand->digit[g->digit];
    feet most = {NAN, 0, 0};
    for (int i = 0; i < POSES; i++) {
        hw_digit_pose pose;
        hw_place at[HW_STACK_PARTS];
        double s = i / (double)(POSES - 1);
        if (hw_digit_family_of(d->family)->pose(d, s, &pose) != HW_OK) continue;
        hw_parts_place(&g->bed, &pose, at);
        if (isnan(most.out)) most.out = 0;
        for (size_t p = g->first; p < g->first + g->parts; p++) {
            const hw_part *bar = m->part[p].part;
            if (bar->role != HW_PART_BAR) continue;
            const hw_place *own = &at[bar->body], *by = &at[bar->body - 3];
            for (size_t v = 0; v < m->part[p].mesh.verts; v++) {
                hw_vec3 q = m->part[p].mesh.vert[v];
                hw_vec2 r = hw_add(own->at, hw_flex((hw_vec2){q.x, q.z}, own->c, own->s));
                r = hw_flex(hw_sub(r, by->at), by->c, -by->s);
                if (-r.z > most.out) most = (feet){-r.z, p, s};
            }
        }
    }
    return most;
}

static void add_feet(hw_arena *a, hw_made *m, const hw_made_group *g, const hw_finding_kind *kind)
{
    if (m->hand->digit[g->digit].family != HW_FAMILY_COUPLED_BARS) return;
    feet most = g->print ? feet_of(m, g) : (feet){NAN, 0, 0};
    hw_buffer b = {.arena = a};
    if (most.out > 0)
        hw_buffer_format(&b, "%s, at %.0f %% of the travel; nothing soft goes under it",
                         m->part[most.part].part->name, 100 * most.joint);
    add(a, m, kind, g->digit, most.out, g->fault ? g->fault : b.at);
}

static const char near_id[] = "palm_apart";

// "little distal phalanx and palm tray at 96 % of ..."
static void put_near(hw_buffer *b, const hw_made *m, const hw_made_palm_meeting *at)
{
    char text[HW_NUMBER_TEXT];
    hw_number_write_fixed(100 * at->s, 0, text);
    hw_buffer_format(b, "%s and %s at %s %% of ", m->part[at->part].part->name,
                     m->palm->part[at->body].name, text);
}

// Asked for and not to be had, it is unknown.
static bool has_palm(hw_arena *keep, hw_made *m, const hw_finding_kind *kind, int digit)
{
    if (m->palm) return true;
    if (m->def.palm)
        add(keep, m, kind, digit, NAN, "the palm's numbers are faulty");
    else
        count_unasked(keep, m, kind, digit);
    return false;
}

static hw_code add_near(hw_arena *keep, hw_made *m, const hw_finding_kind *kind, int digit)
{
    hw_made_palm_meeting at;
    hw_buffer b = {.arena = keep};
    if (!has_palm(keep, m, kind, digit)) return HW_OK;
    hw_code code = hw_made_near_palm(keep, m, digit, &at);
    if (code == HW_NO_MEMORY) return code;
    if (at.part >= 0) {
        char text[HW_NUMBER_TEXT];
        put_near(&b, m, &at);
        hw_number_write_fixed(at.aside * 180 / HW_PI, 0, text);
        hw_buffer_format(&b, "its closing, %s by %s deg", digit == HW_THUMB ? "opposed" : "splayed",
                         text);
    }
    add(keep, m, kind, digit, at.gap, code == HW_OK ? b.at : "the palm's numbers are faulty");
    return HW_OK;
}

static hw_code add_of_digit(hw_arena *a, hw_made *m, const hw_made_group *g,
                            const hw_finding_kind *kind)
{
    if (strcmp(kind->id, near_id) == 0) return add_near(a, m, kind, g->digit);
    hw_print_quantity q = quantity_of(kind);
    if (strcmp(kind->id, stress_id) == 0)
        count_unasked(a, m, kind, g->digit);
    else if (strcmp(kind->id, "feet_out") == 0)
        add_feet(a, m, g, kind);
    else if (!g->print)
        add(a, m, kind, g->digit, NAN, g->fault ? g->fault : "it has no parts");
    else if (q < HW_PRINT_QUANTITIES)
        add(a, m, kind, g->digit, hw_print_value(g->print, m->printer, q), print_note(a, m, g, q));
    else // the one row of the meshes themselves
        add(a, m, kind, g->digit, faults_of(m, g), mesh_note(a, m, g));
    return HW_OK;
}

// Of all plates together: known only when every digit was made and lies on a plate.
static double of_hand(const hw_made *m, const char *id)
{
    for (size_t g = 0; g < m->groups; g++)
        if (m->group[g].plate < 0 && !m->group[g].coupon) return NAN;
    double time = 0, filament = 0, plates = 0;
    for (size_t p = 0; p < m->plates && !m->plate[p].coupons; p++) {
        plates += 1;
        time += m->plate[p].time;
        filament += m->plate[p].filament;
    }
    if (strcmp(id, "plates") == 0) return plates;
    return strcmp(id, "filament") == 0 ? filament : time;
}

static const char apart_id[] = "parts_apart";

static void put_meeting(hw_buffer *b, const hw_made *m, const hw_made_meeting *at)
{
    char text[HW_NUMBER_TEXT];
    hw_buffer_format(b, "%s and %s at ", m->part[at->part[0]].part->name,
                     m->part[at->part[1]].part->name);
    hw_number_write_fixed(100 * at->s, 0, text);
    hw_buffer_format(b, "%s %% of the closing", text);
}

// Fingers beside each other; the thumb, which folds over them in a fist, is told of only.
static hw_code add_apart(hw_arena *keep, hw_made *m, const hw_finding_kind *kind)
{
    hw_made_meeting fingers, thumb;
    hw_buffer b = {.arena = keep};
    if (m->def.digit >= 0) {
        add_of_whole(keep, m, kind);
        return HW_OK;
    }
    hw_code code = hw_made_meet(keep, m, &fingers, &thumb);
    if (code == HW_NO_MEMORY) return code;
    if (isnan(fingers.gap)) hw_buffer_puts(&b, "the palm's numbers are faulty");
    if (fingers.part[0] >= 0) put_meeting(&b, m, &fingers);
    if (thumb.part[0] >= 0 && thumb.gap < 0) {
        hw_buffer_puts(&b, b.len ? "; closing with them the thumb meets them: " : "the thumb: ");
        put_meeting(&b, m, &thumb);
    }
    add(keep, m, kind, -1, fingers.gap, b.at);
    return HW_OK;
}

static const char grip_prefix[] = "grip_";

// The pattern that a row judges; HW_GRIPS: none.
static hw_grip_pattern grip_of(const hw_finding_kind *kind)
{
    size_t n = sizeof grip_prefix - 1;
    int g = 0;
    if (strncmp(kind->id, grip_prefix, n) != 0) return HW_GRIPS;
    while (g < HW_GRIPS && strcmp(kind->id + n, hw_grip_name((hw_grip_pattern)g)) != 0) g++;
    return (hw_grip_pattern)g;
}

// "index distal phalanx and middle distal phalanx at 84 % of the closing; what is to meet touches
// at 97 %"
static const char *grip_note(hw_arena *keep, const hw_made *m, const hw_made_grip *grip)
{
    char text[HW_NUMBER_TEXT];
    hw_buffer b = {.arena = keep};
    if (grip->others.part[0] >= 0) put_meeting(&b, m, &grip->others);
    if (isinf(grip->short_of)) return b.at;
    if (grip->short_of > 0) {
        hw_number_write_fixed(1e3 * grip->short_of, 1, text);
        hw_buffer_format(&b, "; what is to meet stays %s mm apart", text);
    } else {
        hw_number_write_fixed(100 * grip->end, 0, text);
        hw_buffer_format(&b, "; what is to meet touches at %s %%", text);
    }
    return b.at;
}

static hw_code add_grip(hw_arena *keep, hw_made *m, const hw_finding_kind *kind)
{
    hw_made_grip grip;
    if (m->def.digit >= 0) {
        add_of_whole(keep, m, kind);
        return HW_OK;
    }
    hw_code code = hw_made_grip_of(keep, m, grip_of(kind), &grip);
    if (code == HW_NO_MEMORY) return code;
    add(keep, m, kind, -1, grip.others.gap,
        code == HW_OK ? grip_note(keep, m, &grip)
                      : "it needs thumb, index and middle, and all must close");
    return HW_OK;
}

// Of all patterns the one with the least gap.
static hw_code add_grip_near(hw_arena *keep, hw_made *m, const hw_finding_kind *kind)
{
    hw_made_palm_meeting least = {INFINITY, -1, -1, NAN, NAN};
    hw_buffer b = {.arena = keep};
    if (!has_palm(keep, m, kind, -1)) return HW_OK;
    for (int g = 0; g < HW_GRIPS; g++) {
        hw_made_grip grip;
        hw_made_palm_meeting one;
        hw_code code = hw_made_grip_of(keep, m, (hw_grip_pattern)g, &grip);
        if (code == HW_OK) code = hw_made_grip_near_palm(keep, m, &grip, least.gap, &one);
        if (code == HW_NO_MEMORY) return code;
        if (code != HW_OK) {
            add(keep, m, kind, -1, NAN, "it needs thumb, index and middle, and all must close");
            return HW_OK;
        }
        if (!(one.gap < least.gap)) continue;
        least = one;
        b.len = 0;
        put_near(&b, m, &one);
        hw_buffer_format(&b, "the %s closing", hw_grip_name((hw_grip_pattern)g));
    }
    add(keep, m, kind, -1, least.gap, b.at);
    return HW_OK;
}

// Rows that a coupon is judged by: not by those that it is made to miss, nor by how much it takes.
static bool coupon_row(const hw_coupon *c, const hw_finding_kind *kind)
{
    if (!hw_finding_is_made(kind) || !kind->of_digit) return false;
    switch (quantity_of(kind)) {
    case HW_PRINT_ISLANDS:
    case HW_PRINT_WALL:
    case HW_PRINT_PIECES:
    case HW_PRINT_BED:
        return true;
    case HW_PRINT_OVERHANG:
    case HW_PRINT_BRIDGE:
        return !c->hangs;
    case HW_PRINT_GAP:
    case HW_PRINT_STEP_GAP:
    case HW_PRINT_FIRST: // levers between a row of gaps
        return c->values == 0 || strcmp(c->id, "gap") != 0;
    case HW_PRINT_EXCEPTIONS: // a small piece has its share at once
    case HW_PRINT_MASS:
    case HW_PRINT_TIME:
    case HW_PRINT_QUANTITIES:
        break;
    }
    return strcmp(kind->id, "mesh_faults") == 0;
}

static double row_value(const hw_made *m, const hw_made_group *g, const hw_finding_kind *kind)
{
    hw_print_quantity q = quantity_of(kind);
    return q < HW_PRINT_QUANTITIES ? hw_print_value(g->print, m->printer, q) : faults_of(m, g);
}

// Whether a coupon falls short of a row's own limit.
static bool coupon_fails(const hw_made *m, const hw_made_group *g, const hw_finding_kind *kind)
{
    if (!coupon_row(g->coupon, kind)) return false;
    hw_finding f = {
        .kind = kind, .value = row_value(m, g, kind), .low = kind->low, .high = kind->high};
    hw_finding_judge(&f);
    return f.verdict == HW_FALLS_SHORT;
}

// "gap coupon: thinnest wall over a line's width, at ...", after those before it.
static void put_coupon(hw_arena *a, hw_buffer *b, const hw_made *m, const hw_made_group *g,
                       const hw_finding_kind *kind, size_t before)
{
    hw_buffer_format(b, "%s%s: %s", before ? "; " : "", g->name, kind->what);
    hw_print_quantity q = quantity_of(kind);
    const char *where = q < HW_PRINT_QUANTITIES ? print_note(a, m, g, q) : mesh_note(a, m, g);
    if (where) hw_buffer_format(b, ", %s", where);
}

// How many findings of coupons fall short by the rows' own limits, and which. NaN without coupons.
static size_t put_faults(hw_arena *a, hw_buffer *b, const hw_made *m, const hw_made_group *g,
                         size_t count)
{
    size_t n;
    const hw_finding_kind *kind = hw_finding_kinds(&n);
    if (!g->print) {
        hw_buffer_format(b, "%s%s: %s", count++ ? "; " : "", g->name,
                         g->fault ? g->fault : "it has no parts");
        return count;
    }
    for (size_t k = 0; k < n; k++)
        if (coupon_fails(m, g, &kind[k])) put_coupon(a, b, m, g, &kind[k], count++);
    return count;
}

static double coupon_faults(hw_arena *a, const hw_made *m, const char **note)
{
    size_t count = 0, coupons = 0;
    hw_buffer b = {.arena = a};
    for (size_t i = 0; i < m->groups; i++) {
        if (!m->group[i].coupon) continue;
        coupons++;
        count = put_faults(a, &b, m, &m->group[i], count);
    }
    *note = b.at;
    return coupons ? (double)count : (double)NAN;
}

static void add_coupons(hw_arena *a, hw_made *m, const hw_finding_kind *kind)
{
    const char *note = NULL;
    double value = coupon_faults(a, m, &note);
    bool asked = !isnan(value);
    add(a, m, kind, -1, value, asked ? note : "asked for with --coupons");
    if (!asked && !m->finding[m->findings - 1].required) drop_last(m);
}

// "index yoke: 0.3 mm at ..."; a part that is named already is named once.
static const char *body_note(hw_arena *a, const hw_made *m, const hw_made_group *g,
                             hw_print_quantity q)
{
    const char *more = q < HW_PRINT_QUANTITIES ? print_note(a, m, g, q) : mesh_note(a, m, g);
    if (more && strncmp(more, g->name, strlen(g->name)) == 0) return more;
    hw_buffer b = {.arena = a};
    hw_buffer_format(&b, "%s%s%s", g->name, more ? ": " : "", more ? more : "");
    return b.at;
}

// Of all bodies together, as the hand's: the one with the least margin.
static void add_of_bodies(hw_arena *a, hw_made *m, const hw_finding_kind *kind)
{
    if (!has_palm(a, m, kind, -1)) return;
    hw_print_quantity q = quantity_of(kind);
    double least = INFINITY, worst = NAN;
    bool any = false;
    const char *note = NULL;
    for (size_t i = 0; i < m->groups; i++) {
        const hw_made_group *g = &m->group[i];
        if (!g->body) continue;
        if (!g->print) {
            add(a, m, kind, -1, NAN, g->fault ? g->fault : "it has no parts");
            return;
        }
        hw_finding one;
        double value = row_value(m, g, kind);
        hw_assess_judge(a, m->design, m->hand->classroom, kind, -1, value, NULL, &one);
        if (any && !(one.margin < least)) continue;
        any = true;
        least = one.margin;
        worst = value;
        note = body_note(a, m, g, q);
    }
    add(a, m, kind, -1, worst, note);
}

// ---- servos in the tray -------------------------------------------------------------------------

static hw_code add_hold(hw_arena *keep, hw_made *m, const hw_finding_kind *kind)
{
    const char *note = "no servo stands in the palm";
    if (!has_palm(keep, m, kind, -1)) return HW_OK;
    const double least = hw_made_hold(keep, m, &note);
    add(keep, m, kind, -1, least, note);
    if (isnan(least) && !m->finding[m->findings - 1].required) drop_last(m);
    return HW_OK;
}

// Posts that bear less are in tray and lid only where they hold a servo.
static hw_code add_post(hw_arena *keep, hw_made *m, const hw_finding_kind *kind)
{
    if (!has_palm(keep, m, kind, -1)) return HW_OK;
    const hw_palm_part *p = NULL, *all = m->palm ? m->palm->part : NULL;
    for (size_t i = 0; all && i < m->palm->parts; i++)
        if (isfinite(all[i].post) && all[i].post > 0 && (!p || all[i].post < p->post)) p = &all[i];
    hw_buffer b = {.arena = keep};
    const hw_vec3 at = p ? hw_frame_point(&p->bed, p->post_at) : (hw_vec3){0, 0, 0};
    const double v[3] = {at.x, m->hand->left ? -at.y : at.y, at.z};
    if (p) hw_buffer_format(&b, "%s, its root at", p->name); // in the hand
    for (int i = 0; p && i < 3; i++) {
        char place[HW_NUMBER_TEXT];
        hw_number_write_fixed(1e3 * v[i], 1, place);
        hw_buffer_format(&b, "%s %c %s", i ? "," : "", "xyz"[i], place);
    }
    add(keep, m, kind, -1, p ? 0.5 * m->hand->strength_across * p->post : (double)NAN,
        p ? b.at : "no post stands beside a servo");
    if (!p && !m->finding[m->findings - 1].required) drop_last(m);
    return HW_OK;
}

static void add_wrist_screws(hw_arena *keep, hw_made *m, const hw_finding_kind *kind)
{
    if (!has_palm(keep, m, kind, -1)) return;
    const size_t held = hw_palm_wrist_held(m->palm, HW_PALM_SCREW);
    add(keep, m, kind, -1, (double)held,
        held < 2 ? "no wall or thread all round one of them" : NULL);
}

static void add_lid_screws(hw_arena *keep, hw_made *m, const hw_finding_kind *kind)
{
    if (!has_palm(keep, m, kind, -1)) return;
    const size_t set = m->palm->lid_screws;
    const double held = (double)hw_palm_lid_held(m->palm, HW_PALM_SCREW);
    const char *none = "no place between servos, sheaths and the wrist's window takes one";
    const char *rest = set && !hw_palm_lid_front(m->palm) ? "its front is not held" : NULL;
    add(keep, m, kind, -1, held, set == 0 ? none : held < (double)set ? "not all hold" : rest);
}

static hw_code add_of_hand(hw_arena *keep, hw_made *m, const hw_finding_kind *kind)
{
    if (strcmp(kind->id, "servo_hold") == 0) return add_hold(keep, m, kind);
    if (strcmp(kind->id, "servo_post") == 0) return add_post(keep, m, kind);
    if (strcmp(kind->id, apart_id) == 0) return add_apart(keep, m, kind);
    if (grip_of(kind) < HW_GRIPS) return add_grip(keep, m, kind);
    if (strcmp(kind->id, "grip_palm") == 0) return add_grip_near(keep, m, kind);
    void (*plain)(hw_arena *, hw_made *, const hw_finding_kind *) = NULL;
    if (strcmp(kind->id, "coupon_faults") == 0) plain = add_coupons;
    if (strcmp(kind->id, "lid_screws") == 0) plain = add_lid_screws;
    if (strcmp(kind->id, "wrist_screws") == 0) plain = add_wrist_screws;
    if (plain) {
        plain(keep, m, kind);
        return HW_OK;
    }
    if (m->def.digit >= 0) {
        add_of_whole(keep, m, kind);
        return HW_OK;
    }
    double value = of_hand(m, kind->id);
    add(keep, m, kind, -1, value, isnan(value) ? "a digit was not made, or fits no plate" : NULL);
    return HW_OK;
}

hw_code hw_make_findings(hw_arena *keep, hw_made *m)
{
    size_t n;
    const hw_finding_kind *kind = hw_finding_kinds(&n);
    m->finding = HW_NEW(keep, hw_finding, n * (m->groups + 2));
    if (!m->finding) return HW_NO_MEMORY;
    for (size_t g = 0; g < m->groups; g++)
        for (size_t k = 0; k < n; k++)
            if (m->group[g].digit >= 0 && hw_finding_is_made(&kind[k]) && kind[k].of_digit) {
                hw_code code = add_of_digit(keep, m, &m->group[g], &kind[k]);
                if (code != HW_OK) return code;
            }
    for (size_t k = 0; k < n; k++)
        if (hw_finding_of_bodies(&kind[k])) add_of_bodies(keep, m, &kind[k]);
    for (size_t k = 0; k < n; k++) {
        if (!hw_finding_is_made(&kind[k]) || kind[k].of_digit) continue;
        hw_code code = add_of_hand(keep, m, &kind[k]);
        if (code != HW_OK) return code;
    }
    return hw_arena_failed(keep) ? HW_NO_MEMORY : HW_OK;
}
