//! `lampwise render`: a clip with known truth.

use std::path::{Path, PathBuf};

use super::output::{spare, write_whole};
use super::{Complaint, Misuse, Status, arguments};
use crate::render::{self, Lamp, Recipe, RenderError, Shown};
use crate::table::LightTable;

/// Makes a synthetic clip of a device's lamps, and says exactly what it shows.
#[derive(Debug, clap::Args)]
pub(super) struct Args {
    /// Recipe of the clip, TOML or (by its ending) JSON; the options below change what it says
    #[arg(
        long,
        value_name = "FILE",
        required_unless_present = "table",
        conflicts_with = "table"
    )]
    recipe: Option<PathBuf>,
    /// Light table to take a row from; a row that shows several lights gives a lamp for each
    #[arg(long, value_name = "FILE", requires = "row")]
    table: Option<PathBuf>,
    /// Id of the row of the table
    #[arg(long, value_name = "ID", requires = "table")]
    row: Option<String>,
    /// Clip to write, MP4; replaced if it exists
    #[arg(long, value_name = "FILE")]
    out: PathBuf,
    /// Also write what the clip shows, frame by frame, as JSON
    #[arg(long, value_name = "FILE")]
    truth: Option<PathBuf>,
    /// Length of the clip, seconds [default: 10]
    #[arg(long, value_name = "SECONDS")]
    seconds: Option<f64>,
    /// Frames a second [default: 30]
    #[arg(long, value_name = "RATE")]
    fps: Option<f64>,
    /// Size of the upright picture, pixels, even [default: 1280x720]
    #[arg(long, value_name = "WxH", value_parser = size)]
    size: Option<(u32, u32)>,
    /// Radius of every lamp, pixels [default: 12]
    #[arg(long, value_name = "PIXELS")]
    radius: Option<f64>,
    /// Brightness of every lamp, as a multiple of what clips the sensor at a gain of 1 [default: 8]
    #[arg(long, value_name = "TIMES")]
    peak: Option<f64>,
    /// Light on the scene, as a share of what makes a white sheet clip [default: 0.5]
    #[arg(long, value_name = "SHARE")]
    ambient: Option<f64>,
    /// Exposure of each row, seconds, at most the time between frames [default: 0.016]
    #[arg(long, value_name = "SECONDS")]
    exposure: Option<f64>,
    /// Factor on all light [default: 1]
    #[arg(long, value_name = "TIMES")]
    gain: Option<f64>,
    /// Hand shake, root mean square in each direction, pixels [default: 2]
    #[arg(long, value_name = "PIXELS")]
    shake: Option<f64>,
    /// Shot noise at clipping, standard deviation as a share of clipping [default: 0.01]
    #[arg(long, value_name = "SHARE")]
    noise: Option<f64>,
    /// Pattern time at the start of the clip, seconds [default: 0]
    #[arg(long, value_name = "SECONDS", allow_negative_numbers = true)]
    starts_at: Option<f64>,
    /// Of every random thing; the same number gives the same pictures [default: 1]
    #[arg(long, value_name = "NUMBER")]
    seed: Option<u64>,
}

/// Radius of a lamp of a table's row unless given, pixels.
const RADIUS_PX: f64 = 12.0;

/// Distance between the lamps of a row that shows several, in radii: far enough that their halos hardly meet.
const APART_RADII: f64 = 10.0;

/// Renders the clip and writes it, and the truth if asked for.
///
/// # Errors
///
/// When the recipe or table cannot be read or followed, or the clip cannot be written.
pub(super) fn run(args: &Args) -> anyhow::Result<Status> {
    let inputs = [&args.recipe, &args.table].into_iter().flatten();
    spare(
        [&Some(args.out.clone()), &args.truth],
        inputs.map(PathBuf::as_path),
    )?;
    let mut recipe = match (&args.recipe, &args.table, &args.row) {
        (Some(path), _, _) => read_recipe(path)?,
        (None, Some(table), Some(row)) => recipe_of_row(&arguments::table(table)?, row)?,
        _ => return Err(usage("nothing to render: give --recipe, or --table with --row".to_owned()).into()),
    };
    args.change(&mut recipe);
    let truth = render::clip(&recipe, &args.out).map_err(|error| match error {
        RenderError::Recipe(_) | RenderError::NoEncoder { .. } => usage(error.to_string()).into(),
        RenderError::Write { path, source: why } => Complaint::Unwritable { path, why }.into(),
        other => anyhow::Error::from(other),
    })?;
    if let Some(path) = &args.truth {
        let json = serde_json::to_string_pretty(&truth)?;
        write_whole(path, (json + "\n").as_bytes())?;
    }
    Ok(Status::Done)
}

impl Args {
    fn change(&self, recipe: &mut Recipe) {
        fn set<T: Copy>(to: &mut T, from: Option<T>) {
            if let Some(value) = from {
                *to = value;
            }
        }
        if let Some((width, height)) = self.size {
            let (across, down) = (
                f64::from(width) / f64::from(recipe.width_px),
                f64::from(height) / f64::from(recipe.height_px),
            );
            for lamp in &mut recipe.lamps {
                lamp.x_px *= across;
                lamp.y_px *= down;
            }
            if let Some(case) = &mut recipe.scene.case {
                case.x_px *= across;
                case.y_px *= down;
                case.width_px *= across;
                case.height_px *= down;
            }
            (recipe.width_px, recipe.height_px) = (width, height);
        }
        for lamp in &mut recipe.lamps {
            set(&mut lamp.radius_px, self.radius);
            set(&mut lamp.peak, self.peak);
            set(&mut lamp.starts_at_s, self.starts_at);
        }
        set(&mut recipe.seconds, self.seconds);
        set(&mut recipe.seed, self.seed);
        set(&mut recipe.timing.frames_per_s, self.fps);
        set(&mut recipe.scene.ambient, self.ambient);
        if let Some(fps) = self.fps {
            // A camera that takes more frames exposes and reads out for less, where it has to.
            let camera = &mut recipe.camera;
            camera.readout_s = camera.readout_s.min(1.0 / fps);
            if camera.exposure_s * fps > 1.0 {
                camera.exposure_s = 0.5 / fps;
            }
        }
        set(&mut recipe.camera.exposure_s, self.exposure);
        set(&mut recipe.camera.gain, self.gain);
        set(&mut recipe.camera.shot_noise, self.noise);
        set(&mut recipe.hand.shake_rms_px, self.shake);
    }
}

fn read_recipe(path: &Path) -> Result<Recipe, Complaint> {
    let text = std::fs::read_to_string(path).map_err(|why| Complaint::Path {
        path: path.to_owned(),
        why,
    })?;
    let json = path.extension().is_some_and(|ending| ending == "json");
    let recipe = if json {
        Recipe::from_json(&text)
    } else {
        Recipe::from_toml(&text)
    };
    recipe.map_err(|error| usage(format!("{}: {error}", path.display())))
}

/// A wrong use of this command.
fn usage(message: String) -> Complaint {
    Misuse::Author {
        what: message,
        next: "`lampwise render --help` says what it takes".to_owned(),
    }
    .into()
}

/// A default scene with a lamp in its middle for each light that the row shows.
fn recipe_of_row(table: &LightTable, row: &str) -> Result<Recipe, Complaint> {
    let Some(meaning) = table.meanings.iter().find(|meaning| meaning.id == row) else {
        let known: Vec<&str> = table.meanings.iter().map(|meaning| meaning.id.as_str()).collect();
        return Err(usage(format!(
            "the table has no row {row}: it has {}",
            known.join(", ")
        )));
    };
    let mut recipe = Recipe::default();
    let middle = 0.5 * (meaning.shows.len() as f64 - 1.0);
    recipe.lamps = meaning
        .shows
        .iter()
        .enumerate()
        .map(|(place, show)| Lamp {
            id: table.lights[show.light].id.clone(),
            x_px: 0.5 * f64::from(recipe.width_px) + (place as f64 - middle) * APART_RADII * RADIUS_PX,
            y_px: 0.5 * f64::from(recipe.height_px),
            radius_px: RADIUS_PX,
            ..Lamp::showing(Shown::from(&show.pattern))
        })
        .collect();
    Ok(recipe)
}

fn size(text: &str) -> Result<(u32, u32), String> {
    text.split_once('x')
        .and_then(|(width, height)| Some((width.parse().ok()?, height.parse().ok()?)))
        .ok_or_else(|| format!("expected a width and a height such as 1280x720, not {text}"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::colour::ColourName;
    use crate::table::{Device, Kind, Light, Meaning, Pattern, Shade, Show, Shows};

    fn table() -> LightTable {
        let light = |id: &str| Light {
            id: id.to_owned(),
            label: id.to_owned(),
            colours: vec![ColourName::Green],
        };
        let show = |light| Show {
            light,
            shows: Shows::Fixed(ColourName::Green),
            pattern: Pattern::Constant(Shade::Lit(ColourName::Green, 1.0)),
        };
        LightTable {
            conditions: Vec::new(),
            translations: Default::default(),
            device: Device {
                name: "Cold-store logger".to_owned(),
            },
            lights: vec![light("door"), light("probe"), light("link")],
            meanings: vec![Meaning {
                id: "in-service".to_owned(),
                kind: Kind::Ready,
                title: "In service".to_owned(),
                shows: vec![show(0), show(2)],
                lasts: None,
                next: Vec::new(),
                at: 0..0,
            }],
        }
    }

    #[test]
    fn row_gives_a_lamp_for_each_light_that_it_names() {
        let recipe = recipe_of_row(&table(), "in-service").unwrap();
        let lamps: Vec<(&str, f64)> = recipe
            .lamps
            .iter()
            .map(|lamp| (lamp.id.as_str(), lamp.x_px))
            .collect();
        assert_eq!(lamps, [("door", 580.0), ("link", 700.0)]);
        let truth = render::truth(&recipe).unwrap();
        assert_eq!(truth.frames[0].lamps[1].colour, Some(ColourName::Green));
    }

    #[test]
    fn unknown_row_is_answered_with_the_known_ones() {
        let message = recipe_of_row(&table(), "ready").unwrap_err().to_string();
        assert_eq!(message, "the table has no row ready: it has in-service");
    }

    #[rstest::rstest]
    #[case("640x360", Some((640, 360)))]
    #[case("640", None)]
    #[case("640x-360", None)]
    fn size_is_two_numbers(#[case] text: &str, #[case] expected: Option<(u32, u32)>) {
        assert_eq!(size(text).ok(), expected);
    }
}
