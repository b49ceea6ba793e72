//! One case under watch: it must not panic, take long, or need much memory.

use std::fs;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::LazyLock;
use std::time::{Duration, Instant};

use peak_alloc::PeakAlloc;

use crate::targets::Target;

/// Counts what is in use; programs that try cases have it as their allocator.
#[global_allocator]
static MEMORY: PeakAlloc = PeakAlloc;

/// What a case may take on the page.
pub const PROMISED: Duration = Duration::from_millis(100);

/// What a case came to.
#[derive(Debug)]
pub struct Trial {
    /// Shape of the answer.
    pub shape: u64,
    /// Processor time it took.
    pub time: Duration,
    /// Bytes in use at the most, beyond those before.
    pub memory: usize,
}

/// Feeds a case to a target.
///
/// # Errors
///
/// What did not hold.
pub fn run(target: &Target, case: &[u8]) -> Result<Trial, String> {
    let mut trial = once(target, case)?;
    // Other work of the machine takes the processor's caches away: what seems slow is tried again.
    for _ in 0..2 {
        if trial.time > target.time {
            trial.time = trial.time.min(once(target, case)?.time);
        }
    }
    if trial.time > target.time {
        return Err(format!(
            "it takes {:?}, more than {:?}",
            trial.time, target.time
        ));
    }
    if trial.memory > target.memory {
        return Err(format!(
            "it needs {} bytes, more than {}",
            trial.memory, target.memory
        ));
    }
    Ok(trial)
}

fn once(target: &Target, case: &[u8]) -> Result<Trial, String> {
    let before = MEMORY.current_usage();
    MEMORY.reset_peak_usage();
    let start = clock();
    let fed = catch_unwind(AssertUnwindSafe(|| (target.feed)(case)));
    let time = clock().saturating_sub(start);
    let memory = MEMORY.peak_usage().saturating_sub(before);
    match fed {
        Ok(shape) => Ok(Trial {
            shape,
            time,
            memory,
        }),
        Err(panic) => {
            let said = panic
                .downcast_ref::<String>()
                .map(String::as_str)
                .or_else(|| panic.downcast_ref::<&str>().copied());
            Err(format!("it panics: {}", said.unwrap_or("(no message)")))
        }
    }
}

/// Processor time of this thread, so that other work of the machine does not count; where the
/// system does not tell it (Linux does), time by the clock.
pub fn clock() -> Duration {
    static START: LazyLock<Instant> = LazyLock::new(Instant::now);
    let told = fs::read_to_string("/proc/thread-self/schedstat").ok();
    let nanos = told.and_then(|text| text.split(' ').next()?.parse().ok());
    nanos.map_or_else(|| START.elapsed(), Duration::from_nanos)
}
