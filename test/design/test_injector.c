// Puts 1 to 15 faults of more than 60 kinds into the Heron example, 200 files (with the argument
// "long" 2,000 others): the messages must
// be exactly those of the faults, each at its line and column.
#include "base/rng.h"
#include "base/text.h"
#include "design/tree_internal.h"
#include "support.h"

enum { MOST = 15, ROOM = 1 << 16 };

static const char heron[] = HW_SOURCE_DIR "/examples/heron.yaml";

typedef enum where {
    ANY,          // in place of any number's text
    LENGTH,       // of a length's
    FORCE,        // of a force's
    ANGLE,        // of an angle's
    COUNT,        // of a count's
    KIND,         // of a mechanism's kind
    BACKWARDS,    // of travel.closed, with travel.open left alone
    RING,         // two lengths that name each other
    END,          // a line behind the last
    HAND,         // a line below "hand:"
    REQUIREMENTS, // a line below "requirements:"
    VARIANTS,     // lines below "variants:"
    VERSION,      // in place of the version
    FATAL         // a line behind the last that ends the reading: the only message of its file
} where;

// In `text`: ~ the old text. In what is said: ~ the entry's path. In `expected`: D its dimension
// and unit, R its range. In `found`: V the value 1e9 in the entry's unit.
typedef struct kind {
    where where;
    const char *text, *says, *found, *expected;
    size_t at; // column of the message behind the text's first
} kind;

enum { MOST_ENTRIES = 4096 }; // room for the entry table to grow; checked at the start
static char parens[200], endless[1400];

static const kind table[] = {
    {ANY, "7", "'~' needs a unit", "7", "D", 0},
    {ANY, "-7", "'~' needs a unit", "-7", "D", 0},
    {ANY, "3 V", "'~' is another quantity", "voltage", "D", 0},
    {ANY, "2 mA", "'~' is another quantity", "current", "D", 0},
    {ANY, "3 Wh", "'~' is another quantity", "energy", "D", 0},
    {ANY, "3 m * 2 m * 2 m * 2 m", "'~' is another quantity", "m^4", "D", 0},
    {ANY, "1e9 U", "'~' is out of its physical range", "V", "R", 0},
    {ANY, "3 furlong", "unknown unit", "furlong", "a unit such as mm, deg, N, N*mm, MPa", 2},
    {ANY, "2 * hand.lenght", "no entry has this name", "hand.lenght", "hand.length", 4},
    {ANY, "digits.indx.width", "no entry has this name", "digits.indx.width", "digits.index.width",
     0},
    {ANY, "zzz.yyy", "no entry has this name, nor one like it", "zzz.yyy", "", 0},
    {ANY, "foo(3 mm)", "unknown function", "foo",
     "min, max, abs, sqrt, sin, cos, tan, round, clamp", 0},
    {ANY, "3 mm +", "the expression ends too early", "", "a number or an entry", 6},
    {ANY, "(3 mm", "a parenthesis is not closed", "", ")", 5},
    {ANY, "3 mm 4", "the expression should end before this", "4", "an operator", 5},
    {ANY, "3 mm)", "the expression should end before this", ")", "an operator", 4},
    {ANY, "2 ^ 3", "the expression should end before this", "^", "an operator", 2},
    {ANY, ".nan", "a design holds finite numbers only", ".nan", "a finite number", 0},
    {ANY, "NaN", "a design holds finite numbers only", "NaN", "a finite number", 0},
    {ANY, "-.inf", "a design holds finite numbers only", ".inf", "a finite number", 1},
    {ANY, "1e400", "this number is too large", "1e400", "a number", 0},
    {ANY, "1 mm + 1 N", "unlike quantities on both sides of +", "force", "length", 5},
    {ANY, "1 s - 1 A", "unlike quantities on both sides of -", "current", "time", 4},
    {ANY, "sin(1 mm)", "sin takes an angle: give it deg or rad", "length", "angle", 0},
    {ANY, "acos(1 mm)", "acos takes a plain number", "length", "a plain number", 0},
    {ANY, "sqrt(1 mm)", "this has no square root", "length", "an even power", 0},
    {ANY, "round(3 mm)", "a quantity is rounded to a step: give it as the second argument",
     "length", "round(x, step)", 0},
    {ANY, "clamp(3 mm)", "clamp has 1 arguments here", "", "clamp(x, low, high)", 0},
    {ANY, "abs()", "this cannot begin a value", ")", "a number or an entry", 4},
    {ANY, "2 * /3", "this cannot begin a value", "/", "a number or an entry", 4},
    {ANY, "2 * hand.side", "this entry is a word", "hand.side", "an entry that is a number", 4},
    {ANY, "\"\"", "the expression ends too early", "", "a number or an entry", 0},
    {ANY, "{a: 1}", "'~' takes one value, not a group of keys", "", "N", 0},
    {ANY, "[1 mm]", "'~' takes one value, not a list", "", "N", 0},
    {ANY, "~~", "an entry refers to itself: ~ -> ~", "", "", 0},
    {ANY, parens, "the expression is nested too deeply", "", "", 64},
    {ANY, endless, "longer than 1000 characters: not an expression", "", "", 0},
    {ANY, "*x", "aliases (*name) are not used in design documents", "x", "", 0},
    {ANY, "&x ~", "anchors (&name) are not used in design documents", "x", "", 0},
    {ANY, "!x ~", "tags (!name) are not used in design documents", "!x", "", 0},
    {LENGTH, "1 m / 0", "'~' does not come out as a number", "inf", "a finite number", 0},
    {FORCE, "2 kg", "'~' is another quantity: a weight's force is written kgf or N", "mass", "D",
     0},
    {FORCE, "5 N*rad", "'~' is another quantity: angle is a dimension, divide by 1 rad",
     "m*kg*s^-2*rad", "D", 0},
    {ANGLE, "1 mm / 2 mm", "'~' is another quantity: angle is a dimension, multiply by 1 rad",
     "a plain number", "D", 0},
    {COUNT, "1.5", "'~' is not whole", "1.5", "a whole number", 0},
    {COUNT, "2 mm", "'~' is another quantity", "length", "a plain number", 0},
    {KIND, "rope", "'~' cannot be this", "rope", "coupled bars, direct or cord", 0},
    {KIND, "coupled bar", "'~' cannot be this", "coupled bar", "coupled bars", 0},
    {BACKWARDS, "-30 deg", "'~' is not beyond open", "-30 deg", "more than 0 deg", 0},
    {RING, NULL, NULL, "", "", 0},
    {END, "colour: red", "unknown key in the document", "colour",
     "name, revision, note, setting, hand, closing, printer", 0},
    {END, "prniter: {}", "unknown key in the document", "prniter", "printer", 0},
    {END, "tip_thickness: 3 mm", "unknown key in the document", "tip_thickness",
     "digits.thumb.tip_thickness", 0},
    {END, "hand: {}", "this key stands here twice", "hand", "", 0},
    {END, "<<: {}", "merge keys (<<) are not used in design documents", "<<", "", 0},
    {END, "pivot.boss: 3 mm", "'pivot.boss' is given a second time", "", "", 12},
    {END, "catalogue: none.yaml", "this catalogue was not found", "none.yaml", "a file", 11},
    {HAND, "  lenght: 3 mm", "unknown key in 'hand'", "lenght", "length", 2},
    {HAND, "  width: 3 mm", "unknown key in 'hand'", "width",
     "length, breadth, side, sex, percentile", 2},
    {REQUIREMENTS, "  hand/a: {}", "a requirement has low, high or both", "", "low or high", 10},
    {REQUIREMENTS, "  hand/b: 3", "a requirement has low, high or both", "3",
     "{low: value, high: value}", 10},
    {REQUIREMENTS, "  hand/c: {lo: 1, high: 2}", "unknown key in a requirement", "lo", "low", 11},
    {REQUIREMENTS, "  hand/d: {low: 3, high: 2}", "low is above high in this requirement", "", "",
     10},
    {VARIANTS, "  odd:\n    hand.length: 3 N", "'hand.length' is another quantity", "force",
     "length (mm)", 24},
    {VARIANTS, "  even: 3", "a variant holds keys", "3", "entries with their values", 8},
    {VARIANTS, "  own: {requirements: {}}", "this cannot stand in a variant", "requirements",
     "entries with their values", 8},
    {VERSION, "2", "this document is for a newer version of the program", "2", "1", 0},
    {VERSION, "1.5", "the document's version is a whole number", "1.5", "1", 0},
    {FATAL, "? [a]\n: 1", "a key is one word, not a list or a group", "", "a word", 2},
    {FATAL, "a: [1", NULL, "", "", 0},
    {FATAL, "a: \"b", NULL, "", "", 0},
    {FATAL, "\ta: b", NULL, "", "", 0},
    {FATAL, "a: b\x07", "control character 7 in the text", "", "", 4},
    {FATAL, "a: b\xFF", "byte 255 is not UTF-8 text", "", "UTF-8", 4},
};
enum { KINDS = sizeof table / sizeof table[0] };

typedef struct message {
    size_t offset; // in the file made
    int line, column;
    char text[200], found[64], expected[64];
} message;

typedef struct splice {
    size_t begin, end; // of the original
    char text[1500];
    bool says; // it carries a message; the second of a ring does not
    size_t at;
    message message;
} splice;

typedef struct target {
    hw_entry entry;
    const hw_node *node;
} target;

typedef struct bench {
    char *text;
    size_t len;
    target target[MOST_ENTRIES];
    size_t targets;
    splice splice[2 * MOST];
    size_t splices;
    bool used_entry[MOST_ENTRIES], used_kind[KINDS];
    size_t times[KINDS];
    hw_rng rng;
} bench;

static size_t offset_of(const bench *b, int line, int column)
{
    size_t i = 0;
    for (int l = 1; l < line; i++) l += b->text[i] == '\n';
    for (int c = 1; c < column; c++) i += hw_utf8_step((hw_text){b->text + i, b->len - i});
    return i;
}

static const hw_node *node_at(const hw_node *n, size_t begin)
{
    if (n->kind == HW_NODE_SCALAR) return n->begin == begin ? n : NULL;
    for (const hw_node *child = n->first; child; child = child->next) {
        const hw_node *found = node_at(child, begin);
        if (found) return found;
    }
    return NULL;
}

static size_t random_below(bench *b, size_t n)
{
    return (size_t)(hw_rng_next(&b->rng) % n);
}

static void put(char *to, size_t room, const char *from)
{
    snprintf(to, room, "%s", from);
}

// `~` stands for a text.
static void with_path(char *to, size_t room, const char *from, const char *path)
{
    size_t n = 0;
    for (; *from && n + 1 < room; from++) {
        if (*from != '~') {
            to[n++] = *from;
            continue;
        }
        for (const char *p = path; *p && n + 1 < room; p++) to[n++] = *p;
    }
    to[n] = '\0';
}

static void quantity(double si, hw_dim dim, char out[64])
{
    double scale;
    char number[HW_NUMBER_TEXT];
    const char *unit = hw_unit_of(dim, &scale);
    hw_number_write_rounded(si / scale, 6, number);
    snprintf(out, 64, "%s%s%s", number, unit[0] ? " " : "", unit);
}

static void expected_text(const hw_entry_row *row, const char *from, char out[64])
{
    double scale;
    const char *unit = hw_unit_of(row->dim, &scale);
    char low[64], high[64];
    if (strcmp(from, "D") == 0)
        snprintf(out, 64, unit[0] ? "%s (%s)" : "%s", hw_dim_name(row->dim), unit);
    else if (strcmp(from, "N") == 0)
        put(out, 64, hw_dim_name(row->dim));
    else if (strcmp(from, "R") == 0) {
        quantity(row->low, row->dim, low);
        quantity(row->high, row->dim, high);
        snprintf(out, 64, "%.25s to %.25s", low, high);
    } else
        put(out, 64, from);
}

static bool suits(const kind *k, hw_entry e)
{
    const hw_entry_row *row = hw_entry_row_of(e, NULL);
    // a plain number wants no unit, and volts and amperes are right where they are asked for
    bool number = row->type == HW_ENTRY_NUMBER && !hw_dim_same(row->dim, HW_DIM_NONE) &&
                  !hw_dim_same(row->dim, HW_DIM_VOLTAGE) && !hw_dim_same(row->dim, HW_DIM_CURRENT);
    if (k->where == ANY) return number;
    if (k->where == LENGTH || k->where == RING)
        return number && hw_dim_same(row->dim, HW_DIM_LENGTH);
    if (k->where == FORCE) return number && hw_dim_same(row->dim, HW_DIM_FORCE);
    if (k->where == ANGLE) return number && hw_dim_same(row->dim, HW_DIM_ANGLE);
    if (k->where == COUNT) return row->type == HW_ENTRY_COUNT;
    if (k->where == KIND) return strstr(row->path, "mechanism.kind") != NULL;
    return k->where == BACKWARDS && strstr(row->path, "travel.closed") != NULL;
}

static const target *free_target(bench *b, const kind *k)
{
    for (int tries = 0; tries < 200; tries++) {
        const target *t = &b->target[random_below(b, b->targets)];
        if (b->used_entry[t->entry] || !suits(k, t->entry)) continue;
        if (k->where == BACKWARDS && b->used_entry[t->entry - 1]) continue;
        b->used_entry[t->entry] = true;
        if (k->where == BACKWARDS) b->used_entry[t->entry - 1] = true;
        return t;
    }
    return NULL;
}

static splice *add(bench *b, size_t begin, size_t end, const char *text)
{
    splice *s = &b->splice[b->splices++];
    *s = (splice){.begin = begin, .end = end};
    put(s->text, sizeof s->text, text);
    return s;
}

static bool in_value(bench *b, const kind *k)
{
    const target *t = free_target(b, k);
    if (!t) return false;
    const hw_entry_row *row = hw_entry_row_of(t->entry, NULL);
    char path[HW_PATH_TEXT], old[200], text[1500];
    hw_entry_path(t->entry, path);
    snprintf(old, sizeof old, "%.*s", (int)(t->node->end - t->node->begin),
             b->text + t->node->begin);
    double scale;
    const char *unit = hw_unit_of(row->dim, &scale);
    bool self = strcmp(k->text, "~~") == 0, big = strcmp(k->text, "1e9 U") == 0;
    with_path(text, sizeof text, self ? "~" : k->text, self ? path : old);
    if (big) snprintf(text, sizeof text, "1e9 %s", unit);
    splice *s = add(b, t->node->begin, t->node->end, text);
    s->says = true;
    s->at = k->at;
    with_path(s->message.text, sizeof s->message.text, k->says, path);
    put(s->message.found, 64, k->found);
    if (big) quantity(1e9 * scale, row->dim, s->message.found);
    expected_text(row, k->expected, s->message.expected);
    return true;
}

static bool ring(bench *b, const kind *k)
{
    const target *one = free_target(b, k), *two = free_target(b, k);
    if (!one || !two) return false;
    char path[2][HW_PATH_TEXT];
    // The message stands at the first of the text and begins with it.
    bool turned = two->node->begin < one->node->begin;
    const target *first = turned ? two : one, *second = turned ? one : two;
    hw_entry_path(first->entry, path[0]);
    hw_entry_path(second->entry, path[1]);
    splice *says = add(b, first->node->begin, first->node->end, path[1]);
    add(b, second->node->begin, second->node->end, path[0]);
    says->says = true;
    snprintf(says->message.text, sizeof says->message.text,
             "entries refer to each other in a ring: %.50s -> %.50s -> %.50s", path[0], path[1],
             path[0]);
    return true;
}

// A line behind the line that `below` is, or behind the last.
static bool as_line(bench *b, const kind *k, const char *below)
{
    size_t at = b->len;
    if (below) {
        const char *found = strstr(b->text, below);
        if (!found) return false;
        at = (size_t)(found - b->text) + strlen(below);
    }
    char text[200];
    snprintf(text, sizeof text, "%s\n", k->text);
    splice *s = add(b, at, at, text);
    s->says = true;
    s->at = k->at;
    put(s->message.text, sizeof s->message.text, k->says ? k->says : "");
    put(s->message.found, 64, k->found);
    put(s->message.expected, 64, k->expected);
    return true;
}

static bool version(bench *b, const kind *k)
{
    const char *found = strstr(b->text, "\nhandwright: 1\n");
    if (!found) return false;
    size_t at = (size_t)(found - b->text) + 13;
    splice *s = add(b, at, at + 1, k->text);
    s->says = true;
    put(s->message.text, sizeof s->message.text, k->says);
    put(s->message.found, 64, k->found);
    put(s->message.expected, 64, k->expected);
    return true;
}

static bool inject(bench *b, size_t which)
{
    const kind *k = &table[which];
    if (k->where != ANY && b->used_kind[which]) return false;
    if (k->where != FATAL && !k->says && k->where != RING) return false;
    bool done = false;
    if (k->where == VERSION) {
        for (size_t i = 0; i < KINDS; i++) // one version a document
            if (table[i].where == VERSION && b->used_kind[i]) return false;
        done = version(b, k);
    } else if (k->where == RING)
        done = ring(b, k);
    else if (k->where == END || k->where == FATAL)
        done = as_line(b, k, NULL);
    else if (k->where == HAND)
        done = as_line(b, k, "\nhand:\n");
    else if (k->where == REQUIREMENTS)
        done = as_line(b, k, "\nrequirements:\n");
    else if (k->where == VARIANTS)
        done = as_line(b, k, "\nvariants:\n");
    else
        done = in_value(b, k);
    if (done) b->used_kind[which] = true;
    return done;
}

static int by_place(const void *left, const void *right)
{
    const message *a = left, *b = right;
    if (a->line != b->line) return a->line - b->line;
    return a->column - b->column;
}

// The file with all splices, and where the messages stand in it.
static size_t make_file(const bench *b, char *out, message said[], size_t *n)
{
    size_t order[2 * MOST], len = 0, from = 0;
    *n = 0;
    for (size_t i = 0; i < b->splices; i++) {
        size_t k = i;
        for (; k > 0 && b->splice[order[k - 1]].begin > b->splice[i].begin; k--)
            order[k] = order[k - 1];
        order[k] = i;
    }
    for (size_t i = 0; i < b->splices; i++) {
        const splice *s = &b->splice[order[i]];
        memcpy(out + len, b->text + from, s->begin - from);
        len += s->begin - from;
        if (s->says) {
            said[*n] = s->message;
            said[(*n)++].offset = len + s->at;
        }
        memcpy(out + len, s->text, strlen(s->text));
        len += strlen(s->text);
        from = s->end;
    }
    memcpy(out + len, b->text + from, b->len - from);
    len += b->len - from;
    for (size_t i = 0; i < *n; i++) {
        said[i].line = said[i].column = 1;
        for (size_t k = 0; k < said[i].offset; k++) {
            bool line = out[k] == '\n';
            if (line) said[i].line++;
            said[i].column = line ? 1 : said[i].column + (((unsigned char)out[k] & 0xC0) != 0x80);
        }
    }
    qsort(said, *n, sizeof *said, by_place);
    return len;
}

static bool prepare(bench *b, hw_arena *a)
{
    size_t len = 0;
    char *text = file_text(heron, &len);
    if (!CHECK(text && len < ROOM / 2)) return false;
    b->text = text;
    b->len = len;
    hw_read_def def = {.file = "heron.yaml"};
    hw_design *d;
    hw_source source;
    hw_faults faults = {.arena = a};
    if (!CHECK(hw_design_read(a, (hw_text){text, len}, &def, &d, NULL) == HW_OK)) return false;
    hw_source_init(&source, a, "heron.yaml", (hw_text){text, len});
    const hw_node *root = hw_tree_read(a, &source, &faults);
    for (hw_entry e = 0; (size_t)e < hw_entry_count(); e++) {
        int line, column;
        if (!hw_design_place(d, e, &line, &column)) continue;
        const hw_node *node = node_at(root, offset_of(b, line, column));
        if (CHECK(node != NULL) && node->style == HW_STYLE_PLAIN)
            b->target[b->targets++] = (target){e, node};
    }
    return CHECK(b->targets > 80);
}

static void one_file(bench *b, hw_arena *a, bool fatal)
{
    static char out[ROOM];
    message said[2 * MOST];
    size_t n;
    b->splices = 0;
    memset(b->used_entry, 0, sizeof b->used_entry);
    memset(b->used_kind, 0, sizeof b->used_kind);
    size_t want = fatal ? 1 : 1 + random_below(b, MOST), put_in = 0;
    for (int tries = 0; tries < 400 && put_in < want; tries++) {
        size_t which = random_below(b, KINDS);
        if ((table[which].where == FATAL) != fatal) continue;
        if (inject(b, which)) put_in++, b->times[which]++;
    }
    size_t len = make_file(b, out, said, &n), mark = hw_arena_mark(a);
    hw_diag item[64];
    hw_diags diags = {item, 0, 64, 0};
    hw_read_def def = {.file = "heron.yaml"};
    hw_design *d;
    hw_code code = hw_design_read(a, (hw_text){out, len}, &def, &d, &diags);
    bool right = code == HW_BAD_INPUT && !d && diags.count == n && diags.dropped == 0;
    for (size_t i = 0; i < n && right; i++) {
        if (!said[i].text[0]) { // the parser's own words, wherever it noticed
            right = strncmp(item[i].text, "not valid YAML: ", 16) == 0 && item[i].line > 0;
            continue;
        }
        right = item[i].line == said[i].line && item[i].column == said[i].column &&
                strcmp(item[i].text, said[i].text) == 0 &&
                strcmp(item[i].found, said[i].found) == 0 &&
                strcmp(item[i].expected, said[i].expected) == 0;
    }
    if (!CHECK(right) && hw_check.case_fails < 4) {
        printf("    %zu messages for %zu faults\n", diags.count, n);
        for (size_t i = 0; i < n || i < diags.count; i++) {
            if (i < n)
                printf("    want %d:%d: %s | %s | %s\n", said[i].line, said[i].column, said[i].text,
                       said[i].found, said[i].expected);
            if (i < diags.count)
                printf("    got  %d:%d: %s | %s | %s\n", item[i].line, item[i].column, item[i].text,
                       item[i].found, item[i].expected);
        }
    }
    hw_arena_rewind(a, mark);
}

static int files = 200;

static void broken_herons(void)
{
    static bench b;
    if (!CHECK(hw_entry_count() <= MOST_ENTRIES)) return;
    memset(parens, '(', sizeof parens - 1);
    memset(endless, ' ', sizeof endless - 1);
    memcpy(endless, "3 mm +", 6);
    memcpy(endless + sizeof endless - 6, "3 mm", 4);
    endless[sizeof endless - 2] = '\0';
    hw_arena *a = hw_arena_new(0);
    b.rng = hw_rng_new(2026, (unsigned)files);
    if (prepare(&b, a))
        for (int i = 0; i < files; i++) one_file(&b, a, i % 20 == 19);
    size_t kinds = 0;
    for (size_t i = 0; i < KINDS; i++) kinds += b.times[i] > 0;
    printf("%zu kinds of fault in %d files\n", kinds, files);
    CHECK(kinds >= 60);
    free(b.text);
    hw_arena_free(a);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    if (argc > 1 && strcmp(argv[1], "long") == 0) files = 2000;
    RUN(broken_herons);
    return TEST_END();
}
