//! Which shades are similar: sets that differ only in similar shades are one set to the eye.

use crate::colour::PairTable;

/// Shades nearer than this (CIEDE2000, "similar") are one family.
const FAMILY: f32 = 5.0;

/// The families of the shades, and the groups in which they are searched: each pinned shade alone, then
/// the free shades of each family together.
#[derive(Clone, Debug)]
pub(super) struct Families {
    #[cfg(test)]
    of_shade: Vec<u16>,
    groups: Vec<Vec<u16>>,
    of_group: Vec<u16>,
}

impl Families {
    /// The first `pinned` shades of the table are pinned.
    pub fn new(table: &PairTable, pinned: usize) -> Self {
        let of_shade = families(table);
        let mut groups: Vec<Vec<u16>> = (0..pinned as u16).map(|shade| vec![shade]).collect();
        let mut of_group: Vec<u16> = of_shade[..pinned].to_vec();
        let mut place = vec![None; of_shade.len()];
        for (shade, family) in of_shade.iter().enumerate().skip(pinned) {
            let group = *place[usize::from(*family)].get_or_insert_with(|| {
                groups.push(Vec::new());
                of_group.push(*family);
                groups.len() - 1
            });
            groups[group].push(shade as u16);
        }
        Self {
            #[cfg(test)]
            of_shade,
            groups,
            of_group,
        }
    }

    /// Shades of each group, rising.
    pub fn groups(&self) -> &[Vec<u16>] {
        &self.groups
    }

    /// Shades of a group, rising.
    pub fn members(&self, group: u16) -> &[u16] {
        &self.groups[usize::from(group)]
    }

    /// The families of some groups, rising: what tells a set from those that are the same to the eye.
    pub fn key(&self, groups: impl IntoIterator<Item = u16>) -> Vec<u16> {
        let mut key: Vec<u16> = groups.into_iter().map(|group| self.of_group[usize::from(group)]).collect();
        key.sort_unstable();
        key
    }

    /// The families of some shades, rising.
    #[cfg(test)]
    pub fn key_of_shades(&self, shades: &[u16]) -> Vec<u16> {
        let mut key: Vec<u16> = shades.iter().map(|shade| self.of_shade[usize::from(*shade)]).collect();
        key.sort_unstable();
        key
    }
}

/// The family of each shade: that of the nearest earlier shade that began one and is similar, else
/// a new one.
fn families(table: &PairTable) -> Vec<u16> {
    let mut founders: Vec<usize> = Vec::new();
    let family = |shade: usize| {
        let near = founders
            .iter()
            .enumerate()
            .filter_map(|(family, founder)| Some((table.pair(*founder, shade)?.difference, family)))
            .filter(|(difference, _)| *difference < FAMILY)
            .min_by(|a, b| a.0.total_cmp(&b.0));
        let family = near.map_or(founders.len(), |(_, family)| family);
        if near.is_none() {
            founders.push(shade);
        }
        family as u16
    };
    (0..table.len()).map(family).collect()
}
