// What a printer makes of parts that lie on its bed: slices, findings, filament, time, plates.
//
// A group is a set of parts that come off the bed together: closed, oriented meshes in one bed
// frame, x and y on the bed, z up, the bed at z = 0. A slice is the section at the middle of a
// layer. Findings come from the slices, and from the facets where those say it exactly. Shortfalls
// are values here, never codes.
#ifndef HW_PRINT_H
#define HW_PRINT_H

#include "solid/allow.h"
#include "solid/solid.h"

// ---- what is printed, and on what -----------------------------------------------------------

typedef struct hw_print_part {
    const char *name; // borrowed; unique in its group
    const hw_mesh *mesh;
    const hw_allowance *allow; // places of permitted undersides
    size_t allows;
} hw_print_part;

// The printer, the filament, and what is asked. Lengths > 0 unless said otherwise.
typedef struct hw_print_def {
    double layer, line;  // height of a layer, width of a line [m]
    double gap;          // least gap between moving parts [m]
    double overhang;     // steepest underside that prints, from the vertical, below pi/2 [rad]
    double facet;        // more than that is let pass, for facets of round surfaces, >= 0 [rad]
    double bridge;       // longest span that a line crosses in the air [m]
    double crown;        // widest lying hole whose crown may hang [m]
    double jut;          // farthest that a declared cut-out may jut out from what carries it [m]
    double spread;       // of the first layer, outward on every side, >= 0 [m]
    double bed[3];       // x, y, z that the printer reaches [m]
    double margin;       // kept free at the bed's edge and between groups, >= 0 [m]
    double walls;        // lines along every outline [1]
    double infill;       // share of what lies inside walls, floors and roofs that is filled, 0 to 1
                         // [1]
    double solid_layers; // of every floor and roof [1]
    double density;      // of the filament [kg/m^3]
    double speed;        // mean along lines, speeding up and slowing down included [m/s]
    double layer_change; // from one layer to the next, >= 0 [s]
    double hop;          // from one outline to the next, >= 0 [s]
    double start;        // of a plate: heating, first line, >= 0 [s]
} hw_print_def;

// A 0.4 mm nozzle on a bed of 180 mm: the defaults of the document's entries. Test:
// test/print/test_print.c
hw_print_def hw_print_def_default(void);

// ---- slices ---------------------------------------------------------------------------------

typedef struct hw_bed_spot {
    double x, y; // on the bed [m]
} hw_bed_spot;

typedef struct hw_print_ring {
    hw_bed_spot *at; // closed: the last spot is joined to the first
    size_t n;
    double area;   // counter-clockwise positive: the inside lies on the left, holes are negative
                   // [m^2]
    uint32_t body; // its number among the separate regions of its slice, holes with what they are
                   // in
} hw_print_ring;

// One part in one layer.
typedef struct hw_print_slice {
    hw_print_ring *ring;
    size_t rings, bodies;
    double area;   // [m^2]
    double length; // of all outlines [m]
} hw_print_slice;

typedef struct hw_slices {
    size_t layers, parts;
    double layer;          // height; slice i lies at (i + 1/2) of it [m]
    hw_print_slice *slice; // of part p in layer i: slice[i * parts + p]
} hw_slices;

// Slices of a group in `keep`; `work` is rewound. A plane through corners is taken as just below
// them, so every facet is cut in two corners or not at all and all rings close. Points on straight
// runs are left out. HW_BAD_INPUT: no parts, a layer that is not above 0, or a mesh that is empty,
// not finite, open, not oriented alike, or below the bed; *bad is then the part (SIZE_MAX: none).
// HW_LIMIT: over 2^16 layers. HW_NO_MEMORY. HW_CANCELLED. *out is empty unless HW_OK. Accuracy:
// corners to 4 eps of the extent, straight runs to 1e-6 layers. Source: symbolic perturbation,
// Edelsbrunner & Muecke 1990, ACM Trans. Graph. 9(1), from memory. Test: test/print/test_slice.c
HW_MUST_USE hw_code hw_slices_make(hw_arena *keep, hw_arena *work, const hw_print_part part[],
                                   size_t parts, double layer, // [m]
                                   const hw_job *job, hw_slices *out, size_t *bad);

// ---- findings of a group --------------------------------------------------------------------

// A region of a slice that nothing of its own part carries.
typedef struct hw_print_island {
    size_t part, layer;
    hw_bed_spot at; // inside it [m]
    double area;    // [m^2]
} hw_print_island;

typedef enum hw_print_hold {
    HW_HANG_SMALL,     // juts out a line and a half at most, spans three at most: needs no word
    HW_HANG_PERMITTED, // declared, and what was declared
    HW_HANG_OPEN,      // not declared
    HW_HANG_REFUSED    // declared, but not of its kind: too wide, or not held as its kind asks
} hw_print_hold;

// Facets beside each other that hang more than the limit.
typedef struct hw_print_hang {
    size_t part;
    double area;       // [m^2]
    double steepest;   // from the vertical; a flat underside is pi/2 [rad]
    hw_vec3 low, high; // its box [m]
    double span;       // longest line across it from carrier to carrier, in the direction that does
                       // best; 0: none [m]
    double jut;        // farthest that any of it lies from what carries it or from a line between
                       // carriers, in that direction; infinite: it has no carrier [m]
    double opening;    // of the hole under it, measured where it was declared a crown, else NaN [m]
    hw_print_hold hold;
    hw_allowance_kind kind; // as declared, where it was
} hw_print_hang;

// Where two parts come nearest.
typedef struct hw_print_near {
    size_t a, b;    // parts; SIZE_MAX where there is no pair
    size_t layer;   // of a; b lies in the same, or as many layers away as `above` says
    int above;      // layers from a's to b's [1]
    hw_bed_spot at; // half way between them [m]
    double gap;     // 0: they meet; infinite: no pair [m]
} hw_print_near;

// What was found for one part.
typedef struct hw_print_of {
    double volume, area;     // of the mesh [m^3] [m^2]
    double filament;         // volume of plastic that goes into it [m^3]
    double length;           // of all lines [m]
    size_t layers, outlines; // layers it has, rings in all of them
    size_t pieces;           // it comes off the bed in; 1 is right
    bool on_bed;             // has a first layer
    double open_area;        // of undersides that are neither declared nor printable [m^2]
    double permitted_area;   // of small ones, and of declared ones that are of their kind [m^2]
    double wall;             // thinnest wall over three layers; infinite: none below five lines [m]
    hw_bed_spot wall_at;     // [m]
    size_t wall_layer;
    double odd_share;   // of the outlines: walls of 1 to 4 lines, off a multiple by over a quarter
                        // line [1]
    double odd_wall;    // the longest of them; 0: none [m]
    hw_bed_spot odd_at; // [m]
    size_t odd_layer;
} hw_print_of;

// How a rectangle that holds the group lies on the bed.
typedef struct hw_bed_fit {
    double size[3];    // extents along x, y, z as modelled [m]
    double spare;      // of the bed less margins, as modelled, the smaller of both sides [m]
    double spare_turn; // turned by 90 degrees [m]
    double spare_any;  // at the best angle [m]
    double angle;      // that angle, 0 to pi, from the modelled pose [rad]
    double spare_z;    // of the height [m]
} hw_bed_fit;

typedef struct hw_print_report {
    hw_print_of *of; // of each part
    size_t parts, layers;
    hw_print_island *island; // by layer, then part
    size_t islands;
    hw_print_hang *hang; // by part
    size_t hangs;
    hw_print_near *near; // every pair that comes nearer than two gaps in a slice, nearest first
    size_t nears;
    hw_print_near gap;   // least in any slice
    hw_print_near step;  // least between layers as printed, up to two gaps apart in height: stairs
                         // eat into a sloping gap, and one part may lie over another
    hw_print_near first; // least in the first slice, before it spreads
    double *slice_gap;   // least in each slice; infinite: none nearer than two gaps [m]
    hw_bed_fit fit;
    double mass;     // of filament [kg]
    double time;     // of the group alone on a plate [s]
    double length;   // of all lines [m]
    size_t outlines; // rings in all layers
} hw_print_report;

// Everything about one group, in `keep`; `work` is rewound. HW_BAD_INPUT as hw_slices_make, or a
// number of the definition is out of its range (*bad is then SIZE_MAX). HW_NO_MEMORY. HW_LIMIT.
// HW_CANCELLED. *out is empty unless HW_OK. The same for any number of threads. Scales: a group
// and a definition made larger by a power of two give findings larger by it. Model and assumptions:
// core/print/README.md. Test: test/print/
HW_MUST_USE hw_code hw_print_judge(hw_arena *keep, hw_arena *work, const hw_print_part part[],
                                   size_t parts, const hw_print_def *def, const hw_job *job,
                                   hw_print_report *out, size_t *bad);

// The findings of a group, as rows of the findings table (core/verdict) name them.
typedef enum hw_print_quantity {
    HW_PRINT_ISLANDS,    // islands, parts without a first layer among them [1]
    HW_PRINT_OVERHANG,   // largest share of a part's area that hangs and may not [1]
    HW_PRINT_EXCEPTIONS, // largest share of a part's area that hangs by permission or is small [1]
    HW_PRINT_BRIDGE,     // longest span of all that hang from carrier to carrier [m]
    HW_PRINT_GAP,        // least gap in any slice less the printer's; infinite: one part [m]
    HW_PRINT_STEP_GAP,   // least gap between layers as printed less half the printer's [m]
    HW_PRINT_FIRST,      // gap left in the first layer once it spreads less the printer's [m]
    HW_PRINT_WALL,       // thinnest wall over a line [1]
    HW_PRINT_PIECES,     // pieces beyond one a part [1]
    HW_PRINT_BED,        // room left on the bed as modelled or turned by 90 degrees, and above [m]
    HW_PRINT_MASS,       // [kg]
    HW_PRINT_TIME,       // [s]
    HW_PRINT_QUANTITIES
} hw_print_quantity;

// The id of a quantity's finding, "print_gap"; never NULL for a quantity. Test:
// test/print/test_print.c
const char *hw_print_id(hw_print_quantity q);

// The value of a quantity [SI]. Test: test/print/test_print.c
double hw_print_value(const hw_print_report *report, const hw_print_def *def,
                      hw_print_quantity q); // [SI]

// One sentence without full stop: where it is worst, and where it falls short which entry changes
// it; in `keep`. NULL: out of memory. Test: test/print/test_print.c
const char *hw_print_note(hw_arena *keep, const hw_print_report *report, const hw_print_part part[],
                          const hw_print_def *def, hw_print_quantity q);

// "crown", "bridge", "cut-out"; never NULL. Test: test/print/test_print.c
const char *hw_allowance_text(hw_allowance_kind kind);

// Time of a plate: all lines at the mean speed, a change for every layer, a hop for every outline,
// the start [s]. Test: test/print/test_amount.c
double hw_print_time(const hw_print_def *def, double length, size_t layers, // [m]
                     size_t outlines);                                      // [s]

// ---- plates ---------------------------------------------------------------------------------

// A group's reach on the bed as modelled.
typedef struct hw_plate_item {
    double low[2], high[2]; // x, y [m]
    double height;          // [m]
} hw_plate_item;

typedef struct hw_plate_place {
    int plate;      // from 0; -1: it fits no plate
    bool turned;    // by 90 degrees, (x, y) to (-y, x), before it is moved
    double move[2]; // to the bed's frame, its corner at 0, multiples of the grid [m]
} hw_plate_place;

// Places groups on as few plates as it finds; all lie inside the bed less its margin and are a
// margin apart. HW_BAD_INPUT: a number is not finite, an item without extent, or grid not above 0.
// HW_NO_MEMORY. *plates counts those in use. Deterministic; the same order of items, the same
// places. Source: skyline, lowest place first (Burke, Kendall & Whitwell 2004, Oper. Res. 52(4),
// from memory). Test: test/print/test_plates.c
HW_MUST_USE hw_code hw_plates_pack(hw_arena *work, const hw_plate_item item[], size_t items,
                                   const hw_print_def *def, double grid, // [m]
                                   hw_plate_place place[], int *plates);

#endif
