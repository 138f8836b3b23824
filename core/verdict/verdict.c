#include "verdict/verdict.h"

#include <math.h>
#include <string.h>

void hw_finding_judge(hw_finding *f)
{
    double margin = INFINITY;
    if (!isnan(f->low)) margin = f->value - f->low;
    if (!isnan(f->high) && !(f->high - f->value >= margin)) margin = f->high - f->value;
    if (isnan(f->value)) margin = NAN;
    f->margin = margin;
    f->margin_ratio = margin / f->kind->scale;
    if (isnan(margin))
        f->verdict = HW_UNKNOWN;
    else
        f->verdict = f->margin_ratio >= -1e-9 ? HW_HOLDS : HW_FALLS_SHORT;
}

const char *hw_verdict_text(hw_verdict v)
{
    static const char *const name[] = {"holds", "falls short", "unknown"};
    return (unsigned)v < 3 ? name[v] : "unknown";
}

static size_t put(char out[64], size_t at, const char *text)
{
    while (*text && at < 63) out[at++] = *text++;
    out[at] = '\0';
    return at;
}

size_t hw_finding_id(const hw_finding_kind *kind, int digit, const char *const digits[5],
                     char out[64])
{
    size_t at = 0;
    if (digit >= 0 && digit < 5) {
        at = put(out, at, "digits.");
        at = put(out, at, digits[digit]);
        at = put(out, at, "/");
    } else
        at = put(out, at, "hand/");
    return put(out, at, kind->id);
}
