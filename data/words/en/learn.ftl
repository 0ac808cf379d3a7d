# What the farm's own records say against the tables.
learn-title = What the farm's own records say
learn-offered-count = { $waiting ->
    [0] Nothing waits for you to decide; taken over so far: { $taken }.
   *[other] { $waiting } of the book's figures could be changed: you decide; taken over so far: { $taken }.
}
learn-intro = Your own records, beside the figures of the book. Only you change a figure, but for one thing: after { $tests } tests (our default), the mix uses a supplier's own moisture and density for lots that have no test, and the sheet says so.
learn-moisture = Moisture by supplier
learn-density = Bulk density by supplier
learn-tests = tests
learn-own = own { $unit }
learn-one-lot = one lot ±
learn-most-lots = 90 % of lots
learn-book = book
learn-in-use = in use
learn-used = yes: { $origin }
learn-not-yet = not yet, { $tests } tests are needed
learn-origin = { $tests ->
    [one] { $tests } test of this supplier's
   *[other] { $tests } tests of this supplier's
}
learn-origin-drawn = { $own }, { $pct } % drawn to the book
learn-moisture-note = A supplier's mean, drawn towards the book by how sure each is (normal mean with normal prior: Gelman et al., Bayesian Data Analysis, from memory, unverified). A new lot is not the mean, so its spread is wider. Tests of the last two years count. An oven counts with 1 point of error of its own, a microwave or what was stated at the dock with 2, a squeeze with more (all our defaults).
learn-density-note = From loads whose volume was measured (--volume). One taken from the container says only what it holds brim-full.
learn-backtest = Tried on the past: of { $tests } later tests, what was learned before erred by { $error } points on average, the book by { $book_error }: { $than }. { $covered } % lay inside the stated { $interval } % interval (± { $covered_error } for so many).
learn-less-than-book = { $pct } % less than the book
learn-no-better = no better than the book
learn-half = half of them
learn-cohorts = cohorts

# How long streams keep.
learn-keeping = Keeping time by what spoiled
learn-lots = lots
learn-spoiled = spoiled
learn-a-quarter = a quarter by, days
learn-interval = 90 % interval
learn-book-days = book, days
learn-keeping-note = A quarter of the lots, and 8 spoiled ones at the least, are our defaults. A lot fed, or cleared for another reason than discard --spoiled, says only that it kept so long (Kaplan and Meier 1958, from memory, unverified). Lots near their end are fed first, and the spoiled are found a little late: the figure leans to the long side.
keeping-too-few = { $spoiled } lots found spoiled, at least { $needed } are needed
keeping-no-end = too many lots keep beyond any age found spoiled

# What larvae got.
learn-rations = Ration by stage
learn-got = got, mg a day
learn-asked = asked, mg a day
learn-ration-note = Dry matter a larva, divided by the days on the trays that the meals were for.
learn-left-out = { $stage }: { $count ->
    [one] { $count } cohort
   *[other] { $count } cohorts
} left out, fed on { $fed } of { $due } nights: too few to say what larvae need (our default: 4 in 5). If they are fed in batches, give cohorts their plan: trayful cohort add ... --feeding every-3
learn-ration-total = In all { $got } mg a larva over { $days } days (median of { $cohorts }), where the rations ask for { $due } mg.
learn-others-fed = others fed
learn-mg = mg a larva
learn-mg-a-day = mg a day
learn-with-result = what, and with which result
learn-studies-note = The shipped rations add up to 400 mg over days 5 to 14, as the first of these. How they are spread over the days, and that they last ten days, is our default. That larvae of three to four days reach full size in a week to ten days, and that many farms feed every second or third day, is common practice, no source.

# Conversion, own beside published.
learn-conversion = Conversion, own beside published
learn-figure-unit = { $name }, { $unit }
learn-own-figure = own
learn-published = published
learn-none-read = none read
learn-place = { $place ->
    [below] below it
    [above] above it
   *[within] within it
}
learn-published-by = { $name }: { $studies }.
learn-study = { $feed } { $low }-{ $high } ({ $boxes ->
    [unknown] n not told
   *[other] n = { $boxes }
})
learn-study-source = { $studies }: { $citation }; { $evidence }

# What could be taken over, and what was.
learn-waiting = Waiting for your word
learn-nothing-waits = Nothing: no default lies outside what the records say.
learn-offer = { $what }: { $from } to { $to } { $unit }; { $origin }.
learn-from-unknown = unknown
learn-to-take = To take it over: trayful learn --take { $key }
learn-taken = Taken over by { $who }: { $what } ({ $evidence }). To go back: trayful strike r{ $record } --why REASON
learn-keeps = { $stream } keeps { $days } days
learn-ration-times = ration of { $stage } times { $times }
keeping-subject = keeping time of { $stream }
keeping-origin = { $share } % of the lots spoiled by then; { $chance } % interval { $low } to { $high } days; { $spoiled } of { $lots } lots found spoiled
keeping-origin-no-end = { $share } % of the lots spoiled by then; { $chance } % interval from { $low } days on, no end seen; { $spoiled } of { $lots } lots found spoiled
ration-subject = ration of { $stage }
ration-unit = mg dry matter a larva and day
ration-origin = median of { $cohorts } cohorts, half of them from { $low } to { $high }

# Which mixes worked.
mixes-title = Which mixes worked
mixes-caution = What went together is not what caused it: season, room, eggs and hands change with the mix. Try a change on one cohort beside another before you believe it.
mixes-left-out = { $count ->
    [one] { $count } cohort is left out: a figure it needs was not taken, or it can't be
   *[other] { $count } cohorts are left out: a figure they need was not taken, or it can't be
}. The page of each cohort says which.
mixes-not-told = It can't be told yet which mixes worked: { $why }.
mixes-few-cohorts = { $cohorts ->
    [one] { $cohorts } cohort
   *[other] { $cohorts } cohorts
}, at least { $needed } are needed
mixes-our-default = { $why } (our default)
mixes-nothing-differs = no measure differs between cohorts
mixes-same-result = the result is the same in every cohort
mixes-all = All of them, the best first
mixes-ends = The best and the worst
mixes-tried = { $place } { $cohort }: { $mix }
mixes-part = { $stream } { $pct } %
mixes-traces = a trace of { $streams }
mixes-basis = Bioconversion is of dry matter, with the start weight taken off. The cost is that of the month of the last harvest, as on trayful money.
mixes-told = { $cohorts } cohorts. Told from the others, a cohort's bioconversion is off by { $error } points, by the mean alone { $mean_error }: { $verdict }.
mixes-tells = so the measures tell something
mixes-tells-nothing = so moisture, protein, fat, fibre, ash and ration tell nothing beyond the mean
mixes-swing = usual swing
mixes-points = points of bioconversion with it
mixes-constant = the same in all
mixes-unknown = not known for most
mixes-method = Ridge regression on standardised measures (Hoerl and Kennard 1970, from memory, unverified), with a penalty of { $penalty } by leave-one-out. A swing is one standard deviation. { $left_out ->
    [one] { $left_out } cohort is
   *[other] { $left_out } cohorts are
} left out for want of a measure.
mixes-measure = { $measure ->
    [moisture] moisture
    [protein] protein
    [fat] fat
    [fibre] fibre
    [ash] ash
   *[ration] ration
}
mixes-measure-unit = { $measure ->
    [moisture] % as fed
    [ration] mg dry matter a larva in all
   *[protein] % of dry matter
}
