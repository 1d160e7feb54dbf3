//! Work against time: how long steps take, in which order they go, and what
//! one's hands do next.

pub mod bench_order;
pub mod cautions;
pub mod minutes;
pub mod order;
pub mod working_order;
