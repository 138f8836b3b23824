// The drive's rows of the entry table, each twice: the hand's own and a digit's, which repeats it.
// Included inside the table of entries_table.c and nowhere else.

BOTH(SERVO_TYPE, "servo.type", "standard 10", PRACTICE,
     "Servo class in the catalogue that gives the defaults below", ITEM, "servos")
BOTH(SERVO_VOLTAGE, "servo.voltage", "6 V", PRACTICE, "Voltage at which the servo's figures hold",
     VOLTAGE, 1, 60, 0)
BOTH(SERVO_STALL_TORQUE, "servo.stall_torque", "0.95 N*m", SERVO,
     "Torque at which the servo stands still", TORQUE, 0.001, 100, 0.05)
BOTH(SERVO_NO_LOAD_SPEED, "servo.no_load_speed", "7 rad/s", SERVO,
     "Speed of the servo without a load", TURNING, 0.05, 200, 0.5)
BOTH(SERVO_STALL_CURRENT, "servo.stall_current", "1.8 A", SERVO, "Current of the servo at a stand",
     CURRENT, 0.01, 100, 0)
BOTH(SERVO_NO_LOAD_CURRENT, "servo.no_load_current", "0.2 A", SERVO,
     "Current of the servo without a load", CURRENT, 0, 100, 0)
BOTH(SERVO_MOTION, "servo.motion", "positional", PRACTICE,
     "Whether it goes to an angle or turns on", CHOICE, "positional|continuous")
BOTH(SERVO_TRAVEL, "servo.travel", "180 deg", "common practice: 500 to 2500 us is 180 degrees",
     "Whole travel of a positional servo", ANGLE, 10, 3600, 0)
BOTH(SERVO_PLAY, "servo.play", "1 deg", "common practice: 0.5 to 2 degrees in the gears",
     "Play of the servo's gears, end to end", ANGLE, 0, 30, 0)
BOTH(SERVO_MASS, "servo.mass", "50 g", PRACTICE, "Mass of one servo", MASS, 0.0005, 5, 0)
BOTH(SERVO_LENGTH, "servo.length", "40 mm", PRACTICE, "Body along the line of its ears", LENGTH, 3,
     300, 0)
BOTH(SERVO_WIDTH, "servo.width", "20 mm", PRACTICE, "Body across the line of its ears", LENGTH, 3,
     300, 0)
BOTH(SERVO_HEIGHT, "servo.height", "38 mm", PRACTICE, "Body along its shaft, without the spline",
     LENGTH, 3, 300, 0)
BOTH(SERVO_EAR_SPAN, "servo.ear_span", "54 mm", PRACTICE, "From end to end of its ears", LENGTH, 3,
     400, 0)
BOTH(SERVO_SPLINE, "servo.spline", "25 teeth, 5.9 mm", PRACTICE,
     "Spline of its shaft: teeth and outer diameter", TEXT_ROW, 0)
BOTH(SERVO_HORN, "servo.horn", "round, 20 mm", PRACTICE, "Horn that a drum is screwed to", TEXT_ROW,
     0)
BOTH(SERVO_CABLE, "servo.cable", "shaft end", PRACTICE, "End of the body where the cable comes out",
     CHOICE, "shaft end|far end")
BOTH(SERVO_DRUM_ROOM, "servo.drum_room", "0.5 * drive.servo.length",
     "common practice: from the shaft to the body's middle, where the next drum begins",
     "Largest radius of a drum that the servo's place allows", LENGTH, 1, 300, 0)
BOTH(SUPPLY, "supply", "drive.servo.voltage", PRACTICE, "Voltage that reaches the servo", VOLTAGE,
     1, 60, 0)
BOTH(BRIEF_SHARE, "brief_share", "45 %", "common practice: half of stall for seconds, less a tenth",
     "Share of the stall torque that a grip may take for seconds", PART, 0.01, 1, 0)
BOTH(HOLDING_SHARE, "holding_share", "33 %",
     "common practice: a third of stall for as long as it likes",
     "Share of the stall torque that may be held, for heat", PART, 0.01, 1, 0)
BOTH(CLOSE_IN, "close_in", "1 s",
     "common practice: a hand that closes in a second can still be watched",
     "Time that control takes to close; 0 is as fast as it goes", TIME, 0, 60, 0.1)
BOTH(DRUM_RADIUS, "drum_radius", "6.5 mm",
     "common practice: a small drum pulls hard; six cord diameters",
     "Drum on the servo, to the cord's middle", LENGTH, 0.5, 300, 0.5)
BOTH(DRUM_TEETH, "drum_teeth", "0", "common practice: a clamp or a worm sets without steps",
     "Teeth of the device that sets the tension; 0: no steps", COUNT, 0, 1000)
BOTH(PULLEY_RADIUS, "pulley_radius", "0.125 * hand.breadth",
     "common practice: what fits within half of the knuckle's thickness",
     "Pulley at the knuckle, to the cord's middle (not for a cord over the joints)", LENGTH, 0.5,
     300, 0.5)
BOTH(CORD_TYPE, "cord.type", "braid 1 mm", PRACTICE,
     "Cord in the catalogue that gives the defaults below", ITEM, "cords")
BOTH(CORD_DIAMETER, "cord.diameter", "1 mm", CORD, "Diameter of the cord", LENGTH, 0.05, 20, 0.1)
BOTH(CORD_STIFFNESS, "cord.stiffness", "8 kN", CORD,
     "Stiffness EA of the cord: force over its strain", FORCE, 10, 5e6, 500)
BOTH(CORD_STRENGTH, "cord.strength", "1300 N", CORD, "Breaking force of the cord without knots",
     FORCE, 1, 1e6, 0)
BOTH(CORD_KNOT, "cord.knot", "50 %", "published knots keep 50 to 80 %; slippery braid the least",
     "Share of the strength that its end knot leaves", PART, 0.1, 1, 0)
BOTH(SHEATH_TYPE, "sheath.type", "ptfe 4x2", PRACTICE,
     "Sheath in the catalogue that gives the defaults below", ITEM, "sheaths")
BOTH(SHEATH_OUTER, "sheath.outer", "4 mm", SHEATH, "Outer diameter of the sheath", LENGTH, 0.2, 50,
     0)
BOTH(SHEATH_BORE, "sheath.bore", "2 mm", SHEATH, "Bore of the sheath", LENGTH, 0.1, 50, 0)
BOTH(SHEATH_MODULUS, "sheath.modulus", "500 MPa", SHEATH,
     "Stiffness of the sheath's material in compression", PRESSURE, 10 * MPA, 250 * GPA, 0)
BOTH(SHEATH_LENGTH, "sheath.length", "1.6 * hand.length",
     "common practice: from the middle of the forearm to the knuckle",
     "Length of one cord's sheath", LENGTH, 1, 5000, 10)
BOTH(SHEATH_BEND, "sheath.bend", "170 deg",
     "own estimate: wrist, palm and the turn into the knuckle",
     "Sum of all bends of the sheath, whichever way", ANGLE, 0, 3600, 10)
BOTH(SHEATH_RADIUS, "sheath.radius", "25 mm",
     "a 4 mm tube bends to 16 mm by its maker's rule, and to half as much again at ease",
     "Tightest bend of the sheath, to its middle", LENGTH, 0.5, 2000, 1)
BOTH(SHEATH_CLIPS, "sheath.clips", "40 mm", PRACTICE,
     "Distance between the clips that hold the sheath", LENGTH, 1, 2000, 5)
BOTH(SHEATH_MU_LOW, "sheath.mu_low", "0.5 * drive.sheath.mu",
     "published friction of PTFE: 0.04 to 0.15", "Least friction to expect: it decides what holds",
     PART, 0, 1, 0)
BOTH(SHEATH_MU, "sheath.mu", "0.1", "published friction of PTFE: 0.04 to 0.15",
     "Friction of the cord in the sheath", PART, 0, 1, 0.01)
BOTH(SHEATH_MU_HIGH, "sheath.mu_high", "1.5 * drive.sheath.mu",
     "published friction of PTFE: 0.04 to 0.15", "Most friction to expect, dusty and worn", PART, 0,
     1, 0)
BOTH(WRIST_OFFSET, "wrist.offset", "0.5 mm",
     "common practice: cords are led through the wrist's axis, as near as clips can",
     "Distance of the cords from the wrist's axis", LENGTH, 0, 200, 0.2)
BOTH(WRIST_RANGE, "wrist.range", "0 deg", "a fixed wrist", "How far the wrist bends to either side",
     ANGLE, 0, 120, 0)
BOTH(WRIST_CORDS, "wrist.cords", "one side", PRACTICE,
     "Whether both cords pass on one side of the wrist's axis", CHOICE, "one side|astride")
BOTH(PRETENSION, "pretension", "7 N", "common practice: taut by hand",
     "Tension of each cord at rest", FORCE, 0, 5000, 0.5)
BOTH(RETURN_KIND, "return.kind", "cord", PRACTICE,
     "What opens the digit (cords over the joints have springs of their own)", CHOICE,
     "cord|elastic")
BOTH(RETURN_PRELOAD, "return.preload", "50 N*mm", PRACTICE,
     "Torque of an elastic return at the knuckle, open", TORQUE, 0, 100, 0.005)
BOTH(RETURN_RATE, "return.rate", "20 N*mm/rad", PRACTICE, "Rate of that return", RATE, 0, 100,
     0.005)
