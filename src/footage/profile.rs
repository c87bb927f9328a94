//! What an embedded ICC profile says of red, green and blue samples.

use moxcms::{ColorProfile, Matrix3d, ToneReprCurve};

use super::{Primaries, Transfer, describe};

/// Two profiles of one colour space differ by so much in a term of a matrix at most: by the rounding of the
/// primaries to three decimals and by how the white was adapted. The primaries of BT.709 and Display P3 are a hundred
/// times as far apart. Judgement.
const SAME_PRIMARIES: f64 = 0.002;

/// How far from white the sum of a profile's primaries may be, linear light, before it is taken for broken:
/// a white that was never adapted to the profile's own is a tenth and more off. Judgement.
const WHITE_OFF: f64 = 0.02;

/// The unit of a profile's numbers (`s15Fixed16Number`, ICC.1:2022, 4.6).
const ONE: f64 = 65_536.0;

/// What a profile makes of samples.
pub(super) struct Profile {
    pub(super) primaries: Primaries,
    pub(super) transfer: Transfer,
    /// What each code of red, green and blue would be with the sRGB curve; `None` where the codes may stay.
    codes: Option<[[u8; 256]; 3]>,
}

impl Profile {
    /// Reads a profile of red, green and blue by three curves and a matrix, or by H.273's numbers. `None` for
    /// others (grey, inks, tables of a printer) and for broken ones.
    pub(super) fn read(icc: &[u8]) -> Option<Self> {
        let profile = ColorProfile::new_from_slice(icc).ok()?;
        if let Some(known) = by_numbers(&profile) {
            return Some(known);
        }
        if !profile.is_matrix_shaper() {
            return None;
        }
        let curves = [&profile.red_trc, &profile.green_trc, &profile.blue_trc];
        let [red, green, blue] = curves.map(|curve| codes_with_srgb_curve(curve.as_ref()?));
        let codes = [red?, green?, blue?];
        let stay: [u8; 256] = std::array::from_fn(|code| u8::try_from(code).expect("256 codes are a byte"));
        Some(Self {
            primaries: primaries(&profile)?,
            transfer: Transfer::Srgb,
            codes: (codes != [stay; 3]).then_some(codes),
        })
    }

    /// The curve of the samples is one that [`Transfer`] has.
    pub(super) const fn keeps_codes(&self) -> bool {
        self.codes.is_none()
    }

    /// Puts red, green, blue samples on the curve of [`Profile::transfer`]. Black stays black, and what clips
    /// stays clipped.
    pub(super) fn recode(&self, rgb: &mut [u8]) {
        let Some(codes) = &self.codes else { return };
        for pixel in rgb.chunks_exact_mut(3) {
            for (sample, codes) in pixel.iter_mut().zip(codes) {
                *sample = codes[usize::from(*sample)];
            }
        }
    }
}

fn by_numbers(profile: &ColorProfile) -> Option<Profile> {
    let numbers = profile.cicp?;
    Some(Profile {
        primaries: describe::primaries(numbers.color_primaries as i32)?,
        transfer: describe::transfer(numbers.transfer_characteristics as i32)?,
        codes: None,
    })
}

/// The profile's primaries, by name where they have one.
fn primaries(profile: &ColorProfile) -> Option<Primaries> {
    let to_srgb = profile.transform_matrix(&ColorProfile::new_srgb());
    let finite = to_srgb.v.iter().flatten().all(|term| term.is_finite());
    let white = to_srgb.v.map(|row| row.iter().sum::<f64>() - 1.0);
    if !finite || white.iter().any(|off| off.abs() > WHITE_OFF) {
        return None;
    }
    if near_one(&to_srgb) {
        return Some(Primaries::Bt709);
    }
    if near_one(&profile.transform_matrix(&ColorProfile::new_display_p3())) {
        return Some(Primaries::P3D65);
    }
    Some(Primaries::Profile(
        to_srgb.v.map(|row| row.map(|term| (term * ONE).round() as i32)),
    ))
}

fn near_one(matrix: &Matrix3d) -> bool {
    let off = |row: usize, column: usize| matrix.v[row][column] - f64::from(u8::from(row == column));
    (0..9).all(|index| off(index / 3, index % 3).abs() < SAME_PRIMARIES)
}

fn codes_with_srgb_curve(curve: &ToneReprCurve) -> Option<[u8; 256]> {
    let light = curve.make_linear_evaluator().ok()?;
    Some(std::array::from_fn(|code| {
        (255.0 * srgb(light.evaluate_value(code as f32 / 255.0))).round() as u8
    }))
}

/// IEC 61966-2-1, from linear light to code.
fn srgb(light: f32) -> f32 {
    if light <= 0.003_130_8 {
        12.92 * light
    } else {
        1.055 * light.powf(1.0 / 2.4) - 0.055
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_no_profile_says_nothing() {
        assert!(Profile::read(b"").is_none());
        assert!(Profile::read(&[0; 4000]).is_none());
        let mut cut = ColorProfile::new_display_p3().encode().unwrap();
        cut.truncate(200);
        assert!(Profile::read(&cut).is_none());
    }

    /// Bytes of a real profile turned at random never panic, and never give a matrix that moves white.
    #[test]
    fn damage_is_survived() {
        use rand::{Rng, SeedableRng};
        let whole = ColorProfile::new_adobe_rgb().encode().unwrap();
        let mut chance = rand_pcg::Pcg64::seed_from_u64(5);
        for _ in 0..2000 {
            let mut damaged = whole.clone();
            for _ in 0..chance.random_range(1..8) {
                let at = chance.random_range(0..damaged.len());
                damaged[at] = chance.random();
            }
            if let Some(Primaries::Profile(rows)) = Profile::read(&damaged).map(|profile| profile.primaries) {
                for row in rows {
                    let white = row.iter().map(|term| f64::from(*term) / ONE).sum::<f64>();
                    assert!((white - 1.0).abs() < 2.0 * WHITE_OFF, "{rows:?}");
                }
            }
        }
    }
}
