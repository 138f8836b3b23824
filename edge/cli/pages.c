// Manual page and shell completions from the tables.
#include "cli/cli_internal.h"

#include <string.h>

// roff reads '-' as a hyphen, '\' as an escape, and a leading '.' or '\'' as a request.
static void roff(FILE *out, const char *text)
{
    if (*text == '.' || *text == '\'') fputs("\\&", out);
    for (; *text; text++) {
        if (*text == '-')
            fputs("\\-", out);
        else if (*text == '\\')
            fputs("\\e", out);
        else
            fputc(*text, out);
    }
}

static void man_option(FILE *out, const hw_option_row *row)
{
    fputs(".TP\n\\fB", out);
    if (row->letter) fprintf(out, "\\-%c\\fR, \\fB", row->letter);
    fprintf(out, "\\-\\-%s\\fR", row->name);
    if (row->argument) fprintf(out, " \\fI%s\\fR", row->argument);
    fputc('\n', out);
    roff(out, row->sentence);
    fputc('\n', out);
}

static void man_verb(FILE *out, const hw_verb_row *verb)
{
    fprintf(out, ".SS \"handwright %s %s\"\n", verb->name, verb->arguments);
    roff(out, verb->sentence);
    fputs(".\n", out);
    roff(out, verb->text);
    fputc('\n', out);
    for (int id = 0; id < HW_OPTIONS; id++)
        if (verb->options & (1u << id)) man_option(out, &hw_option_table[id]);
    for (size_t i = 0; i < sizeof verb->example / sizeof verb->example[0]; i++) {
        if (!verb->example[i].command) break;
        fputs(".PP\n.nf\n    ", out);
        roff(out, verb->example[i].command);
        fputs("\n.fi\n", out);
        roff(out, verb->example[i].sentence);
        fputc('\n', out);
    }
}

static void man_page(FILE *out)
{
    size_t n;
    const hw_verb_row *verb = hw_verb_rows(&n);
    fputs(".TH HANDWRIGHT 1\n.SH NAME\nhandwright \\- design desk for printable robot hands\n"
          ".SH SYNOPSIS\n.B handwright\n.I VERB\n\\&...\n.SH DESCRIPTION\n"
          "Reads one design document of a 3-D-printable robot hand and computes whether the hand "
          "will close naturally, hold together and bear its loads, and which number to change "
          "where it will not.\n.SH VERBS\n",
          out);
    for (size_t i = 0; i < n; i++) man_verb(out, &verb[i]);
    fputs(".SH EXIT STATUS\n"
          "0: done, everything required holds. 1: done, something falls short or is unknown. "
          "2: the input is wrong. 3: the machine failed. 130: cancelled. "
          "In the last three cases nothing was written.\n"
          ".SH SAFETY\n"
          "A hand that moves can pinch and crush; stalled motors and batteries can burn. A verdict "
          "is a computation, not a test. Follow local rules and ask qualified people where other "
          "people are concerned. Nothing made with this program is a medical device.\n",
          out);
}

static void verb_names(FILE *out)
{
    size_t n;
    const hw_verb_row *verb = hw_verb_rows(&n);
    for (size_t i = 0; i < n; i++) fprintf(out, "%s%s", i ? " " : "", verb[i].name);
}

static bool offers(const hw_option_row *row, const char *what)
{
    return row->choices && strcmp(row->choices, what) == 0;
}

static void bash_page(FILE *out)
{
    size_t n;
    const hw_verb_row *verb = hw_verb_rows(&n);
    fputs("# bash completion for handwright\n"
          "_handwright()\n{\n"
          "    local word=${COMP_WORDS[COMP_CWORD]} before=${COMP_WORDS[COMP_CWORD-1]}\n"
          "    COMPREPLY=()\n"
          "    if [ \"$COMP_CWORD\" -eq 1 ]; then\n"
          "        COMPREPLY=($(compgen -W '",
          out);
    verb_names(out);
    fputs(" --help --version' -- \"$word\"))\n        return\n    fi\n"
          "    case ${COMP_WORDS[1]}:$before in\n",
          out);
    for (size_t i = 0; i < n; i++)
        for (int id = 0; id < HW_OPTIONS; id++) {
            const hw_option_row *row = &hw_option_table[id];
            if (!(verb[i].options & (1u << id)) || !row->argument) continue;
            fprintf(out, "    %s:--%s", verb[i].name, row->name);
            if (row->letter) fprintf(out, " | %s:-%c", verb[i].name, row->letter);
            fputs(") ", out);
            if (offers(row, "<file>"))
                fputs("COMPREPLY=($(compgen -f -- \"$word\")); ", out);
            else if (offers(row, "<folder>"))
                fputs("COMPREPLY=($(compgen -d -- \"$word\")); ", out);
            else if (row->choices)
                fprintf(out, "COMPREPLY=($(compgen -W '%s' -- \"$word\")); ", row->choices);
            fputs("return ;;\n", out);
        }
    fputs("    esac\n    case ${COMP_WORDS[1]}:$word in\n", out);
    for (size_t i = 0; i < n; i++) {
        fprintf(out, "    %s:-*) COMPREPLY=($(compgen -W '--help", verb[i].name);
        for (int id = 0; id < HW_OPTIONS; id++)
            if (verb[i].options & (1u << id)) fprintf(out, " --%s", hw_option_table[id].name);
        fputs("' -- \"$word\")) ;;\n", out);
        if (verb[i].files)
            fprintf(out, "    %s:*) COMPREPLY=($(compgen -f -- \"$word\")) ;;\n", verb[i].name);
    }
    fputs("    esac\n}\ncomplete -o filenames -F _handwright handwright\n", out);
}

// Text inside '...' of zsh's _arguments: brackets and colons are its own, the quote is the shell's.
static void zsh_words(FILE *out, const char *text)
{
    for (; *text; text++) {
        if (*text == '\'')
            fputs("'\\''", out);
        else {
            if (strchr("[]:", *text)) fputc('\\', out);
            fputc(*text, out);
        }
    }
}

static void zsh_option(FILE *out, const hw_option_row *row)
{
    fputs(" \\\n            '", out);
    if (row->letter)
        fprintf(out, "(-%c --%s)'{-%c,--%s}'", row->letter, row->name, row->letter, row->name);
    else
        fprintf(out, "--%s", row->name);
    fputc('[', out);
    zsh_words(out, row->sentence);
    fputc(']', out);
    if (row->argument) {
        fprintf(out, ":%s:", row->argument);
        if (offers(row, "<file>"))
            fputs("_files", out);
        else if (offers(row, "<folder>"))
            fputs("_files -/", out);
        else if (row->choices)
            fprintf(out, "(%s)", row->choices);
        else
            fputc(' ', out);
    }
    fputc('\'', out);
}

static void zsh_page(FILE *out)
{
    size_t n;
    const hw_verb_row *verb = hw_verb_rows(&n);
    fputs("#compdef handwright\n_handwright()\n{\n    local -a verbs\n    verbs=(\n", out);
    for (size_t i = 0; i < n; i++) {
        fprintf(out, "        '%s:", verb[i].name);
        zsh_words(out, verb[i].sentence);
        fputs("'\n", out);
    }
    fputs("    )\n    if (( CURRENT == 2 )); then\n        _describe verb verbs\n        return\n  "
          "  fi\n"
          "    local verb=$words[2]\n    shift words\n    (( CURRENT-- ))\n    case $verb in\n",
          out);
    for (size_t i = 0; i < n; i++) {
        fprintf(out, "    %s)\n        _arguments", verb[i].name);
        for (int id = 0; id < HW_OPTIONS; id++)
            if (id == HW_OPT_HELP || (verb[i].options & (1u << id)))
                zsh_option(out, &hw_option_table[id]);
        if (verb[i].files) fputs(" \\\n            '*:file:_files'", out);
        fputs("\n        ;;\n", out);
    }
    fputs("    esac\n}\n_handwright \"$@\"\n", out);
}

static void fish_words(FILE *out, const char *text)
{
    for (; *text; text++) {
        if (*text == '\'' || *text == '\\') fputc('\\', out);
        fputc(*text, out);
    }
}

static void fish_page(FILE *out)
{
    size_t n;
    const hw_verb_row *verb = hw_verb_rows(&n);
    fputs("# fish completion for handwright\ncomplete -c handwright -f\n", out);
    for (size_t i = 0; i < n; i++) {
        fprintf(out, "complete -c handwright -n __fish_use_subcommand -a %s -d '", verb[i].name);
        fish_words(out, verb[i].sentence);
        fputs("'\n", out);
        if (verb[i].files)
            fprintf(out, "complete -c handwright -n '__fish_seen_subcommand_from %s' -F\n",
                    verb[i].name);
        for (int id = 0; id < HW_OPTIONS; id++) {
            const hw_option_row *row = &hw_option_table[id];
            if (id != HW_OPT_HELP && !(verb[i].options & (1u << id))) continue;
            fprintf(out, "complete -c handwright -n '__fish_seen_subcommand_from %s' -l %s",
                    verb[i].name, row->name);
            if (row->letter) fprintf(out, " -s %c", row->letter);
            if (offers(row, "<file>") || offers(row, "<folder>"))
                fputs(" -r -F", out);
            else if (row->choices)
                fprintf(out, " -x -a '%s'", row->choices);
            else if (row->argument)
                fputs(" -x", out);
            fputs(" -d '", out);
            fish_words(out, row->sentence);
            fputs("'\n", out);
        }
    }
}

static const struct {
    const char *name;
    void (*write)(FILE *out);
} pages[HW_PAGES] = {
    [HW_PAGE_MAN] = {"man", man_page},
    [HW_PAGE_BASH] = {"bash", bash_page},
    [HW_PAGE_ZSH] = {"zsh", zsh_page},
    [HW_PAGE_FISH] = {"fish", fish_page},
};

const char *hw_page_name(hw_page_kind kind)
{
    return (int)kind >= 0 && kind < HW_PAGES ? pages[kind].name : NULL;
}

bool hw_page_write(hw_page_kind kind, FILE *out)
{
    if (!hw_page_name(kind)) return false;
    pages[kind].write(out);
    return fflush(out) == 0 && !ferror(out);
}
