// Stress of proximal and middle phalanges: loads balance, it grows with them, words and finding.
// `threads`: one middle phalanx.
#include "example.h"
#include "make/stress.h"

#include <stdlib.h>

static hw_arena *arena;

static const hw_design *design_of(const char *name)
{
    hw_diags diags = {0};
    hw_read_def def = {.file = name, .requirable = &hw_assess_requirable};
    hw_design *design = NULL;
    CHECK(hw_design_read(arena, example_bytes(arena, name), &def, &design, &diags) == HW_OK);
    return design;
}

static bool make(const char *name, int digit, hw_made *m)
{
    const hw_design *d = design_of(name);
    hw_make_def def = {.digit = digit, .quality = HW_MAKE_COARSE};
    return d && CHECK(hw_make(arena, d, &def, NULL, m) == HW_OK) && CHECK(m->groups == 1);
}

// Coarser than by default: the test is of loads and bookkeeping.
static hw_made_stress_def coarse(void)
{
    hw_made_stress_def def = hw_made_stress_def_default();
    def.edge[0] = 1.0 / 10;
    def.edge[1] = 1.0 / 12;
    def.radius = 2.1 / 10;
    return def;
}

static const hw_made_part *phalanx(const hw_made *m)
{
    for (size_t i = 0; i < m->parts; i++)
        if (m->part[i].part->body == 2) return &m->part[i];
    return NULL;
}

static void herons_index_is_judged(void)
{
    hw_made m;
    if (!make("heron", 1, &m)) return;
    hw_made_stress s;
    hw_made_stress_def def = coarse();
    CHECK(hw_make_stress(arena, &m, 0, 1, &def, NULL, &s) == HW_OK);
    printf("%s\n", hw_made_stress_note(arena, &s));
    printf("share %.3f, spread %.3f, out of balance %.1e, cells %zu %zu, iterations %zu %zu\n",
           s.share, s.spread, s.unbalanced, s.cells[0], s.cells[1], s.iterations[0],
           s.iterations[1]);
    CHECK(!s.fault && s.part && strcmp(s.part, "index middle phalanx") == 0);
    CHECK(s.share > 0 && isfinite(s.share) && s.spread >= 0 && s.spread < 0.5);
    // Every force is there: cones, bar, push. What is left is rounding.
    CHECK(s.unbalanced < 1e-9);
    double along = s.mises.value / m.hand->strength, up = s.zz.value / m.hand->strength_across;
    NEAR(s.share, fmax(along, up), 0);
    CHECK(s.across == (up > along));
    const hw_made_part *p = phalanx(&m);
    hw_vec3 at = s.across ? s.zz.at : s.mises.at;
    double edge = s.edge[1];
    CHECK(p && at.x > p->low.x - edge && at.x < p->high.x + edge && at.y > p->low.y - edge &&
          at.y < p->high.y + edge && at.z > p->low.z - edge && at.z < p->high.z + edge);
    const double place[3] = {at.x, at.y, at.z};
    CHECK(fabs(s.at - place[s.normal]) <= edge);
    CHECK(s.axis[0] != s.normal && s.axis[1] != s.normal && s.axis[0] < s.axis[1]);
    for (int c = 0; c < 2; c++)
        CHECK(place[s.axis[c]] > s.low[c] - edge &&
              place[s.axis[c]] < s.low[c] + ((double)s.n[c] + 1) * edge);
    size_t some = 0;
    for (size_t i = 0; i < s.n[0] * s.n[1]; i++) {
        CHECK(isnan(s.map[i]) == !(s.filled[i] > 0));
        some += s.map[i] > 0;
    }
    CHECK(some > 100);
    const char *note = hw_made_stress_note(arena, &s);
    CHECK(note && strstr(note, "index middle phalanx, ") == note && strstr(note, " MPa") &&
          strstr(note, " of the travel") && strstr(note, " mm differ by "));

    // Heavy loads of use in place of the drive's own squeeze; doubled, twice the stress.
    hw_hand heavy = *m.hand;
    hw_made strained = m;
    strained.hand = &heavy;
    hw_made_stress t[2];
    for (int turn = 0; turn < 2; turn++) {
        double k = turn ? 2 : 20;
        heavy.loads.tip *= k, heavy.loads.pad *= k, heavy.loads.side *= k;
        heavy.loads.hook *= k, heavy.loads.knock *= k;
        CHECK(hw_make_stress(arena, &strained, 0, 1, &def, NULL, &t[turn]) == HW_OK);
        printf("%s\n", hw_made_stress_note(arena, &t[turn]));
    }
    CHECK(t[0].which == t[1].which && t[0].which != (int)HW_HOLD_SQUEEZE);
    CHECK(t[1].share > 1 && strstr(hw_made_stress_note(arena, &t[1]), "; loads.pad times 0."));
    hw_made_stress pressed = t[1];
    pressed.which = HW_HOLD_SQUEEZE;
    pressed.share = 1.045;
    CHECK(strstr(hw_made_stress_note(arena, &pressed), "; drive.drum_radius times 1.10 would"));
    CHECK(!strstr(note, " would bring it"));
    CLOSE(t[1].share, 2 * t[0].share, 1e-3); // the solver's tolerance

    // A left hand's part is the mirrored one, its stress the same.
    hw_hand other = *m.hand;
    other.left = true;
    hw_made left = m;
    left.hand = &other;
    left.part = HW_NEW(arena, hw_made_part, m.parts);
    for (size_t i = 0; i < m.parts; i++) left.part[i] = m.part[i];
    hw_made_part *q = &left.part[p - m.part];
    q->mesh.vert = HW_NEW(arena, hw_vec3, p->mesh.verts);
    q->mesh.tri = HW_NEW(arena, uint32_t, 3 * p->mesh.tris);
    for (size_t i = 0; i < p->mesh.verts; i++) q->mesh.vert[i] = p->mesh.vert[i];
    for (size_t i = 0; i < 3 * p->mesh.tris; i++) q->mesh.tri[i] = p->mesh.tri[i];
    hw_mesh_mirror(&q->mesh);
    hw_made_stress mirrored;
    CHECK(hw_make_stress(arena, &left, 0, 1, &def, NULL, &mirrored) == HW_OK);
    CLOSE(mirrored.share, s.share, 1e-9);

    // Its finding, once.
    size_t before = m.findings, unknown = m.unknown;
    for (int turn = 0; turn < 2; turn++) {
        hw_made_stress_judge(arena, &m, turn ? &t[0] : &s, 1);
        CHECK(m.findings == before + 1 && m.unknown == unknown);
        CHECK(m.findings == m.held + m.fallen_short + m.unknown);
        const hw_finding *f = &m.finding[m.findings - 1];
        SAME_TEXT(f->id, "digits.index/part_stress");
        NEAR(f->value, turn ? t[0].share : s.share, 0);
        CHECK(f->verdict == (f->value <= 1 ? HW_HOLDS : HW_FALLS_SHORT));
        SAME_TEXT(f->note, hw_made_stress_note(arena, turn ? &t[0] : &s));
    }
}

// The proximal phalanx: its forces are worked out each by itself, cords and bar B too, and balance.
static void a_proximal_phalanx_is_judged(void)
{
    for (int digit = 0; digit < 2; digit++) {
        hw_made m;
        if (!make("heron", digit, &m)) return;
        hw_made_stress s;
        hw_made_stress_def def = coarse();
        CHECK(hw_make_stress(arena, &m, 0, 0, &def, NULL, &s) == HW_OK);
        printf("%s, out of balance %.1e\n", hw_made_stress_note(arena, &s), s.unbalanced);
        CHECK(!s.fault && s.share > 0 && isfinite(s.share) && s.unbalanced < 1e-9);
        CHECK(s.part && strcmp(s.part, digit ? "index proximal phalanx" : "thumb metacarpal") == 0);
    }
}

// Digits driven at each joint: the servo's couple takes the bar's place.
static void a_servo_at_each_joint(void)
{
    hw_made m;
    if (!make("heron", 0, &m)) return;
    hw_made_stress s;
    hw_made_stress_def def = coarse();
    CHECK(hw_make_stress(arena, &m, 0, 1, &def, NULL, &s) == HW_OK);
    printf("%s\n", hw_made_stress_note(arena, &s));
    CHECK(!s.fault && s.share > 0 && s.unbalanced < 1e-9);
}

static void what_cannot_be_judged_says_so(void)
{
    hw_made m;
    if (!make("heron", 1, &m)) return;
    hw_made_stress s;
    hw_made_stress_def def = coarse();
    hw_hand hand = *m.hand;
    hand.digit[1].family = HW_FAMILY_CORD;
    hw_made corded = m;
    corded.hand = &hand;
    CHECK(hw_make_stress(arena, &corded, 0, 1, &def, NULL, &s) == HW_OK);
    CHECK(s.fault && isnan(s.share) && strstr(s.fault, "cord") != NULL);
    hw_made_stress_judge(arena, &m, &s, 1);
    CHECK(m.finding[m.findings - 1].verdict == HW_UNKNOWN);
    SAME_TEXT(m.finding[m.findings - 1].note, s.fault);
    hw_made_group empty = {.fault = "the printed pose does not close"};
    hw_made none = m;
    none.group = &empty;
    CHECK(hw_make_stress(arena, &none, 0, 1, &def, NULL, &s) == HW_OK);
    SAME_TEXT(s.fault, "the printed pose does not close");
    def.most = 100;
    CHECK(hw_make_stress(arena, &m, 0, 1, &def, NULL, &s) == HW_LIMIT);
}

static bool refuse(void *self, double fraction, const char *stage)
{
    (void)self, (void)fraction, (void)stage;
    return false;
}

static void it_can_be_stopped(void)
{
    hw_made m;
    if (!make("heron", 1, &m)) return;
    hw_made_stress s;
    hw_made_stress_def def = coarse();
    hw_job job = {refuse, NULL};
    CHECK(hw_make_stress(arena, &m, 0, 1, &def, &job, &s) == HW_CANCELLED);
    CHECK(isnan(s.share));
}

int main(int argc, char **argv)
{
    const bool threads = argc > 1 && strcmp(argv[1], "threads") == 0;
    TEST_BEGIN(argc, argv);
    arena = hw_arena_new(1 << 20);
    if (!arena) return 1;
    RUN(a_servo_at_each_joint);
    if (!threads) {
        RUN(herons_index_is_judged);
        RUN(a_proximal_phalanx_is_judged);
        RUN(what_cannot_be_judged_says_so);
        RUN(it_can_be_stopped);
    }
    hw_arena_free(arena);
    return TEST_END();
}
