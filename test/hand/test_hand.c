#include "hand/hand.h"

#include "check.h"

// Reads a document that must be right.
static hw_design *read(hw_arena *a, const char *text)
{
    hw_diag item[8];
    hw_diags diags = {item, 0, 8, 0};
    hw_design *d = NULL;
    hw_read_def def = {.file = "hand.yaml"};
    CHECK(hw_design_read(a, hw_text_of(text), &def, &d, &diags) == HW_OK);
    for (size_t i = 0; i < diags.count; i++) printf("%d: %s\n", item[i].line, item[i].text);
    return d;
}

static void an_empty_document_is_a_whole_hand(void)
{
    hw_arena *a = hw_arena_new(0);
    hw_design *d = read(a, "");
    if (d) {
        hw_hand h;
        hw_hand_build(d, &h);
        CHECK(h.length > 0.15 && h.length < 0.22 && h.breadth > 0.07 && !h.left && !h.classroom);
        CHECK(h.digit[HW_INDEX].family == HW_FAMILY_COUPLED_BARS);
        for (int i = 0; i < HW_DIGITS; i++) {
            CHECK(h.present[i]);
            CHECK(hw_digit_check(&h.digit[i]) == HW_DIGIT_SOUND);
            CHECK(h.digit[i].thumb == (i == HW_THUMB));
        }
        // the middle finger is the longest: Buchholz, Armstrong & Goldstein 1992
        CHECK(h.digit[HW_MIDDLE].phalanx[0] > h.digit[HW_INDEX].phalanx[0]);
    }
    hw_arena_free(a);
}

// Every number that the document gives arrives where the core expects it, in SI. All values differ,
// so a swap shows.
static void every_number_of_a_digit_arrives(void)
{
    hw_arena *a = hw_arena_new(0);
    hw_design *d = read(
        a, "hand: {length: 200 mm, side: left}\n"
           "setting: classroom\n"
           "pivot: {boss: 2.5 mm, gap: 0.3 mm, half_angle: 60 deg}\n"
           "loads: {tip: 1 N, pad: 2 N, hook: 3 N, knock: 4 N}\n"
           "closing: {mcp: 80 deg, pip: 95 deg, dip: 60 deg}\n"
           "filament: {modulus: 3 GPa, strength: 50 MPa, strength_across: 20 MPa}\n"
           "digits:\n"
           "  ring: {present: no}\n"
           "  index:\n"
           "    phalanges: [0.2 * hand.length, 30 mm, 20 mm]\n"
           "    width: 16 mm\n"
           "    thickness: [22 mm, 18 mm, 17 mm]\n"
           "    tip_thickness: 12 mm\n"
           "    travel: [5 deg, 85 deg]\n"
           "    mechanism:\n"
           "      kind: coupled bars\n"
           "      bar_a: {root: [5.9 mm, 3.1 mm], horn: 6 mm, horn_angle: -50 deg, width: 5 mm, "
           "depth: 2.4 mm}\n"
           "      bar_b: {root: [-4 mm, -2 mm], horn: 5.5 mm, horn_angle: 149 deg, width: 4.5 mm, "
           "depth: 1.6 mm, count: 2}\n"
           "  little:\n"
           "    mechanism:\n"
           "      kind: cord\n"
           "      cord: {arm: [9 mm, 7 mm, 5 mm], rate: [30 N*mm/rad, 20 N*mm/rad, 10 N*mm/rad],\n"
           "             preload: [3 N*mm, 2 N*mm, 1 N*mm], tension: 44 N}\n"
           "      stops: {proximal: [1 deg, 81 deg], middle: [2 deg, 82 deg], distal: [3 deg, 83 "
           "deg]}\n");
    if (d) {
        hw_hand h;
        hw_hand_build(d, &h);
        const double eps = 1e-15; // rounding of unit conversions
        CHECK(h.left && h.classroom && !h.present[HW_RING] && h.present[HW_INDEX]);
        NEAR(h.loads.tip + 10 * h.loads.pad + 100 * h.loads.hook + 1000 * h.loads.knock, 4321,
             1e-10);
        NEAR(h.law[1], 95 * HW_PI / 180, eps);
        NEAR(h.strength, 50e6, 1e-7);
        NEAR(h.strength_across, 20e6, 1e-7);
        const hw_digit *g = &h.digit[HW_INDEX];
        NEAR(g->phalanx[0], 0.04, eps);
        NEAR(g->phalanx[1], 0.03, eps);
        NEAR(g->phalanx[2], 0.02, eps);
        NEAR(g->width, 0.016, eps);
        NEAR(g->thickness[1], 0.018, eps);
        NEAR(g->tip_thickness, 0.012, eps);
        NEAR(g->travel[0], 5 * HW_PI / 180, eps);
        NEAR(g->bar[0].root.x, 0.0059, eps);
        NEAR(g->bar[0].root.z, 0.0031, eps);
        NEAR(g->bar[0].horn, 0.006, eps);
        NEAR(g->bar[0].horn_angle, -50 * HW_PI / 180, eps);
        NEAR(g->bar[0].width, 0.005, eps);
        NEAR(g->bar[0].depth, 0.0024, eps);
        NEAR(g->bar[1].root.x, -0.004, eps);
        NEAR(g->bar[1].horn, 0.0055, eps);
        NEAR(g->bar[1].depth_one, 0.0016, eps);
        NEAR(g->bar[1].depth, 0.0032, eps);
        NEAR(g->pivot_radius, 0.0025, eps);
        NEAR(g->pivot_play, 0.0003 / 0.5, eps);
        NEAR(g->modulus, 3e9, 1e-5);
        const hw_digit *c = &h.digit[HW_LITTLE];
        CHECK(c->family == HW_FAMILY_CORD);
        NEAR(c->cord.arm[1], 0.007, eps);
        NEAR(c->cord.spring_rate[2], 0.010, eps);
        NEAR(c->cord.spring_preload[0], 0.003, eps);
        NEAR(c->cord.tension, 44, 1e-13);
        NEAR(c->joint_travel[2][0], 3 * HW_PI / 180, eps);
        NEAR(c->joint_travel[1][1], 82 * HW_PI / 180, eps);
    }
    hw_arena_free(a);
}

// The cords run in the pulley's layer, not in the middle plane, and the spool's places are the
// teeth of the tension setting; without a spool, or without room for one, the drum's are.
static void pulley_and_spool_arrive(void)
{
    hw_arena *a = hw_arena_new(0);
    hw_design *d = read(a, "drive: {drum_teeth: 12, drum_radius: 7 mm, pulley_radius: 10 mm,\n"
                           "        spool: {radius: 2 mm, holes: 6}}\n"
                           "parts: {engraving: no}\n"
                           "name: Heron\nrevision: \"2\"\n"
                           "carrier: {switch: {length: 0 mm}, screw: 3 mm}\n"
                           "digits:\n"
                           "  middle: {drive: {spool: {radius: 0 mm}}}\n"
                           "  ring: {phalanges: [26 mm, 27 mm, 20 mm]}\n"
                           "  little: {drive: {pulley_radius: 14 mm}}\n");
    if (d) {
        hw_hand h;
        hw_hand_build(d, &h);
        const hw_fittings *index = &h.fittings[HW_INDEX];
        CHECK(h.fitted[HW_INDEX] && index->pulley && index->wheel.spool.fits);
        int layer = hw_layers_pulley(&h.layers[HW_INDEX]);
        NEAR(h.across[HW_INDEX].pulley, h.layers[HW_INDEX].layer[layer].y, 0);
        CHECK(fabs(h.across[HW_INDEX].pulley) > 0.5e-3);
        NEAR(h.drive[HW_INDEX].drum_teeth, 42, 0);
        CLOSE(h.drive[HW_INDEX].setting_radius, 2e-3, 1e-12);
        CHECK(!index->carrier.home && index->carrier.sheaths);
        for (int i = HW_MIDDLE; i <= HW_LITTLE; i++) {
            NEAR(h.drive[i].drum_teeth, 12, 0);
            CLOSE(h.drive[i].setting_radius, 7e-3, 1e-12);
        }
        CHECK(h.fittings[HW_RING].pulley && !h.fittings[HW_RING].wheel.spool.fits);
        CHECK(!h.fittings[HW_LITTLE].pulley && h.fittings[HW_LITTLE].wheel.room < -3e-3);
        NEAR(h.across[HW_LITTLE].pulley, 0, 0);
        hw_parts_def parts;
        hw_hand_parts(d, HW_INDEX, &parts);
        CHECK(parts.fitted && parts.fittings.driven && !parts.fittings.engraved);
        SAME_TEXT(parts.fittings.mark, "Heron 2");
        CLOSE(parts.fittings.carrier.screw, 3e-3, 1e-12);
        CLOSE(parts.fittings.carrier.sheath, 4e-3, 1e-12);
        NEAR(parts.fittings.carrier.horn.hub, 0, 0); // none is asked for
    }
    hw_arena_free(a);
}

// A carrier's seats are as wide as its digit's own sheath, half as deep again as that, unless the
// document says one width or depth for all.
static void seats_are_the_digits_own(void)
{
    static const char *const text[] = {
        "handwright: 1\ndrive: {sheath: {type: ptfe 3x1.5}}\n"
        "digits: {ring: {drive: {sheath: {type: ptfe 4x2}}}}\n",
        "handwright: 1\ncarrier: {sheath: 5 mm}\ndrive: {sheath: {type: ptfe 3x1.5}}\n"
        "digits: {ring: {drive: {sheath: {type: ptfe 4x2}}}}\n",
        "handwright: 1\ncarrier: {sheath_depth: 7 mm}\ndrive: {sheath: {type: ptfe 3x1.5}}\n"
        "digits: {ring: {drive: {sheath: {type: ptfe 4x2}}}}\n"};
    static const double wide[3][2] = {{3e-3, 4e-3}, {5e-3, 5e-3}, {3e-3, 4e-3}},
                        deep[3][2] = {{4.5e-3, 6e-3}, {7.5e-3, 7.5e-3}, {7e-3, 7e-3}};
    for (int k = 0; k < 3; k++) {
        hw_arena *a = hw_arena_new(0);
        hw_design *d = read(a, text[k]);
        for (int i = 0; d && i < 2; i++) {
            hw_parts_def parts;
            hw_hand_parts(d, i ? HW_RING : HW_INDEX, &parts);
            CLOSE(parts.fittings.carrier.sheath, wide[k][i], 1e-12);
            CLOSE(parts.fittings.carrier.sheath_depth, deep[k][i], 1e-12);
        }
        hw_arena_free(a);
    }
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(an_empty_document_is_a_whole_hand);
    RUN(every_number_of_a_digit_arrives);
    RUN(pulley_and_spool_arrive);
    RUN(seats_are_the_digits_own);
    return TEST_END();
}
