//! News: whoever watches a day is woken when something was written, and then reads what is new from the store.
//!
//! Nothing is carried in the wake-up itself, so nothing can be missed: a watcher knows the number of the last entry it
//! has, and asks the store for what came after. A screen that was away asks the same way.

use std::sync::Arc;
use tokio::sync::watch;

/// Wakes watchers.
#[derive(Debug, Clone)]
pub struct Live {
    sender: Arc<watch::Sender<u64>>,
}

impl Default for Live {
    fn default() -> Self {
        Self { sender: Arc::new(watch::Sender::new(0)) }
    }
}

impl Live {
    /// Something was written.
    pub fn wake(&self) {
        self.sender.send_modify(|count| *count = count.wrapping_add(1));
    }

    /// How many watch.
    #[must_use]
    pub fn watchers(&self) -> usize {
        self.sender.receiver_count()
    }

    /// Waits for news from now on.
    #[must_use]
    pub fn watch(&self) -> watch::Receiver<u64> {
        self.sender.subscribe()
    }
}
