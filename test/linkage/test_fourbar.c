#include "base/vec.h"
#include "check.h"
#include "linkage/linkage.h"

#define DEG (HW_PI / 180)

static hw_fourbar bar(double ground, double crank, double coupler, double rocker)
{
    return (hw_fourbar){ground, crank, coupler, rocker};
}

static hw_fourbar_pose solve(hw_fourbar f, double crank_deg, int branch)
{
    hw_fourbar_pose p;
    double gap;
    CHECK(hw_fourbar_solve(&f, crank_deg * DEG, branch, &p, &gap) == HW_OK);
    CHECK(gap <= 0);
    return p;
}

// ---- degenerate by name

static void lengths_and_branches_that_are_none(void)
{
    const hw_fourbar bad[] = {bar(0, 1, 1, 1), bar(1, -1, 1, 1), bar(1, 1, NAN, 1),
                              bar(1, 1, 1, INFINITY)};
    hw_fourbar_pose p;
    double gap;
    for (size_t i = 0; i < 4; i++) {
        CHECK(hw_fourbar_solve(&bad[i], 1, 1, &p, &gap) == HW_BAD_INPUT);
        CHECK(isnan(p.rocker) && isnan(gap));
        CHECK(hw_fourbar_classify(&bad[i]) == HW_FOURBAR_IMPOSSIBLE);
        CHECK(hw_fourbar_marks(&bad[i], 1, 0, 6, NULL, 0) == 0);
    }
    hw_fourbar f = bar(100, 40, 120, 80);
    CHECK(hw_fourbar_solve(&f, 1, 0, &p, NULL) == HW_BAD_INPUT);
    CHECK(hw_fourbar_solve(&f, NAN, 1, &p, NULL) == HW_BAD_INPUT);
    CHECK(hw_fourbar_marks(&f, 1, 0, INFINITY, NULL, 0) == 0);
}

static void too_far_says_how_far(void)
{
    hw_fourbar f = bar(10, 1, 3, 4);
    hw_fourbar_pose p;
    double gap;
    CHECK(hw_fourbar_solve(&f, HW_PI, 1, &p, &gap) == HW_NO_ASSEMBLY);
    NEAR(gap, 4, 1e-14); // 11 - 7, rounding
    NEAR(p.coupler, 0, 1e-15);
    NEAR(fabs(p.rocker), HW_PI, 1e-15);
    NEAR(p.transmission, HW_PI, 1e-15);
    CHECK(isnan(p.d_rocker));
}

static void too_near_says_how_near(void)
{
    hw_fourbar_pose p;
    double gap;
    hw_fourbar longer = bar(2, 1, 5, 1), shorter = bar(2, 1, 1, 5);
    CHECK(hw_fourbar_solve(&longer, 0, 1, &p, &gap) == HW_NO_ASSEMBLY);
    NEAR(gap, 3, 1e-15);
    CHECK(fabs(p.coupler) < 1e-15 && fabs(p.rocker) < 1e-15); // B beyond D
    CHECK(hw_fourbar_solve(&shorter, 0, 1, &p, &gap) == HW_NO_ASSEMBLY);
    NEAR(gap, 3, 1e-15);
    CHECK(fabs(p.coupler) > 3 && fabs(p.rocker) > 3); // B behind A
    CHECK(p.transmission <= 0);
}

static void pin_on_pivot_is_not_determined(void)
{
    hw_fourbar f = bar(2, 2, 3, 3);
    hw_fourbar_pose p;
    double gap = 1;
    CHECK(hw_fourbar_solve(&f, 0, 1, &p, &gap) == HW_NO_ASSEMBLY);
    CHECK(gap <= 0 && isnan(p.rocker));
}

static void in_line_is_dead(void)
{
    hw_fourbar f = bar(4, 1, 2, 3); // extended when the crank points back: 5 = 2 + 3
    hw_fourbar_pose p;
    double gap;
    CHECK(hw_fourbar_solve(&f, HW_PI, 1, &p, &gap) == HW_OK);
    NEAR(p.transmission, HW_PI, 1e-7); // root of rounding: the angle's own conditioning there
    CHECK(!(fabs(p.d_rocker) < 1e6));
}

// ---- published values

// Norton, Design of Machinery, Ex. 4-1 (from memory, recomputed): a 40, b 120, c 80, d 100, 40 deg.
static void norton_4_1(void)
{
    hw_fourbar_pose open = solve(bar(100, 40, 120, 80), 40, 1);
    NEAR(open.coupler / DEG, 20.298, 5e-4); // printed digits
    NEAR(open.rocker / DEG, 57.325, 5e-4);
    hw_fourbar_pose crossed = solve(bar(100, 40, 120, 80), 40, -1);
    NEAR(crossed.coupler / DEG, -60.98, 5e-3);
    NEAR(crossed.rocker / DEG, -98.01, 6e-3);
}

// Norton Ex. 6-7: the same at 25 rad/s (from memory, recomputed).
static void norton_6_7(void)
{
    hw_fourbar_pose open = solve(bar(100, 40, 120, 80), 40, 1);
    NEAR(25 * open.d_coupler, -4.121, 5e-4); // printed digits
    NEAR(25 * open.d_rocker, 6.998, 5e-4);
    hw_fourbar_pose crossed = solve(bar(100, 40, 120, 80), 40, -1);
    NEAR(25 * crossed.d_coupler, -9.258772, 5e-7);
    NEAR(25 * crossed.d_rocker, -20.377672, 5e-7);
}

// Norton Prob. 4-7, row a, answers at the back (from memory, recomputed).
static void norton_4_7_a(void)
{
    hw_fourbar_pose open = solve(bar(6, 2, 7, 9), 30, 1), crossed = solve(bar(6, 2, 7, 9), 30, -1);
    NEAR(open.coupler / DEG, 88.8, 0.05);
    NEAR(open.rocker / DEG, 117.3, 0.05);
    NEAR(crossed.coupler / DEG, -115.2, 0.05);
    NEAR(crossed.rocker / DEG, -143.7, 0.05);
    NEAR(open.transmission / DEG, 28.44883, 5e-6);
}

// Meriam & Kraige, Dynamics, Sample Problem 5/8 (the companion's numbers were read): rA (0, 100),
// rB (-75, 0), rA/B (-175, 50) mm; CB turns at 2 rad/s, so AB at -6/7 and OA at -3/7 exactly.
// C lies at the origin of the driven link; D of ours is O, 250 mm to the left and 50 mm below.
static void meriam_5_8(void)
{
    double ground = hypot(250, 50), line = atan2(-50, -250);
    hw_fourbar f = bar(ground, 75, hypot(175, 50), 100);
    // The crank CB points to 180 deg; O lies at (-250, -50) from C, A at (-250, 50).
    hw_fourbar_pose p;
    int found = 0;
    for (int branch = -1; branch <= 1; branch += 2) {
        CHECK(hw_fourbar_solve(&f, HW_PI - line, branch, &p, NULL) == HW_OK);
        if (fabs(remainder(p.rocker + line - HW_PI / 2, 2 * HW_PI)) > 1e-9) continue;
        found++;
        NEAR(2 * p.d_coupler, -6.0 / 7, 1e-14); // exact in the book's geometry; rounding
        NEAR(2 * p.d_rocker, -3.0 / 7, 1e-14);
    }
    CHECK(found == 1);
}

// Khurmi & Gupta, Theory of Machines, Ex. 7.1 (companion read): 40/150/80/150, 120 rpm, 60 deg;
// omega CD 4.8 rad/s as drawn.
static void khurmi_7_1(void)
{
    hw_fourbar_pose p = solve(bar(150, 40, 150, 80), 60, 1);
    NEAR(4 * HW_PI * p.d_rocker, 4.8, 0.05); // a drawn answer
    NEAR(4 * HW_PI * p.d_rocker, 4.784571, 5e-7);
}

// ---- exact facts

// Grashof 1883 and Norton ch. 2: what turns follows from which link is shortest.
static void grashof_facts(void)
{
    const struct {
        hw_fourbar f;
        hw_fourbar_class is;
    } row[] = {
        {{100, 40, 120, 80}, HW_FOURBAR_CRANK_ROCKER},
        {{40, 100, 120, 80}, HW_FOURBAR_DOUBLE_CRANK},
        {{100, 120, 40, 80}, HW_FOURBAR_DOUBLE_ROCKER},
        {{100, 80, 120, 40}, HW_FOURBAR_ROCKER_CRANK},
        {{5, 3, 5, 3}, HW_FOURBAR_CHANGE_POINT},
        {{0.3, 0.1, 0.3, 0.1}, HW_FOURBAR_CHANGE_POINT},
        {{0.4, 0.1, 0.3, 0.2}, HW_FOURBAR_CHANGE_POINT}, // not exact in binary
        {{100, 60, 70, 90}, HW_FOURBAR_CHANGE_POINT},
        {{100, 60, 65, 90}, HW_FOURBAR_TRIPLE_ROCKER},
        {{4, 4, 2, 5}, HW_FOURBAR_DOUBLE_ROCKER},
        {{10, 1, 3, 4}, HW_FOURBAR_IMPOSSIBLE},
    };
    for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
        SAME_TEXT(hw_fourbar_class_text(hw_fourbar_classify(&row[i].f)),
                  hw_fourbar_class_text(row[i].is));
    }
    SAME_TEXT(hw_fourbar_class_text((hw_fourbar_class)99), "unknown class");
}

static void parallelogram_turns_with_its_crank(void)
{
    for (int deg = 5; deg < 180; deg += 5) {
        hw_fourbar_pose p = solve(bar(5, 3, 5, 3), deg, 1);
        NEAR(p.rocker, deg * DEG, 1e-14); // rounding over sin(5 deg)
        NEAR(p.coupler, 0, 1e-14);
        NEAR(p.transmission, deg * DEG, 1e-14);
        NEAR(p.d_rocker, 1, 1e-13);
        NEAR(p.d_coupler, 0, 1e-13);
    }
}

// tan(rocker/2) = (L+s)/(L-s) tan(crank/2) with the short link fixed; the same with a minus sign
// and the long link fixed; |IA| + |ID| = L (ellipse).
static void antiparallelogram(void)
{
    hw_fourbar_pose p = solve(bar(3, 5, 3, 5), 60, -1);
    NEAR(p.d_rocker, 16.0 / 19, 1e-14);
    for (int deg = 5; deg < 180; deg += 5) {
        p = solve(bar(3, 5, 3, 5), deg, -1);
        NEAR(tan(p.rocker / 2), 4 * tan(deg * DEG / 2), 1e-12 * (1 + 16 * fabs(tan(p.rocker / 2))));
        p = solve(bar(5, 3, 5, 3), deg, -1);
        NEAR(tan(p.rocker / 2), -4 * tan(deg * DEG / 2),
             1e-12 * (1 + 16 * fabs(tan(p.rocker / 2))));
    }
    const double published[5][2] = {
        {40, 111.032041}, {60, 133.173551}, {75, 143.908124}, {90, 151.927513}, {120, 163.573579}};
    for (int i = 0; i < 5; i++)
        NEAR(solve(bar(3, 5, 3, 5), published[i][0], -1).rocker / DEG, published[i][1], 5e-7);
}

// Chebyshev's straight line 4:5:2: the coupler's middle is at height 4 at x 0, 2 and 4, and between
// them never above 4.00975373. The crank stands at atan2(3, 4), atan2(4, 3) and upright there.
static void chebyshev_line(void)
{
    hw_fourbar f = bar(4, 5, 2, 5);
    const double exact[3] = {atan2(3, 4), atan2(4, 3), HW_PI / 2};
    for (int i = 0; i < 3; i++) {
        hw_fourbar_pose p;
        CHECK(hw_fourbar_solve(&f, exact[i], -1, &p, NULL) == HW_OK);
        NEAR(5 * cos(exact[i]) + cos(p.coupler), 4 - 2 * i, 1e-13); // rounding
        NEAR(5 * sin(exact[i]) + sin(p.coupler), 4, 1e-13);
    }
    double highest = 0;
    for (int i = 0; i <= 4000; i++) {
        double crank = atan2(3, 4) + (HW_PI / 2 - atan2(3, 4)) * i / 4000;
        hw_fourbar_pose p;
        CHECK(hw_fourbar_solve(&f, crank, -1, &p, NULL) == HW_OK);
        double x = 5 * cos(crank) + cos(p.coupler), z = 5 * sin(crank) + sin(p.coupler);
        if (x < 0 || x > 4) continue;
        CHECK(z >= 4 - 1e-12);
        highest = fmax(highest, z);
    }
    NEAR(highest, 4.00975373, 1e-6); // the scan's own spacing squared
}

// Hoecken's straight line, crank 1, ground 2, coupler and rocker 2.5, tracer at 5 on the coupler:
// height 4 exactly at 90, 180 and 270 deg (x 4, 2, 0 measured from the crank's pivot).
static void hoecken_line(void)
{
    const double row[5][3] = {{90, 4, 4},
                              {180, 2, 4},
                              {270, 0, 4},
                              {120, 3.38873015, 4.00891863},
                              {150, 2.69886528, 4.00593131}};
    for (int i = 0; i < 5; i++) {
        hw_fourbar_pose p = solve(bar(2, 1, 2.5, 2.5), row[i][0], 1);
        double x = cos(row[i][0] * DEG) + 5 * cos(p.coupler);
        double z = sin(row[i][0] * DEG) + 5 * sin(p.coupler);
        double tolerance = i < 3 ? 1e-13 : 5e-9; // exact values; printed digits
        NEAR(x, row[i][1], tolerance);
        NEAR(z, row[i][2], tolerance);
    }
}

// Watt's curve with a = c, b = a sqrt 2: the coupler's middle runs on Bernoulli's lemniscate
// r^2 = 2 a^2 cos 2 theta on one branch and on the circle r = b on the other.
static void watt_lemniscate(void)
{
    hw_fourbar f = bar(2, sqrt(2.0), 2, sqrt(2.0));
    int on_lemniscate = 0, on_circle = 0;
    for (int deg = 3; deg < 180; deg += 6)
        for (int branch = -1; branch <= 1; branch += 2) {
            hw_fourbar_pose p = solve(f, deg, branch);
            double x = -1 + sqrt(2.0) * cos(deg * DEG) + cos(p.coupler);
            double z = sqrt(2.0) * sin(deg * DEG) + sin(p.coupler);
            double r2 = x * x + z * z;
            double lemniscate = r2 * r2 - 2 * (x * x - z * z), circle = r2 - 2;
            NEAR(branch < 0 ? lemniscate : circle, 0, 1e-12); // rounding over sin(3 deg)
            if (branch < 0)
                on_lemniscate++;
            else
                on_circle++;
        }
    CHECK(on_lemniscate == 30 && on_circle == 30);
}

// ---- marks

static void marks_of_norton_4_1(void)
{
    hw_fourbar f = bar(100, 40, 120, 80);
    hw_fourbar_mark mark[8];
    CHECK(hw_fourbar_marks(&f, 1, 0, 2 * HW_PI, mark, 8) == 2);
    CHECK(mark[0].kind == HW_FOURBAR_LIMIT_EXTENDED && mark[1].kind == HW_FOURBAR_LIMIT_FOLDED);
    NEAR(mark[0].crank / DEG, 24.146848, 5e-7); // recomputed reference values, printed digits
    NEAR(mark[1].crank / DEG, 231.317813, 5e-7);
    double swing =
        solve(f, mark[1].crank / DEG, 1).rocker - solve(f, mark[0].crank / DEG, 1).rocker;
    NEAR(fabs(swing) / DEG, 73.781820, 5e-7);
    NEAR(solve(f, mark[0].crank / DEG, 1).d_rocker, 0, 1e-12);
    NEAR(solve(f, mark[1].crank / DEG, 1).d_rocker, 0, 1e-12);
    // Backwards and with one place only: the later one comes first, and both are counted.
    CHECK(hw_fourbar_marks(&f, 1, 2 * HW_PI, 0, mark, 1) == 2);
    CHECK(mark[0].kind == HW_FOURBAR_LIMIT_FOLDED);
    CHECK(hw_fourbar_marks(&f, 1, 0, 2 * HW_PI, mark, 1) == 2);
    CHECK(mark[0].kind == HW_FOURBAR_LIMIT_EXTENDED);
    // Two turns more: four more.
    CHECK(hw_fourbar_marks(&f, 1, 0, 6 * HW_PI, mark, 8) == 6);
    NEAR(mark[2].crank - 2 * HW_PI, 24.146848 * DEG, 1e-8);
}

static void change_points_of_the_parallelogram(void)
{
    hw_fourbar f = bar(5, 3, 5, 3);
    hw_fourbar_mark mark[4];
    CHECK(hw_fourbar_marks(&f, 1, -0.1, 3.2, mark, 4) == 2);
    CHECK(mark[0].kind == HW_FOURBAR_CHANGE && mark[1].kind == HW_FOURBAR_CHANGE);
    NEAR(mark[0].crank, 0, 1e-15);
    NEAR(mark[1].crank, HW_PI, 1e-15);
}

// No branch cut anywhere: a crank-rocker driven round ten times moves in steps bounded by its rate.
static void never_jumps(void)
{
    hw_fourbar f = bar(100, 40, 120, 80);
    for (int branch = -1; branch <= 1; branch += 2) {
        hw_fourbar_pose was, is;
        CHECK(hw_fourbar_solve(&f, -31.5, branch, &was, NULL) == HW_OK);
        for (int i = 1; i <= 63000; i++) {
            CHECK(hw_fourbar_solve(&f, -31.5 + 0.001 * i, branch, &is, NULL) == HW_OK);
            CHECK(fabs(remainder(is.rocker - was.rocker, 2 * HW_PI)) < 0.002);
            was = is;
        }
    }
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(lengths_and_branches_that_are_none);
    RUN(too_far_says_how_far);
    RUN(too_near_says_how_near);
    RUN(pin_on_pivot_is_not_determined);
    RUN(in_line_is_dead);
    RUN(norton_4_1);
    RUN(norton_6_7);
    RUN(norton_4_7_a);
    RUN(meriam_5_8);
    RUN(khurmi_7_1);
    RUN(grashof_facts);
    RUN(parallelogram_turns_with_its_crank);
    RUN(antiparallelogram);
    RUN(chebyshev_line);
    RUN(hoecken_line);
    RUN(watt_lemniscate);
    RUN(marks_of_norton_4_1);
    RUN(change_points_of_the_parallelogram);
    RUN(never_jumps);
    return TEST_END();
}
