//! gui
