//! hysteresis
