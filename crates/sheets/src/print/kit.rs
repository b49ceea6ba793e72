//! What each pays, and a sheet for each person.

use maud::{Markup, html};
use planner::bench_days::BenchDay;
use planner::brief::BoardOf;
use planner::diary::said_day;
use planner::kit::{HandedOut, Kit, KitPiece, MarkedBoard, hand_out};
use planner::plan::CanvasPlan;
use planner::shares::Share;
use planner::timber::CutPiece;
use planner::{Plan, cautions};
use quantity::Rounding;

use super::ink::{Ink, tick};
use crate::cut::ends;
use crate::days::days_of;
use crate::shares::{each, has_several, title};

/// The table of shares, where more than one row shares.
pub(super) fn shares(ink: &Ink<'_>) -> Markup {
    let plan = ink.0;
    let Some(costs) = plan.costs.as_ref().filter(|_| plan.canvases.len() > 1) else {
        return html! {};
    };
    let several = has_several(plan);
    html! {
        section {
            h2 { "What each pays" }
            table.job-list {
                thead { tr {
                    th { "Canvas" } th { "Wood" } th { "Cloth" } th { "The rest" } th { "Left over" }
                    th { "Sum" } @if several { th { "Each" } }
                } }
                tbody {
                    @for (canvas, share) in plan.canvases.iter().zip(&costs.shares) {
                        tr {
                            th { (title(canvas)) }
                            @for figure in [&share.wood, &share.cloth, &share.rest, &share.left_over] {
                                td { (ink.figure(figure)) }
                            }
                            td { strong { (ink.figure(&share.sum)) } }
                            @if several { td { @if canvas.count > 1 && !share.sum.is_waiting() { (each(plan, share)) } } }
                        }
                    }
                }
                tfoot { tr {
                    th { "In all" }
                    @for part in costs.parts() { td { @if !costs.total.is_waiting() { (plan.currency) (part) } } }
                    td { strong { (ink.figure(&costs.total)) } }
                    @if several { td {} }
                } }
            }
            (crate::shares::spent(plan))
            p { "Boards by the length taken off them, cloth by the area of the blanks, the rest by use; what is left over in the same proportion." }
        }
    }
}

/// Whose each piece of each board is, then a sheet for each row.
pub(super) fn sheets(ink: &Ink<'_>, links: &[String], printed_on: &str) -> Markup {
    let plan = ink.0;
    let all = hand_out(plan);
    html! {
        article.job {
            (whose(plan, &all))
            @for (i, (canvas, kit)) in plan.canvases.iter().zip(&all.kits).enumerate() {
                section.kit {
                    @let share = plan.costs.as_ref().and_then(|c| c.shares.get(i));
                    (head(ink, canvas, share, links.get(i), printed_on))
                    (wood(plan, kit))
                    (days(plan, i))
                    (amounts(ink, canvas, kit))
                    div.kit-cautions {
                        @for caution in cautions::ALL { p { strong { "Take care. " } (caution.text) } }
                        p { (cautions::DEFER) }
                    }
                }
            }
        }
    }
}

/// For whoever cuts: every board by its number, with the name of whose each piece is.
fn whose(plan: &Plan, all: &HandedOut) -> Markup {
    html! {
        @if !all.boards.is_empty() {
            h1 { "Whose is which piece" }
            p { "Number the boards before cutting. Write letter and name on each piece as it comes off the saw; pieces of one letter are alike." }
            table.job-list {
                thead { tr { th {} th { "Board" } th { "Of" } th { "Length" } th { "Pieces from its left end" } } }
                tbody { @for board in &all.boards { (marked(plan, board)) } }
            }
        }
    }
}

fn marked(plan: &Plan, board: &MarkedBoard) -> Markup {
    let (bought, list) = match board.of {
        BoardOf::Bars => (&plan.boards, &plan.cut_list),
        BoardOf::Bead => (&plan.bead, &plan.bead_list),
    };
    let as_cut = bought.as_ref().and_then(|b| b.boards.get(board.board));
    html! {
        tr {
            td { (tick()) }
            th { (number(board.of, board.number)) }
            td { (section_name(board.of)) }
            td { @if let Some(b) = as_cut { (plan.show.run(b.length)) @if b.locked { ", already cut" } } }
            td {
                @for (i, (piece, canvas)) in board.pieces.iter().enumerate() {
                    @if i > 0 { ", " }
                    strong { (letter(list, *piece)) } " "
                    @if let Some(c) = plan.canvases.get(*canvas) { (c.name) }
                }
            }
        }
    }
}

/// Boards of batten are numbered, those of bead with a letter before the number.
fn number(of: BoardOf, n: u32) -> String {
    match of {
        BoardOf::Bars => n.to_string(),
        BoardOf::Bead => format!("b{n}"),
    }
}

const fn section_name(of: BoardOf) -> &'static str {
    match of {
        BoardOf::Bars => "batten",
        BoardOf::Bead => "bead",
    }
}

fn letter(list: &[CutPiece], piece: usize) -> &str {
    list.get(piece).map_or("", |p| p.letter.as_str())
}

fn head(
    ink: &Ink<'_>,
    canvas: &CanvasPlan,
    share: Option<&Share>,
    link: Option<&String>,
    printed_on: &str,
) -> Markup {
    let plan = ink.0;
    let show = plan.show;
    html! {
        header.job-head {
            div {
                h1 { (title(canvas)) }
                @if let Some(f) = &canvas.frame {
                    p { "Finished " (show.length(f.finished_width.value)) " × " (show.length(f.finished_height.value))
                        ", wood outside " (show.length(f.outer_width.value)) " × " (show.length(f.outer_height.value)) }
                }
                p { "Of “" @if plan.name.is_empty() { "this plan" } @else { (plan.name) } "”, printed on " (printed_on) "." }
                @if let Some(share) = share { (cost(ink, canvas, share)) }
            }
            @if let Some(link) = link { (super::code(link)) }
        }
    }
}

fn wood(plan: &Plan, kit: &Kit) -> Markup {
    html! {
        @for (of, name, list) in [(BoardOf::Bars, "Batten", &plan.cut_list), (BoardOf::Bead, "Bead", &plan.bead_list)] {
            @if kit.pieces.iter().any(|p| p.of == of) {
                h3 { (name) }
                table.job-list {
                    thead { tr {
                        th {} th { "Piece" } th { "How many" } th { "Long edge" } th { "Ends" } th { "Part" } th { "From board" }
                    } }
                    tbody {
                        @for p in kit.pieces.iter().filter(|p| p.of == of) { (piece(plan, list, p)) }
                    }
                }
            }
        }
    }
}

fn piece(plan: &Plan, list: &[CutPiece], p: &KitPiece) -> Markup {
    html! {
        @if let Some(cut) = list.get(p.piece) {
            tr {
                td { (tick()) }
                th { (cut.letter) }
                td { (p.count) }
                td { strong { (plan.show.length(cut.length)) } }
                td { (ends(cut.ends)) }
                td { (p.part) }
                td {
                    @for (i, (n, count)) in p.from.iter().enumerate() {
                        @if i > 0 { ", " }
                        (number(p.of, *n))
                        @if *count > 1 { " (" (count) ")" }
                    }
                }
            }
        }
    }
}

/// When the row's canvases are at the bench.
fn days(plan: &Plan, row: usize) -> Markup {
    let own = |day: &&BenchDay| day.places.iter().any(|p| p.canvas == row);
    let count = plan.canvases.get(row).map_or(1, |c| c.count);
    html! {
        @if plan.diary.bench.iter().any(|d| own(&d)) {
            h3 { "At the bench" }
            table.job-list {
                thead { tr { th {} th { "Day" } th { "Work" } th { "Place" } } }
                tbody {
                    @for day in plan.diary.bench.iter().filter(own) {
                        @for place in day.places.iter().filter(|p| p.canvas == row) {
                            tr {
                                td { (tick()) }
                                td { (days_of(day)) @if let Some(date) = day.date { ", " (said_day(date)) } }
                                th {
                                    @if day.hours.is_some() { "Stretch" } @else { "Join and clamp flat" }
                                    @if count > 1 { ", canvas " (place.which) }
                                }
                                td { @if day.hours.is_none() { (place.number) } }
                            }
                        }
                    }
                }
            }
        }
    }
}

fn amounts(ink: &Ink<'_>, canvas: &CanvasPlan, kit: &Kit) -> Markup {
    let show = ink.0.show;
    html! {
        div.job-card {
            h3 { "Cloth, staples, glue" @if canvas.count > 1 { ", for all " (canvas.count) } }
            dl {
                @if let Some(b) = &canvas.blank {
                    @let up = |x| show.length_rounded(x, Rounding::Up);
                    @let cut = format!("{} × {}", up(b.cut_width.value), up(b.cut_height.value));
                    (ink.line_as("Cloth to cut, each", &b.cut_width.how, cut))
                    (ink.line("Front fold, from its edge", &b.front_fold))
                    (ink.line("Back fold", &b.back_fold))
                    (ink.line("Trim", &b.trim_line))
                }
                @if let Some(s) = &canvas.staples {
                    @let apart = |side: &planner::staples::StapleSide| format!("{}, {} apart", side.count.value, show.length(side.spacing));
                    (ink.line_as("Staples, top and bottom each", &s.top_bottom.count.how, apart(&s.top_bottom)))
                    (ink.line_as("Staples, each side", &s.sides.count.how, apart(&s.sides)))
                }
                @if let Some(n) = &kit.staples { (ink.line("Staples to have at hand", n)) }
                @if let Some(x) = &kit.wood_glue { (ink.line("Wood glue", x)) }
                @if let Some(x) = &kit.size { (ink.line("Size, all coats", x)) }
                @if let Some(x) = &kit.ground { (ink.line("Ground, all coats", x)) }
            }
        }
    }
}

fn cost(ink: &Ink<'_>, canvas: &CanvasPlan, share: &Share) -> Markup {
    html! {
        div.job-card {
            h3 { "Share of the cost" }
            dl {
                (ink.line("Wood", &share.wood))
                (ink.line("Cloth", &share.cloth))
                (ink.line("The rest", &share.rest))
                (ink.line("Part of what is left over", &share.left_over))
                (ink.line("To pay", &share.sum))
                @if canvas.count > 1 { (ink.line_as("Each", &share.sum.how, each(ink.0, share))) }
            }
        }
    }
}
