//! What a search proved, in sentences that are true to the letter.

use super::moves::Least;
use super::words::at_least_db;
use super::{buffers, moves};

/// All that can be said of a search in which every state was looked at.
pub fn sentences(buffers: &buffers::Found, moves: &moves::Found) -> Vec<String> {
    let one = buffers.least_of_one_db.map(|db| {
        format!("Every place for one buffer was tried: none leaves a smaller jump than {}.", at_least_db(db))
    });
    let two = buffers.least_of_two_db.map(|db| {
        format!(
            "Every pair of places on the way for two buffers was tried: none leaves a smaller jump than {}.",
            at_least_db(db)
        )
    });
    one.into_iter().chain(two).chain(moves.single.map(of_moves)).collect()
}

fn of_moves(least: Least) -> String {
    let but = if least.barred { ", save for moves that break a kept order or keep the guitar from a fuzz" } else { "" };
    match least.jump_db {
        Some(db) => {
            let db = at_least_db(db);
            format!("Every single move of a unit was tried{but}: none leaves a smaller jump than {db}.")
        }
        None => format!("No single move of a unit makes the largest jump smaller by 0.1 dB{but}."),
    }
}
