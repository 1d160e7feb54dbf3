//! The sound job that is shipped, with all it uses.

/// Path and text of each file, the job first.
pub const SHIPPED: [(&str, &str); 4] = [
    (
        "jobs/26-014.retin",
        include_str!("../../../../examples/jobs/26-014.retin"),
    ),
    (
        "models/sm8.retin",
        include_str!("../../../../examples/models/sm8.retin"),
    ),
    (
        "shelf.retin",
        include_str!("../../../../examples/shelf.retin"),
    ),
    (
        "house.retin",
        include_str!("../../../../examples/house.retin"),
    ),
];
