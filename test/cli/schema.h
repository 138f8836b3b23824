// Holds JSON against a schema of docs/schema: the part of JSON Schema that those files use. A
// keyword that is not known here fails, so that no schema says what nobody checks.
#ifndef HW_TEST_CLI_SCHEMA_H
#define HW_TEST_CLI_SCHEMA_H

#include "check.h"

#include <jansson.h>

static inline bool schema_fits(const json_t *schema, const json_t *value, const char *at);

static inline bool schema_is_type(const char *name, const json_t *v)
{
    if (strcmp(name, "object") == 0) return json_is_object(v);
    if (strcmp(name, "array") == 0) return json_is_array(v);
    if (strcmp(name, "string") == 0) return json_is_string(v);
    if (strcmp(name, "integer") == 0) return json_is_integer(v);
    if (strcmp(name, "number") == 0) return json_is_number(v);
    if (strcmp(name, "boolean") == 0) return json_is_boolean(v);
    return strcmp(name, "null") == 0 && json_is_null(v);
}

static inline bool schema_wrong(const char *at, const char *keyword)
{
    printf("    %s does not fit \"%s\"\n", at, keyword);
    return false;
}

static inline bool schema_type(const json_t *types, const json_t *v)
{
    if (json_is_string(types)) return schema_is_type(json_string_value(types), v);
    for (size_t i = 0; i < json_array_size(types); i++)
        if (schema_is_type(json_string_value(json_array_get(types, i)), v)) return true;
    return false;
}

static inline bool schema_enum(const json_t *words, const json_t *v)
{
    for (size_t i = 0; i < json_array_size(words); i++)
        if (json_equal(json_array_get(words, i), v)) return true;
    return false;
}

// Members against "properties", the others against "additionalProperties".
static inline bool schema_members(const json_t *schema, const json_t *v, const char *at)
{
    const json_t *known = json_object_get(schema, "properties");
    const json_t *others = json_object_get(schema, "additionalProperties");
    for (void *m = json_object_iter((json_t *)(uintptr_t)v); m;
         m = json_object_iter_next((json_t *)(uintptr_t)v, m)) {
        const char *key = json_object_iter_key(m);
        const json_t *rule = json_object_get(known, key);
        if (!rule && json_is_false(others)) return schema_wrong(key, "additionalProperties");
        if (!rule) rule = others;
        if (json_is_object(rule) && !schema_fits(rule, json_object_iter_value(m), key))
            return schema_wrong(at, key);
    }
    return true;
}

static inline bool schema_required(const json_t *names, const json_t *v)
{
    for (size_t i = 0; i < json_array_size(names); i++) {
        const char *name = json_string_value(json_array_get(names, i));
        if (!json_object_get(v, name)) return schema_wrong(name, "required");
    }
    return true;
}

static inline bool schema_items(const json_t *rule, const json_t *v, const char *at)
{
    for (size_t i = 0; i < json_array_size(v); i++)
        if (!schema_fits(rule, json_array_get(v, i), at)) return false;
    return true;
}

static inline bool schema_keyword(const json_t *schema, const char *keyword, const json_t *rule,
                                  const json_t *v, const char *at)
{
    if (keyword[0] == '$' || strcmp(keyword, "title") == 0 || strcmp(keyword, "description") == 0)
        return true;
    if (strcmp(keyword, "type") == 0) return schema_type(rule, v);
    if (strcmp(keyword, "const") == 0) return json_equal(rule, v);
    if (strcmp(keyword, "enum") == 0) return schema_enum(rule, v);
    if (json_is_object(v)) {
        if (strcmp(keyword, "properties") == 0) return schema_members(schema, v, at);
        if (strcmp(keyword, "required") == 0) return schema_required(rule, v);
    }
    if (strcmp(keyword, "properties") == 0 || strcmp(keyword, "required") == 0) return true;
    if (strcmp(keyword, "additionalProperties") == 0)
        return !json_is_object(v) || schema_members(schema, v, at);
    if (strcmp(keyword, "items") == 0) return schema_items(rule, v, at);
    if (strcmp(keyword, "minimum") == 0)
        return !json_is_number(v) || json_number_value(v) >= json_number_value(rule);
    json_int_t n = json_integer_value(rule);
    if (strcmp(keyword, "minItems") == 0)
        return !json_is_array(v) || (json_int_t)json_array_size(v) >= n;
    if (strcmp(keyword, "maxItems") == 0)
        return !json_is_array(v) || (json_int_t)json_array_size(v) <= n;
    return false;
}

static inline bool schema_fits(const json_t *schema, const json_t *value, const char *at)
{
    for (void *m = json_object_iter((json_t *)(uintptr_t)schema); m;
         m = json_object_iter_next((json_t *)(uintptr_t)schema, m)) {
        const char *keyword = json_object_iter_key(m);
        if (!schema_keyword(schema, keyword, json_object_iter_value(m), value, at))
            return schema_wrong(at, keyword);
    }
    return true;
}

// Reads a text as JSON and checks it against docs/schema/NAME.json. The document, to be given back
// by json_decref, or NULL.
static inline json_t *schema_check(const char *text, const char *name)
{
    char path[1024];
    json_error_t error;
    snprintf(path, sizeof path, "%s/docs/schema/%s.json", HW_SOURCE_DIR, name);
    json_t *schema = json_load_file(path, 0, &error);
    if (!CHECK(schema != NULL)) {
        printf("    %s: %s\n", path, error.text);
        return NULL;
    }
    json_t *value = json_loads(text, JSON_REJECT_DUPLICATES, &error);
    if (!CHECK(value != NULL)) printf("    line %d: %s\n", error.line, error.text);
    if (value) CHECK(schema_fits(schema, value, name));
    json_decref(schema);
    return value;
}

#endif
