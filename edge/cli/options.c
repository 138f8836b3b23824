// Arguments to a call, by the tables.
#include "cli/cli_internal.h"

#include <string.h>

static bool takes(const hw_verb_row *verb, int id)
{
    return id == HW_OPT_HELP || (verb->options & (1u << id)) != 0;
}

// The option that the verb knows by this name or letter; -1: none.
static int option_named(const hw_verb_row *verb, hw_text name)
{
    for (int id = 0; id < HW_OPTIONS; id++)
        if (takes(verb, id) && hw_text_same(hw_text_of(hw_option_table[id].name), name)) return id;
    return -1;
}

static int option_lettered(const hw_verb_row *verb, char letter)
{
    for (int id = 0; id < HW_OPTIONS; id++)
        if (takes(verb, id) && hw_option_table[id].letter == letter) return id;
    return -1;
}

static void say_unknown(hw_call *call, const char *given, hw_text name)
{
    const char *near = NULL;
    size_t best = 3; // further than two slips is no slip
    for (int id = 0; id < HW_OPTIONS; id++) {
        if (!takes(call->verb, id)) continue;
        size_t away = hw_text_distance(name, hw_text_of(hw_option_table[id].name));
        if (away < best) best = away, near = hw_option_table[id].name;
    }
    hw_call_fault(call, "unknown option \"%s\"%s%s%s; handwright %s --help lists them", given,
                  near ? ", perhaps \"--" : "", near ? near : "", near ? "\"" : "",
                  call->verb->name);
}

// Notes one option; `value` is what stands with it ("--name=value", "-ovalue"), NULL: nothing.
// Takes the next argument where one is due. False: said why.
static bool take(hw_call *call, int id, const char *value, int argc, char **argv, int *i)
{
    const hw_option_row *row = &hw_option_table[id];
    if (call->option[id]) {
        hw_call_fault(call, "\"--%s\" is given twice", row->name);
        return false;
    }
    if (!row->argument && value) {
        hw_call_fault(call, "\"--%s\" takes no value, found \"%s\"", row->name, value);
        return false;
    }
    if (row->argument && !value) {
        if (*i + 1 >= argc) {
            hw_call_fault(call, "\"--%s\" needs its %s", row->name, row->argument);
            return false;
        }
        value = argv[++*i];
    }
    call->option[id] = value ? value : "";
    return true;
}

static bool parse_option(hw_call *call, int argc, char **argv, int *i)
{
    const char *given = argv[*i];
    if (given[1] != '-') {
        int id = option_lettered(call->verb, given[1]);
        if (id < 0) {
            say_unknown(call, given, hw_text_of(given + 1));
            return false;
        }
        return take(call, id, given[2] ? given + 2 : NULL, argc, argv, i);
    }
    const char *equals = strchr(given, '=');
    hw_text name = {given + 2, equals ? (size_t)(equals - given) - 2 : strlen(given) - 2};
    int id = option_named(call->verb, name);
    if (id < 0) {
        say_unknown(call, given, name);
        return false;
    }
    return take(call, id, equals ? equals + 1 : NULL, argc, argv, i);
}

bool hw_options_parse(hw_call *call, int argc, char **argv, const char **kept)
{
    bool options = true;
    call->argument = kept;
    for (int i = 0; i < argc; i++) {
        const char *given = argv[i];
        if (options && strcmp(given, "--") == 0)
            options = false;
        else if (options && given[0] == '-' && given[1]) {
            if (!parse_option(call, argc, argv, &i)) return false;
        } else
            kept[call->arguments++] = given;
    }
    if (call->option[HW_OPT_HELP]) return true;
    const hw_verb_row *verb = call->verb;
    if (call->arguments < verb->least) {
        hw_call_fault(call, "needs %s; handwright %s --help shows how", verb->arguments,
                      verb->name);
        return false;
    }
    if (call->arguments > verb->most) {
        hw_call_fault(call, "\"%s\" is one argument too many; handwright %s --help shows how",
                      kept[verb->most], verb->name);
        return false;
    }
    return true;
}
