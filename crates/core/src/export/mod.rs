//! What leaves the program as a table: curves and parts lists as comma-separated
//! values. Pure functions from answers and rigs to text; nothing is written anywhere.
//!
//! ```
//! use rigwright_core::{export, file};
//!
//! let project = file::demo().expect("the demo that ships with the program opens");
//! let table = export::parts(&[&project.variants[0]], &project.currency);
//! assert!(table.starts_with("variant,kind,part,names,length_m,count,price_each,price,currency\r\n"));
//! ```

mod curves;
mod parts;
mod table;

pub use curves::{CURVE_COLUMNS, CurveOf, curves};
pub use parts::{PART_COLUMNS, parts};
