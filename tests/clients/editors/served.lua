-- Run by Neovim 0.7 and later, with the real server: opens a job, waits for what
-- is found, completes, renames and formats, and prints what came of it.
vim.o.swapfile = false
vim.cmd('filetype plugin indent on')
vim.cmd('edit ' .. vim.fn.fnameescape(vim.env.RETIN_JOB))
local answer = {}

local function attached()
  local get = vim.lsp.get_clients or vim.lsp.get_active_clients
  return get()[1]
end
local function wait_for(what, is_there)
  if not vim.wait(60000, is_there, 50) then
    answer.missing = what
    vim.fn.writefile({ vim.fn.json_encode(answer) }, vim.env.RETIN_OUT)
    vim.cmd('cquit')
  end
end
wait_for('the server', function()
  return attached() and attached().server_capabilities ~= nil
end)
answer.name = attached().name
wait_for('the findings', function()
  return #vim.diagnostic.get(0) > 20
end)

-- Line and rule of each finding.
answer.findings = {}
for _, found in ipairs(vim.diagnostic.get(0)) do
  table.insert(answer.findings, { found.lnum + 1, found.code or found.user_data.lsp.code })
end

local function caret(pattern)
  vim.fn.cursor(1, 1)
  vim.fn.search(pattern .. '\\zs', 'W')
end
local function ask(method, params)
  local replies = vim.lsp.buf_request_sync(0, method, params, 60000) or {}
  for _, reply in pairs(replies) do
    return reply.result
  end
end
local function here()
  return vim.lsp.util.make_position_params(0, 'utf-16')
end

caret('psu.C1  \\+with S-')
local items = ask('textDocument/completion', here())
items = items.items or items
answer.completed = { items[1].label, items[1].detail }

caret('^  str')
vim.lsp.buf.rename('bare')
wait_for('the new name', function()
  return vim.fn.search('after bare', 'nw') > 0
end)
answer.renamed = vim.fn.getline(vim.fn.search('^  bare', 'nw'))

local line = vim.fn.search('^  fill', 'nw')
vim.fn.setline(line, (vim.fn.getline(line):gsub('fill ', 'fill         ')))
if vim.lsp.buf.format then
  vim.lsp.buf.format({ timeout_ms = 60000 })
else
  vim.lsp.buf.formatting_sync(nil, 60000)
end
answer.formatted = vim.fn.getline(line)
vim.fn.writefile({ vim.fn.json_encode(answer) }, vim.env.RETIN_OUT)
vim.cmd('qall!')
