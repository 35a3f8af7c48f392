//! What kind of number is asked for, and which unit words are known for it.

/// What kind of number is being typed; it decides which unit words are known.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Dimension {
    /// Ω
    Resistance,
    /// F
    Capacitance,
    /// H
    Inductance,
    /// m; also cm, mm, ft, in
    Length,
    /// Hz
    Frequency,
    /// dB
    Level,
    /// V
    Voltage,
    /// A
    Current,
    /// W; also VA
    Power,
    /// Ah
    Capacity,
    /// F/m
    CapacitancePerLength,
    /// Ω/m
    ResistancePerLength,
    /// H/m
    InductancePerLength,
    /// s
    Time,
    /// g; also kg
    Mass,
    /// 0 to 1; also per cent
    Part,
    /// A plain number.
    Number,
}

/// A unit word, and how much it is in the SI unit: a power of ten, times a factor
/// that is 1 but for feet and inches.
pub(super) type Unit = (&'static str, i32, f64);

const FOOT: f64 = 0.3048;
const INCH: f64 = 0.0254;

impl Dimension {
    /// All of them.
    pub const ALL: [Self; 17] = [
        Self::Resistance,
        Self::Capacitance,
        Self::Inductance,
        Self::Length,
        Self::Frequency,
        Self::Level,
        Self::Voltage,
        Self::Current,
        Self::Power,
        Self::Capacity,
        Self::CapacitancePerLength,
        Self::ResistancePerLength,
        Self::InductancePerLength,
        Self::Time,
        Self::Mass,
        Self::Part,
        Self::Number,
    ];

    /// An example that a person can imitate.
    #[must_use]
    pub fn example(self) -> &'static str {
        match self {
            Self::Resistance => "470k or 1M",
            Self::Capacitance => "450p or 22n",
            Self::Inductance => "2.5 H",
            Self::Length => "6 m or 20 ft",
            Self::Frequency => "2.4k",
            Self::Level => "−6 dB",
            Self::Voltage => "9 V or 300m",
            Self::Current => "120 mA or 1.5 A",
            Self::Power => "24 W",
            Self::Capacity => "500 mAh or 5 Ah",
            Self::CapacitancePerLength => "100p (per metre)",
            Self::ResistancePerLength => "0.1 (per metre)",
            Self::InductancePerLength => "0.35u (per metre)",
            Self::Time => "2 ms",
            Self::Mass => "350 g",
            Self::Part => "0.5 or 50 %",
            Self::Number => "12",
        }
    }

    /// The unit words, of two that end alike the longer one first; capital and small
    /// letters are the same.
    pub(super) fn units(self) -> &'static [Unit] {
        match self {
            // Two signs look alike: the letter omega and the ohm sign.
            Self::Resistance => &[("ohms", 0, 1.0), ("ohm", 0, 1.0), ("Ω", 0, 1.0), ("Ω", 0, 1.0), ("R", 0, 1.0)],
            Self::Capacitance => &[("F", 0, 1.0)],
            Self::Inductance => &[("H", 0, 1.0)],
            Self::Length => &[
                ("mm", -3, 1.0),
                ("cm", -2, 1.0),
                ("metres", 0, 1.0),
                ("metre", 0, 1.0),
                ("meters", 0, 1.0),
                ("meter", 0, 1.0),
                ("m", 0, 1.0),
                ("feet", 0, FOOT),
                ("foot", 0, FOOT),
                ("ft", 0, FOOT),
                ("'", 0, FOOT),
                ("inches", 0, INCH),
                ("inch", 0, INCH),
                ("in", 0, INCH),
                ("\"", 0, INCH),
            ],
            Self::Frequency => &[("Hz", 0, 1.0)],
            Self::Level => &[("dB", 0, 1.0)],
            Self::Voltage => &[("V", 0, 1.0)],
            Self::Current => &[("A", 0, 1.0)],
            Self::Power => &[("VA", 0, 1.0), ("W", 0, 1.0)],
            Self::Capacity => &[("Ah", 0, 1.0)],
            Self::CapacitancePerLength => &[("F/m", 0, 1.0), ("F/ft", 0, 1.0 / FOOT)],
            Self::ResistancePerLength => {
                &[("Ω/m", 0, 1.0), ("Ω/m", 0, 1.0), ("ohm/m", 0, 1.0), ("Ω/ft", 0, 1.0 / FOOT)]
            }
            Self::InductancePerLength => &[("H/m", 0, 1.0), ("H/ft", 0, 1.0 / FOOT)],
            Self::Time => &[("s", 0, 1.0)],
            Self::Mass => &[("kg", 3, 1.0), ("g", 0, 1.0)],
            Self::Part => &[("%", -2, 1.0)],
            Self::Number => &[],
        }
    }

    /// The letter of the plain unit where it may stand for the point: "4R7", "3V3".
    pub(super) fn mark(self) -> Option<char> {
        match self {
            Self::Resistance | Self::ResistancePerLength => Some('R'),
            Self::Capacitance => Some('F'),
            Self::Inductance => Some('H'),
            Self::Voltage => Some('V'),
            Self::Current => Some('A'),
            Self::Power => Some('W'),
            _ => None,
        }
    }

    /// Whether "k", "n" and the like may stand before its unit.
    pub(super) fn takes_prefix(self) -> bool {
        !matches!(self, Self::Length | Self::Level | Self::Mass | Self::Part | Self::Number)
    }
}
