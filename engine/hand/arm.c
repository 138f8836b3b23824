// How the servos of the cords stand in the forearm: one arrangement for sheaths and printed parts.
#include "hand/hand_internal.h"

#include "parts/palm.h"

#include <math.h>

enum {
    COLUMNS = 3,   // side by side, as long as two rows hold all
    CORDS_HIGH = 5 // a drum's two grooves and three rims, in diameters of its cord
};

static const double screws_wide = 2.6; // what a column of screws takes, in their diameters [1]

static double get(const hw_design *d, hw_entry_id row, int digit) // [SI]
{
    return hw_design_value(d, hw_entry_of(row, digit));
}

// About where a digit's sheaths end.
static hw_vec3 end_of(const hw_hand *hand, int digit)
{
    const hw_palm *p = &hand->palm;
    return digit == HW_THUMB ? p->opposition_at : p->digit[digit].knuckle.at;
}

// Which servos of flexion there are, from the thumb's side to the little finger's, so that no
// sheath has to cross to the other side.
static size_t in_order(const hw_hand *hand, hw_drum out[HW_DIGITS * HW_JOINTS])
{
    size_t n = 0;
    for (int i = 0; i < HW_DIGITS; i++) {
        if (!hand->present[i] || hand->drive[i].direct) continue;
        for (int k = 0; k < hand->servos[i]; k++) out[n++] = (hw_drum){.digit = i, .joint = k};
    }
    for (size_t i = 1; i < n; i++)
        for (size_t k = i; k > 0; k--) {
            if (!(end_of(hand, out[k].digit).y > end_of(hand, out[k - 1].digit).y)) break;
            hw_drum t = out[k];
            out[k] = out[k - 1];
            out[k - 1] = t;
        }
    return n;
}

// Of one column: what ends lowest in the palm stands in front, where drums are lowest.
static void lowest_first(const hw_hand *hand, hw_drum column[], size_t n)
{
    for (size_t i = 1; i < n; i++)
        for (size_t k = i; k > 0; k--) {
            if (!(end_of(hand, column[k].digit).z < end_of(hand, column[k - 1].digit).z)) break;
            hw_drum t = column[k];
            column[k] = column[k - 1];
            column[k - 1] = t;
        }
}

static double ears_of(const hw_design *d, int digit) // [m]
{
    return fmax(get(d, HW_E_OWN_SERVO_EAR_SPAN, digit), get(d, HW_E_OWN_SERVO_LENGTH, digit));
}

// How far a row's drums lie above those before it, so that its sheaths pass over them.
static double rise_of(const hw_hand *hand, const hw_drum at[], size_t n) // [m]
{
    double rise = 0;
    for (size_t i = 0; i < n; i++) {
        const hw_drive *v = &hand->drive[at[i].digit];
        double half = CORDS_HIGH * v->cord_diameter / 2;
        rise = fmax(rise, fmax(half + v->sheath_outer / 2, v->sheath_outer) + hand->gap);
    }
    return rise;
}

// Where columns and rows stand.
typedef struct grid {
    size_t rows, columns;
    double pitch, rise; // of columns across, of rows upward [m]
} grid;

static grid grid_of(const hw_design *d, const hw_hand *hand, const hw_drum at[], size_t n)
{
    grid g = {.rows = n > 2 * COLUMNS ? (n + COLUMNS - 1) / COLUMNS : 2,
              .rise = rise_of(hand, at, n)};
    g.columns = (n + g.rows - 1) / g.rows;
    for (size_t i = 0; i < n; i++) // screws of the lid stand between columns
        g.pitch =
            fmax(g.pitch, get(d, HW_E_OWN_SERVO_WIDTH, at[i].digit) + screws_wide * HW_PALM_SCREW);
    return g;
}

// A servo whose ears begin at `front`, in its row and column.
static void stand(const hw_design *d, const hw_hand *hand, const grid *g, size_t row, size_t column,
                  double front, hw_drum *o) // [m]
{
    const hw_drive *v = &hand->drive[o->digit];
    double over = (ears_of(d, o->digit) - get(d, HW_E_OWN_SERVO_LENGTH, o->digit)) / 2;
    double aside = (double)(g->columns - 1) / 2 - (double)column, high = (double)row * g->rise;
    o->radius = v->drum_radius;
    o->height = CORDS_HIGH * v->cord_diameter;
    o->above = high + get(d, HW_E_OWN_SERVO_STAND_OUT, o->digit) + o->height / 2;
    o->at =
        (hw_vec3){front - over - get(d, HW_E_OWN_SERVO_SHAFT_AT, o->digit),
                  hand->places.tunnel_at.y + aside * g->pitch, get(d, HW_E_FOREARM_Z, -1) + high};
    o->servo = (hw_frame){
        hw_vec3_add(o->at, (hw_vec3){0, 0, -o->above}), {-1, 0, 0}, {0, -1, 0}, {0, 0, 1}};
}

size_t hw_hand_arm(const hw_design *d, const hw_hand *hand, hw_drum out[HW_DIGITS * HW_JOINTS])
{
    hw_drum list[HW_DIGITS * HW_JOINTS];
    const size_t n = in_order(hand, list);
    const grid g = grid_of(d, hand, list, n);
    for (size_t first = 0; first < n; first += g.rows)
        lowest_first(hand, &list[first], first + g.rows > n ? n - first : g.rows);
    size_t done = 0;
    double front = -get(d, HW_E_FOREARM_BEHIND, -1);
    for (size_t row = 0; row < g.rows; row++) {
        double longest = 0;
        for (size_t c = 0; c < g.columns; c++) {
            if (c * g.rows + row >= n) continue;
            hw_drum *o = &out[done++];
            *o = list[c * g.rows + row];
            stand(d, hand, &g, row, c, front, o);
            longest = fmax(longest, ears_of(d, o->digit) + 12 * hand->line); // two walls
        }
        front -= longest;
    }
    return done;
}
