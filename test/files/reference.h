// The reference library of 3MF: Debian ships it without a C header, these are the calls that the
// test makes. Everything that a call hands out is given back with lib3mf_release.
#ifndef HW_TEST_FILES_REFERENCE_H
#define HW_TEST_FILES_REFERENCE_H

#include <stdint.h>

typedef struct lib3mf_corner {
    float at[3];
} lib3mf_corner;
typedef struct lib3mf_face {
    uint32_t corner[3];
} lib3mf_face;
typedef struct lib3mf_turn {
    float field[3][4]; // rows of the matrix that a column vector is multiplied by
} lib3mf_turn;
enum { LIB3MF_MILLIMETRE = 1 };

int32_t lib3mf_createmodel(void **model);
int32_t lib3mf_release(void *any);
int32_t lib3mf_model_queryreader(void *model, const char *kind, void **reader);
int32_t lib3mf_reader_setstrictmodeactive(void *reader, int32_t on);
int32_t lib3mf_reader_readfrombuffer(void *reader, const void *bytes, uint64_t n);
int32_t lib3mf_reader_getwarningcount(void *reader, uint32_t *n);
int32_t lib3mf_model_getunit(void *model, uint32_t *unit);
int32_t lib3mf_model_getmetadatacount(void *model, uint32_t *n);
int32_t lib3mf_model_getmetadatakeyutf8(void *model, uint32_t i, char *to, uint32_t room,
                                        uint32_t *needed);
int32_t lib3mf_model_getmetadatavalueutf8(void *model, uint32_t i, char *to, uint32_t room,
                                          uint32_t *needed);
int32_t lib3mf_model_getmeshobjects(void *model, void **list);
int32_t lib3mf_model_getbasematerials(void *model, void **list);
int32_t lib3mf_model_getbuilditems(void *model, void **list);
int32_t lib3mf_resourceiterator_movenext(void *list, int32_t *more);
int32_t lib3mf_resourceiterator_getcurrent(void *list, void **resource);
int32_t lib3mf_builditemiterator_movenext(void *list, int32_t *more);
int32_t lib3mf_builditemiterator_getcurrent(void *list, void **item);
int32_t lib3mf_builditem_getobjectresource(void *item, void **object);
int32_t lib3mf_builditem_getobjecttransform(void *item, lib3mf_turn *turn);
int32_t lib3mf_object_getnameutf8(void *object, char *to, uint32_t room, uint32_t *needed);
int32_t lib3mf_object_createdefaultpropertyhandler(void *object, void **handler);
int32_t lib3mf_defaultpropertyhandler_getbasematerial(void *handler, uint32_t *group,
                                                      uint32_t *number);
int32_t lib3mf_meshobject_getvertexcount(void *mesh, uint32_t *n);
int32_t lib3mf_meshobject_gettrianglecount(void *mesh, uint32_t *n);
int32_t lib3mf_meshobject_getvertex(void *mesh, uint32_t i, lib3mf_corner *corner);
int32_t lib3mf_meshobject_gettriangle(void *mesh, uint32_t i, lib3mf_face *face);
int32_t lib3mf_meshobject_ismanifoldandoriented(void *mesh, int32_t *yes);
int32_t lib3mf_basematerial_getcount(void *group, uint32_t *n);
int32_t lib3mf_basematerial_getnameutf8(void *group, uint32_t i, char *to, uint32_t room,
                                        uint32_t *needed);
int32_t lib3mf_basematerial_getdisplaycolor(void *group, uint32_t i, uint8_t *red, uint8_t *green,
                                            uint8_t *blue, uint8_t *alpha);

#endif
