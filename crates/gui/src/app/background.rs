//! Work off the interface thread: named, with progress and cancel, its result tagged with what it was made from.
//!
//! Each kind of derived result has one [`Background`]. Asking for it with a new key cancels the work on an older key;
//! the last finished result stays, so that a screen can show it as stale until the new one is there.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicU32, Ordering};
use std::sync::mpsc::{Receiver, TryRecvError, channel};

/// How far a piece of work is, and whether it should stop. Shared between the worker and the window.
#[derive(Clone)]
pub struct Watch {
    stop: Arc<AtomicBool>,
    per_mille: Arc<AtomicU32>,
    repaint: egui::Context,
}

impl std::fmt::Debug for Watch {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Watch")
            .field("share", &self.share())
            .field("is_stopped", &self.is_stopped())
            .finish()
    }
}

impl Watch {
    fn new(repaint: egui::Context) -> Self {
        Self {
            stop: Arc::default(),
            per_mille: Arc::default(),
            repaint,
        }
    }

    /// True once the work should end.
    pub fn is_stopped(&self) -> bool {
        self.stop.load(Ordering::Relaxed)
    }

    /// The flag itself, for searches that take one.
    pub fn stop_flag(&self) -> &AtomicBool {
        &self.stop
    }

    /// Tells how much is done, 0 to 1.
    pub fn report(&self, share: f64) {
        // In range by the clamp.
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "clamped to 0..=1000"
        )]
        let per_mille = (share.clamp(0.0, 1.0) * 1000.0) as u32;
        if self.per_mille.swap(per_mille, Ordering::Relaxed) != per_mille {
            self.repaint
                .request_repaint_after(std::time::Duration::from_millis(50));
        }
    }

    /// How much is done, 0 to 1.
    pub fn share(&self) -> f64 {
        f64::from(self.per_mille.load(Ordering::Relaxed)) / 1000.0
    }
}

struct Running<K, T> {
    key: K,
    watch: Watch,
    result: Receiver<T>,
}

/// One kind of derived result.
pub struct Background<K, T> {
    name: &'static str,
    running: Option<Running<K, T>>,
    finished: Option<(K, T)>,
    failed: Option<K>,
}

impl<K: std::fmt::Debug, T> std::fmt::Debug for Background<K, T> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Background")
            .field("name", &self.name)
            .finish_non_exhaustive()
    }
}

/// What there is of a result.
#[derive(Debug)]
pub enum Available<'a, T> {
    /// It belongs to the present inputs.
    Fresh(&'a T),
    /// It belongs to earlier inputs; a new one is on its way.
    Stale(&'a T),
    /// There is none yet.
    Nothing,
}

impl<'a, T> Available<'a, T> {
    /// The result, fresh or stale.
    pub const fn any(self) -> Option<&'a T> {
        match self {
            Self::Fresh(result) | Self::Stale(result) => Some(result),
            Self::Nothing => None,
        }
    }
}

impl<K: Clone + PartialEq + Send + 'static, T: Send + 'static> Background<K, T> {
    /// Nothing asked for yet. The name appears in messages and as the thread's name.
    pub const fn new(name: &'static str) -> Self {
        Self {
            name,
            running: None,
            finished: None,
            failed: None,
        }
    }

    /// Asks for the result of a key. Work on it is started unless it is there, under way, or has failed.
    pub fn ask(
        &mut self,
        key: K,
        ctx: &egui::Context,
        work: impl FnOnce(&Watch) -> T + Send + 'static,
    ) {
        self.poll();
        let is_there = self.finished.as_ref().is_some_and(|(done, _)| *done == key);
        let is_under_way = self
            .running
            .as_ref()
            .is_some_and(|running| running.key == key);
        if is_there || is_under_way || self.failed.as_ref() == Some(&key) {
            return;
        }
        self.cancel();
        let watch = Watch::new(ctx.clone());
        let (sender, result) = channel();
        let worker_watch = watch.clone();
        let spawned = std::thread::Builder::new()
            .name(self.name.to_owned())
            .spawn(move || {
                let made = work(&worker_watch);
                if !worker_watch.is_stopped() && sender.send(made).is_ok() {
                    worker_watch.repaint.request_repaint();
                }
            });
        match spawned {
            Ok(_) => self.running = Some(Running { key, watch, result }),
            Err(error) => {
                log::error!("\"{}\" could not be started: {error}", self.name);
                self.failed = Some(key);
            }
        }
    }

    /// Takes in a result that has arrived; true if one has.
    pub fn poll(&mut self) -> bool {
        let Some(running) = &self.running else {
            return false;
        };
        match running.result.try_recv() {
            Ok(result) => {
                if let Some(running) = self.running.take() {
                    self.finished = Some((running.key, result));
                }
                true
            }
            Err(TryRecvError::Empty) => false,
            Err(TryRecvError::Disconnected) => {
                if let Some(running) = self.running.take()
                    && !running.watch.is_stopped()
                {
                    log::error!("\"{}\" ended without a result", self.name);
                    self.failed = Some(running.key);
                }
                false
            }
        }
    }

    /// What there is for a key.
    pub fn get(&self, key: &K) -> Available<'_, T> {
        match &self.finished {
            Some((done, result)) if done == key => Available::Fresh(result),
            Some((_, result)) => Available::Stale(result),
            None => Available::Nothing,
        }
    }

    /// Takes the finished result of a key out.
    pub fn take(&mut self, key: &K) -> Option<T> {
        let is_there = self.finished.as_ref().is_some_and(|(done, _)| done == key);
        if is_there {
            self.finished.take().map(|(_, result)| result)
        } else {
            None
        }
    }

    /// Share done of the work under way.
    pub fn share(&self) -> Option<f64> {
        self.running.as_ref().map(|running| running.watch.share())
    }

    /// Name of this kind of work.
    pub const fn name(&self) -> &'static str {
        self.name
    }

    /// Tells the work under way to end; its result is dropped.
    pub fn cancel(&mut self) {
        if let Some(running) = self.running.take() {
            running.watch.stop.store(true, Ordering::Relaxed);
        }
    }

    /// Drops everything.
    pub fn clear(&mut self) {
        self.cancel();
        self.finished = None;
        self.failed = None;
    }
}

impl<K, T> Drop for Background<K, T> {
    fn drop(&mut self) {
        if let Some(running) = &self.running {
            running.watch.stop.store(true, Ordering::Relaxed);
        }
    }
}
