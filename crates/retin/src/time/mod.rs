//! Work against time: how long steps take, in which order they go, what one's
//! hands do next; and the log replayed.

pub mod accidents;
pub mod bench_order;
pub mod cautions;
pub mod demands;
pub mod done_early;
pub mod gate;
pub mod left;
pub mod minutes;
pub mod order;
pub mod progress;
pub mod readings_wanted;
pub mod replay;
mod run;
pub mod state;
pub mod step_progress;
pub mod working_order;

pub use accidents::{AccidentRecord, Mended, Status};
pub use progress::{Left, Progress};
pub use replay::{Impossible, ImpossibleKind, PointReading, Replay};
pub use run::replay;
pub use state::{BoardState, Content, History, PlaceState, State};
