// Digits against the palm's own solids by FCL: the distances of their triangles over closing and
// splay. The palm's solids are meshed for it. First a bare design's index, then Heron's digits.
#include "../parts/group.h"
#include "base/rng.h"
#include "base/vec3.h"
#include "check.h"
#include "hand/hand.h"
#include "made_of.h"
#include "make/posed.h"

#include <stdlib.h>

#define MM 1e-3 // FCL's tolerances are absolute: it works in millimetres

#define TEXT                                                                                       \
    "parts: {engraving: no}\ndigits:\n  index: {mechanism: {kind: coupled bars}, "                 \
    "splay: {least: -4 deg, most: 11 deg}}\n"

enum { STEPS = HW_NEAR_STEPS, SPLAYS = HW_NEAR_ASIDES, POSES = STEPS * SPLAYS };

static const double mesh_is_off = 0.06 * MM;

static hw_mesh mesh_of(const hw_palm_part *p, double cell) // [m]
{
    hw_arena *work = hw_arena_new(1 << 20);
    hw_field_mesh_def def = hw_field_mesh_def_default();
    hw_mesh mesh = {0};
    hw_field_made made;
    def.cell = cell;
    def.deviation = cell / 16;
    CHECK(hw_field_mesh(arena, work, p->field, &def, NULL, &mesh, &made) == HW_OK);
    hw_arena_free(work);
    return mesh;
}

static void put_vec(FILE *f, hw_vec3 v, double unit)
{
    fprintf(f, "%.17g %.17g %.17g\n", v.x / unit, v.y / unit, v.z / unit);
}

static void put_mesh(FILE *f, const hw_mesh *m)
{
    fprintf(f, "%zu %zu\n", m->verts, m->tris);
    for (size_t i = 0; i < m->verts; i++) put_vec(f, m->vert[i], MM);
    for (size_t i = 0; i < 3 * m->tris; i++) fprintf(f, "%u\n", (unsigned)m->tri[i]);
}

// A part's frame as a palm's solid sees it.
static void put_pose(FILE *f, const hw_frame *place, const hw_frame *bed)
{
    const hw_frame seen = {{0, 0, 0}, bed->x, bed->y, bed->z};
    put_vec(f, hw_frame_seen(bed, place->at), MM);
    put_vec(f, hw_frame_seen(&seen, place->x), 1);
    put_vec(f, hw_frame_seen(&seen, place->y), 1);
    put_vec(f, hw_frame_seen(&seen, place->z), 1);
}

// The finger's part in a pose, splayed.
static hw_frame at_pose(const hw_made *m, int digit, const hw_posed *posed, size_t part,
                        double aside) // [rad]
{
    const hw_palm_digit *d = &m->hand->palm.digit[digit];
    return hw_frame_turned(&posed->part[part].place, d->splay_at, d->splay_axis, aside);
}

static int first_body = 1; // 0: with the carrier

static bool is_judged(const hw_posed_part *p, int digit)
{
    return p->digit == digit && p->body >= first_body && p->body != HW_POSED_SPOOL;
}

// What FCL finds in the pose that was named and over all others.
static void judged(const hw_made *m, int digit, const hw_mesh *solid,
                   const hw_made_palm_meeting *found, double *named, double *least) // [m] [m]
{
    const hw_palm_digit *d = &m->hand->palm.digit[digit];
    const hw_frame *bed = &m->palm->part[0].bed;
    hw_posed posed[STEPS + 1];
    int parts = 0;
    *named = *least = INFINITY;
    for (int k = 0; k < STEPS; k++)
        if (!CHECK(hw_make_posed(arena, m, k / (STEPS - 1.0), &posed[k]) == HW_OK)) return;
    if (!CHECK(hw_make_posed(arena, m, found->s, &posed[STEPS]) == HW_OK)) return;
    FILE *f = fopen("near_judge.txt", "w");
    if (!CHECK(f != NULL)) return;
    put_mesh(f, solid);
    for (size_t i = 0; i < posed[0].parts; i++) {
        if (!is_judged(&posed[0].part[i], digit)) continue;
        parts++;
        put_mesh(f, posed[0].part[i].mesh);
        fprintf(f, "%d\n", POSES + 1);
        for (int k = 0; k < POSES; k++) {
            double share = k % SPLAYS / (SPLAYS - 1.0);
            hw_frame at = at_pose(m, digit, &posed[k / SPLAYS], i,
                                  d->splay[0] + share * (d->splay[1] - d->splay[0]));
            put_pose(f, &at, bed);
        }
        hw_frame at = at_pose(m, digit, &posed[STEPS], i, found->aside);
        put_pose(f, &at, bed);
    }
    fclose(f);
    FILE *judge = popen(HW_JUDGE " meshes < near_judge.txt", "r");
    double gap = NAN;
    for (int k = 0; judge && k < parts * (POSES + 1) && CHECK(fscanf(judge, "%lf", &gap) == 1); k++)
        if (k % (POSES + 1) < POSES)
            *least = fmin(*least, gap * MM);
        else
            *named = fmin(*named, gap * MM);
    CHECK(parts > 0 && judge && fscanf(judge, "%lf", &gap) == EOF && pclose(judge) == 0);
}

static int apart, meeting, same;
static double near_by; // nearer than this what is told falls short by a quarter at most [m]

// One of the palm's parts, moved: what is told has FCL's sign, and is never more than FCL finds in
// the pose that is named, or in any.
static void against(hw_made m, int digit, const hw_palm_part *part, const hw_mesh *solid,
                    hw_vec3 moved)
{
    hw_palm_parts one = {.parts = 1, .part = {*part}};
    hw_made_palm_meeting found;
    double named, least;
    m.palm = &one;
    one.part[0].bed.at = hw_vec3_add(part->bed.at, moved);
    CHECK(hw_made_near_palm(arena, &m, digit, &found) == HW_OK);
    judged(&m, digit, solid, &found, &named, &least);
    printf("%s, %+.2f %+.2f mm: %.3f mm, FCL %.3f there, %.3f anywhere\n", part->name, moved.x / MM,
           moved.z / MM, found.gap / MM, named / MM, least / MM);
    CHECK(found.gap <= least + mesh_is_off && least <= named);
    if (fabs(found.gap) > mesh_is_off) CHECK((found.gap > 0) == (named > 0));
    // fields fall short of the distance, the farther away the more
    if (found.gap > 0 && least < near_by) CHECK(found.gap >= 0.75 * least - mesh_is_off);
    same += found.gap > 0 && fabs(found.gap - named) <= mesh_is_off;
    if (found.gap > 0)
        apart++;
    else
        meeting++;
}

static const hw_palm_parts *palm_of(const hw_made *m)
{
    hw_palm_parts_def def;
    hw_palm_parts *palm = HW_NEW(arena, hw_palm_parts, 1);
    const char *fault = NULL;
    hw_hand_palm_parts(m->design, m->hand, &def);
    return CHECK(palm && hw_palm_parts_of(arena, &def, palm, &fault) == HW_OK) ? palm : NULL;
}

static void digit_against(const hw_made *m, int digit, const hw_palm_parts *palm, const char *name,
                          double cell, const hw_vec3 by[], int n) // [m] [m]
{
    for (size_t i = 0; i < palm->parts; i++) {
        if (strcmp(palm->part[i].name, name) != 0) continue;
        const hw_mesh solid = mesh_of(&palm->part[i], cell);
        for (int k = 0; k < n; k++) against(*m, digit, &palm->part[i], &solid, by[k]);
    }
}

static void everything(void)
{
    static const hw_vec3 by[] = {{0, 0, 0},       {0.5 * MM, 0, 0}, {1 * MM, 0, 0},
                                 {-1 * MM, 0, 0}, {3 * MM, 0, 0},   {0, 0, 0.5 * MM},
                                 {0, 0, 3 * MM},  {0, 0, -1 * MM},  {0, 2 * MM, 0}};
    hw_made m;
    if (!made_of(TEXT, HW_INDEX, &m)) return;
    const hw_palm_parts *palm = palm_of(&m);
    if (!palm) return;
    digit_against(&m, HW_INDEX, palm, "palm tray", 0.6 * MM, by, sizeof by / sizeof *by);
    digit_against(&m, HW_INDEX, palm, "palm lid", 0.6 * MM, by, 5); // farther away
    digit_against(&m, HW_INDEX, palm, "middle yoke", 0.6 * MM, by, 5);
    CHECK(apart > 0 && meeting > 0 && same > 0);
}

// The real thing: fingers of Heron, their carriers too, beside its palm's tray, where they are and
// moved at random: below 1.5 mm no more than a quarter is told too little.
static void heron(void)
{
    enum { MOVES = 4 };
    static const struct {
        int digit, moves;
    } finger[] = {{HW_INDEX, MOVES}, {HW_RING, 2}};
    hw_rng rng = hw_rng_new(29, 4);
    const hw_palm_parts *palm = NULL;
    apart = meeting = same = 0;
    near_by = 1.5 * MM;
    first_body = 0;
    for (size_t i = 0; i < sizeof finger / sizeof *finger; i++) {
        hw_vec3 by[MOVES] = {{0, 0, 0}};
        hw_made m;
        hw_design *d = example(arena, "heron", "");
        hw_make_def make = {.digit = finger[i].digit};
        if (!CHECK(d && hw_make(arena, d, &make, NULL, &m) == HW_OK)) return;
        for (int k = 1; k < finger[i].moves; k++)
            by[k] = (hw_vec3){hw_rng_uniform(&rng, -1.5, 3) * MM, hw_rng_uniform(&rng, -1, 1) * MM,
                              hw_rng_uniform(&rng, -1.5, 1) * MM};
        if (!palm) palm = palm_of(&m); // one hand's, whichever finger
        if (!palm) return;
        digit_against(&m, finger[i].digit, palm, "palm tray", 0.8 * MM, by, finger[i].moves);
    }
    CHECK(apart > 0 && meeting > 0);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    arena = hw_arena_new(0);
    RUN(everything);
    RUN(heron);
    hw_arena_free(arena);
    (void)hw_check_text, (void)group_new, (void)group_free, (void)group_mesh;
    return TEST_END();
}
