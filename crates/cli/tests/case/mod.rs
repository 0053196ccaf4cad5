//! A folder of files and the program run in it.
#![allow(dead_code, reason = "every test file uses the part it needs")]

use assert_cmd::Command;
use assert_cmd::assert::Assert;
use std::fs;
use std::path::PathBuf;

/// An oven whose owner measured what matters.
pub const OVEN: &str = "\
ovenfall = 1
kind = \"oven\"
name = \"quay oven\"
construction = \"firebrick with vermiculite concrete\"
diameter_cm = 90
rise_cm = 42
mouth_width_cm = 42
mouth_height_cm = 27
dome = [
  { material = \"firebrick\", thickness_cm = 10 },
  { material = \"vermiculite concrete\", thickness_cm = 10 },
]
time_zone = \"Europe/Lisbon\"
";

/// A firing, shut at 17:00, and a pot that is planned for 18:00.
pub const DAY: &str = "\
# ovenfall day 1
id,at,written,kind,what,value,unit,note,strikes
1,2026-05-02T14:00:00+01:00,,wood on,,4,kg,,
2,2026-05-02T14:40:00+01:00,,wood on,,4,kg,,
3,2026-05-02T15:20:00+01:00,,wood on,,3,kg,,
4,2026-05-02T16:50:00+01:00,,raked out,,,,,
5,2026-05-02T17:00:00+01:00,,door,shut,,,,
6,2026-05-02T17:30:00+01:00,,probe,,240,C,,
7,2026-05-02T18:00:00+01:00,2026-05-02T17:30:00+01:00,placed,stew,,,,
8,2026-05-02T18:30:00+01:00,2026-05-02T17:30:00+01:00,taken out,stew,,,,
";

/// A pot that goes through the mouth.
pub const POTS: &str = "\
ovenfall = 1
kind = \"pots\"
[[dish]]
name = \"stew\"
kind = \"braise\"
diameter_cm = 28
height_cm = 14
liquid_kg = 1.0
solid_kg = 1.5
start_c = 80
";

/// A folder that one test has to itself.
pub struct Case {
    folder: PathBuf,
}

impl Case {
    /// An empty folder with the test's name.
    pub fn new(name: &str) -> Self {
        let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(env!("CARGO_CRATE_NAME")).join(name);
        if folder.exists() {
            fs::remove_dir_all(&folder).expect("the folder of an earlier run can be removed");
        }
        fs::create_dir_all(&folder).expect("a folder");
        Self { folder }
    }

    /// Puts a file into it.
    pub fn file(self, name: &str, text: impl AsRef<[u8]>) -> Self {
        fs::write(self.folder.join(name), text).expect("a file");
        self
    }

    /// Runs the program in it; arguments are split at blanks.
    pub fn run(&self, arguments: &str) -> Assert {
        let mut command = Command::cargo_bin("ovenfall").expect("the program");
        command.current_dir(&self.folder).env_remove("COLUMNS").args(arguments.split_whitespace()).assert()
    }

    /// Where a file of it is.
    pub fn path(&self, name: &str) -> String {
        self.folder.join(name).display().to_string()
    }

    /// The same on a terminal of so many columns.
    pub fn run_in(&self, columns: usize, arguments: &str) -> Assert {
        let mut command = Command::cargo_bin("ovenfall").expect("the program");
        command
            .current_dir(&self.folder)
            .env("COLUMNS", columns.to_string())
            .args(arguments.split_whitespace())
            .assert()
    }

    /// The text of a file the program wrote.
    pub fn read(&self, name: &str) -> String {
        fs::read_to_string(self.folder.join(name)).unwrap_or_else(|error| panic!("{name}: {error}"))
    }
}

/// What was printed to standard output.
pub fn printed(assert: &Assert) -> String {
    String::from_utf8(assert.get_output().stdout.clone()).expect("UTF-8")
}
