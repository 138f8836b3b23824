// A rigid-body engine's constraint forces. libmujoco gets a digit at a pose as three phalanges on
// hinges and two bars beside the middle plane, each held by a ball at its root and by a point
// constraint at its horn's end, so that it can only be pulled or pushed. The loads act as applied
// forces, our torque at the knuckle. If that torque is right nothing moves; then the engine's force
// and couple between each phalanx and the one before it are compared with ours, all components.
//
// Tolerance: the engine lets constraints give way by a share of the acceleration that the loads
// would cause without them, 1e-4 at least (solimp 0.9999). Through two loops and short horns that
// makes up to 2 % of the forces. It falls in proportion, so shares of 1e-4 and 2e-4 are run and the
// line through both is followed to 0; what is left is of second order, 1e-3 of the largest force at
// most.
#include "check.h"
#include "digit/spatial.h"

#include <mujoco/mujoco.h>
#include <stdarg.h>
#include <stdlib.h>

#define DEG (HW_PI / 180)

typedef struct sketch {
    const char *name;
    double phalanx[3], root_a[2], horn_a, angle_a, root_b[2], horn_b, angle_b; // [mm] [deg]
    double y_a, y_b;                                                           // [mm]
} sketch;
static const sketch digits[3] = {
    {"index", {45.6, 26.6, 18.0}, {5.3, 3.6}, 6, -55, {-2.5, -2.7}, 5, 147, -1.65, 3.05},
    {"little", {37.9, 21.8, 17.3}, {5.1, 3.0}, 5.5, -56, {-2.1, -2.5}, 4.5, 149, -1.2, 2.4},
    {"both push", {45.6, 26.6, 18.0}, {-1.1, -3.7}, 3.5, 128, {-1.1, -2.2}, 3.5, 122, 0.9, -2.5},
};

static hw_digit digit_of(const sketch *k)
{
    hw_digit d = hw_digit_default();
    d.family = HW_FAMILY_COUPLED_BARS;
    for (int i = 0; i < 3; i++) d.phalanx[i] = k->phalanx[i] * 1e-3;
    d.bar[0].root = (hw_vec2){k->root_a[0] * 1e-3, k->root_a[1] * 1e-3};
    d.bar[0].horn = k->horn_a * 1e-3;
    d.bar[0].horn_angle = k->angle_a * DEG;
    d.bar[1].root = (hw_vec2){k->root_b[0] * 1e-3, k->root_b[1] * 1e-3};
    d.bar[1].horn = k->horn_b * 1e-3;
    d.bar[1].horn_angle = k->angle_b * DEG;
    return d;
}

typedef struct text {
    char at[8192];
    size_t len;
} text;

__attribute__((format(printf, 2, 3))) static void put(text *t, const char *format, ...)
{
    va_list args;
    va_start(args, format);
    int n = vsnprintf(t->at + t->len, sizeof t->at - t->len, format, args);
    va_end(args);
    if (n > 0) t->len += (size_t)n;
}

static void put_body(text *t, const char *name, hw_vec2 at, double y, double flexion,
                     const char *joint, double mass)
{
    put(t, "<body name='%s' pos='%.17g %.17g %.17g' axisangle='0 1 0 %.17g'>", name, at.x, y, at.z,
        flexion);
    put(t, "<inertial pos='0.01 0 0' mass='%g' diaginertia='%g %g %g'/>", mass, mass * 1e-4,
        mass * 1e-4, mass * 1e-4);
    put(t, "<joint type='%s' axis='0 1 0'/>", joint);
}

// The model in the pose itself.
static void put_model(text *t, const hw_digit_pose *p, const double y[2], double share)
{
    hw_vec2 line[2], root_b;
    double turn[2], length[2], turned = p->joint[0];
    for (int i = 0; i < 2; i++) {
        line[i] = hw_sub(p->bar_end[i], p->bar_root[i]);
        turn[i] = atan2(-line[i].z, line[i].x);
        length[i] = hw_norm(line[i]);
    }
    root_b = hw_flexed(hw_sub(p->bar_root[1], p->at[0]), -turned);
    put(t, "<mujoco><compiler angle='radian'/>");
    put(t, "%s",
        "<option gravity='0 0 0' iterations='500' tolerance='1e-16' solver='Newton'>"
        "<flag contact='disable'/></option>");
    put(t, "<default><equality solref='0.02 1' solimp='%.17g %.17g 0.001'/></default><worldbody>",
        1 - share, 1 - share);
    put_body(t, "proximal", p->at[0], 0, p->joint[0], "hinge", 1);
    hw_vec2 pip = hw_flexed(hw_sub(p->at[1], p->at[0]), -turned);
    hw_vec2 dip = hw_flexed(hw_sub(p->at[2], p->at[1]), -turned - p->joint[1]);
    put_body(t, "middle", pip, 0, p->joint[1], "hinge", 1);
    put_body(t, "distal", dip, 0, p->joint[2], "hinge", 1);
    put(t, "</body></body>");
    put_body(t, "bar_b", root_b, y[1], turn[1] - turned, "ball", 1);
    put(t, "</body></body>");
    put_body(t, "bar_a", p->bar_root[0], y[0], turn[0], "ball", 1);
    put(t, "</body></worldbody>");
    put(t, "<equality><connect body1='bar_a' body2='middle' anchor='%.17g 0 0'/>", length[0]);
    put(t, "<connect body1='bar_b' body2='distal' anchor='%.17g 0 0'/></equality></mujoco>",
        length[1]);
}

static mjModel *load_model(const hw_digit_pose *p, const double y[2], double share)
{
    text t = {.len = 0};
    put_model(&t, p, y, share);
    mjVFS *files = malloc(sizeof *files);
    char error[300] = "";
    mj_defaultVFS(files);
    int slot = mj_makeEmptyFileVFS(files, "digit.xml", (int)t.len);
    for (int i = 0; slot == 0 && i < files->nfile; i++) memcpy(files->filedata[i], t.at, t.len);
    mjModel *m = mj_loadXML("digit.xml", files, error, sizeof error);
    if (!m) printf("    %s\n", error);
    mj_deleteVFS(files);
    free(files);
    return m;
}

static const char *const body_name[3] = {"proximal", "middle", "distal"};

static void cross(const double a[3], const double b[3], double out[3])
{
    for (int i = 0; i < 3; i++) {
        int j = (i + 1) % 3, k = (i + 2) % 3;
        out[i] = a[j] * b[k] - a[k] * b[j];
    }
}

static void apply(const mjModel *m, mjData *data, const hw_digit_pose *p, const hw_space_push *push)
{
    int body = mj_name2id(m, mjOBJ_BODY, body_name[push->phalanx]);
    double turn = hw_digit_turned(p, push->phalanx);
    hw_vec2 at = hw_digit_point(p, push->phalanx, (hw_vec2){push->at.x, push->at.z});
    hw_vec2 f = hw_flexed((hw_vec2){push->force.x, push->force.z}, turn);
    double force[3] = {f.x, push->force.y, f.z}, point[3] = {at.x, push->at.y, at.z}, couple[3];
    for (int i = 0; i < 3; i++) point[i] -= data->xipos[3 * body + i];
    cross(point, force, couple);
    for (int i = 0; i < 3; i++) {
        data->xfrc_applied[6 * body + i] += force[i];
        data->xfrc_applied[6 * body + 3 + i] += couple[i];
    }
}

// Force and couple at joint j of the body before on the body after: the engine gives them at the
// centre of mass of the whole tree.
static void between(const mjModel *m, const mjData *data, const hw_digit_pose *p, int joint,
                    double force[3], double couple[3])
{
    int body = mj_name2id(m, mjOBJ_BODY, body_name[joint]);
    const double *both = data->cfrc_int + 6 * body;
    const double *centre = data->subtree_com + 3 * m->body_rootid[body];
    double arm[3] = {centre[0] - p->at[joint].x, centre[1], centre[2] - p->at[joint].z}, more[3];
    for (int i = 0; i < 3; i++) force[i] = both[3 + i];
    cross(arm, force, more);
    for (int i = 0; i < 3; i++) couple[i] = both[i] + more[i];
}

// What the engine's joints carry: force and couple of each, for a share that it lets slip.
static bool engine_forces(const hw_digit_pose *p, const double y[2], const hw_space_push push[],
                          size_t pushes, double torque, double share, double out[HW_JOINTS][6])
{
    mjModel *m = load_model(p, y, share);
    if (!CHECK(m != NULL)) return false;
    mjData *data = mj_makeData(m);
    mj_forward(m, data); // places the bodies
    for (size_t i = 0; i < pushes; i++) apply(m, data, p, &push[i]);
    data->qfrc_applied[m->body_dofadr[mj_name2id(m, mjOBJ_BODY, "proximal")]] = torque;
    mj_forward(m, data);
    mj_rnePostConstraint(m, data);
    for (int j = 0; j < HW_JOINTS; j++) between(m, data, p, j, out[j], out[j] + 3);
    mj_deleteData(data);
    mj_deleteModel(m);
    return true;
}

// Worst component over the largest force in the plane; couples over 20 mm of it.
static double compare(const double engine[HW_JOINTS][6], const hw_joint_load got[HW_JOINTS],
                      double torque)
{
    double most = 0, worst = 0;
    for (int j = 0; j < HW_JOINTS; j++) most = fmax(most, hypot(got[j].force.x, got[j].force.z));
    for (int j = 0; j < HW_JOINTS; j++) {
        const hw_joint_load *g = &got[j];
        const double ours[6] = {g->force.x, g->force.y,          g->force.z,
                                g->side_x,  j == 0 ? torque : 0, g->side_z};
        for (int i = 0; i < 6; i++)
            worst = fmax(worst, fabs(engine[j][i] - ours[i]) / (i < 3 ? most : 0.02 * most));
    }
    return worst;
}

// Three pushes with all components, one on each phalanx, and our torque at the knuckle; bar A
// `moved` further across in ours than in the engine's.
static double off_at(const hw_digit *d, const sketch *k, double s, double moved)
{
    const hw_space_push push[3] = {
        {.phalanx = 2, .at = {d->phalanx[2], 0.002, -0.004}, .force = {0.5, 2, 6}},
        {.phalanx = 1, .at = {0.6 * d->phalanx[1], -0.003, -0.008}, .force = {-1, -1.5, 4}},
        {.phalanx = 0, .at = {0.4 * d->phalanx[0], 0.001, -0.01}, .force = {1, 0.7, 5}}};
    const double y[2] = {k->y_a * 1e-3, k->y_b * 1e-3};
    const hw_across a = {.cone = {{-0.0065, 0.0065}, {-0.0065, 0.0065}, {-0.0065, 0.0065}},
                         .bar = {y[0] + moved, y[1]}};
    const hw_knuckle_cord couple = {0};
    hw_digit_pose p;
    hw_across_pose at;
    hw_joint_load got[HW_JOINTS];
    double torque, soft[HW_JOINTS][6], hard[HW_JOINTS][6];
    CHECK(hw_digit_family_of(d->family)->pose(d, s, &p) == HW_OK);
    CHECK(hw_across_at(d, &p, &a, &couple, &at) == HW_OK);
    CHECK(hw_across_forces(&at, push, 3, got, &torque) == HW_OK);
    if (!engine_forces(&p, y, push, 3, torque, 2e-4, soft)) return (double)NAN;
    if (!engine_forces(&p, y, push, 3, torque, 1e-4, hard)) return (double)NAN;
    for (int j = 0; j < HW_JOINTS; j++)
        for (int i = 0; i < 6; i++) hard[j][i] = 2 * hard[j][i] - soft[j][i];
    return compare((const double(*)[6])hard, got, torque);
}

static void constraint_forces_are_ours(void)
{
    for (int i = 0; i < 3; i++) {
        hw_digit d = digit_of(&digits[i]);
        double worst = 0;
        for (int k = 0; k <= 8; k++) worst = fmax(worst, off_at(&d, &digits[i], k / 8.0, 0));
        printf("%s: worst of 18 components in 9 poses off by %.1e of the largest force\n",
               digits[i].name, worst);
        CHECK(worst < 1e-3);
    }
}

static void another_layer_is_told_apart(void)
{
    hw_digit d = digit_of(&digits[0]);
    double off = off_at(&d, &digits[0], 0.5, 0.1e-3);
    printf("bar A a tenth of a millimetre elsewhere: off by %.1e\n", off);
    CHECK(off > 3e-3);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(constraint_forces_are_ours);
    RUN(another_layer_is_told_apart);
    return TEST_END();
}
