// Undersides: what hangs, how far it spans and juts, what is permitted.
#include "check.h"

#include "shape.h"

// A leaning wall: its underside hangs by `angle` degrees from the vertical, 8 mm high, 5 mm deep.
static void lean(group *g, double angle)
{
    double out = 8 * tan(angle * HW_PI / 180);
    plate(&g->m, HW_BLOCK_ADD, 0, 5, polygon(&g->m, 4, (double[]){0, 0, 10, 0, 10 + out, 8, 0, 8}));
    add_part(g, "lean");
}

// A bevel at the foot, `run` wide and `rise` high: up to the next layer's middle what the bed does
// not hold of it is what leans out of the first layer's middle by half a line.
static void bevelled_feet(void)
{
    // the third and those after it end within the next layer's lower half, or above it [mm]
    static const double bevel[][2] = {{0.3, 0.13}, {0.15, 0.2}, {0.24, 0.24},
                                      {0.9, 0.19}, {0.9, 0.24}, {0.6, 0.32}};
    for (int i = 0; i < 6; i++) {
        const double run = bevel[i][0], rise = bevel[i][1];
        group g = group_new();
        plate(&g.m, HW_BLOCK_ADD, 0, 5,
              polygon(&g.m, 6, (double[]){run, 0, 10 - run, 0, 10, rise, 10, 4, 0, 4, 0, rise}));
        add_part(&g, "foot");
        CHECK(judge(&g) == HW_OK);
        CHECK(g.got.hangs == (i < 3 ? 0 : 2) && g.got.islands == 0);
        group_free(&g);
    }
}

// Of less area than a line's end nothing hangs, however long and steep it is.
static void slivers(void)
{
    for (int i = 0; i < 2; i++) {
        const double steep = i ? 0.1 : 0.012, out = 1.0; // [mm]
        group g = group_new();
        plate(&g.m, HW_BLOCK_ADD, 0, i ? 2 : 0.03,
              polygon(&g.m, 6,
                      (double[]){0, 0, 10, 0, 10, 4, 10 + out, 4 + steep, 10 + out, 8, 0, 8}));
        add_part(&g, "sliver");
        CHECK(judge(&g) == HW_OK && g.got.hangs == 1);
        CHECK((g.got.hang[0].hold == HW_HANG_PERMITTED) == (i == 0));
        group_free(&g);
    }
}

static void leaning_walls(void)
{
    const double angle[] = {0, 30, 44, 45.0, 45.9, 46.1, 50, 70};
    for (int i = 0; i < 8; i++) {
        group g = group_new();
        double a = angle[i] * HW_PI / 180;
        lean(&g, angle[i]);
        CHECK(judge(&g) == HW_OK);
        CHECK(g.got.hangs == (i >= 5 ? 1 : 0));
        CHECK(g.got.islands == 0);
        if (g.got.hangs == 1) {
            const hw_print_hang *h = g.got.hang;
            CHECK(h->hold == HW_HANG_OPEN);
            NEAR(h->steepest, a, 1e-4);
            CLOSE(h->area, 5e-3 * 8e-3 / cos(a), 1e-3); // the mesh's grid moves corners
            CLOSE(h->jut, 8e-3 * tan(a), 1e-3);
            CHECK(h->span == 0);
            CLOSE(g.got.of[0].open_area, h->area, 1e-12);
            CHECK(hw_print_value(&g.got, &g.def, HW_PRINT_OVERHANG) == h->area / g.got.of[0].area);
        } else
            CHECK(hw_print_value(&g.got, &g.def, HW_PRINT_OVERHANG) == 0);
        // a printer that does 60 degrees
        g.def.overhang = 60 * HW_PI / 180;
        CHECK(judge(&g) == HW_OK && g.got.hangs == (i == 7 ? 1 : 0));
        group_free(&g);
    }
}

// Two piers 4 mm wide and a plate across, `span` apart.
static void table(group *g, double span)
{
    box(&g->m, HW_BLOCK_ADD, (double[]){0, 0, 0}, (double[]){4, 5, 6});
    box(&g->m, HW_BLOCK_ADD, (double[]){4 + span, 0, 0}, (double[]){8 + span, 5, 6});
    box(&g->m, HW_BLOCK_ADD, (double[]){0, 0, 6}, (double[]){8 + span, 5, 8});
    add_part(g, "table");
}

static void bridges(void)
{
    const double span[] = {3, 10, 10.1, 30};
    for (int i = 0; i < 4; i++) {
        group g = group_new();
        table(&g, span[i]);
        CHECK(judge(&g) == HW_OK && g.got.hangs == 1 && g.got.islands == 0);
        CHECK(g.got.hang[0].hold == HW_HANG_OPEN); // not declared
        CLOSE(g.got.hang[0].span, span[i] * 1e-3, 1e-4);
        CHECK(g.got.hang[0].jut == 0);
        NEAR(g.got.hang[0].steepest, HW_PI / 2, 1e-6);
        CLOSE(g.got.hang[0].area, span[i] * 5e-6, 1e-4);
        allow(&g, HW_ALLOW_BRIDGE, (double[]){4, 0, 6}, (double[]){4 + span[i], 5, 6});
        CHECK(judge(&g) == HW_OK && g.got.hangs == 1);
        CHECK(g.got.hang[0].hold == (i < 2 ? HW_HANG_PERMITTED : HW_HANG_REFUSED));
        CHECK(g.got.hang[0].kind == HW_ALLOW_BRIDGE);
        CLOSE(hw_print_value(&g.got, &g.def, HW_PRINT_BRIDGE), span[i] * 1e-3, 1e-4);
        double share = g.got.hang[0].area / g.got.of[0].area;
        CHECK(hw_print_value(&g.got, &g.def, HW_PRINT_EXCEPTIONS) == (i < 2 ? share : 0));
        CHECK(hw_print_value(&g.got, &g.def, HW_PRINT_OVERHANG) == (i < 2 ? 0 : share));
        g.def.bridge = 40e-3;
        CHECK(judge(&g) == HW_OK && g.got.hang[0].hold == HW_HANG_PERMITTED);
        g.part[0].allow = NULL, g.part[0].allows = 0;
        allow(&g, HW_ALLOW_BRIDGE, (double[]){4, 0.5, 6}, (double[]){4 + span[i], 5, 6});
        CHECK(judge(&g) == HW_OK && g.got.hang[0].hold == HW_HANG_OPEN); // sticks out of the place
        allow(&g, HW_ALLOW_CROWN, (double[]){4, 0, 5}, (double[]){4 + span[i], 5, 7});
        CHECK(judge(&g) == HW_OK);
        CHECK(g.got.hang[0].hold == (i < 1 ? HW_HANG_PERMITTED : HW_HANG_REFUSED));
        CHECK(g.got.hang[0].kind == HW_ALLOW_CROWN);
        CLOSE(g.got.hang[0].opening, span[i] * 1e-3, 1e-4);
        group_free(&g);
    }
}

static hw_mesh turned_about_z(hw_arena *a, const hw_mesh *m, double angle)
{
    hw_mesh out = joined(a, *m, (hw_mesh){0});
    for (size_t i = 0; i < out.verts; i++) {
        hw_vec3 v = m->vert[i];
        out.vert[i].x = v.x * cos(angle) - v.y * sin(angle);
        out.vert[i].y = v.x * sin(angle) + v.y * cos(angle);
    }
    return out;
}

// The span is the same however the group is turned.
static void bridge_in_any_direction(void)
{
    for (int i = 0; i < 12; i++) {
        group g = group_new();
        table(&g, 7);
        hw_mesh m = turned_about_z(g.m.keep, g.part[0].mesh, 0.37 * i);
        g.part[0].mesh = &m;
        CHECK(judge(&g) == HW_OK && g.got.hangs == 1);
        CLOSE(g.got.hang[0].span, 7e-3, 1e-4);
        CHECK(g.got.hang[0].jut == 0);
        group_free(&g);
    }
}

static void held_on_one_side(void)
{
    const double out[] = {1.9, 2.1, 9};
    for (int i = 0; i < 3; i++) {
        group g = group_new();
        box(&g.m, HW_BLOCK_ADD, (double[]){0, 0, 0}, (double[]){4, 20, 6});
        box(&g.m, HW_BLOCK_ADD, (double[]){0, 0, 6}, (double[]){4 + out[i], 20, 8});
        add_part(&g, "ledge");
        allow(&g, HW_ALLOW_BRIDGE, (double[]){4, 0, 6}, (double[]){20, 20, 6});
        CHECK(judge(&g) == HW_OK && g.got.hangs == 1);
        CHECK(g.got.hang[0].hold == HW_HANG_REFUSED); // no bridge, however short
        CHECK(g.got.hang[0].span == 0);
        CLOSE(g.got.hang[0].jut, out[i] * 1e-3, 1e-3);
        allow(&g, HW_ALLOW_CUTOUT, (double[]){4, 0, 6}, (double[]){20, 20, 6});
        CHECK(judge(&g) == HW_OK);
        CHECK(g.got.hang[0].hold == (i == 0 ? HW_HANG_PERMITTED : HW_HANG_REFUSED));
        CHECK(g.got.hang[0].kind == (i == 0 ? HW_ALLOW_CUTOUT : HW_ALLOW_BRIDGE));
        group_free(&g);
    }
}

// A ceiling that is held all round spans its narrower width.
static void pocket(void)
{
    group g = group_new();
    box(&g.m, HW_BLOCK_ADD, (double[]){0, 0, 0}, (double[]){30, 12, 8});
    box(&g.m, HW_BLOCK_CUT, (double[]){5, 3, -1}, (double[]){25, 9, 6});
    add_part(&g, "pocket");
    CHECK(judge(&g) == HW_OK && g.got.hangs == 1);
    CLOSE(g.got.hang[0].span, 6e-3, 1e-4);
    CHECK(g.got.hang[0].jut == 0);
    // open at one end it does still, and so does a post in its middle
    box(&g.m, HW_BLOCK_ADD, (double[]){0, 0, 0}, (double[]){30, 12, 8});
    box(&g.m, HW_BLOCK_CUT, (double[]){5, 3, -1}, (double[]){31, 9, 6});
    box(&g.m, HW_BLOCK_ADD, (double[]){12, 5, 0}, (double[]){14, 7, 6});
    g.n = 0;
    add_part(&g, "pocket with a post");
    CHECK(judge(&g) == HW_OK && g.got.hangs == 1);
    CLOSE(g.got.hang[0].span, 6e-3, 1e-4);
    CHECK(g.got.hang[0].jut == 0);
    group_free(&g);
}

// A plate with a lying hole; the hole's axis is y.
static void drilled(group *g, double diameter, size_t n)
{
    box(&g->m, HW_BLOCK_ADD, (double[]){0, 0, 0}, (double[]){20, 3, 16});
    plate(&g->m, HW_BLOCK_CUT, -1, 4, circle(&g->m, 10, 7.03, 0.5 * diameter, n));
    add_part(g, "drilled");
    allow(g, HW_ALLOW_CROWN, (double[]){5, 0, 4}, (double[]){15, 3, 12});
}

static void crowns(void)
{
    const double diameter[] = {2, 3.9, 4.1, 8};
    for (int i = 0; i < 4; i++) {
        const size_t n = 72; // facets every 5 degrees, 17 of them within 44 of straight down
        group g = group_new();
        drilled(&g, diameter[i], n);
        CHECK(judge(&g) == HW_OK && g.got.hangs == 1 && g.got.islands == 0);
        const hw_print_hang *h = g.got.hang;
        double side = diameter[i] * 1e-3 * sin(HW_PI / (double)n);
        CLOSE(h->area, 3e-3 * side * 18, 1e-3); // half a facet beside the middle: 2.5, 7.5 .. 42.5
        CLOSE(h->span, diameter[i] * 1e-3 * sin(45 * HW_PI / 180), 1e-3);
        CHECK(h->jut == 0);
        // planes of layers pass within 0.1 mm of the widest place
        CHECK(h->opening <= diameter[i] * 1e-3 * (1 + 1e-4));
        CHECK(i == 3 ? h->opening > 4.1e-3 : h->opening > diameter[i] * 0.99e-3);
        CHECK(h->hold == (i < 2 ? HW_HANG_PERMITTED : HW_HANG_REFUSED));
        CHECK(h->kind == HW_ALLOW_CROWN);
        // the same as a bridge: what counts is the span
        g.part[0].allow = NULL, g.part[0].allows = 0;
        allow(&g, HW_ALLOW_BRIDGE, (double[]){5, 0, 4}, (double[]){15, 3, 12});
        CHECK(judge(&g) == HW_OK && g.got.hang[0].hold == HW_HANG_PERMITTED);
        group_free(&g);
    }
}

// A socket's crown narrows inward; a round end that stands free is no crown.
static void cones(void)
{
    group g = group_new();
    box(&g.m, HW_BLOCK_ADD, (double[]){0, 0, 0}, (double[]){20, 3, 16});
    taper(&g.m, HW_BLOCK_CUT, 1.8, 3.001, circle(&g.m, 10, 7, 0.4, 64),
          circle(&g.m, 10, 7, 1.6, 64));
    add_part(&g, "socket");
    CHECK(judge(&g) == HW_OK);
    CHECK(g.got.hangs == 0); // 45 degrees all along the crown
    g.n = 0;
    box(&g.m, HW_BLOCK_ADD, (double[]){0, 0, 0}, (double[]){20, 3, 16});
    taper(&g.m, HW_BLOCK_CUT, 1.8, 3.001, circle(&g.m, 10, 7, 1.2, 64),
          circle(&g.m, 10, 7, 1.6, 64)); // slender: its crown hangs
    add_part(&g, "slender socket");
    allow(&g, HW_ALLOW_CROWN, (double[]){5, 0, 4}, (double[]){15, 4, 12});
    CHECK(judge(&g) == HW_OK && g.got.hangs == 1);
    CHECK(g.got.hang[0].hold == HW_HANG_PERMITTED);
    CHECK(g.got.hang[0].opening > 3e-3 && g.got.hang[0].opening < 3.21e-3);
    g.n = 0;
    plate(&g.m, HW_BLOCK_ADD, 0, 5, circle(&g.m, 0, 3, 3, 64)); // a lying rod of 6 mm
    add_part(&g, "rod");
    allow(&g, HW_ALLOW_CROWN, (double[]){-5, 0, 0}, (double[]){5, 5, 6});
    CHECK(judge(&g) == HW_OK && g.got.hangs >= 1 && g.got.islands == 0);
    for (size_t i = 0; i < g.got.hangs; i++) CHECK(g.got.hang[i].hold == HW_HANG_REFUSED);
    group_free(&g);
}

// What lies lower than the first plane is pressed onto the bed.
static void at_the_bed(void)
{
    group g = group_new();
    plate(&g.m, HW_BLOCK_ADD, 0, 5,
          polygon(&g.m, 5, (double[]){0, 0, 5, 0, 15, 0.09, 15, 4, 0, 4}));
    add_part(&g, "sole");
    CHECK(judge(&g) == HW_OK && g.got.hangs == 0);
    g.def.layer = 0.1e-3;
    CHECK(judge(&g) == HW_OK && g.got.hangs == 1); // there it is not
    CLOSE(g.got.hang[0].jut, 10e-3, 1e-3);
    CHECK(g.got.hang[0].span == 0);
    g.n = 0;
    plate(&g.m, HW_BLOCK_ADD, 0, 5,
          polygon(&g.m, 6, (double[]){0.4, 0, 9.6, 0, 10, 0.4, 10, 4, 0, 4, 0, 0.4}));
    add_part(&g, "chamfered");
    CHECK(judge(&g) == HW_OK && g.got.hangs == 0);
    group_free(&g);
}

// What juts out by a line and a half, or spans three, needs no word; it counts among the
// exceptions.
static void ledges(void)
{
    for (int i = 0; i < 4; i++) {
        double wide = i == 0 ? 0.62 : i == 1 ? 0.64 : i == 2 ? 1.25 : 1.27;
        group g = group_new();
        box(&g.m, HW_BLOCK_ADD, (double[]){0, 0, 0}, (double[]){4, 20, 6});
        if (i < 2)
            box(&g.m, HW_BLOCK_ADD, (double[]){0, 0, 6}, (double[]){4 + wide, 20, 8});
        else
            box(&g.m, HW_BLOCK_CUT, (double[]){2, -1, 2}, (double[]){2 + wide, 21, 5});
        add_part(&g, "small");
        CHECK(judge(&g) == HW_OK && g.got.hangs == 1);
        CHECK(g.got.hang[0].hold == (i % 2 ? HW_HANG_OPEN : HW_HANG_PERMITTED));
        CHECK(i % 2 || g.got.hang[0].kind == HW_ALLOW_LEDGE);
        double share = g.got.hang[0].area / g.got.of[0].area;
        CHECK(hw_print_value(&g.got, &g.def, HW_PRINT_OVERHANG) == (i % 2 ? share : 0));
        CHECK(hw_print_value(&g.got, &g.def, HW_PRINT_EXCEPTIONS) == (i % 2 ? 0 : share));
        group_free(&g);
    }
    // a stroke's upper edge, declared: no longer than a bridge may be, nor farther out than a ledge
    for (int i = 0; i < 2; i++) {
        double deep = i == 0 ? 0.62 : 0.7, end = i == 0 ? 12.5 : 13.5;
        group g = group_new();
        box(&g.m, HW_BLOCK_ADD, (double[]){0, 0, 0}, (double[]){16, 6, 6});
        box(&g.m, HW_BLOCK_CUT, (double[]){3, -1, 2}, (double[]){end, deep, 3});
        add_part(&g, "stroke");
        allow(&g, HW_ALLOW_LETTERS, (double[]){3, -1, 2}, (double[]){end, deep, 3});
        CHECK(judge(&g) == HW_OK && g.got.hangs == 1 && g.got.hang[0].kind == HW_ALLOW_LETTERS);
        CHECK(g.got.hang[0].hold == (i == 0 ? HW_HANG_PERMITTED : HW_HANG_REFUSED));
        group_free(&g);
    }
    // a thin band round a corner: measured square to its carrier, not along a line
    group g = group_new();
    add_mesh(&g, "brim",
             turned(g.m.keep, 0, 0, 4, (double[]){6, 6, 6.3, 6.3}, (double[]){0, 4, 4.001, 6}, 64));
    CHECK(judge(&g) == HW_OK && g.got.hangs == 1);
    CHECK(g.got.hang[0].kind == HW_ALLOW_LEDGE && g.got.hang[0].hold == HW_HANG_PERMITTED &&
          g.got.hang[0].span == 0);
    CLOSE(g.got.hang[0].jut, 0.3e-3, 2e-2);
    group_free(&g);
}

// A point that hangs is an island, not an underside to speak of; a larger one is both.
static void keels(void)
{
    for (int i = 0; i < 2; i++) {
        double wide = i ? 1 : 0.4;
        group g = group_new();
        box(&g.m, HW_BLOCK_ADD, (double[]){0, 0, 0}, (double[]){4, 20, 9});
        plate(&g.m, HW_BLOCK_ADD, 8, 8 + wide,
              polygon(&g.m, 4, (double[]){3, 6, 4.6, 4, 4.6 + wide, 4, 8, 8}));
        add_part(&g, "tooth");
        CHECK(judge(&g) == HW_OK && g.got.islands == 1);
        bool open = false;
        for (size_t k = 0; k < g.got.hangs; k++)
            open |= g.got.hang[k].hold == HW_HANG_OPEN && g.got.hang[k].steepest > 1.57;
        CHECK(open == (i == 1));
        group_free(&g);
    }
}

// An edge on the bed carries, though both its facets rise from it.
static void edge_on_the_bed(void)
{
    group g = group_new();
    plate(&g.m, HW_BLOCK_ADD, 0, 5, polygon(&g.m, 3, (double[]){0, 0, 8, 4, -0.5, 4}));
    add_part(&g, "keel");
    CHECK(judge(&g) == HW_OK && g.got.hangs == 1);
    CLOSE(g.got.hang[0].jut, 8e-3, 1e-3);
    group_free(&g);
}

// Only the hole itself is measured: not what opens farther below, and not the next hole.
static void crowns_over_wider_holes(void)
{
    group g = group_new();
    box(&g.m, HW_BLOCK_ADD, (double[]){0, 0, 0}, (double[]){20, 3, 16});
    plate(&g.m, HW_BLOCK_CUT, -1, 4, circle(&g.m, 10, 10, 1.5, 48));
    box(&g.m, HW_BLOCK_CUT, (double[]){8.5, -1, 8}, (double[]){11.5, 4, 10});
    box(&g.m, HW_BLOCK_CUT, (double[]){6, -1, 2}, (double[]){14, 4, 8});
    add_part(&g, "keyhole");
    allow(&g, HW_ALLOW_CROWN, (double[]){5, -1, 9}, (double[]){15, 4, 12});
    CHECK(judge(&g) == HW_OK && g.got.hangs == 3); // with the ceilings beside the slot
    int crowns = 0;
    for (size_t i = 0; i < g.got.hangs; i++) {
        if (g.got.hang[i].hold == HW_HANG_OPEN) continue;
        crowns++;
        CLOSE(g.got.hang[i].opening, 3e-3, 1e-2);
        CHECK(g.got.hang[i].hold == HW_HANG_PERMITTED);
    }
    CHECK(crowns == 1);
    g.n = 0;
    box(&g.m, HW_BLOCK_ADD, (double[]){0, 0, 0}, (double[]){20, 3, 16});
    plate(&g.m, HW_BLOCK_CUT, -1, 4, circle(&g.m, 10, 11, 1, 48));
    box(&g.m, HW_BLOCK_CUT, (double[]){6, -1, 2}, (double[]){14, 4, 9.9});
    add_part(&g, "small over large");
    allow(&g, HW_ALLOW_CROWN, (double[]){8.5, -1, 10}, (double[]){11.5, 4, 13});
    CHECK(judge(&g) == HW_OK && g.got.hangs == 2);
    for (size_t i = 0; i < g.got.hangs; i++)
        if (g.got.hang[i].hold != HW_HANG_OPEN) CLOSE(g.got.hang[i].opening, 2e-3, 3e-2);
    CHECK((g.got.hang[0].hold == HW_HANG_PERMITTED) != (g.got.hang[1].hold == HW_HANG_PERMITTED));
    group_free(&g);
}

// What bulges out beside a bridge lies as far from its lines as it is deep; round a corner a ledge
// reaches out along the diagonal.
static void bulges_and_corners(void)
{
    group g = group_new();
    box(&g.m, HW_BLOCK_ADD, (double[]){0, 0, 0}, (double[]){4, 5, 6});
    box(&g.m, HW_BLOCK_ADD, (double[]){14, 0, 0}, (double[]){18, 5, 6});
    box(&g.m, HW_BLOCK_ADD, (double[]){0, 0, 6}, (double[]){18, 5, 8});
    box(&g.m, HW_BLOCK_ADD, (double[]){7, 0, 6}, (double[]){11, 6, 8});
    add_part(&g, "bulge");
    allow(&g, HW_ALLOW_BRIDGE, (double[]){4, 0, 6}, (double[]){14, 7, 6});
    CHECK(judge(&g) == HW_OK && g.got.hangs == 1);
    CLOSE(g.got.hang[0].span, 10e-3, 1e-3);
    CLOSE(g.got.hang[0].jut, 1e-3, 1e-3);
    CHECK(g.got.hang[0].hold == HW_HANG_PERMITTED);
    const double out[] = {1.4, 1.5};
    for (int i = 0; i < 2; i++) {
        g.n = 0;
        box(&g.m, HW_BLOCK_ADD, (double[]){0, 0, 0}, (double[]){10, 10, 6});
        box(&g.m, HW_BLOCK_ADD, (double[]){0, 0, 6}, (double[]){10 + out[i], 10 + out[i], 8});
        add_part(&g, "corner");
        allow(&g, HW_ALLOW_CUTOUT, (double[]){0, 0, 6}, (double[]){20, 20, 6});
        CHECK(judge(&g) == HW_OK && g.got.hangs == 1);
        CLOSE(g.got.hang[0].jut, out[i] * 1e-3 * sqrt(2), 1e-3);
        CHECK(g.got.hang[0].hold == (i ? HW_HANG_REFUSED : HW_HANG_PERMITTED));
    }
    group_free(&g);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(bevelled_feet);
    RUN(slivers);
    RUN(leaning_walls);
    RUN(bridges);
    RUN(bridge_in_any_direction);
    RUN(held_on_one_side);
    RUN(pocket);
    RUN(crowns);
    RUN(cones);
    RUN(at_the_bed);
    RUN(ledges);
    RUN(keels);
    RUN(edge_on_the_bed);
    RUN(crowns_over_wider_holes);
    RUN(bulges_and_corners);
    return TEST_END();
}
