// Strands: sheaths between drum and digit while their ways are laid. Shared by this room alone.
#ifndef HW_HAND_LAY_INTERNAL_H
#define HW_HAND_LAY_INTERNAL_H

#include "hand/hand_internal.h"

// The palm's outline: how far within its sections the nodes of a grid are, from x = 0 to the palm's
// length and round all of it.
enum { HW_LAY_SKIN_ALONG = 40, HW_LAY_SKIN_ACROSS = 40, HW_LAY_SKIN_DEEP = 20 };
typedef struct hw_lay_skin {
    hw_vec3 low, step;                                                     // [m]
    float within[HW_LAY_SKIN_ALONG][HW_LAY_SKIN_ACROSS][HW_LAY_SKIN_DEEP]; // > 0 inside [m]
} hw_lay_skin;

void hw_lay_skin_of(const hw_palm *palm, hw_lay_skin *out);

// How far a place is from the skin, across the palm; > 0 inside [m]. Accuracy: half a millimetre at
// the palm's edges, where it is rounded most. Test: test/hand/test_lay_skin.c
double hw_lay_within(const hw_lay_skin *skin, hw_vec3 at);

// How far a sheath along a way stays inside, told apart from `lost` up to `most`. One that ends
// farther out may be so anywhere. Test: as above.
double hw_lay_in_skin(const hw_lay_skin *skin, const hw_route *way, double outer, double lost,
                      double most); // [m] [m] [m]

// What sheaths must not meet, and whose it is: a strand may meet what is its own digit's.
typedef struct hw_lay_bodies {
    hw_body body[HW_ROUTE_OBSTACLES];
    hw_vec3 span[HW_ROUTE_OBSTACLES][2]; // the box round each [m]
    int owner[HW_ROUTE_OBSTACLES];
    size_t n;
    const hw_lay_skin *skin; // that they stay in; NULL: none
} hw_lay_bodies;

// Owners of a servo in the palm and of the room for its lead: this and its digit.
enum { HW_LAY_MOVES = 100, HW_LAY_LEADS = 120 };

// Whether boxes, told by their least and largest corners, are farther apart than `far` along x, y
// or z.
bool hw_lay_apart(const hw_vec3 a[2], const hw_vec3 b[2], double far); // [m]

void hw_lay_put(hw_lay_bodies *w, hw_body body, int owner);
void hw_lay_put_way(hw_lay_bodies *w, const hw_route *way, double radius); // [m]

// Carriers at rest and the thumb's base; the servos that stand in the palm; the drums.
void hw_lay_palm(const hw_hand *hand, hw_lay_bodies *out);
void hw_lay_movers(const hw_pack_place place[], const int whose[], size_t n, hw_lay_bodies *out);
void hw_lay_drums(const hw_hand *hand, hw_lay_bodies *out);

// One sheath: from its drum's side through a hole of the tunnel to its end at the digit.
typedef struct hw_strand {
    const hw_drum *from;
    bool opening;
    hw_route_end seat, end;
    hw_vec2 wish, hole; // where it would pass, and passes: from the tunnel's middle [m]
    bool laid, in_tunnel;
    hw_route part[2]; // in the forearm; from the tunnel on, none where it ends in the tunnel
    hw_route way;     // both
    double bend_lack; // what its tightest bend lacks of the radius wanted [m]
    double room;      // least gap to bodies and to the strands before it [m]
} hw_strand;

// All strands of a hand, not laid yet. Returns how many, at most HW_SHEATH_WAYS.
size_t hw_lay_strands(const hw_hand *hand, hw_strand out[]);

// One of the ways that a strand may take from the tunnel on.
typedef struct hw_lay_way {
    hw_vec2 hole; // where it passes the tunnel [m]
    hw_route way;
    double room; // least gap to bodies, up to 0 [m]
    double cost; // its length and turns [m]
} hw_lay_way;

// Ways of a strand that differ widely: through holes about the one it would pass, to a line
// along the palm about its end's own, and from there to its end, bends as tight as its radius
// allows; those with `least` room or more, first those that lack nothing. None for one that ends in
// the tunnel. Returns how many.
enum { HW_LAY_FAMILY = 1024 };
size_t hw_lay_family(const hw_hand *hand, const hw_lay_bodies *palm, const hw_strand *s,
                     double least, hw_lay_way out[HW_LAY_FAMILY]); // [m]

// Lays all: each takes its way beside those before it; where some then lack room or radius, ways
// from their families that go together, if these lack less. Fills the hand's mover_hole and the
// tunnel's room. False: the tunnel has no place for so many.
bool hw_lay_all(hw_hand *hand, double lead, const hw_lay_bodies *palm, const hw_lay_bodies *arm,
                hw_strand strand[], size_t n); // [m]

// The lead of a servo in the palm: from the room at its end through its hole of the tunnel, or
// where that is taken through another, within the skin and beside bodies. False: it is shut in, or
// bends too often. Cost: 1 to 10 ms. Test: test/hand/test_leads.c
bool hw_lay_lead(const hw_hand *hand, size_t mover, double thick, const hw_lay_bodies *palm, // [m]
                 hw_route *out);

#endif
