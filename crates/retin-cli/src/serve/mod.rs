//! `retin serve`: the language server. The only place that knows the protocol
//! and the library that speaks it.
//!
//! [`transport`] reads and writes messages, [`wire`] takes edits off the wire in
//! order, [`owner`] is the thread that owns all documents, [`front`] turns requests
//! into questions to it, and [`answer`] puts what `retin::editor` says into the
//! protocol's words.

mod answer;
mod capabilities;
mod desk;
mod front;
mod notices;
mod owner;
mod pages;
mod positions;
mod publish;
mod room;
mod settings;
mod transport;
mod wire;

use crate::Status;
use crate::terminal::complain;
use futures_util::{SinkExt as _, StreamExt as _};
use std::future::poll_fn;
use std::io::{self, IsTerminal as _};
use std::sync::{Arc, mpsc};
use std::thread;
use tokio::sync::mpsc::UnboundedReceiver;
use tower::Service as _;
use tower_lsp::{ClientSocket, LspService};
use transport::{Incoming, Outbox};

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
    let (outbox, unwritten) = Outbox::new();
    let (events, inbox) = mpsc::channel();
    let (notices, told) = tokio::sync::mpsc::unbounded_channel();
    let (others, incoming) = tokio::sync::mpsc::unbounded_channel();
    let conversation = Arc::new(wire::Conversation::default());
    let wire = wire::Wire {
        events: events.clone(),
        others,
        outbox: outbox.clone(),
        conversation: conversation.clone(),
    };
    let board = publish::Board::new(outbox.clone(), notices);
    spawn("documents", move || owner::run(&inbox, board))?;
    spawn("reader", move || wire.read(&mut io::stdin().lock()))?;
    spawn("writer", move || {
        // An output that is closed has nobody who could be told.
        let status = transport::write(&unwritten, &mut io::stdout().lock()).unwrap_or(1);
        std::process::exit(status);
    })?;
    let (service, socket) =
        LspService::new(|client| front::Front::new(client, events, conversation, told));
    tokio::runtime::Builder::new_current_thread()
        .enable_time()
        .build()?
        .block_on(converse(service, socket, incoming, outbox));
    Ok(Status::Fine)
}

fn spawn(name: &str, work: impl FnOnce() + Send + 'static) -> io::Result<()> {
    thread::Builder::new().name(name.into()).spawn(work)?;
    Ok(())
}

/// Gives the library what it has to answer, and sends what it says. Each request
/// is a task that waits for the owner of the documents, so that a cancellation
/// waits for nobody.
async fn converse(
    mut service: LspService<front::Front>,
    socket: ClientSocket,
    mut incoming: UnboundedReceiver<Incoming>,
    outbox: Outbox,
) {
    let (mut asked, mut answers) = socket.split();
    loop {
        tokio::select! {
            message = incoming.recv() => match message {
                Some(Incoming::Request(request)) => {
                    // It is ready until the conversation is over.
                    if poll_fn(|context| service.poll_ready(context)).await.is_err() {
                        return;
                    }
                    let answer = service.call(request);
                    let outbox = outbox.clone();
                    tokio::spawn(async move {
                        if let Ok(Some(response)) = answer.await {
                            outbox.send(&response);
                        }
                    });
                }
                Some(Incoming::Response(response)) => {
                    // An answer that nobody waits for is dropped.
                    answers.send(response).await.ok();
                }
                Some(Incoming::Unreadable(answer)) => outbox.send(&answer),
                // The reader has ended; the writer ends the process.
                None => std::future::pending().await,
            },
            Some(request) = asked.next() => outbox.send(&request),
        }
    }
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
