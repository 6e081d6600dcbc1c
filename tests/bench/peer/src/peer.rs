//! The other solver: `diffsol`'s backward differentiation formulae of variable order, with a sparse analytic Jacobian and sparse LU.
//!
//! It is begun anew, at first order and with a fresh Jacobian, wherever the supply changes or the light bends: a formula that looks
//! back on several steps must not look across an edge. Its two settings are measured side by side: [`Settings::AsItComes`] is what a
//! first user gets, [`Settings::Tuned`] what trying its settings one by one on this very day brought.

use std::cell::RefCell;
use std::rc::Rc;

use diffsol::{
    BdfState, ConstantOp, DiffsolError, FaerContext, FaerSparseLU, FaerSparseMat, FaerVec, Matrix, NonLinearOp, NonLinearOpJacobian,
    OdeBuilder, OdeEquations, OdeEquationsRef, OdeSolverMethod, OdeSolverProblem, OdeSolverState, OdeSolverStopReason, Op, UnitCallable,
    Vector,
};

use diffsol::matrix::sparsity::MatrixSparsity;

use crate::day::Figures;
use crate::equations::{Equations, Stretch};

type V = FaerVec<f64>;
type M = FaerSparseMat<f64>;

/// The system as `diffsol` takes it.
#[derive(Clone)]
pub struct System {
    equations: Rc<Equations>,
    start: Rc<Vec<f64>>,
    pattern: Rc<Vec<(usize, usize)>>,
    context: FaerContext,
}

impl System {
    /// From heads and salt amounts at midnight.
    pub fn new(equations: Rc<Equations>, start: Vec<f64>) -> Self {
        let pattern = Rc::new(equations.pattern());
        Self { equations, start: Rc::new(start), pattern, context: FaerContext::default() }
    }
}

impl Op for System {
    type T = f64;
    type V = V;
    type M = M;
    type C = FaerContext;

    fn context(&self) -> &FaerContext {
        &self.context
    }
    fn nstates(&self) -> usize {
        self.start.len()
    }
    fn nout(&self) -> usize {
        self.start.len()
    }
    fn nparams(&self) -> usize {
        0
    }
}

/// The rates, for as long as they are looked at.
pub struct Rates<'a>(&'a System);

impl Op for Rates<'_> {
    type T = f64;
    type V = V;
    type M = M;
    type C = FaerContext;

    fn context(&self) -> &FaerContext {
        self.0.context()
    }
    fn nstates(&self) -> usize {
        self.0.nstates()
    }
    fn nout(&self) -> usize {
        self.0.nout()
    }
    fn nparams(&self) -> usize {
        0
    }
}

impl NonLinearOp for Rates<'_> {
    fn call_inplace(&self, x: &V, t: f64, y: &mut V) {
        y.for_each_batch_host([x], |y, [x], _| self.0.equations.rates(t, x, y));
    }
}

impl NonLinearOpJacobian for Rates<'_> {
    /// Asked for by the trait; the solver takes the matrix.
    fn jac_mul_inplace(&self, x: &V, t: f64, v: &V, y: &mut V) {
        let mut values = vec![0.0; self.0.pattern.len()];
        y.for_each_batch_host([x, v], |y, [x, v], _| {
            self.0.equations.jacobian(t, x, &mut values);
            y.fill(0.0);
            self.0.pattern.iter().zip(&values).for_each(|(&(i, j), value)| y[i] += value * v[j]);
        });
    }

    fn jacobian_inplace(&self, x: &V, t: f64, y: &mut M) {
        let mut nothing = V::zeros(0, self.0.context);
        nothing.for_each_batch_host([x], |_, [x], _| self.0.equations.jacobian(t, x, y.inner_mut()[0].val_mut()));
    }

    fn jacobian_sparsity(&self) -> Option<<M as Matrix>::Sparsity> {
        let n = self.0.nstates();
        MatrixSparsity::<M>::try_from_indices(n, n, self.0.pattern.to_vec()).ok()
    }
}

/// Where the system starts.
pub struct Start<'a>(&'a System);

impl Op for Start<'_> {
    type T = f64;
    type V = V;
    type M = M;
    type C = FaerContext;

    fn context(&self) -> &FaerContext {
        self.0.context()
    }
    fn nstates(&self) -> usize {
        self.0.nstates()
    }
    fn nout(&self) -> usize {
        self.0.nout()
    }
    fn nparams(&self) -> usize {
        0
    }
}

impl ConstantOp for Start<'_> {
    fn call_inplace(&self, _t: f64, y: &mut V) {
        y.copy_from(&V::from_slice(&self.0.start, self.0.context));
    }
}

impl<'a> OdeEquationsRef<'a> for System {
    type Mass = UnitCallable<M>;
    type Rhs = Rates<'a>;
    type Root = UnitCallable<M>;
    type Init = Start<'a>;
    type Out = UnitCallable<M>;
    type Reset = UnitCallable<M>;
}

impl OdeEquations for System {
    fn rhs(&self) -> Rates<'_> {
        Rates(self)
    }
    fn mass(&self) -> Option<UnitCallable<M>> {
        None
    }
    fn init(&self) -> Start<'_> {
        Start(self)
    }
    fn set_params(&mut self, _p: &V) {}
    fn get_params(&self, _p: &mut V) {}
}

/// How the solver is set.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Settings {
    /// All as the crate sets it.
    AsItComes,
    /// Newton's method brought [`TUNED_CONVERGENCE`] close, and steps that may grow [`TUNED_GROWTH`]-fold.
    Tuned,
}

/// What is left of Newton's corrections, as a share of the tolerance; 0.2 as it comes, where heads that are off that much lose points of
/// water at loose tolerances. Ten times looser or tighter costs more for the same error.
const TUNED_CONVERGENCE: f64 = 0.003;
/// Growth of one step to the next; 2 as it comes, which after each of the day's edges takes long to come to long steps.
const TUNED_GROWTH: f64 = 10.0;

/// The system with the tolerances of a run.
pub struct Problem {
    problem: OdeSolverProblem<System>,
    stretches: Vec<Stretch>,
}

/// Absolute tolerance of a head at a relative tolerance of 1, cm. Of 0.01 to 100, this gives the least error for the work: near fullness
/// water hangs on tenths of a millimetre of head.
const HEAD_SCALE_CM: f64 = 0.1;
/// The same of a layer's salt, mS/cm·mL; it hardly matters.
const SALT_SCALE: f64 = 10.0;

/// Called with the instant and the unknowns.
type Seen<'a> = dyn FnMut(f64, &[f64]) + 'a;

impl Problem {
    /// With a relative tolerance, and absolute ones that go with it.
    ///
    /// # Errors
    /// What `diffsol` says.
    pub fn new(system: &System, stretches: &[Stretch], settings: Settings, rtol: f64) -> Result<Self, DiffsolError> {
        let n = system.equations.layers();
        let atol = (0..2 * n).map(|i| rtol * if i < n { HEAD_SCALE_CM } else { SALT_SCALE });
        system.equations.enter(stretches[0]);
        let mut problem = OdeBuilder::<M>::new().rtol(rtol).atol(atol.collect::<Vec<_>>()).h0(1.0).build_from_eqn(system.clone())?;
        // The count is of a whole day: 50 as set are used up by the morning.
        problem.ode_options.max_nonlinear_solver_failures = 1_000_000;
        if settings == Settings::Tuned {
            problem.ode_options.nonlinear_solver_tolerance = TUNED_CONVERGENCE;
            problem.ode_options.max_timestep_growth = Some(TUNED_GROWTH);
        }
        Ok(Self { problem, stretches: stretches.to_vec() })
    }

    /// Runs the day and returns the number of steps. `seen` is called at the end of every step; with `instants` (ascending) it is called
    /// at those instead.
    ///
    /// # Errors
    /// What `diffsol` says.
    pub fn run(&self, instants: Option<&[f64]>, seen: &mut Seen) -> Result<usize, DiffsolError> {
        let problem = &self.problem;
        let equations = &problem.eqn.equations;
        equations.enter(self.stretches[0]);
        let mut solver = problem.bdf_solver::<FaerSparseLU<f64>>(BdfState::new(problem, 1)?)?;
        let mut instants = instants.map(|i| i.iter().copied().peekable());
        let room = RefCell::new(V::zeros(problem.eqn.nstates(), problem.eqn.context));
        for (index, &stretch) in self.stretches.iter().enumerate() {
            if index > 0 {
                equations.enter(stretch);
                let mut state = solver.state_clone();
                let mut at = state.as_mut();
                *at.t = stretch.begin;
                problem.eqn.rhs().call_inplace(at.y, *at.t, at.dy);
                at.set_step_size(1.0, &problem.atol, problem.rtol, &problem.eqn, 1);
                state.initialise_diff_to_first_order();
                // A fresh Jacobian, and no memory of steps before.
                solver.set_state(state);
                solver.state_mut();
            }
            solver.set_stop_time(stretch.end)?;
            loop {
                let reason = solver.step()?;
                let now = solver.state().t;
                match instants.as_mut() {
                    None => look(solver.state().y, now, seen),
                    Some(instants) => {
                        while let Some(t) = instants.next_if(|&t| t <= now) {
                            let mut between = room.borrow_mut();
                            solver.interpolate_inplace(t, &mut between)?;
                            look(&between, t, seen);
                        }
                    }
                }
                if matches!(reason, OdeSolverStopReason::TstopReached) {
                    break;
                }
            }
        }
        Ok(solver.get_statistics().number_of_steps)
    }

    /// Figures at the end of every step, or at `instants`, and the number of steps.
    ///
    /// # Errors
    /// What `diffsol` says.
    pub fn figures(&self, instants: Option<&[f64]>) -> Result<(Vec<Figures>, usize), DiffsolError> {
        let equations = &self.problem.eqn.equations;
        let mut figures = Vec::new();
        let steps = self.run(instants, &mut |t, y| {
            let (theta, ec) = equations.contents(y);
            figures.push(Figures::of(&equations.column, t, &theta, &ec));
        })?;
        Ok((figures, steps))
    }
}

fn look(unknowns: &V, t: f64, seen: &mut Seen) {
    let mut nothing = V::zeros(0, FaerContext::default());
    nothing.for_each_batch_host([unknowns], |_, [y], _| seen(t, y));
}
