// Inclines, wedges, screws, journals, cones, seats, snaps, beams, plates, columns, four-bars:
// formula beside the value printed for it. Sources: docs/sources/mechanics.md under each row's key.
#include "base/vec.h"
#include "linkage/column.h"
#include "linkage/linkage.h"
#include "pivot/pivot.h"
#include "published.h"

static const double deg = HW_PI / 180;

// ---- adapters: inputs as printed, result in the printed unit

static double raise(const double in[]) // load, deg, mu -> load's unit
{
    return hw_incline_raise(in[0], in[1] * deg, in[2]);
}

static double hold(const double in[])
{
    return hw_incline_hold(in[0], in[1] * deg, in[2]);
}

static double wedge_in(const double in[]) // load, deg, mu on the guide and base, mu on top
{
    hw_wedge w = {.angle = in[1] * deg, .mu_side = in[2], .mu_base = in[2], .mu_top = in[3]};
    double push, pull;
    return hw_wedge_forces(&w, in[0], &push, &pull) == HW_OK ? push : (double)NAN;
}

static double wedge_out(const double in[])
{
    hw_wedge w = {.angle = in[1] * deg, .mu_side = in[2], .mu_base = in[2], .mu_top = in[3]};
    double push, pull;
    return hw_wedge_forces(&w, in[0], &push, &pull) == HW_OK ? pull : (double)NAN;
}

static hw_screw screw_of(const double in[]) // mean diameter mm, lead mm, mu
{
    return (hw_screw){in[0] * 0.5e-3, in[1] * 1e-3, in[2]};
}

static double clamp_force(const double in[]) // ..., torque N m -> kN
{
    hw_screw s = screw_of(in);
    return in[3] / hw_screw_tighten(&s) / 1e3;
}

static double clamp_loosen(const double in[]) // ..., tightened with N m -> N m
{
    hw_screw s = screw_of(in);
    return in[3] / hw_screw_tighten(&s) * hw_screw_loosen(&s);
}

static double lever_raise(const double in[]) // load, arm, arm, friction circle
{
    return hw_lever_effort(in[0], in[1], in[2], in[3], false);
}

static double lever_hold(const double in[])
{
    return hw_lever_effort(in[0], in[1], in[2], in[3], true);
}

static double clutch_engage(const double in[]) // kW, rpm, mean diameter m, half-angle deg, mu -> N
{
    double torque = in[0] * 1e3 / (in[1] * 2 * HW_PI / 60);
    hw_cone_press p;
    return hw_cone_press_of(torque, in[2] / 2, in[3] * deg, in[4], &p) == HW_OK ? p.engage
                                                                                : (double)NAN;
}

static double clutch_torque(const double in[]) // N, mean radius mm, half-angle deg, mu -> N m
{
    double r = in[1] * 1e-3, thin = 1e-6 * r; // a ring as thin as the book's mean radius
    return hw_cone_torque(in[0], r + thin, r - thin, in[2] * deg, in[3], HW_CONE_WORN);
}

// load kN, outer m, inner m, half-angle deg, mu, rpm -> W
static double cone_power(const double in[], hw_cone_wear state)
{
    double torque = hw_cone_torque(in[0] * 1e3, in[1], in[2], in[3] * deg, in[4], state);
    return torque * in[5] * 2 * HW_PI / 60;
}

static double cone_power_new(const double in[])
{
    return cone_power(in, HW_CONE_NEW);
}

static double cone_power_worn(const double in[])
{
    return cone_power(in, HW_CONE_WORN);
}

static hw_snap snap_of(const double in[]) // l, b, h mm, E MPa, mu, lead deg, shape
{
    return (hw_snap){.length = in[0] * 1e-3,
                     .width = in[1] * 1e-3,
                     .thickness = in[2] * 1e-3,
                     .modulus = in[3] * 1e6,
                     .mu = in[4],
                     .lead = in[5] * deg,
                     .shape = (hw_snap_shape)(int)in[6]};
}

static double snap_strain(const double in[]) // ..., undercut mm -> 1
{
    hw_snap s = snap_of(in);
    hw_snap_result r;
    return hw_snap_pass(&s, in[7] * 1e-3, &r) == HW_OK ? r.strain : (double)NAN;
}

static double snap_bend(const double in[]) // N
{
    hw_snap s = snap_of(in);
    hw_snap_result r;
    return hw_snap_pass(&s, in[7] * 1e-3, &r) == HW_OK ? r.bend : (double)NAN;
}

static double snap_mate(const double in[]) // N
{
    hw_snap s = snap_of(in);
    hw_snap_result r;
    return hw_snap_pass(&s, in[7] * 1e-3, &r) == HW_OK ? r.mate : (double)NAN;
}

static double snap_root(const double in[]) // l mm, shape, undercut mm, strain -> mm
{
    hw_snap s = {.length = in[0] * 1e-3, .width = 1, .shape = (hw_snap_shape)(int)in[1]};
    return hw_snap_thickness(&s, in[2] * 1e-3, in[3]) * 1e3;
}

static double snap_share(const double in[])
{
    return hw_snap_share((hw_snap_shape)(int)in[0]);
}

// load, length to it, width, depth, modulus: all in the printed units of force and length
static hw_bending bending_of(const double in[])
{
    hw_bending b; // NaN where it is refused
    CHECK(hw_beam_bend(HW_BEAM_CANTILEVER, in[0], in[1], in[2], in[3], in[4], &b) == HW_OK);
    return b;
}

static double beam_end(const double in[])
{
    return bending_of(in).deflection;
}

static double beam_stress(const double in[])
{
    return bending_of(in).stress;
}

// radius, thickness, modulus, Poisson's ratio, pressure or force: in the printed units
static hw_plate plate_of(const double in[])
{
    return (hw_plate){in[0], in[1], in[2], in[3], HW_PLATE_CLAMPED};
}

static double plate_middle(const double in[])
{
    hw_plate p = plate_of(in);
    double deflection, stress;
    hw_code code = hw_plate_pressed(&p, in[4], &deflection, &stress);
    return code == HW_OK ? deflection : (double)NAN;
}

static double plate_stress(const double in[])
{
    hw_plate p = plate_of(in);
    double deflection, stress;
    hw_code code = hw_plate_pressed(&p, in[4], &deflection, &stress);
    return code == HW_OK ? stress : (double)NAN;
}

static double plate_poked(const double in[])
{
    hw_plate p = plate_of(in);
    return hw_plate_poked(&p, in[4]);
}

// load N, pin mm, eye mm, thickness mm: a hole right through, the shank left out -> N/mm^2
static double eye_beside(const double in[])
{
    const double much = 1e9; // of what does not decide here
    hw_eye e = {.radius = in[2] / 2,
                .hole = in[1] / 2,
                .depth = in[3],
                .thickness = in[3],
                .width = much,
                .load_at = in[3] / 2};
    return hw_eye_share(&e, &(hw_print_strength){1, much}, in[0]);
}

static hw_seat pin_of(double diameter, double length)
{
    return (hw_seat){
        .half_angle = 45 * deg, .height = length, .land = length, .base = diameter / 2};
}

static double pin_pressure(const double in[]) // load N, pin mm, length mm -> N/mm^2
{
    hw_seat s = pin_of(in[1], in[2]);
    return in[0] / hw_seat_area(&s, 0);
}

// load N on two planes, shear stress N/mm^2 -> mm: the strength used falls with the square of the
// diameter
static double pin_diameter(const double in[])
{
    hw_seat s = pin_of(1, 1);
    double yield = in[1] * sqrt(3);
    return sqrt(in[0] / 2 * hw_stub_of(&s, 0, &(hw_print_strength){yield, yield}).in_layer);
}

// E ksi, second moment in^4, length ft -> kip, by a square section of that second moment
static double column(const double in[])
{
    const double inch = 25.4e-3, kip = 4448.2216152605, ksi = kip / (inch * inch);
    double side = pow(12 * in[1], 0.25) * inch;
    hw_column_load load;
    hw_code code = hw_column_buckling(in[2] * 12 * inch, side, side, in[0] * ksi, &load);
    return code == HW_OK ? load.load / kip : (double)NAN;
}

// crank, coupler, rocker, ground, crank angle deg, branch
static hw_fourbar_pose pose_of(const double in[])
{
    hw_fourbar f = {.crank = in[0], .coupler = in[1], .rocker = in[2], .ground = in[3]};
    hw_fourbar_pose pose;
    double gap, none = (double)NAN;
    hw_code code = hw_fourbar_solve(&f, in[4] * deg, (int)in[5], &pose, &gap);
    return code == HW_OK ? pose : (hw_fourbar_pose){none, none, none, none, none};
}

static double coupler_angle(const double in[])
{
    return pose_of(in).coupler / deg;
}

static double rocker_angle(const double in[])
{
    return pose_of(in).rocker / deg;
}

static double coupler_speed(const double in[]) // ..., crank's speed
{
    return pose_of(in).d_coupler * in[6];
}

static double rocker_speed(const double in[])
{
    return pose_of(in).d_rocker * in[6];
}

// Vectors O to A, C to B and B to A: crank is OA, rocker CB. -> angular speed of CB over OA's
static hw_fourbar_pose vector_loop(const double in[])
{
    double gx = in[0] - in[4] - in[2], gz = in[1] - in[5] - in[3]; // O to C
    const double lengths[6] = {hypot(in[0], in[1]),
                               hypot(in[4], in[5]),
                               hypot(in[2], in[3]),
                               hypot(gx, gz),
                               (atan2(in[1], in[0]) - atan2(gz, gx)) / deg,
                               in[6]};
    return pose_of(lengths);
}

static double loop_crank_speed(const double in[]) // ..., branch, rocker's speed -> crank's
{
    return in[7] / vector_loop(in).d_rocker;
}

static double loop_coupler_speed(const double in[])
{
    return in[7] / vector_loop(in).d_rocker * vector_loop(in).d_coupler;
}

// ---- the values

#define LAST "half a unit of the last printed place"

static const row rows[] = {
    {"Beer 8.2", "push to start the block, N", raise, {800, 25, 0.35}, 780, 0.5, LAST, READ},
    {"Beer 8.2", "push to keep it moving, N", raise, {800, 25, 0.25}, 649, 0.5, LAST, READ},
    {"Beer 8.2", "push that stops it sliding, N", hold, {800, 25, 0.35}, 80, 0.5, LAST, READ},
    {"Beer 8.4",
     "push that raises the block, lb",
     wedge_in,
     {400, 8, 0.35, 0.35},
     423,
     0.5,
     LAST,
     READ},
    {"Beer 8.4",
     "pull that lowers it, lb",
     wedge_out,
     {400, 8, 0.35, 0.35},
     206,
     0.6,
     "last place; the book rounds its angles to 0.1 deg",
     READ},
    {"Beer 8.5", "force of the clamp, kN", clamp_force, {10, 4, 0.3, 40}, 18.01, 0.005, LAST, READ},
    {"Beer 8.5",
     "torque that loosens it, N m",
     clamp_loosen,
     {10, 4, 0.3, 40},
     14.97,
     0.005,
     LAST,
     READ},
    {"Beer 8.6",
     "pull that raises the load, lb",
     lever_raise,
     {500, 2, 2, 0.2},
     611,
     0.5,
     LAST,
     READ},
    {"Beer 8.6", "pull that holds it, lb", lever_hold, {500, 2, 2, 0.2}, 409, 0.5, LAST, READ},
    {"Khurmi 10.17",
     "power lost in the footstep, W",
     cone_power_new,
     {20, 0.1682088, 0.0841044, 60, 0.1, 200},
     6328,
     0.5,
     LAST,
     READ},
    {"Khurmi 10.18",
     "power lost when new, W",
     cone_power_new,
     {30, 0.1, 0, 60, 0.025, 140},
     846,
     0.5,
     LAST,
     READ},
    {"Khurmi 10.18",
     "power lost when worn, W",
     cone_power_worn,
     {30, 0.1, 0, 60, 0.025, 140},
     634.8,
     0.05,
     LAST,
     READ},
    {"Khurmi 10.32",
     "force that engages the clutch, N",
     clutch_engage,
     {45, 1000, 0.5, 12.5, 0.2},
     3540,
     3.5,
     "0.1 %: the book rounds torque and sine on the way",
     READ},
    {"Jindal 22-8",
     "torque of the clutch, N m",
     clutch_torque,
     {300, 45, 15, 0.3},
     15.648,
     0.0005,
     LAST,
     READ},
    {"Snap strain",
     "strain at the root, 1",
     snap_strain,
     {15, 1, 2.5, 1, 0, 0, HW_SNAP_EVEN, 2.5},
     0.0416,
     0.0001,
     "one unit of the last place: 0.041667 was cut, not rounded",
     READ},
    {"Bayer 1",
     "thickness at the root, mm",
     snap_root,
     {19, HW_SNAP_HALF_THICK, 2.4, 0.02},
     3.28,
     0.005,
     LAST,
     FROM_MEMORY},
    {"Bayer 1",
     "bending force, N",
     snap_bend,
     {19, 9.5, 3.27908, 1815, 0.6, 30, HW_SNAP_HALF_THICK, 2.4},
     32.5,
     0.05,
     LAST,
     FROM_MEMORY},
    {"Bayer 1",
     "mating force, N",
     snap_mate,
     {19, 9.5, 3.27908, 1815, 0.6, 30, HW_SNAP_HALF_THICK, 2.4},
     58.5,
     0.1,
     "the book multiplies rounded 32.5 and 1.8",
     FROM_MEMORY},
    {"Bayer table 1", "share of an even arm", snap_share, {HW_SNAP_EVEN}, 0.67, 0.005, LAST, READ},
    {"Bayer table 1",
     "share of half thickness",
     snap_share,
     {HW_SNAP_HALF_THICK},
     1.09,
     0.005,
     LAST,
     FROM_MEMORY},
    {"Bayer table 1",
     "share of a quarter width",
     snap_share,
     {HW_SNAP_QUARTER_WIDTH},
     0.86,
     0.005,
     LAST,
     FROM_MEMORY},
    {"Solid cantilever",
     "deflection of the end by bending, in",
     beam_end,
     {1000, 15, 2, 3, 10e6},
     0.025,
     1e-12,
     "exact with these numbers",
     READ},
    {"Solid cantilever",
     "stress half way, psi",
     beam_stress,
     {1000, 7.5, 2, 3, 10e6},
     2500,
     0.5,
     LAST,
     READ},
    {"Deep cantilever",
     "deflection of the end, in",
     beam_end,
     {2, 60, 5, 10, 4278},
     0.0808,
     0.00005,
     LAST,
     READ},
    {"Clamped plate",
     "deflection under pressure, in",
     plate_middle,
     {40, 1, 30e6, 0.3, 6},
     0.0874,
     0.00005,
     LAST,
     READ},
    {"Clamped plate",
     "stress at the edge, psi",
     plate_stress,
     {40, 1, 30e6, 0.3, 6},
     7200,
     0.5,
     LAST,
     READ},
    {"Clamped plate",
     "deflection under a force, in",
     plate_poked,
     {40, 1, 30e6, 0.3, 7539.82},
     0.0874,
     0.00005,
     LAST,
     READ},
    {"Eye and pin",
     "tension beside the hole, N/mm2",
     eye_beside,
     {15000, 16, 32, 20},
     46.88,
     0.00501,
     "46.875 was rounded up",
     READ},
    {"Eye and pin",
     "pressure on the pin, N/mm2",
     pin_pressure,
     {15000, 16, 20},
     46.88,
     0.00501,
     "46.875 was rounded up",
     READ},
    {"Eye and pin",
     "pin that two planes shear, mm",
     pin_diameter,
     {15000, 60},
     12.61,
     0.01,
     "12.6157 was cut, not rounded",
     READ},
    {"Pinned column", "buckling load, kip", column, {29730, 248, 30}, 561.5, 0.05, LAST, READ},
    {"Norton 4-1",
     "coupler, open, deg",
     coupler_angle,
     {40, 120, 80, 100, 40, 1},
     20.298,
     5e-4,
     LAST,
     FROM_MEMORY},
    {"Norton 4-1",
     "rocker, open, deg",
     rocker_angle,
     {40, 120, 80, 100, 40, 1},
     57.325,
     5e-4,
     LAST,
     FROM_MEMORY},
    {"Norton 4-1",
     "coupler, crossed, deg",
     coupler_angle,
     {40, 120, 80, 100, 40, -1},
     -60.98,
     5e-3,
     LAST,
     FROM_MEMORY},
    {"Norton 4-1",
     "rocker, crossed, deg",
     rocker_angle,
     {40, 120, 80, 100, 40, -1},
     -98.01,
     6e-3,
     "-98.00496 was rounded up",
     FROM_MEMORY},
    {"Norton 6-7",
     "coupler's speed, rad/s",
     coupler_speed,
     {40, 120, 80, 100, 40, 1, 25},
     -4.121,
     5e-4,
     LAST,
     FROM_MEMORY},
    {"Norton 6-7",
     "rocker's speed, rad/s",
     rocker_speed,
     {40, 120, 80, 100, 40, 1, 25},
     6.998,
     5e-4,
     LAST,
     FROM_MEMORY},
    {"Norton P4-7a",
     "coupler, open, deg",
     coupler_angle,
     {2, 7, 9, 6, 30, 1},
     88.8,
     0.05,
     LAST,
     FROM_MEMORY},
    {"Norton P4-7a",
     "rocker, open, deg",
     rocker_angle,
     {2, 7, 9, 6, 30, 1},
     117.3,
     0.05,
     LAST,
     FROM_MEMORY},
    {"Norton P4-7a",
     "coupler, crossed, deg",
     coupler_angle,
     {2, 7, 9, 6, 30, -1},
     -115.2,
     0.05,
     LAST,
     FROM_MEMORY},
    {"Norton P4-7a",
     "rocker, crossed, deg",
     rocker_angle,
     {2, 7, 9, 6, 30, -1},
     -143.6,
     0.06,
     "-143.65966 was rounded down",
     FROM_MEMORY},
    {"Meriam 5/8",
     "speed of OA, rad/s",
     loop_crank_speed,
     {0, 100, -75, 0, -175, 50, -1, 2},
     -3.0 / 7,
     1e-12,
     "an exact fraction",
     READ},
    {"Meriam 5/8",
     "speed of AB, rad/s",
     loop_coupler_speed,
     {0, 100, -75, 0, -175, 50, -1, 2},
     -6.0 / 7,
     1e-12,
     "an exact fraction",
     READ},
};
enum { ROWS = sizeof rows / sizeof rows[0] };

static void mechanics(void)
{
    check_rows(rows, ROWS, HW_SOURCE_DIR "/docs/sources/mechanics.md");
    CHECK(ROWS >= 30);
    CHECK(count_read(rows, ROWS) >= 15);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(mechanics);
    return TEST_END();
}
