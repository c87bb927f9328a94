//! Tables by hand, and a small camera that turns a pattern into a trace.

use lampwise::colour::{ColourName, NameBelief, ReadFrom};
use lampwise::table::{
    Cycle, Device, Kind, Light, LightTable, Meaning, Part, Pattern, Phase, Shade, Show, Shows,
};
use lampwise::trace::{Chroma, Sample, Sighting, Tint, Trace};
use rand::{Rng, SeedableRng};
use rand_distr::{Distribution, Normal};
use rand_pcg::Pcg64;

pub(crate) fn dark(ms: f64) -> Phase {
    phase(Shade::Dark, ms)
}

pub(crate) fn lit(colour: ColourName, ms: f64) -> Phase {
    phase(Shade::Lit(colour, 1.0), ms)
}

fn phase(shade: Shade, ms: f64) -> Phase {
    let lasts_s = ms / 1000.0;
    Phase {
        from: shade,
        to: shade,
        lasts_s,
        range_s: (lasts_s, lasts_s),
    }
}

/// A cycle with the tolerance that tables have by default.
pub(crate) fn cycle(phases: Vec<Phase>) -> Pattern {
    let period_s = phases.iter().map(|phase| phase.lasts_s).sum();
    Pattern::Cycle(Cycle {
        phases,
        period_s,
        within: 0.15,
    })
}

pub(crate) fn fixed(colour: ColourName) -> Pattern {
    Pattern::Constant(Shade::Lit(colour, 1.0))
}

pub(crate) const OFF: Pattern = Pattern::Constant(Shade::Dark);

pub(crate) fn breathing(colour: ColourName, period_s: f64) -> Pattern {
    let ramp = |from, to| Phase {
        from,
        to,
        lasts_s: period_s / 2.0,
        range_s: (period_s / 2.0, period_s / 2.0),
    };
    let full = Shade::Lit(colour, 1.0);
    let phases = vec![ramp(Shade::Dark, full), ramp(full, Shade::Dark)];
    Pattern::Cycle(Cycle {
        phases,
        period_s,
        within: 0.15,
    })
}

pub(crate) fn part(pattern: Pattern, shortest_s: f64, longest_s: f64) -> Part {
    Part {
        pattern,
        for_s: (shortest_s, longest_s),
    }
}

/// A table of one light.
pub(crate) fn table(colours: &[ColourName], rows: Vec<(&str, Pattern)>) -> LightTable {
    table_of(
        &[colours],
        rows.into_iter()
            .map(|(id, pattern)| (id, vec![(0, pattern)]))
            .collect(),
    )
}

/// A table of several lights.
pub(crate) fn table_of(lights: &[&[ColourName]], rows: Vec<(&str, Vec<(usize, Pattern)>)>) -> LightTable {
    let light = |(index, colours): (usize, &&[ColourName])| Light {
        id: format!("light-{index}"),
        label: "a lamp on the cold-store logger".to_owned(),
        colours: colours.to_vec(),
    };
    let meaning = |(id, shows): (&str, Vec<(usize, Pattern)>)| Meaning {
        id: id.to_owned(),
        kind: Kind::Other,
        title: id.to_owned(),
        // The inference reads the pattern alone; what the author wrote is for people.
        shows: shows
            .into_iter()
            .map(|(light, pattern)| Show {
                light,
                shows: Shows::Off,
                pattern,
            })
            .collect(),
        lasts: None,
        next: Vec::new(),
        at: 0..0,
    };
    LightTable {
        conditions: Vec::new(),
        translations: Default::default(),
        device: Device {
            name: "Cold-store logger".to_owned(),
        },
        lights: lights.iter().enumerate().map(light).collect(),
        meanings: rows.into_iter().map(meaning).collect(),
    }
}

pub(crate) fn row(table: &LightTable, id: &str) -> usize {
    table
        .meanings
        .iter()
        .position(|meaning| meaning.id == id)
        .expect("a row of that name")
}

/// A light over time: a shade for every instant, seconds.
pub(crate) type Lamp<'l> = &'l dyn Fn(f64) -> Shade;

/// What a pattern without parts shows so many seconds after the start of a cycle that runs `pace` times too slow.
pub(crate) fn shade_at(pattern: &Pattern, at_s: f64, pace: f64) -> Shade {
    let cycle = match pattern {
        Pattern::Constant(shade) => return *shade,
        Pattern::Cycle(cycle) => cycle,
        Pattern::Sequence(_) => panic!("write sequences out in the test"),
    };
    let mut rest = (at_s / pace).rem_euclid(cycle.period_s);
    for phase in &cycle.phases {
        if rest < phase.lasts_s {
            let share = rest / phase.lasts_s;
            return match (phase.from, phase.to) {
                (Shade::Dark, Shade::Lit(colour, level)) => Shade::Lit(colour, level * share),
                (Shade::Lit(colour, level), Shade::Dark) => Shade::Lit(colour, level * (1.0 - share)),
                (shade, _) => shade,
            };
        }
        rest -= phase.lasts_s;
    }
    cycle.phases[0].from
}

/// How the clip is taken.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Camera {
    pub(crate) fps: f64,
    pub(crate) seconds: f64,
    /// Exposure as a share of the distance of frames.
    pub(crate) exposure: f64,
    /// A frame lit for 1/clipping of its exposure reads as fully lit.
    pub(crate) clipping: f64,
    /// Standard deviation of the level.
    pub(crate) noise: f64,
    /// Slow swing of the lit level, as auto-exposure makes it.
    pub(crate) swing: f64,
    /// Share of frames that are missing from the file.
    pub(crate) dropped: f64,
    /// Jitter of time stamps as a share of the distance of frames.
    pub(crate) jitter: f64,
    /// A finger covers the lamp from .. to, seconds.
    pub(crate) hidden: Option<(f64, f64)>,
}

impl Camera {
    pub(crate) fn new(fps: f64, seconds: f64) -> Self {
        Self {
            fps,
            seconds,
            exposure: 0.6,
            clipping: 1.5,
            noise: 0.05,
            swing: 0.1,
            dropped: 0.02,
            jitter: 0.03,
            hidden: None,
        }
    }

    /// A camera with everything that was not asked for drawn at random.
    pub(crate) fn any(fps: f64, seconds: f64, rng: &mut Pcg64) -> Self {
        Self {
            exposure: rng.random_range(0.1..1.0),
            clipping: rng.random_range(1.0..4.0),
            noise: rng.random_range(0.02..0.08),
            swing: rng.random_range(0.0..0.15),
            dropped: rng.random_range(0.0..0.04),
            jitter: rng.random_range(0.0..0.05),
            ..Self::new(fps, seconds)
        }
    }
}

pub(crate) fn rng(seed: u64) -> Pcg64 {
    Pcg64::seed_from_u64(seed)
}

/// Films a lamp. `sure` is the probability that each tint is called by its right name; the rest goes to the colours
/// that people confuse it with.
pub(crate) fn film(lamp: Lamp, camera: Camera, sure: f64, rng: &mut Pcg64) -> Trace {
    let span_s = 1.0 / camera.fps;
    let noise = Normal::new(0.0, camera.noise).expect("a spread is positive");
    let swing_phase: f64 = rng.random_range(0.0..std::f64::consts::TAU);
    let mut taken: Vec<Taken> = Vec::new();
    for frame in 0..(camera.seconds * camera.fps).round() as usize {
        if frame > 0 && rng.random_bool(camera.dropped) {
            continue;
        }
        let late = if camera.jitter > 0.0 {
            rng.random_range(0.0..camera.jitter)
        } else {
            0.0
        };
        let time_s = (frame as f64 + late) * span_s;
        let (light, colour) = expose(lamp, time_s, camera.exposure * span_s);
        let swing = 1.0 + camera.swing * (swing_phase + 2.0 * time_s).sin();
        let level = (camera.clipping * light).min(1.0) * swing + noise.sample(rng);
        taken.push((time_s, level, colour));
    }
    normalise(&mut taken);
    gather(&taken, camera, sure)
}

/// Time stamp, level, and the colour that gave most of the light.
type Taken = (f64, f64, Option<ColourName>);

/// Scales levels so that the usual lit level is 1, as a trace does, and forgets the colour of frames too faint to tell:
/// usual is the median of the frames above half of the
/// brightest, which one frame in twenty surpasses, so that noise alone is not taken for light.
fn normalise(taken: &mut [Taken]) {
    let mut levels: Vec<f64> = taken.iter().map(|frame| frame.1).collect();
    levels.sort_by(f64::total_cmp);
    let brightest = levels[levels.len() * 19 / 20];
    if brightest > 0.3 {
        let mut lit: Vec<f64> = taken
            .iter()
            .map(|frame| frame.1)
            .filter(|level| *level > brightest / 2.0)
            .collect();
        lit.sort_by(f64::total_cmp);
        let usual = lit[lit.len() / 2];
        taken.iter_mut().for_each(|frame| frame.1 /= usual);
    }
    for frame in taken {
        frame.2 = frame.2.filter(|_| frame.1 > 0.2);
    }
}

/// Mean light of an exposure and the colour that gives most of it.
fn expose(lamp: Lamp, from_s: f64, exposure_s: f64) -> (f64, Option<ColourName>) {
    const INSTANTS: usize = 64;
    let mut by_colour = [0.0; ColourName::ALL.len()];
    for instant in 0..INSTANTS {
        let at_s = from_s + exposure_s * (instant as f64 + 0.5) / INSTANTS as f64;
        if let Shade::Lit(colour, level) = lamp(at_s) {
            by_colour[colour.index()] += level / INSTANTS as f64;
        }
    }
    let light = by_colour.iter().sum();
    let most = ColourName::ALL
        .into_iter()
        .max_by(|a, b| by_colour[a.index()].total_cmp(&by_colour[b.index()]));
    (light, most.filter(|_| light > 0.0))
}

fn gather(taken: &[Taken], camera: Camera, sure: f64) -> Trace {
    let mut colours: Vec<ColourName> = Vec::new();
    for colour in taken.iter().filter_map(|frame| frame.2) {
        if !colours.contains(&colour) {
            colours.push(colour);
        }
    }
    let count = |colour: &ColourName| taken.iter().filter(|frame| frame.2 == Some(*colour)).count();
    colours.sort_by_key(|colour| std::cmp::Reverse(count(colour)));
    let lit = taken.iter().filter(|frame| frame.2.is_some()).count().max(1);
    let samples = taken
        .iter()
        .enumerate()
        .map(|(index, (time_s, level, colour))| Sample {
            time_s: time_s - taken[0].0,
            span_s: taken
                .get(index + 1)
                .map_or(1.0 / camera.fps, |next| next.0 - time_s),
            sighting: match camera.hidden {
                Some((from, to)) if *time_s >= from && *time_s < to => Sighting::Hidden,
                _ => Sighting::Seen,
            },
            level: *level,
            level_sd: camera.noise,
            chroma: None,
            tint: colour.and_then(|colour| colours.iter().position(|known| *known == colour)),
            turned: None,
        });
    let tints = colours.iter().map(|colour| Tint {
        chroma: Chroma {
            u: 0.2,
            v: 0.47,
            sd: 0.01,
        },
        read_from: ReadFrom::CLEAN,
        names: belief(*colour, sure),
        dominant_nm: None,
        purity: 0.5,
        share: count(colour) as f64 / lit as f64,
    });
    Trace {
        samples: samples.collect(),
        tints: tints.collect(),
        beat_hz: None,
        otherwise: None,
    }
}

/// A belief that gives `sure` to the colour and the rest to its neighbours in [`ColourName::ALL`].
pub(crate) fn belief(colour: ColourName, sure: f64) -> NameBelief {
    let mut weights = [0.0; ColourName::ALL.len()];
    let index = colour.index();
    weights[index] = sure;
    let neighbours = [(index + 8) % 9, (index + 1) % 9];
    for neighbour in neighbours {
        weights[neighbour] += (1.0 - sure) / 2.0;
    }
    NameBelief::from_weights(weights)
}
