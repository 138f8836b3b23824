// Shared by the files of this room alone.
#ifndef HW_DRIVE_INTERNAL_H
#define HW_DRIVE_INTERNAL_H

#include "drive/drive.h"

// Mean of a tension along a sheath that falls from 1 to e^-m. [1]
double hw_drive_mean(double m); // [1]

// Drum force that moves the unloaded joint toward closed. [N]
double hw_drive_free_of(const hw_drive *d, double mu, double back_torque); // [1] [N*m]

#endif
