// Round things side by side in a slot with round ends.
#include "palm/route.h"

enum { STARTS = 12, PUSHES = 500, HALVINGS = 18, PULLS = 200 };

// Share of the way to its wish that a thing goes between two pushes.
static const double pull = 0.05; // [1]

// Distance of a place from the slot's middle line; the slot is all that is within height / 2 of it.
static double off_line(const hw_tunnel *t, hw_vec2 p, hw_vec2 *on) // [m]
{
    double half = (t->width - t->height) / 2;
    *on = (hw_vec2){fmin(fmax(p.x, -half), half), 0};
    return hw_norm(hw_sub(p, *on));
}

// Least gap of all, to each other and to the wall.
static double room_of(const hw_tunnel *t, const double radius[], size_t n, const hw_vec2 at[])
{
    double least = INFINITY;
    hw_vec2 on;
    for (size_t i = 0; i < n; i++) {
        least = fmin(least, t->height / 2 - radius[i] - off_line(t, at[i], &on));
        for (size_t k = 0; k < i; k++)
            least = fmin(least, hw_norm(hw_sub(at[i], at[k])) - radius[i] - radius[k]);
    }
    return least;
}

// Rows one above the other, each as long as the slot is there, filled in turn from its middle out.
static void in_rows(const hw_tunnel *t, const double radius[], size_t n, size_t rows, hw_vec2 at[])
{
    double most = 0;
    for (size_t i = 0; i < n; i++) most = fmax(most, radius[i]);
    size_t next = 0;
    for (size_t row = 0; row < rows; row++) {
        size_t here = (n - next) / (rows - row);
        double z = t->height * ((double)row + 0.5) / (double)rows - t->height / 2;
        double inner = t->height / 2 - most,
               end = inner > fabs(z) ? sqrt(inner * inner - z * z) : 0;
        double half = (t->width - t->height) / 2 + end;
        for (size_t k = 0; k < here; k++, next++) {
            double u = here > 1 ? 2 * (double)k / (double)(here - 1) - 1 : 0;
            at[next] = (hw_vec2){u * half, z};
        }
    }
}

// Pushes apart what is nearer than `gap`, and inward what is too near the wall.
static void push(const hw_tunnel *t, const double radius[], size_t n, double gap, hw_vec2 at[])
{
    for (size_t i = 0; i < n; i++) {
        for (size_t k = 0; k < i; k++) {
            hw_vec2 d = hw_sub(at[i], at[k]);
            double far = hw_norm(d), want = radius[i] + radius[k] + gap;
            if (far >= want) continue;
            if (!(far > 0)) { // apart along a way of their own
                d = (hw_vec2){cos((double)i), sin((double)i)};
                far = 1;
            }
            double share = (want - hw_norm(hw_sub(at[i], at[k]))) / 2 / far;
            at[i] = hw_add(at[i], hw_scale(d, share));
            at[k] = hw_sub(at[k], hw_scale(d, share));
        }
        hw_vec2 on;
        double off = off_line(t, at[i], &on), most = fmax(t->height / 2 - radius[i] - gap, 0);
        if (off > most) at[i] = hw_add(on, hw_scale(hw_sub(at[i], on), most / off));
    }
}

// A start of its own for each number: a sunflower's spiral, turned and stretched to the slot;
// another thing in its middle each time, for unlike ones.
static void start_at(const hw_tunnel *t, size_t n, int start, hw_vec2 at[])
{
    for (size_t i = 0; i < n; i++) {
        double away = sqrt(((double)i + 0.3 * (start % 4)) / (double)n);
        double turn = (2.399963229728653 + 0.21 * start) * (double)i + start;
        at[(i + (size_t)start) % n] =
            (hw_vec2){away * cos(turn) * t->width / 2, away * sin(turn) * t->height / 2};
    }
}

// From one start to the largest gap that pushing still finds.
static double relax(const hw_tunnel *t, const double radius[], size_t n, hw_vec2 at[])
{
    double low = -t->height, high = t->height, best = -INFINITY;
    hw_vec2 kept[HW_BUNDLE] = {{0}};
    for (int h = 0; h < HALVINGS; h++) {
        double gap = (low + high) / 2;
        for (int k = 0; k < PUSHES; k++) push(t, radius, n, gap, at);
        double room = room_of(t, radius, n, at);
        if (room > best) {
            best = room;
            for (size_t i = 0; i < n; i++) kept[i] = at[i];
        }
        // pushing against each other leaves a little: what counts is how near it came
        if (room >= gap - 1e-3 * t->height)
            low = gap;
        else
            high = gap;
    }
    for (size_t i = 0; i < n; i++) at[i] = kept[i];
    return best;
}

static bool is_sound(const hw_tunnel *t, const double radius[], size_t n)
{
    bool ok =
        n >= 1 && n <= HW_BUNDLE && t->height > 0 && t->width >= t->height && isfinite(t->width);
    for (size_t i = 0; i < n && ok; i++) ok = radius[i] > 0 && isfinite(radius[i]);
    return ok;
}

hw_code hw_bundle_near(const hw_tunnel *t, const double radius[], const hw_vec2 wish[], size_t n,
                       double gap, hw_vec2 at[], double *room)
{
    *room = NAN;
    bool ok = is_sound(t, radius, n) && gap >= 0;
    for (size_t i = 0; i < n && ok; i++) ok = isfinite(wish[i].x) && isfinite(wish[i].z);
    if (!ok) return HW_BAD_INPUT;
    for (size_t i = 0; i < n; i++) at[i] = wish[i];
    for (int k = 0; k < PULLS; k++) {
        for (size_t i = 0; i < n; i++)
            at[i] = hw_add(at[i], hw_scale(hw_sub(wish[i], at[i]), pull));
        push(t, radius, n, gap, at);
    }
    // what pulling has left of the gap comes back without it
    for (int k = 0; k < PUSHES && room_of(t, radius, n, at) < gap * (1 - 1e-6); k++)
        push(t, radius, n, gap, at);
    *room = room_of(t, radius, n, at);
    return HW_OK;
}

hw_code hw_bundle_in(const hw_tunnel *t, const double radius[], size_t n, hw_vec2 at[],
                     double *room)
{
    *room = NAN;
    if (!is_sound(t, radius, n)) return HW_BAD_INPUT;
    hw_vec2 try[HW_BUNDLE];
    double best = -INFINITY;
    for (size_t rows = 1; rows <= n; rows++) {
        in_rows(t, radius, n, rows, try);
        double found = room_of(t, radius, n, try);
        if (found > best) {
            best = found;
            for (size_t i = 0; i < n; i++) at[i] = try[i];
        }
    }
    for (int s = 0; s < STARTS && best < 0; s++) {
        start_at(t, n, s, try);
        double found = relax(t, radius, n, try);
        if (found > best) {
            best = found;
            for (size_t i = 0; i < n; i++) at[i] = try[i];
        }
    }
    *room = best;
    return HW_OK;
}
