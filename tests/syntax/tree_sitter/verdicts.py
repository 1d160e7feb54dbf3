# Reads texts with the tree-sitter parser and tells which of them it refuses.
# Standard input: {"library": path, "texts": [...]}. Standard output: a list.
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
json.dump([parser.parse(text.encode()).root_node.has_error for text in request["texts"]], sys.stdout)
