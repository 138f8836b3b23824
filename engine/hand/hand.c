#include "hand/hand_internal.h"

#include <math.h>

// One digit being filled: reads a digit's entry by its row.
typedef struct reader {
    const hw_design *d;
    int digit;
} reader;

static double get(const reader *r, hw_entry_id row)
{
    return hw_design_value(r->d, hw_entry_of(row, r->digit));
}

static hw_bar bar_of(const reader *r, bool a)
{
    double count = get(r, a ? HW_E_BAR_A_COUNT : HW_E_BAR_B_COUNT);
    double depth_one = get(r, a ? HW_E_BAR_A_DEPTH : HW_E_BAR_B_DEPTH);
    return (hw_bar){
        .root = {get(r, a ? HW_E_BAR_A_ROOT_X : HW_E_BAR_B_ROOT_X),
                 get(r, a ? HW_E_BAR_A_ROOT_Z : HW_E_BAR_B_ROOT_Z)},
        .horn = get(r, a ? HW_E_BAR_A_HORN : HW_E_BAR_B_HORN),
        .horn_angle = get(r, a ? HW_E_BAR_A_HORN_ANGLE : HW_E_BAR_B_HORN_ANGLE),
        .width = get(r, a ? HW_E_BAR_A_WIDTH : HW_E_BAR_B_WIDTH),
        .depth_one = depth_one,
        .depth = depth_one * count,
    };
}

// Rows that stand for proximal, middle, distal in turn.
static void get3(const reader *r, const hw_entry_id row[HW_JOINTS], double out[HW_JOINTS]) // [SI]
{
    for (int j = 0; j < HW_JOINTS; j++) out[j] = get(r, row[j]);
}

static hw_cord cord_of(const reader *r)
{
    hw_cord c;
    get3(r,
         (const hw_entry_id[]){HW_E_CORD_ARM_PROXIMAL, HW_E_CORD_ARM_MIDDLE, HW_E_CORD_ARM_DISTAL},
         c.arm);
    get3(r,
         (const hw_entry_id[]){HW_E_CORD_RATE_PROXIMAL, HW_E_CORD_RATE_MIDDLE,
                               HW_E_CORD_RATE_DISTAL},
         c.spring_rate);
    get3(r,
         (const hw_entry_id[]){HW_E_CORD_PRELOAD_PROXIMAL, HW_E_CORD_PRELOAD_MIDDLE,
                               HW_E_CORD_PRELOAD_DISTAL},
         c.spring_preload);
    c.tension = get(r, HW_E_CORD_TENSION);
    return c;
}

static hw_digit digit_of(const reader *r, double modulus) // [Pa]
{
    static const hw_family_kind family[] = {HW_FAMILY_COUPLED_BARS, HW_FAMILY_DIRECT,
                                            HW_FAMILY_CORD};
    static const hw_entry_id stop[HW_JOINTS][2] = {
        {HW_E_STOP_PROXIMAL_OPEN, HW_E_STOP_PROXIMAL_CLOSED},
        {HW_E_STOP_MIDDLE_OPEN, HW_E_STOP_MIDDLE_CLOSED},
        {HW_E_STOP_DISTAL_OPEN, HW_E_STOP_DISTAL_CLOSED}};
    hw_digit g = hw_digit_default();
    g.family = family[(int)get(r, HW_E_MECHANISM_KIND)];
    get3(r, (const hw_entry_id[]){HW_E_PHALANX_PROXIMAL, HW_E_PHALANX_MIDDLE, HW_E_PHALANX_DISTAL},
         g.phalanx);
    get3(r,
         (const hw_entry_id[]){HW_E_THICKNESS_PROXIMAL, HW_E_THICKNESS_MIDDLE,
                               HW_E_THICKNESS_DISTAL},
         g.thickness);
    g.tip_thickness = get(r, HW_E_TIP_THICKNESS);
    g.width = get(r, HW_E_WIDTH);
    g.travel[0] = get(r, HW_E_TRAVEL_OPEN);
    g.travel[1] = get(r, HW_E_TRAVEL_CLOSED);
    for (int j = 0; j < HW_JOINTS; j++)
        for (int end = 0; end < 2; end++) g.joint_travel[j][end] = get(r, stop[j][end]);
    g.bar[0] = bar_of(r, true);
    g.bar[1] = bar_of(r, false);
    g.cord = cord_of(r);
    g.pivot_radius = get(r, HW_E_PIVOT_BOSS);
    // A gap g between cones of half-angle a, measured square to their surface, lets the joint move
    // g / cos a sideways.
    g.pivot_play = get(r, HW_E_PIVOT_GAP) / cos(get(r, HW_E_PIVOT_HALF_ANGLE));
    g.modulus = modulus;
    g.thumb = r->digit == HW_THUMB;
    return g;
}

static hw_servo_line servo_of(const reader *r)
{
    return (hw_servo_line){.stall_torque = get(r, HW_E_OWN_SERVO_STALL_TORQUE),
                           .no_load_speed = get(r, HW_E_OWN_SERVO_NO_LOAD_SPEED),
                           .stall_current = get(r, HW_E_OWN_SERVO_STALL_CURRENT),
                           .no_load_current = get(r, HW_E_OWN_SERVO_NO_LOAD_CURRENT)};
}

static hw_servo_heat heat_of(const reader *r)
{
    return (hw_servo_heat){.resistance = get(r, HW_E_OWN_SERVO_VOLTAGE) /
                                         get(r, HW_E_OWN_SERVO_STALL_CURRENT),
                           .winding = get(r, HW_E_OWN_SERVO_HEAT_WINDING),
                           .outside = get(r, HW_E_OWN_SERVO_HEAT_CASE),
                           .time = get(r, HW_E_OWN_SERVO_HEAT_TIME),
                           .room = hw_design_value(r->d, hw_entry_of(HW_E_ROOM_TEMPERATURE, -1))};
}

static hw_drive drive_of(const reader *r, const hw_digit *g)
{
    bool turns = (int)get(r, HW_E_OWN_SERVO_MOTION) == HW_MOTION_CONTINUOUS;
    bool elastic = (int)get(r, HW_E_OWN_RETURN_KIND) == HW_RETURN_ELASTIC;
    bool over_joints = g->family == HW_FAMILY_CORD;
    return (hw_drive){
        .direct =
            g->family == HW_FAMILY_DIRECT && (int)get(r, HW_E_MECHANISM_REACH) == HW_REACH_SERVO,
        .servo = servo_of(r),
        .servo_travel = turns ? (double)INFINITY : get(r, HW_E_OWN_SERVO_TRAVEL),
        .servo_play = get(r, HW_E_OWN_SERVO_PLAY),
        .brief_share = get(r, HW_E_OWN_BRIEF_SHARE),
        .holding_share = get(r, HW_E_OWN_HOLDING_SHARE),
        .close_in = get(r, HW_E_OWN_CLOSE_IN),
        .drum_radius = get(r, HW_E_OWN_DRUM_RADIUS),
        .drum_teeth = get(r, HW_E_OWN_DRUM_TEETH),
        .setting_radius = get(r, HW_E_OWN_DRUM_RADIUS),
        .pulley_radius = over_joints ? g->cord.arm[0] : get(r, HW_E_OWN_PULLEY_RADIUS),
        .cord_diameter = get(r, HW_E_OWN_CORD_DIAMETER),
        .cord_stiffness = get(r, HW_E_OWN_CORD_STIFFNESS),
        .cord_strength = get(r, HW_E_OWN_CORD_STRENGTH),
        .knot = get(r, HW_E_OWN_CORD_KNOT),
        .sheath_length = get(r, HW_E_OWN_SHEATH_LENGTH),
        .sheath_bend = get(r, HW_E_OWN_SHEATH_BEND),
        .sheath_radius = get(r, HW_E_OWN_SHEATH_RADIUS),
        .sheath_outer = get(r, HW_E_OWN_SHEATH_OUTER),
        .sheath_bore = get(r, HW_E_OWN_SHEATH_BORE),
        .sheath_modulus = get(r, HW_E_OWN_SHEATH_MODULUS),
        .clip_spacing = get(r, HW_E_OWN_SHEATH_CLIPS),
        .mu = {get(r, HW_E_OWN_SHEATH_MU_LOW), get(r, HW_E_OWN_SHEATH_MU),
               get(r, HW_E_OWN_SHEATH_MU_HIGH)},
        .wrist_offset = get(r, HW_E_OWN_WRIST_OFFSET),
        .wrist_range = get(r, HW_E_OWN_WRIST_RANGE),
        .wrist_astride = (int)get(r, HW_E_OWN_WRIST_CORDS) == HW_WRIST_ASTRIDE,
        .back = elastic || over_joints ? HW_RETURN_ELASTIC : HW_RETURN_CORD,
        .pretension = get(r, HW_E_OWN_PRETENSION),
    };
}

static hw_layers layers_of(const reader *r, const hw_digit *g)
{
    hw_layers_def f = {
        .order = (hw_layer_order)(int)get(r, HW_E_LAYERS_ORDER),
        .count = {(size_t)get(r, HW_E_BAR_A_COUNT), (size_t)get(r, HW_E_BAR_B_COUNT)},
        .cheek = {get(r, HW_E_LAYERS_CHEEK_A), get(r, HW_E_LAYERS_CHEEK_B)},
        .tang = {get(r, HW_E_LAYERS_TANG_A), get(r, HW_E_LAYERS_TANG_B)},
        .gap = get(r, HW_E_LAYERS_GAP),
        .line = get(r, HW_E_PRINTER_LINE),
        .web = get(r, HW_E_LAYERS_WEB),
        .block = get(r, HW_E_CARRIER_LENGTH),
        .foot_at = {get(r, HW_E_BAR_A_FOOT_AT), get(r, HW_E_BAR_B_FOOT_AT)},
        .foot_length = {get(r, HW_E_BAR_A_FOOT_LENGTH), get(r, HW_E_BAR_B_FOOT_LENGTH)},
        .half_angle = get(r, HW_E_PIVOT_HALF_ANGLE),
        .engagement = get(r, HW_E_PIVOT_ENGAGEMENT),
    };
    get3(r,
         (const hw_entry_id[]){HW_E_KEEP_BASE_PROXIMAL, HW_E_KEEP_BASE_MIDDLE,
                               HW_E_KEEP_BASE_DISTAL},
         f.base);
    f.bar_base = get(r, HW_E_KEEP_BAR_BASE);
    f.tip = fmax(f.bar_base - f.engagement * tan(f.half_angle), 0);
    double land = get(r, HW_E_KEEP_LAND);
    for (int j = 0; j < HW_JOINTS; j++)
        if (hw_hand_pivot_kind(r->d, r->digit, j) == HW_PIVOT_LAND) f.land[j] = land;
    if ((int)get(r, HW_E_KEEP_BARS) == HW_PIVOT_LAND) f.bar_land = land;
    get3(r,
         (const hw_entry_id[]){HW_E_FORK_DISC_PROXIMAL, HW_E_FORK_DISC_MIDDLE,
                               HW_E_FORK_DISC_DISTAL},
         f.disc);
    get3(r,
         (const hw_entry_id[]){HW_E_FORK_SPARE_PROXIMAL, HW_E_FORK_SPARE_MIDDLE,
                               HW_E_FORK_SPARE_DISTAL},
         f.spare);
    hw_layers out;
    // Faulty numbers leave no layers, and the digit's own finding names the fault.
    if (hw_layers_of(&f, g, &out) != HW_OK) out.n = 0;
    return out;
}

static hw_making making_of(const reader *r)
{
    return (hw_making){
        .parts = get(r, HW_E_BUILD_PARTS),
        .pins = get(r, HW_E_BUILD_PINS),
        .servo_screws = get(r, HW_E_OWN_SERVO_SCREWS),
        .crimped = (int)get(r, HW_E_OWN_CORD_ENDS) == HW_ENDS_CRIMPED,
        .servo_cost = {get(r, HW_E_OWN_SERVO_COST_LOW), get(r, HW_E_OWN_SERVO_COST_HIGH)},
        .cord_cost = {get(r, HW_E_OWN_CORD_COST_LOW), get(r, HW_E_OWN_CORD_COST_HIGH)},
        .sheath_cost = {get(r, HW_E_OWN_SHEATH_COST_LOW), get(r, HW_E_OWN_SHEATH_COST_HIGH)},
    };
}

void hw_hand_build(const hw_design *d, hw_hand *out)
{
    hw_hand_build_like(d, NULL, false, out);
}

void hw_hand_build_like(const hw_design *d, const hw_hand *like, bool keep, hw_hand *out)
{
    reader all = {d, -1};
    *out = (hw_hand){
        .length = get(&all, HW_E_HAND_LENGTH),
        .breadth = get(&all, HW_E_HAND_BREADTH),
        .left = (int)get(&all, HW_E_HAND_SIDE) == HW_SIDE_LEFT,
        .classroom = (int)get(&all, HW_E_SETTING) == HW_SETTING_CLASSROOM,
        .loads = {get(&all, HW_E_LOADS_TIP), get(&all, HW_E_LOADS_PAD), get(&all, HW_E_LOADS_HOOK),
                  get(&all, HW_E_LOADS_KNOCK), get(&all, HW_E_LOADS_SIDE)},
        .modulus = get(&all, HW_E_FILAMENT_MODULUS),
        .strength = get(&all, HW_E_FILAMENT_STRENGTH),
        .strength_across = get(&all, HW_E_FILAMENT_STRENGTH_ACROSS),
        .softens = get(&all, HW_E_FILAMENT_SOFTENS),
        .gap = get(&all, HW_E_PRINTER_GAP),
        .line = get(&all, HW_E_PRINTER_LINE),
        .layer = get(&all, HW_E_PRINTER_LAYER),
        .friction = get(&all, HW_E_GRIP_FRICTION),
        .grip_safety = get(&all, HW_E_GRIP_SAFETY),
        .build = {get(&all, HW_E_BUILD_BODY_PARTS), get(&all, HW_E_BUILD_BODY_SCREWS),
                  get(&all, HW_E_BUILD_DRUM_SCREWS), get(&all, HW_E_BUILD_SOLDER_JOINTS)},
        .cone_half_angle = get(&all, HW_E_PIVOT_HALF_ANGLE),
        .cone_engagement = get(&all, HW_E_PIVOT_ENGAGEMENT),
    };
    // lengths that were read are sound; others would leave NaN, and the findings unknown
    if (hw_hand_shape_of(out->length, out->breadth, &out->person) != HW_OK)
        out->person.length = NAN;
    get3(&all, (const hw_entry_id[]){HW_E_CLOSING_MCP, HW_E_CLOSING_PIP, HW_E_CLOSING_DIP},
         out->law);
    for (int i = 0; i < HW_DIGITS; i++) {
        reader r = {d, i};
        out->present[i] = (int)get(&r, HW_E_PRESENT) == HW_PRESENT_YES;
        out->digit[i] = digit_of(&r, out->modulus);
        out->drive[i] = drive_of(&r, &out->digit[i]);
        out->heat[i] = heat_of(&r);
        out->back_drive[i] = get(&r, HW_E_OWN_SERVO_BACK_DRIVE);
        out->making[i] = making_of(&r);
        out->return_preload[i] = get(&r, HW_E_OWN_RETURN_PRELOAD);
        out->return_rate[i] = get(&r, HW_E_OWN_RETURN_RATE);
        out->layers[i] = layers_of(&r, &out->digit[i]);
        bool direct = out->digit[i].family == HW_FAMILY_DIRECT;
        out->together[i] = direct && (int)get(&r, HW_E_MECHANISM_TOGETHER) == HW_PRESENT_YES;
        out->servos[i] = !direct ? 1 : out->together[i] ? HW_JOINTS - 1 : HW_JOINTS;
        hw_hand_pivots(d, i, out);
        hw_hand_fit(d, i, out);
    }
    hw_palm_def palm;
    hw_hand_palm(d, out, &palm);
    // faulty numbers leave NaN, and the findings unknown
    hw_code laid = hw_palm_of(&palm, &out->palm);
    (void)laid;
    hw_hand_places(d, like ? &like->places : NULL, keep, out);
    hw_hand_rails(d, out);
}
