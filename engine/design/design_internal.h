// Shared by the files of this room only.
#ifndef HW_DESIGN_INTERNAL_H
#define HW_DESIGN_INTERNAL_H

#include "design/design.h"

extern const hw_entry_row hw_entry_table[HW_E_ROWS];

#endif
