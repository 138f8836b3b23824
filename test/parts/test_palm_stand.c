// The stand of the forearm: what it is screwed down by; and the screws of the forearm's lid.
#include "check.h"

#include "palm_part.h"

static const char *fault;

// Whether a hole for a wood screw goes through the foot here: open up to the head's room, solid
// round its lower half.
static bool bored(const hw_palm_part *p, double x, double y, double screw) // [m]
{
    for (double z = 0.2e-3; z < 3.4e-3; z += 0.4e-3)
        if (hw_field_at(p->field, (hw_vec3){x, y, z}) < 0.7 * screw) return false;
    for (int k = 0; k < 12; k++) {
        const double angle = k * HW_PI / 6, c = cos(angle), s = sin(angle);
        hw_vec3 at = {x + screw * c, y + screw * s, 0.8e-3};
        if (!(hw_field_at(p->field, at) < 0)) return false;
        for (at.z = 4e-3; at.z < 60e-3; at.z += 1e-3) { // head and driver pass
            at.x = x + 1.33 * screw * c;
            at.y = y + 1.33 * screw * s;
            if (hw_field_at(p->field, at) < 0) return false;
        }
    }
    return true;
}

// Four of them, at the corners: as far apart as the foot is long, and farther across than the walls
// are, so that they hold against the hand's lever.
static void it_is_screwed_down(void)
{
    hw_arena *a = hw_arena_new(0);
    const hw_palm_parts_def f = hw_palm_parts_def_default();
    hw_palm_parts *p = HW_NEW(a, hw_palm_parts, 1);
    hw_vec3 low, high, at[8];
    size_t n = 0;
    if (!CHECK(hw_palm_parts_of(a, &f, p, &fault) == HW_OK)) return;
    const hw_palm_part *stand = part_of(p, "stand");
    if (!CHECK(stand && hw_field_reach(stand->field, &low, &high))) return;
    for (double x = low.x; x < high.x; x += 0.1e-3)
        for (double y = low.y; y < high.y; y += 0.1e-3) {
            bool other = true;
            for (size_t i = 0; i < n; i++) other = other && hypot(x - at[i].x, y - at[i].y) > 3e-3;
            if (!other || n == 8 || hw_field_at(stand->field, (hw_vec3){x, y, 1e-3}) < 2e-3 ||
                !bored(stand, x, y, f.screw))
                continue;
            at[n++] = (hw_vec3){x, y, 0};
        }
    CHECK(n == 4);
    for (size_t i = 0; i < n; i++) {
        CHECK(fmin(at[i].x - low.x, high.x - at[i].x) < 10e-3);
        CHECK(fmin(at[i].y - low.y, high.y - at[i].y) < 10e-3);
    }
    // a bed that it fits without tabs alone
    hw_palm_parts_def small = f;
    small.bed[0] = small.bed[1] = high.y - low.y - 5e-3;
    if (!CHECK(hw_palm_parts_of(a, &small, p, &fault) == HW_OK)) return;
    for (size_t i = 0; i < p->parts; i++) {
        hw_vec3 from, to;
        if (strncmp(p->part[i].name, "stand", strlen("stand")) != 0) continue;
        CHECK(hw_field_reach(p->part[i].field, &from, &to) && to.y - from.y < small.bed[1]);
    }
    hw_arena_free(a);
}

// Holes of 1.1 screws through a plate, solid all round.
static size_t holes_in(const hw_palm_part *p, double screw) // [m]
{
    hw_vec3 low, high, at[16];
    size_t n = 0;
    if (!hw_field_reach(p->field, &low, &high)) return 0;
    const double z = (low.z + high.z) / 2;
    for (double x = low.x; x < high.x; x += 0.15e-3)
        for (double y = low.y; y < high.y; y += 0.15e-3) {
            if (hw_field_at(p->field, (hw_vec3){x, y, z}) < 0.45 * screw) continue;
            bool good = n < 16;
            for (size_t i = 0; i < n; i++) good = good && hypot(x - at[i].x, y - at[i].y) > screw;
            for (int k = 0; k < 12 && good; k++)
                good =
                    hw_field_at(p->field, (hw_vec3){x + 0.72 * screw * cos(k * HW_PI / 6),
                                                    y + 0.72 * screw * sin(k * HW_PI / 6), z}) < 0;
            if (good) at[n++] = (hw_vec3){x, y, z};
        }
    return n;
}

// Each half of a lid that is split has two screws at least: about one it would turn.
static void halves_have_two_screws(void)
{
    hw_arena *a = hw_arena_new(0);
    hw_palm_parts_def f = hw_palm_parts_def_default();
    hw_palm_parts *p = HW_NEW(a, hw_palm_parts, 1);
    f.bed[0] = f.bed[1] = 110e-3;
    if (!CHECK(hw_palm_parts_of(a, &f, p, &fault) == HW_OK)) return;
    static const char *const half[] = {"forearm lid front", "forearm lid rear"};
    for (int i = 0; i < 2; i++) {
        const hw_palm_part *lid = part_of(p, half[i]);
        const size_t n = lid ? holes_in(lid, f.screw) : 0;
        if (!CHECK(n >= 2)) printf("    %s: %zu\n", half[i], n);
    }
    hw_arena_free(a);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(it_is_screwed_down);
    RUN(halves_have_two_screws);
    (void)hw_check_text;
    return TEST_END();
}
