//! Who may use the server: everybody on this machine, or screens that were paired with a code.
//!
//! The code has eight digits and is shown on the oven's own screen and in the terminal. Wrong codes are counted over all
//! screens together: after five of them everybody waits, twice as long each time, so that guessing takes months. A paired screen
//! holds a random token of 256 bits; only its hash is kept here.

use crate::error::WebError;
use jiff::{SignedDuration, Timestamp};
use rand::RngExt;
use sha2::{Digest, Sha256};
use std::collections::HashMap;
use std::sync::{Mutex, MutexGuard, PoisonError};

/// Digits of a code.
const CODE_DIGITS: u32 = 8;
/// Wrong codes before everybody waits.
const FREE_TRIES: u32 = 5;
/// First wait, s.
const FIRST_WAIT_S: u64 = 30;
/// Longest wait, s.
const LONGEST_WAIT_S: u64 = 3600;
/// Longest name of a person, characters.
const LONGEST_NAME: usize = 40;

/// From where the server can be reached.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reach {
    /// From this machine only.
    Loopback,
    /// From the kitchen's network.
    Lan,
}

/// Wrong codes so far.
#[derive(Debug, Clone, Copy, Default)]
struct Tries {
    wrong: u32,
    wait_until: Option<Timestamp>,
}

#[derive(Debug)]
struct State {
    /// Hash of a token, and who holds it.
    paired: HashMap<[u8; 32], String>,
    tries: Tries,
}

/// Paired screens, the code, and the count of wrong ones.
#[derive(Debug)]
pub struct Access {
    reach: Reach,
    code: String,
    state: Mutex<State>,
}

fn hash(token: &str) -> [u8; 32] {
    Sha256::digest(token.as_bytes()).into()
}

/// Compares without telling by its time how much was right.
fn same(a: &str, b: &str) -> bool {
    hash(a) == hash(b)
}

impl Access {
    /// Access with a new code.
    #[must_use]
    pub fn new(reach: Reach, random: &mut impl RngExt) -> Self {
        let code = random.random_range(0..10_u32.pow(CODE_DIGITS));
        Self {
            reach,
            code: format!("{code:08}"),
            state: Mutex::new(State { paired: HashMap::new(), tries: Tries::default() }),
        }
    }

    /// From where the server can be reached.
    #[must_use]
    pub const fn reach(&self) -> Reach {
        self.reach
    }

    /// The code, to be shown where only people in the kitchen see it.
    #[must_use]
    pub fn code(&self) -> &str {
        &self.code
    }

    fn state(&self) -> MutexGuard<'_, State> {
        self.state.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Pairs a screen: the right code gives a token.
    ///
    /// # Errors
    /// [`WebError::WrongCode`], and [`WebError::TooManyTries`] while everybody waits, even for the right code.
    pub fn pair(&self, code: &str, who: &str, now: Timestamp, random: &mut impl RngExt) -> Result<String, WebError> {
        let mut state = self.state();
        if let Some(until) = state.tries.wait_until.filter(|until| now < *until) {
            let wait_s = until.duration_since(now).as_secs().max(1).unsigned_abs();
            return Err(WebError::TooManyTries { wait_s });
        }
        let digits: String = code.chars().filter(char::is_ascii_digit).collect();
        if !same(&digits, &self.code) {
            state.tries.wrong += 1;
            state.tries.wait_until = wait_s(state.tries.wrong)
                .and_then(|wait_s| now.checked_add(SignedDuration::from_secs(wait_s.cast_signed())).ok());
            return Err(WebError::WrongCode);
        }
        state.tries = Tries::default();
        let token: String = (0..32).map(|_| format!("{:02x}", random.random::<u8>())).collect();
        let who: String = who.chars().filter(|c| !c.is_control()).take(LONGEST_NAME).collect();
        state.paired.insert(hash(&token), who.trim().to_owned());
        Ok(token)
    }

    /// Who asks: the name given when the screen was paired; an empty name on the machine itself.
    ///
    /// # Errors
    /// [`WebError::NotPaired`].
    pub fn who(&self, token: Option<&str>) -> Result<String, WebError> {
        let known = token.and_then(|token| self.state().paired.get(&hash(token)).cloned());
        match (known, self.reach) {
            (Some(who), _) => Ok(who),
            (None, Reach::Loopback) => Ok(String::new()),
            (None, Reach::Lan) => Err(WebError::NotPaired),
        }
    }

    /// Forgets a screen.
    pub fn forget(&self, token: &str) {
        self.state().paired.remove(&hash(token));
    }
}

/// How long everybody waits after so many wrong codes, s.
fn wait_s(wrong: u32) -> Option<u64> {
    let over = wrong.checked_sub(FREE_TRIES)?;
    Some(FIRST_WAIT_S.saturating_mul(1 << over.min(16)).min(LONGEST_WAIT_S))
}

#[cfg(test)]
mod tests {
    use super::*;
    use rand::SeedableRng;
    use rand::rngs::StdRng;

    fn at(s: i64) -> Timestamp {
        Timestamp::from_second(1_780_000_000 + s).unwrap_or(Timestamp::UNIX_EPOCH)
    }

    #[test]
    fn on_the_machine_itself_nobody_has_to_pair() {
        let access = Access::new(Reach::Loopback, &mut StdRng::seed_from_u64(1));
        assert_eq!(access.who(None).ok().as_deref(), Some(""));
    }

    #[test]
    fn the_right_code_pairs_a_screen_for_good() {
        let mut random = StdRng::seed_from_u64(2);
        let access = Access::new(Reach::Lan, &mut random);
        assert!(matches!(access.who(None), Err(WebError::NotPaired)));
        assert!(matches!(access.who(Some("guess")), Err(WebError::NotPaired)));
        let spaced = format!("{} {}", &access.code()[..4], &access.code()[4..]);
        let token = access.pair(&spaced, "  Bea\n", at(0), &mut random).unwrap_or_default();
        assert_eq!(access.who(Some(&token)).ok().as_deref(), Some("Bea"));
        let other = access.pair(&spaced, "", at(0), &mut random).unwrap_or_default();
        assert_ne!(token, other);
        access.forget(&token);
        assert!(access.who(Some(&token)).is_err());
        assert!(access.who(Some(&other)).is_ok());
    }

    /// After five wrong codes even the right one waits, longer each time; the right one clears the count.
    #[test]
    fn guessing_takes_too_long() {
        let mut random = StdRng::seed_from_u64(3);
        let access = Access::new(Reach::Lan, &mut random);
        let wrong = |s: i64| access.pair("1", "", at(s), &mut StdRng::seed_from_u64(9));
        for _ in 0..5 {
            assert!(matches!(wrong(0), Err(WebError::WrongCode)));
        }
        let code = access.code().to_owned();
        assert!(matches!(access.pair(&code, "", at(29), &mut random), Err(WebError::TooManyTries { wait_s: 1 })));
        assert!(matches!(wrong(31), Err(WebError::WrongCode)));
        assert!(matches!(access.pair(&code, "", at(31 + 59), &mut random), Err(WebError::TooManyTries { .. })));
        assert!(access.pair(&code, "", at(31 + 61), &mut random).is_ok());
        assert!(matches!(wrong(100), Err(WebError::WrongCode)));
        assert!(access.pair(&code, "", at(100), &mut random).is_ok());
    }
}
