// Outlines as DXF and SVG: read back by readers of the test's own, they have the areas, arcs,
// places and names that were drawn; a renderer shows the SVG to scale.
#include "../draw/digits.h"
#include "dxf_reader.h"
#include "support.h"

#include <cairo.h>
#include <unistd.h>

static hw_arena *arena, *work;
static dxf drawn;

static hw_sketch layer_of(const hw_digit *d, const hw_layers *l, const hw_stack *k, int layer)
{
    hw_sketch s = {0};
    CHECK(hw_sketch_layer(arena, work, "Heron", "index", d, l, k, layer, &s) == HW_OK);
    s.note = "revision 3f2a91";
    return s;
}

static void stack_of(const hw_digit *d, hw_layers *l, hw_stack *k)
{
    hw_layers_def f = hw_layers_def_default();
    CHECK(hw_layers_of(&f, d, l) == HW_OK);
    CHECK(hw_stack_of(d, l, k) == HW_OK);
}

static hw_buffer dxf_of(const hw_sketch *s)
{
    hw_buffer b = {.arena = arena};
    CHECK(hw_dxf_write(s, &b) == HW_OK);
    return b;
}

static hw_buffer svg_of(const hw_sketch *s)
{
    hw_buffer b = {.arena = arena};
    CHECK(hw_sketch_svg(s, &b) == HW_OK);
    return b;
}

static size_t count_of(const char *text, const char *part)
{
    size_t n = 0;
    for (const char *p = text; (p = strstr(p, part)); p += strlen(part)) n++;
    return n;
}

static void rings_agree(const hw_sketch *s)
{
    size_t n = 0;
    for (size_t i = 0; i < s->shapes; i++)
        for (size_t k = 0; k < s->shape[i].region.rings; k++, n++) {
            const hw_profile *p = &s->shape[i].region.ring[k];
            const dxf_ring *r = &drawn.ring[n];
            if (!CHECK(n < drawn.rings && r->n == p->n)) return;
            CLOSE(dxf_area(&drawn, r), hw_profile_area(p) * 1e6, 2e-6); // written to 1e-6 mm
            NEAR(r->elevation, s->shape[i].low * 1000, 1e-6);
            NEAR(r->thickness, (s->shape[i].high - s->shape[i].low) * 1000, 1e-6);
            for (size_t c = 0; c < r->n; c++) {
                dxf_corner got = drawn.corner[r->first + c];
                NEAR(got.x, p->corner[c].at.x * 1000, 6e-7);
                NEAR(got.y, p->corner[c].at.z * 1000, 6e-7);
                NEAR(got.bulge, p->corner[c].bulge, 1e-12);
            }
        }
    CHECK(n == drawn.rings);
}

static void layers_as_dxf(void)
{
    const hw_digit digit[2] = {heron_index(), wren_index()};
    for (int i = 0; i < 2; i++) {
        hw_layers l;
        static hw_stack k;
        char name[24], file[64];
        size_t arcs = 0;
        stack_of(&digit[i], &l, &k);
        for (int layer = 0; layer < (int)l.n; layer++) {
            hw_sketch s = layer_of(&digit[i], &l, &k, layer);
            hw_buffer b = dxf_of(&s), again = dxf_of(&s);
            CHECK(b.len == again.len && memcmp(b.at, again.at, b.len) == 0);
            dxf_read(&drawn, b.at);
            CHECK(drawn.faults == 0);
            CHECK(drawn.comments == 2 && strstr(b.at, "999\nlengths in millimetres") != NULL);
            CHECK(s.shapes >= 3 || i == 1);
            rings_agree(&s);
            CHECK(drawn.circles == s.axes && drawn.lines == 2 * s.axes + 1); // and one to measure
            CHECK(drawn.texts == s.shapes + 3);
            for (size_t c = 0; c < drawn.corners; c++) arcs += drawn.corner[c].bulge != 0;
            snprintf(file, sizeof file, "%s-%s.dxf", i ? "wren" : "heron",
                     hw_layer_name(&l, layer, name));
            keep_file(file, &b);
        }
        CHECK(arcs > 30);
    }
}

static void names_of_layers(void)
{
    static const char *const bars[] = {"cheek-1", "tang-1", "bar-a", "bar-b", "tang-2", "cheek-2"};
    static const char *const plain[] = {"cheek-1", "tang", "cheek-2"};
    hw_layers l;
    static hw_stack k;
    char name[24];
    hw_digit d = heron_index();
    stack_of(&d, &l, &k);
    CHECK(l.n == 6);
    for (int i = 0; i < 6; i++) SAME_TEXT(hw_layer_name(&l, i, name), bars[i]);
    hw_sketch s = layer_of(&d, &l, &k, 2);
    SAME_TEXT(s.title, "Heron, index, layer bar-a");
    CHECK(s.axes == 2); // its own two ends
    bool found = false;
    for (size_t i = 0; i < s.shapes; i++)
        found = found || strcmp(s.shape[i].part, "index bar A") == 0;
    CHECK(found);
    s = layer_of(&d, &l, &k, 0);
    CHECK(s.axes == 3);
    CHECK(hw_sketch_layer(arena, work, NULL, "index", &d, &l, &k, 6, &s) == HW_BAD_INPUT);
    CHECK(hw_sketch_layer(arena, work, NULL, "index", &d, &l, &k, 5, &s) == HW_OK);
    SAME_TEXT(s.title, "index, layer cheek-2");
    SAME_TEXT(hw_layer_name(&l, -1, name), "");
    d = wren_index();
    stack_of(&d, &l, &k);
    CHECK(l.n == 3);
    for (int i = 0; i < 3; i++) SAME_TEXT(hw_layer_name(&l, i, name), plain[i]);
}

// ---- SVG --------------------------------------------------------------------------------------

// Area of a path's rings in mm^2 (y down turned up again), from M, L, A and Z alone.
static double path_area(const char *d, size_t *arcs)
{
    double sum = 0, x0 = 0, y0 = 0, x = 0, y = 0;
    for (char *end; *d && *d != '"'; d = end) {
        char kind = *d;
        double v[7];
        int n = kind == 'A' ? 7 : kind == 'Z' ? 0 : 2;
        if (!CHECK(kind == 'M' || kind == 'L' || kind == 'A' || kind == 'Z')) return NAN;
        if (kind == 'Z') {
            sum += (x * y0 - y * x0) / 2;
            end = (char *)(uintptr_t)(d + 1);
            continue;
        }
        const char *p = d + 1;
        for (int i = 0; i < n; i++, p = end) v[i] = strtod(p, &end);
        double nx = v[n - 2], ny = -v[n - 1];
        if (kind == 'M') {
            x0 = nx;
            y0 = ny;
        } else {
            sum += (x * ny - y * nx) / 2;
        }
        if (kind == 'A') {
            double chord = hypot(nx - x, ny - y), t = 2 * asin(fmin(1, chord / (2 * v[0])));
            CHECK(v[0] == v[1] && v[2] == 0);
            if (v[3] != 0) t = 2 * HW_PI - t;
            sum += (v[4] != 0 ? -1 : 1) * v[0] * v[0] * (t - sin(t)) / 2;
            ++*arcs;
        }
        x = nx;
        y = ny;
    }
    return sum;
}

static const char *attribute(const char *tag, const char *name)
{
    const char *p = strstr(tag, name);
    return CHECK(p != NULL) ? p + strlen(name) : "";
}

static void layers_as_svg(void)
{
    hw_digit d = heron_index();
    hw_layers l;
    static hw_stack k;
    char name[24], file[64];
    size_t arcs = 0;
    stack_of(&d, &l, &k);
    for (int layer = 0; layer < (int)l.n; layer++) {
        hw_sketch s = layer_of(&d, &l, &k, layer);
        hw_buffer b = svg_of(&s), again = svg_of(&s);
        CHECK(b.len == again.len && memcmp(b.at, again.at, b.len) == 0);
        snprintf(file, sizeof file, "heron-%s.svg", hw_layer_name(&l, layer, name));
        keep_file(file, &b);
        const char *p = b.at;
        for (size_t i = 0; i < s.shapes; i++) {
            char want[80];
            p = strstr(p, "<path data-part=\"");
            if (!CHECK(p != NULL)) return;
            snprintf(want, sizeof want, "<path data-part=\"%s\"", s.shape[i].part);
            CHECK(strncmp(p, want, strlen(want)) == 0);
            NEAR(strtod(attribute(p, "data-low=\""), NULL), s.shape[i].low * 1000, 1e-5);
            NEAR(strtod(attribute(p, "data-high=\""), NULL), s.shape[i].high * 1000, 1e-5);
            // half turns: the area hangs on the chord by its square root, sqrt(1e-5) of arcs' share
            CLOSE(path_area(attribute(p, " d=\""), &arcs), hw_region_area(&s.shape[i].region) * 1e6,
                  1e-4);
            snprintf(want, sizeof want, ">%s</text>", s.shape[i].part);
            CHECK(count_of(b.at, want) == 1);
            p++;
        }
        CHECK(count_of(b.at, "<circle") == s.axes);
        CHECK(count_of(b.at, ">revision 3f2a91</text>") == 1);
    }
    CHECK(arcs > 50);
}

// A ring of known size, drawn by a renderer: ink where the outline is, and the millimetres right.
static void svg_is_to_scale(void)
{
    hw_corner square[4] = {
        {{10e-3, 5e-3}, 0}, {{110e-3, 5e-3}, 0}, {{110e-3, 45e-3}, 0}, {{10e-3, 45e-3}, 0}};
    hw_corner round[2] = {{{40e-3, 25e-3}, -1}, {{60e-3, 25e-3}, -1}};
    hw_profile ring[2] = {{square, 4}, {round, 2}};
    hw_sketch_shape shape = {"cheek-1", "a & b", {ring, 2}, 0, 2e-3};
    hw_sketch_axis axis = {"cheek-1", {90e-3, 25e-3}, 3e-3};
    hw_sketch s = {"to <scale>", NULL, &shape, 1, &axis, 1, true};
    hw_buffer b = svg_of(&s);
    char svg[] = "/tmp/hw-sketch-XXXXXX", command[200], png[64];
    int fd = mkstemp(svg);
    if (!CHECK(fd >= 0 && write(fd, b.at, b.len) == (ssize_t)b.len)) return;
    close(fd);
    snprintf(png, sizeof png, "%s.png", svg);
    // 10 pixels a millimetre
    snprintf(command, sizeof command, "rsvg-convert -d 254 -p 254 -b white -f png -o %s %s", png,
             svg);
    CHECK(system(command) == 0);
    cairo_surface_t *image = cairo_image_surface_create_from_png(png);
    int w = cairo_image_surface_get_width(image), h = cairo_image_surface_get_height(image);
    CHECK(w == 1100 && h == 710); // 100 x 40 and 5 around, 21 for the notes
    const unsigned char *data = cairo_image_surface_get_data(image);
    int stride = cairo_image_surface_get_stride(image);
    // places in mm of the sheet: on the sides, on the hole's circle, on the axis; and clear paper
    static const struct {
        double x, y;
        bool ink;
    } spot[] = {{5, 25, true},   {105, 20, true},  {30, 5, true},   {35, 25, true},
                {45, 15, true},  {88, 25, true},   {85, 25, true},  {2, 25, false},
                {45, 25, false}, {100, 30, false}, {20, 10, false}, {38, 12, false}};
    for (size_t i = 0; data && i < sizeof spot / sizeof *spot; i++) {
        bool ink = false;
        for (int dx = -1; dx <= 1; dx++)
            for (int dy = -1; dy <= 1; dy++) {
                const unsigned char *p =
                    data + ((int)(spot[i].y * 10) + dy) * stride + 4 * ((int)(spot[i].x * 10) + dx);
                ink = ink || p[1] < 200;
            }
        if (!CHECK(ink == spot[i].ink)) printf("    at %g, %g mm\n", spot[i].x, spot[i].y);
    }
    cairo_surface_destroy(image);
    CHECK(unlink(svg) == 0 && unlink(png) == 0);
}

// ---- parts ------------------------------------------------------------------------------------

// The slices of a solid add up to its volume, in order and without gaps.
static void slices_of_a_part(void)
{
    model m = model_new();
    bracket(&m);
    hw_solid solid = {m.block, m.n};
    hw_mesh_def def = hw_mesh_def_default();
    hw_sketch s;
    CHECK(hw_sketch_part(arena, work, "Heron, bracket", "bracket", &solid, &def, 0.1e-3, 5e-6, NULL,
                         &s) == HW_OK);
    CHECK(s.shapes == 2 + 12); // plate with and without the pocket; the cone's 1.2 mm in steps
    double volume = 0, at = 0;
    for (size_t i = 0; i < s.shapes; i++) {
        volume += hw_region_area(&s.shape[i].region) * (s.shape[i].high - s.shape[i].low);
        NEAR(s.shape[i].low, at, 1e-12);
        at = s.shape[i].high;
    }
    NEAR(at, 9.2e-3, 1e-12);
    CHECK(s.shape[0].region.rings == 2);
    // circles came back as circles: 30 x 12 x 8 less the pocket and the bore, and the cone
    double want = 30 * 12 * 8 - 8 * 6 * 6 - HW_PI * 9 * 8 +
                  HW_PI * 1.2 / 3 * (1.8 * 1.8 + 1.8 * 0.6 + 0.6 * 0.6);
    CLOSE(volume, want * 1e-9, 1e-5);
    hw_buffer b = dxf_of(&s);
    keep_file("bracket.dxf", &b);
    dxf_read(&drawn, b.at);
    CHECK(drawn.faults == 0 && drawn.texts == 2); // title and measure; slices are not lettered
    rings_agree(&s);
    SAME_TEXT(drawn.ring[0].layer, "SLICE_1");
    solid.blocks = 0;
    CHECK(hw_sketch_part(arena, work, "t", "p", &solid, &def, 1e-4, 5e-6, NULL, &s) ==
          HW_BAD_INPUT);
    solid.blocks = m.n;
    CHECK(hw_sketch_part(arena, work, "t", "p", &solid, &def, 0, 5e-6, NULL, &s) == HW_BAD_INPUT);
    CHECK(hw_sketch_part(arena, work, "t", "p", &solid, &def, 1e-4, 0, NULL, &s) == HW_BAD_INPUT);
    CHECK(hw_sketch_part(arena, work, "t", "p", &solid, &def, 1e-9, 5e-6, NULL, &s) == HW_LIMIT);
    CHECK(s.shapes == 0);
    model_free(&m);
}

static void refused(void)
{
    hw_corner square[4] = {{{0, 0}, 0}, {{1e-3, 0}, 0}, {{1e-3, 1e-3}, 0}, {{0, 1e-3}, 0}};
    hw_profile ring = {square, 4};
    hw_sketch_shape shape = {"l", "p", {&ring, 1}, 0, 1e-3};
    hw_sketch s = {.title = "t", .shape = &shape, .shapes = 1};
    hw_buffer b = {.arena = arena};
    CHECK(hw_dxf_write(&s, &b) == HW_OK && hw_sketch_svg(&s, &b) == HW_OK);
    s.shapes = 0;
    CHECK(hw_dxf_write(&s, &b) == HW_BAD_INPUT && hw_sketch_svg(&s, &b) == HW_BAD_INPUT);
    s.shapes = 1;
    shape.part = NULL;
    CHECK(hw_dxf_write(&s, &b) == HW_BAD_INPUT && hw_sketch_svg(&s, &b) == HW_BAD_INPUT);
    shape.part = "p";
    shape.layer = "\xc3";
    CHECK(hw_dxf_write(&s, &b) == HW_BAD_INPUT);
    shape.layer = "l";
    square[2].at.x = NAN;
    CHECK(hw_dxf_write(&s, &b) == HW_BAD_INPUT && hw_sketch_svg(&s, &b) == HW_BAD_INPUT);
    square[2].at.x = 1e-3;
    square[1].bulge = INFINITY;
    CHECK(hw_dxf_write(&s, &b) == HW_BAD_INPUT && hw_sketch_svg(&s, &b) == HW_BAD_INPUT);
    square[1].bulge = 0;
    shape.high = NAN;
    CHECK(hw_dxf_write(&s, &b) == HW_BAD_INPUT && hw_sketch_svg(&s, &b) == HW_BAD_INPUT);
    shape.high = 1e-3;
    s.title = "";
    CHECK(hw_dxf_write(&s, &b) == HW_BAD_INPUT && hw_sketch_svg(&s, &b) == HW_BAD_INPUT);
    // letters beyond ASCII: escaped in DXF, real in SVG
    s.title = "H\xc3\xa9ron \xe2\x8c\x80 <1>\n";
    b = (hw_buffer){.arena = arena};
    CHECK(hw_dxf_write(&s, &b) == HW_OK);
    CHECK(strstr(b.at, "\nH\\U+00E9ron \\U+2300 <1>?\n") != NULL);
    b = (hw_buffer){.arena = arena};
    CHECK(hw_sketch_svg(&s, &b) == HW_OK);
    CHECK(strstr(b.at, ">H\xc3\xa9ron \xe2\x8c\x80 &lt;1&gt;\n</title>") != NULL);
}

static void memory_runs_out(void)
{
    hw_digit d = heron_index();
    hw_layers l;
    static hw_stack k;
    stack_of(&d, &l, &k);
    for (size_t n = 0, done = 0; !done; n++) {
        hw_arena *a = hw_arena_new(0), *w = hw_arena_new(0);
        hw_sketch s = {0};
        hw_buffer dxf_text = {.arena = a}, svg = {.arena = a};
        hw_arena_fail_after(n % 2 ? a : w, n / 2);
        hw_code code = hw_sketch_layer(a, w, "Heron", "index", &d, &l, &k, 0, &s);
        if (code == HW_OK) code = hw_dxf_write(&s, &dxf_text);
        if (code == HW_OK) code = hw_sketch_svg(&s, &svg);
        CHECK(code == HW_OK || code == HW_NO_MEMORY);
        done = n > 400 || (code == HW_OK && n % 2);
        hw_arena_free(a);
        hw_arena_free(w);
    }
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    arena = hw_arena_new(0);
    work = hw_arena_new(0);
    RUN(layers_as_dxf);
    RUN(names_of_layers);
    RUN(layers_as_svg);
    RUN(svg_is_to_scale);
    RUN(slices_of_a_part);
    RUN(refused);
    RUN(memory_runs_out);
    hw_arena_free(arena);
    hw_arena_free(work);
    return TEST_END();
}
