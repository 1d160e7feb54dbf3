// The TextMate grammar: a snapshot that people can read, and every word.
//
// `UPDATE=1 node --test` rewrites the snapshot.

const assert = require("node:assert/strict");
const fs = require("node:fs");
const path = require("node:path");
const { before, test } = require("node:test");
const { grammar, pieces, top } = require("./scopes.js");

const words = require("../../../syntax/words.json");

/** The scope of each class of words. */
const SCOPES = {
  joining: "keyword.operator.word.retin",
  lines: "keyword.other.line.retin",
  kinds: "storage.type.kind.retin",
  families: "storage.type.family.retin",
  verbs: "keyword.other.verb.retin",
  sources: "keyword.other.source.retin",
  directions: "constant.language.direction.retin",
  choices: "constant.language.choice.retin",
  properties: "support.type.property-name.retin",
};

let loaded;
before(async () => {
  loaded = await grammar();
});

test("the sample is coloured as the snapshot shows", () => {
  const sample = fs.readFileSync(path.join(__dirname, "sample.retin"), "utf8").trimEnd();
  const shown = pieces(loaded, sample)
    .map((line, index) => {
      const source = sample.split("\n")[index];
      const scopes = line.map(([piece, scope]) => `    ${piece.trim().padEnd(24)} ${scope}`);
      return [source, ...scopes].join("\n");
    })
    .join("\n");
  const file = path.join(__dirname, "sample.scopes");
  if (process.env.UPDATE) fs.writeFileSync(file, `${shown}\n`);
  assert.equal(`${shown}\n`, fs.readFileSync(file, "utf8"));
});

test("every reserved word has the scope of its class", () => {
  const seen = new Set(words.headings);
  for (const [name, list] of Object.entries(words.classes)) {
    for (const word of list) {
      seen.add(word);
      // Behind a name, and not before anything that would make it one.
      const [[, found]] = [pieces(loaded, `    C1 ${word}`)[0].at(-1)];
      assert.equal(found, SCOPES[name], word);
    }
  }
  assert.deepEqual([...seen].sort(), [...words.reserved].sort());
});

test("every heading is one at the left margin", () => {
  for (const word of words.headings) {
    assert.equal(pieces(loaded, `${word} lm8`)[0][0][1], "keyword.control.heading.retin", word);
  }
});

test("every unit is one, touching its number or apart", () => {
  for (const unit of words.units) {
    for (const text of [`  C1 10${unit}`, `  C1 10 ${unit}`]) {
      assert.equal(pieces(loaded, text)[0].at(-1)[1], "keyword.other.unit.retin", text);
    }
  }
});

test("a word that only begins like a reserved one is none", () => {
  for (const word of words.reserved) {
    for (const other of [`${word}s-`, `x${word}`, `${word}.C1`]) {
      const [, scope] = pieces(loaded, `  C1 ${other}`)[0].at(-1);
      assert.ok(!Object.values(SCOPES).includes(scope), `${other}: ${scope}`);
    }
  }
});

test("the examples leave little uncoloured", () => {
  const files = ["models/sm8.retin", "shelf.retin", "jobs/26-014.retin", "jobs/26-019.retin"];
  for (const file of files) {
    const text = fs.readFileSync(path.join(top, "examples", file), "utf8");
    const all = pieces(loaded, text).flat();
    const plain = all.filter(([, scope]) => scope === "source.retin");
    assert.ok(plain.length < all.length / 4, `${file}: ${plain.length} of ${all.length}`);
  }
});
