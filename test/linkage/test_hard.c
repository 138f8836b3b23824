// Strokes made to be stepped over: two dead points a hair apart, poses a hair before one, tiny and
// long strokes, many bodies.
#include "check.h"
#include "random_planar.h"

static hw_arena *arena;

enum { POSES = 40, EVENTS = 8, LADDER = 12 };

typedef struct run {
    hw_mech_sweep sweep;
    hw_code code;
    double s[POSES];
    hw_mech_motion at[POSES];
    uint8_t ok[POSES];
    hw_event event[EVENTS];
} run;

static void walk_to(const hw_mech *m, const hw_body_pose start[], run *r, size_t n)
{
    r->sweep = (hw_mech_sweep){
        .n = n, .s = r->s, .at = r->at, .ok = r->ok, .event = r->event, .room = EVENTS};
    for (size_t i = 0; i < n; i++) CHECK(hw_mech_motion_new(arena, m, &r->at[i]) == HW_OK);
    r->code = hw_mech_walk(m, arena, start, 0, &r->sweep);
}

// A four-bar's coupler point, driven along x by a yoke: body 4 slides on the ground and carries an
// upright line on which the point slides. The drive is dead where the point's x turns round.
typedef struct yoke {
    hw_fourbar f;
    hw_vec2 point; // on the coupler, counter-clockwise frame
    int branch;
} yoke;

// x of the point and its rate by the crank's angle.
static double point_x(const yoke *y, double crank, double *rate)
{
    hw_fourbar_pose q;
    if (hw_fourbar_solve(&y->f, crank, y->branch, &q, NULL) != HW_OK) return *rate = NAN;
    double c = cos(q.coupler), s = sin(q.coupler);
    *rate = -y->f.crank * sin(crank) - q.d_coupler * (y->point.x * s + y->point.z * c);
    return y->f.crank * cos(crank) + y->point.x * c - y->point.z * s;
}

// Where the rate changes sign between two crank angles.
static double turning(const yoke *y, double low, double high)
{
    double at_low, at_middle;
    point_x(y, low, &at_low);
    for (int i = 0; i < 80; i++) {
        double middle = 0.5 * (low + high);
        point_x(y, middle, &at_middle);
        if (at_low * at_middle > 0)
            low = middle;
        else
            high = middle;
    }
    return 0.5 * (low + high);
}

// The two turning points around a crank angle where the rate is least; false where there are none.
static bool two_turnings(const yoke *y, double around, double reach, double turn[2])
{
    double low, middle, high;
    point_x(y, around - reach, &low);
    point_x(y, around, &middle);
    point_x(y, around + reach, &high);
    if (!(low * middle < 0) || !(middle * high < 0)) return false;
    turn[0] = turning(y, around - reach, around);
    turn[1] = turning(y, around, around + reach);
    return true;
}

// Chooses the coupler point so that at a crank angle x'' is 0 and x' is `least` cranks: with c the
// coupler's angle, x' = -crank sin - c' A and x'' = -crank cos - c'' A - c'^2 B for A = px sin c +
// pz cos c and B = px cos c - pz sin c.
static bool choose_point(yoke *y, double crank, double least)
{
    const double h = 1e-5;
    hw_fourbar_pose q, before, after;
    if (hw_fourbar_solve(&y->f, crank, y->branch, &q, NULL) != HW_OK) return false;
    if (hw_fourbar_solve(&y->f, crank - h, y->branch, &before, NULL) != HW_OK) return false;
    if (hw_fourbar_solve(&y->f, crank + h, y->branch, &after, NULL) != HW_OK) return false;
    if (sin(q.transmission) < 0.3 || fabs(q.d_coupler) < 0.1) return false;
    double second = (after.d_coupler - before.d_coupler) / (2 * h);
    double a = -y->f.crank * (sin(crank) + least) / q.d_coupler;
    double b = (-y->f.crank * cos(crank) - second * a) / (q.d_coupler * q.d_coupler);
    double c = cos(q.coupler), s = sin(q.coupler);
    y->point = (hw_vec2){a * s + b * c, a * c - b * s};
    return hypot(a, b) < 20;
}

static void build_yoke(planar *p, const yoke *y, double crank, double to_x)
{
    CHECK(planar_fourbar(p, y->f, crank, crank, y->branch));
    p->m.bodies = 5;
    p->m.sliders = 2;
    p->m.drivers = 0;
    double rate, x = point_x(y, crank, &rate);
    p->slider[0] = (hw_slider){0, 4, {0, 0}, 0, {0, 0}, 0, true};
    p->slider[1] = (hw_slider){4, 2, {0, 0}, HW_PI / 2, y->point, 0, false};
    p->driver[p->m.drivers++] = (hw_driver){0, 4, 0, x, to_x - x};
    p->at[4] = (hw_body_pose){x, 0, 0};
}

// Coupler points whose x turns round twice within a short piece of the crank's way: the stroke goes
// forward, a trifle back, and forward again. Only the first turning may be met, however small the
// trifle.
static void two_dead_points_a_hair_apart(void)
{
    hw_rng g = hw_rng_new(32, 1);
    int met = 0, tight = 0;
    double smallest = INFINITY;
    size_t mark = hw_arena_mark(arena);
    for (int k = 0; k < 20000 && met < 400; k++, hw_arena_rewind(arena, mark)) {
        yoke y = {.f = {hw_rng_uniform(&g, 2, 8), hw_rng_uniform(&g, 1, 5),
                        hw_rng_uniform(&g, 2, 8), hw_rng_uniform(&g, 2, 8)},
                  .branch = k % 2 ? 1 : -1};
        double around = hw_rng_uniform(&g, -3, 3), turn[2], rate;
        double least = pow(10, hw_rng_uniform(&g, -7, -2)) * (k / 2 % 2 ? 1 : -1);
        if (!choose_point(&y, around, least)) continue;
        if (!two_turnings(&y, around, 0.2, turn)) continue;
        double from = around - 0.2, x0 = point_x(&y, from, &rate);
        double first = point_x(&y, turn[0], &rate), second = point_x(&y, turn[1], &rate);
        double way = first - x0, trifle = fabs((second - first) / way);
        // The stroke ends beyond the first turning, where the motion behind the second would go.
        planar p;
        build_yoke(&p, &y, from, first + 0.3 * way);
        planar_ends(&p);
        run r;
        for (int i = 0; i < POSES; i++) r.s[i] = (double)i / (POSES - 1);
        walk_to(&p.m, p.at, &r, POSES);
        CHECK(r.code == HW_NO_ASSEMBLY && r.sweep.events == 2);
        CHECK(r.event[0].kind == HW_EVENT_DEAD_POINT);
        // Both x are rounded to the mechanism's length, the way may be short.
        NEAR(r.event[0].s, 1 / 1.3, 1e-12 + 1e-14 * hw_mech_length(&p.m) / fabs(way));
        if (r.sweep.events != 2 && hw_check.case_fails < 10)
            printf("    case %d: back by %.3g of a way of %.3g\n", k, trifle, way);
        met++;
        tight += trifle < 1e-4;
        smallest = fmin(smallest, trifle);
    }
    printf("%d strokes met their first dead point; %d went back by less than 1e-4, least %.1g\n",
           met, tight, smallest);
    CHECK(met == 400 && tight >= 200);
}

// Two four-bars in series on one crank, each a hair from folding flat, at crank angles that lie
// close together or coincide: a step that leapt over both would leave the determinant's sign as it
// was. The closed form, four-bar by four-bar, says where the motion really goes.
static void two_near_change_points_together(void)
{
    hw_rng g = hw_rng_new(32, 3);
    int followed = 0, turned = 0, dead = 0;
    size_t mark = hw_arena_mark(arena);
    for (int k = 0; k < 400; k++, hw_arena_rewind(arena, mark)) {
        double gap = pow(10, hw_rng_uniform(&g, -6, -1.5)),
               late = k % 4 ? 0.2 * (k % 4 - 1) * gap : 0;
        late = k % 5 ? late : hw_rng_uniform(&g, -0.1, 0.1);
        double more = gap * hw_rng_uniform(&g, 0.3, 3);
        hw_fourbar one = {5, 3 - gap, 5, 3}, two = {4, 2 - more, 4, 2};
        planar p;
        run r;
        CHECK(planar_fourbar(&p, one, 1.5, 5, 1));
        hw_fourbar_pose q;
        CHECK(hw_fourbar_solve(&two, -p.at[3].angle - late, 1, &q, NULL) == HW_OK);
        p.m.bodies = 6;
        double x = 5 + 4 * cos(late), z = 4 * sin(late), arm = -p.at[3].angle;
        planar_pin(&p, 3, two.crank, 0, 4, 0, 0);
        planar_pin(&p, 4, 4, 0, 5, 2, 0);
        planar_pin(&p, 0, x, z, 5, 0, 0);
        p.at[4] = planar_bar(5 + two.crank * cos(arm), two.crank * sin(arm), q.coupler + late);
        p.at[5] = planar_bar(x, z, q.rocker + late);
        for (int i = 0; i < POSES; i++) r.s[i] = (double)i / (POSES - 1);
        walk_to(&p.m, p.at, &r, POSES);
        CHECK(r.code == HW_OK || r.code == HW_NO_ASSEMBLY);
        for (int i = 0; i < POSES && r.ok[i]; i++) {
            hw_fourbar_pose a, b;
            CHECK(hw_fourbar_solve(&one, 1.5 + 3.5 * r.s[i], 1, &a, NULL) == HW_OK);
            hw_code code = hw_fourbar_solve(&two, a.rocker - late, 1, &b, NULL);
            CHECK(code == HW_OK);
            double off = remainder(-r.at[i].pose[5].angle - b.rocker - late, 2 * HW_PI);
            if (!(fabs(off) < 1e-10 * r.at[i].conditioning) && hw_check.case_fails < 5)
                printf("    case %d: gap %.2g, %.2g, late %.2g\n", k, gap, more, late);
            NEAR(off, 0, 1e-10 * r.at[i].conditioning);
        }
        if (r.code == HW_NO_ASSEMBLY) dead++;
        followed++;
        turned += r.ok[POSES - 1] && fabs(r.at[POSES - 1].pose[5].angle + 5) > 0.1;
    }
    printf("%d motions past two near-change points, %d turned away, %d ended dead\n", followed,
           turned, dead);
    CHECK(followed == 400 && turned > 50);
}

// Poses from a hundredth down to rounding before a dead point, on either branch, against the closed
// form.
static void poses_a_hair_before(void)
{
    hw_rng g = hw_rng_new(32, 2);
    int met = 0;
    size_t mark = hw_arena_mark(arena);
    for (int k = 0; k < 4000 && met < 500; k++, hw_arena_rewind(arena, mark)) {
        double ground = hw_rng_uniform(&g, 1, 9), crank = hw_rng_uniform(&g, 1, 9);
        hw_fourbar f = {ground, crank, hw_rng_uniform(&g, 1, 9), hw_rng_uniform(&g, 1, 9)};
        hw_fourbar_mark end[8];
        int branch = k % 2 ? 1 : -1;
        size_t n = hw_fourbar_marks(&f, branch, -HW_PI, HW_PI, end, 8), i = 0;
        while (i < n && end[i].kind > HW_FOURBAR_DEAD_FOLDED) i++;
        if (i == n) continue;
        // Toward the dead point from the side that closes.
        double dead = end[i].crank, away = 0.2;
        planar p;
        if (!planar_fourbar(&p, f, dead + away, dead, branch)) away = -away;
        if (!planar_fourbar(&p, f, dead + away, dead, branch)) continue;
        double near = dead + 0.01 * away; // no other dead point on the way
        n = hw_fourbar_marks(&f, branch, dead + away, near, end, 8);
        for (i = 0; i < n && end[i].kind > HW_FOURBAR_DEAD_FOLDED;) i++;
        if (i < n || hw_fourbar_solve(&f, near, branch, &(hw_fourbar_pose){0}, NULL) != HW_OK)
            continue;
        met++;
        run r;
        for (int j = 0; j < LADDER; j++) r.s[j] = 1 - pow(10, -1 - j);
        walk_to(&p.m, p.at, &r, LADDER);
        CHECK(r.code == HW_OK);
        for (int j = 0; j < LADDER; j++) {
            hw_fourbar_pose q;
            // 1 - s is exact only to rounding: so is the crank, and the pose to its conditioning.
            CHECK(hw_fourbar_solve(&f, dead + away * (1 - r.s[j]), branch, &q, NULL) == HW_OK);
            double loss = 1e-15 * r.at[j].conditioning * r.at[j].conditioning;
            NEAR(remainder(-r.at[j].pose[3].angle - q.rocker, 2 * HW_PI), 0,
                 fmin(loss + 1e-13 * r.at[j].conditioning, 1e-6));
            CHECK(r.at[j].conditioning >= 1);
        }
    }
    CHECK(met == 500);
}

// A hundred-millionth of a radian, and a thousand turns.
static void tiny_and_long_strokes(void)
{
    planar p;
    run r;
    hw_fourbar f = {100, 40, 120, 80};
    CHECK(planar_fourbar(&p, f, 1, 1 + 1e-8, 1));
    for (int i = 0; i < POSES; i++) r.s[i] = (double)i / (POSES - 1);
    walk_to(&p.m, p.at, &r, POSES);
    CHECK(r.code == HW_OK && r.sweep.events == 0);
    hw_fourbar_pose q;
    CHECK(hw_fourbar_solve(&f, 1, 1, &q, NULL) == HW_OK);
    NEAR(-r.at[POSES - 1].rate[3].angle, 1e-8 * q.d_rocker, 1e-16);
    CHECK(planar_fourbar(&p, f, 1, 1 + 100 * HW_PI, 1));
    walk_to(&p.m, p.at, &r, POSES);
    CHECK(r.code == HW_OK && r.sweep.events == 0);
    NEAR(r.at[POSES - 1].pose[3].angle, r.at[0].pose[3].angle, 1e-11); // rounding of 314 rad
    // Without a bound it would go on: the bound is a code.
    CHECK(planar_fourbar(&p, f, 1, 1 + 1e5, 1));
    walk_to(&p.m, p.at, &r, POSES);
    CHECK(r.code == HW_NOT_CONVERGED && r.ok[0] && !r.ok[POSES - 1]);
    CHECK(r.sweep.steps >= 20000);
}

// A lazy-tongs of 15 scissors, 31 moving bodies: its first bar drives, its end moves 15 times as
// far as one scissor does, exactly.
static void lazy_tongs(void)
{
    enum { SCISSORS = 15, BARS = 2 * SCISSORS };
    hw_pin pin[3 * SCISSORS + 2];
    hw_body_pose at[BARS + 2] = {{0, 0, 0}};
    hw_slider slide = {0, BARS + 1, {0, 0}, HW_PI / 2, {0, 0}, 0, true};
    size_t n = 0;
    double tilt = 0.5, half = 1; // each bar from -1 to +1 along its own x, pinned in the middle
    for (int k = 0; k < SCISSORS; k++)
        for (int side = 0; side < 2; side++) {
            int b = 1 + 2 * k + side;
            at[b] = (hw_body_pose){(2 * k + 1) * half * cos(tilt), 0, side ? tilt : -tilt};
        }
    for (int k = 0; k < SCISSORS; k++) {
        int rising = 1 + 2 * k, falling = rising + 1;
        pin[n++] = (hw_pin){rising, falling, {0, 0}, {0, 0}};
        if (k == 0) continue;
        pin[n++] = (hw_pin){rising - 1, rising, {half, 0}, {-half, 0}};   // low ends
        pin[n++] = (hw_pin){falling - 3, falling, {half, 0}, {-half, 0}}; // high ends
    }
    // The first rising bar turns about the ground; the falling one's high end slides above it.
    pin[n++] = (hw_pin){0, 1, {0, -half * sin(tilt)}, {-half, 0}};
    pin[n++] = (hw_pin){BARS + 1, 2, {0, 0}, {-half, 0}};
    at[BARS + 1] = (hw_body_pose){0, half * sin(tilt), 0};
    hw_driver drive = {0, 1, -1, -tilt, -0.6};
    hw_mech m = {.bodies = BARS + 2,
                 .pin = pin,
                 .pins = n,
                 .slider = &slide,
                 .sliders = 1,
                 .driver = &drive,
                 .drivers = 1};
    hw_mech_freedom count;
    CHECK(hw_mech_count(&m, arena, at, &count) == HW_OK);
    CHECK(count.freedoms == 0 && count.redundant == 0 && count.unknowns == 3 * (BARS + 1));
    run r;
    for (int i = 0; i < 5; i++) r.s[i] = 0.25 * i;
    walk_to(&m, at, &r, 5);
    CHECK(r.code == HW_OK && r.sweep.events == 0);
    for (int i = 0; i < 5; i++) {
        double now = tilt + 0.6 * r.s[i];
        double last = (2 * SCISSORS - 1) * half * cos(now);
        NEAR(r.at[i].pose[BARS].x, last, 1e-14 * r.at[i].conditioning);
        NEAR(r.at[i].rate[BARS].x, -0.6 * (2 * SCISSORS - 1) * half * sin(now),
             1e-13 * r.at[i].conditioning);
    }
}

static void repeated_slides_and_drives_have_names(void)
{
    // A slide on two equal lines of the ground, and driven twice alike.
    hw_slider slide[2] = {{0, 1, {0, 0}, 0, {0, 0}, 0, true}, {0, 1, {5, 0}, 0, {0, 0}, 0, true}};
    hw_driver drive[2] = {{0, 1, 0, 0, 3}, {0, 1, 1, -5, 3}};
    hw_mech m = {.bodies = 2, .slider = slide, .sliders = 2, .driver = drive, .drivers = 1};
    hw_body_pose at[2] = {{0, 0, 0}, {0, 0, 0}};
    hw_mech_freedom count;
    CHECK(hw_mech_count(&m, arena, at, &count) == HW_OK);
    CHECK(count.redundant == 2 && count.freedoms == 0);
    CHECK(count.slider >= 0 && count.pin == -1 && count.driver == -1);
    m.sliders = 1;
    m.drivers = 2;
    drive[1] = (hw_driver){0, 1, 0, 0, 3};
    CHECK(hw_mech_count(&m, arena, at, &count) == HW_OK);
    CHECK(count.redundant == 1 && count.driver >= 0 && count.slider == -1);
    run r;
    for (int i = 0; i < 3; i++) r.s[i] = 0.5 * i;
    walk_to(&m, at, &r, 3);
    CHECK(r.code == HW_OK);
    NEAR(r.at[2].pose[1].x, 3, 1e-14);
    // Drives that part ways: locked at once.
    drive[1].span = 2;
    walk_to(&m, at, &r, 3);
    CHECK(r.code == HW_NO_ASSEMBLY && r.event[0].kind == HW_EVENT_LOCK_UP && r.ok[0] && !r.ok[1]);
    NEAR(r.event[0].s, 0, 1e-7);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    arena = hw_arena_new(0);
    RUN(two_dead_points_a_hair_apart);
    RUN(two_near_change_points_together);
    RUN(poses_a_hair_before);
    RUN(tiny_and_long_strokes);
    RUN(lazy_tongs);
    RUN(repeated_slides_and_drives_have_names);
    hw_arena_free(arena);
    return TEST_END();
}
