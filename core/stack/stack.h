// Parts as layers across a digit. Topic headers: layers.h (what lies where).
#ifndef HW_STACK_H
#define HW_STACK_H

#include "stack/layers.h"

#endif
