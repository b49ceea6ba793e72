//! Cases that once broke something, and the ones every search begins with, hold today.

use fuzz::targets::ALL;
use fuzz::{cases, trial};

/// The only test of this program: memory is counted for all of it.
#[test]
fn kept_cases_hold() {
    for target in &ALL {
        let kept = cases::kept(target).expect("the kept cases can be read");
        let begin = (target.begin)().into_iter().map(|c| (String::new(), c));
        for (name, case) in kept.into_iter().chain(begin) {
            let case_text = String::from_utf8_lossy(&case);
            if let Err(what) = trial::run(target, &case) {
                panic!("{} {name}: {what}\n{case_text}", target.name);
            }
        }
    }
}
