//! Which nodes can be known at all, and which must be solved together.
//!
//! Nodes that the forest of ties holds against the reference cut the circuit
//! apart: a channel strip between two rails is an island of its own. What is
//! left falls into islands by whatever couples potentials. Before that, every
//! node is marked unknown that no conducting path ties to the reference, or
//! whose path leads through something unusable.

use super::element::Circuit;
use super::lower::{Kind, Lowered, Part, Pin};
use super::result::{Fault, UnknownReason};
use super::ties::Forest;

/// One island: the roots whose potentials are its unknowns, and its parts.
#[derive(Debug, Default)]
pub(super) struct Island {
    pub(super) roots: Vec<usize>,
    pub(super) parts: Vec<usize>,
}

#[derive(Debug)]
pub(super) struct Plan {
    pub(super) lowered: Lowered,
    pub(super) forest: Forest,
    /// Why the node cannot be known, by node.
    pub(super) unknown: Vec<Option<UnknownReason>>,
    /// For roots that are solved for: island and place in its `roots`.
    pub(super) variable: Vec<Option<(usize, usize)>>,
    pub(super) islands: Vec<Island>,
    /// Parts whose currents cannot be known.
    pub(super) dead: Vec<bool>,
    pub(super) faults: Vec<Fault>,
}

/// Marks while they spread.
struct Marks<'a> {
    forest: &'a Forest,
    unknown: Vec<Option<UnknownReason>>,
}

impl Marks<'_> {
    /// The node that stands for all that move with it: itself in the tree of
    /// the reference, where every node is held on its own.
    fn cell(&self, node: usize) -> usize {
        if self.in_ground_tree(node) {
            node
        } else {
            self.forest.root[node]
        }
    }

    fn in_ground_tree(&self, node: usize) -> bool {
        self.forest.ground == Some(self.forest.root[node])
    }

    /// Held at a known potential by ties alone.
    fn is_held(&self, node: usize) -> bool {
        self.in_ground_tree(node) && self.unknown[node].is_none()
    }

    fn is_unknown(&self, node: usize) -> bool {
        self.unknown[self.cell(node)].is_some()
    }

    /// Marks a node that nothing holds. Says whether that is news.
    fn mark(&mut self, node: usize, why: &UnknownReason) -> bool {
        let cell = self.cell(node);
        if self.in_ground_tree(cell) || self.unknown[cell].is_some() {
            return false;
        }
        self.unknown[cell] = Some(why.clone());
        true
    }
}

impl Plan {
    /// Plans a circuit that was broken down. Regulators named in `not_held`
    /// are solved as parts.
    pub(super) fn make(circuit: &Circuit, lowered: Lowered, not_held: &[usize]) -> Self {
        let ground = circuit
            .ground_node()
            .map(|node| node.0 as usize)
            .filter(|&node| node < lowered.nodes);
        let forest = Forest::build(&lowered, ground, not_held);
        let mut faults = Vec::new();
        if ground.is_none() && circuit.node_count() > 0 {
            faults.push(Fault::NoReference);
        }
        let mut marks = Marks {
            forest: &forest,
            unknown: vec![None; lowered.nodes],
        };
        mark_conflicts(circuit, &mut marks, &mut faults);
        for (place, nodes) in &lowered.unusable {
            let tag = circuit.elements()[*place].0;
            for &node in nodes {
                marks.mark(node, &UnknownReason::DependsOn { tag });
            }
        }
        spread_marks(circuit, &lowered.parts, &mut marks);

        // From here on every node carries its own mark.
        let unknown: Vec<Option<UnknownReason>> = (0..lowered.nodes)
            .map(|node| marks.unknown[marks.cell(node)].clone())
            .collect();
        let is_held =
            |node: usize| forest.ground == Some(forest.root[node]) && unknown[node].is_none();
        let mut dead = vec![false; lowered.parts.len()];
        for (index, part) in lowered.parts.iter().enumerate() {
            dead[index] = match part.kind {
                Kind::Current { .. } => false,
                Kind::Amplifier { .. } | Kind::Regulator { .. } => {
                    let out = part.pins[2].node;
                    let any_unknown = part.pins.iter().any(|pin| unknown[pin.node].is_some());
                    if !any_unknown && is_held(out) && forest.held[index].is_none() {
                        faults.push(Fault::OutputHeld {
                            tag: circuit.elements()[part.element].0,
                        });
                    }
                    any_unknown || is_held(out)
                }
                _ => part.pins.iter().any(|pin| unknown[pin.node].is_some()),
            };
        }
        let mut plan = Self {
            variable: vec![None; lowered.nodes],
            islands: Vec::new(),
            lowered,
            forest,
            unknown,
            dead,
            faults,
        };
        plan.cut_apart();
        plan
    }

    /// Whether the node's potential follows from the ties alone.
    pub(super) fn is_held(&self, node: usize) -> bool {
        self.forest.ground == Some(self.forest.root[node]) && self.unknown[node].is_none()
    }

    /// Groups the free roots and the parts into islands, each in rising
    /// order.
    fn cut_apart(&mut self) {
        let mut leader: Vec<usize> = (0..self.lowered.nodes).collect();
        let free = |pin: &Pin| {
            (self.unknown[pin.node].is_none() && !self.is_held(pin.node))
                .then(|| self.forest.root[pin.node])
        };
        for (part, dead) in self.lowered.parts.iter().zip(&self.dead) {
            if *dead || matches!(part.kind, Kind::Current { .. }) {
                continue;
            }
            let mut roots = part.pins.iter().filter_map(free);
            if let Some(first) = roots.next() {
                for root in roots {
                    let (a, b) = (
                        find_leader(&mut leader, first),
                        find_leader(&mut leader, root),
                    );
                    leader[a.max(b)] = a.min(b);
                }
            }
        }
        let mut island_of = vec![None; self.lowered.nodes];
        let mut islands: Vec<Island> = Vec::new();
        for node in 0..self.lowered.nodes {
            let is_root = self.forest.root[node] == node;
            if !is_root || self.unknown[node].is_some() || self.is_held(node) {
                continue;
            }
            let leading = find_leader(&mut leader, node);
            let island = *island_of[leading].get_or_insert_with(|| {
                islands.push(Island::default());
                islands.len() - 1
            });
            self.variable[node] = Some((island, islands[island].roots.len()));
            islands[island].roots.push(node);
        }
        for (index, part) in self.lowered.parts.iter().enumerate() {
            if self.dead[index] {
                continue;
            }
            let variable = |pin: &Pin| self.variable[self.forest.root[pin.node]];
            let mut joined: Vec<usize> = part
                .pins
                .iter()
                .filter(|pin| self.unknown[pin.node].is_none())
                .filter_map(variable)
                .map(|(island, _)| island)
                .collect();
            joined.sort_unstable();
            joined.dedup();
            if joined.is_empty() {
                // Between held nodes: alone, with nothing to solve for.
                islands.push(Island::default());
                joined.push(islands.len() - 1);
            }
            // Only a current source can touch two islands; each sees its end.
            for island in joined {
                islands[island].parts.push(index);
            }
        }
        self.islands = islands;
    }
}

fn find_leader(leader: &mut [usize], mut node: usize) -> usize {
    while leader[node] != node {
        leader[node] = leader[leader[node]];
        node = leader[node];
    }
    node
}

/// Marks the nodes of disagreeing loops, and what hangs on them by ties.
fn mark_conflicts(circuit: &Circuit, marks: &mut Marks<'_>, faults: &mut Vec<Fault>) {
    for conflict in &marks.forest.conflicts {
        let tags: Vec<_> = conflict
            .ties
            .iter()
            .map(|&tie| circuit.elements()[marks.forest.ties[tie].element].0)
            .collect();
        faults.push(Fault::Conflict { tags: tags.clone() });
        for &node in &conflict.nodes {
            let cell = marks.cell(node);
            if Some(node) != marks.forest.ground && marks.unknown[cell].is_none() {
                marks.unknown[cell] = Some(UnknownReason::Conflict { tags: tags.clone() });
            }
        }
    }
    for &node in &marks.forest.order {
        if let Some(branch) = marks.forest.branch[node]
            && marks.unknown[node].is_none()
            && marks.in_ground_tree(node)
        {
            marks.unknown[node] = marks.unknown[branch.parent].clone();
        }
    }
}

/// Spreads marks along conducting paths and through amplifiers, and marks
/// what is left without a tie, until nothing changes.
fn spread_marks(circuit: &Circuit, parts: &[Part], marks: &mut Marks<'_>) {
    loop {
        while spread_along_conductors(parts, marks) | blind_amplifiers(circuit, parts, marks) {}
        if !mark_untied(parts, marks) {
            return;
        }
    }
}

/// Marks the outputs of amplifiers with an unknown input or rail.
fn blind_amplifiers(circuit: &Circuit, parts: &[Part], marks: &mut Marks<'_>) -> bool {
    let mut changed = false;
    for part in parts {
        if let Kind::Amplifier { .. } = part.kind {
            let out = part.pins[2].node;
            let blind = part
                .pins
                .iter()
                .any(|pin| pin.node != out && marks.is_unknown(pin.node));
            if blind {
                let tag = circuit.elements()[part.element].0;
                changed |= marks.mark(out, &UnknownReason::InputUnknown { tag });
            }
        }
    }
    changed
}

fn spread_along_conductors(parts: &[Part], marks: &mut Marks<'_>) -> bool {
    let mut changed = false;
    loop {
        let mut changed_now = false;
        for part in parts {
            let pins = &part.pins[part.kind.conducting_pins(&part.pins)];
            let from = pins
                .iter()
                .find_map(|pin| marks.unknown[marks.cell(pin.node)].clone());
            let why = match from {
                None | Some(UnknownReason::NotTied) => continue,
                Some(why) => why,
            };
            for pin in pins {
                changed_now |= marks.mark(pin.node, &why);
            }
        }
        if !changed_now {
            return changed;
        }
        changed = true;
    }
}

/// Marks every node that no conducting path ties to a held node or to the
/// output of an amplifier that works.
fn mark_untied(parts: &[Part], marks: &mut Marks<'_>) -> bool {
    let nodes = marks.unknown.len();
    let mut neighbours: Vec<Vec<usize>> = vec![Vec::new(); nodes];
    let mut tied = vec![false; nodes];
    let mut waiting: Vec<usize> = Vec::new();
    for (node, tied) in tied.iter_mut().enumerate() {
        if marks.is_held(node) {
            *tied = true;
            waiting.push(node);
        }
    }
    for part in parts {
        if let Kind::Amplifier { .. } = part.kind {
            let cell = marks.cell(part.pins[2].node);
            if !part.pins.iter().any(|pin| marks.is_unknown(pin.node)) && !tied[cell] {
                tied[cell] = true;
                waiting.push(cell);
            }
        }
        let cells: Vec<usize> = part.pins[part.kind.conducting_pins(&part.pins)]
            .iter()
            .map(|pin| marks.cell(pin.node))
            .collect();
        for pair in cells.windows(2) {
            neighbours[pair[0]].push(pair[1]);
            neighbours[pair[1]].push(pair[0]);
        }
    }
    while let Some(cell) = waiting.pop() {
        for &next in &neighbours[cell] {
            if !tied[next] && marks.unknown[next].is_none() {
                tied[next] = true;
                waiting.push(next);
            }
        }
    }
    let mut changed = false;
    for node in 0..nodes {
        if !tied[marks.cell(node)] {
            changed |= marks.mark(node, &UnknownReason::NotTied);
        }
    }
    changed
}
