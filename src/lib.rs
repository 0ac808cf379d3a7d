//! trayful: from the loading dock to the feeding tray of a small black
//! soldier fly larvae farm.

pub mod blend;
pub mod daybook;
pub mod larvae;
pub mod quantity;
pub mod report;
pub mod sheet;
pub mod stock;
pub mod stream;
pub mod table;
