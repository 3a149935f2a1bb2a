//! Serves the pages: to this computer alone, and the shared handouts to the class when asked to.

use std::collections::BTreeMap;
use std::net::{IpAddr, Ipv4Addr, SocketAddr};
use std::path::PathBuf;
use std::sync::Arc;
use std::time::Duration;

use anyhow::Context;
use axum::Router;
use axum::body::{Body, to_bytes};
use axum::extract::{FromRequest, Multipart, Request, State};
use axum::http::{HeaderMap, HeaderValue, Method, StatusCode, header};
use axum::response::Response;
use tokio::net::TcpListener;
use tokio::sync::Semaphore;

use crate::ask::{Answer, Ask, Fields, Has, Verb};
use crate::class;
use crate::keep::Keep;
use crate::pages;
use crate::room::{Class, Room};

/// How the workroom is started.
#[derive(Clone, Debug)]
pub struct Settings {
    /// The port on this computer; 0 takes one that is free.
    pub port: u16,
    /// The folder in which everything is kept; the user's data folder if there is none.
    pub data: Option<PathBuf>,
    /// Whether the browser is opened.
    pub browser: bool,
    /// Where the class's tablets may read shared handouts; nowhere if there is none.
    pub listen: Option<SocketAddr>,
    /// The word of entry for the class; one is made up if there is none.
    pub word: Option<String>,
}

/// What the pages of the workroom may load: what this server sends, and no script or style within
/// the page.
const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; \
     connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'";

/// The longest that a request may take.
const LONGEST: Duration = Duration::from_secs(60);
/// The most bytes of a form.
const LARGEST_FORM: usize = 256 * 1024;
/// The most bytes of a form with a file.
const LARGEST_FILE: usize = 64 * 1024 * 1024;
/// How many requests are worked on at once; others wait.
const AT_ONCE: usize = 8;

/// What each request needs.
struct Served {
    room: Arc<Room>,
    /// The names under which the page may be asked for, with the port.
    hosts: Vec<String>,
    at_once: Semaphore,
    entry: Option<class::Entry>,
}

/// Serves until it is interrupted.
///
/// # Errors
/// When the data cannot be opened, or the port is taken.
pub fn run(settings: &Settings, say: impl Fn(&str)) -> anyhow::Result<()> {
    let folder = match &settings.data {
        Some(folder) => folder.clone(),
        None => usual_folder()?,
    };
    let keep = Keep::open(&folder)
        .with_context(|| format!("the workroom's data in {} cannot be opened", folder.display()))?;
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .worker_threads(2)
        .max_blocking_threads(AT_ONCE * 2)
        .enable_all()
        .build()?;
    runtime.block_on(serve(settings, keep, say))
}

/// The user's folder for data of programs.
fn usual_folder() -> anyhow::Result<PathBuf> {
    use etcetera::BaseStrategy as _;
    let places = etcetera::choose_base_strategy()
        .context("this user has no home folder; name one with --data DIR")?;
    Ok(places.data_dir().join("bagwright"))
}

async fn serve(settings: &Settings, keep: Keep, say: impl Fn(&str)) -> anyhow::Result<()> {
    let own = SocketAddr::new(IpAddr::V4(Ipv4Addr::LOCALHOST), settings.port);
    let listener = TcpListener::bind(own).await.with_context(|| {
        format!(
            "port {} is taken, perhaps by a workroom that is open already: look at http://{own}/, or name \
             another port with --port",
            own.port()
        )
    })?;
    let port = listener.local_addr()?.port();
    let classroom = match settings.listen {
        Some(address) => {
            let listener = TcpListener::bind(address)
                .await
                .with_context(|| format!("the class cannot be served at {address}"))?;
            let address = listener.local_addr()?;
            let word = match &settings.word {
                Some(word) => word.clone(),
                None => class::word()?,
            };
            Some((listener, Class { address: class::shown(address), word }))
        }
        None => None,
    };
    let class = classroom.as_ref().map(|(_, class)| class.clone());
    let room = Arc::new(Room::new(keep, class.clone()));
    let hosts = ["127.0.0.1", "localhost", "[::1]"].map(|name| format!("{name}:{port}")).to_vec();
    let served =
        Served { room: Arc::clone(&room), hosts, at_once: Semaphore::new(AT_ONCE), entry: None };
    let address = format!("http://127.0.0.1:{port}/");
    say(&format!("The workroom is open at {address}"));
    if let (Some((listener, _)), Some(class)) = (classroom, &class) {
        say(&format!(
            "The class reads shared handouts at {}, with the word {}",
            class.address, class.word
        ));
        let entry = class::Entry::new(&class.word)?;
        let served = Served {
            room: Arc::clone(&room),
            hosts: Vec::new(),
            at_once: Semaphore::new(AT_ONCE),
            entry: Some(entry),
        };
        tokio::spawn(async move { axum::serve(listener, router(served)).await });
    }
    say("Leave it with Ctrl-C; everything is kept as you go.");
    if settings.browser && open::that_detached(&address).is_err() {
        say("No browser could be opened; open the address yourself.");
    }
    axum::serve(listener, router(served))
        .with_graceful_shutdown(async {
            // Without a signal to wait for there is nothing to shut down by.
            let _ = tokio::signal::ctrl_c().await;
        })
        .await?;
    Ok(())
}

fn router(served: Served) -> Router {
    Router::new().fallback(handle).with_state(Arc::new(served))
}

/// One request, from its head to the answer: guarded, limited in size and time, worked on beside
/// others, and never the end of the server.
async fn handle(State(served): State<Arc<Served>>, request: Request) -> Response {
    let is_class = served.entry.is_some();
    let answer = match tokio::time::timeout(LONGEST, work(&served, request)).await {
        Ok(answer) => answer,
        Err(_) => fault(503, "this took too long and was stopped; nothing was lost. Try it again"),
    };
    respond(answer, is_class)
}

fn fault(status: u16, message: &str) -> Answer {
    Answer::fault(status, pages::fault_page(message))
}

async fn work(served: &Arc<Served>, request: Request) -> Answer {
    if let Some(refused) = refuse(served, request.method(), request.headers()) {
        return fault(403, refused);
    }
    let headers = request.headers().clone();
    let ask = match read(request).await {
        Ok(ask) => ask,
        Err((status, message)) => return fault(status, message),
    };
    let Ok(_permit) = served.at_once.acquire().await else {
        return fault(503, "the workroom is being closed");
    };
    let served = Arc::clone(served);
    let working = tokio::task::spawn_blocking(move || match &served.entry {
        Some(entry) => class::answer(&served.room, entry, &ask, &headers),
        None => pages::answer(&served.room, &ask),
    });
    match working.await {
        Ok(answer) => answer,
        Err(_) => fault(
            500,
            "this is a fault of bagwright itself, not of what you did. Everything that was kept is \
             still there; go back and try another way",
        ),
    }
}

/// Why a request is not answered: another site made the browser ask.
fn refuse(served: &Served, method: &Method, headers: &HeaderMap) -> Option<&'static str> {
    let text = |name: header::HeaderName| headers.get(name).and_then(|value| value.to_str().ok());
    let host = text(header::HOST).unwrap_or_default();
    let is_class = served.entry.is_some();
    // The class's tablets ask by whatever address this computer has in their network; there is
    // nothing to change there, and nothing to read without the word.
    if !is_class && !served.hosts.iter().any(|known| known == host) {
        return Some("this page answers only to its own address on this computer");
    }
    if matches!(*method, Method::GET | Method::HEAD) {
        return None;
    }
    if *method != Method::POST {
        return Some("this page is only looked at, or changed by its own forms");
    }
    let own = format!("http://{host}");
    let same_site =
        headers.get("sec-fetch-site").is_some_and(|site| site.as_bytes() == b"same-origin");
    match text(header::ORIGIN) {
        Some(origin) if origin == own => None,
        None if same_site => None,
        _ => Some("another site tried to change something here, which it may not"),
    }
}

type Refusal = (u16, &'static str);

/// Reads a request with its form, up to the size that it may have.
async fn read(request: Request) -> Result<Ask, Refusal> {
    const TOO_LARGE: Refusal = (413, "that is larger than what can be taken here");
    const NO_FORM: Refusal = (400, "that form cannot be read");
    let verb = if *request.method() == Method::POST { Verb::Post } else { Verb::Get };
    let path = segments(request.uri().path());
    let query = Fields::read(request.uri().query().unwrap_or_default().as_bytes());
    let has = request.headers().get("x-room").and_then(|has| has.to_str().ok());
    let parts = has.map(Has::read);
    let mut ask = Ask { verb, path, query, form: Fields::default(), files: BTreeMap::new(), parts };
    if verb == Verb::Get {
        return Ok(ask);
    }
    let media = request.headers().get(header::CONTENT_TYPE);
    let media = media.and_then(|media| media.to_str().ok()).unwrap_or_default();
    if !media.starts_with("multipart/form-data") {
        let bytes = to_bytes(request.into_body(), LARGEST_FORM).await.map_err(|_| TOO_LARGE)?;
        ask.form = Fields::read(&bytes);
        return Ok(ask);
    }
    // The body is cut off at the limit before anything reads it.
    let (head, body) = request.into_parts();
    let bytes = to_bytes(body, LARGEST_FILE).await.map_err(|_| TOO_LARGE)?;
    let request = Request::from_parts(head, Body::from(bytes));
    let mut fields = Multipart::from_request(request, &()).await.map_err(|_| NO_FORM)?;
    while let Some(field) = fields.next_field().await.map_err(|_| NO_FORM)? {
        let name = field.name().unwrap_or_default().to_owned();
        let is_file = field.file_name().is_some();
        let bytes = field.bytes().await.map_err(|_| NO_FORM)?;
        if is_file {
            ask.files.insert(name, bytes.to_vec());
        } else {
            ask.form.set(&name, String::from_utf8_lossy(&bytes).into_owned());
        }
    }
    Ok(ask)
}

/// A path in parts. Nothing in it is ever used as the path of a file.
fn segments(path: &str) -> Vec<String> {
    path.split('/').filter(|part| !part.is_empty()).take(8).map(str::to_owned).collect()
}

fn respond(answer: Answer, is_class: bool) -> Response {
    let status = StatusCode::from_u16(answer.status).unwrap_or(StatusCode::INTERNAL_SERVER_ERROR);
    let mut response = Response::new(Body::from(answer.body));
    *response.status_mut() = status;
    let headers = response.headers_mut();
    let mut set = |name: header::HeaderName, value: &str| {
        // What cannot be written into a head is left out rather than cut short.
        if let Ok(value) = HeaderValue::from_str(value) {
            headers.insert(name, value);
        }
    };
    set(header::CONTENT_TYPE, answer.media);
    set(header::CONTENT_SECURITY_POLICY, answer.policy.as_deref().unwrap_or(POLICY));
    set(header::X_CONTENT_TYPE_OPTIONS, "nosniff");
    set(header::X_FRAME_OPTIONS, "DENY");
    set(header::REFERRER_POLICY, "same-origin");
    set(header::HeaderName::from_static("cross-origin-resource-policy"), "same-origin");
    set(header::HeaderName::from_static("cross-origin-opener-policy"), "same-origin");
    let keep = if answer.lasting && !is_class { "max-age=31536000, immutable" } else { "no-store" };
    set(header::CACHE_CONTROL, keep);
    if let Some(name) = &answer.save_as {
        set(header::CONTENT_DISPOSITION, &format!("attachment; filename=\"{name}\""));
    }
    if let Some(place) = &answer.location {
        set(header::LOCATION, place);
    }
    if let Some(cookie) = &answer.cookie {
        set(header::SET_COOKIE, cookie);
    }
    response
}
