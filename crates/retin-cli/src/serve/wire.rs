//! Takes what changes documents off the wire in the order it was sent.
//!
//! The protocol library runs its handlers concurrently, so that two edits could
//! be applied in the wrong order. Here they are decoded and passed on before
//! any handler runs; all else goes to the library.

use super::owner::Event;
use serde::de::DeserializeOwned;
use serde_json::Value;
use std::future::Future;
use std::pin::Pin;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::Sender;
use std::task::{Context, Poll};
use tower::Service;
use tower_lsp::jsonrpc::{Request, Response};
use tower_lsp::lsp_types::DidChangeWorkspaceFoldersParams;

/// How far the conversation has come.
#[derive(Default, Debug)]
pub struct Conversation {
    /// The editor may send documents.
    pub has_begun: AtomicBool,
    /// The editor has asked to end it.
    pub is_ending: AtomicBool,
}

/// The service around the library's own.
pub struct Wire<S> {
    inner: S,
    events: Sender<Event>,
    conversation: Arc<Conversation>,
    leave: fn(i32),
}

impl<S> Wire<S> {
    /// Puts the wire around a service. `leave` ends the process with a status.
    pub fn new(
        inner: S,
        events: Sender<Event>,
        conversation: Arc<Conversation>,
        leave: fn(i32),
    ) -> Wire<S> {
        Wire {
            inner,
            events,
            conversation,
            leave,
        }
    }

    /// The event a notification is, where it changes documents.
    fn event(request: &Request) -> Option<Result<Event, serde_json::Error>> {
        let params = request.params();
        match request.method() {
            "textDocument/didOpen" => Some(decoded(params).map(Event::Opened)),
            "textDocument/didChange" => Some(decoded(params).map(Event::Changed)),
            "textDocument/didClose" => Some(decoded(params).map(Event::Closed)),
            "workspace/didChangeWatchedFiles" => Some(Ok(Event::Watched)),
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
}

fn decoded<T: DeserializeOwned>(params: Option<&Value>) -> Result<T, serde_json::Error> {
    T::deserialize(params.unwrap_or(&Value::Null))
}

type Answer<E> = Pin<Box<dyn Future<Output = Result<Option<Response>, E>> + Send>>;

impl<S> Service<Request> for Wire<S>
where
    S: Service<Request, Response = Option<Response>>,
    S::Future: Send + 'static,
    S::Error: Send + 'static,
{
    type Response = Option<Response>;
    type Error = S::Error;
    type Future = Answer<S::Error>;

    fn poll_ready(&mut self, context: &mut Context<'_>) -> Poll<Result<(), S::Error>> {
        self.inner.poll_ready(context)
    }

    fn call(&mut self, request: Request) -> Self::Future {
        if request.method() == "exit" {
            // 1 says that nobody asked to end before: something went wrong.
            let was_asked = self.conversation.is_ending.load(Ordering::SeqCst);
            (self.leave)(i32::from(!was_asked));
        }
        // A request with one of these names is the library's to refuse.
        if request.id().is_none()
            && let Some(event) = Self::event(&request)
        {
            let is_open = self.conversation.has_begun.load(Ordering::SeqCst)
                && !self.conversation.is_ending.load(Ordering::SeqCst);
            // What cannot be decoded is dropped: a notification has no answer.
            if is_open && let Ok(event) = event {
                // The owner is gone only when the process ends.
                let _ = self.events.send(event);
            }
            return Box::pin(async { Ok(None) });
        }
        Box::pin(self.inner.call(without_null(request)))
    }
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
