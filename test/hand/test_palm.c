// The palm of a design: places of the document, roots of the digits' own layers.
#include "check.h"
#include "hand/hand.h"

static const double deg = HW_PI / 180;
static hw_arena *arena;

static void build(const char *text, hw_hand *hand)
{
    hw_diag item[4];
    hw_diags diags = {item, 0, 4, 0};
    hw_read_def def = {.file = "test.yaml"};
    hw_design *d = NULL;
    CHECK(hw_design_read(arena, hw_text_of(text), &def, &d, &diags) == HW_OK);
    hw_hand_build(d, hand);
}

static void defaults_are_the_palms_own(void)
{
    static hw_hand hand;
    build("handwright: 1\nhand: {length: 186 mm, breadth: 84 mm}\n", &hand);
    hw_palm_def f;
    hw_palm p;
    CHECK(hw_palm_def_of(0.186, 0.084, &f) == HW_OK && hw_palm_of(&f, &p) == HW_OK);
    for (int d = 0; d < HW_DIGITS; d++) {
        const hw_palm_digit *a = &p.digit[d], *b = &hand.palm.digit[d];
        NEAR(hw_vec3_norm(hw_vec3_sub(a->knuckle.at, b->knuckle.at)), 0, 1e-6);
        NEAR(hw_vec3_norm(hw_vec3_sub(a->knuckle.x, b->knuckle.x)), 0, 1e-9);
        NEAR(hw_vec3_norm(hw_vec3_sub(a->knuckle.z, b->knuckle.z)), 0, 1e-9);
        NEAR(hw_vec3_norm(hw_vec3_sub(a->splay_at, b->splay_at)), 0, 1e-6);
        NEAR(a->splay[0], b->splay[0], 1e-15);
        NEAR(a->splay[1], b->splay[1], 1e-15);
        for (int k = 0; k < HW_PALM_DEPTHS; k++) NEAR(a->thickness[k], b->thickness[k], 1e-4);
        for (int k = 0; k < HW_SEGMENTS; k++) NEAR(a->segment[k], b->segment[k], 1e-12);
    }
    NEAR(p.length, hand.palm.length, 1e-12);
    NEAR(p.breadth, hand.palm.breadth, 1e-12);
    NEAR(p.thickness, hand.palm.thickness, 1e-12);
    NEAR(p.back, hand.palm.back, 1e-6);
    NEAR(p.setback, hand.palm.setback, 1e-6);
    NEAR(p.edge, hand.palm.edge, 1e-4);
    NEAR(p.arch_radius, hand.palm.arch_radius, 1e-5);
    NEAR(p.opposition[1], hand.palm.opposition[1], 1e-12);
    NEAR(hw_vec3_norm(hw_vec3_sub(p.opposition_axis, hand.palm.opposition_axis)), 0, 1e-12);
}

static void what_the_document_says(void)
{
    static hw_hand hand;
    build("handwright: 1\n"
          "digits:\n"
          "  index:\n"
          "    knuckle: {at: [90 mm, 25 mm, -2 mm], turn: 4 deg, rise: -3 deg, roll: 5 deg}\n"
          "    splay: {least: -1 deg, most: 12 deg, behind: 20 mm}\n"
          "    mechanism: {bar_a: {root: [5 mm, 3 mm]}}\n"
          "palm: {thickness: 36 mm, setback: 9 mm, edge: 5 mm, back: 10 mm,\n"
          "       opposition: {turn: 3 deg, rise: -2 deg, behind: 7 mm, open: -5 deg,\n"
          "                    closed: 80 deg}}\n",
          &hand);
    const hw_palm *p = &hand.palm;
    const hw_palm_digit *d = &p->digit[HW_INDEX];
    hw_frame want = hw_palm_frame((hw_vec3){0.09, 0.025, -0.002},
                                  (hw_palm_pointing){4 * deg, -3 * deg, 5 * deg});
    NEAR(hw_vec3_norm(hw_vec3_sub(d->knuckle.at, want.at)), 0, 1e-15);
    NEAR(hw_vec3_norm(hw_vec3_sub(d->knuckle.y, want.y)), 0, 1e-15);
    NEAR(hw_vec3_norm(hw_vec3_sub(d->splay_at, d->knuckle.at)), 0.02, 1e-15);
    NEAR(d->splay[1], 12 * deg, 1e-15);
    NEAR(hw_vec3_dot(hw_vec3_sub(d->bar_at, want.at), want.x), 0.005, 1e-15);
    NEAR(hw_vec3_dot(hw_vec3_sub(d->bar_at, want.at), want.z), 0.003, 1e-15);
    NEAR(p->thickness, 0.036, 1e-15);
    NEAR(p->setback, 0.009, 1e-15);
    NEAR(p->edge, 0.005, 1e-15);
    NEAR(p->back, 0.010, 1e-15);
    NEAR(p->opposition[0], -5 * deg, 1e-15);
    hw_frame base = hw_palm_frame((hw_vec3){0}, (hw_palm_pointing){3 * deg, -2 * deg, 0});
    NEAR(hw_vec3_norm(hw_vec3_add(p->opposition_axis, base.x)), 0, 1e-15);
    const hw_frame *thumb = &p->digit[HW_THUMB].knuckle;
    hw_vec3 through = hw_vec3_along(thumb->at, -0.007, thumb->x);
    NEAR(hw_vec3_norm(hw_vec3_sub(p->opposition_at, through)), 0, 1e-15);
}

// Percentiles of the survey to whole millimetres (docs/sources/anatomy.md).
static void sizes_by_sex_and_percentile(void)
{
    static hw_hand hand;
    static const struct {
        const char *text;
        double length, breadth; // [m]
    } of[] = {{"handwright: 1\nhand: {sex: male, percentile: 5 %}\n", 0.177, 0.081},
              {"handwright: 1\nhand: {sex: male, percentile: 95 %}\n", 0.210, 0.096},
              {"handwright: 1\nhand: {sex: female, percentile: 50 %}\n", 0.180, 0.078},
              {"handwright: 1\nhand: {sex: female, percentile: 95 %}\n", 0.199, 0.085},
              {"handwright: 1\n", 0.187, 0.083}};
    for (size_t i = 0; i < sizeof of / sizeof *of; i++) {
        build(of[i].text, &hand);
        NEAR(hand.length, of[i].length, 0.00151);
        NEAR(hand.breadth, of[i].breadth, 0.00151);
        NEAR(1e3 * hand.length, round(1e3 * hand.length), 1e-9);
    }
    NEAR(hand.length, 0.187, 1e-12); // the default has not moved
    NEAR(hand.breadth, 0.083, 1e-12);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    arena = hw_arena_new(0);
    RUN(defaults_are_the_palms_own);
    RUN(what_the_document_says);
    RUN(sizes_by_sex_and_percentile);
    hw_arena_free(arena);
    (void)hw_check_text;
    return TEST_END();
}
