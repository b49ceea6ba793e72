//! Reads a brief as JSON from standard input and writes every drawing of its plan to a folder,
//! as SVG and as PNG in light and dark.
//!
//! ```text
//! echo '{"canvases":[{"width":"1000 mm","height":"800 mm"}]}' | cargo run -q -p sheets --example draw -- pictures 700
//! ```
//!
//! The second argument is the width of the pictures in pixels (700 without it); below 500 the
//! drawings are laid out for a phone. The job sheet stands in `job-sheet-a4.html` and
//! `job-sheet-letter.html`, to be printed from any browser. Exit 2 with a
//! message on standard error if the brief can't be read or the folder not be written to.

use std::error::Error;
use std::fs;
use std::io::Read;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use planner::{Draft, Plan, Tree, plan};
use resvg::{tiny_skia, usvg};
use sheets::drawing::{self, Joint, Layout, Paper};
use sheets::print;

fn main() -> ExitCode {
    match draw() {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("{error}");
            ExitCode::from(2)
        }
    }
}

fn draw() -> Result<(), Box<dyn Error>> {
    let mut arguments = std::env::args().skip(1);
    let folder = PathBuf::from(arguments.next().unwrap_or_else(|| "pictures".into()));
    let width: u32 = arguments.next().map_or(Ok(700), |w| w.parse())?;
    fs::create_dir_all(&folder)?;

    let mut text = String::new();
    std::io::stdin().read_to_string(&mut text)?;
    let tree: Tree = serde_json::from_str(&text)?;
    let (draft, faults) = Draft::from_tree(&tree);
    let plan = plan(&draft);
    for fault in faults.iter().chain(&plan.faults) {
        eprintln!("{fault}");
    }

    for (name, size) in [("a4", "A4"), ("letter", "letter")] {
        let page = on_paper(&plan, size);
        fs::write(folder.join(format!("job-sheet-{name}.html")), page)?;
    }

    let mut options = usvg::Options::default();
    options.fontdb_mut().load_system_fonts();
    // The drawings ask for the system's font; here this one stands in.
    options.fontdb_mut().set_sans_serif_family("DejaVu Sans");
    let layout = if width < 500 {
        Layout::Narrow
    } else {
        Layout::Wide
    };
    for (name, drawing) in all(&plan, layout) {
        let file = drawing::standalone(&drawing, layout.width());
        fs::write(folder.join(format!("{name}.svg")), &file)?;
        for (scheme, paper, file) in [
            (
                "light",
                tiny_skia::Color::WHITE,
                plain_colours(&file, false),
            ),
            (
                "dark",
                tiny_skia::Color::from_rgba8(22, 25, 27, 255),
                plain_colours(&file, true),
            ),
        ] {
            let picture = folder.join(format!("{name}-{scheme}.png"));
            render(&file, &options, width, paper, &picture)?;
        }
    }
    Ok(())
}

/// The job sheet as the page prints it.
fn on_paper(plan: &Plan, size: &str) -> String {
    let sheet = print::job_sheet(plan, "https://example.org/#1.q1Y", "2 March 2026");
    let style = include_str!("../../../www/style.css");
    format!(
        "<!doctype html><meta charset=\"utf-8\"><style>{style}{}@page {{ size: {size} }}</style><div id=\"{}\">{}</div>",
        drawing::STYLE,
        print::ID,
        sheet.into_string()
    )
}

/// Every drawing of a plan with a name for its file.
fn all(plan: &Plan, layout: Layout) -> Vec<(String, maud::Markup)> {
    let mut all = vec![
        ("boards".to_owned(), drawing::boards(plan, layout)),
        ("roll".to_owned(), drawing::roll(plan, layout)),
        ("diary".to_owned(), drawing::diary(plan, layout)),
        ("bow-plot".to_owned(), drawing::bow_plot(plan, layout)),
        ("humidity".to_owned(), drawing::humidity_plot(plan, layout)),
    ];
    let mut put = |name: String, drawing| all.push((name, drawing));
    for (n, page) in drawing::labels(plan, Paper::A4).into_iter().enumerate() {
        put(format!("labels-{n}"), page);
    }
    for (i, canvas) in plan.canvases.iter().enumerate() {
        let mut of = |name: &str, drawing| put(format!("canvas-{i}-{name}"), drawing);
        of("frame", drawing::frame_back(plan, i, layout));
        of("bowed", drawing::bowed(plan, i, layout));
        of("section", drawing::section(plan, i, layout));
        of("mitre", drawing::mitre(plan, i, layout));
        of("brace", drawing::brace_landing(plan, i, layout));
        of("blank", drawing::blank(plan, i, layout));
        of("stapling", drawing::stapling(plan, i, None, layout));
        for step in [0, 4, 5, drawing::stapling_steps(plan, i)] {
            let one = drawing::stapling(plan, i, Some(step), layout);
            of(&format!("stapling-{step}"), one);
        }
        for kind in Joint::all(plan, i) {
            let name = format!("joint-{kind:?}").to_lowercase();
            of(&name, drawing::joint(plan, i, kind, layout));
        }
        let members = canvas.frame.as_ref().map_or(0, |f| f.members.len());
        for m in 0..members {
            of(&format!("rod-{m}"), drawing::rod(plan, i, m, layout));
            let pages = drawing::rod_tiles(plan, i, m, Paper::A4);
            for (n, page) in pages.into_iter().enumerate() {
                of(&format!("rod-{m}-page-{n}"), page);
            }
        }
    }
    all
}

/// The renderer knows neither custom properties nor media queries, so the colours of one scheme
/// are put in their place.
fn plain_colours(file: &str, dark: bool) -> String {
    let mut schemes = drawing::STYLE.lines().filter(|l| l.contains("--d-ink:"));
    let light = schemes.next().unwrap_or_default();
    let chosen = if dark {
        schemes.next().unwrap_or(light)
    } else {
        light
    };
    let rules: String = drawing::STYLE
        .lines()
        .filter(|l| !l.contains("--d-ink:"))
        .collect();
    let mut style = rules;
    let mut ink = String::new();
    for pair in chosen.split(['{', '}', ';']) {
        if let Some((name, colour)) = pair.split_once(':').filter(|(n, _)| n.starts_with("--d-")) {
            style = style.replace(&format!("var({name})"), colour);
            if name == "--d-ink" {
                ink = colour.to_owned();
            }
        }
    }
    let file = file.replace(drawing::STYLE, &style);
    file.replacen("<svg ", &format!("<svg color=\"{ink}\" "), 1)
}

fn render(
    svg: &str,
    options: &usvg::Options<'_>,
    width: u32,
    paper: tiny_skia::Color,
    to: &Path,
) -> Result<(), Box<dyn Error>> {
    let tree = usvg::Tree::from_str(svg, options)?;
    #[expect(
        clippy::cast_precision_loss,
        reason = "a picture is far narrower than 2^24 pixels"
    )]
    let scale = width as f32 / tree.size().width();
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a positive number of pixels"
    )]
    let height = (tree.size().height() * scale).ceil() as u32;
    let mut pixels = tiny_skia::Pixmap::new(width, height).ok_or("an empty picture")?;
    pixels.fill(paper);
    let scaled = tiny_skia::Transform::from_scale(scale, scale);
    resvg::render(&tree, scaled, &mut pixels.as_mut());
    pixels.save_png(to)?;
    Ok(())
}
