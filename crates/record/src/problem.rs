//! What is wrong with a file, said like help: file, line, column, value, limits, what to do.
//!
//! Readers collect every problem instead of stopping at the first. An error means the file cannot be used; a warning
//! means it can, and that the tool doubts it.

use std::fmt;

/// How bad it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// The file can be used, but something looks wrong.
    Warning,
    /// The file cannot be used.
    Error,
}

/// One problem at one place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Problem {
    /// How bad it is.
    pub severity: Severity,
    /// The file's name as the user gave it.
    pub file: String,
    /// Line, from 1; 0 when the problem is the file as a whole.
    pub line: usize,
    /// Column in characters, from 1; 0 when the problem is the line as a whole.
    pub column: usize,
    /// What is wrong, in lower case, with the value in backticks.
    pub what: String,
    /// The limits or the legal values, when there are any.
    pub limits: Option<String>,
    /// What to do.
    pub suggestion: Option<String>,
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let kind = match self.severity {
            Severity::Warning => "warning",
            Severity::Error => "error",
        };
        write!(f, "{kind}: {}", self.file)?;
        if self.line > 0 {
            write!(f, ":{}", self.line)?;
            if self.column > 0 {
                write!(f, ":{}", self.column)?;
            }
        }
        write!(f, ": {}", self.what)?;
        if let Some(limits) = &self.limits {
            write!(f, "\n  allowed: {limits}")?;
        }
        if let Some(suggestion) = &self.suggestion {
            write!(f, "\n  try: {suggestion}")?;
        }
        Ok(())
    }
}
