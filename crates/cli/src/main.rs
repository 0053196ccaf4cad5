//! The ovenfall command line: arguments in, text, JSON and pictures out.
#![forbid(unsafe_code)]

mod arguments;
mod came;
mod commands;
mod data_file;
mod failure;
mod input_file;
mod replay_json;
mod replay_words;
mod replayed;
mod set;
mod skill_page;

use arguments::{Arguments, ServeArguments, Verb};
use clap::Parser;
use failure::Failure;
use std::io::{self, BufWriter, Write};
use std::process::ExitCode;

/// What the surroundings set: where text goes and how wide it may be.
pub(crate) struct Config {
    /// Columns of the terminal.
    pub columns: usize,
    /// Columns of running text, which goes into less than tables and pictures do.
    pub text_columns: usize,
}

impl Config {
    /// The terminal's width where the shell says it, kept to what can be read.
    fn from_environment() -> Self {
        let said = std::env::var("COLUMNS").ok().and_then(|columns| columns.parse::<usize>().ok());
        let columns = said.unwrap_or(80);
        Self { columns: columns.clamp(72, 120), text_columns: columns.clamp(40, 120) }
    }
}

fn run(arguments: Arguments, config: &Config, out: &mut dyn Write) -> Result<ExitCode, Failure> {
    match arguments.verb {
        None => commands::serve::run(&ServeArguments::plain(), out),
        Some(Verb::Serve(arguments)) => commands::serve::run(&arguments, out),
        Some(Verb::Demo) => commands::demo::run(config, out),
        Some(Verb::Backup(arguments)) => commands::backup::backup(&arguments, out),
        Some(Verb::Restore(arguments)) => commands::backup::restore(&arguments, out),
        Some(Verb::TakeOut(arguments)) => commands::bundle::take_out(&arguments, out),
        Some(Verb::BringIn(arguments)) => commands::bundle::bring_in(&arguments, out),
        Some(Verb::Oven(arguments)) => commands::oven::run(&arguments, config, out),
        Some(Verb::Check(arguments)) => commands::check::run(&arguments, out),
        Some(Verb::When(arguments)) => commands::when::run(&arguments, config, out),
        Some(Verb::Now(arguments)) => commands::now::run(&arguments, config, out),
        Some(Verb::Fall(arguments)) => commands::fall::run(&arguments, config, out),
        Some(Verb::Replay(arguments)) => commands::replay::run(&arguments, config, out),
    }
}

fn main() -> ExitCode {
    let arguments = Arguments::parse();
    let mut out = BufWriter::new(io::stdout().lock());
    let ran = run(arguments, &Config::from_environment(), &mut out);
    match ran.and_then(|code| out.flush().map(|()| code).map_err(Failure::from)) {
        Ok(code) => code,
        // Who reads only the first lines (`ovenfall | head`) has got what was wanted.
        Err(Failure::Output(error)) if error.kind() == io::ErrorKind::BrokenPipe => ExitCode::SUCCESS,
        Err(failure) => {
            let _ = out.flush();
            let _ = writeln!(io::stderr(), "{failure}");
            ExitCode::FAILURE
        }
    }
}
