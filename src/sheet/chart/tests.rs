use super::*;

/// Simulated by the matrices of Machado, Oliveira and Fernandes 2009 (IEEE
/// Transactions on Visualization and Computer Graphics 15(6), severity 1.0,
/// applied to linear RGB); the distance is CIE 1976 in L*a*b*, where 2.3 is
/// just noticeable. At least 20 of it for every reader is our default.
#[test]
fn colours_are_apart_for_every_reader() {
    const SIGHTS: &str = "
full    1.000000  0.000000  0.000000   0.000000  1.000000  0.000000   0.000000  0.000000  1.000000
protan  0.152286  1.052583 -0.204868   0.114503  0.786281  0.099216  -0.003882 -0.048116  1.051998
deutan  0.367322  0.860646 -0.227968   0.280085  0.672501  0.047413  -0.011820  0.042940  0.968881
tritan  1.255528 -0.076749 -0.178779  -0.078411  0.930809  0.147602   0.004733  0.691367  0.303900";
    for line in SIGHTS.trim().lines() {
        let (sight, numbers) = line.split_once(' ').expect("a sight");
        let numbers = numbers.split_whitespace().map(|number| number.parse());
        let numbers: Vec<f64> = numbers.collect::<Result<_, _>>().expect("numbers");
        let matrix = [0, 3, 6].map(|at| [numbers[at], numbers[at + 1], numbers[at + 2]]);
        let seen = COLOURS.map(|colour| lab(times(&matrix, linear(colour))));
        for (at, one) in seen.iter().enumerate() {
            for (other, two) in seen.iter().enumerate().skip(at + 1) {
                let squares = one.iter().zip(two).map(|(a, b)| (a - b).powi(2));
                let apart = squares.sum::<f64>().sqrt();
                let (one, two) = (COLOURS[at], COLOURS[other]);
                assert!(apart >= 20.0, "{sight}: {one} {two} {apart:.1}");
            }
        }
    }
    // The scale itself: white is L* 100, and red and green of one lightness
    // come near each other for deutans only.
    assert!((lab(linear("#ffffff"))[0] - 100.0).abs() < 0.01);
}

fn linear(colour: &str) -> [f64; 3] {
    [1, 3, 5].map(|at| {
        let part = u8::from_str_radix(&colour[at..at + 2], 16).expect("a colour");
        let part = f64::from(part) / 255.0;
        if part <= 0.04045 {
            part / 12.92
        } else {
            ((part + 0.055) / 1.055).powf(2.4)
        }
    })
}

fn times(matrix: &[[f64; 3]; 3], rgb: [f64; 3]) -> [f64; 3] {
    matrix.map(|row| (row.iter().zip(rgb).map(|(a, b)| a * b).sum::<f64>()).clamp(0.0, 1.0))
}

/// CIE L*a*b* of linear sRGB under D65.
fn lab(rgb: [f64; 3]) -> [f64; 3] {
    const TO_XYZ: [[f64; 3]; 3] = [
        [0.433_891, 0.376_235, 0.189_906],
        [0.212_673, 0.715_152, 0.072_175],
        [0.017_752, 0.109_442, 0.872_756],
    ];
    let root = |share: f64| {
        if share > 216.0 / 24389.0 {
            share.cbrt()
        } else {
            (24389.0 / 27.0 * share + 16.0) / 116.0
        }
    };
    let [x, y, z] = TO_XYZ.map(|row| root(row.iter().zip(rgb).map(|(a, b)| a * b).sum()));
    [116.0 * y - 16.0, 500.0 * (x - y), 200.0 * (y - z)]
}

fn chart(form: Form) -> Chart<String> {
    let bars = Chart::new(
        Form::Bars,
        "kg by week",
        "two weeks",
        vec!["1-7", "8-14"],
        vec![("bread", vec![10.0, 20.0]), ("plum", vec![30.0, 20.0])],
    );
    Chart { form, ..bars }.map(&Said::in_english)
}

#[test]
fn heights_are_in_proportion() {
    let drawn = svg(&chart(Form::Bars), WIDE);
    let heights: Vec<f64> = drawn
        .split("<rect ")
        .skip(1)
        .filter(|rect| rect.contains("stroke=\"#fff\""))
        .filter_map(|rect| {
            let height = rect.split("height=\"").nth(1)?.split('"').next()?;
            height.parse().ok()
        })
        .collect();
    assert_eq!(heights.len(), 4);
    assert!((heights[1] / heights[0] - 3.0).abs() < 0.02, "{heights:?}");
    assert!((heights[2] / heights[0] - 2.0).abs() < 0.02, "{heights:?}");
    assert!(drawn.contains("<title>kg by week</title><desc>two weeks</desc>"));
}

#[test]
fn plain_bars_have_no_colour_and_name_their_values() {
    insta::assert_snapshot!(plain_bars(&chart(Form::Bars)).join("\n"), @"
    kg by week
      1-7   ######################################## 40
      8-14  ######################################## 40
    ");
    insta::assert_snapshot!(plain_bars(&chart(Form::Lines)).join("\n"), @"
    kg by week
      1-7 bread   ############# 10.0
      1-7 plum    ######################################## 30
      8-14 bread  ########################### 20
      8-14 plum   ########################### 20
    ");
}

#[test]
fn rows_stand_on_either_side_of_nothing() {
    let chart = Chart::new(
        Form::Rows,
        "profit",
        "d",
        vec!["price of live larvae", "wages <paid>"],
        vec![("change", vec![20.0, -5.0])],
    );
    let chart = chart.map(&Said::in_english);
    let drawn = svg(&chart, WIDE);
    let number = |rect: &str, name: &str| -> f64 {
        let rest = rect.split(&format!("{name}=\"")).nth(1).expect("a number");
        rest.split('"')
            .next()
            .expect("its end")
            .parse()
            .expect(name)
    };
    let rects: Vec<&str> = drawn.split("<rect ").skip(1).collect();
    let [up, down] = rects.as_slice() else {
        panic!("{drawn}");
    };
    assert!((number(down, "x") + number(down, "width") - number(up, "x")).abs() < 0.11);
    assert!((number(up, "width") / number(down, "width") - 4.0).abs() < 0.02);
    assert!(drawn.contains(">+20</text>") && drawn.contains(">-5.0</text>"));
    assert!(drawn.contains("wages &lt;paid&gt;"), "{drawn}");
    insta::assert_snapshot!(plain_bars(&chart).join("\n"), @"
    profit
      price of live larvae  ######################################## +20
      wages <paid>          ########## -5.0
    ");
}

#[test]
fn what_is_not_known_is_a_gap_and_what_shows_nothing_has_no_legend() {
    let series = vec![
        ("moisture", vec![70.0, f64::NAN, 60.0, 65.0]),
        ("least", vec![60.0; 4]),
        ("missing", vec![0.0; 4]),
    ];
    let days = vec!["day 0", "day 1", "day 2", "day 3"];
    let drawn = svg(
        &Chart::new(Form::Lines, "t", "d", days, series).map(&Said::in_english),
        WIDE,
    );
    let of = |name: &str| drawn.matches(&format!(", {name}: ")).count();
    assert_eq!((of("moisture"), of("least")), (3, 4));
    // Neighbours that are both known: one pair, three, three; two in the legend.
    assert_eq!(drawn.matches("stroke-width=\"1.6\"").count(), 1 + 3 + 3 + 2);
    assert!(!drawn.contains(">missing</text>"), "{drawn}");
}

#[test]
fn labels_that_find_no_room_are_left_out() {
    let days: Vec<String> = (0..60).map(|day| format!("Wed {day:02} Nov")).collect();
    let bars = Chart::new(Form::Bars, "t", "d", days, vec![("fed", vec![1.0; 60])]);
    let shown = svg(&bars.map(&Said::in_english), WIDE)
        .matches(" Nov</text>")
        .count();
    // 324 wide, two rows of labels 44 wide each.
    assert!((10..=15).contains(&shown), "{shown}");
}

#[test]
fn empty_and_odd_values_draw_something_finite() {
    for values in [vec![], vec![0.0], vec![-5.0], vec![f64::NAN]] {
        let odd = Chart::new(Form::Bars, "t", "d", vec!["a"], vec![("s", values)]);
        let odd = odd.map(&Said::in_english);
        for form in [Form::Bars, Form::Lines, Form::Rows] {
            let odd = Chart {
                form,
                ..odd.clone()
            };
            let drawn = svg(&odd, NARROW);
            assert!(!drawn.contains("NaN") && !drawn.contains("inf"), "{drawn}");
        }
    }
}
