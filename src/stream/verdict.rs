use crate::quantity::word_enum;
use crate::words::{Said, say};

word_enum!(
    /// What staff should do with a lot.
    Verdict {
        /// Goes to the larvae.
        Feed = "feed",
        /// Goes to the larvae once the whole parts they leave are out.
        PickOut = "pick out",
        /// Waits until an authority's leave to feed it is in the book.
        AskFirst = "ask first",
        /// Woody carbon, or nothing larvae eat: goes to compost.
        Compost = "compost",
        /// Is turned away.
        Refuse = "refuse",
    }
);

impl Verdict {
    fn key(self) -> String {
        self.as_str().replace(' ', "-")
    }

    pub fn said(self) -> Said {
        say!("verdict", verdict = self.key())
    }

    pub fn sign(self) -> Said {
        say!("sign", verdict = self.key())
    }

    pub fn place(self) -> Said {
        say!("put", verdict = self.key())
    }

    /// Whether a mix may take a lot of it.
    pub const fn may_be_fed(self) -> bool {
        matches!(self, Self::Feed | Self::PickOut)
    }

    /// Whether it may be bought for a night: what is bought goes straight into the
    /// mix, and nobody picks parts out of it.
    pub const fn may_be_bought(self) -> bool {
        matches!(self, Self::Feed)
    }

    /// Reads a verdict in any case; a hyphen for the blank is fine.
    pub fn read(text: &str) -> Option<Self> {
        let text = text.trim().to_ascii_lowercase().replace(['-', '_'], " ");
        Self::parse(&text)
    }
}
