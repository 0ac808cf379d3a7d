use crate::stream::StreamId;

/// How often a stream was on a scale of one division.
#[derive(Debug, Clone, PartialEq)]
pub struct Weighed {
    pub stream: StreamId,
    pub bought: bool,
    pub division_kg: f64,
    /// Nets: gross less tare, two readings each.
    pub nets: i64,
    /// Single readings: draws, discards, reweighings.
    pub readings: i64,
}

/// Standard uncertainty of a sum of weights by the scale's resolution alone
/// \[kg\], of all streams or of one.
///
/// A reading is uniform within half a division either way (rectangular
/// distribution), so u = d/√12 a reading, d/√6 a net of two, and squares add:
/// u² = Σ n·d²/6 + m·d²/12. Source: JCGM 100:2008 (GUM) 4.3.7 and F.2.2.1 (from
/// memory, unverified). It leaves out calibration error, which does not
/// average out, and everything that is not the scale.
pub fn resolution_kg(weighed: &[Weighed], stream: Option<&StreamId>) -> f64 {
    #[expect(clippy::cast_precision_loss, reason = "counts stay far below 2^53")]
    let square = |one: &Weighed| {
        one.division_kg.powi(2) * (one.nets as f64 / 6.0 + one.readings as f64 / 12.0)
    };
    let wanted = |one: &&Weighed| stream.is_none_or(|stream| one.stream == *stream);
    // An empty sum of floats is minus zero.
    let squares: f64 = weighed.iter().filter(wanted).map(square).sum();
    squares.abs().sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn u(division_lb: f64, nets: i64, readings: i64) -> String {
        let stream = StreamId::parse("bread").expect("an id");
        let weighed = Weighed {
            stream,
            bought: false,
            division_kg: division_lb * 0.453_592_37,
            nets,
            readings,
        };
        format!("{:.3}", resolution_kg(&[weighed], None) / 0.453_592_37)
    }

    /// d/√12, d/√6 and √30·d/√6 for divisions of 0.1 and 0.5 lb, worked by hand
    /// from the closed forms (0.1/3.4641, 0.1/2.4495, 5.4772·0.1/2.4495).
    #[test]
    fn rectangular_distribution_of_one_reading_a_net_and_thirty_nets() {
        assert_eq!(
            [u(0.1, 0, 1), u(0.1, 1, 0), u(0.1, 30, 0)],
            ["0.029", "0.041", "0.224"]
        );
        assert_eq!(
            [u(0.5, 0, 1), u(0.5, 1, 0), u(0.5, 30, 0)],
            ["0.144", "0.204", "1.118"]
        );
    }
}
