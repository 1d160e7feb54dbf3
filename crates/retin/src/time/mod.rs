//! Work against time: the log replayed.

pub mod accidents;
pub mod progress;
pub mod replay;
pub mod state;

pub use accidents::{AccidentRecord, Mended, Status};
pub use progress::{Left, Progress};
pub use replay::{Impossible, ImpossibleKind, PointReading, Replay, replay};
pub use state::{BoardState, Content, History, PlaceState, State};
