# What was seen that is unlikely.
doubt-ahead = { $at } lies in the future (now is { $now })
doubt-far-from-last = { $at }, where the book's last record is of { $last }
doubt-clock = this machine's clock says { $now }, and the book's last record was written at { $last }
doubt-no-net = the net weight is zero
doubt-density = { $weight } in { $litres } is { $density }
doubt-unusual = { $weight }, where { $usual } is usual
doubt-same-load = the same { $weight } of { $stream } was weighed in a few minutes before or after
doubt-alike = `{ $supplier }` is new in the book; `{ $known }` is there already
doubt-may-hold = { $stream } may hold { $kind }, nobody knows how much
doubt-off-table = { $pct } %, where the table has { $mean } ± { $spread }
doubt-second-meal = { $group } was fed { $weight } that night
doubt-too-old = { $lot } ({ $stream }), { $days } days old
doubt-larvae = { $larvae } larvae
doubt-crowded = { $larvae } larvae a cm2
doubt-hatched = hatched { $day }
doubt-larva-weight = { $mg } mg a larva
doubt-larva-weight-alive = { $mg } mg a larva if none has died
doubt-more-larvae = { $all } larvae with the harvests before, of { $began }
doubt-above-feed = { $larvae } of larvae from { $fed } fed
doubt-oversold = { $sold } sold of { $harvested } harvested
doubt-night = the night of { $night }

# What to look at then.
ask-time = Is the time right?
ask-year = Is the year right?
ask-clock = Is this machine's clock right?
ask-empty = The container looks empty.
ask-tare = Are tare, unit and container right?
ask-unit-and-mark = Are unit and decimal mark right?
ask-mark-missing = Maybe a decimal mark is missing.
ask-weighed-already = Maybe this bucket was weighed in already.
ask-same-supplier = If it is the same one, use the name in the book.
ask-parts = Look, take them out and enter their weight.
ask-share = Moisture is in per cent: 36, not 0.36.
ask-stream-and-test = Are stream and test right?
ask-meal-already = Maybe this meal was written down already. A mix asked for anew says what is still due.
ask-really-good = Sour smell, mould or slime make larvae and people ill. Is it really good?
ask-digits = Are all digits there, and none too many?
ask-dry-more = Dry it one minute more and weigh again. If it chars, use the weight before.
ask-crowd = Are count, trays and area right?
ask-date = Are day, month and year right?
ask-tray-unit = Is the unit right? 60x40cm is 0.24 m2.
ask-centimetres = Is it in centimetres?
ask-same-larvae = Are weight and count of the same larvae?
ask-both-counts = Are both counts right?
ask-weight-and-cohort = Are weight and cohort right?
ask-every-harvest = Is the weight right, and is every harvest written down?
ask-fed-already = Is it fed already?

# From where on it is asked about.
doubt-told = `{ $field }`: { $seen } ({ $bound })
doubt-bounded = { $seen } ({ $bound })
doubt-asked = { $side ->
    [always] always asked
    [below] asked below { $bound } { $unit }
   *[above] asked above { $bound } { $unit }
}, { $source }
doubt-still-dries = the last two weights are { $loses } g apart, of a sample of { $wet } g, so it may not be dry yet
doubt-drying-source = as the forage test of Saskatchewan has it: dry until it loses less than 1 g
doubt-mean-weights = our default around mean harvest weights of 38 to 220 mg (Broeckx et al. 2021; Feedipedia node 16388)
doubt-unit = { $id ->
    [entry-ahead] minutes ahead of the clock
    [entry-far-before] days before the book's last record
    [entry-far-after] days after the book's last record
    [clock-behind] minutes before the book's last record was written
    [clock-ahead] days after the book's last record was written
    [net-zero] g net
    [net-too-dense] in a container
    [load-by-hand] in one load
    [load-unusual] times what this supplier's loads of this stream weigh
    [load-twice] minutes since the same load
    [moisture-share] % moisture
    [sample-still-dries] g of 100 g
    [moisture-off-book] standard deviations from the stream table
    [lot-too-old] times the days it may be used
    [larvae-count] larvae in a cohort
    [larvae-crowded] larvae a cm2
    [hatch-day] days old
    [tray-area] m2 a tray
    [layer-depth] cm of feed
    [larva-weight] mg a larva
    [larvae-more] times as many as the cohort began with
    [larvae-above-feed] times the feed since the cohort hatched
    [sold-above-harvested] times what was harvested
    [fed-ahead] nights to come
   *[none] { "" }
}
