// From the servo to the knuckle: motor line, drum, cord, sheath, wrist, pulley, return. cord.h,
// sheath.h, servo.h and heat.h hold the single formulas; here they are one chain over a digit's
// stroke.
#ifndef HW_DRIVE_H
#define HW_DRIVE_H

#include "drive/cord.h"
#include "drive/heat.h"
#include "drive/servo.h"
#include "drive/sheath.h"

// What opens the digit again.
typedef enum hw_return_kind {
    HW_RETURN_CORD,   // a second cord in a sheath of its own, on the same drum and pulley
    HW_RETURN_ELASTIC // springs or bands at the joints
} hw_return_kind;

// Coefficients of friction that a cord in a sheath may meet, in rising order.
typedef enum hw_mu { HW_MU_LOW, HW_MU_NOMINAL, HW_MU_HIGH, HW_MUS } hw_mu;

// What the rail leaves a drive's servo. On an ideal rail all voltages are the same and nothing
// resists; core/power/rail.h solves for a real one.
typedef struct hw_drive_rail {
    double rated;          // voltage that the servo's line stands for, > 0 [V]
    double grip;           // at the servo, every drive on the rail at its brief share, >= 0 [V]
    double hold;           // the same at the holding shares, >= 0 [V]
    hw_servo_feed closing; // while the others close too, each at its hardest
    hw_servo_feed alone;   // while the others rest
} hw_drive_rail;

// Everything between the rail and the driven joint. Where `direct` is set the servo sits on the
// joint: only its line, travel, play, shares and close_in count.
typedef struct hw_drive {
    bool direct;
    hw_servo_line servo; // at rail.rated
    hw_drive_rail rail;
    double servo_travel;  // > 0; infinite: turns continuously [rad]
    double servo_play;    // of its gears, end to end, >= 0 [rad]
    double brief_share;   // of the stall torque, for seconds, 0 to 1 [1]
    double holding_share; // of the stall torque, for minutes, 0 to 1 [1]
    double close_in;      // time that the controller takes over a stroke; 0: as fast as it goes [s]
    double drum_radius;   // to the cord's middle, > 0 [m]
    double drum_teeth;    // of the device that sets the pretension; 0: without steps [1]
    double setting_radius; // that this device winds the cord on, > 0 [m]
    double pulley_radius;  // to the cord's middle, > 0 [m]
    double cord_diameter;  // > 0 [m]
    double cord_stiffness; // EA, > 0 [N]
    double cord_strength;  // breaking force without knots, > 0 [N]
    double knot;           // share of it that a knot leaves, 0 to 1 [1]
    double sheath_length;  // of each cord's sheath, > 0 [m]
    double sheath_bend;    // sum of its bends, >= 0 [rad]
    double sheath_radius;  // of the tightest bend, to the sheath's middle [m]
    double sheath_outer;   // diameter [m]
    double sheath_bore;    // diameter, more than the cord's [m]
    double sheath_modulus; // of its material in compression; infinite: rigid [Pa]
    double clip_spacing;   // of the sheath's clips, > 0 [m]
    double mu[HW_MUS];     // cord on sheath, rising, >= 0 [1]
    double wrist_offset;   // of the cords from the wrist's axis, >= 0 [m]
    double wrist_range;    // to either side, >= 0; 0: a fixed wrist [rad]
    bool wrist_astride;    // the two cords lie on both sides of the wrist's axis
    hw_return_kind back;
    double pretension; // of a cord at rest, >= 0; with an elastic return: at the open stop [N]
} hw_drive;

// What the digit asks, pose by pose; arrays of n >= 2.
typedef struct hw_drive_stroke {
    size_t n;
    const double *turn;        // of the driven joint, not falling [rad]
    const double *unit_torque; // for 1 N at the tip, positive where the load opens [N*m]
    const double *back_torque; // of an elastic return, not negative; NULL: none [N*m]
    double tip_load;           // that is to be held at the tip, >= 0 [N]
} hw_drive_stroke;

// Tensions of both cords in balance, and the torque that they leave to the joint. `direct`: the
// torque alone, the rest NaN.
typedef struct hw_drive_pull {
    double drum;    // of the closing cord at the drum [N]
    double pulley;  // of the closing cord at the pulley [N]
    double against; // of the opening cord at the pulley; 0: slack, or none [N]
    double torque;  // of both at the joint [N*m]
} hw_drive_pull;

typedef struct hw_drive_peak {
    double value; // [SI]
    size_t at;    // pose
} hw_drive_peak;

// Poses of the closed half are those from n/2 on. Friction is nominal where nothing else is said.
// What a direct drive has not (cords) is NaN.
typedef struct hw_drive_result {
    hw_drive_pull grip[HW_MUS]; // closing at the brief share, at the pose of `tip`
    hw_drive_pull alone;        // the same with the rail for itself and the least friction
    hw_drive_pull hold[HW_MUS]; // holding at the holding share, at the pose of `held`
    double reversal;            // ratio of drum torques between closing and paying out [1]
    double torque_most;         // at the joint, stalled alone, least friction, no return [N*m]
    hw_drive_peak tip;          // closing: least tip force over the closed half [N]
    hw_drive_peak tip_least;    // closing: least of all poses [N]
    hw_drive_peak tip_most;     // closing: largest of all poses [N]
    double tip_range[HW_MUS];   // `tip` with each friction, at its pose [N]
    hw_drive_peak held;         // holding: least tip force over the closed half [N]
    hw_drive_peak hold_share;   // of the stall torque that holding tip_load takes, most there [1]
    double closing_time;        // free closing; infinite where the servo stalls [s]
    double closing_fastest;     // the same without the controller's limit [s]
    double closing_voltage;     // least at the servo in free closing [V]
    hw_drive_peak busiest;      // largest share of the stall torque in free closing [1]
    double travel_used;         // of the servo, both ways, [rad]
    double travel_spare;        // infinite for a servo that turns continuously [rad]
    double stretch;             // at the brief share: of the cord, more than at rest [m]
    double shortening;          // of the sheath, more than at rest [m]
    double bowing;              // path lost by bowing between clips, more than at rest [m]
    double lag;                 // joint behind the drum in a grip: the sum of these three [rad]
    double dead_band;           // drum's turn without the joint's at a reversal, as joint [rad]
    double play;                // joint's rest by the servo's gears and by a slack cord [rad]
    double hysteresis;          // dead band and play [rad]
    double wrist_shift;         // of the joint, end to end of the wrist's range [rad]
    double wrist_pretension;    // least pretension over it; negative: slack by that much [N]
    double position_error;      // lag, half the hysteresis, half the wrist's shift [rad]
    double cord_safety;         // strength at the knot over the most that a stalled drum bears [1]
    double drum_ratio;          // lesser of drum and pulley diameter over the cord's [1]
    double sheath_ratio;        // tightest bend over the least that the tube bears [1]
    double tension_step;        // one tooth or place of the tension setting; 0: without steps [N]
    double stiffness;           // of one cord with its sheath [N/m]
    double grip_current;        // at the brief share [A]
    double hold_current;        // at the holding share [A]
} hw_drive_result;

// A drive with numbers of common practice on an ideal rail; overwrite what you know. Test:
// test/drive/test_chain.c
hw_drive hw_drive_default(void);

// A result of which nothing is known: every number NaN. Test: test/drive/test_chain.c
hw_drive_result hw_drive_unknown(void);

// Both cords in balance under `drum_force` [N] >= 0, the drum's torque over its radius, with
// friction `mu` >= 0 [1] and an elastic return of `back_torque` >= 0 [N*m] (no meaning for a return
// by cord). `holding`: the joint is pushed back while the drum stands; otherwise the drum winds.
// Closed form: a cord's tension falls exponentially along its sheath, and of a pair the stretches
// add up to what the pretension gave until the opening cord is slack. A direct drive: drum_force is
// the servo's torque. Source: Kaneko et al. 1991 for one cord; the pair: own derivation,
// core/drive/README.md. Test: test/drive/test_pull.c, against pieces of cord added up
void hw_drive_pull_of(const hw_drive *d, double drum_force, double mu, bool holding, // [N] [1]
                      double back_torque, hw_drive_pull *out);                       // [N*m]

// Torque of the servo at `share` [1] of its stall torque while the others on its rail rest: the
// most that the drive can do, for what must not break or hurt. [N*m] Test: test/drive/test_feed.c
double hw_drive_alone(const hw_drive *d, double share); // [1]

// Torque of the servo that moves the unloaded joint toward closed, with friction `mu` and an
// elastic return of `back_torque`. [N*m] Source and test: as there.
double hw_drive_moving(const hw_drive *d, double mu, double back_torque); // [1] [N*m]

// The drum force that holds `torque` [N*m] at the joint with friction `mu` [1]: the inverse of
// hw_drive_pull_of with `holding`; 0 where friction does it alone. [N] Source and test: as there.
double hw_drive_hold_of(const hw_drive *d, double torque, double mu, // [N*m] [1]
                        double back_torque);                         // [N*m]

// The whole chain over a stroke. `tip` and `held` [n] get the tip force of each pose with nominal
// friction, closing at the brief share and held at the holding share; each may be NULL. Where the
// load does not open the digit they are infinite; where return and friction take more than the
// drive has they are negative, by what the tip would have to be helped. Times hold without inertia.
// HW_BAD_INPUT: a number out of its range, or a stroke that turns back; *out is NaN. Accuracy:
// exact for a servo whose speed is straight between poses; a torque that is straight there leaves
// 1e-6 of the time on a rail that sags by a tenth. Source: the formulas' own headers;
// core/drive/README.md. Test: test/drive/test_chain.c, test/drive/test_time.c
HW_MUST_USE hw_code hw_drive_run(const hw_drive *d, const hw_drive_stroke *s, double tip[], // [N]
                                 double held[], hw_drive_result *out);                      // [N]

#endif
