#include "base/vec.h"
#include "parts/blocks_internal.h"
#include "parts/lettering.h"
#include "sound.h"

static const char every[] =
    "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-.,:/+=()!?_";
static const double lines[] = {0.27e-3, 0.42e-3, 0.65e-3}; // of three printers [m]

static hw_solid plate_for(hw_arena *keep, hw_vec3 low, hw_vec3 high)
{
    hw_blocks b = hw_blocks_new(keep, 0.01 * mm);
    hw_blocks_box(&b, HW_BLOCK_ADD, low, high);
    CHECK(b.pile.code == HW_OK);
    return hw_blocks_solid(&b);
}

static hw_lettering on_side(const char *text, double height, double line)
{
    return (hw_lettering){.text = text,
                          .face = HW_FACE_SIDE_LOW,
                          .at = {0, 0, 0},
                          .height = height,
                          .line = line,
                          .depth = 2 * line};
}

// Every letter, cut and raised, on all faces, at the least and at a large size.
static void every_letter(void)
{
    for (size_t c = 0; c < sizeof every - 1; c++)
        for (int which = 0; which < 3; which++)
            for (int face = 0; face < 4; face++) {
                hw_arena *keep = hw_arena_new(0);
                double line = lines[which];
                const char text[2] = {every[c], '\0'};
                hw_lettering l = on_side(text, (which ? 1 : 3) * hw_letter_least(line), line);
                l.face = (hw_letter_face)face;
                l.raised = (c + (size_t)face) % 2;
                l.mirrored = c % 2;
                double r = l.height, t = 4 * line;
                bool lying = face >= HW_FACE_DOWN;
                double inward = face % 2 ? -t : t; // from the face at 0
                hw_vec3 a =
                    lying ? (hw_vec3){-r, -r, fmin(0, inward)} : (hw_vec3){-r, fmin(0, inward), -r};
                hw_vec3 z =
                    lying ? (hw_vec3){r, r, fmax(0, inward)} : (hw_vec3){r, fmax(0, inward), r};
                hw_solid plate = plate_for(keep, a, z), mark;
                CHECK(hw_letter_blocks(keep, &l, &mark) == HW_OK && mark.blocks > 0);
                hw_solid all = joined(keep, &plate, &mark);
                double blank = 4 * r * r * t / (mm * mm * mm), got = sound_volume(&all, text);
                double ink = (l.raised ? got - blank : blank - got) * mm * mm * mm / l.depth;
                // at least a dot, at most half of the box
                double stroke = hw_letter_stroke(l.height, line);
                double box = (hw_letter_width(text, l.height, line) + stroke) * 1.4 * l.height;
                if (!CHECK(ink > 0.55 * stroke * stroke && ink < 0.75 * box))
                    printf("    '%s' face %d ink %g box %g\n", text, face, ink, box);
                hw_arena_free(keep);
            }
}

// A stroke's area: 'I' is three bars of 2, 2 and 6 units, 'l' and '-' likewise.
static void ink(void)
{
    hw_arena *keep = hw_arena_new(0);
    double line = 0.42 * mm, height = 8 * line, stroke = height / 8, unit = (height - stroke) / 6;
    double end = 6 * 0.5 * stroke / 2 * stroke / 2 * sin(HW_PI / 3); // both round ends, as drawn
    hw_solid mark;
    hw_lettering l = on_side("-", height, line);
    l.raised = true;
    CHECK(hw_letter_blocks(keep, &l, &mark) == HW_OK);
    CLOSE(sound_volume(&mark, "-") * mm * mm * mm, (2 * unit * stroke + end) * l.depth, 1e-3);
    l.text = "I";
    CHECK(hw_letter_blocks(keep, &l, &mark) == HW_OK);
    // the upright's ends lie inside the bars
    double bars = 2 * (2 * unit * stroke + end), upright = 6 * unit * stroke - stroke * stroke;
    CLOSE(sound_volume(&mark, "I") * mm * mm * mm, (bars + upright) * l.depth, 1e-3);
    hw_arena_free(keep);
}

// Walls between strokes bear a line, and strokes are a line wide: drawn out by half a line less a
// little, strokes of the least height still do not close what is open; holes stay holes.
static void walls_stand(void)
{
    hw_arena *keep = hw_arena_new(0);
    const double line = 0.42 * mm;
    static const struct {
        const char *text;
        int rings; // outer and holes
    } row[] = {{"A", 2}, {"B", 3}, {"D", 2}, {"O", 2}, {"P", 2},  {"Q", 2}, {"R", 2}, {"a", 2},
               {"b", 2}, {"d", 2}, {"e", 2}, {"g", 2}, {"o", 2},  {"p", 2}, {"q", 2}, {"0", 2},
               {"4", 2}, {"6", 2}, {"8", 3}, {"9", 2}, {"i", 2},  {"=", 2}, {"E", 1}, {"S", 1},
               {"s", 1}, {"M", 1}, {"5", 1}, {":", 2}, {"HW", 2}, {"12", 2}};
    for (size_t i = 0; i < sizeof row / sizeof row[0]; i++) {
        hw_lettering l = on_side(row[i].text, hw_letter_least(line), line);
        l.raised = true;
        hw_solid mark;
        CHECK(hw_letter_blocks(keep, &l, &mark) == HW_OK);
        hw_arena *work = hw_arena_new(0);
        hw_mesh_def def = hw_mesh_def_default();
        hw_mesh_made made;
        hw_section s;
        CHECK(hw_solid_section(keep, work, &mark, &def, -l.depth / 2, NULL, &s, &made) == HW_OK);
        if (!CHECK(s.rings == (size_t)row[i].rings))
            printf("    '%s' has %zu rings\n", row[i].text, s.rings);
        hw_arena_free(work);
    }
    hw_arena_free(keep);
}

static double middle_x(const hw_solid *s, double below) // of corners under a height [m]
{
    double low = INFINITY, high = -INFINITY;
    for (size_t i = 0; i < s->blocks; i++)
        for (size_t k = 0; k < s->block[i].at[0].n; k++) {
            hw_vec2 p = s->block[i].at[0].at[k];
            if (p.z > below) continue;
            low = fmin(low, p.x);
            high = fmax(high, p.x);
        }
    return (low + high) / 2;
}

// An L's foot points to its reader's right: +x seen from -y, -x seen from +y; in a part that will
// be mirrored the other way.
static void readable(void)
{
    hw_arena *keep = hw_arena_new(0);
    hw_solid mark;
    hw_lettering l = on_side("7", 5 * mm, 0.4 * mm); // its foot lies left of its middle
    for (int high = 0; high < 2; high++)
        for (int mirrored = 0; mirrored < 2; mirrored++) {
            l.face = high ? HW_FACE_SIDE_HIGH : HW_FACE_SIDE_LOW;
            l.mirrored = mirrored;
            CHECK(hw_letter_blocks(keep, &l, &mark) == HW_OK);
            double foot = middle_x(&mark, -2 * mm), want = high != mirrored ? 1 : -1;
            CHECK(foot * want > 0.1 * mm);
            bool inward = true;
            for (size_t i = 0; i < mark.blocks; i++)
                inward = inward && (high ? mark.block[i].y[1] <= 0 : mark.block[i].y[0] >= 0);
            CHECK(inward);
        }
    // on faces along the bed the 7's head is where y is large, for readers whose head is there too
    for (int mirrored = 0; mirrored < 2; mirrored++)
        for (int up = 0; up < 2; up++) {
            l.face = up ? HW_FACE_UP : HW_FACE_DOWN;
            l.mirrored = mirrored;
            CHECK(hw_letter_blocks(keep, &l, &mark) == HW_OK);
            double foot = 0, widest = 0, head = 0;
            for (size_t i = 0; i < mark.blocks; i++) {
                const hw_block *b = &mark.block[i];
                double x0 = INFINITY, x1 = -INFINITY, y = (b->y[0] + b->y[1]) / 2;
                for (size_t k = 0; k < b->at[0].n; k++) {
                    x0 = fmin(x0, b->at[0].at[k].x);
                    x1 = fmax(x1, b->at[0].at[k].x);
                }
                if (x1 - x0 > widest) {
                    widest = x1 - x0;
                    head = y;
                }
                if (fabs(y) > 2 * mm && y * head < 0) foot = (x0 + x1) / 2;
                CHECK(up ? b->at[0].at[0].z <= 0 : b->at[0].at[0].z >= 0);
            }
            CHECK(head * (mirrored ? -1 : 1) > 0);
            CHECK(foot * (up ? -1 : 1) > 0.1 * mm);
        }
    hw_arena_free(keep);
}

static void sizes(void)
{
    hw_arena *keep = hw_arena_new(0);
    const double line = 0.42 * mm;
    CLOSE(hw_letter_least(line), 7 * line, 1e-12);
    CLOSE(hw_letter_stroke(hw_letter_least(line), line), line, 1e-12);
    CLOSE(hw_letter_stroke(8 * mm, line), 1 * mm, 1e-12);
    NEAR(hw_letter_width("", 5 * mm, line), 0, 0);
    // "II": 4 + 3 + 4 half units and a stroke
    CLOSE(hw_letter_width("II", 8 * mm, line), 11 * 7 * mm / 12 + 1 * mm, 1e-12);
    double fits = hw_letter_fit("HERON 1", 25 * mm, 20 * mm, line);
    CLOSE(hw_letter_width("HERON 1", fits, line), 25 * mm, 1e-9);
    CLOSE(hw_letter_fit("A", 25 * mm, 6 * mm, line), 6 * mm, 1e-12);
    NEAR(hw_letter_fit("HERON 1", 10 * mm, 20 * mm, line), 0, 0);
    NEAR(hw_letter_fit("A", 25 * mm, 2 * mm, line), 0, 0);
    // bytes of one character count as one
    CLOSE(hw_letter_width("\xc3\xa4", 5 * mm, line), hw_letter_width("x", 5 * mm, line), 1e-12);
    hw_solid mark;
    hw_lettering l = on_side("A", hw_letter_least(line), line);
    CHECK(hw_letter_blocks(keep, &l, &mark) == HW_OK);
    l.height *= 0.99;
    CHECK(hw_letter_blocks(keep, &l, &mark) == HW_BAD_INPUT && mark.blocks == 0);
    l = on_side("A", 5 * mm, line);
    l.depth = 0;
    CHECK(hw_letter_blocks(keep, &l, &mark) == HW_BAD_INPUT);
    l = on_side("A", NAN, line);
    CHECK(hw_letter_blocks(keep, &l, &mark) == HW_BAD_INPUT);
    l = on_side("\xc3\xa4 ~", 5 * mm, line);
    CHECK(hw_letter_blocks(keep, &l, &mark) == HW_OK);
    CHECK(mark.blocks == 8); // two empty boxes
    hw_arena_free(keep);
}

// A name's marks in a plate the size of a phalanx's side; ten times larger, a thousand times the
// volume.
static void names_scale(void)
{
    double was = 0;
    for (int big = 0; big < 2; big++) {
        hw_arena *keep = hw_arena_new(0);
        double k = big ? 10 : 1, line = 0.42 * mm * k;
        hw_solid plate = plate_for(keep, (hw_vec3){-30 * mm * k, 0, -9 * mm * k},
                                   (hw_vec3){30 * mm * k, 2 * mm * k, 9 * mm * k});
        hw_lettering l = on_side("Heron 1.0-b / index", 4 * mm * k, line);
        hw_solid mark;
        CHECK(hw_letter_blocks(keep, &l, &mark) == HW_OK);
        hw_solid all = joined(keep, &plate, &mark);
        double volume = 60 * 18 * 2 * k * k * k - sound_volume(&all, "name");
        if (big) CLOSE(volume, 1e3 * was, 1e-4); // the grid
        was = volume;
        hw_arena_free(keep);
    }
}

static void out_of_memory(void)
{
    hw_code code = HW_NO_MEMORY;
    size_t n = 0;
    for (; n < 400 && code == HW_NO_MEMORY; n++) {
        hw_arena *keep = hw_arena_new(0);
        hw_lettering l = on_side("AB", 5 * mm, 0.4 * mm);
        hw_solid mark;
        hw_arena_fail_after(keep, n);
        code = hw_letter_blocks(keep, &l, &mark);
        CHECK(code == HW_OK || (code == HW_NO_MEMORY && mark.blocks == 0));
        hw_arena_free(keep);
    }
    CHECK(code == HW_OK && n > 10);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(every_letter);
    RUN(ink);
    RUN(walls_stand);
    RUN(readable);
    RUN(sizes);
    RUN(names_scale);
    RUN(out_of_memory);
    return TEST_END();
}
