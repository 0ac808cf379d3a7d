use std::cmp::Reverse;
use std::collections::HashMap;
use std::future::Future;
use std::net::{IpAddr, SocketAddr};
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::{Arc, Mutex};
use std::time::{Duration, Instant};

use axum::Router;
use axum::body::Body;
use hyper::body::Incoming;
use hyper::server::conn::http1;
use hyper::service::service_fn;
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::server::graceful::{GracefulShutdown, Watcher};
use tokio::io::{AsyncRead, AsyncWrite};
use tokio::net::{TcpListener, TcpStream};
use tokio::task::AbortHandle;
use tower::ServiceExt;

use crate::acts::{ActError, Tables, settings};
use crate::daybook::Daybook;
use crate::quantity::Units;
use crate::scale::{Port, follow};
use crate::words::{Said, say};

use super::app::{App, CameBy, LastRead, Shared};
use super::clock::Clock;
use super::guard::with_port;
use super::keeper::Keeper;
use super::live::{watch, watch_scales};
use super::router::router;
use super::scales::Scales;
use super::session::{Pins, Sessions};
use super::tls::Tls;

/// A header that is not whole by then ends its connection; an idle one too, and
/// one that has not agreed on TLS.
const HEADER_MOST: Duration = Duration::from_secs(5);
/// Connections open at once. Beyond it the one that has been idle longest ends,
/// of the address that has most: whoever opens many ends their own.
const CONNECTIONS_MOST: usize = 256;
/// After a failed accept (no file handles left), a breath.
const BREATH: Duration = Duration::from_millis(50);
/// The longest that a stop waits for requests under way.
const STOP_MOST: Duration = Duration::from_secs(12);

/// What the dock page is started with.
#[derive(Debug)]
pub struct DockAsked {
    /// Where to listen; port 0 takes any.
    pub listen: SocketAddr,
    /// Host names it answers to besides its own addresses, with their port or the usual one.
    pub hosts: Vec<String>,
    /// One must be there when it listens beyond this machine.
    pub pins: Pins,
    pub tls: Option<Tls>,
    pub book: Daybook,
    pub tables: Tables,
    /// Who is taken for an entry that names no one.
    pub by: String,
    pub clock: Clock,
    /// How long a page waits for a mix.
    pub mix_seconds: u16,
    /// Scales on a wire.
    pub scales: Vec<Port>,
}

#[derive(Debug, thiserror::Error)]
#[error("{}", self.said().in_english())]
pub enum DockError {
    Listen {
        listen: SocketAddr,
        source: std::io::Error,
    },
    /// It would be open to the network without a PIN.
    NoPin {
        listen: SocketAddr,
    },
    Machine(Said),
    #[error(transparent)]
    Book(#[from] ActError),
}

impl DockError {
    pub fn said(&self) -> Said {
        match self {
            Self::Listen { listen, .. } => say!("dock-not-listened", listen),
            Self::NoPin { listen } => say!("dock-needs-pin", listen),
            Self::Machine(why) => say!("dock-not-started", why),
            Self::Book(error) => error.said(),
        }
    }
}

/// Serves the page until the program is told to stop (Ctrl-C or SIGTERM).
/// Then no one new is let in, what is under way is finished, and the book is
/// closed. `started` hears the address.
pub fn serve(asked: DockAsked, started: impl FnOnce(SocketAddr)) -> Result<(), DockError> {
    if !asked.listen.ip().is_loopback() && asked.pins.are_none() {
        return Err(DockError::NoPin {
            listen: asked.listen,
        });
    }
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .enable_all()
        .build()
        .map_err(|error| DockError::Machine(error.into()))?;
    runtime.block_on(run(asked, started))
}

async fn run(asked: DockAsked, started: impl FnOnce(SocketAddr)) -> Result<(), DockError> {
    let listen = asked.listen;
    let refused = |source| DockError::Listen { listen, source };
    let listener = TcpListener::bind(listen).await.map_err(refused)?;
    let at = listener.local_addr().map_err(refused)?;
    // Before the page is announced, so that a stop right after is heard.
    let stop = told_to_stop().map_err(|error| DockError::Machine(error.into()))?;
    let mut hosts: Vec<String> = (asked.hosts.iter())
        .map(|host| with_port(host, asked.tls.is_some()))
        .collect();
    hosts.push(format!("localhost:{}", at.port()));
    let path = asked.book.path().to_owned();
    let place = Arc::clone(asked.book.place());
    let tables = Arc::new(asked.tables);
    let farm = settings(&asked.book)?;
    let scales = followed(asked.scales, farm.units)?;
    let (keeper, thread, ended) = Keeper::start(asked.book, Arc::clone(&tables), asked.clock);
    let (heard, grown) = tokio::sync::watch::channel(0);
    let (showed, weights) = tokio::sync::watch::channel(Vec::new());
    let app = App {
        keeper,
        shared: Arc::new(Shared {
            book: path,
            place,
            tables,
            clock: asked.clock,
            mix_seconds: asked.mix_seconds,
            by: asked.by,
            sessions: Sessions::new(asked.pins).map_err(DockError::Machine)?,
            // Cookies don't know ports: two farms on one machine must not share one.
            cookie: format!("trayful-{}", at.port()),
            hosts,
            tls: asked.tls,
            grown,
            scales,
            last_read: Mutex::new(LastRead {
                language: farm.chosen.language,
                ..LastRead::default()
            }),
            weights,
            ticked: tokio::sync::watch::Sender::default(),
            sheets: Mutex::default(),
            planned: Mutex::default(),
        }),
    };
    started(at);
    let mut watching = vec![tokio::spawn(watch(app.clone(), heard))];
    if !app.shared.scales.are_none() {
        watching.push(tokio::spawn(watch_scales(app.clone(), showed)));
    }
    let stop = async {
        tokio::select! {
            () = stop => {}
            // Without a writer there is nothing to serve.
            _ = ended => {}
        }
        watching.iter().for_each(tokio::task::JoinHandle::abort);
    };
    let tls = app.shared.tls.clone();
    let_in(listener, tls, router(app), stop).await;
    // The last handle is gone, so the thread finishes its work and closes the book.
    let closed = tokio::task::spawn_blocking(move || thread.join()).await;
    match closed {
        Ok(Ok(closed)) => Ok(closed?),
        _ => Err(DockError::Machine(say!("dock-broke-off"))),
    }
}

fn followed(ports: Vec<Port>, units: Units) -> Result<Scales, DockError> {
    let one = |port: Port| Ok((port.name.clone(), follow(port, units.unit())?));
    let all: Result<_, Said> = ports.into_iter().map(one).collect();
    Ok(Scales::of(all.map_err(DockError::Machine)?, units.form))
}

/// Our own loop, for the one thing the stock one lacks: a limit on the time a
/// header may take.
async fn let_in(
    listener: TcpListener,
    tls: Option<Tls>,
    router: Router,
    stop: impl Future<Output = ()>,
) {
    let mut stop = std::pin::pin!(stop);
    let graceful = GracefulShutdown::new();
    let mut open = Connections::default();
    loop {
        let accepted = tokio::select! {
            accepted = listener.accept() => accepted,
            () = &mut stop => break,
        };
        let Ok((stream, from)) = accepted else {
            tokio::time::sleep(BREATH).await;
            continue;
        };
        let Ok(by) = stream.local_addr() else {
            continue;
        };
        let bare = false;
        let came = CameBy { by, from, bare };
        let answered = open.clock();
        let speaks = Speaks {
            router: router.clone(),
            graceful: graceful.watcher(),
            done: Arc::clone(&answered),
            began: open.began,
        };
        let tls = tls.clone();
        let task = tokio::spawn(async move {
            // A connection that breaks off concerns the other side only.
            let _ended = match tls {
                None => speaks.over(stream, came).await,
                Some(tls) => speaks.over_tls(stream, came, &tls).await,
            };
        });
        open.add(from.ip(), answered, task.abort_handle());
    }
    drop(listener);
    drop(router);
    tokio::select! {
        () = graceful.shutdown() => {}
        () = tokio::time::sleep(STOP_MOST) => {}
    }
}

/// What one connection is answered with.
struct Speaks {
    router: Router,
    graceful: Watcher,
    done: Arc<AtomicU64>,
    began: Instant,
}

impl Speaks {
    async fn over_tls(self, stream: TcpStream, mut came: CameBy, tls: &Tls) -> Option<()> {
        /// The first byte of a handshake (RFC 8446, section 5.1).
        const HANDSHAKE: u8 = 22;
        let mut first = [HANDSHAKE];
        let agreed = async {
            stream.peek(&mut first).await?;
            came.bare = first[0] != HANDSHAKE;
            Ok::<_, std::io::Error>(if came.bare {
                Err(stream)
            } else {
                Ok(tls.acceptor.accept(stream).await?)
            })
        };
        match tokio::time::timeout(HEADER_MOST, agreed).await.ok()?.ok()? {
            Ok(stream) => self.over(stream, came).await,
            Err(stream) => self.over(stream, came).await,
        }
    }

    async fn over<S>(self, stream: S, came: CameBy) -> Option<()>
    where
        S: AsyncRead + AsyncWrite + Unpin + Send + 'static,
    {
        let Self {
            router,
            done,
            began,
            ..
        } = self;
        let service = service_fn(move |request: hyper::Request<Incoming>| {
            let mut request = request.map(Body::new);
            request.extensions_mut().insert(came);
            let (answer, done) = (router.clone().oneshot(request), Arc::clone(&done));
            async move {
                let answer = answer.await;
                done.store(millis(began), Ordering::Relaxed);
                answer
            }
        });
        let connection = http1::Builder::new()
            .timer(TokioTimer::new())
            .header_read_timeout(HEADER_MOST)
            .serve_connection(TokioIo::new(stream), service);
        self.graceful.watch(connection).await.ok()
    }
}

/// The connections that are open.
struct Connections {
    began: Instant,
    all: Vec<Connection>,
}

struct Connection {
    from: IpAddr,
    /// When it was last answered, or began.
    answered: Arc<AtomicU64>,
    task: AbortHandle,
}

impl Default for Connections {
    fn default() -> Self {
        Self {
            began: Instant::now(),
            all: Vec::new(),
        }
    }
}

fn millis(began: Instant) -> u64 {
    u64::try_from(began.elapsed().as_millis()).unwrap_or(u64::MAX)
}

impl Connections {
    fn clock(&self) -> Arc<AtomicU64> {
        Arc::new(AtomicU64::new(millis(self.began)))
    }

    fn add(&mut self, from: IpAddr, answered: Arc<AtomicU64>, task: AbortHandle) {
        self.all.retain(|one| !one.task.is_finished());
        self.all.push(Connection {
            from,
            answered,
            task,
        });
        if self.all.len() > CONNECTIONS_MOST {
            let mut by_address: HashMap<IpAddr, usize> = HashMap::new();
            for one in &self.all {
                *by_address.entry(one.from).or_default() += 1;
            }
            let idle = |one: &&Connection| {
                let many = by_address.get(&one.from).copied().unwrap_or(0);
                (Reverse(many), one.answered.load(Ordering::Relaxed))
            };
            if let Some(victim) = self.all.iter().min_by_key(idle) {
                victim.task.abort();
            }
        }
    }
}

#[cfg(unix)]
fn told_to_stop() -> std::io::Result<impl Future<Output = ()>> {
    use tokio::signal::unix::{SignalKind, signal};
    let mut interrupt = signal(SignalKind::interrupt())?;
    let mut terminate = signal(SignalKind::terminate())?;
    Ok(async move {
        tokio::select! {
            _ = interrupt.recv() => {}
            _ = terminate.recv() => {}
        }
    })
}

#[cfg(not(unix))]
fn told_to_stop() -> std::io::Result<impl Future<Output = ()>> {
    Ok(async {
        let _interrupt = tokio::signal::ctrl_c().await;
    })
}
