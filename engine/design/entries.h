// Names of all entries a design document can have. The rows themselves (path, dimension, range,
// default, origin) stand in entries_table.c, in this order; a test holds the two together.
#ifndef HW_DESIGN_ENTRIES_H
#define HW_DESIGN_ENTRIES_H

// Rows before HW_E_SHARED_ROWS exist once, the rows after it once for every digit. Where a row has
// three parts (proximal, middle, distal) the thumb's parts are metacarpal, proximal, distal: joint
// 0, 1, 2 in every digit.
//
// Drive: HW_E_DRIVE_X is the hand's own (drive.x), HW_E_OWN_X a digit's (digits.*.drive.x), which
// repeats the hand's unless the document says otherwise.
// clang-format off
#define HW_DRIVE_ROWS(X)                                                                           \
    X(SERVO_TYPE) X(SERVO_VOLTAGE) X(SERVO_STALL_TORQUE) X(SERVO_NO_LOAD_SPEED)                    \
    X(SERVO_STALL_CURRENT) X(SERVO_NO_LOAD_CURRENT) X(SERVO_MOTION) X(SERVO_TRAVEL) X(SERVO_PLAY)  \
    X(SERVO_MASS) X(SERVO_LENGTH) X(SERVO_WIDTH) X(SERVO_HEIGHT) X(SERVO_EAR_SPAN)                 \
    X(SERVO_EAR_AT) X(SERVO_EAR_THICKNESS) X(SERVO_SHAFT_AT) X(SERVO_STAND_OUT)                    \
    X(SERVO_SPLINE) X(SERVO_HORN) X(SERVO_CABLE) X(SERVO_DRUM_ROOM) X(SERVO_BACK_DRIVE)            \
    X(SERVO_HEAT_CASE) X(SERVO_HEAT_WINDING) X(SERVO_HEAT_TIME)                                    \
    X(SERVO_SCREWS) X(SERVO_SPLINE_TEETH) X(SERVO_SPLINE_DIAMETER)                             \
    X(SERVO_HORN_HUB) X(SERVO_HORN_ARM) X(SERVO_HORN_WIDTH) X(SERVO_HORN_THICKNESS)                \
    X(SERVO_HORN_SCREW_NEAR) X(SERVO_HORN_SCREW_FAR) X(SERVO_HORN_PILOT) X(SERVO_HORN_HEAD)        \
    X(SERVO_COST_LOW) X(SERVO_COST_HIGH) X(SUPPLY) X(WIRE_GAUGE)                   \
    X(WIRE_LENGTH) X(WIRE_PLUGS) X(BRIEF_SHARE)                                                    \
    X(HOLDING_SHARE) X(CLOSE_IN) X(DRUM_RADIUS) X(DRUM_TEETH) X(SPOOL_RADIUS) X(SPOOL_HOLES)       \
    X(PULLEY_RADIUS) X(PULLEY_OFFSET) X(ARRIVAL_OPEN) X(ARRIVAL_CLOSED) X(CORD_TYPE)               \
    X(CORD_DIAMETER) X(CORD_STIFFNESS) X(CORD_STRENGTH) X(CORD_KNOT) X(CORD_ENDS)                  \
    X(CORD_COST_LOW) X(CORD_COST_HIGH) X(SHEATH_TYPE) X(SHEATH_OUTER) X(SHEATH_BORE)               \
    X(SHEATH_MODULUS) X(SHEATH_LENGTH) X(SHEATH_BEND) X(SHEATH_RADIUS) X(SHEATH_CLIPS)             \
    X(SHEATH_MU_LOW) X(SHEATH_MU) X(SHEATH_MU_HIGH) X(SHEATH_COST_LOW) X(SHEATH_COST_HIGH)         \
    X(WRIST_OFFSET) X(WRIST_RANGE) X(WRIST_CORDS) X(PRETENSION) X(RETURN_KIND) X(RETURN_PRELOAD)   \
    X(RETURN_RATE)
// Servos that stand in the palm and move splay or opposition: HW_E_MOVER_X is the hand's own
// (palm.servo.x), HW_E_OWN_MOVER_X a digit's (digits.*.splay.servo.x, the thumb's opposition).
#define HW_MOVER_ROWS(X)                                                                           \
    X(TYPE) X(VOLTAGE) X(STALL_TORQUE) X(NO_LOAD_SPEED) X(STALL_CURRENT) X(NO_LOAD_CURRENT)        \
    X(LENGTH) X(WIDTH) X(HEIGHT) X(EAR_SPAN) X(EAR_AT) X(EAR_THICKNESS) X(SHAFT_AT) X(STAND_OUT)   \
    X(HORN_ARM) X(HORN_WIDTH) X(HORN_HOLE) X(CABLE) X(LEAD) X(SCREWS) X(COST_LOW) X(COST_HIGH)
#define HW_MOVER_SHARED_ID(x) HW_E_MOVER_##x,
#define HW_MOVER_OWN_ID(x) HW_E_OWN_MOVER_##x,
#define HW_DRIVE_SHARED_ID(x) HW_E_DRIVE_##x,
#define HW_DRIVE_OWN_ID(x) HW_E_OWN_##x,
// clang-format on

typedef enum hw_entry_id {
    HW_E_NAME,
    HW_E_REVISION,
    HW_E_NOTE,
    HW_E_SETTING, // hw_setting
    HW_E_HAND_LENGTH,
    HW_E_HAND_BREADTH,
    HW_E_HAND_SIDE, // hw_side
    HW_E_HAND_SEX,  // hw_sex of core/anatomy
    HW_E_HAND_PERCENTILE,
    HW_E_CLOSING_MCP,
    HW_E_CLOSING_PIP,
    HW_E_CLOSING_DIP,
    HW_E_PRINTER_TYPE,
    HW_E_PRINTER_GAP,
    HW_E_PRINTER_LINE,
    HW_E_PRINTER_LAYER,
    HW_E_PRINTER_BED_X,
    HW_E_PRINTER_BED_Y,
    HW_E_PRINTER_BED_Z,
    HW_E_PRINTER_MARGIN,
    HW_E_PRINTER_OVERHANG,
    HW_E_PRINTER_BRIDGE,
    HW_E_PRINTER_SPREAD,
    HW_E_PRINTER_WALLS,
    HW_E_PRINTER_INFILL,
    HW_E_PRINTER_SOLID_LAYERS,
    HW_E_PRINTER_SPEED,
    HW_E_PRINTER_LAYER_CHANGE,
    HW_E_PRINTER_HOP,
    HW_E_PRINTER_START,
    HW_E_FILAMENT_TYPE,
    HW_E_FILAMENT_MODULUS,
    HW_E_FILAMENT_STRENGTH,
    HW_E_FILAMENT_STRENGTH_ACROSS,
    HW_E_FILAMENT_DENSITY,
    HW_E_FILAMENT_DIAMETER,
    HW_E_FILAMENT_SOFTENS,
    HW_E_PIVOT_HALF_ANGLE,
    HW_E_PIVOT_ENGAGEMENT,
    HW_E_PIVOT_BOSS,
    HW_E_PIVOT_GAP,
    HW_E_PIVOT_FACE_GAP,
    HW_E_PIVOT_FRICTION,
    HW_E_PIVOT_STRIP_MODULUS,
    HW_E_LOADS_TIP,
    HW_E_LOADS_PAD,
    HW_E_LOADS_HOOK,
    HW_E_LOADS_KNOCK,
    HW_E_LOADS_SIDE,
    HW_E_POWER_RESISTANCE,
    HW_E_POWER_CURRENT,
    HW_E_ROOM_TEMPERATURE,
    HW_E_GRIP_FRICTION,
    HW_E_GRIP_SAFETY,
    HW_E_PARTS_CHAMFER,
    HW_E_PARTS_ENGRAVING,
    HW_E_CARRIER_SHEATH,
    HW_E_CARRIER_SHEATH_DEPTH,
    HW_E_CARRIER_STOP,
    HW_E_CARRIER_SCREW,
    HW_E_CARRIER_SCREW_DEPTH,
    HW_E_SWITCH_LENGTH,
    HW_E_SWITCH_HEIGHT,
    HW_E_SWITCH_THICKNESS,
    HW_E_SWITCH_LEVER,
    HW_E_SWITCH_PRESSED,
    HW_E_SWITCH_PITCH,
    HW_E_SWITCH_HOLE,
    HW_E_SWITCH_HOLE_DEPTH,
    HW_E_SWITCH_TERMINALS, // hw_present
    HW_E_BUILD_BODY_PARTS,
    HW_E_BUILD_BODY_SCREWS,
    HW_E_BUILD_DRUM_SCREWS,
    HW_E_BUILD_SOLDER_JOINTS,
    HW_E_PALM_LENGTH,
    HW_E_PALM_BREADTH,
    HW_E_PALM_WRIST,
    HW_E_PALM_THICKNESS,
    HW_E_PALM_WRIST_THICKNESS,
    HW_E_PALM_BACK,
    HW_E_PALM_SETBACK,
    HW_E_PALM_EDGE,
    HW_E_PALM_ARCH_RADIUS,
    HW_E_OPPOSITION_TURN,
    HW_E_OPPOSITION_RISE,
    HW_E_OPPOSITION_OPEN,
    HW_E_OPPOSITION_CLOSED,
    HW_E_OPPOSITION_BEHIND,
    HW_E_PALM_WALL,
    HW_E_PALM_ROD,
    HW_E_PALM_SKEW,
    HW_MOVER_ROWS(HW_MOVER_SHARED_ID) HW_E_TUNNEL_WIDTH,
    HW_E_TUNNEL_HEIGHT,
    HW_E_TUNNEL_LENGTH,
    HW_E_TUNNEL_Y,
    HW_E_TUNNEL_Z,
    HW_E_TUNNEL_SPARE,
    HW_E_TUNNEL_LEAD,
    HW_E_WRIST_AXIS,
    HW_E_WRIST_AXIS_Y,
    HW_E_WRIST_AXIS_Z,
    HW_E_WRIST_SPAN,
    HW_E_FOREARM_WAYS,    // hw_forearm_ways
    HW_E_FOREARM_LENGTHS, // hw_forearm_lengths
    HW_E_FOREARM_BEHIND,
    HW_E_FOREARM_Z,
    HW_E_SOCKET_X,
    HW_E_SOCKET_Y,
    HW_E_SOCKET_Z,
    HW_DRIVE_ROWS(HW_DRIVE_SHARED_ID)
        HW_E_SHARED_ROWS,            // how many; also the first row that every digit has
    HW_E_PRESENT = HW_E_SHARED_ROWS, // hw_present
    HW_E_PHALANX_PROXIMAL,
    HW_E_PHALANX_MIDDLE,
    HW_E_PHALANX_DISTAL,
    HW_E_WIDTH,
    HW_E_THICKNESS_PROXIMAL,
    HW_E_THICKNESS_MIDDLE,
    HW_E_THICKNESS_DISTAL,
    HW_E_TIP_THICKNESS,
    HW_E_TRAVEL_OPEN,
    HW_E_TRAVEL_CLOSED,
    HW_E_MECHANISM_KIND,     // in the order of the families of core/digit
    HW_E_MECHANISM_REACH,    // hw_reach
    HW_E_MECHANISM_TOGETHER, // hw_present
    HW_E_BAR_A_ROOT_X,
    HW_E_BAR_A_ROOT_Z,
    HW_E_BAR_A_HORN,
    HW_E_BAR_A_HORN_ANGLE,
    HW_E_BAR_A_WIDTH,
    HW_E_BAR_A_DEPTH, // of one twin
    HW_E_BAR_A_COUNT,
    HW_E_BAR_A_FOOT_AT,
    HW_E_BAR_A_FOOT_LENGTH,
    HW_E_BAR_B_ROOT_X,
    HW_E_BAR_B_ROOT_Z,
    HW_E_BAR_B_HORN,
    HW_E_BAR_B_HORN_ANGLE,
    HW_E_BAR_B_WIDTH,
    HW_E_BAR_B_DEPTH, // of one twin
    HW_E_BAR_B_COUNT,
    HW_E_BAR_B_FOOT_AT,
    HW_E_BAR_B_FOOT_LENGTH,
    HW_E_CORD_ARM_PROXIMAL,
    HW_E_CORD_ARM_MIDDLE,
    HW_E_CORD_ARM_DISTAL,
    HW_E_CORD_RATE_PROXIMAL,
    HW_E_CORD_RATE_MIDDLE,
    HW_E_CORD_RATE_DISTAL,
    HW_E_CORD_PRELOAD_PROXIMAL,
    HW_E_CORD_PRELOAD_MIDDLE,
    HW_E_CORD_PRELOAD_DISTAL,
    HW_E_CORD_TENSION,
    HW_E_STOP_PROXIMAL_OPEN,
    HW_E_STOP_PROXIMAL_CLOSED,
    HW_E_STOP_MIDDLE_OPEN,
    HW_E_STOP_MIDDLE_CLOSED,
    HW_E_STOP_DISTAL_OPEN,
    HW_E_STOP_DISTAL_CLOSED,
    HW_E_BUILD_PARTS,
    HW_E_BUILD_PINS,
    HW_E_LAYERS_ORDER, // in the order of hw_layer_order of core/stack
    HW_E_LAYERS_CHEEK_A,
    HW_E_LAYERS_CHEEK_B,
    HW_E_LAYERS_TANG_A,
    HW_E_LAYERS_TANG_B,
    HW_E_LAYERS_GAP,
    HW_E_LAYERS_WEB,
    HW_E_FORK_DISC_PROXIMAL,
    HW_E_FORK_DISC_MIDDLE,
    HW_E_FORK_DISC_DISTAL,
    HW_E_FORK_SPARE_PROXIMAL,
    HW_E_FORK_SPARE_MIDDLE,
    HW_E_FORK_SPARE_DISTAL,
    HW_E_KEEP_KIND_PROXIMAL, // in the order of hw_pivot_kind of core/pivot
    HW_E_KEEP_KIND_MIDDLE,
    HW_E_KEEP_KIND_DISTAL,
    HW_E_KEEP_BARS, // the first two of them
    HW_E_KEEP_LAND,
    HW_E_KEEP_BASE_PROXIMAL,
    HW_E_KEEP_BASE_MIDDLE,
    HW_E_KEEP_BASE_DISTAL,
    HW_E_KEEP_BAR_BASE,
    HW_E_KEEP_REACH,
    HW_E_KEEP_THICKNESS,
    HW_E_KEEP_WIDTH,
    HW_E_KEEP_FROM,
    HW_E_KEEP_STOP_ARM,
    HW_E_PRINT_FACE, // in the order of hw_bed_face of core/parts
    HW_E_PRINT_FLEXION,
    HW_E_CARRIER_HORN,
    HW_E_CARRIER_LENGTH,
    HW_E_PAD_RECESS,
    HW_E_PAD_MARGIN,
    HW_E_PAD_TEXTURE, // in the order of hw_pad_texture of core/parts
    HW_E_PAD_PITCH,
    HW_E_PAD_DEPTH,
    HW_E_KNUCKLE_X,
    HW_E_KNUCKLE_Y,
    HW_E_KNUCKLE_Z,
    HW_E_KNUCKLE_TURN,
    HW_E_KNUCKLE_RISE,
    HW_E_KNUCKLE_ROLL,
    HW_E_SPLAY_LEAST,
    HW_E_SPLAY_MOST,
    HW_E_SPLAY_BEHIND,
    HW_E_SPLAY_DRIVEN, // hw_present
    HW_E_SLOT_X,
    HW_E_SLOT_Y,
    HW_E_SLOT_Z,
    HW_E_SLOT_SHAFT, // in the order of hw_way of core/palm
    HW_E_SLOT_BODY,
    HW_E_SLOT_HORN,
    HW_E_LEVER_X,
    HW_E_LEVER_Y,
    HW_E_LEVER_Z,
    HW_MOVER_ROWS(HW_MOVER_OWN_ID) HW_DRIVE_ROWS(HW_DRIVE_OWN_ID) HW_E_ROWS
} hw_entry_id;

// Values of the entries that are a choice.
typedef enum hw_setting { HW_SETTING_WORKSHOP, HW_SETTING_CLASSROOM } hw_setting;
typedef enum hw_side { HW_SIDE_RIGHT, HW_SIDE_LEFT } hw_side;
typedef enum hw_motion { HW_MOTION_POSITIONAL, HW_MOTION_CONTINUOUS } hw_motion;
typedef enum hw_wrist_cords { HW_WRIST_ONE_SIDE, HW_WRIST_ASTRIDE } hw_wrist_cords;
typedef enum hw_cord_ends { HW_ENDS_KNOTTED, HW_ENDS_CRIMPED } hw_cord_ends;
typedef enum hw_wrist_axis { HW_WRIST_FLEXION, HW_WRIST_DEVIATION } hw_wrist_axis;
typedef enum hw_forearm_lengths { HW_LENGTHS_TYPED, HW_LENGTHS_ROUTED } hw_forearm_lengths;
typedef enum hw_forearm_ways { HW_WAYS_NONE, HW_WAYS_COMPUTED } hw_forearm_ways;
typedef enum hw_reach { HW_REACH_SERVO, HW_REACH_CORDS } hw_reach;
typedef enum hw_present { HW_PRESENT_NO, HW_PRESENT_YES } hw_present;

#endif
