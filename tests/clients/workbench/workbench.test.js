// The packed extension in a real Visual Studio Code workbench, in Chromium without
// a window: a job is opened, coloured, judged, completed, renamed and tidied by
// keys and menus.

const assert = require("node:assert/strict");
const { execFileSync, spawn } = require("node:child_process");
const fs = require("node:fs");
const net = require("node:net");
const os = require("node:os");
const path = require("node:path");
const { after, before, test } = require("node:test");
const { setTimeout: delay } = require("node:timers/promises");
const { program, top } = require("../protocol/talk.js");

const place = path.join(top, "target", "workbench");
const extension = path.join(top, "editors", "vscode");
let folder;
let server;
let browser;
let page;

/** A port nobody listens on. */
function freePort() {
  return new Promise((resolve) => {
    const probe = net.createServer().listen(0, "127.0.0.1", () => {
      const { port } = probe.address();
      probe.close(() => resolve(port));
    });
  });
}

before(async () => {
  assert.ok(fs.existsSync(path.join(place, "complete")), "sh tests/clients/workbench/install.sh installs the workbench");
  if (!fs.existsSync(path.join(extension, "node_modules"))) execFileSync("npm", ["ci", "--silent"], { cwd: extension, stdio: "pipe" });
  execFileSync("npm", ["run", "--silent", "package"], { cwd: extension, stdio: "pipe" });
  folder = fs.realpathSync(fs.mkdtempSync(path.join(os.tmpdir(), "retin-workbench-")));
  fs.cpSync(path.join(top, "examples"), path.join(folder, "bench"), { recursive: true });
  const extensions = path.join(folder, "extensions");
  fs.mkdirSync(extensions);
  // As the editor unpacks it.
  const unpack = "import sys, zipfile; zipfile.ZipFile(sys.argv[1]).extractall(sys.argv[2])";
  execFileSync("python3", ["-c", unpack, path.join(extension, "retin.vsix"), path.join(folder, "packed")]);
  fs.renameSync(path.join(folder, "packed", "extension"), path.join(extensions, "retin.retin-0.1.0"));
  const settings = { "retin.path": program(), "workbench.startupEditor": "none", "editor.minimap.enabled": false, "workbench.tips.enabled": false };
  fs.mkdirSync(path.join(folder, "data", "data", "Machine"), { recursive: true });
  fs.writeFileSync(path.join(folder, "data", "data", "Machine", "settings.json"), JSON.stringify(settings));

  const port = await freePort();
  const args = ["--host", "127.0.0.1", "--port", String(port), "--without-connection-token", "--accept-server-license-terms", "--telemetry-level", "off"];
  args.push("--server-data-dir", path.join(folder, "data"), "--extensions-dir", extensions);
  server = spawn(process.execPath, [path.join(place, "vscode", "out", "server-main.js"), ...args], {
    cwd: folder,
    env: { ...process.env, HOME: folder, XDG_CACHE_HOME: path.join(folder, "cache") },
    stdio: "ignore",
  });
  const address = `http://127.0.0.1:${port}/`;
  for (let tries = 0; tries < 100; tries += 1) {
    const answer = await fetch(address).catch(() => undefined);
    if (answer?.ok) break;
    await delay(200);
  }
  const { chromium } = require(path.join(place, "package", "node_modules", "playwright-core"));
  browser = await chromium.launch({ executablePath: "/usr/bin/chromium", args: ["--no-sandbox"] });
  page = await browser.newPage({ viewport: { width: 1400, height: 1000 } });
  page.setDefaultTimeout(60_000);
  await page.goto(`${address}?folder=${path.join(folder, "bench")}`);
  await page.locator(".monaco-dialog-box .monaco-button", { hasText: "Yes, I trust" }).click();
});

after(async () => {
  // What the workbench looked like in the end, for whoever asks.
  if (process.env.RETIN_PICTURE) await page?.screenshot({ path: process.env.RETIN_PICTURE });
  await browser?.close();
  server?.kill();
  fs.rmSync(folder, { recursive: true, force: true, maxRetries: 5, retryDelay: 200 });
});

/** Runs a command by the palette. */
async function command(name) {
  await page.keyboard.press("F1");
  const input = page.locator(".quick-input-widget .quick-input-box input").first();
  await input.waitFor({ state: "visible" });
  await input.fill(`>${name}`);
  await page.locator(".quick-input-list .monaco-list-row").first().waitFor();
  await page.keyboard.press("Enter");
}

/** Opens a file by the tree of files. */
async function open(file) {
  for (const name of file.split("/")) {
    const row = page.locator(".explorer-folders-view .monaco-list-row", { hasText: name }).first();
    await (name === path.basename(file) ? row.dblclick() : row.click());
  }
  await page.locator(".tab.active", { hasText: path.basename(file) }).waitFor();
  await page.locator(".view-lines").first().click();
}

async function go(line, column) {
  await page.keyboard.press("Control+G");
  const input = page.locator(".quick-input-widget .quick-input-box input").first();
  await input.waitFor({ state: "visible" });
  await input.fill(`:${line}:${column}`);
  await page.keyboard.press("Enter");
  await page.locator(".quick-input-widget").waitFor({ state: "hidden" });
}

const saved = (name) => fs.readFileSync(path.join(folder, "bench", name), "utf8");

/** Waits until the file on the disk says so. */
async function until(name, wanted) {
  for (let tries = 0; tries < 100; tries += 1) {
    if (wanted(saved(name))) return;
    await delay(200);
  }
  assert.fail(`${name} does not say so:\n${saved(name)}`);
}

test("the extension works in the workbench", async () => {
  const name = "jobs/26-019.retin";
  const lines = saved(name).split("\n");
  const at = (text) => lines.findIndex((line) => line.includes(text)) + 1;
  await open(name);
  await go(1, 1);
  // Coloured by the grammar.
  await page.locator(".view-line span[class*=mtk]").first().waitFor();
  // Judged: squiggles, the list of problems, and a count above the job.
  await page.locator(".squiggly-error").first().waitFor();
  await page.locator(".codelens-decoration", { hasText: /gate \w+: NO-GO/ }).first().waitFor();
  await command("Problems: Focus on Problems View");
  await page.locator(".markers-panel .monaco-list-row", { hasText: "revision-moved" }).first().waitFor();
  await page.locator(".markers-panel a", { hasText: "revision-moved" }).first().waitFor();

  // Completed: the part that fits comes first.
  const plan = at("with S-4700-25");
  await page.locator(".view-lines").first().click();
  await go(plan, lines[plan - 1].indexOf("S-4700-25") + 1);
  await page.keyboard.press("Control+Space");
  await page.locator(".suggest-widget .monaco-list-row").first().waitFor();
  assert.match(await page.locator(".suggest-widget .monaco-list-row.focused").first().innerText(), /[A-Z]-/);
  await page.keyboard.press("Escape");

  // Renamed.
  await go(at("  strip      remove"), 4);
  await page.keyboard.press("F2");
  const box = page.locator(".rename-box input");
  await box.waitFor();
  await box.fill("bare");
  await page.keyboard.press("Enter");
  await page.locator(".view-line", { hasText: /after\sbare/ }).first().waitFor();

  // Tidied.
  await go(at("  fill       fit"), "  fill".length + 1);
  await page.keyboard.type("    ");
  await command("Format Document");
  await command("File: Save");
  await until(name, (text) => text.includes("\n  bare       remove every electrolytic") && text.includes("\n  fill       fit every electrolytic, bipolar, tantalum  after bare"));
});
