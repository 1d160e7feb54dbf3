#!/usr/bin/env python3
"""Drives a language server over its standard input and output, and measures it.

    cargo build --release --bin retin
    python3 tests/benches/serve.py                    1,000 and 10,000 parts
    python3 tests/benches/serve.py --parts 1000 --edits 300 --only job
    python3 tests/benches/serve.py --server target/debug/retin --limits
    python3 tests/benches/serve.py --language yaml -- node …/yaml-language-server --stdio
    python3 tests/benches/serve.py --language toml -- …

Needs nothing but Python 3.9 and Linux (memory and processor time are read from
/proc). The clock runs from the moment a message is written to the pipe to the
moment the last byte of the answer is read; nothing is decoded in between, and
one thread does both.

Three layouts of one unit of N parts, with some log, targets and steps:

    model   a model sheet of N parts, edited; the job, open beside it; the shelf
    job     the job on that model sheet, edited in its plan and its log
    single  one file with the job and all its boards but one, edited; the model
            sheet with that one, and the shelf, in other files

What is measured in each:

    first       from the start of the process to the first findings
    edit        from an edit to the findings of that version: a digit more in
                the last number of a line, which is a value, a position or a
                net, a letter of a comment and of a name, a new line, and back
    at rest     completion and hover at places all over the document
    typing      the same right behind an edit, which has to be judged first
    memory      resident after the edits, and the most there ever was
    idle        processor time over five seconds in which nothing is sent

Another server gets the same parts, written in its language.
"""

import argparse
import json
import os
import random
import select
import subprocess
import sys
import tempfile
import time
from pathlib import Path

TOP = Path(__file__).resolve().parent.parent.parent

# What is asked for: `--limits` fails where it is not met. Milliseconds, megabytes.
LIMITS = {
    "edit p99": {1_000: 1.0, 10_000: 5.0},
    "completion p99": {1_000: 2.0, 10_000: 2.0},
    "hover p99": {1_000: 2.0, 10_000: 2.0},
    "first": {1_000: 50.0, 10_000: None},
    "resident": {1_000: 40.0, 10_000: 150.0},
    "idle": {1_000: 0.0, 10_000: 0.0},
}

CAPACITORS = [
    ("10uF 35V", "5x11 p2", "10"),
    ("22uF 35V", "5x11 p2", "22"),
    ("47uF 35V", "6.3x11 p2.5", "47"),
    ("100uF 35V", "8x12 p3.5", "100"),
    ("220uF 35V", "10x16 p5", "220"),
]
FILMS = ["10nF 100V 5%", "22nF 100V 5%", "47nF 100V 5%", "100nF 100V 5%"]
RESISTORS = ["1kohm", "4.7kohm", "10kohm", "47kohm", "100kohm"]
PARTS_A_BOARD = 100


# -- the unit, made up by rule: the same size always gives the same text ---------


def board(number, parts):
    """A board as rows: (group, name, value, rest)."""
    electrolytics, films = parts * 2 // 5, parts // 5
    rows = []
    for index in range(electrolytics):
        value, body, _ = CAPACITORS[index % len(CAPACITORS)]
        nets = "(+ GND, - -24)" if index % 3 == 2 else "(+ V24, - GND)"
        at = f"at {10 + 14 * (index % 20)},{10 + 14 * (index // 20)}"
        rows.append(("electrolytic 85°C radial 20%", f"C{index + 1}", value, f"{body}  {nets}  {at}"))
    for index in range(films):
        rows.append(("film", f"C{201 + index}", FILMS[index % 4], f"p5  (1 n{index}, 2 GND)"))
    for index in range(parts - electrolytics - films):
        value = f"{RESISTORS[index % 5]} 0.25W 5%"
        rows.append(("resistor", f"R{index + 1}", value, f"(1 n{index}, 2 n{index + 1})"))
    return f"b{number}", rows


def boards(parts):
    number = 1
    while parts > 0:
        here = min(parts, PARTS_A_BOARD)
        yield board(number, here)
        parts -= here
        number += 1


def retin_boards(parts):
    lines = []
    for name, rows in boards(parts):
        lines += [
            "",
            f'board {name} "Board {name[1:]}"',
            "  copper  double-sided plated",
            "  size    300 x 200",
            "  rail    V24  24V ±5%",
            "  rail    -24  -24V ±5%",
            "  rail    GND  0V",
        ]
        group = None
        for kind, part, value, rest in rows:
            if kind != group:
                lines += ["", f"  {kind}"]
                group = kind
            lines.append(f"    {part}  {value}  {rest}")
    return lines


def retin_shelf():
    lines = ['shelf main "Drawers"', "  electrolytic 105°C radial 20%"]
    for value, body, name in CAPACITORS:
        value = value.replace("35V", "50V")
        lines.append(
            f"    E-{name}-50  {value}  {body}  life 5000h  have 100000"
            "  1 at 0.20 EUR, 100 at 0.11 EUR"
        )
    return lines


def retin_job(parts, model):
    lines = [
        'job 26-001 "Test unit serial 1"',
        f"  model    {model} revision 1",
        "  arrived  2026-10-02",
        "",
        "plan",
        "  replace  every electrolytic  from main",
        "  keep     every film, resistor",
        "",
        "steps",
        "  photos   photograph everything",
        "  strip    remove every electrolytic            after photos",
        "  fill     fit every electrolytic               after strip",
        "  look     inspect every board                  after fill",
        "",
        "targets",
    ]
    names = [name for name, _ in boards(parts)]
    lines += [f"  {name}.V24  24V ±5%" for name in names[:20]]
    lines += ["", "log", "  2026-10-05", "    09:00  photographed  everything"]
    # Some forty readings and notes a day, as a week at the bench gives them.
    for number, name in enumerate(names[:10]):
        lines.append(f"  2026-10-{6 + number:02}")
        for index in range(40):
            clock = f"{9 + index // 10:02}:{index % 10 * 5:02}"
            if index % 8 == 0:
                lines.append(f'    {clock}  noted     "board {name}, reading {index}"')
            else:
                _, value = f"C{index}", CAPACITORS[(index - 1) % 5][0].split()[0]
                lines.append(f"    {clock}  measured  {name}.C{index}  {value}")
    return lines


def retin(layout, parts):
    """Files by path, the open ones in order, and the one that is edited."""
    uses = ['use "shelf.retin"']
    head = ['model unit "Test unit"', "  revision  1", "  mains     230V 50Hz", "  headroom  40mm"]
    files = {"shelf.retin": retin_shelf()}
    if layout == "single":
        files["model.retin"] = head + retin_boards(PARTS_A_BOARD)
        rest = retin_boards(parts)
        second = rest.index('board b2 "Board 2"')
        files["job.retin"] = ['use "model.retin"'] + uses + [""] + rest[second:] + [""] + retin_job(parts, "unit")
        return files, ["job.retin"], "job.retin"
    files["model.retin"] = head + retin_boards(parts)
    files["job.retin"] = ['use "model.retin"'] + uses + [""] + retin_job(parts, "unit")
    edited = "model.retin" if layout == "model" else "job.retin"
    return files, ["job.retin", "model.retin"] if layout == "model" else ["job.retin"], edited


def yaml(_layout, parts):
    lines = ["unit: Test unit", "revision: 1", "boards:"]
    for name, rows in boards(parts):
        lines += [f"  {name}:", "    rails: {V24: 24, GND: 0}", "    parts:"]
        for kind, part, value, rest in rows:
            lines.append(f'      {part}: {{kind: "{kind}", value: "{value}", rest: "{rest}"}}')
    return {"unit.yaml": lines}, ["unit.yaml"], "unit.yaml"


def toml(_layout, parts):
    lines = ['unit = "Test unit"', "revision = 1"]
    for name, rows in boards(parts):
        lines += ["", f"[boards.{name}]", "rails = { V24 = 24, GND = 0 }"]
        for kind, part, value, rest in rows:
            lines.append(f'parts.{part} = {{ kind = "{kind}", value = "{value}", rest = "{rest}" }}')
    return {"unit.toml": lines}, ["unit.toml"], "unit.toml"


LANGUAGES = {"retin": retin, "yaml": yaml, "toml": toml}
COMMENT = "#"


# -- a client of one thread -------------------------------------------------------


class Client:
    """A server and the talk with it."""

    def __init__(self, command, folder):
        self.begun = time.perf_counter_ns()
        self.process = subprocess.Popen(
            command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, cwd=folder
        )
        self.sink = self.process.stdin.fileno()
        self.source = self.process.stdout.fileno()
        self.unread = b""
        self.number = 0

    def send(self, message):
        """Writes a message, and gives the moment before."""
        body = json.dumps({"jsonrpc": "2.0", **message}, ensure_ascii=False).encode()
        whole = memoryview(b"Content-Length: %d\r\n\r\n%b" % (len(body), body))
        begun = time.perf_counter_ns()
        while whole:
            whole = whole[os.write(self.sink, whole) :]
        return begun

    def receive(self, timeout=60.0):
        """The next message as bytes, and the moment it was all there."""
        while True:
            head = self.unread.find(b"\r\n\r\n")
            if head >= 0:
                length = 0
                for line in self.unread[:head].split(b"\r\n"):
                    name, _, value = line.partition(b":")
                    if name.lower() == b"content-length":
                        length = int(value)
                end = head + 4 + length
                while len(self.unread) < end:
                    self.unread += self.more(timeout)
                body, self.unread = self.unread[head + 4 : end], self.unread[end:]
                return body, time.perf_counter_ns()
            self.unread += self.more(timeout)

    def more(self, timeout):
        ready, _, _ = select.select([self.source], [], [], timeout)
        if not ready:
            raise TimeoutError("the server does not answer")
        piece = os.read(self.source, 1 << 20)
        if not piece:
            raise EOFError(f"the server has ended: {self.process.wait()}")
        return piece

    def until(self, wanted, timeout=60.0):
        """The first message that is wanted; requests of the server are answered."""
        while True:
            body, moment = self.receive(timeout)
            message = json.loads(body)
            if "method" in message and "id" in message:
                items = message.get("params", {})
                items = items.get("items", []) if isinstance(items, dict) else []
                result = [None for _ in items] if message["method"] == "workspace/configuration" else None
                self.send({"id": message["id"], "result": result})
            if wanted(message):
                return message, moment

    def ask(self, method, params):
        """The answer to a request, and how long it took in milliseconds."""
        self.number += 1
        number = self.number
        begun = self.send({"id": number, "method": method, "params": params})
        message, moment = self.until(lambda it: it.get("id") == number and "method" not in it)
        if "error" in message:
            raise RuntimeError(f"{method}: {message['error']}")
        return message["result"], (moment - begun) / 1e6

    def tell(self, method, params):
        return self.send({"method": method, "params": params})

    def findings(self, uri, version, timeout=60.0):
        """Waits for what is found in a version of a document."""

        def is_it(message):
            if message.get("method") != "textDocument/publishDiagnostics":
                return False
            params = message["params"]
            # A server that leaves the version out is taken at its word.
            return params["uri"] == uri and params.get("version", version) == version

        return self.until(is_it, timeout)

    def begin(self, folder):
        capabilities = {
            "general": {"positionEncodings": ["utf-16"]},
            "workspace": {"configuration": False},
            "textDocument": {
                "publishDiagnostics": {"relatedInformation": True, "versionSupport": True},
                "hover": {"contentFormat": ["markdown"]},
                "completion": {"completionItem": {"snippetSupport": True}},
            },
        }
        answer, _ = self.ask(
            "initialize",
            {
                "processId": os.getpid(),
                "rootUri": folder.as_uri(),
                "workspaceFolders": [{"uri": folder.as_uri(), "name": "bench"}],
                "capabilities": capabilities,
            },
        )
        self.tell("initialized", {})
        return answer

    def status(self, name):
        """A line of the process's status, in megabytes."""
        for line in Path(f"/proc/{self.process.pid}/status").read_text().splitlines():
            if line.startswith(name + ":"):
                return int(line.split()[1]) / 1024
        return None

    def processor(self):
        """Seconds of processor time so far."""
        fields = Path(f"/proc/{self.process.pid}/stat").read_text().rsplit(")", 1)[1].split()
        return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")

    def end(self):
        try:
            self.ask("shutdown", None)
            self.tell("exit", None)
            self.process.wait(10)
        except (OSError, EOFError, RuntimeError, TimeoutError, subprocess.TimeoutExpired):
            self.process.kill()
            self.process.wait()


# -- what is done -----------------------------------------------------------------


class Document:
    """An open document, edited one change at a time."""

    def __init__(self, client, folder, path, lines, language):
        self.client = client
        self.uri = (folder / path).as_uri()
        self.lines = list(lines)
        self.language = language
        self.version = 0

    def open(self):
        self.version = 1
        text = "\n".join(self.lines) + "\n"
        document = {"uri": self.uri, "languageId": self.language, "version": 1, "text": text}
        return self.client.tell("textDocument/didOpen", {"textDocument": document})

    def change(self, line, start, end, text):
        """Replaces columns of a line; gives the moment it was sent."""
        self.version += 1
        units = lambda column: len(self.lines[line][:column].encode("utf-16-le")) // 2
        edit = {
            "range": {
                "start": {"line": line, "character": units(start)},
                "end": {"line": line, "character": units(end)},
            },
            "text": text,
        }
        before, after = self.lines[line][:start], self.lines[line][end:]
        self.lines[line : line + 1] = (before + text + after).split("\n")
        return self.client.tell(
            "textDocument/didChange",
            {"textDocument": {"uri": self.uri, "version": self.version}, "contentChanges": [edit]},
        )

    def take_back(self, line, start, count):
        """Joins a line with the one below it that an edit began."""
        self.version += 1
        column = len(self.lines[line].encode("utf-16-le")) // 2
        edit = {
            "range": {
                "start": {"line": line, "character": column},
                "end": {"line": line + 1, "character": len(self.lines[line + 1].encode("utf-16-le")) // 2},
            },
            "text": "",
        }
        del self.lines[line + 1]
        return self.client.tell(
            "textDocument/didChange",
            {"textDocument": {"uri": self.uri, "version": self.version}, "contentChanges": [edit]},
        )

    def at(self, line, column):
        character = len(self.lines[line][:column].encode("utf-16-le")) // 2
        return {"textDocument": {"uri": self.uri}, "position": {"line": line, "character": character}}


def edits(document, chance):
    """Edits as a person makes them, each taken back by the next; endless."""
    is_part = lambda line: line.startswith(("    C", "    R", "      C", "      R", "parts.", "    0", "    1"))
    while True:
        places = [at for at, line in enumerate(document.lines) if is_part(line)]
        line = chance.choice(places)
        text = document.lines[line]
        # A digit more in the last number: a value, a position or a net.
        digit = next((at for at in range(len(text) - 1, 0, -1) if text[at].isdigit()), 0)
        yield document.change(line, digit, digit, "1")
        yield document.change(line, digit, digit + 1, "")
        # A comment, letter by letter.
        end = len(text)
        for count, letter in enumerate(f"  {COMMENT} ok"):
            yield document.change(line, end + count, end + count, letter)
        yield document.change(line, end, end + 6, "")
        # A letter in the first name of the line, which then names nothing else.
        start = len(text) - len(text.lstrip())
        yield document.change(line, start + 1, start + 1, "9")
        yield document.change(line, start + 1, start + 2, "")
        # A line more, and one less.
        yield document.change(line, end, end, "\n" + text[:start])
        yield document.take_back(line, end, start)


def share(times, percent):
    times = sorted(times)
    return times[min(len(times) - 1, int(len(times) * percent / 100))]


def measure(options, layout, parts):
    chance = random.Random(1)
    files, opened, edited = LANGUAGES[options.language](layout, parts)
    found = {"layout": layout, "parts": parts, "lines": len(files[edited])}
    with tempfile.TemporaryDirectory(prefix="serve-bench-") as name:
        folder = Path(name).resolve()
        for path, lines in files.items():
            (folder / path).write_text("\n".join(lines) + "\n", encoding="utf-8")
        first = []
        for attempt in range(options.starts):
            client = Client(options.command, folder)
            client.begin(folder)
            documents = {path: Document(client, folder, path, files[path], options.language) for path in opened}
            for path in opened:
                documents[path].open()
            message, moment = client.findings(documents[edited].uri, 1)
            first.append((moment - client.begun) / 1e6)
            if attempt + 1 < options.starts:
                client.end()
        found["first"] = share(first, 50)
        found["findings at first"] = len(message["params"]["diagnostics"])
        document = documents[edited]
        found["resident at first"] = client.status("VmRSS")

        times, changes = [], edits(document, chance)
        for number in range(options.edits + options.warm):
            begun = next(changes)
            _, moment = client.findings(document.uri, document.version)
            if number >= options.warm:
                times.append((moment - begun) / 1e6)
        found.update({"edit p50": share(times, 50), "edit p99": share(times, 99), "edit most": max(times)})

        for what, method in [("completion", "textDocument/completion"), ("hover", "textDocument/hover")]:
            rest, typing = [], []
            for _ in range(options.asks):
                line = chance.randrange(len(document.lines))
                column = chance.randrange(len(document.lines[line]) + 1)
                params = document.at(line, column)
                if what == "completion":
                    params["context"] = {"triggerKind": 1}
                rest.append(client.ask(method, params)[1])
            for _ in range(options.asks // 4):
                begun = next(changes)
                line = chance.randrange(len(document.lines))
                params = document.at(line, chance.randrange(len(document.lines[line]) + 1))
                client.ask(method, params)
                typing.append((time.perf_counter_ns() - begun) / 1e6)
            found.update(
                {
                    f"{what} p50": share(rest, 50),
                    f"{what} p99": share(rest, 99),
                    f"{what} typing p99": share(typing, 99),
                }
            )

        # A burst: a hundred letters at once, and the findings of the last.
        begun = next(changes)
        for _ in range(99):
            next(changes)
        _, moment = client.findings(document.uri, document.version)
        found["burst of 100"] = (moment - begun) / 1e6

        found["resident"] = client.status("VmRSS")
        found["most resident"] = client.status("VmHWM")
        time.sleep(0.5)
        before = client.processor()
        time.sleep(options.idle)
        found["idle"] = client.processor() - before
        client.end()
    return found


UNITS = {"resident": "MB", "resident at first": "MB", "most resident": "MB", "idle": "s"}


def show(found, is_ours):
    print(f"\n{found['layout']}, {found['parts']:,} parts, {found['lines']:,} lines in the edited file")
    for name, value in found.items():
        if name in ("layout", "parts", "lines") or value is None:
            continue
        if name == "findings at first":
            print(f"  {name:<22} {value:>9}")
            continue
        limit = LIMITS.get(name, {}).get(found["parts"]) if is_ours else None
        beside = "" if limit is None else f"   (asked for: at most {limit:g})"
        print(f"  {name:<22} {value:>9.2f} {UNITS.get(name, 'ms')}{beside}")


def main():
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--server", default=str(TOP / "target/release/retin"), help="the program `retin`")
    parser.add_argument("--language", choices=sorted(LANGUAGES), default="retin")
    parser.add_argument("--parts", type=int, nargs="+", default=[1_000, 10_000])
    parser.add_argument("--only", choices=["model", "job", "single"], help="one layout")
    parser.add_argument("--edits", type=int, default=1_000)
    parser.add_argument("--warm", type=int, default=50, help="edits before the clock counts")
    parser.add_argument("--asks", type=int, default=400, help="completions and hovers")
    parser.add_argument("--starts", type=int, default=5, help="how often the server is started")
    parser.add_argument("--idle", type=float, default=5.0, help="seconds")
    parser.add_argument("--json", type=Path, help="writes the numbers here, too")
    parser.add_argument("--limits", action="store_true", help="fail where a limit is not kept")
    parser.add_argument("command", nargs="*", help="another server, behind --")
    options = parser.parse_args()
    options.command = options.command or [str(Path(options.server).resolve()), "serve"]
    layouts = [options.only] if options.only else ["model", "job", "single"]
    if options.language != "retin":
        layouts = ["model"]
    all_found = []
    for parts in options.parts:
        for layout in layouts:
            found = measure(options, layout, parts)
            show(found, options.language == "retin")
            all_found.append(found)
    if options.json:
        options.json.write_text(json.dumps(all_found, indent=2) + "\n")
    if options.limits:
        broken = [
            f"{found['layout']}, {found['parts']} parts: {name} is {found[name]:.2f}, not {limit[found['parts']]:g}"
            for found in all_found
            for name, limit in LIMITS.items()
            if limit.get(found["parts"]) is not None and found[name] > limit[found["parts"]]
        ]
        print("\n".join(["", *broken]) if broken else "\nevery limit is kept")
        return 1 if broken else 0
    return 0


if __name__ == "__main__":
    sys.exit(main())
