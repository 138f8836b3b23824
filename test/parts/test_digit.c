// Digits of the examples as parts: sound meshes, on the bed, pivots as drawn.
//   test_parts_digit        two examples
//   test_parts_digit all    every digit in every variant
#include "group.h"

static bool all;

// ---- meshes as written ------------------------------------------------------------------------

static double area_of(const hw_mesh *m, size_t t, hw_vec3 *normal) // [m^2]
{
    hw_vec3 a = m->vert[m->tri[3 * t]], b = m->vert[m->tri[3 * t + 1]],
            c = m->vert[m->tri[3 * t + 2]];
    double u[3] = {b.x - a.x, b.y - a.y, b.z - a.z}, v[3] = {c.x - a.x, c.y - a.y, c.z - a.z};
    hw_vec3 n = {u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]};
    double length = sqrt(n.x * n.x + n.y * n.y + n.z * n.z);
    *normal = (hw_vec3){n.x / length, n.y / length, n.z / length};
    return length / 2;
}

static bool declared(const hw_part *p, const hw_mesh *m, size_t t)
{
    hw_vec3 q = {0, 0, 0};
    for (size_t i = 0; i < 3; i++) {
        hw_vec3 c = m->vert[m->tri[3 * t + i]];
        q = (hw_vec3){q.x + c.x / 3, q.y + c.y / 3, q.z + c.z / 3};
    }
    for (size_t i = 0; i < p->allows; i++) {
        const hw_allowance *a = &p->allow[i];
        if (a->low.x <= q.x && q.x <= a->high.x && a->low.y <= q.y && q.y <= a->high.y &&
            a->low.z <= q.z && q.z <= a->high.z)
            return true;
    }
    return false;
}

// Stands on the bed with its lowest face flat on it, is one piece, and at most 2 % of its area
// hang by more than 45 degrees (and 1 for facets) without being declared.
static void stands(const hw_part *p, const hw_mesh *m)
{
    double low = INFINITY, bed = 0, hang = 0, area = 0;
    for (size_t v = 0; v < m->verts; v++) low = fmin(low, m->vert[v].z);
    for (size_t t = 0; t < m->tris; t++) {
        hw_vec3 n;
        double one = area_of(m, t, &n), high = -INFINITY;
        for (size_t i = 0; i < 3; i++) high = fmax(high, m->vert[m->tri[3 * t + i]].z);
        area += one;
        if (high == 0)
            bed += one;
        else if (n.z < -sin(46 * HW_PI / 180) && !declared(p, m, t))
            hang += one;
    }
    bool ok = CHECK(low == 0) && CHECK(bed > 4e-6) && CHECK(hang <= 0.02 * area);
    if (!ok || all)
        printf("    %s: %.2f mm2 on the bed, %.2f mm2 hang (%.2f %%)\n", p->name, bed * 1e6,
               hang * 1e6, 100 * hang / area);
}

static uint32_t root_of(uint32_t *parent, uint32_t v)
{
    while (parent[v] != v) v = parent[v] = parent[parent[v]];
    return v;
}

static size_t pieces_of(hw_arena *work, const hw_mesh *m)
{
    size_t mark = hw_arena_mark(work), pieces = 0;
    uint32_t *parent = HW_NEW(work, uint32_t, m->verts);
    for (uint32_t v = 0; v < m->verts; v++) parent[v] = v;
    for (size_t t = 0; t < 3 * m->tris; t++)
        parent[root_of(parent, m->tri[t])] = root_of(parent, m->tri[t - t % 3]);
    for (uint32_t v = 0; v < m->verts; v++) pieces += root_of(parent, v) == v;
    hw_arena_rewind(work, mark);
    return pieces;
}

static void judge(group *g, const char *variant, bool printable)
{
    for (size_t i = 0; i < g->set.parts; i++) {
        hw_mesh_report report;
        CHECK(hw_mesh_check(g->work, &g->file[i], NULL, &report) == HW_OK);
        if (!CHECK(hw_mesh_sound(&report)))
            printf("    %s %s: %zu crossing\n", variant, g->set.part[i].name, report.crossing);
        if (!CHECK(pieces_of(g->work, &g->mesh[i]) == 1))
            printf("    %s %s\n", variant, g->set.part[i].name);
        if (printable) stands(&g->set.part[i], &g->mesh[i]);
        for (size_t j = 0; j < i; j++) CHECK(strcmp(g->set.part[i].name, g->set.part[j].name) != 0);
    }
}

// Every digit of a document in a variant.
static void sound_digits(const char *name, const char *variant, bool printable)
{
    for (int digit = 0; digit < 5; digit++) {
        group g = group_new();
        hw_design *d = example(g.keep, name, variant);
        if (d && hand_of(d)->present[digit] && group_make(&g, d, digit, all ? 5e-6 : 2e-5))
            judge(&g, variant, printable);
        group_free(&g);
    }
}

static void heron_is_sound(void)
{
    sound_digits("heron", "", true);
    if (!all) return;
    sound_digits("heron", "small", true);
    sound_digits("heron", "plain printer", true);
    sound_digits("heron", "fine printer", true);
}
static void wren_is_sound(void)
{
    sound_digits("wren", "", true);
    if (!all) return;
    sound_digits("wren", "tiny", true);
    sound_digits("wren", "weak cord", true);
}
// Its layers overlap, as its document means it: sound meshes are all that is asked.
static void dodo_is_sound(void)
{
    sound_digits("dodo", "", false);
}

// ---- one digit looked into ----------------------------------------------------------------------

static bool make(group *g, const char *name, int digit, const char *changes)
{
    *g = group_new();
    hw_text bytes = example_bytes(g->keep, name);
    hw_buffer text = {.arena = g->keep};
    // a variant of our own behind the document's
    const char *at = strstr(bytes.at, "\nvariants:");
    size_t head = at ? (size_t)(at - bytes.at) : bytes.len;
    hw_buffer_format(&text, "%.*s\nvariants:\n  mine:\n    digits:\n      %s\n", (int)head,
                     bytes.at, changes);
    hw_diag item[8];
    hw_diags diags = {.item = item, .capacity = 8};
    hw_read_def def = {.file = name, .variant = hw_text_of("mine")};
    hw_design *d = NULL;
    CHECK(text.at &&
          hw_design_read(g->keep, (hw_text){text.at, text.len}, &def, &d, &diags) == HW_OK);
    for (size_t i = 0; i < diags.count; i++)
        printf("%d: %s '%s'\n", item[i].line, item[i].text, item[i].found);
    if (d && group_make(g, d, digit, 5e-6)) return true;
    group_free(g);
    return false;
}

// How far a height and a radius are off a pin's flank moved out by a gap, square to it: a cylinder
// up to the land, a cone beyond; near straight down a pin is a cone of 45 degrees from its foot,
// and over its upper quarter a bore has a roof: there r is what the round part's would be. [m]
static double off_flank(const group *g, double height, double r, double gap, bool lower) // [m]
{
    const hw_cone_shape *c = &g->layers.cone;
    if (lower) return (r - g->layers.fork[1].base + height) / sqrt(2);
    double cone =
        (r - g->layers.fork[1].base + (height - g->layers.fork[1].land) * tan(c->half_angle)) *
        cos(c->half_angle);
    return fmax(cone, r - g->layers.fork[1].base) - gap;
}

// The middle phalanx's own joint: pins on the proximal's tangs, bores in the middle's cheeks. Every
// corner and every triangle's middle near the axis lies on the drawn surfaces within 0.02 mm.
static void cones_are_true(void)
{
    group g;
    if (!make(&g, "heron", 1, "index: {present: yes}")) return;
    const hw_fork_place *k = &g.layers.fork[1];
    hw_vec2 axis = {g.digit.phalanx[0], 0};
    hw_vec2 at = {g.set.bed.knuckle.x + hw_flex(axis, g.set.bed.c, g.set.bed.s).x,
                  g.set.bed.knuckle.z + g.set.bed.up * hw_flex(axis, g.set.bed.c, g.set.bed.s).z};
    size_t seen[2] = {0, 0};
    for (int owner = 1; owner <= 2; owner++) {
        size_t i = 0;
        part_of(&g, owner, &i);
        const hw_mesh *m = &g.mesh[i];
        for (size_t t = 0; t < m->tris; t++) {
            hw_vec3 n, q = {0, 0, 0};
            double area = area_of(m, t, &n);
            for (size_t e = 0; e < 3; e++) {
                hw_vec3 c = m->vert[m->tri[3 * t + e]];
                q = (hw_vec3){q.x + c.x / 3, q.y + c.y / 3, q.z + c.z / 3};
            }
            double y = q.y * g.set.bed.up, r = hypot(q.x - at.x, q.z - at.z);
            int side = y < 0 ? 0 : 1;
            double face = k->tang_y[side] + (side ? 0.5 : -0.5) * k->tang_thickness[side];
            double height = (side ? 1 : -1) * (y - face), gap = g.def.gap;
            double mouth = owner == 1 ? 0 : g.layers.gap;
            double down = acos((at.z - q.z) / r),
                   sideways = (n.x * (q.z - at.z) - n.z * (q.x - at.x)) / r;
            // the step between the lower side and the rest is a wall of its own
            bool flat = fabs(n.y) > 0.999, step = owner == 1 && fabs(sideways) > 0.5;
            bool lower = owner == 1 && down < 43.05 * HW_PI / 180;
            bool sliver = owner == 1 && fabs(down * 180 / HW_PI - 43.05) < 0.1;
            if (owner == 2 && down > 0.75 * HW_PI) {
                double half = hw_bore_ceiling(k->base + gap, g.layers.line);
                r = (q.z - at.z + fmax(half, fabs(q.x - at.x))) / sqrt(2);
            }
            bool near = height > mouth + 1e-9 && height < g.layers.cone.engagement + 0.9 * gap &&
                        r < k->base + 2 * gap;
            // a long pin's lower side ends before it comes to a point
            double tip = k->base - (g.layers.cone.engagement - k->land);
            bool blunt = lower && r < 0.26 * tip;
            if (!near || flat || step || sliver || blunt || area < 1e-12) continue;
            double off = off_flank(&g, height, r, owner == 1 ? 0 : gap, lower);
            seen[owner - 1]++;
            if (!CHECK(fabs(off) <= 0.02e-3))
                printf("    %s: %.4f mm at height %.3f, radius %.3f\n", owner == 1 ? "pin" : "bore",
                       off * 1e3, height * 1e3, r * 1e3);
        }
    }
    CHECK(seen[0] > 100 && seen[1] > 100);
    group_free(&g);
}

// The bed under a carrier: what lies on it in the carrier's own frame has the bed's height, on
// either face.
static void carriers_know_their_bed(void)
{
    group g;
    if (!make(&g, "heron", 0, "thumb: {present: yes}")) return;
    for (int face = 0; face < 2; face++) {
        g.def.face = face ? HW_BED_DORSAL : HW_BED_PALMAR;
        CHECK(hw_parts_digit(g.keep, g.work, &g.def, &g.digit, &g.layers, &g.stack, NULL, &g.set) ==
              HW_OK);
        double level[2];
        for (int i = 0; i < 2; i++) {
            double x = -0.01 * i; // m
            level[i] = hw_parts_bed(&g.def, &g.digit, x);
            NEAR(hw_bed_point(&g.set.bed, 0, (hw_vec2){x, level[i]}).z, 0, 1e-12);
        }
        CHECK(face ? level[1] > 0 : level[1] < 0);
        CHECK(fabs(level[1] - level[0]) > 1e-4); // it is not level there
    }
    group_free(&g);
}

// As printed nothing has moved; at a pose the joints' axes are where the digit says.
static void places_follow_the_digit(void)
{
    group g;
    if (!make(&g, "heron", 1, "index: {present: yes}")) return;
    for (int face = 0; face < 2; face++) {
        g.def.face = face ? HW_BED_DORSAL : HW_BED_PALMAR;
        CHECK(hw_parts_digit(g.keep, g.work, &g.def, &g.digit, &g.layers, &g.stack, NULL, &g.set) ==
              HW_OK);
        const hw_bed *bed = &g.set.bed;
        hw_digit_pose pose;
        hw_place at[HW_STACK_PARTS];
        CHECK(hw_digit_family_of(g.digit.family)->pose(&g.digit, 0, &pose) == HW_OK);
        hw_parts_place(bed, &pose, at);
        for (int b = 0; b < HW_STACK_PARTS; b++) {
            NEAR(at[b].at.x, 0, 1e-12); // m: rounding of 0.1 m
            NEAR(at[b].at.z, 0, 1e-12);
            NEAR(at[b].s, 0, 1e-12);
        }
        hw_vec2 pip = hw_flex(pose.at[1], bed->c, bed->s);
        hw_vec2 was = {bed->knuckle.x + pip.x, bed->knuckle.z + bed->up * pip.z};
        CHECK(hw_digit_family_of(g.digit.family)->pose(&g.digit, 1, &pose) == HW_OK);
        hw_parts_place(bed, &pose, at);
        hw_vec2 now = hw_flex(pose.at[1], bed->c, bed->s);
        hw_vec2 want = {bed->knuckle.x + now.x, bed->knuckle.z + bed->up * now.z};
        for (int b = 1; b <= 2; b++) { // the joint belongs to both
            hw_vec2 got = hw_add(at[b].at, hw_flex(was, at[b].c, at[b].s));
            NEAR(got.x, want.x, 1e-12);
            NEAR(got.z, want.z, 1e-12);
        }
        // the fist closes away from the dorsal face, toward the palmar one
        CHECK((want.z > was.z) == (face == 1));
    }
    group_free(&g);
}

// ---- channels, ties -----------------------------------------------------------------------------

// A cord lies at its arm beside every joint, a cord's thickness free all round, and below and above
// it there is material where the body is.
static void a_cord_goes_through(void)
{
    group g;
    if (!make(&g, "wren", 1, "index: {present: yes}")) return;
    for (int body = 0; body <= HW_JOINTS; body++) {
        size_t i = 0;
        const hw_part *p = part_of(&g, body, &i);
        if (!CHECK(p != NULL)) continue;
        hw_section s = middle_of(&g, i, 0), beside = middle_of(&g, i, 2e-3);
        size_t free = 0, held = 0;
        for (int j = 0; j < HW_JOINTS; j++) {
            double joint = 0;
            for (int n = 0; n < j; n++) joint += g.digit.phalanx[n];
            if (body != j && body != j + 1) continue;
            // level past the later body's wall, and the carrier's channel all along
            double from = body == 0 ? -g.layers.fork[0].setback - 2e-3 : -1e-3;
            double to = g.layers.fork[j].depth[0] + 0.7e-3;
            if (body == j) to = g.layers.fork[j].tang_radius;
            for (double x = from; x <= to; x += 0.1e-3)
                for (int e = -1; e <= 1; e++) {
                    hw_vec2 q = {joint + x, -g.digit.cord.arm[j] + e * g.def.cord / 2};
                    q = hw_flex(q, g.set.bed.c, g.set.bed.s);
                    q = (hw_vec2){g.set.bed.knuckle.x + q.x,
                                  g.set.bed.knuckle.z + g.set.bed.up * q.z};
                    CHECK(!inside(&s, q));
                    free++;
                    held += inside(&beside, q);
                }
        }
        CHECK(free > 50);
        CHECK(held > 5); // the same places 2 mm beside the channel are material
    }
    group_free(&g);
}

static void ties_where_there_is_room(void)
{
    group g;
    if (!make(
            &g, "heron", 0,
            "thumb: {pivot: {kind: tie, reach: 4 mm, thickness: 1.6 mm}, fork: {disc: {metacarpal: "
            "6.4 mm, proximal: 6.4 mm, distal: 6.4 mm}}}"))
        return;
    judge(&g, "tie", true);
    for (int j = 0; j < HW_JOINTS; j++) {
        CHECK(g.set.kept[j]);
        double joint = 0;
        for (int n = 0; n < j; n++) joint += g.digit.phalanx[n];
        hw_vec2 q = hw_flex((hw_vec2){joint + g.def.keeper_reach, 0}, g.set.bed.c, g.set.bed.s);
        q = (hw_vec2){g.set.bed.knuckle.x + q.x, g.set.bed.knuckle.z + g.set.bed.up * q.z};
        size_t earlier = 0, later = 0;
        part_of(&g, j, &earlier);
        part_of(&g, j + 1, &later);
        hw_section tang = middle_of(&g, earlier, 0), tie = middle_of(&g, later, 0);
        CHECK(inside(&tie, q) && !inside(&tang, q));
    }
    group_free(&g);
    if (!make(&g, "heron", 1, "index: {pivot: {kind: tie, reach: 3 mm, thickness: 1.6 mm}}"))
        return;
    for (int j = 0; j < HW_JOINTS; j++) CHECK(!g.set.kept[j]); // bars are in the way
    group_free(&g);
    if (!make(&g, "heron", 0, "thumb: {pivot: {kind: lip}}")) return;
    for (int j = 0; j < HW_JOINTS; j++) CHECK(!g.set.kept[j]);
    group_free(&g);
    if (!make(&g, "heron", 0, "thumb: {pivot: {kind: strip}}")) return;
    judge(&g, "strip", true);
    for (int j = 0; j < HW_JOINTS; j++) CHECK(g.set.kept[j]);
    group_free(&g);
}

// A strip's recess takes its length, width and depth off the distal phalanx: it lies in the palmar
// face, neither buried nor beside it.
static void a_pad_lies_in_the_face(void)
{
    double volume[2] = {0, 0}, want = 0;
    for (int i = 0; i < 2; i++) {
        group g;
        if (!make(&g, "heron", 2,
                  i ? "middle: {pad: {recess: 1 mm, margin: 2 mm}}"
                    : "middle: {pad: {recess: 0 mm}}"))
            return;
        judge(&g, "pad", true);
        volume[i] = hw_mesh_mass(&g.mesh[3], 1).volume;
        hw_disc end[2];
        hw_phalanx_discs(&g.digit, 2, end);
        double slope = (end[0].radius - end[1].radius) / end[1].at.x;
        double run = end[1].at.x * sqrt(1 - slope * slope);
        const hw_fork_place *k = &g.layers.fork[2];
        double from = fmax(k->depth[0], k->depth[1]) + 0.42e-3;
        want = (run - from - 4e-3) * (g.digit.width - 4e-3) * 1e-3;
        group_free(&g);
    }
    CLOSE(volume[0] - volume[1], want, 0.02); // less the chamfer of the face behind it
}

// ---- scale, entries
// -------------------------------------------------------------------------------

// Twice as large, the same meshes twice as large, to the bit: no length is built in.
static void scales(void)
{
    group g;
    if (!make(&g, "heron", 1, "index: {present: yes}")) return;
    group two = group_new();
    two.digit = g.digit;
    two.def = g.def;
    hw_digit *d = &two.digit;
    double *length[] = {&d->phalanx[0],
                        &d->phalanx[1],
                        &d->phalanx[2],
                        &d->thickness[0],
                        &d->thickness[1],
                        &d->thickness[2],
                        &d->width,
                        &d->tip_thickness,
                        &d->bar[0].root.x,
                        &d->bar[0].root.z,
                        &d->bar[0].horn,
                        &d->bar[0].width,
                        &d->bar[0].depth,
                        &d->bar[1].root.x,
                        &d->bar[1].root.z,
                        &d->bar[1].horn,
                        &d->bar[1].width,
                        &d->bar[1].depth,
                        &d->bar[0].depth_one,
                        &d->bar[1].depth_one,
                        &d->pivot_radius,
                        &two.def.gap,
                        &two.def.chamfer,
                        &two.def.deviation,
                        &two.def.land,
                        &two.def.cord,
                        &two.def.keeper_reach,
                        &two.def.keeper_thickness,
                        &two.def.keeper_width};
    for (size_t i = 0; i < sizeof length / sizeof *length; i++) *length[i] *= 2;
    double_fittings(&two.def.fittings);
    // the layers' definition is the document's; its numbers come back out of the layers
    const hw_layers *l = &g.layers;
    hw_layers_def f = hw_layers_def_default();
    f.order = HW_ORDER_BESIDE;
    for (int side = 0; side < 2; side++) {
        f.count[side] = l->bar[side].twins;
        f.cheek[side] = 2 * l->fork[0].cheek_thickness[side];
        f.tang[side] = 2 * l->fork[0].tang_thickness[side];
        f.foot_at[side] = 2 * l->bar[side].foot[0];
        f.foot_length[side] = 2 * (l->bar[side].foot[1] - l->bar[side].foot[0]);
    }
    f.block = 2 * l->block;
    f.gap = 2 * l->gap;
    f.line = 2 * l->line;
    f.web = 2 * l->web;
    for (int j = 0; j < HW_JOINTS; j++) {
        f.disc[j] = 2 * l->fork[j].tang_radius;
        f.base[j] = 2 * l->fork[j].base;
        f.land[j] = 2 * l->fork[j].land;
    }
    f.bar_base = 2 * l->bar[0].base;
    f.bar_land = 2 * l->bar[0].land;
    f.half_angle = l->cone.half_angle;
    f.engagement = 2 * l->cone.engagement;
    f.tip = 2 * l->cone.tip;
    CHECK(hw_layers_of(&f, &two.digit, &two.layers) == HW_OK);
    CHECK(hw_stack_of(&two.digit, &two.layers, &two.stack) == HW_OK);
    CHECK(hw_parts_digit(two.keep, two.work, &two.def, &two.digit, &two.layers, &two.stack, NULL,
                         &two.set) == HW_OK);
    if (CHECK(two.set.parts == g.set.parts) && group_mesh(&two))
        for (size_t i = 0; i < g.set.parts; i++) {
            hw_mass a = hw_mesh_mass(&g.mesh[i], 1000), b = hw_mesh_mass(&two.mesh[i], 1000);
            CLOSE(b.volume, 8 * a.volume, 1e-6); // layers' sums differ by rounding
            CHECK(two.mesh[i].tris == g.mesh[i].tris);
        }
    group_free(&two);
    group_free(&g);
}

static void entries_arrive(void)
{
    hw_arena *a = hw_arena_new(0);
    hw_diag item[8];
    hw_diags diags = {.item = item, .capacity = 8};
    hw_read_def def = {.file = "hand.yaml"};
    hw_design *d = NULL;
    CHECK(hw_design_read(a,
                         HW_TEXT("printer: {gap: 0.31 mm}\nparts: {chamfer: 0.7 mm}\n"
                                 "digits:\n  ring:\n    print: {face: palmar, flexion: 3 deg}\n"
                                 "    pivot: {kind: tie, land: 0.37 mm, reach: 4.1 mm, thickness: "
                                 "1.3 mm, width: 7 mm}\n    drive: {cord: {diameter: 0.9 mm}}\n"),
                         &def, &d, &diags) == HW_OK);
    hw_parts_def f;
    hw_hand_parts(d, HW_RING, &f);
    CHECK(f.digit == HW_RING && f.face == HW_BED_PALMAR && f.kind[2] == HW_PIVOT_TIE);
    CLOSE(f.flexion, 3 * HW_PI / 180, 1e-12);
    CLOSE(f.gap, 0.31e-3, 1e-12);
    CLOSE(f.chamfer, 0.7e-3, 1e-12);
    CLOSE(f.land, 0.37e-3, 1e-12);
    CLOSE(f.keeper_reach, 4.1e-3, 1e-12);
    CLOSE(f.keeper_thickness, 1.3e-3, 1e-12);
    CLOSE(f.keeper_width, 7e-3, 1e-12);
    CLOSE(f.cord, 0.9e-3, 1e-12);
    hw_hand_parts(d, HW_INDEX, &f);
    CHECK(f.face == HW_BED_DORSAL && f.kind[0] == HW_PIVOT_LAND && f.flexion == 0);
    hw_arena_free(a);
}

// ---- what is refused ----------------------------------------------------------------------------

static hw_code tried(group *g, const hw_parts_def *def)
{
    hw_part_set out;
    hw_code code =
        hw_parts_digit(g->keep, g->work, def, &g->digit, &g->layers, &g->stack, NULL, &out);
    CHECK(hw_arena_mark(g->work) == 0);
    CHECK((code == HW_OK) == (out.parts > 0));
    return code;
}

static void bad_numbers(void)
{
    group g;
    if (!make(&g, "heron", 1, "index: {present: yes}")) return;
    hw_parts_def def = g.def;
    CHECK(tried(&g, &def) == HW_OK);
#define REFUSED(change)                                                                            \
    def = g.def;                                                                                   \
    change;                                                                                        \
    CHECK(tried(&g, &def) == HW_BAD_INPUT)
    REFUSED(def.digit = 5);
    REFUSED(def.face = HW_BED_FACES);
    REFUSED(def.flexion = NAN);
    REFUSED(def.gap = 0);
    REFUSED(def.chamfer = -1e-3);
    REFUSED(def.deviation = 0);
    REFUSED(def.land = g.layers.cone.engagement);
    REFUSED(def.kind[1] = HW_PIVOT_KINDS);
    REFUSED(def.keeper_thickness = 0);
    REFUSED(def.cord = -1);
    size_t n = g.layers.n;
    g.layers.n = 0;
    CHECK(tried(&g, &g.def) == HW_BAD_INPUT);
    g.layers.n = n;
    n = g.stack.n;
    g.stack.n = 0;
    CHECK(tried(&g, &g.def) == HW_BAD_INPUT);
    g.stack.n = n;
    for (size_t after = 0; after < 4000; after = 2 * after + 1) {
        bool second = after % 4 == 1;
        hw_arena_fail_after(second ? g.keep : g.work, after);
        hw_code code = tried(&g, &g.def);
        hw_arena_fail_after(second ? g.keep : g.work, SIZE_MAX);
        CHECK(code == HW_NO_MEMORY || code == HW_OK);
        if (after == 0) CHECK(code == HW_NO_MEMORY);
        hw_arena_rewind(g.work, 0);
    }
    group_free(&g);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    all = argc > 1 && strcmp(argv[1], "all") == 0;
    RUN(heron_is_sound);
    RUN(wren_is_sound);
    RUN(dodo_is_sound);
    RUN(cones_are_true);
    RUN(carriers_know_their_bed);
    RUN(places_follow_the_digit);
    RUN(a_cord_goes_through);
    RUN(ties_where_there_is_room);
    RUN(a_pad_lies_in_the_face);
    RUN(scales);
    RUN(entries_arrive);
    RUN(bad_numbers);
    return TEST_END();
}
