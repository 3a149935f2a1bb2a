//! A little geometry of space, and the eye that looks at it.

use std::ops::{Add, Mul, Sub};

use kurbo::{Point, Vec2};

/// The length of a step on a plane, the same on every machine.
pub(crate) fn length_of(step: Vec2) -> f64 {
    step.hypot2().sqrt()
}

/// A point or a direction; x to the right, y to the back, z up.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Space {
    pub(crate) x: f64,
    pub(crate) y: f64,
    pub(crate) z: f64,
}

impl Space {
    pub(crate) const fn new(x: f64, y: f64, z: f64) -> Self {
        Self { x, y, z }
    }

    pub(crate) fn dot(self, other: Self) -> f64 {
        self.x * other.x + self.y * other.y + self.z * other.z
    }

    pub(crate) fn cross(self, other: Self) -> Self {
        Self::new(
            self.y * other.z - self.z * other.y,
            self.z * other.x - self.x * other.z,
            self.x * other.y - self.y * other.x,
        )
    }

    pub(crate) fn length(self) -> f64 {
        self.dot(self).sqrt()
    }
}

impl Add for Space {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self::new(self.x + other.x, self.y + other.y, self.z + other.z)
    }
}

impl Sub for Space {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        self + other * -1.0
    }
}

impl Mul<f64> for Space {
    type Output = Self;
    fn mul(self, factor: f64) -> Self {
        Self::new(self.x * factor, self.y * factor, self.z * factor)
    }
}

/// How a panel's plane lies in space: where its origin is, and where its x and y run.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Frame {
    pub(crate) origin: Space,
    pub(crate) right: Space,
    pub(crate) up: Space,
}

impl Frame {
    /// Standing upright, its right side to the front.
    pub(crate) const fn upright() -> Self {
        Self {
            origin: Space::new(0.0, 0.0, 0.0),
            right: Space::new(1.0, 0.0, 0.0),
            up: Space::new(0.0, 0.0, 1.0),
        }
    }

    /// A point of the plane in space.
    pub(crate) fn at(&self, point: Point) -> Space {
        self.origin + self.right * point.x + self.up * point.y
    }

    /// The direction in which the right side looks.
    pub(crate) fn normal(&self) -> Space {
        self.right.cross(self.up)
    }

    /// The frame of the plane beyond a bend: the line `here` of this plane is the line `there` of
    /// that one, and the finished angle between them is `degrees` seen from inside. Nothing for a
    /// line without length.
    pub(crate) fn across(
        &self,
        here: (Point, Point),
        there: (Point, Point),
        degrees: f64,
    ) -> Option<Self> {
        let (from, to) = (self.at(here.0), self.at(here.1));
        let length = (to - from).length();
        let there_step = there.1 - there.0;
        if length < 1e-6 || length_of(there_step) < 1e-6 {
            return None;
        }
        let along = (to - from) * (1.0 / length);
        let normal = self.normal();
        // What lies beyond turns away from the side that is looked at, towards the inside.
        let bend = (180.0 - degrees).to_radians();
        let aside = normal.cross(along) * libm::cos(bend) + normal * libm::sin(bend);
        // The other plane's axes, by their share along and beside the common line.
        let unit = there_step / length_of(there_step);
        let right = along * unit.x - aside * unit.y;
        let up = along * unit.y + aside * unit.x;
        let origin = from - right * there.0.x - up * there.0.y;
        Some(Self { origin, right, up })
    }
}

/// An eye far away, so that parallel edges stay parallel on paper.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Eye {
    right: Space,
    up: Space,
    /// From the eye into the picture.
    pub(crate) into: Space,
    /// Paper mm for each mm of space.
    pub(crate) scale: f64,
}

impl Eye {
    /// An eye to the right of the front by `turn` degrees and above it by `rise` degrees.
    pub(crate) fn new(turn: f64, rise: f64, scale: f64) -> Self {
        let (turn, rise) = (turn.to_radians(), rise.to_radians());
        let (sin_t, cos_t) = (libm::sin(turn), libm::cos(turn));
        let (sin_r, cos_r) = (libm::sin(rise), libm::cos(rise));
        Self {
            right: Space::new(cos_t, sin_t, 0.0),
            up: Space::new(-sin_t * sin_r, cos_t * sin_r, cos_r),
            into: Space::new(-sin_t * cos_r, cos_t * cos_r, -sin_r),
            scale,
        }
    }

    /// Where a point of space is seen on paper (y down).
    pub(crate) fn see(&self, point: Space) -> Point {
        Point::new(point.dot(self.right) * self.scale, -point.dot(self.up) * self.scale)
    }

    /// Whether a plane shows the side that its normal looks from.
    pub(crate) fn faces(&self, normal: Space) -> bool {
        normal.dot(self.into) < 0.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(a: Space, b: Space) -> bool {
        (a - b).length() < 1e-9
    }

    #[test]
    fn a_right_angled_bend_at_the_right_edge_goes_to_the_back() {
        let edge = (Point::new(10.0, 0.0), Point::new(10.0, 20.0));
        let side = Frame::upright().across(edge, edge, 90.0).unwrap();
        assert!(near(side.at(Point::new(10.0, 5.0)), Space::new(10.0, 0.0, 5.0)));
        assert!(near(side.at(Point::new(14.0, 5.0)), Space::new(10.0, 4.0, 5.0)));
        // Its right side looks to the right.
        assert!(near(side.normal(), Space::new(1.0, 0.0, 0.0)));
    }

    #[test]
    fn a_flat_seam_goes_straight_on() {
        let here = (Point::new(10.0, 0.0), Point::new(10.0, 20.0));
        let there = (Point::new(0.0, 0.0), Point::new(0.0, 20.0));
        let next = Frame::upright().across(here, there, 180.0).unwrap();
        assert!(near(next.at(Point::new(3.0, 4.0)), Space::new(13.0, 0.0, 4.0)));
    }

    #[test]
    fn four_right_angles_close() {
        let (low, high) = (Point::new(10.0, 0.0), Point::new(10.0, 20.0));
        let left = (Point::new(0.0, 0.0), Point::new(0.0, 20.0));
        let mut frame = Frame::upright();
        for _ in 0..4 {
            frame = frame.across((low, high), left, 90.0).unwrap();
        }
        assert!(near(frame.origin, Space::new(0.0, 0.0, 0.0)));
        assert!(near(frame.right, Space::new(1.0, 0.0, 0.0)));
    }

    #[test]
    fn the_eye_sees_right_to_the_right_and_up_above() {
        let eye = Eye::new(30.0, 20.0, 1.0);
        let origin = eye.see(Space::new(0.0, 0.0, 0.0));
        assert!(eye.see(Space::new(1.0, 0.0, 0.0)).x > origin.x);
        assert!(eye.see(Space::new(0.0, 0.0, 1.0)).y < origin.y);
        assert!(eye.faces(Space::new(0.0, -1.0, 0.0)) && eye.faces(Space::new(1.0, 0.0, 0.0)));
        assert!(eye.faces(Space::new(0.0, 0.0, 1.0)) && !eye.faces(Space::new(0.0, 1.0, 0.0)));
    }
}
