// A small strict reader of DXF release 12, for tests: pairs of group code and value, sections,
// tables, entities. Faults are counted and printed.
#ifndef HW_TEST_FILES_DXF_READER_H
#define HW_TEST_FILES_DXF_READER_H

#include "check.h"

#include <stdlib.h>

enum { DXF_RINGS = 8192, DXF_CORNERS = 65536, DXF_LAYERS = 16384 };

typedef struct dxf_corner {
    double x, y, bulge;
} dxf_corner;

typedef struct dxf_ring {
    char layer[40];
    double elevation, thickness;
    size_t first, n; // corners
} dxf_ring;

typedef struct dxf {
    const char *at;
    int code;
    char value[300];
    dxf_ring ring[DXF_RINGS];
    dxf_corner corner[DXF_CORNERS];
    char layer[DXF_LAYERS][40];
    size_t rings, corners, layers, lines, circles, texts, comments, faults;
} dxf;

static inline void dxf_fault(dxf *d, const char *what)
{
    if (d->faults++ < 5) printf("    DXF: %s at %d %s\n", what, d->code, d->value);
}

// The next pair; false at the end of the text.
static inline bool dxf_next(dxf *d)
{
    char line[2][300];
    do {
        for (int i = 0; i < 2; i++) {
            size_t n = strcspn(d->at, "\n");
            if (d->at[n] != '\n') return false;
            if (n > 255) dxf_fault(d, "a line of more than 255 characters");
            n = n < 299 ? n : 299;
            memcpy(line[i], d->at, n);
            line[i][n] = '\0';
            d->at += strcspn(d->at, "\n") + 1;
        }
        char *end;
        d->code = (int)strtol(line[0], &end, 10);
        if (end == line[0] || *end) dxf_fault(d, "a group code that is no number");
        strcpy(d->value, line[1]);
        for (const char *p = d->value; *p; p++)
            if (*p < ' ' || *p > '~') dxf_fault(d, "a letter that is not ASCII");
        if (d->code == 999) d->comments++;
    } while (d->code == 999);
    return true;
}

static inline double dxf_number(dxf *d)
{
    char *end;
    double v = strtod(d->value, &end);
    if (end == d->value || *end || !isfinite(v) || !strchr(d->value, '.'))
        dxf_fault(d, "a value that is no real number");
    return v;
}

static inline bool dxf_is(const dxf *d, int code, const char *value)
{
    return d->code == code && strcmp(d->value, value) == 0;
}

static inline void dxf_layer_known(dxf *d)
{
    for (size_t i = 0; i < d->layers; i++)
        if (strcmp(d->layer[i], d->value) == 0) return;
    dxf_fault(d, "a layer that the table does not list");
}

static inline void dxf_table_entry(dxf *d)
{
    if (d->code != 2 || d->layers == DXF_LAYERS) return;
    size_t n = strlen(d->value);
    if (n == 0 || n > 31 || strspn(d->value, "ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-_$") != n)
        dxf_fault(d, "a layer's name that release 12 does not allow");
    for (size_t i = 0; i < d->layers; i++)
        if (strcmp(d->layer[i], d->value) == 0) dxf_fault(d, "a layer listed twice");
    snprintf(d->layer[d->layers++], 40, "%.39s", d->value);
}

// A vertex belongs to the polyline that is open.
static inline void dxf_entity_value(dxf *d, const char *kind)
{
    dxf_ring *r = d->rings ? &d->ring[d->rings - 1] : NULL;
    if (d->code == 8) dxf_layer_known(d);
    if (strcmp(kind, "POLYLINE") == 0 && r) {
        if (d->code == 8) snprintf(r->layer, sizeof r->layer, "%.39s", d->value);
        if (d->code == 30) r->elevation = dxf_number(d);
        if (d->code == 39) r->thickness = dxf_number(d);
        if (d->code == 70 && strcmp(d->value, "1") != 0) dxf_fault(d, "a ring that is not closed");
    } else if (strcmp(kind, "VERTEX") == 0 && r && d->corners) {
        dxf_corner *c = &d->corner[d->corners - 1];
        if (d->code == 10) c->x = dxf_number(d);
        if (d->code == 20) c->y = dxf_number(d);
        if (d->code == 42) c->bulge = dxf_number(d);
    } else if (d->code >= 10 && d->code < 60) {
        (void)dxf_number(d);
    }
}

static inline void dxf_entities(dxf *d)
{
    char kind[40] = "";
    bool open = false;
    while (dxf_next(d)) {
        if (dxf_is(d, 0, "ENDSEC")) break;
        if (d->code != 0) {
            dxf_entity_value(d, kind);
            continue;
        }
        snprintf(kind, sizeof kind, "%.39s", d->value);
        bool vertex = strcmp(kind, "VERTEX") == 0, end = strcmp(kind, "SEQEND") == 0;
        if ((vertex || end) != open)
            dxf_fault(d, "a polyline that does not end, or none that does");
        if (strcmp(kind, "POLYLINE") == 0 && d->rings < DXF_RINGS) {
            d->ring[d->rings++] = (dxf_ring){.first = d->corners};
            open = true;
        } else if (vertex && d->rings && d->corners < DXF_CORNERS) {
            d->corner[d->corners++] = (dxf_corner){0, 0, 0};
            d->ring[d->rings - 1].n++;
        } else if (end) {
            open = false;
        } else if (strcmp(kind, "LINE") == 0) {
            d->lines++;
        } else if (strcmp(kind, "CIRCLE") == 0) {
            d->circles++;
        } else if (strcmp(kind, "TEXT") == 0) {
            d->texts++;
        } else {
            dxf_fault(d, "an entity that is not expected");
        }
    }
    if (open) dxf_fault(d, "a polyline that does not end");
}

static inline void dxf_tables(dxf *d)
{
    bool layers = false, entry = false;
    while (dxf_next(d) && !dxf_is(d, 0, "ENDSEC")) {
        if (d->code == 0) entry = layers && dxf_is(d, 0, "LAYER");
        if (dxf_is(d, 0, "TABLE")) layers = false;
        if (!entry && dxf_is(d, 2, "LAYER")) layers = true;
        if (entry) dxf_table_entry(d);
    }
}

static inline void dxf_read(dxf *d, const char *text)
{
    memset(d, 0, sizeof *d);
    d->at = text;
    bool header = false, entities = false, end = false;
    while (dxf_next(d)) {
        if (end) dxf_fault(d, "something after the end");
        if (dxf_is(d, 0, "EOF")) {
            end = true;
        } else if (!dxf_is(d, 0, "SECTION") || !dxf_next(d) || d->code != 2) {
            dxf_fault(d, "no section where one is due");
        } else if (strcmp(d->value, "ENTITIES") == 0) {
            entities = true;
            dxf_entities(d);
        } else if (strcmp(d->value, "TABLES") == 0) {
            dxf_tables(d);
        } else {
            while (dxf_next(d) && !dxf_is(d, 0, "ENDSEC"))
                header = header || dxf_is(d, 1, "AC1009");
        }
    }
    if (!header || !entities || !end || *d->at) dxf_fault(d, "a part of the file is missing");
}

// Area of a ring with its arcs, counter-clockwise positive, in the file's unit squared.
static inline double dxf_area(const dxf *d, const dxf_ring *r)
{
    double sum = 0;
    for (size_t i = 0; i < r->n; i++) {
        dxf_corner a = d->corner[r->first + i], b = d->corner[r->first + (i + 1) % r->n];
        sum += (a.x * b.y - a.y * b.x) / 2;
        if (a.bulge == 0) continue;
        double t = 4 * atan(a.bulge), chord = hypot(b.x - a.x, b.y - a.y);
        double radius = chord / (2 * sin(t / 2));
        sum += radius * radius * (t - sin(t)) / 2;
    }
    return sum;
}

#endif
