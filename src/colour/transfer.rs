//! From code value to linear light, one channel at a time.

use crate::footage::Transfer;

/// Linear light for a non-linear code value `v`, where 0 is black and 1 the reference white of the code.
///
/// BT.709 gives scene light (the inverse of its camera curve), HLG scene light scaled so that `E' = 0.75`
/// (BT.2408 reference white) is 1, PQ display light scaled so that 203 cd/m2 (the same white) is 1. Values
/// outside `0..=1`, which saturated lamps reach when coded as luma and differences, go on along the curve,
/// mirrored below zero: they carry hue.
#[must_use]
pub fn to_linear(transfer: Transfer, v: f64) -> f64 {
    let magnitude = v.abs();
    let light = match transfer {
        Transfer::Bt709 => bt709(magnitude),
        Transfer::Srgb => srgb(magnitude),
        Transfer::Hlg => hlg(magnitude) / hlg(0.75),
        Transfer::Pq => pq_nits(magnitude) / 203.0,
        Transfer::Linear => magnitude,
    };
    light.copysign(v)
}

/// ITU-R BT.709-6 item 1.2, inverted.
fn bt709(v: f64) -> f64 {
    // The printed constants leave a gap between the branches (4.5 x 0.018 is 0.081, the power law gives 0.081
    // 243 there); the inverse is continuous in light when the branches part at the latter.
    if v < 0.081_243 {
        v / 4.5
    } else {
        ((v + 0.099) / 1.099).powf(1.0 / 0.45)
    }
}

/// IEC 61966-2-1.
fn srgb(v: f64) -> f64 {
    if v <= 0.040_45 {
        v / 12.92
    } else {
        ((v + 0.055) / 1.055).powf(2.4)
    }
}

/// IEC 61966-2-1, from linear light to the code, both 0 to 1.
#[must_use]
pub fn to_srgb(light: f64) -> f64 {
    if light <= 0.003_130_8 {
        12.92 * light
    } else {
        1.055 * light.powf(1.0 / 2.4) - 0.055
    }
}

/// ITU-R BT.2100-2 table 5, inverse OETF: scene light 0 to 1.
fn hlg(v: f64) -> f64 {
    const A: f64 = 0.178_832_77;
    let b = 1.0 - 4.0 * A;
    let c = 0.5 - A * (4.0 * A).ln();
    if v <= 0.5 {
        v * v / 3.0
    } else {
        (((v - c) / A).exp() + b) / 12.0
    }
}

/// ITU-R BT.2100-2 table 4, EOTF: display light in cd/m2.
fn pq_nits(v: f64) -> f64 {
    const M1: f64 = 2610.0 / 16384.0;
    const M2: f64 = 2523.0 / 4096.0 * 128.0;
    const C1: f64 = 3424.0 / 4096.0;
    const C2: f64 = 2413.0 / 4096.0 * 32.0;
    const C3: f64 = 2392.0 / 4096.0 * 32.0;
    // Beyond code value 1 the curve has a pole; 10 000 cd/m2 is its end.
    let root = v.min(1.0).powf(1.0 / M2);
    10_000.0 * ((root - C1).max(0.0) / (C2 - C3 * root)).powf(1.0 / M1)
}

/// [`to_linear`] as a table, for pixel loops.
#[derive(Debug, Clone)]
pub struct Curve(Vec<f32>);

impl Curve {
    /// Code values covered. BT.709 red at full difference reaches 1.79 (colour-science, `ycbcr_to_rgb`).
    const LOW: f32 = -0.8;
    const HIGH: f32 = 2.0;
    /// Steps: linear interpolation then errs by less than 1e-4 of white, well below a quarter of an 8-bit step.
    const STEPS: usize = 2800;

    /// Tabulates one transfer function.
    #[must_use]
    pub fn new(transfer: Transfer) -> Self {
        let width = f64::from(Self::HIGH - Self::LOW) / Self::STEPS as f64;
        Self(
            (0..=Self::STEPS + 1)
                .map(|i| to_linear(transfer, f64::from(Self::LOW) + i as f64 * width) as f32)
                .collect(),
        )
    }

    /// Linear light for a code value; clamped to the table's ends.
    #[must_use]
    #[inline]
    pub fn at(&self, v: f32) -> f32 {
        let place =
            (v.clamp(Self::LOW, Self::HIGH) - Self::LOW) * (Self::STEPS as f32 / (Self::HIGH - Self::LOW));
        let below = place as usize;
        let share = place - below as f32;
        self.0[below] + share * (self.0[below + 1] - self.0[below])
    }
}

#[cfg(test)]
mod tests {
    use rstest::rstest;

    use super::*;

    // Figures: colour-science 0.4.7 (BT.709 inverse OETF; sRGB EOTF), six decimals.
    #[rstest]
    #[case(Transfer::Bt709, 0.04, 0.008_888_9)]
    #[case(Transfer::Bt709, 0.0812, 0.018_044_4)]
    #[case(Transfer::Bt709, 0.5, 0.259_589_4)]
    #[case(Transfer::Srgb, 0.04, 0.003_096_0)]
    #[case(Transfer::Srgb, 0.5, 0.214_041_1)]
    // BT.2100 HLG: E' = 0.5 is 1/12 of peak, E' = 0.75 is 0.264 962 6 of peak.
    #[case(Transfer::Hlg, 0.5, 1.0 / 12.0 / 0.264_962_6)]
    #[case(Transfer::Hlg, 0.75, 1.0)]
    // BT.2100 PQ, 10 bit limited: code 509 is 99.912 8 cd/m2, 573 is 203.70 cd/m2.
    #[case(Transfer::Pq, (509.0 - 64.0) / 876.0, 99.912_8 / 203.0)]
    #[case(Transfer::Pq, (573.0 - 64.0) / 876.0, 203.70 / 203.0)]
    fn matches_published_figures(#[case] transfer: Transfer, #[case] v: f64, #[case] light: f64) {
        let got = to_linear(transfer, v);
        assert!(
            (got - light).abs() < 2e-5 * light.max(0.05),
            "{transfer:?} {v}: {got}, expected {light}"
        );
    }

    #[rstest]
    fn table_follows_the_curve(
        #[values(Transfer::Bt709, Transfer::Srgb, Transfer::Hlg, Transfer::Linear)] transfer: Transfer,
    ) {
        let curve = Curve::new(transfer);
        for i in 0..=500 {
            let v = -0.2 + 2.0 * f64::from(i) / 500.0;
            let exact = to_linear(transfer, v);
            assert!(
                (f64::from(curve.at(v as f32)) - exact).abs() < 1e-4 * exact.abs().max(1.0),
                "{transfer:?} at {v}"
            );
        }
    }
}
