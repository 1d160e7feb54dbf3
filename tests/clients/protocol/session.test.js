// One session in which an editor asks for everything the server offers, on the
// examples. Every message that comes back is judged by the protocol's own
// description, and has to make sense: places lie in the text, edits do not overlap.

const assert = require("node:assert/strict");
const fs = require("node:fs");
const os = require("node:os");
const path = require("node:path");
const { after, before, test } = require("node:test");
const { pathToFileURL } = require("node:url");
const { EVERYTHING, Talk, program, top } = require("./talk.js");

let folder;
let binary;

before(() => {
  binary = program();
  folder = fs.realpathSync(fs.mkdtempSync(path.join(os.tmpdir(), "retin-session-")));
  fs.cpSync(path.join(top, "examples"), folder, { recursive: true });
});
after(() => fs.rmSync(folder, { recursive: true, force: true }));

const uriOf = (name) => pathToFileURL(path.join(folder, name)).href;
const textOf = (name) => fs.readFileSync(path.join(folder, name), "utf8");

/** The position of the caret `$0` in `around`, where the rest of it stands in a text. */
function caret(text, around) {
  const offset = text.indexOf(around.replace("$0", ""));
  assert.notEqual(offset, -1, `no ${around} in the text`);
  const before = text.slice(0, offset + around.indexOf("$0"));
  const lines = before.split("\n");
  return { line: lines.length - 1, character: lines.at(-1).length };
}

/** Every range in an answer, however deep, that is of the file. */
function ranges(value, found = []) {
  if (Array.isArray(value)) value.forEach((item) => ranges(item, found));
  else if (value && typeof value === "object") {
    if (value.start && value.end && "line" in value.start) found.push(value);
    else Object.values(value).forEach((item) => ranges(item, found));
  }
  return found;
}

/** Applies edits to a text as the protocol says: none may overlap. */
function applied(text, edits) {
  const starts = [0];
  for (const match of text.matchAll(/\r\n|\n|\r/g)) starts.push(match.index + match[0].length);
  const at = ({ line, character }) => {
    assert.ok(line < starts.length, `line ${line} lies behind the text`);
    const end = (starts[line + 1] ?? text.length + 1) - 1;
    assert.ok(starts[line] + character <= Math.max(end, starts[line]), `column ${character} lies behind line ${line}`);
    return starts[line] + character;
  };
  const sorted = edits.map(({ range, newText }) => ({ start: at(range.start), end: at(range.end), newText })).sort((a, b) => a.start - b.start || a.end - b.end);
  let out = "";
  let last = 0;
  for (const { start, end, newText } of sorted) {
    assert.ok(start >= last && end >= start, "edits overlap");
    out += text.slice(last, start) + newText;
    last = end;
  }
  return out + text.slice(last);
}

async function begin(more = {}) {
  const talk = new Talk({ program: binary, cwd: folder, env: { XDG_CACHE_HOME: path.join(folder, "cache") }, ...more });
  talk.replies["workspace/configuration"] = ({ items }) => items.map(() => more.settings ?? null);
  const { capabilities } = await talk.ask("initialize", {
    processId: process.pid,
    clientInfo: { name: "session" },
    rootUri: pathToFileURL(folder).href,
    workspaceFolders: [{ uri: pathToFileURL(folder).href, name: "bench" }],
    capabilities: more.capabilities ?? EVERYTHING,
    initializationOptions: more.options,
  });
  talk.tell("initialized", {});
  talk.capabilities = capabilities;
  talk.show = (name, version = 1, text = textOf(name)) => talk.tell("textDocument/didOpen", { textDocument: { uri: uriOf(name), languageId: "retin", version, text } });
  talk.open = (...document) => {
    talk.show(...document);
    return talk.findings(uriOf(document[0]), document[1] ?? 1);
  };
  return talk;
}

/** Which capability offers which requests. */
const OFFERS = {
  hoverProvider: ["textDocument/hover"],
  completionProvider: ["textDocument/completion"],
  signatureHelpProvider: ["textDocument/signatureHelp"],
  definitionProvider: ["textDocument/definition"],
  declarationProvider: ["textDocument/declaration"],
  referencesProvider: ["textDocument/references"],
  documentHighlightProvider: ["textDocument/documentHighlight"],
  documentSymbolProvider: ["textDocument/documentSymbol"],
  workspaceSymbolProvider: ["workspace/symbol"],
  renameProvider: ["textDocument/prepareRename", "textDocument/rename"],
  foldingRangeProvider: ["textDocument/foldingRange"],
  selectionRangeProvider: ["textDocument/selectionRange"],
  linkedEditingRangeProvider: ["textDocument/linkedEditingRange"],
  semanticTokensProvider: ["textDocument/semanticTokens/full", "textDocument/semanticTokens/full/delta", "textDocument/semanticTokens/range"],
  inlayHintProvider: ["textDocument/inlayHint"],
  codeLensProvider: ["textDocument/codeLens", "codeLens/resolve"],
  codeActionProvider: ["textDocument/codeAction"],
  documentLinkProvider: ["textDocument/documentLink"],
  documentFormattingProvider: ["textDocument/formatting"],
  documentRangeFormattingProvider: ["textDocument/rangeFormatting"],
  documentOnTypeFormattingProvider: ["textDocument/onTypeFormatting"],
  diagnosticProvider: ["textDocument/diagnostic"],
};

/** What is offered beside requests. */
const OTHERWISE = ["positionEncoding", "textDocumentSync", "workspace"];

test("everything that is offered is asked for, and every answer is of the protocol", async () => {
  const talk = await begin();
  const name = "jobs/26-019.retin";
  const uri = uriOf(name);
  const text = textOf(name);
  const document = { textDocument: { uri } };
  const at = (around) => ({ ...document, position: caret(text, around) });
  const told = await talk.open(name);
  await talk.open("jobs/26-014.retin");
  await talk.open("models/sm8.retin");

  const diagnostics = told.params.diagnostics;
  assert.ok(diagnostics.length > 20, "the job with mistakes has findings");
  assert.ok(diagnostics.some((it) => it.relatedInformation?.length > 0));
  assert.ok(diagnostics.some((it) => it.tags?.includes(1)), "one is unnecessary");
  assert.ok(diagnostics.some((it) => it.tags?.includes(2)), "one is out of date");
  for (const it of diagnostics) {
    const page = new URL(it.codeDescription.href);
    assert.match(fs.readFileSync(page, "utf8"), new RegExp(`${it.code}`), "the page of the rule can be opened");
  }

  const hover = await talk.ask("textDocument/hover", at("psu.C1$0                        with"));
  assert.match(hover.contents.value, /psu\\?\.C1/);
  const completion = await talk.ask("textDocument/completion", { ...at("with S-4$0700-25"), context: { triggerKind: 1 } });
  const items = completion.items ?? completion;
  assert.ok(items.length > 3 && items[0].sortText <= items[1].sortText);
  assert.ok(items[0].documentation, "the first says why it fits");
  const help = await talk.ask("textDocument/signatureHelp", { ...at("replace    psu.C2  $0                      with"), context: { triggerKind: 1, isRetrigger: false } });
  assert.ok(help.signatures[0].label.includes("replace"));
  const point = at("psu.C$01                        with");
  const definition = await talk.ask("textDocument/definition", point);
  assert.equal(definition[0].uri, uriOf("models/sm8.retin"));
  assert.ok((await talk.ask("textDocument/declaration", point)).length > 0);
  const references = await talk.ask("textDocument/references", { ...point, context: { includeDeclaration: true } });
  assert.ok(new Set(references.map((it) => it.uri)).size > 1, "uses lie in more than one file");
  assert.ok((await talk.ask("textDocument/documentHighlight", point)).length > 1);
  const symbols = await talk.ask("textDocument/documentSymbol", document);
  assert.ok(symbols.some((it) => it.children?.length > 0));
  assert.ok((await talk.ask("workspace/symbol", { query: "C19" })).length > 0);
  const prepared = await talk.ask("textDocument/prepareRename", at("  str$0ip      remove"));
  assert.ok(prepared);
  const renamed = await talk.ask("textDocument/rename", { ...at("  str$0ip      remove"), newName: "bare" });
  const edits = Object.values(renamed.changes ?? {}).flat();
  assert.equal(edits.length, 2, "the step and the one that waits for it");
  assert.match(applied(text, edits), /\n {2}bare {6}remove every .*\n.* after bare/);
  const refusal = await talk.response("textDocument/rename", { ...at("  str$0ip      remove"), newName: "fill" });
  assert.match(refusal.error.message, /fill/);
  assert.ok((await talk.ask("textDocument/foldingRange", document)).length > 3);
  const grown = await talk.ask("textDocument/selectionRange", { ...document, positions: [point.position, { line: 0, character: 0 }] });
  assert.equal(grown.length, 2);
  const linked = await talk.ask("textDocument/linkedEditingRange", at("  str$0ip      remove"));
  assert.equal(linked.ranges.length, 2);

  const whole = { start: { line: 0, character: 0 }, end: { line: text.split("\n").length, character: 0 } };
  const tokens = await talk.ask("textDocument/semanticTokens/full", document);
  assert.equal(tokens.data.length % 5, 0);
  const legend = talk.capabilities.semanticTokensProvider.legend.tokenTypes.length;
  assert.ok(tokens.data.every((number, index) => index % 5 !== 3 || number < legend));
  assert.ok((await talk.ask("textDocument/semanticTokens/range", { ...document, range: whole })).data.length > 0);
  assert.ok((await talk.ask("textDocument/inlayHint", { ...document, range: whole })).length > 3);
  const lenses = await talk.ask("textDocument/codeLens", document);
  const unresolved = lenses.filter((it) => !it.command);
  assert.ok(lenses.length > 3 && unresolved.length === 1);
  const gate = await talk.ask("codeLens/resolve", unresolved[0]);
  assert.match(gate.command.title, /^gate \w+: (GO|NO-GO)/);
  const links = await talk.ask("textDocument/documentLink", document);
  assert.deepEqual(
    links.map((it) => path.basename(it.target)),
    ["sm8.retin", "shelf.retin", "surplus.retin"],
  );

  // Actions are asked for at every finding, as an editor does.
  const titles = new Set();
  for (const diagnostic of diagnostics) {
    const actions = await talk.ask("textDocument/codeAction", { ...document, range: diagnostic.range, context: { diagnostics: [diagnostic] } });
    for (const action of actions) {
      titles.add(action.title);
      for (const [file, changes] of Object.entries(action.edit.changes ?? {})) applied(fs.readFileSync(new URL(file), "utf8"), changes);
    }
  }
  assert.ok(titles.size > 20, [...titles].join("\n"));
  const only = await talk.ask("textDocument/codeAction", { ...document, range: diagnostics[0].range, context: { diagnostics: [], only: ["refactor"] } });
  assert.ok(only.every((it) => it.kind.startsWith("refactor")));

  // The text is made untidy, and is mended again.
  const options = { tabSize: 2, insertSpaces: true };
  const step = caret(text, "  strip$0      remove");
  talk.tell("textDocument/didChange", { textDocument: { uri, version: 2 }, contentChanges: [{ range: { start: step, end: step }, text: "   " }] });
  await talk.findings(uri, 2);
  const untidy = text.replace("strip      remove", "strip         remove");
  assert.equal(applied(untidy, await talk.ask("textDocument/formatting", { ...document, options })), text);
  assert.equal(applied(untidy, await talk.ask("textDocument/rangeFormatting", { ...document, options, range: { start: step, end: step } })), text);
  const delta = await talk.ask("textDocument/semanticTokens/full/delta", { ...document, previousResultId: tokens.resultId });
  assert.ok(delta.edits.length > 0 && delta.edits.length < 3);
  const end = { line: step.line - 1, character: untidy.split("\n")[step.line - 1].length };
  talk.tell("textDocument/didChange", { textDocument: { uri, version: 3 }, contentChanges: [{ range: { start: end, end }, text: "\n" }] });
  const typed = await talk.ask("textDocument/onTypeFormatting", { ...document, position: { line: end.line + 1, character: 0 }, ch: "\n", options });
  assert.equal(typed[0].newText, "  ");

  for (const name of ["textDocument/foldingRange", "textDocument/documentSymbol", "textDocument/selectionRange"]) {
    const answer = await talk.ask(name, { ...document, positions: [step] });
    const count = textOf("jobs/26-019.retin").split("\n").length + 1;
    assert.ok(ranges(answer).every((range) => range.end.line <= count));
  }
  talk.tell("textDocument/didSave", document);
  talk.tell("textDocument/didClose", document);
  await talk.ask("workspace/symbol", { query: "" });

  const { code } = await talk.end();
  assert.equal(code, 0);
  assert.deepEqual(talk.wrong, []);
  assert.equal(talk.errors, "");
  for (const capability of Object.keys(talk.capabilities)) {
    if (OTHERWISE.includes(capability)) continue;
    assert.ok(OFFERS[capability], `${capability} is offered, and asked for nowhere here`);
    for (const method of OFFERS[capability]) assert.ok(talk.answered.has(method), `${method} was not answered`);
  }
  assert.ok(talk.sent.has("client/registerCapability") && talk.sent.has("textDocument/publishDiagnostics"));
});

test("an editor that asks for findings is not told them", async () => {
  const capabilities = structuredClone(EVERYTHING);
  capabilities.textDocument.diagnostic = { dynamicRegistration: false, relatedDocumentSupport: true };
  const talk = await begin({ capabilities });
  assert.ok(talk.capabilities.diagnosticProvider);
  const uri = uriOf("jobs/26-019.retin");
  talk.show("jobs/26-019.retin");
  const first = await talk.ask("textDocument/diagnostic", { textDocument: { uri } });
  assert.equal(first.kind, "full");
  assert.ok(first.items.length > 20);
  const again = await talk.ask("textDocument/diagnostic", { textDocument: { uri }, previousResultId: first.resultId });
  assert.equal(again.kind, "unchanged");
  // What the job says of the sheets it uses comes with it.
  fs.writeFileSync(path.join(folder, "jobs", "surplus.retin"), "shelf surplus\n  elektrolytic\n    X-1 10uF 50V\n");
  talk.tell("workspace/didChangeWatchedFiles", { changes: [{ uri: uriOf("jobs/surplus.retin"), type: 2 }] });
  const related = await talk.ask("textDocument/diagnostic", { textDocument: { uri }, previousResultId: first.resultId });
  assert.ok(related.relatedDocuments?.[uriOf("jobs/surplus.retin")].items.length > 0);
  fs.copyFileSync(path.join(top, "examples/jobs/surplus.retin"), path.join(folder, "jobs", "surplus.retin"));
  await talk.end();
  assert.ok(!talk.sent.has("textDocument/publishDiagnostics"));
  assert.ok(talk.sent.has("workspace/diagnostic/refresh"));
  assert.deepEqual(talk.wrong, []);
});

test("unsaved text wins over the disk, and a file mended elsewhere is seen", async () => {
  const talk = await begin();
  const job = "jobs/26-014.retin";
  const findingsOf = async (name, version) => (await talk.findings(uriOf(name), version)).params.diagnostics;
  const sound = (await talk.open(job)).params.diagnostics;
  assert.deepEqual(sound, []);
  // The sheet is broken in the editor only: the job that uses it says so.
  const sheet = textOf("models/sm8.retin");
  const first = sheet.indexOf("    C1 ");
  await talk.open("models/sm8.retin", 1, `${sheet.slice(0, first)}    C1 10uF (\n${sheet.slice(first)}`);
  assert.ok((await findingsOf("models/sm8.retin", 1)).length > 0);
  talk.tell("textDocument/didClose", { textDocument: { uri: uriOf("models/sm8.retin") } });
  const cleared = await talk.next(({ method, params }) => method === "textDocument/publishDiagnostics" && params.uri === uriOf("models/sm8.retin") && params.diagnostics.length === 0, "the disk counts again");
  assert.equal(cleared.params.version, undefined);
  // Now on the disk, by another program.
  fs.writeFileSync(path.join(folder, "models/sm8.retin"), `${sheet.slice(0, first)}    C1 10uF (\n${sheet.slice(first)}`);
  const broken = talk.next(({ method, params }) => method === "textDocument/publishDiagnostics" && params.uri === uriOf("models/sm8.retin") && params.diagnostics.length > 0, "the broken file");
  talk.tell("workspace/didChangeWatchedFiles", { changes: [{ uri: uriOf("models/sm8.retin"), type: 2 }] });
  await broken;
  fs.writeFileSync(path.join(folder, "models/sm8.retin"), sheet);
  const mended = talk.next(({ method, params }) => method === "textDocument/publishDiagnostics" && params.uri === uriOf("models/sm8.retin") && params.diagnostics.length === 0, "the mended file");
  talk.tell("textDocument/didSave", { textDocument: { uri: uriOf(job) } });
  await mended;
  await talk.end();
  assert.deepEqual(talk.wrong, []);
});

test("folders come and go, each with its own files", async () => {
  const other = fs.realpathSync(fs.mkdtempSync(path.join(os.tmpdir(), "retin-other-")));
  fs.mkdirSync(path.join(other, "jobs"));
  fs.writeFileSync(path.join(other, "shelf.retin"), "shelf mine\n  film\n    F-1 100nF 63V\n");
  const text = 'use "../shelf.retin"\n\njob 1 "A"\n';
  fs.writeFileSync(path.join(other, "jobs", "a.retin"), text);
  const talk = await begin();
  await talk.open("jobs/26-014.retin");
  const uri = pathToFileURL(path.join(other, "jobs", "a.retin")).href;
  talk.tell("workspace/didChangeWorkspaceFolders", { event: { added: [{ uri: pathToFileURL(other).href, name: "other" }], removed: [] } });
  talk.tell("textDocument/didOpen", { textDocument: { uri, languageId: "retin", version: 1, text } });
  const { params } = await talk.findings(uri, 1);
  assert.ok(!params.diagnostics.some((it) => it.code === "cannot-use"), "the shelf of the other folder is found");
  const found = await talk.ask("workspace/symbol", { query: "F-1" });
  assert.ok(found.some((it) => it.location.uri.endsWith("/shelf.retin") && it.name === "F-1"));
  talk.tell("workspace/didChangeWorkspaceFolders", { event: { added: [], removed: [{ uri: pathToFileURL(other).href, name: "other" }] } });
  await talk.ask("workspace/symbol", { query: "F-1" });
  await talk.end();
  assert.deepEqual(talk.wrong, []);
  fs.rmSync(other, { recursive: true });
});

test("bytes are counted where the editor offers to, and emoji are counted as two otherwise", async () => {
  for (const [encodings, width] of [[["utf-16"], 2], [["utf-8", "utf-16"], 4], [undefined, 2]]) {
    const capabilities = structuredClone(EVERYTHING);
    capabilities.general = encodings ? { positionEncodings: encodings } : undefined;
    const talk = await begin({ capabilities });
    assert.equal(talk.capabilities.positionEncoding, width === 4 ? "utf-8" : "utf-16");
    const text = 'board b "🔊"  # µ\n  film\n    C1 1 uF  # 🔊 µ\n    C1 1uF\n';
    const uri = uriOf("a.retin");
    talk.tell("textDocument/didOpen", { textDocument: { uri, languageId: "retin", version: 1, text } });
    await talk.findings(uri, 1);
    // Behind the sign: the title ends there.
    const end = 'board b "'.length + width;
    talk.tell("textDocument/didChange", { textDocument: { uri, version: 2 }, contentChanges: [{ range: { start: { line: 0, character: 9 }, end: { line: 0, character: end } }, text: "x" }] });
    const outline = await talk.ask("textDocument/documentSymbol", { textDocument: { uri } });
    assert.equal(outline[0].name, "board b");
    assert.match(JSON.stringify(outline[0]), /"x"|x/);
    const edits = await talk.ask("textDocument/formatting", { textDocument: { uri }, options: { tabSize: 2, insertSpaces: true } });
    assert.ok(edits.length > 0);
    await talk.end();
    assert.deepEqual(talk.wrong, []);
  }
});

test("settings are taken at the start, when they change, and when they are asked for", async () => {
  const range = { start: { line: 0, character: 0 }, end: { line: 400, character: 0 } };
  const document = { textDocument: { uri: uriOf("jobs/26-014.retin") } };
  const counts = async (talk) => [
    (await talk.ask("textDocument/inlayHint", { ...document, range })).length,
    (await talk.ask("textDocument/codeLens", document)).length,
  ];
  const talk = await begin({ options: { hints: false }, capabilities: { ...EVERYTHING, workspace: { ...EVERYTHING.workspace, configuration: false } } });
  await talk.open("jobs/26-014.retin");
  const [none, some] = await counts(talk);
  assert.ok(none === 0 && some > 0);
  talk.tell("workspace/didChangeConfiguration", { settings: { retin: { hints: true, lenses: false, stage: "power" } } });
  const judged = await talk.next(({ method, params }) => method === "textDocument/publishDiagnostics" && params.uri === document.textDocument.uri && params.diagnostics.length > 0, "what stands before power");
  assert.ok(judged.params.diagnostics.some((it) => it.severity === 1));
  const [hints, lenses] = await counts(talk);
  assert.ok(hints > 0 && lenses === 0);
  talk.tell("workspace/didChangeConfiguration", { settings: { retin: { stage: "lunch" } } });
  const said = await talk.next(({ method }) => method === "window/showMessage", "a complaint");
  assert.match(said.params.message, /lunch/);
  await talk.end();
  assert.deepEqual(talk.wrong, []);
  const asking = await begin({ settings: { hints: false, lenses: false } });
  await asking.next(({ method }) => method === "workspace/configuration", "the question");
  await asking.open("jobs/26-014.retin");
  assert.deepEqual(await counts(asking), [0, 0]);
  await asking.end();
  assert.deepEqual(asking.wrong, []);
});

test("long work is shown as it goes on", async () => {
  const talk = await begin({ env: { XDG_CACHE_HOME: path.join(folder, "cache") } });
  // A unit of so many parts that no machine reads and judges it in a blink.
  const parts = Array.from({ length: 60_000 }, (_, at) => `    C${at + 1}  10uF 35V  5x11 p2  (+ V24, - GND)`).join("\n");
  const text = `model big\nboard b "Big"\n  rail V24 24V\n  rail GND 0V\n  electrolytic\n${parts}\njob 1\n  model big\nplan\n  keep every electrolytic\n`;
  const uri = uriOf("big.retin");
  talk.tell("textDocument/didOpen", { textDocument: { uri, languageId: "retin", version: 1, text } });
  await talk.next(({ method, params }) => method === "$/progress" && params.value.kind === "end", "the end of the work");
  const kinds = talk.came.filter((it) => it.method === "$/progress").map((it) => it.params.value.kind);
  assert.deepEqual([kinds[0], kinds.at(-1)], ["begin", "end"]);
  assert.ok(talk.sent.has("window/workDoneProgress/create"));
  await talk.end();
  assert.deepEqual(talk.wrong, []);
});
