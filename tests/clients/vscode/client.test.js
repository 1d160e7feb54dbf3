// The connection that Visual Studio Code's client library is built on, against the
// real server: the same framing, cancellation and types as in the editor.

const assert = require("node:assert/strict");
const { spawn } = require("node:child_process");
const fs = require("node:fs");
const os = require("node:os");
const path = require("node:path");
const { after, before, test } = require("node:test");
const { pathToFileURL } = require("node:url");
const { execFileSync } = require("node:child_process");
const { program, top } = require("../protocol/talk.js");

const extension = path.join(top, "editors", "vscode");
let folder;
let binary;

before(() => {
  binary = program();
  if (!fs.existsSync(path.join(extension, "node_modules", "vscode-languageclient"))) execFileSync("npm", ["ci", "--silent"], { cwd: extension, stdio: "pipe" });
  folder = fs.realpathSync(fs.mkdtempSync(path.join(os.tmpdir(), "retin-library-")));
  fs.cpSync(path.join(top, "examples"), folder, { recursive: true });
});
after(() => fs.rmSync(folder, { recursive: true, force: true }));

test("the client library of the editor talks to the server", async () => {
  const library = require(require.resolve("vscode-languageserver-protocol/node", { paths: [extension] }));
  const child = spawn(binary, ["serve"], { cwd: folder, stdio: ["pipe", "pipe", "inherit"] });
  const connection = library.createProtocolConnection(new library.StreamMessageReader(child.stdout), new library.StreamMessageWriter(child.stdin));
  const published = new Map();
  connection.onNotification(library.PublishDiagnosticsNotification.type, ({ uri, diagnostics }) => published.set(uri, diagnostics));
  connection.onRequest(library.RegistrationRequest.type, () => null);
  connection.onRequest(library.ConfigurationRequest.type, ({ items }) => items.map(() => ({ stage: "" })));
  connection.listen();
  const { capabilities } = await connection.sendRequest(library.InitializeRequest.type, {
    processId: process.pid,
    rootUri: pathToFileURL(folder).href,
    workspaceFolders: [{ uri: pathToFileURL(folder).href, name: "bench" }],
    capabilities: { workspace: { configuration: true, didChangeWatchedFiles: { dynamicRegistration: true } } },
  });
  assert.equal(capabilities.textDocumentSync.change, library.TextDocumentSyncKind.Incremental);
  connection.sendNotification(library.InitializedNotification.type, {});

  const file = path.join(folder, "jobs", "26-019.retin");
  const uri = pathToFileURL(file).href;
  const text = fs.readFileSync(file, "utf8");
  connection.sendNotification(library.DidOpenTextDocumentNotification.type, { textDocument: { uri, languageId: "retin", version: 1, text } });
  const line = text.split("\n").findIndex((it) => it.includes("psu.C1  "));
  const point = { textDocument: { uri }, position: { line, character: text.split("\n")[line].indexOf("psu.C1") + 5 } };
  const hover = await connection.sendRequest(library.HoverRequest.type, point);
  assert.ok(library.MarkupContent.is(hover.contents));
  const items = await connection.sendRequest(library.CompletionRequest.type, point);
  assert.ok(items.length > 0 && items.every((item) => library.Range.is(item.textEdit.range)));
  assert.ok(published.get(uri).every((it) => library.Diagnostic.is(it)) && published.get(uri).length > 20);

  const source = new library.CancellationTokenSource();
  const cancelled = connection.sendRequest(library.ReferencesRequest.type, { ...point, context: { includeDeclaration: true } }, source.token);
  source.cancel();
  await cancelled.catch((error) => assert.equal(error.code, library.LSPErrorCodes.RequestCancelled));

  await connection.sendRequest(library.ShutdownRequest.type);
  connection.sendNotification(library.ExitNotification.type);
  assert.equal(await new Promise((resolve) => child.on("exit", resolve)), 0);
  connection.dispose();
});
