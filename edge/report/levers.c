// Levers in words: one sentence for the digits whose best lever is the same entry.
#include <math.h>
#include <string.h>

#include "report/report_internal.h"

static const hw_lever *best(const hw_report *r, size_t finding)
{
    const hw_report_levers *l = &r->levers[finding];
    return l->n ? &l->lever[0] : NULL;
}

size_t hw_lever_clusters(const hw_report *r, const hw_group *g, hw_lever_cluster out[HW_DIGITS])
{
    size_t n = 0;
    if (!r->levers) return 0;
    for (size_t i = 0; i < g->n; i++) {
        const hw_lever *l = best(r, g->at[i]);
        int digit;
        hw_lever_cluster one = {.row = l ? hw_entry_row_of(l->entry, &digit) : NULL,
                                .holds = l && !isnan(l->suggested)};
        size_t k = 0;
        for (; k < n; k++) {
            const hw_lever *other = best(r, out[k].at[0]);
            bool same_way = !l || !other || (l->step > 0) == (other->step > 0);
            if (out[k].row == one.row && out[k].holds == one.holds && same_way) break;
        }
        if (k == n) out[n++] = one;
        out[k].at[out[k].n++] = g->at[i];
    }
    return n;
}

// "mechanism.bar_a.horn" of "digits.*.mechanism.bar_a.horn".
static const char *path_of(const hw_entry_row *row)
{
    const char *star = strchr(row->path, '*');
    return star && star[1] == '.' ? star + 2 : row->path;
}

static void unit(hw_buffer *out, hw_shown u)
{
    if (*u.unit) hw_buffer_format(out, " %s", u.unit);
}

static void spoils(hw_buffer *out, int n)
{
    if (n > 0)
        hw_buffer_format(out, ", but %d other%s short then", n, n == 1 ? " falls" : "s fall");
}

typedef struct way {
    char now[40], suggested[40];
    bool verified;
    int spoiled;
} way;

static way way_of(const hw_report *r, const hw_lever_cluster *c, size_t i)
{
    const hw_lever *l = best(r, c->at[i]);
    hw_shown e = hw_shown_entry(c->row);
    way w = {.verified = l->verified, .spoiled = l->spoiled};
    hw_value_text(hw_design_value(r->assessment->design, l->entry), e, w.now);
    hw_value_text(l->suggested, e, w.suggested);
    return w;
}

// "from 5 to 6.2 mm holds for index, but 3 others fall short then; ...", digits of which the same
// is said together.
static void ways(const hw_report *r, const hw_lever_cluster *c, bool named, hw_buffer *out)
{
    bool said[HW_DIGITS] = {false};
    char who[64];
    for (size_t i = 0; i < c->n; i++) {
        if (said[i]) continue;
        way w = way_of(r, c, i);
        bool digits[HW_DIGITS] = {false};
        size_t together = 0;
        for (size_t k = i; k < c->n; k++) {
            way v = way_of(r, c, k);
            int digit = r->assessment->finding[c->at[k]].digit;
            if (strcmp(v.now, w.now) != 0 || strcmp(v.suggested, w.suggested) != 0) continue;
            if (v.verified != w.verified || v.spoiled != w.spoiled) continue;
            said[k] = true;
            if (digit >= 0) digits[digit] = true;
            together++;
        }
        hw_buffer_format(out, "%s from %s to %s", i ? ";" : "", w.now, w.suggested);
        unit(out, hw_shown_entry(c->row));
        hw_buffer_puts(out, w.verified ? " holds" : " should hold");
        hw_digits_text(r->assessment, digits, who);
        if ((named || together < c->n) && *who) hw_buffer_format(out, " for %s", who);
        spoils(out, w.spoiled);
    }
}

typedef struct span {
    double low, high;
} span;

static void widen(span *s, double v)
{
    s->low = fmin(s->low, v);
    s->high = fmax(s->high, v);
}

void hw_put_cluster(const hw_report *r, const hw_lever_cluster *c, bool named, hw_buffer *out)
{
    bool digits[HW_DIGITS] = {false};
    char who[64], text[96], step[40];
    for (size_t i = 0; i < c->n; i++) {
        int digit = r->assessment->finding[c->at[i]].digit;
        if (digit >= 0) digits[digit] = true;
    }
    hw_digits_text(r->assessment, digits, who);
    if (!c->row) {
        hw_buffer_puts(out, "one step of no single entry raises this margin");
        if (named && *who) hw_buffer_format(out, " for %s", who);
        return;
    }
    hw_shown e = hw_shown_entry(c->row);
    hw_shown u = hw_shown_finding(r->assessment->finding[c->at[0]].kind);
    span now = {INFINITY, -INFINITY}, gain = now;
    for (size_t i = 0; i < c->n; i++) {
        const hw_lever *l = best(r, c->at[i]);
        widen(&now, hw_design_value(r->assessment->design, l->entry));
        widen(&gain, l->gain);
    }
    hw_buffer_puts(out, path_of(c->row));
    if (c->holds)
        ways(r, c, named, out);
    else {
        hw_buffer_format(out, " (now %s", hw_range_text(now.low, now.high, e, text));
        unit(out, e);
        hw_buffer_puts(out, ") is not enough alone");
        if (named && *who) hw_buffer_format(out, " for %s", who);
    }
    hw_buffer_format(out, "; %s", hw_signed_text(best(r, c->at[0])->step, e, step));
    unit(out, e);
    u.decimals++;
    hw_buffer_format(out, " gains %s", hw_range_text(gain.low, gain.high, u, text));
    unit(out, u);
}
