# The stock on hand.
stock-title = Stock on hand
stock-nothing = Nothing on hand.
stock-weigh-first = Next: `trayful weigh` takes in the first bucket.
stock-total = { $lots ->
    [one] { $lots } lot on hand, { $weight }
   *[other] { $lots } lots on hand, { $weight }
}
stock-lot = lot
stock-on-hand = on hand
stock-age = age, days
stock-good-for = good for
stock-verdict = verdict
stock-estimated = { $weight } est.
stock-days = { $days } d
stock-days-past = { $days } d past
stock-moisture-tested = { $pct } { $method }
stock-moisture-learned = { $pct } learned
stock-moisture-book = { $pct } book
stock-more = ... and { $more } more lots; `trayful stock --all` lists them all.
stock-spoiling = Past or passing its keeping time by the next night: { $weight } in lots { $lots }
stock-out-of-mix = Out of every mix tonight, too old or found unfit: { $lots }
stock-look-first = Lots past their time: look at them in open air before use; don't put your nose in the bucket (mould and gases). Foul or mouldy ones go out with `trayful lot LOT discard`.
stock-listed = { $names } and { $more } more
stock-flags = Flags
stock-flag = { $name } { $stream }: { $flag }
lots-and-why = { $lots }: { $reason }
lot-used-up = Lot { $lot }: nothing left on hand
lot-next = What can be done: trayful lot { $lot } test, look, weigh or discard
