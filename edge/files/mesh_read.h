// Triangle meshes from files of three formats, for scans and for our own parts read back.
#ifndef HW_FILES_MESH_READ_H
#define HW_FILES_MESH_READ_H

#include "base/job.h"
#include "solid/solid.h"

// What the readers take. Memory is taken for what the bytes hold, never for what a count claims:
// at most 320 MB beside the bytes.
enum { HW_MESH_TRIANGLES = 2000000, HW_MESH_CORNERS = 3 * HW_MESH_TRIANGLES };

typedef struct hw_mesh_file {
    hw_float_mesh mesh; // equal corners are one vertex; in the file's unit, which it does not say
    bool text;          // was it a text form?
    size_t flat;        // triangles with two equal corners, left out
} hw_mesh_file;

// All readers: HW_BAD_INPUT: not such a file, cut off, a number that is none or not finite, an
// index out of range, no triangle; *out is then empty and one message with line and column (text)
// or triangle and byte (binary) is in `diags` (may be NULL). HW_LIMIT: over HW_MESH_TRIANGLES or
// HW_MESH_CORNERS. HW_NO_MEMORY. HW_CANCELLED.

// STL, binary or text. What kind it is, its size decides: a binary file is 84 bytes and 50 more a
// triangle, whatever its header starts with. Normals are not used. Text: any white space, any case,
// several solids in one file. Test: test/files/test_stl.c
HW_MUST_USE hw_code hw_stl_read(hw_arena *keep, hw_text bytes, const char *file, hw_diags *diags,
                                const hw_job *job, hw_mesh_file *out);

// PLY 1.0, ascii or binary of either byte order: x, y, z of the element "vertex", the list
// "vertex_indices" (or "vertex_index") of the element "face"; other elements and properties are
// passed over. Faces of more than three corners are cut into a fan; vertices without a face are
// left out. Source: Turk 1994, "The PLY Polygon File Format" (from memory). Test:
// test/files/test_mesh_read.c
HW_MUST_USE hw_code hw_ply_read(hw_arena *keep, hw_text bytes, const char *file, hw_diags *diags,
                                const hw_job *job, hw_mesh_file *out);

// OBJ: "v" and "f" lines, corners as 7, 7/1, 7//3, 7/1/3 or counted back from the last vertex as
// -1; everything else is passed over. Faces and vertices as for PLY. Source: the format as common
// practice reads it (from memory). Test: as above
HW_MUST_USE hw_code hw_obj_read(hw_arena *keep, hw_text bytes, const char *file, hw_diags *diags,
                                const hw_job *job, hw_mesh_file *out);

// The reader that fits: PLY by its first word, OBJ by the file's ending, STL otherwise. Test: as
// above
HW_MUST_USE hw_code hw_mesh_read(hw_arena *keep, hw_text bytes, const char *file, hw_diags *diags,
                                 const hw_job *job, hw_mesh_file *out);

#endif
