// Files of printed parts, as bytes in memory: meshes as STL and 3MF, outlines of layers as DXF and
// SVG, and meshes read back.
//
// Writers append to a buffer. The same input gives the same bytes: no clock, no random number,
// fixed time stamps. They fail by running out of memory (HW_NO_MEMORY, the buffer's arena has
// failed) and as said below; what was appended before a failure is to be thrown away.
#ifndef HW_FILES_H
#define HW_FILES_H

#include "base/text.h"
#include "files/mesh_read.h"
#include "solid/region.h"
#include "stack/stack.h"

// ---- meshes -----------------------------------------------------------------------------------

// Binary STL: an 80 byte header that says what the part is and that lengths are millimetres (the
// format has no unit of its own) and never starts with "solid", by which readers would take it for
// text; then one normal, three corners and an empty attribute a triangle. `mesh` in millimetres;
// whether it is sound is for its maker to ask (hw_mesh_check). HW_BAD_INPUT: an index beyond the
// vertices, a coordinate that is not finite. HW_LIMIT: over 2^32 - 1 triangles. Source: the format
// as common practice reads it (Marshall Burns 1993, "Automated Fabrication", section 6.5, from
// memory). Test: test/files/test_stl.c
HW_MUST_USE hw_code hw_stl_write(const hw_float_mesh *mesh, const char *name, hw_buffer *out);

// Where a part's frame comes to lie on the plate.
typedef struct hw_3mf_place {
    int quarters; // of a turn about z, counter-clockwise seen from above, 0 to 3
    hw_vec3 at;   // of the frame's origin [m]
} hw_3mf_place;

typedef struct hw_3mf_material {
    const char *name;
    uint32_t colour; // 0xRRGGBB
} hw_3mf_material;

typedef struct hw_3mf_part {
    const char *name;          // that people see: "index middle phalanx"
    const hw_float_mesh *mesh; // in millimetres, sound
    hw_3mf_place place;
    size_t material; // number in the plate's list
} hw_3mf_part;

// One plate. Texts are UTF-8; NULL or empty ones are left out.
typedef struct hw_3mf_plate {
    const char *design, *plate; // become the title: "Heron, plate 1"
    const char *revision;       // of the design
    const char *description;    // what else there is to say
    const hw_3mf_material *material;
    size_t materials;
    const hw_3mf_part *part;
    size_t parts;
} hw_3mf_plate;

// A 3MF package of the core specification: unit millimetre, one object and one build item a part,
// colours as base materials, metadata Title, Description and Application (none that names a
// person). Vertices are written so that they read back as the same floats. HW_BAD_INPUT: no part, a
// name that is missing, a material or quarter out of range, a place or a coordinate that is not
// finite, an index beyond the vertices, text that is not UTF-8. HW_LIMIT: a part file of 4 GiB or
// more. HW_NO_MEMORY. Source: 3MF Core Specification 1.3 (from memory); ZIP as APPNOTE 6.3 has it
// (from memory). Test: test/files/test_3mf.c
HW_MUST_USE hw_code hw_3mf_write(const hw_3mf_plate *plate, hw_buffer *out);

// ---- outlines ---------------------------------------------------------------------------------

// A part, or a slice of one: rings and how far they reach across.
typedef struct hw_sketch_shape {
    const char *layer; // the layer that it is in: "cheek 1"
    const char *part;  // the part's name
    hw_region region;
    double low, high; // across [m]
} hw_sketch_shape;

// An axis that runs through the layer: cross lines and, where radius > 0, a circle.
typedef struct hw_sketch_axis {
    const char *layer;
    hw_vec2 at;    // [m]
    double radius; // [m]
} hw_sketch_axis;

// A drawing to scale 1 : 1, x to the right, z up.
typedef struct hw_sketch {
    const char *title, *note; // note: revision and the like; may be NULL
    const hw_sketch_shape *shape;
    size_t shapes;
    const hw_sketch_axis *axis;
    size_t axes;
    bool names; // letter every shape with its part's name, once a part
} hw_sketch;

// DXF of release 12 in ASCII, millimetres (said in a comment and in the drawing, since that release
// has no entry for it). Every ring is a closed POLYLINE with bulges, so arcs stay arcs; its
// elevation and thickness say where across the digit it lies; axes are LINEs and CIRCLEs; names are
// TEXT. Layers are named after ours in capitals with _ for what release 12 does not allow, with
// _AXES and _TEXT for what is no outline. HW_BAD_INPUT: no shape, a missing name, a value that is
// not finite. HW_NO_MEMORY. Source: DXF reference of release 12 (from memory). Test:
// test/files/test_sketch.c
HW_MUST_USE hw_code hw_dxf_write(const hw_sketch *s, hw_buffer *out);

// The same as SVG in millimetres with real text: one group a layer, one path a shape with all
// its rings, arcs as arcs; data-low and data-high say where across the digit it lies [mm]. Codes as
// hw_dxf_write. Test: test/files/test_sketch.c
HW_MUST_USE hw_code hw_sketch_svg(const hw_sketch *s, hw_buffer *out);

// One layer of a digit: every part of it in the pose that is printed, named, and the axes of the
// joints and bars that run through it. `digit` is the digit's name for the title ("index"),
// `design` may be NULL. Everything in *out lives in `keep`. HW_NO_ASSEMBLY: the printed pose does
// not close. HW_BAD_INPUT: there is no such layer. Others as hw_stack_profile. Test:
// test/files/test_sketch.c
HW_MUST_USE hw_code hw_sketch_layer(hw_arena *keep, hw_arena *work, const char *design,
                                    const char *digit, const hw_digit *d, const hw_layers *l,
                                    const hw_stack *k, int layer, hw_sketch *out);

// "cheek-1", "tang-1", "bar-a", "bar-b-2": a layer's name among its digit's, numbered from side 0
// where there are several of its kind; for file names and in drawings. Returns out.
const char *hw_layer_name(const hw_layers *l, int layer, char out[24]);

// A part as a stack of slices, exactly as its solid is between the planes of its blocks; where
// walls taper, in steps of at most `step` [m] (> 0) whose outline is that half way. Chords of arcs
// become arcs again within `deviation` [m] (> 0), which the solid's chords were made with. For
// cutting parts from sheet, and for rebuilding them elsewhere. Layers are "slice 1" and so on from
// the low side. Everything in *out lives in `keep`. HW_BAD_INPUT: no blocks, a step or deviation
// that is not above 0, and as hw_solid_section. HW_LIMIT: over 4096 slices. Others as
// hw_solid_section. Test: test/files/test_sketch.c
HW_MUST_USE hw_code hw_sketch_part(hw_arena *keep, hw_arena *work, const char *title,
                                   const char *part, const hw_solid *solid, const hw_mesh_def *def,
                                   double step, double deviation, // [m] [m]
                                   const hw_job *job, hw_sketch *out);

#endif
