#include "base/vec.h"
#include "check.h"
#include "drive/drive.h"

static const double kgfcm = 9.80665e-2;
static const double turn60 = HW_PI / 3;

static void out_of_range_is_refused(void)
{
    hw_servo_line s = {0, 1, 1, 0};
    hw_servo_point p;
    CHECK(hw_servo_at_torque(&s, 1, &p) == HW_BAD_INPUT && isnan(p.speed));
    s = (hw_servo_line){1, 1, 0.1, 0.2}; // stall current below no-load
    CHECK(hw_servo_at_torque(&s, 1, &p) == HW_BAD_INPUT);
    s = (hw_servo_line){1, 1, 1, 0};
    CHECK(hw_servo_at_torque(&s, HUGE_VAL, &p) == HW_BAD_INPUT);
    CHECK(isnan(hw_servo_at_voltage(&s, 0, 6).stall_torque));
}

// Four classes of docs/sources/mechanics.md, servos; torque, speed and power printed to four
// figures.
static void classes(void)
{
    static const struct {
        double kgfcm, seconds, torque, speed, power;
    } row[] = {{1.6, 0.12, 0.1569, 8.727, 0.342},
               {1.8, 0.10, 0.1765, 10.472, 0.462},
               {3.8, 0.16, 0.3727, 6.545, 0.610},
               {20, 0.16, 1.9613, 6.545, 3.209}};
    for (size_t i = 0; i < 4; i++) {
        hw_servo_line s = {row[i].kgfcm * kgfcm, turn60 / row[i].seconds, 1, 0.2};
        NEAR(s.stall_torque, row[i].torque, 1e-4);
        NEAR(s.no_load_speed, row[i].speed, 5e-4);
        NEAR(hw_servo_most_power(&s), row[i].power, 5e-4);
    }
}

static void ends_and_middle_of_the_line(void)
{
    hw_servo_line s = {0.16, 8.7, 0.8, 0.2};
    hw_servo_point p, q;
    CHECK(hw_servo_at_torque(&s, 0, &p) == HW_OK);
    CHECK(p.speed == 8.7 && p.current == 0.2 && p.power == 0);
    CHECK(hw_servo_at_torque(&s, 0.16, &p) == HW_OK);
    CHECK(p.speed == 0 && p.power == 0);
    CLOSE(p.current, 0.8, 1e-12);
    CHECK(hw_servo_at_torque(&s, 0.08, &p) == HW_OK);
    CLOSE(p.power, hw_servo_most_power(&s), 1e-12);
    CLOSE(p.current, 0.5, 1e-12);
    CHECK(hw_servo_at_torque(&s, 0.2, &p) == HW_OK && p.speed < 0); // driven back
    for (int i = -2; i < 13; i++) {
        CHECK(hw_servo_at_torque(&s, 0.016 * i, &p) == HW_OK);
        CHECK(hw_servo_at_speed(&s, p.speed, &q) == HW_OK);
        NEAR(q.torque, p.torque, 1e-12 * s.stall_torque);
        CHECK(p.power <= hw_servo_most_power(&s) * (1 + 1e-12));
    }
}

static void voltage_moves_the_line(void)
{
    hw_servo_line s = {0.16, 8.7, 0.8, 0.2}, t = hw_servo_at_voltage(&s, 4.8, 6.0);
    CLOSE(t.stall_torque, 0.2, 1e-12);
    CLOSE(t.no_load_speed, 8.7 * 1.25, 1e-12);
    CLOSE(t.stall_current, 1.0, 1e-12);
    CHECK(t.no_load_current == 0.2);
    t = hw_servo_at_voltage(&s, 6, 0.6);
    CHECK(t.stall_current == 0.2); // never below no-load: the line stays usable
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(out_of_range_is_refused);
    RUN(classes);
    RUN(ends_and_middle_of_the_line);
    RUN(voltage_moves_the_line);
    return TEST_END();
}
