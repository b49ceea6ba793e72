//! The files that the page saves, read by other people's readers.

use icalendar::parser::{read_calendar, unfold};
use icalendar::{Calendar, Component, DatePerhapsTime};
use planner::{Draft, Plan, plan};
use sheets::calendar::{Stamp, diary};
use sheets::{csv, qr};

fn plan_of(json: &str) -> Plan {
    let tree = serde_json::from_str(json).expect("the test's brief is JSON");
    let (draft, faults) = Draft::from_tree(&tree);
    assert!(faults.is_empty(), "{faults:?}");
    plan(&draft)
}

/// Names with everything that could end a cell, a line, a property or start a formula.
const NASTY: &str = r#"{
    "name": "Été; 2 × \\ \"class\", 学生の木枠と麻布の予定表、水曜日の夜の教室、材料は各自が持参すること",
    "day": "2026-12-28", "work_days": "Mon-Fri", "currency": "=€",
    "canvases": [
        {"name": "=HYPERLINK(\"x\",\"y\")", "width": "600 mm", "height": "500 mm", "count": 3},
        {"name": "-a, \"b\"", "width": "35 1/2 in", "height": "29 1/2 in"}
    ],
    "boards": [{"length": "2400 mm", "price": "6.20"}, {"of": "bead", "length": "2400 mm", "price": "4.80"}],
    "rolls": [{"width": "1.6 m", "price": "12.50"}]
}"#;

/// Rows as an independent reader sees them; every row must be as long as the heading.
fn rows(file: &str) -> Vec<Vec<String>> {
    let mut reader = ::csv::ReaderBuilder::new()
        .has_headers(false)
        .from_reader(file.as_bytes());
    let rows = reader.records().map(|row| {
        let row = row.expect("rows of one length, well quoted");
        row.iter().map(str::to_owned).collect()
    });
    rows.collect()
}

#[track_caller]
fn harmless(rows: &[Vec<String>]) {
    for cell in rows.iter().flatten() {
        let first = cell.trim_start().chars().next();
        assert!(!matches!(first, Some('=' | '+' | '-' | '@')), "{cell:?}");
    }
}

/// RFC 4180 section 2, rule 1: a line break is CR LF, outside and inside of quotes.
#[track_caller]
fn crlf_only(file: &str) {
    let rest = file.replace("\r\n", "");
    assert!(!rest.contains(['\r', '\n']), "{file:?}");
    assert!(file.ends_with("\r\n"));
}

#[test]
fn the_cut_list_reads_back() {
    let plan = plan_of(NASTY);
    let file = csv::cut_list(&plan);
    crlf_only(&file);
    let rows = rows(&file);
    harmless(&rows);
    let pieces: Vec<_> = plan.cut_list.iter().chain(&plan.bead_list).collect();
    assert_eq!(rows.len(), 1 + pieces.len());
    for (row, piece) in rows[1..].iter().zip(pieces) {
        assert_eq!(row[1], piece.letter);
        assert_eq!(row[2], piece.count.to_string());
        // Exactly: 35 1/2 in is 901.7 mm.
        assert_eq!(row[4].parse(), Ok(piece.length.to_mm()));
        for (canvas, part) in &piece.goes_to {
            let place = format!("{}, {part}", plan.canvases[*canvas].name);
            assert!(row[8].contains(&place), "{row:?}");
        }
    }
    assert!(
        rows.iter().any(|r| r[4] == "901.7" && r[3] == "901.5 mm"),
        "{rows:?}"
    );
}

#[test]
fn the_shopping_list_reads_back() {
    let plan = plan_of(NASTY);
    let file = csv::shopping_list(&plan);
    crlf_only(&file);
    let rows = rows(&file);
    harmless(&rows);
    let find = |what: &str| {
        let row = rows.iter().find(|r| r[0].starts_with(what));
        row.unwrap_or_else(|| panic!("{what} is not in {rows:?}"))
    };
    let boards = plan.boards.as_ref().expect("boards are bought");
    let batten = find("Batten 45 × 20 mm");
    assert_eq!(batten[2], "2400");
    assert_eq!(batten[3], boards.lines[0].count.to_string());
    assert_eq!(
        batten[7],
        boards.lines[0].cost.expect("a price").to_string()
    );
    assert_eq!(batten[8], "'=€");
    let size = plan.size.as_ref().expect("glue size");
    assert_eq!(
        find("Dry glue for size")[5].parse(),
        Ok(size.glue.value.to_grams())
    );
    assert_eq!(find("Dry glue for size")[6], "g");
    let cloth = plan.cloth.as_ref().expect("cloth is bought");
    assert_eq!(
        find("Cloth off the roll")[5].parse(),
        Ok(cloth.lengths[0].buy.value.to_mm())
    );
    assert_eq!(find("Cloth off the roll")[2], "1600");
    let totals = plan.totals.as_ref().expect("totals");
    assert_eq!(find("Screws")[3], totals.screws.value.to_string());
}

#[test]
fn a_file_beyond_ascii_says_that_it_is_utf_8() {
    // RFC 3629, section 6: the byte order mark EF BB BF.
    let file = csv::shopping_list(&plan_of(NASTY));
    assert!(file.as_bytes().starts_with(b"\xef\xbb\xbfWhat,"));
    // The independent reader takes it for no part of the first heading.
    assert_eq!(rows(&file)[0][0], "What");
    let plain = plan_of(r#"{"canvases":[{"name":"A","width":"600 mm","height":"500 mm"}]}"#);
    assert!(csv::cut_list(&plain).starts_with("Of,"));
}

#[test]
fn what_waits_is_no_number_in_the_file() {
    let plan = plan_of(r#"{"kerf":"wide","canvases":[{"width":"600 mm","height":"500 mm"}]}"#);
    let rows = rows(&csv::shopping_list(&plan));
    let batten = rows.iter().find(|r| r[0].starts_with("Batten"));
    assert_eq!(batten.map(|r| r[3].as_str()), Some("waits"));
}

#[test]
fn an_empty_plan_gives_headings_only() {
    let plan = plan_of("{}");
    assert_eq!(rows(&csv::cut_list(&plan)).len(), 1);
    assert_eq!(rows(&csv::shopping_list(&plan)).len(), 1);
}

fn stamp() -> Stamp {
    // `date -u -d 2026-11-25T10:20:30Z +%s`
    Stamp::from_unix_timestamp(1_795_602_030).expect("a moment")
}

#[test]
fn the_diary_reads_back() {
    let plan = plan_of(NASTY);
    let file = diary(&plan, stamp()).expect("the plan has dates");
    crlf_only(&file);
    for line in file.split("\r\n") {
        assert!(line.len() <= 75, "{} octets: {line}", line.len());
    }
    let text = unfold(&file);
    let parsed = read_calendar(&text).expect("a calendar of RFC 5545");
    let calendar = Calendar::from(parsed);
    let events: Vec<_> = calendar
        .components
        .iter()
        .filter_map(|c| c.as_event())
        .collect();
    assert_eq!(events.len(), plan.diary.steps.len());
    let mut uids = Vec::new();
    for (event, step) in events.iter().zip(&plan.diary.steps) {
        let date = step.date.expect("every step has a date");
        let Some(DatePerhapsTime::Date(start)) = event.get_start() else {
            panic!("no whole day: {event:?}");
        };
        let Some(DatePerhapsTime::Date(end)) = event.get_end() else {
            panic!("no whole day: {event:?}");
        };
        assert_eq!(start.to_string(), date.to_string());
        // RFC 5545 section 3.6.1: the end is exclusive, so one day lasts until the next.
        assert_eq!((end - start).num_days(), i64::from(step.lasts.max(1)));
        let summary = event.get_summary().expect("a summary");
        assert_eq!(summary, format!("{}: {}", plan.name, step.title()));
        let stamped = event.get_timestamp().expect("a stamp in UTC");
        assert_eq!(stamped.to_rfc3339(), "2026-11-25T10:20:30+00:00");
        uids.push(event.get_uid().expect("a name").to_owned());
    }
    // Over the turn of the year, and with weekends between.
    assert!(file.contains("DTSTART;VALUE=DATE:2027"), "{file}");
    let again = diary(&plan, Stamp::UNIX_EPOCH).expect("the plan has dates");
    for uid in &uids {
        assert!(unfold(&again).contains(&format!("UID:{uid}")), "names stay");
    }
    uids.sort();
    uids.dedup();
    assert_eq!(uids.len(), events.len(), "no name twice");
}

#[test]
fn a_plan_without_dates_has_no_calendar() {
    let plan = plan_of(r#"{"canvases":[{"width":"600 mm","height":"500 mm"}]}"#);
    assert!(!plan.diary.steps.is_empty());
    assert_eq!(diary(&plan, stamp()), None);
}

/// What an independent reader sees in the drawing, so many pixels a module.
fn seen(svg: &str, pixels: usize) -> String {
    let document = roxmltree::Document::parse(svg).expect("a well-formed drawing");
    let root = document.root_element();
    let view = root.attribute("viewBox").expect("a view box");
    let side: usize = view
        .rsplit(' ')
        .next()
        .and_then(|n| n.parse().ok())
        .expect("a side");
    let options = resvg::usvg::Options::default();
    let tree = resvg::usvg::Tree::from_str(
        &svg.replacen("<svg ", "<svg xmlns=\"http://www.w3.org/2000/svg\" ", 1),
        &options,
    )
    .expect("a drawing");
    let wide = u32::try_from(side * pixels).expect("a small picture");
    let mut picture = resvg::tiny_skia::Pixmap::new(wide, wide).expect("memory");
    #[expect(clippy::cast_precision_loss, reason = "a few hundred pixels")]
    let scale = wide as f32 / tree.size().width();
    let by = resvg::tiny_skia::Transform::from_scale(scale, scale);
    resvg::render(&tree, by, &mut picture.as_mut());
    let size = side * pixels;
    let mut image = rqrr::PreparedImage::prepare_from_greyscale(size, size, |x, y| {
        picture.data()[(y * size + x) * 4]
    });
    let grids = image.detect_grids();
    assert_eq!(grids.len(), 1, "one code is found");
    let (_, text) = grids[0].decode().expect("it can be read");
    text
}

#[test]
fn codes_are_read_back() {
    // Base64url as in a link, from a fixed sequence.
    let signs: Vec<char> = ('A'..='Z')
        .chain('a'..='z')
        .chain('0'..='9')
        .chain("-_".chars())
        .collect();
    let link = |n: usize| -> String {
        let tail = (0..n).map(|i| signs[(i * i * 31 + i * 7) % signs.len()]);
        String::from("https://example.org/#1.")
            .chars()
            .chain(tail)
            .collect()
    };
    for n in [1, 60, 280, 700, 1465 - 23] {
        let link = link(n);
        let code = qr::code(&link, "Link").expect("it fits");
        assert_eq!(seen(&code.0, 4), link);
    }
}
