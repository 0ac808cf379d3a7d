# What to mind while mixing.
mix-tip-whole = Tip in all that is left, no need to weigh: { $lots }.
mix-look-first = look first, past their keeping time: { $lots }. In open air, don't put your nose in the bucket. Good: `trayful lot { $one } look --fit`. Mouldy or foul: `trayful lot { $one } look --not-fit --note WHAT`, then mix anew.
mix-too-old = what is too old is held back. If one of them is still good: `trayful lot { $one } look --fit`; else `trayful lot { $one } discard --spoiled`.
mix-pick-out = pick the parts out before you weigh, from lot { $lots }. Weights are without them. Use a tool and cut-resistant gloves for bone and shell.
mix-lift = a whole batch is above 23 kg (51 lb), the most for one lift (NIOSH load constant, ideal conditions). Mix and carry it in portions.
mix-fed-already = fed tonight already, so not on this sheet: { $groups }
mix-fed-later = not fed tonight, by their feeding plan: { $cohorts }

# What to do next, and where the figures come from.
mix-not-recorded = Not recorded. `trayful mix` without --look records the sheet for `trayful fed`.
mix-once-fed = Once fed: trayful fed --sheet r{ $seq }, with --change LOT=WEIGHT for what was taken otherwise
mix-windows-all = Where tonight's windows come from: all are { $label } (`trayful stages` shows the studies).
mix-windows = Windows of { $windows }: { $label }.
mix-stand-in = { $id }: { $stand_in }.

# The mix: how it stands, what is out.
mix-title = Tonight's mix
mix-night = night of { $night }
mix-sheet = sheet { $name }
sheet = sheet
mix-inside = FEED THIS. Everyone is fed, and every figure is where it should be.
mix-inside-least = FEED THIS. Least sure: { $least }.
mix-nearest = LOOK FIRST. Not everything can be met; this mix comes nearest.
mix-nearest-buckets = LOOK FIRST. Whole buckets can't meet everything; split buckets can.
mix-none = FEED NOTHING of this stock. { $because }
mix-stopped = NO MIX. No answer could be checked, so none is printed: { $reason }.
mix-sure-of = { $group } { $measure }, { $chance }
out-no-feed = gets no feed; { $wanted } of dry matter is wanted
out-short = { $off } of dry matter short of { $wanted }
out-more = { $off } of dry matter more than the { $wanted } wanted
out-of-window = { $measure } { $value }, { $points } { $side ->
    [over] over
    [under] under
   *[limit] beyond the limit of
} { $bound }
out-too-wet = { $out }: too wet, { $water } of water too much
out-too-dry = { $out }: too dry
mix-too-coarse = the scale shows { $division }, too coarse for `{ $group }`{ $left_out ->
    [true] , so it gets no feed
   *[false] { "" }
}; { $finer ->
    [none] no scale down to 1 g would do
   *[other] one that shows { $finer } would do
}
mix-above-cap = { $stream }: { $weight } above its cap of { $pct } % ({ $allowed })
mix-above-volume = volume { $volume } above { $limit }
mix-overdrawn = { $what }: { $taken } g taken of { $there } g

# A group: what to take, what each tray gets, what it comes to.
mix-group = { $group } (day { $ages }, { $trays ->
    [one] { $trays } tray
   *[other] { $trays } trays
})
mix-no-feed = No feed tonight. Wanted: { $wanted } of dry matter.
mix-small-scale = Weigh on the small scale ({ $scale }).
mix-take = take
mix-from-lot = from lot
mix-tip = tip
mix-buckets = buckets
mix-buy = buy
mix-tap = tap
mix-a-little = a little
mix-pick-first = PICK OUT, then weigh
mix-moisture-from = moisture from { $origin }
mix-in-all = In all { $wet }, dry matter { $ration } of { $wanted } wanted
mix-ballast = { $ballast } of shell, stone and ash not counted
mix-dose = Each of { $trays ->
    [one] { $trays } tray
   *[other] { $trays } trays
} of { $cohort } (day { $age }{ $days ->
    [1] { "" }
   *[other] , for { $days } days
}): { $weight }
mix-layer = layer at most { $layer } of { $most }
mix-layer-before = { $lies } from before
mix-fills = Fills at most { $volume }
mix-fills-of = Fills at most { $volume } of { $limit } there is room for
mix-lies = from before: the feed since the last residue was taken off, less what is gone of it (our default)
tip-whole = { $whole ->
    [one] 1 bucket
   *[other] { $whole } buckets
}
tip-own = { $rest } of its bucket
tip-rest = { $whole ->
    [0] { $rest } of one bucket
    [one] 1 bucket + { $rest } of the next
   *[other] { $whole } buckets + { $rest } of the next
}

# Notes, the figures, what stays.
mix-mind = Mind tonight
mix-guessed = guessed for { $streams } in { $groups }: { $assumed } (not in the stream table)
assumed-share = { $measure } { $pct } % of dry matter
assumed-density = bulk density { $density } kg/m3
mix-may-drip = `{ $group }` may drip: moisture { $pct } %; from about 75 % water runs when you squeeze a handful
mix-not-proved = not proved that no other mix does better in: { $goals }
mix-goal = { $goal ->
    [0] dry matter fed
    [1] staying inside the windows
    [2] little water
    [3] sureness
    [4] using what will spoil
    [5] cost
   *[6] staying close to the mix before
}
mix-no-buckets = no plan in whole buckets was found; weights are as without `--buckets`
mix-none-before = no group was fed before that is fed tonight: there is no mix to stay close to
mix-figures = The figures
mix-group-head = group
mix-chance = chance
mix-held-back = Held back
mix-stays = Stays on hand
mix-stays-all = { $total }: { $lots }
mix-stays-more = { $total }: { $lots } and { $more ->
    [one] { $more } more lot
   *[other] { $more } more lots
}
mix-more = Figures, windows and what stays: `trayful mix --look --full`.
mix-seal = Book seal { $seal }. Every figure above is reckoned from the printed weights.
buckets-proved = Whole buckets, at most one opened per stream: { $proved }. Uses { $plan } of what spoils soon; { $free } if buckets could be split freely.
buckets-near-best = at most { $pct } % from the best possible
buckets-best-found = the best found in the time; a better one may exist

# How sure, and what would help.
mix-less-sure = The farm asks for { $asked }. No mix of this stock is much surer.
mix-test-first = Helps most: test the moisture of lot { $lot } ({ $stream }).
mix-test-gains = Helps most: test the moisture of lot { $lot } ({ $stream }): if it is as in the table, { $to } instead of { $from }.
mix-buy-helps = { $besides ->
    [true] Or
   *[false] Helps most:
} buy { $weight } of { $stream }: then { $chance }.
mix-no-chance = No chance is told where a spread is not known: { $what }.

# What can't hold together, and what would cure it.
conflict = With this stock you can't have all of these. Give up one: { $demands }.
reason-all-beyond = Everything that may be fed to { $group } is { $is ->
    [wetter] wetter than { $bound }. The driest, { $nearest }, has { $value }.
    [drier] drier than { $bound }. The wettest, { $nearest }, has { $value }.
    [richer] richer in { $measure } than { $bound }. The lowest, { $nearest }, has { $value }.
   *[poorer] poorer in { $measure } than { $bound }. The best, { $nearest }, has { $value }.
}
reason-too-little = All that may be fed to { $group } holds only { $weight } of dry matter.
reason-nothing = Nothing in stock may be fed to { $group }.
reason-too-coarse = The scale shows { $division }, too coarse for so small a mix.
reason-limits = The hard limits can't hold together with what is in stock.
demand-feed = { $group } gets { $side ->
    [min] all its
   *[max] no more than
} { $weight } of dry matter
demand-bound = { $group } { $measure } { $side ->
    [min] at least
   *[max] at most
} { $bound }{ $is_hard ->
    [true] { " " }(limit)
   *[false] { "" }
}
demand-volume = { $group } fits { $volume } of trays
demand-cap = { $group } at most { $pct } % { $stream }
demand-bought = at most { $weight } { $stream } bought
demand-water = at most { $weight } water added
cure-none = We found no single fix.
cure-any = Any one of these fixes it, cheapest first:
cure-buy = buy { $weight } of { $stream } ({ $price })
price-not-known = price not known
price-sum = { $sum } at { $price } a { $unit }
cure-press = drain or press { $lots }; we assume the drained liquid is { $pct } % solids
cure-press-lot = { $weight } off lot { $lot } (to { $pct } % moisture)
cure-water = add { $weight } of tap water
cure-room = put { $group } on { $more ->
    [0] more trays
    [one] { $more } tray more
   *[other] { $more } trays more
} (room for { $to } instead of { $from })
cure-room-or-meals = { $more_room }, or feed it in two meals
cure-test = test the moisture of lot { $lot } ({ $stream }): at { $pct } % or { $drier ->
    [true] less
   *[false] more
} all fits
cure-loosen = loosen { $windows }
cure-loosen-to = { $demand } to { $to }
cure-feed-less = feed less: { $groups }
cure-feed-to = { $group } { $to } of dry matter instead of { $from }
meal-next = { $name } (next on { $next })
meal-was-last = { $name } (fed for the last time)

# What there was no time for.
mix-undone = The time was up before: { $undone }. The mix stands; at a terminal, --seconds gives more time.
undone-one-mix = one mix for groups that could share it
undone-few-lines = few lines
undone-buckets = a better plan in whole buckets
undone-helped-by = what would make it surer
undone-conflicts = what can't hold together
undone-cures = what else would help
undone-worths = what binds and what it is worth
undone-rooms = how far lots may move
