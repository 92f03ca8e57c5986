//! Moulds: generic shapes with their volume and the surface that cools.

use core::f64::consts::PI;

/// Density of water at 20 °C, g/mL (handbook).
pub const WATER_G_ML: f64 = 0.998;

/// Outline of a cavity, inner sizes in mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Shape {
    /// A block with square corners: length, width, depth.
    Block(f64, f64, f64),
    /// A round disc: diameter, depth.
    Disc(f64, f64),
    /// An oval: long axis, short axis, depth.
    Oval(f64, f64, f64),
    /// Half a ball, flat side up: diameter.
    Dome(f64),
}

/// Largest size that is taken, mm: a tray of a metre.
pub const MOST_MM: f64 = 1_000.0;

impl Shape {
    /// Whether every size is above 0 and at most [`MOST_MM`].
    #[must_use]
    pub fn is_sound(&self) -> bool {
        let fine = |x: f64| x.is_finite() && x > 0.0 && x <= MOST_MM;
        match *self {
            Self::Block(l, w, d) | Self::Oval(l, w, d) => fine(l) && fine(w) && fine(d),
            Self::Disc(a, d) => fine(a) && fine(d),
            Self::Dome(a) => fine(a),
        }
    }

    /// Volume, mL.
    #[must_use]
    pub fn volume_ml(&self) -> f64 {
        let mm3 = match *self {
            Self::Block(l, w, d) => l * w * d,
            Self::Disc(a, d) => PI * a * a / 4.0 * d,
            Self::Oval(l, w, d) => PI * l * w / 4.0 * d,
            Self::Dome(a) => PI * a * a * a / 12.0,
        };
        mm3 / 1_000.0
    }

    /// Depth, mm.
    #[must_use]
    pub fn depth_mm(&self) -> f64 {
        match *self {
            Self::Block(_, _, d) | Self::Disc(_, d) | Self::Oval(_, _, d) => d,
            Self::Dome(a) => a / 2.0,
        }
    }

    /// Smallest size across the body, mm.
    fn thinnest_mm(&self) -> f64 {
        match *self {
            Self::Block(l, w, d) | Self::Oval(l, w, d) => l.min(w).min(d),
            Self::Disc(a, d) => a.min(d),
            Self::Dome(a) => a / 2.0,
        }
    }

    /// Smallest size seen from above, mm.
    fn narrowest_mm(&self) -> f64 {
        match *self {
            Self::Block(l, w, _) | Self::Oval(l, w, _) => l.min(w),
            Self::Disc(a, _) | Self::Dome(a) => a,
        }
    }

    /// Surface of the open top, of the sides and of the bottom, cm2. A dome has no bottom apart
    /// from its side. An oval's rim is Ramanujan's first approximation.
    #[must_use]
    pub fn faces_cm2(&self) -> [f64; 3] {
        let mm2 = match *self {
            Self::Block(l, w, d) => [l * w, 2.0 * (l + w) * d, l * w],
            Self::Disc(a, d) => [PI * a * a / 4.0, PI * a * d, PI * a * a / 4.0],
            Self::Oval(l, w, d) => {
                let (a, b) = (l / 2.0, w / 2.0);
                let rim = PI * (3.0 * (a + b) - libm::sqrt((3.0 * a + b) * (a + 3.0 * b)));
                [PI * a * b, rim * d, PI * a * b]
            }
            Self::Dome(a) => [PI * a * a / 4.0, PI * a * a / 2.0, 0.0],
        };
        mm2.map(|x| x / 100.0)
    }

    /// The sizes in mm, in the order of the variant.
    #[must_use]
    pub fn sizes_mm(&self) -> Vec<f64> {
        match *self {
            Self::Block(l, w, d) | Self::Oval(l, w, d) => vec![l, w, d],
            Self::Disc(a, d) => vec![a, d],
            Self::Dome(a) => vec![a],
        }
    }

    /// What each size is, in that order.
    #[must_use]
    pub fn size_names(&self) -> &'static [&'static str] {
        match self {
            Self::Block(..) => &["length", "width", "depth"],
            Self::Oval(..) => &["long axis", "short axis", "depth"],
            Self::Disc(..) => &["diameter", "depth"],
            Self::Dome(..) => &["diameter"],
        }
    }

    /// Name of the outline.
    #[must_use]
    pub fn name(&self) -> &'static str {
        match self {
            Self::Block(..) => "block",
            Self::Disc(..) => "disc",
            Self::Oval(..) => "oval",
            Self::Dome(..) => "dome",
        }
    }

    /// The outline of a name with these sizes in mm; `None` for another name or number of sizes.
    #[must_use]
    pub fn of(name: &str, sizes: &[f64]) -> Option<Self> {
        match (name, sizes) {
            ("block", [l, w, d]) => Some(Self::Block(*l, *w, *d)),
            ("oval", [l, w, d]) => Some(Self::Oval(*l, *w, *d)),
            ("disc", [a, d]) => Some(Self::Disc(*a, *d)),
            ("dome", [a]) => Some(Self::Dome(*a)),
            _ => None,
        }
    }
}

/// What a mould is made of.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Wall {
    /// Silicone of about 2 mm.
    #[default]
    Silicone,
    /// Thin plastic.
    Plastic,
    /// Metal; no resistance to speak of.
    Metal,
    /// Wood or thick board, which cools mostly through the top.
    Wood,
}

impl Wall {
    /// All of them.
    pub const ALL: [Self; 4] = [Self::Silicone, Self::Plastic, Self::Metal, Self::Wood];

    /// The name on screen and the key in files.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Silicone => "silicone",
            Self::Plastic => "plastic",
            Self::Metal => "metal",
            Self::Wood => "wood",
        }
    }

    /// Resistance of the wall to heat, m2 K/W: thickness over conductivity; silicone 2 mm of
    /// 0.2 W/(m K), plastic 1 mm of 0.2, wood 10 mm of 0.12 (conductivities from memory).
    #[must_use]
    pub fn resistance(self) -> f64 {
        match self {
            Self::Silicone => 0.010,
            Self::Plastic => 0.005,
            Self::Metal => 0.0,
            Self::Wood => 0.083,
        }
    }
}

/// Where a filled mould stands.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Stand {
    /// On the bench: the bottom does not cool.
    #[default]
    Bench,
    /// On a rack: all faces cool.
    Rack,
    /// On a rack in the fridge.
    Fridge,
}

impl Stand {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Bench, Self::Rack, Self::Fridge];

    /// The name on screen and the key in scripts.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Bench => "bench",
            Self::Rack => "rack",
            Self::Fridge => "fridge",
        }
    }
}

/// A mould with its cavities.
#[derive(Clone, Debug, PartialEq)]
pub struct Mould {
    /// Name, unique in a workshop.
    pub name: String,
    /// Outline of a cavity.
    pub shape: Shape,
    /// Volume of a cavity measured with water, mL; the outline's volume without it.
    pub measured_ml: Option<f64>,
    /// What it is made of.
    pub wall: Wall,
}

/// Volume of a cavity that this much water fills, mL.
#[must_use]
pub fn ml_of_water(grams: f64) -> f64 {
    grams / WATER_G_ML
}

impl Mould {
    /// Volume of a cavity, mL: as measured, or as the outline says.
    #[must_use]
    pub fn volume_ml(&self) -> f64 {
        self.measured_ml.unwrap_or_else(|| self.shape.volume_ml())
    }

    /// Whether a measured volume can be that of the outline: from half to twice of it.
    #[must_use]
    pub fn volume_fits(&self) -> bool {
        let by_size = self.shape.volume_ml();
        self.measured_ml.is_none_or(|v| v >= 0.5 * by_size && v <= 2.0 * by_size)
    }

    /// Whether the sizes and the volume can be calculated with.
    #[must_use]
    pub fn is_sound(&self) -> bool {
        self.shape.is_sound() && self.measured_ml.is_none_or(|v| v.is_finite() && v > 0.0)
    }

    /// How it cools where it stands; `None` for a mould without volume.
    #[must_use]
    pub fn cooling(&self, stand: Stand) -> Option<Faces> {
        let [top, sides, bottom] = self.shape.faces_cm2();
        let walls = if stand == Stand::Bench { sides } else { sides + bottom };
        let thick = self.wall == Wall::Wood;
        let deep = self.shape.depth_mm();
        // Both faces of the thinnest way cool on a rack, the top alone in a thick wall; on a
        // bench the sides cool the middle where the cavity is narrower than twice its depth.
        let depth = if thick {
            deep
        } else if stand == Stand::Bench {
            deep.min(self.shape.narrowest_mm() / 2.0)
        } else {
            self.shape.thinnest_mm() / 2.0
        };
        let sound = self.is_sound() && top > 0.0;
        sound.then(|| Faces {
            volume_m3: self.volume_ml() * 1e-6,
            open_m2: top * 1e-4,
            walled_m2: walls * 1e-4,
            depth_m: depth * 1e-3,
        })
    }
}

/// The faces through which a filled cavity cools.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Faces {
    /// Volume, m3.
    pub volume_m3: f64,
    /// Open surface, m2.
    pub open_m2: f64,
    /// Surface behind a wall, m2.
    pub walled_m2: f64,
    /// Way from the middle to the nearest cooled face, m.
    pub depth_m: f64,
}

impl Faces {
    /// Volume over cooled surface, m, and the mean heat transfer in W/(m2 K), for `h` at an open
    /// face and the resistance of a wall: the faces give heat off side by side.
    #[must_use]
    pub fn over(&self, h: f64, wall: f64) -> (f64, f64) {
        let area = self.open_m2 + self.walled_m2;
        let behind = 1.0 / (1.0 / h + wall);
        (self.volume_m3 / area, (h * self.open_m2 + behind * self.walled_m2) / area)
    }
}

/// The generic moulds of a bench (sizes are common practice, not of any maker).
#[must_use]
pub fn generic() -> Vec<Mould> {
    let mould =
        |name: &str, shape, wall| Mould { name: name.to_owned(), shape, measured_ml: None, wall };
    vec![
        mould("Bar, 80 x 55 x 30 mm", Shape::Block(80.0, 55.0, 30.0), Wall::Silicone),
        mould("Bar, 75 x 50 x 25 mm", Shape::Block(75.0, 50.0, 25.0), Wall::Silicone),
        mould("Disc, 70 x 25 mm", Shape::Disc(70.0, 25.0), Wall::Silicone),
        mould("Disc, 45 x 20 mm", Shape::Disc(45.0, 20.0), Wall::Silicone),
        mould("Oval, 85 x 60 x 28 mm", Shape::Oval(85.0, 60.0, 28.0), Wall::Silicone),
        mould("Dome, 60 mm", Shape::Dome(60.0), Wall::Silicone),
        mould("Stick, 20 x 20 x 80 mm", Shape::Block(20.0, 20.0, 80.0), Wall::Plastic),
        mould("Tin, 65 x 20 mm", Shape::Disc(65.0, 20.0), Wall::Metal),
        mould("Loaf to cut, 250 x 80 x 60 mm", Shape::Block(250.0, 80.0, 60.0), Wall::Wood),
        mould("Slab to cut, 300 x 200 x 30 mm", Shape::Block(300.0, 200.0, 30.0), Wall::Plastic),
    ]
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    fn near(value: f64, expected: f64, share: f64) {
        assert!((value / expected - 1.0).abs() <= share, "{value}, expected {expected}");
    }

    // Volumes and surfaces by school geometry.
    #[test]
    fn volumes_and_faces() {
        near(Shape::Block(80.0, 55.0, 30.0).volume_ml(), 132.0, 1e-12);
        near(Shape::Disc(70.0, 25.0).volume_ml(), 96.211, 1e-4);
        near(Shape::Dome(60.0).volume_ml(), 56.549, 1e-4);
        near(Shape::Oval(60.0, 60.0, 28.0).volume_ml(), Shape::Disc(60.0, 28.0).volume_ml(), 1e-12);
        let [_, rim, _] = Shape::Oval(60.0, 60.0, 28.0).faces_cm2();
        near(rim, Shape::Disc(60.0, 28.0).faces_cm2()[1], 1e-12);
        // The bar of 80 x 55 x 30 mm has 7.81 mm of volume over all its faces.
        let bar = Mould {
            name: String::new(),
            shape: Shape::Block(80.0, 55.0, 30.0),
            measured_ml: None,
            wall: Wall::Metal,
        };
        let faces = bar.cooling(Stand::Rack).unwrap();
        let (over, h) = faces.over(7.5, bar.wall.resistance());
        near(over, 7.81e-3, 1e-3);
        near(h, 7.5, 1e-12);
        near(faces.depth_m, 0.015, 1e-12);
        assert!(bar.cooling(Stand::Bench).unwrap().over(7.5, 0.0).0 > over);
    }

    #[test]
    fn walls_slow_and_water_corrects() {
        let mut bar = generic().remove(0);
        let (_, silicone) = bar.cooling(Stand::Rack).unwrap().over(7.5, bar.wall.resistance());
        assert!(silicone < 7.5 && silicone > 6.9);
        bar.measured_ml = Some(120.0);
        near(bar.cooling(Stand::Rack).unwrap().volume_m3, 120e-6, 1e-12);
    }

    #[test]
    fn a_deep_narrow_mould_cools_through_its_sides() {
        let stick = generic().into_iter().find(|m| m.name.starts_with("Stick")).unwrap();
        near(stick.cooling(Stand::Bench).unwrap().depth_m, 0.010, 1e-12);
        near(stick.cooling(Stand::Rack).unwrap().depth_m, 0.010, 1e-12);
        let bar = generic().remove(0);
        near(bar.cooling(Stand::Bench).unwrap().depth_m, 0.0275, 1e-12);
    }

    #[test]
    fn what_has_no_volume_does_not_cool() {
        for shape in [
            Shape::Block(0.0, 10.0, 10.0),
            Shape::Disc(f64::NAN, 10.0),
            Shape::Dome(-1.0),
            Shape::Dome(1e9),
        ] {
            let mould =
                Mould { name: String::new(), shape, measured_ml: None, wall: Wall::Silicone };
            assert!(mould.cooling(Stand::Bench).is_none(), "{shape:?}");
        }
        let mut bar = generic().remove(0);
        bar.measured_ml = Some(0.0);
        assert!(bar.cooling(Stand::Rack).is_none());
        assert!(generic().iter().all(Mould::is_sound));
    }

    #[test]
    fn names_and_sizes_make_the_shape_again() {
        for mould in generic() {
            let s = mould.shape;
            assert_eq!(Shape::of(s.name(), &s.sizes_mm()), Some(s));
            assert_eq!(s.size_names().len(), s.sizes_mm().len());
        }
        assert_eq!(Shape::of("disc", &[1.0]), None);
    }
}
