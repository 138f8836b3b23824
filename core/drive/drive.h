// From the servo to the knuckle: motor line, drum, cord, sheath. One topic a file; this header is
// all of them.
#ifndef HW_DRIVE_H
#define HW_DRIVE_H

#include "drive/cord.h"
#include "drive/servo.h"
#include "drive/sheath.h"

#endif
