-- Retin: file type, highlighting and the language server.
--
-- Works from Neovim 0.7 on. `vim.g.retin_command` names another program, for
-- example { '/opt/retin/bin/retin', 'serve' }; `vim.g.retin_serve = false`
-- leaves the server out.
if vim.g.loaded_retin then
  return
end
vim.g.loaded_retin = true

local command = vim.g.retin_command or { 'retin', 'serve' }
local group = vim.api.nvim_create_augroup('retin', {})

-- Tree-sitter colours where its parser is installed, the syntax file elsewhere.
local function colour(buffer)
  if vim.treesitter.start then
    pcall(vim.treesitter.start, buffer, 'retin')
  end
end

-- The nearest folder above the file that holds .git; else the file's own.
local function root_of(path)
  local folder = vim.fn.fnamemodify(path, ':p:h')
  local marked = vim.fn.finddir('.git', folder .. ';')
  if marked == '' then
    marked = vim.fn.findfile('.git', folder .. ';')
  end
  return marked == '' and folder or vim.fn.fnamemodify(marked, ':p:h:h')
end

-- Neovim 0.7: one client a folder, attached by hand.
local clients = {}
local function attach(buffer, root)
  if not clients[root] then
    clients[root] = vim.lsp.start_client({
      name = 'retin',
      cmd = command,
      root_dir = root,
      on_exit = function()
        clients[root] = nil
      end,
    })
  end
  if clients[root] then
    vim.lsp.buf_attach_client(buffer, clients[root])
  end
end

local function serve(buffer)
  if vim.fn.executable(command[1]) == 0 then
    return
  end
  local root = root_of(vim.api.nvim_buf_get_name(buffer))
  if vim.lsp.start then
    vim.lsp.start({ name = 'retin', cmd = command, root_dir = root }, { bufnr = buffer })
  else
    attach(buffer, root)
  end
end

vim.api.nvim_create_autocmd('FileType', {
  group = group,
  pattern = 'retin',
  callback = function(event)
    colour(event.buf)
    if not vim.lsp.enable and vim.g.retin_serve ~= false then
      serve(event.buf)
    end
  end,
})

-- Neovim 0.11 and later start what lsp/retin.lua says.
if vim.lsp.enable and vim.g.retin_serve ~= false then
  if vim.g.retin_command then
    vim.lsp.config('retin', { cmd = command })
  end
  vim.lsp.enable('retin')
end
