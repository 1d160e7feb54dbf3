// Colours lines with the engine that VS Code uses.

const fs = require("node:fs");
const path = require("node:path");
const oniguruma = require("vscode-oniguruma");
const textmate = require("vscode-textmate");

const top = path.join(__dirname, "..", "..", "..");

async function grammar() {
  const wasm = fs.readFileSync(require.resolve("vscode-oniguruma/release/onig.wasm"));
  await oniguruma.loadWASM(wasm);
  const registry = new textmate.Registry({
    onigLib: Promise.resolve({
      createOnigScanner: (patterns) => new oniguruma.OnigScanner(patterns),
      createOnigString: (text) => new oniguruma.OnigString(text),
    }),
    loadGrammar: async () => {
      const file = path.join(top, "syntax", "retin.tmLanguage.json");
      return textmate.parseRawGrammar(fs.readFileSync(file, "utf8"), file);
    },
  });
  return registry.loadGrammar("source.retin");
}

/** The coloured pieces of a text: by line, `[text, innermost scope]`. */
function pieces(loaded, text) {
  let state = textmate.INITIAL;
  return text.split("\n").map((line) => {
    const result = loaded.tokenizeLine(line, state);
    state = result.ruleStack;
    return result.tokens
      .map((token) => [line.slice(token.startIndex, token.endIndex), token.scopes.at(-1)])
      .filter(([piece]) => piece.trim() !== "");
  });
}

module.exports = { grammar, pieces, top };
