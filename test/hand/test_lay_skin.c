// How far a place is within the palm's skin, beside the nearest of many points of the outline; and
// how far a way stays inside.
#include "check.h"
#include "document.h"
#include "hand/lay_internal.h"

#include "base/rng.h"
#include "base/vec3.h"

#include <math.h>

static const double mm = 1e-3;
static hw_hand hand;
static hw_lay_skin skin;

static bool read_hand(void)
{
    hw_design *d = design_of("handwright: 1\npalm: {thickness: 34 mm}\n");
    if (!CHECK(d)) return false;
    hw_hand_build(d, &hand);
    hw_lay_skin_of(&hand.palm, &skin);
    return true;
}

// The point that share `t` of the way from one to the next section and corner is.
static hw_vec3 on_outline(int s, double t, int k, double u)
{
    const int next = (k + 1) % HW_PALM_AROUND;
    hw_vec3 p[2];
    for (int e = 0; e < 2; e++) {
        const hw_vec3 *loop = hand.palm.outline[s + e];
        p[e] = hw_vec3_add(hw_vec3_times(loop[k], 1 - u), hw_vec3_times(loop[next], u));
    }
    return hw_vec3_add(hw_vec3_times(p[0], 1 - t), hw_vec3_times(p[1], t));
}

static double nearest(hw_vec3 at) // [m]
{
    enum { FINE = 16 };
    double least = INFINITY;
    for (int s = 0; s + 1 < HW_PALM_SECTIONS; s++)
        for (int k = 0; k < HW_PALM_AROUND; k++)
            for (int n = 0; n < FINE * FINE; n++) {
                hw_vec3 p = on_outline(s, (double)(n / FINE) / FINE, k, (double)(n % FINE) / FINE);
                least = fmin(least, hw_vec3_norm(hw_vec3_sub(p, at)));
            }
    return least;
}

// Near the skin it is the distance; farther in no more than a little beyond it.
static void beside_the_outline(void)
{
    hw_rng rng = hw_rng_new(3, 0);
    int near = 0;
    for (int i = 0; i < 400; i++) {
        hw_vec3 at = {hw_rng_uniform(&rng, 0.1, 0.8) * hand.palm.length,
                      hw_rng_uniform(&rng, -40 * mm, 40 * mm),
                      hw_rng_uniform(&rng, -24 * mm, 12 * mm)};
        const double told = hw_lay_within(&skin, at);
        if (told < 0) continue;
        const double far = nearest(at);
        if (!CHECK(told <= 1.25 * far + 0.3 * mm)) printf("    %g for %g\n", told, far);
        if (far < 1.5 * mm) {
            near++;
            CHECK(told > 0.6 * far - 0.3 * mm);
        }
    }
    CHECK(near > 10);
    // straight out of the back it falls by what one goes
    const hw_vec3 mid = {0.5 * hand.palm.length, 0, 0};
    double z[2];
    hw_palm_depth(&hand.palm, mid.x, mid.y, z);
    for (int k = -2; k <= 2; k++) {
        const double out = k * mm;
        NEAR(hw_lay_within(&skin, (hw_vec3){mid.x, mid.y, z[1] + out}), -out, 0.1 * mm);
        NEAR(hw_lay_within(&skin, (hw_vec3){mid.x, mid.y, z[0] - out}), -out, 0.1 * mm);
    }
}

static double room(hw_vec3 from, hw_vec3 to, double lost, double most) // [m] [m]
{
    const hw_vec3 point[2] = {from, to};
    hw_route way;
    if (!CHECK(hw_route_through(point, 2, 18 * mm, &way) == HW_OK)) return NAN;
    return hw_lay_in_skin(&skin, &way, 3 * mm, lost, most);
}

static void along_a_way(void)
{
    const double x = 0.2 * hand.palm.length, to = 0.7 * hand.palm.length;
    double z[2], least = INFINITY;
    for (int i = 0; i <= 100; i++) {
        hw_palm_depth(&hand.palm, x + (to - x) * i / 100, 0, z);
        least = fmin(least, z[1]);
    }
    // a tube of 3 mm that comes within 2 mm of the back has half a millimetre
    const double high = least - 2 * mm;
    const hw_vec3 a = {x, 0, high}, b = {to, 0, high};
    NEAR(room(a, b, -INFINITY, INFINITY), 0.5 * mm, 0.1 * mm);
    CHECK(room(a, b, -INFINITY, 0) == 0); // no farther than asked
    // out of the back in its middle alone it lacks that; where it ends out of it, nothing more
    hw_palm_depth(&hand.palm, (x + to) / 2, 0, z);
    const hw_vec3 out = {x, 0, z[1] + 3 * mm}, in = {to, 0, least - 5 * mm};
    CHECK(room(out, in, -INFINITY, 0) < -3 * mm);
    const double ends_out = hw_lay_within(&skin, out);
    CHECK(ends_out < 0);
    CHECK(room(in, out, -INFINITY, 0) > -0.3 * mm);
    CHECK(room(out, in, -1 * mm, 0) < -1 * mm); // stops there, no nearer
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    arena = hw_arena_new(0);
    if (!read_hand()) return 1;
    RUN(beside_the_outline);
    RUN(along_a_way);
    hw_arena_free(arena);
    return TEST_END();
}
