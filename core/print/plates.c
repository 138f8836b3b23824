// Plates: groups as rectangles on as few beds as are found, lowest place first.
#include <math.h>
#include <stdlib.h>

#include "print/print_internal.h"

typedef struct step { // of a skyline: from x to the next step's x it stands at y
    double x, y;
} step;

typedef struct sheet {
    step *sky;
    size_t n;
} sheet;

typedef struct piece {
    double size[2]; // with the margin
    size_t item;
} piece;

typedef struct pack {
    double wide, deep; // of a bed's room
    sheet *sheet;
    int sheets;
    hw_arena *work;
    size_t most; // steps that a skyline can have
} pack;

static int largest_first(const void *a, const void *b)
{
    const piece *p = a, *q = b;
    double x = p->size[0] * p->size[1], y = q->size[0] * q->size[1];
    if (x != y) return x > y ? -1 : 1;
    return p->item < q->item ? -1 : p->item > q->item;
}

// Height at which a piece comes to stand with its left side at step i; infinite: beyond the bed.
static double stand(const pack *k, const sheet *s, size_t i, double wide)
{
    double from = s->sky[i].x, y = 0;
    if (from + wide > k->wide) return INFINITY;
    for (size_t j = i; j < s->n && s->sky[j].x < from + wide; j++) y = fmax(y, s->sky[j].y);
    return y;
}

// Puts a piece over the steps that it covers.
static void cover(sheet *s, size_t i, double wide, double top)
{
    double from = s->sky[i].x, to = from + wide, last = s->sky[i].y;
    size_t j = i;
    while (j < s->n && s->sky[j].x < to) last = s->sky[j++].y;
    bool rest = j == s->n || s->sky[j].x > to; // what lies right of the piece goes on as it was
    size_t added = rest ? 2 : 1, gone = j - i;
    if (added > gone)
        for (size_t k = s->n; k-- > j;) s->sky[k + added - gone] = s->sky[k];
    else
        for (size_t k = j; k < s->n; k++) s->sky[k + added - gone] = s->sky[k];
    s->n = s->n + added - gone;
    s->sky[i] = (step){from, top};
    if (rest) s->sky[i + 1] = (step){to, last};
}

static bool open_sheet(pack *k)
{
    sheet *s = &k->sheet[k->sheets];
    s->sky = HW_NEW(k->work, step, k->most);
    if (!s->sky) return false;
    s->sky[0] = (step){0, 0};
    s->n = 1;
    k->sheets++;
    return true;
}

// The lowest place on one sheet, either way round; the leftmost of equals; as modelled before
// turned.
static bool place_on(const pack *k, sheet *s, const piece *p, hw_plate_place *out)
{
    double best = INFINITY, wide = 0, at = 0;
    size_t where = 0;
    for (int turned = 0; turned < 2; turned++) {
        double w = p->size[turned], d = p->size[1 - turned];
        for (size_t i = 0; i < s->n; i++) {
            double y = stand(k, s, i, w), top = y + d;
            if (top > k->deep || top >= best) continue;
            best = top;
            at = y;
            wide = w;
            where = i;
            out->turned = turned == 1;
        }
    }
    if (!isfinite(best)) return false;
    out->move[0] = s->sky[where].x;
    out->move[1] = at;
    cover(s, where, wide, best);
    return true;
}

static bool good(const hw_plate_item *i)
{
    return isfinite(i->low[0]) && isfinite(i->low[1]) && isfinite(i->high[0]) &&
           isfinite(i->high[1]) && isfinite(i->height) && i->high[0] > i->low[0] &&
           i->high[1] > i->low[1];
}

// From a place in the bed's room to a move of the modelled group, on the grid.
static void settle(const hw_plate_item *i, const hw_print_def *def, double grid, hw_plate_place *p)
{
    double low[2] = {p->turned ? -i->high[1] : i->low[0], p->turned ? i->low[0] : i->low[1]};
    for (int k = 0; k < 2; k++)
        p->move[k] = ceil((def->margin + p->move[k] - low[k]) / grid) * grid;
}

static hw_code pack_all(pack *k, const hw_plate_item item[], size_t items, const hw_print_def *def,
                        double grid, hw_plate_place place[])
{
    piece *list = HW_NEW(k->work, piece, items);
    k->sheet = HW_NEW(k->work, sheet, items);
    if (!list || !k->sheet) return HW_NO_MEMORY;
    for (size_t i = 0; i < items; i++) {
        place[i] = (hw_plate_place){.plate = -1};
        if (!good(&item[i])) return HW_BAD_INPUT;
        list[i].item = i;
        for (int a = 0; a < 2; a++)
            list[i].size[a] = item[i].high[a] - item[i].low[a] + def->margin + grid;
    }
    if (items > 1) qsort(list, items, sizeof *list, largest_first);
    for (size_t i = 0; i < items; i++) {
        size_t n = list[i].item;
        hw_plate_place *p = &place[n];
        double w = list[i].size[0], d = list[i].size[1];
        bool fits = (w <= k->wide && d <= k->deep) || (d <= k->wide && w <= k->deep);
        if (!fits || item[n].height > def->bed[2]) continue;
        for (int s = 0; p->plate < 0; s++) {
            if (s == k->sheets && !open_sheet(k)) return HW_NO_MEMORY;
            if (place_on(k, &k->sheet[s], &list[i], p)) p->plate = s;
        }
        settle(&item[n], def, grid, p);
    }
    return HW_OK;
}

hw_code hw_plates_pack(hw_arena *work, const hw_plate_item item[], size_t items,
                       const hw_print_def *def, double grid, hw_plate_place place[], int *plates)
{
    *plates = 0;
    if (!(grid > 0) || !isfinite(grid) || !isfinite(def->bed[0]) || !isfinite(def->bed[1]) ||
        !(def->margin >= 0) || !isfinite(def->margin) || items > INT32_MAX)
        return HW_BAD_INPUT;
    size_t mark = hw_arena_mark(work);
    pack k = {.wide = def->bed[0] - def->margin,
              .deep = def->bed[1] - def->margin,
              .work = work,
              .most = 2 * items + 2};
    hw_code code = pack_all(&k, item, items, def, grid, place);
    if (code == HW_OK) *plates = k.sheets;
    hw_arena_rewind(work, mark);
    return code;
}
