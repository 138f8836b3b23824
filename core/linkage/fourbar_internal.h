// Shared by the four-bar's files.
#ifndef HW_LINKAGE_FOURBAR_INTERNAL_H
#define HW_LINKAGE_FOURBAR_INTERNAL_H

#include "linkage/fourbar.h"

bool hw_fourbar_sound(const hw_fourbar *f);

#endif
