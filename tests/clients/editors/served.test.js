// Real editors with the real server: a job is opened, what is found is seen, a
// word is completed, a name is changed and a line is tidied.

const assert = require("node:assert/strict");
const { execFileSync } = require("node:child_process");
const fs = require("node:fs");
const os = require("node:os");
const path = require("node:path");
const { after, before, test } = require("node:test");
const { program, top } = require("../protocol/talk.js");

const editors = path.join(top, "editors");
let folder;
let binary;

before(() => {
  binary = program();
  folder = fs.realpathSync(fs.mkdtempSync(path.join(os.tmpdir(), "retin-served-")));
  fs.cpSync(path.join(top, "examples"), path.join(folder, "bench"), { recursive: true });
  fs.mkdirSync(path.join(folder, "bin"));
  fs.symlinkSync(binary, path.join(folder, "bin", "retin"));
});
after(() => fs.rmSync(folder, { recursive: true, force: true }));

const job = () => path.join(folder, "bench", "jobs", "26-019.retin");

/** Runs an editor in an empty home and gives what it printed, or wrote. */
function run(name, args, more = {}) {
  const home = path.join(folder, "home");
  const out = path.join(folder, "out.json");
  fs.rmSync(home, { recursive: true, force: true });
  fs.rmSync(out, { force: true });
  fs.mkdirSync(home);
  const env = {
    ...process.env,
    PATH: `${path.join(folder, "bin")}:${process.env.PATH}`,
    HOME: home,
    XDG_CONFIG_HOME: path.join(home, "config"),
    XDG_DATA_HOME: path.join(home, "data"),
    XDG_STATE_HOME: path.join(home, "state"),
    XDG_CACHE_HOME: path.join(home, "cache"),
    RETIN_JOB: job(),
    RETIN_OUT: out,
    LC_ALL: "C.UTF-8",
    ...more,
  };
  const printed = execFileSync(name, args, { env, encoding: "utf8", timeout: 180_000, stdio: ["ignore", "pipe", "pipe"] });
  return JSON.parse(fs.existsSync(out) ? fs.readFileSync(out, "utf8") : printed);
}

/** The lines that are marked with a rule, and the rule. */
function marks() {
  return fs
    .readFileSync(job(), "utf8")
    .split("\n")
    .flatMap((line, index) => {
      const mark = /# finds (.*)$/.exec(line);
      return mark ? mark[1].split(" ").map((rule) => [index + 1, rule]) : [];
    });
}

function edited(answer) {
  assert.match(answer.renamed, /^ {2}bare +remove every electrolytic/);
  assert.equal(answer.formatted, "  fill       fit every electrolytic, bipolar, tantalum  after bare  4h");
}

function neovim(name, runtime) {
  const args = ["-u", "NORC", "-i", "NONE", "--headless", "--cmd", `set runtimepath^=${runtime}`];
  const answer = run(name, [...args, "-c", `luafile ${path.join(__dirname, "served.lua")}`]);
  assert.equal(answer.missing, undefined);
  assert.equal(answer.name, "retin");
  const found = new Set(answer.findings.map(([line, rule]) => `${line} ${rule}`));
  for (const [line, rule] of marks()) assert.ok(found.has(`${line} ${rule}`), `line ${line} has no ${rule}`);
  assert.match(answer.completed[1], /^fits: /);
  edited(answer);
}

test("Neovim of Debian, served", () => {
  neovim("nvim", `${path.join(editors, "vim")},${path.join(editors, "neovim")}`);
});

test("Neovim 0.11, served", () => {
  neovim(path.join(top, "target", "neovim", "bin", "nvim"), `${path.join(editors, "vim")},${path.join(editors, "neovim")}`);
});

test("Emacs with Eglot, served", () => {
  const args = ["-q", "--batch", "-L", path.join(editors, "emacs"), "-l", path.join(__dirname, "served.el")];
  const answer = run("emacs", args);
  assert.equal(answer.missing, undefined);
  // Eglot puts the rule before the text.
  for (const [line, rule] of marks()) {
    assert.ok(answer.findings.some(([at, text]) => at === line && text.includes(`[${rule}]`)), `line ${line} has no ${rule}`);
  }
  assert.match(answer.completed, /^S-/);
  edited(answer);
});
