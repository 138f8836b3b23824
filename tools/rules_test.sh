#!/usr/bin/env bash
# Every rule's script must be able to fail: each is given a small tree that keeps the rule and
# trees that break it. Last line: "N passed, N failed".
set -u
here=$(cd "$(dirname "$0")/.." && pwd)
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
passed=0 failed=0

fresh() { # a tree that keeps every rule
    rm -rf "$work/tree"
    mkdir -p "$work/tree"/{core/base,core/linkage,engine/tune,docs}
    cd "$work/tree" || exit 3
    cp "$here/.clang-format" "$here/.clang-tidy" .
    cat >core/base/base.h <<'END'
#ifndef HW_BASE_H
#define HW_BASE_H
typedef struct hw_bar {
    double length;  // pin to pin [m]
    double torque,  // of the drive
        rate;       // for each radian [N*m/rad^2]
    const char *at; // no number
} hw_bar;
// A turn about the pivot by an angle [rad].
double hw_turned(double angle);
#endif
END
    clang-format -i core/base/base.h
    cat >core/linkage/linkage.c <<'END'
#include "base/base.h"
#include <math.h>

double hw_turned(double angle)
{
    return sin(angle);
}
END
    printf '#include "base/base.h"\n' >engine/tune/tune.c
    printf '# A page\n\nSee [the other](docs/other.md#a-part) one.\n' >README.md
    printf '# Other\n\n## A part\n' >docs/other.md
}

# holds NAME COMMAND...: must succeed.   breaks NAME WORDS COMMAND...: must fail and say WORDS.
holds() {
    local name=$1 out
    shift
    if out=$("$@" 2>&1); then passed=$((passed + 1)); else
        failed=$((failed + 1))
        printf 'FAIL %s: refuses a good tree:\n%s\n' "$name" "$out"
    fi
}
breaks() {
    local name=$1 words=$2 out
    shift 2
    if out=$("$@" 2>&1); then
        failed=$((failed + 1))
        echo "FAIL $name: did not fail"
    elif ! grep -qF -- "$words" <<<"$out"; then
        failed=$((failed + 1))
        printf 'FAIL %s: fails without "%s":\n%s\n' "$name" "$words" "$out"
    else
        passed=$((passed + 1))
    fi
}
layers() { "$here/tools/layers.sh" "$work/tree"; }
units() { "$here/tools/units.sh" "$work/tree"; }
format() { "$here/tools/format.sh" "$work/tree"; }
names() { "$here/tools/names.sh" "$work/tree"; }
links() { "$here/tools/links.sh" "$work/tree"; }
critic() { "$here/tools/cppcheck.sh" "$work/tree"; }
tidy() { clang-tidy --quiet core/linkage/linkage.c -- -std=c17 -Icore; }
append() { cat >>"$1"; }

fresh
for rule in layers units format names links critic tidy; do holds $rule $rule; done

printf '#include "linkage/linkage.h"\n' | append core/base/base.h
breaks layers/loop "in a loop" layers
fresh; printf '#include "tune/tune.h"\n' | append core/linkage/linkage.c
breaks layers/direction 'room "linkage" may not include "tune"' layers
fresh; printf '#include <time.h>\n' | append core/linkage/linkage.c
breaks layers/header "core may not include <time.h>" layers
fresh; printf 'void f(void)\n{\n    puts("x");\n}\n' | append engine/tune/tune.c
breaks layers/printing "not below edge/" layers
rm -rf "$work/tree/core" "$work/tree/engine"
breaks layers/empty "nothing to check" layers

fresh; printf 'double hw_pulled(double force);\n' | append core/base/base.h
breaks units/parameter "base.h:12: a double without [unit]" units
fresh; printf 'struct hw_x {\n    double one; // [m]\n    double two;\n};\n' | append core/base/base.h
breaks units/member "base.h:14: a double without [unit]" units
fresh; printf '// Array [0] is no unit.\ndouble hw_pulled(const double force[3]);\n' | append core/base/base.h
breaks units/not-a-unit "base.h:13: a double without [unit]" units

fresh; printf 'int  hw_y (void);\n' | append core/base/base.h
breaks format/spaces "clang-format" format
fresh; { for ((i = 0; i < 601; i++)); do echo '//'; done; } | append core/linkage/linkage.c
breaks format/length "lines, over 600" format

fresh; echo "fetched from pypi"".org" | append README.md
breaks names/host "package host" names
fresh; echo "see /ho""me/somebody/file" | append README.md
breaks names/path "path of one machine" names
fresh; echo "// TO""DO later" | append core/linkage/linkage.c
breaks names/unfinished "unfinished" names

fresh; printf '[gone](docs/gone.md)\n' | append README.md
breaks links/file "leads nowhere" links
fresh; printf '[gone](docs/other.md#b-part)\n' | append README.md
breaks links/anchor "no such heading" links
fresh; rm README.md
breaks links/empty "nothing to check" links

fresh; printf 'int f(void)\n{\n    int a[2] = {0, 1};\n    return a[2];\n}\n' | append core/linkage/linkage.c
breaks cppcheck/bounds "arrayIndexOutOfBounds" critic

fresh
{
    printf 'int f(int a);\nint f(int a)\n{\n'
    for ((i = 0; i < 26; i++)); do printf '    if (a == %d) a += 2;\n' "$i"; done
    printf '    return a;\n}\n'
} | append core/linkage/linkage.c
breaks tidy/complexity "cognitive complexity" tidy
fresh
{
    printf 'void f(volatile int *a);\nvoid f(volatile int *a)\n{\n'
    for ((i = 0; i < 101; i++)); do printf '    (*a)++;\n'; done
    printf '}\n'
} | append core/linkage/linkage.c
breaks tidy/length "exceeds recommended size" tidy
fresh; printf 'int f(const int *p);\nint f(const int *p)\n{\n    if (p) return 0;\n    return *p;\n}\n' | append core/linkage/linkage.c
breaks tidy/analyzer "ull pointer" tidy

# ctest's count, the package list, the empty test run
report() { "$here/tools/ctest_count.sh" "$work/report.xml"; }
printf '<testsuite name="x"\n\ttests="3"\n\tfailures="1"\n\tdisabled="0"\n\tskipped="1"\n>\n' >"$work/report.xml"
if [ "$(report | tail -n 1)" = "1 passed, 2 failed" ]; then passed=$((passed + 1)); else
    failed=$((failed + 1)); echo "FAIL ctest_count: $(report)"
fi
: >"$work/report.xml"
breaks ctest_count/empty "wrote no report" report
echo '# nothing' >"$work/list.txt"
breaks packages/empty "names no package" env HW_PACKAGE_LIST="$work/list.txt" "$here/tools/packages"
mkdir -p "$work/none"
printf 'cmake_minimum_required(VERSION 3.25)\nproject(none NONE)\nenable_testing()\n' >"$work/none/CMakeLists.txt"
holds ctest/configure cmake -S "$work/none" -B "$work/none/build"
breaks ctest/no-tests "No tests were found" ctest --test-dir "$work/none/build" --no-tests=error
breaks check/unknown-suite "nothing ran" "$here/check" --only no-such-suite

echo "$passed passed, $failed failed"
[ "$failed" -eq 0 ]
