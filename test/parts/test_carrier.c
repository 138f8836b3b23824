#include "group.h"
#include "sound.h"

// One part of Heron's digit with these fittings; its volume in cubic millimetres.
typedef struct made {
    group g;
    hw_fittings held;
} made;

static bool make(made *m, int digit, const hw_fittings_def *f)
{
    m->g = group_new();
    hw_design *d = example(m->g.keep, "heron", "");
    if (!d) return false;
    const hw_hand *hand = hand_of(d);
    hw_hand_parts(d, digit, &m->g.def);
    m->g.digit = hand->digit[digit];
    m->g.layers = hand->layers[digit];
    m->g.layers.block = 22 * mm; // Heron's own are cut short
    m->g.def.fitted = f != NULL;
    m->g.def.deviation = 0.05 * mm;
    if (f) m->g.def.fittings = *f;
    if (!CHECK(hw_stack_of(&m->g.digit, &m->g.layers, &m->g.stack) == HW_OK)) return false;
    if (f) CHECK(hw_fittings_of(f, &m->g.digit, &m->g.layers, &m->held) == HW_OK);
    hw_code code = hw_parts_digit(m->g.keep, m->g.work, &m->g.def, &m->g.digit, &m->g.layers,
                                  &m->g.stack, NULL, &m->g.set);
    return CHECK(code == HW_OK);
}

static hw_fittings_def bare(void)
{
    hw_fittings_def f = hw_fittings_def_default();
    f.carrier.stop = false;
    f.carrier.home.length = 0;
    f.carrier.screw = 0;
    f.carrier.sheath = 0;
    return f;
}

static double volume_of(int digit, const hw_fittings_def *f, int part)
{
    made m;
    double v = NAN;
    if (make(&m, digit, f)) v = sound_volume(&m.g.set.part[part].solid, m.g.set.part[part].name);
    group_free(&m.g);
    return v;
}

// Every finger with everything, sound as written; a spool beside each.
static void whole_fingers(void)
{
    for (int digit = HW_INDEX; digit <= HW_LITTLE; digit++)
        for (int textured = 0; textured < (digit <= HW_MIDDLE ? 2 : 1); textured++) {
            made m;
            hw_fittings_def f = hw_fittings_def_default();
            strcpy(f.mark, "Heron 1");
            if (digit == HW_LITTLE) f.pulley.radius = 9 * mm;
            if (textured)
                f.pad = (hw_pad_def){.texture = digit % 2 ? HW_PAD_SQUARES : HW_PAD_GROOVES,
                                     .pitch = 2.5 * mm,
                                     .depth = 0.5 * mm,
                                     .margin = 1 * mm};
            if (make(&m, digit, &f)) {
                CHECK(m.held.pulley && m.held.wheel.spool.fits);
                CHECK(m.g.set.parts == 7 && m.g.set.part[6].role == HW_PART_PULLEY);
                CHECK(m.held.carrier.sheaths && m.held.carrier.stop && m.held.carrier.screws);
                CHECK(m.held.carrier.home == (digit != HW_LITTLE)); // no room in a 20 mm knuckle
                for (size_t i = 0; i < m.g.set.parts; i++)
                    sound_volume(&m.g.set.part[i].solid, m.g.set.part[i].name);
            }
            group_free(&m.g);
        }
}

// What seats take away: sheaths' seats and cords' ways have their section times their length.
static void sheaths(void)
{
    hw_fittings_def f = bare();
    double before = volume_of(HW_INDEX, &f, 0);
    f.carrier.sheath = 4 * mm;
    made m;
    if (!make(&m, HW_INDEX, &f)) return;
    const hw_carrier_place *p = &m.held.carrier;
    CHECK(p->sheaths);
    double gone = before - sound_volume(&m.g.set.part[0].solid, "sheaths");
    double seat = (4 + 0.25) / 2, way = (1 + 0.25) / 2, length = (p->front - p->back) / mm;
    double section = 4 * sqrt(2) - 2; // of a bore of radius 1
    NEAR(gone, 2 * section * (seat * seat * 6 + way * way * (length - 6)), 0.3);
    // a sheath goes in: its seat is wider by a gap, and deep enough to hold it
    NEAR(p->sheath_y, m.held.wheel.y, 0);
    // the cords' lines: from the seats' mouths to the pulley's tangents
    for (int i = 0; i < 2; i++) {
        hw_vec2 mouth = {p->back, (i == 0 ? -1 : 1) * p->mouth}, t = m.held.wheel.toward[i];
        double off = fabs(mouth.x * t.z - mouth.z * t.x); // of the line through the mouth
        NEAR(off, 10.5 * mm, 0.002 * mm);                 // found in a few rounds
    }
    group_free(&m.g);
}

static void home_switch(void)
{
    hw_fittings_def f = bare();
    f.carrier.sheath = 4 * mm;
    double before = volume_of(HW_INDEX, &f, 0);
    f.carrier.home = hw_fittings_def_default().carrier.home;
    made m;
    if (!make(&m, HW_INDEX, &f)) return;
    const hw_carrier_place *p = &m.held.carrier;
    CHECK(p->home);
    // below the opening cord's way, which rises toward the front, it has the least room
    hw_vec2 way = m.held.wheel.toward[1];
    double behind = (p->home_face - p->back) / mm - 6.5 - 0.5;
    double cord = p->mouth / mm + behind * way.z / way.x - sqrt(2) * 0.625 - 0.42;
    NEAR(p->home_room, (cord - 6.4 - 0.25) * mm, 1e-6 * mm);
    NEAR(p->home_face, -(m.held.wheel.rim + 1.8 * mm), 1e-12);
    double gone = before - sound_volume(&m.g.set.part[0].solid, "switch");
    double c = 0.25, wide = (p->high - m.held.wheel.y) / mm + 5.8 / 2 + c;
    double seat = (6.5 + 2 * c) * (12.8 + 2 * c) * wide;
    double terminals = (3.5 * (12.8 - 3.5 * 1.2)) * wide;
    double lever = ((p->front - p->home_face) / mm) * 12.8 * (4 + 4 * c);
    double hole = 2 * HW_PI * ((p->high - p->low) / mm - wide);
    // ridges of the holes, rounded corners and chamfers
    CLOSE(gone, seat + terminals + lever + hole, 0.02);
    group_free(&m.g);
}

static void screws_and_horn(void)
{
    hw_fittings_def f = bare();
    double before = volume_of(HW_INDEX, &f, 0);
    f.carrier.screw = 2.5 * mm;
    f.carrier.screw_depth = 10 * mm;
    double gone = before - volume_of(HW_INDEX, &f, 0);
    NEAR(gone, 2 * (4 * sqrt(2) - 2) * 1.25 * 1.25 * 10, 0.2);
    // a horn takes the screws' place
    f.carrier.horn = (hw_horn){.hub = 7 * mm,
                               .arm = 13 * mm,
                               .width = 5 * mm,
                               .thickness = 1.6 * mm,
                               .screw = {8 * mm, 11 * mm},
                               .pilot = 1.2 * mm,
                               .head = 4.5 * mm};
    made m;
    if (!make(&m, HW_INDEX, &f)) return;
    CHECK(m.held.carrier.horn && !m.held.carrier.screws);
    gone = before - sound_volume(&m.g.set.part[0].solid, "horn");
    double hub = HW_PI * 3.75 * 3.75,
           shared = 2.75 * sqrt(3.75 * 3.75 - 2.75 * 2.75) + 3.75 * 3.75 * asin(2.75 / 3.75);
    double pocket = 1.85 * (hub + 5.5 * 13.25 - shared), head = HW_PI * 2.5 * 2.5 * (22 - 1.85);
    double pilots = 2 * HW_PI * 0.36 * 4.8;
    if (!CHECK(gone > pocket + head + pilots && gone < 1.08 * (pocket + head + pilots)))
        printf("    %g %g %g %g\n", gone, pocket, head, pilots);
    // beside sheaths it finds no room in 16 mm
    f.carrier.sheath = 4 * mm;
    hw_fittings held;
    CHECK(hw_fittings_of(&f, &m.g.digit, &m.g.layers, &held) == HW_OK);
    CHECK(held.carrier.sheaths && !held.carrier.horn);
    // from the sheaths' middle to the side, less 3.01 of a seat, 7.5 of the hub, two lines
    double side = (held.carrier.sheath_y - held.carrier.low) / mm;
    NEAR(held.carrier.horn_room, (side - sqrt(2) * 2.125 - 7.5 - 0.84) * mm, 1e-6 * mm);
    group_free(&m.g);
}

// Without cords the whole block is a horn's: a direct thumb's, whose axis is in the middle.
static void a_thumbs_horn(void)
{
    made m;
    hw_fittings_def f = bare();
    f.driven = false;
    f.carrier.horn = (hw_horn){
        .hub = 9 * mm, .arm = 14 * mm, .width = 6 * mm, .thickness = 2.2 * mm, .head = 5 * mm};
    if (make(&m, HW_THUMB, &f)) {
        const hw_carrier_place *p = &m.held.carrier;
        CHECK(p->horn && !p->screws);
        NEAR(p->horn_y, (p->low + p->high) / 2, 1e-12);
        NEAR(p->horn_room, (22 - 2 * 0.42 - (4.5 + 4 * 0.42) - 14 - 0.25) * mm, 1e-9);
        sound_volume(&m.g.set.part[0].solid, "thumb's horn");
        f.carrier.horn.hub = 17 * mm; // now its width is short: 18 mm less gaps and two lines
        hw_fittings held;
        CHECK(hw_fittings_of(&f, &m.g.digit, &m.g.layers, &held) == HW_OK && !held.carrier.horn);
        NEAR(held.carrier.horn_room, fmin(18 - 17 - 0.5 - 0.84, 0.73 - 4) * mm, 1e-9);
    }
    group_free(&m.g);
}

// Area that two parts share in a layer, the second turned about the knuckle by `flexion` [mm^2].
static double shared_area(made *m, double flexion, double y) // [rad] [m]
{
    const hw_solid *carrier = &m->g.set.part[0].solid, *proximal = &m->g.set.part[1].solid;
    hw_mesh_def def = hw_mesh_def_default();
    hw_section s;
    hw_mesh_made info;
    double at = m->g.set.bed.up * y;
    if (!CHECK(hw_solid_section(m->g.keep, m->g.work, proximal, &def, at, NULL, &s, &info) ==
               HW_OK))
        return NAN;
    hw_block *hole = HW_NEW(m->g.keep, hw_block, s.rings);
    hw_vec2 knuckle = m->g.set.bed.knuckle;
    for (size_t i = 0; i < s.rings; i++) {
        hw_polygon ring = s.ring[i];
        for (size_t k = 0; k < ring.n; k++)
            ring.at[k] =
                hw_add(knuckle, hw_flexed(hw_sub(ring.at[k], knuckle), m->g.set.bed.up * flexion));
        // holes of the proximal are left out: they lie far from the carrier
        if (hw_polygon_area(&ring) < 0) ring.n = 0;
        hole[i] = (hw_block){HW_BLOCK_CUT, {at - mm, at + mm}, {ring, ring}};
    }
    size_t n = 0;
    for (size_t i = 0; i < s.rings; i++)
        if (hole[i].at[0].n) hole[n++] = hole[i];
    hw_solid cut = {hole, n}, left = joined(m->g.keep, carrier, &cut);
    return section_area(carrier, at) - section_area(&left, at);
}

// The proximal comes free of the carrier all the way, its pulley too, and meets the stop right
// behind the end of its travel.
static void closed_stop(void)
{
    for (int digit = HW_INDEX; digit <= HW_LITTLE; digit += 3) {
        made m;
        hw_fittings_def f = hw_fittings_def_default();
        if (digit == HW_LITTLE) f.pulley.radius = 9 * mm;
        if (make(&m, digit, &f)) {
            CHECK(m.held.carrier.stop);
            double end = m.g.layers.fork[0].travel[1], last = (double)m.g.layers.n - 1;
            // in the cheeks' outer halves, where no pin of the carrier's reaches
            const hw_layer *side[2] = {&m.g.layers.layer[0], &m.g.layers.layer[(int)last]};
            const double y[3] = {side[0]->y - 0.4 * side[0]->thickness,
                                 side[1]->y + 0.4 * side[1]->thickness, m.held.wheel.y};
            for (int i = 0; i < 3; i++)
                for (int k = 0; k <= 8; k++) {
                    double area = shared_area(&m, end * k / 8, y[i]);
                    if (!CHECK(area < 0.01))
                        printf("    digit %d, y %.2f, %g of the travel: %g mm2\n", digit, y[i] / mm,
                               k / 8.0, area);
                }
            const double degree = HW_PI / 180;
            CHECK(shared_area(&m, end + 1.5 * degree, y[0]) > 0.3);
            CHECK(shared_area(&m, end + 1.5 * degree, y[1]) > 0.3);
            hw_fittings_def none = f;
            none.carrier.stop = false;
            CHECK(m.held.carrier.stop_angle > end &&
                  m.held.carrier.stop_angle < end + 0.5 * degree);
            group_free(&m.g);
            if (make(&m, digit, &none)) // without it the digit goes on
                CHECK(shared_area(&m, end + 1.5 * degree, y[0]) < 0.05);
        }
        group_free(&m.g);
    }
}

// What a short carrier holds: sheaths' seats, and screws as long as it leaves. What ten millimetres
// less take away is as wide as its layers and the gaps between them, and as high as the knuckle and
// the wedge below it, down to a bed that falls away from the knuckle.
static void a_short_block(void)
{
    static const double length[] = {22, 11, 9, 6}; // [mm]
    made m;
    hw_fittings_def f = bare();
    double whole = volume_of(HW_INDEX, &f, 0);
    if (!make(&m, HW_INDEX, &f)) return;
    m.g.layers.block = 12 * mm;
    CHECK(hw_stack_of(&m.g.digit, &m.g.layers, &m.g.stack) == HW_OK);
    hw_part_set set;
    if (CHECK(hw_parts_digit(m.g.keep, m.g.work, &m.g.def, &m.g.digit, &m.g.layers, &m.g.stack,
                             NULL, &set) == HW_OK)) {
        double middle = m.g.layers.fork[0].setback / mm + 17;
        double high = 22 + fabs(set.bed.s / set.bed.c) * middle, wide = m.g.layers.sum / mm;
        CLOSE(whole - sound_volume(&set.part[0].solid, "short"), 10 * high * wide,
              5e-3); // edges are bevelled
    }
    f = hw_fittings_def_default();
    for (size_t i = 0; i < sizeof length / sizeof *length; i++) {
        hw_fittings held;
        m.g.layers.block = length[i] * mm;
        CHECK(hw_fittings_of(&f, &m.g.digit, &m.g.layers, &held) == HW_OK);
        const hw_carrier_place *p = &held.carrier;
        NEAR(p->front - p->back, length[i] * mm, 1e-15);
        CHECK(p->sheaths == (length[i] > 8)); // 6 mm of seat and four lines
        double deep = length[i] - 4 * f.carrier.line / mm;
        CHECK(p->screws == (deep >= 5));
        if (p->screws) NEAR(p->screw_depth, fmin(10, deep) * mm, 1e-12);
    }
    group_free(&m.g);
}

static void refused(void)
{
    made m;
    hw_fittings_def f = hw_fittings_def_default();
    if (!make(&m, HW_INDEX, &f)) return;
    hw_fittings held;
    for (int i = 0; i < 5; i++) {
        hw_fittings_def bad = f;
        if (i == 0) bad.carrier.line = 0;
        if (i == 1) bad.carrier.home.height = -1;
        if (i == 2) bad.carrier.sheath = NAN;
        if (i == 3) bad.pulley.cord = 0;
        if (i == 4) bad.carrier.horn.arm = INFINITY;
        CHECK(hw_fittings_of(&bad, &m.g.digit, &m.g.layers, &held) == HW_BAD_INPUT);
        CHECK(!held.pulley && held.carrier.back == 0);
    }
    f.driven = false;
    CHECK(hw_fittings_of(&f, &m.g.digit, &m.g.layers, &held) == HW_OK);
    CHECK(!held.pulley && !held.carrier.sheaths && !held.carrier.home && held.carrier.stop);
    group_free(&m.g);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(whole_fingers);
    RUN(sheaths);
    RUN(home_switch);
    RUN(screws_and_horn);
    RUN(a_thumbs_horn);
    RUN(closed_stop);
    RUN(a_short_block);
    RUN(refused);
    return TEST_END();
}
