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
syntax keyword retinHeading contained nextgroup=retinSectionName skipwhite use
syntax keyword retinHeading contained nextgroup=retinSectionName skipwhite model
syntax keyword retinHeading contained nextgroup=retinSectionName skipwhite board
syntax keyword retinHeading contained nextgroup=retinSectionName skipwhite wiring
syntax keyword retinHeading contained nextgroup=retinSectionName skipwhite link
syntax keyword retinHeading contained nextgroup=retinSectionName skipwhite shelf
syntax keyword retinHeading contained nextgroup=retinSectionName skipwhite packages
syntax keyword retinHeading contained nextgroup=retinSectionName skipwhite devices
syntax keyword retinHeading contained nextgroup=retinSectionName skipwhite minutes
syntax keyword retinHeading contained nextgroup=retinSectionName skipwhite job
syntax keyword retinHeading contained nextgroup=retinSectionName skipwhite found
syntax keyword retinHeading contained nextgroup=retinSectionName skipwhite plan
syntax keyword retinHeading contained nextgroup=retinSectionName skipwhite steps
syntax keyword retinHeading contained nextgroup=retinSectionName skipwhite targets
syntax keyword retinHeading contained nextgroup=retinSectionName skipwhite log
" end of generated

" generated: kinds as syntax keyword retinKind contained
syntax keyword retinKind contained electrolytic bipolar tantalum polymer film
syntax keyword retinKind contained paper ceramic mica mains-capacitor
syntax keyword retinKind contained trimmer-capacitor resistor network thermistor
syntax keyword retinKind contained varistor pot trimmer fader inductor
syntax keyword retinKind contained transformer diode zener bridge led npn pnp
syntax keyword retinKind contained n-jfet p-jfet n-mosfet p-mosfet thyristor
syntax keyword retinKind contained triac opamp logic regulator
syntax keyword retinKind contained negative-regulator optocoupler chip valve
syntax keyword retinKind contained relay switch connector socket fuse lamp
syntax keyword retinKind contained battery crystal motor loudspeaker movement
" end of generated

" generated: families as syntax keyword retinFamily contained
syntax keyword retinFamily contained capacitor control transistor
syntax keyword retinFamily contained integrated-circuit semiconductor part
" end of generated

" generated: verbs as syntax keyword retinVerb contained
syntax keyword retinVerb contained replace add remove keep leave absent
syntax keyword retinVerb contained photograph photographed discharge discharged
syntax keyword retinVerb contained removed clean cleaned repair repaired fit
syntax keyword retinVerb contained fitted solder soldered inspect inspected
syntax keyword retinVerb contained measure measured power powered adjust
syntax keyword retinVerb contained adjusted test tested damaged approved ordered
syntax keyword retinVerb contained arrived noted corrected returned
" end of generated

" generated: sources as syntax keyword retinSource contained
syntax keyword retinSource contained schematic list silk found meter beep
" end of generated

" generated: directions as syntax keyword retinDirection contained
syntax keyword retinDirection contained north south east west north-east
syntax keyword retinDirection contained north-west south-east south-west
" end of generated

" generated: choices as syntax keyword retinChoice contained
syntax keyword retinChoice contained radial axial snap-in screw-terminal
syntax keyword retinChoice contained surface-mount upright linear log
syntax keyword retinChoice contained reverse-log splined round flatted slotted
syntax keyword retinChoice contained reservoir bypass coupling timing filter
syntax keyword retinChoice contained feedback NTC PTC germanium silicon standard
syntax keyword retinChoice contained fast ultrafast schottky signal socketed
syntax keyword retinChoice contained risky low-leakage low-impedance latching
syntax keyword retinChoice contained plated unplated unpowered cold warm across
syntax keyword retinChoice contained earth live single-sided double-sided
syntax keyword retinChoice contained multilayer solved sides
" end of generated

" generated: properties as syntax keyword retinProperty contained
syntax keyword retinProperty contained device package code marked life inside
syntax keyword retinProperty contained ripple esr leakage leads row supply
syntax keyword retinProperty contained bandwidth slew noise recovery reverse
syntax keyword retinProperty contained gain vbe gangs travel shaft room headroom
syntax keyword retinProperty contained mains unfitted matched maker lot sampled
syntax keyword retinProperty contained source have coming spare pack bin at
syntax keyword retinProperty contained solder-side copper size per order
syntax keyword retinProperty contained revision built model serial owner
syntax keyword retinProperty contained complaint agreed rate margin above below
syntax keyword retinProperty contained expect both wire
" end of generated

" generated: lines as syntax keyword retinLineWord contained
syntax keyword retinLineWord contained changed rail net zone section go accept
syntax keyword retinLineWord contained for caution
" end of generated

" generated: joining as syntax keyword retinJoining contained
syntax keyword retinJoining contained on because by joints as place every
syntax keyword retinJoining contained everything from with and in of series
syntax keyword retinJoining contained parallel except to after lead joint next
syntax keyword retinJoining contained day
" end of generated

" generated: units as syntax keyword retinUnit contained
syntax keyword retinUnit contained % A AED AFN AH ALL AMD AOA ARS AUD AWG AZN Ah
syntax keyword retinUnit contained BAM BBD BDT BGN BHD BIF BMD BND BOB BRL BSD
syntax keyword retinUnit contained BTN BWP BYN BZD C/W CAD CDF CHF CLP CNY COP
syntax keyword retinUnit contained CRC CUC CUP CVE CZK DJF DKK DOP DZD EGP ERN
syntax keyword retinUnit contained ETB EUR F FJD FKP GA GAH GAh GBP GEL GF GH
syntax keyword retinUnit contained GHS GHz GIP GJ GMD GNF GOHM GOHMS GOhm GOhms
syntax keyword retinUnit contained GTQ GV GVA GVAC GVDC GVRMS GVac GVdc GVrms
syntax keyword retinUnit contained GV~ GW GYD Gm Gohm Gohms Gs Gsec GΩ GΩ H HKD
syntax keyword retinUnit contained HNL HRK HTG HUF Hz IDR ILS INR IQD IRR ISK J
syntax keyword retinUnit contained JMD JOD JPY K/W KA KAH KAh KES KF KGS KH KHR
syntax keyword retinUnit contained KHz KJ KMF KOHM KOHMS KOhm KOhms KPW KRW KV
syntax keyword retinUnit contained KVA KVAC KVDC KVRMS KVac KVdc KVrms KV~ KW
syntax keyword retinUnit contained KWD KYD KZT Km Kohm Kohms Ks Ksec KΩ KΩ LAK
syntax keyword retinUnit contained LBP LKR LRD LSL LYD MA MAD MAH MAh MDL MEG MF
syntax keyword retinUnit contained MFD MFd MGA MH MHz MJ MKD MMF MMFD MMK MNT
syntax keyword retinUnit contained MOHM MOHMS MOP MOhm MOhms MRU MUR MV MVA MVAC
syntax keyword retinUnit contained MVDC MVR MVRMS MVac MVdc MVrms MV~ MW MWK MXN
syntax keyword retinUnit contained MYR MZN Meg Mf Mfd Mm Mmfd Mohm Mohms Ms Msec
syntax keyword retinUnit contained MΩ MΩ NAD NF NGN NIO NOK NPR NZD OHM OHMS OMR
syntax keyword retinUnit contained Ohm Ohms PAB PEN PF PGK PHP PKR PLN PYG QAR
syntax keyword retinUnit contained RON RSD RUB RWF SAR SBD SCR SDG SEK SGD SHP
syntax keyword retinUnit contained SLE SLL SOS SRD SSP STN SVC SYP SZL THB TJS
syntax keyword retinUnit contained TMT TND TOP TRY TTD TWD TZS UAH UF UFD UGX
syntax keyword retinUnit contained USD UUF UYU UZS V V/us V/µs V/μs VA VAC VDC
syntax keyword retinUnit contained VED VES VND VRMS VUV Vac Vdc Vrms V~ W WST
syntax keyword retinUnit contained XAF XCD XCG XOF XPF YER ZAR ZMW ZWG ZWL cA
syntax keyword retinUnit contained cAH cAh cF cH cHz cJ cOHM cOHMS cOhm cOhms cV
syntax keyword retinUnit contained cVA cVAC cVDC cVRMS cVac cVdc cVrms cV~ cW cm
syntax keyword retinUnit contained cohm cohms cs csec cΩ cΩ dB dBV dBu degC h
syntax keyword retinUnit contained hour hours hr hrs inch inches kA kAH kAh kF
syntax keyword retinUnit contained kH kHz kJ kOHM kOHMS kOhm kOhms kV kVA kVAC
syntax keyword retinUnit contained kVDC kVRMS kVac kVdc kVrms kV~ kW km kohm
syntax keyword retinUnit contained kohms ks ksec kΩ kΩ m mA mAH mAh mF mFd mH
syntax keyword retinUnit contained mHz mJ mOHM mOHMS mOhm mOhms mV mVA mVAC mVDC
syntax keyword retinUnit contained mVRMS mVac mVdc mVrms mV~ mW meg mf mfd min
syntax keyword retinUnit contained mm mmF mmf mmfd mohm mohms ms msec mΩ mΩ nA
syntax keyword retinUnit contained nAH nAh nF nH nHz nJ nOHM nOHMS nOhm nOhms nV
syntax keyword retinUnit contained nVA nVAC nVDC nVRMS nVac nVdc nVrms nV~ nW nf
syntax keyword retinUnit contained nm nohm nohms ns nsec nΩ nΩ ohm ohms pA pAH
syntax keyword retinUnit contained pAh pF pH pHz pJ pOHM pOHMS pOhm pOhms pV pVA
syntax keyword retinUnit contained pVAC pVDC pVRMS pVac pVdc pVrms pV~ pW
syntax keyword retinUnit contained percent pf pm pohm pohms ppm ppm/C ppm/K
syntax keyword retinUnit contained ppm/°C ps psec pΩ pΩ s sec uA uAH uAh uF uFd
syntax keyword retinUnit contained uH uHz uJ uOHM uOHMS uOhm uOhms uV uVA uVAC
syntax keyword retinUnit contained uVDC uVRMS uVac uVdc uVrms uV~ uW uf ufd um
syntax keyword retinUnit contained uohm uohms us usec uuF uuf uΩ uΩ °C °C/W µA
syntax keyword retinUnit contained µAH µAh µF µH µHz µJ µOHM µOHMS µOhm µOhms µV
syntax keyword retinUnit contained µVA µVAC µVDC µVRMS µVac µVdc µVrms µV~ µW µm
syntax keyword retinUnit contained µohm µohms µs µsec µµF µΩ µΩ ºC Ω μA μAH μAh
syntax keyword retinUnit contained μF μH μHz μJ μOHM μOHMS μOhm μOhms μV μVA
syntax keyword retinUnit contained μVAC μVDC μVRMS μVac μVdc μVrms μV~ μW μm
syntax keyword retinUnit contained μohm μohms μs μsec μΩ μμF μΩ ℃ Ω
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
