//! The procedure of a decided row, less what does not apply to this case.

use crate::table::{Given, Kind, LightTable, Meaning, Step, Window};

use crate::words::{say, say_with};

use super::step::{Answer, Clock, duration};
use super::{Caution, Facts, NextStep, Sort, When};

/// What still has to be done, in the table's order, up to the first hand-on whose conditions are met, and that is not
/// before a step's time is over.
pub(super) fn steps(table: &LightTable, meaning: &Meaning, facts: &Facts) -> Vec<NextStep> {
    let mut walk = Walk {
        table,
        meaning,
        facts,
        clocks: Clocks::of(meaning, facts),
        next: Vec::new(),
        asked: Vec::new(),
    };
    for step in &meaning.next {
        let ended = match step {
            Step::Do { .. } => walk.take_step(step),
            Step::HandOn { .. } => walk.take_hand_on(step),
        };
        if ended {
            break;
        }
    }
    if walk.next.is_empty() && !meaning.next.is_empty() {
        let last = walk.nothing_left();
        walk.next.push(last);
    }
    walk.next
}

/// How long it has been so, and how long there has been power, as far as either is known. Seconds.
#[derive(Debug, Clone, Copy)]
pub(super) struct Clocks {
    pub(super) lasted_s: Option<f64>,
    /// It has been so for this long at the most.
    at_most_s: Option<f64>,
    powered_s: Option<f64>,
}

impl Clocks {
    pub(super) fn of(meaning: &Meaning, facts: &Facts) -> Self {
        // A dark lamp may have been dark before there was power; any other state needs power.
        let bound_s = facts.powered_s.filter(|_| meaning.kind != Kind::Off);
        // Who starts up has done so since the power came.
        let told_s = facts
            .lasted_s
            .or(bound_s.filter(|_| meaning.kind == Kind::Booting));
        Self {
            lasted_s: told_s.map(|told_s| bound_s.map_or(told_s, |bound_s| told_s.min(bound_s))),
            at_most_s: bound_s,
            powered_s: facts.powered_s,
        }
    }

    /// When to do a step, if its time is not over or still to come.
    fn when(self, clock: Clock, window: Window) -> Option<When> {
        let (now_s, bound_s) = match clock {
            Clock::Lasted => (self.lasted_s, self.at_most_s),
            Clock::Powered => (self.powered_s, None),
        };
        Some(match (window.after_s, window.until_s, now_s) {
            (_, Some(until), Some(now)) if now >= until => return None,
            (Some(after), _, Some(now)) if now < after => return None,
            (Some(after), _, None) if bound_s.is_some_and(|bound| bound < after) => return None,
            (_, Some(until), Some(now)) => When::ForAnother(until - now),
            (_, None, Some(_)) | (None, None, None) => When::Now,
            (Some(after), Some(until), None) => When::Between(after, until),
            (Some(after), None, None) => When::After(after),
            (None, Some(until), None) => When::Until(until),
        })
    }
}

/// A walk through the steps of one row.
struct Walk<'a> {
    table: &'a LightTable,
    meaning: &'a Meaning,
    facts: &'a Facts,
    clocks: Clocks,
    next: Vec<NextStep>,
    /// Conditions that were asked for, and in which step.
    asked: Vec<(usize, usize)>,
}

impl Walk<'_> {
    /// Never the end.
    fn take_step(&mut self, step: &Step) -> bool {
        let (clock, window) = time_of(step);
        if !self.ruled_out(step)
            && let Some(when) = self.clocks.when(clock, window)
            && let Some(mut next) = self.worded(step, clock, when)
        {
            next.given = self.question(step.given());
            self.next.push(next);
        }
        false
    }

    /// `true` where nothing follows.
    fn take_hand_on(&mut self, step: &Step) -> bool {
        let Step::HandOn {
            text,
            after_tried,
            evidence,
            ..
        } = step
        else {
            return false;
        };
        // Nobody is told to wait and to stop at once.
        let waits = self
            .next
            .iter()
            .any(|step| matches!(step.when, When::ForAnother(_)));
        if waits || self.ruled_out(step) || !after_tried.iter().all(|name| self.done_with(name)) {
            return false;
        }
        let given = self.question(step.given());
        let mut next = NextStep::new(self.facts.language, Sort::HandOn, self.told(text));
        next.with = self
            .known_facts()
            .into_iter()
            .chain(evidence.iter().map(|text| self.told(text)))
            .collect();
        next.given = given;
        self.next.push(next);
        given.is_none()
    }

    /// The site is known not to be so.
    fn ruled_out(&self, step: &Step) -> bool {
        step.given()
            .is_some_and(|given| self.answer(given).is_some_and(|holds| holds != given.holds))
    }

    fn answer(&self, given: Given) -> Option<bool> {
        let id = &self.table.conditions[given.condition].id;
        let told = self.facts.site.iter().rev().find(|(name, _)| name == id);
        told.map(|(_, holds)| *holds)
    }

    /// Tried, or tried only in steps that do not apply here.
    fn done_with(&self, name: &String) -> bool {
        let mut steps = self
            .meaning
            .next
            .iter()
            .filter(|step| tried_as(step) == Some(name));
        self.facts.tried.contains(name)
            || steps.clone().next().is_some() && steps.all(|step| self.ruled_out(step))
    }

    /// Asks for an unknown condition, once, and says on which answer the step depends.
    fn question(&mut self, given: Option<Given>) -> Option<Answer> {
        let given = given.filter(|given| self.answer(*given).is_none())?;
        let asked = self
            .asked
            .iter()
            .find(|(condition, _)| *condition == given.condition);
        let step = asked.map_or(self.next.len(), |(_, step)| *step);
        if asked.is_none() {
            let condition = &self.table.conditions[given.condition];
            let mut ask = NextStep::new(self.facts.language, Sort::Ask, self.told(&condition.ask));
            ask.asks = Some(condition.id.clone());
            self.next.push(ask);
            self.asked.push((given.condition, step));
        }
        let yes = given.holds;
        Some(Answer { step, yes })
    }

    /// A step in words, unless it was tried.
    fn worded(&self, step: &Step, clock: Clock, when: When) -> Option<NextStep> {
        let Step::Do {
            text,
            tried,
            caution,
            erases,
            otherwise,
            basis,
            ..
        } = step
        else {
            return None;
        };
        if tried.as_ref().is_some_and(|name| self.facts.tried.contains(name)) {
            return None;
        }
        let language = self.facts.language;
        let mut next = NextStep::new(language, Sort::Do, self.told(text));
        next.when = when;
        next.clock = clock;
        next.tried.clone_from(tried);
        next.otherwise = otherwise.as_ref().map(|text| self.told(text));
        next.basis = basis.as_ref().map(|text| self.told(text));
        let named = tried.as_deref().unwrap_or_default();
        next.cautions = Caution::erasing(erases, &format!("{text} {named}"), |what| self.told(what))
            .into_iter()
            .collect();
        next.cautions
            .extend(Caution::called_for_by(&format!("{text} {named}")));
        let general: Vec<String> = next
            .cautions
            .iter()
            .map(|caution| caution.text(language))
            .collect();
        next.cautions.extend(
            caution
                .as_ref()
                .and_then(|own| Caution::stated(&self.told(own), &general)),
        );
        Some(next)
    }

    /// Where no step is due: the one that will be first, or else hand on.
    fn nothing_left(&self) -> NextStep {
        let ahead = self.meaning.next.iter().filter_map(|step| {
            let (clock, window) = time_of(step);
            let now_s = match clock {
                Clock::Lasted => self.clocks.lasted_s,
                Clock::Powered => self.clocks.powered_s,
            };
            let after_s = window.after_s.filter(|after_s| *after_s > now_s.unwrap_or(0.0))?;
            let open = !self.ruled_out(step);
            Some((
                after_s,
                self.worded(step, clock, When::After(after_s)).filter(|_| open)?,
            ))
        });
        ahead.min_by(|a, b| a.0.total_cmp(&b.0)).map_or_else(
            || {
                let language = self.facts.language;
                let mut end = NextStep::new(language, Sort::HandOn, say(language, "hand-on-all-done"));
                end.with = self.known_facts();
                end
            },
            |(_, step)| step,
        )
    }

    /// What whoever takes over wants to know and would ask first.
    fn known_facts(&self) -> Vec<String> {
        let language = self.facts.language;
        let time = |s: f64| duration(s, language).into();
        let mut facts = Vec::new();
        if let Some(lasted_s) = self.clocks.lasted_s {
            facts.push(say_with(language, "fact-lasted", &[("time", time(lasted_s))]));
        }
        if let Some(powered_s) = self.facts.powered_s {
            facts.push(say_with(language, "fact-powered", &[("time", time(powered_s))]));
        }
        if !self.facts.tried.is_empty() {
            let tried: Vec<String> = self.facts.tried.iter().map(|name| self.told(name)).collect();
            let what = tried.join(", ");
            facts.push(say_with(language, "fact-tried", &[("what", what.into())]));
        }
        facts
    }

    /// A text of the table in the language of the case.
    fn told(&self, text: &str) -> String {
        self.table.told(text, self.facts.language.code()).to_owned()
    }
}

fn tried_as(step: &Step) -> Option<&String> {
    match step {
        Step::Do { tried, .. } => tried.as_ref(),
        Step::HandOn { .. } => None,
    }
}

fn time_of(step: &Step) -> (Clock, Window) {
    match step {
        Step::Do {
            until_s,
            after_s,
            powered,
            ..
        } if *powered == Window::default() => {
            let (after_s, until_s) = (*after_s, *until_s);
            (Clock::Lasted, Window { after_s, until_s })
        }
        Step::Do { powered, .. } => (Clock::Powered, *powered),
        Step::HandOn { .. } => (Clock::Lasted, Window::default()),
    }
}
