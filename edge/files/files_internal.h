// Shared by the files of this room only.
#ifndef HW_FILES_INTERNAL_H
#define HW_FILES_INTERNAL_H

#include "files/files.h"

// ---- bytes.c ----------------------------------------------------------------------------------

// Little-endian, whatever the machine is.
void hw_put_u16(hw_buffer *b, uint32_t v);
void hw_put_u32(hw_buffer *b, uint32_t v);
void hw_put_f32(hw_buffer *b, float v);
uint32_t hw_get_u32(const char *at);
float hw_get_f32(const char *at);

// The shortest decimal text that reads back to the same float, as a double or as a float.
void hw_put_float(hw_buffer *b, float v);
// A number with at most `decimals`, without zeros at its end; "-0" is "0".
void hw_put_decimal(hw_buffer *b, double v, int decimals); // [1]
// A metre value in millimetres.
void hw_put_mm(hw_buffer *b, double v, int decimals); // [m]
// Text for XML, in elements and in attributes with double quotes; characters that XML 1.0 has not
// become '?'. The text must be UTF-8.
void hw_put_xml(hw_buffer *b, const char *text);

// HW_BAD_INPUT: an index beyond the vertices or a coordinate that is not finite.
hw_code hw_mesh_fit(const hw_float_mesh *m);

// ---- mesh_read.c ------------------------------------------------------------------------------

typedef struct hw_mesh_reader {
    hw_arena *keep;
    hw_text bytes;
    const char *file;
    hw_diags *diags;
    const hw_job *job;
    hw_mesh_file *out;
    size_t at, word;    // bytes read; where the last word begins
    int line;           // text: of what was read last; 0: no place
    size_t verts, tris; // that there is room for
    uint32_t *slot;     // open addressing over vertices: number + 1
    size_t slots;
} hw_mesh_reader;

enum { HW_MESH_POLL = 1 << 14 }; // triangles between two questions to the job

// Adds a message at the last word and returns the code.
__attribute__((format(printf, 5, 6))) hw_code hw_mesh_refuse(hw_mesh_reader *r, hw_code code,
                                                             hw_text found, hw_text expected,
                                                             const char *format, ...);
bool hw_mesh_is_space(char c);
hw_text hw_mesh_word(hw_mesh_reader *r); // the next word; empty at the end of the file
void hw_mesh_skip_line(hw_mesh_reader *r);
bool hw_mesh_is_word(hw_text t, const char *word); // in any case; `word` in small letters
// The word's number, finite also as a float; says that `what` was expected. [1]
hw_code hw_mesh_number(hw_mesh_reader *r, hw_text t, const char *what, double *out);

// Room for so many vertices and triangles, or for as many as are taken. False: out of memory.
bool hw_mesh_room(hw_mesh_reader *r, size_t verts, size_t tris);
// Number of the vertex at a place, a new one if there is none; there must be room. [file's unit]
uint32_t hw_mesh_corner(hw_mesh_reader *r, const float p[3]);
// HW_LIMIT: there is no room.
hw_code hw_mesh_triangle(hw_mesh_reader *r, uint32_t a, uint32_t b, uint32_t c);

// A face's corners one after the other, made into triangles.
typedef struct hw_fan {
    size_t n;
    uint32_t first, last;
} hw_fan;
hw_code hw_mesh_fan(hw_mesh_reader *r, hw_fan *fan, uint32_t corner);

// What stands round each format's own part.
hw_code hw_mesh_read_by(hw_code (*read)(hw_mesh_reader *r), hw_arena *keep, hw_text bytes,
                        const char *file, hw_diags *diags, const hw_job *job, hw_mesh_file *out);

// ---- sketch.c ---------------------------------------------------------------------------------

typedef struct hw_extent {
    hw_vec2 low, high; // [m]
} hw_extent;

// HW_BAD_INPUT: what the writers refuse. *box: round all that is drawn.
hw_code hw_sketch_fit(const hw_sketch *s, hw_extent *box);

// Where the middle of shape i's name goes and how high its letters are, one `letter` wide at a
// height of 1: inside the shape, as large as fits. False: no name, since the part has one already.
bool hw_sketch_label(const hw_sketch *s, size_t i, double letter, hw_vec2 *at,
                     double *height); // [m]

// Makes the box hold a disc.
void hw_extent_grow(hw_extent *box, hw_vec2 at, double radius); // [m]

#endif
