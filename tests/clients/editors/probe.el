;;; probe.el --- Prints faces and indentation of the example -*- lexical-binding: t; -*-

;;; Commentary:

;; Run by Emacs in batch: for each place of expected.json its face, for each
;; line the indentation of one below it, as JSON.

;;; Code:

(require 'json)
(require 'package)
(package-initialize)
(require 'retin-mode)
;; Both are loaded behind the mode, as from a hook.
(require 'eglot)
(require 'lsp-mode)
(require 'compile)

(let* ((expected (with-temp-buffer
                   (insert-file-contents (getenv "RETIN_EXPECTED"))
                   (json-parse-buffer)))
       places indents)
  (find-file (getenv "RETIN_EXAMPLE"))
  (font-lock-ensure)
  (seq-doseq (place (gethash "places" expected))
    (goto-char (point-min))
    (forward-line (1- (gethash "line" place)))
    (search-forward (gethash "word" place) (line-end-position))
    (push (format "%s" (get-text-property (match-beginning 0) 'face)) places))
  (seq-doseq (indent (gethash "indents" expected))
    (goto-char (point-min))
    (forward-line (1- (gethash "below" indent)))
    (end-of-line)
    (insert "\nx")
    (beginning-of-line)
    (setq this-command 'ignore)
    (indent-according-to-mode)
    (push (current-indentation) indents)
    (delete-region (line-beginning-position 0) (line-end-position 0))
    (set-buffer-modified-p nil)
    (revert-buffer t t))
  (princ (json-serialize
          `((mode . ,(symbol-name major-mode))
            (places . ,(vconcat (nreverse places)))
            (indents . ,(vconcat (nreverse indents)))
            (eglot . ,(vconcat (cdr (assq 'retin-mode eglot-server-programs))))
            (lsp . ,(if (gethash 'retin lsp-clients) "known" "unknown"))
            (language . ,(alist-get 'retin-mode lsp-language-id-configuration))
            (compilation . ,(if (assq 'retin compilation-error-regexp-alist-alist)
                                "known" "unknown"))))))

;;; probe.el ends here
