// The palm's parts together: defaults, checks, beds, what must be split.
#include "parts/palm_internal.h"

#include "base/text.h"
#include "palm/palm.h"
#include "parts/palm_hold.h"

#include <string.h>

#define MM  1e-3
#define DEG (HW_PI / 180)

// At the tops of posts and fins while servos, sheaths or the lid go in (own choice). [N]
#define PUSH 5

// ---- defaults ---------------------------------------------------------------------------------

static double rounded(double v, double power) // [1]
{
    return copysign(pow(fabs(v), power), v);
}

static void default_outline(hw_palm_parts_def *f)
{
    for (int s = 0; s < HW_PALM_LOOPS; s++) {
        double along = (double)s / (HW_PALM_LOOPS - 1), wide = fmin(1, 1.5 * along);
        double half = 29.4 * MM + 10.5 * MM * wide * wide * (3 - 2 * wide);
        for (int k = 0; k < HW_PALM_LOOP; k++) {
            double a = 2 * HW_PI * k / HW_PALM_LOOP;
            double y = -6.3 * MM * wide + half * rounded(cos(a), 0.6);
            double off = (y + 6.3 * MM) / (80 * MM); // the arch falls to both sides
            double z = -4.75 * MM + 15.75 * MM * rounded(sin(a), 0.6) - along * off * off * 40 * MM;
            double front = y > 0 ? 72 * MM : 72 * MM + 0.33 * y;
            f->outline[s][k] = hw_at(along * front, y, z);
        }
    }
}

static hw_palm_servo servo_of(hw_vec3 at, bool small)
{
    hw_palm_servo s = {.frame = {at, {-1, 0, 0}, {0, -1, 0}, {0, 0, 1}}};
    const double size[2][10] = {{40, 20, 38, 54, 2.5, 28, 10, 8, 10, 4},
                                {23, 12, 24, 32, 2, 16, 6, 5.5, 3, 3}};
    const double *v = size[small];
    s.length = v[0] * MM;
    s.width = v[1] * MM;
    s.height = v[2] * MM;
    s.ear_span = v[3] * MM;
    s.ear_thickness = v[4] * MM;
    s.ear_at = v[5] * MM;
    s.shaft_at = v[6] * MM;
    double swing = v[7] * MM;
    s.horn[0] = hw_at(-swing, -swing, 0);
    s.horn[1] = hw_at(swing, swing, v[8] * MM);
    s.cable = v[9] * MM;
    return s;
}

static void default_seats(hw_palm_parts_def *f)
{
    static const double at[4][3] = {
        {83.1, 21.2, -4.5}, {83, 0, 0}, {76.1, -17.3, -0.5}, {68.4, -33.8, -4.5}};
    for (int i = 0; i < 4; i++) {
        hw_palm_seat *s = &f->digit[i + 1];
        *s = (hw_palm_seat){.present = true, .back = -33 * MM, .half = 11 * MM};
        s->knuckle = hw_hand_axes;
        s->knuckle.at = hw_vec3_times(hw_at(at[i][0], at[i][1], at[i][2]), MM);
        double half = i == 3 ? 6.7 * MM : 8 * MM;
        s->side[0] = -half;
        s->side[1] = half;
        s->screw[0].z = s->half / 2;
        s->screw[1].z = -s->half / 2;
        s->splay_at = hw_vec3_add(s->knuckle.at, hw_at(-16.6 * MM, 0, 0));
        s->splay_axis = hw_at(0, 0, 1);
        if (i == 1) continue; // the middle finger stands fast
        s->splay[0] = -0.17;
        s->splay[1] = 0.17;
        s->levered = true;
        s->lever = hw_vec3_add(s->splay_at, hw_at(-23 * MM, 0, 0));
    }
}

// Unopposed it points aside, forward and before the palm alike.
static void default_thumb(hw_palm_parts_def *f)
{
    hw_palm_seat *s = &f->digit[0];
    *s = (hw_palm_seat){.present = true, .back = -18 * MM, .half = 11 * MM, .bore = 10 * MM};
    s->knuckle = hw_palm_frame(hw_at(0, 0, 0), (hw_palm_pointing){45 * DEG, -35 * DEG, -115 * DEG});
    s->splay_at = hw_at(19 * MM, 12 * MM, -9.5 * MM);
    s->splay_axis = hw_at(-1, 0, 0);
    s->knuckle.at = hw_vec3_along(s->splay_at, 27 * MM, s->knuckle.x);
    s->side[0] = -9 * MM;
    s->side[1] = 9 * MM;
    for (int e = 0; e < 2; e++) s->screw[e] = (hw_vec2){(e ? 6.3 : -6.3) * MM, -8.2 * MM};
    s->splay[1] = 90 * DEG;
    s->levered = true;
    s->lever = hw_vec3_add(s->splay_at, hw_at(1 * MM, 0, 12 * MM));
    s->radius = 16 * MM;
    s->flexion[1] = 40 * DEG;
    s->segment = 44 * MM;
    s->width = 18 * MM;
    s->thickness = s->taper = 22 * MM;
    s->mouth = 15.5 * MM;
}

hw_palm_parts_def hw_palm_parts_def_default(void)
{
    hw_palm_parts_def f = {.split = 3.4 * MM,
                           .line = 0.42 * MM,
                           .wall = 2.4 * MM,
                           .floor = 2.4 * MM,
                           .plate = HW_PALM_PLATE,
                           .gap = 0.3 * MM,
                           .screw = HW_PALM_SCREW,
                           .bed = {170 * MM, 170 * MM, 180 * MM},
                           .bridge = 10 * MM,
                           .bears = 15e6}; // half of what printed PLA does (common practice)
    default_outline(&f);
    default_seats(&f);
    default_thumb(&f);
    for (int i = 0; i < 2; i++)
        f.palm[f.palm_servos++] = servo_of(hw_at(25 * MM, (-20 + 14 * i) * MM, 3 * MM), true);
    for (int row = 0; row < 2; row++)
        for (int side = 1; side >= -1; side -= 2)
            f.arm[f.arm_servos++] =
                servo_of(hw_at((-58 - 58 * row) * MM, 15 * side * MM, 0), false);
    f.board = (hw_palm_board){.length = 60 * MM,
                              .width = 40 * MM,
                              .thickness = 1.6 * MM,
                              .under = 5 * MM,
                              .over = 12 * MM,
                              .holes = 4,
                              .bore = 2.5 * MM,
                              .socket = {10 * MM, 30 * MM}};
    for (int i = 0; i < 4; i++)
        f.board.hole[i] = (hw_vec2){(i % 2 ? 56.5 : 3.5) * MM, (i / 2 ? 36.5 : 3.5) * MM};
    return f;
}

// ---- parts ------------------------------------------------------------------------------------

static void put_part(hw_palm_build *b, const char *name, const hw_field *f, hw_frame bed,
                     const hw_allowance *allow, size_t allows)
{
    if (b->out->parts == HW_PALM_PARTS) {
        b->out->parts++; // told by hw_palm_parts_of
        return;
    }
    if (b->out->parts > HW_PALM_PARTS) return;
    hw_palm_part *p = &b->out->part[b->out->parts++];
    *p = (hw_palm_part){.field = f, .bed = bed, .allows = allows};
    strncpy(p->name, name, sizeof p->name - 1);
    hw_allowance *own = HW_NEW(b->a, hw_allowance, allows);
    if (!own) return;
    for (size_t i = 0; i < allows; i++) {
        const hw_vec3 *box[] = {&allow[i].low, &allow[i].high};
        hw_allowance *to = &own[i];
        *to = (hw_allowance){
            allow[i].kind, {INFINITY, INFINITY, INFINITY}, {-INFINITY, -INFINITY, -INFINITY}};
        for (int k = 0; k < 8; k++) { // a box round the turned one
            hw_vec3 q = {box[k & 1]->x, box[k >> 1 & 1]->y, box[k >> 2]->z};
            q = hw_frame_seen(&bed, q);
            to->low = hw_at(fmin(to->low.x, q.x), fmin(to->low.y, q.y), fmin(to->low.z, q.z));
            to->high = hw_at(fmax(to->high.x, q.x), fmax(to->high.y, q.y), fmax(to->high.z, q.z));
        }
    }
    p->allow = own;
}

// As the bed sees it.
static const hw_field *laid(hw_arena *a, const hw_field *f, const hw_frame *bed)
{
    hw_frame to = {{0, 0, 0},
                   {bed->x.x, bed->y.x, bed->z.x},
                   {bed->x.y, bed->y.y, bed->z.y},
                   {bed->x.z, bed->y.z, bed->z.z}};
    to.at = hw_vec3_times(hw_frame_direction(&to, bed->at), -1);
    return hw_field_moved(a, f, &to);
}

// Tongues of two halves: where they cross the plane x = cut, from the bed up; places across.
typedef struct tongues {
    double cut, half, height;
    double at[2];
    size_t n;
} tongues;

static bool holds(const hw_field *f, const tongues *t, double y, double wall)
{
    for (int k = 0; k < 45; k++) {
        const int along = k % 3 - 1, across = k / 3 % 3 - 1, up = k / 9;
        hw_vec3 p = {t->cut + along * 1.3 * t->half, y + across * (t->half + wall),
                     (0.03 + 0.3 * up) * t->height};
        if (!(hw_field_at(f, p) < 0)) return false;
    }
    return true;
}

static void find_tongues(const hw_field *f, const double y[2], double wall, tongues *t)
{
    enum { TRIES = 60 };
    t->n = 0;
    for (int i = 0; i < TRIES && t->n < 2; i++) {
        double v = y[0] + (y[1] - y[0]) * (t->n ? TRIES - 0.5 - i : 0.5 + i) / TRIES;
        if (!holds(f, t, v, wall) || (t->n && fabs(v - t->at[0]) < 4 * t->half)) continue;
        t->at[t->n++] = v;
        if (t->n == 1) i = -1;
    }
}

// The plane nearest to the middle across which two tongues find material as far apart as can be;
// both halves fit the bed.
static tongues plane_of(const hw_palm_build *b, const hw_field *f, hw_box3 reach)
{
    enum { PLANES = 41 };
    const double w = b->f->wall, y[2] = {reach.low.y, reach.high.y};
    double middle = (reach.low.x + reach.high.x) / 2, longest = fmax(b->f->bed[0], b->f->bed[1]);
    double stray = 0.9 * (longest - (reach.high.x - reach.low.x) / 2);
    tongues best = {.cut = middle, .half = 0.75 * w, .height = 0.4 * reach.high.z};
    double most = -1;
    for (int i = 0; i < PLANES; i++) {
        double off = stray * (i + 1) / 2 * (i % 2 ? 1 : -1) * 2 / PLANES;
        const double at = middle + (i ? off : 0), *joint = b->joint;
        if (joint[0] < joint[1] && (at < joint[0] || at > joint[1])) continue;
        tongues t = {at, 0.75 * w, 0.4 * reach.high.z, {0, 0}, 0};
        find_tongues(f, y, 0.4 * w, &t);
        double apart = t.n == 2 ? fabs(t.at[1] - t.at[0]) : (double)t.n * t.half;
        if (apart > most * 1.2 || most < 0) most = apart, best = t;
    }
    return best;
}

// Grooves are open to the bed; their ceilings are bridges.
static hw_box3 tongue_box(const tongues *t, size_t i, double grow, bool groove)
{
    hw_box3 box = {{t->cut - t->half, t->at[i] - t->half - grow, groove ? -t->half : 0},
                   {t->cut + t->half + grow, t->at[i] + t->half + grow, t->height + grow}};
    return box;
}

// Halves at a plane across the longer side, with tongues that stand on the bed and grooves that are
// open to it. `f` is as the bed sees it.
static void put_halves(hw_palm_build *b, const char *name, const hw_field *f, hw_frame bed,
                       const hw_allowance *allow, size_t allows, hw_box3 reach)
{
    const double g = b->f->gap / 2;
    const tongues t = plane_of(b, f, reach);
    hw_allowance *own = HW_NEW(b->a, hw_allowance, allows + 2);
    if (!own) return;
    for (size_t i = 0; i < allows; i++) own[i] = allow[i];
    for (int side = -1; side <= 1; side += 2) {
        hw_box3 room = hw_box_grown(reach, b->f->wall);
        *(side > 0 ? &room.low.x : &room.high.x) = t.cut;
        hw_tools tools = {.n = 0};
        size_t n = allows;
        for (size_t i = 0; i < t.n; i++) {
            hw_box3 box = tongue_box(&t, i, side > 0 ? g : 0, side > 0);
            if (side < 0) box.high.x -= g;
            hw_put(&tools, hw_block3(b->a, box));
            if (side < 0) continue;
            box = hw_box_grown(box, b->f->gap);
            box.low.z = t.height - b->f->gap;
            box.high.z +=
                0.25 * b->f->wall; // a layer of the grid that what stands is looked for on
            own[n++] = (hw_allowance){HW_ALLOW_BRIDGE, hw_vec3_add(box.low, bed.at),
                                      hw_vec3_add(box.high, bed.at)};
        }
        const hw_field *piece = hw_both(b->a, f, hw_block3(b->a, room));
        if (side > 0)
            piece = hw_less(b->a, piece, &tools);
        else if (t.n) {
            const hw_field *both[] = {piece, hw_joined(b->a, &tools)};
            piece = hw_field_union(b->a, both, 2);
        }
        hw_buffer words = {.arena = b->a};
        hw_buffer_format(&words, "%s %s", name, side > 0 ? "front" : "rear");
        if (words.at) put_part(b, words.at, piece, bed, own, n);
    }
}

void hw_palm_roof(hw_palm_build *b, const char *name, const hw_field *roof, hw_frame bed)
{
    const hw_field *on_bed = laid(b->a, roof, &bed);
    for (size_t i = 0; i < b->out->parts; i++)
        if (strncmp(b->out->part[i].name, name, strlen(name)) == 0) b->out->part[i].roof = on_bed;
}

void hw_palm_add(hw_palm_build *b, const char *name, const hw_field *f, hw_frame bed,
                 const hw_allowance *allow, size_t allows)
{
    const hw_field *on_bed = laid(b->a, f, &bed);
    hw_box3 reach;
    if (!on_bed || !hw_field_reach(on_bed, &reach.low, &reach.high)) {
        put_part(b, name, NULL, bed, NULL, 0);
        return;
    }
    double x = reach.high.x - reach.low.x, y = reach.high.y - reach.low.y;
    const double *room = b->f->bed;
    bool fits = (x <= room[0] && y <= room[1]) || (x <= room[1] && y <= room[0]);
    if (fits || x < y)
        put_part(b, name, on_bed, bed, allow, allows);
    else
        put_halves(b, name, on_bed, bed, allow, allows, reach);
}

static void board_outline(hw_arena *a, hw_palm_build *b)
{
    const hw_palm_board *p = &b->f->board;
    if (!(p->length > 0)) return;
    hw_block *block = HW_NEW(a, hw_block, 1 + p->holes);
    hw_vec2 *at = HW_NEW(a, hw_vec2, 4);
    if (!block || !at) return;
    at[1].x = at[2].x = p->length;
    at[2].z = at[3].z = p->width;
    block[0] = (hw_block){HW_BLOCK_ADD, {0, p->thickness}, {{at, 4}, {at, 4}}};
    for (size_t i = 0; i < p->holes; i++) {
        hw_block *hole = &block[1 + i];
        *hole = (hw_block){.op = HW_BLOCK_CUT, .y = {-p->thickness, 2 * p->thickness}};
        // the board's own holes are a little wider than their screws
        if (hw_polygon_circle(a, (hw_circle){p->hole[i], 0.6 * p->bore}, 24, &hole->at[0]) != HW_OK)
            return;
        hole->at[1] = hole->at[0];
    }
    b->out->board = (hw_solid){block, 1 + p->holes};
}

static const char *outline_fault(const hw_palm_parts_def *f)
{
    for (int s = 0; s < HW_PALM_LOOPS; s++)
        for (int k = 0; k < HW_PALM_LOOP; k++) {
            hw_vec3 p = f->outline[s][k];
            if (!isfinite(p.x + p.y + p.z)) return "a point of the palm's outline is not finite";
            if (s && !(p.x > f->outline[s - 1][k].x))
                return "the palm's outline does not run from wrist to knuckles";
        }
    return NULL;
}

static bool servo_good(const hw_palm_servo *s)
{
    return s->length > 0 && s->width > 0 && s->height > 0 && s->ear_span >= s->length &&
           isfinite(s->length + s->width + s->height + s->ear_span) && s->ear_at >= 0 &&
           s->ear_at < s->height;
}

static bool seat_good(const hw_palm_seat *s, bool thumb)
{
    return s->back < 0 && s->side[0] < s->side[1] && s->half > 0 && s->splay[0] <= s->splay[1] &&
           (thumb || s->splay_axis.z > 0.5);
}

static const char *thumb_fault(const hw_palm_parts_def *f)
{
    const hw_palm_seat *s = &f->digit[0];
    if (!s->present || !(s->bore > 0)) return NULL;
    if (!(s->segment > 0) || !(s->width > 0) || !(s->thickness > 0) || !(s->taper > 0) ||
        !(s->radius > 0) || !(s->flexion[0] <= s->flexion[1]))
        return "the thumb's metacarpal has no size, or its sheaths no arc";
    hw_palm_thumb t;
    if (!hw_palm_thumb_of(f, &t))
        return "the thumb's sheaths have no room for their arc behind its carrier";
    double least = hw_palm_thumb_mouth(f);
    if (!(s->mouth >= least - 1e-6 * s->half))
        return "the thumb's journal ends before its bearing has room";
    return NULL;
}

static const char *fault_of(const hw_palm_parts_def *f)
{
    const double size[] = {f->line,   f->wall,   f->floor,  f->plate,  f->gap,  f->screw,
                           f->bed[0], f->bed[1], f->bed[2], f->bridge, f->bears};
    for (size_t i = 0; i < sizeof size / sizeof size[0]; i++)
        if (!(size[i] > 0) || !isfinite(size[i]))
            return "a line, wall, gap, screw or bed is not above 0";
    if (f->palm_servos > HW_PALM_SERVOS || f->arm_servos > HW_PALM_SERVOS ||
        f->routes > HW_PALM_ROUTES || f->board.holes > HW_PALM_HOLES)
        return "there are more servos, routes or holes than there is room for";
    for (size_t i = 0; i < f->palm_servos; i++)
        if (!servo_good(&f->palm[i])) return "a servo's case or its ears have no size";
    for (size_t i = 0; i < f->arm_servos; i++)
        if (!servo_good(&f->arm[i])) return "a servo's case or its ears have no size";
    for (int i = 0; i < HW_PALM_DIGITS; i++)
        if (f->digit[i].present && !seat_good(&f->digit[i], i == 0))
            return "a digit's carrier has no block, or splays about no axis";
    const char *thumb = thumb_fault(f);
    return thumb ? thumb : outline_fault(f);
}

static void set_window(hw_palm_build *b, double split) // [m]
{
    const double wide = b->wrist[1] - b->wrist[0];
    b->window[0] = b->wrist[0] + 0.25 * wide;
    b->window[1] = b->wrist[1] - 0.25 * wide;
    b->sill = fmax(b->bottom + 0.5 * (split - b->bottom), hw_palm_bearing_top(b));
}

const hw_field *hw_palm_block(hw_arena *keep, const hw_palm_parts_def *def, const hw_field **bay)
{
    hw_palm_parts_def *f = HW_NEW(keep, hw_palm_parts_def, 1);
    hw_palm_parts *out = HW_NEW(keep, hw_palm_parts, 1);
    *bay = NULL;
    if (!f || !out) return NULL;
    *f = *def;
    f->palm_servos = f->rods = 0;
    hw_palm_build b = {.a = keep, .f = f, .out = out};
    if (fault_of(f) || !hw_palm_thumb_of(f, &b.thumb)) return NULL;
    hw_palm_measure(&b);
    f->split = b.top;
    hw_palm_bay(&b);
    hw_palm_skin(&b);
    hw_palm_thumb_bay(&b);
    set_window(&b, def->split);
    hw_tools ahead = {.n = 0};
    if (b.bay) hw_put(&ahead, b.bay);
    if (b.ahead) hw_put(&ahead, b.ahead);
    *bay = hw_joined(keep, &ahead);
    return hw_palm_block_of(&b);
}

hw_code hw_palm_parts_of(hw_arena *keep, const hw_palm_parts_def *def, hw_palm_parts *out,
                         const char **fault)
{
    *out = (hw_palm_parts){.parts = 0};
    *fault = fault_of(def);
    if (*fault) return HW_BAD_INPUT;
    hw_palm_build b = {.a = keep, .f = def, .out = out};
    b.cone = HW_SEAT_CONE * def->screw;
    b.deep = 0.7 * def->screw;
    hw_palm_measure(&b);
    if (!hw_palm_thumb_of(def, &b.thumb)) return HW_BAD_INPUT;
    hw_palm_bay(&b);
    hw_palm_skin(&b);
    hw_palm_thumb_bay(&b);
    set_window(&b, def->split);
    out->bottom = b.bottom;
    out->top = b.top;
    hw_palm_wrist(&b);
    hw_palm_collar(&b);
    hw_palm_tray(&b);
    for (int i = 1; i < HW_PALM_DIGITS; i++)
        if (def->digit[i].present) hw_palm_yoke(&b, i);
    hw_palm_thumb_yoke(&b);
    hw_palm_thumb_cap(&b);
    hw_palm_arm(&b);
    board_outline(keep, &b);
    if (hw_arena_failed(keep)) return HW_NO_MEMORY;
    if (out->parts > HW_PALM_PARTS) return HW_LIMIT;
    for (size_t i = 0; i < out->parts; i++)
        if (!out->part[i].field) {
            *fault = "a shape of the palm has a size that is not above 0";
            return HW_BAD_INPUT;
        }
    return HW_OK;
}

typedef hw_vec3 pair[2];

// What is settled of the palm, halves like wholes.
typedef enum settled { SETTLED_NOT, SETTLED_TRAY, SETTLED_LID, SETTLED_ARM, SETTLED_COVER } settled;

static settled settled_of(const hw_palm_part *p)
{
    static const struct {
        const char *begins;
        settled as;
    } row[] = {{"palm tray", SETTLED_TRAY},
               {"palm lid", SETTLED_LID},
               {"forearm lid", SETTLED_NOT},
               {"forearm cover", SETTLED_COVER},
               {"forearm", SETTLED_ARM}};
    for (size_t i = 0; i < sizeof row / sizeof *row; i++)
        if (strncmp(p->name, row[i].begins, strlen(row[i].begins)) == 0) return row[i].as;
    return SETTLED_NOT;
}

// How a part is looked at: the forearm, which is large, in larger cells; its cover, which stands on
// its end and leans nowhere, for what is thin alone; the tray of a fine printer in finer cells, as
// what may hang there is less. False: it needs none of it.
static bool stand_of(const hw_palm_parts_def *def, const hw_palm_part *p, hw_standing_def *out)
{
    enum { PLACES = 12000000, PLACES_THIN = 2 * PLACES, PLACES_FINE = 4 * PLACES };
    const settled as = settled_of(p);
    const bool cover = as == SETTLED_COVER;
    hw_vec3 low, high;
    if (as == SETTLED_NOT || !hw_field_reach(p->field, &low, &high)) return false;
    const double room = (high.x - low.x) * (high.y - low.y) * (high.z - low.z);
    const double least = (as == SETTLED_LID    ? HW_THIN_LID
                          : as == SETTLED_TRAY ? HW_THIN_TRAY
                                               : HW_THIN) *
                         def->wall;
    // no disk is larger than eight cells
    const double fine = fmax(fmax(0.75 * def->line, cbrt(room / PLACES_FINE)), least / 7.5);
    *out = (hw_standing_def){
        .cell = as == SETTLED_TRAY ? fmin(0.1 * def->wall, fine)
                : as == SETTLED_LID
                    ? 0.1 * def->wall
                    : fmax(0.1 * def->wall, cbrt(room / (cover ? PLACES_THIN : PLACES))),
        .least = least,
        .lean = {cover ? 2 : 0.7, cover ? 2 : 1},
        .push = PUSH / def->bears};
    return true;
}

// Where what holds a servo is looked for, outside of it.
static double beside(const hw_palm_parts_def *def) // [m]
{
    return def->gap + 0.1 * def->wall;
}

// Round a servo's case or its ears, as a part lies on its bed: what holds them stays, however weak.
static void round_servo(const hw_palm_servo *servo, hw_servo_box which, double off, // [m]
                        const hw_frame *bed, pair out)
{
    const hw_box3 box = hw_servo_box_of(servo, which, off);
    out[0] = (hw_vec3){INFINITY, INFINITY, INFINITY};
    out[1] = (hw_vec3){-INFINITY, -INFINITY, -INFINITY};
    for (int i = 0; i < 8; i++) {
        hw_vec3 p = hw_frame_seen(bed, (hw_vec3){i & 1 ? box.high.x : box.low.x,
                                                 i & 2 ? box.high.y : box.low.y,
                                                 i & 4 ? box.high.z : box.low.z});
        out[0] = (hw_vec3){fmin(out[0].x, p.x), fmin(out[0].y, p.y), fmin(out[0].z, p.z)};
        out[1] = (hw_vec3){fmax(out[1].x, p.x), fmax(out[1].y, p.y), fmax(out[1].z, p.z)};
    }
}

// One part; `keep_servo` says whose case and ears keep what holds them, however weak.
static hw_code settle(hw_arena *keep, hw_arena *work, const hw_palm_parts_def *def,
                      const hw_job *job, const bool keep_servo[], hw_palm_part *p, double *taken)
{
    hw_standing_def stand;
    hw_standing_made some;
    if (!stand_of(def, p, &stand)) return HW_OK;
    const settled as = settled_of(p);
    const bool tray = as == SETTLED_TRAY, arm = as == SETTLED_ARM || as == SETTLED_COVER;
    pair *meant = HW_NEW(keep, pair, p->allows + 1);
    if (!meant) return HW_NO_MEMORY;
    const double in = tray ? 0.5 * def->wall : 0; // what hangs there lies in its box as a whole
    for (size_t k = 0; k < p->allows; k++) {
        meant[k][0] = hw_vec3_add(p->allow[k].low, hw_at(in, in, in));
        meant[k][1] = hw_vec3_sub(p->allow[k].high, hw_at(in, in, in));
    }
    stand.spared = (const pair *)meant;
    stand.spares = arm || tray ? p->allows : 0; // in the lid vaults are better than bridges, where
    stand.roof = p->roof;                       // a back is left over them
    stand.bridge = tray ? 0.9 * def->bridge : 0;
    pair held[2 * HW_PALM_SERVOS];
    stand.kept = (const pair *)held;
    for (size_t k = 0; k < def->palm_servos && !arm; k++)
        for (int e = 0; e < 2 && keep_servo[k]; e++)
            round_servo(&def->palm[k], e ? HW_BOX_EARS : HW_BOX_CASE, beside(def), &p->bed,
                        held[stand.keeps++]);
    hw_code code = hw_field_standing(keep, work, p->field, &stand, job, &p->field, &some);
    if (code != HW_OK) return code;
    p->post = some.post;
    p->post_at = some.post_at;
    *taken += some.taken;
    return HW_OK;
}

// Whether what stands of the tray is enough in a servo's way, whichever.
static bool is_held(const hw_palm_parts *parts, const hw_palm_parts_def *def, size_t servo)
{
    const hw_palm_servo *s = &def->palm[servo];
    const hw_tray_hold hold = hw_tray_hold_of(parts, s, beside(def), 0);
    return s->asked > 0 && hold.area[hold.least] > s->asked;
}

hw_code hw_palm_parts_settle(hw_arena *keep, hw_arena *work, const hw_palm_parts_def *def,
                             const hw_job *job, hw_palm_parts *parts, double *taken)
{
    bool keep_servo[HW_PALM_SERVOS] = {false}, any = false;
    const hw_field *own[HW_PALM_PARTS] = {NULL};
    double sum = 0;
    hw_code code = HW_OK;
    for (size_t i = 0; i < parts->parts && code == HW_OK; i++) {
        own[i] = parts->part[i].field;
        code = settle(keep, work, def, job, keep_servo, &parts->part[i], &sum);
    }
    for (size_t k = 0; k < def->palm_servos && code == HW_OK; k++) {
        keep_servo[k] = !is_held(parts, def, k);
        any = any || keep_servo[k];
    }
    for (size_t i = 0; i < parts->parts && code == HW_OK && any; i++) {
        hw_palm_part *p = &parts->part[i];
        if (settled_of(p) != SETTLED_TRAY) continue;
        p->field = own[i];
        code = settle(keep, work, def, job, keep_servo, p, &sum);
    }
    if (taken) *taken = sum;
    return code;
}
