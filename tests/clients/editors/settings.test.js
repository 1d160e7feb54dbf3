// What is only copied into an editor's settings: every one starts `retin serve`.

const assert = require("node:assert/strict");
const { execFileSync } = require("node:child_process");
const fs = require("node:fs");
const path = require("node:path");
const { test } = require("node:test");

const editors = path.join(__dirname, "..", "..", "..", "editors");
const read = (file) => fs.readFileSync(path.join(editors, file), "utf8");
/** JSON with commas before closing brackets, as Sublime Text writes it. */
const relaxed = (text) => JSON.parse(text.replace(/,(\s*[}\]])/g, "$1"));

test("Kate", () => {
  const { servers } = JSON.parse(read("kate/lsp.json"));
  assert.deepEqual(servers.retin.command, ["retin", "serve"]);
  const [, name] = read("kate/retin.xml").match(/<language name="(\w+)"/);
  assert.match(name, new RegExp(servers.retin.highlightingModeRegex));
});

test("Sublime Text", () => {
  const { clients } = relaxed(read("sublime/LSP.sublime-settings"));
  assert.deepEqual(clients.retin.command, ["retin", "serve"]);
  assert.ok(read("sublime/Retin.sublime-syntax").includes(`scope: ${clients.retin.selector}\n`));
  relaxed(read("sublime/Retin.sublime-settings"));
});

test("Helix", () => {
  const program = "import json,sys,tomllib; json.dump(tomllib.load(open(sys.argv[1],'rb')), sys.stdout)";
  const file = path.join(editors, "helix", "languages.toml");
  const settings = JSON.parse(execFileSync("python3", ["-c", program, file], { encoding: "utf8" }));
  const server = settings["language-server"].retin;
  assert.deepEqual([server.command, ...server.args], ["retin", "serve"]);
  const [language] = settings.language;
  assert.deepEqual(language["language-servers"], ["retin"]);
  assert.deepEqual(language["file-types"], ["retin"]);
  assert.equal(settings.grammar[0].name, language.name);
});
