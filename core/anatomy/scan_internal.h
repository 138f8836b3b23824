// Shared by the files that measure a scan.
#ifndef HW_ANATOMY_SCAN_INTERNAL_H
#define HW_ANATOMY_SCAN_INTERNAL_H

#include "anatomy/scan.h"
#include "base/vec3.h"

// One run. Everything is in the mesh's frame and unit until the landmarks are made.
typedef struct hw_scanner {
    const hw_float_mesh *mesh;
    const hw_near *near;
    const hw_picks *picks;
    hw_scan_def def; // its shares times `size`: lengths
    const char *mesh_file, *picks_file;
    hw_diags *diags;
    double size; // the hand's length, as the picks have it
    double sign; // -1: triangles face inward
    hw_mark mark[HW_MARKS];
} hw_scanner;

// ---- scan.c: adds a message made of parts, NULL at their end, at a pick's line (-1: of the mesh),
// and returns its code; HW_OK is a note.
__attribute__((sentinel)) hw_code hw_scan_say(const hw_scanner *s, hw_code code, int line,
                                              const char *found, const char *expected, ...);

// ---- section.c: the section of a digit in the plane square to f->x, by rays from f->at, which is
// inside it, no longer than `reach`; y is across the digit, z out of its back. False: there is none
// like a finger's.
typedef struct hw_scan_ring {
    hw_vec3 centre;
    double thick, wide; // along z and y [m]
    double blind;       // the widest angle in which nothing of the digit's own is seen [rad]
} hw_scan_ring;
bool hw_scan_section(const hw_scanner *s, const hw_frame *f, double reach, hw_scan_ring *out);

// ---- middles.c: middle lines of segments, each at the mark it begins with, from centres that are
// found already.
typedef struct hw_middle {
    bool known;
    hw_vec3 at, way; // mean of its sections' centres; toward the tip
    size_t cuts;     // sections
    double square;   // sum of the squares of their places round `at`, along it [m^2]
} hw_middle;
void hw_scan_middles(const hw_scanner *s, hw_middle out[HW_MARKS]);
// How far to move a joint from m->at along its digit, since the lines before and after it cross
// there; or a knuckle across, since the first line passes there. *sd is the picks' before, that of
// both after; untouched with 0 where lines say nothing. [m] Test: test/anatomy/test_middles.c
double hw_scan_crossing(const hw_scanner *s, const hw_middle line[HW_MARKS], int mark,
                        const hw_mark *m, double *sd);
double hw_scan_prolonged(const hw_scanner *s, const hw_middle *first, const hw_mark *m, double *sd);

// ---- marks.c: centres and their uncertainty from snapped picks; `skin` and `lifted` are filled.
hw_code hw_scan_marks(hw_scanner *s);
// Mean distance to the skin from `from` within a narrow bundle round `along`; NaN: all slip
// through.
double hw_scan_bundle(const hw_scanner *s, hw_vec3 from, hw_vec3 along, double most);

// ---- landmarks.c: frames, lengths, intervals, all in metres and in the hand's frame.
hw_code hw_scan_landmarks(hw_scanner *s, hw_scan *out);

#endif
