//! convergence
