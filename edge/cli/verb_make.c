// handwright make: printable files.
#include "cli/make_internal.h"
#include "cli/place_internal.h"

#include "draw/stress.h"
#include "files/files.h"
#include "report/report.h"

#include <math.h>
#include <string.h>

enum { COLUMNS = 100, FILES_AT_FIRST = 128, NAME_ROOM = HW_MADE_NAME };
#define PNG_DPI 200.0 // as the sheets of assess [1/in]
#define SEARCH  0.5   // of the work, where servos are laid anew [1]

typedef hw_maker maker;

// A name for a file: lower case, words joined by '-', "gap coupon's frame" without its 's.
static const char *file_name(const maker *k, const char *words, const char *ending)
{
    char *name = HW_NEW(k->call->arena, char, NAME_ROOM), *to = name;
    if (!name) return "";
    for (const char *c = words; *c && to < name + NAME_ROOM - 10; c++) {
        if (strncmp(c, "'s ", 3) == 0)
            c++;
        else
            *to++ = *c == ' ' ? '-' : *c >= 'A' && *c <= 'Z' ? (char)(*c - 'A' + 'a') : *c;
    }
    snprintf(to, 10, ".%.8s", ending);
    return name;
}

void hw_maker_file(maker *k, hw_made_file file, const hw_buffer *bytes)
{
    if (k->files == k->room) {
        size_t room = k->room ? 2 * k->room : FILES_AT_FIRST;
        hw_made_file *more = HW_NEW(k->call->arena, hw_made_file, room);
        if (!more) return; // sticky: seen before anything is written
        if (k->files) memcpy(more, k->file, k->files * sizeof *more);
        k->file = more;
        k->room = room;
    }
    file.bytes = bytes->len;
    k->file[k->files++] = file;
    hw_call_file(k->call, file.name, (hw_text){bytes->at, bytes->len});
}

void hw_maker_note(maker *k, const char *name, const char *kind, const char *what,
                   const hw_buffer *bytes)
{
    hw_made_file file = {.name = name, .kind = kind, .what = what};
    file.group = file.part = file.plate = -1;
    hw_maker_file(k, file, bytes);
}

static const char *words_of(const maker *k, const char *a, const char *b)
{
    hw_buffer w = {.arena = k->call->arena};
    hw_buffer_format(&w, "%s%s", a, b);
    return w.at ? w.at : "";
}

// ---- meshes -----------------------------------------------------------------------------------

static hw_code add_parts(maker *k)
{
    for (size_t i = 0; i < k->made.parts; i++) {
        const hw_made_part *p = &k->made.part[i];
        hw_buffer b = {.arena = k->call->arena};
        hw_code code = hw_stl_write(&p->file, p->part->name, &b);
        if (code != HW_OK) return code;
        hw_maker_file(k,
                      (hw_made_file){.name = file_name(k, p->part->name, "stl"),
                                     .kind = "stl",
                                     .what = words_of(k, p->part->name, ", as printed"),
                                     .group = p->group,
                                     .part = (int)i,
                                     .plate = k->made.group[p->group].plate},
                      &b);
    }
    return HW_OK;
}

// Greys, so that neighbours can be told apart and no colour means anything.
static const hw_3mf_material greys[] = {
    {"light", 0xd9d4c6}, {"middle", 0xa8a498}, {"dark", 0x6f6d66}, {"pale", 0xeae6da}};
enum { GREYS = sizeof greys / sizeof greys[0] };

static hw_code add_plate(maker *k, int plate)
{
    const hw_made *m = &k->made;
    hw_3mf_part *part = HW_NEW(k->work, hw_3mf_part, m->parts);
    hw_buffer b = {.arena = k->call->arena}, about = {.arena = k->call->arena}, label = about;
    if (!part) return HW_NO_MEMORY;
    size_t n = 0;
    for (size_t i = 0; i < m->parts; i++) {
        const hw_made_part *p = &m->part[i];
        const hw_made_group *g = &m->group[p->group];
        if (g->plate != plate) continue;
        part[n++] = (hw_3mf_part){.name = p->part->name,
                                  .mesh = &p->file,
                                  .place = {g->turned ? 1 : 0, {g->move[0], g->move[1], 0}},
                                  .material = (i - g->first) % GREYS};
    }
    hw_buffer_format(&label, "plate %d of %zu", plate + 1, m->plates);
    hw_buffer_format(&about, "Printed parts of a %s hand, %s, document %s, fingerprint %s",
                     m->hand->left ? "left" : "right", hw_make_quality_name(m->def.quality),
                     k->call->design_name, k->call->fingerprint);
    hw_text revision = hw_design_text(m->design, hw_entry_of(HW_E_REVISION, -1));
    hw_3mf_plate file = {.design = hw_report_name(k->call->arena, m->design),
                         .plate = label.at,
                         .revision = hw_arena_text(k->call->arena, revision),
                         .description = about.at,
                         .material = greys,
                         .materials = GREYS,
                         .part = part,
                         .parts = n};
    hw_code code = hw_3mf_write(&file, &b);
    char words[NAME_ROOM];
    snprintf(words, sizeof words, "plate-%d", plate + 1);
    hw_maker_file(k,
                  (hw_made_file){.name = file_name(k, words, "3mf"),
                                 .kind = "3mf",
                                 .what = words_of(k, label.at ? label.at : "",
                                                  m->plate[plate].coupons ? ", coupons" : ""),
                                 .group = -1,
                                 .part = -1,
                                 .plate = plate},
                  &b);
    return code;
}

// ---- layers -----------------------------------------------------------------------------------

typedef hw_code (*sketch_writer)(const hw_sketch *s, hw_buffer *out);

static hw_code add_layer(maker *k, int group, int layer)
{
    static const struct {
        const char *ending;
        sketch_writer write;
    } form[] = {{"dxf", hw_dxf_write}, {"svg", hw_sketch_svg}};
    const hw_made *m = &k->made;
    int digit = m->group[group].digit;
    const hw_layers *l = &m->hand->layers[digit];
    hw_arena *a = k->call->arena;
    hw_stack *stack = HW_NEW(k->work, hw_stack, 1);
    if (!stack) return HW_NO_MEMORY;
    hw_sketch sketch;
    hw_code code = hw_stack_of(&m->hand->digit[digit], l, stack);
    if (code == HW_OK)
        code = hw_sketch_layer(a, k->work, hw_report_name(a, m->design), hw_digit_name[digit],
                               &m->hand->digit[digit], l, stack, layer, &sketch);
    char of[24], words[NAME_ROOM];
    snprintf(words, sizeof words, "%s-layer-%d-%s", hw_digit_name[digit], layer + 1,
             hw_layer_name(l, layer, of));
    for (int f = 0; code == HW_OK && f < 2; f++) {
        hw_buffer b = {.arena = a};
        code = form[f].write(&sketch, &b);
        hw_maker_file(k,
                      (hw_made_file){.name = file_name(k, words, form[f].ending),
                                     .kind = form[f].ending,
                                     .what = words_of(k, hw_digit_name[digit],
                                                      ", profiles of one layer, scale 1 : 1"),
                                     .group = group,
                                     .part = -1,
                                     .plate = -1},
                      &b);
    }
    return code;
}

static hw_code add_layers(maker *k)
{
    for (size_t g = 0; g < k->made.groups; g++) {
        const hw_made_group *group = &k->made.group[g];
        if (group->digit < 0 || group->parts == 0) continue;
        for (size_t i = 0; i < k->made.hand->layers[group->digit].n; i++) {
            size_t mark = hw_arena_mark(k->work);
            hw_code code = add_layer(k, (int)g, (int)i);
            hw_arena_rewind(k->work, mark);
            if (code != HW_OK) return code;
        }
    }
    return HW_OK;
}

// Outline and holes of the controller's board, for whoever makes or checks one.
static hw_code add_board(maker *k)
{
    const hw_palm_parts *palm = k->made.palm;
    if (!palm || palm->board.blocks == 0) return HW_OK;
    hw_sketch sketch;
    hw_mesh_def def = hw_mesh_def_default();
    hw_code code =
        hw_sketch_part(k->call->arena, k->work, hw_report_name(k->call->arena, k->made.design),
                       "board", &palm->board, &def, 1e-3, 1e-5, NULL, &sketch);
    hw_buffer b = {.arena = k->call->arena};
    if (code == HW_OK) code = hw_dxf_write(&sketch, &b);
    if (code == HW_OK)
        hw_maker_note(k, "board.dxf", "dxf", "controller's board, outline and holes, scale 1 : 1",
                      &b);
    return code;
}

// ---- pictures ---------------------------------------------------------------------------------

static bool to_buffer(void *self, const void *bytes, size_t n)
{
    hw_buffer_put(self, (hw_text){bytes, n});
    return true;
}

hw_code hw_maker_png(maker *k, hw_sheet *sheet, int group, int plate)
{
    hw_buffer b = {.arena = k->call->arena};
    hw_code code = hw_sheet_png(sheet, PNG_DPI, (hw_sink){to_buffer, &b});
    if (code == HW_OK)
        hw_maker_file(k,
                      (hw_made_file){.name = file_name(k, hw_sheet_name(sheet), "png"),
                                     .kind = "png",
                                     .what = words_of(k, hw_sheet_title(sheet), ""),
                                     .group = group,
                                     .part = -1,
                                     .plate = plate},
                      &b);
    return code;
}

static hw_code add_view(maker *k, const hw_made_view *view, const hw_job *job)
{
    hw_arena *keep = hw_arena_new(1 << 20); // a picture is large: it goes once its file is made
    hw_sheet *sheet = NULL;
    if (!keep) return HW_NO_MEMORY;
    hw_code code = hw_report_made_view(keep, k->work, &k->made, view, job, &sheet);
    if (code == HW_OK) code = hw_maker_png(k, sheet, view->group, view->plate);
    hw_arena_free(keep);
    return code;
}

static hw_code add_views(maker *k, const hw_job *whole)
{
    hw_made_view view[HW_MADE_VIEWS];
    size_t n = hw_report_made_views(&k->made, view);
    for (size_t i = 0; i < n; i++) {
        // the hand posed shows palm and forearm too
        if (view[i].kind >= HW_MADE_VIEW_BACK && k->poses) continue;
        hw_share share = {whole, 0.6 + 0.3 * (double)i / (double)n, 0.3 / (double)n};
        hw_job job = {hw_share_step, &share};
        hw_code code = add_view(k, &view[i], &job);
        if (code != HW_OK) return code;
    }
    return HW_OK;
}

// The map of stress in the cut through the worst place; marked is the most in that cut.
static hw_code add_stress(maker *k)
{
    const hw_made_stress *s = &k->stress;
    hw_arena *a = k->call->arena;
    if (s->fault || !s->map) return HW_OK;
    size_t top = 0;
    for (size_t i = 0; i < s->n[0] * s->n[1]; i++)
        if (s->filled[i] >= 0.5 && (isnan(s->map[top]) || s->map[i] > s->map[top])) top = i;
    const double edge = s->edge[1];
    size_t row = top / s->n[0];
    hw_buffer remark = {.arena = a};
    const char axis = "xyz"[s->normal];
    hw_buffer_format(&remark, "cut at %c %.1f mm", axis, 1e3 * s->at);
    hw_stress_map map = {.name = words_of(k, k->made.group[0].name, " stress"),
                         .title = words_of(k, "Stress, ", s->part),
                         .design = hw_report_name(a, k->made.design),
                         .remark = remark.at,
                         .below = hw_made_stress_note(a, s),
                         .n = {s->n[0], s->n[1]},
                         .value = s->map,
                         .filled = s->filled,
                         .edge = edge,
                         .low = {s->low[0], s->low[1]},
                         .worst = {s->low[0] + ((double)(top % s->n[0]) + 0.5) * edge,
                                   s->low[1] + ((double)row + 0.5) * edge},
                         .most = s->map[top],
                         .width = 180,
                         .height_most = 120};
    hw_sheet *sheet = NULL;
    hw_code code = hw_draw_stress(a, &map, &sheet);
    return code == HW_OK ? hw_maker_png(k, sheet, 0, -1) : code;
}

// ---- the verb ---------------------------------------------------------------------------------

static hw_code add_files(maker *k)
{
    hw_code code = add_parts(k);
    for (size_t p = 0; code == HW_OK && p < k->made.plates; p++) code = add_plate(k, (int)p);
    if (code == HW_OK) code = add_layers(k);
    if (code == HW_OK) code = add_board(k);
    if (code == HW_OK) code = add_stress(k);
    hw_share rest = {&k->call->job, k->searched, 1 - k->searched};
    hw_job whole = {hw_share_step, &rest};
    if (code == HW_OK) code = add_views(k, &whole);
    hw_share share = {&whole, 0.9, 0.1};
    hw_job job = {hw_share_step, &share};
    return code == HW_OK ? hw_maker_posed(k, &job) : code;
}

static hw_code add_listing(maker *k, const char *variant)
{
    hw_made_report r = {&k->made, variant, k->file, k->files};
    hw_buffer b = {.arena = k->call->arena};
    hw_code code = hw_report_made_listing(&r, &b);
    hw_maker_note(k, "README.txt", "text", "how to print, what to measure, cautions", &b);
    return code;
}

static hw_code strain(maker *k, int digit)
{
    hw_made_stress_def def = hw_made_stress_def_default();
    hw_arena *a = k->call->arena;
    hw_code code = HW_OK;
    for (int phalanx = 0; phalanx < 2 && code == HW_OK; phalanx++) {
        hw_made_stress one;
        code = hw_make_stress(a, &k->made, 0, phalanx, &def, &k->call->job, &one);
        // the worse one counts; one that is unknown counts as worse
        if (phalanx == 0 || one.fault || (!k->stress.fault && one.share > k->stress.share))
            k->stress = one;
    }
    if (code == HW_OK) hw_made_stress_judge(a, &k->made, &k->stress, digit);
    return code;
}

static hw_exit make_all(maker *k, const hw_design *design, const hw_make_def *def)
{
    hw_call *call = k->call;
    const char *variant = call->option[HW_OPT_VARIANT];
    bool writes = call->option[HW_OPT_FOLDER] != NULL;
    const double from = k->searched, left = 1 - from;
    hw_share share = {&call->job, from, left * (writes ? 0.6 : 1)};
    hw_job job = {hw_share_step, &share};
    hw_code code = hw_make(call->arena, design, def, &job, &k->made);
    if (code == HW_OK && call->option[HW_OPT_STRESS]) code = strain(k, def->digit);
    if (code == HW_OK && writes) code = add_files(k);
    if (code == HW_OK && writes) code = add_listing(k, variant);
    hw_made_report r = {&k->made, variant, k->file, k->files};
    if (code == HW_OK) code = hw_report_made_text(&r, COLUMNS, &call->text);
    if (code == HW_OK) code = hw_report_made_json(&r, &call->json);
    if (code != HW_OK) return hw_call_code(call, code);
    if (writes)
        hw_buffer_puts(&call->text, "\nRead README.txt first: how to print, what to measure, "
                                    "cautions.\n");
    else
        hw_buffer_puts(&call->text, "\nNothing was written: -o DIR writes the files.\n");
    return hw_make_all_hold(&k->made) ? HW_EXIT_HOLDS : HW_EXIT_SHORT;
}

// Servos in the palm that lack room where the document has them are laid anew, and *design with
// them.
static hw_exit lay_anew(maker *k, hw_design **design)
{
    hw_call *call = k->call;
    hw_hand *hand = HW_NEW(k->work, hw_hand, 2);
    if (!hand) return hw_call_code(call, HW_NO_MEMORY);
    hw_hand_build(*design, &hand[0]);
    const double was = hand[0].places.pack.room;
    if (hand[0].places.movers == 0 || !(was < 0)) return HW_EXIT_HOLDS;
    hw_share share = {&call->job, 0, SEARCH};
    hw_job job = {hw_share_step, &share};
    k->searched = SEARCH;
    hw_code code = hw_hand_slots(k->work, *design, &hand[0], &job, &hand[1]);
    if (code != HW_OK) return hw_call_code(call, code);
    const double lacks = hw_hand_lacks(*design, &hand[0]);
    if (!(hw_hand_lacks(*design, &hand[1]) < lacks)) {
        hw_buffer_format(&call->text,
                         "Servos in the palm lack %.1f mm where the document has them; no better "
                         "places were found.\n\n",
                         -1e3 * was);
        return HW_EXIT_HOLDS;
    }
    hw_text document;
    hw_exit status = hw_place_again(call, &hand[1], &document, design);
    if (status != HW_EXIT_HOLDS) return status;
    hw_hand_build(*design, &hand[1]);
    const double room = hand[1].places.pack.room;
    hw_buffer_format(&call->text,
                     "Servos in the palm lack %.1f mm where the document has them. "
                     "They were laid anew: ",
                     -1e3 * was);
    if (room < 0)
        hw_buffer_format(&call->text, "%.1f mm are lacking still", -1e3 * room);
    else
        hw_buffer_puts(&call->text, "nothing is lacking");
    hw_buffer_format(&call->text,
                     ", the palm is %.1f mm thick (%.1f before). " HW_PLACE_FILE
                     " is the document that says so; with --as-written they stay.\n\n",
                     1e3 * hand[1].palm.height, 1e3 * hand[0].palm.height);
    hw_buffer bytes = {.arena = call->arena};
    hw_buffer_put(&bytes, document);
    hw_maker_note(k, HW_PLACE_FILE, "yaml", "the document with servos laid anew", &bytes);
    return HW_EXIT_HOLDS;
}

// The quality asked for; false: said why not.
static bool quality_of(hw_call *call, hw_make_quality *out)
{
    const char *given = call->option[HW_OPT_QUALITY];
    *out = HW_MAKE_COARSE;
    for (int q = 0; given && q < HW_MAKE_QUALITIES; q++)
        if (strcmp(given, hw_make_quality_name((hw_make_quality)q)) == 0) {
            *out = (hw_make_quality)q;
            return true;
        }
    if (!given) return true;
    hw_call_fault(call, "\"--quality\": found \"%s\", expected coarse or fine", given);
    return false;
}

hw_exit hw_verb_make(hw_call *call)
{
    hw_make_def def = {.digit = hw_call_digit(call, HW_OPT_ONE_DIGIT, -1),
                       .palm = call->option[HW_OPT_PALM] != NULL,
                       .coupons = call->option[HW_OPT_COUPONS] != NULL};
    if (def.digit < -1 || !quality_of(call, &def.quality)) return HW_EXIT_INPUT;
    if (call->option[HW_OPT_STRESS] && def.digit < 0)
        return hw_call_fault(call, "\"--stress\": found no --digit, expected one digit with it");
    hw_design *design = NULL;
    hw_exit status = hw_call_design(call, 0, &design);
    if (status != HW_EXIT_HOLDS) return status;
    if (def.digit >= 0 &&
        (int)hw_design_value(design, hw_entry_of(HW_E_PRESENT, def.digit)) != HW_PRESENT_YES)
        return hw_call_fault(call, "the design has no %s (digits.%s.present)",
                             hw_digit_name[def.digit], hw_digit_name[def.digit]);
    maker k = {.call = call};
    if (!hw_maker_poses(&k, design)) return HW_EXIT_INPUT;
    k.work = hw_arena_new(1 << 20);
    if (!k.work) return hw_call_code(call, HW_NO_MEMORY);
    if (def.palm && !call->option[HW_OPT_AS_WRITTEN]) status = lay_anew(&k, &design);
    if (status == HW_EXIT_HOLDS) status = make_all(&k, design, &def);
    hw_arena_free(k.work);
    return status;
}
