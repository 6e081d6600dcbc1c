//! steps
