//! `retin serve`: the language server. The only place that knows the protocol
//! and the library that speaks it.
//!
//! [`wire`] takes edits off the wire in order, [`owner`] is the thread that
//! owns all documents, [`front`] turns requests into questions to it, and
//! [`answer`] puts what `retin::editor` says into the protocol's words.

mod answer;
mod desk;
mod front;
mod owner;
mod positions;
mod publish;
mod room;
mod wire;

use crate::Status;
use crate::terminal::complain;
use std::io::{self, IsTerminal as _};
use std::sync::{Arc, mpsc};
use std::thread;
use tower_lsp::{LspService, Server};

/// Serve an editor: findings, completion and the rest, by the Language Server
/// Protocol on standard input and output.
///
/// An editor starts this; the folder `editors` of the project says how to tell
/// it to. At a terminal there is nothing to see.
#[derive(clap::Args, Debug)]
pub struct Arguments {
    /// Taken for the sake of editors that pass it; there is no other way to talk.
    #[arg(long, hide = true)]
    stdio: bool,
}

/// How many requests may be under way at once. Each waits only for the thread
/// that owns the documents, and a cancellation must not wait behind them.
const MOST_REQUESTS: usize = 64;

/// Serves until the editor ends the conversation or goes away.
///
/// # Errors
/// When the system gives no thread.
pub fn run(_arguments: &Arguments) -> io::Result<Status> {
    if io::stdin().is_terminal() {
        complain(
            "`retin serve` talks to an editor, not to a person: the folder editors of the project \
             says how an editor starts it; `retin check` shows the same findings here",
        );
        return Ok(Status::Failed);
    }
    end_on_panic();
    let (events, inbox) = mpsc::channel();
    let (notices, outbox) = tokio::sync::mpsc::unbounded_channel();
    let runtime = tokio::runtime::Builder::new_current_thread()
        .enable_all()
        .build()?;
    thread::Builder::new()
        .name("documents".into())
        .spawn(move || owner::run(&inbox, &notices))?;
    runtime.block_on(async move {
        let conversation = Arc::new(wire::Conversation::default());
        let front_events = events.clone();
        let state = conversation.clone();
        let (service, socket) =
            LspService::new(|client| front::Front::new(client, front_events, state, outbox));
        let wire = wire::Wire::new(service, events, conversation, leave);
        Server::new(tokio::io::stdin(), tokio::io::stdout(), socket)
            .concurrency_level(MOST_REQUESTS)
            .serve(wire)
            .await;
    });
    // The reader of standard input may still wait for bytes that never come.
    leave(0);
    Ok(Status::Fine)
}

/// Ends the process at once: nothing is written by then that could be half done.
fn leave(status: i32) {
    std::process::exit(status);
}

/// A server that has lost its thread answers nothing and would seem to hang:
/// the editor is to see it end, and start another.
fn end_on_panic() {
    let tell = std::panic::take_hook();
    std::panic::set_hook(Box::new(move |panic| {
        tell(panic);
        std::process::exit(101);
    }));
}
