//! What the earlier stages might see of a clip, without rendering it: traces with exposure, clipping, noise, drifting
//! exposure, lost and hidden frames, and colours that are near to be mistaken. Rough, and a thousand times faster: for
//! work on the inference. No figure that is quoted comes from here.

use lampwise::colour::{ColourName, NameBelief, ReadFrom};
use lampwise::light::Sighting;
use lampwise::render::{Beat, Recipe, Shown};
use lampwise::table::Pattern;
use lampwise::trace::{Chroma, Sample, Tint, Trace};
use rand::Rng;
use rand_distr::{Distribution, Normal};
use rand_pcg::Pcg64;

use super::keep::Candidate;

/// Instants averaged over each exposure.
const INSTANTS: usize = 12;

/// Least level with a colour.
const TINT_LEVEL: f64 = 0.18;

/// A name that a camera may give in place of the true one.
const MISTAKEN: [(ColourName, ColourName); 8] = [
    (ColourName::Red, ColourName::Amber),
    (ColourName::Amber, ColourName::Yellow),
    (ColourName::Yellow, ColourName::Amber),
    (ColourName::Green, ColourName::Cyan),
    (ColourName::Cyan, ColourName::White),
    (ColourName::Blue, ColourName::Cyan),
    (ColourName::Violet, ColourName::Blue),
    (ColourName::White, ColourName::WarmWhite),
];

/// How the clip was taken, drawn once.
struct Camera {
    times_s: Vec<f64>,
    exposure_s: f64,
    clipping: f64,
    noise: f64,
    swing: f64,
    swing_hz: f64,
    hidden: Vec<(f64, f64)>,
    sure: f64,
    mistaken: f64,
}

impl Camera {
    fn of(recipe: &Recipe, random: &mut Pcg64) -> Self {
        let frame_s = 1.0 / recipe.timing.frames_per_s;
        let count = (recipe.seconds / frame_s) as usize;
        let jitter_s = recipe.timing.jitter_s;
        let times_s = (0..count)
            .filter(|_| random.random::<f64>() >= recipe.timing.dropped_share)
            .collect::<Vec<_>>()
            .into_iter()
            .map(|frame| (frame as f64 * frame_s + jitter_s * random.random_range(-1.0..=1.0)).max(0.0))
            .collect();
        let covers = recipe.hand.covers.iter().map(|cover| (cover.from_s, cover.to_s));
        let glances = recipe
            .hand
            .glances
            .iter()
            .map(|glance| (glance.from_s, glance.to_s));
        Self {
            times_s,
            exposure_s: recipe.camera.exposure_s,
            clipping: [1.0, 1.0, 1.5, 3.0][random.random_range(0..4)],
            noise: random.random_range(0.01..0.06),
            swing: recipe.camera.auto_exposure_dip * random.random_range(0.3..1.0),
            swing_hz: random.random_range(0.05..0.6),
            hidden: covers.chain(glances).collect(),
            sure: random.random_range(0.75..1.0),
            mistaken: 0.08,
        }
    }
}

/// The lamps of a device as candidates; lamps that are dark throughout are not found, unless somebody `pointed`.
pub(crate) fn candidates(recipe: &Recipe, lamps: usize, pointed: bool, random: &mut Pcg64) -> Vec<Candidate> {
    let camera = Camera::of(recipe, random);
    let mut found: Vec<Candidate> = Vec::new();
    for (index, lamp) in recipe.lamps.iter().enumerate() {
        let trace = trace(&lamp.shows, lamp.starts_at_s, &camera, random);
        let lit = trace
            .samples
            .iter()
            .any(|sample| sample.sighting == Sighting::Seen && sample.level > 0.4);
        if lit || (pointed && index == 0) {
            let score = if index < lamps {
                random.random_range(0.75..0.98)
            } else {
                random.random_range(0.3..0.9)
            };
            let at_px = (lamp.x_px, lamp.y_px);
            found.push(Candidate { score, at_px, trace });
        }
    }
    found.sort_by(|a, b| b.score.total_cmp(&a.score));
    found
}

/// A steady clip of one pattern.
pub(crate) fn minute(pattern: &Pattern, starts_at_s: f64, seconds: f64, random: &mut Pcg64) -> Trace {
    let recipe = Recipe {
        seconds,
        ..Recipe::default()
    };
    let camera = Camera::of(&recipe, random);
    trace(&Shown::from(pattern), starts_at_s, &camera, random)
}

fn trace(shows: &Shown, starts_at_s: f64, camera: &Camera, random: &mut Pcg64) -> Trace {
    let noise = Normal::new(0.0, camera.noise).expect("a positive spread");
    let mut colours: Vec<(ColourName, usize)> = Vec::new();
    let mut samples: Vec<Sample> = Vec::new();
    for (index, &time_s) in camera.times_s.iter().enumerate() {
        let next = camera
            .times_s
            .get(index + 1)
            .copied()
            .unwrap_or(time_s + 1.0 / 30.0);
        let (light, colour) = exposed(shows, starts_at_s + time_s, camera.exposure_s);
        let swing = 1.0 + camera.swing * (std::f64::consts::TAU * camera.swing_hz * time_s).sin();
        let level = (light * camera.clipping).min(1.0) * swing + noise.sample(random);
        let hidden = camera
            .hidden
            .iter()
            .any(|(from_s, to_s)| (*from_s..*to_s).contains(&time_s));
        let colour = colour.filter(|_| level > TINT_LEVEL && !hidden && random.random::<f64>() > 0.02);
        let tint = colour.map(|colour| {
            let known = colours.iter().position(|known| known.0 == colour);
            let place = known.unwrap_or_else(|| {
                colours.push((colour, 0));
                colours.len() - 1
            });
            colours[place].1 += 1;
            place
        });
        samples.push(Sample {
            time_s: time_s - camera.times_s[0],
            span_s: next - time_s,
            sighting: if hidden { Sighting::Hidden } else { Sighting::Seen },
            level,
            level_sd: camera.noise.max(0.03),
            chroma: None,
            tint,
            turned: None,
        });
    }
    let lit: usize = colours.iter().map(|colour| colour.1).sum();
    let tint = |(colour, count): &(ColourName, usize)| Tint {
        chroma: Chroma {
            u: 0.2,
            v: 0.47,
            sd: 0.01,
        },
        read_from: ReadFrom::CLEAN,
        names: belief(*colour, camera, random),
        dominant_nm: None,
        purity: 0.5,
        share: *count as f64 / lit.max(1) as f64,
    };
    let tints = colours.iter().map(tint).collect();
    Trace {
        samples,
        tints,
        beat_hz: None,
        otherwise: None,
    }
}

/// Light received, a share of a whole exposure at full brightness, and the colour of most of it.
fn exposed(shows: &Shown, from_s: f64, exposure_s: f64) -> (f64, Option<ColourName>) {
    let mut light = [0.0; ColourName::ALL.len()];
    for instant in 0..INSTANTS {
        let at_s = from_s + exposure_s * (instant as f64 + 0.5) / INSTANTS as f64;
        if let Some((colour, level)) = at(shows, at_s) {
            light[colour.index()] += level / INSTANTS as f64;
        }
    }
    let most = ColourName::ALL
        .into_iter()
        .max_by(|a, b| light[a.index()].total_cmp(&light[b.index()]));
    let sum: f64 = light.iter().sum();
    (sum, most.filter(|_| sum > 0.0))
}

fn at(shows: &Shown, at_s: f64) -> Option<(ColourName, f64)> {
    match shows {
        Shown::Cycle(beats) => in_cycle(beats, at_s),
        Shown::Sequence(stretches) => {
            let mut rest_s = at_s;
            if rest_s < 0.0 {
                return None;
            }
            for stretch in stretches {
                if rest_s < stretch.for_s {
                    return in_cycle(&stretch.cycle, rest_s);
                }
                rest_s -= stretch.for_s;
            }
            None
        }
    }
}

fn in_cycle(beats: &[Beat], at_s: f64) -> Option<(ColourName, f64)> {
    let period_s: f64 = beats.iter().map(|beat| beat.lasts_s).sum();
    let mut rest_s = at_s.rem_euclid(period_s);
    for beat in beats {
        if rest_s < beat.lasts_s {
            let level = beat.from + (beat.to - beat.from) * rest_s / beat.lasts_s;
            return beat.colour.map(|colour| (colour, level));
        }
        rest_s -= beat.lasts_s;
    }
    None
}

fn belief(colour: ColourName, camera: &Camera, random: &mut Pcg64) -> NameBelief {
    let other = MISTAKEN
        .iter()
        .find(|pair| pair.0 == colour)
        .map_or(ColourName::White, |pair| pair.1);
    let mut weights = [0.001; ColourName::ALL.len()];
    let turned = random.random::<f64>() < camera.mistaken;
    let (first, second) = if turned { (other, colour) } else { (colour, other) };
    let sure = if turned {
        0.5 + 0.4 * (camera.sure - 0.5)
    } else {
        camera.sure
    };
    weights[first.index()] += sure;
    weights[second.index()] += 1.0 - sure;
    NameBelief::from_weights(weights)
}
