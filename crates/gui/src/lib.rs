//! Rigwright's window and command line, as a library that tests can drive whole.
//!
//! `app` puts the [`desk`] into a native window; the desk shows `views`, made
//! of `widgets`, in the tokens of `theme`; `state` is what it keeps, `jobs`
//! what reaches outside; `cli` is everything without a window, `help` what is read in both.

pub mod app;
pub mod cli;
pub mod command;
pub mod desk;
pub mod export;
pub mod help;
pub mod jobs;
pub mod picture;
pub mod state;
pub mod theme;
pub mod views;
pub mod widgets;
