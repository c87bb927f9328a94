//! How a way of naming did on lamps whose names are known.

use lampwise::colour::{ColourName, HeldOut, NameBelief};

use crate::calibration::{Stated, brier, ece, log_loss, worst_bin};
use crate::camera::Measured;

/// Counts and beliefs over a set of lamps.
pub(crate) struct Tally {
    /// Lamps by their name and by the likeliest name, in the order of [`ColourName::ALL`].
    confused: [[usize; ColourName::ALL.len()]; ColourName::ALL.len()],
    /// The likeliest name of each lamp: its probability, and whether it is the lamp's.
    top: Vec<Stated>,
    /// Mean negative log of the probability of the lamps' own names.
    log_loss: f64,
}

impl Tally {
    pub(crate) fn of(lamps: &[Measured], belief: impl Fn(&Measured) -> NameBelief) -> Self {
        let mut tally = Self {
            confused: Default::default(),
            top: Vec::new(),
            log_loss: 0.0,
        };
        for lamp in lamps {
            let belief = belief(lamp);
            let (likeliest, probability) = belief.ranked()[0];
            tally.confused[lamp.name.index()][likeliest.index()] += 1;
            tally.top.push((probability, likeliest == lamp.name));
            // The boundaries by hand give flat zeros; one in a billion is a gentler price than infinity.
            tally.log_loss -= belief.of(lamp.name).max(1e-9).ln() / lamps.len() as f64;
        }
        tally
    }

    /// Nothing was held out yet.
    pub(crate) const fn none() -> HeldOut {
        HeldOut {
            lamps: 0,
            right: 0.0,
            log_loss: 0.0,
            ece_10: 0.0,
        }
    }

    pub(crate) fn held_out(&self) -> HeldOut {
        let right = self.top.iter().filter(|(_, right)| *right).count();
        HeldOut {
            lamps: self.top.len(),
            right: right as f64 / self.top.len() as f64,
            log_loss: self.log_loss,
            ece_10: ece(&self.top, 10),
        }
    }

    /// The figures of merit.
    pub(crate) fn line(&self) -> String {
        let held_out = self.held_out();
        let ece = [5, 10, 15].map(|bins| format!("{:.3}", ece(&self.top, bins)));
        format!(
            "right {:.1} %, log loss {:.3}; of the likeliest name: log loss {:.3}, Brier {:.3}, ECE over 5, 10, \
             15 bins {}, worst of 10 bins {:.3}",
            100.0 * held_out.right,
            self.log_loss,
            log_loss(&self.top),
            brier(&self.top),
            ece.join(" "),
            worst_bin(&self.top, 10),
        )
    }

    /// Rows are the lamps' names, columns the likeliest ones.
    pub(crate) fn matrix(&self) -> String {
        let mut text = format!("{:<11}", "");
        for name in ColourName::ALL {
            text += &format!("{:>7.6}", name.as_str());
        }
        for name in ColourName::ALL {
            text += &format!("\n{:<11}", name.as_str());
            for count in self.confused[name.index()] {
                let shown = if count == 0 {
                    "-".to_owned()
                } else {
                    count.to_string()
                };
                text += &format!("{shown:>7}");
            }
        }
        text
    }

    /// What was stated against how often it came true, a line a bin.
    pub(crate) fn reliability(&self) -> String {
        let mut text = String::from("stated      came true   lamps");
        for bin in 0..10 {
            let (low, high) = (f64::from(bin) / 10.0, f64::from(bin + 1) / 10.0);
            let own: Vec<&Stated> = self.top.iter().filter(|(p, _)| *p > low && *p <= high).collect();
            if own.is_empty() {
                continue;
            }
            let mean = own.iter().map(|(p, _)| p).sum::<f64>() / own.len() as f64;
            let right = own.iter().filter(|(_, right)| *right).count() as f64 / own.len() as f64;
            text += &format!("\n{mean:<11.3} {right:<11.3} {}", own.len());
        }
        text
    }
}
