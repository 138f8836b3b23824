// Tolerance 1e-12 of the largest force (times a length): some dozen roundings, well conditioned.
#include "base/rng.h"
#include "check.h"
#include "linkage/spatial.h"

static const hw_vec3 none = {0, 0, 0}, along_y = {0, 1, 0};

static hw_vec3 cross(hw_vec3 a, hw_vec3 b)
{
    return (hw_vec3){a.y * b.z - a.z * b.y, a.z * b.x - a.x * b.z, a.x * b.y - a.y * b.x};
}

static void near3(hw_vec3 got, double x, double y, double z, double tolerance)
{
    NEAR(got.x, x, tolerance);
    NEAR(got.y, y, tolerance);
    NEAR(got.z, z, tolerance);
}

// A flap on a hinge along y, 0.4 deep and 0.3 to one side, held by a stay from its far edge to a
// point straight above the hinge's point. By hand: the stay leans by 3-4-5, its moment about y
// carries the weight at half the depth: T * 0.6 * 0.4 = 50 * 0.2.
static void a_flap_on_a_hinge(void)
{
    hw_space_pin hinge = {.a = 0, .b = 1, .at = none, .axis = {0, 3, 0}};
    hw_space_stretch stay = {.a = 0, .b = 1, .at_a = {0, 0.3, 0.3}, .at_b = {0.4, 0.3, 0}};
    hw_space_line line = {.stretch = &stay, .stretches = 1};
    hw_space m = {.bodies = 2, .pin = &hinge, .pins = 1, .line = &line, .lines = 1};
    hw_space_load weight = {.body = 1, .at = {0.2, 0.15, 0}, .force = {0, 0, -50}};
    hw_arena *a = hw_arena_new(0);
    hw_space_forces f;
    CHECK(hw_space_forces_new(a, &m, &f) == HW_OK);
    CHECK(hw_space_balance(&m, a, &weight, 1, &f) == HW_OK);
    double t = 50 * 0.2 / (0.6 * 0.4);
    CLOSE(f.line[0], t, 1e-12);
    near3(f.pin[0], 0.8 * t, 0, 50 - 0.6 * t, 1e-11);
    // moments about x: weight -50*0.15, stay 0.6 t 0.3; about z: -(0.3)(-0.8 t)
    near3(f.couple[0], 50 * 0.15 - 0.6 * t * 0.3, 0, -0.3 * 0.8 * t, 1e-11);
    hw_arena_free(a);
}

// A drive instead of the stay, and a cord of given tension over a pulley of the flap that comes
// back parallel: it pulls with twice its tension.
static void a_drive_and_a_cord_over_a_pulley(void)
{
    hw_space_pin hinge = {.a = 0, .b = 1, .at = none, .axis = along_y};
    hw_space_stretch both[2] = {{.a = 0, .b = 1, .at_a = {0.2, 0.1, 1}, .at_b = {0.2, 0.1, 0}},
                                {.a = 1, .b = 0, .at_a = {0.3, 0.1, 0}, .at_b = {0.3, 0.1, 1}}};
    hw_space_line cord = {.stretch = both, .stretches = 2, .known = true, .tension = 7};
    hw_space_drive drive = {.a = 0, .b = 1, .axis = {0, -2, 0}};
    hw_space m = {.bodies = 2,
                  .pin = &hinge,
                  .pins = 1,
                  .line = &cord,
                  .lines = 1,
                  .drive = &drive,
                  .drives = 1};
    hw_arena *a = hw_arena_new(0);
    hw_space_forces f;
    CHECK(hw_space_forces_new(a, &m, &f) == HW_OK);
    CHECK(hw_space_balance(&m, a, NULL, 0, &f) == HW_OK);
    near3(f.pin[0], 0, 0, -14, 1e-12);
    near3(f.couple[0], -14 * 0.1, 0, 0, 1e-12);
    CLOSE(f.drive[0], -7 * 0.5, 1e-12); // the cord turns it by -z x about y
    CHECK(f.line[0] == 7);
    hw_arena_free(a);
}

typedef struct chain {
    hw_space_pin pin[3];
    hw_space_stretch bar[2];
    hw_space_line line[2];
    hw_space_drive drive;
    hw_space_load load[3];
    hw_space m;
} chain;

static hw_vec3 somewhere(hw_rng *r, double size)
{
    return (hw_vec3){hw_rng_uniform(r, -size, size), hw_rng_uniform(r, -size, size),
                     hw_rng_uniform(r, -size, size)};
}

// Three bodies in a row on pins of any direction, two bars to bodies further on, one drive.
static void random_chain(hw_rng *r, double size, chain *c)
{
    for (int i = 0; i < 3; i++) {
        c->pin[i] =
            (hw_space_pin){.a = i, .b = i + 1, .at = somewhere(r, size), .axis = somewhere(r, 1)};
        c->load[i] = (hw_space_load){.body = i + 1,
                                     .at = somewhere(r, size),
                                     .force = somewhere(r, 10),
                                     .couple = somewhere(r, 10 * size)};
    }
    for (int i = 0; i < 2; i++) {
        c->bar[i] = (hw_space_stretch){
            .a = i, .b = i + 2, .at_a = somewhere(r, size), .at_b = somewhere(r, size)};
        c->line[i] = (hw_space_line){.stretch = &c->bar[i], .stretches = 1};
    }
    c->drive = (hw_space_drive){.a = 0, .b = 1, .axis = c->pin[0].axis};
    c->m = (hw_space){.bodies = 4,
                      .pin = c->pin,
                      .pins = 3,
                      .line = c->line,
                      .lines = 2,
                      .drive = &c->drive,
                      .drives = 1};
}

// Adds a force at a point and a couple to sums about the origin.
static void act(hw_vec3 sum[2], double sign, hw_vec3 at, hw_vec3 f, hw_vec3 couple)
{
    hw_vec3 m = cross(at, f);
    sum[0] = (hw_vec3){sum[0].x + sign * f.x, sum[0].y + sign * f.y, sum[0].z + sign * f.z};
    sum[1] = (hw_vec3){sum[1].x + sign * (m.x + couple.x), sum[1].y + sign * (m.y + couple.y),
                       sum[1].z + sign * (m.z + couple.z)};
}

// Adds everything up again, body by body.
static void sums_of(const chain *c, const hw_space_forces *f, hw_vec3 sum[4][2])
{
    for (int i = 0; i < 4; i++) sum[i][0] = sum[i][1] = none;
    for (int i = 0; i < 3; i++) {
        act(sum[c->pin[i].b], 1, c->pin[i].at, f->pin[i], f->couple[i]);
        act(sum[c->pin[i].a], -1, c->pin[i].at, f->pin[i], f->couple[i]);
        act(sum[c->load[i].body], 1, c->load[i].at, c->load[i].force, c->load[i].couple);
    }
    for (int i = 0; i < 2; i++) {
        hw_vec3 p = c->bar[i].at_a, q = c->bar[i].at_b;
        double length =
            sqrt((p.x - q.x) * (p.x - q.x) + (p.y - q.y) * (p.y - q.y) + (p.z - q.z) * (p.z - q.z));
        double k = f->line[i] / length;
        hw_vec3 pull = {k * (p.x - q.x), k * (p.y - q.y), k * (p.z - q.z)};
        act(sum[c->bar[i].b], 1, q, pull, none);
        act(sum[c->bar[i].a], -1, p, pull, none);
    }
    hw_vec3 axis = c->drive.axis;
    double k = f->drive[0] / sqrt(axis.x * axis.x + axis.y * axis.y + axis.z * axis.z);
    hw_vec3 couple = {k * axis.x, k * axis.y, k * axis.z};
    act(sum[c->drive.b], 1, none, none, couple);
    act(sum[c->drive.a], -1, none, none, couple);
}

static void every_body_balances(void)
{
    hw_rng r = hw_rng_new(31, 0);
    hw_arena *a = hw_arena_new(0);
    int tried = 0;
    for (int i = 0; i < 300; i++) {
        chain c;
        double size = i % 3 ? 0.05 : 50;
        random_chain(&r, size, &c);
        hw_space_forces f;
        CHECK(hw_space_forces_new(a, &c.m, &f) == HW_OK);
        if (hw_space_balance(&c.m, a, c.load, 3, &f) != HW_OK) continue;
        hw_vec3 sum[4][2];
        sums_of(&c, &f, sum);
        double most = 10;
        for (int k = 0; k < 3; k++) most = fmax(most, fabs(f.pin[k].x) + fabs(f.pin[k].z));
        for (int k = 0; k < 2; k++) most = fmax(most, fabs(f.line[k]));
        for (int k = 1; k < 4; k++) {
            near3(sum[k][0], 0, 0, 0, 1e-11 * most);
            near3(sum[k][1], 0, 0, 0, 1e-11 * most * size);
            // the pin carries nothing about its axis
            NEAR(f.couple[k - 1].x * c.pin[k - 1].axis.x + f.couple[k - 1].y * c.pin[k - 1].axis.y +
                     f.couple[k - 1].z * c.pin[k - 1].axis.z,
                 0, 1e-10 * most * size);
        }
        tried++;
    }
    CHECK(tried > 290); // by chance a few are nearly singular
    hw_arena_free(a);
}

static void ten_times_the_size_takes_ten_times_the_couples(void)
{
    hw_rng r = hw_rng_new(32, 0), same = hw_rng_new(32, 0);
    hw_arena *a = hw_arena_new(0);
    for (int i = 0; i < 50; i++) {
        chain small, large;
        random_chain(&r, 0.04, &small);
        random_chain(&same, 0.4, &large);
        hw_space_forces f, g;
        CHECK(hw_space_forces_new(a, &small.m, &f) == HW_OK);
        CHECK(hw_space_forces_new(a, &large.m, &g) == HW_OK);
        hw_code one = hw_space_balance(&small.m, a, small.load, 3, &f);
        CHECK(hw_space_balance(&large.m, a, large.load, 3, &g) == one);
        if (one != HW_OK) continue;
        double most = 10;
        for (int k = 0; k < 2; k++) most = fmax(most, fabs(f.line[k]));
        for (int k = 0; k < 2; k++) NEAR(g.line[k], f.line[k], 1e-9 * most); // other roundings
        NEAR(g.drive[0], 10 * f.drive[0], 1e-9 * most * 0.4);
        NEAR(g.couple[1].x, 10 * f.couple[1].x, 1e-9 * most * 0.4);
    }
    hw_arena_free(a);
}

static void what_cannot_be_balanced(void)
{
    hw_space_pin hinge = {.a = 0, .b = 1, .at = none, .axis = along_y};
    // a stay whose line meets the hinge's axis holds nothing
    hw_space_stretch stay = {.a = 0, .b = 1, .at_a = {0, 0, 0.3}, .at_b = {0, 0.3, 0}};
    hw_space_line line = {.stretch = &stay, .stretches = 1};
    hw_space m = {.bodies = 2, .pin = &hinge, .pins = 1, .line = &line, .lines = 1};
    hw_space_load push = {.body = 1, .at = {0.2, 0, 0}, .force = {0, 0, 1}};
    hw_arena *a = hw_arena_new(0);
    hw_space_forces f;
    CHECK(hw_space_forces_new(a, &m, &f) == HW_OK);
    CHECK(hw_space_balance(&m, a, &push, 1, &f) == HW_NO_ASSEMBLY && isnan(f.pin[0].x));
    stay.at_b = (hw_vec3){0.2, 0, 0};
    CHECK(hw_space_balance(&m, a, &push, 1, &f) == HW_OK && f.line[0] < 0);
    push.body = 2;
    CHECK(hw_space_balance(&m, a, &push, 1, &f) == HW_BAD_INPUT && isnan(f.line[0]));
    push = (hw_space_load){.body = 1, .force = {NAN, 0, 0}};
    CHECK(hw_space_balance(&m, a, &push, 1, &f) == HW_BAD_INPUT);
    hinge.axis = none;
    CHECK(hw_space_balance(&m, a, NULL, 0, &f) == HW_BAD_INPUT);
    hinge.axis = along_y;
    stay.at_b = stay.at_a;
    CHECK(hw_space_balance(&m, a, NULL, 0, &f) == HW_BAD_INPUT);
    m.lines = 0; // five unknowns for six balances
    CHECK(hw_space_balance(&m, a, NULL, 0, &f) == HW_BAD_INPUT);
    hw_arena_free(a);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(a_flap_on_a_hinge);
    RUN(a_drive_and_a_cord_over_a_pulley);
    RUN(every_body_balances);
    RUN(ten_times_the_size_takes_ten_times_the_couples);
    RUN(what_cannot_be_balanced);
    return TEST_END();
}
