//! The mains that a project is played on: at home, and from country to country on tour.

use crate::units::Volts;

/// The mains at home and on tour.
#[derive(Debug, Clone, PartialEq)]
pub struct MainsSupply {
    /// The nominal voltage at home.
    pub volts: Volts,
    /// Where it is played besides.
    pub tour: Vec<Venue>,
}

/// A stop of a tour.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Venue {
    /// In which country.
    pub country: Country,
    /// The nominal voltage of the mains there.
    pub volts: Volts,
}

impl Default for MainsSupply {
    /// What most of the world has. [standard, S: mains-voltage]
    fn default() -> Self {
        Self { volts: Volts::of(230.0), tour: Vec::new() }
    }
}

impl MainsSupply {
    /// By how much a mains voltage may be off, and so how far a nominal one may lie outside what a device
    /// is made for: a device for 230 V has to bear 207-253 V. [standard, S: mains-voltage]
    pub const TOLERANCE: f64 = 0.1;

    /// Every voltage with the country it is of, home first; none for home. One that is there twice is told once.
    pub fn all(&self) -> impl Iterator<Item = (Option<Country>, Volts)> + '_ {
        let again = |at: usize| self.tour[..at].contains(&self.tour[at]);
        let tour = self.tour.iter().enumerate().filter(move |(at, _)| !again(*at));
        std::iter::once((None, self.volts)).chain(tour.map(|(_, venue)| (Some(venue.country), venue.volts)))
    }
}

impl Venue {
    /// A stop with its country's usual voltage.
    #[must_use]
    pub fn of(country: Country) -> Self {
        Self { country, volts: Volts::clamped(country.volts()) }
    }
}

macro_rules! countries {
    ($($name:ident, $words:literal, $volts:literal;)*) => {
        /// A country, or a part of one that has a voltage of its own.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, serde::Serialize, serde::Deserialize)]
        pub enum Country {
            $(#[doc = $words] $name,)*
        }

        impl Country {
            /// All of them, by name; last what isn't listed.
            pub const ALL: &[Self] = &[$(Self::$name,)*];

            /// In words.
            #[must_use]
            pub fn name(self) -> &'static str {
                match self {
                    $(Self::$name => $words,)*
                }
            }

            /// The nominal voltage of a wall socket there, in V. [memory]
            #[must_use]
            pub fn volts(self) -> f64 {
                match self {
                    $(Self::$name => $volts,)*
                }
            }
        }
    };
}

// Nominal voltages from memory; houses differ, so each stop's can be put right.
countries! {
    Argentina, "Argentina", 220.0;
    Australia, "Australia", 230.0;
    Austria, "Austria", 230.0;
    Belgium, "Belgium", 230.0;
    Brazil127, "Brazil, 127 V towns", 127.0;
    Brazil220, "Brazil, 220 V towns", 220.0;
    Canada, "Canada", 120.0;
    Chile, "Chile", 220.0;
    China, "China", 220.0;
    Colombia, "Colombia", 110.0;
    Czechia, "Czechia", 230.0;
    Denmark, "Denmark", 230.0;
    Finland, "Finland", 230.0;
    France, "France", 230.0;
    Germany, "Germany", 230.0;
    Greece, "Greece", 230.0;
    HongKong, "Hong Kong", 220.0;
    Hungary, "Hungary", 230.0;
    India, "India", 230.0;
    Ireland, "Ireland", 230.0;
    Israel, "Israel", 230.0;
    Italy, "Italy", 230.0;
    Japan, "Japan", 100.0;
    Kenya, "Kenya", 240.0;
    Malaysia, "Malaysia", 240.0;
    Mexico, "Mexico", 127.0;
    Netherlands, "the Netherlands", 230.0;
    NewZealand, "New Zealand", 230.0;
    Norway, "Norway", 230.0;
    Peru, "Peru", 220.0;
    Philippines, "the Philippines", 220.0;
    Poland, "Poland", 230.0;
    Portugal, "Portugal", 230.0;
    Singapore, "Singapore", 230.0;
    SouthAfrica, "South Africa", 230.0;
    SouthKorea, "South Korea", 220.0;
    Spain, "Spain", 230.0;
    Sweden, "Sweden", 230.0;
    Switzerland, "Switzerland", 230.0;
    Taiwan, "Taiwan", 110.0;
    Thailand, "Thailand", 230.0;
    Turkey, "Turkey", 230.0;
    UnitedKingdom, "the United Kingdom", 230.0;
    UnitedStates, "the United States", 120.0;
    Elsewhere, "elsewhere", 230.0;
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn home_comes_first_and_each_stop_once() {
        let stops = [Country::Japan, Country::UnitedStates, Country::Japan].map(Venue::of);
        let mut mains = MainsSupply { tour: stops.to_vec(), ..MainsSupply::default() };
        let told = |mains: &MainsSupply| mains.all().map(|(at, volts)| (at, volts.get())).collect::<Vec<_>>();
        let (japan, states) = (Some(Country::Japan), Some(Country::UnitedStates));
        assert_eq!(told(&mains), [(None, 230.0), (japan, 100.0), (states, 120.0)]);
        // A hall with another voltage is another stop.
        mains.tour[2].volts = Volts::of(200.0);
        assert_eq!(told(&mains)[3], (japan, 200.0));
    }

    /// The voltages that wall sockets have: 100, 110, 120, 127, 220, 230 and 240 V. [page, memory, S: mains-world]
    #[test]
    fn every_country_has_a_voltage_that_there_is() {
        for country in Country::ALL {
            assert!([100.0, 110.0, 120.0, 127.0, 220.0, 230.0, 240.0].contains(&country.volts()), "{}", country.name());
        }
        let names: Vec<&str> = Country::ALL.iter().map(|country| country.name().trim_start_matches("the ")).collect();
        assert!(names[..names.len() - 1].is_sorted() && names.last() == Some(&"elsewhere"), "{names:?}");
    }
}
