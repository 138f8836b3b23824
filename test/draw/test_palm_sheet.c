// The palm over a person, read back from its SVG: where the person's joints, the design's axes, its
// outline, its splay axes and tips are drawn is where the numbers have them, and the table says how
// far they are apart on paper.
#include "draw/drawings.h"

#include "check.h"
#include "memory.h"
#include "palm/pose.h"

#include <stdlib.h>

static hw_arena *arena;

enum { SPOTS = 64, CORNERS = 200 };

typedef struct spot2 {
    double x, y; // [mm]
} spot2;

typedef struct read_back {
    spot2 cross[SPOTS]; // middles of the person's crosses, as they come
    size_t crosses;
    spot2 axis[SPOTS]; // middles of chain lines
    size_t axes;
    spot2 dot[SPOTS];
    size_t dots;
    spot2 outline[CORNERS];
    size_t corners;
    spot2 tip[SPOTS]; // the highest places of heavy outlines
    size_t tips;
} read_back;

// All corners of straight pieces, arcs by their ends.
static size_t corners_of(const char *d, const char *end, spot2 out[], size_t most)
{
    size_t n = 0;
    while (d < end && n < most) {
        char *to = NULL;
        const char letter = *d++;
        if (letter == 'Z') break;
        if (letter == 'V' || letter == 'H') {
            const double v = strtod(d, &to);
            out[n] = out[n - 1];
            if (letter == 'V')
                out[n].y = v;
            else
                out[n].x = v;
            n++;
        } else {
            double v[7] = {0};
            const int numbers = letter == 'A' ? 7 : 2;
            to = (char *)(uintptr_t)d;
            for (int k = 0; k < numbers; k++) v[k] = strtod(to, &to);
            out[n++] = (spot2){v[numbers - 2], v[numbers - 1]};
        }
        if (!CHECK(to && to > d)) return n;
        d = to;
    }
    return n;
}

static bool has(const char *from, const char *end, const char *what)
{
    const char *at = strstr(from, what);
    return at && at < end;
}

static void read_group(const char *svg, const char *name, read_back *out)
{
    char head[60];
    memset(out, 0, sizeof *out);
    snprintf(head, sizeof head, "<g><title>%s</title>", name);
    const char *from = strstr(svg, head), *end = from ? strstr(from, "</g>") : NULL;
    if (!CHECK(from && end)) return;
    for (const char *p = from; (p = strstr(p, "<path ")) && p < end; p++) {
        spot2 at[CORNERS];
        const char *stop = strstr(p, "/>"), *d = strstr(p, " d=\"") + 4;
        const size_t n = corners_of(d, stop - 1, at, CORNERS);
        const bool accent = has(p, stop, "#1f5c99"), chain = has(p, stop, "dasharray=\"5.04"),
                   dashed = has(p, stop, "dasharray"), heavy = has(p, stop, "width=\"0.5\"");
        const spot2 middle = {(at[0].x + at[1].x) / 2, (at[0].y + at[1].y) / 2};
        if (accent && n == 2 && at[0].y == at[1].y)
            out->cross[out->crosses++] = middle;
        else if (chain && !accent && n == 2)
            out->axis[out->axes++] = middle;
        else if (has(p, stop, "fill=\"#1c2128\"") && !has(p, stop, "stroke=")) {
            // a circle from its right to its left and back
            out->dot[out->dots++] = (spot2){(at[0].x + at[2].x) / 2, at[0].y};
        } else if (heavy && n > 4) {
            spot2 top = at[0];
            for (size_t k = 1; k < n; k++)
                if (at[k].y < top.y) top = at[k];
            out->tip[out->tips++] = top;
        } else if (!accent && !dashed && n > 20 && !has(p, stop, "fill=\"#e6")) {
            memcpy(out->outline, at, sizeof at);
            out->corners = n;
        }
    }
}

typedef struct paper {
    double k, mirror; // [mm/m] [1]
    spot2 zero;
    bool along;
} paper;

static spot2 on_paper(const paper *p, hw_vec3 at)
{
    const double y = p->mirror * p->k * at.y;
    return p->along ? (spot2){p->zero.x + y, p->zero.y - p->k * at.z}
                    : (spot2){p->zero.x - y, p->zero.y - p->k * at.x};
}

static bool same(spot2 got, spot2 want) // numbers have three decimals
{
    return NEAR(got.x, want.x, 2e-3) && NEAR(got.y, want.y, 2e-3);
}

// The texts of a row of the table behind its name, as numbers.
static void row_of(const char *svg, const char *name, double out[6])
{
    char head[40];
    snprintf(head, sizeof head, ">%s</text>", name);
    const char *at = strstr(svg, head);
    for (int k = 0; k < 6; k++) {
        out[k] = NAN;
        if (!CHECK(at != NULL)) return;
        at = strstr(at + 1, "<text ");
        at = at ? strchr(at, '>') : NULL;
        if (!at) continue;
        char words[40] = "";
        size_t n = 0;
        for (const char *c = at + 1; *c && *c != '<' && n + 1 < sizeof words; c++) {
            if (strncmp(c, "\xe2\x88\x92", 3) == 0) { // a minus
                words[n++] = '-';
                c += 2;
            } else
                words[n++] = *c;
        }
        if (n) out[k] = strtod(words, NULL);
    }
}

static void drawn(int kind, double length, double breadth) // [m] [m]
{
    static const char *const five[] = {"thumb", "index", "middle", "ring", "little"};
    static const char *const capital[] = {"Thumb", "Index", "Middle", "Ring", "Little"};
    static hw_palm palm;
    static read_back plan, end;
    hw_palm_def f;
    hw_hand_shape person;
    memory m = {0};
    CHECK(hw_hand_shape_of(length, breadth, &person) == HW_OK);
    CHECK(hw_palm_def_of(length, breadth, &f) == HW_OK);
    if (kind == 1) f.digit[1].knuckle.x += 0.012, f.digit[3].segment[0] *= 1.3;
    if (kind == 1) f.digit[4].knuckle.y -= 0.004, f.digit[2].knuckle.z += 0.003;
    f.digit[0].present = kind != 2;
    CHECK(hw_palm_of(&f, &palm) == HW_OK);
    const hw_palm_view v = {"Trial", &palm, &person, five, kind == 1};
    hw_sheet *s = hw_draw_palm(arena, &v);
    if (!CHECK(s && hw_sheet_svg(s, false, memory_sink(&m)) == HW_OK)) return;
    const char *scale = strstr(m.at, "scale ");
    double over = 0, under = 0;
    if (!CHECK(scale && sscanf(scale, "scale %lf : %lf", &over, &under) == 2)) return;
    read_group(m.at, "plan", &plan);
    read_group(m.at, "along the fingers", &end);
    const size_t first = kind == 2 ? 1 : 0; // without a thumb
    CHECK(plan.crosses == 5 - first && end.crosses == 4);
    // the paper's origin from the middle finger's cross; all else must agree with it
    paper flat = {1e3 * over / under, kind == 1 ? -1 : 1, {0, 0}, false}, up = flat;
    up.along = true;
    const spot2 there = on_paper(&flat, person.digit[2].knuckle.at);
    const spot2 seen = on_paper(&up, person.digit[2].knuckle.at);
    flat.zero = (spot2){plan.cross[2 - first].x - there.x, plan.cross[2 - first].y - there.y};
    up.zero = (spot2){end.cross[1].x - seen.x, end.cross[1].y - seen.y};
    for (size_t d = first; d < 5; d++) {
        same(plan.cross[d - first], on_paper(&flat, person.digit[d].knuckle.at));
        if (d > 0) same(end.cross[d - 1], on_paper(&up, person.digit[d].knuckle.at));
    }
    // the outline: from the wrist up the thumb's side, along the front, down the other
    enum { LAST = HW_PALM_SECTIONS - 1, HALF = HW_PALM_AROUND / 2 };
    CHECK(plan.corners == 2 * HW_PALM_SECTIONS + HALF - 1);
    for (size_t i = 0; i < plan.corners; i++) {
        const size_t back = plan.corners - 1 - i;
        const hw_vec3 at = i <= LAST      ? palm.outline[i][0]
                           : back <= LAST ? palm.outline[back][HALF]
                                          : palm.outline[LAST][i - LAST];
        same(plan.outline[i], on_paper(&flat, at));
    }
    CHECK(end.corners == HW_PALM_AROUND);
    for (size_t i = 0; i < end.corners; i++)
        same(end.outline[i], on_paper(&up, palm.outline[LAST][i]));
    // the design's joints: chain lines across them, the thumb's and its axis of opposition first
    const size_t before = kind == 2 ? 0 : 2, splayed = plan.dots;
    CHECK(plan.axes == 4 + before && end.axes == 4 && splayed == 3 && plan.tips == 12);
    size_t dot = 0;
    for (int d = 1; d < 5; d++) {
        const hw_palm_digit *g = &palm.digit[d];
        const double straight[HW_SEGMENTS] = {0, 0, 0};
        hw_palm_pose pose;
        same(plan.axis[before + (size_t)d - 1], on_paper(&flat, g->knuckle.at));
        same(end.axis[d - 1], on_paper(&up, g->knuckle.at));
        if (g->splay[1] > g->splay[0]) same(plan.dot[dot++], on_paper(&flat, g->splay_at));
        hw_palm_pose_of(&palm, d, 0, straight, &pose);
        // the last phalanx reaches to the tip: its top corner is beside it by half the width at
        // most
        const spot2 tip = on_paper(&flat, pose.tip), top = plan.tip[3 * (d - 1) + 2];
        const double leans = fabs(pose.phalanx[0].x.y);
        NEAR(top.y, tip.y, 1e-3 + flat.k * 0.5 * g->width * leans);
        CHECK(fabs(top.x - tip.x) <= flat.k * 0.5 * g->width + 1e-3);
        // and the table says what lies between design and person on the paper
        double row[6];
        row_of(m.at, capital[d], row);
        const spot2 has_it = plan.axis[before + (size_t)d - 1],
                    person_has = plan.cross[(size_t)d - first];
        NEAR(row[0], 1e3 * (person_has.y - has_it.y) / flat.k, 0.051 + 0.01);
        NEAR(row[1], flat.mirror * 1e3 * (person_has.x - has_it.x) / flat.k, 0.051 + 0.01);
        NEAR(row[2], 1e3 * (end.cross[d - 1].y - end.axis[d - 1].y) / flat.k, 0.051 + 0.01);
        double reach = 0;
        for (int k = 0; k < HW_SEGMENTS; k++) reach += g->segment[k] - person.digit[d].segment[k];
        NEAR(row[4], 1e3 * reach, 0.051);
    }
    CHECK(dot == splayed);
    free(m.at);
}

static void right(void)
{
    drawn(0, 0.186, 0.084);
}

static void left_and_far_from_a_person(void)
{
    drawn(1, 0.186, 0.084);
}

static void without_a_thumb(void)
{
    drawn(2, 0.165, 0.072);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    arena = hw_arena_new(0);
    RUN(right);
    RUN(left_and_far_from_a_person);
    RUN(without_a_thumb);
    hw_arena_free(arena);
    (void)hw_check_text, (void)count_of;
    return TEST_END();
}
