//! How sure a bench's figures are: the same days run for many members, each with its own draw of what is not known of use, media and
//! emitters. Bands and chances from all of them, which unknown matters most, and the plants that stand under the weakest and the strongest
//! emitters.
//!
//! A member is one plant of each lane in one of the worlds that may be: its medium and use are drawn for the whole lane, its emitter for
//! itself. What it cannot tell is an error of the model that all members share.

pub mod answer;
pub mod bands;
pub mod drawn;
pub mod emitters;
pub mod last_day;
pub mod members;
pub mod priors;
pub mod shares;
pub mod told;
pub mod unknowns;

pub use answer::{LaneSpread, Spread, spread};
pub use members::{Ask, MEMBERS};
pub use priors::Priors;
