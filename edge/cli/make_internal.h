// What the files of `handwright make` share.
#ifndef HW_CLI_MAKE_INTERNAL_H
#define HW_CLI_MAKE_INTERNAL_H

#include "cli/cli_internal.h"
#include "draw/draw.h"
#include "make/posed.h"
#include "make/stress.h"
#include "report/made.h"

enum { HW_POSES_MOST = 8, HW_MADE_NAME = 64 };

// One pose of the whole hand that was asked for.
typedef struct hw_maker_pose {
    double s;             // of the closing [1]
    hw_grip_pattern grip; // HW_GRIPS: none, the closing at s
} hw_maker_pose;

typedef struct hw_maker {
    hw_call *call;
    hw_made made;
    hw_made_stress stress; // where it was asked for
    hw_made_file *file;    // in the arena
    size_t files, room;
    hw_maker_pose pose[HW_POSES_MOST]; // where they were asked for
    size_t poses;
    hw_arena *work;
    double searched; // of the whole work, before anything is made [1]
} hw_maker;

// Adds a file to the folder and to the list.
void hw_maker_file(hw_maker *k, hw_made_file file, const hw_buffer *bytes);
// The same for a file of the whole hand: of no group, part or plate.
void hw_maker_note(hw_maker *k, const char *name, const char *kind, const char *what,
                   const hw_buffer *bytes);
HW_MUST_USE hw_code hw_maker_png(hw_maker *k, hw_sheet *sheet, int group, int plate);

// Reads `--posed` into *k; false: said why not.
bool hw_maker_poses(hw_maker *k, const hw_design *design);

// Scenes and pictures of every pose that was asked for.
HW_MUST_USE hw_code hw_maker_posed(hw_maker *k, const hw_job *job);

#endif
