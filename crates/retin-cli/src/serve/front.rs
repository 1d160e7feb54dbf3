//! The protocol's requests, each turned into a question to the thread that owns
//! the documents.

use super::answer;
use super::owner::{Ask, Beginning, Event};
use super::positions::Encoding;
use super::publish::Notice;
use super::room::{Here, Room};
use super::wire::Conversation;
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
#[derive(Clone, Copy, Default)]
struct Editor {
    /// It asks for findings, so that none are to be pushed.
    asks_for_findings: bool,
    /// It can be told to ask for them again.
    asks_again: bool,
    /// It can be asked to watch files.
    watches: bool,
    /// It can fill in snippets.
    takes_snippets: bool,
    /// It shows Markdown beside the text.
    reads_markdown: bool,
}

impl Editor {
    fn of(capabilities: &ClientCapabilities) -> Editor {
        let text = capabilities.text_document.as_ref();
        let workspace = capabilities.workspace.as_ref();
        let markup = text
            .and_then(|text| text.hover.as_ref())
            .and_then(|hover| hover.content_format.as_ref());
        Editor {
            asks_for_findings: text.is_some_and(|text| text.diagnostic.is_some()),
            asks_again: workspace
                .and_then(|workspace| workspace.diagnostic.as_ref())
                .and_then(|diagnostic| diagnostic.refresh_support)
                .unwrap_or(false),
            watches: workspace
                .and_then(|workspace| workspace.did_change_watched_files)
                .and_then(|watched| watched.dynamic_registration)
                .unwrap_or(false),
            takes_snippets: text
                .and_then(|text| text.completion.as_ref())
                .and_then(|completion| completion.completion_item.as_ref())
                .and_then(|item| item.snippet_support)
                .unwrap_or(false),
            reads_markdown: markup.is_some_and(|markup| markup.contains(&MarkupKind::Markdown)),
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

    /// Sends what the owner has to tell, one after the other.
    fn forward(&self) {
        let notices = self
            .notices
            .lock()
            .unwrap_or_else(PoisonError::into_inner)
            .take();
        let Some(mut notices) = notices else {
            return;
        };
        let client = self.client.clone();
        let asks_again = self.editor().asks_again;
        tokio::spawn(async move {
            while let Some(notice) = notices.recv().await {
                match notice {
                    Notice::Findings {
                        uri,
                        version,
                        diagnostics,
                    } => client.publish_diagnostics(uri, diagnostics, version).await,
                    Notice::AskAgain if asks_again => {
                        let client = client.clone();
                        // The editor's answer says nothing that could be acted on.
                        tokio::spawn(
                            async move { client.workspace_diagnostic_refresh().await.ok() },
                        );
                    }
                    Notice::AskAgain => {}
                }
            }
        });
    }

    /// Keeps what was sent, and gives the number it is known by.
    fn keep_colours(&self, uri: Url, colours: Vec<SemanticToken>) -> String {
        let number = self.next_colours.fetch_add(1, Ordering::Relaxed);
        self.colours
            .lock()
            .unwrap_or_else(PoisonError::into_inner)
            .insert(uri, (number, colours));
        number.to_string()
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
        let editor = *self.editor.get_or_init(|| Editor::of(&params.capabilities));
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
        self.events
            .send(Event::Begun(Beginning {
                encoding,
                folders,
                asks_for_findings: editor.asks_for_findings,
            }))
            .map_err(|_| Error::internal_error())?;
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
        if !self.editor().watches {
            return;
        }
        let client = self.client.clone();
        tokio::spawn(async move {
            let options = DidChangeWatchedFilesRegistrationOptions {
                watchers: vec![FileSystemWatcher {
                    glob_pattern: GlobPattern::String("**/*.retin".into()),
                    kind: None,
                }],
            };
            let registration = Registration {
                id: "files".into(),
                method: "workspace/didChangeWatchedFiles".into(),
                register_options: serde_json::to_value(options).ok(),
            };
            // An editor that refuses has files looked at with the next edit.
            client.register_capability(vec![registration]).await.ok()
        });
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
        let items = self
            .ask(move |room| answer::diagnostics::of_document(room, &uri))
            .await?;
        Ok(DocumentDiagnosticReportResult::Report(
            DocumentDiagnosticReport::Full(RelatedFullDocumentDiagnosticReport {
                related_documents: None,
                full_document_diagnostic_report: FullDocumentDiagnosticReport {
                    result_id: None,
                    items,
                },
            }),
        ))
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

    async fn code_lens(&self, params: CodeLensParams) -> Result<Option<Vec<CodeLens>>> {
        self.ask_here(params.text_document.uri, answer::lens::answer)
            .await
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

/// What the server can do for this editor.
fn capabilities(encoding: Encoding, editor: Editor) -> ServerCapabilities {
    let triggers = |letters: &[&str]| Some(letters.iter().map(|it| (*it).to_owned()).collect());
    let no_progress = WorkDoneProgressOptions::default;
    ServerCapabilities {
        position_encoding: Some(encoding.kind()),
        text_document_sync: Some(TextDocumentSyncCapability::Options(
            TextDocumentSyncOptions {
                open_close: Some(true),
                change: Some(TextDocumentSyncKind::INCREMENTAL),
                ..TextDocumentSyncOptions::default()
            },
        )),
        diagnostic_provider: editor.asks_for_findings.then(|| {
            DiagnosticServerCapabilities::Options(DiagnosticOptions {
                identifier: Some("retin".into()),
                inter_file_dependencies: true,
                workspace_diagnostics: false,
                work_done_progress_options: no_progress(),
            })
        }),
        hover_provider: Some(HoverProviderCapability::Simple(true)),
        completion_provider: Some(CompletionOptions {
            trigger_characters: triggers(&answer::completion::TRIGGERS),
            ..CompletionOptions::default()
        }),
        signature_help_provider: Some(SignatureHelpOptions {
            trigger_characters: triggers(&answer::signature::TRIGGERS),
            retrigger_characters: None,
            work_done_progress_options: no_progress(),
        }),
        definition_provider: Some(OneOf::Left(true)),
        declaration_provider: Some(DeclarationCapability::Simple(true)),
        references_provider: Some(OneOf::Left(true)),
        document_highlight_provider: Some(OneOf::Left(true)),
        document_symbol_provider: Some(OneOf::Left(true)),
        workspace_symbol_provider: Some(OneOf::Left(true)),
        rename_provider: Some(OneOf::Right(RenameOptions {
            prepare_provider: Some(true),
            work_done_progress_options: no_progress(),
        })),
        folding_range_provider: Some(FoldingRangeProviderCapability::Simple(true)),
        selection_range_provider: Some(SelectionRangeProviderCapability::Simple(true)),
        semantic_tokens_provider: Some(SemanticTokensServerCapabilities::SemanticTokensOptions(
            SemanticTokensOptions {
                work_done_progress_options: no_progress(),
                legend: answer::tokens::legend(),
                range: Some(true),
                full: Some(SemanticTokensFullOptions::Delta { delta: Some(true) }),
            },
        )),
        inlay_hint_provider: Some(OneOf::Left(true)),
        code_lens_provider: Some(CodeLensOptions {
            resolve_provider: Some(false),
        }),
        code_action_provider: Some(CodeActionProviderCapability::Options(CodeActionOptions {
            code_action_kinds: Some(answer::actions::KINDS.to_vec()),
            work_done_progress_options: no_progress(),
            resolve_provider: None,
        })),
        document_link_provider: Some(DocumentLinkOptions {
            resolve_provider: Some(false),
            work_done_progress_options: no_progress(),
        }),
        document_formatting_provider: Some(OneOf::Left(true)),
        document_range_formatting_provider: Some(OneOf::Left(true)),
        document_on_type_formatting_provider: Some(DocumentOnTypeFormattingOptions {
            first_trigger_character: "\n".into(),
            more_trigger_character: None,
        }),
        workspace: Some(WorkspaceServerCapabilities {
            workspace_folders: Some(WorkspaceFoldersServerCapabilities {
                supported: Some(true),
                change_notifications: Some(OneOf::Left(true)),
            }),
            file_operations: None,
        }),
        ..ServerCapabilities::default()
    }
}
