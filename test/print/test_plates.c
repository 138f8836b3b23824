// Plates: nothing overlaps, everything lies on the bed and on the grid, few plates.
#include "check.h"

#include "base/rng.h"
#include "print/print.h"

enum { MOST = 40 };

typedef struct pack {
    hw_plate_item item[MOST];
    hw_plate_place place[MOST];
    size_t n;
    int plates;
    hw_print_def def;
    double grid;
} pack;

static void add(pack *p, double x, double y, double wide, double deep, double high) // [mm]
{
    p->item[p->n++] =
        (hw_plate_item){{x * 1e-3, y * 1e-3}, {(x + wide) * 1e-3, (y + deep) * 1e-3}, high * 1e-3};
}

static hw_code run(pack *p)
{
    hw_arena *a = hw_arena_new(0);
    hw_code code = hw_plates_pack(a, p->item, p->n, &p->def, p->grid, p->place, &p->plates);
    hw_arena_free(a);
    return code;
}

static pack pack_new(void)
{
    return (pack){.def = hw_print_def_default(), .grid = 1e-3 / 1024};
}

// Where an item comes to lie.
static void placed(const pack *p, size_t i, double low[2], double high[2])
{
    const hw_plate_item *m = &p->item[i];
    const hw_plate_place *at = &p->place[i];
    double l[2] = {m->low[0], m->low[1]}, h[2] = {m->high[0], m->high[1]};
    if (at->turned) {
        l[0] = -m->high[1], h[0] = -m->low[1];
        l[1] = m->low[0], h[1] = m->high[0];
    }
    for (int k = 0; k < 2; k++) low[k] = l[k] + at->move[k], high[k] = h[k] + at->move[k];
}

static void sound(const pack *p)
{
    double slack = 1e-12, margin = p->def.margin;
    for (size_t i = 0; i < p->n; i++) {
        if (p->place[i].plate < 0) continue;
        double low[2], high[2];
        placed(p, i, low, high);
        CHECK(p->place[i].plate < p->plates);
        for (int k = 0; k < 2; k++) {
            CHECK(low[k] >= margin - slack && high[k] <= p->def.bed[k] - margin + slack);
            double steps = p->place[i].move[k] / p->grid;
            NEAR(steps, round(steps), 1e-6);
        }
        for (size_t j = 0; j < i; j++) {
            if (p->place[j].plate != p->place[i].plate) continue;
            double l[2], h[2];
            placed(p, j, l, h);
            CHECK(l[0] >= high[0] + margin - slack || low[0] >= h[0] + margin - slack ||
                  l[1] >= high[1] + margin - slack || low[1] >= h[1] + margin - slack);
        }
    }
}

static void known_packings(void)
{
    pack p = pack_new();
    for (int i = 0; i < 4; i++) add(&p, -10, 3, 100, 20, 16); // four digits: one plate
    CHECK(run(&p) == HW_OK && p.plates == 1);
    sound(&p);
    p = pack_new();
    for (int i = 0; i < 4; i++) add(&p, 0, 0, 83.9, 83.9, 16); // exactly four
    CHECK(run(&p) == HW_OK && p.plates == 1);
    sound(&p);
    add(&p, 0, 0, 83.9, 83.9, 16);
    CHECK(run(&p) == HW_OK && p.plates == 2);
    sound(&p);
    p = pack_new();
    p.def.bed[0] = 60e-3; // a narrow bed: only turned
    add(&p, 0, 0, 100, 20, 16);
    add(&p, 0, 0, 100, 20, 16);
    CHECK(run(&p) == HW_OK && p.plates == 1 && p.place[0].turned && p.place[1].turned);
    sound(&p);
    p = pack_new();
    add(&p, 0, 0, 173, 20, 16); // 172 are left
    add(&p, 0, 0, 171.9, 20, 16);
    add(&p, 0, 0, 20, 20, 181); // too tall
    add(&p, 0, 0, 20, 20, 180);
    CHECK(run(&p) == HW_OK && p.plates == 1);
    CHECK(p.place[0].plate == -1 && p.place[1].plate == 0);
    CHECK(p.place[2].plate == -1 && p.place[3].plate == 0);
    sound(&p);
    p = pack_new();
    add(&p, 0, 0, 100, 100, 5);
    add(&p, 0, 0, 60, 50, 5); // beside, not above, and lying
    CHECK(run(&p) == HW_OK && p.plates == 1);
    NEAR(p.place[1].move[0], 108e-3, 3e-6);
    NEAR(p.place[1].move[1], 4e-3, 1e-6);
    CHECK(!p.place[1].turned);
    sound(&p);
    p.n = 0;
    CHECK(run(&p) == HW_OK && p.plates == 0);
}

static void random_packings(void)
{
    hw_rng rng = hw_rng_new(23, 1);
    double worst = 0;
    for (int round = 0; round < 400; round++) {
        pack p = pack_new(), again;
        p.grid = 1e-3 / (1 << (round % 14));
        p.def.margin = round % 3 ? 4e-3 : 0;
        p.def.bed[1] = hw_rng_uniform(&rng, 120e-3, 250e-3);
        size_t n = 1 + (size_t)hw_rng_uniform(&rng, 0, MOST);
        double area = 0;
        for (size_t i = 0; i < n; i++) {
            double w = hw_rng_uniform(&rng, 5, 100), d = hw_rng_uniform(&rng, 5, 50);
            add(&p, hw_rng_uniform(&rng, -50, 50), hw_rng_uniform(&rng, -50, 50), w, d, 10);
            area += (w + p.def.margin * 1e3) * (d + p.def.margin * 1e3);
        }
        CHECK(run(&p) == HW_OK);
        for (size_t i = 0; i < n; i++) CHECK(p.place[i].plate >= 0);
        sound(&p);
        again = p;
        memset(again.place, 0, sizeof again.place);
        CHECK(run(&again) == HW_OK && again.plates == p.plates);
        for (size_t i = 0; i < n; i++)
            CHECK(again.place[i].plate == p.place[i].plate &&
                  again.place[i].turned == p.place[i].turned &&
                  again.place[i].move[0] == p.place[i].move[0] &&
                  again.place[i].move[1] == p.place[i].move[1]);
        double room = p.def.bed[0] * p.def.bed[1] * 1e6;
        if (p.plates > 2) worst = fmax(worst, (p.plates - 1) * room / area);
    }
    CHECK(worst > 0 && worst < 1.7); // all but the last plate are well filled
}

static void bad_items(void)
{
    pack p = pack_new();
    add(&p, 0, 0, 10, 10, 5);
    p.grid = 0;
    CHECK(run(&p) == HW_BAD_INPUT);
    p.grid = 1e-6;
    p.item[0].high[0] = (double)NAN;
    CHECK(run(&p) == HW_BAD_INPUT);
    p.item[0].high[0] = p.item[0].low[0];
    CHECK(run(&p) == HW_BAD_INPUT);
    p.item[0].high[0] = 10e-3;
    CHECK(run(&p) == HW_OK && p.plates == 1);
    p.def.margin = (double)NAN;
    CHECK(run(&p) == HW_BAD_INPUT);
    p = pack_new();
    for (int i = 0; i < 3; i++) add(&p, 0, 0, 150, 150, 5);
    int codes = 0;
    for (size_t n = 0; n < 20; n++) {
        hw_arena *a = hw_arena_new(0);
        hw_arena_fail_after(a, n);
        hw_code code = hw_plates_pack(a, p.item, p.n, &p.def, p.grid, p.place, &p.plates);
        CHECK(code == HW_NO_MEMORY ? p.plates == 0 : code == HW_OK && p.plates == 3);
        codes += code == HW_NO_MEMORY;
        hw_arena_free(a);
    }
    CHECK(codes == 5); // list, sheets, three skylines
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(known_packings);
    RUN(random_packings);
    RUN(bad_items);
    return TEST_END();
}
