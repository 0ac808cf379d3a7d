//! Variants of the published problems, most of them without an answer.

use crate::lp_support::{Bounds, Case, all};

impl Case {
    pub(crate) fn named(name: &str) -> Self {
        all()
            .into_iter()
            .find(|case| case.name == name)
            .expect("a case of the data files")
    }

    /// The same with another upper bound on a row.
    pub(crate) fn with_most(mut self, row: &str, most: f64) -> Self {
        let row = self.rows.iter_mut().find(|bounds| bounds.name == row);
        row.expect("a row of the case").most = most;
        self
    }

    /// The same with one more row over some items, each with coefficient 1.
    pub(crate) fn with_row(mut self, name: &str, items: &[&str], most: f64) -> Self {
        self.rows.push(Bounds {
            name: name.to_owned(),
            least: f64::NEG_INFINITY,
            most,
        });
        let position = self.rows.len() - 1;
        for item in &mut self.items {
            if items.contains(&item.name.as_str()) {
                item.entries.push((position, 1.0));
            }
        }
        self
    }
}
