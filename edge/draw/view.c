// The sheet of a view: camera, scale, picture, names with leaders, scale bar.
#include "draw/view.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "draw/figure.h"
#include "draw/view_internal.h"

#define SIDE     2.0                  // paper beside the picture [mm]
#define NAMES    9.0                  // height of a row of names with its leaders [mm]
#define NAMED    (0.4 * HW_VIEW_FINE) // of a part that less is seen of a name says nothing [px]
#define NAME_GAP 2.5                  // between two names [mm]

typedef struct viewer {
    hw_arena *keep, *work;
    const hw_view_def *def;
    const hw_view_part *part;
    size_t parts;
    const hw_job *job;
    hw_view_picture pic;
    double scale;   // of the drawing [1]
    char words[24]; // its name
    double low[2];  // of everything, along right and up [m]
    double high[2]; // [m]
    size_t *spot;   // pixel of each part to point at
    hw_box box;     // of the picture on the sheet [mm]
} viewer;

static double dot(hw_vec3 a, hw_vec3 b)
{
    return a.x * b.x + a.y * b.y + a.z * b.z;
}

static hw_vec3 cross(hw_vec3 a, hw_vec3 b)
{
    return (hw_vec3){a.y * b.z - a.z * b.y, a.z * b.x - a.x * b.z, a.x * b.y - a.y * b.x};
}

// Scaled to length 1; false where it has none.
static bool normalise(hw_vec3 *v)
{
    double len = sqrt(dot(*v, *v));
    if (!(len > 0) || !isfinite(len)) return false;
    *v = (hw_vec3){v->x / len, v->y / len, v->z / len};
    return true;
}

hw_view_def hw_view_def_default(void)
{
    return (hw_view_def){.name = "view",
                         .title = "View",
                         .eye = {-0.35, -0.75, 0.62},
                         .up = {0, 0, 1},
                         .cut_normal = {0, 0, 1},
                         .width = 180,
                         .height_most = 120};
}

static bool set_camera(viewer *v)
{
    const hw_view_def *d = v->def;
    hw_view_picture *p = &v->pic;
    p->eye = d->eye;
    if (!normalise(&p->eye)) return false;
    p->right = cross(d->up, p->eye);
    double up = sqrt(dot(d->up, d->up));
    if (!(sqrt(dot(p->right, p->right)) > 1e-6 * up) || !normalise(&p->right)) return false;
    p->up = cross(p->eye, p->right);
    return d->width >= 60 && d->width <= 600 && d->height_most >= 20 && d->height_most <= 600;
}

// Box of everything on the picture's plane; false where a coordinate is not finite or nothing is.
static bool measure(viewer *v)
{
    size_t tris = 0;
    for (int k = 0; k < 2; k++) v->low[k] = INFINITY, v->high[k] = -INFINITY;
    for (size_t i = 0; i < v->parts; i++) {
        const hw_mesh *m = v->part[i].mesh;
        tris += m->tris;
        for (size_t k = 0; k < m->verts; k++) {
            hw_vec3 at = hw_view_corner(&v->part[i], k);
            double on[2] = {dot(at, v->pic.right), dot(at, v->pic.up)};
            if (!isfinite(on[0] + on[1] + dot(at, v->pic.eye))) return false;
            for (int c = 0; c < 2; c++) {
                v->low[c] = fmin(v->low[c], on[c]);
                v->high[c] = fmax(v->high[c], on[c]);
            }
        }
    }
    return tris > 0;
}

static bool set_picture(viewer *v)
{
    hw_view_picture *p = &v->pic;
    double wide = v->high[0] - v->low[0], tall = v->high[1] - v->low[1]; // [m]
    double room = 1e-3 * (v->def->width - 2 * SIDE);                     // [m]
    double most = fmin(room / wide, 1e-3 * v->def->height_most / tall);
    if (v->def->scale_most > 0) most = fmin(most, v->def->scale_most * (1 + 1e-9));
    if (!(most > 0) || !(v->def->scale_most >= 0)) return false;
    v->scale = hw_figure_scale(most, v->words);
    p->size = 1e-3 / (HW_VIEW_FINE * v->scale);
    double margin = 0.5e-3 / v->scale; // half a millimetre of paper for the outlines
    p->w = (size_t)ceil((wide + 2 * margin) / p->size);
    p->h = (size_t)ceil((tall + 2 * margin) / p->size);
    p->left = v->low[0] - margin;
    p->top = v->high[1] + margin;
    p->cut = v->def->cut;
    if (!p->cut) return true;
    hw_vec3 n = v->def->cut_normal;
    if (!normalise(&n) || !(dot(n, p->eye) > 1e-3) || !isfinite(v->def->cut_at)) return false;
    // n . (X right + Y up + t eye) = at, X and Y of the middle of a pixel
    double per = 1 / dot(n, p->eye), nr = dot(n, p->right), nu = dot(n, p->up);
    p->plane[1] = -nr * per * p->size;
    p->plane[2] = nu * per * p->size;
    p->plane[0] =
        (v->def->cut_at - nr * p->left - nu * p->top) * per + 0.5 * (p->plane[1] + p->plane[2]);
    return true;
}

static hw_code paint(viewer *v)
{
    hw_view_picture *p = &v->pic;
    size_t n = p->w * p->h;
    p->depth = HW_NEW(v->work, float, n);
    p->part = HW_NEW(v->work, uint16_t, n);
    p->face = HW_NEW(v->work, uint32_t, n);
    p->shade = HW_NEW(v->work, uint8_t, n);
    p->is_cut = HW_NEW(v->work, uint8_t, n);
    p->behind = HW_NEW(v->work, int8_t, n);
    if (hw_arena_failed(v->work)) return HW_NO_MEMORY;
    for (size_t i = 0; i < n; i++) p->depth[i] = -INFINITY;
    uint32_t face = 1;
    hw_code code = HW_OK;
    for (size_t i = 0; code == HW_OK && i < v->parts; i++)
        code = hw_view_paint(v->work, p, &v->part[i], i, &face, v->job,
                             0.6 * (double)i / (double)v->parts, 0.6 / (double)v->parts);
    return code;
}

// ---- names ------------------------------------------------------------------------------------

typedef struct name {
    const char *text;
    hw_spot spot; // to point at [mm]
    double x;     // of the text's middle [mm]
    double wide;  // [mm]
    double place; // of its block, with all names left of it taken out [mm]
    size_t block; // names in its block [1]
    size_t away;  // of the spot from the picture's upper or lower edge [px]
    size_t room;  // round the spot [px]
} name;

static size_t from_edge(const viewer *v, size_t pixel)
{
    size_t y = pixel / v->pic.w, below = v->pic.h - 1 - y;
    return y < below ? y : below;
}

// How far a pixel's part goes on beside it, the shortest of four ways.
static size_t room_round(const viewer *v, size_t pixel)
{
    const hw_view_picture *p = &v->pic;
    const size_t x = pixel % p->w, y = pixel / p->w;
    const size_t edge[4] = {x, p->w - 1 - x, y, p->h - 1 - y};
    const ptrdiff_t step[4] = {-1, 1, -(ptrdiff_t)p->w, (ptrdiff_t)p->w};
    size_t least = SIZE_MAX;
    for (int k = 0; k < 4; k++) {
        size_t n = 0;
        ptrdiff_t at = (ptrdiff_t)pixel + step[k];
        for (; n < edge[k] && n < least && p->part[at] == p->part[pixel]; n++) at += step[k];
        least = n < least ? n : least;
    }
    return least;
}

// Adds a name; parts of one name have one leader, to where there is most room.
static void note_name(name *one, size_t *count, name own)
{
    size_t i = 0;
    while (i < *count && strcmp(one[i].text, own.text) != 0) i++;
    if (i == *count)
        one[(*count)++] = own;
    else if (own.room > one[i].room)
        one[i] = own;
}

static int by_distance(const void *a, const void *b)
{
    const name *x = a, *y = b;
    if (x->away != y->away) return x->away < y->away ? -1 : 1;
    return strcmp(x->text, y->text);
}

static hw_spot spot_on_sheet(const viewer *v, size_t pixel)
{
    size_t row = pixel / v->pic.w;
    return (hw_spot){v->box.x + ((double)(pixel % v->pic.w) + 0.5) / HW_VIEW_FINE,
                     v->box.y + ((double)row + 0.5) / HW_VIEW_FINE};
}

// Adds a name in the order of spots along the row; false where the row has no room left.
static bool add_name(name *row, size_t *n, name one, double width)
{
    double sum = one.wide;
    for (size_t i = 0; i < *n; i++) sum += row[i].wide + NAME_GAP;
    if (sum > width) return false;
    size_t at = *n;
    while (at > 0 && row[at - 1].spot.x > one.spot.x) {
        row[at] = row[at - 1];
        at--;
    }
    row[at] = one;
    ++*n;
    return true;
}

// Moves names along their row so that none overlaps and the moves' squares are least: neighbours
// that would overlap form a block, which stands at the mean of what its names want. Source: pool
// adjacent violators (Ayer et al. 1955).
static void spread_names(name *row, size_t n, double width)
{
    double before = 0; // width of what stands left of a name, to its middle
    for (size_t i = 0; i < n; i++) {
        before += row[i].wide / 2;
        row[i].x = row[i].spot.x - before; // wanted, with all names left of it taken out
        row[i].block = 1;
        before += row[i].wide / 2 + NAME_GAP;
    }
    size_t blocks = 0; // row[0 .. blocks] hold the blocks' places and counts
    for (size_t i = 0; i < n; i++) {
        row[blocks].x = row[i].x;
        row[blocks++].block = 1;
        while (blocks > 1 && row[blocks - 1].x < row[blocks - 2].x) {
            name *p = &row[blocks - 2], *q = &row[blocks - 1];
            double sum = (double)(p->block + q->block);
            p->x = (p->x * (double)p->block + q->x * (double)q->block) / sum;
            p->block += q->block;
            blocks--;
        }
    }
    double most = fmax(width - (before - NAME_GAP), 0);
    for (size_t i = n, k = blocks; k-- > 0;) {
        double x = fmin(fmax(row[k].x, 0), most);
        for (size_t m = row[k].block; m > 0; m--) row[--i].place = x;
    }
    before = 0;
    for (size_t i = 0; i < n; i++) {
        row[i].x = row[i].place + before + row[i].wide / 2;
        before += row[i].wide + NAME_GAP;
    }
}

static void put_names(const viewer *v, hw_sheet *s, name *row, size_t n, bool above)
{
    hw_type type = hw_type_of(7.5, HW_ANCHOR_MIDDLE);
    double cap = hw_type_cap(type), edge = above ? v->box.y - NAMES : v->box.y + v->box.h + NAMES;
    double base = above ? edge + cap + 0.5 : edge - 0.8; // baseline [mm]
    double end = above ? base + 1.1 : base - cap - 1.1;  // of the leader [mm]
    spread_names(row, n, v->def->width);
    for (size_t i = 0; i < n; i++) {
        hw_spot tip = {row[i].x, end};
        hw_sheet_line(s, tip, row[i].spot, hw_pen_of(0.5, HW_INK_PAPER));
        hw_sheet_line(s, tip, row[i].spot, hw_pen_of(HW_WEIGHT_THIN, HW_INK_BLACK));
        hw_path dot_path = hw_path_new(v->keep);
        hw_path_circle(&dot_path, row[i].spot, 0.45);
        hw_sheet_path(s, &dot_path, HW_INK_BLACK, hw_pen_of(HW_WEIGHT_HAIR, HW_INK_PAPER));
        hw_sheet_text(s, row[i].x, base, type, row[i].text);
    }
}

static hw_code add_names(const viewer *v, hw_sheet *s)
{
    name *row[2] = {HW_NEW(v->work, name, v->parts), HW_NEW(v->work, name, v->parts)};
    name *one = HW_NEW(v->work, name, v->parts);
    if (hw_arena_failed(v->work)) return HW_NO_MEMORY;
    size_t n[2] = {0, 0}, count = 0;
    hw_type type = hw_type_of(7.5, HW_ANCHOR_MIDDLE);
    for (size_t i = 0; i < v->parts; i++)
        if (v->part[i].name && v->spot[i] != SIZE_MAX && (double)room_round(v, v->spot[i]) >= NAMED)
            note_name(one, &count,
                      (name){.text = v->part[i].name,
                             .spot = spot_on_sheet(v, v->spot[i]),
                             .wide = hw_type_width(type, v->part[i].name),
                             .away = from_edge(v, v->spot[i]),
                             .room = room_round(v, v->spot[i])});
    // what lies near an edge of the picture chooses its row first, so that leaders are short
    qsort(one, count, sizeof *one, by_distance);
    double middle = v->box.y + v->box.h / 2;
    for (size_t i = 0; i < count; i++) {
        int side = one[i].spot.y <= middle ? 0 : 1;
        if (!add_name(row[side], &n[side], one[i], v->def->width))
            (void)add_name(row[1 - side], &n[1 - side], one[i], v->def->width);
    }
    put_names(v, s, row[0], n[0], true);
    put_names(v, s, row[1], n[1], false);
    return HW_OK;
}

// ---- scale bar --------------------------------------------------------------------------------

typedef struct scale_bar {
    int length;    // of the part [mm]
    double dx, dy; // its direction on the picture, y up, unit, dx >= 0 [1]
    double run;    // its length on paper [mm]
    bool along_x, flat;
} scale_bar;

// Along the picture of x, or of y where x is seen end on, so that it measures what lies along it.
static scale_bar scale_bar_of(const viewer *v)
{
    const hw_view_picture *p = &v->pic;
    double on_x = hypot(p->right.x, p->up.x), on_y = hypot(p->right.y, p->up.y);
    scale_bar s = {.length = 1, .along_x = on_x >= 0.3};
    double on = s.along_x ? on_x : on_y, sign = 1 / on;
    s.dx = s.along_x ? p->right.x : p->right.y;
    s.dy = s.along_x ? p->up.x : p->up.y;
    if (s.dx < 0) sign = -sign;
    s.dx *= sign, s.dy *= sign;
    static const int lengths[] = {2, 5, 10, 20, 50, 100, 200, 500};
    for (size_t i = 0; i < sizeof lengths / sizeof *lengths; i++)
        if (lengths[i] * v->scale * on <= 45) s.length = lengths[i];
    s.run = s.length * v->scale * on;
    s.flat = on > 0.998; // a digit that leans a little: the same to a hair
    return s;
}

static void add_scale_bar(const viewer *v, hw_sheet *s, const scale_bar *r, double y)
{
    double tick = 1.2;
    hw_spot a = {1, y + fmax(0, r->run * r->dy)};
    hw_spot b = {a.x + r->run * r->dx, a.y - r->run * r->dy};
    hw_pen pen = hw_pen_of(HW_WEIGHT_PLAIN, HW_INK_BLACK);
    hw_sheet_line(s, a, b, pen);
    for (int end = 0; end < 2; end++) {
        hw_spot at = end ? b : a;
        hw_sheet_line(s, (hw_spot){at.x - r->dy * tick, at.y - r->dx * tick},
                      (hw_spot){at.x + r->dy * tick, at.y + r->dx * tick}, pen);
    }
    char number[HW_NUMBER_TEXT], words[160];
    hw_number_write_fixed(r->length, 0, number);
    const char *along = r->flat ? ", drawn " : r->along_x ? " along x" : " along y";
    hw_figure_words(words, number, " mm", along, r->flat ? v->words : "", NULL);
    hw_sheet_text(s, b.x + 2.5, (a.y + b.y) / 2 + 1, hw_type_of(7.5, HW_ANCHOR_START), words);
}

static hw_code lay_out(viewer *v, const uint8_t *ink, hw_sheet **out)
{
    const hw_view_def *d = v->def;
    bool names = false;
    for (size_t i = 0; i < v->parts; i++) names |= v->part[i].name && v->spot[i] != SIZE_MAX;
    double rows = names ? NAMES : 0;
    double w = (double)v->pic.w / HW_VIEW_FINE, h = (double)v->pic.h / HW_VIEW_FINE;
    v->box = (hw_box){(d->width - w) / 2, 9 + rows, w, h};
    double below = v->box.y + h + rows + 2;
    scale_bar bar = scale_bar_of(v);
    const double rise = fabs(bar.run * bar.dy), words = 40; // with the gap before them [mm]
    const bool beside = v->box.x > words + bar.run * bar.dx && h > rise;
    hw_sheet *s =
        hw_sheet_new(v->keep, d->width, below + (beside ? 2 : 4 + rise), d->name, d->title);
    if (!s) return HW_NO_MEMORY;
    (void)hw_figure_head(s, d->title, d->design, d->remark);
    hw_sheet_image(s, v->box, v->pic.w, v->pic.h, ink);
    hw_code code = add_names(v, s);
    add_scale_bar(v, s, &bar, beside ? v->box.y + h - rise : below + 1.5);
    *out = s;
    return code == HW_OK && hw_arena_failed(v->keep) ? HW_NO_MEMORY : code;
}

double hw_draw_view_scale(const hw_view_def *def, const hw_view_part *part, size_t parts)
{
    viewer v = {.def = def, .part = part, .parts = parts};
    bool ok = parts <= HW_VIEW_PARTS && set_camera(&v) && measure(&v) && set_picture(&v);
    return ok ? v.scale : (double)NAN;
}

static hw_code take(viewer *v)
{
    if (v->parts > HW_VIEW_PARTS || !set_camera(v) || !measure(v) || !set_picture(v))
        return HW_BAD_INPUT;
    return paint(v);
}

hw_code hw_view_take(hw_arena *work, const hw_view_def *def, const hw_view_part *part, size_t parts,
                     const hw_job *job, hw_view_picture *out)
{
    viewer v = {.work = work, .def = def, .part = part, .parts = parts, .job = job};
    hw_code code = take(&v);
    *out = v.pic;
    return code;
}

hw_code hw_draw_view(hw_arena *keep, hw_arena *work, const hw_view_def *def,
                     const hw_view_part *part, size_t parts, const hw_job *job, hw_sheet **out)
{
    *out = NULL;
    viewer v = {.keep = keep, .work = work, .def = def, .part = part, .parts = parts, .job = job};
    size_t mark = hw_arena_mark(work);
    hw_code code = take(&v);
    uint8_t *ink = code == HW_OK ? HW_NEW(keep, uint8_t, v.pic.w * v.pic.h) : NULL;
    int *hatch = HW_NEW(work, int, parts);
    v.spot = HW_NEW(work, size_t, parts);
    if (code == HW_OK && (!ink || hw_arena_failed(work))) code = HW_NO_MEMORY;
    for (size_t i = 0; code == HW_OK && i < parts; i++)
        hatch[i] = (part[i].hatch % HW_VIEW_HATCHES + HW_VIEW_HATCHES) % HW_VIEW_HATCHES;
    if (code == HW_OK) code = hw_view_crumbs(work, &v.pic);
    if (code == HW_OK) code = hw_view_ink(work, &v.pic, hatch, job, ink);
    if (code == HW_OK) code = hw_view_spots(work, &v.pic, parts, v.spot);
    if (code == HW_OK) code = lay_out(&v, ink, out);
    hw_arena_rewind(work, mark);
    return code;
}
