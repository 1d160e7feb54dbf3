//! Work against time: how long steps take, in which order they go, what one's
//! hands do next; and the log replayed.

pub mod accidents;
pub mod bench_order;
pub mod cautions;
pub mod done_early;
pub mod minutes;
pub mod order;
pub mod progress;
pub mod replay;
mod run;
pub mod state;
pub mod working_order;

pub use accidents::{AccidentRecord, Mended, Status};
pub use progress::{Left, Progress};
pub use replay::{Impossible, ImpossibleKind, PointReading, Replay};
pub use run::replay;
pub use state::{BoardState, Content, History, PlaceState, State};
