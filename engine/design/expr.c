// Expressions compiled by recursive descent:
//   sum = product {(+ | -) product}, product = signed {(* | · | × | /) signed},
//   signed = [- | +] value, value = number [unit] | (sum) | name(sum, ...) | entry.path
#include "design/expr_internal.h"

#include "base/text.h"

#include <math.h>
#include <stdarg.h>
#include <string.h>

enum { OPS = 200, NESTING = 64 };

typedef struct part { // what a piece of the expression is
    hw_dim dim;
    bool zero; // the number 0 without a unit
} part;

typedef struct compiler {
    hw_faults *faults;
    const hw_expr_place *place;
    hw_text text;
    size_t at;
    hw_op op[OPS];
    size_t ops, depth;
    int nesting;
    bool constant;
    bool failed;
} compiler;

static part sum(compiler *c);

static size_t offset_of(const compiler *c, size_t at)
{
    return c->place->exact ? c->place->offset + at : c->place->offset;
}

static hw_text rest(const compiler *c)
{
    if (!c->text.at)
        return (hw_text){NULL, 0}; // nothing may be added to a null pointer, not even 0
    return (hw_text){c->text.at + c->at, c->text.len - c->at};
}

// The first fault of an expression is its only one.
__attribute__((format(printf, 5, 6))) static void fail(compiler *c, size_t where, hw_text found,
                                                       hw_text expected, const char *format, ...)
{
    if (!c->failed) {
        va_list list;
        va_start(list, format);
        hw_fault_add_list(c->faults, HW_BAD_INPUT, c->place->source, offset_of(c, where), found,
                          expected, format, list);
        va_end(list);
    }
    c->failed = true;
}

static const hw_text nothing = {NULL, 0};

static bool is_letter(char ch)
{
    return (ch >= 'a' && ch <= 'z') || (ch >= 'A' && ch <= 'Z') || ch == '_';
}

static bool is_digit(char ch)
{
    return ch >= '0' && ch <= '9';
}

static void skip_space(compiler *c)
{
    while (c->at < c->text.len && strchr(" \t\n\r", c->text.at[c->at])) c->at++;
}

static bool take(compiler *c, const char *sign)
{
    size_t n = strlen(sign);
    if (rest(c).len < n || memcmp(rest(c).at, sign, n) != 0) return false;
    c->at += n;
    skip_space(c);
    return true;
}

static void emit(compiler *c, hw_op op)
{
    if (c->failed) return;
    bool pushes = op.code == HW_OP_NUMBER || op.code == HW_OP_ENTRY;
    if (c->ops == OPS || (pushes && c->depth == HW_EXPR_STACK)) {
        fail(c, c->at, nothing, nothing, "the expression is too long: split it");
        return;
    }
    if (pushes)
        c->depth++;
    else if (op.code == HW_OP_FUNCTION)
        c->depth -= (size_t)op.args - 1;
    else if (op.code != HW_OP_NEGATE)
        c->depth--;
    c->op[c->ops++] = op;
}

// The unit behind a number; what looks like one but goes on as a function's name is none.
static bool read_unit(const compiler *c, hw_unit *unit, size_t *used)
{
    hw_text t = rest(c);
    for (int tries = 0; tries < 8; tries++) {
        if (hw_unit_read(t, unit, used) != HW_OK) return false;
        bool called = c->at + *used < c->text.len && c->text.at[c->at + *used] == '(' &&
                      is_letter(c->text.at[c->at + *used - 1]);
        if (!called) return true;
        size_t n = *used;
        while (n > 0 && (is_letter(t.at[n - 1]) || is_digit(t.at[n - 1]))) n--;
        if (n == 0) return false;
        t.len = n;
    }
    return false;
}

static bool starts(hw_text t, const char *with)
{
    size_t n = strlen(with);
    return t.len >= n && memcmp(t.at, with, n) == 0;
}

// A word behind a number that is no unit.
static bool refuse_word(compiler *c)
{
    hw_text t = rest(c);
    if (t.len == 0 || starts(t, "\xC2\xB7") || starts(t, "\xC3\x97")) return false;
    if (!is_letter(t.at[0]) && (unsigned char)t.at[0] < 0x80) return false;
    size_t len = 0;
    while (len < t.len && !strchr(" ,+-*/()", t.at[len])) len++;
    fail(c, c->at, (hw_text){t.at, len}, HW_TEXT("a unit such as mm, deg, N, N*mm, MPa"),
         "unknown unit");
    return true;
}

static part number(compiler *c)
{
    part out = {.dim = HW_DIM_NONE};
    size_t begin = c->at, used = 0;
    double x = 0;
    size_t n = hw_number_read(rest(c), &x);
    c->at += n;
    if (n == 0 || !isfinite(x)) {
        fail(c, begin, (hw_text){c->text.at + begin, n ? n : 1}, HW_TEXT("a number"),
             n ? "this number is too large" : "no number can be read here");
        return out;
    }
    skip_space(c);
    hw_unit unit;
    if (read_unit(c, &unit, &used)) {
        c->at += used;
        out.dim = unit.dim;
        x = hw_to_si(x, &unit);
        if (!isfinite(x))
            fail(c, begin, nothing, nothing, "this number with its unit is out of all range");
    } else {
        if (refuse_word(c)) return out;
        out.zero = x == 0;
    }
    emit(c, (hw_op){.code = HW_OP_NUMBER, .number = x});
    skip_space(c);
    return out;
}

// A path: letters, digits, _ and dots; `*` as a whole step where it stands for a digit's name.
static hw_text read_path(compiler *c)
{
    size_t begin = c->at;
    while (c->at < c->text.len) {
        char ch = c->text.at[c->at];
        bool star = ch == '*' && c->place->digit >= 0 && c->at > begin &&
                    c->text.at[c->at - 1] == '.' && c->at + 1 < c->text.len &&
                    c->text.at[c->at + 1] == '.';
        if (!is_letter(ch) && !is_digit(ch) && ch != '.' && !star) break;
        c->at++;
    }
    return (hw_text){c->text.at + begin, c->at - begin};
}

static hw_entry find_entry(const compiler *c, hw_text path)
{
    hw_entry e = hw_entry_find(path);
    if (e >= 0 || c->place->digit < 0) return e;
    size_t n;
    const hw_entry_row *row = hw_entry_rows(&n);
    for (size_t r = 0; r < n; r++)
        if (hw_text_same(hw_text_of(row[r].path), path))
            return hw_entry_of((hw_entry_id)r, c->place->digit);
    return -1;
}

static part entry(compiler *c, size_t begin, hw_text path)
{
    part out = {.dim = HW_DIM_NONE};
    char near[HW_PATH_TEXT];
    if (!c->place->entries) {
        fail(c, begin, path, HW_TEXT("numbers with units"), "entries cannot be named here");
        return out;
    }
    hw_entry e = find_entry(c, path);
    if (e < 0) {
        hw_text better = hw_entry_nearest(path, near);
        fail(c, begin, path, better,
             better.len ? "no entry has this name" : "no entry has this name, nor one like it");
        return out;
    }
    const hw_entry_row *row = hw_entry_row_of(e, NULL);
    // whose sizes: the functions of people take it as its place in its list
    bool word = row->type != HW_ENTRY_NUMBER && row->type != HW_ENTRY_COUNT;
    if (word && e != HW_E_HAND_SEX) {
        fail(c, begin, path, HW_TEXT("an entry that is a number"), "this entry is a word");
        return out;
    }
    out.dim = row->dim;
    c->constant = false;
    emit(c, (hw_op){.code = HW_OP_ENTRY, .entry = (int16_t)e});
    return out;
}

static bool alike(part a, part b)
{
    return a.zero || b.zero || hw_dim_same(a.dim, b.dim);
}

static bool halve(hw_dim *d)
{
    if (d->m % 2 || d->kg % 2 || d->s % 2 || d->A % 2 || d->K % 2 || d->rad % 2) return false;
    *d = (hw_dim){(int8_t)(d->m / 2), (int8_t)(d->kg / 2), (int8_t)(d->s / 2),
                  (int8_t)(d->A / 2), (int8_t)(d->K / 2),  (int8_t)(d->rad / 2)};
    return true;
}

// The one dimension of all arguments; the number 0 takes that of the others.
static hw_dim common_dim(compiler *c, size_t begin, const hw_function *fn, const part *arg, int n)
{
    part all = arg[0];
    for (int i = 1; i < n; i++) {
        if (!alike(all, arg[i]))
            fail(c, begin, hw_text_of(hw_dim_name(arg[i].dim)), hw_text_of(hw_dim_name(all.dim)),
                 "the arguments of %s are different quantities", fn->name);
        if (all.zero) all = arg[i];
    }
    return all.dim;
}

// Dimension of a call from those of its arguments.
static part signature(compiler *c, size_t begin, const hw_function *fn, const part *arg, int n)
{
    part out = {.dim = common_dim(c, begin, fn, arg, n)};
    hw_text got = hw_text_of(hw_dim_name(out.dim));
    bool plain = hw_dim_same(out.dim, HW_DIM_NONE);
    switch (fn->signature) {
    case HW_SIGN_SAME:
        break;
    case HW_SIGN_ROUND:
        if (n == 1 && !plain)
            fail(c, begin, got, hw_text_of(fn->form),
                 "a quantity is rounded to a step: give it as the second argument");
        break;
    case HW_SIGN_ROOT:
        if (!halve(&out.dim))
            fail(c, begin, got, HW_TEXT("an even power"), "this has no square root");
        break;
    case HW_SIGN_CIRCLE:
        if (!arg[0].zero && !hw_dim_same(out.dim, HW_DIM_ANGLE))
            fail(c, begin, got, HW_TEXT("angle"), "%s takes an angle: give it deg or rad",
                 fn->name);
        out.dim = HW_DIM_NONE;
        break;
    case HW_SIGN_ARC:
        if (!plain)
            fail(c, begin, got, HW_TEXT("a plain number"), "%s takes a plain number", fn->name);
        out.dim = HW_DIM_ANGLE;
        break;
    case HW_SIGN_ARC_OF_TWO:
        out.dim = HW_DIM_ANGLE;
        break;
    case HW_SIGN_LENGTH_OF:
        if (!plain)
            fail(c, begin, got, HW_TEXT("a plain number"), "%s takes plain numbers", fn->name);
        out.dim = HW_DIM_LENGTH;
        break;
    }
    return out;
}

static part call(compiler *c, size_t begin, hw_text name)
{
    part arg[8] = {{.dim = HW_DIM_NONE}};
    size_t which = 0;
    while (which < hw_function_count &&
           !hw_text_same(hw_text_of(hw_function_table[which].name), name))
        which++;
    if (which == hw_function_count) {
        fail(c, begin, name, HW_TEXT("min, max, abs, sqrt, sin, cos, tan, round, clamp"),
             "unknown function");
        return arg[0];
    }
    const hw_function *fn = &hw_function_table[which];
    int n = 0;
    do {
        part one = sum(c);
        if (n < 8) arg[n] = one;
        n++;
    } while (!c->failed && take(c, ","));
    if (!take(c, ")")) fail(c, c->at, nothing, HW_TEXT(")"), "%s( is not closed", fn->name);
    if (n < fn->least || n > fn->most)
        fail(c, begin, nothing, hw_text_of(fn->form), "%s has %d arguments here", fn->name, n);
    if (c->failed) return arg[0];
    emit(c, (hw_op){.code = HW_OP_FUNCTION, .function = (uint8_t)which, .args = (uint8_t)n});
    return signature(c, begin, fn, arg, n);
}

static part name(compiler *c)
{
    size_t begin = c->at;
    hw_text path = read_path(c);
    skip_space(c);
    if (take(c, "(")) return call(c, begin, path);
    static const char *const never[] = {"nan", "NaN", "NAN", "inf", "Inf", "INF", "infinity"};
    for (size_t i = 0; i < sizeof never / sizeof never[0]; i++) {
        size_t dot = path.len && path.at[0] == '.';
        if (!hw_text_same((hw_text){path.at + dot, path.len - dot}, hw_text_of(never[i]))) continue;
        fail(c, begin, path, HW_TEXT("a finite number"), "a design holds finite numbers only");
        return (part){.dim = HW_DIM_NONE};
    }
    return entry(c, begin, path);
}

static part value(compiler *c)
{
    part out = {.dim = HW_DIM_NONE};
    hw_text t = rest(c);
    if (c->failed) return out;
    if (t.len == 0) {
        fail(c, c->at, nothing, HW_TEXT("a number or an entry"), "the expression ends too early");
        return out;
    }
    bool point = t.at[0] == '.' && t.len > 1 && is_letter(t.at[1]);
    if (is_letter(t.at[0]) || point) return name(c);
    if (take(c, "(")) {
        out = sum(c);
        if (!take(c, ")")) fail(c, c->at, nothing, HW_TEXT(")"), "a parenthesis is not closed");
        return out;
    }
    if (is_digit(t.at[0]) || t.at[0] == '.') return number(c);
    size_t step = hw_utf8_step(t);
    fail(c, c->at, ((hw_text){t.at, step ? step : 1}), HW_TEXT("a number or an entry"),
         "this cannot begin a value");
    return out;
}

static part with_sign(compiler *c)
{
    part out = {.dim = HW_DIM_NONE};
    if (++c->nesting > NESTING) {
        fail(c, c->at, nothing, nothing, "the expression is nested too deeply");
        return out;
    }
    if (take(c, "-")) {
        out = with_sign(c);
        emit(c, (hw_op){.code = HW_OP_NEGATE});
    } else {
        (void)take(c, "+");
        out = value(c);
    }
    c->nesting--;
    return out;
}

static part product(compiler *c)
{
    part out = with_sign(c);
    while (!c->failed) {
        bool over = take(c, "/");
        if (!over && !take(c, "*") && !take(c, "\xC2\xB7") && !take(c, "\xC3\x97")) break;
        part by = with_sign(c);
        out.dim = over ? hw_dim_over(out.dim, by.dim) : hw_dim_times(out.dim, by.dim);
        out.zero = false;
        emit(c, (hw_op){.code = over ? HW_OP_DIVIDE : HW_OP_MULTIPLY});
    }
    return out;
}

static part sum(compiler *c)
{
    part out = product(c);
    while (!c->failed) {
        size_t sign = c->at;
        bool minus = take(c, "-");
        if (!minus && !take(c, "+")) break;
        part by = product(c);
        if (!alike(out, by))
            fail(c, sign, hw_text_of(hw_dim_name(by.dim)), hw_text_of(hw_dim_name(out.dim)),
                 "unlike quantities on both sides of %s", minus ? "-" : "+");
        if (out.zero) out.dim = by.dim;
        out.zero = out.zero && by.zero;
        emit(c, (hw_op){.code = minus ? HW_OP_SUBTRACT : HW_OP_ADD});
    }
    return out;
}

bool hw_expr_compile(hw_faults *f, const hw_expr_place *at, hw_text text, hw_expr *out)
{
    *out = (hw_expr){.dim = HW_DIM_NONE};
    if (!text.at) text = HW_TEXT(""); // nothing may be added to a null pointer, not even 0
    compiler room = {.faults = f, .place = at, .text = text, .constant = true}, *c = &room;
    if (text.len > HW_EXPR_BYTES)
        fail(c, 0, nothing, nothing, "longer than %d characters: not an expression", HW_EXPR_BYTES);
    skip_space(c);
    part whole = sum(c);
    if (!c->failed && c->at < text.len) {
        size_t step = hw_utf8_step(rest(c));
        fail(c, c->at, ((hw_text){rest(c).at, step ? step : 1}), HW_TEXT("an operator"),
             "the expression should end before this");
    }
    if (c->failed) return false;
    hw_op *op = HW_NEW(f->arena, hw_op, c->ops);
    if (!op) return false;
    memcpy(op, c->op, c->ops * sizeof *op);
    out->program = (hw_program){op, c->ops};
    out->dim = whole.dim;
    out->zero = whole.zero;
    out->constant = c->constant;
    out->plain = c->ops == 1 || (c->ops == 2 && c->op[1].code == HW_OP_NEGATE);
    if (c->constant) out->value = hw_program_run(&out->program, NULL);
    return true;
}
