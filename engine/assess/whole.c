// Findings of the whole hand: what two pads hold, and what it takes to build.
#include "assess/assess_internal.h"

#include "base/text.h"

#include <math.h>
#include <string.h>

#define GRAVITY 9.80665 // standard value, ISO 80000-3 [m/s^2]

typedef struct whole {
    const hw_hand *hand;
    const hw_digit_assessment *got; // HW_DIGITS of them
} whole;

// ---- payload: thumb against the first finger that is there

static int opposing(const hw_hand *hand)
{
    for (int i = HW_INDEX; i <= HW_LITTLE; i++)
        if (hand->present[i]) return hand->present[HW_THUMB] ? i : -1;
    return -1;
}

// Two pads, each pressed with F, bear 2 mu F by friction. [kg]
static double held_mass(const hw_hand *hand, double force) // [N]
{
    return 2 * hand->friction * force / (hand->grip_safety * GRAVITY);
}

static double payload(const whole *w)
{
    int finger = opposing(w->hand);
    if (finger < 0) return NAN;
    const hw_digit_assessment *a = &w->got[HW_THUMB], *b = &w->got[finger];
    if (!a->assembles || !b->assembles) return NAN;
    double least =
        a->drive.tip.value < b->drive.tip.value ? a->drive.tip.value : b->drive.tip.value;
    return held_mass(w->hand, isnan(a->drive.tip.value) ? (double)NAN : least);
}

static double payload_held(const whole *w)
{
    int finger = opposing(w->hand);
    if (finger < 0) return NAN;
    const hw_digit_assessment *a = &w->got[HW_THUMB], *b = &w->got[finger];
    if (!a->assembles || !b->assembles || isnan(a->drive.held.value)) return NAN;
    double force = a->drive.held.value;
    return held_mass(w->hand, b->drive.held.value < force ? b->drive.held.value : force);
}

// ---- building, counted digit by digit

static int servos_of(const hw_hand *hand, int digit)
{
    if (!hand->present[digit]) return 0;
    return hand->servos[digit];
}

static int cords_of(const hw_hand *hand, int digit)
{
    if (!hand->present[digit] || hand->drive[digit].direct) return 0;
    return servos_of(hand, digit) * (hand->drive[digit].back == HW_RETURN_CORD ? 2 : 1);
}

static int drums_of(const hw_hand *hand, int digit)
{
    return cords_of(hand, digit) > 0 ? servos_of(hand, digit) : 0;
}

// Servos in the palm, each with a rod.
static int movers_of(const hw_hand *hand)
{
    int n = 0;
    for (int i = 0; i < HW_DIGITS; i++) n += hand->places.mover[i].driven;
    return n;
}

// Printed parts, pins, servos, drums and sheaths: what lies on the table before it is put together.
static double loose_parts(const whole *w)
{
    double n = w->hand->build.body_parts + 2 * movers_of(w->hand);
    for (int i = 0; i < HW_DIGITS; i++)
        if (w->hand->present[i])
            n += w->hand->making[i].parts + w->hand->making[i].pins + servos_of(w->hand, i) +
                 drums_of(w->hand, i) + cords_of(w->hand, i);
    return n;
}

static double fasteners(const whole *w)
{
    double n = w->hand->build.body_screws;
    for (int i = 0; i < HW_DIGITS; i++)
        n += servos_of(w->hand, i) * w->hand->making[i].servo_screws +
             drums_of(w->hand, i) * w->hand->build.drum_screws +
             (w->hand->places.mover[i].driven ? w->hand->places.mover[i].screws : 0);
    return n;
}

static double solder_joints(const whole *w)
{
    return w->hand->build.solder_joints;
}

static double cords_to_thread(const whole *w)
{
    int n = 0;
    for (int i = 0; i < HW_DIGITS; i++) n += cords_of(w->hand, i);
    return n;
}

// Beyond screwdriver, pliers and knife.
static void tools_of(const hw_hand *hand, bool *crimps, bool *reams, bool *solders)
{
    *crimps = *reams = false;
    for (int i = 0; i < HW_DIGITS; i++) {
        *crimps = *crimps || (cords_of(hand, i) && hand->making[i].crimped);
        *reams = *reams || (hand->present[i] && hand->making[i].pins > 0);
    }
    *solders = hand->build.solder_joints > 0;
}

static double special_tools(const whole *w)
{
    bool crimps, reams, solders;
    tools_of(w->hand, &crimps, &reams, &solders);
    return (double)crimps + (double)reams + (double)solders;
}

// Servos, cord and sheath; a cord is as long as its sheath and the digit. end 0: least, 1: most.
static double bought(const hw_hand *hand, int end) // [1]
{
    double sum = 0;
    for (int i = 0; i < HW_DIGITS; i++) {
        const hw_making *m = &hand->making[i];
        const hw_digit *d = &hand->digit[i];
        double sheath = hand->drive[i].sheath_length;
        double cord = sheath + d->phalanx[0] + d->phalanx[1] + d->phalanx[2];
        sum += servos_of(hand, i) * m->servo_cost[end] +
               cords_of(hand, i) * (cord * m->cord_cost[end] + sheath * m->sheath_cost[end]);
        if (hand->places.mover[i].driven) sum += hand->places.mover[i].cost[end];
    }
    return sum;
}

static double cost(const whole *w)
{
    return bought(w->hand, 1);
}

// ---- supply

static double rail_sag(const whole *w)
{
    return w->hand->supply.stall_voltage;
}

static double supply_share(const whole *w)
{
    return w->hand->supply.grip_current / w->hand->supply.current;
}

// ---- cylinders between fingers and palm

static double cylinder_least(const whole *w)
{
    int which;
    return hw_assess_cylinder(w->hand, w->got, true, &which);
}

static double cylinder_most(const whole *w)
{
    int which;
    return hw_assess_cylinder(w->hand, w->got, false, &which);
}

static const struct {
    const char *id;
    double (*value)(const whole *w);
} rows[] = {
    {"payload", payload},
    {"payload_held", payload_held},
    {"cylinder_least", cylinder_least},
    {"cylinder_most", cylinder_most},
    {"loose_parts", loose_parts},
    {"fasteners", fasteners},
    {"solder_joints", solder_joints},
    {"cords_to_thread", cords_to_thread},
    {"special_tools", special_tools},
    {"cost", cost},
    {"rail_sag", rail_sag},
    {"supply_share", supply_share},
};

double hw_assess_hand_value(const hw_hand *hand, const hw_digit_assessment digit[HW_DIGITS],
                            const hw_finding_kind *kind)
{
    whole w = {hand, digit};
    double value;
    if (!kind->unknown && hw_assess_places_value(hand, kind->id, &value)) return value;
    for (size_t i = 0; i < sizeof rows / sizeof rows[0] && !kind->unknown; i++)
        if (strcmp(rows[i].id, kind->id) == 0) return rows[i].value(&w);
    return NAN;
}

// ---- notes

static const char *pinch_note(hw_arena *a, const hw_hand *hand, bool known)
{
    int finger = opposing(hand);
    if (finger < 0) return "no thumb, or no finger for it to press against";
    if (!known) return "the tips' forces are not known";
    char mu[HW_NUMBER_TEXT], times[HW_NUMBER_TEXT];
    hw_number_write_fixed(hand->friction, 2, mu);
    hw_number_write_fixed(hand->grip_safety, 1, times);
    hw_buffer b = {.arena = a};
    hw_buffer_format(&b, "thumb and %s, friction %s, %s times over; pads taken as parallel",
                     hw_digit_name[finger], mu, times);
    return b.at;
}

static const char *cost_note(hw_arena *a, const hw_hand *hand)
{
    char low[HW_NUMBER_TEXT], high[HW_NUMBER_TEXT];
    hw_number_write_fixed(bought(hand, 0), 0, low);
    hw_number_write_fixed(bought(hand, 1), 0, high);
    hw_buffer b = {.arena = a};
    hw_buffer_format(&b, "from %s to %s; without filament, screws, controller and supply", low,
                     high);
    return b.at;
}

static const char *sag_note(hw_arena *a, const hw_supply *s)
{
    hw_buffer b = {.arena = a};
    hw_note_number(&b, s->stall_current, 1, " A then; ");
    hw_note_number(&b, s->grip_voltage, 2, " V when all grip, ");
    hw_note_number(&b, s->hold_voltage, 2, " V when all hold");
    return b.at;
}

static const char *supply_note(hw_arena *a, const hw_supply *s)
{
    hw_buffer b = {.arena = a};
    hw_note_number(&b, s->grip_current, 1, " of ");
    hw_note_number(&b, s->current, 1, " A with ");
    hw_buffer_count(&b, (size_t)s->servos, "servo");
    hw_buffer_puts(&b, "; held ");
    hw_note_number(&b, s->hold_current, 1, " A; the controller takes its own");
    return b.at;
}

static const char *tools_note(const hw_hand *hand)
{
    static const char *const said[] = {
        "none",
        "crimping pliers",
        "a reamer for pins",
        "crimping pliers, a reamer for pins",
        "a soldering iron",
        "a soldering iron, crimping pliers",
        "a soldering iron, a reamer for pins",
        "a soldering iron, crimping pliers, a reamer for pins",
    };
    bool crimps, reams, solders;
    tools_of(hand, &crimps, &reams, &solders);
    return said[(solders ? 4 : 0) + (reams ? 2 : 0) + (crimps ? 1 : 0)];
}

static const char *cylinder_note(hw_arena *a, const hw_hand *hand,
                                 const hw_digit_assessment digit[HW_DIGITS], bool least)
{
    int which;
    if (isnan(hw_assess_cylinder(hand, digit, least, &which)))
        return "a finger's end does not come under the palm";
    hw_buffer b = {.arena = a};
    hw_buffer_format(&b, "the %s finger decides", hw_digit_name[which]);
    return b.at;
}

const char *hw_assess_hand_note(hw_arena *a, const hw_hand *hand,
                                const hw_digit_assessment digit[HW_DIGITS], const hw_finding *f)
{
    const char *id = f->kind->id;
    const char *placed = hw_assess_places_note(a, hand, f);
    if (placed) return placed;
    bool least = strcmp(id, "cylinder_least") == 0;
    if (least || strcmp(id, "cylinder_most") == 0) return cylinder_note(a, hand, digit, least);
    if (strcmp(id, "payload") == 0 || strcmp(id, "payload_held") == 0)
        return pinch_note(a, hand, !isnan(f->value));
    if (strcmp(id, "cost") == 0) return cost_note(a, hand);
    if (strcmp(id, "special_tools") == 0) return tools_note(hand);
    if (strcmp(id, "rail_sag") == 0 && hand->supply.servos) return sag_note(a, &hand->supply);
    if (strcmp(id, "supply_share") == 0 && hand->supply.servos)
        return supply_note(a, &hand->supply);
    return NULL;
}
