//! How many evenings a search for a headcount spends.

/// How much is spent.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Effort {
    /// Evenings at each headcount of the first stage.
    pub locate: u32,
    /// Evenings about the first limits to give out, in all; limits that share no headcounts have
    /// some more, and later limits have theirs besides.
    pub spend: u32,
    /// Fewer are spent once the range of the headcount is this share of it, from end to end.
    pub precise: f64,
    /// Limits are followed up to so many times the headcount at which the first gives out; at least
    /// 1.
    pub follow: f64,
    /// Where the first rounds see no more guests than this, the others are not played.
    pub beyond: u32,
}

/// Evenings are spent in so many rounds, at three headcounts each.
const ROUNDS: u32 = 3;
const HEADCOUNTS: u32 = 3;
/// Evenings at a headcount in a round, at least.
const LEAST_BATCH: u32 = 8;

impl Effort {
    /// For the question how many: every limit is followed a third as far again as the first gives
    /// out.
    pub const WHOLE: Effort =
        Effort { locate: 16, spend: 288, precise: 0.1, follow: 1.3, beyond: 0 };
    /// For figures beside the answer: grades that were not asked for. Only the first limit matters.
    pub const ASIDE: Effort = Effort { locate: 12, spend: 144, follow: 1.0, ..Effort::WHOLE };

    /// For the question how many with so many evenings; who asks for more than usual wants them all.
    pub fn whole(evenings: u32) -> Effort {
        let usual = Effort::WHOLE;
        let precise = if evenings > usual.spend { 0.0 } else { usual.precise };
        Effort { spend: evenings, precise, ..usual }
    }

    /// For the guests a change gains, beside so many fresh evenings of it: as much as `capacity`
    /// spends about the first limit, so that one house has one number, but where fewer evenings
    /// than usual are asked for. What gives out later does not count.
    pub fn beside(evenings: u32) -> Effort {
        let first = Effort { follow: 1.0, ..Effort::WHOLE };
        if evenings >= USUAL_EVENINGS {
            return first;
        }
        let part = |of: u32, least: u32| (of * evenings / USUAL_EVENINGS).max(least);
        Effort { locate: part(first.locate, 8), spend: part(first.spend, 64), ..first }
    }

    /// Evenings at each headcount of a round.
    pub(super) fn batch(self) -> u32 {
        self.spend.div_ceil(ROUNDS * HEADCOUNTS).max(LEAST_BATCH)
    }
}

/// How much is spent, and where is looked.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Budget {
    /// Where the search begins.
    pub around: u32,
    /// Never more guests than this …
    pub most: u32,
    /// … but for limits that give out later: never more than this.
    pub farthest: u32,
    /// How much is spent.
    pub effort: Effort,
}

/// Fresh evenings of a change that are usual.
pub const USUAL_EVENINGS: u32 = 60;
