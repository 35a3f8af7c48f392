//! Where leads are plugged in.

use std::fmt;

use super::DeviceId;

/// A jack of a device.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize, serde::Deserialize)]
pub enum Jack {
    /// The input.
    In,
    /// The output.
    Out,
    /// The second input.
    SecondIn,
    /// The second output.
    SecondOut,
    /// Send 1, 2, …: signal leaves.
    Send(u8),
    /// Return 1, 2, …: signal comes back.
    Return(u8),
    /// No jack: where inside an amp what comes back meets the dry signal, before the power stage.
    PowerStage,
}

impl Jack {
    /// Whether signal leaves the device here.
    #[must_use]
    pub fn is_output(self) -> bool {
        matches!(self, Self::Out | Self::SecondOut | Self::Send(_))
    }
}

impl fmt::Display for Jack {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::In => f.write_str("in"),
            Self::Out => f.write_str("out"),
            Self::SecondIn => f.write_str("second in"),
            Self::SecondOut => f.write_str("second out"),
            Self::Send(1) => f.write_str("send"),
            Self::Return(1) => f.write_str("return"),
            Self::Send(n) => write!(f, "send {n}"),
            Self::Return(n) => write!(f, "return {n}"),
            Self::PowerStage => f.write_str("power stage"),
        }
    }
}

/// One jack of one device.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize, serde::Deserialize)]
pub struct JackRef {
    /// The device.
    pub device: DeviceId,
    /// Which of its jacks.
    pub jack: Jack,
}

impl JackRef {
    /// `jack` of `device`.
    #[must_use]
    pub fn new(device: DeviceId, jack: Jack) -> Self {
        Self { device, jack }
    }
}
