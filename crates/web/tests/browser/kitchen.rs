//! The real server on a real socket, that can be stopped and started again at the same address.

use jiff::Timestamp;
use ovenfall_store::Store;
use ovenfall_web::{Access, App, Demo, Reach, serve};
use std::net::{IpAddr, Ipv4Addr, SocketAddr, UdpSocket};
use std::path::PathBuf;
use std::sync::Arc;
use tempfile::TempDir;
use tokio::net::TcpListener;
use tokio::runtime::Runtime;

pub struct Kitchen {
    _dir: TempDir,
    data: PathBuf,
    ip: IpAddr,
    port: u16,
    reach: Reach,
    demo: bool,
    running: Option<Runtime>,
    pub app: Option<App>,
}

/// This machine's address on its network; nothing is sent to find it.
pub fn lan_address() -> Option<IpAddr> {
    let socket = UdpSocket::bind((Ipv4Addr::UNSPECIFIED, 0)).ok()?;
    // An address for documentation (RFC 5737): only the route is looked up.
    socket.connect(("198.51.100.1", 9)).ok()?;
    let ip = socket.local_addr().ok()?.ip();
    (!ip.is_loopback() && !ip.is_unspecified()).then_some(ip)
}

impl Kitchen {
    /// On this machine, with the demo or with nothing.
    pub fn loopback(demo: bool) -> Self {
        Self::start(Ipv4Addr::LOCALHOST.into(), Reach::Loopback, demo)
    }

    /// On the network; `None`, said plainly, where there is none. On a build machine that is an error.
    pub fn lan(demo: bool) -> Option<Self> {
        let Some(ip) = lan_address() else {
            assert_ne!(std::env::var("CI").as_deref(), Ok("true"), "this machine has no address on a network");
            eprintln!("SKIPPED: this machine has no address but the loopback one, so the network was not tried");
            return None;
        };
        Some(Self::start(ip, Reach::Lan, demo))
    }

    fn start(ip: IpAddr, reach: Reach, demo: bool) -> Self {
        let dir = TempDir::new().unwrap();
        let data = dir.path().join("kitchen.db");
        let mut kitchen = Self { _dir: dir, data, ip, port: 0, reach, demo, running: None, app: None };
        kitchen.begin();
        kitchen
    }

    /// Starts the server, after a stop at the same address.
    pub fn begin(&mut self) {
        let store = Arc::new(Store::open(&self.data).unwrap());
        let demo = self.demo.then(|| Demo::seed(&store, Timestamp::now()).unwrap());
        let access = Arc::new(Access::new(self.reach, store.screens().unwrap(), &mut rand::rng()));
        let listener = std::net::TcpListener::bind(SocketAddr::from((self.ip, self.port))).unwrap();
        listener.set_nonblocking(true).unwrap();
        self.port = listener.local_addr().unwrap().port();
        let app = App::new(store, access, Arc::new(Timestamp::now)).with_addresses(vec![self.at("")]);
        let app = match demo {
            Some(demo) => app.with_demo(demo),
            None => app,
        };
        let runtime = Runtime::new().unwrap();
        let serving = app.clone();
        runtime.spawn(async move {
            let listener = TcpListener::from_std(listener).unwrap();
            serve(listener, serving, std::future::pending()).await.unwrap();
        });
        (self.running, self.app) = (Some(runtime), Some(app));
    }

    /// Stops the server and drops every connection.
    pub fn stop(&mut self) {
        self.app = None;
        if let Some(runtime) = self.running.take() {
            runtime.shutdown_background();
        }
    }

    pub fn at(&self, path: &str) -> String {
        format!("http://{}:{}{path}", self.ip, self.port)
    }

    pub fn store(&self) -> Store {
        Store::open(&self.data).unwrap()
    }

    /// The lines of a day's file.
    pub fn lines(&self, day: &str) -> Vec<String> {
        let day = ovenfall_store::DayId::new(day).unwrap();
        self.store().day_text(&day).unwrap().lines().map(str::to_owned).collect()
    }

    /// Halts the demo's clock.
    pub fn halt(&self) {
        if let Some(demo) = self.app.as_ref().and_then(|app| app.demo.as_ref()) {
            demo.run(false);
        }
    }
}

impl Drop for Kitchen {
    fn drop(&mut self) {
        self.stop();
    }
}
