// Inside of the views, for view*.c and their tests.
#ifndef HW_DRAW_VIEW_INTERNAL_H
#define HW_DRAW_VIEW_INTERNAL_H

#include "base/vec.h"
#include "draw/view.h"

// Pixels of a picture a millimetre of paper: twice what a sheet's PNG is written with, so that
// lines come out smooth. [1/mm]
#define HW_VIEW_FINE 16.0

enum { HW_VIEW_NO_PART = 0 };

// Where a part's corner lies. [m]
hw_vec3 hw_view_corner(const hw_view_part *part, size_t i);

// The picture while it is made; arrays of w * h, row by row from the top left.
typedef struct hw_view_picture {
    size_t w, h;            // pixels
    hw_vec3 right, up, eye; // of the camera, unit, square to each other [1]
    double size;            // of a pixel [m]
    double left, top;       // of the picture, along right and up [m]
    bool cut;
    double plane[3]; // depth of the cut plane: plane[0] + plane[1] * x + plane[2] * y, x and y
                     // pixel centres from the top left [m]
    float *depth;    // along eye, larger is nearer [m]
    uint16_t *part;  // number + 1; HW_VIEW_NO_PART: paper
    uint32_t *face;  // smooth faces get numbers of their own, through all parts; 0: paper
    uint8_t *shade;  // 0 in full light to 255 [1]
    uint8_t *is_cut; // 1: in the cut plane
    int8_t *behind;  // surfaces of the part at work behind the cut plane, leaving less entering
} hw_view_picture;

// Smooth faces of a mesh: triangles that meet in an edge of less than HW_VIEW_CREASE belong
// together. face[i] of each triangle gets a number from 0; returns how many there are.
#define HW_VIEW_CREASE (40 * HW_PI / 180) // [rad]
HW_MUST_USE hw_code hw_view_faces(hw_arena *work, const hw_mesh *mesh, uint32_t face[],
                                  size_t *count);

double hw_view_extent(const hw_mesh *mesh); // along the axis of its longest [m]

// A normal at every triangle's corner, a mean over its face round it: a skin's facets do not show,
// flats and edges between faces stay as they are. out: 3 * tris, unit, zero where nothing has an
// area [1]. HW_NO_MEMORY. Test: test/draw/test_view.c
HW_MUST_USE hw_code hw_view_normals(hw_arena *work, const hw_mesh *mesh, const uint32_t face[],
                                    hw_vec3 out[]);

// Scan-converts one part into the picture: depth, face (from `first_face` on; that number itself is
// the cut), shade. HW_NO_MEMORY, HW_CANCELLED.
HW_MUST_USE hw_code hw_view_paint(hw_arena *work, hw_view_picture *p, const hw_view_part *part,
                                  size_t number, uint32_t *first_face, const hw_job *job,
                                  double from, double width); // [1] [1]

// Faces of a part that are too small to be seen, of two thirds of a millimetre of paper, become
// what is round them: grain of meshes along edges. HW_NO_MEMORY. Test: test/draw/test_view.c
HW_MUST_USE hw_code hw_view_crumbs(hw_arena *work, hw_view_picture *p);

// Shades, hatching and lines of a finished picture: share of ink of each pixel, 0 to 255. hatch[i]
// is that of part i.
HW_MUST_USE hw_code hw_view_ink(hw_arena *work, const hw_view_picture *p, const int hatch[],
                                const hw_job *job, uint8_t *ink);

// The pixel of each part that lies deepest inside what can be seen of it, to four pixels (of those,
// the one nearest its middle); at[i] = SIZE_MAX where nothing of part i can be seen. HW_NO_MEMORY.
HW_MUST_USE hw_code hw_view_spots(hw_arena *work, const hw_view_picture *p, size_t parts,
                                  size_t at[]);

// Camera, scale and the painted picture of a view, in `work`. Codes as hw_draw_view.
HW_MUST_USE hw_code hw_view_take(hw_arena *work, const hw_view_def *def, const hw_view_part *part,
                                 size_t parts, const hw_job *job, hw_view_picture *out);

#endif
