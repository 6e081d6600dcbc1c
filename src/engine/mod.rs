//! The root zone in motion, in five rooms: [`column`] (what a root zone is), [`demand`] (what its plants ask), [`supply`] (what the pump
//! gives), [`step`] (water and salt through a moment) and [`run`] (days, and how lanes go through them). The last may name all others,
//! `step` all but the last, `supply` names `demand` alone, and the first two name none.

pub mod column;
pub mod demand;
pub mod run;
pub mod step;
pub mod supply;

pub use run::EngineError;
