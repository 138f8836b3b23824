// The two tables that everything about verbs and options is made from.
#include "cli/cli_internal.h"

#include <string.h>

const hw_option_row hw_option_table[HW_OPTIONS] = {
    [HW_OPT_VARIANT] = {0, "variant", "NAME", NULL, "one of the document's variants"},
    [HW_OPT_DIGIT] = {0, "digit", "NAME", "thumb index middle ring little",
                      "thumb, index, middle, ring or little (index when not given)"},
    [HW_OPT_STEPS] = {0, "steps", "N", NULL, "number of poses, both ends included (33)"},
    [HW_OPT_FINDING] = {0, "finding", "ID", NULL, "the finding, as the sheet names it"},
    [HW_OPT_LENGTH] = {0, "length", "LENGTH", NULL, "of the hand: wrist crease to middle tip"},
    [HW_OPT_BREADTH] = {0, "breadth", "LENGTH", NULL, "of the hand: across the knuckles"},
    [HW_OPT_SIDE] = {0, "side", "SIDE", "right left", "right or left (right)"},
    [HW_OPT_JSON] = {0, "json", NULL, NULL, "JSON instead of text"},
    [HW_OPT_FOLDER] = {'o', "output", "DIR", "<folder>",
                       "also write everything into this folder, all or nothing"},
    [HW_OPT_FILE] = {'o', "output", "FILE", "<file>", "write to this file instead"},
    [HW_OPT_HELP] = {'h', "help", NULL, NULL, "this help"},
};

static const hw_verb_row verbs[] = {
    {.name = "new",
     .arguments = "",
     .options = HW_OPT(LENGTH) | HW_OPT(BREADTH) | HW_OPT(SIDE) | HW_OPT(JSON) | HW_OPT(FILE),
     .sentence = "writes a commented starter document",
     .text = "Every entry that a design can have stands in it with one sentence. What belongs to a "
             "first design is written out; the rest is commented out with its default, ready to be "
             "changed.",
     .example = {{"handwright new --length 186mm --breadth 84mm -o heron.yaml",
                  "a starter for a hand of that size"},
                 {"handwright new --side left",
                  "one for a left hand of usual size, to the terminal"}},
     .run = hw_verb_new},
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
