// The two tables that everything about verbs and options is made from.
#include "cli/cli_internal.h"

#include <string.h>

const hw_option_row hw_option_table[HW_OPTIONS] = {
    [HW_OPT_VARIANT] = {0, "variant", "NAME", NULL, "one of the document's variants"},
    [HW_OPT_DIGIT] = {0, "digit", "NAME", "thumb index middle ring little",
                      "thumb, index, middle, ring or little (index when not given)"},
    [HW_OPT_ONE_DIGIT] = {0, "digit", "NAME", "thumb index middle ring little",
                          "only this digit: thumb, index, middle, ring or little"},
    [HW_OPT_QUALITY] = {0, "quality", "QUALITY", "coarse fine",
                        "chords of round walls within 0.05 mm (coarse, when not given) or 0.005 mm "
                        "(fine)"},
    [HW_OPT_COUPONS] = {0, "coupons", NULL, NULL,
                        "also small test prints with the design's own sizes"},
    [HW_OPT_PALM] = {0, "palm", NULL, NULL, "also palm, forearm and stand (takes minutes)"},
    [HW_OPT_AS_WRITTEN] = {0, "as-written", NULL, NULL,
                           "servos in the palm where the document has them, also where they lack "
                           "room (else they are laid anew, which takes minutes)"},
    [HW_OPT_STRESS] = {0, "stress", NULL, NULL,
                       "also the stress in that digit's proximal and middle phalanx, by voxels "
                       "(takes a while)"},
    [HW_OPT_POSED] = {0, "posed", "POSES", NULL,
                      "also the whole hand closed by these shares or in these grips (spherical, "
                      "tripod, power, lateral, tip, extension), as GLB, 3MF and pictures from six "
                      "sides: 0,0.5,power"},
    [HW_OPT_STEPS] = {0, "steps", "N", NULL, "number of poses, both ends included (33)"},
    [HW_OPT_FINDING] = {0, "finding", "ID", NULL,
                        "a finding, such as digits.index/slop_tip (assess --json lists them)"},
    [HW_OPT_SERVOS] = {0, "servos", NULL, NULL,
                       "the servos of splay and opposition (takes a minute)"},
    [HW_OPT_THUMB] = {0, "thumb", NULL, NULL, "the thumb's base and its axis of opposition"},
    [HW_OPT_LENGTH] = {0, "length", "LENGTH", NULL, "of the hand: wrist crease to middle tip"},
    [HW_OPT_BREADTH] = {0, "breadth", "LENGTH", NULL, "of the hand: across the knuckles"},
    [HW_OPT_SIDE] = {0, "side", "SIDE", "right left", "right or left (right)"},
    [HW_OPT_LANDMARKS] = {0, "landmarks", "PICKS", "<file>",
                          "sizes of a scanned hand: points picked on it, as for landmarks"},
    [HW_OPT_SCAN] = {0, "scan", "MESH", "<file>", "the scan that they were picked on"},
    [HW_OPT_JSON] = {0, "json", NULL, NULL, "JSON instead of text"},
    [HW_OPT_FOLDER] = {'o', "output", "DIR", "<folder>",
                       "also write everything into this folder, all or nothing"},
    [HW_OPT_FILE] = {'o', "output", "FILE", "<file>", "write to this file instead"},
    [HW_OPT_HELP] = {'h', "help", NULL, NULL, "this help"},
};

static const hw_verb_row verbs[] = {
    {.name = "new",
     .arguments = "",
     .options = HW_OPT(LENGTH) | HW_OPT(BREADTH) | HW_OPT(SIDE) | HW_OPT(LANDMARKS) | HW_OPT(SCAN) |
                HW_OPT(JSON) | HW_OPT(FILE),
     .sentence = "writes a commented starter document",
     .text = "Every entry that a design can have stands in it with one sentence. What belongs to a "
             "first design is written out; the rest is commented out with its default, ready to be "
             "changed.",
     .example = {{"handwright new --length 186mm --breadth 84mm -o heron.yaml",
                  "a starter for a hand of that size"},
                 {"handwright new --side left",
                  "one for a left hand of usual size, to the terminal"},
                 {"handwright new --landmarks picks.txt --scan hand.ply -o mine.yaml",
                  "one with the lengths and knuckles of a scanned hand"}},
     .run = hw_verb_new},
    {.name = "assess",
     .arguments = "DESIGN",
     .files = true,
     .least = 1,
     .most = 1,
     .options = HW_OPT(VARIANT) | HW_OPT(JSON) | HW_OPT(FOLDER),
     .sentence = "computes everything: the verdict sheet, the report",
     .text = "Every finding stands on one line with its value, limit, margin and source; under a "
             "line that falls short stands the entry that helps most. With -o the report and its "
             "drawings go into a folder. DESIGN is a file, or - for standard input.",
     .example = {{"handwright assess heron.yaml", "the verdict sheet on the terminal"},
                 {"handwright assess heron.yaml -o out", "the sheet, and the report in out/"},
                 {"handwright assess heron.yaml --variant classroom --json",
                  "the findings of one variant, for a program"}},
     .run = hw_verb_assess},
    {.name = "stroke",
     .arguments = "DESIGN",
     .files = true,
     .least = 1,
     .most = 1,
     .options = HW_OPT(VARIANT) | HW_OPT(DIGIT) | HW_OPT(STEPS) | HW_OPT(JSON) | HW_OPT(FOLDER),
     .sentence = "shows one digit over its travel",
     .text = "Joint angles, tip, bar forces, pin loads and drive torque at equally spaced poses, "
             "for 1 N at the distal end pushing the digit open; dead points inside the travel.",
     .example = {{"handwright stroke heron.yaml --digit middle", "33 poses of the middle finger"},
                 {"handwright stroke heron.yaml --digit index --steps 9 --json",
                  "nine poses of the index, for a program"}},
     .run = hw_verb_stroke},
    {.name = "levers",
     .arguments = "DESIGN",
     .files = true,
     .least = 1,
     .most = 1,
     .options = HW_OPT(VARIANT) | HW_OPT(FINDING) | HW_OPT(JSON) | HW_OPT(FOLDER),
     .sentence = "shows which entries move which margins, by how much",
     .text = "For every finding that falls short (or the one named; where all hold, the tightest): "
             "the entries that raise its margin most for one practical step, and where a value "
             "was found at which it holds, that value, computed again to be sure.",
     .example = {{"handwright levers heron.yaml", "everything that falls short"},
                 {"handwright levers heron.yaml --finding digits.index/slop_tip",
                  "one finding, also where it holds"}},
     .run = hw_verb_levers},
    {.name = "make",
     .arguments = "DESIGN",
     .files = true,
     .least = 1,
     .most = 1,
     .options = HW_OPT(VARIANT) | HW_OPT(ONE_DIGIT) | HW_OPT(QUALITY) | HW_OPT(COUPONS) |
                HW_OPT(PALM) | HW_OPT(AS_WRITTEN) | HW_OPT(STRESS) | HW_OPT(POSED) | HW_OPT(JSON) |
                HW_OPT(FOLDER),
     .sentence = "makes printable files, and says how they print",
     .text = "Solids of every part as it is printed, laid on plates and sliced: the sheet shows "
             "what hangs, what is too thin, which gap is too small, and what a plate takes. With "
             "-o the files go into a folder: one STL a part, one 3MF a plate, DXF and SVG of every "
             "layer, pictures, and README.txt, which says how to print and what to measure. Hot "
             "nozzles burn and joints pinch: its cautions come first. With --palm, servos in it "
             "that lack room, as after a change to larger ones, are laid anew as place does, and "
             "the palm is as deep as they ask; laid.yaml is the document that says so.",
     .example = {{"handwright make heron.yaml -o print", "everything that the printer needs"},
                 {"handwright make heron.yaml --digit index --quality fine -o index",
                  "one finger, its cones true to a hundredth"},
                 {"handwright make heron.yaml --coupons -o print",
                  "with test prints for gap, hold, play, grip and overhang"},
                 {"handwright make heron.yaml --posed 0,0.5,power,tip -o print",
                  "with the hand open, half closed and in two grips, to look at"},
                 {"handwright make heron.yaml", "only how it would print; nothing is written"}},
     .run = hw_verb_make},
    {.name = "place",
     .arguments = "DESIGN",
     .files = true,
     .least = 1,
     .most = 1,
     .options = HW_OPT(VARIANT) | HW_OPT(SERVOS) | HW_OPT(THUMB) | HW_OPT(JSON) | HW_OPT(FOLDER),
     .sentence = "searches where things stand in the palm",
     .text = "Slots, levers and horns of the servos that stand in the palm, searched from the "
             "document's together with the ways of sheaths (where forearm.ways says computed), for "
             "what lacks least in all; or the thumb's base and the axis that it opposes about, for "
             "pads that meet, grips in which it meets nothing else, and room for its seat: what is "
             "lacking now and with what was found, and the entries as text to paste. With -o the "
             "folder takes the document with servos as they were found, laid.yaml.",
     .example = {{"handwright place heron.yaml --servos", "servos of splay and opposition"},
                 {"handwright place heron.yaml --thumb", "where the thumb stands and turns"}},
     .run = hw_verb_place},
    {.name = "landmarks",
     .arguments = "MESH PICKS [DESIGN]",
     .files = true,
     .least = 2,
     .most = 3,
     .options = HW_OPT(VARIANT) | HW_OPT(JSON) | HW_OPT(FOLDER),
     .sentence = "measures a scanned hand: lengths, knuckle frames, arch",
     .text =
         "MESH is an STL, PLY or OBJ file of up to 2 million triangles, in mm, cm, m or inches. "
         "PICKS is a text: one point a line, such as \"index.mcp dorsal 12.1 40 7.5\" in the "
         "mesh's own unit; joints are mcp, pip, dip (thumb: cmc, mcp, ip), each picked on its "
         "dorsal or palmar face or on both, beside wrist, and tips (\"index.tip 1 2 3\"). Wrist "
         "and the knuckles of index, middle and little finger are needed. Also \"unit mm\", "
         "\"side left\", \"accuracy 2 mm\"; # begins a comment. Every number comes with the "
         "interval that holds it in 95 of 100 cases. With -o a sheet of sections is drawn, a "
         "DESIGN laid over the scan.",
     .example = {{"handwright landmarks hand.ply picks.txt", "what was measured"},
                 {"handwright landmarks hand.ply picks.txt heron.yaml -o scan",
                  "with Heron's digits drawn over the scanned ones"}},
     .run = hw_verb_landmarks},
    {.name = "compare",
     .arguments = "DESIGN DESIGN",
     .files = true,
     .least = 2,
     .most = 2,
     .options = HW_OPT(VARIANT) | HW_OPT(JSON) | HW_OPT(FOLDER),
     .sentence = "sets two designs side by side, finding by finding",
     .text =
         "Shows what differs: both values, the second design's margin, and by how much its margin "
         "changed: positive where the second design is better. What only one of them has is "
         "listed below. The exit status is that of the second design.",
     .example = {{"handwright compare heron.yaml heron-new.yaml", "what the changes brought"}},
     .run = hw_verb_compare},
    {.name = "reckon",
     .arguments = "[NAME KEY=VALUE ...]",
     .most = 24,
     .options = HW_OPT(JSON) | HW_OPT(FOLDER),
     .sentence = "computes a single formula, and names its source",
     .text = "Without arguments it lists all formulas with their sources; with a name alone it "
             "shows what that formula takes. Values carry their unit; 0 needs none.",
     .example = {{"handwright reckon", "all formulas"},
                 {"handwright reckon capstan mu=0.08 wrap=180deg tension=20N",
                  "the tension of a cord behind a bend"}},
     .run = hw_verb_reckon},
};

const hw_verb_row *hw_verb_rows(size_t *n)
{
    *n = sizeof verbs / sizeof verbs[0];
    return verbs;
}

const hw_verb_row *hw_verb_find(const char *name)
{
    for (size_t i = 0; i < sizeof verbs / sizeof verbs[0]; i++)
        if (strcmp(verbs[i].name, name) == 0) return &verbs[i];
    return NULL;
}
