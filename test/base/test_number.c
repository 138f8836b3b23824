// Numbers as text: no tolerance anywhere, bits are compared. The C library's strtod and printf are
// the second opinion (both correctly rounding in the C locale, which a test program starts in).
#include "base/rng.h"
#include "base/text.h"
#include "check.h"

#include <stdlib.h>

static double read_whole(const char *text)
{
    double x = (double)NAN;
    size_t used = hw_number_read(hw_text_of(text), &x);
    return used == strlen(text) ? x : (double)NAN;
}

static bool same_bits(double a, double b)
{
    return memcmp(&a, &b, sizeof a) == 0;
}

static bool agrees(const char *text)
{
    double got = read_whole(text), want = strtod(text, NULL);
    if (same_bits(got, want)) return true;
    printf("    %s: got %a, want %a\n", text, got, want);
    return false;
}

static void what_is_not_a_number(void)
{
    static const char *const none[] = {"",    "+",   "-",    ".",   "-.",  "e5",
                                       ".e5", "inf", "-inf", "nan", "abc", "+-1"};
    for (size_t i = 0; i < sizeof none / sizeof none[0]; i++) {
        double x = 7;
        CHECK(hw_number_read(hw_text_of(none[i]), &x) == 0 && x == 7);
    }
}

static void where_a_number_ends(void)
{
    static const struct {
        const char *text;
        size_t used;
        double value;
    } row[] = {{"1", 1, 1},        {"1e", 1, 1},      {"1e+", 1, 1},         {"1.5mm", 3, 1.5},
               {"1.", 2, 1},       {".5", 2, 0.5},    {"-2.5e3x", 6, -2500}, {"+3 deg", 2, 3},
               {"0x10", 1, 0},     {"1.2.3", 3, 1.2}, {"1,5", 1, 1},         {"007", 3, 7},
               {"2e3e4", 3, 2000}, {"6E-1", 4, 0.6},  {"5. mm", 2, 5}};
    for (size_t i = 0; i < sizeof row / sizeof row[0]; i++) {
        double x = (double)NAN;
        CHECK(hw_number_read(hw_text_of(row[i].text), &x) == row[i].used);
        CHECK(x == row[i].value);
    }
}

static void hard_cases(void)
{
    static const char *const row[] = {
        // halfway between 1 and its neighbours, and a hair beside it
        "1.00000000000000011102230246251565404236316680908203125",
        "1.00000000000000011102230246251565404236316680908203124",
        "1.00000000000000011102230246251565404236316680908203126",
        "1.00000000000000033306690738754696212708950042724609375", "9007199254740993",
        "9007199254740995", "9007199254740992.9999999999999999999",
        "9007199254740993.00000000000000000000000000000000000001",
        // the ends of the range
        "1.7976931348623157e308", "1.7976931348623158e308", "1.7976931348623159e308",
        "179769313486231580793728971405303415079934132710037826936173778980444968292764750946649017"
        "977"
        "587207096330286416692887910946555547851940402630657488671505820681908902000708383676273854"
        "845"
        "817711531764475730270069855571366959622842914819860834936475292719074168444365510704342711"
        "559"
        "699508093042880177904174497792",
        "4.9406564584124654e-324", "2.4703282292062327e-324", "2.4703282292062328e-324", "5e-324",
        "2e-324", "3e-324", "1e-323", "2.2250738585072014e-308", "2.2250738585072011e-308",
        "2.2250738585072012e-308", "2.225073858507201136057409796709131975934819546351645e-308",
        "1e-400", "0e999999999999", "0.0", "-0", "1e22", "1e23", "8.41e21", "9.5e-5",
        "123456789e-20", "6929495644600919.5", "3.0540412e5", "8e-324", "1e-99999999999999999999"};
    for (size_t i = 0; i < sizeof row / sizeof row[0]; i++) CHECK(agrees(row[i]));
    CHECK(read_whole("1e400") == HUGE_VAL && read_whole("-1e400") == -HUGE_VAL);
    CHECK(read_whole("1e99999999999999999999") == HUGE_VAL);
}

// The exact middle between two doubles has up to 767 digits: printf writes them all, and one digit
// more, however far behind, must tip the balance.
static void exact_middles_with_hundreds_of_digits(void)
{
    hw_rng r = hw_rng_new(3, 0);
    static char text[1400];
    for (int i = 0; i < 400; i++) {
        uint64_t bits = hw_rng_next(&r) & 0x001FFFFFFFFFFFFFu; // small exponents: most digits
        if (i % 2) bits &= 0x000FFFFFFFFFFFFFu;                // denormals
        double low, high;
        memcpy(&low, &bits, sizeof low);
        bits++;
        memcpy(&high, &bits, sizeof high);
        // low/2 + high/2 is not a double: long double holds it here, printf writes it exactly
        long double middle = ((long double)low + (long double)high) / 2;
        int n = snprintf(text, sizeof text - 8, "%.1100Lf", middle);
        if (n < 0 || (size_t)n >= sizeof text - 8) {
            CHECK(false);
            return;
        }
        CHECK(agrees(text));
        memcpy(text + n, "1", 2);
        CHECK(agrees(text));
    }
}

static double any_finite(hw_rng *r)
{
    for (int i = 0; i < 100; i++) {
        uint64_t bits = hw_rng_next(r);
        double x;
        memcpy(&x, &bits, sizeof x);
        if (isfinite(x)) return x;
    }
    return 0;
}

static void a_million_doubles_come_back(void)
{
    hw_rng r = hw_rng_new(1, 0);
    char text[HW_NUMBER_TEXT];
    long wrong = 0, longest = 0;
    for (int i = 0; i < 1000000; i++) {
        double x = any_finite(&r); // any exponent: slow, so one in four
        if (i % 4 == 3) x = hw_rng_normal(&r) * 1e-3;
        if (i % 4 == 1) x = (double)(float)hw_rng_uniform(&r, -1000, 1000);
        if (i % 4 == 2) x = (double)(int64_t)hw_rng_uniform(&r, -1e9, 1e9) / 1000.0;
        size_t n = hw_number_write(x, text);
        if (n != strlen(text)) wrong++;
        if (!same_bits(read_whole(text), x)) wrong++;
        if ((long)n > longest) longest = (long)n;
    }
    CHECK(wrong == 0);
    CHECK(longest < HW_NUMBER_TEXT && longest >= 24);
}

// No shorter text reads back, and among those of its length none is nearer: printf with the same
// number of digits gives the same.
static void the_text_is_the_shortest(void)
{
    hw_rng r = hw_rng_new(2, 0);
    char text[HW_NUMBER_TEXT], other[64];
    long longer = 0, farther = 0;
    for (int i = 0; i < 30000; i++) {
        double x = any_finite(&r);
        if (i % 2) x = (double)(int64_t)hw_rng_uniform(&r, -1e6, 1e6) / 997.0;
        (void)hw_number_write(x, text);
        int digits = 1;
        for (; digits < 17; digits++) {
            (void)snprintf(other, sizeof other, "%.*e", digits - 1, x);
            if (same_bits(strtod(other, NULL), x)) break;
        }
        (void)snprintf(other, sizeof other, "%.*e", digits - 1, x);
        double a = read_whole(text), b = strtod(other, NULL);
        if (!same_bits(a, b)) longer++;
        char mine[HW_NUMBER_TEXT];
        (void)hw_number_write_rounded(x, digits, mine);
        if (strcmp(mine, text) != 0) farther++;
    }
    CHECK(longer == 0);
    CHECK(farther == 0);
}

static const char *written(double x)
{
    static char text[HW_NUMBER_TEXT];
    (void)hw_number_write(x, text);
    return text;
}

static void how_numbers_look(void)
{
    SAME_TEXT(written(0), "0");
    SAME_TEXT(written(-0.0), "-0");
    SAME_TEXT(written(1), "1");
    SAME_TEXT(written(-12.5), "-12.5");
    SAME_TEXT(written(0.1), "0.1");
    SAME_TEXT(written(0.00001), "0.00001");
    SAME_TEXT(written(0.000001), "1e-6");
    SAME_TEXT(written(123456789012345.0), "123456789012345");
    SAME_TEXT(written(1e15), "1e15");
    SAME_TEXT(written(1.5e300), "1.5e300");
    SAME_TEXT(written(5e-324), "5e-324");
    SAME_TEXT(written(1.7976931348623157e308), "1.7976931348623157e308");
    SAME_TEXT(written(9007199254740993.0), "9.007199254740992e15");
    SAME_TEXT(written(2.0 / 3.0), "0.6666666666666666");
    SAME_TEXT(written((double)NAN), "nan");
    SAME_TEXT(written(HUGE_VAL), "inf");
    SAME_TEXT(written(-HUGE_VAL), "-inf");
}

static const char *fixed(double x, int decimals)
{
    static char text[HW_NUMBER_TEXT];
    (void)hw_number_write_fixed(x, decimals, text);
    return text;
}

static const char *rounded(double x, int digits)
{
    static char text[HW_NUMBER_TEXT];
    (void)hw_number_write_rounded(x, digits, text);
    return text;
}

static void rounded_numbers(void)
{
    SAME_TEXT(rounded(0, 3), "0");
    SAME_TEXT(rounded(-0.0, 3), "0");
    SAME_TEXT(rounded(1234.5678, 3), "1230");
    SAME_TEXT(rounded(0.0099996, 4), "0.01");
    SAME_TEXT(rounded(999.9, 2), "1000");
    SAME_TEXT(rounded(2.5, 1), "2");
    SAME_TEXT(rounded(3.5, 1), "4");
    SAME_TEXT(rounded(1.5, 0), "2");
    SAME_TEXT(rounded(1.0 / 3.0, 99), "0.33333333333333331");
    SAME_TEXT(fixed(-0.001, 2), "0.00");
    SAME_TEXT(fixed(0.005, 2), "0.01"); // the double is a little above 0.005
    SAME_TEXT(fixed(0.5, 0), "0");
    SAME_TEXT(fixed(1.5, 0), "2");
    SAME_TEXT(fixed(99.999, 2), "100.00");
    SAME_TEXT(fixed(0, 3), "0.000");
    SAME_TEXT(fixed(1e16, 3), "1e16");
    SAME_TEXT(fixed(-999999999999999.0, 12), "-999999999999999.000000000000");
    SAME_TEXT(fixed(HUGE_VAL, 2), "inf");
}

static void fixed_decimals_are_as_printf_has_them(void)
{
    hw_rng r = hw_rng_new(4, 0);
    char want[64];
    long wrong = 0;
    for (int i = 0; i < 100000; i++) {
        int decimals = i % 13;
        double x = (double)(int64_t)hw_rng_uniform(&r, 1, 1e6) / 1024.0; // many exact ties
        if (i % 3 == 0) x = pow(10, hw_rng_uniform(&r, -14, 14.9));
        (void)snprintf(want, sizeof want, "%.*f", decimals, x);
        if (strcmp(fixed(x, decimals), want) != 0) wrong++;
    }
    CHECK(wrong == 0);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(what_is_not_a_number);
    RUN(where_a_number_ends);
    RUN(hard_cases);
    RUN(exact_middles_with_hundreds_of_digits);
    RUN(a_million_doubles_come_back);
    RUN(the_text_is_the_shortest);
    RUN(how_numbers_look);
    RUN(rounded_numbers);
    RUN(fixed_decimals_are_as_printf_has_them);
    return TEST_END();
}
