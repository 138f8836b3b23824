// What the files of the posed hand share.
#ifndef HW_MAKE_POSED_INTERNAL_H
#define HW_MAKE_POSED_INTERNAL_H

#include "make/posed.h"

// Where the bodies of a group are, the carrier included, for a right hand; false: not there.
bool hw_posed_bodies(const hw_made *m, const hw_made_group *g, const hw_palm_stance *s,
                     hw_frame out[HW_STACK_PARTS]);

// Fingers at one share, unsplayed; the thumb flexed and opposed by its own.
hw_palm_stance hw_posed_together(const hw_palm *p, double s, double thumb); // [1] [1]

// Whether it is one of the digit's bodies; a loose part (a spool put in by hand) is not.
bool hw_posed_has_place(const hw_part *p);

bool hw_posed_sound(const hw_palm *p); // its numbers are finite

// How far the thumb closes before it meets what the fingers have left it, at most s.
HW_MUST_USE hw_code hw_posed_thumb(hw_arena *a, const hw_made *m, double s, double *out); // [1]

#endif
