// The whole judgement: bed, scale, ids, words, bad numbers, lost memory, cancelling.
#include "check.h"

#include "base/rng.h"
#include "shape.h"

// A fork and a tang between its arms, with a bridge, a hole and a thin wall.
static void sample(group *g)
{
    box(&g->m, HW_BLOCK_ADD, (double[]){0, 0, 0}, (double[]){20, 2, 10});
    box(&g->m, HW_BLOCK_ADD, (double[]){0, 6.5, 0}, (double[]){20, 8.5, 10});
    box(&g->m, HW_BLOCK_ADD, (double[]){0, 0, 0}, (double[]){4, 8.5, 10});
    plate(&g->m, HW_BLOCK_CUT, -1, 9, circle(&g->m, 14, 5, 1.5, 48));
    add_part(g, "fork");
    allow(g, HW_ALLOW_CROWN, (double[]){12, -1, 3}, (double[]){16, 9, 7});
    box(&g->m, HW_BLOCK_ADD, (double[]){4.4, 2.3, 0}, (double[]){30, 6.2, 8});
    box(&g->m, HW_BLOCK_CUT, (double[]){8, 2, -1}, (double[]){12, 7, 5});
    add_part(g, "tang");
    allow(g, HW_ALLOW_BRIDGE, (double[]){7, 2, 5}, (double[]){13, 7, 5});
}

static void defaults(void)
{
    hw_print_def d = hw_print_def_default();
    CHECK(d.layer == 0.2e-3 && d.line == 0.42e-3 && d.gap == 0.25e-3);
    NEAR((d.overhang + d.facet) * 180 / HW_PI, 46, 1e-9);
    CHECK(d.crown == 4e-3);
    for (int q = 0; q < HW_PRINT_QUANTITIES; q++)
        CHECK(strlen(hw_print_id((hw_print_quantity)q)) > 6);
    SAME_TEXT(hw_print_id(HW_PRINT_GAP), "print_gap");
    SAME_TEXT(hw_print_id(HW_PRINT_BED), "bed_fit");
    SAME_TEXT(hw_print_id(HW_PRINT_QUANTITIES), "none");
    SAME_TEXT(hw_allowance_text(HW_ALLOW_CROWN), "crown");
    SAME_TEXT(hw_allowance_text(HW_ALLOW_BRIDGE), "bridge");
    SAME_TEXT(hw_allowance_text(HW_ALLOW_CUTOUT), "cut-out");
    SAME_TEXT(hw_allowance_text(HW_ALLOW_LEDGE), "ledge");
    SAME_TEXT(hw_allowance_text(HW_ALLOW_LETTERS), "lettering");
    SAME_TEXT(hw_allowance_text(HW_ALLOWANCES), "none");
    hw_print_report none = {0};
    CHECK(isnan(hw_print_value(&none, &d, HW_PRINT_GAP)));
}

static void values_and_words(void)
{
    group g = group_new();
    sample(&g);
    CHECK(judge(&g) == HW_OK);
    CHECK(g.got.parts == 2 && g.got.layers == 50);
    CHECK(g.got.hangs == 3); // both holes' crowns and the bridge
    const struct {
        hw_print_quantity q;
        double value, tolerance;
        const char *says;
    } want[] = {
        {HW_PRINT_ISLANDS, 0, 0, "stands on the one below"},
        {HW_PRINT_OVERHANG, 0, 0, "outside declared places"},
        {HW_PRINT_BRIDGE, 4e-3, 1e-6, "tang, at x 10.0, y 4.2, z 5.0 mm"},
        {HW_PRINT_GAP, 0.05e-3, 1e-6, "fork and tang: 0.30 mm at x "},
        {HW_PRINT_STEP_GAP, 0.175e-3, 1e-6, "printer.layer"},
        {HW_PRINT_FIRST, -0.25e-3, 1e-6, "printer.spread"},
        {HW_PRINT_WALL, 2 / 0.42, 1e-3, "fork: 2.00 mm at x "},
        {HW_PRINT_PIECES, 0, 0, "2 parts in 2 pieces"},
        {HW_PRINT_BED, 142e-3, 1e-6, "30.0 by 8.5 by 10.0 mm, as modelled"},
    };
    for (size_t i = 0; i < sizeof want / sizeof want[0]; i++) {
        NEAR(hw_print_value(&g.got, &g.def, want[i].q), want[i].value, want[i].tolerance);
        const char *note = hw_print_note(g.m.keep, &g.got, g.part, &g.def, want[i].q);
        if (!CHECK(note && strstr(note, want[i].says))) printf("    %s\n", note ? note : "none");
    }
    double share = hw_print_value(&g.got, &g.def, HW_PRINT_EXCEPTIONS);
    CLOSE(share, 15.6e-6 / g.got.of[1].area, 1e-3);
    const char *note = hw_print_note(g.m.keep, &g.got, g.part, &g.def, HW_PRINT_EXCEPTIONS);
    SAME_TEXT(note, "2 crowns, 1 bridges, 0 cut-outs and 0 ledges; most of the tang");
    CHECK(g.got.mass > 0 && g.got.time > 300);
    CHECK(g.got.mass == hw_print_value(&g.got, &g.def, HW_PRINT_MASS));
    CHECK(g.got.time == hw_print_value(&g.got, &g.def, HW_PRINT_TIME));
    // what falls short names the entry to change
    g.def.bed[2] = 9e-3;
    g.def.bridge = 3e-3;
    CHECK(judge(&g) == HW_OK);
    note = hw_print_note(g.m.keep, &g.got, g.part, &g.def, HW_PRINT_BED);
    CHECK(note && strstr(note, "printer.bed.z"));
    note = hw_print_note(g.m.keep, &g.got, g.part, &g.def, HW_PRINT_OVERHANG);
    CHECK(note && strstr(note, "declared a bridge, beyond printer.bridge"));
    CHECK(hw_print_value(&g.got, &g.def, HW_PRINT_BED) < 0);
    CHECK(hw_print_value(&g.got, &g.def, HW_PRINT_OVERHANG) > 0);
    g.def.line = 2.2e-3;
    CHECK(judge(&g) == HW_OK);
    note = hw_print_note(g.m.keep, &g.got, g.part, &g.def, HW_PRINT_WALL);
    CHECK(note && strstr(note, "thinner than printer.line"));
    CHECK(hw_print_value(&g.got, &g.def, HW_PRINT_WALL) < 1);
    group_free(&g);
}

static hw_code judge_box(group *g, double wide, double deep, double turn) // [mm] [mm] [deg]
{
    g->n = 0;
    box(&g->m, HW_BLOCK_ADD, (double[]){0, 0, 0}, (double[]){wide, deep, 2});
    add_part(g, "bar");
    hw_mesh *m = HW_NEW(g->m.keep, hw_mesh, 1);
    *m = joined(g->m.keep, *g->part[0].mesh, (hw_mesh){0});
    double c = cos(turn * HW_PI / 180), s = sin(turn * HW_PI / 180);
    for (size_t i = 0; i < m->verts; i++) {
        hw_vec3 v = m->vert[i];
        m->vert[i] = (hw_vec3){v.x * c - v.y * s, v.x * s + v.y * c, v.z};
    }
    g->part[0].mesh = m;
    return judge(g);
}

// 172 mm are left of a 180 mm bed: a bar longer than that goes in across.
static void bed(void)
{
    group g = group_new();
    CHECK(judge_box(&g, 200, 10, 0) == HW_OK);
    const hw_bed_fit *f = &g.got.fit;
    NEAR(f->spare, -28e-3, 1e-6);
    NEAR(f->spare_turn, -28e-3, 1e-6);
    NEAR(f->spare_any, 172e-3 - 210e-3 / sqrt(2), 1e-6);
    NEAR(fabs(f->angle * 180 / HW_PI - 90), 45, 1e-3);
    const char *note = hw_print_note(g.m.keep, &g.got, g.part, &g.def, HW_PRINT_BED);
    CHECK(note && strstr(note, "unless turned by "));
    g.def.bed[0] = 220e-3, g.def.bed[1] = 30e-3;
    CHECK(judge_box(&g, 10, 200, 0) == HW_OK); // turned by 90 degrees
    NEAR(f->spare, 22e-3 - 200e-3, 1e-6);
    NEAR(f->spare_turn, 12e-3, 1e-6);
    CHECK(hw_print_value(&g.got, &g.def, HW_PRINT_BED) == f->spare_turn);
    CHECK(f->spare_any >= f->spare_turn * (1 - 1e-9));
    note = hw_print_note(g.m.keep, &g.got, g.part, &g.def, HW_PRINT_BED);
    CHECK(note && strstr(note, ", turned by 90 degrees"));
    CHECK(judge_box(&g, 400, 10, 0) == HW_OK && f->spare_any < 0);
    note = hw_print_note(g.m.keep, &g.got, g.part, &g.def, HW_PRINT_BED);
    CHECK(note && strstr(note, "however it is turned"));
    // against many angles
    hw_rng rng = hw_rng_new(24, 1);
    for (int round = 0; round < 60; round++) {
        g.def.bed[0] = hw_rng_uniform(&rng, 60e-3, 200e-3);
        g.def.bed[1] = hw_rng_uniform(&rng, 60e-3, 200e-3);
        double w = hw_rng_uniform(&rng, 5, 150), d = hw_rng_uniform(&rng, 5, 150);
        double lies = hw_rng_uniform(&rng, 0, 180);
        CHECK(judge_box(&g, w, d, lies) == HW_OK);
        double best = -1;
        for (int i = 0; i < 20000; i++) {
            double a = HW_PI * i / 20000, x = w * fabs(cos(a)) + d * fabs(sin(a)),
                   y = w * fabs(sin(a)) + d * fabs(cos(a));
            best = fmax(best, fmin(g.def.bed[0] - 8e-3 - x * 1e-3, g.def.bed[1] - 8e-3 - y * 1e-3));
        }
        NEAR(f->spare_any, best, 0.2 * HW_PI / 20000);
        CHECK(f->spare_any >= best - 2e-7); // the mesh's grid
    }
    group_free(&g);
}

// Groups of no symmetry against many angles.
static void bed_for_anything(void)
{
    hw_rng rng = hw_rng_new(25, 1);
    group g = group_new();
    for (int round = 0; round < 60; round++) {
        g.n = 0;
        g.def.bed[0] = hw_rng_uniform(&rng, 60e-3, 200e-3);
        g.def.bed[1] = hw_rng_uniform(&rng, 60e-3, 200e-3);
        for (int i = 0; i < 3; i++)
            add_mesh(&g, "post",
                     turned(g.m.keep, hw_rng_uniform(&rng, -60, 60), hw_rng_uniform(&rng, -60, 60),
                            2, (double[]){4, 3}, (double[]){0, 2}, 3 + (size_t)round % 3));
        CHECK(judge(&g) == HW_OK);
        double best = -1;
        for (int i = 0; i < 4000; i++) {
            double c = cos(HW_PI * i / 4000), s = sin(HW_PI * i / 4000);
            double low[2] = {1, 1}, high[2] = {-1, -1};
            for (size_t p = 0; p < g.n; p++)
                for (size_t v = 0; v < g.part[p].mesh->verts; v++) {
                    hw_vec3 at = g.part[p].mesh->vert[v];
                    double x = at.x * c - at.y * s, y = at.x * s + at.y * c;
                    low[0] = fmin(low[0], x), high[0] = fmax(high[0], x);
                    low[1] = fmin(low[1], y), high[1] = fmax(high[1], y);
                }
            best = fmax(best, fmin(g.def.bed[0] - 8e-3 - high[0] + low[0],
                                   g.def.bed[1] - 8e-3 - high[1] + low[1]));
        }
        CHECK(g.got.fit.spare_any >= best - 1e-12);
        NEAR(g.got.fit.spare_any, best, 0.15 * HW_PI / 4000);
    }
    group_free(&g);
}

// Everything eight times larger: findings in lengths are, shares are not.
static void scales(void)
{
    group g = group_new(), h = group_new();
    h.m.scale = 8;
    sample(&g);
    sample(&h);
    double *length[] = {&h.def.layer,  &h.def.line,   &h.def.gap,    &h.def.bridge,
                        &h.def.crown,  &h.def.jut,    &h.def.spread, &h.def.bed[0],
                        &h.def.bed[1], &h.def.bed[2], &h.def.margin};
    for (size_t i = 0; i < sizeof length / sizeof length[0]; i++) *length[i] *= 8;
    CHECK(judge(&g) == HW_OK && judge(&h) == HW_OK);
    const double power[HW_PRINT_QUANTITIES] = {
        [HW_PRINT_BRIDGE] = 1, [HW_PRINT_GAP] = 1, [HW_PRINT_STEP_GAP] = 1,
        [HW_PRINT_FIRST] = 1,  [HW_PRINT_BED] = 1, [HW_PRINT_MASS] = 3,
    };
    for (int q = 0; q < HW_PRINT_TIME; q++) {
        double one = hw_print_value(&g.got, &g.def, (hw_print_quantity)q);
        double eight = hw_print_value(&h.got, &h.def, (hw_print_quantity)q);
        NEAR(eight, one * pow(8, power[q]), 1e-9 * fabs(eight));
    }
    CHECK(g.got.layers == h.got.layers && g.got.hangs == h.got.hangs);
    group_free(&g);
    group_free(&h);
}

static void bad_numbers(void)
{
    group g = group_new();
    sample(&g);
    CHECK(judge(&g) == HW_OK);
    const double bad[] = {-1, (double)NAN, (double)INFINITY};
    double *number[] = {&g.def.layer,   &g.def.line,   &g.def.gap,    &g.def.overhang,
                        &g.def.facet,   &g.def.bridge, &g.def.crown,  &g.def.jut,
                        &g.def.spread,  &g.def.bed[0], &g.def.bed[1], &g.def.bed[2],
                        &g.def.margin,  &g.def.walls,  &g.def.infill, &g.def.solid_layers,
                        &g.def.density, &g.def.speed,  &g.def.hop,    &g.def.layer_change,
                        &g.def.start};
    for (size_t i = 0; i < sizeof number / sizeof number[0]; i++)
        for (int k = 0; k < 3; k++) {
            double good = *number[i];
            *number[i] = bad[k];
            CHECK(judge(&g) == HW_BAD_INPUT && g.bad == SIZE_MAX && g.got.parts == 0);
            *number[i] = good;
        }
    CHECK(judge(&g) == HW_OK);
    g.n = 0;
    CHECK(judge(&g) == HW_BAD_INPUT);
    add_mesh(&g, "empty", (hw_mesh){0});
    CHECK(judge(&g) == HW_BAD_INPUT && g.bad == 0);
    group_free(&g);
}

typedef struct stop {
    int calls, at;
    double last;
    bool back; // the fraction went back
} stop;

static bool step(void *self, double fraction, const char *stage)
{
    stop *s = self;
    s->back |= fraction < s->last || fraction > 1 || !stage;
    s->last = fraction;
    return s->calls++ != s->at;
}

static void lost_memory_and_cancelling(void)
{
    group g = group_new();
    sample(&g);
    stop s = {.at = -1};
    hw_job job = {step, &s};
    CHECK(hw_print_judge(g.m.keep, g.m.work, g.part, g.n, &g.def, &job, &g.got, &g.bad) == HW_OK);
    CHECK(s.calls > 20 && !s.back);
    int calls = s.calls;
    for (int at = 0; at < calls; at += 3) {
        s = (stop){.at = at};
        CHECK(hw_print_judge(g.m.keep, g.m.work, g.part, g.n, &g.def, &job, &g.got, &g.bad) ==
              HW_CANCELLED);
        CHECK(s.calls == at + 1 && g.got.parts == 0);
    }
    for (int which = 0; which < 2; which++) {
        int lost = 0;
        for (size_t n = 0; n < 100000; n += n < 50 ? 1 : n / 8) {
            hw_arena *keep = hw_arena_new(0), *work = hw_arena_new(0);
            hw_arena_fail_after(which ? keep : work, n);
            hw_code code = hw_print_judge(keep, work, g.part, g.n, &g.def, NULL, &g.got, &g.bad);
            CHECK(code == HW_OK || (code == HW_NO_MEMORY && g.got.parts == 0));
            lost += code == HW_NO_MEMORY;
            hw_arena_free(keep);
            hw_arena_free(work);
            if (code == HW_OK) break;
        }
        CHECK(lost > (which ? 3 : 50));
    }
    group_free(&g);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(defaults);
    RUN(values_and_words);
    RUN(bed);
    RUN(bed_for_anything);
    RUN(scales);
    RUN(bad_numbers);
    RUN(lost_memory_and_cancelling);
    return TEST_END();
}
