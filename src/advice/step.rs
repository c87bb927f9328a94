//! One next step, whole: when, what, with which cautions.

use super::Caution;

/// One next step.
#[derive(Debug, Clone, PartialEq)]
pub struct NextStep {
    /// What to do, as a plain sentence.
    pub text: String,
    /// What sort of step it is.
    pub sort: Sort,
    /// When to do it.
    pub when: When,
    /// The name under which to note that it was done.
    pub tried: Option<String>,
    /// To be read before doing it.
    pub cautions: Vec<Caution>,
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

/// When to do a step. Times are seconds that the state has lasted.
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
    pub(super) fn new(sort: Sort, text: impl Into<String>) -> Self {
        Self {
            text: text.into(),
            sort,
            when: When::Now,
            tried: None,
            cautions: Vec::new(),
        }
    }

    /// The step with its condition, to be read alone.
    #[must_use]
    pub fn sentence(&self) -> String {
        let text = &self.text;
        match (self.when, self.sort) {
            (When::Now, Sort::HandOn) => {
                format!(
                    "Stop here and hand the case on, with this report: {}.",
                    text.trim_end_matches('.')
                )
            }
            (When::Now, _) => text.clone(),
            (When::Until(s), _) => format!("For the first {}: {text}", duration(s)),
            (When::ForAnother(s), _) => format!("For up to {} more: {text}", duration(s)),
            (When::After(s), _) => format!("Only after {} of this: {text}", duration(s)),
            (When::Between(from, to), _) => {
                format!(
                    "After {} of this and before {}: {text}",
                    duration(from),
                    duration(to)
                )
            }
        }
    }
}

/// A span of time for people: whole seconds, minutes or hours; tenths below ten seconds.
#[must_use]
pub fn duration(seconds: f64) -> String {
    let whole = seconds.round();
    if seconds < 9.95 {
        let text = format!("{seconds:.1}");
        return format!("{} s", text.strip_suffix(".0").unwrap_or(&text));
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
