" Retin: a line below a heading, a group or a day lies one level deeper; every
" other line is kept where the one before it stands.
if exists('b:did_indent')
  finish
endif
let b:did_indent = 1

setlocal indentexpr=RetinIndent(v:lnum)
setlocal indentkeys=o,O
let b:undo_indent = 'setlocal indentexpr< indentkeys<'

if exists('*RetinIndent')
  finish
endif

" generated next: kinds
let s:kinds = '\v^%(electrolytic|bipolar|tantalum|polymer|film|paper|ceramic|mica|mains-capacitor|trimmer-capacitor|resistor|network|thermistor|varistor|pot|trimmer|fader|inductor|transformer|diode|zener|bridge|led|npn|pnp|n-jfet|p-jfet|n-mosfet|p-mosfet|thyristor|triac|opamp|logic|regulator|negative-regulator|optocoupler|chip|valve|relay|switch|connector|socket|fuse|lamp|battery|crystal|motor|loudspeaker|movement)$'

function RetinIndent(lnum) abort
  let l:before = prevnonblank(a:lnum - 1)
  if l:before == 0
    return 0
  endif
  let l:text = getline(l:before)
  let l:first = matchstr(l:text, '^\s*\zs[^ \t,()"#]\+')
  let l:opens = (l:text =~# '^\S' && l:first !=# 'use' && l:text !~# '^[#|]')
        \ || l:first =~# s:kinds
        \ || l:text =~# '^\s\+\d\{4}-\d\d-\d\d\s*$'
        \ || l:text =~# '^\s\+next\s\+day\s*$'
  return indent(l:before) + (l:opens ? shiftwidth() : 0)
endfunction
