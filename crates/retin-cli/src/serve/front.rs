//! The protocol's requests, each turned into a question to the thread that owns
//! the documents.

use super::answer;
use super::capabilities::capabilities;
use super::notices::{Notice, forward};
use super::owner::{Ask, Beginning, Event};
use super::pages::Pages;
use super::positions::Encoding;
use super::room::{Here, Room};
use super::settings::{self, SECTION};
use super::wire::Conversation;
use serde_json::Value;
use std::collections::HashMap;
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::mpsc::Sender;
use std::sync::{Arc, Mutex, OnceLock, PoisonError};
use tokio::sync::mpsc::UnboundedReceiver;
use tokio::sync::oneshot;
use tower_lsp::jsonrpc::{Error, ErrorCode, Result};
use tower_lsp::lsp_types::request::{GotoDeclarationParams, GotoDeclarationResponse};
use tower_lsp::lsp_types::*;
use tower_lsp::{Client, LanguageServer, async_trait};

/// The side of the server that the protocol library talks to.
pub struct Front {
    client: Client,
    events: Sender<Event>,
    conversation: Arc<Conversation>,
    notices: Mutex<Option<UnboundedReceiver<Notice>>>,
    editor: OnceLock<Editor>,
    /// The colours last sent for each document, with their number.
    colours: Mutex<HashMap<Url, (u64, Vec<SemanticToken>)>>,
    next_colours: AtomicU64,
}

/// What the editor can do.
#[derive(Clone, Copy, Default, Debug)]
pub struct Editor {
    /// It asks for findings, so that none are to be pushed.
    pub asks_for_findings: bool,
    /// It shows what is found in other files, too, when it asks for those of one.
    pub takes_related: bool,
    /// It can be told to ask for findings again.
    pub asks_again: bool,
    /// The same for hints.
    pub asks_again_for_hints: bool,
    /// The same for counts above lines.
    pub asks_again_for_lenses: bool,
    /// It can be asked to watch files.
    pub watches: bool,
    /// It can be asked for its settings.
    pub has_settings: bool,
    /// It can be asked to tell when they change.
    pub tells_settings: bool,
    /// It shows how long work goes on.
    pub shows_progress: bool,
    /// It can fill in snippets.
    pub takes_snippets: bool,
    /// It shows Markdown beside the text.
    pub reads_markdown: bool,
    /// It shows links beside findings.
    pub shows_pages: bool,
    /// It has a command `retin.show`, which lists places.
    pub lists_places: bool,
}

impl Editor {
    fn of(capabilities: &ClientCapabilities) -> Editor {
        let text = capabilities.text_document.as_ref();
        let workspace = capabilities.workspace.as_ref();
        let is_set = |set: Option<bool>| set.unwrap_or(false);
        let markup = text
            .and_then(|text| text.hover.as_ref())
            .and_then(|hover| hover.content_format.as_ref());
        let pulled = text.and_then(|text| text.diagnostic.as_ref());
        Editor {
            asks_for_findings: pulled.is_some(),
            takes_related: is_set(pulled.and_then(|pulled| pulled.related_document_support)),
            asks_again: false,
            asks_again_for_hints: is_set(
                workspace
                    .and_then(|workspace| workspace.inlay_hint.as_ref())
                    .and_then(|hints| hints.refresh_support),
            ),
            asks_again_for_lenses: is_set(
                workspace
                    .and_then(|workspace| workspace.code_lens.as_ref())
                    .and_then(|lenses| lenses.refresh_support),
            ),
            watches: is_set(
                workspace
                    .and_then(|workspace| workspace.did_change_watched_files)
                    .and_then(|watched| watched.dynamic_registration),
            ),
            has_settings: is_set(workspace.and_then(|workspace| workspace.configuration)),
            tells_settings: is_set(
                workspace
                    .and_then(|workspace| workspace.did_change_configuration)
                    .and_then(|settings| settings.dynamic_registration),
            ),
            shows_progress: is_set(
                capabilities
                    .window
                    .as_ref()
                    .and_then(|window| window.work_done_progress),
            ),
            takes_snippets: is_set(
                text.and_then(|text| text.completion.as_ref())
                    .and_then(|completion| completion.completion_item.as_ref())
                    .and_then(|item| item.snippet_support),
            ),
            reads_markdown: markup.is_some_and(|markup| markup.contains(&MarkupKind::Markdown)),
            shows_pages: is_set(
                text.and_then(|text| text.publish_diagnostics.as_ref())
                    .and_then(|findings| findings.code_description_support),
            ),
            lists_places: is_set(
                capabilities
                    .experimental
                    .as_ref()
                    .and_then(|own| own.get("retin.show"))
                    .and_then(Value::as_bool),
            ),
        }
    }
}

/// A question as a closure, with the way back.
struct Question<R, F> {
    reply: oneshot::Sender<R>,
    answer: F,
}

impl<R, F> Ask for Question<R, F>
where
    R: Send,
    F: FnOnce(&Room<'_, '_>) -> R + Send,
{
    fn answer(self: Box<Self>, room: &Room<'_, '_>) {
        // A request that was cancelled has dropped its end.
        if !self.reply.is_closed() {
            let answer = (self.answer)(room);
            let _ = self.reply.send(answer);
        }
    }
}

impl Front {
    /// A front that has not begun.
    pub fn new(
        client: Client,
        events: Sender<Event>,
        conversation: Arc<Conversation>,
        notices: UnboundedReceiver<Notice>,
    ) -> Front {
        Front {
            client,
            events,
            conversation,
            notices: Mutex::new(Some(notices)),
            editor: OnceLock::new(),
            colours: Mutex::default(),
            next_colours: AtomicU64::new(1),
        }
    }

    fn editor(&self) -> Editor {
        self.editor.get().copied().unwrap_or_default()
    }

    /// Asks the owner of the documents.
    async fn ask<R, F>(&self, answer: F) -> Result<R>
    where
        R: Send + 'static,
        F: FnOnce(&Room<'_, '_>) -> R + Send + 'static,
    {
        let (reply, answered) = oneshot::channel();
        let question = Question { reply, answer };
        self.events
            .send(Event::Asked(Box::new(question)))
            .map_err(|_| Error::internal_error())?;
        answered.await.map_err(|_| Error::internal_error())
    }

    /// Asks about one document; none where nothing open has to do with it.
    async fn ask_here<R, F>(&self, uri: Url, answer: F) -> Result<Option<R>>
    where
        R: Send + 'static,
        F: FnOnce(&Here<'_, '_, '_>) -> R + Send + 'static,
    {
        self.ask(move |room| room.here(&uri).as_ref().map(answer))
            .await
    }

    /// Has the editor told what the owner has to tell.
    fn forward(&self) {
        let notices = self
            .notices
            .lock()
            .unwrap_or_else(PoisonError::into_inner)
            .take();
        if let Some(notices) = notices {
            tokio::spawn(forward(self.client.clone(), self.editor(), notices));
        }
    }

    /// Asks the editor to watch files and to tell of settings, as far as it can.
    fn register(&self) {
        let editor = self.editor();
        let mut registrations = Vec::new();
        if editor.watches {
            let options = DidChangeWatchedFilesRegistrationOptions {
                watchers: vec![FileSystemWatcher {
                    glob_pattern: GlobPattern::String("**/*.retin".into()),
                    kind: None,
                }],
            };
            registrations.push(Registration {
                id: "files".into(),
                method: "workspace/didChangeWatchedFiles".into(),
                register_options: serde_json::to_value(options).ok(),
            });
        }
        if editor.tells_settings {
            registrations.push(Registration {
                id: "settings".into(),
                method: "workspace/didChangeConfiguration".into(),
                register_options: Some(serde_json::json!({ "section": SECTION })),
            });
        }
        if registrations.is_empty() {
            return;
        }
        let client = self.client.clone();
        // An editor that refuses has files looked at with the next edit.
        tokio::spawn(async move { client.register_capability(registrations).await.ok() });
    }

    /// Asks the editor for its settings.
    fn ask_for_settings(&self) {
        if !self.editor().has_settings {
            return;
        }
        let client = self.client.clone();
        let events = self.events.clone();
        tokio::spawn(async move {
            let item = ConfigurationItem {
                scope_uri: None,
                section: Some(SECTION.to_owned()),
            };
            // An editor that has none answers null, and then what it was started with holds.
            if let Ok(values) = client.configuration(vec![item]).await
                && let Some(value) = values.first().filter(|value| value.is_object())
            {
                set(&client, &events, value).await;
            }
        });
    }

    /// Keeps what was sent, and gives the number it is known by.
    fn keep_colours(&self, uri: Url, colours: Vec<SemanticToken>) -> String {
        let number = self.next_colours.fetch_add(1, Ordering::Relaxed);
        let mut kept = self.colours.lock().unwrap_or_else(PoisonError::into_inner);
        // Who asks for a difference to what is forgotten gets everything.
        if kept.len() >= MOST_COLOURED {
            kept.clear();
        }
        kept.insert(uri, (number, colours));
        number.to_string()
    }
}

/// Of how many documents the colours are kept that were sent last.
const MOST_COLOURED: usize = 32;

/// Takes settings, and complains of those that cannot be read.
async fn set(client: &Client, events: &Sender<Event>, value: &Value) {
    let (settings, wrong) = settings::read(value);
    // The owner is gone only when the process ends.
    let _ = events.send(Event::Set(settings));
    for complaint in wrong {
        client.show_message(MessageType::WARNING, complaint).await;
    }
}

/// A refusal that a person is to read.
fn refused(why: String) -> Error {
    Error {
        code: ErrorCode::ServerError(REQUEST_FAILED),
        message: why.into(),
        data: None,
    }
}

/// The protocol's number for a request that was sound and could not be met.
const REQUEST_FAILED: i64 = -32803;

#[async_trait]
impl LanguageServer for Front {
    async fn initialize(&self, params: InitializeParams) -> Result<InitializeResult> {
        let editor = *self.editor.get_or_init(|| Editor {
            asks_again: self.conversation.asks_again.load(Ordering::SeqCst),
            ..Editor::of(&params.capabilities)
        });
        let offered = params
            .capabilities
            .general
            .as_ref()
            .and_then(|general| general.position_encodings.as_deref());
        let encoding = Encoding::chosen(offered);
        #[allow(deprecated, reason = "editors older than folders send the root only")]
        let root = params.root_uri;
        let folders = match params.workspace_folders {
            Some(folders) => folders.into_iter().map(|folder| folder.uri).collect(),
            None => root.into_iter().collect(),
        };
        let options = params.initialization_options.unwrap_or_default();
        let (settings, wrong) = settings::read(&options);
        self.events
            .send(Event::Begun(Beginning {
                encoding,
                folders,
                asks_for_findings: editor.asks_for_findings,
                pages: if editor.shows_pages {
                    Pages::written()
                } else {
                    None
                },
                settings,
            }))
            .map_err(|_| Error::internal_error())?;
        for complaint in wrong {
            self.client
                .show_message(MessageType::WARNING, complaint)
                .await;
        }
        self.conversation.has_begun.store(true, Ordering::SeqCst);
        Ok(InitializeResult {
            capabilities: capabilities(encoding, editor),
            server_info: Some(ServerInfo {
                name: "retin".into(),
                version: Some(env!("CARGO_PKG_VERSION").into()),
            }),
        })
    }

    async fn initialized(&self, _: InitializedParams) {
        self.forward();
        self.register();
        self.ask_for_settings();
    }

    async fn did_change_configuration(&self, params: DidChangeConfigurationParams) {
        // Some editors send what was set, others only that something was.
        if params.settings.is_object() {
            set(&self.client, &self.events, &params.settings).await;
        } else {
            self.ask_for_settings();
        }
    }

    async fn shutdown(&self) -> Result<()> {
        self.conversation.is_ending.store(true, Ordering::SeqCst);
        Ok(())
    }

    async fn diagnostic(
        &self,
        params: DocumentDiagnosticParams,
    ) -> Result<DocumentDiagnosticReportResult> {
        let uri = params.text_document.uri;
        let takes_related = self.editor().takes_related;
        self.ask(move |room| {
            answer::diagnostics::report(
                room,
                &uri,
                params.previous_result_id.as_deref(),
                takes_related,
            )
        })
        .await
    }

    async fn hover(&self, params: HoverParams) -> Result<Option<Hover>> {
        let TextDocumentPositionParams {
            text_document,
            position,
        } = params.text_document_position_params;
        let reads_markdown = self.editor().reads_markdown;
        let hover = self
            .ask_here(text_document.uri, move |here| {
                answer::hover::answer(here, position, reads_markdown)
            })
            .await?;
        Ok(hover.flatten())
    }

    async fn completion(&self, params: CompletionParams) -> Result<Option<CompletionResponse>> {
        let TextDocumentPositionParams {
            text_document,
            position,
        } = params.text_document_position;
        let takes_snippets = self.editor().takes_snippets;
        let items = self
            .ask_here(text_document.uri, move |here| {
                answer::completion::answer(here, position, takes_snippets)
            })
            .await?;
        Ok(items.map(CompletionResponse::Array))
    }

    async fn signature_help(&self, params: SignatureHelpParams) -> Result<Option<SignatureHelp>> {
        let TextDocumentPositionParams {
            text_document,
            position,
        } = params.text_document_position_params;
        let help = self
            .ask_here(text_document.uri, move |here| {
                answer::signature::answer(here, position)
            })
            .await?;
        Ok(help.flatten())
    }

    async fn goto_definition(
        &self,
        params: GotoDefinitionParams,
    ) -> Result<Option<GotoDefinitionResponse>> {
        let TextDocumentPositionParams {
            text_document,
            position,
        } = params.text_document_position_params;
        let found = self
            .ask_here(text_document.uri, move |here| {
                answer::navigate::definition(here, position)
            })
            .await?;
        Ok(found.map(GotoDefinitionResponse::Array))
    }

    async fn goto_declaration(
        &self,
        params: GotoDeclarationParams,
    ) -> Result<Option<GotoDeclarationResponse>> {
        let TextDocumentPositionParams {
            text_document,
            position,
        } = params.text_document_position_params;
        let found = self
            .ask_here(text_document.uri, move |here| {
                answer::navigate::declaration(here, position)
            })
            .await?;
        Ok(found.map(GotoDeclarationResponse::Array))
    }

    async fn references(&self, params: ReferenceParams) -> Result<Option<Vec<Location>>> {
        let TextDocumentPositionParams {
            text_document,
            position,
        } = params.text_document_position;
        let with_declaration = params.context.include_declaration;
        self.ask_here(text_document.uri, move |here| {
            answer::navigate::references(here, position, with_declaration)
        })
        .await
    }

    async fn document_highlight(
        &self,
        params: DocumentHighlightParams,
    ) -> Result<Option<Vec<DocumentHighlight>>> {
        let TextDocumentPositionParams {
            text_document,
            position,
        } = params.text_document_position_params;
        self.ask_here(text_document.uri, move |here| {
            answer::highlight::answer(here, position)
        })
        .await
    }

    async fn prepare_rename(
        &self,
        params: TextDocumentPositionParams,
    ) -> Result<Option<PrepareRenameResponse>> {
        let position = params.position;
        let prepared = self
            .ask_here(params.text_document.uri, move |here| {
                answer::rename::prepared(here, position)
            })
            .await?;
        prepared.transpose().map_err(refused)
    }

    async fn rename(&self, params: RenameParams) -> Result<Option<WorkspaceEdit>> {
        let TextDocumentPositionParams {
            text_document,
            position,
        } = params.text_document_position;
        let name = params.new_name;
        let renamed = self
            .ask_here(text_document.uri, move |here| {
                answer::rename::answer(here, position, &name)
            })
            .await?;
        Ok(renamed.transpose().map_err(refused)?.flatten())
    }

    async fn document_symbol(
        &self,
        params: DocumentSymbolParams,
    ) -> Result<Option<DocumentSymbolResponse>> {
        let outline = self
            .ask_here(params.text_document.uri, answer::symbols::outline)
            .await?;
        Ok(outline.map(DocumentSymbolResponse::Nested))
    }

    async fn symbol(
        &self,
        params: WorkspaceSymbolParams,
    ) -> Result<Option<Vec<SymbolInformation>>> {
        let query = params.query;
        self.ask(move |room| Some(answer::symbols::search(room, &query)))
            .await
    }

    async fn folding_range(&self, params: FoldingRangeParams) -> Result<Option<Vec<FoldingRange>>> {
        self.ask_here(params.text_document.uri, answer::folding::answer)
            .await
    }

    async fn selection_range(
        &self,
        params: SelectionRangeParams,
    ) -> Result<Option<Vec<SelectionRange>>> {
        let positions = params.positions;
        self.ask_here(params.text_document.uri, move |here| {
            answer::selection::answer(here, &positions)
        })
        .await
    }

    async fn semantic_tokens_full(
        &self,
        params: SemanticTokensParams,
    ) -> Result<Option<SemanticTokensResult>> {
        let uri = params.text_document.uri;
        let data = self
            .ask_here(uri.clone(), |here| answer::tokens::answer(here, None))
            .await?;
        Ok(data.map(|data| {
            let result_id = Some(self.keep_colours(uri, data.clone()));
            SemanticTokensResult::Tokens(SemanticTokens { result_id, data })
        }))
    }

    async fn semantic_tokens_full_delta(
        &self,
        params: SemanticTokensDeltaParams,
    ) -> Result<Option<SemanticTokensFullDeltaResult>> {
        let uri = params.text_document.uri;
        let data = self
            .ask_here(uri.clone(), |here| answer::tokens::answer(here, None))
            .await?;
        Ok(data.map(|data| {
            let before = self
                .colours
                .lock()
                .unwrap_or_else(PoisonError::into_inner)
                .remove(&uri)
                .filter(|(number, _)| number.to_string() == params.previous_result_id);
            let result_id = Some(self.keep_colours(uri, data.clone()));
            match before {
                Some((_, before)) => {
                    SemanticTokensFullDeltaResult::TokensDelta(SemanticTokensDelta {
                        result_id,
                        edits: answer::tokens::edits(&before, &data),
                    })
                }
                // The editor has something else than what was sent last.
                None => SemanticTokensFullDeltaResult::Tokens(SemanticTokens { result_id, data }),
            }
        }))
    }

    async fn semantic_tokens_range(
        &self,
        params: SemanticTokensRangeParams,
    ) -> Result<Option<SemanticTokensRangeResult>> {
        let range = params.range;
        let data = self
            .ask_here(params.text_document.uri, move |here| {
                answer::tokens::answer(here, Some(here.span(range)))
            })
            .await?;
        Ok(data.map(|data| {
            SemanticTokensRangeResult::Tokens(SemanticTokens {
                result_id: None,
                data,
            })
        }))
    }

    async fn inlay_hint(&self, params: InlayHintParams) -> Result<Option<Vec<InlayHint>>> {
        let range = params.range;
        self.ask_here(params.text_document.uri, move |here| {
            answer::inlay::answer(here, range)
        })
        .await
    }

    async fn linked_editing_range(
        &self,
        params: LinkedEditingRangeParams,
    ) -> Result<Option<LinkedEditingRanges>> {
        let TextDocumentPositionParams {
            text_document,
            position,
        } = params.text_document_position_params;
        let linked = self
            .ask_here(text_document.uri, move |here| {
                answer::linked::answer(here, position)
            })
            .await?;
        Ok(linked.flatten())
    }

    async fn code_lens(&self, params: CodeLensParams) -> Result<Option<Vec<CodeLens>>> {
        let lists_places = self.editor().lists_places;
        self.ask_here(params.text_document.uri, move |here| {
            answer::lens::answer(here, lists_places)
        })
        .await
    }

    async fn code_lens_resolve(&self, lens: CodeLens) -> Result<CodeLens> {
        let Some((uri, stage)) = answer::lens::unresolved(&lens) else {
            return Ok(lens);
        };
        let said = self
            .ask_here(uri, move |here| answer::lens::gate(here, stage))
            .await?;
        Ok(CodeLens {
            command: Some(answer::lens::text(said.flatten().unwrap_or_default())),
            ..lens
        })
    }

    async fn code_action(&self, params: CodeActionParams) -> Result<Option<CodeActionResponse>> {
        let (range, context) = (params.range, params.context);
        self.ask_here(params.text_document.uri, move |here| {
            answer::actions::answer(here, range, &context)
        })
        .await
    }

    async fn document_link(&self, params: DocumentLinkParams) -> Result<Option<Vec<DocumentLink>>> {
        self.ask_here(params.text_document.uri, answer::links::answer)
            .await
    }

    async fn formatting(&self, params: DocumentFormattingParams) -> Result<Option<Vec<TextEdit>>> {
        self.ask_here(params.text_document.uri, answer::format::document)
            .await
    }

    async fn range_formatting(
        &self,
        params: DocumentRangeFormattingParams,
    ) -> Result<Option<Vec<TextEdit>>> {
        let range = params.range;
        self.ask_here(params.text_document.uri, move |here| {
            answer::format::range(here, range)
        })
        .await
    }

    async fn on_type_formatting(
        &self,
        params: DocumentOnTypeFormattingParams,
    ) -> Result<Option<Vec<TextEdit>>> {
        let TextDocumentPositionParams {
            text_document,
            position,
        } = params.text_document_position;
        self.ask_here(text_document.uri, move |here| {
            answer::format::after_newline(here, position)
        })
        .await
    }
}
