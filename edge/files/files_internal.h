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
