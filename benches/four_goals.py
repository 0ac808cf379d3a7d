"""The four goals of `trayful mix --plain`, by HiGHS, from the same stock table and targets.

    python four_goals.py streams.csv stock.csv targets.toml

Written from the definition (src/blend/constraints.rs, tiers.rs) and sharing no
code with it. It takes what the bench writes: lots that may be fed, none too old,
windows, limits and caps; no volume, no purchase, no water. It neither breaks
ties nor rounds to the scale nor checks the rounded weights.
"""
import csv, json, sys, tomllib

import highspy
import numpy

SLACK, ANALYTE_SCALE = 1e-7, 0.1
INF = highspy.kHighsInf


class Rows:
    """Rows as HiGHS takes them."""

    def __init__(self):
        self.lower, self.upper, self.starts, self.index, self.value = [], [], [], [], []

    def add(self, terms, lower, upper):
        self.lower.append(lower)
        self.upper.append(upper)
        self.starts.append(len(self.index))
        for column, value in terms:
            self.index.append(column)
            self.value.append(value)


def lots_of(streams_file, stock_file):
    with open(streams_file, newline="") as file:
        streams = {row["stream"]: row for row in csv.DictReader(file)}
    with open(stock_file, newline="") as file:
        for row in csv.DictReader(file):
            stream = streams[row["stream"]]
            moisture = float(row["moisture_pct"] or stream["moisture_pct"]) / 100
            keeps = stream["keeps_days"]
            yield {
                "stream": row["stream"],
                "kg": float(row["kg"]),
                "moisture": moisture,
                "dry": 1 - moisture,
                "of_dry": {
                    key: float(text) / 100
                    for key, text in stream.items()
                    if key.endswith("_dm_pct") and text
                },
                "urgency": min(1.0, float(row["age_days"]) / float(keeps)) if keeps else 0.0,
                "price": float(row["price_per_kg"] or 0),
            }


def main(streams_file, stock_file, targets_file):
    lots = list(lots_of(streams_file, stock_file))
    with open(targets_file, "rb") as file:
        groups = tomllib.load(file)["group"]
    lower, upper, rows = [], [], Rows()
    goals = {"shortage": [], "outside": [], "urgent_kg": [], "cost": []}
    shortages, draws_of_lot = [], [[] for _ in lots]

    def column(most):
        lower.append(0.0)
        upper.append(most)
        return len(lower) - 1

    for group in groups.values():
        wanted = group["dry_matter_kg"]
        windows = group["window"]
        analytes = [measure for measure in windows if measure != "moisture_pct"]
        members = []
        for position, lot in enumerate(lots):
            if all(analyte in lot["of_dry"] for analyte in analytes):
                draw = column(lot["kg"])
                members.append((draw, lot))
                draws_of_lot[position].append(draw)
                goals["urgent_kg"].append((draw, lot["urgency"]))
                goals["cost"].append((draw, lot["price"]))
        short = column(wanted)
        shortages.append(short)
        rows.add([(draw, lot["dry"]) for draw, lot in members] + [(short, 1.0)], wanted, wanted)
        goals["shortage"].append((short, 1 / wanted))
        for measure, window in windows.items():
            for side, per_cent in window.items():
                bound = per_cent / 100
                if measure == "moisture_pct":
                    terms = [(d, l["moisture"] - bound / (1 - bound) * l["dry"]) for d, l in members]
                    scale = 1.0
                else:
                    terms = [(d, (l["of_dry"][measure] - bound) * l["dry"]) for d, l in members]
                    scale = ANALYTE_SCALE
                if side.endswith("min"):
                    terms = [(draw, -value) for draw, value in terms]
                if not side.startswith("limit"):
                    excess = column(INF)
                    terms.append((excess, -1.0))
                    goals["outside"].append((excess, 1 / (scale * wanted)))
                rows.add(terms, -INF, 0.0)
        for stream, per_cent in group.get("cap", {}).items():
            cap = per_cent / 100
            rows.add([(d, (l["stream"] == stream) - cap) for d, l in members], -INF, 0.0)
    for lot, draws in zip(lots, draws_of_lot):
        rows.add([(draw, 1.0) for draw in draws], -INF, lot["kg"])

    solver = highspy.Highs()
    solver.setOptionValue("output_flag", False)
    solver.setOptionValue("threads", 1)
    lp = highspy.HighsLp()
    count = len(lower)
    lp.num_col_, lp.num_row_ = count, len(rows.lower)
    lp.col_cost_ = numpy.zeros(count)
    lp.col_lower_, lp.col_upper_ = numpy.array(lower), numpy.array(upper)
    lp.row_lower_, lp.row_upper_ = numpy.array(rows.lower), numpy.array(rows.upper)
    lp.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    lp.a_matrix_.start_ = numpy.array(rows.starts + [len(rows.index)], dtype=numpy.int32)
    lp.a_matrix_.index_ = numpy.array(rows.index, dtype=numpy.int32)
    lp.a_matrix_.value_ = numpy.array(rows.value)
    solver.passModel(lp)

    told = {}
    for name, terms in goals.items():
        most = name == "urgent_kg"
        at = numpy.array([column for column, _ in terms], dtype=numpy.int32)
        by = numpy.array([value for _, value in terms], dtype=float)
        cost = numpy.zeros(count)
        cost[at] = by
        solver.changeColsCost(count, numpy.arange(count, dtype=numpy.int32), cost)
        sense = highspy.ObjSense.kMaximize if most else highspy.ObjSense.kMinimize
        solver.changeObjectiveSense(sense)
        solver.run()
        if solver.getModelStatus() != highspy.HighsModelStatus.kOptimal:
            sys.exit("HiGHS: " + solver.modelStatusToString(solver.getModelStatus()))
        best = solver.getInfo().objective_function_value
        told[name] = best
        slack = SLACK * max(1.0, abs(best))
        if most:
            solver.addRow(best - slack, INF, len(at), at, by)
        else:
            solver.addRow(-INF, best + slack, len(at), at, by)
    point = solver.getSolution().col_value
    told["short_dm_kg"] = sum(point[column] for column in shortages)
    # HiGHS may print a line of its own first.
    print("\n" + json.dumps(told))


main(*sys.argv[1:])
