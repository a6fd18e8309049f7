//! A figure with its source: what the window shows on hover and the exports print.

use super::named::named_enum;

named_enum!(
    /// How firmly a figure stands, firmest first.
    Basis {
        /// Read in the source named beside it, or in a copy or quotation of it.
        Seen => "read in the source",
        /// Known to be in the source named beside it, but written down from memory.
        FromMemory => "from memory",
        /// Worked out from other figures, or taken over from the nearest relative.
        Derived => "derived",
        /// Our judgement of common practice; no measurement stands behind it.
        Judgement => "our judgement",
    }
);

named_enum!(
    /// What a figure of a fibre measures. The first group is measured, the second graded from 0 to 1.
    Property {
        /// Mass per volume of the fibre itself.
        Density => "Density",
        /// Breaking force per linear density.
        Tenacity => "Tenacity",
        /// Extension at break.
        BreakingExtension => "Breaking extension",
        /// Energy to break per linear density: toughness.
        WorkOfRupture => "Work of rupture",
        /// Share of a 2 % extension that springs back.
        Recovery2 => "Recovery from 2 % stretch",
        /// Share of a 5 % extension that springs back.
        Recovery5 => "Recovery from 5 % stretch",
        /// Water vapour taken up at 65 % relative humidity and 20 degrees, of the dry mass.
        MoistureRegain => "Moisture regain",
        /// The regain that trade law agrees on for buying by mass, of the dry mass.
        AgreedAllowance => "Agreed moisture allowance",
        /// Strength when wet, of the strength when dry.
        WetStrength => "Strength when wet",
        /// Mean diameter of the fibre.
        Diameter => "Fibre diameter",
        /// Length of the single fibres.
        StapleLength => "Staple length",
        /// Pilling after 2000 rubs, 5 is best (ISO 12945-2).
        PillingGrade => "Pilling grade",
        /// Resistance to rubbing, as at heels and underarms.
        Abrasion => "Resistance to rubbing",
        /// Stays free of pills.
        PillResistance => "Stays free of pills",
        /// Warmth at equal weight of fabric.
        Warmth => "Warmth",
        /// Takes up liquid water.
        Absorbency => "Takes up water",
        /// Loose surface fibres; 0 smooth, 1 fuzzy.
        Halo => "Fuzz",
        /// Softness against the skin.
        Softness => "Softness",
        /// Elasticity of the knitted fabric: springs back into shape.
        Memory => "Springs back",
        /// Tendency to lengthen after washing and in wear.
        Growth => "Tendency to grow",
        /// Tendency to felt; also how well strands cling to each other.
        Felting => "Felts and clings",
        /// Stands a machine cycle.
        MachineWash => "Machine washable",
    }
);

impl Property {
    /// Whether this is a grade from 0 to 1 and not a measurement.
    pub fn is_grade(self) -> bool {
        self >= Self::Abrasion
    }

    /// Unit, as printed after the number; a grade is `of 1`.
    pub const fn unit(self) -> &'static str {
        match self {
            Self::Density => "g/cm³",
            Self::Tenacity => "N/tex",
            Self::WorkOfRupture => "mN/tex",
            Self::BreakingExtension | Self::Recovery2 | Self::Recovery5 => "%",
            Self::MoistureRegain | Self::AgreedAllowance => "% of dry mass",
            Self::WetStrength => "% of dry strength",
            Self::Diameter => "µm",
            Self::StapleLength => "mm",
            Self::PillingGrade => "of 5",
            _ => "of 1",
        }
    }

    /// The largest value that can be true of a fibre; the smallest is 0. For validation of tables.
    pub const fn max(self) -> f64 {
        match self {
            Self::Density => 3.0,
            Self::Tenacity => 4.0,
            Self::WorkOfRupture => 300.0,
            Self::BreakingExtension | Self::Diameter | Self::Recovery2 | Self::Recovery5 => 100.0,
            Self::MoistureRegain | Self::AgreedAllowance => 40.0,
            Self::WetStrength => 150.0,
            Self::StapleLength => 2_000_000.0,
            Self::PillingGrade => 5.0,
            _ => 1.0,
        }
    }
}

/// One figure: a range (or one value twice), what it measures, where it comes from.
#[derive(Clone, Debug, PartialEq)]
pub struct Figure {
    /// What is measured; gives the unit.
    pub property: Property,
    /// Lower end, in [`Property::unit`].
    pub low: f64,
    /// Upper end, `>= low`.
    pub high: f64,
    /// How firmly it stands.
    pub basis: Basis,
    /// The source in words.
    pub source: String,
    /// What was measured exactly, or the reason for a grade; may be empty.
    pub note: String,
}

impl Figure {
    /// Middle of the range.
    pub const fn mid(&self) -> f64 {
        f64::midpoint(self.low, self.high)
    }

    /// The value with its unit: `14 to 18 % of dry mass`.
    pub fn text(&self) -> String {
        let low = number(self.low);
        if self.low == self.high {
            format!("{low} {}", self.property.unit())
        } else {
            format!("{low} to {} {}", number(self.high), self.property.unit())
        }
    }

    /// The line for hover and exports: where the figure comes from and how firmly it stands.
    pub fn provenance(&self) -> String {
        let note = if self.note.is_empty() { String::new() } else { format!(" ({})", self.note) };
        format!("{}: {}{note}", self.basis.name(), self.source)
    }
}

/// At most two decimals, none that say nothing: `1.31`, `0.5`, `14`.
pub(crate) fn number(value: f64) -> String {
    let text = format!("{value:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_figure_reads_as_words() {
        let mut figure = Figure {
            property: Property::MoistureRegain,
            low: 14.0,
            high: 18.0,
            basis: Basis::Seen,
            source: "a handbook".to_owned(),
            note: "taking up and giving off".to_owned(),
        };
        assert_eq!(figure.text(), "14 to 18 % of dry mass");
        assert_eq!(figure.provenance(), "read in the source: a handbook (taking up and giving off)");
        figure.high = 14.0;
        assert_eq!(figure.text(), "14 % of dry mass");
        assert_eq!(number(100.0), "100");
        assert_eq!(number(1.50), "1.5");
    }

    #[test]
    fn grades_are_the_second_group() {
        assert!(Property::Abrasion.is_grade() && Property::MachineWash.is_grade());
        assert!(!Property::PillingGrade.is_grade() && !Property::Density.is_grade());
    }
}
