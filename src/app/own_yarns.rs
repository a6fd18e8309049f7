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
    /// The list before the last change, to take that back.
    before: Option<Arc<Vec<Yarn>>>,
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
        let place = self.yarns.iter().position(|known| known.name.trim() == yarn.name.trim());
        let count = self.yarns.len();
        if place.is_none() && count >= MAX_OWN_YARNS {
            return Err(format!("{count} yarns are kept already: forget one first"));
        }
        self.change(|yarns| match place {
            Some(place) => yarns[place] = yarn,
            None => yarns.push(yarn),
        });
        Ok(())
    }

    /// Forgets the yarn of a name.
    ///
    /// # Errors
    /// Why the list cannot be changed, in words.
    pub fn forget(&mut self, name: &str) -> Result<(), String> {
        self.check()?;
        self.change(|yarns| yarns.retain(|known| known.name != name));
        Ok(())
    }

    /// Whether the last change can be taken back.
    pub const fn can_take_back(&self) -> bool {
        self.before.is_some()
    }

    /// Takes the last change back; once more makes it again.
    ///
    /// # Errors
    /// Why the list cannot be changed, in words.
    pub fn take_back(&mut self) -> Result<(), String> {
        self.check()?;
        if let Some(before) = &mut self.before {
            std::mem::swap(before, &mut self.yarns);
            self.revision += 1;
        }
        Ok(())
    }

    fn change(&mut self, change: impl FnOnce(&mut Vec<Yarn>)) {
        self.before = Some(Arc::clone(&self.yarns));
        change(Arc::make_mut(&mut self.yarns));
        self.revision += 1;
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
        own.take_back().unwrap();
        assert!(own.keeps(&yarn(200.0)), "the one that gave way is back");
        own.take_back().unwrap();
        own.forget("Bare step").unwrap();
        assert!(own.yarns().is_empty());
        own.take_back().unwrap();
        assert!(own.keeps(&yarn(210.0)));
        let mut unread = OwnYarns { unread: Some("line 3".to_owned()), ..OwnYarns::default() };
        assert!(unread.keep(yarn(200.0)).unwrap_err().contains("line 3"));
    }
}
