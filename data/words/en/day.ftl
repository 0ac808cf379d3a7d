# The day at a glance.
today-title = Today, { $day }, { $time }
today-came-in = Came in: { $loads ->
    [one] { $loads } load
   *[other] { $loads } loads
}, { $weight }
today-came-in-refused = Came in: { $loads ->
    [one] { $loads } load
   *[other] { $loads } loads
}, { $weight }; { $refused } refused
today-on-hand = On hand: { $lots ->
    [one] { $lots } lot
   *[other] { $lots } lots
}, { $weight }
today-spoils = Spoils by the next night: { $lots }
today-none-due = Night of { $night }: no trays due.
today-due = Night of { $night }: { $group }, { $trays ->
    [one] { $trays } tray
   *[other] { $trays } trays
}, { $weight } dry matter
today-sheet-fed = Sheet r{ $seq }: fed
today-sheet-not-fed = Sheet r{ $seq }: not yet fed
next = Next: { $command }

# What was fed.
fed-title = Fed, night of { $night }
fed-used-up = Used up: { $lots }
fed-kept = Kept as record r{ $seq }; stock is down by it.

# A record taken back.
to-strike = To strike it: trayful strike { $record } --why REASON
strike-title = Struck { $what }
strike-voids = Record r{ $record } voids r{ $target }; both stay in the book. Stock and reports leave the voided one out.
strike-stands = A strike stands: to take it back, enter the thing anew.
record-ticket = ticket { $ticket }
record-kind = { $kind ->
    [farm] settings
    [container] container
    [strike] undoing
    [assay] moisture test
    [reweigh] new weighing
    [cohort] larvae on trays
    [cohort-end] end of a cohort
    [sheet] sheet
    [fed] meal fed
    [discard] taken out of stock
    [month-closed] month closed
    [harvest] harvest
    [money] money written down
    [adopted] own figure taken over
    [correction] ticket corrected
    [look] lot looked at
    [own-stream] own stream
    [leave] leave to feed
   *[other] { $kind }
}
record-other = { $kind } r{ $seq }

# An authority's leave to feed a stream.
allow-title = { $stream } of { $whose } may be fed
allow-anyone = any supplier
allow-given = Leave given by { $who } on { $day } for: { $what }
allow-none-waited = No lot on hand waited for it.
allow-waited = { $lots ->
    [one] { $lots } lot
   *[other] { $lots } lots
} waited for it: { $names } ({ $weight }). Move them from the holding place to the feed shelf.
allow-kept = Kept as r{ $seq }. If it is taken back: trayful strike r{ $seq } --why REASON

# A moisture test, a look, a new weighing, a way out.
assay-title = Lot { $lot } ({ $stream }): moisture { $pct } % ± { $spread }
assay-squeeze = The squeeze scale is made for chopped forage. It is a rough guide with a wide spread. Grind whole fruit before you squeeze.
assay-microwave = dry in short steps with a glass of water in the oven. Stay with it: samples char and burn. Use the last weight before charring, and no oven that is used for food.
assay-kept = The mix reckons with it from now on.
look-fit = Lot { $lot }: may be fed on the night of { $night }
look-not-fit = Lot { $lot }: not fed on the night of { $night }
look-kept = `trayful mix` reckons with it.
reweigh-title = Lot { $lot } now holds { $weight }
reweigh-shrink = { $weight } booked as shrink.
discard-title = Lot { $lot }: { $weight } { $to }
outflow = { $way ->
    [composted] to compost
    [returned] back to the supplier
    [landfilled] to landfill
    [liquor] drained off as liquor
    [picked_out] picked out by hand
    [animals] to other animals
    [processing] to be made into other goods
    [digestion] to a digester
    [combustion] burned under control
    [land] spread on land
    [discards] dumped or littered
    [fed] fed
    [shrink] shrink
   *[sewer] down the drain
}
discard-left = { $weight } left in the lot.
discard-liquor = liquor gives off gases. Open tanks outdoors, don't lean over them, never go into a pit. Where it may go is for local rules.

# A question at the terminal.
ask-is-right = Keep it as it is?
ask-yes-no = { $question } [y/N]

# What a ticket should have said.
correct-title = Ticket { $ticket } corrected
correct-word = { $field ->
    [supplier] supplier
    [stream] stream
    [price] { $currency } per { $unit }
   *[note] note
}
correct-first = first written
correct-verdict = The verdict is now { $now }, no longer { $before }: { $reason }.
correct-kept = Its weights stay. Stock, months, statements, traces and money go by this from now on; a closed month shows it as changed.
correct-estimated = its weight is a guess by the volume of what it was taken for, and stays: `trayful lot LOT weigh` sets the rest right.
correct-fed-already = { $fed } of it was fed already: `trayful recall { $ticket }` names who ate of it.
