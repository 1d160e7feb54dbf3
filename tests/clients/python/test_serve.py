"""The server through pytest-lsp: an independent client, with the abilities of
editors as they announce them. It decodes every answer into the protocol's types,
and complains where an answer goes beyond what the editor can do.

RETIN_PROGRAM names the program.
"""

import asyncio
import os
import shutil
from pathlib import Path

import pytest
import pytest_lsp
from lsprotocol import types
from pytest_lsp import (
    ClientServerConfig,
    LanguageClient,
    client_capabilities,
    make_test_lsp_client,
)

TOP = Path(__file__).resolve().parents[3]
EDITORS = [
    "visual-studio-code@v1.65.2",
    "neovim@v0.6.1",
    "neovim@v0.7.0",
    "neovim@v0.11.0",
    "emacs@v29.1",
]


@pytest.fixture
def bench(tmp_path):
    shutil.copytree(TOP / "examples", tmp_path / "bench")
    return (tmp_path / "bench").resolve()


def answering():
    """A client that also answers what the server may ask of an editor."""
    client = make_test_lsp_client()
    for method in (
        types.CLIENT_REGISTER_CAPABILITY,
        types.WORKSPACE_CODE_LENS_REFRESH,
        types.WORKSPACE_INLAY_HINT_REFRESH,
    ):
        client.feature(method)(lambda params=None: None)
    return client


@pytest_lsp.fixture(
    params=EDITORS,
    config=ClientServerConfig(
        client_factory=answering, server_command=[os.environ["RETIN_PROGRAM"], "serve"]
    ),
)
async def client(request, lsp_client: LanguageClient, bench):
    await lsp_client.initialize_session(
        types.InitializeParams(
            capabilities=client_capabilities(request.param),
            workspace_folders=[types.WorkspaceFolder(uri=bench.as_uri(), name="bench")],
        )
    )
    yield
    await lsp_client.shutdown_session()


def opened(client, path, text=None):
    """Opens a file; gives its address and its lines."""
    text = path.read_text(encoding="utf-8") if text is None else text
    client.text_document_did_open(
        types.DidOpenTextDocumentParams(
            text_document=types.TextDocumentItem(
                uri=path.as_uri(), language_id="retin", version=1, text=text
            )
        )
    )
    return path.as_uri(), text.split("\n")


def at(lines, words, offset):
    """The position so many letters into the first of some words."""
    line = next(number for number, text in enumerate(lines) if words in text)
    return types.Position(line=line, character=lines[line].index(words) + offset)


async def findings(client, uri):
    """What is found in a document: pushed, or asked for where the editor asks."""
    if client.capabilities.text_document.diagnostic:
        report = await client.text_document_diagnostic_async(
            types.DocumentDiagnosticParams(text_document=types.TextDocumentIdentifier(uri=uri))
        )
        return report.items
    for _ in range(600):
        if uri in client.diagnostics:
            return client.diagnostics[uri]
        await asyncio.sleep(0.05)
    raise TimeoutError("no findings came")


@pytest.mark.asyncio
async def test_findings_are_those_of_the_marks(client, bench):
    """Each line that is marked with a rule has a finding of it."""
    uri, lines = opened(client, bench / "jobs/26-019.retin")
    found = {(it.range.start.line, it.code) for it in await findings(client, uri)}
    marked = {
        (number, rule)
        for number, line in enumerate(lines)
        if "# finds " in line
        for rule in line.split("# finds ")[1].split()
    }
    assert len(marked) > 20
    assert marked <= found


@pytest.mark.asyncio
async def test_names_lead_to_their_lines_and_change_everywhere(client, bench):
    uri, lines = opened(client, bench / "jobs/26-014.retin")
    here = types.TextDocumentIdentifier(uri=uri)
    point = at(lines, "leave      psu.C12", len("leave      psu.C1"))
    defined = await client.text_document_definition_async(
        types.DefinitionParams(text_document=here, position=point)
    )
    assert [it.uri for it in defined] == [(bench / "models/sm8.retin").as_uri()]
    renamed = await client.text_document_rename_async(
        types.RenameParams(
            text_document=here, position=at(lines, "  wash       clean", 3), new_name="rinse"
        )
    )
    edits = [edit for edits in renamed.changes.values() for edit in edits]
    assert len(edits) == 2 and {edit.new_text for edit in edits} == {"rinse"}


@pytest.mark.asyncio
async def test_a_part_is_told_of_and_completed(client, bench):
    uri, lines = opened(client, bench / "jobs/26-019.retin")
    here = types.TextDocumentIdentifier(uri=uri)
    hover = await client.text_document_hover_async(
        types.HoverParams(text_document=here, position=at(lines, "psu.C6  100uF", 5))
    )
    assert "evidence" in hover.contents.value and "Markdown" not in hover.contents.value
    found = await client.text_document_completion_async(
        types.CompletionParams(
            text_document=here, position=at(lines, "with S-4700-25", len("with "))
        )
    )
    items = found if isinstance(found, list) else found.items
    assert items[0].detail.startswith("fits: ")
    assert items == sorted(items, key=lambda item: item.sort_text)


@pytest.mark.asyncio
async def test_every_other_answer_can_be_decoded(client, bench):
    uri, lines = opened(client, bench / "jobs/26-014.retin")
    here = types.TextDocumentIdentifier(uri=uri)
    point = at(lines, "psu.C9", 5)
    whole = types.Range(types.Position(0, 0), types.Position(len(lines), 0))
    options = types.FormattingOptions(tab_size=2, insert_spaces=True)
    context = types.ReferenceContext(include_declaration=True)
    assert await client.text_document_references_async(
        types.ReferenceParams(text_document=here, position=point, context=context)
    )
    assert await client.text_document_document_highlight_async(
        types.DocumentHighlightParams(text_document=here, position=point)
    )
    assert await client.text_document_document_symbol_async(
        types.DocumentSymbolParams(text_document=here)
    )
    assert await client.workspace_symbol_async(types.WorkspaceSymbolParams(query="psu"))
    assert await client.text_document_folding_range_async(
        types.FoldingRangeParams(text_document=here)
    )
    assert await client.text_document_selection_range_async(
        types.SelectionRangeParams(text_document=here, positions=[point])
    )
    assert (
        await client.text_document_semantic_tokens_full_async(
            types.SemanticTokensParams(text_document=here)
        )
    ).data
    assert await client.text_document_inlay_hint_async(
        types.InlayHintParams(text_document=here, range=whole)
    )
    assert await client.text_document_code_lens_async(types.CodeLensParams(text_document=here))
    assert await client.text_document_document_link_async(
        types.DocumentLinkParams(text_document=here)
    )
    assert await client.text_document_signature_help_async(
        types.SignatureHelpParams(text_document=here, position=point)
    )
    await client.text_document_code_action_async(
        types.CodeActionParams(
            text_document=here, range=whole, context=types.CodeActionContext(diagnostics=[])
        )
    )
    # The example is in its canonical form.
    assert not await client.text_document_formatting_async(
        types.DocumentFormattingParams(text_document=here, options=options)
    )
