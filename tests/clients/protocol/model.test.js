// The judge itself: it lets sound messages pass and stops each kind of wrong one.

const assert = require("node:assert/strict");
const { test } = require("node:test");
const { judge, check, version } = require("./model.js");

const asked = (id) => ({ 1: "textDocument/hover", 2: "initialize", 3: "textDocument/completion", 4: "shutdown" })[id];
const reply = (id, result) => judge({ jsonrpc: "2.0", id, result }, asked);
const at = (line, character) => ({ line, character });
const range = { start: at(0, 0), end: at(0, 1) };
const diagnostic = { range, message: "x", severity: 1, code: "too-hot", relatedInformation: [{ location: { uri: "file:///a", range }, message: "y" }] };
const published = (params) => judge({ jsonrpc: "2.0", method: "textDocument/publishDiagnostics", params }, asked);

test("it is the description of 3.17", () => assert.equal(version, "3.17.0"));

test("sound messages pass", () => {
  assert.deepEqual(reply(1, null), []);
  assert.deepEqual(reply(1, { contents: { kind: "markdown", value: "**C1**" }, range }), []);
  assert.deepEqual(reply(2, { capabilities: { hoverProvider: true, semanticTokensProvider: { legend: { tokenTypes: ["number"], tokenModifiers: [] }, full: { delta: true } } } }), []);
  assert.deepEqual(reply(3, [{ label: "psu", kind: 6, textEdit: { range, newText: "psu" } }]), []);
  assert.deepEqual(reply(3, { isIncomplete: false, items: [] }), []);
  assert.deepEqual(reply(4, null), []);
  assert.deepEqual(published({ uri: "file:///a", version: 3, diagnostics: [diagnostic] }), []);
  assert.deepEqual(judge({ jsonrpc: "2.0", id: 1, error: { code: -32803, message: "no" } }, asked), []);
  assert.deepEqual(judge({ jsonrpc: "2.0", id: null, error: { code: -32700, message: "no" } }, asked), []);
});

test("a field that nobody knows is stopped, wherever it is", () => {
  const invented = (wrong) => assert.match(wrong.join("\n"), /knows no colour here/);
  invented(reply(1, { contents: "x", colour: "red" }));
  invented(reply(2, { capabilities: { hoverProvider: true, colour: true } }));
  invented(reply(3, { isIncomplete: false, items: [{ label: "psu", colour: 1 }] }));
  invented(published({ uri: "file:///a", diagnostics: [{ ...diagnostic, colour: "red" }] }));
  invented(published({ uri: "file:///a", diagnostics: [{ ...diagnostic, range: { ...range, colour: 1 } }] }));
  assert.match(judge({ jsonrpc: "2.0", id: 1, result: null, colour: 1 }, asked).join(), /a response has no colour/);
});

test("wrong types, missing fields and wrong choices are stopped", () => {
  for (const wrong of [
    reply(1, { range }),
    reply(1, { contents: { kind: "html", value: "" } }),
    reply(1, { contents: "x", range: { start: at(-1, 0), end: at(0, 0) } }),
    reply(1, { contents: "x", range: { start: at(0.5, 0), end: at(0, 0) } }),
    reply(1, undefined),
    reply(3, [{ label: 1 }]),
    reply(3, [{ label: "x", kind: 99 }]),
    reply(4, {}),
    reply(9, null),
    published({ uri: "not an address", diagnostics: [] }),
    published({ uri: "file:///a" }),
    published({ uri: "file:///a", diagnostics: [{ ...diagnostic, severity: 7 }] }),
    published({ uri: "file:///a", diagnostics: [{ ...diagnostic, tags: ["unnecessary"] }] }),
    judge({ jsonrpc: "1.0", id: 1, result: null }, asked),
    judge({ jsonrpc: "2.0", id: 1, result: null, error: { code: 1, message: "" } }, asked),
    judge({ jsonrpc: "2.0", id: 1 }, asked),
    judge({ jsonrpc: "2.0", id: 1, error: { code: "x", message: "" } }, asked),
    judge({ jsonrpc: "2.0", method: "textDocument/didOpen", params: {} }, asked),
    judge({ jsonrpc: "2.0", method: "$/invented" }, asked),
    judge({ jsonrpc: "2.0", id: 5, method: "textDocument/hover", params: {} }, asked),
    judge({ jsonrpc: "2.0", method: "$/progress", params: { token: 1, value: { kind: "sideways" } } }, asked),
    judge({ jsonrpc: "2.0", id: 5, method: "client/registerCapability", params: { registrations: [{ id: "a", method: "workspace/didChangeWatchedFiles", registerOptions: { watchers: [{ globPattern: 1 }] } }] } }, asked),
    judge([], asked),
  ]) {
    assert.notDeepEqual(wrong, []);
  }
});

test("each kind of type of the description is told from others", () => {
  const base = (name) => ({ kind: "base", name });
  const sound = [
    [{ a: "file:///a" }, { kind: "map", key: base("string"), value: base("DocumentUri") }],
    [[1, 2], { kind: "tuple", items: [base("uinteger"), base("uinteger")] }],
    ["create", { kind: "stringLiteral", value: "create" }],
    [{ x: 1 }, { kind: "reference", name: "LSPAny" }],
    [{ workDoneToken: 1, workspaceFolders: null, processId: null, rootUri: null, capabilities: {} }, { kind: "reference", name: "InitializeParams" }],
  ];
  for (const [value, type] of sound) assert.deepEqual(check(value, type, "x"), []);
  const unsound = [
    [{ a: 1 }, { kind: "map", key: base("string"), value: base("DocumentUri") }],
    [[1], { kind: "tuple", items: [base("uinteger"), base("uinteger")] }],
    ["delete", { kind: "stringLiteral", value: "create" }],
    [2 ** 31, base("integer")],
    [1, base("boolean")],
    [{}, { kind: "array", element: base("string") }],
  ];
  for (const [value, type] of unsound) assert.notDeepEqual(check(value, type, "x"), []);
});
