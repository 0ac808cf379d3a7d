# A file of tickets taken in.
import-title = Import of { $file }
import-told = { $new } new, { $already } already in the book, { $refused } refused loads among the new; net { $weight }
import-kept = Kept as no. { $first } to { $last }. To strike one: trayful strike TICKET --why REASON
columns-of-sheet = Sheet { $sheet }:
columns-one = { $column } is read from { $cell }, “{ $heading }”
columns-left-out = Without such headings, so left out: { $sheets }
columns-guessed = which column of `{ $file }` is what is our guess, and nobody said that it is right; nothing was recorded
columns-hint = if it is right: trayful farm --columns "{ $columns }", then the same command again
columns-kept = Which column is what is kept in { $file }.
import-taken-as = “{ $word }” was taken as { $stream }.

# Whether the book is whole, and its copies.
check-title = Check of { $file }
check-whole = The book is whole: { $records ->
    [one] { $records } record
   *[other] { $records } records
} read back and compared, { $tickets ->
    [one] { $tickets } ticket
   *[other] { $tickets } tickets
} numbered without a gap.
check-not-whole = The book is NOT whole: { $flaws ->
    [one] { $flaws } flaw
   *[other] { $flaws } flaws
}.
check-seal-there = The printed seal is in the book, unchanged.
check-tables-shipped = Tables: { $streams ->
    [one] { $streams } stream
   *[other] { $streams } streams
}, all as shipped.
check-tables = Tables: { $streams ->
    [one] { $streams } stream
   *[other] { $streams } streams
}, { $own }.
check-table-from = { $name } from { $path }
check-seal = Book seal { $seal }. A book cut short at its end looks whole by itself: compare the seal with one printed earlier, `trayful check --seal SEAL`.
keep-title = Copy kept in { $file }
keep-whole = Read back whole, seal { $seal }. Keep it on another disk.
papers-title = Written to { $folder }
papers-what = Manual pages in man, completions for shells in completions, what answers to --json look like in schema.
brought-up = The daybook was brought from schema { $from } to { $to }. As it was, it is kept in { $copy }, read back and whole.

# What a check of the book finds.
flaw-structure = the file's structure is damaged: { $line }
flaw-file = the file is damaged: { $why }
flaw-orphan = a row{ $of ->
    [0] { "" }
   *[other] { " " }of record { $of }
} in `{ $table }` points to a row that `{ $parent }` does not hold
flaw-guard-missing = the { $sort } `{ $name }` is missing
flaw-guard-changed = the { $sort } `{ $name }` was changed
flaw-foreign-trigger = the trigger `{ $name }` is none of the book's
flaw-table = a table could not be read: { $why }
flaw-misplaced = record { $seq } has a row in `{ $table }` that does not fit it
flaw-number = record { $seq } is ticket #{ $number } where #{ $next } was due
flaw-missing = record { $first } is missing
flaw-missing-some = records { $first } to { $last } are missing
flaw-unverified = { $missing }, so record { $seq } can't be verified
flaw-no-digest = record { $seq } has no digest: { $why }
flaw-changed = record { $seq } was changed: its content does not give its digest
flaw-changed-or-before = record { $seq } was changed, or the digest of record { $before } was: content and digest before do not give its digest
flaw-unreadable = record { $seq } can't be read: { $why }
flaw-replaced = record { $seq } has the digest `{ $now }` and not `{ $prefix }` as printed: it or one before it was replaced
flaw-cut-off = record { $seq } was printed as the seal `{ $mark }` and the book ends at record { $last }: at least { $gone } are gone. Its end was cut off, a file ending in `-wal` that lay beside it is missing, or this is an older copy
flaw-seal-not-there = its seal `{ $mark }` is not in the book
flaw-mark-stray = a sum of stock is kept at record { $mark }, where none belongs
flaw-mark-wrong = the sums of stock kept at record { $mark } are not those of the records up to it

# Files, the demo and the page.
written = Written: { $file }
demo-plays = An invented farm, played for { $days } days into { $file } ...
demo-next = Three things to try next
demo-next-today = Today at a glance: trayful --daybook { $file }
demo-next-weigh = Weigh in a bucket of your own: trayful --daybook { $file } weigh
demo-next-month = All of last month, to hand out: trayful --daybook { $file } month { $month }
demo-came-in = Buckets came in
demo-ticket = ticket
demo-stopped = The last of them was stopped at the dock: there was bone in it, and what touched meat is barred here. No mix can use it.
demo-sites = { $sites } invented farms, a book each
site = site
site-book = book
site-month = month
dock-not-encrypted = What tablets send over this network is not encrypted: others on it could read it.
certificate-made = Made a certificate for { $names }, good until { $until }: { $cert }. Its key, { $key }, lets whoever has it pose as this page: give it to nobody. From the next start on: trayful dock --certificate { $cert } --key { $key }
certificate-trust =
    To trust this page, open { $from } on each tablet and install it as a certificate for websites.
    Caution: a tablet believes what it trusts. First hold the fingerprint it shows against this one, sign by sign:
    { $fingerprint }
    Where they differ, stop: someone is in between. Ask who looks after your network before you put a certificate on a device.
dock-stop = Stop with Ctrl-C; what was acknowledged is in the book.

# Where a file may be written.
target-book = `{ $file }` is a daybook or goes with one, and is never written over; accepted: the name of another file
target-table = `{ $file }` is where one of the farm's tables is read from; accepted: the name of another file
target-twice = `{ $file }` is named twice; accepted: a name of its own for each file
target-there = `{ $file }` is there already
target-over = `--over` writes over it
target-ask = { $there }. Write over it?
target-left = `{ $file }` was left as it is; nothing was written
unprinted = Not all of it could be printed: { $why }. What was recorded stands in the book
file-too-large = `{ $file }` has more than { $most } MiB; accepted: less, in several files where need be

# A book that can't be read.
check-unreadable = a copy made by `trayful keep` is for this; `trayful check --rescue NEW` writes what can still be read into a new book

# A damaged book, and the new one made of what can be read of it.
rescue-title = What can be read of { $file }, in { $new }
rescue-told = { $kept ->
    [one] { $kept } record kept
   *[other] { $kept } records kept
}, { $gone ->
    [0] none lost of those the file still names.
    [one] { $gone } lost. Enter anew what you have on paper:
   *[other] { $gone } lost. Enter anew what you have on paper:
}
lost = { $what }: { $why }
lost-one = record { $seq }
lost-some = records { $first } to { $last }
lost-ticket = ticket #{ $number }, { $id }
lost-gone = nothing is left of it
lost-unreadable = can't be read, { $why }
lost-changed = what it says does not give its digest, so it was changed
lost-unproved = can be read but not proved, since nothing is left of the record before it
lost-hangs = it hangs on record { $on } of the old book, which is lost
rescue-strikes = A strike or a mix fed may be among the lost: what it struck counts again, and what it fed is in stock again. Look through `trayful stock` and weigh what is there.
rescue-settings-given = The farm's settings were lost. Those of the book you named were written as the last record.
rescue-renumbered = Tickets #{ $from } to #{ $to } have new numbers now: #{ $now } to #{ $last }.
rescue-renumbered-one = Ticket #{ $from } is #{ $now } now.
rescue-seals = The new book has seals of its own: the last record kept had { $old }, the new book ends with { $seal }. Papers printed before bear old seals, so keep { $file } as well; `--json` lists them all.
rescue-settings = `--settings BOOK` takes them from a copy, or from a new book made by `trayful begin`
rescue-nothing = a copy made by `trayful keep` is for this
demo-month-today = Of this, today: { $loads ->
    [one] { $loads } load
   *[other] { $loads } loads
}, { $weight }
