// Expressions: values, dimensions, faults.
#include "base/vec.h"
#include "support.h"

// One rounding of the last operation, as both sides do the same sums in another order.
#define EXACT 4e-16

static hw_code value(const char *text, double *x, hw_dim *dim)
{
    return hw_expression_value(hw_text_of(text), x, dim, NULL);
}

static void is(const char *text, double want, hw_dim dim)
{
    double x;
    hw_dim got;
    if (!CHECK(value(text, &x, &got) == HW_OK && hw_dim_same(got, dim))) printf("    %s\n", text);
    if (!CLOSE(x, want, EXACT)) printf("    %s\n", text);
}

static void arithmetic_follows_the_rules(void)
{
    is("1 + 2 * 3", 7, HW_DIM_NONE);
    is("(1 + 2) * 3", 9, HW_DIM_NONE);
    is("8 / 4 / 2", 1, HW_DIM_NONE);
    is("8 - 4 - 2", 2, HW_DIM_NONE);
    is("- 2 * - 3", 6, HW_DIM_NONE);
    is("--2", 2, HW_DIM_NONE);
    is("+2 - -3", 5, HW_DIM_NONE);
    is("2*3\xC2\xB7"
       "4\xC3\x97"
       "5",
       120, HW_DIM_NONE);
    is(" 1.5e-3 ", 1.5e-3, HW_DIM_NONE);
    is("0.1 + 0.2", 0.1 + 0.2, HW_DIM_NONE);
}

static void units_make_dimensions(void)
{
    is("5 mm", 5e-3, HW_DIM_LENGTH);
    is("5mm", 5e-3, HW_DIM_LENGTH);
    is("5 mm/2", 2.5e-3, HW_DIM_LENGTH);
    is("90 deg", HW_PI / 2, HW_DIM_ANGLE);
    is("90\xC2\xB0", HW_PI / 2, HW_DIM_ANGLE);
    is("6 mm * 20 N / 1 rad", 0.12, HW_DIM_TORQUE);
    is("120 N*mm", 0.12, HW_DIM_TORQUE);
    is("1.8 kgf*cm / 6.5 mm * 1 rad", 1.8 * 9.80665e-2 / 6.5e-3, HW_DIM_FORCE);
    is("2 m*min(1,2)*50 %", 1, HW_DIM_LENGTH);
    is("2 kg*9.81 m/s^2", 2 * 9.81, HW_DIM_FORCE);
    is("33 %", 0.33, HW_DIM_NONE);
    is("0 + 5 mm", 5e-3, HW_DIM_LENGTH);
    is("max(0, 5 mm)", 5e-3, HW_DIM_LENGTH);
    is("5 mm * 0", 0, HW_DIM_LENGTH);
}

static void functions_are_those_of_the_reference(void)
{
    is("min(3, 1, 2)", 1, HW_DIM_NONE);
    is("max(3 mm, 1 cm, 2 mm)", 0.01, HW_DIM_LENGTH);
    is("abs(-3 N)", 3, HW_DIM_FORCE);
    is("sqrt(9 mm * 4 mm)", 6e-3, HW_DIM_LENGTH);
    is("hypot(3 mm, 4 mm)", 5e-3, HW_DIM_LENGTH);
    is("sin(30 deg)", sin(HW_PI / 6), HW_DIM_NONE);
    is("cos(60 deg)", cos(HW_PI / 3), HW_DIM_NONE);
    is("tan(45 deg)", tan(HW_PI / 4), HW_DIM_NONE);
    is("asin(0.5)", asin(0.5), HW_DIM_ANGLE);
    is("acos(0.5)", acos(0.5), HW_DIM_ANGLE);
    is("atan(1)", HW_PI / 4, HW_DIM_ANGLE);
    is("atan2(3 mm, 3 mm)", HW_PI / 4, HW_DIM_ANGLE);
    is("clamp(5, 1, 3)", 3, HW_DIM_NONE);
    is("clamp(0, 1, 3)", 1, HW_DIM_NONE);
    is("clamp(2, 1, 3)", 2, HW_DIM_NONE);
    is("round(2.6)", 3, HW_DIM_NONE);
    is("round(2.6 mm, 0.5 mm)", 2.5e-3, HW_DIM_LENGTH);
    is("floor(2.6)", 2, HW_DIM_NONE);
    is("ceil(2.2 mm, 0.5 mm)", 2.5e-3, HW_DIM_LENGTH);
    is("round(10 deg / 1 deg)", 10, HW_DIM_NONE);
}

static void faults_are_said_once_with_their_column(void)
{
    static const struct {
        const char *text, *says;
        int column;
    } bad[] = {
        {"", "the expression ends too early", 1},
        {"2 +", "the expression ends too early", 4},
        {"2 mm + 3 N", "unlike quantities on both sides of +", 6},
        {"(2", "a parenthesis is not closed", 3},
        {"2)", "the expression should end before this", 2},
        {"nan", "a design holds finite numbers only", 1},
        {"1e400", "this number is too large", 1},
        {"1e300 * 1e300", "this does not come out as a number", 1},
        {"1 / 0", "this does not come out as a number", 1},
        {"hand.length", "entries cannot be named here", 1},
        {"sqrt(-1)", "this does not come out as a number", 1},
        {"sin(1)", "sin takes an angle: give it deg or rad", 1},
        {"min(1)", "min has 1 arguments here", 1},
        {"min(1,2,3,4,5,6,7,8,9)", "min has 9 arguments here", 1},
        {"foo(1)", "unknown function", 1},
        {"3 furlongs", "unknown unit", 3},
        {"\xC2\xB5 3", "this cannot begin a value", 1},
        {"2 ^ 3", "the expression should end before this", 3},
        {".", "no number can be read here", 1},
        {"1,5", "the expression should end before this", 2},
    };
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        double x;
        hw_dim dim;
        hw_diag item[4];
        hw_diags diags = {item, 0, 4, 0};
        CHECK(hw_expression_value(hw_text_of(bad[i].text), &x, &dim, &diags) == HW_BAD_INPUT);
        CHECK(isnan(x));
        if (!CHECK(diags.count == 1)) continue;
        SAME_TEXT(item[0].text, bad[i].says);
        if (!CHECK(item[0].column == bad[i].column)) printf("    %s\n", bad[i].text);
    }
}

static void nothing_breaks_on_strange_bytes(void)
{
    double x;
    hw_dim dim;
    char text[3];
    for (int a = 0; a < 256; a++)
        for (int b = 0; b < 256; b++) {
            text[0] = (char)a;
            text[1] = (char)b;
            hw_code code = hw_expression_value((hw_text){text, 2}, &x, &dim, NULL);
            if (code != HW_OK && code != HW_BAD_INPUT) CHECK(false);
        }
    CHECK(hw_expression_value((hw_text){NULL, 0}, &x, &dim, NULL) == HW_BAD_INPUT);
    static char deep[100000];
    memset(deep, '(', sizeof deep);
    CHECK(hw_expression_value((hw_text){deep, sizeof deep}, &x, &dim, NULL) == HW_BAD_INPUT);
    CHECK(hw_expression_value((hw_text){deep, 900}, &x, &dim, NULL) == HW_BAD_INPUT);
    memset(deep, '-', sizeof deep);
    CHECK(hw_expression_value((hw_text){deep, 900}, &x, &dim, NULL) == HW_BAD_INPUT);
    for (size_t i = 0; i < 900; i += 2) memcpy(deep + i, "1+", 2);
    deep[900] = '1';
    CHECK(hw_expression_value((hw_text){deep, 901}, &x, &dim, NULL) == HW_BAD_INPUT);
    CHECK(hw_expression_value((hw_text){deep, 101}, &x, &dim, NULL) == HW_OK && x == 51);
    for (size_t i = 0; i < 150; i += 3) memcpy(deep + i, "1+(", 3);
    CHECK(hw_expression_value((hw_text){deep, 150}, &x, &dim, NULL) == HW_BAD_INPUT);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(arithmetic_follows_the_rules);
    RUN(units_make_dimensions);
    RUN(functions_are_those_of_the_reference);
    RUN(faults_are_said_once_with_their_column);
    RUN(nothing_breaks_on_strange_bytes);
    return TEST_END();
}
