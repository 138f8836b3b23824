// Binary glTF: read back by jansson and by hand, as a strict reader would.
#include "support.h"

#include "base/rng.h"
#include "base/vec3.h"
#include "files/files_internal.h"
#include "files/glb.h"

#include <jansson.h>

static hw_arena *arena;

enum { PARTS = 3 };

typedef struct scene {
    hw_float_mesh mesh[PARTS];
    hw_glb_part part[PARTS];
    hw_glb_scene s;
} scene;

static const hw_glb_material colours[2] = {{"card", 0xb7ad96, 0.9}, {"ink", 0x000a0b, 0.5}};

static hw_frame random_frame(hw_rng *r)
{
    hw_vec3 a, b;
    do {
        a = (hw_vec3){hw_rng_uniform(r, -1, 1), hw_rng_uniform(r, -1, 1), hw_rng_uniform(r, -1, 1)};
        b = (hw_vec3){hw_rng_uniform(r, -1, 1), hw_rng_uniform(r, -1, 1), hw_rng_uniform(r, -1, 1)};
    } while (hw_vec3_norm(hw_vec3_cross(a, b)) < 0.1);
    hw_vec3 x = hw_vec3_unit(a), z = hw_vec3_unit(hw_vec3_cross(a, b));
    return (hw_frame){{hw_rng_uniform(r, -0.2, 0.2), hw_rng_uniform(r, -0.2, 0.2), 0.01},
                      x,
                      hw_vec3_cross(z, x),
                      z};
}

// Tetrahedra of random corners, millimetres; `k` times as large.
static void make(scene *out, uint64_t seed, double k) // [1]
{
    static const char *const name[PARTS] = {"index middle phalanx", "bar \"A\" \\ 2",
                                            "d\u00e9coupe"};
    static const uint32_t tri[12] = {0, 2, 1, 0, 1, 3, 1, 2, 3, 2, 0, 3};
    hw_rng r = hw_rng_new(seed, 0);
    *out = (scene){
        .s = {.name = "Heron, closed", .material = colours, .materials = 2, .parts = PARTS}};
    for (int i = 0; i < PARTS; i++) {
        hw_float_mesh *m = &out->mesh[i];
        *m = (hw_float_mesh){.at = hw_arena_alloc(arena, 4, sizeof *m->at, 16),
                             .tri = HW_NEW(arena, uint32_t, 12),
                             .verts = 4,
                             .tris = 4};
        memcpy(m->tri, tri, sizeof tri);
        for (int v = 0; v < 4; v++)
            for (int c = 0; c < 3; c++) m->at[v][c] = (float)(k * hw_rng_uniform(&r, -50, 50));
        out->part[i] = (hw_glb_part){name[i], m, random_frame(&r), (size_t)i % 2};
    }
    // turns of the awkward kind: none at all, and half a turn about y
    out->part[0].place = (hw_frame){{0, 0, 0}, {1, 0, 0}, {0, 1, 0}, {0, 0, 1}};
    out->part[1].place = (hw_frame){{0.1, -0.02, 0}, {-1, 0, 0}, {0, 1, 0}, {0, 0, -1}};
    out->s.part = out->part;
}

// A file taken apart; every length and offset is checked on the way.
typedef struct taken {
    json_t *json;
    const char *bin;
    size_t bytes;
} taken;

static taken take(const hw_buffer *b)
{
    taken t = {0};
    if (!CHECK(b->len > 28)) return t;
    CHECK(memcmp(b->at, "glTF", 4) == 0 && hw_get_u32(b->at + 4) == 2);
    CHECK(hw_get_u32(b->at + 8) == b->len);
    size_t json = hw_get_u32(b->at + 12);
    CHECK(json % 4 == 0 && memcmp(b->at + 16, "JSON", 4) == 0 && 28 + json <= b->len);
    json_error_t why;
    t.json = json_loadb(b->at + 20, json, JSON_REJECT_DUPLICATES, &why);
    if (!CHECK(t.json != NULL)) printf("    %s\n", why.text);
    t.bytes = hw_get_u32(b->at + 20 + json);
    CHECK(memcmp(b->at + 24 + json, "BIN", 4) == 0 && 28 + json + t.bytes == b->len);
    t.bin = b->at + 28 + json;
    return t;
}

static const json_t *item(const json_t *j, const char *list, size_t i)
{
    const json_t *of = json_object_get(j, list);
    CHECK(json_is_array(of) && i < json_array_size(of));
    return json_array_get(of, i);
}

static size_t count(const json_t *j, const char *key)
{
    const json_t *n = json_object_get(j, key);
    CHECK(json_is_integer(n) && json_integer_value(n) >= 0);
    return (size_t)json_integer_value(n);
}

static void row(const json_t *j, const char *key, double out[], size_t n)
{
    const json_t *of = json_object_get(j, key);
    CHECK(json_is_array(of) && json_array_size(of) == n);
    for (size_t i = 0; i < n; i++) out[i] = json_number_value(json_array_get(of, i));
}

// Where the bytes of an accessor lie, and how many there are of what kind.
static const char *bytes_of(const taken *t, size_t accessor, size_t each, size_t want_count,
                            size_t target)
{
    const json_t *a = item(t->json, "accessors", accessor);
    const json_t *view = item(t->json, "bufferViews", count(a, "bufferView"));
    CHECK(count(view, "buffer") == 0 && count(view, "target") == target);
    CHECK(count(a, "count") == want_count && count(view, "byteLength") == want_count * each);
    size_t at = count(view, "byteOffset");
    CHECK(at % 4 == 0 && at + want_count * each <= t->bytes);
    return t->bin + at;
}

static hw_vec3 turned(const double q[4], hw_vec3 v)
{
    hw_vec3 u = {q[0], q[1], q[2]};
    hw_vec3 t = hw_vec3_times(hw_vec3_cross(u, v), 2);
    return hw_vec3_add(hw_vec3_add(v, hw_vec3_times(t, q[3])), hw_vec3_cross(u, t));
}

static void part_is(const taken *t, const scene *want, size_t i, double k) // [1]
{
    const hw_glb_part *p = &want->part[i];
    const json_t *node = item(t->json, "nodes", i + 1);
    SAME_TEXT(json_string_value(json_object_get(node, "name")), p->name);
    const json_t *mesh = item(t->json, "meshes", count(node, "mesh"));
    CHECK(json_array_size(json_object_get(mesh, "primitives")) == 1);
    const json_t *one = item(mesh, "primitives", 0);
    CHECK(count(one, "material") == p->material && count(one, "mode") == 4);
    size_t positions = count(json_object_get(one, "attributes"), "POSITION");
    const char *at = bytes_of(t, positions, 12, p->mesh->verts, 34962);
    const char *index = bytes_of(t, count(one, "indices"), 4, 3 * p->mesh->tris, 34963);
    const json_t *a = item(t->json, "accessors", positions);
    CHECK(count(a, "componentType") == 5126);
    CHECK(count(item(t->json, "accessors", count(one, "indices")), "componentType") == 5125);
    double move[3], q[4], root[4], low[3], high[3];
    row(node, "translation", move, 3);
    row(node, "rotation", q, 4);
    row(item(t->json, "nodes", 0), "rotation", root, 4);
    row(a, "min", low, 3);
    row(a, "max", high, 3);
    NEAR(q[0] * q[0] + q[1] * q[1] + q[2] * q[2] + q[3] * q[3], 1, 1e-14);
    double least[3] = {INFINITY, INFINITY, INFINITY}, most[3] = {-INFINITY, -INFINITY, -INFINITY};
    for (size_t v = 0; v < p->mesh->verts; v++) {
        double c[3];
        for (int j = 0; j < 3; j++) {
            c[j] = (double)hw_get_f32(at + 12 * v + 4 * (size_t)j);
            least[j] = fmin(least[j], c[j]);
            most[j] = fmax(most[j], c[j]);
        }
        hw_vec3 seen = turned(q, (hw_vec3){c[0], c[1], c[2]});
        seen = turned(root, hw_vec3_add(seen, (hw_vec3){move[0], move[1], move[2]}));
        const float *mm = p->mesh->at[v];
        const hw_frame *f = &p->place;
        hw_vec3 hand = hw_vec3_along(f->at, (double)mm[0] / 1000, f->x);
        hand = hw_vec3_along(hand, (double)mm[1] / 1000, f->y);
        hand = hw_vec3_along(hand, (double)mm[2] / 1000, f->z);
        // y up is the back (z), z forward the fingers (x), x the thumb (y); floats of 50 mm
        NEAR(seen.x, hand.y, 1e-8 * k);
        NEAR(seen.y, hand.z, 1e-8 * k);
        NEAR(seen.z, hand.x, 1e-8 * k);
    }
    for (int j = 0; j < 3; j++) CHECK(low[j] == least[j] && high[j] == most[j]);
    for (size_t v = 0; v < 3 * p->mesh->tris; v++)
        CHECK(hw_get_u32(index + 4 * v) == p->mesh->tri[v]);
}

static void what_is_written_reads_back(void)
{
    static const double size[] = {1, 10, 0.1};
    for (uint64_t seed = 0; seed < 30; seed++) {
        scene want;
        double k = size[seed % 3];
        make(&want, seed, k);
        hw_buffer b = {.arena = arena}, again = b;
        CHECK(hw_glb_write(&want.s, &b) == HW_OK && hw_glb_write(&want.s, &again) == HW_OK);
        CHECK(b.len == again.len && memcmp(b.at, again.at, b.len) == 0);
        taken t = take(&b);
        SAME_TEXT(json_string_value(json_object_get(json_object_get(t.json, "asset"), "version")),
                  "2.0");
        CHECK(count(t.json, "scene") == 0);
        CHECK(json_array_size(json_object_get(t.json, "nodes")) == PARTS + 1);
        CHECK(json_array_size(json_object_get(item(t.json, "nodes", 0), "children")) == PARTS);
        CHECK(json_array_size(json_object_get(t.json, "buffers")) == 1);
        CHECK(count(item(t.json, "buffers", 0), "byteLength") == t.bytes);
        for (size_t i = 0; i < PARTS; i++) part_is(&t, &want, i, k);
        json_decref(t.json);
    }
}

// 0xb7 of 0xff shows half of what it says as light: ((0.7176 + 0.055) / 1.055)^2.4 = 0.4735.
static void colours_are_light(void)
{
    scene want;
    make(&want, 1, 1);
    hw_buffer b = {.arena = arena};
    CHECK(hw_glb_write(&want.s, &b) == HW_OK);
    taken t = take(&b);
    double light[4];
    const json_t *m = item(t.json, "materials", 0);
    SAME_TEXT(json_string_value(json_object_get(m, "name")), "card");
    const json_t *plain = json_object_get(m, "pbrMetallicRoughness");
    row(plain, "baseColorFactor", light, 4);
    NEAR(light[0], 0.4735, 1e-4);
    CHECK(light[3] == 1 && count(plain, "metallicFactor") == 0);
    CHECK(json_real_value(json_object_get(plain, "roughnessFactor")) == 0.9);
    row(json_object_get(item(t.json, "materials", 1), "pbrMetallicRoughness"), "baseColorFactor",
        light, 4);
    NEAR(light[1], 10 / 255.0 / 12.92, 1e-15);
    json_decref(t.json);
}

static void what_cannot_be_is_refused(void)
{
    scene s;
    hw_buffer b = {.arena = arena};
#define REFUSED(change)                                                                            \
    do {                                                                                           \
        make(&s, 3, 1);                                                                            \
        change;                                                                                    \
        CHECK(hw_glb_write(&s.s, &b) == HW_BAD_INPUT && b.len == 0);                               \
    } while (0)
    REFUSED(s.s.parts = 0);
    REFUSED(s.s.name = "");
    REFUSED(s.part[1].name = NULL);
    REFUSED(s.part[1].name = "\xff");
    REFUSED(s.part[2].material = 2);
    REFUSED(s.part[2].place.at.x = INFINITY);
    REFUSED(s.part[2].place.x = hw_vec3_times(s.part[2].place.x, 1.001));
    REFUSED(s.part[2].place.z = hw_vec3_times(s.part[2].place.z, -1)); // a mirror is no rotation
    REFUSED(s.mesh[0].at[1][2] = NAN);
    REFUSED(s.mesh[0].tri[4] = 4);
    REFUSED(s.mesh[0].tris = 0);
    make(&s, 3, 1);
    for (size_t n = 0; n < 4; n++) {
        size_t mark = hw_arena_mark(arena);
        hw_buffer c = {.arena = arena};
        hw_arena_fail_after(arena, n);
        CHECK(hw_glb_write(&s.s, &c) == HW_NO_MEMORY);
        hw_arena_rewind(arena, mark);
    }
    hw_arena_fail_after(arena, SIZE_MAX);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    arena = hw_arena_new(0);
    RUN(what_is_written_reads_back);
    RUN(colours_are_light);
    RUN(what_cannot_be_is_refused);
    hw_arena_free(arena);
    return TEST_END();
}
