//! The drawing that stays in sight, and those that open on demand.

use planner::Plan;
use sheets::picture::Picture;

use crate::dom;

/// Shows the frame of one canvas of the plan, or of the first that has one.
pub(crate) fn show(plan: &Plan, row: usize) {
    let with_frame = || {
        let all = plan.canvases.iter().enumerate();
        all.filter(|(_, c)| c.frame.is_some())
    };
    let found = with_frame()
        .find(|(_, c)| c.row == row)
        .or_else(|| with_frame().next());
    match found {
        Some((index, canvas)) => {
            dom::put("drawing", sheets::drawing::frame_in_sight(plan, index));
            dom::put_text("drawing-name", &format!("{}, from the back", canvas.name));
        }
        None => {
            dom::put("drawing", sheets::Markup::default());
            dom::put_text("drawing-name", "");
        }
    }
}

/// Draws every picture whose fold is open.
pub(crate) fn draw_open(plan: &Plan) {
    for fold in dom::all("details[data-picture][open]") {
        let name = fold.get_attribute("data-picture").unwrap_or_default();
        if let Ok(picture) = name.parse::<Picture>() {
            dom::put_new(&format!("picture-{name}"), picture.draw(plan));
        }
    }
}
