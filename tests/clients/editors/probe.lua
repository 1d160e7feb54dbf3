-- Run by Neovim 0.11 and later: prints what tree-sitter captures at each place,
-- how lines fold, and what the language server is.
local function read(variable)
  return table.concat(vim.fn.readfile(vim.env[variable]), '\n')
end

vim.cmd('filetype plugin indent on')
vim.cmd.edit(vim.env.RETIN_EXAMPLE)
local expected = vim.json.decode(read('RETIN_EXPECTED'))
local answer = { filetype = vim.bo.filetype, places = {}, indents = {}, folds = {} }
local ok, parser = pcall(vim.treesitter.get_parser, 0, 'retin')
answer.parser = ok and parser ~= nil
parser:parse(true)
for _, place in ipairs(expected.places) do
  local line = vim.fn.getline(place.line)
  local column = line:find(place.word, 1, true) - 1
  local captures = vim.treesitter.get_captures_at_pos(0, place.line - 1, column)
  local last = captures[#captures]
  table.insert(answer.places, last and last.capture or 'none')
end
answer.highlighted = vim.treesitter.highlighter.active[vim.api.nvim_get_current_buf()] ~= nil
vim.wo.foldmethod = 'expr'
vim.wo.foldexpr = 'v:lua.vim.treesitter.foldexpr()'
vim.cmd('normal! zx')
for line = 1, vim.fn.line('$') do
  table.insert(answer.folds, vim.fn.foldlevel(line))
end
answer.server = { enabled = vim.lsp.is_enabled('retin'), cmd = vim.lsp.config.retin.cmd }
vim.wait(10000, function()
  return vim.fn.getfsize(vim.env.RETIN_STARTED) > 0
end)
answer.started = vim.fn.join(vim.fn.readfile(vim.env.RETIN_STARTED))
vim.fn.writefile({ vim.json.encode(answer) }, vim.env.RETIN_OUT)
vim.cmd('qall!')
