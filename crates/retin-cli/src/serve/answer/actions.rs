//! Code actions.

use super::{diagnostics, now, workspace_edit};
use crate::serve::room::Here;
use retin::editor::actions::{Asked, Sort, actions};
use tower_lsp::lsp_types::{
    CodeAction, CodeActionContext, CodeActionKind, CodeActionOrCommand, Range,
};

/// The kinds that are offered.
pub const KINDS: [CodeActionKind; 3] = [
    CodeActionKind::QUICKFIX,
    CodeActionKind::REFACTOR,
    CodeActionKind::REFACTOR_REWRITE,
];

/// What may be done with what is selected.
pub fn answer(
    here: &Here<'_, '_, '_>,
    range: Range,
    context: &CodeActionContext,
) -> Vec<CodeActionOrCommand> {
    let asked = Asked {
        file: here.file,
        span: here.span(range),
        now: Some(now()),
    };
    let findings = diagnostics::of_file(here);
    actions(here.snapshot, asked)
        .into_iter()
        .filter_map(|action| {
            let kind = match action.sort {
                Sort::Mends => CodeActionKind::QUICKFIX,
                Sort::Writes => CodeActionKind::REFACTOR,
                Sort::Rewrites => CodeActionKind::REFACTOR_REWRITE,
            };
            if !is_wanted(&kind, context.only.as_deref()) {
                return None;
            }
            let mends = action.finding.and_then(|index| {
                findings
                    .iter()
                    .find(|finding| finding.0 == index)
                    .map(|finding| vec![finding.1.clone()])
            });
            Some(CodeActionOrCommand::CodeAction(CodeAction {
                title: action.fix.title.clone(),
                kind: Some(kind),
                diagnostics: mends,
                edit: Some(workspace_edit(here, &action.fix)?),
                is_preferred: action.is_preferred.then_some(true),
                ..CodeAction::default()
            }))
        })
        .collect()
}

/// A kind is wanted where it, or a kind it belongs to, is asked for.
fn is_wanted(kind: &CodeActionKind, only: Option<&[CodeActionKind]>) -> bool {
    only.is_none_or(|only| {
        only.iter().any(|wanted| {
            let rest = kind.as_str().strip_prefix(wanted.as_str());
            wanted.as_str().is_empty()
                || rest.is_some_and(|rest| rest.is_empty() || rest.starts_with('.'))
        })
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_kind_covers_those_below_it() {
        let only = [CodeActionKind::REFACTOR];
        assert!(is_wanted(&CodeActionKind::REFACTOR_REWRITE, Some(&only)));
        assert!(!is_wanted(&CodeActionKind::QUICKFIX, Some(&only)));
        assert!(is_wanted(&CodeActionKind::QUICKFIX, None));
    }
}
