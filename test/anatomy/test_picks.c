// Picked points as text: what is understood, and every fault with its place.
#include "anatomy/scan.h"

#include "check.h"

static const char good[] = "# a scan of mine\r\n"
                           "unit mm   # of the mesh\n"
                           "side left\n"
                           "accuracy 1.5 mm\n"
                           "\n"
                           "wrist dorsal 1 2 3\n"
                           "\twrist  palmar\t-1 +2.5e1 3\r\n"
                           "index.tip 0 0 0.25 # no face\n"
                           "thumb.cmc palmar 7 8 9";

static void a_whole_one(void)
{
    hw_picks p;
    hw_diag item[4];
    hw_diags d = {item, 0, 4, 0};
    CHECK(hw_picks_read(HW_TEXT(good), "p", &d, &p) == HW_OK && d.count == 0);
    SAME_TEXT(p.unit, "mm");
    NEAR(p.scale, 1e-3, 0);
    NEAR(p.accuracy, 1.5e-3, 1e-18);
    CHECK(p.side == HW_SCAN_LEFT && p.side_line == 3 && p.unit_line == 2);
    CHECK(p.pick[HW_MARK_WRIST][HW_DORSAL].line == 6);
    CHECK(p.pick[HW_MARK_WRIST][HW_PALMAR].line == 7);
    NEAR(p.pick[HW_MARK_WRIST][HW_PALMAR].at.y, 25, 0);
    NEAR(p.pick[HW_MARK_WRIST][HW_PALMAR].at.x, -1, 0);
    NEAR(p.pick[hw_mark_of(1, 3)][HW_DORSAL].at.z, 0.25, 0);
    CHECK(p.pick[hw_mark_of(0, 0)][HW_PALMAR].line == 9);
    size_t n = 0;
    for (int m = 0; m < HW_MARKS; m++)
        for (int f = 0; f < HW_FACES; f++) n += p.pick[m][f].line > 0;
    CHECK(n == 4);
    // nothing is said of what is not there
    CHECK(hw_picks_read(HW_TEXT(""), "p", NULL, &p) == HW_OK);
    CHECK(p.unit == NULL && isnan(p.scale) && isnan(p.accuracy) && p.side == HW_SCAN_ANY);
}

static void names_of_marks(void)
{
    SAME_TEXT(hw_mark_name(HW_MARK_WRIST), "wrist");
    SAME_TEXT(hw_mark_name(hw_mark_of(0, 0)), "thumb.cmc");
    SAME_TEXT(hw_mark_name(hw_mark_of(3, 2)), "ring.dip");
    SAME_TEXT(hw_mark_name(hw_mark_of(4, 3)), "little.tip");
    SAME_TEXT(hw_mark_name(HW_MARKS), "no mark");
    SAME_TEXT(hw_mark_name(-1), "no mark");
}

typedef struct fault {
    const char *text;
    int line, column;
    const char *says, *found, *expected;
} fault;

static void faults(void)
{
    static const fault list[] = {
        {"\nindex.mpc dorsal 1 2 3", 2, 1, "is not known here", "index.mpc", "index.mcp"},
        {"index mcp dorsal 1 2 3", 1, 1, "is not known here", "index", "a mark such as index.mcp"},
        {"v 1 2 3", 1, 1, "is not known here", "v", "a mark such as index.mcp"},
        {"index.mcp 1 2 3", 1, 11, "does not say on which face", "1", "dorsal or palmar"},
        {"index.mcp", 1, 10, "the line ends here", "", "dorsal or palmar"},
        {"index.tip dorsal 1 2 3", 1, 11, "is not a number", "dorsal", "three coordinates"},
        {"wrist dorsal 1 2", 1, 17, "the line ends here", "", "three coordinates"},
        {"wrist dorsal 1 2 3 4", 1, 20, "is one too many", "4", "the end of the line"},
        {"wrist dorsal 1 2 1e999", 1, 18, "is not a number", "1e999", "three coordinates"},
        {"wrist dorsal 1,0 2 3", 1, 14, "is not a number", "1,0", "three coordinates"},
        {"wrist dorsal 1 2 3\n wrist dorsal 1 2 3", 2, 2, "is picked twice", "wrist",
         "once; it stands in line 1"},
        {"unit kg", 1, 6, "is not a unit of length", "kg", "a length, such as mm, cm, m or in"},
        {"unit um", 1, 6, "meshes are not taken in this unit", "um", "mm, cm, m or in"},
        {"unit", 1, 5, "the line ends here", "", "a length, such as mm, cm, m or in"},
        {"side both", 1, 6, "is not a side", "both", "right or left"},
        {"accuracy 0 mm", 1, 10, "is no accuracy", "0 or less", "above 0"},
        {"accuracy 2", 1, 11, "the line ends here", "", "a length, such as mm, cm, m or in"},
        {"\xc3\xa4 # \n# \xff", 2, 3, "is not text", "", "text in UTF-8"},
    };
    for (size_t i = 0; i < sizeof list / sizeof *list; i++) {
        hw_diag item[4];
        hw_diags d = {item, 0, 4, 0};
        hw_picks p;
        CHECK(hw_picks_read(hw_text_of(list[i].text), "picks.txt", &d, &p) == HW_BAD_INPUT);
        const hw_diag *last = &item[d.count ? d.count - 1 : 0];
        if (!CHECK(d.count > 0 && last->line == list[i].line && last->column == list[i].column))
            printf("    %d:%d, \"%s\"\n", last->line, last->column, list[i].text);
        SAME_TEXT(last->text, list[i].says);
        SAME_TEXT(last->found, list[i].found);
        SAME_TEXT(last->expected, list[i].expected);
        SAME_TEXT(last->file, "picks.txt");
    }
    // all of them in one reading
    hw_diag item[9];
    hw_diags d = {item, 0, 9, 0};
    hw_picks p;
    CHECK(hw_picks_read(HW_TEXT("a\nb\nwrist dorsal 1 2 3\nc"), "p", &d, &p) == HW_BAD_INPUT);
    CHECK(d.count == 3 && item[2].line == 4 && p.pick[0][0].line == 3);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(a_whole_one);
    RUN(names_of_marks);
    RUN(faults);
    return TEST_END();
}
