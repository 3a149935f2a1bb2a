//! A search that somebody watches can be ended from another thread, and is the same until then.

use std::thread;
use std::time::Duration;

use layout::{Rotations, Search, Stop, verify};

#[expect(dead_code, reason = "others use the rest")]
mod jobs;

use jobs::Style;

#[test]
fn a_search_that_was_told_to_stop_makes_no_further_round() {
    let rotations = Rotations::along_the_grain();
    let hard = jobs::cut_up(3, 30, Style::Patches, rotations).0;
    for problem in [hard, jobs::outlines(1, 20, rotations)] {
        let stop = Stop::default();
        let mut search = Search::begin(&problem, 1).expect("everything fits");
        search.heed(&stop);
        search.step(5);
        let (rounds, best) = (search.rounds(), search.best().clone());
        stop.stop();
        assert!(!search.step(1000));
        assert_eq!((search.rounds(), search.best()), (rounds, &best));
    }
}

#[test]
fn a_step_ends_with_a_right_layout_when_it_is_told_to_stop_in_its_midst() {
    let (problem, length) = jobs::cut_up(3, 30, Style::Patches, Rotations::one_way());
    let stop = Stop::default();
    let mut search = Search::begin(&problem, 1).expect("everything fits");
    search.heed(&stop);
    thread::scope(|scope| {
        scope.spawn(|| {
            thread::sleep(Duration::from_millis(30));
            stop.stop();
        });
        // More rounds than a day has time for.
        search.step(u32::MAX);
    });
    assert_eq!(verify(&problem, search.best()), Ok(()));
    assert!(search.best().bound <= length && length <= search.best().length);
}

#[test]
fn to_heed_changes_nothing_until_it_is_told() {
    let problem = jobs::bag(5);
    let search = |heeds: bool| {
        let mut search = Search::begin(&problem, 7).expect("everything fits");
        if heeds {
            search.heed(&Stop::default());
        }
        search.step(300);
        search.best().clone()
    };
    assert_eq!(search(true), search(false));
}
