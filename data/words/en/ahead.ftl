# The nights ahead: what fits, what to do now, and what that rests on.
ahead-title = { $nights ->
    [one] The next { $nights } night, from { $day }
   *[other] The next { $nights } nights, from { $day }
}
ahead-on = on { $day }
ahead-from-to = from { $from } to { $to }
ahead-fits = FITS: every night is fed inside every window with what is there and what is expected.
ahead-fits-with-advice = FITS WITH THE ADVICE TAKEN: solved again with it, every night is fed inside every window.
ahead-does-not-fit = DOES NOT FIT: some nights are short of feed, or outside their windows.
ahead-still-not = STILL DOES NOT FIT: also when you do what stands here, some nights are short of feed, or outside their windows.
ahead-missing-all = Dry matter missing over all nights: { $weight }.
ahead-missing = Dry matter missing over all nights: { $before } as it comes, { $after } when you do what stands here.
ahead-undone = The time was up before: { $undone }. At a terminal, --seconds gives more time.
ahead-thing = { $number }. { $thing }
ahead-nothing-to-do = Nothing needs doing now.
ahead-no-cure = { $trouble } We don't know what to buy: nothing you bought so far would mend it. Ask your suppliers for more or for something else, or put fewer larvae on trays.
ahead-mended = { $trouble } The advice below mends it (solved again with it).
ahead-room-short = There is feed for { $factor } times the larvae planned: { $larvae } a night instead of { $planned }.
ahead-compost = Compost what can no longer be fed: { $all } (lots below).
ahead-intake-short = You can take in { $weight } more { $stream } a week.
ahead-buy-short = Buy { $what }, ordered by { $by }.
ahead-take = Take in at most { $most } of { $stream } { $when }.
ahead-take-none = Take in no { $stream } { $when }.

ahead-why = Why, and what else
ahead-short = { $count ->
    [one] { $when } is short of feed for { $groups }: { $worst } of dry matter missing on one night.
   *[other] { $when } are short of feed for { $groups }: { $worst } of dry matter missing on one night.
}
ahead-out = { $count ->
    [one] { $when } is { $how } for { $groups }: up to { $points } points beyond the window.
   *[other] { $when } are { $how } for { $groups }: up to { $points } points beyond the window.
}
ahead-too-wet = too wet
ahead-too-dry = too dry
ahead-too-high = too high in { $measure }
ahead-too-low = too low in { $measure }
ahead-buy = Buy { $what } by { $by }, to be there on { $day } ({ $cost } { $currency }); { $proof }.
ahead-packs = { $packs ->
    [one] { $packs } pack of { $stream } ({ $weight })
   *[other] { $packs } packs of { $stream } ({ $weight })
}
ahead-accept = Accept at most { $most } of { $stream } { $when }, of { $expected } expected: the rest spoils unfed; { $proof }.
ahead-accept-none = Accept none of { $stream } { $when }, of { $expected } expected: it spoils unfed; { $proof }.
ahead-clear = { $count ->
    [one] { $stream } in lot { $lots }: { $weight } can't be fed before it is spoiled; send it to compost by { $by }; { $proof }.
   *[other] { $stream } in lots { $lots }: { $weight } can't be fed before it is spoiled; send it to compost by { $by }; { $proof }.
}
ahead-proof-amount = solved again: no night is worse than with any amount bought
ahead-proof-without = solved again: no night is worse without it
ahead-proof-less = solved again: it helps, but less than buying to the gram
ahead-kept-out = { $count ->
    [one] { $stream } in lot { $lots }: { $weight } is too old, or was found unfit. Send it to compost. If it is still good: `trayful lot LOT look --fit`.
   *[other] { $stream } in lots { $lots }: { $weight } is too old, or was found unfit. Send it to compost. If one of them is still good: `trayful lot LOT look --fit`.
}
ahead-intake = You can take one of these more a week, fed before it spoils and nothing else spoiling for it (solved again with it): { $all }.
ahead-no-intake = No more of any stream could come on every day without something else spoiling for it or leaving a window.
ahead-room = Room to grow: stock, arrivals and what is advised carry { $larvae } larvae a night inside every window, { $factor } times the { $planned } planned.
ahead-room-larvae = By published conversion that is { $low } to { $high } of fresh larvae a week: from { $least } % of dry matter ({ $least_feed }, { $least_source }) to { $most } % ({ $most_feed }, { $most_source }), larvae 33 % dry (Nayak et al. 2025, second-hand).
ahead-raise = What would raise it most: { $stream }; { $weight } more a week carry { $larvae } larvae a night more (solved again with it).
ahead-raise-larvae = What would raise it most: { $stream }; { $weight } more a week carry { $larvae } larvae a night more, { $low } to { $high } of larvae a week (solved again with it).
ahead-chance-short = Chance that feed runs short within { $nights } nights: { $chance } ({ $weeks } played weeks, arrivals drawn around what is expected, tonight as planned).
ahead-in-100 = { $short } in 100 (± { $error }) when each night is mixed from what is there; { $best } in 100 at best, were all arrivals known and planned for
ahead-no-reserve = No reserve of what can be bought makes that less likely.
ahead-with-reserve = With a reserve for arrivals that only one in ten falls below: { $chance }. For it, instead of the purchase above: { $buys }

ahead-nights = Night by night, with the advice taken
ahead-bar = dry matter fed, by stream (. is missing)
ahead-wanted = wanted
ahead-moisture = moisture % (window)
ahead-moisture-out = { $moisture } OUT ({ $window })
ahead-stock = stock
ahead-spoils = spoils
ahead-arrivals = Arrivals expected
ahead-expected = expected in all
ahead-spread = spread (1 sd)
ahead-method = Method: median of the same weekday over the last 8 weeks, with a Theil-Sen trend (Theil 1950; Sen 1968) where a Mann-Kendall test finds one; weeks and bounds are our default.
ahead-no-backtest = Not enough history for a backtest: six weeks are needed.
ahead-backtest = Backtest: { $weeks ->
    [one] { $weeks } week
   *[other] { $weeks } weeks
} foretold from the days before each: mean error { $error } a supplier's stream and day, against { $naive } for "same as last week": { $pct } % { $than ->
    [better] better
   *[worse] worse
}.
ahead-rests-on = What this rests on
ahead-ages = a lot past its keeping time needs a look before it is fed. None is counted on past { $times } keeping times, as in `mix` (meat, fish, dairy and egg sooner)
ahead-not-rounded = later nights are not rounded to the scale; each evening `trayful mix` makes the night's own sheet
ahead-nothing-recorded = Nothing was recorded. Book seal { $seal }.

# Its pictures.
ahead-chart-fed = Dry matter fed by stream and what is missing, { $unit }
ahead-chart-fed-told = A bar for each night, stacked by stream, up to what is wanted; the figures are in the table below
ahead-missing-part = missing
ahead-chart-stock = Stock and what spoils, { $unit }
ahead-chart-stock-told = A bar for each night: what still keeps after feeding, and on it what is spoiled by the next night
ahead-still-good = still good after feeding
ahead-spoiled = spoiled by the next night
ahead-chart-moisture = Moisture of { $group } in its window, %
ahead-chart-moisture-told = A point for each night and a line for each end of the window; the table below says which are out
ahead-moisture-line = moisture
ahead-least = least
ahead-most = most

# What it assumes.
ahead-no-hatch = no hatch is planned or can be read from the cohorts: demand ends with the larvae that are there (--plan, [[hatch]])
ahead-hatches = hatches go on as before: every { $days } days { $larvae } larvae like { $cohort } (our default; --plan, [[hatch]] says otherwise)
ahead-buys = what was bought before can be bought again ({ $streams }). It comes by the kilogram, the day after it is ordered (our default; --plan, [[buy]] says otherwise)
ahead-no-price = { $stream } can't be bought here: it has no price in the stream table
ahead-not-bought = { $stream } is not bought: { $why }
ahead-learned = moisture or density learned from the supplier's own tests (trayful learn): { $all }
ahead-learned-of = { $stream } of { $supplier }
ahead-too-old = { $stream }: { $weight } expected are too old by the evening of their day and left out; someone who looks may still feed them
ahead-not-fed = { $stream }: { $weight } expected that may not be fed are left out

# What is being worked on.
ahead-progress = { $what } ({ $seconds } s)
ahead-reading = reading the daybook
ahead-planning = planning the nights and checking the advice
ahead-planning-more = planning { $nights } nights
ahead-after = the nights after the first { $nights }
ahead-larvae = how many larvae could be fed
ahead-more = how much more { $stream } would fit
ahead-chance = the chance of running short
ahead-playing = playing weeks: week { $week } of { $weeks }
ahead-weeks-left = the last { $left } of { $weeks } weeks to play
ahead-reserve = a reserve against running short
