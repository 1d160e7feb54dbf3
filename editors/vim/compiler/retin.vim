" `:make` runs the checker and lists what it finds.
if exists('current_compiler')
  finish
endif
let current_compiler = 'retin'

let s:kept = &cpoptions
set cpoptions&vim

CompilerSet makeprg=retin\ check\ --color\ never\ %:S
" error[rule]: what is wrong
"     ╭─[ file:line:column ]
CompilerSet errorformat=%Eerror[%*[^]]]:\ %m,%Eerror:\ %m,
      \%Wwarning[%*[^]]]:\ %m,%Wwarning:\ %m,
      \%Inote[%*[^]]]:\ %m,%Inote:\ %m,
      \%Z\ %#╭─[\ %f:%l:%c\ ],
      \%-G%.%#

let &cpoptions = s:kept
unlet s:kept
