//! The random briefs are the same each time, and good for something.

use fuzz::briefs;

#[test]
fn random_briefs_are_the_same_each_time_and_mostly_whole_plans() {
    let mut whole = 0;
    for number in 0..60 {
        let brief = briefs::brief(number);
        assert_eq!(brief, briefs::brief(number));
        whole += usize::from(planner::plan(&brief).faults.is_empty());
    }
    assert!((30..60).contains(&whole), "{whole} of 60 without a fault");
}
