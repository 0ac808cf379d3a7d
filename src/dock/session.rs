use std::collections::{HashMap, VecDeque};
use std::net::IpAddr;
use std::sync::Mutex;
use std::time::{Duration, Instant};

use super::role::Role;
use crate::words::{Said, say};
use argon2::Argon2;
use sha2::{Digest, Sha256};
use subtle::ConstantTimeEq;

/// The fewest digits of a PIN (our default).
const PIN_SHORTEST: usize = 6;
const PIN_LONGEST: usize = 64;
/// Wrong tries of a device before each further one has to wait, and of all
/// devices at an address (our defaults).
const FREE_TRIES: u32 = 5;
const FREE_TRIES_THERE: u32 = 20;
/// The longest wait between tries.
const WAIT_MOST: Duration = Duration::from_secs(300);
/// Wrong tries of all in an hour, after which all wait for its end: six digits
/// then last for months, however many addresses are tried from.
const WRONG_MOST: u32 = 300;
const HOUR: Duration = Duration::from_secs(3600);
/// Devices and addresses remembered at once.
const PLACES_MOST: usize = 2000;
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

/// The PINs a page is opened with: one for all, or two.
#[derive(Debug, Clone, Default)]
pub struct Pins {
    pub all: Option<Pin>,
    /// Where there is one, the other opens the daily work alone.
    pub owner: Option<Pin>,
}

impl Pins {
    fn role(&self, text: &str) -> Option<Role> {
        let is = |pin: &Option<Pin>| pin.as_ref().is_some_and(|pin| pin.is(text));
        // Both are looked at whichever fits, so that the time tells nothing.
        match (is(&self.owner), is(&self.all)) {
            (true, _) => Some(Role::Owner),
            (false, true) if self.owner.is_some() => Some(Role::Staff),
            (false, true) => Some(Role::Owner),
            (false, false) => None,
        }
    }

    pub(super) const fn are_none(&self) -> bool {
        self.all.is_none() && self.owner.is_none()
    }
}

/// Who is in, and how often a wrong PIN was tried.
#[derive(Debug)]
pub(super) struct Sessions {
    secret: [u8; 32],
    pins: Pins,
    state: Mutex<State>,
}

#[derive(Debug, Default)]
struct State {
    inside: VecDeque<(String, Role)>,
    tries: HashMap<Place, Tries>,
    hour: Option<(Instant, u32)>,
}

/// Where tries come from.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
enum Place {
    Device(String),
    Address(IpAddr),
}

#[derive(Debug, Clone, Copy)]
struct Tries {
    wrong: u32,
    last: Instant,
    next: Instant,
}

impl Place {
    /// The device by its session, and its address; of IPv6 the network, since
    /// a device has any number of addresses in it.
    fn both(device: &str, address: IpAddr) -> [(Self, u32); 2] {
        let address = match address {
            IpAddr::V6(six) if six.to_ipv4_mapped().is_none() => {
                let network = u128::from(six) >> 64 << 64;
                IpAddr::V6(network.into())
            }
            other => other,
        };
        [
            (Self::Device(device.to_owned()), FREE_TRIES),
            (Self::Address(address), FREE_TRIES_THERE),
        ]
    }
}

impl State {
    /// Counts a try before it is looked at, so that many at once gain nothing;
    /// or says how long it has to wait.
    fn count(&mut self, places: &[(Place, u32)], now: Instant) -> Option<Duration> {
        let (began, wrong) = (self.hour)
            .filter(|(began, _)| now.duration_since(*began) < HOUR)
            .unwrap_or((now, 0));
        let waits = places.iter().filter_map(|(place, _)| self.tries.get(place));
        let waits = waits.map(|tries| tries.next.saturating_duration_since(now));
        let all = (wrong >= WRONG_MOST).then(|| (began + HOUR).saturating_duration_since(now));
        if let Some(wait) = waits.chain(all).max().filter(|wait| !wait.is_zero()) {
            return Some(wait);
        }
        self.hour = Some((began, wrong + 1));
        if self.tries.len() > PLACES_MOST {
            self.tries
                .retain(|_, tries| now.duration_since(tries.last) < WAIT_MOST);
        }
        for (place, free) in places {
            let wrong = self.tries.get(place).map_or(0, |tries| tries.wrong) + 1;
            let doubled = wrong.checked_sub(*free).map(|over| 1 << over.min(9));
            let wait = doubled
                .map_or(Duration::ZERO, Duration::from_secs)
                .min(WAIT_MOST);
            let (last, next) = (now, now + wait);
            self.tries
                .insert(place.clone(), Tries { wrong, last, next });
        }
        None
    }

    /// The try was right: it and those before it from there are forgiven.
    fn forgive(&mut self, places: &[(Place, u32)]) {
        for (place, _) in places {
            self.tries.remove(place);
        }
        if let Some((_, wrong)) = &mut self.hour {
            *wrong = wrong.saturating_sub(1);
        }
    }
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
    pub(super) fn new(pins: Pins) -> Result<Self, Said> {
        Ok(Self {
            secret: random()?,
            pins,
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

    /// What this session may do, where it may come in: without a PIN, all of it.
    pub(super) fn role(&self, session: &str) -> Option<Role> {
        if self.pins.are_none() {
            return Some(Role::Owner);
        }
        let state = self.state();
        let mut inside = state.inside.iter();
        inside.find_map(|(inside, role)| (inside == session).then_some(*role))
    }

    /// Tries a PIN. Wrong ones slow down the device and its address, and no
    /// others before there are very many.
    pub(super) fn try_pin(&self, text: &str, device: &str, address: IpAddr) -> Try {
        if self.pins.are_none() {
            return Self::fresh().map_or(Try::Wrong, Try::In);
        }
        let places = Place::both(device, address);
        if let Some(wait) = self.state().count(&places, Instant::now()) {
            return Try::Wait(wait);
        }
        let Some(role) = self.pins.role(text) else {
            return Try::Wrong;
        };
        let Some(session) = Self::fresh() else {
            return Try::Wrong;
        };
        let mut state = self.state();
        state.forgive(&places);
        if state.inside.len() >= SESSIONS_MOST {
            state.inside.pop_front();
        }
        state.inside.push_back((session.clone(), role));
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

    fn one_pin() -> Sessions {
        let all = Some(Pin::of("271828").expect("a PIN"));
        Sessions::new(Pins { all, owner: None }).expect("sessions")
    }

    #[test]
    fn with_two_pins_one_opens_the_daily_work_and_one_all_of_it() {
        let pin = |text| Some(Pin::of(text).expect("a PIN"));
        let (all, owner) = (pin("271828"), pin("314159"));
        let sessions = Sessions::new(Pins { all, owner }).expect("sessions");
        let role_of = |text| match sessions.try_pin(text, text, [192, 0, 2, 1].into()) {
            Try::In(session) => sessions.role(&session),
            _ => None,
        };
        assert_eq!(role_of("271828"), Some(Role::Staff));
        assert_eq!(role_of("314159"), Some(Role::Owner));
        assert_eq!(role_of("161803"), None);
    }

    #[test]
    fn a_pin_opens_and_a_wrong_one_slows_down_who_tried_it() {
        let sessions = one_pin();
        let here: IpAddr = [192, 0, 2, 1].into();
        for _ in 0..FREE_TRIES {
            assert_eq!(sessions.try_pin("000000", "one", here), Try::Wrong);
        }
        assert!(matches!(
            sessions.try_pin("271828", "one", here),
            Try::Wait(_)
        ));
        let Try::In(session) = sessions.try_pin("271828", "other", here) else {
            panic!("another device was locked out");
        };
        assert_eq!(sessions.role(&session), Some(Role::Owner));
        assert_eq!(sessions.role("00000000000000000000000000000000"), None);
        std::thread::sleep(Duration::from_millis(1100));
        assert!(matches!(
            sessions.try_pin("271828", "one", here),
            Try::In(_)
        ));
    }

    /// A device may call itself anew, an address of IPv6 costs nothing.
    #[test]
    fn who_tries_ever_so_often_is_slowed_down_and_no_one_else_is() {
        let mut state = State::default();
        let now = Instant::now();
        let try_at = |state: &mut State, device: u32, address: &str| {
            let address = address.parse().expect("an address");
            state.count(&Place::both(&device.to_string(), address), now)
        };
        for attack in ["192.0.2.1", "2001:db8::1:"] {
            let tries = (0..1000).filter(|nth| {
                let address = if attack.ends_with(':') {
                    format!("{attack}{nth}")
                } else {
                    attack.to_owned()
                };
                try_at(&mut state, *nth, &address).is_none()
            });
            assert_eq!(tries.count(), 20, "{attack}");
        }
        assert_eq!(try_at(&mut state, 0, "192.0.2.2"), None);
        let all = (0..1000).filter(|nth| {
            try_at(
                &mut state,
                *nth,
                &format!("198.51.{}.{}", nth / 256, nth % 256),
            )
            .is_none()
        });
        assert_eq!(all.count(), 300 - 41);
    }

    #[test]
    fn a_token_belongs_to_its_session() {
        let sessions = Sessions::new(Pins::default()).expect("sessions");
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
