//! Which swatch the project follows, and whether the plan has its gauge: the one answer for every page and export.

use super::edit::Edit;
use super::material::{LoggedSwatch, Material};
use super::model::{KnitPlan, Project};
use crate::knit::{Gauge, MeasuredGauge, gauge_told, gauges_apart};
use crate::yarn::Yarn;

/// The swatch that the project follows. It is the one the knitter chose; until then the newest that was washed and
/// measured by hand, else the newest washed one off a photograph, else the newest that was measured off the needles, by
/// hand before off a photograph. One that was merely added is never followed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FollowedSwatch<'a> {
    /// Its place in the log.
    pub place: usize,
    /// The swatch.
    pub entry: &'a LoggedSwatch,
    /// Its own gauge, washed where it was.
    pub measured: MeasuredGauge,
    /// Whether the knitter chose it.
    pub chosen: bool,
}

/// How the planned gauge stands to that of the swatch that is followed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum GaugeStanding {
    /// No swatch is measured.
    NoSwatch,
    /// The plan has the swatch's gauge, as far as gauges are shown.
    Same,
    /// The plan lies in what measuring leaves open.
    Within,
    /// They contradict each other.
    Differs,
}

impl GaugeStanding {
    /// Its word in JSON.
    pub const fn key(self) -> &'static str {
        match self {
            Self::NoSwatch => "no_swatch",
            Self::Same => "same",
            Self::Within => "within",
            Self::Differs => "differs",
        }
    }
}

/// Gauges are shown with one digit; two nearer than this are as good as shown alike.
const SHOWN_ALIKE: f64 = 0.05;

/// Whether two gauges are one and the same as far as gauges are shown.
pub fn gauges_alike(one: Gauge, other: Gauge) -> bool {
    let alike = |a: f64, b: f64| (a - b).abs() < SHOWN_ALIKE || (a * 10.0).round() == (b * 10.0).round();
    alike(one.stitches.get(), other.stitches.get()) && alike(one.rows.get(), other.rows.get())
}

impl Material {
    /// The swatch that the project follows, if any is measured.
    pub fn followed(&self) -> Option<FollowedSwatch<'_>> {
        let measured = |(place, entry): (usize, &LoggedSwatch)| Some((place, entry.swatch.best_gauge()?));
        let chosen = self.follows.and_then(|place| measured((place, self.swatches.get(place)?)));
        let best = || {
            let all = self.swatches.iter().enumerate().filter_map(measured);
            // Of equal ones the last, which is the newest.
            all.max_by_key(|(_, gauge)| (gauge.washed, !gauge.read_off))
        };
        let is_chosen = chosen.is_some();
        let (place, measured) = chosen.or_else(best)?;
        Some(FollowedSwatch { place, entry: &self.swatches[place], measured, chosen: is_chosen })
    }

    /// Which swatch the project follows, and whether it is still the one of `earlier`; a clause for a notice.
    pub fn follows_since(&self, earlier: &Self) -> String {
        let place = |material: &Self| material.followed().map(|followed| followed.place);
        match (place(self), place(earlier)) {
            (None, _) => "the project follows none yet".to_owned(),
            (Some(now), Some(then)) if now == then => {
                format!("the project still follows {}", swatch_name(now))
            }
            (Some(now), _) => format!("the project now follows {}", swatch_name(now)),
        }
    }
}

impl FollowedSwatch<'_> {
    /// Why the project follows this one, after "it follows it,".
    pub const fn why(&self) -> &'static str {
        match (self.chosen, self.measured.washed, self.measured.read_off) {
            (true, ..) => "as you chose",
            (false, true, false) => "the newest that is washed and measured by hand",
            (false, true, true) => {
                "the newest that is washed, read off a photograph; none is washed and measured by hand"
            }
            (false, false, false) => "the newest that is measured by hand; none is washed yet",
            (false, false, true) => {
                "the newest, read off a photograph; none is washed or measured by hand yet"
            }
        }
    }

    /// What it is called everywhere: `swatch 2`.
    pub fn name(&self) -> String {
        swatch_name(self.place)
    }

    /// How the planned gauge stands to it.
    pub fn standing(&self, planned: Gauge) -> GaugeStanding {
        let measured = &self.measured;
        let (stitches, rows) = (planned.stitches.get(), planned.rows.get());
        if gauges_alike(planned, measured.gauge) {
            GaugeStanding::Same
        } else if measured.holds_stitches(stitches) && measured.holds_rows(rows) {
            GaugeStanding::Within
        } else {
            GaugeStanding::Differs
        }
    }
}

/// A swatch by its place in the log, counted from 1.
pub fn swatch_name(place: usize) -> String {
    format!("swatch {}", place + 1)
}

/// The button that plans with the gauge of a swatch, wherever it stands: `Use the gauge of swatch 2`.
pub fn use_gauge_of(place: usize) -> String {
    format!("Use the gauge of {}", swatch_name(place))
}

/// The step that plans with the gauge of a swatch.
pub const GAUGE_STEP: &str = "Gauge of a swatch";

impl Project {
    /// The edit that plans with this gauge, and follows the swatch in this place of the log, which it is of.
    pub fn plan_with_gauge_of(&self, place: usize, gauge: Gauge) -> Edit {
        let plan = Edit::Plan(Box::new(KnitPlan { gauge, ..self.plan.clone() }));
        if self.material.followed().is_some_and(|followed| followed.place == place) {
            return plan;
        }
        let material = Material { follows: Some(place), ..self.material.clone() };
        Edit::Several(vec![Edit::Material(Box::new(material)), plan])
    }

    /// How the planned gauge stands to the swatch that is followed.
    pub fn gauge_standing(&self) -> GaugeStanding {
        let followed = self.material.followed();
        followed.map_or(GaugeStanding::NoSwatch, |followed| followed.standing(self.plan.gauge))
    }

    /// The planned gauge and what it rests on, one sentence that is the same everywhere.
    pub fn gauge_words(&self) -> String {
        let words = self.planned_words();
        match self.swatched_in_another().zip(self.described_yarn()) {
            Some((swatched, yarn)) => {
                format!("{words} The swatch is of {swatched}: knit one in {}.", yarn.name)
            }
            None => words,
        }
    }

    /// The yarn of the followed swatch where it is another than the project's: the one that this replaced, or one more
    /// than 5 % thicker or thinner (our judgement: bands round, and one yarn is told by two names).
    pub fn swatched_in_another(&self) -> Option<&str> {
        let yarn = self.described_yarn()?;
        let entry = self.material.followed()?.entry;
        let of_pattern = |old: &Yarn| old.name == entry.yarn && old.name != yarn.name;
        let is_replaced = self.material.pattern_yarn.as_ref().is_some_and(of_pattern);
        let apart = (entry.grist.get() / yarn.put_up.grist.get() - 1.0).abs();
        (is_replaced || apart > 0.05).then_some(entry.yarn.as_str())
    }

    fn planned_words(&self) -> String {
        let planned = format!("Planned at {}", gauge_told(self.plan.gauge, self.units));
        let Some(followed) = self.material.followed() else {
            return format!("{planned}; no swatch is measured yet.");
        };
        let name = followed.name();
        let state = followed.measured.state();
        let gives = gauge_told(followed.measured.gauge, self.units);
        match followed.standing(self.plan.gauge) {
            GaugeStanding::NoSwatch => format!("{planned}."),
            GaugeStanding::Same => format!("{planned}, the gauge of {name}, {state}."),
            GaugeStanding::Within => {
                format!("{planned}; {name}, {state}, gives {gives}: the same as nearly as it was measured.")
            }
            GaugeStanding::Differs => {
                gauges_apart(self.plan.gauge, (&name, &followed.measured), self.units) + "."
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::knit::{Construction, SwatchFabric, SwatchSize};
    use crate::units::MetresPer100G;
    use crate::yarn::YarnId;

    fn logged(before: Option<f64>, after: Option<f64>) -> LoggedSwatch {
        let how = (SwatchFabric::Stranded, Construction::InTheRound);
        let grist = MetresPer100G::new(400.0).unwrap();
        let mut entry = LoggedSwatch::new("Bare step", grist, None, how, (28, 32)).unwrap();
        let size = |width: f64| SwatchSize::new(width, 10.0).unwrap();
        (entry.swatch.before, entry.swatch.after) = (before.map(size), after.map(size));
        entry
    }

    #[test]
    fn a_swatch_of_the_yarn_before_is_no_swatch_of_the_one_after() {
        let put_up = |metres| crate::yarn::PutUp::new(metres, 50.0).unwrap();
        let yarn = |name: &str, metres| {
            let blend = crate::yarn::Blend::pure(crate::yarn::Fibre::Wool);
            Yarn::new(YarnId(0), name, blend, put_up(metres))
        };
        let mut project = Project::default();
        project.material.yarn = Some(yarn("Bare step", 400.0));
        project.material.swatches = vec![logged(None, Some(10.0))];
        assert_eq!(project.swatched_in_another(), None);
        let before = project.clone();
        project.apply(project.knit_in_yarn(&yarn("Worn sill", 400.0)));
        assert_eq!(project.swatched_in_another(), Some("Bare step"));
        assert!(project.gauge_words().ends_with("The swatch is of Bare step: knit one in Worn sill."));
        project = before;
        project.material.yarn = Some(yarn("Step, bare", 410.0));
        assert_eq!(project.swatched_in_another(), None, "two names of one yarn");
        project.material.yarn = Some(yarn("Step, bare", 300.0));
        assert_eq!(project.swatched_in_another(), Some("Bare step"));
    }

    #[test]
    fn the_newest_washed_one_is_followed_until_another_is_chosen() {
        let mut project = Project::default();
        assert_eq!((project.material.followed(), project.gauge_standing()), (None, GaugeStanding::NoSwatch));
        project.material.swatches =
            vec![logged(None, Some(14.0)), logged(Some(9.0), Some(12.0)), logged(Some(10.0), None)];
        let followed = project.material.followed().unwrap();
        assert_eq!((followed.place, followed.chosen, followed.measured.washed), (1, false, true));
        assert_eq!(project.gauge_standing(), GaugeStanding::Differs);
        let words = project.gauge_words();
        assert!(words.contains("but swatch 2, washed, gives 23.3 stitches"), "{words}");
        project.material.follows = Some(0);
        assert_eq!(project.material.followed().map(|f| (f.place, f.chosen)), Some((0, true)));
        assert!(project.gauge_words().contains("swatch 1, washed, gives 20.0 stitches"));
        // Another that was merely added hides nothing, even chosen.
        let how = (SwatchFabric::Stranded, Construction::InTheRound);
        let grist = MetresPer100G::new(400.0).unwrap();
        project.material.swatches.push(LoggedSwatch::uncounted("Bare step", grist, how));
        project.material.follows = Some(3);
        assert_eq!(project.material.followed().map(|f| (f.place, f.chosen)), Some((1, false)));
        assert_eq!(project.gauge_standing(), GaugeStanding::Differs);
    }

    #[test]
    fn one_off_a_photograph_takes_the_place_of_none_that_is_as_washed_and_measured_by_hand() {
        use crate::knit::ReadOff;
        let photographed = |before: Option<f64>, after: Option<f64>| {
            let mut entry = logged(before, after);
            let read_off = |size: SwatchSize| size.with_read_off(ReadOff::new(0.01, 0.01).ok());
            let swatch = &mut entry.swatch;
            (swatch.before, swatch.after) = (swatch.before.map(read_off), swatch.after.map(read_off));
            entry
        };
        let mut material = Material { swatches: vec![logged(None, Some(14.0))], ..Material::default() };
        let mut then = |entry: LoggedSwatch| {
            let earlier = material.clone();
            material.swatches.push(entry);
            let followed = material.followed().unwrap();
            (followed.place, followed.why(), material.follows_since(&earlier))
        };
        let by_hand = "the newest that is washed and measured by hand";
        let still = "the project still follows swatch 1".to_owned();
        assert_eq!(then(photographed(None, Some(12.0))), (0, by_hand, still.clone()));
        assert_eq!(then(photographed(Some(12.0), None)), (0, by_hand, still.clone()));
        assert_eq!(then(logged(Some(12.0), None)), (0, by_hand, still));
        assert_eq!(then(logged(None, Some(12.0))).2, "the project now follows swatch 5");
        // Where no other is washed, the photograph of a washed one counts, and it is told.
        material.swatches = vec![logged(Some(12.0), None), photographed(None, Some(12.0))];
        let followed = material.followed().unwrap();
        assert!(followed.place == 1 && followed.why().contains("off a photograph"));
        assert_eq!(Material::default().follows_since(&material), "the project follows none yet");
        assert_eq!(material.follows_since(&Material::default()), "the project now follows swatch 2");
    }

    #[test]
    fn the_plan_is_the_same_within_or_apart() {
        let mut project = Project::default();
        project.material.swatches = vec![logged(None, Some(10.0))];
        for (stitches, standing) in
            [(28.0, GaugeStanding::Same), (28.3, GaugeStanding::Within), (29.0, GaugeStanding::Differs)]
        {
            project.plan.gauge = Gauge::new(stitches, 32.0).unwrap();
            assert_eq!(project.gauge_standing(), standing, "{stitches}");
        }
        let gauge = |stitches| Gauge::new(stitches, 32.0).unwrap();
        for (one, other, alike) in
            [(33.0, 33.003, true), (32.96, 33.04, true), (33.04, 33.06, true), (33.0, 33.1, false)]
        {
            assert_eq!(gauges_alike(gauge(one), gauge(other)), alike, "{one} and {other}");
        }
    }
}
