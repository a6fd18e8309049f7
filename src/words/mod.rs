//! The language of patterns: what a knitter holds in the hand, as values, as trade English, and knitted.
//!
//! A [`Pattern`] is the abstract form: every amount is there in every size. [`Pattern::to_text`] prints it,
//! [`Pattern::read`] reads it back, [`Pattern::knit`] knits it in one size from nothing but the words and the
//! charts. [`Wording`] words single lines, for a sheet that sets them itself.
//!
//! # The grammar
//!
//! `[...]` may be left out, `|` parts alternatives, `...` comes again. Capitals at the start of a sentence, line
//! ends and spaces do not matter, but a heading, a note and a row of a chart end with their line. `N` is an
//! amount: `88`, or one figure per size, `88 (92, 96)`; 0 to 9999.
//!
//! ```text
//! # Title
//! Sizes: S (M, L).
//! Gauge: 28 sts and 33 rows in 10 cm [(4 in)].
//! Colours: A peat, B fog.
//! Chart 1: 10 sts, 21 rows, stranded|intarsia|stripes.
//! 21: A A B ...                       rows from the top, cells from left to right as the right side shows them:
//! ...                                 a colour and its stitch: A (k) A. (p) A/ (k2tog) A\ (ssk) A^ (s2kp)
//! 1: A B A ...                        A< (M1L) A> (M1R), others by name (A:kfb); - where there is no stitch
//!
//! ## Piece
//! [Make 2. | Make 2: left, right.]    a group NAME set aside in a copy is the 'left NAME' everywhere else
//! ### Section                         numbers of rows may begin anew with 1
//! [In sizes S and M only: | For the left only: | In size S, for the left only: | When both|all N are worked:]
//!     SENTENCE. [N sts [in every size].]
//! ```
//!
//! The count after a sentence is what is live on the needle then. Sentences:
//!
//! ```text
//! [With A [and the finer|larger needle],] cast on N sts [with a stretchy method | with the long-tail method |
//!     with the cable method | by backward loops | provisionally on waste yarn]
//! [With A [and the finer needle],] pick up and kN along the NAME [(3 sts for every 4 of N rows)]
//! Place a marker and join for the round without twisting
//! Work back and forth from here
//! Change to the finer|larger needle
//! Rnds 17–37: ROW | Rnd 3: ROW | Rnd 2 and every even rnd: ROW | Next rnd: ROW | Next N rnds: ROW
//! Row 1 (RS): ROW | Rows 1–6 (RS first): ROW | Next row (WS): ROW          rows say their side
//! [With A,] k N rnds | [With A,] work N rows in FABRIC (RS first)
//! Rep the last N rnds 5 times more
//! Go on so, [with one st fewer before each k2tog [and two sts more before each ssk],]
//!     on every 2nd rnd N times more[, then on every rnd N times more]
//!     [; k the rnds between | ; work the rows between in FABRIC | ; rnds between: ROW]
//! Place the next N sts on waste yarn|on a spare needle for the NAME[; the others stay on the needle]
//! Place in turn N sts on waste yarn for the NAME, N sts on a spare needle for the NAME, ...
//! Place the N sts of the NAME[, then the N sts of the NAME] on the needle, RS|WS facing
//! Take out the waste yarn of the NAME: N sts below and N sts above are on the needle
//! Take out the provisional cast-on: N sts rest on a spare needle for the NAME
//! [With A,] bind off all N sts [with a stretchy method | in pattern | by sewing]
//! Bind off the N sts of the NAME together with those of the NAME           three needles
//! Graft the N sts of the NAME to those of the NAME | Graft the first N sts to the last N sts
//! Cut the yarn|A to 20 cm [(8 in)], draw it twice through the N sts and close the NAME | Cut the yarn
//! Remove the markers | So far N rnds | Weave in the ends | Sew the NAME
//! Secure the N steek sts of the NAME on both sides of their centre, then cut between
//! Note: anything up to the end of the line
//! ```
//!
//! A `ROW` is `[with A,]` and one of these, with `, closing the gaps` behind it where wraps and double stitches of
//! short rows are worked as one stitch with theirs:
//!
//! ```text
//! ITEM, ITEM, ...                     k or p alone is all of the row
//! work in FABRIC[, 2 rnds with A and 2 rnds with B in turn]
//! work each st as it shows
//! work [BESIDE, then ...] rnds 1–21 of chart 1, N repeats of 10 sts [from st N] [and N sts more]
//!     (or of chart 1 over 64 sts, worked once) [, then of chart 2, ... | , then BESIDE ...] [; these rnds twice in all]
//! work rnds 1–21 of the chart as set [, with k2tog before and ssk after the steek of the NAME] [; these rnds twice in all]
//! ```
//!
//! `As set` is as the last row with charts left them: every stitch in its column, a bridge a bridge. A `BESIDE` is
//! `N sts [with A] [in FABRIC]`, `N steek sts` (the colours of the charts' row in turn, A before B), `N edge sts` (the
//! first of these colours), `cast on N steek sts for the NAME` (in that colour too; the row may begin with it, before
//! its `work`) or `place the next N sts on waste yarn for the NAME and cast on N steek sts`.
//!
//! `FABRIC` is `St st`, `rev St st`, `garter st`, `moss st` or `k2, p2 rib`. An `ITEM`:
//!
//! ```text
//! kN [B] | pN [B] | slN | k2tog [B] [N times] | M1L ...          any stitch by its abbreviation
//! k [B] to end | to last N sts | to marker | to N sts before marker |
//!     to [N sts before] the turn | to N sts past the turn
//! kN of the NAME                      from a group that was set aside
//! (ITEM, ...) N times                 brackets four deep
//! *ITEM, ...; repeat from * to end | to last N sts | to marker ...
//! place marker | slip marker | remove marker | place the marker of the rnd
//! bind off N sts | cast on N sts [METHOD] | pick up and kN along the NAME [(RATIO)]
//! place the next N sts on waste yarn for the NAME
//! kN with waste yarn for the NAME, slip these sts back and k them again
//! turn | wrap the next st and turn | turn with a double st       the last item of a row
//! ```
//!
//! `times` are `once`, `twice`, `3 times`; where sizes have none they are named, `– (3, 2) times (not in S)`.
//! The reader takes the words in full too (`knit`, `rounds`, `repeat`, `stitches`, `cast off`).
//!
//! # What is verified
//!
//! The knitter stumbles where a count, a number of a row, a side, a ratio, a repeat, a group or a chart does not
//! agree with what is there, goes on where it can, and says what stays open. A sentence can be false and still
//! knit (one more plain round): only a comparison with the piece finds that.

mod abbreviations;
mod knitter;
mod name;
mod pattern;
mod per_size;
mod print;
mod read;
mod row;
mod step;
mod stitch;
mod yarn;

pub use abbreviations::{Term, terms_used};
pub use knitter::{
    EdgeKind, Knitted, KnittedEdge, KnittedPiece, KnittedRow, LeftOpen, MAX_STUMBLES, Stumble, Totals,
    knitted_through,
};
pub use name::{Name, Text};
pub use pattern::{
    Chart, ChartCell, Code, Copies, MAX_COPIES, MAX_SIZES, Pattern, Piece, Section, SizeName, Yarn,
};
pub use per_size::{Amount, PerSize};
pub use print::Wording;
use print::{bind_off_words, cast_on_words, number_word};
pub use read::{MAX_TEXT, ReadError};
pub use row::{
    Across, AsSet, BindOff, CastOn, ChartWork, Colour, Course, Edge, Item, Label, PickUp, Ratio, Rows,
    StitchPattern, Strip, Turn, Until, Work,
};
pub use step::{Change, GroupAside, Line, Needle, Only, Pace, PartAside, Rest, Step};
pub use stitch::{Side, Stitch};
pub use yarn::{ColourUse, YarnBasis};
