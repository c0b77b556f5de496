//! The columns of the table as people read it, the same for text and page.

use super::{GapRow, GapTable};
use crate::units::{Degrees, Millimetres, Unit};

pub(super) struct Column {
    /// Heading over two lines.
    pub head: [&'static str; 2],
    /// Left out of the narrow text.
    pub wide_only: bool,
    /// Only where there is a plate gauge.
    plate: bool,
    pub cell: fn(&GapRow, Unit) -> String,
}

const fn column(head: [&'static str; 2], cell: fn(&GapRow, Unit) -> String) -> Column {
    Column { head, wide_only: false, plate: false, cell }
}

const COLUMNS: [Column; 12] = [
    column(["cutter", "length"], |row, unit| unit.show(row.length)),
    column(["", "wear"], |row, unit| unit.show(row.wear)),
    Column { wide_only: true, ..column(["", "reach"], |row, unit| unit.show(row.reach)) },
    column(["fixed", "gap"], |row, unit| unit.show(row.fixed_gap)),
    column(["scaled", "gap"], |row, unit| unit.show(row.scaled_gap)),
    Column {
        plate: true,
        ..column(["plate", "gap"], |row, unit| row.plate_gap.map_or_else(absent, |gap| unit.show(gap)))
    },
    column(["fixed", "bite"], |row, _| bite(row.fixed_bite)),
    column(["scaled", "bite"], |row, _| bite(row.scaled_bite)),
    column(["tip", "drop"], |row, unit| unit.show(row.tip_drop)),
    column(["raker", "steel"], |row, unit| unit.show(row.raker_steel)),
    column(["round", "file"], |row, unit| row.file.map_or_else(absent, |file| file_size(file, unit))),
    column(["", "stage"], |row, _| row.stage.to_string()),
];

impl GapTable {
    pub(super) fn columns(&self, wide: bool) -> impl Iterator<Item = &'static Column> {
        let plate = self.spec.plate.is_some();
        COLUMNS.iter().filter(move |column| (plate || !column.plate) && (wide || !column.wide_only))
    }
}

fn bite(angle: Degrees) -> String {
    format!("{:.1}", angle.get())
}

/// As it is sold, without the unit's name: the head of the table has it.
fn file_size(file: Millimetres, unit: Unit) -> String {
    let size = unit.file_size(file);
    size.split_once(' ').map_or(size.clone(), |(number, _)| number.to_owned())
}

fn absent() -> String {
    "-".to_owned()
}
