//! Questions asked of a bench: plain data and runs in, plain answers out.

pub mod choose;
pub mod compare;
pub mod daily_use;
pub mod dripping;
pub mod error;
pub mod exactness;
pub mod finder;
pub mod first_schedule;
pub mod flush;
pub mod grace;
pub mod spread;
pub mod told;

pub use error::StudyError;
