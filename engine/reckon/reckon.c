#include "reckon/reckon.h"
#include "base/text.h"
#include "reckon/reckon_internal.h"

#include <math.h>
#include <string.h>

enum { MOST_POINTS = 4096 };

// ---- results

static hw_reckon_result *next_result(results *r, const char *name)
{
    if (r->n == r->room) {
        r->full = true;
        return NULL;
    }
    hw_reckon_result *out = &r->out[r->n++];
    *out = (hw_reckon_result){.value = (double)NAN, .unit = ""};
    size_t len = strlen(name);
    if (len >= sizeof out->name) len = sizeof out->name - 1;
    memcpy(out->name, name, len);
    return out;
}

void hw_reckon_put_number(results *r, const char *name, double value, hw_dim dim, const char *unit)
{
    if (isnan(value)) {
        r->none = true;
        return;
    }
    hw_reckon_result *out = next_result(r, name);
    if (!out) return;
    out->dim = dim;
    out->unit = unit;
    if (isinf(value))
        out->text = "unlimited";
    else
        out->value = value;
}

void hw_reckon_put_text(results *r, const char *name, const char *text)
{
    hw_reckon_result *out = next_result(r, name);
    if (out) out->text = text;
}

static void say(hw_diags *d, hw_text found, hw_text expected, const char *text)
{
    hw_diag_say(d, HW_BAD_INPUT, NULL, 0, 0, found, expected, hw_text_of(text));
}

hw_code hw_reckon_results_done(const results *r, size_t *n, hw_diags *diags)
{
    *n = r->n;
    if (r->none) {
        say(diags, (hw_text){NULL, 0}, (hw_text){NULL, 0}, "no answer exists for these values");
        return HW_BAD_INPUT;
    }
    return r->full ? HW_LIMIT : HW_OK;
}

double hw_reckon_shown(const hw_reckon_result *r)
{
    hw_unit u;
    size_t used;
    if (hw_unit_read(hw_text_of(r->unit), &u, &used) != HW_OK) return r->value;
    return hw_from_si(r->value, &u);
}

// ---- names

const hw_reckon_row *hw_reckon_find(hw_text name)
{
    size_t n;
    const hw_reckon_row *row = hw_reckon_rows(&n);
    for (size_t i = 0; i < n; i++)
        if (hw_text_same(hw_text_of(row[i].name), name)) return &row[i];
    return NULL;
}

// Near enough to be meant: a third of the letters may differ.
static bool is_near(hw_text given, const char *name, size_t *best)
{
    size_t d = hw_text_distance(given, hw_text_of(name));
    if (d > (strlen(name) + 2) / 3 || d >= *best) return false;
    *best = d;
    return true;
}

const char *hw_reckon_nearest(hw_text name)
{
    size_t n, best = SIZE_MAX;
    const hw_reckon_row *row = hw_reckon_rows(&n);
    const char *nearest = NULL;
    for (size_t i = 0; i < n; i++)
        if (is_near(name, row[i].name, &best)) nearest = row[i].name;
    return nearest;
}

static const char *nearest_key(const hw_reckon_row *row, hw_text name)
{
    size_t best = SIZE_MAX;
    const char *nearest = NULL;
    for (size_t i = 0; i < row->ins; i++)
        if (is_near(name, row->in[i].name, &best)) nearest = row->in[i].name;
    return nearest;
}

bool hw_reckon_split(hw_text word, hw_reckon_arg *out)
{
    const char *cut = word.len ? memchr(word.at, '=', word.len) : NULL;
    if (!cut || cut == word.at) return false;
    size_t key = (size_t)(cut - word.at);
    out->key = (hw_text){word.at, key};
    out->value = (hw_text){cut + 1, word.len - key - 1};
    return true;
}

// ---- values

typedef struct reading {
    const hw_reckon_row *row;
    hw_arena *arena;
    hw_diags *diags;
    hw_reckon_given given;
    hw_vec2 *point;
    size_t faults, bare_ratios, ratios;
    hw_code stop; // HW_LIMIT or HW_NO_MEMORY: nothing more is read
} reading;

// A fault of one key: its name goes in front of the words.
static void fault(reading *r, const char *key, hw_text found, const char *expected,
                  const char *text)
{
    hw_buffer b = {.arena = r->arena};
    hw_buffer_format(&b, "%s: %s", key, text);
    say(r->diags, found, hw_text_of(expected), b.at ? b.at : text);
    r->faults++;
}

static hw_text trimmed(hw_text t)
{
    while (t.len && (t.at[0] == ' ' || t.at[0] == '\t')) t = (hw_text){t.at + 1, t.len - 1};
    while (t.len && (t.at[t.len - 1] == ' ' || t.at[t.len - 1] == '\t')) t.len--;
    return t;
}

// "force, such as 5 N"
static const char *wanted(reading *r, const hw_reckon_key *key)
{
    double scale;
    const char *unit = hw_unit_of(key->dim, &scale);
    if (hw_dim_same(key->dim, HW_DIM_NONE)) return "a plain number";
    hw_buffer b = {.arena = r->arena};
    hw_buffer_format(&b, "%s, such as 5 %s", hw_dim_name(key->dim), unit);
    return b.at ? b.at : hw_dim_name(key->dim);
}

static bool in_range(const hw_reckon_key *key, double si)
{
    if (isnan(si)) return false;
    if (!isnan(key->low) && (si < key->low || (key->above && si == key->low))) return false;
    return isnan(key->high) || si <= key->high;
}

static void put_bound(hw_buffer *b, const hw_reckon_key *key, double si)
{
    double scale;
    const char *unit = hw_unit_of(key->dim, &scale);
    char text[HW_NUMBER_TEXT];
    size_t n = hw_number_write_rounded(si / scale, 6, text);
    hw_buffer_put(b, (hw_text){text, n});
    hw_buffer_format(b, unit[0] ? " %s" : "%s", unit);
}

static const char *range_text(reading *r, const hw_reckon_key *key)
{
    hw_buffer b = {.arena = r->arena};
    if (!isnan(key->low)) {
        hw_buffer_puts(&b, key->above ? "more than " : "at least ");
        put_bound(&b, key, key->low);
    }
    if (!isnan(key->high)) {
        hw_buffer_puts(&b, b.len ? ", at most " : "at most ");
        put_bound(&b, key, key->high);
    }
    return b.at ? b.at : "a value in range";
}

// Unit and number to SI; false after a fault.
static bool with_unit(reading *r, const hw_reckon_key *key, hw_text value, double number,
                      hw_text unit_text, double *si)
{
    if (key->also && hw_text_same(unit_text, hw_text_of(key->also))) {
        *si = number * key->also_scale;
        return true;
    }
    hw_unit u;
    size_t used;
    if (hw_unit_read(unit_text, &u, &used) != HW_OK || used != unit_text.len) {
        fault(r, key->name, value, wanted(r, key), "not a unit that is known");
        return false;
    }
    if (!hw_dim_same(u.dim, key->dim)) {
        fault(r, key->name, value, wanted(r, key), "another quantity than the formula takes");
        return false;
    }
    *si = key->kind == HW_RECKON_DIFFERENCE ? number * u.scale : hw_to_si(number, &u);
    return true;
}

static void read_number(reading *r, const hw_reckon_key *key, hw_text value, double *si)
{
    double number = 0;
    size_t used = hw_number_read(value, &number);
    if (used == 0 || !isfinite(number)) {
        fault(r, key->name, value, wanted(r, key), used ? "too large a number" : "not a number");
        return;
    }
    hw_text unit_text = trimmed((hw_text){value.at + used, value.len - used});
    *si = number;
    if (key->kind == HW_RECKON_RATIO) {
        r->ratios++;
        r->bare_ratios += unit_text.len == 0;
    }
    bool bare_is_right = hw_dim_same(key->dim, HW_DIM_NONE) || key->kind == HW_RECKON_RATIO;
    if (unit_text.len == 0 && number != 0 && !bare_is_right) {
        fault(r, key->name, value, wanted(r, key), "a number without its unit");
        return;
    }
    if (unit_text.len && !with_unit(r, key, value, number, unit_text, si)) return;
    if (!in_range(key, *si)) fault(r, key->name, value, range_text(r, key), "out of range");
}

static void read_choice(reading *r, const hw_reckon_key *key, hw_text value, double *number)
{
    const char *at = key->choices;
    for (int place = 0; *at; place++) {
        size_t len = strcspn(at, "|");
        if (hw_text_same((hw_text){at, len}, value)) {
            *number = place;
            return;
        }
        at += len + (at[len] == '|');
    }
    fault(r, key->name, value, key->choices, "not one of the words that it may be");
}

static bool is_between(char c)
{
    return c == ' ' || c == ',' || c == ';' || c == ':' || c == '[' || c == ']' || c == '(' ||
           c == ')' || c == '\t' || c == '\n' || c == '\r';
}

// One coordinate at the start of t, bare in mm or with a unit of length. Returns the bytes used, 0
// when there is none.
static size_t read_coordinate(hw_text t, double *si)
{
    double x;
    size_t used = hw_number_read(t, &x);
    if (used == 0 || !isfinite(x)) return 0;
    hw_unit u;
    size_t unit_bytes;
    hw_code code = hw_unit_read((hw_text){t.at + used, t.len - used}, &u, &unit_bytes);
    bool bare = code != HW_OK;
    if (!bare && !hw_dim_same(u.dim, HW_DIM_LENGTH)) return 0;
    *si = x * (bare ? 1e-3 : u.scale);
    return used + unit_bytes;
}

// Numbers in pairs; what stands between them does not matter.
static void read_points(reading *r, const hw_reckon_key *key, hw_text value)
{
    const char *want = "pairs x,z:x,z in mm";
    r->point = HW_NEW(r->arena, hw_vec2, MOST_POINTS);
    if (!r->point) {
        r->stop = HW_NO_MEMORY;
        return;
    }
    size_t numbers = 0, i = 0;
    while (i < value.len) { // each turn takes at least one byte
        if (is_between(value.at[i])) {
            i++;
            continue;
        }
        double x;
        hw_text rest = {value.at + i, value.len - i};
        size_t used = read_coordinate(rest, &x);
        if (used == 0) {
            fault(r, key->name, rest, want, "not a number of mm");
            return;
        }
        i += used;
        if (numbers / 2 == MOST_POINTS) {
            r->stop = HW_LIMIT;
            fault(r, key->name, (hw_text){NULL, 0}, "4096 points at most", "too many points");
            return;
        }
        hw_vec2 *p = &r->point[numbers / 2];
        *(numbers++ % 2 ? &p->z : &p->x) = x;
    }
    if (numbers % 2)
        fault(r, key->name, (hw_text){NULL, 0}, want, "a point without its second number");
    r->given.point = r->point;
    r->given.points = numbers / 2;
}

static void read_gauge(reading *r, const hw_reckon_key *key, hw_text value, double *number)
{
    size_t zeros = 0;
    while (zeros < value.len && value.at[zeros] == '0') zeros++;
    if (zeros == 0 || zeros < value.len) {
        read_number(r, key, value, number);
        return;
    }
    *number = 1.0 - (double)zeros;
    if (!in_range(key, *number)) fault(r, key->name, value, range_text(r, key), "out of range");
}

static void read_value(reading *r, size_t k, hw_text value)
{
    const hw_reckon_key *key = &r->row->in[k];
    if (key->kind == HW_RECKON_GAUGE)
        read_gauge(r, key, value, &r->given.number[k]);
    else if (key->kind == HW_RECKON_POINTS)
        read_points(r, key, value);
    else if (key->kind == HW_RECKON_CHOICE)
        read_choice(r, key, value, &r->given.number[k]);
    else
        read_number(r, key, value, &r->given.number[k]);
}

static size_t key_at(const hw_reckon_row *row, hw_text name)
{
    size_t k = 0;
    while (k < row->ins && !hw_text_same(hw_text_of(row->in[k].name), name)) k++;
    return k;
}

static void read_args(reading *r, const hw_reckon_arg arg[], size_t args)
{
    bool seen[HW_RECKON_KEYS] = {false};
    for (size_t i = 0; i < args && !r->stop; i++) {
        size_t k = key_at(r->row, arg[i].key);
        if (k == r->row->ins) {
            const char *near = nearest_key(r->row, arg[i].key);
            say(r->diags, arg[i].key, hw_text_of(near ? near : r->row->example),
                "the formula has no such key");
            r->faults++;
            continue;
        }
        if (seen[k]) {
            fault(r, r->row->in[k].name, arg[i].value, "one value", "given twice");
            continue;
        }
        seen[k] = true;
        read_value(r, k, trimmed(arg[i].value));
    }
    for (size_t k = 0; k < r->row->ins && !r->stop; k++) {
        if (seen[k]) continue;
        if (r->row->in[k].fallback)
            read_value(r, k, hw_text_of(r->row->in[k].fallback));
        else
            fault(r, r->row->in[k].name, (hw_text){NULL, 0}, r->row->in[k].sentence, "is missing");
    }
    if (r->bare_ratios && r->bare_ratios != r->ratios)
        fault(r, "lengths", (hw_text){NULL, 0}, "all with units, or all bare", "some have no unit");
}

hw_code hw_reckon_eval(const hw_reckon_row *row, const hw_reckon_arg arg[], size_t args,
                       hw_arena *arena, hw_reckon_result out[], size_t room, size_t *n,
                       hw_diags *diags)
{
    *n = 0;
    reading r = {.row = row, .arena = arena, .diags = diags, .stop = HW_OK};
    read_args(&r, arg, args);
    if (r.stop) return r.stop;
    if (hw_arena_failed(arena)) return HW_NO_MEMORY;
    if (r.faults) return HW_BAD_INPUT;
    return row->run(&r.given, out, room, n, diags);
}
