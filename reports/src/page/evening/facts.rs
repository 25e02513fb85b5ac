//! How many, where it jams, what to change: the three facts above everything else.

use super::{Played, Taken};
use crate::page::{CHANGE, Fact, HOW_MANY, WHERE};
use crate::words;
use sim::study::evening::{Evening, Subject};

impl Played<'_> {
    /// How many guests: their grade, and what keeps it from a better one.
    pub(in crate::page) fn how_many(&self) -> Fact {
        Fact::new(
            HOW_MANY,
            words::graded(self.world.scenario.guests, self.evening.grade()),
            self.too_much(),
        )
    }

    /// The same for a question that changes the house: how many it takes then, if that was asked
    /// and is known, and the grade of its guests.
    pub(in crate::page) fn how_many_instead(
        &self,
        (before, then, gain): Taken,
        with: &str,
        evening: &Evening,
    ) -> Fact {
        let graded =
            words::grade_then(self.world.scenario.guests, self.evening.grade(), evening.grade());
        match words::capacity::instead(before, then, gain, self.world.scenario.limits.grade) {
            Some((says, likely)) => {
                // an evening at the edge of its grade tells less than the headcount does
                let at_the_edge =
                    [self.evening, evening].iter().any(|e| e.close_to_better().is_some());
                let likely = if likely.is_empty() { likely } else { format!("{likely}{with}") };
                let parts: Vec<String> = [likely, if at_the_edge { String::new() } else { graded }]
                    .into_iter()
                    .filter(|p| !p.is_empty())
                    .collect();
                Fact::new(HOW_MANY, says, parts.join("; "))
            }
            None => Fact::new(HOW_MANY, graded, self.too_much()),
        }
    }

    /// What keeps the evening from the next better grade.
    fn too_much(&self) -> String {
        let all: Vec<String> = self
            .evening
            .in_the_way()
            .iter()
            .map(|v| words::trouble(self.world, self.evening, v.subject))
            .collect();
        match self.evening.grade().better() {
            Some(next) if !all.is_empty() => {
                let how =
                    if self.evening.close_to_better() == Some(next) { "nearly" } else { "not" };
                let close = if how == "nearly" { " (too close to call)" } else { "" };
                format!("{how} {}{close}: {}", next.word(), words::some_of(&all))
            }
            _ => "every limit holds".into(),
        }
    }

    /// Where it jams first, how often and when.
    pub(in crate::page) fn where_it_jams(&self) -> Fact {
        if let Some(v) = self.evening.trouble()
            && let Some(at) = words::trouble_at(self.world, v.subject)
        {
            let t = words::told(self.world, self.evening, v);
            let close = if v.is_clear() { "" } else { "; too close to call" };
            return Fact::new(
                WHERE,
                at,
                format!("{}{}; your limit is {}{close}", t.measured, t.likely, t.accepted),
            );
        }
        let (says, more) = match (
            self.evening.jams_first().filter(|_| !self.evening.is_calm()),
            self.evening.most_lost,
        ) {
            (Some(j), _) => {
                let jammed = format!(
                    "jammed for less than {} on 9 evenings in 10{}",
                    words::bound(j.jammed.value),
                    words::when(self.world, j)
                );
                (words::at_spot(self.world, j.pinch), jammed)
            }
            (None, Some((_, minutes)))
                if minutes * 60.0 < f64::from(self.world.scenario.guests) =>
            {
                ("nothing jams for long".into(), "nobody loses more than a moment anywhere".into())
            }
            (None, Some((pinch, minutes))) => {
                let each = words::duration(minutes * 60.0 / f64::from(self.world.scenario.guests));
                let lost = format!(
                    "most time is lost {}: {each} per guest, all evening long",
                    words::at_spot(self.world, pinch)
                );
                ("nothing jams for long".into(), lost)
            }
            (None, None) => ("nothing jams".into(), "nobody is held up".into()),
        };
        Fact::new(WHERE, says, more)
    }

    /// What might help against the first limit that does not hold.
    pub(in crate::page) fn what_to_change(&self) -> Fact {
        self.worth_trying("Worth trying", self.evening.trouble().map(|v| v.subject))
    }

    /// What might help where something gives out.
    pub(in crate::page) fn worth_trying(
        &self,
        heading: &'static str,
        subject: Option<Subject>,
    ) -> Fact {
        match subject {
            None => {
                let grade = self.world.scenario.limits.grade.word();
                Fact::new(
                    CHANGE,
                    format!("nothing, for {grade}"),
                    format!("every limit for {grade} holds"),
                )
            }
            Some(s) => Fact::new(
                heading,
                words::to_try(self.world, self.evening, s),
                "(a guess, not tried yet)",
            ),
        }
    }
}
