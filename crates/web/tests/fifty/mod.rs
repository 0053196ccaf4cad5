//! A kitchen with many screens: a server, writers and watchers over real sockets.

use jiff::Timestamp;
use ovenfall_store::{DayId, OvenId, Store};
use ovenfall_web::{Access, App, Reach, serve};
use std::collections::HashSet;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::sync::Arc;
use std::thread::{self, JoinHandle};
use std::time::{Duration, Instant};
use tempfile::TempDir;
use tokio::net::TcpListener;
use tokio::runtime::Runtime;

pub struct Kitchen {
    _dir: TempDir,
    _runtime: Runtime,
    pub port: u16,
}

impl Kitchen {
    pub fn start() -> Self {
        let dir = TempDir::new().unwrap();
        let store = Arc::new(Store::open(&dir.path().join("kitchen.db")).unwrap());
        let (oven, day) = (OvenId::new("quay").unwrap(), DayId::new("d1").unwrap());
        store.write_oven(&oven, include_str!("../../../../data/demo/oven.toml"), "", Timestamp::now()).unwrap();
        store.begin_day(&day, &oven, Timestamp::now()).unwrap();
        let access = Arc::new(Access::new(Reach::Loopback, Vec::new(), &mut rand::rng()));
        let app = App::new(store, access, Arc::new(Timestamp::now));
        let runtime = Runtime::new().unwrap();
        let (tell, told) = std::sync::mpsc::channel();
        runtime.spawn(async move {
            let listener = TcpListener::bind("127.0.0.1:0").await.unwrap();
            tell.send(listener.local_addr().unwrap().port()).unwrap();
            serve(listener, app, std::future::pending()).await.unwrap();
        });
        Self { _dir: dir, _runtime: runtime, port: told.recv().unwrap() }
    }

    /// Writes so many entries, one request each; their ids in order.
    pub fn write(&self, count: usize) -> Vec<String> {
        (0..count).map(|n| self.write_one(n)).collect()
    }

    pub fn write_one(&self, n: usize) -> String {
        let id = format!("e{n}");
        let at = format!("2026-06-13T08:{:02}:{:02}+01:00", n / 60 % 60, n % 60);
        let body =
            format!(r#"[{{"id":"{id}","at":"{at}","written":"{at}","kind":"outdoor","value":"12","unit":"C"}}]"#);
        let mut stream = TcpStream::connect(("127.0.0.1", self.port)).unwrap();
        write!(
            stream,
            "POST /api/days/d1/entries HTTP/1.1\r\nhost: 127.0.0.1\r\ncontent-type: application/json\r\ncontent-length: {}\r\nconnection: close\r\n\r\n{body}",
            body.len()
        )
        .unwrap();
        let mut answer = String::new();
        stream.read_to_string(&mut answer).unwrap();
        assert!(answer.starts_with("HTTP/1.1 200"), "{answer}");
        id
    }
}

pub struct Watcher {
    stream: TcpStream,
    reads: JoinHandle<Vec<(String, Instant)>>,
}

/// Watches from the entry with a number on; back once the stream is open.
pub fn watch(port: u16, after: i64) -> Watcher {
    let mut stream = TcpStream::connect(("127.0.0.1", port)).unwrap();
    stream.set_read_timeout(Some(Duration::from_secs(30))).unwrap();
    write!(stream, "GET /api/days/d1/live HTTP/1.1\r\nhost: 127.0.0.1\r\nlast-event-id: {after}\r\n\r\n").unwrap();
    let mut lines = BufReader::new(stream.try_clone().unwrap());
    let mut line = String::new();
    while !line.starts_with("event: still") {
        line.clear();
        assert!(lines.read_line(&mut line).unwrap() > 0, "the stream ended");
    }
    let reads = thread::spawn(move || {
        let mut got = Vec::new();
        let mut line = String::new();
        while lines.read_line(&mut line).is_ok_and(|read| read > 0) {
            let at = Instant::now();
            got.extend(
                line.split("\"id\":\"").skip(1).filter_map(|rest| Some((rest.split('"').next()?.to_owned(), at))),
            );
            line.clear();
        }
        got
    });
    Watcher { stream, reads }
}

impl Watcher {
    /// Closes the stream and gives what came by then, which has all of `ids`.
    pub fn until(self, ids: &[String]) -> Vec<(String, Instant)> {
        self.stream.shutdown(std::net::Shutdown::Both).unwrap();
        let got = self.reads.join().unwrap();
        let has: HashSet<&str> = got.iter().map(|(id, _)| id.as_str()).collect();
        assert!(
            ids.iter().all(|id| has.contains(id.as_str())),
            "missed: {:?}",
            ids.iter().filter(|id| !has.contains(id.as_str())).collect::<Vec<_>>()
        );
        got
    }
}
