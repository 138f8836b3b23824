// Validates JSON against the part of JSON Schema that docs/schema uses: type, const, enum, minimum,
// required, properties, additionalProperties, items. A keyword that is not known is a fault, so
// that a schema cannot say more than is checked.
#ifndef HW_TEST_SCHEMA_H
#define HW_TEST_SCHEMA_H

#include <jansson.h>
#include <stdbool.h>
#include <stdio.h>
#include <string.h>

static inline bool schema_fault(const char *path, const char *what)
{
    printf("    %s: %s\n", path, what);
    return false;
}

static inline bool schema_type_is(const char *type, const json_t *v)
{
    if (strcmp(type, "integer") == 0)
        return json_is_integer(v) ||
               (json_is_real(v) && json_real_value(v) == (double)(long long)json_real_value(v));
    return (strcmp(type, "number") == 0 && json_is_number(v)) ||
           (strcmp(type, "string") == 0 && json_is_string(v)) ||
           (strcmp(type, "boolean") == 0 && json_is_boolean(v)) ||
           (strcmp(type, "null") == 0 && json_is_null(v)) ||
           (strcmp(type, "array") == 0 && json_is_array(v)) ||
           (strcmp(type, "object") == 0 && json_is_object(v));
}

static inline bool schema_type(const json_t *type, const json_t *v)
{
    if (json_is_string(type)) return schema_type_is(json_string_value(type), v);
    for (size_t i = 0; i < json_array_size(type); i++)
        if (schema_type_is(json_string_value(json_array_get(type, i)), v)) return true;
    return false;
}

static inline bool schema_known(const char *key)
{
    static const char *const known[] = {"$schema", "title",   "description", "type",
                                        "const",   "enum",    "properties",  "additionalProperties",
                                        "items",   "minimum", "required"};
    for (size_t i = 0; i < sizeof known / sizeof *known; i++)
        if (strcmp(key, known[i]) == 0) return true;
    return false;
}

static inline bool schema_holds(json_t *schema, json_t *v, const char *path);

static inline bool schema_object(json_t *schema, json_t *v, const char *path)
{
    json_t *properties = json_object_get(schema, "properties"), *value;
    json_t *more = json_object_get(schema, "additionalProperties");
    const char *key;
    char below[400];
    bool ok = true;
    for (size_t i = 0; i < json_array_size(json_object_get(schema, "required")); i++) {
        key = json_string_value(json_array_get(json_object_get(schema, "required"), i));
        if (!json_object_get(v, key)) ok = schema_fault(path, key) && ok;
    }
    json_object_foreach(v, key, value)
    {
        json_t *known = json_object_get(properties, key);
        snprintf(below, sizeof below, "%s/%s", path, key);
        if (!known && json_is_false(more)) ok = schema_fault(below, "not in the schema");
        if (!known && json_is_object(more)) known = more;
        if (known) ok = schema_holds(known, value, below) && ok;
    }
    return ok;
}

static inline bool schema_holds(json_t *schema, json_t *v, const char *path)
{
    json_t *rule, *items = json_object_get(schema, "items");
    const char *key;
    char below[400];
    bool ok = true;
    json_object_foreach(schema, key, rule)
    {
        if (!schema_known(key)) return schema_fault(path, "the schema uses an unknown keyword");
    }
    if ((rule = json_object_get(schema, "type")) && !schema_type(rule, v))
        return schema_fault(path, "wrong type");
    if ((rule = json_object_get(schema, "const")) && !json_equal(rule, v))
        return schema_fault(path, "not the constant");
    if ((rule = json_object_get(schema, "minimum")) && json_is_number(v) &&
        json_number_value(v) < json_number_value(rule))
        return schema_fault(path, "below the minimum");
    if ((rule = json_object_get(schema, "enum"))) {
        bool found = false;
        for (size_t i = 0; i < json_array_size(rule); i++)
            found = found || json_equal(json_array_get(rule, i), v);
        if (!found) return schema_fault(path, "not one of the values");
    }
    if (json_is_object(v)) ok = schema_object(schema, v, path);
    for (size_t i = 0; items && json_is_array(v) && i < json_array_size(v); i++) {
        snprintf(below, sizeof below, "%s/%zu", path, i);
        ok = schema_holds(items, json_array_get(v, i), below) && ok;
    }
    return ok;
}

// Whether `text` is JSON that the schema of that name in docs/schema allows; *out gets the value
// (to be given back), NULL when it is no JSON.
static inline bool schema_check(const char *name, const char *text, json_t **out)
{
    char path[500];
    json_error_t error;
    snprintf(path, sizeof path, "%s/docs/schema/%s.json", HW_SOURCE_DIR, name);
    json_t *schema = json_load_file(path, JSON_REJECT_DUPLICATES, &error);
    if (!schema) return schema_fault(path, error.text);
    *out = json_loads(text, JSON_REJECT_DUPLICATES, &error);
    bool ok = *out ? schema_holds(schema, *out, "") : schema_fault(name, error.text);
    json_decref(schema);
    return ok;
}

#endif
