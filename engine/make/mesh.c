// Solids to meshes as they are written, several at a time.
#include "make/make_internal.h"

#include "base/par.h"
#include "base/text.h"

#include <math.h>
#include <stdatomic.h>
#include <string.h>

#define FILE_UNIT 1e-3 // of the files: millimetres [m]

// Of bodies. Sharp edges are bevelled by less than a cell: with these they jut out by less than a
// line and a half where they lie on the bed.
#define COARSE_CELL 3.5e-4 // [m]
#define COARSE_OFF  4e-5   // [m]
#define FINE_CELL   2.5e-4 // [m]
#define FINE_OFF    1.5e-5 // [m]

// Bodies no longer than this have holes of two millimetres and less: half the cells.
#define SMALL 0.04 // [m]

// Of bodies: what cuts leave beside the part, a share of it. More is told as a piece too many. [1]
#define CRUMB 0.03

void hw_mesh_mirror(hw_mesh *mesh)
{
    for (size_t i = 0; i < mesh->verts; i++) mesh->vert[i].y = -mesh->vert[i].y;
    for (size_t t = 0; t < mesh->tris; t++) {
        uint32_t other = mesh->tri[3 * t + 1];
        mesh->tri[3 * t + 1] = mesh->tri[3 * t + 2];
        mesh->tri[3 * t + 2] = other;
    }
}

// One job shared by the parts at work: reports are passed on by one of them at a time, and all hear
// of a stop.
typedef struct shared_job {
    const hw_job *whole;
    double from, width; // of the whole [1]
    size_t parts;
    atomic_size_t done;
    atomic_bool stopped;
    atomic_flag busy;
} shared_job;

static bool shared_step(void *self, double fraction, const char *stage)
{
    shared_job *s = self;
    (void)fraction; // parts are many: how many are done says enough
    (void)stage;
    if (atomic_load(&s->stopped)) return false;
    if (atomic_flag_test_and_set(&s->busy)) return true;
    double done = (double)atomic_load(&s->done) / (double)s->parts;
    if (!hw_job_go_on(s->whole, s->from + s->width * done, "meshes"))
        atomic_store(&s->stopped, true);
    atomic_flag_clear(&s->busy);
    return !atomic_load(&s->stopped);
}

typedef struct mesher {
    hw_made *m;
    hw_arena **keep; // of each part
    hw_code *code;   // of each part
    hw_job job;
    shared_job *shared;
    double density; // [kg/m^3]
} mesher;

// A left hand's digits and bodies are mirrored; coupons are for either.
static bool is_mirrored(const hw_made *m, const hw_made_part *p)
{
    return m->hand->left && !m->group[p->group].coupon;
}

static void box_of(hw_made_part *p)
{
    p->low = (hw_vec3){INFINITY, INFINITY, INFINITY};
    p->high = (hw_vec3){-INFINITY, -INFINITY, -INFINITY};
    for (size_t i = 0; i < p->mesh.verts; i++) {
        hw_vec3 v = p->mesh.vert[i];
        p->low = (hw_vec3){fmin(p->low.x, v.x), fmin(p->low.y, v.y), fmin(p->low.z, v.z)};
        p->high = (hw_vec3){fmax(p->high.x, v.x), fmax(p->high.y, v.y), fmax(p->high.z, v.z)};
    }
}

static bool is_small(hw_vec3 low, hw_vec3 high)
{
    return fmax(high.x - low.x, fmax(high.y - low.y, high.z - low.z)) <= SMALL;
}

// Bodies are marched, digits are joined exactly. What a body reaches is told by more than it is, so
// that a small one may be known by its mesh alone, and is made again.
static hw_code mesh_of(const mesher *w, hw_arena *keep, hw_arena *work, hw_made_part *p)
{
    if (p->part->field) {
        bool fine = w->m->def.quality == HW_MAKE_FINE;
        hw_field_mesh_def def = hw_field_mesh_def_default();
        def.unit = FILE_UNIT;
        def.cell = fine ? FINE_CELL : COARSE_CELL;
        def.deviation = fine ? FINE_OFF : COARSE_OFF;
        hw_field_made made;
        size_t dropped;
        hw_vec3 low, high;
        bool small = hw_field_reach(p->part->field, &low, &high) && is_small(low, high);
        if (small) def.cell *= 0.5;
        hw_code code = hw_field_mesh(keep, work, p->part->field, &def, &w->job, &p->mesh, &made);
        if (code == HW_OK) box_of(p);
        if (code == HW_OK && !small && p->mesh.verts && is_small(p->low, p->high)) {
            def.cell *= 0.5;
            code = hw_field_mesh(keep, work, p->part->field, &def, &w->job, &p->mesh, &made);
        }
        return code == HW_OK ? hw_mesh_drop_crumbs(work, &p->mesh, CRUMB, &dropped) : code;
    }
    hw_mesh_def def = hw_mesh_def_default();
    def.unit = FILE_UNIT;
    hw_mesh_made made;
    return hw_solid_mesh(keep, work, &p->part->solid, &def, &w->job, &p->mesh, &made);
}

static hw_code mesh_one(const mesher *w, hw_arena *keep, hw_made_part *p)
{
    hw_arena *work = hw_arena_new(1 << 20);
    if (!work) return HW_NO_MEMORY;
    hw_code code = mesh_of(w, keep, work, p);
    if (code == HW_OK && is_mirrored(w->m, p)) hw_mesh_mirror(&p->mesh);
    if (code == HW_OK) code = hw_mesh_to_float(keep, &p->mesh, FILE_UNIT, &p->file);
    if (code == HW_OK) code = hw_mesh_check(work, &p->file, &w->job, &p->check);
    if (code == HW_OK) {
        p->mass = hw_mesh_mass(&p->mesh, w->density);
        box_of(p);
    }
    hw_arena_free(work);
    return code;
}

static void mesh_some(void *self, size_t begin, size_t end)
{
    const mesher *w = self;
    for (size_t i = begin; i < end; i++) {
        w->keep[i] = hw_arena_new(1 << 20);
        w->code[i] = w->keep[i] ? mesh_one(w, w->keep[i], &w->m->part[i]) : HW_NO_MEMORY;
        atomic_fetch_add(&w->shared->done, 1);
    }
}

static void *copied(hw_arena *a, const void *from, size_t n, size_t size)
{
    void *to = hw_arena_alloc(a, n, size, 16);
    if (to && n) memcpy(to, from, n * size);
    return to;
}

static void copy_mesh(hw_arena *a, hw_made_part *p)
{
    p->mesh.vert = copied(a, p->mesh.vert, p->mesh.verts, sizeof *p->mesh.vert);
    p->mesh.tri = copied(a, p->mesh.tri, 3 * p->mesh.tris, sizeof *p->mesh.tri);
    p->file.at = copied(a, p->file.at, p->file.verts, sizeof *p->file.at);
    p->file.tri = copied(a, p->file.tri, 3 * p->file.tris, sizeof *p->file.tri);
}

// Declared places of a left hand are mirrored with the mesh.
static void copy_allowances(hw_arena *a, bool mirrored, hw_made_part *p)
{
    p->allow = p->part->allow;
    if (!mirrored || p->part->allows == 0) return;
    hw_allowance *own = copied(a, p->part->allow, p->part->allows, sizeof *own);
    if (!own) return;
    for (size_t i = 0; i < p->part->allows; i++) {
        own[i].low.y = -p->part->allow[i].high.y;
        own[i].high.y = -p->part->allow[i].low.y;
    }
    p->allow = own;
}

// A part that has no mesh spoils its group, and no other.
static void note_fault(hw_arena *a, hw_made *m, const hw_made_part *p, hw_code code)
{
    hw_made_group *g = &m->group[p->group];
    hw_buffer b = {.arena = a};
    hw_buffer_format(&b, "no solid comes of the %s: %s", p->part->name,
                     code == HW_BAD_INPUT ? "it touches itself or its walls cross"
                                          : hw_code_text(code));
    if (!g->fault) g->fault = b.at;
}

hw_code hw_make_meshes(hw_arena *keep, hw_made *m, const hw_job *job, double from, double width)
{
    shared_job shared = {.whole = job, .from = from, .width = width, .parts = m->parts};
    atomic_init(&shared.done, 0);
    atomic_init(&shared.stopped, false);
    atomic_flag_clear(&shared.busy);
    mesher w = {.m = m,
                .keep = HW_NEW(keep, hw_arena *, m->parts),
                .code = HW_NEW(keep, hw_code, m->parts),
                .job = {shared_step, &shared},
                .shared = &shared,
                .density = m->printer->density};
    if (!w.keep || !w.code) return HW_NO_MEMORY;
    hw_par_for(m->parts, 1, mesh_some, &w);
    hw_code code = atomic_load(&shared.stopped) ? HW_CANCELLED : HW_OK;
    for (size_t i = 0; i < m->parts; i++) {
        if (w.code[i] == HW_NO_MEMORY && code == HW_OK) code = HW_NO_MEMORY;
        if (code == HW_OK && w.code[i] == HW_OK) {
            copy_mesh(keep, &m->part[i]);
            copy_allowances(keep, is_mirrored(m, &m->part[i]), &m->part[i]);
        } else if (code == HW_OK)
            note_fault(keep, m, &m->part[i], w.code[i]);
        hw_arena_free(w.keep[i]);
    }
    return code == HW_OK && hw_arena_failed(keep) ? HW_NO_MEMORY : code;
}
