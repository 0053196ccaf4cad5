//! A server that is killed at a random moment loses nothing it has answered for, and has nothing twice.
//!
//! The real program on a real file, entries sent to it over HTTP by several writers at full speed, SIGKILL.
#![allow(clippy::unwrap_used, clippy::expect_used, reason = "a test that cannot run must stop")]
#![allow(clippy::print_stderr, reason = "the figures of the slow tier are read off its output")]

use ovenfall_store::backup::check;
use ovenfall_store::{DayId, Store};
use std::collections::HashSet;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::process::{Child, Command, Stdio};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::thread;
use std::time::Duration;

const OVEN: &str = include_str!("../../../data/demo/oven.toml");
/// Who write at once.
const WRITERS: u32 = 4;

struct Server {
    child: Child,
    port: u16,
}

impl Server {
    fn start(data: &std::path::Path) -> Self {
        let mut child = Command::new(env!("CARGO_BIN_EXE_ovenfall"))
            .args(["serve", "--port", "0", "--without-demo", "--data"])
            .arg(data)
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        let mut line = String::new();
        BufReader::new(child.stdout.take().unwrap()).read_line(&mut line).unwrap();
        let port = line.trim().trim_end_matches('/').rsplit(':').next().and_then(|port| port.parse().ok());
        Self { child, port: port.unwrap_or_else(|| panic!("no port in {line:?}")) }
    }

    fn kill(mut self) {
        self.child.kill().unwrap();
        self.child.wait().unwrap();
    }
}

/// One request on a connection of its own; the status, or nothing when there was no answer.
fn ask(port: u16, method: &str, path: &str, kind: &str, body: &str) -> Option<u16> {
    let mut stream = TcpStream::connect(("127.0.0.1", port)).ok()?;
    stream.set_read_timeout(Some(Duration::from_secs(20))).ok()?;
    let length = body.len();
    let head = format!(
        "{method} {path} HTTP/1.1\r\nhost: 127.0.0.1:{port}\r\ncontent-type: {kind}\r\ncontent-length: {length}\r\nconnection: close\r\n\r\n"
    );
    stream.write_all(head.as_bytes()).ok()?;
    stream.write_all(body.as_bytes()).ok()?;
    let mut answer = String::new();
    stream.read_to_string(&mut answer).ok()?;
    answer.split(' ').nth(1)?.parse().ok()
}

/// Writes entries until there is no answer any more; gives those that were answered for.
fn write_until_killed(port: u16, round: u32, writer: u32, stop: &AtomicBool) -> Vec<String> {
    let mut answered = Vec::new();
    for n in 0.. {
        if stop.load(Ordering::Relaxed) {
            break;
        }
        let id = format!("r{round}w{writer}n{n}");
        let at = format!("2026-06-13T08:{:02}:{:02}+01:00", n / 60 % 60, n % 60);
        let entry = format!(
            r#"[{{"id":"{id}","at":"{at}","written":"{at}","kind":"probe","value":"{}","unit":"C"}}]"#,
            200 + n % 90
        );
        match ask(port, "POST", "/api/days/d1/entries", "application/json", &entry) {
            Some(200) => answered.push(id),
            Some(other) => panic!("{id}: {other}"),
            None => break,
        }
    }
    answered
}

/// Kills a server `rounds` times; `seed` fixes the moments.
fn killed(rounds: u32, seed: u64) {
    let dir = tempfile::TempDir::new().unwrap();
    let data = dir.path().join("kitchen.db");
    let mut answered: Vec<String> = Vec::new();
    let mut random = seed;
    for round in 0..rounds {
        let server = Server::start(&data);
        let port = server.port;
        assert_eq!(ask(port, "PUT", "/api/ovens/quay", "text/plain", OVEN), Some(204));
        assert_eq!(ask(port, "POST", "/api/ovens/quay/days/d1", "text/plain", ""), Some(204));
        let stop = Arc::new(AtomicBool::new(false));
        let writers: Vec<_> = (0..WRITERS)
            .map(|writer| {
                let stop = Arc::clone(&stop);
                thread::spawn(move || write_until_killed(port, round, writer, &stop))
            })
            .collect();
        // A linear congruential generator (Knuth's MMIX constants): all that is needed of chance here.
        random = random.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        thread::sleep(Duration::from_millis(20 + (random >> 33) % 400));
        server.kill();
        stop.store(true, Ordering::Relaxed);
        for writer in writers {
            answered.extend(writer.join().unwrap());
        }
        check(&data).unwrap();
    }
    assert!(!answered.is_empty(), "nothing was answered for in {rounds} rounds");
    let store = Store::open(&data).unwrap();
    let day = store.day(&DayId::new("d1").unwrap()).unwrap();
    let kept: Vec<&str> = day.entries.iter().map(|entry| entry.id.as_str()).collect();
    let once: HashSet<&str> = kept.iter().copied().collect();
    assert_eq!(kept.len(), once.len(), "something is there twice");
    let lost: Vec<&String> = answered.iter().filter(|id| !once.contains(id.as_str())).collect();
    assert!(lost.is_empty(), "{} of {} answered entries are lost: {lost:?}", lost.len(), answered.len());
    eprintln!(
        "killed {rounds} times: {} entries answered for, {} kept, none lost, none twice",
        answered.len(),
        kept.len()
    );
}

#[test]
fn nothing_answered_for_is_lost() {
    killed(5, 1);
}

#[test]
#[ignore = "slow tier: a hundred times"]
fn nothing_answered_for_is_lost_in_a_hundred_kills() {
    killed(100, 2);
}
