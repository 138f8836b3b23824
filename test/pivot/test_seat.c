#include "../digit/random_digit.h"
#include "base/vec.h"
#include "check.h"
#include "pivot/seat.h"

static const double deg = HW_PI / 180, mm = 1e-3;
static const hw_print_strength pla = {45e6, 26e6};

// Area and its middle by adding up strips of the radius that is inside the socket.
static void add_up(const hw_seat *s, double apart, double *area, double *lever)
{
    enum { STRIPS = 20000 };
    double to = apart < s->land ? s->land : s->height, sum = 0, moment = 0;
    for (int i = 0; i < STRIPS; i++) {
        double y = apart + (to - apart) * (i + 0.5) / STRIPS;
        double r = y < s->land ? s->base : s->base - (y - s->land) * tan(s->half_angle);
        double strip = 2 * r * (to - apart) / STRIPS;
        sum += strip;
        moment += strip * y;
    }
    *area = sum;
    *lever = moment / sum;
}

static void area_against_adding_up(void)
{
    uint64_t seed = 71;
    for (int i = 0; i < 300; i++) {
        hw_seat s = {.half_angle = random_between(&seed, 10, 70) * deg,
                     .height = random_between(&seed, 0.5, 3) * mm};
        s.land = i % 2 ? random_between(&seed, 0, 1) * s.height : 0;
        s.base = (s.height - s.land) * tan(s.half_angle) + random_between(&seed, 0.1, 2) * mm;
        double apart = random_between(&seed, 0, 0.95) * s.height, area, lever;
        add_up(&s, apart, &area, &lever);
        CLOSE(hw_seat_area(&s, apart), area, 1e-6);
        CLOSE(hw_seat_lever(&s, apart), lever, 1e-6);
    }
    hw_seat s = {45 * deg, 1.8 * mm, 1.5 * mm, 2 * mm};
    CHECK(hw_seat_area(&s, 1.8 * mm) == 0 && hw_seat_area(&s, 5 * mm) == 0);
}

// Points of the half that faces the load, added up where the ramp has left them.
static void areas_round_the_pin(void)
{
    uint64_t seed = 17;
    for (int i = 0; i < 60; i++) {
        hw_seat s = {.half_angle = 45 * deg, .height = random_between(&seed, 1, 2.5) * mm};
        s.land = random_between(&seed, 0.5, 1) * s.height;
        s.base = random_between(&seed, 1, 1.8) * s.height;
        double apart = random_between(&seed, 0, 0.8) * s.land,
               off = random_between(&seed, 0, HW_PI);
        hw_seat_areas areas;
        hw_seat_areas_of(&s, apart, &areas);
        enum { ALONG = 400, ROUND = 2000 };
        double sum = 0, slice = (s.land - apart) / ALONG, step = HW_PI / ROUND;
        for (int k = 0; k < ALONG; k++) {
            for (int q = 0; q < ROUND; q++) {
                double phi = off - HW_PI / 2 + step * (q + 0.5);           // from the lowest line
                if (fabs(remainder(phi, 2 * HW_PI)) < HW_PI / 4) continue; // a cone of its own
                sum += s.base * cos(phi - off) * step * slice;
            }
        }
        NEAR(hw_seat_areas_at(&areas, off), sum, 0.012 * hw_seat_area(&s, apart));
        double behind = hw_seat_areas_at(&areas, HW_PI); // the ramp is not in its way
        CLOSE(behind, hw_seat_area(&s, apart), 1e-12);
        CHECK(hw_seat_areas_at(&areas, 0) < 0.6 * hw_seat_area(&s, apart));
    }
    // at the steps themselves nothing is between: the missing quarter's projection by its ends
    hw_seat land = {45 * deg, 2 * mm, 1.5 * mm, 2 * mm};
    hw_seat_areas areas;
    hw_seat_areas_of(&land, 0.5 * mm, &areas);
    for (int i = 0; i <= HW_SEAT_STEPS; i++) {
        double off = HW_PI * i / HW_SEAT_STEPS, from = fmax(-HW_PI / 4, off - HW_PI / 2);
        double gone = fmax(0, (sin(HW_PI / 4 - off) - sin(from - off)) / 2);
        if (off > 3 * HW_PI / 4) gone = 0;
        CLOSE(areas.at[i], hw_seat_area(&land, 0.5 * mm) * (1 - gone), 1e-14);
    }
    hw_seat bare = {45 * deg, 1.2 * mm, 0, 1.6 * mm};
    hw_seat_areas_of(&bare, 0.4 * mm, &areas);
    for (int i = 0; i <= HW_SEAT_STEPS; i++) CHECK(areas.at[i] == hw_seat_area(&bare, 0.4 * mm));
    CHECK(isnan(hw_seat_areas_at(&areas, -0.1)) && isnan(hw_seat_areas_at(&areas, 4)));
}

// Heron's bar A: 138 N, its horn's end 0.75 mm off the wall.
static void a_land_by_hand(void)
{
    hw_seat s = {45 * deg, 1.8 * mm, 1.575 * mm, 2.05 * mm};
    CLOSE(138 / hw_seat_area(&s, 0.75 * mm), 40.8e6, 2e-3);
    // 4 * 138 * 1.1625 / (pi * 2.05^3) = 23.7 MPa; 138 / (pi * 2.05^2) = 10.45 MPa
    hw_stub stub = hw_stub_of(&s, 0.75 * mm, &pla);
    CLOSE(hw_stub_share(&stub, 138, 0), 23.7 / 45, 2e-3);
    CLOSE(hw_stub_share(&stub, 0, 138), 10.45 * sqrt(3) / 26, 2e-3);
    // low loads' line: shear along the layers decides
    hw_seat low = {45 * deg, 0.4 * mm, 0.4 * mm, 2.05 * mm};
    stub = hw_stub_of(&low, 0, &pla);
    CLOSE(hw_stub_share(&stub, 138, 0), 10.45 * sqrt(3) / 45, 2e-3);
    CHECK(hw_stub_share(&stub, 0, 0) == 0);
}

static void shear_adds_up_like_a_vector(void)
{
    hw_seat s = {45 * deg, 0.3 * mm, 0.3 * mm, 2 * mm};
    hw_stub stub = hw_stub_of(&s, 0, &pla);
    double a = hw_stub_share(&stub, 60, 0), b = hw_stub_share(&stub, 0, 80);
    CLOSE(hw_stub_share(&stub, 60, 80), sqrt(a * a + b * b), 1e-12);
    CLOSE(hw_stub_share(&stub, -60, 80), hw_stub_share(&stub, 60, -80), 1e-15);
    hw_stub gone = hw_stub_of(&s, 0.4 * mm, &pla);
    CHECK(isinf(hw_stub_share(&gone, 1, 0)) && hw_stub_share(&gone, 0, 0) == 0);
}

static const hw_eye heron_a = {3e-3, 2.2e-3, 1.8e-3, 2.8e-3, 6e-3, 0.6625e-3};

static void an_eye_by_hand(void)
{
    // shank: 138 / (6 * 2.8) * (1 + 6 * 0.7375 / 2.8) = 21.2 MPa of 45: 47 %
    CLOSE(hw_eye_share(&heron_a, &pla, -138), 21.195 / 45, 1e-3);
    // ahead 3 - 2.2 cos 40 = 1.3147: (2 * 1.3147 * 1.8 * 26 + 2 * 2.2 * 1.3147 * 45) / sqrt 3 =
    // 221.3 N
    CLOSE(hw_eye_share(&heron_a, &pla, 138), 138 / 221.3, 1e-3);
    // net section, where the hole takes most of the eye and the walls are strong in shear
    hw_eye thin = heron_a;
    thin.hole = 2.9e-3;
    thin.load_at = 1.4e-3;
    hw_print_strength tough = {45e6, 4500e6};
    CLOSE(hw_eye_share(&thin, &tough, 138), 138 / (2 * (0.1 * 1.8 + 3 * 1.0)) / 45, 1e-3);
    // a hole right through has no floor to tear: half the strength and less
    hw_eye open = heron_a;
    open.depth = open.thickness;
    CLOSE(hw_eye_share(&open, &pla, 138), 138 * sqrt(3) / (2 * 1.3147 * 2.8 * 26), 1e-3);
    open.depth = 9;
    CHECK(hw_eye_share(&open, &pla, 138) == hw_eye_share(&open, &pla, 138));
    CHECK(hw_eye_share(&heron_a, &pla, 0) == 0);
}

static void more_stuff_holds_more(void)
{
    uint64_t seed = 5;
    for (int i = 0; i < 1000; i++) {
        hw_eye e = {.radius = random_between(&seed, 2, 5) * mm,
                    .thickness = random_between(&seed, 1, 4) * mm,
                    .width = random_between(&seed, 2, 8) * mm};
        e.hole = random_between(&seed, 0.2, 0.9) * e.radius;
        e.depth = random_between(&seed, 0.2, 1) * e.thickness;
        e.load_at = random_between(&seed, 0, 0.5) * e.depth;
        double pull = random_between(&seed, 1, 300), share = hw_eye_share(&e, &pla, pull);
        CHECK(hw_eye_share(&e, &pla, -pull) <= share);
        CLOSE(hw_eye_share(&e, &pla, 2 * pull), 2 * share, 1e-12);
        hw_eye bigger = e, huge = e;
        bigger.radius *= 1.1;
        bigger.width *= 1.1;
        CHECK(hw_eye_share(&bigger, &pla, pull) < share);
        double *of = &huge.radius; // ten times as large, a hundred times the load
        for (int k = 0; k < 6; k++) of[k] *= 10;
        CLOSE(hw_eye_share(&huge, &pla, 100 * pull), share, 1e-12);
    }
}

static void bad_input(void)
{
    hw_seat s = {45 * deg, 1.8 * mm, 1.5 * mm, 2 * mm}, t = s;
    CHECK(isnan(hw_seat_area(&s, -1)) && isnan(hw_seat_lever(&s, NAN)));
    t.land = 2 * mm;
    CHECK(isnan(hw_seat_area(&t, 0)));
    t = s;
    t.base = 0.1 * mm; // comes to a point
    CHECK(isnan(hw_seat_area(&t, 0)));
    t = s;
    t.half_angle = 0;
    CHECK(isnan(hw_stub_of(&t, 0, &pla).bend));
    CHECK(isnan(hw_stub_of(&s, 0, &(hw_print_strength){0, 1}).between));
    hw_eye e = heron_a;
    e.hole = e.radius;
    CHECK(isnan(hw_eye_share(&e, &pla, 1)) && isnan(hw_eye_share(&heron_a, &pla, INFINITY)));
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(area_against_adding_up);
    RUN(areas_round_the_pin);
    RUN(a_land_by_hand);
    RUN(shear_adds_up_like_a_vector);
    RUN(an_eye_by_hand);
    RUN(more_stuff_holds_more);
    RUN(bad_input);
    return TEST_END();
}
