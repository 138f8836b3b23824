// Views of meshes: the depth buffer against areas known in closed form, cuts against sections of
// the exact solid, smooth faces, lettering, bytes, bad input, memory.
#include "draw/view.h"

#include "base/rng.h"
#include "base/vec3.h"
#include "check.h"
#include "draw/sheet.h"
#include "draw/view_internal.h"
#include "memory.h"
#include "solid/make.h"

static hw_arena *keep, *work;
static const char *folder; // where to keep the pictures; NULL: nowhere

static hw_mesh mesh_of(model *m)
{
    hw_mesh mesh = {0};
    hw_mesh_made made;
    hw_mesh_def def = hw_mesh_def_default();
    CHECK(hw_solid_mesh(m->keep, m->work, &(hw_solid){m->block, m->n}, &def, NULL, &mesh, &made) ==
          HW_OK);
    return mesh;
}

static hw_mesh box_mesh(model *m, double x, double y, double z)
{
    box(m, HW_BLOCK_ADD, (double[]){0, 0, 0}, (double[]){x, y, z});
    return mesh_of(m);
}

typedef struct counts {
    double seen, cut; // areas along the eye [m^2]
} counts;

static counts count(const hw_view_picture *p)
{
    size_t seen = 0, cut = 0;
    for (size_t i = 0; i < p->w * p->h; i++) {
        seen += p->part[i] != HW_VIEW_NO_PART;
        cut += p->is_cut[i];
    }
    return (counts){(double)seen * p->size * p->size, (double)cut * p->size * p->size};
}

static hw_view_picture take(const hw_view_def *d, const hw_view_part *part, size_t parts)
{
    hw_view_picture p = {0};
    CHECK(hw_view_take(work, d, part, parts, NULL, &p) == HW_OK);
    return p;
}

// Pixels are a sixteenth of a millimetre of paper; an area is off by at most half a pixel along its
// outline, and by less than a tenth of that where the outline is slanted.
static void seen_area_is_the_shadow(void)
{
    model m = model_new();
    hw_mesh b = box_mesh(&m, 40, 20, 10);
    hw_view_part part = {.mesh = &b};
    hw_view_def d = hw_view_def_default();
    d.eye = (hw_vec3){0, 0, 1}, d.up = (hw_vec3){0, 1, 0};
    hw_view_picture p = take(&d, &part, 1);
    CLOSE(count(&p).seen, 800e-6, 0.005);
    // a box's shadow along a unit direction (a, b, c): a yz + b xz + c xy
    hw_rng r = hw_rng_new(3, 1);
    for (int k = 0; k < 12; k++) {
        hw_vec3 e = {hw_rng_uniform(&r, -1, 1), hw_rng_uniform(&r, -1, 1),
                     hw_rng_uniform(&r, -1, 1)};
        double len = sqrt(e.x * e.x + e.y * e.y + e.z * e.z);
        d.eye = e;
        d.up = (hw_vec3){e.y, e.z, e.x + 2};
        p = take(&d, &part, 1);
        double shadow = (fabs(e.x) * 200e-6 + fabs(e.y) * 400e-6 + fabs(e.z) * 800e-6) / len;
        CLOSE(count(&p).seen, shadow, 0.005);
    }
    model_free(&m);
}

static void a_cube_across_its_corner_is_a_hexagon(void)
{
    model m = model_new();
    hw_mesh b = box_mesh(&m, 20, 20, 20);
    hw_view_part part = {.mesh = &b};
    hw_view_def d = hw_view_def_default();
    d.eye = d.cut_normal = (hw_vec3){1, 1, 1};
    d.cut = true;
    d.cut_at = 30e-3 / sqrt(3);
    hw_view_picture p = take(&d, &part, 1);
    CLOSE(count(&p).cut, 3 * sqrt(3) / 4 * 400e-6, 0.005);
    // seen at a slant the same cut is smaller by the cosine between eye and normal
    d.eye = (hw_vec3){0, 0, 1}, d.up = (hw_vec3){0, 1, 0};
    p = take(&d, &part, 1);
    CLOSE(count(&p).cut, 3 * sqrt(3) / 4 * 400e-6 / sqrt(3), 0.005);
    // a plane beyond it cuts nothing and takes nothing away; one before it leaves nothing
    d.cut_at = 61e-3 / sqrt(3);
    p = take(&d, &part, 1);
    CHECK(count(&p).cut == 0);
    CLOSE(count(&p).seen, 400e-6, 0.005);
    d.cut_at = -1e-3;
    p = take(&d, &part, 1);
    CHECK(count(&p).cut == 0 && count(&p).seen == 0);
    model_free(&m);
}

// A fork: a cone and a hole, cuts against the rings of the exact solid's section.
static hw_mesh fork_without_hole(model *m)
{
    plate(m, HW_BLOCK_ADD, 0, 2, rectangle(m, 0, 0, 30, 10));
    plate(m, HW_BLOCK_ADD, 2, 6, rectangle(m, 0, 0, 12, 10));
    taper(m, HW_BLOCK_ADD, 6, 8, circle(m, 6, 5, 3, 64), circle(m, 6, 5, 1, 64));
    return mesh_of(m);
}

static hw_mesh fork_mesh(model *m)
{
    (void)fork_without_hole(m);
    plate(m, HW_BLOCK_CUT, 0, 2, circle(m, 20, 5, 3, 64));
    return mesh_of(m);
}

static double section_area(model *m, double y) // [m] [m^2]
{
    hw_section s;
    hw_mesh_made made;
    hw_mesh_def def = hw_mesh_def_default();
    CHECK(hw_solid_section(m->keep, m->work, &(hw_solid){m->block, m->n}, &def, y, NULL, &s,
                           &made) == HW_OK);
    double area = 0;
    for (size_t i = 0; i < s.rings; i++) area += hw_polygon_area(&s.ring[i]);
    return area;
}

static void cuts_are_the_solid_s_sections(void)
{
    model m = model_new();
    hw_mesh b = fork_mesh(&m);
    hw_view_part part = {.mesh = &b};
    hw_view_def d = hw_view_def_default();
    d.cut = true;
    d.eye = d.cut_normal = (hw_vec3){0, -1, 0};
    static const double at[] = {0.3, 1.9, 2.1, 5.5, 6.5, 7.25};
    for (size_t i = 0; i < sizeof at / sizeof *at; i++) {
        d.cut_at = -at[i] * 1e-3;
        hw_view_picture p = take(&d, &part, 1);
        // a small cone's outline is long for its area
        CLOSE(count(&p).cut, section_area(&m, at[i] * 1e-3), at[i] > 6 ? 0.02 : 0.005);
    }
    // from the other side, and seen at a slant
    d.cut_normal = (hw_vec3){0, 1, 0};
    d.eye = (hw_vec3){0.6, 0.8, 0};
    d.cut_at = 1e-3;
    hw_view_picture p = take(&d, &part, 1);
    CLOSE(count(&p).cut, 0.8 * section_area(&m, 1e-3), 0.005);
    model_free(&m);
}

// Surfaces are counted at every pixel when all of a solid is kept: as many are left as entered, so
// nothing is taken for cut, whatever way it is turned. One crack or one pixel drawn twice would
// show.
static void triangles_meet_without_cracks(void)
{
    model m = model_new();
    hw_mesh b = fork_without_hole(&m);
    hw_view_part part = {.mesh = &b};
    hw_view_def d = hw_view_def_default();
    d.cut = true;
    d.width = 60;
    hw_rng r = hw_rng_new(11, 1);
    size_t cut = 0, holes = 0;
    for (int k = 0; k < 60; k++) {
        d.eye = d.cut_normal = (hw_vec3){hw_rng_uniform(&r, -1, 1), hw_rng_uniform(&r, -1, 1),
                                         hw_rng_uniform(&r, -1, 1)};
        d.up = (hw_vec3){d.eye.z, d.eye.x - 2, d.eye.y};
        d.cut_at = 1;
        size_t mark = hw_arena_mark(work);
        hw_view_picture p = take(&d, &part, 1);
        for (size_t y = 1; y + 1 < p.h; y++)
            for (size_t x = 1; x + 1 < p.w; x++) {
                size_t i = y * p.w + x;
                cut += p.is_cut[i];
                // paper between part on all four sides is a crack
                holes += !p.part[i] && p.part[i - 1] && p.part[i + 1] && p.part[i - p.w] &&
                         p.part[i + p.w];
            }
        hw_arena_rewind(work, mark);
    }
    CHECK(cut == 0);
    CHECK(holes == 0);
    model_free(&m);
}

static void the_nearer_part_hides_the_other(void)
{
    model m = model_new();
    hw_mesh b = box_mesh(&m, 20, 20, 5);
    hw_view_part part[2] = {{.mesh = &b}, {.mesh = &b, .shift = {10e-3, 10e-3, 8e-3}}};
    hw_view_def d = hw_view_def_default();
    d.eye = (hw_vec3){0, 0, 1}, d.up = (hw_vec3){0, 1, 0};
    for (int swapped = 0; swapped < 2; swapped++) {
        hw_view_picture p = take(&d, part, 2);
        size_t n[3] = {0};
        for (size_t i = 0; i < p.w * p.h; i++) n[p.part[i]]++;
        double pixel = p.size * p.size;
        CLOSE((double)n[2 - swapped] * pixel, 400e-6, 0.01); // the upper one whole
        CLOSE((double)n[1 + swapped] * pixel, 300e-6, 0.01); // the lower one less a quarter
        size_t spot[2];
        CHECK(hw_view_spots(work, &p, 2, spot) == HW_OK);
        for (size_t k = 0; k < 2; k++) CHECK(spot[k] != SIZE_MAX && p.part[spot[k]] == k + 1);
        hw_view_part other = part[0];
        part[0] = part[1], part[1] = other;
    }
    // wholly hidden: nothing to point at
    part[1].shift = (hw_vec3){0, 0, 1e-3};
    part[0].shift = (hw_vec3){0, 0, 20e-3};
    hw_view_picture p = take(&d, part, 2);
    size_t spot[2];
    CHECK(hw_view_spots(work, &p, 2, spot) == HW_OK);
    CHECK(spot[0] != SIZE_MAX && spot[1] == SIZE_MAX);
    model_free(&m);
}

static size_t faces_of(const hw_mesh *mesh)
{
    uint32_t *face = HW_NEW(keep, uint32_t, mesh->tris);
    size_t n = 0;
    CHECK(hw_view_faces(work, mesh, face, &n) == HW_OK);
    for (size_t i = 0; i < mesh->tris; i++) CHECK(face[i] < n);
    return n;
}

static void smooth_faces_are_found(void)
{
    model m = model_new();
    hw_mesh b = box_mesh(&m, 3, 4, 5);
    CHECK(faces_of(&b) == 6);
    m.n = 0;
    plate(&m, HW_BLOCK_ADD, 0, 4, circle(&m, 0, 0, 3, 16));
    b = mesh_of(&m);
    CHECK(faces_of(&b) == 3); // its wall's facets turn by 22.5 degrees
    m.n = 0;
    plate(&m, HW_BLOCK_ADD, 0, 4, circle(&m, 0, 0, 3, 8));
    b = mesh_of(&m);
    CHECK(faces_of(&b) == 10); // by 45: facets of their own
    m.n = 0;
    b = fork_mesh(&m);
    // plate: two flats, four sides of which the back one runs on over the block and is one face
    // with it, top and bottom too; hole 1; block's front 1; its face 1; cone and its tip 2
    CHECK(faces_of(&b) == 2 + 4 + 1 + 1 + 1 + 2);
    model_free(&m);
}

// A skin of radius 10 mm in facets of half a millimetre whose corners stray by 0.02 mm: the facets'
// own normals are off by degrees, the smooth ones by a few tenths. A box's are its sides'.
static void skins_are_smooth_and_boxes_are_not(void)
{
    enum { N = 60 };
    hw_mesh skin = {HW_NEW(keep, hw_vec3, (N + 1) * (N + 1)), HW_NEW(keep, uint32_t, 6 * N * N),
                    (N + 1) * (N + 1), 2 * N * N};
    hw_rng r = hw_rng_new(5, 1);
    for (size_t i = 0; i < skin.verts; i++) {
        double radius = 10e-3 + hw_rng_uniform(&r, -2e-5, 2e-5);
        double angle = 0.05 * (double)(i / (N + 1)), along = 5e-4 * (double)(i % (N + 1));
        skin.vert[i] = (hw_vec3){along, radius * cos(angle), radius * sin(angle)};
    }
    for (uint32_t i = 0; i < N * N; i++) {
        uint32_t a = i / N * (N + 1) + i % N,
                 quad[6] = {a, a + 1, a + N + 1, a + 1, a + N + 2, a + N + 1};
        memcpy(&skin.tri[6 * i], quad, sizeof quad);
    }
    uint32_t *face = HW_NEW(keep, uint32_t, skin.tris);
    hw_vec3 *normal = HW_NEW(keep, hw_vec3, 3 * skin.tris);
    size_t n;
    CHECK(hw_view_faces(work, &skin, face, &n) == HW_OK && n == 1);
    CHECK(hw_view_normals(work, &skin, face, normal) == HW_OK);
    double worst = 0, facet = 0;
    for (size_t i = 0; i < 3 * skin.tris; i++) {
        const uint32_t *t = &skin.tri[3 * (i / 3)];
        hw_vec3 v = skin.vert[skin.tri[i]], radial = hw_vec3_unit((hw_vec3){0, v.y, v.z});
        hw_vec3 own = hw_vec3_unit(hw_vec3_cross(hw_vec3_sub(skin.vert[t[1]], skin.vert[t[0]]),
                                                 hw_vec3_sub(skin.vert[t[2]], skin.vert[t[0]])));
        double out = hw_vec3_dot(own, radial) < 0 ? -1 : 1; // which way it is wound
        size_t row = skin.tri[i] / (N + 1), column = skin.tri[i] % (N + 1);
        facet = fmax(facet, acos(fmin(1, out * hw_vec3_dot(own, radial))));
        if (row < 12 || row > N - 12 || column < 12 || column > N - 12) continue; // its border
        worst = fmax(worst, acos(fmin(1, out * hw_vec3_dot(normal[i], radial))));
    }
    CHECK(facet > 4 * HW_PI / 180 && worst < 0.6 * HW_PI / 180);
    model m = model_new();
    hw_mesh b = box_mesh(&m, 3, 4, 5);
    CHECK(hw_view_faces(work, &b, face, &n) == HW_OK);
    CHECK(hw_view_normals(work, &b, face, normal) == HW_OK);
    for (size_t i = 0; i < 3 * b.tris; i++)
        NEAR(fmax(fabs(normal[i].x), fmax(fabs(normal[i].y), fabs(normal[i].z))), 1, 1e-12);
    model_free(&m);
}

// Ink of lines on a plate of 100 mm that bears a cube of `size` [mm].
static size_t line_pixels(double size)
{
    model m = model_new();
    box(&m, HW_BLOCK_ADD, (double[]){0, 0, 0}, (double[]){100, 100, 2});
    box(&m, HW_BLOCK_ADD, (double[]){50, 50, 2}, (double[]){50 + size, 50 + size, 2 + size});
    hw_mesh b = mesh_of(&m);
    hw_view_part part = {.mesh = &b};
    hw_view_def d = hw_view_def_default();
    d.eye = (hw_vec3){0, 0, 1}, d.up = (hw_vec3){0, 1, 0};
    hw_view_picture p = take(&d, &part, 1);
    const int hatch = 0;
    uint8_t *ink = HW_NEW(keep, uint8_t, p.w * p.h);
    CHECK(hw_view_ink(work, &p, &hatch, NULL, ink) == HW_OK);
    size_t n = 0; // off the plate's own edges
    for (size_t i = 0; i < p.w * p.h; i++) {
        size_t x = i % p.w, y = i / p.w;
        n += x > p.w / 4 && x < 3 * p.w / 4 && y > p.h / 4 && y < 3 * p.h / 4 && ink[i] > 200;
    }
    model_free(&m);
    return n;
}

// A face of six by six pixels becomes what is round it; one of twelve by twelve stays, one of
// another part too, and so does what is cut.
static void crumbs_of_faces_are_gone(void)
{
    enum { W = 40, H = 30 };
    for (int i = 0; i < 4; i++) {
        hw_view_picture p = {.w = W, .h = H};
        p.face = HW_NEW(keep, uint32_t, W * H);
        p.part = HW_NEW(keep, uint16_t, W * H);
        p.is_cut = HW_NEW(keep, uint8_t, W * H);
        const size_t side = i == 1 ? 12 : 6;
        for (size_t k = 0; k < W * H; k++) {
            const size_t x = k % W, y = k / W;
            const bool in = x >= 12 && x < 12 + side && y >= 9 && y < 9 + side;
            p.face[k] = in ? 7 : x < 30 ? 3 : 4;
            p.part[k] = in && i == 2 ? 2 : 1;
            p.is_cut[k] = in && i == 3;
        }
        CHECK(hw_view_crumbs(work, &p) == HW_OK);
        size_t left = 0;
        for (size_t k = 0; k < W * H; k++) left += p.face[k] == 7;
        CHECK(left == (i == 0 ? 0 : side * side));
        CHECK(p.face[10 * W + 13] == (i == 0 ? 3 : 7));
    }
}

static void specks_are_not_drawn(void)
{
    CHECK(line_pixels(0.2) == 0 && line_pixels(2) > 100);
}

static hw_sheet *draw(const hw_view_def *d, const hw_view_part *part, size_t n)
{
    hw_sheet *s = NULL;
    CHECK(hw_draw_view(keep, work, d, part, n, NULL, &s) == HW_OK);
    return s;
}

static void keep_picture(const hw_sheet *s)
{
    if (!folder || !s) return;
    char path[400];
    memory m = {0};
    snprintf(path, sizeof path, "%s/%s.png", folder, hw_sheet_name(s));
    FILE *file = fopen(path, "wb");
    if (CHECK(file && hw_sheet_png(s, 200, memory_sink(&m)) == HW_OK)) fwrite(m.at, 1, m.n, file);
    if (file) fclose(file);
    free(m.at);
}

static size_t lettering_faults(const hw_sheet *s)
{
    hw_sheet_fault f[8];
    size_t n = hw_sheet_check(s, f, 8);
    for (size_t i = 0; i < n && i < 8; i++)
        printf("    %s at %.1f, %.1f mm: \"%s\"\n", hw_sheet_fault_text(f[i].kind), f[i].at.x,
               f[i].at.y, f[i].text);
    return n;
}

static void names_stand_clear(void)
{
    model m = model_new();
    hw_mesh fork = fork_mesh(&m);
    m.n = 0;
    hw_mesh block = box_mesh(&m, 6, 3, 6);
    hw_view_part part[24] = {{.name = "fork", .mesh = &fork}};
    char name[24][40];
    for (int i = 1; i < 24; i++) {
        snprintf(name[i], sizeof name[i], "block number %d of all", i);
        part[i] = (hw_view_part){.name = name[i],
                                 .mesh = &block,
                                 .shift = {8e-3 * (i % 6), 8e-3 * (i / 6) + 10e-3, 0},
                                 .hatch = i};
    }
    hw_view_def d = hw_view_def_default();
    d.name = "names", d.title = "Names", d.design = "blocks.yaml";
    hw_sheet *s = draw(&d, part, 12);
    CHECK(lettering_faults(s) == 0);
    keep_picture(s);
    memory svg = {0};
    CHECK(hw_sheet_svg(s, false, memory_sink(&svg)) == HW_OK);
    for (int i = 0; i < 12; i++) CHECK(count_of(svg.at, part[i].name) > 0);
    free(svg.at);
    // parts of one name have one leader
    part[1].name = part[2].name = "pair of blocks";
    s = draw(&d, part, 12);
    svg = (memory){0};
    CHECK(hw_sheet_svg(s, false, memory_sink(&svg)) == HW_OK && count_of(svg.at, "pair of") == 1);
    free(svg.at);
    part[1].name = name[1], part[2].name = name[2];
    // more names than there is room for: some are left out, none overlap
    s = draw(&d, part, 24);
    CHECK(lettering_faults(s) == 0);
    d.cut = true, d.cut_normal = (hw_vec3){0, 0, 1}, d.cut_at = 5e-3;
    d.eye = (hw_vec3){0, 0, 1}, d.up = (hw_vec3){0, 1, 0}, d.name = "cut";
    s = draw(&d, part, 8);
    CHECK(lettering_faults(s) == 0);
    keep_picture(s);
    model_free(&m);
}

static void same_parts_same_bytes(void)
{
    model m = model_new();
    hw_mesh b = fork_mesh(&m);
    hw_view_part part[2] = {{.name = "one", .mesh = &b},
                            {.name = "two", .mesh = &b, .shift = {0, 12e-3, 0}, .hatch = 1}};
    hw_view_def d = hw_view_def_default();
    memory png[3] = {{0}};
    for (int k = 0; k < 3; k++) {
        if (k == 2) part[1].hatch = 2; // a difference that must show
        hw_sheet *s = draw(&d, part, 2);
        CHECK(hw_sheet_png(s, 200, memory_sink(&png[k])) == HW_OK);
    }
    CHECK(png[0].n > 1000 && png[0].n == png[1].n && memcmp(png[0].at, png[1].at, png[0].n) == 0);
    CHECK(png[2].n != png[0].n || memcmp(png[0].at, png[2].at, png[0].n) != 0);
    for (int k = 0; k < 3; k++) free(png[k].at);
    model_free(&m);
}

// Value of a base64 letter; 64: none.
static unsigned letter(char c)
{
    static const char alphabet[] =
        "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    const char *at = c ? strchr(alphabet, c) : NULL;
    return at ? (unsigned)(at - alphabet) : 64;
}

// The picture inside an SVG is the PNG of it, byte for byte; lengths with each remainder by 3.
static void svg_carries_the_picture(void)
{
    uint8_t ink[12] = {0, 255, 128, 3, 9, 27, 81, 243, 1, 2, 3, 4};
    for (size_t w = 1; w <= 12; w++) {
        hw_sheet *s = hw_sheet_new(keep, 60, 40, "image", "Image");
        hw_sheet_image(s, (hw_box){5, 5, 20, 10}, w, 12 / w, ink);
        memory svg = {0}, png = {0};
        CHECK(hw_sheet_svg(s, true, memory_sink(&svg)) == HW_OK);
        CHECK(hw_item_png(s->first, memory_sink(&png)) == HW_OK);
        const char *at = strstr(svg.at, "base64,");
        if (!CHECK(at != NULL)) return;
        at += 7;
        size_t n = 0;
        for (; *at && *at != '"'; at += 4) {
            unsigned v[4], bits = 0;
            for (int k = 0; k < 4; k++) v[k] = letter(at[k]), bits = bits << 6 | (v[k] & 63);
            for (int k = 0; k < 3; k++) {
                if (v[k + 1] == 64) continue; // '='
                CHECK(n < png.n && (uint8_t)png.at[n] == (bits >> (16 - 8 * k) & 255));
                n++;
            }
        }
        CHECK(n == png.n);
        free(svg.at);
        free(png.at);
    }
}

// Pictures that are to be compared.
static void sides_have_one_scale(void)
{
    model m = model_new();
    hw_mesh b = box_mesh(&m, 200, 50, 30);
    hw_view_part part = {.mesh = &b};
    hw_view_def d = hw_view_def_default();
    d.eye = (hw_vec3){0, -1, 0}; // 200 mm on 180 of paper
    NEAR(hw_draw_view_scale(&d, &part, 1), 0.8, 1e-12);
    d.eye = (hw_vec3){1, 0, 0};
    NEAR(hw_draw_view_scale(&d, &part, 1), 3, 1e-12);
    size_t w = take(&d, &part, 1).w;
    d.scale_most = 0.8;
    NEAR((double)take(&d, &part, 1).w / (double)w, 0.8 / 3, 0.02);
    d.scale_most = 0.79; // the next of the list
    NEAR(hw_draw_view_scale(&d, &part, 1), 1 / 1.5, 1e-12);
    d.scale_most = -1;
    CHECK(isnan(hw_draw_view_scale(&d, &part, 1)));
    model_free(&m);
}

static void what_cannot_be_seen_is_refused(void)
{
    model m = model_new();
    hw_mesh b = box_mesh(&m, 5, 5, 5), none = {0}, wild = b;
    hw_view_part part = {.mesh = &b};
    hw_view_def good = hw_view_def_default();
    hw_sheet *s;
    struct {
        hw_vec3 eye, up, normal;
        double width, height;
    } bad[] = {{{0, 0, 0}, {0, 0, 1}, {0, 0, 1}, 180, 100},
               {{0, 0, NAN}, {0, 0, 1}, {0, 0, 1}, 180, 100},
               {{0, 0, 1}, {0, 0, -3}, {0, 0, 1}, 180, 100},
               {{0, 1, 1}, {0, 0, 0}, {0, 0, 1}, 180, 100},
               {{0, 1, 1}, {0, 0, 1}, {0, 0, -1}, 180, 100},
               {{0, 1, 1}, {0, 0, 1}, {1, 0, 0}, 180, 100},
               {{0, 1, 1}, {0, 0, 1}, {0, 0, 0}, 180, 100},
               {{0, 1, 1}, {0, 0, 1}, {0, 0, 1}, 59, 100},
               {{0, 1, 1}, {0, 0, 1}, {0, 0, 1}, 180, INFINITY}};
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
        hw_view_def d = good;
        d.cut = true;
        d.eye = bad[i].eye, d.up = bad[i].up, d.cut_normal = bad[i].normal;
        d.width = bad[i].width, d.height_most = bad[i].height;
        CHECK(hw_draw_view(keep, work, &d, &part, 1, NULL, &s) == HW_BAD_INPUT && !s);
    }
    part.mesh = &none;
    CHECK(hw_draw_view(keep, work, &good, &part, 1, NULL, &s) == HW_BAD_INPUT);
    CHECK(hw_draw_view(keep, work, &good, &part, 0, NULL, &s) == HW_BAD_INPUT);
    part.mesh = &wild;
    wild.vert[0].x = INFINITY;
    CHECK(hw_draw_view(keep, work, &good, &part, 1, NULL, &s) == HW_BAD_INPUT);
    model_free(&m);
}

static bool stop(void *self, double fraction, const char *stage)
{
    int *left = self;
    CHECK(fraction >= 0 && fraction <= 1 && stage);
    return (*left)-- > 0;
}

static void it_can_be_stopped_and_runs_out_of_memory_in_peace(void)
{
    model m = model_new();
    hw_mesh b = fork_mesh(&m);
    hw_view_part part = {.name = "fork", .mesh = &b};
    hw_view_def d = hw_view_def_default();
    d.width = 60;
    hw_sheet *s;
    bool finished = false;
    for (int polls = 1; !finished && polls < 1000; polls += 3) {
        int left = polls;
        hw_code code = hw_draw_view(keep, work, &d, &part, 1, &(hw_job){stop, &left}, &s);
        CHECK(code == HW_OK || (code == HW_CANCELLED && !s));
        finished = code == HW_OK;
        CHECK(!finished || polls > 2);
    }
    CHECK(finished);
    for (int of_work = 0; of_work < 2; of_work++) {
        finished = false;
        for (size_t n = 0; !finished && n < 2000; n++) {
            hw_arena *small = hw_arena_new(0), *other = hw_arena_new(0);
            hw_arena_fail_after(of_work ? other : small, n);
            hw_code code = hw_draw_view(small, other, &d, &part, 1, NULL, &s);
            CHECK(code == HW_OK || code == HW_NO_MEMORY);
            finished = code == HW_OK;
            hw_arena_free(small);
            hw_arena_free(other);
        }
        CHECK(finished);
    }
    model_free(&m);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    if (argc > 2 && strcmp(argv[1], "--keep") == 0) folder = argv[2];
    keep = hw_arena_new(0);
    work = hw_arena_new(0);
    RUN(seen_area_is_the_shadow);
    RUN(a_cube_across_its_corner_is_a_hexagon);
    RUN(cuts_are_the_solid_s_sections);
    RUN(triangles_meet_without_cracks);
    RUN(the_nearer_part_hides_the_other);
    RUN(smooth_faces_are_found);
    RUN(skins_are_smooth_and_boxes_are_not);
    RUN(crumbs_of_faces_are_gone);
    RUN(specks_are_not_drawn);
    RUN(names_stand_clear);
    RUN(same_parts_same_bytes);
    RUN(svg_carries_the_picture);
    RUN(sides_have_one_scale);
    RUN(what_cannot_be_seen_is_refused);
    RUN(it_can_be_stopped_and_runs_out_of_memory_in_peace);
    hw_arena_free(keep);
    hw_arena_free(work);
    return TEST_END();
}
