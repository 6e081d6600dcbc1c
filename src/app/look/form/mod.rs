//! Fields of the setup cards: a number, a name, a time or a choice, each with words, a range and one step of the edit list.

mod card;
mod digits;
mod kept_name;
mod number;
mod rows;
mod text;

pub use card::{Form, lower};
pub use kept_name::{Kept, named};
pub use number::Field;
pub use rows::row;
pub use text::typed;
