//! Answers of studies as documents for scripts and spreadsheets: the one way that commands and window go, so that both write the same bytes.

pub mod answer;
pub mod tables;

pub use answer::{Answer, Form, Making};
