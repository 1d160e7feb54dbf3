; Made from syntax/tree-sitter/queries/highlights.scm.
; What editors colour. The words themselves are in the grammar, by what they are.
; Of two patterns for one place, the later one counts.

(name) @variable
(comment) @comment
(prose_text) @string.special
(text) @string
(value) @constant.numeric
(unit) @type.builtin
(unreadable) @constant.builtin

; Headings and the names they give.
["use" "model" "board" "wiring" "link" "shelf" "packages" "devices" "minutes" "job" "found" "plan"
 "steps" "targets" "log"] @keyword

(model name: (name) @markup.heading)
(board name: (name) @markup.heading)
(wiring name: (name) @markup.heading)
(link name: (name) @markup.heading)
(shelf name: (name) @markup.heading)
(packages name: (name) @markup.heading)
(devices name: (name) @markup.heading)
(job name: (name) @markup.heading)

; Words of lines, and words that join.
["changed" "rail" "net" "zone" "go" "section" "accept" "for" "caution" "next" "day"] @keyword
["as" "to" "on" "except" "from" "with" "and" "after" "in" "place" "of" "series" "parallel"
 "every" "everything" "joints" "x"] @keyword.operator
(because "because" @keyword.operator)
(price "at" @keyword.operator)
(pace ["per" "lead" "joint"] @keyword.operator)
(go_by "by" @keyword)
(survey "by" @keyword)
(limit) @keyword.operator

(verb) @keyword
(source) @label
(kind) @type
(family) @type
(property_name) @variable.other.member
(choice) @constant
(direction) @constant
(bare_word) @constant
(told) @string.special

; Names, by the line that gives them.
(part name: (name) @tag)
(entry name: (name) @tag)
(device name: (name) @tag)
(package name: (name) @tag)
(part_section name: (name) @tag)
(rail name: (name) @tag)
(net name: (name) @tag)
(zone name: (name) @tag)
(step name: (name) @tag)
(accept rule: (name) @attribute)

(lead) @variable.parameter

["(" ")"] @punctuation.bracket
"," @punctuation.delimiter
