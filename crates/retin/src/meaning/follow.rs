//! A case that follows its files through an edit that says nothing new.

use super::log::Act;
use super::{
    Acceptance, Board, Case, Change, Claim, Entry, Exception, Facts, Job, Link, LogEntry, Model,
    NewPart, Ordered, Pace, Part, PinOn, PlanEntry, Problem, ProblemKind, ReadSelector, Reading,
    Says, Shelf, Stated, Step, Subject, Target, Waits,
};
use crate::moves::{Moved, Moves, Shared, follow_fields};

/// The facts of groups, each shared by the parts of its group.
type Groups<'a> = Shared<Vec<Stated<'a>>>;

follow_fields!(Stated<'a> { origin; property, value });
follow_fields!(Model<'a> { origin, facts, changes; name, title });
follow_fields!(Change<'a> { origin; revision, names, text });
follow_fields!(Board<'a> {
    origin, facts;
    name, title, copies, is_wiring, zones, zone_corners, parts
});
follow_fields!(PinOn<'a> { origin; lead, net });
follow_fields!(Exception<'a> { facts, origin; copies });
follow_fields!(Claim<'a> { says, origin; source, copy });
follow_fields!(Link<'a> { origin, joins; name, joints, boards });
follow_fields!(Pace { origin; verb, subject, seconds, is_per_lead });
follow_fields!(Shelf<'a> { origin; name, entries });
follow_fields!(Job<'a> { origin, facts, found, plan, steps, targets, log; number, title });
follow_fields!(Waits { origin; step });
follow_fields!(ReadSelector { origin; places });
follow_fields!(Reading { origin; property, value, condition });
follow_fields!(Ordered { origin; count, entry });
follow_fields!(Subject<'a> { origin; places, pads, boards, nets, links, is_everything });
follow_fields!(Target<'a> { facts, origin; point, net, to, points, to_points });
follow_fields!(LogEntry<'a> {
    act, origin, subject, readings, facts;
    verb, date, time, by, to, both_sides, texts, because, mends, mended_by
});

impl Moved for Facts<'_> {
    fn follow(&mut self, moves: &Moves) {
        self.follow_in_group(&mut Groups::default(), moves);
    }
}

impl<'a> Facts<'a> {
    /// Follows together with the neighbours that share a group's facts.
    pub(crate) fn follow_in_group(&mut self, groups: &mut Groups<'a>, moves: &Moves) {
        let Facts { own, inherited } = self;
        own.follow(moves);
        if let Some(group) = inherited
            && group.last().is_some_and(|fact| {
                let first = moves.first_in(fact.origin.file);
                first.is_some_and(|first| fact.origin.span.end >= first)
            })
        {
            groups.follow(group, moves);
        }
    }
}

impl Moved for Says<'_> {
    fn follow(&mut self, moves: &Moves) {
        match self {
            Says::Facts {
                facts,
                kind: _,
                pins,
            } => {
                facts.follow(moves);
                pins.follow(moves);
            }
            Says::Sounds { lead: _, net: _ }
            | Says::Reads {
                from: _,
                to: _,
                voltage: _,
            } => {}
        }
    }
}

impl<'a> Part<'a> {
    fn follow(&mut self, groups: &mut Groups<'a>, moves: &Moves) {
        let Part {
            board: _,
            name: _,
            origin,
            line,
            kind: _,
            facts,
            headline: _,
            pins,
            claims,
            go_by,
            go_by_here,
            exceptions,
            is_added: _,
            is_unfitted: _,
        } = self;
        // Nothing of the line itself lies behind its end.
        let first = moves.first_in(line.file);
        if first.is_some_and(|first| line.span.end >= first) {
            origin.follow(moves);
            line.follow(moves);
            pins.follow(moves);
            facts.follow_in_group(groups, moves);
        }
        claims.follow(moves);
        if let Some((_, origin)) = go_by {
            origin.follow(moves);
        }
        for (_, _, origin) in go_by_here {
            origin.follow(moves);
        }
        exceptions.follow(moves);
    }
}

impl<'a> Entry<'a> {
    fn follow(&mut self, groups: &mut Groups<'a>, moves: &Moves) {
        let Entry {
            name: _,
            origin,
            line,
            kind: _,
            facts,
        } = self;
        origin.follow(moves);
        line.follow(moves);
        facts.follow_in_group(groups, moves);
    }
}

impl Moved for NewPart<'_> {
    fn follow(&mut self, moves: &Moves) {
        match self {
            NewPart::Entry { entry: _, origin } => origin.follow(moves),
            NewPart::Described {
                kind: _,
                facts,
                origin,
            } => {
                facts.follow(moves);
                origin.follow(moves);
            }
        }
    }
}

impl Moved for PlanEntry<'_> {
    fn follow(&mut self, moves: &Moves) {
        let PlanEntry {
            verb: _,
            origin,
            selector,
            from: _,
            with,
            mounting: _,
            orientation,
            because: _,
        } = self;
        origin.follow(moves);
        selector.follow(moves);
        with.follow(moves);
        if let Some((_, _, origin)) = orientation {
            origin.follow(moves);
        }
    }
}

impl Moved for Acceptance<'_> {
    fn follow(&mut self, moves: &Moves) {
        let Acceptance {
            rule: _,
            rule_origin,
            origin,
            selector,
            because: _,
            values,
        } = self;
        rule_origin.follow(moves);
        origin.follow(moves);
        selector.follow(moves);
        if let Some((_, origin)) = values {
            origin.follow(moves);
        }
    }
}

impl Moved for Step<'_> {
    fn follow(&mut self, moves: &Moves) {
        let Step {
            name: _,
            origin,
            line,
            verb: _,
            about: _,
            with: _,
            after,
            time,
            condition: _,
            because: _,
            cautions: _,
            facts,
        } = self;
        origin.follow(moves);
        line.follow(moves);
        after.follow(moves);
        if let Some((_, origin)) = time {
            origin.follow(moves);
        }
        facts.follow(moves);
    }
}

impl Moved for Act<'_> {
    fn follow(&mut self, moves: &Moves) {
        match self {
            Act::Fitted {
                with,
                mounting: _,
                orientation,
            } => {
                with.follow(moves);
                if let Some((_, _, origin)) = orientation {
                    origin.follow(moves);
                }
            }
            Act::Ordered { items } => items.follow(moves),
            Act::Arrived { items, instead } => {
                items.follow(moves);
                instead.follow(moves);
            }
            Act::Photographed { .. }
            | Act::Discharged
            | Act::Removed
            | Act::Cleaned { .. }
            | Act::Repaired { .. }
            | Act::Soldered
            | Act::Inspected
            | Act::Measured { .. }
            | Act::Powered { .. }
            | Act::Adjusted { .. }
            | Act::Tested
            | Act::Damaged { .. }
            | Act::Approved { .. }
            | Act::Noted
            | Act::Struck
            | Act::Returned => {}
        }
    }
}

impl Moved for Problem {
    fn follow(&mut self, moves: &Moves) {
        let Problem {
            origin,
            kind,
            also,
            meant: _,
        } = self;
        match kind {
            // The changes that would mend it are of the same file.
            ProblemKind::Unreadable {
                message: _,
                help: _,
                edits,
            } => {
                for (span, _) in edits {
                    *span = moves.span(origin.file, *span);
                }
            }
            ProblemKind::DuplicateName {
                what: _,
                name: _,
                first,
            } => first.follow(moves),
            ProblemKind::Use { .. }
            | ProblemKind::UnknownName { .. }
            | ProblemKind::BadRange { .. }
            | ProblemKind::WrongDimension { .. }
            | ProblemKind::NotAValue { .. }
            | ProblemKind::BareNumber { .. }
            | ProblemKind::Misplaced { .. } => {}
        }
        origin.follow(moves);
        also.follow(moves);
    }
}

impl<'a> Case<'a> {
    /// Follows the files through an edit that says nothing new.
    pub(crate) fn follow(&mut self, moves: &Moves) {
        let Case {
            sources: _,
            root: _,
            model,
            boards,
            parts,
            links,
            minutes,
            shelves,
            entries,
            library,
            job,
            decisions: _,
            plan,
            acceptances,
            nets,
            potentials,
            replay,
            problems,
            stage: _,
            boards_by_name: _,
            parts_by_name: _,
            entries_by_name: _,
        } = self;
        model.follow(moves);
        for board in boards.iter_mut() {
            board.follow(moves);
            for (_, origin) in &mut board.zones {
                origin.follow(moves);
            }
        }
        let mut groups = Groups::default();
        for part in parts {
            part.follow(&mut groups, moves);
        }
        let mut groups = Groups::default();
        for entry in entries {
            entry.follow(&mut groups, moves);
        }
        links.follow(moves);
        minutes.follow(moves);
        shelves.follow(moves);
        library.follow(moves);
        job.follow(moves);
        plan.follow(moves);
        acceptances.follow(moves);
        nets.follow(moves);
        potentials.follow(moves);
        replay.follow(moves);
        problems.follow(moves);
    }
}
