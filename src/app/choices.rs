//! Where a person is and how the window is set up; what is remembered of it, by name.

/// A workspace of the rail.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Workspace {
    /// What the piece must withstand, and the fibre for it.
    Fibre,
    /// The yarn, and the shades it can be had in.
    Yarn,
    /// Harmony, chart and findings.
    #[default]
    Design,
    /// The swatch log.
    Swatch,
    /// The pieces, their bands and sizes.
    Pieces,
    /// How much of each colour to buy, and what it costs.
    Shopping,
}

impl Workspace {
    /// All workspaces, in the order a knitter meets them.
    pub const ALL: [Self; 6] =
        [Self::Fibre, Self::Yarn, Self::Design, Self::Swatch, Self::Pieces, Self::Shopping];

    /// Name, sentence case.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Fibre => "Fibre",
            Self::Yarn => "Yarn",
            Self::Design => "Design",
            Self::Swatch => "Swatch",
            Self::Pieces => "Pieces",
            Self::Shopping => "Shopping",
        }
    }
}

/// Light, dark, or as the system.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum ThemeChoice {
    /// As the system.
    #[default]
    System,
    /// Light.
    Light,
    /// Dark.
    Dark,
}

impl ThemeChoice {
    /// All choices.
    pub const ALL: [Self; 3] = [Self::System, Self::Light, Self::Dark];

    /// Name, as remembered between runs.
    pub const fn name(self) -> &'static str {
        match self {
            Self::System => "As the system",
            Self::Light => "Light",
            Self::Dark => "Dark",
        }
    }

    /// The choice of this name, else as the system.
    pub fn named(name: Option<&str>) -> Self {
        Self::ALL.into_iter().find(|choice| Some(choice.name()) == name).unwrap_or_default()
    }
}

/// How large the window's text and controls are, in steps of ten per cent.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct TextSize(u16);

impl Default for TextSize {
    fn default() -> Self {
        Self(100)
    }
}

impl TextSize {
    /// The name it is remembered under.
    pub const KEY: &'static str = "text size";
    const STEP: u16 = 10;
    const RANGE: std::ops::RangeInclusive<u16> = 80..=200;

    /// As remembered, in per cent; 100 the first time.
    pub fn named(text: Option<&str>) -> Self {
        text.and_then(|text| text.parse().ok())
            .filter(|p| Self::RANGE.contains(p))
            .map_or_else(Self::default, Self)
    }

    /// In per cent of the size it is designed at, 80 to 200.
    pub const fn percent(self) -> u16 {
        self.0
    }

    /// One step larger, if there is one.
    #[must_use]
    pub fn larger(self) -> Self {
        Self((self.0 + Self::STEP).min(*Self::RANGE.end()))
    }

    /// One step smaller, if there is one.
    #[must_use]
    pub fn smaller(self) -> Self {
        Self((self.0 - Self::STEP).max(*Self::RANGE.start()))
    }
}

/// A part of the right column that folds away, in the order of use.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Fold {
    /// What is worth a second look, and the colours that touch.
    Findings,
    /// Yarn per colour.
    Yarn,
    /// Gauge, repeats and rules.
    Gauge,
    /// Motif fit and repeat fit.
    Fit,
}

/// Which parts of the right column are open.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Folds {
    open: [bool; 4],
}

impl Default for Folds {
    /// All but the fit, which is asked now and then.
    fn default() -> Self {
        Self { open: [true, true, true, false] }
    }
}

impl Folds {
    /// The name they are remembered under.
    pub const KEY: &'static str = "folds";
    const NAMES: [(Fold, &'static str); 4] =
        [(Fold::Findings, "findings"), (Fold::Yarn, "yarn"), (Fold::Gauge, "gauge"), (Fold::Fit, "fit")];

    /// Whether a part is open.
    pub const fn is_open(self, fold: Fold) -> bool {
        self.open[fold as usize]
    }

    /// Opens or folds a part.
    pub const fn toggle(&mut self, fold: Fold) {
        self.open[fold as usize] = !self.open[fold as usize];
    }

    /// As remembered: the open parts by name.
    pub fn to_text(self) -> String {
        let open = Self::NAMES.iter().filter(|(fold, _)| self.is_open(*fold));
        open.map(|(_, name)| *name).collect::<Vec<_>>().join(" ")
    }

    /// What was remembered.
    pub fn named(text: Option<&str>) -> Self {
        text.map_or_else(Self::default, |text| {
            let open = |name: &str| text.split_whitespace().any(|word| word == name);
            Self { open: Self::NAMES.map(|(_, name)| open(name)) }
        })
    }
}

/// Which side columns of the Design workspace are open.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Columns {
    /// Harmony, on the left.
    pub harmony: bool,
    /// Findings and yarn, on the right.
    pub findings: bool,
}

impl Columns {
    /// The name they are remembered under.
    pub const KEY: &'static str = "columns";

    /// As remembered: the open columns by name.
    pub fn to_text(self) -> String {
        let open = [(self.harmony, "harmony"), (self.findings, "findings")];
        open.iter().filter(|(open, _)| *open).map(|(_, name)| *name).collect::<Vec<_>>().join(" ")
    }

    /// What was remembered; both open the first time.
    pub fn named(text: Option<&str>) -> Self {
        text.map_or_else(Self::default, |text| {
            let open = |name| text.split_whitespace().any(|word| word == name);
            Self { harmony: open("harmony"), findings: open("findings") }
        })
    }
}

impl Default for Columns {
    fn default() -> Self {
        Self { harmony: true, findings: true }
    }
}
