// Shared by the files of packing alone.
#ifndef HW_PALM_PACK_INTERNAL_H
#define HW_PALM_PACK_INTERNAL_H

#include "palm/pack.h"

// The outline's ends across, section by section: [0] toward the little finger, [1] toward the
// thumb. And the flat face that the palm is printed on (as hw_palm_measure has it).
typedef struct hw_skin {
    double x[2][HW_PALM_SECTIONS], y[2][HW_PALM_SECTIONS]; // [m]
    double face;                                           // its z [m]
} hw_skin;

// What every place is measured with.
typedef struct hw_packer {
    const hw_pack_def *def;
    hw_skin skin;
    double enough; // [m]
} hw_packer;

bool hw_pack_sound(const hw_pack_def *d);
hw_packer hw_packer_of(const hw_pack_def *def);

// Where a servo in a slot would reach its lever: rod and skew alone. False: no slot.
bool hw_pack_reach(const hw_pack_item *item, hw_servo_slot slot, hw_pack_place *p);

// Its bodies there, rod included.
void hw_pack_stand(const hw_pack_item *item, double rod, hw_pack_place *p);

// Which of a servo's bodies are looked at: all, or those that its horn has no part in.
enum {
    HW_PACK_ALL = (1 << HW_SERVO_BODIES) - 1,
    HW_PACK_STILL = 1 << HW_SERVO_CASE | 1 << HW_SERVO_EARS | 1 << HW_SERVO_CABLE
};

// Each lowers the place's room where something is nearer than what was seen before; `parts`: bits.
// By obstacles it is no longer told apart once it is less than `lost`.
void hw_pack_in_plan(const hw_packer *k, unsigned parts, hw_pack_place *p);
void hw_pack_in_depth(const hw_packer *k, unsigned parts, hw_pack_place *p);
void hw_pack_by_obstacles(const hw_packer *k, const hw_pack_item *item, unsigned parts, double lost,
                          hw_pack_place *p);                                         // [m]
void hw_pack_by_lug(const hw_packer *k, const hw_pack_item *item, hw_pack_place *p); // its own
void hw_pack_by_servo(const hw_packer *k, const hw_pack_place *other, int which, hw_pack_place *p);

// The way out of what is nearest, and the sum of all.
void hw_pack_way_out(const hw_packer *k, const hw_pack_place *all, hw_pack_place *p);
void hw_pack_sum(hw_pack *out);

void hw_skin_of(const hw_palm *palm, hw_skin *out);
double hw_skin_side(const hw_skin *skin, int side, double x); // [m]

// x of the palm's front at y: of its last section, beyond its sides their own. [m]
double hw_skin_front(const hw_palm *palm, double y);

#endif
