//! Ideal voltages: a forest of sources, links and regulators known to
//! regulate.
//!
//! Nodes joined by ideal voltages move together, so only one potential of
//! each such tree is unknown, and none in the tree of the reference. What an
//! ideal source carries is found afterwards by Kirchhoff's current law. A tie
//! that would close a loop is left out of the forest; if it agrees with the
//! others the currents round the loop have no single answer, if not it is a
//! conflict.

use super::lower::{Kind, Lowered, Part, Scenario, Tie};
use super::units::Spread;

/// Two sources in a loop that disagree by less than this, relative to their
/// size, are the same number spelled twice.
const AGREEMENT: f64 = 1e-9;

/// The way from a node to the root of its tree.
#[derive(Debug, Clone, Copy)]
pub(super) struct Branch {
    pub(super) parent: usize,
    pub(super) tie: usize,
    /// Whether the node is the tie's plus side.
    pub(super) is_plus: bool,
}

#[derive(Debug)]
pub(super) struct Forest {
    /// Ties of the circuit, then one for every held regulator.
    pub(super) ties: Vec<Tie>,
    /// For each part, the tie that stands for it where it is held.
    pub(super) held: Vec<Option<usize>>,
    pub(super) root: Vec<usize>,
    pub(super) branch: Vec<Option<Branch>>,
    /// Every node, parents before children.
    pub(super) order: Vec<usize>,
    pub(super) ground: Option<usize>,
    /// Potential over the root, with its tolerance.
    offsets: Vec<Spread<f64>>,
    /// Ties outside the forest that agree with it.
    pub(super) redundant: Vec<usize>,
    /// Ties outside the forest that do not, with the nodes and ties of their
    /// loops.
    pub(super) conflicts: Vec<Loop>,
}

/// A loop of ties: the tie that closes it and the way round.
#[derive(Debug, Clone)]
pub(super) struct Loop {
    pub(super) ties: Vec<usize>,
    pub(super) nodes: Vec<usize>,
}

const EXACTLY_ZERO: Spread<f64> = Spread {
    nominal: 0.0,
    low: 0.0,
    high: 0.0,
};

fn find(leader: &mut [usize], mut node: usize) -> usize {
    while leader[node] != node {
        leader[node] = leader[leader[node]];
        node = leader[node];
    }
    node
}

impl Forest {
    /// Builds the forest. Parts named in `not_held` are regulators found not
    /// to regulate; they stay parts.
    pub(super) fn build(lowered: &Lowered, ground: Option<usize>, not_held: &[usize]) -> Self {
        let mut forest = Self {
            ties: lowered.ties.clone(),
            held: vec![None; lowered.parts.len()],
            root: Vec::new(),
            branch: Vec::new(),
            order: Vec::new(),
            ground,
            offsets: Vec::new(),
            redundant: Vec::new(),
            conflicts: Vec::new(),
        };
        forest.grow(lowered.nodes);
        forest.sort_out_loops();
        // A regulator between held nodes holds its output, which may let the
        // next one regulate.
        while let Some((part, tie)) = forest.next_regulator(&lowered.parts, not_held) {
            forest.held[part] = Some(forest.ties.len());
            forest.ties.push(tie);
            forest.grow(lowered.nodes);
        }
        forest
    }

    /// Rebuilds roots, branches and offsets from the ties that close no loop.
    fn grow(&mut self, nodes: usize) {
        let mut leader: Vec<usize> = (0..nodes).collect();
        let mut neighbours: Vec<Vec<usize>> = vec![Vec::new(); nodes];
        self.redundant.clear();
        for (index, tie) in self.ties.iter().enumerate() {
            let (a, b) = (tie.plus.node, tie.minus.node);
            let (leader_a, leader_b) = (find(&mut leader, a), find(&mut leader, b));
            if leader_a == leader_b {
                self.redundant.push(index);
            } else {
                leader[leader_a] = leader_b;
                neighbours[a].push(index);
                neighbours[b].push(index);
            }
        }
        self.root = vec![usize::MAX; nodes];
        self.branch = vec![None; nodes];
        self.order = Vec::with_capacity(nodes);
        for start in self.ground.into_iter().chain(0..nodes) {
            if self.root[start] != usize::MAX {
                continue;
            }
            self.root[start] = start;
            let mut reached = self.order.len();
            self.order.push(start);
            while reached < self.order.len() {
                let node = self.order[reached];
                reached += 1;
                for &index in &neighbours[node] {
                    let tie = &self.ties[index];
                    let is_plus = tie.minus.node == node;
                    let child = if is_plus {
                        tie.plus.node
                    } else {
                        tie.minus.node
                    };
                    if self.root[child] == usize::MAX {
                        self.root[child] = start;
                        self.branch[child] = Some(Branch {
                            parent: node,
                            tie: index,
                            is_plus,
                        });
                        self.order.push(child);
                    }
                }
            }
        }
        self.offsets = vec![EXACTLY_ZERO; nodes];
        for &node in &self.order {
            if let Some(branch) = self.branch[node] {
                let (parent, volts) = (self.offsets[branch.parent], self.ties[branch.tie].volts);
                self.offsets[node] = if branch.is_plus {
                    Spread {
                        nominal: parent.nominal + volts.nominal,
                        low: parent.low + volts.low,
                        high: parent.high + volts.high,
                    }
                } else {
                    Spread {
                        nominal: parent.nominal - volts.nominal,
                        low: parent.low - volts.high,
                        high: parent.high - volts.low,
                    }
                };
            }
        }
    }

    /// Splits the ties that close loops into those that agree and those that
    /// do not. Sources whose tolerances overlap count as agreeing; the one
    /// written first then gives the potential.
    fn sort_out_loops(&mut self) {
        for &index in &self.redundant {
            let tie = &self.ties[index];
            let (plus, minus) = (self.offsets[tie.plus.node], self.offsets[tie.minus.node]);
            let slack = AGREEMENT * (1.0 + tie.volts.nominal.abs());
            let overlaps = plus.low - minus.high <= tie.volts.high + slack
                && plus.high - minus.low >= tie.volts.low - slack;
            if !overlaps {
                self.conflicts.push(self.way_round(index));
            }
        }
    }

    /// The loop that a redundant tie closes.
    pub(super) fn way_round(&self, index: usize) -> Loop {
        let tie = &self.ties[index];
        let climb = |mut node: usize| {
            let mut way = vec![node];
            while let Some(branch) = self.branch[node] {
                node = branch.parent;
                way.push(node);
            }
            way
        };
        let (mut left, mut right) = (climb(tie.plus.node), climb(tie.minus.node));
        // Cut both ways at their meeting point.
        while left.len() > 1 && right.len() > 1 && left[left.len() - 2] == right[right.len() - 2] {
            left.pop();
            right.pop();
        }
        if left.last() == right.last() {
            right.pop();
        }
        let meeting = left.last().copied();
        let mut nodes = left;
        nodes.extend(right);
        let mut ties: Vec<usize> = nodes
            .iter()
            .filter(|&&node| Some(node) != meeting)
            .filter_map(|&node| self.branch[node].map(|branch| branch.tie))
            .collect();
        ties.push(index);
        ties.sort_unstable();
        Loop { ties, nodes }
    }

    /// The next regulator whose input and common pin are held and whose
    /// output is not, with enough at its input over every tolerance.
    fn next_regulator(&self, parts: &[Part], not_held: &[usize]) -> Option<(usize, Tie)> {
        let ground = self.ground?;
        parts.iter().enumerate().find_map(|(index, part)| {
            let Kind::Regulator { dropout, sign, .. } = part.kind else {
                return None;
            };
            if self.held[index].is_some() || not_held.contains(&index) {
                return None;
            }
            let [input, common, output] = [part.pins[0], part.pins[1], part.pins[2]];
            let held = |node: usize| self.root[node] == ground;
            if !held(input.node) || !held(common.node) || held(output.node) {
                return None;
            }
            let volts = part.regulated?;
            let (input_offset, common_offset) =
                (self.offsets[input.node], self.offsets[common.node]);
            let least = if sign > 0.0 {
                input_offset.low - common_offset.high
            } else {
                common_offset.low - input_offset.high
            };
            if least < volts.high + dropout {
                return None;
            }
            let tie_volts = if sign > 0.0 {
                volts
            } else {
                Spread {
                    nominal: -volts.nominal,
                    low: -volts.high,
                    high: -volts.low,
                }
            };
            Some((
                index,
                Tie {
                    element: part.element,
                    plus: output,
                    minus: common,
                    volts: tie_volts,
                },
            ))
        })
    }

    /// Potential of a node over its root, with its tolerance.
    pub(super) fn reach(&self, node: usize) -> Spread<f64> {
        self.offsets[node]
    }

    /// Potential of every node over its root when elements have the values of
    /// a scenario.
    pub(super) fn offsets(&self, parts: &[Part], scenario: &Scenario) -> Vec<f64> {
        let mut volts: Vec<f64> = self
            .ties
            .iter()
            .map(|tie| scenario.0[tie.element][0])
            .collect();
        for (part, tie) in parts.iter().zip(&self.held) {
            if let (Kind::Regulator { sign, .. }, Some(tie)) = (part.kind, tie) {
                volts[*tie] *= sign;
            }
        }
        let mut offsets = vec![0.0; self.root.len()];
        for &node in &self.order {
            if let Some(branch) = self.branch[node] {
                let sign = if branch.is_plus { 1.0 } else { -1.0 };
                offsets[node] = offsets[branch.parent] + sign * volts[branch.tie];
            }
        }
        offsets
    }
}
