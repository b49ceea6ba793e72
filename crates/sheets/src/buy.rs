//! What to buy, with its proof in plain words, and how each board and roll is cut.

use maud::{Markup, html};
use planner::brief::BoardOf;
use planner::cloth::ClothPurchase;
use planner::costs::Costs;
use planner::show::counted;
use planner::timber::{Board, CutPiece, Purchase};
use planner::{FieldRef, Table};
use quantity::{Length, Money, Rounding};

use crate::drawing::cut_rounding;
use crate::names::id;
use crate::pen::{Pen, waits};
use crate::picture::Picture;
use crate::sheet::nothing_yet;
use crate::{battens, shares, what_if};

/// With more boards that differ, their drawing is a long one and waits until it is asked for
/// (our choice).
const MOST_IN_SIGHT: usize = 24;
/// The same for blanks on the cloth (our choice: a class has fewer).
const MOST_BLANKS: usize = 60;

/// Boards that differ from each other.
fn patterns(plan: &planner::Plan) -> usize {
    let purchases = plan.boards.iter().chain(&plan.bead);
    purchases.map(|purchase| purchase.boards.len()).sum()
}

pub(crate) fn buy(pen: &Pen<'_>) -> Markup {
    let plan = pen.plan;
    html! {
        @if plan.boards.is_none() && plan.cloth.is_none() && plan.totals.is_none() { (nothing_yet()) }
        @if let Some(boards) = &plan.boards { (wood(pen, BoardOf::Bars, boards, &plan.cut_list)) }
        (not_bought("Batten", &plan.not_bought.boards))
        @if let Some(bead) = &plan.bead { (wood(pen, BoardOf::Bead, bead, &plan.bead_list)) }
        (not_bought("Bead", &plan.not_bought.bead))
        @if plan.boards.is_some() || plan.bead.is_some() {
            (Picture::Boards.fold("The boards as they are cut, to scale", patterns(plan) <= MOST_IN_SIGHT))
        }
        @if !plan.cut_list.is_empty() { (what_if::ask()) (battens::ask()) }
        @if let Some(cloth) = &plan.cloth { (cloth_to_buy(pen, cloth)) }
        (not_bought("Cloth", &plan.not_bought.cloth))
        @if let Some(totals) = &plan.totals {
            h3 { "Small things" }
            dl.figures {
                (pen.line("Staples, spares included", &totals.staples))
                (pen.line("Boxes of staples", &totals.staple_boxes))
                (pen.line("Screws", &totals.screws))
                (pen.line("Panel pins", &totals.pins))
                @if let Some(keys) = &totals.keys { (pen.line("Keys", keys)) }
                (pen.line("Wood glue", &totals.wood_glue))
                @if let Some(size) = &plan.size { (pen.line("Dry glue for size", &size.glue)) }
            }
        }
        @if let Some(costs) = &plan.costs { (money(pen, costs)) } @else if let Some(totals) = &plan.totals {
            @if let Some(cost) = &totals.cost {
                p.total { "Everything with a price: " (pen.figure("Cost", cost)) }
            }
        }
    }
}

fn money<'a>(pen: &Pen<'a>, costs: &'a Costs) -> Markup {
    html! {
        h3 { "Money" }
        dl.figures {
            @for line in &costs.lines { (pen.line(line.what, &line.cost)) }
            (pen.line("In all", &costs.total))
            @if let Some(waste) = &costs.waste_cost { (pen.line("Of that, in waste and offcuts", waste)) }
            @if let Some(waste) = &costs.waste { (pen.line("Waste and offcuts, of the money for wood and cloth", waste)) }
        }
        (shares::shares(pen, costs))
        @if !costs.unpriced.is_empty() { p { "Without a price yet: " (costs.unpriced.join(", ")) "." } }
    }
}

fn wood<'a>(pen: &Pen<'a>, of: BoardOf, purchase: &'a Purchase, pieces: &[CutPiece]) -> Markup {
    let (key, name) = match of {
        BoardOf::Bars => ("bars", "Batten"),
        BoardOf::Bead => ("bead", "Bead"),
    };
    let priced = purchase.lines.iter().any(|l| l.cost.is_some());
    let locked = purchase.boards.iter().filter(|b| b.locked);
    let locked: u64 = locked.map(|b| u64::from(b.count)).sum();
    html! {
        h3 { (name) }
        table.buy {
            thead { tr {
                th scope="col" { "How many" } th scope="col" { "Length" }
                @if priced { th scope="col" { "Price" } }
            } }
            tbody {
                @for line in &purchase.lines {
                    tr {
                        td.number { (line.count) }
                        th scope="row" { (pen.plan.show.run(line.length)) }
                        @if priced { td.number { @if let Some(cost) = line.cost { (pen.money(cost)) } } }
                    }
                }
            }
            tfoot { tr {
                td {}
                td { (pen.as_text("Length in all", &purchase.total_length.how, pen.plan.show.run(purchase.total_length.value))) }
                @if priced { td.number { @if let Some(cost) = &purchase.cost { (pen.figure("Price in all", cost)) } } }
            } }
        }
        @if locked > 0 { (what_if::cut_already(pen.plan, locked, purchase.spent)) }
        @if purchase.lines.is_empty() { p.proof { "Every piece is cut: nothing more to buy." } }
        @else if purchase.total_length.is_waiting() { p.proof { (as_far_as_read(&purchase.total_length.how.waiting())) } }
        @else { p.proof { (proof(pen, purchase.proven, purchase.gap, purchase.gap_length)) } }
        @if !purchase.never_useful.is_empty() && !purchase.total_length.is_waiting() {
            p { (never_useful(pen, purchase)) }
        }
        (pen.fold(
            &format!("cuts-{name}"),
            html! { summary id={ "cuts-" (key) } { "How each board is cut" } },
            html! {
                @for (i, board) in purchase.boards.iter().enumerate() {
                    (board_as_cut(pen, board, pieces))
                    (cut_or_not(pen, key, i, board))
                }
                p { "Of all boards: saw " (pen.length(purchase.waste.kerf)) ", wedges "
                    (pen.length(purchase.waste.wedge)) ", rough ends " (pen.length(purchase.waste.trim))
                    @if purchase.waste.bad > Length::ZERO { ", bad stretches " (pen.length(purchase.waste.bad)) }
                    ", left over " (pen.length(purchase.waste.offcut)) "." }
            },
        ))
    }
}

/// The lengths that no cheapest purchase uses; those of a typed rack with their rows.
fn never_useful(pen: &Pen<'_>, purchase: &Purchase) -> String {
    let plan = pen.plan;
    let name = |(row, length): &(usize, Length)| {
        let length = plan.show.run(*length);
        match plan.brief.usual_rack {
            true => length,
            false => format!("board {} ({length})", row + 1),
        }
    };
    let all: Vec<String> = purchase.never_useful.iter().map(name).collect();
    let best = match purchase.cost {
        Some(_) => "cheapest",
        None => "shortest",
    };
    format!("No {best} purchase uses {} of the rack.", all.join(", "))
}

/// A heading for what is needed and can't be bought until fields are put right.
fn not_bought(name: &str, fields: &[FieldRef]) -> Markup {
    html! {
        @if !fields.is_empty() {
            h3 { (name) }
            p { span.waits { (waits(fields)) } }
        }
    }
}

/// In place of a proof where a field can't be read.
fn as_far_as_read(fields: &[FieldRef]) -> Markup {
    html! { span.waits { (waits(fields)) } ". What stands here takes no account of it." }
}

/// What a cloth purchase waits for first.
pub(crate) fn waits_for(cloth: &ClothPurchase) -> Option<FieldRef> {
    let mut all = cloth.lengths.iter().flat_map(|l| l.buy.how.waiting());
    all.next()
}

fn proof(pen: &Pen<'_>, proven: bool, gap: Option<Money>, gap_length: Option<Length>) -> Markup {
    html! {
        @if proven {
            @if gap.is_some() { strong { "No cheaper purchase exists." } " Proven for this rack." }
            @else { strong { "No shorter purchase exists." } " Proven for this rack. With prices, the cheapest is found." }
        } @else if let Some(gap) = gap {
            "At most " strong { (pen.money(gap)) } " cheaper could exist."
        } @else if let Some(gap) = gap_length {
            "At most " strong { (pen.length(gap)) } " less wood could do."
        }
    }
}

fn board_as_cut(pen: &Pen<'_>, board: &Board, pieces: &[CutPiece]) -> Markup {
    html! {
        h4 {
            (counted(u64::from(board.count), "board", "boards")) " of " (pen.plan.show.run(board.length))
            @if board.locked { ", already cut" }
        }
        table {
            thead { tr { th scope="col" { "Piece" } th scope="col" { "From" } th scope="col" { "Length" } th scope="col" { "Ends" } } }
            tbody {
                @for p in &board.pieces {
                    tr {
                        th scope="row" { @if let Some(piece) = pieces.get(p.piece) { (piece.letter) } }
                        td.number { (pen.length(p.at)) }
                        td.number { (pen.length(p.length)) }
                        td { (crate::cut::ends(p.ends)) @if p.turned { ", turned over" } }
                    }
                }
            }
        }
        @if let Some(kept) = offcuts(&board.offcuts, |x| pen.length(x)) { p { "Keep " (kept) "." } }
    }
}

/// What is worth keeping of a board; none if nothing is.
pub(crate) fn offcuts(all: &[Length], show: impl Fn(Length) -> String) -> Option<String> {
    let said: Vec<String> = all.iter().map(|x| show(*x)).collect();
    let (last, before) = said.split_last()?;
    Some(match before {
        [] => format!("the offcut of {last}"),
        _ => format!("the offcuts of {} and {last}", before.join(", ")),
    })
}

/// Notes a board as cut, so that only the rest is planned again, or takes that back.
fn cut_or_not(pen: &Pen<'_>, of: &str, board: usize, as_cut: &Board) -> Markup {
    let length = pen.plan.show.run(as_cut.length);
    let note = |count: u32, words: &str| {
        html! {
            button.act type="button" id={ "lock-" (of) "-" (board) "-" (count) } data-act="lock"
                data-of=(of) data-row=(board) data-count=(count)
                aria-label={ (words) ", board of " (length) } { (words) }
        }
    };
    let row = FieldRef {
        table: Table::Cut,
        row: as_cut.row,
        key: "pieces",
    };
    html! {
        div.acts {
            @if as_cut.locked {
                button.act type="button" id={ (id(row)) "-unlock" } data-act="remove"
                    data-table=(Table::Cut.key()) data-row=(as_cut.row)
                    aria-label={ "Not cut after all, board of " (length) } { "Not cut after all" }
            } @else if as_cut.count == 1 { (note(1, "Already cut")) }
            @else {
                (note(1, "One already cut"))
                (note(as_cut.count, "All already cut"))
            }
        }
    }
}

fn cloth_to_buy<'a>(pen: &Pen<'a>, cloth: &'a ClothPurchase) -> Markup {
    let priced = cloth.lengths.iter().any(|l| l.cost.is_some());
    html! {
        h3 { "Cloth" }
        table.buy {
            thead { tr {
                th scope="col" { "Roll" } th scope="col" { "Ask for" }
                @if priced { th scope="col" { "Price" } }
            } }
            tbody {
                @for l in &cloth.lengths {
                    tr {
                        th scope="row" { (pen.plan.show.run(l.width)) " wide" }
                        td.number { (pen.as_text("Length to ask for", &l.buy.how, pen.plan.show.run(l.buy.value))) }
                        @if priced { td.number { @if let Some(cost) = l.cost { (pen.money(cost)) } } }
                    }
                }
            }
        }
        p.proof {
            @if let Some(at) = waits_for(cloth) { (as_far_as_read(&[at])) }
            @else if cloth.proven {
                @if cloth.gap.is_some() { strong { "No cheaper cutting exists." } " Proven for these rolls and straight cuts." }
                @else { strong { "No smaller cutting exists." } " Proven for these rolls and straight cuts." }
            } @else if let Some(gap) = cloth.gap {
                "At most " strong { (pen.money(gap)) } " cheaper could exist."
            } @else { "A little less cloth might do; that is not proven." }
        }
        dl.figures { (pen.line("Becomes no blank", &cloth.waste)) }
        (Picture::Roll.fold("The roll as it is cut, to scale", cloth.placed.len() <= MOST_BLANKS))
        (pen.fold("cuts-cloth", html! { summary { "How the cloth is cut" } }, html! {
            ol.cuts {
                @for cut in &cloth.cuts {
                    li {
                        @let at = pen.plan.show.length_rounded(cut.at, cut_rounding(cloth, cut));
                        @if cut.across { "Across the roll at " (at) }
                        @else { "Along the roll, " (at) " from its left edge" }
                        ", from " (pen.plan.show.length_rounded(cut.from, Rounding::Down))
                        " to " (pen.plan.show.length_rounded(cut.to, Rounding::Up))
                        @if cloth.lengths.len() > 1 { ", roll " (cut.roll + 1) }
                    }
                }
            }
            @for r in &cloth.remnants {
                p { "Left: " (pen.length(r.across)) " across, " (pen.length(r.along)) " along"
                    @if let Some(c) = r.enough_for.and_then(|i| pen.plan.canvases.get(i)) { ", enough for “" (c.name) "”" }
                    "." }
            }
        }))
    }
}
