//! The parts of rigs as a table: what there is to buy, and what it costs. What is
//! alike to a shop stands in one line.

use super::table::{Cell, Table};
use crate::parts::{lead_price, part_name, same_to_a_shop};
use crate::rig::{Device, Lead, Rig, Variant};

/// The columns of a parts list. The price of a line is that of all its pieces, in the
/// project's currency, and empty where it isn't known; the prices of a variant add up
/// to what `compare::cost` says of the whole rig.
pub const PART_COLUMNS: [&str; 9] =
    ["variant", "kind", "part", "names", "length_m", "count", "price_each", "price", "currency"];

/// The parts of variants, one after another: devices in the signal's order, supplies,
/// then leads. Supply leads come with supplies and are not listed.
#[must_use]
pub fn parts(variants: &[&Variant], currency: &str) -> String {
    let mut table = Table::with_columns(&PART_COLUMNS);
    for variant in variants {
        for line in lines(&variant.rig) {
            let each = line.price_each;
            table.record(&[
                Cell::Words(&variant.name),
                Cell::Words(line.kind),
                Cell::Words(&line.part),
                Cell::Words(&line.names.join("; ")),
                Cell::Number(line.length_m),
                Cell::Count(line.count),
                Cell::Money(each),
                Cell::Money(each.map(|each| each * line.count as f64)),
                Cell::Words(currency),
            ]);
        }
    }
    table.text()
}

/// Pieces that are alike.
struct Line {
    kind: &'static str,
    part: String,
    names: Vec<String>,
    length_m: Option<f64>,
    count: usize,
    price_each: Option<f64>,
}

fn lines(rig: &Rig) -> Vec<Line> {
    let is_supply = |device: &&Device| device.kind.supply().is_some();
    let devices = rig.devices.iter().filter(|device| !is_supply(device));
    let mut groups: Vec<Vec<&Device>> = Vec::new();
    for device in devices.chain(rig.devices.iter().filter(is_supply)) {
        match groups.iter_mut().find(|group| group.first().is_some_and(|first| alike(first, device))) {
            Some(group) => group.push(device),
            None => groups.push(vec![device]),
        }
    }
    let mut leads: Vec<Vec<&Lead>> = Vec::new();
    for lead in &rig.leads {
        match leads.iter_mut().find(|group| group.first().is_some_and(|first| same_to_a_shop(first, lead))) {
            Some(group) => group.push(lead),
            None => leads.push(vec![lead]),
        }
    }
    groups
        .iter()
        .filter_map(|group| of_devices(group))
        .chain(leads.iter().filter_map(|group| of_leads(group)))
        .collect()
}

/// Whether one device will do for the other: made from the same part, at the same price.
/// What is made from no part is like nothing else.
fn alike(a: &Device, b: &Device) -> bool {
    !a.part.is_empty() && a.part == b.part && a.body.price == b.body.price && a.kind.noun() == b.kind.noun()
}

fn of_devices(group: &[&Device]) -> Option<Line> {
    let first = group.first()?;
    Some(Line {
        kind: first.kind.noun(),
        part: part_name(&first.part),
        names: group.iter().map(|device| device.name.clone()).collect(),
        length_m: None,
        count: group.len(),
        price_each: Some(first.body.price.get()),
    })
}

fn of_leads(group: &[&Lead]) -> Option<Line> {
    let first = group.first()?;
    Some(Line {
        kind: "lead",
        part: first.cable.name.clone(),
        names: Vec::new(),
        length_m: Some(first.length.get()),
        count: group.len(),
        price_each: lead_price(first).map(|price| price.get()),
    })
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use super::*;
    use crate::file;
    use crate::parts::catalogue;
    use crate::rig::DeviceId;
    use crate::units::Price;

    fn listed(variant: &Variant) -> Vec<String> {
        let text = parts(&[variant], "€");
        text.split_terminator("\r\n").skip(1).map(str::to_owned).collect()
    }

    /// cables.ron: an everyday guitar lead is 3 a metre and 9 for the plugs, invented.
    #[test]
    fn what_is_alike_stands_in_one_line() {
        let project = file::blank().unwrap();
        let mut variant = (*project.variants[0]).clone();
        let rig = Arc::make_mut(&mut variant.rig);
        rig.leads[0].cable = catalogue().cable("everyday-guitar-lead").unwrap().cable.clone();
        rig.leads[0].length = crate::units::Metres::of(6.0);
        let mut twin = rig.devices[1].clone();
        (twin.id, twin.name) = (DeviceId(77), "=2+2".to_owned());
        rig.devices.push(twin);
        let mut dearer = rig.devices[1].clone();
        (dearer.id, dearer.name, dearer.body.price) = (DeviceId(78), "Third".to_owned(), Price::of(1.0));
        rig.devices.push(dearer);
        let mut second = rig.leads[0].clone();
        second.id = crate::rig::LeadId(79);
        rig.leads.push(second);
        let amp = variant.rig.devices[1].clone();
        let part = &catalogue().part(&amp.part).unwrap().name;
        let lines = listed(&variant);
        assert_eq!(lines.len(), 4, "{lines:#?}");
        let price = amp.body.price.get();
        let names = format!("{}; =2+2", amp.name);
        assert_eq!(lines[1], format!("{},amp,\"{part}\",{names},,2,{price:.2},{:.2},€", variant.name, 2.0 * price));
        assert!(lines[2].contains(",Third,,1,1.00,1.00,"), "{}", lines[2]);
        let cable = &variant.rig.leads[0].cable.name;
        assert_eq!(lines[3], format!("{},lead,{cable},,6,2,27.00,54.00,€", variant.name));
    }

    #[test]
    fn a_make_that_the_catalogue_lacks_has_no_price() {
        let project = file::blank().unwrap();
        let mut variant = (*project.variants[0]).clone();
        Arc::make_mut(&mut variant.rig).leads[0].cable.name = "Wire from the attic".to_owned();
        let lines = listed(&variant);
        assert!(lines[2].ends_with(",1,,,€") && lines[2].contains("Wire from the attic"), "{}", lines[2]);
    }

    #[test]
    fn supplies_stand_behind_what_the_signal_goes_through() {
        let project = file::demo().unwrap();
        let lines = listed(&project.variants[0]);
        let first = lines.iter().position(|line| line.contains(",supply,")).unwrap();
        let last = lines.iter().rposition(|line| line.contains(",supply,")).unwrap();
        let leads = lines.iter().position(|line| line.contains(",lead,")).unwrap();
        assert!(first > 5 && last + 1 == leads, "{lines:#?}");
    }
}
