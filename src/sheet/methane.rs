use crate::report::methane::{Avoided, CARBON_OF_DRY, MethaneTold, decomposed_after};

use super::document::{Align, Document, Grid, Tone};

/// Avoided methane as a section: a range, its inputs and what it is not.
pub(super) fn methane(document: &mut Document, told: &MethaneTold) {
    document.heading("Landfill methane avoided, if the former outlets are as said");
    let mut grid = Grid::new(&[
        ("supplier", Align::Left),
        ("former outlet", Align::Left),
        ("diverted", Align::Right),
        ("dry matter", Align::Right),
        ("kg CH4, all years", Align::Right),
        ("kg CO2e, all years", Align::Right),
        ("kg CH4, first year of decay", Align::Right),
    ]);
    let year = decomposed_after(1, told.climate.decay());
    for line in &told.lines {
        let [methane, carbon, first] = match line.avoided {
            Avoided::Range { low_kg, high_kg } => [1.0, told.gwp.factor(), year].map(|factor| {
                format!(
                    "{} to {}",
                    digits(low_kg * factor),
                    digits(high_kg * factor)
                )
            }),
            Avoided::Nothing => ["0: was not landfilled", "0", "0"].map(str::to_owned),
            Avoided::Unknown => ["no figure: outlet not known", "", ""].map(str::to_owned),
            Avoided::Mandated => ["no claim: diversion is the law", "", ""].map(str::to_owned),
            Avoided::NoWeight => ["no figure: nothing diverted", "", ""].map(str::to_owned),
            Avoided::LeftOut => ["no figure: see below", "", ""].map(str::to_owned),
        };
        grid.row([
            line.supplier.clone(),
            line.outlet.as_str().to_owned(),
            format!("{:.1} kg", line.diverted_kg),
            format!("{:.1} kg", line.dry_kg),
            methane,
            carbon,
            first,
        ]);
    }
    document.table(grid);
    for line in told.lines.iter().filter(|line| !line.left_out.is_empty()) {
        let each = line.left_out.iter();
        let each = each.map(|(stream, kg, why)| format!("{stream} {kg:.1} kg ({why})"));
        let each: Vec<String> = each.collect();
        document.toned(
            Tone::Small,
            format!("No figure for {}: {}.", line.supplier, each.join(", ")),
        );
    }
    let k = told.climate.decay();
    let shares = [1, 5, 10, 20].map(|years| format!("{:.1}", 100.0 * decomposed_after(years, k)));
    document.toned(Tone::Small, format!(
        "A lifetime estimate, not this year's air: with k = {k} a year ({}), {} % of it decays after 1, 5, 10 and 20 years. First-order decay of IPCC 2006 Guidelines, vol. 5, ch. 3, values of the Guidelines and the 2019 Refinement as seen in an open implementation: degradable carbon {} to {} of dry matter (2006, table 2.4, food waste), each stream's dry matter as in the stream table, DOCf 0.49 to 0.91, F 0.5, oxidation 0 to 0.1 where managed, {:.0} to {:.0} % of the gas captured{}, none from an open dump. {}.",
        told.climate.as_str(),
        shares.join(", "),
        CARBON_OF_DRY.0,
        CARBON_OF_DRY.1,
        100.0 * told.captured.0,
        100.0 * told.captured.1,
        if told.captured_is_default { " (our default)" } else { "" },
        told.gwp.words(),
    ));
    document.toned(Tone::Caution, "An estimate, not an offset: not net of the farm's own energy, transport and residue, and not to be claimed by both supplier and farm.");
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
