// Talks to a language server over its standard input and output, and judges every
// message it sends by the protocol's own description.

const { execFileSync, spawn } = require("node:child_process");
const path = require("node:path");
const { judge } = require("./model.js");

const top = path.join(__dirname, "..", "..", "..");

/** The program: the one that RETIN_PROGRAM names, else the one of this folder, built where it has changed. */
function program() {
  if (process.env.RETIN_PROGRAM) return path.resolve(process.env.RETIN_PROGRAM);
  execFileSync("cargo", ["build", "--quiet", "--locked", "--package", "retin-cli", "--bin", "retin"], { cwd: top, stdio: ["ignore", "ignore", "inherit"] });
  return path.join(process.env.CARGO_TARGET_DIR ?? path.join(top, "target"), "debug", "retin");
}

/** How long an answer may take: the program is built without optimization. */
const PATIENCE = 60_000;

class Talk {
  constructor(options = {}) {
    this.child = spawn(options.program ?? program(), ["serve"], {
      stdio: ["pipe", "pipe", "pipe"],
      cwd: options.cwd,
      env: { ...process.env, ...options.env },
    });
    this.number = 0;
    /** The methods of requests that wait for their answer, by id. */
    this.asked = new Map();
    /** Who waits for what. */
    this.waiting = [];
    /** Every message that came, in order. */
    this.came = [];
    /** What was wrong with them. */
    this.wrong = [];
    /** Which methods were asked for and answered, and what the server sent. */
    this.answered = new Set();
    this.sent = new Set();
    this.errors = "";
    this.unread = Buffer.alloc(0);
    /** How requests of the server are answered. */
    this.replies = {};
    this.child.stdin.on("error", () => {});
    this.child.stderr.on("data", (piece) => (this.errors += piece));
    this.child.stdout.on("data", (piece) => this.read(piece));
    this.ended = new Promise((resolve) => this.child.on("exit", (code, signal) => resolve({ code, signal })));
  }

  read(piece) {
    this.unread = Buffer.concat([this.unread, piece]);
    for (;;) {
      const head = this.unread.indexOf("\r\n\r\n");
      if (head < 0) return;
      const length = /^Content-Length: (\d+)$/im.exec(this.unread.toString("latin1", 0, head).replace(/\r/g, ""));
      if (!length) {
        this.wrong.push("a message without its length");
        return;
      }
      const end = head + 4 + Number(length[1]);
      if (this.unread.length < end) return;
      const body = this.unread.toString("utf8", head + 4, end);
      this.unread = this.unread.subarray(end);
      this.take(JSON.parse(body));
    }
  }

  take(message) {
    this.came.push(message);
    this.wrong.push(...judge(message, (id) => this.asked.get(id)));
    if ("method" in message) this.sent.add(message.method);
    else {
      if (!("error" in message)) this.answered.add(this.asked.get(message.id));
      this.asked.delete(message.id);
    }
    if ("method" in message && "id" in message) {
      const reply = this.replies[message.method];
      this.write({ jsonrpc: "2.0", id: message.id, result: reply ? reply(message.params) : null });
    }
    this.waiting = this.waiting.filter(({ wanted, resolve }) => {
      if (!wanted(message)) return true;
      resolve(message);
      return false;
    });
  }

  /** The next message that is wanted. */
  next(wanted, what) {
    return new Promise((resolve, reject) => {
      const timer = setTimeout(() => reject(new Error(`${what} did not come; ${this.errors}`)), PATIENCE);
      this.waiting.push({
        wanted,
        resolve: (message) => {
          clearTimeout(timer);
          resolve(message);
        },
      });
    });
  }

  /** Writes bytes as they are. */
  raw(bytes) {
    this.child.stdin.write(bytes);
  }

  write(message) {
    const body = Buffer.from(JSON.stringify(message));
    this.raw(Buffer.concat([Buffer.from(`Content-Length: ${body.length}\r\n\r\n`), body]));
  }

  tell(method, params) {
    this.write({ jsonrpc: "2.0", method, params });
  }

  /** Sends a request and gives its id at once. */
  post(method, params, id = (this.number += 1)) {
    this.asked.set(id, method);
    const message = { jsonrpc: "2.0", id, method };
    if (params !== undefined) message.params = params;
    this.write(message);
    return id;
  }

  /** The whole response to a request. */
  async response(method, params) {
    const id = (this.number += 1);
    const answer = this.next((message) => !("method" in message) && message.id === id, method);
    this.post(method, params, id);
    return answer;
  }

  /** The result of a request. */
  async ask(method, params) {
    const message = await this.response(method, params);
    if ("error" in message) throw new Error(`${method}: ${JSON.stringify(message.error)}`);
    return message.result;
  }

  /** Waits for the findings of a version of a document. */
  findings(uri, version) {
    const isIt = ({ method, params }) => method === "textDocument/publishDiagnostics" && params.uri === uri && params.version === version;
    const there = this.came.findLast(isIt);
    return there ? Promise.resolve(there) : this.next(isIt, `the findings of ${uri} ${version}`);
  }

  /** Ends the talk as the protocol has it, and gives how the server left. */
  async end() {
    await this.ask("shutdown");
    this.tell("exit");
    return this.ended;
  }

  kill() {
    this.child.kill();
  }
}

/** An editor that can do everything, as far as the server looks at it. */
const EVERYTHING = {
  general: { positionEncodings: ["utf-16"] },
  window: { workDoneProgress: true },
  workspace: {
    applyEdit: true,
    configuration: true,
    workspaceFolders: true,
    didChangeConfiguration: { dynamicRegistration: true },
    didChangeWatchedFiles: { dynamicRegistration: true, relativePatternSupport: true },
    codeLens: { refreshSupport: true },
    inlayHint: { refreshSupport: true },
    semanticTokens: { refreshSupport: true },
    diagnostics: { refreshSupport: true },
    diagnostic: { refreshSupport: true },
    workspaceEdit: { documentChanges: true },
  },
  textDocument: {
    publishDiagnostics: { relatedInformation: true, versionSupport: true, tagSupport: { valueSet: [1, 2] }, codeDescriptionSupport: true },
    hover: { contentFormat: ["markdown", "plaintext"] },
    completion: { completionItem: { snippetSupport: true, documentationFormat: ["markdown", "plaintext"] } },
    signatureHelp: { signatureInformation: { activeParameterSupport: true } },
    codeAction: { codeActionLiteralSupport: { codeActionKind: { valueSet: ["quickfix", "refactor"] } } },
    rename: { prepareSupport: true },
    documentSymbol: { hierarchicalDocumentSymbolSupport: true },
  },
};

module.exports = { Talk, EVERYTHING, program, top };
