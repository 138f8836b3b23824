// Filament and lines: outlines solid as deep as the walls go, floors and roofs solid, the rest
// filled in part.
#include <math.h>

#include "print/print_internal.h"

double hw_print_time(const hw_print_def *def, double length, size_t layers, size_t outlines)
{
    return def->start + length / def->speed + (double)layers * def->layer_change +
           (double)outlines * def->hop;
}

// What a ring adds to length and corners of its region's inset: drawn in by d it loses length * d
// less corners * d^2 (a mitre at every corner: the half turn's tangent).
static void inset_terms(const hw_print_ring *ring, double *length, double *corners)
{
    for (size_t i = 0; i < ring->n; i++) {
        hw_bed_spot a = ring->at[i ? i - 1 : ring->n - 1], b = ring->at[i],
                    c = ring->at[i + 1 < ring->n ? i + 1 : 0];
        double ux = b.x - a.x, uy = b.y - a.y, vx = c.x - b.x, vy = c.y - b.y;
        double turn = atan2(ux * vy - uy * vx, ux * vx + uy * vy);
        double mitre = tan(0.5 * turn);
        *corners += fmax(-4, fmin(4, mitre)); // sharper than 152 degrees: cut off
        *length += hypot(vx, vy);
    }
}

// Area farther than `depth` inside a slice, region by region. The formula holds until sides of the
// inset vanish; then it is cut off at nothing.
static double core_area(const hw_print_slice *s, double depth)
{
    double sum = 0;
    for (uint32_t b = 0; b < s->bodies; b++) {
        double area = 0, length = 0, corners = 0;
        for (size_t i = 0; i < s->rings; i++) {
            if (s->ring[i].body != b) continue;
            area += s->ring[i].area;
            inset_terms(&s->ring[i], &length, &corners);
        }
        // past its lowest point the parabola says nothing
        if (corners > 0 && depth >= 0.5 * length / corners) continue;
        sum += fmin(area, fmax(0, area - length * depth + corners * depth * depth));
    }
    return sum;
}

hw_code hw_print_amount(hw_print_run *r)
{
    const hw_slices *sl = r->slices;
    const hw_print_def *def = r->def;
    double *core = HW_NEW(r->work, double, sl->layers);
    if (!core) return HW_NO_MEMORY;
    size_t solid = (size_t)def->solid_layers;
    for (size_t p = 0; p < sl->parts; p++) {
        hw_print_of *of = &r->out->of[p];
        for (size_t i = 0; i < sl->layers; i++)
            core[i] = core_area(&sl->slice[i * sl->parts + p], def->walls * def->line);
        double section = 0;
        for (size_t i = 0; i < sl->layers; i++) {
            double sparse = core[i]; // what every layer near enough above and below covers
            for (size_t k = 1; k <= solid; k++) {
                sparse = fmin(sparse, i >= k ? core[i - k] : 0);
                sparse = fmin(sparse, i + k < sl->layers ? core[i + k] : 0);
            }
            section += sl->slice[i * sl->parts + p].area - (1 - def->infill) * sparse;
            of->outlines += sl->slice[i * sl->parts + p].rings;
        }
        of->filament = section * sl->layer;
        of->length = section / def->line;
        r->out->mass += of->filament * def->density;
        r->out->length += of->length;
        r->out->outlines += of->outlines;
    }
    r->out->time = hw_print_time(def, r->out->length, sl->layers, r->out->outlines);
    return HW_OK;
}
