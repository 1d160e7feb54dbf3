# Runs the queries of the tree-sitter grammar over texts.
# Standard input: {"library": path, "queries": {name: text}, "texts": [...]}.
# Standard output: for each query, its captures: the name, and the texts of what
# they matched, without repeats.
import ctypes
import json
import sys

import tree_sitter

request = json.load(sys.stdin)
library = ctypes.CDLL(request["library"])
library.tree_sitter_retin.restype = ctypes.c_void_p
capsule = ctypes.pythonapi.PyCapsule_New
capsule.restype = ctypes.py_object
capsule.argtypes = [ctypes.c_void_p, ctypes.c_char_p, ctypes.c_void_p]
language = tree_sitter.Language(capsule(library.tree_sitter_retin(), b"tree_sitter.Language", None))
parser = tree_sitter.Parser(language)
trees = [parser.parse(text.encode()) for text in request["texts"]]
answer = {}
for name, text in request["queries"].items():
    query = tree_sitter.Query(language, text)
    matched = {query.capture_name(index): set() for index in range(query.capture_count)}
    patterns = [0] * query.pattern_count
    for tree in trees:
        for pattern, captures in tree_sitter.QueryCursor(query).matches(tree.root_node):
            patterns[pattern] += 1
            for capture, nodes in captures.items():
                matched[capture].update(node.text.decode().split("\n")[0] for node in nodes)
    answer[name] = {
        "captures": {capture: sorted(texts) for capture, texts in matched.items()},
        "patterns": patterns,
    }
json.dump(answer, sys.stdout)
