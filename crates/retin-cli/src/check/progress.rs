//! A bar on the terminal while a check takes longer than a moment.

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use std::io::{self, IsTerminal as _};
use std::sync::mpsc::{self, RecvTimeoutError, Sender};
use std::thread::{self, JoinHandle};
use std::time::Duration;

/// How long a check may take before it shows how far it is.
const MOMENT: Duration = Duration::from_millis(500);
/// How often the bar is drawn anew.
const TICK: Duration = Duration::from_millis(100);

/// How far a check has come.
pub struct Progress {
    bar: ProgressBar,
    /// Told to stop when its sender is dropped.
    waiting: Option<(Sender<()>, JoinHandle<()>)>,
}

impl Progress {
    /// A bar over so many files; shown only where standard error is a terminal.
    pub fn over(files: usize) -> Self {
        let style = ProgressStyle::with_template("checking {bar:30} {pos} of {len} files")
            .unwrap_or_else(|_| ProgressStyle::default_bar());
        let bar = ProgressBar::with_draw_target(Some(files as u64), ProgressDrawTarget::hidden())
            .with_style(style);
        let waiting = io::stderr().is_terminal().then(|| {
            let (stop, stopped) = mpsc::channel::<()>();
            let shown = bar.clone();
            let thread = thread::spawn(move || {
                if stopped.recv_timeout(MOMENT) == Err(RecvTimeoutError::Timeout) {
                    shown.set_draw_target(ProgressDrawTarget::stderr());
                    shown.enable_steady_tick(TICK);
                }
            });
            (stop, thread)
        });
        Progress { bar, waiting }
    }

    /// One more file is done.
    pub fn advance(&self) {
        self.bar.inc(1);
    }

    /// Takes the bar off the terminal.
    pub fn finish(self) {
        if let Some((stop, thread)) = self.waiting {
            drop(stop);
            // The thread only waits and draws; there is nothing to learn from its end.
            let _ = thread.join();
        }
        self.bar.finish_and_clear();
    }
}
