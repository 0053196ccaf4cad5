//! `ovenfall serve`, `backup`, `restore`, `take-out`, `bring-in`: what they print, and what they refuse.
#![allow(clippy::unwrap_used, clippy::expect_used, reason = "a test that cannot run must stop")]

use std::io::{BufRead, BufReader, Read, Write};
use std::net::{TcpListener, TcpStream};
use std::path::Path;
use std::process::{Child, Command, Output, Stdio};
use std::time::{Duration, Instant};
use tempfile::TempDir;

fn ovenfall(folder: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_ovenfall")).current_dir(folder).args(arguments).output().unwrap()
}

fn said(output: &Output) -> String {
    format!("{}{}", String::from_utf8_lossy(&output.stdout), String::from_utf8_lossy(&output.stderr))
}

struct Server {
    child: Child,
    printed: String,
    port: u16,
}

impl Server {
    /// Starts a server and reads what it prints until it says how to stop it.
    fn start(folder: &Path, more: &[&str]) -> Self {
        let mut child = Command::new(env!("CARGO_BIN_EXE_ovenfall"))
            .current_dir(folder)
            .args(["serve", "--port", "0", "--data", "kitchen.db"])
            .args(more)
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        let (mut printed, mut lines) = (String::new(), BufReader::new(child.stdout.take().unwrap()));
        while !printed.ends_with("Stop with Ctrl+C.\n") {
            assert!(lines.read_line(&mut printed).unwrap() > 0, "it ended: {printed}");
        }
        let port = printed.lines().next().unwrap().trim_end_matches('/').rsplit(':').next().unwrap().parse().unwrap();
        Self { child, printed, port }
    }

    fn get(&self, path: &str) -> String {
        let mut stream = TcpStream::connect(("127.0.0.1", self.port)).unwrap();
        write!(stream, "GET {path} HTTP/1.1\r\nhost: 127.0.0.1\r\nconnection: close\r\n\r\n").unwrap();
        let mut answer = String::new();
        stream.read_to_string(&mut answer).unwrap();
        answer
    }
}

impl Drop for Server {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

#[test]
fn the_pages_are_served_with_the_demo() {
    let dir = TempDir::new().unwrap();
    let server = Server::start(dir.path(), &[]);
    let port = server.port;
    assert_eq!(
        server.printed,
        format!("The pages are at http://127.0.0.1:{port}/\nData: kitchen.db\nStop with Ctrl+C.\n")
    );
    assert!(server.get("/").contains("location: /ovens/slipway-demo/now"));
    assert!(server.get("/ovens/slipway-demo/now").contains("Slipway Bakehouse"));
}

#[test]
fn the_network_needs_the_code() {
    let dir = TempDir::new().unwrap();
    let server = Server::start(dir.path(), &["--lan", "--without-demo"]);
    let code = server.printed.lines().find_map(|line| line.strip_prefix("and type the code ")).expect("a code");
    assert_eq!(code.chars().filter(char::is_ascii_digit).count(), 8, "{code}");
    assert!(server.printed.contains("a phone that is locked will not sound an\nalarm"), "{}", server.printed);
    assert!(server.printed.contains('█') || server.printed.contains("on no network"), "{}", server.printed);
    assert!(server.get("/").contains("location: /first"), "at the machine itself nobody has to pair");
}

/// Also while a screen watches, which never ends by itself.
#[test]
#[cfg(unix)]
fn it_ends_when_it_is_told_to() {
    let dir = TempDir::new().unwrap();
    let mut server = Server::start(dir.path(), &[]);
    let mut watching = TcpStream::connect(("127.0.0.1", server.port)).unwrap();
    watching.write_all(b"GET /api/days/slipway-demo-1/live HTTP/1.1\r\nhost: 127.0.0.1\r\n\r\n").unwrap();
    let mut first = [0_u8; 64];
    assert!(watching.read(&mut first).unwrap() > 0);
    assert!(Command::new("kill").args(["-TERM", &server.child.id().to_string()]).status().unwrap().success());
    let told = Instant::now();
    let ended = loop {
        if let Some(ended) = server.child.try_wait().unwrap() {
            break ended;
        }
        assert!(told.elapsed() < Duration::from_secs(20), "it does not end");
        std::thread::sleep(Duration::from_millis(20));
    };
    assert!(ended.success(), "{ended}");
}

#[test]
fn what_stands_in_the_way_is_said() {
    let dir = TempDir::new().unwrap();
    let taken = TcpListener::bind("127.0.0.1:0").unwrap();
    let port = taken.local_addr().unwrap().port().to_string();
    let busy = ovenfall(dir.path(), &["serve", "--port", &port, "--data", "a.db", "--without-demo"]);
    assert!(!busy.status.success());
    assert!(said(&busy).starts_with(&format!("error: the pages cannot be served on port {port}: ")), "{}", said(&busy));
    assert!(said(&busy).ends_with("\n  try: another port: --port 0 lets the system choose one\n"), "{}", said(&busy));

    std::fs::write(dir.path().join("letter.db"), "Dear Bea, ".repeat(500)).unwrap();
    let foreign = ovenfall(dir.path(), &["serve", "--port", "0", "--data", "letter.db"]);
    assert!(!foreign.status.success());
    assert!(std::fs::read_to_string(dir.path().join("letter.db")).unwrap().starts_with("Dear Bea"), "left alone");

    let server = Server::start(dir.path(), &["--without-demo"]);
    let second = ovenfall(dir.path(), &["serve", "--port", "0", "--data", "kitchen.db"]);
    assert_eq!(
        said(&second),
        "error: kitchen.db is in use by a server\n  try: use the server that is running, stop it, or name another file \
         with --data\n"
    );
    drop(server);
    let none = ovenfall(dir.path(), &["backup", "copy.db", "--data", "nothing.db"]);
    assert_eq!(
        said(&none),
        "error: nothing.db: there is no data file\n  try: name it with --data, or make one: ovenfall serve\n"
    );
}

#[test]
fn a_backup_comes_back() {
    let dir = TempDir::new().unwrap();
    let server = Server::start(dir.path(), &[]);
    let backup = ovenfall(dir.path(), &["backup", "copy.db", "--data", "kitchen.db"]);
    assert_eq!(said(&backup), "copy.db: a whole copy of kitchen.db\n");
    let refused = ovenfall(dir.path(), &["restore", "copy.db", "--data", "kitchen.db"]);
    assert_eq!(said(&refused), "error: kitchen.db is in use by a server\n  try: stop the server first\n");
    drop(server);
    let restored = ovenfall(dir.path(), &["restore", "copy.db", "--data", "kitchen.db"]);
    assert_eq!(
        said(&restored),
        "copy.db is in place of kitchen.db\nWhat was there is kept: kitchen.db.before-restore\n"
    );
    let torn = std::fs::read(dir.path().join("copy.db")).unwrap();
    std::fs::write(dir.path().join("torn.db"), &torn[..torn.len() / 2]).unwrap();
    let refused = ovenfall(dir.path(), &["restore", "torn.db", "--data", "kitchen.db"]);
    assert!(!refused.status.success() && said(&refused).contains("damaged"), "{}", said(&refused));
    assert!(Server::start(dir.path(), &[]).get("/").contains("slipway-demo"), "the data file is as it was");
}

#[test]
fn an_oven_goes_out_and_in_as_plain_files() {
    let dir = TempDir::new().unwrap();
    drop(Server::start(dir.path(), &[]));
    let out = ovenfall(dir.path(), &["take-out", "slipway-demo", "out", "--data", "kitchen.db"]);
    assert_eq!(said(&out), "out: the oven slipway-demo and 1 of its days\n");
    let again = ovenfall(dir.path(), &["take-out", "slipway-demo", "out", "--data", "kitchen.db"]);
    assert_eq!(said(&again), "error: out: the folder holds something already\n  try: name a new folder\n");
    let read = |path: &str| std::fs::read_to_string(dir.path().join(path)).unwrap();
    assert_eq!(read("out/oven.toml"), include_str!("../../../data/demo/oven.toml"));
    assert_eq!(read("out/days/slipway-demo-1.pots.toml"), include_str!("../../../data/demo/pots.toml"));
    let arguments = ["bring-in", "out", "--oven", "slipway-demo", "--data", "other.db"];
    let brought = said(&ovenfall(dir.path(), &arguments));
    assert!(brought.starts_with("slipway-demo: 1 days, ") && !brought.contains(" 0 entries"), "{brought}");
    assert_eq!(said(&ovenfall(dir.path(), &arguments)), "slipway-demo: 1 days, 0 entries that were not there yet\n");
    ovenfall(dir.path(), &["take-out", "slipway-demo", "out2", "--data", "other.db"]);
    for file in ["oven.toml", "days/slipway-demo-1.csv", "days/slipway-demo-1.pots.toml"] {
        assert_eq!(read(&format!("out/{file}")), read(&format!("out2/{file}")), "{file}");
    }
    let missing = ovenfall(dir.path(), &["take-out", "nobody", "x", "--data", "kitchen.db"]);
    assert_eq!(
        said(&missing),
        "error: there is no oven `nobody`\n  try: check the id: it stands in the address of the oven's pages\n"
    );
}
