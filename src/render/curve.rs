//! From light to the value that a file codes, 0 to 1: the camera's transfer function and its tone curve.

use super::coding::rounded;
use super::recipe::DynamicRange;

/// Entries of a table: a quarter of an 8-bit code value apart where the curve of BT.709 is steepest, and by
/// the root of the light less than a 10-bit code value where those of BT.2100 are.
const STEPS: usize = 1 << 14;

/// Light of white as a share of what ends the HLG code: its signal is 75 % (Report ITU-R BT.2408-7, 2.2).
const HLG_WHITE: f64 = 0.264_962_6;

/// Luminance of white and of the brightest part of a PQ picture, cd/m2: Report ITU-R BT.2408-7, 2.2, and the
/// usual mastering display.
const PQ_WHITE: f64 = 203.0;
const PQ_MOST: f64 = 1000.0;

/// A transfer function as a table by light, or by its root.
#[derive(Debug)]
pub(super) struct Curve {
    table: Vec<f32>,
    by_root: bool,
    /// Light at which the sensor clips; white is 1.
    pub(super) most: f32,
}

impl Curve {
    pub(super) fn new(range: DynamicRange, contrast: f64) -> Self {
        let (most, by_root) = match range {
            DynamicRange::Standard => (1.0, false),
            DynamicRange::Hlg => (1.0 / HLG_WHITE, true),
            DynamicRange::Pq => (PQ_MOST / PQ_WHITE, true),
        };
        let value = |light: f64| match range {
            DynamicRange::Standard => with_contrast(bt709(light), contrast),
            DynamicRange::Hlg => hlg(light * HLG_WHITE),
            DynamicRange::Pq => pq(light * PQ_WHITE),
        };
        let table = (0..STEPS)
            .map(|step| step as f64 / (STEPS - 1) as f64)
            .map(|place| value(most * if by_root { place * place } else { place }) as f32)
            .collect();
        Self {
            table,
            by_root,
            most: most as f32,
        }
    }

    /// Clips a row of light and turns it into curve values.
    pub(super) fn bend(&self, row: &mut [f32]) {
        const TOP: f32 = (STEPS - 1) as f32;
        let scale = 1.0 / self.most;
        for value in row.iter_mut() {
            *value = (*value * scale).clamp(0.0, 1.0);
        }
        if self.by_root {
            row.iter_mut().for_each(|value| *value = value.sqrt());
        }
        for value in row {
            let step = rounded(*value * TOP) as usize;
            *value = self.table[step & (STEPS - 1)];
        }
    }
}

/// Steeper in the middle, flatter at the ends, which stay where they are.
fn with_contrast(value: f64, contrast: f64) -> f64 {
    let bent = value * value * (3.0 - 2.0 * value);
    value + contrast * (bent - value)
}

/// Rec. ITU-R BT.709-6, item 1.2: opto-electronic transfer.
fn bt709(light: f64) -> f64 {
    if light < 0.018 {
        4.5 * light
    } else {
        1.099 * light.powf(0.45) - 0.099
    }
}

/// Rec. ITU-R BT.2100-2, table 5: opto-electronic transfer of scene light, 0 to 1.
fn hlg(light: f64) -> f64 {
    const A: f64 = 0.178_832_77;
    let b = 1.0 - 4.0 * A;
    let c = 0.5 - A * (4.0 * A).ln();
    if light <= 1.0 / 12.0 {
        (3.0 * light).sqrt()
    } else {
        A * (12.0 * light - b).ln() + c
    }
}

/// Rec. ITU-R BT.2100-2, table 4: inverse of the electro-optical transfer to cd/m2.
fn pq(nits: f64) -> f64 {
    const M1: f64 = 2610.0 / 16_384.0;
    const M2: f64 = 2523.0 / 4096.0 * 128.0;
    const C1: f64 = 3424.0 / 4096.0;
    const C2: f64 = 2413.0 / 4096.0 * 32.0;
    const C3: f64 = 2392.0 / 4096.0 * 32.0;
    let root = (nits / 10_000.0).powf(M1);
    ((C1 + C2 * root) / (1.0 + C3 * root)).powf(M2)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Light of coded values as colour-science 0.4.7 gives it; 10-bit codes in limited range.
    #[rstest::rstest]
    #[case(DynamicRange::Standard, 0.04, 0.008_888_888_9)]
    #[case(DynamicRange::Standard, 0.1, 0.022_427_958_4)]
    #[case(DynamicRange::Standard, 0.2, 0.055_426_681_8)]
    #[case(DynamicRange::Standard, 0.4, 0.172_984_161_4)]
    #[case(DynamicRange::Standard, 0.5, 0.259_589_400_5)]
    #[case(DynamicRange::Hlg, (128.0 - 64.0) / 876.0, 0.001_779_223_4 / 0.264_962_6)]
    #[case(DynamicRange::Hlg, (512.0 - 64.0) / 876.0, 0.087_262_583_2 / 0.264_962_6)]
    #[case(DynamicRange::Hlg, (700.0 - 64.0) / 876.0, 0.234_698_017_2 / 0.264_962_6)]
    #[case(DynamicRange::Pq, (128.0 - 64.0) / 876.0, 0.146_483 / 203.0)]
    #[case(DynamicRange::Pq, (384.0 - 64.0) / 876.0, 22.000_635 / 203.0)]
    #[case(DynamicRange::Pq, (512.0 - 64.0) / 876.0, 103.377_077 / 203.0)]
    fn curves_as_published(#[case] range: DynamicRange, #[case] value: f64, #[case] light: f64) {
        let mut row = [light as f32];
        Curve::new(range, 0.0).bend(&mut row);
        // A quarter of a 10-bit code value, or half of one in the deepest PQ blacks.
        assert!((f64::from(row[0]) - value).abs() < 4e-4, "{} for {value}", row[0]);
    }

    #[test]
    fn contrast_leaves_the_ends_and_mid_grey() {
        for value in [0.0, 0.5, 1.0] {
            assert_eq!(with_contrast(value, 0.8), value);
        }
        // The slope of the cubic is 1.5 in the middle.
        let slope = (with_contrast(0.501, 0.8) - with_contrast(0.499, 0.8)) / 0.002;
        assert!((slope - 1.4).abs() < 1e-3, "{slope}");
    }
}
