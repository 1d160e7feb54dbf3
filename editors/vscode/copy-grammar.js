// Brings the grammar of the language into the package.

const fs = require("node:fs");
const path = require("node:path");

const from = path.join(__dirname, "..", "..", "syntax", "retin.tmLanguage.json");
const folder = path.join(__dirname, "syntaxes");
fs.mkdirSync(folder, { recursive: true });
fs.copyFileSync(from, path.join(folder, "retin.tmLanguage.json"));
