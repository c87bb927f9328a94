//! How the scene lies in a picture: moved, turned and scaled about the picture's middle.

/// Where the scene lies against its place in the recipe.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Pose {
    /// Pixels to the right and down.
    pub(super) offset: [f64; 2],
    /// Larger than in the recipe by this factor.
    pub(super) scale: f64,
    /// Turned clockwise on the screen, radians.
    pub(super) turn_rad: f64,
}

impl Pose {
    /// Where a point of the scene lies in a picture with a middle.
    pub(super) fn apply(&self, (x, y): (f64, f64), middle: (f64, f64)) -> (f64, f64) {
        let (x, y) = (x - middle.0, y - middle.1);
        let (sine, cosine) = self.turn_rad.sin_cos();
        (
            middle.0 + self.scale * (cosine * x - sine * y) + self.offset[0],
            middle.1 + self.scale * (sine * x + cosine * y) + self.offset[1],
        )
    }

    /// The inverse of [`Pose::apply`].
    pub(super) fn undo(&self, (x, y): (f64, f64), middle: (f64, f64)) -> (f64, f64) {
        let (x, y) = (
            (x - middle.0 - self.offset[0]) / self.scale,
            (y - middle.1 - self.offset[1]) / self.scale,
        );
        let (sine, cosine) = self.turn_rad.sin_cos();
        (middle.0 + cosine * x + sine * y, middle.1 - sine * x + cosine * y)
    }

    /// Moved only.
    pub(super) fn is_shift(&self) -> bool {
        self.scale == 1.0 && self.turn_rad == 0.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A quarter turn clockwise takes the right to the bottom, where rows count downwards.
    #[test]
    fn quarter_turn_at_double_size_worked_by_hand() {
        let pose = Pose {
            offset: [3.0, -1.0],
            scale: 2.0,
            turn_rad: std::f64::consts::FRAC_PI_2,
        };
        let (x, y) = pose.apply((15.0, 10.0), (10.0, 10.0));
        assert!((x - 13.0).abs() < 1e-9 && (y - 19.0).abs() < 1e-9, "{x}, {y}");
        let (x, y) = pose.undo((x, y), (10.0, 10.0));
        assert!((x - 15.0).abs() < 1e-9 && (y - 10.0).abs() < 1e-9, "{x}, {y}");
    }
}
