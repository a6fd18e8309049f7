//! How a piece begins and ends, and what is done then.

use super::{Page, amount, notes};
use crate::knit::pieces::{self, EndEdge, Finish, StartEdge, Taken, WorkedPiece, WorkedStep, live_stitches};
use crate::words::{
    BindOff, CastOn, Colour, GroupAside, Item, Name, Needle, PartAside, PickUp, Ratio, Rest, Side, Step,
    Stitch, Work,
};

impl Page<'_> {
    /// Says which needle, when it is another than before.
    pub(super) fn needle(&mut self, finer: bool) {
        if self.finer.replace(finer).is_some_and(|before| before != finer) {
            self.say(Step::Needle(needle(finer)));
        }
    }

    pub(super) fn begin(&mut self) {
        let piece = self.first();
        let band = &piece.bands[0];
        let finer = matches!(band.fabric, pieces::Fabric::Ribbing { .. });
        self.finer = Some(finer);
        let colour = self.edges.0;
        self.heading(&band.name);
        if piece.start == StartEdge::CastOn {
            let method = match piece.cast_on {
                pieces::CastOn::Any => CastOn::Any,
                pieces::CastOn::Stretchy => CastOn::Stretchy,
                pieces::CastOn::Provisional => CastOn::Provisional,
            };
            let stitches = self.amount(WorkedPiece::first_stitches);
            self.say(Step::CastOn { stitches, method, colour: Some(colour), needle: Some(needle(finer)) });
            self.colour = Some(colour);
            return;
        }
        if piece.taken.is_empty() {
            let times = self.amount(WorkedPiece::first_stitches);
            let pick_up = PickUp { times, edge: Name::new("edge"), ratio: None };
            self.say(Step::PickUp { pick_up, colour: Some(colour), needle: Some(needle(finer)) });
            self.colour = Some(colour);
            return;
        }
        if finer {
            self.say(Step::Needle(needle(finer)));
        }
        self.take_up(band.colours.first().copied().unwrap_or(0));
    }

    /// A figure of the stitches taken up at this place.
    fn of_taken(&self, place: usize, of: impl Fn(&Taken) -> u32) -> crate::words::Amount {
        self.amount(|piece| piece.taken.get(place).map_or(0, &of))
    }

    fn take_up(&mut self, colour: usize) {
        let piece = self.first();
        let groups = piece.taken.iter().all(|taken| matches!(taken, Taken::Group { .. }));
        if groups {
            self.lines = self.pieces.iter().map(|p| p.taken.iter().map(Taken::stitches).collect()).collect();
            let held = piece.taken.iter().enumerate().filter_map(|(i, taken)| match taken {
                Taken::Group { name, .. } => {
                    Some(GroupAside { stitches: self.of_taken(i, Taken::stitches), group: Name::new(name) })
                }
                _ => None,
            });
            let step = Step::TakeUp { groups: held.collect(), facing: Side::Right };
            let all = self.amount(|piece| piece.taken.iter().map(Taken::stitches).sum());
            self.line(step.then(all));
            return;
        }
        let mut items = Vec::new();
        for (i, taken) in piece.taken.iter().enumerate() {
            match taken {
                Taken::Group { name, .. } => items.push(Item::From {
                    stitch: Stitch::K,
                    times: self.of_taken(i, Taken::stitches),
                    group: Name::new(name),
                }),
                Taken::PickedUp { along, .. } => {
                    items.push(Item::PickUp(self.pick_up(i, along)));
                }
                Taken::CastOn { .. } => items.push(Item::CastOn {
                    times: self.of_taken(i, Taken::stitches),
                    method: CastOn::BackwardLoop,
                }),
                Taken::Opening { name, .. } => {
                    let below = self.of_taken(i, |taken| match taken {
                        Taken::Opening { below, .. } => *below,
                        _ => 0,
                    });
                    let corners = self.of_taken(i, |taken| match taken {
                        Taken::Opening { corners, .. } => *corners,
                        _ => 0,
                    });
                    self.say(Step::Open {
                        opening: Name::new(name),
                        below: below.clone(),
                        above: below.clone(),
                    });
                    for corner in ["first corner", "second corner"] {
                        items.push(Item::Work { stitch: Stitch::K, times: below.clone(), colour: None });
                        if corners.one() != Some(0) {
                            items.push(Item::PickUp(PickUp {
                                times: corners.clone(),
                                edge: Name::new(corner),
                                ratio: None,
                            }));
                        }
                    }
                }
            }
        }
        if !self.flat() {
            items.push(Item::RoundMarker);
        }
        let all = self.amount(|piece| piece.taken.iter().map(Taken::stitches).sum());
        let ones = vec![1; self.pieces.len()];
        let none = vec![0; self.pieces.len()];
        self.work(&none, &ones, colour, Work::Formula(items), Some(all));
        self.begun = 1;
    }

    fn pick_up(&self, place: usize, along: &str) -> PickUp {
        let parts: Vec<(u32, (u32, u32), u32)> = self
            .pieces
            .iter()
            .filter_map(|piece| match piece.taken.get(place)? {
                Taken::PickedUp { stitches, ratio, rows, .. } => Some((*stitches, *ratio, *rows)),
                _ => None,
            })
            .collect();
        // Where the repeat of the band asks for a stitch more or fewer the ratio would be a half-truth.
        let exact = parts.iter().all(|(stitches, ratio, rows)| {
            (f64::from(*rows) * f64::from(ratio.0) / f64::from(ratio.1) - f64::from(*stitches)).abs() <= 0.5
        });
        let ratio = parts.first().filter(|_| exact).map(|(_, (stitches, every), _)| Ratio {
            stitches: *stitches,
            every: *every,
            of: amount(parts.iter().map(|(_, _, rows)| *rows)),
        });
        PickUp { times: amount(parts.iter().map(|(n, ..)| *n)), edge: Name::new(along), ratio }
    }

    /// The colour of the last edge, where it is not the only one in use.
    fn last_edge(&mut self) -> Option<Colour> {
        let last = self.edges.1;
        (self.colour.replace(last) != Some(last)).then_some(last)
    }

    pub(super) fn join(&mut self) {
        // A first round that picks up stitches places the marker itself.
        if self.begun == 0 {
            self.say(Step::Join);
        }
    }

    pub(super) fn end(&mut self, step: &WorkedStep) {
        let piece = self.first();
        let stitches = self.amount(WorkedPiece::last_stitches);
        match step {
            WorkedStep::BindOff(_) => {
                let method = match piece.bind_off {
                    pieces::BindOff::Any => BindOff::Any,
                    pieces::BindOff::Stretchy => BindOff::Stretchy,
                    pieces::BindOff::InPattern => BindOff::InPattern,
                };
                let colour = self.last_edge();
                self.say(Step::BindOff { stitches, method, colour });
            }
            WorkedStep::DrawThrough(_) => {
                let colour = self.last_edge();
                self.say(Step::DrawThrough { stitches, what: Name::new(&piece.name), colour });
            }
            WorkedStep::GraftHalves(_) => self.say(Step::GraftHalves { stitches: stitches.map(|n| n / 2) }),
            WorkedStep::Hold => self.hold(),
            _ => {}
        }
        if piece.end == EndEdge::Live && piece.finish.is_empty() {
            self.say(Step::Cut);
        }
    }

    /// Sets the live stitches aside in their parts; in the round the first, when it rests, lies over the
    /// marker: half of it comes last.
    fn hold(&mut self) {
        let piece = self.first();
        if piece.live.iter().any(|part| part.rests) {
            self.heading("Setting aside");
        }
        if let Some(name) = piece.rests_at_marker().filter(|_| self.hands && piece.sided) {
            self.note(&notes::at_the_side(name));
        }
        let of = |place: usize, half: fn(u32) -> u32| {
            self.amount(|piece| piece.live.get(place).map_or(0, |part| half(part.stitches)))
        };
        let part = |place: usize, half: fn(u32) -> u32| PartAside {
            stitches: of(place, half),
            rest: Rest::WasteYarn,
            group: Name::new(&piece.live[place].name),
        };
        let whole = |n| n;
        let halved = piece.rests_at_marker().is_some();
        let mut parts: Vec<PartAside> = Vec::new();
        for place in 0..piece.live.len() {
            parts.push(if place == 0 && halved { part(place, |n| n - n / 2) } else { part(place, whole) });
        }
        if halved {
            parts.push(part(0, |n| n / 2));
        }
        parts.retain(|part| part.stitches.one() != Some(0));
        self.say(Step::SetAside { parts, others_stay: false });
    }

    pub(super) fn finish(&mut self, finish: &Finish) {
        let copies = self.first().copies;
        self.heading("Closing");
        let step = match finish {
            Finish::Graft { one, other } => {
                for name in [one, other] {
                    if let Some(stitches) = self.cast_on_edge(name) {
                        self.say(Step::Release { stitches, group: Name::new(name) });
                    }
                }
                Step::Graft { stitches: self.group(one), one: Name::new(one), other: Name::new(other) }
            }
            Finish::ThreeNeedle { one, other } => {
                Step::ThreeNeedle { stitches: self.group(one), front: Name::new(one), back: Name::new(other) }
            }
            Finish::Seam(what) => Step::Seam(Name::new(what)),
            Finish::Steek { stitches, place } => {
                let bridge = self.bind_off_bridge(place);
                if self.told.first(notes::Topic::Cutting) {
                    for note in notes::STEEK {
                        self.note(note);
                    }
                }
                let stitches = bridge.unwrap_or_else(|| (*stitches).into());
                Step::Steek { stitches, place: Name::new(place) }
            }
        };
        let mut line: crate::words::Line = step.into();
        if copies > 1 {
            line.only.copies = vec![copies - 1];
        }
        self.line(line);
    }

    /// Binds off the bridge of a steek, where it is live: its stitches.
    fn bind_off_bridge(&mut self, steek: &str) -> Option<crate::words::Amount> {
        let bridge = pieces::bridge_group(steek);
        let stitches = self.group(&bridge);
        if stitches.one() == Some(0) {
            return None;
        }
        let groups = vec![GroupAside { stitches: stitches.clone(), group: Name::new(&bridge) }];
        self.say(Step::TakeUp { groups, facing: Side::Right });
        let colour = Some(self.edges.1);
        self.say(Step::BindOff { stitches: stitches.clone(), method: BindOff::Any, colour });
        Some(stitches)
    }

    /// The loops of this piece's provisional cast-on, in every size, where that is what they are called.
    fn cast_on_edge(&self, name: &str) -> Option<crate::words::Amount> {
        let piece = self.first();
        let provisional = piece.cast_on == pieces::CastOn::Provisional
            && piece.start == StartEdge::CastOn
            && name == pieces::cast_on_group(&piece.name);
        provisional.then(|| self.amount(WorkedPiece::first_stitches))
    }

    /// The stitches of a group that an earlier piece has set aside, in every size.
    fn group(&self, name: &str) -> crate::words::Amount {
        amount(self.all.iter().map(|pieces| live_stitches(pieces, name)))
    }
}

const fn needle(finer: bool) -> Needle {
    if finer { Needle::Finer } else { Needle::Larger }
}
