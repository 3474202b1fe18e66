//! Asking for a file: the desktop's dialog where there is one, else a path typed into a field of ours.
//!
//! The desktop's dialog returns at once, exactly as after Cancel, where no dialog service runs. An answer that comes
//! back within `NO_SERVICE` therefore opens the typed field instead.

use std::path::PathBuf;
use std::sync::mpsc::{Receiver, TryRecvError, channel};
use std::time::{Duration, Instant};

/// Nobody cancels a dialog this fast. Chosen by trial: without a service the answer comes in a few milliseconds.
const NO_SERVICE: Duration = Duration::from_millis(200);

/// What the file is for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FileQuestion {
    /// Title of the dialog.
    pub title: &'static str,
    /// Words for the kind of file.
    pub kind: &'static str,
    /// Endings that fit, without the dot.
    pub endings: &'static [&'static str],
    /// True to save, false to open.
    pub is_save: bool,
    /// Name offered.
    pub suggested: String,
}

/// What came of asking.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum FileAnswer {
    /// A file was chosen.
    Chosen(PathBuf),
    /// The person changed their mind.
    Cancelled,
    /// There is no dialog service; ask by a field.
    NoService,
}

/// Something that can ask for a file without blocking.
pub trait FilePicker {
    /// Starts asking; one question at a time.
    fn ask(&mut self, question: &FileQuestion, ctx: &egui::Context);
    /// The answer, once there is one.
    fn poll(&mut self) -> Option<FileAnswer>;
}

/// The desktop's own dialog, on a thread of its own.
#[derive(Debug, Default)]
pub struct DesktopPicker {
    waiting: Option<(Receiver<Option<PathBuf>>, Instant)>,
}

impl FilePicker for DesktopPicker {
    fn ask(&mut self, question: &FileQuestion, ctx: &egui::Context) {
        let (sender, receiver) = channel();
        let question = question.clone();
        let ctx = ctx.clone();
        let spawned = std::thread::Builder::new()
            .name("file dialog".to_owned())
            .spawn(move || {
                let dialog = rfd::FileDialog::new()
                    .set_title(question.title)
                    .add_filter(question.kind, question.endings)
                    .set_file_name(&question.suggested);
                let answer = if question.is_save {
                    dialog.save_file()
                } else {
                    dialog.pick_file()
                };
                if sender.send(answer).is_ok() {
                    ctx.request_repaint();
                }
            });
        match spawned {
            Ok(_) => self.waiting = Some((receiver, Instant::now())),
            Err(error) => log::error!("the file dialog could not be started: {error}"),
        }
    }

    fn poll(&mut self) -> Option<FileAnswer> {
        let (receiver, started) = self.waiting.as_ref()?;
        let answer = match receiver.try_recv() {
            Ok(Some(path)) => FileAnswer::Chosen(path),
            Ok(None) if started.elapsed() < NO_SERVICE => FileAnswer::NoService,
            Ok(None) => FileAnswer::Cancelled,
            Err(TryRecvError::Empty) => return None,
            Err(TryRecvError::Disconnected) => FileAnswer::NoService,
        };
        self.waiting = None;
        Some(answer)
    }
}
