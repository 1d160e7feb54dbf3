//! What the server tells and asks the editor without being asked, other than
//! findings.

use super::front::Editor;
use std::sync::atomic::{AtomicI32, Ordering};
use std::time::Duration;
use tokio::sync::mpsc::UnboundedReceiver;
use tokio::sync::oneshot;
use tower_lsp::Client;
use tower_lsp::lsp_types::notification::Progress;
use tower_lsp::lsp_types::request::WorkDoneProgressCreate;
use tower_lsp::lsp_types::{
    NumberOrString, ProgressParams, ProgressParamsValue, WorkDoneProgress, WorkDoneProgressBegin,
    WorkDoneProgressCreateParams, WorkDoneProgressEnd,
};

/// Something the owner of the documents has to tell.
#[derive(Debug)]
pub enum Notice {
    /// Much has changed at once: whoever asks for findings, hints or counts should
    /// ask again.
    AskAgain,
    /// Much is to be read and judged, for this reason.
    Busy(&'static str),
    /// It is done.
    Free,
}

/// Work that takes no longer is not shown.
const PATIENCE: Duration = Duration::from_millis(300);

/// Numbers the pieces of work that are shown.
static NEXT: AtomicI32 = AtomicI32::new(1);

/// Passes on what the owner has to tell, until it has nothing more.
pub async fn forward(client: Client, editor: Editor, mut notices: UnboundedReceiver<Notice>) {
    // Dropped when the work is done.
    let mut busy: Option<oneshot::Sender<()>> = None;
    while let Some(notice) = notices.recv().await {
        match notice {
            // Requests are sent from tasks of their own: the editor may answer late.
            Notice::AskAgain => drop(tokio::spawn(ask_again(client.clone(), editor))),
            Notice::Busy(why) if editor.shows_progress => {
                let (done, is_done) = oneshot::channel();
                busy = Some(done);
                tokio::spawn(show(client.clone(), why, is_done));
            }
            Notice::Busy(_) => {}
            Notice::Free => drop(busy.take()),
        }
    }
}

/// The editor's answers say nothing that could be acted on.
async fn ask_again(client: Client, editor: Editor) {
    if editor.asks_again {
        client.workspace_diagnostic_refresh().await.ok();
    }
    if editor.asks_again_for_hints {
        client.inlay_hint_refresh().await.ok();
    }
    if editor.asks_again_for_lenses {
        client.code_lens_refresh().await.ok();
    }
}

/// Shows a piece of work that takes longer, until it is done.
async fn show(client: Client, why: &'static str, mut is_done: oneshot::Receiver<()>) {
    if tokio::time::timeout(PATIENCE, &mut is_done).await.is_ok() {
        return;
    }
    let token = NumberOrString::Number(NEXT.fetch_add(1, Ordering::Relaxed));
    let create = WorkDoneProgressCreateParams {
        token: token.clone(),
    };
    let created = client.send_request::<WorkDoneProgressCreate>(create).await;
    if created.is_err() {
        return;
    }
    let tell = |progress| {
        client.send_notification::<Progress>(ProgressParams {
            token: token.clone(),
            value: ProgressParamsValue::WorkDone(progress),
        })
    };
    tell(WorkDoneProgress::Begin(WorkDoneProgressBegin {
        title: "Retin".into(),
        cancellable: Some(false),
        message: Some(why.into()),
        percentage: None,
    }))
    .await;
    // An end that is dropped is the end as well.
    is_done.await.ok();
    tell(WorkDoneProgress::End(WorkDoneProgressEnd { message: None })).await;
}
