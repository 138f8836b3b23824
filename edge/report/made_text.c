// What was made, in text: the sheet for the terminal, and the page that lies beside the files.
#include <math.h>
#include <string.h>

#include "print/print.h"
#include "report/made.h"
#include "report/report_internal.h"
#include "solid/field.h"

enum { PAGE = 80 }; // columns of the listing

static void put_fixed(hw_buffer *b, double value, int decimals) // [1]
{
    char text[HW_NUMBER_TEXT];
    hw_number_write_fixed(value, decimals, text);
    hw_buffer_puts(b, text);
}

// "1 h 25 min", "40 min"
static void put_time(hw_buffer *b, double seconds) // [s]
{
    double minutes = ceil(seconds / 60 - 1e-6), hours = floor(minutes / 60);
    if (hours > 0) {
        put_fixed(b, hours, 0);
        hw_buffer_puts(b, " h ");
    }
    put_fixed(b, minutes - 60 * hours, 0);
    hw_buffer_puts(b, " min");
}

// Appends spaces until the line that began at `from` has `width` columns.
static void pad(hw_buffer *b, size_t from, size_t width)
{
    size_t have = b->at ? hw_utf8_count((hw_text){b->at + from, b->len - from}) : 0;
    for (; have < width; have++) hw_buffer_puts(b, " ");
}

// Words broken into lines of PAGE columns, every line indented.
static void put_wrapped(hw_buffer *b, int indent, const char *text)
{
    int column = 0;
    while (*text) {
        size_t n = strcspn(text, " ");
        int wide = (int)hw_utf8_count((hw_text){text, n});
        if (column && column + 1 + wide > PAGE) {
            hw_buffer_puts(b, "\n");
            column = 0;
        }
        for (; column < indent; column++) hw_buffer_puts(b, " ");
        if (column > indent) hw_buffer_puts(b, " "), column++;
        hw_buffer_put(b, (hw_text){text, n});
        column += wide;
        text += n + strspn(text + n, " ");
    }
    hw_buffer_puts(b, "\n");
}

static void put_heading(hw_buffer *b, const char *words)
{
    hw_buffer_format(b, "\n%s\n", words);
    for (size_t i = 0; i < hw_utf8_count(hw_text_of(words)); i++) hw_buffer_puts(b, "-");
    hw_buffer_puts(b, "\n");
}

// "index, middle, ring": what lies on a plate.
static void put_groups(hw_buffer *b, const hw_made *m, size_t plate)
{
    const char *between = m->plate[plate].coupons ? "coupons: " : "";
    for (size_t g = 0; g < m->groups; g++) {
        if (m->group[g].plate != (int)plate) continue;
        const hw_coupon *c = m->group[g].coupon;
        hw_buffer_format(b, "%s%s", between, c ? c->id : m->group[g].name);
        between = ", ";
    }
}

static void put_plates(hw_buffer *b, const hw_made *m)
{
    for (size_t p = 0; p < m->plates; p++) {
        size_t from = b->len;
        hw_buffer_format(b, "  plate %zu", p + 1);
        pad(b, from, 11);
        put_fixed(b, m->plate[p].filament * 1e3, 1);
        hw_buffer_puts(b, " g");
        pad(b, from, 20);
        put_time(b, m->plate[p].time);
        pad(b, from, 33);
        put_groups(b, m, p);
        hw_buffer_puts(b, "\n");
    }
    for (size_t g = 0; g < m->groups; g++)
        if (m->group[g].fault)
            hw_buffer_format(b, "  %s: not made: %s\n", m->group[g].name, m->group[g].fault);
        else if (m->group[g].plate < 0)
            hw_buffer_format(b, "  %s: fits no plate of this bed (printer.bed)\n",
                             m->group[g].name);
}

// ---- for the terminal -------------------------------------------------------------------------

hw_code hw_report_made_text(const hw_made_report *r, int columns, hw_buffer *out)
{
    const hw_made *m = r->made;
    hw_assessment *s = HW_NEW(out->arena, hw_assessment, 1);
    if (!s) return HW_NO_MEMORY;
    *s = (hw_assessment){.design = m->design,
                         .hand = m->hand,
                         .finding = m->finding,
                         .findings = m->findings,
                         .held = m->held,
                         .fallen_short = m->fallen_short,
                         .unknown = m->unknown,
                         .required = m->required,
                         .required_held = m->required_held,
                         .elsewhere = m->unasked,
                         .by = m->def.digit >= 0
                                   ? "handwright make --palm --stress of the whole hand"
                               : m->def.palm ? "handwright make --stress"
                                             : "handwright make --palm --stress"};
    for (size_t g = 0; g < m->groups; g++)
        if (m->group[g].digit >= 0) s->digit[m->group[g].digit].present = true;
    hw_report report = {s, NULL, r->variant};
    hw_code code = hw_report_text(&report, columns, out);
    if (code != HW_OK) return code;
    size_t tris = 0;
    for (size_t i = 0; i < m->parts; i++) tris += m->part[i].mesh.tris;
    hw_buffer_puts(out, "\n");
    hw_buffer_count(out, m->parts, "part");
    hw_buffer_format(out, ", %zu triangles, %s\n", tris, hw_make_quality_name(m->def.quality));
    put_plates(out, m);
    return hw_arena_failed(out->arena) ? HW_NO_MEMORY : HW_OK;
}

// ---- the listing ------------------------------------------------------------------------------

static void put_printing(hw_buffer *b, const hw_made *m)
{
    const hw_print_def *p = m->printer;
    put_heading(b, "How to print");
    hw_buffer w = {.arena = b->arena};
    hw_buffer_puts(&w, "Layers of ");
    put_fixed(&w, p->layer * 1e3, 2);
    hw_buffer_puts(&w, " mm, lines of ");
    put_fixed(&w, p->line * 1e3, 2);
    hw_buffer_puts(&w, " mm, ");
    put_fixed(&w, p->walls, 0);
    hw_buffer_puts(&w, " lines along every outline, ");
    put_fixed(&w, p->solid_layers, 0);
    hw_buffer_puts(&w, " full layers at floors and roofs, ");
    put_fixed(&w, p->infill * 100, 0);
    hw_buffer_puts(&w, " % inside. No supports. Leave every part as it lies: a digit is printed "
                       "assembled, and each of its parts must stay where it is beside the others. "
                       "A skirt is fine, a brim is not: it would join what must move. Times and "
                       "masses below assume these numbers.");
    put_wrapped(b, 2, w.at ? w.at : "");
    bool coupons = false;
    for (size_t g = 0; g < m->groups; g++) coupons = coupons || m->group[g].coupon;
    hw_buffer first = {.arena = b->arena};
    hw_buffer_format(&first,
                     "Print the coupons first%s, on the same machine and with the same filament: "
                     "they tell whether a digit will move, grip and hold before you print one. STL "
                     "files carry no unit: they are in millimetres.",
                     coupons ? "" : " (make --coupons makes them)");
    put_wrapped(b, 2, first.at ? first.at : "");
    put_wrapped(b, 2,
                "When a digit has cooled down, hold the carrier and turn one joint after the "
                "other, the one nearest the tip first, by small angles until it comes free.");
}

static void put_parts(hw_buffer *b, const hw_made_report *r)
{
    put_heading(b, "Parts");
    for (size_t i = 0; i < r->files; i++) {
        const hw_made_file *f = &r->file[i];
        if (f->part < 0) continue;
        const hw_made_part *p = &r->made->part[f->part];
        size_t from = b->len;
        hw_buffer_format(b, "  %s", f->name);
        pad(b, from, 36);
        put_fixed(b, p->mass.mass * 1e3, 1);
        hw_buffer_puts(b, " g solid");
        pad(b, from, 50);
        put_fixed(b, (p->high.x - p->low.x) * 1e3, 1);
        hw_buffer_puts(b, " x ");
        put_fixed(b, (p->high.y - p->low.y) * 1e3, 1);
        hw_buffer_puts(b, " x ");
        put_fixed(b, (p->high.z - p->low.z) * 1e3, 1);
        hw_buffer_puts(b, " mm\n");
    }
}

// Undersides of one kind that a part may have.
static void put_exception(hw_buffer *b, const hw_made *m, const hw_made_group *g, size_t part,
                          hw_allowance_kind kind, bool *any)
{
    size_t n = 0;
    double span = 0, area = 0;
    for (size_t h = 0; h < g->print->hangs; h++) {
        const hw_print_hang *hang = &g->print->hang[h];
        if (hang->part != part || hang->kind != kind || hang->hold != HW_HANG_PERMITTED) continue;
        span = fmax(span, hang->span);
        area += hang->area;
        n++;
    }
    if (n == 0 || area < 0.05e-6) return; // told in tenths of a square millimetre
    *any = true;
    size_t from = b->len;
    hw_buffer_format(b, "  %s", m->part[g->first + part].part->name);
    pad(b, from, 34);
    hw_buffer_format(b, " %zu %s%s", n, hw_allowance_text(kind), n > 1 ? "s" : "");
    pad(b, from, 48);
    hw_buffer_puts(b, "span ");
    put_fixed(b, span * 1e3, 1);
    hw_buffer_puts(b, " mm, ");
    put_fixed(b, area * 1e6, 1);
    hw_buffer_puts(b, " mm2 in all\n");
}

static void put_exceptions(hw_buffer *b, const hw_made *m)
{
    put_heading(b, "What hangs where it may");
    bool any = false;
    for (size_t i = 0; i < m->groups; i++)
        for (size_t p = 0; m->group[i].print && p < m->group[i].parts; p++)
            for (int k = 0; k < HW_ALLOWANCES; k++)
                put_exception(b, m, &m->group[i], p, (hw_allowance_kind)k, &any);
    if (!any) hw_buffer_puts(b, "  nothing\n");
}

static void put_measures(hw_buffer *b, const hw_made *m)
{
    bool any = false;
    for (size_t i = 0; i < m->groups; i++) {
        const hw_coupon *c = m->group[i].coupon;
        if (!c || m->group[i].parts == 0) continue;
        if (!any) put_heading(b, "What to measure on the coupons");
        any = true;
        hw_buffer_format(b, "  %s: %s\n", c->id, c->title);
        put_wrapped(b, 4, c->measure);
        if (c->caution && *c->caution) put_wrapped(b, 4, c->caution);
        if (c->entry) hw_buffer_format(b, "    belongs to: %s\n", c->entry);
    }
    put_heading(b, any ? "What to measure on the digits" : "What to measure");
    put_wrapped(b, 2,
                "Width across every knuckle with a caliper: the document's width, less or more by "
                "at most 0.1 mm. Play of each joint at the tip, pushed both ways with a finger's "
                "weight: beside slop_tip of handwright assess. A joint that does not come free, or "
                "a gap that is closed: note which one and in which layer.");
}

// ---- cords ------------------------------------------------------------------------------------

// Names of the digits that a sentence is about: "index, middle"; false: none.
static bool put_those(hw_buffer *b, const hw_made *m, bool (*is)(const hw_hand *, int digit))
{
    const char *between = "";
    for (size_t g = 0; g < m->groups; g++) {
        int digit = m->group[g].digit;
        if (digit < 0 || m->group[g].parts == 0 || !is(m->hand, digit)) continue;
        hw_buffer_format(b, "%s%s", between, hw_digit_name[digit]);
        between = ", ";
    }
    return *between != '\0';
}

static bool has_pulley(const hw_hand *h, int digit)
{
    return h->fitted[digit] && h->fittings[digit].pulley;
}

static bool has_spool(const hw_hand *h, int digit)
{
    return has_pulley(h, digit) && h->fittings[digit].wheel.spool.fits;
}

static bool has_knots(const hw_hand *h, int digit)
{
    return has_pulley(h, digit) && !h->fittings[digit].wheel.spool.fits;
}

static bool has_switch(const hw_hand *h, int digit)
{
    return has_pulley(h, digit) && h->fittings[digit].carrier.home;
}

static bool has_channel(const hw_hand *h, int digit)
{
    return h->digit[digit].family == HW_FAMILY_CORD;
}

static void put_about(hw_buffer *b, const hw_made *m, bool (*is)(const hw_hand *, int digit),
                      const char *what)
{
    hw_buffer w = {.arena = b->arena};
    if (!put_those(&w, m, is)) return;
    hw_buffer_format(&w, ": %s", what);
    put_wrapped(b, 2, w.at ? w.at : "");
}

// How the tension is set, with the document's own numbers.
static void put_tension(hw_buffer *b, const hw_made *m)
{
    for (size_t g = 0; g < m->groups; g++) {
        int digit = m->group[g].digit;
        if (digit < 0 || m->group[g].parts == 0 || !has_spool(m->hand, digit)) continue;
        hw_buffer w = {.arena = b->arena};
        hw_buffer_format(&w, "%s: ", hw_digit_name[digit]);
        put_fixed(&w, m->hand->drive[digit].pretension, 1);
        hw_buffer_puts(&w, " N, ");
        put_fixed(&w, m->hand->fittings[digit].wheel.spool.positions, 0);
        hw_buffer_puts(&w, " places a turn");
        put_wrapped(b, 4, w.at ? w.at : "");
    }
}

static void put_cords(hw_buffer *b, const hw_made *m)
{
    hw_buffer any = {.arena = b->arena};
    bool pulley = put_those(&any, m, has_pulley), channel = put_those(&any, m, has_channel);
    if (!pulley && !channel) return;
    put_heading(b, "Cords, tension, switch");
    put_about(b, m, has_pulley,
              "push both sheaths into the carrier's back face until they sit. The closing cord "
              "runs through the palmar one, under the pulley and round its front to the hole "
              "beside the groove: knot it there, the knot inside the hole. The opening cord "
              "runs through the dorsal one and over the pulley.");
    put_about(b, m, has_spool,
              "the opening cord goes on through the slanting channel to the recess in the "
              "proximal's side, through the spool's hole, and is knotted in the seat on the "
              "spool's flat face. Put the spool in, turn it by its slot until the open digit's "
              "cord pulls as below by a spring balance, then push a piece of filament through the "
              "first pair of holes that meet: it holds by itself. To set it anew hold the spool by "
              "its slot before the pin comes out: it spins back.");
    put_tension(b, m);
    put_about(b, m, has_knots,
              "no room for a spool: the opening cord is knotted in the second hole beside the "
              "groove, and the tension is set at the drum.");
    put_about(b, m, has_switch,
              "the home switch goes into the carrier's side, its lever on the pulley's rim, two "
              "screws through its own holes. In the open digit the rim presses it; it lets go as "
              "the digit begins to close. Turn the pulley by hand once before power is on.");
    put_about(b, m, has_channel,
              "one cord through all channels on the palmar side, from the carrier to the pocket "
              "in the distal's back: knot it there. The elastic return starts in the same pocket "
              "and lies on the back.");
    put_wrapped(b, 2,
                "Cut cords on a board, away from your fingers; a braid's end frays, so glue or "
                "melt it first (a flame only where air moves and nothing else burns), let it cool, "
                "and trim the tail to three cord widths behind the knot: a longer one is drawn in "
                "and jams. Nobody's face near a taut cord: an end that is cut or slips under "
                "tension whips. Let the tension off before you cut. Pulleys draw fingers in: power "
                "off while you thread.");
}

static bool has_body(const hw_made *m, const char *name)
{
    for (size_t i = 0; i < m->groups; i++)
        if (m->group[i].body && strncmp(m->group[i].body->name, name, strlen(name)) == 0)
            return true;
    return false;
}

// What holds the palm's lid, as the step of that number.
static void put_lid(hw_buffer *b, const hw_made *m, int step)
{
    size_t behind = 0;
    for (size_t i = 0; i < m->palm->lid_screws; i++) behind += m->palm->lid_screw[i].x < 0;
    const size_t all = m->palm->lid_screws;
    hw_buffer words = {.arena = b->arena};
    if (all == 0) {
        hw_buffer_puts(&words, "No screw holds the lid: there is no place for one.");
    } else {
        hw_buffer_format(&words, "%d. The lid goes on last, with %zu %s%s of 3 mm", step, all,
                         behind == all ? "countersunk " : "", all == 1 ? "screw" : "screws");
        if (behind && behind < all) hw_buffer_format(&words, ", %zu of them countersunk,", behind);
        if (behind)
            hw_buffer_puts(&words, " behind the wrist, before the forearm's cover hides them");
        hw_buffer_puts(&words, ".");
        if (m->palm->lid_hooks)
            hw_buffer_puts(&words, " Put it down two millimetres behind its place and push it "
                                   "toward the fingers, so that the tray's lips come over its "
                                   "front, through a slot where it has one; then the screws.");
        else if (behind == all)
            hw_buffer_puts(&words, " Its front rests on the tray and is not held.");
    }
    if (words.at) put_wrapped(b, 2, words.at);
}

// How the palm goes together.
static void put_palm(hw_buffer *b, const hw_made *m)
{
    if (!m->palm || !has_body(m, "palm lid")) return;
    put_heading(b, "Palm");
    const bool thumb = m->hand->present[HW_THUMB], seated = has_body(m, "thumb cap");
    if (thumb && !seated)
        put_wrapped(b, 2,
                    "The thumb has no seat in this palm: find it a base that has room for one "
                    "before you print (handwright place --thumb).");
    put_wrapped(b, 2,
                "1. Screw every carrier to its yoke, from behind through the yoke's plate: once "
                "the yoke stands in the palm no driver reaches these screws. Home switches are "
                "in their carriers before that.");
    put_wrapped(
        b, 2,
        "2. Screw the empty tray to the forearm, with two screws from the forearm's trough: "
        "the way of the driver, at most 3 mm thick, leads over the places of the outer "
        "servos.");
    if (m->hand->places.movers)
        put_wrapped(b, 2,
                    "3. Servos and rods go into the tray from its open side. Each servo's lead has "
                    "a trench of its own, and a hole where that meets a wall: pull the contacts "
                    "out of its plug, thread them, put them back in the same order; in the forearm "
                    "it goes on under the servos to the board.");
    hw_buffer way = {.arena = b->arena};
    hw_buffer_format(&way,
                     "%d. Push every sheath through its own hole in the forearm's front wall "
                     "and in the wall behind the palm and along its trench, then through the "
                     "yoke's plate into the carrier while you set the yoke on its seat; a "
                     "screw from the palm holds it",
                     m->hand->places.movers ? 4 : 3);
    hw_buffer_puts(&way, seated ? ", the thumb's yoke lies in its bearing under the cap with two "
                                  "screws. Fingers that splay turn about their screw: tighten it "
                                  "until nothing rattles, and back until it turns."
                                : ". Fingers that splay turn about it: tighten it until nothing "
                                  "rattles, and back until it turns.");
    if (way.at) put_wrapped(b, 2, way.at);
    put_lid(b, m, m->hand->places.movers ? 5 : 4);
}

// The cover over drums and cords: how it is printed, put on and taken off.
static void put_cover(hw_buffer *b, const hw_made *m)
{
    if (!has_body(m, "forearm cover")) return;
    put_heading(b, "Forearm and its cover");
    put_wrapped(b, 2,
                "Push the halves together from above, tongues into grooves, where it comes in two. "
                "Its servos stand in it with their ears on the ledges, leads down through the "
                "floor; its lid presses the ears, with screws of 3 mm, 16 mm long, in all of its "
                "holes. They go in after the wrist's two: some cross that driver's way.");
    put_wrapped(
        b, 2,
        "The cover is printed standing on its rear end, with a brim of its own, which slicers "
        "give to a single part: it is thin and high, and a brim round digits joins them. "
        "It comes on last, from the back of the arm: spread its sides by a few "
        "millimetres, press it down until its lips snap under the forearm's bevelled lower "
        "edges, then put the arm into its stand. No screw holds it.");
    put_wrapped(b, 2,
                "To reach drums and cords, to set their tension or to free a cord: switch off and "
                "unplug the supply, lift the arm out of the stand, spread the sides, lift the "
                "cover off. Drums and cords draw fingers, hair and sleeves in and a servo does not "
                "feel it: never run them with the cover off.");
}

// What tips the hand on its stand at its fingertips when nothing holds the foot: the print's weight
// over half the foot's depth, servos left out. 0: it has no stand.
static double tips_at(const hw_made *m) // [N]
{
    double mass = 0;
    for (size_t p = 0; p < m->plates; p++)
        if (!m->plate[p].coupons) mass += m->plate[p].filament;
    for (size_t i = 0; i < m->palm->parts; i++) {
        const hw_palm_part *p = &m->palm->part[i];
        hw_vec3 low, high;
        if (strcmp(p->name, "stand") != 0 || !hw_field_reach(p->field, &low, &high)) continue;
        const double length = hw_design_value(m->design, hw_entry_of(HW_E_HAND_LENGTH, -1));
        return 9.81 * mass * (high.y - low.y) / 2 / (length - p->bed.at.x);
    }
    return 0;
}

static void put_stand(hw_buffer *b, const hw_made *m)
{
    if (!m->palm || !has_body(m, "stand")) return;
    put_heading(b, "Stand");
    hw_buffer words = {.arena = b->arena};
    hw_buffer_puts(&words, "Screw the stand to a board or a table, with a countersunk wood screw "
                           "of 4 mm in each tab of its foot, or clamp the foot down, before "
                           "you put the arm into it: loose it tips when its fingertips are pushed "
                           "with about ");
    put_fixed(&words, tips_at(m), 1);
    hw_buffer_puts(&words, " N (weight of the print over half the foot's depth).");
    if (words.at) put_wrapped(b, 2, words.at);
}

static void put_cautions(hw_buffer *b)
{
    put_heading(b, "Cautions");
    put_wrapped(b, 2,
                "Nozzle and bed burn for minutes after a print; let them cool before you reach "
                "in, and air the room. Cut strings and first layers away from your hand, not "
                "toward it.");
    put_wrapped(b, 2,
                "Joints pinch: keep fingers out of the creases while you free or move a digit. "
                "Coupons that are pulled until they let go snap back and may splinter: wear "
                "glasses, pull away from your face, keep others away.");
    put_wrapped(b, 2,
                "A file is a computation, not a test. Nothing made with it is a medical device; "
                "where other people are concerned, follow local rules and ask qualified people.");
}

hw_code hw_report_made_listing(const hw_made_report *r, hw_buffer *out)
{
    const hw_made *m = r->made;
    char print[17];
    const char *name = hw_report_name(out->arena, m->design);
    hw_text revision = hw_design_text(m->design, hw_entry_of(HW_E_REVISION, -1));
    hw_buffer_format(out, "%s", name ? name : "");
    if (revision.len) {
        hw_buffer_puts(out, ", revision ");
        hw_buffer_put(out, revision);
    }
    hw_buffer_format(out, ": printed parts of a %s hand\n", m->hand->left ? "left" : "right");
    if (r->variant) hw_buffer_format(out, "variant %s, ", r->variant);
    hw_buffer_format(out, "quality %s, fingerprint %s\n", hw_make_quality_name(m->def.quality),
                     hw_fingerprint_text(hw_design_fingerprint(m->design), print));
    put_printing(out, m);
    put_heading(out, "Plates");
    put_plates(out, m);
    put_parts(out, r);
    put_cords(out, m);
    put_palm(out, m);
    put_cover(out, m);
    put_stand(out, m);
    put_measures(out, m);
    put_cautions(out);
    put_heading(out, "Other files");
    for (size_t i = 0; i < r->files; i++) {
        if (r->file[i].part >= 0) continue;
        size_t from = out->len;
        hw_buffer_format(out, "  %s", r->file[i].name);
        pad(out, from, 36);
        hw_buffer_format(out, " %s\n", r->file[i].what);
    }
    put_exceptions(out, m);
    return hw_arena_failed(out->arena) ? HW_NO_MEMORY : HW_OK;
}
