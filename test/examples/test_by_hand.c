// The hand calculation in Heron's comments, and its pivots on paper, beside the sheet: worked again
// here, its numbers as the page prints them and as the comments have them, and the sheet's. Where
// they differ by more than a fifth the page says why.
#include "readme.h"

static hw_assessment heron, bare; // bare: its cones without lands, 1.2 mm high

static const hw_digit_assessment *the_index(void)
{
    return &heron.digit[HW_INDEX];
}

static const hw_drive *its_drive(void)
{
    return &heron.hand->drive[HW_INDEX];
}

// ---- by hand -----------------------------------------------------------------------------------
// Ohm's law with currents of the line at 6 V, capstans, springs in series: nothing of core/drive.

static const double SUPPLY = 6, BEHIND = 0.03; // the document's source and its resistance

static double current(const hw_servo_line *s, double share) // [A]
{
    return s->no_load_current + (s->stall_current - s->no_load_current) * share;
}

// Voltage at the index's servo while six standard and four slim ones work at a share of stall.
static double voltage(double share, double slim_share)
{
    double one = current(&its_drive()->servo, share);
    double slim = current(&heron.hand->places.mover[HW_INDEX].line, slim_share);
    double own = its_drive()->rail.alone.resistance - BEHIND; // its lead and plugs
    return SUPPLY - BEHIND * (6 * one + 4 * slim) - own * one;
}

static double grip_voltage(size_t i)
{
    (void)i;
    return voltage(0.45, 0.45);
}

static double hold_voltage(size_t i)
{
    (void)i;
    return voltage(0.33, 0.33);
}

static double at_drum(double share, double volts) // [N]
{
    const hw_drive *d = its_drive();
    return share * d->servo.stall_torque * volts / SUPPLY / d->drum_radius;
}

static double friction(void)
{
    return exp(-its_drive()->mu[HW_MU_NOMINAL] * its_drive()->sheath_bend);
}

static size_t pose(size_t i)
{
    size_t last = the_index()->stroke.n - 1;
    return i == 0 ? 0 : i == 1 ? last / 2 : last;
}

static double tip(size_t i)
{
    double torque = at_drum(0.45, grip_voltage(0)) * friction() * its_drive()->pulley_radius;
    return torque / the_index()->stroke.torque[pose(i)];
}

static double held(size_t i)
{
    (void)i;
    double torque = at_drum(0.33, hold_voltage(0)) / friction() * its_drive()->pulley_radius;
    return torque / the_index()->stroke.torque[pose(1)];
}

static double closes_in(size_t i)
{
    (void)i;
    const hw_drive *d = its_drive();
    double turn = 85 * HW_PI / 180 * d->pulley_radius / d->drum_radius;
    return turn / (d->servo.no_load_speed * d->rail.closing.emf / SUPPLY);
}

static double behind(size_t i)
{
    (void)i;
    const hw_drive *d = its_drive();
    double m = -log(friction()), mean = (1 - friction()) / m;
    double wall = HW_PI / 4 *
                  (d->sheath_outer * d->sheath_outer - d->sheath_bore * d->sheath_bore) *
                  d->sheath_modulus;
    double pull = mean * at_drum(0.45, grip_voltage(0)) - d->pretension;
    double give = pull * d->sheath_length * (1 / d->cord_stiffness + 1 / wall);
    return give / d->pulley_radius * 180 / HW_PI;
}

static double safety(size_t i)
{
    (void)i;
    const hw_drive *d = its_drive();
    double volts = SUPPLY - d->rail.alone.resistance * d->servo.stall_current;
    return d->cord_strength * d->knot / at_drum(1, volts);
}

static double case_at(size_t i)
{
    (void)i;
    const hw_servo_heat *h = &heron.hand->heat[HW_INDEX];
    double amps = 0.33 * its_drive()->servo.stall_current * hold_voltage(0) / SUPPLY;
    double warm = 1.15; // copper 40 K warmer
    return h->room - 273.15 + amps * amps * h->resistance * warm * h->outside;
}

// ---- the sheet's -------------------------------------------------------------------------------

static double sheet_grip_voltage(size_t i)
{
    (void)i;
    return its_drive()->rail.grip;
}

static double sheet_hold_voltage(size_t i)
{
    (void)i;
    return its_drive()->rail.hold;
}

static double sheet_tip(size_t i)
{
    return the_index()->tip_force[pose(i)];
}

static double sheet_held(size_t i)
{
    (void)i;
    return the_index()->tip_held[pose(1)];
}

static double sheet_closes_in(size_t i)
{
    (void)i;
    return the_index()->drive.closing_fastest;
}

static double sheet_behind(size_t i)
{
    (void)i;
    return the_index()->drive.position_error * 180 / HW_PI;
}

static double sheet_safety(size_t i)
{
    (void)i;
    return the_index()->drive.cord_safety;
}

static double sheet_case(size_t i)
{
    (void)i;
    const hw_servo_heat *h = &heron.hand->heat[HW_INDEX];
    hw_servo_warmth w;
    // the windings carry the share of the stall current alone: core/drive/README.md
    double amps = 0.33 * its_drive()->servo.stall_current * its_drive()->rail.hold / SUPPLY;
    return hw_servo_warms(h, amps, &w) == HW_OK ? w.outside - 273.15 : (double)NAN;
}

// ---- pivots ------------------------------------------------------------------------------------

static double paper_opening(size_t i) // a cantilever 2 x 14 mm, 6 mm deep [um/N]
{
    (void)i;
    double depth = 6e-3, inertia = 14e-3 * 2e-3 * 2e-3 * 2e-3 / 12;
    return depth * depth * depth / (3 * heron.hand->modulus * inertia) * 1e6;
}

static double sheet_opening(size_t i)
{
    (void)i;
    hw_cheek c = {6e-3, 14e-3, 2e-3, heron.hand->modulus};
    return hw_cheek_give(&c, c.depth, c.depth) * 1e6;
}

static double sheet_cone(size_t i)
{
    (void)i;
    const hw_release_peak *pip = &bare.digit[HW_INDEX].release.tip[1];
    return pip->load / pip->force;
}

// Cone load, both cheeks still but one, no creep: docs/decisions/0010.
static double paper_lets_go(size_t i)
{
    (void)i;
    double spread = 4 / HW_PI * tan(45 * HW_PI / 180 - atan(0.15)) * 7.6; // for each newton
    return (1.2e-3 - 0.25e-3) / (spread * paper_opening(0) * 1e-6);
}

static double lets_go(const hw_assessment *s, int joint) // push at the tip [N]
{
    const hw_release_peak *tip = &s->digit[HW_INDEX].release.tip[joint];
    return tip->value * tip->force;
}

static double pip_lets_go(size_t i)
{
    (void)i;
    return lets_go(&bare, 1);
}

static double knuckle_lets_go(size_t i)
{
    (void)i;
    return lets_go(&bare, 0);
}

static double land_lets_go(size_t i)
{
    (void)i;
    return lets_go(&heron, 0);
}

// ---- the page ----------------------------------------------------------------------------------

typedef struct line {
    const char *label;   // of the page's row
    const char *comment; // as the document's comments have it; NULL: not there
    double (*hand)(size_t), (*sheet)(size_t);
} line;

static const line drive_lines[] = {
    {"voltage in a grip", "5.71 of 6 V", grip_voltage, sheet_grip_voltage},
    {"voltage held", "Held, 5.77 V", hold_voltage, sheet_hold_voltage},
    {"tip straight, half closed, closed", "3.3, 4.7 and 13.7 N", tip, sheet_tip},
    {"held half closed", "6.7 N half closed", held, sheet_held},
    {"free closing", "0.37 s", closes_in, sheet_closes_in},
    {"knuckle behind the drum", "28 degrees of the knuckle", behind, sheet_behind},
    {"cord's safety", "of a stalled drum: 4.3", safety, sheet_safety},
    {"case, held on", "41 degC in a room of 25", case_at, sheet_case},
};

// Without `hand`: the number on paper came from another program, or there is none.
static const line pivot_lines[] = {
    {"PIP's worst cone, 1 N on the straight tip", NULL, NULL, sheet_cone},
    {"a cheek of 2 by 14 mm, 6 mm deep, opens by", NULL, paper_opening, sheet_opening},
    {"bare cones of 1.2 mm, the PIP lets go", NULL, paper_lets_go, pip_lets_go},
    {"the same at the knuckle", NULL, NULL, knuckle_lets_go},
    {"the knuckle with lands", NULL, NULL, land_lets_go},
};

static hw_text row_of(hw_text section, const char *label)
{
    char head[80];
    (void)snprintf(head, sizeof head, "\n| %s |", label);
    const char *at = strstr(section.at, head);
    if (!CHECK(at != NULL)) {
        printf("    no row \"%s\"\n", label);
        return (hw_text){"", 0};
    }
    return (hw_text){at + 1, strcspn(at + 1, "\n")};
}

static void check_hand(const line *l, const cell *hand, hw_text document)
{
    for (size_t i = 0; l->hand && i < hand->n; i++) // hand work rounds on its way
        if (!CLOSE(l->hand(i), hand->at[i].value, 0.02)) printf("    %s by hand\n", l->label);
    if (!l->comment) return;
    cell comment = cell_of(hw_text_of(l->comment));
    if (!CHECK(strstr(document.at, l->comment) && comment.n >= hand->n)) return;
    for (size_t i = 0; i < hand->n; i++) CHECK(hand->at[i].value == comment.at[i].value);
}

static void check_line(const line *l, hw_text section, hw_text document)
{
    hw_text column[COLUMNS] = {{0}};
    if (!CHECK(columns_of(row_of(section, l->label), column) == COLUMNS)) return;
    cell hand = cell_of(column[1]), sheet = cell_of(column[2]);
    check_hand(l, &hand, document);
    bool far = hand.n == 0;
    CHECK(sheet.n > 0 && (far || sheet.n == hand.n));
    for (size_t i = 0; i < sheet.n; i++) {
        if (!CHECK(same(l->sheet(i), sheet.at[i])))
            printf("    %s: the sheet says %.4g\n", l->label, l->sheet(i));
        far = far || fabs(hand.at[i].value / sheet.at[i].value - 1) > 0.2;
    }
    if (far && !CHECK(column[3].len > 40)) printf("    %s: no reason\n", l->label);
}

static void drive_by_hand(void)
{
    hw_text section = section_of("## Heron"), document = example_bytes(arena, "heron");
    for (size_t i = 0; i < sizeof drive_lines / sizeof *drive_lines; i++)
        check_line(&drive_lines[i], section, document);
}

// Every place of a word, which may be shorter than what stands there afterwards.
static hw_text with(hw_text t, const char *was, const char *now)
{
    hw_buffer out = {.arena = arena};
    const char *from = t.at, *at;
    for (; (at = strstr(from, was)) != NULL; from = at + strlen(was))
        hw_buffer_format(&out, "%.*s%s", (int)(at - from), from, now);
    CHECK(from != t.at);
    hw_buffer_format(&out, "%s", from);
    return (hw_text){out.at, out.len};
}

static void pivots_beside_paper(void)
{
    hw_text section = section_of("## Heron"), document = example_bytes(arena, "heron");
    document = with(document, "land: 1.9 mm}", "kind: cone}");
    document = with(document, "engagement: 2 mm", "engagement: 1.2 mm");
    const hw_design *design = design_from("bare", document, hw_text_of(""));
    if (!design || !CHECK(hw_assess(arena, design, NULL, &bare) == HW_OK)) return;
    for (size_t i = 0; i < sizeof pivot_lines / sizeof *pivot_lines; i++)
        check_line(&pivot_lines[i], section, document);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    arena = hw_arena_new(64u << 20);
    if (!arena || !assess_example("heron", &heron)) return 1;
    RUN(drive_by_hand);
    RUN(pivots_beside_paper);
    hw_arena_free(arena);
    return TEST_END();
}
