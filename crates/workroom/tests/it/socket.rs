//! The server over a real socket, run in a process of its own: this test program, told to serve by
//! an environment variable. It is guarded, it is limited, and it can be killed at any moment.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::{SocketAddr, TcpStream};
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::Duration;

use workroom::Settings;
use workroom::keep::Keep;

/// Names the folder that the child serves.
const FOLDER: &str = "WORKROOM_TEST_FOLDER";
/// Given when the child also serves the class.
const CLASS: &str = "WORKROOM_TEST_CLASS";

/// Serves when this program is started to do so; as a test by itself it has nothing to do.
#[test]
fn serves_when_it_is_told_to() {
    let Some(folder) = std::env::var_os(FOLDER) else { return };
    let loopback: SocketAddr = "127.0.0.1:0".parse().expect("it is an address");
    let settings = Settings {
        port: 0,
        data: Some(folder.into()),
        browser: false,
        listen: std::env::var_os(CLASS).map(|_| loopback),
        word: Some("thimble-77".to_owned()),
    };
    let served = workroom::run(&settings, |line| {
        println!("SAID {line}");
        std::io::stdout().flush().expect("the parent reads");
    });
    served.expect("it serves");
}

/// A server in a process of its own, killed when dropped.
struct Server {
    child: Child,
    port: u16,
    class: Option<u16>,
}

impl Server {
    fn start(folder: &Path, class: bool) -> Self {
        let this = std::env::current_exe().expect("this program has a path");
        let mut command = Command::new(this);
        command.args(["--exact", "socket::serves_when_it_is_told_to", "--nocapture"]);
        command.env(FOLDER, folder).stdout(Stdio::piped()).stderr(Stdio::null());
        if class {
            command.env(CLASS, "yes");
        }
        let mut child = command.spawn().expect("it can be started");
        let out = child.stdout.take().expect("it was asked for");
        let port_in = |line: &str| -> Option<u16> {
            line.split_once("http://127.0.0.1:")?.1.split('/').next()?.parse().ok()
        };
        let (mut port, mut of_class) = (None, None);
        for line in BufReader::new(out).lines().map_while(Result::ok) {
            if line.contains("workroom is open") {
                port = port_in(&line);
            } else if line.contains("class reads") {
                of_class = port_in(&line);
            } else if line.contains("Ctrl-C") {
                break;
            }
        }
        Self { child, port: port.expect("it says where it serves"), class: of_class }
    }

    fn kill(mut self) {
        // SIGKILL: nothing is tidied up.
        self.child.kill().expect("it can be killed");
        self.child.wait().expect("it has ended");
    }

    fn get(&self, path: &str) -> Option<(u16, String)> {
        let host = format!("127.0.0.1:{}", self.port);
        talk(
            self.port,
            &format!("GET {path} HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n\r\n"),
        )
    }

    fn post(&self, path: &str, form: &str) -> Option<(u16, String)> {
        talk(self.port, &post(self.port, path, form))
    }
}

impl Drop for Server {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

fn post(port: u16, path: &str, form: &str) -> String {
    format!(
        "POST {path} HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nOrigin: http://127.0.0.1:{port}\r\n\
         Content-Type: application/x-www-form-urlencoded\r\nContent-Length: {}\r\n\
         Connection: close\r\n\r\n{form}",
        form.len()
    )
}

/// Sends a request as it stands; the status and all that came back, or nothing when the server went
/// away.
fn talk(port: u16, request: &str) -> Option<(u16, String)> {
    let mut stream = TcpStream::connect(("127.0.0.1", port)).ok()?;
    stream.set_read_timeout(Some(Duration::from_secs(40))).ok()?;
    stream.write_all(request.as_bytes()).ok()?;
    let mut answer = Vec::new();
    let _ = stream.read_to_end(&mut answer);
    let answer = String::from_utf8_lossy(&answer).into_owned();
    let status = answer.strip_prefix("HTTP/1.1 ")?.get(..3)?.parse().ok()?;
    Some((status, answer))
}

#[test]
fn it_answers_to_its_own_address_and_its_own_pages_alone() {
    let folder = tempfile::tempdir().unwrap();
    let server = Server::start(folder.path(), false);
    let (status, answer) = server.get("/").unwrap();
    assert_eq!(status, 303, "{answer}");
    let (_, answer) = server.get("/bag/1").unwrap();
    let head = answer.split("\r\n\r\n").next().unwrap().to_lowercase();
    for header in [
        "content-security-policy: default-src 'none'; script-src 'self'; style-src 'self'",
        "x-content-type-options: nosniff",
        "x-frame-options: deny",
        "cache-control: no-store",
    ] {
        assert!(head.contains(header), "{header}: {head}");
    }
    let port = server.port;
    let own = format!("127.0.0.1:{port}");
    let get =
        |host: &str| format!("GET /bags HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n\r\n");
    for host in [own.clone(), format!("localhost:{port}")] {
        assert_eq!(talk(port, &get(&host)).unwrap().0, 200, "{host}");
    }
    // Another name that leads here (DNS rebinding), another port, no name.
    for host in ["evil.example", "127.0.0.1:1", "127.0.0.1", ""] {
        assert_eq!(talk(port, &get(host)).unwrap().0, 403, "{host}");
    }
    let good = post(port, "/new", "value=flat&units=cm");
    let origin = format!("Origin: http://{own}\r\n");
    for other in [
        "Origin: http://evil.example\r\n".to_owned(),
        "Origin: null\r\n".to_owned(),
        format!("Origin: https://{own}\r\n"),
        String::new(),
    ] {
        let bad = good.replace(&origin, &other);
        assert_eq!(talk(port, &bad).unwrap().0, 403, "{other}");
    }
    for verb in ["PUT", "DELETE", "OPTIONS"] {
        assert_eq!(talk(port, &good.replace("POST", verb)).unwrap().0, 403, "{verb}");
    }
    assert_eq!(talk(port, &good).unwrap().0, 303);
}

#[test]
fn nonsense_and_giants_do_no_harm() {
    let folder = tempfile::tempdir().unwrap();
    let server = Server::start(folder.path(), false);
    let port = server.port;
    let large = format!("value={}", "x".repeat(400_000));
    assert_eq!(server.post("/new", &large).map(|(status, _)| status), Some(413));
    for request in [
        "\r\n\r\n".to_owned(),
        "GET\r\n\r\n".to_owned(),
        format!("GET /{} HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\n\r\n", "a/".repeat(100_000)),
        format!(
            "GET /%00%ff/..%2f..%2fetc HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nConnection: close\r\n\r\n"
        ),
    ] {
        if let Some((status, _)) = talk(port, &request) {
            assert!((400..500).contains(&status), "{status}");
        }
    }
    for body in [
        "",
        "nonsense",
        "--b\r\nContent-Disposition: form-data; name=\"file\"; filename=\"x\"\r\n\r\n\u{0}\u{1}\r\n--b--\r\n",
    ] {
        for path in ["/import", "/safe/restore"] {
            let form = post(port, path, body)
                .replace("application/x-www-form-urlencoded", "multipart/form-data; boundary=b");
            let (status, answer) = talk(port, &form).unwrap();
            assert!(matches!(status, 400 | 422), "{path} {status}: {answer}");
        }
    }
    assert_eq!(server.get("/bags").unwrap().0, 200);
}

#[test]
fn the_class_reads_shared_handouts_with_the_word_and_nothing_else() {
    let folder = tempfile::tempdir().unwrap();
    let server = Server::start(folder.path(), true);
    let class = server.class.expect("it serves the class");
    assert_eq!(server.get("/").unwrap().0, 303);
    let get = |path: &str, cookie: &str| {
        let request = format!(
            "GET {path} HTTP/1.1\r\nHost: classroom:{class}\r\nCookie: {cookie}\r\nConnection: close\r\n\r\n"
        );
        talk(class, &request).unwrap()
    };
    assert!(get("/", "").1.contains("The word from the board"));
    assert!(!get("/handout/1", "class=guess").1.contains("Market day bag"));
    assert_eq!(talk(class, &post(class, "/enter", "word=wrong")).unwrap().0, 403);
    std::thread::sleep(Duration::from_millis(900));
    let (status, answer) = talk(class, &post(class, "/enter", "word=Thimble+77")).unwrap();
    assert_eq!(status, 303);
    let cookie = answer.lines().find_map(|line| line.strip_prefix("set-cookie: ")).unwrap();
    assert!(cookie.contains("HttpOnly") && cookie.contains("SameSite=Strict"));
    let cookie = cookie.split(';').next().unwrap();
    assert!(get("/", cookie).1.contains("No handout is shared yet"));
    assert_eq!(get("/handout/1", cookie).0, 404);
    assert_eq!(server.post("/bag/1/share", "share=yes&revision=1").unwrap().0, 303);
    assert!(get("/", cookie).1.contains("Market day bag"));
    let (status, page) = get("/handout/1", cookie);
    assert_eq!(status, 200);
    assert!(page.contains("Market day bag") && page.contains("step-"));
    for path in ["/bags", "/bag/1", "/safe/backup", "/fabrics", "/bag/1/design.toml"] {
        assert_eq!(get(path, cookie).0, 404, "{path}");
    }
    for path in ["/bag/1/change", "/new", "/bag/1/share"] {
        let form = post(class, path, "share=no")
            .replace("Connection", &format!("Cookie: {cookie}\r\nConnection"));
        assert_eq!(talk(class, &form).unwrap().0, 404, "{path}");
    }
    assert!(get("/", cookie).1.contains("Market day bag"), "nothing was changed");
}

/// The process is killed at some moment of a row of changes, again and again: whatever was
/// acknowledged is there afterwards, and the next process goes on from it.
/// Prices, rates and sessions are noted as fast as they are acknowledged, and the server is killed in
/// between: what was acknowledged is there, and what is there is whole.
#[test]
fn every_acknowledged_price_outlives_a_kill() {
    let folder = tempfile::tempdir().unwrap();
    let mut acknowledged = Vec::new();
    for round in 0..6_u64 {
        let server = Server::start(folder.path(), false);
        let port = server.port;
        let (told, heard) = std::sync::mpsc::channel();
        let killer = std::thread::spawn(move || {
            for _ in 0..=round {
                let _ = heard.recv();
            }
            std::thread::sleep(Duration::from_millis(round * 7 % 20));
            server.kill();
        });
        for number in 0..10_000 {
            let thing = format!("zip {round}-{number}");
            let form = format!("thing={thing}&amount=1.20+EUR&per=one&day=2026-11-20")
                .replace("zip ", "zip+");
            match talk(port, &post(port, "/prices", &form)) {
                Some((303, _)) => {
                    acknowledged.push(thing);
                    let _ = told.send(());
                }
                Some((status, answer)) => panic!("{status} {answer}"),
                None => break,
            }
        }
        drop(told);
        killer.join().unwrap();
    }
    let keep = Keep::open(folder.path()).unwrap();
    let kept: Vec<String> = keep.prices().unwrap().into_iter().map(|row| row.thing).collect();
    assert!(acknowledged.len() >= 6);
    assert!(acknowledged.iter().all(|thing| kept.contains(thing)));
}

#[test]
fn every_acknowledged_change_outlives_a_kill() {
    let folder = tempfile::tempdir().unwrap();
    let mut acknowledged = 1_i64;
    for round in 0..12_u64 {
        let server = Server::start(folder.path(), false);
        if round == 0 {
            server.get("/").unwrap();
        }
        let port = server.port;
        let (told, heard) = std::sync::mpsc::channel();
        let killer = std::thread::spawn(move || {
            // After some changes, and then at another moment of the next one in each round.
            for _ in 0..=round % 3 {
                let _ = heard.recv();
            }
            std::thread::sleep(Duration::from_millis(round * 7 % 60));
            server.kill();
        });
        let mut seen = acknowledged;
        loop {
            let form = format!("revision={seen}&path=body.width&value={}", 10 + (seen % 8));
            match talk(port, &post(port, "/bag/1/change", &form)) {
                Some((303, _)) => {
                    seen += 1;
                    // The killer may have heard enough.
                    let _ = told.send(());
                }
                Some((status, answer)) if status != 409 => panic!("{status} {answer}"),
                _ => break,
            }
        }
        drop(told);
        killer.join().unwrap();
        let keep = Keep::open(folder.path()).expect("it can be opened after a kill");
        let opened = keep.bag(1).unwrap();
        // One more may have been kept and killed before it was told.
        assert!((seen..=seen + 1).contains(&opened.revision), "{seen} {}", opened.revision);
        let design = store::read_design("it", &opened.text).expect("it is whole");
        if opened.revision > 1 {
            let width = measure::Length::inch(10 + ((opened.revision - 1) % 8));
            assert_eq!(design.body.values.length("width"), width);
        }
        acknowledged = opened.revision;
    }
    assert!(acknowledged > 5, "{acknowledged} changes are too few to say anything");
}

/// The same at the level of the file, hundreds of times: a process that only writes.
#[test]
fn writes_when_it_is_told_to() {
    let Some(folder) = std::env::var_os("WORKROOM_TEST_WRITE") else { return };
    let keep = Keep::open(Path::new(&folder)).expect("it can be opened");
    let mut at = keep.bag(1).expect("it is there").revision;
    loop {
        at = keep
            .change(1, at, "Bag", &"x".repeat(usize::try_from(at).unwrap_or(0) % 3_000), "edit")
            .expect("it is kept")
            .revision;
        println!("KEPT {at}");
        std::io::stdout().flush().expect("the parent reads");
    }
}

#[test]
fn the_file_is_whole_after_two_hundred_kills() {
    let folder = tempfile::tempdir().unwrap();
    Keep::open(folder.path()).unwrap().add("Bag", "", "new").unwrap();
    let this = std::env::current_exe().unwrap();
    let mut last = 1_i64;
    for round in 0..200_usize {
        let mut child = Command::new(&this)
            .args(["--exact", "socket::writes_when_it_is_told_to", "--nocapture"])
            .env("WORKROOM_TEST_WRITE", folder.path())
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        let out = child.stdout.take().unwrap();
        let mut told = last;
        let kept = BufReader::new(out).lines().map_while(Result::ok).filter_map(|line| {
            line.split_once("KEPT ").and_then(|(_, number)| number.trim().parse::<i64>().ok())
        });
        for (count, revision) in kept.enumerate() {
            told = revision;
            if count >= round % 9 {
                break;
            }
        }
        child.kill().unwrap();
        child.wait().unwrap();
        let keep = Keep::open(folder.path()).unwrap();
        let opened = keep.bag(1).unwrap();
        assert!(
            opened.revision >= told,
            "round {round}: {told} was acknowledged, {} is there",
            opened.revision
        );
        let edits = usize::try_from(opened.revision - 1).unwrap() % 3_000;
        assert!(opened.revision == 1 || opened.text.len() == edits, "round {round}");
        last = opened.revision;
    }
}
