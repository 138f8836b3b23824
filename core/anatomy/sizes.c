// Hand sizes: men and women as normal distributions.
#include "anatomy/anatomy.h"

#include <math.h>

typedef struct spread {
    double mean, deviation; // [m]
} spread;

static const spread size[2][HW_HAND_MEASURES] = {
    {{193.3e-3, 9.9e-3}, {88.3e-3, 4.4e-3}}, // men
    {{181.1e-3, 10.1e-3}, {78.2e-3, 3.8e-3}} // women
};
static const double together[2] = {0.58, 0.57}; // correlation of length and breadth

static double below(const spread *s, double value) // [m]
{
    return 0.5 * erfc((s->mean - value) / (s->deviation * sqrt(2)));
}

static bool known(hw_sex sex, hw_hand_measure which)
{
    return (unsigned)sex <= HW_SEX_FEMALE && (unsigned)which < HW_HAND_MEASURES;
}

double hw_hand_percent(hw_sex sex, hw_hand_measure which, double value)
{
    if (!known(sex, which) || isnan(value)) return (double)NAN;
    if (sex != HW_SEX_EITHER) return 100 * below(&size[sex == HW_SEX_FEMALE][which], value);
    return 50 * (below(&size[0][which], value) + below(&size[1][which], value));
}

// By halving: the percentage rises all the way.
double hw_hand_size(hw_sex sex, hw_hand_measure which, double percent)
{
    if (!known(sex, which) || !(percent > 0 && percent < 100)) return (double)NAN;
    double low = 0, high = 2 * size[0][which].mean;
    for (int k = 0; k < 60; k++) {
        double middle = 0.5 * (low + high);
        if (hw_hand_percent(sex, which, middle) < percent)
            low = middle;
        else
            high = middle;
    }
    return 0.5 * (low + high);
}

// One sex: the line of regression.
static spread breadth_of(int sex, double length) // [m]
{
    const spread *l = &size[sex][HW_HAND_LENGTH], *b = &size[sex][HW_HAND_BREADTH];
    double r = together[sex];
    return (spread){b->mean + r * b->deviation * (length - l->mean) / l->deviation,
                    b->deviation * sqrt(1 - r * r)};
}

double hw_hand_breadth_for(hw_sex sex, double length, double *sd)
{
    *sd = (double)NAN;
    if (!known(sex, HW_HAND_LENGTH) || !(length > 0) || !isfinite(length)) return (double)NAN;
    spread one[2] = {breadth_of(0, length), breadth_of(1, length)};
    double chance[2] = {sex == HW_SEX_MALE, sex == HW_SEX_FEMALE}, least = INFINITY, away[2];
    if (sex == HW_SEX_EITHER) {
        for (int i = 0; i < 2; i++) {
            const spread *l = &size[i][HW_HAND_LENGTH];
            double z = (length - l->mean) / l->deviation;
            away[i] = 0.5 * z * z + log(l->deviation);
            least = fmin(least, away[i]);
        }
        for (int i = 0; i < 2; i++) chance[i] = exp(least - away[i]);
    }
    double sum = chance[0] + chance[1];
    double mean = (chance[0] * one[0].mean + chance[1] * one[1].mean) / sum, square = 0;
    for (int i = 0; i < 2; i++) {
        double off = one[i].mean - mean;
        square += chance[i] / sum * (one[i].deviation * one[i].deviation + off * off);
    }
    *sd = sqrt(square);
    return mean;
}
