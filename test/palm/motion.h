// Motions and palms that the palm's tests share.
#ifndef HW_TEST_PALM_MOTION_H
#define HW_TEST_PALM_MOTION_H

#include "palm/pose.h"

enum { MOTION_POSES = 33 };

typedef struct motions {
    double joint[HW_HAND_DIGITS][HW_SEGMENTS][MOTION_POSES]; // [rad]
    hw_palm_motion of[HW_HAND_DIGITS];
} motions;

// Straight lines from 0 to the given closed angles, fingers alike. [rad]
static inline void motions_to(motions *m, const double finger[HW_SEGMENTS],
                              const double thumb[HW_SEGMENTS]) // [rad]
{
    for (int d = 0; d < HW_HAND_DIGITS; d++) {
        for (int j = 0; j < HW_SEGMENTS; j++)
            for (int i = 0; i < MOTION_POSES; i++)
                m->joint[d][j][i] = (d ? finger : thumb)[j] * i / (MOTION_POSES - 1);
        m->of[d] = (hw_palm_motion){MOTION_POSES, {m->joint[d][0], m->joint[d][1], m->joint[d][2]}};
    }
}

// The natural law to 85 degrees, and the thumb's ranges.
static inline void natural_motions(motions *m)
{
    const double deg = HW_PI / 180;
    motions_to(m, (const double[]){85 * deg, 94 * deg, 63 * deg},
               (const double[]){40 * deg, 50 * deg, 75 * deg});
}

#endif
