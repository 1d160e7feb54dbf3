; Names are given on a board or a shelf, and meant from anywhere in the file.
(source_file) @local.scope

(model name: (name) @local.definition)
(board name: (name) @local.definition)
(wiring name: (name) @local.definition)
(shelf name: (name) @local.definition)
(rail name: (name) @local.definition)
(net name: (name) @local.definition)
(zone name: (name) @local.definition)
(part name: (name) @local.definition)
(entry name: (name) @local.definition)
(step name: (name) @local.definition)

(pin net: (name) @local.reference)
(selector (name) @local.reference)
