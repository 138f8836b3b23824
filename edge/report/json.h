// A writer of JSON that minds commas and indentation.
#ifndef HW_REPORT_JSON_H
#define HW_REPORT_JSON_H

#include "base/text.h"

typedef struct hw_json {
    hw_buffer *to;
    int depth;
    bool started; // something stands before in this object or array
} hw_json;

// `key` is NULL inside an array. Numbers that are not finite are written as null. [1]
void hw_json_open(hw_json *j, const char *key, char bracket);      // '{' or '['
void hw_json_close(hw_json *j, char bracket);                      // '}' or ']'
void hw_json_text(hw_json *j, const char *key, const char *value); // NULL: null
void hw_json_number(hw_json *j, const char *key, double value);    // [1]
void hw_json_count(hw_json *j, const char *key, size_t value);
void hw_json_flag(hw_json *j, const char *key, bool value);
// n numbers times k on one line; `row` NULL: null. [1]
void hw_json_row(hw_json *j, const char *key, const double *row, size_t n, double k);

#endif
