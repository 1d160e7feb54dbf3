-- What Neovim 0.11 and later start for Retin files. `vim.lsp.config('retin', …)`
-- in your own configuration goes before it.
return {
  cmd = { 'retin', 'serve' },
  filetypes = { 'retin' },
  root_markers = { '.git' },
}
