//! The method in time that water, salt and vigour share: two-stage, second-order, L-stable, stiffly accurate, diagonally implicit
//! (Alexander 1977, SIAM J. Numer. Anal. 14:1006).

/// γ of the method: each stage solves `x = before + γ·dt·f(x)`.
pub const GAMMA: f64 = 1.0 - std::f64::consts::FRAC_1_SQRT_2;
/// Weight of the first stage's flows in the step; the second's is γ.
pub const FIRST: f64 = 1.0 - GAMMA;
