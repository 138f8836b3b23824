// Segments against bones on radiographs: a table that no length of the program comes from (only its
// spreads do), brought from bones to joint centres by the sizes of their heads.
//
// A bone is measured from the joint surface at its base to the top of its head. Joint centres lie
// in heads, a radius below their tops, so that from centre to centre it is the bone, the gap of the
// joint at its base and the radius of the head there, less the radius of its own. Source of each
// number: docs/sources/anatomy.md, "Segment lengths" and "Heads of the bones".
#include "anatomy/anatomy.h"
#include "check.h"

enum { BONES = 4 }; // metacarpal, proximal, middle, distal; a thumb has no middle

// Buryanov & Kotiuk 2010, Int J Morphol 28(3):755-758, table I: 66 adults, mean and deviation. [mm]
static const double bone[HW_HAND_DIGITS][BONES][2] = {
    {{46.22, 3.94}, {31.57, 3.13}, {0, 0}, {21.67, 1.60}},
    {{68.12, 6.27}, {39.78, 4.94}, {22.38, 2.51}, {15.82, 2.26}},
    {{64.60, 5.38}, {44.63, 3.81}, {26.33, 3.00}, {17.40, 1.85}},
    {{58.00, 5.06}, {41.37, 3.87}, {25.65, 3.29}, {17.30, 2.22}},
    {{53.69, 4.36}, {32.74, 2.77}, {18.11, 2.54}, {15.96, 2.45}}};
static const double soft_tip[HW_HAND_DIGITS] = {5.67, 3.84, 3.95, 3.95, 3.73};

// Heads' radii and the gaps of joints on radiographs. [mm]
static const double knuckle_head = 7.5, proximal_head = 4.3, middle_head = 2.8;
static const double gap[3] = {1.5, 1.0, 0.8}; // knuckle, PIP, DIP; a thumb's IP as a PIP
// By how much all of that may be off in a difference of two heads. [mm]
static const double heads_off = 1.5;

// What bones make of a segment: 0 to 2 of a finger, 1 and 2 of a thumb; the last to the bone's tip.
static double by_bones(int digit, int segment) // [mm]
{
    const int first = digit ? 0 : 1; // the thumb's proximal phalanx is its second segment
    if (segment == first) return bone[digit][1][0] + gap[0] + knuckle_head - proximal_head;
    if (segment == 1) return bone[digit][2][0] + gap[1] + proximal_head - middle_head;
    const int at = digit ? 2 : 1;
    return bone[digit][3][0] + gap[at] + (digit ? middle_head : proximal_head);
}

static double spread(int digit, int segment) // [mm]
{
    const int which = digit ? segment + 1 : segment == 1 ? 1 : 3;
    return bone[digit][which][1];
}

// The hand whose middle finger is as long from knuckle to tip as those people's: their hands were
// not measured.
static double length_of(bool soft) // [mm]
{
    hw_hand_shape h;
    double sum = soft ? soft_tip[2] : 0, share = 0;
    CHECK(hw_hand_shape_of(1, 0.45, &h) == HW_OK);
    for (int i = 0; i < HW_SEGMENTS; i++) {
        sum += by_bones(2, i);
        share += h.digit[2].segment[i];
    }
    return sum / share;
}

// With their distal ends at the bones' tips all lengths agree: within a deviation among people and
// what heads leave open. As men and women in equal parts have hands of 187 mm, so have these.
static void to_the_bones_tips(void)
{
    hw_hand_shape h;
    const double length = length_of(false);
    NEAR(length, 187.2, 8); // half a deviation, 5 mm, and 3 for the heads
    CHECK(hw_hand_shape_of(1e-3 * length, 0.45e-3 * length, &h) == HW_OK);
    double square = 0, sum = 0;
    int n = 0;
    for (int d = 0; d < HW_HAND_DIGITS; d++)
        for (int i = d ? 0 : 1; i < HW_SEGMENTS; i++) {
            const double off = 1e3 * h.digit[d].segment[i] - by_bones(d, i);
            if (!CHECK(fabs(off) <= spread(d, i) + heads_off))
                printf("    digit %d segment %d: %+.2f mm\n", d, i, off);
            square += off * off / spread(d, i) / spread(d, i);
            sum += off;
            n++;
        }
    CHECK(n == 14);
    NEAR(sum / n, 0, 1);           // neither all longer nor all shorter
    CHECK(sqrt(square / n) < 0.8); // as a whole they are nearer than one person is to another
}

// To the skin's tips knuckle to tip agrees too, but the last joint comes 4 to 6 mm nearer to the
// tip than in those people, whose own deviation is 2 mm: what is known to disagree.
static void last_joints_are_near_the_tips(void)
{
    hw_hand_shape h;
    const double length = length_of(true);
    NEAR(length, 187.2, 8);
    CHECK(hw_hand_shape_of(1e-3 * length, 0.45e-3 * length, &h) == HW_OK);
    for (int d = 1; d < HW_HAND_DIGITS; d++) {
        double reach = 0, want = soft_tip[d];
        for (int i = 0; i < HW_SEGMENTS; i++) {
            reach += 1e3 * h.digit[d].segment[i];
            want += by_bones(d, i);
        }
        CLOSE(reach, want, 0.045); // of all four; whose own deviations are 6 to 9 %
        const double off = 1e3 * h.digit[d].segment[2] - by_bones(d, 2) - soft_tip[d];
        CHECK(off > -6 && off < -4);
        // the middle one has it, in part
        CHECK(1e3 * h.digit[d].segment[1] - by_bones(d, 1) > 1);
    }
    const double thumb = 1e3 * h.digit[0].segment[2] - by_bones(0, 2) - soft_tip[0];
    CHECK(thumb > -3.5 && thumb < -2);
}

// The metacarpals' places: a thumb's own bone, less its head and with what its base's axes lie in
// the trapezium (0 to 10 mm: two axes, one in either bone); of fingers the shares go from the
// wrist, and what is left beside the bone is the same carpus for all: between the capitate's middle
// and the radius, 0.27 to 0.54 of metacarpal III.
static void metacarpals(void)
{
    static const double ct[4] = {67.7, 66.1, 58.0,
                                 52.3}; // another 40 people, by scans of their own
    hw_hand_shape h;
    const double length = length_of(false);
    CHECK(hw_hand_shape_of(1e-3 * length, 0.45e-3 * length, &h) == HW_OK);
    NEAR(1e3 * h.digit[0].segment[0], bone[0][0][0] - knuckle_head + 5, 5 + heads_off);
    double least = INFINITY, most = -INFINITY;
    for (int d = 1; d < HW_HAND_DIGITS; d++) {
        CLOSE(bone[d][0][0], ct[d - 1], 0.03); // two tables of different people
        const double carpus = 1e3 * h.digit[d].metacarpal - (bone[d][0][0] - knuckle_head);
        least = fmin(least, carpus);
        most = fmax(most, carpus);
        // where the knuckle is drawn says the same but for the little finger's, which lies aside
        const double aside = 1e3 * h.digit[d].knuckle.at.y;
        CLOSE(hypot(1e3 * h.digit[d].knuckle.at.x, aside), 1e3 * h.digit[d].metacarpal, 0.06);
    }
    CHECK(least > 0.27 * bone[2][0][0] && most < 0.57 * bone[2][0][0]);
    CHECK(most - least < 6); // about the deviation of one metacarpal
}

// Proximal phalanges by another study of joint centres (An et al. 1979, second hand), which has
// them longer by 4 to 8 %, the little finger's by 1; and middle and distal together are as long as
// the proximal (Miller et al. 2021, 200 radiographs, abstract), by our shares within 5 %, but 11 %
// in the ring finger.
static void other_studies(void)
{
    static const double an[4] = {0.265, 0.277, 0.259, 0.206};
    hw_hand_shape h;
    CHECK(hw_hand_shape_of(1, 0.45, &h) == HW_OK);
    for (int d = 1; d < HW_HAND_DIGITS; d++) {
        const double *s = h.digit[d].segment;
        CLOSE(s[0], an[d - 1], 0.08);
        CLOSE(s[1] + s[2], s[0], d == 3 ? 0.12 : 0.05);
        CLOSE(bone[d][2][0] + bone[d][3][0], bone[d][1][0], 0.05);
    }
}

// ---- sizes --------------------------------------------------------------------------------------

typedef struct people {
    const char *who;
    hw_sex sex;
    hw_hand_measure which;
    double mm[3];  // P5, P50, P95
    double within; // [mm]
} people;

// Percentiles of surveys that the program's means do not come from; all but one from memory. The
// same army a generation earlier, and the same nation: 3 mm of length, of breadth 2.5, for it was
// taken 2 mm broader then. Other nations are smaller by up to 9 mm, 5 % of the length.
static const people other[] = {
    {"ANSUR 1988", HW_SEX_MALE, HW_HAND_LENGTH, {178, 193.8, 210}, 3},
    {"ANSUR 1988", HW_SEX_FEMALE, HW_HAND_LENGTH, {164.5, 180.5, 196.5}, 3},
    {"ANSUR 1988", HW_SEX_MALE, HW_HAND_BREADTH, {83.5, 90.4, 97.3}, 2.5},
    {"ANSUR 1988", HW_SEX_FEMALE, HW_HAND_BREADTH, {73.1, 79.4, 85.7}, 2.5},
    {"NASA-STD-3000", HW_SEX_MALE, HW_HAND_LENGTH, {179, 193, 206}, 4},
    {"NASA-STD-3000", HW_SEX_MALE, HW_HAND_BREADTH, {82, 89, 96}, 2.5},
    {"Bodyspace", HW_SEX_MALE, HW_HAND_LENGTH, {173, 189, 205}, 5},
    {"Bodyspace", HW_SEX_FEMALE, HW_HAND_LENGTH, {159, 174, 189}, 9},
    {"Bodyspace", HW_SEX_MALE, HW_HAND_BREADTH, {78, 87, 95}, 3.5},
    {"Bodyspace", HW_SEX_FEMALE, HW_HAND_BREADTH, {69, 76, 83}, 3.5},
    {"DIN 33402-2", HW_SEX_MALE, HW_HAND_LENGTH, {170, 186, 201}, 9},
    {"DIN 33402-2", HW_SEX_FEMALE, HW_HAND_LENGTH, {159, 174, 190}, 9},
    {"DIN 33402-2", HW_SEX_MALE, HW_HAND_BREADTH, {78, 85, 93}, 3.5},
    {"DIN 33402-2", HW_SEX_FEMALE, HW_HAND_BREADTH, {72, 80, 85}, 2.5},
    {"Britain, read", HW_SEX_MALE, HW_HAND_BREADTH, {80, 85, 95}, 3.5}, // rounded to 5
    {"Britain, read", HW_SEX_FEMALE, HW_HAND_BREADTH, {70, 75, 85}, 3.5},
};

static void other_surveys(void)
{
    static const double percent[3] = {5, 50, 95};
    for (size_t i = 0; i < sizeof other / sizeof *other; i++)
        for (int k = 0; k < 3; k++) {
            const double got = 1e3 * hw_hand_size(other[i].sex, other[i].which, percent[k]);
            if (!NEAR(got, other[i].mm[k], other[i].within))
                printf("    %s P%g\n", other[i].who, percent[k]);
        }
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(to_the_bones_tips);
    RUN(last_joints_are_near_the_tips);
    RUN(metacarpals);
    RUN(other_studies);
    RUN(other_surveys);
    (void)hw_check_text;
    return TEST_END();
}
