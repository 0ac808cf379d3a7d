use std::collections::BTreeMap;

use super::Class;

/// How many keeping times a lot may be used, before it is out of every mix.
#[derive(Debug, Clone, PartialEq)]
pub struct AgeLimits {
    /// Of every class that is not named.
    pub times: f64,
    /// Of classes that turn sooner.
    pub by_class: BTreeMap<Class, f64>,
    /// How the limits are labelled where they are printed.
    pub label: &'static str,
}

impl AgeLimits {
    /// Keeping times to which a class among these is held whatever holds
    /// else; without end where none is named.
    pub fn class_limit(&self, classes: impl IntoIterator<Item = Class>) -> f64 {
        let named = classes
            .into_iter()
            .filter_map(|class| self.by_class.get(&class).copied());
        named.fold(f64::INFINITY, f64::min)
    }

    /// Keeping times a lot may be used: the fewest of all classes in it.
    pub fn times_of(&self, classes: impl IntoIterator<Item = Class>) -> f64 {
        let of = |class| self.by_class.get(&class).copied().unwrap_or(self.times);
        classes.into_iter().map(of).fold(f64::INFINITY, f64::min)
    }
}
