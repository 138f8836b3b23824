// The shipped catalogues, made part of the program when it is built (cmake/Embed.cmake).
#ifndef HW_DESIGN_CATALOGUE_DATA_H
#define HW_DESIGN_CATALOGUE_DATA_H

#include <stddef.h>

typedef struct hw_catalogue_file {
    const char *name; // "catalogue/printers.yaml"
    const char *bytes;
    size_t len;
} hw_catalogue_file;

extern const hw_catalogue_file hw_catalogue_file_table[];
extern const size_t hw_catalogue_file_count;

#endif
