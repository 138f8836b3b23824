#include "pivot/bars.h"

#include "pivot/cone.h"

#include <math.h>

// Load factor at which an end that has moved by `slack` and moves by `growth` under the load has
// left what reaches `reach` beyond the gap.
static double lets_go(double reach, double slack, double growth) // [m] [m] [m]
{
    double room = reach - slack;
    if (!(room > 0.0)) return 0.0;
    return growth > 0.0 ? room / growth : (double)INFINITY;
}

hw_bar_hold hw_bar_hold_of(const hw_bar_pivot *b, const hw_beside *by, double pull, bool sustained)
{
    hw_bar_hold out = {NAN, NAN};
    const hw_eye *e = &b->eye;
    double t = e->thickness,
           spread = hw_cone_spread(1.0, b->seat.half_angle, b->mu, HW_CONE_HALF_CONE);
    if (isnan(spread) || isnan(pull) || !(b->modulus > 0.0) || !(t > 0.0) || !(b->gap >= 0.0) ||
        isnan(by->slack) || !(by->overhang >= 0.0) || !(by->span >= 0.0))
        return out;
    double slack = by->slack, push_off = 0.0, curl = 0.0;
    if (!isfinite(slack)) {
        double c = by->overhang, soft = sustained ? 2.0 : 1.0;
        double stiff = b->modulus * e->width * t * t * t / 12.0 / soft, arm = 0.5 * t - e->load_at;
        slack = by->span > 0.0 ? b->gap * (1.0 + 2.0 * c / by->span) : (double)INFINITY;
        push_off = fabs(pull) * c * c * (c / 3.0 + 0.5 * by->span) / stiff;
        curl = 0.5 * fmax(pull, 0.0) * fmax(arm, 0.0) * c * (c + by->span) / stiff;
    }
    double cone = lets_go(b->seat.height - b->gap, slack, spread * push_off + curl);
    double land = lets_go(b->seat.land - b->gap, slack, curl);
    out.factor = fmax(cone, land);
    out.apart = b->gap + slack + (land > 0.0 ? curl : spread * push_off + curl);
    // pushed on a land, its line nearer to the wall than the bar's middle: the end lies on its wall
    if (land > 0.0 && pull < 0.0 && e->load_at < 0.5 * t) out.apart = 0.0;
    return out;
}
