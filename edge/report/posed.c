// The whole hand as a picture.
#include "report/posed.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/text.h"
#include "report/report_internal.h"

static const struct {
    const char *name, *words;
    hw_vec3 eye, up; // of a right hand
} sides[HW_POSED_SIDES] = {
    [HW_POSED_BACK] = {"back", "seen from its back", {0, 0, 1}, {1, 0, 0}},
    [HW_POSED_PALM] = {"palm", "seen from its palm", {0, 0, -1}, {1, 0, 0}},
    [HW_POSED_THUMB] = {"thumb-side", "seen from the thumb's side", {0, 1, 0}, {0, 0, 1}},
    [HW_POSED_LITTLE] = {"little-side",
                         "seen from the little finger's side",
                         {0, -1, 0},
                         {0, 0, 1}},
    [HW_POSED_TIPS] = {"tips", "seen from the fingertips", {1, 0, 0}, {0, 0, 1}},
    [HW_POSED_WRIST] = {"wrist", "seen from the wrist", {-1, 0, 0}, {0, 0, 1}},
};

const char *hw_posed_side_name(hw_posed_side side)
{
    return (unsigned)side < HW_POSED_SIDES ? sides[side].name : "none";
}

static const hw_posed_paint paints[] = {
    {"palm", 0xc8bfae},   {"carrier", 0xa59c8b}, {"proximal", 0xd9d0bd}, {"middle", 0xb4bbab},
    {"distal", 0x93a6a0}, {"bar A", 0x8c6d58},   {"bar B", 0x61757f},    {"spool", 0x77706a},
};
enum { PAINTS = sizeof paints / sizeof paints[0] };

const hw_posed_paint *hw_posed_paints(size_t *n)
{
    *n = PAINTS;
    return paints;
}

size_t hw_posed_paint_of(const hw_posed_part *part)
{
    size_t n = part->digit < 0 ? 0 : (size_t)part->body + 1;
    return n < PAINTS ? n : 0;
}

const char *hw_posed_name(const hw_posed *posed, char out[16])
{
    char text[HW_NUMBER_TEXT];
    const char *grip = hw_grip_name(posed->grip);
    if (grip) {
        snprintf(out, 16, "%s", grip);
        return out;
    }
    size_t n = hw_number_write_fixed(100 * posed->s, 1, text);
    if (n > 2 && text[n - 1] == '0') n -= 2;
    if (n > 15) n = 15;
    memcpy(out, text, n);
    out[n] = '\0';
    return out;
}

const char *hw_posed_words(const hw_posed *posed, char out[40])
{
    char name[16];
    hw_posed_name(posed, name);
    snprintf(out, 40, "%s%s", name, hw_grip_name(posed->grip) ? " grip" : " % of the closing");
    return out;
}

// A stand would hide the hand from the wrist and take half of the other pictures.
static bool is_stand(const hw_posed_part *p)
{
    return p->digit < 0 && strcmp(p->name, "stand") == 0;
}

// Every part of a digit bears its name: one is seen. *parts: how many are drawn.
static hw_code place(hw_arena *work, const hw_posed *posed, hw_view_part part[], size_t *parts)
{
    *parts = 0;
    for (size_t i = 0; i < posed->parts; i++) {
        const hw_posed_part *p = &posed->part[i];
        hw_mesh *mesh = HW_NEW(work, hw_mesh, 1);
        if (!mesh) return HW_NO_MEMORY;
        hw_code code = hw_posed_mesh(work, p, mesh);
        if (code != HW_OK) return code;
        if (is_stand(p)) continue;
        part[(*parts)++] = (hw_view_part){.name = p->digit < 0 ? NULL : hw_digit_name[p->digit],
                                          .mesh = mesh,
                                          .hatch = (int)hw_posed_paint_of(p)};
    }
    return HW_OK;
}

hw_code hw_report_posed_view(hw_arena *keep, hw_arena *work, const hw_made *m,
                             const hw_posed *posed, hw_posed_side side, const hw_job *job,
                             hw_sheet **out)
{
    *out = NULL;
    size_t mark = hw_arena_mark(work);
    hw_view_def d = hw_view_def_default();
    hw_view_part *part = HW_NEW(work, hw_view_part, posed->parts);
    hw_buffer name = {.arena = keep}, title = {.arena = keep}, remark = {.arena = keep};
    char one[16], words[40];
    hw_buffer_format(&name, "hand-%s-%s", hw_posed_name(posed, one), sides[side].name);
    hw_buffer_format(&title, "The hand, %s", sides[side].words);
    hw_buffer_format(&remark, "%s hand, %s", m->hand->left ? "left" : "right",
                     hw_posed_words(posed, words));
    size_t parts = 0;
    hw_code code = part ? place(work, posed, part, &parts) : HW_NO_MEMORY;
    if (parts < posed->parts) hw_buffer_puts(&remark, "; printed parts, without the stand");
    if (code == HW_OK && hw_arena_failed(keep)) code = HW_NO_MEMORY;
    d.name = name.at;
    d.title = title.at;
    d.design = hw_report_name(keep, m->design);
    d.remark = remark.at;
    d.height_most = 220;
    enum { SIDES = sizeof sides / sizeof sides[0] };
    for (int i = 0; code == HW_OK && i <= SIDES; i++) { // all at one scale, then this one
        const int of = i < SIDES ? i : (int)side;
        d.eye = sides[of].eye;
        d.up = sides[of].up;
        if (m->hand->left) d.eye.y = -d.eye.y;
        if (i < SIDES) d.scale_most = hw_draw_view_scale(&d, part, parts);
    }
    if (code == HW_OK) code = hw_draw_view(keep, work, &d, part, parts, job, out);
    hw_arena_rewind(work, mark);
    return code;
}
