//! Newton's method on one island, with its two ways round a bad start.
//!
//! Each step linearises every nonlinear part where its junctions stand,
//! solves, and moves the junctions no further than limiting allows. Where
//! that does not settle, a conductance from every node to the reference makes
//! the island easy and is taken away in steps; where that fails too, all
//! sources are raised from zero. Amplifiers and regulators change regime
//! between steps. An answer counts only if, put back into the unlinearised
//! equations, the currents of every node balance.

use super::junction::{critical_volts, limit_diode, limit_junction};
use super::linear::{Factors, Pattern};
use super::lower::Kind;
use super::models::JUNCTION_TEMPERATURE;
use super::result::{Method, Regime};
use super::stamp::{MOST_PINS, PlacedPart, Problem, Rows, State};

/// Steps from the usual start before another way is tried.
const PLAIN_STEPS: usize = 100;
/// Steps at each stage of stepping.
const STAGE_STEPS: usize = 40;
/// Steps in all before an island is given up: circuits that no bench has can make
/// stepping creep for minutes.
const MOST_STEPS: usize = 4_000;
/// Steps after which regimes change only once junctions have settled.
const FREE_REGIME_STEPS: usize = 12;
/// A potential has settled when it moves less than this, in volts, ...
const SETTLED_VOLTS: f64 = 1e-7;
/// ... or less than this part of itself.
const SETTLED_PART: f64 = 1e-9;
/// An unknown current has settled when it moves less than this, in amperes,
/// or than the part above of itself.
const SETTLED_AMPS: f64 = 1e-13;
/// The imbalance of a row that is accepted as rounding, as a part of its
/// terms.
const BALANCE_PART: f64 = 1e-6;
/// Imbalance of a row that is always accepted.
const BALANCE_FLOOR: f64 = 1e-13;
/// First conductance of conductance stepping, in siemens.
const FIRST_SHUNT: f64 = 1e-1;
/// The last conductance before none.
const LAST_SHUNT: f64 = 1e-13;
/// An answer with a potential beyond this, in volts, is none (a current is
/// forced through something that does not conduct), ...
const GREATEST_VOLTS: f64 = 1e7;
/// ... nor is one with a current beyond this, in amperes (a junction straight
/// across a source).
const GREATEST_AMPS: f64 = 1e7;
/// Most a gate voltage moves in a step, in volts.
const GATE_STEP: f64 = 2.0;

/// An island's answer.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Answer {
    /// Potentials, then currents.
    pub(super) unknowns: Vec<f64>,
    pub(super) states: Vec<State>,
    /// Current into each pin of each part.
    pub(super) currents: Vec<[f64; MOST_PINS]>,
    pub(super) method: Method,
    pub(super) iterations: usize,
    /// Parts that could as well rest in another state.
    pub(super) several_states: Vec<usize>,
}

/// Why an island has no answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Failure {
    Singular,
    NotConverged { iterations: usize },
}

/// A place to start from.
#[derive(Debug, Clone)]
struct Point {
    unknowns: Vec<f64>,
    states: Vec<State>,
}

/// One island being solved; keeps the analysed pattern between solves.
pub(super) struct Newton<'a> {
    problem: &'a Problem,
    pattern: &'a Pattern,
    iterations: usize,
}

impl Problem {
    /// Analyses the pattern of the island's system, the same for every set of
    /// values. `None` where its equations cannot have a single answer.
    pub(super) fn pattern(&self) -> Option<Pattern> {
        let rows = self.assemble(&self.first_states(), 1.0, 0.0);
        Pattern::analyse(self.size, &rows.entries)
    }

    /// Junctions start where their curves bend, amplifiers and regulators in
    /// range.
    fn first_states(&self) -> Vec<State> {
        let thermal = JUNCTION_TEMPERATURE.thermal_voltage().0;
        self.parts
            .iter()
            .map(|part| State {
                volts: match part.kind {
                    Kind::Junction {
                        saturation,
                        scale_volts,
                        ..
                    } => [critical_volts(saturation, scale_volts), 0.0],
                    Kind::Bipolar { saturation, .. } => [critical_volts(saturation, thermal), 0.0],
                    _ => [0.0, 0.0],
                },
                regime: Regime::InRange,
                sources: true,
            })
            .collect()
    }
}

/// Solves an island from the usual start.
pub(super) fn solve(problem: &Problem) -> Result<Answer, Failure> {
    if problem.size == 0 {
        // Nothing unknown: every current follows from held potentials.
        let states = problem
            .first_states()
            .into_iter()
            .zip(&problem.parts)
            .map(|(state, part)| State {
                volts: problem.controls(part, &[], 1.0),
                ..state
            })
            .collect();
        return Newton::answer_of(problem, Vec::new(), states, Method::Linear, 0);
    }
    let pattern = problem.pattern().ok_or(Failure::Singular)?;
    let mut newton = Newton {
        problem,
        pattern: &pattern,
        iterations: 0,
    };
    newton.start_as_usual()
}

/// Solves an island that was solved at nearby values before, starting there.
pub(super) fn solve_near(
    problem: &Problem,
    pattern: &Pattern,
    near: &Answer,
) -> Result<Answer, Failure> {
    let mut newton = Newton {
        problem,
        pattern,
        iterations: 0,
    };
    let mut point = Point {
        unknowns: near.unknowns.clone(),
        states: near.states.clone(),
    };
    match newton.settle(&mut point, 1.0, 0.0, STAGE_STEPS) {
        Ok(()) if newton.balances(&mut point) => newton.finish(point, Method::Plain),
        _ => newton.start_as_usual(),
    }
}

impl Newton<'_> {
    fn first_point(&self) -> Point {
        Point {
            unknowns: vec![0.0; self.problem.size],
            states: self.problem.first_states(),
        }
    }

    fn start_as_usual(&mut self) -> Result<Answer, Failure> {
        let mut point = self.first_point();
        let mut method = if self.problem.is_nonlinear() {
            Method::Plain
        } else {
            Method::Linear
        };
        let plain = self.settle(&mut point, 1.0, 0.0, PLAIN_STEPS);
        if plain.is_err() || !self.balances(&mut point) {
            if method == Method::Linear {
                return Err(Failure::Singular);
            }
            if let Some(reached) = self.step_conductance() {
                (point, method) = (reached, Method::ConductanceStepping);
            } else if let Some(reached) = self.step_sources() {
                (point, method) = (reached, Method::SourceStepping);
            } else {
                return Err(match plain {
                    Err(Failure::Singular) => Failure::Singular,
                    _ => Failure::NotConverged {
                        iterations: self.iterations,
                    },
                });
            }
        }
        self.leave_unstable_rest(point, method)
    }

    /// Takes a conductance at every node away, by tenfolds where that goes
    /// well and by less where it does not.
    fn step_conductance(&mut self) -> Option<Point> {
        let mut point = self.first_point();
        let mut shunt = FIRST_SHUNT;
        self.settle(&mut point, 1.0, shunt, PLAIN_STEPS).ok()?;
        let mut factor = 10.0_f64;
        while shunt > LAST_SHUNT {
            let mut trial = point.clone();
            let next = shunt / factor;
            if self.settle(&mut trial, 1.0, next, STAGE_STEPS).is_ok() {
                (point, shunt) = (trial, next);
                factor = (factor * factor.sqrt()).min(10.0);
            } else {
                factor = factor.sqrt();
                if factor < 1.02 || self.iterations >= MOST_STEPS {
                    return None;
                }
            }
        }
        self.settle(&mut point, 1.0, 0.0, PLAIN_STEPS).ok()?;
        self.balances(&mut point).then_some(point)
    }

    /// Raises all sources together from zero.
    fn step_sources(&mut self) -> Option<Point> {
        let mut point = self.first_point();
        for state in &mut point.states {
            state.volts = [0.0, 0.0];
        }
        self.settle(&mut point, 0.0, 0.0, PLAIN_STEPS).ok()?;
        let (mut scale, mut step) = (0.0_f64, 0.05_f64);
        while scale < 1.0 {
            let mut trial = point.clone();
            let next = (scale + step).min(1.0);
            if self.settle(&mut trial, next, 0.0, STAGE_STEPS).is_ok() {
                (point, scale) = (trial, next);
                step *= 1.5;
            } else {
                step /= 4.0;
                if step < 1e-6 || self.iterations >= MOST_STEPS {
                    return None;
                }
            }
        }
        self.balances(&mut point).then_some(point)
    }

    /// Newton steps until nothing moves.
    fn settle(
        &mut self,
        point: &mut Point,
        scale: f64,
        shunt: f64,
        most_steps: usize,
    ) -> Result<(), Failure> {
        let linear = !self.problem.is_nonlinear();
        for step in 0..most_steps {
            if self.iterations >= MOST_STEPS {
                break;
            }
            self.iterations += 1;
            let rows = self.problem.assemble(&point.states, scale, shunt);
            let unknowns = self
                .pattern
                .factor(&rows.values)
                .and_then(|factors| factors.solve(rows.right))
                .ok_or(Failure::Singular)?;
            let moved = self.has_moved(&point.unknowns, &unknowns);
            point.unknowns = unknowns;
            let held_back = self.move_states(point, scale, step);
            if linear || !(moved || held_back) {
                return Ok(());
            }
        }
        Err(Failure::NotConverged {
            iterations: self.iterations,
        })
    }

    fn has_moved(&self, old: &[f64], new: &[f64]) -> bool {
        old.iter().zip(new).enumerate().any(|(index, (old, new))| {
            let floor = if index < self.problem.potentials {
                SETTLED_VOLTS
            } else {
                SETTLED_AMPS
            };
            (new - old).abs() > floor + SETTLED_PART * new.abs()
        })
    }

    /// Moves every part's state towards the new unknowns. Says whether any
    /// was held back by limiting or changed its regime.
    fn move_states(&self, point: &mut Point, scale: f64, step: usize) -> bool {
        let mut limited = false;
        let thermal = JUNCTION_TEMPERATURE.thermal_voltage().0;
        for (part, state) in self.problem.parts.iter().zip(&mut point.states) {
            let wanted = self.problem.controls(part, &point.unknowns, scale);
            let old = state.volts;
            state.volts = match part.kind {
                Kind::Junction {
                    saturation,
                    scale_volts,
                    breakdown,
                } => [
                    limit_diode(wanted[0], old[0], saturation, scale_volts, breakdown),
                    0.0,
                ],
                Kind::Bipolar { saturation, .. } => {
                    let critical = critical_volts(saturation, thermal);
                    [0, 1].map(|side| limit_junction(wanted[side], old[side], thermal, critical))
                }
                Kind::Jfet { saturation, .. } => {
                    let critical = critical_volts(saturation, thermal);
                    [0, 1].map(|side| {
                        let near = limit_junction(wanted[side], old[side], thermal, critical);
                        near.clamp(old[side] - GATE_STEP, old[side] + GATE_STEP)
                    })
                }
                _ => continue,
            };
            limited |= state.volts != wanted;
        }
        let mut changed = false;
        if !limited || step < FREE_REGIME_STEPS {
            for (part, state) in self.problem.parts.iter().zip(&mut point.states) {
                let new = self.next_regime(part, *state, &point.unknowns, scale);
                changed |= new.regime != state.regime || new.sources != state.sources;
                *state = new;
                // Late on, one at a time: regimes that chase each other
                // round a loop settle in some order.
                if changed && step >= 2 * FREE_REGIME_STEPS {
                    break;
                }
            }
        }
        limited || changed
    }

    /// The regime that an amplifier's or regulator's solved potentials ask
    /// for.
    fn next_regime(&self, part: &PlacedPart, state: State, unknowns: &[f64], scale: f64) -> State {
        let volts = |pin: usize| self.problem.volts(part.pins[pin], unknowns, scale);
        let Some(branch) = part.branch else {
            return state;
        };
        let amps = unknowns[branch];
        let margin = 1e-9 * scale;
        match part.kind {
            Kind::Amplifier {
                gain,
                upper_headroom,
                lower_headroom,
                upper_rail,
                lower_rail,
                ..
            } => {
                let upper =
                    upper_rail.map_or(f64::INFINITY, |pin| volts(pin) - upper_headroom * scale);
                let lower =
                    lower_rail.map_or(f64::NEG_INFINITY, |pin| volts(pin) + lower_headroom * scale);
                let middle = match (upper_rail, lower_rail) {
                    (Some(upper), Some(lower)) => (volts(upper) + volts(lower)) / 2.0,
                    _ => 0.0,
                };
                let out = match state.regime {
                    Regime::InRange => volts(2),
                    _ => middle + gain * (volts(0) - volts(1)),
                };
                let regime = match state.regime {
                    Regime::InRange if out > upper + margin => Regime::UpperLimit,
                    Regime::InRange if out < lower - margin => Regime::LowerLimit,
                    Regime::UpperLimit if out < upper - margin => Regime::InRange,
                    Regime::LowerLimit if out > lower + margin => Regime::InRange,
                    same => same,
                };
                State {
                    regime,
                    sources: amps <= 0.0,
                    ..state
                }
            }
            Kind::Regulator {
                volts: regulated,
                dropout,
                sign,
                ..
            } => {
                let [input, common, output] = [0, 1, 2].map(|pin| sign * volts(pin));
                let amps = sign * amps;
                let (regulated, dropout) = (regulated * scale, dropout * scale);
                let close = input - output < dropout - margin;
                let regime = match state.regime {
                    Regime::InRange if close => Regime::Dropout,
                    Regime::InRange | Regime::Dropout if amps < -SETTLED_AMPS => Regime::Off,
                    Regime::Dropout if output - common > regulated + margin => Regime::InRange,
                    Regime::Off
                        if output - common < regulated - margin
                            && input - output > dropout + margin =>
                    {
                        Regime::InRange
                    }
                    same => same,
                };
                State {
                    regime,
                    volts: [sign * (input - common), 0.0],
                    ..state
                }
            }
            _ => state,
        }
    }

    /// The system linearised exactly where the unknowns put every junction.
    fn rows_at(&self, point: &Point) -> Rows {
        let states: Vec<State> = self
            .problem
            .parts
            .iter()
            .zip(&point.states)
            .map(|(part, state)| match part.kind {
                Kind::Junction { .. } | Kind::Bipolar { .. } | Kind::Jfet { .. } => State {
                    volts: self.problem.controls(part, &point.unknowns, 1.0),
                    ..*state
                },
                _ => *state,
            })
            .collect();
        self.problem.assemble(&states, 1.0, 0.0)
    }

    /// Whether every row balances at a point, after what is left over there has
    /// been solved for once more where it does not: behind a wiper at the end of
    /// its travel, rounding of a potential is a current.
    fn balances(&self, point: &mut Point) -> bool {
        if self.is_balanced(point) {
            return true;
        }
        let rows = self.rows_at(point);
        let mut rest = rows.right;
        for (&(row, variable), value) in rows.entries.iter().zip(&rows.values) {
            rest[row] -= value * point.unknowns[variable];
        }
        let factors = self.pattern.factor(&rows.values);
        let Some(correction) = factors.and_then(|factors| factors.solve(rest)) else {
            return false;
        };
        for (unknown, correction) in point.unknowns.iter_mut().zip(correction) {
            *unknown += correction;
        }
        self.is_balanced(point)
    }

    fn is_balanced(&self, point: &Point) -> bool {
        let rows = self.rows_at(point);
        let mut left_over: Vec<f64> = rows.right.iter().map(|right| -right).collect();
        let mut terms: Vec<f64> = rows.right.iter().map(|right| right.abs()).collect();
        for (&(row, variable), value) in rows.entries.iter().zip(&rows.values) {
            let term = value * point.unknowns[variable];
            left_over[row] += term;
            terms[row] += term.abs();
        }
        left_over
            .iter()
            .zip(&terms)
            .all(|(rest, terms)| rest.abs() <= BALANCE_PART * terms + BALANCE_FLOOR)
    }

    /// An amplifier in range inside a loop of positive feedback is balanced
    /// on a knife's edge: if its output is nudged it runs the other way. Such
    /// a point is left for one where the amplifier sits at a limit.
    fn leave_unstable_rest(&mut self, point: Point, method: Method) -> Result<Answer, Failure> {
        let unstable = self.unstable_amplifiers(&point);
        if unstable.is_empty() {
            return self.finish(point, method);
        }
        for limit in [Regime::UpperLimit, Regime::LowerLimit] {
            let mut trial = point.clone();
            for &part in &unstable {
                trial.states[part].regime = limit;
            }
            if self.settle(&mut trial, 1.0, 0.0, PLAIN_STEPS).is_ok()
                && self.balances(&mut trial)
                && self.unstable_amplifiers(&trial).is_empty()
            {
                let mut answer = self.finish(trial, method)?;
                answer.several_states = unstable;
                return Ok(answer);
            }
        }
        Err(Failure::NotConverged {
            iterations: self.iterations,
        })
    }

    /// Amplifiers in range whose output moves against a nudge: with loop gain
    /// `A·β`, a nudge of one volt moves it by `1/(1 − A·β)`.
    fn unstable_amplifiers(&self, point: &Point) -> Vec<usize> {
        let amplifiers: Vec<(usize, usize, usize)> = self
            .problem
            .parts
            .iter()
            .zip(&point.states)
            .enumerate()
            .filter_map(|(index, (part, state))| match part.kind {
                Kind::Amplifier { .. } if state.regime == Regime::InRange => {
                    Some((index, part.branch?, part.pins[2].variable?))
                }
                _ => None,
            })
            .collect();
        if amplifiers.is_empty() {
            return Vec::new();
        }
        let Some(factors) = self.pattern.factor(&self.rows_at(point).values) else {
            return Vec::new();
        };
        amplifiers
            .into_iter()
            .filter(|&(_, branch, out)| {
                let mut nudge = vec![0.0; self.problem.size];
                nudge[branch] = 1.0;
                factors
                    .solve(nudge)
                    .is_some_and(|response| response[out] < 0.0)
            })
            .map(|(index, ..)| index)
            .collect()
    }

    fn finish(&self, point: Point, method: Method) -> Result<Answer, Failure> {
        Self::answer_of(
            self.problem,
            point.unknowns,
            point.states,
            method,
            self.iterations,
        )
    }

    /// Completes an answer with its currents; refuses one that is beyond
    /// anything real.
    fn answer_of(
        problem: &Problem,
        unknowns: Vec<f64>,
        states: Vec<State>,
        method: Method,
        iterations: usize,
    ) -> Result<Answer, Failure> {
        let currents: Vec<[f64; MOST_PINS]> = problem
            .parts
            .iter()
            .zip(&states)
            .map(|(part, state)| problem.pin_currents(part, &unknowns, state))
            .collect();
        let real = unknowns[..problem.potentials]
            .iter()
            .all(|volts| volts.abs() <= GREATEST_VOLTS)
            && currents
                .iter()
                .flatten()
                .all(|amps| amps.abs() <= GREATEST_AMPS);
        if !real {
            return Err(Failure::Singular);
        }
        Ok(Answer {
            unknowns,
            states,
            currents,
            method,
            iterations,
            several_states: Vec::new(),
        })
    }
}

/// The linearised system at an answer, for sensitivities.
pub(super) fn factors_at(problem: &Problem, pattern: &Pattern, answer: &Answer) -> Option<Factors> {
    pattern.factor(&problem.assemble(&answer.states, 1.0, 0.0).values)
}

/// What is left over in each row when an answer for other values is put into
/// a problem.
pub(super) fn left_over(problem: &Problem, answer: &Answer) -> Vec<f64> {
    let rows = problem.assemble(&answer.states, 1.0, 0.0);
    let mut rest: Vec<f64> = rows.right.iter().map(|right| -right).collect();
    for (&(row, variable), value) in rows.entries.iter().zip(&rows.values) {
        rest[row] += value * answer.unknowns[variable];
    }
    rest
}
