//! The open jar around the period after opening, drawn for this program.
//!
//! The symbol as such, an open cream jar with the months in it, is that of Regulation (EC)
//! 1223/2009, Annex VII.2.

/// The jar in strokes. One unit is the height of the capitals on the label.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Jar {
    pub width: f64,
    pub height: f64,
    /// Closed outlines.
    pub strokes: Vec<Vec<(f64, f64)>>,
    /// Middle of the words' baseline.
    pub words_at: (f64, f64),
}

/// Width of one sign of the words, in capitals' heights, with some air.
const SIGN: f64 = 1.12;
/// Top of the jar's body.
const TOP: f64 = 2.15;

impl Jar {
    /// A jar that holds so many signs.
    pub fn holding(signs: usize) -> Self {
        let signs = u32::try_from(signs.clamp(3, 16)).map_or(3.0, f64::from);
        let width = SIGN * signs + 1.5;
        let (body, height) = (3.3, TOP + 3.3);
        let rim = rounded(width * 0.07, TOP - 0.55, width * 0.86, 0.55, 0.12);
        let glass = rounded(0.0, TOP, width, body, 0.6);
        // The lid stands open, turned about its left end.
        let (sin, cos) = (-0.155_f64, 0.988_f64);
        let (x0, y0) = (width * 0.09, TOP - 0.75);
        let lid = rounded(0.0, -0.7, width * 0.9, 0.7, 0.16)
            .into_iter()
            .map(|(x, y)| (x0 + x * cos - y * sin, y0 + x * sin + y * cos))
            .collect::<Vec<_>>();
        let over = lid.iter().map(|(_, y)| *y).fold(0.0, f64::min);
        let mut strokes = vec![lid, rim, glass];
        for point in strokes.iter_mut().flatten() {
            point.1 -= over;
        }
        Self {
            width,
            height: height - over,
            strokes,
            words_at: (width / 2.0, TOP - over + body / 2.0 + 0.5),
        }
    }
}

/// A rectangle with round corners, as points.
fn rounded(x: f64, y: f64, width: f64, height: f64, radius: f64) -> Vec<(f64, f64)> {
    // Sines of 0, 22.5, 45, 67.5 and 90 degrees.
    const SINES: [f64; 5] = [0.0, 0.382_683, std::f64::consts::FRAC_1_SQRT_2, 0.923_880, 1.0];
    let mut out = Vec::with_capacity(20);
    let (left, right) = (x + radius, x + width - radius);
    let (top, bottom) = (y + radius, y + height - radius);
    let quarter = |cx: f64, cy: f64, turn: usize| {
        SINES.iter().zip(SINES.iter().rev()).map(move |(s, c)| match turn {
            0 => (cx - radius * c, cy - radius * s),
            1 => (cx + radius * s, cy - radius * c),
            2 => (cx + radius * c, cy + radius * s),
            _ => (cx - radius * s, cy + radius * c),
        })
    };
    out.extend(quarter(left, top, 0));
    out.extend(quarter(right, top, 1));
    out.extend(quarter(right, bottom, 2));
    out.extend(quarter(left, bottom, 3));
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_jar_holds_its_words_and_its_lid() {
        for signs in [0, 3, 4, 11, 400] {
            let jar = Jar::holding(signs);
            for (x, y) in jar.strokes.iter().flatten() {
                assert!((-1e-9..=jar.width + 1e-9).contains(x), "{signs}: {x} of {}", jar.width);
                assert!((-1e-9..=jar.height + 1e-9).contains(y), "{signs}: {y} of {}", jar.height);
            }
            assert!(jar.words_at.1 < jar.height && jar.words_at.1 - 1.0 > TOP);
        }
        assert!(Jar::holding(5).width > Jar::holding(3).width);
    }
}
