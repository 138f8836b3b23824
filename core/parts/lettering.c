#include "parts/blocks_internal.h"
#include "parts/lettering_internal.h"

#include <math.h>

enum {
    UNITS = 6,     // from a capital's foot to its head, between the strokes' middles
    LINE = 2,      // of the grid, where capitals stand
    BETWEEN = 3,   // letters, half units
    END_CHORDS = 3 // of a stroke's round end
};

double hw_letter_least(double line)
{
    return (UNITS + 1) * line;
}

double hw_letter_stroke(double height, double line)
{
    return fmax(line, height / 8);
}

// The second and later bytes of a UTF-8 character.
static bool goes_on(char c)
{
    return ((unsigned char)c & 0xc0) == 0x80;
}

static int half_units(const char *text)
{
    int sum = 0, letters = 0;
    for (; *text; text++) {
        if (goes_on(*text)) continue;
        sum += hw_glyph_of(*text)->width;
        letters++;
    }
    return letters ? sum + (letters - 1) * BETWEEN : 0;
}

double hw_letter_width(const char *text, double height, double line)
{
    double stroke = hw_letter_stroke(height, line);
    return *text ? half_units(text) * (height - stroke) / (2 * UNITS) + stroke : 0;
}

double hw_letter_fit(const char *text, double width, double most, double line)
{
    double low = hw_letter_least(line), high = most;
    if (!(most >= low) || hw_letter_width(text, low, line) > width) return 0;
    if (hw_letter_width(text, high, line) <= width) return high;
    for (int i = 0; i < 60; i++) {
        double half = (low + high) / 2;
        if (hw_letter_width(text, half, line) <= width)
            low = half;
        else
            high = half;
    }
    return low;
}

// ---- strokes -----------------------------------------------------------------------------------

typedef struct pen {
    hw_blocks b;
    const hw_lettering *l;
    double unit, radius; // [m]
    hw_vec2 corner;      // where the text's grid begins, seen by its reader, from the middle [m]
} pen;

static hw_vec2 grid_point(const pen *p, int column, const char *digits)
{
    return (hw_vec2){p->corner.x + (column + digits[0] - '0') * p->unit / 2,
                     p->corner.z + (digits[1] - '0' - LINE) * p->unit};
}

// A stroke's outline as its reader sees it: straight sides, ends of a few chords.
static size_t stroke_outline(const pen *p, hw_vec2 a, hw_vec2 c, hw_vec2 at[2 * (END_CHORDS + 1)])
{
    hw_vec2 way = hw_sub(c, a);
    double turn = way.x == 0 && way.z == 0 ? 0 : atan2(way.z, way.x);
    size_t n = 0;
    for (int end = 0; end < 2; end++)
        for (int k = 0; k <= END_CHORDS; k++) {
            double angle = turn + HW_PI / 2 + end * HW_PI + k * HW_PI / END_CHORDS;
            hw_vec2 from = end == 0 ? a : c;
            at[n++] = (hw_vec2){from.x + p->radius * cos(angle), from.z + p->radius * sin(angle)};
        }
    return n;
}

// A dot is a polygon of as many corners as two ends have, without the doubled ones.
static size_t dot_outline(const pen *p, hw_vec2 a, hw_vec2 at[2 * (END_CHORDS + 1)])
{
    size_t n = 0;
    for (; n < 2 * (size_t)END_CHORDS; n++) {
        double angle = (double)n * HW_PI / END_CHORDS;
        at[n] = (hw_vec2){a.x + p->radius * cos(angle), a.z + p->radius * sin(angle)};
    }
    return n;
}

static void put_on_side(pen *p, hw_vec2 at[], size_t n)
{
    const hw_lettering *l = p->l;
    bool high = l->face == HW_FACE_SIDE_HIGH;
    double right = high != l->mirrored ? -1 : 1; // the reader's right, along x
    for (size_t i = 0; i < n; i++) at[i] = (hw_vec2){l->at.x + right * at[i].x, l->at.z + at[i].z};
    bool upward = high == l->raised; // the block reaches from the face toward +y
    double y0 = upward ? l->at.y : l->at.y - l->depth;
    hw_blocks_plate(&p->b, l->raised ? HW_BLOCK_ADD : HW_BLOCK_CUT, y0, y0 + l->depth,
                    hw_blocks_polygon(&p->b, n, at));
}

// Extent of a convex outline along x at a height. False: it does not reach there.
static bool row(const hw_vec2 at[], size_t n, double z, double x[2]) // [m]
{
    bool any = false;
    for (size_t i = 0; i < n; i++) {
        hw_vec2 a = at[i], c = at[(i + 1) % n];
        if ((a.z > z) == (c.z > z)) continue;
        double cut = a.x + (c.x - a.x) * (z - a.z) / (c.z - a.z);
        x[0] = any ? fmin(x[0], cut) : cut;
        x[1] = any ? fmax(x[1], cut) : cut;
        any = true;
    }
    return any && x[1] > x[0];
}

// Strips lie on one raster for the whole text, so that strokes share their seams.
static void put_on_bed_face(pen *p, const hw_vec2 at[], size_t n)
{
    const hw_lettering *l = p->l;
    double step = l->line / 2, right = l->face == HW_FACE_UP ? 1 : -1, up = l->mirrored ? -1 : 1;
    double low = INFINITY, high = -INFINITY, x[2];
    for (size_t i = 0; i < n; i++) {
        low = fmin(low, at[i].z);
        high = fmax(high, at[i].z);
    }
    bool over = (l->face == HW_FACE_UP) == l->raised; // the block reaches from the face upward
    double z0 = over ? l->at.z : l->at.z - l->depth;
    for (double k = floor(low / step); k * step < high; k++) {
        if (!row(at, n, (k + 0.5) * step, x)) continue;
        double y0 = l->at.y + up * k * step, y1 = l->at.y + up * (k + 1) * step;
        double x0 = l->at.x + right * x[0], x1 = l->at.x + right * x[1];
        hw_blocks_box(&p->b, l->raised ? HW_BLOCK_ADD : HW_BLOCK_CUT,
                      (hw_vec3){fmin(x0, x1), fmin(y0, y1), z0},
                      (hw_vec3){fmax(x0, x1), fmax(y0, y1), z0 + l->depth});
    }
}

static void put_stroke(pen *p, hw_vec2 a, hw_vec2 c, bool dot)
{
    hw_vec2 at[2 * (END_CHORDS + 1)];
    size_t n = dot ? dot_outline(p, a, at) : stroke_outline(p, a, c, at);
    if (p->l->face == HW_FACE_SIDE_LOW || p->l->face == HW_FACE_SIDE_HIGH)
        put_on_side(p, at, n);
    else
        put_on_bed_face(p, at, n);
}

static void put_letter(pen *p, const hw_glyph *g, int column)
{
    for (const char *c = g->path; *c;) {
        hw_vec2 a = grid_point(p, column, c);
        c += 2;
        if (*c != ' ') put_stroke(p, a, a, true);
        while (*c == ' ') {
            hw_vec2 to = grid_point(p, column, c + 1);
            put_stroke(p, a, to, false);
            a = to;
            c += 3;
        }
        if (*c == '|') c++;
    }
}

hw_code hw_letter_blocks(hw_arena *keep, const hw_lettering *l, hw_solid *out)
{
    *out = (hw_solid){0};
    bool sound = l->line > 0 && l->depth > 0 && isfinite(l->depth) && isfinite(l->height) &&
                 l->height >= hw_letter_least(l->line) * (1 - 1e-12) && isfinite(l->at.x) &&
                 isfinite(l->at.y) && isfinite(l->at.z);
    if (!sound) return HW_BAD_INPUT;
    double stroke = hw_letter_stroke(l->height, l->line);
    pen p = {.b = hw_blocks_new(keep, l->line / 10),
             .l = l,
             .unit = (l->height - stroke) / UNITS,
             .radius = stroke / 2};
    p.corner = (hw_vec2){-half_units(l->text) * p.unit / 4, -UNITS * p.unit / 2};
    int column = 0;
    for (const char *c = l->text; *c; c++) {
        if (goes_on(*c)) continue;
        const hw_glyph *g = hw_glyph_of(*c);
        put_letter(&p, g, column);
        column += g->width + BETWEEN;
    }
    *out = hw_blocks_solid(&p.b);
    return p.b.pile.code;
}

void hw_letters_put(hw_blocks *b, const hw_lettering *l)
{
    if (b->pile.code != HW_OK || !*l->text || !(l->height > 0)) return;
    hw_solid letters;
    hw_code code = hw_letter_blocks(b->pile.keep, l, &letters);
    if (code != HW_OK) {
        b->pile.code = code;
        return;
    }
    hw_blocks_take(b, &letters);
    if (l->raised || l->face == HW_FACE_UP || l->face == HW_FACE_DOWN) return;
    double wide = hw_letter_width(l->text, l->height, l->line) / 2, high = l->height / 2;
    hw_blocks_allow(b, HW_ALLOW_LETTERS,
                    (hw_vec3){l->at.x - wide, l->at.y - l->depth, l->at.z - high},
                    (hw_vec3){l->at.x + wide, l->at.y + l->depth, l->at.z + high});
}
