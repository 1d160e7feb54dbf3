// Real editors, without a window, on one example: what they colour, how they
// indent, and how they list what `retin check` prints.

const assert = require("node:assert/strict");
const { execFileSync } = require("node:child_process");
const fs = require("node:fs");
const os = require("node:os");
const path = require("node:path");
const { test } = require("node:test");

const top = path.join(__dirname, "..", "..", "..");
const editors = path.join(top, "editors");
const expected = JSON.parse(fs.readFileSync(path.join(__dirname, "expected.json"), "utf8"));

/** What each class of words is called in Vim. */
const GROUPS = {
  heading: "retinHeading",
  section: "retinSectionName",
  kind: "retinKind",
  name: ["retinName", "retinPin", "retinNamed"],
  property: "retinProperty",
  choice: "retinChoice",
  direction: "retinDirection",
  source: "retinSource",
  verb: "retinVerb",
  line: "retinLineWord",
  joining: "retinJoining",
  number: ["retinNumber", "retinMoment"],
  unknown: "retinUnknown",
  text: "retinText",
  prose: "retinProse",
  comment: "retinComment",
};

/** And in Emacs. */
const FACES = {
  heading: "font-lock-keyword-face",
  section: "font-lock-function-name-face",
  kind: "font-lock-type-face",
  name: "font-lock-variable-name-face",
  property: "font-lock-builtin-face",
  choice: "font-lock-constant-face",
  direction: "font-lock-constant-face",
  source: "font-lock-preprocessor-face",
  verb: "font-lock-keyword-face",
  line: "font-lock-keyword-face",
  joining: "font-lock-keyword-face",
  number: "nil",
  unknown: "font-lock-warning-face",
  text: "font-lock-string-face",
  prose: "font-lock-doc-face",
  comment: "font-lock-comment-face",
};

/** And in Kate: its name for what stands there. */
const STYLES = {
  heading: "Heading",
  section: "Section",
  kind: "Kind",
  name: "Name",
  property: "Property",
  choice: "Choice",
  direction: "Choice",
  source: "Source",
  verb: "Verb",
  line: "Joining",
  joining: "Joining",
  number: ["Number", "Moment"],
  unknown: "Unknown",
  text: "Text",
  prose: "Prose",
  comment: "Comment",
};

/** Runs a program in an empty home; a missing one fails with how to get it. */
function run(program, args, more = {}) {
  const home = fs.mkdtempSync(path.join(os.tmpdir(), "retin-editors-"));
  const out = path.join(home, "out.json");
  // Stands in for the program: tells how it was started, and answers nothing.
  const stand = path.join(home, "bin", "retin");
  fs.mkdirSync(path.dirname(stand));
  fs.writeFileSync(stand, '#!/bin/sh\necho "$@" > "$RETIN_STARTED"\nexec cat > /dev/null\n', { mode: 0o755 });
  const env = {
    ...process.env,
    PATH: `${path.dirname(stand)}:${process.env.PATH}`,
    RETIN_STARTED: path.join(home, "started"),
    HOME: home,
    XDG_CONFIG_HOME: path.join(home, "config"),
    XDG_DATA_HOME: path.join(home, "data"),
    XDG_STATE_HOME: path.join(home, "state"),
    RETIN_EXAMPLE: path.join(__dirname, "example.retin"),
    RETIN_EXPECTED: path.join(__dirname, "expected.json"),
    RETIN_CHECKED: path.join(__dirname, "checked.txt"),
    RETIN_OUT: out,
    LC_ALL: "C.UTF-8",
    ...more,
  };
  try {
    const printed = execFileSync(program, args, { env, encoding: "utf8", timeout: 120000, stdio: ["ignore", "pipe", "pipe"] });
    return fs.existsSync(out) ? fs.readFileSync(out, "utf8") : printed;
  } catch (error) {
    if (error.code === "ENOENT") {
      assert.fail(`${program} is not there; sh tests/clients/install.sh installs it`);
    }
    throw error;
  } finally {
    fs.rmSync(home, { recursive: true, force: true });
  }
}

/** Compares what an editor calls each place with what it is. */
function compare(places, names) {
  const wrong = expected.places
    .map((place, index) => ({ place, found: places[index], wanted: [names[place.is]].flat() }))
    .filter(({ found, wanted }) => !wanted.includes(found))
    .map(({ place, found, wanted }) => `${place.line}: ${place.word} is ${found}, not ${wanted}`);
  assert.deepEqual(wrong, []);
}

function vimLike(program, args, started) {
  const answer = JSON.parse(run(program, args));
  assert.equal(answer.started, started);
  assert.equal(answer.filetype, "retin");
  compare(answer.places, GROUPS);
  assert.deepEqual(answer.indents, expected.indents.map((indent) => indent.is));
  assert.deepEqual(answer.errors, [
    ["jobs/26-007.retin", 9, 22, "E", "E-100-25 is 100uF, and if.C3 asks for 47uF"],
    ["models/rx3.retin", 10, 29, "W", "if.C2 would sit the wrong way round"],
  ]);
}

const probe = path.join(__dirname, "probe.vim");
const vimFolder = path.join(editors, "vim");

test("Vim", () => {
  vimLike("vim", ["-Nu", "NONE", "-es", "--cmd", `set runtimepath^=${vimFolder}`, "-S", probe], "");
});

test("Neovim of Debian", () => {
  const neovim = path.join(editors, "neovim");
  vimLike("nvim", ["-u", "NORC", "--headless", "--cmd", `set runtimepath^=${vimFolder},${neovim}`, "-S", probe], "serve");
});

test("Emacs", () => {
  const folder = path.join(editors, "emacs");
  const answer = JSON.parse(run("emacs", ["-q", "--batch", "-L", folder, "-l", path.join(__dirname, "probe.el")]));
  assert.equal(answer.mode, "retin-mode");
  compare(answer.places, FACES);
  assert.deepEqual(answer.indents, expected.indents.map((indent) => indent.is));
  assert.equal(answer.compilation, "known");
  assert.deepEqual(answer.eglot, ["retin", "serve"]);
  assert.equal(answer.lsp, "known");
  assert.equal(answer.language, "retin");
});

test("Emacs compiles the mode without a warning", () => {
  const copy = fs.mkdtempSync(path.join(os.tmpdir(), "retin-emacs-"));
  fs.copyFileSync(path.join(editors, "emacs", "retin-mode.el"), path.join(copy, "retin-mode.el"));
  const compile = "(progn (setq byte-compile-error-on-warn t) (unless (byte-compile-file \"retin-mode.el\") (kill-emacs 1)))";
  execFileSync("emacs", ["-Q", "--batch", "--eval", compile], { cwd: copy, stdio: "pipe" });
  fs.rmSync(copy, { recursive: true });
});

/** The names of what Kate tells apart, each with a colour of its own. */
function kateColours() {
  const definition = fs.readFileSync(path.join(editors, "kate", "retin.xml"), "utf8");
  const names = [...definition.matchAll(/<itemData name="(\w+)"/g)].map((match) => match[1]);
  return new Map(names.map((name, index) => [`#${(index + 1).toString(16).padStart(6, "0")}`, name]));
}

/** A theme that colours what Kate tells apart, and nothing else. */
function kateTheme(colours) {
  const style = (colour) => ({ "text-color": colour, "selected-text-color": colour });
  const styles = Object.fromEntries([...colours].map(([colour, name]) => [name, style(colour)]));
  return {
    metadata: { name: "probe", revision: 1 },
    "editor-colors": { BackgroundColor: "#ffffff" },
    "text-styles": { Normal: style("#fffffe") },
    "custom-styles": { Retin: styles },
  };
}

test("Kate's highlighter", () => {
  const folder = fs.mkdtempSync(path.join(os.tmpdir(), "retin-kate-"));
  const data = path.join(folder, "org.kde.syntax-highlighting");
  const colours = kateColours();
  fs.mkdirSync(path.join(data, "syntax"), { recursive: true });
  fs.mkdirSync(path.join(data, "themes"));
  fs.copyFileSync(path.join(editors, "kate", "retin.xml"), path.join(data, "syntax", "retin.xml"));
  fs.writeFileSync(path.join(data, "themes", "probe.theme"), JSON.stringify(kateTheme(colours)));
  const printed = run("kate-syntax-highlighter", ["-t", "probe", "-f", "html", path.join(__dirname, "example.retin")], {
    XDG_DATA_HOME: folder,
    QT_QPA_PLATFORM: "offscreen",
  });
  fs.rmSync(folder, { recursive: true });
  const lines = printed.slice(printed.indexOf("<pre>\n") + 6).split("\n").map((line) => styled(line, colours));
  const places = expected.places.map((place) => {
    const line = lines[place.line - 1];
    return line.styles[line.text.indexOf(place.word)];
  });
  compare(places, STYLES);
});

/** A line of HTML as its text, and what each character of it is. */
function styled(line, colours) {
  let text = "";
  const styles = [];
  let style = "Normal";
  for (const [piece] of line.matchAll(/<[^>]*>|&\w+;|[^<&]/gs)) {
    const colour = piece.match(/color:(#[0-9a-f]{6})/);
    if (colour) style = colours.get(colour[1]) ?? "Normal";
    else if (piece.startsWith("</span")) style = "Normal";
    else if (!piece.startsWith("<")) {
      text += { "&quot;": '"', "&amp;": "&", "&lt;": "<", "&gt;": ">" }[piece] ?? piece;
      styles.push(style);
    }
  }
  return { text, styles };
}

/** What tree-sitter's queries call each. */
const CAPTURES = {
  heading: "keyword",
  section: "markup.heading",
  kind: "type",
  name: ["tag", "variable"],
  property: "property",
  choice: "constant",
  direction: "constant",
  source: "label",
  verb: "keyword",
  line: "keyword",
  joining: ["keyword.operator", "property"],
  number: "number",
  unknown: "constant.builtin",
  text: "string",
  prose: "string.special",
  comment: "comment",
};

test("Neovim 0.11 with tree-sitter", () => {
  const site = fs.mkdtempSync(path.join(os.tmpdir(), "retin-site-"));
  execFileSync("sh", [path.join(editors, "neovim", "install.sh"), site], { stdio: "pipe" });
  const newer = path.join(top, "target", "neovim", "bin", "nvim");
  const args = ["-u", "NORC", "--headless", "--cmd", `set runtimepath^=${site}`];
  const answer = JSON.parse(run(newer, [...args, "-S", path.join(__dirname, "probe.lua")]));
  fs.rmSync(site, { recursive: true });
  assert.equal(answer.filetype, "retin");
  assert.ok(answer.parser, "the parser is not loaded");
  assert.ok(answer.highlighted, "the buffer is not coloured by tree-sitter");
  compare(answer.places, CAPTURES);
  // The board folds, in it the group, in it the part with its claims.
  assert.deepEqual(answer.folds.slice(6, 14), [1, 1, 1, 2, 3, 3, 3, 3]);
  assert.deepEqual(answer.server, { enabled: true, cmd: ["retin", "serve"] });
  assert.equal(answer.started, "serve");
});
