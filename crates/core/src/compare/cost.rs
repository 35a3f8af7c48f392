//! What one rig costs more than another: what it adds, and what it leaves out.

use crate::parts::{lead_price, same_to_a_shop};
use crate::rig::{Device, DeviceId, Lead, LeadId, Rig};
use crate::units::trimmed;

/// Things, and what they cost together.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Sum {
    /// Price of all that has one, in the project's currency.
    pub price: f64,
    /// The devices.
    pub devices: Vec<DeviceId>,
    /// The leads.
    pub leads: Vec<LeadId>,
    /// So many of the leads are of a make that the catalogue doesn't know:
    /// their price is in no number here.
    pub leads_without_price: usize,
}

impl Sum {
    /// Whether there is nothing in it.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.devices.is_empty() && self.leads.is_empty()
    }

    /// "160 €", "160 € and 2 leads without a price".
    #[must_use]
    pub fn told(&self, currency: &str) -> String {
        let leads = match self.leads_without_price {
            0 => return money(self.price, currency),
            1 => "1 lead without a price".to_owned(),
            count => format!("{count} leads without a price"),
        };
        if self.devices.is_empty() && self.leads.len() == self.leads_without_price {
            leads
        } else {
            format!("{} and {leads}", money(self.price, currency))
        }
    }
}

/// What a rig costs more than its base. What stands in both costs nothing.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Cost {
    /// What the base lacks.
    pub added: Sum,
    /// What only the base has.
    pub left_out: Sum,
}

impl Cost {
    /// The price of what is added less that of what is left out.
    #[must_use]
    pub fn more(&self) -> f64 {
        self.added.price - self.left_out.price
    }

    /// "added 160 €, left out 90 €"; "nothing added".
    #[must_use]
    pub fn told(&self, currency: &str) -> String {
        let parts = [("added", &self.added), ("left out", &self.left_out)].into_iter();
        let told: Vec<String> = parts
            .filter(|(_, sum)| !sum.is_empty())
            .map(|(what, sum)| format!("{what} {}", sum.told(currency)))
            .collect();
        if told.is_empty() { "nothing added".to_owned() } else { told.join(", ") }
    }
}

/// An amount with the project's currency: "160 €", "12.50 €".
#[must_use]
pub fn money(amount: f64, currency: &str) -> String {
    let cents = (amount * 100.0).round() / 100.0;
    let number = if cents.fract() == 0.0 {
        // Ten figures hold any whole price that a part can have.
        trimmed(cents, 10)
    } else {
        format!("{cents:.2}").replace('-', "−")
    };
    format!("{number} {currency}").trim_end().to_owned()
}

/// What `rig` costs more than `base`.
///
/// A device is the same in both if it has the same id and was made from the
/// same part: another part in its place has to be bought. Leads are told apart
/// by make and length and not by id, since any lead of that kind will do.
#[must_use]
pub fn cost(rig: &Rig, base: &Rig) -> Cost {
    Cost { added: beyond(rig, base), left_out: beyond(base, rig) }
}

/// What `rig` has and `other` lacks.
fn beyond(rig: &Rig, other: &Rig) -> Sum {
    let mut sum = Sum::default();
    let lacks = |device: &&Device| other.device(device.id).is_none_or(|twin| twin.part != device.part);
    for device in rig.devices.iter().filter(lacks) {
        sum.devices.push(device.id);
        sum.price += device.body.price.get();
    }
    let mut there: Vec<&Lead> = other.leads.iter().collect();
    for lead in &rig.leads {
        if let Some(at) = there.iter().position(|twin| same_to_a_shop(lead, twin)) {
            there.swap_remove(at);
            continue;
        }
        sum.leads.push(lead.id);
        match lead_price(lead) {
            Some(price) => sum.price += price.get(),
            None => sum.leads_without_price += 1,
        }
    }
    // Prices are typed in cents; a sum of many must not end in 649999.
    sum.price = (sum.price * 100.0).round() / 100.0;
    sum
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::file;
    use crate::parts::catalogue;
    use crate::units::{Metres, Price};

    fn plain() -> Rig {
        (*file::blank().unwrap().variants[0].rig).clone()
    }

    #[test]
    fn money_in_the_projects_currency() {
        assert_eq!(money(160.0, "€"), "160 €");
        assert_eq!(money(12.5, "€"), "12.50 €");
        assert_eq!(money(0.0, "CHF"), "0 CHF");
        assert_eq!(money(-90.0, "€"), "−90 €");
        assert_eq!(money(-0.25, "€"), "−0.25 €");
        assert_eq!(money(123_456.0, ""), "123456");
    }

    #[test]
    fn a_rig_costs_nothing_more_than_itself() {
        let cost = cost(&plain(), &plain());
        assert_eq!(cost, Cost::default());
        assert_eq!(cost.told("€"), "nothing added");
    }

    #[test]
    fn devices_by_id_and_part() {
        let base = plain();
        let mut rig = base.clone();
        let mut extra = rig.devices[1].clone();
        extra.id = DeviceId(77);
        extra.body.price = Price::of(160.0);
        rig.devices.push(extra);
        let more = cost(&rig, &base);
        assert_eq!((more.added.devices.as_slice(), more.added.price), ([DeviceId(77)].as_slice(), 160.0));
        assert!(more.left_out.is_empty());
        assert_eq!(more.told("€"), "added 160 €");
        let less = cost(&base, &rig);
        assert_eq!((less.more(), less.told("€").as_str()), (-160.0, "left out 160 €"));
        // Another part in the same place, under the same id.
        let mut other = base.clone();
        other.devices[1].part = "another".to_owned();
        other.devices[1].body.price = Price::of(250.0);
        let old = base.devices[1].body.price.get();
        let swapped = cost(&other, &base);
        assert_eq!((swapped.added.price, swapped.left_out.price), (250.0, old));
    }

    /// cables.ron: an everyday guitar lead is 3 a metre and 9 for the plugs, invented.
    #[test]
    fn leads_by_make_and_length() {
        let base = plain();
        let everyday = catalogue().cable("everyday-guitar-lead").unwrap();
        let mut rig = base.clone();
        rig.leads[0].cable = everyday.cable.clone();
        rig.leads[0].length = Metres::of(6.0);
        let mut shorter = rig.clone();
        shorter.leads[0].length = Metres::of(3.0);
        let saved = cost(&shorter, &rig);
        assert_eq!((saved.added.price, saved.left_out.price), (18.0, 27.0));
        assert_eq!(saved.told("€"), "added 18 €, left out 27 €");
        // The same lead under another id is no other lead.
        let mut renamed = rig.clone();
        renamed.leads[0].id = LeadId(999);
        assert_eq!(cost(&renamed, &rig), Cost::default());
        // Two where the base has one.
        let mut two = rig.clone();
        two.leads.push(renamed.leads[0].clone());
        assert_eq!(cost(&two, &rig).added.leads, [LeadId(999)]);
    }

    #[test]
    fn a_make_that_the_catalogue_lacks_has_no_price() {
        let base = plain();
        let mut rig = base.clone();
        rig.leads[0].cable.name = "Wire from the attic".to_owned();
        let new = cost(&rig, &base);
        assert_eq!((new.added.price, new.added.leads_without_price), (0.0, 1));
        assert_eq!(new.added.told("€"), "1 lead without a price");
        let mut second = rig.leads[0].clone();
        second.id = LeadId(999);
        rig.leads.push(second);
        rig.devices[1].part = "another".to_owned();
        rig.devices[1].body.price = Price::of(80.0);
        assert_eq!(cost(&rig, &base).added.told("€"), "80 € and 2 leads without a price");
    }
}
