// Pictures of a posed hand from its six sides, and the colours of its parts in scenes.
#ifndef HW_REPORT_POSED_H
#define HW_REPORT_POSED_H

#include "draw/view.h"
#include "make/posed.h"

typedef enum hw_posed_side {
    HW_POSED_BACK,
    HW_POSED_PALM,
    HW_POSED_THUMB,  // from the thumb's side
    HW_POSED_LITTLE, // from the little finger's
    HW_POSED_TIPS,
    HW_POSED_WRIST,
    HW_POSED_SIDES
} hw_posed_side;

const char *hw_posed_side_name(hw_posed_side side); // "back", "thumb-side"; for files; never NULL

// One of them as a sheet in `keep`, without perspective, whole but for a stand behind the forearm;
// its name serves for files: "hand-50-back". `work` is rewound. Codes as hw_draw_view. Test:
// test/cli/test_posed.c
HW_MUST_USE hw_code hw_report_posed_view(hw_arena *keep, hw_arena *work, const hw_made *m,
                                         const hw_posed *posed, hw_posed_side side,
                                         const hw_job *job, hw_sheet **out);

// What a part is painted with: by what it is, not by what it is worth.
typedef struct hw_posed_paint {
    const char *name;
    uint32_t colour; // 0xRRGGBB
} hw_posed_paint;
const hw_posed_paint *hw_posed_paints(size_t *n);
size_t hw_posed_paint_of(const hw_posed_part *part); // number in that list

// What a pose is called in names of files: "50" of s = 0.5, per cent of the travel, without a
// decimal where it is whole; "power" of a grip pattern. out: of 16 bytes.
const char *hw_posed_name(const hw_posed *posed, char out[16]);

// The same in a sentence: "50 % of the closing", "power grip". out: of 40 bytes.
const char *hw_posed_words(const hw_posed *posed, char out[40]);

#endif
