//! Who is together in one group, and how many of them are in conflict.
//!
//! Members have one of two colours. One that avoids the other colour, or
//! everybody, is in conflict where it meets them, and so are those that it
//! meets. Besides, few marked members and little weight go together.

/// One of two colours.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum Colour {
    /// The one.
    #[default]
    First,
    /// The other.
    Second,
}

/// Whom a member avoids in its group.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub enum Avoids {
    /// Nobody.
    #[default]
    Nobody,
    /// Members of the other colour.
    OtherColour,
    /// Everybody.
    Everybody,
}

/// How much goes together in a group without conflict.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Ease {
    /// Marked members, up to 254.
    pub marked: u8,
    /// The weight of all members, where more than one has any; up to 65 534.
    pub weight: u16,
}

/// An item as the others of its group know it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Member {
    /// Its colour.
    pub colour: Colour,
    /// Whom it avoids.
    pub avoids: Avoids,
    /// Whether it is one of those of which few go together.
    pub marked: bool,
    /// Its weight.
    pub weight: u32,
}

impl Member {
    /// Whether it takes up any ease.
    #[must_use]
    pub fn burdens(&self) -> bool {
        self.marked || self.weight > 0
    }
}

/// All members of one group, counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Mix {
    /// Members of the first colour.
    pub first: u16,
    /// Members of the second.
    pub second: u16,
    /// Those of the first that avoid the second.
    pub first_avoiding: u16,
    /// Those of the second that avoid the first.
    pub second_avoiding: u16,
    /// Those that avoid everybody.
    pub avoiding_all: u16,
    /// Marked members.
    pub marked: u16,
    /// Members with a weight.
    pub weighted: u16,
    /// Their weights together.
    pub weight: u32,
}

impl Mix {
    /// One member more.
    pub fn join(&mut self, member: &Member) {
        let (count, avoiding) = match member.colour {
            Colour::First => (&mut self.first, &mut self.first_avoiding),
            Colour::Second => (&mut self.second, &mut self.second_avoiding),
        };
        *count += 1;
        *avoiding += u16::from(member.avoids == Avoids::OtherColour);
        self.avoiding_all += u16::from(member.avoids == Avoids::Everybody);
        self.marked += u16::from(member.marked);
        self.weighted += u16::from(member.weight > 0);
        self.weight += member.weight;
    }

    /// One member less, of those that are there.
    pub fn leave(&mut self, member: &Member) {
        let one = Self::default().with(member);
        self.first -= one.first;
        self.second -= one.second;
        self.first_avoiding -= one.first_avoiding;
        self.second_avoiding -= one.second_avoiding;
        self.avoiding_all -= one.avoiding_all;
        self.marked -= one.marked;
        self.weighted -= one.weighted;
        self.weight -= one.weight;
    }

    /// With one member more.
    #[must_use]
    pub fn with(mut self, member: &Member) -> Self {
        self.join(member);
        self
    }

    /// How many members there are.
    #[must_use]
    pub fn members(&self) -> u16 {
        self.first + self.second
    }

    /// Members that are with one whom they avoid or who avoids them: both count.
    #[must_use]
    pub fn disturbed(&self) -> u32 {
        if self.avoiding_all > 0 && self.members() > 1 {
            return u32::from(self.members());
        }
        if self.first == 0 || self.second == 0 {
            return 0;
        }
        let second = if self.first_avoiding > 0 { self.second } else { self.second_avoiding };
        let first = if self.second_avoiding > 0 { self.first } else { self.first_avoiding };
        u32::from(second) + u32::from(first)
    }

    /// Whether there is more weight than is easy.
    #[must_use]
    pub fn is_heavy(&self, ease: &Ease) -> bool {
        self.weight > u32::from(ease.weight) && self.weighted > 1
    }

    /// Marked members beyond what is easy; at least one where it is too heavy.
    #[must_use]
    pub fn excess(&self, ease: &Ease) -> u32 {
        u32::from(self.marked.saturating_sub(u16::from(ease.marked))).max(u32::from(self.is_heavy(ease)))
    }

    /// All conflicts.
    #[must_use]
    pub fn conflicts(&self, ease: &Ease) -> u32 {
        self.disturbed() + self.excess(ease)
    }

    /// Conflicts that a member more adds at least, whoever comes after it.
    #[must_use]
    pub fn least_added(&self, member: &Member, ease: &Ease) -> u32 {
        let (others, avoiding) = match member.colour {
            Colour::First => (self.second, self.second_avoiding),
            Colour::Second => (self.first, self.first_avoiding),
        };
        let avoided = self.avoiding_all > 0 || (others > 0 && (avoiding > 0 || member.avoids == Avoids::OtherColour));
        let avoids = member.avoids == Avoids::Everybody && self.members() > 0;
        // Too much weight may have been counted for it already.
        let easy = u16::from(ease.marked);
        let exceeds = member.marked && (self.marked > easy || (self.marked == easy && !self.is_heavy(ease)));
        u32::from(avoided || avoids) + u32::from(exceeds)
    }
}

#[cfg(test)]
mod tests {
    use rigwright_tests::Dice;

    use super::*;

    const EASE: Ease = Ease { marked: 2, weight: 400 };
    const PLAIN: Member = Member { colour: Colour::First, avoids: Avoids::Nobody, marked: false, weight: 0 };
    const SHY: Member = Member { colour: Colour::Second, avoids: Avoids::OtherColour, ..PLAIN };
    const MARKED: Member = Member { marked: true, ..PLAIN };

    fn all(members: &[Member]) -> Mix {
        members.iter().fold(Mix::default(), |mix, member| mix.with(member))
    }

    fn conflicts(members: &[Member]) -> u32 {
        all(members).conflicts(&EASE)
    }

    #[test]
    fn both_sides_of_an_avoidance_are_in_conflict() {
        assert_eq!(conflicts(&[SHY, SHY]), 0);
        assert_eq!(conflicts(&[SHY, PLAIN, PLAIN]), 3);
        // One of the second colour that avoids nobody has no conflict with those of the first.
        let easy = Member { avoids: Avoids::Nobody, ..SHY };
        assert_eq!(conflicts(&[easy, PLAIN]), 0);
        assert_eq!(conflicts(&[easy, SHY, PLAIN]), 2);
        assert_eq!(conflicts(&[Member { avoids: Avoids::Everybody, ..PLAIN }, PLAIN, easy]), 3);
    }

    #[test]
    fn marks_and_weight_beyond_what_is_easy_are_conflicts() {
        assert_eq!(conflicts(&[MARKED, MARKED]), 0);
        assert_eq!(conflicts(&[MARKED, MARKED, MARKED]), 1);
        assert_eq!(conflicts(&[MARKED; 5]), 3);
        let heavy = |weight| Member { weight, ..PLAIN };
        assert_eq!(conflicts(&[heavy(200), heavy(200)]), 0);
        assert_eq!(conflicts(&[heavy(200), heavy(201)]), 1);
        assert_eq!(conflicts(&[heavy(600)]), 0, "one member by itself is together with nobody");
        assert_eq!(conflicts(&[heavy(300), Member { weight: 200, ..MARKED }, MARKED, MARKED]), 1);
    }

    fn any(dice: &mut Dice) -> Member {
        Member {
            colour: dice.pick(&[Colour::First, Colour::Second]),
            avoids: dice.pick(&[Avoids::Nobody, Avoids::Nobody, Avoids::OtherColour, Avoids::Everybody]),
            marked: dice.chance(0.4),
            weight: dice.pick(&[0, 0, 150, 250]),
        }
    }

    /// The bound of the search: what each adds at least, all together, is never more than there is in the end.
    #[test]
    fn what_each_adds_at_least_is_never_too_much() {
        let mut dice = Dice::new(1);
        for _ in 0..20_000 {
            let first = all(&std::array::from_fn::<_, 3, _>(|_| any(&mut dice)));
            let rest: [Member; 3] = std::array::from_fn(|_| any(&mut dice));
            let least: u32 = rest.iter().map(|member| first.least_added(member, &EASE)).sum();
            let after = rest.iter().fold(first, |mix, member| mix.with(member));
            assert!(first.conflicts(&EASE) + least <= after.conflicts(&EASE), "{first:?} {rest:?}");
        }
    }

    #[test]
    fn who_leaves_leaves_no_trace() {
        let mut dice = Dice::new(2);
        for _ in 0..1000 {
            let (others, one) = ([any(&mut dice), any(&mut dice)], any(&mut dice));
            let mut mix = all(&[others[0], one, others[1]]);
            mix.leave(&one);
            assert_eq!(mix, all(&others));
        }
    }
}
