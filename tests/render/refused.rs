//! Recipes that cannot be followed.

use lampwise::render::{Recipe, RecipeError, frames, truth};

#[rstest::rstest]
#[case::unknown_key("secnds = 3", "unknown field `secnds`")]
#[case::odd_width("width_px = 641", "width_px is 641: expected an even number")]
#[case::exposure_beyond_the_frame(
    "camera.exposure_s = 0.05",
    "camera.exposure_s is 0.05: expected 0.000001 to"
)]
#[case::not_a_number("seconds = nan", "seconds is NaN: expected 0.001 to 600")]
#[case::endless("seconds = inf", "seconds is inf")]
#[case::colour(
    r#"lamp = [{ id = "a", x_px = 1, y_px = 1, radius_px = 3, shows.cycle = [{ colour = "teal", lasts_s = 1 }] }]"#,
    "unknown colour: teal"
)]
#[case::pulses_without_light(
    r#"lamp = [{ id = "a", x_px = 1, y_px = 1, radius_px = 3, shows.cycle = [{ lasts_s = 1 }], pulses = { hz = 200, on_share = 0 } }]"#,
    "lamp 1: pulses.on_share is 0: expected 0.001 to 1"
)]
#[case::brighter_reflection(
    r#"lamp = [{ id = "a", x_px = 1, y_px = 1, radius_px = 3, shows.cycle = [{ lasts_s = 1 }], reflection = { x_px = 1, y_px = 1, share = 2 } }]"#,
    "lamp 1: reflection.share is 2"
)]
#[case::mains_without_end("mains = { hz = 0, depth = 0.2 }", "mains.hz is 0")]
#[case::mains_below_dark("mains = { hz = 100, depth = 1.2 }", "mains.depth is 1.2: expected 0 to 1")]
#[case::zoom_out_of_sight("seconds = 10\nhand.zoom_per_s = 0.5", "hand.zoom_per_s is 0.5")]
#[case::somersault("hand.turn_deg = 270", "hand.turn_deg is 270: expected 0 to 180")]
#[case::balance_runs_away("camera.balance_drift_per_s = -0.5", "camera.balance_drift_per_s is -0.5")]
#[case::contrast("camera.contrast = 1.5", "camera.contrast is 1.5: expected 0 to 1")]
#[case::contrast_over_hlg(
    "camera.contrast = 0.5\nencoding.range = 'hlg'",
    "camera.contrast is 0.5: expected 0 where encoding.range is not standard"
)]
#[case::without_loss("encoding.crf = 0", "encoding.crf is 0: expected 1 to 51")]
#[case::no_bits("encoding.kbit_per_s = 0", "encoding.kbit_per_s is 0: expected 10 to 500000")]
#[case::unknown_range("encoding.range = 'filmic'", "unknown variant `filmic`")]
#[case::no_letters(
    "scene.labels = [{ x_px = 1, y_px = 1, height_px = 20, letters = 0, rgb = [0, 0, 0] }]",
    "scene.labels.letters is 0"
)]
#[case::no_beats(
    r#"lamp = [{ id = "a", x_px = 1, y_px = 1, radius_px = 3, shows.cycle = [] }]"#,
    "lamp 1: shows.cycle is empty"
)]
fn impossible_recipe_is_refused_by_name(#[case] text: &str, #[case] expected: &str) {
    let message = Recipe::from_toml(text).unwrap_err().to_string();
    assert!(message.contains(expected), "{message}");
}

#[test]
fn a_recipe_built_in_code_is_checked_too() {
    let recipe = Recipe {
        seconds: -1.0,
        ..Recipe::default()
    };
    assert!(matches!(truth(&recipe), Err(RecipeError::OutOfRange { field, .. }) if field == "seconds"));
}

/// A zoom out of a 4K picture by a factor of four: the still scene would take three gigabytes.
#[test]
fn a_scene_too_large_for_memory_is_refused() {
    let mut recipe = Recipe {
        width_px: 4096,
        height_px: 4096,
        seconds: 1.0,
        ..Recipe::default()
    };
    recipe.hand.zoom_per_s = -0.75;
    let refused = frames(&recipe).map(|_| ());
    assert!(
        matches!(refused, Err(RecipeError::OutOfRange { value, .. }) if value > 1e8),
        "{refused:?}"
    );
}
