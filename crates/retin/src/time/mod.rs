//! Work against time: the log replayed.

pub mod accidents;
pub mod progress;
pub mod replay;
mod run;
pub mod state;

pub use accidents::{AccidentRecord, Mended, Status};
pub use progress::{Left, Progress};
pub use replay::{Impossible, ImpossibleKind, PointReading, Replay};
pub use run::replay;
pub use state::{BoardState, Content, History, PlaceState, State};
