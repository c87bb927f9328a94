//! From the pixels about a lamp to one glimpse a frame.

use super::bridge::come_as_no_hand;
use super::clear::{keeps_time, switches};
use super::glimpse::{Glimpse, Sighting};
use super::look::{GROWTH, Look, STEADY_RING};
use super::patch::{Grid, Patches, Source};
use super::scan::Seed;
use super::score::Scored;
use super::slip::slips;

/// One lamp, measured in every frame of a window.
pub(super) struct Measured {
    /// The lamp's place and size, better than the seed's.
    pub seed: Seed,
    pub glimpses: Vec<Glimpse>,
    /// What the frames were compared with, if it has the lamp dark as well as lit.
    pub look: Option<Look>,
}

impl Measured {
    /// The lamp was seen unlit.
    pub(super) fn shows_unlit(&self) -> bool {
        self.look.as_ref().is_some_and(|look| !look.base_is_lit)
    }
}

/// Times that a lamp's place and size are found anew from the last ones: its seed may be a small part of it. A clipped lamp
/// changes most at its rim, where a seed is a tenth of it.
const SETTLING: usize = 10;
/// Frames that a steady lamp's place and size are found from.
const SETTLED_ON: usize = 16;

/// Measures one lamp in every frame of a window; `factor` is the number of the picture's pixels in a reduced one.
pub(super) fn measure(source: Source<'_>, factor: f64, scored: &Scored) -> Measured {
    let (seed, slips) = if scored.seed.changes {
        centred(source, scored)
    } else {
        (
            settled(source, scored),
            vec![(0.0, 0.0); source.window.frames.len()],
        )
    };
    let patches = Patches::cut(source, &slips, (seed.x, seed.y), whole_grid(&seed), |_| true);
    let mut look = Look::learn(&patches, &scored.course, &seed);
    if let Some(look) = &mut look {
        look.find_halo(&patches, &scored.course, &seed);
    }
    Measured {
        seed,
        glimpses: glimpses(source, factor, &seed, &slips, &patches, look.as_ref()),
        look: look.filter(|look| look.has_both_states),
    }
}

/// Measures a lamp by its look in an earlier window, so that its levels go on as they were: what this window shows of the
/// lamp may be a part of its rhythm only.
pub(super) fn measure_on(source: Source<'_>, factor: f64, seed: &Seed, look: &Look) -> Vec<Glimpse> {
    let none = vec![(0.0, 0.0); source.window.frames.len()];
    let cut =
        |slips: &[(f64, f64)]| Patches::cut(source, slips, (seed.x, seed.y), look.grid.clone(), |_| true);
    let slips = slips(&cut(&none), look);
    glimpses(source, factor, seed, &slips, &cut(&slips), Some(look))
}

fn glimpses(
    source: Source<'_>,
    factor: f64,
    seed: &Seed,
    slips: &[(f64, f64)],
    patches: &Patches,
    look: Option<&Look>,
) -> Vec<Glimpse> {
    let times: Vec<f64> = source
        .window
        .frames
        .iter()
        .map(|kept| kept.picture.time_s)
        .collect();
    let compared = look.map(|look| look.compare(patches)).unwrap_or_default();
    let frames = source.window.frames.iter().enumerate();
    let glimpses: Vec<Glimpse> = frames
        .map(|(i, kept)| {
            let mut blank = Glimpse::unseen(kept.picture.time_s);
            let (x, y) = kept.placed.scene.apply(seed.x + slips[i].0, seed.y + slips[i].1);
            // The centre of reduced pixel i is at (i + 0.5) * factor in the picture.
            blank.place = ((x + 0.5) * factor, (y + 0.5) * factor);
            if patches.outside[i] {
                blank.sighting = Sighting::OutOfFrame;
            }
            match (look, &patches.frames[i]) {
                (Some(look), Some(pixels)) => {
                    look.glimpse(pixels, compared[i].map_or(1.0, |c| c.gain), blank)
                }
                _ => blank,
            }
        })
        .collect();
    let Some(look) = look else { return glimpses };
    let cover = lasting(&look.foreign(&compared, patches), &look.shining(patches), &times);
    if keeps_time_with(&glimpses, &cover, patches, seed.radius) {
        return glimpses;
    }
    let uncovered = |(glimpse, covered): (Glimpse, bool)| {
        if covered && glimpse.sighting == Sighting::Seen {
            Glimpse {
                place: glimpse.place,
                ..Glimpse::unseen(glimpse.time_s)
            }
        } else {
            glimpse
        }
    };
    glimpses.into_iter().zip(cover).map(uncovered).collect()
}

/// Whether frames look covered in every dark time of the lamp, at the same time of it.
fn keeps_time_with(glimpses: &[Glimpse], cover: &[bool], patches: &Patches, radius: f64) -> bool {
    if !cover.contains(&true) {
        return false;
    }
    let open = |frame: &usize| glimpses[*frame].sighting == Sighting::Seen && !cover[*frame];
    let all = || 0..glimpses.len();
    let top = all()
        .filter(open)
        .map(|frame| glimpses[frame].excess)
        .fold(0.0, f64::max);
    let dark: Vec<usize> = all()
        .filter(open)
        .filter(|&frame| glimpses[frame].excess < 0.5 * top)
        .collect();
    let covered: Vec<usize> = all().filter(|&frame| cover[frame]).collect();
    keeps_time(&covered, &dark, &switches(patches, radius))
}

/// The frames in which something lies over the lamp, from those in which its surround looks foreign. Not those too few in a row
/// to be: what comes and goes within a few frames is a blurred picture, or one that was exposed while the lamp switched. Nor
/// those in which the lamp shines, unless the surround is as foreign when it goes dark: a hand lies over a part of the lamp
/// then, and leaves neither its level nor its colour what they were. And none where they come and go as no hand does: another
/// lamp close by lights up again and again.
fn lasting(foreign: &[bool], shining: &[bool], times_s: &[f64]) -> Vec<bool> {
    /// No hand comes and goes in less, seconds (guessed).
    const BRIEFEST_S: f64 = 0.15;
    let mut cover = vec![false; foreign.len()];
    let mut from = 0;
    let mut began_s = Vec::new();
    for stretch in foreign.chunk_by(|a, b| a == b) {
        let to = from + stretch.len();
        let dark: Vec<usize> = (from..to)
            .filter(|&frame| stretch[0] && !shining[frame])
            .collect();
        // Each with the time since the frame before it, and the last till the next.
        let since_s = |frame: usize| times_s[frame] - times_s[frame.saturating_sub(1)];
        let till_s = times_s[to.min(times_s.len() - 1)] - times_s[to - 1];
        let lasts = dark.iter().map(|&frame| since_s(frame)).sum::<f64>() + till_s >= BRIEFEST_S;
        // What lies before and after the window is not known.
        let whole = from > 0 && to < times_s.len();
        if !dark.is_empty() && (lasts || !whole) {
            began_s.push(times_s[from]);
            if lasts {
                cover[from..to].fill(true);
            } else {
                dark.into_iter().for_each(|frame| cover[frame] = true);
            }
        }
        from = to;
    }
    if come_as_no_hand(&began_s) {
        cover.fill(false);
    }
    cover
}

/// A changing lamp put on the centre of its light, and by how much it lies beside that in each frame.
fn centred(source: Source<'_>, scored: &Scored) -> (Seed, Vec<(f64, f64)>) {
    let mut seed = scored.seed;
    let none = vec![(0.0, 0.0); source.window.frames.len()];
    for _ in 0..SETTLING {
        let patches = Patches::cut(source, &none, (seed.x, seed.y), changing_grid(&seed), |_| true);
        let Some(look) = Look::learn(&patches, &scored.course, &seed) else {
            break;
        };
        let refined = look.refined(&seed);
        if refined.radius < 0.99 * GROWTH * seed.radius {
            return (refined, slips(&patches, &look));
        }
        seed = refined;
    }
    (seed, none)
}

/// A steady lamp grown from its seed to its full size.
pub(super) fn settled(source: Source<'_>, scored: &Scored) -> Seed {
    /// Reduced pixels that are looked at to every side, and radii of the seed where it is large (guessed: in wider squares a
    /// haze grows to a lamp).
    const MOST_STEADY: f64 = 60.0;
    const SEED_RADII: f64 = 3.5;
    let most = MOST_STEADY.max(SEED_RADII * scored.seed.radius);
    let count = source.window.frames.len();
    let none = vec![(0.0, 0.0); count];
    let step = count.div_ceil(SETTLED_ON).max(1);
    let mut seed = scored.seed;
    for _ in 0..SETTLING {
        let wanted = |i: usize| i.is_multiple_of(step);
        let patches = Patches::cut(source, &none, (seed.x, seed.y), steady_grid(&seed, most), wanted);
        let Some(look) = Look::learn(&patches, &scored.course, &seed) else {
            break;
        };
        let refined = look.refined(&seed);
        let done = (refined.radius / seed.radius - 1.0).abs() < 0.1;
        seed = refined;
        if done {
            break;
        }
    }
    seed
}

/// The pixels to look at about a changing lamp: the lamp, its halo and enough surround to know its place by.
fn changing_grid(seed: &Seed) -> Grid {
    /// Reduced pixels; real clips are misled by other lamps in wider squares. But a large lamp has its surround too.
    const MOST_CHANGING: f64 = 32.0;
    const LEAST_RADII: f64 = 2.2;
    let most = MOST_CHANGING.max(LEAST_RADII * seed.radius);
    Grid::square(half(seed, REACH, most.min(f64::from(u8::MAX))))
}

/// The pixels to look at about a lamp of settled size: those of a large steady one reach to where its surround begins.
fn whole_grid(seed: &Seed) -> Grid {
    if seed.changes {
        changing_grid(seed)
    } else {
        steady_grid(seed, f64::from(u8::MAX))
    }
}

fn steady_grid(seed: &Seed, most: f64) -> Grid {
    Grid::sparse(half(seed, STEADY_RING.1, most), REACH * seed.radius + 1.5)
}

/// Radii that a square about a lamp reaches to.
const REACH: f64 = 2.6;

/// Half the side of a square that reaches so many radii, reduced pixels.
fn half(seed: &Seed, radii: f64, most: f64) -> u8 {
    ((seed.radius * radii).ceil() + 4.0).clamp(8.0, most) as u8
}

#[cfg(test)]
mod tests {
    use rstest::rstest;

    use super::*;

    /// Frames at 30 a second; the surround of `c` and `L` looks foreign, and in `L` and `l` the lamp shines. What is left of it.
    #[rstest]
    #[case::of_a_switch("....ccc......", ".............")]
    #[case::of_a_hand("....ccccc....", "....ccccc....")]
    #[case::at_the_ends("cc.........cc", "cc.........cc")]
    #[case::each_on_its_own("..cc..cccccc.", "......cccccc.")]
    #[case::three_times("..cccccc......cccccc......cccccc..", "..cccccc......cccccc......cccccc..")]
    #[case::of_a_neighbour_in_turn(
        "..cccccc......cccccc......cccccc......cccccc....",
        "................................................"
    )]
    #[case::through_which_it_shines("..llLLccccccLLLLccccL...", "....ccccccccccccccccc...")]
    #[case::of_its_own_light("..LLLLLc...lll..LLLLcc...", ".........................")]
    #[case::again_and_again_through_a_hand(
        "..cccccLLcccccLLcccccLLcccccLLccccc....",
        "..ccccccccccccccccccccccccccccccccc...."
    )]
    fn a_cover_lasts(#[case] looks: &str, #[case] left: &str) {
        let times_s: Vec<f64> = (0..looks.len()).map(|frame| frame as f64 / 30.0).collect();
        let of = |marks: &str| -> Vec<bool> { looks.chars().map(|frame| marks.contains(frame)).collect() };
        let cover = lasting(&of("cL"), &of("lL"), &times_s);
        let shown: String = cover
            .iter()
            .map(|&covered| if covered { 'c' } else { '.' })
            .collect();
        assert_eq!(shown, left);
    }
}
