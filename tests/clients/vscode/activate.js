// Activates the extension without Visual Studio Code: what it asks of the editor
// is answered by something that takes every call. Only the start of the program
// is looked at.

const Module = require("node:module");
const path = require("node:path");

/** Takes every call and has every member; its lists are empty. */
function anything() {
  return new Proxy(class {}, {
    get: (target, name) => {
      if (name === Symbol.toPrimitive) return () => "";
      if (name === Symbol.iterator) return [][Symbol.iterator].bind([]);
      if (name === "then") return undefined;
      if (name === "prototype") return target.prototype;
      return (target[name] ??= name === "length" ? 0 : anything());
    },
    apply: () => anything(),
    construct: () => anything(),
  });
}

const settings = { path: process.argv[2] };
const vscode = anything();
const workspace = new Proxy(
  {
    isTrusted: true,
    textDocuments: [],
    notebookDocuments: [],
    workspaceFolders: undefined,
    getConfiguration: () => ({ get: (name, otherwise) => settings[name] ?? otherwise }),
  },
  { get: (target, name) => (name in target ? target[name] : anything()) },
);
const silent = async () => undefined;
const window = new Proxy(
  { showErrorMessage: silent, showWarningMessage: silent, showInformationMessage: silent },
  { get: (target, name) => (name in target ? target[name] : anything()) },
);
const load = Module._load;
Module._load = (name, ...rest) =>
  name === "vscode"
    ? new Proxy(vscode, { get: (target, member) => ({ window, workspace, version: "1.99.0" })[member] ?? target[member] })
    : load(name, ...rest);

const extension = require(path.join(__dirname, "..", "..", "..", "editors", "vscode", "extension.js"));
extension.activate({ subscriptions: [] });
