//! Who may use the server: everybody on this machine, and screens that were paired with a code.
//!
//! The code has eight digits and is shown where the server was started and on paired screens. Wrong codes are counted over
//! all screens together: after five of them everybody waits, twice as long each time, so that guessing takes months. A
//! paired screen holds a random token of 256 bits; only its hash is kept, here and in the data file.
//!
//! Whoever sits at the machine itself can read the data file anyway: a connection from the loopback address needs no code.

use crate::error::WebError;
use jiff::{SignedDuration, Timestamp};
use ovenfall_store::{Screen, TokenHash};
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
    code: String,
    /// Hash of a token, and who holds it.
    paired: HashMap<TokenHash, String>,
    tries: Tries,
}

/// Paired screens, the code, and the count of wrong ones.
#[derive(Debug)]
pub struct Access {
    reach: Reach,
    state: Mutex<State>,
}

/// The hash of a token.
#[must_use]
pub fn hash(token: &str) -> TokenHash {
    Sha256::digest(token.as_bytes()).into()
}

/// Compares without telling by its time how much was right.
fn same(a: &str, b: &str) -> bool {
    hash(a) == hash(b)
}

/// A name fit to be shown.
#[must_use]
pub fn name(given: &str) -> String {
    let kept: String = given.trim().chars().filter(|c| !c.is_control()).take(LONGEST_NAME).collect();
    kept.trim().to_owned()
}

fn new_code(random: &mut impl RngExt) -> String {
    format!("{:08}", random.random_range(0..10_u32.pow(CODE_DIGITS)))
}

/// A new token.
pub fn new_token(random: &mut impl RngExt) -> String {
    (0..32).map(|_| format!("{:02x}", random.random::<u8>())).collect()
}

impl Access {
    /// Access with a new code, for the screens that are known already.
    #[must_use]
    pub fn new(reach: Reach, known: Vec<Screen>, random: &mut impl RngExt) -> Self {
        let paired = known.into_iter().map(|screen| (screen.token, screen.who)).collect();
        Self { reach, state: Mutex::new(State { code: new_code(random), paired, tries: Tries::default() }) }
    }

    /// From where the server can be reached.
    #[must_use]
    pub const fn reach(&self) -> Reach {
        self.reach
    }

    /// The code, to be shown where only people in the kitchen see it.
    #[must_use]
    pub fn code(&self) -> String {
        self.state().code.clone()
    }

    /// Makes a new code; the old one pairs nobody any more. Screens that are paired stay so.
    pub fn renew(&self, random: &mut impl RngExt) {
        self.state().code = new_code(random);
    }

    fn state(&self) -> MutexGuard<'_, State> {
        self.state.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Looks at a code.
    ///
    /// # Errors
    /// [`WebError::WrongCode`], and [`WebError::TooManyTries`] while everybody waits, even for the right code.
    pub fn check(&self, code: &str, now: Timestamp) -> Result<(), WebError> {
        let mut state = self.state();
        if let Some(until) = state.tries.wait_until.filter(|until| now < *until) {
            let wait_s = until.duration_since(now).as_secs().max(1).unsigned_abs();
            return Err(WebError::TooManyTries { wait_s });
        }
        let digits: String = code.chars().filter(char::is_ascii_digit).collect();
        if !same(&digits, &state.code) {
            state.tries.wrong += 1;
            state.tries.wait_until = wait_s(state.tries.wrong)
                .and_then(|wait_s| now.checked_add(SignedDuration::from_secs(wait_s.cast_signed())).ok());
            return Err(WebError::WrongCode);
        }
        state.tries = Tries::default();
        Ok(())
    }

    /// Lets a screen in from now on, or names it anew.
    pub fn let_in(&self, token: TokenHash, who: String) {
        self.state().paired.insert(token, who);
    }

    /// Who holds a token: the name given for the screen; `None` when it is not paired.
    #[must_use]
    pub fn holder(&self, token: Option<&str>) -> Option<String> {
        token.and_then(|token| self.state().paired.get(&hash(token)).cloned())
    }

    /// Who asks: the name given for the screen; an empty name on the machine itself.
    ///
    /// # Errors
    /// [`WebError::NotPaired`].
    pub fn who(&self, token: Option<&str>, at_the_machine: bool) -> Result<String, WebError> {
        match self.holder(token) {
            Some(who) => Ok(who),
            None if at_the_machine || self.reach == Reach::Loopback => Ok(String::new()),
            None => Err(WebError::NotPaired),
        }
    }

    /// Forgets a screen.
    pub fn forget(&self, token: &TokenHash) {
        self.state().paired.remove(token);
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

    fn lan() -> Access {
        Access::new(Reach::Lan, Vec::new(), &mut StdRng::seed_from_u64(2))
    }

    #[test]
    fn on_the_machine_itself_nobody_has_to_pair() {
        let loopback = Access::new(Reach::Loopback, Vec::new(), &mut StdRng::seed_from_u64(1));
        assert_eq!(loopback.who(None, false).ok().as_deref(), Some(""));
        assert_eq!(lan().who(None, true).ok().as_deref(), Some(""));
        assert!(matches!(lan().who(None, false), Err(WebError::NotPaired)));
    }

    #[test]
    fn a_screen_is_paired_until_it_is_forgotten() {
        let access = lan();
        let code = access.code();
        assert!(access.check(&format!("{} {}", &code[..4], &code[4..]), at(0)).is_ok());
        let (token, other) = (hash("one"), hash("other"));
        access.let_in(token, "Bea".to_owned());
        access.let_in(other, String::new());
        assert_eq!(access.who(Some("one"), false).ok().as_deref(), Some("Bea"));
        access.forget(&token);
        assert!(access.who(Some("one"), false).is_err());
        assert!(access.who(Some("other"), false).is_ok());
    }

    #[test]
    fn a_name_is_fit_to_be_shown() {
        assert_eq!(name("  Bea\n\u{7}"), "Bea");
        assert_eq!(name(&"x".repeat(99)).len(), LONGEST_NAME);
    }

    #[test]
    fn a_renewed_code_pairs_and_the_old_one_does_not() {
        let access = lan();
        let old = access.code();
        access.renew(&mut StdRng::seed_from_u64(77));
        assert!(access.check(&old, at(0)).is_err());
        assert!(access.check(&access.code(), at(0)).is_ok());
    }

    /// After five wrong codes even the right one waits, longer each time; the right one clears the count.
    #[test]
    fn guessing_takes_too_long() {
        let access = lan();
        let wrong = |s: i64| access.check("1", at(s));
        for _ in 0..5 {
            assert!(matches!(wrong(0), Err(WebError::WrongCode)));
        }
        let code = access.code();
        assert!(matches!(access.check(&code, at(29)), Err(WebError::TooManyTries { wait_s: 1 })));
        assert!(matches!(wrong(31), Err(WebError::WrongCode)));
        assert!(matches!(access.check(&code, at(31 + 59)), Err(WebError::TooManyTries { .. })));
        assert!(access.check(&code, at(31 + 61)).is_ok());
        assert!(matches!(wrong(100), Err(WebError::WrongCode)));
        assert!(access.check(&code, at(100)).is_ok());
    }
}
