// A scan measured: what is asked of mesh and picks before, and in which unit they are.
#include "anatomy/scan_internal.h"
#include "base/text.h"

#include <math.h>
#include <stdarg.h>

#define DEG (HW_PI / 180)

static const double USUAL = 0.187;              // the hand that the sizes in millimetres belong to
static const double SHORT = 0.105, LONG = 0.26; // hands of people: their ratio is below 2.54

hw_scan_def hw_scan_def_default(void)
{
    return (hw_scan_def){.pick = 2e-3 / USUAL,
                         .noise = 0.3e-3 / USUAL,
                         .depth = 10e-3 / USUAL,
                         .least = 8e-3 / USUAL,
                         .flesh = 2e-3 / USUAL,
                         .middle = 0.6e-3 / USUAL,
                         .base = 1.0e-3 / USUAL,
                         .bend = 15 * DEG};
}

typedef struct unit {
    const char *name;
    double scale; // [m]
} unit;
static const unit units[] = {{"mm", 1e-3}, {"cm", 1e-2}, {"m", 1}, {"in", 0.0254}};
enum { UNITS = sizeof units / sizeof *units };

const char *hw_scan_unit(double size, double *scale)
{
    for (int k = 0; k < UNITS; k++) {
        *scale = units[k].scale;
        if (size * *scale >= SHORT && size * *scale <= LONG) return units[k].name;
    }
    *scale = (double)NAN;
    return NULL;
}

// Texts one after the other, cut where they do not fit.
static void join(char *out, size_t room, const char *const part[], size_t parts)
{
    size_t n = 0;
    for (size_t i = 0; i < parts; i++)
        for (const char *c = part[i]; *c && n + 1 < room; c++) out[n++] = *c;
    out[n] = '\0';
}

#define JOIN(out, ...)                                                                             \
    join((out), sizeof(out), (const char *const[]){__VA_ARGS__},                                   \
         sizeof((const char *const[]){__VA_ARGS__}) / sizeof(char *))

hw_code hw_scan_say(const hw_scanner *s, hw_code code, int line, const char *found,
                    const char *expected, ...)
{
    char text[200];
    const char *part[12];
    size_t n = 0;
    va_list list;
    va_start(list, expected);
    for (const char *p; n < 12 && (p = va_arg(list, const char *)) != NULL;) part[n++] = p;
    va_end(list);
    join(text, sizeof text, part, n);
    hw_diag_say(s->diags, code, line < 0 ? s->mesh_file : s->picks_file, line < 0 ? 0 : line, 0,
                hw_text_of(found), hw_text_of(expected), hw_text_of(text));
    return code;
}

// ---- picks ------------------------------------------------------------------------------------

static bool picked(const hw_picks *p, int mark)
{
    return p->pick[mark][HW_DORSAL].line || p->pick[mark][HW_PALMAR].line;
}

static int line_of(const hw_picks *p, int mark)
{
    const hw_pick *q = p->pick[mark];
    return q[HW_DORSAL].line ? q[HW_DORSAL].line : q[HW_PALMAR].line;
}

// Middle of what was picked of a mark.
static hw_vec3 middle(const hw_picks *p, int mark)
{
    const hw_pick *q = p->pick[mark];
    if (!q[HW_DORSAL].line) return q[HW_PALMAR].at;
    if (!q[HW_PALMAR].line) return q[HW_DORSAL].at;
    return hw_vec3_times(hw_vec3_add(q[HW_DORSAL].at, q[HW_PALMAR].at), 0.5);
}

static hw_code need(const hw_scanner *s)
{
    static const int needed[] = {HW_MARK_WRIST, 1 + 4 * 1, 1 + 4 * 2, 1 + 4 * 4};
    hw_code code = HW_OK;
    for (int k = 0; k < 4; k++)
        if (!picked(s->picks, needed[k]))
            code =
                hw_scan_say(s, HW_BAD_INPUT, 0, NULL, "wrist, index.mcp, middle.mcp and little.mcp",
                            hw_mark_name(needed[k]), " is not picked", NULL);
    return code;
}

// The hand's length from the picks alone, in their unit: along the middle finger where all of it
// was picked, else from the palm's share of it.
static double rough_length(const hw_picks *p)
{
    const double palm = 0.446; // Buchholz & Armstrong 1992, as in shape.c
    int last = HW_MARK_WRIST;
    double sum = 0;
    for (int k = 0; k < 4; k++) {
        int mark = hw_mark_of(2, k);
        if (!picked(p, mark))
            return hw_vec3_norm(
                       hw_vec3_sub(middle(p, hw_mark_of(2, 0)), middle(p, HW_MARK_WRIST))) /
                   palm;
        sum += hw_vec3_norm(hw_vec3_sub(middle(p, mark), middle(p, last)));
        last = mark;
    }
    return sum;
}

static void number(double v, char out[HW_NUMBER_TEXT]) // [1]
{
    hw_number_write_rounded(v, 3, out);
}

// What the size would be in each unit: "191000 mm, 19100 cm, 191 m"
static hw_code refuse_size(const hw_scanner *s, int line)
{
    char found[96], mm[HW_NUMBER_TEXT], as[HW_NUMBER_TEXT];
    number(s->size, as);
    JOIN(found, "a hand ", as, " units long");
    if (s->picks->unit) {
        number(s->size * s->picks->scale * 1e3, mm);
        JOIN(found, "a hand of ", mm, " mm in ", s->picks->unit);
    }
    return hw_scan_say(s, HW_BAD_INPUT, line, found, "105 to 260 mm, in mm, cm, m or in",
                       s->picks->unit ? "the unit makes no hand of it"
                                      : "no unit makes a hand of it; say it: unit mm",
                       NULL);
}

static hw_code find_unit(const hw_scanner *s, hw_scan *out)
{
    const hw_picks *p = s->picks;
    char mm[HW_NUMBER_TEXT];
    double ten = s->size * p->scale;
    out->guessed = !p->unit;
    out->scale = p->scale;
    out->unit = p->unit;
    if (out->guessed) {
        out->unit = hw_scan_unit(s->size, &out->scale);
        if (!out->unit) return refuse_size(s, 0);
        number(s->size * out->scale * 1e3, mm);
        hw_scan_say(s, HW_OK, -1, NULL, NULL, "the file does not say its unit: ", out->unit,
                    " is assumed, for a hand of about ", mm, " mm", NULL);
        return HW_OK;
    }
    // people's hands, made up to ten times larger or smaller on purpose
    if (!(ten >= SHORT / 10 && ten <= LONG * 10)) return refuse_size(s, p->unit_line);
    if (ten >= SHORT && ten <= LONG) return HW_OK;
    number(ten * 1e3, mm);
    hw_scan_say(s, HW_OK, p->unit_line, NULL, NULL, "a hand of about ", mm,
                " mm is no person's: is it really in ", p->unit, "?", NULL);
    return HW_OK;
}

// ---- mesh -------------------------------------------------------------------------------------

// Volume round the middle of its box, by which a scan with holes still shows where outside is.
static double facing(const hw_float_mesh *m)
{
    double low[3] = {INFINITY, INFINITY, INFINITY}, high[3] = {-INFINITY, -INFINITY, -INFINITY};
    for (size_t i = 0; i < 3 * m->tris; i++)
        for (int k = 0; k < 3; k++) {
            low[k] = fmin(low[k], (double)m->at[m->tri[i]][k]);
            high[k] = fmax(high[k], (double)m->at[m->tri[i]][k]);
        }
    hw_vec3 mid = {0.5 * (low[0] + high[0]), 0.5 * (low[1] + high[1]), 0.5 * (low[2] + high[2])};
    double sum = 0;
    for (size_t t = 0; t < m->tris; t++) {
        hw_vec3 c[3];
        hw_near_corners(m, (uint32_t)t, c);
        sum += hw_vec3_dot(hw_near_normal(c), hw_vec3_sub(c[0], mid));
    }
    return sum < 0 ? -1 : 1;
}

static void note_mesh(const hw_scanner *s, const hw_scan *out)
{
    char many[HW_NUMBER_TEXT], turned[HW_NUMBER_TEXT], touching[HW_NUMBER_TEXT];
    hw_number_write((double)out->crowded_edges, many);
    hw_number_write((double)out->flipped_edges, turned);
    hw_number_write((double)out->pinched_verts, touching);
    if (out->crowded_edges || out->pinched_verts || out->flipped_edges)
        hw_scan_say(s, HW_OK, -1, NULL, NULL, "the mesh is no plain surface: ", many,
                    " edges with more than two triangles, ", turned, " turned round, ", touching,
                    " corners where sheets touch; picks are snapped all the same", NULL);
    if (out->inside_out)
        hw_scan_say(s, HW_OK, -1, NULL, NULL,
                    "the mesh is inside out; it is taken the other way round", NULL);
}

// ---- snapping ---------------------------------------------------------------------------------

static hw_code snap_one(hw_scanner *s, int mark, int face, double most) // [m]
{
    const hw_pick *p = &s->picks->pick[mark][face];
    hw_mark *m = &s->mark[mark];
    hw_near_hit hit = hw_near_point(s->near, p->at, (double)INFINITY);
    m->known = m->faces[face] = true;
    m->skin[face] = hit.at;
    m->lifted[face] = hit.distance;
    if (hit.distance <= 1.5 * s->def.pick) return HW_OK;
    char off[HW_NUMBER_TEXT], share[HW_NUMBER_TEXT], found[96];
    number(hit.distance, off);
    number(100 * hit.distance / s->size, share);
    JOIN(found, off, " units, ", share, " % of the hand, off");
    bool far = hit.distance > most;
    return hw_scan_say(s, far ? HW_BAD_INPUT : HW_OK, p->line, found,
                       far ? "a point on the mesh, within 5 % of the hand" : NULL,
                       hw_mark_name(mark),
                       far ? " is picked off the surface" : " is picked beside the surface", NULL);
}

static hw_code snap(hw_scanner *s)
{
    const double share = 0.05;
    int picks = 0, off = 0;
    for (int mark = 0; mark < HW_MARKS; mark++)
        for (int face = 0; face < HW_FACES; face++)
            if (s->picks->pick[mark][face].line) {
                picks++;
                if (snap_one(s, mark, face, share * s->size) != HW_OK) off++;
            }
    if (off > 1 && off == picks)
        hw_scan_say(s, HW_OK, -1, NULL, NULL,
                    "no pick lies on this mesh: are they in its own unit, and of this scan?", NULL);
    return off ? HW_BAD_INPUT : HW_OK;
}

static hw_code check_faces(const hw_scanner *s)
{
    for (int k = 0; k < HW_MARKS; k++) {
        const hw_mark *m = &s->mark[k];
        if (!m->faces[HW_DORSAL] || !m->faces[HW_PALMAR]) continue;
        double apart = hw_vec3_norm(hw_vec3_sub(m->skin[HW_DORSAL], m->skin[HW_PALMAR]));
        if (apart > 0.02 * s->size && apart < 0.4 * s->size) continue;
        char found[96], share[HW_NUMBER_TEXT];
        number(100 * apart / s->size, share);
        JOIN(found, share, " % of the hand's length apart");
        return hw_scan_say(s, HW_BAD_INPUT, line_of(s->picks, k), found, "2 to 40 %",
                           "dorsal and palmar pick of ", hw_mark_name(k),
                           " are no two faces of a joint", NULL);
    }
    return HW_OK;
}

static void scale_def(hw_scanner *s, double scale) // [m]
{
    double n = s->size;
    s->def.pick *= n;
    s->def.noise *= n;
    s->def.depth *= n;
    s->def.least *= n;
    s->def.flesh *= n;
    s->def.middle *= n;
    s->def.base *= n;
    if (!isnan(s->picks->accuracy)) s->def.pick = s->picks->accuracy / scale;
}

static hw_code look(hw_scanner *s, hw_arena *work, const hw_job *job, hw_scan *out)
{
    hw_mesh_report r;
    hw_code code = hw_mesh_edges(work, s->mesh, &r);
    if (code != HW_OK) return code;
    if (!hw_job_go_on(job, 0.6, "looking at the mesh")) return HW_CANCELLED;
    out->open_edges = r.open_edges;
    out->crowded_edges = r.crowded_edges;
    out->flipped_edges = r.flipped_edges;
    out->pinched_verts = r.pinched_verts;
    s->sign = facing(s->mesh);
    out->inside_out = s->sign < 0;
    note_mesh(s, out);
    return HW_OK;
}

hw_code hw_scan_measure(hw_arena *work, const hw_float_mesh *mesh, const hw_picks *picks,
                        const hw_scan_def *def, const char *mesh_file, const char *picks_file,
                        const hw_job *job, hw_diags *diags, hw_scan *out)
{
    *out = (hw_scan){0};
    hw_scanner s = {.mesh = mesh, .picks = picks, .def = *def, .diags = diags};
    s.mesh_file = mesh_file;
    s.picks_file = picks_file;
    hw_near near;
    s.near = &near;
    hw_code code = need(&s);
    if (mesh->tris == 0)
        code =
            hw_scan_say(&s, HW_BAD_INPUT, -1, "no triangle", "a mesh", "the mesh is empty", NULL);
    if (code != HW_OK) return code;
    s.size = rough_length(picks);
    if ((code = find_unit(&s, out)) != HW_OK) return code;
    scale_def(&s, out->scale);
    size_t mark = hw_arena_mark(work);
    code = hw_near_make(work, work, mesh, job, &near);
    if (code == HW_OK) code = look(&s, work, job, out);
    if (code == HW_OK) code = snap(&s);
    if (code == HW_OK) code = check_faces(&s);
    if (code == HW_OK && !hw_job_go_on(job, 0.8, "measuring")) code = HW_CANCELLED;
    if (code == HW_OK) code = hw_scan_marks(&s);
    if (code == HW_OK) code = hw_scan_landmarks(&s, out);
    hw_arena_rewind(work, mark);
    return code;
}
