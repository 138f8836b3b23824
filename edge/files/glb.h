// A scene of placed parts as binary glTF, for looking at.
#ifndef HW_FILES_GLB_H
#define HW_FILES_GLB_H

#include "base/text.h"
#include "solid/solid.h"

typedef struct hw_glb_material {
    const char *name;
    uint32_t colour;  // 0xRRGGBB as screens show it
    double roughness; // 0 to 1 [1]
} hw_glb_material;

typedef struct hw_glb_part {
    const char *name;          // of its node: "index middle phalanx"
    const hw_float_mesh *mesh; // in millimetres, sound
    hw_frame place;            // of the mesh's frame in the hand's: unit axes, right-handed
    size_t material;           // number in the scene's list
} hw_glb_part;

typedef struct hw_glb_scene {
    const char *name; // of the scene and its root: "Heron, half closed"
    const hw_glb_material *material;
    size_t materials;
    const hw_glb_part *part;
    size_t parts;
} hw_glb_scene;

// One binary glTF 2.0 file: metres, y up, z forward; one root that turns the hand's frame (x toward
// the fingers, y toward the thumb, z out of the back) so that the back is up and the fingers point
// forward; under it one named node a part with its own mesh, placed by translation and rotation.
// Faces are flat: no normals are written, so a reader makes them of the triangles. Least and
// greatest of the positions are exactly those of the floats written. HW_BAD_INPUT: no part, a
// missing name, a material out of range, a place or coordinate that is not finite, axes that are
// not unit and square to 1e-9, an index beyond the vertices, a mesh without triangles, text that is
// not UTF-8. HW_LIMIT: 4 GiB or more. HW_NO_MEMORY. Accuracy: coordinates 1e-7 of the part's size,
// the format's floats. Source: Khronos Group, glTF 2.0 Specification, 2021 (from memory). Test:
// test/files/test_glb.c
HW_MUST_USE hw_code hw_glb_write(const hw_glb_scene *scene, hw_buffer *out);

#endif
