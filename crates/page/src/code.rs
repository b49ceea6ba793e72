//! The link as a QR code, to be read off this screen by another device.

use sheets::shelf;

use crate::{dom, keep};

/// Shows the code, or says why there is none and what to do instead.
pub(crate) fn show() {
    keep::if_due();
    let link = keep::link();
    let on_disk = link.starts_with("file:");
    dom::put("code-body", shelf::code(&link, on_disk));
    dom::open_dialog("code");
    // The style shrinks a code that is wider than the screen.
    let narrow = dom::all("#code-body svg").first().is_some_and(|svg| {
        let modules = svg.get_attribute("data-modules");
        let modules: Option<u16> = modules.and_then(|n| n.parse().ok());
        modules.is_some_and(|n| {
            let whole = f64::from(n) * f64::from(sheets::qr::SCREEN_PX);
            svg.get_bounding_client_rect().width() < whole - 0.5
        })
    });
    dom::show("code-narrow", narrow);
}
