#include "digit/digit.h"
#include "digit/digit_internal.h"
#include "digit/loop.h"

#include <math.h>

static const hw_digit_family *const family[HW_FAMILIES] = {
    [HW_FAMILY_COUPLED_BARS] = &hw_family_coupled_bars,
    [HW_FAMILY_DIRECT] = &hw_family_direct,
    [HW_FAMILY_CORD] = &hw_family_cord,
};

const hw_digit_family *hw_digit_family_of(hw_family_kind kind)
{
    return (unsigned)kind < HW_FAMILIES ? family[kind] : NULL;
}

static const char *const fault_text[HW_DIGIT_FAULTS] = {
    [HW_DIGIT_SOUND] = "sound",
    [HW_DIGIT_NOT_FINITE] = "a number is not finite",
    [HW_DIGIT_PHALANX] = "a phalanx has no length",
    [HW_DIGIT_HORN] = "a horn has no length",
    [HW_DIGIT_BAR_A_NONE] = "bar A has no length: its root lies on its horn's end",
    [HW_DIGIT_BAR_B_NONE] = "bar B has no length: its root lies on its horn's end",
    [HW_DIGIT_BAR_A_DEAD] = "the straight digit is a dead point of bar A",
    [HW_DIGIT_BAR_B_DEAD] = "the straight digit is a dead point of bar B",
    [HW_DIGIT_TRAVEL] = "a joint's stops are the wrong way round",
    [HW_DIGIT_CORD] = "a cord's arm is not above 0, or a spring is below 0",
    [HW_DIGIT_FAMILY] = "there is no such family of digits",
};

const char *hw_digit_fault_text(hw_digit_fault f)
{
    return (unsigned)f < HW_DIGIT_FAULTS ? fault_text[f] : "unknown fault";
}

static bool all_finite(const double *v, size_t n)
{
    for (size_t i = 0; i < n; i++)
        if (!isfinite(v[i])) return false;
    return true;
}

static hw_digit_fault check_cord(const hw_digit *d)
{
    const hw_cord *c = &d->cord;
    for (int i = 0; i < HW_JOINTS; i++) {
        const double number[] = {c->arm[i], c->spring_rate[i], c->spring_preload[i],
                                 d->joint_travel[i][0], d->joint_travel[i][1]};
        if (!all_finite(number, 5)) return HW_DIGIT_NOT_FINITE;
        if (!(c->arm[i] > 0) || c->spring_rate[i] < 0 || c->spring_preload[i] < 0)
            return HW_DIGIT_CORD;
        if (d->joint_travel[i][0] > d->joint_travel[i][1]) return HW_DIGIT_TRAVEL;
    }
    return HW_DIGIT_SOUND;
}

hw_digit_fault hw_digit_check(const hw_digit *d)
{
    hw_loop l[2];
    return hw_digit_check_loops(d, l);
}

hw_digit_fault hw_digit_check_loops(const hw_digit *d, hw_loop l[2])
{
    if (!hw_digit_family_of(d->family)) return HW_DIGIT_FAMILY;
    if (!all_finite(d->phalanx, HW_JOINTS)) return HW_DIGIT_NOT_FINITE;
    for (int i = 0; i < HW_JOINTS; i++)
        if (!(d->phalanx[i] > 0)) return HW_DIGIT_PHALANX;
    if (d->family == HW_FAMILY_COUPLED_BARS) return hw_bars_check(d, l);
    if (d->family == HW_FAMILY_CORD) return check_cord(d);
    return all_finite(&d->joint_travel[0][0], (size_t)HW_JOINTS * 2) ? HW_DIGIT_SOUND
                                                                     : HW_DIGIT_NOT_FINITE;
}

const char *hw_digit_joint_name(const hw_digit *d, int joint)
{
    static const char *const name[2][HW_JOINTS] = {{"knuckle", "PIP", "DIP"}, {"CMC", "MCP", "IP"}};
    return joint >= 0 && joint < HW_JOINTS ? name[d->thumb][joint] : "unknown joint";
}

hw_load hw_digit_unit_load(const hw_digit *d)
{
    return (hw_load){.phalanx = 2, .at = {d->phalanx[2], 0}, .force = {0, 1}};
}

double hw_digit_turned(const hw_digit_pose *pose, int phalanx)
{
    double turned = 0;
    for (int i = 0; i <= phalanx; i++) turned += pose->joint[i];
    return turned;
}

hw_vec2 hw_digit_point(const hw_digit_pose *pose, int phalanx, hw_vec2 at)
{
    return hw_add(pose->at[phalanx], hw_flexed(at, hw_digit_turned(pose, phalanx)));
}

void hw_pose_nothing(hw_digit_pose *out)
{
    const hw_vec2 none = {NAN, NAN};
    for (int i = 0; i < HW_JOINTS; i++) out->joint[i] = out->rate[i] = NAN;
    for (int i = 0; i <= HW_JOINTS; i++) out->at[i] = none;
    for (int i = 0; i < 2; i++) {
        out->transmission[i] = NAN;
        out->bar_root[i] = out->bar_end[i] = none;
    }
}

void hw_pose_place(const hw_digit *d, hw_digit_pose *out)
{
    double turned = 0;
    out->at[0] = (hw_vec2){0, 0};
    for (int i = 0; i < HW_JOINTS; i++) {
        turned += out->joint[i];
        hw_vec2 along = {d->phalanx[i] * cos(turned), -d->phalanx[i] * sin(turned)};
        out->at[i + 1] = hw_add(out->at[i], along);
    }
}

bool hw_load_totals(const hw_digit_pose *p, const hw_load *load, size_t loads,
                    hw_vec2 force[HW_JOINTS], double moment[HW_JOINTS])
{
    double c[HW_JOINTS], s[HW_JOINTS];
    for (int i = 0; i < HW_JOINTS; i++) {
        double turned = hw_digit_turned(p, i);
        c[i] = cos(turned);
        s[i] = sin(turned);
        force[i] = (hw_vec2){0, 0};
        moment[i] = 0;
    }
    for (size_t k = 0; k < loads; k++) {
        int i = load[k].phalanx;
        if (i < 0 || i >= HW_JOINTS) return false;
        force[i] = hw_add(force[i], hw_flex(load[k].force, c[i], s[i]));
        moment[i] += hw_moment(load[k].at, load[k].force);
    }
    return true;
}

void hw_load_beyond(const hw_digit_pose *p, const hw_vec2 force[HW_JOINTS],
                    const double moment[HW_JOINTS], hw_vec2 beyond[HW_JOINTS],
                    double turning[HW_JOINTS])
{
    hw_vec2 carried = {0, 0};
    double turn = 0;
    for (int i = HW_JOINTS - 1; i >= 0; i--) {
        if (i + 1 < HW_JOINTS) turn += hw_moment(hw_sub(p->at[i + 1], p->at[i]), carried);
        turn += moment[i];
        carried = hw_add(carried, force[i]);
        beyond[i] = carried;
        turning[i] = turn;
    }
}

hw_digit hw_digit_default(void)
{
    const double deg = HW_PI / 180;
    hw_digit d = {
        .family = HW_FAMILY_DIRECT,
        .phalanx = {0.045, 0.027, 0.018},
        .thickness = {0.022, 0.018, 0.016},
        .tip_thickness = 0.012,
        .width = 0.016,
        .travel = {0, 85 * deg},
        .joint_travel = {{0, 90 * deg}, {0, 100 * deg}, {0, 67 * deg}},
        // root dorsal and horn palmar: A pulls, B pushes
        .bar = {{.root = {0.0059, 0.0031}, .horn = 0.006, .horn_angle = -50 * deg},
                {.root = {-0.004, -0.002}, .horn = 0.005, .horn_angle = 149 * deg}},
        .cord = {.arm = {0.008, 0.006, 0.004},
                 .spring_rate = {0.02, 0.012, 0.012},
                 .spring_preload = {0.02, 0.015, 0.012},
                 .tension = 20},
        .pivot_radius = 0.003,
        .pivot_play = 0.0002,
        .modulus = 2e9,
    };
    d.bar[0].width = d.bar[1].width = 0.005;
    d.bar[0].depth = d.bar[0].depth_one = 0.0024;
    d.bar[1].depth = 0.0032;
    d.bar[1].depth_one = 0.0016;
    return d;
}
