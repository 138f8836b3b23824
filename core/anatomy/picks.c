// Picked points as text.
#include "anatomy/scan.h"
#include "base/text.h"
#include "base/units.h"

#include <math.h>
#include <string.h>

static const char *const names[HW_MARKS] = {
    "wrist",     "thumb.cmc", "thumb.mcp",  "thumb.ip",   "thumb.tip",  "index.mcp",  "index.pip",
    "index.dip", "index.tip", "middle.mcp", "middle.pip", "middle.dip", "middle.tip", "ring.mcp",
    "ring.pip",  "ring.dip",  "ring.tip",   "little.mcp", "little.pip", "little.dip", "little.tip",
};

const char *hw_mark_name(int mark)
{
    return mark >= 0 && mark < HW_MARKS ? names[mark] : "no mark";
}

typedef struct reader {
    hw_text line;
    size_t at;   // bytes read of the line
    size_t word; // where the last word begins
    int number;
    const char *file;
    hw_diags *diags;
    hw_picks *out;
    bool bad;
} reader;

static bool is_space(char c)
{
    return c == ' ' || c == '\t' || c == '\r';
}

static hw_text next_word(reader *r)
{
    while (r->at < r->line.len && is_space(r->line.at[r->at])) r->at++;
    r->word = r->at;
    while (r->at < r->line.len && !is_space(r->line.at[r->at])) r->at++;
    return (hw_text){r->line.at + r->word, r->at - r->word};
}

static bool refuse(reader *r, hw_text found, const char *expected, const char *text)
{
    int column = (int)hw_utf8_count((hw_text){r->line.at, r->word}) + 1;
    hw_diag_say(r->diags, HW_BAD_INPUT, r->file, r->number, column, found, hw_text_of(expected),
                hw_text_of(text));
    r->bad = true;
    return false;
}

static bool is(hw_text t, const char *word)
{
    return hw_text_same(t, hw_text_of(word));
}

// Words that begin a line, for the nearest one.
static const char *nearest(hw_text t)
{
    static const char *const others[] = {"unit", "side", "accuracy"};
    const char *best = "a mark such as index.mcp";
    size_t least = 2 + t.len / 4; // "index" is no "side"
    for (int k = 0; k < HW_MARKS + 3; k++) {
        const char *name = k < HW_MARKS ? names[k] : others[k - HW_MARKS];
        size_t d = hw_text_distance(t, hw_text_of(name));
        if (d < least) {
            least = d;
            best = name;
        }
    }
    return best;
}

static bool read_number(reader *r, const char *what, double *out) // [1]
{
    hw_text t = next_word(r);
    size_t sign = t.len && *t.at == '+' ? 1 : 0;
    size_t n = hw_number_read((hw_text){t.at + sign, t.len - sign}, out);
    if (n > 0 && sign + n == t.len && isfinite(*out)) return true;
    return refuse(r, t, what, t.len ? "is not a number" : "the line ends here");
}

static bool read_unit(reader *r, hw_unit *unit, hw_text *word)
{
    hw_text t = *word = next_word(r);
    size_t used = 0;
    hw_code code = hw_unit_read(t, unit, &used);
    bool length = code == HW_OK && used == t.len && hw_dim_same(unit->dim, HW_DIM_LENGTH);
    if (length) return true;
    return refuse(r, t, "a length, such as mm, cm, m or in",
                  t.len ? "is not a unit of length" : "the line ends here");
}

static const char *const units[] = {"mm", "cm", "m", "in"};

static bool read_mesh_unit(reader *r)
{
    hw_unit unit;
    hw_text t;
    r->out->unit_line = r->number;
    if (!read_unit(r, &unit, &t)) return false;
    for (size_t k = 0; k < sizeof units / sizeof *units; k++)
        if (is(t, units[k])) {
            r->out->unit = units[k];
            r->out->scale = unit.scale;
            return true;
        }
    return refuse(r, t, "mm, cm, m or in", "meshes are not taken in this unit");
}

static bool read_side(reader *r)
{
    hw_text t = next_word(r);
    r->out->side_line = r->number;
    r->out->side = is(t, "right") ? HW_SCAN_RIGHT : is(t, "left") ? HW_SCAN_LEFT : HW_SCAN_ANY;
    if (r->out->side != HW_SCAN_ANY) return true;
    return refuse(r, t, "right or left", t.len ? "is not a side" : "the line ends here");
}

static bool read_accuracy(reader *r)
{
    hw_unit unit;
    hw_text t;
    double v = 0;
    if (!read_number(r, "a length, such as 2 mm", &v)) return false;
    if (!(v > 0)) return refuse(r, hw_text_of("0 or less"), "above 0", "is no accuracy");
    if (!read_unit(r, &unit, &t)) return false;
    r->out->accuracy = v * unit.scale;
    return true;
}

static bool read_pick(reader *r, int mark)
{
    bool tip = mark != HW_MARK_WRIST && (mark - 1) % 4 == 3;
    int face = HW_DORSAL;
    size_t label = r->word;
    if (!tip) {
        hw_text t = next_word(r);
        if (is(t, "palmar"))
            face = HW_PALMAR;
        else if (!is(t, "dorsal"))
            return refuse(r, t, "dorsal or palmar",
                          t.len ? "does not say on which face" : "the line ends here");
    }
    double v[3] = {0};
    for (int k = 0; k < 3; k++)
        if (!read_number(r, "three coordinates", &v[k])) return false;
    hw_pick *p = &r->out->pick[mark][face];
    if (p->line) {
        char first[24 + HW_NUMBER_TEXT] = "once; it stands in line ";
        hw_number_write(p->line, first + 24);
        r->word = label;
        return refuse(r, hw_text_of(names[mark]), first, "is picked twice");
    }
    *p = (hw_pick){{v[0], v[1], v[2]}, r->number};
    return true;
}

static bool read_line(reader *r)
{
    hw_text t = next_word(r);
    if (!t.len) return true;
    int mark = -1;
    for (int k = 0; k < HW_MARKS; k++)
        if (is(t, names[k])) mark = k;
    bool ok = mark >= 0           ? read_pick(r, mark)
              : is(t, "unit")     ? read_mesh_unit(r)
              : is(t, "side")     ? read_side(r)
              : is(t, "accuracy") ? read_accuracy(r)
                                  : refuse(r, t, nearest(t), "is not known here");
    if (!ok) return false;
    t = next_word(r);
    return !t.len || refuse(r, t, "the end of the line", "is one too many");
}

hw_code hw_picks_read(hw_text bytes, const char *file, hw_diags *diags, hw_picks *out)
{
    *out = (hw_picks){.scale = (double)NAN, .accuracy = (double)NAN};
    reader r = {.file = file, .diags = diags, .out = out};
    size_t bad = hw_utf8_bad(bytes);
    for (size_t at = 0; at < bytes.len;) {
        const char *end = memchr(bytes.at + at, '\n', bytes.len - at);
        size_t n = end ? (size_t)(end - bytes.at) - at : bytes.len - at;
        const char *note = memchr(bytes.at + at, '#', n);
        r.line = (hw_text){bytes.at + at, note ? (size_t)(note - bytes.at) - at : n};
        r.at = r.word = 0;
        r.number++;
        if (bad >= at && bad < at + n) {
            r.line.len = n;
            r.word = bad - at;
            refuse(&r, (hw_text){0}, "text in UTF-8", "is not text");
            break;
        }
        (void)read_line(&r); // every line's fault is said
        at += n + 1;
    }
    return r.bad ? HW_BAD_INPUT : HW_OK;
}
