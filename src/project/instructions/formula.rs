//! Rows written out: increases and decreases by the stitch, in every size.

use super::amount;
use crate::knit::pieces::evenly_across;
use crate::words::{Change, Item, Side, Stitch, Until, Work};

/// So many of a stitch in every size; nothing when it is none in each.
pub(super) fn work(stitch: Stitch, times: &[u32]) -> Vec<Item> {
    let any = times.iter().any(|n| *n > 0);
    any.then(|| Item::Work { stitch, times: amount(times.iter().copied()), colour: None })
        .into_iter()
        .collect()
}

/// One of a stitch.
pub(super) fn one(stitch: Stitch, side: Side) -> Item {
    Item::Work { stitch: stitch.on(side), times: 1.into(), colour: None }
}

/// A row that goes evenly from some stitches to others, in every size: groups that end in an increase or
/// a decrease, the larger first. `None` when a size cannot do it in one row.
pub(super) fn evenly(from: &[u32], to: &[u32], side: Side) -> Option<Work> {
    if from.iter().zip(to).all(|(a, b)| a == b) {
        return Some(Work::Formula(vec![Item::WorkTo {
            stitch: Stitch::K.on(side),
            until: Until::End,
            colour: None,
        }]));
    }
    let mut items = Vec::new();
    for more in [true, false] {
        let changing = from.iter().zip(to).map(|(a, b)| if (b > a) == more { a.abs_diff(*b) } else { 0 });
        let changing: Vec<u32> = changing.collect();
        if changing.iter().all(|n| *n == 0) {
            continue;
        }
        let mut groups = [vec![(0_u32, 0_u32); from.len()], vec![(0, 0); from.len()]];
        for (size, changes) in changing.iter().enumerate().filter(|(_, n)| **n > 0) {
            let across = evenly_across(from[size], *changes)?;
            if !more && across.iter().any(|group| group.stitches < 2) {
                return None;
            }
            for (kind, group) in across.iter().enumerate() {
                groups[kind][size] = (group.stitches - if more { 0 } else { 2 }, group.times);
            }
        }
        // A size without groups of one kind is given the figure of the other.
        let [large, small] = &mut groups;
        for (large, small) in large.iter_mut().zip(small) {
            match (large.1, small.1) {
                (0, 1..) => large.0 = small.0,
                (1.., 0) => small.0 = large.0,
                _ => {}
            }
        }
        let change = if more { Stitch::M1l } else { Stitch::K2tog };
        for kind in groups.iter().filter(|kind| kind.iter().any(|(_, times)| *times > 0)) {
            let plain: Vec<u32> = kind.iter().map(|(stitches, _)| *stitches).collect();
            let mut inner = work(Stitch::K.on(side), &plain);
            inner.push(one(change, side));
            let times = amount(kind.iter().map(|(_, times)| *times));
            items.push(Item::Group { items: inner, times });
        }
    }
    // A size that changes nothing while others do.
    let rest: Vec<u32> = from.iter().zip(to).map(|(a, b)| if a == b { *a } else { 0 }).collect();
    items.extend(work(Stitch::K.on(side), &rest));
    Some(Work::Formula(items))
}

/// The same with groups that are worked once written out.
pub(super) fn unfolded(work: Work) -> Work {
    let Work::Formula(items) = work else { return work };
    let once = |item: Item| match item {
        Item::Group { items, times } if times.one() == Some(1) => items,
        item => vec![item],
    };
    Work::Formula(items.into_iter().flat_map(once).collect())
}

/// A row shaped at its edges as the right side shows them: at its right edge, at its left one.
pub(super) fn edges(gains: bool, (right, left): (bool, bool), side: Side) -> (Work, Vec<Change>) {
    let (first, last) = match side {
        Side::Right => (right, left),
        Side::Wrong => (left, right),
    };
    let at = |is_right: bool| match (gains, is_right) {
        (true, true) => Stitch::M1r,
        (true, false) => Stitch::M1l,
        (false, true) => Stitch::Ssk,
        (false, false) => Stitch::K2tog,
    };
    let k = Stitch::K.on(side);
    let mut items = Vec::new();
    if first {
        items.push(Item::Work { stitch: k, times: 1.into(), colour: None });
        items.push(one(at(side == Side::Right), side));
    }
    let kept = if gains { 1 } else { 3 };
    let until = if last { Until::Last(kept.into()) } else { Until::End };
    items.push(Item::WorkTo { stitch: k, until, colour: None });
    if last {
        items.push(one(at(side == Side::Wrong), side));
        items.push(Item::Work { stitch: k, times: 1.into(), colour: None });
    }
    (Work::Formula(items), Vec::new())
}

/// A round that loses a stitch at both ends of all stitches but these first.
pub(super) fn beside(first: &[u32]) -> (Work, Vec<Change>) {
    let plain: Vec<u32> = first.iter().map(|stitches| stitches + 1).collect();
    let mut items = work(Stitch::K, &plain);
    items.push(one(Stitch::Ssk, Side::Right));
    items.push(Item::WorkTo { stitch: Stitch::K, until: Until::Last(3.into()), colour: None });
    items.push(one(Stitch::K2tog, Side::Right));
    items.push(one(Stitch::K, Side::Right));
    (Work::Formula(items), Vec::new())
}

/// A round that loses or gains a stitch at both ends of each of these stretches (given in every size);
/// `None` when one is too short.
pub(super) fn stretches(gains: bool, all: &[Vec<u32>]) -> Option<(Work, Vec<Change>)> {
    let mut items = Vec::new();
    let count = all.first()?.len();
    for i in 0..count {
        let stitches: Vec<u32> = all.iter().map(|size| size[i]).collect();
        if gains {
            items.push(one(Stitch::M1l, Side::Right));
            items.push(Item::Work { stitch: Stitch::K, times: amount(stitches), colour: None });
            items.push(one(Stitch::M1r, Side::Right));
        } else {
            let plain: Vec<u32> = stitches.iter().map(|n| n.checked_sub(4)).collect::<Option<_>>()?;
            items.push(one(Stitch::Ssk, Side::Right));
            items.push(Item::Work { stitch: Stitch::K, times: amount(plain), colour: None });
            items.push(one(Stitch::K2tog, Side::Right));
        }
    }
    let change =
        if gains { Change { by: 2, before: Stitch::M1r } } else { Change { by: -2, before: Stitch::K2tog } };
    Some((Work::Formula(items), vec![change]))
}

/// A row of wedges, each of which loses or gains a stitch at its end.
pub(super) fn wedges(from: &[u32], to: &[u32], side: Side) -> Option<(Work, Vec<Change>)> {
    let gains = from.iter().zip(to).any(|(a, b)| b > a);
    let mut work = evenly(from, to, side)?;
    if let Work::Formula(items) = &mut work {
        // A wedge that has nothing before its decrease still says so: it is counted down from there.
        for item in items {
            if let Item::Group { items, .. } = item
                && items.len() == 1
            {
                items.insert(0, Item::Work { stitch: Stitch::K.on(side), times: 0.into(), colour: None });
            }
        }
    }
    let change = if gains {
        Change { by: 1, before: Stitch::M1l.on(side) }
    } else {
        Change { by: -1, before: Stitch::K2tog.on(side) }
    };
    Some((work, vec![change]))
}
