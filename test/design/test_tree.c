// The tree between the parser and the schema: its nodes know their bytes exactly.
#include "design/tree_internal.h"
#include "support.h"

typedef struct tree {
    hw_arena *arena;
    hw_source source;
    hw_faults faults;
    hw_node *root;
} tree;

static void grow(tree *t, const char *text)
{
    *t = (tree){.arena = hw_arena_new(0)};
    t->faults.arena = t->arena;
    hw_source_init(&t->source, t->arena, "x", hw_text_of(text));
    t->root = hw_tree_read(t->arena, &t->source, &t->faults);
}

static const hw_node *child(const hw_node *n, const char *key)
{
    for (const hw_node *c = n ? n->first : NULL; c; c = c->next)
        if (hw_text_same(c->key, hw_text_of(key))) return c;
    return NULL;
}

static void spans(const tree *t, const hw_node *n, const char *bytes, const char *content)
{
    if (!CHECK(n != NULL)) return;
    CHECK(hw_text_same((hw_text){t->source.bytes.at + n->begin, n->end - n->begin},
                       hw_text_of(bytes)));
    if (!CHECK(hw_text_same(n->text, hw_text_of(content))))
        printf("    %.*s\n", (int)n->text.len, n->text.at);
}

static void nodes_know_their_bytes(void)
{
    tree t;
    grow(&t,
         "\xEF\xBB\xBF# \xC3\xA9\r\nplain: a b # c\r\n\"quoted\": \"x \\\"y\\\"\"\r\n"
         "single: 'it''s'\r\nflow: {k: [1, 'q'], e: }\r\nempty:\r\nblock: |\r\n  one\r\n  two\r\n"
         "list:\r\n  - p\r\n  - q\r\nmany: one\r\n  two\r\n");
    CHECK(t.faults.wrong == 0);
    spans(&t, child(t.root, "plain"), "a b", "a b");
    spans(&t, child(t.root, "quoted"), "\"x \\\"y\\\"\"", "x \"y\"");
    spans(&t, child(t.root, "single"), "'it''s'", "it's");
    spans(&t, child(t.root, "flow"), "{k: [1, 'q'], e: }", "");
    spans(&t, child(child(t.root, "flow"), "k"), "[1, 'q']", "");
    spans(&t, child(t.root, "block"), "  one\r\n  two\r\n", "one\ntwo\n");
    spans(&t, child(t.root, "list")->last, "q", "q");
    spans(&t, child(t.root, "many"), "one\r\n  two", "one two");
    const hw_node *quoted = child(t.root, "quoted"), *empty = child(t.root, "empty");
    CHECK(quoted->key_end - quoted->key_begin == 8 && t.source.bytes.at[quoted->key_begin] == '"');
    CHECK(empty->kind == HW_NODE_NULL && empty->begin == empty->end);
    CHECK(child(t.root, "flow")->flow && !child(t.root, "list")->flow && !t.root->flow);
    CHECK(child(t.root, "list")->count == 2 && t.root->count == 8);
    int line, column;
    hw_source_place(&t.source, child(t.root, "plain")->begin, &line, &column);
    CHECK(line == 2 && column == 8);
    hw_source_place(&t.source, 5, &line, &column);
    CHECK(line == 1 && column == 3); // the mark at the start is no column
    hw_source_place(&t.source, SIZE_MAX, &line, &column);
    CHECK(line == 0 && column == 0);
    hw_arena_free(t.arena);
}

static void nothing_and_too_much(void)
{
    tree t;
    grow(&t, " \r\n ");
    CHECK(!t.root && t.faults.wrong == 0);
    hw_arena_free(t.arena);
    static char big[HW_DOCUMENT_BYTES + 2];
    memset(big, '#', sizeof big - 1);
    grow(&t, big);
    CHECK(!t.root && t.faults.wrong == 1);
    hw_arena_free(t.arena);
    big[HW_DOCUMENT_BYTES] = '\0';
    grow(&t, big);
    CHECK(!t.root && t.faults.wrong == 0); // the largest: one long comment
    hw_arena_free(t.arena);
}

static void only_so_many_messages_are_kept(void)
{
    static char text[400000];
    size_t n = 0;
    for (int i = 0; i < 5000; i++)
        n += (size_t)snprintf(text + n, sizeof text - n, "- &a%d x\n", i);
    tree t;
    grow(&t, text);
    CHECK(t.faults.wrong <= HW_DOCUMENT_KEYS + 2 && t.faults.wrong == t.faults.kept);
    for (int i = 0; i < 5000; i++)
        hw_fault_add(&t.faults, HW_BAD_INPUT, NULL, SIZE_MAX, (hw_text){NULL, 0},
                     (hw_text){NULL, 0}, "%d", i);
    CHECK(t.faults.kept == HW_FAULTS_KEPT && t.faults.wrong == t.faults.kept + t.faults.dropped);
    hw_diag item[3];
    hw_diags diags = {item, 0, 3, 0};
    hw_faults_hand_over(&t.faults, &diags);
    CHECK(diags.count == 3 && diags.count + diags.dropped == t.faults.wrong);
    hw_arena_free(t.arena);
}

int main(int argc, char **argv)
{
    TEST_BEGIN(argc, argv);
    RUN(nodes_know_their_bytes);
    RUN(nothing_and_too_much);
    RUN(only_so_many_messages_are_kept);
    return TEST_END();
}
