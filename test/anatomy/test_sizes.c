// Hand sizes against the survey's own percentiles.
#include "anatomy/anatomy.h"
#include "base/rng.h"
#include "check.h"

// Percentiles computed from the rows of ANSUR II 2012 (docs/sources/anatomy.md), whole millimetres.
static const struct {
    hw_sex sex;
    hw_hand_measure which;
    double percent, mm;
} survey[] = {
    {HW_SEX_MALE, HW_HAND_LENGTH, 1, 172},    {HW_SEX_MALE, HW_HAND_LENGTH, 5, 177},
    {HW_SEX_MALE, HW_HAND_LENGTH, 50, 193},   {HW_SEX_MALE, HW_HAND_LENGTH, 95, 210},
    {HW_SEX_MALE, HW_HAND_LENGTH, 99, 218},   {HW_SEX_FEMALE, HW_HAND_LENGTH, 1, 160},
    {HW_SEX_FEMALE, HW_HAND_LENGTH, 5, 165},  {HW_SEX_FEMALE, HW_HAND_LENGTH, 50, 180},
    {HW_SEX_FEMALE, HW_HAND_LENGTH, 95, 199}, {HW_SEX_FEMALE, HW_HAND_LENGTH, 99, 207},
    {HW_SEX_MALE, HW_HAND_BREADTH, 1, 78},    {HW_SEX_MALE, HW_HAND_BREADTH, 5, 81},
    {HW_SEX_MALE, HW_HAND_BREADTH, 50, 88},   {HW_SEX_MALE, HW_HAND_BREADTH, 95, 96},
    {HW_SEX_MALE, HW_HAND_BREADTH, 99, 99},   {HW_SEX_FEMALE, HW_HAND_BREADTH, 1, 70},
    {HW_SEX_FEMALE, HW_HAND_BREADTH, 5, 72},  {HW_SEX_FEMALE, HW_HAND_BREADTH, 50, 78},
    {HW_SEX_FEMALE, HW_HAND_BREADTH, 95, 85}, {HW_SEX_FEMALE, HW_HAND_BREADTH, 99, 87},
};

// Half a millimetre of the rows' rounding, and 2.5 of length or half of breadth for tails that are
// not quite normal.
static void the_survey(void)
{
    for (size_t i = 0; i < sizeof survey / sizeof survey[0]; i++) {
        double got = hw_hand_size(survey[i].sex, survey[i].which, survey[i].percent);
        bool tail = survey[i].percent < 5 || survey[i].percent > 95;
        double within = survey[i].which == HW_HAND_BREADTH ? 0.5 : tail ? 2.5 : 1.0;
        if (survey[i].which == HW_HAND_LENGTH && survey[i].sex == HW_SEX_FEMALE) within += 0.5;
        NEAR(1e3 * got, survey[i].mm, 0.5 + within);
    }
}

static void there_and_back(void)
{
    for (int sex = 0; sex <= HW_SEX_FEMALE; sex++)
        for (int which = 0; which < HW_HAND_MEASURES; which++)
            for (double p = 0.5; p < 100; p += 3.3) {
                double size = hw_hand_size((hw_sex)sex, (hw_hand_measure)which, p);
                NEAR(hw_hand_percent((hw_sex)sex, (hw_hand_measure)which, size), p, 1e-9);
            }
    // half of all people are women: of either sex the median lies between, nearer neither
    double both = hw_hand_size(HW_SEX_EITHER, HW_HAND_LENGTH, 50);
    CHECK(both > 0.1811 && both < 0.1933);
    NEAR(both, 0.5 * (0.1811 + 0.1933), 2e-4);
    CHECK(hw_hand_size(HW_SEX_EITHER, HW_HAND_LENGTH, 5) >
          hw_hand_size(HW_SEX_FEMALE, HW_HAND_LENGTH, 5));
}

// Drawn from the two-dimensional normal distribution itself: breadths of hands near a length.
static void breadths_of_a_length(void)
{
    enum { DRAWS = 400000 };
    static const double lengths[] = {0.165, 0.180, 0.187, 0.200};
    hw_rng r = hw_rng_new(41, 1);
    for (int sex = 0; sex <= HW_SEX_FEMALE; sex++) {
        double n[4] = {0}, sum[4] = {0}, square[4] = {0};
        for (int i = 0; i < DRAWS; i++) {
            bool male = sex == HW_SEX_MALE || (sex == HW_SEX_EITHER && i % 2);
            double u = hw_rng_normal(&r), v = hw_rng_normal(&r), c = male ? 0.58 : 0.57;
            double l = male ? 0.1933 + 0.0099 * u : 0.1811 + 0.0101 * u;
            double w = c * u + sqrt(1 - c * c) * v;
            double b = male ? 0.0883 + 0.0044 * w : 0.0782 + 0.0038 * w;
            for (int k = 0; k < 4; k++)
                if (fabs(l - lengths[k]) < 0.5e-3) {
                    n[k]++;
                    sum[k] += b;
                    square[k] += b * b;
                }
        }
        for (int k = 0; k < 4; k++) {
            if (n[k] < 300) continue;
            double sd, mean = hw_hand_breadth_for((hw_sex)sex, lengths[k], &sd);
            double drawn = sum[k] / n[k], off = sqrt(square[k] / n[k] - drawn * drawn);
            NEAR(mean, drawn, 5 * off / sqrt(n[k]) + 2e-5); // the slope across the millimetre
            NEAR(sd, off, 5 * off / sqrt(2 * n[k]) + 2e-5);
        }
    }
}

// Of either sex, by hand: both densities at 185 mm weigh the two lines of regression.
static void either_sex_by_hand(void)
{
    double zm = (185 - 193.3) / 9.9, zw = (185 - 181.1) / 10.1, sd;
    double pm = exp(-0.5 * zm * zm) / 9.9, pw = exp(-0.5 * zw * zw) / 10.1;
    double bm = 88.3 + 0.58 * 4.4 * zm, bw = 78.2 + 0.57 * 3.8 * zw;
    double mean = (pm * bm + pw * bw) / (pm + pw);
    double square = pm * (4.4 * 4.4 * (1 - 0.58 * 0.58) + (bm - mean) * (bm - mean)) +
                    pw * (3.8 * 3.8 * (1 - 0.57 * 0.57) + (bw - mean) * (bw - mean));
    CLOSE(1e3 * hw_hand_breadth_for(HW_SEX_EITHER, 0.185, &sd), mean, 1e-12);
    CLOSE(1e3 * sd, sqrt(square / (pm + pw)), 1e-12);
}

static void out_of_range_is_no_number(void)
{
    double sd;
    CHECK(isnan(hw_hand_size(HW_SEX_MALE, HW_HAND_LENGTH, 0)));
    CHECK(isnan(hw_hand_size(HW_SEX_MALE, HW_HAND_LENGTH, 100)));
    CHECK(isnan(hw_hand_size((hw_sex)7, HW_HAND_LENGTH, 50)));
    CHECK(isnan(hw_hand_percent(HW_SEX_MALE, (hw_hand_measure)9, 0.1)));
    CHECK(isnan(hw_hand_percent(HW_SEX_MALE, HW_HAND_LENGTH, NAN)));
    CHECK(isnan(hw_hand_breadth_for(HW_SEX_EITHER, -1, &sd)) && isnan(sd));
    double mean = hw_hand_breadth_for(HW_SEX_EITHER, 5, &sd); // a giant is still somebody
    CHECK(isfinite(mean) && isfinite(sd) && sd > 0);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(the_survey);
    RUN(there_and_back);
    RUN(breadths_of_a_length);
    RUN(either_sex_by_hand);
    RUN(out_of_range_is_no_number);
    (void)hw_check_text;
    return TEST_END();
}
