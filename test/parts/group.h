// Digits of the examples as meshes, for the tests of parts.
#ifndef HW_TEST_PARTS_GROUP_H
#define HW_TEST_PARTS_GROUP_H

#include "example.h"
#include "hand/hand.h"

enum { GROUP_PARTS = 16 };

typedef struct group {
    hw_arena *keep, *work;
    hw_digit digit;
    hw_layers layers;
    hw_stack stack;
    hw_parts_def def;
    hw_part_set set;
    hw_mesh mesh[GROUP_PARTS];
    hw_float_mesh file[GROUP_PARTS]; // in millimetres
    hw_mesh_made made[GROUP_PARTS];
} group;

// The design of an example in one variant ("" for none).
static inline hw_design *example(hw_arena *a, const char *name, const char *variant)
{
    hw_diag item[8];
    hw_diags diags = {.item = item, .capacity = 8};
    hw_read_def def = {.file = name, .variant = hw_text_of(variant)};
    hw_design *design = NULL;
    CHECK(hw_design_read(a, example_bytes(a, name), &def, &design, &diags) == HW_OK);
    for (size_t i = 0; i < diags.count; i++)
        printf("%s:%d: %s '%s'\n", name, item[i].line, item[i].text, item[i].found);
    return design;
}

// The hand of a design, until another one is asked for. The sheaths' ways, most of the work, are
// taken over from the last hand where they follow from the same numbers: the same to the bit.
static inline const hw_hand *hand_of(const hw_design *d)
{
    static hw_hand hand[2];
    static int last = -1;
    int next = last == 0;
    hw_hand_build_like(d, last < 0 ? NULL : &hand[last], false, &hand[next]);
    last = next;
    return &hand[next];
}

static inline group group_new(void)
{
    return (group){.keep = hw_arena_new(1 << 20), .work = hw_arena_new(1 << 20)};
}

static inline void group_free(group *g)
{
    hw_arena_free(g->keep);
    hw_arena_free(g->work);
}

static inline bool group_mesh(group *g)
{
    hw_mesh_def def = hw_mesh_def_default();
    bool ok = CHECK(g->set.parts <= GROUP_PARTS);
    for (size_t i = 0; ok && i < g->set.parts; i++) {
        const hw_part *p = &g->set.part[i];
        hw_code code =
            hw_solid_mesh(g->keep, g->work, &p->solid, &def, NULL, &g->mesh[i], &g->made[i]);
        ok = CHECK(code == HW_OK);
        const hw_mesh_made *m = &g->made[i];
        if (!ok)
            printf("    %s: %s, block %zu, at %.3f %.3f %.3f mm%s\n", p->name, hw_code_text(code),
                   m->bad_block, m->bad_at.x * 1e3, m->bad_at.y * 1e3, m->bad_at.z * 1e3,
                   m->pinched ? ", pinched" : "");
        ok = ok && CHECK(hw_mesh_to_float(g->keep, &g->mesh[i], 1e-3, &g->file[i]) == HW_OK);
    }
    return ok;
}

// Parts and meshes of one digit of a design.
static inline bool group_make(group *g, const hw_design *d, int digit, double deviation) // [m]
{
    const hw_hand *hand = hand_of(d);
    g->digit = hand->digit[digit];
    g->layers = hand->layers[digit];
    hw_hand_parts(d, digit, &g->def);
    g->def.deviation = deviation;
    if (!CHECK(hw_stack_of(&g->digit, &g->layers, &g->stack) == HW_OK)) return false;
    hw_code code =
        hw_parts_digit(g->keep, g->work, &g->def, &g->digit, &g->layers, &g->stack, NULL, &g->set);
    if (!CHECK(code == HW_OK)) printf("    parts: %s\n", hw_code_text(code));
    return code == HW_OK && group_mesh(g);
}

// A body's part and its number in the set.
static inline const hw_part *part_of(const group *g, int body, size_t *at)
{
    for (size_t i = 0; i < g->set.parts; i++)
        if (g->set.part[i].body == body) {
            *at = i;
            return &g->set.part[i];
        }
    return NULL;
}

// Whether a point of the bed's plan lies in a section.
static inline bool inside(const hw_section *s, hw_vec2 p)
{
    bool in = false;
    for (size_t i = 0; i < s->rings; i++)
        for (size_t j = 0; j < s->ring[i].n; j++) {
            hw_vec2 a = s->ring[i].at[j], b = s->ring[i].at[(j + 1) % s->ring[i].n];
            if ((a.z > p.z) != (b.z > p.z) && p.x < a.x + (p.z - a.z) / (b.z - a.z) * (b.x - a.x))
                in = !in;
        }
    return in;
}

// A part's section across y.
static inline hw_section middle_of(group *g, size_t part, double y) // [m]
{
    hw_mesh_def def = hw_mesh_def_default();
    hw_mesh_made made;
    hw_section s;
    CHECK(hw_solid_section(g->keep, g->work, &g->set.part[part].solid, &def, y, NULL, &s, &made) ==
          HW_OK);
    return s;
}

// All lengths of fittings twice as large.
static inline void double_fittings(hw_fittings_def *f)
{
    hw_carrier_def *c = &f->carrier;
    double *length[] = {&f->pulley.radius,
                        &f->pulley.cord,
                        &f->pulley.gap,
                        &f->pulley.line,
                        &f->pulley.spool,
                        &f->pulley.pin,
                        &c->gap,
                        &c->line,
                        &c->layer,
                        &c->sheath,
                        &c->sheath_depth,
                        &c->cord,
                        &c->home.length,
                        &c->home.height,
                        &c->home.thickness,
                        &c->home.lever,
                        &c->home.pressed,
                        &c->home.pitch,
                        &c->home.hole,
                        &c->home.terminals,
                        &c->home.hole_depth,
                        &c->horn.hub,
                        &c->horn.arm,
                        &c->horn.width,
                        &c->horn.thickness,
                        &c->horn.screw[0],
                        &c->horn.screw[1],
                        &c->horn.pilot,
                        &c->horn.head,
                        &c->screw,
                        &c->screw_depth,
                        &f->pad.recess,
                        &f->pad.margin,
                        &f->pad.pitch,
                        &f->pad.depth,
                        &f->line,
                        &f->layer,
                        &c->deviation,
                        &f->pulley.deviation};
    for (size_t i = 0; i < sizeof length / sizeof *length; i++) *length[i] *= 2;
}

#endif
