// Help texts from the tables.
#include "cli/cli_internal.h"

#include <string.h>

// Prints words with line breaks before column 80, each line after the first indented.
static void wrapped(FILE *out, const char *text, int indent, int column)
{
    const char *between = "";
    while (*text) {
        int word = (int)strcspn(text, " ");
        if (column > indent && column + 1 + word > 79) {
            fprintf(out, "\n%*s", indent, "");
            column = indent;
            between = "";
        }
        fprintf(out, "%s%.*s", between, word, text);
        column += word + (*between != 0);
        between = " ";
        text += word;
        while (*text == ' ') text++;
    }
    fputc('\n', out);
}

static void usage(const hw_verb_row *verb, FILE *out)
{
    enum { COLUMNS = 100 };
    int indent = (int)strlen("handwright ") + (int)strlen(verb->name) + 1;
    int column = fprintf(out, "handwright %s", verb->name);
    if (verb->arguments[0]) column += fprintf(out, " %s", verb->arguments);
    for (int id = 0; id < HW_OPTIONS; id++) {
        if (!(verb->options & (1u << id))) continue;
        const hw_option_row *row = &hw_option_table[id];
        char one[80];
        if (row->letter)
            snprintf(one, sizeof one, "[-%c %s]", row->letter, row->argument);
        else
            snprintf(one, sizeof one, row->argument ? "[--%s %s]" : "[--%s]", row->name,
                     row->argument);
        if (column + 1 + (int)strlen(one) > COLUMNS)
            column = fprintf(out, "\n%*s", indent - 1, "") - 1;
        column += fprintf(out, " %s", one);
    }
    fputc('\n', out);
}

static void examples(const hw_verb_row *verb, FILE *out)
{
    for (size_t i = 0; i < sizeof verb->example / sizeof verb->example[0]; i++) {
        if (!verb->example[i].command) break;
        fprintf(out, "  %s\n      %s\n", verb->example[i].command, verb->example[i].sentence);
    }
}

void hw_help_overview(FILE *out)
{
    size_t n;
    const hw_verb_row *verb = hw_verb_rows(&n);
    fputs("handwright VERB ... : a design desk for printable robot hands\n\n", out);
    for (size_t i = 0; i < n; i++) fprintf(out, "  %-9s %s\n", verb[i].name, verb[i].sentence);
    fputs("\nhandwright VERB --help tells more. For example:\n", out);
    for (size_t i = 0; i < n; i++) fprintf(out, "  %s\n", verb[i].example[0].command);
    fputs("\nExit status: 0 everything required holds, 1 something falls short or is unknown,\n"
          "2 the input is wrong, 3 the machine failed, 130 cancelled.\n",
          out);
}

void hw_help_verb(const hw_verb_row *verb, FILE *out)
{
    usage(verb, out);
    fprintf(out, "\n%s %s.\n", verb->name, verb->sentence);
    wrapped(out, verb->text, 0, 0);
    fputs("\nFor example:\n", out);
    examples(verb, out);
    fputs("\nOptions:\n", out);
    for (int id = 0; id < HW_OPTIONS; id++) {
        if (id != HW_OPT_HELP && !(verb->options & (1u << id))) continue;
        const hw_option_row *row = &hw_option_table[id];
        char name[64];
        snprintf(name, sizeof name, "%c%c%s--%s%s%s", row->letter ? '-' : ' ',
                 row->letter ? row->letter : ' ', row->letter ? ", " : "  ", row->name,
                 row->argument ? " " : "", row->argument ? row->argument : "");
        fprintf(out, "  %-22s ", name);
        wrapped(out, row->sentence, 25, 25);
    }
}
