//! Orders that take some milliseconds: fibres for the needs, yarns that may stand in. One of each runs
//! at a time; the window asks again when what it has is not what it wants.

use std::sync::Arc;

use super::state::{Answer, FibreOrder, State};
use crate::yarn::{Blend, Needs, rank, what_would_change};

/// Starts holding the yarns of the shade cards against the project's.
pub(super) fn stand_ins(state: &mut State) {
    if std::mem::replace(&mut state.stand_ins_running, true) {
        return;
    }
    let revision = state.document.revision();
    let project = Arc::clone(state.document.project());
    state.jobs.start(
        "stand-ins",
        move || Answer::StandIns(revision, project.stand_ins()),
        move |_| Answer::StandIns(revision, Vec::new()),
    );
}

/// Starts putting fibres in order.
pub(super) fn fibres(state: &mut State, (needs, candidates): (Needs, Vec<Blend>)) {
    if std::mem::replace(&mut state.fibres_running, true) {
        return;
    }
    state.jobs.start(
        "fibres",
        move || {
            let ranked = rank(needs, &candidates);
            let changes = what_would_change(needs, &candidates);
            Answer::Fibres(Some(Box::new(FibreOrder { needs, candidates, ranked, changes })))
        },
        |_| Answer::Fibres(None),
    );
}
