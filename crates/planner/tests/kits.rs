//! Class kits, totals over all canvases, and boards as they are bought and cut.

#![expect(clippy::unwrap_used, reason = "a test stops at the first surprise")]

mod briefs;

use briefs::{draft, with};
use planner::brief::BoardOf;
use planner::frame::Ends;
use planner::kit::{HandedOut, hand_out};
use planner::timber::{Purchase, Waste};
use planner::{Effort, FieldRef, Plan, Searches, Table, plan, plan_on, plan_with};
use quantity::{Length, Money};
use serde_json::{Value as Json, json};

fn planned(brief: &Json) -> Plan {
    plan(&draft(brief))
}

fn row(width: &str, height: &str, count: u32) -> Json {
    json!({"width": width, "height": height, "count": count, "upright_bars": "0", "level_bars": "0"})
}

/// Frames without bead, cross bars and braces: mitred pieces of 45 mm nest, so a board of length L
/// takes Σ (piece − 45 + 2.828) up to L − 20 − 42.172.
fn frames(canvases: &Json, boards: &Json) -> Json {
    json!({
        "bead": "none", "bracing_by": "rule", "braces": "no", "kerf": "2 mm", "trim": "10 mm",
        "bar_face": "45 mm", "bar_depth": "20 mm",
        "canvases": canvases, "boards": boards, "rolls": [{"width": "2.7 m"}],
    })
}

/// Two rows, the first with an upright cross bar as long as one of its mitred pieces.
fn class() -> Json {
    let mut first = row("700", "500", 3);
    first["upright_bars"] = json!("1");
    let brief = frames(
        &json!([first, row("500", "300", 2)]),
        &json!([{"length": "12 m", "price": "36"}]),
    );
    with(
        &brief,
        &json!({
            "cloth_mass": "400 g/m²", "turnover": "40 mm", "grip": "30 mm",
            "staples_a_box": "150", "size_coats": "2", "size_waste": "15 %",
        }),
    )
}

fn near(a: f64, b: f64) -> bool {
    (a - b).abs() < 1e-6
}

/// Number of the piece, its part, how many, and so many from the board of this number.
type InKit<'a> = (usize, &'a str, u32, &'a [(u32, u32)]);

#[test]
fn each_row_gets_its_amounts() {
    // A: 0.7 × 0.5 + 2 × 1.2 × 0.02 = 0.398 m², three times 1.194; B: 0.15 + 2 × 0.8 × 0.02 =
    // 0.182, twice 0.364. Size 95 × 2 × 1.15 ml/m², ground 125 × 2 × 1.15; ready size 150 × 2 × 1.15.
    // Staples: (2 × (21 + 15) + 4) × 1.1 = 83.6 and (2 × (15 + 9) + 4) × 1.1 = 57.2 to a canvas.
    // Wood glue: 200 g/m² on 4 × 45 √2 × 20 mm², and in A on two housings of 45².
    let corners = 4.0 * 45.0 * 2_f64.sqrt() * 20.0;
    for (kind, size) in [("glue", 95.0), ("acrylic", 150.0)] {
        let p = planned(&with(&class(), &json!({"size_kind": kind})));
        let all = hand_out(&p);
        for (kit, (area, staples, glue)) in all.kits.iter().zip([
            (1.194, 84 * 3, 3.0 * (corners + 2.0 * 2025.0)),
            (0.364, 58 * 2, 2.0 * corners),
        ]) {
            assert_eq!(kit.staples.as_ref().unwrap().value, staples);
            let grams = kit.wood_glue.as_ref().unwrap().value.to_grams();
            assert!(near(grams, glue * 200.0 / 1e6), "{grams}");
            let ml = kit.size.as_ref().unwrap().value.to_ml();
            assert!(near(ml, area * size * 2.0 * 1.15), "{ml}");
            let ml = kit.ground.as_ref().unwrap().value.to_ml();
            assert!(near(ml, area * 125.0 * 2.0 * 1.15), "{ml}");
        }
    }
}

#[test]
fn pieces_are_listed_once_with_letters() {
    // The longest first; of two as long the square one first.
    let p = planned(&class());
    let mm = Length::from_mm;
    let list: Vec<_> = p
        .cut_list
        .iter()
        .map(|c| (c.letter.as_str(), c.length, c.short_edge, c.ends, c.count))
        .collect();
    assert_eq!(
        list,
        [
            ("A", mm(700), Some(mm(610)), Ends::Mitred, 2 * 3),
            ("B", mm(500), None, Ends::Square, 3),
            ("C", mm(500), Some(mm(410)), Ends::Mitred, 2 * 3 + 2 * 2),
            ("D", mm(300), Some(mm(210)), Ends::Mitred, 2 * 2),
        ]
    );
    let goes: Vec<(usize, &str)> = p.cut_list[2]
        .goes_to
        .iter()
        .map(|(canvas, part)| (*canvas, part.as_str()))
        .collect();
    assert_eq!(goes, [(0, "side bar"), (1, "top and bottom bar")]);
    let letters = |i: usize| -> Vec<String> {
        let members = p.canvases[i].frame.iter().flat_map(|f| &f.members);
        members.map(|m| m.letter.clone()).collect()
    };
    assert_eq!(letters(0), ["A", "C", "B"]);
    assert_eq!(letters(1), ["C", "D"]);

    let kits = hand_out(&p).kits;
    let kit = |i: usize| -> Vec<InKit<'_>> {
        let pieces = kits[i].pieces.iter();
        pieces
            .map(|k| (k.piece, k.part.as_str(), k.count, k.from.as_slice()))
            .collect()
    };
    // All from the one board.
    assert_eq!(
        kit(0),
        [
            (0, "top and bottom bar", 6, &[(1, 6)][..]),
            (2, "side bar", 6, &[(1, 6)]),
            (1, "upright cross bar", 3, &[(1, 3)]),
        ]
    );
    assert_eq!(
        kit(1),
        [
            (2, "top and bottom bar", 4, &[(1, 4)][..]),
            (3, "side bar", 4, &[(1, 4)]),
        ]
    );
}

/// For each kit and kind of piece, how many come from which board.
fn from(all: &HandedOut) -> Vec<Vec<Vec<(u32, u32)>>> {
    let kit = |k: &planner::kit::Kit| k.pieces.iter().map(|p| p.from.clone()).collect();
    all.kits.iter().map(kit).collect()
}

#[test]
fn each_piece_goes_to_the_first_who_lacks_it() {
    // Pieces of 600 take 557.828: 2.4 m holds 2337.8 / 557.8, four; 3.6 m holds six.
    let square = json!([row("600", "600", 1), row("600", "600", 2)]);
    let of = |length: &str| {
        let boards = json!([{"length": length, "price": "6"}]);
        hand_out(&planned(&frames(&square, &boards)))
    };
    let all = of("2.4 m");
    assert_eq!(
        from(&all),
        [
            vec![vec![(1, 2)], vec![(1, 2)]],
            vec![vec![(2, 4)], vec![(3, 4)]]
        ]
    );
    let boards: Vec<(u32, Vec<(usize, usize)>)> = all
        .boards
        .iter()
        .map(|b| (b.number, b.pieces.clone()))
        .collect();
    assert_eq!(
        boards,
        [
            (1, vec![(0, 0); 4]),
            (2, vec![(0, 1); 4]),
            (3, vec![(0, 1); 4])
        ]
    );
    assert!(
        all.boards
            .iter()
            .all(|b| (b.of, b.board) == (BoardOf::Bars, 0))
    );
    let all = of("3.6 m");
    assert_eq!(
        from(&all),
        [
            vec![vec![(1, 2)], vec![(1, 2)]],
            vec![vec![(1, 2), (2, 2)], vec![(2, 4)]]
        ]
    );
    assert_eq!(
        all.boards[0].pieces,
        [(0, 0), (0, 0), (0, 0), (0, 0), (0, 1), (0, 1)]
    );
}

#[test]
fn bead_is_handed_out_from_boards_of_its_own() {
    // Tip to tip, cuts of 2.828: two of 600 and two of 400 of bead, 2011.3, to a board of 2.1 m;
    // three canvases are three boards.
    let brief = with(
        &frames(
            &json!([row("600", "400", 1), row("600", "400", 2)]),
            &json!([{"length": "12 m", "price": "30"}, {"of": "bead", "length": "2.1 m", "price": "4"}]),
        ),
        &json!({"bead": "quarter_round"}),
    );
    let p = planned(&brief);
    // Small letters; a bead has no short edge here.
    let list: Vec<_> = p
        .bead_list
        .iter()
        .map(|c| (c.letter.as_str(), c.short_edge, c.count))
        .collect();
    assert_eq!(list, [("a", None, 6), ("b", None, 6)]);
    let all = hand_out(&p);
    let bead = |i: usize| -> Vec<(String, u32, u32)> {
        let of = all.kits[i].pieces.iter().filter(|k| k.of == BoardOf::Bead);
        of.map(|k| {
            (
                k.part.clone(),
                k.count,
                k.from.iter().map(|(_, n)| n).sum::<u32>(),
            )
        })
        .collect()
    };
    let wanted = |n| {
        [
            ("top and bottom bead".to_owned(), n, n),
            ("side bead".to_owned(), n, n),
        ]
    };
    assert_eq!(bead(0), wanted(2));
    assert_eq!(bead(1), wanted(4));
    let numbers = |of| -> Vec<u32> {
        let all = all.boards.iter().filter(|b| b.of == of);
        all.map(|b| b.number).collect()
    };
    assert_eq!(numbers(BoardOf::Bars), [1]);
    assert_eq!(numbers(BoardOf::Bead), [1, 2, 3]);
}

#[test]
fn totals_over_all_canvases() {
    let t = planned(&class()).totals.unwrap();
    assert_eq!(t.frames, 5);
    // (4 + 2) × 3 + 4 × 2 screws, 8 × 5 pins.
    assert_eq!([t.screws.value, t.pins.value], [26, 40]);
    assert!(t.keys.is_none());
    // (3 × (72 + 4) + 2 × (48 + 4)) × 1.1 = 365.2; 366 / 150 = 2.44.
    assert_eq!([t.staples.value, t.staple_boxes.value], [366, 3]);
    // The grip is cut off: (700 + 2 × 60) × (500 + 120) and 620 × 420 mm² at 400 g/m².
    let cloth = (3.0 * 0.82 * 0.62 + 2.0 * 0.62 * 0.42) * 400.0;
    assert!(near(t.cloth_mass.value.to_grams(), cloth));
    let keyed = planned(&with(&class(), &json!({"fixing": "keyed"})));
    assert_eq!(keyed.totals.unwrap().keys.unwrap().value, 8 * 5);

    // Bead: 2 × (600 + 400) + 3 × 2 × (700 + 500).
    let beaded = frames(
        &json!([row("600", "400", 1), row("700", "500", 3)]),
        &json!([]),
    );
    let t = planned(&with(&beaded, &json!({"bead": "quarter_round"})));
    assert_eq!(
        t.totals.unwrap().bead_length.value,
        Length::from_mm(2000 + 7200)
    );
}

#[test]
fn boxes_are_full_to_the_last_staple() {
    // 366 staples as above.
    for (a_box, boxes) in [(366, 1), (365, 2), (183, 2), (182, 3)] {
        let p = planned(&with(&class(), &json!({"staples_a_box": a_box})));
        assert_eq!(p.totals.unwrap().staple_boxes.value, boxes, "{a_box}");
    }
}

#[test]
fn a_total_lists_twelve_canvases_and_their_number() {
    for (rows, inputs) in [(2, 3), (12, 13), (13, 13), (14, 13)] {
        let all: Vec<Json> = (0..rows)
            .map(|n| row(&format!("{}", 500 + 10 * n), "400", 2))
            .collect();
        let p = planned(&frames(&json!(all), &json!([])));
        let t = p.totals.unwrap();
        assert_eq!(t.screws.how.inputs.len(), inputs, "{rows}");
        let canvases = t.screws.how.inputs.last().unwrap();
        assert!(near(canvases.value.in_files().0, f64::from(2 * rows)));
    }
}

#[test]
fn a_longer_search_comes_in_three_more_turns() {
    let turns: Vec<Option<(u64, u64)>> = (0..5)
        .map(|n| Effort::of_turn(n).map(|e| (e.boards, e.cloth)))
        .collect();
    // 45 000 × 16 and × 64, 1000 × 64.
    assert_eq!(
        turns,
        [
            Some((45_000, 1000)),
            Some((720_000, 1000)),
            Some((2_880_000, 1000)),
            Some((2_880_000, 64_000)),
            None
        ]
    );
}

fn bought(brief: &Json) -> Purchase {
    let p = planned(brief);
    assert_eq!(p.faults, []);
    p.boards.unwrap()
}

#[test]
fn lines_of_the_buy_list_add_up() {
    // A frame of 700 × 500 takes 657.8 twice and 457.8 twice: 2231.3 of the 2337.8 in 2.4 m, or
    // half of it, 1115.7, of the 1137.8 in 1.2 m. At 6.00 for the two there are, and 5.00: two
    // frames of the one, two boards of the other for the third.
    let boards = json!([
        {"length": "2.4 m", "price": "6.00", "limit": "2"},
        {"length": "1.2 m", "price": "5.00"},
    ]);
    let p = bought(&frames(&json!([row("700", "500", 3)]), &boards));
    let mut lines: Vec<_> = p
        .lines
        .iter()
        .map(|l| (l.row, l.length.as_nm() / 1_000_000, l.count, l.cost))
        .collect();
    lines.sort_unstable();
    let m = |n| Some(Money::from_hundredths(n));
    assert_eq!(lines, [(0, 2400, 2, m(1200)), (1, 1200, 2, m(1000))]);
    assert_eq!(p.cost.unwrap().value, Money::from_hundredths(2200));
    assert_eq!(p.total_length.value, Length::from_mm(2 * 2400 + 2 * 1200));
    assert!(p.proven);
    assert_eq!((p.gap, p.gap_length), (m(0), None));
    // 3 × 4 pieces went in.
    assert!(near(p.total_length.how.inputs[0].value.in_files().0, 12.0));
    let cut: u32 = p
        .boards
        .iter()
        .map(|b| b.count * u32::try_from(b.pieces.len()).unwrap())
        .sum();
    assert_eq!(cut, 12);
}

#[test]
fn without_prices_the_least_wood_is_bought() {
    // Two of 1.2 m hold a frame of 700 × 500, and so does one of 3 m.
    let brief = |boards| frames(&json!([row("700", "500", 1)]), &boards);
    let p = bought(&brief(json!([{"length": "3 m"}, {"length": "1.2 m"}])));
    assert_eq!(
        (p.lines[0].length, p.lines[0].count),
        (Length::from_mm(1200), 2)
    );
    assert_eq!(p.lines[0].cost, None);
    assert!(p.cost.is_none() && p.proven);
    assert_eq!((p.gap, p.gap_length), (None, Some(Length::ZERO)));
    // One of 2.4 m is no more than two of 1.2 m, and fewer.
    let p = bought(&brief(json!([{"length": "2.4 m"}, {"length": "1.2 m"}])));
    assert_eq!(
        (p.lines[0].length, p.lines[0].count),
        (Length::from_mm(2400), 1)
    );
}

#[test]
fn offcuts_are_kept_from_their_least_length_on() {
    // Square ends: 2 × 700 + 2 × 500, four cuts of 2 mm and 20 mm of trim; 200 mm are left of
    // 2628 mm.
    for (length, kept) in [
        ("2628 mm", vec![200]),
        ("2627 mm", vec![]),
        ("2629 mm", vec![201]),
    ] {
        let brief = frames(&json!([row("700", "500", 1)]), &json!([{"length": length}]));
        let p = bought(&with(
            &brief,
            &json!({"corner": "square_lap", "keep_offcut": "200 mm"}),
        ));
        let mm: Vec<i64> = p.boards[0]
            .offcuts
            .iter()
            .map(|o| o.as_nm() / 1_000_000)
            .collect();
        assert_eq!(mm, kept, "{length}");
        let mm = Length::from_mm;
        let waste = Waste {
            kerf: mm(8),
            wedge: mm(0),
            trim: mm(20),
            bad: mm(0),
            offcut: p.boards[0].length - mm(2428),
        };
        assert_eq!(p.waste, waste);
        assert_eq!(p.boards[0].waste, waste);
    }
}

#[test]
fn a_batten_that_can_not_be_turned_is_cut_tip_to_tip() {
    // A bevelled batten: 2 × (700 + 500), three cuts of 2 √2 = 2.828427125 and 20 mm of trim,
    // 2428.485281 mm. A board a few millionths short is too short, and two halves do.
    let count = |bead: &str, length: &str| {
        let brief = frames(&json!([row("700", "500", 1)]), &json!([{"length": length}]));
        bought(&with(&brief, &json!({"bead": bead}))).lines[0].count
    };
    assert_eq!(count("bevel", "2428.485280 mm"), 2);
    assert_eq!(count("bevel", "2428.4853 mm"), 1);
    // Turned heel to toe: 2 × (655 + 455) + 45 and the same cuts, 2293.485281.
    assert_eq!(count("none", "2293.485280 mm"), 2);
    assert_eq!(count("none", "2293.4853 mm"), 1);
}

#[test]
fn lengths_of_no_use_are_told_unless_they_are_out_of_reach() {
    let boards = json!([
        {"length": "2.4 m", "price": "6.00"},
        {"length": "2.4 m", "price": "9.00"},
        {"length": "2.4 m", "price": "9.50", "limit": "0"},
        {"length": "3 m", "price": "90.00"},
    ]);
    let never = |longest: &str| {
        let brief = frames(&json!([row("700", "500", 2)]), &boards);
        let p = bought(&with(&brief, &json!({"longest": longest})));
        let rows = p.never_useful.iter();
        rows.map(|(row, l)| (*row, l.as_nm() / 1_000_000))
            .collect::<Vec<_>>()
    };
    assert_eq!(never("3 m"), [(1, 2400), (3, 3000)]);
    assert_eq!(never("2999 mm"), [(1, 2400)]);
}

#[track_caller]
fn said(brief: &Json, at: FieldRef, message: &str) {
    let p = planned(brief);
    assert!(p.boards.is_none() || p.bead.is_none());
    let fault = p.faults.iter().find(|f| f.at == at);
    let fault = fault.unwrap_or_else(|| panic!("{:#?}", p.faults));
    let text = fault.message(p.show);
    assert!(text.contains(message), "{text}");
}

fn on(table: Table, row: usize, key: &'static str) -> FieldRef {
    FieldRef { table, row, key }
}

#[test]
fn what_stands_in_the_way_is_said_at_its_field() {
    // 2000 and 20 of trim; what can be carried is short of that, or just enough.
    let long = |longest: &str| {
        let brief = frames(
            &json!([{"width": "no", "height": "500"}, row("700", "500", 2), row("2000", "600", 1)]),
            &json!([{"length": "1.8 m", "price": "5"}]),
        );
        with(&brief, &json!({"longest": longest}))
    };
    let width = on(Table::Canvases, 2, "width");
    for (longest, message) in [
        ("", "Batten piece A of 2000 mm fits no board on the rack."),
        ("", "A board of 2.02 m would do."),
        ("2020 mm", "A board of 2.02 m would do."),
        ("3 m", "A board of 2.02 m would do."),
        (
            "2019 mm",
            "It takes a board of 2.02 m, and the longest you can carry is set to 2.019 m.",
        ),
    ] {
        said(&long(longest), width, message);
    }

    // Twelve pieces of 600, four to a board of 2.4 m, of which there are two. The first row of the
    // rack is of bead, so the batten begins at the second.
    let short = frames(
        &json!([row("600", "600", 3)]),
        &json!([{"of": "bead", "length": "3 m", "price": "4"}, {"length": "2.4 m", "price": "6", "limit": "2"}]),
    );
    let limit = on(Table::Boards, 1, "limit");
    said(
        &short,
        limit,
        "The rack runs out: no place for 4 × A (600 mm).",
    );
    // What is used does not wait for the rack.
    let screws = planned(&short).totals.unwrap().screws;
    assert_eq!((screws.value, screws.how.waiting()), (4 * 3, vec![]));

    // 60 mm of bead: mitres at both ends of 100 mm cross below 120.
    let beaded = with(
        &frames(
            &json!([row("700", "500", 1), row("200", "100", 2)]),
            &json!([{"length": "2.4 m", "price": "6"}, {"of": "bead", "length": "3 m", "price": "4"}]),
        ),
        &json!({"bead": "quarter_round", "bead_size": "60 mm"}),
    );
    let width = on(Table::Canvases, 1, "width");
    said(
        &beaded,
        width,
        "The two mitres of bead piece d would cross.",
    );
    said(&beaded, width, "Make it 120 mm or longer.");

    // One price of three.
    let mixed = json!([{"length": "2.4 m"}, {"length": "3 m", "price": "7"}, {"length": "3.6 m"}]);
    let p = planned(&frames(&json!([row("700", "500", 1)]), &mixed));
    let price = |row| on(Table::Boards, row, "price");
    let at: Vec<FieldRef> = p.faults.iter().map(|f| f.at).collect();
    assert_eq!(at, [price(0), price(2)]);
    assert_eq!(p.not_bought.boards, at);

    // No row of bead where bead is wanted.
    let bare = json!([{"length": "2.4 m", "price": "6"}]);
    let bare = frames(&json!([row("700", "500", 1)]), &bare);
    let bare = with(&bare, &json!({"bead": "quarter_round"}));
    said(&bare, on(Table::Boards, 0, "of"), "The rack has no bead.");
}

#[test]
fn a_wrong_board_of_bead_keeps_only_the_bead_waiting() {
    let brief = with(
        &frames(
            &json!([row("700", "500", 2)]),
            &json!([{"length": "2.4 m", "price": "6"}, {"of": "bead", "length": "3 m", "price": "4"}]),
        ),
        &json!({"bead": "quarter_round",
            "cut": [{"of": "bead", "length": "3 m", "pieces": "2 x 650 mm mitred"}]}),
    );
    let p = planned(&brief);
    let waits = |p: &Option<Purchase>| p.as_ref().unwrap().total_length.how.waiting();
    assert_eq!(waits(&p.bead), [on(Table::Cut, 0, "pieces")]);
    assert_eq!(waits(&p.boards), []);
    let bars = with(
        &brief,
        &json!({"cut": [{"length": "3 m", "pieces": "2 x 650 mm mitred"}]}),
    );
    let p = planned(&bars);
    assert_eq!(waits(&p.boards), [on(Table::Cut, 0, "pieces")]);
    assert_eq!(waits(&p.bead), []);
}

#[test]
fn a_search_goes_on_by_five_thousand_steps() {
    assert!(Searches::default().go_on(Effort::default()));
    let rows: Vec<Json> = (0..20)
        .map(|i| {
            let (width, height) = (400 + i * 97 % 900, 300 + i * 61 % 700);
            row(&width.to_string(), &height.to_string(), 5)
        })
        .collect();
    let rack = json!([
        {"length": "1800", "price": "5.25"}, {"length": "2400", "price": "7.65"},
        {"length": "3000", "price": "9.20"},
    ]);
    let draft = draft(&frames(&json!(rows), &rack));
    let of = |boards| Effort { boards, cloth: 1 };
    let mut searches = Searches::default();
    let short = plan_on(&draft, of(300), &mut searches);
    assert!(!short.boards.as_ref().unwrap().proven);
    // As far as it is; less far; 300, 5300, 10 300, 12 000.
    assert!(searches.go_on(of(300)));
    assert!(searches.go_on(of(200)));
    let turns = (0..9).take_while(|_| !searches.go_on(of(12_000))).count();
    assert_eq!(turns, 3);
    // Cloth by a thousand: 1, 1001, 2001, 2500.
    let cloth = Effort {
        boards: 12_000,
        cloth: 2500,
    };
    let turns = (0..9).take_while(|_| !searches.go_on(cloth)).count();
    assert_eq!(turns, 3);
    assert_eq!(
        plan_on(&draft, of(12_000), &mut searches),
        plan_with(&draft, of(12_000))
    );
}
