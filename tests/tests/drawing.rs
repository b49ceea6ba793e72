//! The drawings in a real browser: texts measured for 200 plans, and marks measured on paper.

#[path = "../../crates/sheets/tests/drawing_grid/mod.rs"]
mod drawing_grid;

use std::fs;
use std::path::Path;
use std::process::Command;

use drawing_grid::{PLANS, drawings, grid_plan, plan_of};
use sheets::drawing::{MARGIN_MM, Paper, rod_tiles};
use whole_product::{Engine, Key, Opening, Page, Source, Viewport, each_engine, json};

/// Puts the drawings into the page and returns one line for each text over another, or off its
/// sheet. A twentieth of a unit, a fifth of a pixel, is the browser's own rounding.
const MEASURE: &str = "
    const hair = 0.05, faults = [];
    let texts = 0;
    for (const [name, svg] of arguments[0]) {
      document.body.innerHTML = svg;
      const sheet = document.body.firstElementChild.viewBox.baseVal;
      const all = [...document.querySelectorAll('text')];
      const boxes = all.map((text) => text.getBBox());
      texts += all.length;
      boxes.forEach((a, i) => {
        const said = all[i].textContent;
        if (a.x < sheet.x - hair || a.y < sheet.y - hair
            || a.x + a.width > sheet.x + sheet.width + hair
            || a.y + a.height > sheet.y + sheet.height + hair)
          faults.push(`${name}: \"${said}\" is off the sheet`);
        for (let j = 0; j < i; j++) {
          const b = boxes[j];
          if (a.x + a.width > b.x + hair && b.x + b.width > a.x + hair
              && a.y + a.height > b.y + hair && b.y + b.height > a.y + hair)
            faults.push(`${name}: \"${said}\" lies over \"${all[j].textContent}\"`);
        }
      });
    }
    return [texts, faults];";

async fn measured(page: &Page, all: &[(String, String)]) -> (u64, Vec<String>) {
    let result = page.js_with(MEASURE, vec![json!(all)]).await;
    let faults = result[1].as_array().into_iter().flatten();
    let faults = faults.filter_map(|f| f.as_str().map(str::to_owned));
    (result[0].as_u64().unwrap_or_default(), faults.collect())
}

/// An empty tab as the drawings' paper.
fn on_paper<T>(engine: Engine, body: impl AsyncFnOnce(&Page) -> T) -> T {
    Opening::new(engine, Source::File, Viewport::Tablet)
        .blank()
        .tolerant()
        .run(body)
}

#[test]
fn the_browser_sees_an_overlap_and_a_clipped_text() {
    let svg = r#"<svg viewBox="0 0 100 20"><text x="1" y="10" font-size="4">1000</text>
        <text x="5" y="11" font-size="4">800</text><text x="98" y="15" font-size="4">1</text></svg>"#;
    for engine in Engine::ALL {
        let (texts, faults) = on_paper(engine, async |page| {
            measured(page, &[("probe".to_owned(), svg.to_owned())]).await
        });
        assert_eq!(texts, 3, "{engine}");
        assert_eq!(
            faults,
            [
                "probe: \"800\" lies over \"1000\"",
                "probe: \"1\" is off the sheet"
            ],
            "{engine}"
        );
    }
}

/// Measures every drawing of every `apart`-th plan of the grid.
fn nothing_overlaps(engine: Engine, apart: usize) {
    let (texts, faults) = on_paper(engine, async |page| {
        let (mut texts, mut faults) = (0, Vec::new());
        for n in (0..PLANS).step_by(apart) {
            let mut all = drawings(&grid_plan(n));
            for (name, _) in &mut all {
                *name = format!("plan {n}, {name}");
            }
            let (seen, found) = measured(page, &all).await;
            texts += seen;
            faults.extend(found);
        }
        (texts, faults)
    });
    assert!(
        faults.is_empty(),
        "{} faults in {engine}:\n{}",
        faults.len(),
        faults.join("\n")
    );
    let plans = PLANS.div_ceil(apart) as u64;
    assert!(texts > 100 * plans, "only {texts} texts in {plans} plans");
}

#[test]
fn no_text_over_another_or_off_the_sheet_in_200_plans() {
    nothing_overlaps(Engine::Chromium, 1);
}

/// All sizes and all ways of building occur: seven has no divisor in common with either.
#[test]
fn nor_in_a_seventh_of_them_in_firefox() {
    nothing_overlaps(Engine::Firefox, 7);
}

#[test]
fn nor_in_a_seventh_of_them_in_webkit() {
    nothing_overlaps(Engine::WebKit, 7);
}

each_engine!(
    stapling_goes_a_step_at_a_tap_or_a_key,
    Source::File,
    Viewport::Phone,
    async |page| {
        page.js("document.querySelector('details[data-picture=steps-0]').open = true")
            .await;
        let said = "#steps-0-said";
        let (back, next) = ("#steps-0-step-back", "#steps-0-step-next");
        page.wait_for_text(said, "Step 1 of ").await;
        let off = async |css| page.attribute(css, "aria-disabled").await;
        assert_eq!(off(back).await.as_deref(), Some("true"));
        page.click(next).await;
        page.wait_for_text(said, "Step 2 of ").await;
        page.click("#picture-steps-0").await;
        page.wait_for_text(said, "Step 3 of ").await;
        page.click(back).await;
        page.wait_for_text(said, "Step 2 of ").await;
        // The button that was tapped still has the focus.
        page.press(char::from(Key::Right)).await;
        page.wait_for_text(said, "Step 3 of ").await;
        page.press(char::from(Key::End)).await;
        page.wait_for_text(said, "Corner").await;
        let words = page.text(said).await;
        let mut numbers = words
            .split([' ', ','])
            .filter_map(|w| w.parse::<u32>().ok());
        assert_eq!(numbers.next(), numbers.next(), "{words}");
        assert_eq!(off(next).await.as_deref(), Some("true"));
        page.press(char::from(Key::Home)).await;
        page.wait_for_text(said, "Step 1 of ").await;
        page.click(next).await;
        page.wait_for_text(said, "Step 2 of ").await;
        // Another plan keeps the step; nothing goes on by itself.
        page.type_into("#canvases-0-width", "30 in").await;
        page.js_async("setTimeout(arguments[0], 1500)").await;
        page.wait_for_text(said, "Step 2 of ").await;
    }
);

/// Every drawing of the page, on a phone: letters of at least 14 CSS pixels.
#[test]
fn letters_of_drawings_can_be_read_on_a_phone() {
    Opening::new(Engine::Chromium, Source::File, Viewport::Phone).run(async |page| {
        page.open_folds().await;
        let small = page
            .js("const all = [...document.querySelectorAll('.picture svg')];
                 const size = (svg) => Math.min(...[...svg.querySelectorAll('text')]
                   .map((t) => parseFloat(t.getAttribute('font-size'))))
                   * svg.getBoundingClientRect().width / svg.viewBox.baseVal.width;
                 return [all.length, all.filter((svg) => size(svg) < 14)
                   .map((svg) => `${svg.getAttribute('aria-label')}: ${size(svg)}`)];")
            .await;
        page.js("document.querySelector('#picture-steps-0').scrollIntoView()")
            .await;
        page.screenshot("drawings-phone").await;
        assert!(small[0].as_u64().unwrap_or_default() > 20, "{small}");
        assert_eq!(small[1], json!([]));
    });
}

/// Dots to the inch of the picture that is measured; a dot is 0.085 mm.
const DPI: f64 = 300.0;

/// Prints the first page of a rod and finds each of its lines on the paper.
fn marks_on_paper(paper: Paper, css_size: &str) {
    let plan = plan_of(r#"{"canvases":[{"width":"1000 mm","height":"800 mm"}]}"#);
    let svg = rod_tiles(&plan, 0, 0, paper)[0].clone().into_string();
    let frame = plan.canvases[0].frame.as_ref().expect("a frame");
    let marks: Vec<f64> = frame.members[0]
        .marks
        .iter()
        .map(|m| m.at.to_mm())
        .filter(|mm| *mm <= 150.0)
        .collect();
    assert!(marks.len() > 4, "too few marks on the first row: {marks:?}");

    let picture = on_paper(Engine::Chromium, async |page| {
        let sheet = format!(
            "@page {{ size: {css_size}; margin: {MARGIN_MM}mm }} body {{ margin: 0 }} svg {{ display: block }}"
        );
        let script = "document.head.innerHTML = '<style>' + arguments[0] + '</style>';
            document.body.innerHTML = arguments[1];";
        page.js_with(script, vec![json!(sheet), json!(svg)]).await;
        let pdf = page.pdf(json!({"preferCSSPageSize": true})).await;
        let folder = page.folder();
        let done = Command::new("pdftoppm")
            .args(["-r", "300", "-gray"])
            .arg(pdf)
            .arg(folder.join("rod"))
            .status()
            .expect("poppler-utils is installed");
        assert!(done.success());
        let pages: Vec<_> = fs::read_dir(&folder)
            .expect("the folder is there")
            .flatten()
            .map(|file| file.path())
            .filter(|file| file.extension().is_some_and(|e| e == "pgm"))
            .collect();
        assert_eq!(pages.len(), 1, "one drawing is one page");
        Picture::read(&pages[0])
    });
    let (wide, _) = paper.size_mm();
    assert!((picture.mm(picture.width as f64) - wide).abs() < 0.2);

    // The ruler: its upper ticks 10 mm apart, from the left end of the rows.
    let left = MARGIN_MM + 4.0;
    let ruler: Vec<f64> = (0..=10).map(|i| left + 10.0 * f64::from(i)).collect();
    assert_found(&picture.lines(MARGIN_MM + 23.0, 115.0), &ruler);
    // The first row: below its upper edge, above the crosses of the overlap.
    let wanted: Vec<f64> = marks.iter().map(|mm| left + mm).collect();
    // Left of the overlap, where the cross has its number.
    let below_edge = MARGIN_MM + upper_edge(&svg) + 1.2;
    assert_found(&picture.lines(below_edge, left + 155.0), &wanted);
}

/// Where the first row of a rod lies on its page, read off its first mark: `M x y v height`.
fn upper_edge(svg: &str) -> f64 {
    let mark = svg.split("data-mark").nth(1).expect("a mark");
    let path = mark.split(" d=\"M").nth(1).expect("its line");
    let y = path.split([' ', 'v']).nth(1).expect("its place");
    y.parse().expect("a number")
}

#[track_caller]
fn assert_found(lines: &[f64], wanted: &[f64]) {
    assert_eq!(lines.len(), wanted.len(), "{lines:?} for {wanted:?}");
    for (line, wanted) in lines.iter().zip(wanted) {
        assert!(
            (line - wanted).abs() < 0.2,
            "a line at {line} mm for {wanted} mm"
        );
    }
}

#[test]
fn marks_are_where_they_belong_on_a4() {
    marks_on_paper(Paper::A4, "210mm 297mm");
}

#[test]
fn marks_are_where_they_belong_on_letter() {
    marks_on_paper(Paper::Letter, "8.5in 11in");
}

/// A page as grey dots.
struct Picture {
    width: usize,
    dots: Vec<u8>,
}

impl Picture {
    /// Reads a binary portable graymap.
    fn read(file: &Path) -> Self {
        let bytes = fs::read(file).expect("the picture was written");
        let mut words = Vec::new();
        let mut at = 0;
        while words.len() < 4 {
            let end = at
                + bytes[at..]
                    .iter()
                    .position(u8::is_ascii_whitespace)
                    .expect("a header");
            words.push(String::from_utf8_lossy(&bytes[at..end]).into_owned());
            at = end + 1;
        }
        assert_eq!(words[0], "P5");
        Self {
            width: words[1].parse().expect("a width"),
            dots: bytes[at..].to_vec(),
        }
    }

    fn mm(&self, dots: f64) -> f64 {
        dots / DPI * 25.4
    }

    /// Middles of the dark runs along a level line, up to a distance from the left, in mm.
    fn lines(&self, y_mm: f64, until_mm: f64) -> Vec<f64> {
        let dot = |mm: f64| (mm / 25.4 * DPI).round() as usize;
        let row = dot(y_mm) * self.width;
        let until = dot(until_mm).min(self.width);
        let row = &self.dots[row..row + until];
        let mut lines = Vec::new();
        let mut x = 0;
        while x < row.len() {
            // Weighted by darkness, because a thin line falls between two dots.
            let (mut dark, mut sum) = (0.0, 0.0);
            while x < row.len() && row[x] < 200 {
                let weight = f64::from(255 - row[x]);
                dark += weight;
                sum += weight * (x as f64 + 0.5);
                x += 1;
            }
            if dark > 0.0 {
                lines.push(self.mm(sum / dark));
            }
            x += 1;
        }
        lines
    }
}
