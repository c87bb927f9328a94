//! ICC profiles written from published figures, apart from any library.

/// Primaries adapted to the profile's own white, and the curve.
pub(crate) struct Space {
    /// X, Y, Z of red, green and blue against D50.
    primaries: [[f64; 3]; 3],
    curve: Curve,
}

enum Curve {
    /// IEC 61966-2-1.
    Srgb,
    /// A power, in 1/256.
    Power(u16),
}

// X, Y, Z of the primaries are computed from the published chromaticities and a white of D65 (0.3127, 0.3290), adapted to
// D50 by Bradford's matrix (ICC.1:2022, annex E), apart from this crate.

/// IEC 61966-2-1: (0.64, 0.33), (0.30, 0.60), (0.15, 0.06).
pub(crate) const SRGB: Space = Space {
    primaries: [
        [0.436_04, 0.222_48, 0.013_92],
        [0.385_11, 0.716_91, 0.097_07],
        [0.143_05, 0.060_61, 0.713_91],
    ],
    curve: Curve::Srgb,
};

/// SMPTE EG 432-1 with the curve of sRGB: (0.680, 0.320), (0.265, 0.690), (0.150, 0.060).
pub(crate) const DISPLAY_P3: Space = Space {
    primaries: [
        [0.515_12, 0.241_19, -0.001_05],
        [0.291_98, 0.692_24, 0.041_88],
        [0.157_10, 0.066_57, 0.784_07],
    ],
    curve: Curve::Srgb,
};

/// Adobe RGB (1998) Color Image Encoding, 4.3 (from memory): (0.64, 0.33), (0.21, 0.71), (0.15, 0.06), and a gamma of
/// 2 51/256.
pub(crate) const ADOBE_RGB: Space = Space {
    primaries: [
        [0.609_74, 0.311_11, 0.019_47],
        [0.205_27, 0.625_68, 0.060_87],
        [0.149_19, 0.063_21, 0.744_56],
    ],
    curve: Curve::Power(563),
};

impl Space {
    /// A version 2 display profile (ICC.1:2001-04, 6.3.2 and annex): three primaries, three curves, the white.
    pub(crate) fn icc(&self) -> Vec<u8> {
        let white = xyz([0.9642, 1.0, 0.8249]);
        let [red, green, blue] = self.primaries.map(xyz);
        let curve = self.curve.tag();
        let tags: [(&[u8; 4], &[u8]); 9] = [
            (b"desc", &description()),
            (b"cprt", b"text\0\0\0\0none\0\0\0\0"),
            (b"wtpt", &white),
            (b"rXYZ", &red),
            (b"gXYZ", &green),
            (b"bXYZ", &blue),
            (b"rTRC", &curve),
            (b"gTRC", &curve),
            (b"bTRC", &curve),
        ];
        let mut table = u32::try_from(tags.len()).unwrap().to_be_bytes().to_vec();
        let mut data = Vec::new();
        let start = 128 + 4 + 12 * tags.len();
        for (name, body) in tags {
            table.extend(name);
            table.extend(u32::try_from(start + data.len()).unwrap().to_be_bytes());
            table.extend(u32::try_from(body.len()).unwrap().to_be_bytes());
            data.extend(body);
            data.resize(data.len().next_multiple_of(4), 0);
        }
        let mut profile = vec![0; 128];
        profile[8..12].copy_from_slice(&[2, 0x20, 0, 0]);
        profile[12..24].copy_from_slice(b"mntrRGB XYZ ");
        profile[36..40].copy_from_slice(b"acsp");
        profile[68..80].copy_from_slice(&white[8..]);
        profile.extend(table);
        profile.extend(data);
        let size = u32::try_from(profile.len()).unwrap();
        profile[..4].copy_from_slice(&size.to_be_bytes());
        profile
    }

    /// What linear light on BT.709's primaries is in this space: non-linear red, green, blue, 0 to 1, not clipped.
    pub(crate) fn code(&self, light: [f64; 3]) -> [f64; 3] {
        let xyz = multiply(&columns(SRGB.primaries), light);
        multiply(&inverse(&columns(self.primaries)), xyz).map(|v| self.curve.encode(v))
    }
}

impl Curve {
    fn tag(&self) -> Vec<u8> {
        let points: Vec<u16> = match self {
            Self::Power(gamma) => vec![*gamma],
            Self::Srgb => (0..1024_u16)
                .map(|i| (65_535.0 * srgb_light(f64::from(i) / 1023.0)).round() as u16)
                .collect(),
        };
        let mut tag = b"curv\0\0\0\0".to_vec();
        tag.extend(u32::try_from(points.len()).unwrap().to_be_bytes());
        tag.extend(points.into_iter().flat_map(u16::to_be_bytes));
        tag
    }

    fn encode(&self, light: f64) -> f64 {
        match self {
            Self::Power(gamma) => light.abs().powf(256.0 / f64::from(*gamma)).copysign(light),
            Self::Srgb if light <= 0.003_130_8 => 12.92 * light,
            Self::Srgb => 1.055 * light.powf(1.0 / 2.4) - 0.055,
        }
    }
}

/// IEC 61966-2-1.
pub(crate) fn srgb_light(v: f64) -> f64 {
    if v <= 0.040_45 {
        v / 12.92
    } else {
        ((v + 0.055) / 1.055).powf(2.4)
    }
}

fn xyz(values: [f64; 3]) -> Vec<u8> {
    let fixed = values.map(|value| ((65_536.0 * value).round() as i32).to_be_bytes());
    [&b"XYZ \0\0\0\0"[..], &fixed.concat()].concat()
}

fn description() -> Vec<u8> {
    let mut tag = b"desc\0\0\0\0\0\0\0\x05test\0".to_vec();
    tag.resize(tag.len() + 78, 0);
    tag
}

type Matrix = [[f64; 3]; 3];

fn columns(primaries: Matrix) -> Matrix {
    std::array::from_fn(|row| std::array::from_fn(|column| primaries[column][row]))
}

fn multiply(m: &Matrix, v: [f64; 3]) -> [f64; 3] {
    m.map(|row| row[0] * v[0] + row[1] * v[1] + row[2] * v[2])
}

/// By cofactors.
fn inverse(m: &Matrix) -> Matrix {
    let minor = |r: usize, c: usize| {
        let [r1, r2] = [(r + 1) % 3, (r + 2) % 3];
        let [c1, c2] = [(c + 1) % 3, (c + 2) % 3];
        m[r1][c1] * m[r2][c2] - m[r1][c2] * m[r2][c1]
    };
    let det: f64 = (0..3).map(|c| m[0][c] * minor(0, c)).sum();
    std::array::from_fn(|row| std::array::from_fn(|column| minor(column, row) / det))
}
