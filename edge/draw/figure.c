// A digit in section: carrier, phalanges and bars at their true outlines, cut faces hatched.
#include "draw/figure.h"

#include <math.h>
#include <stdarg.h>
#include <string.h>

#include "base/text.h"
#include "digit/outline.h"
#include "draw/sheet.h"

hw_spot hw_figure_spot(const hw_figure *f, hw_vec2 p)
{
    return (hw_spot){f->knuckle.x + f->k * p.x, f->knuckle.y - f->k * p.z};
}

// Flexion of a body in the digit frame.
static double turn_of(const hw_digit_pose *pose, int body)
{
    double turn = 0;
    for (int i = 0; i < body; i++) turn += pose->joint[i];
    return turn;
}

hw_spot hw_figure_body_spot(const hw_figure *f, const hw_digit_pose *pose, int body, hw_vec2 p)
{
    hw_vec2 from = body == 0 ? (hw_vec2){0, 0} : pose->at[body - 1];
    return hw_figure_spot(f, hw_add(from, hw_flexed(p, turn_of(pose, body))));
}

bool hw_figure_pose(const hw_digit *d, double s, hw_digit_pose *out)
{
    const hw_digit_family *family = hw_digit_family_of(d->family);
    *out = (hw_digit_pose){.joint = {NAN, NAN, NAN}};
    for (int i = 0; i <= HW_JOINTS; i++) out->at[i] = (hw_vec2){NAN, NAN};
    return family && family->pose && family->pose(d, s, out) == HW_OK;
}

bool hw_figure_dead(const hw_digit *d, hw_stroke_event *out)
{
    hw_stroke_event event[8];
    size_t n = hw_stroke_events(d, event, 8);
    for (size_t i = 0; i < n && i < 8; i++)
        if (event[i].kind == HW_EVENT_DEAD_POINT && event[i].s > 0) {
            *out = event[i];
            return true;
        }
    return false;
}

double hw_figure_end(const hw_digit *d)
{
    hw_stroke_event dead;
    // just before it: at the point itself rounding decides whether the loop closes
    return hw_figure_dead(d, &dead) ? dead.s * (1 - 1e-9) : 1;
}

const char *hw_figure_dead_words(const hw_digit *d, const hw_stroke_event *e, char out[160])
{
    char angle[40];
    return hw_figure_words(out, "dead point of bar ", e->loop ? "B" : "A", " at ",
                           hw_figure_joint(d, 0), " ",
                           hw_plot_fixed(e->joint * 180 / HW_PI, 1, angle), "\xc2\xb0", NULL);
}

bool hw_figure_sound(const hw_digit_pose *pose)
{
    bool sound = true;
    for (int i = 0; i < HW_JOINTS; i++) sound = sound && isfinite(pose->joint[i]);
    for (int i = 0; i <= HW_JOINTS; i++)
        sound = sound && isfinite(pose->at[i].x) && isfinite(pose->at[i].z);
    return sound;
}

static bool has_bars(const hw_digit *d)
{
    return d->family == HW_FAMILY_COUPLED_BARS;
}

// One hull of a part, where the pose puts it.
static hw_path hull_path(const hw_figure *f, const hw_digit_pose *pose, int part,
                         const hw_hull *hull)
{
    hw_vec2 origin;
    double turned;
    hw_round disc[HW_HULL_DISCS];
    hw_outline_place(pose, part, &origin, &turned);
    for (size_t i = 0; i < hull->discs; i++) {
        hw_vec2 at = hw_add(origin, hw_flexed(hull->disc[i].at, turned));
        disc[i] = (hw_round){hw_figure_spot(f, at), f->k * hull->disc[i].radius};
    }
    hw_path p = hw_path_new(f->s->arena);
    hw_path_hull(&p, disc, hull->discs);
    return p;
}

// The carrier, broken off behind the knuckle with the zigzag of a part that goes on.
static hw_path carrier_path(const hw_figure *f, const hw_digit *d)
{
    double r = d->thickness[0] / 2, back = HW_FIGURE_CARRIER * d->thickness[0];
    hw_path p = hw_path_new(f->s->arena);
    hw_spot c = hw_figure_spot(f, (hw_vec2){0, 0});
    hw_spot palmar = hw_figure_spot(f, (hw_vec2){-back, -r});
    hw_path_arc(&p, c, f->k * r, -HW_PI / 2, HW_PI / 2);
    hw_path_line(&p, palmar.x, palmar.y);
    static const double out[] = {0.25, 0.45, -0.1, 0.2, 0};
    for (int i = 0; i < 5; i++) {
        double z = -r + 2 * r * (i + 1) / 5, x = -back + (i < 4 ? 0.16 * r * out[i] * 4 : 0);
        hw_spot at = hw_figure_spot(f, (hw_vec2){x, z});
        hw_path_line(&p, at.x, at.y);
    }
    hw_path_close(&p);
    return p;
}

// A bar as a plate with eyes: the shaft narrower than the eyes where it is, else a rounded hull.
static hw_path bar_path(const hw_figure *f, const hw_digit *d, const hw_digit_pose *pose, int bar)
{
    hw_spot a = hw_figure_spot(f, pose->bar_root[bar]), b = hw_figure_spot(f, pose->bar_end[bar]);
    double eye = f->k * d->pivot_radius, half = f->k * d->bar[bar].width / 2;
    double dx = b.x - a.x, dy = b.y - a.y, length = sqrt(dx * dx + dy * dy);
    hw_path p = hw_path_new(f->s->arena);
    if (!(half < 0.95 * eye) || length < 2 * eye) {
        hw_round disc[2] = {{a, fmax(eye, half)}, {b, fmax(eye, half)}};
        hw_path_hull(&p, disc, 2);
        return p;
    }
    double along = atan2(dy, dx), open = asin(half / eye);
    hw_path_arc(&p, a, eye, along + open, along + 2 * HW_PI - open);
    hw_path_arc(&p, b, eye, along + HW_PI + open, along + 3 * HW_PI - open);
    hw_path_close(&p);
    return p;
}

static void cut_face(const hw_figure *f, const hw_path *p, double angle, double spacing,
                     hw_pen line)
{
    // a halo of paper keeps parts that pass in front of each other apart
    hw_sheet_path(f->s, p, HW_INK_NONE,
                  hw_pen_of(line.width + (f->fine ? 1.0 : 0.6), HW_INK_PAPER));
    hw_sheet_path(f->s, p, HW_INK_PAPER, hw_pen_of(0, HW_INK_NONE));
    hw_pen hatch = hw_pen_of(0.09, line.ink == HW_INK_ACCENT ? HW_INK_ACCENT : HW_INK_SOFT);
    hw_sheet_hatch(f->s, p, angle, spacing, hatch);
    hw_sheet_path(f->s, p, HW_INK_NONE, line);
}

static void pivot(const hw_figure *f, hw_spot at, double radius, bool joint)
{
    double r = f->k * radius;
    hw_pen line = hw_pen_of(f->fine ? HW_WEIGHT_PLAIN : HW_WEIGHT_THIN, HW_INK_BLACK);
    hw_path p = hw_path_new(f->s->arena);
    hw_path_circle(&p, at, joint ? r : 0.5 * r);
    hw_sheet_path(f->s, &p, HW_INK_PAPER, line);
    if (!f->fine) return;
    double reach = joint ? 1.45 * r : 0.85 * r; // centre lines
    hw_pen centre = hw_pen_of(HW_WEIGHT_HAIR, HW_INK_BLACK);
    hw_sheet_line(f->s, (hw_spot){at.x - reach, at.y}, (hw_spot){at.x + reach, at.y}, centre);
    hw_sheet_line(f->s, (hw_spot){at.x, at.y - reach}, (hw_spot){at.x, at.y + reach}, centre);
}

// Edges that lie behind: the arm from a joint's boss to a bar's pivot.
static void hidden_arm(const hw_figure *f, hw_spot joint, hw_spot end, double radius)
{
    hw_round disc[2] = {{joint, f->k * radius}, {end, f->k * radius}};
    hw_path p = hw_path_new(f->s->arena);
    hw_path_hull(&p, disc, 2);
    hw_sheet_path(f->s, &p, HW_INK_NONE, (hw_pen){HW_WEIGHT_THIN, HW_INK_BLACK, HW_DASH_SHORT});
}

// Axes of the joints, drawn over the bars that hide them.
static void axes(const hw_figure *f, const hw_digit *d, const hw_digit_pose *pose)
{
    if (!f->fine) return;
    double r = f->k * d->pivot_radius, reach = 1.45 * r;
    hw_pen centre = hw_pen_of(HW_WEIGHT_HAIR, HW_INK_BLACK);
    for (int i = 0; i < HW_JOINTS; i++) {
        hw_spot at = hw_figure_spot(f, pose->at[i]);
        hw_path hole = hw_path_new(f->s->arena);
        hw_path_circle(&hole, at, r);
        hw_sheet_path(f->s, &hole, HW_INK_NONE,
                      (hw_pen){HW_WEIGHT_THIN, HW_INK_BLACK, HW_DASH_SHORT});
        hw_sheet_line(f->s, (hw_spot){at.x - reach, at.y}, (hw_spot){at.x + reach, at.y}, centre);
        hw_sheet_line(f->s, (hw_spot){at.x, at.y - reach}, (hw_spot){at.x, at.y + reach}, centre);
    }
}

// Bar B passes in front of bar A's horn end: what it hides there is drawn over it, dashed, so that
// the eye can follow bar A to its pin.
static void behind(const hw_figure *f, const hw_digit *d, const hw_digit_pose *pose)
{
    hw_spot end = hw_figure_spot(f, pose->bar_end[0]);
    double r = 0.5 * f->k * d->pivot_radius;
    hw_pen hidden = {HW_WEIGHT_THIN, HW_INK_BLACK, f->fine ? HW_DASH_SHORT : HW_DASH_NONE};
    hw_path pin = hw_path_new(f->s->arena);
    hw_path_circle(&pin, end, r);
    hw_sheet_path(f->s, &pin, HW_INK_NONE, hidden);
    if (!f->fine) return;
    hw_path whole = bar_path(f, d, pose, 0);
    hw_sheet_path(f->s, &whole, HW_INK_NONE, hidden);
    hw_pen centre = hw_pen_of(HW_WEIGHT_HAIR, HW_INK_BLACK);
    hw_sheet_line(f->s, (hw_spot){end.x - 1.7 * r, end.y}, (hw_spot){end.x + 1.7 * r, end.y},
                  centre);
    hw_sheet_line(f->s, (hw_spot){end.x, end.y - 1.7 * r}, (hw_spot){end.x, end.y + 1.7 * r},
                  centre);
}

static void bars(const hw_figure *f, const hw_digit *d, const hw_digit_pose *pose)
{
    hw_pen line = hw_pen_of(f->fine ? 0.35 : HW_WEIGHT_PLAIN, HW_INK_BLACK);
    for (int i = 0; i < 2; i++) {
        hw_spot root = hw_figure_spot(f, pose->bar_root[i]);
        hw_spot end = hw_figure_spot(f, pose->bar_end[i]);
        if (f->fine) {
            hidden_arm(f, hw_figure_spot(f, pose->at[i]), root, i == 0 ? d->pivot_radius : 0);
            hidden_arm(f, hw_figure_spot(f, pose->at[i + 1]), end, d->pivot_radius);
        }
        hw_path p = bar_path(f, d, pose, i);
        cut_face(f, &p, i ? 0.35 : -0.35, f->fine ? 0.8 : 0.55, line);
        pivot(f, root, d->pivot_radius, false);
        pivot(f, end, d->pivot_radius, false);
    }
    behind(f, d, pose);
    axes(f, d, pose);
}

// The closing cord on the palmar side, through a guide on either side of each joint; the guides
// stand off the axis by the moment arm that the cord has in the straight digit.
static void cord(const hw_figure *f, const hw_digit *d, const hw_digit_pose *pose)
{
    hw_path p = hw_path_new(f->s->arena);
    hw_spot at =
        hw_figure_spot(f, (hw_vec2){-HW_FIGURE_CARRIER * d->thickness[0], -d->cord.arm[0]});
    hw_path_move(&p, at.x, at.y);
    for (int i = 0; i < HW_JOINTS; i++) {
        double near = 0.55 * d->thickness[i], before = i > 0 ? d->phalanx[i - 1] : 0;
        at = hw_figure_body_spot(f, pose, i, (hw_vec2){before - near, -d->cord.arm[i]});
        hw_path_line(&p, at.x, at.y);
        at = hw_figure_body_spot(f, pose, i + 1, (hw_vec2){near, -d->cord.arm[i]});
        hw_path_line(&p, at.x, at.y);
    }
    hw_sheet_path(f->s, &p, HW_INK_NONE, hw_pen_of(f->fine ? 1.5 : 0.9, HW_INK_PAPER));
    hw_sheet_path(f->s, &p, HW_INK_NONE, hw_pen_of(f->fine ? 0.7 : 0.4, HW_INK_BLACK));
    hw_path knot = hw_path_new(f->s->arena); // where it is made fast
    hw_path_circle(&knot, at, f->fine ? 1.1 : 0.6);
    hw_sheet_path(f->s, &knot, HW_INK_BLACK, hw_pen_of(0, HW_INK_NONE));
}

// A phalanx cut along its middle, cheeks and tang with it; the next one's tang passes in front.
// Lugs that reach beyond it stand behind.
static void phalanx(const hw_figure *f, const hw_digit *d, const hw_digit_pose *pose, int part,
                    const hw_outline *o, hw_pen line)
{
    hw_pen behind = hw_pen_of(f->fine ? 0.3 : HW_WEIGHT_THIN, HW_INK_BLACK);
    for (size_t i = 0; i < o->hulls; i++) {
        if (o->hull[i].role != HW_HULL_HORN && o->hull[i].role != HW_HULL_ROOT) continue;
        hw_path p = hull_path(f, pose, part, &o->hull[i]);
        hw_sheet_path(f->s, &p, HW_INK_PAPER, behind);
    }
    hw_hull cut = {.discs = 2};
    hw_phalanx_discs(d, part - 1, cut.disc);
    hw_path p = hull_path(f, pose, part, &cut);
    cut_face(f, &p, part % 2 ? -HW_PI / 4 : HW_PI / 4, f->fine ? 2.4 : 1.5, line);
}

void hw_figure_digit(const hw_figure *f, const hw_digit *d, const hw_digit_pose *pose)
{
    hw_pen line = hw_pen_of(f->fine ? HW_WEIGHT_HEAVY : 0.3, HW_INK_BLACK);
    hw_outline part[HW_OUTLINE_PARTS];
    if (hw_digit_outline(d, part) != HW_OK) return;
    hw_path p = carrier_path(f, d);
    cut_face(f, &p, HW_PI / 4, f->fine ? 1.9 : 1.2, line);
    for (int i = 1; i <= HW_JOINTS; i++) phalanx(f, d, pose, i, &part[i], line);
    for (int i = 0; i < HW_JOINTS; i++)
        pivot(f, hw_figure_spot(f, pose->at[i]), d->pivot_radius, true);
    if (has_bars(d)) bars(f, d, pose);
    if (d->family == HW_FAMILY_CORD) cord(f, d, pose);
}

void hw_figure_ghost(const hw_figure *f, const hw_digit *d, const hw_digit_pose *pose, hw_pen pen)
{
    for (int i = 0; i < HW_JOINTS; i++) {
        hw_hull whole = {.discs = 2};
        hw_phalanx_discs(d, i, whole.disc);
        hw_path p = hull_path(f, pose, i + 1, &whole);
        hw_sheet_path(f->s, &p, HW_INK_NONE, pen);
    }
}

static void grow(hw_box *b, hw_spot at, double radius)
{
    double right = fmax(b->x + b->w, at.x + radius), low = fmax(b->y + b->h, at.y + radius);
    b->x = fmin(b->x, at.x - radius);
    b->y = fmin(b->y, at.y - radius);
    b->w = right - b->x;
    b->h = low - b->y;
}

hw_box hw_figure_box(const hw_digit *d, const hw_digit_pose *pose, double k)
{
    hw_figure f = {.k = k};
    double r = d->thickness[0] / 2 * k, back = k * HW_FIGURE_CARRIER * d->thickness[0];
    hw_box box = {-back, -r, back + r, 2 * r};
    hw_outline part[HW_OUTLINE_PARTS];
    if (hw_digit_outline(d, part) != HW_OK) return box;
    for (int i = 1; i <= HW_JOINTS; i++)
        for (size_t h = 0; h < part[i].hulls; h++)
            for (size_t m = 0; m < part[i].hull[h].discs; m++) {
                const hw_disc *disc = &part[i].hull[h].disc[m];
                grow(&box, hw_figure_body_spot(&f, pose, i, disc->at), k * disc->radius);
            }
    return box;
}

const char *hw_figure_joint(const hw_digit *d, int joint)
{
    static const char *const name[2][HW_JOINTS] = {{"MCP", "PIP", "DIP"}, {"CMC", "MCP", "IP"}};
    return joint >= 0 && joint < HW_JOINTS ? name[d->thumb][joint] : "";
}

const char *hw_figure_phalanx(const hw_digit *d, int phalanx)
{
    static const char *const name[2][HW_JOINTS] = {{"proximal", "middle", "distal"},
                                                   {"metacarpal", "proximal", "distal"}};
    return phalanx >= 0 && phalanx < HW_JOINTS ? name[d->thumb][phalanx] : "none";
}

const char *hw_figure_words(char out[160], ...)
{
    size_t n = 0;
    va_list list;
    va_start(list, out);
    for (const char *part; (part = va_arg(list, const char *));) {
        size_t more = strlen(part);
        if (n + more > 159) more = 159 - n;
        memcpy(out + n, part, more);
        n += more;
    }
    va_end(list);
    out[n] = '\0';
    out[hw_utf8_bad((hw_text){out, n})] = '\0'; // a letter that was cut
    return out;
}

const char *hw_figure_capital(const char *name, char out[40])
{
    size_t n = strlen(name) < 39 ? strlen(name) : 39;
    memcpy(out, name, n);
    out[n] = '\0';
    if (out[0] >= 'a' && out[0] <= 'z') out[0] = (char)(out[0] - 'a' + 'A');
    return out;
}

double hw_figure_head(hw_sheet *s, const char *title, const char *design, const char *remark)
{
    char words[160];
    hw_type big = hw_type_of(10.5, HW_ANCHOR_START), small = hw_type_of(7.5, HW_ANCHOR_END);
    big.bold = true;
    double right = hw_sheet_box(s).w;
    bool both = design && *design && remark && *remark;
    hw_figure_words(words, design ? design : "", both ? "  \xc2\xb7  " : "", remark ? remark : "",
                    NULL);
    hw_sheet_text(s, 0.5, 4.6, big, title);
    if (hw_type_width(big, title) + hw_type_width(small, words) + 4 < right)
        hw_sheet_text(s, right - 0.5, 4.6, small, words);
    hw_sheet_line(s, (hw_spot){0, 6.6}, (hw_spot){right, 6.6},
                  hw_pen_of(HW_WEIGHT_HEAVY, HW_INK_BLACK));
    return 9;
}

double hw_figure_scale(double most, char out[24])
{
    static const struct {
        double scale;
        const char *words;
    } row[] = {{10, "10 : 1"},     {5, "5 : 1"},     {4, "4 : 1"},       {3, "3 : 1"},
               {2.5, "2.5 : 1"},   {2, "2 : 1"},     {1.75, "1.75 : 1"}, {1.5, "1.5 : 1"},
               {1.25, "1.25 : 1"}, {1, "1 : 1"},     {0.8, "1 : 1.25"},  {1 / 1.5, "1 : 1.5"},
               {0.5, "1 : 2"},     {0.4, "1 : 2.5"}, {1 / 3.0, "1 : 3"}, {0.25, "1 : 4"},
               {0.2, "1 : 5"},     {0.1, "1 : 10"}};
    for (size_t i = 0; i < sizeof row / sizeof *row; i++)
        if (row[i].scale <= most) {
            strcpy(out, row[i].words);
            return row[i].scale;
        }
    strcpy(out, "not to scale");
    return most > 0 ? most : 0.01;
}
