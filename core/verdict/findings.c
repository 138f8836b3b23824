// The findings tables, one a room. Limits here are defaults: a design's `requirements` replace
// them.
#include "verdict/verdict.h"

#include <math.h>
#include <string.h>

#define DEG  (3.14159265358979323846 / 180)
#define MM   1e-3
#define NONE NAN
#define HOUR 3600.0
#define MADE hw_finding_made // in the last column

#define DIGIT true
#define HAND  false

const char hw_finding_made[] = "handwright make computes it, from the parts as they are sliced";

static const char grip_how[] = "hulls of the parts, 33 stances of the pattern (engine/make)";
static const char grip_why[] =
    "digits that run into each other hold neither; patterns of Light, Chappell & Kyberd 2002";

static const hw_finding_kind kinds[] = {
    // ---- digit and stroke
    // -------------------------------------------------------------------------------------------------
    {"closes", "travel reached before a dead point", DIGIT, HW_INIT_NONE, "%", 1.0, NONE, 0.1,
     "closure of both loops, dead points located between poses (core/stroke/events.c)",
     "a digit that meets a dead point does not close", NULL},
    {"transmission", "least transmission angle over the stroke", DIGIT, HW_INIT_ANGLE, "deg",
     30 * DEG, NONE, 10 * DEG,
     "angle between coupler and follower of each loop (Norton, Design of Machinery, ch. 4)",
     "30 deg for light duty, 40 deg is comfortable: Norton, from memory", NULL},
    {"natural_angle", "PIP and DIP beside natural closing, RMS", DIGIT, HW_INIT_ANGLE, "deg", NONE,
     10 * DEG, 10 * DEG,
     "RMS over the stroke at equal knuckle angle, law of closing.mcp : pip : dip",
     "people's own DIP strays 6 to 18 deg from a fixed law: Roda-Sales, Sancho-Bru & Vergara 2022",
     NULL},
    {"tip_path", "tip path beside natural closing, RMS, of digit length", DIGIT, HW_INIT_NONE, "%",
     NONE, 0.05, 0.05,
     "RMS nearest distance of the tip path to the law's, over the digit's length "
     "(core/stroke/closing.c)",
     "5 mm on a digit of 100 mm: twice the 2.3 mm misfit of human paths, Kamper, Cruz & Siegel "
     "2003",
     NULL},
    {"spiral", "tangent-radius angle of the tip path's spiral", DIGIT, HW_INIT_ANGLE, "deg",
     70 * DEG, 80 * DEG, 5 * DEG,
     "equiangular spiral with free pole fitted to the tip path (core/stroke/spiral.c)",
     "proportional closing of human lengths gives 73 to 77 deg (docs/sources/anatomy.md)", NULL},
    {"wrap_gap", "gap left at a phalanx round 30 to 70 mm cylinders", DIGIT, HW_INIT_LENGTH, "mm",
     NONE, 12 * MM, 6 * MM,
     "first touch of a cylinder while closing; largest gap then (core/stroke/wrap.c)",
     "common practice: a soft pad reaches over a few millimetres", NULL},
    {"pip_pin_mid", "PIP pin load per newton at the tip, mid-stroke", DIGIT, HW_INIT_NONE, "N/N",
     NONE, 8.0, 4.0, "balances of every phalanx, load square to the distal end (core/digit)",
     "the best of four layouts reaches 5, the poor ones 11 to 14 "
     "(docs/decisions/0010-flagship-on-paper.md)",
     NULL},
    {"pip_pin_worst", "PIP pin load per newton at the tip, worst pose", DIGIT, HW_INIT_NONE, "N/N",
     NONE, 15.0, 5.0, "balances of every phalanx, load square to the distal end (core/digit)",
     "the best of four layouts reaches 11, the poor ones 15 to 20 "
     "(docs/decisions/0010-flagship-on-paper.md)",
     NULL},
    {"pin_load", "largest pin force of all load cases", DIGIT, HW_INIT_FORCE, "N", NONE, 150.0,
     50.0, "balances under every load case at every pose (core/stroke/cases.c)",
     "a 1.2 mm cone in a 2 mm cheek 8 mm deep is half out near 125 N: beam estimate "
     "(core/verdict/README.md)",
     NULL},
    {"bar_buckling", "share of a bar's buckling load used", DIGIT, HW_INIT_NONE, "%", NONE, 0.5,
     0.5, "Euler column, pinned ends, weak axis, printed modulus (core/linkage)",
     "twofold safety for a push that passes: common practice", NULL},
    {"bar_stress", "share of a bar's strength used", DIGIT, HW_INIT_NONE, "%", NONE, 1.0 / 3,
     1.0 / 3, "axial force over the section of the bar's shank",
     "a third of strength against creep: docs/sources/printing.md, Creep", NULL},
    {"slop_pip", "play of the PIP, peak to peak", DIGIT, HW_INIT_ANGLE, "deg", NONE, 15 * DEG,
     6 * DEG, "2 c sqrt(n) / (h sin mu) over the stroke (core/stroke/slop.c)",
     "own choice: about half again what horns of 6 and 5 mm give", NULL},
    {"slop_dip", "play of the DIP, peak to peak", DIGIT, HW_INIT_ANGLE, "deg", NONE, 25 * DEG,
     6 * DEG, "2 c sqrt(n) / (h sin mu) over the stroke (core/stroke/slop.c)",
     "own choice: about half again what horns of 6 and 5 mm give", NULL},
    {"slop_tip", "tip wobble unloaded, peak to peak", DIGIT, HW_INIT_LENGTH, "mm", NONE, 20 * MM,
     5 * MM, "joints' play added through their arms (core/stroke/slop.c)",
     "own choice: above, an unloaded tip strays further than a pad is long", NULL},
    {"horn_room", "room round the horns' pivots inside the digit", DIGIT, HW_INIT_LENGTH, "mm", 0.0,
     NONE, 1 * MM, "half the joint's thickness less horn and boss (core/digit)",
     "a pivot must lie inside the digit", NULL},
    {"stable_share", "share of contact places that grip stably", DIGIT, HW_INIT_NONE, "%", 0.5,
     NONE, 0.25, "no negative phalanx force, f = J^-T T^-T t (Birglen, Laliberte & Gosselin 2008)",
     "own choice: of all postures, odd ones too; cord digits reach 0.42 at best "
     "(examples/README.md)",
     NULL},
    {"least_contact", "smallest phalanx force, mid-pad contacts", DIGIT, HW_INIT_FORCE, "N", 0.0,
     NONE, 1.0,
     "f = J^-T T^-T t over the closed half of the stroke (Birglen, Laliberte & Gosselin 2008)",
     "a negative force throws the object out", NULL},
    // ---- drive
    // -----------------------------------------------------------------------------------------------------------
    {"tip_force", "force at the tip that the drive delivers", DIGIT, HW_INIT_FORCE, "N", 8.0, NONE,
     4.0,
     "brief share of stall through drum, cord, sheath and pulley, least over the closed half of "
     "the "
     "travel (core/drive)",
     "9 of 12 daily pinch tasks need less than 10.5 N: Smaby et al. 2004", NULL},
    {"tip_force_held", "force at the tip that the drive holds", DIGIT, HW_INIT_FORCE, "N", 8.0,
     NONE, 4.0,
     "holding share of stall, the sheath's friction helping, least over the closed half of the "
     "travel (core/drive)",
     "what can be gripped should be held: as tip_force", NULL},
    {"hold_share", "share of the stall torque that holding takes", DIGIT, HW_INIT_NONE, "%", NONE,
     1.0 / 3, 1.0 / 6,
     "loads.tip through pulley, sheath and drum, the sheath's friction helping (core/drive)",
     "a third of stall for as long as it likes: common practice", NULL},
    {"closing_time", "time to close", DIGIT, HW_INIT_TIME, "s", 0.8, 1.5, 0.4,
     "servo line at its voltage, integrated over return and friction, or the controller's limit "
     "(core/drive)",
     "common practice: slow enough to see it coming, quick enough to be of use", NULL},
    {"travel_spare", "travel that the servo has to spare", DIGIT, HW_INIT_ANGLE, "deg", 0.0, NONE,
     20 * DEG, "stroke, stretch in a grip, dead band, play and wrist, at the drum (core/drive)",
     "a servo at its stop closes no further", NULL},
    {"cord_pull", "share of mechanism.cord.tension that the drive brings", DIGIT, HW_INIT_NONE, "%",
     1.0, NONE, 0.25, "brief share of stall through drum and sheath (core/drive)",
     "less tension grips less than was computed", NULL},
    {"hysteresis", "joint's rest at a reversal of the drive", DIGIT, HW_INIT_ANGLE, "deg", NONE,
     5 * DEG, 2 * DEG, "friction's dead band, servo's play and slack, unloaded (core/drive)",
     "own choice: half of what a PIP has in its own play", NULL},
    {"position_error", "joint behind the drive in a grip", DIGIT, HW_INIT_ANGLE, "deg", NONE,
     20 * DEG, 5 * DEG,
     "stretch of cord and sheath, bowing, half of hysteresis and of the wrist's shift (core/drive)",
     "own choice: a quarter of a knuckle's travel", NULL},
    {"wrist_pretension", "least pretension of a cord over the wrist's range", DIGIT, HW_INIT_FORCE,
     "N", 1.0, NONE, 2.0, "pretension less stiffness times offset times angle (core/drive)",
     "a slack cord jumps off its drum: common practice", NULL},
    {"cord_safety", "strength of the knotted cord over its largest pull", DIGIT, HW_INIT_NONE,
     "N/N", 3.0, NONE, 1.0,
     "a load that turns the stalled drum back, friction adding to it (core/drive)",
     "own choice: three for braid, which wears at its knots", NULL},
    {"drum_ratio", "drum or pulley diameter over the cord's", DIGIT, HW_INIT_NONE, "mm/mm", 8.0,
     NONE, 2.0, "the smaller of the two", "fibre cord from 8 on: common practice", NULL},
    {"sheath_ratio", "tightest bend over what the sheath bears", DIGIT, HW_INIT_NONE, "mm/mm", 1.4,
     NONE, 0.2, "outer diameter squared over the wall: a tube catalogue's rule",
     "makers' tested tubes bear 1.0 to 1.4 times the rule: docs/sources/mechanics.md", NULL},
    {"tension_step", "step of the tension setting", DIGIT, HW_INIT_FORCE, "N", NONE, 3.0, 1.0,
     "stiffness of the loop times the drum's path over one tooth (core/drive)",
     "own choice: less than half the pretension", NULL},
    {"pulley_room", "room for the cord on its pulley inside the knuckle", DIGIT, HW_INIT_LENGTH,
     "mm", 0.0, NONE, 1 * MM,
     "half the knuckle's thickness, or the carrier's front less a gap, less pulley and half a "
     "cord; "
     "or what layer or rim lack (core/parts)",
     "the cord must lie inside the skin, in a groove that holds it", NULL},
    {"switch_room", "room for the home switch in the carrier", DIGIT, HW_INIT_LENGTH, "mm", 0.0,
     NONE, 1 * MM,
     "least of what is left behind, above and beside the switch's seat, less walls (core/parts)",
     "without room it is not made, and the drive has no place to begin from", NULL},
    {"pocket_room", "room for the servo's horn in the carrier", DIGIT, HW_INIT_LENGTH, "mm", 0.0,
     NONE, 1 * MM, "least of what is left along and across the horn, less walls (core/parts)",
     "without room its pocket is not made, and screws hold the carrier", NULL},
    {"cord_creep", "share of a cord's strength that is held on", DIGIT, HW_INIT_NONE, "%", NONE,
     0.2, 0.1, "pull at the pulley at the holding share, most friction (core/drive)",
     "lasting pull at most a fifth of the breaking force: a rope maker's advice "
     "(docs/sources/mechanics.md)",
     NULL},
    {"case_heat", "print's softening point above the servo's case, held on", DIGIT,
     HW_INIT_TEMPERATURE, "K", 10.0, NONE, 10.0,
     "windings and case warmed by the holding share (core/drive/heat.c)",
     "own choice: the resistances are good to a third", NULL},
    {"grip_time", "time at the brief share before its case softens the print", DIGIT, HW_INIT_TIME,
     "s", 60.0, NONE, 60.0, "the case warming up from the room's temperature (core/drive/heat.c)",
     "own choice: a minute to let go", NULL},
    // ---- stack
    // -------------------------------------------------------------------------------------------------
    {"layer_sum", "width left beside layers and gaps", DIGIT, HW_INIT_LENGTH, "mm", 0.0, NONE,
     0.5 * MM, "sum of all layers and the gaps between them (core/stack)",
     "layers must lie inside the digit", NULL},
    {"pivot_room", "room for pivots beyond what they need", DIGIT, HW_INIT_LENGTH, "mm", 0.0, NONE,
     1 * MM, "arms and walls against four lines, tangs against cone and one line (core/stack)",
     "common practice: a wall that carries load has four lines", NULL},
    {"socket_spacing", "least distance of two sockets in one layer", DIGIT, HW_INIT_LENGTH, "mm",
     5 * MM, NONE, 1 * MM, "from pin to pin of each bar (core/stack)",
     "own choice: two cones of 1.6 mm base and four lines of wall between them", NULL},
    {"stack_gap", "least gap over the stroke less the printer's", DIGIT, HW_INIT_LENGTH, "mm",
     -0.02 * MM, NONE, 0.1 * MM,
     "distances of rounded plates in every layer, between poses too (docs/derivations/stack.md)",
     "0.02 mm is what a printed gap may lose to rounding: own choice", NULL},
    // ---- pivots
    // -----------------------------------------------------------------------------------------------------------
    {"pivot_release", "tip push at which the first pivot lets go or breaks", DIGIT, HW_INIT_FORCE,
     "N", 30.0, NONE, 10.0,
     "float and both cheeks' opening against engagement, print creeping, worst pose (core/pivot)",
     "three times a daily pinch: Smaby et al. 2004", NULL},
    {"pivot_knuckle", "knuckle's pivot over the loads asked", DIGIT, HW_INIT_NONE, "N/N", 1.5, NONE,
     0.5,
     "least over all load cases and poses, places along pads, the drive's own squeeze and stall "
     "(core/pivot)",
     "half as much again: print and gap vary; common practice", NULL},
    {"pivot_pip", "PIP's pivot over the loads asked", DIGIT, HW_INIT_NONE, "N/N", 1.5, NONE, 0.5,
     "least over all load cases and poses, places along pads, the drive's own squeeze "
     "(core/pivot)",
     "half as much again: print and gap vary; common practice", NULL},
    {"pivot_dip", "DIP's pivot over the loads asked", DIGIT, HW_INIT_NONE, "N/N", 1.5, NONE, 0.5,
     "least over all load cases and poses, places along pads, the drive's own squeeze "
     "(core/pivot)",
     "half as much again: print and gap vary; common practice", NULL},
    {"pivot_stress", "share of strength used in the cheeks", DIGIT, HW_INIT_NONE, "%", NONE,
     2.0 / 3, 1.0 / 3,
     "bending at the root and in the cheek's plane; pull beside the socket across the layers "
     "(core/pivot)",
     "half as much again to the strength: common practice", NULL},
    {"pivot_bearing", "pressure of cones in sockets over the strength", DIGIT, HW_INIT_NONE, "%",
     NONE, 1.0, 0.25,
     "load over the projected area that is in its socket once the joint has floated, worst of "
     "joints and bars' ends (core/pivot)",
     "a bearing yields at half as much again as a pulled bar: common practice for lugs, from "
     "memory",
     NULL},
    {"pivot_root", "share of strength used where cones stand", DIGIT, HW_INIT_NONE, "%", NONE,
     2.0 / 3, 1.0 / 3,
     "bending along the lines, direct shear along and across the layers, worst of joints and bars' "
     "ends (core/pivot)",
     "half as much again to the strength: common practice", NULL},
    {"bar_hold", "what is left of bars' cones in their ends", DIGIT, HW_INIT_LENGTH, "mm", 0.4 * MM,
     NONE, 0.2 * MM,
     "play, spread and off-centre pull against what lies beside each end, worst load case and pose "
     "(core/pivot, core/stack)",
     "own choice: one printed line", NULL},
    {"bar_eye", "share of strength used in bars and their eyes", DIGIT, HW_INIT_NONE, "%", NONE,
     2.0 / 3, 1.0 / 3,
     "net section, tearing out between layers, off-centre load bending the shank (core/pivot)",
     "half as much again to the strength: common practice", NULL},
    // ---- proportions
    // ------------------------------------------------------------------------------------------------------
    {"proportion", "segments beside a person's, RMS in standard deviations", DIGIT, HW_INIT_NONE,
     NULL, NONE, 1.0, 0.5,
     "a hand of the same length: Buchholz et al. 1992, deviations Buryanov & Kotiuk 2010 "
     "(core/anatomy)",
     "own choice: two of three people lie within one", NULL},
    {"reach_off", "longer from knuckle to tip than a person's", DIGIT, HW_INIT_LENGTH, "mm",
     -10 * MM, 10 * MM, 5 * MM, "a hand of the same length (core/anatomy)",
     "own choice: half a finger's pad", NULL},
    // ---- on the palm
    // ------------------------------------------------------------------------------------------------------
    {"palm_stop", "knuckle's travel left where the palm stops the finger", DIGIT, HW_INIT_ANGLE,
     "deg", 0.0, NONE, 5 * DEG,
     "first touch of the palm's section past the closed end, knuckle alone (core/palm/fist.c)",
     "a finger that the palm stops does not close", NULL},
    {"fist_reach", "gap from the last phalanx to the palm in the fist", DIGIT, HW_INIT_LENGTH, "mm",
     NONE, 15 * MM, 5 * MM, "closed, or where the palm stops it (core/palm/fist.c)",
     "own choice: bent, people's fingers miss one point of the palm by 0 to 10 mm (J Hand Surg Am "
     "2005, 240 fingers)",
     NULL},
    {"neighbour_gap", "least gap to a neighbour while both close", DIGIT, HW_INIT_LENGTH, "mm",
     0.3 * MM, NONE, 0.5 * MM,
     "the better of two separating planes over the stroke, unsplayed (core/palm/beside.c)",
     "common practice: printed joints lean by a few tenths", NULL},
    {"splay_room", "splay left before a neighbour is met, open", DIGIT, HW_INIT_ANGLE, "deg", 0.0,
     NONE, 2 * DEG, "splay axis behind the knuckle, separating planes (core/palm/beside.c)",
     "a splay that meets its neighbour pushes it", NULL},
    {"thumb_miss", "nearest the thumb's pad comes to this finger's", DIGIT, HW_INIT_LENGTH, "mm",
     NONE, 2 * MM, 2 * MM,
     "damped least squares over both digits' travel, middle to middle (core/palm/oppose.c)",
     "own choice: a tenth of a pad; people's thumbs reach all four fingers (Kapandji's scale, from "
     "memory)",
     NULL},
    {"thumb_angle", "angle between the pads of thumb and finger where they meet", DIGIT,
     HW_INIT_ANGLE, "deg", NONE, 80 * DEG, 10 * DEG,
     "as thumb_miss; 0 is face to face (core/palm/oppose.c)",
     "own choice: beyond, tips meet edge on; no published angle of pinched pads was found", NULL},
    {"cylinder_least", "thinnest cylinder that every finger presses on the palm", HAND,
     HW_INIT_LENGTH, "mm", NONE, 25 * MM, 5 * MM,
     "largest circle that the fists leave room for (core/palm/fist.c)",
     "common practice: handles of tools begin at 25 mm", NULL},
    {"cylinder_most", "thickest cylinder each finger alone holds against the palm", HAND,
     HW_INIT_LENGTH, "mm", 20 * MM, NONE, 5 * MM,
     "largest circle with the finger's end under its axis (core/palm/fist.c)",
     "own choice: below, the little finger holds no handle", NULL},
    // ---- servos in the palm, sheaths
    {"motions", "driven motions", HAND, HW_INIT_NONE, NULL, 1.0, NONE, 1.0,
     "servos that flex digits, and those in the palm (engine/assess/places.c)",
     "a hand without a drive is none", NULL},
    {"palm_thickness", "palm's thickness with its servos in it", HAND, HW_INIT_LENGTH, "mm", NONE,
     40 * MM, 5 * MM,
     "the document's, or from the back to the lowest servo and a wall (core/palm/pack.h)",
     "own choice: a fifth more than a man's, 33 mm (Pheasant & Haslegrave, from memory)", NULL},
    {"servo_room", "room round the palm's servos beyond gaps and walls", HAND, HW_INIT_LENGTH, "mm",
     0.0, NONE, 2 * MM,
     "signed distances of bodies: servos, rods, carriers and digits over splay and flexion, skin "
     "(core/palm/pack.h)",
     "two bodies cannot be in one place", NULL},
    {"thumb_seat", "palm behind the thumb's journal", HAND, HW_INIT_LENGTH, "mm", 0.0, NONE, 2 * MM,
     "from the end of its bearing to the wrist, or its sheaths' arc before the carrier "
     "(engine/hand/palm_parts.c)",
     "a thumb without a seat is none", NULL},
    {"lead_room", "length left of the servos' leads", HAND, HW_INIT_LENGTH, "mm", 0.0, NONE,
     50 * MM,
     "its way through the tunnel to the socket, a tenth more; without ways straight, a quarter",
     "own choice: longer ones are soldered", NULL},
    {"leads_shut", "leads of the palm's servos without a way out", HAND, HW_INIT_NONE, NULL, NONE,
     0.0, 1.0,
     "a way on a grid within the skin, beside servos, rods and sheaths, to the "
     "tunnel (engine/hand/leads.c)",
     "a servo that cannot be plugged in is none", NULL},
    {"sheath_room", "room round sheaths beyond the printer's gap", HAND, HW_INIT_LENGTH, "mm", 0.0,
     NONE, 2 * MM,
     "capsules along legs and arcs against servos, carriers, drums (core/palm/route.h)",
     "a sheath lies beside what it passes", NULL},
    {"sheath_radius", "tightest bend of the sheaths' ways", HAND, HW_INIT_LENGTH, "mm", 16 * MM,
     NONE, 8 * MM,
     "largest that the legs of its way allow, up to drive.sheath.radius (core/palm/route.h)",
     "a 4 mm tube bends to 16 mm by its maker's rule", NULL},
    {"sheath_bend", "most turns of a sheath in all", HAND, HW_INIT_ANGLE, "deg", NONE, 270 * DEG,
     90 * DEG, "sum over its corners (core/palm/route.h)",
     "own choice: with friction 0.1 a third of the pull is lost by then", NULL},
    {"sheath_crossings", "sheaths that cross within two diameters", HAND, HW_INIT_NONE, NULL, NONE,
     12.0, 4.0, "legs of their ways, seen from the back (core/palm/route.c)",
     "own choice: one a sheath; at each somebody has to thread one over the other", NULL},
    {"sheath_clips", "places where clips hold the sheaths", HAND, HW_INIT_NONE, NULL, NONE, 250.0,
     50.0, "both ends of every arc, and drive.sheath.clips apart between (core/palm/route.c)",
     "own choice: twenty a sheath, bores of the printed parts among them", NULL},
    {"tunnel_room", "gap between sheaths and leads in the wrist's tunnel", HAND, HW_INIT_LENGTH,
     "mm", 0.0, NONE, 0.5 * MM, "circles in a slot, in rows or pushed apart (core/palm/bundle.c)",
     "what touches all round still slides", NULL},
    {"wrist_slack", "length to spare of the sheaths at the bent wrist", HAND, HW_INIT_LENGTH, "mm",
     0.0, NONE, 2 * MM, "offset from the wrist's axis times its range (core/palm/route.h)",
     "a sheath without it pulls at its ends", NULL},
    {"wrist_radius", "tightest bend of the sheaths at the bent wrist", HAND, HW_INIT_LENGTH, "mm",
     16 * MM, NONE, 8 * MM, "free length over the wrist's range, less offset (core/palm/route.h)",
     "a 4 mm tube bends to 16 mm by its maker's rule", NULL},
    // ---- people near it, and building it
    // ---------------------------------------------------------------------------------------------
    {"crease_force", "largest force in a crease a finger fits in", DIGIT, HW_INIT_FORCE, "N", NONE,
     35.0, 10.0,
     "virtual work of the drive's brief share, least friction, over gaps of 5 to 25 mm "
     "(core/stroke/pinch.c)",
     "mean bearable at an adult's index DIP is 36.9 N: Hohendorff et al. 2011", NULL},
    {"crease_palm", "largest force on a finger between digit and palm", DIGIT, HW_INIT_FORCE, "N",
     NONE, 35.0, 10.0,
     "as crease_force: balls on the palm's front, edge and inside while it closes; a thumb: on the "
     "palm's outline, opposition too (core/palm/crease.c)",
     "as crease_force: Hohendorff et al. 2011", NULL},
    {"crease_beside", "largest force on a finger between two digits", DIGIT, HW_INIT_FORCE, "N",
     NONE, 35.0, 10.0,
     "as crease_force: one motion at a time, splay's and opposition's through their rods "
     "(core/palm/crease.c)",
     "as crease_force: Hohendorff et al. 2011", NULL},
    {"open_force", "force at the tip that opens it unpowered", DIGIT, HW_INIT_FORCE, "N", NONE,
     35.0, 10.0,
     "servo turned back through drum, sheath with most friction and pulley, hardest pose",
     "own choice: as much as a caught finger bears", NULL},
    {"lag_tip", "tip behind its knuckle under the tip load", DIGIT, HW_INIT_LENGTH, "mm", NONE,
     20 * MM, 5 * MM,
     "play taken up to one side and bars yielding, by virtual work (core/stroke/lag.c)",
     "own choice: as slop_tip", NULL},
    {"payload", "mass held in a two-pad pinch", HAND, HW_INIT_MASS, "g", 0.15, NONE, 0.1,
     "2 mu F / (SF g), F the lesser tip force of the two digits, closing",
     "common practice: a full mug is 350 g, a bunch of keys 100", NULL},
    {"payload_held", "mass held on, the drive at its holding share", HAND, HW_INIT_MASS, "g", 0.15,
     NONE, 0.1, "2 mu F / (SF g), F the lesser force that the two digits hold", "as payload", NULL},
    {"loose_parts", "parts on the table before it is put together", HAND, HW_INIT_NONE, NULL, NONE,
     40.0, 10.0, "printed parts, pins, servos, drums, sheaths (engine/assess/whole.c)",
     "own choice: an evening's work", NULL},
    {"fasteners", "screws", HAND, HW_INIT_NONE, NULL, NONE, 60.0, 15.0, "of servos, drums and body",
     "own choice: an evening's work", NULL},
    {"solder_joints", "joints to solder", HAND, HW_INIT_NONE, NULL, NONE, 8.0, 4.0,
     "build.solder_joints: no wiring is computed yet", "own choice: plugs elsewhere", NULL},
    {"cords_to_thread", "cords to thread", HAND, HW_INIT_NONE, NULL, NONE, 10.0, 2.0,
     "two a digit, one with an elastic return, none with a servo at each joint",
     "own choice: two a digit", NULL},
    {"special_tools", "tools beyond screwdriver, pliers and knife", HAND, HW_INIT_NONE, NULL, NONE,
     2.0, 1.0, "crimped cords, pressed pins, soldered joints", "own choice", NULL},
    {"cost", "bought parts at most, in the catalogue's money", HAND, HW_INIT_NONE, NULL, NONE,
     150.0, 50.0, "servos, cord and sheath at their highest price (engine/assess/whole.c)",
     "own choice: what a school club can ask of its members", NULL},
    // ---- printing: of the parts themselves
    // ---------------------------------------------------------------------------------------------
    {"mesh_faults", "faults of the meshes as they are written", DIGIT, HW_INIT_NONE, NULL, NONE,
     0.0, 1.0, "exact signs on the file's own coordinates (core/solid/check.c)",
     "a file must be closed, its sides must not cross", MADE},
    {"print_islands", "regions that begin in the air", DIGIT, HW_INIT_NONE, NULL, NONE, 0.0, 1.0,
     "regions of a slice over nothing of their part (core/print)", "nothing is printed on air",
     MADE},
    {"print_overhang", "share of a part's surface that hangs and may not", DIGIT, HW_INIT_NONE, "%",
     NONE, 0.0, 0.01, "facets steeper than printer.overhang + 1 deg, none declared (core/print)",
     "parts print without supports", MADE},
    {"print_exceptions", "share of a part's surface that hangs by permission", DIGIT, HW_INIT_NONE,
     "%", NONE, 0.02, 0.01, "crowns, bridges and cut-outs that are declared (core/print)",
     "own choice: a fiftieth of a part may be rough", MADE},
    {"print_bridge", "longest span in the air", DIGIT, HW_INIT_LENGTH, "mm", NONE, 10 * MM, 5 * MM,
     "longest line from carrier to carrier under what hangs (core/print)",
     "common practice: lines of 10 mm cross without sagging into a gap", MADE},
    {"print_gap", "least gap between parts in a slice less the printer's", DIGIT, HW_INIT_LENGTH,
     "mm", -0.02 * MM, NONE, 0.1 * MM, "distances of outlines in every slice (core/print)",
     "0.02 mm is what a printed gap may lose to rounding: own choice", MADE},
    {"print_step_gap", "least gap between layers less half the printer's", DIGIT, HW_INIT_LENGTH,
     "mm", 0.0, NONE, 0.1 * MM, "outlines as printed, layer heights between them (core/print)",
     "own choice: stairs eat up to half of a gap on a 45 deg cone", MADE},
    {"print_first_layer", "gap left in the spread first layer less the printer's", DIGIT,
     HW_INIT_LENGTH, "mm", 0.0, NONE, 0.1 * MM,
     "least gap in the first slice less printer.spread from both sides (core/print)",
     "parts must not grow together on the bed", MADE},
    {"print_wall", "thinnest wall over a line's width", DIGIT, HW_INIT_NONE, "mm/mm", 1.0, NONE,
     1.0, "width of outlines over three layers (core/print)", "below one line nothing is printed",
     MADE},
    {"print_pieces", "pieces beyond one a part", DIGIT, HW_INIT_NONE, NULL, NONE, 0.0, 1.0,
     "closed shells of a part's mesh that hold something (core/print)",
     "a part comes off the bed in one piece", MADE},
    {"feet_out", "bars' feet out of the back as it closes", DIGIT, HW_INIT_LENGTH, "mm", NONE,
     3 * MM, 1 * MM, "bars against their phalanx's bed face, 33 poses (engine/make/judge.c)",
     "own choice: what a sleeve over the back gives way", MADE},
    {"bed_fit", "room left on the bed, turned by 90 degrees or not", DIGIT, HW_INIT_LENGTH, "mm",
     0.0, NONE, 10 * MM,
     "the group's rectangle on the bed less margins, and the height (core/print)",
     "what is printed lies on the bed", MADE},
    {"palm_apart", "least gap to the palm's parts over closing and splay", DIGIT, HW_INIT_LENGTH,
     "mm", 0.0, NONE, 0.5 * MM,
     "fields of tray, lid and yokes over the digit's triangles, 17 x 3 poses (engine/make/near.c)",
     "two bodies cannot be in one place", MADE},
    {"part_stress", "share of strength used in a phalanx, by voxels", DIGIT, HW_INIT_NONE, "%",
     NONE, 1.0, 0.25,
     "proximal or middle, in its fork's worst case, fit over a 16th of width "
     "(engine/make/stress.c)",
     "above 1 it breaks; repeated loads want far less (common practice)", MADE},
    {"print_mass", "filament of a digit", DIGIT, HW_INIT_MASS, "g", NONE, 0.1, 0.02,
     "walls, floors, infill by volume (core/print)", "own choice: twice a person's finger", MADE},
    {"print_time", "time to print a digit alone", DIGIT, HW_INIT_TIME, "h", NONE, 8 * HOUR, HOUR,
     "lines at printer.speed, layers, hops, start (core/print)", "own choice: within a day", MADE},
    {"plates", "plates to print", HAND, HW_INIT_NONE, NULL, NONE, 4.0, 1.0,
     "groups laid on beds by their rectangles (core/print)", "own choice: a plate a day, a week",
     MADE},
    {"print_hours", "time to print all plates", HAND, HW_INIT_TIME, "h", NONE, 48 * HOUR, 8 * HOUR,
     "lines at printer.speed, layers, hops, start (core/print)",
     "own choice: two days of a printer", MADE},
    {"filament", "filament of all plates", HAND, HW_INIT_MASS, "g", NONE, 0.5, 0.1,
     "walls, floors, infill by volume (core/print)", "own choice: half a spool", MADE},
    {"parts_apart", "least gap between parts of two fingers while all close", HAND, HW_INIT_LENGTH,
     "mm", 0.3 * MM, NONE, 0.5 * MM, "hulls of the parts, 33 poses, unsplayed (engine/make)",
     "common practice: printed joints lean by a few tenths", MADE},
    {"grip_spherical", "least gap of digits not to touch, closing a spherical grip", HAND,
     HW_INIT_LENGTH, "mm", 0.0, NONE, 0.5 * MM, grip_how, grip_why, MADE},
    {"grip_tripod", "least gap of digits not to touch, closing a tripod grip", HAND, HW_INIT_LENGTH,
     "mm", 0.0, NONE, 0.5 * MM, grip_how, grip_why, MADE},
    {"grip_power", "least gap of digits not to touch, closing a power grip", HAND, HW_INIT_LENGTH,
     "mm", 0.0, NONE, 0.5 * MM, grip_how, grip_why, MADE},
    {"grip_lateral", "least gap of digits not to touch, closing a lateral grip", HAND,
     HW_INIT_LENGTH, "mm", 0.0, NONE, 0.5 * MM, grip_how, grip_why, MADE},
    {"grip_tip", "least gap of digits not to touch, closing a tip grip", HAND, HW_INIT_LENGTH, "mm",
     0.0, NONE, 0.5 * MM, grip_how, grip_why, MADE},
    {"grip_extension", "least gap of digits not to touch, closing an extension grip", HAND,
     HW_INIT_LENGTH, "mm", 0.0, NONE, 0.5 * MM, grip_how, grip_why, MADE},
    {"servo_hold", "area that holds the palm's servos over what rods ask for", HAND, HW_INIT_NONE,
     "mm2/mm2", 1.0, NONE, 1.0,
     "material of the tray beside case and ears and screws in these, least of five ways and all "
     "servos; stall over the "
     "horn's hole, over half of the print's strength (engine/make)",
     "a bearing stands half as much again as the strength, a third of it against creep: common "
     "practice",
     MADE},
    {"servo_post", "push that the weakest post beside a servo bears at its top", HAND,
     HW_INIT_FORCE, "N", 5.0, NONE, 5.0,
     "bending of its root as a beam's, at half the print's strength across layers, palm tray and "
     "lid (core/solid/slender.h)",
     "own choice: a fingertip that fits a servo", MADE},
    {"lid_screws", "screws that hold the palm's lid", HAND, HW_INIT_NONE, NULL, 2.0, NONE, 1.0,
     "lid below their heads, tray or forearm round two diameters of thread "
     "(core/parts/palm_hold.h)",
     "common practice: about one screw a lid turns", MADE},
    {"wrist_screws", "screws that hold the palm to the forearm", HAND, HW_INIT_NONE, NULL, 2.0,
     NONE, 1.0,
     "forearm under their heads, tray round two diameters of thread (core/parts/palm_hold.h)",
     "common practice: about one screw a palm turns", MADE},
    {"grip_palm", "least gap of digits and palm, closing any grip pattern", HAND, HW_INIT_LENGTH,
     "mm", 0.0, NONE, 0.5 * MM, "as palm_apart, up to where the grip holds (engine/make/near.c)",
     "two bodies cannot be in one place", MADE},
    {"coupon_faults", "print findings of the coupons that fall short", HAND, HW_INIT_NONE, NULL,
     NONE, 0.0, 1.0,
     "every coupon against the limits of the digits' rows, but for what it tries (engine/make)",
     "a coupon that does not print tells nothing", MADE},
    // ---- supply
    // ----------------------------------------------------------------------------------------------------------
    {"rail_sag", "lowest voltage at a servo, all stalled or starting at once", HAND,
     HW_INIT_VOLTAGE, "V", 4.8, NONE, 0.4,
     "supply, its resistance, wires and plugs in balance with all servos (core/power/rail.c)",
     "common practice: the least that servos of 6 V are rated for", NULL},
    {"supply_share", "share of a supply's current that a grip of all digits takes", HAND,
     HW_INIT_NONE, "%", NONE, 0.8, 0.2, "all servos at their brief share (core/power/rail.c)",
     "common practice: a fifth in reserve", NULL},
    // ---- not computed by anybody yet: listed, never guessed
    // -----------------------------------------------------------------------------
    {"cord_life", "bends that the cords bear over their drums", HAND, HW_INIT_NONE, NULL, 1e5, NONE,
     1e5, "none", "own choice: a year of a hundred grips an hour, eight hours a day, half idle",
     "no published life of thin braid by drum size was found; drum_ratio and cord_creep stand for "
     "it"},
    {"print_creep", "what a grip held for an hour leaves bent", HAND, HW_INIT_ANGLE, "deg", NONE,
     5 * DEG, 5 * DEG, "none", "own choice",
     "no published creep law of printed parts was found; half the modulus and a third of the "
     "strength stand for it"},
};

static const hw_setting_limit classroom[] = {
    {"closing_time", 2.0, 4.0,
     "in a classroom no faster than 2 s, so that a finger can be drawn out: own choice"},
    {"crease_force", NONE, 19.0,
     "mean bearable at an adult's index DIP less one standard deviation: Hohendorff et al. 2011"},
    {"crease_palm", NONE, 19.0, "as crease_force"},
    {"crease_beside", NONE, 19.0, "as crease_force"},
    {"open_force", NONE, 19.0, "own choice: as crease_force"},
};

static const hw_setting_limit hard[] = {
    {"crease_force", NONE, 50.0, "never above 50 N: advised for children, Hohendorff et al. 2012"},
    {"crease_palm", NONE, 50.0, "as crease_force"},
    {"crease_beside", NONE, 50.0, "as crease_force"},
};

const hw_setting_limit *hw_classroom_limit(const char *id)
{
    for (size_t i = 0; i < sizeof classroom / sizeof classroom[0]; i++)
        if (strcmp(classroom[i].id, id) == 0) return &classroom[i];
    return NULL;
}

const hw_setting_limit *hw_hard_limit(const char *id)
{
    for (size_t i = 0; i < sizeof hard / sizeof hard[0]; i++)
        if (strcmp(hard[i].id, id) == 0) return &hard[i];
    return NULL;
}

bool hw_finding_is_made(const hw_finding_kind *kind)
{
    return kind->unknown == hw_finding_made;
}

bool hw_finding_of_bodies(const hw_finding_kind *kind)
{
    static const char *const id[] = {"mesh_faults",  "print_islands", "print_overhang",
                                     "print_bridge", "print_wall",    "print_exceptions",
                                     "print_pieces", "bed_fit"};
    for (size_t i = 0; i < sizeof id / sizeof id[0]; i++)
        if (strcmp(kind->id, id[i]) == 0) return true;
    return false;
}

const hw_finding_kind *hw_finding_kinds(size_t *n)
{
    *n = sizeof kinds / sizeof kinds[0];
    return kinds;
}
