//! Advice for the demo, as a player reads it.

use std::sync::Arc;

use rigwright_core::advice::{Advice, Figures, Question, Suggestion, Wishes, advise};
use rigwright_core::cascade::Bank;
use rigwright_core::file;
use rigwright_core::network::Sweep;
use rigwright_core::rig::{DeviceId, Jack, JackRef, Project};
use rigwright_core::states::Target;
use rigwright_core::watch::Unwatched;

fn asked(project: &Project, variant: usize, amp: u64) -> Question {
    Question {
        variant: Arc::clone(&project.variants[variant]),
        controls: project.state.clone(),
        target: Target::Endpoint(JackRef::new(DeviceId(amp), Jack::In)),
        wishes: Wishes::default(),
        first_free: project.next_id,
    }
}

fn figures(figures: &Figures) -> String {
    let jump = figures.worst_jump.map_or("no switch heard".into(), |(db, device, hz)| {
        format!("jump {db:.2} dB, device {} at {hz:.0} Hz", device.0)
    });
    let lead = match &figures.lead_equivalent {
        Ok(metres) => format!("{metres:.2} m"),
        Err(why) => why.clone(),
    };
    format!("{jump}; {lead}; peak {:?}", figures.peak_hz.map(|hz| hz.round()))
}

fn line(suggestion: &Suggestion) -> String {
    format!(
        "{} | {} | costs {:.2}, {:.0} mm | {:?}",
        suggestion.words,
        figures(&suggestion.after),
        suggestion.cost.get(),
        suggestion.width.get() * 1e3,
        suggestion.caution
    )
}

fn print(advice: &Advice) {
    println!("now: {}", figures(&advice.now));
    advice.suggestions.iter().for_each(|suggestion| println!("  {}", line(suggestion)));
    advice.proved.iter().for_each(|sentence| println!("  proved: {sentence}"));
    println!("  practice: {:?}", advice.order_of_practice.as_ref().map(line));
}

#[test]
fn the_demo_is_advised() {
    let project = file::demo().expect("the demo opens");
    for variant in 0..project.variants.len() {
        for amp in [16, 17] {
            let start = std::time::Instant::now();
            let advice = advise(&asked(&project, variant, amp), &mut Bank::new(Sweep::audio()), &Unwatched)
                .expect("nobody stops it");
            println!("{} {:?}", project.variants[variant].name, start.elapsed());
            print(&advice);
        }
    }
}
