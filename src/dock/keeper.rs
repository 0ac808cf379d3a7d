//! The one thread that writes. Buckets that wait at the same moment are kept
//! in one writing, so that one disk write serves them all. A job that panics
//! takes nothing with it: what it wrote is undone, who asked is told, and the
//! next job goes on. Should the thread end for another reason, the program
//! stops: it is never there without a writer.

use std::any::Any;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::mpsc::{Receiver, RecvTimeoutError, Sender, channel};
use std::thread::JoinHandle;
use std::time::Duration;

use tokio::sync::oneshot;

use crate::acts::{
    ActError, Dock, FarmSettings, Result, Sent, Tables, Welcomed, settings, weigh_in_sent,
};
use crate::daybook::Daybook;

use super::clock::Clock;

const TOGETHER_MOST: usize = 64;
/// Writings after which the pages beside the book are folded into it, and the
/// time without any after which they are too: a copy of the file alone, or a
/// lost file beside it, costs no more than that.
const UNFOLDED_MOST: u32 = 24;
const IDLE: Duration = Duration::from_secs(2);

type Act = Box<dyn FnOnce(&mut Daybook, &Tables) + Send>;
type WeighAnswer = oneshot::Sender<Result<Welcomed, Unkept>>;

enum Job {
    Weigh(Box<Sent>, WeighAnswer),
    Act(Act),
}

/// Where work for the writing thread is handed in.
#[derive(Debug, Clone)]
pub(super) struct Keeper {
    jobs: Sender<Job>,
}

/// Why there is no answer.
#[derive(Debug)]
pub(super) enum Unkept {
    Refused(Box<ActError>),
    /// A text that is no reading, in the words of whoever read it.
    NoReading(String),
    /// A fault of the program's own, in its words; nothing was kept.
    Broke(String),
    /// The writing thread is gone: the program is stopping.
    Stopping,
}

impl From<ActError> for Unkept {
    fn from(error: ActError) -> Self {
        Self::Refused(Box::new(error))
    }
}

impl Unkept {
    pub(super) fn broke(fault: &(dyn Any + Send)) -> Self {
        let said = (fault.downcast_ref::<&str>().map(ToString::to_string))
            .or_else(|| fault.downcast_ref::<String>().cloned());
        Self::Broke(said.unwrap_or_else(|| "no words were left of it".to_owned()))
    }
}

/// Runs a job that may break; a writing it had begun is undone.
fn caught<T>(job: impl FnOnce() -> Result<T>) -> Result<T, Unkept> {
    match catch_unwind(AssertUnwindSafe(job)) {
        Ok(done) => Ok(done?),
        Err(fault) => Err(Unkept::broke(&*fault)),
    }
}

impl Keeper {
    /// Starts the thread. It ends, and folds the book's last pages in, when
    /// every handle is gone. The receiver hears when it ends.
    pub(super) fn start(
        book: Daybook,
        tables: std::sync::Arc<Tables>,
        clock: Clock,
    ) -> (Self, JoinHandle<Result<()>>, oneshot::Receiver<()>) {
        let (jobs, waiting) = channel();
        let (alive, ended) = oneshot::channel();
        let thread = std::thread::spawn(move || {
            // Dropped when the thread ends, however it does.
            let _alive: oneshot::Sender<()> = alive;
            keep(book, &tables, clock, &waiting)
        });
        (Self { jobs }, thread, ended)
    }

    pub(super) async fn weigh(&self, sent: Sent) -> Result<Welcomed, Unkept> {
        let job = |answer| Job::Weigh(Box::new(sent), answer);
        self.answered(job).await
    }

    /// Hands a job in and waits for its answer.
    async fn answered<T>(
        &self,
        job: impl FnOnce(oneshot::Sender<Result<T, Unkept>>) -> Job,
    ) -> Result<T, Unkept> {
        let (answer, answered) = oneshot::channel();
        let handed_in = self.jobs.send(job(answer));
        handed_in.map_err(|_| Unkept::Stopping)?;
        answered.await.map_err(|_| Unkept::Stopping)?
    }

    pub(super) async fn act<T: Send + 'static>(
        &self,
        act: impl FnOnce(&mut Daybook, &FarmSettings, &Tables) -> Result<T> + Send + 'static,
    ) -> Result<T, Unkept> {
        let job = |answer: oneshot::Sender<_>| {
            Job::Act(Box::new(move |book, tables| {
                let done = caught(|| {
                    let farm = settings(book)?;
                    let tables = tables.with_streams_of(book)?;
                    act(book, &farm, &tables)
                });
                // Whoever asked may have gone; what was kept stays kept.
                let _gone = answer.send(done);
            }))
        };
        self.answered(job).await
    }
}

/// The next job; while none comes, what was written is folded in.
fn next_job(book: &Daybook, waiting: &Receiver<Job>) -> Option<Job> {
    loop {
        match waiting.recv_timeout(IDLE) {
            Ok(job) => return Some(job),
            Err(RecvTimeoutError::Timeout) => book.fold_in(),
            Err(RecvTimeoutError::Disconnected) => return None,
        }
    }
}

fn keep(mut book: Daybook, tables: &Tables, clock: Clock, waiting: &Receiver<Job>) -> Result<()> {
    let mut unfolded = 0;
    let mut next = next_job(&book, waiting);
    while let Some(job) = next.take() {
        unfolded += 1;
        if unfolded > UNFOLDED_MOST {
            book.fold_in();
            unfolded = 1;
        }
        match job {
            Job::Act(act) => act(&mut book, tables),
            Job::Weigh(sent, answer) => {
                let mut buckets = vec![*sent];
                let mut answers = vec![answer];
                while buckets.len() < TOGETHER_MOST {
                    match waiting.try_recv() {
                        Ok(Job::Weigh(sent, answer)) => {
                            buckets.push(*sent);
                            answers.push(answer);
                        }
                        other => {
                            next = other.ok();
                            break;
                        }
                    }
                }
                weigh_all(&mut book, tables, clock, &buckets, answers);
            }
        }
        if next.is_none() {
            next = next_job(&book, waiting);
        }
    }
    Ok(book.close()?)
}

fn weigh_all(
    book: &mut Daybook,
    tables: &Tables,
    clock: Clock,
    buckets: &[Sent],
    answers: Vec<WeighAnswer>,
) {
    match caught(|| weigh_together(book, tables, clock, buckets)) {
        Ok(told) => {
            for (answer, told) in answers.into_iter().zip(told) {
                let _gone = answer.send(told.map_err(Unkept::from));
            }
        }
        // One that breaks off undoes all of a writing; alone, each gets its own answer.
        Err(_) if buckets.len() > 1 => {
            for (bucket, answer) in buckets.iter().zip(answers) {
                let alone = std::slice::from_ref(bucket);
                let told = caught(|| weigh_together(book, tables, clock, alone)?.remove(0));
                let _gone = answer.send(told);
            }
        }
        Err(error) => {
            if let Some(answer) = answers.into_iter().next() {
                let _gone = answer.send(Err(error));
            }
        }
    }
}

fn weigh_together(
    book: &mut Daybook,
    tables: &Tables,
    clock: Clock,
    buckets: &[Sent],
) -> Result<Vec<Result<Welcomed, ActError>>> {
    let farm = settings(book)?;
    let tables = tables.with_streams_of(book)?;
    let dock = Dock::open(book, &farm, &tables)?;
    weigh_in_sent(book, &dock, buckets, clock.now())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::acts::{Asked, FarmAsked, FarmSaid, TableFiles, add_container, begin};
    use crate::daybook::Chosen;
    use crate::quantity::Reader;

    fn book(folder: &std::path::Path) -> Daybook {
        let text = |text: &str| text.to_owned();
        let farm = FarmAsked {
            zone: text("UTC"),
            unit: text("kg"),
            division: text("0.1"),
            currency: text("EUR"),
            region: text("eu"),
            larvae_for: text("not-feed"),
            said: FarmSaid::default(),
            chosen: Chosen::default(),
        };
        begin(&folder.join("farm.daybook"), &farm, &asked("begin")).expect("a book")
    }

    fn asked(id: &str) -> Asked {
        let now = "2026-03-01T12:00:00Z".parse().expect("an instant");
        Asked {
            id: id.to_owned(),
            at: now,
            by: "AB".to_owned(),
            now,
            sure: false,
        }
    }

    /// One job panics in the midst of a writing; the next ones are kept.
    #[test]
    fn a_job_that_panics_is_told_and_the_writer_goes_on() {
        let folder = tempfile::tempdir().expect("a folder");
        let tables = Tables::load(TableFiles::default()).expect("tables");
        let (keeper, thread, ended) =
            Keeper::start(book(folder.path()), tables.into(), Clock::default());
        let runtime = tokio::runtime::Builder::new_current_thread().build();
        let pail = |book: &mut Daybook, id: &str| {
            let tare = Reader::PLAIN.weight("1 kg").expect("a weight");
            add_container(book, id, &tare, None, &asked(id))
        };
        runtime.expect("a runtime").block_on(async {
            let broke = keeper.act(move |book, _, _| {
                book.write(asked("slip").now, |writing| -> Result<()> {
                    let kept = writing.record(1)?.expect("settings").record.content;
                    let mut slip = kept.clone();
                    slip.id = "slip".to_owned();
                    writing.append(&slip)?;
                    panic!("a slip of the program")
                })
            });
            match broke.await {
                Err(Unkept::Broke(said)) => assert_eq!(said, "a slip of the program"),
                other => panic!("{other:?}"),
            }
            keeper
                .act(move |book, _, _| pail(book, "pail"))
                .await
                .expect("goes on");
            let kept = keeper.act(|book, _, _| Ok((book.seal()?.seq, book.check(None)?)));
            let (seal, report) = kept.await.expect("goes on");
            assert!(report.is_whole() && seal == 2, "{report:?}");
            drop(keeper);
            ended.await.expect_err("ends with its last handle");
        });
        thread.join().expect("no panic").expect("closes");
    }
}
