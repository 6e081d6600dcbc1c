//! Water and salt through a moment: faces between layers, contacts, surfaces and edges of the column, the two stages of a step, and what
//! the roots take of it.
//!
//! In the order of one step:
//! 1. `run/simulation.rs` asks `supply/clock.rs` what the pump does and until when, and the load for the demand; a step never passes a change
//!    of supply, lights on or off, or midnight.
//! 2. `water.rs` tries the step: two implicit stages (second order, L-stable), each solved by Newton's method for the heads. The water content
//!    of a stage is *defined* by the flows found, so what flows is what is stored, to rounding, however loosely the iteration stops. Where a
//!    layer loses most of its water within a step, the step is taken once implicitly. From its sixth iteration on each layer is held between
//!    the heads that its corrections have come from, so that it closes in on a root between two bends of its curve.
//! 3. `column/hydro.rs` evaluates the curves at trial heads. Each layer has a curve onward and one back from where it stood when the step
//!    began, so a layer may turn inside a step.
//! 4. `salt.rs` carries the salt with the same stages and flows; where a second stage would need negative salt, once implicitly. What uptake
//!    carries is a bent line by a layer's EC (`salt_uptake.rs`); each layer is solved on one straight piece of it, looked at, and solved again
//!    on another where it left that one by more than rounding. What is booked is what the last solve carried. Water that runs straight through
//!    changes places with a little of each layer's own (`channel.rs`), in the same solve.
//! 5. `commit` records turns, lets roots breathe and books the ledger.
//!
//! Choices worth knowing:
//! - *Hysteresis.* Scanning curves are rescaled main branches. Through the last turning point alone they pump; ours pass through the last two,
//!   so loops close and are forgotten (return-point memory, at most eight turns).
//! - *Minimum capillary height* (default 1 cm for n < 2): conductivity of such media collapses within a millimetre of saturation otherwise. It
//!   holds slightly more water than the plain curve.
//! - *Elastic storage* (`solver.storage_per_cm`, 1e-7) keeps a column solvable that is full everywhere. It adds no visible water.
//! - *Faces.* Between two layers of one medium conductivity is the mean over the heads between them (`between.rs`): a third of the arithmetic
//!   and two thirds of the geometric mean of the ends, and across a front (a ratio above 4 as the step begins) that of a power of suction.
//!   Where two media touch one head is solved for, from equal flow through the half layer on either side, each with its own area
//!   (`contact.rs`). The top evaporates as far as the half layer below the surface brings water up (`surface.rs`).
//! - *Vigour.* Air's memory and salt's share are foreseen at both stages of a step to second order; what was foreseen wrongly is part of the
//!   step's error (`vigour.rs`).
//! - *Limits.* Residual water content at least 0.001, and n no steeper than (1000 cm·α)^(1−n) ≥ 1e-7: beyond, heads mean nothing.

pub mod between;
pub mod boundary;
pub mod channel;
pub mod contact;
pub mod corrected;
pub mod lost;
pub mod salt;
pub mod salt_uptake;
pub mod scheme;
pub mod sums;
pub mod surface;
pub mod tridiagonal;
pub mod vigour;
pub mod water;
