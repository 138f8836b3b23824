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
// Where an origin is a line of the document itself: the text after "FILE:"; else the empty text.
// The file is named at the head of the page.
hw_text hw_page_line(const hw_page *p, hw_text origin);
// An origin, lines of the document as "line 12".
void hw_page_origin(hw_page *p, hw_text origin);
// The verdict sheet and its sources.
void hw_page_verdicts(hw_page *p);
// Where each number came from.
void hw_page_entries(hw_page *p);
// Style sheet and cautions.
extern const char hw_page_style[];
extern const char hw_page_cautions[];

#endif
