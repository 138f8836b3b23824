// Inside of the command line, for this room's files only.
#ifndef HW_CLI_INTERNAL_H
#define HW_CLI_INTERNAL_H

#include "base/arena.h"
#include "base/job.h"
#include "base/text.h"
#include "cli/cli.h"
#include "design/design.h"
#include "report/json.h"

// ---- tables -----------------------------------------------------------------------------------
typedef enum hw_option_id {
    HW_OPT_VARIANT,
    HW_OPT_DIGIT,
    HW_OPT_ONE_DIGIT,
    HW_OPT_QUALITY,
    HW_OPT_COUPONS,
    HW_OPT_PALM,
    HW_OPT_AS_WRITTEN,
    HW_OPT_STRESS,
    HW_OPT_POSED,
    HW_OPT_STEPS,
    HW_OPT_FINDING,
    HW_OPT_SERVOS,
    HW_OPT_THUMB,
    HW_OPT_LENGTH,
    HW_OPT_BREADTH,
    HW_OPT_SIDE,
    HW_OPT_LANDMARKS,
    HW_OPT_SCAN,
    HW_OPT_JSON,
    HW_OPT_FOLDER,
    HW_OPT_FILE,
    HW_OPT_HELP,
    HW_OPTIONS
} hw_option_id;

#define HW_OPT(id) (1u << HW_OPT_##id)

typedef struct hw_option_row {
    char letter;          // 0: none
    const char *name;     // without dashes
    const char *argument; // in capitals; NULL: a flag
    const char *choices;  // what completion offers, "a b c"; "<file>" or "<folder>"; NULL: nothing
    const char *sentence;
} hw_option_row;

typedef struct hw_example {
    const char *command, *sentence;
} hw_example;

struct hw_call;
typedef struct hw_verb_row {
    const char *name;
    const char *arguments; // "DESIGN"
    bool files;            // the arguments are files, for completion
    size_t least, most;    // how many arguments
    unsigned options;      // HW_OPT bits, beside help
    const char *sentence;  // one line
    const char *text;      // what more there is to say
    hw_example example[5];
    hw_exit (*run)(struct hw_call *call);
} hw_verb_row;

extern const hw_option_row hw_option_table[HW_OPTIONS];
const hw_verb_row *hw_verb_rows(size_t *n);
const hw_verb_row *hw_verb_find(const char *name); // NULL when there is none

// ---- one run ----------------------------------------------------------------------------------
enum { HW_DIAG_ROOM = 200 };

// What a verb found out: text for people, JSON for programs, and the files that -o DIR takes.
typedef struct hw_answer_file {
    char name[64];
    hw_text bytes;
} hw_answer_file;

typedef struct hw_call {
    const hw_verb_row *verb;
    const char *option[HW_OPTIONS]; // NULL: not given; a flag's is ""
    const char *const *argument;
    size_t arguments;
    FILE *out, *err;
    hw_arena *arena;
    hw_job job; // progress when err is a terminal; stops on SIGINT
    hw_diags diags;
    hw_buffer text, json;
    hw_answer_file *file; // in the arena
    size_t files, file_room;
    const char *main_file;                 // of the folder, to be named at the end; NULL: none
    char design_name[64], fingerprint[20]; // for the manifest; empty: no design
    bool drawn;                            // progress stands on the terminal's line
    hw_text document;                      // the one that hw_call_design read last
} hw_call;

// Fills a call from the arguments after the verb; `kept` takes the plain ones (argc long). False:
// a message was written to err.
bool hw_options_parse(hw_call *call, int argc, char **argv, const char **kept);

void hw_help_overview(FILE *out);
void hw_help_verb(const hw_verb_row *verb, FILE *out);

// Adds a file for -o DIR. The bytes live as long as the arena.
void hw_call_file(hw_call *call, const char *name, hw_text bytes);
// Writes a message of the command line itself ("handwright assess: ...") and returns HW_EXIT_INPUT.
__attribute__((format(printf, 2, 3))) hw_exit hw_call_fault(hw_call *call, const char *format, ...);
// Writes the diagnostics to err and forgets them. `notes`: as notes, for what was accepted.
void hw_call_say(hw_call *call, bool notes);
// The exit status that a code stands for, with its message on err where diags has none.
hw_exit hw_call_code(hw_call *call, hw_code code);

// ---- files ------------------------------------------------------------------------------------
enum { HW_FILE_LIMIT = 16 << 20 };       // bytes
enum { HW_MESH_FILE_LIMIT = 640 << 20 }; // bytes: 2 million triangles as text take half of it

// A whole file in the arena; "-" is stdin. What is wrong goes to the call's diagnostics.
// HW_BAD_INPUT (missing, a folder, not regular, too large, not permitted), HW_IO, HW_NO_MEMORY.
hw_code hw_file_read(hw_call *call, const char *path, hw_text *out);
hw_code hw_file_read_mesh(hw_call *call, const char *path, hw_text *out); // a larger one
// Makes a file at once: written aside, synced, linked. Refuses to replace one. HW_BAD_INPUT, HW_IO;
// messages as above.
hw_code hw_file_write(hw_call *call, const char *path, hw_text bytes);
// Writes and syncs a new file in an open folder (or AT_FDCWD). False: errno says why.
bool hw_file_put(int folder, const char *name, hw_text bytes);
// Makes a folder of the answer's files with manifest.json, all or nothing. As above.
hw_code hw_folder_write(hw_call *call, const char *path);
// The same refusals before anything is computed: what already stands in the way.
hw_code hw_folder_check(hw_call *call, const char *path);

// A part of longer work: its own 0 to 1 becomes `from` to `from + width` of the whole, so that
// progress never runs backwards. hw_share_step is a job's step, with a hw_share as its self.
typedef struct hw_share {
    const hw_job *whole;
    double from, width; // of the whole [1]
} hw_share;
bool hw_share_step(void *self, double fraction, const char *stage); // [1]

// ---- designs ----------------------------------------------------------------------------------
// Reads the document of argument `i` in the variant asked for. HW_EXIT_HOLDS: *out is the design.
hw_exit hw_call_design(hw_call *call, size_t i, hw_design **out);

// The same of a document's bytes; `path` is where it came from, for messages and what it names.
hw_exit hw_call_design_of(hw_call *call, const char *path, hw_text bytes, hw_design **out);

// As the first, and assesses it.
struct hw_assessment;
hw_exit hw_call_assess(hw_call *call, size_t i, struct hw_assessment **out);
// The digit that an option names, `otherwise` when it is not given; -2: said why not.
int hw_call_digit(hw_call *call, hw_option_id option, int otherwise);
// A quantity of a dimension from text, "186mm" or an expression; says what is wrong. [SI]
hw_exit hw_call_quantity(hw_call *call, const char *name, hw_text text, hw_dim dim, double *out);

// The unit to show a value in: `unit` where it is given, else the usual one of the dimension.
typedef struct hw_shown_unit {
    const char *text;
    hw_unit unit;
} hw_shown_unit;
hw_shown_unit hw_unit_shown(const char *unit, hw_dim dim);
double hw_value_shown(const hw_shown_unit *u, double si);  // [SI]
double hw_change_shown(const hw_shown_unit *u, double si); // of a difference [SI]

// ---- scans ------------------------------------------------------------------------------------
// A mesh and its picked points, read and measured; notes are on err. HW_EXIT_HOLDS: all is filled.
struct hw_mesh_file;
struct hw_scan;
hw_exit hw_call_scan(hw_call *call, const char *mesh, const char *picks, struct hw_mesh_file *file,
                     struct hw_scan *out);

// ---- text -------------------------------------------------------------------------------------
// A number in its unit for people: four significant digits, "—" for NaN.
void hw_put_number(hw_buffer *b, double value); // [1]
// Appends spaces until `from` + width code points stand on the line.
void hw_put_pad(hw_buffer *b, size_t from, size_t width);
// Text in the column's width, right- or left-aligned.
void hw_put_cell(hw_buffer *b, const char *text, int width); // < 0: left

// ---- verbs ------------------------------------------------------------------------------------
hw_exit hw_verb_new(hw_call *call);
hw_exit hw_verb_assess(hw_call *call);
hw_exit hw_verb_stroke(hw_call *call);
hw_exit hw_verb_levers(hw_call *call);
hw_exit hw_verb_make(hw_call *call);
hw_exit hw_verb_place(hw_call *call);
hw_exit hw_verb_landmarks(hw_call *call);
hw_exit hw_verb_compare(hw_call *call);
hw_exit hw_verb_reckon(hw_call *call);

#endif
