" Run by Vim and Neovim: prints the highlighting group of each place and the
" indentation of a line below each line, as JSON, into the file $RETIN_OUT.
set nocompatible
filetype plugin indent on
syntax on
execute 'edit' fnameescape($RETIN_EXAMPLE)
let s:expected = json_decode(join(readfile($RETIN_EXPECTED), "\n"))
let s:answer = {'filetype': &filetype, 'places': [], 'indents': [], 'errors': []}
for s:place in s:expected.places
  let s:column = stridx(getline(s:place.line), s:place.word) + 1
  let s:group = synIDattr(synID(s:place.line, s:column, 1), 'name')
  call add(s:answer.places, s:group)
endfor
for s:indent in s:expected.indents
  call append(s:indent.below, 'x')
  call cursor(s:indent.below + 1, 1)
  normal! ==
  call add(s:answer.indents, indent(s:indent.below + 1))
  execute (s:indent.below + 1) . 'delete _'
endfor
" What `retin check` prints is listed by `:make`.
" From an expression it is read by the global setting, by `:make` by the local.
let &g:errorformat = &l:errorformat
cgetexpr readfile($RETIN_CHECKED)
let s:answer.errors = map(filter(getqflist(), 'v:val.valid'),
      \ '[bufname(v:val.bufnr), v:val.lnum, v:val.col, v:val.type, v:val.text]')
" Neovim starts the server by itself.
let s:answer.started = ''
let s:tries = 0
while has('nvim') && s:tries < 100 && getfsize($RETIN_STARTED) <= 0
  sleep 100m
  let s:tries += 1
endwhile
if filereadable($RETIN_STARTED)
  let s:answer.started = join(readfile($RETIN_STARTED))
endif
call writefile([json_encode(s:answer)], $RETIN_OUT)
qall!
