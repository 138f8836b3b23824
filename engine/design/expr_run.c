// Runs compiled expressions; the functions that they may call.
#include "design/expr_internal.h"

#include "anatomy/anatomy.h"

#include <math.h>

static double run_min(const double *x, int n)
{
    double least = x[0];
    for (int i = 1; i < n; i++)
        if (!(x[i] >= least)) least = x[i]; // NaN goes through
    return least;
}

static double run_max(const double *x, int n)
{
    double most = x[0];
    for (int i = 1; i < n; i++)
        if (!(x[i] <= most)) most = x[i];
    return most;
}

static double run_abs(const double *x, int n)
{
    (void)n;
    return fabs(x[0]);
}

static double run_sqrt(const double *x, int n)
{
    (void)n;
    return sqrt(x[0]);
}

static double run_sin(const double *x, int n)
{
    (void)n;
    return sin(x[0]);
}

static double run_cos(const double *x, int n)
{
    (void)n;
    return cos(x[0]);
}

static double run_tan(const double *x, int n)
{
    (void)n;
    return tan(x[0]);
}

static double run_asin(const double *x, int n)
{
    (void)n;
    return asin(x[0]);
}

static double run_acos(const double *x, int n)
{
    (void)n;
    return acos(x[0]);
}

static double run_atan(const double *x, int n)
{
    (void)n;
    return atan(x[0]);
}

static double run_atan2(const double *x, int n)
{
    (void)n;
    return atan2(x[0], x[1]);
}

static double run_hypot(const double *x, int n)
{
    (void)n;
    return hypot(x[0], x[1]);
}

static double run_clamp(const double *x, int n)
{
    (void)n;
    return x[0] < x[1] ? x[1] : x[0] > x[2] ? x[2] : x[0];
}

// To a whole number of steps (1 where none is given).
static double run_round(const double *x, int n)
{
    return n == 1 ? round(x[0]) : round(x[0] / x[1]) * x[1];
}

static double run_floor(const double *x, int n)
{
    return n == 1 ? floor(x[0]) : floor(x[0] / x[1]) * x[1];
}

static double run_ceil(const double *x, int n)
{
    return n == 1 ? ceil(x[0]) : ceil(x[0] / x[1]) * x[1];
}

// Share of people below [1], and their sex as the entry's choice (0 to 2).
static double of_people(const double *x, hw_hand_measure which)
{
    int sex = (int)x[1];
    return sex < 0 || sex > HW_SEX_FEMALE ? (double)NAN
                                          : hw_hand_size((hw_sex)sex, which, 100 * x[0]);
}

static double run_people_length(const double *x, int n)
{
    (void)n;
    return of_people(x, HW_HAND_LENGTH);
}

static double run_people_breadth(const double *x, int n)
{
    (void)n;
    return of_people(x, HW_HAND_BREADTH);
}

const hw_function hw_function_table[] = {
    {"min", "min(a, b, ...)", HW_SIGN_SAME, 2, 8, run_min},
    {"max", "max(a, b, ...)", HW_SIGN_SAME, 2, 8, run_max},
    {"abs", "abs(x)", HW_SIGN_SAME, 1, 1, run_abs},
    {"sqrt", "sqrt(x)", HW_SIGN_ROOT, 1, 1, run_sqrt},
    {"sin", "sin(angle)", HW_SIGN_CIRCLE, 1, 1, run_sin},
    {"cos", "cos(angle)", HW_SIGN_CIRCLE, 1, 1, run_cos},
    {"tan", "tan(angle)", HW_SIGN_CIRCLE, 1, 1, run_tan},
    {"asin", "asin(x)", HW_SIGN_ARC, 1, 1, run_asin},
    {"acos", "acos(x)", HW_SIGN_ARC, 1, 1, run_acos},
    {"atan", "atan(x)", HW_SIGN_ARC, 1, 1, run_atan},
    {"atan2", "atan2(y, x)", HW_SIGN_ARC_OF_TWO, 2, 2, run_atan2},
    {"hypot", "hypot(a, b)", HW_SIGN_SAME, 2, 2, run_hypot},
    {"clamp", "clamp(x, low, high)", HW_SIGN_SAME, 3, 3, run_clamp},
    {"round", "round(x, step)", HW_SIGN_ROUND, 1, 2, run_round},
    {"floor", "floor(x, step)", HW_SIGN_ROUND, 1, 2, run_floor},
    {"ceil", "ceil(x, step)", HW_SIGN_ROUND, 1, 2, run_ceil},
    {"people_length", "people_length(share, sex)", HW_SIGN_LENGTH_OF, 2, 2, run_people_length},
    {"people_breadth", "people_breadth(share, sex)", HW_SIGN_LENGTH_OF, 2, 2, run_people_breadth},
};
const size_t hw_function_count = sizeof hw_function_table / sizeof hw_function_table[0];

double hw_program_run(const hw_program *p, const double *value)
{
    double stack[HW_EXPR_STACK] = {0};
    size_t n = 0; // the compiler has bounded it
    for (const hw_op *op = p->op, *end = op + p->n; op < end; op++) {
        switch ((hw_op_code)op->code) {
        case HW_OP_NUMBER:
            stack[n++] = op->number;
            break;
        case HW_OP_ENTRY:
            stack[n++] = value[op->entry];
            break;
        case HW_OP_ADD:
            n--, stack[n - 1] += stack[n];
            break;
        case HW_OP_SUBTRACT:
            n--, stack[n - 1] -= stack[n];
            break;
        case HW_OP_MULTIPLY:
            n--, stack[n - 1] *= stack[n];
            break;
        case HW_OP_DIVIDE:
            n--, stack[n - 1] /= stack[n];
            break;
        case HW_OP_NEGATE:
            stack[n - 1] = -stack[n - 1];
            break;
        case HW_OP_FUNCTION:
            n -= op->args;
            stack[n] = hw_function_table[op->function].run(stack + n, op->args);
            n++;
            break;
        }
    }
    return stack[0];
}
