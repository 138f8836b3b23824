# Reads C headers and prints every untagged double; exit 1 when there was one. See units.sh.
# A statement is collected up to its ; or { or }, together with the comments that belong to it.

function tagged(comment,   part, unit) {
    unit = "(1|SI( [a-z' ]+)?|unit's|[A-Za-z%°µΩ]+(\\^-?[0-9]+)?([*/·][A-Za-z%°µΩ]+(\\^-?[0-9]+)?)*)"
    while (match(comment, /\[[^][]*\]/)) {
        part = substr(comment, RSTART + 1, RLENGTH - 2)
        if (part ~ "^" unit "$") return 1
        comment = substr(comment, RSTART + RLENGTH)
    }
    return 0
}

function report() {
    if (pending != "" && !tagged(pending_comment)) {
        print pending ": a double without [unit]"
        faults++
    }
    pending = ""
}

# The statement that just ended: does it declare a double that needs a tag?
function finish(   code) {
    code = statement
    if (code ~ /[^A-Za-z0-9_]double[^A-Za-z0-9_]/ && !inline_depth && needs(code)) {
        pending = FILENAME ":" first
        pending_comment = above " " own
    }
    statement = ""; own = ""; above = ""
}

# A function's own result needs no tag; its parameters and a struct's members do.
function needs(code,   open) {
    if (depth_type > 0 || code ~ /[^A-Za-z0-9_](typedef|extern)[^A-Za-z0-9_]/) return 1
    open = index(code, "(")
    return open > 0 && substr(code, open) ~ /[^A-Za-z0-9_]double[^A-Za-z0-9_]/
}

FNR == 1 { report(); statement = own = above = ""; depth = depth_type = inline_depth = 0; column = 0 }

{
    line = $0
    comment = ""
    at = index(line, "//")
    code = line
    if (at) { code = substr(line, 1, at - 1); comment = substr(line, at + 2) }
    if (code ~ /^[ \t]*#/) { report(); above = ""; next }
    if (code ~ /^[ \t]*$/) {
        if (comment == "") { report(); if (statement == "") above = "" ; column = 0; next }
        if (statement != "") own = own " " comment
        else if (column == at && pending != "") pending_comment = pending_comment " " comment
        else { report(); above = above " " comment; column = 0 }
        next
    }
    report()
    column = comment == "" ? 0 : at
    if (statement == "") first = FNR
    ended = 0
    own = own " " comment
    n = split(code, c, "")
    for (i = 1; i <= n; i++) {
        ch = c[i]
        if (inline_depth) {
            if (ch == "{") inline_depth++
            if (ch == "}" && --inline_depth == 0) { statement = own = above = "" }
            continue
        }
        if (ch == "{") {
            type = statement ~ /(^|[^A-Za-z0-9_])(struct|union|enum)[^A-Za-z0-9_]/ && statement !~ /\)[ \t]*$/
            if (statement ~ /extern[ \t]*"C"/) type = 1
            if (!type) { statement = " " statement " "; finish(); inline_depth = 1; continue }
            statement = ""; own = comment; above = ""
            depth_type++
        } else if (ch == "}") {
            if (depth_type > 0) depth_type--
            statement = ""
        } else if (ch == ";") {
            statement = " " statement " "
            finish()
            first = FNR
        } else if (!(statement == "" && ch ~ /[ \t]/)) {
            if (statement == "") first = FNR
            statement = statement ch
        }
    }
    if (statement != "") statement = statement " "
}

END { report(); exit faults > 0 }
