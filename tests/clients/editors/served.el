;;; served.el --- Tries the server in Emacs -*- lexical-binding: t; -*-

;;; Commentary:

;; Run by Emacs in batch, with the real server: opens a job through Eglot, waits
;; for what is found, completes, renames and formats, and prints what came of it.

;;; Code:

(require 'json)
(require 'package)
(package-initialize)
(require 'retin-mode)
(require 'eglot)
(require 'flymake)

(setq make-backup-files nil
      auto-save-default nil
      eglot-sync-connect 60
      eglot-connect-timeout 60
      inhibit-message t)

(defun served-wait (what is-there)
  "Wait until IS-THERE says so; end the program with WHAT is missing."
  (let ((tries 0))
    (while (not (funcall is-there))
      (when (> (setq tries (1+ tries)) 600)
        (princ (json-serialize `((missing . ,what))))
        (kill-emacs 1))
      (accept-process-output nil 0.1))))

(find-file (getenv "RETIN_JOB"))
(apply #'eglot (eglot--guess-contact))
(let (findings completed renamed formatted)
  (served-wait "the findings"
               (lambda ()
                 (flymake-start)
                 (> (length (flymake-diagnostics)) 20)))
  (dolist (found (flymake-diagnostics))
    (push (vector (line-number-at-pos (flymake-diagnostic-beg found))
                  (flymake-diagnostic-text found))
          findings))

  (goto-char (point-min))
  (re-search-forward "psu\\.C1 +with S-")
  (let* ((capf (eglot-completion-at-point))
         (items (all-completions "S-" (nth 2 capf)))
         (sort (alist-get 'display-sort-function
                          (cdr (completion-metadata "S-" (nth 2 capf) nil)))))
    (setq completed (substring-no-properties
                     (car (if sort (funcall sort items) items)))))

  (goto-char (point-min))
  (re-search-forward "^  str")
  (eglot-rename "bare")
  (goto-char (point-min))
  (re-search-forward "^  bare.*$")
  (setq renamed (match-string-no-properties 0))

  (goto-char (point-min))
  (re-search-forward "^  fill")
  (insert "        ")
  (eglot-format-buffer)
  (goto-char (point-min))
  (re-search-forward "^  fill.*$")
  (setq formatted (match-string-no-properties 0))
  (princ (json-serialize `((findings . ,(vconcat findings))
                           (completed . ,completed)
                           (renamed . ,renamed)
                           (formatted . ,formatted))))
  (set-buffer-modified-p nil)
  (eglot-shutdown (eglot-current-server)))

;;; served.el ends here
