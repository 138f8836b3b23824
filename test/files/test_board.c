// The controller's seat in the stand beside the board that is drawn: its posts' bores are looked
// for in the solid and laid over the holes of the drawing, turned but never mirrored. Then a board
// of that size is put there: free above, held beside and below, its sockets before an opening.
#include "../parts/palm_part.h"
#include "dxf_reader.h"
#include "files/files.h"

static const double mm = 1e-3;

enum { SPOTS = 16 };

typedef struct trial {
    hw_palm_parts_def def;
    hw_palm_parts *parts;
    const hw_palm_part *stand;
    hw_vec2 bore[SPOTS]; // of posts in the stand's own plan [m]
    size_t bores;
    hw_vec2 drawn[SPOTS]; // holes of the board, as drawn [m]
    size_t holes;
    double length, width; // of the drawn outline [m]
    double top;           // of the posts [m]
    // where the drawing's (0, 0) lies in the stand's plan, and its x and z axes there
    hw_vec2 at, along, across;
    bool left;
} trial;

// In the stand's own frame; a left hand's is mirrored once it is made.
static double depth(const trial *t, double x, double y, double z) // [m]
{
    return -hw_field_at(t->stand->field, (hw_vec3){t->left ? -x : x, y, z});
}

// ---- bores --------------------------------------------------------------------------------------

// A bore with its post: empty, with material all round.
static bool is_bore(const trial *t, double x, double y, double z) // [m]
{
    enum { ROUND = 12 };
    const double ring = 0.5 * t->def.board.bore + 0.5 * mm;
    if (depth(t, x, y, z) >= 0) return false;
    for (int i = 0; i < ROUND; i++) {
        const double a = 2 * HW_PI * i / ROUND;
        if (depth(t, x + ring * cos(a), y + ring * sin(a), z) < 0) return false;
    }
    return true;
}

// How far it is empty along a way, by halving.
static double empty_along(const trial *t, hw_vec2 from, double z, hw_vec2 way) // [m]
{
    double in = 0, out = t->def.board.bore;
    for (int k = 0; k < 40; k++) {
        const double middle = (in + out) / 2;
        if (depth(t, from.x + middle * way.x, from.z + middle * way.z, z) < 0)
            in = middle;
        else
            out = middle;
    }
    return in;
}

static void find_bores(trial *t)
{
    hw_vec3 low, high;
    t->bores = 0;
    CHECK(hw_field_reach(t->stand->field, &low, &high));
    if (t->left) {
        const double x = low.x;
        low.x = -high.x;
        high.x = -x;
    }
    const double z = t->def.floor + 0.6 * t->def.board.under, step = 0.4 * mm;
    for (double x = low.x; x < high.x; x += step)
        for (double y = low.y; y < high.y && t->bores < SPOTS; y += step) {
            bool seen = false;
            for (size_t i = 0; i < t->bores; i++)
                seen = seen || hw_norm(hw_sub(t->bore[i], (hw_vec2){x, y})) < 2 * mm;
            if (seen || !is_bore(t, x, y, z)) continue;
            hw_vec2 at = {x, y};
            for (int k = 0; k < 3; k++) {
                at.x += (empty_along(t, at, z, (hw_vec2){1, 0}) -
                         empty_along(t, at, z, (hw_vec2){-1, 0})) /
                        2;
                at.z += (empty_along(t, at, z, (hw_vec2){0, 1}) -
                         empty_along(t, at, z, (hw_vec2){0, -1})) /
                        2;
            }
            // a rounded corner between two plates is none
            bool round = true;
            for (int k = 0; k < 8; k++) {
                const hw_vec2 way = {cos(k * HW_PI / 4), sin(k * HW_PI / 4)};
                const double r = empty_along(t, at, z, way) / (0.5 * t->def.board.bore);
                round = round && fabs(r - 1) < 0.05;
            }
            if (round) t->bore[t->bores++] = at;
        }
    // posts end where their rings do
    t->top = z;
    while (t->bores && is_bore(t, t->bore[0].x, t->bore[0].z, t->top + 0.01 * mm))
        t->top += 0.01 * mm;
}

// ---- the drawing --------------------------------------------------------------------------------

static void read_drawing(trial *t, hw_arena *a, hw_arena *work)
{
    static dxf d;
    hw_sketch sketch;
    hw_buffer b = {.arena = a};
    hw_mesh_def def = hw_mesh_def_default();
    CHECK(hw_sketch_part(a, work, "trial", "board", &t->parts->board, &def, 1e-3, 1e-5, NULL,
                         &sketch) == HW_OK);
    CHECK(hw_dxf_write(&sketch, &b) == HW_OK);
    dxf_read(&d, b.at);
    CHECK(d.faults == 0 && d.rings == t->def.board.holes + 1);
    t->holes = 0;
    for (size_t i = 0; i < d.rings; i++) {
        hw_vec2 low = {INFINITY, INFINITY}, high = {-INFINITY, -INFINITY}, sum = {0, 0};
        const dxf_ring *r = &d.ring[i];
        for (size_t k = 0; k < r->n; k++) {
            const hw_vec2 p = {d.corner[r->first + k].x * mm, d.corner[r->first + k].y * mm};
            low = (hw_vec2){fmin(low.x, p.x), fmin(low.z, p.z)};
            high = (hw_vec2){fmax(high.x, p.x), fmax(high.z, p.z)};
            sum = hw_add(sum, hw_scale(p, 1.0 / (double)r->n));
        }
        const double area = fabs(dxf_area(&d, r)) * mm * mm;
        if (area > 100 * mm * mm) {
            NEAR(low.x, 0, 1e-5);
            NEAR(low.z, 0, 1e-5);
            t->length = high.x;
            t->width = high.z;
        } else if (t->holes < SPOTS) {
            CLOSE(sqrt(area / HW_PI), 0.6 * t->def.board.bore, 0.01);
            t->drawn[t->holes++] = sum;
        }
    }
    NEAR(t->length, t->def.board.length, 0.05 * mm);
    NEAR(t->width, t->def.board.width, 0.05 * mm);
}

// ---- both ---------------------------------------------------------------------------------------

// Lays the drawing over the bores, turned by a number of quarters, mirrored first or not: how far
// off the worst hole is.
static double laid(trial *t, int quarter, bool mirrored) // [m]
{
    static const hw_vec2 way[] = {{1, 0}, {0, 1}, {-1, 0}, {0, -1}};
    hw_vec2 sum[2] = {{0, 0}, {0, 0}};
    t->along = way[quarter];
    t->across = hw_scale(way[(quarter + 1) % 4], mirrored ? -1 : 1);
    for (size_t i = 0; i < t->holes; i++) {
        sum[0] = hw_add(sum[0], t->bore[i]);
        sum[1] = hw_add(
            sum[1], hw_add(hw_scale(t->along, t->drawn[i].x), hw_scale(t->across, t->drawn[i].z)));
    }
    t->at = hw_scale(hw_sub(sum[0], sum[1]), 1.0 / (double)t->holes);
    double worst = 0;
    for (size_t i = 0; i < t->holes; i++) {
        double least = INFINITY;
        const hw_vec2 p = hw_add(
            t->at, hw_add(hw_scale(t->along, t->drawn[i].x), hw_scale(t->across, t->drawn[i].z)));
        for (size_t k = 0; k < t->bores; k++) least = fmin(least, hw_norm(hw_sub(p, t->bore[k])));
        worst = fmax(worst, least);
    }
    return worst;
}

// A place of the board: along, across, above the posts; moved besides.
static double board_depth(const trial *t, double u, double v, double up, hw_vec2 by) // [m] [m] [m]
{
    const hw_vec2 p =
        hw_add(hw_add(t->at, by), hw_add(hw_scale(t->along, u), hw_scale(t->across, v)));
    return depth(t, p.x, p.z, t->top + up);
}

// The deepest of a box over the board.
static double deepest(const trial *t, const double u[2], const double v[2], const double up[2],
                      hw_vec2 by) // [m] [m] [m] [m]
{
    enum { N = 25 };
    double most = -INFINITY;
    for (int i = 0; i <= N; i++)
        for (int k = 0; k <= N; k++)
            for (int m = 0; m <= 6; m++)
                most = fmax(most, board_depth(t, u[0] + (u[1] - u[0]) * i / N,
                                              v[0] + (v[1] - v[0]) * k / N,
                                              up[0] + (up[1] - up[0]) * m / 6.0, by));
    return most;
}

static void is_free(const trial *t)
{
    const hw_palm_board *p = &t->def.board;
    const double u[2] = {0, p->length}, v[2] = {0, p->width}, g = t->def.gap;
    const double up[2] = {g, p->thickness + p->over};               // it lies on its posts
    CHECK(deepest(t, u, v, up, (hw_vec2){0, 0}) <= -g + 0.05 * mm); // its play
    const double out[2] = {0.01 * mm, 60 * mm};                     // it goes in from above
    CHECK(deepest(t, u, v, out, (hw_vec2){0, 0}) <= 0);
    // what is soldered below it has its room, but for the posts
    for (int i = 0; i <= 60; i++)
        for (int k = 0; k <= 40; k++) {
            const hw_vec2 q = {p->length * i / 60, p->width * k / 40};
            double post = INFINITY;
            for (size_t h = 0; h < p->holes; h++) post = fmin(post, hw_norm(hw_sub(q, p->hole[h])));
            if (post < 1.6 * p->bore + 0.1 * mm) continue;
            CHECK(board_depth(t, q.x, q.z, -p->under + 0.1 * mm, (hw_vec2){0, 0}) < 0);
        }
}

static void is_held(const trial *t)
{
    const hw_palm_board *p = &t->def.board;
    const double u[2] = {0, p->length}, v[2] = {0, p->width}, up[2] = {0.01 * mm, p->thickness};
    // walls beside it: moved by twice its play it meets one, whichever way
    static const hw_vec2 way[] = {{1, 0}, {-1, 0}, {0, 1}, {0, -1}};
    for (int i = 0; i < 4; i++) CHECK(deepest(t, u, v, up, hw_scale(way[i], 2 * t->def.gap)) > 0);
    // a ledge round each hole, and thread of two diameters with material round it
    for (size_t h = 0; h < t->holes; h++)
        for (int i = 0; i < 12; i++) {
            const double a = 2 * HW_PI * i / 12;
            const double ledge = 1.3 * p->bore, c = cos(a), s = sin(a); // beyond the board's hole
            const hw_vec2 o = {0, 0};
            CHECK(board_depth(t, t->drawn[h].x + ledge * c, t->drawn[h].z + ledge * s, -0.05 * mm,
                              o) > 0);
            for (double deep = 0.1; deep < 2; deep += 0.2) {
                CHECK(board_depth(t, t->drawn[h].x, t->drawn[h].z, -deep * p->bore, o) < 0);
                CHECK(board_depth(t, t->drawn[h].x + 0.9 * p->bore * c,
                                  t->drawn[h].z + 0.9 * p->bore * s, -deep * p->bore, o) > 0);
            }
        }
}

// Sockets on the board's upper side look out over the edge z = 0; beside them is wall. Leads leave
// over the other edge, to the arm.
static void is_open(const trial *t)
{
    const hw_palm_board *p = &t->def.board;
    const double v[2] = {-4 * t->def.wall, 0}, up[2] = {t->def.gap, p->thickness + p->over};
    CHECK(deepest(t, p->socket, v, up, (hw_vec2){0, 0}) <= -0.5 * t->def.gap);
    for (int end = 0; end < 2; end++) {
        const double beside = p->socket[end] + (end ? 2 : -2) * mm;
        double most = -INFINITY;
        for (double off = 0; off < 4 * t->def.wall; off += 0.1 * mm)
            most = fmax(most, board_depth(t, beside, -off, p->thickness + 2 * mm, (hw_vec2){0, 0}));
        CHECK(most > 0.5 * mm);
    }
    // somewhere along the far edge, 6 mm wide at least
    const double to_arm[2] = {p->width, p->width + 2.5 * t->def.wall}, step = 0.5 * mm;
    double open = 0;
    for (double u = 0; u < p->length; u += step)
        if (deepest(t, (const double[]){u, u}, to_arm, up, (hw_vec2){0, 0}) < 0) open += step;
    CHECK(open >= 6 * mm);
}

// No other part of the hand lies on the board or before its sockets.
static void is_alone(const trial *t)
{
    const hw_palm_board *p = &t->def.board;
    for (size_t i = 0; i < t->parts->parts; i++) {
        const hw_palm_part *other = &t->parts->part[i];
        if (other == t->stand) continue;
        for (int k = 0; k < 20 * 20 * 6; k++) {
            const double u = p->length * (k % 20) / 19,
                         up = (p->thickness + p->over) * (k / 400) / 5;
            const double v = -10 * mm + (p->width + 10 * mm) * (k / 20 % 20) / 19;
            const hw_vec2 q = hw_add(t->at, hw_add(hw_scale(t->along, u), hw_scale(t->across, v)));
            const hw_vec3 at =
                hw_frame_point(&t->stand->bed, (hw_vec3){t->left ? -q.x : q.x, q.z, t->top + up});
            CHECK(depth_at(other, at.x, at.y, at.z) < 0);
        }
    }
}

static bool build(trial *t, hw_arena *a, const hw_palm_parts_def *def, bool left)
{
    const char *fault = NULL;
    *t = (trial){.def = *def, .parts = HW_NEW(a, hw_palm_parts, 1), .left = left};
    t->def.board.mirrored = left;
    if (!CHECK(hw_palm_parts_of(a, &t->def, t->parts, &fault) == HW_OK)) return false;
    t->stand = part_of(t->parts, "stand");
    return CHECK(t->stand != NULL);
}

static void fits(const hw_palm_parts_def *def, bool like)
{
    for (int left = 0; left < 2; left++) {
        hw_arena *a = hw_arena_new(0), *work = hw_arena_new(0);
        static trial t;
        if (build(&t, a, def, left)) {
            find_bores(&t);
            read_drawing(&t, a, work);
            CHECK(t.bores == def->board.holes && t.holes == t.bores);
            double best = INFINITY, other = INFINITY;
            int quarter = 0;
            for (int q = 0; q < 4; q++) {
                other = fmin(other, laid(&t, q, true));
                const double off = laid(&t, q, false);
                // of a board that may be turned round: its sockets are away from the arm
                if (off < best - 1e-6 ||
                    (off < best + 1e-6 && t.across.x * (left ? -1 : 1) > 0.5)) {
                    best = fmin(best, off);
                    quarter = q;
                }
            }
            NEAR(best, 0, 0.05 * mm);
            if (!like) CHECK(other > 1 * mm); // the other side up it would not fit
            NEAR(laid(&t, quarter, false), 0, 0.05 * mm);
            CHECK(t.across.x * (left ? -1 : 1) > 0.5); // its sockets away from the arm
            is_free(&t);
            is_held(&t);
            is_open(&t);
            is_alone(&t);
        }
        hw_arena_free(work);
        hw_arena_free(a);
    }
}

static void the_board_fits(void)
{
    const hw_palm_parts_def def = hw_palm_parts_def_default();
    fits(&def, true);
}

// One with three holes where no turn or mirror brings it on itself, and other measures.
static void another_board_fits(void)
{
    hw_palm_parts_def def = hw_palm_parts_def_default();
    def.board = (hw_palm_board){.length = 52 * mm,
                                .width = 33 * mm,
                                .thickness = 1.2 * mm,
                                .under = 6 * mm,
                                .over = 10 * mm,
                                .hole = {{4 * mm, 5 * mm}, {47 * mm, 4 * mm}, {30 * mm, 28 * mm}},
                                .holes = 3,
                                .bore = 2.2 * mm,
                                .socket = {33 * mm, 46 * mm}};
    fits(&def, false);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(the_board_fits);
    RUN(another_board_fits);
    (void)hw_check_text;
    return TEST_END();
}
