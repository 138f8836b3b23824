// The room that the thumb takes of the palm: what is told of it before anything is built against
// the tray that is printed in the end.
#include "another_thumb.h"
#include "check.h"

#include "base/rng.h"
#include "base/vec3.h"
#include "parts/palm.h"

#define MM 1e-3

typedef struct palm {
    hw_arena *a;
    hw_palm_parts_def def;
    hw_palm_parts *parts;
} palm;

static bool build(palm *p, const hw_palm_parts_def *def, bool settle)
{
    const char *fault;
    hw_arena *work = hw_arena_new(0);
    p->a = hw_arena_new(0);
    p->def = *def;
    p->def.palm_servos = p->def.arm_servos = p->def.rods = p->def.routes = 0;
    p->parts = HW_NEW(p->a, hw_palm_parts, 1);
    bool ok = CHECK(hw_palm_parts_of(p->a, &p->def, p->parts, &fault) == HW_OK);
    if (ok && settle)
        ok = CHECK(hw_palm_parts_settle(p->a, work, &p->def, NULL, p->parts, NULL) == HW_OK);
    hw_arena_free(work);
    return ok;
}

// How deep a place lies in tray or lid.
static double depth_at(const palm *p, hw_vec3 at) // [m]
{
    double most = -INFINITY;
    for (size_t i = 0; i < p->parts->parts; i++) {
        const hw_palm_part *part = &p->parts->part[i];
        if (strncmp(part->name, "palm ", 5) == 0)
            most = fmax(most, -hw_field_at(part->field, hw_frame_seen(&part->bed, at)));
    }
    return most;
}

static bool in_any(const hw_body body[], size_t n, hw_vec3 at, double grow) // [m]
{
    const hw_body spot = hw_body_capsule(at, at, 0);
    for (size_t i = 0; i < n; i++)
        if (hw_body_clear(&body[i], &spot, 2 * grow + 1e-6) < grow) return true;
    return false;
}

// What the thumb takes of a palm without anything else in it lies in the terraces, in the bearing
// or where the lug turns; and the terraces do not hold much more than that.
static void holds_what_is_taken(const hw_palm_parts_def *def)
{
    palm with, raw, without;
    hw_palm_parts_def none = *def;
    none.digit[0].bore = 0;
    if (build(&with, def, true) && build(&raw, def, false) && build(&without, &none, false)) {
        hw_body room[HW_PALM_ROOM + HW_PALM_LUGS];
        const size_t terraces = hw_palm_thumb_room(def, room);
        size_t bearing, n = terraces + hw_palm_lug(def, 0, room + terraces, &bearing);
        CHECK(terraces > 0 && bearing == 1);
        hw_rng rng = hw_rng_new(3, 0);
        // the lid's posts stand where there is room for them, with the thumb elsewhere
        const double posts = def->split - 4.2 * def->screw;
        int taken = 0, held = 0, vaulted = 0, stray = 0;
        for (int i = 0; i < 20000; i++) {
            const hw_vec3 at = {hw_rng_uniform(&rng, 2, 60) * MM,
                                hw_rng_uniform(&rng, -38, 38) * MM,
                                hw_rng_uniform(&rng, with.parts->bottom, def->split)};
            if (depth_at(&without, at) < 0.5 * MM) continue;
            const bool gone = depth_at(&with, at) < 0, told = in_any(room, n, at, with.def.gap);
            const bool vault = gone && depth_at(&raw, at) > 1 * MM;
            vaulted += vault;
            if (at.z < posts) taken += gone, held += told;
            if (!gone || told || !(vault || at.z < posts)) continue;
            stray++;
            printf("    %.1f %.1f %.1f\n", at.x / MM, at.y / MM, at.z / MM);
        }
        CHECK(200 * stray <= taken); // posts beside it that would snap
        CHECK(taken > 500 && vaulted > 30);
        CHECK(held < 2 * taken); // gap and stairs
    }
    hw_arena_free(with.a);
    hw_arena_free(raw.a);
    hw_arena_free(without.a);
}

static void default_room(void)
{
    const hw_palm_parts_def def = hw_palm_parts_def_default();
    holds_what_is_taken(&def);
}

// Another axis, range and flexion.
static void another_room(void)
{
    hw_palm_parts_def def = another_thumb();
    def.digit[0].flexion[1] = 0.2;
    holds_what_is_taken(&def);
}

// A carrier that is printed deeper than half its thickness on its back has room for that too.
static void deeper_carriers_have_room(void)
{
    int met = 0;
    for (int known = 0; known < 2; known++) {
        hw_palm_parts_def def = hw_palm_parts_def_default();
        hw_palm_seat *s = &def.digit[0];
        const double deep = s->half + 3 * MM;
        palm p;
        if (known) s->bed = deep;
        if (build(&p, &def, false))
            for (int k = 0; k <= 12; k++)
                for (int i = 0; i <= 8; i++) {
                    const double turn = s->splay[0] + (s->splay[1] - s->splay[0]) * k / 12;
                    const hw_frame on =
                        hw_frame_turned(&s->knuckle, s->splay_at, s->splay_axis, turn);
                    const hw_vec3 own = {s->back + 1 * MM,
                                         s->side[0] + (s->side[1] - s->side[0]) * i / 8,
                                         deep - 0.2 * MM};
                    const bool in = depth_at(&p, hw_frame_point(&on, own)) > 0;
                    if (known)
                        CHECK(!in);
                    else
                        met += in;
                }
        hw_arena_free(p.a);
    }
    CHECK(met > 3); // it would have met the palm
}

static void no_seat_no_room(void)
{
    hw_palm_parts_def def = hw_palm_parts_def_default();
    hw_body room[HW_PALM_ROOM];
    def.digit[0].bore = 0;
    CHECK(hw_palm_thumb_room(&def, room) == 0);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(default_room);
    RUN(another_room);
    RUN(deeper_carriers_have_room);
    RUN(no_seat_no_room);
    return TEST_END();
}
