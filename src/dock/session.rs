use std::collections::VecDeque;
use std::sync::Mutex;
use std::time::{Duration, Instant};

use crate::words::{Said, say};
use argon2::Argon2;
use sha2::{Digest, Sha256};
use subtle::ConstantTimeEq;

/// The fewest digits of a PIN (our default).
const PIN_SHORTEST: usize = 6;
const PIN_LONGEST: usize = 64;
/// Wrong tries before each further one has to wait (our default).
const FREE_TRIES: u32 = 5;
/// The longest wait between tries.
const WAIT_MOST: Duration = Duration::from_secs(300);
/// Tablets that may be in at once; the one longest in has to enter again.
const SESSIONS_MOST: usize = 200;

/// A PIN as kept in memory: salted and hashed with Argon2id, never the digits.
#[derive(Clone)]
pub struct Pin {
    salt: [u8; 16],
    hash: [u8; 32],
}

impl std::fmt::Debug for Pin {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("Pin")
    }
}

impl Pin {
    /// The PIN itself is not told.
    pub fn of(text: &str) -> Result<Self, Said> {
        let text = text.trim();
        let length = text.chars().count();
        if !(PIN_SHORTEST..=PIN_LONGEST).contains(&length)
            || text.chars().any(|c| c.is_whitespace() || c.is_control())
        {
            let (least, most) = (PIN_SHORTEST, PIN_LONGEST);
            return Err(say!("pin-length", length, least, most));
        }
        let salt: [u8; 16] = random()?;
        Ok(Self {
            hash: hashed(text, &salt)?,
            salt,
        })
    }

    fn is(&self, text: &str) -> bool {
        text.chars().count() <= PIN_LONGEST
            && hashed(text.trim(), &self.salt).is_ok_and(|hash| bool::from(hash.ct_eq(&self.hash)))
    }
}

fn hashed(text: &str, salt: &[u8; 16]) -> Result<[u8; 32], Said> {
    let mut hash = [0_u8; 32];
    Argon2::default()
        .hash_password_into(text.as_bytes(), salt, &mut hash)
        .map_err(|error| say!("pin-not-hashed", error = error))?;
    Ok(hash)
}

fn random<const N: usize>() -> Result<[u8; N], Said> {
    let mut bytes = [0_u8; N];
    getrandom::fill(&mut bytes).map_err(|error| say!("no-random-numbers", error = error))?;
    Ok(bytes)
}

fn hex(bytes: &[u8]) -> String {
    bytes.iter().fold(String::new(), |mut text, byte| {
        text.push_str(&format!("{byte:02x}"));
        text
    })
}

/// Who is in, and how often a wrong PIN was tried.
#[derive(Debug)]
pub(super) struct Sessions {
    secret: [u8; 32],
    pin: Option<Pin>,
    state: Mutex<State>,
}

#[derive(Debug, Default)]
struct State {
    inside: VecDeque<String>,
    wrong: u32,
    next_try: Option<Instant>,
}

/// What became of a try.
#[derive(Debug, PartialEq, Eq)]
pub(super) enum Try {
    /// In, under this new session.
    In(String),
    Wrong,
    /// Not looked at: wait first.
    Wait(Duration),
}

impl Sessions {
    pub(super) fn new(pin: Option<Pin>) -> Result<Self, Said> {
        Ok(Self {
            secret: random()?,
            pin,
            state: Mutex::default(),
        })
    }

    pub(super) fn fresh() -> Option<String> {
        random::<16>().ok().map(|bytes| hex(&bytes))
    }

    /// Whether text can be a session's name at all.
    pub(super) fn well_formed(name: &str) -> bool {
        name.len() == 32 && name.bytes().all(|b| b.is_ascii_hexdigit())
    }

    /// The token that every change from this session has to bring.
    pub(super) fn token(&self, session: &str) -> String {
        let digest = Sha256::new()
            .chain_update(self.secret)
            .chain_update(session.as_bytes())
            .finalize();
        hex(&digest)
    }

    pub(super) fn token_fits(&self, session: &str, token: &str) -> bool {
        bool::from(self.token(session).as_bytes().ct_eq(token.as_bytes()))
    }

    /// Whether this session may come in: without a PIN, every one.
    pub(super) fn may_enter(&self, session: &str) -> bool {
        self.pin.is_none() || self.state().inside.iter().any(|inside| inside == session)
    }

    /// Tries a PIN. One counter for all tablets: an address costs nothing to change.
    pub(super) fn try_pin(&self, text: &str) -> Try {
        let Some(pin) = &self.pin else {
            return Self::fresh().map_or(Try::Wrong, Try::In);
        };
        {
            let mut state = self.state();
            let now = Instant::now();
            if let Some(next) = state.next_try.filter(|next| *next > now) {
                return Try::Wait(next - now);
            }
            // Counted before it is looked at, so that many at once gain nothing.
            state.wrong += 1;
            if state.wrong >= FREE_TRIES {
                let doubled = (state.wrong - FREE_TRIES).min(9);
                let wait = Duration::from_secs(1 << doubled).min(WAIT_MOST);
                state.next_try = Some(now + wait);
            }
        }
        if !pin.is(text) {
            return Try::Wrong;
        }
        let Some(session) = Self::fresh() else {
            return Try::Wrong;
        };
        let mut state = self.state();
        state.wrong = 0;
        state.next_try = None;
        if state.inside.len() >= SESSIONS_MOST {
            state.inside.pop_front();
        }
        state.inside.push_back(session.clone());
        Try::In(session)
    }

    fn state(&self) -> std::sync::MutexGuard<'_, State> {
        // A panic elsewhere leaves plain counters, which are still right.
        self.state
            .lock()
            .unwrap_or_else(std::sync::PoisonError::into_inner)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_pin_opens_and_a_wrong_one_slows_down() {
        let sessions = Sessions::new(Some(Pin::of("271828").expect("a PIN"))).expect("sessions");
        for _ in 0..FREE_TRIES {
            assert_eq!(sessions.try_pin("000000"), Try::Wrong);
        }
        assert!(matches!(sessions.try_pin("271828"), Try::Wait(_)));
        std::thread::sleep(Duration::from_millis(1100));
        let Try::In(session) = sessions.try_pin("271828") else {
            panic!("the right PIN did not open");
        };
        assert!(sessions.may_enter(&session));
        assert!(!sessions.may_enter("00000000000000000000000000000000"));
    }

    #[test]
    fn a_token_belongs_to_its_session() {
        let sessions = Sessions::new(None).expect("sessions");
        let token = sessions.token("a");
        assert!(sessions.token_fits("a", &token));
        assert!(!sessions.token_fits("b", &token));
        assert!(!sessions.token_fits("a", ""));
    }

    #[test]
    fn pins_that_are_none() {
        for text in ["12345", "", "123 456", &"1".repeat(65)] {
            let refused = Pin::of(text).expect_err(text).in_english();
            assert!(text.is_empty() || !refused.contains(text), "{refused}");
        }
    }
}
