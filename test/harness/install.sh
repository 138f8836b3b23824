#!/usr/bin/env bash
# usage: install.sh BUILD SOURCE: installs into a fresh prefix and builds a small program against
# what is there, through pkg-config alone; then looks at program, man page and completions.
set -eu
build=$1 source=$2
prefix=$(mktemp -d)
trap 'rm -rf "$prefix"' EXIT
cmake --install "$build" --prefix "$prefix" >"$prefix/log" || { cat "$prefix/log"; exit 1; }
cd "$prefix"
cat >ten.c <<'END'
#include <handwright.h>
#include <stdio.h>
int main(void)
{
    hw_arena *a = hw_arena_new(0);
    hw_vec2 v = hw_flexed((hw_vec2){1, 0}, HW_PI / 2);
    printf("%s %d\n", hw_code_text(HW_OK), a && v.z < -0.999 && hw_norm(v) < 1.001);
    hw_arena_free(a);
    return 0;
}
END
pc=$(find "$prefix" -name handwright.pc)
[ -n "$pc" ] || { echo "no pkg-config file was installed"; exit 1; }
PKG_CONFIG_PATH=$(dirname "$pc")
export PKG_CONFIG_PATH
read -ra flags <<<"$(pkg-config --cflags --libs handwright)"
read -ra sanitizers <<<"$(sed -n 's/^CMAKE_C_FLAGS:STRING=//p' "$build/CMakeCache.txt")"
compiler=$(sed -n 's/^CMAKE_C_COMPILER:[A-Z]*=//p' "$build/CMakeCache.txt")
"$compiler" -std=c17 -Wall -Wextra -Wpedantic -Werror "${sanitizers[@]}" ten.c "${flags[@]}" -o ten
[ "$(./ten)" = "done 1" ] || { echo "the program says \"$(./ten)\""; exit 1; }
# each header also stands alone
find include/handwright -name '*.h' | while read -r header; do
    "$compiler" -std=c17 -Wall -Wextra -Wpedantic -Werror -Wno-unused-function -Iinclude/handwright -fsyntax-only -x c "$header" ||
        { echo "$header does not stand alone"; exit 1; }
done
# nothing of ours takes a name without its prefix from the program that links us
stray=$(find . -name libhandwright.a -exec nm -g --defined-only {} + 2>/dev/null |
    awk 'NF == 3 && $3 !~ /^(hw_|_)/ { print $3 }' | sort -u)
[ -z "$stray" ] || { echo "names without hw_ in the library:" $stray; exit 1; }
[ -s "$source/LICENSE" ] && find . -name LICENSE | grep -q . || { echo "the licence was not installed"; exit 1; }
if [ -e bin/handwright ] || [ -e "$source/edge/cli/CMakeLists.txt" ]; then
    bin/handwright --help >help.txt
    grep -q '^handwright' help.txt || { echo "bin/handwright --help says nothing"; exit 1; }
    for file in share/man/man1/handwright.1 share/bash-completion/completions/handwright \
        share/zsh/site-functions/_handwright share/fish/vendor_completions.d/handwright.fish; do
        [ -s "$file" ] || { echo "$file was not installed"; exit 1; }
    done
fi
echo "installed: $(find include -name '*.h' | wc -l) headers"
