//! The ids by which form, sheets and page find each other.

use planner::{FieldRef, Stage, Table};

/// The id of a field's input: `settings-kerf`, `canvases-0-width`.
///
/// ```
/// use planner::{FieldRef, Table};
/// use sheets::names::id;
/// assert_eq!(id(FieldRef::setting("kerf")), "settings-kerf");
/// assert_eq!(id(FieldRef { table: Table::Canvases, row: 2, key: "width" }), "canvases-2-width");
/// ```
#[must_use]
pub fn id(at: FieldRef) -> String {
    match at.table {
        Table::Settings => format!("settings-{}", at.key),
        Table::Find => format!("find-{}", at.key),
        table => format!("{}-{}-{}", table.key(), at.row, at.key),
    }
}

/// The id of the list that holds a table's rows; what is wrong with the list as a whole stands
/// at `<this id>-error`.
#[must_use]
pub fn list(table: Table) -> String {
    format!("list-{}", table.key())
}

/// A field's name for people, with the row that it stands in.
#[must_use]
pub fn place(at: FieldRef) -> String {
    let label = at.label();
    let row = at.row + 1;
    match at.table {
        Table::Settings | Table::Find => label.to_owned(),
        table => format!("{label} ({} {row})", one(table)),
    }
}

/// In place of what can't be said before a field is put right.
pub(crate) fn waits(at: FieldRef) -> String {
    format!("waits for {}", place(at))
}

/// What one row of a table is.
#[must_use]
pub const fn one(table: Table) -> &'static str {
    match table {
        Table::Settings | Table::Find => "setting",
        Table::Canvases => "canvas",
        Table::Boards => "board",
        Table::Rolls => "roll",
        Table::Cut => "cut board",
    }
}

/// The id of a stage's section.
#[must_use]
pub const fn section(stage: Stage) -> &'static str {
    match stage {
        Stage::Job => "canvases",
        Stage::Buy => "buy",
        Stage::Cut => "cut",
        Stage::Join => "join",
        Stage::Stretch => "stretch",
        Stage::Size => "size",
        Stage::Hang => "hang",
        Stage::Days => "days",
    }
}
