use crate::report::methane::{Avoided, CARBON_OF_DRY, MethaneTold, decomposed_after};
use crate::words::{Said, say};

use crate::sheet::document::{Document, grid};

/// Avoided methane as a section: a range, its inputs and what it is not.
pub(super) fn methane(document: &mut Document, told: &MethaneTold) {
    document.heading(say!("methane-heading"));
    let k = told.climate.decay();
    document.table(grid!(for line in &told.lines => {
        let none = |why: Said| [why, Said::default(), Said::default()];
        let [methane, carbon, first] = match line.avoided {
            Avoided::Range { low_kg, high_kg } => {
                [1.0, told.gwp.factor(), decomposed_after(1, k)].map(|factor| {
                    say!("from-to", low = digits(low_kg * factor), high = digits(high_kg * factor))
                })
            }
            Avoided::Nothing => [say!("methane-not-landfilled"), 0.into(), 0.into()],
            Avoided::Unknown => none(say!("methane-outlet-unknown")),
            Avoided::Mandated => none(say!("methane-law")),
            Avoided::NoWeight => none(say!("methane-no-weight")),
            Avoided::LeftOut => none(say!("methane-see-below")),
        };
        Left say!("supplier") => &line.supplier,
        Left say!("methane-former-outlet") => say!("methane-outlet", outlet = line.outlet.as_str()),
        Right say!("diverted") => format!("{:.1} kg", line.diverted_kg),
        Right say!("methane-dry") => format!("{:.1} kg", line.dry_kg),
        Right say!("methane-all-years") => methane,
        Right say!("methane-carbon") => carbon,
        Right say!("methane-first-year") => first,
    }));
    for line in told.lines.iter().filter(|line| !line.left_out.is_empty()) {
        let each = line.left_out.iter().map(|of| {
            say!(
                "methane-left-out-stream",
                of.stream,
                kg = format!("{:.1}", of.kg),
                of.why
            )
        });
        let streams = Said::joined(each, ", ");
        document.small(say!("methane-left-out", line.supplier, streams));
    }
    let shares = [1, 5, 10, 20].map(|years| format!("{:.1}", 100.0 * decomposed_after(years, k)));
    let climate = say!("methane-climate", climate = told.climate.as_str());
    let shares = shares.join(", ");
    document.small(say!("methane-lifetime", k, climate, shares));
    let pct = |share: f64| format!("{:.0}", 100.0 * share);
    document.small(say!(
        "methane-inputs",
        carbon_low = CARBON_OF_DRY.0,
        carbon_high = CARBON_OF_DRY.1,
        captured_low = pct(told.captured.0),
        captured_high = pct(told.captured.1),
        is_default = told.captured_is_default,
        gwp = told.gwp.said(),
    ));
    document.caution(say!("methane-no-offset"));
}

/// Two significant digits: the inputs carry no more.
fn digits(value: f64) -> String {
    if value <= 0.0 || !value.is_finite() {
        return "0".to_owned();
    }
    let mut unit = 1.0_f64;
    while value / unit >= 100.0 {
        unit *= 10.0;
    }
    while value / unit < 9.95 {
        unit /= 10.0;
    }
    let mut places = 0;
    let mut step = unit;
    while step < 0.99 {
        step *= 10.0;
        places += 1;
    }
    format!("{:.places$}", (value / unit).round() * unit)
}

#[cfg(test)]
mod tests {
    use super::digits;

    #[test]
    fn two_digits_are_left() {
        let told = [1234.0, 99.4, 9.96, 1.26, 0.0345, 0.0, 560.0].map(digits);
        assert_eq!(told, ["1200", "99", "10", "1.3", "0.035", "0", "560"]);
    }
}
