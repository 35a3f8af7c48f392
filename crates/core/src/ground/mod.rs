//! Ground loops: closed paths of screens, returns and earths.

mod cycles;
