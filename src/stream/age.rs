use std::collections::BTreeMap;

use super::Class;
use crate::words::{Said, say};

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

    /// Days a lot may be used without a look, of the classes in it; `None` where
    /// nobody knows how long it keeps.
    pub fn usable_days(
        &self,
        keeps_days: Option<f64>,
        classes: impl IntoIterator<Item = Class>,
    ) -> Option<f64> {
        Some(keeps_days? * self.times_of(classes))
    }

    /// Why a lot is too old to be used without a look, if it is.
    pub fn too_old(
        &self,
        age_days: f64,
        keeps_days: Option<f64>,
        classes: impl IntoIterator<Item = Class> + Clone,
    ) -> Option<Said> {
        let usable_days = self.usable_days(keeps_days, classes.clone())?;
        (age_days > usable_days).then(|| {
            let (age, usable) = (format!("{age_days:.1}"), format!("{usable_days:.1}"));
            let (times, label) = (self.times_of(classes), say!("limit-of", self.label));
            say!("lot-too-old", age, usable, times, label)
        })
    }

    /// Keeping times a lot may be used: the fewest of all classes in it.
    pub fn times_of(&self, classes: impl IntoIterator<Item = Class>) -> f64 {
        let of = |class| self.by_class.get(&class).copied().unwrap_or(self.times);
        classes.into_iter().map(of).fold(f64::INFINITY, f64::min)
    }
}
