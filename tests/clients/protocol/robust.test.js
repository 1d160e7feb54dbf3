// What a broken or impatient editor does: the server answers by the protocol, and
// stays up.

const assert = require("node:assert/strict");
const fs = require("node:fs");
const os = require("node:os");
const path = require("node:path");
const { after, before, test } = require("node:test");
const { setTimeout: delay } = require("node:timers/promises");
const { pathToFileURL } = require("node:url");
const { EVERYTHING, Talk, program, top } = require("./talk.js");

let folder;
let binary;
before(() => {
  binary = program();
  folder = fs.realpathSync(fs.mkdtempSync(path.join(os.tmpdir(), "retin-robust-")));
  fs.cpSync(path.join(top, "examples"), folder, { recursive: true });
});
after(() => fs.rmSync(folder, { recursive: true, force: true }));

const uri = () => pathToFileURL(path.join(folder, "jobs/26-019.retin")).href;
const text = () => fs.readFileSync(path.join(folder, "jobs/26-019.retin"), "utf8");
const start = () => new Talk({ program: binary, cwd: folder, env: { XDG_CACHE_HOME: path.join(folder, "cache") } });
const INITIALIZE = () => ({ processId: null, rootUri: pathToFileURL(folder).href, capabilities: { ...EVERYTHING, workspace: {}, window: {} } });

async function begun() {
  const talk = start();
  await talk.ask("initialize", INITIALIZE());
  talk.tell("initialized", {});
  return talk;
}

function open(talk) {
  talk.tell("textDocument/didOpen", { textDocument: { uri: uri(), languageId: "retin", version: 1, text: text() } });
}

const position = { line: 4, character: 3 };
const hover = () => ({ textDocument: { uri: uri() }, position });
const framed = (body) => `Content-Length: ${Buffer.byteLength(body)}\r\n\r\n${body}`;

test("requests before initialize are refused, and notifications are dropped", async () => {
  const talk = start();
  const early = await talk.response("textDocument/hover", hover());
  assert.equal(early.error.code, -32002);
  open(talk);
  talk.tell("textDocument/didChange", { textDocument: { uri: uri(), version: 2 }, contentChanges: [] });
  await talk.ask("initialize", INITIALIZE());
  const second = await talk.response("initialize", INITIALIZE());
  assert.equal(second.error.code, -32600);
  talk.tell("initialized", {});
  assert.equal(await talk.ask("textDocument/hover", hover()), null, "nothing was opened yet");
  assert.equal((await talk.end()).code, 0);
  assert.deepEqual(talk.wrong, []);
});

test("after shutdown everything is refused but exit", async () => {
  const talk = await begun();
  await talk.ask("shutdown");
  const late = await talk.response("textDocument/hover", hover());
  assert.equal(late.error.code, -32600);
  open(talk);
  talk.tell("exit");
  assert.equal((await talk.ended).code, 0);
  assert.deepEqual(talk.wrong, []);
});

test("exit without shutdown says that something went wrong", async () => {
  const talk = await begun();
  open(talk);
  talk.tell("exit");
  assert.equal((await talk.ended).code, 1);
});

test("an editor that goes away takes the server with it", async () => {
  const talk = await begun();
  open(talk);
  talk.child.stdin.end();
  const left = await Promise.race([talk.ended, delay(20_000, "still there", { ref: false })]);
  assert.notEqual(left, "still there");
});

test("what is no message is answered as such, and the next one is read", async () => {
  const talk = await begun();
  const refused = (code) => talk.next((message) => message.id === null && message.error?.code === code, `the error ${code}`);
  let error = refused(-32700);
  talk.raw(framed("{"));
  await error;
  error = refused(-32700);
  talk.raw(framed('{"jsonrpc": "2.0", "method": \u0007}'));
  await error;
  for (const body of ["[]", "7", '{"jsonrpc":"2.0"}', '{"jsonrpc":"2.0","id":"x","method":7}', '{"jsonrpc":"1.0","id":5,"method":"shutdown"}']) {
    talk.raw(framed(body));
  }
  // A header that is not known, and another order of them.
  const body = JSON.stringify({ jsonrpc: "2.0", id: 900, method: "textDocument/hover", params: hover() });
  talk.asked.set(900, "textDocument/hover");
  const answer = talk.next((message) => message.id === 900, "the answer behind other headers");
  talk.raw(`Content-Type: application/vscode-jsonrpc; charset=utf-8\r\nContent-Length: ${Buffer.byteLength(body)}\r\n\r\n${body}`);
  await answer;
  // Some methods nobody knows; `$/` may be dropped.
  assert.equal((await talk.response("retin/invented", {})).error.code, -32601);
  talk.tell("$/invented", {});
  talk.tell("retin/invented", {});
  // Parameters of the wrong shape.
  for (const params of [undefined, null, [], {}, { textDocument: 7 }, { textDocument: { uri: "::" }, position }, { textDocument: { uri: uri() }, position: { line: -1, character: 0 } }]) {
    assert.ok((await talk.response("textDocument/hover", params)).error, JSON.stringify(params));
  }
  for (const method of ["textDocument/didOpen", "textDocument/didChange", "textDocument/didClose", "workspace/didChangeWorkspaceFolders", "workspace/didChangeConfiguration", "$/cancelRequest"]) {
    for (const params of [undefined, null, [], {}, { textDocument: 7, event: 7, settings: [7], id: {} }]) talk.tell(method, params);
  }
  assert.equal(await talk.ask("textDocument/hover", hover()), null);
  assert.equal((await talk.end()).code, 0);
  const told = talk.wrong.filter((line) => !/names no request|nobody asked for/.test(line));
  assert.deepEqual(told, []);
});

test("positions outside the text are moved into it", async () => {
  const talk = await begun();
  open(talk);
  await talk.findings(uri(), 1);
  const most = 2 ** 31 - 1;
  const positions = [{ line: most, character: most }, { line: 0, character: most }, { line: most, character: 0 }, { line: 0, character: 0 }];
  const options = { tabSize: 2, insertSpaces: true };
  const document = { textDocument: { uri: uri() } };
  for (const position of positions) {
    const range = { start: position, end: { line: 0, character: 0 } };
    for (const [method, params] of [
      ["textDocument/hover", { position }],
      ["textDocument/completion", { position }],
      ["textDocument/signatureHelp", { position }],
      ["textDocument/definition", { position }],
      ["textDocument/declaration", { position }],
      ["textDocument/references", { position, context: { includeDeclaration: true } }],
      ["textDocument/documentHighlight", { position }],
      ["textDocument/linkedEditingRange", { position }],
      ["textDocument/selectionRange", { positions }],
      ["textDocument/semanticTokens/range", { range }],
      ["textDocument/inlayHint", { range }],
      ["textDocument/codeAction", { range, context: { diagnostics: [] } }],
      ["textDocument/rangeFormatting", { range, options }],
      ["textDocument/onTypeFormatting", { position, ch: "\n", options }],
    ]) {
      assert.ok(!("error" in (await talk.response(method, { ...document, ...params }))), method);
    }
    // A name may be refused, in words.
    const refusal = await talk.response("textDocument/rename", { ...document, position, newName: "x y" });
    assert.ok("result" in refusal || refusal.error.message.length > 10);
  }
  // Edits turned round and behind the end.
  for (const [version, range] of [[2, { start: { line: most, character: 0 }, end: { line: most, character: most } }], [3, { start: { line: 2, character: 1 }, end: { line: 1, character: 0 } }]]) {
    talk.tell("textDocument/didChange", { textDocument: { uri: uri(), version }, contentChanges: [{ range, text: "# µ🔊\r\n" }] });
    await talk.findings(uri(), version);
  }
  assert.equal((await talk.end()).code, 0);
  assert.deepEqual(talk.wrong, []);
});

test("cancelled requests are answered once, with a result or as cancelled", async () => {
  const talk = await begun();
  open(talk);
  const ids = [];
  for (let count = 0; count < 200; count += 1) {
    const id = talk.post("textDocument/references", { ...hover(), context: { includeDeclaration: true } }, `r${count}`);
    ids.push(id);
    if (count % 2 === 0) talk.tell("$/cancelRequest", { id });
  }
  talk.tell("$/cancelRequest", { id: "never asked" });
  await talk.ask("textDocument/hover", hover());
  for (let tries = 0; tries < 200 && talk.asked.size > 0; tries += 1) await delay(50);
  for (const id of ids) {
    const answers = talk.came.filter((message) => message.id === id);
    assert.equal(answers.length, 1, `${id} is answered once`);
    if (answers[0].error) assert.equal(answers[0].error.code, -32800);
  }
  assert.equal((await talk.end()).code, 0);
  assert.deepEqual(talk.wrong, []);
});

test("an id that is used again while it is under way is answered, and nothing is lost", async () => {
  const talk = await begun();
  open(talk);
  const body = (method) => ({ jsonrpc: "2.0", id: 77, method, params: hover() });
  talk.asked.set(77, "textDocument/hover");
  for (let count = 0; count < 3; count += 1) talk.write(body("textDocument/hover"));
  await talk.ask("textDocument/completion", hover());
  await delay(300);
  const answers = talk.came.filter((message) => message.id === 77);
  assert.ok(answers.length >= 1 && answers.length <= 3);
  for (const answer of answers) if (answer.error) assert.equal(answer.error.code, -32600);
  assert.equal((await talk.end()).code, 0);
});

test("a thousand edits at once end with the text that was typed", async () => {
  const talk = await begun();
  const document = pathToFileURL(path.join(folder, "typed.retin")).href;
  talk.tell("textDocument/didOpen", { textDocument: { uri: document, languageId: "retin", version: 1, text: "# \n" } });
  let typed = "";
  for (let count = 0; count < 1000; count += 1) {
    const letter = String.fromCodePoint(0x61 + (count % 26));
    const end = { line: 0, character: 2 + count };
    talk.tell("textDocument/didChange", { textDocument: { uri: document, version: count + 2 }, contentChanges: [{ range: { start: end, end }, text: letter }] });
    typed += letter;
    if (count % 100 === 0) talk.post("textDocument/semanticTokens/full", { textDocument: { uri: document } });
  }
  await talk.findings(document, 1001);
  const end = { line: 0, character: 2 };
  talk.tell("textDocument/didChange", { textDocument: { uri: document, version: 1002 }, contentChanges: [{ range: { start: { line: 0, character: 0 }, end }, text: "job 1 \"" }, { range: { start: { line: 0, character: 1007 }, end: { line: 0, character: 1007 } }, text: '"' }] });
  const [job] = await talk.ask("textDocument/documentSymbol", { textDocument: { uri: document } });
  assert.ok(`${job.name} ${job.detail}`.includes(typed));
  assert.equal((await talk.end()).code, 0);
  assert.deepEqual(talk.wrong, []);
});

test("versions that do not grow are not taken", async () => {
  const talk = await begun();
  open(talk);
  await talk.findings(uri(), 1);
  const whole = (version, text) => talk.tell("textDocument/didChange", { textDocument: { uri: uri(), version }, contentChanges: [{ text }] });
  whole(5, "job 5\n");
  await talk.findings(uri(), 5);
  whole(4, "job 4\n");
  whole(5, "job 6\n");
  const [job] = await talk.ask("textDocument/documentSymbol", { textDocument: { uri: uri() } });
  assert.equal(job.name, "job 5");
  assert.equal((await talk.end()).code, 0);
  assert.deepEqual(talk.wrong, []);
});

test("closing under load loses no answer", async () => {
  const talk = await begun();
  for (let round = 0; round < 20; round += 1) {
    talk.tell("textDocument/didOpen", { textDocument: { uri: uri(), languageId: "retin", version: 1, text: text() } });
    talk.tell("textDocument/didChange", { textDocument: { uri: uri(), version: 2 }, contentChanges: [{ range: { start: position, end: position }, text: "x" }] });
    for (const method of ["textDocument/hover", "textDocument/completion", "textDocument/definition"]) talk.post(method, hover());
    talk.tell("textDocument/didClose", { textDocument: { uri: uri() } });
    talk.post("textDocument/codeLens", { textDocument: { uri: uri() } });
  }
  assert.equal(await talk.ask("textDocument/hover", hover()), null);
  for (let tries = 0; tries < 400 && talk.asked.size > 0; tries += 1) await delay(50);
  assert.equal(talk.asked.size, 0);
  const last = talk.came.findLast((message) => message.method === "textDocument/publishDiagnostics" && message.params.uri === uri());
  assert.ok(!last || last.params.diagnostics.length === 0, "a file that is closed shows nothing");
  assert.equal((await talk.end()).code, 0);
  assert.deepEqual(talk.wrong, []);
});

test("addresses that are no files are served as well", async () => {
  const talk = await begun();
  for (const address of ["untitled:Untitled-1", "git:/a/b.retin?x", `${uri()}%20nicht%20da`]) {
    talk.tell("textDocument/didOpen", { textDocument: { uri: address, languageId: "retin", version: 1, text: 'board b\n  film\n    C1 1uF\n    C1 1uF\n' } });
    const { params } = await talk.findings(address, 1);
    assert.ok(params.diagnostics.some((it) => it.code === "duplicate-name"), address);
    assert.ok((await talk.ask("textDocument/documentSymbol", { textDocument: { uri: address } })).length > 0);
  }
  assert.equal((await talk.end()).code, 0);
  assert.deepEqual(talk.wrong, []);
});
