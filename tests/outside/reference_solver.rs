//! reference_solver
