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

const char *hw_shown(hw_faults *f, hw_text t)
{
    size_t n = t.len < 60 ? t.len : 60;
    if (n < t.len)
        while (n > 0 && ((unsigned char)t.at[n] & 0xC0u) == 0x80u) n--;
    char *copy = hw_arena_text(f->arena, (hw_text){t.at, n});
    if (!copy) return "";
    for (size_t i = 0; i < n; i++)
        if (copy[i] == '\n' || copy[i] == '\r' || copy[i] == '\t') copy[i] = ' ';
    return copy;
}

// Texts of a message stay on one line.
static void one_line(char *text)
{
    for (; *text; text++)
        if (*text == '\n' || *text == '\r' || *text == '\t') *text = ' ';
}

void hw_fault_add(hw_faults *f, hw_code code, const hw_source *s, size_t offset, hw_text found,
                  hw_text expected, const char *format, ...)
{
    if (code != HW_OK) f->wrong++;
    if (code == HW_NO_MEMORY) f->no_memory = true;
    if (f->kept >= HW_FAULTS_KEPT) {
        f->dropped++;
        return;
    }
    hw_fault *one = HW_NEW(f->arena, hw_fault, 1);
    char text[256]; // longer than a message keeps
    va_list list;
    va_start(list, format);
    int length = vsnprintf(text, sizeof text, format, list);
    va_end(list);
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

static int by_place(const void *left, const void *right)
{
    const hw_fault *a = *(hw_fault *const *)left, *b = *(hw_fault *const *)right;
    const char *fa = a->diag.file ? a->diag.file : "", *fb = b->diag.file ? b->diag.file : "";
    int files = strcmp(fa, fb);
    if (files) return files;
    if (a->diag.line != b->diag.line) return a->diag.line < b->diag.line ? -1 : 1;
    if (a->diag.column != b->diag.column) return a->diag.column < b->diag.column ? -1 : 1;
    return a->at < b->at ? -1 : 1;
}

void hw_faults_hand_over(hw_faults *f, hw_diags *out)
{
    hw_fault **order = HW_NEW(f->arena, hw_fault *, f->kept);
    size_t n = 0;
    if (order)
        for (hw_fault *one = f->first; one; one = one->next) order[n++] = one;
    if (n) qsort(order, n, sizeof *order, by_place);
    for (size_t i = 0; i < n; i++) hw_diag_add(out, order[i]->diag);
    if (out) out->dropped += f->dropped;
}
