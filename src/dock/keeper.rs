//! The one thread that writes. Buckets that wait at the same moment are kept
//! in one writing, so that one disk write serves them all.

use std::sync::mpsc::{Receiver, Sender, channel};
use std::thread::JoinHandle;

use tokio::sync::oneshot;

use crate::acts::{ActError, Dock, FarmSettings, Sent, Tables, Welcomed, settings, weigh_in_sent};
use crate::daybook::Daybook;

use super::clock::Clock;

/// Most buckets of one writing.
const TOGETHER_MOST: usize = 64;

type Act = Box<dyn FnOnce(&mut Daybook, &FarmSettings, &Tables) + Send>;
type WeighAnswer = oneshot::Sender<Result<Welcomed, ActError>>;

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
    /// The act was refused.
    Refused(Box<ActError>),
    /// The writing thread is gone: the program is stopping.
    Stopping,
}

impl From<ActError> for Unkept {
    fn from(error: ActError) -> Self {
        Self::Refused(Box::new(error))
    }
}

impl Keeper {
    /// Starts the thread. It ends, and folds the book's last pages in, when
    /// every handle is gone.
    pub(super) fn start(
        book: Daybook,
        tables: std::sync::Arc<Tables>,
        clock: Clock,
    ) -> (Self, JoinHandle<Result<(), ActError>>) {
        let (jobs, waiting) = channel();
        let thread = std::thread::spawn(move || keep(book, &tables, clock, &waiting));
        (Self { jobs }, thread)
    }

    /// Weighs a bucket in.
    pub(super) async fn weigh(&self, sent: Sent) -> Result<Welcomed, Unkept> {
        let (answer, answered) = oneshot::channel();
        self.jobs
            .send(Job::Weigh(Box::new(sent), answer))
            .map_err(|_| Unkept::Stopping)?;
        Ok(answered.await.map_err(|_| Unkept::Stopping)??)
    }

    /// Does another act that writes.
    pub(super) async fn act<T: Send + 'static>(
        &self,
        act: impl FnOnce(&mut Daybook, &FarmSettings, &Tables) -> Result<T, ActError> + Send + 'static,
    ) -> Result<T, Unkept> {
        let (answer, answered) = oneshot::channel();
        let act: Act = Box::new(move |book, farm, tables| {
            // Whoever asked may have gone; what was kept stays kept.
            let _gone = answer.send(act(book, farm, tables));
        });
        self.jobs
            .send(Job::Act(act))
            .map_err(|_| Unkept::Stopping)?;
        Ok(answered.await.map_err(|_| Unkept::Stopping)??)
    }
}

fn keep(
    mut book: Daybook,
    tables: &Tables,
    clock: Clock,
    waiting: &Receiver<Job>,
) -> Result<(), ActError> {
    let mut next = waiting.recv().ok();
    while let Some(job) = next.take() {
        match job {
            Job::Act(act) => {
                // Without settings the answer's sender is dropped, which is told as stopping.
                if let Ok(farm) = settings(&book) {
                    act(&mut book, &farm, tables);
                }
            }
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
            next = waiting.recv().ok();
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
    match weigh_together(book, tables, clock, buckets) {
        Ok(told) => {
            for (answer, told) in answers.into_iter().zip(told) {
                let _gone = answer.send(told);
            }
        }
        // One that breaks off undoes all of a writing; alone, each gets its own answer.
        Err(_) if buckets.len() > 1 => {
            for (bucket, answer) in buckets.iter().zip(answers) {
                let told = weigh_together(book, tables, clock, std::slice::from_ref(bucket))
                    .and_then(|mut told| told.remove(0));
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
) -> Result<Vec<Result<Welcomed, ActError>>, ActError> {
    let farm = settings(book)?;
    let dock = Dock::open(book, &farm, tables)?;
    weigh_in_sent(book, &dock, buckets, clock.now())
}
