//! What the yarn of a project is called where one buys it.

use crate::project::Project;
use crate::yarn::{KnownClass, WeightClass};

/// Name, blend and class: `Fjordling: wool, light (class 3)`; the class by the first colour's length where no
/// band gives one.
pub fn yarn_words(project: &Project) -> String {
    let material = &project.material;
    let given = material.yarn.as_ref().and_then(|yarn| yarn.class_on_band).map(KnownClass::Given);
    let by_length = || {
        let grist = project.palette.slots()[0].yarn.put_up.grist;
        KnownClass::FromGrist(WeightClass::for_grist(grist).best)
    };
    let class = match given.unwrap_or_else(by_length) {
        KnownClass::Given(class) => format!("{} (class {})", class.name().to_lowercase(), class.number()),
        KnownClass::FromGrist(class) => {
            format!("{} (class {}, by its length)", class.name().to_lowercase(), class.number())
        }
    };
    match (project.described_yarn(), &material.blend) {
        (Some(yarn), _) => format!("{}: {}, {class}", yarn.name, yarn.blend.name().to_lowercase()),
        (None, Some(blend)) => format!("{}, {class}", blend.name()),
        (None, None) => class,
    }
}
