//! Sentences that move stitches about, open or close them.

use super::needle::{Group, Loop, Needle, On, Trouble, loops};
use super::report::EdgeKind;
use super::{Knitter, word};
use crate::words::{Amount, CastOn, Colour, Course, GroupAside, Name, PartAside, PickUp, Side, Step};

type Done = Result<(), Trouble>;

impl Knitter<'_> {
    pub(super) fn step(&mut self, step: &Step) -> Done {
        match step {
            Step::CastOn { stitches, method, colour, needle } => {
                self.tool = needle.or(self.tool);
                let stitches = stitches.get(self.size);
                let colour = self.begin_with(stitches, *colour)?;
                self.edge_worked(EdgeKind::CastOn, colour, stitches, None);
                self.totals.cast_on += u64::from(stitches);
                if *method == CastOn::Provisional {
                    self.provisional.push(stitches);
                }
                Ok(())
            }
            Step::PickUp { pick_up, colour, needle } => {
                self.tool = needle.or(self.tool);
                let stitches = pick_up.times.get(self.size);
                self.check_ratio(pick_up);
                let colour = self.begin_with(stitches, *colour)?;
                self.edge_worked(EdgeKind::PickedUp, colour, stitches, Some(&pick_up.edge));
                self.totals.picked_up += u64::from(stitches);
                // Picked up from the right side; a next row would be a wrong-side row.
                self.needle.face(Side::Wrong);
                Ok(())
            }
            Step::Join => self.join(),
            Step::WorkFlat => {
                self.needle.joined = false;
                Ok(())
            }
            Step::SetAside { parts, others_stay } => self.set_parts_aside(parts, *others_stay),
            Step::TakeUp { groups, facing } => self.take_up(groups, *facing),
            Step::Open { opening, below, above } => self.take_out(opening, below, above),
            Step::Release { stitches, group } => self.release(stitches.get(self.size), group),
            _ => self.close(step),
        }
    }

    /// Sentences that close stitches, or touch none.
    fn close(&mut self, step: &Step) -> Done {
        match step {
            Step::BindOff { stitches, colour, .. } => {
                let colour = self.colour_in_use(*colour)?;
                let stitches = self.all_on_needle(stitches, "bound off")?;
                self.edge_worked(EdgeKind::BoundOff, colour, stitches, None);
                self.totals.bound_off += u64::from(stitches);
            }
            Step::ThreeNeedle { stitches, front, back } => {
                let colour = self.colour_in_use(None)?;
                let stitches = self.both_groups(front, back, stitches)?;
                self.edge_worked(EdgeKind::BoundOff, colour, stitches, None);
                self.totals.bound_off += 2 * u64::from(stitches);
            }
            Step::Graft { stitches, one, other } => {
                let colour = self.colour_in_use(None)?;
                let stitches = self.both_groups(one, other, stitches)?;
                self.edge_worked(EdgeKind::Grafted, colour, stitches, None);
                self.totals.grafted += 2 * u64::from(stitches);
            }
            Step::GraftHalves { stitches } => {
                let half = stitches.get(self.size);
                let colour = self.colour_in_use(None)?;
                let all = self.all_on_needle(&stitches.map(|n| 2 * n), "grafted")?;
                self.edge_worked(EdgeKind::Grafted, colour, half, None);
                self.totals.grafted += u64::from(all);
            }
            Step::DrawThrough { stitches, colour, .. } => {
                self.is_at_hand(*colour);
                let stitches = self.all_on_needle(stitches, "drawn together")?;
                self.totals.drawn += u64::from(stitches);
                self.yarn = None;
            }
            Step::RemoveMarkers => {
                let before = self.needle.on.len();
                let behind = self.needle.on[..self.needle.at].iter().filter(|on| **on == On::Marker).count();
                self.needle.on.retain(|on| *on != On::Marker);
                self.needle.at -= behind;
                if self.needle.on.len() == before {
                    self.stumble("there are no markers".to_owned());
                }
            }
            Step::Cut => self.yarn = None,
            Step::Needle(needle) => {
                if self.tool == Some(*needle) {
                    self.stumble("that needle is in use already".to_owned());
                }
                self.tool = Some(*needle);
            }
            Step::SoFar { rows, course } => {
                let said = rows.get(self.size);
                let worked = self
                    .pieces
                    .last()
                    .map_or(0, |piece| piece.rows.iter().filter(|row| row.course == *course).count());
                if said as usize != worked {
                    let word = word(*course);
                    self.stumble(format!("{said} {word}s are said to be worked, but {worked} are"));
                }
            }
            Step::Steek { stitches, place } => self.cut(stitches.get(self.size), place),
            _ => {}
        }
        Ok(())
    }

    /// Cuts a steek open, which must have such a bridge.
    fn cut(&mut self, stitches: u32, place: &Name) {
        let own = self.bridges.iter().filter(|(name, _)| name.as_ref() == Some(place));
        let own: u32 = own.map(|(_, new)| new).sum();
        let cast_on = own == stitches || self.bridges.contains(&(None, stitches));
        // A bridge is cast on over a gap, or the piece is a tube that begins and ends in it.
        let rounds = self.pieces.last().is_some_and(|piece| {
            !piece.rows.is_empty()
                && piece
                    .rows
                    .iter()
                    .all(|row| row.course == Course::Round && row.stitches.len() as u32 > 2 * stitches)
        });
        let named = self.bridges.iter().any(|(name, _)| name.is_some());
        if !cast_on && (named || !rounds) {
            self.stumble(format!("no bridge of {stitches} sts was cast on in this piece"));
        }
    }

    /// New stitches on an empty needle.
    fn begin_with(&mut self, stitches: u32, colour: Option<Colour>) -> Result<Colour, Trouble> {
        self.must_be_empty()?;
        self.spend(u64::from(stitches))?;
        let colour = self.colour_in_use(colour)?;
        self.yarn = Some(colour);
        let new = On::Loop(Loop { colour, purl: false });
        self.needle = Needle::holding(vec![new; stitches as usize], None);
        Ok(colour)
    }

    fn must_be_empty(&self) -> Done {
        match self.needle.stitches() {
            0 => Ok(()),
            left => Err(format!("{left} sts are still on the needle").into()),
        }
    }

    fn colour_in_use(&self, said: Option<Colour>) -> Result<Colour, Trouble> {
        let last =
            || self.needle.on.iter().find_map(|on| if let On::Loop(l) = on { Some(l.colour) } else { None });
        // Grafting and the like are done with the tail of what is joined.
        let worked = || self.pieces.iter().rev().find_map(|p| Some(p.rows.last()?.stitches.last()?.0));
        said.or(self.yarn).or_else(last).or_else(worked).ok_or_else(|| "no colour is said".to_owned().into())
    }

    /// Only a yarn that was worked in the last row hangs where it can be cut and used.
    fn is_at_hand(&mut self, colour: Option<Colour>) {
        let Some(colour) = colour else { return };
        let last = self.pieces.last().and_then(|piece| piece.rows.last());
        if last.is_some_and(|row| row.stitches.iter().all(|(worked, _)| *worked != colour)) {
            let code = self
                .pattern
                .colours
                .get(usize::from(colour.0))
                .map_or_else(String::new, |y| y.code.to_string());
            self.stumble(format!("{code} was not worked in the last row, so there is none to be cut"));
        }
    }

    fn join(&mut self) -> Done {
        if self.needle.stitches() == 0 {
            return Err("nothing is on the needle to be joined".to_owned().into());
        }
        if self.needle.joined {
            self.stumble("the piece is joined already".to_owned());
        }
        self.needle.joined = true;
        self.needle.at = 0;
        self.needle.facing = Some(Side::Right);
        Ok(())
    }

    /// Empties the needle of the stitches said.
    fn all_on_needle(&mut self, stitches: &Amount, what: &str) -> Result<u32, Trouble> {
        let (said, there) = (stitches.get(self.size), self.needle.stitches());
        if said != there {
            return Err(format!("{said} sts are to be {what}, but {there} are on the needle").into());
        }
        self.needle = Needle::default();
        Ok(said)
    }

    /// The name of a group inside this copy of the piece.
    fn full_name(&self, name: &Name) -> Name {
        match self.here.piece.and_then(|piece| piece.copies.name(self.here.copy)) {
            Some(copy) => Name::new(&format!("{copy} {name}")),
            None => name.clone(),
        }
    }

    pub(super) fn set_aside(&mut self, name: &Name, on: Vec<On>) {
        let name = self.full_name(name);
        let on: Vec<On> = on.into_iter().filter(|on| matches!(on, On::Loop(_))).collect();
        match self.groups.iter_mut().find(|group| group.name == name) {
            Some(group) => {
                group.on.splice(0..0, on);
            }
            None => self.groups.push(Group { name, on }),
        }
    }

    /// The place of a group: the one of this copy, or one that another piece has left.
    fn find(&self, name: &Name) -> Result<usize, Trouble> {
        let own = self.full_name(name);
        let place = |wanted: &Name| self.groups.iter().position(|group| group.name == *wanted);
        place(&own).or_else(|| place(name)).ok_or_else(|| format!("no sts are called '{name}'").into())
    }

    /// Takes some stitches of a group for a row of this side.
    pub(super) fn take_from(&mut self, name: &Name, stitches: u32, side: Side) -> Result<Vec<On>, Trouble> {
        if stitches == 0 {
            return Ok(Vec::new());
        }
        let place = self.find(name)?;
        let group = &mut self.groups[place];
        let there = loops(&group.on);
        if stitches > there {
            return Err(format!("the {name} has {there} sts, not {stitches}").into());
        }
        let on = match side {
            Side::Right => group.on.drain(..stitches as usize).collect(),
            Side::Wrong => group.on.split_off((there - stitches) as usize),
        };
        if group.on.is_empty() {
            self.groups.remove(place);
        }
        Ok(on)
    }

    /// Takes whole groups, each of which must be as large as said; all or none.
    fn take_all(&mut self, groups: &[(&Name, u32)]) -> Result<Vec<On>, Trouble> {
        let mut places = Vec::with_capacity(groups.len());
        // A size may have nothing of a group.
        for (name, said) in groups.iter().filter(|(name, said)| *said > 0 || self.find(name).is_ok()) {
            let place = self.find(name)?;
            let there = loops(&self.groups[place].on);
            if there != *said {
                return Err(format!("the {name} has {there} sts, not {said}").into());
            }
            if places.contains(&place) {
                return Err(format!("the {name} is taken twice").into());
            }
            places.push(place);
        }
        let on = places.iter().flat_map(|place| std::mem::take(&mut self.groups[*place].on)).collect();
        self.groups.retain(|group| !group.on.is_empty());
        Ok(on)
    }

    fn both_groups(&mut self, one: &Name, other: &Name, stitches: &Amount) -> Result<u32, Trouble> {
        let stitches = stitches.get(self.size);
        self.take_all(&[(one, stitches), (other, stitches)])?;
        Ok(stitches)
    }

    fn set_parts_aside(&mut self, parts: &[PartAside], others_stay: bool) -> Done {
        let side = self.needle.facing.unwrap_or(Side::Right);
        if self.needle.in_short_rows() {
            return Err("a short row is not finished".to_owned().into());
        }
        let mut stitches: Vec<On> =
            self.needle.on.iter().copied().filter(|on| matches!(on, On::Loop(_))).collect();
        if side == Side::Wrong {
            stitches.reverse();
        }
        let asked: u64 = parts.iter().map(|part| u64::from(part.stitches.get(self.size))).sum();
        if asked > stitches.len() as u64 {
            let there = stitches.len();
            return Err(format!("{asked} sts are to be set aside, but {there} are on the needle").into());
        }
        let mut rest = stitches.as_slice();
        for part in parts {
            let (on, after) = rest.split_at(part.stitches.get(self.size) as usize);
            let mut on = on.to_vec();
            if side == Side::Wrong {
                on.reverse();
            }
            self.set_aside(&part.group, on);
            rest = after;
        }
        if !others_stay && !rest.is_empty() {
            let left = rest.len();
            let sts = if left == 1 { "st is" } else { "sts are" };
            self.stumble(format!("{left} {sts} left on the needle, and nothing is said of them"));
        }
        let mut rest = rest.to_vec();
        if side == Side::Wrong {
            rest.reverse();
        }
        if rest.is_empty() {
            self.needle = Needle::default();
        } else {
            let at = if side == Side::Right { 0 } else { rest.len() };
            self.needle = Needle { on: rest, at, ..self.needle };
        }
        Ok(())
    }

    fn take_up(&mut self, groups: &[GroupAside], facing: Side) -> Done {
        self.must_be_empty()?;
        let groups: Vec<(&Name, u32)> =
            groups.iter().map(|held| (&held.group, held.stitches.get(self.size))).collect();
        let on = self.take_all(&groups)?;
        self.needle = Needle::holding(on, None);
        self.needle.face(facing);
        Ok(())
    }

    /// Knits stitches with waste yarn, to be opened later.
    pub(super) fn open(&mut self, name: &Name, stitches: u32) -> Done {
        let name = self.full_name(name);
        if self.openings.iter().any(|(known, _)| *known == name) {
            return Err(format!("there is an opening '{name}' already").into());
        }
        self.openings.push((name, stitches));
        Ok(())
    }

    fn take_out(&mut self, name: &Name, below: &Amount, above: &Amount) -> Done {
        self.must_be_empty()?;
        let own = self.full_name(name);
        let place = self.openings.iter().position(|(known, _)| *known == own || known == name);
        let place = place.ok_or_else(|| format!("no opening is called '{name}'"))?;
        let (_, stitches) = self.openings.remove(place);
        let (below, above) = (below.get(self.size), above.get(self.size));
        // Between the heads of n stitches there are n feet, or one fewer without the half loops at the ends.
        if below != stitches || !(stitches.saturating_sub(1)..=stitches).contains(&above) {
            return Err(format!("the opening has {stitches} sts, not {below} below and {above} above").into());
        }
        let colour = self.colour_in_use(None)?;
        let new = On::Loop(Loop { colour, purl: false });
        self.needle = Needle::holding(vec![new; (below + above) as usize], None);
        self.totals.gained += u64::from(below + above);
        Ok(())
    }

    fn release(&mut self, stitches: u32, name: &Name) -> Done {
        let place = self.provisional.iter().position(|known| *known == stitches);
        let place = place.ok_or_else(|| format!("no provisional cast-on has {stitches} sts"))?;
        self.provisional.remove(place);
        let colour = self.colour_in_use(None)?;
        self.totals.gained += u64::from(stitches);
        self.set_aside(name, vec![On::Loop(Loop { colour, purl: false }); stitches as usize]);
        Ok(())
    }

    /// A stated ratio must give the stitches that are picked up, rounded up or down. (A repeat that asks for a few more
    /// or fewer is printed without a ratio.)
    pub(super) fn check_ratio(&mut self, pick_up: &PickUp) {
        let Some(ratio) = &pick_up.ratio else { return };
        let (times, of) = (pick_up.times.get(self.size), ratio.of.get(self.size));
        let exact = f64::from(of) * f64::from(ratio.stitches) / f64::from(ratio.every.max(1));
        if (exact - f64::from(times)).abs() >= 1.0 {
            let word = word(Course::Row);
            let (stitches, every) = (ratio.stitches, ratio.every);
            self.stumble(format!(
                "{stitches} sts for every {every} of {of} {word}s are {exact:.0} sts, not {times}"
            ));
        }
    }
}
