//! `ovenfall check`: every problem of oven, day and pots files at once, and of the three together.

use super::print_json;
use crate::arguments::CheckArguments;
use crate::failure::Failure;
use crate::input_file::{self, Kind, whole_file};
use ovenfall_answer::InputText;
use ovenfall_engine::appraisal::assembled;
use ovenfall_engine::parameters::Parameters;
use ovenfall_engine::simulate::{Options, simulate};
use ovenfall_record::day::Day;
use ovenfall_record::day_file::read_day;
use ovenfall_record::drive::drive;
use ovenfall_record::oven_file::{OvenFile, read_oven};
use ovenfall_record::pots::Pots;
use ovenfall_record::pots_file::read_pots;
use ovenfall_record::problem::{Problem, Severity};
use ovenfall_record::together::check_together;
use serde::Serialize;
use std::io::Write;
use std::process::ExitCode;

/// What was found in one file.
#[derive(Debug, Serialize)]
struct Checked {
    file: String,
    kind: Option<&'static str>,
    errors: usize,
    warnings: usize,
}

#[derive(Debug, Serialize)]
struct CheckJson<'a> {
    files: &'a [Checked],
    checked_together: bool,
    problems: Vec<ProblemJson<'a>>,
    errors: usize,
    warnings: usize,
}

#[derive(Debug, Serialize)]
struct ProblemJson<'a> {
    severity: &'static str,
    file: &'a str,
    line: usize,
    column: usize,
    what: &'a str,
    limits: Option<&'a str>,
    suggestion: Option<&'a str>,
}

/// Everything read so far.
#[derive(Default)]
struct Checks {
    files: Vec<(String, Option<Kind>)>,
    problems: Vec<Problem>,
    ovens: Vec<OvenFile>,
    days: Vec<Day>,
    pots: Vec<Pots>,
    together: bool,
}

/// Runs the verb.
pub fn run(arguments: &CheckArguments, out: &mut dyn Write) -> Result<ExitCode, Failure> {
    let mut checks = Checks::default();
    for path in &arguments.files {
        match input_file::read(path) {
            Ok(file) => checks.read(&file),
            Err(problem) => {
                checks.files.push((problem.file.clone(), None));
                checks.problems.push(problem);
            }
        }
    }
    checks.hold_together();
    let files: Vec<Checked> = checks.files.iter().map(|(file, kind)| checks.of_file(file, *kind)).collect();
    let errors = count(&checks.problems, Severity::Error);
    if arguments.json {
        let problems = checks.problems.iter().map(ProblemJson::new).collect();
        let warnings = count(&checks.problems, Severity::Warning);
        print_json(out, &CheckJson { files: &files, checked_together: checks.together, problems, errors, warnings })?;
    } else {
        print(&checks, &files, out)?;
    }
    Ok(if errors == 0 { ExitCode::SUCCESS } else { ExitCode::FAILURE })
}

fn count<'a>(problems: impl IntoIterator<Item = &'a Problem>, severity: Severity) -> usize {
    problems.into_iter().filter(|problem| problem.severity == severity).count()
}

/// Takes what was read, or notes what stopped it.
fn keep<T>(read: Result<T, Vec<Problem>>, warnings: fn(&T) -> &[Problem], problems: &mut Vec<Problem>) -> Option<T> {
    match read {
        Ok(read) => {
            problems.extend_from_slice(warnings(&read));
            Some(read)
        }
        Err(found) => {
            problems.extend(found);
            None
        }
    }
}

impl Checks {
    fn read(&mut self, file: &InputText) {
        let (name, text, problems) = (&file.name, &file.text, &mut self.problems);
        let empty = text.trim_start_matches('\u{feff}').trim().is_empty();
        let kind = input_file::kind(file).filter(|_| !empty);
        self.files.push((name.clone(), kind));
        match kind {
            Some(Kind::Oven) => {
                let oven = keep(read_oven(name, text), |oven| &oven.warnings, problems);
                self.ovens.extend(oven.filter(|oven| can_be_computed(name, oven, problems)));
            }
            Some(Kind::Day) => self.days.extend(keep(read_day(name, text), |day| &day.warnings, problems)),
            Some(Kind::Pots) => self.pots.extend(keep(read_pots(name, text), |pots| &pots.warnings, problems)),
            None if empty => {
                let suggestion = "write it as docs/formats.md shows";
                problems.push(whole_file(name, "the file is empty".to_owned(), None, suggestion));
            }
            None => {
                let what = "this is no oven, day or pots file, as far as can be seen".to_owned();
                let suggestion = "begin with `kind = \"oven\"`, `kind = \"pots\"` or `# ovenfall day 1`";
                problems.push(whole_file(name, what, None, suggestion));
            }
        }
    }

    /// Checks one oven, one day and one pots file against each other, and runs the day once.
    fn hold_together(&mut self) {
        let ([oven], [day], [pots]) = (&self.ovens[..], &self.days[..], &self.pots[..]) else { return };
        self.together = true;
        let found = check_together(&oven.description, day, pots);
        let sound = count(&found, Severity::Error) == 0;
        self.problems.extend(found);
        if sound {
            let ran = run_once(oven, day, pots);
            self.problems.extend(ran.err().into_iter().flatten());
        }
    }

    fn of_file(&self, file: &str, kind: Option<Kind>) -> Checked {
        let of_it = || self.problems.iter().filter(|problem| problem.file == file);
        Checked {
            file: file.to_owned(),
            kind: kind.map(Kind::name),
            errors: count(of_it(), Severity::Error),
            warnings: count(of_it(), Severity::Warning),
        }
    }
}

/// What reads well can still be an oven the engine does not know how to compute.
fn can_be_computed(name: &str, oven: &OvenFile, problems: &mut Vec<Problem>) -> bool {
    let error = assembled(&oven.description, &Parameters::default()).err();
    problems.extend(error.as_ref().map(|error| {
        let what = format!("this oven cannot be computed: {error}");
        whole_file(name, what, None, "measure the part it names again")
    }));
    error.is_none()
}

/// Runs the whole day once, on the oven as described.
fn run_once(oven: &OvenFile, day: &Day, pots: &Pots) -> Result<(), Vec<Problem>> {
    let Some(last) = day.entries.iter().map(|entry| entry.written.instant.max(entry.at.instant)).max() else {
        return Ok(());
    };
    let driven = drive(day, pots, last, 60.0)?;
    let options = Options { output_times_s: vec![driven.drive.end_s], ..Options::default() };
    let ran = simulate::<1>(&oven.description, &[Parameters::default()], &driven.drive, &options);
    ran.map(|_| ()).map_err(|error| {
        let what = format!("the day cannot be computed: {error}");
        vec![whole_file(&day.file, what, None, "look at the entries around that time")]
    })
}

impl<'a> ProblemJson<'a> {
    fn new(problem: &'a Problem) -> Self {
        Self {
            severity: match problem.severity {
                Severity::Warning => "warning",
                Severity::Error => "error",
            },
            file: &problem.file,
            line: problem.line,
            column: problem.column,
            what: &problem.what,
            limits: problem.limits.as_deref(),
            suggestion: problem.suggestion.as_deref(),
        }
    }
}

fn counted(count: usize, one: &str) -> String {
    match count {
        0 => format!("no {one}s"),
        1 => format!("1 {one}"),
        _ => format!("{count} {one}s"),
    }
}

fn print(checks: &Checks, files: &[Checked], out: &mut dyn Write) -> Result<(), Failure> {
    for problem in &checks.problems {
        writeln!(out, "{problem}")?;
    }
    if !checks.problems.is_empty() {
        writeln!(out)?;
    }
    for file in files {
        let kind = file.kind.map_or_else(String::new, |kind| format!("{kind}, "));
        let (errors, warnings) = (counted(file.errors, "error"), counted(file.warnings, "warning"));
        writeln!(out, "{}: {kind}{errors}, {warnings}", file.file)?;
    }
    let together = match (checks.together, checks.ovens.len(), checks.days.len()) {
        (true, _, _) => "checked against each other, and the day run once",
        (false, 1, 1) if checks.pots.is_empty() => "name the pots file as well to check them against each other",
        _ => return Ok(()),
    };
    writeln!(out, "{together}")?;
    Ok(())
}
