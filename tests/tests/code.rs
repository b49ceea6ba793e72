//! The link as a QR code on the screen: large enough, and read back from a picture of the screen.

use whole_product::{Page, Source, Viewport, each_engine, json};

/// Reads the code in a screenshot, its modules brought down to so many points, as the camera of
/// another device sees them.
fn decode(file: &std::path::Path, scale: f64) -> String {
    let decoder = png::Decoder::new(std::io::BufReader::new(
        std::fs::File::open(file).expect("just written"),
    ));
    let mut reader = decoder.read_info().expect("a PNG");
    let mut bytes = vec![0; reader.output_buffer_size().expect("it fits into memory")];
    let info = reader.next_frame(&mut bytes).expect("a whole PNG");
    let channels = info.color_type.samples();
    let grey = |x: usize, y: usize| {
        let at = y * info.line_size + x * channels;
        let parts = &bytes[at..at + channels.min(3)];
        parts.iter().map(|b| f64::from(*b)).sum::<f64>() / parts.len() as f64
    };
    let (wide, high) = (info.width as usize, info.height as usize);
    let small = |n: usize| (n as f64 * scale) as usize;
    // Each point is the mean of the area that it covers, parts of pixels by their share.
    let span = |n: usize, most: usize| {
        let (from, to) = (n as f64 / scale, (n + 1) as f64 / scale);
        (from as usize..(to.ceil() as usize).min(most))
            .map(move |i| (i, (i as f64 + 1.0).min(to) - (i as f64).max(from)))
    };
    let mut image =
        rqrr::PreparedImage::prepare_from_greyscale(small(wide), small(high), |x, y| {
            let mut sum = 0.0;
            let mut share = 0.0;
            for (y, high) in span(y, high) {
                for (x, wide) in span(x, wide) {
                    sum += grey(x, y) * high * wide;
                    share += high * wide;
                }
            }
            (sum / share) as u8
        });
    let grids = image.detect_grids();
    assert_eq!(grids.len(), 1, "one code in {}", file.display());
    grids[0].decode().expect("the code reads").1
}

async fn show(page: &Page) -> f64 {
    page.click("#show-code").await;
    let pixels = page
        .js("const svg = document.querySelector('#code-body svg');
             return svg.getBoundingClientRect().width / Number(svg.dataset.modules)")
        .await;
    pixels.as_f64().expect("a number")
}

each_engine!(
    the_code_reads_off_the_screen,
    Source::Served,
    Viewport::Tablet,
    async |page| {
        // The example, and a class of twelve.
        let mut sizes = vec![show(page).await];
        let example = page.screenshot("code").await;
        let link = page.js_text("return location.href.split('#')[0]").await;
        let read = decode(&example, 1.0);
        assert!(read.starts_with(&format!("{link}#")), "{read}");
        page.click("#code [data-act=close-dialog]").await;
        for n in 3..12 {
            page.click("#canvases-add").await;
            page.type_into(
                &format!("#canvases-{n}-width"),
                &format!("{}", 501 + 37 * n),
            )
            .await;
            page.type_into(
                &format!("#canvases-{n}-height"),
                &format!("{}", 413 + 29 * n),
            )
            .await;
        }
        sizes.push(show(page).await);
        let class = page.screenshot("code-class").await;
        for pixels in &sizes {
            assert!(*pixels >= f64::from(sheets::qr::SCREEN_PX), "{sizes:?}");
        }
        assert!(!page.is_shown("#code-narrow").await);
        // At full size, and as a camera half a metre away sees it: 3 points a module.
        let full = decode(&class, 1.0);
        assert_eq!(full, page.url().await);
        for points in [2.0, 2.5, 3.0, 3.5, 4.0, 5.0] {
            let seen = std::panic::catch_unwind(|| decode(&class, points / sizes[1]) == full);
            println!("{points}: {seen:?}");
        }
        println!(
            "{}: {sizes:?} px a module, {} letters",
            page.engine(),
            full.len()
        );
    }
);

each_engine!(
    too_long_for_a_code_is_said,
    Source::Served,
    Viewport::Tablet,
    async |page| {
        let link = "x".repeat(70);
        for n in 3..40 {
            page.click("#canvases-add").await;
            page.js_with(
                "const field = document.querySelector(`#canvases-${arguments[0]}-name`);
            field.value = arguments[1] + Math.random() + Math.random() + Math.random();
            field.dispatchEvent(new Event('input', { bubbles: true }))",
                vec![json!(n), json!(link)],
            )
            .await;
        }
        page.click("#show-code").await;
        page.wait_for_text("#code-body", "more than a code holds that a camera reads")
            .await;
        page.click("#code-body [data-act=save-plan]").await;
        page.wait_until(
            "a file is saved",
            "return document.querySelector('#said').textContent.startsWith('Saved')",
        )
        .await;
    }
);

// On a phone the code is drawn smaller, and that is said; so is what a file's address is good for.
each_engine!(
    a_small_screen_and_a_file_are_said,
    Source::File,
    Viewport::Phone,
    async |page| {
        let pixels = show(page).await;
        assert!(pixels < f64::from(sheets::qr::SCREEN_PX), "{pixels}");
        assert!(page.is_shown("#code-narrow").await);
        page.wait_for_text(
            "#code-body",
            "only where the same file lies in the same place",
        )
        .await;
        let wider = page
            .js("return document.documentElement.scrollWidth - document.documentElement.clientWidth")
            .await;
        assert_eq!(wider, json!(0));
    }
);
