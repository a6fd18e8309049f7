//! The yarns a person has described, kept across projects.

use std::path::Path;
use std::sync::Arc;

use crate::file::{MAX_OWN_YARNS, load_own_yarns};
use crate::yarn::Yarn;

/// The list, and how often it has changed since the program began.
#[derive(Clone, Debug, Default)]
pub struct OwnYarns {
    yarns: Arc<Vec<Yarn>>,
    revision: u64,
    /// Why the kept list could not be read: then nothing is written over it.
    unread: Option<String>,
}

impl OwnYarns {
    /// The list kept in a folder.
    pub fn kept_in(dir: Option<&Path>) -> Self {
        match dir.map(load_own_yarns) {
            None => Self::default(),
            Some(Ok(yarns)) => Self { yarns: Arc::new(yarns), ..Self::default() },
            Some(Err(error)) => Self { unread: Some(error.to_string()), ..Self::default() },
        }
    }

    /// The yarns, in the order they were kept.
    pub fn yarns(&self) -> &Arc<Vec<Yarn>> {
        &self.yarns
    }

    /// Counts the changes.
    pub const fn revision(&self) -> u64 {
        self.revision
    }

    /// Whether just this yarn is kept.
    pub fn keeps(&self, yarn: &Yarn) -> bool {
        self.yarns.contains(yarn)
    }

    /// Keeps a yarn; one of the same name gives way.
    ///
    /// # Errors
    /// Why it cannot be kept, in words.
    pub fn keep(&mut self, yarn: Yarn) -> Result<(), String> {
        self.check()?;
        let yarns = Arc::make_mut(&mut self.yarns);
        let place = yarns.iter().position(|known| known.name.trim() == yarn.name.trim());
        match place {
            Some(place) => yarns[place] = yarn,
            None if yarns.len() >= MAX_OWN_YARNS => {
                return Err(format!("{MAX_OWN_YARNS} yarns are kept already: forget one first"));
            }
            None => yarns.push(yarn),
        }
        self.revision += 1;
        Ok(())
    }

    /// Forgets the yarn of a name.
    ///
    /// # Errors
    /// Why the list cannot be changed, in words.
    pub fn forget(&mut self, name: &str) -> Result<(), String> {
        self.check()?;
        Arc::make_mut(&mut self.yarns).retain(|known| known.name != name);
        self.revision += 1;
        Ok(())
    }

    fn check(&self) -> Result<(), String> {
        let unread = |why: &String| format!("Your list of yarns is left as it is: {why}");
        self.unread.as_ref().map_or(Ok(()), |why| Err(unread(why)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::yarn::{Blend, Fibre, PutUp, YarnId};

    #[test]
    fn one_name_is_kept_once_and_what_could_not_be_read_is_not_written_over() {
        let yarn = |metres: f64| {
            Yarn::new(YarnId(0), "Bare step", Blend::pure(Fibre::Wool), PutUp::new(metres, 50.0).unwrap())
        };
        let mut own = OwnYarns::default();
        own.keep(yarn(200.0)).unwrap();
        own.keep(yarn(210.0)).unwrap();
        assert!(own.keeps(&yarn(210.0)) && !own.keeps(&yarn(200.0)));
        assert_eq!((own.yarns().len(), own.revision()), (1, 2));
        own.forget("Bare step").unwrap();
        assert!(own.yarns().is_empty());
        let mut unread = OwnYarns { unread: Some("line 3".to_owned()), ..OwnYarns::default() };
        assert!(unread.keep(yarn(200.0)).unwrap_err().contains("line 3"));
    }
}
