//! What each choice in spinning does to each effect, step by step; see [`super::SPIN_SOURCE`].

use super::spin::{Spin, SpinEffect, SpinStep, SpinSystem, TwistAmount};

/// A step before it is kept: how far, and why.
type Step = (f64, &'static str);

/// No step.
const NOTHING: Step = (0.0, "");

impl Spin {
    /// The steps of an effect; their sum is its value.
    pub(super) fn steps(self, effect: SpinEffect) -> Vec<SpinStep> {
        let [base, system, plies, twist] = match effect {
            SpinEffect::Durability => self.durability(),
            SpinEffect::StitchDefinition => self.stitch_definition(),
            SpinEffect::Loft => self.loft(),
            SpinEffect::Drape => self.drape(),
            SpinEffect::Evenness => self.evenness(),
            SpinEffect::Slant => self.slant(),
            SpinEffect::Colourwork => self.colourwork(),
            SpinEffect::Cables => self.cables(),
            SpinEffect::Lace => self.lace(),
            SpinEffect::Socks => self.socks(),
        };
        let start = SpinStep { by: base.0, why: base.1 };
        let rest = [system, plies, twist].into_iter().filter(|step| step.0 != 0.0);
        std::iter::once(start).chain(rest.map(|(by, why)| SpinStep { by, why })).collect()
    }

    fn by_system(self, worsted: Step, woollen: Step) -> Step {
        if self.system == SpinSystem::Worsted { worsted } else { woollen }
    }

    /// The step for a single, two plies, or three and more.
    const fn by_plies(self, single: Step, two: Step, round: Step) -> Step {
        match self.plies() {
            1 => single,
            2 => two,
            _ => round,
        }
    }

    const fn by_twist(self, soft: Step, medium: Step, hard: Step) -> Step {
        match self.amount {
            TwistAmount::Soft => soft,
            TwistAmount::Medium => medium,
            TwistAmount::Hard => hard,
        }
    }

    fn durability(self) -> [Step; 4] {
        let shared = 0.45 * (1.0 - 1.0 / f64::from(self.plies()));
        let plies = match self.plies() {
            1 => NOTHING,
            _ => (shared, "plies share the wear and hold each other's fibres; each more adds less"),
        };
        [
            (0.2, "a soft woollen single, the least durable"),
            self.by_system((0.2, "long parallel fibres are held along their length"), NOTHING),
            plies,
            self.by_twist(
                (-0.1, "soft twist lets fibres slip out"),
                (0.1, "twist holds the fibres"),
                (0.2, "hard twist holds the fibres firmly"),
            ),
        ]
    }

    fn stitch_definition(self) -> [Step; 4] {
        [
            (0.25, "where every spin starts"),
            self.by_system(
                (0.25, "smooth: the edge of each stitch is clear"),
                (-0.05, "fuzz blurs the edges"),
            ),
            self.by_plies(
                NOTHING,
                (0.05, "two plies lie flat and leave a pebbled surface"),
                (0.25, "three and more plies are round and fill the stitch"),
            ),
            self.by_twist(
                (-0.1, "soft twist blurs"),
                (0.1, "twist rounds the strand"),
                (0.2, "hard twist makes a crisp strand"),
            ),
        ]
    }

    fn loft(self) -> [Step; 4] {
        let compact = -0.02 * f64::from(self.plies() - 1);
        [
            (0.5, "where every spin starts"),
            self.by_system((-0.1, "parallel fibres pack densely"), (0.3, "crossing fibres trap air")),
            (compact, "plying presses the strands together"),
            self.by_twist((0.15, "soft twist leaves air"), NOTHING, (-0.2, "hard twist presses air out")),
        ]
    }

    fn drape(self) -> [Step; 4] {
        [
            (0.5, "where every spin starts"),
            self.by_system(
                (0.15, "smooth strands slide on each other"),
                (-0.1, "fuzzy strands cling to each other"),
            ),
            self.by_plies((0.1, "a single bends easily"), NOTHING, (-0.05, "round strands stand up")),
            self.by_twist((0.15, "soft strands bend easily"), NOTHING, (-0.2, "hard strands are stiff")),
        ]
    }

    fn evenness(self) -> [Step; 4] {
        let doubled = 0.5 * (1.0 - 1.0 / f64::from(self.plies()).sqrt());
        let plies = match self.plies() {
            1 => NOTHING,
            _ => (doubled, "thick and thin places of the plies even out"),
        };
        [
            (0.35, "where every spin starts"),
            self.by_system((0.2, "combing takes out short fibres and lumps"), NOTHING),
            plies,
            self.by_twist((-0.05, "soft twist shows thick and thin places"), NOTHING, NOTHING),
        ]
    }

    fn slant(self) -> [Step; 4] {
        let plies = match self.plies() {
            1 => (0.4, "a single has nothing to balance its twist"),
            n if n % 2 == 1 => (0.1, "an odd number of plies is harder to balance"),
            _ => NOTHING,
        };
        [
            (0.05, "a balanced yarn hardly leans"),
            NOTHING,
            plies,
            self.by_twist(
                NOTHING,
                (0.05, "some twist may be left over"),
                (0.35, "hard twist unwinds into the stitches"),
            ),
        ]
    }

    fn colourwork(self) -> [Step; 4] {
        [
            (0.25, "where every spin starts"),
            self.by_system(
                (0.05, "smooth strands keep patterns crisp but slide, and gaps show"),
                (0.35, "blooms and clings: stitches close up and floats lie still"),
            ),
            self.by_plies(
                (0.05, "a single blooms but wears thin"),
                (0.2, "two plies are the traditional choice"),
                (0.1, "round strands show each stitch apart"),
            ),
            self.by_twist(
                (0.05, "soft twist blooms"),
                (0.1, "twist keeps the strands apart while knitting"),
                (-0.1, "hard strands do not close up"),
            ),
        ]
    }

    fn cables(self) -> [Step; 4] {
        [
            (0.2, "where every spin starts"),
            self.by_system(
                (0.3, "smooth strands stand out in relief"),
                (-0.15, "fuzz fills the hollows that make a cable"),
            ),
            self.by_plies(
                (-0.05, "a single lies flat"),
                (0.05, "two plies lie flat"),
                (0.3, "round strands cast a shadow"),
            ),
            self.by_twist(
                (-0.05, "soft strands sink in"),
                (0.1, "twist gives spring"),
                (0.15, "hard twist gives spring and relief"),
            ),
        ]
    }

    fn lace(self) -> [Step; 4] {
        [
            (0.35, "where every spin starts"),
            self.by_system(
                (0.2, "smooth strands open the eyelets"),
                (0.1, "airy strands make light lace that blurs a little"),
            ),
            self.by_plies(
                (0.1, "a single is light but may break"),
                (0.2, "two plies push apart and open the eyelets"),
                (0.0, "round strands fill the eyelets"),
            ),
            self.by_twist(NOTHING, (0.1, "twist holds under blocking"), (0.1, "twist holds under blocking")),
        ]
    }

    fn socks(self) -> [Step; 4] {
        let plies = match self.plies() {
            1 => (-0.1, "a single wears through"),
            2 => (0.1, "two plies wear fairly well"),
            3 => (0.25, "three plies share the wear"),
            _ => (0.3, "four and more plies share the wear"),
        };
        [
            (0.1, "where every spin starts"),
            self.by_system((0.25, "long parallel fibres wear well"), NOTHING),
            plies,
            self.by_twist(
                NOTHING,
                (0.15, "twist holds the fibres"),
                (0.3, "hard twist stands the rubbing of a shoe"),
            ),
        ]
    }
}
