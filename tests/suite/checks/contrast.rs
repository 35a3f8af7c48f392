//! Contrasts of the window's colours after WCAG 2.2, level AA, in both themes. [S: contrast]

use egui::Color32;
use rigwright::theme::{Tokens, strength};

/// Success criterion 1.4.3: text.
const TEXT: f64 = 4.5;
/// Success criterion 1.4.11: what is needed to understand graphics and controls.
const GRAPHICS: f64 = 3.0;

/// The relative luminance of an opaque colour's red, green and blue.
fn luminance([r, g, b]: [u8; 3]) -> f64 {
    let linear = |part: u8| {
        let c = f64::from(part) / 255.0;
        if c <= 0.040_45 { c / 12.92 } else { ((c + 0.055) / 1.055).powf(2.4) }
    };
    0.2126 * linear(r) + 0.7152 * linear(g) + 0.0722 * linear(b)
}

/// The contrast ratio of two opaque colours, from 1 to 21.
fn contrast(a: [u8; 3], b: [u8; 3]) -> f64 {
    let (a, b) = (luminance(a), luminance(b));
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

/// What is seen of ink, opaque or not, on an opaque ground.
fn seen(ink: Color32, ground: Color32) -> [u8; 3] {
    assert!(ground.is_opaque());
    let [r, g, b, _] = ground.blend(ink).to_array();
    [r, g, b]
}

/// White on black, grey and two pure colours on white. [S: contrast]
#[test]
fn the_formula_gives_the_worked_ratios() {
    let white = [255; 3];
    let pairs =
        [([0; 3], "21.00"), ([0x77; 3], "4.48"), ([0x76; 3], "4.54"), ([255, 0, 0], "4.00"), ([0, 0, 255], "8.59")];
    for (colour, printed) in pairs {
        let expected: f64 = printed.parse().unwrap();
        assert!((contrast(colour, white) - expected).abs() <= 0.005, "{colour:?}: {}", contrast(colour, white));
        assert!((contrast(white, colour) - contrast(colour, white)).abs() < 1e-12);
    }
}

/// Pairs of one theme that fall short, each with what it has and what it needs.
fn short(name: &str, tokens: &Tokens) -> Vec<String> {
    // All of them by name: a new token has to find its place here.
    let Tokens {
        ground,
        panel,
        sheet,
        raised,
        ink,
        quiet,
        faint,
        copper,
        teal,
        alarm,
        accents,
        outline,
        // Decoration. What stands in a panel or a card is told from the rest by where it stands
        // and by its heading; the plot's lines and the sheet's dots repeat what the labels of the
        // axes and the readout say; the veil only dims what a question covers.
        border: _,
        grid: _,
        veil: _,
    } = *tokens;
    let grounds = [("ground", ground), ("panel", panel), ("sheet", sheet), ("raised", raised)];
    let mut pairs = Vec::new();
    let mut hold = |what: &str, ink: Color32, on: &[(&str, Color32)], least: f64| {
        for (place, under) in on {
            pairs.push((format!("{name}: {what} on {place}"), seen(ink, *under), seen(*under, *under), least));
        }
    };
    for (what, ink) in [("ink", ink), ("quiet", quiet), ("copper", copper), ("teal", teal), ("alarm", alarm)] {
        hold(what, ink, &grounds, TEXT);
    }
    // Ink in pressed buttons and over what is selected.
    hold("ink", ink, &[("a pressed button", tokens.border)], TEXT);
    for (place, under) in grounds {
        let selected = under.blend(teal.gamma_multiply(strength::SELECTION));
        hold("ink", ink, &[(&format!("a selection on {place}"), selected)], TEXT);
    }
    for (at, accent) in accents.into_iter().enumerate() {
        // Peaks in the plot and its readout are told in them; elsewhere they are dots and lines.
        hold(&format!("accent {at}"), accent, &grounds[1..3], TEXT);
        hold(&format!("accent {at}"), accent, &grounds, GRAPHICS);
        let edge = accent.gamma_multiply(strength::BAND_EDGE);
        hold(&format!("a band's edge in accent {at}"), edge, &grounds[1..2], GRAPHICS);
    }
    // That a unit is off, that a rig isn't compared, where a divider is taken, where 0 dB lies.
    hold("faint", faint, &grounds[..3], GRAPHICS);
    hold("outline", outline, &grounds[..3], GRAPHICS);
    let fails = |(what, ink, under, least): &(String, [u8; 3], [u8; 3], f64)| {
        let has = contrast(*ink, *under);
        (has < *least).then(|| format!("{what}: {has:.2} of {least}"))
    };
    assert!(pairs.len() > 50, "only {} pairs", pairs.len());
    pairs.iter().filter_map(fails).collect()
}

#[test]
fn text_and_graphics_of_both_themes_have_their_contrast() {
    let short: Vec<String> = Tokens::BOTH.iter().flat_map(|(name, tokens)| short(name, tokens)).collect();
    assert!(short.is_empty(), "{}", short.join("\n"));
}

/// What would be the matter is seen: a theme with one token too near another.
#[test]
fn a_token_that_is_too_near_its_ground_is_named() {
    for (name, tokens) in Tokens::BOTH {
        let near = Tokens { quiet: tokens.faint, faint: tokens.border, ..*tokens };
        let short = short(name, &near);
        assert!(short.iter().any(|words| words.contains("quiet on panel")), "{short:?}");
        assert!(short.iter().any(|words| words.contains("faint on sheet")), "{short:?}");
    }
}
