// Which servos share a supply, and what that leaves each of them.
#include "hand/hand_internal.h"

#include "digit/contact.h"
#include "power/wire.h"

#include <math.h>

enum { MOST = HW_DIGITS * (HW_JOINTS + 1), MOVER = HW_DIGITS };

typedef struct rail {
    hw_servo_feed source;
    hw_rail_load load[MOST];
    int digit[MOST]; // whose servo; MOVER and more: the palm's of digit - MOVER
    size_t n;
} rail;

static double get(const hw_design *d, hw_entry_id row, int digit) // [SI]
{
    return hw_design_value(d, hw_entry_of(row, digit));
}

// A servo's own lead, there and back, and its plugs.
static double lead_of(const hw_design *d, int digit, hw_entry_id length) // [ohm]
{
    const double room = 293.15;
    hw_wire wire;
    if (hw_wire_of(get(d, HW_E_OWN_WIRE_GAUGE, digit), room, &wire) != HW_OK) return (double)NAN;
    return hw_wire_drop(&wire, get(d, length, digit), 1) + get(d, HW_E_OWN_WIRE_PLUGS, digit);
}

// Torque of one servo in free closing at its hardest pose.
static double moving_of(const hw_hand *hand, int digit) // [N*m]
{
    const hw_digit *g = &hand->digit[digit];
    const hw_drive *v = &hand->drive[digit];
    double travel = fmax(g->travel[1] - g->travel[0], 0);
    double back = hand->return_preload[digit] + hand->return_rate[digit] * travel, pulled;
    // a cord that cannot be followed leaves its digit unknown; here it counts as without bands
    if (g->family == HW_FAMILY_CORD)
        back = hw_cord_free(g, 1, &back, &pulled) == HW_OK ? back * g->cord.arm[0] : 0;
    return hw_drive_moving(v, v->mu[HW_MU_NOMINAL], back);
}

static void gather(const hw_design *d, const hw_hand *hand, double emf, rail *r) // [V]
{
    *r = (rail){.source = {emf, get(d, HW_E_POWER_RESISTANCE, -1)}};
    for (int i = 0; i < HW_DIGITS; i++) {
        if (!hand->present[i] || get(d, HW_E_OWN_SUPPLY, i) != emf) continue;
        hw_rail_load one = {.line = hand->drive[i].servo,
                            .rated = get(d, HW_E_OWN_SERVO_VOLTAGE, i),
                            .resistance = lead_of(d, i, HW_E_OWN_WIRE_LENGTH),
                            .torque = moving_of(hand, i)};
        for (int k = 0; k < hand->servos[i]; k++) {
            r->load[r->n] = one;
            r->digit[r->n++] = i;
        }
    }
    for (int i = 0; i < HW_DIGITS; i++) {
        const hw_mover *m = &hand->places.mover[i];
        if (!m->driven || m->voltage != emf) continue;
        r->load[r->n] = (hw_rail_load){m->line, .rated = m->voltage,
                                       .resistance = lead_of(d, i, HW_E_OWN_MOVER_LEAD)};
        r->digit[r->n++] = MOVER + i;
    }
}

typedef enum motion { CLOSING, GRIP, HOLD, STALL } motion;

// Everyone at once; the sum of the currents.
static double solve(const hw_hand *hand, rail *r, motion m, double volt[], double ampere[]) // [A]
{
    double bus, sum = 0;
    for (size_t i = 0; i < r->n; i++) {
        const hw_drive *v = &hand->drive[r->digit[i] % MOVER]; // movers: their digit's shares
        r->load[i].by_torque = m == CLOSING;
        r->load[i].share = m == GRIP ? v->brief_share : m == HOLD ? v->holding_share : 1;
    }
    // faulty numbers leave NaN everywhere, and the drive's findings unknown
    if (hw_rail_solve(&r->source, r->load, r->n, &bus, volt, ampere) != HW_OK) return (double)NAN;
    for (size_t i = 0; i < r->n; i++) sum += ampere[i];
    return sum;
}

static void keep(double current, const double volt[], size_t n, double *most, double *least)
{
    if (!(current <= *most)) *most = current;
    for (size_t i = 0; i < n; i++)
        if (!(volt[i] >= *least)) *least = volt[i];
}

static void fill(hw_hand *hand, rail *r)
{
    double volt[MOST], ampere[MOST], current;
    hw_supply *s = &hand->supply;
    for (size_t i = 0; i < r->n; i++) {
        if (r->digit[i] >= MOVER) continue;
        hw_drive_rail *own = &hand->drive[r->digit[i]].rail;
        own->rated = r->load[i].rated;
        own->alone = (hw_servo_feed){r->source.emf, r->source.resistance + r->load[i].resistance};
    }
    solve(hand, r, CLOSING, volt, ampere);
    for (size_t i = 0; i < r->n; i++)
        if (r->digit[i] < MOVER)
            hand->drive[r->digit[i]].rail.closing =
                hw_rail_feed(&r->source, r->load, r->n, ampere, i);
    current = solve(hand, r, GRIP, volt, ampere);
    for (size_t i = 0; i < r->n; i++)
        if (r->digit[i] < MOVER) hand->drive[r->digit[i]].rail.grip = volt[i];
    keep(current, volt, r->n, &s->grip_current, &s->grip_voltage);
    current = solve(hand, r, HOLD, volt, ampere);
    for (size_t i = 0; i < r->n; i++)
        if (r->digit[i] < MOVER) hand->drive[r->digit[i]].rail.hold = volt[i];
    keep(current, volt, r->n, &s->hold_current, &s->hold_voltage);
    current = solve(hand, r, STALL, volt, ampere);
    keep(current, volt, r->n, &s->stall_current, &s->stall_voltage);
    s->servos += r->n;
}

void hw_hand_rails(const hw_design *d, hw_hand *hand)
{
    const double none = (double)NAN;
    hand->supply =
        (hw_supply){get(d, HW_E_POWER_CURRENT, -1), none, none, none, none, none, none, 0};
    for (int i = 0; i < HW_DIGITS; i++) {
        double emf = get(d, HW_E_OWN_SUPPLY, i);
        bool first = hand->present[i];
        for (int k = 0; k < i && first; k++)
            first = !hand->present[k] || get(d, HW_E_OWN_SUPPLY, k) != emf;
        if (!first) continue;
        rail r;
        gather(d, hand, emf, &r);
        fill(hand, &r);
    }
}
