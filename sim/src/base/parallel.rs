//! The only place with threads.

use crate::base::units::Tick;
use rayon::prelude::*;

/// Applies `f` to every item on the current thread pool and returns the results in the order of the
/// items, so that whatever is summed from them does not depend on the number of threads. `watch`
/// hears of each finished item.
pub fn in_order<T: Sync, R: Send>(
    items: &[T],
    f: impl Fn(&T) -> R + Sync,
    watch: &(dyn Fn() + Sync),
) -> Vec<R> {
    items
        .par_iter()
        .map(|item| {
            let result = f(item);
            watch();
            result
        })
        .collect()
}

/// Who hears how far a long computation is.
pub trait Watch: Sync {
    /// So many evenings more than was said before are expected, as far as is known.
    fn expect(&self, evenings: u64);
    /// One more is done.
    fn done(&self);
    /// A search has found about where it will end: so many guests, and the word for what they are
    /// to be. The answer can be another by some.
    fn about(&self, _guests: u32, _word: &str) {}
    /// An evening would not have ended; the figures of the whole computation are worth nothing.
    fn endless(&self, which: Endless);
    /// Whether one would not have ended: the rest need not be played.
    fn is_void(&self) -> bool;
}

/// An evening that was stopped because it would not have ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Endless {
    /// Its seed.
    pub seed: u64,
    /// Its number.
    pub trial: u32,
    /// Guests it was played with.
    pub guests: u32,
    /// Who was next, if anybody: guests from 0, hosts after them.
    pub person: Option<u32>,
    /// The moment.
    pub at: Tick,
}

/// Nobody listens.
impl Watch for () {
    fn expect(&self, _: u64) {}
    fn done(&self) {}
    fn endless(&self, _: Endless) {}
    fn is_void(&self) -> bool {
        false
    }
}

/// Runs `f` with exactly `threads` threads (at least 1), or with all there are for `None`.
/// Falls back to the shared pool where the system refuses more threads.
pub fn with_threads<R: Send>(threads: Option<usize>, f: impl FnOnce() -> R + Send) -> R {
    let pool =
        threads.and_then(|n| rayon::ThreadPoolBuilder::new().num_threads(n.max(1)).build().ok());
    match pool {
        Some(pool) => pool.install(f),
        None => f(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn results_come_in_order_at_any_thread_count() {
        let items: Vec<u64> = (0..1000).collect();
        for threads in [1, 2, 8] {
            let squares = with_threads(Some(threads), || in_order(&items, |x| x * x, &|| ()));
            assert!(squares.iter().enumerate().all(|(i, &s)| s == (i * i) as u64));
        }
    }
}
