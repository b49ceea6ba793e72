//! The diary as a calendar file (RFC 5545).
//!
//! Written by hand. The maintained library `icalendar` was measured: 467 KB of wasm (110 KB
//! packed) for one event, because it brings a clock, time zones and random numbers, none of which
//! the sheets may use; that is nearly the whole page's budget. The smaller `ical` (34 KB) counts
//! characters where the format counts octets and escapes no text. The tests read these files with
//! the former.

use planner::diary::DiaryStep;
use planner::plan::CanvasPlan;
use planner::{Day, Plan};

/// When a file is made.
pub use time::UtcDateTime as Stamp;

/// The longest line in octets, its end not counted (RFC 5545 section 3.1).
const LINE: usize = 75;

/// The plan's dated steps, each as an event of whole days; none where the plan has no dates.
/// `stamp` is when the file is made.
///
/// A step without work, such as drying, leaves the day free. Events keep their names (UID) as
/// long as plan, step and day stay, so a file read twice makes nothing twice.
///
/// ```
/// use planner::{Draft, plan};
/// use sheets::calendar::{Stamp, diary};
/// let tree = serde_json::from_str(r#"{"day":"2026-03-02","canvases":[{"width":"600 mm","height":"500 mm"}]}"#).unwrap();
/// let file = diary(&plan(&Draft::from_tree(&tree).0), Stamp::UNIX_EPOCH).unwrap();
/// assert!(file.contains("\r\nDTSTART;VALUE=DATE:20260302\r\n"));
/// assert!(file.contains("\r\nDTSTAMP:19700101T000000Z\r\n"));
/// ```
#[must_use]
pub fn diary(plan: &Plan, stamp: Stamp) -> Option<String> {
    let dated: Vec<(&DiaryStep, Day)> = plan
        .diary
        .steps
        .iter()
        .filter_map(|step| Some((step, step.date?)))
        .collect();
    if dated.is_empty() {
        return None;
    }
    let mut file = File::default();
    file.line("BEGIN:VCALENDAR");
    file.line("VERSION:2.0");
    file.line("PRODID:-//Battenbook//Diary//EN");
    file.line("CALSCALE:GREGORIAN");
    for (step, date) in dated {
        event(&mut file, plan, step, date, stamp);
    }
    file.line("END:VCALENDAR");
    Some(file.text)
}

fn event(file: &mut File, plan: &Plan, step: &DiaryStep, date: Day, stamp: Stamp) {
    // The day after the last: RFC 5545 section 3.6.1, DTEND is exclusive.
    let end = date.saturating_add(time::Duration::days(i64::from(step.lasts.max(1))));
    let summary = if plan.name.is_empty() {
        step.title()
    } else {
        format!("{}: {}", plan.name, step.title())
    };
    file.line("BEGIN:VEVENT");
    file.line(&format!("UID:{}", uid(plan, step, date)));
    file.line(&format!("DTSTAMP:{}", utc(stamp)));
    file.line(&format!("DTSTART;VALUE=DATE:{}", basic(date)));
    file.line(&format!("DTEND;VALUE=DATE:{}", basic(end)));
    file.line(&format!("SUMMARY:{}", escaped(&summary)));
    if !step.what.is_work() {
        file.line("TRANSP:TRANSPARENT");
    }
    file.line("END:VEVENT");
}

/// A date as RFC 5545 section 3.3.4 writes it.
fn basic(day: Day) -> String {
    let (year, month, day) = day.to_calendar_date();
    format!("{year:04}{:02}{day:02}", u8::from(month))
}

/// A moment as RFC 5545 section 3.3.5 writes it in UTC.
fn utc(stamp: Stamp) -> String {
    let (h, m, s) = stamp.time().as_hms();
    format!("{}T{h:02}{m:02}{s:02}Z", basic(stamp.date()))
}

/// A name in the form of a UUID of version 8 (RFC 9562: made any way one likes), which RFC 7986
/// section 5.3 asks for: the hash of what tells this step from those of other plans.
fn uid(plan: &Plan, step: &DiaryStep, date: Day) -> String {
    let mut told = format!("{}\n{}\n{date}\n", plan.name, step.title());
    let size = |c: &CanvasPlan| {
        let frame = c.frame.as_ref();
        // Always written so: other words would make other names of the same steps.
        frame.map_or_else(
            || "None".to_owned(),
            |f| {
                let [width, height] = [&f.outer_width, &f.outer_height].map(|x| x.value.as_nm());
                format!("Some(({width}, {height}))")
            },
        )
    };
    for c in &plan.canvases {
        told += &format!("{}\n{}\n{}\n", c.name, c.count, size(c));
    }
    let hash = fnv_1a(told.as_bytes());
    // Version 8 in the seventh octet's high half, variant 10 in the ninth's two highest bits.
    let marked = (hash & !(0xf << 76) & !(0x3 << 62)) | (0x8 << 76) | (0x2 << 62);
    let hex = format!("{marked:032x}");
    let parts = [
        &hex[..8],
        &hex[8..12],
        &hex[12..16],
        &hex[16..20],
        &hex[20..],
    ];
    parts.join("-")
}

/// FNV-1a with 128 bits (Fowler, Noll and Vo; RFC 9923, from memory).
fn fnv_1a(bytes: &[u8]) -> u128 {
    const BASIS: u128 = 0x6c62_272e_07bb_0142_62b8_2175_6295_c58d;
    const PRIME: u128 = 0x0000_0000_0100_0000_0000_0000_0000_013b;
    bytes
        .iter()
        .fold(BASIS, |hash, b| (hash ^ u128::from(*b)).wrapping_mul(PRIME))
}

/// Text as RFC 5545 section 3.3.11 writes it; control signs, which it forbids, become blanks.
fn escaped(text: &str) -> String {
    let mut out = String::new();
    for c in text.replace("\r\n", "\n").chars() {
        match c {
            '\\' | ';' | ',' => out.extend(['\\', c]),
            '\n' => out.push_str("\\n"),
            c if c.is_control() => out.push(' '),
            c => out.push(c),
        }
    }
    out
}

#[derive(Default)]
struct File {
    text: String,
}

impl File {
    /// A line, folded before it grows past its octets and never inside a character.
    fn line(&mut self, line: &str) {
        let mut octets = 0;
        for c in line.chars() {
            if octets + c.len_utf8() > LINE {
                self.text.push_str("\r\n ");
                octets = 1;
            }
            self.text.push(c);
            octets += c.len_utf8();
        }
        self.text.push_str("\r\n");
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn published_hashes() {
        // From the FNV authors' test vectors: "" and "a" (from memory).
        assert_eq!(fnv_1a(b""), 0x6c62_272e_07bb_0142_62b8_2175_6295_c58d);
        assert_eq!(fnv_1a(b"a"), 0xd228_cb69_6f1a_8caf_7891_2b70_4e4a_8964);
    }

    #[test]
    fn text_is_escaped() {
        assert_eq!(escaped("a;b,c\\d\r\ne\nf\tg"), "a\\;b\\,c\\\\d\\ne\\nf g");
    }

    #[test]
    fn lines_are_folded_between_characters() {
        let mut file = File::default();
        let long = format!("SUMMARY:{}", "né𝒶".repeat(60));
        file.line(&long);
        for line in file.text.trim_end().split("\r\n") {
            assert!(line.len() <= LINE, "{} octets: {line}", line.len());
        }
        assert_eq!(file.text.replace("\r\n ", ""), long + "\r\n");
    }
}
