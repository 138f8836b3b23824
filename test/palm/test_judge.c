// Bodies against FCL on random pairs: its signed distance, an expanding polytope where they meet.
// Where the two differ, directions without number decide.
#include "check.h"
#include "pairs.h"

#include <stdlib.h>

// Sizes of about 1: FCL's tolerances are absolute.
enum { PAIRS = 10000, GRID = 40000 };

static void put(FILE *f, const hw_body *b)
{
    const hw_vec3 v[] = {b->frame.at, b->frame.x, b->frame.y, b->frame.z, b->half};
    fprintf(f, "%d", (int)b->kind);
    for (int i = 0; i < 5; i++) fprintf(f, " %.17g %.17g %.17g", v[i].x, v[i].y, v[i].z);
    fputc('\n', f);
}

// Largest separation over a spiral of directions: true to the square of its spacing where the
// support is smooth, to the spacing at its kinks; never above the truth.
static double by_grid(const hw_body *a, const hw_body *b)
{
    double most = -INFINITY;
    for (int i = 0; i < GRID; i++) {
        double z = 1 - (2 * i + 1.0) / GRID, r = sqrt(1 - z * z), turn = 2.399963229728653 * i;
        hw_vec3 n = {r * cos(turn), r * sin(turn), z}, back = hw_vec3_times(n, -1);
        most = fmax(most, -hw_body_reach(b, back) - hw_body_reach(a, n));
    }
    return most;
}

// Random bodies, or of each pair the first a wedge and the second a wedge or one of them.
static void agrees(bool wedges)
{
    const char *name = wedges ? "judge_wedges.txt" : "judge_pairs.txt";
    char command[512];
    FILE *f = fopen(name, "w");
    if (!CHECK(f != NULL)) return;
    hw_body *body = malloc(2 * (size_t)PAIRS * sizeof *body);
    hw_vec3(*corner)[8] = malloc(2 * (size_t)PAIRS * sizeof *corner);
    hw_rng r = hw_rng_new(17, wedges);
    for (int i = 0; i < 2 * PAIRS; i++) {
        if (wedges && i % 4 != 1)
            body[i] = random_wedge(&r, 1, 0.5, corner[i]);
        else
            body[i] = random_body(&r, 1);
        put(f, &body[i]);
    }
    fclose(f);
    snprintf(command, sizeof command, "%s < %s", HW_JUDGE, name);
    FILE *judge = popen(command, "r");
    int met = 0, close = 0, decided = 0;
    for (int i = 0; i < PAIRS; i++) {
        double want;
        hw_nearness got;
        if (!CHECK(fscanf(judge, "%lf", &want) == 1)) break;
        CHECK(hw_body_near(&body[2 * i], &body[2 * i + 1], &got) == HW_OK);
        met += got.distance < 0;
        // what FCL's own iterations leave of bodies of size 1
        if (fabs(got.distance - want) <= 1e-5) {
            close++;
            continue;
        }
        double grid = by_grid(&body[2 * i], &body[2 * i + 1]);
        CHECK(got.distance >= grid - 1e-9); // no direction parts them more
        CHECK(got.distance <= grid + 0.02); // spacing of directions 0.018, lever arms of about 1
        decided++;
    }
    pclose(judge);
    printf("%d pairs, %d meet, %d as FCL says, %d decided by directions\n", PAIRS, met, close,
           decided);
    CHECK(close + decided == PAIRS);
    CHECK(close > PAIRS * 995 / 1000); // FCL gives up early on a few; directions decided those
    CHECK(met > PAIRS / 4 && met < PAIRS * 3 / 4);
    free(body);
    free(corner);
    remove(name);
}

static void agrees_with_fcl(void)
{
    agrees(false);
}

static void hulls_agree_with_fcl(void)
{
    agrees(true);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(agrees_with_fcl);
    RUN(hulls_agree_with_fcl);
    return TEST_END();
}
