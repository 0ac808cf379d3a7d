# How a refusal is put together.
not-accepted = { $place }: `{ $seen }` is not accepted; accepted: { $accepted }
is-missing = { $place } is missing; accepted: { $accepted }
finding-row = { $file } row { $row }
findings-more = and { $count } more
nearest = ; nearest: { $names }

# Why something was not done.
refused-not-ticked = Were these fed too? They have no tick: { $lines }.
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

# Why a daybook could not be opened, read or written to.
book-missing = there is no daybook at `{ $path }`
book-exists = `{ $path }` is there already; accepted: the name of a file that is not there yet
book-not-one = `{ $path }` is not a daybook: { $why }
no-book-other-program = it is a database of another program
no-book-folder = it is a folder
no-book-empty = it is empty
no-book-no-sqlite = it is no SQLite file
book-newer = `{ $path }` has schema { $found }; accepted: schema { $known } or older
book-locked = `{ $path }` is in use by another program; nothing was written
book-disk-full = the disk holding `{ $path }` is full; nothing was written
book-read-only = `{ $path }` can be read but not written to: file, folder or disk is read-only
book-unfolded = `{ $path }` lies where nothing can be written, and `{ $beside }` beside it still holds pages of it; accepted: both copied to a folder you may write to
book-moved = `{ $path }` was moved, removed, replaced or cut short while it was open here, so nothing is kept
book-not-whole = `{ $path }` is not whole, so nothing is handed out of it: { $first } ({ $flaws } in all)
book-damaged = `{ $path }` is damaged: { $what }
book-nothing-left = no record of `{ $path }` can be read and proved, so no new book was made
book-settings-lost = the farm's settings can't be read from `{ $path }`, and a book can't do without; no new book was made
book-shut = `{ $path }` could not be opened; accepted: a file this user may read, in a folder with room
book-file = `{ $path }` could not be { $deed ->
    [looked-at] looked at
    [placed] put in its place
   *[opened] opened
}
book-work-refused = the database refused work on `{ $path }`
book-not-taken = the daybook does not take this: { $what }
book-rule-broken = { $rule ->
    [CHECK] a figure or word in it is none that the book can hold
    [UNIQUE] a number or id in it is taken
    [NOT-NULL] something in it is missing
   *[other] it points to a record that is not there
}
book-broken-off = a record of this batch could not be written, so none was kept
book-not-brought-up = `{ $path }` is of schema { $found } and was left as it is, since no verified copy of it could be made first: { $why }
book-copy-not-whole = the copy `{ $path }` is not whole and was removed: { $what }

# Why the book does not take a record.
record-not-accepted = record `{ $id }`: `{ $field }` is `{ $seen }`; accepted: { $accepted }
record-conflict = This is in the book already, as record { $seq }. There `{ $field }` is { $kept }, here it is { $asked }. The book keeps what it has. To record this too, enter it anew (`{ $id }` is taken).
record-closed-stays = record `r{ $seq }` closed a month and can't be struck; accepted: another version with `month --close --why`
record-version-out-of-turn = version { $seen } of { $month } is out of turn; accepted: version { $next }
record-none = there is no record `r{ $seq }`
record-not-a-lot = record `r{ $seq }` is no ticket, so it has no lot
record-not-a-sheet = record `r{ $seq }` is no sheet, so nothing can be fed by it
record-not-a-cohort = record `r{ $seq }` is no cohort, so nothing is harvested from it
record-cohort-struck = the cohort of record `r{ $seq }` is struck by record `r{ $by }`
record-cohort-in-use = the cohort of record `r{ $seq }` can't be struck while these records stand: { $by }
record-stream-in-use = the stream of record `r{ $seq }` can't be struck while loads of it stand: { $by }; accepted: each corrected to another stream first
record-lot-refused = the lot of record `r{ $seq }` was refused at the dock and never was in stock
record-lot-struck = the ticket of record `r{ $seq }` is struck by record `r{ $by }`, so it has no lot
record-before-lot = record `{ $id }` happened at `{ $at }`, before the lot of record `r{ $lot_seq }` came in at `{ $came }`
record-strike-stands = record `r{ $seq }` is a strike, and a strike stands; accepted: a record of any other kind, or the voided thing entered anew
record-struck-already = record `r{ $seq }` is struck already, by record `r{ $by }`
record-last-farm = record `r{ $seq }` holds the farm's only settings; accepted: new settings first
record-weight-left = weight has left the lot of record `r{ $seq }` by records { $by }; accepted: these struck first
record-ambiguous = `{ $reference }` is the id of record `r{ $by_id }` and the number of record `r{ $by_number }`; accepted: `r{ $by_id }` or `r{ $by_number }`
record-not-a-seal = `{ $seen }` is not a seal; accepted: a record number, a hyphen and at least 8 digits of its digest, such as `57-1a2b-3c4d-5e6f-7a8b`
record-read-back = record `{ $id }` reads back otherwise than it was written; nothing was kept
