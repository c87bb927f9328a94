//! One next step, whole: when, what, with which cautions.

use crate::words::{Language, say_with, words};

use super::Caution;

/// One next step.
#[derive(Debug, Clone, PartialEq)]
pub struct NextStep {
    /// What to do, as a plain sentence.
    pub text: String,
    /// The language of its texts.
    pub language: Language,
    /// What sort of step it is.
    pub sort: Sort,
    /// When to do it.
    pub when: When,
    /// What `when` counts from.
    pub clock: Clock,
    /// Only after this answer to an earlier step.
    pub given: Option<Answer>,
    /// The name under which to note that it was done.
    pub tried: Option<String>,
    /// To be read before doing it.
    pub cautions: Vec<Caution>,
    /// What to do if it does not help.
    pub otherwise: Option<String>,
    /// What the figures in it rest on.
    pub basis: Option<String>,
    /// The condition that it asks for, by the table's name.
    pub asks: Option<String>,
    /// What to hand on beside the report.
    pub with: Vec<String>,
}

/// An answer that a step waits for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Answer {
    /// Index of the step that asks.
    pub step: usize,
    /// The answer must be yes; else it must be no.
    pub yes: bool,
}

/// What the times of a step count from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Clock {
    /// The beginning of the state.
    Lasted,
    /// The moment that the device got power.
    Powered,
}

/// What sort of step it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sort {
    /// A step of the table's procedure.
    Do,
    /// Stop here and hand the case on.
    HandOn,
    /// Film again.
    Film,
    /// Ask or look up something that no clip shows.
    Ask,
}

/// When to do a step. Times are seconds on its [`Clock`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum When {
    /// Now.
    Now,
    /// Until it has lasted so long; it is not known how long it has.
    Until(f64),
    /// For so much longer.
    ForAnother(f64),
    /// Once it has lasted so long; not before, as far as is known.
    After(f64),
    /// Between the two.
    Between(f64, f64),
}

impl NextStep {
    pub(super) fn new(language: Language, sort: Sort, text: impl Into<String>) -> Self {
        Self {
            text: text.into(),
            language,
            sort,
            when: When::Now,
            clock: Clock::Lasted,
            given: None,
            tried: None,
            cautions: Vec::new(),
            otherwise: None,
            basis: None,
            asks: None,
            with: Vec::new(),
        }
    }

    /// The step with its conditions, to be read alone.
    #[must_use]
    pub fn sentence(&self) -> String {
        let language = self.language;
        let mut text = match self.given {
            Some(Answer { step, yes: true }) => {
                say_with(language, "step-if-yes", &[("step", (step + 1).into())]) + " "
            }
            Some(Answer { step, .. }) => {
                say_with(language, "step-if-no", &[("step", (step + 1).into())]) + " "
            }
            None => String::new(),
        };
        text.push_str(&self.timed());
        if let Some(otherwise) = &self.otherwise {
            text.push(' ');
            text.push_str(&say_with(
                language,
                "step-otherwise",
                &[("what", otherwise.clone().into())],
            ));
        }
        if let Some(basis) = &self.basis {
            text.push_str(&format!(" ({basis})"));
        }
        if !self.with.is_empty() {
            text.push(' ');
            text.push_str(&say_with(
                language,
                "step-with",
                &[("what", self.with.join("; ").into())],
            ));
        }
        text
    }

    fn timed(&self) -> String {
        let language = self.language;
        let time = |s: f64| duration(s, language).into();
        let text = || self.text.clone().into();
        let lasted = self.clock == Clock::Lasted;
        match self.when {
            When::Now if self.sort == Sort::HandOn => {
                let why = self.text.trim_end_matches('.').to_owned().into();
                say_with(language, "step-hand-on", &[("why", why)])
            }
            When::Now => self.text.clone(),
            When::Until(s) if lasted => {
                say_with(language, "step-until", &[("time", time(s)), ("what", text())])
            }
            When::Until(s) => say_with(
                language,
                "step-until-powered",
                &[("time", time(s)), ("what", text())],
            ),
            When::ForAnother(s) => say_with(
                language,
                "step-for-another",
                &[("time", time(s)), ("what", text())],
            ),
            When::After(s) if lasted => {
                say_with(language, "step-after", &[("time", time(s)), ("what", text())])
            }
            When::After(s) => say_with(
                language,
                "step-after-powered",
                &[("time", time(s)), ("what", text())],
            ),
            When::Between(from, to) if lasted => say_with(
                language,
                "step-between",
                &[("from", time(from)), ("to", time(to)), ("what", text())],
            ),
            When::Between(from, to) => say_with(
                language,
                "step-between-powered",
                &[("from", time(from)), ("to", time(to)), ("what", text())],
            ),
        }
    }
}

/// A span of time for people: whole seconds, minutes or hours; tenths below ten seconds.
#[must_use]
pub fn duration(seconds: f64, language: Language) -> String {
    let whole = seconds.round();
    if seconds < 9.95 {
        let whole = (10.0 * seconds).round() % 10.0 == 0.0;
        return format!("{} s", words(language).number(seconds, usize::from(!whole)));
    }
    if whole < 120.0 {
        return format!("{whole:.0} s");
    }
    let (unit, large, small) = if whole < 7200.0 {
        (60.0, "min", "s")
    } else {
        (3600.0, "h", "min")
    };
    let rest = if small == "s" {
        whole % unit
    } else {
        ((whole % unit) / 60.0).floor()
    };
    let main = (whole / unit).floor();
    if rest < 1.0 {
        format!("{main:.0} {large}")
    } else {
        format!("{main:.0} {large} {rest:.0} {small}")
    }
}
