// The whole hand posed: a scene, a coloured model and six pictures of each pose.
#include "cli/make_internal.h"

#include "base/vec3.h"
#include "files/files.h"
#include "files/glb.h"
#include "make/posed.h"
#include "report/posed.h"
#include "report/report.h"

#include <math.h>
#include <string.h>

static const double roughness = 0.85; // printed plastic is dull: own choice [1]

static bool bad_pose(hw_call *call, hw_text found)
{
    char one[40];
    size_t n = found.len < sizeof one - 1 ? found.len : sizeof one - 1;
    memcpy(one, found.at, n);
    one[n] = '\0';
    hw_call_fault(call,
                  "\"--posed\": found \"%s\", expected 1 to %d shares of the closing from 0 (open) "
                  "to 1 (closed) or grips (spherical, tripod, power, lateral, tip, extension), "
                  "such as 0,0.5,power",
                  one, HW_POSES_MOST);
    return false;
}

// A share, or the name of a grip pattern.
static bool pose_of(hw_text one, hw_maker_pose *out)
{
    *out = (hw_maker_pose){NAN, HW_GRIPS};
    for (int g = 0; g < HW_GRIPS; g++)
        if (hw_text_same(one, hw_text_of(hw_grip_name((hw_grip_pattern)g))))
            out->grip = (hw_grip_pattern)g;
    if (out->grip < HW_GRIPS) return true;
    return one.len > 0 && hw_number_read(one, &out->s) == one.len && out->s >= 0 && out->s <= 1;
}

static bool is_there(const hw_design *d, int digit)
{
    return (int)hw_design_value(d, hw_entry_of(HW_E_PRESENT, digit)) == HW_PRESENT_YES;
}

// Every grip that was asked for has the digits that it needs.
static bool can_grip(hw_maker *k, const hw_design *d)
{
    for (size_t i = 0; i < k->poses; i++) {
        hw_grip_pattern grip = k->pose[i].grip;
        for (int digit = HW_THUMB; grip < HW_GRIPS && digit <= HW_MIDDLE; digit++)
            if (!is_there(d, digit)) {
                hw_call_fault(k->call,
                              "\"--posed\": found %s, which needs the %s; the design has none",
                              hw_grip_name(grip), hw_digit_name[digit]);
                return false;
            }
    }
    return true;
}

bool hw_maker_poses(hw_maker *k, const hw_design *design)
{
    const char *given = k->call->option[HW_OPT_POSED];
    for (const char *at = given; at; at = strchr(at, ',') ? strchr(at, ',') + 1 : NULL) {
        hw_text one = {at, strcspn(at, ",")};
        hw_maker_pose pose;
        if (!pose_of(one, &pose)) return bad_pose(k->call, one);
        if (k->poses == HW_POSES_MOST) return bad_pose(k->call, hw_text_of(given));
        k->pose[k->poses++] = pose;
    }
    if (!k->poses) return true;
    if (!k->call->option[HW_OPT_ONE_DIGIT]) return can_grip(k, design);
    hw_call_fault(k->call, "\"--posed\": found --digit, expected the whole hand with it");
    return false;
}

static const char *name_of(hw_maker *k, const hw_posed *posed, const char *ending)
{
    char one[16];
    hw_buffer b = {.arena = k->call->arena};
    hw_posed_name(posed, one);
    for (char *c = one; *c; c++)
        if (*c == '.') *c = '-'; // as sheets are named
    hw_buffer_format(&b, "hand-%s.%s", one, ending);
    return b.at ? b.at : "";
}

// "Heron, right hand, 50 % of the closing"
static const char *title_of(hw_maker *k, const hw_posed *posed)
{
    char words[40];
    hw_buffer b = {.arena = k->call->arena};
    hw_buffer_format(&b, "%s, %s hand, %s", hw_report_name(k->call->arena, k->made.design),
                     k->made.hand->left ? "left" : "right", hw_posed_words(posed, words));
    return b.at ? b.at : "";
}

static hw_code add_scene(hw_maker *k, const hw_posed *posed)
{
    size_t paints;
    const hw_posed_paint *paint = hw_posed_paints(&paints);
    hw_glb_material *material = HW_NEW(k->work, hw_glb_material, paints);
    hw_glb_part *part = HW_NEW(k->work, hw_glb_part, posed->parts);
    hw_buffer b = {.arena = k->call->arena};
    if (!material || !part) return HW_NO_MEMORY;
    for (size_t i = 0; i < paints; i++)
        material[i] = (hw_glb_material){paint[i].name, paint[i].colour, roughness};
    for (size_t i = 0; i < posed->parts; i++) {
        const hw_posed_part *p = &posed->part[i];
        part[i] = (hw_glb_part){p->name, p->file, p->place, hw_posed_paint_of(p)};
    }
    hw_glb_scene scene = {title_of(k, posed), material, paints, part, posed->parts};
    hw_code code = hw_glb_write(&scene, &b);
    if (code == HW_OK)
        hw_maker_note(k, name_of(k, posed, "glb"), "glb", "the hand posed, a scene to look at", &b);
    return code;
}

// Parts where they are, from the corner of their box on: the format wants no negative places.
static hw_code add_model(hw_maker *k, const hw_posed *posed)
{
    size_t paints;
    const hw_posed_paint *paint = hw_posed_paints(&paints);
    hw_3mf_material *material = HW_NEW(k->work, hw_3mf_material, paints);
    hw_3mf_part *part = HW_NEW(k->work, hw_3mf_part, posed->parts);
    hw_float_mesh *file = HW_NEW(k->work, hw_float_mesh, posed->parts);
    hw_buffer b = {.arena = k->call->arena};
    if (!material || !part || !file) return HW_NO_MEMORY;
    for (size_t i = 0; i < paints; i++)
        material[i] = (hw_3mf_material){paint[i].name, paint[i].colour};
    hw_code code = HW_OK;
    for (size_t i = 0; code == HW_OK && i < posed->parts; i++) {
        hw_posed_part p = posed->part[i];
        hw_mesh mesh;
        p.place.at = hw_vec3_sub(p.place.at, posed->low);
        code = hw_posed_mesh(k->work, &p, &mesh);
        if (code == HW_OK) code = hw_mesh_to_float(k->work, &mesh, 1e-3, &file[i]);
        part[i] = (hw_3mf_part){.name = p.name,
                                .mesh = &file[i],
                                .place = {0, {0, 0, 0}},
                                .material = hw_posed_paint_of(&p)};
    }
    hw_3mf_plate plate = {.design = title_of(k, posed),
                          .description = "The parts posed, to look at; plates are what is printed",
                          .material = material,
                          .materials = paints,
                          .part = part,
                          .parts = posed->parts};
    if (code == HW_OK) code = hw_3mf_write(&plate, &b);
    if (code == HW_OK)
        hw_maker_note(k, name_of(k, posed, "3mf"), "3mf",
                      "the hand posed, to look at, not to print", &b);
    return code;
}

static hw_code add_pictures(hw_maker *k, const hw_posed *posed, const hw_job *job)
{
    for (int side = 0; side < HW_POSED_SIDES; side++) {
        hw_arena *keep = hw_arena_new(1 << 20); // it goes once its file is made
        hw_sheet *sheet = NULL;
        if (!keep) return HW_NO_MEMORY;
        hw_share share = {job, (double)side / HW_POSED_SIDES, 1.0 / HW_POSED_SIDES};
        hw_job part = {hw_share_step, &share};
        hw_code code = hw_report_posed_view(keep, k->work, &k->made, posed, (hw_posed_side)side,
                                            &part, &sheet);
        if (code == HW_OK) code = hw_maker_png(k, sheet, -1, -1);
        hw_arena_free(keep);
        if (code != HW_OK) return code;
    }
    return HW_OK;
}

hw_code hw_maker_posed(hw_maker *k, const hw_job *job)
{
    for (size_t i = 0; i < k->poses; i++) {
        size_t mark = hw_arena_mark(k->work);
        hw_posed posed;
        hw_share share = {job, (double)i / (double)k->poses, 1.0 / (double)k->poses};
        hw_job one = {hw_share_step, &share};
        hw_code code = k->pose[i].grip < HW_GRIPS
                           ? hw_make_posed_grip(k->work, &k->made, k->pose[i].grip, &posed)
                           : hw_make_posed(k->work, &k->made, k->pose[i].s, &posed);
        if (code == HW_OK) code = add_scene(k, &posed);
        if (code == HW_OK) code = add_model(k, &posed);
        if (code == HW_OK) code = add_pictures(k, &posed, &one);
        hw_arena_rewind(k->work, mark);
        if (code != HW_OK) return code;
    }
    return HW_OK;
}
