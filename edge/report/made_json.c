// JSON of what was made: docs/schema/make.json.
#include <math.h>

#include "print/print.h"
#include "report/json.h"
#include "report/made.h"
#include "report/report_internal.h"

#define MM  1e3
#define MM2 1e6
#define MM3 1e9

static void quantity(hw_json *j, const char *key, double value, const char *unit) // [1]
{
    hw_json_open(j, key, '{');
    hw_json_number(j, "value", value);
    hw_json_text(j, "unit", unit);
    hw_json_close(j, '}');
}

static void printer_json(hw_json *j, const hw_print_def *p)
{
    hw_json_open(j, "printer", '{');
    hw_json_row(j, "bed_mm", p->bed, 3, MM);
    quantity(j, "layer", p->layer * MM, "mm");
    quantity(j, "line", p->line * MM, "mm");
    quantity(j, "gap", p->gap * MM, "mm");
    hw_json_number(j, "walls", p->walls);
    hw_json_number(j, "infill", p->infill);
    hw_json_close(j, '}');
}

static const char *role_name(hw_part_role role)
{
    static const char *const name[HW_PART_ROLES] = {
        [HW_PART_CARRIER] = "carrier", [HW_PART_PHALANX] = "phalanx", [HW_PART_BAR] = "bar",
        [HW_PART_PULLEY] = "pulley",   [HW_PART_COUPON] = "coupon",   [HW_PART_BODY] = "body"};
    return (unsigned)role < HW_PART_ROLES ? name[role] : NULL;
}

static const char *hold_name(hw_print_hold hold)
{
    static const char *const name[] = {[HW_HANG_PERMITTED] = "permitted",
                                       [HW_HANG_OPEN] = "not declared",
                                       [HW_HANG_REFUSED] = "refused"};
    return (unsigned)hold < sizeof name / sizeof name[0] ? name[hold] : NULL;
}

// Undersides of one part that hang more than the printer likes.
static void hangs_json(hw_json *j, const hw_print_report *r, size_t part)
{
    hw_json_open(j, "hangs", '[');
    for (size_t i = 0; i < r->hangs; i++) {
        const hw_print_hang *h = &r->hang[i];
        if (h->part != part) continue;
        hw_json_open(j, NULL, '{');
        hw_json_text(j, "verdict", hold_name(h->hold));
        hw_json_text(j, "kind", h->hold == HW_HANG_OPEN ? NULL : hw_allowance_text(h->kind));
        quantity(j, "area", h->area * MM2, "mm2");
        quantity(j, "span", h->span * MM, "mm");
        quantity(j, "steepest", h->steepest * 180 / HW_PI, "deg");
        hw_json_row(j, "low_mm", (double[]){h->low.x, h->low.y, h->low.z}, 3, MM);
        hw_json_row(j, "high_mm", (double[]){h->high.x, h->high.y, h->high.z}, 3, MM);
        hw_json_close(j, '}');
    }
    hw_json_close(j, ']');
}

static void print_json(hw_json *j, const hw_made_group *g, size_t part)
{
    const hw_print_of *of = &g->print->of[part];
    hw_json_open(j, "print", '{');
    quantity(j, "filament", of->filament * MM3, "mm3");
    hw_json_count(j, "layers", of->layers);
    hw_json_count(j, "pieces", of->pieces);
    hw_json_flag(j, "on_bed", of->on_bed);
    quantity(j, "thinnest_wall", of->wall * MM, "mm");
    quantity(j, "hanging_area", of->open_area * MM2, "mm2");
    quantity(j, "permitted_area", of->permitted_area * MM2, "mm2");
    hangs_json(j, g->print, part);
    hw_json_close(j, '}');
}

static const char *file_of(const hw_made_report *r, int part)
{
    for (size_t i = 0; i < r->files; i++)
        if (r->file[i].part == part) return r->file[i].name;
    return NULL;
}

static void part_json(hw_json *j, const hw_made_report *r, size_t i)
{
    const hw_made_part *p = &r->made->part[i];
    const hw_made_group *g = &r->made->group[p->group];
    hw_json_open(j, NULL, '{');
    hw_json_text(j, "name", p->part->name);
    hw_json_text(j, "group", g->name);
    hw_json_text(j, "digit", g->digit >= 0 ? hw_digit_name[g->digit] : NULL);
    hw_json_text(j, "role", role_name(p->part->role));
    hw_json_text(j, "file", file_of(r, (int)i));
    hw_json_count(j, "triangles", p->mesh.tris);
    hw_json_flag(j, "sound", hw_mesh_sound(&p->check));
    quantity(j, "volume", p->mass.volume * MM3, "mm3");
    quantity(j, "mass", p->mass.mass * 1e3, "g");
    hw_json_row(j, "low_mm", (double[]){p->low.x, p->low.y, p->low.z}, 3, MM);
    hw_json_row(j, "high_mm", (double[]){p->high.x, p->high.y, p->high.z}, 3, MM);
    print_json(j, g, i - g->first);
    hw_json_close(j, '}');
}

static void coupon_json(hw_json *j, const hw_coupon *c)
{
    if (!c) {
        hw_json_text(j, "coupon", NULL);
        return;
    }
    hw_json_open(j, "coupon", '{');
    hw_json_text(j, "id", c->id);
    hw_json_text(j, "title", c->title);
    hw_json_text(j, "measure", c->measure);
    hw_json_text(j, "caution", c->caution);
    hw_json_text(j, "entry", c->entry);
    hw_json_text(j, "unit", c->unit);
    hw_json_close(j, '}');
}

static void group_json(hw_json *j, const hw_made_group *g)
{
    hw_json_open(j, NULL, '{');
    hw_json_text(j, "name", g->name);
    hw_json_text(j, "digit", g->digit >= 0 ? hw_digit_name[g->digit] : NULL);
    hw_json_text(j, "fault", g->fault);
    if (g->plate >= 0)
        hw_json_count(j, "plate", (size_t)g->plate + 1);
    else
        hw_json_text(j, "plate", NULL);
    hw_json_number(j, "turned_deg", g->turned ? 90 : 0);
    hw_json_row(j, "move_mm", g->move, 2, MM);
    quantity(j, "filament", g->print ? g->print->mass * 1e3 : (double)NAN, "g");
    quantity(j, "time", g->print ? g->print->time / 60 : (double)NAN, "min");
    coupon_json(j, g->coupon);
    hw_json_close(j, '}');
}

static void plates_json(hw_json *j, const hw_made_report *r)
{
    hw_json_open(j, "plates", '[');
    for (size_t i = 0; i < r->made->plates; i++) {
        const hw_made_plate *p = &r->made->plate[i];
        hw_json_open(j, NULL, '{');
        hw_json_count(j, "number", i + 1);
        hw_json_flag(j, "coupons", p->coupons);
        hw_json_count(j, "groups", p->groups);
        quantity(j, "filament", p->filament * 1e3, "g");
        quantity(j, "time", p->time / 60, "min");
        hw_json_close(j, '}');
    }
    hw_json_close(j, ']');
}

static void files_json(hw_json *j, const hw_made_report *r)
{
    hw_json_open(j, "files", '[');
    for (size_t i = 0; i < r->files; i++) {
        const hw_made_file *f = &r->file[i];
        const hw_made_group *g = f->group >= 0 ? &r->made->group[f->group] : NULL;
        const hw_made_part *p = f->part >= 0 ? &r->made->part[f->part] : NULL;
        hw_json_open(j, NULL, '{');
        hw_json_text(j, "name", f->name);
        hw_json_text(j, "kind", f->kind);
        hw_json_text(j, "what", f->what);
        hw_json_text(j, "digit", g && g->digit >= 0 ? hw_digit_name[g->digit] : NULL);
        hw_json_text(j, "part", p ? p->part->name : NULL);
        hw_json_number(j, "plate", f->plate >= 0 ? f->plate + 1 : (double)NAN);
        hw_json_number(j, "triangles", p ? (double)p->mesh.tris : (double)NAN);
        quantity(j, "volume", p ? p->mass.volume * MM3 : (double)NAN, "mm3");
        hw_json_count(j, "bytes", f->bytes);
        hw_json_close(j, '}');
    }
    hw_json_close(j, ']');
}

hw_code hw_report_made_json(const hw_made_report *r, hw_buffer *out)
{
    const hw_made *m = r->made;
    hw_json j = {.to = out};
    char print[17];
    hw_json_open(&j, NULL, '{');
    hw_json_count(&j, "schema", 1);
    hw_json_text(&j, "design", hw_report_name(out->arena, m->design));
    hw_json_text(&j, "file", hw_design_file(m->design));
    hw_json_text(&j, "variant", r->variant);
    hw_json_text(&j, "fingerprint", hw_fingerprint_text(hw_design_fingerprint(m->design), print));
    hw_json_text(&j, "quality", hw_make_quality_name(m->def.quality));
    hw_json_text(&j, "side", m->hand->left ? "left" : "right");
    hw_json_text(&j, "verdict",
                 hw_verdict_text(hw_make_all_hold(m) ? HW_HOLDS
                                 : m->fallen_short   ? HW_FALLS_SHORT
                                                     : HW_UNKNOWN));
    printer_json(&j, m->printer);
    hw_json_open(&j, "groups", '[');
    for (size_t i = 0; i < m->groups; i++) group_json(&j, &m->group[i]);
    hw_json_close(&j, ']');
    hw_json_open(&j, "parts", '[');
    for (size_t i = 0; i < m->parts; i++) part_json(&j, r, i);
    hw_json_close(&j, ']');
    plates_json(&j, r);
    files_json(&j, r);
    hw_json_open(&j, "findings", '[');
    for (size_t i = 0; i < m->findings; i++) {
        hw_json_open(&j, NULL, '{');
        hw_put_finding_json(&j, &m->finding[i]);
        hw_json_close(&j, '}');
    }
    hw_json_close(&j, ']');
    hw_json_close(&j, '}');
    return hw_arena_failed(out->arena) ? HW_NO_MEMORY : HW_OK;
}
