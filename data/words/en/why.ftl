# Why the mix is what it is.
why-title = Why this mix
why-before-buckets = Of the mix before it was put into whole buckets:
why-not-all = Not all could be explained: { $reason }.
why-stock-only = Only the stock on hand limits this mix.
unsolved = { $why ->
    [infeasible] no point meets all rows
    [unbounded] the goal can improve for ever
   *[other] no engine gave an answer that could be verified: { $why }
}
why-binds = { $demand }: { $more ->
    [feed] one more { $unit } of dry matter
    [looser] one point looser
   *[some] one more { $unit }
} { $effects }
why-effect = { $goal ->
    [short] leaves { $by } points { $more } of what is wanted not fed
    [outside] puts the mix { $by } { $more } outside its windows
    [water_kg] adds { $by } { $unit } { $more } of water
    [unsure] leaves { $by } standard deviations { $more } short of the margins
    [urgent_kg] uses { $by } { $unit } { $more } of what spoils soon
    [cost] costs { $by } { $more }
   *[change_kg] moves { $by } { $unit } { $more } away from the mix before
}
why-more = { $less ->
    [true] less
   *[false] more
}
why-leaves-to-spoil = leaves { $by } { $unit } more to spoil
why-or-more = { $low } or more (without end one way)
why-or-less = { $high } or less (without end one way)
why-any-amount = any amount
why-any = any
why-near = lot { $lots } is not used; it would be { $way }
why-near-price = at a price under { $price } a { $unit }
why-near-moisture = at { $pct } % moisture
why-either = { $one }, or { $other }
why-not-near = lot { $lots } is not used; neither its price nor its moisture (within { $points } points) would change that
why-is = is
why-one-more = one more { $unit }
why-used = { $used ->
    [up] used up
    [partly] used in part
   *[not] not used
}
why-lot-in-use = lot in use
why-best-at = stays best at a price per { $unit }
why-any-price = price makes no difference
why-drier = same lots when drier by
why-wetter = same lots when wetter by
why-step-until = { $same }, not { $changes } points
why-step-any = { $same } points and more
why-points = { $number ->
    [one] { $number } point
   *[other] { $number } points
}
