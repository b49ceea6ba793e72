//! The rack in use: a board noted as cut, and what another length would change.

use whole_product::{Page, Source, Viewport, each_engine, json};

/// Types two frames of 1000 × 800 and a rack of one length, priced (invented).
async fn type_two_frames(page: &Page) {
    page.click("#start-empty").await;
    page.type_into("#canvases-0-width", "1000").await;
    page.type_into("#canvases-0-height", "800").await;
    page.type_into("#canvases-0-count", "2").await;
    page.type_into("#boards-0-length", "2.4 m").await;
    page.type_into("#boards-0-price", "5.40").await;
    page.wait_for_text("#buy-sheet", "2.40 m").await;
}

/// How many boards of batten are to be bought.
async fn boards_to_buy(page: &Page) -> i64 {
    let found = page
        .js(
            "const cells = [...document.querySelectorAll('#buy-sheet table.buy')][0]
             .querySelectorAll('tbody td:first-child');
             return [...cells].reduce((n, cell) => n + Number(cell.textContent), 0);",
        )
        .await;
    found.as_i64().unwrap_or(-1)
}

each_engine!(
    a_board_is_cut_and_the_rest_planned_again,
    Source::File,
    Viewport::Tablet,
    async |page| {
        type_two_frames(page).await;
        let before = boards_to_buy(page).await;
        page.js("document.querySelector('#cuts-bars').click()")
            .await;
        // The first board, one of it.
        page.click("#lock-bars-0-1").await;
        page.wait_for_text(
            "#buy-sheet",
            "Already cut, in none of these sums: 1 board, £5.40 spent.",
        )
        .await;
        assert_eq!(boards_to_buy(page).await, before - 1);
        assert_eq!(page.value("#cut-0-length").await, "2400 mm");
        assert_eq!(page.value("#cut-0-price").await, "5.40");
        // A step like any other.
        page.click("#undo").await;
        assert_eq!(boards_to_buy(page).await, before);
        page.click("#redo").await;
        assert_eq!(boards_to_buy(page).await, before - 1);
        page.click("#cut-0-pieces-unlock").await;
        assert_eq!(page.count("#list-cut > li").await, 0);
        assert_eq!(boards_to_buy(page).await, before);
    }
);

each_engine!(
    a_board_that_can_not_be_cut_so_is_said_at_its_field,
    Source::File,
    Viewport::Phone,
    async |page| {
        type_two_frames(page).await;
        page.click("#cut-add").await;
        page.type_into("#cut-0-length", "2.4 m").await;
        page.type_into("#cut-0-pieces", "2 x 555 mitred").await;
        page.wait_for_text(
            "#cut-0-pieces-error",
            "The cut list has no mitred piece of 555 mm.",
        )
        .await;
        page.wait_for_text("#buy-sheet", "waits for").await;
    }
);

each_engine!(
    another_length_is_weighed_on_demand,
    Source::File,
    Viewport::Tablet,
    async |page| {
        type_two_frames(page).await;
        page.click("#what-if-ask").await;
        page.wait_for_text("#what-if", "With batten of 3.60 m at £8.10")
            .await;
        let focused = page.js("return document.activeElement.id").await;
        assert_eq!(focused, json!("what-if-ask"));
        // The answer was about the plan before.
        page.type_into("#boards-0-price", "6").await;
        page.wait_until(
            "the answer is gone",
            "return document.querySelector('#what-if').textContent === ''",
        )
        .await;
    }
);

each_engine!(
    the_rack_as_it_lies,
    Source::File,
    Viewport::Tablet,
    async |page| {
        // One frame of 600 × 500 in 45 mm batten without bead, braces and cross bars, kerf 3 mm.
        page.click("#start-empty").await;
        page.js(
            "for (const fold of document.querySelectorAll('details.settings')) fold.open = true",
        )
        .await;
        page.choose("#settings-bead", "none").await;
        page.choose("#settings-braces", "no").await;
        page.choose("#settings-bracing_by", "rule").await;
        page.type_into("#settings-kerf", "3").await;
        page.type_into("#settings-trim", "0").await;
        page.type_into("#canvases-0-width", "600").await;
        page.type_into("#canvases-0-height", "500").await;
        for (row, (length, price)) in [("2.4 m", "6.00"), ("1.2 m", "3.20")]
            .into_iter()
            .enumerate()
        {
            if page.count("#list-boards > li").await <= row {
                page.click("#boards-add").await;
            }
            page.type_into(&format!("#boards-{row}-length"), length)
                .await;
            page.type_into(&format!("#boards-{row}-price"), price).await;
        }
        // Heel to toe: 2 × (600 + 500) − 3 × 45 + 3 × 3 √2 = 2077.7 mm, one board of 2.4 m.
        page.wait_for_text("#buy-sheet", "£6.00").await;
        // An offcut at home takes two, 2 × 600 − 45 + 3 √2 = 1159 mm; the rest comes off 1.2 m.
        page.click("#boards-add").await;
        page.type_into("#boards-2-length", "1300").await;
        page.type_into("#boards-2-price", "0").await;
        page.type_into("#boards-2-limit", "1").await;
        page.wait_for_text("#buy-sheet", "£3.20").await;
        // With a knot in its middle it takes none: 400 mm on either side.
        page.type_into("#boards-2-bad", "400-900").await;
        page.wait_for_text("#buy-sheet", "£6.00").await;
        // A small car takes no 2.4 m: two of 1.2 m, 600 + 500 − 45 + 3 √2 = 1059 mm each.
        page.type_into("#settings-longest", "2 m").await;
        page.wait_for_text("#buy-sheet", "£6.40").await;
        // Only one of them is there.
        page.type_into("#boards-1-limit", "1").await;
        page.wait_until(
            "what is missing is said at the rack",
            "return [...document.querySelectorAll('#buy p.error')].some(p => p.textContent)",
        )
        .await;
        page.type_into("#settings-longest", "").await;
        page.wait_for_text("#buy-sheet", "£6.00").await;
    }
);

each_engine!(
    more_than_one_section_on_the_rack_is_compared,
    Source::File,
    Viewport::Tablet,
    async |page| {
        type_two_frames(page).await;
        page.click("#boards-add").await;
        page.type_into("#boards-1-length", "2.4 m").await;
        page.type_into("#boards-1-price", "4.10").await;
        page.type_into("#boards-1-section", "50 x 25 mm").await;
        // It is no part of the plan.
        page.wait_for_text("#buy-sheet", "£21.60").await;
        page.click("#battens-ask").await;
        page.wait_for_text("#battens", "45 × 20 mm (in hand)").await;
        let said = page.text("#battens").await;
        for part in ["50 × 25 mm", "38 × 19 mm", "no price", "passes", "kg"] {
            assert!(said.contains(part), "{part}: {said}");
        }
        let lines = page
            .js("return document.querySelectorAll('#battens tbody tr').length")
            .await;
        // In hand, on the rack, and the usual others less those two.
        assert_eq!(lines, json!(4));
        // Its figures say how they were reached.
        page.click("#battens-figure-1").await;
        page.wait_for_text("#how-body", "wood of all frames").await;
        page.click("#how [data-act=close-dialog]").await;
        let faults = page.accessibility_faults().await;
        assert!(faults.is_empty(), "{faults:#?}");
        // The answer was about the plan before.
        page.type_into("#boards-1-section", "nothing").await;
        page.wait_for_text(
            "#boards-1-section-error",
            "“nothing” is not understood here: face × depth",
        )
        .await;
        page.wait_until(
            "the answer is gone",
            "return document.querySelector('#battens').textContent === ''",
        )
        .await;
    }
);
