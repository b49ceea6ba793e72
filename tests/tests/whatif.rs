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
