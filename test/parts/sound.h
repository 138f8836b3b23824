// Solids of parts as the tests look at them: meshes in millimetres, judged as a file's reader
// would.
#ifndef HW_TEST_PARTS_SOUND_H
#define HW_TEST_PARTS_SOUND_H

#include "check.h"
#include "solid/solid.h"

static const double mm = 1e-3; // [m]

// The volume of a solid in cubic millimetres; NaN, and a failed check, where its mesh is not sound.
static inline double sound_volume(const hw_solid *solid, const char *what)
{
    hw_arena *keep = hw_arena_new(0), *work = hw_arena_new(0);
    hw_mesh_def def = hw_mesh_def_default();
    hw_mesh mesh;
    hw_mesh_made made;
    hw_float_mesh f;
    hw_mesh_report r = {0};
    hw_code code = hw_solid_mesh(keep, work, solid, &def, NULL, &mesh, &made);
    if (code == HW_OK) code = hw_mesh_to_float(keep, &mesh, mm, &f);
    if (code == HW_OK) code = hw_mesh_check(work, &f, NULL, &r);
    bool ok = code == HW_OK && hw_mesh_sound(&r);
    if (!hw_check_that(ok, what, __FILE__, __LINE__))
        printf("    %s: code %d, block %zu at %.3f %.3f %.3f mm, pinched %d, crossing %zu, open "
               "%zu\n",
               what, code, made.bad_block, made.bad_at.x / mm, made.bad_at.y / mm,
               made.bad_at.z / mm, made.pinched, r.crossing, r.open_edges);
    hw_arena_free(keep);
    hw_arena_free(work);
    return ok ? r.volume : (double)NAN;
}

// Area of a solid's section across y, holes taken off [mm^2].
static inline double section_area(const hw_solid *solid, double y) // [m]
{
    hw_arena *keep = hw_arena_new(0), *work = hw_arena_new(0);
    hw_mesh_def def = hw_mesh_def_default();
    hw_mesh_made made;
    hw_section s;
    double sum = NAN;
    if (hw_solid_section(keep, work, solid, &def, y, NULL, &s, &made) == HW_OK) {
        sum = 0;
        for (size_t i = 0; i < s.rings; i++) sum += hw_polygon_area(&s.ring[i]) / (mm * mm);
    }
    hw_arena_free(keep);
    hw_arena_free(work);
    return sum;
}

// A block, and others behind it in painter's order.
static inline hw_solid joined(hw_arena *keep, const hw_solid *a, const hw_solid *b)
{
    hw_block *all = HW_NEW(keep, hw_block, a->blocks + b->blocks);
    for (size_t i = 0; i < a->blocks; i++) all[i] = a->block[i];
    for (size_t i = 0; i < b->blocks; i++) all[a->blocks + i] = b->block[i];
    return (hw_solid){all, a->blocks + b->blocks};
}

#endif
