//! The goals in order by HiGHS, through Python's `highspy`, where it is found.

use std::io::Write;
use std::process::{Command, Stdio};

use trayful::blend::model::Goal;
use trayful::blend::{GOAL_SLACK, Plan};

mod python;

/// What HiGHS says of a plan.
#[derive(Debug)]
pub(crate) struct Told {
    /// The four goals, in order.
    pub values: Vec<f64>,
    /// Time on the processor in the solver's runs, all goals.
    pub milliseconds: f64,
}

/// Reads a model and its goals as JSON, solves the goals in order with the slack
/// of the definition, writes values and time.
const SCRIPT: &str = r#"
import json, sys, time
import numpy, highspy
told = json.load(sys.stdin)
inf = highspy.kHighsInf
bound = lambda x: inf if x is None else x
lp = highspy.HighsLp()
columns, rows = told["columns"], told["rows"]
lp.num_col_, lp.num_row_ = len(columns), len(rows)
lp.col_lower_ = numpy.array([-inf if c[0] is None else c[0] for c in columns], dtype=float)
lp.col_upper_ = numpy.array([bound(c[1]) for c in columns], dtype=float)
lp.row_lower_ = numpy.array([-inf if r[0] is None else r[0] for r in rows], dtype=float)
lp.row_upper_ = numpy.array([bound(r[1]) for r in rows], dtype=float)
lp.col_cost_ = numpy.zeros(len(columns))
starts, index, value = [0], [], []
for r in rows:
    for c, v in r[2]:
        index.append(c); value.append(v)
    starts.append(len(index))
lp.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
lp.a_matrix_.start_ = numpy.array(starts, dtype=numpy.int32)
lp.a_matrix_.index_ = numpy.array(index, dtype=numpy.int32)
lp.a_matrix_.value_ = numpy.array(value, dtype=float)
h = highspy.Highs()
h.setOptionValue("output_flag", False)
h.setOptionValue("threads", 1)
h.passModel(lp)
values, took = [], 0.0
for terms, maximise in told["goals"]:
    if not terms:
        values.append(0.0); continue
    cost = numpy.zeros(len(columns))
    for c, v in terms:
        cost[c] = v
    h.changeColsCost(len(columns), numpy.arange(len(columns), dtype=numpy.int32), cost)
    h.changeObjectiveSense(highspy.ObjSense.kMaximize if maximise else highspy.ObjSense.kMinimize)
    h.clearSolver()
    began = time.process_time()
    h.run()
    took += time.process_time() - began
    if h.getModelStatus() != highspy.HighsModelStatus.kOptimal:
        sys.exit("HiGHS: " + h.modelStatusToString(h.getModelStatus()))
    best = h.getInfo().objective_function_value
    values.append(best)
    slack = told["slack"] * max(1.0, abs(best))
    at = numpy.array([c for c, _ in terms], dtype=numpy.int32)
    by = numpy.array([v for _, v in terms], dtype=float)
    if maximise:
        h.addRow(best - slack, inf, len(at), at, by)
    else:
        h.addRow(-inf, best + slack, len(at), at, by)
print()
json.dump({"values": values, "milliseconds": 1e3 * took}, sys.stdout)
"#;

/// Solves the four goals and the tie-break of a plan; the error says why it can't be
/// compared. A HiGHS that is there and fails is no reason.
pub(crate) fn goals(plan: &Plan) -> Result<Told, String> {
    let Some(python) = python::with("highspy, numpy") else {
        return Err("no Python with highspy; `bash tests/run` installs one".to_owned());
    };
    let finite = |number: f64| number.is_finite().then_some(number);
    let goal = |goal: &Goal| serde_json::json!([goal.terms, goal.maximise]);
    let told = serde_json::json!({
        "columns": plan.model.columns.iter().map(|column| (finite(column.lower), finite(column.upper))).collect::<Vec<_>>(),
        "rows": plan.model.rows.iter().map(|row| (finite(row.lower), finite(row.upper), &row.terms)).collect::<Vec<_>>(),
        "goals": [goal(&plan.shortage), goal(&plan.outside), goal(&plan.urgent), goal(&plan.cost), goal(&plan.tie_break)],
        "slack": GOAL_SLACK,
    });
    let mut child = Command::new(&python)
        .args(["-c", SCRIPT])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .map_err(|error| error.to_string())?;
    let mut stdin = child.stdin.take().ok_or("no standard input")?;
    stdin
        .write_all(told.to_string().as_bytes())
        .map_err(|error| error.to_string())?;
    drop(stdin);
    let output = child
        .wait_with_output()
        .map_err(|error| error.to_string())?;
    assert!(
        output.status.success(),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    // HiGHS may print a banner first.
    let text = String::from_utf8_lossy(&output.stdout);
    let line = text.lines().last().unwrap_or_default();
    let told: serde_json::Value = serde_json::from_str(line).map_err(|error| error.to_string())?;
    let values = told["values"].as_array().into_iter().flatten();
    Ok(Told {
        values: values.filter_map(serde_json::Value::as_f64).collect(),
        milliseconds: told["milliseconds"].as_f64().unwrap_or_default(),
    })
}
