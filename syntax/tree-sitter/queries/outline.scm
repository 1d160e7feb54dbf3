; What an outline of the file shows.
(model "model" @context name: (_) @name) @item
(board "board" @context name: (_) @name) @item
(wiring "wiring" @context name: (_) @name) @item
(link "link" @context name: (_) @name) @item
(shelf "shelf" @context name: (_) @name) @item
(job "job" @context name: (_) @name) @item
(minutes "minutes" @name) @item
(found "found" @name) @item
(plan "plan" @name) @item
(steps "steps" @name) @item
(targets "targets" @name) @item
(log "log" @name) @item
(day date: (value) @name) @item
