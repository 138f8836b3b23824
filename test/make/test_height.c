// How thick a palm comes off the bed, as its meshes have it: what `palm_thickness` says and Heron
// requires; with a larger servo thicker by what that is taller.
#include "../examples/assessed.h"
#include "../parts/palm_part.h"
#include "hand/hand.h"

// Lowest and highest place of the printed tray and lid, hand frame.
static bool span_of(const hw_design *d, hw_hand *hand, double z[2]) // [m]
{
    hw_palm_parts_def def;
    hw_palm_parts *p = HW_NEW(arena, hw_palm_parts, 1);
    const char *fault = NULL;
    hw_hand_build(d, hand);
    hw_hand_palm_parts(d, hand, &def);
    if (!CHECK(p && hw_palm_parts_of(arena, &def, p, &fault) == HW_OK)) {
        printf("    %s\n", fault);
        return false;
    }
    hw_field_mesh_def mesh = hw_field_mesh_def_default();
    mesh.cell = 0.8e-3;
    mesh.deviation = 0.02e-3;
    static const char *const name[] = {"palm tray", "palm lid"};
    z[0] = INFINITY, z[1] = -INFINITY;
    for (int i = 0; i < 2; i++) {
        const hw_palm_part *part = part_of(p, name[i]);
        hw_arena *work = hw_arena_new(1 << 20);
        hw_mesh m = {0};
        hw_field_made made;
        if (!CHECK(part &&
                   hw_field_mesh(arena, work, part->field, &mesh, NULL, &m, &made) == HW_OK))
            return false;
        for (size_t v = 0; v < m.verts; v++) {
            const double at = hw_frame_point(&part->bed, m.vert[v]).z;
            z[0] = fmin(z[0], at);
            z[1] = fmax(z[1], at);
        }
        hw_arena_free(work);
    }
    return true;
}

static hw_hand small, large;

static void as_thick_as_it_says(void)
{
    double z[2], y[2];
    hw_text heron = example_bytes(arena, "heron");
    const hw_design *d = design_of("heron", hw_text_of(""));
    if (!d || !span_of(d, &small, z)) return;
    printf("    %.3f mm printed, %.3f said\n", 1e3 * (z[1] - z[0]), 1e3 * small.palm.height);
    CHECK(z[1] - z[0] <= 38e-3);
    CHECK(z[1] - z[0] <= small.palm.height + 0.02e-3);
    CHECK(z[1] - z[0] >= small.palm.height - 0.3e-3); // its front edges are rounded
    CHECK(small.palm.deeper == 0);
    // standard servos are 21 mm taller than the slim ones
    static const char before[] = "\n  servo: {";
    const char *palm = strstr(heron.at, "\npalm:\n"), *servo = palm ? strstr(palm, before) : NULL;
    if (!CHECK(servo != NULL)) return;
    const char *rest = servo + strlen(before);
    hw_buffer changed = {.arena = arena};
    hw_buffer_format(&changed, "%.*stype: standard 10, %s", (int)(rest - heron.at), heron.at, rest);
    d = design_from("heron, larger servos", (hw_text){changed.at, changed.len}, hw_text_of(""));
    if (!d || !span_of(d, &large, y)) return;
    CHECK(large.palm.deeper > 0 && y[1] - y[0] >= z[1] - z[0] + 21e-3 - 0.67e-3);
    NEAR(y[1], z[1], 0.1e-3);
    NEAR(y[0], z[0] - large.palm.deeper, 0.02e-3);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    arena = hw_arena_new(0);
    if (!arena) return 1;
    RUN(as_thick_as_it_says);
    hw_arena_free(arena);
    return TEST_END();
}
