//! Bad input is answered with a clear error or warning, word for word; never with a panic.

mod case;

use case::{Case, DAY, OVEN, POTS, printed};

fn with(oven: &str, day: &str, pots: &str, name: &str) -> Case {
    Case::new(name).file("oven.toml", oven).file("day.csv", day).file("pots.toml", pots)
}

/// What `check` prints ahead of its summary.
fn problems(case: &Case, code: i32) -> String {
    let text = printed(&case.run("check oven.toml day.csv pots.toml").code(code).stderr(""));
    text.split("\n\n").next().unwrap_or_default().to_owned()
}

const FALL: &str = "fall --oven oven.toml --day day.csv --members 8 --hours 1";

#[test]
fn an_unknown_material() {
    let case = with(&OVEN.replace("\"firebrick\", t", "\"firebrik\", t"), DAY, POTS, "material");
    let said = "error: oven.toml:10:16: unknown material `firebrik`\n  try: did you mean `firebrick`?";
    assert_eq!(problems(&case, 1), said);
    case.run("oven oven.toml").code(1).stdout("").stderr(format!("{said}\n"));
    case.run(FALL).code(1).stdout("").stderr(format!("{said}\n"));
}

#[test]
fn a_negative_thickness() {
    let case = with(&OVEN.replace("thickness_cm = 10 },\n]", "thickness_cm = -10 },\n]"), DAY, POTS, "thickness");
    let said = "error: oven.toml:11:55: `thickness_cm` is `-10`\n  allowed: 0.01 cm to 200 cm";
    assert_eq!(problems(&case, 1), said);
    case.run("oven oven.toml").code(1).stderr(format!("{said}\n"));
}

#[test]
fn a_probe_in_fahrenheit_beside_spots_in_celsius() {
    let spots = "\
9,2026-05-02T17:40:00+01:00,,spot,crown,205,C,,
10,2026-05-02T17:41:00+01:00,,spot,floor centre,200,C,,
11,2026-05-02T17:41:00+01:00,,spot,back wall,198,C,,
12,2026-05-02T17:42:00+01:00,,probe,,392,°C,,
";
    let case = with(OVEN, &format!("{DAY}{spots}"), POTS, "fahrenheit");
    let said = "warning: day.csv:14: probe `392 °C` beside spots of about 200 °C looks like °F (200 °C)\n  \
                try: if it is °F, strike it and enter it again with the unit `F`";
    assert_eq!(problems(&case, 0), said);
    assert!(printed(&case.run(FALL).success()).contains(said));
    case.run(&format!("{FALL} --json")).success().stderr(format!("{said}\n"));
}

#[test]
fn time_running_backwards() {
    let case = with(OVEN, &DAY.replace("2,2026-05-02T14:40", "2,2026-05-02T13:40"), POTS, "backwards");
    let said = "error: day.csv:4: time runs backwards: written at 2026-05-02T13:40:00+01:00, below a row written at \
                2026-05-02T14:00:00+01:00\n  \
                try: keep the rows in the order they were written; a late entry keeps its own `at`";
    assert_eq!(problems(&case, 1), said);
    case.run(FALL).code(1).stdout("").stderr(format!("{said}\n"));
}

#[test]
fn taken_out_without_being_placed() {
    let day: String = DAY.lines().filter(|line| !line.contains("placed")).map(|line| format!("{line}\n")).collect();
    let case = with(OVEN, &day, POTS, "not_placed");
    let said =
        "error: day.csv:9: `stew` is taken out at 18:30, but it is not in the oven\n  try: enter when it was placed";
    assert!(problems(&case, 1).contains(said));
    assert!(String::from_utf8_lossy(&case.run(FALL).code(1).stdout("").get_output().stderr).contains(said));
}

#[test]
fn a_pot_wider_than_the_mouth() {
    let case = with(OVEN, DAY, &POTS.replace("diameter_cm = 28", "diameter_cm = 52"), "wide_pot");
    let said = "error: pots.toml:3: the pot of `stew` is 52 cm wide, the mouth 42 cm\n  \
                try: measure the pot and the clear mouth again";
    assert_eq!(problems(&case, 1), said);
    case.run(FALL).code(1).stdout("").stderr(format!("{said}\n"));
}

#[test]
fn not_a_number() {
    let case = with(&OVEN.replace("rise_cm = 42", "rise_cm = nan"), DAY, POTS, "nan_oven");
    let said = "error: oven.toml:6:11: `rise_cm` is `nan`, not a finite number\n  allowed: 8 cm to 300 cm";
    assert_eq!(problems(&case, 1), said);
    let case = with(OVEN, &DAY.replace(",240,", ",NaN,"), POTS, "nan_day");
    assert_eq!(problems(&case, 1), "error: day.csv:8:37: `NaN` is not a number");
    let case = with(OVEN, DAY, &POTS.replace("solid_kg = 1.5", "solid_kg = nan"), "nan_pots");
    let said = "error: pots.toml:9:12: `solid_kg` is not a number\n  allowed: 0 to 60 kg\n  \
                try: write \"don't know\" if it is not known";
    assert_eq!(problems(&case, 1), said);
}

#[test]
fn an_empty_file() {
    let case = Case::new("empty").file("oven.toml", "").file("day.csv", "\n").file("pots.toml", "");
    let said = ["oven.toml", "day.csv", "pots.toml"]
        .map(|file| format!("error: {file}: the file is empty\n  try: write it as docs/formats.md shows"));
    assert_eq!(problems(&case, 1), said.join("\n"));
    let case = with(OVEN, "", POTS, "empty_day");
    case.run(FALL).code(1).stdout("").stderr(
        "error: day.csv: the file is empty\n  try: start with a row `id,at,written,kind,what,value,unit,note,strikes`\n",
    );
}

#[test]
fn ten_megabytes() {
    let lines = "# a line that says nothing at all\n".repeat(10 * 1024 * 1024 / 34);
    let case = with(&format!("{OVEN}{lines}"), &format!("{DAY}{lines}"), &format!("{POTS}{lines}"), "large");
    assert_eq!(
        problems(&case, 1),
        "error: oven.toml: the file has 10486054 bytes\n  allowed: up to 1000000 bytes\n  \
         try: this does not look like an oven file; is it the right one?\n\
         error: day.csv: the file is 10.0 MB long\n  allowed: up to 8 MB\n  \
         try: keep one firing a file, and thin a logger's readings to one a minute\n\
         error: pots.toml: the file is 10485878 bytes long\n  allowed: up to 1 MB\n  \
         try: keep the dishes of one day in a file"
    );
}

#[test]
fn a_missing_file_and_a_folder() {
    let case = Case::new("missing").file("day.csv", DAY);
    case.run(FALL)
        .code(1)
        .stdout("")
        .stderr("error: oven.toml: there is no such file\n  try: check the name and the folder\n");
    case.run("oven .").code(1).stderr("error: .: this is a folder\n  try: name a file in it\n");
}

#[test]
fn a_file_of_another_kind_and_of_none() {
    let case = with(OVEN, DAY, POTS, "kinds").file("notes.txt", "buy flour\n").file("latin.csv", b"id,at\n1,\xe9\n");
    case.run("oven day.csv").code(1).stdout("").stderr(
        "error: day.csv: this looks like a file of kind `day`\n  allowed: kind `oven`\n  \
         try: name the files in their own places\n",
    );
    let text = printed(&case.run("check notes.txt latin.csv").code(1));
    assert_eq!(
        text,
        "error: notes.txt: this is no oven, day or pots file, as far as can be seen\n  \
         try: begin with `kind = \"oven\"`, `kind = \"pots\"` or `# ovenfall day 1`\n\
         error: latin.csv:2: the text is not UTF-8\n  try: save it as UTF-8 (in a spreadsheet: CSV UTF-8)\n\n\
         notes.txt: 1 error, no warnings\nlatin.csv: 1 error, no warnings\n"
    );
}

#[test]
fn an_unknown_verb_and_an_unknown_option() {
    let case = Case::new("usage");
    case.run("bake").code(2).stdout("").stderr(
        "error: unrecognized subcommand 'bake'\n\n  tip: some similar subcommands exist: 'take-out', 'backup'\n\nUsage: ovenfall [COMMAND]\n\nFor more information, try '--help'.\n",
    );
    case.run("oven oven.toml --colour").code(2).stdout("").stderr(
        "error: unexpected argument '--colour' found\n\n  tip: to pass '--colour' as a value, use '-- --colour'\n\n\
         Usage: ovenfall oven <FILE>\n\nFor more information, try '--help'.\n",
    );
}

#[test]
fn an_hour_or_a_horizon_that_is_none() {
    let case = with(OVEN, DAY, POTS, "hours");
    let try_this = "try: 17:20 on the oven's clock, or a full time such as 2026-06-13T17:20:00+01:00";
    for (given, why) in [
        ("noon", "this is not a time"),
        ("25:10", "this is not a time"),
        ("2026-05-02T17:20", "the offset from UTC is missing, as +01:00"),
        ("2026-05-02", "the time of day is missing"),
    ] {
        case.run(&format!("{FALL} --at {given}"))
            .code(1)
            .stdout("")
            .stderr(format!("error: --at `{given}`: {why}\n  {try_this}\n"));
    }
    case.run(&format!("{FALL} --at 2026-05-01T17:20Z")).code(1).stdout("").stderr(
        "error: day.csv: nothing was written down by 2026-05-01T17:20:00Z\n  \
         try: ask for an hour after the first entry, 2026-05-02T14:00:00+01:00\n",
    );
    for given in ["nan", "0", "1e9", "-3"] {
        case.run(&format!("fall --oven oven.toml --day day.csv --hours={given}")).code(2).stdout("").stderr(format!(
            "error: invalid value '{given}' for '--hours <H>': it must lie between 0.25 and 96 hours\n\n\
             For more information, try '--help'.\n"
        ));
    }
}

#[test]
fn all_problems_of_all_files_at_once() {
    let oven = OVEN.replace("rise_cm = 42", "rise_cm = 420").replace("mouth_width_cm", "mouth_widht_cm");
    let case = with(&oven, &DAY.replace("wood on,,4,kg", "wood on,,4,stone"), POTS, "all_at_once");
    let said = problems(&case, 1);
    for place in ["oven.toml:6:", "oven.toml:7:", "day.csv:3:", "day.csv:4:"] {
        assert!(said.contains(place), "{place} in {said}");
    }
}
