// Which places of a layer lie between two sides: cases drawn place by place, and a search at
// random.
#include "base/rng.h"
#include "check.h"
#include "solid/bridge.h"

#include <string.h>

enum { MOST = 24 * 24 };

// Rows from the top: '#' stands, 'o' fell, '.' open; what lies afterwards is '='.
static void lay(const char *const row[], int32_t rows, double most, char out[][32])
{
    uint8_t place[MOST];
    uint32_t queue[MOST];
    const int32_t n[2] = {(int32_t)strlen(row[0]), rows};
    hw_bridge_work work = {place, queue};
    for (int32_t j = 0; j < rows; j++)
        for (int32_t i = 0; i < n[0]; i++)
            place[j * n[0] + i] = row[j][i] == '#'   ? HW_BRIDGE_STANDS
                                  : row[j][i] == 'o' ? HW_BRIDGE_FELL
                                                     : HW_BRIDGE_OPEN;
    hw_bridge_lay(&work, n, most);
    for (int32_t j = 0; j < rows; j++) {
        for (int32_t i = 0; i < n[0]; i++) out[j][i] = ".#?="[place[j * n[0] + i]];
        out[j][n[0]] = 0;
    }
}

static void a_room_is_bridged_along_its_shorter_side(void)
{
    static const char *const row[] = {"########", "#oooooo#", "#oooooo#", "#oooooo#", "########"};
    char out[8][32];
    lay(row, 5, 4, out);
    for (int j = 1; j < 4; j++) CHECK(strcmp(out[j], "#======#") == 0);
    lay(row, 5, 3.9, out); // three places lie from the fourth on
    for (int j = 1; j < 4; j++) CHECK(strcmp(out[j], "#......#") == 0);
}

static void all_of_it_or_nothing(void)
{
    // the narrow end alone would be stairs
    static const char *const row[] = {"#########", "#ooo#####", "#ooooooo#",
                                      "#ooooooo#", "#ooooooo#", "#########"};
    char out[8][32];
    lay(row, 6, 4, out);
    for (int j = 1; j < 5; j++) CHECK(!strchr(out[j], '='));
    lay(row, 6, 5, out);
    CHECK(strcmp(out[1], "#===#####") == 0);
    CHECK(strcmp(out[4], "#=======#") == 0);
}

static void lines_that_end_in_the_open_fall(void)
{
    static const char *const row[] = {"########", "#oooooo#", "#oo..oo#", "#oo..oo#", "##....##"};
    char out[8][32];
    lay(row, 5, 7, out);
    CHECK(strcmp(out[1], "#======#") == 0);
    CHECK(strcmp(out[2], "#......#") == 0);
    CHECK(strcmp(out[3], "#......#") == 0);
}

static void the_layers_edge_holds_nothing(void)
{
    static const char *const row[] = {"oo#", "oo#", "###"};
    char out[8][32];
    lay(row, 3, 9, out);
    CHECK(strcmp(out[0], "..#") == 0);
}

// At random: what lies is on a line between two that stand, no longer than may be; the other hand
// and the turned layer have the same pieces.
static void at_random(void)
{
    enum { SIDE = 20 };
    hw_rng rng = hw_rng_new(5, 9);
    int some = 0;
    for (int run = 0; run < 400; run++) {
        uint8_t place[MOST], was[MOST], other[MOST];
        uint32_t queue[MOST];
        const int32_t n[2] = {SIDE, SIDE};
        const double most = 2 + 6 * hw_rng_uniform(&rng, 0, 1),
                     share = hw_rng_uniform(&rng, 0.2, 1);
        for (int i = 0; i < SIDE * SIDE; i++) {
            const double u = hw_rng_uniform(&rng, 0, 1);
            was[i] = u < 0.3 * share ? HW_BRIDGE_STANDS
                     : u < 0.95      ? HW_BRIDGE_FELL
                                     : HW_BRIDGE_OPEN;
        }
        memcpy(place, was, sizeof place);
        for (int i = 0; i < SIDE * SIDE; i++) other[i] = was[i - i % SIDE + SIDE - 1 - i % SIDE];
        hw_bridge_lay(&(hw_bridge_work){place, queue}, n, most);
        hw_bridge_lay(&(hw_bridge_work){other, queue}, n, most);
        for (int i = 0; i < SIDE * SIDE; i++) {
            CHECK(place[i] == other[i - i % SIDE + SIDE - 1 - i % SIDE]);
            CHECK((place[i] == HW_BRIDGE_STANDS) == (was[i] == HW_BRIDGE_STANDS));
            if (place[i] != HW_BRIDGE_LIES) continue;
            some++;
            bool held = false;
            for (int axis = 0; axis < 2; axis++) {
                const int step = axis ? SIDE : 1, along = axis ? i / SIDE : i % SIDE;
                int low = along, high = along;
                while (low >= 0 && was[i + (low - along) * step] == HW_BRIDGE_FELL) low--;
                while (high < SIDE && was[i + (high - along) * step] == HW_BRIDGE_FELL) high++;
                if (low < 0 || high == SIDE || high - low > most) continue;
                held = held || (was[i + (low - along) * step] == HW_BRIDGE_STANDS &&
                                was[i + (high - along) * step] == HW_BRIDGE_STANDS);
            }
            CHECK(held);
        }
    }
    CHECK(some > 1000);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(a_room_is_bridged_along_its_shorter_side);
    RUN(all_of_it_or_nothing);
    RUN(lines_that_end_in_the_open_fall);
    RUN(the_layers_edge_holds_nothing);
    RUN(at_random);
    (void)hw_check_near;
    return TEST_END();
}
