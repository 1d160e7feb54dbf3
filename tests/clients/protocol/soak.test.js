// Random edits over the wire, the text kept on both sides. At every thousandth the
// server has to answer as one that was started on that text alone.
//
// RETIN_SOAK says how many edits; RETIN_SEED where they begin.

const assert = require("node:assert/strict");
const fs = require("node:fs");
const os = require("node:os");
const path = require("node:path");
const { after, before, test } = require("node:test");
const { pathToFileURL } = require("node:url");
const { EVERYTHING, Talk, program, top } = require("./talk.js");

const EDITS = Number(process.env.RETIN_SOAK ?? 3000);
const SEED = Number(process.env.RETIN_SEED ?? 1);
const ROUND = 1000;

/** Numbers from 0 to 1, the same for the same seed. */
function numbers(seed) {
  let state = seed;
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 2 ** 32;
  };
}

const BITS = [
  "\n", "\r\n", "\r", "\n  ", "\n    ", " ", "  ", '"', "#", "|", "(", ")", ",", ".", "..", "?", "µ", "ß", "\u{1F50A}", "\u{FEFF}", "한",
  "10uF 25V", "C1 ", "every ", "electrolytic", "replace ", "psu.C1", "\nboard x\n", "\nplan\n", "\nlog\n  2026-11-03\n    09:00  removed psu.C1", "with E-100", "0", "x", "because \"\"",
];

const START = `use "sheet.retin"

job 26-001 "µ \u{1F50A}"
  model   unit
  inside  50°C

plan
  replace  every electrolytic  from main
  keep     psu.C3

steps
  strip    remove every electrolytic
  fill     fit every electrolytic  after strip

log
  2026-11-03
    09:10  removed  psu.C1
`;

const SHEET = `model unit "Unit"\r
  revision 1\r
\r
board psu "Supply"\r
  rail V24 24V ±5%\r
  rail GND 0V\r
  electrolytic 85°C radial\r
    C1  100uF 35V  8x12 p3.5  (+ V24, - GND)\r
    C2   10uF 35V  5x11 p2    (+ V24, - GND)\r
    C3   10uF 35V  5x11 p2    (+ V24, - GND)\r
\r
shelf main "Drawers"\r
  electrolytic 105°C radial\r
    E-100  100uF 50V  8x12 p3.5  have 40\r
    E-10    10uF 50V  5x11 p2    have 40\r
`;

/** A text as an editor holds it: in units of UTF-16, with lines that end in three ways. */
class Text {
  constructor(text) {
    this.text = text;
    this.undone = [];
  }

  position(offset) {
    const lines = this.text.slice(0, offset).split(/\r\n|\n|\r/);
    return { line: lines.length - 1, character: lines.at(-1).length };
  }

  /** An offset that has a position: not within a character, not within a line's end. */
  boundary(offset) {
    const inside = (at) => {
      const before = this.text.charCodeAt(at - 1);
      const behind = this.text.charCodeAt(at);
      return (before === 13 && behind === 10) || (before >= 0xd800 && before < 0xdc00 && behind >= 0xdc00 && behind < 0xe000);
    };
    return inside(offset) ? offset - 1 : offset;
  }

  /** Replaces a piece, and gives the change as the protocol has it. */
  replace(start, end, bit, remembers = true) {
    const change = { range: { start: this.position(start), end: this.position(end) }, text: bit };
    if (remembers) this.undone.push({ start, end: start + bit.length, bit: this.text.slice(start, end) });
    this.text = this.text.slice(0, start) + bit + this.text.slice(end);
    return change;
  }

  undo() {
    const last = this.undone.pop();
    if (!last) return undefined;
    // What came to stand beside a line's end may have joined it.
    if (this.boundary(last.start) !== last.start || this.boundary(last.end) !== last.end) return undefined;
    return this.replace(last.start, last.end, last.bit, false);
  }

  change(number) {
    const kind = number();
    if (kind < 0.2) {
      const undone = this.undo();
      if (undone) return undone;
    }
    const start = this.boundary(Math.floor(number() * (this.text.length + 1)));
    const most = this.text.length > 4000 ? 400 : kind < 0.6 ? 0 : 12;
    const end = Math.max(start, this.boundary(Math.min(this.text.length, start + Math.floor(number() * most))));
    const bit = kind > 0.9 ? "" : BITS[Math.floor(number() * BITS.length)];
    return this.replace(start, end, bit);
  }
}

let folder;
let binary;
before(() => {
  binary = program();
  folder = fs.realpathSync(fs.mkdtempSync(path.join(os.tmpdir(), "retin-soak-")));
  fs.writeFileSync(path.join(folder, "sheet.retin"), SHEET);
});
after(() => fs.rmSync(folder, { recursive: true, force: true }));

async function begin() {
  const talk = new Talk({ program: binary, cwd: folder });
  const capabilities = { ...EVERYTHING, workspace: {}, window: {}, textDocument: { ...EVERYTHING.textDocument, publishDiagnostics: { relatedInformation: true, versionSupport: true } } };
  await talk.ask("initialize", { processId: null, workspaceFolders: [{ uri: pathToFileURL(folder).href, name: "soak" }], rootUri: null, capabilities });
  talk.tell("initialized", {});
  return talk;
}

const uri = (name) => pathToFileURL(path.join(folder, name)).href;
const show = (talk, name, version, text) => talk.tell("textDocument/didOpen", { textDocument: { uri: uri(name), languageId: "retin", version, text } });

/** All that the server says of two documents. */
async function said(talk, versions) {
  const all = {};
  // What is found stands by the time something is answered.
  await talk.ask("workspace/symbol", { query: "C1" });
  for (const [name, version] of Object.entries(versions)) {
    const document = { textDocument: { uri: uri(name) } };
    const range = { start: { line: 0, character: 0 }, end: { line: 10_000, character: 0 } };
    const options = { tabSize: 2, insertSpaces: true };
    const { params } = await talk.findings(uri(name), version);
    all[name] = {
      findings: params.diagnostics,
      outline: await talk.ask("textDocument/documentSymbol", document),
      colours: (await talk.ask("textDocument/semanticTokens/full", document)).data,
      form: await talk.ask("textDocument/formatting", { ...document, options }),
      folds: await talk.ask("textDocument/foldingRange", document),
      hints: await talk.ask("textDocument/inlayHint", { ...document, range }),
      lenses: await talk.ask("textDocument/codeLens", document),
    };
  }
  return all;
}

test(`after ${EDITS} random edits the server knows the text`, async () => {
  const number = numbers(SEED);
  const texts = { "job.retin": new Text(START), "sheet.retin": new Text(SHEET) };
  const versions = { "job.retin": 1, "sheet.retin": 1 };
  const talk = await begin();
  for (const [name, { text }] of Object.entries(texts)) show(talk, name, 1, text);
  for (let done = 0; done < EDITS; done += ROUND) {
    for (let edits = 0; edits < ROUND; ) {
      const name = number() < 0.6 ? "job.retin" : "sheet.retin";
      const contentChanges = [];
      // Some editors send several at once.
      for (let count = number() < 0.1 ? 5 : 1; count > 0; count -= 1, edits += 1) contentChanges.push(texts[name].change(number));
      versions[name] += 1;
      talk.tell("textDocument/didChange", { textDocument: { uri: uri(name), version: versions[name] }, contentChanges });
      if (number() < 0.02) await talk.ask("textDocument/completion", { textDocument: { uri: uri(name) }, position: texts[name].position(texts[name].text.length) });
    }
    const fresh = await begin();
    for (const [name, { text }] of Object.entries(texts)) show(fresh, name, versions[name], text);
    assert.deepEqual(await said(talk, versions), await said(fresh, versions), `after ${done + ROUND} edits`);
    assert.equal((await fresh.end()).code, 0);
    // What came before is known to be right; it need not be kept.
    talk.came.length = 0;
  }
  assert.deepEqual(talk.wrong, []);
  assert.equal((await talk.end()).code, 0);
});
