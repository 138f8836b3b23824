// What the files of `handwright make` share.
#ifndef HW_CLI_MAKE_INTERNAL_H
#define HW_CLI_MAKE_INTERNAL_H

#include "cli/cli_internal.h"
#include "draw/draw.h"
#include "make/stress.h"
#include "report/made.h"

enum { HW_POSES_MOST = 8, HW_MADE_NAME = 64 };

typedef struct hw_maker {
    hw_call *call;
    hw_made made;
    hw_made_stress stress; // where it was asked for
    hw_made_file *file;    // in the arena
    size_t files, room;
    double pose[HW_POSES_MOST]; // of the whole hand, where they were asked for [1]
    size_t poses;
    hw_arena *work;
} hw_maker;

// Adds a file to the folder and to the list.
void hw_maker_file(hw_maker *k, hw_made_file file, const hw_buffer *bytes);
HW_MUST_USE hw_code hw_maker_png(hw_maker *k, hw_sheet *sheet, int group, int plate);

// Reads `--posed` into *k; false: said why not.
bool hw_maker_poses(hw_maker *k);

// Scenes and pictures of every pose that was asked for.
HW_MUST_USE hw_code hw_maker_posed(hw_maker *k, const hw_job *job);

#endif
