// Scans measured: units, sides, turned and scaled hands, hands with less to go by, and every fault
// with its words.
#include "made_hand.h"

#include "base/arena.h"
#include "check.h"

#define DEG (HW_PI / 180)

static hw_arena *arena;
static made_hand hand; // one that all cases start from
static hw_scan usual;
static hw_diag item[64];
static hw_diags diags = {item, 0, 64, 0};

static hw_code measure(const made_hand *h, hw_scan *s)
{
    hw_scan_def def = hw_scan_def_default();
    hw_float_mesh m = made_mesh(h);
    diags.count = diags.dropped = 0;
    return hw_scan_measure(arena, &m, &h->picks, &def, "hand.ply", "picks.txt", NULL, &diags, s);
}

static bool said(const char *words)
{
    for (size_t i = 0; i < diags.count; i++)
        if (strstr(item[i].text, words)) return true;
    for (size_t i = 0; i < diags.count; i++)
        printf("    %s:%d: %s; found %s, expected %s\n", item[i].file, item[i].line, item[i].text,
               item[i].found, item[i].expected);
    return false;
}

// The hand with other coordinates: a new set of vertices and picks.
static void moved(made_hand *out, double scale, bool mirror)
{
    *out = hand;
    out->at = hw_arena_alloc(arena, hand.verts, sizeof *out->at, _Alignof(float));
    for (size_t v = 0; v < hand.verts; v++)
        for (int c = 0; c < 3; c++)
            out->at[v][c] = (float)(scale * (mirror && c == 1 ? -1 : 1) * (double)hand.at[v][c]);
    for (int m = 0; m < HW_MARKS; m++)
        for (int f = 0; f < HW_FACES; f++) {
            hw_vec3 *p = &out->picks.pick[m][f].at;
            *p = (hw_vec3){scale * p->x, scale * (mirror ? -1 : 1) * p->y, scale * p->z};
        }
}

static void same(const hw_scan *a, const hw_scan *b, double ratio)
{
    CLOSE(b->length.value, a->length.value * ratio, 1e-5);
    CLOSE(b->length.off, a->length.off * ratio, 1e-4);
    CLOSE(b->breadth.value, a->breadth.value * ratio, 1e-4);
    CLOSE(b->curvature.value, a->curvature.value / ratio, 1e-3);
    for (int d = 0; d < HW_HAND_DIGITS; d++) {
        const hw_scan_digit *g = &a->digit[d], *h = &b->digit[d];
        CHECK(g->axis == h->axis);
        for (int i = 0; i < HW_SEGMENTS; i++) {
            CLOSE(h->segment[i].value, g->segment[i].value * ratio, 1e-4);
            if (!isnan(g->bend[i].value)) NEAR(h->bend[i].value, g->bend[i].value, 1e-3);
        }
        NEAR(h->knuckle.at.y, g->knuckle.at.y * ratio, 1e-5 * ratio);
        NEAR(h->knuckle.at.z, g->knuckle.at.z * ratio, 1e-5 * ratio);
        NEAR(h->knuckle.y.y, g->knuckle.y.y, 1e-3);
        NEAR(h->knuckle.x.y, g->knuckle.x.y, 1e-3);
    }
    for (int m = 0; m < HW_MARKS; m++) NEAR(b->mark[m].at.x, a->mark[m].at.x * ratio, 1e-5 * ratio);
}

// ---- units ------------------------------------------------------------------------------------

static void units_by_size(void)
{
    double scale;
    SAME_TEXT(hw_scan_unit(187, &scale), "mm");
    SAME_TEXT(hw_scan_unit(18.7, &scale), "cm");
    NEAR(scale, 1e-2, 0);
    SAME_TEXT(hw_scan_unit(0.187, &scale), "m");
    SAME_TEXT(hw_scan_unit(7.4, &scale), "in");
    NEAR(scale, 0.0254, 0);
    CHECK(hw_scan_unit(187000, &scale) == NULL && isnan(scale));
    CHECK(hw_scan_unit(50, &scale) == NULL && hw_scan_unit(0, &scale) == NULL);
    CHECK(hw_scan_unit((double)NAN, &scale) == NULL);
    // never two: what lies in one unit's reach lies in no other's
    for (double size = 1e-2; size < 1e4; size *= 1.01) {
        const double units[] = {1e-3, 1e-2, 1, 0.0254};
        int fits = 0;
        for (int k = 0; k < 4; k++) fits += size * units[k] >= 0.105 && size * units[k] <= 0.26;
        CHECK(fits <= 1 && (hw_scan_unit(size, &scale) != NULL) == (fits == 1));
    }
}

static void units_are_found_or_believed(void)
{
    static const struct {
        const char *name;
        double scale; // [m]
    } unit[] = {{"cm", 1e-2}, {"m", 1}, {"in", 0.0254}};
    made_hand h;
    hw_scan s;
    for (int k = 0; k < 3; k++) {
        moved(&h, 1e-3 / unit[k].scale, false);
        CHECK(measure(&h, &s) == HW_OK && s.guessed);
        SAME_TEXT(s.unit, unit[k].name);
        same(&usual, &s, 1);
        CHECK(said("does not say its unit"));
        h.picks.unit = unit[k].name;
        h.picks.scale = unit[k].scale;
        CHECK(measure(&h, &s) == HW_OK && !s.guessed && !said("nothing of the kind"));
        same(&usual, &s, 1);
    }
    // no unit at all, and one that is said but cannot be
    moved(&h, 3, false);
    CHECK(measure(&h, &s) == HW_BAD_INPUT && said("no unit makes a hand of it"));
    h.picks.unit = "m";
    h.picks.scale = 1;
    h.picks.unit_line = 7;
    CHECK(measure(&h, &s) == HW_BAD_INPUT && said("the unit makes no hand of it"));
    CHECK(item[diags.count - 1].line == 7 && strstr(item[diags.count - 1].found, "mm in m"));
}

// Ten times larger and smaller, on purpose: everything goes with it.
static void it_scales(void)
{
    for (int k = 0; k < 2; k++) {
        double ratio = k ? 10 : 0.1;
        made_hand h;
        hw_scan s;
        moved(&h, ratio, false);
        h.picks.unit = "mm";
        h.picks.scale = 1e-3;
        CHECK(measure(&h, &s) == HW_OK && said("is no person's"));
        same(&usual, &s, ratio);
    }
}

// ---- sides and surfaces -----------------------------------------------------------------------

static void a_left_hand_is_the_mirror(void)
{
    made_hand h;
    hw_scan s;
    moved(&h, 1, true);
    // its triangles face inward now, which is said, and does not matter
    CHECK(measure(&h, &s) == HW_OK && s.left && s.inside_out && said("inside out"));
    same(&usual, &s, 1);
    CHECK(!usual.left && !usual.inside_out);
    h.picks.side = HW_SCAN_LEFT;
    CHECK(measure(&h, &s) == HW_OK);
    h.picks.side = HW_SCAN_RIGHT;
    h.picks.side_line = 3;
    CHECK(measure(&h, &s) == HW_BAD_INPUT && said("the side is another one"));
    SAME_TEXT(item[diags.count - 1].found, "picks of a left hand");
    CHECK(item[diags.count - 1].line == 3);
}

static void a_surface_that_is_none(void)
{
    made_hand h = hand;
    hw_scan s;
    h.tri = HW_NEW(arena, uint32_t, 3 * (hand.tris + 2));
    memcpy(h.tri, hand.tri, 3 * hand.tris * sizeof *h.tri);
    // two fins on sides of the first triangle
    const uint32_t fins[6] = {h.tri[0], h.tri[1], h.tri[300], h.tri[1], h.tri[2], h.tri[600]};
    memcpy(&h.tri[3 * hand.tris], fins, sizeof fins);
    h.tris += 2;
    CHECK(measure(&h, &s) == HW_OK && s.crowded_edges > 0 && said("no plain surface"));
    NEAR(s.length.value, usual.length.value, 0.2e-3);
    h.tris = 0;
    CHECK(measure(&h, &s) == HW_BAD_INPUT && said("the mesh is empty"));
}

// ---- picks ------------------------------------------------------------------------------------

static void faults_of_picks(void)
{
    made_hand h = hand;
    hw_scan s;
    int pip = hw_mark_of(1, 1);
    h.picks.pick[pip][HW_DORSAL].at.x += 40;
    h.picks.pick[pip][HW_DORSAL].at.y += 40;
    h.picks.pick[pip][HW_DORSAL].at.z += 40;
    hw_float_mesh m = made_mesh(&h);
    hw_near near;
    CHECK(hw_near_make(arena, arena, &m, NULL, &near) == HW_OK);
    double off = hw_near_point(&near, h.picks.pick[pip][HW_DORSAL].at, (double)INFINITY).distance;
    CHECK(off > 12);
    CHECK(measure(&h, &s) == HW_BAD_INPUT && said("index.pip is picked off the surface"));
    for (size_t i = 0; i < diags.count; i++)
        if (strstr(item[i].text, "off the surface"))
            CHECK(item[i].line == h.picks.pick[pip][0].line &&
                  fabs(atof(item[i].found) - off) < 0.1);
    h = hand;
    h.picks.pick[hw_mark_of(4, 0)][0].line = h.picks.pick[hw_mark_of(4, 0)][1].line = 0;
    h.picks.pick[HW_MARK_WRIST][0].line = h.picks.pick[HW_MARK_WRIST][1].line = 0;
    CHECK(measure(&h, &s) == HW_BAD_INPUT && said("wrist is not picked"));
    CHECK(said("little.mcp is not picked") && diags.count == 2);
    h = hand;
    h.picks.pick[pip][HW_PALMAR].at = h.picks.pick[pip][HW_DORSAL].at;
    CHECK(measure(&h, &s) == HW_BAD_INPUT && said("no two faces of a joint"));
    h = hand; // a digit with its tip alone
    for (int k = 0; k < 3; k++)
        h.picks.pick[hw_mark_of(0, k)][0].line = h.picks.pick[hw_mark_of(0, k)][1].line = 0;
    CHECK(measure(&h, &s) == HW_BAD_INPUT && said("thumb.tip"));
}

static void less_to_go_by(void)
{
    made_hand h = hand;
    hw_scan s;
    // no thumb, no middle tip, no ring PIP
    for (int k = 0; k < 4; k++)
        h.picks.pick[hw_mark_of(0, k)][0].line = h.picks.pick[hw_mark_of(0, k)][1].line = 0;
    h.picks.pick[hw_mark_of(2, 3)][0].line = 0;
    h.picks.pick[hw_mark_of(3, 1)][0].line = h.picks.pick[hw_mark_of(3, 1)][1].line = 0;
    CHECK(measure(&h, &s) == HW_OK);
    CHECK(!s.length_whole && usual.length_whole);
    CHECK(fabs(s.length.value - usual.length.value) < s.length.off);
    CHECK(s.length.off > 2 * usual.length.off);
    CHECK(s.digit[0].axis == HW_AXIS_UNKNOWN && isnan(s.digit[0].knuckle.at.x));
    CHECK(isnan(s.digit[0].segment[1].value) && isnan(s.digit[0].segment[1].off));
    CHECK(isnan(s.digit[2].segment[2].value) && isfinite(s.digit[2].segment[1].value));
    CHECK(isnan(s.digit[3].segment[0].value) && isnan(s.digit[3].segment[1].value));
    CHECK(isfinite(s.digit[3].segment[2].value) && !s.mark[hw_mark_of(3, 1)].known);
    // what is still there is as it was
    CLOSE(s.digit[1].segment[0].value, usual.digit[1].segment[0].value, 2e-3);
}

static void an_accuracy_that_is_said(void)
{
    made_hand h = hand;
    hw_scan s;
    h.picks.accuracy = 8e-3;
    CHECK(measure(&h, &s) == HW_OK);
    CHECK(s.length.off > 1.5 * usual.length.off);
    for (int d = 0; d < HW_HAND_DIGITS; d++)
        for (int i = 0; i < HW_SEGMENTS; i++)
            CHECK(s.digit[d].segment[i].off > 1.2 * usual.digit[d].segment[i].off);
    // the little finger's PIP is straight; where both joints are bent middle lines hold them
    const hw_with *straight = &s.digit[4].segment[1], *bent = &s.digit[2].segment[1];
    CHECK(fabs(s.digit[4].bend[1].value) < 0.2 && s.digit[2].bend[2].value > 0.8);
    CHECK(straight->off > 2.5 * usual.digit[4].segment[1].off && bent->off < 0.6 * straight->off);
}

// ---- poses ------------------------------------------------------------------------------------

static void straight_digits_hide_their_axes(void)
{
    static made_hand h;
    static hw_scan s;
    made_def def = made_def_usual(185);
    def.cell = 3;
    def.bend = 3 * DEG;
    def.pick = 0.5;
    made_hand_new(&h, &def, 5);
    h.picks.accuracy = 0.5e-3;
    CHECK(measure(&h, &s) == HW_OK);
    CHECK(s.digit[0].axis == HW_AXIS_UNKNOWN && isnan(s.digit[0].knuckle.y.x));
    CHECK(isfinite(s.digit[0].knuckle.x.x));
    for (int d = 1; d < HW_HAND_DIGITS; d++) {
        const hw_scan_digit *g = &s.digit[d];
        CHECK(g->axis == HW_AXIS_ASSUMED && isnan(g->axis_off));
        NEAR(g->knuckle.y.z, 0, 1e-12); // in the palm's plane
        NEAR(g->pointing.value, 0.16 - 0.14 * (d - 1), 0.15);
        CHECK(g->knuckle.x.x > 0.9 && g->knuckle.z.z > 0.9);
    }
    made_hand_free(&h);
    for (int d = 1; d < HW_HAND_DIGITS; d++) {
        const hw_frame *f = &usual.digit[d].knuckle;
        if (usual.digit[d].axis == HW_AXIS_BENT) CHECK(usual.digit[d].axis_rms < 3e-3);
        NEAR(f->x.x * f->y.x + f->x.y * f->y.y + f->x.z * f->y.z, 0, 1e-12);
        NEAR(f->y.x * f->y.x + f->y.y * f->y.y + f->y.z * f->y.z, 1, 1e-12);
        NEAR(f->x.x * f->y.y - f->x.y * f->y.x, f->z.z, 1e-12);
    }
}

// A clean scan of a fist: the crease's flesh does not draw the joint's centre toward the palm.
static void creases_are_allowed_for(void)
{
    static made_hand h;
    static hw_scan s;
    double sum = 0;
    int n = 0;
    for (uint64_t seed = 20; seed < 24; seed++) {
        made_def def = made_def_usual(187);
        def.bend = 1.4;
        def.pick = 0.3;
        def.noise = 0.02;
        def.flesh = 0;
        def.missing = 0;
        made_hand_new(&h, &def, seed);
        CHECK(measure(&h, &s) == HW_OK);
        for (int d = 1; d < HW_HAND_DIGITS; d++) {
            int m = hw_mark_of(d, 1);
            hw_vec3 e = hw_frame_point(&s.hand, s.mark[m].at);
            e = (hw_vec3){e.x - 1e-3 * h.joint[m][0], e.y - 1e-3 * h.joint[m][1],
                          e.z - 1e-3 * h.joint[m][2]};
            e = (hw_vec3){hw_vec3_dot(e, s.hand.x), hw_vec3_dot(e, s.hand.y),
                          hw_vec3_dot(e, s.hand.z)};
            if (h.bend[d][1] < 0.8) continue;
            sum += hw_vec3_dot(e, s.mark[m].deep);
            n++;
        }
        made_hand_free(&h);
    }
    CHECK(n >= 4);
    NEAR(sum / n, 0, 0.5e-3);
}

static void dorsal_picks_alone(void)
{
    static made_hand h;
    static hw_scan s;
    double off[400];
    int n = 0, held = 0, asked = 0;
    for (uint64_t seed = 0; seed < 4; seed++) {
        made_def def = made_def_usual(170 + 8 * (double)seed);
        def.single = true;
        def.cell = 3;
        made_hand_new(&h, &def, seed);
        CHECK(measure(&h, &s) == HW_OK);
        for (int m = 1; m < HW_MARKS; m++) {
            const hw_mark *k = &s.mark[m];
            if ((m - 1) % 4 == 3) continue;
            hw_vec3 p = hw_frame_point(&s.hand, k->at);
            hw_vec3 e = {p.x - 1e-3 * h.joint[m][0], p.y - 1e-3 * h.joint[m][1],
                         p.z - 1e-3 * h.joint[m][2]};
            e = (hw_vec3){hw_vec3_dot(e, s.hand.x), hw_vec3_dot(e, s.hand.y),
                          hw_vec3_dot(e, s.hand.z)};
            const double in[3] = {hw_vec3_dot(e, k->along), hw_vec3_dot(e, k->across),
                                  hw_vec3_dot(e, k->deep)};
            for (int c = 0; c < 3; c++) {
                held += fabs(in[c]) <= 1.96 * k->sd[c];
                asked++;
            }
            off[n++] = hw_vec3_norm(e);
        }
        made_hand_free(&h);
    }
    double sum = 0;
    for (int k = 0; k < n; k++) sum += off[k] * off[k];
    CHECK(held >= 0.88 * asked);
    CHECK(sqrt(sum / n) < 2.6e-3); // root of three coordinates of 1.2 to 1.7 mm
}

// ---- machines ---------------------------------------------------------------------------------

static bool stop(void *self, double fraction, const char *stage)
{
    (void)stage;
    int *left = self;
    CHECK(fraction >= 0 && fraction <= 1);
    return (*left)-- > 0;
}

static void it_stops_and_fails_cleanly(void)
{
    hw_scan_def def = hw_scan_def_default();
    hw_float_mesh m = made_mesh(&hand);
    hw_scan s;
    int calls = 1000;
    hw_job job = {stop, &calls};
    CHECK(hw_scan_measure(arena, &m, &hand.picks, &def, "m", "p", &job, NULL, &s) == HW_OK);
    int all = 1000 - calls;
    for (int k = 0; k < all; k++) {
        int left = k;
        job.self = &left;
        CHECK(hw_scan_measure(arena, &m, &hand.picks, &def, "m", "p", &job, NULL, &s) ==
              HW_CANCELLED);
    }
    for (size_t k = 0;; k++) {
        hw_arena *a = hw_arena_new(0);
        hw_arena_fail_after(a, k);
        hw_code code = hw_scan_measure(a, &m, &hand.picks, &def, "m", "p", NULL, NULL, &s);
        hw_arena_free(a);
        if (code == HW_OK) break;
        if (!CHECK(code == HW_NO_MEMORY && k < 40)) break;
    }
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    arena = hw_arena_new(0);
    made_def def = made_def_usual(187);
    def.cell = 3.2;
    made_hand_new(&hand, &def, 1);
    if (measure(&hand, &usual) != HW_OK) printf("the usual hand is not measured\n");
    RUN(units_by_size);
    RUN(units_are_found_or_believed);
    RUN(it_scales);
    RUN(a_left_hand_is_the_mirror);
    RUN(a_surface_that_is_none);
    RUN(faults_of_picks);
    RUN(less_to_go_by);
    RUN(an_accuracy_that_is_said);
    RUN(straight_digits_hide_their_axes);
    RUN(creases_are_allowed_for);
    RUN(dorsal_picks_alone);
    RUN(it_stops_and_fails_cleanly);
    made_hand_free(&hand);
    hw_arena_free(arena);
    return TEST_END();
}
