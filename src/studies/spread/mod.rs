//! How sure a bench's figures are: the same days run for many members, each with its own draw of what is not known of use, media and
//! emitters. Bands and chances from all of them, which unknown matters most, and the plants that stand under the weakest and the strongest
//! emitters.
//!
//! A member is one plant of each lane in one of the worlds that may be: its media and use are drawn for the whole lane, its emitter for
//! itself. All are run on a coarser grid than the bench's, for the band's ends are moved by far less than a tenth of its width by that, unless
//! the bench's own is asked for. How far each number may be off stands beside it, in the scenario's list of parameters. What the spread cannot tell is an error of
//! the model that all members share.

pub mod answer;
mod bands;
mod drawn;
mod emitters;
mod members;
mod shares;
mod unknowns;

pub use answer::{Drawing, LaneSpread, Spread, spread};
pub use bands::{Band, CurveBands};
pub use emitters::Tenth;
pub use members::{Ask, EMITTER_CV, MEMBERS};
pub use shares::Named;

#[cfg(test)]
mod tests;
