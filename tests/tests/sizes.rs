//! A tutor's list pasted, and sizes looked for: what the page makes of them.

use whole_product::{Page, Source, Value, Viewport, each_engine, json};

/// Puts a text into the box for a list, as pasting does.
async fn paste(page: &Page, text: &str) {
    page.js_with(
        "const box = document.querySelector('#paste-text');
         box.value = arguments[0];
         box.dispatchEvent(new Event('input', {bubbles: true}));",
        vec![json!(text)],
    )
    .await;
}

/// What is typed in the rows of canvases: name, width, height, how many.
async fn canvases(page: &Page) -> Value {
    page.js(
        "return [...document.querySelectorAll('#list-canvases > li')].map(row =>
         ['name', 'width', 'height', 'count'].map(key => row.querySelector(`[data-key=${key}]`).value).join('|'))",
    )
    .await
}

/// Opens a fold, and says what it is found by.
async fn find_by(page: &Page, by: &str) {
    if page.attribute("#find", "open").await.is_none() {
        page.click("#find > summary").await;
    }
    page.choose("#find-by", by).await;
}

each_engine!(
    a_pasted_list_is_read_line_by_line,
    Source::File,
    Viewport::Tablet,
    async |page| {
        page.click("#start-empty").await;
        page.click("#paste > summary").await;
        paste(
            page,
            "Student;Width (cm);Height;How many;Paid\nAnna;60;80;2;yes\nBen;74,9;wide;1;no\n\nCleo;24 in;30 in\n",
        )
        .await;
        page.wait_for_text("#paste-answer", "1 line is not read")
            .await;
        let said = page.text("#paste-answer").await;
        for part in [
            "Line 3: Height: “wide” is not understood here: a length from 100 mm to 6000 mm.",
            "The column “Paid” is not used.",
            "609.5 mm",
        ] {
            assert!(said.contains(part), "{part}: {said}");
        }
        assert_eq!(
            page.attribute("#paste-text", "aria-invalid")
                .await
                .as_deref(),
            Some("true")
        );
        // Nothing is in the plan yet.
        assert_eq!(canvases(page).await, json!(["|||"]));
        page.click("#paste-add").await;
        // In place of the row in which nothing was typed; the wrong line stays under its head.
        assert_eq!(
            canvases(page).await,
            json!(["Anna|60 cm|80 cm|2", "Cleo|24 in|30 in|"])
        );
        assert_eq!(
            page.value("#paste-text").await,
            "Student;Width (cm);Height;How many;Paid\nBen;74,9;wide;1;no"
        );
        page.wait_for_text("#paste-answer", "2 rows of canvases are added")
            .await;
        // Put right and added.
        let rest = page.value("#paste-text").await.replace("wide", "50,5");
        paste(page, &rest).await;
        page.wait_for_text("#paste-answer", "Add this canvas").await;
        page.click("#paste-add").await;
        assert_eq!(page.value("#paste-text").await, "");
        assert_eq!(
            canvases(page).await,
            json!([
                "Anna|60 cm|80 cm|2",
                "Cleo|24 in|30 in|",
                "Ben|74,9 cm|50,5 cm|1"
            ])
        );
        page.wait_for_text("#canvases-sheet", "Ben").await;
        // One step each.
        page.click("#undo").await;
        page.click("#undo").await;
        assert_eq!(canvases(page).await, json!(["|||"]));
    }
);

each_engine!(
    a_list_that_is_too_long_stays_in_the_box,
    Source::File,
    Viewport::Phone,
    async |page| {
        page.click("#start-empty").await;
        page.click("#paste > summary").await;
        // One character more than is read at once.
        let list = format!("Study, 600, 800\n{}", "x".repeat(20_001 - 16));
        paste(page, &list).await;
        page.wait_for_text(
            "#paste-answer",
            "The list has 20001 characters: at most 20000 are read at once. Paste it in parts.",
        )
        .await;
        assert_eq!(page.count("#paste-add").await, 0);
        assert_eq!(page.value("#paste-text").await, list);
    }
);

each_engine!(
    a_standard_size_is_chosen_or_typed,
    Source::File,
    Viewport::Tablet,
    async |page| {
        page.click("#start-empty").await;
        find_by(page, "standard").await;
        page.choose("#find-standard", "15 F").await;
        page.wait_for_text("#find-answer", "540 mm").await;
        page.click("#find-add").await;
        assert_eq!(canvases(page).await, json!(["15 F|540|650|"]));
        // Into a row that is there.
        page.choose("#find-standard", "20 P").await;
        page.choose("#find-way", "upright").await;
        page.type_into("#find-into", "1").await;
        page.wait_for_text("#find-add", "Put it into canvas 1")
            .await;
        page.click("#find-add").await;
        assert_eq!(canvases(page).await, json!(["15 F|540|730|"]));
        page.type_into("#find-into", "7").await;
        page.wait_for_text("#find-into-error", "There is no canvas 7.")
            .await;
        assert_eq!(page.count("#find-add").await, 0);
        // Typed in the field of the width, both sides in one.
        page.type_into("#canvases-0-height", "").await;
        page.type_into("#canvases-0-width", "15 F").await;
        page.wait_for_text("#canvases-sheet", "540 mm").await;
        page.type_into("#canvases-0-width", "60 x 80 cm").await;
        page.wait_for_text("#canvases-sheet", "800 mm").await;
        page.type_into("#canvases-0-height", "500").await;
        page.wait_for_text(
            "#canvases-0-width-error",
            "Empty the height, or write the width alone.",
        )
        .await;
        // What is asked and wrong stands there yet.
        assert_eq!(page.value("#find-into").await, "7");
        page.wait_for_text("#find-into-error", "There is no canvas 7.")
            .await;
    }
);

each_engine!(
    a_side_by_proportion_says_how_it_was_reached,
    Source::File,
    Viewport::Tablet,
    async |page| {
        page.click("#start-empty").await;
        find_by(page, "proportion").await;
        page.type_into("#find-side", "600").await;
        // 600 × 1.618034.
        page.wait_for_text("#find-answer", "971 mm").await;
        page.click("#find-figure-1").await;
        let how = page.text("#how-body").await;
        assert!(
            how.contains("971 mm") && how.contains("golden section") && how.contains("1.62"),
            "{how}"
        );
        page.click("#how [data-act=close-dialog]").await;
        find_by(page, "picture").await;
        page.type_into("#find-picture_width", "4032").await;
        page.type_into("#find-picture_height", "3024").await;
        page.wait_for_text("#find-answer", "450 mm").await;
        // Switching the units changes no value: bare numbers get the unit they were typed in.
        page.js("document.querySelector('input[name=units][value=imperial]').click()")
            .await;
        page.wait_until(
            "the side has its unit",
            "return document.querySelector('#find-side').value === '600 mm'",
        )
        .await;
        page.wait_for_text("#find-answer", "17 11/16 in").await;
        page.click("#find-add").await;
        assert_eq!(canvases(page).await, json!(["|600 mm|17 11/16|"]));
        page.type_into("#find-side", "wide").await;
        page.wait_for_text("#find-side-error", "“wide” is not understood here")
            .await;
    }
);

each_engine!(
    a_tray_frame_a_wall_and_a_group_give_canvases,
    Source::File,
    Viewport::Tablet,
    async |page| {
        page.click("#start-empty").await;
        find_by(page, "tray").await;
        page.type_into("#find-tray_width", "620").await;
        page.type_into("#find-tray_height", "82 cm").await;
        // A gap of 6 mm all round is usual: 608 × 808.
        page.wait_for_text("#find-answer", "808 mm").await;
        page.click("#find-add").await;
        assert_eq!(canvases(page).await, json!(["|608|808|"]));
        // The gap is the plan's own.
        page.js("document.querySelector('#hang-settings').open = true")
            .await;
        page.type_into("#settings-tray_gap", "10").await;
        page.wait_for_text("#find-answer", "600 mm").await;

        find_by(page, "wall").await;
        page.type_into("#find-wall_width", "3 m").await;
        page.type_into("#find-height_each", "700").await;
        // (3000 − 2 × 200 − 2 × 30) / 3 = 846.67, down.
        page.wait_for_text("#find-answer", "846 mm").await;

        find_by(page, "group").await;
        page.choose("#find-group", "wings").await;
        page.type_into("#find-total_width", "1500").await;
        page.type_into("#find-total_height", "800").await;
        // (1500 − 2 × 30) / 4 = 360 and twice that.
        page.wait_for_text("#find-answer", "Triptych, centre").await;
        page.wait_for_text("#find-answer", "warp upright in each")
            .await;
        page.wait_for_text("#find-add", "Add these 3 canvases")
            .await;
        page.click("#find-add").await;
        assert_eq!(
            canvases(page).await,
            json!([
                "|608|808|",
                "Triptych, left|360|800|",
                "Triptych, centre|720|800|",
                "Triptych, right|360|800|"
            ])
        );
        page.click("#undo").await;
        assert_eq!(canvases(page).await, json!(["|608|808|"]));
        // What was asked is there yet.
        assert_eq!(page.value("#find-total_width").await, "1500");
    }
);

each_engine!(
    both_panels_break_no_rule_of_accessibility,
    Source::File,
    Viewport::Phone,
    async |page| {
        page.click("#paste > summary").await;
        paste(page, "Anna, 600, 800\nBen, 60").await;
        find_by(page, "group").await;
        page.type_into("#find-total_width", "1500").await;
        page.type_into("#find-total_height", "wide").await;
        page.wait_for_text("#find-total_height-error", "“wide” is not understood")
            .await;
        let faults = page.accessibility_faults().await;
        assert!(faults.is_empty(), "{faults:#?}");
        let wide = page
            .js("return document.documentElement.scrollWidth > innerWidth")
            .await;
        assert_eq!(wide, json!(false), "the page scrolls sideways");
    }
);
