// The forearm's cover: no drum can be reached, none is touched, it is lifted off without a tool and
// held while it is on.
#include "check.h"

#include "base/vec3.h"
#include "parts/palm.h"

static hw_arena *a;
static hw_palm_parts_def def;
static hw_palm_parts *parts;
static hw_vec3 *skin; // places on the cover
static size_t skins;

static const hw_palm_part *part_of(const char *name)
{
    for (size_t i = 0; i < parts->parts; i++)
        if (strcmp(parts->part[i].name, name) == 0) return &parts->part[i];
    CHECK(false);
    return NULL;
}

static double value_at(const hw_palm_part *p, hw_vec3 at) // of the hand's frame [m]
{
    hw_vec3 d = hw_vec3_sub(at, p->bed.at);
    hw_vec3 own = {hw_vec3_dot(d, p->bed.x), hw_vec3_dot(d, p->bed.y), hw_vec3_dot(d, p->bed.z)};
    return hw_field_at(p->field, own);
}

// Corners and middles of a part's triangles, in the hand's frame.
static size_t places_of(const hw_palm_part *p, hw_vec3 **out)
{
    hw_arena *work = hw_arena_new(1 << 20);
    hw_field_mesh_def mesh_def = hw_field_mesh_def_default();
    mesh_def.cell = 1.2e-3;
    mesh_def.deviation = 0.05e-3;
    hw_mesh mesh = {0};
    hw_field_made made;
    CHECK(hw_field_mesh(a, work, p->field, &mesh_def, NULL, &mesh, &made) == HW_OK);
    hw_arena_free(work);
    size_t n = mesh.verts + mesh.tris;
    *out = HW_NEW(a, hw_vec3, n);
    for (size_t i = 0; i < n; i++) {
        hw_vec3 at;
        if (i < mesh.verts)
            at = mesh.vert[i];
        else {
            const uint32_t *t = &mesh.tri[3 * (i - mesh.verts)];
            at = hw_vec3_add(hw_vec3_add(mesh.vert[t[0]], mesh.vert[t[1]]), mesh.vert[t[2]]);
            at = hw_vec3_times(at, 1.0 / 3);
        }
        (*out)[i] = hw_frame_point(&p->bed, at);
    }
    return n;
}

// A point of a drum's sweep: its parts of the box from corner to corner.
static hw_vec3 in_drum(const hw_palm_servo *s, double x, double y, double z) // [1]
{
    const hw_vec3 *h = s->horn;
    return hw_frame_point(&s->frame,
                          (hw_vec3){h[0].x + x * (h[1].x - h[0].x), h[0].y + y * (h[1].y - h[0].y),
                                    h[0].z + z * (h[1].z - h[0].z)});
}

// Whether something printed but the stand lies on the way out of the arm, `but` left out.
static bool is_met(hw_vec3 from, hw_vec3 way, const hw_palm_part *but)
{
    double far = 0;
    while (far < 0.16) {
        double step = INFINITY; // fields change by no more than one moves
        for (size_t i = 0; i < parts->parts; i++) {
            const hw_palm_part *p = &parts->part[i];
            if (p == but || strcmp(p->name, "stand") == 0) continue;
            step = fmin(step, value_at(p, hw_vec3_along(from, far, way)));
        }
        if (step < 0) return true;
        far += fmax(step, 0.1e-3);
    }
    return false;
}

// From every drum no straight way leads out over the lid; without the cover most do.
static void no_drum_can_be_reached(void)
{
    enum { AROUND = 12, UP = 4 };
    const hw_palm_part *cover = part_of("forearm cover");
    size_t bare = 0, tried = 0;
    for (size_t i = 0; i < def.arm_servos; i++)
        for (int k = 0; k < AROUND * UP; k++) {
            const int around = k % AROUND, rise = k / AROUND;
            double turn = 2 * HW_PI * around / AROUND, up = HW_PI / 2 * rise / UP;
            hw_vec3 way = {cos(up) * cos(turn), cos(up) * sin(turn), sin(up)};
            hw_vec3 from = in_drum(&def.arm[i], 0.5, 0.5, 0.6);
            if (!CHECK(is_met(from, way, NULL)))
                printf("    drum %zu: out along %.2f %.2f %.2f\n", i, way.x, way.y, way.z);
            bare += !is_met(from, way, cover);
            tried++;
        }
    CHECK(bare > tried / 2);
}

// Lifted the cover meets neither drums nor lid, and the body only with its lips, which spread by as
// much as they reach under the bevels. On its place it is held on all sides.
static void lifted_off_and_held(void)
{
    enum { STEPS = 5 };
    const hw_palm_part *cover = part_of("forearm cover"), *body = part_of("forearm"),
                       *lid = part_of("forearm lid");
    const size_t m = skins;
    double low = INFINITY, reach = 0;
    for (size_t i = 0; i < m; i++) low = fmin(low, skin[i].z);
    for (int k = 0; k <= STEPS; k++) {
        double up = 64e-3 * k / STEPS, drums = INFINITY, rest = INFINITY;
        for (size_t i = 0; i < def.arm_servos * 125; i++) {
            const size_t x = i % 5, y = i / 5 % 5, z = i / 25 % 5;
            hw_vec3 p =
                in_drum(&def.arm[i / 125], 0.25 * (double)x, 0.25 * (double)y, 0.25 * (double)z);
            p.z -= up;
            drums = fmin(drums, value_at(cover, p));
        }
        for (size_t i = 0; i < m; i++) {
            hw_vec3 p = skin[i];
            bool lip = p.z < low + 2 * def.wall;
            if (!lip && i % 5) continue;
            p.z += up;
            double off = fmin(value_at(body, p), value_at(lid, p));
            if (lip) reach = fmax(reach, -off);
            if (!lip) rest = fmin(rest, off);
        }
        if (!CHECK(drums > 0.8 * def.gap && rest > -0.3e-3)) // hollow edges of meshes are filled
            printf("    %.0f mm up: %.2f mm off drums, %.2f mm off the rest\n", up * 1e3,
                   drums * 1e3, rest * 1e3);
    }
    // 1.2 mm of wall, 60 mm high, bent by that: 0.2 % of strain
    CHECK(reach > 1.5e-3 && reach < 3e-3);
    const hw_vec3 pull[4] = {{0, 0, 1.5e-3}, {0, 0, -1.5e-3}, {0, 1.5e-3, 0}, {0, -1.5e-3, 0}};
    for (int k = 0; k < 4; k++) {
        double deep = -INFINITY;
        for (size_t i = 0; i < m; i += 5) {
            hw_vec3 p = hw_vec3_add(skin[i], pull[k]);
            deep = fmax(deep, -fmin(value_at(body, p), value_at(lid, p)));
        }
        CHECK(deep > 0.4e-3); // it cannot go there
    }
}

// On a bed whose printer reaches less high it comes in pieces that are the whole.
static void pieces_are_the_whole(void)
{
    hw_palm_parts_def low = def;
    hw_palm_parts *some = HW_NEW(a, hw_palm_parts, 1);
    const char *fault;
    low.bed[2] = 60e-3;
    CHECK(hw_palm_parts_of(a, &low, some, &fault) == HW_OK);
    size_t pieces = 0;
    for (size_t i = 0; i < some->parts; i++)
        pieces += strncmp(some->part[i].name, "forearm cover", 13) == 0;
    CHECK(pieces == 3);
    double most = -INFINITY; // of the whole's surface off the nearest piece
    for (size_t i = 0; i < skins; i += 5) {
        double near = INFINITY;
        for (size_t k = 0; k < some->parts; k++)
            if (strncmp(some->part[k].name, "forearm cover", 13) == 0)
                near = fmin(near, value_at(&some->part[k], skin[i]));
        most = fmax(most, near);
    }
    CHECK(most < 0.3e-3); // hollow edges of meshes are filled by less
}

static void is_made(void)
{
    const char *fault;
    def = hw_palm_parts_def_default();
    parts = HW_NEW(a, hw_palm_parts, 1);
    CHECK(hw_palm_parts_of(a, &def, parts, &fault) == HW_OK);
    skins = places_of(part_of("forearm cover"), &skin);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    a = hw_arena_new(0);
    RUN(is_made);
    RUN(no_drum_can_be_reached);
    RUN(lifted_off_and_held);
    RUN(pieces_are_the_whole);
    hw_arena_free(a);
    return TEST_END();
}
