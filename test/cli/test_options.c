// Verbs and options: what is accepted, what is refused and how it is said, the exact help.
#include "drive.h"

static void no_verb_teaches(void)
{
    DRIVE("", HW_EXIT_INPUT, NULL, "handwright VERB --help tells more");
    DRIVE("--help", HW_EXIT_HOLDS, "Exit status: 0", NULL);
    DRIVE("help", HW_EXIT_HOLDS, "Exit status: 0", NULL);
    DRIVE("--version", HW_EXIT_HOLDS, "handwright 0.", NULL);
    DRIVE("naw", HW_EXIT_INPUT, NULL,
          "handwright: no verb \"naw\", perhaps \"new\"; handwright --help lists them\n");
    DRIVE("fly", HW_EXIT_INPUT, NULL,
          "handwright: no verb \"fly\"; handwright --help lists them\n");
    DRIVE("help fly", HW_EXIT_INPUT, NULL, "no verb \"fly\"");
}

static void help_is_exact(void)
{
    static const char *const lines[] = {"new --help", "help new", "new -h", "new --side left -h"};
    for (size_t i = 0; i < sizeof lines / sizeof lines[0]; i++) {
        drive d = drive_run(lines[i]);
        CHECK(d.status == HW_EXIT_HOLDS);
        SAME_TEXT(
            d.out,
            "handwright new [--length LENGTH] [--breadth LENGTH] [--side SIDE] [--landmarks PICKS] "
            "[--scan MESH]\n"
            "               [--json] [-o FILE]\n"
            "\n"
            "new writes a commented starter document.\n"
            "Every entry that a design can have stands in it with one sentence. What belongs\n"
            "to a first design is written out; the rest is commented out with its default,\n"
            "ready to be changed.\n"
            "\n"
            "For example:\n"
            "  handwright new --length 186mm --breadth 84mm -o heron.yaml\n"
            "      a starter for a hand of that size\n"
            "  handwright new --side left\n"
            "      one for a left hand of usual size, to the terminal\n"
            "  handwright new --landmarks picks.txt --scan hand.ply -o mine.yaml\n"
            "      one with the lengths and knuckles of a scanned hand\n"
            "\n"
            "Options:\n"
            "      --length LENGTH    of the hand: wrist crease to middle tip\n"
            "      --breadth LENGTH   of the hand: across the knuckles\n"
            "      --side SIDE        right or left (right)\n"
            "      --landmarks PICKS  sizes of a scanned hand: points picked on it, as for\n"
            "                         landmarks\n"
            "      --scan MESH        the scan that they were picked on\n"
            "      --json             JSON instead of text\n"
            "  -o, --output FILE      write to this file instead\n"
            "  -h, --help             this help\n");
        SAME_TEXT(d.err, "");
        drive_free(&d);
    }
}

static void wrong_options_are_refused(void)
{
    DRIVE("new --lenth 3mm", HW_EXIT_INPUT, NULL,
          "handwright new: unknown option \"--lenth\", perhaps \"--length\"; "
          "handwright new --help lists them\n");
    DRIVE("new --digit index", HW_EXIT_INPUT, NULL, "unknown option \"--digit\"");
    DRIVE("new -x", HW_EXIT_INPUT, NULL, "unknown option \"-x\"");
    DRIVE("new --length", HW_EXIT_INPUT, NULL, "\"--length\" needs its LENGTH");
    DRIVE("new --json=yes", HW_EXIT_INPUT, NULL, "\"--json\" takes no value, found \"yes\"");
    DRIVE("new --side left --side left", HW_EXIT_INPUT, NULL, "\"--side\" is given twice");
    DRIVE("new --side up", HW_EXIT_INPUT, NULL, "found \"up\", expected right or left");
    DRIVE("new a", HW_EXIT_INPUT, NULL, "\"a\" is one argument too many");
    DRIVE("new -- --json", HW_EXIT_INPUT, NULL, "\"--json\" is one argument too many");
    DRIVE("new --length 186", HW_EXIT_INPUT, NULL, "length");
    DRIVE("new --length 186deg", HW_EXIT_INPUT, NULL, "length");
    DRIVE("new --length nan", HW_EXIT_INPUT, NULL, "length");
    DRIVE("new --length 1e400mm", HW_EXIT_INPUT, NULL, "length");
    DRIVE("new --length 3km", HW_EXIT_INPUT, NULL, "length");
    DRIVE("new --length 3m", HW_EXIT_INPUT, NULL,
          "\"--length\" is out of range; found 3m, expected 20 mm to 2000 mm");
    DRIVE("new --breadth -84mm", HW_EXIT_INPUT, NULL, "out of range");
}

static void forms_of_an_option_are_equal(void)
{
    DRIVE("new --length=186mm", HW_EXIT_HOLDS, "\n  length: 186 mm ", NULL);
    DRIVE("new --length 186mm", HW_EXIT_HOLDS, "\n  length: 186 mm ", NULL);
    DRIVE("new --length 18.6cm --side left", HW_EXIT_HOLDS, "\n  length: 186 mm ", NULL);
    DRIVE("new --side=left", HW_EXIT_HOLDS, "\n  side: left ", NULL);
}

static void a_full_disk_is_the_machines_fault(void)
{
    FILE *full = fopen("/dev/full", "w");
    if (!CHECK(full != NULL)) return;
    char *err = NULL;
    size_t len = 0;
    FILE *messages = open_memstream(&err, &len);
    char a0[] = "handwright", a1[] = "new";
    char *argv[] = {a0, a1, NULL};
    CHECK(hw_main(2, argv, full, messages) == HW_EXIT_MACHINE);
    fclose(messages);
    SAME_TEXT(err, "handwright new: the output could not be written\n");
    free(err);
    fclose(full);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(no_verb_teaches);
    RUN(help_is_exact);
    RUN(wrong_options_are_refused);
    RUN(forms_of_an_option_are_equal);
    RUN(a_full_disk_is_the_machines_fault);
    (void)hw_check_near;
    return TEST_END();
}
