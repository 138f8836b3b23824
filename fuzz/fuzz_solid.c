// Solids of any blocks: a code, or a closed manifold mesh; of plates alone also one that crosses
// itself nowhere. Bytes: grid bits; then blocks of op, low plane, height, points, taper, and x and
// z of each point.
#include "solid/solid.h"

#include <stdlib.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

enum { BLOCKS = 24 };

static void must(bool ok)
{
    if (!ok) abort();
}

typedef struct bytes {
    const uint8_t *at;
    size_t left;
} bytes;

static uint8_t take(bytes *b)
{
    if (b->left == 0) return 0;
    b->left--;
    return *b->at++;
}

// Coordinates of a tenth: small numbers coincide, large ones cross in odd places.
static double place(bytes *b)
{
    return (double)(int8_t)take(b) / 10 * 1e-3;
}

// True when the block tapers.
static bool take_block(hw_arena *keep, bytes *b, hw_block *out)
{
    uint8_t kind = take(b);
    double y = (double)(take(b) % 16) * 1e-3, height = (double)(take(b) % 5) * 1e-3;
    size_t n = take(b) % 12;
    double drawn = (double)take(b) / 128; // the high outline: the low one times this [1]
    bool tapers = kind & 2;
    hw_vec2 *low = HW_NEW(keep, hw_vec2, n), *high = HW_NEW(keep, hw_vec2, n);
    must(low && high);
    for (size_t i = 0; i < n; i++) {
        low[i] = (hw_vec2){place(b), place(b)};
        high[i] = tapers ? hw_scale(low[i], drawn) : low[i];
    }
    *out = (hw_block){kind & 1 ? HW_BLOCK_CUT : HW_BLOCK_ADD,
                      {y, y + height},
                      {{low, n}, {tapers ? high : low, n}}};
    return tapers;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    hw_arena *keep = hw_arena_new(0), *work = hw_arena_new(0);
    must(keep && work);
    bytes b = {data, size};
    hw_mesh_def def = hw_mesh_def_default();
    def.bits = 10 + take(&b) % 13;
    hw_block block[BLOCKS];
    size_t n = 0;
    bool tapers = false;
    while (n < BLOCKS && b.left) tapers = take_block(keep, &b, &block[n++]) || tapers;
    hw_solid solid = {block, n};
    hw_mesh mesh;
    hw_mesh_made made;
    hw_code code = hw_solid_mesh(keep, work, &solid, &def, NULL, &mesh, &made);
    must(code == HW_OK || code == HW_BAD_INPUT);
    must(code == HW_OK || mesh.tris == 0);
    hw_section section;
    hw_code cut = hw_solid_section(keep, work, &solid, &def, 1e-3, NULL, &section, &made);
    must(cut == HW_OK || code == HW_BAD_INPUT);
    if (mesh.tris) {
        hw_float_mesh f;
        hw_mesh_report r;
        must(hw_mesh_to_float(keep, &mesh, def.unit, &f) == HW_OK);
        must(hw_mesh_check(work, &f, NULL, &r) == HW_OK);
        must(!r.open_edges && !r.crowded_edges && !r.flipped_edges && !r.pinched_verts);
        must(tapers || hw_mesh_sound(&r));
    }
    hw_arena_free(keep);
    hw_arena_free(work);
    return 0;
}
