;;; retin-mode.el --- Edit Retin, the bench record of a restoration -*- lexical-binding: t; -*-

;; Author: The Retin developers
;; Version: 0.1.0
;; Package-Requires: ((emacs "26.1"))
;; Keywords: languages
;; SPDX-License-Identifier: MIT OR Apache-2.0

;;; Commentary:

;; Colours, indents and folds Retin files, and registers the language server
;; `retin serve' with Eglot and with lsp-mode.  README.md says how to install it.
;;
;; The lists of words are made from the tables of the program; see
;; syntax/README.md.

;;; Code:

(require 'cl-lib)

(defgroup retin nil
  "Edit Retin, the bench record of a restoration."
  :group 'languages
  :prefix "retin-")

(defcustom retin-program "retin"
  "The program that checks, formats and serves Retin files."
  :type 'string)

(defcustom retin-indent-offset 2
  "Blanks of indentation a level."
  :type 'natnum
  :safe #'natnump)

(defconst retin-headings
  '(
    ;; generated: headings
    "use" "model" "board" "wiring" "link" "shelf" "packages" "devices" "minutes"
    "job" "found" "plan" "steps" "targets" "log"
    ;; end of generated
    )
  "Words that open a section at the left margin.")

(defconst retin-kinds
  '(
    ;; generated: kinds
    "electrolytic" "bipolar" "tantalum" "polymer" "film" "paper" "ceramic"
    "mica" "mains-capacitor" "trimmer-capacitor" "resistor" "network"
    "thermistor" "varistor" "pot" "trimmer" "fader" "inductor" "transformer"
    "diode" "zener" "bridge" "led" "npn" "pnp" "n-jfet" "p-jfet" "n-mosfet"
    "p-mosfet" "thyristor" "triac" "opamp" "logic" "regulator"
    "negative-regulator" "optocoupler" "chip" "valve" "relay" "switch"
    "connector" "socket" "fuse" "lamp" "battery" "crystal" "motor" "loudspeaker"
    "movement"
    ;; end of generated
    )
  "Kinds of part.")

(defconst retin-families
  '(
    ;; generated: families
    "capacitor" "control" "transistor" "integrated-circuit" "semiconductor"
    "part"
    ;; end of generated
    )
  "Words that stand for several kinds of part.")

(defconst retin-verbs
  '(
    ;; generated: verbs
    "replace" "add" "remove" "keep" "leave" "absent" "photograph" "photographed"
    "discharge" "discharged" "removed" "clean" "cleaned" "repair" "repaired"
    "fit" "fitted" "solder" "soldered" "inspect" "inspected" "measure"
    "measured" "power" "powered" "adjust" "adjusted" "test" "tested" "damaged"
    "approved" "ordered" "arrived" "noted" "corrected" "returned"
    ;; end of generated
    )
  "What is to happen and what was done.")

(defconst retin-sources
  '(
    ;; generated: sources
    "schematic" "list" "silk" "found" "meter" "beep"
    ;; end of generated
    )
  "Where a claim comes from.")

(defconst retin-directions
  '(
    ;; generated: directions
    "north" "south" "east" "west" "north-east" "north-west" "south-east"
    "south-west"
    ;; end of generated
    )
  "Directions on a board.")

(defconst retin-choices
  '(
    ;; generated: choices
    "radial" "axial" "snap-in" "screw-terminal" "surface-mount" "upright"
    "linear" "log" "reverse-log" "splined" "round" "flatted" "slotted"
    "reservoir" "bypass" "coupling" "timing" "filter" "feedback" "NTC" "PTC"
    "germanium" "silicon" "standard" "fast" "ultrafast" "schottky" "signal"
    "socketed" "risky" "low-leakage" "low-impedance" "latching" "plated"
    "unplated" "unpowered" "cold" "warm" "across" "earth" "live" "single-sided"
    "double-sided" "multilayer" "solved" "sides"
    ;; end of generated
    )
  "Words that say a property by themselves.")

(defconst retin-properties
  '(
    ;; generated: properties
    "device" "package" "code" "marked" "life" "inside" "ripple" "esr" "leakage"
    "leads" "row" "supply" "bandwidth" "slew" "noise" "recovery" "reverse"
    "gain" "vbe" "gangs" "travel" "shaft" "room" "headroom" "mains" "unfitted"
    "matched" "maker" "lot" "sampled" "source" "have" "coming" "spare" "pack"
    "bin" "at" "solder-side" "copper" "size" "per" "order" "revision" "built"
    "model" "serial" "owner" "complaint" "agreed" "rate" "margin" "above"
    "below" "expect" "both" "wire"
    ;; end of generated
    )
  "Words that introduce a property.")

(defconst retin-line-words
  '(
    ;; generated: lines
    "changed" "rail" "net" "zone" "section" "go" "accept" "for" "caution"
    ;; end of generated
    )
  "Words that begin a line of their own.")

(defconst retin-joining-words
  '(
    ;; generated: joining
    "on" "because" "by" "joints" "as" "place" "every" "everything" "from" "with"
    "and" "in" "of" "series" "parallel" "except" "to" "after" "lead" "joint"
    "next" "day"
    ;; end of generated
    )
  "Words that join the slots of a line.")

(defvar retin-mode-syntax-table
  (let ((table (make-syntax-table)))
    ;; A word is anything but blanks, commas, brackets and quotes.
    (dolist (sign (string-to-list "!$%&'*+-./:;<=>?@[\\]^_`{|}~#"))
      (modify-syntax-entry sign "_" table))
    (dolist (sign '(?± ?° ?Ω ?Ω ?µ ?μ ?℃))
      (modify-syntax-entry sign "_" table))
    (modify-syntax-entry ?, "." table)
    (modify-syntax-entry ?\( "()" table)
    (modify-syntax-entry ?\) ")(" table)
    ;; Comments and text end with their line: font-lock finds them.
    (modify-syntax-entry ?\" "." table)
    (modify-syntax-entry ?\n " " table)
    table)
  "Syntax table of `retin-mode'.")

(defun retin--words (words)
  "A regular expression for one of WORDS, whole."
  (concat "\\_<" (regexp-opt words t) "\\_>"))

(defconst retin-font-lock-keywords
  (let ((word "[^[:space:],()\"]+"))
    `(;; Prose, text and comments, each to the end of what it is.
      ("^[ \t]*\\(|.*\\)$" 1 font-lock-doc-face t)
      ("\"[^\"\n]*\"" 0 font-lock-string-face)
      (retin--match-comment 0 font-lock-comment-face)
      ;; A heading and its name.
      (,(concat "^" (regexp-opt retin-headings t) "\\_>\\(?:[ \t]+\\(" word "\\)\\)?")
       (1 font-lock-keyword-face) (2 font-lock-function-name-face nil t))
      ;; What a word names.
      (,(concat "^[ \t]+\\_<\\(rail\\|net\\|zone\\|section\\)\\_>[ \t]+\\(" word "\\)")
       (1 font-lock-keyword-face) (2 font-lock-variable-name-face))
      ;; Leads and their nets.
      ("("
       (,(concat "\\(" word "\\)[ \t]+\\(" word "\\)")
        (save-excursion (skip-chars-forward "^)\n") (point)) nil
        (1 font-lock-constant-face) (2 font-lock-variable-name-face)))
      (,(retin--words retin-kinds) . font-lock-type-face)
      (,(retin--words retin-families) . font-lock-type-face)
      (,(retin--words retin-verbs) . font-lock-keyword-face)
      (,(retin--words retin-sources) . font-lock-preprocessor-face)
      (,(retin--words retin-directions) . font-lock-constant-face)
      (,(retin--words retin-choices) . font-lock-constant-face)
      (,(retin--words retin-properties) . font-lock-builtin-face)
      (,(retin--words retin-line-words) . font-lock-keyword-face)
      (,(retin--words retin-joining-words) . font-lock-keyword-face)
      ;; A value that cannot be read.
      ("\\_<\\?\\_>" . font-lock-warning-face)
      ;; The names that begin a line.
      (retin--match-names 1 font-lock-variable-name-face)))
  "What `retin-mode' colours.")

(defun retin--match-comment (limit)
  "Find a comment before LIMIT: a `#' that no word, and no text, goes on with."
  (let (found)
    (while (and (not found) (re-search-forward "#.*$" limit t))
      (let ((start (match-beginning 0)))
        (if (and (or (= start (line-beginning-position))
                     (memq (char-before start) '(?\s ?\t ?, ?\( ?\) ?\")))
                 (not (retin--in-text-p start)))
            (setq found t)
          (goto-char (1+ start)))))
    found))

(defun retin--in-text-p (position)
  "Whether POSITION lies between two quotes of its line, or in prose."
  (save-match-data
    (save-excursion
      (goto-char position)
      (let ((before (buffer-substring-no-properties (line-beginning-position) position)))
        (or (string-match-p "\\`[ \t]*|" before)
            (cl-oddp (cl-count ?\" before)))))))

(defun retin--match-names (limit)
  "Find the names that begin a line before LIMIT, unless a word of ours does."
  (let (found)
    (while (and (not found)
                (re-search-forward
                 "^[ \t]+\\([^][:space:],()\"#|?][^][:space:],()\"]*\\(?:[ \t]*,[ \t]*[^][:space:],()\"]+\\)*\\)"
                 limit t))
      (let ((first (save-match-data
                     (car (split-string (match-string 1) "[ \t]*,")))))
        (unless (save-match-data
                  (string-match-p "\\`\\(?:[0-9]\\{4\\}-[0-9]\\|[0-9]+:[0-9]\\)" first))
          (setq found t))))
    found))

(defun retin--opens-p ()
  "Whether the line at point is one that others lie below."
  (save-excursion
    (beginning-of-line)
    (or (and (looking-at (concat (regexp-opt retin-headings) "\\_>"))
             (not (looking-at "use\\_>")))
        (looking-at (concat "[ \t]+" (regexp-opt retin-kinds) "\\_>"))
        (looking-at "[ \t]+[0-9]\\{4\\}-[0-9][0-9]-[0-9][0-9][ \t]*$")
        (looking-at "[ \t]+next[ \t]+day[ \t]*$"))))

(defun retin-indentation ()
  "Where the line at point may begin, deepest first.
Below a heading, a group or a day a line lies one level deeper; every
other line may stand where the one before it does."
  (save-excursion
    (beginning-of-line)
    (if (not (re-search-backward "[^ \t\n]" nil t))
        0
      (+ (current-indentation) (if (retin--opens-p) retin-indent-offset 0)))))

(defun retin-indent-line ()
  "Indent the line at point; again, and it moves one level to the left."
  (interactive)
  (let* ((wanted (retin-indentation))
         (there (current-indentation))
         (column (if (and (eq this-command last-command) (> there 0))
                     (max 0 (- there retin-indent-offset))
                   wanted)))
    (if (<= (current-column) there)
        (indent-line-to column)
      (save-excursion (indent-line-to column)))))

;;;###autoload
(define-derived-mode retin-mode prog-mode "Retin"
  "Major mode for Retin, the bench record of a restoration."
  (setq-local comment-start "# ")
  (setq-local comment-end "")
  (setq-local comment-start-skip "#+[ \t]*")
  (setq-local indent-tabs-mode nil)
  (setq-local tab-width 2)
  (setq-local indent-line-function #'retin-indent-line)
  ;; What stands deeper may be wanted there: nothing is moved unasked.
  (setq-local electric-indent-inhibit t)
  (setq-local font-lock-defaults '(retin-font-lock-keywords t))
  (setq-local outline-regexp (concat (regexp-opt retin-headings) "\\_>"))
  (setq-local outline-level (lambda () 1))
  (setq-local imenu-generic-expression
              `((nil ,(concat "^" (regexp-opt retin-headings) "\\_>.*$") 0)))
  (setq-local compile-command
              (concat retin-program " check --color never "
                      (if buffer-file-name
                          (shell-quote-argument (file-name-nondirectory buffer-file-name))
                        "."))))

;;;###autoload
(add-to-list 'auto-mode-alist '("\\.retin\\'" . retin-mode))

;; The place of a finding is told on the line below it.
(with-eval-after-load 'compile
  (defvar compilation-error-regexp-alist)
  (defvar compilation-error-regexp-alist-alist)
  (add-to-list 'compilation-error-regexp-alist-alist
               '(retin "^ *╭─\\[ \\(.+?\\):\\([0-9]+\\):\\([0-9]+\\) \\]$" 1 2 3))
  (add-to-list 'compilation-error-regexp-alist 'retin))

(with-eval-after-load 'eglot
  (defvar eglot-server-programs)
  (add-to-list 'eglot-server-programs
               `(retin-mode . (,retin-program "serve"))))

(with-eval-after-load 'lsp-mode
  (declare-function lsp-register-client "ext:lsp-mode")
  (declare-function make-lsp-client "ext:lsp-mode")
  (declare-function lsp-stdio-connection "ext:lsp-mode")
  (declare-function lsp-activate-on "ext:lsp-mode")
  (defvar lsp-language-id-configuration)
  (add-to-list 'lsp-language-id-configuration '(retin-mode . "retin"))
  (lsp-register-client
   (make-lsp-client
    :new-connection (lsp-stdio-connection (lambda () (list retin-program "serve")))
    :activation-fn (lsp-activate-on "retin")
    :server-id 'retin)))

(provide 'retin-mode)

;;; retin-mode.el ends here
