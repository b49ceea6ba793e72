//! Where the work can hurt someone: the usual caution, always shown with its stage.

use crate::fields::Stage;

/// A caution and its stage.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize)]
pub struct Caution {
    /// Where it belongs.
    #[serde(skip)]
    pub stage: Stage,
    /// What to mind.
    pub text: &'static str,
}

/// Stands above all of them.
pub const DEFER: &str = "Local codes, the makers' instructions of tools and materials, and licensed practice come first; this sheet replaces none of them.";

/// All cautions in the order of the work.
pub static ALL: &[Caution] = &[
    Caution {
        stage: Stage::Buy,
        text: "Long boards: carry them with a second person, and tie a red cloth to what sticks out of a car. Don't buy treated batten for anything that touches cloth.",
    },
    Caution {
        stage: Stage::Cut,
        text: "Saw and chisel: clamp the work, keep both hands behind the edge, and stand so that a slip meets air. A sharp tool needs less force. Eye protection; a dust mask when sanding, and the dust of any treated wood is not for breathing at all.",
    },
    Caution {
        stage: Stage::Join,
        text: "Drill: clamp the frame, take rings and loose sleeves off. Check with a nail that no screw or pin comes out where a hand will hold the frame. Wood glue: gloves, and read its label.",
    },
    Caution {
        stage: Stage::Stretch,
        text: "Staple gun: eye protection, never a hand behind the bar, lock it when it is put down. Pull staples with a lifter, away from the face.",
    },
    Caution {
        stage: Stage::Size,
        text: "Warm size in a water bath, never over a flame and never boiling; the pot and the steam scald. Glue that smells foul or is mouldy is thrown away. Chalk, pigments and dry ground: no dust in the air, a mask, no food at the bench; lead white only where local rules allow it.",
    },
    Caution {
        stage: Stage::Hang,
        text: "A frame that is to hang: fixings, wire and wall must carry it with a wide margin; over people, ask someone who does this by licence.",
    },
];
