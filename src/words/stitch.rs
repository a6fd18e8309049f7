//! The stitches of the language, by their published abbreviations.

/// Which side of the fabric faces the knitter.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Side {
    /// The right side; also every round.
    Right,
    /// The wrong side.
    Wrong,
}

impl Side {
    /// The abbreviation.
    pub const fn abbreviation(self) -> &'static str {
        match self {
            Self::Right => "RS",
            Self::Wrong => "WS",
        }
    }

    /// The other side.
    pub const fn other(self) -> Self {
        match self {
            Self::Right => Self::Wrong,
            Self::Wrong => Self::Right,
        }
    }
}

/// What the needle does.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Stitch {
    /// Knit.
    K,
    /// Purl.
    P,
    /// Slip 1 purlwise, yarn on the wrong side.
    Sl,
    /// Knit through the back loop.
    Ktbl,
    /// Purl through the back loop.
    Ptbl,
    /// Knit 2 together; leans right.
    K2tog,
    /// Slip, slip, knit; leans left.
    Ssk,
    /// Purl 2 together.
    P2tog,
    /// Slip, slip, purl through the back loops.
    Ssp,
    /// Slip 2 together knitwise, k1, pass the slipped sts over: the centred double decrease.
    S2kp,
    /// Slip 1, k2tog, pass the slipped st over.
    Sk2p,
    /// Knit 3 together.
    K3tog,
    /// The centred double decrease on a wrong-side row.
    S2pp,
    /// Purl 3 together.
    P3tog,
    /// Slip 2, 1 together through the back loops, purl: `sk2p` on a wrong-side row.
    Sssp,
    /// Knit into the front and the back of one stitch.
    Kfb,
    /// Make one, leaning left.
    M1l,
    /// Make one, leaning right.
    M1r,
    /// Make one purlwise, leaning left.
    M1lp,
    /// Make one purlwise, leaning right.
    M1rp,
    /// Yarn over.
    Yo,
}

impl Stitch {
    /// All of them.
    pub const ALL: [Self; 21] = [
        Self::K,
        Self::P,
        Self::Sl,
        Self::Ktbl,
        Self::Ptbl,
        Self::K2tog,
        Self::Ssk,
        Self::P2tog,
        Self::Ssp,
        Self::S2kp,
        Self::Sk2p,
        Self::K3tog,
        Self::S2pp,
        Self::P3tog,
        Self::Sssp,
        Self::Kfb,
        Self::M1l,
        Self::M1r,
        Self::M1lp,
        Self::M1rp,
        Self::Yo,
    ];

    /// The abbreviation; those of the published master list and of the published chart symbols.
    pub const fn abbreviation(self) -> &'static str {
        match self {
            Self::K => "k",
            Self::P => "p",
            Self::Sl => "sl",
            Self::Ktbl => "ktbl",
            Self::Ptbl => "ptbl",
            Self::K2tog => "k2tog",
            Self::Ssk => "ssk",
            Self::P2tog => "p2tog",
            Self::Ssp => "ssp",
            Self::S2kp => "s2kp",
            Self::Sk2p => "sk2p",
            Self::K3tog => "k3tog",
            Self::S2pp => "s2pp",
            Self::P3tog => "p3tog",
            Self::Sssp => "sssp",
            Self::Kfb => "kfb",
            Self::M1l => "M1L",
            Self::M1r => "M1R",
            Self::M1lp => "M1Lp",
            Self::M1rp => "M1Rp",
            Self::Yo => "yo",
        }
    }

    /// What the abbreviation stands for, as the list of abbreviations of a sheet says it.
    pub const fn meaning(self) -> &'static str {
        match self {
            Self::K => "knit",
            Self::P => "purl",
            Self::Sl => "slip 1 purlwise, yarn on the wrong side",
            Self::Ktbl => "knit through the back loop",
            Self::Ptbl => "purl through the back loop",
            Self::K2tog => "knit 2 sts together",
            Self::Ssk => "slip 2 sts knitwise one by one, knit them together through the back loops",
            Self::P2tog => "purl 2 sts together",
            Self::Ssp => "slip 2 sts knitwise one by one, purl them together through the back loops",
            Self::S2kp => "slip 2 sts together knitwise, k1, pass the slipped sts over",
            Self::Sk2p => "slip 1 st, k2tog, pass the slipped st over",
            Self::K3tog => "knit 3 sts together",
            Self::S2pp => {
                "slip 2 sts knitwise one by one and together back through the back loops, purl 3 together"
            }
            Self::P3tog => "purl 3 sts together",
            Self::Sssp => "slip 3 sts knitwise one by one, purl them together through the back loops",
            Self::Kfb => "knit into the front and the back of the st",
            Self::M1l => "lift the strand between the sts from front to back, knit it through the back loop",
            Self::M1r => "lift the strand between the sts from back to front, knit it through the front loop",
            Self::M1lp => "lift the strand between the sts from front to back, purl it through the back loop",
            Self::M1rp => {
                "lift the strand between the sts from back to front, purl it through the front loop"
            }
            Self::Yo => "yarn over",
        }
    }

    /// Stitches taken off the left needle.
    pub const fn takes(self) -> u32 {
        match self {
            Self::K | Self::P | Self::Sl | Self::Ktbl | Self::Ptbl | Self::Kfb => 1,
            Self::K2tog | Self::Ssk | Self::P2tog | Self::Ssp => 2,
            Self::S2kp | Self::Sk2p | Self::K3tog | Self::S2pp | Self::P3tog | Self::Sssp => 3,
            Self::M1l | Self::M1r | Self::M1lp | Self::M1rp | Self::Yo => 0,
        }
    }

    /// Stitches put on the right needle.
    pub const fn gives(self) -> u32 {
        match self {
            Self::Kfb => 2,
            _ => 1,
        }
    }

    /// What is worked on this side to look on the right side as this stitch does; its own inverse.
    pub const fn on(self, side: Side) -> Self {
        match (side, self) {
            (Side::Right, _) | (_, Self::Sl | Self::Yo | Self::Kfb) => self,
            (_, Self::K) => Self::P,
            (_, Self::P) => Self::K,
            (_, Self::Ktbl) => Self::Ptbl,
            (_, Self::Ptbl) => Self::Ktbl,
            (_, Self::K2tog) => Self::P2tog,
            (_, Self::P2tog) => Self::K2tog,
            (_, Self::Ssk) => Self::Ssp,
            (_, Self::Ssp) => Self::Ssk,
            (_, Self::S2kp) => Self::S2pp,
            (_, Self::S2pp) => Self::S2kp,
            (_, Self::Sk2p) => Self::Sssp,
            (_, Self::Sssp) => Self::Sk2p,
            (_, Self::K3tog) => Self::P3tog,
            (_, Self::P3tog) => Self::K3tog,
            (_, Self::M1l) => Self::M1lp,
            (_, Self::M1lp) => Self::M1l,
            (_, Self::M1r) => Self::M1rp,
            (_, Self::M1rp) => Self::M1r,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_other_side_undoes_itself_and_keeps_the_count() {
        for stitch in Stitch::ALL {
            let back = stitch.on(Side::Wrong);
            assert_eq!(back.on(Side::Wrong), stitch);
            assert_eq!(stitch.on(Side::Right), stitch);
            assert_eq!((back.takes(), back.gives()), (stitch.takes(), stitch.gives()));
        }
    }
}
