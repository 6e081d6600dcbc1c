//! flood
