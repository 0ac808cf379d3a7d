# What a field takes; it stands behind "accepted:".
accepted-reason = a reason of 1 to { $most } characters
accepted-name = a name of 1 to { $most } characters
accepted-who = initials or a name of 1 to { $most } characters
accepted-text = text of 1 to { $most } characters on one line
accepted-line = 1 to { $most } characters on one line
accepted-line-or-none = 1 to { $most } characters on one line, or `none`
accepted-number = a number from { $low } to { $high }
accepted-number-cell = a number from { $low } to { $high }, or empty
accepted-per-cent = per cent from 0 to { $most }
accepted-count = a count from { $least } to { $most }
accepted-whole = a whole number from { $least } to { $most }
accepted-day = a day such as { $day }
accepted-day-meant = year, month, day: { $meant }
accepted-day-either = year, month, day: { $one } or { $other }
accepted-month-meant = year and month: { $meant }
accepted-day-past = a day such as { $today }, not one to come
accepted-month = a month such as 2026-10
accepted-month-or-year = a month such as 2026-10, or a year such as 2026
accepted-month-to-close = a month with --close or --version; a year is the sum of its months
accepted-instant = an instant such as 2026-11-25T18:30:00Z
accepted-time = a local time such as 2026-11-25T18:30, or one with an offset such as 2026-11-25T18:30-07:00
accepted-time-with-offset = a time with its offset, such as 2026-11-01T01:30-07:00: the clock change skips or repeats this local time

# Numbers, weights and money as typed.
accepted-any-number = a number such as 12.5
accepted-whole-number = a whole number such as 60000
accepted-one-reading = `{ $one }` or `{ $other }`, whichever is meant{ $unsaid ->
    [true] ; the farm's setting `decimal_mark` settles it for good
   *[false] { "" }
}
accepted-if-meant = `{ $meant }`, if that is meant
accepted-decimals = decimals, such as 0.5 for a half
accepted-digits = at most 15 digits before the decimal mark
accepted-weight = digits with at most one decimal mark, and a unit, such as `32.2lb`
accepted-ounces = whole pounds and less than 16 oz, such as `12lb 3oz`
accepted-unit = lb, oz, kg, g or t
accepted-unit-after = lb, oz, kg, g or t after the number
accepted-with-unit = a number with lb, oz, kg, g or t, such as `32.2lb` or `12lb 3oz`
accepted-small-letters = small letters: `g` for grams, `t` for 1000 kg
accepted-not-ton = lb, kg, or t for 1000 kg (`ton` may mean 907, 1000 or 1016 kg)
accepted-at-rest = a reading at rest, not one from while the scale moved: weigh again
accepted-no-overload = a weight, not a scale's mark for overload or error
accepted-up-to-100t = at most 100 t in one entry
accepted-above-zero = a weight above zero
accepted-not-below-zero = a weight not below zero
accepted-step = a scale division from 1 g to 10 kg
accepted-step-typed = a scale division from 1 g to 10 kg, in kg or with its unit, such as 50g
accepted-volume = litres above zero such as `40L`, or US gallons such as `5gal`
accepted-litres = litres from 0 to 1000000
accepted-bulk-density = kg/m3 from 1 to 3000
accepted-percentage = a percentage from 0 to 100
accepted-nitrogen-factor = a nitrogen factor from 3 to 7, such as 6.25, 5.65, 5.60 or 4.76
accepted-money = an amount such as 96.00, with at most two decimals, up to 1000000000

# A bucket, a ticket, a correction.
accepted-scale-marks = marks as MARK=MEANING, apart by a blank; meanings: { $means }, joined by +
accepted-scale-port = NAME=PORT@SPEED-FORM such as dock=/dev/ttyUSB0@9600-8N1; name and the part from @ may be left out
accepted-scale-anew = a weight of this bucket; this one was taken for another. Put the bucket on the scale again
accepted-stream = a stream of the stream table
accepted-stream-listed = a stream of the stream table; `trayful streams` lists them
accepted-container = a named tare; known: { $known }
accepted-container-none = a named tare; none is on the books yet: `trayful farm --container NAME=TARE`
accepted-tare = the empty container's weight (0 if there is none), or a named container
accepted-tare-of-net = 0: `{ $net }` is net, the scale took the container off
accepted-gross = a weight such as 32.2lb, or a volume for an estimate
accepted-no-density = a weight: the bulk density of { $id } is not known
accepted-at-most-net = at most the net weight of { $net }
accepted-at-most-gross = at most the gross weight of { $most }
accepted-kind = what it is, such as bone, shell, pit or plastic
accepted-weight-kind = WEIGHT=KIND such as 0.6kg=bone
accepted-ticket-id = an id of 1 to 60 characters without blanks, not starting with `#`, and not `r` with digits, which names a record
accepted-correction = a supplier, stream, note or price other than what the ticket says
accepted-own-id = an id of its own; { $at } has it with other content
place-row = row { $row }
place-cell = sheet `{ $sheet }`, cell { $cell }
place-sheet-row = sheet `{ $sheet }`, row { $row }
accepted-a-ticket = at least one ticket
accepted-likely = a likely figure, or --sure for the whole file
accepted-verdict-cell = feed, pick out, compost, refuse, or empty
accepted-classes-cell = classes separated by blanks, or empty
accepted-yes-no-cell = yes, no, or empty
accepted-picked-weight = a weight for what was picked out

# A lot, a test, a leave.
accepted-lot = a lot on hand
accepted-feed-lot = a lot that may be fed; this one is { $why }
accepted-what-seen = what was seen, such as mouldy
accepted-parts-weight = the weight of the parts, as 2.1 lb
accepted-dry = a dry weight from 0 to the wet weight, both in grams
accepted-dried-by = oven or microwave
accepted-ask-first = a stream that is `ask first`; this one is barred, which leave does not lift: { $why }

# Larvae, the mix and what was fed.
accepted-cohort = the name of a cohort on its trays
accepted-cohort-alive = a cohort on its trays; this one ended at { $at } ({ $why }); to add to it, name its record r{ $seq }
accepted-counted = how the larvae were counted, in 1 to { $most } characters
accepted-tray-area = the area of one tray, 0.001 to 100 m2, as 0.24 or 60x40cm
accepted-depth = 0.1 to 100 cm
accepted-start-sample = a count from 1 and its grams above zero, as 200=0.31
accepted-larvae-weight = the fresh weight of the larvae, as 20.4 lb
accepted-counted-grams = larvae counted and their weight in grams
accepted-number-grams = NUMBER=GRAMS, such as 100=15.2
accepted-sample-grams = grams from 0.01 to 1000000
accepted-count-or-sample = a count of all or a sample, not both
accepted-residue = its weight, as its moisture or way is given
accepted-feed-stream = a stream that may be fed; this one is { $why }
accepted-buy = STREAM=LIMIT such as wheat-bran=40kg, or with its price per kg, wheat-bran=40kg@0.45
accepted-price = a price, as in --buy { $name }={ $kg }kg@0.40; the stream table has none
accepted-stream-once = each stream once
accepted-water = `never`, `last-resort`, or a weight with its unit
accepted-nights = nights from 1 to { $most }
accepted-group-new = a feed group for what is not on the sheet, as in GROUP:{ $lot }={ $weight }
accepted-group-of = one of the groups it goes to ({ $known }), as in { $first }:{ $lot }={ $weight }
accepted-a-line-fed = at least one line that was fed

# Money, months, what to trace.
accepted-amount = an amount such as 96.00, or minutes of labour, or kilowatt hours
accepted-amount-of-item = an amount not below zero; the item says whether it came in or went out
accepted-minutes = 0 to 1000000 minutes, of `labour` alone
accepted-kwh = 0 to 10000000 kilowatt hours, of `energy` alone
accepted-rate = a rate beside minutes or kilowatt hours, and no amount
accepted-first-rate = what { $of ->
    [labour] an hour costs, as 18.00
   *[energy] a kilowatt hour costs, as 0.21
}; nothing was written down before
accepted-weight-sold = the weight sold, as 12lb
accepted-reason-again = the reason for another version of a closed month
accepted-begin = one of: tickets, --cohort, --harvest, --supplier, --buyer
accepted-no-days = days with --supplier or --buyer only
accepted-or-later = { $from } or later

# The farm's settings.
accepted-zone = an IANA time zone such as America/Denver or Europe/Madrid
accepted-scale-unit = lb or kg
accepted-division = the smallest step the scale shows, from 1 g to 10 kg, such as 0.1
accepted-currency = an ISO 4217 code such as USD or EUR
accepted-known-value = a value this program knows (the daybook may be from another version)
accepted-name-weight = NAME=WEIGHT such as pail=1.5lb, or with its volume, pail=1.5lb/5gal

# Files.
accepted-utf8 = plain UTF-8 text
accepted-utf8-csv = UTF-8 text (save the file as CSV UTF-8)
accepted-header = a header row
accepted-header-with = a header row with { $columns }
accepted-rows = rows of comma-separated text
accepted-columns = the columns { $columns }
accepted-columns-further = the columns { $needed }, and where there is something to say { $further }
accepted-column-once = each column once
accepted-commas = columns separated by commas, not by `{ $separator }`
accepted-cells = { $count } cells, as in the header
accepted-once = each `{ $what }` once; row { $row } has it
accepted-toml = what the guide to files shows ({ $why })
accepted-a-name = a name
accepted-filled = a value that is not empty
accepted-kilograms = kilograms from 0 to 100000
accepted-stream-id = a stream id of lower-case letters, digits and hyphens, at most { $most }
accepted-id-letters = lower-case letters, digits and hyphens
accepted-measure = moisture_pct, nfc_dm_pct, carbon_to_nitrogen or a key ending in _dm_pct
accepted-assumed-key = a key ending in _dm_pct, or bulk_density_kg_m3
accepted-bounds = at least one of min, max, limit_min, limit_max
accepted-low-high = { $low } not above { $high }
accepted-two-numbers = two numbers from 0.1 to 10000, the lower first
accepted-source-key = a source: a key of the source table
accepted-figures-from = where the figures come from
accepted-from-where = where it comes from
accepted-why = why, in a sentence
accepted-rule-target = a class, a stream id or `mouldy`
accepted-or = { $words }, or { $other }
accepted-every-rule = a row for every class, use and region
accepted-inedible-kind = what the inedible part is, such as bone, shell or pit
accepted-parts-of-dry = parts of dry matter that sum to at most 102 %
accepted-part-of = at most the { $whole }_dm_pct of { $pct }, which holds it
accepted-carbon = at most 60 % carbon in dry matter
accepted-carbon-to-nitrogen = a C:N that leaves at most 60 % carbon; with { $nitrogen } % nitrogen this is { $carbon } % carbon
accepted-feeding = `daily`, `once` or `every-N` with N from 2 to 30
accepted-a-stage = at least one stage
accepted-stages-in-a-row = stages that follow one another without gap or overlap
accepted-to-day = days from 0 to 365, not before from_day
accepted-each-day = each day from { $from_day } to { $to_day } once
accepted-every-ration = a ration for every day of the stage, 0 for a night without feed
accepted-a-group = at least one [group.NAME]
accepted-larvae-ration = larvae and ration_mg that make 0.000001 to 1000000 kg dry matter
accepted-one-demand = dry_matter_kg alone, or larvae with ration_mg
accepted-who-brings = who brings it
accepted-priced-stream = a stream with a price_per_kg here or in the stream table
seen-no-rule = no row for { $class }, { $larvae_for }, { $region }
seen-no-ration = no ration for day { $days }
seen-stages-apart = { $first } ends on day { $to_day }, { $next } begins on day { $from_day }
seen-empty-file = an empty file
seen-nul = NUL characters
seen-not-utf8 = bytes that are not UTF-8
seen-not-utf8-line = bytes that are not UTF-8 on line { $line }
seen-no-row = no row under the header
seen-no-column = no such column
seen-column-twice = a column named twice

# What other programs send.
accepted-sender-id = an id made by the sender: 12 to 60 letters, digits, `-` or `_`
accepted-fields = the fields that /api/openapi.json describes
accepted-json = JSON as /api/openapi.json describes it

# What the book itself holds records to.
accepted-farm-first = `farm` as the first record of a daybook
accepted-from-1970 = an instant from 1970 on
accepted-finite = a finite number
accepted-refuse-stays = `refuse` for what was turned away, and for nothing else

# Arguments of commands.
accepted-chance = a chance from 0.5 to 0.999
accepted-chance-hundredths = a chance from 0.5 to 0.99 in hundredths, such as 0.8
accepted-weight-from-1g = a weight from 1 g to 1000 kg, such as 1 lb
accepted-small-scale = DIVISION:MOST, each with its unit, MOST from ten divisions to 1000 kg, such as 1g:5kg
accepted-or-default = { $accepted }; or `default`
accepted-change = LOT=WEIGHT such as 12=4.5lb, or GROUP:LOT=WEIGHT
accepted-outlet = OUTLET or SUPPLIER=OUTLET with one of { $accepted }
accepted-captured = per cent of the gas, such as 40 or 20-60
squeeze-grade = { $word }: { $word ->
    [runs] water easily squeezed out, holds shape (80 % and more)
    [just] water just squeezed out (75-80 %)
    [holds] little or no water, holds shape (70-75 %)
    [slow] no water, falls apart slowly (60-70 %)
   *[fast] falls apart fast (60 % and less)
}

# Beyond all measure.
accepted-at-most = at most { $most }
accepted-columns-most = at most { $most } columns
accepted-rows-most = at most { $most } rows; several files may be read one after the other
accepted-bytes-most = at most { $most } bytes of TOML
seen-columns = { $count } columns
seen-more-rows = more rows
seen-bytes = { $count } bytes
accepted-heading = a heading of the workbook
accepted-columns-headings = such as supplier=Who; columns: { $columns }
accepted-sheet = a sheet with a row of headings for when, supplier, stream and gross or net weight; `--columns supplier=Who,stream=What` says which is which
accepted-workbook = a workbook (.xlsx)
accepted-workbook-cells = a workbook of at most { $most } cells
seen-more-cells = more cells than that
accepted-stream-name = a name with letters a to z or digits, at most { $most } letters long
accepted-stream-new = a name that means no other stream yet; this one means { $id }
accepted-leave-listed = a stream with a name; say first what this is: trayful correct TICKET --stream WHAT --why WHY
