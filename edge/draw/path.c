// Paths: building, hulls of discs, flattening.
#include <math.h>
#include <string.h>

#include "draw/sheet.h"

enum { HULL_DISCS = 32 };

hw_path hw_path_new(hw_arena *a)
{
    return (hw_path){.arena = a};
}

static void add(hw_path *p, hw_step one)
{
    if (p->n == p->capacity) {
        size_t capacity = p->capacity ? 2 * p->capacity : 8;
        hw_step *more = HW_NEW(p->arena, hw_step, capacity);
        if (!more) return;
        if (p->n) memcpy(more, p->step, p->n * sizeof *more);
        p->step = more;
        p->capacity = capacity;
    }
    p->step[p->n++] = one;
}

void hw_path_move(hw_path *p, double x, double y)
{
    add(p, (hw_step){.kind = HW_STEP_MOVE, .at = {x, y}});
}

void hw_path_line(hw_path *p, double x, double y)
{
    add(p, (hw_step){.kind = HW_STEP_LINE, .at = {x, y}});
}

void hw_path_arc(hw_path *p, hw_spot centre, double radius, double from, double to)
{
    add(p, (hw_step){.kind = HW_STEP_ARC, .at = centre, .radius = radius, .from = from, .to = to});
}

void hw_path_close(hw_path *p)
{
    add(p, (hw_step){.kind = HW_STEP_CLOSE});
}

void hw_path_circle(hw_path *p, hw_spot centre, double radius)
{
    hw_path_move(p, centre.x + radius, centre.y);
    hw_path_arc(p, centre, radius, 0, HW_PI); // two halves: SVG has no full-turn arc
    hw_path_arc(p, centre, radius, HW_PI, 2 * HW_PI);
    hw_path_close(p);
}

void hw_path_box(hw_path *p, hw_box b)
{
    hw_path_move(p, b.x, b.y);
    hw_path_line(p, b.x + b.w, b.y);
    hw_path_line(p, b.x + b.w, b.y + b.h);
    hw_path_line(p, b.x, b.y + b.h);
    hw_path_close(p);
}

void hw_path_points(hw_path *p, const hw_spot *at, size_t n)
{
    bool down = false;
    for (size_t i = 0; i < n; i++) {
        if (isnan(at[i].x) || isnan(at[i].y)) {
            down = false;
            continue;
        }
        if (down)
            hw_path_line(p, at[i].x, at[i].y);
        else
            hw_path_move(p, at[i].x, at[i].y);
        down = true;
    }
}

// Angle after `from`, within one turn, at which disc j begins to reach further than disc i;
// INFINITY when never. With c_i - c_j = d (cos psi, sin psi), the difference of the support
// functions is (r_j - r_i) - d cos(phi - psi), which rises through zero once a turn.
// `along` gets the distance of the two touching points on the common tangent.
static double overtakes(const hw_round *i, const hw_round *j, double from, double *along)
{
    double dx = i->at.x - j->at.x, dy = i->at.y - j->at.y, d = sqrt(dx * dx + dy * dy);
    double rise = j->radius - i->radius;
    *along = 0;
    if (d - fabs(rise) <= 1e-12 * d) return INFINITY; // one lies inside the other
    *along = sqrt((d - rise) * (d + rise));
    double turn = fmod(atan2(dy, dx) + atan2(*along, rise) - from, 2 * HW_PI);
    if (turn < 0) turn += 2 * HW_PI;
    return turn > 2 * HW_PI - 1e-9 ? 0 : turn; // just behind `from` by rounding
}

// The disc that reaches furthest along +x; of equals, the one that goes on doing so.
static size_t furthest(const hw_round *disc, size_t n)
{
    size_t best = 0;
    for (size_t i = 1; i < n; i++) {
        double reach = disc[i].at.x + disc[i].radius - disc[best].at.x - disc[best].radius;
        double size = fabs(disc[i].at.x) + fabs(disc[best].at.x) + disc[best].radius;
        bool equal = fabs(reach) <= 1e-12 * size;
        double rise = disc[i].at.y - disc[best].at.y;
        bool larger = disc[i].radius > disc[best].radius;
        if (equal ? rise > 0 || (rise == 0 && larger) : reach > 0) best = i;
    }
    return best;
}

// The disc that takes over from disc i soonest after angle `at`; of several at once the one whose
// touching point lies furthest along, then the larger. i itself when none does. *turn gets how far.
static size_t next_disc(const hw_round *disc, size_t n, size_t i, double at, double *turn)
{
    double far = 0, along = 0;
    size_t next = i;
    *turn = INFINITY;
    for (size_t j = 0; j < n; j++) {
        double one = j == i ? (double)INFINITY : overtakes(&disc[i], &disc[j], at, &along);
        if (!isfinite(one)) continue;
        bool equal = fabs(one - *turn) < 1e-9;
        bool level = along > far * (1 - 1e-9) && disc[j].radius > disc[next].radius;
        if (equal ? along <= far * (1 + 1e-9) && !level : one > *turn) continue;
        *turn = one;
        far = along;
        next = j;
    }
    return next;
}

// An arc of at most one turn as arcs of at most half a turn.
static void arc_in_halves(hw_path *p, const hw_round *disc, double from, double to)
{
    if (to - from > HW_PI) {
        hw_path_arc(p, disc->at, disc->radius, from, from + HW_PI);
        from += HW_PI;
    }
    hw_path_arc(p, disc->at, disc->radius, from, to);
}

void hw_path_hull(hw_path *p, const hw_round *disc, size_t n)
{
    if (n == 0) return;
    if (n > HULL_DISCS) n = HULL_DISCS;
    size_t i = furthest(disc, n);
    double at = 0, turn = 0;
    hw_path_move(p, disc[i].at.x + disc[i].radius, disc[i].at.y);
    for (size_t turns = 0; at < 2 * HW_PI && turns < 2 * (size_t)HULL_DISCS + 2; turns++) {
        size_t next = next_disc(disc, n, i, at, &turn);
        double to = fmin(at + turn, 2 * HW_PI);
        arc_in_halves(p, &disc[i], at, to);
        at = to;
        i = next;
    }
    hw_path_close(p);
}

typedef struct flattener {
    hw_arena *arena;
    hw_segment *segment;
    size_t n, capacity;
    hw_spot at, start;
    bool open; // there is a point to draw from
} flattener;

static void chord(flattener *f, hw_spot to)
{
    if (f->open && (to.x != f->at.x || to.y != f->at.y)) {
        if (f->n == f->capacity) {
            size_t capacity = f->capacity ? 2 * f->capacity : 16;
            hw_segment *more = HW_NEW(f->arena, hw_segment, capacity);
            if (!more) return;
            if (f->n) memcpy(more, f->segment, f->n * sizeof *more);
            f->segment = more;
            f->capacity = capacity;
        }
        f->segment[f->n++] = (hw_segment){f->at, to};
    }
    if (!f->open) f->start = to;
    f->at = to;
    f->open = true;
}

static void chords_of_arc(flattener *f, const hw_step *s)
{
    const double leave = 0.05; // [mm], below what a pen shows
    double sweep = s->to - s->from;
    double one = s->radius > leave ? 2 * acos(1 - leave / s->radius) : HW_PI / 2;
    int n = (int)fmin(ceil(fabs(sweep) / one), 256) + 1;
    for (int i = 0; i <= n; i++) {
        double a = s->from + sweep * i / n;
        chord(f, (hw_spot){s->at.x + s->radius * cos(a), s->at.y + s->radius * sin(a)});
    }
}

hw_segment *hw_path_flatten(hw_arena *a, const hw_path *p, bool close_all, size_t *n)
{
    flattener f = {.arena = a};
    for (size_t i = 0; i < p->n; i++) {
        const hw_step *s = &p->step[i];
        switch (s->kind) {
        case HW_STEP_MOVE:
            if (close_all && f.open) chord(&f, f.start);
            f.open = false;
            chord(&f, s->at);
            break;
        case HW_STEP_LINE:
            chord(&f, s->at);
            break;
        case HW_STEP_ARC:
            chords_of_arc(&f, s);
            break;
        case HW_STEP_CLOSE:
            if (f.open) chord(&f, f.start);
            break;
        }
    }
    if (close_all && f.open) chord(&f, f.start);
    *n = f.n;
    return f.segment;
}
