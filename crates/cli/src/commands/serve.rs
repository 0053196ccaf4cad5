//! `ovenfall serve`: the pages for phone and tablet, on this machine or on the kitchen's network.

use crate::arguments::ServeArguments;
use crate::data_file;
use crate::failure::Failure;
use if_addrs::{IfAddr, Interface};
use jiff::Timestamp;
use ovenfall_store::{Serving, Store, StoreError};
use ovenfall_web::{Access, App, Demo, Reach};
use qrcode::QrCode;
use qrcode::render::unicode::Dense1x2;
use std::io::{self, Write};
use std::net::{Ipv4Addr, SocketAddr};
use std::process::ExitCode;
use std::sync::Arc;
use std::time::Duration;
use tokio::net::TcpListener;
use tokio::runtime::Runtime;

/// How long work that is under way may take once the server is told to stop.
const TO_FINISH: Duration = Duration::from_secs(3);
/// What plain HTTP means for a phone.
const PLAIN: &str = "Plain HTTP: others on this network could listen in, and a phone that is locked will not sound an\n\
alarm for this page. Set the phone's own alarms, and keep paper at hand.";

/// Serves until it is told to stop.
pub fn run(arguments: &ServeArguments, out: &mut dyn Write) -> Result<ExitCode, Failure> {
    let path = data_file::path(&arguments.data)?;
    let _alone = claimed(Serving::claim(&path))?;
    let store = Arc::new(Store::open(&path)?);
    let demo = if arguments.without_demo { None } else { Some(Demo::seed(&store, Timestamp::now())?) };
    let runtime = Runtime::new()?;
    let served = runtime.block_on(async {
        let (listener, port) = listen(arguments).await?;
        let reach = if arguments.lan { Reach::Lan } else { Reach::Loopback };
        let access = Arc::new(Access::new(reach, store.screens()?, &mut rand::rng()));
        let addresses = if arguments.lan { addresses(port) } else { Vec::new() };
        let app = App::new(store, access, Arc::new(Timestamp::now)).with_addresses(addresses);
        let app = match demo {
            Some(demo) => app.with_demo(demo),
            None => app,
        };
        say(out, &app, port)?;
        writeln!(out, "Data: {}\nStop with Ctrl+C.", path.display())?;
        out.flush()?;
        ovenfall_web::serve(listener, app, told_to_stop()).await.map_err(|source| failed(port, source))
    });
    runtime.shutdown_timeout(TO_FINISH);
    served.map(|()| ExitCode::SUCCESS)
}

fn claimed(claim: Result<Serving, StoreError>) -> Result<Serving, Failure> {
    claim.map_err(|error| match error {
        in_use @ StoreError::InUse { .. } => Failure::Data {
            source: in_use,
            suggestion: "use the server that is running, stop it, or name another file with --data".to_owned(),
        },
        other => other.into(),
    })
}

fn failed(port: u16, source: io::Error) -> Failure {
    let suggestion = match source.kind() {
        io::ErrorKind::AddrInUse => "another port: --port 0 lets the system choose one".to_owned(),
        io::ErrorKind::PermissionDenied => "a port above 1023".to_owned(),
        _ => "--port 0, which lets the system choose".to_owned(),
    };
    Failure::Serve { port, source, suggestion }
}

async fn listen(arguments: &ServeArguments) -> Result<(TcpListener, u16), Failure> {
    let ip = if arguments.lan { Ipv4Addr::UNSPECIFIED } else { Ipv4Addr::LOCALHOST };
    let bound = TcpListener::bind(SocketAddr::from((ip, arguments.port))).await;
    let listener = bound.map_err(|source| failed(arguments.port, source))?;
    let port = listener.local_addr()?.port();
    Ok((listener, port))
}

/// Prints where the pages are, and for the kitchen's network how a screen is paired.
fn say(out: &mut dyn Write, app: &App, port: u16) -> Result<(), Failure> {
    writeln!(out, "The pages are at http://127.0.0.1:{port}/")?;
    if app.access.reach() == Reach::Loopback {
        return Ok(());
    }
    let code = app.access.code();
    match app.pairing_addresses().first() {
        Some(first) => writeln!(out, "\nTo pair a phone, point its camera here:\n\n{}", square(first))?,
        None => writeln!(out, "\nThis machine is on no network: no phone can reach it.")?,
    }
    for address in app.addresses.iter() {
        writeln!(out, "or open {address}/pair")?;
    }
    writeln!(out, "and type the code {} {}\n\n{PLAIN}\n", &code[..4], &code[4..])?;
    Ok(())
}

/// The square code of an address in blocks of text, light on dark as most terminals are.
fn square(address: &str) -> String {
    let draw = |code: QrCode| code.render::<Dense1x2>().dark_color(Dense1x2::Light).light_color(Dense1x2::Dark).build();
    QrCode::new(address).map(draw).unwrap_or_default()
}

/// Where the kitchen's network reaches this machine; bridges of virtual machines and containers last.
fn addresses(port: u16) -> Vec<String> {
    let virtual_one = |interface: &Interface| {
        ["docker", "br-", "veth", "virbr", "tun", "tap"].iter().any(|start| interface.name.starts_with(start))
    };
    let mut found = if_addrs::get_if_addrs().unwrap_or_default();
    found.sort_by_key(|interface| virtual_one(interface));
    let reached = |interface: &Interface| match &interface.addr {
        IfAddr::V4(v4) if !v4.ip.is_loopback() && !v4.ip.is_link_local() => Some(format!("http://{}:{port}", v4.ip)),
        _ => None,
    };
    found.iter().filter_map(reached).collect()
}

/// Until somebody presses Ctrl+C or the system ends the program.
async fn told_to_stop() {
    let pressed = async {
        // Where it cannot be heard, only the system can stop the server.
        if tokio::signal::ctrl_c().await.is_err() {
            std::future::pending::<()>().await;
        }
    };
    tokio::select! {
        () = pressed => {}
        () = terminated() => {}
    }
}

#[cfg(unix)]
async fn terminated() {
    use tokio::signal::unix::{SignalKind, signal};
    match signal(SignalKind::terminate()) {
        Ok(mut told) => {
            told.recv().await;
        }
        Err(_) => std::future::pending().await,
    }
}

#[cfg(not(unix))]
async fn terminated() {
    std::future::pending::<()>().await;
}
