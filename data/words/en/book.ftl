# A file of tickets taken in.
import-title = Import of { $file }
import-told = { $new } new, { $already } already in the book, { $refused } refused loads among the new; net { $weight }
import-kept = Kept as no. { $first } to { $last }. To strike one: trayful strike TICKET --why REASON
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

# Files, the demo and the page.
written = Written: { $file }
demo-plays = An invented farm, played for { $days } days into { $file } ...
demo-next = Three things to try next
demo-next-today = Today at a glance: trayful --daybook { $file }
demo-next-weigh = Weigh in a bucket of your own: trayful --daybook { $file } weigh
demo-next-month = All of last month, to hand out: trayful --daybook { $file } month { $month }
demo-came-in = Buckets came in
demo-ticket = ticket
demo-stopped = The last of them was stopped at the dock. No mix can use it.
dock-not-encrypted = What tablets send over this network is not encrypted: others on it could read it.
dock-stop = Stop with Ctrl-C; what was acknowledged is in the book.
