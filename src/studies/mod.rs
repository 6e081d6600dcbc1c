//! Questions asked of a bench: plain data and runs in, plain answers out.

pub mod daily_use;
pub mod compare;
pub mod exactness;
pub mod first_schedule;
pub mod spread;
