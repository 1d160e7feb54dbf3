" Retin: what editing a job file needs.
if exists('b:did_ftplugin')
  finish
endif
let b:did_ftplugin = 1

setlocal commentstring=#\ %s comments=:#,:\|
setlocal expandtab shiftwidth=2 softtabstop=2
" Prose goes on with its bar, a comment with its sign.
setlocal formatoptions-=t formatoptions+=croql
setlocal foldmethod=indent foldlevel=9
if exists(':compiler') == 2
  compiler retin
endif

let b:undo_ftplugin = 'setlocal commentstring< comments< expandtab< shiftwidth<'
      \ . ' softtabstop< formatoptions< foldmethod< foldlevel< makeprg< errorformat<'
