// The entry table. Anatomy: fractions of hand length from Buchholz, Armstrong & Goldstein 1992,
// Ergonomics 35(3):261-273 (core/anatomy/shares.h); hand
// sizes from Gordon et al. 2014, NATICK/TR-15/007 (computed from the survey's public rows).
#include "design/design_internal.h"

#include "anatomy/shares.h"
#include "base/vec.h"

#include <math.h>

#define MM  1e-3
#define DEG (HW_PI / 180)
#define NMM 1e-3
#define GPA 1e9
#define MPA 1e6

#define PRACTICE "common practice"
#define ANATOMY  "Buchholz, Armstrong & Goldstein 1992, Ergonomics 35(3):261-273"
#define SURVEY                                                                                     \
    "Gordon et al. 2014, NATICK/TR-15/007, the percentile to whole millimetres (half men, half "   \
    "women: 187 and 83 mm)"
#define ROOM_FOR_HORNS                                                                             \
    "common practice: a 6 mm horn and a 3 mm boss need 18 mm at the middle joint of an 84 mm hand"
#define COUPLING                                                                                   \
    "own coupling with bar A pulling and bar B pushing, drawn for joints 22, 18 and 16 mm thick"

// A row of each type: path, then the dimension and range for numbers.
#define TEXT(p) .path = (p), .type = HW_ENTRY_TEXT, .low = NAN, .high = NAN
#define CHOICE(p, list)                                                                            \
    .path = (p), .type = HW_ENTRY_CHOICE, .choices = (list), .low = NAN, .high = NAN
#define ITEM(p, catalogue)                                                                         \
    .path = (p), .type = HW_ENTRY_NAME, .choices = (catalogue), .low = NAN, .high = NAN
#define NUMBER(p, lo, hi, by)                                                                      \
    .path = (p), .type = HW_ENTRY_NUMBER, .low = (lo), .high = (hi), .step = (by)
#define LENGTH(p, lo, hi, by)   NUMBER(p, (lo)*MM, (hi)*MM, (by)*MM), .dim = HW_INIT_LENGTH
#define ANGLE(p, lo, hi, by)    NUMBER(p, (lo)*DEG, (hi)*DEG, (by)*DEG), .dim = HW_INIT_ANGLE
#define FORCE(p, lo, hi, by)    NUMBER(p, lo, hi, by), .dim = HW_INIT_FORCE
#define PRESSURE(p, lo, hi, by) NUMBER(p, lo, hi, by), .dim = HW_INIT_PRESSURE
#define DENSITY(p, lo, hi, by)  NUMBER(p, lo, hi, by), .dim = HW_INIT_DENSITY
#define TORQUE(p, lo, hi, by)   NUMBER(p, lo, hi, by), .dim = HW_INIT_TORQUE
#define RATE(p, lo, hi, by)     NUMBER(p, lo, hi, by), .dim = HW_INIT_JOINT_RATE
#define TIME(p, lo, hi, by)     NUMBER(p, lo, hi, by), .dim = HW_INIT_TIME
#define MASS(p, lo, hi, by)     NUMBER(p, lo, hi, by), .dim = HW_INIT_MASS
#define VOLTAGE(p, lo, hi, by)  NUMBER(p, lo, hi, by), .dim = HW_INIT_VOLTAGE
#define CURRENT(p, lo, hi, by)  NUMBER(p, lo, hi, by), .dim = HW_INIT_CURRENT
#define TURNING(p, lo, hi, by)  NUMBER(p, lo, hi, by), .dim = HW_INIT_TURN_SPEED
#define PART(p, lo, hi, by)     NUMBER(p, lo, hi, by), .dim = HW_INIT_NONE
#define COUNT(p, lo, hi)        .path = (p), .type = HW_ENTRY_COUNT, .low = (lo), .high = (hi)
#define OHM(p, lo, hi, by)      NUMBER(p, lo, hi, by), .dim = HW_INIT_RESISTANCE
#define WARMING(p, lo, hi, by)  NUMBER(p, lo, hi, by), .dim = HW_INIT_WARMING
#define WARMTH(p, lo, hi)       NUMBER(p, (lo) + 273.15, (hi) + 273.15, 0), .dim = HW_INIT_TEMPERATURE
#define TEXT_ROW(p, none)       TEXT(p)

#define BAR      "digits.*.mechanism."
#define LAYERS   "digits.*.layers."
#define FORK     "digits.*.fork."
#define SPARE    "a cheek bends with the cube of a fork's depth"
#define FLAGSHIP "own layout of a 16 mm digit: docs/decisions/0010-flagship-on-paper.md"
// Of the width, for both tangs.
#define LEFT_OVER                                                                                  \
    "digits.*.width - digits.*.layers.cheek.a - digits.*.layers.cheek.b"                           \
    " - digits.*.mechanism.bar_a.count * digits.*.mechanism.bar_a.depth"                           \
    " - digits.*.mechanism.bar_b.count * digits.*.mechanism.bar_b.depth"                           \
    " - (3 + digits.*.mechanism.bar_a.count + digits.*.mechanism.bar_b.count)"                     \
    " * digits.*.layers.gap"

// A segment's share of hand length as the text of an expression: the number is the anatomy's own.
#define TEXT_OF(number)    #number
#define WRITTEN(number)    TEXT_OF(number)
#define OF_LENGTH(segment) WRITTEN(HW_SHARE_##segment) " * hand.length"
#define AXIAL(digit)       WRITTEN(HW_AXIAL_##digit) " * hand.length"
#define ASIDE(digit)       WRITTEN(HW_ASIDE_##digit) " * hand.breadth"

// A row of the drive: the hand's own, and the digit's that repeats it.
#define BOTH(id, key, by_default, from, says, row, ...)                                            \
    [HW_E_DRIVE_##id] = {row("drive." key, __VA_ARGS__), .fallback = (by_default),                 \
                         .origin = (from), .sentence = (says)},                                    \
    [HW_E_OWN_##id] = {row("digits.*.drive." key, __VA_ARGS__), .shared = "drive." key,            \
                       .fallback = "drive." key, .origin = "the hand's own, in the drive section", \
                       .sentence = (says)},
#define SERVO "a standard servo of 10 kgf*cm at 6 V, common practice"
#define HEAT                                                                                       \
    "own estimate, good to a third: a body's surface at 12 W/(m2 K), 0.7 kJ/(kg K); windings "     \
    "from "                                                                                        \
    "memory of small motors"
#define CORD   "braid of 1 mm: own estimate from published braids, 5 to 20 kN once bedded in"
#define MONEY  "common practice of 2026, single pieces, euros from memory; prices differ by half"
#define SHEATH "tube of PTFE, 4 mm outside and 2 mm inside; modulus from memory, 0.4 to 0.6 GPa"

const hw_entry_row hw_entry_table[HW_E_ROWS] = {
    [HW_E_NAME] = {TEXT("name"), .fallback = "unnamed hand", .origin = PRACTICE,
                   .sentence = "What the hand is called on every sheet"},
    [HW_E_REVISION] = {TEXT("revision"), .fallback = "", .origin = PRACTICE,
                       .sentence = "The maker's own mark for this state of the design"},
    [HW_E_NOTE] = {TEXT("note"), .fallback = "", .origin = PRACTICE,
                   .sentence = "Free text that the report repeats"},
    [HW_E_SETTING] = {CHOICE("setting", "workshop|classroom"), .fallback = "workshop",
                      .origin = PRACTICE,
                      .sentence = "Where people meet the hand: it decides the safe forces"},
    [HW_E_HAND_SEX] = {CHOICE("hand.sex", "either|male|female"), .fallback = "either",
                       .origin = PRACTICE,
                       .sentence = "Whose sizes the percentile counts among; either: half of both"},
    [HW_E_HAND_PERCENTILE] =
        {PART("hand.percentile", 0.001, 0.999, 0.05), .fallback = "50 %", .origin = PRACTICE,
         .sentence = "Share of adults whose hands are smaller, for length and breadth below"},
    [HW_E_HAND_LENGTH] = {LENGTH("hand.length", 20, 2000, 0),
                          .fallback = "round(people_length(hand.percentile, hand.sex), 1 mm)",
                          .origin = SURVEY,
                          .sentence = "Wrist crease to the tip of the middle finger"},
    [HW_E_HAND_BREADTH] = {LENGTH("hand.breadth", 10, 1000, 0),
                           .fallback = "round(people_breadth(hand.percentile, hand.sex), 1 mm)",
                           .origin = SURVEY, .sentence = "Across the knuckles of the four fingers"},
    [HW_E_HAND_SIDE] = {CHOICE("hand.side", "right|left"), .fallback = "right", .origin = PRACTICE,
                        .sentence = "Which hand it is"},
    [HW_E_CLOSING_MCP] = {ANGLE("closing.mcp", 1, 180, 0), .fallback = "90 deg",
                          .origin = "norms of active range: MCP 90, PIP 100 degrees",
                          .sentence = "Knuckle angle of the natural closing, its first part"},
    [HW_E_CLOSING_PIP] = {ANGLE("closing.pip", 0, 180, 0), .fallback = "100 deg",
                          .origin = "norms of active range: MCP 90, PIP 100 degrees",
                          .sentence = "Middle joint's angle when the knuckle is at closing.mcp"},
    [HW_E_CLOSING_DIP] = {ANGLE("closing.dip", 0, 180, 0), .fallback = "67 deg",
                          .origin = "DIP follows PIP at 0.65 to 0.75 in published measurements",
                          .sentence = "Last joint's angle when the knuckle is at closing.mcp"},
    [HW_E_PRINTER_TYPE] = {ITEM("printer.type", "printers"), .fallback = "fine nozzle",
                           .origin = PRACTICE,
                           .sentence = "Printer in the catalogue that gives the defaults below"},
    [HW_E_PRINTER_GAP] = {LENGTH("printer.gap", 0.02, 5, 0), .fallback = "0.25 mm",
                          .origin = "common practice: 0.2 to 0.3 mm a side moves freely in PLA",
                          .sentence = "Smallest gap that prints between moving parts, on a side"},
    [HW_E_PRINTER_LINE] = {LENGTH("printer.line", 0.05, 5, 0), .fallback = "0.42 mm",
                           .origin = "common practice: 1.05 of a 0.4 mm nozzle",
                           .sentence = "Width of one printed line"},
    [HW_E_PRINTER_LAYER] = {LENGTH("printer.layer", 0.02, 2, 0), .fallback = "0.2 mm",
                            .origin = "common practice: half of a 0.4 mm nozzle",
                            .sentence = "Height of one printed layer"},
    [HW_E_FILAMENT_TYPE] = {ITEM("filament.type", "filaments"), .fallback = "pla",
                            .origin = PRACTICE,
                            .sentence = "Filament in the catalogue that gives the defaults below"},
    [HW_E_FILAMENT_MODULUS] = {PRESSURE("filament.modulus", 1 * MPA, 400 * GPA, 0),
                               .fallback = "2.5 GPa",
                               .origin = "published data of printed PLA: 2.5 upright, 3.0 flat",
                               .sentence = "Stiffness of the printed material in bending"},
    [HW_E_FILAMENT_STRENGTH] = {PRESSURE("filament.strength", 0.1 * MPA, 5 * GPA, 0),
                                .fallback = "45 MPa",
                                .origin = "published data of printed PLA: yield 45, ultimate 48",
                                .sentence = "Strength along the printed lines"},
    [HW_E_FILAMENT_STRENGTH_ACROSS] =
        {PRESSURE("filament.strength_across", 0.1 * MPA, 5 * GPA, 0), .fallback = "26 MPa",
         .origin = "published data of printed PLA: 26 MPa pulled across the layers",
         .sentence = "Strength across the layers, where prints break"},
    [HW_E_FILAMENT_DENSITY] = {DENSITY("filament.density", 10, 25000, 0), .fallback = "1.24 g/cm3",
                               .origin = "published data of PLA: 1.22 to 1.26 g/cm3",
                               .sentence = "Mass of a solid piece by its volume"},
    [HW_E_FILAMENT_DIAMETER] = {LENGTH("filament.diameter", 0.2, 20, 0), .fallback = "1.75 mm",
                                .origin = PRACTICE,
                                .sentence = "Diameter of the filament: a piece of it pins the "
                                            "tension spool"},
    [HW_E_FILAMENT_SOFTENS] = {WARMTH("filament.softens", -50, 400), .fallback = "52 degC",
                               .origin =
                                   "published data sheet of printed PLA: 51 to 53 degC; other "
                                   "pages 55 to 65",
                               .sentence = "Temperature at which the printed material gives way"},
    [HW_E_PIVOT_HALF_ANGLE] = {ANGLE("pivot.half_angle", 5, 85, 1), .fallback = "45 deg",
                               .origin = "common practice: undersides print cleanly to 45 degrees",
                               .sentence = "Half-angle of the cones, from the joint's axis"},
    [HW_E_PIVOT_ENGAGEMENT] = {LENGTH("pivot.engagement", 0.1, 20, 0.1), .fallback = "2 mm",
                               .origin = "own derivation: what gap and float leave of its land "
                                         "carries 140 N (docs/derivations/seat.md)",
                               .sentence =
                                   "How high a cone stands above its face, land included; it "
                                   "reaches into its socket by that less the gap"},
    [HW_E_PIVOT_BOSS] = {LENGTH("pivot.boss", 0.5, 50, 0.1), .fallback = "3 mm",
                         .origin = "own choice: a bore of 2.4 mm and a line and a half of wall",
                         .sentence = "Radius of the material round a pivot"},
    [HW_E_PIVOT_GAP] = {LENGTH("pivot.gap", 0.02, 5, 0), .fallback = "0.6 * printer.gap",
                        .origin = "steps of 0.2 mm layers leave about 0.15 of a drawn 0.25 mm: "
                                  "docs/decisions/0010-flagship-on-paper.md",
                        .sentence = "Gap left between cone and socket, square to the surface"},
    [HW_E_LOADS_TIP] = {FORCE("loads.tip", 0, 5000, 0), .fallback = "10.5 N",
                        .origin = "Smaby et al. 2004, J Rehabil Res Dev 41(2):215: 9 of 12 daily "
                                  "pinch tasks need less",
                        .sentence = "Palmar push that a digit's tip must bear"},
    [HW_E_LOADS_PAD] = {FORCE("loads.pad", 0, 5000, 0), .fallback = "loads.tip",
                        .origin = "as hard as the tip: a pinch may land on any pad",
                        .sentence = "Palmar push that the middle of any pad must bear"},
    [HW_E_LOADS_HOOK] = {FORCE("loads.hook", 0, 5000, 0), .fallback = "20 N",
                         .origin = "own choice: a bag of 2 kg hung on one digit",
                         .sentence = "Pull that the proximal phalanx must carry"},
    [HW_E_LOADS_KNOCK] = {FORCE("loads.knock", 0, 5000, 0), .fallback = "1.5 N",
                          .origin = "own estimate: a return of 0.08 N*m gives way at 0.5 N on an "
                                    "open tip, 2 N on a closed one",
                          .sentence = "Push on the back of a tip before the digit gives way"},
    [HW_E_POWER_RESISTANCE] =
        {OHM("power.resistance", 0, 10, 0.01), .fallback = "50 mohm",
         .origin = "common practice, from memory: 20 to 80 mohm for a mains supply, 150 to 300 for "
                   "four NiMH cells, lead and plug included",
         .sentence = "Resistance of the supply with the lead that all servos share"},
    [HW_E_POWER_CURRENT] = {CURRENT("power.current", 0.05, 500, 0), .fallback = "10 A",
                            .origin = "common practice: two amperes for each standard servo",
                            .sentence = "Largest current of one supply"},
    [HW_E_ROOM_TEMPERATURE] = {WARMTH("room.temperature", -40, 80), .fallback = "25 degC",
                               .origin = "common practice: a warm room",
                               .sentence = "Temperature round the hand"},
    [HW_E_GRIP_FRICTION] =
        {PART("grip.friction", 0.02, 3, 0.05), .fallback = "0.25",
         .origin = "bare PLA or PETG on household things: from memory 0.2 to 0.5, the safe side; "
                   "TPU 0.4, soft TPU 0.5, silicone 0.7, wet 0.15; measure by tilting",
         .sentence = "Friction of the pads on what they hold"},
    [HW_E_GRIP_SAFETY] = {PART("grip.safety", 1, 10, 0), .fallback = "1.5",
                          .origin = "own choice: 1.5 held still, 2 when moved; people keep 1.1 to "
                                    "1.4",
                          .sentence = "How many times over a grip must bear what it holds"},
    [HW_E_BUILD_BODY_PARTS] = {COUNT("build.body_parts", 0, 100), .fallback = "2",
                               .origin = "common practice: a palm and a forearm",
                               .sentence = "Printed parts beside the digits and drums"},
    [HW_E_BUILD_BODY_SCREWS] = {COUNT("build.body_screws", 0, 200), .fallback = "4",
                                .origin = "common practice: four between palm and forearm",
                                .sentence = "Screws that hold those parts together"},
    [HW_E_BUILD_DRUM_SCREWS] = {COUNT("build.drum_screws", 0, 20), .fallback = "2",
                                .origin = "common practice: two through the servo's horn",
                                .sentence = "Screws that hold a drum to its servo's horn"},
    [HW_E_BUILD_SOLDER_JOINTS] =
        {COUNT("build.solder_joints", 0, 500), .fallback = "4",
         .origin = "common practice: two wires each at the supply's socket and at the switch; "
                   "servos are plugged",
         .sentence = "Joints to solder, all wiring together"},

    [HW_E_PRESENT] = {CHOICE("digits.*.present", "no|yes"), .fallback = "yes", .origin = PRACTICE,
                      .sentence = "Whether the hand has this digit"},
    [HW_E_PHALANX_PROXIMAL] =
        {LENGTH("digits.*.phalanges.proximal", 1, 1000, 0),
         .thumb_path = "digits.*.phalanges.metacarpal",
         .digit_fallback = {OF_LENGTH(THUMB_METACARPAL), OF_LENGTH(INDEX_PROXIMAL),
                            OF_LENGTH(MIDDLE_PROXIMAL), OF_LENGTH(RING_PROXIMAL),
                            OF_LENGTH(LITTLE_PROXIMAL)},
         .origin = ANATOMY, .sentence = "First phalanx (thumb: metacarpal), joint to joint"},
    [HW_E_PHALANX_MIDDLE] = {LENGTH("digits.*.phalanges.middle", 1, 1000, 0),
                             .thumb_path = "digits.*.phalanges.proximal",
                             .digit_fallback = {OF_LENGTH(THUMB_PROXIMAL), OF_LENGTH(INDEX_MIDDLE),
                                                OF_LENGTH(MIDDLE_MIDDLE), OF_LENGTH(RING_MIDDLE),
                                                OF_LENGTH(LITTLE_MIDDLE)},
                             .origin = ANATOMY,
                             .sentence = "Second phalanx (thumb: proximal), joint to joint"},
    [HW_E_PHALANX_DISTAL] = {LENGTH("digits.*.phalanges.distal", 1, 1000, 0),
                             .digit_fallback = {OF_LENGTH(THUMB_DISTAL), OF_LENGTH(INDEX_DISTAL),
                                                OF_LENGTH(MIDDLE_DISTAL), OF_LENGTH(RING_DISTAL),
                                                OF_LENGTH(LITTLE_DISTAL)},
                             .origin = ANATOMY,
                             .sentence = "Last phalanx, joint to the distal end"},
    [HW_E_WIDTH] = {LENGTH("digits.*.width", 1, 600, 0.5),
                    .digit_fallback = {"0.22 * hand.breadth", "0.19 * hand.breadth",
                                       "0.19 * hand.breadth", "0.18 * hand.breadth",
                                       "0.16 * hand.breadth"},
                    .origin = "common practice: less than the knuckles' spacing, 0.20 of breadth",
                    .sentence = "Across the digit, along its joint axes"},
    [HW_E_THICKNESS_PROXIMAL] = {LENGTH("digits.*.thickness.proximal", 1, 600, 0.5),
                                 .thumb_path = "digits.*.thickness.metacarpal",
                                 .digit_fallback = {"0.27 * hand.breadth", "0.262 * hand.breadth",
                                                    "0.262 * hand.breadth", "0.262 * hand.breadth",
                                                    "0.238 * hand.breadth"},
                                 .origin = ROOM_FOR_HORNS,
                                 .sentence = "Palmar to dorsal at the knuckle"},
    [HW_E_THICKNESS_MIDDLE] = {LENGTH("digits.*.thickness.middle", 1, 600, 0.5),
                               .thumb_path = "digits.*.thickness.proximal",
                               .digit_fallback = {"0.25 * hand.breadth", "0.218 * hand.breadth",
                                                  "0.218 * hand.breadth", "0.218 * hand.breadth",
                                                  "0.218 * hand.breadth"},
                               .origin = ROOM_FOR_HORNS,
                               .sentence = "Palmar to dorsal at the second joint"},
    [HW_E_THICKNESS_DISTAL] = {LENGTH("digits.*.thickness.distal", 1, 600, 0.5),
                               .digit_fallback = {"0.22 * hand.breadth", "0.194 * hand.breadth",
                                                  "0.194 * hand.breadth", "0.194 * hand.breadth",
                                                  "0.194 * hand.breadth"},
                               .origin = ROOM_FOR_HORNS,
                               .sentence = "Palmar to dorsal at the last joint"},
    [HW_E_TIP_THICKNESS] = {LENGTH("digits.*.tip_thickness", 0.5, 600, 0.5),
                            .fallback = "0.7 * digits.*.thickness.distal",
                            .origin = "common practice: a tip that reaches under small things",
                            .sentence = "Palmar to dorsal at the distal end"},
    [HW_E_TRAVEL_OPEN] = {ANGLE("digits.*.travel.open", -90, 180, 1), .fallback = "0 deg",
                          .origin = "common practice: open is straight",
                          .sentence = "Angle of the driven knuckle when the digit is open"},
    [HW_E_TRAVEL_CLOSED] = {ANGLE("digits.*.travel.closed", -90, 180, 1), .fallback = "85 deg",
                            .digit_fallback = {"40 deg", NULL, NULL, NULL, NULL},
                            .origin = "norms of active range: knuckle 90 degrees less 5 for the "
                                      "stop; thumb base within its 53 in all",
                            .sentence = "Angle of the driven knuckle when the digit is closed"},
    [HW_E_MECHANISM_KIND] = {CHOICE(BAR "kind", "coupled bars|direct|cord"),
                             .fallback = "coupled bars",
                             .digit_fallback = {"direct", NULL, NULL, NULL, NULL},
                             .origin = PRACTICE,
                             .sentence = "What makes the joints follow each other"},
    [HW_E_BAR_A_ROOT_X] = {LENGTH(BAR "bar_a.root.x", -200, 200, 0.1),
                           .fallback = "0.25 * digits.*.thickness.proximal",
                           .digit_fallback = {NULL, NULL, NULL, NULL,
                                              "0.275 * digits.*.thickness.proximal"},
                           .origin = COUPLING,
                           .sentence = "Bar A's root on the carrier, from the knuckle to the tip"},
    [HW_E_BAR_A_ROOT_Z] = {LENGTH(BAR "bar_a.root.z", -200, 200, 0.1),
                           .fallback = "0.159 * digits.*.thickness.proximal",
                           .digit_fallback = {NULL, NULL, NULL, NULL,
                                              "0.165 * digits.*.thickness.proximal"},
                           .origin = COUPLING,
                           .sentence = "Bar A's root on the carrier, toward the back"},
    [HW_E_BAR_A_HORN] = {LENGTH(BAR "bar_a.horn", 0.5, 200, 0.1),
                         .fallback = "digits.*.thickness.middle / 3", .origin = COUPLING,
                         .sentence = "Arm on the middle phalanx that bar A moves, from its joint"},
    [HW_E_BAR_A_HORN_ANGLE] =
        {ANGLE(BAR "bar_a.horn_angle", -360, 360, 1), .fallback = "-55 deg",
         .digit_fallback = {NULL, NULL, "-54 deg", NULL, "-57 deg"}, .origin = COUPLING,
         .sentence = "Direction of that arm from the phalanx's axis, positive toward the back"},
    [HW_E_BAR_A_WIDTH] = {LENGTH(BAR "bar_a.width", 0.4, 100, 0.1), .fallback = "5 mm",
                          .origin = "common practice: twelve lines",
                          .sentence = "Bar A across its length, in the plane of motion"},
    [HW_E_BAR_A_DEPTH] = {LENGTH(BAR "bar_a.depth", 0.4, 100, 0.1), .fallback = "2.4 mm",
                          .origin = "common practice: 2.4 mm for a wall that carries load",
                          .sentence = "Bar A along the joint axes, one twin"},
    [HW_E_BAR_A_COUNT] = {COUNT(BAR "bar_a.count", 1, 4), .fallback = "1",
                          .origin = "common practice: one in the middle",
                          .sentence = "How many equal bars make up bar A"},
    [HW_E_BAR_A_FOOT_AT] = {LENGTH(BAR "bar_a.foot.at", -300, 1000, 0.5),
                            .fallback = "0.45 * digits.*.phalanges.proximal", .origin = FLAGSHIP,
                            .sentence = "Where bar A's foot on the bed begins, from the knuckle"},
    [HW_E_BAR_A_FOOT_LENGTH] = {LENGTH(BAR "bar_a.foot.length", 0, 300, 0.5),
                                .fallback = "0.13 * digits.*.phalanges.proximal",
                                .origin = "own choice: stands by itself on the bed",
                                .sentence = "How long bar A's foot is"},
    [HW_E_BAR_B_ROOT_X] =
        {LENGTH(BAR "bar_b.root.x", -200, 200, 0.1),
         .fallback = "-0.122 * digits.*.thickness.middle",
         .digit_fallback = {NULL, "-0.117 * digits.*.thickness.middle", NULL, NULL,
                            "-0.106 * digits.*.thickness.middle"},
         .origin = COUPLING,
         .sentence = "Bar B's root on the proximal phalanx, from the second joint to the tip"},
    [HW_E_BAR_B_ROOT_Z] = {LENGTH(BAR "bar_b.root.z", -200, 200, 0.1),
                           .fallback = "-0.144 * digits.*.thickness.middle",
                           .digit_fallback = {NULL, "-0.15 * digits.*.thickness.middle", NULL, NULL,
                                              "-0.167 * digits.*.thickness.middle"},
                           .origin = COUPLING,
                           .sentence = "Bar B's root on the proximal phalanx, toward the back"},
    [HW_E_BAR_B_HORN] = {LENGTH(BAR "bar_b.horn", 0.5, 200, 0.1),
                         .fallback = "0.3125 * digits.*.thickness.distal", .origin = COUPLING,
                         .sentence = "Arm on the distal phalanx that bar B moves, from its joint"},
    [HW_E_BAR_B_HORN_ANGLE] =
        {ANGLE(BAR "bar_b.horn_angle", -360, 360, 1), .fallback = "150 deg",
         .digit_fallback = {NULL, "152 deg", NULL, NULL, NULL}, .origin = COUPLING,
         .sentence = "Direction of that arm from the phalanx's axis, positive toward the back"},
    [HW_E_BAR_B_WIDTH] = {LENGTH(BAR "bar_b.width", 0.4, 100, 0.1), .fallback = "5 mm",
                          .origin = "common practice: twelve lines",
                          .sentence = "Bar B across its length, in the plane of motion"},
    [HW_E_BAR_B_DEPTH] = {LENGTH(BAR "bar_b.depth", 0.4, 100, 0.1), .fallback = "2.4 mm",
                          .origin = "common practice: 2.4 mm for a wall that carries load",
                          .sentence = "Bar B along the joint axes, one twin"},
    [HW_E_BAR_B_COUNT] = {COUNT(BAR "bar_b.count", 1, 4), .fallback = "1",
                          .origin = "beside its wall: docs/decisions/0010-flagship-on-paper.md",
                          .sentence = "How many equal bars make up bar B"},
    [HW_E_BAR_B_FOOT_AT] = {LENGTH(BAR "bar_b.foot.at", -300, 1000, 0.5),
                            .fallback = "0.36 * digits.*.phalanges.middle", .origin = FLAGSHIP,
                            .sentence = "Where bar B's foot on the bed begins, from the second "
                                        "joint"},
    [HW_E_BAR_B_FOOT_LENGTH] = {LENGTH(BAR "bar_b.foot.length", 0, 300, 0.5),
                                .fallback = "0.15 * digits.*.phalanges.middle",
                                .origin = "own choice: stands by itself on the bed",
                                .sentence = "How long bar B's foot is"},
    [HW_E_CORD_ARM_PROXIMAL] = {LENGTH(BAR "cord.arm.proximal", 0.1, 200, 0.1),
                                .thumb_path = BAR "cord.arm.metacarpal",
                                .fallback = "0.36 * digits.*.thickness.proximal",
                                .origin = PRACTICE,
                                .sentence = "Moment arm of the closing cord at the knuckle"},
    [HW_E_CORD_ARM_MIDDLE] = {LENGTH(BAR "cord.arm.middle", 0.1, 200, 0.1),
                              .thumb_path = BAR "cord.arm.proximal",
                              .fallback = "0.33 * digits.*.thickness.middle", .origin = PRACTICE,
                              .sentence = "Moment arm of the closing cord at the second joint"},
    [HW_E_CORD_ARM_DISTAL] = {LENGTH(BAR "cord.arm.distal", 0.1, 200, 0.1),
                              .fallback = "0.28 * digits.*.thickness.distal", .origin = PRACTICE,
                              .sentence = "Moment arm of the closing cord at the last joint"},
    [HW_E_CORD_RATE_PROXIMAL] = {RATE(BAR "cord.rate.proximal", 0, 100, 1 * NMM),
                                 .thumb_path = BAR "cord.rate.metacarpal",
                                 .fallback = "20 N*mm/rad", .origin = PRACTICE,
                                 .sentence = "Rate of the elastic return at the knuckle"},
    [HW_E_CORD_RATE_MIDDLE] = {RATE(BAR "cord.rate.middle", 0, 100, 1 * NMM),
                               .thumb_path = BAR "cord.rate.proximal", .fallback = "16 N*mm/rad",
                               .origin = PRACTICE,
                               .sentence = "Rate of the elastic return at the second joint"},
    [HW_E_CORD_RATE_DISTAL] = {RATE(BAR "cord.rate.distal", 0, 100, 1 * NMM),
                               .fallback = "12 N*mm/rad", .origin = PRACTICE,
                               .sentence = "Rate of the elastic return at the last joint"},
    [HW_E_CORD_PRELOAD_PROXIMAL] = {TORQUE(BAR "cord.preload.proximal", 0, 100, 1 * NMM),
                                    .thumb_path = BAR "cord.preload.metacarpal",
                                    .fallback = "20 N*mm", .origin = PRACTICE,
                                    .sentence = "Torque of that return in the straight digit"},
    [HW_E_CORD_PRELOAD_MIDDLE] = {TORQUE(BAR "cord.preload.middle", 0, 100, 1 * NMM),
                                  .thumb_path = BAR "cord.preload.proximal", .fallback = "12 N*mm",
                                  .origin = PRACTICE,
                                  .sentence = "Torque of that return in the straight digit"},
    [HW_E_CORD_PRELOAD_DISTAL] = {TORQUE(BAR "cord.preload.distal", 0, 100, 1 * NMM),
                                  .fallback = "8 N*mm", .origin = PRACTICE,
                                  .sentence = "Torque of that return in the straight digit"},
    [HW_E_CORD_TENSION] = {FORCE(BAR "cord.tension", 0, 5000, 1), .fallback = "40 N",
                           .origin = "common practice: a servo of 6 kgf*cm at half its stall on a "
                                     "drum of 7 mm",
                           .sentence = "Tension of the closing cord when it grips"},
    [HW_E_STOP_PROXIMAL_OPEN] = {ANGLE(BAR "stops.proximal.open", -90, 180, 1),
                                 .thumb_path = BAR "stops.metacarpal.open",
                                 .fallback = "digits.*.travel.open",
                                 .origin = "the driven knuckle's travel",
                                 .sentence =
                                     "Where the knuckle stops when it opens (direct, cord)"},
    [HW_E_STOP_PROXIMAL_CLOSED] = {ANGLE(BAR "stops.proximal.closed", -90, 180, 1),
                                   .thumb_path = BAR "stops.metacarpal.closed",
                                   .fallback = "digits.*.travel.closed",
                                   .origin = "the driven knuckle's travel",
                                   .sentence = "Where the knuckle stops when it closes (direct, "
                                               "cord)"},
    [HW_E_STOP_MIDDLE_OPEN] = {ANGLE(BAR "stops.middle.open", -90, 180, 1),
                               .thumb_path = BAR "stops.proximal.open", .fallback = "0 deg",
                               .origin = "common practice: open is straight",
                               .sentence = "Where the second joint stops when it opens"},
    [HW_E_STOP_MIDDLE_CLOSED] = {ANGLE(BAR "stops.middle.closed", -90, 180, 1),
                                 .thumb_path = BAR "stops.proximal.closed", .fallback = "95 deg",
                                 .digit_fallback = {"50 deg", NULL, NULL, NULL, NULL},
                                 .origin = "norms of active range: PIP 100 degrees less 5 for the "
                                           "stop; thumb MCP 50",
                                 .sentence = "Where the second joint stops when it closes"},
    [HW_E_STOP_DISTAL_OPEN] = {ANGLE(BAR "stops.distal.open", -90, 180, 1), .fallback = "0 deg",
                               .origin = "common practice: open is straight",
                               .sentence = "Where the last joint stops when it opens"},
    [HW_E_STOP_DISTAL_CLOSED] = {ANGLE(BAR "stops.distal.closed", -90, 180, 1),
                                 .fallback = "65 deg",
                                 .digit_fallback = {"75 deg", NULL, NULL, NULL, NULL},
                                 .origin = "DIP follows PIP at 0.65 to 0.75 in published "
                                           "measurements; thumb IP 80 less 5 for the stop",
                                 .sentence = "Where the last joint stops when it closes"},

    // ---- layers across the digit; side a carries bar A
    [HW_E_LAYERS_ORDER] = {CHOICE(LAYERS "order", "beside|b astride|a astride"),
                           .fallback = "beside", .origin = FLAGSHIP,
                           .sentence = "How the bars lie between the tangs, across the digit"},
    [HW_E_LAYERS_CHEEK_A] = {LENGTH(LAYERS "cheek.a", 0.2, 100, 0.1),
                             .fallback = "0.125 * digits.*.width", .origin = FLAGSHIP,
                             .sentence = "Outer plate of every joint on bar A's side"},
    [HW_E_LAYERS_CHEEK_B] = {LENGTH(LAYERS "cheek.b", 0.2, 100, 0.1),
                             .fallback = "digits.*.layers.cheek.a", .origin = FLAGSHIP,
                             .sentence = "Outer plate of every joint on bar B's side"},
    [HW_E_LAYERS_TANG_A] = {LENGTH(LAYERS "tang.a", 0.2, 200, 0.1),
                            .fallback = "max(3 * printer.line, 0.6 * (" LEFT_OVER "))",
                            .origin = FLAGSHIP,
                            .sentence = "Inner plate on bar A's side (coupled bars)"},
    [HW_E_LAYERS_TANG_B] = {LENGTH(LAYERS "tang.b", 0.2, 200, 0.1),
                            .fallback = "max(3 * printer.line, 0.4 * (" LEFT_OVER "))",
                            .origin = FLAGSHIP,
                            .sentence = "Inner plate on bar B's side (coupled bars)"},
    [HW_E_LAYERS_GAP] = {LENGTH(LAYERS "gap", 0.02, 10, 0), .fallback = "printer.gap",
                         .origin = "what the printer needs to keep two faces apart",
                         .sentence = "Gap between neighbouring layers"},
    [HW_E_LAYERS_WEB] = {LENGTH(LAYERS "web", 0.1, 200, 0.1), .fallback = "4 * printer.line",
                         .origin = "common practice: four lines for a wall that carries load",
                         .sentence = "Strips past a bar that join a phalanx's two sides, from the "
                                     "skin"},
    [HW_E_FORK_DISC_PROXIMAL] = {LENGTH(FORK "disc.proximal", 0.2, 300, 0.1),
                                 .thumb_path = FORK "disc.metacarpal",
                                 .fallback = "1.65 * pivot.boss",
                                 .digit_fallback = {"pivot.boss", NULL, NULL, NULL, NULL},
                                 .origin = "as much as a pivot needs",
                                 .sentence = "Radius of the tang round the knuckle's axis"},
    [HW_E_FORK_DISC_MIDDLE] = {LENGTH(FORK "disc.middle", 0.2, 300, 0.1),
                               .thumb_path = FORK "disc.proximal", .fallback = "pivot.boss",
                               .origin = "as much as a pivot needs",
                               .sentence = "Radius of the tang round the second joint's axis"},
    [HW_E_FORK_DISC_DISTAL] = {LENGTH(FORK "disc.distal", 0.2, 300, 0.1),
                               .fallback = "0.82 * pivot.boss",
                               .origin = "as much as a cone needs and a 5 mm horn beside it leaves",
                               .sentence = "Radius of the tang round the last joint's axis"},
    [HW_E_FORK_SPARE_PROXIMAL] = {LENGTH(FORK "spare.proximal", 0, 300, 0.5),
                                  .thumb_path = FORK "spare.metacarpal", .fallback = "0 mm",
                                  .origin = SPARE,
                                  .sentence = "Depth of the knuckle's fork beyond what sweeps "
                                              "through it"},
    [HW_E_FORK_SPARE_MIDDLE] = {LENGTH(FORK "spare.middle", 0, 300, 0.5),
                                .thumb_path = FORK "spare.proximal", .fallback = "0 mm",
                                .origin = SPARE,
                                .sentence = "Depth of the second joint's fork beyond what sweeps "
                                            "through it"},
    [HW_E_FORK_SPARE_DISTAL] = {LENGTH(FORK "spare.distal", 0, 300, 0.5), .fallback = "0 mm",
                                .origin = SPARE,
                                .sentence = "Depth of the last joint's fork beyond what sweeps "
                                            "through it"},
    [HW_E_BUILD_PARTS] = {COUNT("digits.*.build.parts", 1, 60), .fallback = "1",
                          .digit_fallback = {"3", NULL, NULL, NULL, NULL},
                          .origin = "common practice: printed in place; a thumb with servos at its "
                                    "joints comes in three",
                          .sentence = "Printed parts that the digit comes off the bed in"},
    [HW_E_BUILD_PINS] = {COUNT("digits.*.build.pins", 0, 60), .fallback = "0",
                         .origin = "common practice: printed pivots need none",
                         .sentence = "Pins that are bought and pressed into its joints"},
#include "design/drive_rows.inc"
#include "design/palm_rows.inc"
#include "design/parts_rows.inc"
#include "design/pivot_rows.inc"
#include "design/print_rows.inc"
};
