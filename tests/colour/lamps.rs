//! The lamps that the colour names are fitted to, against published figures.

use lampwise::colour::{ColourName, hue_line};
use rand::SeedableRng;
use rand_pcg::Pcg64;
use rstest::rstest;

use crate::lamps::{Half, spectrum};
use crate::spectra::{diode, phosphor, planck, uv_of, xy_of};

/// Diodes of Gaussian spectrum, the white of a 450 nm die under half as much of a phosphor at 565 nm, and
/// blackbody radiators: CIE 1931 x and y by colour-science 0.4.7.
#[rstest]
#[case::red(diode(625.0, 18.0), (0.695_63, 0.304_25))]
#[case::amber(diode(592.0, 15.0), (0.583_48, 0.415_90))]
#[case::yellow_green(diode(570.0, 30.0), (0.447_42, 0.550_57))]
#[case::green(diode(525.0, 35.0), (0.151_22, 0.758_70))]
#[case::blue(diode(465.0, 22.0), (0.135_29, 0.045_61))]
#[case::white(phosphor(450.0, 565.0, 0.5), (0.320_54, 0.333_73))]
#[case::filament(planck(2700.0), (0.459_86, 0.410_60))]
#[case::daylight(planck(6500.0), (0.313_53, 0.323_63))]
fn spectra_have_published_chromaticities(#[case] of: [f64; 81], #[case] (x, y): (f64, f64)) {
    let got = xy_of(&of);
    // The published figures are sums at 1 nm, these at 5 nm.
    assert!((got.0 - x).abs() < 6e-4 && (got.1 - y).abs() < 6e-4, "{got:?}");
}

/// ANSI/VITA 40-2003: red 615 to 650 nm, amber 583 to 593, green 505 to 535, blue 445 to 480; the wider ranges
/// are what the trade sells under the name beyond that (common practice, no source).
#[rstest]
#[case(ColourName::Red, (615.0, 650.0), (615.0, 650.0))]
#[case(ColourName::Amber, (583.0, 593.0), (583.0, 610.0))]
#[case(ColourName::Green, (505.0, 535.0), (505.0, 575.0))]
#[case(ColourName::Blue, (445.0, 480.0), (445.0, 480.0))]
fn lamps_have_the_wavelengths_of_their_names(
    #[case] name: ColourName,
    #[case] class: (f64, f64),
    #[case] sold: (f64, f64),
    #[values(Half::Fitted, Half::HeldOut)] half: Half,
) {
    let mut random = Pcg64::seed_from_u64(5);
    let mut inside = 0;
    for _ in 0..200 {
        let (u, v) = uv_of(&spectrum(name, half, &mut random));
        let nm = hue_line(u, v).unwrap().dominant_nm;
        // The locus is at 5 nm steps, so a wavelength holds to a nanometre.
        assert!(nm > sold.0 - 1.5 && nm < sold.1 + 1.5, "{name}: {nm}");
        inside += usize::from(nm >= class.0 - 1.5 && nm <= class.1 + 1.5);
    }
    assert!(inside >= 100, "{name}: {inside} of 200 in the class");
}

/// White lamps lie near the published white of indicator lamps (ANSI/VITA 40-2003: x 0.31, y 0.32), warm ones
/// near the filaments from 2400 to 3500 K, in u'v'.
#[test]
fn white_lamps_are_white() {
    let mut random = Pcg64::seed_from_u64(6);
    let filaments: Vec<(f64, f64)> = (24..=35)
        .map(|hundreds| uv_of(&planck(100.0 * f64::from(hundreds))))
        .collect();
    let (white_u, white_v) = lampwise::colour::uv_of_xy(0.31, 0.32);
    for _ in 0..200 {
        let (u, v) = uv_of(&spectrum(ColourName::White, Half::Fitted, &mut random));
        assert!((u - white_u).hypot(v - white_v) < 0.06, "white {u} {v}");
        let (u, v) = uv_of(&spectrum(ColourName::WarmWhite, Half::Fitted, &mut random));
        let off = filaments
            .iter()
            .map(|at| (u - at.0).hypot(v - at.1))
            .fold(f64::INFINITY, f64::min);
        assert!(off < 0.02, "warm white {u} {v}: {off}");
    }
}
