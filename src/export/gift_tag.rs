//! The tag that goes with a gift: what it is made of, how it is cared for and washed, and a caution.

use super::chart_picture::{INK, LINE_INK, PAPER, QUIET_INK};
use super::drawing::{Align, Drawing, Item, Layer, Rgb, Text};
use super::pictograms;
use super::text::{self, CAP_HEIGHT, Weight};
use crate::project::Project;
use crate::yarn::{Blend, CareLabel, Caution, CautionTopic, Needs, PieceKind, Washing, cautions};

/// Printed dots per inch.
const DPI: f64 = 300.0;
/// Pixels in a mm.
const MM: f64 = DPI / 25.4;
/// Printed width in mm: two tags stand side by side on a sheet of card (our judgement).
pub const WIDTH_MM: f64 = 80.0;
const MARGIN: f64 = 6.0 * MM;
const LEADING: f64 = 1.35;
/// Side of a pictogram.
const PICTOGRAM: f64 = 5.4 * MM;
const HOLE: f64 = 4.0 * MM;

/// What whoever gets it does while nobody noted the label (common practice, no published source).
const UNLABELLED: &str =
    "Wash it by hand in lukewarm water and dry it flat, until whoever made it tells what its label says.";

#[derive(Clone, Copy)]
struct Style {
    size: f64,
    weight: Weight,
    ink: Rgb,
}

const TITLE: Style = Style { size: 5.6 * MM, weight: Weight::Semibold, ink: INK };
const STRONG: Style = Style { size: 3.5 * MM, weight: Weight::Semibold, ink: INK };
const BODY: Style = Style { weight: Weight::Regular, ..STRONG };
/// 8 points, the least that is read with ease in print (common practice, no published source).
const SMALL: Style = Style { size: 2.82 * MM, weight: Weight::Regular, ink: QUIET_INK };

/// What stands on the tag.
#[derive(Clone, Debug, PartialEq)]
pub struct TagWords {
    /// The project's title.
    pub title: String,
    /// The size, when there are several.
    pub size: Option<String>,
    /// What it is spun of; `None` when that was not said.
    pub fibre: Option<String>,
    /// The label in the order of the standard; may be empty.
    pub label: CareLabel,
    /// How it is washed, a sentence each.
    pub washing: Vec<String>,
    /// What to mind, a sentence or two each.
    pub cautions: Vec<String>,
}

impl TagWords {
    /// The words for a project in the size that is worked.
    pub fn of(project: &Project) -> Self {
        let material = &project.material;
        let (blend, label) = (project.fibre(), project.care_label());
        let needs = material.needs.unwrap_or_else(|| Needs::preset(PieceKind::Own));
        let several = project.pieces.sizes.len() > 1;
        Self {
            title: project.title.clone(),
            size: several.then(|| project.pieces.size().name),
            fibre: blend.map(Blend::name),
            washing: washing(&label, blend, needs),
            cautions: warnings(needs, blend, &label),
            label,
        }
    }
}

/// How it is washed. The label decides; without one it is by hand, and what its fibres ask for in their own words, where
/// these do not send to the label that is not there.
fn washing(label: &CareLabel, blend: Option<&Blend>, needs: Needs) -> Vec<String> {
    let mut said = Vec::new();
    if label.symbols().is_empty() {
        let parts = blend.into_iter().flat_map(Blend::parts);
        let fibres = parts.map(|(fibre, _)| *fibre);
        let fibres = fibres.filter(|fibre| !fibre.facts().care.is_empty() && !fibre.facts().care_by_label);
        said.push(UNLABELLED.to_owned());
        said.extend(fibres.map(|fibre| format!("{}: {}", fibre.name(), fibre.facts().care)));
    }
    said.push("Wash it by itself the first time: deep colours may lose some dye.".to_owned());
    // Where the label is not known, nobody may count on a machine.
    let machine =
        !label.symbols().is_empty() && label.machine_wash().unwrap_or(needs.washed() == Washing::Machine);
    let by_hand = "Turn it inside out, press the water out in a towel, never wring it.";
    said.push(if machine { "Turn it inside out." } else { by_hand }.to_owned());
    said
}

/// The caution that always stands there, and those that the piece asks for.
fn warnings(needs: Needs, blend: Option<&Blend>, label: &CareLabel) -> Vec<String> {
    let mut said = vec![
        "Made by hand. The label of its yarn decides; if it troubles the skin, do not wear it.".to_owned(),
    ];
    let topics = [CautionTopic::BabyWear, CautionTopic::Flame, CautionTopic::Felting];
    let found: Vec<Caution> = blend.map(|blend| cautions(needs, blend, label)).unwrap_or_default();
    let minded = found.into_iter().filter(|caution| topics.contains(&caution.topic));
    said.extend(minded.map(|caution| caution.given.map_or(caution.text, str::to_owned)));
    said
}

/// Draws the tag, as high as its words need.
pub fn draw(project: &Project) -> Drawing {
    let words = TagWords::of(project);
    let mut tag = Tag { items: Vec::new(), y: MARGIN + HOLE + 3.0 * MM };
    tag.words(&words.title, TITLE);
    tag.gap(1.0);
    if let Some(size) = &words.size {
        tag.words(&format!("Size {size}"), BODY);
    }
    match &words.fibre {
        Some(fibre) => tag.words(fibre, STRONG),
        None => tag.words("What it is spun of was not noted.", BODY),
    }
    tag.rule();
    tag.words("Care", STRONG);
    tag.gap(1.0);
    if words.label.symbols().is_empty() {
        tag.words("The care label of its yarn was not noted.", BODY);
    }
    for (group, meanings) in words.label.by_group() {
        tag.care(&pictograms::care(group), &meanings.join(". "));
    }
    if let Some(unread) = words.label.unread_words() {
        tag.words(&unread, BODY);
    }
    tag.rule();
    tag.words("How to wash it", STRONG);
    tag.gap(1.0);
    for sentence in &words.washing {
        tag.words(sentence, BODY);
        tag.gap(0.7);
    }
    tag.rule();
    for sentence in &words.cautions {
        tag.words(sentence, SMALL);
        tag.gap(0.7);
    }
    let (width, height) = (WIDTH_MM * MM, (tag.y + MARGIN).ceil());
    let mut items = vec![
        // The edge to cut along, and the hole for the thread.
        Item::Frame {
            x: 2.0,
            y: 2.0,
            width: width - 4.0,
            height: height - 4.0,
            thickness: 3.0,
            ink: LINE_INK,
        },
        ring([width / 2.0, MARGIN + HOLE / 2.0], HOLE / 2.0),
    ];
    items.append(&mut tag.items);
    Drawing {
        width,
        height,
        unit_mm: 1.0 / MM,
        title: format!("{}: gift tag", project.title),
        paper: PAPER,
        layers: vec![Layer::new("tag", items)],
    }
}

fn ring([x, y]: [f64; 2], radius: f64) -> Item {
    let at = |step: u32| {
        let turn = std::f64::consts::TAU * f64::from(step) / 32.0;
        [x + radius * turn.cos(), y + radius * turn.sin()]
    };
    Item::Line { points: (0..32).map(at).collect(), width: 3.0, closed: true, ink: LINE_INK }
}

/// The tag as it grows.
struct Tag {
    items: Vec<Item>,
    y: f64,
}

impl Tag {
    fn gap(&mut self, mm: f64) {
        self.y += mm * MM;
    }

    fn words(&mut self, words: &str, style: Style) {
        self.words_from(words, style, MARGIN);
    }

    fn words_from(&mut self, words: &str, style: Style, x: f64) {
        let Style { size, weight, ink } = style;
        for line in text::wrapped(words, size, weight, WIDTH_MM * MM - MARGIN - x) {
            let y = self.y + f64::midpoint(size * LEADING, CAP_HEIGHT * size);
            self.items.push(Item::Text(Text { x, y, text: line, size, weight, align: Align::Start, ink }));
            self.y += size * LEADING;
        }
    }

    /// A pictogram with its words beside it.
    fn care(&mut self, marks: &[super::symbols::Mark], words: &str) {
        let (top, line) = (self.y, BODY.size * LEADING);
        let beside = top + line / 2.0 - PICTOGRAM / 2.0;
        let place = [MARGIN, beside.max(top - 0.5 * MM), PICTOGRAM, PICTOGRAM];
        self.items.extend(marks.iter().map(|mark| Item::of_mark(mark, place, INK)));
        self.words_from(words, BODY, MARGIN + PICTOGRAM + 2.5 * MM);
        self.y = self.y.max(top + PICTOGRAM) + 1.2 * MM;
    }

    fn rule(&mut self) {
        self.gap(2.2);
        let width = WIDTH_MM * MM - 2.0 * MARGIN;
        self.items.push(Item::Rect { x: MARGIN, y: self.y, width, height: 2.0, ink: LINE_INK });
        self.gap(2.2);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::yarn::{Fibre, PutUp, Yarn, YarnId};

    fn project(codes: &[&str]) -> Project {
        let mut project = Project::default();
        let mut yarn =
            Yarn::new(YarnId(0), "Bulk", Blend::pure(Fibre::Wool), PutUp::new(220.0, 50.0).unwrap());
        yarn.care = CareLabel::from_codes(codes.iter().copied()).unwrap();
        project.material.yarn = Some(yarn);
        project.material.needs = Some(Needs::preset(PieceKind::BabyAndChild));
        project
    }

    fn all_words(drawing: &Drawing) -> String {
        let items = drawing.layers.iter().flat_map(|layer| &layer.items);
        let words = items.filter_map(|item| match item {
            Item::Text(text) => Some(text.text.as_str()),
            _ => None,
        });
        words.collect::<Vec<_>>().join(" ")
    }

    #[test]
    fn a_tag_says_fibre_care_washing_and_caution_and_keeps_to_its_width() {
        let drawing = draw(&project(&["square horizontal line", "triangle crossed", "tub 30 one bar"]));
        let words = all_words(&drawing);
        let order =
            ["Wool", "Machine wash at most 30 °C, mild cycle", "Do not bleach", "Dry flat", "How to wash it"];
        let places: Vec<usize> = order.iter().map(|part| words.find(part).expect(part)).collect();
        assert!(places.is_sorted(), "in the order of the standard: {words}");
        assert!(words.contains("Made by hand") && words.contains("before the first wearing"), "{words}");
        assert!(!words.contains("Hand wash lukewarm"), "the label decides");
        for item in drawing.layers.iter().flat_map(|layer| &layer.items) {
            if let Item::Text(text) = item {
                let right = text.left() + text::width(&text.text, text.size, text.weight);
                assert!(right <= drawing.width - MARGIN + 1.0, "{}", text.text);
            }
            assert!(item.vertical_extent().1 <= drawing.height + 3.0);
        }
    }

    #[test]
    fn without_a_label_the_fibre_speaks_and_without_either_that_is_said() {
        assert!(all_words(&draw(&project(&[]))).contains("Wool: Hand wash lukewarm"));
        let nothing = all_words(&draw(&Project::default()));
        assert!(nothing.contains("The care label of its yarn was not noted"), "{nothing}");
        let mut superwash = project(&[]);
        let put_up = PutUp::new(220.0, 50.0).unwrap();
        superwash.material.yarn =
            Some(Yarn::new(YarnId(0), "Bulk", Blend::pure(Fibre::SuperwashWool), put_up));
        let words = all_words(&draw(&superwash));
        assert!(words.contains("Wash it by hand") && words.contains("in a towel"), "{words}");
        assert!(!words.contains("Gentle machine cycle if the label allows"), "{words}");
    }

    #[test]
    fn the_tag_speaks_to_whoever_gets_it() {
        let by_machine = all_words(&draw(&project(&["tub 40"])));
        assert!(by_machine.contains("Turn it inside out."), "{by_machine}");
        assert!(!by_machine.contains("towel"), "{by_machine}");
        assert!(by_machine.contains("no end or strand"), "{by_machine}");
        assert!(!by_machine.contains("weave in"), "{by_machine}");
        assert!(all_words(&draw(&project(&["tub hand"]))).contains("in a towel"));
    }
}
