#include "stroke/batch.h"

#include <math.h>

enum { ROWS = 1 + HW_JOINTS + 2 + 2 + 2 + HW_JOINTS + 1 };

// The arrays of doubles of a stroke, in one order.
static void rows_of(hw_stroke *s, double **row[ROWS])
{
    size_t n = 0;
    row[n++] = &s->s;
    for (int i = 0; i < HW_JOINTS; i++) row[n++] = &s->joint[i];
    row[n++] = &s->tip_x;
    row[n++] = &s->tip_z;
    for (int i = 0; i < 2; i++) row[n++] = &s->transmission[i];
    for (int i = 0; i < 2; i++) row[n++] = &s->bar[i];
    for (int i = 0; i < HW_JOINTS; i++) row[n++] = &s->pin[i];
    row[n++] = &s->torque;
}

hw_code hw_stroke_new(hw_arena *a, size_t n, hw_stroke *out)
{
    *out = (hw_stroke){.n = n};
    double **row[ROWS];
    rows_of(out, row);
    for (size_t i = 0; i < ROWS; i++) *row[i] = HW_NEW(a, double, n);
    out->ok = HW_NEW(a, uint8_t, n);
    if (!hw_arena_failed(a)) return HW_OK;
    *out = (hw_stroke){.n = 0};
    return HW_NO_MEMORY;
}

static void put_nothing(hw_stroke *out, size_t i)
{
    double **row[ROWS];
    rows_of(out, row);
    double s = out->s[i];
    for (size_t k = 0; k < ROWS; k++) (*row[k])[i] = NAN;
    out->s[i] = s;
    out->ok[i] = 0;
}

static void put_pose(hw_stroke *out, size_t i, const hw_digit_pose *p, const hw_digit_statics *f)
{
    for (int j = 0; j < HW_JOINTS; j++) {
        out->joint[j][i] = p->joint[j];
        out->pin[j][i] = hw_norm(f->pin[j]);
    }
    for (int j = 0; j < 2; j++) {
        out->transmission[j][i] = p->transmission[j];
        out->bar[j][i] = f->bar[j];
    }
    out->tip_x[i] = p->at[HW_JOINTS].x;
    out->tip_z[i] = p->at[HW_JOINTS].z;
    out->torque[i] = f->torque;
    out->ok[i] = 1;
}

double hw_stroke_parameter(size_t i, size_t n)
{
    return n > 1 ? (double)i / (double)(n - 1) : 0;
}

hw_code hw_stroke_run(const hw_digit *d, hw_stroke *out)
{
    if (d->family == HW_FAMILY_COUPLED_BARS) {
        size_t closed;
        return hw_stroke_batch(d, 1, out->n, HW_STROKE_FASTEST, out, &closed);
    }
    const hw_digit_family *family = hw_digit_family_of(d->family);
    if (!family) return HW_BAD_INPUT;
    hw_load unit = hw_digit_unit_load(d);
    hw_code worst = HW_OK;
    for (size_t i = 0; i < out->n; i++) {
        out->s[i] = hw_stroke_parameter(i, out->n);
        hw_digit_pose p;
        hw_digit_statics f;
        hw_code code = family->pose(d, out->s[i], &p);
        if (!code) code = family->statics(d, &p, &unit, 1, &f);
        if (code) {
            put_nothing(out, i);
            worst = code;
        } else
            put_pose(out, i, &p, &f);
    }
    return worst;
}

hw_code hw_stroke_keep(hw_arena *a, const hw_digit *d, hw_stroke *s)
{
    s->pose = NULL;
    hw_digit_pose *pose = HW_NEW(a, hw_digit_pose, s->n);
    hw_code *closes = HW_NEW(a, hw_code, s->n);
    if (!pose || !closes) return HW_NO_MEMORY;
    for (size_t i = 0; i < s->n; i++) closes[i] = hw_stroke_pose(d, s, i, &pose[i]);
    s->pose = pose;
    s->closes = closes;
    return HW_OK;
}

hw_code hw_stroke_pose(const hw_digit *d, const hw_stroke *s, size_t i, hw_digit_pose *out)
{
    if (s->pose) {
        *out = s->pose[i];
        return s->closes[i];
    }
    const hw_digit_family *family = hw_digit_family_of(d->family);
    return family ? family->pose(d, s->s[i], out) : HW_BAD_INPUT;
}
