//! Takes what changes documents off the wire in the order it was sent.
//!
//! The protocol library runs its handlers concurrently, so that two edits could
//! be applied in the wrong order. Here they are decoded and passed on before
//! any handler runs; all else goes to the library.

use super::owner::Event;
use super::transport::{Incoming, Outbox, next};
use serde::de::DeserializeOwned;
use serde_json::Value;
use std::io::BufRead;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::Sender;
use tokio::sync::mpsc::UnboundedSender;
use tower_lsp::jsonrpc::Request;
use tower_lsp::lsp_types::DidChangeWorkspaceFoldersParams;

/// How far the conversation has come.
#[derive(Default, Debug)]
pub struct Conversation {
    /// The editor may send documents.
    pub has_begun: AtomicBool,
    /// The editor has asked to end it.
    pub is_ending: AtomicBool,
    /// The editor can be told to ask for findings again. The library reads this
    /// under a name that the protocol does not use.
    pub asks_again: AtomicBool,
}

/// The reading end of the conversation.
pub struct Wire {
    /// To the owner of the documents.
    pub events: Sender<Event>,
    /// To the library.
    pub others: UnboundedSender<Incoming>,
    /// To the editor.
    pub outbox: Outbox,
    /// How far it has come.
    pub conversation: Arc<Conversation>,
}

impl Wire {
    /// Reads until the editor ends the conversation or goes away.
    pub fn read(&self, input: &mut impl BufRead) {
        // An input that cannot be read any more is at its end.
        while let Ok(Some(incoming)) = next(input) {
            match incoming {
                Incoming::Request(request) if request.method() == "exit" => break,
                Incoming::Request(request) => self.take(request),
                Incoming::Unreadable(answer) => self.outbox.send(&answer),
                response => self.pass_on(response),
            }
        }
        // 1 says that nobody asked to end before: something went wrong.
        let was_asked = self.conversation.is_ending.load(Ordering::SeqCst);
        self.outbox.leave(i32::from(!was_asked));
    }

    fn take(&self, request: Request) {
        if request.method() == "initialize" {
            let asks_again = request.params().is_some_and(asks_again);
            self.conversation
                .asks_again
                .store(asks_again, Ordering::SeqCst);
        }
        // A request with the name of such a notification is the library's to refuse.
        let event = match request.id() {
            None => event(&request),
            Some(_) => None,
        };
        let Some(event) = event else {
            self.pass_on(Incoming::Request(without_null(request)));
            return;
        };
        let is_open = self.conversation.has_begun.load(Ordering::SeqCst)
            && !self.conversation.is_ending.load(Ordering::SeqCst);
        // What cannot be decoded is dropped: a notification has no answer.
        if is_open && let Ok(event) = event {
            // The owner is gone only when the process ends.
            let _ = self.events.send(event);
        }
    }

    fn pass_on(&self, incoming: Incoming) {
        // So is the library.
        let _ = self.others.send(incoming);
    }
}

/// The event a notification is, where it changes documents.
fn event(request: &Request) -> Option<Result<Event, serde_json::Error>> {
    let params = request.params();
    match request.method() {
        "textDocument/didOpen" => Some(decoded(params).map(Event::Opened)),
        "textDocument/didChange" => Some(decoded(params).map(Event::Changed)),
        "textDocument/didClose" => Some(decoded(params).map(Event::Closed)),
        // Who saves has come back from somewhere else, and other files may have changed.
        "textDocument/didSave" | "workspace/didChangeWatchedFiles" => Some(Ok(Event::Watched)),
        "workspace/didChangeWorkspaceFolders" => {
            let decoded = decoded::<DidChangeWorkspaceFoldersParams>(params);
            Some(decoded.map(|params| Event::Folders {
                added: params.event.added.into_iter().map(|it| it.uri).collect(),
                removed: params.event.removed.into_iter().map(|it| it.uri).collect(),
            }))
        }
        _ => None,
    }
}

fn decoded<T: DeserializeOwned>(params: Option<&Value>) -> Result<T, serde_json::Error> {
    T::deserialize(params.unwrap_or(&Value::Null))
}

fn asks_again(params: &Value) -> bool {
    params
        .pointer("/capabilities/workspace/diagnostics/refreshSupport")
        .and_then(Value::as_bool)
        .unwrap_or(false)
}

/// A request whose `params` are `null` is one without any; the library would
/// refuse it.
fn without_null(request: Request) -> Request {
    if request.params() != Some(&Value::Null) {
        return request;
    }
    let (method, id, _) = request.into_parts();
    let built = Request::build(method);
    match id {
        Some(id) => built.id(id).finish(),
        None => built.finish(),
    }
}
