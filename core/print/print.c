// The whole judgement of a group, stage by stage.
#include <math.h>

#include "print/print_internal.h"

hw_print_def hw_print_def_default(void)
{
    const double mm = 1e-3, deg = HW_PI / 180;
    return (hw_print_def){.layer = 0.2 * mm,
                          .line = 0.42 * mm,
                          .gap = 0.25 * mm,
                          .overhang = 45 * deg,
                          .facet = 1 * deg,
                          .bridge = 10 * mm,
                          .crown = 4 * mm,
                          .jut = 2 * mm,
                          .spread = 0.15 * mm,
                          .bed = {180 * mm, 180 * mm, 180 * mm},
                          .margin = 4 * mm,
                          .walls = 4,
                          .infill = 0.3,
                          .solid_layers = 4,
                          .density = 1240,
                          .speed = 40 * mm,
                          .layer_change = 2,
                          .hop = 0.4,
                          .start = 300};
}

// ---- the whole ------------------------------------------------------------------------------

static bool positive(double x)
{
    return x > 0 && isfinite(x);
}

static bool not_negative(double x)
{
    return x >= 0 && isfinite(x);
}

static bool good_def(const hw_print_def *d)
{
    return positive(d->layer) && positive(d->line) && positive(d->gap) && positive(d->bridge) &&
           positive(d->crown) && positive(d->jut) && positive(d->bed[0]) && positive(d->bed[1]) &&
           positive(d->bed[2]) && positive(d->density) && positive(d->speed) &&
           not_negative(d->overhang) && not_negative(d->facet) &&
           d->overhang + d->facet < 0.5 * HW_PI && not_negative(d->spread) &&
           not_negative(d->margin) && not_negative(d->walls) && d->infill >= 0 && d->infill <= 1 &&
           d->solid_layers >= 0 && d->solid_layers <= 1e6 && not_negative(d->layer_change) &&
           not_negative(d->hop) && not_negative(d->start);
}

static hw_code measure_parts(hw_print_run *r)
{
    const hw_slices *sl = r->slices;
    for (size_t p = 0; p < sl->parts; p++) {
        hw_print_of *of = &r->out->of[p];
        hw_mass mass = hw_mesh_mass(r->part[p].mesh, 1);
        of->volume = mass.volume;
        of->area = mass.area;
        for (size_t i = 0; i < sl->layers; i++)
            of->layers += sl->slice[i * sl->parts + p].rings > 0;
        of->on_bed = sl->layers && sl->slice[p].rings > 0;
        hw_code code = hw_print_pieces(r->work, r->part[p].mesh, r->twin[p], &of->pieces);
        if (code != HW_OK) return code;
    }
    return HW_OK;
}

// The slices are the first quarter of the work.
static bool first_quarter(void *self, double fraction, const char *stage)
{
    return hw_job_go_on(self, 0.25 * fraction, stage);
}

static hw_code judge(hw_print_run *r, size_t parts, hw_slices *slices, size_t *bad)
{
    hw_job outer = r->job ? *r->job : (hw_job){0}, quarter = {first_quarter, &outer};
    hw_code code =
        hw_slices_make(r->work, r->keep, r->part, parts, r->def->layer, &quarter, slices, bad);
    if (code != HW_OK) return code;
    r->slices = slices;
    const uint32_t **twin = HW_NEW(r->work, const uint32_t *, parts);
    r->out->of = HW_NEW(r->keep, hw_print_of, parts);
    if (!twin || !r->out->of) return HW_NO_MEMORY;
    for (size_t p = 0; p < parts; p++) {
        uint32_t *one;
        code = hw_print_twins(r->work, r->part[p].mesh, &one);
        if (code != HW_OK) return code;
        twin[p] = one;
    }
    r->twin = twin;
    r->out->parts = parts;
    r->out->layers = slices->layers;
    static hw_code (*const stage[])(hw_print_run *) = {
        measure_parts,  hw_print_hangs,  hw_print_islands, hw_print_gaps,
        hw_print_walls, hw_print_amount, hw_print_fit};
    for (size_t i = 0; i < sizeof stage / sizeof stage[0] && code == HW_OK; i++) {
        size_t mark = hw_arena_mark(r->work);
        code = stage[i](r);
        hw_arena_rewind(r->work, mark);
    }
    return code;
}

hw_code hw_print_judge(hw_arena *keep, hw_arena *work, const hw_print_part part[], size_t parts,
                       const hw_print_def *def, const hw_job *job, hw_print_report *out,
                       size_t *bad)
{
    *out = (hw_print_report){0};
    *bad = SIZE_MAX;
    if (!good_def(def)) return HW_BAD_INPUT;
    size_t mark = hw_arena_mark(work), kept = hw_arena_mark(keep);
    hw_print_run run = {
        .keep = keep, .work = work, .part = part, .def = def, .job = job, .out = out};
    hw_slices slices;
    hw_code code = judge(&run, parts, &slices, bad);
    hw_arena_rewind(work, mark);
    if (code != HW_OK) {
        *out = (hw_print_report){0};
        hw_arena_rewind(keep, kept);
    }
    return code;
}
