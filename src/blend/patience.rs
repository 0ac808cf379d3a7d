//! How long somebody waits for a mix. The mix itself is worked out whatever it
//! takes; what makes it easier to weigh or to understand is begun while there
//! is time, and what was left out is said.

use std::cell::RefCell;
use std::fmt;
use std::sync::Arc;

use crate::words::Said;

/// Whether there is time to begin something more; always, unless somebody says
/// otherwise.
#[derive(Clone, Default)]
pub struct Patience(Option<Arc<dyn Fn() -> bool + Send + Sync>>);

impl Patience {
    pub fn while_it(lasts: impl Fn() -> bool + Send + Sync + 'static) -> Self {
        Self(Some(Arc::new(lasts)))
    }

    fn lasts(&self) -> bool {
        self.0.as_ref().is_none_or(|lasts| lasts())
    }
}

impl fmt::Debug for Patience {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(if self.0.is_some() {
            "while it lasts"
        } else {
            "endless"
        })
    }
}

/// What is asked for is the same, however long somebody waits for it.
impl PartialEq for Patience {
    fn eq(&self, _: &Self) -> bool {
        true
    }
}

/// The way through one mix: once the time was up nothing more is begun.
#[derive(Debug, Default)]
pub(super) struct Waiting {
    patience: Patience,
    undone: RefCell<Vec<Said>>,
}

impl Waiting {
    pub(super) fn with(patience: &Patience) -> Self {
        Self {
            patience: patience.clone(),
            undone: RefCell::default(),
        }
    }

    /// Whether to go on with what was begun; what is broken off is noted.
    pub(super) fn goes_on(&self, with: impl FnOnce() -> Said) -> bool {
        let goes_on = self.patience.lasts();
        if !goes_on {
            let (what, mut undone) = (with(), self.undone.borrow_mut());
            if !undone.contains(&what) {
                undone.push(what);
            }
        }
        goes_on
    }

    /// What was left out or broken off.
    pub(super) fn undone(self) -> Vec<Said> {
        self.undone.into_inner()
    }
}
