//! Dominant wavelength and purity: where the line from white through a colour meets the edge of visible colour.

use std::sync::LazyLock;

use super::space::{D65, uv_of_xy};

/// Hue line of a chromaticity.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HueLine {
    /// Nanometres; negative for the complement where the line ends on the line of purples.
    pub dominant_nm: f64,
    /// 0 at white, 1 at the edge, by distance in u'v'.
    pub purity: f64,
}

/// The spectral locus in u'v', (wavelength in nm, u', v').
static LOCUS: LazyLock<Vec<(f64, f64, f64)>> = LazyLock::new(|| {
    include_str!("../../models/cie-1931-2deg.csv")
        .lines()
        .filter_map(|line| {
            let mut figures = line.split(',').map(str::parse::<f64>);
            let mut next = || figures.next()?.ok();
            let (nm, x, y, z) = (next()?, next()?, next()?, next()?);
            // Beyond 700 nm and below 400 nm the locus turns back on itself by less than its printed digits.
            if !(400.0..=700.0).contains(&nm) {
                return None;
            }
            let (u, v) = uv_of_xy(x / (x + y + z), y / (x + y + z));
            Some((nm, u, v))
        })
        .collect()
});

/// Dominant wavelength and purity against D65; `None` within `1e-6` of white.
#[must_use]
pub fn hue_line(u: f64, v: f64) -> Option<HueLine> {
    let (du, dv) = (u - D65.0, v - D65.1);
    let length = du.hypot(dv);
    if length < 1e-6 {
        return None;
    }
    if let Some((nm, reach)) = meet(du, dv) {
        return Some(HueLine {
            dominant_nm: nm,
            purity: length / (reach * length),
        });
    }
    // Towards the purples: the complement is on the locus behind white, the edge on the line between the ends.
    let (nm, _) = meet(-du, -dv)?;
    let (first, last) = (LOCUS.first()?, LOCUS.last()?);
    let reach = cross(du, dv, (first.1, first.2), (last.1, last.2))?.1;
    Some(HueLine {
        dominant_nm: -nm,
        purity: 1.0 / reach,
    })
}

/// Where the ray from D65 along (du, dv) meets the locus: wavelength, and how many times the ray's length
/// that is.
fn meet(du: f64, dv: f64) -> Option<(f64, f64)> {
    LOCUS.windows(2).find_map(|pair| {
        let (share, reach) = cross(du, dv, (pair[0].1, pair[0].2), (pair[1].1, pair[1].2))?;
        Some((pair[0].0 + share * (pair[1].0 - pair[0].0), reach))
    })
}

/// Crossing of the ray from D65 along (du, dv) with the segment a to b: (share along the segment, multiple of
/// the ray).
fn cross(du: f64, dv: f64, a: (f64, f64), b: (f64, f64)) -> Option<(f64, f64)> {
    let (eu, ev) = (b.0 - a.0, b.1 - a.1);
    let determinant = du * -ev + dv * eu;
    if determinant.abs() < 1e-15 {
        return None;
    }
    let (wu, wv) = (a.0 - D65.0, a.1 - D65.1);
    let reach = (wu * -ev + wv * eu) / determinant;
    let share = (du * wv - dv * wu) / determinant;
    (reach > 0.0 && (0.0..=1.0).contains(&share)).then_some((share, reach))
}

#[cfg(test)]
mod tests {
    use rstest::rstest;

    use super::*;

    // Figures: colour-science 0.4.7, lamp models of Gaussian spectrum and sRGB primaries, dominant wavelength
    // against D65 to the nearest nanometre. The locus here is at 5 nm steps, hence 1 nm.
    #[rstest]
    #[case(0.706_42, 0.293_51, 629.0)]
    #[case(0.599_20, 0.400_24, 594.0)]
    #[case(0.572_44, 0.426_89, 590.0)]
    #[case(0.447_42, 0.550_57, 571.0)]
    #[case(0.151_22, 0.758_70, 527.0)]
    #[case(0.047_67, 0.597_67, 504.0)]
    #[case(0.125_73, 0.065_37, 471.0)]
    #[case(0.64, 0.33, 611.0)]
    #[case(0.15, 0.06, 464.0)]
    fn dominant_wavelength_of_lamp_models(#[case] x: f64, #[case] y: f64, #[case] nm: f64) {
        let (u, v) = uv_of_xy(x, y);
        let line = hue_line(u, v).unwrap();
        assert!((line.dominant_nm - nm).abs() <= 1.0, "{line:?}, expected {nm}");
        assert!(line.purity > 0.6 && line.purity < 1.02, "{line:?}");
    }

    #[test]
    fn purple_has_a_complement() {
        // Equal linear red and blue: complementary to a green by construction of the purple line.
        let (u, v) = super::super::space::uv([1.0, 0.0, 1.0]).unwrap();
        let line = hue_line(u, v).unwrap();
        assert!(line.dominant_nm < -490.0 && line.dominant_nm > -570.0, "{line:?}");
    }
}
