// Starts `retin serve` for Retin files and hands it to the editor.

const vscode = require("vscode");
const { LanguageClient } = require("vscode-languageclient/node");

/** The command behind counts above lines. */
const SHOW = "retin.show";

/** @type {LanguageClient | undefined} */
let client;

function program() {
  return vscode.workspace.getConfiguration("retin").get("path") || "retin";
}

async function start() {
  if (!vscode.workspace.isTrusted) return;
  const command = program();
  client = new LanguageClient(
    "retin",
    "Retin",
    // No transport is named: the client would add an argument for it.
    { command, args: ["serve"] },
    {
      documentSelector: [
        { scheme: "file", language: "retin" },
        { scheme: "untitled", language: "retin" },
      ],
    },
  );
  client.registerFeature({
    fillClientCapabilities: (capabilities) => {
      capabilities.experimental = { ...capabilities.experimental, [SHOW]: true };
    },
    initialize: () => {},
    getState: () => ({ kind: "static" }),
    clear: () => {},
  });
  try {
    await client.start();
  } catch (error) {
    client = undefined;
    const answer = await vscode.window.showErrorMessage(
      `Retin: "${command} serve" did not start (${error.message ?? error}). Files are coloured but not checked.`,
      "Choose the program",
    );
    if (answer) await vscode.commands.executeCommand("workbench.action.openSettings", "retin.path");
  }
}

async function stop() {
  const running = client;
  client = undefined;
  if (running?.needsStop()) await running.stop();
}

async function restart() {
  await stop();
  await start();
}

/** Lists the places that a count above a line counts. */
async function show(uri, position, places) {
  if (!client) return;
  const convert = client.protocol2CodeConverter;
  await vscode.commands.executeCommand(
    "editor.action.showReferences",
    convert.asUri(uri),
    convert.asPosition(position),
    places.map((place) => convert.asLocation(place)),
  );
}

async function activate(context) {
  context.subscriptions.push(
    vscode.commands.registerCommand(SHOW, show),
    vscode.commands.registerCommand("retin.restart", restart),
    vscode.workspace.onDidGrantWorkspaceTrust(restart),
    vscode.workspace.onDidChangeConfiguration((change) => {
      if (change.affectsConfiguration("retin.path")) restart();
    }),
  );
  await start();
}

module.exports = { activate, deactivate: stop };
