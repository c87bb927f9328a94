//! Time stamps, changes, and the forms of a recipe.

use lampwise::colour::ColourName;
use lampwise::render::{Beat, Glance, Lamp, Recipe, Shown, Stretch, frames, truth};

fn flashing() -> Shown {
    Shown::Cycle(vec![Beat::lit(ColourName::Red, 0.25), Beat::dark(0.25)])
}

#[test]
fn uneven_clip_has_the_stated_gaps_and_repeats() {
    let mut recipe = Recipe {
        width_px: 32,
        height_px: 32,
        seconds: 100.0,
        ..Recipe::default()
    };
    recipe.timing.jitter_s = 0.005;
    recipe.timing.dropped_share = 0.1;
    recipe.timing.repeated_share = 0.05;
    let truth = truth(&recipe).unwrap();
    assert_eq!(truth.frames[0].time_s, 0.0);
    let mut repeats = 0_usize;
    for pair in truth.frames.windows(2) {
        assert!(pair[0].time_s < pair[1].time_s);
        if pair[0].exposed_s == pair[1].exposed_s {
            repeats += 1;
        } else {
            assert_eq!(pair[1].exposed_s, pair[1].time_s);
        }
        // Each frame lies within the jitter (and half a tick) of some multiple of 1/30 s.
        let place = pair[1].time_s * 30.0;
        assert!((place - place.round()).abs() < 30.0 * (0.005 + 1.0 / 90_000.0));
    }
    // Three standard deviations of a share of 3000: 0.016 and 0.012.
    let kept = truth.frames.len() as f64 / 3000.0;
    assert!((kept - 0.9).abs() < 0.017, "{kept}");
    let repeated = repeats as f64 / truth.frames.len() as f64;
    assert!((repeated - 0.05).abs() < 0.013, "{repeated}");
}

#[test]
fn repeated_frames_show_the_same_picture() {
    let mut recipe = Recipe {
        width_px: 64,
        height_px: 48,
        seconds: 2.0,
        ..Recipe::default()
    };
    recipe.timing.repeated_share = 0.4;
    let mut frames = frames(&recipe).unwrap();
    let exposed: Vec<f64> = frames
        .truth()
        .frames
        .iter()
        .map(|frame| frame.exposed_s)
        .collect();
    let mut last: Option<Vec<u8>> = None;
    for index in 0..exposed.len() {
        let picture = frames.next_picture().unwrap();
        let luma = luma_of(picture);
        if let Some(last) = last {
            assert_eq!(
                last == luma,
                exposed[index] == exposed[index - 1],
                "frame {index}"
            );
        }
        last = Some(luma);
    }
    assert!(frames.next_picture().is_none());
}

fn luma_of(picture: &lampwise::render::Picture) -> Vec<u8> {
    match picture.as_frame().samples {
        lampwise::footage::Samples::Planar { luma, .. } => luma.data.to_vec(),
        other => panic!("not planar: {other:?}"),
    }
}

#[test]
fn changes_are_where_the_pattern_has_them() {
    let mut recipe = Recipe {
        seconds: 1.0,
        ..Recipe::default()
    };
    let reset = Shown::Sequence(vec![
        Stretch {
            for_s: 0.3,
            cycle: vec![
                Beat::lit(ColourName::Blue, 0.12),
                Beat::lit(ColourName::White, 0.12),
            ],
        },
        Stretch {
            for_s: 0.2,
            cycle: vec![Beat::lit(ColourName::White, 5.0)],
        },
    ]);
    let breathing = Shown::Cycle(vec![
        Beat {
            from: 0.0,
            ..Beat::lit(ColourName::Blue, 0.2)
        },
        Beat {
            to: 0.0,
            ..Beat::lit(ColourName::Blue, 0.2)
        },
    ]);
    recipe.lamps = vec![
        Lamp {
            starts_at_s: 0.1,
            ..Lamp::showing(flashing())
        },
        Lamp {
            starts_at_s: -0.4,
            ..Lamp::showing(reset)
        },
        Lamp::showing(breathing),
        Lamp::showing(flashing()),
    ];
    let truth = truth(&recipe).unwrap();
    let changes = |lamp: usize| -> Vec<(i64, Option<ColourName>)> {
        let changes = &truth.lamps[lamp].changes;
        changes
            .iter()
            .map(|change| ((change.time_s * 1e3).round() as i64, change.to))
            .collect()
    };
    let (red, blue, white) = (
        Some(ColourName::Red),
        Some(ColourName::Blue),
        Some(ColourName::White),
    );
    assert_eq!(changes(0), [(150, None), (400, red), (650, None), (900, red)]);
    // Blue, white, blue (cut short at 300 ms of pattern time), white, and dark after the end.
    assert_eq!(
        changes(1),
        [(400, blue), (520, white), (640, blue), (700, white), (900, None)]
    );
    assert_eq!(changes(2), []);
    assert_eq!(changes(3), [(250, None), (500, red), (750, None)]);
}

/// Double flash of CiA 303-3 (version 1.4.0): two of 200 ms, 200 ms apart, then a pause of 1000 ms.
#[test]
fn rhythm_of_a_cycle_is_stated() {
    let (on, off) = (Beat::lit(ColourName::Green, 0.2), Beat::dark(0.2));
    let red = Beat::lit(ColourName::Red, 0.1);
    let shapes = [
        // It starts in its second flash: where a cycle is written down from does not matter.
        Shown::Cycle(vec![on, Beat::dark(1.0), on, off]),
        Shown::Cycle(vec![red, on, off]),
        Shown::Cycle(vec![red, on]),
        Shown::Cycle(vec![on]),
    ];
    let recipe = Recipe {
        lamps: shapes.map(Lamp::showing).to_vec(),
        ..Recipe::default()
    };
    let lamps = truth(&recipe).unwrap().lamps;
    let rhythm = |lamp: usize| {
        let ms = |value: Option<f64>| value.map(|value| (value * 1e3).round() as i64);
        (
            ms(lamps[lamp].period_s),
            lamps[lamp].flashes,
            ms(lamps[lamp].on_s),
        )
    };
    assert_eq!(rhythm(0), (Some(1600), 2, Some(200)));
    assert_eq!(rhythm(1), (Some(500), 1, Some(300)));
    assert_eq!(rhythm(2), (Some(300), 0, None));
    assert_eq!(rhythm(3), (None, 0, None));
}

/// With a rolling shutter a lamp low in the picture is exposed later than one above it.
#[test]
fn lower_rows_are_exposed_later() {
    let mut recipe = Recipe {
        seconds: 0.1,
        ..Recipe::default()
    };
    recipe.camera.exposure_s = 1e-6;
    recipe.camera.readout_s = 0.02;
    recipe.hand.shake_rms_px = 0.0;
    // Lit from 10 ms on: rows of the upper quarter are exposed at 5 ms, of the lower quarter at 15 ms.
    recipe.lamps = [180.0, 540.0]
        .map(|y_px| Lamp {
            y_px,
            x_px: 640.0,
            starts_at_s: -0.01,
            ..Lamp::showing(Shown::Sequence(vec![Stretch {
                for_s: 9.0,
                cycle: vec![Beat::lit(ColourName::Green, 1.0)],
            }]))
        })
        .to_vec();
    let first = truth(&recipe).unwrap().frames[0].lamps.clone();
    assert_eq!([first[0].level, first[1].level], [0.0, 1.0]);
    assert_eq!(
        [first[0].colour, first[1].colour],
        [None, Some(ColourName::Green)]
    );
}

#[test]
fn lamp_leaves_the_picture_and_comes_back() {
    let mut recipe = Recipe {
        seconds: 4.0,
        ..Recipe::default()
    };
    recipe.lamps = vec![Lamp {
        x_px: 640.0,
        y_px: 360.0,
        ..Lamp::showing(flashing())
    }];
    recipe.hand.glances = vec![Glance {
        from_s: 1.0,
        to_s: 2.0,
        x_px: 900.0,
        y_px: 0.0,
    }];
    for frame in truth(&recipe).unwrap().frames {
        let away = (1.4..1.95).contains(&frame.time_s);
        let here = frame.time_s < 0.95 || frame.time_s > 2.4;
        if away || here {
            assert_eq!(frame.lamps[0].in_frame, here, "{}", frame.time_s);
        }
    }
}

#[test]
fn shake_has_the_stated_size() {
    let mut recipe = Recipe {
        seconds: 300.0,
        ..Recipe::default()
    };
    recipe.hand.shake_rms_px = 7.0;
    recipe.lamps = vec![Lamp {
        x_px: 640.0,
        y_px: 360.0,
        ..Lamp::showing(flashing())
    }];
    let frames = truth(&recipe).unwrap().frames;
    let rms = |offset: fn(&lampwise::render::LampInFrame) -> f64| {
        let squares: f64 = frames.iter().map(|frame| offset(&frame.lamps[0]).powi(2)).sum();
        (squares / frames.len() as f64).sqrt()
    };
    for got in [rms(|lamp| lamp.x_px - 640.0), rms(|lamp| lamp.y_px - 360.0)] {
        // Over 300 s the slowest sway has some hundred cycles, of which a part of one is left over.
        assert!((got - 7.0).abs() < 0.1, "{got}");
    }
}

#[test]
fn recipe_survives_both_file_forms() {
    let text = r#"
        seconds = 3
        [[lamp]]
        id = "crown"
        x_px = 10
        y_px = 20.5
        radius_px = 4
        shows.sequence = [{ for_s = 1, cycle = [{ colour = "warm white", lasts_s = 0.5 }, { lasts_s = 0.5 }] }]
        colour_xy = { red = [0.69, 0.30] }
        [hand]
        covers = [{ from_s = 1, to_s = 2, radius_px = 40 }]
    "#;
    let recipe = Recipe::from_toml(text).unwrap();
    assert_eq!(
        (recipe.seconds, recipe.lamps[0].y_px, recipe.width_px),
        (3.0, 20.5, 1280)
    );
    let Shown::Sequence(stretches) = &recipe.lamps[0].shows else {
        panic!("a sequence was written");
    };
    assert_eq!(stretches[0].cycle[0], Beat::lit(ColourName::WarmWhite, 0.5));
    assert_eq!(stretches[0].cycle[1].colour, None);
    assert_eq!(
        Recipe::from_json(&serde_json::to_string(&recipe).unwrap()).unwrap(),
        recipe
    );
    assert_eq!(
        Recipe::from_toml(&toml::to_string(&recipe).unwrap()).unwrap(),
        recipe
    );
}

/// Rates of phones from film-like to slow motion; frames lie a tick of 1/90000 s near to their place.
#[rstest::rstest]
fn frames_come_at_the_stated_rate(#[values(24.0, 29.97, 60.0, 120.0, 240.0)] rate: f64) {
    let mut recipe = Recipe {
        seconds: 2.0,
        ..Recipe::default()
    };
    recipe.timing.frames_per_s = rate;
    recipe.camera.exposure_s = 1e-3;
    recipe.camera.readout_s = 1e-3;
    let frames = truth(&recipe).unwrap().frames;
    assert_eq!(frames.len(), (2.0 * rate).round() as usize);
    for (number, frame) in frames.iter().enumerate() {
        assert!((frame.time_s - number as f64 / rate).abs() <= 0.5 / 90_000.0 + 1e-9);
    }
}
