//! A photograph of a swatch from which its gauge is read: off the window's thread, thrown away with the document.

use std::path::PathBuf;
use std::sync::Arc;

use super::derived::{Derived, Reading};
use super::document::DocumentId;
use super::jobs::{For, Host, Jobs};
use super::state::Program;
use super::update::refuse;
use crate::file;
use crate::photo::{Balance, GaugeReading, Picture, Place, Preview, Scale, Watch, preview, read_gauge};

/// The longer side of what is shown, in pixels: corners are placed on it.
const LONGEST: usize = 2400;

/// What the window asks for about such a photograph.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum GaugeAction {
    /// Ask which photograph to open.
    Pick,
    /// Put it away.
    Close,
}

/// A photograph of a swatch.
pub struct GaugePhoto {
    /// Told apart by number.
    pub number: u64,
    /// Its file name, without the folder.
    pub name: String,
    /// The picture.
    pub picture: Arc<Picture>,
    /// To look at.
    pub preview: Arc<Preview>,
}

/// What is read: the photograph by its number, what tells the scale, the corners of the swatch.
pub type GaugeKey = (u64, Scale, [Place; 4]);

/// The desk it lies on.
pub struct GaugeDesk {
    /// The open photograph.
    pub photo: Option<GaugePhoto>,
    next_number: u64,
    reading: Derived<GaugeKey, Result<GaugeReading, String>>,
}

impl GaugeDesk {
    /// A desk on which nothing lies yet.
    pub fn of(document: DocumentId) -> Self {
        Self { photo: None, next_number: 1, reading: Derived::of(document, "gauges off the photograph") }
    }

    /// The gauge between these corners, or why there is none.
    pub fn reading(
        &self,
        jobs: &Jobs<impl Host>,
        scale: Scale,
        swatch: [Place; 4],
    ) -> Reading<Result<GaugeReading, String>> {
        let Some(photo) = &self.photo else { return Reading::None };
        let picture = Arc::clone(&photo.picture);
        self.reading.ask(&(photo.number, scale, swatch), jobs, move || {
            read_gauge(&picture, &scale, swatch).map_err(|fault| fault.to_string())
        })
    }
}

/// Opens a photograph of a swatch.
pub(super) fn open(program: &mut Program, path: PathBuf) {
    let typed = program.view.typed.take();
    let state = &program.state;
    let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
    let read = move || {
        let loaded = file::load_picture(&path, &Watch::nobody()).map_err(|error| error.to_string())?;
        let shown = preview(&loaded.picture, &Balance::none(), LONGEST, &Watch::nobody());
        Ok((loaded.picture, shown.map_err(|error| error.to_string())?))
    };
    state.jobs.start(
        For::Document(state.document.id()),
        "swatch photograph",
        read,
        move |program: &mut Program, read| match read {
            Ok((picture, shown)) => {
                let document = program.state.document.id();
                let desk = &mut program.state.desks.gauge;
                let number = desk.next_number;
                // What was read off another photograph is no figure of this one.
                desk.reading = GaugeDesk::of(document).reading;
                desk.next_number += 1;
                let (picture, preview) = (Arc::new(picture), Arc::new(shown));
                desk.photo = Some(GaugePhoto { number, name, picture, preview });
            }
            Err(reason) => refuse(program, typed, reason),
        },
    );
}
