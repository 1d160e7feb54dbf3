" Retin: a job language for restoring old electronic units.
"
" The lists of words are made from the tables of the program; see
" syntax/README.md.
if exists('b:current_syntax')
  finish
endif

" A word is anything but blanks, commas, brackets and quotes.
syntax iskeyword 33,35-39,42-43,45-126,161-255
syntax sync minlines=1

" A file is read line by line; the margin tells a heading from the rest.
syntax match retinHeadingLine /^[^ \t#|].*$/ contains=retinHeading,retinJoining,@retinPieces
syntax match retinLine /^[ \t]\+[^ \t#|].*$/ contains=retinName,retinNaming,retinPins,@retinWords,@retinPieces
syntax match retinProse /^[ \t]*\zs|.*$/ contains=@Spell
syntax match retinComment /\%(^\|[ \t,()"]\)\@1<=#.*$/ contains=@Spell

syntax cluster retinPieces contains=retinText,retinUnclosed,retinComment,retinNumber,retinMoment,retinPitch,retinDevice,retinUnknown
syntax cluster retinWords contains=retinKind,retinFamily,retinVerb,retinSource,retinDirection,retinChoice,retinProperty,retinLineWord,retinJoining

" The names that begin a line, and those that a word introduces.
syntax match retinName contained /^[ \t]\+\zs[^ \t,()"#|?0-9][^ \t,()"]*\%([ \t]*,[ \t]*[^ \t,()"]\+\)*/
syntax match retinName contained /^[ \t]\+\zs[+-][0-9][^ \t,()"]*/
syntax match retinNaming contained /^[ \t]\+\zs\%(rail\|net\|zone\|section\)[ \t]\+[^ \t,()"#]\+/ contains=retinLineWord,retinNamed
syntax match retinNamed contained /[ \t]\@1<=[^ \t,()"]\+$/
syntax match retinSectionName contained /[^ \t,()"#]\+/

syntax region retinPins contained oneline matchgroup=Delimiter start=/(/ end=/)/ contains=retinPin,retinText
syntax match retinPin contained /[^ \t,()"]\+[ \t]\+[^ \t,()"]\+/ contains=retinLead
syntax match retinLead contained /[^ \t,()"]\+\ze[ \t]/

syntax match retinText contained /"[^"]*"/ contains=@Spell
syntax match retinUnclosed contained /"[^"]*$/

" A number with its unit, touching or apart.
syntax match retinNumber contained /\%([ \t,(]\)\@1<=[+\-±]*\.\?[0-9][^ \t,()"]*/ nextgroup=retinUnit skipwhite
syntax match retinDevice contained /\%([ \t,(]\)\@1<=[0-9][A-Z]\{1,3}[0-9]\{2,}[^ \t,()"]*/
syntax match retinMoment contained /\%([ \t]\)\@1<=\d\{4}-\d\d-\d\d\%([ \t]\|$\)\@=/
syntax match retinMoment contained /\%([ \t]\)\@1<=\d\{1,2}:\d\d\%([ \t]\|$\)\@=/
syntax match retinPitch contained /\%([ \t,]\)\@1<=p\d\+\%(\.\d\+\)\?\%([ \t,(]\|$\)\@=/
syntax match retinUnknown contained /\%([ \t,]\)\@1<=?\%([ \t,]\|$\)\@=/

" generated: headings as syntax keyword retinHeading contained nextgroup=retinSectionName skipwhite
" end of generated

" generated: kinds as syntax keyword retinKind contained
" end of generated

" generated: families as syntax keyword retinFamily contained
" end of generated

" generated: verbs as syntax keyword retinVerb contained
" end of generated

" generated: sources as syntax keyword retinSource contained
" end of generated

" generated: directions as syntax keyword retinDirection contained
" end of generated

" generated: choices as syntax keyword retinChoice contained
" end of generated

" generated: properties as syntax keyword retinProperty contained
" end of generated

" generated: lines as syntax keyword retinLineWord contained
" end of generated

" generated: joining as syntax keyword retinJoining contained
" end of generated

" generated: units as syntax keyword retinUnit contained
" end of generated

highlight default link retinHeading Keyword
highlight default link retinSectionName Title
highlight default link retinName Identifier
highlight default link retinNamed Identifier
highlight default link retinKind Type
highlight default link retinFamily Type
highlight default link retinVerb Statement
highlight default link retinSource Label
highlight default link retinDirection Constant
highlight default link retinChoice Constant
highlight default link retinProperty StorageClass
highlight default link retinLineWord Keyword
highlight default link retinJoining Operator
highlight default link retinLead Special
highlight default link retinPin Identifier
highlight default link retinNumber Number
highlight default link retinUnit Number
highlight default link retinPitch Number
highlight default link retinMoment Number
highlight default link retinDevice Type
highlight default link retinUnknown Todo
highlight default link retinText String
highlight default link retinUnclosed Error
highlight default link retinProse String
highlight default link retinComment Comment

let b:current_syntax = 'retin'
