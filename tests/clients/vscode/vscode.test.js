// The extension of Visual Studio Code: what it contributes, and its package.

const assert = require("node:assert/strict");
const { execFileSync, spawn } = require("node:child_process");
const fs = require("node:fs");
const os = require("node:os");
const path = require("node:path");
const { before, test } = require("node:test");
const { setTimeout: delay } = require("node:timers/promises");

const top = path.join(__dirname, "..", "..", "..");
const folder = path.join(top, "editors", "vscode");
const manifest = JSON.parse(fs.readFileSync(path.join(folder, "package.json"), "utf8"));
const editors = path.join(__dirname, "..", "editors");

before(() => execFileSync("npm", ["ci", "--silent"], { cwd: folder, stdio: "pipe" }));

/** JSON with comments on lines of their own. */
function commented(file) {
  const text = fs.readFileSync(path.join(folder, file), "utf8");
  return JSON.parse(text.replace(/^\s*\/\/.*$/gm, ""));
}

/** What the problem matcher finds in a text. */
function problems(text) {
  const [matcher] = manifest.contributes.problemMatchers;
  const [first, second] = matcher.pattern.map((pattern) => ({ ...pattern, regexp: new RegExp(pattern.regexp) }));
  const lines = text.split("\n");
  return lines.flatMap((line, index) => {
    const told = first.regexp.exec(line);
    const placed = told && second.regexp.exec(lines[index + 1] ?? "");
    if (!placed) return [];
    return [
      {
        severity: told[first.severity],
        code: told[first.code],
        message: told[first.message],
        file: placed[second.file],
        line: Number(placed[second.line]),
        column: Number(placed[second.column]),
      },
    ];
  });
}

test("the problem matcher reads what `retin check` prints", () => {
  assert.deepEqual(problems(fs.readFileSync(path.join(editors, "checked.txt"), "utf8")), [
    {
      severity: "error",
      code: "value-mismatch",
      message: "E-100-25 is 100uF, and if.C3 asks for 47uF",
      file: "jobs/26-007.retin",
      line: 9,
      column: 22,
    },
    {
      severity: "warning",
      code: "polarity-reversed",
      message: "if.C2 would sit the wrong way round",
      file: "models/rx3.retin",
      line: 10,
      column: 29,
    },
  ]);
});

test("it finds every finding of the command's own snapshot", () => {
  const snapshot = path.join(top, "crates/retin-cli/tests/snapshots/check__mistakes_are_told_with_their_lines.snap");
  const text = fs.readFileSync(snapshot, "utf8");
  const told = text.split("\n").filter((line) => /^(error|warning|note)\[/.test(line));
  assert.ok(told.length > 2);
  assert.equal(problems(text).length, told.length);
});

test("a line below a group, a heading or a day is indented more", () => {
  const { indentationRules } = commented("language-configuration.json");
  const opens = new RegExp(indentationRules.increaseIndentPattern);
  const lines = fs.readFileSync(path.join(editors, "example.retin"), "utf8").split("\n");
  const expected = JSON.parse(fs.readFileSync(path.join(editors, "expected.json"), "utf8"));
  for (const { below, is } of expected.indents) {
    const line = lines[below - 1];
    const indent = line.length - line.trimStart().length + (opens.test(line) ? 2 : 0);
    assert.equal(indent, is, line);
  }
});

test("a double click takes a whole word of Retin", () => {
  const words = new RegExp(commented("language-configuration.json").wordPattern, "g");
  assert.deepEqual("  C1  10uF (+ +15, - psu.GND) \"a b\"".match(words), ["C1", "10uF", "+", "+15", "-", "psu.GND", "a", "b"]);
});

test("the extension starts `retin serve`, with no other argument", async () => {
  const home = fs.mkdtempSync(path.join(os.tmpdir(), "retin-vscode-"));
  const program = path.join(home, "retin");
  const started = path.join(home, "started");
  fs.writeFileSync(program, '#!/bin/sh\necho "$@" > "$RETIN_STARTED"\nexec cat > /dev/null\n', { mode: 0o755 });
  const child = spawn(process.execPath, [path.join(__dirname, "activate.js"), program], {
    env: { ...process.env, RETIN_STARTED: started },
    stdio: "ignore",
  });
  const told = () => fs.existsSync(started) && fs.statSync(started).size > 0;
  for (let tries = 0; tries < 100 && !told(); tries += 1) await delay(100);
  child.kill();
  assert.ok(told(), "the program was not started");
  assert.equal(fs.readFileSync(started, "utf8"), "serve\n");
  fs.rmSync(home, { recursive: true });
});

test("one command packs the extension with the grammar of the language", () => {
  execFileSync("npm", ["run", "--silent", "package"], { cwd: folder, stdio: "pipe" });
  const packed = fs.readFileSync(path.join(folder, "retin.vsix"), "latin1");
  for (const file of [
    "extension/package.json",
    "extension/extension.js",
    "extension/snippets.json",
    "extension/language-configuration.json",
    "extension/syntaxes/retin.tmLanguage.json",
    "extension/node_modules/vscode-languageclient/package.json",
  ]) {
    assert.ok(packed.includes(file), `${file} is not in the package`);
  }
  assert.equal(
    fs.readFileSync(path.join(folder, "syntaxes", "retin.tmLanguage.json"), "utf8"),
    fs.readFileSync(path.join(top, "syntax", "retin.tmLanguage.json"), "utf8"),
  );
});
