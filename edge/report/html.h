// Putting HTML together, for this room's files only.
#ifndef HW_REPORT_HTML_H
#define HW_REPORT_HTML_H

#include "report/report_internal.h"

typedef struct hw_page {
    const hw_report *r;
    hw_buffer *out;
    const char *name; // of the design
    hw_sources sources;
} hw_page;

void hw_page_text(hw_page *p, const char *text); // escaped; NULL: nothing
// The verdict sheet and its sources.
void hw_page_verdicts(hw_page *p);
// Where each number came from.
void hw_page_entries(hw_page *p);
// Style sheet and cautions.
extern const char hw_page_style[];
extern const char hw_page_cautions[];

#endif
