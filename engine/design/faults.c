// Messages: collected while reading, handed over in the order of the text.
#include "design/tree_internal.h"

#include "base/text.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

struct hw_fault {
    hw_diag diag;
    size_t at; // order of arrival
    hw_fault *next;
};

void hw_source_init(hw_source *s, hw_arena *a, const char *file, hw_text bytes)
{
    if (!bytes.at) bytes = HW_TEXT(""); // nothing may be added to a null pointer, not even 0
    *s = (hw_source){.file = file, .bytes = bytes};
    size_t lines = 1;
    for (size_t i = 0; i < bytes.len; i++) lines += bytes.at[i] == '\n' || bytes.at[i] == '\r';
    s->line = HW_NEW(a, size_t, lines);
    if (!s->line) return;
    s->lines = 1;
    for (size_t i = 0; i < bytes.len; i++) {
        bool pair = bytes.at[i] == '\r' && i + 1 < bytes.len && bytes.at[i + 1] == '\n';
        if (pair || (bytes.at[i] != '\n' && bytes.at[i] != '\r')) continue;
        s->line[s->lines++] = i + 1;
    }
}

void hw_source_place(const hw_source *s, size_t offset, int *line, int *column)
{
    *line = *column = 0;
    if (!s || offset == SIZE_MAX || s->lines == 0) return;
    if (offset > s->bytes.len) offset = s->bytes.len;
    size_t low = 0, high = s->lines; // the line is in [low, high)
    while (high - low > 1) {
        size_t middle = low + (high - low) / 2;
        if (s->line[middle] <= offset)
            low = middle;
        else
            high = middle;
    }
    size_t start = s->line[low];
    if (start == 0 && offset >= 3 && memcmp(s->bytes.at, "\xEF\xBB\xBF", 3) == 0) start = 3;
    *line = (int)low + 1;
    *column = (int)hw_utf8_count((hw_text){s->bytes.at + start, offset - start}) + 1;
}

// Texts of a message stay on one line.
static void one_line(char *text)
{
    for (; *text; text++)
        if (*text == '\n' || *text == '\r' || *text == '\t') *text = ' ';
}

const char *hw_shown(hw_faults *f, hw_text t)
{
    if (t.len > 60) {
        t.len = 60;
        while (t.len > 0 && ((unsigned char)t.at[t.len] & 0xC0u) == 0x80u) t.len--;
    }
    char *copy = hw_arena_text(f->arena, t);
    if (!copy) return "";
    one_line(copy);
    return copy;
}

void hw_fault_add_list(hw_faults *f, hw_code code, const hw_source *s, size_t offset, hw_text found,
                       hw_text expected, const char *format, va_list list)
{
    if (code != HW_OK) f->wrong++;
    if (code == HW_NO_MEMORY) f->no_memory = true;
    if (f->kept >= HW_FAULTS_KEPT) {
        f->dropped++;
        return;
    }
    hw_fault *one = HW_NEW(f->arena, hw_fault, 1);
    char text[256]; // longer than a message keeps
    int length = vsnprintf(text, sizeof text, format, list);
    if (!one || length < 0) return;
    int line, column;
    hw_source_place(s, offset, &line, &column);
    hw_diags into = {.item = &one->diag, .capacity = 1};
    hw_diag_say(&into, code, s ? s->file : NULL, line, column, found, expected, hw_text_of(text));
    one_line(one->diag.found);
    one_line(one->diag.expected);
    one_line(one->diag.text);
    one->at = f->kept++;
    *(f->last ? &f->last->next : &f->first) = one;
    f->last = one;
}

void hw_fault_add(hw_faults *f, hw_code code, const hw_source *s, size_t offset, hw_text found,
                  hw_text expected, const char *format, ...)
{
    va_list list;
    va_start(list, format);
    hw_fault_add_list(f, code, s, offset, found, expected, format, list);
    va_end(list);
}

typedef struct ranked {
    const hw_fault *fault;
} ranked;

static int by_place(const void *left, const void *right)
{
    const hw_diag *a = &((const ranked *)left)->fault->diag;
    const hw_diag *b = &((const ranked *)right)->fault->diag;
    int files = strcmp(a->file ? a->file : "", b->file ? b->file : "");
    if (files) return files;
    if (a->line != b->line) return a->line < b->line ? -1 : 1;
    if (a->column != b->column) return a->column < b->column ? -1 : 1;
    return ((const ranked *)left)->fault->at < ((const ranked *)right)->fault->at ? -1 : 1;
}

void hw_faults_hand_over(hw_faults *f, hw_diags *out)
{
    ranked *order = HW_NEW(f->arena, ranked, f->kept);
    size_t n = 0;
    if (order)
        for (hw_fault *one = f->first; one; one = one->next) order[n++].fault = one;
    if (n) qsort(order, n, sizeof *order, by_place);
    for (size_t i = 0; i < n; i++) hw_diag_add(out, order[i].fault->diag);
    if (out) out->dropped += f->dropped;
}
