# How a refusal is put together.
not-accepted = { $place }: `{ $seen }` is not accepted; accepted: { $accepted }
is-missing = { $place } is missing; accepted: { $accepted }
finding-row = { $file } row { $row }
findings-more = and { $count } more
nearest = ; nearest: { $names }

# Why something was not done.
refused-not-ticked = not ticked: { $lines }; were they fed?
refused-not-found = there is no { $what ->
    [lot] lot
    [stream] stream
    [cohort] cohort
    [proposal] proposal
    [version] version
    [supplier-in-month] supplier in the month
    [supplier] supplier
    [buyer] buyer
    [harvest] harvest
    [ticket-not-struck] ticket that stands by the name
   *[record] record
} `{ $seen }`{ $nearest }
refused-too-much = lot `{ $lot }` holds { $held }, and { $asked } was asked for
refused-hangs = weight has left the lot of `{ $what }`, so it can't be struck; what hangs on it: { $hanging }
refused-too-late = { $what } was written more than two minutes ago, so it is not undone without a reason
refused-fed-already = sheet `r{ $sheet }` was fed already, in record `r{ $fed }`
refused-no-sheet = there is no sheet for the night of { $night } to record as fed{ $before }
refused-fed-before = ; the sheet of the night before, r{ $seq }, was fed as r{ $fed }
refused-not-a-sheet = record `{ $seen }` is no sheet that stands
refused-unplanned = the nights ahead could not be planned: { $why }
refused-nothing-due = no cohort is due for feed on the night of { $night }
refused-any-night = { $first } or any until { $last }
refused-had = fed tonight already: { $groups }
refused-later = by their feeding plan: { $cohorts }
refused-cohort-there = cohort `{ $name }` is on the trays already, since record `r{ $seq }`
refused-month-runs = { $month } runs until { $until } local time; accepted: a month that is over
refused-nothing-changed = { $month } is closed as version { $version }, and no figure has changed since
refused-demo = the embedded demo scenario can't be played: { $error }
