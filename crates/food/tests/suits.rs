//! When an oven suits a dish, against courses whose answer is known by hand.

use ovenfall_food::dish::{self, Dish};
use ovenfall_food::suits::{Interval, Outlook, Shares, WhyNot, outlook, suits};

fn dish(name: &str) -> Dish {
    let dishes = dish::standard().expect("the built-in dishes");
    dish::find(&dishes, name).expect(name).clone()
}

fn interval(from_min: f64, until_min: f64, under_way: bool, goes_on: bool) -> Interval {
    Interval { from_min, until_min, under_way, goes_on }
}

#[test]
fn a_straight_fall_enters_and_leaves_where_it_should() {
    // 250 °C falling 1 K a minute: a tin loaf (230 to 180) suits from minute 20 to minute 70, off the grid of times.
    let times = [0.0, 30.0, 60.0, 90.0];
    let values = [250.0, 220.0, 190.0, 160.0];
    assert_eq!(suits(&dish("tin loaf"), &times, &values), vec![interval(20.0, 70.0, false, false)]);
}

#[test]
fn a_window_jumped_over_between_two_times_is_found() {
    let found = suits(&dish("tin loaf"), &[0.0, 100.0], &[260.0, 160.0]);
    assert_eq!(found, vec![interval(30.0, 80.0, false, false)]);
}

#[test]
fn a_stretch_can_be_under_way_go_on_and_come_twice() {
    let loaf = dish("tin loaf");
    assert_eq!(suits(&loaf, &[0.0, 10.0], &[200.0, 190.0]), vec![interval(0.0, 10.0, true, true)]);
    // Cold pots pull it out of the window, then it comes back.
    let found = suits(&loaf, &[0.0, 10.0, 20.0], &[190.0, 170.0, 190.0]);
    assert_eq!(found, vec![interval(0.0, 5.0, true, false), interval(15.0, 20.0, false, true)]);
    assert_eq!(suits(&dish("kindling"), &[0.0, 10.0], &[110.0, 90.0]), vec![interval(5.0, 10.0, false, true)]);
}

#[test]
fn odd_input_gives_no_answer_but_no_panic() {
    let loaf = dish("tin loaf");
    assert!(suits(&loaf, &[], &[]).is_empty());
    assert!(suits(&loaf, &[0.0, 1.0], &[f64::NAN, f64::NAN]).is_empty());
    assert_eq!(suits(&loaf, &[0.0, 1.0, 2.0], &[200.0]), vec![interval(0.0, 0.0, true, true)]);
    let gap = suits(&loaf, &[0.0, 1.0, 2.0, 3.0], &[200.0, f64::NAN, f64::INFINITY, 200.0]);
    assert_eq!(gap, vec![interval(0.0, 0.0, true, false), interval(3.0, 3.0, false, true)]);
    assert_eq!(outlook(&[], &Shares::default(), 0.9), Outlook::Never(WhyNot::Unknown));
    assert_eq!(outlook(&[0.0], &Shares::count(&loaf, 1, 0, |_, _| 0.0), 0.9), Outlook::Never(WhyNot::Unknown));
}

/// Ten ovens that fall 1 K a minute, 5 K apart, at every tenth minute of four hours.
fn ten_ovens(name: &str, hottest_c: f64) -> (Vec<f64>, Shares) {
    let times_min: Vec<f64> = (0..=24).map(|i| 10.0 * f64::from(i)).collect();
    let at = |time: usize, member: usize| hottest_c - 5.0 * member as f64 - times_min[time];
    let shares = Shares::count(&dish(name), times_min.len(), 10, at);
    (times_min, shares)
}

#[test]
fn shares_count_members() {
    let (_, shares) = ten_ovens("tin loaf", 250.0);
    // At the start: 250, 245, 240, 235 are too hot; 230 … 205 are within.
    assert_eq!((shares.too_hot_share[0], shares.within_share[0], shares.too_cool_share[0]), (0.4, 0.6, 0.0));
    // After 40 minutes: 210 … 165; 210 … 180 are within.
    assert_eq!((shares.too_hot_share[4], shares.within_share[4], shares.too_cool_share[4]), (0.0, 0.7, 0.3));
}

#[test]
fn a_chance_has_a_beginning_and_an_end() {
    let (times, shares) = ten_ovens("tin loaf", 250.0);
    // Shares at 0, 10, 20, 30, 40 minutes: 0.6, 0.8, 1.0, 0.9, 0.7. Nine in ten: from minute 15 to minute 30.
    let Outlook::Suits(spans) = outlook(&times, &shares, 0.9) else { panic!("it suits") };
    assert_eq!(spans.len(), 1);
    let Interval { from_min, until_min, under_way, goes_on } = spans[0].interval;
    assert!((from_min - 15.0).abs() < 1e-9 && (until_min - 30.0).abs() < 1e-9, "{spans:?}");
    assert!(!under_way && !goes_on);
    assert_eq!((spans[0].chances_in_ten, spans[0].best_min), (10, 20.0));
}

#[test]
fn never_comes_with_its_reason() {
    let never = |name: &str, hottest_c: f64, chance: f64| {
        let (times, shares) = ten_ovens(name, hottest_c);
        match outlook(&times, &shares, chance) {
            Outlook::Never(why) => why,
            Outlook::Suits(spans) => panic!("{name} suits: {spans:?}"),
        }
    };
    assert_eq!(never("herbs", 400.0, 0.9), WhyNot::TooHotUntil { at_min: 240.0 });
    assert_eq!(never("pizza", 300.0, 0.9), WhyNot::AlreadyTooCool);
    // Herbs have a window of 10 K: of ten ovens 5 K apart at most three are inside, first at minute 20 (45, 40, 35 °C).
    assert_eq!(never("herbs", 100.0, 0.9), WhyNot::Unlikely { best_min: 20.0, chances_in_ten: 3 });
}
