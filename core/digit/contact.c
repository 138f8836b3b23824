#include "digit/contact.h"

#include <math.h>

void hw_cord_torque(const hw_digit *d, const double joint[HW_JOINTS], double tension,
                    double torque[HW_JOINTS])
{
    const hw_cord *c = &d->cord;
    for (int i = 0; i < HW_JOINTS; i++)
        torque[i] = c->arm[i] * tension - c->spring_preload[i] - c->spring_rate[i] * joint[i];
}

hw_code hw_contact_forces(size_t n, const double phalanx[], const double joint[],
                          const double torque[], const double k[], double force[])
{
    if (n < 1 || n > HW_JOINTS) return HW_BAD_INPUT;
    for (size_t i = 0; i < n; i++)
        if (!(k[i] > 0)) return HW_BAD_INPUT;
    // joint i carries the forces of every phalanx from i on, each at its arm about that joint
    for (size_t i = n; i-- > 0;) {
        double left = torque[i];
        for (size_t j = i + 1; j < n; j++) {
            double arm = k[j], turned = 0;
            for (size_t m = j; m > i; m--) {
                turned += joint[m];
                arm += phalanx[m - 1] * cos(turned);
            }
            left -= arm * force[j];
        }
        force[i] = left / k[i];
    }
    return HW_OK;
}

// The k > 0 of gain * k >= cost.
static hw_contact_range range(double gain, double cost)
{
    if (gain > 0) return (hw_contact_range){cost > 0 ? cost / gain : 0, INFINITY};
    if (gain < 0 && cost < 0) return (hw_contact_range){0, cost / gain};
    if (gain == 0 && cost <= 0) return (hw_contact_range){0, INFINITY};
    return (hw_contact_range){INFINITY, 0};
}

hw_contact_bound hw_contact_bound_of(const double phalanx[HW_JOINTS], const double joint[HW_JOINTS],
                                     const double torque[HW_JOINTS], double k3)
{
    double c2 = cos(joint[1]), c3 = cos(joint[2]), c23 = cos(joint[1] + joint[2]);
    hw_contact_bound b = {.distal = torque[2] >= 0};
    b.middle = range(torque[1] - torque[2], phalanx[1] * c3 * torque[2]);
    double f3 = torque[2] / k3;
    double moment2 = torque[1] - (k3 + phalanx[1] * c3) * f3; // k2 f2, whatever k2 is
    double rest = torque[0] - (k3 + phalanx[0] * c23 + phalanx[1] * c3) * f3 - moment2;
    b.proximal = range(rest, phalanx[0] * c2 * moment2); // k2 f1 k1 = rest k2 - l1 c2 k2 f2
    return b;
}

// Share of the middle phalanx's length where all three press, with the distal contact at k3.
static double share_of_middle(const hw_digit *d, const double joint[HW_JOINTS],
                              const double torque[HW_JOINTS], double k3)
{
    hw_contact_bound b = hw_contact_bound_of(d->phalanx, joint, torque, k3);
    if (!b.distal || !(k3 >= b.middle.low && k3 <= b.middle.high)) return 0;
    double length = d->phalanx[1];
    double high = b.proximal.high < length ? b.proximal.high : length;
    return high > b.proximal.low ? (high - b.proximal.low) / length : 0;
}

hw_code hw_stable_region_of(const hw_digit *d, double tension, size_t grid, hw_stable_region *out)
{
    *out = (hw_stable_region){.at_middle = NAN, .any = NAN};
    if (d->family != HW_FAMILY_CORD || hw_digit_check(d) != HW_DIGIT_SOUND) return HW_BAD_INPUT;
    if (grid < 2 || grid > 64) return HW_BAD_INPUT;
    size_t held = 0, off[HW_JOINTS] = {0};
    double any = 0, k[HW_JOINTS], joint[HW_JOINTS], torque[HW_JOINTS], force[HW_JOINTS];
    for (int i = 0; i < HW_JOINTS; i++) k[i] = d->phalanx[i] / 2;
    joint[0] = (d->joint_travel[0][0] + d->joint_travel[0][1]) / 2;
    for (size_t at = 0; at < grid * grid; at++) {
        size_t row = at / grid, column = at % grid;
        double part[2] = {(double)row / (double)(grid - 1), (double)column / (double)(grid - 1)};
        for (int i = 1; i < HW_JOINTS; i++)
            joint[i] = d->joint_travel[i][0] +
                       part[i - 1] * (d->joint_travel[i][1] - d->joint_travel[i][0]);
        hw_cord_torque(d, joint, tension, torque);
        hw_code code = hw_contact_forces(HW_JOINTS, d->phalanx, joint, torque, k, force);
        if (code) return code;
        bool all = true;
        for (int i = 0; i < HW_JOINTS; i++) {
            off[i] += force[i] < 0;
            all = all && force[i] >= 0;
        }
        held += all;
        for (size_t m = 0; m < grid; m++) {
            double k3 = d->phalanx[2] * ((double)m + 0.5) / (double)grid;
            any += share_of_middle(d, joint, torque, k3) / (double)grid;
        }
    }
    double poses = (double)(grid * grid);
    out->at_middle = (double)held / poses;
    out->any = any / poses;
    out->proximal = (double)off[0] / poses;
    out->middle = (double)off[1] / poses;
    out->distal = (double)off[2] / poses;
    return HW_OK;
}
