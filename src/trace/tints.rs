//! The distinct colours that a light took: groups of frames of one chromaticity.

use std::collections::HashMap;

use linfa::traits::Transformer;
use linfa_clustering::Dbscan;
use ndarray::Array2;

use super::halo::{hue_of_halo, is_purer};
use super::one_name::one_name;
use super::sample::{Chroma, Tint};
use super::spread::median;
use crate::colour::{D65, ReadFrom, hue_line, name_colour};

/// Chromaticity of one lit frame.
#[derive(Debug, Clone, Copy)]
pub(super) struct Lit {
    /// Index of the frame.
    pub frame: usize,
    pub chroma: Chroma,
    /// See [`Sample::level`](super::sample::Sample::level).
    pub level: f64,
    /// Red, green and blue of the halo, where the lamp clips.
    pub halo: Option<[f64; 3]>,
    /// Share of the lamp's light on clipped pixels.
    pub clipped: f64,
    /// See [`ReadFrom::Lamp`].
    pub alone: bool,
    /// The lamp was near its full level, so that the chromaticity is worth grouping.
    pub full: bool,
}

/// The tints, longest seen first, and for each lit frame the tint it belongs to.
pub(super) struct Grouped {
    pub tints: Vec<Tint>,
    /// (frame, tint), for frames that belong to one.
    pub members: Vec<(usize, usize)>,
}

/// Distance in u'v' within which two frames show one colour: a few times the noise of a small lamp in
/// compressed video (measured on rendered lamps: 0.004 to 0.008), a third of the distance from a cool to a
/// warm white.
const SAME: f64 = 0.02;
/// Frames that are grouped at most; the rest is assigned. Bounds the time for long clips.
const SAMPLE: usize = 600;

/// Groups lit frames by chromaticity with DBSCAN (Ester et al. 1996), which needs no number of groups: a
/// colour drifting with the white balance stays one group, two colours in turn are two, and frames that mix
/// both stand alone.
pub(super) fn group(lit: &[Lit]) -> Grouped {
    let full: Vec<&Lit> = lit.iter().filter(|l| l.full).collect();
    let step = full.len().div_ceil(SAMPLE).max(1);
    let sample: Vec<&Lit> = full.iter().copied().step_by(step).collect();
    if sample.is_empty() {
        return Grouped {
            tints: Vec::new(),
            members: Vec::new(),
        };
    }
    let labels = labels(&sample);
    let mut centres = centres(&sample, &labels);
    let group_of =
        |l: &Lit| nearest(&centres, &l.chroma, l.full).or_else(|| of_its_like(&l.chroma, &sample, &labels));
    let mut members: Vec<(usize, usize)> = lit.iter().filter_map(|l| Some((l.frame, group_of(l)?))).collect();
    merge(&mut centres, &mut members, lit);
    let mut counts = vec![0usize; centres.len()];
    for (_, tint) in &members {
        counts[*tint] += 1;
    }
    let mut order: Vec<usize> = (0..centres.len()).filter(|&i| counts[i] > 0).collect();
    order.sort_by_key(|&i| std::cmp::Reverse(counts[i]));
    let rank = |tint: usize| order.iter().position(|&i| i == tint);
    members = members
        .into_iter()
        .filter_map(|(frame, tint)| Some((frame, rank(tint)?)))
        .collect();
    let all = members.len().max(1) as f64;
    let tint_of: HashMap<usize, usize> = members.iter().copied().collect();
    let tints = order
        .iter()
        .enumerate()
        .map(|(rank, &i)| {
            let own: Vec<&Lit> = lit
                .iter()
                .filter(|l| tint_of.get(&l.frame) == Some(&rank))
                .collect();
            tint(centres[i], &own, counts[i] as f64 / all)
        })
        .collect();
    Grouped { tints, members }
}

/// The group of each frame, if it has one.
fn labels(sample: &[&Lit]) -> Vec<Option<usize>> {
    let points = Array2::from_shape_fn((sample.len(), 2), |(i, k)| {
        if k == 0 {
            sample[i].chroma.u
        } else {
            sample[i].chroma.v
        }
    });
    // Two neighbours make a group, so that a colour seen in two frames of a short flash counts; in a longer
    // clip it must be seen in one frame of forty.
    let least = (sample.len() / 40).clamp(2, 8).min(sample.len());
    Dbscan::params(least)
        .tolerance(SAME)
        .transform(&points)
        .map_or_else(|_| vec![Some(0); sample.len()], |labels| labels.to_vec())
}

/// The centres of the groups; one at least.
fn centres(sample: &[&Lit], labels: &[Option<usize>]) -> Vec<(f64, f64)> {
    let groups = labels.iter().flatten().max().map_or(0, |top| top + 1);
    if groups == 0 {
        return vec![mean_chroma(sample)];
    }
    (0..groups)
        .map(|group| {
            let own: Vec<&Lit> = sample
                .iter()
                .zip(labels)
                .filter(|(_, label)| **label == Some(group))
                .map(|(l, _)| *l)
                .collect();
            mean_chroma(&own)
        })
        .collect()
}

/// Makes one group of those that are one colour, with the chromaticity of what washed it out least.
fn merge(centres: &mut [(f64, f64)], members: &mut [(usize, usize)], lit: &[Lit]) {
    let group_of: HashMap<usize, usize> = members.iter().copied().collect();
    let read_from: Vec<ReadFrom> = (0..centres.len())
        .map(|group| read_from(lit.iter().filter(|l| group_of.get(&l.frame) == Some(&group))))
        .collect();
    let level_of: HashMap<usize, f64> = lit.iter().map(|l| (l.frame, l.level)).collect();
    let levels: Vec<f64> = (0..centres.len())
        .map(|group| {
            let own = members.iter().filter(|member| member.1 == group);
            median(own.map(|member| level_of[&member.0]).collect()).unwrap_or(0.0)
        })
        .collect();
    let merged = one_name(centres, &levels, &read_from, members);
    let purest: Vec<(f64, f64)> = (0..centres.len())
        .map(|into| {
            let own: Vec<usize> = (0..merged.len()).filter(|&group| merged[group] == into).collect();
            if own.len() > 1 {
                purest(&own, lit, members)
            } else {
                centres[into]
            }
        })
        .collect();
    centres.copy_from_slice(&purest);
    for (_, group) in members.iter_mut() {
        *group = merged[*group];
    }
}

/// What the colour of some frames was read from: the mean of their clipped shares; the lamp's light alone if in most of them.
fn read_from<'l>(frames: impl Iterator<Item = &'l Lit>) -> ReadFrom {
    let (mut clipped, mut alone, mut count) = (0.0, 0.0, 1e-9);
    for frame in frames {
        clipped += frame.clipped;
        alone += f64::from(frame.alone);
        count += 1.0;
    }
    ReadFrom::Lamp {
        clipped: clipped / count,
        alone: 2.0 * alone > count,
    }
}

/// Chromaticity of the group farthest from white, of those with enough frames to speak for all.
fn purest(groups: &[usize], lit: &[Lit], members: &[(usize, usize)]) -> (f64, f64) {
    /// Share of all their frames.
    const ENOUGH: f64 = 0.2;
    let frames = |group: usize| members.iter().filter(|member| member.1 == group).count();
    let all: usize = groups.iter().map(|&group| frames(group)).sum();
    let from_white = |(u, v): &(f64, f64)| (u - D65.0).hypot(v - D65.1);
    groups
        .iter()
        .filter(|&&group| frames(group) as f64 >= ENOUGH * all as f64)
        .map(|&group| centre_of(group, lit, members))
        .max_by(|a, b| from_white(a).total_cmp(&from_white(b)))
        .unwrap_or_else(|| centre_of(groups[0], lit, members))
}

/// Mean of the frames of a group, of its full ones where it has any.
fn centre_of(group: usize, lit: &[Lit], members: &[(usize, usize)]) -> (f64, f64) {
    let group_of: HashMap<usize, usize> = members.iter().copied().collect();
    let own = || lit.iter().filter(|l| group_of.get(&l.frame) == Some(&group));
    let full: Vec<&Lit> = own().filter(|l| l.full).collect();
    mean_chroma(&if full.is_empty() { own().collect() } else { full })
}

fn mean_chroma(lit: &[&Lit]) -> (f64, f64) {
    let n = lit.len().max(1) as f64;
    (
        lit.iter().map(|l| l.chroma.u).sum::<f64>() / n,
        lit.iter().map(|l| l.chroma.v).sum::<f64>() / n,
    )
}

/// The group that a chromaticity belongs to; faint frames, whose hue is noisy, join the nearest within a
/// wider distance.
fn nearest(centres: &[(f64, f64)], chroma: &Chroma, full: bool) -> Option<usize> {
    let reach = if full { 2.0 * SAME } else { 4.0 * SAME } + 2.0 * chroma.sd;
    let distance = |c: &(f64, f64)| (c.0 - chroma.u).hypot(c.1 - chroma.v);
    let (index, centre) = centres
        .iter()
        .enumerate()
        .min_by(|a, b| distance(a.1).total_cmp(&distance(b.1)))?;
    (distance(centre) <= reach).then_some(index)
}

/// The group of the grouped frame that a chromaticity is next to: a long group reaches far from its centre.
fn of_its_like(chroma: &Chroma, sample: &[&Lit], labels: &[Option<usize>]) -> Option<usize> {
    let grouped = sample.iter().zip(labels).filter_map(|(l, label)| {
        let distance = (l.chroma.u - chroma.u).hypot(l.chroma.v - chroma.v);
        Some((distance, (*label)?))
    });
    let (distance, group) = grouped.min_by(|a, b| a.0.total_cmp(&b.0))?;
    (distance <= SAME).then_some(group)
}

fn tint(centre: (f64, f64), own: &[&Lit], share: f64) -> Tint {
    let n = own.len().max(1) as f64;
    let scatter = own
        .iter()
        .map(|l| (l.chroma.u - centre.0).powi(2) + (l.chroma.v - centre.1).powi(2))
        .sum::<f64>()
        / n;
    // Frames of one lamp share their error more than they differ: the mean of many is trusted as that of at
    // most ten.
    let sd = (scatter / 2.0 / n.min(10.0)).sqrt().max(0.002);
    let mut steady = own.iter().filter(|l| l.full).peekable();
    let halos: Vec<Option<[f64; 3]>> = if steady.peek().is_some() {
        steady.map(|l| l.halo).collect()
    } else {
        own.iter().map(|l| l.halo).collect()
    };
    let read_from = read_from(own.iter().copied());
    let names = name_colour(centre.0, centre.1, sd, read_from);
    let halo = hue_of_halo(&halos).filter(|(halo, _)| is_purer(*halo, centre));
    let (centre, sd, read_from, names) = halo.map_or((centre, sd, read_from, names), |(halo, sd)| {
        let of_halo = name_colour(halo.0, halo.1, sd, ReadFrom::Halo);
        (halo, sd, ReadFrom::Halo, names.mean_with(&of_halo))
    });
    let line = hue_line(centre.0, centre.1);
    let purity = line.map_or(0.0, |l| l.purity.min(1.0));
    Tint {
        chroma: Chroma {
            u: centre.0,
            v: centre.1,
            sd,
        },
        read_from,
        names,
        // Nearer to white than this a wavelength says nothing.
        dominant_nm: line.filter(|l| l.purity > 0.08).map(|l| l.dominant_nm),
        purity,
        share,
    }
}

#[cfg(test)]
mod tests {
    use rstest::rstest;

    use super::*;

    /// A red that is washed out for most of the clip and less and less so at its end: all its frames are of the one group, the
    /// purest too, which lie far from its centre.
    #[rstest]
    #[case::each_is_looked_at(100)]
    #[case::one_of_five_is(3000)]
    fn every_frame_of_a_long_group_belongs_to_it(#[case] frames: usize) {
        let share = |frame: usize| frame as f64 / frames as f64;
        let lit: Vec<Lit> = (0..frames)
            .map(|frame| Lit {
                frame,
                chroma: Chroma {
                    u: 0.36 + 0.5 * (share(frame) - 0.8).max(0.0),
                    v: 0.51,
                    sd: 0.005,
                },
                level: 1.0,
                halo: None,
                clipped: 0.0,
                alone: false,
                full: true,
            })
            .collect();
        let grouped = group(&lit);
        assert_eq!(grouped.tints.len(), 1);
        assert_eq!(grouped.members.len(), lit.len());
    }
}
