# Where a load went, or what went into larvae; and the sheet to act on.
trace-title = Trace of { $subject }
recall-title = Recall sheet: { $subject }
trace-reached = { $lots ->
    [one] { $lots } lot
   *[other] { $lots } lots
}, { $cohorts ->
    [0] fed to no cohort yet
    [one] fed to { $cohorts } cohort
   *[other] fed to { $cohorts } cohorts
}, { $harvests ->
    [one] { $harvests } harvest
   *[other] { $harvests } harvests
}, { $sales ->
    [one] { $sales } sale
   *[other] { $sales } sales
}; still on hand: { $weight }.
trace-tickets = { $count ->
    [one] ticket
   *[other] tickets
} { $names }
trace-supplier = supplier { $name }
trace-of-buyer = buyer { $name }
trace-cohort = cohort { $cohort }
trace-harvest-of = harvest r{ $seq } of cohort { $cohort }
trace-issued = { $issuer }, as the book tells it on { $at }
trace-the-farm = the farm
trace-newest-cohort = The newest cohort of that name, r{ $seq }. Earlier ones go by their records: { $older }.
trace-up-to-harvest = What the cohort was fed on nights after this harvest is left out. A sale names a cohort, not a harvest: all sales of the cohort are listed.
trace-sales-untraced = Sales to { $name } that name no cohort, so nothing can be traced from them: { $records }.
trace-who-ate = Who ate of it
trace-whose-feed = Whose feed it was
trace-went-in = What went in
trace-by-night = Night by night
trace-harvests = Harvests
trace-sales = Sales
recall-what = What is recalled
recall-on-trays = 1. Still on trays: feed them nothing more of it, sell nothing of them
recall-taken-off = 2. Taken off: hold what is still in the store
recall-gone = Ended, and no harvest since is on record; ask where they went: { $cohorts }
recall-buyers = 3. Buyers to tell: who got what, and when
recall-on-hand = 4. On hand: set aside, mark, feed nothing of it
recall-left = 5. Left another way
recall-went-in = 6. What went in
recall-own = what is recalled
recall-eaten = they ate of it
recall-alike = same supplier and stream
recall-whom-to-tell = Whom to tell, how fast and in which words is for your local authority to say: call it before you call it done.

# Its tables.
trace-touched = touched
trace-another-way = another way
trace-way = way
trace-ate = ate of it
trace-ate-in-all = ate in all
trace-nights = nights
trace-now = now
trace-its-share = its share
trace-share-pct = share %
trace-harvest = harvest
trace-buyer = buyer
trace-product = product
trace-paid = paid
trace-on-trays-then = on trays then
trace-more-rows = ... and { $more } more rows; `--csv` lists them all.
trace-no-ticket = No ticket.
trace-none-left = Nothing left another way.
trace-no-cohort = No cohort.
trace-none-fed = Nothing was fed to it.
trace-none-since = None on record since they ate of it.
trace-none-then = no cohort
trace-not-said = not said
trace-nothing-else = nothing else
trace-under = under { $number }
trace-bought-that-night = bought that night
trace-on-trays = on { $trays } trays
trace-ended = ended { $day }: { $why }
trace-others = Other cohorts that ate of the same lots: { $cohorts }. Once a lot is suspected: `trayful recall LOT`.
trace-before = Left out, since they were before the day any of these cohorts first ate of it: { $records }.
product = { $item ->
    [sold-live] live larvae
    [sold-dried] dried larvae
    [sold-frass] frass
   *[other] { $item }
}

# What nobody knows, and what the rules say.
trace-ask = What the book can't tell: ask
trace-whose-unknown = Fed to a group in which no cohort of the book was due, so whose it was is not known; any on trays then may have had it:
trace-no-cohort-sales = Sales since the first of these meals that name no cohort; any of them may be of these larvae:
trace-rules = What the rules on use say now
trace-larvae = larvae that ate of it
trace-lot = lot { $lot } ({ $stream } from { $supplier })
trace-bought = { $stream } bought the same night
trace-classes = For { $whose }; classes that went in: { $classes }
trace-use = { $larvae_for }{ $own ->
    [true] { " " }(this farm's use)
   *[false] { "" }
}: { $what }
trace-rule = { $ruling ->
    [allowed] allowed
    [ask] ask
   *[barred] barred
}, for { $of }: { $reason } [{ $source }, { $origin }]
trace-brought-in-by = Brought in by { $by }
trace-class-unknown = Not in the stream table, so what class it is, and what that bars, is not known: { $streams }
trace-strictest = Larvae keep the strictest class of all they ate for their whole life: what they may be used for goes down, never up. The rules are a dated summary from secondary sources and no legal advice; check with your local authority.
trace-shared-group = A feed group is fed as one: every cohort that was due in a group that got any of it is told, none is left out because its share is small. Weights are by share: the group's weight by the dry matter the stage table asks for each cohort (our rule, as on the night's sheet), to the gram.
trace-whole-weight = A sale names cohorts and not whose weight was how much, so its whole weight is told.
