//! How large all of the window can be shown.

/// A size of everything, in per cent of what the desktop has.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Scale {
    /// 75 %
    Percent75,
    /// 100 %
    Percent100,
    /// 125 %
    Percent125,
    /// 150 %
    Percent150,
    /// 175 %
    Percent175,
    /// 200 %
    Percent200,
}

impl Scale {
    /// All of them, the smallest first.
    pub const ALL: [Self; 6] =
        [Self::Percent75, Self::Percent100, Self::Percent125, Self::Percent150, Self::Percent175, Self::Percent200];

    /// As a factor: 1 is as the desktop has it.
    #[must_use]
    pub fn factor(self) -> f32 {
        match self {
            Self::Percent75 => 0.75,
            Self::Percent100 => 1.0,
            Self::Percent125 => 1.25,
            Self::Percent150 => 1.5,
            Self::Percent175 => 1.75,
            Self::Percent200 => 2.0,
        }
    }

    /// What a menu says.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Percent75 => "Scale 75 %",
            Self::Percent100 => "Scale 100 %",
            Self::Percent125 => "Scale 125 %",
            Self::Percent150 => "Scale 150 %",
            Self::Percent175 => "Scale 175 %",
            Self::Percent200 => "Scale 200 %",
        }
    }

    /// The next one above a factor.
    #[must_use]
    pub fn above(factor: f32) -> Option<Self> {
        Self::ALL.into_iter().find(|scale| scale.factor() > factor + SLACK)
    }

    /// The next one below a factor.
    #[must_use]
    pub fn below(factor: f32) -> Option<Self> {
        Self::ALL.into_iter().rev().find(|scale| scale.factor() < factor - SLACK)
    }

    /// Whether everything is as large as this at a factor.
    #[must_use]
    pub fn is(self, factor: f32) -> bool {
        (self.factor() - factor).abs() <= SLACK
    }
}

/// Factors that differ by less are one.
const SLACK: f32 = 1e-3;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_go_through_all_of_them_and_end() {
        let mut factor = 0.5;
        for scale in Scale::ALL {
            assert_eq!(Scale::above(factor), Some(scale));
            factor = scale.factor();
        }
        assert_eq!(Scale::above(factor), None);
        // From between two of them to the next one on either side.
        assert_eq!((Scale::below(1.1), Scale::above(1.1)), (Some(Scale::Percent100), Some(Scale::Percent125)));
        assert_eq!(Scale::below(0.75), None);
    }
}
